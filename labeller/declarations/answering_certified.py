"""Asked whether a dish is what only certifiers can say: the plain facts behind the question, and never a certificate."""

from __future__ import annotations

from typing import TYPE_CHECKING

from labeller.declarations.allergen_rows import CONTAINS, MAY_CONTAIN, NONE_DECLARED, UNCONFIRMED
from labeller.declarations.answered import MOST_REASONS, Answer
from labeller.declarations.answering_evidence import RANK, Finder
from labeller.declarations.answering_sentences import (
    ALLERGY_CAUTION,
    DO_NOT_KNOW,
    TELL_THE_KITCHEN,
    asked_food,
    may_message,
    not_known_reason,
    not_with,
    way_message,
)
from labeller.declarations.answering_words import asked_about
from labeller.declarations.speaking import Verbatim, Ways, said

if TYPE_CHECKING:
    from labeller.declarations.allergen_rows import Path
    from labeller.declarations.answering_evidence import Found
    from labeller.declarations.answering_words import Asked
    from labeller.declarations.facts import BookFacts
    from labeller.declarations.speaking import AskedFood, Message

_MOST_WAYS = 3


def answer_certified(facts: BookFacts, dish: str, asked: Asked) -> Answer:
    """Answer with plain facts about each thing the question is about, such as alcohol and pork.

    Notes
    -----
    Nothing is said to be or not to be what was asked. The status is the strongest of the facts: ``contains`` where any of the things is in
    the dish. No swap is offered: what is rid of the one may bring the other; ``--without`` judges both at once.
    """
    lines = facts.plate(dish)
    facts_said: list[Message] = []
    status = NONE_DECLARED
    optional: list[str] = []
    because: list[Path] = []
    unconfirmed: list[Path] = []
    why: list[tuple[Message, ...]] = []
    for word in asked.words:
        one = asked_about(facts, word)
        finder = Finder(facts, one)
        found = finder.found(lines)
        facts_said.extend((*_fact(asked_food(one), found), *not_with(finder, lines, found)))
        status = max(status, found.status, key=lambda named: RANK[named])
        because.extend(found.because)
        unconfirmed.extend(found.unconfirmed)
        if found.status == CONTAINS:
            why.extend((way_message(path),) for path in found.because[:MOST_REASONS])
        why.extend((may_message(may),) for may in found.may[:MOST_REASONS])
        why.extend(not_known_reason(path) for path in found.unconfirmed[:MOST_REASONS])
        optional.extend(line.name for line in lines if line.optional and finder.found([line]).status != NONE_DECLARED)
    open_ = status != CONTAINS and (bool(unconfirmed) or status == UNCONFIRMED)
    sentences = (
        *((DO_NOT_KNOW,) if open_ else ()),
        said("facts, no certificate", word=Verbatim(asked.word)),
        *facts_said,
        TELL_THE_KITCHEN,
    )
    left_off = tuple(dict.fromkeys(optional))
    return Answer(
        dish,
        asked.word,
        status,
        sentences,
        tuple(dict.fromkeys(because)),
        tuple(dict.fromkeys(unconfirmed)),
        left_off,
        (),
        tuple(why),
        tuple(said("done, leave off", part=part) for part in left_off),
        ALLERGY_CAUTION,
        asked_food(asked),
    )


def _fact(thing: AskedFood, found: Found) -> list[Message]:
    """Return one fact as a sentence; what is not known beside it is said too."""
    facts: list[Message] = []
    if found.status in (CONTAINS, MAY_CONTAIN):
        key = "fact, contains" if found.status == CONTAINS else "fact, may contain"
        facts.append(said(key, thing=thing, ways=Ways(found.because[:_MOST_WAYS])))
    elif found.status == NONE_DECLARED:
        facts.append(said("fact, none declared", thing=thing))
    if found.unconfirmed:
        facts.append(said("fact, unconfirmed", thing=thing, ways=Ways(found.unconfirmed[:_MOST_WAYS])))
    return facts
