"""What if a dish were made otherwise: work the whole book out again with the change, and hold both declarations side by side."""

from dataclasses import dataclass, replace
from typing import Any

from labeller.book.entries import Book, Preparation, Target
from labeller.declarations.allergen_rows import CONTAINS, UNCONFIRMED
from labeller.declarations.as_json import declaration_as_json
from labeller.declarations.comparing import Danger, Difference, compare_declarations
from labeller.declarations.comparing_states import State
from labeller.declarations.declaring import Declarer
from labeller.declarations.whatif_lines import Place, Rewriter, Wish, WishKind
from labeller.declarations.whatif_names import PLATE, Inside, Names, WhatIfError, taken_by
from labeller.declarations.whatif_working import weight_of, work_out_changed
from labeller.foundations.names import name_key

__all__ = ["Asked", "WhatIf", "WhatIfError", "what_if"]


@dataclass(frozen=True, slots=True)
class Asked:
    """A change in the cook's words: OLD=NEW, a name to leave off, or an amount line to add."""

    kind: WishKind
    text: str

    @property
    def flag(self) -> str:
        """The option it was asked with."""
        return f"--{self.kind.replace(' ', '-')}"


@dataclass(frozen=True, slots=True)
class Otherwise:
    """Another dish that would change with it."""

    name: str
    differences: tuple[Difference, ...]

    def as_json(self) -> dict[str, Any]:
        """Return it as plain values."""
        return {"name": self.name, "kind": "dish", "differences": [one.as_json() for one in self.differences]}


@dataclass(frozen=True, slots=True)
class WhatIf:
    """A dish before and after a change that nobody has made.

    ``before`` and ``after`` are declarations as the contract's JSON, ``differences`` lie between them, the most dangerous first;
    ``notes`` say what the figures after rest on.
    """

    dish: str
    before: dict[str, Any]
    after: dict[str, Any]
    differences: tuple[Difference, ...]
    also_changes: tuple[Otherwise, ...]
    places: tuple[tuple[Wish, Place], ...]
    notes: tuple[str, ...]

    @property
    def cannot_vouch(self) -> tuple[str, ...]:
        """Return what could be vouched for before and cannot be after: groups, alcohol, figures; of every dish that changes."""
        every = [*self.differences, *(one for dish in self.also_changes for one in dish.differences)]
        return tuple(dict.fromkeys(one.about for one in every if _lost(one)))

    def as_json(self) -> dict[str, Any]:
        """Return it as plain values."""
        return {
            "dish": self.dish,
            "swaps": self._swaps(),
            "before": self.before,
            "after": self.after,
            "differences": [one.as_json() for one in self.differences],
            "also_changes": [one.as_json() for one in self.also_changes],
            "cannot_vouch": list(self.cannot_vouch),
            "notes": list(self.notes),
            "book_changed": False,
        }

    def _swaps(self) -> list[dict[str, Any]]:
        found: dict[tuple[str, str], dict[str, Any]] = {}
        for wish, place in self.places:
            one = found.setdefault((wish.kind, wish.words), {"kind": wish.kind, "asked": wish.words, "places": []})
            if wish.old is not None:
                one["old"] = wish.old.given or wish.old.entry
            if wish.new is not None:
                one["new"] = wish.new.target.given or wish.new.target.entry
            one["places"].append(place.as_json())
        return list(found.values())


def _lost(one: Difference) -> bool:
    if one.danger == Danger.FIGURE_LOST:
        return True
    return one.change is not None and _vouched(one.change.before) and not _vouched(one.change.after)


def _vouched(state: State) -> bool:
    return state.status == CONTAINS or not (state.unconfirmed or state.status == UNCONFIRMED)


def what_if(
    declarer: Declarer,
    dish: str,
    asked: list[Asked],
    *,
    inside: str | None = None,
    pack_carbohydrate_with_fibre: bool,
) -> WhatIf:
    """Try changes on a dish.

    Parameters
    ----------
    dish : str
        A dish as spelled in the book.
    inside : str, optional
        Change only what stands in this preparation, or only the plate for 'plate'.
    pack_carbohydrate_with_fibre : bool
        How the law of the book's own jurisdiction defines carbohydrate on a pack.

    Raises
    ------
    WhatIfError
        Where a name is not known, the change makes something need itself, or the recipe cannot be worked out with it.

    Notes
    -----
    A change inside a preparation changes that preparation for every dish, and what shares equipment with it.
    """
    workings = declarer.workings
    names, within = Names(workings), Inside(workings.book, workings.book.dishes[dish])
    where = _where(inside, within)
    wishes = tuple(_wish(names, within, one, where) for one in asked)
    _refuse_twice(wishes)
    rewriter = Rewriter(wishes, workings.book.ingredients, lambda line: weight_of(workings, line))
    new_dish = rewriter.dish(within.dish)
    written = {one.name: rewriter.preparation(one) for one in within.preparations}
    _refuse_misses(wishes, rewriter.places, within)
    changed = {place.inside for _, place in rewriter.places} - {PLATE}
    written = {name: one for name, one in written.items() if name in changed}
    book = replace(
        workings.book,
        ingredients=dict(sorted({**workings.book.ingredients, **names.brought()}.items())),
        dishes={**workings.book.dishes, dish: new_dish},
        preparations={**workings.book.preparations, **written},
    )
    _refuse_cycles(book, written)
    worked, notes = work_out_changed(
        workings, book, written, pack_carbohydrate_with_fibre=pack_carbohydrate_with_fibre
    )
    after = Declarer(worked, declarer.law)
    first = declaration_as_json(declarer.dish(dish), declarer)
    second = declaration_as_json(after.dish(dish), after)
    return WhatIf(
        dish,
        first,
        second,
        compare_declarations(first, second),
        _also_changes(declarer, after, dish),
        tuple(rewriter.places),
        notes,
    )


