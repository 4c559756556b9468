"""Nutrition Facts as 21 CFR 101.9(d)(11)(iii) draws it where there is no height for the vertical form: side by side.

Letters are as large as in the vertical form, though some displays may have smaller ones.
"""

from labeller.declarations.panel_content import Panel, PanelLine
from labeller.printing.faces import MM_PER_POINT
from labeller.printing.panel_facts import (
    amount_head,
    calories_line,
    footnote,
    heading,
    least_inner,
    nutrient_row,
    row_width,
    servings_lines,
)
from labeller.printing.panel_sheet import (
    PanelSheet,
    PanelTooNarrowError,
    cap_mm,
    drop_mm,
    least_points,
    pointed,
    points_of,
)
from labeller.printing.setting import set_text
from labeller.printing.sheets import Piece

_GAP_MM = 3.5
_FIRST_MM = 47.0
_NOTE_MM = 38.0


def lay_out_tabular(panel: Panel, width_mm: float | None) -> Piece:
    """Return Nutrition Facts side by side in a width; without a width as wide as it wants to be. [mm]

    Raises
    ------
    PanelTooNarrowError
        If it cannot be drawn in that width at the sizes the law asks for.
    """
    pad = (points_of(panel, "box", 0.5) + points_of(panel, "inside the box", 3.0)) * MM_PER_POINT
    halves = _halves(panel.part("nutrients"))
    heads = _heads_width(panel)
    minerals = panel.part("minerals")
    rows = [(*half, *minerals[number :: len(halves)]) for number, half in enumerate(halves)]
    wide = [max(heads, *(row_width(panel, line) for line in each)) + 1.0 for each in rows]
    first = max(_FIRST_MM, least_inner(panel, rows_whole=False, lines=()))
    needed = first + sum(wide) + _NOTE_MM + 3 * _GAP_MM + 2 * pad
    width = width_mm or needed
    if width < needed - 1e-6:
        raise PanelTooNarrowError(panel.name, width, needed + 0.5)
    spare = (width - needed) / 2.0
    wide = [one + spare for one in wide]
    sheet = PanelSheet(width, pad, width - pad, pad)
    _first_block(sheet, panel, first)
    bottoms = [sheet.y]
    left = sheet.left + first + _GAP_MM
    right = left + sum(wide) + _GAP_MM
    sheet.y = pad
    sheet.bar(points_of(panel, "heavy bar", 7.0), left, right)
    top = sheet.y
    x = left
    ends = []
    edges: list[tuple[float, float]] = []
    for half, column in zip(halves, wide, strict=True):
        sheet.y = top
        _column_head(sheet, panel, x, x + column)
        for line in half:
            nutrient_row(sheet, panel, line, x, x + column)
        ends.append(sheet.y)
        edges.append((x, x + column))
        x += column + _GAP_MM
    sheet.y = max(ends)
    sheet.bar(points_of(panel, "heavy bar", 7.0), left, right)
    _minerals(sheet, panel, tuple(edges), left, right)
    bottoms.append(sheet.y)
    sheet.y = pad
    footnote(sheet, panel, right + _GAP_MM, sheet.right - right - _GAP_MM)
    bottoms.append(sheet.y)
    sheet.y = max(bottoms) + pad
    sheet.boxed(points_of(panel, "box", 0.5))
    return sheet.piece(panel.name)


def _halves(lines: tuple[PanelLine, ...]) -> tuple[tuple[PanelLine, ...], tuple[PanelLine, ...]]:
    """Return the lines in two columns: what stands in stays with what it belongs to."""
    at = (len(lines) + 1) // 2
    while at < len(lines) and lines[at].indent:
        at += 1
    return lines[:at], lines[at:]


def _heads_width(panel: Panel) -> float:
    style = pointed(7.0, bold=True)
    texts = (panel.word("amount"), panel.percent_head[0])
    return sum(set_text(text, style, 500.0).lines[0].width for text in texts) + 4.0


def _first_block(sheet: PanelSheet, panel: Panel, width: float) -> None:
    """Set heading, servings and Calories; a bar parts Calories from the serving size."""
    block = PanelSheet(sheet.width, sheet.left, sheet.left + width, sheet.y, sheet.items, sheet.rows, sheet.blocks)
    heading(block, panel, full_width=True)
    block.hairline(points_of(panel, "hairline", 0.25))
    servings_lines(block, panel, block.left, block.right)
    block.down(2.0)
    block.bar(points_of(panel, "bar", 3.0))
    amount_head(block, panel)
    calories_line(block, panel, block.left, block.right)
    block.down(3.0)
    sheet.y, sheet.rows, sheet.blocks = block.y, block.rows, block.blocks


def _column_head(sheet: PanelSheet, panel: Panel, left: float, right: float) -> None:
    law = panel.law
    amount = pointed(7.0, bold=True, role="table head", least_pt=least_points(law, "amount per serving"))
    percent = pointed(
        7.0, bold=True, role="table head", least_pt=least_points(law, "daily value heading"), align="right"
    )
    sheet.down(2.0)
    sheet.y += cap_mm(amount)
    sheet.rows += 1
    sheet.place(set_text(panel.word("amount"), amount, right - left), left, sheet.y, column=0)
    sheet.place(set_text(panel.percent_head[0], percent, right - left), left, sheet.y, column=1)
    sheet.y += drop_mm(amount)
    sheet.down(1.0)


def _minerals(
    sheet: PanelSheet, panel: Panel, edges: tuple[tuple[float, float], ...], left: float, right: float
) -> None:
    """Set vitamins and minerals in two columns, along the lines (21 CFR 101.9(d)(8))."""
    lines = panel.part("minerals")
    for number in range(0, len(lines), len(edges)):
        top = sheet.y
        ends = []
        for line, (x1, x2) in zip(lines[number : number + len(edges)], edges, strict=False):
            sheet.y = top
            nutrient_row(sheet, panel, line, x1, x2, hairline=number > 0)
            ends.append(sheet.y)
        sheet.y = max(ends)
    sheet.bar(points_of(panel, "bar", 3.0), left, right)
