"""``labeller panel``: the nutrition declaration as each law draws it, one a page."""

import json
import re
import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

from labeller.cli.declare import chosen
from labeller.cli.exits import CANNOT_VOUCH
from labeller.cli.opening import Opened, open_book, refuse_usage, say
from labeller.cli.writing import write_whole
from labeller.declarations.declaring import Declaration
from labeller.declarations.labelling import tolerance_in_words
from labeller.declarations.panel_content import OneRefusedError, Panel, PanelRefusedError
from labeller.declarations.panel_front_of_pack import FrontOfPack, front_of_pack
from labeller.declarations.panel_missing import Supply, supplies
from labeller.declarations.panel_rows import PanelWish, panel_of
from labeller.declarations.panel_serving import parse_serving
from labeller.declarations.words import listed
from labeller.foundations.names import fold_text
from labeller.foundations.quantities import parse_number
from labeller.printing.letters import letters_not_set
from labeller.printing.page import Document
from labeller.printing.panel_pages import lay_out_front_page, lay_out_panel, panels_document
from labeller.printing.panel_sheet import PanelTooNarrowError
from labeller.printing.sheets import Piece

CAUTION = "Worked out from the recipe: an estimate, not an analysis. Local law and licensed professionals decide what may stand on a pack."
_COUNT = re.compile(r"(?:about )?\d{1,4}(?:\.5)?", re.ASCII)
_WIDTHS_MM = (30.0, 400.0)
_BAR_FROM = 40


@dataclass(frozen=True, slots=True)
class PanelsAsked:
    """What was asked for on the command line, read."""

    of: str | None
    everything: bool
    menu: str | None
    wish: PanelWish
    width_mm: float | None
    face_cm2: float | None
    colours: bool
    incomplete: bool
    png: bool


@dataclass(slots=True)
class _Run:
    """What a run has gathered so far."""

    pieces: list[Piece] = field(default_factory=list)
    drawn: list[tuple[Panel, int]] = field(default_factory=list)
    lacking: list[Panel] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)
    notes: dict[str, None] = field(default_factory=dict)

    @property
    def code(self) -> int:
        """The exit code: 3 where a figure is missing or a panel could not be drawn."""
        return CANNOT_VOUCH if self.lacking or self.refused else 0


def panel(book: Path, out: Path, asked: PanelsAsked, *, jurisdiction: str | None, on: date, json_out: bool) -> int:
    """Write the panels; return the exit code."""
    opened = open_book(book, jurisdiction, on, json_out=json_out)
    found = chosen(opened, of=asked.of, everything=asked.everything, menu=asked.menu)
    if not found:
        raise refuse_usage("There is no dish in this book. Write --all for what preparations give, or --of NAME.")
    _one_thing_only(asked, len(found))
    run = _Run()
    for declaration in _with_bar(found):
        _draw(opened, declaration, asked, run, alone=len(found) == 1)
    file = out / _file_name(asked, found)
    if run.pieces:
        _write(file, run, on, png=asked.png)
    if json_out:
        print(json.dumps(_as_json(opened, file, run, on), ensure_ascii=False, indent=1))
    else:
        _report(file, run, asked)
    return run.code


def _one_thing_only(asked: PanelsAsked, count: int) -> None:
    if count > 1 and asked.wish.serving is not None:
        raise refuse_usage("--serving: it cannot be that of several things. Write --of with one of them.")
    if count > 1 and asked.wish.servings:
        raise refuse_usage("--servings: it cannot be that of several packs. Write --of with one of them.")


def _with_bar(found: list[Declaration]) -> Iterable[Declaration]:
    """Yield what is to be drawn, with a bar on a terminal where there is much."""
    if len(found) < _BAR_FROM or not sys.stderr.isatty():
        return found
    import click

    def going() -> Iterable[Declaration]:
        with click.progressbar(found, label="Panels", file=sys.stderr) as bar:
            yield from bar

    return going()


