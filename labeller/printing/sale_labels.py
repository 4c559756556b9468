"""Labels for food that is sold packed: every particular the law asks for, in letters of the lawful height.

The text shrinks to the lawful least and no further, then goes into the condensed face, then on to a second label; what two cannot carry is refused.

References
----------
.. [1] Regulation (EU) No 1169/2011, Article 13(5): name, net quantity and strength in the same field of vision (from memory); Annex X: how it is
   kept stands with the date (from memory); Annex III: its statement stands with the name (from memory).
.. [2] Directive 76/211/EEC, Annex I, 3.1: figures 2 mm high up to 50 g or ml, 3 mm up to 200, 4 mm up to 1000, 6 mm above (from memory).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from labeller.declarations.declaring import Declaration
from labeller.declarations.marked_text import MarkedText
from labeller.declarations.paper_particulars import Particular, SaleParticulars
from labeller.declarations.paper_phrases import phrase
from labeller.printing import house
from labeller.printing.faces import MM_PER_POINT, FaceName, face, ink_em, size_pt_for_x_height
from labeller.printing.fitting import Block, Fitted
from labeller.printing.label_layout import (
    BAND_MM,
    WHICH,
    LabelPart,
    LabelTooSmall,
    label_scale,
    labels_of,
    one_label,
    placed,
    pour,
    space_of,
    stacked,
    whole_in_bold,
    with_feet,
    with_sizes_that_hold,
)
from labeller.printing.label_nutrition import (
    LAWS,
    NutritionRow,
    NutritionTable,
    nutrition_line,
    nutrition_rows,
    nutrition_table,
)
from labeller.printing.label_stock import LabelStock
from labeller.printing.lawful_letters import PARTICULARS, LeastLetters, least_letters
from labeller.printing.page import Box, Item, Role, Rule, TextLine, moved
from labeller.printing.setting import Style
from labeller.printing.sheets import Piece

MOST_LABELS = 2
"""A front and a back: more labels on one pack nobody reads together."""
NOT_FOR_SALE = "INCOMPLETE: not for sale"
_BESIDE_MM = 85.0
_GUTTER_MM = 4.0
_BELOW_HEAD_MM = 0.9
_STEPS = 4
_LONG_NAME = 60
_LEAST_NAME, _LEAST_MARK = 1.3, 1.6  # of the least height of the text
_HEADS = ("mark", "name", "quantity")
_QUANTITY = "quantity"
_BOLD: tuple[FaceName, ...] = ("sans-bold", "narrow-bold")
_NET_FIGURES_MM = ((50.0, 2.0), (200.0, 3.0), (1000.0, 4.0), (float("inf"), 6.0))
_IN_SIGHT = ("net quantity", "strength", "standard drinks")


@dataclass(frozen=True, slots=True)
class SaleLabel:
    """What is printed on one label for sale.

    Attributes
    ----------
    particulars : SaleParticulars
        As the law asks for them.
    declaration : Declaration
        What they are taken from; gives the figures of the nutrition declaration.
    face_cm2 : float or None
        Area of the largest face of the pack; None where it is not known, and then the strictest height of letters holds. [cm2]
    incomplete : bool
        True prints it marked as not for sale.
    nutrition : bool
        False where this food is free of the nutrition declaration.
    figures_mm : float
        How tall the figures of the net quantity are to be where that takes no further label (`wanted_net_figures_mm`). [mm]
    """

    particulars: SaleParticulars
    declaration: Declaration
    face_cm2: float | None = None
    incomplete: bool = False
    nutrition: bool = True
    figures_mm: float = 0.0


def sale_labels(label: SaleLabel, stock: LabelStock) -> tuple[Piece, ...] | LabelTooSmall:
    """Return the label of one pack: one where it carries all, else two with the name on each."""

    def lay_out(on: LabelStock) -> tuple[Piece, ...] | LabelTooSmall:
        return _lay_out(label, on, measured=False)

    if not label.figures_mm:
        made = _lay_out(label, stock, measured=True)
        return with_sizes_that_hold(made, stock, lay_out) if isinstance(made, LabelTooSmall) else made
    tall = _lay_out(label, stock, measured=False, figures_mm=label.figures_mm)
    if isinstance(tall, tuple) and len(tall) == 1:
        return tall
    # Figures that tall are due only on packs of one and the same quantity: they cost no further label.
    made = _lay_out(label, stock, measured=True)
    if isinstance(tall, tuple) and isinstance(made, tuple) and len(tall) == len(made):
        return tall
    return with_sizes_that_hold(made, stock, lay_out) if isinstance(made, LabelTooSmall) else made


def _lay_out(
    label: SaleLabel, stock: LabelStock, *, measured: bool, figures_mm: float = 0.0
) -> tuple[Piece, ...] | LabelTooSmall:
    scale = sale_scale(label, stock)
    name = label.particulars.name
    parts = tuple(_parts(label, scale, figures_mm))
    rows = nutrition_rows(label.declaration) if _with_nutrition(label) else ()
    for texts in (parts, tuple(_narrow(part) for part in parts)):
        made = _with_table(name, texts, rows, stock, scale) if rows else one_label(name, texts, stock, scale)
        if made is not None:
            return (made,)
    texts = tuple(_narrow(part) for part in parts)
    if not rows:
        return labels_of(name, texts, stock, scale, most=MOST_LABELS, measured=measured)
    line = _nutrition_part(nutrition_line(rows), scale)
    single = one_label(name, (*texts, line), stock, scale)
    if single is not None:
        return (single,)
    return _two_with_table(name, texts, _table_of(rows, scale, 0.0), stock, scale) or labels_of(
        name, (*texts, line), stock, scale, most=MOST_LABELS, measured=measured
    )


def lawful_least(label: SaleLabel) -> LeastLetters:
    """Return the least height of letters on this pack, with its clause."""
    return least_letters(label.declaration.law, label.face_cm2, PARTICULARS)


def net_figures_mm(pieces: Sequence[Piece]) -> float | None:
    """Return how tall the figures of the net quantity are; None where it is not printed. [mm]"""
    heights = [
        _figures_em(run.face) * run.size_pt * MM_PER_POINT
        for piece in pieces
        for item in piece.items
        if isinstance(item, TextLine) and item.block == _QUANTITY
        for run in item.runs
    ]
    return min(heights, default=None)


def wanted_net_figures_mm(law: str, grams: float) -> float:
    """Return how tall they must be on packs made up to one and the same quantity; 0 where this tool knows no rule [2]_. [mm]"""
    if law not in ("eu", "gb"):
        return 0.0
    return next((height for up_to, height in _NET_FIGURES_MM if grams <= up_to), _NET_FIGURES_MM[-1][1])


def _figures_em(name: FaceName) -> float:
    """Return the height of the lowest figure of a face. [em]"""
    return min(ink_em(one, name)[1] for one in "0123456789")


def sale_scale(label: SaleLabel, stock: LabelStock) -> house.Scale:
    """Return the sizes for a label, the least of them the law's, or the house's where the law sets none."""
    found = lawful_least(label)
    least = found.x_height_mm("sans", "sans-bold", "narrow", "narrow-bold") or house.SALE.least_x_height_mm
    scale = label_scale(house.SALE, stock)
    body = max(scale.body_pt, 1.08 * size_pt_for_x_height(least, "narrow"))
    return replace(
        scale,
        body_pt=body,
        title_pt=max(scale.title_pt, 1.35 * body),
        small_pt=size_pt_for_x_height(least, "sans"),
        least_x_height_mm=least,
        least_small_mm=least,
    )


def _with_nutrition(label: SaleLabel) -> bool:
    particulars = label.particulars
    return label.nutrition and particulars.nutrition == "required" and particulars.jurisdiction in LAWS


def _table_of(rows: tuple[NutritionRow, ...], scale: house.Scale, share: float) -> NutritionTable:
    least = size_pt_for_x_height(scale.least_x_height_mm, "narrow")
    return nutrition_table(rows, scale, least + share * (max(least, 0.95 * scale.body_pt) - least))


def _parts(label: SaleLabel, scale: house.Scale, figures_mm: float) -> Iterator[LabelPart]:
    given = label.particulars
    gap, tight = scale.gap_mm, 0.5 * scale.gap_mm
    text = house.body(scale)
    if label.incomplete:
        mark = replace(
            house.loud(scale),
            size_pt=max(0.95 * scale.title_pt, scale.body_pt),
            align="centre",
            least_x_height_mm=_LEAST_MARK * scale.least_x_height_mm,
        )
        yield LabelPart(Block("mark", NOT_FOR_SALE, mark, 1, whole=True), loud=True, repeated=True)
    name = given.particular("name")
    clear = BAND_MM if label.incomplete else 0.0
    head = ", ".join(one for one in (name.text.text if name is not None else given.name, *given.statements) if one)
    title = house.plain_title(scale)
    if len(head) <= _LONG_NAME:
        title = replace(title, least_x_height_mm=_LEAST_NAME * scale.least_x_height_mm)
    yield LabelPart(
        Block("name", head, title, 1, tight + clear, 0.6 + clear, whole=True, most_lines=3),
        repeated=True,
    )
    # Beside the name, in the same field of vision.
    sight = [one.text.text.rstrip(".") for key in _IN_SIGHT if (one := given.particular(key)) is not None]
    if sight:
        bold = replace(text, role="figures")
        if figures_mm:
            share = max(face(one).x_height / _figures_em(one) for one in _BOLD)
            bold = replace(bold, face="sans-bold", least_x_height_mm=max(figures_mm * share, text.least_x_height_mm))
            bold = bold.sized(max(text.size_pt, bold.least_size_pt))
        yield LabelPart(Block(_QUANTITY, whole_in_bold("  ·  ".join(sight)), bold, 1, 0.8 * tight, 0.4, whole=True))
    rest = [one for one in _in_order(given) if one.key not in ("name", *_IN_SIGHT)]
    first, loud = True, False
    for one in rest:
        is_loud = one.key == "ask about"
        clear = BAND_MM * (is_loud or loud)
        space, least = (gap, 0.9) if first else (tight, 0.5)
        style = house.loud(scale, "allergens") if is_loud else house.body(scale, _role(one.key))
        words = whole_in_bold(one.text) if one.bold or one.key == "date" else one.text
        if one.key == "instructions":
            words = MarkedText(f"{phrase('instructions')}: {one.text.text.rstrip('.')}.")
        yield LabelPart(Block(one.key, words, style, 1, space + clear, least + clear), loud=is_loud, rule=first)
        first, loud = False, is_loud


def _in_order(given: SaleParticulars) -> list[Particular]:
    """Return the particulars as they are printed; a blank for what this offer does not need is left out."""
    blank = phrase("blank")
    found = [one for one in given.particulars if one.text.text and (one.needed or blank not in one.text.text)]
    day = next((one for one in found if one.key == "date"), None)
    storage = next((one for one in found if one.key == "storage"), None)
    if day is not None and storage is not None:
        first = min(found.index(day), found.index(storage))
        found = [one for one in found if one not in (day, storage)]
        found[first:first] = [day, storage]
    return found


def _role(key: str) -> Role:
    if key in ("ingredients", "contains", "may contain"):
        return "allergens"
    return "alcohol" if key == "alcohol" else "body"


def _nutrition_part(line: str, scale: house.Scale) -> LabelPart:
    style = replace(house.body(scale, "figures"), face="narrow", strong="narrow-bold", leading=1.18)
    head = line.partition(":")[0]
    return LabelPart(Block("nutrition", MarkedText(line, ((0, len(head)),)), style, 1, 0.7 * scale.gap_mm, 0.5))


def _with_table(
    name: str, parts: Sequence[LabelPart], rows: tuple[NutritionRow, ...], stock: LabelStock, scale: house.Scale
) -> Piece | None:
    """Return one label with the table beside the text or below it, in letters as large as fit; None where neither fits at the least."""
    best = _table_at_share(name, parts, rows, stock, scale, 0.0)
    if best is None:
        return None
    full = _table_at_share(name, parts, rows, stock, scale, 1.0)
    if full is not None:
        return full
    low, high = 0.0, 1.0
    for _ in range(_STEPS):
        middle = (low + high) / 2.0
        made = _table_at_share(name, parts, rows, stock, scale, middle)
        if made is None:
            high = middle
        else:
            best, low = made, middle
    return best


def _table_at_share(
    name: str,
    parts: Sequence[LabelPart],
    rows: tuple[NutritionRow, ...],
    stock: LabelStock,
    scale: house.Scale,
    share: float,
) -> Piece | None:
    space = space_of(stock, scale)
    heads = [part for part in parts if part.block.name in _HEADS]
    texts = [replace(part, rule=False) for part in parts if part.block.name not in _HEADS]
    table = _table_of(rows, scale, share)
    head = stacked(heads, share, space.width)
    top = space.y + head.height + 2.0 * _BELOW_HEAD_MM
    below = space.bottom - top
    ways: list[tuple[float, Box]] = []
    if stock.width >= _BESIDE_MM and table.height <= below:
        beside = space.width - table.width - _GUTTER_MM
        ways.append((beside, Box(space.right - table.width, top, table.width, table.height)))
    if table.width <= space.width:
        ways.append((space.width, Box(space.x, space.bottom - table.height, table.width, table.height)))
    for width, box in ways:
        text = stacked(texts, share, width)
        room = below if width < space.width else below - table.height - scale.gap_mm
        if text.height > room + 1e-6 or not _all_within(head, text):
            continue
        line = Rule(space.x, top - _BELOW_HEAD_MM, space.right, top - _BELOW_HEAD_MM, house.HAIRLINE_PT)
        items = (
            *placed(head, heads, Box(space.x, space.y, space.width, head.height)),
            line,
            *placed(text, texts, Box(space.x, top, width, max(room, text.height))),
            *_table_at(table, box),
        )
        return Piece(name, stock.width, stock.height, items)
    return None


def _all_within(*fitted: Fitted) -> bool:
    return all(one.text.fits_width for each in fitted for one in each.texts)


def _two_with_table(
    name: str, parts: Sequence[LabelPart], table: NutritionTable, stock: LabelStock, scale: house.Scale
) -> tuple[Piece, ...] | None:
    """Return two labels with the table at the foot of the second; None where it has no room there."""
    poured = pour(parts, stock, scale, most=MOST_LABELS)
    if poured is None or len(poured) < MOST_LABELS:
        return None
    space = space_of(stock, scale)
    top = space.y + poured[-1].height + scale.gap_mm
    made = with_feet(poured, parts, stock, scale)
    foot_top = min(item.ink_box.y for item in made[-1] if isinstance(item, TextLine) and item.block == WHICH)
    if table.width > space.width or top + table.height > foot_top - 0.5 * scale.gap_mm:
        return None
    made = (*made[:-1], (*made[-1], *_table_at(table, Box(space.x, top, table.width, table.height))))
    return tuple(
        Piece(f"{name}, label {number}", stock.width, stock.height, items)
        for number, items in enumerate(made, start=1)
    )


def _table_at(table: NutritionTable, box: Box) -> tuple[Item, ...]:
    return tuple(moved(item, box.x, box.y) for item in table.items)


def _narrow(part: LabelPart) -> LabelPart:
    style: Style = part.block.style
    if style.role == "title":
        return part
    face: FaceName = "narrow-bold" if style.face == "sans-bold" else "narrow"
    condensed = replace(style, face=face, strong="narrow-bold", leading=1.18)
    return replace(part, block=replace(part.block, style=condensed))
