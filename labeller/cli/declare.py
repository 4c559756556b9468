"""``labeller declare``: what is in each dish."""

import json
import sys
from datetime import date
from pathlib import Path

from labeller.cli.finding import find_declared, menu_meant
from labeller.cli.json_text import indented
from labeller.cli.opening import Opened, open_book
from labeller.cli.reading_beside import ReadBeside
from labeller.cli.saying import known_language
from labeller.declarations.declaring import Declaration, Declarer
from labeller.foundations.names import fold_text

READABLE = 200  # declarations


def declare(
    book: Path,
    *,
    of: str | None,
    everything: bool,
    menu: str | None,
    jurisdiction: str | None,
    on: date,
    json_out: bool,
    language: str | None = None,
    beside: ReadBeside | None = None,
) -> int:
    """Print declarations of dishes, of one thing, or of everything; return the exit code."""
    language = known_language(language)
    opened = open_book(book, jurisdiction, on, json_out=json_out, beside=beside)
    found = chosen(opened, of=of, everything=everything, menu=menu)
    if json_out:
        from labeller.declarations.as_json import declaration_as_json

        document = {
            "jurisdiction": opened.law.code,
            "on": on.isoformat(),
            "declarations": [declaration_as_json(one, _labels(opened, one, of), language=language) for one in found],
        }
        # Indented for people; a long document is for machines.
        print(indented(document, 1) if len(found) <= READABLE else json.dumps(document, ensure_ascii=False))
        return 0
    from labeller.declarations.as_text import declaration_as_text

    colour = sys.stdout.isatty()
    print(
        "\n\n".join(
            declaration_as_text(one, colour=colour, declarer=_labels(opened, one, of), language=language)
            for one in found
        )
        if found
        else "There is no dish in this book."
    )
    return 0


def _labels(opened: Opened, declaration: Declaration, of: str | None) -> Declarer | None:
    """Return who words a label: for every dish, and for a preparation that was asked for by its name."""
    return opened.declarer if declaration.kind == "dish" or of is not None else None


def chosen(
    opened: Opened, *, of: str | None = None, everything: bool = False, menu: str | None = None
) -> list[Declaration]:
    """Return the declarations a command asks for: one thing, a menu's dishes, everything, or all dishes."""
    declarer = opened.declarer
    if of is not None:
        kind, name = find_declared(opened, of)
        return [declarer.dish(name) if kind == "dish" else declarer.given(name)]
    dishes = sorted(opened.workings.plates, key=_by_name)
    if menu is not None:
        dishes = dishes_of_menu(opened, menu)
    found = [declarer.dish(name) for name in dishes]
    if everything:
        found += [declarer.given(name) for name in sorted(opened.workings.given(), key=_by_name)]
    return found


def _by_name(name: str) -> tuple[str, str]:
    return fold_text(name), name  # the order of files and entries never matters


def dishes_of_menu(opened: Opened, menu: str) -> list[str]:
    """Return the dishes of a menu in its order, or end with wrong usage."""
    known = menu_meant(opened.book.menus, menu)
    ordered = dict.fromkeys(dish for _, dishes in opened.book.menus[known].sections for dish in dishes)
    return [dish for dish in ordered if dish in opened.workings.plates]
