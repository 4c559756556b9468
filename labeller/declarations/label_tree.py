"""What went into a thing, line by line and part by part, as a list of ingredients prints it."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import NamedTuple

from labeller.book.entries import Line
from labeller.declarations.declaring import Declaration
from labeller.foundations.faults import Origin
from labeller.kitchen.making import Made, Taken
from labeller.kitchen.working_out import Workings

# A list nested deeper than this cannot be read on a label; what lies below stands as single ingredients.
_DEEPEST = 5


class Brought(NamedTuple):
    """A line of a recipe and the grams it brought, as put in. [g]"""

    origin: Origin
    text: str
    grams: float


@dataclass(frozen=True, slots=True)
class LabelPart:
    """An ingredient, or a compound ingredient with its parts.

    Attributes
    ----------
    name : str
        As the book calls it.
    weight_g : float
        Weight at the time of its use. [g]
    amounts : dict
        Grams of each bought-in ingredient behind it, as put in, by place in the larder. [g]
    place : int or None
        Place in the larder of a bought-in ingredient, None for a compound one made in house.
    parts : tuple of LabelPart
        Of a compound ingredient, heaviest first.
    lines : tuple of Brought
        The lines that brought it.
    """

    name: str
    weight_g: float
    amounts: dict[int, float]
    place: int | None = None
    parts: "tuple[LabelPart, ...]" = ()
    lines: tuple[Brought, ...] = ()

    def all_parts(self) -> "Iterator[LabelPart]":
        """Yield it and everything below."""
        yield self
        for part in self.parts:
            yield from part.all_parts()


def label_tree(workings: Workings, declaration: Declaration) -> tuple[LabelPart, ...]:
    """Return what a dish is made of, or a batch, heaviest first by weight at the time of use.

    Parameters
    ----------
    workings : Workings
        Of the book the declaration is of.
    declaration : Declaration
        A dish (one portion) or one thing a preparation gives (the batch).
    """
    if declaration.plate is None:
        made = workings.made[_made_of(workings, declaration.name)]
        return _parts_of(workings, made, _positive(declaration.batch.ingoing()), 1)
    found = [
        _part(workings, line.line, line.batch.weight_g, _positive(line.batch.ingoing()), 1)
        for line in declaration.plate.lines
        if not line.line.removed
    ]
    return _sorted([part for part in found if part is not None])


def _made_of(workings: Workings, given: str) -> str:
    return next(name for name, made in workings.made.items() if given in made.given)


def _positive(amounts: dict[int, float]) -> dict[int, float]:
    return {place: grams for place, grams in amounts.items() if grams > 0.0}


def _part(workings: Workings, line: Line, weight_g: float, amounts: dict[int, float], depth: int) -> LabelPart | None:
    target = line.target
    if target is None or not amounts:
        return None
    brought = (Brought(line.origin, line.text, sum(amounts.values())),)
    if target.kind == "ingredient":
        place = next(iter(amounts))
        return LabelPart(workings.larder.names[place], weight_g, amounts, place, (), brought)
    made = workings.made[target.entry]
    parts = (
        _parts_of(workings, made, amounts, depth + 1)
        if depth < _DEEPEST
        else _sorted([_leaf(workings, place, grams) for place, grams in amounts.items()])
    )
    return LabelPart(target.given, weight_g, amounts, None, parts, brought)


def _leaf(workings: Workings, place: int, grams: float) -> LabelPart:
    return LabelPart(workings.larder.names[place], grams, {place: grams}, place)


def _parts_of(workings: Workings, made: Made, amounts: dict[int, float], depth: int) -> tuple[LabelPart, ...]:
    """Share out the grams that stayed in a given part over the lines that brought them, by what each line put in."""
    lines = [taken for taken in made.taken if taken.batch is not None and not taken.line.removed]
    put_in = [_positive(taken.batch.ingoing()) if taken.batch is not None else {} for taken in lines]
    totals: dict[int, float] = {}
    for one in put_in:
        for place, grams in one.items():
            totals[place] = totals.get(place, 0.0) + grams
    found: list[LabelPart] = []
    for taken, one in zip(lines, put_in, strict=True):
        share = {
            place: amounts[place] * grams / totals[place]
            for place, grams in one.items()
            if amounts.get(place, 0.0) > 0.0
        }
        part = _part(workings, taken.line, _weight_of(taken, one, share), share, depth)
        if part is not None:
            found.append(part)
    # What no line brought: the oil of a fry, the water grains take up.
    found += [_leaf(workings, place, grams) for place, grams in amounts.items() if place not in totals]
    return _sorted(found)


def _weight_of(taken: Taken, put_in: dict[int, float], share: dict[int, float]) -> float:
    whole = sum(put_in.values())
    return taken.grams * sum(share.values()) / whole if whole > 0.0 else 0.0


def _sorted(parts: list[LabelPart]) -> tuple[LabelPart, ...]:
    """Put equal names together, heaviest first."""
    merged: dict[tuple[str, bool], LabelPart] = {}
    for part in parts:
        key = (part.name, part.place is None)
        other = merged.get(key)
        merged[key] = part if other is None else _added(other, part)
    return tuple(sorted(merged.values(), key=lambda part: (-part.weight_g, part.name)))


def _added(one: LabelPart, other: LabelPart) -> LabelPart:
    amounts = dict(one.amounts)
    for place, grams in other.amounts.items():
        amounts[place] = amounts.get(place, 0.0) + grams
    parts = _sorted([*one.parts, *other.parts])
    return replace(
        one,
        weight_g=one.weight_g + other.weight_g,
        amounts=amounts,
        parts=parts,
        lines=(*one.lines, *other.lines),
    )
