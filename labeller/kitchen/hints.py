"""Advice on a book that can be worked out: what to weigh, what is used up, what usually falls away."""

import math

from labeller.book.entries import Book, Line
from labeller.book.fields import Notes
from labeller.composition.table import Table
from labeller.foundations.faults import Fault, Origin
from labeller.kitchen.larder import Larder
from labeller.kitchen.making import Made

_PEELED = (
    "peeled",
    "cored",
    "stoned",
    "pitted",
    "trimmed",
    "shelled",
    "picked",
    "net",
    "flesh",
    "segments",
    "fillet",
    "skinned",
)


def advise_on_use(book: Book, made: dict[str, Made], larder: Larder, table: Table, notes: Notes) -> None:
    """Note what a careful person would ask about a book without faults in it."""
    _weigh_losses(book, notes)
    _more_than_a_batch(made, notes)
    _usual_refuse(book, larder, table, notes)
    _one_fat_for_several(book, notes)


def _one_fat_for_several(book: Book, notes: Notes) -> None:
    """Ask about a fat in which several things are fried: in one pan of it each passes its allergens to the next."""
    fried: dict[tuple[str, str], dict[str, Origin]] = {}
    for preparation in book.preparations.values():
        for step in preparation.method:
            if step.kind == "fry" and step.oil_target is not None:
                target = step.oil_target
                fried.setdefault((target.entry, target.given), {}).setdefault(preparation.name, step.origin)
    for (entry, given), users in sorted(fried.items()):
        if len(users) < 2:
            continue
        sets = {frozenset(book.preparations[name].made_on) for name in users}
        if all(not one.isdisjoint(other) for one in sets for other in sets):
            continue
        apart = [name for name in users if not book.preparations[name].made_on] or list(users)
        fat = given or entry
        notes.advice.append(
            Fault(
                users[apart[0]],
                "method.fry",
                f"'{fat}' fries {_named(list(users))}, and no 'made_on' says that they share a fryer: what passes in the fat is not told.",
                "If it is one pan of fat, name it in the kitchen's shared_equipment and write 'made_on' in each; fresh fat needs nothing.",
            )
        )


def _named(names: list[str]) -> str:
    shown = [f"'{name}'" for name in sorted(names)[:5]]
    more = len(names) - len(shown)
    return f"{', '.join(shown)} and {more} more" if more else f"{', '.join(shown[:-1])} and {shown[-1]}"


def _weigh_losses(book: Book, notes: Notes) -> None:
    """Heat without a loss: only ethanol leaves, so the weight after is too high."""
    for preparation in book.preparations.values():
        hot = [step for step in preparation.method if step.kind in ("heat", "fry")]
        for step in hot:
            if step.loss is not None or step.how in ("stir in", "flame"):
                continue
            if preparation.gives_weight is not None and len(hot) == 1:
                continue
            notes.advice.append(
                Fault(
                    step.origin,
                    f"method.{step.kind}",
                    f"'{preparation.name}' is heated here and nothing says what it loses, so no water leaves.",
                    "Weigh it before and after once and write 'loses: 60 g', or 'gives:' with the weight.",
                )
            )


def _lines(book: Book) -> list[tuple[str, Line]]:
    found: list[tuple[str, Line]] = []
    for preparation in book.preparations.values():
        found += [("takes", line) for line in preparation.takes]
        found += [("method.add", line) for step in preparation.method for line in step.lines]
    return found


def _more_than_a_batch(made: dict[str, Made], notes: Notes) -> None:
    """Users that together take more than one batch: each may be made from a batch of its own, so it is advice."""
    used: dict[tuple[str, str], tuple[float, int, Origin]] = {}
    for one in made.values():
        for taken in one.taken:
            target = taken.line.target
            if target is not None and target.kind == "given":
                grams, users, origin = used.get((target.entry, target.given), (0.0, 0, taken.line.origin))
                used[target.entry, target.given] = (grams + taken.grams, users + 1, max(origin, taken.line.origin))
    for (entry, given), (grams, users, origin) in sorted(used.items()):
        batch = made[entry].given[given] if entry in made and given in made[entry].given else None
        if batch is not None and grams > batch.weight_g * 1.001:
            who = "one line takes" if users == 1 else f"{users} lines together take"
            notes.advice.append(
                Fault(
                    origin,
                    "takes",
                    f"{who} {grams:.0f} g of '{given}', and one batch gives {batch.weight_g:.0f} g.",
                    "Make it more than once, or write the batch larger.",
                )
            )


def _usual_refuse(book: Book, larder: Larder, table: Table, notes: Notes) -> None:
    """Offer the refuse of the reference row where a whole fruit or vegetable goes in and nothing is trimmed."""
    trimmed = {
        name
        for preparation in book.preparations.values()
        for step in preparation.method
        if step.kind == "trim"
        for name in step.what
    }
    for field, line in _lines(book):
        target = line.target
        if (
            target is None
            or target.kind != "ingredient"
            or line.unit != "mass"
            or line.name in trimmed
            or line.removed
        ):
            continue
        row = larder.rows[larder.ids[target.entry]]
        if (
            row is None
            or table.group(row) not in ("0900", "1100")
            or any(word in f"{line.remark} {line.name}".lower() for word in _PEELED)
        ):
            continue
        percent, what = table.refuse(row)
        if math.isnan(percent) or percent < 5.0 or not what:
            continue
        notes.advice.append(
            Fault(
                line.origin,
                field,
                f"'{line.name}' usually lose {percent:.0f} % ({what.lower()}); '{line.text}' is taken as weighed without it.",
                f"If it was weighed whole, write 'trim: {{what: {line.name}, loses: {percent:.0f} %}}', else say 'trimmed' behind the line.",
            )
        )
