"""Menu notes as pages to lie in a menu: the name of a dish, what it is, and below it what a guest must know.

A dish stays on one page wherever a page can hold it. Key, the law's sentences beside energy, and where we stand for it all are at the foot of every page.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

from labeller.declarations.marked_text import MarkedText, Writer
from labeller.declarations.notes_content import (
    ENERGY_NOT_KNOWN,
    KEY_HEAD,
    KEY_MEANS,
    DishNote,
    MenuNotes,
    NoteLine,
    statement_sentences,
)
from labeller.printing import house
from labeller.printing.page import Document, Item, Margins, Page, Role, Rule
from labeller.printing.setting import SetText, Style, set_text

PAPERS_MM: dict[str, tuple[float, float]] = {"a4": (210.0, 297.0), "a5": (148.0, 210.0), "letter": (215.9, 279.4)}
"""Papers, upright. [mm]"""

_NAME_PT = 12.5
_BODY_PT = 9.2
_LEAST_ROOM = 0.35
"""Share of a page that must stay for dishes. [1]"""
_BAR_BESIDE_MM = 3.2
_AGAIN_BELOW_MM = 4.2
_STEPS = 6
_LEAST_LINES = 2


@dataclass(frozen=True, slots=True)
class PageTooSmall:
    """A page of which head and foot leave too little for dishes, or a dish's name fills it whole; ``of`` is that dish or empty."""

    paper: str
    of: str

    def as_text(self) -> str:
        """Return it in words, with the mend."""
        larger = [
            paper for paper in PAPERS_MM if paper != self.paper and PAPERS_MM[paper][0] >= PAPERS_MM[self.paper][0]
        ]
        what = (
            f"the name of '{self.of}' fills a page of {self.paper}"
            if self.of
            else f"key and cautions fill a page of {self.paper}"
        )
        return f"{what}. Write {' or '.join(f'--paper {one}' for one in larger) or 'a shorter name'}."


@dataclass(frozen=True, slots=True)
class _Look:
    """Styles and measures of a page. [mm]"""

    side: float
    top: float
    bottom: float
    title: Style
    place: Style
    opening: Style
    section: Style
    name: Style
    about: Style
    energy: Style
    line: Style
    foot: Style
    statement: Style
    small: Style


@dataclass(frozen=True, slots=True)
class _Text:
    """A paragraph: space above it, how far in, whether a bar stands beside it. [mm]"""

    block: str
    text: SetText
    above: float
    bar: bool = False


@dataclass(frozen=True, slots=True)
class _Whole:
    """What should stand together: a section's heading with its first dish, or a dish.

    ``again`` heads a page that begins with it: the section, continued. ``name`` heads what goes on of it on another page.
    """

    of: str
    texts: tuple[_Text, ...]
    above: float
    again: tuple[_Text, ...]
    name: str

    @property
    def height(self) -> float:
        """Height without the space above. [mm]"""
        return sum(one.text.height + (one.above if place else 0.0) for place, one in enumerate(self.texts))


def notes_document(notes: MenuNotes, paper: str, day: date) -> Document | PageTooSmall:
    """Return menu notes laid out.

    Parameters
    ----------
    notes : MenuNotes
        What they say.
    paper : str
        ``a4``, ``a5`` or ``letter``.
    day : date
        Day of the run, which dates the file.
    """
    width, height = PAPERS_MM[paper]
    look = _look(paper, notes)
    inner = width - 2.0 * look.side
    head = _head(notes, look, inner)
    foot = _foot(notes, look, inner)
    # The line that counts the pages is as tall whatever it counts.
    foot_height = _stack_height(foot) + _count(notes, look, inner, 1, 1).height + _FOOT_ABOVE_MM + _COUNT_ABOVE_MM
    room = height - look.top - look.bottom - foot_height
    first = room - _stack_height(head)
    if room < _LEAST_ROOM * height or first < 0.2 * height:
        return PageTooSmall(paper, "")
    try:
        pages = _pages(notes, look, inner, first, room)
    except _TooTallError as reason:
        return PageTooSmall(paper, reason.of)
    margins = Margins(*(house.PRINTER_MARGIN_MM,) * 4)
    laid: list[Page] = []
    for number, texts in enumerate(pages, start=1):
        items: list[Item] = []
        y = look.top
        if number == 1:
            y = _place(items, head, look.side, y, "", inner)
        _place(items, texts, look.side, y, "", inner)
        items += _foot_items(notes, look, foot, width, height, number, len(pages))
        laid.append(Page(width, height, tuple(items), margins))
    return Document(tuple(laid), f"{notes.title}: {notes.house}", "en", notes.foot, day)


_FOOT_ABOVE_MM = 3.0
_COUNT_ABOVE_MM = 2.2


