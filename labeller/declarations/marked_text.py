"""A text with spans to be set apart: bold on paper, capitals where there is no bold."""

import re
from dataclasses import dataclass, field

Span = tuple[int, int]


@dataclass(frozen=True, slots=True)
class MarkedText:
    """A text and the spans of it that are set apart, as (start, end), in order and without overlap."""

    text: str = ""
    spans: tuple[Span, ...] = ()

    def in_capitals(self) -> str:
        """Return the text with its spans in capitals, for print without bold."""
        pieces, last = [], 0
        for start, end in self.spans:
            pieces += [self.text[last:start], self.text[start:end].upper()]
            last = end
        return "".join([*pieces, self.text[last:]])

    def pieces(self) -> tuple[tuple[str, bool], ...]:
        """Return the text cut where the setting changes: each piece, and whether it is set apart."""
        found: list[tuple[str, bool]] = []
        last = 0
        for start, end in self.spans:
            found += [(self.text[last:start], False), (self.text[start:end], True)]
            last = end
        return tuple(piece for piece in [*found, (self.text[last:], False)] if piece[0])


@dataclass(slots=True)
class Writer:
    """Puts a marked text together piece by piece."""

    text: str = ""
    spans: list[Span] = field(default_factory=list)

    def add(self, text: str, *, marked: bool = False) -> None:
        """Add a piece."""
        if marked and text:
            self.spans.append((len(self.text), len(self.text) + len(text)))
        self.text += text

    def add_marked(self, other: MarkedText) -> None:
        """Add a text with its spans."""
        start = len(self.text)
        self.spans += [(start + one, start + end) for one, end in other.spans]
        self.text += other.text

    def done(self) -> MarkedText:
        """Return what was written; spans that touch or overlap are made one."""
        merged: list[Span] = []
        for start, end in sorted(self.spans):
            if merged and start <= merged[-1][1]:
                merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
            else:
                merged.append((start, end))
        return MarkedText(self.text, tuple(merged))


def places_of_word(word: str, text: str) -> list[Span]:
    """Return where a word stands in a text, whole, singular or plural, in any case.

    ``text`` should name one ingredient: a word that is part of another (milk in buttermilk) is not found.
    """
    pattern = rf"(?<!\w){re.escape(word)}(?:s|es)?(?!\w)"
    return [match.span() for match in re.finditer(pattern, text, flags=re.IGNORECASE)]
