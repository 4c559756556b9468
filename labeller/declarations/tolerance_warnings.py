"""Where the recipe itself is less sure of a figure than the law allows the figure to be."""

import math
from dataclasses import dataclass

import numpy as np

from labeller.declarations.declaring import Declaration
from labeller.declarations.figures import Definitions
from labeller.declarations.label_tree import LabelPart, label_tree
from labeller.declarations.tolerances import AllowedRange, allowed_range
from labeller.jurisdictions.terms import NutrientLine
from labeller.kitchen import constituents as c
from labeller.kitchen.batch import Batch, Rough
from labeller.kitchen.working_out import Workings

# The most that one gram of anything can hold: of sodium, what salt holds (40 %, as Regulation (EU) No 1169/2011, Annex I, 11 counts
# it). Of other minerals and vitamins nothing sensible can be said.
_MOST_SODIUM_MG = 400.0


@dataclass(frozen=True, slots=True)
class WiderThanTolerance:
    """One figure that may lie outside its allowed range, as far as the recipe tells.

    ``low`` and ``high`` are what it may be, in the unit of the key per ``basis``, ``high`` infinite where it cannot be said; ``because`` names every reason in words.
    """

    key: str
    basis: str
    allowed: AllowedRange
    low: float
    high: float
    because: tuple[str, ...]


def tolerance_warnings(
    workings: Workings, definitions: Definitions, declaration: Declaration
) -> tuple[WiderThanTolerance, ...]:
    """Return the figures whose own uncertainty is wider than the law's tolerance.

    Notes
    -----
    Three things are counted, each at its worst: ingredients without the figure (from none of it to nothing but it), the range of
    ethanol for energy, and the ranges of rough amounts, by what each line brings and how it dilutes the rest. The ranges add up.
    """
    law = declaration.law
    found: list[WiderThanTolerance] = []
    lines = {line.key: line for line in reversed(law.nutrients) if line.key in law.tolerances}
    if not lines or declaration.weight_g <= 0.0:
        return ()
    rough = _rough_parts(workings, definitions, declaration)
    for key, line in lines.items():
        if key not in declaration.figures.sums:
            continue
        basis = _basis(line, declaration)
        factor = 100.0 / declaration.weight_g if basis == "per_100_g" else 1.0
        value = max(0.0, declaration.figures.sums[key] * factor)
        low, high, because = value, value, []
        missing = [one for one in declaration.figures.missing if one.nutrient == key]
        if missing:
            put_in_g = sum(one.grams for one in declaration.ingredients if not one.removed)
            high += sum(one.share for one in missing) * put_in_g * factor * _most_per_gram(definitions, key)
            because += [f"{one.ingredient} has no such figure ({_percent(one.share)})" for one in missing]
        if key.startswith("energy_"):
            below, above = _ethanol_range(definitions, declaration, key)
            if above > 0.0 or below > 0.0:
                low, high = low - below * factor, high + above * factor
                because.append("the alcohol left is a range")
        for one, part in rough:
            below, above = _rough_range(declaration, key, one, part, per_100_g=basis == "per_100_g")
            if below > 0.0 or above > 0.0:
                low, high = low - below, high + above
                because.append(f"'{one.text}' is a rough amount")
        allowed = allowed_range(law.tolerances, law.rounding, key, value)
        low = max(0.0, low)
        if allowed is not None and because and not (allowed.holds(low) and allowed.holds(high)):
            found.append(WiderThanTolerance(key, basis, allowed, low, high, tuple(dict.fromkeys(because))))
    return tuple(found)


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %" if share >= 0.005 else "less than 1 %"


def _basis(line: NutrientLine, declaration: Declaration) -> str:
    """Return the basis the law counts by, 100 g for a batch, which has no portion."""
    return line.basis[0] if declaration.kind == "dish" else "per_100_g"


def _most_per_gram(definitions: Definitions, key: str) -> float:
    if key.startswith("energy_"):
        factors = definitions.law.energy_factors.values()
        return max(one.kj if key == "energy_kj" else one.kcal for one in factors)
    if key == "sodium_mg":
        return _MOST_SODIUM_MG
    return 1.0 if key.endswith("_g") else math.inf


def _ethanol_range(definitions: Definitions, declaration: Declaration, key: str) -> tuple[float, float]:
    """Return how far energy may lie below and above by the range of ethanol. [kJ or kcal]"""
    alcohol = definitions.law.energy_factors.get("alcohol")
    if alcohol is None:
        return 0.0, 0.0
    per_gram = alcohol.kj if key == "energy_kj" else alcohol.kcal
    low, estimate, high = declaration.alcohol.ethanol_g
    return max(0.0, estimate - low) * per_gram, max(0.0, high - estimate) * per_gram


@dataclass(frozen=True, slots=True)
class _Brought:
    """What one rough line brings into the thing declared: its figures and its weight as put in. [g]"""

    sums: dict[str, float]
    grams: float


def _rough_parts(
    workings: Workings, definitions: Definitions, declaration: Declaration
) -> list[tuple[Rough, _Brought]]:
    if not declaration.rough:
        return []
    everything = [part for top in label_tree(workings, declaration) for part in top.all_parts()]
    found: list[tuple[Rough, _Brought]] = []
    for one in declaration.rough:
        amounts: dict[int, float] = {}
        for part in everything:
            share = _share_of_line(part, one)
            if share > 0.0:
                for place, grams in part.amounts.items():
                    amounts[place] = amounts.get(place, 0.0) + grams * share
        if amounts and one.taken_as_g > 0.0:
            found.append((one, _Brought(_figures_of(workings, definitions, amounts), sum(amounts.values()))))
    return found


def _share_of_line(part: LabelPart, one: Rough) -> float:
    """Return what share of a part one line brought; equal names of several lines were put together."""
    whole = sum(line.grams for line in part.lines)
    own = sum(line.grams for line in part.lines if (line.origin, line.text) == (one.origin, one.text))
    return own / whole if whole > 0.0 else 0.0


def _figures_of(workings: Workings, definitions: Definitions, amounts: dict[int, float]) -> dict[str, float]:
    ids = np.fromiter(amounts, dtype=np.intp, count=len(amounts))
    grams = np.fromiter(amounts.values(), dtype=np.float64, count=len(amounts))
    rows = workings.larder.per_gram[ids] * grams[:, None]
    heat = np.tile(c.UNHEATED, (len(ids), 1))
    return definitions.figures_of(Batch(ids, rows, heat)).sums


def _rough_range(
    declaration: Declaration, key: str, one: Rough, part: _Brought, *, per_100_g: bool
) -> tuple[float, float]:
    """Return how far a figure may lie below and above by one rough amount, in the unit of the basis."""
    whole, weight = declaration.figures.sums[key], declaration.weight_g
    now = whole / weight * 100.0 if per_100_g else whole
    ends = []
    for grams in (one.low_g, one.high_g):
        change = grams / one.taken_as_g - 1.0
        new = whole + change * part.sums.get(key, 0.0)
        new_weight = weight + change * part.grams
        if new_weight <= 0.0 or not math.isfinite(new):
            continue
        ends.append(new / new_weight * 100.0 if per_100_g else new)
    if not ends:
        return 0.0, 0.0
    tiny = 1e-9 * max(1.0, abs(now))
    below, above = now - min(ends), max(ends) - now
    return (below if below > tiny else 0.0), (above if above > tiny else 0.0)
