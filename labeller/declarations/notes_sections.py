"""Dishes in the order of a paper: by the sections of a menu, or by course."""

from collections.abc import Iterable
from dataclasses import dataclass

from labeller.book.entries import Book, Dish, Menu
from labeller.foundations.names import fold_text

OTHER_DISHES = "other dishes"
"""Over dishes without a course."""

# The order in which courses are served; common practice, no source. A course of another name stands before the cheese.
_SERVED = (
    ("snack", "canape", "amuse bouche", "appetiser", "appetizer", "nibble", "bread"),
    ("starter", "entree", "small plate", "first course"),
    ("soup",),
    ("salad",),
    ("pasta", "rice"),
    ("fish",),
    ("main", "main course", "main dish", "large plate", "grill", "roast", "second course"),
    ("side", "side dish", "vegetable"),
    ("sauce", "extra"),
    ("children", "child", "kid"),
    ("sharing", "breakfast", "lunch", "dinner", "supper", "brunch"),
    ("cheese",),
    ("dessert", "pudding", "sweet", "ice", "ice cream", "sorbet", "cake"),
    ("petit four", "after dinner"),
    ("drink", "cocktail", "wine", "beer", "coffee", "tea"),
)
_PLACE: dict[str, float] = {name: place for place, names in enumerate(_SERVED) for name in names}

_OF_ANOTHER_NAME = _PLACE["cheese"] - 0.5


@dataclass(frozen=True, slots=True)
class Section:
    """Dishes under one heading, as the book has it."""

    title: str
    dishes: tuple[str, ...]


def sections_of_menu(menu: Menu, laid: Iterable[str]) -> tuple[Section, ...]:
    """Return the sections of a menu in its own order, a dish once in each; sections without dishes are left out.

    Parameters
    ----------
    menu : Menu
        The menu.
    laid : iterable of str
        Names of the dishes that were worked out.
    """
    known = set(laid)
    found = (
        Section(title, tuple(dict.fromkeys(dish for dish in dishes if dish in known)))
        for title, dishes in menu.sections
    )
    return tuple(one for one in found if one.dishes)


def sections_by_course(dishes: Iterable[Dish]) -> tuple[Section, ...]:
    """Return dishes by course, in the order in which courses are served and, within one, of their names.

    Notes
    -----
    The order of files and entries never matters. Courses are one where their names differ in case, accents or number alone.
    """
    by_course: dict[str, dict[str, list[str]]] = {}
    for dish in dishes:
        course = " ".join(dish.course.split())
        by_course.setdefault(_one(course), {}).setdefault(course, []).append(dish.name)
    found: list[Section] = []
    for key in sorted(by_course, key=_served):
        spellings = by_course[key]
        # The spelling of most dishes heads them; of as many, the first by the alphabet.
        title = min(spellings, key=lambda one: (-len(spellings[one]), one))
        names = sorted((name for names in spellings.values() for name in names), key=lambda one: (fold_text(one), one))
        found.append(Section(title or OTHER_DISHES, tuple(names)))
    return tuple(found)


def on_no_menu(book: Book) -> tuple[str, ...]:
    """Return the dishes that stand on no menu of the book; none where it has no menus."""
    if not book.menus:
        return ()
    listed = {dish for menu in book.menus.values() for _, dishes in menu.sections for dish in dishes}
    return tuple(sorted((name for name in book.dishes if name not in listed), key=lambda one: (fold_text(one), one)))


def _one(course: str) -> str:
    folded = fold_text(course)
    for singular in (folded, folded.removesuffix("s"), folded.removesuffix("es"), f"{folded.removesuffix('ies')}y"):
        if singular in _PLACE:
            return singular
    return folded


def _served(key: str) -> tuple[float, str]:
    if not key:
        return len(_SERVED) + 1, ""  # dishes without a course stand last
    return _PLACE.get(key, _OF_ANOTHER_NAME), key
