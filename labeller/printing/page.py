"""A page as it is laid out: lines of text, rules and filled boxes, each where it lies. Nothing here paints.

Lengths are millimetres, x from the left edge and y from the top edge of the page, downwards. Sizes of letters are points. The order of the
items is the order in which a page is read out and in which it is painted.
"""

from dataclasses import asdict, dataclass, replace
from datetime import date
from typing import Any, Literal, get_args

from labeller.printing.faces import MM_PER_POINT, FaceName, ink_em, x_height_mm_at_size
from labeller.printing.tones import BLACK, Colour, Ink

Role = Literal[
    "title", "heading", "body", "allergens", "alcohol", "caution", "figures", "small print", "table head", "table cell"
]
ROLES: tuple[Role, ...] = get_args(Role)
WARNINGS: frozenset[Role] = frozenset({"allergens", "alcohol", "caution"})
"""What could hurt someone: never shortened, never hyphenated, printed in strong contrast."""


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle. [mm]"""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """The right edge. [mm]"""
        return self.x + self.width

    @property
    def bottom(self) -> float:
        """The lower edge. [mm]"""
        return self.y + self.height

    def inset(self, by_mm: float) -> "Box":
        """Return the box within this one, so much smaller on every side. [mm]"""
        return Box(self.x + by_mm, self.y + by_mm, self.width - 2.0 * by_mm, self.height - 2.0 * by_mm)

    def moved(self, right_mm: float, down_mm: float) -> "Box":
        """Return the box elsewhere. [mm]"""
        return Box(self.x + right_mm, self.y + down_mm, self.width, self.height)

    def holds(self, other: "Box", tolerance_mm: float = 0.01) -> bool:
        """Return whether another box lies within this one."""
        return (
            other.x >= self.x - tolerance_mm
            and other.y >= self.y - tolerance_mm
            and other.right <= self.right + tolerance_mm
            and other.bottom <= self.bottom + tolerance_mm
        )

    def overlaps(self, other: "Box", tolerance_mm: float = 0.01) -> bool:
        """Return whether the two share more than an edge."""
        # Said without `min` and `max`: every line is held against its neighbours and every rule.
        top, left = other.y + tolerance_mm, other.x + tolerance_mm
        return (
            self.y + self.height > top
            and other.y + other.height > self.y + tolerance_mm
            and self.x + self.width > left
            and other.x + other.width > self.x + tolerance_mm
            and self.height > tolerance_mm
            and other.height > tolerance_mm
            and self.width > tolerance_mm
            and other.width > tolerance_mm
        )


@dataclass(frozen=True, slots=True)
class Run:
    """A piece of a line in one face and size."""

    text: str
    face: FaceName
    size_pt: float


@dataclass(frozen=True, slots=True)
class Cell:
    """Where a line stands in a table: the table's name on the page, row and column from 0, columns spanned."""

    table: str
    row: int
    column: int
    columns: int = 1


@dataclass(frozen=True, slots=True)
class TextLine:
    """One line of text where it lies.

    ``x`` and ``baseline`` say where the first letter stands, ``width`` how far the line reaches; ``box`` is what it must stay within.
    ``block`` names the paragraph, one name for all its lines on all pages. ``hyphenated``: the line ends within a word, and its last sign is
    a soft hyphen (U+00AD) that a reader of the text leaves out; ``within_word``: it ends within a word, at a hyphen put in or of the word's
    own. ``least_x_height_mm`` is the least height of its letters by law or house. ``turned``: it stands upside down, for a card that is folded; it
    then runs from ``x`` to the left, its letters hanging down from the base line.

    Raises
    ------
    ValueError
        On creation if what could hurt someone is set in a weak tone.
    """

    runs: tuple[Run, ...]
    x: float
    baseline: float
    width: float
    box: Box
    role: Role
    block: str
    language: str = ""
    ink: Ink = BLACK
    least_x_height_mm: float = 0.0
    hyphenated: bool = False
    within_word: bool = False
    cell: Cell | None = None
    turned: bool = False

    def __post_init__(self) -> None:
        if self.role in WARNINGS and not self.ink.fit_for_warnings:
            raise ValueError(
                f"'{self.text}' ({self.role}) is set in a tone too weak for it: {self.ink.contrast:.1f}:1."
            )

    @property
    def text(self) -> str:
        """The words of the line; spaces no line is broken at are spaces like others here."""
        return "".join(run.text for run in self.runs).replace("\u00a0", " ")

    @property
    def ink_box(self) -> Box:
        """What the outlines of its letters cover. [mm]"""
        low, high = 0.0, 0.0
        for run in self.runs:
            bottom, top = ink_em(run.text, run.face)
            em = run.size_pt * MM_PER_POINT
            low, high = min(low, bottom * em), max(high, top * em)
        if self.turned:
            return Box(self.x - self.width, self.baseline + low, self.width, high - low)
        return Box(self.x, self.baseline - high, self.width, high - low)

    @property
    def x_height_mm(self) -> float:
        """Height of the smallest lower-case x of the line. [mm]"""
        return min(x_height_mm_at_size(run.size_pt, run.face) for run in self.runs)


@dataclass(frozen=True, slots=True)
class Rule:
    """A straight line from one point to another. [mm]

    ``crop`` tells a mark to cut by from a rule of the design; ``dash_mm`` are drawn and empty lengths in turn.
    """

    x1: float
    y1: float
    x2: float
    y2: float
    weight_pt: float
    tone: int = 0
    crop: bool = False
    dash_mm: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Fill:
    """A filled box, 0 black to 255 white. What is written on it comes after it.

    ``colour`` is its colour where it has one; ``tone`` is then what a grey copy shows of it, and words on it are held to both.
    """

    box: Box
    tone: int
    colour: Colour | None = None


