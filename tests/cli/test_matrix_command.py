"""``labeller matrix`` from the command line."""

from io import BytesIO
from pathlib import Path

import pypdf
import pytest

from labeller.demonstration.place import demonstration_book
from tests.kitchens import Kitchen, plate, run
from tests.printing.sheets_and_notes import UNKNOWN, Plate, book_text

KNOWN = (
    '- ingredient: plain cream\n  composition: sr28:01053\n  spec: {statement: "Cream (MILK)"}\n'
    '- ingredient: clean water\n  spec: {statement: "Water"}\n'
)


def text_of(path: Path) -> str:
    return " ".join(
        " ".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(path.read_bytes())).pages).split()
    )


def test_a_sheet_of_what_is_known_ends_in_0(kitchen: Kitchen, tmp_path: Path) -> None:
    kitchen.write(KNOWN + plate("20 g plain cream", name="cream"))
    ran = run("matrix", kitchen.folder, "--out", tmp_path / "out", "--on", "2026-11-25")
    assert ran.code == 0, ran.err
    assert ran.out == ""
    path = tmp_path / "out" / "allergen-sheet.pdf"
    assert f"Written: '{path}', 1 page." in ran.err
    assert "Law: European Union, 25 November 2026" in text_of(path)
    assert list((tmp_path / "out").iterdir()) == [path]


def test_anything_unconfirmed_ends_in_3_with_the_list(kitchen: Kitchen, tmp_path: Path) -> None:
    kitchen.folder.mkdir()
    (kitchen.folder / "book.yaml").write_text(book_text([Plate("mystery", [UNKNOWN])]), encoding="utf-8")
    ran = run("matrix", kitchen.folder, "--out", tmp_path / "out")
    assert ran.code == 3
    assert (
        f"'{UNKNOWN}': add the supplier's statement. It leaves open 14 groups of allergens and alcohol, in mystery."
        in ran.err
    )
    assert "Not known: ask the kitchen" in text_of(tmp_path / "out" / "allergen-sheet.pdf")


def test_what_is_open_beside_contains_ends_in_3_too(kitchen: Kitchen, tmp_path: Path) -> None:
    kitchen.write("- ingredient: half a paper\n  spec: {declares: [hazelnut]}\n" + plate("20 g half a paper"))
    ran = run("matrix", kitchen.folder, "--out", tmp_path / "out", "--json")
    assert ran.code == 3
    found = ran.json()
    assert found["dishes"] == ["plate"]
    assert found["pages"] == 1
    assert {"of": "plate", "group": "nuts"}.items() <= next(
        one for one in found["unvouched"] if one["group"] == "nuts"
    ).items()
    assert ran.err == ""


def test_a_menu_gives_its_dishes_in_its_sections_and_the_file_its_name(kitchen: Kitchen, tmp_path: Path) -> None:
    kitchen.write(
        KNOWN
        + plate("20 g plain cream", name="cream")
        + plate("20 g clean water", name="water")
        + plate("20 g clean water", name="lost")
        + "- menu: Fête d'été\n  sections: {second: [cream], first: [water]}\n"
    )
    ran = run("matrix", kitchen.folder, "--out", tmp_path, "--menu", "fete d'ete")
    assert ran.code == 0, ran.err
    text = text_of(tmp_path / "allergen-sheet-fete-d-ete.pdf")
    assert text.index("Second") < text.index("Cream") < text.index("First") < text.index("Water")
    assert "Lost" not in text
    assert "On no menu: lost." in ran.err


def test_only_the_dishes_asked_for(kitchen: Kitchen, tmp_path: Path) -> None:
    kitchen.write(KNOWN + "".join(plate("20 g clean water", name=name) for name in ("one", "two", "three")))
    ran = run("matrix", kitchen.folder, "--out", tmp_path, "--of", "one", "--of", "THREE", "--json")
    assert ran.json()["dishes"] == ["one", "three"]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--paper", "a6"), "--paper: 'a6' is no paper for a sheet. Write a4, a3, letter."),
        (("--portrait",), "--portrait: 15 columns need"),
        (("--menu", "lunch"), "--menu: 'lunch' is not a menu of this book."),
        (("--of", "water", "--menu", "x"), "Write --menu or --of, not both"),
        (("--of", "watre"), "'watre' is not a dish of this book. Did you mean 'water'?"),
        (("--language", "xx"), "--language: 'xx' is not a language on file."),
        (("--jurisdiction", "mars"), "'mars' is not a jurisdiction this tool knows."),
    ],
)
def test_a_wrong_call_ends_in_2_and_writes_nothing(
    kitchen: Kitchen, tmp_path: Path, arguments: tuple[str, ...], said: str
) -> None:
    kitchen.write(KNOWN + plate("20 g clean water", name="water"))
    ran = run("matrix", kitchen.folder, "--out", tmp_path / "out", *arguments)
    assert ran.code == 2
    assert said in ran.err
    assert not (tmp_path / "out").exists()


