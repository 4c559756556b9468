"""The constituents of a batch: one column each, in grams unless the name says otherwise.

A batch is a matrix of ingredients x these columns. The first block adds up to the weight; the second says of which; the third
carries what is not weight: how much was put in, and the ethanol of four cases.
"""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

# What the weight is made of. Carbohydrate stands without fibre, in two parts: what dissolves, and what stays (starch).
WATER, PROTEIN, FAT, DISSOLVING, STAYING, FIBRE, ASH, ETHANOL, OTHER = range(9)
MASS = slice(0, 9)

SATURATES, MONO, POLY, TRANS, SUGARS, POLYOLS, STARCH = range(9, 16)
SODIUM_MG, CHOLESTEROL_MG, POTASSIUM_MG, CALCIUM_MG, IRON_MG, VITAMIN_D_UG, CAFFEINE_MG, SO2_MG = range(16, 24)

# Ethanol in four cases. A and B are the two ends of every degree of approach in the jar (A: the fruit takes up least, B: most);
# low and high are the two ends of everything else. In each case ethanol is conserved, so no plate can hold more than went in.
INGOING, LOW_A, LOW_B, HIGH_A, HIGH_B = range(24, 29)
COLUMNS = 29
CASES = slice(LOW_A, HIGH_B + 1)
LOWS = slice(LOW_A, LOW_B + 1)
HIGHS = slice(HIGH_A, HIGH_B + 1)

# What moves towards one common liquid when solids steep, and what stays with its line.
MOVING = (WATER, DISSOLVING, ASH, ETHANOL, OTHER, SUGARS, POLYOLS, SODIUM_MG, POTASSIUM_MG, CALCIUM_MG, IRON_MG, CAFFEINE_MG, SO2_MG)  # fmt: skip
LIQUID_MASS = (WATER, DISSOLVING, ASH, ETHANOL, OTHER)
DISSOLVED_MASS = (DISSOLVING, ASH, OTHER)
STANDING_MASS = (PROTEIN, FAT, STAYING, FIBRE)

# Of a row's heating so far, so that a bake split in two counts as one: the factor of the estimate, of the physics, the minutes,
# how many factors were multiplied, and the factors of the high and the low end.
H_ESTIMATE, H_PHYSICS, H_MINUTES, H_COUNT, H_HIGH, H_LOW = range(6)
HEAT_COLUMNS = 6
UNHEATED = np.array([1.0, 1.0, 0.0, 0.0, 1.0, 1.0])


def weight_g(rows: Floats) -> float:
    """Return the weight of rows. [g]"""
    return float(rows[:, MASS].sum())


def ethanol_g(rows: Floats) -> float:
    """Return the estimate of the ethanol in rows. [g]"""
    return float(rows[:, ETHANOL].sum())


def ethanol_range_g(rows: Floats) -> tuple[float, float, float]:
    """Return low, estimate and high of the ethanol in rows. [g]"""
    sums = rows[:, [ETHANOL, LOW_A, LOW_B, HIGH_A, HIGH_B]].sum(axis=0)
    estimate = float(sums[0])
    return min(estimate, float(sums[1]), float(sums[2])), estimate, max(estimate, float(sums[3]), float(sums[4]))
