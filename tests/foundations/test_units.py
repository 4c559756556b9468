"""Units of recipes against NIST Handbook 44 (2023), Appendix C, and the Units of Measurement Regulations 1995 (UK)."""

import pytest

from labeller.foundations.units import MASS_G, METRIC_ABBREVIATIONS, Unit, millilitres, parse_unit

US_ML = {  # NIST Handbook 44, Appendix C: 1 fl oz = 29.573 53 ml; 1 cup = 8 fl oz = 236.588 2 ml; 1 pint = 473.176 5 ml
    "fl oz": 29.57353, "cup": 236.5882, "pint": 473.1765,
    "tbsp": 14.78676, "tsp": 4.928922,  # the same: 1/2 and 1/6 fl oz
}  # fmt: skip


@pytest.mark.parametrize(("unit", "printed"), US_ML.items())
def test_us_measures_as_printed(unit: str, printed: float) -> None:
    assert millilitres(unit, "us") == pytest.approx(printed, rel=5e-7)


@pytest.mark.parametrize("code", ["gb", "eu", "codex", "ca", "au-nz"])
def test_imperial_measures_outside_the_us(code: str) -> None:
    assert millilitres("pint", code) == 568.26125  # Units of Measurement Regulations 1995
    assert millilitres("fl oz", code) == pytest.approx(568.26125 / 20, rel=1e-12)  # 20 fluid ounces in a pint


def test_pound_and_ounce() -> None:
    assert MASS_G["lb"] == 453.59237  # NIST Handbook 44, Appendix C, exact
    assert MASS_G["oz"] * 16 == pytest.approx(453.59237, rel=1e-12)


@pytest.mark.parametrize("code", ["us", "gb", "au-nz", ""])
def test_metric_volumes_are_the_same_everywhere(code: str) -> None:
    assert [millilitres(unit, code) for unit in ("ml", "cl", "dl", "l")] == [1.0, 10.0, 100.0, 1000.0]


def test_the_australian_tablespoon() -> None:
    assert millilitres("tbsp", "au-nz") == 20.0  # common practice, no source


def test_no_unit_of_volume_is_a_slip_of_ours() -> None:
    with pytest.raises(KeyError):
        millilitres("g", "gb")


@pytest.mark.parametrize(
    ("words", "unit"),
    [
        ("g", Unit("mass", "g")), ("gr.", Unit("mass", "g")), ("kilograms", Unit("mass", "kg")), ("litre", Unit("volume", "l")),
        ("tbsp.", Unit("volume", "tbsp")), ("fl oz", Unit("volume", "fl oz")), ("knife tip", Unit("small", "knife tip")),
        ("pinches", Unit("small", "pinch")), ("ounce", Unit("mass", "oz")), ("splat", None), ("", None),
    ],
)  # fmt: skip
def test_spellings(words: str, unit: Unit | None) -> None:
    assert parse_unit(words) == unit


def test_abbreviations_are_units() -> None:
    assert all(parse_unit(word) is not None for word in METRIC_ABBREVIATIONS)
