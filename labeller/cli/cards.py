"""``labeller cards``: a card for every dish, as a PDF of sheets to be cut apart."""

import json
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import TypeVar

from labeller.cli.declare import dishes_of_menu
from labeller.cli.exits import CANNOT_VOUCH, FAULTS, WRONG_USAGE
from labeller.cli.finding import find_dish
from labeller.cli.opening import Opened, open_book, refuse_usage, say
from labeller.cli.paper_dishes import letters_refused, refuse_both
from labeller.cli.saying import known_language
from labeller.cli.writing import write_whole
from labeller.declarations.paper_of_dish import DishWords, dish_words
from labeller.declarations.paper_unvouched import Unvouched, unvouched_as_text
from labeller.declarations.words import listed
from labeller.foundations.faults import Fault
from labeller.foundations.names import fold_text
from labeller.printing.card_faces import CardTooSmall
from labeller.printing.card_sizes import CardSize, parse_card_size, parse_paper
from labeller.printing.card_words import CardText, card_text
from labeller.printing.cards import CardStock, card_document, card_pages, cards_for, sizes_that_would
from labeller.printing.painter import paint
from labeller.printing.sheet_words import SheetWordsError, check_copies
from labeller.printing.sheets import Piece

Work = TypeVar("Work")

_LONG_JOB = 20
_CHILD = "child"


@dataclass(frozen=True, slots=True)
class CardsAsked:
    """What was asked for on the command line, read."""

    of: tuple[str, ...]
    menu: str | None
    stock: CardStock
    copies: int
    energy: bool
    language: str | None


@dataclass(slots=True)
class _Run:
    """What a run has gathered so far."""

    texts: list[CardText] = field(default_factory=list)
    pieces: list[Piece] = field(default_factory=list)
    made: list[tuple[str, int, str]] = field(default_factory=list)
    refused: list[tuple[str, str]] = field(default_factory=list)
    unvouched: list[Unvouched] = field(default_factory=list)
    notes: dict[str, None] = field(default_factory=dict)

    @property
    def code(self) -> int:
        """The exit code: a card to change before what cannot be vouched for."""
        if self.refused:
            return WRONG_USAGE
        return CANNOT_VOUCH if self.unvouched else 0


def read_cards_asked(
    *,
    of: list[str] | None,
    menu: str | None,
    size: str,
    orientation: str | None,
    paper: str,
    copies: int,
    energy: bool,
    language: str | None,
) -> CardsAsked:
    """Return what was asked for.

    Raises
    ------
    SystemExit
        With code 2 where something written cannot be taken, saying what to write.
    """
    refuse_both(menu, of)
    try:
        stock = CardStock(parse_card_size(size, orientation), parse_paper(paper))
        check_copies(copies)
        _hold_to_sheet(stock, paper)
    except SheetWordsError as reason:
        raise refuse_usage(str(reason)) from None
    code = known_language(language)
    return CardsAsked(tuple(of or ()), menu, stock, copies, energy, None if code == "en" else code)


def _hold_to_sheet(stock: CardStock, paper: str) -> None:
    """Refuse a card the sheet has no room for before anything is worked out."""
    try:
        stock.size.grid(stock.paper)
    except SheetWordsError:
        size = stock.size
        raise SheetWordsError(
            f"--size: a card of {size.width:g}x{size.flat_height:g} mm does not fit a sheet of {paper.strip().lower()} "
            f"({stock.paper[0]:g}x{stock.paper[1]:g} mm). Write a smaller size."
        ) from None


def cards(book: Path, out: Path, asked: CardsAsked, *, jurisdiction: str | None, on: date, json_out: bool) -> int:
    """Write the cards; return the exit code."""
    if out.exists() and not out.is_dir():
        raise refuse_usage(f"--out: '{out}' is a file. Write the name of a folder.")
    opened = open_book(book, jurisdiction, on, json_out=json_out)
    dishes = _dishes(opened, asked)
    run = _Run()
    for name in _with_bar(dishes, "Declaring"):
        _one_dish(opened, name, asked, run)
    faults = letters_refused(opened, (one for text in run.texts for one in text.words()), dishes, "")
    if faults:
        return _refuse_letters(faults, json_out=json_out)
    for text in _with_bar(run.texts, "Laying out"):
        _one_card(opened, text, asked, run)
    path = out / f"cards-{asked.stock.size.name}.pdf"
    sheets = 0
    if run.pieces:
        pages = card_pages(run.pieces, asked.stock)
        write_whole(path, paint(card_document(pages, opened.book.kitchen.name, on)))
        sheets = len(pages)
    if json_out:
        print(json.dumps(_as_json(path, run, sheets), ensure_ascii=False, indent=2))
    else:
        _report(path, run, sheets, asked.stock.size)
    return run.code


