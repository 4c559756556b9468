"""Energy where a pack gives no fibre, which it need not: Regulation (EU) No 1169/2011, Article 30(1) does not list it."""

from typing import Any

from tests.kitchens import Kitchen, plate

# 36 g of fat, 3 g of carbohydrate and 2 g of protein make 36 x 37 + 3 x 17 + 2 x 17 = 1417 kJ, Annex XIV of the same regulation.
CREAM = "- ingredient: thick cream\n  per_100_g: {{{energy}fat_g: 36, saturates_g: 23, carbohydrate_g: 3, sugars_g: 3, protein_g: 2, salt_g: 0.1}}\n"


def missing(kitchen: Kitchen, energy: str) -> tuple[set[str], dict[str, Any]]:
    kitchen.write(CREAM.format(energy=energy) + plate("100 g thick cream"))
    nutrition = kitchen.one("plate")["nutrition"]
    return {one["nutrient"] for one in nutrition["missing"]}, nutrition


def test_a_stated_energy_that_the_other_figures_make_leaves_no_gap(kitchen: Kitchen) -> None:
    gaps, nutrition = missing(kitchen, "energy_kj: 1420, ")
    assert gaps == {"fibre_g"}
    assert nutrition["per_100_g"]["energy_kj"] == 1417.0
    assert nutrition["declared"]["per_100_g"]["energy_kj"] == "1417"


def test_a_stated_energy_that_leaves_room_for_fibre_does_not(kitchen: Kitchen) -> None:
    """1497 kJ would be 10 g of fibre more, at 8 kJ a gram."""
    gaps, nutrition = missing(kitchen, "energy_kj: 1497, ")
    assert {"fibre_g", "energy_kj", "energy_kcal"} <= gaps
    assert "energy_kj" not in nutrition["declared"]["per_100_g"]


def test_without_a_stated_energy_it_stays_open(kitchen: Kitchen) -> None:
    gaps, _ = missing(kitchen, "")
    assert {"fibre_g", "energy_kj", "energy_kcal"} <= gaps
