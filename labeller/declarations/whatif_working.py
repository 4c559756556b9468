"""Work a changed book out again. Weights and losses belong to the recipe as it was: where they cannot stay, a guess is made and shown."""

from dataclasses import dataclass, field, replace

from labeller.book.entries import Book, Dish, Line, Loss, Preparation, Step
from labeller.book.fields import Notes
from labeller.declarations.whatif_names import WhatIfError
from labeller.foundations.faults import Fault, Origin
from labeller.foundations.quantities import Quantity
from labeller.kitchen.working_out import Workings, work_out

_SAME = 1e-9
_MOST_ROUNDS = 8
_MOST_FAULTS = 3


def work_out_changed(
    before: Workings, book: Book, written: dict[str, Preparation], *, pack_carbohydrate_with_fibre: bool
) -> tuple[Workings, tuple[str, ...]]:
    """Return a changed book worked out, and in words what its figures rest on.

    Parameters
    ----------
    before : Workings
        The book as it stands.
    book : Book
        With the changes in it.
    written : dict
        The preparations that were written again, by name.
    pack_carbohydrate_with_fibre : bool
        How the law of the book's own jurisdiction defines carbohydrate on a pack.

    Raises
    ------
    WhatIfError
        Where it cannot be worked out, with the reason.

    Notes
    -----
    A weight on the scale follows what goes in, in proportion. A weight or loss that cannot be, since too little water is left to leave,
    is dropped; a volume that nothing weighs any more keeps the weight it had. Allergens are the same by any of these.
    """
    run = _Run(before, pack_carbohydrate_with_fibre)
    book = run.in_proportion(book, written)
    for _ in range(_MOST_ROUNDS):
        found, faults = run.work_out(book)
        if not faults:
            return found, tuple(run.notes)
        mended = run.mended(book, faults)
        if mended is None:
            raise _refusal(faults)
        book = mended
    raise _refusal(faults)


def weight_of(workings: Workings, line: Line) -> Quantity | None:
    """Return what a line of a book weighs; None for one that goes by rule, such as to taste. [g]"""
    if line.unit in ("to taste", "to cover") or line.target is None:
        return None
    batch = None
    if line.target.kind == "given":
        made = workings.made.get(line.target.entry)
        batch = made.given.get(line.target.given) if made is not None else None
    weighed = workings.scale.weigh(line, batch=batch)
    if isinstance(weighed, tuple):
        raise WhatIfError(" ".join(weighed))
    return weighed.grams


def _refusal(faults: list[Fault]) -> WhatIfError:
    said = " ".join(dict.fromkeys(f"{one.origin}: {one.problem} {one.mend}" for one in faults[:_MOST_FAULTS]))
    return WhatIfError(f"With that the recipe cannot be worked out. {said}")


