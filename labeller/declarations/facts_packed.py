"""The facts of a book from the cache: sections of JSON and plain arrays of numbers, each read only when a question asks for it.

What is many (ways over shared equipment, figures of every line) stands in arrays of the machine's own integers and doubles, which
need no reading; the rest is JSON, whose figures come back as the very same doubles.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, Final

from labeller.declarations.alcohol_facts import AlcoholFacts, ThresholdSide, UnitCount
from labeller.declarations.facts import (
    AlcoholStory,
    BookFacts,
    Drink,
    Gap,
    IngredientFacts,
    IngredientWords,
    NameReading,
    Portion,
)
from labeller.jurisdictions.terms import AllergenGroup

if TYPE_CHECKING:
    from collections.abc import Container, Mapping

    from labeller.declarations.allergen_rows import Path
    from labeller.declarations.facts import Line

INTEGERS: Final = "i"
DOUBLES: Final = "d"
_NO_CLAUSE: Any = None  # no answer names the clause of a group or a unit


class _PackedContact:
    """Something that may have passed over shared equipment; its way is read when it is asked for."""

    __slots__ = ("_book", "_equipment", "_path", "ingredient")

    def __init__(self, book: PackedFacts, ingredient: int, equipment: int, path: int) -> None:
        self._book, self.ingredient, self._equipment, self._path = book, ingredient, equipment, path

    @property
    def equipment(self) -> str:
        """The machine."""
        return self._book.names[self._equipment]

    @property
    def path(self) -> Path:
        """The way from this line over the machine."""
        return self._book.path(self._path)


class PackedLine:
    """One line of a plate, from the cache."""

    __slots__ = (
        "_book",
        "_ethanol",
        "_span",
        "caffeine_mg",
        "name",
        "number",
        "optional",
        "present",
        "so2_mg",
        "swaps",
        "weight_g",
    )

    def __init__(self, book: PackedFacts, row: list[Any]) -> None:
        self._book = book
        self.name: str
        self.optional: bool
        self.weight_g: float
        self.so2_mg: float
        self.caffeine_mg: float
        self.number: int
        (
            self.name,
            self.optional,
            self.weight_g,
            self.so2_mg,
            self.caffeine_mg,
            present,
            self._span,
            self.number,
            ethanol,
            swaps,
        ) = row
        steps = iter(present)
        self.present: dict[int, Path] = {place: book.path(path) for place, path in zip(steps, steps, strict=True)}
        self._ethanol: dict[int, float] = dict(ethanol)
        self.swaps: tuple[PackedLine, ...] = tuple(PackedLine(book, swap) for swap in swaps)

    def touching(self, ingredients: Container[int]) -> list[_PackedContact]:
        """Return the contacts with some ingredients, in order."""
        begin, end = self._span
        if begin == end:
            return []
        contacts, book = self._book.contacts, self._book
        places = contacts[begin:end:3].tolist()
        wanted = {place for place in set(places) if place in ingredients}
        if not wanted:
            return []
        return [
            _PackedContact(book, place, contacts[begin + 3 * at + 1], contacts[begin + 3 * at + 2])
            for at, place in enumerate(places)
            if place in wanted
        ]

    def ethanol_g(self, place: int) -> float:
        """Return the ethanol that one alcoholic ingredient leaves in it, by the estimate. [g]"""
        return self._ethanol[place]


class PackedFacts(BookFacts):
    """The facts of a book from the cache; each section is read when a question first asks for it.

    Parameters
    ----------
    sections : mapping
        What `labeller.declarations.facts_packing.packed` gave.
    """

    def __init__(self, sections: Mapping[str, memoryview]) -> None:
        super().__init__()
        self._sections = sections
        core = self._core = json.loads(bytes(sections["core"]))
        self.code = core["code"]
        self.groups = tuple(
            AllergenGroup._make([*(tuple(one) if isinstance(one, list) else one for one in row), _NO_CLAUSE])
            for row in core["groups"]
        )
        self.ingredients = tuple(core["ingredients"])
        self.own_names = tuple(core["own_names"])
        self.preparations = tuple(core["preparations"])
        self.dishes = tuple(core["dishes"])
        self.menus = {name: tuple(dishes) for name, dishes in core["menus"].items()}
        self.nutrient_words = core["nutrient_words"]
        self.names: list[str] = core["names"]
        self.contacts = sections["contacts"].cast(INTEGERS)
        self._path_names = sections["paths"].cast(INTEGERS)
        self._path_begins = sections["path_begins"].cast(INTEGERS)
        self._values = sections["values"].cast(DOUBLES)
        self._sets = [frozenset(one) for one in core["sets"]]
        self._number_of = {dish: at for at, dish in enumerate(self.dishes)}
        self._key_at = {key: at for at, key in enumerate(core["keys"])}
        self._paths: dict[int, Path] = {}
        self._plates: dict[str, tuple[PackedLine, ...]] = {}
        self._ingredients: dict[int, IngredientFacts] = {}
        self._words: dict[str, Any] | None = None
        if len(self._path_begins) != core["path_ends"] + 1:
            raise ValueError("the ways of a book are not whole")

    def path(self, number: int) -> Path:
        """Return a way by its number."""
        known = self._paths.get(number)
        if known is None:
            begin, end = self._path_begins[number], self._path_begins[number + 1]
            names = self.names
            known = self._paths[number] = tuple(names[one] for one in self._path_names[begin:end])
        return known

    def sulphite_limit(self) -> tuple[float, bool]:
        """Return the concentration from which sulphites are declared [mg/kg], and whether the limit itself already counts."""
        value, counts = self._core["limit"]
        return value, counts

    def plate(self, dish: str) -> tuple[PackedLine, ...]:
        """Return the lines of a plate; KeyError where none of that name was laid."""
        known = self._plates.get(dish)
        if known is None:
            rows = self._core["plates"][self._number_of[dish]]
            known = self._plates[dish] = tuple(PackedLine(self, row) for row in rows)
        return known

    def ingredient(self, place: int) -> IngredientFacts:
        """Return what is known of an ingredient."""
        known = self._ingredients.get(place)
        if known is None:
            figure, alcohol, trace, strength, contains, may, left_open = self._core["facts"][place]
            known = self._ingredients[place] = IngredientFacts(
                figure,
                alcohol,
                trace,
                strength,
                tuple((source, words, freed) for source, words, freed in contains),
                tuple(may),
                self._sets[left_open],
            )
        return known

    def words(self, place: int) -> IngredientWords:
        """Return the words that stand for an ingredient."""
        own, row, heads, leaves, statement, negated, *rest = self._all_words()["ingredients"][place]
        return IngredientWords(tuple(own), tuple(row), tuple(heads), tuple(leaves), statement, tuple(negated), *rest)

    def _all_words(self) -> dict[str, Any]:
        if self._words is None:
            self._words = json.loads(bytes(self._sections["words"]))
        return self._words

    def name_reading(self, text: str) -> NameReading | None:
        """Return what the reader made of a name, None where it has not been read yet."""
        found = self._all_words()["texts"].get(text)
        if found is None:
            return None
        negated, contains = found or ((), ())
        return NameReading(tuple(negated), tuple((source, words) for source, words in contains))

    def portion(self, dish: str) -> Portion:
        """Return the figures of one portion."""
        sums, gaps = json.loads(bytes(self._sections[f"portion {self._number_of[dish]}"]))
        return Portion(sums, {key: tuple(Gap(*gap) for gap in gaps.get(key, ())) for key in sums})

    def line_value(self, line: Line, key: str) -> float:
        """Return one figure of one line. [unit the key ends in]"""
        if not isinstance(line, PackedLine):
            raise TypeError("a line of another book")
        return self._values[line.number * len(self._key_at) + self._key_at[key]]

    def alcohol(self, dish: str) -> AlcoholStory:
        """Return the alcohol of one portion."""
        ranges, units, thresholds, unit, drinks, percent_vol = json.loads(
            bytes(self._sections[f"alcohol {self._number_of[dish]}"])
        )
        grams, millilitres, strength, by_volume = (_tuple(one) for one in ranges)
        facts = AlcoholFacts(
            grams,
            millilitres,
            strength,
            by_volume,
            tuple(_counted(one) for one in units),
            tuple(_side(one) for one in thresholds),
        )
        return AlcoholStory(
            facts,
            _counted(unit) if unit is not None else None,
            tuple(Drink(tuple(path), *rest) for path, *rest in drinks),
            percent_vol,
        )


def _tuple(row: list[Any] | None) -> Any:
    return tuple(row) if row is not None else None


def _counted(row: list[Any]) -> UnitCount:
    jurisdiction, name, grams, counts = row
    return UnitCount(jurisdiction, name, grams, _tuple(counts), _NO_CLAUSE)


def _side(row: list[Any]) -> ThresholdSide:
    jurisdiction, key, kind, bound, percent_vol, words, estimate, high = row
    return ThresholdSide(jurisdiction, key, kind, bound, percent_vol, words, estimate, high, _NO_CLAUSE)
