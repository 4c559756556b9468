"""What a new paper changes: constructed books whose answers follow from the recipe alone (no source needed)."""

from pathlib import Path
from typing import Any

import pytest

from tests.kitchens import Kitchen, Ran, run

DAY = "2026-11-25"
BOOK = """- ingredient: house paste
  also: [the paste]
  composition: sr28:19335
  spec: {supplier: a mill, dated: 2026-10-01, statement: "sugar, rice flour", may_contain: none}
- ingredient: cherry liquor
  strength: 24 % vol
  composition: sr28:14534
  spec: {supplier: a still, dated: 2026-10-01, statement: "alcohol, cherries", may_contain: none}
- preparation: filling
  takes: [100 g house paste, 50 g water]
- preparation: syrup
  takes: [100 g sugar, 100 g water]
- dish: filled bun
  plate: [30 g filling]
- dish: plain bun
  plate: [30 g syrup]
"""


def tried(kitchen: Kitchen, paper: str, *options: str, book: str = BOOK) -> Ran:
    kitchen.write(book)
    file = kitchen.folder.parent / "new.yaml"
    file.write_text(paper, encoding="utf-8")
    return run("check", kitchen.folder, "--with", file, "--on", DAY, *options)


def changes(kitchen: Kitchen, paper: str, *, book: str = BOOK) -> dict[str, Any]:
    ran = tried(kitchen, paper, "--json", book=book)
    assert ran.code == 0, ran.out + ran.err
    found: dict[str, Any] = ran.json()
    return found


def paper(statement: str, name: str = "house paste", more: str = "may_contain: none") -> str:
    return f'- ingredient: {name}\n  spec: {{supplier: a mill, dated: 2026-11-20, statement: "{statement}", {more}}}\n'


def test_a_new_allergen_reaches_every_user_and_nothing_else(kitchen: Kitchen) -> None:
    found = changes(kitchen, paper("sugar, rice flour, HAZELNUTS"))
    assert {one["name"]: one["kind"] for one in found["changes"]} == {"filled bun": "dish", "filling": "preparation"}
    (nuts,) = next(one["what"] for one in found["changes"] if one["name"] == "filled bun")
    assert nuts["about"] == "nuts"
    assert nuts["before"] == {"status": "none declared", "sources": [], "may_contain": [], "unconfirmed": []}
    assert nuts["after"] == {"status": "contains", "sources": ["hazelnut"], "may_contain": [], "unconfirmed": []}
    assert nuts["worse"] is True
    assert found["reprint"] == {
        "cards": ["filled bun"],
        "container_labels": ["filling"],
        "sale_labels": ["filled bun", "filling"],
        "sheet": True,
    }


def test_what_falls_away_is_told_and_is_not_worse(kitchen: Kitchen) -> None:
    book = BOOK.replace("rice flour", "WHEAT flour")
    (gluten,) = next(
        one["what"]
        for one in changes(kitchen, paper("sugar, rice flour"), book=book)["changes"]
        if one["kind"] == "dish"
    )
    assert (gluten["about"], gluten["worse"]) == ("gluten", False)
    assert (gluten["before"]["status"], gluten["after"]["status"]) == ("contains", "none declared")


def test_a_list_that_is_not_whole_opens_groups(kitchen: Kitchen) -> None:
    new = "- ingredient: house paste\n  spec: {supplier: a mill, dated: 2026-11-20, declares: [milk]}\n"
    (dish,) = [one for one in changes(kitchen, new)["changes"] if one["kind"] == "dish"]
    after = {one["about"]: one["after"] for one in dish["what"]}
    assert after["milk"]["status"] == "contains"
    assert all(one["worse"] for one in dish["what"])
    assert kitchen.one("filled bun")["name"] == "filled bun"  # the book itself is not changed


def test_a_new_may_contain(kitchen: Kitchen) -> None:
    found = changes(kitchen, paper("sugar, rice flour", more="may_contain: sesame"))
    assert {one["about"] for thing in found["changes"] for one in thing["what"]} == {"sesame"}


