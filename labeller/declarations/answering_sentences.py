"""The sentences of an answer, as keys of the catalogue with their values: what is said, the reasons behind it, the caution that fits."""

from __future__ import annotations

from typing import TYPE_CHECKING

from labeller.declarations.allergen_rows import CONTAINS, MAY_CONTAIN, NONE_DECLARED, MayContain
from labeller.declarations.answering_evidence import not_left_off, other_things
from labeller.declarations.answering_words import meant_by
from labeller.declarations.speaking import (
    AskedFood,
    Count,
    Foods,
    Groups,
    Message,
    Names,
    Spread,
    Verbatim,
    Ways,
    phrase,
    said,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from labeller.declarations.alcohol_facts import AlcoholFacts, ThresholdSide, UnitCount
    from labeller.declarations.allergen_rows import Path
    from labeller.declarations.answering_evidence import Finder, Found
    from labeller.declarations.answering_words import Asked
    from labeller.declarations.facts import Line

DO_NOT_KNOW = said("do not know")
TELL_THE_KITCHEN = said("tell the kitchen")
NO_CERTIFICATE = said("no certificate")
ALLERGY_CAUTION = said("caution, allergy")
ALCOHOL_CAUTION = said("caution, alcohol")
DOSE_CAUTION = said("caution, dose")
# Strengths of kinds of drink: spirits from 37.5 % vol and liqueurs from 15 % vol, Regulation (EU) 2019/787, Annex I, categories 20
# (gin) and 33 (liqueur); wine from 8.5 % vol, Regulation (EU) No 1308/2013, Annex VII, Part II, 1 (b); above 1.2 % vol a drink
# states its strength, Regulation (EU) No 1169/2011, Article 9(1)(k). The first two regulations are cited from memory.
DRINK_STRENGTHS = ((37.5, "spirit"), (15.0, "liqueur"), (8.5, "wine"), (1.2, "beer"), (0.0, "below beer"))
# A small glass: 125 ml, Weights and Measures (Intoxicating Liquor) Order 1988, Schedule; wine of 12 % vol is common practice, no
# source, and so is the order cited, from memory; density of ethanol at 20 C 0.78924 g/ml, OIML R 22 (1975).
SMALL_GLASS_G = 125.0 * 0.12 * 0.78924
SMALL_GLASS = "small glass of wine"
_COUNTED = ("UK unit", "standard drink", SMALL_GLASS)
_FRACTIONS = (
    (0.1, "a tenth"), (0.125, "an eighth"), (0.2, "a fifth"), (0.25, "a quarter"), (1 / 3, "a third"), (0.5, "half"), (2 / 3, "two thirds"),
    (0.75, "three quarters"), (1.0, "one"), (1.25, "one and a quarter"), (1.5, "one and a half"), (1.75, "one and three quarters"),
    (2.0, "two"), (2.5, "two and a half"), (3.0, "three"),
)  # fmt: skip


def strength_message(percent_vol: float) -> Message:
    """Return which kind of drink a strength is like. [% vol]"""
    return said(f"strength: {next(kind for least, kind in DRINK_STRENGTHS if percent_vol >= least)}")


def strength_words(percent_vol: float) -> str:
    """Say in English which kind of drink a strength is like. [% vol]"""
    return phrase(strength_message(percent_vol))


def count_message(count: float, one: str) -> Message:
    """Return how many of something there are, in a plain fraction: 'about two thirds of a UK unit'.

    Notes
    -----
    The nearest fraction in proportion is taken.
    """
    values: dict[str, object] = {}
    if one not in _COUNTED:  # a unit of a law added later: by its own name
        values["unit"], one = Verbatim(one), "other unit"
    if count < 0.05:
        key = "below a twentieth"
    elif count < 0.09:
        key = "below a tenth"
    elif count > 3.25:
        key = "many"
        values["count"] = Count(f"{count:.0f}")
    else:
        _, key = min(_FRACTIONS, key=lambda pair: abs(pair[0] - count) / pair[0])
    return said(f"count: {key}, {one}", **values)


def count_words(count: float, one: str) -> str:
    """Say in English how many of something there are, in a plain fraction."""
    return phrase(count_message(count, one))


def way_message(path: Path) -> Message:
    """Return a way through the recipe: 'The hazelnut praline is made with hazelnuts.'"""
    if len(path) == 1:
        return said("reason, on the plate", part=path[0])
    if len(path) == 2:
        return said("reason, made with", part=path[0], ingredient=path[-1])
    return said("reason, made with, by way of", part=path[0], ingredient=path[-1], through=Names(tuple(path[1:-1])))


def may_message(one: MayContain, lead: str = "reason, may") -> Message:
    """Return why something may be in it: the supplier's word, or shared equipment; ``lead`` begins the key."""
    sources = Foods(one.sources, "or")
    if one.why == "specification":
        return said(f"{lead}, supplier", ingredient=one.path[-1], sources=sources)
    # What stands on the plate may bear the machine's own name: a blender cordial called 'blender'.
    at = next((place for place in range(1, len(one.path)) if one.path[place] == one.why), len(one.path) - 2)
    other = one.path[min(at + 1, len(one.path) - 1)]
    return said(f"{lead}, equipment", part=one.path[0], machine=one.why, other=other, sources=sources)


def asked_thing(asked: Asked) -> AskedFood | Message:
    """Return what was asked about, food or figure, for a heading."""
    return nutrient_name(asked.key) if asked.kind == "nutrient" else asked_food(asked)


def nutrient_name(key: str) -> Message:
    """Return the name of a figure."""
    return said(f"nutrient: {'energy_kj' if key == 'energy_kcal' else key}")


def asked_food(asked: Asked) -> AskedFood:
    """Return the food asked about."""
    if asked.kind == "alcohol":
        return AskedFood(asked.word, ("alcohol",))
    if asked.kind == "source" and meant_by(asked.word) != asked.word:
        return AskedFood(meant_by(asked.word))  # nobody says that 'coeliac' is in a dish
    # A word narrower than its source is not called by it: who asks for lemon did not ask for citrus.
    single = tuple(asked.sources) if len(asked.sources) == 1 and not asked.narrow else ()
    return AskedFood(asked.word, asked.groups or single)


def allergen_sentence(asked: Asked, found: Found) -> tuple[Message, ...]:
    """Return what to read out for a group, a source, an ingredient word or a way of eating."""
    unknown = unknown_for(found)
    if found.status == CONTAINS:
        return (_yes(asked, found), *unknown)
    if found.status == MAY_CONTAIN:
        may = may_message(found.may[0], "may") if found.may else _may_be_in(found)
        return (*((DO_NOT_KNOW,) if found.unconfirmed else ()), may, *unknown)
    if found.status == NONE_DECLARED:
        if asked.eating:
            return said(f"none, {asked.eating}"), NO_CERTIFICATE, TELL_THE_KITCHEN
        if len(asked.groups) > 1:
            return said("none, several things", things=Groups(asked.groups, "nor")), TELL_THE_KITCHEN
        thing = Groups(asked.groups) if asked.groups else asked_food(asked)
        return said("none, one thing", thing=thing), TELL_THE_KITCHEN
    return (DO_NOT_KNOW, *unknown)


def _yes(asked: Asked, found: Found) -> Message:
    lead = f"not {asked.eating}" if asked.eating else "yes"
    if not found.because:
        return said(f"{lead}, nothing more")
    path = found.because[0]
    sources = tuple(one for one in dict.fromkeys(found.sources) if not (asked.eating and one == asked.word))
    foods = Foods(sources, asked=asked.word)
    if len(path) == 1:
        return said(f"{lead}, on the plate", part=path[0], sources=foods)
    return said(f"{lead}, made with", part=path[0], ingredient=path[-1], sources=foods)


def _may_be_in(found: Found) -> Message:
    return said("may, nothing more", names=Names(tuple(dict.fromkeys(path[-1] for path in found.because)), "or"))


def alcohol_sentence(
    found: Found,
    drinks: tuple[str, ...],
    *,
    heated: bool,
    percent_vol: float,
    facts: AlcoholFacts,
    unit: UnitCount | None,
    unmeasured: tuple[str, ...] = (),
) -> tuple[Message, ...]:
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
    unknown = unknown_for(found)
    if found.status == CONTAINS:
        if facts.ethanol_g[2] <= 0.0:
            return (said("alcohol, strength unknown", names=Names(unmeasured)), *unknown)
        amount = (
            count_message(unit.counts[1], unit.name)
            if unit is not None
            else count_message(facts.ethanol_g[1] / SMALL_GLASS_G, SMALL_GLASS)
        )
        key = "alcohol, heated" if heated else "alcohol, uncooked"
        sentences = [said(key, drink=drinks[0], strength=strength_message(percent_vol), amount=amount)]
        if len(drinks) > 1:
            sentences.append(said("alcohol, also", names=Names(drinks[1:])))
        if unmeasured:
            sentences.append(said("alcohol, may be more", names=Names(unmeasured)))
        return (*sentences, *unknown)
    if found.status == NONE_DECLARED:
        ferments = tuple(dict.fromkeys(path[-1] for path, _ in found.ferments))
        ferment = (said("alcohol, ferment", names=Names(ferments)),) if ferments else ()
        return (said("alcohol, none"), *ferment, TELL_THE_KITCHEN)
    return (DO_NOT_KNOW, *unknown)


def compared(facts: AlcoholFacts, unit: UnitCount | None) -> Message:
    """Return the alcohol of the portion beside the unit of the law and a small glass of wine."""
    grams = Spread(*facts.ethanol_g)
    glass = count_message(facts.ethanol_g[1] / SMALL_GLASS_G, SMALL_GLASS)
    if unit is None:
        return said("reason, alcohol compared", grams=grams, glass=glass)
    known = unit.name in _COUNTED
    units = said(f"units: {unit.name}") if known else said("units: other unit", unit=Verbatim(unit.name))
    low, estimate, high = (Count(f"{one:.2g}") for one in unit.counts)
    size = Count(f"{unit.grams:g} g")
    if low == high:
        key = "reason, alcohol compared, with units, no range"
        return said(key, grams=grams, units=units, count=estimate, size=size, glass=glass)
    key = "reason, alcohol compared, with units"
    return said(key, grams=grams, units=units, count=estimate, low=low, high=high, size=size, glass=glass)


def threshold(one: ThresholdSide) -> tuple[Message, Message]:
    """Return a threshold of law, and on which side of it the whole portion is."""
    met = {
        (True, True): "met",
        (False, False): "not met",
        (True, False): "met by the estimate only",
        (False, True): "met by the high end only",
    }
    return (
        said(
            f"reason, law {one.bound}",
            law=Verbatim(one.jurisdiction),
            words=one.words,
            percent=Count(f"{one.percent_vol:g}"),
        ),
        said(f"reason, law {met[one.estimate, one.high]}"),
    )


def not_known_reason(path: Path) -> tuple[Message, ...]:
    """Return what leaves an answer open, as a reason."""
    return (said("reason, not known", way=Ways((path,))),)


def not_with(finder: Finder, lines: Sequence[Line], found: Found) -> tuple[Message, ...]:
    """Return what the answer does not hold for: another thing that the plate allows and that brings it, or may.

    A guest who hears that nuts are not in the recipe must not be served the cashew cream that stands for the double cream.
    """
    if found.status not in (NONE_DECLARED, MAY_CONTAIN):
        return ()
    return (
        *(
            said("answer, not with the other", part=part, other=Names(others, "or"))
            for part, others in other_things(finder, lines, found)
        ),
        *(said("answer, not left off", part=part) for part in not_left_off(finder, lines, found)),
    )


def unknown_for(found: Found) -> tuple[Message, ...]:
    """Return what leaves it open; empty where nothing does."""
    names = tuple(dict.fromkeys(path[-1] for path in found.unconfirmed))
    if not names:
        return ()
    if len(names) <= 4:
        return (said("not known for", names=Names(names)),)
    return (said("not known for, and more", names=Names(names[:4], ""), more=Count(str(len(names) - 4))),)
