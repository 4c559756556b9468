"""Answer a guest's question about one dish: the sentence, the reason, what can be done, the caution."""

from __future__ import annotations

from typing import TYPE_CHECKING

from labeller.declarations.allergen_rows import CONTAINS, NONE_DECLARED
from labeller.declarations.answered import MOST_REASONS, Answer
from labeller.declarations.answering_certified import answer_certified
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
    not_with,
    threshold,
    way_message,
)
from labeller.declarations.answering_words import Asked, asked_about
from labeller.declarations.speaking import (
    Foods,
    Message,
    Names,
    Spread,
    Ways,
    said,
)
from labeller.foundations.names import name_key

if TYPE_CHECKING:
    from collections.abc import Sequence

    from labeller.declarations.alcohol_facts import ThresholdSide
    from labeller.declarations.allergen_rows import Path
    from labeller.declarations.facts import Answerable, BookFacts, Line


def answer_about(declarer: Answerable, dish: str, word: str) -> Answer:
    """Answer a question about a dish, as written: optional parts in, swaps out.

    Raises
    ------
    UnknownAboutError
        Where the word is not known.
    KeyError
        Where no plate of that name was laid.
    """
    facts = declarer.facts
    asked = asked_about(facts, word)
    lines = facts.plate(dish)
    if asked.kind == "nutrient":
        return answer_figure(facts, dish, asked)
    if asked.kind == "certified":
        return answer_certified(facts, dish, asked)
    finder = Finder(facts, asked)
    found = finder.found(lines)
    optional, swap, done = _what_to_do(finder, lines, found)
    if asked.kind == "alcohol":
        return _alcohol(facts, dish, asked, found, (optional, swap, done), not_with(finder, lines, found))
    reasons: list[tuple[Message, ...]] = [
        (way_message(path),) for path in found.because[:MOST_REASONS] if found.status == CONTAINS
    ]
    reasons.extend((may_message(one),) for one in found.may[:MOST_REASONS])
    reasons.extend(_open_reasons(found.unconfirmed))
    if name_key(asked.word) == name_key("lactose"):
        reasons.append((said("reason, lactose"),))
    caffeine, grams = caffeine_by_the_packs(facts, asked, found, lines)
    reasons.extend(caffeine)
    if asked.groups == ("nuts",):  # who says nuts may mean peanuts too
        reasons.extend((said(f"reason, peanut {row.status}"),) for row in facts.rows(lines, ("peanut",)))
    return Answer(
        dish,
        asked.word,
        found.status,
        (*allergen_sentence(asked, found), *not_with(finder, lines, found)),
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
    finder: Finder, lines: Sequence[Line], found: Found
) -> tuple[tuple[str, ...], tuple[str, ...], tuple[Message, ...]]:
    """Return what can be left off, what can be swapped in, and both in sentences; each line is judged on its own."""
    optional: list[str] = []
    swap: list[str] = []
    done: list[Message] = []
    if found.status == NONE_DECLARED:
        return (), (), ()
    left: list[Line] = []
    for line in lines:
        if finder.found([line]).status == NONE_DECLARED:
            left.append(line)
            continue
        clean = [one for one in line.swaps if finder.found([one]).status == NONE_DECLARED]
        if line.optional:
            optional.append(line.name)
            done.append(said("done, leave off", part=line.name))
        for one in clean:
            swap.append(one.name)
            done.append(_serve_in_place(finder, line, one))
        if clean and not line.optional:
            left.append(clean[0])
        elif not line.optional:
            left.append(line)
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


def _serve_in_place(finder: Finder, line: Line, other: Line) -> Message:
    """Return a swap, with what it brings in that the line did not."""
    gained = swap_brings(finder.facts, line, other)
    part, instead = line.name, other.name
    if gained:
        return said("done, serve in place, brings", part=part, other=instead, groups=Foods(gained))
    return said("done, serve in place", part=part, other=instead)


def _alcohol(
    book: BookFacts,
    dish: str,
    asked: Asked,
    found: Found,
    done: tuple[tuple[str, ...], tuple[str, ...], tuple[Message, ...]],
    not_with: tuple[Message, ...],
) -> Answer:
    facts, unit, sources, strength = book.alcohol(dish)
    unmeasured = tuple(dict.fromkeys(one.path[-1] for one in sources if one.high_g <= 0.0))
    sentence = alcohol_sentence(
        found,
        tuple(dict.fromkeys(one.path[-1] for one in sources if one.high_g > 0.0)),
        heated=bool(sources) and sources[0].heated,
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
        told = [one for one in facts.thresholds if _worth_saying(one)]
        more.extend(threshold(one) for one in told if not is_floor or _stands_with_more(one))
    more.extend((said("reason, ferment", way=Ways((path,)), words=words),) for path, words in found.ferments)
    more.extend(_open_reasons(found.unconfirmed))
    return Answer(
        dish,
        asked.word,
        found.status,
        (*sentence, *not_with),
        found.because,
        found.unconfirmed,
        *done[:2],
        (*reasons, *more),
        done[2],
        ALCOHOL_CAUTION,
        asked_food(asked),
        ethanol_g=facts.ethanol_g,
    )


def _worth_saying(one: ThresholdSide) -> bool:
    """Tell whether a side of the law matters at the table: a word that may not be used, and what a label may leave out, do not."""
    return one.key != "no_list_no_nutrition" and (one.kind != "word" or one.estimate or one.high)


def _stands_with_more(one: ThresholdSide) -> bool:
    """Tell whether the side of a threshold stays the same however much more alcohol there is: a floor shows only that it is passed."""
    passed = one.bound in ("above", "at or above")
    return one.estimate == passed and one.high == passed
