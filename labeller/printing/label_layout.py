"""A label put together from its texts: bands under what must not be missed, lines to write on, and a further label where one is too small.

Lengths are millimetres. What a label says is decided in `container_labels` and `sale_labels`.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from labeller.declarations.marked_text import MarkedText
from labeller.printing import house
from labeller.printing.fitting import Block, DoesNotFit, Fitted, FittedText, fit, flow
from labeller.printing.label_stock import LabelStock
from labeller.printing.page import Box, Fill, Item, Rule
from labeller.printing.setting import SetText, least_height_mm, set_text
from labeller.printing.sheets import Piece
from labeller.printing.tones import BLACK

BAND_MM = 0.75
"""How far a black band reaches above and below its text. [mm]"""
BAND_BESIDE_MM = 1.4
"""How far it reaches beside the column of text. [mm]"""
WHICH = "which label"
"""Name of the paragraph that says which of several labels this is."""
_WRITE_GAP_MM = 1.4
_RULE_ABOVE_MM = 1.6
_BOTH = 2
_TRIES = 4
_STEP_PT = 0.05  # sizes go by steps of it, downwards
BETWEEN_MM = 3.0
"""Between words that stand side by side. [mm]"""


@dataclass(frozen=True, slots=True)
class LabelPart:
    """One text of a label.

    Parameters
    ----------
    block : Block
        The text; its space above counts from the text before, band and all.
    loud : bool
        On a black band.
    rule : bool
        A hairline above it parts it from what stands before.
    repeated : bool
        Stands on every label of the thing.
    low : bool
        Stands at the foot of the label where there is room.
    write : tuple of (str, bool)
        Words side by side, each with or without a line to write on behind it; the block's text is one line as high as they.
    """

    block: Block
    loud: bool = False
    rule: bool = False
    repeated: bool = False
    low: bool = False
    write: tuple[tuple[str, bool], ...] = ()


@dataclass(frozen=True, slots=True)
class LabelTooSmall:
    """A label that cannot carry what it must say, and the sizes that would. [mm]"""

    name: str
    width: float
    height: float
    most: int
    needs_height: float | None
    needs_width: float | None
    too_wide: tuple[str, ...]

    def as_text(self) -> str:
        """Return it in words, with the mend."""
        count = "one" if self.most == 1 else f"even {self.most}"
        said = f"'{self.name}' does not fit {count} of {self.width:g}x{self.height:g} mm, at the least size its letters may have."
        if self.too_wide:
            said += f" '{self.too_wide[0]}' is wider than the label and may not be broken."
        sizes: list[str] = []
        if self.needs_height is not None:
            sizes.append(f"{self.width:g}x{self.needs_height:g}")
        if self.needs_width is not None:
            sizes.append(f"{self.needs_width:g}x{self.height:g}")
        if not sizes:
            return f"{said} Choose a label both wider and higher."
        return f"{said} A label of {' or '.join(sizes)} mm would carry it: write it after --label."


def label_scale(scale: house.Scale, stock: LabelStock) -> house.Scale:
    """Return the sizes for a label: larger letters on a larger one, edges clear of what a printer cannot reach."""
    room = min(stock.width / 63.5, stock.height / 38.1)
    title = min(max(room, 1.0), 1.9)
    text = 1.0 + 0.45 * (min(max(room, 1.0), 1.9) - 1.0)
    edge = min(scale.margin_mm, 0.05 * min(stock.width, stock.height) + 0.5)
    return replace(
        scale,
        title_pt=scale.title_pt * title,
        body_pt=scale.body_pt * text,
        small_pt=scale.small_pt * text,
        margin_mm=max(edge, stock.clear_edge + 0.4),
        gap_mm=scale.gap_mm * text,
    )


def whole_in_bold(text: str | MarkedText) -> MarkedText:
    """Return a text set apart from end to end."""
    words = text if isinstance(text, str) else text.text
    return MarkedText(words, ((0, len(words)),) if words else ())


def space_of(stock: LabelStock, scale: house.Scale) -> Box:
    """Return where texts may stand on a label."""
    return Box(0.0, 0.0, stock.width, stock.height).inset(scale.margin_mm)


def one_label(name: str, parts: Sequence[LabelPart], stock: LabelStock, scale: house.Scale) -> Piece | None:
    """Return one label with all parts; None where it is too small for them."""
    space = space_of(stock, scale)
    if surely_too_high(parts, 0.0, space):
        return None
    fitted = fit([part.block for part in parts], space.width, space.height, measured=False)
    if isinstance(fitted, DoesNotFit):
        return None
    return Piece(name, stock.width, stock.height, placed(fitted, parts, space))


def surely_too_high(parts: Sequence[LabelPart], share: float, space: Box) -> bool:
    """Return whether it is plain without setting them that parts do not fit at a share of the way from their least sizes to their own."""
    least = 0.0
    for part in parts:
        block = part.block
        style = block.style
        size = style.least_size_pt + share * max(0.0, style.size_pt - style.least_size_pt) - _STEP_PT
        least += least_height_mm(block.text, style.sized(size), space.width)
    return least > space.height


def stacked(parts: Sequence[LabelPart], share: float, width: float) -> Fitted:
    """Return parts one under the other at a share of the way from their least sizes (0) to their own (1), however high."""
    texts: list[FittedText] = []
    down = 0.0
    for part in parts:
        text = part.block.set_at(share, width)
        if text.lines:
            down += part.block.space_at(share) if texts else 0.0
            texts.append(FittedText(part.block.name, text, down))
            down += text.height
    return Fitted(tuple(texts), width, down)


def labels_of(
    name: str,
    parts: Sequence[LabelPart],
    stock: LabelStock,
    scale: house.Scale,
    *,
    most: int,
    measured: bool = True,
) -> tuple[Piece, ...] | LabelTooSmall:
    """Return the labels of one thing: one where it carries all, else as few as can be, each with the repeated parts and a foot.

    Parameters
    ----------
    most : int
        More than so many labels are refused.
    measured : bool
        Whether a refusal names the sizes that would do, which takes a while to work out.

    Notes
    -----
    A text is parted between two labels only where keeping it whole would take a label more, one on a black band only where it would take
    two: what goes on without its head is harder to understand. No label is begun for what stands at the foot alone.
    """
    single = one_label(name, parts, stock, scale)
    if single is not None:
        return (single,)
    parted = pour(parts, stock, scale, most=most)
    if parted is None:
        if not measured:
            return LabelTooSmall(name, stock.width, stock.height, most, None, None, ())
        return too_small(name, parts, stock, scale, most)
    keeping = [replace(part, block=replace(part.block, whole=True)) for part in parts]
    whole = pour(keeping, stock, scale, most=min(most, len(parted) + _loud_is_parted(parted, parts)))
    if whole is not None and len(whole) > len(parted) and not _names(whole[-1]) & _contents(parts):
        whole = None
    return tuple(
        Piece(f"{name}, label {number}", stock.width, stock.height, items)
        for number, items in enumerate(with_feet(whole or parted, parts, stock, scale), start=1)
    )


def _loud_is_parted(poured: Sequence[Fitted], parts: Sequence[LabelPart]) -> bool:
    names = [one.name for fitted in poured for one in fitted.texts]
    return any(names.count(part.block.name) > 1 for part in parts if part.loud)


def _names(fitted: Fitted) -> set[str]:
    return {one.name for one in fitted.texts}


def _contents(parts: Sequence[LabelPart]) -> set[str]:
    """Return the names of what a label is for: not what it repeats, nor what stands at its foot."""
    return {part.block.name for part in parts if not part.repeated and not part.low}


def too_small(
    name: str, parts: Sequence[LabelPart], stock: LabelStock, scale: house.Scale, most: int
) -> LabelTooSmall:
    """Return the refusal, with the sizes of one label that would carry all."""
    edge = 2.0 * max(scale.margin_mm, house.TUB.margin_mm, house.SALE.margin_mm)  # as on a larger label
    found = fit([part.block for part in parts], stock.width - edge, stock.height - edge)
    if not isinstance(found, DoesNotFit):
        raise TypeError(f"'{name}' fits one label, so there is nothing to refuse.")
    needs_height = None if found.needs_height_mm is None else round(found.needs_height_mm + edge + 0.05, 1)
    needs_width = None if found.needs_width_mm is None else round(found.needs_width_mm + edge + 0.05, 1)
    return LabelTooSmall(name, stock.width, stock.height, most, needs_height, needs_width, found.too_wide)


def with_sizes_that_hold(
    refused: LabelTooSmall, stock: LabelStock, lay_out: Callable[[LabelStock], tuple[Piece, ...] | LabelTooSmall]
) -> LabelTooSmall:
    """Return a refusal whose sizes have been tried: a larger label has wider edges, so what was reckoned may fall short of it.

    Parameters
    ----------
    refused : LabelTooSmall
        With the sizes as reckoned.
    stock : LabelStock
        What was too small.
    lay_out : Callable
        Lays the same thing out on other labels.
    """

    def tried(width: float, height: float, *, grow_width: bool) -> float | None:
        for _ in range(_TRIES):
            made = lay_out(LabelStock(width, height, None, edge=stock.clear_edge))
            if not isinstance(made, LabelTooSmall) and len(made) == 1:
                return width if grow_width else height
            width, height = (round(1.03 * width, 1), height) if grow_width else (width, round(1.03 * height, 1))
        return None

    high, wide = refused.needs_height, refused.needs_width
    return replace(
        refused,
        needs_height=None if high is None else tried(refused.width, high, grow_width=False),
        needs_width=None if wide is None else tried(wide, refused.height, grow_width=True),
    )


def pour(parts: Sequence[LabelPart], stock: LabelStock, scale: house.Scale, *, most: int) -> tuple[Fitted, ...] | None:
    """Return the texts on as few labels as can be, room for a foot left on each; None where more than the most are needed."""
    space = space_of(stock, scale)
    elsewhere = most - 1 if any(part.loud for part in parts) else None
    longest = _foot(_foot_words(most, most, goes_on=False, begun=True, loud_on=elsewhere), scale, space.width)
    room = space.height - longest.height - scale.gap_mm
    heads = [part.block for part in parts if part.repeated]
    rest = [part.block for part in parts if not part.repeated]
    found = flow(rest, space.width, room, repeated=heads, most_boxes=most, measured=False)
    return None if isinstance(found, DoesNotFit) or len(found) > most else found


def with_feet(
    poured: Sequence[Fitted], parts: Sequence[LabelPart], stock: LabelStock, scale: house.Scale
) -> tuple[tuple[Item, ...], ...]:
    """Return what lies on each label, and at its foot which of how many it is, whether a text goes on, and where the loud words are."""
    space = space_of(stock, scale)
    own = {part.block.name for part in parts if not part.repeated}
    names = [_names(fitted) & own for fitted in poured]
    loud = {part.block.name for part in parts if part.loud}
    loudest = next((number for number, found in enumerate(names, start=1) if found & loud), None)
    made: list[tuple[Item, ...]] = []
    for number, fitted in enumerate(poured, start=1):
        goes_on = number < len(poured) and bool(names[number - 1] & names[number])
        begun = number > 1 and bool(names[number - 1] & names[number - 2])
        loud_on = None if names[number - 1] & loud else loudest  # a label lost must not leave one that says too little
        words = _foot_words(number, len(poured), goes_on=goes_on, begun=begun, loud_on=loud_on)
        line = _foot(words, scale, space.width)
        above = Box(space.x, space.y, space.width, space.height - line.height - scale.gap_mm)
        items = placed(fitted, parts, above)
        made.append((*items, *line.placed(space.x, space.bottom - line.height, WHICH, box=space)))
    return tuple(made)


def _foot_words(number: int, count: int, *, goes_on: bool, begun: bool, loud_on: int | None) -> str:
    every = "both" if count == _BOTH else f"all {count}"
    where = f", follows {number - 1}" if begun else ", goes on" if goes_on else ""
    more = f"not everything is known, see label {loud_on}: " if loud_on is not None else ""
    return f"Label {number} of {count}{where}: {more}stick on {every}"


def _foot(words: str, scale: house.Scale, width: float) -> SetText:
    style = replace(house.small_print(scale), face="narrow-bold", strong="narrow-bold", role="caution", ink=BLACK)
    return set_text(words, style, width)


def placed(fitted: Fitted, parts: Sequence[LabelPart], space: Box) -> tuple[Item, ...]:
    """Return what lies in a box: texts, the bands under the loud ones, hairlines and lines to write on."""
    by_name = {part.block.name: part for part in parts}
    chosen = [_part_of(one, by_name) for one in fitted.texts]
    down = [0.0] * len(chosen)
    spare = space.height - fitted.height
    for at in range(len(chosen) - 1, -1, -1):
        if not chosen[at].low:
            break
        down[at] = spare
    items: list[Item] = []
    above = 0.0
    for number, (one, part) in enumerate(zip(fitted.texts, chosen, strict=True)):
        top = space.y + one.top + down[number]
        loud_before = number > 0 and chosen[number - 1].loud
        if part.loud:
            start = above if loud_before else top - BAND_MM
            end = top + one.text.height + BAND_MM
            items.append(
                Fill(Box(space.x - BAND_BESIDE_MM, start, space.width + 2.0 * BAND_BESIDE_MM, end - start), 0)
            )
        elif part.rule and number > 0 and not loud_before:
            # Half way, or close above what stands at the foot of a label with much room.
            at_y = max((above + top) / 2.0, top - _RULE_ABOVE_MM)
            items.append(Rule(space.x, at_y, space.right, at_y, house.HAIRLINE_PT))
        items += _write_on(one, part, top, space) if part.write else one.text.placed(space.x, top, one.name, box=space)
        above = top + one.text.height
    return tuple(items)


def _part_of(one: FittedText, by_name: dict[str, LabelPart]) -> LabelPart:
    # What is repeated on a further label bears its number behind a comma.
    return by_name.get(one.name) or by_name[one.name.rpartition(", ")[0]]


def _write_on(one: FittedText, part: LabelPart, top: float, space: Box) -> list[Item]:
    """Return words side by side: what is known as wide as it is, the lines to write on sharing the rest."""
    style = one.text.style
    done = [set_text(words, style, space.width) for words, _ in part.write]
    widths = [text.lines[0].width for text in done]
    blanks = sum(line for _, line in part.write)
    rest = space.width - sum(widths) - (len(done) - 1) * BETWEEN_MM
    items: list[Item] = []
    x = space.x
    for number, ((_, line), text, width) in enumerate(zip(part.write, done, widths, strict=True), start=1):
        items += text.placed(x, top, f"{one.name}, {number}", box=space)
        x += width
        if line:
            base = top + text.rise + 0.4
            end = x + rest / blanks
            items.append(Rule(x + _WRITE_GAP_MM, base, end, base, house.HAIRLINE_PT))
            x = end
        x += BETWEEN_MM
    return items
