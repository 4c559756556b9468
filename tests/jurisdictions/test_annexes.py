"""Annexes I, IV, XIII, XIV and XV and Articles 13, 28 and 30 of Regulation (EU) No 1169/2011, typed from the text."""

from datetime import date

import pytest

from labeller.jurisdictions.in_force import LawInForce
from labeller.jurisdictions.packs import load_jurisdiction

TODAY = date(2026, 11, 25)
BOTH = ["eu", "gb"]


def law(code: str) -> LawInForce:
    return load_jurisdiction(code).in_force_on(TODAY)


# Annex XIII, Part B: reference intakes of an average adult.
PART_B: list[tuple[str, float, str]] = [
    ("energy_kj", 8400, "kJ"),
    ("energy_kcal", 2000, "kcal"),
    ("fat_g", 70, "g"),
    ("saturates_g", 20, "g"),
    ("carbohydrate_g", 260, "g"),
    ("sugars_g", 90, "g"),
    ("protein_g", 50, "g"),
    ("salt_g", 6, "g"),
]
# Annex XIII, Part A, point 1: nutrient reference values.
PART_A: list[tuple[str, float, str]] = [
    ("vitamin_a_ug", 800, "µg"),
    ("vitamin_d_ug", 5, "µg"),
    ("vitamin_e_mg", 12, "mg"),
    ("vitamin_k_ug", 75, "µg"),
    ("vitamin_c_mg", 80, "mg"),
    ("thiamin_mg", 1.1, "mg"),
    ("riboflavin_mg", 1.4, "mg"),
    ("niacin_mg", 16, "mg"),
    ("vitamin_b6_mg", 1.4, "mg"),
    ("folic_acid_ug", 200, "µg"),
    ("vitamin_b12_ug", 2.5, "µg"),
    ("biotin_ug", 50, "µg"),
    ("pantothenic_acid_mg", 6, "mg"),
    ("potassium_mg", 2000, "mg"),
    ("chloride_mg", 800, "mg"),
    ("calcium_mg", 800, "mg"),
    ("phosphorus_mg", 700, "mg"),
    ("magnesium_mg", 375, "mg"),
    ("iron_mg", 14, "mg"),
    ("zinc_mg", 10, "mg"),
    ("copper_mg", 1, "mg"),
    ("manganese_mg", 2, "mg"),
    ("fluoride_mg", 3.5, "mg"),
    ("selenium_ug", 55, "µg"),
    ("chromium_ug", 40, "µg"),
    ("molybdenum_ug", 50, "µg"),
    ("iodine_ug", 150, "µg"),
    ("significant_amount_percent", 15, "% NRV per 100 g"),  # point 2
    ("significant_amount_drink_percent", 7.5, "% NRV per 100 ml"),
]


@pytest.mark.parametrize("code", BOTH)
@pytest.mark.parametrize(("key", "value", "unit"), PART_B + PART_A)
def test_annex_thirteen(code: str, key: str, value: float, unit: str) -> None:
    intake = law(code).intakes[key]
    assert (intake.value, intake.unit) == (value, unit)
    assert intake.clause.pinpoint.startswith(
        "Annex XIII, Part B" if (key, value, unit) in PART_B else "Annex XIII, Part A"
    )
    assert intake.clause.confirmed


@pytest.mark.parametrize("code", BOTH)
def test_annex_thirteen_has_no_other_row(code: str) -> None:
    assert set(law(code).intakes) == {row[0] for row in PART_B + PART_A}


# Annex XIV: kJ/g, kcal/g as printed.
ANNEX_XIV = [
    ("carbohydrate", 17, 4),
    ("polyols", 10, 2.4),
    ("protein", 17, 4),
    ("fat", 37, 9),
    ("salatrims", 25, 6),
    ("alcohol", 29, 7),
    ("organic_acid", 13, 3),
    ("fibre", 8, 2),
    ("erythritol", 0, 0),
]


@pytest.mark.parametrize("code", BOTH)
@pytest.mark.parametrize(("nutrient", "kj", "kcal"), ANNEX_XIV)
def test_annex_fourteen(code: str, nutrient: str, kj: float, kcal: float) -> None:
    factor = law(code).energy_factors[nutrient]
    assert (factor.kj, factor.kcal) == (kj, kcal)
    assert factor.clause.pinpoint == "Annex XIV"
    assert factor.clause.confirmed


@pytest.mark.parametrize("code", BOTH)
def test_annex_fourteen_has_no_other_row_and_each_unit_its_own_column(code: str) -> None:
    assert set(law(code).energy_factors) == {row[0] for row in ANNEX_XIV}
    assert law(code).energy_from == "each"


