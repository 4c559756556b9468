"""Answer a guest's question about one dish: the sentence, the reason, what can be done, the caution."""

from typing import Any

from labeller.declarations.alcohol_facts import AlcoholFacts, Range, UnitCount, alcohol_facts, units_of
from labeller.declarations.allergen_rows import CONTAINS, NONE_DECLARED, UNCONFIRMED
from labeller.declarations.answering_evidence import Finder, Found
from labeller.declarations.answering_sentences import (
    ALCOHOL_CAUTION,
    ALLERGY_CAUTION,
    DO_NOT_KNOW,
    DOSE_CAUTION,
    SMALL_GLASS_G,
    TELL_THE_KITCHEN,
    alcohol_sentence,
    allergen_sentence,
    count_words,
    may_words,
    way_words,
)
from labeller.declarations.answering_words import MORE_FIGURES, Asked, asked_about
from labeller.declarations.declaring import Declaration, Declarer
from labeller.declarations.figures import Missing
from labeller.declarations.reasons import amount, spread
from labeller.declarations.words import NUTRIENT_WORDS, STATUS_ON_PAPER, listed
from labeller.foundations.plain import dataclass
from labeller.jurisdictions.packs import load_jurisdiction
from labeller.kitchen import constituents as c
from labeller.kitchen.batch import Batch, Path
from labeller.kitchen.larder import FIGURE_INDEX
from labeller.kitchen.working_out import Plate, PlateLine

_MOST_REASONS = 12


@dataclass(frozen=True, slots=True)
class Answer:
    """An answer about one dish.

    ``optional`` are the parts that bring it and can be left off, ``swap`` what can stand in place of a part that brings it; ``clears``
    is true where doing all of that leaves a plate without it. ``amount`` is of one portion, in the unit of the figure.
    """

    dish: str
    about: str
    status: str
    sentence: str
    because: tuple[Path, ...]
    unconfirmed: tuple[Path, ...]
    optional: tuple[str, ...]
    swap: tuple[str, ...]
    reasons: tuple[str, ...]
    done: tuple[str, ...]
    caution: str
    ethanol_g: Range | None = None
    amount: float | None = None

    @property
    def vouched(self) -> bool:
        """Tell whether the kitchen can stand behind the answer without asking."""
        return self.status == CONTAINS or not (self.unconfirmed or self.status == UNCONFIRMED)

    def as_json(self) -> dict[str, Any]:
        """Return the answer as the contract's JSON."""
        found: dict[str, Any] = {
            "dish": self.dish,
            "about": self.about,
            "status": self.status,
            "sentence": self.sentence,
            "because": [list(path) for path in self.because],
            "unconfirmed": [list(path) for path in self.unconfirmed],
            "optional": list(self.optional),
            "swap": list(self.swap),
        }
        if self.ethanol_g is not None:
            found["ethanol_g"] = dict(zip(("low", "estimate", "high"), self.ethanol_g, strict=True))
        if self.amount is not None:
            found["amount"] = self.amount
        return found


def answer_about(declarer: Declarer, dish: str, word: str) -> Answer:
    """Answer a question about a dish, as written: optional parts in, swaps out.

    Raises
    ------
    UnknownAboutError
        Where the word is not known.
    KeyError
        Where no plate of that name was laid.
    """
    asked = asked_about(declarer, word)
    plate = declarer.workings.plates[dish]
    if asked.kind == "nutrient":
        return _nutrient(declarer, dish, asked)
    finder = Finder(declarer, asked)
    lines = [line.batch for line in plate.lines]
    found = finder.found(lines)
    optional, swap, done = _what_to_do(finder, plate, found)
    if asked.kind == "alcohol":
        return _alcohol(declarer, dish, asked, found, plate, (optional, swap, done))
    reasons = [f"{way_words(path)}." for path in found.because[:_MOST_REASONS] if found.status == CONTAINS]
    reasons.extend(f"{may_words(one)}." for one in found.may[:_MOST_REASONS])
    reasons.extend(_open_reasons(found.unconfirmed))
    if asked.groups == ("nuts",):  # who says nuts may mean peanuts too
        reasons.extend(
            f"Peanut is asked about apart; in this dish: {STATUS_ON_PAPER[row.status].lower()}."
            for row in declarer.groups.rows(lines)
            if row.group.name == "peanut"
        )
    return Answer(
        dish,
        asked.word,
        found.status,
        allergen_sentence(asked, found),
        found.because,
        found.unconfirmed,
        optional,
        swap,
        tuple(dict.fromkeys(reasons)),
        done,
        ALLERGY_CAUTION,
    )


