"""Work out a whole book: every preparation once, in the order of what it needs, then every plate."""

import math

from labeller.book.entries import Book, Dish, Ingredient, Line, Preparation, Target
from labeller.book.fields import Notes
from labeller.composition.household import Household, load_household
from labeller.composition.table import Table, load_table
from labeller.foundations.faults import Fault, Origin
from labeller.foundations.plain import dataclass, field, replace
from labeller.kitchen.batch import Batch, Contact
from labeller.kitchen.contact import pass_over_equipment
from labeller.kitchen.evidence import Known, evidence_of_all
from labeller.kitchen.hints import advise_on_use
from labeller.kitchen.larder import Larder, stock_larder
from labeller.kitchen.making import Made, Maker, Taken, gather, ghost_batch
from labeller.kitchen.weighing import Scale

WATER_TAKEN_UP = "water"
WATER_ROW = "14411"  # Beverages, water, tap, drinking


@dataclass(slots=True)
class _Benches:
    made: dict[str, Made] = field(default_factory=dict)

    def batch_of(self, preparation: str, given: str) -> Batch | None:
        """Return one thing a preparation gives, or None where it could not be made."""
        made = self.made.get(preparation)
        return made.given.get(given) if made is not None else None


@dataclass(frozen=True, slots=True)
class PlateLine:
    """One line on a plate, for one portion: what it brings, and what may stand in its place."""

    line: Line
    batch: Batch
    swaps: "tuple[PlateLine, ...]" = ()


@dataclass(frozen=True, slots=True)
class Plate:
    """One portion of a dish, line by line."""

    dish: Dish
    lines: tuple[PlateLine, ...]


@dataclass(frozen=True, slots=True)
class Workings:
    """Everything worked out of a book."""

    book: Book
    larder: Larder
    evidence: tuple[Known, ...]
    made: dict[str, Made]
    plates: dict[str, Plate]
    scale: Scale
    contact_of: dict[tuple[str, str], tuple[Contact, ...]]

    def given(self) -> dict[str, tuple[Preparation, Batch]]:
        """Return everything preparations give, by name."""
        return {name: (made.preparation, batch) for made in self.made.values() for name, batch in made.given.items()}


def work_out(
    book: Book,
    notes: Notes,
    *,
    pack_carbohydrate_with_fibre: bool,
    table: Table | None = None,
    household: Household | None = None,
) -> Workings:
    """Work out every preparation and plate of a book.

    Parameters
    ----------
    book : Book
        As read; lines that could not be read are not in it.
    notes : Notes
        Takes further faults and advice.
    pack_carbohydrate_with_fibre : bool
        How the law of the book's own jurisdiction defines carbohydrate on a pack.

    Notes
    -----
    One pass in the order of what needs what. A cycle is a fault that shows its path.
    """
    table = table or load_table()
    household = household or load_household()
    entries = _with_water(book.ingredients)
    larder = stock_larder(
        {name: entries[name] for name in sorted(entries)},  # ids must not depend on where an entry stands
        table,
        notes,
        pack_carbohydrate_with_fibre=pack_carbohydrate_with_fibre,
    )
    benches = _Benches()
    scale = Scale(book, larder, table, household, benches)
    maker = Maker(scale, notes.faults.append, notes.advice.append, larder.ids[WATER_TAKEN_UP])
    for name in _in_order_of_need(book, notes):
        preparation = book.preparations[name]
        if not preparation.takes and not any(step.lines for step in preparation.method):
            continue  # none of its lines could be read, which is noted where they stand
        made = maker.make(preparation)
        if made is not None:
            benches.made[name] = made
    contact_of = pass_over_equipment(book, larder, benches.made)
    _carry_contacts(benches.made, contact_of)
    plates: dict[str, Plate] = {}
    known: dict[Target, tuple[Contact, ...]] = {}
    for dish in book.dishes.values():
        plate = _lay(maker, dish, contact_of, known)
        if plate is not None:
            plates[dish.name] = plate
    advise_on_use(book, benches.made, larder, table, notes)
    evidence = evidence_of_all(larder, notes)  # last, because another process may still be reading the statements
    return Workings(book, larder, evidence, benches.made, plates, scale, contact_of)


def _with_water(entries: dict[str, Ingredient]) -> dict[str, Ingredient]:
    """Add water for what grains and pulses take up, where the book does not already name it."""
    if WATER_TAKEN_UP in entries:
        return entries
    water = Ingredient(
        WATER_TAKEN_UP,
        Origin("."),
        composition=WATER_ROW,
        from_shelf=True,
        shelf_allergens=(),
        ground="water taken up",
    )
    return {**entries, WATER_TAKEN_UP: water}


