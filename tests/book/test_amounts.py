"""Amounts as cooks write them, against the contract's page "Amounts".

Sizes of units: NIST Handbook 44 (2023), Appendix C, for pounds, ounces and US measures; Units of Measurement Regulations
1995 (UK) for the imperial pint and fluid ounce; metric spoons and the metric cup are common practice, no source.
"""

from collections.abc import Callable

import pytest

from labeller.book.entries import Book, Line
from labeller.book.fields import Notes

ReadBook = Callable[..., tuple[Book | None, Notes]]
ReadLine = Callable[..., Line]
FaultsOf = Callable[..., list[str]]

NUMBERS = [  # the contract's list of forms, and what each stands for by arithmetic
    ("250", 250.0),
    ("0.5", 0.5),
    ("0,5", 0.5),
    ("1/2", 0.5),
    ("1 1/2", 1.5),
    ("½", 0.5),
    ("1½", 1.5),
    ("1 ½", 1.5),
    ("2¾", 2.75),
    ("⅓", 1 / 3),
    ("⅝", 0.625),
    (".5", 0.5),
    ("1.10", 1.1),
    ("1⁄2", 0.5),
    ("007", 7.0),
]


@pytest.mark.parametrize(("written", "value"), NUMBERS)
def test_every_form_of_number(line: ReadLine, written: str, value: float) -> None:
    read = line(f"{written} g double cream")
    assert read.unit == "mass"
    assert read.quantity.low == read.quantity.estimate == read.quantity.high == pytest.approx(value, rel=1e-12)
    assert not read.quantity.rough
    assert read.text == f"{written} g double cream"


ROUGH = [  # the contract: the estimate is the middle; "about 450 ml" stands for 350 to 600
    ("350-600 ml gin", 350.0, 475.0, 600.0),
    ("350 - 600 ml gin", 350.0, 475.0, 600.0),
    ("350–600 ml gin", 350.0, 475.0, 600.0),
    ("350 to 600 ml gin", 350.0, 475.0, 600.0),
    ("350 ml - 600 ml gin", 350.0, 475.0, 600.0),
    ("1/2-1 l gin", 500.0, 750.0, 1000.0),
    ("about 450 ml gin", 350.0, 450.0, 600.0),
    ("approximately 450 ml gin", 350.0, 450.0, 600.0),
    ("ca. 450 ml gin", 350.0, 450.0, 600.0),
    ("~450 ml gin", 350.0, 450.0, 600.0),
    ("about ⅜ l gin", 375 * 7 / 9, 375.0, 500.0),
    ("up to 30 ml gin", 0.0, 15.0, 30.0),
    ("Up to ⅜ l gin", 0.0, 187.5, 375.0),
]


@pytest.mark.parametrize(("written", "low", "estimate", "high"), ROUGH)
def test_rough_amounts_are_counted_with_their_range(
    line: ReadLine, written: str, low: float, estimate: float, high: float
) -> None:
    quantity = line(written).quantity
    assert quantity.rough
    assert (quantity.low, quantity.estimate, quantity.high) == pytest.approx((low, estimate, high))


@pytest.mark.parametrize(
    "written", ["cinnamon to taste", "to taste cinnamon", "cinnamon, to taste", "To taste: cinnamon"]
)
def test_to_taste_is_rough_and_keeps_its_name(line: ReadLine, written: str) -> None:
    read = line(written)
    assert (read.unit, read.name, read.quantity.rough) == ("to taste", "cinnamon", True)


def test_a_name_that_begins_with_whole_is_no_share(line: ReadLine, faults_of_line: FaultsOf) -> None:
    assert (line("whole milk to taste").unit, line("whole milk to taste").name) == ("to taste", "whole milk")
    (fault,) = faults_of_line("whole milk")
    assert fault.startswith("'whole milk' has no amount. | Write one before the name")


