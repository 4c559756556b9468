"""Write a recipe again with a line replaced, left off or added: entries in memory, never the text of the book."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Literal

from labeller.book.entries import Dish, Ingredient, Line, Preparation, Step, Target
from labeller.declarations.whatif_names import PLATE, PutIn, WhatIfError, keys_of, standing_in
from labeller.foundations.names import name_key
from labeller.foundations.quantities import Quantity

WishKind = Literal["swap", "leave off", "add"]


@dataclass(frozen=True, slots=True)
class Wish:
    """One change that is wished for, names resolved. ``inside`` limits it to one preparation, '' to the plate; None does not."""

    kind: WishKind
    old: Target | None
    new: PutIn | None
    words: str
    inside: str | None = None


@dataclass(frozen=True, slots=True)
class Place:
    """One line that changes: in which preparation ('' for the plate), what stood there, what stands there then ('' for nothing)."""

    inside: str
    before: str
    after: str

    def as_json(self) -> dict[str, str]:
        """Return it as plain values; the plate is called so."""
        return {"in": self.inside or "plate", "before": self.before, "after": self.after}


@dataclass(slots=True)
class Rewriter:
    """Writes entries again; ``weigh`` tells what a line of the book weighs, None for one that goes by rule."""

    wishes: tuple[Wish, ...]
    ingredients: dict[str, Ingredient]
    weigh: Callable[[Line], Quantity | None]
    places: list[tuple[Wish, Place]] = field(default_factory=list)

    def dish(self, dish: Dish) -> Dish:
        """Return a dish with its plate written again."""
        lines = self._lines(dish.plate, PLATE, {})
        lines += tuple(
            wish.new.line
            for wish in self.wishes
            if wish.kind == "add" and not wish.inside and wish.new is not None and wish.new.line is not None
        )
        self._note_added(PLATE)
        if not lines:
            raise WhatIfError(f"Then nothing is left on the plate of '{dish.name}'.")
        return replace(dish, plate=lines)

    def preparation(self, preparation: Preparation) -> Preparation:
        """Return a preparation written again; what its method calls by name follows the line."""
        name = preparation.name
        renamed: dict[str, str] = {}
        takes = self._lines(preparation.takes, name, renamed)
        takes += tuple(
            wish.new.line
            for wish in self.wishes
            if wish.kind == "add" and wish.inside == name and wish.new is not None and wish.new.line is not None
        )
        self._note_added(name)
        steps: list[Step] = []
        for step in preparation.method:
            kept = self._step(step, name, renamed, after_dropped=bool(steps) and steps[-1].kind == "")
            steps.append(kept if kept is not None else replace(step, kind=""))
        method = tuple(_renamed(one, renamed, name) for one in steps if one.kind)
        if not takes and not any(step.lines for step in method):
            raise WhatIfError(f"Then nothing is left of '{name}'. Leave off '{name}' as a whole instead.")
        return replace(preparation, takes=takes, method=tuple(one for one in method if one.kind))

    def _note_added(self, inside: str) -> None:
        self.places.extend(
            (wish, Place(inside, "", wish.new.line.text))
            for wish in self.wishes
            if wish.kind == "add" and (wish.inside or PLATE) == inside and wish.new is not None and wish.new.line
        )

    def _lines(self, lines: tuple[Line, ...], inside: str, renamed: dict[str, str]) -> tuple[Line, ...]:
        found: list[Line] = []
        for line in lines:
            wish = self._wish_of(line.target, inside)
            if wish is None:
                found.append(line)
                continue
            new = None
            if wish.new is not None:
                new = standing_in(line, wish.new, None if wish.new.line is not None else self.weigh(line))
                found.append(new)
            renamed.update(dict.fromkeys(keys_of(line, self.ingredients), new.name if new is not None else ""))
            self.places.append((wish, Place(inside, line.text, new.text if new is not None else "")))
        return tuple(found)

    def _wish_of(self, target: Target | None, inside: str) -> Wish | None:
        for wish in self.wishes:
            if wish.old is not None and wish.old == target and wish.inside in (None, inside):
                return wish
        return None

    def _step(self, step: Step, inside: str, renamed: dict[str, str], *, after_dropped: bool) -> Step | None:
        """Return a step with its own lines written again, or None where it brought nothing but what is left off."""
        if step.kind == "heat" and step.how == "stir in" and not step.what and after_dropped:
            return None
        lines = self._lines(step.lines, inside, renamed)
        if step.lines and not lines:
            return None
        wish = self._wish_of(step.oil_target, inside) if step.oil_target is not None else None
        if wish is None:
            return replace(step, lines=lines)
        if wish.new is None:
            raise WhatIfError(f"'{inside}' fries in '{step.oil}', which cannot be left off. Swap it for another fat.")
        if wish.new.line is not None:
            raise WhatIfError(
                f"'{inside}' takes up '{step.oil}' as it fries, by its method. Write '{wish.new.name}' without an amount."
            )
        self.places.append((wish, Place(inside, f"fried in {step.oil}", f"fried in {wish.new.name}")))
        return replace(step, lines=lines, oil=wish.new.name, oil_target=wish.new.target)


def _renamed(step: Step, renamed: dict[str, str], inside: str) -> Step:
    """Let a step call lines by their new names; one that was about nothing but what is left off goes with it."""
    if not renamed:
        return step
    what = tuple(renamed.get(name_key(one), one) for one in step.what)
    solids = tuple(renamed.get(name_key(one), one) for one in step.solids)
    kept_what, kept_solids = tuple(one for one in what if one), tuple(one for one in solids if one)
    if step.solids and not kept_solids:
        raise WhatIfError(
            f"'{inside}' steeps or strains '{', '.join(step.solids)}', and nothing would be left to. Swap it, or leave off '{inside}'."
        )
    if step.what and not kept_what:
        return replace(step, kind="")
    return replace(step, what=tuple(dict.fromkeys(kept_what)), solids=tuple(dict.fromkeys(kept_solids)))
