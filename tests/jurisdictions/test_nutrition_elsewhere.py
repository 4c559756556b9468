"""Lines, energy, reference values, letters and words of the panels outside the European Union and Great Britain."""

from datetime import date

import pytest

from labeller.jurisdictions.in_force import LawInForce
from labeller.jurisdictions.packs import load_jurisdiction


def law(code: str) -> LawInForce:
    return load_jurisdiction(code).in_force_on(date(2026, 11, 25))


# 21 CFR 101.9(c) and (d)(7), (8), in the order of the panel: label, unit, indent, mandatory.
NUTRITION_FACTS = [
    ("energy_kcal", "Calories", "kcal", 0, True),
    ("fat_g", "Total Fat", "g", 0, True),
    ("saturates_g", "Saturated Fat", "g", 1, True),
    ("trans_fat_g", "Trans Fat", "g", 1, True),
    ("polyunsaturates_g", "Polyunsaturated Fat", "g", 1, False),
    ("mono_unsaturates_g", "Monounsaturated Fat", "g", 1, False),
    ("cholesterol_mg", "Cholesterol", "mg", 0, True),
    ("sodium_mg", "Sodium", "mg", 0, True),
    ("carbohydrate_g", "Total Carbohydrate", "g", 0, True),
    ("fibre_g", "Dietary Fiber", "g", 1, True),
    ("sugars_g", "Total Sugars", "g", 1, True),
    ("added_sugars_g", "Includes {amount} Added Sugars", "g", 2, True),
    ("sugar_alcohol_g", "Sugar Alcohol", "g", 1, False),
    ("protein_g", "Protein", "g", 0, True),
    ("vitamin_d_ug", "Vitamin D", "mcg", 0, True),
    ("calcium_mg", "Calcium", "mg", 0, True),
    ("iron_mg", "Iron", "mg", 0, True),
    ("potassium_mg", "Potassium", "mg", 0, True),
]


def test_nutrition_facts_in_their_order() -> None:
    found = [(line.key, line.label, line.unit, line.indent, line.mandatory) for line in law("us").nutrients]
    assert found == NUTRITION_FACTS
    assert all(line.basis == ("per_portion",) for line in law("us").nutrients)
    assert [line.key for line in law("us").nutrients_for("menu")] == ["energy_kcal"]


# B.01.401, core information since 2016, in its order (from memory).
def test_the_canadian_table_in_its_order() -> None:
    assert [(line.label, line.unit, line.indent) for line in law("ca").nutrients] == [
        ("Calories", "Cal", 0),
        ("Fat", "g", 0),
        ("Saturated", "g", 1),
        ("+ Trans", "g", 1),
        ("Carbohydrate", "g", 0),
        ("Fibre", "g", 1),
        ("Sugars", "g", 1),
        ("Protein", "g", 0),
        ("Cholesterol", "mg", 0),
        ("Sodium", "mg", 0),
        ("Potassium", "mg", 0),
        ("Calcium", "mg", 0),
        ("Iron", "mg", 0),
    ]


# Schedule 12, S12-2: the panel, per serving and per 100 g; Calories and fibre are optional lines.
def test_the_panel_of_australia_and_new_zealand_in_its_order() -> None:
    lines = law("au-nz").nutrients
    assert [(line.key, line.label, line.unit) for line in lines if line.mandatory] == [
        ("energy_kj", "Energy", "kJ"),
        ("protein_g", "Protein", "g"),
        ("fat_g", "Fat, total", "g"),
        ("saturates_g", "saturated", "g"),
        ("carbohydrate_g", "Carbohydrate", "g"),
        ("sugars_g", "sugars", "g"),
        ("sodium_mg", "Sodium", "mg"),
    ]
    assert all(line.basis == ("per_portion", "per_100_g") for line in lines)
    assert [line.key for line in lines if not line.mandatory] == ["energy_kcal", "fibre_g"]


