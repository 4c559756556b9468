"""Nutrition Facts / Valeur nutritive: the bilingual standard table of Canada.

As the Directory of Nutrition Facts Table Formats describes its standard table: the rule under the serving goes across, the thick one under
Calories ends after the figure, and saturated and trans fat share one percentage that stands between their two lines.
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
from labeller.printing.setting import SetText, set_text
from labeller.printing.sheets import Piece

_USUAL_WIDTH_MM = 62.0
_PAD_PT = 4.0
_LEADING_PT = 4.0
_LARGEST_TITLE_PT = 19.0
_CALORIES_PT = 12.0
_WIDE_MM = 500.0
_FRENCH = "fr"


def lay_out_bilingual(panel: Panel, width_mm: float | None) -> Piece:
    """Return the table in a width, as high as it comes out. [mm]

    Raises
    ------
    PanelTooNarrowError
        If it cannot be drawn in that width at the sizes the law asks for.
    """
    pad = _PAD_PT * MM_PER_POINT
    width = width_mm or max(_USUAL_WIDTH_MM, _least_inner(panel, rows_whole=True) + 2 * pad)
    sheet = PanelSheet(width, pad, width - pad, pad)
    needed = _least_inner(panel, rows_whole=False)
    if sheet.inner < needed:
        raise PanelTooNarrowError(panel.name, width, needed + 2 * pad + 0.5)
    heavy, bar = points_of(panel, "heavy bar", 2.0), points_of(panel, "bar", 1.0)
    _titles(sheet, panel)
    sheet.down(2.0)
    sheet.bar(bar)
    _calories(sheet, panel, heavy)
    _rows(sheet, panel, panel.part("nutrients"))
    sheet.bar(heavy)
    _rows(sheet, panel, panel.part("minerals"))
    sheet.bar(heavy)
    _statements(sheet, panel)
    sheet.y += pad
    sheet.boxed(points_of(panel, "box", 0.5))
    return sheet.piece(panel.name)


def _least_inner(panel: Panel, *, rows_whole: bool) -> float:
    title = max(text_width_mm(one, "sans-bold", least_points(panel.law, "title of the table")) for one in panel.title)
    style = pointed(8.0, least_pt=least_points(panel.law, "nutrient lines"))
    rows = [0.0]
    for line in panel.lines:
        text = set_text(_line_text(line), style, _WIDE_MM)
        row = (text.lines[0].width if rows_whole else text.widest_word) + line.indent * _indent_mm(panel)
        if line.percent is not None:
            row += 2.0 + text_width_mm(line.percent.text, "sans-bold", style.size_pt)
        rows.append(row)
    energy = panel.part("energy")[0]
    calories = text_width_mm(f"{energy.names[0]} {energy.amounts[0].text}", "sans-bold", _CALORIES_PT)
    percents = max(text_width_mm(one, "sans-bold", 8.0) for one in panel.percent_head)
    return max(title, calories + 2.5 + percents, *rows) + 0.1


def _indent_mm(panel: Panel) -> float:
    return points_of(panel, "indent", 6.0) * MM_PER_POINT


def _titles(sheet: PanelSheet, panel: Panel) -> None:
    least = least_points(panel.law, "title of the table")
    em = max(text_width_mm(one, "sans-bold", 1.0) for one in panel.title)
    size = min(_LARGEST_TITLE_PT, (sheet.inner - 0.01) / em)
    for number, title in enumerate(panel.title):
        style = pointed(size, bold=True, role="title", least_pt=least, language=_language(panel, number))
        sheet.y += rise_mm(title, style)
        sheet.place(set_text(title, style, sheet.inner + 0.1), sheet.left, sheet.y)
        sheet.down(3.0)
    for number in range(len(panel.languages)):
        if panel.serving is None:
            continue
        style = pointed(9.0, role="body", language=_language(panel, number))
        words = set_text(
            panel.word("per portion", number).format(serving=panel.serving.words(number)), style, sheet.inner
        )
        sheet.y += cap_mm(style) + 0.5
        sheet.place(words, sheet.left, sheet.y)
        sheet.y += (len(words.lines) - 1) * words.leading + drop_mm(style)


def _language(panel: Panel, number: int) -> str:
    return panel.languages[number] if panel.languages[number] == _FRENCH else ""


def _calories(sheet: PanelSheet, panel: Panel, heavy: float) -> None:
    line = panel.part("energy")[0]
    style = pointed(_CALORIES_PT, bold=True, role="figures", least_pt=8.0)
    head = pointed(8.0, bold=True, role="table head", least_pt=6.0, align="right")
    words = set_text(f"{line.names[0]} {line.amounts[0].text}", style, sheet.inner)
    heads = [
        set_text(text, replace(head, language=_language(panel, number)), sheet.inner)
        for number, text in enumerate(panel.percent_head)
    ]
    sheet.down(3.0)
    sheet.rows += 1
    first = sheet.y + cap_mm(head)
    leading = (head.size_pt + 1.5) * MM_PER_POINT
    last = first + (len(heads) - 1) * leading
    baseline = max(sheet.y + rise_mm(words.text, style), last - 1.0)
    sheet.place(words, sheet.left, baseline, column=0)
    for number, one in enumerate(heads):
        sheet.place(one, sheet.left, first + number * leading, column=1 + number)
    sheet.y = baseline + drop_mm(style) * 0.6
    sheet.bar(heavy, sheet.left, sheet.left + words.lines[0].width)
    sheet.y = max(sheet.y, last + drop_mm(head)) + 1.0 * MM_PER_POINT


def _rows(sheet: PanelSheet, panel: Panel, lines: tuple[PanelLine, ...]) -> None:
    style = pointed(8.0, least_pt=least_points(panel.law, "nutrient lines"), leading_pt=_LEADING_PT)
    pitch = (style.size_pt + _LEADING_PT) * MM_PER_POINT
    for number, line in enumerate(lines):
        indent = line.indent * _indent_mm(panel)
        if number and not line.indent:
            sheet.hairline(points_of(panel, "hairline", 0.5))
        percent: SetText | None = None
        room = sheet.inner - indent
        if line.percent is not None:
            right = pointed(8.0, bold=not line.percent.known, least_pt=style.size_pt, align="right")
            percent = set_text(line.percent.text, right, sheet.inner)
            room -= percent.lines[0].width + 2.0
        words = set_text(_line_text(line), style, room)
        baseline = sheet.y + pitch / 2.0 + cap_mm(style) / 2.0
        sheet.rows += 1
        sheet.place(words, sheet.left + indent, baseline, column=0)
        if percent is not None:
            # One percentage for two lines stands between them.
            shared = bool(line.percent_with) and number + 1 < len(lines) and lines[number + 1].key == line.percent_with
            sheet.place(percent, sheet.left, baseline + (pitch / 2.0 if shared else 0.0), column=1)
        sheet.y += len(words.lines) * pitch


def _line_text(line: PanelLine) -> MarkedText:
    name = " / ".join(dict.fromkeys(line.names))
    return named(name, line)


def _statements(sheet: PanelSheet, panel: Panel) -> None:
    for number, statement in enumerate(panel.statements):
        style = pointed(7.0, role="small print", least_pt=6.0, leading_pt=1.5, language=_language(panel, number))
        sheet.down(2.5)
        sheet.y += cap_mm(style)
        words = set_text(statement, style, sheet.inner)
        sheet.place(words, sheet.left, sheet.y)
        sheet.y += (len(words.lines) - 1) * words.leading + drop_mm(style)
