"""Two hands: a second process reads the book and its suppliers' statements while the first gets ready to work it out.

The first answer to a question about a book spends a third of its time loading the sums of the kitchen, which reading does not need.
Both processes run the same readers, and what the second does not deliver the first does itself: nothing is said differently, only
sooner. What passes between them are values of our own over a pipe of our own.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator

    from labeller.book.entries import Book
    from labeller.book.fields import Notes
    from labeller.book.files import BookFiles

_LENGTH_BYTES = 8
_LOAD = Path("/proc/loadavg")
_SMALLEST_BYTES = 8_000  # a smaller book is read before a second process has begun
_LARGEST_BYTES = 4_000_000
_LONGEST_S = 60  # after which the second process is ended, whatever it waits for


class ReadBeside:
    """What a second process reads, as it comes in."""

    def __init__(self, end: int) -> None:
        self._end: int | None = end
        self._coming: frozenset[str] = frozenset()

    def book(self) -> tuple[Book | None, Notes] | None:
        """Return the book with its faults and advice, None where the other process did not deliver it.

        The readings of its statements follow, and are waited for when they are first needed.
        """
        got = self._next()
        if got is None:
            return None
        book, notes, coming = got
        from labeller.allergens.reader import remember

        self._coming = coming
        remember({}, {}, self._wait_for)
        return book, notes

    def _wait_for(self, text: str) -> None:
        """Take in what comes until a text has been read that is still to come."""
        from labeller.allergens.reader import remember

        while text in self._coming:
            got = self._next()
            if got is None:
                self._coming = frozenset()
                remember({}, {})
                return
            readings, trees, self._coming = got
            remember(readings, trees, self._wait_for)

    def _next(self) -> Any | None:
        """Return the next thing the other process delivers, None where there is nothing more."""
        import pickle

        if self._end is None:
            return None
        head = self._take(_LENGTH_BYTES)
        content = self._take(int.from_bytes(head, "little")) if len(head) == _LENGTH_BYTES else b""
        if not content:
            os.close(self._end)
            self._end = None
            return None
        return pickle.loads(content)  # noqa: S301 - from a copy of this very process, over a pipe nobody else can write to

    def _take(self, length: int) -> bytes:
        pieces: list[bytes] = []
        while length > 0 and self._end is not None:
            piece = os.read(self._end, min(length, 1 << 20))
            if not piece:
                return b""
            pieces.append(piece)
            length -= len(piece)
        return b"".join(pieces)


_in_a_process_of_its_own: list[bool] = []


def this_process_is_ours() -> None:
    """Let commands have the help of a second process: this one was started for a command and ends with it."""
    _in_a_process_of_its_own.append(True)


def read_folder_beside(folder: Path) -> ReadBeside | None:
    """Let a second process read a book before this one loads what it needs to work it out; None as in `read_beside`."""
    if not _in_a_process_of_its_own or not folder.exists():
        return None
    from labeller.book.files import read_files

    return read_beside(read_files(folder))


def read_beside(files: BookFiles) -> ReadBeside | None:
    """Let a second process read a book; None where that would not help: one processor, a small book, no way to make a copy."""
    size = sum(len(content) for content in files.raw.values())
    if files.faults or not _SMALLEST_BYTES <= size <= _LARGEST_BYTES or not _can_help():
        return None
    mine, its = os.pipe()
    try:
        if os.fork():
            os.close(its)
            return ReadBeside(mine)
    except OSError:
        os.close(mine)
        os.close(its)
        return None
    try:
        silence = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):  # who reads our output must see its end when the first process ends
            os.dup2(silence, stream)
        os.close(mine)
        import pickle
        import signal

        signal.alarm(_LONGEST_S)
        for piece in _deliveries(files):
            content = pickle.dumps(piece, -1)
            _give(its, len(content).to_bytes(_LENGTH_BYTES, "little") + content)
    finally:
        os._exit(0)  # whatever went wrong, the first process does it again and says so


def _can_help() -> bool:
    if not hasattr(os, "fork") or not hasattr(os, "sched_getaffinity") or len(os.sched_getaffinity(0)) < 2:
        return False
    threading = sys.modules.get("threading")
    return (threading is None or threading.active_count() == 1) and _a_processor_is_free()


def _a_processor_is_free() -> bool:
    """Tell whether fewer processes run than there are processors; where all are busy, two hands only wait for each other."""
    try:
        running = int(
            _LOAD.read_text("ascii").split()[3].partition("/")[0]
        )  # proc(5): runnable entities, this one among them
    except (OSError, ValueError, IndexError):
        return True
    return running <= len(os.sched_getaffinity(0))


def _give(end: int, content: bytes) -> None:
    view = memoryview(content)
    while view:
        view = view[os.write(end, view) :]


def _deliveries(files: BookFiles) -> Iterator[Any]:
    """Read the book; then what its specifications state; then every name a question about some food may look at."""
    from labeller.allergens.reader import read_statement
    from labeller.allergens.specifications import evidence_from_spec
    from labeller.book.reading import read_book
    from labeller.composition.codes import row_exists
    from labeller.composition.household import load_household
    from labeller.jurisdictions.packs import known_jurisdictions

    book, notes = read_book(
        files,
        jurisdictions=known_jurisdictions(),
        row_exists=row_exists,
        trade_pieces=load_household().trade_pieces,
    )
    if book is None or notes.faults:
        yield book, notes, frozenset()
        return
    specs = [one.spec for one in book.ingredients.values() if one.spec is not None]
    statements = frozenset(spec.statement for spec in specs if spec.statement is not None)
    yield book, notes, statements
    for spec in specs:
        evidence_from_spec(spec.statement, spec.declares, spec.covers_all, spec.may_contain)
    readings = {text: read_statement(text) for text in statements}
    names = {name for one in book.ingredients.values() for name in (one.name, *one.also)}
    names.update(given.name for one in book.preparations.values() for given in one.gives)
    yield readings, {}, statements.union(names)  # the statements come once more, as trees
    trees = {text: reading.ingredients for text, reading in readings.items()}
    stated = [one for tree in trees.values() for one in tree]
    while stated:
        one = stated.pop()
        names.add(one.name)
        stated.extend(one.parts)
    yield {name: read_statement(name) for name in names}, trees, frozenset()