WRITTEN_LOOSELY = [  # (line, unit kind, low, high) in g, ml or pieces
    ("10g salt", "mass", 10.0, 10.0),
    ("1.5kg salt", "mass", 1500.0, 1500.0),
    ("½tsp salt", "volume", 2.5, 2.5),
    ("1-2 tbsp gin", "volume", 15.0, 30.0),
    ("2 1/2-3 kg salt", "mass", 2500.0, 3000.0),
    ("about 1/2 tsp salt", "volume", 2.5 * 7 / 9, 2.5 * 4 / 3),
    ("3-4 eggs", "piece", 3.0, 4.0),
    ("an egg", "piece", 1.0, 1.0),
    ("half an egg", "piece", 0.5, 0.5),
    ("half a litre of gin", "volume", 500.0, 500.0),
    ("a litre of gin", "volume", 1000.0, 1000.0),
    ("1 l of the custard", "volume", 1000.0, 1000.0),
]


@pytest.mark.parametrize(("written", "unit", "low", "high"), WRITTEN_LOOSELY)
def test_loose_writing(line: ReadLine, written: str, unit: str, low: float, high: float) -> None:
    read = line(written)
    assert read.unit == unit
    assert (read.quantity.low, read.quantity.high) == pytest.approx((low, high))


def test_a_multiplication_is_not_guessed(faults_of_line: FaultsOf) -> None:
    (fault,) = faults_of_line("2 x 5 g salt")
    assert fault == "'2 x 5 g salt' is a multiplication. | Write the whole amount: '800 g' for two of 400 g."


def test_to_cover(line: ReadLine) -> None:
    assert (line("gin to cover").unit, line("gin, to cover, optional").optional) == ("to cover", True)


UNITS = [
    ("250 mg", "mass", 0.25),
    ("1kg", "mass", 1000.0),
    ("1 Kg", "mass", 1000.0),
    ("2 kilos", "mass", 2000.0),
    ("250 grams", "mass", 250.0),
    ("250 gr.", "mass", 250.0),
    ("1 oz", "mass", 28.349523125),  # NIST Handbook 44, Appendix C
    ("1 lb", "mass", 453.59237),  # NIST Handbook 44, Appendix C
    ("2 lbs", "mass", 907.18474),
    ("5 ml", "volume", 5.0),
    ("5 cl", "volume", 50.0),
    ("5 dl", "volume", 500.0),
    ("5 l", "volume", 5000.0),
    ("1 litre", "volume", 1000.0),
    ("1 liter of", "volume", 1000.0),
    ("1L", "volume", 1000.0),
]


@pytest.mark.parametrize(("written", "kind", "size"), UNITS)
def test_units_of_every_kitchen(line: ReadLine, written: str, kind: str, size: float) -> None:
    read = line(f"{written} double cream")
    assert (read.unit, read.name) == (kind, "double cream")
    assert read.quantity.estimate == pytest.approx(size, rel=1e-9)


BY_JURISDICTION = [
    ("us", "cup", 236.5882365),  # NIST Handbook 44, Appendix C: 1 cup = 8 fl oz; 1 US fl oz = 29.573 529 562 5 ml
    ("us", "fl oz", 29.5735295625),
    ("us", "pint", 473.176473),
    ("us", "tbsp", 14.78676478125),  # half a US fluid ounce
    ("us", "tsp", 4.92892159375),  # a sixth of a US fluid ounce
    ("gb", "pint", 568.26125),  # Units of Measurement Regulations 1995, Schedule
    ("gb", "fl oz", 28.4130625),
    ("gb", "tsp", 5.0),  # common practice, no source
    ("gb", "tbsp", 15.0),  # common practice, no source
    ("eu", "tbsp", 15.0),  # common practice, no source
    ("au-nz", "tbsp", 20.0),  # common practice of Australia, no source
    ("au-nz", "cup", 250.0),  # common practice of Australia, no source
    ("ca", "cup", 250.0),  # common practice of Canada, no source
]


