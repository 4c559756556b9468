"""Read a YAML file into a plain tree that remembers the line of everything.

All scalars stay text. No tag is honoured, so nothing can be built or run from a file. Nesting, aliases and size are
bounded: a hostile file gets a fault, not a hang.
"""

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from labeller.book.sizes import LARGEST_FILE_BYTES, too_large
from labeller.foundations.faults import Fault, Origin
from labeller.foundations.plain import dataclass

if TYPE_CHECKING:
    import yaml

DEEPEST_NESTING = 30
MOST_NODES = 400_000  # with aliases written out, so that a few lines cannot stand for millions
MOST_BY_ALIAS = 20_000

_TOO_DEEP = (
    f"brackets or indents stand more than {DEEPEST_NESTING} deep here.",
    "A book needs five levels at most: write it flatter.",
)
_UNPRINTABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ufffe\uffff]")  # YAML 1.2, section 5.1


@dataclass(slots=True)
class Scalar:
    """A piece of text; ``quoted`` tells whether the cook put it in quotes."""

    text: str
    line: int
    quoted: bool = False
    size: int = 1
    end_line: int = 0


@dataclass(slots=True)
class Sequence:
    """A list; ``flow`` tells whether it stood in square brackets."""

    items: "list[Node]"
    line: int
    flow: bool = False
    size: int = 1


@dataclass(slots=True)
class Mapping:
    """Keys with values in the order written; a key given twice stands here twice."""

    pairs: "list[tuple[Scalar, Node]]"
    line: int
    flow: bool = False
    size: int = 1


Node = Scalar | Sequence | Mapping


class _TooMuchError(Exception):
    def __init__(self, line: int, problem: str, mend: str) -> None:
        super().__init__(problem)
        self.line, self.problem, self.mend = line, problem, mend


def decode_text(raw: bytes, path: str) -> tuple[str | None, list[Fault]]:
    """Decode a file strictly as UTF-8, with its size bounded; a byte-order mark is allowed."""
    if len(raw) > LARGEST_FILE_BYTES:
        return None, [too_large(len(raw), path)]
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as reason:
        line = raw.count(b"\n", 0, reason.start) + 1
        return None, [
            Fault(
                Origin(path, line),
                "file",
                f"the byte 0x{raw[reason.start]:02x} is not UTF-8 text.",
                "Save the file as UTF-8 ('Encoding: UTF-8' in the editor's save dialogue).",
            )
        ]
    unprintable = _UNPRINTABLE.search(text)
    if unprintable:
        line = text.count("\n", 0, unprintable.start()) + 1
        return None, [
            Fault(
                Origin(path, line),
                "file",
                f"there is a character that is not text (code {ord(unprintable[0])}) on this line.",
                "Delete it; if the file looks right on screen, type the line again.",
            )
        ]
    return text, []


def parse_tree(text: str, path: str) -> tuple[list[Node], list[Fault]]:
    """Parse YAML text into the trees of its documents.

    Returns
    -------
    tuple[list[Node], list[Fault]]
        One tree for each document; faults where the text is not YAML, goes too deep or stands for too much.
    """
    import yaml  # noqa: PLC0415 - who works with a book another process has read needs no reader of files

    loader: type = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
    try:
        return _build(yaml.parse(text, Loader=loader)), []
    except _TooMuchError as reason:
        return [], [Fault(Origin(path, reason.line), "file", reason.problem, reason.mend)]
    except yaml.YAMLError as reason:
        mark = getattr(reason, "problem_mark", None) or getattr(reason, "context_mark", None)
        line = mark.line + 1 if mark is not None else 1
        problem, mend = _explain(text, line)
        return [], [Fault(Origin(path, line), "file", problem, mend)]
    except (RecursionError, ValueError, OverflowError):
        return [], [
            Fault(
                Origin(path, 1),
                "file",
                "this file is not readable as YAML.",
                "Write it again in the form of the README's example.",
            )
        ]


