"""The JSON of ``declare``: every key of the contract, its type and its meaning."""

from typing import Any

import pytest

from tests.kitchens import Kitchen, plate, run

BOOK = """
- ingredient: double cream
  composition: sr28:01053
  spec: {statement: "Cream (MILK)"}
- ingredient: nut paste
- ingredient: cobs
  composition: sr28:12120
- preparation: custard ice
  takes: [80 g double cream, 20 g sugar]
- preparation: praline
  takes: [60 g cobs, 40 g nut paste]
- preparation: damson gin
  takes:
    - about 450 ml gin
    - 100 g sugar
- dish: damson and custard ice
  serves: 2
  plate:
    - 120 g custard ice
    - 24 g praline, optional
    - 40 g damson gin, or 40 g water
    - 10 g gin
"""
NUTRIENTS = [
    "energy_kj", "energy_kcal", "fat_g", "saturates_g", "carbohydrate_g", "sugars_g", "fibre_g", "protein_g", "salt_g", "sodium_mg",
    "water_g", "alcohol_g",
]  # fmt: skip


@pytest.fixture
def dish(kitchen: Kitchen) -> dict[str, Any]:
    return kitchen.write(BOOK, law="gb").one("damson and custard ice")


def test_the_document_names_law_and_day(kitchen: Kitchen) -> None:
    kitchen.write(BOOK, law="gb")
    document = run("declare", kitchen.folder, "--json", "--on", "2026-11-25").json()
    assert sorted(document) == ["declarations", "jurisdiction", "on"]
    assert (document["jurisdiction"], document["on"]) == ("gb", "2026-11-25")
    other = run("declare", kitchen.folder, "--json", "--on", "2025-01-01", "--jurisdiction", "us").json()
    assert (other["jurisdiction"], other["on"]) == ("us", "2025-01-01")


def test_a_dish_has_every_key(dish: dict[str, Any]) -> None:
    assert set(dish) == {
        "name", "kind", "portion_g", "allergens", "nutrition", "alcohol", "ingredients", "rough_amounts", "unconfirmed",
        "label",
    }  # fmt: skip
    assert dish["kind"] == "dish"
    # (120 + 24 + 40 + 10) / 2, optional parts in and swaps out
    assert dish["portion_g"] == pytest.approx(97.0)
    for row in dish["allergens"]:
        assert {"group", "status", "sources", "because", "unconfirmed"} <= set(row)
        assert row["status"] in ("contains", "may contain", "unconfirmed", "none declared")
        assert all(isinstance(one, str) for one in row["sources"])
        for path in (*row["because"], *row["unconfirmed"]):
            assert path
            assert all(isinstance(one, str) for one in path)


def test_nutrition_has_every_figure_as_a_float(dish: dict[str, Any]) -> None:
    nutrition = dish["nutrition"]
    assert {"per_portion", "per_100_g", "missing", "declared"} <= set(nutrition)
    for basis in ("per_portion", "per_100_g"):
        assert list(nutrition[basis])[: len(NUTRIENTS)] == NUTRIENTS
        assert all(isinstance(value, float) for value in nutrition[basis].values())
    for key in NUTRIENTS:
        assert nutrition["per_100_g"][key] == pytest.approx(nutrition["per_portion"][key] / 0.97)
    assert {"per_100_g", "per_portion"} == set(nutrition["declared"])
    assert all(isinstance(value, str) for value in nutrition["declared"]["per_100_g"].values())
    for one in nutrition["missing"]:
        assert set(one) == {"nutrient", "ingredient", "share"}
        assert one["ingredient"] == "nut paste"
        # 40 of 100 g praline, 12 g of it in a portion of 97 g
        assert one["share"] == pytest.approx(4.8 / 97)


def test_paths_and_what_is_not_settled(dish: dict[str, Any]) -> None:
    found = {row["group"]: row for row in dish["allergens"]}
    assert found["milk"] == {
        "group": "milk",
        "status": "contains",
        "sources": ["milk"],
        "because": [["custard ice", "double cream"]],
        "unconfirmed": [["praline", "nut paste"]],
    }
    assert found["nuts"]["sources"] == ["hazelnut"]
    assert found["nuts"]["because"] == [["praline", "cobs"]]
    assert found["soya"]["status"] == "unconfirmed"
    assert found["soya"]["unconfirmed"] == [["praline", "nut paste"]]
    (open_one,) = dish["unconfirmed"]
    assert open_one["ingredient"] == "nut paste"
    assert "soya" in open_one["groups"]
    assert open_one["mend"] == "add the supplier's statement"


def test_alcohol_by_every_way_in(dish: dict[str, Any]) -> None:
    alcohol = dish["alcohol"]
    assert alcohol["status"] == "contains"
    assert set(alcohol["ethanol_g"]) == {"low", "estimate", "high"}
    assert alcohol["abv_percent"] is None  # hazelnuts do not pour
    ways = {tuple(one["path"]): one["ethanol_g"] for one in alcohol["because"]}
    assert set(ways) == {("damson gin", "gin"), ("gin",)}
    # OIML R 22: 40 % vol is 33.30 g in 100 g; 5 g straight, and 20 g of a gin of 426.6 + 100 g
    assert ways["gin",] == pytest.approx(5 * 0.3330, rel=1e-3)
    assert ways["damson gin", "gin"] == pytest.approx(20 * 426.6 / 526.6 * 0.3330, rel=1e-3)
    assert alcohol["ethanol_g"]["estimate"] == pytest.approx(sum(ways.values()))
    assert alcohol["ethanol_g"]["low"] <= alcohol["ethanol_g"]["estimate"] <= alcohol["ethanol_g"]["high"]


