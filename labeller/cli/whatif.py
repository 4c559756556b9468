"""``labeller whatif``: a dish before and after a change that nobody has made yet."""

import json
from datetime import date
from pathlib import Path

from labeller.cli.exits import CANNOT_VOUCH
from labeller.cli.finding import find_dish
from labeller.cli.opening import open_book, refuse_usage, today
from labeller.declarations.whatif import Asked, WhatIfError, what_if
from labeller.declarations.whatif_text import whatif_as_text
from labeller.jurisdictions.packs import load_jurisdiction


def whatif(
    book: Path,
    of: str,
    asked: list[Asked],
    *,
    inside: str | None,
    jurisdiction: str | None,
    on: date | None,
    json_out: bool,
) -> int:
    """Print a dish with changes beside the dish as it stands.

    Parameters
    ----------
    asked : list of Asked
        Swaps, what is left off, what is added.
    inside : str or None
        Only what stands in this preparation is changed.

    Returns
    -------
    int
        0; 3 where something cannot be vouched for after that could be before.

    Raises
    ------
    SystemExit
        1 where the book has faults, 2 where the call is wrong or the change cannot be tried.
    """
    if not asked:
        raise refuse_usage(
            'Write what to try: --swap "double cream=oat drink", --leave-off NAME or --add "30 g NAME".'
        )
    opened = open_book(book, jurisdiction, on, json_out=json_out)
    dish = find_dish(opened, of)
    own = load_jurisdiction(opened.book.kitchen.jurisdiction).in_force_on(today())
    try:
        found = what_if(
            opened.declarer,
            dish,
            asked,
            inside=inside,
            pack_carbohydrate_with_fibre=own.definitions.carbohydrate_with_fibre,
        )
    except WhatIfError as reason:
        raise refuse_usage(f"{reason} Nothing was changed in the book.") from None
    if json_out:
        document = {"jurisdiction": opened.law.code, "on": opened.law.day.isoformat(), **found.as_json()}
        print(json.dumps(document, ensure_ascii=False, indent=1))
    else:
        print(whatif_as_text(found))
    return CANNOT_VOUCH if found.cannot_vouch else 0
