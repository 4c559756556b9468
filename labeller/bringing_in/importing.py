"""Bring a file into a book: read it, hold every line against the book's own reader, and say what would be written where."""

from dataclasses import dataclass, field, replace
from pathlib import Path

from labeller.book.entries import Book
from labeller.book.files import BookFiles
from labeller.book.names_index import shelf_names
from labeller.book.raw_entries import RawEntry
from labeller.book.sizes import LARGEST_FILE_BYTES
from labeller.bringing_in.cells import Place
from labeller.bringing_in.entry_texts import EntryText, comment, good_entry, recipe_entry
from labeller.bringing_in.holding import ReadBook, group_of, hold_against_reader
from labeller.bringing_in.kitchen_words import KitchenWords, words_of_book
from labeller.bringing_in.placing import new_path, raw_entries, replace_entry, slug_of
from labeller.bringing_in.recipe_json import read_recipe_json
from labeller.bringing_in.recipe_texts import read_text_file
from labeller.bringing_in.replacing import would_be_lost
from labeller.bringing_in.shapes import Kind, SheetGood, SheetRecipe, Taken
from labeller.bringing_in.sources import Source, open_sources
from labeller.bringing_in.tables import read_sheet
from labeller.bringing_in.written_amounts import commas_of
from labeller.foundations.faults import Fault, Origin
from labeller.foundations.names import fold_text, name_key, nearest_names


@dataclass(frozen=True, slots=True)
class NameNotKnown:
    """A name that neither the book nor the shelf knows: in how many lines it stands, where first, and the names nearest to it."""

    name: str
    lines: int
    first: Place
    nearest: tuple[str, ...] = ()


@dataclass(slots=True)
class BroughtIn:
    """What bringing in a file comes to; nothing has been written.

    ``writes`` maps a path in the book to the whole text it will have; ``files`` maps each entry (kind, name) to its path; ``left_out``
    are the entries that ``skip_doubtful`` left out, with their faults in ``faults``.
    """

    taken: Taken
    recipes: list[SheetRecipe] = field(default_factory=list)
    goods: list[SheetGood] = field(default_factory=list)
    writes: dict[str, str] = field(default_factory=dict)
    files: dict[tuple[str, str], str] = field(default_factory=dict)
    replaced: list[str] = field(default_factory=list)
    unknown: list[NameNotKnown] = field(default_factory=list)
    left_out: list[str] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)


def bring_in(
    source: Path,
    files: BookFiles,
    read: ReadBook,
    *,
    kind: Kind = "preparation",
    replace_entries: bool = False,
    skip_doubtful: bool = False,
    blank_means_none: bool = False,
    day: str = "",
) -> BroughtIn:
    """Read a file or folder and work out what it would write into a book.

    Parameters
    ----------
    source : Path
        A spreadsheet, a recipe text, a JSON-LD file, a saved page, or a folder of them.
    files : BookFiles
        The book it comes into.
    read : ReadBook
        The reader of ``book_reader``.
    kind : Kind
        What a recipe becomes unless its sheet says otherwise.
    replace_entries : bool
        Whether an entry of the same kind and name is replaced.
    skip_doubtful : bool
        Whether recipes without faults are written when others have some; a recipe is never written without one of its lines.
    blank_means_none : bool
        Whether the user says that an empty box of an allergen matrix means "not in it".
    day : str
        The day for the note at the top of a new file.
    """
    book, _, _ = read(files)
    if book is None:
        fault = Fault(
            Origin("."),
            "kitchen",
            "this book has no kitchen entry, so nobody knows how it measures a cup.",
            "Write '- kitchen: NAME' and its 'jurisdiction:' first.",
        )
        return BroughtIn(Taken(), faults=[fault])
    words = words_of_book(book)
    sources, faults, said = open_sources(source)
    taken = _interpret(sources, words, kind, blank_means_none=blank_means_none)
    if taken.recipes or taken.goods:  # a recipe may take another of the same file: read again, with their names known
        words = _with_names(words, [one.name for one in taken.recipes], [one.name for one in taken.goods])
        taken = _interpret(sources, words, kind, blank_means_none=blank_means_none)
    for place, text, why in said:
        taken.leave(place, text, why)
    found = BroughtIn(taken, faults=[*faults, *taken.faults])
    doubtful = bool(found.faults)
    recipes, goods = _without_doubles(taken, raw_entries(files), replace_entries=replace_entries)
    bad = {group_of(one) for one in recipes if one.faults}
    found.faults.extend(fault for one in recipes for fault in one.faults)
    found.faults.extend(fault for one in goods for fault in one.faults)
    found.left_out.extend(
        sorted(
            {one.whole_of or one.name for one in recipes if group_of(one) in bad}
            | {one.name for one in goods if one.faults}
        )
    )
    recipes = [one for one in recipes if group_of(one) not in bad]
    goods = [one for one in goods if not one.faults]
    recipes, goods = hold_against_reader(recipes, goods, files, read, words, found.faults, found.left_out)
    found.recipes, found.goods = recipes, goods
    found.unknown = _unknown_names(recipes, words, book)
    if (found.faults or doubtful) and not skip_doubtful:
        found.faults.sort(key=_order)
        return found
    _place(
        found,
        files,
        slug_of(source.resolve().name if source.is_dir() else source.stem),
        source.name or source.resolve().name,
        day,
        replace_entries=replace_entries,
    )
    if found.faults and not skip_doubtful:  # an entry that cannot be replaced in its place
        found.writes, found.files, found.replaced = {}, {}, []
    found.faults.sort(key=_order)
    return found