def test_alcohol_that_comes_with_a_new_paper(kitchen: Kitchen) -> None:
    found = changes(kitchen, paper("sugar, rice flour, brandy"))
    (alcohol,) = next(one["what"] for one in found["changes"] if one["kind"] == "dish")
    assert (alcohol["about"], alcohol["after"]["status"], alcohol["worse"]) == ("alcohol", "contains", True)


def test_the_same_paper_changes_nothing(kitchen: Kitchen) -> None:
    found = changes(kitchen, paper("sugar, rice flour"))
    assert found["changes"] == []
    assert found["reprint"] == {"cards": [], "container_labels": [], "sale_labels": [], "sheet": False}


def test_new_words_alone_need_new_sale_labels(kitchen: Kitchen) -> None:
    # A sale label prints what a compound ingredient is made of: Regulation (EU) No 1169/2011, Annex VII Part E.
    found = changes(kitchen, paper("sugar, maize"))
    assert found["changes"] == []
    assert found["reprint"]["sale_labels"] == ["filled bun", "filling"]
    assert found["reprint"]["cards"] == []
    assert found["reprint"]["sheet"] is False


def test_a_whole_entry_and_another_of_its_names(kitchen: Kitchen) -> None:
    new = '- ingredient: The Paste\n  composition: sr28:19335\n  spec: {dated: 2026-11-20, statement: "sugar, EGG"}\n'
    found = changes(kitchen, new)
    assert found["ingredients"] == ["house paste"]
    assert {one["about"] for thing in found["changes"] for one in thing["what"]} == {"egg"}


def test_a_good_of_the_shelf_may_get_a_paper(kitchen: Kitchen) -> None:
    found = changes(kitchen, paper("sugar. May contain milk.", name="sugar"))
    assert [one["name"] for one in found["changes"]] == ["plain bun", "syrup"]


def test_text_says_before_and_after_and_what_to_print(kitchen: Kitchen) -> None:
    said = tried(kitchen, paper("sugar, rice flour, HAZELNUTS")).out
    assert "! nuts: not an ingredient -> contains hazelnut" in said
    assert "cards of dishes: filled bun" in said
    assert "container labels: filling" in said
    assert "the sheet of dishes by allergens" in said
    assert "To be printed again: nothing" in tried(kitchen, paper("sugar, rice flour")).out


@pytest.mark.parametrize(
    ("new", "problem", "mend"),
    [
        (paper("milk", name="hose paste"), "'hose paste' is not an ingredient of this book", "'house paste'"),
        (paper("milk", name="filling"), "'filling' is made in house", "goes into it"),
        (paper("milk") + paper("egg"), "'house paste' is given twice", "Keep one"),
        ("- dish: filled bun\n  plate: [30 g filling]\n", "'filled bun' is a dish", "- ingredient:"),
        ("- ingredient: house paste\n", "has nothing new", "spec:"),
        ("", "no entry", "- ingredient:"),
        ("- ingredient: house paste\n  spec: {statment: milk}\n", "'statment'", "'statement'"),
        ("- ingredient: house paste\n  spec: {dated: yesterday, statement: milk}\n", "'yesterday'", "2026-10-01"),
        ("- ingredient: house paste\n  spec: {declares: [qqqq]}\n", "'qqqq'", "Write"),
        ("ingredient: house paste\n", "not a list of entries", "- ingredient"),
        ("- ingredient: [\n", "", ""),
    ],
)
def test_faults_in_the_paper_are_told_at_its_file(kitchen: Kitchen, new: str, problem: str, mend: str) -> None:
    ran = tried(kitchen, new, "--json")
    assert ran.code == 1
    told = ran.json()["faults"]
    assert told
    assert told[0]["file"] == "new.yaml"
    assert any(problem in one["problem"] and mend in one["mend"] for one in told)


