"""Make texts fit a box: shrink them evenly, to their lawful least and no further, then say what size would carry them, or go on in another box.

Nothing is ever left out and no word shortened: a text either stands whole, or goes on elsewhere, or is refused with the size that would do.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from labeller.declarations.marked_text import MarkedText
from labeller.printing.page import Box, TextLine
from labeller.printing.setting import SetText, Style, set_text

_STEPS = 5
_WIDEST_MM = 1200.0
_SIZE_STEP_PT = 0.05


@dataclass(frozen=True, slots=True)
class Block:
    """One text to be fitted.

    Parameters
    ----------
    name : str
        Name of its paragraph; see `page.TextLine`.
    text : str or MarkedText
        Its words.
    style : Style
        How it is set when there is room; it shrinks to ``style.least_size_pt`` and no further, not at all where that is larger or 0.
    priority : int
        Blocks of the lowest number shrink first, all of one number evenly.
    space_before_mm, least_space_mm : float
        Space above it with room and without; none at the top of a box. [mm]
    keep_with_next : bool
        A heading: never the last in a box.
    whole : bool
        Never parted between two boxes.
    most_lines : int
        For titles: set smaller, down to its least, rather than on more lines than this or with a word broken; 0 for no such wish.
    """

    name: str
    text: str | MarkedText
    style: Style
    priority: int = 1
    space_before_mm: float = 0.0
    least_space_mm: float = 0.0
    keep_with_next: bool = False
    whole: bool = False
    most_lines: int = 0

    def set_at(self, share: float, width_mm: float) -> SetText:
        """Return it set at a share of the way from its least size (0) to its own (1)."""
        text = set_text(self.text, self.style.sized(self._size(share)), width_mm)
        if not self.most_lines:
            return text
        tried = 0.95 * share
        while share > 0.0 and not self._pleases(text):
            text = set_text(self.text, self.style.sized(self._size(tried)), width_mm)
            if tried <= 0.0:
                # Nothing helps: then at least as large as the box allows.
                return (
                    text if self._pleases(text) else set_text(self.text, self.style.sized(self._size(share)), width_mm)
                )
            tried = tried - 0.05 if tried > 0.05 else 0.0
        return text

    def _pleases(self, text: SetText) -> bool:
        return (
            len(text.lines) <= self.most_lines
            and not text.too_wide
            and not any(line.hyphenated for line in text.lines)
        )

    def space_at(self, share: float) -> float:
        """Return the space above it. [mm]"""
        return self.least_space_mm + (self.space_before_mm - self.least_space_mm) * share

    def _size(self, share: float) -> float:
        own, least = self.style.size_pt, self.style.least_size_pt
        if own <= least or least <= 0.0:
            return max(own, least)
        # Sizes go by twentieths of a point, so that papers printed together look alike; never below the least.
        wanted = least + (own - least) * share
        return max(least, math.floor(wanted / _SIZE_STEP_PT + 1e-9) * _SIZE_STEP_PT)


@dataclass(frozen=True, slots=True)
class FittedText:
    """A text in its place: how far down its box it begins. [mm]"""

    name: str
    text: SetText
    top: float


@dataclass(frozen=True, slots=True)
class Fitted:
    """Texts in a box, one under the other. Lengths in millimetres."""

    texts: tuple[FittedText, ...]
    width: float
    height: float

    def placed(self, box: Box, *, at: str = "top") -> tuple[TextLine, ...]:
        """Return the lines in a box: at its top, middle or bottom."""
        spare = box.height - self.height
        down = {"top": 0.0, "middle": spare / 2.0, "bottom": spare}[at]
        return tuple(
            line for one in self.texts for line in one.text.placed(box.x, box.y + down + one.top, one.name, box=box)
        )


@dataclass(frozen=True, slots=True)
class DoesNotFit:
    """A box too small even at the least sizes, and what would carry it all.

    ``needs_height_mm`` is the height that would do at this width, ``needs_width_mm`` the width at this height; None where none up to
    1200 mm would. ``too_wide`` are words that may not be broken and are wider than the box. [mm]
    """

    needs_height_mm: float | None
    needs_width_mm: float | None
    too_wide: tuple[str, ...] = ()


def fit(
    blocks: Sequence[Block], width_mm: float, height_mm: float, *, measured: bool = True, steps: int = _STEPS
) -> Fitted | DoesNotFit:
    """Fit texts into a box.

    Parameters
    ----------
    blocks : sequence of Block
        The texts from top to bottom.
    width_mm, height_mm : float
        Size of the box. [mm]
    measured : bool
        Whether the size of a box that would do is worked out where this one does not.
    steps : int
        How finely the size is looked for: to one part in 2 to the power of it. Few steps make papers printed together look alike.

    Returns
    -------
    Fitted or DoesNotFit
        The texts as large as the box allows, or the size of a box that would carry them.
    """
    for shares in _ways_to_shrink(blocks, width_mm, height_mm, steps):
        stacked = _stack(blocks, shares, width_mm)
        if _within(stacked, height_mm):
            return stacked
    return _what_would_do(blocks, width_mm, height_mm, measured=measured)


def _ways_to_shrink(blocks: Sequence[Block], width: float, height: float, steps: int) -> list[list[float]]:
    """Return the largest sizes that may fit: full size, else the first order of priority whose shrinking is enough, as little as is enough."""
    full = [1.0] * len(blocks)
    if _fits(blocks, full, width, height):
        return [full]
    for level in sorted({block.priority for block in blocks}):
        if not _fits(blocks, _shares(blocks, level, 0.0), width, height):
            continue
        low, high = 0.0, 1.0
        for _ in range(steps):
            middle = (low + high) / 2.0
            if _fits(blocks, _shares(blocks, level, middle), width, height):
                low = middle
            else:
                high = middle
        return [_shares(blocks, level, low)]
    return []


def _shares(blocks: Sequence[Block], level: int, share: float) -> list[float]:
    """Return how far each block is shrunk when those of one priority are at a share: those before it all the way, those after not at all."""
    return [0.0 if block.priority < level else share if block.priority == level else 1.0 for block in blocks]


def _stack(blocks: Sequence[Block], shares: Sequence[float], width: float) -> Fitted:
    texts: list[FittedText] = []
    down = 0.0
    for block, share in zip(blocks, shares, strict=True):
        text = block.set_at(share, width)
        if not text.lines:
            continue
        down += block.space_at(share) if texts else 0.0
        texts.append(FittedText(block.name, text, down))
        down += text.height
    return Fitted(tuple(texts), width, down)


def _within(fitted: Fitted, height: float) -> bool:
    return fitted.height <= height + 1e-6 and all(one.text.fits_width for one in fitted.texts)


def _fits(blocks: Sequence[Block], shares: Sequence[float], width: float, height: float) -> bool:
    return _within(_stack(blocks, shares, width), height)


def _what_would_do(blocks: Sequence[Block], width: float, height: float, *, measured: bool = True) -> DoesNotFit:
    least = [0.0] * len(blocks)
    stacked = _stack(blocks, least, width)
    too_wide = tuple(word for one in stacked.texts for word in one.text.too_wide)
    if not measured:
        return DoesNotFit(None, None, too_wide)
    needs_height = None if too_wide else _up(stacked.height)
    low, high = width, width
    while not _fits(blocks, least, high, height):
        low, high = high, high * 1.25
        if high > _WIDEST_MM:
            return DoesNotFit(needs_height, None, too_wide)
    while high - low > 0.1:
        middle = (low + high) / 2.0
        if _fits(blocks, least, middle, height):
            high = middle
        else:
            low = middle
    return DoesNotFit(needs_height, _up(high), too_wide)


def _up(length: float) -> float:
    """Return a length to the next tenth of a millimetre up: a size named to people must hold."""
    return math.ceil(length * 10.0 - 1e-6) / 10.0


def flow(
    blocks: Sequence[Block],
    width_mm: float,
    height_mm: float,
    *,
    repeated: Sequence[Block] = (),
    most_boxes: int = 24,
    after_repeated_mm: float = 0.0,
    measured: bool = True,
    steps: int = _STEPS,
) -> tuple[Fitted, ...] | DoesNotFit:
    """Fit texts into as few boxes of one size as can be, each headed by the repeated ones (the name of the dish).

    Parameters
    ----------
    blocks : sequence of Block
        The texts, in order. One is parted between two boxes only with at least two lines on either side.
    width_mm, height_mm : float
        Size of each box. [mm]
    repeated : sequence of Block
        What stands at the head of every box; their names are numbered from the second box on.
    most_boxes : int
        More than so many is taken as not fitting.
    after_repeated_mm : float
        Least space between what is repeated and what goes on below it, from the second box on. [mm]
    measured, steps
        As for `fit`.
    """
    fewest = _pour(blocks, 0.0, width_mm, height_mm, repeated, most_boxes, after_repeated_mm)
    if fewest is None:
        return _what_would_do([*repeated, *blocks], width_mm, height_mm, measured=measured)
    best, low, high = fewest, 0.0, 1.0
    whole = _pour(blocks, 1.0, width_mm, height_mm, repeated, len(fewest), after_repeated_mm)
    if whole is not None:
        return whole
    for _ in range(steps):
        middle = (low + high) / 2.0
        poured = _pour(blocks, middle, width_mm, height_mm, repeated, len(fewest), after_repeated_mm)
        if poured is None:
            high = middle
        else:
            best, low = poured, middle
    return best


def fewest_boxes(
    blocks: Sequence[Block],
    width_mm: float,
    height_mm: float,
    *,
    repeated: Sequence[Block] = (),
    most_boxes: int = 24,
    after_repeated_mm: float = 0.0,
) -> int | None:
    """Return how many boxes `flow` would fill at the least, None where it would not fit; the parameters are those of `flow`."""
    fewest = _pour(blocks, 0.0, width_mm, height_mm, repeated, most_boxes, after_repeated_mm)
    return None if fewest is None else len(fewest)


def _pour(
    blocks: Sequence[Block],
    share: float,
    width: float,
    height: float,
    repeated: Sequence[Block],
    most: int,
    after_repeated: float,
) -> tuple[Fitted, ...] | None:
    """Return the boxes filled one after the other, None where a box can take nothing or more than the most are needed."""
    waiting = [(block, text) for block in blocks if (text := block.set_at(share, width)).lines]
    heads = [(block, text) for block in repeated if (text := block.set_at(share, width)).lines]
    if any(not text.fits_width for _, text in [*waiting, *heads]):
        return None
    boxes: list[Fitted] = []
    while waiting:
        if len(boxes) == most:
            return None
        texts: list[FittedText] = []
        down = 0.0
        for block, text in heads:
            down += block.space_at(share) if texts else 0.0
            name = block.name if not boxes else f"{block.name}, {len(boxes) + 1}"
            texts.append(FittedText(name, text, down))
            down += text.height
        taken = 0
        rest: list[tuple[Block, SetText]] = []
        for number, (block, text) in enumerate(waiting):
            space = block.space_at(share) if texts else 0.0
            if boxes and number == 0 and texts:
                space = max(space, after_repeated)
            if down + space + text.height <= height + 1e-6:
                texts.append(FittedText(block.name, text, down + space))
                down += space + text.height
                taken += 1
                continue
            count = 0 if block.whole else _lines_that_fit(text, height - down - space)
            if count:
                texts.append(FittedText(block.name, text.part(0, count), down + space))
                down += space + text.part(0, count).height
                rest = [(block, text.part(count, len(text.lines))), *waiting[number + 1 :]]
            else:
                rest = list(waiting[number:])
            break
        # A heading that would stand last goes with what it heads.
        while (
            rest
            and taken
            and waiting[taken - 1][0].keep_with_next
            and rest[0][0] is waiting[taken][0]
            and (rest[0][1] is waiting[taken][1])
        ):
            last = texts.pop()
            rest.insert(0, waiting[taken - 1])
            taken -= 1
            down = last.top
        if len(texts) == len(heads):
            return None
        boxes.append(Fitted(tuple(texts), width, max(one.top + one.text.height for one in texts)))
        waiting = rest
    return tuple(boxes)


def _lines_that_fit(text: SetText, room: float) -> int:
    """Return how many lines of a text stay behind when it is parted: at least two, with at least two going on; 0 where it cannot be parted."""
    for count in range(len(text.lines) - 2, 1, -1):
        if text.part(0, count).height <= room + 1e-6:
            return count
    return 0
