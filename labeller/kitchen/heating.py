"""Ethanol left after heating.

References
----------
.. [1] USDA Table of Nutrient Retention Factors, Release 6 (2007), alcohol rows 5001 to 5010. The figure for 2.5 hours is blank in
   the public file; 5 is in the printed table (from memory) and in press of the same study (1989, 1990).
.. [2] Rayleigh distillation: retained ethanol = (W/W0)**alpha. Alpha is 13 in the dilute limit at the boil and about 8 where
   water leaves below it; 8 keeps more.
"""

import numpy as np

from labeller.foundations.quantities import Quantity
from labeller.kitchen import constituents as c
from labeller.kitchen.constituents import Floats
from labeller.kitchen.pan import HEAT_KINDS, Part, StepRefusedError, total_rows

RETENTION_BY_MINUTES = ((150.0, 0.05), (120.0, 0.10), (90.0, 0.20), (60.0, 0.25), (30.0, 0.35), (15.0, 0.40))
"""Rows 5009 to 5004: baked or simmered, stirred in [1]_. Between two rows the shorter counts."""

STIRRED_INTO_HOT = 0.85  # row 5002
FLAMED = 0.75  # row 5003
OVERNIGHT = 0.70  # row 5001
REDUCED_WITHOUT_TIME = 0.40  # row 5004: a reduction takes a quarter of an hour at the least
LEAST = 0.05
ALPHA = 8.0


def retention(kind: str, minutes: float | None) -> float:
    """Return the share of ethanol left by kind of heating and time, as the table has it. [1]"""
    if kind == "flame":
        return FLAMED
    if kind == "stir in":
        return STIRRED_INTO_HOT
    if kind == "reduce" and minutes is None:
        return REDUCED_WITHOUT_TIME
    return retention_by_time(minutes or 0.0)


def retention_by_time(minutes: float) -> float:
    """Return the row of the summed time; under a quarter of an hour it is that of stirring into hot food. [1]"""
    for least, share in RETENTION_BY_MINUTES:
        if minutes >= least - 1e-9:
            return share
    return STIRRED_INTO_HOT


def row_in_words(kind: str, minutes: float | None) -> str:
    """Say which row of the table was taken."""
    share = f"{retention(kind, minutes) * 100:.0f} %"
    if kind == "flame":
        return f"flamed, {share} stays (USDA row 5003)"
    if kind == "stir in":
        return f"stirred into hot food, {share} stays (USDA row 5002)"
    if kind == "reduce" and minutes is None:
        return f"reduced without a time, the row of 15 minutes, {share} stays (USDA row 5004)"
    for code, (least, _) in zip(("5009", "5008", "5007", "5006", "5005", "5004"), RETENTION_BY_MINUTES, strict=True):
        if (minutes or 0.0) >= least - 1e-9:
            return f"the row of {least:g} minutes, {share} stays (USDA row {code})"
    return f"under 15 minutes or no time given, {share} stays (USDA row 5002)"