def test_without_out_nothing_is_written(kitchen: Kitchen) -> None:
    kitchen.write(KNOWN + plate("20 g clean water", name="water"))
    assert run("matrix", kitchen.folder).code == 2


def test_a_file_in_the_place_of_the_folder_is_refused(kitchen: Kitchen, tmp_path: Path) -> None:
    kitchen.write(KNOWN + plate("20 g clean water", name="water"))
    (tmp_path / "taken").write_text("mine", encoding="utf-8")
    ran = run("matrix", kitchen.folder, "--out", tmp_path / "taken")
    assert ran.code == 2
    assert "is a file. Write the name of a folder." in ran.err
    assert (tmp_path / "taken").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("饺子", "Chinese, Japanese or Korean letters are not printed"),
        ("حمص", "run from right to left are not printed"),
        ("ice 🍨", "which the letters of our paper do not have"),
    ],
)
def test_letters_no_face_has_are_a_fault_with_file_and_line(
    kitchen: Kitchen, tmp_path: Path, name: str, said: str
) -> None:
    kitchen.write(KNOWN + plate("20 g clean water", name=f'"{name}"'))
    ran = run("matrix", kitchen.folder, "--out", tmp_path / "out")
    assert ran.code == 1
    assert ran.err.startswith("book.yaml:8: dish: ")
    assert said in ran.err
    assert not (tmp_path / "out").exists()
    document = run("matrix", kitchen.folder, "--out", tmp_path / "out", "--json").json()
    assert document["faults"][0]["line"] == 8


def test_an_ingredient_whose_letters_cannot_be_printed_is_named(kitchen: Kitchen, tmp_path: Path) -> None:
    kitchen.write("- ingredient: pâte 味噌\n" + plate("20 g pâte 味噌"))
    ran = run("matrix", kitchen.folder, "--out", tmp_path / "out")
    assert ran.code == 1
    assert ran.err.startswith("book.yaml:3: ingredient: ")


def test_a_book_without_dishes_says_so(kitchen: Kitchen, tmp_path: Path) -> None:
    kitchen.write("")
    ran = run("matrix", kitchen.folder, "--out", tmp_path / "out")
    assert ran.code == 0
    assert "There is no dish to put on a sheet." in ran.err


def test_as_it_was_recorded(kitchen: Kitchen, tmp_path: Path) -> None:
    kitchen.write(KNOWN + plate("20 g plain cream", name="pudding"))
    assert run("record", kitchen.folder).code == 0
    kitchen.write(KNOWN + plate("20 g clean water", name="pudding"))
    from labeller.cli.saying import today

    ran = run("matrix", kitchen.folder, "--out", tmp_path / "then", "--as-recorded", today().isoformat(), "--json")
    assert ran.code == 0, ran.err
    run("matrix", kitchen.folder, "--out", tmp_path / "now")
    # Milk, by its bold word in a cell: on the recorded sheet one more "Contains" stands than the legend's.
    then, now = (text_of(tmp_path / place / "allergen-sheet.pdf") for place in ("then", "now"))
    assert then.count("Contains") == now.count("Contains") + 1


def test_the_demo_is_one_sheet_of_every_dish(tmp_path: Path) -> None:
    ran = run("matrix", demonstration_book(), "--out", tmp_path, "--on", "2026-11-25")
    assert ran.code == 3
    again = run("matrix", demonstration_book(), "--out", tmp_path / "again", "--on", "2026-11-25", "--json")
    assert (tmp_path / "allergen-sheet.pdf").read_bytes() == (tmp_path / "again" / "allergen-sheet.pdf").read_bytes()
    text = text_of(tmp_path / "allergen-sheet.pdf").casefold()
    for dish in again.json()["dishes"]:
        assert dish.casefold() in text
