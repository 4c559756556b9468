"""A second process reads the book: the same book, the same words, and no harm where it does not deliver."""

import os
import pickle
import subprocess
import sys
from pathlib import Path

import pytest

from labeller.allergens import reader
from labeller.book.files import read_files
from labeller.book.reading import read_book
from labeller.cli import reading_beside
from labeller.cli.reading_beside import ReadBeside, read_beside
from labeller.composition.codes import row_exists
from labeller.composition.household import load_household
from labeller.composition.table import load_table
from labeller.jurisdictions.packs import known_jurisdictions
from tests.benchmarks.answering import write_book

PROGRAM = (
    "import sys\nfrom labeller.cli import main, reading_beside\n"
    "if sys.argv.pop(1) == 'alone':\n    reading_beside._can_help = lambda: False\n"
    "else:\n    reading_beside._can_help = lambda: True\n"
    "main.main()\n"
)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    write_book(tmp_path / "book", 3, dishes=4, preparations=12, ingredients=40)
    return tmp_path / "book"


@pytest.fixture(autouse=True)
def _forgetting() -> None:
    """What one test took over is no other's."""
    reader._readings.clear()
    reader._trees.clear()
    reader._waiting.clear()


def told(how: str, book: Path, *arguments: str) -> tuple[int, str, str]:
    ran = subprocess.run(
        [sys.executable, "-c", PROGRAM, how, "answer", str(book), *arguments],
        capture_output=True,
        text=True,
        check=False,
    )
    return ran.returncode, ran.stdout, ran.stderr


QUESTIONS = [
    ("--of", "plate number 1", "--about", "garlic"),
    ("--of", "plate number 2", "--about", "alcohol", "--json"),
    ("--without", "milk", "--without", "pork"),
    ("--of", "plate number 9", "--about", "milk"),
    ("--of", "plate number 0", "--about", "hazlenut"),
    ("--of", "plate number 0", "--about", "dairy-free"),
]  # fmt: skip


def test_with_two_hands_the_same_is_said(book: Path) -> None:
    answers = [told("alone", book, *question) for question in QUESTIONS]
    assert [told("beside", book, *question) for question in QUESTIONS] == answers
    assert {code for code, _, _ in answers} >= {0, 2}


def test_faults_are_told_all_the_same(book: Path) -> None:
    more = book / "more.yaml"
    more.write_text(
        "- dish: gone\n  plate:\n    - 20 g no such thing\n    - 20 stone mill butter\n  colour: red\n",
        encoding="utf-8",
    )
    alone = told("alone", book, "--without", "milk")
    assert told("beside", book, "--without", "milk") == alone
    assert alone[0] == 1
    assert "'no such thing' is not an ingredient or preparation of this book" in alone[2]
    more.write_text("- dish: [", encoding="utf-8")
    assert told("beside", book, "--without", "milk", "--json") == told("alone", book, "--without", "milk", "--json")


def test_it_delivers_the_book_as_it_is_read_here(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    files = read_files(book)
    here = read_book(
        files,
        jurisdictions=known_jurisdictions(),
        row_exists=lambda code: load_table().row_index(code) is not None,
        trade_pieces=load_household().trade_pieces,
    )
    monkeypatch.setattr(reading_beside, "_can_help", lambda: True)
    beside = read_beside(files)
    assert beside is not None
    got = beside.book()
    assert got is not None
    assert here[0] is not None
    assert got[0] == here[0]
    assert (got[1].faults, got[1].advice, got[1].lines) == (here[1].faults, here[1].advice, here[1].lines)
    statements = [one.spec.statement for one in here[0].ingredients.values() if one.spec is not None]
    for text in [*statements, *here[0].ingredients]:
        assert text is not None
        delivered = reader.read_statement(text)
        assert text in reader._readings
        assert (delivered, delivered.ingredients) == (reader._read(text), reader._ingredients_of(text))
    os.wait()


def test_where_nothing_comes_it_is_done_here() -> None:
    whole = pickle.dumps((None, None, frozenset({"milk"})), -1)
    for sent in (b"", b"\x05", (10).to_bytes(8, "little"), len(whole).to_bytes(8, "little") + whole[:-4]):
        end, its = os.pipe()
        os.write(its, sent)
        os.close(its)
        assert ReadBeside(end).book() is None
    # The book came, and then the other process was ended: what it had promised to read is read here.
    end, its = os.pipe()
    os.write(its, len(whole).to_bytes(8, "little") + whole)
    os.close(its)
    assert ReadBeside(end).book() is not None
    assert [finding.source for finding in reader.read_statement("milk").contains] == ["milk"]


def test_it_is_not_started_where_it_cannot_help(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    files = read_files(book)
    monkeypatch.setattr(os, "sched_getaffinity", lambda _: {0})
    assert read_beside(files) is None
    monkeypatch.setattr(reading_beside, "_can_help", lambda: True)
    monkeypatch.setattr(reading_beside, "_SMALLEST_BYTES", 10**9)
    assert read_beside(files) is None

    def refused() -> int:
        raise BlockingIOError(11, "Resource temporarily unavailable")

    monkeypatch.setattr(reading_beside, "_SMALLEST_BYTES", 0)
    monkeypatch.setattr(os, "fork", refused)
    assert read_beside(files) is None


@pytest.mark.parametrize(
    ("load", "free"),
    [
        ("0.20 0.18 0.12 1/80 11206\n", True),
        ("0.20 0.18 0.12 2/80 1\n", True),
        ("0.20 0.18 0.12 3/80 1\n", False),
        ("", True),
        ("a b c d", True),
    ],
)
def test_it_is_left_alone_where_every_processor_is_busy(
    load: str, free: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # The first line is the example of proc_loadavg(5), Linux man-pages: one runnable entity of 80.
    file = tmp_path / "loadavg"
    file.write_text(load, encoding="ascii")
    monkeypatch.setattr(reading_beside, "_LOAD", file)
    monkeypatch.setattr(os, "sched_getaffinity", lambda _: {0, 1})
    assert reading_beside._a_processor_is_free() is free
    monkeypatch.setattr(reading_beside, "_LOAD", tmp_path / "not there")
    assert reading_beside._a_processor_is_free()


def test_rows_are_known_without_the_table() -> None:
    table = load_table()
    codes = [table.food_code(row) for row in range(len(table))]
    assert all(row_exists(code) and row_exists(f"sr28:{code}") for code in codes)
    for code in ("", "00000", "99999", "sr28:", "sr28:1053", " SR28: 01053 ", "01053x", "-1053", "٠١٠٥٣"):
        assert row_exists(code) is (table.row_index(code) is not None), code