def _order(fault: Fault) -> tuple[str, int, str, str]:
    return fault.origin.path, fault.origin.line, fault.field, fault.problem


def _interpret(sources: list[Source], words: KitchenWords, kind: Kind, *, blank_means_none: bool) -> Taken:
    taken = Taken()
    for source in sources:
        if source.kind == "text":
            read_text_file(source.text, source.name, words, kind, taken, first_name=source.stem)
        elif source.kind in ("json", "page"):
            read_recipe_json(source.text, source.name, words, kind, taken, page=source.kind == "page")
        else:
            commas = commas_of(
                [cell.text for sheet in source.sheets for cell in sheet.cells.values() if not cell.number]
            )
            for sheet in source.sheets:
                read_sheet(
                    sheet, words, kind, taken, first_name=source.stem, blank_means_none=blank_means_none, commas=commas
                )
            if not any(sheet.rows for sheet in source.sheets):
                taken.faults.append(
                    Fault(
                        Origin(source.name),
                        "file",
                        "every sheet of this file is empty.",
                        "Save the recipes and give the file again.",
                    )
                )
    return taken


def _with_names(words: KitchenWords, recipes: list[str], goods: list[str]) -> KitchenWords:
    kinds = {name_key(name): "given" for name in recipes} | {name_key(name): "ingredient" for name in goods}
    before = words.find
    return replace(words, find=lambda name: before(name) or (kinds.get(name_key(name), "") if name else ""))


