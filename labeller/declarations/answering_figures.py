"""Answer with a figure of one portion, and with what is missing from it: a guest may dose on it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from labeller.declarations.allergen_rows import CONTAINS, NONE_DECLARED, UNCONFIRMED
from labeller.declarations.answered import MOST_REASONS, Answer
from labeller.declarations.answering_sentences import (
    DO_NOT_KNOW,
    DOSE_CAUTION,
    TELL_THE_KITCHEN,
    nutrient_name,
)
from labeller.declarations.speaking import (
    Count,
    Figure,
    Message,
    Names,
    said,
)
from labeller.declarations.words import NUTRIENT_WORDS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from labeller.declarations.answering_evidence import Found
    from labeller.declarations.answering_words import Asked
    from labeller.declarations.facts import BookFacts, Line


def answer_figure(facts: BookFacts, dish: str, asked: Asked) -> Answer:
    """Answer with an amount of one portion; where an ingredient has no figure, what is known is a floor."""
    portion = facts.portion(dish)
    key = asked.key
    unit = NUTRIENT_WORDS[key][1] if key in NUTRIENT_WORDS else key.rsplit("_", 1)[-1]
    name = nutrient_name(key)
    value, gaps = portion.sums[key], portion.gaps[key]
    gone = {one.ingredient for one in gaps}
    paths = tuple(path for place, path in facts.ways(dish).items() if facts.ingredients[place] in gone)
    figure: Figure | Message = Figure(value, unit)
    if key == "energy_kj":
        figure = said("energy in both units", kj=figure, kcal=Figure(portion.sums["energy_kcal"], "kcal"))
    reasons: tuple[tuple[Message, ...], ...] = ()
    sentences: tuple[Message, ...]
    if gaps:
        status = UNCONFIRMED
        lacking = Names(tuple(one.ingredient for one in gaps[:6]))
        known = said("nutrient, at least", amount=figure, nutrient=name, names=lacking)
        sentences = (DO_NOT_KNOW, known if value > 0.0 else said("nutrient, no figure", nutrient=name, names=lacking))
        reasons = tuple(
            (said("reason, no figure", ingredient=one.ingredient, share=Count(f"{100.0 * one.share:.1f}")),)
            for one in gaps[:MOST_REASONS]
        )
    elif value > 0.0:
        status, sentences = CONTAINS, (said("nutrient, about", amount=figure, nutrient=name),)
    else:
        status, sentences = NONE_DECLARED, (said("nutrient, none", nutrient=name), TELL_THE_KITCHEN)
    plate = facts.plate(dish)
    optional = tuple(line.name for line in plate if line.optional and facts.line_value(line, key) > 0.0)
    swap = tuple(one.name for line in plate for one in line.swaps if facts.line_value(line, key) > 0.0)
    done = tuple(
        said("done, less", part=line.name, amount=Figure(facts.line_value(line, key), unit))
        for line in plate
        if line.optional and facts.line_value(line, key) > 0.0
    )
    return Answer(
        dish, asked.word, status, sentences, (), paths, optional, swap, reasons, done, DOSE_CAUTION, name, amount=value
    )


def caffeine_by_the_packs(
    facts: BookFacts, asked: Asked, found: Found, lines: Sequence[Line]
) -> tuple[list[tuple[Message, ...]], float | None]:
    """Return how much caffeine there is by the packs, in words and as milligrams; None where a pack does not say. [mg]"""
    if "caffeine" not in asked.sources or asked.narrow or found.status != CONTAINS:
        return [], None
    ways = set(found.because)
    gone = [
        facts.ingredients[place]
        for line in lines
        for place, path in line.present.items()
        if path in ways and not facts.words(place).caffeine_known
    ]
    value = sum(line.caffeine_mg for line in lines)
    name, figure = nutrient_name("caffeine_mg"), Figure(value, "mg")
    if not gone:
        return [(said("nutrient, about", amount=figure, nutrient=name),)], value
    lacking = Names(tuple(dict.fromkeys(gone))[:6])
    if value > 0.0:
        return [(said("nutrient, at least", amount=figure, nutrient=name, names=lacking),)], None
    return [(said("nutrient, no figure", nutrient=name, names=lacking),)], None