# CXG 2-1985, 3.2.1.2 (from memory).
def test_the_lines_of_codex() -> None:
    assert [line.key for line in law("codex").nutrients] == [
        "energy_kj",
        "energy_kcal",
        "protein_g",
        "carbohydrate_g",
        "sugars_g",
        "fat_g",
        "saturates_g",
        "sodium_mg",
    ]


# 21 CFR 101.9(c)(1)(i)(B): 4, 4, 9; alcohol 7 is not in the text. CFIA average factors: 4, 4, 9, 7 and 1 Cal = 4.184 kJ.
@pytest.mark.parametrize("code", ["us", "ca"])
@pytest.mark.parametrize(
    ("nutrient", "kcal"),
    [("carbohydrate", 4), ("protein", 4), ("fat", 9), ("alcohol", 7), ("fibre", 0), ("polyols", 0)],
)
def test_general_factors_on_total_carbohydrate(code: str, nutrient: str, kcal: float) -> None:
    factor = law(code).energy_factors[nutrient]
    assert factor.kcal == kcal
    assert factor.kj == pytest.approx(kcal * 4.184, rel=1e-12)
    assert law(code).energy_from == "kcal"
    assert law(code).energy_method.kj_per_kcal == 4.184


# 21 CFR 101.9(c)(1)(i)(F).
@pytest.mark.parametrize(
    ("polyol", "kcal"),
    [
        ("isomalt", 2.0),
        ("lactitol", 2.0),
        ("xylitol", 2.4),
        ("maltitol", 2.1),
        ("sorbitol", 2.6),
        ("hydrogenated_starch_hydrolysates", 3.0),
        ("mannitol", 1.6),
        ("erythritol", 0),
    ],
)
def test_sugar_alcohols_of_the_united_states(polyol: str, kcal: float) -> None:
    factor = law("us").energy_factors[polyol]
    assert factor.kcal == kcal
    assert factor.clause.confirmed


# Schedule 11, S11-2 (factors from memory); S11-2(4): calories = kJ / 4.18.
@pytest.mark.parametrize(
    ("nutrient", "kj"),
    [
        ("alcohol", 29),
        ("fat", 37),
        ("protein", 17),
        ("carbohydrate", 17),
        ("fibre", 8),
        ("organic_acid", 13),
        ("erythritol", 1),
        ("glycerol", 18),
        ("isomalt", 11),
        ("lactitol", 11),
        ("maltitol", 13),
        ("mannitol", 9),
        ("polydextrose", 5),
        ("sorbitol", 14),
        ("d_tagatose", 11),
        ("xylitol", 14),
    ],
)
def test_schedule_eleven(nutrient: str, kj: float) -> None:
    here = law("au-nz")
    assert here.energy_factors[nutrient].kj == kj
    assert not here.energy_factors[nutrient].clause.confirmed
    assert (here.energy_from, here.energy_method.kj_per_kcal) == ("kj", 4.18)
    assert here.energy_method.clause.confirmed


# CXG 2-1985, 3.3.1 (from memory).
@pytest.mark.parametrize(
    ("nutrient", "kj", "kcal"),
    [("carbohydrate", 17, 4), ("protein", 17, 4), ("fat", 37, 9), ("alcohol", 29, 7), ("organic_acid", 13, 3)],
)
def test_factors_of_codex(nutrient: str, kj: float, kcal: float) -> None:
    factor = law("codex").energy_factors[nutrient]
    assert (factor.kj, factor.kcal, factor.clause.confirmed) == (kj, kcal, False)
    assert law("codex").energy_from == "each"


