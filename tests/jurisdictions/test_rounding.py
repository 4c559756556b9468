"""Rounding of declared figures at every boundary and on both sides of it, each with its rule."""

import math
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labeller.declarations.rounding import NoRoundingRuleError, as_compared, round_declared
from labeller.jurisdictions.packs import load_jurisdiction
from labeller.jurisdictions.terms import RoundingRule

CODES = ["eu", "gb", "us", "ca", "au-nz", "codex"]


def rules(code: str) -> dict[str, RoundingRule]:
    return load_jurisdiction(code).in_force_on(date(2026, 11, 25)).rounding


# European Commission guidance of December 2012, rounding table. Ties go up: 6.4 g stands for 6.35 to 6.44 g.
GRAMS = ["fat_g", "carbohydrate_g", "sugars_g", "protein_g", "fibre_g", "polyols_g", "starch_g"]
GRAMS_CASES = [
    (0, "0"),
    (0.3, "0"),
    (0.5, "0"),
    (0.500000001, "0.5"),
    (0.51, "0.5"),
    (0.549, "0.5"),
    (0.55, "0.6"),
    (0.96, "1.0"),
    (2.449, "2.4"),
    (2.45, "2.5"),
    (5.96, "6.0"),
    (6.349, "6.3"),
    (6.35, "6.4"),
    (6.44, "6.4"),
    (6.45, "6.5"),
    (9.94, "9.9"),
    (9.95, "10"),
    (9.99, "10"),
    (10, "10"),
    (10.49, "10"),
    (10.5, "11"),
    (12.5, "13"),
    (99.5, "100"),
]
SATURATES_CASES = [
    (0, "0"),
    (0.1, "0"),
    (0.100000001, "0.1"),
    (0.149, "0.1"),
    (0.15, "0.2"),
    (0.5, "0.5"),
    (9.94, "9.9"),
    (9.95, "10"),
    (10.49, "10"),
    (10.5, "11"),
]
SALT_CASES = [
    (0, "0"),
    (0.0124, "0"),
    (0.0125, "0"),
    (0.01251, "0.01"),
    (0.0149, "0.01"),
    (0.015, "0.02"),
    (0.134, "0.13"),
    (0.135, "0.14"),
    (0.994, "0.99"),
    (0.995, "1.0"),
    (1, "1.0"),
    (1.04, "1.0"),
    (1.05, "1.1"),
    (2.25, "2.3"),
    (12.34, "12.3"),
]
SODIUM_CASES = [
    (0.005, "0"),
    (0.0051, "0.01"),
    (0.014, "0.01"),
    (0.015, "0.02"),
    (0.994, "0.99"),
    (0.995, "1.0"),
    (1.05, "1.1"),
]
ENERGY_CASES = [(0, "0"), (0.49, "0"), (0.5, "1"), (811.49, "811"), (811.5, "812"), (812.5, "813"), (2000, "2000")]


@pytest.mark.parametrize("code", ["eu", "gb"])
@pytest.mark.parametrize("key", GRAMS)
@pytest.mark.parametrize(("value", "printed"), GRAMS_CASES)
def test_guidance_grams(code: str, key: str, value: float, printed: str) -> None:
    assert round_declared(rules(code), key, value) == printed


@pytest.mark.parametrize("code", ["eu", "gb"])
@pytest.mark.parametrize(
    ("key", "value", "printed"),
    [(key, *case) for key in ("saturates_g", "mono_unsaturates_g", "polyunsaturates_g") for case in SATURATES_CASES]
    + [("salt_g", *case) for case in SALT_CASES]
    + [("sodium_g", *case) for case in SODIUM_CASES]
    + [(key, *case) for key in ("energy_kj", "energy_kcal") for case in ENERGY_CASES],
)
def test_guidance_saturates_salt_and_energy(code: str, key: str, value: float, printed: str) -> None:
    assert round_declared(rules(code), key, value) == printed


# The guidance's other wording: <0.5 g, <0.1 g, <0.01 g.
@pytest.mark.parametrize(
    ("key", "value", "printed"),
    [
        ("fat_g", 0.5, "<0.5"),
        ("fat_g", 0.51, "0.5"),
        ("saturates_g", 0.1, "<0.1"),
        ("salt_g", 0.0125, "<0.01"),
        ("sodium_g", 0.005, "<0.005"),
        ("energy_kj", 0.2, "0"),
    ],
)
def test_guidance_other_wording(key: str, value: float, printed: str) -> None:
    assert round_declared(rules("eu"), key, value, instead=True) == printed


