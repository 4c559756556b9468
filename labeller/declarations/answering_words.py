"""What a guest asks about: alcohol, a group of the law, a source, a nutrient, a way of eating, or any ingredient word."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Literal

from labeller.allergens.vocabulary import GENERAL_OF_KIND, Meaning, Vocabulary, load_vocabulary, phrase_key
from labeller.declarations.figure_words import MORE_FIGURES, figure_key
from labeller.declarations.guests_words import (
    ALCOHOL_WORDS,
    ANIMAL_SOURCES,
    CAFFEINE_WORDS,
    CERTIFIED,
    DOUBTS,
    FACTS_ASKED,
    FORMS,
    FREE,
    FREE_OF,
    GUEST_WORDS,
    MANY_FOODS,
    MEAT_SOURCES,
    MEAT_WORDS,
    NARROW,
    NO_CAFFEINE_WORDS,
    NO_MEAT_WORDS,
    NOT_VEGAN_WORDS,
    NOT_VEGETARIAN_WORDS,
    SAME,
    SEA_KINDS,
    SUGARS,
)
from labeller.declarations.phrases import phrase_in
from labeller.foundations.names import fold_text, name_key, nearest_names
from labeller.foundations.places import reference_data_folder
from labeller.foundations.plain import dataclass

if TYPE_CHECKING:
    from labeller.declarations.facts import Answerable, BookFacts

AskedKind = Literal["alcohol", "group", "source", "word", "nutrient", "certified"]

_MEANT = {name_key(said): name for said, name in GUEST_WORDS.items()}


class UnknownAboutError(LookupError):
    """A word that cannot be asked about; the message says the mend."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked about.

    Attributes
    ----------
    word : str
        As the guest said it.
    groups : tuple of str
        Groups of the law in force, for kind ``group``.
    sources : frozenset of str
        Sources that count, for kinds ``source`` and ``word``.
    words : tuple of str
        Words looked for in names and statements, for kind ``word``.
    key : str
        Figure, for kind ``nutrient``.
    eating : str
        ``vegetarian`` or ``vegan`` where the question is whether it is that.
    narrow : bool
        True where ``sources`` are wider than the word.
    unless : tuple of str
        Names in which ``words`` do not mean it: cocoa butter is no cocoa.
    doubts : tuple of str
        Names that leave it open whether it is in them: a vegetable oil may be palm oil.
    """

    word: str
    kind: AskedKind
    groups: tuple[str, ...] = ()
    sources: frozenset[str] = frozenset()
    words: tuple[str, ...] = ()
    key: str = ""
    eating: str = ""
    narrow: bool = False
    unless: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()


def asked_about(declarer: Answerable, word: str) -> Asked:
    """Return what a word asks about; a misspelling is never taken.

    Raises
    ------
    UnknownAboutError
        Where the word is not known: the nearest that are stand in the message.
    """
    facts = declarer.facts
    shown = " ".join(word.split())
    if fold_text(shown).endswith("is") and load_vocabulary().sources_named(shown[:-1]):
        shown = shown[:-1]  # kiwis; only where the singular is a source
    wanted = name_key(shown)
    if not wanted:
        raise UnknownAboutError("nothing is asked about. Write alcohol, an allergen, a nutrient or an ingredient.")
    if any(name_key(one) == wanted for one in CERTIFIED):
        return Asked(shown, "certified", words=FACTS_ASKED)
    _refuse_claim(facts, shown)
    _refuse_many_foods(facts, shown)
    if any(name_key(one) == wanted for one in ALCOHOL_WORDS):
        return Asked(shown, "alcohol")
    group = _group(facts, shown)
    if group is not None:
        return group
    eating = _way_of_eating(shown)
    if eating is not None:
        return eating
    vocabulary = load_vocabulary()
    if _has_letters_swapped(vocabulary, shown):
        raise UnknownAboutError(_unknown(facts, vocabulary, shown))
    meant = meant_by(shown)  # coeliac disease is asked about where the law names no gluten too
    named = (
        vocabulary.sources_named(meant)
        or ((shown,) if shown in vocabulary.sources and shown != "alcohol trace" else None)
        or _named_in_pieces(vocabulary, shown)
    )
    if named:
        return _of_sources(facts, vocabulary, shown, named)
    figure = facts.nutrient_words.get(figure_key(shown))
    if figure is not None and figure != "alcohol_g":
        return Asked(shown, "nutrient", key=figure)
    meanings = _meanings(vocabulary, shown)
    if any("alcohol" in one.roles for one in meanings) and not phrase_in("extract", shown):
        return Asked(shown, "alcohol")  # who asks for gin is told of rum as well
    # 'Rye flour' and 'walnut oil' name their source: whatever is made of it counts.
    plain = {
        source
        for one in meanings
        for source, _, sense in one.certain
        if sense == 0 and source in vocabulary.law_sources
    }
    if plain and not any(sense for one in meanings for _, _, sense in one.certain):
        return _of_sources(facts, vocabulary, shown, tuple(sorted(plain)))
    for said, key in MORE_FIGURES.items():
        if name_key(said) == wanted:
            return Asked(shown, "nutrient", key=key)
    if _is_signal(vocabulary, shown):
        raise UnknownAboutError(_unknown(facts, vocabulary, shown))
    if _is_food_word(vocabulary, shown) or _stands_in_book(facts, shown) or _stands_in_table(shown):
        return Asked(shown, "word", words=_same_words(shown), doubts=_doubts_of(shown))
    raise UnknownAboutError(_unknown(facts, vocabulary, shown))


def meant_by(word: str) -> str:
    """Return the name of what a guest means by a word, such as gluten by 'coeliac'; the word itself where it is that name."""
    return _MEANT.get(name_key(word), word)


def _refuse_claim(facts: BookFacts, shown: str) -> None:
    """Refuse to be asked whether a dish is 'gluten-free': that it is not looked up as a word says nothing about gluten."""
    key = name_key(shown)
    if any(key == name_key(name) for name in (*facts.own_names, *facts.preparations)):
        return
    said = FREE.fullmatch(fold_text(shown))
    denied = facts.read_name(shown).negated
    if said is None and not denied:
        return
    thing = next((one for one in said.groups() if one), "") if said is not None else denied[0]
    thing = FREE_OF.get(thing, thing)
    raise UnknownAboutError(
        f"'{shown}' is a claim, which this tool never makes. Ask what is in it instead: write '{thing}'."
    )


def _refuse_many_foods(facts: BookFacts, shown: str) -> None:
    """Refuse a word that stands for many foods, or for a sugar of many foods, unless something of the book is called so."""
    key = name_key(shown)
    if any(key == name_key(name) for name in (*facts.own_names, *facts.preparations)):
        return
    each = next((foods for word, foods in MANY_FOODS.items() if name_key(word) == key), ())
    if each:
        raise UnknownAboutError(
            f"'{shown}' stands for many foods, and papers name them one by one. Ask about each: {', '.join(map(repr, each))}."
        )
    if any(name_key(one) == key for one in SUGARS) and not _stands_in_book(facts, shown):
        raise UnknownAboutError(
            f"'{shown}' is in fruit, honey and syrups without being named there. Ask about 'sugars'."
        )


def _named_in_pieces(vocabulary: Vocabulary, shown: str) -> tuple[str, ...] | None:
    """Return the sources of a name written in two words that is one (shell fish), or of what is plainly made of one (wheat flour)."""
    pieces = shown.replace("-", " ").split()
    if len(pieces) < 2:
        return None
    if name_key(pieces[-1]) in {name_key(one) for one in FORMS}:
        return vocabulary.sources_named(" ".join(pieces[:-1]))
    return vocabulary.sources_named("".join(pieces))


def _group(facts: BookFacts, word: str) -> Asked | None:
    meant = meant_by(word)
    for group in facts.groups:
        if name_key(group.name) == name_key(meant):
            return Asked(word, "group", (group.name,))
    return None


def _way_of_eating(word: str) -> Asked | None:
    vocabulary = load_vocabulary()
    key = name_key(meant_by(word))
    sea = {source for source, kind in vocabulary.sources.items() if kind in SEA_KINDS}
    if key == name_key("meat"):
        return Asked(
            word, "word", sources=frozenset((*MEAT_SOURCES, "pork gelatine", "beef gelatine")), words=MEAT_WORDS
        )
    if key == name_key("vegetarian"):
        return Asked(
            word,
            "word",
            sources=frozenset(ANIMAL_SOURCES) | sea,
            words=NOT_VEGETARIAN_WORDS,
            unless=NO_MEAT_WORDS,
            eating="vegetarian",
        )
    if key == name_key("vegan"):
        dairy = {source for source, kind in vocabulary.sources.items() if kind in ("milk", "egg")}
        sources = frozenset((*ANIMAL_SOURCES, "honey")) | sea | dairy
        return Asked(word, "word", sources=sources, words=NOT_VEGAN_WORDS, unless=NO_MEAT_WORDS, eating="vegan")
    return None


def _of_sources(facts: BookFacts, vocabulary: Vocabulary, word: str, named: tuple[str, ...]) -> Asked:
    kinds = vocabulary.sources
    general = [source for source in named if _is_general(source, kinds)]
    if len(general) == len(named):
        by_source = [
            [group.name for group in facts.groups if group.includes(source, kinds.get(source, source))]
            for source in named
        ]
        if all(by_source):
            return Asked(word, "group", tuple(dict.fromkeys(name for names in by_source for name in names)))
    wide = set(named)
    for source in general:
        wide.update(vocabulary.sources_of(kinds[source]))
    if "gelatine" in wide:
        wide |= {"pork gelatine", "beef gelatine"}
    for animal in ("pork", "beef"):
        if animal in wide:
            wide.add(f"{animal} gelatine")
    if all(_stands_open(vocabulary, source) for source in named):
        wide.update(source for one in (*named, word) for source in _same_words(one) if source in kinds)
        return Asked(word, "source", sources=frozenset(wide))
    narrow = any(name_key(one) == name_key(word) for one in NARROW)
    if named == ("caffeine",) and not narrow:
        return Asked(word, "word", sources=frozenset(wide), words=(word, *CAFFEINE_WORDS), unless=NO_CAFFEINE_WORDS)
    return Asked(
        word, "word", sources=frozenset(wide), words=_same_words(word), narrow=narrow, doubts=_doubts_of(word)
    )


def _same_words(word: str) -> tuple[str, ...]:
    """Return a word with the other names of the same thing."""
    key = name_key(word)
    others = [other for names in SAME if any(name_key(one) == key for one in names) for other in names]
    return tuple(dict.fromkeys((word, *others)))


def _doubts_of(word: str) -> tuple[str, ...]:
    key = name_key(word)
    return tuple(one for words, doubts in DOUBTS if any(name_key(said) == key for said in words) for one in doubts)


def _is_general(source: str, kinds: dict[str, str]) -> bool:
    kind = kinds.get(source, source)
    return kind != "other" and source in (kind, GENERAL_OF_KIND.get(kind, kind))


def _has_letters_swapped(vocabulary: Vocabulary, word: str) -> bool:
    """Tell whether a word is a source with letters in the wrong order; a supplier's paper is read so, a question is not."""
    key = name_key(word)
    letters = sorted(key)
    keys = {name_key(source) for source in vocabulary.sources}
    # Short words are often words of their own: a carb is no crab.
    return len(key) >= 6 and key not in keys and any(letters == sorted(one) for one in keys)


