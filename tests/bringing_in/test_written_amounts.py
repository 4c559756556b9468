"""Amounts as typed against Unicode's own fractions and the locales' own numbers."""

import unicodedata
from fractions import Fraction

import pytest
from babel.numbers import format_decimal
from hypothesis import given, settings
from hypothesis import strategies as st

from labeller.bringing_in.written_amounts import Amount, Commas, Trouble, commas_of, read_amount
from labeller.foundations.quantities import parse_number, parse_quantity

# Every sign of one fraction in the Unicode Character Database that has a denominator; U+215F "1/" has none.
FRACTIONS = [
    chr(code)
    for code in range(0x10000)
    if unicodedata.decomposition(chr(code)).startswith("<fraction> ") and chr(code) != "⅟"
]


def number(text: str, commas: Commas = "not known", unit: str = "g") -> str:
    read = read_amount(text, unit, commas)
    assert isinstance(read, Amount), read
    assert read.number is not None
    return read.number.text()


def test_unicode_has_the_fractions_we_think() -> None:
    assert len(FRACTIONS) >= 19


@pytest.mark.parametrize("sign", FRACTIONS)
def test_fraction_signs_mean_what_unicode_says(sign: str) -> None:
    value = Fraction(unicodedata.numeric(sign)).limit_denominator(10)
    if value == 0:  # U+2189, nought thirds
        assert isinstance(read_amount(sign, "g", "not known"), Trouble)
        return
    assert parse_number(number(sign)) == pytest.approx(float(value))
    assert parse_number(number(f"2{sign}")) == pytest.approx(2 + float(value))
    assert parse_number(number(f"2 {sign}")) == pytest.approx(2 + float(value))


@pytest.mark.parametrize(
    "locale",
    [
        "en_GB",
        "en_US",
        "de_DE",
        "fr_FR",
        "es_ES",
        "it_IT",
        "nl_NL",
        "pt_BR",
        "pl_PL",
        "sv_SE",
        "da_DK",
        "de_CH",
        "de_AT",
        "fr_CH",
        "fi_FI",
        "nb_NO",
        "cs_CZ",
        "fr_CA",
    ],
)
@pytest.mark.parametrize("value", [1250.5, 12345.25, 0.5, 2.75, 1250000])
def test_numbers_as_cldr_writes_them(locale: str, value: float) -> None:
    """CLDR's separators of each locale, as babel carries them, read back as the same number."""
    text = format_decimal(value, locale=locale)
    decimal = format_decimal(0.5, locale=locale)[1]
    commas: Commas = "decimal" if decimal == "," else "thousands"
    assert parse_number(number(text, commas)) == pytest.approx(value)


@pytest.mark.parametrize("locale", ["de_DE", "en_GB"])
def test_the_other_cells_of_a_file_tell_what_a_comma_is(locale: str) -> None:
    cells = [format_decimal(one, locale=locale) for one in (0.5, 12.25, 7.5)]
    assert commas_of(cells) == ("decimal" if locale == "de_DE" else "thousands")
    assert commas_of([*cells, "0,5", "0.5"]) == "not known"


