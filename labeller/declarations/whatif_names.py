"""What a wish to change a dish names: things inside the dish, and what may take their place."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from labeller.book.amounts import AmountReader
from labeller.book.entries import Book, Dish, Ingredient, Line, Measure, Preparation, Target
from labeller.book.fields import Notes
from labeller.book.ingredient_entry import read_ingredient
from labeller.book.names_index import NameIndex
from labeller.book.raw_entries import RawEntry
from labeller.composition.table import PREFIX, Table
from labeller.foundations.faults import Origin
from labeller.foundations.names import exact_key, fold_text, name_key, nearest_names
from labeller.foundations.quantities import Quantity, parse_quantity
from labeller.kitchen.working_out import Workings

PLATE = ""
_CODE = re.compile(rf"\b{re.escape(PREFIX)}\s*(\d{{5}})\b", re.IGNORECASE)
_BY_RULE = re.compile(r"\bto (?:taste|cover)\b", re.IGNORECASE)


class WhatIfError(LookupError):
    """A wish that cannot be tried; the message says what is wrong and the mend."""


@dataclass(frozen=True, slots=True)
class PutIn:
    """What is to be put in: ``line`` with an amount of its own, or None where it takes the weight of what it stands in for."""

    name: str
    target: Target
    line: Line | None = None


@dataclass(slots=True)
class Inside:
    """Everything a dish holds as written: its plate, and every preparation that leads to it."""

    book: Book
    dish: Dish
    preparations: tuple[Preparation, ...] = field(init=False)
    names: dict[Target, str] = field(init=False)

    def __post_init__(self) -> None:
        """Walk from the plate down; swaps stand out, as they do in a declaration."""
        found: dict[str, Preparation] = {}
        self.names = {}
        waiting: list[Target] = []
        for line in self.dish.plate:
            waiting.extend(self._see(line.target, line.name))
        while waiting:
            target = waiting.pop(0)
            if target.kind != "given" or target.entry in found:
                continue
            preparation = found[target.entry] = self.book.preparations[target.entry]
            for known, name in taken_by(preparation):
                waiting.extend(self._see(known, name))
        self.preparations = tuple(found.values())

    def _see(self, target: Target | None, name: str) -> list[Target]:
        if target is None:
            return []
        self.names.setdefault(target, target.given or target.entry or name)
        return [target]


def taken_by(preparation: Preparation) -> Iterator[tuple[Target | None, str]]:
    """Yield everything a preparation takes: its lines, what joins later, and what it fries in."""
    for line in preparation.takes:
        yield line.target, line.name
    for step in preparation.method:
        for line in step.lines:
            yield line.target, line.name
        if step.oil_target is not None:
            yield step.oil_target, step.oil


class Names:
    """The names of one book, with goods of the shelf and rows of the table that a wish brings in."""

    def __init__(self, workings: Workings) -> None:
        self.book, self.table = workings.book, workings.scale.table
        self.index = _index_of(self.book)
        self.rows: dict[str, Ingredient] = {}
        self.reader = AmountReader(
            self.index,
            Notes(),
            self.book.kitchen.jurisdiction,
            self.book.kitchen.measures,
            _measures_of(self.book),
            workings.scale.household.trade_pieces,
        )

    def old(self, name: str, inside: Inside, flag: str) -> Target:
        """Return the thing inside a dish that a name means: by case, accents, or a part that fits one only.

        Raises
        ------
        WhatIfError
            Where nothing in the dish is meant, or several things are.
        """
        shown = " ".join(name.split())
        target = self.index.find(shown) if shown else None
        if target in inside.names:
            return target
        if target is not None and target.kind == "given" and not target.given:
            parts = [one for one in inside.names if one.entry == target.entry and one.given]
            if len(parts) == 1:
                return parts[0]
        wanted = fold_text(shown)
        fits = [one for one, known in inside.names.items() if wanted and wanted in fold_text(known)]
        if len(fits) == 1 and target is None:
            return fits[0]
        known = sorted(inside.names.values(), key=fold_text)
        if len(fits) > 1:
            several = ", ".join(repr(inside.names[one]) for one in fits[:8])
            raise WhatIfError(f"{flag}: '{shown}' fits more than one: {several}. Write one of them in full.")
        near = nearest_names(shown, known)
        mend = (
            f"Did you mean {' or '.join(repr(one) for one in near)}?"
            if near
            else f"In it are: {', '.join(known[:12])}{' and more' if len(known) > 12 else ''}."
        )
        raise WhatIfError(f"{flag}: '{shown}' is not in '{inside.dish.name}'. {mend}")

    def new(self, text: str, flag: str, *, amount_needed: bool = False) -> PutIn:
        """Return what is to be put in: a name of the book or the shelf, a row of the table by its code, or a line with an amount.

        Raises
        ------
        WhatIfError
            Where nothing of that name is known, or the amount cannot be read.
        """
        shown = " ".join(text.split())
        for found in _CODE.finditer(shown):
            self._enter_row(found[1], flag)
        shown = _CODE.sub(lambda found: f"{PREFIX}{found[1]}", shown)
        target = self.index.find(shown) if shown else None
        if target is not None and not amount_needed:
            self._refuse_several(target, shown, flag)
            self.index.take(target)
            return PutIn(self._spelled(target, shown), target)
        if target is None and not _begins_with_amount(shown) and not _BY_RULE.search(shown):
            raise WhatIfError(f"{flag}: {self._unknown(shown)}")
        read = self.reader.read_amount(shown, Origin("."), "plate")
        if not isinstance(read, Line):
            raise WhatIfError(f"{flag}: {' '.join(read)}")
        if fold_text(read.remark) in ("removed", "optional") or read.target is None:
            raise WhatIfError(f"{flag}: '{shown}' says more than an amount. Write the amount and the name alone.")
        return PutIn(self._spelled(read.target, read.name), read.target, read)

    def brought(self) -> dict[str, Ingredient]:
        """Return the ingredients that wishes brought in and the book does not hold."""
        found = dict(self.rows)
        equipment = {name_key(one.name): one.name for one in self.book.kitchen.shared_equipment}
        for name, good in self.index.taken_from_shelf.items():
            if name not in self.book.ingredients:
                entry = RawEntry("ingredient", good.name, good.entry(), f"shelf/{good.file}", good.line)
                exists = lambda code: self.table.row_index(code) is not None  # noqa: E731 - a callback of one line
                found[name] = read_ingredient(entry, Notes(), equipment, exists, from_shelf=True)
        return found

    def _spelled(self, target: Target, shown: str) -> str:
        return (target.given or target.entry) if target.entry in self.rows else shown

    def _refuse_several(self, target: Target, shown: str, flag: str) -> None:
        if target.kind == "given" and not target.given:
            parts = [repr(one.name) for one in self.book.preparations[target.entry].gives]
            raise WhatIfError(f"{flag}: '{shown}' gives {' and '.join(parts)}. Write one of these.")

    def _enter_row(self, code: str, flag: str) -> None:
        row = self.table.row_index(f"{PREFIX}{code}")
        if row is None:
            raise WhatIfError(
                f"{flag}: the reference table has no row '{PREFIX}{code}'. Look for one with 'labeller foods' and its name."
            )
        name = _row_name(self.table, row, self.book, code)
        self.rows[name] = Ingredient(name, Origin(f"{PREFIX}{code}"), composition=code)
        self.index.add(f"{PREFIX}{code}", Target("ingredient", name))

    def _unknown(self, shown: str) -> str:
        near = self.reader.nearest(shown)
        mend = f"Did you mean {' or '.join(repr(one) for one in near)}? " if near else ""
        return (
            f"'{shown}' is not an ingredient or preparation of this book, nor on the shelf. {mend}"
            f"Bring it in from its pack with 'labeller ingredient', or look for a row of the reference table with "
            f"'labeller foods {shown}' and write its code, as '{PREFIX}01053'."
        )


def _begins_with_amount(shown: str) -> bool:
    words = ("half", "all", "the whole", "whole", "a", "an", "one", "two", "three")
    return (shown[:1].isdigit() or not isinstance(parse_quantity(shown), str)) or any(
        fold_text(shown).startswith(f"{one} ") for one in words
    )


def _row_name(table: Table, row: int, book: Book, code: str) -> str:
    name = table.name(row)
    taken = any(exact_key(name) == exact_key(one) for one in (*book.ingredients, *book.preparations))
    return f"{name} ({PREFIX}{code})" if taken else name


def _index_of(book: Book) -> NameIndex:
    """Enter the names of a book that has no faults, as its reader did."""
    index = NameIndex()
    for one in book.ingredients.values():
        if not one.from_shelf:
            for name in (one.name, *one.also):
                index.add(name, Target("ingredient", one.name))
    for preparation in book.preparations.values():
        itself = Target("given", preparation.name, "")
        for given in preparation.gives:
            target = Target("given", preparation.name, given.name)
            own = name_key(given.name) == name_key(preparation.name)
            itself = target if own or len(preparation.gives) == 1 else itself
            index.add(given.name, target)
        for name in (preparation.name, *preparation.also):
            index.add(name, itself)
    return index


def _measures_of(book: Book) -> dict[Target, dict[str, Measure]]:
    found = {Target("ingredient", one.name): one.measures for one in book.ingredients.values() if one.measures}
    for preparation in book.preparations.values():
        for given in preparation.gives:
            own = {**preparation.measures, **given.measures}
            if own:
                found[Target("given", preparation.name, given.name)] = own
    return found


def keys_of(line: Line, ingredients: dict[str, Ingredient]) -> frozenset[str]:
    """Return the keys by which a method may call a line."""
    names: Iterable[str] = (line.name,)
    if line.target is not None:
        names = (*names, line.target.given or line.target.entry)
        entry = ingredients.get(line.target.entry) if line.target.kind == "ingredient" else None
        names = (*names, *(entry.also if entry is not None else ()))
    return frozenset(name_key(one) for one in names)


def standing_in(old: Line, new: PutIn, weight: Quantity | None) -> Line:
    """Return the line that takes the place of another, with its remark of being optional or taken out again.

    Parameters
    ----------
    weight : Quantity or None
        What the old line weighs, for a new one without an amount; None where an amount goes by rule, such as to taste. [g]
    """
    rest = tuple(one for one in old.swaps if one.target != new.target)
    if new.line is not None:
        line = replace(new.line, origin=old.origin)
    elif weight is None:
        line = replace(old, text=f"{old.unit} {new.name}", name=new.name, target=new.target)
    else:
        text = f"{'about ' if weight.rough else ''}{weight.estimate:.4g} g {new.name}"
        line = Line(text, old.origin, new.name, weight, "mass", "g", new.target)
    return replace(line, removed=old.removed, optional=old.optional, swaps=rest)
