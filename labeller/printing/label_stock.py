"""The labels a printer holds: a sheet of them, named by its geometry alone, or a roll with one label to a page."""

from collections.abc import Sequence
from dataclasses import dataclass

from labeller.printing.page import Page
from labeller.printing.sheet_words import (
    SheetWordsError,
    check_start,
    parse_gap,
    parse_grid,
    parse_label_size,
    parse_margin,
    parse_sheet,
)
from labeller.printing.sheets import (
    COMMON_GRIDS,
    NO_MARGINS,
    PRINTER_MARGINS,
    Grid,
    Piece,
    label_grid,
    put_on_roll,
    put_on_sheets,
)

USUAL_SHEETS = {"a4": "A4 2x5 99.1x57", "letter": "Letter 2x5 101.6x50.8"}
"""The sheet of labels where only the paper is told."""
LEAST_SIDE_MM = 15.0
"""No label with a shorter side is taken: nothing could be read on it."""
_SAME_MM = 0.05


@dataclass(frozen=True, slots=True)
class LabelStock:
    """What labels are printed on; ``grid`` is None for a roll. Lengths in millimetres.

    ``edge`` is what must stay clear at the edges of a label where no grid tells it.
    """

    width: float
    height: float
    grid: Grid | None
    start_at: int = 1
    edge: float = 0.0

    @property
    def clear_edge(self) -> float:
        """How far a printer's own margin reaches into the labels at the edge of a sheet. [mm]"""
        return self.grid.clear_edge(PRINTER_MARGINS) if self.grid is not None else self.edge

    @property
    def as_words(self) -> str:
        """Return it in words: 'labels of 63.5x38.1 mm, 3x7 on a sheet of 210x297 mm'."""
        size = f"labels of {self.width:g}x{self.height:g} mm"
        if self.grid is None:
            return f"{size} on a roll"
        one = self.grid
        return f"{size}, {one.columns}x{one.rows} on a sheet of {one.sheet_width:g}x{one.sheet_height:g} mm"

    def pages(self, pieces: Sequence[Piece]) -> tuple[Page, ...]:
        """Return the pages with labels on them, in the order given."""
        if self.grid is None:
            return put_on_roll(pieces, NO_MARGINS)
        return put_on_sheets(pieces, self.grid, start_at=self.start_at)


def parse_stock(
    *,
    paper: str | None = None,
    label: str | None = None,
    grid: str | None = None,
    margin: str | None = None,
    gap: str | None = None,
    start_at: int = 1,
    roll: bool = False,
) -> LabelStock:
    """Return the labels meant by what was written after ``--paper``, ``--label`` and the others.

    Notes
    -----
    Without a size the usual sheet of the paper is taken (`USUAL_SHEETS`). A size alone is looked up among sheets as they are sold; else as many
    as fit, edge to edge and centred.

    Raises
    ------
    SheetWordsError
        If it does not fit together, with the mend.
    """
    size = parse_label_size(label) if label is not None else None
    if size is not None and min(size) < LEAST_SIDE_MM:
        raise SheetWordsError(
            f"--label: nothing can be read on a label of {size[0]:g}x{size[1]:g} mm. Write one whose sides are {LEAST_SIDE_MM:g} mm or more."
        )
    if roll:
        for flag, given in (("--paper", paper), ("--grid", grid), ("--margin", margin), ("--gap", gap)):
            if given is not None:
                raise SheetWordsError(f"{flag}: a roll has one label to a page. Leave {flag} away, or --roll.")
        if start_at != 1:
            raise SheetWordsError("--start-at: a roll has no sheet to begin on. Leave --start-at away, or --roll.")
        return LabelStock(*(size or (99.1, 57.0)), None)
    found = _grid(paper or "A4", size, grid, margin, gap)
    return LabelStock(found.label_width, found.label_height, found, check_start(start_at, found.labels))


def _grid(paper: str, size: tuple[float, float] | None, grid: str | None, margin: str | None, gap: str | None) -> Grid:
    sheet = parse_sheet(paper, "--paper")
    if size is None:
        for flag, given in (("--grid", grid), ("--margin", margin), ("--gap", gap)):
            if given is not None:
                raise SheetWordsError(
                    f"{flag}: '{given}' needs the size of a label as well, such as --label 63.5x38.1."
                )
        usual = USUAL_SHEETS.get(paper.strip().lower())
        if usual is None:
            raise SheetWordsError(
                f"--paper: for a sheet of '{paper}' write the size of its labels, such as --label 63.5x38.1."
            )
        return COMMON_GRIDS[usual]
    count = parse_grid(grid) if grid is not None else None
    if margin is None and gap is None:
        for one in COMMON_GRIDS.values():
            same = (one.sheet_width, one.sheet_height) == sheet and _close(size, (one.label_width, one.label_height))
            if same and count in (None, (one.columns, one.rows)):
                return one
    between = parse_gap(gap) if gap is not None else (0.0, 0.0)
    edge = parse_margin(margin) if margin is not None else None
    if count is None:
        top, left = edge or (0.0, 0.0)
        across = int((sheet[0] - left + between[0] + _SAME_MM) // (size[0] + between[0]))
        down = int((sheet[1] - top + between[1] + _SAME_MM) // (size[1] + between[1]))
        count = (max(across, 1), max(down, 1))
    return label_grid(sheet, size, count, edge, between)


def _close(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return abs(one[0] - other[0]) < _SAME_MM and abs(one[1] - other[1]) < _SAME_MM