@pytest.mark.parametrize(("code", "unit", "millilitres"), BY_JURISDICTION)
def test_spoons_and_cups_as_the_jurisdiction_measures_them(
    line: ReadLine, code: str, unit: str, millilitres: float
) -> None:
    assert line(f"1 {unit} gin", code).quantity.estimate == pytest.approx(millilitres, rel=1e-9)


ALIASES = [
    ("teaspoons", "tsp"),
    ("tablespoon", "tbsp"),
    ("tbs", "tbsp"),
    ("fluid ounces", "fl oz"),
    ("cups", "cup"),
    ("pt", "pint"),
]


@pytest.mark.parametrize(("alias", "unit"), ALIASES)
def test_aliases_of_units(line: ReadLine, alias: str, unit: str) -> None:
    assert line(f"2 {alias} of gin").quantity == line(f"2 {unit} gin").quantity


@pytest.mark.parametrize(
    ("written", "word"),
    [
        ("a pinch of cinnamon", "pinch"),
        ("1 pinch cinnamon", "pinch"),
        ("2 pinches of cinnamon", "pinch"),
        ("a knife tip of cinnamon", "knife tip"),
        ("3 drops gin", "drop"),
    ],
)
def test_small_units(line: ReadLine, written: str, word: str) -> None:
    assert (line(written).unit, line(written).unit_word) == ("small", word)


SHARES = [
    ("all custard", 1.0),
    ("all the custard", 1.0),
    ("all of the custard", 1.0),
    ("half the custard", 0.5),
    ("half of the custard", 0.5),
    ("1/8 of the custard", 0.125),
    ("½ of the custard", 0.5),
    ("25 % of the custard", 0.25),
    ("a third of the custard", 1 / 3),
    ("three quarters of the custard", 0.75),
]


@pytest.mark.parametrize(("written", "share"), SHARES)
def test_shares_of_a_preparation(line: ReadLine, written: str, share: float) -> None:
    read = line(written)
    assert (read.unit, read.name) == ("share", "custard")
    assert read.quantity.estimate == pytest.approx(share)


@pytest.mark.parametrize("written", ["2 tarts", "2 tart", "2 of the tarts"])
def test_pieces_of_a_preparation(line: ReadLine, written: str) -> None:
    read = line(written)
    assert (read.unit, read.quantity.estimate) == ("piece", 2.0)
    assert read.target is not None
    assert read.target.entry == "tart"


def test_a_share_of_what_is_bought_in_is_refused(faults_of_line: FaultsOf) -> None:
    (fault,) = faults_of_line("all double cream")
    assert fault.startswith("'all double cream' is a share, and 'double cream' is bought in, not made in a batch.")


def test_half_of_a_piece_bought_in_is_half_a_piece(line: ReadLine) -> None:
    assert (line("half an onion").unit, line("half an onion").quantity.estimate) == ("piece", 0.5)


@pytest.mark.parametrize(
    ("written", "word", "name"),
    [
        ("2 leaves strange leaf", "leaves", "strange leaf"),
        ("1 stick cinnamon", "stick", "cinnamon"),
    ],
)
def test_trade_pieces(line: ReadLine, written: str, word: str, name: str) -> None:
    assert (line(written).unit, line(written).unit_word, line(written).name) == ("trade piece", word, name)


def test_pieces_have_no_unit(line: ReadLine) -> None:
    assert (line("3 eggs").unit, line("3 eggs").unit_word) == ("piece", "")


def test_measures_of_the_entry(line: ReadLine) -> None:
    assert (line("2 ladles strange leaf").unit, line("2 ladles strange leaf").unit_word) == ("measure", "ladle")


@pytest.mark.parametrize("written", ["2 tablespoons custard", "2 tbsp custard", "2 tbsp of the custard"])
def test_an_entry_s_own_tablespoon_goes_before_the_unit(line: ReadLine, written: str) -> None:
    # The contract's own preparation has 'measures: {tablespoon: 12 g}'.
    assert (line(written).unit, line(written).unit_word) == ("measure", "tablespoon")
    assert line("2 tbsp gin").unit == "volume"


