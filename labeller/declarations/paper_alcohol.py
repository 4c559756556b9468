"""The alcohol of one declaration in the words of paper: what, where, heated or not, how much, and the caution."""

from dataclasses import dataclass, replace

from labeller.declarations.alcohol_facts import AlcoholFacts, ThresholdSide, alcohol_facts, thresholds_of
from labeller.declarations.allergen_rows import CONTAINS, UNCONFIRMED
from labeller.declarations.declaring import AlcoholSource, Declaration, Declarer
from labeller.declarations.marked_text import MarkedText, Writer
from labeller.declarations.paper_allergens import AllergenCell, names_of
from labeller.declarations.paper_phrases import phrase
from labeller.declarations.pouring import pours
from labeller.declarations.words import listed
from labeller.foundations.names import capitalised, name_key

# Duties that a law lays on drinks alone; on other food they say nothing.
_ON_DRINKS = frozenset({"strength_stated", "content_stated", "standard_drinks_stated", "pregnancy_warning"})
_STATED = ("strength_stated", "food_content_stated")


@dataclass(frozen=True, slots=True)
class AlcoholDrink:
    """One drink of a dish: the parts it is in, heated or not, what is left of it. [g]"""

    drink: str
    parts: tuple[str, ...]
    heated: bool
    low_g: float
    ethanol_g: float
    high_g: float


@dataclass(frozen=True, slots=True)
class AlcoholLines:
    """Alcohol as lines of a paper.

    Attributes
    ----------
    status : str
        As the contract: contains, unconfirmed or none declared.
    short : MarkedText
        One line for a card or a tub, whole. The drinks are set apart.
    ask : str
        What a paper must say where something is not known, empty else; ``short`` holds it already.
    drinks : tuple of AlcoholDrink
        What it comes from, most first.
    details : tuple of str
        A line for each drink, with its grams.
    ferments : tuple of str
        Things that can hold a little of themselves; named in ``short`` and not counted.
    caution : str
        Short and whole; empty where there is neither alcohol nor a doubt about it.
    statement : str
        The words of law about strength, where they are due by weight of what is in it; else empty.
    thresholds : tuple of ThresholdSide
        Duties of this law that the strength reaches at the high end.
    ingredients : tuple of str
        What leaves it open.
    strength_percent_vol : tuple of float or None
        Low, estimate, high, of what pours. [% vol]
    """

    status: str
    short: MarkedText
    ask: str
    drinks: tuple[AlcoholDrink, ...]
    details: tuple[str, ...]
    ferments: tuple[str, ...]
    caution: str
    statement: str
    thresholds: tuple[ThresholdSide, ...]
    ingredients: tuple[str, ...]
    strength_percent_vol: tuple[float, float, float] | None


def guest_alcohol(declarer: Declarer, declaration: Declaration) -> AlcoholLines:
    """Return the alcohol as a guest reads it: 'Alcohol: plum brandy, uncooked; about 4.4 g (3.9 to 5.1) in the portion'."""
    return _lines(declarer, declaration, staff=False)


def staff_alcohol(declarer: Declarer, declaration: Declaration) -> AlcoholLines:
    """Return the alcohol as staff read it on a tub: by strength where it pours, else by 100 g."""
    return _lines(declarer, declaration, staff=True)


def alcohol_cell(declaration: Declaration) -> AllergenCell:
    """Return the alcohol of a dish or batch as one cell of a sheet, beside those of the allergens: which drinks, heated or not."""
    alcohol = declaration.alcohol
    open_ = listed(list(names_of(alcohol.unconfirmed)))
    if alcohol.status == CONTAINS:
        states: dict[str, list[str]] = {}
        for one in _drinks(alcohol.because):
            states.setdefault(one.drink, []).append(_state(one))
        alike: dict[tuple[str, ...], list[str]] = {}
        for drink, each in states.items():
            alike.setdefault(tuple(sorted(each, reverse=True)), []).append(drink)
        drinks = "; ".join(
            phrase("drink_alone", drink=listed(names), state=listed(list(each))) for each, names in alike.items()
        )
        also = f"{phrase('not_known')} ({open_})" if open_ else ""
        return AllergenCell("alcohol", CONTAINS, phrase("contains"), drinks, also)
    if alcohol.status == UNCONFIRMED:
        return AllergenCell("alcohol", UNCONFIRMED, phrase("not_known"), open_, "")
    ferments = list(dict.fromkeys(path[-1] for path, _ in alcohol.traces))
    detail = phrase("ferment", things=listed(ferments)) if ferments else ""
    return AllergenCell("alcohol", alcohol.status, phrase("none_declared"), detail, "")


