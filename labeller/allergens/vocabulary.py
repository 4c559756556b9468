"""The words of allergens: sources, their kinds, and what a phrase of an ingredients statement means.

The tables lie in ``reference_data/allergens`` and are compiled there; reading the compiled form takes a few milliseconds.
"""

import json
from functools import cache
from typing import Any

from labeller.foundations.names import fold_text, nearest_names, stem_word
from labeller.foundations.places import reference_data_folder
from labeller.foundations.plain import dataclass, field

# The groups of the law and words of the trade that stand for several sources at once.
GROUP_WORDS: dict[str, tuple[str, ...]] = {
    "shellfish": ("crustacean", "mollusc"),
    "seafood": ("fish", "crustacean", "mollusc"),
}
# A source that only says the kind, not which; the finer name makes it needless where both stand together.
GENERAL_OF_KIND: dict[str, str] = {
    "cereal": "gluten cereal",
    "nut": "nut",
    "fish": "fish",
    "crustacean": "crustacean",
    "mollusc": "mollusc",
}


@dataclass(frozen=True, slots=True)
class Meaning:
    """What one phrase means in one language.

    ``certain`` holds (source, derivation, sense), sense 0 for a word that names the source, 1 for a thing always made of it,
    2 for a made dish; ``doubts`` holds (sources left open, sense, "source" or "list" for what settles it); ``carrier`` is
    (derivation, sources it may come from, sources left open where none is given); ``plain`` is set where it finds, leaves open and
    announces nothing, ``simple`` where it does no more than find, ``food`` where it is something to eat.
    """

    language: str = ""
    certain: tuple[tuple[str, str, int], ...] = ()
    doubts: tuple[tuple[frozenset[str], int, str], ...] = ()
    carrier: tuple[str, frozenset[str], frozenset[str]] | None = None
    roles: frozenset[str] = frozenset()
    signal: str = ""
    plain: bool = False
    simple: bool = False
    food: bool = False


@dataclass(slots=True)
class Vocabulary:
    """The compiled vocabulary.

    ``sources`` maps each source to its kind; ``law_sources`` are the sources a law of our packs regulates, which is what can
    stand unconfirmed (for fish, crustaceans, molluscs, milk and eggs the general name stands for its whole kind).
    """

    sources: dict[str, str]
    law_sources: frozenset[str]
    phrases: dict[str, int | dict[str, int]]
    longest: dict[str, int]
    skeletons: dict[str, str]
    deletes: dict[str, str]
    parts: dict[str, int]
    _carried: dict[str, frozenset[str]]
    _named: dict[str, list[str]]
    _names: list[str]
    _sets: list[frozenset[str]]
    _entries: list[Any]
    _meanings: dict[int, Meaning] = field(default_factory=dict)

    def kind_of(self, source: str) -> str:
        """Return the kind of a source, such as ``cereal`` for ``rye``."""
        return self.sources[source]

    def sources_of(self, kind: str) -> tuple[str, ...]:
        """Return the sources of one kind, in the order of the table."""
        return tuple(source for source, of_kind in self.sources.items() if of_kind == kind)

    def carried_by(self, derivation: str) -> frozenset[str]:
        """Return the sources a derivation can be made from."""
        return self._carried.get(derivation, frozenset())

    def sources_named(self, word: str) -> tuple[str, ...] | None:
        """Return the sources a cook means by a word of a list of allergens, or None where the word names none.

        Group names, plurals, species and the spellings of the trade are known: *dairy*, *tree nuts*, *sulfites*, *prawns*.
        """
        folded = phrase_key(word)
        for name, sources in GROUP_WORDS.items():
            if folded == phrase_key(name):
                return sources
        found = self._named.get(folded)
        return tuple(found) if found else None

    def nearest(self, word: str) -> list[str]:
        """Return the names nearest to a word that names no source, best first."""
        return nearest_names(word, [*self._names, *GROUP_WORDS])

    def meaning(self, number: int) -> Meaning:
        """Return one entry of the compiled tables; each is built once, when first met."""
        known = self._meanings.get(number)
        if known is None:
            language, certain, doubts, carrier, roles = self._entries[number]
            signals = [role.removeprefix("signal ") for role in roles if role.startswith("signal ")]
            special = any(":" in role or " " in role or role == "alcohol" for role in roles)
            simple = not (doubts or carrier or special)
            known = Meaning(
                language,
                tuple((source, derivation, sense) for source, derivation, sense in certain),
                tuple((self._sets[index], sense, settled) for index, sense, settled in doubts),
                (carrier[0], frozenset(carrier[1]), frozenset(carrier[2])) if carrier else None,
                frozenset(roles),
                signals[0] if signals else "",
                not certain and simple,
                simple,
                bool({"food", "origin"} & set(roles)),
            )
            self._meanings[number] = known
        return known


def phrase_key(phrase: str) -> str:
    """Return the folded, stemmed words of a phrase, joined by single spaces."""
    words = fold_text(phrase).replace("'", " ").replace("-", " ").split()
    return " ".join(stem_word(word) for word in words)


@cache
def load_vocabulary() -> Vocabulary:
    """Return the vocabulary; it is read from disk once in a process."""
    path = reference_data_folder() / "allergens" / "vocabulary.json"
    data = json.loads(path.read_bytes())
    return Vocabulary(
        sources=data["sources"],
        law_sources=frozenset(data["stands_open"]),
        phrases=data["phrases"],
        longest=data["longest"],
        skeletons=data["skeletons"],
        deletes=data["deletes"],
        parts=data["parts"],
        _carried={name: frozenset(sources) for name, sources in data["carried"].items()},
        _named=data["named"],
        _names=data["names"],
        _sets=[frozenset(names) for names in data["sets"]],
        _entries=data["entries"],
    )
