"""Figures of fetched foods: shapes, units, definitions of law, measures."""

import csv
import json
from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labeller.bringing_in.food_data_central_figures import Worked, given_figures, work_out_figures
from labeller.bringing_in.food_data_central_measures import FoodMeasures, read_measures
from labeller.bringing_in.food_data_central_replies import Food, parse_food, parse_found
from labeller.bringing_in.food_data_central_settings import Trouble
from labeller.foundations.places import reference_data_folder
from labeller.jurisdictions.packs import load_jurisdiction
from tests.bringing_in.open_tables import MILK_NUTRIENTS, milk, nested, porridge, portion


def food(record: dict[str, Any]) -> Food:
    read = parse_food(json.dumps(record).encode(), record["fdcId"])
    assert isinstance(read, Food), read
    return read


def worked(record: dict[str, Any], law: str = "gb") -> Worked:
    done = work_out_figures(food(record), load_jurisdiction(law).in_force_on(date(2026, 11, 25)).definitions)
    assert isinstance(done, Worked), done
    return done


def refused(record: dict[str, Any], law: str = "gb") -> str:
    done = work_out_figures(food(record), load_jurisdiction(law).in_force_on(date(2026, 11, 25)).definitions)
    assert isinstance(done, Trouble), done
    assert done.mend
    return done.problem


def with_nutrients(*nutrients: dict[str, Any]) -> dict[str, Any]:
    return milk(foodNutrients=list(nutrients))


def measures(*portions: dict[str, Any], law: str = "gb") -> FoodMeasures:
    read = read_measures(food(milk(foodPortions=list(portions))).portions, law)
    assert isinstance(read, FoodMeasures), read
    return read


PROTEIN = nested(1003, "203", "Protein", "g", 3.15)
# The same four figures in the three published shapes: FoodNutrient, SearchResultFood's, AbridgedFoodNutrient.
SHAPES = {
    "full": [
        PROTEIN,
        nested(1008, "208", "Energy", "kcal", 61),
        nested(1093, "307", "Sodium, Na", "mg", 43),
        nested(2000, "269", "Sugars, total including NLEA", "g", 5.05),
    ],
    "search": [
        {"nutrientId": 1003, "nutrientName": "Protein", "nutrientNumber": "203", "unitName": "G", "value": 3.15},
        {"nutrientId": 1008, "nutrientName": "Energy", "nutrientNumber": "208", "unitName": "KCAL", "value": 61},
        {"nutrientId": 1093, "nutrientName": "Sodium, Na", "nutrientNumber": "307", "unitName": "MG", "value": 43},
        {"nutrientId": 2000, "nutrientName": "Sugars", "nutrientNumber": "269", "unitName": "G", "value": 5.05},
    ],
    "abridged": [
        {"number": 203, "name": "Protein", "amount": 3.15, "unitName": "g", "derivationCode": "A"},
        {"number": "208", "name": "Energy", "amount": 61, "unitName": "kcal"},
        {"number": "307", "name": "Sodium, Na", "amount": 43, "unitName": "mg"},
        {"number": 269, "name": "Sugars", "amount": 5.05, "unitName": "g"},
    ],
}


@pytest.mark.parametrize("shape", SHAPES)
def test_three_published_shapes_give_the_same_figures(shape: str) -> None:
    assert given_figures(food(with_nutrients(*SHAPES[shape])).nutrients) == {
        "protein_g": 3.15,
        "energy_kcal": 61.0,
        "sodium_mg": 43.0,
        "sugars_g": 5.05,
    }


@pytest.mark.parametrize(
    ("unit", "amount", "sodium_mg"),
    [
        ("mg", 43, 43.0),
        ("MG", 43, 43.0),
        ("g", 0.043, 43.0),
        ("µg", 43000, 43.0),
        ("μg", 43000, 43.0),
        ("UG", 43000, 43.0),
    ],
)  # factors of the SI prefixes
def test_units_of_mass_are_converted(unit: str, amount: float, sodium_mg: float) -> None:
    read = given_figures(food(with_nutrients(nested(1093, "307", "Sodium, Na", unit, amount))).nutrients)
    assert isinstance(read, dict)
    assert read["sodium_mg"] == pytest.approx(sodium_mg)


