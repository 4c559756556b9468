"""What a declaration adds for a label: the list of ingredients, percentages of the intake, tolerance, in JSON and in words."""

import math
from typing import Any

from labeller.declarations.daily_intake import daily_intake
from labeller.declarations.declaring import Declaration, Declarer
from labeller.declarations.ingredient_list import label_of
from labeller.declarations.tolerance_warnings import WiderThanTolerance, tolerance_warnings
from labeller.declarations.words import NUTRIENT_WORDS, listed


def label_as_json(declarer: Declarer, declaration: Declaration) -> dict[str, Any]:
    """Return the JSON of a label: ``ingredients_text``, ``emphasised`` spans, ``contains_line``, ``quid``, ``to_settle``."""
    label = label_of(declarer.workings, declaration)
    return {
        "ingredients_text": label.ingredients.text,
        "emphasised": [list(span) for span in label.ingredients.spans],
        "contains_line": label.contains.text,
        "quid": [
            {
                "ingredient": one.ingredient,
                "percent": one.percent,
                "printed": one.printed,
                "of": one.of,
                "clause": one.clause.as_text(),
            }
            for one in label.quantities
        ],
        "left_out": [{"ingredient": name, "clause": clause} for name, clause in label.left_out],
        "to_settle": list(label.to_settle),
    }


def intake_as_json(declaration: Declaration) -> dict[str, Any]:
    """Return the JSON of the percentages of one portion, with the words the law prescribes beside them."""
    found = daily_intake(declaration)
    return {"per_portion": {one.key: one.percent for one in found.per_portion}, "statement": found.statement}


def tolerance_as_json(declarer: Declarer, declaration: Declaration) -> list[dict[str, Any]]:
    """Return the JSON of figures that are less sure than the law allows; an end that is free or unknown is null."""
    return [
        {
            "nutrient": one.key,
            "basis": one.basis,
            "allowed": {"low": one.allowed.low, "high": one.allowed.high},
            "could_be": {"low": one.low, "high": one.high if math.isfinite(one.high) else None},
            "because": list(one.because),
            "clause": one.allowed.clause.as_text(),
        }
        for one in tolerance_warnings(declarer.workings, declarer.definitions, declaration)
    ]


def not_determined(declaration: Declaration) -> list[str]:
    """Return the figures this law's panel must carry and that have gaps: they are missing, never 0."""
    incomplete = declaration.figures.incomplete()
    return list(
        dict.fromkeys(line.key for line in declaration.law.nutrients if line.mandatory and line.key in incomplete)
    )


def tolerance_in_words(declarer: Declarer, declaration: Declaration) -> list[tuple[str, str]]:
    """Return the warnings about figures that are printed, as (reasons, figures), like reasons together."""
    same: dict[str, list[str]] = {}
    incomplete = declaration.figures.incomplete()
    for one in tolerance_warnings(declarer.workings, declarer.definitions, declaration):
        if one.key in incomplete:
            continue  # it is not printed at all; the page says what has no figure
        same.setdefault("; ".join(one.because), []).append(_figure(one))
    return [(reason, listed(figures)) for reason, figures in same.items()]


def _figure(one: WiderThanTolerance) -> str:
    label, unit = NUTRIENT_WORDS.get(one.key, ("", ""))
    words = (label or "Energy").removeprefix("of which ").lower()
    return f"{words} {_short(one.low)} to {_short(one.high)} {unit}".rstrip()


def _short(value: float) -> str:
    return f"{value:.0f}" if value >= 100.0 else f"{value:.3g}"
