"""Read a whole book from its files: every entry, every fault in one run."""

from collections.abc import Callable, Iterable

from labeller.book.amounts import AmountReader
from labeller.book.entries import Book, Dish, Measure, Menu, Preparation, Target
from labeller.book.fields import Fields, Notes
from labeller.book.files import BookFiles, read_files
from labeller.book.ingredient_entry import PACK_GRAMS, PACK_OTHER, read_ingredient
from labeller.book.kitchen_entry import read_kitchen
from labeller.book.lines import LineReader
from labeller.book.made_entries import read_given, read_preparation
from labeller.book.names_index import NameIndex
from labeller.book.naming import enter_names
from labeller.book.raw_entries import RawEntry, entries_of, value_of
from labeller.book.sold_entries import read_dish, read_menu
from labeller.book.yaml_tree import decode_text, parse_tree
from labeller.foundations.names import fold_text, name_key

__all__ = ["PACK_GRAMS", "PACK_OTHER", "BookFiles", "exact_order", "read_book", "read_files"]


def read_book(
    files: BookFiles,
    *,
    jurisdictions: Iterable[str],
    row_exists: Callable[[str], bool],
    trade_pieces: frozenset[str] = frozenset(),
) -> tuple[Book | None, Notes]:
    """Read and resolve a book.

    Parameters
    ----------
    files : BookFiles
        The files as read from disk.
    jurisdictions : Iterable[str]
        The codes a kitchen may name.
    row_exists : Callable[[str], bool]
        Tells whether the reference table has a row of that food code.
    trade_pieces : frozenset[str]
        Keys of the words that may count pieces of something (leaf, clove, stick).

    Returns
    -------
    tuple[Book | None, Notes]
        The book, whole or as far as it could be read (None without a kitchen), and every fault and piece of advice.
    """
    notes = Notes(faults=list(files.faults))
    index = NameIndex()
    entries: list[RawEntry] = []
    for path in sorted(files.raw):
        text, faults = decode_text(files.raw[path], path)
        notes.faults.extend(faults)
        if text is None:
            continue
        documents, faults = parse_tree(text, path)
        notes.faults.extend(faults)
        if "#" in text:
            notes.lines[path] = text.splitlines()
        entries.extend(entries_of(documents, path, notes))
    # The order of files and entries never matters, so everything is put in the order of its name.
    entries.sort(key=lambda entry: (entry.kind, exact_order(entry.name), entry.path, entry.line))
    kitchen = read_kitchen(entries, jurisdictions, notes)
    equipment = {name_key(one.name): one.name for one in kitchen.shared_equipment} if kitchen else {}
    bought = [read_ingredient(entry, notes, equipment, row_exists) for entry in entries if entry.kind == "ingredient"]
    givens = {
        position: read_given(entry, notes) for position, entry in enumerate(entries) if entry.kind == "preparation"
    }
    enter_names(index, entries, bought, givens, notes)
    ingredients = {ingredient.name: ingredient for ingredient in reversed(bought)}
    measures: dict[Target, dict[str, Measure]] = {
        Target("ingredient", one.name): one.measures for one in ingredients.values() if one.measures
    }
    for position, given in givens.items():
        own = (
            Fields(entries[position].node, entries[position].path, Notes(), "").measures()
            if value_of(entries[position].node, "measures")
            else {}
        )
        for one in given:
            if own or one.measures:
                measures[Target("given", entries[position].name, one.name)] = {**own, **one.measures}
    amounts = AmountReader(
        index,
        notes,
        kitchen.jurisdiction if kitchen else "",
        kitchen.measures if kitchen else {},
        measures,
        trade_pieces,
    )
    lines = LineReader(amounts)
    preparations: dict[str, Preparation] = {}
    dishes: dict[str, Dish] = {}
    dish_names: dict[str, str] = {}
    for position, entry in enumerate(entries):
        if entry.kind == "preparation" and entry.name not in preparations:
            amounts.inside = entry.name
            preparations[entry.name] = read_preparation(entry, givens[position], lines, equipment)
        elif entry.kind == "dish":
            key = name_key(entry.name)
            if key in dish_names:
                first = dishes[dish_names[key]].origin
                problem = f"'{entry.name}' is given twice: it also stands in {first}."
                notes.fault(entry.path, entry.line, "dish", problem, "Give one of them another name.")
                continue
            dish_names[key] = entry.name
            amounts.inside = ""
            dishes[entry.name] = read_dish(entry, lines)
    menus: dict[str, Menu] = {}
    for entry in entries:
        if entry.kind == "menu":
            first_menu = next((one for one in menus.values() if name_key(one.name) == name_key(entry.name)), None)
            if first_menu is not None:
                problem = f"'{entry.name}' is given twice: it also stands in {first_menu.origin}."
                notes.fault(entry.path, entry.line, "menu", problem, "Give one of them another name.")
                continue
            menus[entry.name] = read_menu(entry, dish_names, notes)
    for name, good in sorted(index.taken_from_shelf.items()):
        shelf_entry = RawEntry("ingredient", good.name, good.entry(), f"shelf/{good.file}", good.line)
        ingredients.setdefault(name, read_ingredient(shelf_entry, notes, equipment, row_exists, from_shelf=True))
    _advise_of_shelf(index, notes)
    if kitchen is None:
        return None, _in_order(notes)
    book = Book(
        kitchen,
        dict(sorted(ingredients.items())),
        preparations,
        dishes,
        menus,
        {**index.loose, **index.exact},
    )
    return book, _in_order(notes)


def exact_order(name: str) -> tuple[str, str]:
    """Return the key by which names are put in order."""
    return fold_text(name), name


def _advise_of_shelf(index: NameIndex, notes: Notes) -> None:
    if index.taken_from_shelf:
        names = ", ".join(sorted(index.taken_from_shelf))
        notes.advise(
            ".",
            0,
            "shelf",
            f"taken from the shelf, not from this book: {names}.",
            "Add an ingredient of that name where yours is not the plain good.",
        )


def _in_order(notes: Notes) -> Notes:
    """Put faults and advice in the order of file and line, each once."""
    for found in (notes.faults, notes.advice):
        found[:] = sorted(
            dict.fromkeys(found), key=lambda fault: (fault.origin.path, fault.origin.line, fault.field, fault.problem)
        )
    return notes
