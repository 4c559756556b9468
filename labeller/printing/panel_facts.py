"""Nutrition Facts as 21 CFR 101.9(d) draws it, vertically.

Bold are the four headings, the names of nutrients that do not stand in, and their percentages; nothing else (21 CFR 101.9(d)(1)(iv)). Nutrient
lines have four points of leading (21 CFR 101.9(d)(1)(ii)(C)).
"""

from dataclasses import replace

from labeller.declarations.marked_text import MarkedText
from labeller.declarations.panel_content import Panel, PanelLine
from labeller.printing.faces import MM_PER_POINT, text_width_mm
from labeller.printing.panel_sheet import (
    PanelSheet,
    PanelTooNarrowError,
    cap_mm,
    drop_mm,
    least_points,
    named,
    pointed,
    points_of,
    rise_mm,
)
from labeller.printing.setting import Style, set_text
from labeller.printing.sheets import Piece

USUAL_WIDTH_MM = 62.0
LEADING_PT = 4.0
"""Leading of nutrient lines: 21 CFR 101.9(d)(1)(ii)(C)."""
_INDENT_PT = 9.0
_LARGEST_HEADING_PT = 60.0
_NOT_MORE_THAN_ONE = "1"
_WIDE_MM = 500.0


def lay_out_vertical(panel: Panel, width_mm: float | None) -> Piece:
    """Return Nutrition Facts in a width, as high as it comes out. [mm]

    Raises
    ------
    PanelTooNarrowError
        If it cannot be drawn in that width at the sizes the law asks for.
    """
    pad = (points_of(panel, "box", 0.5) + points_of(panel, "inside the box", 3.0)) * MM_PER_POINT
    width = width_mm or max(USUAL_WIDTH_MM, least_inner(panel, rows_whole=True) + 2 * pad + 0.1)
    sheet = PanelSheet(width, pad, width - pad, pad)
    needed = least_inner(panel, rows_whole=False)
    if sheet.inner < needed:
        raise PanelTooNarrowError(panel.name, width, needed + 2 * pad + 0.5)
    heading(sheet, panel, full_width=True)
    _servings(sheet, panel)
    sheet.down(2.0)
    sheet.bar(points_of(panel, "heavy bar", 7.0))
    amount_head(sheet, panel)
    calories_line(sheet, panel, sheet.left, sheet.right)
    sheet.down(2.5)
    sheet.bar(points_of(panel, "bar", 3.0))
    percent_head(sheet, panel, sheet.left, sheet.right)
    for line in panel.part("nutrients"):
        nutrient_row(sheet, panel, line, sheet.left, sheet.right)
    if panel.part("minerals"):
        sheet.bar(points_of(panel, "heavy bar", 7.0))
    for number, line in enumerate(panel.part("minerals")):
        nutrient_row(sheet, panel, line, sheet.left, sheet.right, hairline=number > 0)
    sheet.bar(points_of(panel, "bar", 3.0))
    footnote(sheet, panel, sheet.left, sheet.inner)
    sheet.y += pad
    sheet.boxed(points_of(panel, "box", 0.5))
    return sheet.piece(panel.name)


def least_inner(panel: Panel, *, rows_whole: bool, lines: tuple[PanelLine, ...] | None = None) -> float:
    """Return the narrowest width for words: heading and Calories on one line each; rows on one line too, or down to their longest word. [mm]"""
    law = panel.law
    word, figure = least_points(law, "calories word"), least_points(law, "calories figure")
    energy = panel.part("energy")[0]
    calories = (
        text_width_mm(energy.names[0], "sans-bold", word)
        + 2.0
        + text_width_mm(energy.amounts[0].text, "sans-bold", figure if energy.known else word)
    )
    heading_width = text_width_mm(panel.title[0], "sans-bold", max(word, 1.0))
    if lines is None:
        lines = (*panel.part("nutrients"), *panel.part("minerals"))
    rows = [row_width(panel, line, whole=rows_whole) for line in lines]
    return max(calories, heading_width, *rows, 0.0) + 0.1


