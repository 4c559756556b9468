"""Where the lines of a paragraph end: chosen together, not one by one [1]_.

As few lines as there can be, then as even as there can be, then with as few broken words as there can be, and no last word alone where it can be
helped.

References
----------
.. [1] D. E. Knuth and M. F. Plass, Breaking Paragraphs into Lines, Software: Practice and Experience 11, 1981, 1119-1184.
"""

import math

from labeller.printing.breaking import Part, pieces_width_mm
from labeller.printing.letters import NO_BREAK_SPACE, SOFT_HYPHEN

_A_LINE = 1000.0
_LONE_WORD = 300.0
_LONE_PART = 120.0
_WORDS_TO_SPARE = 3
_BROKEN_WORD = 40.0
_AT_A_HYPHEN = 6.0
_SHORT_WORD = 3
_AFTER_A_SHORT_WORD = 12.0


def line_ends(parts: list[Part], width: float, size_pt: float, *, balanced: bool) -> list[int]:
    """Return after which part each line ends, at the least cost of all ways.

    Parameters
    ----------
    parts : list of Part
        The text, cut after each place where a line may end.
    width : float
        Width of a line. [mm]
    size_pt : float
        Size of the letters the parts were measured at. [pt]
    balanced : bool
        For titles: all lines about as long.

    Notes
    -----
    This is the inner loop of all paper: what it needs of a part stands in lists, and the cost of a line is reckoned in place.
    """
    count = len(parts)
    least = [math.inf] * (count + 1)
    came_from = [0] * (count + 1)
    least[0] = 0.0
    widths = [part.width for part in parts]
    spaces = [part.space_width for part in parts]
    endings = [
        pieces_width_mm(((SOFT_HYPHEN, part.pieces[-1][1]),), size_pt) if part.after == "soft" else 0.0
        for part in parts
    ]
    fixed = [_A_LINE + _cost_of_ending(part, balanced=balanced) for part in parts]
    limit, measure = width + 1e-6, width if width > 0.0 else 1.0
    # How many words there are up to each part; and how many are read, those counted each that a no-break space holds together.
    words, read = [0], [0]
    for part in parts:
        ending = part.after in {"space", "end"}
        words.append(words[-1] + ending)
        read.append(read[-1] + ending + sum(text.count(NO_BREAK_SPACE) for text, _ in part.pieces))
    for start in range(count):
        before = least[start]
        if before == math.inf:
            continue
        reached = 0.0
        for end in range(start, count):
            reached += widths[end]
            own = reached + endings[end]
            # One part alone stands on a line even where it is too wide: it is then named, not lost.
            if own > limit and end > start:
                if reached > limit:
                    break
                reached += spaces[end]
                continue
            share = own / measure if width > 0.0 else 1.0
            if end == count - 1:
                cost = before + _A_LINE
                if balanced:
                    cost += 100.0 * share * share
                elif share < 0.25 and start:
                    cost += 60.0 * (0.25 - share)
                # A lone word is no fault below a line that has none to spare.
                if (
                    start
                    and words[count] - words[start] <= 1
                    and read[start] - read[came_from[start]] >= _WORDS_TO_SPARE
                ):
                    cost += _LONE_WORD
                    if parts[start - 1].after in {"sign", "soft"}:
                        cost += _LONE_PART
            elif balanced:
                cost = before + fixed[end] + 100.0 * share * share
            else:
                cost = before + fixed[end] + 100.0 * (1.0 - share) * (1.0 - share)
            if cost < least[end + 1] - 1e-9:
                least[end + 1], came_from[end + 1] = cost, start
            reached += spaces[end]
    ends: list[int] = []
    at = count
    while at > 0:
        ends.append(at)
        at = came_from[at]
    return ends[::-1]


def _cost_of_ending(part: Part, *, balanced: bool) -> float:
    """Return what it costs that a line, not the last, ends after a part."""
    if part.after == "soft":
        return _BROKEN_WORD
    if part.after == "sign":
        return _AT_A_HYPHEN
    # A title's line that ends with "of" or "&" reads badly; a few millimetres of balance are worth it.
    if balanced and part.after == "space" and len(part.pieces[-1][0]) <= _SHORT_WORD:
        return _AFTER_A_SHORT_WORD
    return 0.0
