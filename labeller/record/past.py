"""A book as it stood on a past day: which record holds for that day, and its files in a temporary place."""

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path, PurePosixPath

from labeller.record.content import Content, read_content
from labeller.record.faults_of_file import RecordFileError, damaged
from labeller.record.record_file import Entry, RecordReader, reading


@dataclass(frozen=True, slots=True)
class PastBook:
    """A recorded book laid out in a temporary folder, to be opened like any other.

    ``entry`` is the record it comes from, ``content`` what was declared then, ``day`` whose law was declared by, ``jurisdiction`` which.
    """

    folder: Path
    entry: Entry
    content: Content
    day: date
    jurisdiction: str


def entry_as_of(entries: tuple[Entry, ...], day: date, jurisdiction: str | None = None) -> Entry | None:
    """Return the record that holds for a day: the last one declared for that day or an earlier one.

    What was on file by the end of that day comes before what was recorded for it afterwards. Without a jurisdiction the records by the
    book's own law come before those by a law that was asked for; with one, those of that law come first.
    """
    wanted = day.isoformat()
    held = [one for one in entries if one.day <= wanted]
    if jurisdiction is not None:
        held = [one for one in held if one.jurisdiction == jurisdiction] or held
    else:
        held = [one for one in held if not one.asked] or held
    return max(held, key=lambda one: (one.moment[:10] <= wanted, one.day, one.number), default=None)


def last_entry(entries: tuple[Entry, ...], jurisdiction: str | None = None) -> Entry | None:
    """Return the newest record, of a law where one is named, else by the book's own law where there is one."""
    if jurisdiction is not None:
        held = [one for one in entries if one.jurisdiction == jurisdiction] or list(entries)
    else:
        held = [one for one in entries if not one.asked] or list(entries)
    return held[-1] if held else None


def no_record_for(path: Path, entries: tuple[Entry, ...], day: date) -> RecordFileError:
    """Say that nothing is on record for a day, and which days are."""
    days = sorted({one.day for one in entries})
    shown = ", ".join(days if len(days) <= 6 else [*days[:3], "...", *days[-2:]])
    return RecordFileError(f"Nothing is on record for {day.isoformat()} or before in '{path}'. On record: {shown}.")


@dataclass(frozen=True, slots=True)
class Recalled:
    """A record taken out of its file: what was declared, and the bytes of the book's files by their paths."""

    entry: Entry
    content: Content
    files: dict[str, bytes]
    record_file: Path


def recall(reader: RecordReader, entry: Entry) -> Recalled:
    """Take a record out of its file, so that the file is free for others while it is looked at."""
    content = read_content(reader, entry)
    try:
        date.fromisoformat(entry.day)
    except ValueError:
        raise damaged(reader.path, f"record {entry.number} has no day") from None
    files = {path: reader.content(key) for path, key in content.files.items()}
    return Recalled(entry, content, files, reader.path)


@contextmanager
def laid_out(recalled: Recalled, name: str) -> Iterator[PastBook]:
    """Lay the files of a record out in a temporary folder of that name; it is gone afterwards."""
    entry = recalled.entry
    with tempfile.TemporaryDirectory(prefix="labeller-") as place:
        folder = Path(place) / (name or "book")
        folder.mkdir()
        for path, raw in recalled.files.items():
            target = _inside(recalled.record_file, folder, path)
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(raw)
        book = folder
        if len(recalled.files) == 1:  # a book of one file may bear any name
            (only,) = recalled.files
            if not only.lower().endswith((".yaml", ".yml")) or only.startswith("."):
                book = folder / only
        yield PastBook(book, entry, recalled.content, date.fromisoformat(entry.day), entry.jurisdiction)


@contextmanager
def book_as_of(record_file: Path, day: date, jurisdiction: str | None = None) -> Iterator[PastBook]:
    """Lay out the book as it stood on a day.

    Raises
    ------
    RecordFileError
        Where nothing is on record for that day, or the file cannot be used.
    """
    with reading(record_file) as reader:
        entries = reader.entries()
        entry = entry_as_of(entries, day, jurisdiction)
        if entry is None:
            raise no_record_for(record_file, entries, day)
        recalled = recall(reader, entry)
    with laid_out(recalled, record_file.name.removesuffix(".declared.sqlite3")) as past:
        yield past


def _inside(record_file: Path, folder: Path, path: str) -> Path:
    """Return where a recorded path lies in a folder, refused where it would leave it."""
    target = folder.joinpath(*PurePosixPath(path).parts)
    if not target.resolve().is_relative_to(folder.resolve()) or target == folder:
        raise damaged(record_file, f"it names a file outside the book, '{path}'")
    return target
