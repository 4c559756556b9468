"""Sheets of labels and cards: where each lies, and what is laid out put on them. Lengths are millimetres from the top left corner."""

from collections.abc import Sequence
from dataclasses import dataclass

from labeller.printing.page import Box, Item, Margins, Page, Rule, moved
from labeller.printing.sheet_words import SheetWordsError, check_start

TOLERANCE_MM = 0.05
"""How much a grid may reach beyond its sheet: sizes are given to a tenth of a millimetre."""

PRINTER_MARGINS = Margins(4.0, 4.0, 4.0, 4.0)
"""What office printers commonly leave white at each edge; common practice, no source. [mm]"""
NO_MARGINS = Margins(0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Grid:
    """Labels of one size on a sheet. [mm]

    ``top`` and ``left`` are the first label's distance from the edges, ``gap_x`` and ``gap_y`` lie between neighbours.
    """

    sheet_width: float
    sheet_height: float
    label_width: float
    label_height: float
    columns: int
    rows: int
    top: float
    left: float
    gap_x: float = 0.0
    gap_y: float = 0.0

    @property
    def labels(self) -> int:
        """How many labels a sheet has."""
        return self.columns * self.rows

    def cell(self, number: int) -> Box:
        """Return where a label lies, counted from 0 along the rows."""
        row, column = divmod(number, self.columns)
        x = self.left + column * (self.label_width + self.gap_x)
        y = self.top + row * (self.label_height + self.gap_y)
        return Box(x, y, self.label_width, self.label_height)

    @property
    def cells(self) -> tuple[Box, ...]:
        """Where every label lies, along the rows."""
        return tuple(self.cell(number) for number in range(self.labels))

    def clear_edge(self, margins: Margins) -> float:
        """Return how far into a label what the printer cannot reach extends at most; 0 where it reaches all labels whole. [mm]

        What is laid out for any label of the sheet must leave so much clear at its edges.
        """
        first, last = self.cell(0), self.cell(self.labels - 1)
        return max(
            0.0,
            margins.left - first.x,
            margins.top - first.y,
            last.right - (self.sheet_width - margins.right),
            last.bottom - (self.sheet_height - margins.bottom),
        )


def label_grid(
    sheet: tuple[float, float],
    label: tuple[float, float],
    grid: tuple[int, int],
    margin: tuple[float, float] | None = None,
    gap: tuple[float, float] = (0.0, 0.0),
) -> Grid:
    """Return where labels lie on a sheet.

    Parameters
    ----------
    sheet, label : (width, height)
        Sizes. [mm]
    grid : (across, down)
        How many labels.
    margin : (top, left), optional
        Of the first label from the edges; the labels are centred if not given. [mm]
    gap : (across, down)
        Between neighbours. [mm]

    Raises
    ------
    SheetWordsError
        If they do not fit the sheet, with the figures.
    """
    width = grid[0] * label[0] + (grid[0] - 1) * gap[0]
    height = grid[1] * label[1] + (grid[1] - 1) * gap[1]
    top, left = margin if margin is not None else ((sheet[1] - height) / 2.0, (sheet[0] - width) / 2.0)
    given = margin is not None
    _hold(grid[0], label[0], gap[0], left if given else 0.0, sheet[0], "across", "wide")
    _hold(grid[1], label[1], gap[1], top if given else 0.0, sheet[1], "down", "high")
    return Grid(*sheet, *label, *grid, max(0.0, top), max(0.0, left), *gap)


def _hold(count: int, length: float, gap: float, margin: float, sheet: float, way: str, measure: str) -> None:
    needed = margin + count * length + (count - 1) * gap
    if needed <= sheet + TOLERANCE_MM:
        return
    gaps = f" + {count - 1} gaps of {gap:g}" if gap and count > 1 else ""
    edge = f"{margin:g} margin + " if margin else ""
    raise SheetWordsError(
        f"{count} labels {way} need {edge}{count} x {length:g}{gaps} = {needed:g} mm; the sheet is {sheet:g} mm {measure}. "
        f"Write fewer labels, a smaller label or margin, or another sheet."
    )


# Sheets of labels as they are sold, named by their geometry alone; common practice, no source.
COMMON_GRIDS: dict[str, Grid] = {
    "A4 2x4 99.1x67.7": label_grid((210.0, 297.0), (99.1, 67.7), (2, 4), gap=(2.5, 0.0)),
    "A4 2x4 105x74": label_grid((210.0, 297.0), (105.0, 74.0), (2, 4)),
    "A4 2x5 99.1x57": label_grid((210.0, 297.0), (99.1, 57.0), (2, 5), gap=(2.5, 0.0)),
    "A4 2x7 99.1x38.1": label_grid((210.0, 297.0), (99.1, 38.1), (2, 7), gap=(2.5, 0.0)),
    "A4 3x7 63.5x38.1": label_grid((210.0, 297.0), (63.5, 38.1), (3, 7), gap=(2.5, 0.0)),
    "A4 3x8 70x36": label_grid((210.0, 297.0), (70.0, 36.0), (3, 8)),
    "A4 4x10 48.5x25.4": label_grid((210.0, 297.0), (48.5, 25.4), (4, 10)),
    "Letter 2x5 101.6x50.8": label_grid((215.9, 279.4), (101.6, 50.8), (2, 5), gap=(4.8, 0.0)),
    "Letter 3x10 66.7x25.4": label_grid((215.9, 279.4), (66.7, 25.4), (3, 10), gap=(3.1, 0.0)),
}


@dataclass(frozen=True, slots=True)
class Piece:
    """What is laid out once, from its own top left corner, to be put on a sheet: a label, a card. [mm]"""

    name: str
    width: float
    height: float
    items: tuple[Item, ...]


def put_on_sheets(
    pieces: Sequence[Piece],
    grid: Grid,
    *,
    start_at: int = 1,
    margins: Margins = PRINTER_MARGINS,
    crop_marks: bool = False,
) -> tuple[Page, ...]:
    """Return sheets with pieces on them, along the rows, the next sheet begun when one is full.

    Parameters
    ----------
    pieces : sequence of Piece
        In the order of printing; a copy is the same piece once more.
    grid : Grid
        Where they lie.
    start_at : int
        The first place used on the first sheet, from 1: a sheet begun before.
    margins : Margins
        What the printer cannot reach. [mm]
    crop_marks : bool
        Whether marks to cut by are drawn.
    """
    check_start(start_at, grid.labels)
    pages: list[Page] = []
    place = start_at - 1
    items: list[Item] = []
    used: list[Box] = []

    def close() -> None:
        page = Page(grid.sheet_width, grid.sheet_height, tuple(items), margins)
        marks = _crop_marks(grid, page) if crop_marks else ()
        pages.append(Page(page.width, page.height, (*items, *marks), margins))

    for count, piece in enumerate(pieces, start=1):
        if place == grid.labels:
            close()
            items, used, place = [], [], 0
        cell = grid.cell(place)
        # Printed size is the layout's own: a piece made for another size is a bug of the caller.
        if abs(piece.width - cell.width) > TOLERANCE_MM or abs(piece.height - cell.height) > TOLERANCE_MM:
            raise ValueError(
                f"'{piece.name}' is laid out for {piece.width:g}x{piece.height:g}, the sheet has {cell.width:g}x{cell.height:g}."
            )
        items += [moved(item, cell.x, cell.y, f"{piece.name} ({count})") for item in piece.items]
        used.append(cell)
        place += 1
    if items or used:
        close()
    return tuple(pages)


def put_on_roll(pieces: Sequence[Piece], margins: Margins = NO_MARGINS) -> tuple[Page, ...]:
    """Return one page for each piece, of its own size."""
    return tuple(
        Page(
            piece.width,
            piece.height,
            tuple(moved(item, 0.0, 0.0, f"{piece.name} ({count})") for item in piece.items),
            margins,
        )
        for count, piece in enumerate(pieces, start=1)
    )


def cards_on_sheet(sheet: tuple[float, float], card: tuple[float, float]) -> Grid:
    """Return how most cards lie on a sheet, upright or turned, edge to edge and centred, to be cut apart.

    Raises
    ------
    SheetWordsError
        If not even one fits.
    """
    ways = []
    for width, height in (sheet, (sheet[1], sheet[0])):
        columns, rows = (int((have + TOLERANCE_MM) // need) for have, need in ((width, card[0]), (height, card[1])))
        if columns and rows:
            ways.append((columns * rows, columns, rows, width, height))
    if not ways:
        raise SheetWordsError(
            f"A card of {card[0]:g}x{card[1]:g} mm does not fit a sheet of {sheet[0]:g}x{sheet[1]:g} mm. Write a smaller card or a larger sheet."
        )
    # Of two ways with as many cards the sheet as it was given comes first.
    _, columns, rows, width, height = max(ways, key=lambda way: way[0])
    return label_grid((width, height), card, (columns, rows))


_MARK_MM = 4.0
_MARK_FROM_CARD_MM = 1.5
_LEAST_MARK_MM = 2.0
_MARK_PT = 0.25


def _crop_marks(grid: Grid, page: Page) -> tuple[Rule, ...]:
    """Return marks at the ends of every line to cut along.

    They stand outside the cards where the sheet has room; where cards fill it to the edge they lie on the cut itself, from the printable edge inwards.
    """
    cells = grid.cells
    first, last = cells[0], cells[-1]
    reach = page.printable
    across = sorted({round(edge, 3) for cell in cells for edge in (cell.x, cell.right)})
    down = sorted({round(edge, 3) for cell in cells for edge in (cell.y, cell.bottom)})
    marks: list[Rule] = []
    for x in across:
        if reach.x + TOLERANCE_MM < x < reach.right - TOLERANCE_MM:
            for near, far in (_ends(first.y, reach.y, 1.0), _ends(last.bottom, reach.bottom, -1.0)):
                marks.append(Rule(x, near, x, far, _MARK_PT, crop=True))
    for y in down:
        if reach.y + TOLERANCE_MM < y < reach.bottom - TOLERANCE_MM:
            for near, far in (_ends(first.x, reach.x, 1.0), _ends(last.right, reach.right, -1.0)):
                marks.append(Rule(near, y, far, y, _MARK_PT, crop=True))
    return tuple(marks)


def _ends(card_edge: float, reach_edge: float, inwards: float) -> tuple[float, float]:
    """Return where a mark begins and ends, between a card's edge and the edge a printer reaches; ``inwards`` is 1 or -1."""
    room = (card_edge - reach_edge) * inwards - _MARK_FROM_CARD_MM
    if room >= _LEAST_MARK_MM:
        near = card_edge - inwards * _MARK_FROM_CARD_MM
        return near, near - inwards * min(room, _MARK_MM)
    return reach_edge, reach_edge + inwards * _MARK_MM
