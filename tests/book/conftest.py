"""Read a book given as texts, the way every test of the reader does."""

from collections.abc import Callable
from pathlib import Path

import pytest

from labeller.book.entries import Book, Line
from labeller.book.fields import Notes
from labeller.book.reading import BookFiles, read_book
from labeller.foundations.names import name_key

ReadBook = Callable[..., tuple[Book | None, Notes]]
ReadLine = Callable[..., Line]
FaultsOf = Callable[..., list[str]]

CODES = ("eu", "gb", "us", "ca", "au-nz", "codex")
TRADE_PIECES = frozenset(name_key(word) for word in ("leaf", "clove", "stick", "sprig"))


@pytest.fixture(scope="session")
def read() -> ReadBook:
    """Return a function that reads a book from texts by path, a kitchen added unless told otherwise."""

    def read_texts(*texts: str | bytes, kitchen: str | None = "gb", **named: str | bytes) -> tuple[Book | None, Notes]:
        raw: dict[str, bytes] = {}
        for position, text in enumerate(texts):
            raw[f"book{position}.yaml"] = text if isinstance(text, bytes) else text.encode()
        for name, text in named.items():
            raw[f"{name}.yaml"] = text if isinstance(text, bytes) else text.encode()
        if kitchen:
            raw["kitchen.yaml"] = f"- kitchen: Test\n  jurisdiction: {kitchen}\n".encode()
        return read_book(
            BookFiles(Path(), raw),
            jurisdictions=CODES,
            row_exists=lambda code: code != "99999",
            trade_pieces=TRADE_PIECES,
        )

    return read_texts


ENTRIES = """
- ingredient: double cream
- ingredient: gin
- ingredient: damsons
- ingredient: hazelnuts, roasted
- ingredient: hazelnuts
- ingredient: cinnamon
- ingredient: strange leaf
  measures: {ladle: 70 g, bunch: 1/2 kg}
- ingredient: cup cakes
- preparation: custard
  takes: [500 g double cream]
  measures: {tablespoon: 12 g}
- preparation: tart
  takes: [500 g double cream]
  makes: 8
"""


@pytest.fixture(scope="session")
def line(read: ReadBook) -> ReadLine:
    """Return a function that reads one line of a plate, and requires that nothing is wrong with it."""

    def read_one(text: str, kitchen: str = "gb") -> Line:
        quoted = text.replace("'", "''")
        book, notes = read(ENTRIES + f"- dish: the dish\n  plate: ['{quoted}']\n", kitchen=kitchen)
        assert [fault.as_text() for fault in notes.faults] == []
        assert book is not None
        (only,) = book.dishes["the dish"].plate
        return only

    return read_one


@pytest.fixture(scope="session")
def faults_of_line(read: ReadBook) -> FaultsOf:
    """Return a function that reads one line of a plate and returns its faults, problem and mend."""

    def read_one(text: str, field: str = "plate") -> list[str]:
        quoted = text.replace("'", "''")
        entry = (
            f"- dish: the dish\n  plate: ['{quoted}']\n"
            if field == "plate"
            else f"- preparation: the part\n  takes: ['{quoted}']\n"
        )
        _, notes = read(ENTRIES + entry)
        return [f"{fault.problem} | {fault.mend}" for fault in notes.faults]

    return read_one
