"""Sheets as kitchens keep them: several blocks on a sheet, weights beside cups, a title above the titles, statements beside products.

How such sheets look is common practice, no source; what must come out is what a person reads off them.
"""

from pathlib import Path
from typing import Any

import openpyxl

from tests.kitchens import Kitchen, run

Rows = list[list[Any]]


def bring(folder: Path, table: Rows, *more: str) -> tuple[Any, Kitchen]:
    kitchen = Kitchen(folder / "book")
    kitchen.write("", name="kitchen.yaml")
    workbook = openpyxl.Workbook()
    sheet = workbook.active
    assert sheet is not None
    for row in table:
        sheet.append(row)
    workbook.save(folder / "sheet.xlsx")
    ran = run("import", folder / "sheet.xlsx", "--into", kitchen.folder, "--json", *more)
    document = ran.json()
    assert ran.code == 0, document["faults"]
    return document, kitchen


def lines(kitchen: Kitchen, document: Any) -> str:
    return "".join((kitchen.folder / path).read_text(encoding="utf-8") for path in document["written"])


def test_a_unit_belongs_to_the_amount_before_it_not_to_the_weight_behind_it(tmp_path: Path) -> None:
    document, kitchen = bring(
        tmp_path,
        [
            ["Tart shell"],
            ["Item", "Amount", "", "Weight (g)"],
            ["plain flour", 2, "cups", 250],
            ["unsalted butter", "", "", 125],
            ["caster sugar", 3, "tbsp", ""],
        ],
    )
    text = lines(kitchen, document)
    assert "- 250 g plain flour" in text
    assert "- 125 g unsalted butter" in text
    assert "- 3 tbsp caster sugar" in text


def test_a_second_block_with_its_yield_beside_the_title_is_a_recipe_of_its_own(tmp_path: Path) -> None:
    document, kitchen = bring(
        tmp_path,
        [
            ["Butter tart", "", "", "8 portions"],
            ["Item", "Qty", "Unit", "Notes"],
            ["butter", 200, "g", ""],
            [],
            ["Walnut praline", "", "", "makes 600 g"],
            ["Item", "Qty", "Unit", "Notes"],
            ["walnuts", 300, "g", ""],
            ["sugar", 300, "g", ""],
            [],
            ["Sesame brittle", "", "", "by the night shift"],
            ["Item", "Qty", "Unit", "Notes"],
            ["tahini", 20, "g", ""],
        ],
    )
    assert [one["name"] for one in document["recipes"]] == ["Butter tart", "Walnut praline", "Sesame brittle"]
    kitchen.write("- dish: tart\n  plate: [50 g Butter tart]\n", name="plate.yaml", law=None)
    found = {one["group"]: one["status"] for one in kitchen.one("tart")["allergens"]}
    assert (found["nuts"], found["sesame"], found["milk"]) == ("none declared", "none declared", "contains")
    assert "gives: 600 g" in lines(kitchen, document)


def test_a_heading_said_again_on_the_next_page_still_goes_on(tmp_path: Path) -> None:
    document, _ = bring(
        tmp_path,
        [
            ["Butter tart"],
            ["Item", "Qty", "Unit"],
            ["butter", 200, "g"],
            ["Item", "Qty", "Unit"],
            ["sugar", 100, "g"],
        ],
    )
    assert [len(one["lines"]) for one in document["recipes"]] == [2]


def test_the_title_of_the_sheet_is_not_the_name_of_its_first_recipe(tmp_path: Path) -> None:
    document, _ = bring(
        tmp_path,
        [
            ["Sauces and bases"],
            [],
            ["PEANUT SAUCE", "", "makes 1.2 kg"],
            ["Ingredient", "Qty", "Unit"],
            ["sugar", 250, "g"],
        ],
    )
    assert [one["name"] for one in document["recipes"]] == ["PEANUT SAUCE"]
    assert any("Sauces and bases" in str(one) for one in document["left"])


def test_ingredients_beside_products_are_their_statements(tmp_path: Path) -> None:
    document, kitchen = bring(
        tmp_path,
        [
            ["Product", "Supplier", "Fat", "Salt", "Ingredients", "Contains"],
            ["white miso", "a wholesaler", 6, 12, "SOYBEANS, rice, salt, alcohol", "soya"],
            ["salad cream", "a wholesaler", 30, 2, "rapeseed oil, water, EGG yolk, MUSTARD, salt", "egg"],
        ],
    )
    assert "statement: SOYBEANS, rice, salt, alcohol" in lines(kitchen, document)
    kitchen.write("- dish: bowl\n  plate: [50 g salad cream, 5 g white miso]\n", name="plate.yaml", law=None)
    bowl = kitchen.one("bowl")
    found = {one["group"]: one["status"] for one in bowl["allergens"]}
    assert (found["mustard"], found["egg"], found["soya"]) == ("contains", "contains", "contains")
    assert bowl["alcohol"]["status"] == "contains"


def test_a_note_is_not_doubled_when_a_recipe_is_replaced(tmp_path: Path) -> None:
    kitchen = Kitchen(tmp_path / "book")
    kitchen.write("", name="kitchen.yaml")
    path = tmp_path / "two.md"
    path.write_text(
        "# Dressing\n\nMakes about 600 ml\n\n- 300 g sugar\n\n# Syrup\n\n- 200 g sugar\n", encoding="utf-8"
    )
    for more in ([], ["--replace"], ["--replace"]):
        assert run("import", path, "--into", kitchen.folder, *more).code == 0
    text = "".join(one.read_text(encoding="utf-8") for one in (kitchen.folder / "imported").iterdir())
    assert text.count("# note: Makes about 600 ml") == 1
