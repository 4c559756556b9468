"""Steeping: solids and liquid move towards one common liquid.

References
----------
.. [1] Mass balance of a common liquid: everything but protein, fat, fibre and starch is one liquid; drained solids hold the part of it that
   their drained weight leaves room for. Derived.
.. [2] Crank, The Mathematics of Diffusion: approach to equilibrium of a sphere or slab in a large bath by its Fourier number.
.. [3] Diffusion in fruit about 1e-10 m2/s in cut flesh and 0.5e-10 with the skin on (Maldonado and Gonzalez Pacheco, Heliyon 8
   (2022) e08788, soluble solids of cherry 1.24e-10 in flesh, 0.54e-10 in skin). An intact waxy skin slows it by an order of magnitude;
   small whole fruit of three weeks counts as ready: common practice, no source.
"""

import math
from functools import lru_cache

import numpy as np

from labeller.foundations.names import fold_text
from labeller.foundations.plain import dataclass
from labeller.kitchen import constituents as c
from labeller.kitchen.constituents import Floats
from labeller.kitchen.pan import Part, total_rows

DRAINED = 0.95
DRAINED_WITH_SUGAR = 0.80
DRAINED_SOFT_BERRIES = 0.65
DRAINED_DRIED = 1.4
SUGAR_THAT_SHRINKS_G_PER_L = 200.0
FILM_INCLUDED = 0.05
"""Liquor that clings to drained fruit and is already in the drained-weight ratio. [share of the weight put in]"""
_SOFT = ("raspberr", "strawberr", "blackberr", "mulberr", "loganberr", "boysenberr", "cloudberr")
PARTITION_LOW = 0.9
"""Ethanol in the liquid of the tissue over that of the liquor: 0.9 to 1, 1 taken; from memory, unconfirmed."""


@dataclass(frozen=True, slots=True)
class Approach:
    """Degree of approach to the common liquid, 0 to 1: low, estimate and high, and what decides it."""

    low: float
    estimate: float
    high: float
    words: str


# Diffusivity over radius squared for low, estimate and high [1/s]: spheres, but for cut pieces, peel and spice, which are slabs. The
# estimate of whole fruit is set so that three weeks bring small fruit to 0.9 [3]_; low and high enclose plum-sized fruit with a whole skin
# (0.5 at three weeks) and cherries (1.0).
_SPHERE, _SLAB = "sphere", "slab"
_RATES: dict[str, tuple[str, float, float, float, str]] = {
    "whole with skin": (
        _SPHERE,
        1.68e-8,
        1.0087e-7,
        1.0e-6,
        "whole fruit with its skin takes up slowly: 0.9 of the way in three weeks, 0.5 to 1 by its size",
    ),
    "pricked": (_SPHERE, 2.5e-7, 5.0e-7, 2.0e-6, "pricked fruit takes up through the holes"),
    "frozen": (_SPHERE, 4.0e-7, 1.0e-6, 3.0e-6, "frozen and thawed fruit has lost its cell walls' hold"),
    "cut": (_SLAB, 1.0e-6, 4.0e-6, 1.6e-5, "cut fruit takes up through its faces within days"),
    "dried": (_SPHERE, 4.0e-7, 2.0e-6, 8.0e-6, "dried fruit swells and takes up within days"),
    "peel": (_SLAB, 2.0e-5, 1.0e-4, 4.0e-4, "peel is thin"),
    "spice": (_SLAB, 1.0e-5, 5.0e-5, 4.0e-4, "spice is small"),
    "": (_SPHERE, 1.68e-8, 1.0087e-7, 4.0e-6, "nothing says whether it is cut or whole, so the range is wide"),
}
_WITHOUT_TIME = Approach(0.5, 0.9, 1.0, "no time is given, so the range is wide")


@lru_cache(maxsize=1024)
def approach_fraction(shape: str, fourier: float) -> float:
    """Return the approach to equilibrium of a sphere or a slab in a large bath. [1]

    Parameters
    ----------
    shape : str
        'sphere' (length: radius) or 'slab' (length: half its thickness).
    fourier : float
        Diffusivity x time / length squared. [1]

    Notes
    -----
    Crank's series [2]_: sphere E = 1 - 6/pi^2 sum exp(-n^2 pi^2 Fo)/n^2; slab E = 1 - 8/pi^2 sum exp(-(2n+1)^2 pi^2 Fo/4)/(2n+1)^2.
    """
    if fourier <= 0.0:
        return 0.0
    # Terms whose exponent is beyond 700 are below 1e-304 and are left out.
    total = 0.0
    if shape == _SPHERE:
        for n in range(1, 400):
            exponent = (n * math.pi) ** 2 * fourier
            if exponent > 700.0:
                break
            total += math.exp(-exponent) / n**2
        return min(1.0, max(0.0, 1.0 - 6.0 / math.pi**2 * total))
    for n in range(400):
        exponent = ((2 * n + 1) * math.pi) ** 2 * fourier / 4.0
        if exponent > 700.0:
            break
        total += math.exp(-exponent) / (2 * n + 1) ** 2
    return min(1.0, max(0.0, 1.0 - 8.0 / math.pi**2 * total))


