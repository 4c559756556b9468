"""``labeller fmt``: every file of a book in the house form, with nothing it says changed."""

import difflib
import json
from dataclasses import replace
from pathlib import Path

from labeller.book.entries import Book
from labeller.book.fields import Notes
from labeller.book.files import BookFiles, read_files
from labeller.book.reading import read_book
from labeller.bringing_in.house_form import house_form
from labeller.bringing_in.same_reading import same_reading, second_reader_agrees
from labeller.cli.exits import FAULTS
from labeller.cli.saying import refuse_usage, say
from labeller.cli.writing import write_whole
from labeller.composition.household import load_household
from labeller.composition.table import load_table
from labeller.foundations.faults import Fault, Origin
from labeller.jurisdictions.packs import known_jurisdictions

_NOT_THE_SAME = "the house form would change what this file says, so it is left as it is."
_MEND = "Write the entries of this file plainly, as in the README's example."


def fmt(book: Path, *, check: bool, diff: bool, json_out: bool) -> int:
    """Write every file of a book that is not in the house form; return 1 where one is left alone, or with ``check`` would change."""
    if not book.exists():
        raise refuse_usage(f"'{book}' is not there. Write the folder of a kitchen book.")
    files = read_files(book)
    changed, left = formatted(files)
    left = [*files.faults, *left]
    if not check and not diff:
        left += _write_all(files, changed)
    if json_out:
        document = {"changed": sorted(changed), "left_alone": [one.as_json() for one in left]}
        print(json.dumps(document, ensure_ascii=False, indent=1))
    else:
        for path in sorted(changed):
            if diff:
                print(_difference(path, files.raw[path], changed[path]), end="")
            else:
                print(path)
        for one in left:
            say(one.as_text())
        _sum_up(len(files.raw), len(changed), len(left), only_looked=check or diff)
    return FAULTS if left or (check and changed) else 0


def formatted(files: BookFiles) -> tuple[dict[str, str], list[Fault]]:
    """Return the new text of every file that is not in the house form, and why others are left alone.

    The book is read before and after; a file after which it reads otherwise is left alone.
    """
    changed: dict[str, str] = {}
    left: list[Fault] = []
    for path, raw in files.raw.items():
        text, faults = house_form(raw, path)
        left += faults
        if text is None or text.encode() == raw:
            continue
        if second_reader_agrees(raw.decode("utf-8-sig"), text):
            changed[path] = text
        else:
            left.append(Fault(Origin(path, 1), "file", _NOT_THE_SAME, _MEND))
    if changed and not same_reading(_read, files, _with(files, changed)):
        alone = {path for path in changed if not same_reading(_read, files, _with(files, {path: changed[path]}))}
        left += [Fault(Origin(path, 1), "file", _NOT_THE_SAME, _MEND) for path in sorted(alone or changed)]
        changed = {path: text for path, text in changed.items() if alone and path not in alone}
        if changed and not same_reading(_read, files, _with(files, changed)):
            left += [Fault(Origin(path, 1), "file", _NOT_THE_SAME, _MEND) for path in sorted(changed)]
            changed = {}
    return changed, left


def _with(files: BookFiles, changed: dict[str, str]) -> BookFiles:
    return replace(files, raw={**files.raw, **{path: text.encode() for path, text in changed.items()}})


def _read(files: BookFiles) -> tuple[Book | None, Notes]:
    table, household = load_table(), load_household()
    return read_book(
        files,
        jurisdictions=known_jurisdictions(),
        row_exists=lambda code: table.row_index(code) is not None,
        trade_pieces=household.trade_pieces,
    )


def _write_all(files: BookFiles, changed: dict[str, str]) -> list[Fault]:
    """Write the files that change, each whole; one that somebody saved in the meantime is left alone."""
    left: list[Fault] = []
    for path in sorted(changed):
        file = (files.folder / path).resolve()  # a link stays a link
        if file.read_bytes() != files.raw[path]:
            problem = "this file was saved by another program just now, so it is left as it is."
            left.append(Fault(Origin(path, 1), "file", problem, "Run 'labeller fmt' again."))
            del changed[path]
            continue
        mode = file.stat().st_mode & 0o777
        write_whole(file, changed[path])
        file.chmod(mode)
    return left


def _difference(path: str, raw: bytes, text: str) -> str:
    before = raw.decode("utf-8-sig").splitlines(keepends=True)
    lines = list(difflib.unified_diff(before, text.splitlines(keepends=True), path, f"{path} in the house form"))
    return "".join(
        line if line.endswith("\n") else f"{line}\n\\ the file ends without a line break\n" for line in lines
    )


def _sum_up(files: int, changed: int, left: int, *, only_looked: bool) -> None:
    plural = "file" if changed == 1 else "files"
    if changed:
        say(f"{changed} {plural} {'not in the house form' if only_looked else 'written in the house form'}.")
    elif not left:
        say("1 file, in the house form." if files == 1 else f"{files} files, all in the house form.")
    if left:
        say(f"{left} left alone.")
