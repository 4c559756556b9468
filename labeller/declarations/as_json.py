"""A declaration as the JSON of the contract."""

from typing import Any

from labeller.declarations.allergen_rows import MayContain
from labeller.declarations.declaring import Declaration


def declaration_as_json(declaration: Declaration) -> dict[str, Any]:
    """Return the contract's fields; raw figures are unrounded."""
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
    alcohol = declaration.alcohol
    low, estimate, high = alcohol.ethanol_g
    found: dict[str, Any] = {"name": declaration.name, "kind": declaration.kind}
    found["portion_g" if dish else "batch_g"] = declaration.weight_g
    found["allergens"] = [_row(declaration, place) for place in range(len(declaration.allergens))]
    found["nutrition"] = nutrition
    found["alcohol"] = {
        "status": alcohol.status,
        "ethanol_g": {"low": low, "estimate": estimate, "high": high},
        "abv_percent": dict(zip(("low", "estimate", "high"), alcohol.abv_percent, strict=True))
        if alcohol.abv_percent is not None
        else None,
        "because": [{"path": list(one.path), "ethanol_g": one.ethanol_g} for one in alcohol.because],
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
    return found


def _row(declaration: Declaration, place: int) -> dict[str, Any]:
    row = declaration.allergens[place]
    found: dict[str, Any] = {
        "group": row.group.name,
        "status": row.status,
        "sources": list(row.sources),
        "because": [list(path) for path in row.because],
        "unconfirmed": [list(path) for path in row.unconfirmed],
    }
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
