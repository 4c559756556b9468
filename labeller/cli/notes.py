"""``labeller notes``: what a menu says under each dish, as text to paste and as pages to print."""

import json
import sys
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from labeller.cli.exits import CANNOT_VOUCH, FAULTS
from labeller.cli.opening import Opened, open_book, refuse_usage, say
from labeller.cli.paper_dishes import (
    chosen_sections,
    controls_refused,
    file_stem,
    letters_refused,
    refuse_both,
    say_on_no_menu,
    with_bar,
)
from labeller.cli.saying import known_language
from labeller.cli.writing import write_whole
from labeller.declarations.notes_content import MenuNotes, menu_notes
from labeller.declarations.paper_of_dish import DishWords, dish_words
from labeller.declarations.paper_unvouched import unvouched_as_text
from labeller.foundations.faults import Fault

FORMS = {"markdown": "md", "html": "html", "text": "txt", "docx": "docx", "pdf": "pdf"}
"""Forms and the endings of their files."""
WAYS = ("words", "letters")


@dataclass(frozen=True, slots=True)
class NotesAsked:
    """What was asked for on the command line, read."""

    menu: str | None
    of: tuple[str, ...]
    forms: tuple[str, ...]
    by_letters: bool
    energy: bool
    children: bool
    language: str | None
    paper: str


def read_notes_asked(
    *,
    menu: str | None,
    of: list[str] | None,
    form: str,
    by: str,
    energy: bool,
    children: bool,
    language: str | None,
    paper: str,
) -> NotesAsked:
    """Return what was asked for.

    Raises
    ------
    SystemExit
        With code 2 where something written cannot be taken, saying what to write.
    """
    refuse_both(menu, of)
    wanted = form.strip().lower()
    if wanted != "all" and wanted not in FORMS:
        raise refuse_usage(f"--form: '{form}' is no form of notes. Write {', '.join(FORMS)} or all.")
    if by.strip().lower() not in WAYS:
        raise refuse_usage(f"--by: '{by}' is not a way to name allergens. Write words or letters.")
    size = paper.strip().lower()
    if size not in ("a4", "a5", "letter"):
        raise refuse_usage(f"--paper: '{paper}' is no paper for notes. Write a4, a5 or letter.")
    if children and not energy:
        raise refuse_usage("--children: it changes the words beside energy. Use it together with --energy.")
    code = known_language(language)
    forms = tuple(FORMS) if wanted == "all" else (wanted,)
    by_letters = by.strip().lower() == "letters"
    return NotesAsked(menu, tuple(of or ()), forms, by_letters, energy, children, None if code == "en" else code, size)


