"""The allergen sheet: dishes by allergen group, for those who serve and those who inspect.

Every cell says its state in words and has an outline and a tone of its own, so that a grey copy says the same; what is not known is white on black.
Every page has the heads, the legend, the caution and a line to sign on, because pages hang apart on a wall.
"""

from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from labeller.printing import house
from labeller.printing.matrix_cells import PAD_Y_MM, CellStyles, cell_styles, placed_cell, set_cell
from labeller.printing.matrix_columns import Columns, HeadStyles, TooManyColumns, fit_columns
from labeller.printing.matrix_rows import (
    NOTE_ABOVE_MM,
    NOTE_BETWEEN_MM,
    RowStyles,
    SetRow,
    SetTitle,
    pages_of_rows,
)
from labeller.printing.matrix_words import SheetCell, SheetWords
from labeller.printing.page import Box, Cell, Document, Item, Margins, Page, Rule
from labeller.printing.setting import SetText, Style, set_text
from labeller.printing.tones import QUIET

Turned = Literal["portrait", "landscape"]
PAPERS_MM: dict[str, tuple[float, float]] = {"a4": (210.0, 297.0), "a3": (297.0, 420.0), "letter": (215.9, 279.4)}
"""Papers as they lie upright. [mm]"""

EDGE_MM = 8.0
_LARGER_ON_A3 = 1.16
_LEGEND_TILE_MM = 19.0
_LEGEND_GAP_MM = 4.0
_SIGN_GAP_MM = 1.8
_LEAST_ROOM_MM = 40.0


@dataclass(frozen=True, slots=True)
class SheetTooNarrow:
    """A paper on which the columns do not stand, and the width they need between its edges. [mm]"""

    paper: str
    turned: Turned
    columns: int
    has: float
    needs: float

    def as_text(self) -> str:
        """Return it in words, with the mend."""
        said = f"{self.columns} columns need {self.needs:.0f} mm, and {self.paper} {self.turned} has {self.has:.0f} mm between its edges."
        others = [
            f"--paper {paper} --{turned}"
            for paper, size in PAPERS_MM.items()
            for turned, width in (("portrait", size[0]), ("landscape", size[1]))
            if width - 2.0 * EDGE_MM >= self.needs * (_LARGER_ON_A3 if paper == "a3" else 1.0)
        ]
        return f"{said} Write {' or '.join(others)}." if others else f"{said} No paper here is wide enough."


@dataclass(frozen=True, slots=True)
class _Look:
    """All styles of a sheet."""

    title: Style
    small: Style
    strong: Style
    heads: HeadStyles
    cells: CellStyles
    rows: RowStyles


@dataclass(frozen=True, slots=True)
class _Frame:
    """What is the same on every page, set once. Heights in millimetres."""

    width: float
    height: float
    look: _Look
    columns: Columns
    title: SetText
    beside: tuple[SetText, ...]
    heads: tuple[tuple[SetText, ...], ...]
    legend: tuple[tuple[SheetCell, SetText], ...]
    caution: SetText
    words: SheetWords

    @property
    def top(self) -> float:
        """Where the heads begin."""
        beside = sum(one.height for one in self.beside) + 0.8 * (len(self.beside) - 1)
        return EDGE_MM + max(self.title.height, beside) + 3.6

    @property
    def heads_height(self) -> float:
        """Height of the heads with the rule below them."""
        return max(_stacked(one) for one in self.heads) + 1.8

    @property
    def legend_height(self) -> float:
        """Height of the legend."""
        tiles = [set_cell(cell, self.look.cells, _LEGEND_TILE_MM, "").height for cell, _ in self.legend]
        return max([*tiles, *(one.height + 2.0 * PAD_Y_MM for _, one in self.legend)])

    @property
    def foot_height(self) -> float:
        """Height of legend, caution and signature with the white above them."""
        return 4.0 + self.legend_height + 3.0 + max(self.caution.height, 8.0)

    @property
    def room(self) -> float:
        """Room for rows."""
        return self.height - 2.0 * EDGE_MM - (self.top - EDGE_MM) - self.heads_height - self.foot_height


def allergen_sheet(words: SheetWords, paper: str, turned: Turned | None, day: date) -> Document | SheetTooNarrow:
    """Return an allergen sheet laid out.

    Parameters
    ----------
    words : SheetWords
        What it says.
    paper : str
        ``a4``, ``a3`` or ``letter``.
    turned : str, optional
        How the paper lies; where not given, the way that takes fewer pages, landscape of as many.
    day : date
        Day of the run, which dates the file.

    Raises
    ------
    RowTooTallError
        If the name of a dish fills a page.
    """
    ways: tuple[Turned, ...] = (turned,) if turned is not None else ("landscape", "portrait")
    tried = [_laid_out(words, paper, way, day) for way in ways]
    done = [one for one in tried if isinstance(one, Document)]
    return min(done, key=lambda one: len(one.pages)) if done else tried[0]


