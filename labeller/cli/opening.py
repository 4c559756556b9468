"""Open a book for a command: read it, work it out, choose the law; faults end the command with code 1."""

import json
from datetime import date
from pathlib import Path

from labeller.book.entries import Book
from labeller.book.fields import Notes
from labeller.book.files import BookFiles, read_files
from labeller.cli.exits import FAULTS
from labeller.cli.reading_beside import ReadBeside
from labeller.cli.saying import parse_on, refuse_usage, say, today
from labeller.composition.codes import row_exists
from labeller.composition.household import load_household
from labeller.composition.table import load_table
from labeller.declarations.declaring import Declarer
from labeller.foundations.faults import Fault
from labeller.foundations.plain import dataclass
from labeller.jurisdictions.faults_of_law import NotInForceError, UnknownJurisdictionError
from labeller.jurisdictions.in_force import LawInForce
from labeller.jurisdictions.packs import known_jurisdictions, load_jurisdiction
from labeller.kitchen.working_out import Workings, work_out


@dataclass(frozen=True, slots=True)
class Opened:
    """A book worked out under one law on one day."""

    book: Book
    notes: Notes
    workings: Workings
    law: LawInForce
    declarer: Declarer


def law_of(code: str, day: date, *, flag: str = "--jurisdiction") -> LawInForce:
    """Return the law of a jurisdiction on a day, or end with wrong usage."""
    try:
        return load_jurisdiction(code).in_force_on(day)
    except UnknownJurisdictionError:
        known = ", ".join(known_jurisdictions())
        raise refuse_usage(f"{flag}: '{code}' is not a jurisdiction this tool knows. Write one of {known}.") from None
    except NotInForceError as reason:
        raise refuse_usage(f"--on: {reason}") from None


def read_and_work_out(
    folder: Path, files: BookFiles | None = None, beside: ReadBeside | None = None
) -> tuple[Book | None, Workings | None, Notes]:
    """Read a book and work it out; with faults, as far as it goes.

    ``files`` are its files where they were read before, ``beside`` another process of this run that reads it.
    """
    if not folder.exists():
        raise refuse_usage(f"'{folder}' is not there. Write the folder of a kitchen book.")
    table, household = load_table(), load_household()
    read = beside.book() if beside is not None else None
    if read is None:
        from labeller.book.reading import read_book

        read = read_book(
            files or read_files(folder),
            jurisdictions=known_jurisdictions(),
            row_exists=row_exists,
            trade_pieces=household.trade_pieces,
        )
    book, notes = read
    if book is None:
        return None, None, notes
    with_fibre = False
    if book.kitchen.jurisdiction:
        with_fibre = (
            load_jurisdiction(book.kitchen.jurisdiction).in_force_on(today()).definitions.carbohydrate_with_fibre
        )
    workings = work_out(book, notes, pack_carbohydrate_with_fibre=with_fibre, table=table, household=household)
    for found in (notes.faults, notes.advice):
        found[:] = sorted(
            dict.fromkeys(found), key=lambda one: (one.origin.path, one.origin.line, one.field, one.problem)
        )
    return book, workings, notes


def open_book(
    folder: Path,
    jurisdiction: str | None,
    on: date | None,
    *,
    json_out: bool = False,
    files: BookFiles | None = None,
    beside: ReadBeside | None = None,
) -> Opened:
    """Open a book for a command; ``files`` and ``beside`` as in `read_and_work_out`.

    Raises
    ------
    SystemExit
        With code 1 where the book has faults, which are printed, all of them; 2 where the call is wrong.
    """
    day = on or today()
    if jurisdiction is not None:
        law_of(jurisdiction, day)
    book, workings, notes = read_and_work_out(folder, files, beside)
    if notes.faults or book is None or workings is None:
        print_notes(notes, json_out=json_out, advice=False)
        raise SystemExit(FAULTS)
    law = law_of(jurisdiction or book.kitchen.jurisdiction, day)
    try:
        declarer = Declarer(workings, law)
    except NotInForceError as reason:
        raise refuse_usage(f"--on: {reason}") from None
    return Opened(book, notes, workings, law, declarer)


def print_notes(notes: Notes, *, json_out: bool, advice: bool = True) -> None:
    """Print faults and advice: as JSON on standard output, as text on the error stream."""
    if json_out:
        print(json.dumps(notes_as_json(notes), ensure_ascii=False, indent=2))
        return
    for fault in notes.faults:
        say(fault.as_text())
    if advice and notes.advice:
        say("Advice, which stops nothing:")
        for one in notes.advice:
            say(one.as_text())
    if notes.faults:
        say(count_of(notes.faults))


def notes_as_json(notes: Notes) -> dict[str, list[dict[str, str | int]]]:
    """Return faults and advice as the contract's JSON."""
    return {"faults": [one.as_json() for one in notes.faults], "advice": [one.as_json() for one in notes.advice]}


def count_of(faults: list[Fault]) -> str:
    """Say how many faults there are."""
    return "1 fault." if len(faults) == 1 else f"{len(faults)} faults."


__all__ = [
    "Opened",
    "count_of",
    "law_of",
    "notes_as_json",
    "open_book",
    "parse_on",
    "print_notes",
    "read_and_work_out",
    "refuse_usage",
    "say",
    "today",
]