def row_width(panel: Panel, line: PanelLine, *, whole: bool = True) -> float:
    """Return how wide a nutrient line is in one line, or its longest word with its percentage. [mm]"""
    style = nutrient_style(panel)
    words = set_text(line_text(line), style, _WIDE_MM)
    row = (words.lines[0].width if whole else words.widest_word) + _indent(line)
    if line.percent is not None:
        row += 2.0 + text_width_mm(line.percent.text, "sans-bold", style.size_pt)
    return row


def heading(sheet: PanelSheet, panel: Panel, *, full_width: bool) -> None:
    """Set the heading: across the whole width, and no smaller than any print but the figure of Calories (21 CFR 101.9(d)(2))."""
    least = max(least_points(panel.law, "calories word"), least_points(panel.law, "servings"))
    if full_width:
        em = text_width_mm(panel.title[0], "sans-bold", 1.0)
        size = min(_LARGEST_HEADING_PT, (sheet.inner - 0.01) / em)
    else:
        size = least
    style = pointed(max(size, least), bold=True, role="title", least_pt=least)
    sheet.y += rise_mm(panel.title[0], style)
    sheet.place(set_text(panel.title[0], style, sheet.inner + 0.1), sheet.left, sheet.y)
    sheet.down(3.5)


def _servings(sheet: PanelSheet, panel: Panel) -> None:
    """Set servings per container, not bold, and serving size, bold, its amount on the right (21 CFR 101.9(d)(3))."""
    sheet.hairline(points_of(panel, "hairline", 0.25))
    servings_lines(sheet, panel, sheet.left, sheet.right)


def servings_lines(sheet: PanelSheet, panel: Panel, left: float, right: float) -> None:
    """Set the two lines between two edges. [mm]"""
    law, width = panel.law, right - left
    sheet.down(2.0)
    if panel.servings != _NOT_MORE_THAN_ONE:
        least = least_points(law, "servings")
        style = pointed(10.0, role="body", least_pt=least)
        sheet.y += cap_mm(style)
        sheet.down(1.0)
        text = set_text(panel.word("servings").format(count=panel.servings), style, width)
        sheet.place(text, left, sheet.y)
        sheet.y += (len(text.lines) - 1) * text.leading + drop_mm(style)
    least = least_points(law, "serving size")
    style = pointed(10.0, bold=True, role="body", least_pt=least)
    size = panel.serving.words() if panel.serving is not None else ""
    sheet.y += rise_mm(size, style)
    sheet.down(1.0)
    name = set_text(panel.word("serving size"), style, width)
    amount = set_text(size, pointed(10.0, bold=True, role="body", least_pt=least, align="right"), width)
    together = name.lines[0].width + 2.0 + max(line.width for line in amount.lines) <= width
    sheet.place(name, left, sheet.y)
    if not (together and len(amount.lines) == 1):
        sheet.y += name.leading
    sheet.place(amount, left, sheet.y)
    sheet.y += (len(amount.lines) - 1) * amount.leading + drop_mm(style)


def amount_head(sheet: PanelSheet, panel: Panel) -> None:
    """Set the heading over Calories, bold (21 CFR 101.9(d)(4))."""
    head = pointed(7.0, bold=True, role="body", least_pt=least_points(panel.law, "amount per serving"))
    sheet.down(2.5)
    sheet.y += cap_mm(head)
    sheet.place(set_text(panel.word("amount"), head, sheet.inner), sheet.left, sheet.y)
    sheet.y += drop_mm(head)
    sheet.down(1.5)


def calories_line(sheet: PanelSheet, panel: Panel, left: float, right: float) -> None:
    """Set the word Calories and its figure, both bold, on one base line (21 CFR 101.9(d)(5))."""
    law, line = panel.law, panel.part("energy")[0]
    word = pointed(16.0, bold=True, role="figures", least_pt=least_points(law, "calories word"))
    figure_pt = least_points(law, "calories figure") if line.known else word.size_pt
    figure = pointed(22.0 if line.known else figure_pt, bold=True, role="figures", least_pt=figure_pt, align="right")
    sheet.y += max(rise_mm(line.names[0], word), rise_mm(line.amounts[0].text, figure))
    sheet.rows += 1
    sheet.place(set_text(line.names[0], word, right - left), left, sheet.y, column=0)
    sheet.place(set_text(line.amounts[0].text, figure, right - left), left, sheet.y, column=1)


