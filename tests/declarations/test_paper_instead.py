"""A plate that allows another thing says on paper what that brings: the dish is declared as written, the guest may get the other."""

import pytest

from labeller.cli.opening import open_book
from labeller.declarations.paper_of_dish import DishWords, dish_words
from tests.kitchens import Kitchen, run

BOOK = """
- ingredient: plain cream
  spec: {statement: 'cream (milk)', may_contain: none}
- ingredient: cashew cream
  spec: {statement: 'water, cashew nuts', may_contain: 'peanut'}
- ingredient: house gin
  composition: sr28:14049
  strength: 40 % vol
- ingredient: mystery
- dish: bowl
  plate: ['50 g plain cream, or 30 g cashew cream', '10 g caster sugar, or 10 g house gin']
- dish: open bowl
  plate: ['10 g caster sugar, or 10 g mystery']
- dish: same bowl
  plate: ['50 g plain cream, or 20 g plain cream']
"""


@pytest.fixture
def words(kitchen: Kitchen) -> dict[str, DishWords]:
    kitchen.write(BOOK)
    opened = open_book(kitchen.folder, None, None)
    return {name: dish_words(opened.declarer, name) for name in opened.workings.plates}


def test_what_another_thing_brings_is_said(words: dict[str, DishWords]) -> None:
    first, second = words["bowl"].instead
    assert (
        first.text == "With cashew cream instead of plain cream: also contains nuts (cashew); may also contain peanut."
    )
    assert [first.text[start:end] for start, end in first.spans] == ["nuts (cashew)", "peanut"]
    assert second.text == "With house gin instead of caster sugar: also contains alcohol."


def test_what_is_not_known_of_it_is_asked_about(words: dict[str, DishWords]) -> None:
    (line,) = words["open bowl"].instead
    assert line.text.startswith("With mystery instead of caster sugar: please ask us about ")
    assert "peanut" in line.text
    assert "alcohol" in line.text
    assert {one.ingredient for one in words["open bowl"].unvouched} == {"mystery"}


@pytest.mark.parametrize("command", ["cards", "notes", "matrix"])
def test_a_paper_that_asks_about_another_thing_ends_in_three(kitchen: Kitchen, command: str) -> None:
    """The contract's exit code of a paper that had to print 'please ask us about'."""
    kitchen.write(BOOK)
    ran = run(
        command, kitchen.folder, "--of", "open bowl", "--out", kitchen.folder.parent / "out", "--on", "2026-11-25"
    )
    assert ran.code == 3
    assert "'mystery'" in ran.err


def test_what_brings_nothing_more_is_not_printed(words: dict[str, DishWords]) -> None:
    assert words["same bowl"].instead == ()


@pytest.mark.parametrize(
    ("command", "file"), [("cards", "cards-a6.pdf"), ("notes", "menu-notes.pdf"), ("matrix", "allergen-sheet.pdf")]
)
def test_every_paper_of_a_dish_says_it(kitchen: Kitchen, command: str, file: str) -> None:
    import pdfplumber

    kitchen.write(BOOK)
    out = kitchen.folder.parent / "out"
    assert run(command, kitchen.folder, "--out", out, "--on", "2026-11-25").code in (0, 3)
    with pdfplumber.open(out / file) as pdf:
        text = " ".join(" ".join((page.extract_text() or "") for page in pdf.pages).split())
    assert "With cashew cream instead of plain cream" in text
    assert "nuts (cashew)" in text
