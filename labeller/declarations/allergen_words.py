"""The allergens in the words of a list of ingredients: found there and set apart, or added where the words do not show them."""

from dataclasses import dataclass, field

from labeller.allergens.evidence import Finding
from labeller.allergens.vocabulary import load_vocabulary
from labeller.declarations.allergen_rows import CONTAINS
from labeller.declarations.declaring import Declaration
from labeller.declarations.marked_text import MarkedText, Writer, places_of_word
from labeller.jurisdictions.in_force import LawInForce


@dataclass(slots=True)
class AllergenWords:
    """Names allergens by one law in one declaration.

    A law that asks for a Contains line alone leaves the words of the list as they are.
    """

    law: LawInForce
    declared: frozenset[str]
    _names: dict[str, tuple[str, tuple[str, ...]]] = field(default_factory=dict)

    @classmethod
    def of(cls, declaration: Declaration) -> "AllergenWords":
        """Return the words for what a declaration says is in it."""
        found = {source for row in declaration.allergens if row.status == CONTAINS for source in row.sources}
        return cls(declaration.law, frozenset(found))

    @property
    def in_list(self) -> bool:
        """Tell whether this law sets allergens apart in the list."""
        return self.law.emphasis.where in ("list", "both")

    def sources_of(self, findings: tuple[Finding, ...]) -> tuple[str, ...]:
        """Return the sources to be named of what was found in one ingredient; what this law exempts is not among them."""
        kinds = load_vocabulary().sources
        found: dict[str, None] = {}
        for finding in findings:
            kind = kinds.get(finding.source, finding.source)
            freed = self.law.exemption(finding.source, finding.derivation, kind)
            if finding.source in self.declared and freed is None:
                found[finding.source] = None
        return tuple(found)

    def shows(self, source: str, text: str) -> bool:
        """Tell whether a text already holds a word for a source, one this law permits."""
        return any(places_of_word(word, text) for word in self._permitted(source)[1])

    def name(self, text: str, sources: tuple[str, ...], shown: set[str]) -> MarkedText:
        """Set the sources apart in a text; those it does not show follow it in brackets.

        ``shown`` takes the sources that are now named.
        """
        writer = Writer()
        writer.add(text)
        if not self.in_list:
            shown.update(sources)
            return writer.done()
        added: dict[str, None] = {}
        for source in sources:
            word, permitted = self._permitted(source)
            places = next((found for one in permitted if (found := places_of_word(one, text))), [])
            writer.spans += places
            if not places:
                added[word] = None
            shown.add(source)
        if added:
            writer.add(" (")
            for place, word in enumerate(added):
                writer.add(", " if place else "")
                writer.add(word, marked=True)
            writer.add(")")
        return writer.done()

    def _permitted(self, source: str) -> tuple[str, tuple[str, ...]]:
        """Return the word to be added, and the words that already show the source, the longest first."""
        known = self._names.get(source)
        if known is None:
            name = self.law.source_name(source, load_vocabulary().sources.get(source, source))
            # Where the law wants the group beside the species (fish beside cod), the group's word is the one that counts.
            words = (name.group_word,) if name.group_word else name.words
            known = self._names[source] = (words[0], tuple(sorted(words, key=lambda word: -len(word))))
        return known
