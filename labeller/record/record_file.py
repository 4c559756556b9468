"""The file of a record: one SQLite file to which records are added and in which nothing is ever rewritten.

Contents are kept once, by their hash, so a year of daily records of an unchanged book stays small. Every record carries the seal of the
one before it in its own, so that a change in the middle breaks every seal after it. One record is one transaction; the rollback journal
lies beside the file only while it is being written (no write-ahead log, which would have to be copied along with it).
"""

import hashlib
import json
import os
import sqlite3
import zlib
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

from labeller.record.faults_of_file import RecordFileError, damaged, foreign, in_words, newer, read_only

APPLICATION_ID = 0x4C424C52  # the letters LBLR: marks the file as a record of labeller
FORM = 1
WAIT_SECONDS = 30.0
_MAGIC = b"SQLite format 3\0"
_LARGEST_BYTES = 64_000_000  # of one content; a book is at most 20 MB

_REFUSE = "BEGIN SELECT RAISE(ABORT, 'what is on record is never rewritten'); END"
_KEPT_ALREADY = "EXISTS (SELECT 1 FROM content WHERE sha256 = NEW.sha256)"
TRIGGERS = {
    "no_change_of_content": f"BEFORE UPDATE ON content {_REFUSE}",
    "no_loss_of_content": f"BEFORE DELETE ON content {_REFUSE}",
    # An INSERT OR REPLACE would delete without a word, so a second row of the same key is refused before it comes to that.
    "no_other_content": f"BEFORE INSERT ON content WHEN {_KEPT_ALREADY} {_REFUSE}",
    "no_change_of_record": f"BEFORE UPDATE ON record {_REFUSE}",
    "no_loss_of_record": f"BEFORE DELETE ON record {_REFUSE}",
    "only_after_the_last": (
        "BEFORE INSERT ON record WHEN NEW.number <> (SELECT COALESCE(MAX(number), 0) + 1 FROM record) "
        "OR NEW.previous <> COALESCE((SELECT seal FROM record ORDER BY number DESC LIMIT 1), '') "
        "BEGIN SELECT RAISE(ABORT, 'a record is added after the last one and nowhere else'); END"
    ),
}
_CONTENT_TABLE = "CREATE TABLE content (sha256 TEXT PRIMARY KEY NOT NULL, size INTEGER NOT NULL, packed BLOB NOT NULL)"
_RECORD_TABLE = (
    "CREATE TABLE record (number INTEGER PRIMARY KEY, day TEXT NOT NULL, moment TEXT NOT NULL, jurisdiction TEXT NOT NULL, "
    "asked INTEGER NOT NULL, note TEXT NOT NULL, manifest TEXT NOT NULL REFERENCES content (sha256), previous TEXT NOT NULL, "
    "seal TEXT NOT NULL)"
)
_COLUMNS = "number, day, moment, jurisdiction, asked, note, manifest, previous, seal"


@dataclass(frozen=True, slots=True)
class Entry:
    """One record: what day it declares, when it was made, by which law, and the seals of it and of the one before.

    ``asked`` tells that the law was chosen for that call and is not the book's own; ``manifest`` is the hash of the list of contents.
    """

    number: int
    day: str
    moment: str
    jurisdiction: str
    asked: bool
    note: str
    manifest: str
    previous: str
    seal: str

    def expected_seal(self) -> str:
        """Return the seal these words must have."""
        return seal_of(
            self.number, self.day, self.moment, self.jurisdiction, self.asked, self.note, self.manifest, self.previous
        )


def record_file_of(book: Path) -> Path:
    """Return where the record of a book lies unless said: beside its folder, under its name.

    Beside and not inside, so that copying a book to try something does not take its record along.
    """
    whole = Path(os.path.abspath(book))  # noqa: PTH100 - a link to a book keeps its own record: nothing is resolved
    return whole.with_name(f"{whole.name}.declared.sqlite3")


def sha256_of(raw: bytes) -> str:
    """Return the hash by which a content is kept."""
    return hashlib.sha256(raw).hexdigest()


def seal_of(
    number: int, day: str, moment: str, jurisdiction: str, asked: bool, note: str, manifest: str, previous: str
) -> str:
    """Return the seal of a record: the hash of all it says and of the seal before it."""
    return sha256_of(json.dumps([number, day, moment, jurisdiction, bool(asked), note, manifest, previous]).encode())