# Guidance: three significant figures for the first, two for the second.
@pytest.mark.parametrize(
    ("key", "value", "printed"),
    [
        ("calcium_mg", 123.4, "123"),
        ("calcium_mg", 123.5, "124"),
        ("calcium_mg", 1234, "1230"),
        ("calcium_mg", 1235, "1240"),
        ("potassium_mg", 99.96, "100"),
        ("potassium_mg", 99.94, "99.9"),
        ("iron_mg", 1.249, "1.2"),
        ("iron_mg", 1.25, "1.3"),
        ("iron_mg", 0.0995, "0.10"),
        ("vitamin_d_ug", 12.5, "13"),
        ("vitamin_c_mg", 125, "130"),
        ("calcium_mg", 0, "0"),
    ],
)
def test_guidance_vitamins_and_minerals(key: str, value: float, printed: str) -> None:
    assert round_declared(rules("eu"), key, value) == printed


# 21 CFR 101.9(c)(1) with Food Labeling Guide, Appendix H: below 5 is 0, to 50 by 5, above by 10.
CALORIES = [
    (0, "0"),
    (4.99, "0"),
    (5, "5"),
    (7.49, "5"),
    (7.5, "10"),
    (47.49, "45"),
    (47.5, "50"),
    (50, "50"),
    (50.01, "50"),
    (54.99, "50"),
    (55, "60"),
    (104.99, "100"),
    (105, "110"),
]
# (c)(2), (i), (ii): below 0.5 is 0, below 5 by 0.5, above by 1.
FATS = [
    (0, "0"),
    (0.49, "0"),
    (0.5, "0.5"),
    (0.74, "0.5"),
    (0.75, "1"),
    (1.24, "1"),
    (1.25, "1.5"),
    (4.74, "4.5"),
    (4.75, "5"),
    (4.99, "5"),
    (5, "5"),
    (5.49, "5"),
    (5.5, "6"),
    (20.5, "21"),
]
# (c)(3): below 2 is 0, 2 to 5 less than 5, by 5.
CHOLESTEROL = [
    (0, "0"),
    (1.99, "0"),
    (2, "less than 5"),
    (4.99, "less than 5"),
    (5, "5"),
    (7.49, "5"),
    (7.5, "10"),
    (302.5, "305"),
]
# (c)(4): below 5 is 0, to 140 by 5, above by 10.
SODIUM = [
    (0, "0"),
    (4.99, "0"),
    (5, "5"),
    (7.49, "5"),
    (7.5, "10"),
    (137.5, "140"),
    (140, "140"),
    (140.01, "140"),
    (144.99, "140"),
    (145, "150"),
    (2304.9, "2300"),
]
# (c)(6), (i), (ii), (iii), (iv), (c)(7): below 0.5 is 0, below 1 less than 1, by 1.
CARBOHYDRATE = [
    (0, "0"),
    (0.49, "0"),
    (0.5, "less than 1"),
    (0.99, "less than 1"),
    (1, "1"),
    (1.49, "1"),
    (1.5, "2"),
    (27.5, "28"),
]
UNITED_STATES = {
    "energy_kcal": CALORIES,
    "fat_g": FATS,
    "saturates_g": FATS,
    "trans_fat_g": FATS,
    "polyunsaturates_g": FATS,
    "mono_unsaturates_g": FATS,
    "cholesterol_mg": CHOLESTEROL,
    "sodium_mg": SODIUM,
    "carbohydrate_g": CARBOHYDRATE,
    "fibre_g": CARBOHYDRATE,
    "sugars_g": CARBOHYDRATE,
    "added_sugars_g": CARBOHYDRATE,
    "sugar_alcohol_g": CARBOHYDRATE,
    "protein_g": CARBOHYDRATE,
    # (c)(5): to 0.8 mg by 0.1, above by 0.2, below 0.1 is 0.
    "fluoride_mg": [
        (0.09, "0"),
        (0.1, "0.1"),
        (0.149, "0.1"),
        (0.15, "0.2"),
        (0.8, "0.8"),
        (0.89, "0.8"),
        (0.9, "1"),
        (1.1, "1.2"),
    ],
    # (c)(8)(iii): below 2 % is 0, to 10 % by 2, to 50 % by 5, above by 10.
    "percent_vitamins_minerals": [
        (1.99, "0"),
        (2, "2"),
        (2.99, "2"),
        (3, "4"),
        (9, "10"),
        (10, "10"),
        (10.01, "10"),
        (12.49, "10"),
        (12.5, "15"),
        (50, "50"),
        (50.01, "50"),
        (54.99, "50"),
        (55, "60"),
    ],
    # (d)(7)(ii): nearest whole per cent.
    "percent": [(0.49, "0"), (0.5, "1"), (10.5, "11"), (99.49, "99")],
    # Steps suggested by the agency in 2019 (from memory): vitamin D 0.1 mcg, calcium 10 mg, iron 0.1 mg, potassium 10 mg.
    "vitamin_d_ug": [(0.04, "0"), (0.05, "0.1"), (2.04, "2"), (2.05, "2.1")],
    "calcium_mg": [(4.99, "0"), (5, "10"), (264.9, "260"), (265, "270")],
    "iron_mg": [(0.04, "0"), (0.05, "0.1"), (8.04, "8"), (8.05, "8.1")],
    "potassium_mg": [(4.99, "0"), (5, "10"), (235, "240")],
}


