"""Numbers, ranges, times and temperatures as cooks write them; expected values by arithmetic, the forms by the contract."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labeller.foundations.quantities import (
    LARGEST,
    OVERNIGHT_MINUTES,
    Quantity,
    parse_celsius,
    parse_minutes,
    parse_number,
    parse_quantity,
)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("250", 250), ("0.5", 0.5), ("0,5", 0.5), ("1/2", 0.5), ("1 1/2", 1.5), ("½", 0.5), ("1½", 1.5), ("2 ¼", 2.25),
        ("1.10", 1.1), (",5", 0.5), (".25", 0.25), ("3⁄4", 0.75), ("10 3/8", 10.375), ("0", 0), ("⅞", 0.875), ("⅒", 0.1),
    ],
)  # fmt: skip
def test_numbers(text: str, value: float) -> None:
    assert parse_number(text) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    "text",
    ["", "x", "1/0", "1 2/0", "1e5", "-1", "1.2.3", "1 2", "nan", "inf", "1,2,3", "½½", "²", "1_000", "0x10"],
)
def test_no_numbers(text: str) -> None:
    assert parse_number(text) is None


@given(st.floats(0.001, 1e6).map(lambda value: f"{value:.3f}"))
def test_a_point_and_a_comma_are_one(text: str) -> None:
    assert parse_number(text) == parse_number(text.replace(".", ",")) == float(text)


@given(st.integers(0, 999), st.integers(1, 99), st.integers(1, 99))
def test_fractions_are_divided(whole: int, top: int, bottom: int) -> None:
    assert parse_number(f"{whole} {top}/{bottom}") == pytest.approx(whole + top / bottom)


@given(st.text(max_size=60))
def test_no_text_raises_and_no_quantity_is_wild(text: str) -> None:
    for read in (parse_number, parse_minutes, parse_celsius):
        value = read(text)
        assert value is None or math.isfinite(value)
    found = parse_quantity(text)
    if not isinstance(found, str):
        quantity, rest = found
        assert 0.0 <= quantity.low <= quantity.estimate <= quantity.high <= LARGEST
        assert quantity.estimate > 0.0
        assert text.rstrip().endswith(rest.rstrip())


@given(
    st.lists(
        st.sampled_from(["1", "/", "0", ",", ".", "½", " ", "-", "to", "about", "up to", "9" * 12, "g", "%"]),
        max_size=12,
    )
)
def test_no_heap_of_digits_raises(parts: list[str]) -> None:
    found = parse_quantity("".join(parts))
    if not isinstance(found, str):
        assert 0.0 <= found[0].low <= found[0].estimate <= found[0].high
    assert isinstance(parse_celsius("".join(parts)), float | None)


def test_the_width_of_about_is_the_contract_s() -> None:
    # The contract prints "about 450 ml" as "taken as 450 ml (350 to 600)".
    found = parse_quantity("about 450 ml")
    assert not isinstance(found, str)
    assert (found[0].low, found[0].estimate, found[0].high) == pytest.approx((350.0, 450.0, 600.0))
    assert found[1] == " ml"


def test_a_decimal_comma_before_three_digits_is_noted() -> None:
    noted = {text: parse_quantity(text) for text in ("1,250 g", "1.250 g", "0,125 g", "12,5 g")}
    notes = {text: found[0].note for text, found in noted.items() if not isinstance(found, str)}
    assert notes["1,250 g"] == "'1,250' is read with a decimal comma, as 1.25"
    assert notes["1.250 g"] == notes["0,125 g"] == notes["12,5 g"] == ""


def test_another_unit_scales_all_three() -> None:
    assert Quantity(1.0, 2.0, 3.0, rough=True, note="n").times(2.0) == Quantity(2.0, 4.0, 6.0, rough=True, note="n")


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("35 min", 35), ("1 h", 60), ("1 h 30 min", 90), ("1 1/2 hours", 90), ("1½ h", 90), ("3 weeks", 30240), ("2 days", 2880),
        ("90 days", 129600), ("half an hour", 30), ("an hour", 60), ("30 seconds", 0.5), ("1 hour and 15 minutes", 75),
        ("2-3 weeks", 20160), ("about 20 min", 20), ("Overnight", OVERNIGHT_MINUTES), ("35min", 35), ("a week", 10080),
    ],
)  # fmt: skip
def test_times(text: str, minutes: float) -> None:
    # Of a range the shorter end: a shorter time leaves more alcohol.
    assert parse_minutes(text) == pytest.approx(minutes)


@pytest.mark.parametrize("text", ["", "soon", "35", "min", "0 min", "5 parsecs", "1/0 h", "-5 min"])
def test_no_times(text: str) -> None:
    assert parse_minutes(text) is None


@pytest.mark.parametrize(
    ("text", "celsius"),
    [
        ("20 C", 20), ("20 °C", 20), ("20C", 20), ("-18 C", -18), ("−18 °C", -18), ("minus 18 C", -18), ("150", 150),
        ("212 F", 100), ("32 °F", 0), ("350 degrees F", 176.6666666667), ("82,5 C", 82.5), ("room temperature", 20),
    ],
)  # fmt: skip
def test_temperatures(text: str, celsius: float) -> None:
    # 32 F = 0 C and 212 F = 100 C: NIST Special Publication 811 (2008), Appendix B.
    assert parse_celsius(text) == pytest.approx(celsius)


@pytest.mark.parametrize("text", ["", "hot", "20 K", "gas mark 4", "C", "20-30 C"])
def test_no_temperatures(text: str) -> None:
    assert parse_celsius(text) is None