def _look(paper: str, notes: MenuNotes) -> _Look:
    small = paper == "a5"
    least, least_small = house.SHEET_X_HEIGHT_MM, house.SHEET.least_small_mm
    own = notes.book_language if notes.book_language.split("-")[0].lower() != "en" else ""
    body = replace(house.body(house.SHEET), size_pt=_BODY_PT, leading=1.34, least_x_height_mm=least)
    serif = Style("serif-bold", "serif-bold", _NAME_PT, 1.18, role="heading", least_x_height_mm=least, language=own)
    return _Look(
        16.0 if small else 28.0,
        15.0 if small else 22.0,
        10.0 if small else 14.0,
        replace(serif, size_pt=22.0 if small else 27.0, role="title", balanced=True, leading=1.12),
        replace(body, role="small print"),
        replace(body, face="sans-bold", role="caution"),
        Style("sans-bold", "sans-bold", 11.5, 1.2, role="heading", least_x_height_mm=least, language=own),
        serif,
        Style("serif-italic", "serif-bold", 9.8, 1.3, least_x_height_mm=least_small, language=own),
        Style("sans", "sans-bold", _NAME_PT, 1.2, role="figures", least_x_height_mm=least),
        replace(body, role="allergens"),
        replace(body, size_pt=8.0, leading=1.28, role="caution"),
        # A law wants its sentence no smaller than the smallest calorie figure: 21 CFR 101.11(b)(2)(i)(B).
        Style("sans", "sans-bold", _NAME_PT, 1.2, role="figures", least_x_height_mm=least),
        replace(body, size_pt=7.2, leading=1.28, role="small print", least_x_height_mm=least_small),
    )


def _head(notes: MenuNotes, look: _Look, inner: float) -> tuple[_Text, ...]:
    return (
        _Text("house", set_text(notes.house, look.place, inner), 0.0),
        _Text("title", set_text(notes.title, look.title, inner), 2.4),
        _Text("opening", set_text(notes.opening, look.opening, inner), 4.6),
    )


def _foot(notes: MenuNotes, look: _Look, inner: float) -> tuple[_Text, ...]:
    """Return what stands at the foot of every page but the line that counts them."""
    found: list[_Text] = []
    if notes.statements:
        said = statement_sentences(notes.statements)
        found.append(_Text("statements", set_text(said, look.statement, inner), 1.6))
    if notes.key:
        found.append(_Text("key", set_text(_key(notes), replace(look.foot, role="allergens"), inner), 1.6))
        found.append(_Text("key means", set_text(KEY_MEANS, look.foot, inner), 1.0))
    found += [
        _Text(f"caution {place}", set_text(one, look.foot, inner), 1.2) for place, one in enumerate(notes.cautions)
    ]
    return tuple(found)


def _key(notes: MenuNotes) -> MarkedText:
    writer = Writer()
    writer.add(f"{KEY_HEAD}: ")
    for place, (letters, words) in enumerate(notes.key):
        writer.add("; " if place else "")
        writer.add(letters, marked=True)
        # Letters and their words stay together as far as the first bracket.
        first, space, rest = words.partition(" ")
        writer.add(f"\u00a0{first}{space}{rest}")
    writer.add(".")
    return writer.done()


def _count(notes: MenuNotes, look: _Look, inner: float, number: int, count: int) -> SetText:
    return set_text(f"{notes.foot} · page {number} of {count}", look.small, inner)


def _stack_height(texts: tuple[_Text, ...]) -> float:
    return sum(one.text.height + one.above for one in texts)


class _TooTallError(Exception):
    """A dish whose name fills a page."""

    def __init__(self, of: str) -> None:
        super().__init__(of)
        self.of = of


def _pages(notes: MenuNotes, look: _Look, inner: float, first: float, room: float) -> list[tuple[_Text, ...]]:
    """Return the paragraphs of each page: as few pages as can be, then filled as evenly as can be, so that no dish lies alone on the last."""
    groups = tuple(_groups(notes, look, inner))
    fewest = _poured(groups, look, inner, first, room)
    low, high = 0.0, 1.0
    best = fewest
    for _ in range(_STEPS):
        share = (low + high) / 2.0
        tried = _poured(groups, look, inner, first, room, share)
        if len(tried) > len(fewest):
            low = share
        else:
            best, high = tried, share
    return best


def _poured(
    groups: tuple[_Whole, ...], look: _Look, inner: float, first: float, room: float, share: float = 1.0
) -> list[tuple[_Text, ...]]:
    """Return the paragraphs of each page, filled to a share of its room at least, with what belongs together kept together."""
    pages: list[list[_Text]] = [[]]
    free, spare = first, (1.0 - share) * first
    for group in groups:
        above = group.above if pages[-1] or len(pages) == 1 else 0.0
        # A page is left earlier than it must be only between dishes, never for one that would not fit anyway.
        # The first page bears the title, so it may stay without a dish, but only where none fits below it.
        full = group.height + above > (free - spare if pages[-1] else free) + 1e-6 and (
            bool(pages[-1]) or len(pages) == 1
        )
        if full and _again_height(group) + group.height <= room:
            pages.append(list(group.again))
            above = _AGAIN_BELOW_MM if group.again else 0.0
            free, spare = room - sum(one.text.height for one in group.again), (1.0 - share) * room
        if group.height + above <= free + 1e-6:
            pages[-1] += _with_space(group.texts, above)
            free -= group.height + above
            continue
        free = _part(group, pages, free, above, room, look, inner)
    return [tuple(page) for page in pages]


