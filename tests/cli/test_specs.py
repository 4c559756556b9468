"""The register of specifications and the letters: constructed books whose gaps follow from what is written in them."""

import csv
import string
from datetime import date
from pathlib import Path

import pytest

from labeller.declarations.spec_letters import letter_sentences
from labeller.jurisdictions.languages import allergen_name
from labeller.jurisdictions.packs import load_jurisdiction
from tests.kitchens import Kitchen, Ran, run

DAY = "2026-11-25"
BOOK = """- ingredient: nut paste
  spec: {supplier: Example Mill, reference: EM-7, dated: 2026-10-01, statement: "HAZELNUTS, emulsifier: lecithin", may_contain: none}
- ingredient: old syrup
  spec: {supplier: example mill, dated: 2025-01-31, statement: "sugar, water", may_contain: none}
- ingredient: stock powder
  spec: {supplier: Example Store, declares: [celery]}
- ingredient: good flour
  spec: {supplier: Example Fine, reference: F-1, dated: 2026-09-01, statement: "WHEAT flour", may_contain: [soya]}
- ingredient: bare thing
- ingredient: doubtful mix
  spec: {dated: 2026-10-01, declares: [milk]}
- dish: plate
  plate: [10 g nut paste, 5 g sugar]
"""


def made(kitchen: Kitchen, *options: str, book: str = BOOK, head: str = "") -> tuple[Ran, Path]:
    kitchen.write(head + book)
    out = kitchen.folder.parent / "drawer"
    return run("specs", kitchen.folder, "--out", out, "--on", DAY, *options), out


def letter(out: Path, name: str) -> str:
    """Return a letter with its lines joined."""
    return " ".join((out / f"letter to {name}.txt").read_text(encoding="utf-8").split())


def register(out: Path) -> dict[str, dict[str, str]]:
    with (out / "register.csv").open(encoding="utf-8", newline="") as file:
        return {row["ingredient"]: row for row in csv.DictReader(file)}


def test_register_has_every_ingredient_with_dates_and_gaps(kitchen: Kitchen) -> None:
    ran, out = made(kitchen)
    assert ran.code == 0, ran.err
    rows = register(out)
    assert set(rows) == {
        "nut paste", "old syrup", "stock powder", "good flour", "bare thing", "doubtful mix", "sugar",
    }  # fmt: skip
    assert rows["good flour"] == {
        "ingredient": "good flour", "supplier": "Example Fine", "reference": "F-1", "date": "2026-09-01",
        "next review": "2027-09-01", "gaps": "",
    }  # fmt: skip
    assert rows["old syrup"]["gaps"] == "past its review"
    assert "not known: egg, soya" in rows["nut paste"]["gaps"]
    assert "not dated" in rows["stock powder"]["gaps"]
    assert rows["bare thing"]["gaps"].startswith("no specification on file; not known: ")
    assert rows["doubtful mix"]["gaps"].startswith("supplier not named")
    assert "shelf" in rows["sugar"]["gaps"]


def test_register_as_a_page_says_the_same_within_80_columns(kitchen: Kitchen) -> None:
    _, out = made(kitchen)
    page = (out / "register.txt").read_text(encoding="utf-8")
    assert "7 ingredients, 1 without a gap" in page
    assert "gap: past its review" in page
    assert max(len(line) for line in page.splitlines()) <= 80


def test_one_letter_for_each_supplier_that_has_something_to_answer(kitchen: Kitchen) -> None:
    ran, out = made(kitchen)
    assert {path.name for path in out.iterdir()} == {
        "register.csv", "register.txt", "letter to example-mill.txt", "letter to example-store.txt",
    }  # fmt: skip
    mill = letter(out, "example-mill")
    assert "nut paste (your reference EM-7, specification of 2026-10-01)" in mill
    assert 'Your statement says "lecithin"' in mill
    assert "one by one, whether these are in it: eggs, soybeans." in mill
    assert "is dated 2025-01-31 and is due for review" in mill
    assert "may get into it" not in mill  # that was answered
    assert "Nobody to ask about 'doubtful mix'" in ran.err


def test_a_letter_asks_for_the_whole_statement_where_there_is_none(kitchen: Kitchen) -> None:
    _, out = made(kitchen)
    store = letter(out, "example-store")
    assert "complete ingredients statement" in store
    assert "has no date" in store
    assert "may get into it by contact" in store
    assert "one by one" not in store


@pytest.mark.parametrize(
    ("language", "words", "groups"),
    [
        ("fr", "doit être revue", ("œufs", "soja")),  # Regulation (EU) No 1169/2011, Annex II, in French
        ("de", "muss überprüft werden", ("Eier", "Sojabohnen")),  # the same in German
    ],
)
def test_letters_in_the_books_language(kitchen: Kitchen, language: str, words: str, groups: tuple[str, str]) -> None:
    ran, out = made(kitchen, head=f"  language: {language}\n")
    mill = letter(out, "example-mill")
    assert words in mill
    assert all(group.casefold() in mill.casefold() for group in groups)
    assert "Please" not in mill
    assert "English" not in ran.err