def test_a_kilocalorie_is_4_184_kilojoules() -> None:
    # ISO 80000-5:2019, annex: thermochemical calorie
    read = given_figures(food(with_nutrients(nested(1062, "268", "Energy", "kcal", 100))).nutrients)
    assert isinstance(read, dict)
    assert read["energy_kj"] == pytest.approx(418.4)


def test_international_units_of_vitamin_d_stand_as_the_standard_reference_has_them() -> None:
    # National Nutrient Database for Standard Reference, Release 28: both columns of the same food, printed to 0.1 µg and 1 IU
    with (reference_data_folder() / "composition" / "sr28.csv").open(encoding="utf-8") as file:
        pairs = [
            (float(row["vitamin_d_ug"]), float(row["vitamin_d_iu"]))
            for row in csv.DictReader(file)
            if row["vitamin_d_ug"] and row["vitamin_d_iu"] and float(row["vitamin_d_ug"]) >= 10.0
        ]
    assert len(pairs) > 50
    for micrograms, units in pairs:
        row = with_nutrients(nested(1110, "324", "Vitamin D (D2 + D3), International Units", "IU", units))
        assert worked(row).figures["vitamin_d_ug"] == pytest.approx(micrograms, abs=0.11)


@pytest.mark.parametrize("unit", ["IU", "oz", "mg_ate", "kcal", "%", "MCG_RE", "grams?"])
def test_an_unknown_unit_is_refused_not_guessed(unit: str) -> None:
    said = refused(with_nutrients(nested(1003, "203", "Protein", unit, 3.15)))
    assert said == f"'Protein' is given in '{unit}', which is no unit of it."


def test_a_missing_unit_is_refused() -> None:
    assert refused(with_nutrients({"nutrientId": 1003, "value": 3.0})) == "'nutrient 1003' has no unit."


@pytest.mark.parametrize(
    ("nutrient", "said"),
    [
        (nested(1003, "203", "Protein", "g", -0.1), "'Protein' is -0.1 g in 100 g, which is below 0."),
        (nested(1004, "204", "Total lipid (fat)", "g", 100.4), "'Total lipid (fat)' is 100.4 g in 100 g, which is more than all of it."),
        (nested(1093, "307", "Sodium, Na", "mg", 100_001), "'Sodium, Na' is 100001 mg in 100 g, which is more than all of it."),
        (nested(1008, "208", "Energy", "kcal", 1690), "'Energy' is 1690 kcal in 100 g, which is more than pure fat has."),
        (nested(1003, "204", "Protein", "g", 3), "'Protein' has the id 1003 and the number 204, which belong to two nutrients."),
        (nested(1005, "205", "Carbohydrate, by difference", "g", -2.5), "'Carbohydrate, by difference' is -2.5 g in 100 g, which is below 0."),
    ],
)  # fmt: skip
def test_impossible_figures_are_refused_in_plain_words(nutrient: dict[str, Any], said: str) -> None:
    assert refused(with_nutrients(nutrient)) == said


def test_two_figures_for_one_nutrient_are_refused_and_the_same_twice_is_not() -> None:
    again = nested(1003, "203", "Protein", "g", 5.0)
    assert refused(with_nutrients(PROTEIN, again)) == "'Protein' is given twice, as 3.15 and 5 g."
    assert worked(with_nutrients(PROTEIN, PROTEIN), "us").figures == {"protein_g": 3.15}


def test_kilojoules_and_kilocalories_that_do_not_agree_are_refused() -> None:
    said = refused(with_nutrients(nested(1008, "208", "Energy", "kcal", 61), nested(1062, "268", "Energy", "kJ", 61)))
    assert said == "Energy is given as 61 kJ and 61 kcal, which do not agree: 1 kcal is 4.184 kJ."


def test_a_figure_that_is_not_given_stays_missing() -> None:
    done = worked(with_nutrients(PROTEIN, nested(1004, "204", "Total lipid (fat)", "g", None)))
    assert set(done.figures) == {"protein_g"}
    assert done.missing == ("fat", "saturates", "carbohydrate", "sugars", "fibre", "sodium")


def test_a_food_without_figures_is_refused() -> None:
    assert "has no figures" in refused(milk(foodNutrients=[]))
    assert "has no figures" in refused(milk(foodNutrients=None))