# Annex XV, in its order: label, unit, indented under the line before, whether Article 30(1) asks for it.
ANNEX_XV = [
    ("energy_kj", "energy", "kJ", 0, True),
    ("energy_kcal", "energy", "kcal", 0, True),
    ("fat_g", "fat", "g", 0, True),
    ("saturates_g", "saturates", "g", 1, True),
    ("mono_unsaturates_g", "mono-unsaturates", "g", 1, False),
    ("polyunsaturates_g", "polyunsaturates", "g", 1, False),
    ("carbohydrate_g", "carbohydrate", "g", 0, True),
    ("sugars_g", "sugars", "g", 1, True),
    ("polyols_g", "polyols", "g", 1, False),
    ("starch_g", "starch", "g", 1, False),
    ("fibre_g", "fibre", "g", 0, False),
    ("protein_g", "protein", "g", 0, True),
    ("salt_g", "salt", "g", 0, True),
]


@pytest.mark.parametrize("code", BOTH)
def test_annex_fifteen_and_article_thirty(code: str) -> None:
    found = [(line.key, line.label, line.unit, line.indent, line.mandatory) for line in law(code).nutrients]
    assert found == ANNEX_XV
    assert all(line.basis == ("per_100_g", "per_portion") for line in law(code).nutrients)


@pytest.mark.parametrize("code", BOTH)
def test_a_menu_may_show_energy_alone_or_with_four_more(code: str) -> None:
    """Article 30(5): energy, or energy with fat, saturates, sugars and salt."""
    shown = [line.key for line in law(code).nutrients_for("menu")]
    assert shown == ["energy_kj", "energy_kcal", "fat_g", "saturates_g", "sugars_g", "salt_g"]


def test_calories_on_menus_are_due_in_england_only() -> None:
    """SI 2021/909, regulation 5."""
    due = {
        code: [line.key for line in law(code).nutrients_for("menu") if "menu" in line.mandatory_for]
        for code in ("eu", "gb")
    }
    assert due == {"eu": [], "gb": ["energy_kcal"]}


# Annex I, definitions.
@pytest.mark.parametrize("code", BOTH)
def test_definitions_of_annex_one(code: str) -> None:
    found = law(code).definitions
    assert found.carbohydrate_with_fibre is False
    assert found.protein == "nitrogen x 6.25"
    assert found.salt_or_sodium == "salt"
    assert "x 2.5" in found.each["salt_or_sodium"].words
    assert "polyols included" in found.each["carbohydrate"].words
    assert "polyols excluded" in found.each["sugars"].words
    assert all(definition.clause.pinpoint.startswith("Annex I, ") for definition in found.each.values())


# What the words mean elsewhere: 21 CFR 101.9(c)(4), (6), (7); Standard 1.2.8 and Schedule 11; CXG 2-1985.
@pytest.mark.parametrize(
    ("code", "with_fibre", "protein", "salt"),
    [
        ("us", True, "as the table gives it", "sodium"),
        ("ca", True, "as the table gives it", "sodium"),
        ("au-nz", False, "as the table gives it", "sodium"),
        ("codex", False, "as the table gives it", "sodium"),
    ],
)
def test_definitions_elsewhere(code: str, with_fibre: bool, protein: str, salt: str) -> None:
    found = law(code).definitions
    assert (found.carbohydrate_with_fibre, found.protein, found.salt_or_sodium) == (with_fibre, protein, salt)


# Article 13(2): x-height of 1.2 mm or more; 13(3): 0.9 mm where the largest face is below 80 cm2; 16(2): below 10 cm2.
@pytest.mark.parametrize("code", BOTH)
@pytest.mark.parametrize(("face_cm2", "x_height_mm"), [(200, 1.2), (80, 1.2), (79.9, 0.9), (10, 0.9), (9.9, 0.9)])
def test_letters_of_article_thirteen(code: str, face_cm2: float, x_height_mm: float) -> None:
    fitting = [
        rule
        for rule in law(code).letters
        if (rule.face_at_least_cm2 is None or face_cm2 >= rule.face_at_least_cm2)
        and (rule.face_below_cm2 is None or face_cm2 < rule.face_below_cm2)
    ]
    assert fitting
    assert {rule.least for rule in fitting} == {x_height_mm}
    assert {rule.measure for rule in fitting} == {"x_height_mm"}


# Articles 9(1)(k), 16(4), 28: above 1.2 % vol. Annex XII: tolerances in % vol (from memory).
@pytest.mark.parametrize("code", BOTH)
def test_strength_of_drinks(code: str) -> None:
    rules = law(code).alcohol
    for key in ("strength_stated", "no_list_no_nutrition"):
        assert (rules[key].bound, rules[key].value, rules[key].unit) == ("above", 1.2, "% vol")
        assert rules[key].clause.confirmed
    tolerances = {key: rule.value for key, rule in rules.items() if key.startswith("strength_tolerance")}
    assert tolerances == {
        "strength_tolerance_beer": 0.5,
        "strength_tolerance_strong_beer": 1.0,
        "strength_tolerance_macerated": 1.5,
        "strength_tolerance_other": 0.3,
    }
    assert not any(rules[key].clause.confirmed for key in tolerances)


