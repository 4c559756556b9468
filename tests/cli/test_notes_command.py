"""``labeller notes`` from the command line."""

from io import BytesIO
from pathlib import Path

import docx
import pypdf
import pytest

from labeller.demonstration.place import demonstration_book
from tests.kitchens import Kitchen, plate, run

KNOWN = (
    '- ingredient: plain cream\n  composition: sr28:01053\n  spec: {statement: "Cream (MILK)"}\n'
    '- ingredient: clean water\n  spec: {statement: "Water"}\n- ingredient: powder\n'
)
MENU = "- menu: supper\n  sections: {to drink: [water], to eat: [pudding]}\n"
ENDINGS = ("md", "html", "txt", "docx", "pdf")


def read(path: Path) -> str:
    raw = path.read_bytes()
    if path.suffix == ".pdf":
        text = " ".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(raw)).pages)
    elif path.suffix == ".docx":
        text = " ".join(one.text for one in docx.Document(BytesIO(raw)).paragraphs)
    else:
        text = raw.decode("utf-8")
    return " ".join(text.split())


@pytest.fixture
def house(kitchen: Kitchen) -> Kitchen:
    return kitchen.write(
        KNOWN
        + plate("20 g plain cream", name="pudding")
        + plate("200 g clean water", name="water")
        + plate("1 g clean water", name="secret")
        + MENU,
        law="gb",
    )


def test_a_menu_in_every_form(house: Kitchen, tmp_path: Path) -> None:
    ran = run("notes", house.folder, "--out", tmp_path, "--menu", "Supper", "--on", "2026-11-25")
    assert ran.code == 0, ran.err
    assert ran.out == ""
    for ending in ENDINGS:
        text = read(tmp_path / f"menu-notes-supper.{ending}")
        folded = text.casefold()
        assert folded.index("to drink") < folded.index("water") < folded.index("to eat") < folded.index("pudding")
        assert "secret" not in folded
        assert "milk" in folded
        assert "Please tell us of any allergy before you order" in text
        assert "Law: Great Britain, 25 November 2026" in text
    assert "On no menu: secret." in ran.err
    assert len(list(tmp_path.glob("menu-notes*"))) == 5


def test_one_form_alone(house: Kitchen, tmp_path: Path) -> None:
    assert run("notes", house.folder, "--out", tmp_path / "out", "--form", "TEXT").code == 0
    assert [path.name for path in (tmp_path / "out").iterdir()] == ["menu-notes.txt"]


def test_what_must_be_asked_ends_in_3_with_the_list(kitchen: Kitchen, tmp_path: Path) -> None:
    kitchen.write(KNOWN + plate("20 g powder", name="cloud"), law="gb")
    ran = run("notes", kitchen.folder, "--out", tmp_path, "--form", "markdown")
    assert ran.code == 3
    assert (
        "'powder': add the supplier's statement. It leaves open 14 groups of allergens and alcohol, in cloud."
        in ran.err
    )
    assert "Please ask us about **gluten (wheat, rye, barley, oats)**" in (tmp_path / "menu-notes.md").read_text(
        encoding="utf-8"
    )
    found = run("notes", kitchen.folder, "--out", tmp_path, "--form", "markdown", "--json")
    assert found.code == 3
    assert found.err == ""
    assert found.json()["files"] == [str(tmp_path / "menu-notes.md")]
    assert {one["group"] for one in found.json()["unvouched"]} >= {"milk", "alcohol"}


def test_letters_with_their_key(house: Kitchen, tmp_path: Path) -> None:
    assert run("notes", house.folder, "--out", tmp_path, "--by", "letters", "--form", "markdown").code == 0
    text = (tmp_path / "menu-notes.md").read_text(encoding="utf-8")
    assert "Contains **Mi**." in text
    assert "- **Mi** milk" in text


def test_energy_that_is_not_known_ends_in_3_and_names_what_is_missing(house: Kitchen, tmp_path: Path) -> None:
    ran = run("notes", house.folder, "--out", tmp_path, "--energy", "--form", "text")
    assert ran.code == 3
    assert "water: no energy is printed, figures are missing for clean water" in ran.err
    text = (tmp_path / "menu-notes.txt").read_text(encoding="utf-8")
    assert "Energy: please ask us" in text
    # Calorie Labelling (Out of Home Sector) (England) Regulations 2021, regulation 5.
    assert "adults need around 2000 kcal a day" in text


