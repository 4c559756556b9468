"""Contact over equipment held against the FAO/WHO reference doses, where the kitchen has measured what carries over.

The status never changes here: a portion below the reference dose is still "may contain", because some people react below it.
"""

from collections.abc import Mapping, Sequence

import numpy as np

from labeller.allergens.reference_doses import calls_for_warning, exposure_mg, reference_dose_of
from labeller.book.entries import Equipment
from labeller.declarations.allergen_rows import AllergenRow, MayContain
from labeller.foundations.plain import replace
from labeller.kitchen import constituents as c
from labeller.kitchen.batch import Batch


def with_doses(
    rows: tuple[AllergenRow, ...], lines: Sequence[Batch], equipment: Sequence[Equipment], *, portion: bool
) -> tuple[AllergenRow, ...]:
    """Say beside each contact of known size what a portion may bring, against the reference dose of its source.

    Parameters
    ----------
    rows : tuple[AllergenRow, ...]
        The rows of one dish or batch.
    lines : Sequence[Batch]
        The lines of the plate, for one portion, or the one batch.
    equipment : Sequence[Equipment]
        The kitchen's shared equipment; ``carries_mg_per_kg`` is protein of the allergenic food in the food. [mg/kg]
    portion : bool
        Whether the lines are what is eaten on one occasion.

    Notes
    -----
    The weight counted is that of the lines which were on the equipment, as served or as put in, whichever is more: what boils away
    leaves the allergen behind. Everything that brings one source is added up before it is held against the dose; where one way has
    no figure the sum is not known.
    """
    carries = {one.name: one.carries_mg_per_kg for one in equipment if one.carries_mg_per_kg is not None}
    if not carries or not any(one.why in carries for row in rows for one in row.may_contain):
        return rows
    return tuple(_row(row, lines, carries, portion=portion) if row.may_contain else row for row in rows)


def _row(row: AllergenRow, lines: Sequence[Batch], carries: Mapping[str, float], *, portion: bool) -> AllergenRow:
    split: list[MayContain] = []
    for one in row.may_contain:
        split += [replace(one, sources=(source,)) for source in one.sources] if one.why in carries else [one]
    if not portion:
        said = tuple(_of_batch(one, carries[one.why]) if one.why in carries else one for one in split)
        return replace(row, may_contain=said)
    totals = {source: _total(source, split, lines, carries) for one in split for source in one.sources}
    said = tuple(_of_portion(one, lines, carries, totals) if one.why in carries else one for one in split)
    return replace(row, may_contain=said)


def _weight_g(lines: Sequence[Batch], places: set[int]) -> float:
    """Return the weight of some lines as served or as put in, whichever is more. [g]"""
    return sum(max(lines[place].weight_g, float(np.sum(lines[place].rows[:, c.INGOING]))) for place in places)


def _touched(one: MayContain, lines: Sequence[Batch]) -> set[int]:
    return {
        place
        for place, line in enumerate(lines)
        if any(contact.path == one.path and contact.equipment == one.why for contact in line.contacts)
    }


def _total(
    source: str, entries: list[MayContain], lines: Sequence[Batch], carries: Mapping[str, float]
) -> float | None:
    """Return what a portion may bring of a source by all ways together, None where one of them has no figure. [mg]"""
    by_equipment: dict[str, set[int]] = {}
    for one in entries:
        if source not in one.sources:
            continue
        places = _touched(one, lines)
        if one.why not in carries or _weight_g(lines, places) <= 0.0:
            return None
        by_equipment.setdefault(one.why, set()).update(places)
    return sum(exposure_mg(carries[name], _weight_g(lines, places)) for name, places in by_equipment.items())


def _of_portion(
    one: MayContain, lines: Sequence[Batch], carries: Mapping[str, float], totals: Mapping[str, float | None]
) -> MayContain:
    source = one.sources[0]
    weight_g = _weight_g(lines, _touched(one, lines))
    if weight_g <= 0.0:  # taken out again: what it left behind is not known
        return one
    exposure = exposure_mg(carries[one.why], weight_g)
    total = totals[source]
    dose = reference_dose_of(source)
    dose_mg = dose.dose_mg if dose is not None else None
    brings = f"a portion may bring up to {exposure:.3g} mg of {source} protein this way"
    if total is not None and total > exposure * 1.000001:
        brings += f", {total:.3g} mg by all ways together"
    if dose is None or dose_mg is None:
        words = f"{brings}; no FAO/WHO reference dose is set for {source}, so any contact calls for the warning"
    elif total is None and not calls_for_warning(source, exposure):
        words = (
            f"{brings}; how much comes by another way is not known, so it cannot be held against the FAO/WHO reference dose "
            f"of {dose_mg:g} mg{_doubt(confirmed=dose.confirmed)}, and the warning is called for"
        )
    elif calls_for_warning(source, exposure if total is None else total):
        words = f"{brings}, above the FAO/WHO reference dose of {dose_mg:g} mg{_doubt(confirmed=dose.confirmed)}: the warning is called for"
    else:
        words = (
            f"{brings}, not above the FAO/WHO reference dose of {dose_mg:g} mg{_doubt(confirmed=dose.confirmed)}; "
            "some people react to less, so it stays 'may contain'"
        )
    return replace(one, exposure_mg=exposure, reference_dose_mg=dose_mg, words=words)


def _of_batch(one: MayContain, carries_mg_per_kg: float) -> MayContain:
    """Say of a batch, of which nobody knows how much is eaten at once, at which amount the dose is reached."""
    source = one.sources[0]
    dose = reference_dose_of(source)
    dose_mg = dose.dose_mg if dose is not None else None
    brings = f"up to {carries_mg_per_kg:g} mg of {source} protein in a kilogram"
    if dose is None or dose_mg is None:
        words = f"{brings}; no FAO/WHO reference dose is set for {source}, so any contact calls for the warning"
    elif carries_mg_per_kg <= 0.0:
        words = f"{brings}; it stays 'may contain'"
    else:
        reached_g = dose_mg / carries_mg_per_kg * 1000.0
        words = f"{brings}; {reached_g:.3g} g of it reach the FAO/WHO reference dose of {dose_mg:g} mg{_doubt(confirmed=dose.confirmed)}"
    return replace(one, reference_dose_mg=dose_mg, words=words)


def _doubt(*, confirmed: bool) -> str:
    return "" if confirmed else " (a figure not checked against its report)"
