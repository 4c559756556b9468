"""What menu notes say, in the order in which it is read: for a menu's own page, whatever form it takes."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from labeller.declarations.allergen_rows import CONTAINS, NONE_DECLARED, UNCONFIRMED
from labeller.declarations.keeping_times import day_in_words
from labeller.declarations.marked_text import MarkedText
from labeller.declarations.notes_letters import LetterKey, contains_by_letters, may_contain_by_letters
from labeller.declarations.notes_sections import Section
from labeller.declarations.paper_alcohol import AlcoholLines
from labeller.declarations.paper_in_language import TranslatedAllergens
from labeller.declarations.paper_of_dish import DishWords
from labeller.declarations.paper_phrases import phrase
from labeller.declarations.paper_version import version_of
from labeller.foundations.names import capitalised
from labeller.jurisdictions.in_force import LawInForce

Kind = Literal["contains", "may contain", "ask", "nothing", "alcohol", "claim"]

KEY_HEAD = "Key to the letters"
KEY_MEANS = (
    "After 'Contains': it is in the dish. After 'May contain': it may have got in. What we do not know is in words."
)
ENERGY_NOT_KNOWN = "Energy: please ask us"


@dataclass(frozen=True, slots=True)
class NoteLine:
    """One line below a dish. ``language`` is that of a translated one, empty for English."""

    kind: Kind
    text: MarkedText
    language: str = ""


@dataclass(frozen=True, slots=True)
class DishNote:
    """One dish: its name and description as printed, its energy, its lines, the gravest first. ``of`` is its name in the book."""

    of: str
    name: str
    description: str
    energy: str
    lines: tuple[NoteLine, ...]


@dataclass(frozen=True, slots=True)
class NoteSection:
    """Dishes under one heading."""

    title: str
    dishes: tuple[DishNote, ...]


@dataclass(frozen=True, slots=True)
class MenuNotes:
    """Everything that menu notes say.

    Attributes
    ----------
    house, title : str
        Name of the kitchen, and what they are.
    opening : str
        What a guest must read before ordering.
    key : tuple of (letters, words)
        Letters and what they stand for; empty where allergens are in words.
    sections : tuple of NoteSection
        The dishes.
    statements : tuple of str
        Sentences a law prescribes beside energy, as its own letters have them; they stand on every page.
    cautions : tuple of str
        Of alcohol, where any dish has it or may.
    foot : str
        By whose law, on which day, which version.
    book_language : str
        Language of the book's own words, as a BCP 47 tag.
    """

    house: str
    title: str
    opening: str
    key: tuple[tuple[str, str], ...]
    sections: tuple[NoteSection, ...]
    statements: tuple[str, ...]
    cautions: tuple[str, ...]
    foot: str
    book_language: str

    def texts(self) -> tuple[str, ...]:
        """Return every text that is printed."""
        found = [self.house, self.title, self.opening, *(f"{one} {words}" for one, words in self.key)]
        for section in self.sections:
            found.append(section.title)
            for dish in section.dishes:
                found += [dish.name, dish.description, dish.energy, *(line.text.text for line in dish.lines)]
        found += [*self.statements, *self.cautions, self.foot]
        if self.key:
            found += [KEY_HEAD, KEY_MEANS]
        return tuple(dict.fromkeys(one for one in found if one))


def menu_notes(
    dishes: Sequence[tuple[Section, Sequence[DishWords]]],
    law: LawInForce,
    house: str,
    *,
    menu: str = "",
    by_letters: bool = False,
    energy: bool = False,
    book_language: str = "en",
) -> MenuNotes:
    """Return the notes of a menu.

    Parameters
    ----------
    dishes : sequence of (Section, sequence of DishWords)
        The words of every dish, in the order of the menu.
    law : LawInForce
        The law they are declared by.
    house : str
        Name of the kitchen.
    menu : str
        Name of the menu, empty for the whole book.
    by_letters : bool
        Allergens by key letters instead of words.
    energy : bool
        Whether energy stands beside each dish, with what the law prescribes.
    book_language : str
        Language of the book's own words.
    """
    key = LetterKey(law) if by_letters else None
    sections = tuple(
        NoteSection(capitalised(section.title), tuple(_dish(one, key, energy=energy) for one in words))
        for section, words in dishes
    )
    every = [one for _, words in dishes for one in words]
    statements = next((one.energy.statements for one in every), ()) if energy else ()
    title = capitalised(menu) if menu else "Our dishes"
    opening = phrase("guest_caution")
    cautions = tuple(_cautions(every))
    said = [house, title, opening, *(f"{one} {words}" for one, words in (key.rows if key else ()))]
    for section in sections:
        said.append(section.title)
        for dish in section.dishes:
            said += [dish.name, dish.description, dish.energy, *(line.text.text for line in dish.lines)]
    said += [*statements, *cautions]
    foot = f"Law: {law.title}, {day_in_words(law.day)} · version {version_of(tuple(said))}"
    return MenuNotes(
        house, title, opening, key.rows if key else (), sections, statements, cautions, foot, book_language
    )


def statement_sentences(statements: Sequence[str]) -> str:
    """Return the law's sentences as one text in its own letters; a point is put between two only."""
    last = len(statements) - 1
    return " ".join(one if one.endswith(".") or place == last else f"{one}." for place, one in enumerate(statements))