def _draw(opened: Opened, declaration: Declaration, asked: PanelsAsked, run: _Run, *, alone: bool) -> None:
    declarer = opened.declarer
    try:
        made = panel_of(declarer, declaration, asked.wish)
        front = front_of_pack(declarer, declaration, asked.wish) if asked.colours else None
    except OneRefusedError as reason:
        if alone:
            raise refuse_usage(str(reason)) from None
        run.refused.append(str(reason))
        return
    except PanelRefusedError as reason:
        raise refuse_usage(str(reason)) from None
    if made.incomplete:
        run.lacking.append(made)
        if not asked.incomplete:
            return
    try:
        run.pieces.append(lay_out_panel(made, asked.width_mm, asked.face_cm2))
        run.drawn.append((made, len(run.pieces)))
        if front is not None:
            run.pieces.append(lay_out_front_page(front, asked.width_mm, asked.face_cm2))
    except PanelTooNarrowError as reason:
        raise refuse_usage(str(reason)) from None
    _note(opened, declaration, made, front, asked, run)


def _note(
    opened: Opened, declaration: Declaration, made: Panel, front: FrontOfPack | None, asked: PanelsAsked, run: _Run
) -> None:
    for reasons, figures in tolerance_in_words(opened.declarer, declaration):
        run.notes[f"{made.name}: less sure than the law allows: {figures}, because {reasons}."] = None
    if made.serving is not None and not asked.wish.servings:
        run.notes["Each pack is taken to hold one portion: for others write --of NAME --servings N."] = None
    if asked.wish.per == "portion" and "per 100 g" in made.law.panel:
        basis = made.law.panel.get("basis")
        where = f" ({basis.clause.as_text()})" if basis is not None else ""
        run.notes[
            f"Per portion alone is for food that is not packed; packed food has its figures per 100 g{where}."
        ] = None
    if made.law.code == "eu":
        run.notes["The panel stands in English; food is sold with a panel in a language of its country."] = None
    if made.form == "bilingual" and made.serving is not None and len(made.serving.measures) == 1:
        run.notes['The serving has no French words: write --serving "2 pieces / 2 morceaux (60 g)".'] = None
    if front is not None and front.kind == "drink":
        run.notes[f"{made.name}: it pours, so low, medium and high are those of drinks."] = None


def _file_name(asked: PanelsAsked, found: Sequence[Declaration]) -> str:
    if asked.of is None:
        return "nutrition-panels.pdf"
    slug = re.sub(r"[^a-z0-9]+", "-", fold_text(found[0].name)).strip("-") or "one"
    return f"nutrition-panel-{slug}.pdf"


def _write(file: Path, run: _Run, on: date, *, png: bool) -> None:
    from labeller.printing.painter import paint

    title = run.drawn[0][0].name if len(run.drawn) == 1 else "Nutrition declarations"
    document: Document = panels_document(run.pieces, title, "en", on)
    pdf = paint(document)
    write_whole(file, pdf)
    if not png:
        return
    try:
        from labeller.printing.preview import page_as_png

        pictures = [page_as_png(pdf, number, 300) for number in range(len(run.pieces))]
    except ModuleNotFoundError:
        raise refuse_usage(
            "--png: pictures need pypdfium2, which is not installed. Install it, or leave --png away; the PDF is written."
        ) from None
    for number, picture in enumerate(pictures, start=1):
        suffix = f"-{number}" if len(pictures) > 1 else ""
        write_whole(file.with_name(f"{file.stem}{suffix}.png"), picture)


def _report(file: Path, run: _Run, asked: PanelsAsked) -> None:
    for one in run.refused:
        say(one)
    if run.lacking:
        _say_what_is_missing(run, asked)
    if run.notes:
        say("To look at:")
        for note in run.notes:
            say(f"  {note}")
    if not run.pieces:
        say("Nothing was written.")
        return
    say(CAUTION)
    pages = f"{len(run.pieces)} page{'s' if len(run.pieces) != 1 else ''}"
    say(f"Written: '{file}', {pages}, each of its panel's own size. Print it at its own size, not fitted to the page.")
    if len(run.drawn) > 1:
        say("  " + "; ".join(f"{number} {made.name}" for made, number in run.drawn))


def _say_what_is_missing(run: _Run, asked: PanelsAsked) -> None:
    fate = "drawn, and marked as incomplete" if asked.incomplete else "not drawn"
    for made in run.lacking:
        names = listed(list(dict.fromkeys(one.name for one in made.missing)))
        say(f"{made.name}: {fate}, for it must say, and it is not known: {names}.")
        for one in made.missing:
            if not one.gaps:
                say(f"  {one.name} is not worked out by this tool: add it by hand, from an analysis.")
    say("To be supplied:")
    for supply in _supplies_of_all(run.lacking):
        say("  " + supply.as_text().replace("\n", "\n  "))
    if not asked.incomplete:
        say("To have it drawn nevertheless, marked as incomplete: --incomplete")


