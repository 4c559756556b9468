"""``labeller matrix``: dishes by allergen group, for those who serve and those who inspect."""

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from labeller.cli.exits import CANNOT_VOUCH, FAULTS
from labeller.cli.opening import open_book, refuse_usage, say
from labeller.cli.paper_dishes import chosen_sections, declared_sections, file_stem, letters_refused, say_on_no_menu
from labeller.cli.saying import known_language
from labeller.cli.writing import write_whole
from labeller.declarations.paper_unvouched import unvouched_as_text

if TYPE_CHECKING:
    from labeller.printing.matrix import Turned


def matrix(
    book: Path,
    out: Path | None,
    *,
    menu: str | None,
    of: str | None,
    jurisdiction: str | None,
    on: date,
    language: str | None,
    paper: str,
    turned: "Turned | None",
) -> int:
    """Write the allergen sheet; return the exit code."""
    from labeller.printing.matrix import PAPERS_MM, SheetTooNarrow, allergen_sheet
    from labeller.printing.matrix_rows import RowTooTallError
    from labeller.printing.matrix_words import not_vouched_for, sheet_words
    from labeller.printing.painter import paint

    if out is None:
        raise refuse_usage("--out: say in which folder the sheet goes: labeller matrix BOOK --out FOLDER")
    if out.exists() and not out.is_dir():
        raise refuse_usage(f"--out: '{out}' is a file. Write the name of a folder.")
    paper = paper.strip().lower()
    if paper not in PAPERS_MM:
        raise refuse_usage(f"--paper: '{paper}' is no paper of ours. Write one of {', '.join(PAPERS_MM)}.")
    code = known_language(language) or ""
    opened = open_book(book, jurisdiction, on)
    title, sections = chosen_sections(opened, menu=menu, of=of)
    declared = declared_sections(opened, sections, "Declaring")
    if not declared:
        say("There is no dish to put on a sheet.")
        return 0
    words = sheet_words(declared, opened.law, opened.book.kitchen.name, menu=title, language=code)
    faults = letters_refused(opened, words.texts(), [name for section in sections for name in section.dishes], title)
    if faults:
        for fault in faults:
            say(fault.as_text())
        return FAULTS
    try:
        document = allergen_sheet(words, paper, turned, on)
    except RowTooTallError as reason:
        origin = opened.book.dishes[reason.of].origin
        raise refuse_usage(
            f"{origin.path}:{origin.line}: dish: the name fills a whole page of {paper}. Write a shorter name, or a larger paper."
        ) from None
    if isinstance(document, SheetTooNarrow):
        raise refuse_usage(f"--{document.turned}: {document.as_text()}")
    path = out / f"{file_stem('allergen sheet', title)}.pdf"
    write_whole(path, paint(document))
    count = len(document.pages)
    say(f"Written: '{path}', {count} page{'s' if count > 1 else ''}.")
    if words.untranslated:
        say(f"No name in '{code}' is on file for {', '.join(words.untranslated)}: it stands in English alone.")
    say_on_no_menu(opened.book)
    found = not_vouched_for(one for _, each in declared for one in each)
    for line in dict.fromkeys(unvouched_as_text(found)):
        say(line)
    return CANNOT_VOUCH if found else 0