Item = TextLine | Rule | Fill


@dataclass(frozen=True, slots=True)
class Margins:
    """What stays clear at each edge of a page. [mm]"""

    top: float
    right: float
    bottom: float
    left: float


@dataclass(frozen=True, slots=True)
class Page:
    """One page: its size, what lies on it in reading order, and the margins a printer cannot print in. [mm]"""

    width: float
    height: float
    items: tuple[Item, ...]
    margins: Margins = Margins(0.0, 0.0, 0.0, 0.0)

    @property
    def printable(self) -> Box:
        """What a printer reaches."""
        m = self.margins
        return Box(m.left, m.top, self.width - m.left - m.right, self.height - m.top - m.bottom)

    @property
    def lines(self) -> tuple[TextLine, ...]:
        """The lines of text, in reading order."""
        return tuple(item for item in self.items if isinstance(item, TextLine))


@dataclass(frozen=True, slots=True)
class Document:
    """Pages, and what the file says of itself. ``language`` is a BCP 47 tag; ``day`` is the day of the run and dates the file."""

    pages: tuple[Page, ...]
    title: str
    language: str
    subject: str
    day: date

    def as_json(self) -> dict[str, Any]:
        """Return the whole layout as plain values, lengths to a thousandth of a millimetre, for reviewed examples."""
        return {
            "title": self.title,
            "language": self.language,
            "subject": self.subject,
            "day": self.day.isoformat(),
            "pages": [
                {
                    "width": _rounded(page.width),
                    "height": _rounded(page.height),
                    "margins": _plain(asdict(page.margins)),
                    "items": [_item(item) for item in page.items],
                }
                for page in self.pages
            ],
        }


def _item(item: Item) -> dict[str, Any]:
    if isinstance(item, TextLine):
        row: dict[str, Any] = {
            "text": item.text,
            "runs": [[run.text, run.face, _rounded(run.size_pt)] for run in item.runs],
            "x": _rounded(item.x),
            "baseline": _rounded(item.baseline),
            "width": _rounded(item.width),
            "box": [_rounded(one) for one in (item.box.x, item.box.y, item.box.width, item.box.height)],
            "x_height": _rounded(item.x_height_mm),
            "role": item.role,
            "block": item.block,
        }
        if item.ink != BLACK:
            row["ink"] = [item.ink.letters, item.ink.ground]
        if item.least_x_height_mm:
            row["least_x_height"] = _rounded(item.least_x_height_mm)
        if item.language:
            row["language"] = item.language
        if item.hyphenated:
            row["hyphenated"] = True
        if item.turned:
            row["turned"] = True
        if item.cell is not None:
            row["cell"] = [item.cell.table, item.cell.row, item.cell.column, item.cell.columns]
        return row
    if isinstance(item, Rule):
        ends = [_rounded(one) for one in (item.x1, item.y1, item.x2, item.y2)]
        drawn: dict[str, Any] = {"rule": ends, "weight": item.weight_pt, "tone": item.tone, "crop": item.crop}
        return drawn | {"dash": list(item.dash_mm)} if item.dash_mm else drawn
    filled = {"fill": _plain(asdict(item.box)), "tone": item.tone}
    return filled if item.colour is None else {**filled, "colour": list(item.colour)}


def _plain(row: dict[str, float]) -> dict[str, float]:
    return {key: _rounded(value) for key, value in row.items()}


def _rounded(value: float) -> float:
    return round(value, 3) + 0.0


def moved(item: Item, right_mm: float, down_mm: float, within: str = "") -> Item:
    """Return an item elsewhere on the page: what is laid out once may be placed several times.

    Parameters
    ----------
    item : Item
        What is moved.
    right_mm, down_mm : float
        How far. [mm]
    within : str
        What it becomes part of (``label 7``): put before the names of its block and table, which must differ from copy to copy.
    """
    if isinstance(item, TextLine):
        named = f"{within}, {item.block}" if within else item.block
        cell = item.cell
        if cell is not None and within:
            cell = replace(cell, table=f"{within}, {cell.table}")
        box = item.box.moved(right_mm, down_mm)
        return replace(item, x=item.x + right_mm, baseline=item.baseline + down_mm, box=box, block=named, cell=cell)
    if isinstance(item, Rule):
        x1, y1, x2, y2 = item.x1 + right_mm, item.y1 + down_mm, item.x2 + right_mm, item.y2 + down_mm
        return replace(item, x1=x1, y1=y1, x2=x2, y2=y2)
    return replace(item, box=item.box.moved(right_mm, down_mm))


def turned(item: Item, width_mm: float, height_mm: float) -> Item:
    """Return an item of a piece as it lies when the piece is turned upside down.

    Parameters
    ----------
    item : Item
        What is turned.
    width_mm, height_mm : float
        Size of the piece it lies on. [mm]
    """
    if isinstance(item, TextLine):
        box = Box(width_mm - item.box.right, height_mm - item.box.bottom, item.box.width, item.box.height)
        x, baseline = width_mm - item.x, height_mm - item.baseline
        return replace(item, x=x, baseline=baseline, box=box, turned=not item.turned)
    if isinstance(item, Rule):
        x1, y1, x2, y2 = width_mm - item.x1, height_mm - item.y1, width_mm - item.x2, height_mm - item.y2
        return replace(item, x1=x1, y1=y1, x2=x2, y2=y2)
    box = item.box
    return replace(item, box=Box(width_mm - box.right, height_mm - box.bottom, box.width, box.height))
