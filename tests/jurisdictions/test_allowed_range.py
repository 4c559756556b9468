"""The range a printed figure allows: the worked example of the guidance of December 2012, and 21 CFR 101.9(g)."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labeller.declarations.tolerances import AllowedRange, allowed_range
from labeller.jurisdictions.packs import load_jurisdiction


def range_of(code: str, key: str, value: float) -> AllowedRange | None:
    law = load_jurisdiction(code).in_force_on(date(2026, 11, 25))
    return allowed_range(law.tolerances, law.rounding, key, value)


# Guidance of December 2012, tolerances. The first row is its worked example: 6.4 g of protein, 4.4 to 8.4 g.
@pytest.mark.parametrize(
    ("key", "value", "low", "high"),
    [
        ("protein_g", 6.4, 4.4, 8.4),
        ("protein_g", 6.35, 4.4, 8.4),
        ("protein_g", 6.44, 4.4, 8.4),
        # Ours, by the same three steps. 3.0: 2.95 - 2 = 0.95, 3.04 + 2 = 5.04.
        ("protein_g", 3.0, 1.0, 5.0),
        # 0 g stands for 0 to 0.5 g: 0.5 + 1.5 = 2.0.
        ("fat_g", 0.3, 0.0, 2.0),
        # 20 g: 19.5 less 20 % = 15.6, 20.4 more 20 % = 24.48.
        ("fat_g", 20.0, 16.0, 24.0),
        # 50 g: 49.5 - 8 = 41.5, 50.4 + 8 = 58.4.
        ("carbohydrate_g", 50.0, 42.0, 58.0),
        # 0.50 g: 0.495 - 0.375 = 0.12, 0.504 + 0.375 = 0.879.
        ("salt_g", 0.5, 0.12, 0.88),
        # 1.5 g: 1.45 less 20 % = 1.16, 1.54 more 20 % = 1.848.
        ("salt_g", 1.5, 1.2, 1.8),
        # 2.0 g: 1.95 - 0.8 = 1.15, 2.04 + 0.8 = 2.84.
        ("saturates_g", 2.0, 1.2, 2.8),
    ],
)
def test_range_by_the_guidance(key: str, value: float, low: float, high: float) -> None:
    found = range_of("eu", key, value)
    assert found is not None
    assert (found.low, found.high) == (low, high)
    assert not found.clause.confirmed


def test_no_range_for_energy_in_the_union() -> None:
    """The guidance sets none for energy."""
    assert range_of("eu", "energy_kj", 800) is None


# 21 CFR 101.9(g)(4)(ii): at least 80 %; (g)(5): at most 120 % of the label.
@pytest.mark.parametrize(
    ("key", "value", "low", "high"),
    [
        ("protein_g", 10.2, 8.0, None),
        ("fibre_g", 5.0, 4.0, None),
        ("fat_g", 10.0, None, 12.0),
        ("sodium_mg", 142.0, None, 168.0),
        ("energy_kcal", 203.0, None, 240.0),
        ("cholesterol_mg", 1.0, None, 0.0),
    ],
)
def test_range_by_the_united_states(key: str, value: float, low: float | None, high: float | None) -> None:
    found = range_of("us", key, value)
    assert found is not None
    assert (found.low, found.high) == (low, high)


@pytest.mark.parametrize("code", ["au-nz", "codex"])
def test_no_range_where_the_law_sets_none(code: str) -> None:
    assert range_of(code, "fat_g", 10.0) is None


@pytest.mark.property
@given(
    value=st.floats(0, 100),
    key=st.sampled_from(["fat_g", "protein_g", "carbohydrate_g", "sugars_g", "saturates_g", "salt_g"]),
)
def test_the_figure_itself_always_lies_inside(value: float, key: str) -> None:
    found = range_of("eu", key, value)
    assert found is not None
    assert found.holds(value)