def test_carbohydrate_without_fibre_where_the_law_wants_it() -> None:
    # Regulation (EU) No 1169/2011, Annex I, 7: fibre stands apart; 21 CFR 101.9(c)(6): total carbohydrate holds it
    flour = with_nutrients(
        nested(1005, "205", "Carbohydrate, by difference", "g", 76.31), nested(1079, "291", "Fiber, total dietary", "g", 2.7)
    )  # fmt: skip
    assert worked(flour, "eu").figures["carbohydrate_g"] == pytest.approx(73.61)
    assert worked(flour, "au-nz").figures["carbohydrate_g"] == pytest.approx(73.61)
    assert worked(flour, "us").figures["carbohydrate_g"] == pytest.approx(76.31)
    assert worked(flour, "ca").figures["carbohydrate_g"] == pytest.approx(76.31)


def test_without_fibre_carbohydrate_of_the_eu_stays_missing() -> None:
    done = worked(with_nutrients(PROTEIN, nested(1005, "205", "Carbohydrate, by difference", "g", 20.0)), "eu")
    assert "carbohydrate_g" not in done.figures
    assert "carbohydrate" in done.missing
    assert any("which is not given" in note for note in done.notes)


def test_nothing_left_by_difference_is_zero_and_said() -> None:
    # The tables have such figures: raw chicken, where the analyses add up to a little more than 100 g
    done = worked(with_nutrients(PROTEIN, nested(1005, "205", "Carbohydrate, by difference", "g", -0.475)), "eu")
    assert done.figures["carbohydrate_g"] == 0.0
    assert "carbohydrate by difference is given as -0.475 g and taken as 0" in done.notes


def test_fibre_above_all_carbohydrate_is_refused() -> None:
    record = with_nutrients(
        nested(1005, "205", "Carbohydrate, by difference", "g", 10.0), nested(1079, "291", "Fiber, total dietary", "g", 24.3)
    )  # fmt: skip
    assert refused(record, "eu") == "The fibre, 24.3 g, is more than the carbohydrate by difference, 10 g."


def test_second_best_figures_stand_in_and_are_named() -> None:
    done = worked(
        with_nutrients(
            PROTEIN,
            nested(1005, "205", "Carbohydrate, by difference", "g", 30.0),
            nested(2033, "293", "Total dietary fiber (AOAC 2011.25)", "g", 10.0),
            nested(1063, "269.3", "Sugars, Total", "g", 7.72),
        ),
        "eu",
    )
    assert done.figures["fibre_g"] == 10.0
    assert done.figures["sugars_g"] == 7.72
    assert done.figures["carbohydrate_g"] == pytest.approx(20.0)
    assert "fibre by AOAC 2011.25" in done.notes


def test_carbohydrate_by_summation_is_not_taken() -> None:
    # What it sums differs from food to food; it is no carbohydrate of a law.
    assert (
        "carbohydrate_g"
        not in worked(
            with_nutrients(PROTEIN, nested(1050, "205.2", "Carbohydrate, by summation", "g", 12)), "eu"
        ).figures
    )


def test_protein_is_nitrogen_times_6_25_where_the_law_says_so() -> None:
    # Regulation (EU) No 1169/2011, Annex I, 10. Factor of milk 6.38: the Standard Reference's own.
    assert worked(milk(), "eu").figures["protein_g"] == pytest.approx(3.15 * 6.25 / 6.38)
    assert worked(milk(), "gb").figures["protein_g"] == pytest.approx(3.15 * 6.25 / 6.38)
    assert worked(milk(), "us").figures["protein_g"] == 3.15


def test_protein_from_nitrogen_where_no_factor_is_given() -> None:
    record = milk(nutrientConversionFactors=[], foodNutrients=[PROTEIN, nested(1002, "202", "Nitrogen", "g", 0.5)])
    assert worked(record, "eu").figures["protein_g"] == pytest.approx(3.125)
    alone = worked(milk(nutrientConversionFactors=None, foodNutrients=[PROTEIN]), "eu")
    assert alone.figures["protein_g"] == 3.15
    assert "protein as the table gives it: its factor from nitrogen is not given" in alone.notes


@pytest.mark.parametrize("factor", [0.0, -6.25, 625.0])
def test_a_nitrogen_factor_that_none_is_is_refused(factor: float) -> None:
    record = milk(nutrientConversionFactors=[{"type": ".ProteinConversionFactor", "value": factor}])
    assert "which none is" in refused(record, "eu")


