"""Hold what was brought in against the book's own reader: what it would not read as meant is a fault at its cell."""

from bisect import bisect_right
from collections.abc import Callable, Iterable
from pathlib import Path

from labeller.book.entries import Book
from labeller.book.files import BookFiles
from labeller.book.reading import read_book
from labeller.book.yaml_tree import decode_text
from labeller.bringing_in.cells import Place
from labeller.bringing_in.entry_texts import EntryText, good_entry, recipe_entry, scalar
from labeller.bringing_in.kitchen_words import KitchenWords
from labeller.bringing_in.placing import raw_entries, replace_entry
from labeller.bringing_in.shapes import SheetGood, SheetRecipe
from labeller.composition.household import Household
from labeller.composition.table import Table
from labeller.foundations.faults import Fault
from labeller.foundations.names import name_key
from labeller.kitchen.working_out import work_out

MARK = "\x00"  # no file of a book can have it in its name
STUBS = f"{MARK}names not known yet.yaml"
ReadBook = Callable[[BookFiles], tuple[Book | None, list[Fault], list[Fault]]]
"""Reads a book's files with the table and the measures at hand: the book, its faults, and those of weighing its lines."""


def book_reader(jurisdictions: Iterable[str], table: Table, household: Household) -> ReadBook:
    """Return a reader of books with what a command has loaded at hand; it weighs every line too, as 'check' does."""
    known = tuple(jurisdictions)

    def read(files: BookFiles) -> tuple[Book | None, list[Fault], list[Fault]]:
        book, notes = read_book(
            files,
            jurisdictions=known,
            row_exists=lambda code: table.row_index(code) is not None,
            trade_pieces=household.trade_pieces,
        )
        read_faults = list(notes.faults)
        if book is not None and any(path.startswith(MARK) for path in files.raw):
            work_out(book, notes, pack_carbohydrate_with_fibre=False, table=table, household=household)
        return book, read_faults, notes.faults[len(read_faults) :]

    return read


def group_of(recipe: SheetRecipe) -> str:
    """Return the key of a recipe and its parts, which come in together or not at all."""
    return name_key(recipe.whole_of or recipe.name)


def hold_against_reader(
    recipes: list[SheetRecipe],
    goods: list[SheetGood],
    files: BookFiles,
    read: ReadBook,
    words: KitchenWords,
    faults: list[Fault],
    left_out: list[str],
) -> tuple[list[SheetRecipe], list[SheetGood]]:
    """Read every entry as the book will, with stand-ins for names not known yet; what is not read as meant is a fault at its cell."""
    entries: list[tuple[SheetRecipe | SheetGood, EntryText]] = [(one, recipe_entry(one)) for one in recipes]
    entries.extend((one, good_entry(one)) for one in goods)
    if not entries:
        return recipes, goods
    path = f"{MARK}brought in.yaml"
    text_lines: list[str] = []
    at_line: dict[int, tuple[SheetRecipe | SheetGood, Place]] = {}
    for one, entry in entries:
        for index, place in entry.places.items():
            at_line[len(text_lines) + index + 1] = (one, place)
        text_lines.extend(entry.lines)
    replaced = {(entry.kind, name_key(entry.name)) for _, entry in entries}
    kept = _without_entries(files.raw, replaced)
    unknown = {line.name for one in recipes for line in one.lines if not words.find(line.name)}
    stubs = "".join(
        f"- ingredient: {scalar(name)}\n" for name in sorted({name_key(one): one for one in unknown}.values())
    )
    whole = {**kept, path: ("\n".join(text_lines) + "\n").encode("utf-8"), STUBS: stubs.encode("utf-8")}
    book, read_faults, weighed_faults = read(BookFiles(files.folder, whole))
    bad: set[int] = set()
    numbers = sorted(at_line)
    for fault in (*read_faults, *weighed_faults):
        position = bisect_right(numbers, fault.origin.line)
        if fault.origin.path != path or not position:
            continue
        one, place = at_line[numbers[position - 1]]
        unknown_here = any(line.place == place and not words.find(line.name) for line in getattr(one, "lines", ()))
        if unknown_here and fault in weighed_faults:
            continue  # nobody can weigh what is not known yet
        faults.append(place.fault(fault.problem, fault.mend))
        bad.add(id(one))
    if book is not None:
        for recipe in recipes:
            if id(recipe) not in bad:
                _hold_lines(recipe, book, faults, bad)
    groups = {group_of(one) for one in recipes if id(one) in bad}
    left_out.extend(
        sorted(
            {one.whole_of or one.name for one in recipes if group_of(one) in groups}
            | {one.name for one in goods if id(one) in bad}
        )
    )
    return [one for one in recipes if group_of(one) not in groups], [one for one in goods if id(one) not in bad]


def _without_entries(raw: dict[str, bytes], names: set[tuple[str, str]]) -> dict[str, bytes]:
    """Return the files without the entries that will be replaced; a file that cannot be cut stays whole."""
    kept: dict[str, bytes] = {}
    for path, content in raw.items():
        text, _ = decode_text(content, path)
        if text is None:
            continue
        for entry in raw_entries(BookFiles(Path(), {path: content})):
            if (entry.kind, name_key(entry.name)) in names:
                stand_in = EntryText(
                    "ingredient",
                    "",
                    [f"- ingredient: {scalar('replaced ' + entry.kind + ' ' + str(entry.line) + ' ' + path)}"],
                )
                cut = replace_entry(text, path, entry, stand_in)
                text = cut if cut is not None else text
        kept[path] = text.encode("utf-8")
    return kept


def _hold_lines(recipe: SheetRecipe, book: Book, faults: list[Fault], bad: set[int]) -> None:
    """Hold what the book's reader made of each line against what was meant: name and amount."""
    if recipe.kind == "dish":
        dish = next((one for one in book.dishes.values() if name_key(one.name) == name_key(recipe.name)), None)
        read = dish.plate if dish is not None else ()
    else:
        made = next((one for one in book.preparations.values() if name_key(one.name) == name_key(recipe.name)), None)
        read = made.takes if made is not None else ()
    if len(read) != len(recipe.lines):
        faults.append(
            recipe.place.fault(
                f"'{recipe.name}' would not be read line by line.",
                "Write its lines plainly: an amount and a name in each.",
            )
        )
        bad.add(id(recipe))
        return
    for meant, line in zip(recipe.lines, read, strict=True):
        if name_key(line.name) != name_key(meant.name) or line.swaps or line.optional:
            faults.append(
                meant.place.fault(
                    f"'{meant.text}' would be read as '{line.name}'.",
                    f"Write the name so that it is read whole; '{meant.name}' was meant.",
                )
            )
            bad.add(id(recipe))
