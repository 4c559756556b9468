"""Tents: one sheet folded in the middle, so that it stands and is read from both sides.

Flat, the front lies below the fold and the back above it, upside down. Letters of a name have 5.8 mm x-height where there is room: 10 minutes of
arc at two metres, twice the 5 that normal sight (20/20) needs; they are never below 2.9 mm, which is those 5 minutes (common practice, no source).

Both sides say everything. Where the name at a size for two metres leaves no room for that, the front bears name and description and says that
the rest stands on the other side; where the other side alone is too small, the sides share the words and each says which of how many it is.
"""

from collections.abc import Sequence
from dataclasses import replace

from labeller.printing import house
from labeller.printing.card_faces import MOST_CARDS, CardTooSmall, Face, face_of
from labeller.printing.card_layout import one_side, parted_sides
from labeller.printing.card_sizes import CardSize
from labeller.printing.card_words import CardText
from labeller.printing.faces import size_pt_for_x_height
from labeller.printing.fitting import Block, DoesNotFit, fit
from labeller.printing.page import Box, Item, Page, Rule, moved, turned
from labeller.printing.setting import set_text
from labeller.printing.sheets import Grid, Piece

NAME_X_HEIGHT_MM = 5.8
"""x-height of a name on the front, read from two metres. [mm]"""
NAME_BESIDE_FACTS_X_HEIGHT_MM = 4.4
"""A name that would have to be smaller than this for the facts to stand below it stands without them. [mm]"""
LEAST_NAME_X_HEIGHT_MM = 2.9
"""Least x-height of a name on the front. [mm]"""
DESCRIPTION_X_HEIGHT_MM = 2.9
"""x-height of the description on a front without facts. [mm]"""

OTHER_SIDE = "Allergens and alcohol: please read the other side."
Side = tuple[Item, ...]
_FOLD = "fold"
_MARK_MM = 5.0
_DASH_MM = (1.0, 0.8)


def tents_of(text: CardText, size: CardSize, clear_edge_mm: float = 0.0) -> tuple[Piece, ...] | CardTooSmall:
    """Return the tents of one dish: one where its two sides carry all, else as few as can be."""
    face = face_of(size, clear_edge_mm)
    found = _saying_all(text, face) or _sharing(text, face)
    if isinstance(found, DoesNotFit):
        return CardTooSmall(text.of, size, found.too_wide)
    return tuple(
        Piece(
            text.of if len(found) == 1 else f"{text.of}, card {number}",
            size.width,
            size.flat_height,
            (*(moved(item, 0.0, size.height, "front") for item in front), *_back(back, size)),
        )
        for number, (front, back) in enumerate(found, start=1)
    )


def _saying_all(text: CardText, face: Face) -> tuple[tuple[Side, Side], ...]:
    """Return the two sides of one tent whose back carries all, its front too where there is room; none where the back does not."""
    back = one_side(text, face)
    if isinstance(back, DoesNotFit):
        return ()
    front = one_side(text, face, _head(text, face, NAME_BESIDE_FACTS_X_HEIGHT_MM))
    if isinstance(front, DoesNotFit):
        front = _front_without_facts(text, face)
    return () if isinstance(front, DoesNotFit) else ((front, back),)


def _sharing(text: CardText, face: Face) -> tuple[tuple[Side, Side], ...] | DoesNotFit:
    """Return the sides of tents that share the words, as few as can be; a back left over says that the front is to be read."""
    found: tuple[Side, ...] | DoesNotFit = DoesNotFit(None, None)
    for least, most in ((NAME_BESIDE_FACTS_X_HEIGHT_MM, 2), (LEAST_NAME_X_HEIGHT_MM, 2 * MOST_CARDS)):
        found = parted_sides(text, face, _head(text, face, least)[0], most=most, what="Side")
        if not isinstance(found, DoesNotFit):
            break
    if isinstance(found, DoesNotFit):
        return found
    if len(found) % 2:
        rest = _front_without_facts(text, face)
        if isinstance(rest, DoesNotFit):
            return rest
        found = (*found, rest)
    return tuple(zip(found[::2], found[1::2], strict=True))


def _back(items: Sequence[Item], size: CardSize) -> tuple[Item, ...]:
    return tuple(moved(turned(item, size.width, size.height), 0.0, 0.0, "back") for item in items)


def _head(text: CardText, face: Face, least_x_height_mm: float) -> list[Block]:
    """Return name and description, to be read from two metres."""
    scale = face.scale
    style = replace(house.title(scale), least_x_height_mm=least_x_height_mm)
    style = style.sized(size_pt_for_x_height(NAME_X_HEIGHT_MM, "serif-bold"))
    few = replace(house.description(scale), least_x_height_mm=scale.least_x_height_mm)
    few = few.sized(size_pt_for_x_height(DESCRIPTION_X_HEIGHT_MM, "serif-italic"))
    return [
        Block("name", text.name, style, priority=2, most_lines=3, whole=True),
        Block("description", text.description, few, 1, scale.gap_mm, 1.2),
    ]


def _front_without_facts(text: CardText, face: Face) -> tuple[Item, ...] | DoesNotFit:
    """Return the name and the description at the top, and at the foot where to read on."""
    scale, space = face.scale, face.space
    signpost = set_text(OTHER_SIDE, replace(house.body(scale, "caution"), face="sans-bold"), space.width)
    box = Box(space.x, space.y, space.width, space.height - signpost.height - scale.gap_mm)
    fitted = fit(_head(text, face, LEAST_NAME_X_HEIGHT_MM), box.width, box.height, measured=False)
    if isinstance(fitted, DoesNotFit):
        return fitted
    foot = signpost.placed(space.x, space.bottom - signpost.height, "other side", box=space)
    return (*fitted.placed(box), *foot)


def with_fold_marks(pages: Sequence[Page], grid: Grid) -> tuple[Page, ...]:
    """Return sheets with a dashed mark at both ends of every fold, outside what is cut out."""
    return tuple(
        replace(page, items=(*page.items, *_fold_marks(page, grid, f"sheet {number}")))
        for number, page in enumerate(pages, start=1)
    )


def _fold_marks(page: Page, grid: Grid, name: str) -> tuple[Item, ...]:
    reach = page.printable
    first, last = grid.cells[0], grid.cells[-1]
    items: list[Item] = []
    for row, y in enumerate(sorted({cell.y + cell.height / 2.0 for cell in grid.cells})):
        for near, far in (
            (first.x, max(reach.x, first.x - _MARK_MM)),
            (last.right, min(reach.right, last.right + _MARK_MM)),
        ):
            items.append(Rule(near, y, far, y, house.RULE_PT, crop=True, dash_mm=_DASH_MM))
        word = set_text(_FOLD, house.small_print(house.CARD_A7), _MARK_MM + 3.0)
        width = word.lines[0].width
        if first.x - reach.x > width + 0.8:
            items += word.placed(first.x - width - 0.8, y - word.height - 0.4, f"{name}, fold {row + 1}")
    return tuple(items)