def _in_order_of_need(book: Book, notes: Notes) -> list[str]:
    """Return the preparations so that each stands behind what it needs; those in or behind a cycle are left out, with a fault."""
    needs: dict[str, list[tuple[str, Line]]] = {}
    for preparation in book.preparations.values():
        lines = [*preparation.takes, *(line for step in preparation.method for line in step.lines)]
        found = [
            (line.target.entry, line) for line in lines if line.target is not None and line.target.kind == "given"
        ]
        oils = [step for step in preparation.method if step.oil_target is not None and step.oil_target.kind == "given"]
        needs[preparation.name] = found
        for step in oils:
            if step.oil_target is not None and preparation.takes:
                needs[preparation.name].append(
                    (step.oil_target.entry, replace(preparation.takes[0], origin=step.origin))
                )
    order: list[str] = []
    state: dict[str, int] = {}  # 1 being looked at, 2 done, 3 in or behind a cycle
    for start in needs:
        if state.get(start):
            continue
        stack: list[tuple[str, int]] = [(start, 0)]
        path: list[str] = [start]
        state[start] = 1
        while stack:
            name, at = stack[-1]
            if at < len(needs[name]):
                stack[-1] = (name, at + 1)
                other, line = needs[name][at]
                seen = state.get(other, 0)
                if seen == 1:
                    cycle = [*path[path.index(other) :], other]
                    notes.faults.append(
                        Fault(
                            line.origin,
                            "takes",
                            f"'{other}' needs itself: {' > '.join(cycle)}.",
                            "Take one of these lines out, or give the older batch a name of its own.",
                        )
                    )
                    for member in path:
                        state[member] = 3
                elif seen == 3:
                    for member in path:
                        state[member] = 3
                elif seen == 0 and other in needs:
                    state[other] = 1
                    stack.append((other, 0))
                    path.append(other)
                continue
            stack.pop()
            path.pop()
            if state[name] == 3:
                for member in path:
                    state[member] = 3
            else:
                state[name] = 2
                order.append(name)
    return order


def _carry_contacts(made: dict[str, Made], contact_of: dict[tuple[str, str], tuple[Contact, ...]]) -> None:
    """Let may-contains of equipment travel on with what is made of a batch, in the order of need."""
    if not contact_of:
        return
    known: dict[Target, tuple[Contact, ...]] = {}
    for name, one in made.items():
        found: dict[Contact, None] = dict.fromkeys(contact_of.get(("given", name), ()))
        lines = [taken.line for taken in one.taken]
        for line in lines:
            for contact in contacts_of_line(line, made, contact_of, known):
                found.setdefault(contact)
        if found:
            shortest: dict[tuple[int, str], Contact] = {}  # by each machine on its own: what they carry adds up
            for contact in sorted(found, key=lambda contact: (len(contact.path), contact.path)):
                shortest.setdefault((contact.ingredient, contact.equipment), contact)
            made[name] = replace(
                one,
                given={
                    key: replace(batch, contacts=tuple(c for (p, _), c in shortest.items() if p not in batch.present))
                    for key, batch in one.given.items()
                },
            )


def contacts_of_line(
    line: Line,
    made: dict[str, Made],
    contact_of: dict[tuple[str, str], tuple[Contact, ...]],
    known: dict[Target, tuple[Contact, ...]] | None = None,
) -> tuple[Contact, ...]:
    """Return what a line may bring along from shared equipment, its own name put before each path.

    ``known`` remembers what each thing brings, once it is made and carries its own: many lines take the same.
    """
    target = line.target
    if target is None:
        return ()
    if target.kind == "ingredient":
        return contact_of.get(("ingredient", target.entry), ())
    found = known.get(target) if known is not None else None
    if found is not None:
        return found
    source = made.get(target.entry)
    if source is None or target.given not in source.given:
        return ()
    name = target.given
    found = tuple(
        Contact(one.ingredient, one.equipment, one.path if one.path[0] == name else (name, *one.path))
        for one in source.given[name].contacts
    )
    if known is not None:
        known[target] = found
    return found


def _lay(
    maker: Maker,
    dish: Dish,
    contact_of: dict[tuple[str, str], tuple[Contact, ...]],
    known: dict[Target, tuple[Contact, ...]],
) -> Plate | None:
    """Lay one portion: optional parts in, swaps out, the plate divided by what it serves."""
    taken = maker.take_lines(dish.plate, "plate")
    if taken is None:
        return None
    weight = math.fsum(one.grams for one in taken)
    lines: list[PlateLine] = []
    for one in taken:
        swaps: list[PlateLine] = []
        for swap in one.line.swaps:
            other = maker.take_lines((swap,), "plate", others_g=weight)
            if other is None:
                return None
            swaps.append(_plate_line(maker, other[0], dish.serves, contact_of, known))
        plain = _plate_line(maker, one, dish.serves, contact_of, known)
        lines.append(PlateLine(plain.line, plain.batch, tuple(swaps)))
    return Plate(dish, tuple(lines))


def _plate_line(
    maker: Maker,
    taken: Taken,
    serves: float,
    contact_of: dict[tuple[str, str], tuple[Contact, ...]],
    known: dict[Target, tuple[Contact, ...]],
) -> PlateLine:
    benches = maker.scale.benches
    batch = taken.batch
    if batch is None:  # a line without a target is never taken
        raise ValueError(f"'{taken.line.text}' has nothing on the bench")
    if taken.line.removed:
        ghost = ghost_batch(batch)
        batch = gather(ghost.ids, ghost.rows, ghost.heat, [batch], [taken])
    made = benches.made if isinstance(benches, _Benches) else {}
    contacts = contacts_of_line(taken.line, made, contact_of, known)
    return PlateLine(taken.line, replace(batch.scaled(1.0 / serves), contacts=contacts))
