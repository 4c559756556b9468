"""Add entries to a file of a book, or put one in another's place: what else stands in it, comments too, stays as it is.

The file is handled as lines: only the entries concerned change, so every comment, blank line and turn of the cook's hand is kept
byte for byte. A round trip through a YAML library would set the rest anew.
"""

import json
import re
from typing import Final

from labeller.book.fields import Notes
from labeller.book.raw_entries import RawEntry, entries_of
from labeller.book.yaml_tree import Scalar, Sequence, parse_tree
from labeller.foundations.faults import Fault, Origin
from labeller.foundations.names import name_key

_PLAIN: Final = re.compile(r"[^\W\d_][\w %'’/().+&-]*[\w%)]|[^\W\d_]", re.UNICODE)
_READ_OTHERWISE: Final = frozenset({"true", "false", "yes", "no", "on", "off", "null", "y", "n", ".inf", ".nan"})
_ITEM: Final = re.compile(r"^( *)- ")


def yaml_text(text: str) -> str:
    """Return a text as one YAML scalar: bare where every reader takes it for this text, else in double quotes."""
    if _PLAIN.fullmatch(text) and text.casefold() not in _READ_OTHERWISE and " #" not in text and ": " not in text:
        return text
    return json.dumps(text, ensure_ascii=False)


def entry_lines(pairs: list[tuple[str, str]], comments: dict[str, str] | None = None) -> str:
    """Return one entry as lines of YAML.

    Parameters
    ----------
    pairs : list of (str, str)
        Keys and values already written as YAML; the first key says what the entry is.
    comments : dict of str, optional
        Words to set behind a key's value.
    """
    said = comments or {}
    lines = []
    for place, (key, value) in enumerate(pairs):
        begin = "- " if place == 0 else "  "
        comment = f"  # {' '.join(said[key].split())}" if said.get(key) else ""
        lines.append(f"{begin}{key}: {value}{comment}\n")
    return "".join(lines)


def entries_in(text: str, path: str) -> tuple[list[RawEntry], list[Fault]]:
    """Return the entries a text holds, and why it cannot be added to: a fault in it, or a list that is not one entry a line."""
    documents, faults = parse_tree(text, path)
    if faults:
        return [], faults
    documents = [one for one in documents if not (isinstance(one, Scalar) and not one.text.strip())]
    if len(documents) > 1 or any(not isinstance(one, Sequence) or one.flow for one in documents):
        line = documents[-1].line
        mend = "Write it as a list, each entry beginning with '- ' on a line of its own."
        return [], [Fault(Origin(path, line), "file", "entries cannot be added to a file written like this.", mend)]
    notes = Notes()
    return entries_of(documents, path, notes), notes.faults


def append_entries(text: str, path: str, entries: list[str]) -> tuple[str | None, list[Fault]]:
    """Return the text of a file with entries added at its end, indented as its own are, or why it cannot be added to."""
    before, faults = entries_in(text, path)
    if faults:
        return None, faults
    indents = [found.group(1) for line in text.splitlines() if (found := _ITEM.match(line))]
    indent = indents[0] if indents else ""
    end = "" if not text or text.endswith("\n") else "\n"
    gap = "\n" if text.strip() else ""
    added = text + end + gap + "\n".join(_indented(entry, indent) for entry in entries)
    after, faults = entries_in(added, path)
    if faults or len(after) != len(before) + len(entries):
        mend = "Write the end of this file as plain entries, each beginning with '- '."
        line = text.count("\n") + 1
        return None, [Fault(Origin(path, line), "file", "entries cannot be added at the end of this file.", mend)]
    return added, []


def replace_entry(text: str, path: str, name: str, entry: str) -> str | None:
    """Return the text with the ingredient of a name replaced; None where it has none.

    Comments that stood between its lines are kept, above the new entry.
    """
    found, _ = entries_in(text, path)
    old = next((one for one in found if one.kind == "ingredient" and name_key(one.name) == name_key(name)), None)
    if old is None:
        return None
    lines = text.splitlines(keepends=True)
    first = old.line - 1
    later = [one.line - 1 for one in found if one.line > old.line]
    last = min(later) if later else len(lines)
    while last > first + 1 and (not lines[last - 1].strip() or lines[last - 1].lstrip().startswith("#")):
        last -= 1  # blank lines and comments before the next entry belong to that one
    match = _ITEM.match(lines[first])
    indent = match.group(1) if match else ""
    kept = [line for line in lines[first + 1 : last] if line.lstrip().startswith("#")]
    comments = [f"{indent}{line.lstrip()}" for line in kept]
    if comments and not comments[-1].endswith("\n"):
        comments[-1] += "\n"
    return "".join([*lines[:first], *comments, _indented(entry, indent), *lines[last:]])


def _indented(entry: str, indent: str) -> str:
    return "".join(f"{indent}{line}" for line in entry.splitlines(keepends=True))