def _dish(words: DishWords, key: LetterKey | None, *, energy: bool) -> DishNote:
    shown = ""
    if energy:
        shown = words.energy.line or ENERGY_NOT_KNOWN
    return DishNote(words.name, capitalised(words.name), words.description, shown, tuple(_lines(words, key)))


def _lines(words: DishWords, key: LetterKey | None) -> Iterator[NoteLine]:
    lines, other = words.allergens, words.in_language
    contains = contains_by_letters(lines, key) if key else lines.contains
    may = may_contain_by_letters(lines, key) if key else lines.may_contain
    rows: tuple[tuple[Kind, MarkedText], ...] = (
        ("contains", contains),
        ("may contain", may),
        ("ask", lines.ask_about),
        ("nothing", lines.sentence),
    )
    named = _translated(other)
    for kind, text in rows:
        if not text.text:
            continue
        yield NoteLine(kind, text)
        if other is not None and kind in named:
            yield NoteLine(kind, named[kind], other.language)
    yield from (NoteLine("may contain", one) for one in words.instead)
    yield from _alcohol(words.alcohol)
    if words.claims.line:
        yield NoteLine("claim", MarkedText(words.claims.line))


def _alcohol(lines: AlcoholLines) -> Iterator[NoteLine]:
    """Yield the line about alcohol, what is not known of it on a line of its own; nothing where none is in the recipe and no ferment either."""
    if lines.status == NONE_DECLARED and not lines.ferments:
        return
    if lines.status == UNCONFIRMED:
        yield NoteLine("ask", _loud(lines.short.text, len(lines.ask)))
        return
    ask = f" {lines.ask}." if lines.ask else ""
    at = lines.short.text.find(ask) if ask else -1
    if at < 0:
        yield NoteLine("alcohol", lines.short)
        return
    kept = lines.short.text[:at] + lines.short.text[at + len(ask) :]
    # What is set apart are the drinks, which stand before it.
    yield NoteLine("alcohol", MarkedText(kept, tuple(span for span in lines.short.spans if span[1] <= at)))
    yield NoteLine("ask", _loud(ask.strip(), len(lines.ask)))


def _loud(text: str, end: int) -> MarkedText:
    """Set what is to be asked about apart, to where that ends, as the groups of allergens are in their line."""
    head = f"{phrase('ask_about')} "
    return MarkedText(text, ((len(head) if text.startswith(head) else 0, end),))


def _translated(other: TranslatedAllergens | None) -> dict[Kind, MarkedText]:
    """Return the allergens in another language; only "contains" has its own word on file, the other heads stay English rather than be made up."""
    if other is None:
        return {}
    found: dict[Kind, MarkedText] = {}
    rows: tuple[tuple[Kind, str, tuple[str, ...]], ...] = (
        ("contains", f"{other.contains_head} ", other.contains),
        ("may contain", f"{phrase('may_contain')} ", other.may_contain),
        ("ask", f"{phrase('ask_about')} ", other.ask_about),
    )
    for kind, head, names in rows:
        kept = tuple(dict.fromkeys(names))
        if not kept:
            continue
        text, spans = head, []
        for place, name in enumerate(kept):
            text += ", " if place else ""
            spans.append((len(text), len(text) + len(name)))
            text += name
        found[kind] = MarkedText(f"{text}.", tuple(spans))
    return found


def _cautions(every: Sequence[DishWords]) -> Iterator[str]:
    if any(one.alcohol.status == CONTAINS for one in every):
        yield f"{phrase('alcohol_caution_of_page')} {phrase('alcohol_cooking')}"
    if any(one.alcohol.ask for one in every):
        yield phrase("alcohol_ask_caution")