def grams_in_words(low: float, estimate: float, high: float) -> str:
    """Return grams of ethanol with their range, to a tenth: '4.4 g (3.9 to 5.1)'. [g]

    Notes
    -----
    A range that does not show at a tenth of a gram is left out; what would print as 0 is said as less than a tenth.
    """
    if high < 0.05:
        return "less than 0.1 g"
    shown = f"{estimate:.1f} g" if estimate >= 0.05 else "less than 0.1 g"
    if f"{low:.1f}" == f"{high:.1f}":
        return shown
    if low < 0.05:
        return f"{shown} (up to {high:.1f})"
    return f"{shown} ({low:.1f} to {high:.1f})"


def _lines(declarer: Declarer, declaration: Declaration, *, staff: bool) -> AlcoholLines:
    alcohol = declaration.alcohol
    facts = alcohol_facts(declaration.batch, declarer.workings.larder.liquid, [declaration.law])
    if not pours(declarer.workings, declaration):
        facts = replace(facts, strength_percent_vol=None)
    drinks = _drinks(alcohol.because)
    open_ = names_of(alcohol.unconfirmed)
    ask = ""
    if open_:
        ask = (
            phrase("alcohol_not_known", ingredients=listed(list(open_)))
            if staff
            else f"{phrase('alcohol_ask')}: {listed(list(open_))}"
        )
    ferments = tuple(dict.fromkeys(path[-1] for path, _ in alcohol.traces))
    thresholds = _reached(declaration, facts) if alcohol.status == CONTAINS else ()
    return AlcoholLines(
        alcohol.status,
        _short(declaration, facts, drinks, ask, ferments),
        ask,
        drinks,
        tuple(_detail(one, declaration) for one in drinks),
        ferments,
        _caution(alcohol.status, open_),
        _statement(facts, thresholds),
        thresholds,
        open_,
        facts.strength_percent_vol,
    )


def _drinks(sources: tuple[AlcoholSource, ...]) -> tuple[AlcoholDrink, ...]:
    """Put one drink by several ways together; it counts as uncooked where any of it is."""
    by_drink: dict[tuple[str, bool], list[AlcoholSource]] = {}
    for one in sources:
        by_drink.setdefault((one.path[-1], one.heated), []).append(one)
    found: list[AlcoholDrink] = []
    for (drink, heated), ways in by_drink.items():
        parts = dict.fromkeys(way.path[0] for way in ways if len(way.path) > 1)
        parts.pop(drink, None)
        found.append(
            AlcoholDrink(
                drink,
                tuple(parts),
                heated,
                sum(way.low_g for way in ways),
                sum(way.ethanol_g for way in ways),
                sum(way.high_g for way in ways),
            )
        )
    return tuple(sorted(found, key=lambda one: (-one.ethanol_g, one.drink, one.heated)))


def _short(
    declaration: Declaration,
    facts: AlcoholFacts,
    drinks: tuple[AlcoholDrink, ...],
    ask: str,
    ferments: tuple[str, ...],
) -> MarkedText:
    alcohol = declaration.alcohol
    writer = Writer()
    if alcohol.status == CONTAINS:
        writer.add(f"{phrase('alcohol')}: ")
        for place, ((state, parts), names) in enumerate(_alike(declaration.name, drinks).items()):
            writer.add("; " if place else "")
            key = "drink_in_part" if parts else "drink_alone"
            text = phrase(key, drink="\0", state=state, parts=listed(list(parts)))
            before, _, after = text.partition("\0")
            writer.add(before)
            for number, name in enumerate(names):
                writer.add("" if number == 0 else " and " if number + 1 == len(names) else ", ")
                writer.add(name, marked=True)
            writer.add(after)
        writer.add(f"; {_amount(declaration, facts, drinks)}.")
        if ask:
            writer.add(f" {ask}.")
    elif alcohol.status == UNCONFIRMED:
        writer.add(f"{ask}.")
    else:
        writer.add(f"{phrase('alcohol')}: {phrase('alcohol_none')}.")
    if ferments:
        said = phrase("ferment", things=listed(list(ferments)))
        writer.add(f" {capitalised(said)}.")
    return writer.done()


def _state(drink: AlcoholDrink) -> str:
    return phrase("heated" if drink.heated else "uncooked")


