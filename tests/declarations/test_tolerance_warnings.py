"""Where a recipe is less sure of a figure than the law allows; the bounds are typed from the guidance and from 21 CFR 101.9(g)."""

from typing import Any

import pytest

from tests.kitchens import Kitchen, plate, run

FAT = """
- ingredient: block of fat
  per_100_g: {fat_g: 100, saturates_g: 0, carbohydrate_g: 0, sugars_g: 0, fibre_g: 0, protein_g: 0, salt_g: 0}
  spec: {statement: "Rapeseed oil"}
"""


def warnings(kitchen: Kitchen, law: str = "eu", name: str = "plate") -> dict[str, dict[str, Any]]:
    found = kitchen.one(name, "--jurisdiction", law)["nutrition"]["wider_than_tolerance"]
    return {one["nutrient"]: one for one in found}


def test_a_weighed_recipe_with_every_figure_has_none(kitchen: Kitchen) -> None:
    kitchen.write(FAT + plate("20 g block of fat", "80 g water"))
    assert warnings(kitchen) == {}
    assert "Less sure than the law allows" not in run("declare", kitchen.folder, "--on", "2026-11-25").out


# December 2012 guidance, Table 1: fat of 10 to 40 g, 20 %: 20 g may be 15.6 to 24.6 (19.5 x 0.8, 20.4 x 1.2, printed 16 to 24).
# 19 to 21 g of fat with 80 g of water: 19.2 to 20.8 g in 100 g, inside; 10 to 30 g: 11.1 to 27.3 g, outside.
@pytest.mark.parametrize(
    ("line", "low", "high", "warned"), [("19-21 g", 19.19, 20.79, False), ("10-30 g", 11.11, 27.27, True)]
)
def test_a_rough_amount(kitchen: Kitchen, line: str, low: float, high: float, warned: bool) -> None:
    kitchen.write(FAT + plate(f"{line} block of fat", "80 g water"))
    found = warnings(kitchen)
    assert ("fat_g" in found) is warned
    if warned:
        assert found["fat_g"]["allowed"] == {"low": 16.0, "high": 24.0}
        assert found["fat_g"]["could_be"]["low"] == pytest.approx(low, abs=0.01)
        assert found["fat_g"]["could_be"]["high"] == pytest.approx(high, abs=0.01)
        assert "rough amount" in found["fat_g"]["because"][0]
        assert "Less sure than the law allows" in run("declare", kitchen.folder, "--on", "2026-11-25").out


def test_a_rough_amount_within_a_preparation(kitchen: Kitchen) -> None:
    """Half of the batch on the plate: the range of the line comes along, halved with it: 20 g (10 to 30) and 80 g of water."""
    kitchen.write(FAT + "- preparation: mix\n  takes: [20-60 g block of fat, 160 g water]\n" + plate("half the mix"))
    found = warnings(kitchen)["fat_g"]["could_be"]
    assert found["low"] == pytest.approx(11.11, abs=0.01)
    assert found["high"] == pytest.approx(27.27, abs=0.01)


def test_a_missing_figure(kitchen: Kitchen) -> None:
    """1 % without figures may hold 1 g of fat: 20 to 21 g, inside. 10 % may hold 10 g, outside."""
    kitchen.write(
        FAT
        + "- ingredient: bare\n"
        + plate("20 g block of fat", "79 g water", "1 g bare")
        + plate("20 g block of fat", "70 g water", "10 g bare", name="more")
    )
    assert "fat_g" not in warnings(kitchen)
    found = warnings(kitchen, name="more")["fat_g"]
    assert found["could_be"] == {"low": pytest.approx(20.0), "high": pytest.approx(30.0)}
    assert found["because"] == ["bare has no such figure (10 %)"]


def test_the_range_of_ethanol_counts_for_energy_in_the_united_states(kitchen: Kitchen) -> None:
    """101.9(g)(5): at most 120 % of the label.

    100 g of a spirit of 40 % vol hold 33.3 g of ethanol (OIML R 22). Two hours of simmering leave 10 % of it (USDA retention
    factors, Release 6), or as much as (W/W0)^8 = 0.9^8 = 43 % by its boiling alone; 7 kcal a gram.
    """
    kitchen.write(
        "- ingredient: spirit\n  composition: sr28:14037\n  strength: 40 % vol\n- preparation: sauce\n"
        "  takes: [100 g spirit, 900 g water]\n  method:\n    - heat: {how: simmer, for: 2 hours, loses: 10 %}\n"
        + plate("900 g sauce"),
        law="us",
    )
    found = warnings(kitchen, "us")["energy_kcal"]
    assert "the alcohol left is a range" in found["because"]
    assert found["could_be"]["high"] == pytest.approx(33.3 * 0.9**8 * 7, rel=0.02)
    assert found["allowed"]["low"] is None
    # 10 % of 33.3 g x 7 kcal is 23 kcal, printed 25 (up to 50 by fives, 101.9(c)(1)); 120 % of it is 30.
    assert found["allowed"]["high"] == pytest.approx(30)


def test_no_law_no_range(kitchen: Kitchen) -> None:
    """Standard 1.1.1-6 gives average quantities and sets no range."""
    kitchen.write(FAT + plate("10-30 g block of fat", "80 g water"))
    assert warnings(kitchen, "au-nz") == {}
