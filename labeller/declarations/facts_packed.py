"""The facts of a book as sections of JSON and plain arrays of numbers, and back again, each only when a question asks for it.

What is many (ways over shared equipment, figures of every line) stands in arrays of the machine's own integers and doubles, which
need no reading; the rest is JSON, whose figures come back as the very same doubles.
"""

from __future__ import annotations

import json
from array import array
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
    from labeller.declarations.facts_of_book import WorkedOut

INTEGERS: Final = "i"
DOUBLES: Final = "d"
_NO_CLAUSE: Any = None  # no answer names the clause of a group or a unit


def packed(facts: WorkedOut) -> dict[str, bytes]:
    """Return everything a question may need of a book, by section.

    Raises
    ------
    Exception
        Whatever working a fact out raises: then nothing can be kept, and each question is worked out anew.
    """
    packer = _Packer(facts)
    plates = [[packer.line(line) for line in facts.plate(dish)] for dish in facts.dishes]
    places = range(len(facts.ingredients))
    core = {
        "code": facts.code,
        "groups": [list(group[:-1]) for group in facts.groups],
        "limit": _limit(facts),
        "ingredients": facts.ingredients,
        "own_names": facts.own_names,
        "preparations": facts.preparations,
        "dishes": facts.dishes,
        "menus": facts.menus,
        "nutrient_words": dict(facts.nutrient_words),
        "facts": [packer.ingredient(place) for place in places],
        "plates": plates,
        "names": list(packer.names),
        "sets": [sorted(one) for one in packer.sets],
        "keys": packer.keys,
        "path_ends": len(packer.path_begins) - 1,
    }
    words = [facts.words(place) for place in places]
    texts = dict.fromkeys(text for one in words for text in (*one.own, *one.row, *one.heads, *one.leaves))
    texts.update(dict.fromkeys(said for place in places for _, said, _ in facts.ingredient(place).contains))
    texts.update(dict.fromkeys((*packer.names, *facts.preparations)))
    sections = {
        "core": _json(core),
        "words": _json({"ingredients": words, "texts": {text: _reading(facts.read_name(text)) for text in texts}}),
        "contacts": packer.contacts.tobytes(),
        "paths": packer.path_names.tobytes(),
        "path_begins": packer.path_begins.tobytes(),
        "values": packer.values.tobytes(),
    }
    for at, dish in enumerate(facts.dishes):
        portion = facts.portion(dish)
        sections[f"portion {at}"] = _json([portion.sums, {key: gaps for key, gaps in portion.gaps.items() if gaps}])
        sections[f"alcohol {at}"] = _json(_story(facts.alcohol(dish)))
    return sections


def _json(value: object) -> bytes:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False).encode("utf-8")


def _limit(facts: BookFacts) -> list[Any] | None:
    return list(facts.sulphite_limit()) if any("sulphite" in group.kinds for group in facts.groups) else None


def _reading(reading: NameReading) -> list[Any] | int:
    return [reading.negated, reading.contains] if reading.negated or reading.contains else 0


def _story(story: AlcoholStory) -> list[Any]:
    facts, unit = story.facts, story.unit
    return [
        [facts.ethanol_g, facts.ethanol_ml, facts.strength_percent_vol, facts.by_volume_percent],
        [_unit(one) for one in facts.units],
        [
            [one.jurisdiction, one.key, one.kind, one.bound, one.percent_vol, one.words, one.estimate, one.high]
            for one in facts.thresholds
        ],
        _unit(unit) if unit is not None else None,
        story.drinks,
        story.percent_vol,
    ]


def _unit(unit: UnitCount) -> list[Any]:
    return [unit.jurisdiction, unit.name, unit.grams, unit.counts]


class _Packer:
    """Gathers names, ways and contacts, each kept once."""

    def __init__(self, facts: WorkedOut) -> None:
        self.facts = facts
        self.names: dict[str, int] = {}
        self.sets: dict[frozenset[str], int] = {}
        self.path_names, self.path_begins = array(INTEGERS), array(INTEGERS, [0])
        self.contacts, self.values = array(INTEGERS), array(DOUBLES)
        self.keys: list[str] = []
        self._paths: dict[Path, int] = {}
        self._lists: dict[tuple[int, ...], tuple[int, int]] = {}
        self._lines = 0

    def name(self, name: str) -> int:
        return self.names.setdefault(name, len(self.names))

    def path(self, path: Path) -> int:
        known = self._paths.get(path)
        if known is None:
            known = self._paths[path] = len(self._paths)
            self.path_names.extend(self.name(one) for one in path)
            self.path_begins.append(len(self.path_names))
        return known

    def ingredient(self, place: int) -> list[Any]:
        one = self.facts.ingredient(place)
        return [*one[:-1], self.sets.setdefault(one.left_open, len(self.sets))]

    def line(self, line: Line) -> list[Any]:
        facts = self.facts
        everything = range(len(facts.ingredients))
        touched: list[int] = []
        for one in line.touching(everything):
            touched.extend((one.ingredient, self.name(one.equipment), self.path(one.path)))
        key = tuple(touched)
        span = self._lists.get(key)
        if span is None:
            begin = len(self.contacts)
            self.contacts.extend(touched)
            span = self._lists[key] = (begin, len(self.contacts))
        values = facts.line_values(line)
        self.keys = self.keys or list(values)
        if list(values) != self.keys:
            raise ValueError("lines of one book have different figures")
        number = self._lines
        self._lines += 1
        self.values.extend(values.values())
        return [
            line.name,
            line.optional,
            line.weight_g,
            line.so2_mg,
            line.caffeine_mg,
            [part for place, path in line.present.items() for part in (place, self.path(path))],
            span,
            number,
            [(p, line.ethanol_g(p)) for p in line.present if facts.ingredient(p).alcohol == "contains"],
            [self.line(swap) for swap in line.swaps],
        ]


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
        What ``packed`` gave.
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
