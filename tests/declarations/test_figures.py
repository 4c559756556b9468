"""Figures of a declaration against the published rows and the published factors, worked by hand beside each check.

Rows are those of the USDA National Nutrient Database for Standard Reference, Release 28 (2015):

=====  =============================  =====  =======  =====  =====  =====  ======  ======  ======  ========
NDB    food                           water  protein  fat    carb.  fibre  sugars  satur.  sodium  nitrogen
=====  =============================  =====  =======  =====  =====  =====  ======  ======  ======  ========
01053  cream, fluid, heavy whipping   57.81  2.84     36.08  2.74   0.0    2.92    23.032  27 mg   6.38
12120  hazelnuts or filberts          5.31   14.95    60.75  16.70  9.7    4.34    4.464   0 mg    5.30
19335  sugars, granulated             0.02   0.00     0.00   99.98  0.0    99.80   0.000   1 mg    6.25
02047  salt, table                    0.20   0.00     0.00   0.00   0.0    0.00    0.000   38758   -
=====  =============================  =====  =======  =====  =====  =====  ======  ======  ======  ========
"""

from typing import Any

import pytest

from tests.kitchens import Kitchen, plate, run

STORE = """
- ingredient: sea cream
  composition: sr28:01053
- ingredient: cob nuts
  composition: sr28:12120
- ingredient: fine sugar
  composition: sr28:19335
- ingredient: pan salt
  composition: sr28:02047
"""
THREE = STORE + plate("50 g sea cream", "20 g cob nuts", "10 g fine sugar")


def portion(kitchen: Kitchen, text: str, *arguments: str, law: str = "eu") -> dict[str, float]:
    found: dict[str, float] = kitchen.write(text, law=law).one("plate", *arguments)["nutrition"]["per_portion"]
    return found


def pack(**figures: float) -> str:
    """Return an ingredient known by its pack alone, and 100 g of it on a plate."""
    told = ", ".join(f"{key}: {value}" for key, value in figures.items())
    return f"- ingredient: paste\n  per_100_g: {{{told}}}\n" + plate("100 g paste")


@pytest.mark.parametrize("law", ["eu", "gb"])
def test_a_whole_dish_by_hand_in_eu_and_gb(kitchen: Kitchen, law: str) -> None:
    found = portion(kitchen, THREE, law=law)
    # fat 50 x 0.3608 + 20 x 0.6075 = 18.04 + 12.15
    assert found["fat_g"] == pytest.approx(30.19)
    # saturates 50 x 0.23032 + 20 x 0.04464 = 11.516 + 0.8928
    assert found["saturates_g"] == pytest.approx(12.4088)
    # carbohydrate without fibre: 50 x 0.0274 + 20 x (0.1670 - 0.097) + 10 x 0.9998 = 1.37 + 1.40 + 9.998
    assert found["carbohydrate_g"] == pytest.approx(12.768)
    # sugars, the cream's 2.92 lowered to its carbohydrate 2.74: 1.37 + 0.868 + 9.98
    assert found["sugars_g"] == pytest.approx(12.218)
    assert found["fibre_g"] == pytest.approx(1.94)  # 20 x 0.097
    # Regulation (EU) No 1169/2011, Annex I, 10: protein is nitrogen x 6.25:
    # 1.42 x 6.25 / 6.38 + 2.99 x 6.25 / 5.30 = 1.391066 + 3.525943
    assert found["protein_g"] == pytest.approx(4.917010, abs=2e-6)
    # sodium 50 x 0.27 + 10 x 0.01 mg; salt = sodium x 2.5 (Annex I, 11)
    assert found["sodium_mg"] == pytest.approx(13.6)
    assert found["salt_g"] == pytest.approx(0.034)
    # water 28.905 + 1.062 + 0.002
    assert found["water_g"] == pytest.approx(29.969)
    assert found["alcohol_g"] == 0.0
    # Annex XIV: 37 x 30.19 + 17 x 12.768 + 17 x 4.917010 + 8 x 1.94 kJ; 9, 4, 4, 2 kcal
    assert found["energy_kj"] == pytest.approx(1117.03 + 217.056 + 83.589 + 15.52, abs=1e-3)
    assert found["energy_kcal"] == pytest.approx(271.71 + 51.072 + 19.668 + 3.88, abs=1e-3)


