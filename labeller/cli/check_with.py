"""``labeller check --with``: what a new paper of an ingredient changes."""

import json
from dataclasses import replace
from datetime import date
from pathlib import Path

from labeller.book.entries import Book, Ingredient
from labeller.book.fields import Notes
from labeller.book.files import MOST_BOOK_BYTES
from labeller.book.ingredient_entry import read_ingredient
from labeller.book.raw_entries import RawEntry, entries_of
from labeller.book.yaml_tree import decode_text, parse_tree
from labeller.cli.exits import FAULTS
from labeller.cli.opening import Opened, open_book, print_notes, refuse_usage, today
from labeller.composition.table import load_table
from labeller.declarations.declaring import Declarer
from labeller.declarations.spec_change import changes_between
from labeller.foundations.faults import Fault, Origin
from labeller.foundations.names import exact_key, fold_text, name_key
from labeller.jurisdictions.packs import load_jurisdiction
from labeller.kitchen.working_out import work_out


def check_with(folder: Path, papers: Path, jurisdiction: str | None, *, on: date, json_out: bool) -> int:
    """Print what the entries of a file would change in a book; return 1 where either has faults, else 0."""
    opened = open_book(folder, jurisdiction, on, json_out=json_out)
    notes = Notes()
    replaced = _read_papers(papers, opened.book, notes)
    if not notes.faults:
        book = replace(opened.book, ingredients={**opened.book.ingredients, **replaced})
        law = load_jurisdiction(book.kitchen.jurisdiction).in_force_on(today())
        after = work_out(book, notes, pack_carbohydrate_with_fibre=law.definitions.carbohydrate_with_fibre)
    if notes.faults:
        notes.faults[:] = sorted(dict.fromkeys(notes.faults), key=lambda one: (one.origin, one.field, one.problem))
        print_notes(notes, json_out=json_out, advice=False)
        return FAULTS
    reworded = [name for name, entry in replaced.items() if _statement(entry) != _statement(_old(opened, name))]
    change = changes_between(opened.declarer, Declarer(after, opened.law), replaced, reworded)
    if json_out:
        document = {"jurisdiction": opened.law.code, "on": on.isoformat(), **change.as_json()}
        print(json.dumps(document, ensure_ascii=False, indent=1))
    else:
        print(change.as_text())
    return 0


def _old(opened: Opened, name: str) -> Ingredient:
    return opened.book.ingredients[name]


def _statement(entry: Ingredient) -> str:
    return " ".join((entry.spec.statement or "").split()) if entry.spec is not None else ""


def _read_papers(papers: Path, book: Book, notes: Notes) -> dict[str, Ingredient]:
    """Read the entries of a file that take the place of the book's, by the book's own names."""
    text, faults = decode_text(_bytes_of(papers), papers.name)
    notes.faults.extend(faults)
    if text is None:
        return {}
    documents, faults = parse_tree(text, papers.name)
    notes.faults.extend(faults)
    entries = entries_of(documents, papers.name, notes)
    if not entries and not notes.faults:
        notes.fault(
            papers.name,
            0,
            "file",
            "there is no entry in this file.",
            "Write '- ingredient: ' with a name of the book, and its new 'spec:'.",
        )
    table = load_table()
    equipment = {name_key(one.name): one.name for one in book.kitchen.shared_equipment}
    replaced: dict[str, Ingredient] = {}
    for entry in entries:
        name = _name_in_book(entry, book, notes)
        if name is None:
            continue
        if name in replaced:
            problem = f"'{entry.name}' is given twice: it also stands in {replaced[name].origin}."
            notes.fault(entry.path, entry.line, "ingredient", problem, "Keep one of them.")
            continue
        new = read_ingredient(entry, notes, equipment, lambda code: table.row_index(code) is not None)
        replaced[name] = _in_place(entry, new, book.ingredients[name])
        if new.spec is None and _only_a_spec(entry):
            notes.fault(
                entry.path,
                entry.line,
                "spec",
                f"'{entry.name}' has nothing new here.",
                "Add its new 'spec:', or the whole entry.",
            )
    return replaced


def _bytes_of(papers: Path) -> bytes:
    try:
        if papers.stat().st_size > MOST_BOOK_BYTES:
            raise refuse_usage(f"--with: '{papers}' is larger than 20 MB. Write a file with the new entries alone.")
        return papers.read_bytes()
    except OSError as reason:
        raise refuse_usage(
            f"--with: '{papers}' cannot be read: {reason.strerror}. Write a YAML file with the new entry of the ingredient."
        ) from None


def _name_in_book(entry: RawEntry, book: Book, notes: Notes) -> str | None:
    origin = Origin(entry.path, entry.line)
    if entry.kind != "ingredient":
        problem = f"'{entry.name}' is a {entry.kind}; only papers of ingredients can be tried here."
        notes.faults.append(Fault(origin, entry.kind, problem, "Write '- ingredient: ' and a name of the book."))
        return None
    target = book.targets.get(exact_key(entry.name)) or book.targets.get(name_key(entry.name))
    if target is not None and target.kind == "ingredient" and target.entry in book.ingredients:
        return target.entry
    known = {key(name): name for key in (name_key, exact_key) for name in book.ingredients}
    if target is None and (found := known.get(exact_key(entry.name)) or known.get(name_key(entry.name))):
        return found
    if target is not None:
        problem, mend = (
            f"'{entry.name}' is made in house and has no supplier's paper.",
            "Write the ingredient that goes into it.",
        )
    else:
        near = notes.nearest(entry.name, list(book.ingredients))
        problem = f"'{entry.name}' is not an ingredient of this book."
        mend = f"Write '{near[0]}'." if near else "Write the name of an ingredient as it stands in the book."
    notes.faults.append(Fault(origin, "ingredient", problem, mend))
    return None


def _only_a_spec(entry: RawEntry) -> bool:
    return {fold_text(key.text) for key, _ in entry.node.pairs} <= {"ingredient", "spec", "also"}


def _in_place(entry: RawEntry, new: Ingredient, old: Ingredient) -> Ingredient:
    """Return the new entry under the old name; an entry with nothing but a spec leaves the rest as it was."""
    if _only_a_spec(entry):
        return replace(old, spec=new.spec)
    return replace(new, name=old.name, also=old.also, measures={**old.measures, **new.measures})