def line_name(line: PlateLine) -> str:
    """Return the name a line of a plate goes by."""
    target = line.line.target
    if target is None:
        return line.line.name
    return target.given or target.entry


def _open_reasons(unconfirmed: tuple[Path, ...]) -> list[str]:
    return [f"Not known: {' > '.join(path)}." for path in unconfirmed[:_MOST_REASONS]]


def _what_to_do(
    finder: Finder, plate: Plate, found: Found
) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    """Return what can be left off, what can be swapped in, and both in sentences; each line is judged on its own."""
    optional: list[str] = []
    swap: list[str] = []
    done: list[str] = []
    if found.status == NONE_DECLARED:
        return (), (), ()
    left: list[Batch] = []
    for line in plate.lines:
        if finder.found([line.batch]).status == NONE_DECLARED:
            left.append(line.batch)
            continue
        clean = [one for one in line.swaps if finder.found([one.batch]).status == NONE_DECLARED]
        if line.line.optional:
            optional.append(line_name(line))
            done.append(f"Leave off the {line_name(line)}.")
        for one in clean:
            swap.append(line_name(one))
            done.append(f"Serve {line_name(one)} in place of the {line_name(line)}{_brings(finder, line, one)}.")
        if clean and not line.line.optional:
            left.append(clean[0].batch)
        elif not line.line.optional:
            left.append(line.batch)
    if done:
        after = finder.found(left)
        if not left:
            done.append("Then nothing is left on the plate.")
        elif after.status == NONE_DECLARED:
            done.append("With that done it is not in the recipe, going by our suppliers' papers.")
        else:
            rest = after.because or after.unconfirmed
            done.append(f"That is not enough because of: {listed(list(dict.fromkeys(path[0] for path in rest))[:6])}.")
    return tuple(dict.fromkeys(optional)), tuple(dict.fromkeys(swap)), tuple(done)


def _brings(finder: Finder, line: PlateLine, other: PlateLine) -> str:
    """Say which groups of the law a swap brings in that the line did not."""
    groups = finder.declarer.groups
    before = {row.group.name: row.status for row in groups.rows([line.batch])}
    gained = [
        row.group.name
        for row in groups.rows([other.batch])
        if row.status != NONE_DECLARED and before[row.group.name] == NONE_DECLARED
    ]
    return f" (it brings {listed(gained)}, or may)" if gained else ""


def unit_of(declarer: Declarer, grams: Range) -> UnitCount | None:
    """Return the count of the unit of the law in force, or of UK units where that law has none."""
    own = units_of(grams, [declarer.law])
    if own:
        return own[0]
    british = units_of(grams, [load_jurisdiction("gb").in_force_on(declarer.law.day)])
    return british[0] if british else None


def _alcohol(
    declarer: Declarer,
    dish: str,
    asked: Asked,
    found: Found,
    plate: Plate,
    done: tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]],
) -> Answer:
    declaration = declarer.dish(dish)
    liquid = declarer.workings.larder.liquid
    facts = alcohol_facts(declaration.batch, liquid, [declarer.law])
    unit = unit_of(declarer, facts.ethanol_g)
    sources = declaration.alcohol.because
    heated, strength = False, 0.0
    if sources:
        first = sources[0]
        heated = first.heated
        parts = [line.batch for line in plate.lines if first.path in line.batch.present.values()]
        strength = max(_strength(part, liquid) for part in parts) if parts else _strength(declaration.batch, liquid)
    sentence = alcohol_sentence(
        found,
        tuple(dict.fromkeys(one.path[-1] for one in sources if one.high_g > 0.0)),
        heated=heated,
        percent_vol=strength,
        facts=facts,
        unit=unit,
        unmeasured=tuple(dict.fromkeys(one.path[-1] for one in sources if one.high_g <= 0.0)),
    )
    reasons = [
        f"{way_words(one.path)}: {'went through heat' if one.heated else 'not heated'}, "
        f"{spread(one.low_g, one.ethanol_g, one.high_g)} of alcohol in the portion."
        for one in sources[:_MOST_REASONS]
    ]
    if found.status == CONTAINS and facts.ethanol_g[2] > 0.0:
        reasons.append(_compared(facts, unit))
        reasons.extend(
            f"Law ({one.jurisdiction}): {one.words}: {one.as_text()}; by what the whole portion holds."
            for one in facts.thresholds
        )
    reasons.extend(
        f"A ferment can hold a little alcohol: {' > '.join(path)} ({words})." for path, words in found.ferments
    )
    reasons.extend(_open_reasons(found.unconfirmed))
    return Answer(
        dish,
        asked.word,
        found.status,
        sentence,
        found.because,
        found.unconfirmed,
        *done[:2],
        tuple(dict.fromkeys(reasons)),
        done[2],
        ALCOHOL_CAUTION,
        ethanol_g=facts.ethanol_g,
    )