def test_the_same_dish_by_hand_in_the_us(kitchen: Kitchen) -> None:
    found = portion(kitchen, THREE, law="us")
    # 21 CFR 101.9(c)(6): total carbohydrate holds the fibre: 1.37 + 3.34 + 9.998
    assert found["carbohydrate_g"] == pytest.approx(14.708)
    assert found["fibre_g"] == pytest.approx(1.94)
    # protein as the table gives it: 1.42 + 2.99
    assert found["protein_g"] == pytest.approx(4.41)
    # (c)(1)(i)(B): 9 x 30.19 + 4 x 14.708 + 4 x 4.41
    assert found["energy_kcal"] == pytest.approx(271.71 + 58.832 + 17.64)
    # 1 kcal is 4.184 kJ (the thermochemical calorie)
    assert found["energy_kj"] == pytest.approx(348.182 * 4.184)
    # With the fibre in the carbohydrate (2.74 per 100 g for cream all the same) the sugars are lowered alike.
    assert found["sugars_g"] == pytest.approx(12.218)


@pytest.mark.parametrize("law", ["au-nz", "codex"])
def test_carbohydrate_without_fibre_and_protein_as_the_table_elsewhere(kitchen: Kitchen, law: str) -> None:
    found = portion(kitchen, THREE, law=law)
    assert found["carbohydrate_g"] == pytest.approx(12.768)
    assert found["protein_g"] == pytest.approx(4.41)


def test_carbohydrate_with_fibre_in_ca(kitchen: Kitchen) -> None:
    found = portion(kitchen, THREE, law="ca")
    assert found["carbohydrate_g"] == pytest.approx(14.708)
    assert found["protein_g"] == pytest.approx(4.41)


# Regulation (EU) No 1169/2011, Annex XIV, as printed: per gram, kJ and kcal.
ANNEX_XIV = [
    ("fat_g", 37, 9),
    ("carbohydrate_g", 17, 4),
    ("protein_g", 17, 4),
    ("fibre_g", 8, 2),
    ("alcohol_g", 29, 7),
]


@pytest.mark.parametrize(("key", "kj", "kcal"), ANNEX_XIV)
@pytest.mark.parametrize("law", ["eu", "gb"])
def test_each_factor_of_annex_xiv(kitchen: Kitchen, law: str, key: str, kj: float, kcal: float) -> None:
    figures = {"fat_g": 0.0, "carbohydrate_g": 0.0, "protein_g": 0.0, "fibre_g": 0.0, "salt_g": 0.0, key: 10.0}
    found = portion(kitchen, pack(**figures), law=law)
    assert found["energy_kj"] == pytest.approx(10 * kj)
    assert found["energy_kcal"] == pytest.approx(10 * kcal)


# Annex XIV: polyols 10 kJ, 2.4 kcal; Annex I, 8: carbohydrate includes polyols.
def test_polyols_inside_carbohydrate_count_by_their_own_factor(kitchen: Kitchen) -> None:
    told = {"fat_g": 0.0, "carbohydrate_g": 30.0, "polyols_g": 10.0, "protein_g": 0.0, "fibre_g": 0.0}
    found = portion(kitchen, pack(**told))
    assert found["energy_kj"] == pytest.approx(20 * 17 + 10 * 10)
    assert found["energy_kcal"] == pytest.approx(20 * 4 + 10 * 2.4)


# 21 CFR 101.9(c)(1)(i)(B): 4, 4 and 9 Calories per gram of protein, total carbohydrate and fat; 7 for alcohol.
US = [("fat_g", 9), ("carbohydrate_g", 4), ("protein_g", 4), ("alcohol_g", 7)]


