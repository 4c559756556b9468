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
from labeller.printing.notes_filling import DishTexts, NameTooTallError, NoteText, fill_pages
from labeller.printing.page import Document, Item, Margins, Page, Role, Rule
from labeller.printing.setting import SetText, Style, set_text

PAPERS_MM: dict[str, tuple[float, float]] = {"a4": (210.0, 297.0), "a5": (148.0, 210.0), "letter": (215.9, 279.4)}
"""Papers, upright. [mm]"""

_NAME_PT = 12.5
_BODY_PT = 9.2
_LEAST_ROOM = 0.35
"""Share of a page that must stay for dishes. [1]"""
_BAR_BESIDE_MM = 3.2
_FOOT_ABOVE_MM = 3.0
_COUNT_ABOVE_MM = 2.2
_SNUG = 0.74
"""Share of the white between dishes that stays where less of it saves a page. [1]"""


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
        groups = tuple(_groups(notes, look, inner))
        pages = _filled(groups, look, inner, first, room)
    except NameTooTallError as reason:
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


def _filled(
    groups: tuple[DishTexts, ...], look: _Look, inner: float, first: float, room: float
) -> list[tuple[NoteText, ...]]:
    """Return the paragraphs of each page; with less white between dishes where that saves one."""

    def continued(name: str) -> SetText:
        return set_text(f"{name}, continued", look.name, inner)

    airy = fill_pages(groups, continued, first, room)
    if len(airy) < 2:
        return airy
    closer = tuple(replace(one, above=_SNUG * one.above) for one in groups)
    snug = fill_pages(closer, continued, first, room)
    return snug if len(snug) < len(airy) else airy


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


def _head(notes: MenuNotes, look: _Look, inner: float) -> tuple[NoteText, ...]:
    return (
        NoteText("house", set_text(notes.house, look.place, inner), 0.0),
        NoteText("title", set_text(notes.title, look.title, inner), 2.4),
        NoteText("opening", set_text(notes.opening, look.opening, inner), 4.6),
    )


def _foot(notes: MenuNotes, look: _Look, inner: float) -> tuple[NoteText, ...]:
    """Return what stands at the foot of every page but the line that counts them."""
    found: list[NoteText] = []
    if notes.statements:
        said = statement_sentences(notes.statements)
        found.append(NoteText("statements", set_text(said, look.statement, inner), 1.6))
    if notes.key:
        found.append(NoteText("key", set_text(_key(notes), replace(look.foot, role="allergens"), inner), 1.6))
        found.append(NoteText("key means", set_text(KEY_MEANS, look.foot, inner), 1.0))
    found += [
        NoteText(f"caution {place}", set_text(one, look.foot, inner), 1.2) for place, one in enumerate(notes.cautions)
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


def _stack_height(texts: tuple[NoteText, ...]) -> float:
    return sum(one.text.height + one.above for one in texts)


def _groups(notes: MenuNotes, look: _Look, inner: float) -> Iterator[DishTexts]:
    """Yield what should stand together, in order."""
    for place, section in enumerate(notes.sections):
        for number, dish in enumerate(section.dishes):
            texts = tuple(_dish(dish, f"{place}.{number}", look, inner))
            if number == 0:
                title = NoteText(f"section {place}", set_text(section.title, look.section, inner), 0.0)
                texts = (title, replace(texts[0], above=4.2), *texts[1:])
            again: tuple[NoteText, ...] = ()
            if number:
                text = set_text(f"{section.title}, continued", look.section, inner)
                again = (NoteText(f"section {place}, continued at {number}", text, 0.0),)
            yield DishTexts(dish.of, texts, (10.0 if number == 0 else 6.6), again, dish.name)


def _dish(dish: DishNote, number: str, look: _Look, inner: float) -> Iterator[NoteText]:
    block = f"dish {number}"
    yield NoteText(f"{block}, name", set_text(dish.name, look.name, inner), 0.0)
    if dish.description:
        yield NoteText(f"{block}, about", set_text(dish.description, look.about, inner), 0.9)
    if dish.energy:
        style = look.line if dish.energy == ENERGY_NOT_KNOWN else look.energy
        yield NoteText(f"{block}, energy", set_text(dish.energy, replace(style, role="figures"), inner), 1.6)
    for place, line in enumerate(dish.lines):
        asks = line.kind == "ask"
        width = inner - _BAR_BESIDE_MM if asks else inner
        style = replace(look.line, role=_role(line), language=line.language)
        yield NoteText(f"{block}, {place}", set_text(line.text, style, width), 1.7 if place == 0 else 1.3, bar=asks)


def _role(line: NoteLine) -> Role:
    if line.kind == "ask":
        return "caution"
    if line.kind == "alcohol":
        return "alcohol"
    return "body" if line.kind == "claim" else "allergens"


def _place(items: list[Item], texts: tuple[NoteText, ...], x: float, y: float, within: str, inner: float) -> float:
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
    notes: MenuNotes, look: _Look, foot: tuple[NoteText, ...], width: float, height: float, number: int, count: int
) -> list[Item]:
    inner = width - 2.0 * look.side
    last = _count(notes, look, inner, number, count)
    y = height - look.bottom - last.height
    top = y - _COUNT_ABOVE_MM - _stack_height(foot)
    items: list[Item] = [Rule(look.side, top - 0.6, width - look.side, top - 0.6, house.HAIRLINE_PT)]
    _place(items, foot, look.side, top, f", page {number}", inner)
    items += last.placed(look.side, y, f"foot, page {number}")
    return items
