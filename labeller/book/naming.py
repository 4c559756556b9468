"""Enter the names of a book in its index; a name given twice is a fault that tells both places."""

from labeller.book.entries import Given, Ingredient, Target
from labeller.book.fields import Notes, sequence_items
from labeller.book.names_index import NameIndex
from labeller.book.raw_entries import RawEntry, value_of
from labeller.book.yaml_tree import Scalar
from labeller.foundations.faults import Fault, Origin
from labeller.foundations.names import name_key


def enter_names(
    index: NameIndex,
    entries: list[RawEntry],
    ingredients: list[Ingredient],
    givens: dict[int, tuple[Given, ...]],
    notes: Notes,
) -> None:
    """Enter every name of the book; a name given twice is a fault that names both places."""
    places: dict[Target, Origin] = {}

    def enter(name: str, target: Target, origin: Origin, field: str) -> None:
        already = index.add(name, target)
        if already is None:
            places.setdefault(target, origin)
        elif already != target:
            first = places.get(already, Origin(""))
            notes.faults.append(
                Fault(
                    origin,
                    field,
                    f"'{name}' is given twice: '{already.given or already.entry}' stands in {first}.",
                    "Give one of them another name.",
                )
            )

    for ingredient in ingredients:
        target = Target("ingredient", ingredient.name)
        if target in places:
            notes.faults.append(
                Fault(
                    ingredient.origin,
                    "ingredient",
                    f"'{ingredient.name}' is given twice: it also stands in {places[target]}.",
                    "Keep one of them.",
                )
            )
            continue
        for name in (ingredient.name, *ingredient.also):
            enter(name, target, ingredient.origin, "ingredient" if name == ingredient.name else "also")
    seen: dict[str, Origin] = {}
    for position, entry in enumerate(entries):
        if entry.kind != "preparation":
            continue
        origin = Origin(entry.path, entry.line)
        if name_key(entry.name) in seen:
            notes.faults.append(
                Fault(
                    origin,
                    "preparation",
                    f"'{entry.name}' is given twice: it also stands in {seen[name_key(entry.name)]}.",
                    "Give one of them another name.",
                )
            )
            continue
        seen[name_key(entry.name)] = origin
        itself = Target("given", entry.name, "")
        for given in givens[position]:
            target = Target("given", entry.name, given.name)
            own = name_key(given.name) == name_key(entry.name)
            itself = target if own else itself
            enter(given.name, target, given.origin, "preparation" if own else f"gives.{given.name}")
        if not itself.given:
            enter(entry.name, itself, origin, "preparation")
        also = value_of(entry.node, "also")
        for item in sequence_items(also) if also is not None else []:
            if isinstance(item, Scalar) and item.text.strip():
                enter(" ".join(item.text.split()), itself, Origin(entry.path, item.line), "also")