TYPED = [  # as typed, its unit cell, the book's number and unit
    ("250", "g", "250", "g"),
    ("250 g", "", "250", "g"),
    ("250g", "", "250", "g"),
    ("1,5 kg", "", "1.5", "kg"),
    ("1.250,5", "g", "1250.5", "g"),
    ("1,250.5", "g", "1250.5", "g"),
    ("1.250.000", "g", "1250000", "g"),
    ("1,125", "kg", "1.125", "kg"),
    ("0,125", "g", "0.125", "g"),
    ("1 1/2", "kg", "1 1/2", "kg"),
    ("1-1/2", "kg", "1 1/2", "kg"),
    ("1 and 1/2", "kg", "1 1/2", "kg"),
    ("1/2", "l", "1/2", "l"),
    ("1⁄2", "l", "1/2", "l"),
    ("2-3", "tbsp", "2-3", "tbsp"),
    ("2–3", "tbsp", "2-3", "tbsp"),
    ("2 to 3", "tbsp", "2-3", "tbsp"),
    ("2 bis 3", "EL", "2-3", "tbsp"),
    ("2 or 3", "", "2-3", ""),
    ("ca. 200", "g", "about 200", "g"),
    ("ca.200", "g", "about 200", "g"),
    ("etwa 200 g", "", "about 200", "g"),
    ("~200 g", "", "about 200", "g"),
    ("200 g approx.", "", "about 200", "g"),
    ("max. 30", "g", "up to 30", "g"),
    ("500g-600g", "", "500-600", "g"),
    ("2 x 400 g", "", "800", "g"),
    ("a pinch", "", "1", "pinch"),
    ("Prise", "", "1", "pinch"),
    ("a dozen", "piece", "12", "piece"),
    ("one", "kg", "1", "kg"),
    ("٢٥٠", "g", "250", "g"),
    ("1'250", "g", "1250", "g"),
    ("1 250", "g", "1250", "g"),
    ("1\u00a0250", "g", "1250", "g"),
]


@pytest.mark.parametrize(("typed", "unit_cell", "wanted", "unit"), TYPED)
def test_amounts_as_typed(typed: str, unit_cell: str, wanted: str, unit: str) -> None:
    read = read_amount(typed, unit_cell, "not known")
    assert isinstance(read, Amount), read
    assert read.number is not None
    assert (read.number.text(), read.unit) == (wanted, unit)


@pytest.mark.parametrize(
    "typed",
    ["to taste", "q.s.", "QS", "n.B.", "nach Geschmack", "q.b.", "al gusto", "au goût", "naar smaak", "as needed"],
)
def test_words_for_to_taste(typed: str) -> None:
    read = read_amount(typed, "", "not known")
    assert isinstance(read, Amount)
    assert read.rule == "to taste"


DOUBTFUL = [
    ("some", "", "no amount"),
    ("a little", "", "no amount"),
    ("1,250", "g", "1250 or 1 and a bit"),
    ("1.250", "g", "1250 or 1 and a bit"),
    ("0", "g", "not above nought"),
    ("-5", "g", "below nought"),
    ("1/0", "g", "divides by nought"),
    ("3-2", "g", "from less to more"),
    ("1-Feb", "l", "is a day"),
    ("01/02/2026", "l", "is a day"),
    ("200 + 50", "g", "is a sum"),
    ("200 g", "kg", "beside it stands"),
    ("1.2.3", "g", "is not one number"),
    ("250 g 3", "", "more than one amount"),
    ("??", "", "no amount"),
    ("1e9999", "", ""),
    ("9" * 12, "g", "more than any kitchen"),
]


@pytest.mark.parametrize(("typed", "unit_cell", "words"), DOUBTFUL)
def test_doubtful_amounts_are_asked_about(typed: str, unit_cell: str, words: str) -> None:
    read = read_amount(typed, unit_cell, "not known")
    assert isinstance(read, Trouble), read
    assert words in read.problem
    assert read.mend


@pytest.mark.property
@settings(max_examples=60, deadline=None)
@given(st.text(max_size=40), st.text(max_size=12), st.sampled_from(["decimal", "thousands", "not known"]))
def test_no_text_makes_it_raise(quantity: str, unit: str, commas: Commas) -> None:
    read = read_amount(quantity, unit, commas)
    if isinstance(read, Amount) and read.number is not None:  # what comes out is what the book takes
        assert not isinstance(parse_quantity(f"{read.number.text()} g"), str)


@pytest.mark.property
@settings(max_examples=60, deadline=None)
@given(st.text(alphabet="0123456789.,/ ½⅓-–x'’\u00a0kgml", max_size=14))
def test_what_is_read_is_read_by_the_book_too(text: str) -> None:
    read = read_amount(text, "g", "not known")
    if isinstance(read, Amount) and read.number is not None:
        again = parse_quantity(f"{read.number.text()} g")
        assert not isinstance(again, str)
        assert again[0].estimate == pytest.approx(read.number.value)
        assert again[1].strip() == "g"