def _without_doubles(
    taken: Taken, there: list[RawEntry], *, replace_entries: bool
) -> tuple[list[SheetRecipe], list[SheetGood]]:
    """Add a fault to every entry whose name is taken: by another of the file, or by the book."""
    in_book = {
        ("dish" if one.kind == "dish" else "made", name_key(one.name)): one
        for one in there
        if one.kind in ("dish", "preparation", "ingredient")
    }
    first: dict[tuple[str, str], Place] = {}

    def doubt(kind: str, name: str, place: Place, good: SheetGood | None = None) -> list[Fault]:
        key = ("dish" if kind == "dish" else "made", name_key(name))
        if key in first:
            other = first[key]
            where = other.cell if other.file == place.file and other.cell else str(Origin(other.file, other.row))
            return [
                place.fault(f"'{name}' is here twice: it also stands at {where}.", "Give one of them another name.")
            ]
        first[key] = place
        old = in_book.get(key)
        if old is None:
            return []
        if old.kind != kind:
            return [
                place.fault(
                    f"the book has a{'n' if old.kind == 'ingredient' else ''} {old.kind} '{old.name}' at {old.path}:{old.line}.",
                    "Give one of them another name.",
                )
            ]
        if replace_entries:
            given = {key for key, _, _ in (*good.spec, *good.keys)} if good is not None else set()
            lost = would_be_lost(old, given)
            shown = ", ".join(f"'{key}'" for key in lost)
            problem = f"'{old.name}' at {old.path}:{old.line} has {shown}, which this file does not give and which would be lost."
            mend = "Change that entry by hand, or take it out of the book first, so that nothing it says of allergens goes unseen."
            return [place.fault(problem, mend)] if lost else []
        return [
            place.fault(
                f"'{name}' is in the book already, at {old.path}:{old.line}.",
                "Say --replace to put this one in its place, or give it another name.",
            )
        ]

    recipes = [replace(one, faults=(*one.faults, *doubt(one.kind, one.name, one.place))) for one in taken.recipes]
    goods = [replace(one, faults=(*one.faults, *doubt("ingredient", one.name, one.place, one))) for one in taken.goods]
    return recipes, goods


def _unknown_names(recipes: list[SheetRecipe], words: KitchenWords, book: Book) -> list[NameNotKnown]:
    counted: dict[str, tuple[str, int, Place]] = {}
    for recipe in recipes:
        for line in recipe.lines:
            if not words.find(line.name):
                key = name_key(line.name)
                name, count, place = counted.get(key, (line.name, 0, line.place))
                counted[key] = (name, count + 1, place)
    choices = [
        *book.ingredients,
        *book.preparations,
        *(name for name in shelf_names() if name not in book.ingredients),
    ]
    ranked = sorted(counted.values(), key=lambda one: (-one[1], fold_text(one[0])))
    return [
        NameNotKnown(name, count, place, tuple(nearest_names(name, choices, at_least=0.7)) if order < 150 else ())
        for order, (name, count, place) in enumerate(ranked)
    ]


def _place(found: BroughtIn, files: BookFiles, slug: str, source: str, day: str, *, replace_entries: bool) -> None:
    """Work out the text of every file that is written."""
    entries: list[tuple[Place, EntryText]] = [(one.place, good_entry(one)) for one in found.goods]
    entries.extend((one.place, recipe_entry(one)) for one in found.recipes)
    there = {(one.kind, name_key(one.name)): one for one in raw_entries(files)} if replace_entries else {}
    fresh: list[EntryText] = []
    for place, entry in entries:
        old = there.get((entry.kind, name_key(entry.name)))
        if old is None:
            fresh.append(entry)
            continue
        text = found.writes.get(old.path)
        if text is None:
            text = files.raw[old.path].decode(
                "utf-8-sig" if files.raw[old.path].startswith(b"\xef\xbb\xbf") else "utf-8"
            )
        made = replace_entry(text, old.path, old, entry)
        if made is None:
            found.faults.append(
                place.fault(
                    f"'{entry.name}' at {old.path}:{old.line} does not stand in lines of its own, and cannot be replaced there.",
                    "Write that entry as a list item of its own, or take it out first.",
                )
            )
            found.left_out.append(entry.name)
            continue
        found.writes[old.path] = made
        found.files[(entry.kind, entry.name)] = old.path
        found.replaced.append(entry.name)
    if not fresh:
        return
    head = (
        f"# Brought in from {comment(source)}{f' on {day}' if day else ''}. The file it came from was not changed.\n"
    )
    part: list[str] = [head]
    size = len(head.encode())
    path = new_path(files, slug, set(found.writes))
    for entry in fresh:
        text = entry.text + "\n"
        if size + len(text.encode()) > LARGEST_FILE_BYTES * 0.9:
            found.writes[path] = "\n".join([part[0], "".join(part[1:])])
            path, part, size = new_path(files, slug, set(found.writes)), [head], len(head.encode())
        part.append(text)
        size += len(text.encode())
        found.files[(entry.kind, entry.name)] = path
    found.writes[path] = "\n".join([part[0], "".join(part[1:])])