# Guidance of December 2012, table of tolerances: the figure, then how far either way.
@pytest.mark.parametrize("code", BOTH)
@pytest.mark.parametrize(
    ("key", "bands"),
    [
        ("fat_g", [("10", "", 1.5, False), ("", "40", 20, True), ("", "", 8, False)]),
        ("protein_g", [("10", "", 2, False), ("", "40", 20, True), ("", "", 8, False)]),
        ("carbohydrate_g", [("10", "", 2, False), ("", "40", 20, True), ("", "", 8, False)]),
        ("sugars_g", [("10", "", 2, False), ("", "40", 20, True), ("", "", 8, False)]),
        ("fibre_g", [("10", "", 2, False), ("", "40", 20, True), ("", "", 8, False)]),
        ("saturates_g", [("4", "", 0.8, False), ("", "", 20, True)]),
        ("salt_g", [("1.25", "", 0.375, False), ("", "", 20, True)]),
        ("sodium_g", [("0.5", "", 0.15, False), ("", "", 20, True)]),
    ],
)
def test_tolerances_of_the_guidance(code: str, key: str, bands: list[tuple[str, str, float, bool]]) -> None:
    found = law(code).tolerances[key]
    assert [(band.below, band.up_to, band.plus, band.percent) for band in found.bands] == bands
    assert all(band.plus == band.minus for band in found.bands)
    assert not found.clause.confirmed


def test_prescribed_words_of_the_regulation() -> None:
    """Articles 18(1), 21(1), 32(5), 34(5)."""
    for code in BOTH:
        words = {key: statement.texts["en"] for key, statement in law(code).statements.items()}
        assert words["ingredients_heading"] == "Ingredients"
        assert words["contains"] == "Contains"
        assert words["reference_intake"] == "Reference intake of an average adult (8 400 kJ/2 000 kcal)"
        assert words["negligible"] == "Contains negligible amounts of"


# Article 44 for food that is not prepacked; Article 9(1) for prepacked; Food Information Regulations 2014, regulation 5.
@pytest.mark.parametrize(
    ("code", "offer", "allergens", "nutrition"),
    [
        ("eu", "loose", "written", "voluntary"),
        ("eu", "menu", "written", "voluntary"),
        ("eu", "prepacked", "in the list", "required"),
        ("gb", "loose", "written or spoken with a notice", "voluntary"),
        ("gb", "menu", "written or spoken with a notice", "voluntary"),
        ("gb", "prepacked for direct sale", "in the list", "voluntary"),
        ("gb", "prepacked", "in the list", "required"),
        ("us", "menu", "not required", "voluntary"),
        ("us", "prepacked", "in the list", "required"),
        ("ca", "menu", "not required", "voluntary"),
        ("au-nz", "loose", "on request", "exempt"),
    ],
)
def test_what_an_offer_needs(code: str, offer: str, allergens: str, nutrition: str) -> None:
    rule = law(code).offers[offer]
    assert (rule.allergens, rule.nutrition) == (allergens, nutrition)


@pytest.mark.parametrize("code", ["eu", "gb", "us", "ca", "au-nz", "codex"])
def test_every_kind_of_offer_is_there(code: str) -> None:
    assert set(law(code).offers) == {"loose", "prepacked for direct sale", "prepacked", "menu", "distance"}


# Annex VII, Part A, 1 and 6, and Part E; 21 CFR 101.4(a)(2); Standard 1.2.4; CXS 1-1985, 4.2.1.3. All but the first two rows
# from memory or a restatement, and marked so in the data.
@pytest.mark.parametrize(
    ("code", "key", "percent", "counts"),
    [
        ("eu", "added water", 5, True),
        ("gb", "added water", 5, True),
        ("eu", "compound ingredients", 2, False),
        ("eu", "small ingredients", 2, False),
        ("us", "small ingredients", 2, True),
        ("ca", "small ingredients", None, False),
        ("au-nz", "added water", 5, False),
        ("au-nz", "compound ingredients", 5, False),
        ("codex", "compound ingredients", 5, False),
    ],
)
def test_shares_that_rule_the_list(code: str, key: str, percent: float | None, counts: bool) -> None:
    rule = law(code).lists[key]
    assert (rule.percent, rule.counts) == (percent, counts)
    assert rule.words


@pytest.mark.parametrize("code", ["eu", "gb", "us", "ca", "au-nz", "codex"])
def test_every_law_says_how_its_list_is_made(code: str) -> None:
    rules = law(code).lists
    assert {"order", "added water", "small ingredients", "compound ingredients", "additives", "quantity"} <= set(rules)


def test_classes_of_additives() -> None:
    """Annex VII, Part C: twenty-four classes."""
    classes = law("eu").lists["additives"].classes
    assert len(classes) == 24
    assert {"emulsifier", "raising agent", "preservative", "colour", "antioxidant", "acidity regulator"} <= set(
        classes
    )