def _also_changes(before: Declarer, after: Declarer, dish: str) -> tuple[Otherwise, ...]:
    """Return the other dishes that would not be declared the same."""
    found: list[Otherwise] = []
    for name in before.workings.plates:
        if name == dish or name not in after.workings.plates:
            continue
        differences = compare_declarations(
            declaration_as_json(before.dish(name)), declaration_as_json(after.dish(name))
        )
        if differences:
            found.append(Otherwise(name, differences))
    return tuple(found)


def _where(inside: str | None, within: Inside) -> str | None:
    if inside is None:
        return None
    if name_key(inside) == name_key("plate"):
        return PLATE
    for one in within.preparations:
        if name_key(inside) in {name_key(name) for name in (one.name, *one.also, *(part.name for part in one.gives))}:
            return one.name
    known = ", ".join(repr(one.name) for one in within.preparations) or "none"
    raise WhatIfError(
        f"--inside: '{inside}' is not a preparation in '{within.dish.name}'. Write 'plate', or one of: {known}."
    )


def _wish(names: Names, within: Inside, asked: Asked, where: str | None) -> Wish:
    if asked.kind == "add":
        return Wish("add", None, names.new(asked.text, asked.flag, amount_needed=True), asked.text, where)
    old, new_text = asked.text, ""
    if asked.kind == "swap":
        old, sign, new_text = asked.text.partition("=")
        if not sign or not old.strip() or not new_text.strip():
            raise WhatIfError(f"--swap: '{asked.text}' is not OLD=NEW. Write --swap \"double cream=oat cream\".")
    target = names.old(old, within, asked.flag)
    new = names.new(new_text, asked.flag) if asked.kind == "swap" else None
    if new is not None and new.target == target and new.line is None:
        raise WhatIfError(
            f"--swap: '{asked.text}' puts the same thing in its own place. Write another name or amount."
        )
    return Wish(asked.kind, target, new, asked.text, where)


def _refuse_twice(wishes: tuple[Wish, ...]) -> None:
    seen: dict[Target, str] = {}
    for wish in wishes:
        if wish.old is None:
            continue
        if wish.old in seen:
            raise WhatIfError(
                f"'{wish.old.given or wish.old.entry}' is changed twice: by '{seen[wish.old]}' and by '{wish.words}'. Keep one of them."
            )
        seen[wish.old] = wish.words


def _refuse_misses(wishes: tuple[Wish, ...], places: list[tuple[Wish, Place]], within: Inside) -> None:
    """Refuse a wish that touches no line, and an amount for what stands in several."""
    for wish in wishes:
        lines = [place for one, place in places if one is wish]
        name = (wish.old.given or wish.old.entry) if wish.old is not None else ""
        if not lines:
            where = f"'{wish.inside}'" if wish.inside else "the plate"
            raise WhatIfError(f"--inside: '{name}' is not in {where} of '{within.dish.name}'. Leave --inside out.")
        if wish.kind == "swap" and wish.new is not None and wish.new.line is not None and len(lines) > 1:
            stands = "; ".join(f"{place.inside or 'plate'}: {place.before}" for place in lines)
            raise WhatIfError(
                f"--swap: '{name}' stands in {len(lines)} lines ({stands}), and '{wish.new.line.text}' would stand in each. "
                "Write the name without an amount, or say which with --inside."
            )


def _refuse_cycles(book: Book, written: dict[str, Preparation]) -> None:
    """Refuse a change by which a preparation would need itself, and show the way round."""
    for start in written:
        stack: list[tuple[str, ...]] = [(start,)]
        seen: set[str] = set()
        while stack:
            path = stack.pop()
            for target, _ in taken_by(book.preparations[path[-1]]):
                if target is None or target.kind != "given":
                    continue
                if target.entry == start:
                    way = " > ".join((*path, start))
                    raise WhatIfError(
                        f"Then '{start}' would need itself: {way}. Choose something that is not made of '{start}'."
                    )
                if target.entry not in seen:
                    seen.add(target.entry)
                    stack.append((*path, target.entry))