def test_measures_of_a_good_of_the_shelf(line: ReadLine) -> None:
    # The shelf says what a clove of its garlic and a stick of its celery weigh.
    assert (line("1 clove garlic").unit, line("2 cloves of garlic").unit_word) == ("measure", "clove")
    assert (line("2 sticks of celery").unit, line("2 sticks of celery").unit_word) == ("measure", "stick")


def test_measures_of_the_kitchen(read: ReadBook) -> None:
    book, notes = read(
        "- kitchen: K\n  jurisdiction: gb\n  measures: {quenelle: 45 g}\n- dish: d\n  plate: [2 quenelles double cream]",
        kitchen=None,
    )
    assert not notes.faults
    assert book is not None
    assert book.dishes["d"].plate[0].unit_word == "quenelle"
    assert book.kitchen.measures == {"quenelle": (45.0, "g")}


def test_the_longest_name_wins_over_a_unit(line: ReadLine) -> None:
    read = line("2 cup cakes")
    assert (read.unit, read.name) == ("piece", "cup cakes")


NAMES = [  # (line, name it must find, remark)
    ("12 g hazelnuts, roasted", "hazelnuts, roasted", ""),
    ("12 g hazelnuts, chopped", "hazelnuts", "chopped"),
    ("12 g hazelnuts, roasted, chopped", "hazelnuts, roasted", "chopped"),
    ("12 g hazelnuts, chopped, roasted", "hazelnuts", "chopped, roasted"),
    ("600 g damsons, stoned", "damsons", "stoned"),
]


@pytest.mark.parametrize(("written", "name", "remark"), NAMES)
def test_a_name_with_a_comma_or_a_remark_longest_first(line: ReadLine, written: str, name: str, remark: str) -> None:
    assert (line(written).name, line(written).remark) == (name, remark)


@pytest.mark.parametrize(
    "written",
    [
        "Double Cream",
        "DOUBLE CREAM",
        "double  cream",
        "doublecream",
        "doublecreams",
        "double creams",
        "dóuble crèam",
        "double\tcream",
    ],
)
def test_names_without_regard_to_case_accents_spacing_and_plural(line: ReadLine, written: str) -> None:
    target = line(f"10 g {written}").target
    assert target is not None
    assert target.entry == "double cream"


@pytest.mark.parametrize(
    "written", ["dubble cream", "double-cream", "creams double", "double crea", "thick double cream"]
)
def test_otherwise_names_match_exactly(faults_of_line: FaultsOf, written: str) -> None:
    (fault,) = faults_of_line(f"10 g {written}")
    assert fault.startswith(f"'{written}' is not an ingredient or preparation of this book, nor on the shelf. | ")
    assert fault.endswith("dd an ingredient of that name.")


def endings(read: Line) -> tuple[bool, bool, list[str]]:
    return read.removed, read.optional, [swap.name for swap in read.swaps]


ENDINGS = [
    ("1 stick cinnamon, removed", (True, False, [])),
    ("1 stick cinnamon , Removed", (True, False, [])),
    ("12 g hazelnuts, roasted, optional", (False, True, [])),
    ("20 ml gin, or 20 ml double cream", (False, False, ["double cream"])),
    ("20 ml gin, or 20 ml double cream, or 3 eggs", (False, False, ["double cream", "eggs"])),
    ("20 ml gin, or 20 ml double cream, optional", (False, True, ["double cream"])),
    ("20 ml gin, chilled, optional", (False, True, [])),
]


@pytest.mark.parametrize(("written", "expected"), ENDINGS)
def test_endings(line: ReadLine, written: str, expected: tuple[bool, bool, list[str]]) -> None:
    assert endings(line(written)) == expected


