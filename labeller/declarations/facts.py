"""What a question at the table needs to know of a book, as plain values.

The answering modules see nothing else, whether the book was just worked out (``facts_of_book``) or comes from the cache
(``facts_packed``): one code answers, so both say the same. Nothing here loads the kitchen, the law or numpy.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple, Protocol

from labeller.allergens.vocabulary import load_vocabulary
from labeller.declarations.allergen_rows import AllergenRow, Laid, Path, RowReader, View, by_length, views_of

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from labeller.declarations.alcohol_facts import AlcoholFacts, UnitCount
    from labeller.jurisdictions.terms import AllergenGroup


class Answerable(Protocol):
    """What a question can be put to: a book's facts, or who worked it out."""

    @property
    def facts(self) -> BookFacts:
        """The facts of the book."""


class OnPlate(Laid, Protocol):
    """What lies on a plate: one of its lines, or a batch of the kitchen."""

    def ethanol_g(self, place: int) -> float:
        """Return the ethanol that one alcoholic ingredient leaves in it, by the estimate. [g]"""


class Line(OnPlate, Protocol):
    """One line of a plate, for one portion: what it brings, and what may stand in its place."""

    @property
    def name(self) -> str:
        """The name the line goes by."""

    @property
    def optional(self) -> bool:
        """Whether it can be left off."""

    @property
    def caffeine_mg(self) -> float:
        """Caffeine, by the packs that give it. [mg]"""

    @property
    def swaps(self) -> Sequence[Line]:
        """What can stand in its place."""


class IngredientFacts(NamedTuple):
    """What is known of one ingredient.

    ``contains`` holds (source, the words that say so, whether the law in force frees what was made of it); ``may_contain`` sources by
    the supplier's word; ``left_open`` sources not settled under this law. ``alcohol`` is a status, ``trace`` the word of a ferment.
    ``strength`` is None where none is given [% vol].
    """

    sulphites_mg_per_kg: float | None
    alcohol: str
    trace: str
    strength: float | None
    contains: tuple[tuple[str, str, bool], ...]
    may_contain: tuple[str, ...]
    left_open: frozenset[str]


class IngredientWords(NamedTuple):
    """The words that stand for one ingredient, for questions about any food.

    ``own`` are its names in the book, ``row`` the parts of its row's published name, ``heads`` the names in its statement that have a
    list of their own, ``leaves`` the other names there; ``statement`` is None where there is none, ``negated`` what it says is not in it.
    ``caffeine`` is true where its figure is above nought, ``caffeine_known`` where it has one.
    ``says_too_little`` is true where it may hold anything for all we know: no whole statement and no single commodity.
    """

    own: tuple[str, ...]
    row: tuple[str, ...]
    heads: tuple[str, ...]
    leaves: tuple[str, ...]
    statement: str | None
    negated: tuple[str, ...]
    says_too_little: bool
    caffeine: bool
    caffeine_known: bool


class NameReading(NamedTuple):
    """What the reader makes of a name: (source, words) it finds, and words it says are not in it."""

    negated: tuple[str, ...]
    contains: tuple[tuple[str, str], ...]


class Drink(NamedTuple):
    """One alcoholic ingredient by one way into the dish, with what is left of it in a portion. [g]"""

    path: Path
    ethanol_g: float
    low_g: float
    high_g: float
    heated: bool


class AlcoholStory(NamedTuple):
    """The alcohol of one portion: how much, in which unit, from which drinks, the one most comes from first.

    ``percent_vol`` is the strength of the part of the plate the first of them is in. [ml/100 ml]
    """

    facts: AlcoholFacts
    unit: UnitCount | None
    drinks: tuple[Drink, ...]
    percent_vol: float


class Gap(NamedTuple):
    """An ingredient without a figure, and its share of the ingoing weight."""

    ingredient: str
    share: float


class Portion(NamedTuple):
    """The figures of one portion, unrounded, each in the unit its key ends in, and who has none, the largest share first."""

    sums: Mapping[str, float]
    gaps: Mapping[str, tuple[Gap, ...]]


