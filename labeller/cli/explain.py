"""Explain a figure or a finding: text for people in 80 columns, or JSON; on request the pictures of the alcohol."""

import json
from datetime import date
from pathlib import Path
from typing import Any

from labeller.cli.finding import find_declared
from labeller.cli.opening import Opened, open_book, refuse_usage, say
from labeller.declarations.explaining import Explanation, ThingKind, UnknownFigureError
from labeller.declarations.explaining import explain as explain_figure
from labeller.foundations.names import name_key


def explain(
    book: Path, of: str, figure: str, jurisdiction: str | None, on: date | None, json_out: bool, plot: Path | None
) -> int:
    """Print where a figure of a dish, a preparation or a given part comes from.

    Parameters
    ----------
    book : Path
        Folder of the book.
    of, figure : str
        What is asked about, and which figure, group or source of it.
    plot : Path or None
        File for the pictures, ``.svg`` or ``.png``; for alcohol only.

    Returns
    -------
    int
        Exit code 0.

    Raises
    ------
    SystemExit
        1 where the book has faults, 2 where the call is wrong.
    """
    if plot is not None and plot.suffix.lower() not in (".svg", ".png"):
        raise refuse_usage(f"--plot: '{plot}' ends in neither .svg nor .png. Write one of these endings.")
    opened = open_book(book, jurisdiction, on, json_out=json_out)
    thing, name = _find(opened, of)
    try:
        found = explain_figure(opened.declarer, thing, name, figure)
    except UnknownFigureError as reason:
        raise refuse_usage(f"--figure: {reason}") from None
    if plot is not None:
        if found.figure.kind != "alcohol":
            raise refuse_usage(f"--plot: only alcohol is drawn, not '{figure}'. Write --figure alcohol.")
        _draw(opened, thing, name, plot)
    if json_out:
        print(json.dumps(as_json(found), ensure_ascii=False, indent=2))
    else:
        print(found.reason.as_text())
    return 0


def as_json(found: Explanation) -> dict[str, Any]:
    """Return an explanation as JSON: name, figure, law, and the tree of reasons."""
    document: dict[str, Any] = {
        "name": found.name,
        "kind": "dish" if found.thing == "dish" else "preparation",
        "figure": found.figure.key,
        "jurisdiction": found.jurisdiction,
        "on": found.on,
        "explanation": found.reason.as_json(),
    }
    facts = found.facts
    if facts is not None:
        ends = ("low", "estimate", "high")
        document["alcohol"] = {
            "ethanol_g": dict(zip(ends, facts.ethanol_g, strict=True)),
            "ethanol_ml": dict(zip(ends, facts.ethanol_ml, strict=True)),
            "abv_percent": None
            if facts.strength_percent_vol is None
            else dict(zip(ends, facts.strength_percent_vol, strict=True)),
            "by_volume_percent": dict(zip(ends, facts.by_volume_percent, strict=True)),
            "units": [
                {
                    "jurisdiction": one.jurisdiction,
                    "name": one.name,
                    "grams": one.grams,
                    **dict(zip(ends, one.counts, strict=True)),
                    "clause": one.clause.as_text(),
                }
                for one in facts.units
            ],
            "thresholds": [
                {
                    "jurisdiction": one.jurisdiction,
                    "bound": one.bound,
                    "percent_vol": one.percent_vol,
                    "words": one.words,
                    "estimate": one.estimate,
                    "high": one.high,
                    "clause": one.clause.as_text(),
                }
                for one in facts.thresholds
            ],
        }
    return document


def _find(opened: Opened, of: str) -> tuple[ThingKind, str]:
    """Find what is asked about; a preparation that gives only parts of other names can be explained as a whole."""
    made, given = opened.workings.made, opened.workings.given()
    for name in made:
        if name not in given and name_key(name) == name_key(of):
            return "preparation", name
    return find_declared(opened, of)


def _draw(opened: Opened, thing: ThingKind, name: str, plot: Path) -> None:
    from labeller.declarations.alcohol_courses import preparation_to_draw
    from labeller.printing.alcohol_pictures import pictures_of
    from labeller.printing.drawing import write_drawing

    workings = opened.workings
    preparation = preparation_to_draw(workings, thing, name)
    if preparation is None:
        raise refuse_usage(f"--plot: there is no alcohol in '{name}' to draw.")
    try:
        write_drawing(pictures_of(workings, preparation), plot)
    except OSError as reason:
        raise refuse_usage(f"--plot: '{plot}' cannot be written: {reason.strerror}.") from None
    say(f"Drawn: {plot} ({preparation}).")
