"""Read amount lines: ``AMOUNT UNIT NAME [, remark]`` with its endings, in ``takes``, ``plate`` and ``add``."""

import re

from labeller.book.amounts import AmountReader, LineField
from labeller.book.entries import Line
from labeller.book.fields import Fields, Notes
from labeller.book.yaml_tree import Mapping, Node, Scalar, Sequence
from labeller.foundations.faults import Fault, Origin
from labeller.foundations.names import fold_text
from labeller.foundations.plain import dataclass, replace

_ENDING = re.compile(r",\s*(?P<word>removed|optional)\s*$", re.IGNORECASE)
_OR = re.compile(r",\s*or\s+", re.IGNORECASE)
_COMMENT_CUT = re.compile(r"^(?P<space>\s+)#(?P<text>.*)$")


@dataclass(slots=True)
class LineReader:
    """Reads lists of lines with their endings; the amounts in them are for ``amounts``."""

    amounts: AmountReader

    @property
    def notes(self) -> Notes:
        """Return the faults and advice of this run."""
        return self.amounts.notes

    def read_list(self, node: Node, path: str, field: LineField) -> tuple[Line, ...]:
        """Read a list of lines; every fault of every line is noted."""
        items: list[Node]
        if isinstance(node, Sequence):
            items = node.items
            self._advise_split_numbers(node, path, field)
        elif isinstance(node, Scalar) and not node.text:
            items = []
        else:
            items = [node]
        lines = [self.read_node(item, path, field) for item in items]
        return tuple(line for line in lines if line is not None)

    def read_node(self, node: Node, path: str, field: LineField) -> Line | None:
        """Read one line, written as text or as a mapping with ``take``."""
        if isinstance(node, Scalar):
            self._advise_cut_comment(node, path, field)
            return self.read_text(node.text, Origin(path, node.line), field)
        if isinstance(node, Sequence):
            self._fault(
                Origin(path, node.line),
                field,
                "there is a list where one line belongs.",
                "Write each amount on a line of its own.",
            )
            return None
        keys = [fold_text(key.text) for key, _ in node.pairs]
        if "take" not in keys:
            return self._rejoined(node, path, field)
        fields = Fields(node, path, self.notes, "an amount")
        text = fields.text("take")
        optional, removed = fields.flag("optional"), fields.flag("removed")
        swap_node = fields.node("swap")
        fields.finish()
        line = self.read_text(text, Origin(path, fields.line_of("take")), field)
        if line is None:
            return None
        swaps: tuple[Line, ...] = ()
        if swap_node is not None:
            swaps = self.read_list(swap_node, path, field)
        line = replace(
            line, optional=optional or line.optional, removed=removed or line.removed, swaps=(*line.swaps, *swaps)
        )
        return self._plate_only(line, field)

    def read_text(self, text: str, origin: Origin, field: LineField) -> Line | None:
        """Read one line of text; None where it has a fault, which is noted."""
        shown = " ".join(text.split())
        if not shown:
            self._fault(origin, field, "there is an empty line.", "Write an amount and a name, or take the line out.")
            return None
        if len(shown) > 500:
            self._fault(
                origin,
                field,
                f"'{shown[:60]}...' is longer than any amount.",
                "Write an amount and a name: '250 g double cream'.",
            )
            return None
        line = self.amounts.read_amount(shown, origin, field)
        if isinstance(line, Line) and not line.remark:
            return self._plate_only(line, field)
        if _ENDING.search(shown) or _OR.search(shown):
            return self._read_endings(shown, origin, field)
        if isinstance(line, Line):
            return self._plate_only(line, field)
        self._fault(origin, field, *line)
        return None

    def _read_endings(self, shown: str, origin: Origin, field: LineField) -> Line | None:
        """Take ', removed', ', optional' and ', or LINE' off the end of a line that has one of them."""
        body, removed, optional = shown, False, False
        while ending := _ENDING.search(body):
            removed = removed or ending["word"].casefold() == "removed"
            optional = optional or ending["word"].casefold() == "optional"
            body = body[: ending.start()].rstrip()
        read = [self.amounts.read_amount(part, origin, field) for part in _OR.split(body)]
        for one in read:
            if not isinstance(one, Line):
                self._fault(origin, field, *one)
        lines = [one for one in read if isinstance(one, Line)]
        if len(lines) < len(read):
            return None
        line = replace(lines[0], text=shown, removed=removed, optional=optional, swaps=tuple(lines[1:]))
        return self._plate_only(line, field)

    def _plate_only(self, line: Line, field: LineField) -> Line | None:
        if field != "plate" and (line.optional or line.swaps):
            what = "optional" if line.optional else "or"
            self._fault(
                line.origin,
                field,
                f"'{line.text}' says '{what}', which only a plate can.",
                "Write it on the dish's plate, or take it out here.",
            )
            return None
        return line

    def _rejoined(self, node: Mapping, path: str, field: LineField) -> Line | None:
        """Read a line that YAML made a mapping because of its colon, and say so."""
        key, value = node.pairs[0] if len(node.pairs) == 1 else (None, None)
        if key is not None and isinstance(value, Scalar):
            text = f"{key.text}: {value.text}".rstrip(": ")
            self.notes.advice.append(
                Fault(
                    Origin(path, key.line),
                    field,
                    f"'{text}' became a key with a value because of its colon.",
                    f'Put the line in quotes: "{text}".',
                )
            )
            return self.read_text(text, Origin(path, key.line), field)
        shown = ", ".join(key.text for key, _ in node.pairs)[:80]
        self._fault(
            Origin(path, node.line),
            field,
            f"'{shown}' is an entry with keys, not an amount.",
            "Write '250 g double cream', or '{take: 250 g double cream, optional: true}'.",
        )
        return None

    def _advise_cut_comment(self, node: Scalar, path: str, field: LineField) -> None:
        """Say where a '#' behind a line looks like part of it: no room before it, or none after it."""
        lines = self.notes.lines.get(path)
        if node.quoted or lines is None or not 0 < node.end_line <= len(lines):
            return
        raw = lines[node.end_line - 1]
        last = node.text.split("\n")[-1].strip()
        start = raw.find(last)
        if start < 0:
            return
        cut = _COMMENT_CUT.match(raw[start + len(last) :])
        if cut and (len(cut["space"]) < 2 or not cut["text"].startswith((" ", "#"))):
            self.notes.advice.append(
                Fault(
                    Origin(path, node.end_line),
                    field,
                    f"everything from '#' on was left out of '{node.text} #{cut['text'].rstrip()}'.",
                    "Put the line in quotes if the '#' belongs to it; two spaces before '#' mark a comment.",
                )
            )

    def _advise_split_numbers(self, node: Sequence, path: str, field: LineField) -> None:
        if not node.flow:
            return
        for before, after in zip(node.items, node.items[1:], strict=False):
            if (
                isinstance(before, Scalar)
                and isinstance(after, Scalar)
                and before.text.isdigit()
                and after.text[:1].isdigit()
            ):
                self.notes.advice.append(
                    Fault(
                        Origin(path, after.line),
                        field,
                        f"a decimal comma split '{before.text},{after.text}' into two items of the list.",
                        f'Write it with a point, or in quotes: "{before.text},{after.text}".',
                    )
                )

    def _fault(self, origin: Origin, field: str, problem: str, mend: str) -> None:
        self.notes.faults.append(Fault(origin, field, problem, mend))
