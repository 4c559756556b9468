"""What is wrong with a record's file, in plain words that name it."""

import sqlite3
from pathlib import Path

_WRITTEN_NOW = "'{path}' is in use by another run and did not come free in {seconds:g} seconds. Nothing was recorded. Try again in a moment."
_READ_ONLY = "'{path}' may not be written: it, or its folder, is read only. Give yourself the right to write, or name another with --file."
_NOT_THERE = "'{path}' cannot be opened: its folder is not there or is closed to you. Name another with --file."
_FULL = "'{path}' could not be written: the disk is full. Nothing was recorded. Make room and try again."
_DAMAGED = "'{path}' is damaged: {reason}. It was left as it is. Put back the last good copy of it, or move it away and begin a new record."
_FOREIGN = "'{path}' is not a record of labeller, and was left as it is. Name another with --file."


class RecordFileError(Exception):
    """A record's file that cannot be used; ``damaged`` where the file itself is at fault and not the call."""

    def __init__(self, words: str, *, damaged: bool = False) -> None:
        super().__init__(words)
        self.damaged = damaged


def foreign(path: Path) -> RecordFileError:
    """Say that a file is something else."""
    return RecordFileError(_FOREIGN.format(path=path))


def damaged(path: Path, reason: str) -> RecordFileError:
    """Say that a file is damaged, and how."""
    return RecordFileError(_DAMAGED.format(path=path, reason=reason), damaged=True)


def read_only(path: Path) -> RecordFileError:
    """Say that a file may not be written."""
    return RecordFileError(_READ_ONLY.format(path=path))


def newer(path: Path, form: int, known: int) -> RecordFileError:
    """Say that a file was written by a later labeller."""
    return RecordFileError(
        f"'{path}' was written by a newer labeller (form {form}; this one knows form {known}), and was left as it is. "
        "Install the newer one, or name another file with --file."
    )


def in_words(reason: sqlite3.Error, path: Path, seconds: float) -> RecordFileError:
    """Turn the library's complaint into words about the file."""
    name = getattr(reason, "sqlite_errorname", "") or ""
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED", "SQLITE_PROTOCOL")):
        return RecordFileError(_WRITTEN_NOW.format(path=path, seconds=seconds))
    if name.startswith(("SQLITE_READONLY", "SQLITE_PERM", "SQLITE_AUTH")):
        return read_only(path)
    if name.startswith("SQLITE_CANTOPEN"):
        return RecordFileError(_NOT_THERE.format(path=path))
    if name.startswith("SQLITE_FULL"):
        return RecordFileError(_FULL.format(path=path))
    if name.startswith("SQLITE_NOTADB"):  # it begins like one, or it would have been refused before
        return damaged(path, "its first page is broken")
    if name.startswith("SQLITE_CONSTRAINT_TRIGGER"):
        return RecordFileError(f"'{path}': {reason}. Nothing was changed.")
    if name.startswith("SQLITE_IOERR"):
        return RecordFileError(f"'{path}' could not be read or written by this machine's disk. Nothing was recorded.")
    return damaged(path, "its pages do not hold together")
