"""Weigh what is on the bench at the end: the pan, or the solids and the liquor that were parted.

Composition is kept; the scale decides the grams. Nothing appears from nothing: a difference is water that left or was taken up, or
comes from the other part, or stays in the jar.
"""

import numpy as np

from labeller.kitchen import constituents as c
from labeller.kitchen.constituents import Floats
from labeller.kitchen.pan import Pan, Part, StepRefusedError, pan_heat, total_rows, total_weight_g
from labeller.kitchen.steps import dry_matter_g

MOST_WATER_TAKEN_UP = 6.0
"""Water taken up is at most this many times the dry matter; grains and pulses take up to 5.4 (USDA SR28, oats)."""


def weigh_pan(pan: Pan, wanted_g: float, water_id: int, water_per_gram: Floats) -> None:
    """Make the pan weigh what the scale said: the difference is water that left, or water taken up.

    Parameters
    ----------
    pan : Pan
        The pan when its method is done; changed in place.
    wanted_g : float
        The weight on the scale. [g]
    water_id : int
        The ingredient that is water.
    water_per_gram : (29,)
        Constituents of one gram of it.

    Raises
    ------
    StepRefusedError
        Where water cannot explain the weight.
    """
    weight = total_weight_g(pan.main)
    sums = total_rows(pan.main)
    difference = wanted_g - weight
    if abs(difference) <= 1e-9 * max(1.0, weight):
        return
    if difference < 0.0:
        _let_water_leave(pan, wanted_g, weight, sums)
        return
    dry = dry_matter_g(sums)
    if difference > MOST_WATER_TAKEN_UP * dry:
        raise StepRefusedError(
            f"{wanted_g:.0f} g is {difference:.0f} g more than the {weight:.0f} g in the pan, and {dry:.0f} g of dry matter cannot take up so much water.",
            "Weigh it again, or write down the line that is missing.",
            "gives",
        )
    pan.main.append(
        Part(
            "water taken up",
            frozenset(),
            np.array([water_id], dtype=np.intp),
            (water_per_gram * difference)[None, :],
            pan_heat(c.UNHEATED[None, :]),
        )
    )
    pan.taken_up_g = difference


def _let_water_leave(pan: Pan, wanted_g: float, weight: float, sums: Floats) -> None:
    water, ethanol = float(sums[c.WATER]), float(sums[c.ETHANOL])
    gone = weight - wanted_g
    if gone > water + ethanol + 1e-9:
        raise StepRefusedError(
            f"{wanted_g:.0f} g is less than the dry matter there: {weight:.0f} g went so far, of which {water + ethanol:.0f} g are water and alcohol.",
            "Weigh it again, or say in the method what was left behind.",
            "gives",
        )
    water_gone = min(gone, water)
    share = water_gone / water if water > 0.0 else 0.0
    ethanol_share = min(1.0, (gone - water_gone) / ethanol) if ethanol > 0.0 else 0.0
    steam = np.zeros((1, c.COLUMNS))
    steam[0, c.WATER], steam[0, c.ETHANOL] = water_gone, gone - water_gone
    pan.send("steam", steam)
    for part in pan.main:
        part.rows[:, c.WATER] *= 1.0 - share
        part.rows[:, c.ETHANOL] *= 1.0 - ethanol_share
        part.rows[:, c.CASES] *= 1.0 - ethanol_share


def weigh_parts(pan: Pan, liquor_g: float | None, solids_g: float | None) -> None:
    """Let weighed parts win: the difference goes to or comes from the other part, or stays in the jar where both are weighed.

    Raises
    ------
    StepRefusedError
        Where more was weighed than went in.
    """
    if liquor_g is None and solids_g is None:
        return
    liquor, solids = total_weight_g(pan.main), total_weight_g(pan.solids)
    total = liquor + solids
    wanted = (liquor_g or 0.0) + (solids_g or 0.0)
    if wanted > total * (1.0 + 1e-9):
        raise StepRefusedError(
            f"{wanted:.0f} g were weighed out of the {total:.0f} g that went in.",
            "Weigh again, or write down the line that is missing.",
            "weighs",
        )
    if liquor_g is not None and solids_g is not None:
        _left_in_jar(pan, liquor_g, solids_g)
    elif liquor_g is not None:
        _hand_over(pan.main, pan.solids, liquor_g - liquor)
    elif solids_g is not None:
        _hand_over(pan.solids, pan.main, solids_g - solids)


def _left_in_jar(pan: Pan, liquor_g: float, solids_g: float) -> None:
    for parts, other, wanted in ((pan.main, pan.solids, liquor_g), (pan.solids, pan.main, solids_g)):
        over = wanted - total_weight_g(parts)
        if over > 0.0:
            _hand_over(parts, other, over)
    for parts, wanted in ((pan.main, liquor_g), (pan.solids, solids_g)):
        now = total_weight_g(parts)
        share = max(0.0, 1.0 - wanted / now) if now > 0.0 else 0.0
        for part in parts:
            pan.send("left in the jar", part.rows * share)
            part.rows *= 1.0 - share


def _hand_over(weighed: list[Part], other: list[Part], more_g: float) -> None:
    """Make weighed parts heavier (or lighter) by grams of their own composition, taken from (or given to) the other part.

    Where the other part has not enough of some ingredient for that, the gain is of the other part's own composition, so that nothing
    appears from nothing.
    """
    now = total_weight_g(weighed)
    if more_g < 0.0:
        share = -more_g / now if now > 0.0 else 0.0
        for part in list(weighed):
            other.append(Part(f"from {part.label}", frozenset(), part.ids, part.rows * share, part.heat.copy()))
            part.rows *= 1.0 - share
        return
    factor = more_g / now if now > 0.0 else 0.0
    gains = [(part, part.rows * factor) for part in weighed]
    if factor > 0.0 and _take_out(other, gains):
        for part, gain in gains:
            part.rows = part.rows + gain
        return
    there = total_weight_g(other)
    share = min(1.0, more_g / there) if there > 0.0 else 0.0
    for part in list(other):
        weighed.append(Part(f"from {part.label}", frozenset(), part.ids, part.rows * share, part.heat.copy()))
        part.rows *= 1.0 - share


def _take_out(other: list[Part], gains: list[tuple[Part, Floats]]) -> bool:
    """Take rows out of the other part, ingredient by ingredient; False (and nothing done) where it has too little of one."""
    wanted: dict[int, Floats] = {}
    for part, gain in gains:
        for place, row in zip(part.ids.tolist(), gain, strict=True):
            wanted[place] = wanted[place] + row if place in wanted else row.copy()
    have: dict[int, Floats] = {}
    for part in other:
        for place, row in zip(part.ids.tolist(), part.rows, strict=True):
            have[place] = have[place] + row if place in have else row.copy()
    columns = [*range(c.INGOING), c.LOW_A, c.LOW_B, c.HIGH_A, c.HIGH_B]
    for place, row in wanted.items():
        if place not in have or np.any(row[columns] > have[place][columns] * (1.0 + 1e-9) + 1e-12):
            return False
    for part in other:
        for position, place in enumerate(part.ids.tolist()):
            if place in wanted:
                whole = have[place]
                left = np.divide(whole - wanted[place], whole, out=np.ones_like(whole), where=np.abs(whole) > 0.0)
                part.rows[position] = part.rows[position] * np.clip(left, 0.0, None)
    return True
