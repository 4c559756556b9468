"""Reference doses of the FAO/WHO expert consultation, and what a portion brings against them.

They serve to judge contact that good practice cannot avoid, never an ingredient (that is always declared) and never a claim
that something is free from an allergen: some people react below the dose. Without a figure for what is carried over, warn.

References
----------
.. [1] FAO/WHO, Risk assessment of food allergens, Part 2, Food Safety and Quality Series 15 (2022).
.. [2] FAO/WHO, Risk assessment of food allergens, Part 3: precautionary labelling, Food Safety and Quality Series 16 (2023).
.. [3] FAO/WHO, Risk assessment of food allergens, Part 5, Food Safety and Quality Series 23 (2023).
"""

import json
import math
from functools import cache

from labeller.foundations.places import reference_data_folder
from labeller.foundations.plain import dataclass


@dataclass(frozen=True, slots=True)
class ReferenceDose:
    """The reference dose of a source.

    ``dose_mg``: total protein of the allergenic food eaten on one occasion [mg], or None where the report sets none, as
    ``ground`` then says. ``confirmed`` is False where report and figure are from memory.
    """

    source: str
    dose_mg: float | None
    report: str
    confirmed: bool
    ground: str


def reference_dose_of(source: str) -> ReferenceDose | None:
    """Return the reference dose of a source with its report, or None if no report speaks of it."""
    row = _compiled().get(source)
    if row is None:
        return None
    dose_mg, report, confirmed, ground = row
    return ReferenceDose(source, dose_mg, report, confirmed, ground)


def reference_dose(source: str) -> float | None:
    """Return the reference dose of a source [mg protein], or None if none is set: then any contact calls for a warning."""
    dose = reference_dose_of(source)
    return None if dose is None else dose.dose_mg


def exposure_mg(concentration_mg_per_kg: float, portion_g: float) -> float:
    """Return what one portion brings of a source.

    Parameters
    ----------
    concentration_mg_per_kg : float
        Protein of the allergenic food in the food as served. [mg/kg]
    portion_g : float
        Amount eaten on one occasion. [g]

    Returns
    -------
    float
        Protein eaten. [mg]

    Raises
    ------
    ValueError
        If a figure is below 0 or no number.
    """
    _check("concentration", concentration_mg_per_kg)
    _check("portion", portion_g)
    return concentration_mg_per_kg * portion_g / 1000.0


def action_level_mg_per_kg(dose_mg: float, portion_g: float) -> float:
    """Return the concentration at which a portion brings exactly the dose.

    Parameters
    ----------
    dose_mg : float
        Reference dose. [mg protein]
    portion_g : float
        Amount eaten on one occasion, above 0. [g]

    Returns
    -------
    float
        Action level. [mg/kg]

    Raises
    ------
    ValueError
        If a figure is below 0 or no number, or the portion is 0.
    """
    _check("dose", dose_mg)
    _check("portion", portion_g)
    if portion_g == 0:
        raise ValueError("A portion of 0 g has no action level: give the amount eaten on one occasion.")
    return dose_mg * 1000.0 / portion_g


def calls_for_warning(source: str, exposure: float | None) -> bool:
    """Whether contact with a source calls for a warning.

    It does when the exposure [mg protein] is above the reference dose [2]_, and also when the exposure is not known (None)
    or no dose is set: not known is never none.
    """
    if exposure is None:
        return True
    _check("exposure", exposure)
    dose_mg = reference_dose(source)
    if dose_mg is None:
        return exposure > 0
    # Both sides are products of decimal figures; nine significant digits keep binary noise from deciding.
    return float(f"{exposure:.9g}") > dose_mg


def _check(name: str, figure: float) -> None:
    if not math.isfinite(figure) or figure < 0:
        raise ValueError(
            f"{'An' if name[0] in 'aeiou' else 'A'} {name} of {figure} is not an amount: give a number of 0 or above."
        )


@cache
def _compiled() -> dict[str, tuple[float | None, str, bool, str]]:
    path = reference_data_folder() / "allergens" / "reference_doses.json"
    doses: dict[str, tuple[float | None, str, bool, str]] = json.loads(path.read_text(encoding="utf-8"))
    return doses
