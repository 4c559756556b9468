"""What the household measures of a fetched food say in a book: a piece, a slice, a cup, or a density where it pours.

A measure is taken only where it maps cleanly: it names a unit of volume and nothing else, or counts pieces. ``cup, diced`` and
``serving`` are left out. The table's cup is the US cup of 236.6 ml; a book of another jurisdiction gets what its own cup holds.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from labeller.bringing_in.food_data_central_replies import FoodPortion
from labeller.bringing_in.food_data_central_settings import Trouble
from labeller.composition.measures import Measures, piece_weight, read_piece, volume_weight
from labeller.foundations.units import millilitres

_NOT_SAID: Final = "quantity not specified"
_CODE: Final = re.compile(r"\d*")
_POURS: Final = re.compile(r"\bfl(?:uid)? oz\b|,\s*fluid\b", re.IGNORECASE)
_UNITS: Final = ("cup", "tbsp", "tsp")
_MOST_MEASURES: Final = 6
_HEAVIEST_G: Final = 20_000.0


@dataclass(frozen=True, slots=True)
class FoodMeasures:
    """What a book can use: a piece [g], a density [g/ml], and what one of each measure weighs [g]."""

    piece_g: float | None
    density_g_per_ml: float | None
    measures_g: Mapping[str, float]


def read_measures(portions: tuple[FoodPortion, ...], jurisdiction: str) -> FoodMeasures | Trouble:
    """Return the measures of a food for a book of a jurisdiction.

    Parameters
    ----------
    portions : tuple of FoodPortion
        As fetched: the survey words them (``1 banana``), SR Legacy has them in ``modifier``, Foundation foods in ``measureUnit``.
    jurisdiction : str
        Whose cup and spoons the book means.
    """
    worded = []
    for one in portions:
        if one.gram_weight is None:
            continue
        if not 0.0 < one.gram_weight <= _HEAVIEST_G or (one.amount is not None and one.amount <= 0.0):
            words = (one.description or one.modifier or "a measure")[:60]
            return Trouble(
                f"The measure '{words}' is said to weigh {one.gram_weight:g} g, which cannot be.",
                "Nothing was taken of this food. Take another one, or write it from a pack.",
            )
        words = _words_of(one)
        if words:
            worded.append((one.gram_weight, words))
    return _for_a_book(tuple(worded), jurisdiction)


def _words_of(one: FoodPortion) -> str:
    """Return a measure worded as the reference table words it: ``1 cup, whipped``; '' where it says nothing."""
    description = one.description or ""
    modifier = one.modifier or ""
    if _CODE.fullmatch(modifier):
        modifier = ""  # the survey keeps a code of its own there
    if description and description.casefold() != _NOT_SAID:
        return description
    unit = one.unit.name if one.unit is not None and one.unit.name else ""
    if unit.casefold() in ("", "undetermined"):
        unit, modifier = modifier, ""
    if not unit:
        return ""
    if re.match(r"[\d.]", unit):
        return unit
    count = f"{one.amount:g}" if one.amount is not None else "1"
    return f"{count} {unit}{', ' + modifier if modifier else ''}"


def _for_a_book(worded: Measures, jurisdiction: str) -> FoodMeasures:
    volume = volume_weight(worded)
    pours = any(_POURS.search(words) for _, words in worded)
    piece = piece_weight(worded)
    measures: dict[str, float] = {}
    if volume is not None and not pours:
        for unit in _UNITS:
            measures[unit] = volume.g_per_ml * millilitres(unit, jurisdiction)
    for weight_g, words in worded:
        part = read_piece(weight_g, words)
        if part is not None and not part.is_whole and not part.size and part.noun not in measures:
            measures[part.noun] = part.weight_g
        if len(measures) >= _MOST_MEASURES:
            break
    return FoodMeasures(
        piece.weight_g if piece is not None else None,
        volume.g_per_ml if volume is not None and pours else None,
        measures,
    )