def _strength(batch: Batch, liquid: tuple[bool, ...]) -> float:
    """Return millilitres of ethanol in 100 ml of a part, 0 where there is nothing in it. [% vol]"""
    if not len(batch.rows) or c.ethanol_g(batch.rows) <= 0.0:
        return 0.0
    return alcohol_facts(batch, liquid, []).by_volume_percent[1]


def _compared(facts: AlcoholFacts, unit: UnitCount | None) -> str:
    glass = count_words(facts.ethanol_g[1] / SMALL_GLASS_G, "small glass of wine")
    units = ""
    if unit is not None:
        low, estimate, high = unit.counts
        units = f", {estimate:.2g} {unit.name}s ({low:.2g} to {high:.2g}) of {unit.grams:g} g"
    return f"In the portion: {spread(*facts.ethanol_g)} of alcohol{units}; {glass} (125 ml at 12 % vol)."


def _nutrient(declarer: Declarer, dish: str, asked: Asked) -> Answer:
    """Answer with an amount of one portion; where an ingredient has no figure, what is known is a floor."""
    declaration = declarer.dish(dish)
    key = asked.key
    words, unit = NUTRIENT_WORDS.get(key, ("", key.rsplit("_", 1)[-1]))
    name = (words or "Energy").removeprefix("of which ").lower()
    value = _value(declarer, declaration.batch, key)
    gaps = _gaps(declarer, declaration, key)
    gone = {one.ingredient for one in gaps}
    names = declarer.workings.larder.names
    paths = tuple(path for place, path in declaration.batch.present.items() if names[place] in gone)
    kcal = f" ({amount(declaration.figures.sums['energy_kcal'], 'kcal')})" if key == "energy_kj" else ""
    said = f"{amount(value, unit)}{kcal} of {name} in the portion"
    reasons: tuple[str, ...] = ()
    if gaps:
        lacking = listed([one.ingredient for one in gaps[:6]])
        status = UNCONFIRMED
        sentence = f"{DO_NOT_KNOW} At least {said}: there is no figure for {lacking}."
        reasons = tuple(
            f"No figure for {one.ingredient}, {one.share:.1%} of what goes in." for one in gaps[:_MOST_REASONS]
        )
    elif value > 0.0:
        status, sentence = CONTAINS, f"About {said}, with the optional parts on."
    else:
        status, sentence = NONE_DECLARED, f"No {name} by the figures we have. {TELL_THE_KITCHEN}"
    plate = declarer.workings.plates[dish]
    optional = tuple(line_name(line) for line in plate.lines if line.line.optional and _holds(declarer, line, key))
    swap = tuple(line_name(one) for line in plate.lines for one in line.swaps if _holds(declarer, line, key))
    done = tuple(
        f"Without the {line_name(line)}: {amount(_value(declarer, line.batch, key), unit)} less."
        for line in plate.lines
        if line.line.optional and _holds(declarer, line, key)
    )
    return Answer(
        dish, asked.word, status, sentence, (), paths, optional, swap, reasons, done, DOSE_CAUTION, amount=value
    )


def _value(declarer: Declarer, batch: Batch, key: str) -> float:
    """Return a figure of a batch, by the law's definition where it has one. [unit the key ends in]"""
    if key in declarer.definitions.keys:
        return declarer.definitions.figures_of(batch).sums[key]
    column = next(column for known, column, _ in MORE_FIGURES.values() if known == key)
    return float(batch.rows[:, column].sum())


def _gaps(declarer: Declarer, declaration: Declaration, key: str) -> list[Missing]:
    """Return the ingredients without this figure, the largest share first."""
    if key in declarer.definitions.keys:
        return [one for one in declaration.figures.missing if one.nutrient == key]
    larder = declarer.workings.larder
    at = FIGURE_INDEX[next(name for known, _, name in MORE_FIGURES.values() if known == key)]
    ingoing = {place: put_in for place, put_in in declaration.batch.ingoing().items() if put_in > 0.0}
    total = sum(ingoing.values())
    gaps = [
        Missing(key, larder.names[place], put_in / total)
        for place, put_in in ingoing.items()
        if not larder.known[place, at]
    ]
    return sorted(gaps, key=lambda one: (-one.share, one.ingredient))


def _holds(declarer: Declarer, line: PlateLine, key: str) -> bool:
    return _value(declarer, line.batch, key) > 0.0