def percent_head(sheet: PanelSheet, panel: Panel, left: float, right: float) -> None:
    """Set the heading of the percentages, bold, on the right (21 CFR 101.9(d)(6))."""
    style = pointed(
        7.0, bold=True, role="table head", least_pt=least_points(panel.law, "daily value heading"), align="right"
    )
    sheet.down(2.5)
    sheet.y += cap_mm(style)
    sheet.rows += 1
    sheet.place(set_text(panel.percent_head[0], style, right - left), left, sheet.y, column=1)
    sheet.down(2.5)


def nutrient_style(panel: Panel) -> Style:
    """Return the style of nutrient lines: eight points on twelve (21 CFR 101.9(d)(7), (8))."""
    return pointed(8.0, least_pt=least_points(panel.law, "nutrient lines"), leading_pt=LEADING_PT)


def line_text(line: PanelLine) -> MarkedText:
    """Return name and amount of a nutrient line, the name bold where the law wants it."""
    return named(line.names[0], line)


def _indent(line: PanelLine) -> float:
    return line.indent * _INDENT_PT * MM_PER_POINT


def nutrient_row(
    sheet: PanelSheet, panel: Panel, line: PanelLine, left: float, right: float, *, hairline: bool = True
) -> None:
    """Set one nutrient between two edges, the hairline above it. [mm]

    A line that stands in twice ("Includes .. Added Sugars") has its hairline from its own edge, all others across the width.
    """
    text, style = _styled(panel, line)
    indent = _indent(line)
    if hairline:
        from_x = left + (indent if line.indent > 1 else 0.0)
        sheet.hairline(points_of(panel, "hairline", 0.25), from_x, right)
    percent_width = 0.0
    percent = None
    if line.percent is not None:
        bold = line.part != "minerals" or not line.percent.known
        right_style = pointed(
            8.0,
            bold=bold,
            least_pt=least_points(panel.law, "nutrient lines"),
            leading_pt=LEADING_PT,
            align="right",
        )
        percent = set_text(line.percent.text, right_style, right - left)
        percent_width = percent.lines[0].width + 2.0
    words = set_text(text, style, right - left - indent - percent_width)
    pitch = (style.size_pt + LEADING_PT) * MM_PER_POINT
    baseline = sheet.y + pitch / 2.0 + cap_mm(style) / 2.0
    sheet.rows += 1
    sheet.place(words, left + indent, baseline, column=0)
    if percent is not None:
        sheet.place(percent, left, baseline, column=1)
    sheet.y += len(words.lines) * pitch


def _styled(panel: Panel, line: PanelLine) -> tuple[MarkedText, Style]:
    """Return a line's words and style: "Trans" in italics, which set it apart from nothing (21 CFR 101.9(c)(2)(ii))."""
    text, style = line_text(line), nutrient_style(panel)
    word = panel.word("italic")
    if word and not line.bold and line.known and text.text.startswith(f"{word} "):
        return MarkedText(text.text, ((0, len(word)),)), replace(style, strong="sans-italic")
    return text, style


def footnote(sheet: PanelSheet, panel: Panel, left: float, width: float) -> None:
    """Set the prescribed words under the table, its star hung out (21 CFR 101.9(d)(9))."""
    style = pointed(6.5, role="small print", least_pt=least_points(panel.law, "footnote"), leading_pt=1.2)
    for statement in panel.statements:
        sheet.down(2.5)
        sheet.y += cap_mm(style)
        words = set_text(statement, style, width)
        sheet.place(words, left, sheet.y)
        sheet.y += (len(words.lines) - 1) * words.leading + drop_mm(style)