def _supplies_of_all(lacking: list[Panel]) -> tuple[Supply, ...]:
    """Return what each ingredient lacks, each once, with its largest share in any of them."""
    return supplies(tuple(one for made in lacking for one in made.missing))


def _as_json(opened: Opened, file: Path, run: _Run, on: date) -> dict[str, Any]:
    pages = {made.name: number for made, number in run.drawn}
    shown = {made.name: made for made in (*(made for made, _ in run.drawn), *run.lacking)}
    return {
        "jurisdiction": opened.law.code,
        "on": on.isoformat(),
        "file": str(file) if run.pieces else None,
        "pages": len(run.pieces),
        "panels": [_panel_as_json(made, pages.get(name)) for name, made in shown.items()],
        "refused": run.refused,
        "to_look_at": list(run.notes),
    }


def _panel_as_json(made: Panel, page: int | None) -> dict[str, Any]:
    return {
        "name": made.name,
        "form": made.form,
        "page": page,
        "serving": made.serving.words() if made.serving is not None else None,
        "servings": made.servings if made.serving is not None else None,
        "columns": [column.basis for column in made.columns],
        "lines": [
            {
                "key": line.key,
                "name": line.names[0] if line.names else "",
                "amounts": [one.text if one.known else None for one in line.amounts],
                "percent": line.percent.text if line.percent is not None and line.percent.known else None,
            }
            for line in made.lines
        ],
        "missing": [
            {
                "nutrient": one.key,
                "ingredient": gap.ingredient,
                "share": round(gap.share, 6),
                "file": gap.origin.path,
                "line": gap.origin.line,
                "write": list(gap.needs),
            }
            for one in made.missing
            for gap in one.gaps
        ],
    }


def read_asked(
    *,
    of: str | None,
    everything: bool,
    menu: str | None,
    form: str,
    per: str,
    servings: str,
    serving: str | None,
    width: str | None,
    face: str | None,
    colours: bool,
    incomplete: bool,
    png: bool,
) -> PanelsAsked:
    """Read what was asked for.

    Raises
    ------
    SystemExit
        With code 2 where something cannot be taken, with the mend.
    """
    if sum((of is not None, everything, menu is not None)) > 1:
        raise refuse_usage("--of names one thing, --all and --menu choose many. Write only one of them.")
    basis = per.strip().lower().replace(" ", "")
    if basis and basis not in ("both", "100g", "portion"):
        raise refuse_usage(f"--per: '{per}' is no basis. Write 100g, portion or both.")
    count = " ".join(servings.split())
    if count and (_COUNT.fullmatch(count) is None or not float(count.removeprefix("about ")) > 0.0):
        raise refuse_usage(
            f"--servings: '{servings}' is no number of portions in a pack. Write 4, 2.5 or \"about 3\"."
        )
    parsed = None
    if serving is not None:
        unset = letters_not_set(serving)
        if unset:
            raise refuse_usage(f"--serving: {unset[0].problem} {unset[0].mend}")
        try:
            parsed = parse_serving(serving)
        except PanelRefusedError as reason:
            raise refuse_usage(str(reason)) from None
    wish = PanelWish(basis, count, parsed, form.strip().lower())
    return PanelsAsked(of, everything, menu, wish, _width(width), _face(face), colours, incomplete, png)


def _width(text: str | None) -> float | None:
    if text is None:
        return None
    low, high = _WIDTHS_MM
    try:
        width = float(text.lower().removesuffix("mm").strip().replace(",", "."))
    except ValueError:
        width = float("nan")
    if not low <= width <= high:
        raise refuse_usage(
            f"--width: '{text}' is no width of a panel. Write millimetres, {low:g} to {high:g}, such as 70."
        )
    return width


def _face(text: str | None) -> float | None:
    if text is None:
        return None
    number = parse_number(text.lower().removesuffix("cm2").strip())
    if number is None or not number > 0.0:
        raise refuse_usage(
            f"--face: '{text}' is not an area. Write the largest face of the pack in square centimetres, such as 60."
        )
    return number
