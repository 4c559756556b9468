"""The cells of an allergen sheet: one tile for each state, told apart by its words, its outline and its tone.

* contains: bold words on grey, the cereal, nut or species below;
* may contain: bold words on white within a dashed outline;
* not known: white words on black; beside another state as a black band at the foot of its tile;
* not an ingredient: small words on bare paper.
"""

from dataclasses import dataclass, replace

from labeller.declarations.allergen_rows import CONTAINS, MAY_CONTAIN, UNCONFIRMED
from labeller.printing import house
from labeller.printing.letters import NO_BREAK_SPACE
from labeller.printing.matrix_words import SheetCell
from labeller.printing.page import Box, Cell, Fill, Item, Rule
from labeller.printing.setting import SetText, Style, set_text
from labeller.printing.tones import REVERSED, Ink

CONTAINS_TONE = 214
PAD_X_MM = 1.0
PAD_Y_MM = 1.15
BETWEEN_MM = 0.75
"""Between the state and what it is. [mm]"""
GAP_MM = 0.7
"""Between tiles. [mm]"""
_DASH_MM = (0.9, 0.75)
_OUTLINE_PT = 0.7
_NOT_IN_IT = Ink(96, 255)


@dataclass(frozen=True, slots=True)
class CellStyles:
    """How the parts of a cell are set, by state."""

    head: Style
    detail: Style
    on_grey: Style
    detail_on_grey: Style
    loud: Style
    quiet: Style


@dataclass(frozen=True, slots=True)
class SetCell:
    """A cell set into its width: paragraphs from the top, a band at its foot, the height it needs. [mm]"""

    status: str
    texts: tuple[SetText, ...]
    band: SetText | None
    height: float

    @property
    def band_height(self) -> float:
        """Height of the band at its foot, 0 without one."""
        return 0.0 if self.band is None else self.band.height + 1.6 * PAD_Y_MM


def cell_styles(size_pt: float, least_x_height_mm: float) -> CellStyles:
    """Return the styles of cells at a size. [pt, mm]"""
    head = Style("narrow-bold", "narrow-bold", size_pt, 1.16, role="allergens", least_x_height_mm=least_x_height_mm)
    grey = Ink(0, CONTAINS_TONE)
    detail = replace(head, face="narrow")
    return CellStyles(
        head,
        detail,
        replace(head, ink=grey),
        replace(detail, ink=grey),
        replace(head, ink=REVERSED),
        replace(detail, role="table cell", ink=_NOT_IN_IT),
    )


def kept_together(words: str) -> str:
    """Return the words of a state with those that must not be parted held together: Not known."""
    for pair in ("Not known", "Not an", "More not", "known: ask", "ask the"):
        if pair != "known: ask" or words.startswith("More"):
            words = words.replace(pair, pair.replace(" ", NO_BREAK_SPACE))
    return words


def texts_of(cell: SheetCell, styles: CellStyles, language: str) -> tuple[list[tuple[str, Style]], str]:
    """Return the paragraphs of a cell, each with its style, and the words of the band at its foot."""
    if cell.status == UNCONFIRMED:
        return [(kept_together(cell.head), styles.loud)], ""
    if cell.status == CONTAINS:
        head, detail = styles.on_grey, styles.detail_on_grey
    elif cell.status == MAY_CONTAIN:
        head, detail = styles.head, styles.detail
    else:
        # What a ferment can hold is said beside "not an ingredient": words to be read, not to be passed over.
        head, detail = styles.quiet, styles.detail
    found = [(kept_together(cell.head), head)]
    if cell.detail:
        found.append((cell.detail, detail))
    if cell.translated:
        found.append((cell.translated, replace(detail, language=language)))
    return found, kept_together(cell.more)


def set_cell(cell: SheetCell, styles: CellStyles, width_mm: float, language: str) -> SetCell:
    """Return a cell set into a tile of a width. [mm]"""
    inner = width_mm - 2.0 * PAD_X_MM
    paragraphs, more = texts_of(cell, styles, language)
    texts = tuple(set_text(words, style, inner) for words, style in paragraphs)
    band = set_text(more, styles.loud, inner) if more else None
    height = sum(one.height for one in texts) + BETWEEN_MM * (len(texts) - 1) + 2.0 * PAD_Y_MM
    done = SetCell(cell.status, texts, band, height)
    return replace(done, height=height + done.band_height)


def placed_cell(cell: SetCell, box: Box, block: str, place: Cell | None, band_mm: float = 0.0) -> list[Item]:
    """Return the tile of a cell in its box: ground, outline, words; bands of one row are as tall as the tallest, ``band_mm``. [mm]"""
    items: list[Item] = []
    if cell.status == CONTAINS:
        items.append(Fill(box, CONTAINS_TONE))
    elif cell.status == UNCONFIRMED:
        items.append(Fill(box, 0))
    elif cell.status == MAY_CONTAIN:
        items += _outline(box)
    foot = 0.0 if cell.band is None else max(band_mm, cell.band_height)
    y = box.y + PAD_Y_MM
    for number, text in enumerate(cell.texts):
        items += text.placed(box.x + PAD_X_MM, y, f"{block}, {number}", box=box, cell=place)
        y += text.height + BETWEEN_MM
    if cell.band is not None:
        under = Box(box.x, box.bottom - foot, box.width, foot)
        items.append(Fill(under, 0))
        down = cell.band.down_to_middle(foot)
        items += cell.band.placed(box.x + PAD_X_MM, under.y + down, f"{block}, more", box=under, cell=place)
    return items


def _outline(box: Box) -> list[Item]:
    half = _OUTLINE_PT * 25.4 / 144.0
    inner = box.inset(half)
    corners = ((inner.x, inner.y), (inner.right, inner.y), (inner.right, inner.bottom), (inner.x, inner.bottom))
    return [
        Rule(*corners[number], *corners[(number + 1) % 4], _OUTLINE_PT, house.RULE_TONE, dash_mm=_DASH_MM)
        for number in range(4)
    ]
