"""A kitchen's whole workbook comes in while the cook watches."""

import time
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from tests.kitchens import Kitchen, run


@pytest.fixture
def book(tmp_path: Path) -> Kitchen:
    return Kitchen(tmp_path / "book").write("", name="kitchen.yaml")


def timed(book: Kitchen, path: Path) -> tuple[int, Any, float]:
    begun = time.perf_counter()
    ran = run("import", path, "--into", book.folder, "--json")
    return ran.code, ran.json(), time.perf_counter() - begun


def test_a_hundred_and_twenty_recipes_take_a_few_seconds(book: Kitchen, tmp_path: Path) -> None:
    recipes: dict[str, list[list[Any]]] = {
        f"Recipe {number}": [
            ["plain flour", 300 + number, "g"],
            ["butter, softened", "1,5", "kg"],
            ["milk", "2-3", "EL"],
            ["house syrup", 5, "g"],
            *[["caster sugar", one, "g"] for one in range(1, 9)],
        ]
        for number in range(120)
    }
    workbook = openpyxl.Workbook()
    for title, rows in recipes.items():
        made = workbook.create_sheet(title)
        for row in ([title], ["Ingredient", "Quantity", "Unit"], *rows):
            made.append(row)
    path = tmp_path / "recipes.xlsx"
    workbook.save(path)
    code, document, taken = timed(book, path)
    assert code == 0
    assert len(document["recipes"]) == 120
    assert sum(len(one["lines"]) for one in document["recipes"]) == 1440
    print(f"120 recipes: {taken:.2f} s")  # noqa: T201 - the measured figure
    assert taken < 10.0


def test_ten_thousand_rows(book: Kitchen, tmp_path: Path) -> None:
    rows = ["Recipe;Ingredient;Quantity;Unit"]
    rows += [
        f"Batch {number // 10};{'plain flour' if number % 2 else 'butter'};{number % 7 + 1},5;kg"
        for number in range(10_000)
    ]
    path = tmp_path / "many.csv"
    path.write_text("\n".join(rows), encoding="utf-8")
    code, document, taken = timed(book, path)
    assert code == 0, document["faults"][:3]
    assert sum(len(one["lines"]) for one in document["recipes"]) == 10_000
    print(f"10,000 rows: {taken:.2f} s")  # noqa: T201 - the measured figure
    assert taken < 20.0