# 21 CFR 101.9(c)(8)(iv) and (c)(9), 2016: Daily Values for adults and children of four years and over.
DAILY_VALUES = [
    ("fat_g", 78),
    ("saturates_g", 20),
    ("cholesterol_mg", 300),
    ("sodium_mg", 2300),
    ("carbohydrate_g", 275),
    ("fibre_g", 28),
    ("added_sugars_g", 50),
    ("protein_g", 50),
    ("vitamin_d_ug", 20),
    ("calcium_mg", 1300),
    ("iron_mg", 18),
    ("potassium_mg", 4700),
    ("vitamin_a_ug", 900),
    ("vitamin_c_mg", 90),
    ("vitamin_e_mg", 15),
    ("vitamin_k_ug", 120),
    ("thiamin_mg", 1.2),
    ("riboflavin_mg", 1.3),
    ("niacin_mg", 16),
    ("vitamin_b6_mg", 1.7),
    ("folate_ug", 400),
    ("vitamin_b12_ug", 2.4),
    ("biotin_ug", 30),
    ("pantothenic_acid_mg", 5),
    ("phosphorus_mg", 1250),
    ("iodine_ug", 150),
    ("magnesium_mg", 420),
    ("zinc_mg", 11),
    ("selenium_ug", 55),
    ("copper_mg", 0.9),
    ("manganese_mg", 2.3),
    ("chromium_ug", 35),
    ("molybdenum_ug", 45),
    ("chloride_mg", 2300),
    ("choline_mg", 550),
]


@pytest.mark.parametrize(("key", "value"), DAILY_VALUES)
def test_daily_values_of_the_united_states(key: str, value: float) -> None:
    assert law("us").intakes[key].value == value


def test_no_daily_value_for_trans_fat_or_total_sugars() -> None:
    """101.9(c)(9) sets none, so no percentage stands beside them; (d)(7)(ii): a percentage for the others."""
    here = law("us")
    assert "trans_fat_g" not in here.intakes
    assert "sugars_g" not in here.intakes
    shown = {key for key, intake in here.intakes.items() if intake.percent == "shown"}
    assert shown == {
        "fat_g",
        "saturates_g",
        "cholesterol_mg",
        "sodium_mg",
        "carbohydrate_g",
        "fibre_g",
        "added_sugars_g",
        "vitamin_d_ug",
        "calcium_mg",
        "iron_mg",
        "potassium_mg",
    }


# Table of Daily Values, 20 October 2022 (from memory); no percentage for carbohydrate or protein.
@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("fat_g", 75),
        ("saturates_g", 20),
        ("trans_fat_g", 20),
        ("cholesterol_mg", 300),
        ("sugars_g", 100),
        ("fibre_g", 28),
        ("sodium_mg", 2300),
        ("potassium_mg", 3400),
        ("calcium_mg", 1300),
        ("iron_mg", 18),
    ],
)
def test_daily_values_of_canada(key: str, value: float) -> None:
    intakes = law("ca").intakes
    assert intakes[key].value == value
    assert not intakes[key].clause.confirmed
    assert "carbohydrate_g" not in intakes
    assert "protein_g" not in intakes


def test_saturated_and_trans_fat_share_a_percentage_in_canada() -> None:
    intakes = law("ca").intakes
    assert intakes["saturates_g"].together_with == "trans_fat_g"
    assert intakes["trans_fat_g"].together_with == "saturates_g"


# Standard 1.2.8, 1.2.8-8(3)(a).
@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("energy_kj", 8700),
        ("protein_g", 50),
        ("fat_g", 70),
        ("saturates_g", 24),
        ("carbohydrate_g", 310),
        ("sugars_g", 90),
        ("sodium_mg", 2300),
        ("fibre_g", 30),
    ],
)
def test_daily_intakes_of_australia_and_new_zealand(key: str, value: float) -> None:
    intake = law("au-nz").intakes[key]
    assert intake.value == value
    assert intake.percent == "optional"
    assert intake.clause.confirmed


# CXG 2-1985, 3.4.4.2 (from memory).
@pytest.mark.parametrize(("key", "value"), [("saturates_g", 20), ("sodium_mg", 2000), ("potassium_mg", 3500)])
def test_reference_values_of_codex(key: str, value: float) -> None:
    assert law("codex").intakes[key].value == value


