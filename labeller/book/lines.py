"""Read amount lines: ``AMOUNT UNIT NAME [, remark]`` with its endings, in ``takes``, ``plate`` and ``add``."""

import re
from dataclasses import dataclass, replace
from typing import Literal

from labeller.book.entries import Line, LineUnit, Measure, Target
from labeller.book.fields import Fields, Notes
from labeller.book.names_index import NameIndex
from labeller.book.yaml_tree import Mapping, Node, Scalar, Sequence
from labeller.foundations.faults import Fault, Origin
from labeller.foundations.names import fold_text, name_key, nearest_names
from labeller.foundations.quantities import NUMBER, Quantity, parse_number, parse_quantity
from labeller.foundations.units import MASS_G, METRIC_ABBREVIATIONS, millilitres, parse_unit

LineField = Literal["takes", "plate", "add"]

_ALL = re.compile(r"(?:all|the whole|whole)\s+(?:of\s+)?(?:the\s+)?(?P<name>.+)", re.IGNORECASE)
_HALF = re.compile(
    r"(?P<share>half|(?:a|one)\s+(?:third|quarter)|two\s+thirds|three\s+quarters)\s+(?P<of>of\s+the\s+|of\s+|the\s+|an?\s+)?(?P<name>.+)",
    re.IGNORECASE,
)
_SHARE_WORDS = {
    "half": 1 / 2, "a third": 1 / 3, "one third": 1 / 3, "two thirds": 2 / 3,
    "a quarter": 1 / 4, "one quarter": 1 / 4, "three quarters": 3 / 4,
}  # fmt: skip
_NUMBER_OF = re.compile(
    rf"(?P<number>{NUMBER.pattern})\s*(?P<percent>%|per\s+cent)?\s+of\s+(?:the\s+)?(?P<name>.+)", re.IGNORECASE
)
_ARTICLE = re.compile(r"an?\s+(?=[^\W\d])", re.IGNORECASE)
_BEFORE = re.compile(r"(?P<how>to taste|to cover)[,:]?\s+(?:of\s+)?(?P<name>.+)", re.IGNORECASE)
_AFTER = re.compile(r"(?P<name>.+?),?\s+(?P<how>to taste|to cover)$", re.IGNORECASE)
_ENDING = re.compile(r",\s*(?P<word>removed|optional)\s*$", re.IGNORECASE)
_OR = re.compile(r",\s*or\s+", re.IGNORECASE)
_OF = re.compile(r"of\s+(?:the\s+)?", re.IGNORECASE)
_COMMENT_CUT = re.compile(r"^(?P<space>\s+)#(?P<text>.*)$")

# A rough quantity that is counted by a rule of the kitchen room; 1 stands for "by that rule".
_BY_RULE = Quantity(0.0, 1.0, 2.0, rough=True)