def test_bytes_that_are_no_text_are_a_fault(kitchen: Kitchen) -> None:
    kitchen.write(BOOK)
    file = kitchen.folder.parent / "new.yaml"
    file.write_bytes(b"- ingredient: caf\xe9\n")
    ran = run("check", kitchen.folder, "--with", file)
    assert ran.code == 1
    assert "new.yaml" in ran.err


@pytest.mark.parametrize("where", ["nowhere.yaml", "."])
def test_a_file_that_is_not_there_is_wrong_usage(kitchen: Kitchen, tmp_path: Path, where: str) -> None:
    kitchen.write(BOOK)
    ran = run("check", kitchen.folder, "--with", tmp_path / where)
    assert ran.code == 2
    assert "--with" in ran.err


def test_faults_of_the_book_come_first(kitchen: Kitchen) -> None:
    ran = tried(kitchen, paper("milk"), book=BOOK.replace("30 g syrup", "30 g sirop of nothing"))
    assert ran.code == 1
    assert "book.yaml" in ran.err


def test_the_law_decides_what_counts_as_a_change(kitchen: Kitchen) -> None:
    # Celery is in Annex II of Regulation (EU) No 1169/2011 and none of the major food allergens of 21 USC 321(qq).
    new = paper("sugar, rice flour, CELERY")
    european = tried(kitchen, new, "--json").json()
    assert {one["about"] for thing in european["changes"] for one in thing["what"]} == {"celery"}
    assert tried(kitchen, new, "--json", "--jurisdiction", "us").json()["changes"] == []
    assert tried(kitchen, new, "--jurisdiction", "atlantis").code == 2


def test_a_jurisdiction_without_a_paper_is_wrong_usage(kitchen: Kitchen) -> None:
    ran = run("check", kitchen.write(BOOK).folder, "--jurisdiction", "us")
    assert ran.code == 2
    assert "--with" in ran.err


def test_a_new_may_contain_beside_what_it_contains_is_not_lost(kitchen: Kitchen) -> None:
    book = BOOK.replace("rice flour", "HAZELNUTS")
    found = changes(kitchen, paper("sugar, HAZELNUTS", more="may_contain: almonds"), book=book)
    (nuts,) = next(one["what"] for one in found["changes"] if one["kind"] == "dish")
    assert (nuts["before"]["may_contain"], nuts["after"]["may_contain"]) == ([], ["almond"])
    assert nuts["after"]["sources"] == ["hazelnut"]
    assert nuts["worse"] is True
    assert found["reprint"]["cards"] == ["filled bun"]


def test_which_ingredient_leaves_a_group_open_is_not_on_the_card(kitchen: Kitchen) -> None:
    # Two things nobody knows anything of: settling one leaves "please ask us" on the card as it was.
    book = BOOK.replace("  composition: sr28:19335\n", "", 1) + "- ingredient: mystery\n"
    book = book.replace('statement: "sugar, rice flour", may_contain: none', "may_contain: none")
    book = book.replace("plate: [30 g filling]", "plate: [30 g filling, 1 g mystery]")
    found = changes(kitchen, paper("sugar, rice flour"), book=book)
    dish = next(one for one in found["changes"] if one["kind"] == "dish")
    assert all(one["before"]["unconfirmed"] == ["house paste", "mystery"] for one in dish["what"])
    assert not any(one["on_paper"] for one in dish["what"])
    assert found["reprint"]["cards"] == []
    assert found["reprint"]["container_labels"] == ["filling"]


def test_groups_that_change_alike_stand_on_one_line(kitchen: Kitchen) -> None:
    new = "- ingredient: house paste\n  spec: {supplier: a mill, dated: 2026-11-20, declares: [milk]}\n"
    said = tried(kitchen, new).out
    assert said.count("not an ingredient -> not known: ask the kitchen (house paste)") == 2  # the dish, the filling
    assert "gluten, crustaceans, egg, fish" in said
