"""The front of a pack as a plain table of our own: amounts of a portion, and low, medium or high as a word on a tone.

The word says it; the tone goes from pale to dark, so that a grey copy and a reader who sees no red or green lose nothing.
"""

from labeller.declarations.panel_front_of_pack import FrontOfPack, Level
from labeller.printing import house
from labeller.printing.lawful_letters import least_letters
from labeller.printing.page import Box, Fill
from labeller.printing.panel_sheet import PanelSheet, PanelTooNarrowError, cap_mm, drop_mm
from labeller.printing.setting import Style, set_text
from labeller.printing.sheets import Piece
from labeller.printing.tones import BLACK, Colour, Ink

_PAD_MM = 3.0
_ROW_MM = 6.4
_GAP_MM = 3.0
_SIZE_PT = 8.5
_USUAL_WIDTH_MM = 78.0
_WIDE_MM = 500.0
_CHIP_PAD_MM = 2.4
# Green, amber and red of the published criteria, in our own shades: their greys are far apart, and words on them keep 7:1.
_TONES: dict[Level, tuple[Colour, int, Ink]] = {
    "low": ((206, 232, 208), 225, Ink(0, 225)),
    "medium": ((246, 190, 84), 199, Ink(0, 199)),
    "high": ((150, 22, 30), 76, Ink(255, 76)),
    "not known": ((255, 255, 255), 255, BLACK),
}


def lay_out_front(front: FrontOfPack, width_mm: float | None = None, face_area_cm2: float | None = None) -> Piece:
    """Return the table in a width, as high as it comes out. [mm]

    Raises
    ------
    PanelTooNarrowError
        If it cannot be drawn in that width at the letter size the law asks for.
    """
    least = least_letters(front.declaration.law, face_area_cm2).least
    plain = Style("sans", "sans-bold", _SIZE_PT, 1.2, role="table cell", least_x_height_mm=least)
    head = Style("sans-bold", "sans-bold", _SIZE_PT, 1.2, role="table head", least_x_height_mm=least)
    title = Style("sans-bold", "sans-bold", _SIZE_PT * 1.2, 1.15, role="title", least_x_height_mm=least)
    words = {"low": "LOW", "medium": "MEDIUM", "high": "HIGH", "not known": "NOT KNOWN"}
    chip = max(_width(text, head) for text in words.values() if text != "NOT KNOWN") + 2 * _CHIP_PAD_MM
    if any(line.level == "not known" for line in front.lines):
        chip = max(chip, _width("NOT KNOWN", head) + 2 * _CHIP_PAD_MM)
    names = max(_width(line.name, plain) for line in front.lines)
    amounts = max(_width(line.amount, plain) for line in front.lines)
    percents = max(_width(f"{line.percent}*", plain) for line in front.lines)
    needed = names + amounts + percents + chip + 3 * _GAP_MM + 2 * _PAD_MM
    energy = _width(front.energy_of_portion, head) + _width("Energy", plain) + _width("100 %*", plain) + 2 * _GAP_MM
    needed = max(needed, energy + 2 * _PAD_MM) + 0.2
    width = width_mm or max(_USUAL_WIDTH_MM, needed)
    if width < needed:
        raise PanelTooNarrowError(front.name, width, needed + 0.5)
    sheet = PanelSheet(width, _PAD_MM, width - _PAD_MM, _PAD_MM)
    sheet.y += cap_mm(title)
    heading = set_text(f"Each portion ({front.portion})", title, sheet.inner)
    sheet.place(heading, sheet.left, sheet.y)
    sheet.y += (len(heading.lines) - 1) * heading.leading + drop_mm(title) + 1.4
    sheet.bar(house.BAR_PT)
    _energy(sheet, front, plain, head)
    percent_right = sheet.right - chip - _GAP_MM
    amount_right = percent_right - percents - _GAP_MM
    for line in front.lines:
        sheet.hairline(house.HAIRLINE_PT)
        top, middle = sheet.y, sheet.y + _ROW_MM / 2.0 + cap_mm(plain) / 2.0
        colour, tone, ink = _TONES[line.level]
        sheet.rows += 1
        sheet.place(set_text(line.name, plain, names + 0.1), sheet.left, middle, column=0)
        _right(sheet, line.amount, plain, amount_right, middle, 1)
        if line.percent:
            _right(sheet, f"{line.percent}*", plain, percent_right, middle, 2)
        sheet.items.append(Fill(Box(sheet.right - chip, top + 0.6, chip, _ROW_MM - 1.2), tone, colour))
        style = Style("sans-bold", "sans-bold", _SIZE_PT, 1.2, "centre", "table cell", ink, least_x_height_mm=least)
        sheet.place(set_text(words[line.level], style, chip), sheet.right - chip, middle, column=3)
        sheet.y += _ROW_MM
    sheet.bar(house.RULE_PT)
    small = Style("sans", "sans-bold", _SIZE_PT * 0.9, 1.25, role="body", least_x_height_mm=least)
    for text in (f"Energy {front.per}: {front.energy_of_100}", front.statement):
        sheet.y += 1.6 + cap_mm(small)
        set_words = set_text(text, small, sheet.inner)
        sheet.place(set_words, sheet.left, sheet.y)
        sheet.y += (len(set_words.lines) - 1) * set_words.leading
    sheet.y += _PAD_MM
    sheet.boxed(house.RULE_PT)
    return sheet.piece(f"{front.name}, front of pack")


def _energy(sheet: PanelSheet, front: FrontOfPack, plain: Style, head: Style) -> None:
    baseline = sheet.y + _ROW_MM / 2.0 + cap_mm(plain) / 2.0
    sheet.rows += 1
    sheet.place(set_text("Energy", plain, sheet.inner), sheet.left, baseline, column=0)
    if front.energy_percent:
        _right(sheet, f"{front.energy_percent}*", plain, sheet.right, baseline, 2)
    _right(sheet, front.energy_of_portion, head, sheet.right - _width("100 %*", plain) - _GAP_MM, baseline, 1)
    sheet.y += _ROW_MM


def _right(sheet: PanelSheet, text: str, style: Style, right: float, baseline: float, column: int) -> None:
    words = set_text(text, style, _width(text, style) + 0.05)
    sheet.place(words, right - words.lines[0].width, baseline, column=column)


def _width(text: str, style: Style) -> float:
    return set_text(text, style, _WIDE_MM).lines[0].width