@dataclass(slots=True)
class LineReader:
    """Reads lines with the names of one book at hand.

    ``house_measures`` are the kitchen's own; ``entry_measures`` those of every entry by name; ``trade_pieces`` the words
    that may count pieces of something (leaf, clove, stick), from the measures data.
    """

    index: NameIndex
    notes: Notes
    jurisdiction: str
    house_measures: dict[str, Measure]
    entry_measures: dict[Target, dict[str, Measure]]
    trade_pieces: frozenset[str]

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
        line = self.read_text(text, Origin(path, fields.line_of("take")), field, endings=False)
        if line is None:
            return None
        swaps: tuple[Line, ...] = ()
        if swap_node is not None:
            swaps = self.read_list(swap_node, path, field)
        line = replace(line, optional=optional, removed=removed, swaps=swaps)
        return self._plate_only(line, field)

    def read_text(self, text: str, origin: Origin, field: LineField, *, endings: bool = True) -> Line | None:
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
        line = self._read_amount(shown, origin, field)
        if isinstance(line, Line) and line.target is not None and not line.remark:
            return self._plate_only(line, field)
        if endings:
            ended = self._read_endings(shown, origin, field)
            if ended is not None:
                return ended
        if isinstance(line, Line):
            return self._plate_only(line, field)
        return None if line is None else self._fault(origin, field, *line)

    def _read_endings(self, shown: str, origin: Origin, field: LineField) -> Line | None:
        """Take ', removed', ', optional' and ', or LINE' off the end, where they stand there."""
        body, removed, optional = shown, False, False
        while ending := _ENDING.search(body):
            removed = removed or ending["word"].casefold() == "removed"
            optional = optional or ending["word"].casefold() == "optional"
            body = body[: ending.start()].rstrip()
        parts = _OR.split(body)
        if body == shown and len(parts) == 1:
            return None
        line = self._read_amount(parts[0], origin, field)
        swaps: list[Line] = []
        for part in parts[1:]:
            swap = self._read_amount(part, origin, field)
            if isinstance(swap, Line):
                swaps.append(swap)
            else:
                self._fault(origin, field, *swap)
        if not isinstance(line, Line):
            return self._fault(origin, field, *line)
        if len(swaps) != len(parts) - 1:
            return None
        line = replace(line, text=shown, removed=removed, optional=optional, swaps=tuple(swaps))
        return self._plate_only(line, field)

    def _plate_only(self, line: Line, field: LineField) -> Line | None:
        if field != "plate" and (line.optional or line.swaps):
            what = "optional" if line.optional else "or"
            return self._fault(
                line.origin,
                field,
                f"'{line.text}' says '{what}', which only a plate can.",
                "Write it on the dish's plate, or take it out here.",
            )
        return line

    def _read_amount(self, shown: str, origin: Origin, field: LineField) -> Line | tuple[str, str]:
        """Read an amount without endings: a line, or what is wrong and the mend."""
        share = self._read_share(shown, origin)
        if share is not None:
            return share
        rest_of_article = _ARTICLE.match(shown)
        text = f"1 {shown[rest_of_article.end() :]}" if rest_of_article else shown
        read = parse_quantity(text)
        if isinstance(read, str):
            if read:
                return f"'{shown}': {read}", "Write an amount above nought: '250 g double cream'."
            return self._without_number(shown, origin)
        quantity, rest = read
        if quantity.note:
            self.notes.advice.append(
                Fault(
                    origin,
                    field,
                    f"{quantity.note}.",
                    "Write it with a point if that is right, without the comma if a thousand is meant.",
                )
            )
        rest = rest.strip().removeprefix(".").strip() if rest.startswith(".") else rest.strip()
        if not rest:
            return f"'{shown}' has no name.", "Write what it is after the amount: '250 g double cream'."
        return self._read_unit_and_name(shown, rest, quantity, origin)

    def _read_unit_and_name(self, shown: str, rest: str, quantity: Quantity, origin: Origin) -> Line | tuple[str, str]:
        words = rest.split()
        first = fold_text(words[0]).removesuffix(".")
        if first not in METRIC_ABBREVIATIONS:
            whole = self._split_name(rest)
            if whole is not None:  # longest first: "2 cup cakes" are cakes where the book knows cup cakes
                return self._line(shown, origin, quantity, "piece", "", *whole)
        for count in (3, 2, 1):
            if len(words) <= count:
                continue
            unit_words = fold_text(" ".join(words[:count]))
            unit = parse_unit(unit_words)
            tail = (
                _OF.sub("", " ".join(words[count:]), count=1)
                if _OF.match(" ".join(words[count:]))
                else " ".join(words[count:])
            )
            known = self._split_name(tail)
            if unit is not None:
                if known is None:
                    return self._unknown_name(tail)
                return self._line(
                    shown, origin, self._sized(quantity, unit.kind, unit.name), unit.kind, unit.name, *known
                )
            if known is None:
                continue
            measure = self._measure_word(unit_words, known[1])
            if measure:
                return self._line(shown, origin, quantity, "measure", measure, *known)
            if name_key(unit_words) in self.trade_pieces:
                return self._line(shown, origin, quantity, "trade piece", unit_words, *known)
        for count in (1, 2, 3):  # the name is known, the word before it is not
            if (
                len(words) > count
                and (known := self._split_name(_OF.sub("", " ".join(words[count:]), count=1))) is not None
            ):
                unit_words = " ".join(words[:count])
                choices = sorted({*self.house_measures, *self.entry_measures.get(known[1], {})})
                near = nearest_names(unit_words, choices)
                mend = f"Write '{near[0]}', or " if near else "Write a weight, or "
                return (
                    f"'{unit_words}' is not a unit or a measure of '{known[0]}'.",
                    f"{mend}say what one weighs: 'measures: {{{unit_words}: 20 g}}'.",
                )
        return self._unknown_name(rest)

    def _sized(self, quantity: Quantity, kind: str, unit: str) -> Quantity:
        if kind == "mass":
            return quantity.times(MASS_G[unit])
        if kind == "volume":
            return quantity.times(millilitres(unit, self.jurisdiction))
        return quantity

    def _measure_word(self, words: str, target: Target) -> str:
        """Return the measure's name as its entry or the kitchen has it, singular or plural, or ''."""
        wanted = name_key(words)
        for measures in (self.entry_measures.get(target, {}), self.house_measures):
            for name in measures:
                if name_key(name) == wanted:
                    return name
        return ""

    def _split_name(self, text: str) -> tuple[str, Target, str] | None:
        """Return the longest beginning of a text that is a known name, with what it stands for and the remark behind it."""
        text = text.strip()
        target = self.index.find(text)
        if target is not None:
            return text, target, ""
        cut = text.rfind(",")
        while cut > 0:
            name = text[:cut].strip()
            target = self.index.find(name)
            if target is not None:
                return name, target, text[cut + 1 :].strip()
            cut = text.rfind(",", 0, cut)
        return None

    def _unknown_name(self, rest: str) -> tuple[str, str]:
        name = rest.split(",", maxsplit=1)[0].strip()
        near = self.index.nearest(name)
        offered = " or ".join(f"'{choice}'" for choice in near)
        mend = f"Write {offered}, or add an ingredient of that name." if near else "Add an ingredient of that name."
        return f"'{name}' is not an ingredient or preparation of this book, nor on the shelf.", mend

    def _read_share(self, shown: str, origin: Origin) -> Line | tuple[str, str] | None:
        """Read 'all X', 'half the X' and '1/8 of the X', shares of one batch."""
        found = _ALL.fullmatch(shown)
        if found:
            return self._share_line(shown, origin, found["name"], 1.0, "all")
        found = _HALF.fullmatch(shown)
        if found:
            share = _SHARE_WORDS[" ".join(found["share"].casefold().split())]
            of = (found["of"] or "").strip().casefold()
            known = self._split_name(found["name"])
            if of in ("a", "an") or (known is not None and known[1].kind == "ingredient" and not of.startswith("of")):
                quantity = Quantity(share, share, share)
                return self._read_unit_and_name(shown, found["name"], quantity, origin)
            return self._share_line(shown, origin, found["name"], share, found["share"])
        found = _NUMBER_OF.fullmatch(shown)
        if found:
            number = parse_number(found["number"])
            if number is None or number <= 0.0:
                return f"'{found['number']}' is not above nought.", "Write a share such as '1/8 of the tart'."
            if found["percent"]:
                number /= 100.0
            known = self._split_name(found["name"])
            if known is not None and known[1].kind == "ingredient" and not found["percent"] and number >= 1.0:
                return None
            return self._share_line(shown, origin, found["name"], number, found["number"])
        return None

    def _share_line(
        self, shown: str, origin: Origin, name: str, share: float, word: str
    ) -> Line | tuple[str, str] | None:
        known = self._split_name(name)
        if known is None:
            return None if word == "all" and self.index.find(shown) is not None else self._unknown_name(name)
        if known[1].kind == "ingredient":
            return (
                f"'{shown}' is a share, and '{known[0]}' is bought in, not made in a batch.",
                "Write a weight, or a number of pieces.",
            )
        return self._line(shown, origin, Quantity(share, share, share), "share", word, *known)

    def _without_number(self, shown: str, origin: Origin) -> Line | tuple[str, str]:
        """Read 'salt to taste' and 'gin to cover'; anything else has no amount."""
        if re.match(r"[-−+]\s*\d", shown):
            return f"'{shown}' is not above nought.", "Write an amount above nought: '250 g double cream'."
        found = _BEFORE.fullmatch(shown) or _AFTER.fullmatch(shown)
        if not found:
            return (
                f"'{shown}' has no amount.",
                "Write one before the name ('250 g double cream'), or 'to taste' or 'to cover' behind it.",
            )
        known = self._split_name(found["name"])
        if known is None:
            return self._unknown_name(found["name"])
        how: LineUnit = "to taste" if "taste" in found["how"].casefold() else "to cover"
        return self._line(shown, origin, _BY_RULE, how, how, *known)

    def _line(
        self,
        shown: str,
        origin: Origin,
        quantity: Quantity,
        unit: LineUnit,
        word: str,
        name: str,
        target: Target,
        remark: str,
    ) -> Line | tuple[str, str]:
        if target.kind == "given" and not target.given:
            parts = sorted(
                spelled
                for spelled in self.index.spelled
                if (found := self.index.find(spelled)) and found.entry == target.entry and found.given
            )
            return (
                f"'{name}' is a preparation that gives {' and '.join(repr(part) for part in parts)}.",
                f"Write one of these: {', '.join(repr(part) for part in parts)}.",
            )
        self.index.take(target)
        return Line(shown, origin, name, quantity, unit, word, target, remark)

    def _rejoined(self, node: Mapping, path: str, field: LineField) -> Line | None:
        """Read a line that YAML made a mapping because of its colon, and say so."""
        if len(node.pairs) == 1 and isinstance(node.pairs[0][1], Scalar):
            key, value = node.pairs[0]
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
        return self._fault(
            Origin(path, node.line),
            field,
            f"'{shown}' is an entry with keys, not an amount.",
            "Write '250 g double cream', or '{take: 250 g double cream, optional: true}'.",
        )

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
