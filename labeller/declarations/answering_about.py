"""Answer a guest's question about one dish: the sentence, the reason, what can be done, the caution."""

from labeller.declarations.alcohol_facts import Range, ThresholdSide, UnitCount, alcohol_facts, units_of
from labeller.declarations.allergen_rows import CONTAINS, NONE_DECLARED
from labeller.declarations.answered import MOST_REASONS, Answer, line_name
from labeller.declarations.answering_evidence import Finder, Found, swap_brings
from labeller.declarations.answering_figures import answer_figure, caffeine_by_the_packs
from labeller.declarations.answering_sentences import (
    ALCOHOL_CAUTION,
    ALLERGY_CAUTION,
    alcohol_sentence,
    allergen_sentence,
    asked_food,
    compared,
    may_message,
    not_known_reason,
    threshold,
    way_message,
)
from labeller.declarations.answering_words import Asked, asked_about
from labeller.declarations.declaring import Declarer
from labeller.declarations.speaking import (
    Foods,
    Message,
    Names,
    Spread,
    Ways,
    said,
)
from labeller.foundations.names import name_key
from labeller.jurisdictions.packs import load_jurisdiction
from labeller.kitchen import constituents as c
from labeller.kitchen.batch import Batch, Path
from labeller.kitchen.working_out import Plate, PlateLine


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
        return answer_figure(declarer, dish, asked)
    finder = Finder(declarer, asked)
    lines = [line.batch for line in plate.lines]
    found = finder.found(lines)
    optional, swap, done = _what_to_do(finder, plate, found)
    if asked.kind == "alcohol":
        return _alcohol(declarer, dish, asked, found, plate, (optional, swap, done))
    reasons: list[tuple[Message, ...]] = [
        (way_message(path),) for path in found.because[:MOST_REASONS] if found.status == CONTAINS
    ]
    reasons.extend((may_message(one),) for one in found.may[:MOST_REASONS])
    reasons.extend(_open_reasons(found.unconfirmed))
    if name_key(asked.word) == name_key("lactose"):
        reasons.append((said("reason, lactose"),))
    caffeine, grams = caffeine_by_the_packs(declarer, asked, found, lines)
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


def _open_reasons(unconfirmed: tuple[Path, ...]) -> list[tuple[Message, ...]]:
    return [not_known_reason(path) for path in unconfirmed[:MOST_REASONS]]


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
        for one in sources[:MOST_REASONS]
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
