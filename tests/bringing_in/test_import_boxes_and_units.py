"""Boxes, rows of units and amounts that stand side by side: nothing a sheet says of allergens or sizes goes in silence."""

import zipfile
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from tests.kitchens import Kitchen, run

Rows = list[list[Any]]


def bring(folder: Path, rows: Rows, *, merge: str = "") -> tuple[Any, str]:
    """Bring one sheet into a new book; return the document and the text written."""
    book = folder / "book"
    book.mkdir()
    Kitchen(book).write("", name="kitchen.yaml")
    made = openpyxl.Workbook()
    sheet = made.active
    for cells in rows:
        sheet.append(cells)
    if merge:
        sheet.merge_cells(merge)
    path = folder / "list.xlsx"
    made.save(path)
    document = run("import", path, "--into", book, "--json").json()
    text = "".join(one.read_text(encoding="utf-8") for one in book.rglob("*.yaml") if one.name != "kitchen.yaml")
    return document, text


def test_a_cereal_ticked_beside_none_is_contained(tmp_path: Path) -> None:
    # Regulation (EU) No 1169/2011 Annex II 1 names rye among the cereals containing gluten.
    _, text = bring(
        tmp_path, [["Ingredient", "Wheat", "Rye", "Milk", "Allergens"], ["loaf", "no", "yes", "no", "none"]]
    )
    assert "- rye" in text
    assert "declares: none" not in text


def test_a_ticked_heading_of_several_allergens_beside_none_is_asked_about(tmp_path: Path) -> None:
    document, text = bring(
        tmp_path, [["Ingredient", "Milk", "Egg", "Seafood", "Allergens"], ["loaf", "no", "no", "yes", "none"]]
    )
    assert [one["field"] for one in document["faults"]] == ["Sheet!D2"]
    assert "'yes' stands under 'Seafood'" in document["faults"][0]["problem"]
    assert text == ""


@pytest.mark.parametrize(
    ("heading", "source"),
    [
        # Regulation (EU) No 1169/2011 Annex II in German, French, Italian and Spanish.
        ("Glutenhaltiges Getreide", "gluten"),
        ("Schwefeldioxid und Sulfite", "sulphites"),
        ("Céréales contenant du gluten", "gluten"),
        ("Anidride solforosa e solfiti", "sulphites"),
        ("Dióxido de azufre y sulfitos", "sulphites"),
        ("Barley", "barley"),
        ("Almonds", "almond"),
    ],
)
def test_boxes_headed_in_the_words_of_the_law(heading: str, source: str, tmp_path: Path) -> None:
    _, text = bring(tmp_path, [["Product", "Milk", "Egg", heading], ["mix", "no", "no", "yes"]])
    assert f"- {source}" in text


def test_free_from_is_no_box(tmp_path: Path) -> None:
    _, text = bring(tmp_path, [["Product", "Milk", "Egg", "Gluten free"], ["mix", "x", "no", "no"]])
    assert "- milk" in text
    assert "gluten" not in text


def test_none_known_is_not_none(tmp_path: Path) -> None:
    _, text = bring(tmp_path, [["Product", "Supplier", "Allergens"], ["paste", "A", "none known"]])
    assert "declares: none" not in text


def test_allergens_in_a_row_merged_under_another_name_are_asked_about(tmp_path: Path) -> None:
    rows: Rows = [["Product", "Supplier", "Allergens"], ["cream", "A", "milk"], [None, "B", "milk, soya"]]
    document, text = bring(tmp_path, rows, merge="A2:A3")
    assert [one["field"] for one in document["faults"]] == ["Sheet!A3"]
    assert "milk, soya" in document["faults"][0]["problem"]
    assert text == ""


def test_a_row_of_units_below_the_headings_counts(tmp_path: Path) -> None:
    rows: Rows = [
        ["Product", "Energy", "Fat", "Sodium", "Salt"],
        [None, "kcal", "g", "g", "mg"],
        ["bar", 500, 30, 0.4, 1000],
    ]
    _, text = bring(tmp_path, rows)
    for words in ("energy_kcal: 500", "fat_g: 30", "sodium_mg: 400", "salt_g: 1\n"):
        assert words in text


def test_sodium_without_a_unit_is_not_guessed(tmp_path: Path) -> None:
    document, text = bring(tmp_path, [["Product", "Energy kJ", "Fat", "Sodium"], ["mix", 1800, 12, 1.2]])
    assert "sodium" not in text
    assert any(one["why"] == "is sodium without mg or g; it is not taken." for one in document["left"])


def test_amounts_under_two_units_are_one_amount_or_asked_about(tmp_path: Path) -> None:
    rows: Rows = [["Ingredient", "kg", "g", "l", "ml"], ["flour", 1, 250, None, None], ["milk", None, None, 1, 500]]
    document, text = bring(tmp_path, rows)
    assert [one["field"] for one in document["faults"]] == ["Sheet!B2", "Sheet!D3"]
    assert "'1' under 'kg' and '250' under 'g'" in document["faults"][0]["problem"]
    assert text == ""


