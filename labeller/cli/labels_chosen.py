"""Which things ``labeller labels`` prints a label for."""

from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass

from labeller.book.entries import Line, Target
from labeller.cli.declare import dishes_of_menu
from labeller.cli.finding import find_declared, find_one
from labeller.cli.opening import Opened, refuse_usage
from labeller.declarations.paper_use_by import ThingKind, given_of
from labeller.foundations.names import fold_text


@dataclass(frozen=True, slots=True)
class Chosen:
    """Things to be labelled, and what was left out because the book does not say how long it keeps."""

    things: tuple[tuple[ThingKind, str], ...]
    left_out: tuple[str, ...] = ()


def chosen_tubs(
    opened: Opened, of: list[str], opened_goods: list[str], menu: str | None, *, everything: bool
) -> Chosen:
    """Return what stands in tubs: what was named; else all that keeps, or all there is, of the book or of what a menu needs.

    Notes
    -----
    What keeps is what is put away and so needs a label. The rest (chips, a dressed salad) is made to be served at once; it is labelled
    when it is named, or with ``--all``.
    """
    named: dict[tuple[ThingKind, str], None] = {}
    for name in of:
        named[find_declared(opened, name)] = None
    goods = sorted(name for name in opened.book.ingredients if name in opened.workings.larder.ids)
    for name in opened_goods:
        named["ingredient", find_one(name, goods, "a bought-in good of this book")] = None
    if named:
        return Chosen(tuple(named))
    given = sorted(opened.workings.given(), key=_by_name)
    if menu is not None:
        needed = set(_given_of_dishes(opened, dishes_of_menu(opened, menu)))
        given = [name for name in given if name in needed]
    if everything:
        return Chosen(tuple(("given", name) for name in given))
    kept = [name for name in given if _keeps(opened, name)]
    return Chosen(tuple(("given", name) for name in kept), tuple(name for name in given if name not in kept))


def chosen_sales(opened: Opened, of: list[str], menu: str | None, *, everything: bool) -> Chosen:
    """Return what is sold packed: what was named, a menu's dishes, all there is; else the dishes that say how long they keep.

    Raises
    ------
    SystemExit
        With code 2 where there is nothing: no dish says how long it keeps.
    """
    if of:
        return Chosen(tuple(dict.fromkeys(find_declared(opened, name) for name in of)))
    if menu is not None:
        return Chosen(tuple(("dish", name) for name in dishes_of_menu(opened, menu)))
    dishes = sorted(opened.workings.plates, key=_by_name)
    if everything:
        given = sorted(opened.workings.given(), key=_by_name)
        return Chosen((*(("dish", name) for name in dishes), *(("given", name) for name in given)))
    kept = [name for name in dishes if opened.book.dishes[name].keeps]
    if not kept:
        raise refuse_usage(
            "No dish of this book says how long it keeps, so it is not known what is sold packed. "
            "Write --of NAME, once for each, or 'keeps: 3 days chilled' in the dish."
        )
    return Chosen(tuple(("dish", name) for name in kept), tuple(name for name in dishes if name not in kept))


def _keeps(opened: Opened, name: str) -> bool:
    preparation, given = given_of(opened.book, name)
    return bool(given.keeps or preparation.keeps)


def _given_of_dishes(opened: Opened, dishes: Iterable[str]) -> list[str]:
    """Return what preparations anywhere below some dishes give: swaps and what joins later in the pan count, and all that one pan gives."""
    book = opened.book
    waiting = deque(target for dish in dishes for target in _targets(book.dishes[dish].plate))
    found: dict[Target, None] = {}
    while waiting:
        target = waiting.popleft()
        if target in found or target.kind == "ingredient":
            continue
        found[target] = None
        preparation = book.preparations.get(target.entry)
        if preparation is not None:
            lines = (*preparation.takes, *(line for step in preparation.method for line in step.lines))
            waiting.extend(_targets(lines))
    return [
        given.name
        for target in found
        if target.entry in book.preparations
        for given in book.preparations[target.entry].gives
    ]


def _targets(lines: Iterable[Line]) -> list[Target]:
    found: list[Target] = []
    for line in lines:
        if line.target is not None:
            found.append(line.target)
        found += _targets(line.swaps)
    return found


def _by_name(name: str) -> tuple[str, str]:
    return fold_text(name), name
