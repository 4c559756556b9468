"""Read the files of a book from disk: any depth, bounded in size, each with its path."""

import os
import stat
from collections.abc import Iterator
from pathlib import Path

from labeller.book.sizes import LARGEST_FILE_BYTES, too_large
from labeller.foundations.faults import Fault, Origin
from labeller.foundations.plain import dataclass

MOST_BOOK_BYTES = 20_000_000


@dataclass(frozen=True, slots=True)
class BookFiles:
    """The files of a book as read from disk, path relative to its folder to bytes, in the order of their paths."""

    folder: Path
    raw: dict[str, bytes]
    faults: tuple[Fault, ...] = ()


def read_files(folder: Path) -> BookFiles:
    """Read every YAML file of a book at any depth; hidden files and folders are passed over.

    What is no plain file (a pipe would never end) or too large is a fault and is not read.
    """
    raw: dict[str, bytes] = {}
    faults: list[Fault] = []
    total = 0
    for file, path in _yaml_files(folder, faults):
        if path in raw:
            problem = "two files have this name, as far as it can be read, and one would hide the other."
            faults.append(Fault(Origin(path), "file", problem, "Rename both in plain letters."))
            continue
        found = _read_file(file, path)
        if isinstance(found, Fault):
            faults.append(found)
            continue
        total += len(found)
        if total > MOST_BOOK_BYTES:
            mend = "Move what is not a recipe out of its folder."
            faults.append(Fault(Origin(path), "file", "the book is larger than 20 MB.", mend))
            break
        raw[path] = found
    return BookFiles(folder.parent if folder.is_file() else folder, raw, tuple(faults))


def _yaml_files(folder: Path, faults: list[Fault]) -> Iterator[tuple[Path, str]]:
    """Yield the files of a book; a folder whose files would be passed over is a fault: a good of the shelf could stand in for its own."""
    if folder.is_file():
        yield folder, _shown(folder.name)
        return

    def cannot_read(reason: OSError) -> None:
        if isinstance(reason, FileNotFoundError):
            return  # it was taken away meanwhile, or there is no book yet
        path = _shown(os.path.relpath(reason.filename or folder, folder))
        mend = "Give yourself the right to read it, or move it out of the book."
        faults.append(Fault(Origin(path), "folder", "this folder is not readable.", mend))

    for place, folders, files in os.walk(folder, onerror=cannot_read):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in folders:
            linked = Path(place) / name
            # What a link to a folder of this very book shows is read where it lies.
            if linked.is_symlink() and not linked.resolve().is_relative_to(folder.resolve()):
                path = _shown(linked.relative_to(folder).as_posix())
                problem = "this is a link to a folder outside the book, and what lies there is not read."
                faults.append(
                    Fault(
                        Origin(path), "folder", problem, "Put the folder itself into the book, or take the link out."
                    )
                )
        for name in sorted(files):
            if not name.startswith(".") and name.lower().endswith((".yaml", ".yml")):
                file = Path(place) / name
                yield file, _shown(file.relative_to(folder).as_posix())


def _shown(path: str) -> str:
    """Return a path that can be printed: bytes that are no letters become a mark."""
    return path.encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def _read_file(file: Path, path: str) -> bytes | Fault:
    try:
        found = file.stat()
        if not stat.S_ISREG(found.st_mode):
            problem, mend = "this is not a plain file.", "Move it out of the book."
            return Fault(Origin(path), "file", problem, mend)
        if found.st_size > LARGEST_FILE_BYTES:
            return too_large(found.st_size, path)
        return file.read_bytes()
    except OSError:
        mend = "Give yourself the right to read it, or move it out of the book."
        return Fault(Origin(path), "file", "this file is not readable.", mend)