def _alike(of: str, drinks: tuple[AlcoholDrink, ...]) -> dict[tuple[str, tuple[str, ...]], list[str]]:
    """Return the drinks that are in the same parts in the same state as one: 'red wine and stout, heated, in the glaze'.

    A part with the name of the dish itself says nothing.
    """
    found: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    for one in drinks:
        parts = tuple(part for part in one.parts if name_key(part) != name_key(of))
        if len(parts) < len(one.parts) and parts:
            parts = one.parts
        found.setdefault((_state(one), parts), []).append(one.drink)
    return found


def _amount(declaration: Declaration, facts: AlcoholFacts, drinks: tuple[AlcoholDrink, ...]) -> str:
    low, estimate, high = facts.ethanol_g
    unmeasured = [one.drink for one in drinks if one.high_g <= 0.0]
    if high <= 0.0:
        return phrase("amount_not_known")
    if declaration.kind == "dish":
        key = "about_in_portion" if estimate >= 0.05 else "up_to_in_portion"
        said = phrase(key, grams=grams_in_words(low, estimate, high) if estimate >= 0.05 else _at_most(high))
    elif facts.strength_percent_vol is not None:
        said = f"{phrase('strength', percent=_percent(facts.strength_percent_vol))}"
    else:
        factor = 100.0 / declaration.weight_g if declaration.weight_g > 0.0 else 0.0
        low, estimate, high = low * factor, estimate * factor, high * factor
        key = "about_in_100_g" if estimate >= 0.05 else "up_to_in_100_g"
        said = phrase(key, grams=grams_in_words(low, estimate, high) if estimate >= 0.05 else _at_most(high))
    return f"{said}; {phrase('more_not_known', drinks=listed(unmeasured))}" if unmeasured else said


def _at_most(high_g: float) -> str:
    return f"{max(high_g, 0.1):.1f} g"


def _percent(strength: tuple[float, float, float]) -> str:
    low, estimate, high = strength
    if f"{low:.1f}" == f"{high:.1f}":
        return f"{estimate:.1f}"
    return f"{estimate:.1f} ({low:.1f} to {high:.1f})"


def _detail(one: AlcoholDrink, declaration: Declaration) -> str:
    state = _state(one)
    key = "drink_in_part" if one.parts else "drink_alone"
    said = phrase(key, drink=one.drink, state=state, parts=listed(list(one.parts)))
    if one.high_g <= 0.0:
        return f"{said}; {phrase('amount_not_known')}"
    whole = "about_in_portion"
    if declaration.kind != "dish":
        factor = 100.0 / declaration.weight_g if declaration.weight_g > 0.0 else 0.0
        shown = grams_in_words(one.low_g * factor, one.ethanol_g * factor, one.high_g * factor)
        return f"{said}; {phrase('about_in_100_g', grams=shown)}"
    return f"{said}; {phrase(whole, grams=grams_in_words(one.low_g, one.ethanol_g, one.high_g))}"


def _caution(status: str, open_: tuple[str, ...]) -> str:
    if status == CONTAINS:
        return f"{phrase('alcohol_caution')} {phrase('alcohol_cooking')}"
    return phrase("alcohol_ask_caution") if open_ else ""


def _reached(declaration: Declaration, facts: AlcoholFacts) -> tuple[ThresholdSide, ...]:
    """Return the duties whose bound the high end reaches; those on drinks only where it pours."""
    percent = facts.strength_percent_vol or facts.by_volume_percent
    return tuple(
        one
        for one in thresholds_of(percent, [declaration.law])
        if one.kind == "duty"
        and one.bound in ("above", "at or above")
        and one.high
        and (facts.strength_percent_vol is not None or one.key not in _ON_DRINKS)
        and one.key != "no_list_no_nutrition"
    )


def _statement(facts: AlcoholFacts, thresholds: tuple[ThresholdSide, ...]) -> str:
    """Write the strength where a duty to state it is reached, at most one decimal: Regulation (EU) No 1169/2011, Article 28, Annex XII."""
    due = next((one for one in thresholds if one.key in _STATED), None)
    if due is None:
        return ""
    percent = facts.strength_percent_vol or facts.by_volume_percent
    key = (
        "alc" if "'% vol'" in due.words else "alcohol_by_volume"
    )  # the words of the pack quote what must follow the figure
    return phrase(key, percent=f"{percent[1]:.1f}")
