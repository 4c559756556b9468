"""Whatever stands in a sheet: nothing raises, and no word is lost in silence."""

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labeller.bringing_in.cells import Cell, Place, Sheet, tidy_text
from labeller.bringing_in.delimited import read_delimited
from labeller.bringing_in.recipe_json import read_recipe_json
from labeller.bringing_in.recipe_texts import read_text_file
from labeller.bringing_in.shapes import Taken
from labeller.bringing_in.spreadsheets import read_workbook
from labeller.bringing_in.tables import read_sheet
from tests.bringing_in.test_names_and_remarks import WORDS

pytestmark = pytest.mark.property
USUAL = [
    "Ingredient",
    "Quantity",
    "Unit",
    "Qty (g)",
    "Recipe",
    "Method",
    "Notes",
    "Serves",
    "Yield",
    "Batch weight",
    "%",
    "Prep",
    "Component",
    "Total",
    "Date",
    "Name",
    "Allergens",
    "Supplier",
    "4",
    "250",
    "250 g",
    "g",
    "kg",
    "to taste",
    "a pinch",
    "For the sauce:",
    "Topping",
    "Custard",
    "Mix it.",
    "1/2",
    "1.250",
    "1-Feb",
    "sugar, sifted",
    "2 kg",
    "65 %",
    "chopped",
    "x",
    "2 x 400 g",
    "milk or cream",
    "(g)",
    "-",
    "salt to taste",
    "flour",
    "butter",
]
WORD = "peanuts"
CELLS = st.one_of(
    st.sampled_from(USUAL),
    st.sampled_from(["", ""]),
    st.text(max_size=12),
    st.sampled_from([WORD, f"500 g {WORD}", WORD.upper(), f"{WORD} (g)", f"flour, {WORD}", f"sauce (with {WORD})"]),
)
GRID = st.lists(st.lists(CELLS, min_size=1, max_size=5), min_size=1, max_size=9)


def _sheet(grid: list[list[str]], heading: int) -> Sheet:
    cells: dict[tuple[int, int], Cell] = {}
    for row, values in enumerate(grid, start=1):
        for column, value in enumerate(values, start=1):
            text = (
                ["Ingredient", "Quantity", "Unit", "Prep", "Recipe"][column - 1]
                if row == heading
                else tidy_text(value)
            )
            if text:
                cells[(row, column)] = Cell(text, number=text.isdecimal() and text.isascii())
    return Sheet(Place("file.xlsx", "A"), cells)


def _said(taken: Taken) -> str:
    spoken: list[object] = [
        [one.name, one.method, one.notes, one.course, [line.text + line.comment + line.above for line in one.lines]]
        for one in taken.recipes
    ]
    spoken += [[one.name, str(one.spec), one.notes, str(one.keys)] for one in taken.goods]
    spoken += [one.text + one.why for one in (*taken.left, *taken.columns)]
    return json.dumps(spoken).casefold()


@settings(max_examples=60, deadline=None)
@given(GRID, st.integers(0, 3))
def test_no_sheet_makes_it_raise_or_lose_a_word(grid: list[list[str]], heading: int) -> None:
    sheet = _sheet(grid, heading)
    taken = Taken()
    read_sheet(sheet, WORDS, "preparation", taken, first_name="file")
    faults = [fault for recipe in taken.recipes for fault in recipe.faults] + taken.faults
    faults += [fault for good in taken.goods for fault in good.faults]
    assert all(fault.problem and fault.mend for fault in faults)
    if faults:
        return  # nothing is written while a cell is asked about
    not_taken = {one.place.column for one in taken.columns if "not taken" in one.why}
    words = [key for key, cell in sheet.cells.items() if WORD in cell.text.casefold() and key[1] not in not_taken]
    assert not words or WORD in _said(taken), words


@settings(max_examples=40, deadline=None)
@given(st.lists(st.one_of(CELLS, st.text(max_size=60)), max_size=12))
def test_no_text_makes_it_raise(lines: list[str]) -> None:
    taken = Taken()
    read_text_file("\n".join(lines), "file.md", WORDS, "preparation", taken, first_name="file")
    assert all(fault.mend for fault in taken.faults)


@settings(max_examples=40, deadline=None)
@given(
    st.recursive(
        st.one_of(st.none(), st.booleans(), st.integers(), st.floats(allow_nan=False), st.text(max_size=20)),
        lambda inner: st.one_of(
            st.lists(inner, max_size=4),
            st.dictionaries(
                st.sampled_from(
                    [
                        "@type",
                        "name",
                        "recipeIngredient",
                        "recipeYield",
                        "recipeInstructions",
                        "itemListElement",
                        "text",
                        "@graph",
                        "x",
                    ]
                ),
                inner,
                max_size=5,
            ),
        ),
        max_leaves=20,
    )
)
def test_no_json_makes_it_raise(value: object) -> None:
    for document in (
        value,
        {"@type": "Recipe", "name": "x", "recipeIngredient": value, "recipeYield": value, "recipeInstructions": value},
    ):
        taken = Taken()
        read_recipe_json(json.dumps(document), "file.json", WORDS, "preparation", taken)
        assert taken.faults or taken.recipes or taken.left


@settings(max_examples=40, deadline=None)
@given(
    st.binary(max_size=200),
    st.sampled_from([b"", b"PK\x03\x04", b"\xff\xfe", b"Ingredient,Quantity\n", b"\xef\xbb\xbf"]),
)
def test_no_bytes_make_it_raise(raw: bytes, start: bytes) -> None:
    sheet, faults, _ = read_delimited(start + raw, "file.csv")
    assert all(fault.mend for fault in faults)
    if sheet is not None:
        read_sheet(sheet, WORDS, "preparation", Taken(), first_name="file")
    _, faults, _ = read_workbook(b"PK\x03\x04" + raw, "file.xlsx")
    assert faults


def test_the_place_names_its_cell() -> None:
    assert Place("file.xlsx", "A").at(7, 28).cell == "A!AB7"
    assert Place("file.csv").at(7, 2).cell == "B7"
    assert str(Path(Place("file.csv").file)) == "file.csv"
