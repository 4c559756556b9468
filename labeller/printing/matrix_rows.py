"""The rows of an allergen sheet set into its columns, and where a page ends: a dish stays whole wherever a page can hold it."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from labeller.declarations.allergen_rows import NONE_DECLARED
from labeller.declarations.marked_text import MarkedText
from labeller.printing.matrix_cells import CellStyles, SetCell, set_cell
from labeller.printing.matrix_columns import NAME_CLEAR_MM, Columns
from labeller.printing.matrix_words import SheetCell, SheetRow, SheetSection, SheetWords
from labeller.printing.setting import SetText, Style, set_text

NOTE_ABOVE_MM = 1.3
NOTE_BETWEEN_MM = 0.7
"""White above and between what stands below the cells. [mm]"""
MOST_DETAIL_LINES = 7
"""What a cell has to say in more lines stands below the dish, the state stays in the cell."""
_LEAST_LINES = 2
_HALVINGS = 6
_TALL = 0.45
"""Share of a page above which a dish may be parted. [1]"""


@dataclass(frozen=True, slots=True)
class White:
    """White above and below a row, and above and below a heading. [mm]"""

    above: float
    below: float
    title_above: float
    title_below: float


AIRY = White(1.3, 1.5, 3.4, 1.3)
SNUG = White(0.8, 0.9, 2.2, 0.9)
"""The white of a sheet, and where less of it saves a page."""


@dataclass(frozen=True, slots=True)
class RowStyles:
    """How names of dishes, what stands below them, and headings of sections are set."""

    name: Style
    note: Style
    section: Style


@dataclass(frozen=True, slots=True)
class SetRow:
    """A dish set: its name, its cells, the texts below, the height of the cells alone and of their bands. [mm]"""

    of: str
    number: int
    name: SetText
    cells: tuple[SetCell, ...]
    notes: tuple[SetText, ...]
    tiles: float
    bands: float = 0.0
    white: White = AIRY

    @property
    def height(self) -> float:
        """Height with the white above and below. [mm]"""
        below = sum(one.height for one in self.notes) + NOTE_BETWEEN_MM * max(0, len(self.notes) - 1)
        return self.white.above + self.tiles + (NOTE_ABOVE_MM + below if self.notes else 0.0) + self.white.below


@dataclass(frozen=True, slots=True)
class SetTitle:
    """The heading of a section, on a page where it begins or goes on."""

    text: SetText
    white: White = AIRY

    @property
    def height(self) -> float:
        """Height with the white above and below. [mm]"""
        return self.white.title_above + self.text.height + self.white.title_below


class RowTooTallError(Exception):
    """A dish whose name alone is taller than a page."""

    def __init__(self, of: str) -> None:
        super().__init__(f"The row of '{of}' is taller than a page.")
        self.of = of


def pages_of_rows(
    words: SheetWords, columns: Columns, cells: CellStyles, rows: RowStyles, height_mm: float
) -> tuple[tuple[SetTitle | SetRow, ...], ...]:
    """Return what stands on each page, one thing below the other: as few pages as can be, filled as evenly as can be.

    Parameters
    ----------
    words : SheetWords
        The words of the sheet.
    columns : Columns
        Its columns.
    cells, rows : CellStyles, RowStyles
        How they are set.
    height_mm : float
        Room of a page between the heads and the foot. [mm]

    Raises
    ------
    RowTooTallError
        If the name of a dish leaves no room for anything else.
    """
    sections: list[_SetSection] = []
    number = 0
    for section in words.sections:
        title, again = _titles(section, columns, rows)
        done: list[SetRow] = []
        for one in section.rows:
            number += 1
            done.append(set_row(one, number, columns, cells, rows, words.language))
        sections.append((title, again, tuple(done)))
    airy = _filled(sections, height_mm, height_mm, rows, columns)
    closer = [_with_white(section, SNUG) for section in sections]
    snug = _filled(closer, height_mm, height_mm, rows, columns) if len(airy) > 1 else airy
    if len(snug) < len(airy):
        return _evened(closer, snug, height_mm, rows, columns)
    return _evened(sections, airy, height_mm, rows, columns)


_SetSection = tuple[SetTitle, SetTitle, tuple[SetRow, ...]]
_SetPages = tuple[tuple[SetTitle | SetRow, ...], ...]


def _with_white(section: _SetSection, white: White) -> _SetSection:
    title, again, rows = section
    return replace(title, white=white), replace(again, white=white), tuple(replace(row, white=white) for row in rows)


def _evened(
    sections: list[_SetSection], fewest: _SetPages, height: float, rows: RowStyles, columns: Columns
) -> _SetPages:
    """Return as many pages, each left as early as that allows: one dish alone on the last would waste it."""
    best, low, high = fewest, 0.0, 1.0
    for _ in range(_HALVINGS if len(fewest) > 1 else 0):
        share = (low + high) / 2.0
        tried = _filled(sections, height, share * height, rows, columns)
        if len(tried) > len(fewest) or _dishes_on(tried) > _dishes_on(fewest):
            low = share
        else:
            best, high = tried, share
    return best


def _dishes_on(pages: _SetPages) -> int:
    """Return how many dishes or parts of dishes stand on pages."""
    return sum(isinstance(one, SetRow) for page in pages for one in page)


def _filled(sections: list[_SetSection], height: float, wanted: float, rows: RowStyles, columns: Columns) -> _SetPages:
    """Return pages of a height, each left where the next dish would go beyond the height wanted. [mm]"""
    pages: list[list[SetTitle | SetRow]] = [[]]
    room = height
    spare = height - wanted
    for title, again, done in sections:
        waiting: SetTitle | None = title
        for row in done:
            for part in _parts(row, room - (waiting.height if waiting else 0.0), height - again.height, rows, columns):
                needed = part.height + (waiting.height if waiting else 0.0)
                if needed > room - spare + 1e-6 and pages[-1]:
                    pages.append([])
                    room = height
                    waiting = waiting or again
                if waiting is not None:
                    pages[-1].append(waiting)
                    room -= waiting.height
                    waiting = None
                pages[-1].append(part)
                room -= part.height
    return tuple(tuple(page) for page in pages)


def set_row(row: SheetRow, number: int, columns: Columns, cells: CellStyles, rows: RowStyles, language: str) -> SetRow:
    """Return a dish set into the columns; what a cell has too much of goes below."""
    done: list[SetCell] = []
    notes: list[MarkedText] = []
    for cell, width in zip(row.cells, columns.widths[1:], strict=True):
        one = set_cell(cell, cells, width, language)
        if sum(len(text.lines) for text in one.texts[1:]) > MOST_DETAIL_LINES:
            notes.append(_moved_below(cell))
            one = set_cell(replace(cell, detail="", translated=""), cells, width, language)
        done.append(one)
    name = set_text(row.name, rows.name, columns.widths[0] - NAME_CLEAR_MM)
    below = columns.lefts[-1] + columns.widths[-1] - columns.lefts[1]
    texts = tuple(set_text(note, rows.note, below) for note in (*notes, *row.notes))
    bands = max(one.band_height for one in done)
    tall = (one.height + (bands - one.band_height if one.band is not None else 0.0) for one in done)
    tiles = max([name.height + 0.6, *tall])
    return SetRow(row.of, number, name, tuple(done), texts, tiles, bands)


def _moved_below(cell: SheetCell) -> MarkedText:
    words = "; ".join(one for one in (cell.detail, cell.translated) if one)
    head = f"{cell.group_words}: " if cell.status == NONE_DECLARED else f"{cell.group_words}, {cell.head.lower()}: "
    return MarkedText(f"{head}{words}.", ((0, len(cell.group_words)),))


def _titles(section: SheetSection, columns: Columns, rows: RowStyles) -> tuple[SetTitle, SetTitle]:
    width = columns.lefts[-1] + columns.widths[-1] - columns.lefts[0]
    return (
        SetTitle(set_text(section.title, rows.section, width)),
        SetTitle(set_text(f"{section.title}, continued", rows.section, width)),
    )


def _parts(row: SetRow, room: float, whole_page: float, rows: RowStyles, columns: Columns) -> Iterator[SetRow]:
    """Yield a dish as one, or parted below its cells: where no page can hold it, or where a tall one would leave half a page empty."""
    if row.height <= max(room, _TALL * whole_page) + 1e-6:
        yield row
        return
    again = set_text(f"{row.name.text}, continued", rows.name, columns.widths[0] - NAME_CLEAR_MM)
    waiting = list(row.notes)
    head = replace(row, notes=())
    if head.height > whole_page or AIRY.above + again.height + AIRY.below > 0.7 * whole_page:
        raise RowTooTallError(row.of)
    free = room if head.height + NOTE_ABOVE_MM + 3.0 * rows.note.leading_mm <= room else whole_page
    while True:
        taken: list[SetText] = []
        left = free - head.height - NOTE_ABOVE_MM
        while waiting:
            text = waiting[0]
            between = NOTE_BETWEEN_MM if taken else 0.0
            if text.height + between <= left:
                taken.append(waiting.pop(0))
                left -= text.height + between
                continue
            count = _lines_that_fit(text, left - between)
            if count:
                taken.append(text.part(0, count))
                waiting[0] = text.part(count, len(text.lines))
            break
        yield replace(head, notes=tuple(taken))
        if not waiting:
            return
        head = SetRow(row.of, row.number, again, (), (), again.height, white=row.white)
        free = whole_page


def _lines_that_fit(text: SetText, room: float) -> int:
    for count in range(len(text.lines) - _LEAST_LINES, _LEAST_LINES - 1, -1):
        if text.part(0, count).height <= room:
            return count
    return 0
