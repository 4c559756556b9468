"""What lands in the book: read back to the same lines, nothing overwritten unasked, nothing half-written."""

import os
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from labeller.book.reading import read_book, read_files
from labeller.cli import import_ as command
from labeller.composition.household import load_household
from tests.bringing_in.odd_sheets import ODD, Odd
from tests.bringing_in.test_odd_sheets import UNKNOWN, bring, taken_lines
from tests.kitchens import Kitchen, Ran, run

HEAD = ["Ingredient", "Quantity", "Unit"]
OWN = """# the pastry section's own file
- preparation: shortbread   # since 2019
  takes:
    - 300 g plain flour     # the good one
    - 150 g butter

# what follows is not pastry
- preparation:   custard
  takes: [ 500 g milk , "80 g egg yolk" ]
  method:
    - heat: {how: hold, to: 82 C}

- {ingredient: own salt, piece: 1 g}
"""


def sheet(folder: Path, recipes: dict[str, list[list[Any]]], name: str = "recipes.xlsx") -> Path:
    book = openpyxl.Workbook()
    book.remove(book.active)
    for title, rows in recipes.items():
        made = book.create_sheet(title[:31])
        made.append([title])
        made.append(HEAD)
        for row in rows:
            made.append(row)
    path = folder / name
    book.save(path)
    return path


@pytest.fixture
def book(tmp_path: Path) -> Kitchen:
    return Kitchen(tmp_path / "book").write("", name="kitchen.yaml").write(OWN, name="pastry/own.yaml", law=None)


def everything(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()
    }


def bring_in(book: Kitchen, path: Path, *more: str) -> tuple[Ran, Any]:
    ran = run("import", path, "--into", book.folder, "--json", *more)
    return ran, ran.json()


@pytest.mark.parametrize(
    "odd", [odd for odd in ODD if not odd.faults], ids=[odd.name for odd in ODD if not odd.faults]
)
def test_written_lines_are_read_back_as_they_were_meant(odd: Odd, tmp_path: Path) -> None:
    """The book's own reader finds the lines of the document, name by name, once the unknown names are ingredients."""
    _, document, folder = bring(odd, tmp_path)
    stubs = "".join(f'- ingredient: "{one["name"]}"\n' for one in document["unknown"])
    if stubs:
        Kitchen(folder).write(stubs, name="stubs.yaml", law=None)
    read, notes = read_book(
        read_files(folder),
        jurisdictions=["eu", "gb", "us"],
        row_exists=lambda _: True,
        trade_pieces=load_household().trade_pieces,
    )
    assert read is not None
    assert notes.faults == []
    for name, lines in taken_lines(document).items():
        made = read.dishes[name].plate if name in read.dishes else read.preparations[name].takes
        assert [line.text for line in made] == list(lines)


def test_a_recipe_of_the_book_is_not_overwritten_unasked(book: Kitchen, tmp_path: Path) -> None:
    before = everything(book.folder)
    path = sheet(tmp_path, {"Shortbread": [["plain flour", 600, "g"]], "Meringue": [["egg white", 100, "g"]]})
    ran, document = bring_in(book, path)
    assert ran.code == 1
    assert "'Shortbread' is in the book already, at pastry/own.yaml:2." in document["faults"][0]["problem"]
    assert "--replace" in document["faults"][0]["mend"]
    assert everything(book.folder) == before


def test_skip_doubtful_leaves_whole_recipes_out(book: Kitchen, tmp_path: Path) -> None:
    path = sheet(
        tmp_path,
        {
            "Shortbread": [["plain flour", 600, "g"]],
            "Meringue": [["egg white", 100, "g"]],
            "Brittle": [["caster sugar", 100, "g"], ["peanuts", "some", None]],
        },
    )
    ran, document = bring_in(book, path, "--skip-doubtful")
    assert ran.code == 1
    assert set(taken_lines(document)) == {"Meringue"}
    assert set(document["left_out"]) == {"Shortbread", "Brittle"}
    text = (book.folder / document["written"][0]).read_text()
    assert "Brittle" not in text  # a recipe never comes in without one of its lines
    assert (book.folder / "pastry/own.yaml").read_text() == OWN


def test_replace_changes_that_entry_and_nothing_else(book: Kitchen, tmp_path: Path) -> None:
    path = sheet(
        tmp_path,
        {"Shortbread": [["plain flour", 600, "g"], ["butter", 400, "g"]], "Meringue": [["egg white", 100, "g"]]},
    )
    ran, document = bring_in(book, path, "--replace")
    assert ran.code == 0, document["faults"]
    assert sorted(document["written"]) == ["imported/recipes.yaml", "pastry/own.yaml"]
    text = (book.folder / "pastry/own.yaml").read_text()
    head, tail = (
        OWN.split("- preparation: shortbread", maxsplit=1)[0],
        OWN[OWN.index("\n# what follows is not pastry") :],
    )
    assert text.startswith(head)
    assert text.endswith(tail)
    assert "600 g plain flour" in text
    assert "150 g butter" not in text
    assert run("check", book.folder).code == 0
    # Once more: the same again, and no second note of the import above it.
    ran, _ = bring_in(book, path, "--replace")
    assert ran.code == 0
    assert (book.folder / "pastry/own.yaml").read_text() == text


