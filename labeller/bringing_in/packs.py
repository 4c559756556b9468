"""Make an entry of a book from a pack: its figures, the supplier's words, and what the reader makes of them."""

import math
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Final

from labeller.allergens.reader import read_statement
from labeller.allergens.specifications import evidence_from_spec, says_where_to_look
from labeller.book.fields import Notes
from labeller.book.files import BookFiles
from labeller.book.raw_entries import RawEntry, entries_of
from labeller.book.reading import read_book
from labeller.book.yaml_tree import decode_text, parse_tree
from labeller.bringing_in.entry_files import append_entries, entries_in, replace_entry, yaml_text
from labeller.bringing_in.matching import match_name
from labeller.bringing_in.packs_checks import PackFinding
from labeller.bringing_in.packs_figures import FIGURES, KJ_PER_KCAL, Refusal
from labeller.composition.household import load_household
from labeller.composition.table import load_table
from labeller.foundations.faults import Fault
from labeller.foundations.names import name_key
from labeller.foundations.plain import dataclass
from labeller.jurisdictions.in_force import LawInForce
from labeller.kitchen.working_out import work_out

PACKS_FILE: Final = "ingredients/packs.yaml"
_HEAD: Final = "# Ingredients as their packs print them.\n"
_SURE_ENOUGH: Final = 80.0


@dataclass(frozen=True, slots=True)
class Pack:
    """A pack as it will be written: figures per 100 g by the book's own definitions, and the supplier's words."""

    name: str
    figures: Mapping[str, float]
    dated: date
    statement: str = ""
    may_contain: str = ""
    supplier: str = ""
    reference: str = ""
    density: str = ""
    strength: str = ""
    said: tuple[str, ...] = ()
    accepted: tuple[PackFinding, ...] = ()


@dataclass(frozen=True, slots=True)
class Usual:
    """What a food of that name has by the reference table: its row, name, and figures per 100 g."""

    composition: str
    name: str
    figures: Mapping[str, float]


def usual_figures(name: str, *, with_fibre: bool) -> Usual | None:
    """Return the figures of the row a name surely means, by the book's definition of carbohydrate; None where none does."""
    best = match_name(name).best
    if best is None or best.sureness < _SURE_ENOUGH or not best.composition:
        return None
    table = load_table()
    row = table.row_index(best.composition)
    if row is None:
        return None
    fibre = table.figure(row, "fibre_g")
    figures = {key: table.figure(row, key) for key in ("fat_g", "carbohydrate_g", "protein_g")}
    if not with_fibre and not math.isnan(fibre):
        figures["carbohydrate_g"] -= fibre
    figures["energy_kj"] = table.figure(row, "energy_kcal") * KJ_PER_KCAL
    known = {key: value for key, value in figures.items() if not math.isnan(value)}
    return Usual(best.composition, table.name(row), known)


def check_words(statement: str, may_contain: str) -> list[Refusal]:
    """Return what cannot be taken of the supplier's words: too long to read, no statement at all, no allergen known."""
    found = []
    if statement and says_where_to_look(statement):
        problem = f"'{statement}' stands in place of a statement and says nothing of what is in it."
        found.append(Refusal("statement", problem, "Copy the list of ingredients from the pack, or leave it out."))
    _, problems = evidence_from_spec(statement or None, None, covers_all=False, may_contain=may_contain or None)
    found.extend(Refusal(field, problem, mend) for field, problem, mend in problems)
    return found


def calls_for_strength(name: str, statement: str) -> bool:
    """Tell whether the name or the list of ingredients says that alcohol is in it; only its strength then says how much."""
    return bool(read_statement(name).alcohol or read_statement(statement).alcohol)


def apply_mend(figures: Mapping[str, float], finding: PackFinding) -> dict[str, float]:
    """Return the figures with what a finding proposes; a figure that stood under the wrong unit leaves it."""
    mended = dict(figures)
    proposed = dict(finding.proposed)
    if finding.kind == "kj and kcal" and finding.field not in proposed:
        mended.pop(finding.field, None)
    mended.update(proposed)
    return mended


def pack_entry(pack: Pack) -> str:
    """Return the entry of a pack as lines of YAML."""
    lines = [f"# {' '.join(words.split())}\n" for words in pack.said]
    lines += [
        f"# written as typed on {pack.dated.isoformat()}, although {' '.join(one.problem.rstrip('.').split())}\n"
        for one in pack.accepted
    ]
    lines.append(f"- ingredient: {yaml_text(pack.name)}\n")
    if pack.figures:
        figures = ", ".join(f"{key}: {pack.figures[key]:.6g}" for key in FIGURES if key in pack.figures)
        lines.append(f"  per_100_g: {{{figures}}}\n")
    if pack.density:
        lines.append(f"  density: {yaml_text(pack.density)}\n")
    if pack.strength:
        lines.append(f"  strength: {yaml_text(pack.strength)}\n")
    lines.append("  spec:\n")
    for key, value in (("supplier", pack.supplier), ("reference", pack.reference)):
        if value:
            lines.append(f"    {key}: {yaml_text(value)}\n")
    lines.append(f"    dated: {pack.dated.isoformat()}\n")
    for key, value in (("statement", pack.statement), ("may_contain", pack.may_contain)):
        if value:
            lines.append(f"    {key}: {_quoted(value)}\n")
    return "".join(lines)


def _quoted(text: str) -> str:
    one_line = " ".join(text.split())
    return '"' + one_line.replace("\\", "\\\\").replace('"', '\\"') + '"'


def standing_entry(files: BookFiles, name: str) -> RawEntry | None:
    """Return the entry of a book that has a name already, an ingredient or a preparation; None where none has."""
    for path, raw in files.raw.items():
        text, _ = decode_text(raw, path)
        documents, _ = parse_tree(text or "", path)
        for entry in entries_of(documents, path, Notes()):
            if entry.kind in ("ingredient", "preparation") and name_key(entry.name) == name_key(name):
                return entry
    return None


def put_entry(text: str, path: str, name: str, entry: str, *, replace: bool) -> tuple[str | None, list[Fault]]:
    """Return the text of a file with the entry added, or in the place of the one of that name."""
    if replace:
        _, faults = entries_in(text, path)
        replaced = None if faults else replace_entry(text, path, name, entry)
        if replaced is not None:
            _, faults = entries_in(replaced, path)
        return (None, faults) if faults else (replaced, [])
    return append_entries(text if text.strip() else _HEAD + text, path, [entry])


def faults_of_entry(entry: str, name: str, law: LawInForce) -> list[Fault]:
    """Return what the book's own reader would refuse of an entry, held against it in a book of its own before it is written."""
    table, household = load_table(), load_household()
    dish = f"- kitchen: one pack\n  jurisdiction: {law.code}\n- dish: one plate\n  plate:\n    - {{take: {yaml_text('100 g ' + name)}}}\n"
    files = BookFiles(Path(), {"kitchen.yaml": dish.encode("utf-8"), PACKS_FILE: entry.encode("utf-8")})
    book, notes = read_book(
        files,
        jurisdictions=[law.code],
        row_exists=lambda code: table.row_index(code) is not None,
        trade_pieces=household.trade_pieces,
    )
    if book is not None and not notes.faults:
        with_fibre = law.definitions.carbohydrate_with_fibre
        work_out(book, notes, pack_carbohydrate_with_fibre=with_fibre, table=table, household=household)
    return notes.faults
