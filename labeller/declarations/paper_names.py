"""Allergens by names a guest knows: groups by one word, cereals, nuts and species by their own."""

from labeller.allergens.vocabulary import GENERAL_OF_KIND, load_vocabulary
from labeller.declarations.allergen_rows import CONTAINS, AllergenRow
from labeller.declarations.paper_phrases import phrase
from labeller.declarations.words import listed
from labeller.foundations.names import capitalised
from labeller.jurisdictions.in_force import LawInForce
from labeller.jurisdictions.languages import NoTranslationError, allergen_name
from labeller.jurisdictions.terms import AllergenGroup

# Groups of one source: this law's own spelling of the source names the group (soy, sulfites).
_ONE_SOURCE = {"soya": "soya", "sulphites": "sulphite"}
# Groups a guest may not place without a thing from the table: contract of the book, section 3.
_WITH_EXAMPLES = frozenset({"crustaceans", "molluscs", "sulphites", "gluten"})
# The kinds whose general word means "the animal is not given, or the usual one".
_GENERAL = {**GENERAL_OF_KIND, "milk": "milk", "egg": "egg"}


def group_word(law: LawInForce, group: AllergenGroup) -> str:
    """Return the plain name of a group under a law: gluten, nuts, soya or soy."""
    source = _ONE_SOURCE.get(group.name)
    if source is not None:
        name = law.source_name(source, source)
        return next((word for word in name.words if word.startswith(("soy", "sul"))), group.name)
    return group.name


def group_with_examples(law: LawInForce, group: AllergenGroup) -> str:
    """Return the name of a group with things at the table where a guest may need them: crustaceans (prawn, crab)."""
    word = group_word(law, group)
    if group.name in _WITH_EXAMPLES and group.examples:
        return f"{word} ({', '.join(group.examples)})"
    return word


def is_general(source: str) -> bool:
    """Tell whether a source only names its kind: nut, fish, milk of an animal not given."""
    kind = load_vocabulary().sources.get(source, source)
    return _GENERAL.get(kind) == source


def source_word(source: str, law: LawInForce) -> str:
    """Return a source as a guest reads it."""
    kind = load_vocabulary().sources.get(source, source)
    if source in _ONE_SOURCE.values():
        words = law.source_name(source, kind).words
        return next((word for word in words if word.startswith(("soy", "sul"))), source)
    return capitalised(source) if source.startswith("brazil") else source


def group_and_sources(law: LawInForce, group: AllergenGroup, sources: tuple[str, ...]) -> str:
    """Return a group with its single sources: nuts (almond, hazelnut); the group alone where it is its only source.

    Notes
    -----
    A general word beside finer ones says that there may be more: nuts (hazelnut, others not named). Alone, where the law wants the
    kind named, it says that it is not known.
    """
    word = group_word(law, group)
    order = {name: place for place, name in enumerate(load_vocabulary().sources)}
    sources = tuple(sorted(sources, key=lambda one: (order.get(one, len(order)), one)))
    fine = [source_word(one, law) for one in sources if not _is_the_group(one, group) and not is_general(one)]
    general = [one for one in sources if is_general(one)]
    if fine:
        if general:
            kind = load_vocabulary().sources.get(general[0], general[0])
            fine.append(phrase(f"other_{kind}") if kind in ("milk", "egg") else phrase("others_not_named"))
        return f"{word} ({', '.join(fine)})"
    if general and group.species_named:
        return f"{word} ({phrase('which_is_not_known')})"
    return word


def group_left_open(law: LawInForce, row: AllergenRow) -> str:
    """Return what of a group is to be asked about: soya; nuts other than hazelnut."""
    fine = [source_word(one, law) for one in row.sources if not is_general(one)]
    if row.status != CONTAINS or not fine:
        return group_with_examples(law, row.group)
    if row.group.name == "gluten":
        return phrase("other_cereals", sources=listed(fine, "or"))
    return phrase("other_than", group=group_word(law, row.group), sources=listed(fine, "or"))


def needs_asking(row: AllergenRow) -> bool:
    """Tell whether something in a group is not known that still matters to a guest.

    Under another status than "contains" anything unconfirmed matters. Beside "contains" it does where finer sources of the group
    are told apart and the general one is not among those found: nuts other than hazelnut, cow's milk beside goat's.
    """
    if not row.unconfirmed:
        return False
    if row.status != CONTAINS:
        return True
    kinds = load_vocabulary().sources
    of_milk_or_egg = [one for one in row.sources if kinds.get(one, one) in ("milk", "egg")]
    if of_milk_or_egg:
        return not any(is_general(one) for one in of_milk_or_egg)
    if "wheat" in row.sources and row.group.name == "wheat":  # triticale under that law is wheat as well
        return False
    return len(row.group.sources) > 1 or any(kind in GENERAL_OF_KIND for kind in row.group.kinds)


def name_in(language: str, group_or_source: str) -> str | None:
    """Return an allergen's name in a language, None where it has none on file."""
    try:
        return allergen_name(group_or_source, language)
    except NoTranslationError:
        return None


def _is_the_group(source: str, group: AllergenGroup) -> bool:
    return source in (group.name, group.name.removesuffix("s"))