def heat_parts(
    parts: list[Part],
    kind: str,
    minutes: float | None,
    lost: Quantity | None,
    field: str = "loses",
    only: list[Part] | None = None,
) -> tuple[Floats, str]:
    """Heat parts: ethanol leaves by its rule, the rest of a stated loss is water.

    Parameters
    ----------
    parts : list[Part]
        What is heated; changed in place.
    kind : str
        One of ``HEAT_KINDS``.
    minutes : float | None
        Time of this step. [min]
    lost : Quantity | None
        The whole loss of weight, where it is known, with its range where it is rough. [g]
    field : str
        The key the loss was written under, for the fault.
    only : list[Part] | None
        The parts whose ethanol leaves, where it is not that of all: what is stirred into hot food.

    Returns
    -------
    tuple[Floats, str]
        What left as steam, as one row of constituents, and what decided the range, in words.

    Raises
    ------
    StepRefusedError
        If the loss is more than the water and ethanol there.

    Notes
    -----
    Estimate: the row of the table [1]_ for the time this kind has had in this preparation, after the bound that no more ethanol
    leaves than weight (flaming apart). Low and high: the smaller and the larger of that and (W/W0)**8 [2]_, a rough loss at its own
    ends; where factors are multiplied, the high end takes at least the row of the summed time. At least 5 % of what went in stays.
    """
    parts = [part for part in parts if not part.ghost]
    lost_g = lost.estimate if lost is not None else None
    before = total_rows(parts)
    before_g = float(before[c.MASS].sum())
    steam = np.zeros(c.COLUMNS)
    if before_g <= 0.0:
        return steam, "nothing is in the pan"
    water_g, ethanol_g = float(before[c.WATER]), float(before[c.ETHANOL])
    if lost_g is not None and lost_g > water_g + ethanol_g + 1e-9 * before_g:
        raise StepRefusedError(
            f"{lost_g:.1f} g would leave, and there are {water_g + ethanol_g:.1f} g of water and alcohol in {before_g:.1f} g.",
            "Look at the weights again: water and alcohol are all that can leave as steam.",
            field,
        )
    leaving = [only is None or any(part is one for one in only) for part in parts]
    factors = [
        _factors(part, kind, minutes) if leaves else np.ones(len(part.rows))
        for part, leaves in zip(parts, leaving, strict=True)
    ]
    going = [part.rows[:, c.ETHANOL] * (1.0 - factor) for part, factor in zip(parts, factors, strict=True)]
    going_g = float(sum(one.sum() for one in going))
    decided = row_in_words(kind, _summed_minutes(parts, kind, minutes))
    if lost_g is not None and going_g > 0.0:
        bound = 1.0
        if going_g > lost_g and kind != "flame":
            bound = lost_g / going_g
            decided = f"no more alcohol can leave than weight ({lost_g:.0f} g)"
        elif lost_g - going_g > water_g:
            bound = min((lost_g - water_g) / going_g, ethanol_g / going_g)
            decided = "the loss is more than the water there, the rest is alcohol"
        going = [np.minimum(one * bound, part.rows[:, c.ETHANOL]) for one, part in zip(going, parts, strict=True)]
        going_g = float(sum(one.sum() for one in going))
    whole_loss_g = max(lost_g if lost_g is not None else 0.0, going_g)
    water_lost_g = whole_loss_g - going_g
    physics = _what_a_loss_leaves(whole_loss_g, before_g)
    ends = (physics, physics)
    if lost is not None and lost.rough:
        ends = _what_a_loss_leaves(lost.high, before_g), _what_a_loss_leaves(lost.low, before_g)
        if kind != "flame" and ethanol_g > 0.0:  # the bound, were the loss at its low end
            ends = ends[0], max(ends[1], 1.0 - lost.low / ethanol_g)
    water_share = min(1.0, water_lost_g / water_g) if water_g > 0.0 else 0.0
    for part, gone, leaves in zip(parts, going, leaving, strict=True):
        ethanol = part.rows[:, c.ETHANOL]
        left = np.divide(ethanol - gone, ethanol, out=np.ones_like(ethanol), where=ethanol > 0.0)
        steam[c.WATER] += float(part.rows[:, c.WATER].sum()) * water_share
        steam[c.ETHANOL] += float(gone.sum())
        part.rows[:, c.WATER] *= 1.0 - water_share
        part.rows[:, c.ETHANOL] = ethanol - gone
        if leaves:
            _carry_range(part, kind, minutes, left, (ends[0], physics, ends[1]))
    if ethanol_g > 0.0:
        decided += f"; the other end is what a loss of {100 * whole_loss_g / before_g:.1f} % of the weight leaves, {100 * physics:.0f} %"
    else:
        decided = f"{whole_loss_g:.0f} g leave as steam" if whole_loss_g > 0.0 else "nothing is said to leave"
    return steam, decided