def test_energy_on_a_childrens_menu_is_without_the_statement_for_adults(house: Kitchen, tmp_path: Path) -> None:
    run("notes", house.folder, "--out", tmp_path, "--energy", "--children", "--form", "text")
    assert "adults need" not in (tmp_path / "menu-notes.txt").read_text(encoding="utf-8")


def test_where_a_law_may_call_for_energy_it_is_said(house: Kitchen, tmp_path: Path) -> None:
    assert (
        "Energy is not shown; --energy shows it."
        in run("notes", house.folder, "--out", tmp_path, "--form", "text").err
    )
    ran = run("notes", house.folder, "--out", tmp_path, "--form", "text", "--jurisdiction", "eu")
    assert "--energy" not in ran.err


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--form", "rtf"), "--form: 'rtf' is no form of notes. Write markdown, html, text, docx, pdf or all."),
        (("--by", "colours"), "--by: 'colours' is not a way to name allergens. Write words or letters."),
        (("--paper", "a3"), "--paper: 'a3' is no paper for notes. Write a4, a5 or letter."),
        (("--children",), "--children: it changes the words beside energy. Use it together with --energy."),
        (("--menu", "super"), "--menu: 'super' is not a menu of this book. Did you mean 'supper'?"),
        (("--menu", "supper", "--of", "water"), "Write --menu or --of, not both"),
    ],
)
def test_a_wrong_call_ends_in_2_and_writes_nothing(
    house: Kitchen, tmp_path: Path, arguments: tuple[str, ...], said: str
) -> None:
    ran = run("notes", house.folder, "--out", tmp_path / "out", *arguments)
    assert ran.code == 2
    assert said in ran.err
    assert not (tmp_path / "out").exists()


def test_letters_of_other_scripts_go_into_text_but_not_into_a_pdf(kitchen: Kitchen, tmp_path: Path) -> None:
    kitchen.write(KNOWN + plate("20 g clean water", name="饺子"), law="gb")
    refused = run("notes", kitchen.folder, "--out", tmp_path / "out")
    assert refused.code == 1
    assert refused.err.startswith("book.yaml:8: dish: '饺子'") or "book.yaml:" in refused.err
    assert not (tmp_path / "out").exists()
    for form, ending in (("markdown", "md"), ("html", "html"), ("text", "txt"), ("docx", "docx")):
        assert run("notes", kitchen.folder, "--out", tmp_path / "out", "--form", form).code == 0
        assert "饺子" in read(tmp_path / "out" / f"menu-notes.{ending}")


@pytest.mark.parametrize("sign", ["\\u202e", "\\u2066", "\\x07"])
def test_marks_that_turn_or_hide_text_are_a_fault_in_every_form(kitchen: Kitchen, tmp_path: Path, sign: str) -> None:
    kitchen.write(KNOWN + plate("20 g clean water", name=f'"milk{sign} pudding"'), law="gb")
    for form in ("text", "html", "docx"):
        ran = run("notes", kitchen.folder, "--out", tmp_path / "out", "--form", form)
        assert ran.code == 1
        assert "which is not a letter" in ran.err


def test_as_it_was_recorded(house: Kitchen, tmp_path: Path) -> None:
    from labeller.cli.saying import today

    assert run("record", house.folder).code == 0
    house.write(KNOWN + plate("20 g clean water", name="pudding"), law="gb")
    day = today().isoformat()
    assert run("notes", house.folder, "--out", tmp_path, "--form", "text", "--as-recorded", day).code == 0
    assert "Contains MILK." in (tmp_path / "menu-notes.txt").read_text(encoding="utf-8")


def test_a_name_in_another_language_beside_the_english(house: Kitchen, tmp_path: Path) -> None:
    ran = run("notes", house.folder, "--out", tmp_path, "--form", "html", "--language", "pl")
    assert ran.code == 0
    page = (tmp_path / "menu-notes.html").read_text(encoding="utf-8")
    assert '<p class="contains">Contains <strong>milk</strong>.</p>' in page
    assert '<p class="contains" lang="pl">' in page
    assert "mleko" in page  # Regulation (EU) No 1169/2011, Annex II, Polish text


def test_the_demo_is_the_same_bytes_twice(tmp_path: Path) -> None:
    for place in ("one", "two"):
        ran = run("notes", demonstration_book(), "--out", tmp_path / place, "--menu", "dinner", "--on", "2026-11-25")
        assert ran.code == 3
    for ending in ENDINGS:
        name = f"menu-notes-dinner.{ending}"
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes()
    assert "'brandied plums and custard ice' is not marked 'vegetarian'" in ran.err