# 21 CFR 101.9(d): least type sizes in points, and whether bold.
@pytest.mark.parametrize(
    ("key", "least", "bold"),
    [
        ("servings", 10, "forbidden"),
        ("serving size", 10, "required"),
        ("amount per serving", 6, "required"),
        ("calories word", 16, "required"),
        ("calories figure", 22, "required"),
        ("daily value heading", 6, "required"),
        ("nutrient lines", 8, ""),
        ("vitamin lines", 8, ""),
        ("footnote", 6, ""),
        ("line spacing", 4, ""),
    ],
)
def test_type_sizes_of_nutrition_facts(key: str, least: float, bold: str) -> None:
    rule = next(rule for rule in law("us").letters if rule.key == key)
    assert (rule.measure, rule.least, rule.bold) == ("point", least, bold)


# 21 CFR 101.9(g)(4)(ii), (5): at least 80 %, at most 120 % of the label.
@pytest.mark.parametrize(
    "key", ["protein_g", "carbohydrate_g", "fibre_g", "calcium_mg", "iron_mg", "potassium_mg", "vitamin_d_ug"]
)
def test_class_two_nutrients(key: str) -> None:
    (band,) = law("us").tolerances[key].bands
    assert (band.plus, band.minus, band.percent) == (None, 20, True)


@pytest.mark.parametrize(
    "key",
    [
        "energy_kcal",
        "sugars_g",
        "added_sugars_g",
        "fat_g",
        "saturates_g",
        "trans_fat_g",
        "cholesterol_mg",
        "sodium_mg",
    ],
)
def test_the_third_group(key: str) -> None:
    (band,) = law("us").tolerances[key].bands
    assert (band.plus, band.minus, band.percent) == (20, None, True)


# Prescribed word for word: 21 CFR 101.9(d)(9), (d)(10); 101.11(b)(2)(i)(B), (C).
@pytest.mark.parametrize(
    ("key", "text"),
    [
        (
            "daily_value_footnote",
            (
                "*The % Daily Value tells you how much a nutrient in a serving of food contributes to a daily diet. "
                "2,000 calories a day is used for general nutrition advice."
            ),
        ),
        ("calories_per_gram", "Calories per gram: fat 9, carbohydrate 4, protein 4"),
        ("daily_needs", "2,000 calories a day is used for general nutrition advice, but calorie needs vary."),
        ("availability", "Additional nutrition information available upon request."),
        (
            "daily_needs_children",
            (
                "1,200 to 1,400 calories a day is used for general nutrition advice for children ages 4 to 8 years, "
                "but calorie needs vary."
            ),
        ),
        (
            "daily_needs_children_older",
            (
                "1,200 to 1,400 calories a day is used for general nutrition advice for children ages 4 to 8 years and 1,400 to "
                "2,000 calories a day for children ages 9 to 13 years, but calorie needs vary."
            ),
        ),
    ],
)
def test_prescribed_words_of_the_united_states(key: str, text: str) -> None:
    assert law("us").statements[key].texts["en"] == text


def test_prescribed_words_of_canada_stand_in_both_languages() -> None:
    """B.01.450 for the title; B.01.401 for the footnote (from memory)."""
    statements = law("ca").statements
    assert statements["title"].texts == {"en": "Nutrition Facts", "fr": "Valeur nutritive"}
    assert statements["daily_value_footnote"].texts["en"] == "*5% or less is a little, 15% or more is a lot"
    assert statements["daily_value_footnote"].texts["fr"] == "*5 % ou moins c'est peu, 15 % ou plus c'est beaucoup"


def test_prescribed_words_of_australia_and_new_zealand() -> None:
    """1.2.8-8(3)(b): one of two forms."""
    statements = law("au-nz").statements
    assert statements["daily_intake"].texts["en"] == "based on an average adult diet of 8 700 kJ"
