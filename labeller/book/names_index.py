"""Find what a name in a recipe stands for: the book first, then the shelf."""

import json
from functools import cache
from typing import Any

from labeller.book.entries import Target
from labeller.book.yaml_tree import Mapping, node_from_plain
from labeller.foundations.names import exact_key, joined_key, name_key, nearest_names
from labeller.foundations.places import reference_data_folder
from labeller.foundations.plain import dataclass, field

A_SLIP = 0.85  # from where on two spellings count as one name with a slip of the pen (a choice of ours, no source)


@dataclass(frozen=True, slots=True)
class ShelfGood:
    """One plain good of the shelf as compiled: its entry, and the file and line it stands on."""

    name: str
    record: dict[str, Any]
    file: str
    line: int

    def entry(self) -> Mapping:
        """Return the good as an entry of a book."""
        keys = {key: value for key, value in self.record.items() if key not in ("file", "line")}
        node = node_from_plain(keys, self.line)
        return node if isinstance(node, Mapping) else Mapping([], self.line)


@cache
def load_shelf() -> dict[str, ShelfGood]:
    """Return the shelf by every key of every name it answers to; where two goods share one, the closer spelling wins."""
    goods = json.loads((reference_data_folder() / "shelf" / "shelf.json").read_bytes())
    exact: dict[str, ShelfGood] = {}
    loose: dict[str, ShelfGood] = {}
    joined: dict[str, ShelfGood] = {}
    for record in goods:
        good = ShelfGood(record["ingredient"], record, record["file"], record["line"])
        for name in (good.name, *record.get("also", ())):
            exact.setdefault(exact_key(name), good)
            loose.setdefault(name_key(name), good)
            joined.setdefault(joined_key(name), good)
    return {**joined, **loose, **exact}


@cache
def shelf_names() -> list[str]:
    """Return the names of the goods of the shelf, in order."""
    return sorted({good.name for good in load_shelf().values()})


@dataclass(slots=True)
class NameIndex:
    """Every name of the book, and the goods taken from the shelf so far."""

    exact: dict[str, Target] = field(default_factory=dict)
    loose: dict[str, Target] = field(default_factory=dict)
    joined: dict[str, Target] = field(default_factory=dict)
    spelled: list[str] = field(default_factory=list)
    taken_from_shelf: dict[str, ShelfGood] = field(default_factory=dict)
    _found: dict[str, Target | None] = field(default_factory=dict)
    _beginnings: set[str] = field(default_factory=set)

    def add(self, name: str, target: Target) -> Target | None:
        """Enter a name; return what already has it, where the name is taken."""
        loose = name_key(name)
        already = self.loose.get(loose)
        if already is not None:
            return already
        self._found.clear()
        self._beginnings.clear()
        self.loose[loose] = target
        self.exact[exact_key(name)] = target
        self.joined.setdefault(joined_key(name), target)
        self.spelled.append(name)
        return None

    def find(self, name: str) -> Target | None:
        """Return what a name stands for, or None; a line is looked up in many pieces, most of them more than once."""
        if name in self._found:
            return self._found[name]
        if name[:1].isascii() and not self._can_begin(name):
            return None
        found = self._found[name] = self._look_up(name)
        return found

    def _can_begin(self, name: str) -> bool:
        """Tell whether some name begins with the first letter of this one; hardly one begins with a figure, as lines do."""
        if not self._beginnings:
            keys = (*self.exact, *self.loose, *self.joined, *load_shelf())
            self._beginnings.update(key[:1] for key in keys)
        first = name.lstrip()[:1]
        return not first.isascii() or first.lower() in self._beginnings

    def _look_up(self, name: str) -> Target | None:
        target = self.exact.get(exact_key(name)) or self.loose.get(name_key(name))
        if target is None and " " not in name.strip():  # only a name written as one word can have lost its spaces
            target = self.joined.get(joined_key(name))
        return target if target is not None else self.find_bought(name)

    def find_bought(self, name: str) -> Target | None:
        """Return the ingredient a name would stand for if no preparation of the book had it, or None."""
        shelf = load_shelf()
        good = shelf.get(exact_key(name)) or shelf.get(name_key(name))
        if good is None and " " not in name.strip():
            good = shelf.get(joined_key(name))
        if good is None:
            return None
        own = self.exact.get(exact_key(good.name)) or self.loose.get(name_key(good.name))
        return own if own is not None and own.kind == "ingredient" else Target("ingredient", good.name)

    def take(self, target: Target) -> None:
        """Note that a line really takes what a name stands for; a good of the shelf is then part of the book.

        The book's own entry of that name always wins.
        """
        if target.kind != "ingredient" or self.exact.get(exact_key(target.entry)) == target:
            return
        good = load_shelf().get(exact_key(target.entry))
        if good is not None:
            self.taken_from_shelf[good.name] = good

    def shelf_measures(self, target: Target) -> list[str]:
        """Return the names of the measures a good of the shelf has of its own."""
        if target.kind != "ingredient" or self.exact.get(exact_key(target.entry)) == target:
            return []
        good = load_shelf().get(exact_key(target.entry))
        return list(good.record.get("measures", ())) if good is not None else []

    def nearest(self, name: str) -> list[str]:
        """Return names of the book and the shelf most like a name: a slip of the pen alone, else up to three.

        The book's own come first unless only the shelf has one that comes as near as a slip of the pen.
        """
        own, shelf = nearest_names(name, self.spelled), nearest_names(name, shelf_names(), at_least=0.72)
        for best in (own[:1], shelf[:1]):
            if nearest_names(name, best, at_least=A_SLIP):
                return best
        return own or shelf
