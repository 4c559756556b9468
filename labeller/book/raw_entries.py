"""Find the entries of a file: each a mapping whose first key says its kind and its name."""

from labeller.book.fields import LONGEST_NAME, Notes
from labeller.book.yaml_tree import Mapping, Node, Scalar, Sequence
from labeller.foundations.names import fold_text
from labeller.foundations.plain import dataclass

ENTRY_KINDS = ("kitchen", "ingredient", "preparation", "dish", "menu")


@dataclass(frozen=True, slots=True)
class RawEntry:
    """One entry as it stands in its file: kind, name, and the tree of its fields."""

    kind: str
    name: str
    node: Mapping
    path: str
    line: int


def entries_of(documents: list[Node], path: str, notes: Notes) -> list[RawEntry]:
    """Return the entries of a file's documents; what is no entry is a fault."""
    found: list[RawEntry] = []
    for document in documents:
        if isinstance(document, Scalar) and not document.text.strip():
            continue
        if not isinstance(document, Sequence):
            notes.fault(
                path,
                document.line,
                "file",
                "this file is not a list of entries.",
                "Begin each entry with '- ', as in '- ingredient: double cream'.",
            )
            continue
        for node in document.items:
            entry = _entry(node, path, notes)
            if entry is not None:
                found.append(entry)
    return found


def _entry(node: Node, path: str, notes: Notes) -> RawEntry | None:
    if not isinstance(node, Mapping) or not node.pairs:
        shown = f"'{node.text[:60]}'" if isinstance(node, Scalar) and node.text else "this"
        notes.fault(
            path,
            node.line,
            "file",
            f"{shown} is not an entry.",
            f"Begin an entry with its kind and name: one of {', '.join(ENTRY_KINDS)}.",
        )
        return None
    key, value = node.pairs[0]
    kind = fold_text(key.text)
    if kind not in ENTRY_KINDS:
        later = [other for other, _ in node.pairs[1:] if fold_text(other.text) in ENTRY_KINDS]
        near = notes.nearest(kind, list(ENTRY_KINDS))
        if later:
            notes.fault(
                path,
                later[0].line,
                later[0].text,
                f"'{later[0].text}' is not the first key of its entry.",
                f"Write it above '{key.text}': the first key says what an entry is.",
            )
        else:
            mend = f"Write '{near[0]}'." if near else f"The first key of an entry is one of {', '.join(ENTRY_KINDS)}."
            notes.fault(path, key.line, key.text, f"'{key.text}' is not a kind of entry.", mend)
        return None
    name = " ".join(value.text.split()) if isinstance(value, Scalar) else ""
    if not name:
        notes.fault(path, key.line, kind, f"this {kind} has no name.", f"Write '- {kind}: ' and its name.")
        return None
    if len(name) > LONGEST_NAME:
        problem = f"'{name[:60]}...' is longer than a name can be."
        notes.fault(path, key.line, kind, problem, f"Write a name of at most {LONGEST_NAME} letters.")
        return None
    return RawEntry(kind, name, node, path, key.line)


def value_of(node: Mapping, name: str) -> Node | None:
    """Return the value of a key, or None where the key is not there."""
    for key, value in node.pairs:
        if fold_text(key.text) == name:
            return value
    return None


def holds_nothing(node: Node) -> bool:
    """Tell whether a value is an empty list, or nothing at all behind its colon."""
    return (isinstance(node, Sequence) and not node.items) or (isinstance(node, Scalar) and not node.text.strip())
