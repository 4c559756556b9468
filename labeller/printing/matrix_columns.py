"""How wide the columns of an allergen sheet are: no word of a cell is broken, and who has more to say gets more room."""

from dataclasses import dataclass

from labeller.printing.breaking import parts_of
from labeller.printing.faces import face_with_letters
from labeller.printing.letters import composed
from labeller.printing.matrix_cells import GAP_MM, PAD_X_MM, CellStyles, texts_of
from labeller.printing.matrix_words import SheetWords
from labeller.printing.setting import LONGEST_WHOLE_WORD, Style

LEAST_NAME_MM = 28.0
MOST_NAME_MM = 46.0
MOST_OF_ALCOHOL_MM = 30.0
"""Bounds of widths. [mm]"""
NAME_CLEAR_MM = 2.4
"""Between the name of a dish and its first tile. [mm]"""
_JUST_A_STATE = 6
_LONG_CELL = 60
_FAVOUR = 1.6
"""Letters a cell is taken to have at least and at most when the spare room is shared out, and how much the longest are favoured: one tall cell makes a tall row."""


@dataclass(frozen=True, slots=True)
class Columns:
    """Widths from left to right, the dish first; ``lefts`` are where they begin. [mm]"""

    lefts: tuple[float, ...]
    widths: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class TooManyColumns:
    """Columns that a page cannot hold, and the width that would do. [mm]"""

    count: int
    has: float
    needs: float


@dataclass(frozen=True, slots=True)
class HeadStyles:
    """How heads of columns are set: name, examples, name in another language."""

    name: Style
    examples: Style


def fit_columns(
    words: SheetWords, left: float, width: float, heads: HeadStyles, cells: CellStyles
) -> Columns | TooManyColumns:
    """Return the columns of a sheet.

    Parameters
    ----------
    words : SheetWords
        What stands in them.
    left, width : float
        Where the table begins, and how wide it is. [mm]
    heads, cells : HeadStyles, CellStyles
        How they are set.
    """
    least, wants = _needed(words, heads, cells)
    gaps = GAP_MM * len(least)
    needs = LEAST_NAME_MM + gaps + sum(least)
    if needs > width + 1e-6:
        return TooManyColumns(len(least), width, needs)
    spare = width - needs
    # A column gets of the spare room by how much longer its longest cell is than it is wide; the names of dishes their part first.
    name = min(MOST_NAME_MM, LEAST_NAME_MM + 0.3 * spare)
    spare -= name - LEAST_NAME_MM
    total = sum(wants)
    widths = [name, *(one + spare * want / total for one, want in zip(least, wants, strict=True))]
    lefts = [left]
    for one in widths[:-1]:
        lefts.append(lefts[-1] + one + GAP_MM)
    return Columns(tuple(lefts), tuple(widths))


def _needed(words: SheetWords, heads: HeadStyles, cells: CellStyles) -> tuple[list[float], list[float]]:
    """Return for every column but the dish's the least width and how much more it could use."""
    least: list[float] = []
    wants: list[float] = []
    for column, head in enumerate(words.heads):
        said = {(head.name, heads.name), (head.examples, heads.examples), (head.translated, heads.examples)}
        longest = 0
        for section in words.sections:
            for row in section.rows:
                cell = row.cells[column]
                paragraphs, more = texts_of(cell, cells, words.language)
                said.update(paragraphs)
                if more:
                    said.add((more, cells.loud))
                longest = max(longest, len(cell.detail), len(cell.translated))
        widest = max(widest_word_mm(text, style) for text, style in said)
        if column == len(words.heads) - 1:
            # Names of drinks are the cook's own: a very long one is broken rather than that the table gives way.
            widest = min(widest, MOST_OF_ALCOHOL_MM)
        least.append(widest + 2.0 * PAD_X_MM + 0.02)
        wants.append((_JUST_A_STATE + min(longest, _LONG_CELL)) ** _FAVOUR)
    return least, wants


def widest_word_mm(text: str, style: Style) -> float:
    """Return the width of the widest word of a text that may not be broken. [mm]"""
    ready = composed(text)
    if not ready.strip():
        return 0.0
    name = face_with_letters(ready, style.face)
    parts = parts_of([(letter, name) for letter in ready], style.size_pt, 10_000.0, LONGEST_WHOLE_WORD)
    return max(part.width for part in parts)
