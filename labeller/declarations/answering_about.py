"""Answer a guest's question about one dish: the sentence, the reason, what can be done, the caution."""

from typing import Any

from labeller.declarations.alcohol_facts import Range, ThresholdSide, UnitCount, alcohol_facts, units_of
from labeller.declarations.allergen_rows import CONTAINS, NONE_DECLARED, UNCONFIRMED
from labeller.declarations.answering_evidence import Finder, Found, swap_brings
from labeller.declarations.answering_sentences import (
    ALCOHOL_CAUTION,
    ALLERGY_CAUTION,
    DO_NOT_KNOW,
    DOSE_CAUTION,
    TELL_THE_KITCHEN,
    alcohol_sentence,
    allergen_sentence,
    asked_food,
    compared,
    may_message,
    not_known_reason,
    nutrient_name,
    threshold,
    way_message,
)
from labeller.declarations.answering_words import MORE_FIGURES, Asked, asked_about
from labeller.declarations.declaring import Declaration, Declarer
from labeller.declarations.figures import Missing
from labeller.declarations.speaking import (
    BOOK_LANGUAGE,
    AskedFood,
    Count,
    Figure,
    Foods,
    Message,
    Names,
    Spread,
    Ways,
    said,
    speak,
    speak_all,
)
from labeller.declarations.words import NUTRIENT_WORDS
from labeller.foundations.names import name_key
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

    ``said``, ``why``, ``can_do`` and ``warning`` are sentences of the catalogue, to be spoken in any of its languages; ``thing`` is what
    was asked.
    ``optional`` are the parts that bring it and can be left off, ``swap`` what can stand in place of a part that brings it; ``clears``
    is true where doing all of that leaves a plate without it. ``amount`` is of one portion, in the unit of the figure.
    """

    dish: str
    about: str
    status: str
    said: tuple[Message, ...]
    because: tuple[Path, ...]
    unconfirmed: tuple[Path, ...]
    optional: tuple[str, ...]
    swap: tuple[str, ...]
    why: tuple[tuple[Message, ...], ...]
    can_do: tuple[Message, ...]
    warning: Message
    thing: AskedFood | Message
    ethanol_g: Range | None = None
    amount: float | None = None

    def sentence(self, language: str = BOOK_LANGUAGE) -> str:
        """Return what to read out."""
        return speak_all(self.said, language)

    def reasons(self, language: str = BOOK_LANGUAGE) -> list[str]:
        """Return the reasons behind it, each once."""
        return list(dict.fromkeys(speak_all(one, language) for one in self.why))

    def done(self, language: str = BOOK_LANGUAGE) -> list[str]:
        """Return what can be done about it."""
        return [speak(one, language) for one in self.can_do]

    def caution(self, language: str = BOOK_LANGUAGE) -> str:
        """Return the caution that fits."""
        return speak(self.warning, language)

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
            "sentence": self.sentence(),
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
    reasons: list[tuple[Message, ...]] = [
        (way_message(path),) for path in found.because[:_MOST_REASONS] if found.status == CONTAINS
    ]
    reasons.extend((may_message(one),) for one in found.may[:_MOST_REASONS])
    reasons.extend(_open_reasons(found.unconfirmed))
    if name_key(asked.word) == name_key("lactose"):
        reasons.append((said("reason, lactose"),))
    caffeine, grams = _caffeine(declarer, asked, found, lines)
    reasons.extend(caffeine)
    if asked.groups == ("nuts",):  # who says nuts may mean peanuts too
        reasons.extend(
            (said(f"reason, peanut {row.status}"),)
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
        tuple(reasons),
        done,
        ALLERGY_CAUTION,
        asked_food(asked),
        amount=grams,
    )


def _caffeine(
    declarer: Declarer, asked: Asked, found: Found, lines: list[Batch]
) -> tuple[list[tuple[Message, ...]], float | None]:
    """Return how much caffeine there is by the packs, in words and as milligrams; None where a pack does not say. [mg]"""
    if "caffeine" not in asked.sources or asked.narrow or found.status != CONTAINS:
        return [], None
    larder, ways = declarer.workings.larder, set(found.because)
    at = FIGURE_INDEX["caffeine_mg"]
    gone = [
        larder.names[place]
        for batch in lines
        for place, path in batch.present.items()
        if path in ways and not larder.known[place, at]
    ]
    value = sum(float(batch.rows[:, c.CAFFEINE_MG].sum()) for batch in lines)
    name, figure = nutrient_name("caffeine_mg"), Figure(value, "mg")
    if not gone:
        return [(said("nutrient, about", amount=figure, nutrient=name),)], value
    lacking = Names(tuple(dict.fromkeys(gone))[:6])
    if value > 0.0:
        return [(said("nutrient, at least", amount=figure, nutrient=name, names=lacking),)], None
    return [(said("nutrient, no figure", nutrient=name, names=lacking),)], None


def line_name(line: PlateLine) -> str:
    """Return the name a line of a plate goes by."""
    target = line.line.target
    if target is None:
        return line.line.name
    return target.given or target.entry


def _open_reasons(unconfirmed: tuple[Path, ...]) -> list[tuple[Message, ...]]:
    return [not_known_reason(path) for path in unconfirmed[:_MOST_REASONS]]


def _what_to_do(
    finder: Finder, plate: Plate, found: Found
) -> tuple[tuple[str, ...], tuple[str, ...], tuple[Message, ...]]:
    """Return what can be left off, what can be swapped in, and both in sentences; each line is judged on its own."""
    optional: list[str] = []
    swap: list[str] = []
    done: list[Message] = []
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
            done.append(said("done, leave off", part=line_name(line)))
        for one in clean:
            swap.append(line_name(one))
            done.append(_serve_in_place(finder, line, one))
        if clean and not line.line.optional:
            left.append(clean[0].batch)
        elif not line.line.optional:
            left.append(line.batch)
    if done:
        after = finder.found(left)
        if not left:
            done.append(said("done, nothing left"))
        elif after.status == NONE_DECLARED:
            done.append(said("done, cleared"))
        else:
            rest = after.because or after.unconfirmed
            done.append(said("done, not enough", names=Names(tuple(dict.fromkeys(path[0] for path in rest))[:6])))
    return tuple(dict.fromkeys(optional)), tuple(dict.fromkeys(swap)), tuple(done)


def _serve_in_place(finder: Finder, line: PlateLine, other: PlateLine) -> Message:
    """Return a swap, with what it brings in that the line did not."""
    gained = swap_brings(finder.declarer, line.batch, other.batch)
    part, instead = line_name(line), line_name(other)
    if gained:
        return said("done, serve in place, brings", part=part, other=instead, groups=Foods(gained))
    return said("done, serve in place", part=part, other=instead)


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
    done: tuple[tuple[str, ...], tuple[str, ...], tuple[Message, ...]],
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
    unmeasured = tuple(dict.fromkeys(one.path[-1] for one in sources if one.high_g <= 0.0))
    sentence = alcohol_sentence(
        found,
        tuple(dict.fromkeys(one.path[-1] for one in sources if one.high_g > 0.0)),
        heated=heated,
        percent_vol=strength,
        facts=facts,
        unit=unit,
        unmeasured=unmeasured,
    )
    reasons = [
        (
            way_message(one.path),
            # What its papers give no strength for is not known, which is never nought.
            said("reason, alcohol amount unknown")
            if one.high_g <= 0.0
            else said(
                "reason, alcohol heated" if one.heated else "reason, alcohol uncooked",
                grams=Spread(one.low_g, one.ethanol_g, one.high_g),
            ),
        )
        for one in sources[:_MOST_REASONS]
    ]
    more: list[tuple[Message, ...]] = []
    if found.status == CONTAINS and facts.ethanol_g[2] > 0.0:
        floor = (said("alcohol, may be more", names=Names(unmeasured)),) if unmeasured else ()
        more.append((compared(facts, unit), *floor))
        is_floor = bool(unmeasured or found.unconfirmed)
        more.extend(threshold(one) for one in facts.thresholds if not is_floor or _stands_with_more(one))
    more.extend((said("reason, ferment", way=Ways((path,)), words=words),) for path, words in found.ferments)
    more.extend(_open_reasons(found.unconfirmed))
    return Answer(
        dish,
        asked.word,
        found.status,
        sentence,
        found.because,
        found.unconfirmed,
        *done[:2],
        (*reasons, *more),
        done[2],
        ALCOHOL_CAUTION,
        asked_food(asked),
        ethanol_g=facts.ethanol_g,
    )


def _stands_with_more(one: ThresholdSide) -> bool:
    """Tell whether the side of a threshold stays the same however much more alcohol there is: a floor shows only that it is passed."""
    passed = one.bound in ("above", "at or above")
    return one.estimate == passed and one.high == passed


def _strength(batch: Batch, liquid: tuple[bool, ...]) -> float:
    """Return millilitres of ethanol in 100 ml of a part, 0 where there is nothing in it. [% vol]"""
    if not len(batch.rows) or c.ethanol_g(batch.rows) <= 0.0:
        return 0.0
    return alcohol_facts(batch, liquid, []).by_volume_percent[1]


def _nutrient(declarer: Declarer, dish: str, asked: Asked) -> Answer:
    """Answer with an amount of one portion; where an ingredient has no figure, what is known is a floor."""
    declaration = declarer.dish(dish)
    key = asked.key
    unit = NUTRIENT_WORDS[key][1] if key in NUTRIENT_WORDS else key.rsplit("_", 1)[-1]
    name = nutrient_name(key)
    value = _value(declarer, declaration.batch, key)
    gaps = _gaps(declarer, declaration, key)
    gone = {one.ingredient for one in gaps}
    names = declarer.workings.larder.names
    paths = tuple(path for place, path in declaration.batch.present.items() if names[place] in gone)
    figure: Figure | Message = Figure(value, unit)
    if key == "energy_kj":
        figure = said("energy in both units", kj=figure, kcal=Figure(declaration.figures.sums["energy_kcal"], "kcal"))
    reasons: tuple[tuple[Message, ...], ...] = ()
    sentences: tuple[Message, ...]
    if gaps:
        status = UNCONFIRMED
        lacking = Names(tuple(one.ingredient for one in gaps[:6]))
        known = said("nutrient, at least", amount=figure, nutrient=name, names=lacking)
        sentences = (DO_NOT_KNOW, known if value > 0.0 else said("nutrient, no figure", nutrient=name, names=lacking))
        reasons = tuple(
            (said("reason, no figure", ingredient=one.ingredient, share=Count(f"{100.0 * one.share:.1f}")),)
            for one in gaps[:_MOST_REASONS]
        )
    elif value > 0.0:
        status, sentences = CONTAINS, (said("nutrient, about", amount=figure, nutrient=name),)
    else:
        status, sentences = NONE_DECLARED, (said("nutrient, none", nutrient=name), TELL_THE_KITCHEN)
    plate = declarer.workings.plates[dish]
    optional = tuple(line_name(line) for line in plate.lines if line.line.optional and _holds(declarer, line, key))
    swap = tuple(line_name(one) for line in plate.lines for one in line.swaps if _holds(declarer, line, key))
    done = tuple(
        said("done, less", part=line_name(line), amount=Figure(_value(declarer, line.batch, key), unit))
        for line in plate.lines
        if line.line.optional and _holds(declarer, line, key)
    )
    return Answer(
        dish, asked.word, status, sentences, (), paths, optional, swap, reasons, done, DOSE_CAUTION, name, amount=value
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
