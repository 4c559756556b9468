"""The names of a book that nothing answers to: what its recipes take and neither book nor shelf has."""

import re
from typing import Final

from labeller.book.fields import Notes
from labeller.foundations.faults import Origin
from labeller.foundations.names import name_key
from labeller.foundations.plain import dataclass

_UNKNOWN: Final = re.compile(
    r"'(?P<name>.+)' is not an ingredient or preparation of this book, nor on the shelf\.", re.DOTALL
)


@dataclass(frozen=True, slots=True)
class UnknownName:
    """A name as first written, and every place where it stands."""

    name: str
    origins: tuple[Origin, ...]

    @property
    def places(self) -> str:
        """Say where it stands, at most three places by name."""
        shown = ", ".join(str(one) for one in self.origins[:3])
        left = len(self.origins) - 3
        return f"{shown} and {left} more" if left > 0 else shown


def unknown_names(notes: Notes) -> list[UnknownName]:
    """Return every unknown name of a book once, in the order of file and line; spellings that meet are one name."""
    found: dict[str, tuple[str, list[Origin]]] = {}
    for fault in notes.faults:
        match = _UNKNOWN.fullmatch(fault.problem)
        if match is not None:
            _, origins = found.setdefault(name_key(match["name"]), (match["name"], []))
            origins.append(fault.origin)
    return [UnknownName(name, tuple(dict.fromkeys(origins))) for name, origins in found.values()]


def other_faults(notes: Notes) -> int:
    """Return how many faults a book has beside its unknown names."""
    return sum(_UNKNOWN.fullmatch(fault.problem) is None for fault in notes.faults)