def _dishes(opened: Opened, asked: CardsAsked) -> list[str]:
    if asked.menu is not None:
        return dishes_of_menu(opened, asked.menu)
    if asked.of:
        return list(dict.fromkeys(find_dish(opened, name) for name in asked.of))
    return sorted(opened.workings.plates, key=lambda name: (fold_text(name), name))


def _with_bar(work: Sequence[Work], doing: str) -> Iterator[Work]:
    """Yield each piece of work, with a progress bar on the error stream where there is much of it and that is a terminal."""
    if len(work) < _LONG_JOB or not sys.stderr.isatty():
        yield from work
        return
    import typer

    with typer.progressbar(work, label=doing, file=sys.stderr) as bar:
        yield from bar


def _one_dish(opened: Opened, name: str, asked: CardsAsked, run: _Run) -> None:
    course = opened.book.dishes[name].course
    words = dish_words(opened.declarer, name, language=asked.language, children=fold_text(course).startswith(_CHILD))
    run.texts.append(card_text(words, opened.book.kitchen.name, energy=asked.energy))
    run.unvouched += words.unvouched
    run.notes.update(dict.fromkeys(f"{one.as_text()}" for one in words.claims.refused))
    if asked.energy and not words.energy.line:
        lacking = listed([f"'{one}'" for one in words.energy.missing])
        run.notes[
            f"{name}: energy is not printed, as it has no figure for {lacking}: write 'per_100_g' or 'composition'."
        ] = None
    _note_the_rest(words, asked, run)


def _note_the_rest(words: DishWords, asked: CardsAsked, run: _Run) -> None:
    if words.energy.due and not asked.energy:
        run.notes[f"Energy is not on the cards; --energy prints it. {words.energy.note}"] = None
    other = words.in_language
    if other is not None and other.untranslated:
        missing = listed([f"'{one}'" for one in other.untranslated])
        run.notes[f"{words.name}: no name in '{other.language}' is on file for {missing}; it stands in English."] = (
            None
        )


def _one_card(opened: Opened, text: CardText, asked: CardsAsked, run: _Run) -> None:
    found = cards_for(text, asked.stock)
    if isinstance(found, CardTooSmall):
        origin = opened.book.dishes[text.of].origin
        sizes = [f"--size {size} ({_counted(count, 'card')})" for size, count in sizes_that_would(text, asked.stock)]
        mend = f"Write {' or '.join(sizes)}." if sizes else "No card of this sheet carries it: write shorter names."
        run.refused.append((text.of, Fault(origin, "dish", found.problem, mend).as_text()))
        return
    # All cards of one dish lie together, copy after copy.
    run.pieces += found * asked.copies
    run.made.append((text.of, len(found), text.version))


def _refuse_letters(faults: list[Fault], *, json_out: bool) -> int:
    if json_out:
        document = {"faults": [one.as_json() for one in faults], "advice": []}
        print(json.dumps(document, ensure_ascii=False, indent=2))
    else:
        for fault in faults:
            say(fault.as_text())
    return FAULTS


def _report(path: Path, run: _Run, sheets: int, size: CardSize) -> None:
    for _, text in run.refused:
        say(text)
    if run.notes:
        say("To look at:")
        for note in run.notes:
            say(f"  {note}")
    several = [f"{name} ({count})" for name, count, _ in run.made if count > 1]
    if several:
        say(f"On more than one card: {', '.join(several)}.")
    for line in unvouched_as_text(run.unvouched):
        say(line)
    if run.refused:
        say(f"Refused: {len(run.refused)} ({', '.join(name for name, _ in run.refused)}).")
    if not run.pieces:
        say("Nothing was written." if run.refused else "There is no dish to make a card of; nothing was written.")
        return
    fold = " Fold at the dashes, not before it is cut." if size.folded else ""
    say(
        f"Written: '{path}', {_counted(len(run.pieces), 'card')} on {_counted(sheets, 'sheet')}. "
        f"Print at its own size, not fitted to the page, and cut at the marks.{fold}"
    )


def _counted(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"


def _as_json(path: Path, run: _Run, sheets: int) -> dict[str, object]:
    return {
        "file": str(path) if run.pieces else None,
        "cards": len(run.pieces),
        "sheets": sheets,
        "dishes": [{"name": name, "cards": count, "version": version} for name, count, version in run.made],
        "refused": [{"name": name, "because": text} for name, text in run.refused],
        "unvouched": [one.as_json() for one in run.unvouched],
        "to_look_at": list(run.notes),
    }
