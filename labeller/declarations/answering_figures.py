"""Answer with a figure of one portion, and with what is missing from it: a guest may dose on it."""

from labeller.declarations.allergen_rows import CONTAINS, NONE_DECLARED, UNCONFIRMED
from labeller.declarations.answered import MOST_REASONS, Answer, line_name
from labeller.declarations.answering_evidence import Found
from labeller.declarations.answering_sentences import (
    DO_NOT_KNOW,
    DOSE_CAUTION,
    TELL_THE_KITCHEN,
    nutrient_name,
)
from labeller.declarations.answering_words import MORE_FIGURES, Asked
from labeller.declarations.declaring import Declaration, Declarer
from labeller.declarations.figures import Missing
from labeller.declarations.speaking import (
    Count,
    Figure,
    Message,
    Names,
    said,
)
from labeller.declarations.words import NUTRIENT_WORDS
from labeller.kitchen import constituents as c
from labeller.kitchen.batch import Batch
from labeller.kitchen.larder import FIGURE_INDEX
from labeller.kitchen.working_out import PlateLine


def answer_figure(declarer: Declarer, dish: str, asked: Asked) -> Answer:
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
            for one in gaps[:MOST_REASONS]
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


def caffeine_by_the_packs(
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