@pytest.mark.parametrize(("key", "kcal"), US)
def test_each_factor_of_the_us(kitchen: Kitchen, key: str, kcal: float) -> None:
    figures = {"fat_g": 0.0, "carbohydrate_g": 0.0, "protein_g": 0.0, "fibre_g": 0.0, "salt_g": 0.0, key: 10.0}
    assert portion(kitchen, pack(**figures), law="us")["energy_kcal"] == pytest.approx(10 * kcal)


def test_a_us_pack_counts_its_fibre_inside_carbohydrate(kitchen: Kitchen) -> None:
    """21 CFR 101.9(c)(6): 20 g total carbohydrate with 5 g of fibre in it are 15 g by Annex I, 8."""
    text = pack(fat_g=0.0, carbohydrate_g=20.0, protein_g=0.0, fibre_g=5.0)
    ours = portion(kitchen, text, law="us")
    theirs = portion(kitchen, text, "--jurisdiction", "eu", law="us")
    assert ours["carbohydrate_g"] == pytest.approx(20.0)
    assert ours["energy_kcal"] == pytest.approx(80.0)
    assert theirs["carbohydrate_g"] == pytest.approx(15.0)
    assert theirs["energy_kcal"] == pytest.approx(15 * 4 + 5 * 2)
    # and an EU pack of 15 g read under the law of the United States is 20 g
    text = pack(fat_g=0.0, carbohydrate_g=15.0, protein_g=0.0, fibre_g=5.0)
    assert portion(kitchen, text, "--jurisdiction", "us", law="eu")["carbohydrate_g"] == pytest.approx(20.0)


def test_pack_protein_stays_as_it_is(kitchen: Kitchen) -> None:
    text = "- ingredient: nuts\n  composition: sr28:12120\n  per_100_g: {protein_g: 14}\n" + plate("100 g nuts")
    assert portion(kitchen, text)["protein_g"] == pytest.approx(14.0)
    assert portion(kitchen, text, "--jurisdiction", "us")["protein_g"] == pytest.approx(14.0)


def test_the_pack_wins_figure_by_figure_and_water_closes(kitchen: Kitchen) -> None:
    text = (
        "- ingredient: cream\n  composition: sr28:01053\n  per_100_g: {fat_g: 48.0, saturates_g: 30.1, salt_g: 0.05}\n"
        + plate("100 g cream")
    )
    found = portion(kitchen, text, "--jurisdiction", "us")
    assert found["fat_g"] == pytest.approx(48.0)
    assert found["saturates_g"] == pytest.approx(30.1)
    assert found["protein_g"] == pytest.approx(2.84)  # the row's
    assert found["carbohydrate_g"] == pytest.approx(2.74)  # the row's
    assert found["sodium_mg"] == pytest.approx(20.0)  # 0.05 g salt / 2.5
    assert found["salt_g"] == pytest.approx(0.05)
    # 100 - 48.0 - 2.84 - 2.74 - 0.53 (ash of the row) = 45.89
    assert found["water_g"] == pytest.approx(45.89)


def test_with_no_row_water_is_what_is_left(kitchen: Kitchen) -> None:
    # Annex I, 11 counts all sodium as salt: 100 - 10 - 20 - 5 - 2 - 1 = 62
    found = portion(kitchen, pack(fat_g=10.0, carbohydrate_g=20.0, protein_g=5.0, fibre_g=2.0, salt_g=1.0))
    assert found["water_g"] == pytest.approx(62.0)


def test_figures_beyond_the_hundred_are_a_fault_with_both_figures(kitchen: Kitchen) -> None:
    kitchen.write(pack(fat_g=60.0, carbohydrate_g=50.0, protein_g=0.0))
    (fault,) = kitchen.faults()
    assert fault["field"] == "per_100_g"
    assert "110.0 g in 100 g" in fault["problem"]
    assert "-10.0 g of water" in fault["problem"]
    assert "fat_g 60" in fault["problem"]
    assert "carbohydrate_g 50" in fault["problem"]
    assert fault["line"] in (3, 4)