def _laid_out(words: SheetWords, paper: str, turned: Turned, day: date) -> Document | SheetTooNarrow:
    size = PAPERS_MM[paper]
    width, height = size if turned == "portrait" else size[::-1]
    look = _look(_LARGER_ON_A3 if paper == "a3" else 1.0)
    columns = fit_columns(words, EDGE_MM, width - 2.0 * EDGE_MM, look.heads, look.cells)
    if isinstance(columns, TooManyColumns):
        return SheetTooNarrow(
            paper.upper() if paper != "letter" else "Letter", turned, columns.count, columns.has, columns.needs
        )
    frame = _frame(words, width, height, look, columns)
    pages = pages_of_rows(words, columns, look.cells, look.rows, max(frame.room, _LEAST_ROOM_MM))
    margins = Margins(*(house.PRINTER_MARGIN_MM,) * 4)
    laid = tuple(
        Page(width, height, tuple(_page(frame, rows, number, len(pages))), margins)
        for number, rows in enumerate(pages, start=1)
    )
    subject = f"{words.law}, version {words.version}"
    return Document(laid, f"{words.house}: {words.title}", "en", subject, day)


def _look(factor: float) -> _Look:
    least, small = house.SHEET_X_HEIGHT_MM, house.SHEET.least_small_mm
    size = 7.3 * factor
    head = Style("narrow-bold", "narrow-bold", 7.8 * factor, 1.12, role="table head", least_x_height_mm=least)
    plain = replace(house.body(house.SHEET, "caution"), size_pt=7.3 * factor, least_x_height_mm=least)
    return _Look(
        replace(house.plain_title(house.SHEET), size_pt=15.0 * factor, balanced=False),
        Style("sans", "sans-bold", 7.6 * factor, 1.3, "right", "small print", QUIET, least_x_height_mm=small),
        plain,
        HeadStyles(head, replace(head, face="narrow", size_pt=7.0 * factor)),
        cell_styles(size, least),
        RowStyles(
            Style("sans-bold", "sans-bold", 8.0 * factor, 1.18, role="table head", least_x_height_mm=least),
            Style("narrow", "narrow-bold", size, 1.22, role="allergens", least_x_height_mm=least),
            Style("sans-bold", "sans-bold", 10.0 * factor, 1.2, role="table head", least_x_height_mm=least),
        ),
    )


def _frame(words: SheetWords, width: float, height: float, look: _Look, columns: Columns) -> _Frame:
    inner = width - 2.0 * EDGE_MM
    beside = tuple(
        set_text(one, look.small, 0.36 * inner) for one in (words.house, words.law, f"Version {words.version}")
    )
    heads = tuple(
        tuple(
            set_text(text, replace(style, language=language), max(one, 1.0))
            for text, style, language in (
                (head.name, look.heads.name, ""),
                (head.translated, look.heads.examples, words.language),
                (head.examples, look.heads.examples, ""),
            )
            if text
        )
        for head, one in zip(words.heads, (one - 1.6 for one in columns.widths[1:]), strict=True)
    )
    each = (inner - _LEGEND_GAP_MM * (len(words.legend) - 1)) / len(words.legend)
    meaning = replace(look.rows.note, role="caution")
    legend = tuple(
        (SheetCell("", status, head), set_text(means, meaning, each - _LEGEND_TILE_MM - 2.0))
        for status, head, means in words.legend
    )
    return _Frame(
        width,
        height,
        look,
        columns,
        set_text(words.title, look.title, 0.6 * inner),
        beside,
        heads,
        legend,
        set_text(words.caution, look.strong, 0.5 * inner),
        words,
    )


def _stacked(texts: tuple[SetText, ...]) -> float:
    return sum(one.height for one in texts) + 0.5 * (len(texts) - 1)


def _page(frame: _Frame, rows: tuple[SetTitle | SetRow, ...], number: int, count: int) -> list[Item]:
    items = _top(frame, number, count)
    table = f"dishes, page {number}"
    items += _heads(frame, table)
    y = frame.top + frame.heads_height
    at = 0
    for place, one in enumerate(rows):
        at += 1
        if isinstance(one, SetTitle):
            items += one.text.placed(
                EDGE_MM,
                y + one.white.title_above,
                f"{table}, heading {at}",
                cell=Cell(table, at, 0, len(frame.columns.widths)),
            )
            y += one.height
            continue
        items += _row(frame, one, y, table, at)
        at += 1 if one.notes else 0
        y += one.height
        last = place + 1 == len(rows) or isinstance(rows[place + 1], SetTitle)
        weight, tone = (house.RULE_PT, house.RULE_TONE) if last else (house.HAIRLINE_PT, house.SOFT_RULE_TONE)
        items.append(Rule(EDGE_MM, y, frame.width - EDGE_MM, y, weight, tone))
    items += _foot(frame, number)
    return items


