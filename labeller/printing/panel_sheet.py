"""A nutrition panel while it is drawn: words on base lines, bars and hairlines, from the top down, in a width that is given.

Sizes of letters come from the law's own rows (`reference_data/jurisdictions/<code>/letters.yaml`), thicknesses from its ``panel.yaml``.
"""

from dataclasses import dataclass, field, replace

from labeller.declarations.marked_text import MarkedText
from labeller.declarations.panel_content import Panel, PanelLine
from labeller.jurisdictions.in_force import LawInForce
from labeller.printing import house
from labeller.printing.faces import MM_PER_POINT, FaceName, face, ink_em, x_height_mm_at_size
from labeller.printing.page import Box, Cell, Fill, Item, Role, Rule, TextLine, moved
from labeller.printing.setting import Align, SetText, Style, set_text
from labeller.printing.sheets import Piece
from labeller.printing.tones import BLACK, Ink

TABLE = "nutrition"
"""Name of the table of figures in the structure of the file."""
_HIGH_MM = 2000.0


class PanelTooNarrowError(ValueError):
    """A panel cannot be drawn lawfully in the width asked for; ``needs_mm`` is the width that would do."""

    def __init__(self, name: str, width_mm: float, needs_mm: float) -> None:
        self.needs_mm = needs_mm
        super().__init__(
            f"--width {width_mm:g}: the panel of '{name}' needs {needs_mm:.0f} mm at the letter size its law asks for. "
            f"Write --width {needs_mm:.0f}, or leave --width away."
        )


@dataclass(slots=True)
class PanelSheet:
    """What has been drawn so far: ``y`` is how far down. [mm]"""

    width: float
    left: float
    right: float
    y: float = 0.0
    items: list[Item] = field(default_factory=list)
    rows: int = 0
    blocks: int = 0

    @property
    def inner(self) -> float:
        """Width for words. [mm]"""
        return self.right - self.left

    def place(
        self,
        words: SetText,
        x: float,
        baseline: float,
        *,
        column: int | None = None,
        columns: int = 1,
        table: str = TABLE,
    ) -> None:
        """Put words so that their first line stands on a base line, in a cell of the present row where a column is given."""
        self.blocks += 1
        cell = Cell(table, self.rows, column, columns) if column is not None else None
        box = Box(x, 0.0, words.width, _HIGH_MM)
        self.items += words.placed(x, baseline - words.rise, f"panel {self.blocks}", box=box, cell=cell)

    def bar(self, points: float, left: float | None = None, right: float | None = None) -> None:
        """Draw a bar across, and go on below it. [pt, mm]"""
        x1, x2 = self.left if left is None else left, self.right if right is None else right
        height = points * MM_PER_POINT
        self.items.append(Fill(Box(x1, self.y, x2 - x1, height), 0))
        self.y += height

    def hairline(self, points: float, left: float | None = None, right: float | None = None, tone: int = 0) -> None:
        """Draw a hairline across at the present height. [pt, mm]"""
        x1, x2 = self.left if left is None else left, self.right if right is None else right
        self.items.append(Rule(x1, self.y, x2, self.y, points, tone))

    def down(self, points: float) -> None:
        """Leave space. [pt]"""
        self.y += points * MM_PER_POINT

    def boxed(self, points: float) -> None:
        """Draw the box around everything. [pt]"""
        half = points * MM_PER_POINT / 2.0
        x1, y1, x2, y2 = half, half, self.width - half, self.y - half
        sides = ((x1, y1, x2, y1), (x2, y1, x2, y2), (x2, y2, x1, y2), (x1, y2, x1, y1))
        self.items += [Rule(*side, points) for side in sides]

    def piece(self, name: str) -> Piece:
        """Return what was drawn."""
        return Piece(name, self.width, self.y, tuple(_held(item, self.y) for item in self.items))


def _held(item: Item, height: float) -> Item:
    """Return an item whose words must stay within the panel, now that its height is known. [mm]"""
    if not isinstance(item, TextLine):
        return item
    return replace(item, box=Box(item.box.x, 0.0, item.box.width, height))


def pointed(
    size_pt: float,
    *,
    bold: bool = False,
    role: Role = "table cell",
    least_pt: float = 0.0,
    leading_pt: float = 1.0,
    align: Align = "left",
    strong: FaceName = "sans-bold",
    ink: Ink = BLACK,
    language: str = "",
) -> Style:
    """Return a style by its size and the space between its lines, both in points, held to a least size. [pt]"""
    plain: FaceName = "sans-bold" if bold else "sans"
    size = max(size_pt, least_pt)
    return Style(
        plain,
        strong,
        size,
        (size + leading_pt) / size,
        align,
        role,
        ink,
        least_x_height_mm=x_height_mm_at_size(least_pt, plain) if least_pt else 0.0,
        language=language,
    )


def least_points(law: LawInForce, key: str) -> float:
    """Return the least size a law asks for one thing of its panel; 0 where it asks none. [pt]"""
    return next((rule.least for rule in law.letters if rule.key == key and rule.measure == "point"), 0.0)


def points_of(panel: Panel, key: str, otherwise: float) -> float:
    """Return a thickness of the law's panel. [pt]"""
    rule = panel.law.panel.get(key)
    return rule.points if rule is not None and rule.points is not None else otherwise


def cap_mm(style: Style) -> float:
    """Return the height of the capitals of a style. [mm]"""
    return face(style.face).cap_height * style.size_pt * MM_PER_POINT


def rise_mm(text: str, style: Style) -> float:
    """Return how far the outlines of a text reach above the base line. [mm]"""
    return ink_em(text, style.face)[1] * style.size_pt * MM_PER_POINT


def drop_mm(style: Style) -> float:
    """Return how far letters of a style reach below the base line. [mm]"""
    return face(style.face).descent * style.size_pt * MM_PER_POINT


def named(name: str, line: PanelLine) -> MarkedText:
    """Return a line's name and amount in one: the name set apart where the law wants it, and what is not known."""
    amounts = " ".join(one.text for one in line.amounts)
    text = f"{name} {amounts}".strip()
    spans = [(0, len(name))] if line.bold else []
    if amounts and not all(one.known for one in line.amounts):
        spans.append((len(text) - len(amounts), len(text)))
    return MarkedText(text, tuple(spans))


def banded(piece: Piece, words: str, foot: str) -> Piece:
    """Return a panel under a black band that says it is incomplete, with what is not known under it."""
    scale = house.SALE
    style = house.loud(scale)
    pad = 2.0
    band = set_text(words, style, piece.width - 2 * pad)
    below = set_text(foot, house.body(scale, "caution"), piece.width - 2 * pad)
    height = band.height + 2 * pad
    top = height + 1.0
    items: list[Item] = [Fill(Box(0.0, 0.0, piece.width, height), 0)]
    items += band.placed(pad, pad, "incomplete")
    items += [moved(item, 0.0, top) for item in piece.items]
    y = top + piece.height + 1.5
    items += below.placed(pad, y, "not known")
    return Piece(piece.name, piece.width, y + below.height + pad, tuple(items))
