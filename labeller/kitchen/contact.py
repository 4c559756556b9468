"""What passes from one batch to another over shared equipment: one hop, as may contain."""

from labeller.book.entries import Book
from labeller.kitchen.batch import Contact, Path
from labeller.kitchen.larder import Larder
from labeller.kitchen.making import Made


def pass_over_equipment(
    book: Book, larder: Larder, made: dict[str, Made]
) -> dict[tuple[str, str], tuple[Contact, ...]]:
    """Work out what each batch may carry from the others on its equipment.

    Returns
    -------
    dict
        ('ingredient' or 'given', name of the ingredient or preparation) to what may have passed on to it.

    Notes
    -----
    What a batch contains, nested parts too, passes to every other batch on that equipment; what it may contain does not pass again.
    Equipment that says how it is cleaned and how that is checked passes nothing on. Cycles of equipment are no fault.
    """
    passing = {one.name for one in book.kitchen.shared_equipment if one.passes_on}
    users: dict[str, list[tuple[str, str, dict[int, Path]]]] = {}
    for ingredient in book.ingredients.values():
        for equipment in ingredient.made_on:
            place = larder.ids[ingredient.name]
            users.setdefault(equipment, []).append(("ingredient", ingredient.name, {place: (ingredient.name,)}))
    for name, one in made.items():
        for equipment in one.preparation.made_on:
            present: dict[int, Path] = {}
            for batch in one.given.values():
                for place, path in batch.present.items():
                    way, known_way = (name, *path), present.get(place)
                    if known_way is None or (len(way), way) < (len(known_way), known_way):
                        present[place] = way
            users.setdefault(equipment, []).append(("given", name, present))
    found: dict[tuple[str, str], dict[tuple[int, str], Contact]] = {}
    for equipment, batches in sorted(users.items()):
        if equipment not in passing:
            continue
        nearest = _two_nearest(batches)
        for kind, name, _ in batches:
            into = found.setdefault((kind, name), {})
            for place, holders in nearest.items():
                others = [held for _, held, holder in holders if holder != (kind, name)]
                if others:
                    into[place, equipment] = Contact(place, equipment, (name, equipment, *others[0]))
    return {key: tuple(contacts.values()) for key, contacts in found.items() if contacts}


def _two_nearest(
    batches: list[tuple[str, str, dict[int, Path]]],
) -> dict[int, list[tuple[int, Path, tuple[str, str]]]]:
    """Return, for each ingredient, the two batches that hold it by the shortest ways, so that the order of entries never matters.

    Two are enough: a batch does not touch itself, so one of the two is another.
    """
    nearest: dict[int, list[tuple[int, Path, tuple[str, str]]]] = {}
    for kind, name, present in batches:
        for place, path in present.items():
            holders = nearest.setdefault(place, [])
            holder = (len(path), path, (kind, name))
            if holder not in holders:
                holders.append(holder)
                holders.sort()
                del holders[2:]
    return nearest