class BookFacts:
    """A book under one law on one day, for questions at the table."""

    code: str
    groups: tuple[AllergenGroup, ...]
    ingredients: tuple[str, ...]
    own_names: tuple[str, ...]
    preparations: tuple[str, ...]
    dishes: tuple[str, ...]
    menus: Mapping[str, tuple[str, ...]]
    nutrient_words: Mapping[str, str]

    def __init__(self) -> None:
        self._readers: dict[tuple[str, ...] | None, FactRows] = {}
        self._readings: dict[str, NameReading] = {}

    @property
    def facts(self) -> BookFacts:
        """Itself; who worked a book out has its facts under the same name."""
        return self

    # -- what each kind of book has to give ---------------------------------------------------------------------------------

    def sulphite_limit(self) -> tuple[float, bool]:
        """Return the concentration from which sulphites are declared [mg/kg], and whether the limit itself already counts."""
        raise NotImplementedError

    def plate(self, dish: str) -> tuple[Line, ...]:
        """Return the lines of a plate; KeyError where none of that name was laid."""
        raise NotImplementedError

    def ingredient(self, place: int) -> IngredientFacts:
        """Return what is known of an ingredient."""
        raise NotImplementedError

    def words(self, place: int) -> IngredientWords:
        """Return the words that stand for an ingredient."""
        raise NotImplementedError

    def portion(self, dish: str) -> Portion:
        """Return the figures of one portion."""
        raise NotImplementedError

    def line_value(self, line: Line, key: str) -> float:
        """Return one figure of one line. [unit the key ends in]"""
        raise NotImplementedError

    def alcohol(self, dish: str) -> AlcoholStory:
        """Return the alcohol of one portion."""
        raise NotImplementedError

    def name_reading(self, text: str) -> NameReading | None:
        """Return what the reader made of a name, None where it has not been read yet."""
        raise NotImplementedError

    # -- what follows -------------------------------------------------------------------------------------------------------

    def read_name(self, text: str) -> NameReading:
        """Return what the reader of statements makes of a name."""
        known = self._readings.get(text)
        if known is None:
            known = self._readings[text] = self.name_reading(text) or read_now(text)
        return known

    def reader(self, only: tuple[str, ...] | None = None) -> FactRows:
        """Return a reader of some groups of the law by their names, of all of them where none are named."""
        known = self._readers.get(only)
        if known is None:
            known = self._readers[only] = FactRows(self, only)
        return known

    def rows(self, lines: Sequence[Laid], only: tuple[str, ...] | None = None) -> tuple[AllergenRow, ...]:
        """Return a row for each of some groups of the law."""
        return self.reader(only).rows(lines)

    def ways(self, dish: str) -> dict[int, Path]:
        """Return the shortest way to every ingredient of a plate."""
        found: dict[int, Path] = {}
        for line in self.plate(dish):
            for place, path in line.present.items():
                known = found.get(place)
                if known is None or by_length(path) < by_length(known):
                    found[place] = path
        return found


class FactRows(RowReader):
    """Reads what lies on a plate by some groups of the law, from plain facts."""

    __slots__ = ("_concerned", "_facts", "_views", "_wanted")

    def __init__(self, facts: BookFacts, only: Collection[str] | None) -> None:
        self._facts = facts
        self._wanted = tuple(group for group in facts.groups if only is None or group.name in only)
        self._views: dict[int, dict[str, View]] = {}
        self._concerned: frozenset[int] | None = None

    @property
    def wanted(self) -> tuple[AllergenGroup, ...]:
        """The groups looked for, in the order of the law."""
        return self._wanted

    @property
    def limit(self) -> tuple[float, bool]:
        """The concentration from which sulphites are declared [mg/kg], and whether the limit itself already counts."""
        return self._facts.sulphite_limit()

    def sulphites_mg_per_kg(self, place: int) -> float | None:
        """Return the figure of an ingredient, None where it has none. [mg/kg]"""
        return self._facts.ingredient(place).sulphites_mg_per_kg

    def view(self, place: int) -> dict[str, View]:
        """Return what an ingredient means to each of the groups that it concerns."""
        known = self._views.get(place)
        if known is None:
            one = self._facts.ingredient(place)
            freed: Any = True  # which clause frees it, no answer asks
            found = views_of(
                self._wanted,
                load_vocabulary().sources,
                [(source, freed if is_freed else None) for source, _, is_freed in one.contains],
                one.may_contain,
                one.left_open,
            )
            known = self._views[place] = {
                name: View(seen.contains, seen.may_contain, seen.unconfirmed)
                for name, seen in found.items()
                if seen.contains or seen.may_contain or seen.unconfirmed
            }
        return known

    def concerned(self) -> frozenset[int]:
        """Return the ingredients that mean something to one of the groups."""
        if self._concerned is None:
            sulphites = any("sulphite" in group.kinds for group in self._wanted)
            self._concerned = frozenset(
                place
                for place in range(len(self._facts.ingredients))
                if (sulphites and self.sulphites_mg_per_kg(place) is not None) or self.view(place)
            )
        return self._concerned


def read_now(text: str) -> NameReading:
    """Let the reader of statements read a name."""
    from labeller.allergens.reader import read_statement  # noqa: PLC0415 - a book from the cache has been read

    reading = read_statement(text)
    return NameReading(reading.negated, tuple((finding.source, finding.words) for finding in reading.contains))