def _again_height(group: _Whole) -> float:
    return sum(one.text.height + _AGAIN_BELOW_MM for one in group.again)


def _with_space(texts: tuple[_Text, ...], above: float) -> list[_Text]:
    return [replace(one, above=above) if place == 0 else one for place, one in enumerate(texts)]


def _part(
    group: _Whole, pages: list[list[_Text]], free: float, above: float, whole_page: float, look: _Look, inner: float
) -> float:
    """Put a dish no page can hold on several, each headed by its name; return the room left on the last."""
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
        head = _Text(f"{group.of}, continued {heads}", set_text(f"{group.name}, continued", look.name, inner), 0.0)
        if head.text.height > 0.7 * whole_page:
            raise _TooTallError(group.of)
        pages.append([head])
        free = whole_page - head.text.height
        waiting[0] = replace(waiting[0], above=max(waiting[0].above, 1.6))
    return free


def _lines_that_fit(text: SetText, room: float) -> int:
    for count in range(len(text.lines) - _LEAST_LINES, _LEAST_LINES - 1, -1):
        if text.part(0, count).height <= room:
            return count
    return 0


def _groups(notes: MenuNotes, look: _Look, inner: float) -> Iterator[_Whole]:
    """Yield what should stand together, in order."""
    for place, section in enumerate(notes.sections):
        for number, dish in enumerate(section.dishes):
            texts = tuple(_dish(dish, f"{place}.{number}", look, inner))
            if number == 0:
                title = _Text(f"section {place}", set_text(section.title, look.section, inner), 0.0)
                texts = (title, replace(texts[0], above=4.2), *texts[1:])
            again: tuple[_Text, ...] = ()
            if number:
                text = set_text(f"{section.title}, continued", look.section, inner)
                again = (_Text(f"section {place}, continued at {number}", text, 0.0),)
            yield _Whole(dish.of, texts, (10.0 if number == 0 else 6.6), again, dish.name)


def _dish(dish: DishNote, number: str, look: _Look, inner: float) -> Iterator[_Text]:
    block = f"dish {number}"
    yield _Text(f"{block}, name", set_text(dish.name, look.name, inner), 0.0)
    if dish.description:
        yield _Text(f"{block}, about", set_text(dish.description, look.about, inner), 0.9)
    if dish.energy:
        style = look.line if dish.energy == ENERGY_NOT_KNOWN else look.energy
        yield _Text(f"{block}, energy", set_text(dish.energy, replace(style, role="figures"), inner), 1.6)
    for place, line in enumerate(dish.lines):
        asks = line.kind == "ask"
        width = inner - _BAR_BESIDE_MM if asks else inner
        style = replace(look.line, role=_role(line), language=line.language)
        yield _Text(f"{block}, {place}", set_text(line.text, style, width), 1.7 if place == 0 else 1.3, bar=asks)


def _role(line: NoteLine) -> Role:
    if line.kind == "ask":
        return "caution"
    if line.kind == "alcohol":
        return "alcohol"
    return "body" if line.kind == "claim" else "allergens"


def _place(items: list[Item], texts: tuple[_Text, ...], x: float, y: float, within: str, inner: float) -> float:
    """Place paragraphs one below the other; return where the last ends."""
    bar_from: float | None = None
    for place, one in enumerate(texts):
        y += one.above
        if one.text.style.role == "heading" and one.block.startswith("section"):
            items.append(Rule(x, y - 2.2, x + inner, y - 2.2, house.RULE_PT))
        indent = 0.0
        if one.bar:
            # A bar beside what is not known: it is seen in a crowded column, on a grey copy too.
            half = house.BAR_PT * 25.4 / 144.0
            bar_from = y if bar_from is None else bar_from
            indent = _BAR_BESIDE_MM
            if place + 1 == len(texts) or not texts[place + 1].bar:
                items.append(Rule(x + half, bar_from + 0.2, x + half, y + one.text.height - 0.2, house.BAR_PT))
                bar_from = None
        items += one.text.placed(x + indent, y, f"{one.block}{within}")
        y += one.text.height
    return y


def _foot_items(
    notes: MenuNotes, look: _Look, foot: tuple[_Text, ...], width: float, height: float, number: int, count: int
) -> list[Item]:
    inner = width - 2.0 * look.side
    last = _count(notes, look, inner, number, count)
    y = height - look.bottom - last.height
    top = y - _COUNT_ABOVE_MM - _stack_height(foot)
    items: list[Item] = [Rule(look.side, top - 0.6, width - look.side, top - 0.6, house.HAIRLINE_PT)]
    _place(items, foot, look.side, top, f", page {number}", inner)
    items += last.placed(look.side, y, f"foot, page {number}")
    return items