@pytest.mark.parametrize(
    ("key", "value", "printed"), [(key, *case) for key, cases in UNITED_STATES.items() for case in cases]
)
def test_rounding_of_the_united_states(key: str, value: float, printed: str) -> None:
    assert round_declared(rules("us"), key, value) == printed


def test_every_line_of_nutrition_facts_has_its_rounding_checked() -> None:
    lines = load_jurisdiction("us").in_force_on(date(2026, 11, 25)).nutrients
    assert {line.key for line in lines} <= set(UNITED_STATES)


# B.01.401, column 4 (from memory); per serving.
CANADA = {
    "energy_kcal": [(0.4, "0"), (4.49, "4"), (4.99, "5"), (5, "5"), (7.5, "10"), (50, "50"), (54.9, "50"), (55, "60")],
    "fat_g": [
        (0.04, "0"),
        (0.05, "0.1"),
        (0.44, "0.4"),
        (0.49, "0.5"),
        (0.5, "0.5"),
        (4.74, "4.5"),
        (4.75, "5"),
        (5, "5"),
        (5.5, "6"),
    ],
    "saturates_g": [(0.3, "0.3"), (0.75, "1"), (5.49, "5")],
    "trans_fat_g": [(0.3, "0.3"), (0.75, "1"), (5.49, "5")],
    "cholesterol_mg": [(1.99, "0"), (2, "0"), (2.5, "5"), (7.49, "5"), (7.5, "10")],
    "sodium_mg": [(4.4, "4"), (4.9, "5"), (5, "5"), (139.9, "140"), (140, "140"), (144.9, "140"), (145, "150")],
    "carbohydrate_g": [(0.49, "0"), (0.5, "1"), (1.49, "1"), (1.5, "2")],
    "fibre_g": [(0.49, "0"), (0.5, "1")],
    "sugars_g": [(0.49, "0"), (0.5, "1")],
    "protein_g": [(0.44, "0.4"), (0.49, "0.5"), (0.5, "1"), (1.5, "2")],
    "potassium_mg": [
        (4.99, "0"),
        (5, "10"),
        (14.9, "10"),
        (49.9, "50"),
        (50, "50"),
        (62.4, "50"),
        (62.5, "75"),
        (249, "250"),
        (250, "250"),
        (274.9, "250"),
        (275, "300"),
    ],
    "calcium_mg": [(4.99, "0"), (5, "10"), (62.5, "75"), (275, "300")],
    "iron_mg": [
        (0.049, "0"),
        (0.05, "0.1"),
        (0.44, "0.4"),
        (0.49, "0.5"),
        (0.5, "0.5"),
        (0.62, "0.5"),
        (0.625, "0.75"),
        (2.49, "2.5"),
        (2.5, "2.5"),
        (2.74, "2.5"),
        (2.75, "3"),
    ],
    "percent": [(0.49, "0"), (0.5, "1")],
}


@pytest.mark.parametrize(
    ("key", "value", "printed"), [(key, *case) for key, cases in CANADA.items() for case in cases]
)
def test_rounding_of_canada(key: str, value: float, printed: str) -> None:
    assert round_declared(rules("ca"), key, value) == printed


@pytest.mark.parametrize(("key", "value"), [("energy_kcal", 4.4), ("fat_g", 0.3), ("sodium_mg", 4.4)])
def test_nought_in_canada_only_where_the_food_is_free_of_it(key: str, value: float) -> None:
    assert round_declared(rules("ca"), key, value) != "0"
    assert round_declared(rules("ca"), key, value, instead=True) == "0"


