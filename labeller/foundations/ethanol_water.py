"""Density and strength of ethanol-water mixtures.

References
----------
.. [1] OIML R 22, International alcoholometric tables (1975), general formula after Wagenbreth and Blanke (1971).
.. [2] Apparent specific volume of dissolved sucrose 0.61 to 0.63 ml/g; 0.62 is used. From memory, unconfirmed.
"""

import math
from functools import lru_cache

ETHANOL_DENSITY_20C = 0.789239
"""Density of ethanol at 20 C. [g/ml] The formula of [1]_ at p = 1."""

DISSOLVED_SOLIDS_ML_PER_G = 0.62
"""Volume that one gram of dissolved solids adds. [ml/g] See [2]_."""

LOWEST_C, HIGHEST_C = -20.0, 40.0

_A = (
    9.982012300e2, -1.929769495e2, 3.891238958e2, -1.668103923e3, 1.352215441e4, -8.829278388e4,
    3.062874042e5, -6.138381234e5, 7.470172998e5, -5.478461354e5, 2.234460334e5, -3.903285426e4,
)  # fmt: skip
_B = (-2.0618513e-1, -5.2682542e-3, 3.6130013e-5, -3.8957702e-7, 7.1693540e-9, -9.9739231e-11)
_C = (
    (
        1.693443461530087e-1, -1.046914743455169e1, 7.196353469546523e1, -7.047478054272792e2, 3.924090430035045e3,
        -1.210164659068747e4, 2.248646550400788e4, -2.605562982188164e4, 1.852373922069467e4, -7.420201433430137e3,
        1.285617841998974e3,
    ),
    (
        -1.193013005057010e-2, 2.517399633803461e-1, -2.170575700536993, 1.353034988843029e1, -5.029988758547014e1,
        1.096355666577570e2, -1.422753946421155e2, 1.080435942856230e2, -4.414153236817392e1, 7.442971530188783,
    ),
    (
        -6.802995733503803e-4, 1.876837790289664e-2, -2.002561813734156e-1, 1.022992966719220, -2.895696483903638,
        4.810060584300675, -4.672147440794683, 2.458043105903461, -5.411227621436812e-1,
    ),
    (4.075376675622027e-6, -8.763058573471110e-6, 6.515031360099368e-6, -1.515784836987210e-6),
    (-2.788074354782409e-8, 1.345612883493354e-8),
)  # fmt: skip


def mixture_density(mass_fraction: float, temperature_c: float = 20.0) -> float:
    """Return the density of an ethanol-water mixture.

    Parameters
    ----------
    mass_fraction : float
        Grams of ethanol in one gram of mixture, 0 to 1. [g/g]
    temperature_c : float
        Temperature, -20 to 40. [C]

    Returns
    -------
    float
        Density. [g/ml]

    Raises
    ------
    ValueError
        Outside the range of the formula, naming limit and value.

    Notes
    -----
    General formula of OIML R 22 [1]_; every term C vanishes at 20 C and for pure water.
    """
    p, t = mass_fraction, temperature_c - 20.0
    if not 0.0 <= p <= 1.0:
        raise ValueError(f"a mass fraction lies in 0 to 1, not {p!r}")
    if not LOWEST_C <= temperature_c <= HIGHEST_C:
        raise ValueError(f"the density formula holds from {LOWEST_C:g} to {HIGHEST_C:g} C, not at {temperature_c!r} C")
    rho = 0.0
    for coefficient in reversed(_A):
        rho = rho * p + coefficient
    if t:
        rho += sum(b * t ** (k + 1) for k, b in enumerate(_B))
        for i, row in enumerate(_C):
            inner = 0.0
            for coefficient in reversed(row):
                inner = inner * p + coefficient
            rho += inner * p * t ** (i + 1)
    return rho / 1000.0


def volume_fraction(mass_fraction: float) -> float:
    """Return the strength by volume at 20 C of a mixture given by mass. [ml ethanol per ml of mixture]"""
    return mass_fraction * mixture_density(mass_fraction) / ETHANOL_DENSITY_20C


@lru_cache(maxsize=4096)
def mass_fraction_at(strength: float) -> float:
    """Return the mass fraction of ethanol at a strength by volume, by bisection.

    Parameters
    ----------
    strength : float
        Millilitres of ethanol in one millilitre of mixture at 20 C, 0 to 1.

    Raises
    ------
    ValueError
        If ``strength`` is outside 0 to 1.
    """
    if not 0.0 <= strength <= 1.0:
        raise ValueError(f"a strength lies in 0 to 100 % vol, not {strength * 100:g} % vol")
    low, high = 0.0, 1.0
    for _ in range(80):  # the formula is monotone on 0..1; 80 halvings exhaust a float
        middle = (low + high) / 2.0
        if volume_fraction(middle) < strength:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def liquid_volume_ml(ethanol_g: float, water_g: float, dissolved_g: float) -> float:
    """Return the volume at 20 C of a liquid after mixing. [ml]

    Notes
    -----
    V = (ethanol + water) / rho(p) + 0.62 x dissolved solids: mixing by mass, contraction included, volume last [1]_ [2]_.
    """
    solvent_g = ethanol_g + water_g
    if solvent_g <= 0.0:
        return DISSOLVED_SOLIDS_ML_PER_G * dissolved_g
    p = min(1.0, max(0.0, ethanol_g / solvent_g))
    return solvent_g / mixture_density(p) + DISSOLVED_SOLIDS_ML_PER_G * dissolved_g


def strength_percent_vol(ethanol_g: float, water_g: float, dissolved_g: float) -> float:
    """Return the strength of a liquid at 20 C. [% vol]"""
    volume = liquid_volume_ml(ethanol_g, water_g, dissolved_g)
    return 100.0 * ethanol_g / ETHANOL_DENSITY_20C / volume if volume > 0.0 else 0.0


def ethanol_in_100_g(strength: float, dissolved_g: float) -> float:
    """Return the ethanol in 100 g of a drink of a stated strength with a known weight of dissolved solids.

    Parameters
    ----------
    strength : float
        Strength on the bottle, 0 to 1. [ml/ml]
    dissolved_g : float
        Dissolved solids in 100 g of the drink. [g]

    Returns
    -------
    float
        Ethanol that makes a mix of ethanol, water and these solids have the stated strength. [g/100 g]

    Raises
    ------
    ValueError
        If the solids leave no room for so much ethanol.
    """
    solvent_g = 100.0 - dissolved_g
    if not 0.0 <= strength <= 1.0:
        raise ValueError(f"a strength lies in 0 to 100 % vol, not {strength * 100:g} % vol")

    def reached(ethanol_g: float) -> float:
        volume = liquid_volume_ml(ethanol_g, solvent_g - ethanol_g, dissolved_g)
        return ethanol_g / ETHANOL_DENSITY_20C / volume

    if solvent_g <= 0.0 or reached(solvent_g) < strength:
        raise ValueError(f"{dissolved_g:g} g of dissolved solids in 100 g leave no room for {strength * 100:g} % vol")
    low, high = 0.0, solvent_g
    for _ in range(80):
        middle = (low + high) / 2.0
        if reached(middle) < strength:
            low = middle
        else:
            high = middle
    return 0.0 if math.isclose(high, 0.0, abs_tol=1e-12) else (low + high) / 2.0
