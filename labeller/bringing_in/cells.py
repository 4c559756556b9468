"""Sheets as they lie in a file: cells as typed, with what a table reader would throw away."""

import unicodedata
from dataclasses import dataclass, field

from labeller.foundations.faults import Fault, Origin

LARGEST_TEXT = 4000
"""Letters of one cell that are read. A method in one cell stays whole up to here."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where something was brought in from: file, sheet (empty where a file has none), row and column from 1, 0 where none."""

    file: str
    sheet: str = ""
    row: int = 0
    column: int = 0

    @property
    def cell(self) -> str:
        """Return the cell as a spreadsheet names it: ``Custard!B7``."""
        if not self.row:
            return self.sheet
        if not self.column:
            return f"{self.sheet}!{self.row}" if self.sheet else ""
        name = f"{column_letters(self.column)}{self.row}"
        return f"{self.sheet}!{name}" if self.sheet else name

    def at(self, row: int, column: int = 0) -> "Place":
        """Return another cell of the same sheet."""
        return Place(self.file, self.sheet, row, column)

    def fault(self, problem: str, mend: str) -> Fault:
        """Return a fault at this place."""
        return Fault(Origin(self.file, self.row), self.cell, problem, mend)


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell.

    ``number`` tells that the sheet holds a number, so that its point is no thousands sign; ``unit`` is a unit that only the
    number format shows; ``percent`` tells that the format shows a percentage. ``problem`` and ``mend`` are set where the cell
    cannot be read (an error, a date, a formula without a value): whoever needs the cell reports them.
    """

    text: str
    number: bool = False
    unit: str = ""
    percent: bool = False
    bold: bool = False
    struck: bool = False
    problem: str = ""
    mend: str = ""


EMPTY = Cell("")


@dataclass(slots=True)
class Sheet:
    """One sheet: its cells by row and column, both from 1.

    ``merged`` maps every cell of a merged area but the first to the first; ``remarks`` are the notes pinned to cells.
    """

    place: Place
    cells: dict[tuple[int, int], Cell]
    merged: dict[tuple[int, int], tuple[int, int]] = field(default_factory=dict)
    hidden_rows: frozenset[int] = frozenset()
    hidden_columns: frozenset[int] = frozenset()
    pinned: dict[tuple[int, int], str] = field(default_factory=dict)
    rows: dict[int, list[tuple[int, Cell]]] = field(init=False)

    def __post_init__(self) -> None:
        """Put the cells in rows, in order."""
        self.rows = {}
        for (row, column), cell in sorted(self.cells.items()):
            if cell.text or cell.problem:
                self.rows.setdefault(row, []).append((column, cell))

    def cell(self, row: int, column: int) -> Cell:
        """Return a cell; one that is not there is empty."""
        return self.cells.get((row, column), EMPTY)

    def strip(self, first: int, last: int) -> "Sheet":
        """Return the columns from ``first`` to ``last`` as a sheet of its own, with the columns numbered as before."""
        kept = {key: cell for key, cell in self.cells.items() if first <= key[1] <= last}
        return Sheet(self.place, kept, self.merged, self.hidden_rows, self.hidden_columns, self.pinned)


def column_letters(column: int) -> str:
    """Return a column's letters: 1 is A, 27 is AA."""
    letters = ""
    while column > 0:
        column, rest = divmod(column - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def tidy_text(text: str) -> str:
    """Return a cell's text with runs of space made one, without what YAML cannot hold; line breaks stay.

    No-break spaces stay too: between digits they are a thousands sign.
    """
    kept = []
    for letter in text[:LARGEST_TEXT].replace("\r\n", "\n").replace("\r", "\n"):
        if letter in "\n\u00a0\u202f":
            kept.append(letter)
        elif letter in "\u2028\u2029\x85\v\f":
            kept.append("\n")
        elif letter.isspace():
            kept.append(" ")
        elif unicodedata.category(letter) not in ("Cc", "Cf", "Cs", "Cn", "Co"):
            kept.append(letter)
    lines = [" ".join(part for part in line.split(" ") if part) for line in "".join(kept).split("\n")]
    return "\n".join(line for line in lines if line.strip("\u00a0\u202f"))


def one_line(text: str) -> str:
    """Return text on one line, with plain spaces."""
    return " ".join(text.split())


def number_text(value: float) -> str:
    """Return a number's own digits: at most 12 that count, so that 0.1 + 0.2 is 0.3, and no exponent."""
    if value == int(value) and abs(value) < 1e15:
        return str(int(value))
    text = f"{value:.12g}"
    if "e" in text:
        text = f"{value:.12f}".rstrip("0").rstrip(".")
    return text
