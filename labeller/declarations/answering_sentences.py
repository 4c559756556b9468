"""The sentences read out at the table, the reasons behind them, and the caution that fits."""

from labeller.declarations.alcohol_facts import AlcoholFacts, UnitCount
from labeller.declarations.allergen_rows import CONTAINS, MAY_CONTAIN, NONE_DECLARED, MayContain
from labeller.declarations.answering_evidence import Found
from labeller.declarations.answering_words import Asked
from labeller.declarations.words import GROUP_NAMES, listed
from labeller.foundations.names import fold_text
from labeller.kitchen.batch import Path

DO_NOT_KNOW = "We do not know. Ask the kitchen before you serve it."
TELL_THE_KITCHEN = "Still tell the kitchen."
NO_CERTIFICATE = "This is what the papers say, not a certificate."
ALLERGY_CAUTION = "Tell the kitchen of any allergy with the order: all these foods are handled in one kitchen."
ALCOHOL_CAUTION = (
    "In pregnancy the safest is no alcohol at all. Not for children. Take care in recovery, and with medicines that forbid alcohol; "
    "some faiths avoid it in any amount."
)
DOSE_CAUTION = "Worked out from recipes: an estimate, not an analysis. Who doses on it should weigh the portion."
# Strengths of kinds of drink: spirits from 37.5 % vol and liqueurs from 15 % vol, Regulation (EU) 2019/787, Annex I, categories 20
# (gin) and 33 (liqueur); wine from 8.5 % vol, Regulation (EU) No 1308/2013, Annex VII, Part II, 1 (b); above 1.2 % vol a drink
# states its strength, Regulation (EU) No 1169/2011, Article 9(1)(k). The first two regulations are cited from memory.
DRINK_STRENGTHS = (
    (37.5, "as strong as a spirit"),
    (15.0, "as strong as a liqueur"),
    (8.5, "as strong as wine"),
    (1.2, "as strong as beer"),
    (0.0, "weaker than beer"),
)
# A small glass: 125 ml, Weights and Measures (Intoxicating Liquor) Order 1988, Schedule; wine of 12 % vol is common practice, no
# source, and so is the order cited, from memory; density of ethanol at 20 C 0.78924 g/ml, OIML R 22 (1975).
SMALL_GLASS_G = 125.0 * 0.12 * 0.78924
_FRACTIONS = (
    (0.1, "a tenth"), (0.125, "an eighth"), (0.2, "a fifth"), (0.25, "a quarter"), (1 / 3, "a third"), (0.5, "half"), (2 / 3, "two thirds"),
    (0.75, "three quarters"), (1.0, "one"), (1.25, "one and a quarter"), (1.5, "one and a half"), (1.75, "one and three quarters"),
    (2.0, "two"), (2.5, "two and a half"), (3.0, "three"),
)  # fmt: skip


def strength_words(percent_vol: float) -> str:
    """Say which kind of drink a strength is like. [% vol]"""
    return next(words for least, words in DRINK_STRENGTHS if percent_vol >= least)


def count_words(count: float, one: str) -> str:
    """Say how many of something there are, in a plain fraction: 'about two thirds of a UK unit'.

    Notes
    -----
    The nearest fraction in proportion is taken.
    """
    if count < 0.05:
        return f"less than a twentieth of a {one}"
    if count < 0.09:
        return f"less than a tenth of a {one}"
    if count > 3.25:
        return f"about {count:.0f} {one}s"
    value, words = min(_FRACTIONS, key=lambda pair: abs(pair[0] - count) / pair[0])
    if value < 1.0:
        return f"about half a {one}" if words == "half" else f"about {words} of a {one}"
    return f"about {words} {one}" if value == 1.0 else f"about {words} {one}s"


def way_words(path: Path) -> str:
    """Say a way through the recipe: 'the hazelnut praline is made with hazelnuts'."""
    verb = is_or_are(path[0])
    if len(path) == 1:
        return f"{path[0]} {verb} on the plate"
    through = f", by way of {listed(list(path[1:-1]))}" if len(path) > 2 else ""
    return f"the {path[0]} {verb} made with {path[-1]}{through}"


def may_words(one: MayContain) -> str:
    """Say why something may be in it: the supplier's word, or shared equipment."""
    what = listed(list(one.sources), "or")
    if one.why == "specification":
        return f"the supplier of {one.path[-1]} says it may contain {what}"
    at = one.path.index(one.why) if one.why in one.path else len(one.path) - 2
    mine, other = one.path[0], one.path[min(at + 1, len(one.path) - 1)]
    return f"the {mine} {is_or_are(mine)} made on the same {one.why} as the {other}, which {_holds(other)} {what}"


def is_or_are(name: str) -> str:
    """Return the verb that goes with a name."""
    return "are" if _plural(name) else "is"


