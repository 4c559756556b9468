"""What the book a recipe comes into already knows: names, measures, and how its jurisdiction measures a cup."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

from labeller.book.entries import Book, Target
from labeller.book.names_index import NameIndex
from labeller.composition.household import load_household
from labeller.foundations.names import exact_key, fold_text, joined_key, name_key
from labeller.foundations.places import reference_data_folder
from labeller.foundations.units import millilitres, parse_unit


@dataclass(slots=True)
class KitchenWords:
    """Names and measures at hand while a file is read.

    ``find`` tells 'ingredient' or 'given' for a name the book or the shelf knows, '' otherwise.
    """

    jurisdiction: str
    find: Callable[[str], str]
    measures: frozenset[str]
    entry_measures: dict[Target, frozenset[str]]
    target: Callable[[str], Target | None]

    def has_measure(self, word: str, name: str) -> bool:
        """Tell whether a word is a measure of the house, or of what ``name`` stands for."""
        key = name_key(word)
        if key in self.measures:
            return True
        target = self.target(name)
        return target is not None and key in self.entry_measures.get(target, frozenset())


def words_of_book(book: Book) -> KitchenWords:
    """Return the words of a book that has been read, as far as it could be."""
    index = NameIndex()
    index.exact = dict(book.targets)
    index.loose = dict(book.targets)
    for name in (*book.ingredients, *book.preparations):
        target = index.find(name)
        if target is not None:
            index.joined.setdefault(joined_key(name), target)

    def find(name: str) -> str:
        if not name or len(name) > 200:
            return ""
        target = index.exact.get(exact_key(name)) or index.find(name)
        return target.kind if target is not None else ""

    entry_measures = {
        Target("ingredient", one.name): frozenset(name_key(word) for word in one.measures)
        for one in book.ingredients.values()
        if one.measures
    }
    house = frozenset(name_key(word) for word in book.kitchen.measures)
    return KitchenWords(book.kitchen.jurisdiction, find, house, entry_measures, index.find)


@cache
def _published() -> dict[str, Any]:
    found: dict[str, Any] = json.loads((reference_data_folder() / "measures" / "measures.json").read_bytes())
    return found


def volume_of(unit: str, jurisdiction: str) -> tuple[float, str]:
    """Return what a cup, pint, fluid ounce, quart or gallon holds in a jurisdiction, and the ground. [ml]

    A quart is two pints and a gallon eight, in the US customary and the imperial system alike.
    """
    pints = {"quart": 2.0, "gallon": 8.0}.get(unit)
    base = "pint" if pints else unit
    ground = str(
        _published()["units_ml"]
        .get(jurisdiction, {})
        .get(base, {})
        .get("ground", "metric measure, common practice, no source")
    )
    return millilitres(base, jurisdiction) * (pints or 1.0), ground


def butter_stick() -> tuple[float, str] | None:
    """Return what a stick of butter weighs, and the ground. [g]"""
    found = load_household().piece(("butter",), "stick")
    return (found.value, found.ground) if found else None


def is_trade_piece(word: str) -> bool:
    """Tell whether a word counts pieces of something: leaf, clove, sprig."""
    return name_key(fold_text(word)) in load_household().trade_pieces


def is_contract_unit(word: str) -> bool:
    """Tell whether the book takes a word as a unit."""
    return parse_unit(fold_text(word)) is not None
