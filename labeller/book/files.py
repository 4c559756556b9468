"""Read the files of a book from disk: any depth, bounded in size, each with its path."""

import os
from dataclasses import dataclass
from pathlib import Path

from labeller.foundations.faults import Fault, Origin

MOST_BOOK_BYTES = 20_000_000


@dataclass(frozen=True, slots=True)
class BookFiles:
    """The files of a book as read from disk, path relative to its folder to bytes, in the order of their paths."""

    folder: Path
    raw: dict[str, bytes]
    faults: tuple[Fault, ...] = ()


def read_files(folder: Path) -> BookFiles:
    """Read every YAML file of a book at any depth; hidden files and folders are passed over."""
    raw: dict[str, bytes] = {}
    faults: list[Fault] = []
    total = 0
    if folder.is_file():
        return BookFiles(folder.parent, {folder.name: folder.read_bytes()})
    for place, folders, files in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(files):
            if name.startswith(".") or not name.lower().endswith((".yaml", ".yml")):
                continue
            file = Path(place) / name
            path = file.relative_to(folder).as_posix()
            try:
                raw[path] = file.read_bytes()
            except OSError:
                faults.append(
                    Fault(
                        Origin(path),
                        "file",
                        "this file is not readable.",
                        "Give yourself the right to read it, or move it out of the book.",
                    )
                )
                continue
            total += len(raw[path])
            if total > MOST_BOOK_BYTES:
                faults.append(
                    Fault(
                        Origin(path),
                        "file",
                        "the book is larger than 20 MB.",
                        "Move what is not a recipe out of its folder.",
                    )
                )
                return BookFiles(folder, raw, tuple(faults))
    return BookFiles(folder, raw, tuple(faults))