def _explain(text: str, line: int) -> tuple[str, str]:
    """Say in a cook's words what stops the reader at a line, from the line itself."""
    lines = text.rstrip().splitlines()
    line = min(line, len(lines))
    shown = lines[line - 1].strip()[:80] if 0 < line <= len(lines) else ""
    quoted = f"'{shown}' " if shown else ""
    raw = lines[line - 1] if 0 < line <= len(lines) else ""
    if max(raw.count("["), raw.count("{")) > DEEPEST_NESTING:
        return _TOO_DEEP
    if "\t" in raw[: len(raw) - len(raw.lstrip())]:
        return f"{quoted}begins with a tab.", "Write spaces in place of the tab."
    if raw.lstrip().startswith(("%", "@", "`")):
        return f"{quoted}begins with '{raw.lstrip()[0]}', which cannot begin a text here.", "Put the text in quotes."
    if raw.count('"') % 2 or (raw.count("'") % 2 == 1 and raw.count("'") < 3):
        return (
            f"{quoted}is not readable: a quote is opened and not closed near here.",
            "Close the quote, or put the whole text in double quotes.",
        )
    if raw.count(": ") > 1 or (": " in raw and "[" not in raw and "{" not in raw):
        return (
            f"{quoted}is not readable: a colon or the indent is not where a list or an entry can have it.",
            "Put a text that has a colon in quotes, and line the keys of an entry up under each other.",
        )
    return (
        f"{quoted}is not readable here: a bracket, a quote or the indent does not fit.",
        "Look at this line and the one above: close brackets and quotes, line the keys of an entry up under each other.",
    )


def _line_of(event: "yaml.Event", *, at_end: bool = False) -> int:
    mark = event.end_mark if at_end else event.start_mark
    return 1 if mark is None else mark.line + 1


def _build(events: "Iterator[yaml.Event]") -> list[Node]:
    import yaml  # noqa: PLC0415 - as above

    documents: list[Node] = []
    open_nodes: list[Sequence | Mapping] = []
    waiting_keys: list[Scalar | None] = []
    anchors: dict[str, Node] = {}
    anchored: list[str | None] = []
    total = by_alias = 0

    def place(node: Node) -> None:
        if not open_nodes:
            documents.append(node)
            return
        parent = open_nodes[-1]
        if isinstance(parent, Sequence):
            parent.items.append(node)
            return
        key = waiting_keys[-1]
        if key is None:
            if not isinstance(node, Scalar):
                raise _TooMuchError(
                    node.line, "a key is a list or an entry here, not a word.", "Write a word before the colon."
                )
            waiting_keys[-1] = node
        else:
            parent.pairs.append((key, node))
            waiting_keys[-1] = None

    for event in events:
        if isinstance(event, yaml.ScalarEvent):
            quoted = event.style in ("'", '"')
            node = Scalar(event.value, _line_of(event), quoted, 1, _line_of(event, at_end=True))
            total += 1
            if event.anchor:
                anchors[event.anchor] = node
            # Most of a book are words in lists and behind keys: they are put in their place here.
            parent = open_nodes[-1] if open_nodes else None
            if isinstance(parent, Mapping):
                key = waiting_keys[-1]
                if key is None:
                    waiting_keys[-1] = node
                else:
                    parent.pairs.append((key, node))
                    waiting_keys[-1] = None
            elif parent is not None:
                parent.items.append(node)
            else:
                documents.append(node)
        elif isinstance(event, (yaml.SequenceStartEvent, yaml.MappingStartEvent)):
            if len(open_nodes) >= DEEPEST_NESTING:
                raise _TooMuchError(_line_of(event), *_TOO_DEEP)
            line, flow = _line_of(event), bool(event.flow_style)
            opened: Sequence | Mapping = (
                Sequence([], line, flow) if isinstance(event, yaml.SequenceStartEvent) else Mapping([], line, flow)
            )
            total += 1
            open_nodes.append(opened)
            waiting_keys.append(None)
            anchored.append(event.anchor)
        elif isinstance(event, (yaml.SequenceEndEvent, yaml.MappingEndEvent)):
            closed = open_nodes.pop()
            waiting_keys.pop()
            children = closed.items if isinstance(closed, Sequence) else [value for _, value in closed.pairs]
            closed.size = 1 + sum(child.size for child in children)
            anchor = anchored.pop()
            if anchor:
                anchors[anchor] = closed
            place(closed)
        elif isinstance(event, yaml.AliasEvent):
            line = _line_of(event)
            target = anchors.get(event.anchor or "")
            if target is None:
                raise _TooMuchError(
                    line, f"'*{event.anchor}' points at nothing above it.", "Write the text out in full."
                )
            total += target.size
            by_alias += target.size
            place(target)
        if total > MOST_NODES or by_alias > MOST_BY_ALIAS:
            raise _TooMuchError(
                _line_of(event),
                "this file stands for more entries than a book can hold.",
                "Write repeated parts out once and split the file.",
            )
    return documents


def node_from_plain(value: object, line: int) -> Node:
    """Make a tree from compiled data (texts, lists and mappings), every node on one line."""
    if isinstance(value, dict):
        return Mapping([(Scalar(str(key), line), node_from_plain(inner, line)) for key, inner in value.items()], line)
    if isinstance(value, list):
        return Sequence([node_from_plain(inner, line) for inner in value], line)
    return Scalar("" if value is None else str(value), line)
