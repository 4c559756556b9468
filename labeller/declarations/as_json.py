"""A declaration as the JSON of the contract."""

from typing import Any

from labeller.declarations.allergen_rows import MayContain
from labeller.declarations.declaring import Declaration, Declarer
from labeller.declarations.labelling import (
    intake_as_json,
    label_as_json,
    not_determined,
    tolerance_as_json,
)
from labeller.jurisdictions.languages import name_in_language


def declaration_as_json(
    declaration: Declaration, declarer: Declarer | None = None, *, language: str | None = None
) -> dict[str, Any]:
    """Return the contract's fields; raw figures are unrounded.

    Parameters
    ----------
    declaration : Declaration
        What is stated.
    declarer : Declarer, optional
        The one that made it: then the label and the warnings of tolerance are given too.
    language : str, optional
        Code of a language on file: then the rows give ``name_in_language``, null where there is none.
    """
    dish = declaration.kind == "dish"
    figures = declaration.figures
    nutrition: dict[str, Any] = {"per_portion": figures.sums} if dish else {}
    nutrition["per_100_g"] = figures.per_100_g()
    nutrition["missing"] = [
        {"nutrient": one.nutrient, "ingredient": one.ingredient, "share": one.share} for one in figures.missing
    ]
    declared: dict[str, Any] = {"per_100_g": declaration.declared_per_100_g}
    if dish:
        declared["per_portion"] = declaration.declared_per_portion
    nutrition["declared"] = declared
    nutrition["not_determined"] = not_determined(declaration)
    if dish:
        nutrition["percent_of_intake"] = intake_as_json(declaration)
    if declarer is not None:
        nutrition["wider_than_tolerance"] = tolerance_as_json(declarer, declaration)
    alcohol = declaration.alcohol
    low, estimate, high = alcohol.ethanol_g
    found: dict[str, Any] = {"name": declaration.name, "kind": declaration.kind}
    found["portion_g" if dish else "batch_g"] = declaration.weight_g
    found["allergens"] = [_row(declaration, place, language) for place in range(len(declaration.allergens))]
    found["nutrition"] = nutrition
    found["alcohol"] = {
        "status": alcohol.status,
        "ethanol_g": {"low": low, "estimate": estimate, "high": high},
        # Sums of what is known, as with every figure; true where something adds to them that nobody knows.
        "at_least": bool(alcohol.unconfirmed) or any(not one.measured for one in alcohol.because),
        "abv_percent": dict(zip(("low", "estimate", "high"), alcohol.abv_percent, strict=True))
        if alcohol.abv_percent is not None
        else None,
        "because": [
            {"path": list(one.path), "ethanol_g": one.ethanol_g if one.measured else None} for one in alcohol.because
        ],
        "traces": [{"path": list(path), "words": words} for path, words in alcohol.traces],
        "unconfirmed": [list(path) for path in alcohol.unconfirmed],
    }
    found["ingredients"] = [
        {"ingredient": one.ingredient, "g": one.grams, "removed": True}
        if one.removed
        else {"ingredient": one.ingredient, "g": one.grams, "share": one.share}
        for one in declaration.ingredients
    ]
    found["rough_amounts"] = [
        {
            "line": one.text,
            "taken_as_g": one.taken_as_g,
            "low_g": one.low_g,
            "high_g": one.high_g,
            "file": one.origin.path,
            "at_line": one.origin.line,
        }
        for one in declaration.rough
    ]
    found["unconfirmed"] = [
        {"ingredient": one.ingredient, "groups": list(one.groups), "mend": one.mend} for one in declaration.unconfirmed
    ]
    if declarer is not None:
        found["label"] = label_as_json(declarer, declaration)
    return found


def _row(declaration: Declaration, place: int, language: str | None) -> dict[str, Any]:
    row = declaration.allergens[place]
    found: dict[str, Any] = {
        "group": row.group.name,
        "status": row.status,
        "sources": list(row.sources),
        "because": [list(path) for path in row.because],
        "unconfirmed": [list(path) for path in row.unconfirmed],
    }
    if language is not None:
        found["name_in_language"] = name_in_language(row.group.name, language)
        found["sources_in_language"] = {one: name_in_language(one, language) for one in row.sources}
    if row.may_contain:
        found["may_contain"] = [_may_contain(one) for one in row.may_contain]
    if row.exempt:
        found["exempt"] = [
            {"path": list(path), "source": source, "derivation": freed.derivation, "clause": freed.clause.as_text()}
            for path, source, freed in row.exempt
        ]
    if row.sulphites_mg_per_kg is not None:
        found["sulphites_mg_per_kg"] = row.sulphites_mg_per_kg
    return found


def _may_contain(one: MayContain) -> dict[str, Any]:
    found: dict[str, Any] = {"sources": list(one.sources), "path": list(one.path), "why": one.why}
    if one.words:  # the kitchen has measured what carries over
        found |= {"exposure_mg": one.exposure_mg, "reference_dose_mg": one.reference_dose_mg, "words": one.words}
    return found