def _stands_open(vocabulary: Vocabulary, source: str) -> bool:
    """Tell whether evidence says of this source where it is not settled; of others only a whole statement tells."""
    kind = vocabulary.sources.get(source, source)
    if source in vocabulary.law_sources:
        return True
    return kind not in ("cereal", "nut", "other") and (GENERAL_OF_KIND.get(kind, kind) in vocabulary.law_sources)


def _is_signal(vocabulary: Vocabulary, word: str) -> bool:
    """Tell whether a word only joins or announces others: 'and', 'contains'."""
    meanings = _meanings(vocabulary, word)
    return bool(meanings) and all(one.signal for one in meanings)


def _meanings(vocabulary: Vocabulary, word: str) -> list[Meaning]:
    found = vocabulary.phrases.get(phrase_key(word))
    numbers = [found] if isinstance(found, int) else list((found or {}).values())
    return [vocabulary.meaning(number) for number in numbers]


def _is_food_word(vocabulary: Vocabulary, word: str) -> bool:
    meanings = _meanings(vocabulary, word)
    return any((one.food or one.certain or one.doubts or one.carrier) and not one.signal for one in meanings)


def _stands_in_book(facts: BookFacts, word: str) -> bool:
    """Tell whether a word stands in a name of this book, or names something in a statement."""
    names = (*facts.own_names, *facts.preparations)
    if len(word) < 3:
        return any(name_key(word) == name_key(name) for name in names)
    if any(phrase_in(word, name) or name_key(word) == name_key(name) for name in names):
        return True
    each = (facts.words(place) for place in range(len(facts.ingredients)))
    return any(phrase_in(word, name) for one in each for name in (*one.heads, *one.leaves))


def _stands_in_table(word: str) -> bool:
    """Tell whether a row of the reference table is named by exactly these words, as 'Kangaroo' or 'Fish, shad'."""
    wanted = phrase_key(word)
    return bool(wanted) and f"\n{wanted}\n" in _row_words()


@cache
def _row_words() -> str:
    """Return the names of rows as phrases, one on a line; made ahead by ``reference_data/allergens/build_row_words.py``."""
    return (reference_data_folder() / "allergens" / "row_words.txt").read_text("utf-8")


def _unknown(facts: BookFacts, vocabulary: Vocabulary, word: str) -> str:
    known = ["alcohol", "vegetarian", "vegan", "meat", *(group.name for group in facts.groups), *GUEST_WORDS]
    known.extend(facts.ingredients)
    near = list(dict.fromkeys((*vocabulary.nearest(word), *nearest_names(word, known))))[:3]
    mend = (
        f"Did you mean {' or '.join(repr(one) for one in near)}?"
        if near
        else "Write alcohol, an allergen group, a nutrient, or a food such as 'hazelnut' or 'kiwi'."
    )
    return f"'{word}' is nothing this tool knows. {mend}"
