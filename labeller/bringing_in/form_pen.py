"""The pen of the house form: writes the pieces of a file one after another, each with the comments that belong to it."""

import re
from dataclasses import dataclass, field
from typing import Final

from labeller.bringing_in.form_blocks import Block, set_apart
from labeller.bringing_in.form_keys import Role, house_spelling, keys_of, role_inside, role_of_item
from labeller.bringing_in.form_scalars import Where, in_quotes, stands_plain
from labeller.bringing_in.form_tree import Layout, LeftAloneError, Piece, Remark

FAR: Final = 10**9
"""A place behind the end of every file."""

_BLOCK_HEADER: Final = re.compile(r"[|>][-+]?(?:[ \t].*)?$")
_LINES: Final = ("amounts", "amount", "method", "")  # where a text may be an amount
_ENTRIES: Final = ("kitchen", "ingredient", "preparation", "dish", "menu")


@dataclass(slots=True)
class Pen:
    """Writes pieces one after another; ``done`` counts the comments already written."""

    layout: Layout
    lines: list[str] = field(default_factory=list)
    done: int = 0

    # Comments -------------------------------------------------------------------------------------------------------

    def _next(self, limit: int) -> Remark | None:
        remarks = self.layout.remarks
        return remarks[self.done] if self.done < len(remarks) and remarks[self.done].start < limit else None

    def remarks_before(self, limit: int, indent: int, *, most_blanks: int) -> list[str]:
        """Return the comments above a place as lines of their own, with the empty lines between them."""
        found: list[str] = []
        while one := self._next(limit):
            blanks = self.layout.blanks_above(one.line) if one.alone else 0
            found += [""] * min(blanks, most_blanks if not found else 1)
            found.append(" " * indent + one.text)
            self.done += 1
        return found

    def remark_behind(self, end: int, gap_kept: bool) -> str:
        """Return the comment on the line on which a piece ends, with the space before it."""
        one = self._next(FAR)
        if one is None or one.alone or one.line != self.layout.line_of(max(end - 1, 0)):
            return ""
        self.done += 1
        # One space before a '#' may mean that it belongs to the amount; 'check' advises on it, so it is not tidied away.
        single = gap_kept and self.layout.text[one.start - 2 : one.start - 1].strip()
        return f"{' ' if single else '  '}{one.text}"

    def tail(self, first_column: int, next_column: int, next_start: int, indent: int) -> list[str]:
        """Return the comments that end a list or a map: as far in as its parts, and further in than what follows."""
        found: list[str] = []
        while (
            (one := self._next(next_start)) and one.alone and one.column >= first_column and one.column > next_column
        ):
            found += [""] * min(self.layout.blanks_above(one.line), 1)
            found.append(" " * indent + one.text)
            self.done += 1
        return found

    # Documents and entries ------------------------------------------------------------------------------------------

    def write_document(self, root: Piece | None, opened_at: int) -> None:
        """Write one document: comments, its '---' where it has one, its entries."""
        if opened_at >= 0:
            self.lines += self.remarks_before(opened_at, 0, most_blanks=1)
            self.lines.append("---" + self.remark_behind(opened_at + 3, gap_kept=False))
        if root is None or (root.kind == "scalar" and not root.value):
            return
        if root.flow or root.kind != "list":
            self.lines += self.remarks_before(root.start, 0, most_blanks=1)
            shown = self.inline(root, "entries", "item", 0, 0)
            self.lines += (shown + self.remark_behind(root.end, gap_kept=False)).split("\n")
            return
        blocks = self._items(root, "entries", 0, -1, FAR)
        self.lines += set_apart(blocks) if blocks else []
        self.lines += self.tail(self._dash(root, 0), -1, self._next_document(root), 0)

    def _next_document(self, root: Piece) -> int:
        later = [one.opened_at for one in self.layout.documents if one.opened_at > root.start]
        return min(later, default=FAR)

    def _dash(self, piece: Piece, number: int) -> int:
        """Return the column of the dash before an item."""
        start = piece.children[number].start
        return self.layout.column_of(self.layout.blotted.rfind("-", 0, start))

    def _items(self, piece: Piece, role: Role, indent: int, next_column: int, next_start: int) -> list["Block"]:
        """Return the items of a list, each a block of lines."""
        blocks: list[Block] = []
        column = self._dash(piece, 0)
        for number, item in enumerate(piece.children):
            last = number + 1 == len(piece.children)
            follows = (next_column, next_start) if last else (column, piece.children[number + 1].start)
            if not last:
                follows = (column, self.layout.blotted.rfind("-", 0, piece.children[number + 1].start))
            start = self.layout.blotted.rfind("-", 0, item.start)
            pending = self._next(item.start)
            top = self.layout.line_of(min(start, pending.start if pending else start))
            blanks = self.layout.blanks_above(top)
            above = self.remarks_before(item.start, indent, most_blanks=0)
            # Empty lines between the comments above an item and the item itself.
            if above and (gap := self.layout.blanks_above(self.layout.line_of(start))):
                above += [""] * min(gap, 1)
            body = self._body(item, role, indent + 2, *follows, where="item")
            body[0] = " " * indent + "- " + body[0].lstrip(" ") if body[0] else " " * indent + "-"
            blocks.append(Block(blanks, above, [line.rstrip() if not line.strip() else line for line in body]))
        return blocks

    def _body(
        self, piece: Piece, role: Role, indent: int, next_column: int, next_start: int, *, where: Where
    ) -> list[str]:
        """Return a node as lines of its own at an indent."""
        if piece.kind == "map":
            keys = tuple(key.value for key, _ in piece.pairs())
            role = role_of_item(role, keys[0] if keys else "", keys)
        if piece.flow or piece.kind in ("scalar", "alias"):
            shown = self.inline(piece, role, where, indent, indent - 2)
            return (shown + self.remark_behind(piece.end, gap_kept=not piece.style and role in _LINES)).split("\n")
        head = [piece.prefix + self._behind_prefix(piece)] if piece.prefix else []
        if piece.kind == "list":
            lines = [
                line
                for number, block in enumerate(self._items(piece, role, indent, next_column, next_start))
                for line in block.lines(1 if number else 0)
            ]
            column = self._dash(piece, 0)
        else:
            lines = self._pairs(piece, role, indent, next_column, next_start)
            column = self.layout.column_of(piece.children[0].start)
        return [*head, *lines, *self.tail(column, next_column, next_start, indent)]

    def _behind_prefix(self, piece: Piece) -> str:
        return self.remark_behind(piece.start + 1, gap_kept=False) if not piece.flow else ""

    def _pairs(self, piece: Piece, role: Role, indent: int, next_column: int, next_start: int) -> list[str]:
        """Return the keys of a map with their values, in the house order where no anchor or alias hangs on the order."""
        pairs = piece.pairs()
        column = self.layout.column_of(pairs[0][0].start)
        written: list[tuple[str, Block]] = []
        for number, (key, value) in enumerate(pairs):
            last = number + 1 == len(pairs)
            follows = (next_column, next_start) if last else (column, pairs[number + 1][0].start)
            if key.kind != "scalar" or key.prefix or "\n" in self.layout.text[key.start : key.end]:
                line = self.layout.line_of(key.start) + 1
                raise LeftAloneError(line, "a key here is not one plain word.", "Write a word before the colon.")
            name = house_spelling(role, key.value)
            pending = self._next(key.start)
            top = self.layout.line_of(min(key.start, pending.start if pending else key.start))
            blanks = self.layout.blanks_above(top) if number else 0
            above = self.remarks_before(key.start, indent, most_blanks=0)
            shown = name if name != key.value else self._scalar(key, "key", indent)
            inner = role_inside(role, name)
            block = value.kind in ("list", "map") and not value.flow
            if block:
                prefix = f" {value.prefix}" if value.prefix else ""
                head = " " * indent + shown + ":" + prefix + self.remark_behind(key.end, gap_kept=False)
                bare = Piece(value.kind, value.start, value.end, children=value.children)
                body = [head, *self._body(bare, inner, indent + 2, *follows, where="value")]
            else:
                above += self.remarks_before(value.start, indent, most_blanks=0)
                quoted = role == "spec" and name == "statement"
                body = self._short(key, value, shown, role, inner, indent, always_quoted=quoted)
            written.append((name, Block(blanks, above, body)))
        order = keys_of(role)
        if order and not self._is_referred_to(piece) and (role not in _ENTRIES or written[0][0] == order[0]):
            places = {name: number for number, name in enumerate(order)}
            written.sort(key=lambda one: places.get(one[0], len(places)))
        return [line for number, (_, block) in enumerate(written) for line in block.lines(1 if number else 0)]

    def _short(
        self, key: Piece, value: Piece, shown: str, role: Role, inner: Role, indent: int, *, always_quoted: bool
    ) -> list[str]:
        """Return a key with a text or a list in brackets behind it."""
        empty = value.kind == "scalar" and value.start == value.end
        start = f"{shown}:" if empty else f"{shown}: "
        if empty:
            text = ""
        elif always_quoted and self._is_one_line(value):
            text = in_quotes(value.value, self.layout.text[value.start : value.end] if value.style else value.value)
        else:
            text = self.inline(value, inner, "value", indent + len(start), indent)
        gap_kept = not value.style and (inner == "amounts" or role in _LINES)
        behind = self.remark_behind(key.end + 1 if empty else value.end, gap_kept=gap_kept)
        return (" " * indent + start + text + behind).split("\n")

    def _is_referred_to(self, piece: Piece) -> bool:
        if piece.prefix or piece.kind == "alias":
            return True
        return any(self._is_referred_to(child) for child in piece.children)

    # Texts and brackets -----------------------------------------------------------------------------------------------

    def inline(self, piece: Piece, role: Role, where: Where, column: int, indent: int) -> str:
        """Return a text or a list in brackets; further lines have their indent already."""
        if piece.kind == "alias":
            return self.layout.text[piece.start : piece.end]
        if piece.kind == "scalar":
            return self._scalar(piece, where, indent)
        if piece.flow and self._is_simple(piece):
            if piece.kind == "map":
                keys = tuple(key.value for key, _ in piece.pairs())
                role = role_of_item(role, keys[0] if keys else "", keys)
            return self._brackets(piece, role, column)
        return self._as_written(piece, column, indent)

    def _is_simple(self, piece: Piece) -> bool:
        """Tell whether brackets hold nothing but texts and brackets: no comment, anchor or text over several lines."""
        text = self.layout.text[piece.start : piece.end]
        if piece.prefix or text[:1] != ("[" if piece.kind == "list" else "{"):
            return False
        one = self._next(piece.end)
        if one is not None and one.start > piece.start:
            return False
        for number, child in enumerate(piece.children):
            is_key = piece.kind == "map" and number % 2 == 0
            if child.kind == "alias" or child.prefix or (child.kind == "scalar" and child.start == child.end):
                return False
            if child.kind == "scalar" and "\n" in self.layout.text[child.start : child.end]:
                return False
            if child.kind != "scalar" and (is_key or not self._is_simple(child)):
                return False
        return True

    def _brackets(self, piece: Piece, role: Role, column: int) -> str:
        """Return brackets with one space behind each comma; the cook's line breaks behind commas stay."""
        opened, closed = ("[", "]") if piece.kind == "list" else ("{", "}")
        step = 1 if piece.kind == "list" else 2
        starts = piece.children[::step]
        ends = piece.children[step - 1 :: step]
        breaks = [
            number > 0 and "\n" in self.layout.text[ends[number - 1].end : one.start]
            for number, one in enumerate(starts)
        ]
        parts: list[tuple[str, Piece | None, Piece]] = (
            [("", None, one) for one in piece.children]
            if piece.kind == "list"
            else [(house_spelling(role, key.value), key, value) for key, value in piece.pairs()]
        )
        order = keys_of(role)
        if order and parts and role not in ("entries", "amounts") and piece.kind == "map":
            places = {name: number for number, name in enumerate(order)}
            if role not in _ENTRIES or parts[0][0] == order[0]:
                parts.sort(key=lambda one: places.get(one[0], len(places)))
        shown, at = opened, column + 1
        for number, (name, key, value) in enumerate(parts):
            if number:
                between = ",\n" + " " * (column + 1) if breaks[number] else ", "
                shown += between
                at = column + 1 if breaks[number] else at + 2
            inner = role if key is None else role_inside(role, name)
            start = ""
            if key is not None:
                start = (name if name != key.value else self._scalar(key, "flow key", 0)) + ": "
            text = self.inline(value, inner, "flow", at + len(start), column)
            if role == "spec" and name == "statement" and self._is_one_line(value):
                text = in_quotes(
                    value.value, self.layout.text[value.start : value.end] if value.style else value.value
                )
            shown += start + text
            last_line = (start + text).rsplit("\n", maxsplit=1)
            at = len(last_line[1]) if len(last_line) > 1 else at + len(last_line[0])
        return shown + closed

    def _scalar(self, piece: Piece, where: Where, indent: int) -> str:
        written = self.layout.text[piece.start : piece.end]
        if "\n" in written.strip("\n") or piece.style in ("|", ">"):
            return self._several_lines(piece, indent)
        if piece.prefix or piece.style not in ("'", '"'):
            return written
        one = self._next(FAR)
        # A comment without a space behind its '#' may belong to an amount: 'check' advises on it where there are no quotes.
        doubtful = one is not None and not one.alone and one.line == self.layout.line_of(piece.end)
        doubtful = doubtful and one is not None and one.text[1:2] not in (" ", "#")
        if not doubtful and stands_plain(piece.value, where):
            return piece.value
        return in_quotes(piece.value, written)

    def _is_one_line(self, piece: Piece) -> bool:
        written = self.layout.text[piece.start : piece.end]
        return (
            piece.kind == "scalar"
            and not piece.prefix
            and bool(piece.value)
            and "\n" not in written
            and piece.style not in ("|", ">")
        )

    def _several_lines(self, piece: Piece, indent: int) -> str:
        """Return a text over several lines, its lines as they are, two spaces further in than its key or dash."""
        first, *others = self.layout.text[piece.start : piece.end].rstrip("\n").split("\n")
        if piece.style in ("|", ">"):
            header = first[len(piece.prefix) :].strip() if piece.prefix else first
            if not _BLOCK_HEADER.match(header):
                line = self.layout.line_of(piece.start) + 1
                raise LeftAloneError(line, "a text begins here with a number for its indent.", "Take the number out.")
            filled = [line for line in others if line.strip()]
            before = len(filled[0]) - len(filled[0].lstrip(" ")) if filled else 0
            return "\n".join([first, *(" " * (indent + 2) + line[before:] if line.strip() else "" for line in others)])
        return "\n".join(
            [first.rstrip(), *(" " * (indent + 2) + one.strip() if one.strip() else "" for one in others)]
        )

    def _as_written(self, piece: Piece, column: int, indent: int) -> str:
        """Return brackets as the cook wrote them, moved to their new place, with the comments in them."""
        first, *others = self.layout.text[piece.start : piece.end].split("\n")
        moved = column - self.layout.column_of(piece.start)
        while (one := self._next(piece.end)) is not None:
            if one.start < piece.start:
                break
            self.done += 1
        shown = [first.rstrip()]
        for line in others:
            bare = line.strip()
            before = len(line) - len(line.lstrip())
            shown.append(" " * max(before + moved, indent + 1) + bare if bare else "")
        return "\n".join(shown)
