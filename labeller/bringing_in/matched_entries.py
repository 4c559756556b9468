"""Write what names were matched to as entries of a book, in a file of their own."""

from typing import Final

from labeller.bringing_in.entry_files import append_entries, entries_in, entry_lines, yaml_text
from labeller.bringing_in.matching import Candidate
from labeller.composition.table import load_table
from labeller.foundations.faults import Fault
from labeller.foundations.names import name_key

MATCHED_FILE: Final = "ingredients/matched.yaml"
BY_MACHINE: Final = "machine"
BY_HAND: Final = "by hand"
_HEAD: Final = (
    "# Names that the recipes use, each with the good of the shelf or the row of the reference table it was matched to.\n"
    "# What a machine matched waits for a person: compare it with the pack, then take 'matched' out or write who looked.\n"
)


def matched_entry(name: str, candidate: Candidate, by: str) -> str:
    """Return the entry of a name: the good or the row it is, and by whom it was matched."""
    pairs = [("ingredient", yaml_text(name))]
    comments: dict[str, str] = {}
    if candidate.shelf:
        pairs.append(("shelf", yaml_text(candidate.shelf)))
    if candidate.composition:
        pairs.append(("composition", candidate.composition))
        table = load_table()
        row = table.row_index(candidate.composition)
        comments["composition"] = table.name(row) if row is not None else ""
    pairs.append(("matched", by))
    return entry_lines(pairs, comments)


def add_matched(text: str, taken: list[tuple[str, Candidate]], by: str) -> tuple[str | None, list[Fault]]:
    """Return the file of matched names with entries added, or why it cannot be added to.

    An entry that stands there is never changed: a name it already has is left out.
    """
    entries, faults = entries_in(text, MATCHED_FILE)
    if faults:
        return None, faults
    there = {name_key(entry.name) for entry in entries}
    new: list[str] = []
    for name, candidate in taken:
        if name_key(name) not in there:
            there.add(name_key(name))
            new.append(matched_entry(name, candidate, by))
    if not new:
        return text, []
    return append_entries(text if text.strip() else _HEAD + text, MATCHED_FILE, new)
