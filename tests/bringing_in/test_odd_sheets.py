"""Every odd spreadsheet gives the lines a person reads in it, or a fault at the cell a person would ask about."""

from pathlib import Path
from typing import Any

import pytest

from tests.bringing_in.odd_sheets import ODD, Odd
from tests.kitchens import Kitchen, run

UNKNOWN = "is not an ingredient or preparation of this book, nor on the shelf."


def bring(odd: Odd, folder: Path, *more: str) -> tuple[int, Any, Path]:
    """Write the file and a book, bring the one into the other, and return the code, the document and the book."""
    book = folder / "book"
    book.mkdir()
    Kitchen(book).write(odd.book, name="kitchen.yaml", law=odd.law)
    path = odd.write(folder)
    before = path.read_bytes()
    ran = run("import", path, "--into", book, "--json", *odd.options, *more)
    assert path.read_bytes() == before, "the original was touched"
    return ran.code, ran.json(), book


def taken_lines(document: Any) -> dict[str, tuple[str, ...]]:
    return {one["name"]: tuple(one["lines"]) for one in document["recipes"]}


def test_there_are_at_least_forty_odd_sheets() -> None:
    assert len(ODD) >= 40
    assert len({odd.name for odd in ODD}) == len(ODD)


@pytest.mark.parametrize("odd", ODD, ids=[odd.name for odd in ODD])
def test_odd_sheet(odd: Odd, tmp_path: Path) -> None:
    code, document, book = bring(odd, tmp_path)
    faults = document["faults"]
    if odd.faults:
        assert code == 1
        shown = [(one["field"], one["problem"] + " " + one["mend"]) for one in faults]
        for cell, words in odd.faults:
            assert any(cell in field and words in text for field, text in shown), shown
        assert len(faults) == len(odd.faults), shown
        assert document["written"] == []
        assert not (book / "imported").exists()
        return
    assert faults == []
    assert code == 0
    assert taken_lines(document) == odd.recipes
    left = " ".join(one["why"] for one in (*document["left"], *document["columns"]))
    for words in odd.said:
        assert words in left, left
    # What is written is a book that 'check' accepts, or whose only faults are names it does not know yet.
    assert len(document["written"]) == 1
    for fault in run("check", book, "--json").json()["faults"]:
        assert fault["problem"].endswith(UNKNOWN), fault


def test_yield_of_the_odd_sheets(tmp_path: Path) -> None:
    """Of the recipes and lines a person finds in all odd sheets, nearly all come in; the rest are faults, none is lost in silence."""
    there_recipes = there_lines = taken_recipes = taken = asked = 0
    for number, odd in enumerate(ODD):
        folder = tmp_path / str(number)
        folder.mkdir()
        _, document, _ = bring(odd, folder, "--skip-doubtful", "--dry-run")
        recipes, lines = odd.lines_there
        there_recipes, there_lines = there_recipes + recipes, there_lines + lines
        if odd.faults:
            asked += lines
        else:
            taken_recipes += len(document["recipes"])
            taken += sum(len(one["lines"]) for one in document["recipes"])
    print(  # noqa: T201 - the yield is counted and shown
        f"yield of import: {taken_recipes} of {there_recipes} recipes, {taken} of {there_lines} lines; {asked} lines asked about"
    )
    assert taken + asked == there_lines
    assert taken >= 0.8 * there_lines
