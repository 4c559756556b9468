"""A reason: a sentence, what it rests on, and the reasons below it; as text in 80 columns and as JSON."""

import textwrap
from typing import Any

from labeller.foundations.plain import dataclass, field
from labeller.jurisdictions.terms import Citation

WIDTH = 80
_DEEPEST_INDENT = 24


@dataclass(frozen=True, slots=True)
class Reason:
    """One step of an explanation.

    Attributes
    ----------
    text : str
        A sentence for people.
    figures : dict
        The figures of the sentence, unrounded, each in the unit its key ends in.
    grounds : tuple of str
        What it rests on: a line of the book, a row of the table, a specification, a published source.
    clauses : tuple of Citation
        The law it rests on; one that was not read in its own text says so.
    parts : tuple of Reason
        The reasons below it.
    """

    text: str
    figures: dict[str, float] = field(default_factory=dict)
    grounds: tuple[str, ...] = ()
    clauses: tuple[Citation, ...] = ()
    parts: "tuple[Reason, ...]" = ()

    def as_json(self) -> dict[str, Any]:
        """Return the tree as plain values; empty fields are left out."""
        found: dict[str, Any] = {"text": self.text}
        if self.figures:
            found["figures"] = dict(self.figures)
        if self.grounds:
            found["grounds"] = list(self.grounds)
        if self.clauses:
            found["clauses"] = [
                {
                    "title": one.title,
                    "pinpoint": one.pinpoint,
                    "url": one.url,
                    "applies_from": one.applies_from.isoformat(),
                    "confirmed": one.confirmed,
                    "ground": one.ground,
                }
                for one in self.clauses
            ]
        if self.parts:
            found["parts"] = [part.as_json() for part in self.parts]
        return found

    def as_text(self) -> str:
        """Return the tree as lines of at most 80 columns, each level indented by two."""
        return "\n".join(_lines(self, 0))


def _lines(reason: Reason, depth: int) -> list[str]:
    indent = " " * min(2 * depth, _DEEPEST_INDENT)
    mark = "- " if depth else ""
    found = _wrapped(reason.text, indent + mark, indent + " " * len(mark))
    under = indent + " " * len(mark) + "  "
    for ground in reason.grounds:
        found.extend(_wrapped(f"[{ground}]", under, under + " "))
    for clause in reason.clauses:
        found.extend(_wrapped(f"Law: {clause.as_text()}", under, under + "  "))
    for part in reason.parts:
        found.extend(_lines(part, depth + 1))
    return found


def _wrapped(text: str, first: str, later: str) -> list[str]:
    return textwrap.wrap(
        text, WIDTH, initial_indent=first, subsequent_indent=later, break_long_words=False, break_on_hyphens=False
    ) or [first.rstrip()]


def grams(value: float) -> str:
    """Return grams as a kitchen writes them: whole from 100, one decimal from 10, two from 1, else two figures."""
    size = abs(value)
    if size >= 99.95:
        return f"{value:.0f} g"
    if size >= 9.995:
        return f"{value:.1f} g"
    if size >= 0.995:
        return f"{value:.2f} g"
    return "0 g" if size < 5e-4 else f"{value:.2g} g"


def amount(value: float, unit: str) -> str:
    """Return a figure of any unit in three figures."""
    if unit == "g":
        return grams(value)
    return f"{value:.0f} {unit}" if abs(value) >= 99.95 else f"{value:.3g} {unit}"


def spread(low: float, estimate: float, high: float) -> str:
    """Return grams with their range, the range left out where it is none."""
    if abs(high - low) < 0.005 * max(abs(high), 1e-9):
        return grams(estimate)
    return f"{grams(estimate)} ({grams(low)} to {grams(high)})"