def test_another_language_falls_back_to_english_and_says_so(kitchen: Kitchen) -> None:
    ran, out = made(kitchen, head="  language: it\n")
    assert ran.code == 0
    assert "no letters in 'it' on file: they are written in English" in ran.err
    assert "Please" in letter(out, "example-mill")


@pytest.mark.parametrize("language", ["fr", "de"])
def test_no_english_name_of_an_allergen_stands_in_another_language(kitchen: Kitchen, language: str) -> None:
    # Every group of Annex II has a name in the language; some words are the same in English (sulphites apart by accent).
    for group in load_jurisdiction("eu").in_force_on(date(2026, 11, 25)).groups:
        assert allergen_name(group.name, language)
    book = "- ingredient: thing\n  spec: {supplier: A, dated: 2026-10-01, statement: 'flour, lecithin', may_contain: none}\n"
    _, out = made(kitchen, book=book, head=f"  language: {language}\n")
    text = letter(out, "a")
    assert not any(word in text for word in ("gluten-containing", "cereals", "soybeans", "eggs"))


def test_sentences_of_every_language_have_the_same_keys_and_words_in_braces() -> None:
    english = letter_sentences()["en"]
    for language, sentences in letter_sentences().items():
        assert set(sentences) == set(english), language
        for key, text in sentences.items():
            fields = sorted(name for _, name, _, _ in string.Formatter().parse(text) if name)
            assert fields == sorted(name for _, name, _, _ in string.Formatter().parse(english[key]) if name), key


def test_json_is_one_document(kitchen: Kitchen) -> None:
    ran, _ = made(kitchen, "--json")
    found = ran.json()
    assert [one["supplier"] for one in found["letters"]] == ["Example Mill", "Example Store"]
    assert found["letters"][0]["ingredients"] == ["nut paste", "old syrup"]
    assert found["without_supplier"] == ["doubtful mix"]


@pytest.mark.parametrize(
    ("supplier", "file"),
    [
        ("../../etc/passwd", "letter to etc-passwd.txt"),
        ("Café & Söhne", "letter to cafe-sohne.txt"),
        ("山田商店", "letter to supplier.txt"),
        ("a" * 190, f"letter to {'a' * 60}.txt"),
        ("con", "letter to con.txt"),
    ],
)
def test_file_names_are_safe(kitchen: Kitchen, supplier: str, file: str) -> None:
    _, out = made(kitchen, book=f'- ingredient: thing\n  spec: {{supplier: "{supplier}", declares: [milk]}}\n')
    assert {path.name for path in out.iterdir()} == {"register.csv", "register.txt", file}
    assert {path.name for path in out.parent.iterdir()} == {"book", "drawer"}


def test_two_suppliers_whose_names_make_one_file_name_get_two(kitchen: Kitchen) -> None:
    spec = "- ingredient: {one}\n  spec: {{supplier: '{supplier}', declares: [milk]}}\n"
    _, out = made(
        kitchen, book=spec.format(one="first", supplier="A & B") + spec.format(one="second", supplier="A + B")
    )
    assert {path.name for path in out.glob("letter*")} == {"letter to a-b.txt", "letter to a-b-2.txt"}


def test_a_cell_cannot_become_a_formula(kitchen: Kitchen) -> None:
    text = "- ingredient: thing\n  spec: {supplier: '=1+1', reference: '@here', declares: [milk]}\n"
    _, out = made(kitchen, book=text)
    assert register(out)["thing"]["supplier"] == "'=1+1"
    assert register(out)["thing"]["reference"] == "'@here"


def test_braces_in_names_are_only_text(kitchen: Kitchen) -> None:
    text = "- ingredient: '{groups} {0}'\n  spec: {supplier: '{x}', declares: [milk]}\n"
    ran, out = made(kitchen, book=text)
    assert ran.code == 0
    assert "{groups} {0}" in letter(out, "x")


def test_without_out_it_says_what_to_write(kitchen: Kitchen) -> None:
    kitchen.write(BOOK)
    ran = run("specs", kitchen.folder)
    assert ran.code == 2
    assert "--out FOLDER" in ran.err


def test_out_that_is_a_file_is_refused(kitchen: Kitchen) -> None:
    kitchen.write(BOOK)
    file = kitchen.folder.parent / "taken"
    file.write_text("mine")
    ran = run("specs", kitchen.folder, "--out", file)
    assert ran.code == 2
    assert "is a file" in ran.err
    assert file.read_text() == "mine"


def test_a_book_with_faults_writes_nothing(kitchen: Kitchen) -> None:
    ran, out = made(kitchen, book="- ingredient: thing\n  spec: {dated: yesterday}\n")
    assert ran.code == 1
    assert "'yesterday'" in ran.err
    assert not out.exists()


def test_the_law_decides_which_groups_are_asked_for(kitchen: Kitchen) -> None:
    text = "- ingredient: thing\n  spec: {supplier: A, dated: 2026-10-01, declares: [milk], may_contain: none}\n"
    _, out = made(kitchen, "--jurisdiction", "us", book=text)
    gaps = register(out)["thing"]["gaps"]
    assert "wheat" in gaps  # 21 USC 321(qq): wheat is a major food allergen, celery is none
    assert "celery" not in gaps
