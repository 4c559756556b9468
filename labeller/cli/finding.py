"""Find a dish, a preparation or a given part by its name; a misspelling is never taken."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from labeller.cli.saying import refuse_usage
from labeller.foundations.names import exact_key, fold_text, name_key, nearest_names

if TYPE_CHECKING:
    from collections.abc import Iterable

    from labeller.cli.opening import Opened

Kind = Literal["dish", "given"]


def find_dish(opened: Opened, name: str) -> str:
    """Return the name of the dish meant: by case, accents, or a part of its name that fits one dish only.

    Raises
    ------
    SystemExit
        With code 2 where none fits, or several.
    """
    return dish_meant(opened.workings.plates, name)


def dish_meant(dishes: Iterable[str], name: str) -> str:
    """Return the dish meant among the names of dishes; see `find_dish`."""
    known = list(dishes)
    found = _match(name, known)
    if len(found) == 1:
        return found[0]
    raise _refused(name, found, known, "a dish of this book")


def menu_meant(menus: Iterable[str], name: str) -> str:
    """Return the menu meant, or end with wrong usage."""
    known = {name_key(one): one for one in menus}
    found = known.get(name_key(name))
    if found is None:
        near = nearest_names(name, list(known.values()))
        mend = f"Did you mean '{near[0]}'?" if near else f"There are: {', '.join(known.values()) or 'no menus'}."
        raise refuse_usage(f"--menu: '{name}' is not a menu of this book. {mend}")
    return found


def find_one(name: str, known: list[str], what: str) -> str:
    """Return the one of these names that is meant, found as a dish is; ``what`` says what they are: 'a bought-in good of this book'.

    Raises
    ------
    SystemExit
        With code 2 where none fits, or several.
    """
    found = _match(name, known)
    if len(found) == 1:
        return found[0]
    raise _refused(name, found, known, what)


def find_declared(opened: Opened, name: str) -> tuple[Kind, str]:
    """Return what a name means: a dish first, then what preparations give.

    Raises
    ------
    SystemExit
        With code 2 where none fits, or several.
    """
    dishes, given = list(opened.workings.plates), list(opened.workings.given())
    for key in (exact_key, name_key):
        for dish in dishes:
            if key(dish) == key(name):
                return "dish", dish
        for one in given:
            if key(one) == key(name):
                return "given", one
    target = opened.book.targets.get(name_key(name))
    if target is not None and target.kind == "given" and not target.given:
        parts = [one.name for one in opened.book.preparations[target.entry].gives]
        raise refuse_usage(f"'{name}' gives {' and '.join(repr(part) for part in parts)}: write one of these.")
    in_dishes, in_given = _match(name, dishes), _match(name, given)
    if len(in_dishes) == 1:
        return "dish", in_dishes[0]
    if not in_dishes and len(in_given) == 1:
        return "given", in_given[0]
    raise _refused(name, [*in_dishes, *in_given], [*dishes, *given], "a dish or preparation of this book")


def _match(name: str, known: list[str]) -> list[str]:
    for key in (exact_key, name_key):
        same = [one for one in known if key(one) == key(name)]
        if same:
            return same[:1]
    wanted = fold_text(name)
    return [one for one in known if wanted and wanted in fold_text(one)]


def _refused(name: str, found: list[str], known: list[str], what: str) -> SystemExit:
    if len(found) > 1:
        shown = ", ".join(repr(one) for one in found[:8])
        return refuse_usage(f"'{name}' fits more than one: {shown}. Write one of them in full.")
    near = nearest_names(name, known, at_least=0.5)
    mend = (
        f"Did you mean {' or '.join(repr(one) for one in near)}?"
        if near
        else f"There are: {', '.join(repr(one) for one in known[:12])}."
    )
    return refuse_usage(f"'{name}' is not {what}. {mend}")
