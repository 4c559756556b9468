"""Pack the facts of a book into sections of JSON and plain arrays of numbers, as ``facts_packed`` reads them."""

from __future__ import annotations

import json
from array import array
from typing import TYPE_CHECKING, Any

from labeller.declarations.facts_packed import DOUBLES, INTEGERS

if TYPE_CHECKING:
    from labeller.declarations.alcohol_facts import UnitCount
    from labeller.declarations.allergen_rows import Path
    from labeller.declarations.facts import AlcoholStory, BookFacts, Line, NameReading
    from labeller.declarations.facts_of_book import WorkedOut


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
