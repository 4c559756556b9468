"""A file of a book as a tree that knows where every piece of it stands in the text, with its comments.

The house form is written from this tree and from the text itself. A library's round trip binds a comment to what stands above it, so
that a key moved would take the next key's comment along; here every comment is placed by its own line and column.
"""

import re
from bisect import bisect_right
from dataclasses import dataclass, field
from typing import Literal

import yaml

_Loader: type = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
_SIGN = re.compile(r"(?:^|(?<=[\s,\[\]{}\"']))#[^\n]*", re.MULTILINE)

NodeKind = Literal["scalar", "list", "map", "alias"]


class LeftAloneError(Exception):
    """A file, or a piece of it, that cannot be laid out safely; the words say why, for a cook."""

    def __init__(self, line: int, problem: str, mend: str) -> None:
        super().__init__(problem)
        self.line, self.problem, self.mend = line, problem, mend


@dataclass(slots=True)
class Piece:
    """A node: ``start`` and ``end`` are places in the text, the anchor before a list or a map apart.

    ``style`` is how a scalar is quoted ('' for plain). ``children`` are the items of a list; of a map the keys and values in turn.
    """

    kind: NodeKind
    start: int
    end: int
    value: str = ""
    style: str = ""
    flow: bool = False
    prefix: str = ""
    children: "list[Piece]" = field(default_factory=list)

    def pairs(self) -> "list[tuple[Piece, Piece]]":
        """Return the keys of a map with their values."""
        return list(zip(self.children[::2], self.children[1::2], strict=True))


@dataclass(slots=True)
class Remark:
    """A comment: its words with the sign, its line from 0, its column, and whether it stands alone on its line."""

    start: int
    text: str
    line: int
    column: int
    alone: bool


@dataclass(slots=True)
class Document:
    """One document of a file; ``opened_at`` is where its '---' stands, -1 without one."""

    root: Piece | None
    opened_at: int


@dataclass(slots=True)
class Layout:
    """The text of a file, its documents, its comments in order, and the text with the comments blotted out."""

    text: str
    documents: list[Document]
    remarks: list[Remark]
    blotted: str
    line_starts: list[int]

    def line_of(self, place: int) -> int:
        """Return the line of a place, from 0."""
        return bisect_right(self.line_starts, place) - 1

    def column_of(self, place: int) -> int:
        """Return the column of a place, from 0."""
        return place - self.line_starts[self.line_of(place)]

    def blanks_above(self, line: int) -> int:
        """Count the empty lines right above a line."""
        count = 0
        while line - count > 0 and not self.line(line - count - 1).strip():
            count += 1
        return count

    def line(self, number: int) -> str:
        """Return a line without its break."""
        start = self.line_starts[number]
        end = self.line_starts[number + 1] - 1 if number + 1 < len(self.line_starts) else len(self.text)
        return self.text[start:end]


def read_layout(text: str) -> Layout:
    """Read text whose line breaks are plain.

    Raises
    ------
    LeftAloneError
        Where the file uses what no book needs and what cannot be laid out: directives, keys that are lists.
    yaml.YAMLError
        Where the text is not YAML.
    """
    documents: list[Document] = []
    scalars: list[Piece] = []
    stack: list[Piece] = []
    line_starts = [0, *(found.end() for found in re.finditer("\n", text))]

    def place(piece: Piece) -> None:
        if stack:
            stack[-1].children.append(piece)
        else:
            documents[-1].root = piece

    for event in yaml.parse(text, Loader=_Loader):
        if event.start_mark is None or event.end_mark is None:
            continue
        start, end = event.start_mark.index, event.end_mark.index
        if isinstance(event, yaml.DocumentStartEvent):
            if event.version or event.tags:
                line = bisect_right(line_starts, start)
                raise LeftAloneError(line, "this file begins with a directive ('%').", "Take the line out.")
            documents.append(Document(None, text.find("---", start) if event.explicit else -1))
        elif isinstance(event, yaml.DocumentEndEvent) and event.explicit:
            line = bisect_right(line_starts, start)
            raise LeftAloneError(line, "'...' ends a part of this file.", "Take the line out.")
        elif isinstance(event, yaml.ScalarEvent):
            piece = Piece("scalar", start, end, event.value, event.style or "", prefix=_prefix(event, text, start))
            scalars.append(piece)
            place(piece)
        elif isinstance(event, yaml.AliasEvent):
            piece = Piece("alias", start, end, f"*{event.anchor}")
            scalars.append(piece)
            place(piece)
        elif isinstance(event, (yaml.SequenceStartEvent, yaml.MappingStartEvent)):
            kind: NodeKind = "list" if isinstance(event, yaml.SequenceStartEvent) else "map"
            opened = Piece(kind, start, end, flow=bool(event.flow_style), prefix=_prefix(event, text, start))
            place(opened)
            stack.append(opened)
        elif isinstance(event, (yaml.SequenceEndEvent, yaml.MappingEndEvent)):
            closed = stack.pop()
            closed.end = end
    remarks = _remarks(text, scalars, line_starts)
    blotted = text
    if remarks:
        parts, last = [], 0
        for one in remarks:
            parts += [text[last : one.start], " " * len(one.text)]
            last = one.start + len(one.text)
        blotted = "".join([*parts, text[last:]])
    return Layout(text, documents, remarks, blotted, line_starts)


def _prefix(event: yaml.Event, text: str, start: int) -> str:
    """Return anchor and tag of a node as written, or ''."""
    if not (getattr(event, "anchor", None) or getattr(event, "tag", None)):
        return ""
    found = re.match(r"(?:[&!][^\s\[\]{},]*\s*){1,2}", text[start:])
    return " ".join(found[0].split()) if found else ""


def _remarks(text: str, scalars: list[Piece], line_starts: list[int]) -> list[Remark]:
    """Return every comment: a '#' at the start of a line, after space or after a bracket, comma or quote, outside all scalars."""
    found: list[Remark] = []
    spans = sorted((one.start, one.end) for one in scalars if one.end > one.start)
    starts = [start for start, _ in spans]
    for sign in _SIGN.finditer(text):
        position = sign.start()
        while True:  # a '#' inside a scalar may hide a comment behind the scalar on the same line
            inside = bisect_right(starts, position) - 1
            if inside < 0 or position >= spans[inside][1]:
                break
            later = _SIGN.search(text, spans[inside][1], max(sign.end(), spans[inside][1]))
            if later is None:
                position = -1
                break
            position = later.start()
        if position < 0 or (found and position < found[-1].start + len(found[-1].text)):
            continue
        line = bisect_right(line_starts, position) - 1
        end = text.find("\n", position)
        words = text[position : end if end >= 0 else len(text)]
        column = position - line_starts[line]
        alone = not text[line_starts[line] : position].strip()
        found.append(Remark(position, words.rstrip(), line, column, alone))
    return found
