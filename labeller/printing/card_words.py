"""What stands on a card, in its order: the gravest first, the same caution last. No layout here, and nothing left out."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from labeller.declarations.allergen_rows import NONE_DECLARED, UNCONFIRMED
from labeller.declarations.marked_text import MarkedText, Writer
from labeller.declarations.paper_alcohol import AlcoholLines
from labeller.declarations.paper_in_language import TranslatedAllergens
from labeller.declarations.paper_of_dish import DishWords
from labeller.declarations.paper_phrases import phrase
from labeller.declarations.paper_version import version_of
from labeller.foundations.names import capitalised

Kind = Literal["allergens", "ask", "alcohol", "claim", "energy", "caution"]

MAY_CONTAIN_LINE = "may contain"
_PHRASES = {"contains": "contains", MAY_CONTAIN_LINE: "may_contain", "ask about": "ask_about"}


@dataclass(frozen=True, slots=True)
class CardLine:
    """One paragraph of a card. ``translates``: it names in ``language`` what the one before says; ``head`` are the words before a list."""

    key: str
    text: MarkedText
    kind: Kind
    language: str = ""
    translates: bool = False
    head: str = ""

    def halves(self) -> "tuple[CardLine, CardLine] | None":
        """Return a list as two, each with its head, parted near its middle where one thing ends; None where it cannot be parted.

        What may be in it is parted only between reasons, so that none loses its own.
        """
        start = len(self.head) + 1
        if not self.head or not self.text.text.startswith(f"{self.head} "):
            return None
        body = self.text.text[start:]
        cuts = _ends_of_things(body, "; ")
        if not cuts and (self.translates or self.key.partition(" (")[0] != MAY_CONTAIN_LINE):
            cuts = _ends_of_things(body, ", ")
        if not cuts:
            return None
        cut = start + min(cuts, key=lambda at: abs(at - len(body) / 2.0))
        first = MarkedText(f"{self.text.text[:cut]}.", tuple(span for span in self.text.spans if span[1] <= cut))
        moved = start - (cut + 2)
        spans = tuple((one + moved, end + moved) for one, end in self.text.spans if one > cut)
        second = MarkedText(f"{self.head} {self.text.text[cut + 2 :]}", spans)
        return replace(self, key=f"{self.key} (a)", text=first), replace(self, key=f"{self.key} (b)", text=second)


def _ends_of_things(text: str, sign: str) -> tuple[int, ...]:
    """Return where things of a list end: at a sign that stands in no brackets."""
    found: list[int] = []
    depth = 0
    for at, letter in enumerate(text):
        depth += (letter == "(") - (letter == ")")
        if depth == 0 and text.startswith(sign, at):
            found.append(at)
    return tuple(found)


@dataclass(frozen=True, slots=True)
class CardText:
    """All words of one card.

    Attributes
    ----------
    of : str
        The dish, as the book calls it.
    name, description : str
        As printed.
    facts : tuple of CardLine
        What is in it, what may be, what is not known; then alcohol, whom it suits, energy.
    cautions : tuple of CardLine
        Of alcohol, and the one that is the same on every card.
    house, day, version : str
        Who says so, for which day, and which state of the declaration; see `paper_version.version_of`.
    """

    of: str
    name: str
    description: str
    facts: tuple[CardLine, ...]
    cautions: tuple[CardLine, ...]
    house: str
    day: str
    version: str

    @property
    def foot(self) -> str:
        """The line at the foot."""
        return " · ".join((self.house, self.day, f"version {self.version}"))

    def words(self) -> tuple[str, ...]:
        """Return everything that is printed, paragraph by paragraph."""
        lines = (line.text.text for line in (*self.facts, *self.cautions))
        return tuple(one for one in (self.name, self.description, *lines, self.foot) if one)


def card_text(words: DishWords, house: str, *, energy: bool = False) -> CardText:
    """Return the words of a card.

    Parameters
    ----------
    words : DishWords
        The words of the dish.
    house : str
        Name of the kitchen.
    energy : bool
        Whether energy is printed, where it is known whole, with what the law prescribes beside it.
    """
    facts = (
        *_allergens(words),
        *_instead(words),
        *_alcohol(words.alcohol),
        *_strength(words.alcohol),
        *_more(words, energy=energy),
    )
    cautions = tuple(_cautions(words, energy=energy))
    name = capitalised(words.name)
    said = (name, words.description, house, *(line.text.text for line in (*facts, *cautions)))
    return CardText(words.name, name, words.description, facts, cautions, house, words.day, version_of(said))


def _instead(words: DishWords) -> Iterator[CardLine]:
    for number, text in enumerate(words.instead, start=1):
        yield CardLine(f"instead {number}", text, "allergens")


def _allergens(words: DishWords) -> Iterator[CardLine]:
    lines, other = words.allergens, words.in_language
    heads = _heads(other)
    rows: tuple[tuple[str, MarkedText, Kind], ...] = (
        ("contains", lines.contains, "allergens"),
        (MAY_CONTAIN_LINE, lines.may_contain, "allergens"),
        ("ask about", lines.ask_about, "ask"),
        ("nothing declared", lines.sentence, "allergens"),
    )
    for key, text, kind in rows:
        if not text.text:
            continue
        yield CardLine(key, text, kind, head=phrase(_PHRASES[key]) if key in _PHRASES else "")
        if other is not None and key in heads:
            head, names = heads[key]
            # As bold as the English: whoever reads this line reads no other.
            writer = Writer()
            writer.add(f"{head} ")
            for place, one in enumerate(dict.fromkeys(names)):
                writer.add(", " if place else "")
                writer.add(one, marked=True)
            writer.add(".")
            again = writer.done()
            yield CardLine(f"{key}, {other.language}", again, kind, other.language, translates=True, head=head)


def _heads(other: TranslatedAllergens | None) -> dict[str, tuple[str, tuple[str, ...]]]:
    """Return the allergens in the other language, each list with a head of its own, so that it is never taken for another.

    Only "contains" has its word on file in every language; before the other lists the English words stand: a word is never made up.
    """
    if other is None:
        return {}
    found = {
        "contains": (other.contains_head, other.contains),
        MAY_CONTAIN_LINE: (phrase("may_contain"), other.may_contain),
        "ask about": (phrase("ask_about"), other.ask_about),
    }
    return {key: row for key, row in found.items() if row[1]}


def _alcohol(lines: AlcoholLines) -> Iterator[CardLine]:
    """Yield the line about alcohol, and what is not known of it apart; nothing where none is in the recipe and no ferment either."""
    if lines.status == NONE_DECLARED and not lines.ferments:
        return
    if lines.status == UNCONFIRMED:
        yield CardLine("alcohol not known", lines.short, "ask")
        return
    ask = f"{lines.ask}." if lines.ask else ""
    at = lines.short.text.find(f" {ask}") if ask else -1
    if at < 0:
        yield CardLine("alcohol", lines.short, "alcohol")
        return
    kept = lines.short.text[:at] + lines.short.text[at + len(ask) + 1 :]
    # What is set apart are the drinks, which stand before it.
    yield CardLine("alcohol", MarkedText(kept, tuple(span for span in lines.short.spans if span[1] <= at)), "alcohol")
    yield CardLine("alcohol not known", MarkedText(ask), "ask")


def _strength(lines: AlcoholLines) -> Iterator[CardLine]:
    if lines.statement:
        yield CardLine("strength", MarkedText(lines.statement), "alcohol")  # in the letters of the law


def _more(words: DishWords, *, energy: bool) -> Iterator[CardLine]:
    if words.claims.line:
        yield CardLine("suitable for", MarkedText(words.claims.line), "claim")
    if energy and words.energy.line:
        yield CardLine("energy", MarkedText(f"{words.energy.line}."), "energy")


def _cautions(words: DishWords, *, energy: bool) -> Iterator[CardLine]:
    if energy and words.energy.line:
        # In the letters of the law, to the full stop it has or has not.
        for number, statement in enumerate(words.energy.statements, start=1):
            yield CardLine(f"energy, statement {number}", MarkedText(statement), "energy")
    if words.alcohol.caution:
        yield CardLine("alcohol caution", MarkedText(words.alcohol.caution), "caution")
    yield CardLine("caution", MarkedText(words.caution), "caution")