# Standard 1.2.8 (from memory): at most three significant figures; less than 1 g, 40 kJ, 5 mg of sodium allowed.
@pytest.mark.parametrize(
    ("key", "value", "printed", "instead"),
    [
        ("energy_kj", 0, "0", "0"),
        ("energy_kj", 39.4, "39", "less than 40"),
        ("energy_kj", 40, "40", "40"),
        ("energy_kj", 812.5, "813", "813"),
        ("energy_kj", 1234, "1230", "1230"),
        ("energy_kj", 1235, "1240", "1240"),
        ("fat_g", 0, "0", "0"),
        ("fat_g", 0.04, "less than 1", "less than 1"),
        ("fat_g", 0.05, "0.1", "less than 1"),
        ("fat_g", 0.94, "0.9", "less than 1"),
        ("fat_g", 1, "1.00", "1.00"),
        ("fat_g", 12.34, "12.3", "12.3"),
        ("fat_g", 12.35, "12.4", "12.4"),
        ("sodium_mg", 4.9, "less than 5", "less than 5"),
        ("sodium_mg", 5, "5", "5"),
        ("sodium_mg", 1234.9, "1230", "1230"),
    ],
)
def test_rounding_of_australia_and_new_zealand(key: str, value: float, printed: str, instead: str) -> None:
    assert round_declared(rules("au-nz"), key, value) == printed
    assert round_declared(rules("au-nz"), key, value, instead=True) == instead


# Codex sets no steps; ours, marked so in the data.
@pytest.mark.parametrize(
    ("key", "value", "printed"),
    [("energy_kj", 811.5, "812"), ("fat_g", 12.34, "12.3"), ("fat_g", 6, "6"), ("sodium_mg", 1235, "1240")],
)
def test_rounding_of_codex_is_ours_and_says_so(key: str, value: float, printed: str) -> None:
    assert round_declared(rules("codex"), key, value) == printed
    clause = rules("codex")[key].clause
    assert not clause.confirmed
    assert "common practice, no source" in clause.ground


# The contract: rounding of law compares after rounding to nine significant digits.
@pytest.mark.parametrize(
    ("value", "printed"),
    [
        (0.1 + 0.2 + 0.2, "0"),  # 0.5 in floats, or a hair above
        (0.5000000001, "0"),
        (6.3499999999999, "6.4"),
        (6.349999, "6.3"),
        (9.9499999999999, "10"),
    ],
)
def test_nine_significant_digits(value: float, printed: str) -> None:
    assert round_declared(rules("eu"), "fat_g", value) == printed


def test_as_compared_keeps_nine_digits() -> None:
    assert as_compared(0.1 + 0.2) == Decimal("0.3")
    assert as_compared(123456789.4) == Decimal(123456789)
    assert as_compared(123456789.5) == Decimal(123456790)
    assert as_compared(0) == 0


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_not_known_is_never_declared(value: float) -> None:
    with pytest.raises(ValueError, match="is not a figure that can be declared"):
        round_declared(rules("eu"), "fat_g", value)


def test_a_figure_below_nought_is_refused() -> None:
    with pytest.raises(ValueError, match=r"fat_g: -0\.1 is below 0"):
        round_declared(rules("eu"), "fat_g", -0.1)


def test_a_figure_without_a_rule_is_refused_by_name() -> None:
    with pytest.raises(
        NoRoundingRuleError, match=r"There is no rounding rule for 'caffeine_mg'\. Rules on file: .*fat_g"
    ):
        round_declared(rules("eu"), "caffeine_mg", 1.0)


def test_every_mandatory_line_has_a_rounding_rule() -> None:
    for code in CODES:
        law = load_jurisdiction(code).in_force_on(date(2026, 11, 25))
        assert {line.key for line in law.nutrients} - {"vitamin_d_ug"} <= set(law.rounding), code


@pytest.mark.property
@pytest.mark.parametrize("code", CODES)
@given(value=st.floats(5.0, 99999.0), pick=st.integers(0, 200))
def test_rounding_twice_is_rounding_once(code: str, value: float, pick: int) -> None:
    table = rules(code)
    key = sorted(table)[pick % len(table)]
    once = round_declared(table, key, value)
    assert round_declared(table, key, float(once)) == once


@pytest.mark.property
@pytest.mark.parametrize("code", CODES)
@given(low=st.floats(0, 5000.0), more=st.floats(0, 5000.0), pick=st.integers(0, 200))
def test_more_is_never_printed_as_less(code: str, low: float, more: float, pick: int) -> None:
    table = rules(code)
    key = sorted(table)[pick % len(table)]
    printed = [round_declared(table, key, value) for value in (low, low + more)]
    # "less than 5" stands between 0 and the least figure printed.
    below, above = (float(text) if text[0].isdigit() else 0.001 for text in printed)
    assert below <= above


@pytest.mark.property
@given(value=st.floats(0.56, 9.94))
def test_a_tenth_of_a_gram_as_decimals_have_it(value: float) -> None:
    """An independent reckoning: quantize of the nine-digit decimal, ties away from nought."""
    nine_digits = Decimal(f"{Decimal(repr(value)):.8e}")
    expected = nine_digits.quantize(Decimal("0.1"), ROUND_HALF_UP)
    assert round_declared(rules("eu"), "fat_g", value) == str(expected)
