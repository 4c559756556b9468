"""Which dishes a sheet or a menu note shows, in which order, and whether their letters can be printed."""

import sys
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, TypeVar

from labeller.cli.finding import find_dish, menu_meant
from labeller.cli.opening import Opened, refuse_usage, say
from labeller.declarations.declaring import Declaration
from labeller.declarations.notes_sections import Section, on_no_menu, sections_by_course, sections_of_menu
from labeller.foundations.faults import Fault, Origin
from labeller.foundations.names import fold_text

if TYPE_CHECKING:
    from labeller.book.entries import Book

_Thing = TypeVar("_Thing")
_LONG_JOB = 20
_SHAPELESS = frozenset({"Cc", "Cf", "Co", "Cs", "Cn", "Zl", "Zp"})
_HARMLESS = frozenset("\u00ad\u200c\u200d\t\n\r")


def refuse_both(menu: str | None, of: Sequence[str] | None) -> None:
    """End with wrong usage where a menu and single dishes are asked for at once."""
    if of and menu is not None:
        raise refuse_usage("Write --menu or --of, not both: --of NAME may be given several times.")


def chosen_sections(opened: Opened, *, menu: str | None, of: Sequence[str]) -> tuple[str, tuple[Section, ...]]:
    """Return the name of the menu, empty without one, and the dishes asked for in their sections.

    Raises
    ------
    SystemExit
        With code 2 where a name is not known.
    """
    name, sections = (
        "",
        sections_by_course(dish for dish in opened.book.dishes.values() if dish.name in opened.workings.plates),
    )
    if menu is not None:
        name = menu_meant(opened.book.menus, menu)
        sections = sections_of_menu(opened.book.menus[name], opened.workings.plates)
    if of:
        wanted = {find_dish(opened, one) for one in of}
        sections = tuple(
            Section(one.title, kept)
            for one in sections
            if (kept := tuple(dish for dish in one.dishes if dish in wanted))
        )
    return name, sections


def with_bar(names: Sequence[_Thing], doing: str) -> Iterator[_Thing]:
    """Yield names or other things, with a progress bar on the error stream where they are many and it is a terminal."""
    if len(names) < _LONG_JOB or not sys.stderr.isatty():
        yield from names
        return
    import typer

    with typer.progressbar(names, label=doing, file=sys.stderr) as bar:
        yield from bar


def declared_sections(
    opened: Opened, sections: Sequence[Section], doing: str
) -> list[tuple[Section, list[Declaration]]]:
    """Return the declarations of each section, with a progress bar where they are many."""
    names = tuple(dict.fromkeys(dish for section in sections for dish in section.dishes))
    found = {name: opened.declarer.dish(name) for name in with_bar(names, doing)}
    return [(section, [found[name] for name in section.dishes]) for section in sections]


def say_on_no_menu(book: "Book") -> None:
    """Say which dishes stand on no menu, so that none is lost."""
    lost = on_no_menu(book)
    if lost:
        say(f"On no menu: {', '.join(lost)}.")


def letters_refused(opened: Opened, texts: Iterable[str], dishes: Sequence[str], menu: str) -> list[Fault]:
    """Return a fault for every text of the book that cannot be printed, with its file and line.

    Parameters
    ----------
    opened : Opened
        The book.
    texts : iterable of str
        Everything that is to be printed.
    dishes : sequence of str
        The dishes on the paper.
    menu : str
        The menu it is of, empty for none.
    """
    from labeller.printing.letters import letters_not_set

    whole = dict.fromkeys(texts)
    letters = {one.letter for text in whole for one in letters_not_set(text)}
    if not letters:
        return []
    faults: dict[Fault, None] = {}
    for origin, field, text in _written(opened, dishes, menu):
        if letters.isdisjoint(text) or not any(text in one or text[1:] in one for one in whole):
            continue
        for problem in letters_not_set(text):
            faults[problem.as_fault(origin, field)] = None
    if not faults:  # the text came together from several entries: the kitchen's own line names it
        origin = opened.book.kitchen.origin
        for text in whole:
            faults.update(dict.fromkeys(one.as_fault(origin, "kitchen") for one in letters_not_set(text)))
    return sorted(faults, key=lambda one: (one.origin.path, one.origin.line, one.field))


def controls_refused(opened: Opened, texts: Iterable[str], dishes: Sequence[str], menu: str) -> list[Fault]:
    """Return a fault for every text that holds a letter without a shape, which no form of text should carry: a control, a mark that turns the direction.

    Parameters are those of `letters_refused`.
    """
    return [
        one
        for one in letters_refused(opened, [text for text in texts if _has_control(text)], dishes, menu)
        if "is not a letter" in one.problem
    ]


def _has_control(text: str) -> bool:
    return any(unicodedata.category(letter) in _SHAPELESS and letter not in _HARMLESS for letter in text)


def _written(opened: Opened, dishes: Sequence[str], menu: str) -> Iterable[tuple[Origin, str, str]]:
    """Yield what of the book can stand on a paper of dishes: where it is written, its key, its words."""
    book = opened.book
    yield book.kitchen.origin, "kitchen", book.kitchen.name
    for one in book.kitchen.shared_equipment:
        yield one.origin, "shared_equipment", one.name
    if menu:
        yield book.menus[menu].origin, "menu", menu
        for title, _ in book.menus[menu].sections:
            yield book.menus[menu].origin, "sections", title
    for name in dishes:
        dish = book.dishes[name]
        yield dish.origin, "dish", dish.name
        yield dish.origin, "description", dish.description
        yield dish.origin, "course", dish.course
    for ingredient in book.ingredients.values():
        yield ingredient.origin, "ingredient", ingredient.name
    for preparation in book.preparations.values():
        yield preparation.origin, "preparation", preparation.name
        for given in preparation.gives:
            yield given.origin, "gives", given.name


def file_stem(what: str, menu: str) -> str:
    """Return the name of a file without its ending: the paper, and the menu where there is one, in plain letters."""
    words = "".join(letter if letter.isalnum() else " " for letter in fold_text(menu)).split()
    plain = "-".join(words)[:60].strip("-")
    return f"{what}-{plain}" if plain else what
