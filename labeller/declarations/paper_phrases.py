"""The phrases that papers print, in one place and by language, so that a language is added here and nowhere else."""

from collections.abc import Mapping

# Never in here, in any language: "free from", a word for traces, a tick. "Not an ingredient" is all that a recipe can say.
_ENGLISH = {
    # allergens
    "contains": "Contains",
    "may_contain": "May contain",
    "ask_about": "Please ask us about",
    "not_known": "Not known: ask the kitchen",
    "none_declared": "Not an ingredient",
    "nothing_declared": "None of the allergens we must declare is in the recipe, going by our suppliers' papers.",
    "which_is_not_known": "which one is not known",
    "other_milk": "other milk",
    "other_egg": "other egg",
    "others_not_named": "others not named",
    "other_than": "{group} other than {sources}",
    "other_cereals": "cereals with gluten other than {sources}",
    "same_equipment": "made on the same {equipment} as {others}",
    "supplier_says": "the supplier of {things} says so",
    "suppliers_say": "the suppliers of {things} say so",
    "not_known_about": "Not known: ask the kitchen about",
    "left_open_by": "because of {ingredients}",
    "legend_contains": "It is an ingredient, or was steeped or cooked in it; the cereal, nut or species stands beside it where it is known.",
    "legend_may_contain": "It is no ingredient, but may have got in over shared equipment, or the supplier says that it may be in.",
    "legend_unconfirmed": "The suppliers' papers do not settle it: it may be in. Ask the kitchen before you serve it.",
    "legend_none_declared": "It is not in the recipe, going by our suppliers' papers. Still tell the kitchen of an allergy.",
    # alcohol
    "alcohol": "Alcohol",
    "uncooked": "uncooked",
    "heated": "heated",
    "drink_in_part": "{drink}, {state}, in {parts}",
    "drink_alone": "{drink}, {state}",
    "about_in_portion": "about {grams} in the portion",
    "about_in_100_g": "about {grams} in 100 g",
    "up_to_in_portion": "up to {grams} in the portion",
    "up_to_in_100_g": "up to {grams} in 100 g",
    "strength": "{percent} % vol",
    "more_not_known": "how strong {drinks} may be is not known, so there may be more",
    "amount_not_known": "how much is not known",
    "alcohol_none": "not in the recipe, going by our suppliers' papers",
    "alcohol_ask": "Please ask us about alcohol",
    "alcohol_not_known": "Not known: ask the kitchen about alcohol (because of {ingredients})",
    "ferment": "a ferment can hold a little alcohol: {things}",
    "alcohol_caution": "Contains alcohol: not for children, nor in pregnancy, in recovery, or with medicines that forbid it.",
    "alcohol_caution_brief": "Not for children, in pregnancy or recovery, or with medicines that forbid alcohol.",
    "alcohol_caution_of_page": "Dishes with alcohol are not for children, nor in pregnancy, in recovery, or with medicines that forbid it.",
    "alcohol_cooking": "Cooking does not take all of it away.",
    "alcohol_ask_caution": "If you must avoid alcohol, please ask us before you order.",
    # another thing on the plate
    "instead_of": "With {other} instead of {part}:",
    "also_contains": "also contains",
    "also_may": "may also contain",
    "also_ask": "please ask us about",
    "alcohol_word": "alcohol",
    # claims
    "suitable_for": "Suitable for {eaters}, going by our suppliers' papers",
    # cautions
    "guest_caution": (
        "Please tell us of any allergy before you order: one kitchen handles all these foods, and cross-contact cannot be ruled out. "
        "Worked out from recipes and suppliers' papers, not analysed."
    ),
    "staff_caution": (
        "Worked out from recipes and suppliers' papers, not analysed. All these foods are handled in one kitchen; cross-contact cannot "
        "be ruled out. If in doubt, ask the kitchen."
    ),
    "staff_caution_brief": "Estimate, not analysis; cross-contact can happen.",
    # keeping
    "made_on": "Made on",
    "opened_on": "Opened on",
    "use_by": "Use by",
    "best_before": "Best before",
    "blank": "________",
    "not_given": "not given in the book",
    "not_after": "not after {day}, because of {part}",
    "keep_chilled": "Keep chilled",
    "keep_frozen": "Keep frozen",
    "keep_ambient": "Keep at room temperature",
    "keep_not_given": "Keep: ________ (not given in the book)",
    "limited_by": "because of {part}, which keeps {keeps}",
    # sale
    "ingredients": "Ingredients",
    "net_weight": "Net weight",
    "net_volume": "Net volume",
    "storage": "Storage",
    "instructions": "Preparation",
    "alc": "alc. {percent} % vol",
    "standard_drinks": "approx. {count} standard drinks",
    "alcohol_by_volume": "{percent} % alcohol by volume",
}  # fmt: skip

_PHRASES: dict[str, Mapping[str, str]] = {"en": _ENGLISH}


def phrase(key: str, language: str = "en", **parts: str) -> str:
    """Return a phrase of paper, its places filled.

    Parameters
    ----------
    key : str
        Name of the phrase.
    language : str
        Code of a language; a phrase that has not been written in it stands in English, never left out.
    **parts : str
        Words for the places in it.
    """
    template = _PHRASES.get(language, _ENGLISH).get(key) or _ENGLISH[key]
    return template.format(**parts) if parts else template


def phrases_on_file() -> dict[str, Mapping[str, str]]:
    """Return every phrase by language, for tests and for those who add a language."""
    return dict(_PHRASES)
