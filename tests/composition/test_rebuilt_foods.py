"""Foods the table gives as prepared from a recipe, rebuilt from their parts by mass balance alone."""

from pathlib import Path
from typing import Any

import pytest
import yaml

from labeller.composition.table import load_table

CONSTITUENTS = ("water_g", "protein_g", "fat_g", "carbohydrate_g")
RECIPES = (Path(__file__).parent / "rebuilt_foods.yaml").read_text("utf-8")
FOODS: list[dict[str, Any]] = yaml.load(RECIPES, Loader=yaml.BaseLoader)  # noqa: S506 - reads everything as text


def rebuild(parts: dict[str, str], published_water: float | None) -> dict[str, float]:
    """Return g/100 g of what the parts make, with water led off or taken up to the published content where one is given."""
    table = load_table()
    total_g = sum(float(weight) for weight in parts.values())
    held: dict[str, float] = {}
    for constituent in CONSTITUENTS:
        grams = 0.0
        for code, weight in parts.items():
            row = table.row_index(code)
            assert row is not None, code
            grams += float(weight) * table.figure(row, constituent) / 100.0
        held[constituent] = grams
    if published_water is not None:
        dry_g = total_g - held["water_g"]
        total_g = dry_g / (1.0 - published_water / 100.0)
        held["water_g"] = total_g - dry_g
    return {constituent: 100.0 * grams / total_g for constituent, grams in held.items()}


def misses(food: dict[str, Any]) -> list[str]:
    """Return the constituents that are off by more than 10 % and more than 1 g/100 g."""
    table = load_table()
    row = table.row_index(food["food"])
    assert row is not None
    found = rebuild(food["parts"], table.figure(row, "water_g") if food["water"] == "fitted" else None)
    published = {constituent: table.figure(row, constituent) for constituent in CONSTITUENTS}
    return [name for name in CONSTITUENTS if abs(found[name] - published[name]) > max(1.0, 0.1 * published[name])]


@pytest.mark.parametrize("food", FOODS, ids=lambda food: f"{food['food']} {food['name']}")
def test_rebuilt_from_its_parts(food: dict[str, Any]) -> None:
    assert food["source"]
    if food["expected"] == "miss":
        assert food["reason"]
        assert misses(food) != [], "it no longer misses: write expected: match"
    else:
        assert misses(food) == []


def test_at_least_ten_foods_are_rebuilt_and_misses_are_listed() -> None:
    assert sum(food["expected"] == "match" for food in FOODS) >= 10
    assert {food["expected"] for food in FOODS} == {"match", "miss"}
    assert all(food["water"] in {"fitted", "as mixed"} for food in FOODS)
    assert len({food["food"] for food in FOODS}) == len(FOODS)
