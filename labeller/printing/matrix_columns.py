"""How wide the columns of an allergen sheet are: no word of a cell is broken, and who has more to say gets more room."""

from dataclasses import dataclass

from labeller.printing.breaking import parts_of
from labeller.printing.faces import MM_PER_POINT, face_with_letters, text_width_mm
from labeller.printing.letters import composed
from labeller.printing.matrix_cells import GAP_MM, PAD_X_MM, CellStyles, texts_of
from labeller.printing.matrix_words import SheetWords
from labeller.printing.setting import LONGEST_WHOLE_WORD, Style

LEAST_NAME_MM = 21.0
MOST_NAME_MM = 46.0
MOST_OF_ALCOHOL_MM = 30.0
"""Bounds of widths. [mm]"""
NAME_CLEAR_MM = 2.4
"""Between the name of a dish and its first tile. [mm]"""
_PART_OF_NAMES = 0.3
_JUST_A_STATE = 8.0
_LONG_CELL_MM = 70.0
_FAVOUR = 1.6
"""Length a cell is taken to have at least and at most when the spare room is shared out [mm], and how much the longest are favoured: one tall cell makes a tall row."""
_LETTER_EM = 0.43
_ENOUGH_LINES = 1.8
"""Width of a letter of the condensed face, on the average; a column has enough where its longest cell stands on so many lines."""


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
    needed = _needed(words, heads, cells)
    needs = LEAST_NAME_MM + GAP_MM * len(needed) + sum(one.least for one in needed)
    if needs > width + 1e-6:
        return TooManyColumns(len(needed), width, needs)
    spare = width - needs
    # Names of dishes have their part first.
    name = min(MOST_NAME_MM, LEAST_NAME_MM + _PART_OF_NAMES * spare)
    widths = [name, *_shared_out(needed, spare - (name - LEAST_NAME_MM))]
    lefts = [left]
    for one in widths[:-1]:
        lefts.append(lefts[-1] + one + GAP_MM)
    return Columns(tuple(lefts), tuple(widths))


@dataclass(frozen=True, slots=True)
class _Need:
    """What a column needs: the least width, the one that is enough, and how much it wants to get there. [mm]"""

    least: float
    enough: float
    wants: float


def _shared_out(needed: list[_Need], spare: float) -> list[float]:
    """Return the widths of columns with the spare room shared out: to those that have most to say until they have enough, then to all alike."""
    widths = [one.least for one in needed]
    open_ = [place for place, one in enumerate(needed) if one.enough > one.least]
    while open_ and spare > 1e-6:
        total = sum(needed[place].wants for place in open_)
        # As far as all go together until the first of them has enough.
        step = min(spare / total, *((needed[place].enough - widths[place]) / needed[place].wants for place in open_))
        for place in open_:
            widths[place] += step * needed[place].wants
        spare -= step * total
        open_ = [place for place in open_ if needed[place].enough > widths[place] + 1e-6]
    return [one + max(0.0, spare) / len(widths) for one in widths]


def _needed(words: SheetWords, heads: HeadStyles, cells: CellStyles) -> list[_Need]:
    """Return what every column but the dish's needs."""
    found: list[_Need] = []
    one_line = text_width_mm("May contain", cells.head.face, cells.head.size_pt)
    for column, head in enumerate(words.heads):
        said = {(head.name, heads.name), (head.examples, heads.examples), (head.translated, heads.examples)}
        longest = 0.0
        for section in words.sections:
            for row in section.rows:
                cell = row.cells[column]
                paragraphs, more = texts_of(cell, cells, words.language)
                said.update(paragraphs)
                if more:
                    said.add((more, cells.loud))
                longest = max(longest, *(_LETTER_EM * len(text) for text in (cell.detail, cell.translated)))
        widest = max(widest_word_mm(text, style) for text, style in said)
        if column == len(words.heads) - 1:
            # Names of drinks are the cook's own: a very long one is broken rather than that the table gives way.
            widest = min(widest, MOST_OF_ALCOHOL_MM)
        sides = 2.0 * PAD_X_MM + 0.02
        length = longest * cells.detail.size_pt * MM_PER_POINT
        enough = max(widest, one_line, length / _ENOUGH_LINES) + sides
        found.append(_Need(widest + sides, enough, (_JUST_A_STATE + min(length, _LONG_CELL_MM)) ** _FAVOUR))
    return found


def widest_word_mm(text: str, style: Style) -> float:
    """Return the width of the widest word of a text that may not be broken. [mm]"""
    ready = composed(text)
    if not ready.strip():
        return 0.0
    name = face_with_letters(ready, style.face)
    parts = parts_of([(letter, name) for letter in ready], style.size_pt, 10_000.0, LONGEST_WHOLE_WORD)
    return max(part.width for part in parts)
