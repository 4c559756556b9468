"""Put entries into a book's files: into a new file, or in the place of an entry that is replaced; all else stays as it is.

An entry is cut out and put in by its lines, not written again with its file: a writer of YAML, even one that keeps comments, changes
indents and quotes of entries nobody asked it to touch.
"""

import re
import unicodedata
from typing import Any

from labeller.book.fields import Notes
from labeller.book.files import BookFiles
from labeller.book.raw_entries import RawEntry, entries_of
from labeller.book.yaml_tree import Mapping, Node, Scalar, decode_text, parse_tree
from labeller.bringing_in.entry_texts import EntryText
from labeller.foundations.names import name_key


def slug_of(name: str) -> str:
    """Return a file name of plain letters: 'Crème brûlée (v2)' is 'creme-brulee-v2'."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", plain.casefold()).strip("-")[:60] or "recipes"


def new_path(files: BookFiles, slug: str, taken: set[str]) -> str:
    """Return a path under ``imported/`` that no file of the book has."""
    number = 1
    while True:
        path = f"imported/{slug}.yaml" if number == 1 else f"imported/{slug}-{number}.yaml"
        if path not in files.raw and path not in taken and not (files.folder / path).exists():
            return path
        number += 1


def raw_entries(files: BookFiles) -> list[RawEntry]:
    """Return all entries of a book, unread."""
    found: list[RawEntry] = []
    for path, raw in files.raw.items():
        text, _ = decode_text(raw, path)
        if text is not None:
            documents, _ = parse_tree(text, path)
            found.extend(entries_of(documents, path, Notes()))
    return found


def plain(node: Node) -> Any:
    """Return a tree without lines, to compare."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Mapping):
        return [(key.text, plain(value)) for key, value in node.pairs]
    return [plain(item) for item in node.items]


def replace_entry(text: str, path: str, old: RawEntry, new: EntryText) -> str | None:
    """Return a file's text with one entry replaced, or None where the entry does not stand in lines of its own.

    Comments above the next entry stay with that one. The other entries are parsed again and must be as they were.
    """
    lines = text.splitlines(keepends=True)
    before, _ = parse_tree(text, path)
    entries = entries_of(before, path, Notes())
    position = next(
        (
            index
            for index, one in enumerate(entries)
            if one.kind == old.kind and name_key(one.name) == name_key(old.name)
        ),
        None,
    )
    if position is None:
        return None
    start = entries[position].line - 1
    opening = re.match(r"(\s*)-\s", lines[start])
    if opening is None:
        return None
    following = [one.line - 1 for one in entries if one.line - 1 > start]
    end = min(following, default=len(lines))
    own = (
        f"{opening[1]}  # note: ",
        f"{opening[1]}  # method: ",
    )  # what an import before this one wrote at the end of the entry
    while following and end > start + 1 and (not lines[end - 1].strip() or lines[end - 1].lstrip().startswith("#")):
        if lines[end - 1].startswith(own):
            break
        end -= 1
    while not following and end > start + 1 and not lines[end - 1].strip():
        end -= 1
    if start > 0 and lines[start - 1].startswith(f"{opening[1]}# from "):
        start -= 1  # the note of the import before this one
    ending = "\r\n" if lines and lines[0].endswith("\r\n") else "\n"
    put = "".join(f"{opening[1]}{line}{ending}" for line in new.lines)
    made = "".join(lines[:start]) + put + "".join(lines[end:])
    after, faults = parse_tree(made, path)
    kept = [plain(one.node) for index, one in enumerate(entries) if index != position]
    now = entries_of(after, path, Notes())
    if (
        faults
        or len(now) != len(entries)
        or [plain(one.node) for index, one in enumerate(now) if index != position] != kept
    ):
        return None
    return made