def approach_after(as_: str, minutes: float | None) -> Approach:
    """Return the degree of approach of solids that went in a certain way after a time."""
    if minutes is None:
        return _WITHOUT_TIME
    shape, low, estimate, high, words = _RATES[as_]
    seconds = minutes * 60.0
    return Approach(
        approach_fraction(shape, low * seconds),
        approach_fraction(shape, estimate * seconds),
        approach_fraction(shape, high * seconds),
        words,
    )


def drained_ratio(part: Part, as_: str, liquor: list[Part]) -> tuple[float, str]:
    """Return drained weight over weight put in, with its ground. [1] All from trade experience, from memory."""
    if as_ in ("dried", "spice"):
        return DRAINED_DRIED, "dried goods swell to 1.4 of their weight"
    label = fold_text(part.label)
    if any(word in label for word in _SOFT):
        return DRAINED_SOFT_BERRIES, "soft berries collapse to 0.65 of their weight"
    sums = total_rows(liquor)
    litres = (float(sums[c.WATER] + sums[c.ETHANOL]) + 0.62 * float(sums[list(c.DISSOLVED_MASS)].sum())) / 1000.0
    if litres > 0.0 and float(sums[c.SUGARS]) / litres >= SUGAR_THAT_SHRINKS_G_PER_L:
        return DRAINED_WITH_SUGAR, "sugar draws water out of the fruit, which drains to 0.80 of its weight"
    return DRAINED, "drained fruit weighs 0.95 of what went in"


@dataclass(frozen=True, slots=True)
class _Shares:
    """What solids take of their own liquid and of everything else's, for one degree of approach."""

    own: float
    common: float


def _shares(held_g: float, own_g: float, others_g: float, approach: float, thinner: float = 1.0) -> _Shares:
    """Work out the shares for solids that end holding ``held_g`` of liquid.

    (1 - E) of the liquid held is the solids' own, E of it the common liquid [1]_; solids cannot keep more of their own than they have.
    ``thinner`` is what the tissue's share of the common liquid is multiplied by, for ethanol it lets in less readily.
    """
    all_g = own_g + others_g
    if all_g <= 0.0 or held_g <= 0.0:
        return _Shares(0.0, 0.0)
    held_g = min(held_g, all_g)
    own = held_g * ((1.0 - approach) / own_g + approach / all_g) if own_g > 0.0 else 0.0
    own = min(1.0, own)
    common = (held_g - own * own_g) / others_g if others_g > 0.0 else 0.0
    if common > 1.0:
        common, own = 1.0, min(1.0, (held_g - others_g) / own_g) if own_g > 0.0 else 1.0
    return _Shares(own, max(0.0, common) * thinner)


def _thinned(partition: float, held_g: float, all_g: float) -> float:
    """Return ethanol in the tissue's liquid over that of the common liquid, where the tissue holds K of the liquor's strength.

    x m = K y in the tissue and y in the liquor, ethanol conserved: m = K / (1 - (1 - K) held / all). [1]
    """
    return partition / (1.0 - (1.0 - partition) * held_g / all_g) if all_g > 0.0 else 1.0


