"""``labeller matrix``: dishes by allergen group, for those who serve and those who inspect."""

import json
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from labeller.cli.exits import CANNOT_VOUCH, FAULTS
from labeller.cli.opening import Opened, open_book, refuse_usage, say
from labeller.cli.paper_dishes import (
    chosen_sections,
    declared_sections,
    file_stem,
    letters_refused,
    refuse_both,
    say_on_no_menu,
)
from labeller.cli.saying import known_language
from labeller.cli.writing import write_whole
from labeller.declarations.declaring import Declaration
from labeller.declarations.notes_sections import Section
from labeller.declarations.paper_instead import instead_of
from labeller.declarations.paper_unvouched import Unvouched, unvouched_as_text
from labeller.foundations.faults import Fault

if TYPE_CHECKING:
    from labeller.printing.matrix import Turned
    from labeller.printing.matrix_words import SheetWords
    from labeller.printing.page import Document

PAPERS = ("a4", "a3", "letter")


@dataclass(frozen=True, slots=True)
class MatrixAsked:
    """What was asked for on the command line, read; ``portrait`` is None where the sheet may lie as it fits."""

    menu: str | None
    of: tuple[str, ...]
    paper: str
    portrait: bool | None
    language: str


def read_matrix_asked(
    *, menu: str | None, of: list[str] | None, paper: str, portrait: bool | None, language: str | None
) -> MatrixAsked:
    """Return what was asked for.

    Raises
    ------
    SystemExit
        With code 2 where something written cannot be taken, saying what to write.
    """
    refuse_both(menu, of)
    size = paper.strip().lower()
    if size not in PAPERS:
        raise refuse_usage(f"--paper: '{paper}' is no paper for a sheet. Write {', '.join(PAPERS)}.")
    code = known_language(language) or ""
    return MatrixAsked(menu, tuple(of or ()), size, portrait, "" if code == "en" else code)


def matrix(book: Path, out: Path, asked: MatrixAsked, *, jurisdiction: str | None, on: date, json_out: bool) -> int:
    """Write the allergen sheet; return the exit code."""
    from labeller.printing.matrix_words import not_vouched_for, sheet_words
    from labeller.printing.painter import paint

    if out.exists() and not out.is_dir():
        raise refuse_usage(f"--out: '{out}' is a file. Write the name of a folder.")
    opened = open_book(book, jurisdiction, on, json_out=json_out)
    title, sections = chosen_sections(opened, menu=asked.menu, of=asked.of)
    declared = declared_sections(opened, sections, "Declaring")
    if not declared:
        if json_out:
            print(json.dumps({"files": [], "pages": 0, "menu": title or None, "dishes": [], "unvouched": []}))
        else:
            say("There is no dish to put on a sheet.")
        return 0
    others = {one.name: instead_of(opened.declarer, one) for _, found in declared for one in found}
    instead = {name: tuple(text for text, _ in found) for name, found in others.items()}
    words = sheet_words(
        declared, opened.law, opened.book.kitchen.name, menu=title, language=asked.language, instead=instead
    )
    faults = letters_refused(opened, words.texts(), [name for section in sections for name in section.dishes], title)
    if faults:
        return _refused(faults, json_out=json_out)
    document = _laid_out(words, asked, opened, on)
    path = out / f"{file_stem('allergen-sheet', title)}.pdf"
    write_whole(path, paint(document))
    of_others = (one for lines in others.values() for _, asked_about in lines for one in asked_about)
    found = tuple(dict.fromkeys((*not_vouched_for(one for _, each in declared for one in each), *of_others)))
    if json_out:
        print(json.dumps(_as_json(path, title, declared, found, len(document.pages)), ensure_ascii=False, indent=2))
        return CANNOT_VOUCH if found else 0
    count = len(document.pages)
    say(f"Written: '{path}', {count} page{'s' if count > 1 else ''}.")
    if words.untranslated:
        say(
            f"No name in '{asked.language}' is on file for {', '.join(words.untranslated)}: it stands in English alone."
        )
    say_on_no_menu(opened.book)
    for line in unvouched_as_text(found):
        say(line)
    return CANNOT_VOUCH if found else 0


def _laid_out(words: "SheetWords", asked: MatrixAsked, opened: Opened, on: date) -> "Document":
    from labeller.printing.matrix import SheetTooNarrow, allergen_sheet
    from labeller.printing.matrix_rows import RowTooTallError

    turned: Turned | None = None
    if asked.portrait is not None:
        turned = "portrait" if asked.portrait else "landscape"
    try:
        document = allergen_sheet(words, asked.paper, turned, on)
    except RowTooTallError as reason:
        origin = opened.book.dishes[reason.of].origin
        raise refuse_usage(
            f"{origin.path}:{origin.line}: dish: the name of '{reason.of[:60]}...' fills a whole page of {asked.paper}. "
            "Write a shorter name, or a larger paper after --paper."
        ) from None
    if isinstance(document, SheetTooNarrow):
        raise refuse_usage(f"--{document.turned}: {document.as_text()}")
    return document


def _as_json(
    path: Path, menu: str, declared: list[tuple[Section, list[Declaration]]], found: tuple[Unvouched, ...], pages: int
) -> dict[str, object]:
    return {
        "files": [str(path)],
        "pages": pages,
        "menu": menu or None,
        "dishes": [one.name for _, each in declared for one in each],
        "unvouched": [one.as_json() for one in found],
    }


def _refused(faults: list[Fault], *, json_out: bool) -> int:
    if json_out:
        print(json.dumps({"faults": [one.as_json() for one in faults], "advice": []}, ensure_ascii=False, indent=2))
    else:
        for fault in faults:
            say(fault.as_text())
    return FAULTS
