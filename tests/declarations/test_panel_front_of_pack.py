"""Low, medium and high, by the published criteria.

References
----------
.. [1] Department of Health, Food Standards Agency: Guide to creating a front of pack (FoP) nutrition label for pre-packed products sold through
   retail outlets, June 2013, updated November 2016. The figures below are typed from pages that restate its tables; see the data for which.
"""

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labeller.cli.opening import Opened
from labeller.declarations.panel_content import NoPortionError, PanelRefusedError
from labeller.declarations.panel_front_of_pack import FrontOfPack, front_of_pack, level_of
from labeller.jurisdictions.label_terms import FrontOfPackRule
from labeller.jurisdictions.packs import load_jurisdiction
from tests.kitchens import Kitchen
from tests.panels import whole

RULES = {
    (rule.nutrient, rule.kind): rule for rule in load_jurisdiction("gb").in_force_on(date(2026, 11, 25)).front_of_pack
}
LEVELS = ["low", "medium", "high"]

# [1]: (nutrient, food or drink, in 100 g or ml, portion, expected); a portion of 50 is too small for its own bound to count.
BOUNDS = [
    ("fat_g", "food", 3.0, 50, "low"),
    ("fat_g", "food", 3.001, 50, "medium"),
    ("fat_g", "food", 17.5, 50, "medium"),
    ("fat_g", "food", 17.501, 50, "high"),
    ("saturates_g", "food", 1.5, 50, "low"),
    ("saturates_g", "food", 5.0, 50, "medium"),
    ("saturates_g", "food", 5.001, 50, "high"),
    ("sugars_g", "food", 5.0, 50, "low"),
    ("sugars_g", "food", 22.5, 50, "medium"),
    ("sugars_g", "food", 22.501, 50, "high"),
    ("salt_g", "food", 0.3, 50, "low"),
    ("salt_g", "food", 1.5, 50, "medium"),
    ("salt_g", "food", 1.501, 50, "high"),
    ("sugars_g", "drink", 2.5, 50, "low"),
    ("sugars_g", "drink", 11.25, 50, "medium"),
    ("sugars_g", "drink", 11.251, 50, "high"),
    ("salt_g", "drink", 0.3, 50, "low"),
    ("salt_g", "drink", 0.751, 50, "high"),
]


@pytest.mark.parametrize(("nutrient", "kind", "in_100", "portion", "expected"), BOUNDS)
def test_the_bounds_as_published(nutrient: str, kind: str, in_100: float, portion: float, expected: str) -> None:
    assert level_of(RULES[nutrient, kind], in_100, in_100 * portion / 100.0, portion) == expected


@pytest.mark.parametrize(
    ("nutrient", "kind", "in_100", "portion", "expected"),
    [
        # 7 g sugars in 100 g: 400 g hold 28 g, above 27 g; 385 g hold 26.95 g.
        ("sugars_g", "food", 7.0, 400.0, "high"),
        ("sugars_g", "food", 7.0, 385.0, "medium"),
        # The bound of a portion is for portions above 100 g and 150 ml, those themselves not.
        ("salt_g", "food", 0.6, 301.0, "high"),  # 1.806 g
        ("salt_g", "food", 0.6, 300.0, "medium"),  # 1.8 g is not above 1.8 g
        ("sugars_g", "drink", 9.1, 150.0, "medium"),  # 13.65 g, above 13.5 g, but no larger portion than 150 ml
        ("sugars_g", "drink", 9.1, 151.0, "high"),
        # Low in 100 g and high in a large portion: the portion overrides.
        ("salt_g", "food", 0.3, 650.0, "high"),  # 1.95 g
    ],
)
def test_large_portions_have_a_bound_of_their_own(
    nutrient: str, kind: str, in_100: float, portion: float, expected: str
) -> None:
    assert level_of(RULES[nutrient, kind], in_100, in_100 * portion / 100.0, portion) == expected


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(sorted(RULES)),
    st.floats(0.0, 100.0),
    st.floats(0.0, 50.0),
    st.floats(1.0, 1000.0),
)
def test_more_of_it_is_never_called_less(key: tuple[str, str], in_100: float, more: float, portion: float) -> None:
    rule = RULES[key]
    levels = [LEVELS.index(level_of(rule, one, one * portion / 100.0, portion)) for one in (in_100, in_100 + more)]
    assert levels[0] <= levels[1]


def test_a_figure_a_hair_over_is_over_and_one_that_only_floats_over_is_not() -> None:
    rule: FrontOfPackRule = RULES["salt_g", "food"]
    assert level_of(rule, 0.1 + 0.2, 0.1, 50.0) == "low"  # 0.30000000000000004
    assert level_of(rule, 0.300001, 0.1, 50.0) == "medium"


def front(opened: Opened, name: str) -> FrontOfPack:
    return front_of_pack(opened.declarer, opened.declarer.dish(name))


def test_a_portion_worked_out_by_hand(kitchen: Kitchen) -> None:
    """60 g oats, 25 g nut butter, 18 g syrup: in 103 g 18.1 g fat, 1.83 g saturates, 12.6 g sugars, 61.3 mg sodium."""
    found = front(whole(kitchen, "gb"), "oat square")
    assert (found.portion, found.kind, found.per) == ("103 g", "food", "per 100 g")
    assert [(line.name, line.amount, line.percent, line.level) for line in found.lines] == [
        ("Fat", "18 g", "26 %", "high"),  # 17.58 g in 100 g
        ("Saturates", "1.8 g", "9 %", "medium"),  # 1.78 g
        ("Sugars", "13 g", "14 %", "medium"),  # 12.2 g
        ("Salt", "0.15 g", "3 %", "low"),
    ]
    assert found.energy_of_100 == "1765 kJ / 421 kcal"
    assert found.statement == "* Reference intake of an average adult (8 400 kJ/2 000 kcal)"


def test_a_drink_goes_by_the_criteria_of_drinks(kitchen: Kitchen) -> None:
    """30 g of syrup with 60.5 % sugars: 18.15 g in 223 ml: 8.1 g in 100 ml, but above 13.5 g in a portion of more than 150 ml."""
    found = front(whole(kitchen, "gb"), "sweet water")
    assert (found.kind, found.per) == ("drink", "per 100 ml")
    assert {line.key: line.level for line in found.lines}["sugars_g"] == "high"


def test_what_is_not_known_is_never_low(kitchen: Kitchen) -> None:
    found = front(whole(kitchen, "gb"), "half known square")
    assert {line.key: line.level for line in found.lines} == {
        "fat_g": "high",
        "saturates_g": "not known",
        "sugars_g": "not known",
        "salt_g": "low",
    }


def test_other_laws_have_none(kitchen: Kitchen) -> None:
    with pytest.raises(
        PanelRefusedError, match=r"^--colours: European Union has no criteria .* write --jurisdiction gb\."
    ):
        front(whole(kitchen, "eu"), "oat square")


def test_a_batch_without_pieces_has_no_front(kitchen: Kitchen) -> None:
    opened = whole(kitchen, "gb")
    with pytest.raises(NoPortionError):
        front_of_pack(opened.declarer, opened.declarer.given("loose mixture"))