def notes(book: Path, out: Path, asked: NotesAsked, *, jurisdiction: str | None, on: date, json_out: bool) -> int:
    """Write the notes in every form asked for; return the exit code."""
    if out.exists() and not out.is_dir():
        raise refuse_usage(f"--out: '{out}' is a file. Write the name of a folder.")
    opened = open_book(book, jurisdiction, on, json_out=json_out)
    title, sections = chosen_sections(opened, menu=asked.menu, of=asked.of)
    names = [name for section in sections for name in section.dishes]
    words = {
        name: dish_words(opened.declarer, name, language=asked.language, children=asked.children)
        for name in with_bar(tuple(dict.fromkeys(names)), "Declaring")
    }
    if not words:
        if json_out:
            nothing: dict[str, object] = {
                "files": [],
                "menu": title or None,
                "dishes": [],
                "energy_not_known": [],
                "unvouched": [],
            }
            print(json.dumps(nothing))
        else:
            say("There is no dish to write notes of.")
        return 0
    said = menu_notes(
        [(section, [words[name] for name in section.dishes]) for section in sections],
        opened.law,
        opened.book.kitchen.name,
        menu=title,
        by_letters=asked.by_letters,
        energy=asked.energy,
        book_language=opened.book.kitchen.language,
    )
    refuse = letters_refused if "pdf" in asked.forms else controls_refused
    faults = refuse(opened, said.texts(), names, title)
    if faults:
        return _refused(faults, json_out=json_out)
    made = _made(said, asked, opened, on)
    stem = file_stem("menu-notes", title)
    paths = [out / f"{stem}.{FORMS[form]}" for form in made]
    for path, content in zip(paths, made.values(), strict=True):
        write_whole(path, content)
    found = [one for each in words.values() for one in each.unvouched]
    no_energy = _without_energy(words) if asked.energy else {}
    if json_out:
        document = {
            "files": [str(path) for path in paths],
            "menu": title or None,
            "dishes": list(words),
            "energy_not_known": [{"dish": dish, "ingredients": list(rows)} for dish, rows in no_energy.items()],
            "unvouched": [one.as_json() for one in found],
        }
        print(json.dumps(document, ensure_ascii=False, indent=2))
    else:
        _report(opened, asked, words, paths)
        for dish, rows in no_energy.items():
            say(
                f"{dish}: no energy is printed, figures are missing for {', '.join(rows) or 'part of it'}: give 'composition' or 'per_100_g'."
            )
        for line in unvouched_as_text(found):
            say(line)
    return CANNOT_VOUCH if found or no_energy else 0


def _made(said: MenuNotes, asked: NotesAsked, opened: Opened, on: date) -> dict[str, str | bytes]:
    """Return the files by their forms; each form's library is loaded where it is wanted."""
    found: dict[str, str | bytes] = {}
    for form in asked.forms:
        if form == "markdown":
            from labeller.declarations.notes_markdown import notes_as_markdown

            found[form] = notes_as_markdown(said)
        elif form == "html":
            from labeller.declarations.notes_html import notes_as_html

            found[form] = notes_as_html(said)
        elif form == "text":
            from labeller.declarations.notes_text import notes_as_text

            found[form] = notes_as_text(said)
        elif form == "docx":
            from labeller.printing.notes_docx import notes_as_docx

            found[form] = notes_as_docx(said, on)
        else:
            found[form] = _as_pdf(said, asked, opened, on)
    return found


def _as_pdf(said: MenuNotes, asked: NotesAsked, opened: Opened, on: date) -> bytes:
    from labeller.printing.notes_pages import PageTooSmall, notes_document
    from labeller.printing.painter import paint

    document = notes_document(said, asked.paper, on)
    if isinstance(document, PageTooSmall):
        where = ""
        if document.of:
            origin = opened.book.dishes[document.of].origin
            where = f"{origin.path}:{origin.line}: dish: "
        raise refuse_usage(f"{where}{document.as_text()}")
    return paint(document)


def _without_energy(words: dict[str, DishWords]) -> dict[str, tuple[str, ...]]:
    return {name: one.energy.missing for name, one in words.items() if not one.energy.line}


def _refused(faults: list[Fault], *, json_out: bool) -> int:
    if json_out:
        print(json.dumps({"faults": [one.as_json() for one in faults], "advice": []}, ensure_ascii=False, indent=2))
    else:
        for fault in faults:
            say(fault.as_text())
    return FAULTS


def _report(opened: Opened, asked: NotesAsked, words: dict[str, DishWords], paths: list[Path]) -> None:
    say(f"Written: {', '.join(repr(str(path)) for path in paths)}.")
    say_on_no_menu(opened.book)
    for one in words.values():
        for refused in one.claims.refused:
            say(refused.as_text())
    missing = dict.fromkeys(name for one in words.values() if one.in_language for name in one.in_language.untranslated)
    if missing:
        say(f"No name in '{asked.language}' is on file for {', '.join(missing)}: it stands in English.")
    first = next(iter(words.values()))
    if not asked.energy and first.energy.due:
        say(f"Energy is not shown; --energy shows it. {first.energy.note}")
    sys.stderr.flush()