def append_record(
    path: Path,
    contents: Mapping[str, bytes],
    *,
    day: str,
    moment: str,
    jurisdiction: str,
    asked: bool,
    note: str,
    manifest: str,
    wait_seconds: float = WAIT_SECONDS,
) -> tuple[Entry, bool]:
    """Add a record; return it, and whether it was added.

    Parameters
    ----------
    path : Path
        The file; it is made where there is none.
    contents : Mapping[str, bytes]
        Every content by its hash, the manifest's too; those on file already are not kept twice.
    day, moment : str
        The day declared, and the moment of recording with its offset, in ISO 8601.
    jurisdiction, asked, note, manifest
        As in `Entry`.
    wait_seconds : float
        How long to wait for another run. [s]

    Returns
    -------
    tuple[Entry, bool]
        The new record and True; or the last record of that day and law and False where it says the same and there is no new note.

    Raises
    ------
    RecordFileError
        Where the file cannot be used; it is then as it was.
    """
    _look(path)
    if path.exists() and not path.stat().st_mode & 0o222:
        raise read_only(path)
    try:
        with closing(_connect(path, "rwc", wait_seconds)) as file:
            file.execute("PRAGMA journal_mode = DELETE")
            file.execute("PRAGMA synchronous = EXTRA")  # on the disk, and its folder too, before we say so
            file.execute("BEGIN IMMEDIATE")
            try:
                _prepare(file, path)
                last = _last(file, "WHERE day = ? AND jurisdiction = ? AND asked = ?", (day, jurisdiction, int(asked)))
                if last is not None and last.manifest == manifest and note in ("", last.note):
                    file.execute("ROLLBACK")
                    return last, False
                on_file = {row[0] for row in file.execute("SELECT sha256 FROM content")}
                file.executemany(
                    "INSERT INTO content VALUES (?, ?, ?)",
                    ((key, len(raw), zlib.compress(raw, 9)) for key, raw in contents.items() if key not in on_file),
                )
                newest = _last(file)
                number, previous = (newest.number + 1, newest.seal) if newest is not None else (1, "")
                seal = seal_of(number, day, moment, jurisdiction, asked, note, manifest, previous)
                entry = Entry(number, day, moment, jurisdiction, asked, note, manifest, previous, seal)
                file.execute(
                    f"INSERT INTO record ({_COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",  # noqa: S608 - our own column names
                    (number, day, moment, jurisdiction, int(asked), note, manifest, previous, seal),
                )
                file.execute("COMMIT")
            except BaseException:
                if file.in_transaction:
                    file.execute("ROLLBACK")
                raise
            return entry, True
    except sqlite3.Error as reason:
        raise in_words(reason, path, wait_seconds) from None


class RecordReader:
    """Reads one record file as it stood when it was opened."""

    def __init__(self, file: sqlite3.Connection, path: Path) -> None:
        self._file, self.path = file, path

    def entries(self) -> tuple[Entry, ...]:
        """Return every record, the oldest first."""
        return tuple(map(_entry, self._file.execute(f"SELECT {_COLUMNS} FROM record ORDER BY number")))  # noqa: S608 - our own column names

    def content(self, key: str) -> bytes:
        """Return a content by its hash.

        Raises
        ------
        RecordFileError
            Where it is missing or is not what its hash says.
        """
        found = self._file.execute("SELECT size, packed FROM content WHERE sha256 = ?", (key,)).fetchone()
        if found is None:
            raise damaged(self.path, f"the content {key[:12]} is missing")
        raw = unpacked(found[0], found[1])
        if raw is None or sha256_of(raw) != key:
            raise damaged(self.path, f"the content {key[:12]} is not what was recorded")
        return raw

    def contents(self) -> Iterator[tuple[str, bytes | None]]:
        """Return every content with its hash; None where it cannot be unpacked."""
        for key, size, packed in self._file.execute("SELECT sha256, size, packed FROM content ORDER BY sha256"):
            yield key, unpacked(size, packed)

    def page_faults(self) -> tuple[str, ...]:
        """Return what SQLite itself finds wrong with the pages of the file."""
        found = tuple(str(row[0]) for row in self._file.execute("PRAGMA integrity_check(10)"))
        return () if found == ("ok",) else found

    def triggers(self) -> dict[str, str]:
        """Return the rules against rewriting that stand in the file, by name."""
        rows = self._file.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
        return {str(name): str(sql) for name, sql in rows}