def test_the_same_amount_in_grams_and_ounces_is_taken_once(tmp_path: Path) -> None:
    # 9 oz of 28.35 g (NIST Handbook 44, Appendix C) are 255 g.
    document, text = bring(tmp_path, [["Ingredient", "g", "oz"], ["plain flour", 250, 9], ["butter", 100, 3.5]])
    assert document["faults"] == []
    assert "250 g plain flour" in text
    assert "100 g butter" in text


def test_cells_with_line_breaks_give_a_fault_on_one_line(tmp_path: Path) -> None:
    document, _ = bring(tmp_path, [["Ingredient", "g"], ["flour\nwalnuts", "200\n50"], ["milk", 100]])
    assert document["faults"]
    assert all("\n" not in one["problem"] for one in document["faults"])


def test_figures_for_100_ml_are_not_taken_for_100_g(tmp_path: Path) -> None:
    rows: Rows = [
        ["Product", "Supplier", "Energy kJ per 100ml", "Fat per 100 ml", "Protein (g/100ml)"],
        ["cordial", "A", 200, 1.5, 1],
    ]
    document, text = bring(tmp_path, rows)
    assert "supplier: A" in text
    assert "per_100_g" not in text
    said = {one["text"]: one["why"] for one in document["columns"]}
    assert said["Energy kJ per 100ml"] == said["Fat per 100 ml"] == said["Protein (g/100ml)"] == "is not taken."


def test_energy_in_both_units_is_not_said_to_be_left_out(tmp_path: Path) -> None:
    document, text = bring(tmp_path, [["Product", "Energy", "Fat"], ["bar", "2000kJ/478kcal", 30]])
    assert "energy_kj: 2000" in text
    assert "energy_kcal: 478" in text
    assert document["left"] == []


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        # What another line leaves open, or a preparation made in house may hold, hides no allergen of a remark.
        ([["stock", 1, "l", None], ["salt", 5, "g", "celery"]], "'celery' beside 'salt' names celery"),
        ([["oil", 1, "l", None], ["cream", 500, "ml", "soya or oat"]], "beside 'cream' names cereal and soya"),
        ([["brine", 1, "l", None], ["salt", 5, "g", "celery"]], "'celery' beside 'salt' names celery"),
    ],
)
def test_an_allergen_in_a_remark_is_asked_about_whatever_the_other_lines_leave_open(
    lines: Rows, words: str, tmp_path: Path
) -> None:
    book = tmp_path / "book"
    book.mkdir()
    Kitchen(book).write("- preparation: brine\n  takes: [100 g water, 3 g salt]\n", name="kitchen.yaml")
    made = openpyxl.Workbook()
    made.active.append(["Ingredient", "Quantity", "Unit", "Notes"])
    for cells in lines:
        made.active.append(cells)
    made.save(tmp_path / "soup.xlsx")
    ran = run("import", tmp_path / "soup.xlsx", "--into", book, "--json")
    assert ran.code == 1
    assert any(words in one["problem"] for one in ran.json()["faults"]), ran.json()["faults"]
    assert not (book / "imported").exists()


@pytest.mark.parametrize(
    ("name", "remark"), [("chicken", "breaded"), ("cod", "battered"), ("cod", "floured"), ("potato", "stuffed")]
)
def test_a_remark_by_which_more_comes_in_makes_another_thing(name: str, remark: str, tmp_path: Path) -> None:
    """Beside 'chicken', which the shelf knows, 'breaded' in a column of notes would hide wheat: common practice, no source."""
    document, text = bring(tmp_path, [["Ingredient", "Quantity", "Unit", "Notes"], [name, 100, "g", remark]])
    assert document["faults"] == []
    assert f"- 100 g {remark} {name}" in text
    assert [one["name"] for one in document["unknown"]] == [f"{remark} {name}"]


def test_alcohol_that_only_a_remark_names_is_asked_about(tmp_path: Path) -> None:
    rows: Rows = [["Ingredient", "Quantity", "Unit", "Notes"], ["raisins", 100, "g", "rum-soaked"]]
    document, text = bring(tmp_path, rows)
    assert [one["problem"] for one in document["faults"]] == [
        "'rum-soaked' beside 'raisins' names alcohol, and no line does."
    ]
    assert text == ""


def test_cells_merged_over_a_whole_sheet_are_not_opened(tmp_path: Path) -> None:
    """A sheet has 1 048 576 x 16 384 cells (ECMA-376 limits as spreadsheet programs keep them): to make each would fill any memory."""
    bring(tmp_path, [["Ingredient", "g"], ["plain flour", 200], ["butter", 100]], merge="A4:B5")
    path = tmp_path / "huge.xlsx"
    with zipfile.ZipFile(tmp_path / "list.xlsx") as small, zipfile.ZipFile(path, "w") as huge:
        for name in small.namelist():
            huge.writestr(name, small.read(name).replace(b"A4:B5", b"A4:XFD1048576"))
    ran = run("import", path, "--into", tmp_path / "book", "--json")
    assert ran.code == 1
    assert "merged over more than" in ran.json()["faults"][0]["problem"]
