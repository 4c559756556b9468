"""Faults and advice: what is wrong in a user's file, where, and the mend."""

from labeller.foundations.plain import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Origin:
    """Where something was written.

    ``path`` is relative to the book's folder, with forward slashes; ``line`` counts from 1, 0 where a file has no lines.
    """

    path: str
    line: int = 0

    def __str__(self) -> str:
        return f"{self.path}:{self.line}" if self.line else self.path


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing to mend in the user's own files.

    ``field`` is the key as the user wrote it, ``problem`` quotes the user's words, ``mend`` is an instruction and never empty.
    The same shape carries advice, which does not stop a run.
    """

    origin: Origin
    field: str
    problem: str
    mend: str

    def as_text(self) -> str:
        """Return the two lines people read."""
        place = f"{self.origin}: {self.field}: " if self.field else f"{self.origin}: "
        return f"{place}{self.problem}\n    {self.mend}"

    def as_json(self) -> dict[str, str | int]:
        """Return the fields of the contract's JSON."""
        return {
            "file": self.origin.path,
            "line": self.origin.line,
            "field": self.field,
            "problem": self.problem,
            "mend": self.mend,
        }