def test_sugars_are_lowered_row_by_row_and_not_after_summing(kitchen: Kitchen) -> None:
    """The cream's 2.92 g of sugars stand above its 2.74 g of carbohydrate; flour beside it leaves room in the sum."""
    text = STORE + "- ingredient: flour\n  composition: sr28:20081\n" + plate("100 g sea cream", "100 g flour")
    found = portion(kitchen, text)
    assert found["sugars_g"] == pytest.approx(2.74 + 0.27)  # NDB 20081: sugars 0.27


# OIML R 22 (1975): at 20 C 40 % vol weighs 0.94805 g/ml, 100 % vol 0.78924 g/ml: 33.30 g of ethanol in 100 g.
def test_strength_sets_the_ethanol(kitchen: Kitchen) -> None:
    text = "- ingredient: juniper spirit\n  composition: sr28:14037\n  strength: 40 % vol\n" + plate(
        "100 g juniper spirit"
    )
    found = kitchen.write(text).one("plate")
    assert found["nutrition"]["per_portion"]["alcohol_g"] == pytest.approx(40 * 0.78924 / 94.805 * 100, rel=5e-4)
    assert found["alcohol"]["abv_percent"]["estimate"] == pytest.approx(40.0, abs=0.02)


def test_the_strength_wins_over_the_rows_own_ethanol(kitchen: Kitchen) -> None:
    """NDB 14037 is at 80 US proof, 40 % vol; the bottle says 20."""
    text = "- ingredient: spirit\n  composition: sr28:14037\n  strength: 20 % vol\n" + plate("100 g spirit")
    found = kitchen.write(text).one("plate")
    # OIML R 22: 20 % vol weighs 0.97356 g/ml
    assert found["nutrition"]["per_portion"]["alcohol_g"] == pytest.approx(20 * 0.78924 / 97.356 * 100, rel=2e-3)
    assert found["alcohol"]["abv_percent"]["estimate"] == pytest.approx(20.0, abs=0.02)


def test_missing_figures_are_named_with_their_share_and_not_declared(kitchen: Kitchen) -> None:
    found = kitchen.write(STORE + "- ingredient: nut paste\n" + plate("87 g sea cream", "13 g nut paste")).one("plate")
    missing = {one["nutrient"]: one for one in found["nutrition"]["missing"]}
    for key in (
        "energy_kj",
        "energy_kcal",
        "fat_g",
        "saturates_g",
        "carbohydrate_g",
        "sugars_g",
        "fibre_g",
        "protein_g",
        "salt_g",
    ):
        assert missing[key]["ingredient"] == "nut paste"
        assert missing[key]["share"] == pytest.approx(0.13)
        assert key not in found["nutrition"]["declared"]["per_100_g"]
        assert key not in found["nutrition"]["declared"]["per_portion"]
    # a figure with gaps is the sum of what is known
    assert found["nutrition"]["per_portion"]["fat_g"] == pytest.approx(87 * 0.3608)
    assert found["portion_g"] == pytest.approx(100.0)


def test_a_blank_of_the_table_is_missing_and_not_nought(kitchen: Kitchen) -> None:
    """NDB 01008, cheese, caraway, prints no sugars; its fat 29.20 and fibre 0.0 are known."""
    text = "- ingredient: caraway cheese\n  composition: sr28:01008\n" + plate("30 g caraway cheese")
    nutrition = kitchen.write(text).one("plate")["nutrition"]
    assert {one["nutrient"] for one in nutrition["missing"]} >= {"sugars_g"}
    assert "fat_g" not in {one["nutrient"] for one in nutrition["missing"]}
    assert "sugars_g" not in nutrition["declared"]["per_100_g"]
    # European Commission, guidance on tolerances (2012), section 6: fat above 10 g to the nearest gram
    assert nutrition["declared"]["per_100_g"]["fat_g"] == "29"


