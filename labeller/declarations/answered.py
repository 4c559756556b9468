"""An answer about one dish: what was found, and the sentences to be spoken."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from labeller.declarations.allergen_rows import CONTAINS, UNCONFIRMED
from labeller.declarations.speaking import BOOK_LANGUAGE, AskedFood, Message, speak, speak_all
from labeller.foundations.plain import dataclass

if TYPE_CHECKING:
    from labeller.declarations.alcohol_facts import Range
    from labeller.declarations.allergen_rows import Path

MOST_REASONS = 12


@dataclass(frozen=True, slots=True)
class Answer:
    """An answer about one dish.

    ``said``, ``why``, ``can_do`` and ``warning`` are sentences of the catalogue, to be spoken in any of its languages; ``thing`` is what
    was asked.
    ``optional`` are the parts that bring it and can be left off, ``swap`` what can stand in place of a part that brings it; ``clears``
    is true where doing all of that leaves a plate without it. ``amount`` is of one portion, in the unit of the figure.
    """

    dish: str
    about: str
    status: str
    said: tuple[Message, ...]
    because: tuple[Path, ...]
    unconfirmed: tuple[Path, ...]
    optional: tuple[str, ...]
    swap: tuple[str, ...]
    why: tuple[tuple[Message, ...], ...]
    can_do: tuple[Message, ...]
    warning: Message
    thing: AskedFood | Message
    ethanol_g: Range | None = None
    amount: float | None = None

    def sentence(self, language: str = BOOK_LANGUAGE) -> str:
        """Return what to read out."""
        return speak_all(self.said, language)

    def reasons(self, language: str = BOOK_LANGUAGE) -> list[str]:
        """Return the reasons behind it, each once."""
        return list(dict.fromkeys(speak_all(one, language) for one in self.why))

    def done(self, language: str = BOOK_LANGUAGE) -> list[str]:
        """Return what can be done about it."""
        return [speak(one, language) for one in self.can_do]

    def caution(self, language: str = BOOK_LANGUAGE) -> str:
        """Return the caution that fits."""
        return speak(self.warning, language)

    @property
    def vouched(self) -> bool:
        """Tell whether the kitchen can stand behind the answer without asking."""
        return self.status == CONTAINS or not (self.unconfirmed or self.status == UNCONFIRMED)

    def as_json(self) -> dict[str, Any]:
        """Return the answer as the contract's JSON."""
        found: dict[str, Any] = {
            "dish": self.dish,
            "about": self.about,
            "status": self.status,
            "sentence": self.sentence(),
            "because": [list(path) for path in self.because],
            "unconfirmed": [list(path) for path in self.unconfirmed],
            "optional": list(self.optional),
            "swap": list(self.swap),
        }
        if self.ethanol_g is not None:
            found["ethanol_g"] = dict(zip(("low", "estimate", "high"), self.ethanol_g, strict=True))
        if self.amount is not None:
            found["amount"] = self.amount
        return found