def test_salt_or_sodium_as_the_law_prints_it() -> None:
    # Regulation (EU) No 1169/2011, Annex I, 11: salt is sodium x 2.5
    assert worked(milk(), "eu").figures["salt_g"] == pytest.approx(0.1075)
    assert "sodium_mg" not in worked(milk(), "eu").figures
    assert worked(milk(), "us").figures["sodium_mg"] == 43.0
    assert "salt_g" not in worked(milk(), "us").figures


def test_trans_fat_added_sugars_and_caffeine_come_where_they_exist() -> None:
    rows = [*MILK_NUTRIENTS, nested(1235, "539", "Sugars, added", "g", 1.25)]
    done = worked(milk(foodNutrients=rows), "us").figures
    assert (done["trans_fat_g"], done["added_sugars_g"], done["caffeine_mg"]) == (0.1, 1.25, 0.0)
    assert "added_sugars_g" not in worked(milk(), "us").figures


def test_energy_that_checks_nothing_is_left_out_and_said() -> None:
    # Bran by the food's own factors: far below the 17 and 8 kJ of Annex XIV
    record = with_nutrients(
        nested(1008, "208", "Energy", "kcal", 150),
        nested(1003, "203", "Protein", "g", 15.0),
        nested(1004, "204", "Total lipid (fat)", "g", 4.0),
        nested(1005, "205", "Carbohydrate, by difference", "g", 65.0),
        nested(1079, "291", "Fiber, total dietary", "g", 43.0),
    )
    done = worked(record, "us")
    assert "energy_kcal" not in done.figures
    assert any("is left out" in note for note in done.notes)
    assert worked(milk(), "us").figures["energy_kcal"] == 61.0


def test_sr_legacy_measures() -> None:
    read = measures(
        portion(14, "slice"), portion(113, "cup, shredded"), portion(85, "serving"), portion(17, "cubic inch")
    )
    assert read == FoodMeasures(None, None, {"slice": 14.0})


def test_what_pours_gets_a_density_and_no_cup() -> None:
    # 244 g in a US cup of 236.588 ml (NIST Handbook 44, Appendix C)
    read = measures(portion(244, "cup"), portion(30.5, "fl oz"))
    assert read.density_g_per_ml == pytest.approx(244 / 236.588, rel=1e-4)
    assert read.measures_g == {}


def test_a_cup_is_the_books_own() -> None:
    # 125 g in a US cup; a cup of a British book holds 250 ml
    assert measures(portion(125, unit="cup"), law="us").measures_g["cup"] == pytest.approx(125.0, rel=1e-4)
    assert measures(portion(125, unit="cup"), law="gb").measures_g["cup"] == pytest.approx(
        125 * 250 / 236.588, rel=1e-4
    )
    assert measures(portion(31.25, unit="cup", amount=0.25), law="us").measures_g["cup"] == pytest.approx(
        125.0, rel=1e-4
    )


def test_pieces() -> None:
    assert measures(portion(50, "large"), portion(44, "medium")).piece_g == 44.0
    assert measures(portion(115, "peeled", unit="banana")).piece_g == 115.0
    survey = read_measures(food(porridge()).portions, "us")
    assert isinstance(survey, FoodMeasures)
    assert survey.measures_g["cup"] == pytest.approx(236.0, rel=1e-4)


@pytest.mark.parametrize("weight", [0.0, -3.0, 1e9])
def test_a_measure_that_weighs_nothing_is_refused(weight: float) -> None:
    read = read_measures(food(milk(foodPortions=[portion(weight, "slice")])).portions, "gb")
    assert isinstance(read, Trouble)
    assert "which cannot be" in read.problem


@settings(max_examples=60, deadline=None)
@given(st.recursive(st.none() | st.booleans() | st.floats() | st.text(max_size=8) | st.integers(), lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(["fdcId", "foods", "totalHits", "description", "dataType", "foodNutrients", "nutrient", "amount", "unitName", "id", "foodPortions", "gramWeight"]), inner, max_size=5), max_leaves=12))  # fmt: skip
def test_no_reply_makes_the_reader_raise(data: Any) -> None:
    body = json.dumps(data).encode()
    for read in (parse_food(body, 1), parse_found(body)):
        if isinstance(read, Trouble):
            assert read.problem.endswith(".")
            assert "pydantic" not in read.problem