def test_a_rough_amount_is_told_in_grams(dish: dict[str, Any]) -> None:
    """OIML R 22: 40 % vol at 20 C is 0.94805 g/ml; 450 ml weigh 426.6 g."""
    (rough,) = dish["rough_amounts"]
    assert rough["line"] == "about 450 ml gin"
    assert rough["taken_as_g"] == pytest.approx(426.6, abs=0.05)


def test_ingredients_stand_heaviest_first_with_shares(dish: dict[str, Any]) -> None:
    names = [one["ingredient"] for one in dish["ingredients"]]
    grams = [one["g"] for one in dish["ingredients"]]
    # cream 48; gin 20 x 426.6/526.6 + 5 = 21.20; sugar 12 + 20 x 100/526.6 = 15.80; cobs 7.2; paste 4.8
    assert names == ["double cream", "gin", "sugar", "cobs", "nut paste"]
    assert grams == pytest.approx([48.0, 21.202, 15.798, 7.2, 4.8], abs=2e-3)
    assert [one["share"] for one in dish["ingredients"]] == pytest.approx([gram / 97 for gram in grams])
    assert sum(one["share"] for one in dish["ingredients"]) == pytest.approx(1.0)


def test_a_preparation_is_told_by_its_batch(kitchen: Kitchen) -> None:
    found = kitchen.write(BOOK, law="gb").one("damson gin")
    assert found["kind"] == "preparation"
    assert "portion_g" not in found
    assert "per_portion" not in found["nutrition"]
    assert "per_portion" not in found["nutrition"]["declared"]
    assert found["batch_g"] == pytest.approx(526.6, abs=0.05)
    assert sum(one["g"] for one in found["ingredients"]) == pytest.approx(found["batch_g"])
    assert found["alcohol"]["ethanol_g"]["estimate"] == pytest.approx(426.6 * 0.3330, rel=1e-3)
    assert found["alcohol"]["because"][0]["path"] == ["gin"]
    strength = found["alcohol"]["abv_percent"]
    assert strength["low"] <= strength["estimate"] <= strength["high"]
    # 180 ml of ethanol in what gin and dissolved sugar fill: 450 + 100 x 0.62 ml
    assert strength["estimate"] == pytest.approx(180 / (450 + 62) * 100, rel=2e-3)


def test_what_gives_several_things_is_declared_once_for_each(kitchen: Kitchen) -> None:
    text = """
- preparation: plums in brandy
  takes: [500 g plum, 700 ml brandy]
  method:
    - macerate: {solids: plum, for: 3 weeks, at: 20 C, as: pricked}
    - strain: {holds: 5 %}
  gives:
    plum brandy: {part: liquor}
    steeped plums: solids
"""
    found = kitchen.write(text).declared("--all")
    assert set(found) == {"plum brandy", "steeped plums"}
    assert {one["kind"] for one in found.values()} == {"preparation"}
    assert found["plum brandy"]["alcohol"]["abv_percent"] is not None
    assert found["steeped plums"]["alcohol"]["abv_percent"] is None
    assert found["steeped plums"]["alcohol"]["status"] == "contains"


def test_all_declares_dishes_and_preparations(kitchen: Kitchen) -> None:
    found = kitchen.write(BOOK, law="gb").declared("--all")
    assert set(found) == {"damson and custard ice", "custard ice", "praline", "damson gin"}


def test_steam_does_not_reduce_what_was_put_in(kitchen: Kitchen) -> None:
    text = (
        "- preparation: syrup\n  takes: [100 g water, 100 g sugar]\n  method:\n    - reduce: {leaves: 150 g}\n"
        + plate("75 g syrup")
    )
    found = kitchen.write(text).one("plate")
    assert found["portion_g"] == pytest.approx(75.0)
    assert {one["ingredient"]: one["g"] for one in found["ingredients"]} == pytest.approx(
        {"sugar": 50.0, "water": 50.0}
    )
    # USDA SR28 19335 holds 0.02 g water, tap water is all water to 0.1 g: 50 g of water less 25 g of steam
    assert found["nutrition"]["per_portion"]["water_g"] == pytest.approx(25.0, abs=0.1)


def test_figures_of_json_are_numbers_everywhere(kitchen: Kitchen) -> None:
    """JSON knows no NaN and no infinity."""
    kitchen.write(BOOK + "- ingredient: nothing\n" + plate("1 g nothing", name="bare"), law="gb")
    text = run("declare", kitchen.folder, "--all", "--json").out
    assert "NaN" not in text
    assert "Infinity" not in text


def test_alcohol_that_is_not_all_known_is_at_least_so_much(kitchen: Kitchen) -> None:
    """A figure with gaps is the sum of what is known (the contract of the book, section 4); the key tells which it is."""
    kitchen.write(
        "- {ingredient: house gin, composition: sr28:14049, strength: 40 % vol}\n- {ingredient: mystery}\n"
        "- {ingredient: cooking ale, spec: {statement: 'ale'}}\n"
        "- {dish: known, plate: [10 g house gin]}\n- {dish: open, plate: [10 g house gin, 10 g mystery]}\n"
        "- {dish: unmeasured, plate: [10 g house gin, 10 g cooking ale]}\n"
    )
    found = {name: one["alcohol"]["at_least"] for name, one in kitchen.declared().items()}
    assert found == {"known": False, "open": True, "unmeasured": True}
