"""The least size of letters, against the law itself."""

from datetime import date

import pytest

from labeller.jurisdictions.packs import load_jurisdiction
from labeller.printing.faces import face, x_height_mm_at_size
from labeller.printing.lawful_letters import PARTICULARS, WARNING, least_letters

DAY = date(2026, 11, 25)

LEAST = [
    # Regulation (EU) No 1169/2011, Article 13(2): x-height 1.2 mm or more; 13(3): 0.9 mm where the largest surface is less than 80 cm2.
    ("eu", 80.0, 1.2),
    ("eu", 79.9, 0.9),
    ("eu", 250.0, 1.2),
    ("eu", 5.0, 0.9),
    ("gb", 80.0, 1.2),
    ("gb", 79.9, 0.9),
    # 21 CFR 101.2(c): one sixteenth of an inch, by the lower-case letter o.
    ("us", 100.0, 25.4 / 16.0),
]


@pytest.mark.parametrize(("code", "area", "x_height"), LEAST)
def test_least_x_height_of_the_particulars(code: str, area: float, x_height: float) -> None:
    rule = least_letters(load_jurisdiction(code).in_force_on(DAY), area, PARTICULARS)
    assert rule.x_height_mm("sans", "sans-bold") == pytest.approx(x_height)
    assert rule.clause is not None
    for name in ("sans", "sans-bold", "narrow"):
        assert x_height_mm_at_size(rule.size_pt(name), name) == pytest.approx(x_height)


def test_where_the_face_is_not_known_the_strictest_rule_holds() -> None:
    rule = least_letters(load_jurisdiction("eu").in_force_on(DAY), None)
    assert rule.least == 1.2
    assert rule.clause is not None
    assert "13(2)" in rule.clause.pinpoint


def test_the_small_letter_o_is_taller_than_x_so_the_rule_about_o_is_kept() -> None:
    rule = least_letters(load_jurisdiction("us").in_force_on(DAY), None)
    for name in ("sans", "sans-bold"):
        assert face(name).o_height * rule.size_pt(name) * 25.4 / 72.0 > 25.4 / 16.0


# 21 CFR 101.9(d): type sizes of the lines of Nutrition Facts, in points.
US_POINTS = [
    ("calories figure", 22.0),
    ("calories word", 16.0),
    ("serving size", 10.0),
    ("nutrient lines", 8.0),
    ("footnote", 6.0),
]


@pytest.mark.parametrize(("key", "points"), US_POINTS)
def test_lines_of_a_panel_count_in_points(key: str, points: float) -> None:
    rule = least_letters(load_jurisdiction("us").in_force_on(DAY), None, key)
    assert rule.size_pt("sans-bold") == points
    assert rule.x_height_mm("sans-bold") == pytest.approx(x_height_mm_at_size(points, "sans-bold"))


def test_warning_statements_of_australia_and_new_zealand_are_three_millimetres() -> None:
    # Australia New Zealand Food Standards Code, Standard 1.2.1-25: 3 mm; the lowest letter is held to it.
    law = load_jurisdiction("au-nz").in_force_on(DAY)
    rule = least_letters(law, None, WARNING)
    assert x_height_mm_at_size(rule.size_pt("sans"), "sans") == pytest.approx(3.0)
    assert least_letters(law, None, PARTICULARS).least == 0.0


def test_a_law_without_a_size_has_none() -> None:
    rule = least_letters(load_jurisdiction("codex").in_force_on(DAY), 100.0)
    assert rule.size_pt("sans") == 0.0


def test_a_thing_the_law_does_not_speak_of_is_refused_by_name() -> None:
    with pytest.raises(
        KeyError, match="no letter size for 'headline': it has particulars, warning, mandatory particulars"
    ):
        least_letters(load_jurisdiction("eu").in_force_on(DAY), None, "headline")
