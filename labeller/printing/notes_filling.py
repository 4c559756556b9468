"""Where a page of menu notes ends: as few pages as can be, filled as evenly as can be, a dish whole wherever a page can hold it."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from labeller.printing.setting import SetText

_AGAIN_BELOW_MM = 4.2
_CONTINUED_BELOW_MM = 1.6
_STEPS = 6
_LEAST_LINES = 2
_MOST_OF_A_NAME = 0.7
_LEAST_START = 0.4
"""Shares of a page: what the name of a dish may take, and what must be free where a dish taller than a page begins."""


@dataclass(frozen=True, slots=True)
class NoteText:
    """A paragraph: its block, its lines, the space above it [mm], whether a bar stands beside it."""

    block: str
    text: SetText
    above: float
    bar: bool = False


@dataclass(frozen=True, slots=True)
class DishTexts:
    """What should stand together: a section's heading with its first dish, or a dish.

    ``again`` heads a page that begins with it: the section, continued. ``name`` heads what goes on of it on another page.
    """

    of: str
    texts: tuple[NoteText, ...]
    above: float
    again: tuple[NoteText, ...]
    name: str

    @property
    def height(self) -> float:
        """Height without the space above. [mm]"""
        return sum(one.text.height + (one.above if place else 0.0) for place, one in enumerate(self.texts))

    @property
    def again_height(self) -> float:
        """Height of what heads a page that begins with it, with the space below. [mm]"""
        return sum(one.text.height + _AGAIN_BELOW_MM for one in self.again)


class NameTooTallError(Exception):
    """A dish whose name fills a page."""

    def __init__(self, of: str) -> None:
        super().__init__(f"The name of '{of}' fills a page.")
        self.of = of


def fill_pages(
    groups: tuple[DishTexts, ...], continued: Callable[[str], SetText], first: float, room: float
) -> list[tuple[NoteText, ...]]:
    """Return the paragraphs of each page.

    Parameters
    ----------
    groups : tuple of DishTexts
        The dishes in order.
    continued : callable
        Sets the name of a dish that goes on on another page.
    first, room : float
        Room on the first page, below its title, and on the others. [mm]

    Raises
    ------
    NameTooTallError
        If the name of a dish leaves no room for what is in it.

    Notes
    -----
    Filling page by page would leave one dish alone on the last: every page is left as early as the fewest pages allow.
    """
    fewest = _poured(groups, continued, first, room, 1.0)
    low, high = 0.0, 1.0
    best = fewest
    for _ in range(_STEPS):
        share = (low + high) / 2.0
        tried = _poured(groups, continued, first, room, share)
        if len(tried) > len(fewest):
            low = share
        else:
            best, high = tried, share
    return best


def _poured(
    groups: tuple[DishTexts, ...], continued: Callable[[str], SetText], first: float, room: float, share: float
) -> list[tuple[NoteText, ...]]:
    """Return the paragraphs of each page, filled to a share of its room."""
    pages: list[list[NoteText]] = [[]]
    free, spare = first, (1.0 - share) * first
    for group in groups:
        above = group.above if pages[-1] or len(pages) == 1 else 0.0
        # A page is left earlier than it must be only between dishes. The first bears the title, so it may stay without a dish, but only
        # where none fits below it.
        usable = free - spare if pages[-1] else free
        full = group.height + above > usable + 1e-6 and (bool(pages[-1]) or len(pages) == 1)
        if full and group.again_height + group.height <= room:
            pages.append(list(group.again))
            above = _AGAIN_BELOW_MM if group.again else 0.0
            free, spare = room - sum(one.text.height for one in group.again), (1.0 - share) * room
        if group.height + above <= free + 1e-6:
            pages[-1] += _with_space(group.texts, above)
            free -= group.height + above
            continue
        free = _part(group, pages, free, above, room, continued)
    return [tuple(page) for page in pages]


def _with_space(texts: tuple[NoteText, ...], above: float) -> list[NoteText]:
    return [replace(one, above=above) if place == 0 else one for place, one in enumerate(texts)]


def _part(
    group: DishTexts,
    pages: list[list[NoteText]],
    free: float,
    above: float,
    room: float,
    continued: Callable[[str], SetText],
) -> float:
    """Put a dish no page can hold on several, each headed by its name; return the room left on the last. [mm]"""
    if pages[-1] and free < _LEAST_START * room:
        # Its name must not stand last on a page, and little of it is worse than none.
        pages.append(list(group.again))
        free, above = room - sum(one.text.height for one in group.again), _AGAIN_BELOW_MM if group.again else 0.0
    waiting = _with_space(group.texts, above)
    heads = 0
    while waiting:
        one = waiting[0]
        if one.text.height + one.above <= free + 1e-6:
            pages[-1].append(one)
            free -= one.text.height + one.above
            waiting.pop(0)
            continue
        count = _lines_that_fit(one.text, free - one.above)
        if count:
            pages[-1].append(replace(one, text=one.text.part(0, count)))
            waiting[0] = replace(one, text=one.text.part(count, len(one.text.lines)))
        heads += 1
        head = NoteText(f"{group.of}, continued {heads}", continued(group.name), 0.0)
        if head.text.height > _MOST_OF_A_NAME * room:
            raise NameTooTallError(group.of)
        pages.append([head])
        free = room - head.text.height
        waiting[0] = replace(waiting[0], above=max(waiting[0].above, _CONTINUED_BELOW_MM))
    return free


def _lines_that_fit(text: SetText, room: float) -> int:
    """Return how many lines stay behind where a text is parted: two at least, with two going on; 0 where it cannot be."""
    for count in range(len(text.lines) - _LEAST_LINES, _LEAST_LINES - 1, -1):
        if text.part(0, count).height <= room:
            return count
    return 0
