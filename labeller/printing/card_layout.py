"""Cards that stand on a counter or table, laid out: the name large, then what a guest must know, and at the foot who says so and when.

One order, one hierarchy, black on white. What is not known is set bold behind a bar, so that it is seen without colour and survives a grey copy.

Least heights of letters are the house's own (common practice, no source), see `house`: what must be known 1.9 mm x-height, read standing at
arm's length by evening light; the caution that is the same on every card 1.4 mm; date and version 1.2 mm. A name never shrinks to the size of the
text below it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from labeller.declarations.marked_text import MarkedText
from labeller.printing import house
from labeller.printing.card_faces import MOST_CARDS, CardTooSmall, Face, face_of
from labeller.printing.card_sizes import CardSize
from labeller.printing.card_words import CardLine, CardText
from labeller.printing.faces import MM_PER_POINT
from labeller.printing.fitting import Block, DoesNotFit, Fitted, FittedText, fewest_boxes, fit, flow
from labeller.printing.page import Box, Item, Role, Rule, TextLine
from labeller.printing.setting import Style, set_text
from labeller.printing.sheets import Piece

CAUTION_X_HEIGHT_MM = 1.4
"""Least x-height of the cautions. [mm]"""
DESCRIPTION_X_HEIGHT_MM = 1.6
"""Least x-height of the dish in a few words. [mm]"""
LEAST_NAME_X_HEIGHT_MM = 2.5
"""Least x-height of a name, a third above that of the text. [mm]"""
HEAD_SPACE_MM = 4.0
"""Least space between the head of a card and what follows it, with a rule in the middle. [mm]"""

_HEAD_SHARE = 0.62
_STEPS = 3
_MOST_HALVINGS = 6
_CAUTION_SHARE = 0.72
_BELOW_HEAD = 1.9
"""Space between head and text where there is room, in gaps. [1]"""
_SPARE_SHARE = 0.5
"""Share of what is left over that may go to it. [1]"""
_BAR_MM = 0.9
_BAR_FROM_TEXT_MM = 2.1
_BAR_BEYOND_MM = 0.4
_PART = "{what} {number} of {count}: please read {all}."


def cards_of(text: CardText, size: CardSize, clear_edge_mm: float = 0.0) -> tuple[Piece, ...] | CardTooSmall:
    """Return the cards of one dish: one where it carries all, else as few as can be, each with the name and its number."""
    face = face_of(size, clear_edge_mm)
    sides = sides_of(text, face)
    if isinstance(sides, DoesNotFit):
        return CardTooSmall(text.of, size, sides.too_wide)
    return tuple(
        Piece(_piece_name(text, number, len(sides)), face.width, face.height, items)
        for number, items in enumerate(sides, start=1)
    )


def _piece_name(text: CardText, number: int, count: int) -> str:
    return text.of if count == 1 else f"{text.of}, card {number}"


def sides_of(text: CardText, face: Face) -> tuple[tuple[Item, ...], ...] | DoesNotFit:
    """Return what lies on each side that carries all the words, from its own top left corner."""
    single = one_side(text, face)
    if not isinstance(single, DoesNotFit):
        return (single,)
    refused = DoesNotFit(None, None)
    # A name smaller than cards have it only where nothing else helps.
    for share in (_HEAD_SHARE, 0.0):
        found = parted_sides(text, face, name_block(text, face, share), most=MOST_CARDS, what="Card")
        if not isinstance(found, DoesNotFit):
            break
        refused = found
    else:
        return refused
    if says_little(found[-1], text):
        # One card with a smaller name rather than another one for what every dish has.
        single = one_side(text, face, (name_block(text, face, 0.0), *_description(text, face)))
        return found if isinstance(single, DoesNotFit) else (single,)
    return found


def says_little(side: tuple[Item, ...], text: CardText) -> bool:
    """Return whether nothing of what is in a dish stands on one of several sides: only cautions, or whom it suits."""
    facts = {line.key for line in text.facts if line.kind != "claim"}
    return not any(
        isinstance(one, TextLine) and (one.block in facts or one.block.rpartition(" (")[0] in facts) for one in side
    )


def parted_sides(
    text: CardText, face: Face, name: Block, *, most: int, what: str
) -> tuple[tuple[Item, ...], ...] | DoesNotFit:
    """Return the words on as few sides as can be, each with the name, and at its foot which of how many it is.

    Parameters
    ----------
    text : CardText
        The words.
    face : Face
        The size of each side.
    name : Block
        The name as every side bears it.
    most : int
        More sides than this are not had.
    what : str
        What the sides are called: Card, Side.
    """
    text = _with_long_lists_parted(text, face, name)
    poured = _pour(name, text, face, most)
    if isinstance(poured, DoesNotFit):
        return poured
    made: list[tuple[Item, ...]] = []
    for number, fitted in enumerate(poured, start=1):
        foot = _foot(text, face, _which(what, number, len(poured)))
        made.append((*_placed(fitted, text, face, foot, parted=True), *foot.items))
    return tuple(made)


def _which(what: str, number: int, count: int) -> str:
    return _PART.format(what=what, number=number, count=count, all="both" if count == 2 else f"all {count}")


def one_side(text: CardText, face: Face, head: Sequence[Block] = ()) -> tuple[Item, ...] | DoesNotFit:
    """Return what lies on one side that carries everything, its head as given or as cards have it."""
    foot = _foot(text, face)
    space = face.space
    room = space.height - foot.height - face.scale.gap_mm
    blocks = [*(head or (name_block(text, face), *_description(text, face))), *_body(text, face)]
    fitted = fit(blocks, space.width, room, measured=False, steps=_STEPS)
    if isinstance(fitted, DoesNotFit):
        return fitted
    return (*_placed(fitted, text, face, foot), *foot.items)


def name_block(text: CardText, face: Face, least_share: float = _HEAD_SHARE) -> Block:
    """Return the name of the dish as a card has it; it may shrink to a share of its size, never to that of the text."""
    style = replace(house.title(face.scale), least_x_height_mm=LEAST_NAME_X_HEIGHT_MM)
    own = style.least_size_pt
    share = max(own, least_share * style.size_pt) / own
    style = replace(style, least_x_height_mm=LEAST_NAME_X_HEIGHT_MM * share)
    return Block("name", text.name, style, priority=2, most_lines=2, whole=True)


def _description(text: CardText, face: Face) -> Iterator[Block]:
    if text.description:
        style = replace(house.description(face.scale), least_x_height_mm=DESCRIPTION_X_HEIGHT_MM)
        yield Block("description", text.description, style, 1, 0.5 * face.scale.gap_mm, 1.0)


def _body(text: CardText, face: Face) -> Iterator[Block]:
    """Yield everything below the head; smaller things shrink first."""
    scale = face.scale
    gap = scale.gap_mm
    for number, line in enumerate(text.facts):
        wide, least = (_BELOW_HEAD * gap, HEAD_SPACE_MM) if number == 0 else (0.75 * gap, 1.5)
        if line.translates:
            wide, least = 0.35 * gap, 1.0
        named_again = number + 1 < len(text.facts) and text.facts[number + 1].translates
        yield Block(line.key, _said(line), _style(line, scale), 2, wide, least, keep_with_next=named_again)
    for number, line in enumerate(text.cautions):
        wide, least = (1.5 * gap, 2.4) if number == 0 else (0.4 * gap, 0.8)
        yield Block(line.key, line.text, caution_style(scale, line), 1, wide, least)


def _said(line: CardLine) -> MarkedText:
    """Return the words as they are set: what is not known is bold from end to end."""
    if line.kind != "ask" or line.translates:
        return line.text
    return MarkedText(line.text.text, ((0, len(line.text.text)),))


def _style(line: CardLine, scale: house.Scale) -> Style:
    roles: dict[str, Role] = {"ask": "caution", "claim": "body", "energy": "figures"}
    role = roles.get(line.kind) or ("alcohol" if line.kind == "alcohol" else "allergens")
    return replace(house.body(scale, role), language=line.language)


def caution_style(scale: house.Scale, line: CardLine) -> Style:
    """Return the style of a caution: smaller than what it follows, as black."""
    role: Role = "figures" if line.kind == "energy" else "caution"
    return replace(
        house.body(scale, role), size_pt=_CAUTION_SHARE * scale.body_pt, least_x_height_mm=CAUTION_X_HEIGHT_MM
    )


def _room(text: CardText, face: Face) -> float:
    """Return the height there is for texts above the foot of one of several cards. [mm]"""
    return face.space.height - _foot(text, face, _which("Card", MOST_CARDS, MOST_CARDS)).height - face.scale.gap_mm


def _left(name: Block, text: CardText, face: Face) -> float:
    """Return the height there is below the name, at its least size. [mm]"""
    return _room(text, face) - name.set_at(0.0, face.space.width).height - HEAD_SPACE_MM


def _with_long_lists_parted(text: CardText, face: Face, name: Block) -> CardText:
    """Return the words with every list that is too long for any card as several, each with its head: half a list would be read as another."""
    left = _left(name, text, face)
    for _ in range(_MOST_HALVINGS):
        found: list[CardLine] = []
        for line in text.facts:
            tall = Block(line.key, _said(line), _style(line, face.scale)).set_at(0.0, face.space.width).height > left
            found += (line.halves() if tall else None) or (line,)
        if len(found) == len(text.facts):
            break
        text = replace(text, facts=tuple(found))
    return text


def _pour(name: Block, text: CardText, face: Face, most: int) -> tuple[Fitted, ...] | DoesNotFit:
    """Return the texts on as few sides as can be, each under the name.

    A list of allergens is parted only where it is too long for any card; what is said of alcohol also where that saves a card. The cautions
    do not stand on a card alone where that costs no further one.
    """
    space, room, left = face.space, _room(text, face), _left(name, text, face)
    blocks = [*_description(text, face), *_body(text, face)]
    whole = [replace(one, whole=one.set_at(0.0, space.width).height <= left) for one in blocks]
    last_fact = len(blocks) - len(text.cautions) - 1
    kept = [replace(one, keep_with_next=one.keep_with_next or at == last_fact) for at, one in enumerate(whole)]
    alcohol_parted = [replace(one, whole=one.whole and one.style.role != "alcohol") for one in whole]
    apart = [replace(one, keep_with_next=False) for one in alcohol_parted]
    ways = (kept, whole, alcohol_parted, apart)
    counts = [
        fewest_boxes(one, space.width, room, repeated=[name], most_boxes=most, after_repeated_mm=HEAD_SPACE_MM)
        for one in ways
    ]
    # Of ways that take as few sides the first is the best.
    chosen = min(range(len(ways)), key=lambda at: (counts[at] or most + 1, at))
    return flow(
        ways[chosen],
        space.width,
        room,
        repeated=[name],
        most_boxes=most,
        after_repeated_mm=HEAD_SPACE_MM,
        measured=False,
        steps=_STEPS - 1,
    )


@dataclass(frozen=True, slots=True)
class _Foot:
    items: tuple[Item, ...]
    height: float


def _foot(text: CardText, face: Face, said: str = "") -> _Foot:
    """Return the foot of a card, at its bottom: which of how many it is, then who says so and when."""
    scale, space = face.scale, face.space
    line = set_text(text.foot, house.small_print(scale), space.width)
    items: tuple[Item, ...] = line.placed(space.x, space.bottom - line.height, "foot", box=space)
    if not said:
        return _Foot(items, line.height)
    style = replace(house.body(scale, "caution"), face="sans-bold")
    style = style.sized(max(style.least_size_pt, 0.85 * scale.body_pt))
    which = set_text(said, style, space.width)
    height = line.height + 0.35 * scale.gap_mm + which.height
    return _Foot((*which.placed(space.x, space.bottom - height, "which card", box=space), *items), height)


def _placed(fitted: Fitted, text: CardText, face: Face, foot: _Foot, *, parted: bool = False) -> tuple[Item, ...]:
    """Return texts where they stand: from the top, the cautions at the foot; a rule below the head, a bar beside what is not known."""
    space = face.space
    bottom = space.bottom - foot.height - face.scale.gap_mm
    box = Box(space.x, space.y, space.width, bottom - space.y)
    low = {line.key for line in text.cautions}
    asking = {line.key for line in text.facts if line.kind == "ask"}
    named_again = {line.key for line in text.facts if line.translates}
    down = max(0.0, box.height - fitted.height)
    items: list[Item] = []
    before: FittedText | None = None
    above = box.y
    below_head = 0.0
    for one in fitted.texts:
        if parted and before is not None and _is_head(before) and one.name not in low and not _is_head(one):
            # What is left over goes first to the white below the head, so that a second card looks like the first.
            has = one.top - before.top - before.text.height
            below_head = min(max(0.0, _BELOW_HEAD * face.scale.gap_mm - has), _SPARE_SHARE * down)
        top = box.y + one.top + (down if one.name in low else below_head)
        if before is not None and _is_head(before) and not _is_head(one):
            items.append(_head_rule(before, top, box, face.scale.gap_mm))
        if one.name in asking:
            goes_on = before is not None and before.name in asking and one.name in named_again
            items.append(_bar(above if goes_on else top, top + one.text.height, box))
        items += one.text.placed(box.x, top, one.name, box=box)
        before, above = one, top + one.text.height
    return tuple(items)


def _is_head(one: FittedText) -> bool:
    return one.name == "description" or one.name.partition(",")[0] == "name"


def _head_rule(above: FittedText, top: float, box: Box, gap: float) -> Rule:
    """Return the rule below the head: halfway to what follows; where that stands at the foot, as near as on other cards."""
    bottom = box.y + above.top + above.text.height
    y = bottom + min(top - bottom, _BELOW_HEAD * gap) / 2.0
    return Rule(box.x, y, box.right, y, house.HAIRLINE_PT)


def _bar(top: float, bottom: float, box: Box) -> Rule:
    """Return the bar beside what is not known; it goes on beside the same in another language."""
    x = box.x - _BAR_FROM_TEXT_MM
    return Rule(x, top - _BAR_BEYOND_MM, x, bottom + _BAR_BEYOND_MM, _BAR_MM / MM_PER_POINT)