def test_replace_of_an_entry_in_braces_is_refused_whole(book: Kitchen, tmp_path: Path) -> None:
    book.write(
        "- {preparation: meringue, takes: [100 g egg white]}\n- {preparation: other, takes: [1 g salt]}\n",
        name="flow.yaml",
        law=None,
    )
    book.write("[{preparation: tuile, takes: [100 g egg white]}]\n", name="list.yaml", law=None)
    before = everything(book.folder)
    path = sheet(tmp_path, {"Tuile": [["egg white", 90, "g"]], "Shortbread": [["plain flour", 600, "g"]]})
    ran, document = bring_in(book, path, "--replace")
    assert ran.code == 1
    assert "does not stand in lines of its own" in document["faults"][0]["problem"]
    assert everything(book.folder) == before


def test_an_ingredient_of_the_book_is_never_replaced_by_a_recipe(book: Kitchen, tmp_path: Path) -> None:
    before = everything(book.folder)
    ran, document = bring_in(book, sheet(tmp_path, {"Own salt": [["salt", 600, "g"]]}), "--replace")
    assert ran.code == 1
    assert "an ingredient 'own salt'" in document["faults"][0]["problem"]
    assert everything(book.folder) == before


def test_dry_run_writes_nothing_and_shows_all(book: Kitchen, tmp_path: Path) -> None:
    before = everything(book.folder)
    path = sheet(tmp_path, {"Meringue": [["egg white", 100, "g"]]})
    ran = run("import", path, "--into", book.folder, "--dry-run")
    assert ran.code == 0
    assert "Would write imported/recipes.yaml." in ran.out
    assert "- 100 g egg white" in ran.out
    assert "column 'Quantity'" in ran.err
    assert everything(book.folder) == before


def test_a_second_file_of_the_same_name_takes_a_new_place(book: Kitchen, tmp_path: Path) -> None:
    bring_in(book, sheet(tmp_path, {"Meringue": [["egg white", 100, "g"]]}))
    _, document = bring_in(book, sheet(tmp_path, {"Tuile": [["egg white", 100, "g"]]}))
    assert document["written"] == ["imported/recipes-2.yaml"]
    assert "Meringue" in (book.folder / "imported/recipes.yaml").read_text()


