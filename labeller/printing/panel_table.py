"""The nutrition declaration as a plain table with aligned figures: the European Union, Great Britain, Australia and New Zealand, Codex.

Letters are no smaller than the law's least x-height (Regulation (EU) No 1169/2011, Article 13(2) and (3), where it is the law); where a
table is too wide they shrink to it, then names go on to a second line, then the table is refused with the width it needs.
"""

from dataclasses import dataclass, replace

from labeller.declarations.panel_content import Panel, PanelLine
from labeller.printing import house
from labeller.printing.faces import size_pt_for_x_height, text_width_mm
from labeller.printing.lawful_letters import least_letters
from labeller.printing.panel_sheet import PanelSheet, PanelTooNarrowError, cap_mm, drop_mm
from labeller.printing.setting import Style, set_text
from labeller.printing.sheets import Piece

_BODY_PT = 8.0
_LEAST_PT = 6.0
"""Our own least size where a law sets none: common practice, no source. [pt]"""
_PAD_MM = 3.0
_GAP_MM = 3.0
_ROW_MM = 1.9
_INDENT_MM = 3.0
_STEP_PT = 0.1
_WIDE_MM = 500.0
_TIGHT_GAP_MM = 1.8
_TIGHT_PAD_MM = 2.0
_HEAD_LINES = 2
_SHORT_HEAD_MM = 17.0
_USUAL_WIDTH_MM = 78.0


@dataclass(frozen=True, slots=True)
class _Plan:
    """Widths of the columns at one size. [mm, pt]"""

    size_pt: float
    names_mm: float
    columns_mm: tuple[float, ...]
    gap_mm: float
    pad_mm: float

    @property
    def width(self) -> float:
        return self.names_mm + sum(self.columns_mm) + self.gap_mm * len(self.columns_mm) + 2 * self.pad_mm


def lay_out_table(panel: Panel, width_mm: float | None, face_area_cm2: float | None = None) -> Piece:
    """Return the table in a width, as high as it comes out; without a width as wide as it wants to be. [mm]

    Raises
    ------
    PanelTooNarrowError
        If it cannot be drawn in that width at the letter size the law asks for.
    """
    least_mm = least_letters(panel.law, face_area_cm2).least
    least_pt = max(size_pt_for_x_height(least_mm, name) for name in ("sans", "sans-bold")) or _LEAST_PT
    styles = _Styles(least_mm)
    plan = _plan(panel, styles, width_mm, least_pt)
    width = width_mm or max(_USUAL_WIDTH_MM, plan.width)
    sheet = PanelSheet(width, plan.pad_mm, width - plan.pad_mm, plan.pad_mm)
    names_mm = sheet.inner - sum(plan.columns_mm) - plan.gap_mm * len(plan.columns_mm)
    _head(sheet, panel, styles, plan)
    _column_heads(sheet, panel, styles, plan, names_mm)
    for number, line in enumerate(panel.lines):
        _row(sheet, panel, line, styles, plan, names_mm, first=number == 0)
    sheet.bar(house.RULE_PT)
    _statements(sheet, panel, styles, plan)
    sheet.y += plan.pad_mm
    sheet.boxed(house.RULE_PT)
    return sheet.piece(panel.name)


@dataclass(frozen=True, slots=True)
class _Styles:
    least_mm: float

    def cell(self, size_pt: float, *, bold: bool = False, right: bool = False, head: bool = False) -> Style:
        return Style(
            "sans-bold" if bold else "sans",
            "sans-bold",
            size_pt,
            1.2,
            "right" if right else "left",
            "table head" if head else "table cell",
            least_x_height_mm=self.least_mm,
        )

    def words(self, size_pt: float) -> Style:
        return Style("sans", "sans-bold", size_pt, 1.25, role="body", least_x_height_mm=self.least_mm)

    def title(self, size_pt: float) -> Style:
        return Style("sans-bold", "sans-bold", size_pt, 1.15, role="title", least_x_height_mm=self.least_mm)


def _plan(panel: Panel, styles: _Styles, width_mm: float | None, least_pt: float) -> _Plan:
    size = max(_BODY_PT, least_pt)
    if width_mm is None:
        return _at(panel, styles, size, tight=False)
    while True:
        plan = _at(panel, styles, size, tight=False)
        if plan.width <= width_mm + 1e-6:
            return plan
        if size <= least_pt + 1e-9:
            break
        size = max(least_pt, size - _STEP_PT)
    tight = _at(panel, styles, least_pt, tight=True)
    if tight.width > width_mm + 1e-6:
        raise PanelTooNarrowError(panel.name, width_mm, tight.width + 0.5)
    return tight


def _at(panel: Panel, styles: _Styles, size: float, *, tight: bool) -> _Plan:
    """Return the widths the columns want at a size: figures whole; names whole and heads in few lines, or, where it is tight, down to their longest words."""
    cell, head = styles.cell(size), styles.cell(size, bold=True, head=True)
    head_width = _longest_word if tight else _head_width
    columns: list[float] = []
    for number, column in enumerate(panel.columns):
        figures = max(
            _width(line.amounts[number].text, styles.cell(size, bold=not line.amounts[number].known))
            for line in panel.lines
        )
        columns.append(max(figures, head_width(column.head, head)))
    if panel.percent_head:
        percents = max((_width(one.percent.text, head) for one in panel.lines if one.percent is not None), default=0.0)
        columns.append(max(percents, head_width(panel.percent_head[0], head)))
    names = 0.0
    for line in panel.lines:
        for name in line.names[:1]:
            whole = set_text(name, cell, _WIDE_MM)
            names = max(names, (whole.widest_word if tight else whole.lines[0].width) + _indent(line))
    gap, pad = (_TIGHT_GAP_MM, _TIGHT_PAD_MM) if tight else (_GAP_MM, _PAD_MM)
    return _Plan(size, names + 0.02, tuple(one + 0.02 for one in columns), gap, pad)