def _top(frame: _Frame, number: int, count: int) -> list[Item]:
    items: list[Item] = []
    title = frame.title
    if number > 1:
        title = replace(title, style=replace(title.style, role="heading"))
    items += title.placed(EDGE_MM, EDGE_MM, f"title, page {number}")
    y = EDGE_MM
    right = frame.width - EDGE_MM
    which = set_text(
        f"Version {frame.words.version}, page {number} of {count}", frame.look.small, frame.beside[-1].width
    )
    for place, one in enumerate((*frame.beside[:-1], which)):
        items += one.placed(right - one.width, y, f"beside the title {place}, page {number}")
        y += one.height + 0.8
    return items


def _heads(frame: _Frame, table: str) -> list[Item]:
    bottom = frame.top + frame.heads_height - 1.8
    items: list[Item] = [
        Rule(EDGE_MM, frame.top - 1.6, frame.width - EDGE_MM, frame.top - 1.6, house.BAR_PT),
    ]
    dish = set_text("Dish", frame.look.heads.name, frame.columns.widths[0])
    items += dish.placed(EDGE_MM, frame.top, f"{table}, head 0", cell=Cell(table, 0, 0))
    for column, texts in enumerate(frame.heads, start=1):
        y = frame.top
        for place, one in enumerate(texts):
            x = frame.columns.lefts[column] + 1.1
            items += one.placed(x, y, f"{table}, head {column}, {place}", cell=Cell(table, 0, column))
            y += one.height + 0.5
    items.append(Rule(EDGE_MM, bottom + 1.4, frame.width - EDGE_MM, bottom + 1.4, house.RULE_PT))
    return items


def _row(frame: _Frame, row: SetRow, y: float, table: str, at: int) -> list[Item]:
    columns = frame.columns
    top = y + row.white.above
    block = f"{table}, row {at}"
    items: list[Item] = [*row.name.placed(EDGE_MM, top + 0.6, f"{block}, name", cell=Cell(table, at, 0))]
    for column, cell in enumerate(row.cells, start=1):
        box = Box(columns.lefts[column], top, columns.widths[column], row.tiles)
        items += placed_cell(cell, box, f"{block}, cell {column}", Cell(table, at, column), row.bands)
    down = top + row.tiles + NOTE_ABOVE_MM
    for place, note in enumerate(row.notes):
        cell_below = Cell(table, at + 1, 1, len(columns.widths) - 1)
        items += note.placed(columns.lefts[1], down, f"{block}, note {place}", cell=cell_below)
        down += note.height + NOTE_BETWEEN_MM
    return items


def _foot(frame: _Frame, number: int) -> list[Item]:
    look = frame.look
    inner = frame.width - 2.0 * EDGE_MM
    y = frame.height - EDGE_MM - frame.foot_height + 4.0
    items: list[Item] = []
    each = (inner - _LEGEND_GAP_MM * (len(frame.legend) - 1)) / len(frame.legend)
    for place, (cell, means) in enumerate(frame.legend):
        x = EDGE_MM + place * (each + _LEGEND_GAP_MM)
        tile = set_cell(cell, look.cells, _LEGEND_TILE_MM, "")
        box = Box(x, y, _LEGEND_TILE_MM, frame.legend_height)
        items += placed_cell(tile, box, f"legend {place}, page {number}", None)
        items += means.placed(x + _LEGEND_TILE_MM + 2.0, y + PAD_Y_MM, f"legend {place} means, page {number}")
    y += frame.legend_height + 3.0
    items += frame.caution.placed(EDGE_MM, y, f"caution, page {number}")
    return [*items, *_signature(frame, y, number)]


def _signature(frame: _Frame, y: float, number: int) -> list[Item]:
    """Return the words with lines to write on behind them."""
    words, look = frame.words, frame.look
    style = replace(look.strong, role="body")
    done = [set_text(text, style, 60.0) for text in (words.checked_by, words.checked_on)]
    # The last line of the caution and the line to write on stand on one height, the signature ends with the table.
    base = y + max(frame.caution.height - frame.caution.drop, 6.0)
    room = frame.width - EDGE_MM - (EDGE_MM + frame.caution.width + 12.0)
    blank = room - sum(one.lines[0].width for one in done) - 3.0 * _SIGN_GAP_MM
    x = frame.width - EDGE_MM - room
    items: list[Item] = []
    for place, (text, share) in enumerate(zip(done, (0.68, 0.32), strict=True)):
        items += text.placed(x, base - text.rise, f"signature {place}, page {number}")
        x += text.lines[0].width + _SIGN_GAP_MM
        end = x + share * blank
        items.append(Rule(x, base + 0.3, end, base + 0.3, house.HAIRLINE_PT))
        x = end + _SIGN_GAP_MM
    return items
