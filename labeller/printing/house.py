"""The look all our paper shares: sizes, spaces, rules and tones.

Black on white, much white, two families: a serif for the name of a dish, a sans for everything one must know. Importance is told by size, weight
and place; never by a picture, never by a colour. Spaces are multiples of one step, so that different papers lie together quietly.

Least heights of letters where no law sets one are our own: common practice, no source. A card is read standing, at arm's length (about 65 cm), by
evening light: letters of 1.9 mm x-height are about 10 minutes of arc there, twice the 5 minutes that normal sight (20/20) needs at full light. A
tub is read in the hand or on a shelf, a sheet lying on a table.
"""

from dataclasses import dataclass

from labeller.printing.page import Role
from labeller.printing.setting import Style
from labeller.printing.tones import BLACK, ON_TINT, QUIET, REVERSED, TINT

STEP_MM = 1.0
"""All spaces are multiples of it. [mm]"""

HAIRLINE_PT = 0.35
RULE_PT = 0.6
BAR_PT = 1.6
"""Weights of rules: between rows, between parts, above what matters most. [pt]"""
RULE_TONE = 0
SOFT_RULE_TONE = 150

CARD_X_HEIGHT_MM = 1.9
"""Least x-height of what a guest must know on a card. [mm]"""
CARD_SMALL_X_HEIGHT_MM = 1.2
"""Least x-height of date and version on a card. [mm]"""
TUB_X_HEIGHT_MM = 1.5
"""Least x-height on a container label. [mm]"""
SHEET_X_HEIGHT_MM = 1.25
"""Least x-height on a sheet that lies on a table: matrix, notes. [mm]"""

SHEET_MARGIN_MM = 12.0
"""Clear edge of an A4 or Letter sheet of text. [mm]"""
PRINTER_MARGIN_MM = 4.0
"""What office printers commonly leave white at each edge; common practice, no source. [mm]"""


@dataclass(frozen=True, slots=True)
class Scale:
    """Sizes of one kind of paper. Letters in points, spaces in millimetres.

    ``least_x_height_mm`` holds for what must be known, ``least_small_mm`` for small print.
    """

    title_pt: float
    body_pt: float
    small_pt: float
    margin_mm: float
    gap_mm: float
    least_x_height_mm: float
    least_small_mm: float


CARD_A7 = Scale(19.0, 11.0, 6.6, 7.0, 3.0, CARD_X_HEIGHT_MM, CARD_SMALL_X_HEIGHT_MM)
CARD_A6 = Scale(25.0, 12.5, 7.2, 10.0, 4.0, CARD_X_HEIGHT_MM, CARD_SMALL_X_HEIGHT_MM)
CARD_A5 = Scale(35.0, 16.5, 8.5, 15.0, 6.0, CARD_X_HEIGHT_MM, CARD_SMALL_X_HEIGHT_MM)
TUB = Scale(13.0, 8.6, 8.1, 3.0, 1.6, TUB_X_HEIGHT_MM, TUB_X_HEIGHT_MM)
SALE = Scale(12.0, 7.2, 6.5, 3.0, 1.4, 1.2, 1.2)
SHEET = Scale(20.0, 8.6, 7.0, SHEET_MARGIN_MM, 3.0, SHEET_X_HEIGHT_MM, 1.2)


def card_scale(width_mm: float, height_mm: float) -> Scale:
    """Return the sizes of a card by the shorter of its sides: A7 and smaller, A6, A5 and larger. [mm]"""
    shorter = min(width_mm, height_mm)
    return CARD_A7 if shorter < 90.0 else CARD_A6 if shorter < 130.0 else CARD_A5


def title(scale: Scale) -> Style:
    """Return the style of a dish's name: the serif, its lines about as long as each other."""
    return Style(
        "serif-bold",
        "serif-bold",
        scale.title_pt,
        1.14,
        role="title",
        balanced=True,
        least_x_height_mm=scale.least_x_height_mm,
    )


def plain_title(scale: Scale) -> Style:
    """Return the style of a name on a label in the kitchen or of a sheet's heading: the sans, bold."""
    return Style(
        "sans-bold",
        "sans-bold",
        scale.title_pt,
        1.14,
        role="title",
        balanced=True,
        least_x_height_mm=scale.least_x_height_mm,
    )


def description(scale: Scale) -> Style:
    """Return the style of a dish in a few words, under its name."""
    return Style("serif-italic", "serif-bold", scale.body_pt, 1.32, least_x_height_mm=scale.least_small_mm)


def heading(scale: Scale) -> Style:
    """Return the style of a part's heading."""
    return Style(
        "sans-bold", "sans-bold", scale.body_pt, 1.2, role="heading", least_x_height_mm=scale.least_x_height_mm
    )


def body(scale: Scale, role: Role = "body") -> Style:
    """Return the style of what must be known: words in the sans, what is set apart in its bold. ``role`` says what: allergens, alcohol, caution, figures."""
    return Style("sans", "sans-bold", scale.body_pt, 1.3, role=role, least_x_height_mm=scale.least_x_height_mm)


def loud(scale: Scale, role: Role = "caution") -> Style:
    """Return the style of what must not be missed: white on black; the box under it is for the caller to fill with 0."""
    return Style(
        "sans-bold",
        "sans-bold",
        scale.body_pt,
        1.3,
        role=role,
        ink=REVERSED,
        least_x_height_mm=scale.least_x_height_mm,
    )


def small_print(scale: Scale) -> Style:
    """Return the style of date and version: dark grey, small."""
    return Style(
        "sans", "sans-bold", scale.small_pt, 1.3, role="small print", ink=QUIET, least_x_height_mm=scale.least_small_mm
    )


def table_head(scale: Scale) -> Style:
    """Return the style of a table's head, on the pale tint `TABLE_TINT`."""
    return Style(
        "narrow-bold",
        "narrow-bold",
        scale.body_pt,
        1.15,
        role="table head",
        ink=ON_TINT,
        least_x_height_mm=scale.least_small_mm,
    )


def table_cell(scale: Scale) -> Style:
    """Return the style of a table's cell: the condensed sans."""
    return Style(
        "narrow",
        "narrow-bold",
        scale.body_pt,
        1.15,
        role="table cell",
        ink=BLACK,
        least_x_height_mm=scale.least_small_mm,
    )


def table_figures(scale: Scale) -> Style:
    """Return the style of figures in a column: every figure as wide as the others, at the right."""
    return Style(
        "sans-figures",
        "sans-bold-figures",
        scale.body_pt,
        1.15,
        "right",
        "table cell",
        least_x_height_mm=scale.least_small_mm,
    )


TABLE_TINT = TINT