def steep(
    solids: list[Part], liquor: list[Part], drained_g: list[float], approach: Approach
) -> tuple[list[Part], list[Part]]:
    """Let solids and liquor exchange; return them as they are after.

    Parameters
    ----------
    solids, liquor : list[Part]
        Lines that steep, and the lines they steep in.
    drained_g : list[float]
        What each of the solids weighs drained. [g]
    approach : Approach
        Degree of approach; in the estimate ethanol is conserved between the two, and so it is in each case of the range.

    Notes
    -----
    Solids one after another take their share of the common liquid; with several, each meets the liquid of all.
    """
    liquid = list(c.LIQUID_MASS)
    own_g = [float(part.rows[:, liquid].sum()) for part in solids]
    others_all_g = float(total_rows(liquor)[liquid].sum())
    all_g = sum(own_g) + others_all_g
    new_solids: list[Part] = []
    # What is left of each part's liquid when every solid has taken its share, by case: columns of the matrix, the estimate, A, B.
    taken = {
        name: np.zeros((len(solids), len(solids) + len(liquor)))
        for name in ("estimate", "A low", "A high", "B low", "B high")
    }
    cases = {
        "estimate": (approach.estimate, 1.0),
        "A low": (approach.low, PARTITION_LOW),
        "A high": (approach.low, PARTITION_LOW),
        "B low": (approach.high, 1.0),
        "B high": (approach.high, 1.0),
    }
    held_g = [
        max(0.0, drained - float(part.rows[:, list(c.STANDING_MASS)].sum()))
        for part, drained in zip(solids, drained_g, strict=True)
    ]
    for name, (degree, partition) in cases.items():
        thinner = _thinned(partition, min(sum(held_g), all_g), all_g)
        for at, held in enumerate(held_g):
            shares = _shares(held, own_g[at], all_g - own_g[at], degree, thinner)
            taken[name][at, :] = shares.common
            taken[name][at, at] = shares.own
    # No part can give more than it has.
    taken = {name: matrix / np.maximum(1.0, matrix.sum(axis=0))[None, :] for name, matrix in taken.items()}
    sources = [*solids, *liquor]
    for at, part in enumerate(solids):
        pieces = [
            _share_of(source, taken, at, place, keep_standing=source is part) for place, source in enumerate(sources)
        ]
        kept = [(source, rows) for source, rows in zip(sources, pieces, strict=True) if source is part or rows.any()]
        new_solids.append(
            Part(
                part.label,
                part.keys,
                np.concatenate([source.ids for source, _ in kept]),
                np.concatenate([rows for _, rows in kept]),
                np.concatenate([source.heat for source, _ in kept]),
                put_in_g=part.put_in_g,
            )
        )
    new_liquor: list[Part] = []
    for place, source in enumerate(sources):
        left = {name: 1.0 - float(matrix[:, place].sum()) for name, matrix in taken.items()}
        rows = _moved(source.rows, left)
        if place >= len(solids):  # liquor keeps what does not dissolve
            _keep_standing(source.rows, rows)
            new_liquor.append(
                Part(
                    source.label,
                    source.keys,
                    source.ids,
                    rows,
                    source.heat.copy(),
                    source.ghost,
                    source.put_in_g,
                )
            )
        elif rows.any():
            new_liquor.append(Part(f"juice of {source.label}", frozenset(), source.ids, rows, source.heat.copy()))
    _split_ingoing(sources, new_solids, new_liquor)
    return new_solids, new_liquor


def _moved(rows: Floats, share: dict[str, float]) -> Floats:
    """Return the moving constituents of rows times their shares, the ethanol of each case by its own."""
    out = np.zeros_like(rows)
    moving = list(c.MOVING)
    out[:, moving] = rows[:, moving] * max(0.0, share["estimate"])
    for column, name in ((c.LOW_A, "A low"), (c.HIGH_A, "A high"), (c.LOW_B, "B low"), (c.HIGH_B, "B high")):
        out[:, column] = rows[:, column] * max(0.0, share[name])
    return out


def _keep_standing(before: Floats, after: Floats) -> None:
    """Put back what does not dissolve: it stays with its line."""
    staying = [column for column in range(c.INGOING) if column not in c.MOVING]
    after[:, staying] = before[:, staying]


def _share_of(source: Part, taken: dict[str, Floats], solid: int, place: int, *, keep_standing: bool) -> Floats:
    rows = _moved(source.rows, {name: float(matrix[solid, place]) for name, matrix in taken.items()})
    if keep_standing:
        _keep_standing(source.rows, rows)
    return rows


def _split_ingoing(sources: list[Part], solids: list[Part], liquor: list[Part]) -> None:
    """Split what was put in of each ingredient by its mass on each side, part by part of where it came from."""
    put_in: dict[int, float] = {}
    for source in sources:
        for place, grams in zip(source.ids.tolist(), source.rows[:, c.INGOING].tolist(), strict=True):
            put_in[place] = put_in.get(place, 0.0) + grams
    mass: dict[int, float] = {}
    parts = [*solids, *liquor]
    for part in parts:
        for place, grams in zip(part.ids.tolist(), part.rows[:, c.MASS].sum(axis=1).tolist(), strict=True):
            mass[place] = mass.get(place, 0.0) + grams
    for part in parts:
        weights = part.rows[:, c.MASS].sum(axis=1)
        part.rows[:, c.INGOING] = [
            put_in[place] * weight / mass[place] if mass[place] > 0.0 else 0.0
            for place, weight in zip(part.ids.tolist(), weights.tolist(), strict=True)
        ]
