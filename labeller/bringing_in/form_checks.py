"""What must hold before a file is written in the house form, and what keeps a file from it."""

from collections import Counter

from labeller.book.fields import Notes
from labeller.book.raw_entries import ENTRY_KINDS, entries_of
from labeller.book.yaml_tree import Mapping, Node, Scalar, Sequence, parse_tree
from labeller.bringing_in.form_keys import Role, house_spelling, keys_of, role_inside, role_of_item
from labeller.bringing_in.form_tree import read_layout
from labeller.foundations.faults import Fault, Origin


def says_the_same(before: str, after: str, documents: list[Node], path: str) -> bool:
    """Tell whether two texts say the same, scalar by scalar, with the same comments."""
    again, faults = parse_tree(after, path)
    if faults or [_said(one, "entries") for one in documents] != [_said(one, "entries") for one in again]:
        return False
    comments = [Counter(one.text for one in read_layout(text).remarks) for text in (before, after)]
    return comments[0] == comments[1] and before.count("#") == after.count("#")


def _said(node: Node, role: Role) -> object:
    """Return what a tree says: keys with an order of the house's apart from their order, all else as it stands."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Sequence):
        return [_said(item, role) for item in node.items]
    keys = tuple(key.text for key, _ in node.pairs)
    role = role_of_item(role, keys[0] if keys else "", keys)
    pairs = []
    for key, value in node.pairs:
        name = house_spelling(role, key.text)
        pairs.append((name, _said(value, role_inside(role, name))))
    if keys_of(role):
        first = pairs[:1] if role in ENTRY_KINDS else []
        return {"first": first, "keys": sorted(pairs, key=lambda one: one[0])}
    return {"pairs": pairs}


def not_a_list(documents: list[Node], path: str) -> list[Fault]:
    """Return a fault for every document that is no list of entries."""
    if all(isinstance(one, Sequence) or (isinstance(one, Scalar) and not one.text.strip()) for one in documents):
        return []
    notes = Notes()
    entries_of(documents, path, notes)
    return notes.faults


def given_twice(documents: list[Node], path: str) -> list[Fault]:
    """Return a fault for every key given twice in one entry or list of keys."""
    found: list[Fault] = []
    waiting: list[tuple[Node, Role]] = [(one, "entries") for one in documents]
    seen: set[int] = set()
    while waiting:
        node, role = waiting.pop()
        if id(node) in seen:
            continue
        seen.add(id(node))
        if isinstance(node, Sequence):
            waiting += [(item, role) for item in node.items]
        elif isinstance(node, Mapping):
            keys = tuple(key.text for key, _ in node.pairs)
            role = role_of_item(role, keys[0] if keys else "", keys)
            first: dict[str, int] = {}
            for key, value in node.pairs:
                name = house_spelling(role, key.text)
                if name in first:
                    problem = f"'{key.text}' is given twice (first on line {first[name]})."
                    found.append(Fault(Origin(path, key.line), key.text, problem, "Keep one of them."))
                first.setdefault(name, key.line)
                waiting.append((value, role_inside(role, name)))
    return sorted(found, key=lambda one: one.origin.line)