def test_declared_figures_are_rounded_by_the_law(kitchen: Kitchen) -> None:
    declared = kitchen.write(THREE).one("plate")["nutrition"]["declared"]["per_100_g"]
    # guidance (2012), section 6: 30.19 / 0.8 = 37.7375 -> 38; saturates 15.511 -> 16; carbohydrate 15.96 -> 16;
    # sugars 15.2725 -> 15; protein 6.14626 -> 6.1; salt 0.0425 -> 0.04; energy 1433.195 / 0.8 = 1791.49 -> 1791; 346.33 / 0.8 = 432.91
    assert declared["fat_g"] == "38"
    assert declared["saturates_g"] == "16"
    assert declared["carbohydrate_g"] == "16"
    assert declared["sugars_g"] == "15"
    assert declared["protein_g"] == "6.1"
    assert declared["salt_g"] == "0.04"
    assert declared["energy_kj"] == "1791"
    assert declared["energy_kcal"] == "433"


def test_us_declared_figures_are_rounded_by_21_cfr(kitchen: Kitchen) -> None:
    declared = kitchen.write(THREE, law="us").one("plate")["nutrition"]["declared"]["per_portion"]
    # 101.9(c)(1): above 50 to the nearest 10: 348.182 -> 350; (c)(2): fat above 5 g to the nearest gram: 30;
    # (c)(2)(i): saturates 12.4 -> 12; (c)(4): sodium 13.6 mg, 5 to 140 to the nearest 5: 15; (c)(6): 14.708 -> 15; (c)(7): 4.41 -> 4
    assert declared["energy_kcal"] == "350"
    assert declared["fat_g"] == "30"
    assert declared["saturates_g"] == "12"
    assert declared["sodium_mg"] == "15"
    assert declared["carbohydrate_g"] == "15"
    assert declared["protein_g"] == "4"


def test_salt_is_sodium_times_two_and_a_half(kitchen: Kitchen) -> None:
    found = portion(kitchen, STORE + plate("10 g pan salt"))
    assert found["sodium_mg"] == pytest.approx(3875.8)
    assert found["salt_g"] == pytest.approx(9.6895)  # Annex I, 11


def test_serves_divides_the_plate(kitchen: Kitchen) -> None:
    text = STORE + plate("50 g sea cream", "20 g cob nuts", "10 g fine sugar").replace(
        "  plate:", "  serves: 4\n  plate:"
    )
    found = kitchen.write(text).one("plate")
    assert found["portion_g"] == pytest.approx(20.0)
    assert found["nutrition"]["per_portion"]["fat_g"] == pytest.approx(30.19 / 4)
    assert found["nutrition"]["per_100_g"]["fat_g"] == pytest.approx(30.19 / 0.8)
    assert sum(one["g"] for one in found["ingredients"]) == pytest.approx(20.0)


def test_energy_stated_on_the_pack_only_checks(kitchen: Kitchen) -> None:
    told: dict[str, Any] = {"energy_kj": 500, "fat_g": 10.0, "carbohydrate_g": 20.0, "protein_g": 5.0, "fibre_g": 0.0}
    kitchen.write(pack(**told))
    # Annex XIV: 370 + 340 + 85 = 795 kJ, which is what counts; the pack's 500 is advice
    assert kitchen.one("plate")["nutrition"]["per_portion"]["energy_kj"] == pytest.approx(795.0)
    assert kitchen.faults() == []
    (advice,) = [one for one in kitchen.advice() if one["field"] == "per_100_g.energy_kj"]
    assert "500 kJ" in advice["problem"]
    assert "795 kJ" in advice["problem"]


def test_an_empty_plate_of_water_declares_noughts(kitchen: Kitchen) -> None:
    found = kitchen.write(plate("200 g water")).one("plate")
    assert found["nutrition"]["per_portion"]["energy_kj"] == 0.0
    assert found["nutrition"]["missing"] == []
    assert found["nutrition"]["declared"]["per_100_g"]["energy_kj"] == "0"


def test_a_book_without_dishes_declares_nothing(kitchen: Kitchen) -> None:
    kitchen.write(STORE)
    assert kitchen.declared() == {}
    assert run("declare", kitchen.folder).code == 0