@pytest.mark.parametrize("written", ["12 g hazelnuts, optional", "20 ml gin, or 20 ml double cream"])
def test_optional_and_or_are_for_plates_only(faults_of_line: FaultsOf, written: str) -> None:
    (fault,) = faults_of_line(written, "takes")
    assert f"'{written}' says " in fault
    assert "which only a plate can" in fault


def test_a_fault_behind_or_is_told_once(faults_of_line: FaultsOf) -> None:
    (fault,) = faults_of_line("20 ml gin, or 20 ml zzyzx")
    assert fault.startswith("'zzyzx' is not an ingredient or preparation of this book, nor on the shelf.")


def test_the_mapping_form(read: ReadBook) -> None:
    text = """
- ingredient: hazelnuts, or so
- dish: d
  plate:
    - {take: "12 g hazelnuts, or so", optional: true}
    - {take: 30 g salt, swap: [30 g sugar, 10 ml water]}
    - {take: 30 g water, removed: yes}
    - {take: "5 g sugar, removed"}
"""
    book, notes = read(text)
    assert [fault.as_text() for fault in notes.faults] == []
    assert book is not None
    assert [endings(one) for one in book.dishes["d"].plate] == [
        (False, True, []),
        (False, False, ["sugar", "water"]),
        (True, False, []),
        (True, False, []),
    ]
    assert book.dishes["d"].plate[0].name == "hazelnuts, or so"


NOT_AMOUNTS = [
    ("0 g gin", "is not above nought"),
    ("-5 g gin", "is not above nought"),
    ("1/0 g gin", "divides by nought"),
    ("600-350 g gin", "does not go from less to more"),
    ("gin", "has no amount"),
    ("some gin", "has no amount"),
    ("250 g", "has no name"),
    ("250", "has no name"),
    ("3 splats gin", "'splats' is not a unit or a measure of 'gin'"),
    ("99999999999 kg gin", "is more than any kitchen holds"),
    ("", "there is an empty line"),
    ("10 g " + "x" * 600, "is longer than any amount"),
]


@pytest.mark.parametrize(("written", "words"), NOT_AMOUNTS)
def test_what_is_no_amount_is_said_and_mended(faults_of_line: FaultsOf, written: str, words: str) -> None:
    (fault,) = faults_of_line(written)
    problem, mend = fault.split(" | ")
    assert words in problem
    assert mend.endswith(".")


def test_a_thousand_with_a_comma_is_read_as_a_decimal_and_told_once(read: ReadBook) -> None:
    book, notes = read("- dish: d\n  plate:\n    - 1,250 g sugar, optional\n")
    assert book is not None
    assert book.dishes["d"].plate[0].quantity.estimate == pytest.approx(1.25)
    told = [advice for advice in notes.advice if "1,250" in advice.problem]
    assert [(str(advice.origin), advice.problem) for advice in told] == [
        ("book0.yaml:3", "'1,250' is read with a decimal comma, as 1.25.")
    ]


def test_a_preparation_may_take_the_bought_good_of_its_own_name(read: ReadBook) -> None:
    book, notes = read(
        "- preparation: spinach\n  takes: [500 g spinach, 20 g unsalted butter]\n- dish: d\n  plate: [100 g spinach]\n"
    )
    assert not notes.faults
    assert book is not None
    taken, served = book.preparations["spinach"].takes[0].target, book.dishes["d"].plate[0].target
    assert taken is not None
    assert served is not None
    assert (taken.kind, taken.entry) == ("ingredient", "spinach")
    assert (served.kind, served.entry) == ("given", "spinach")
    assert book.ingredients["spinach"].from_shelf


def test_a_preparation_without_a_good_of_its_name_still_takes_itself(read: ReadBook) -> None:
    # Left to the kitchen room, which prints the cycle.
    book, _ = read("- preparation: house sauce\n  takes: [500 g house sauce]\n")
    assert book is not None
    target = book.preparations["house sauce"].takes[0].target
    assert target is not None
    assert target.kind == "given"
