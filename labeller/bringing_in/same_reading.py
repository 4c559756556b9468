"""Hold two readings of a book against each other: every entry, every fault and every piece of advice, lines apart."""

import re
from collections.abc import Callable
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError

from labeller.book.entries import Book
from labeller.book.fields import Notes
from labeller.book.files import BookFiles
from labeller.foundations.faults import Fault, Origin

ReadBook = Callable[[BookFiles], tuple[Book | None, Notes]]

_LINE = re.compile(r"(?<=\bline )\d+|(?<=\.yaml:)\d+|(?<=\.yml:)\d+", re.IGNORECASE)


def same_reading(read: ReadBook, before: BookFiles, after: BookFiles) -> bool:
    """Tell whether two states of a book read the same, entry for entry and fault for fault, apart from the lines they stand on."""
    return as_read(*read(before)) == as_read(*read(after))


def as_read(book: Book | None, notes: Notes) -> object:
    """Return what was read as plain values that can be compared, without the lines of the files."""
    told = [sorted(_told(one) for one in found) for found in (notes.faults, notes.advice)]
    return _plain(book), told


def _told(fault: Fault) -> tuple[str, ...]:
    return fault.origin.path, *(_LINE.sub("0", words) for words in (fault.field, fault.problem, fault.mend))


def _plain(value: Any) -> Any:
    if isinstance(value, Origin):
        return value.path
    if isinstance(value, dict):
        return [(_plain(key), _plain(one)) for key, one in value.items()]
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    names = getattr(type(value), "__slots__", None)
    if isinstance(names, tuple) and names:
        return [type(value).__name__, *(_plain(getattr(value, name)) for name in names)]
    return value


def second_reader_agrees(before: str, after: str) -> bool:
    """Tell whether a second reader, one of YAML 1.2 with types, sees the same in two texts; True where it cannot read the first.

    The first reader takes every scalar as text. Another program may not, and ``"1.10"`` without its quotes would be another thing to it.
    """
    seen: list[Any] = []
    for text in (before, after):
        try:
            seen.append(list(YAML(typ="safe", pure=True).load_all(text)))
        except (YAMLError, ValueError, RecursionError, TypeError, AttributeError):
            return not seen
    return repr(_sorted(seen[0])) == repr(_sorted(seen[1]))


def _sorted(value: Any) -> Any:
    """Return a value with the keys of all its maps in one order, ``Made on`` and ``made_on`` one key, as the book's reader takes them."""
    if isinstance(value, dict):
        spelled = ((" ".join(repr(key).replace("_", " ").split()).lower(), _sorted(one)) for key, one in value.items())
        return sorted(spelled, key=lambda one: one[0])
    if isinstance(value, list):
        return [_sorted(one) for one in value]
    return value
