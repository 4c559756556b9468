"""Key letters for allergens: two or three letters of a group's own name, spelled out in a key on every page.

A letter stands for what is in a dish, or may be, under a head in words. What is not known never hides behind a letter.
"""

from labeller.declarations.marked_text import MarkedText, Writer
from labeller.declarations.paper_allergens import AllergenLines
from labeller.declarations.paper_names import group_with_examples, group_word
from labeller.declarations.paper_phrases import phrase
from labeller.jurisdictions.in_force import LawInForce

LEAST_LETTERS = 2


class LetterKey:
    """The letters of one law's groups.

    Attributes
    ----------
    rows : tuple of (letters, words)
        The key: each group's letters and its name with examples, in the order of the law.
    """

    __slots__ = ("_by_word", "rows")

    def __init__(self, law: LawInForce) -> None:
        words = [group_word(law, group) for group in law.groups]
        self._by_word = {word: letters_of(word, words) for word in words}
        self.rows: tuple[tuple[str, str], ...] = tuple(
            (self._by_word[group_word(law, group)], group_with_examples(law, group)) for group in law.groups
        )

    def short(self, words: str) -> str:
        """Return a group with its sources, its name as letters: 'nuts (almond)' becomes 'Nu (almond)'."""
        group, bracket, rest = words.partition(" (")
        return f"{self._by_word.get(group, group)}{bracket}{rest}"


def letters_of(word: str, words: list[str]) -> str:
    """Return the first letters of a word, as few from two on as no other of the words begins with."""
    others = [other for other in words if other != word]
    count = next(
        (
            count
            for count in range(LEAST_LETTERS, len(word))
            if not any(other.startswith(word[:count]) for other in others)
        ),
        len(word),
    )
    return word[:count].capitalize()


def contains_by_letters(lines: AllergenLines, key: LetterKey) -> MarkedText:
    """Return what is in a dish by letters; empty where nothing is declared."""
    writer = Writer()
    if not lines.contains_words:
        return writer.done()
    writer.add(f"{phrase('contains')} ")
    _add(writer, lines.contains_words, key)
    writer.add(".")
    return writer.done()


def may_contain_by_letters(lines: AllergenLines, key: LetterKey) -> MarkedText:
    """Return what may be in a dish by letters, with the reasons in words; empty where nothing may."""
    writer = Writer()
    if not lines.may_contain_words:
        return writer.done()
    writer.add(f"{phrase('may_contain')} ")
    for place, one in enumerate(lines.may_contain_words):
        writer.add("; " if place else "")
        _add(writer, one.groups, key)
        writer.add(f" ({one.why})")
    writer.add(".")
    return writer.done()


def _add(writer: Writer, words: tuple[str, ...], key: LetterKey) -> None:
    for place, one in enumerate(words):
        writer.add(", " if place else "")
        writer.add(key.short(one), marked=True)