def _holds(name: str) -> str:
    return "hold" if _plural(name) else "holds"


def _plural(name: str) -> bool:
    last = fold_text(name).split("(")[0].split()[-1:] or [""]
    return last[0].endswith("s") and not last[0].endswith(("ss", "us", "is"))


def thing_words(asked: Asked) -> str:
    """Name the thing asked about, as a sentence says it; a group of the law with its examples at the table."""
    if asked.eating:
        return f"what a {asked.eating} does not eat"
    if asked.kind == "group":
        return listed([_first_down(GROUP_NAMES.get(name, name)) for name in asked.groups], "or")
    return asked.word


def allergen_sentence(asked: Asked, found: Found) -> str:
    """Return what to read out for a group, a source, an ingredient word or a way of eating."""
    thing, sources = (
        thing_words(asked),
        [one for one in dict.fromkeys(found.sources) if one != asked.word],
    )
    unknown = _unknown(found)
    if found.status == CONTAINS:
        named = f" ({listed(sources)})" if sources else ""
        answer = f"No, not {asked.eating}" if asked.eating else "Yes"
        return f"{answer}: {way_words(found.because[0])}{named}.{unknown}" if found.because else f"{answer}.{unknown}"
    if found.status == MAY_CONTAIN:
        first = f"{DO_NOT_KNOW} " if found.unconfirmed else ""
        reason = may_words(found.may[0]) if found.may else _names(found.because)
        return f"{first}It is not in the recipe, but {reason}.{unknown}"
    if found.status == NONE_DECLARED:
        if asked.eating:
            return (
                f"Nothing that a {asked.eating} does not eat is in the recipe, going by our suppliers' papers. "
                f"{NO_CERTIFICATE} {TELL_THE_KITCHEN}"
            )
        if len(asked.groups) > 1:
            return f"Neither {thing.replace(' or ', ' nor ')} are in the recipe, going by our suppliers' papers. {TELL_THE_KITCHEN}"
        return f"{_first_up(thing)} {is_or_are(thing)} not in the recipe, going by our suppliers' papers. {TELL_THE_KITCHEN}"
    return f"{DO_NOT_KNOW}{unknown}"


def alcohol_sentence(
    found: Found,
    drinks: tuple[str, ...],
    *,
    heated: bool,
    percent_vol: float,
    facts: AlcoholFacts,
    unit: UnitCount | None,
    unmeasured: tuple[str, ...] = (),
) -> str:
    """Return what to read out when alcohol is asked about: what, how strong, how much.

    Parameters
    ----------
    drinks : tuple of str
        The ingredients the alcohol comes from, the one most of it comes from first.
    heated : bool
        Whether what comes from the first went through a heating step.
    percent_vol : float
        Strength of the part of the plate it is in. [% vol]
    facts : AlcoholFacts
        Of the portion.
    unmeasured : tuple of str
        Alcoholic ingredients whose papers do not say how strong they are.
    """
    unknown = _unknown(found)
    if found.status == CONTAINS:
        state = "Heated" if heated else "Uncooked"
        if facts.ethanol_g[2] <= 0.0:
            named = listed(list(unmeasured))
            return f"Yes. {_first_up(named)} {is_or_are(named)} in it; the papers do not say how strong.{unknown}"
        amount = (
            count_words(unit.counts[1], unit.name)
            if unit is not None
            else count_words(facts.ethanol_g[1] / SMALL_GLASS_G, "small glass of wine")
        )
        more = f" There is also {listed(list(drinks[1:]))} in it." if len(drinks) > 1 else ""
        if unmeasured:
            more += f" The papers do not say how strong {listed(list(unmeasured))} {is_or_are(unmeasured[-1])}, so there may be more."
        return f"Yes. {state} {drinks[0]}, {strength_words(percent_vol)}, {amount} in the portion.{more}{unknown}"
    if found.status == NONE_DECLARED:
        ferment = ""
        if found.ferments:
            names = listed(list(dict.fromkeys(path[-1] for path, _ in found.ferments)))
            ferment = f" A ferment can hold a little: {names}."
        return f"Alcohol is not in the recipe, going by our suppliers' papers.{ferment} {TELL_THE_KITCHEN}"
    return f"{DO_NOT_KNOW}{unknown}"


def _names(paths: tuple[Path, ...]) -> str:
    names = list(dict.fromkeys(path[-1] for path in paths))
    return listed(names) if len(names) <= 4 else f"{', '.join(names[:4])} and {len(names) - 4} more"


def _unknown(found: Found) -> str:
    """Say what leaves it open; empty where nothing does."""
    return f" Not known for {_names(found.unconfirmed)}." if found.unconfirmed else ""


def _first_down(text: str) -> str:
    return f"{text[:1].lower()}{text[1:]}"


def _first_up(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"