def test_all_or_none_of_the_files_are_written(book: Kitchen, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = everything(book.folder)
    path = sheet(tmp_path, {"Shortbread": [["plain flour", 600, "g"]], "Meringue": [["egg white", 100, "g"]]})
    real = Path.replace
    done: list[Path] = []

    def fails_the_second_time(self: Path, target: Path) -> Path:
        if done:
            raise OSError(28, "No space left on device")
        done.append(target)
        return real(self, target)

    monkeypatch.setattr(Path, "replace", fails_the_second_time)
    ran = run("import", path, "--into", book.folder, "--replace")
    assert ran.code == 2
    assert "Nothing was changed" in ran.err
    monkeypatch.undo()
    assert everything(book.folder) == before


def test_a_folder_that_cannot_be_written(book: Kitchen, tmp_path: Path) -> None:
    if os.geteuid() == 0:
        (book.folder / "imported").write_text("a file where the folder belongs")
    else:
        book.folder.chmod(0o500)
    ran = run("import", sheet(tmp_path, {"Meringue": [["egg white", 100, "g"]]}), "--into", book.folder)
    assert ran.code == 2
    assert "cannot be written" in ran.err


def test_as_dish(book: Kitchen, tmp_path: Path) -> None:
    ran, document = bring_in(
        book, sheet(tmp_path, {"Custard pot": [["custard", "100 g", None], ["own salt", 1, "g"]]}), "--as", "dish"
    )
    assert ran.code == 0, document["faults"]
    assert document["recipes"][0]["kind"] == "dish"
    assert run("check", book.folder).code == 0
    assert run("declare", book.folder, "--of", "Custard pot").code == 0


def test_a_dish_for_a_range_of_portions_is_asked_about(book: Kitchen, tmp_path: Path) -> None:
    workbook = openpyxl.Workbook()
    made = workbook.active
    assert made is not None
    for row in (["Custard pot"], ["Serves", "4-6"], HEAD, ["custard", 100, "g"]):
        made.append(row)
    workbook.save(tmp_path / "dish.xlsx")
    ran, document = bring_in(book, tmp_path / "dish.xlsx", "--as", "dish")
    assert ran.code == 1
    assert "is a range" in document["faults"][0]["problem"]


def test_recipes_of_one_file_may_take_one_another(book: Kitchen, tmp_path: Path) -> None:
    path = sheet(
        tmp_path,
        {
            "Tart": [["tart shell, blind baked", 200, "g"], ["lemon filling", 300, "g"]],
            "Lemon filling": [["egg", 200, "g"]],
            "Tart shell": [["plain flour", 200, "g"]],
        },
    )
    ran, document = bring_in(book, path)
    assert ran.code == 0
    assert document["unknown"] == []
    assert run("check", book.folder).code == 0


def test_unknown_names_are_counted_and_the_nearest_offered(book: Kitchen, tmp_path: Path) -> None:
    path = sheet(
        tmp_path,
        {
            "A": [["free range egs", 2, None], ["moon dust", 5, "g"]],
            "B": [["moon dust", 5, "g"], ["own sallt", 1, "g"]],
        },
    )
    ran, document = bring_in(book, path)
    assert ran.code == 0
    unknown = {one["name"]: one for one in document["unknown"]}
    assert unknown["moon dust"]["lines"] == 2
    assert unknown["own sallt"]["nearest"] == ["own salt"]
    assert all(fault["problem"].endswith(UNKNOWN) for fault in book.faults())


def test_method_words_change_nothing(book: Kitchen, tmp_path: Path) -> None:
    """A method of plain words, even one that is only a step's name, is kept as words: no step is guessed."""
    path = tmp_path / "x.txt"
    path.write_text(
        "Shortcake\n\nIngredients\n100 g plain flour\n\nMethod\nStrain\nchill\nFry.\nreduce\nBake: 20 min, 180 C\nadd 20 g sugar\n# not a comment\n- {heat: x}\n",
        encoding="utf-8",
    )
    ran, document = bring_in(book, path)
    assert ran.code == 0, document["faults"]
    read, _ = read_book(read_files(book.folder), jurisdictions=["eu"], row_exists=lambda _: True)
    assert read is not None
    steps = read.preparations["Shortcake"].method
    assert len(steps) >= 7
    assert {step.kind for step in steps} == {"text"}


def test_what_a_sheet_says_of_a_lines_allergens_is_kept_beside_it(book: Kitchen, tmp_path: Path) -> None:
    workbook = openpyxl.Workbook()
    made = workbook.active
    assert made is not None
    for row in (["Dip"], [*HEAD, "Milk", "Sesame", "Nuts"], ["house base", 200, "g", None, "x", "M"]):
        made.append(row)
    workbook.save(tmp_path / "dip.xlsx")
    _, document = bring_in(book, tmp_path / "dip.xlsx")
    text = (book.folder / document["written"][0]).read_text()
    assert "- 200 g house base  # the sheet says of its allergens: Sesame, may contain Nuts" in text


def test_the_command_module_writes_nothing_by_itself() -> None:
    assert command.write_all.__doc__ is not None
    assert "all or none" in command.write_all.__doc__


@pytest.mark.parametrize(
    ("entry", "lost"),
    [
        # What passes over shared equipment, and what the supplier says, stands in no sheet: replaced in silence it would be gone.
        ("- preparation: tart\n  made_on: [churn]\n  takes: [100 g water]\n", "'made_on'"),
        (
            "- ingredient: chocolate\n  spec: {supplier: A, statement: 'sugar, milk powder', may_contain: nuts}\n",
            "'statement', 'may_contain'",
        ),
        ("- ingredient: chocolate\n  spec: {declares: [milk], covers: all}\n", "'declares', 'covers'"),
        ("- ingredient: chocolate\n  made_on: [churn]\n  sulphites: 90 mg/kg\n", "'made_on', 'sulphites'"),
    ],
)
def test_replace_never_loses_what_an_entry_says_of_allergens(entry: str, lost: str, tmp_path: Path) -> None:
    folder = tmp_path / "book"
    folder.mkdir()
    Kitchen(folder).write("  shared_equipment: [churn]\n" + entry, name="kitchen.yaml")
    before = (folder / "kitchen.yaml").read_bytes()
    lists = {
        "- preparation": "Recipe,Ingredient,Quantity\ntart,water,200 g\n",
        "- ingredient:": "Product,Supplier,Fat,Protein\nchocolate,B,30,5\n",
    }
    path = tmp_path / "new.csv"
    path.write_text(lists[entry[:13]], encoding="utf-8")
    ran = run("import", path, "--into", folder, "--replace", "--json")
    assert ran.code == 1
    assert any(f"has {lost}, which" in one["problem"] for one in ran.json()["faults"]), ran.json()["faults"]
    assert (folder / "kitchen.yaml").read_bytes() == before


def test_replace_takes_what_the_new_list_gives(tmp_path: Path) -> None:
    folder = tmp_path / "book"
    folder.mkdir()
    Kitchen(folder).write(
        "- ingredient: paste\n  spec: {statement: 'sugar, MILK', may_contain: nuts}\n", name="kitchen.yaml"
    )
    path = tmp_path / "new.csv"
    path.write_text('Product,Ingredients statement,May contain\npaste,"sugar, soya flour",milk\n', encoding="utf-8")
    ran = run("import", path, "--into", folder, "--replace", "--json")
    assert ran.code == 0, ran.json()
    text = (folder / "kitchen.yaml").read_text(encoding="utf-8")
    assert "soya flour" in text
    assert "nuts" not in text