def _factors(part: Part, kind: str, minutes: float | None) -> Floats:
    """Return what the table leaves of each row's ethanol, given the time this kind has had already."""
    place = c.HEAT_COLUMNS + 2 * HEAT_KINDS.index(kind)
    had, factor = part.heat[:, place], part.heat[:, place + 1]
    if minutes is None:
        target = np.where(had > 0.0, [retention_by_time(one) for one in had.tolist()], retention(kind, None))
    else:
        target = np.array([retention(kind, one + minutes) for one in had.tolist()])
    left = np.minimum(1.0, _ratio(target, factor))
    floor = np.minimum(1.0, _ratio(np.full_like(factor, LEAST), part.heat[:, c.H_ESTIMATE]))
    return np.maximum(left, floor)


def _what_a_loss_leaves(loss_g: float, before_g: float) -> float:
    """Return (W/W0)**8, the share of ethanol that a loss of weight leaves. [2]"""
    return float(max(0.0, 1.0 - loss_g / before_g) ** ALPHA)


def _summed_minutes(parts: list[Part], kind: str, minutes: float | None) -> float | None:
    """Return the minutes of this kind so far and of this step, of the row with the most ethanol. [min]"""
    place = c.HEAT_COLUMNS + 2 * HEAT_KINDS.index(kind)
    rows = [
        (ethanol, had)
        for part in parts
        for ethanol, had in zip(part.rows[:, c.ETHANOL].tolist(), part.heat[:, place].tolist(), strict=True)
    ]
    had = max(rows, default=(0.0, 0.0))[1]
    return had + (minutes or 0.0) if had > 0.0 else minutes


def _carry_range(
    part: Part, kind: str, minutes: float | None, left: Floats, physics: tuple[float, float, float]
) -> None:
    """Take the low and the high end along, and note the heating."""
    heat = part.heat
    place = c.HEAT_COLUMNS + 2 * HEAT_KINDS.index(kind)
    first = (heat[:, place] == 0.0) & (heat[:, place + 1] == 1.0)
    heat[:, c.H_COUNT] += first
    heat[:, place + 1] *= left
    heat[:, place] += minutes or 0.0
    counted = minutes if minutes is not None else 15.0 if kind == "reduce" else 0.0
    heat[:, c.H_MINUTES] += counted
    heat[:, c.H_ESTIMATE] *= left
    at_low, at_high = heat[:, c.H_PHYSICS] * physics[0], heat[:, c.H_PHYSICS] * physics[2]
    heat[:, c.H_PHYSICS] *= physics[1]
    low = np.maximum(LEAST, np.minimum(heat[:, c.H_ESTIMATE], at_low))
    low = np.minimum(np.minimum(low, heat[:, c.H_LOW]), heat[:, c.H_ESTIMATE])
    summed = np.array([retention_by_time(one) for one in heat[:, c.H_MINUTES].tolist()])
    high = np.maximum(np.maximum(heat[:, c.H_ESTIMATE], at_high), LEAST)
    high = np.where(heat[:, c.H_COUNT] > 1.0, np.maximum(high, summed), high)
    high = np.maximum(np.minimum(high, heat[:, c.H_HIGH]), heat[:, c.H_ESTIMATE])
    part.rows[:, c.LOWS] *= _ratio(low, heat[:, c.H_LOW])[:, None]
    part.rows[:, c.HIGHS] *= _ratio(high, heat[:, c.H_HIGH])[:, None]
    heat[:, c.H_LOW], heat[:, c.H_HIGH] = low, high


def _ratio(over: Floats, under: Floats) -> Floats:
    """Divide, with 1 where there is nothing left to divide by."""
    return np.divide(over, under, out=np.ones_like(under), where=under > 0.0)


def stand_overnight(parts: list[Part]) -> None:
    """Let the low end fall as one thin open dish did overnight (row 5001) [1]_; nothing leaves a closed tub."""
    for part in parts:
        low = np.maximum(LEAST, part.heat[:, c.H_LOW] * OVERNIGHT)
        low = np.minimum(low, part.heat[:, c.H_LOW])
        part.rows[:, c.LOWS] *= _ratio(low, part.heat[:, c.H_LOW])[:, None]
        part.heat[:, c.H_LOW] = low
