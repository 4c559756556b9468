"""How long a thing keeps, as cooks write it: '5 days chilled', '90 days ambient', '2 weeks in the fridge'."""

import re
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from math import floor
from typing import Literal

from labeller.foundations.names import fold_text
from labeller.foundations.quantities import parse_minutes

StorageKind = Literal["chilled", "frozen", "ambient", ""]

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December",
)  # fmt: skip
COUNTED_ANEW = "counted anew"
"""Words in ``keeps`` by which a cook says that making it gave it a life of its own: its parts no longer limit it."""

_NUMBER_WORDS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_MINUTES_A_DAY = 1440.0
_LONGEST_DAYS = 36_500
_TIME = re.compile(
    r"(?:\b(?:for|about|around|up to|at most|max\.?|maximum)\s+)*"
    r"((?:\d[\d.,/⁄ ]*|an?\s)(?:\s*(?:-|–|to)\s*\d[\d.,]*)?\s*(?:h|hrs?|hours?|d|days?|wks?|weeks?|months?|years?)\b)"
)
_SAME_DAY = re.compile(r"\b(?:same day|day of making|day it is made|until the end of (?:the )?(?:day|service))\b")
_WORDS: tuple[tuple[StorageKind, re.Pattern[str]], ...] = (
    ("frozen", re.compile(r"\b(?:frozen|freezer|deep[- ]freeze|below -?18)\b")),
    ("chilled", re.compile(r"\b(?:chilled|fridge|refrigerated|refrigerator|cold room|walk-in|cold)\b")),
    ("ambient", re.compile(r"\b(?:ambient|room temperature|dry store|cool and dry|cool,? dry place|cupboard|larder|shelf)\b")),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class KeepingTime:
    """A time a thing keeps.

    Attributes
    ----------
    days : int
        Whole days after the day it was made; 0 is that day. [d]
    storage : str
        ``chilled``, ``frozen``, ``ambient``, or empty where the words do not say.
    text : str
        The cook's own words.
    anew : bool
        True where the cook says that it is counted anew, whatever its parts.
    several : bool
        True where more than one time is written; the shortest counts.
    """

    days: int
    storage: StorageKind
    text: str
    anew: bool = False
    several: bool = False

    def until(self, day: date) -> date:
        """Return the last day, counted from the day it was made or opened."""
        try:
            return day + timedelta(days=self.days)
        except OverflowError:  # the calendar of the machine ends with the year 9999
            return date.max


@cache
def parse_keeps(text: str) -> KeepingTime | None:
    """Read how long a thing keeps; None where the words hold no time.

    Notes
    -----
    Of a range the shorter end counts, of several times the shortest; part of a day is left off, so 36 hours are one day after the
    day of making. A month is a twelfth of 365.25 days, an average year.
    """
    folded = " ".join(fold_text(text).split())
    folded = re.sub(r"\bhalf an? ", "0.5 ", folded)
    for number, word in enumerate(_NUMBER_WORDS, start=1):
        folded = re.sub(rf"\b{word}\b(?= (?:hour|day|week|month|year))", str(number), folded)
    pieces = [piece for piece in re.split(r"\bor\b|;|,(?!\d)", folded) if piece.strip()]
    found: list[tuple[int, StorageKind]] = []
    for piece in pieces:
        days = _days(piece)
        if days is not None:
            found.append((days, storage_in(piece)))
    if not found:
        return None
    days, storage = min(found)
    # A second time without a word for where may borrow none: only a single time takes the word from anywhere.
    if not storage and len(found) == 1:
        storage = storage_in(folded)
    return KeepingTime(days, storage, " ".join(text.split()), COUNTED_ANEW in folded, len(found) > 1)


def storage_in(text: str) -> StorageKind:
    """Return where a text says a thing is kept; empty where it says nothing, or two things."""
    folded = fold_text(text)
    found = [kind for kind, words in _WORDS if words.search(folded)]
    return found[0] if len(found) == 1 else ""


def day_in_words(day: date) -> str:
    """Return a day that nobody can misread: 27 November 2026."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def _days(piece: str) -> int | None:
    times = [minutes for match in _TIME.finditer(piece) if (minutes := parse_minutes(match[1].strip())) is not None]
    if times:
        days = floor(min(times) / _MINUTES_A_DAY + 1e-9)
        return days if days <= _LONGEST_DAYS else None
    if _SAME_DAY.search(piece):
        return 0
    return None