@dataclass(slots=True)
class _Run:
    before: Workings
    with_fibre: bool
    notes: list[str] = field(default_factory=list)
    loosened: set[str] = field(default_factory=set)

    def work_out(self, book: Book) -> tuple[Workings, list[Fault]]:
        notes = Notes()
        scale = self.before.scale
        found = work_out(
            book, notes, pack_carbohydrate_with_fibre=self.with_fibre, table=scale.table, household=scale.household
        )
        return found, notes.faults

    def in_proportion(self, book: Book, written: dict[str, Preparation]) -> Book:
        """Let weights on the scale of changed recipes follow what goes in, and say so."""
        weighed = {name: one for name, one in written.items() if _is_weighed(one)}
        if not weighed:
            return book
        bare = {name: _without_scale(one) for name, one in weighed.items()}
        tried, _ = self.work_out(replace(book, preparations={**book.preparations, **bare}))
        scaled: dict[str, Preparation] = {}
        for name, one in weighed.items():
            made = tried.made.get(name)
            if made is None:
                continue
            factor = made.put_in_g / self.before.made[name].put_in_g
            same = abs(factor - 1.0) <= _SAME
            scaled[name] = one if same else _in_proportion(one, factor)
            change = "" if same else f", taken as {factor:.3g} times that, as more or less goes in"
            self.notes.append(f"'{name}' was weighed as it is made now{change}: weigh it again when you make it so.")
        return replace(book, preparations={**book.preparations, **scaled})

    def mended(self, book: Book, faults: list[Fault]) -> Book | None:
        """Return a book in which a weight, loss or volume that cannot stay is dropped; None where that is not what is wrong."""
        preparations, dishes = dict(book.preparations), dict(book.dishes)
        for fault in faults:
            name = next((one.name for one in preparations.values() if _states(one, fault.origin)), "")
            if name and name not in self.loosened and not fault.field.endswith((".what", ".solids")):
                self.loosened.add(name)
                preparations[name] = _without_losses(preparations[name])
                self.notes.append(
                    f"'{name}' cannot lose or weigh then what it does now: its figures are worked out without that loss. "
                    "Weigh it when you make it so."
                )
        if preparations != book.preparations:
            return replace(book, preparations=preparations)
        for fault in faults:
            for one in list(preparations.values()):
                preparations[one.name] = self._preparation_by_weight(one, fault.origin)
            for dish in list(dishes.values()):
                dishes[dish.name] = self._dish_by_weight(dish, fault.origin)
        if preparations != book.preparations or dishes != book.dishes:
            return replace(book, preparations=preparations, dishes=dishes)
        return None

    def _preparation_by_weight(self, one: Preparation, origin: Origin) -> Preparation:
        takes = self._by_weight(one.takes, origin)
        method = tuple(
            step if (lines := self._by_weight(step.lines, origin)) == step.lines else replace(step, lines=lines)
            for step in one.method
        )
        return one if (takes, method) == (one.takes, one.method) else replace(one, takes=takes, method=method)

    def _dish_by_weight(self, dish: Dish, origin: Origin) -> Dish:
        plate = self._by_weight(dish.plate, origin)
        return dish if plate == dish.plate else replace(dish, plate=plate)

    def _by_weight(self, lines: tuple[Line, ...], origin: Origin) -> tuple[Line, ...]:
        return tuple(self._line_by_weight(line) if line.origin == origin else line for line in lines)

    def _line_by_weight(self, line: Line) -> Line:
        """Let a volume of something made in house keep the weight it has in the book as it stands."""
        swaps = tuple(self._line_by_weight(one) for one in line.swaps)
        if line.unit == "mass" or line.target is None or line.target.kind != "given":
            return line if swaps == line.swaps else replace(line, swaps=swaps)
        try:
            grams = weight_of(self.before, line)
        except WhatIfError:
            grams = None
        if grams is None:
            return line
        self.notes.append(f"'{line.text}' is taken as the {grams.estimate:.3g} g it weighs now: weigh it once.")
        return replace(line, quantity=grams, unit="mass", unit_word="g", swaps=swaps)


def _states(preparation: Preparation, origin: Origin) -> bool:
    """Tell whether a weight or loss of a preparation stands on a line."""
    if origin in (preparation.gives_origin, *(one.origin for one in preparation.gives if one.weighs is not None)):
        return True
    return any(step.loss is not None and step.origin == origin for step in preparation.method)


def _is_weighed(preparation: Preparation) -> bool:
    return (
        preparation.gives_weight is not None
        or any(one.weighs is not None for one in preparation.gives)
        or any(step.loss is not None and step.loss.kind != "share" for step in preparation.method)
    )


def _without_scale(preparation: Preparation) -> Preparation:
    """Return a recipe that does not know what was on the scale, to see what goes in."""
    return replace(
        preparation,
        gives_weight=None,
        gives=tuple(replace(one, weighs=None) for one in preparation.gives),
        method=tuple(
            step if step.loss is None or step.loss.kind == "share" else _without_loss(step)
            for step in preparation.method
        ),
    )


def _without_losses(preparation: Preparation) -> Preparation:
    """Return a recipe without any weight or loss of cooking; what is trimmed or sieved off stays off."""
    bare = _without_scale(preparation)
    cooking = ("heat", "reduce", "fry")
    return replace(bare, method=tuple(_without_loss(step) if step.kind in cooking else step for step in bare.method))


def _without_loss(step: Step) -> Step:
    """Return a step without its loss; what is boiled down has none left to do."""
    if step.loss is None:
        return step
    return replace(step, kind="heat", how="boil", loss=None) if step.kind == "reduce" else replace(step, loss=None)


def _in_proportion(preparation: Preparation, factor: float) -> Preparation:
    """Return a recipe whose weights on the scale follow what goes in. [1]"""
    return replace(
        preparation,
        gives_weight=preparation.gives_weight.times(factor) if preparation.gives_weight is not None else None,
        gives=tuple(
            replace(one, weighs=one.weighs.times(factor)) if one.weighs is not None else one
            for one in preparation.gives
        ),
        method=tuple(
            replace(step, loss=_scaled(step.loss, factor)) if step.loss is not None else step
            for step in preparation.method
        ),
    )


def _scaled(loss: Loss, factor: float) -> Loss:
    return loss if loss.kind == "share" else replace(loss, quantity=loss.quantity.times(factor))