@contextmanager
def reading(path: Path, *, wait_seconds: float = WAIT_SECONDS) -> Iterator[RecordReader]:
    """Open a record for reading; nothing in it can be changed through it.

    Raises
    ------
    RecordFileError
        Where the file is not there or cannot be used.
    """
    if not path.exists():
        raise RecordFileError(f"There is no record at '{path}'. Make one with: labeller record BOOK")
    _look(path)
    # After a run that was killed SQLite puts the file back as it was when it is next opened, which needs the right to write.
    writable = os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)
    try:
        with closing(_connect(path, "rw" if writable else "ro", wait_seconds)) as file:
            file.execute("PRAGMA query_only = ON")
            file.execute("BEGIN")
            if _form(file, path) == 0:
                raise RecordFileError(f"There is nothing on record at '{path}' yet. Begin with: labeller record BOOK")
            yield RecordReader(file, path)
    except sqlite3.Error as reason:
        raise in_words(reason, path, wait_seconds) from None


def unpacked(size: object, packed: object) -> bytes | None:
    """Return a content, None where it cannot be unpacked or is not as long as it was."""
    if not isinstance(size, int) or not isinstance(packed, bytes) or not 0 <= size <= _LARGEST_BYTES:
        return None
    try:
        raw = zlib.decompressobj().decompress(packed, size + 1)
    except zlib.error:
        return None
    return raw if len(raw) == size else None


def _look(path: Path) -> None:
    """Refuse what is no SQLite file before SQLite touches it."""
    try:
        if path.is_dir():
            raise RecordFileError(f"'{path}' is a folder, not a record. Name a file with --file.")
        if not path.exists():
            return
        if not path.is_file():
            raise foreign(path)
        with path.open("rb") as file:
            begins = file.read(len(_MAGIC))
    except OSError as reason:
        raise RecordFileError(f"'{path}' cannot be read: {reason.strerror}. Name another with --file.") from None
    if begins and begins != _MAGIC:
        raise foreign(path)


def _connect(path: Path, mode: str, wait_seconds: float) -> sqlite3.Connection:
    address = f"{Path(os.path.abspath(path)).as_uri()}?mode={mode}"  # noqa: PTH100 - SQLite follows links itself
    file = sqlite3.connect(address, uri=True, timeout=wait_seconds, isolation_level=None)
    file.execute("PRAGMA trusted_schema = OFF")
    file.execute("PRAGMA cell_size_check = ON")
    return file


def _form(file: sqlite3.Connection, path: Path) -> int:
    """Return the form of the file, 0 where it is still empty; refuse what is not a record or is newer."""
    (mark,) = file.execute("PRAGMA application_id").fetchone()
    (form,) = file.execute("PRAGMA user_version").fetchone()
    (things,) = file.execute("SELECT COUNT(*) FROM sqlite_master").fetchone()
    if (mark, form, things) == (0, 0, 0):
        return 0
    if mark != APPLICATION_ID:
        raise foreign(path)
    if form > FORM:
        raise newer(path, form, FORM)
    names = {row[0] for row in file.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    if form < 1 or not {"content", "record"} <= names:
        raise damaged(path, "its tables are missing")
    return int(form)


def _prepare(file: sqlite3.Connection, path: Path) -> None:
    if _form(file, path):
        return
    file.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    file.execute(f"PRAGMA user_version = {FORM}")
    for table in (_CONTENT_TABLE, _RECORD_TABLE):
        file.execute(table)
    for name, rule in TRIGGERS.items():
        file.execute(f"CREATE TRIGGER {name} {rule}")


def _last(file: sqlite3.Connection, where: str = "", values: tuple[object, ...] = ()) -> Entry | None:
    row = file.execute(f"SELECT {_COLUMNS} FROM record {where} ORDER BY number DESC LIMIT 1", values).fetchone()  # noqa: S608 - our own words
    return _entry(row) if row is not None else None


def _entry(row: tuple[object, ...]) -> Entry:
    number, day, moment, jurisdiction, asked, note, manifest, previous, seal = row
    return Entry(
        int(str(number)),
        str(day),
        str(moment),
        str(jurisdiction),
        bool(asked),
        str(note),
        str(manifest),
        str(previous),
        str(seal),
    )
