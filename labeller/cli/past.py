"""A book as recorded on a past day, for every command that prints: ``--as-recorded DATE``.

One line in a command::

    with as_recorded(book, past_day, jurisdiction, on) as (book, jurisdiction, on):
        ...the command as ever...

Without a day the three come back as they were.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

from labeller.cli.exits import FAULTS, WRONG_USAGE
from labeller.jurisdictions.faults_of_law import NoSuchSubjectError, NotInForceError, UnknownJurisdictionError

# What is heavy is imported where it is used: a guest's question of today passes through here too.
if TYPE_CHECKING:
    from labeller.cli.opening import Opened
    from labeller.declarations.declaring import Declarer
    from labeller.record.content import Content
    from labeller.record.past import PastBook

_TRIES = 3


@contextmanager
def as_recorded(
    book: Path, past_day: str | None, jurisdiction: str | None, on: str | None, file: Path | None = None
) -> Iterator[tuple[Path, str | None, date]]:
    """Give a command the book as it stood on a past day, with the law and the day it was declared by.

    Parameters
    ----------
    book : Path
        The folder of the book, beside which its record lies; it need not be there any more.
    past_day : str, optional
        The day of ``--as-recorded``.
    jurisdiction, on : str, optional
        As given on the command line.
    file : Path, optional
        The record, where it is not beside the book.

    Raises
    ------
    SystemExit
        With code 2 where the call is wrong or nothing is on record for that day, 1 where the record is damaged.
    """
    from labeller.cli.opening import law_of, parse_on, refuse_usage

    if past_day is None:
        yield book, jurisdiction, parse_on(on)
        return
    if on is not None:
        raise refuse_usage(
            "--on: a recorded day brings its own law with it. Leave --on away, or leave --as-recorded away."
        )
    from labeller.record.faults_of_file import RecordFileError
    from labeller.record.past import book_as_of
    from labeller.record.record_file import record_file_of

    day = parse_past(past_day, "--as-recorded")
    if jurisdiction is not None:
        jurisdiction = law_of(jurisdiction, day).code
    try:
        with book_as_of(file or record_file_of(book), day, jurisdiction) as past:
            _say_what_differs(past, day, jurisdiction)
            yield past.folder, jurisdiction or past.jurisdiction, past.day
    except RecordFileError as reason:
        refuse_file(reason)


def refuse_file(reason: Exception) -> NoReturn:
    """Say what is wrong with a record's file and end: 1 where the file is damaged, else 2."""
    from labeller.cli.opening import say

    say(str(reason))
    raise SystemExit(FAULTS if getattr(reason, "damaged", False) else WRONG_USAGE) from None


def parse_past(text: str, flag: str) -> date:
    """Return a day of the past or today."""
    from labeller.cli.opening import refuse_usage, today

    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise refuse_usage(f"{flag}: '{text}' is not a day. Write it as 2026-11-20.") from None
    if day > today():
        raise refuse_usage(f"{flag}: {text} has not come yet. Write today or an earlier day.")
    return day


def declarer_of(folder: Path, jurisdiction: str, day: date) -> "Declarer | None":
    """Return a book worked out by a law without a word; None where today's tool finds faults in it or does not know the law."""
    from labeller.cli.opening import read_and_work_out
    from labeller.declarations.declaring import Declarer
    from labeller.jurisdictions.packs import load_jurisdiction

    try:
        law = load_jurisdiction(jurisdiction).in_force_on(day)
        book, workings, notes = read_and_work_out(folder)
        if book is None or workings is None or notes.faults:
            return None
        return Declarer(workings, law)
    except (UnknownJurisdictionError, NotInForceError):
        return None


def content_again(folder: Path, jurisdiction: str, day: date) -> "Content | None":
    """Declare recorded files once more; None where today's tool finds faults in them, or the law has no rule for that day."""
    from labeller.record.content import content_of

    declarer = declarer_of(folder, jurisdiction, day)
    try:
        return content_of(declarer, {}) if declarer is not None else None
    except (NotInForceError, NoSuchSubjectError):
        return None


def open_with_bytes(
    book: Path, jurisdiction: str | None, on: date, *, json_out: bool
) -> "tuple[Opened, dict[str, bytes]]":
    """Open a book, and return with it the very bytes it was read from.

    Raises
    ------
    SystemExit
        As `open_book`; with code 2 where the book does not stand still.
    """
    from labeller.book.files import read_files
    from labeller.cli.opening import open_book, refuse_usage

    for _ in range(_TRIES):
        before = read_files(book).raw if book.exists() else {}
        opened = open_book(book, jurisdiction, on, json_out=json_out)
        if read_files(book).raw == before:
            return opened, before
    raise refuse_usage(f"'{book}' is being changed while it is read. Run it again when it is saved.")


def _say_what_differs(past: "PastBook", day: date, jurisdiction: str | None) -> None:
    from labeller.cli.opening import say
    from labeller.record.changing import changes_of

    entry = past.entry
    last = "" if entry.day == day.isoformat() else f", the last one on record up to {day.isoformat()}"
    say(f"As recorded for {entry.day}{last}: record {entry.number}, made {entry.moment[:19].replace('T', ' ')}.")
    if entry.moment[:10] > day.isoformat():
        say(f"It was made after {day.isoformat()}: nothing was on record by then.")
    if jurisdiction is not None and jurisdiction != past.jurisdiction:
        say(
            f"It was declared by the law of {past.jurisdiction}; by the law of {jurisdiction} nothing is on record, "
            "and it is worked out now."
        )
        return
    again = content_again(past.folder, past.jurisdiction, past.day)
    if again is None:
        say(
            "Today's tool finds faults in the recorded files. What was declared then is still on record: "
            "labeller record BOOK --show DATE"
        )
        return
    found = changes_of(past.content, again)
    if found.tool:
        say(f"Since then changed: {'; '.join(found.tool)}.")
    touched = [one for one in found.things if one.differences or one.step != "changed"]
    if touched:
        say("By today's tool it is NOT as it was declared then:")
        for one in touched:
            for each in one.differences:
                say(f"  {one.name}: {each.words}")
            if one.step != "changed":
                say(f"  {one.name}: {one.step}")
        say("What was declared then, word for word: labeller record BOOK --show DATE")
    elif found.tool:
        say("What is declared is the same.")