def _width(text: str, style: Style) -> float:
    return text_width_mm(text, style.face, style.size_pt)


def _longest_word(text: str, style: Style) -> float:
    return set_text(text, style, _WIDE_MM).widest_word


def _head_width(text: str, style: Style) -> float:
    """Return the width in which a head takes few lines. [mm]"""
    whole = set_text(text, style, _WIDE_MM)
    if whole.lines[0].width <= _SHORT_HEAD_MM:
        return whole.lines[0].width
    width = whole.widest_word
    while len(set_text(text, style, width).lines) > _HEAD_LINES:
        width += 1.0
    return width


def _indent(line: PanelLine) -> float:
    return line.indent * _INDENT_MM


def _head(sheet: PanelSheet, panel: Panel, styles: _Styles, plan: _Plan) -> None:
    title = styles.title(plan.size_pt * 1.35)
    sheet.y += cap_mm(title)
    words = set_text(panel.title[0], title, sheet.inner)
    sheet.place(words, sheet.left, sheet.y)
    sheet.y += (len(words.lines) - 1) * words.leading + 2.0
    for text in panel.above:
        style = styles.words(plan.size_pt)
        sheet.y += cap_mm(style) + 0.6
        words = set_text(text, style, sheet.inner)
        sheet.place(words, sheet.left, sheet.y)
        sheet.y += (len(words.lines) - 1) * words.leading + drop_mm(style) + 0.2
    sheet.y += 1.2
    sheet.bar(house.BAR_PT)


def _column_heads(sheet: PanelSheet, panel: Panel, styles: _Styles, plan: _Plan, names_mm: float) -> None:
    style = styles.cell(plan.size_pt, bold=True, right=True, head=True)
    texts = [column.head for column in panel.columns] + list(panel.percent_head[:1])
    heads = [set_text(text, style, wide) for text, wide in zip(texts, plan.columns_mm, strict=True)]
    lines = max(len(head.lines) for head in heads)
    leading = max(head.leading for head in heads)
    sheet.rows += 1
    top = sheet.y + _ROW_MM * 0.8 + cap_mm(style)
    bottom = top + (lines - 1) * leading
    x = sheet.left + names_mm
    for number, head in enumerate(heads):
        x += plan.gap_mm
        # Heads stand on the last line of the tallest, close to their figures.
        sheet.place(head, x, bottom - (len(head.lines) - 1) * head.leading, column=number + 1)
        x += plan.columns_mm[number]
    sheet.y = bottom + max(drop_mm(style), _ROW_MM * 0.8)


def _row(
    sheet: PanelSheet,
    panel: Panel,
    line: PanelLine,
    styles: _Styles,
    plan: _Plan,
    names_mm: float,
    *,
    first: bool,
) -> None:
    goes_on = not line.names
    if not goes_on:
        tone = 0 if first or not line.indent else house.SOFT_RULE_TONE
        sheet.hairline(house.RULE_PT if first else house.HAIRLINE_PT, sheet.left + _indent(line), tone=tone)
    cell = styles.cell(plan.size_pt)
    name = set_text(line.names[0] if line.names else "", replace(cell, role="table head"), names_mm - _indent(line))
    baseline = sheet.y + (0.0 if goes_on else _ROW_MM / 2.0) + cap_mm(cell) + (0.0 if goes_on else 0.25)
    sheet.rows += 1
    if line.names:
        sheet.place(name, sheet.left + _indent(line), baseline, column=0)
    texts = [(one.text, one.known) for one in line.amounts]
    if panel.percent_head:
        texts.append((line.percent.text, line.percent.known) if line.percent is not None else ("", True))
    x = sheet.left + names_mm
    for number, (text, known) in enumerate(texts):
        x += plan.gap_mm
        if text:
            figure = set_text(text, styles.cell(plan.size_pt, bold=not known, right=True), plan.columns_mm[number])
            sheet.place(figure, x, baseline, column=number + 1)
        x += plan.columns_mm[number]
    last = baseline + (max(len(name.lines), 1) - 1) * name.leading
    sheet.y = last + max(drop_mm(cell) + 0.2, _ROW_MM / 2.0 + 0.25)


def _statements(sheet: PanelSheet, panel: Panel, styles: _Styles, plan: _Plan) -> None:
    style = styles.words(max(plan.size_pt * 0.9, _statement_least(styles)))
    for statement in panel.statements:
        sheet.y += _ROW_MM * 0.7 + cap_mm(style)
        words = set_text(statement, style, sheet.inner)
        sheet.place(words, sheet.left, sheet.y)
        sheet.y += (len(words.lines) - 1) * words.leading


def _statement_least(styles: _Styles) -> float:
    return size_pt_for_x_height(styles.least_mm, "sans") or _LEAST_PT
