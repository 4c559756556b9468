"""Hold what a sheet says beside its lines against the lines: an allergen that only a remark, the method or a card names.

Nothing is added to a recipe from such words; they are asked about, or said.
"""

from functools import lru_cache

from labeller.allergens.reader import read_statement
from labeller.allergens.vocabulary import load_vocabulary


@lru_cache(maxsize=8192)
def kinds_named(text: str) -> frozenset[str]:
    """Return the kinds of allergens that words name outright, such as milk or nut, and alcohol where they name it."""
    if not text.strip():
        return frozenset()
    vocabulary = load_vocabulary()
    reading = read_statement(text[:2000])
    found = {finding.source for finding in reading.contains}
    kinds = {vocabulary.kind_of(one) for one in found & vocabulary.law_sources}
    return frozenset(kinds | ({"alcohol"} if reading.alcohol else set()))


def kinds_possible(names: list[str]) -> frozenset[str]:
    """Return the kinds of allergens that the names of lines name, or leave open."""
    vocabulary = load_vocabulary()
    sources: set[str] = set()
    alcohol = False
    for start in range(0, len(names), 40):
        reading = read_statement(", ".join(names[start : start + 40]))
        sources |= {finding.source for finding in (*reading.contains, *reading.may_contain)}
        alcohol = alcohol or bool(reading.alcohol or reading.alcohol_traces)
        for _, open_sources in reading.unclear:
            sources |= open_sources
    kinds = {vocabulary.kind_of(one) for one in sources if one in vocabulary.sources}
    return frozenset(kinds | ({"alcohol"} if alcohol else set()))


@lru_cache(maxsize=1024)
def sources_named(heading: str) -> frozenset[str]:
    """Return the allergen sources that a heading names and leaves no doubt of; none where it says 'free' or an unknown word."""
    reading = read_statement(heading[:200])
    if reading.negated or reading.unclear or reading.not_understood or reading.may_contain:
        return frozenset()
    return frozenset({finding.source for finding in reading.contains} & load_vocabulary().law_sources)
