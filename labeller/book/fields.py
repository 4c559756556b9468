"""Take the fields of one entry, each checked, with every fault at its own line."""

import re
from collections.abc import Callable, Iterable
from datetime import date
from typing import TypeVar

from labeller.book.entries import Loss, Measure
from labeller.book.yaml_tree import Mapping, Node, Scalar, Sequence
from labeller.foundations.faults import Fault, Origin
from labeller.foundations.names import fold_text, nearest_names
from labeller.foundations.plain import dataclass, field
from labeller.foundations.quantities import Quantity, parse_celsius, parse_minutes, parse_number, parse_quantity
from labeller.foundations.units import MASS_G, millilitres, parse_unit

T = TypeVar("T")
_YES = frozenset({"true", "yes", "on"})
_NO = frozenset({"false", "no", "off"})
LONGEST_NAME = 200


@dataclass(slots=True)
class Notes:
    """What one run has to tell: faults stop it, advice does not. ``lines`` holds the raw lines of each file."""

    faults: list[Fault] = field(default_factory=list)
    advice: list[Fault] = field(default_factory=list)
    lines: dict[str, list[str]] = field(default_factory=dict)
    comparisons_left: int = 300_000

    def fault(self, path: str, line: int, name: str, problem: str, mend: str) -> None:
        """Note a fault at a line of a file; ``name`` is the key it is about."""
        self.faults.append(Fault(Origin(path, line), name, problem, mend))

    def advise(self, path: str, line: int, name: str, problem: str, mend: str) -> None:
        """Note advice at a line of a file, once however often the line is tried."""
        advice = Fault(Origin(path, line), name, problem, mend)
        if advice not in self.advice[-20:]:
            self.advice.append(advice)

    def may_compare(self, names: int) -> bool:
        """Tell whether this run may still compare a word with so many names, and count them."""
        self.comparisons_left -= names
        return self.comparisons_left > 0

    def nearest(self, name: str, known: list[str]) -> list[str]:
        """Return the known names most like ``name``.

        Comparing is slow, so a file of nothing but faults gets no offers after the first few hundred of them.
        """
        if not self.may_compare(len(known)):
            return []
        return nearest_names(name[:LONGEST_NAME], known)


class Fields:
    """The fields of one mapping, taken one by one; what nobody took is an unknown key."""

    def __init__(self, node: Mapping, path: str, notes: Notes, whose: str) -> None:
        self.path, self.notes, self.whose = path, notes, whose
        self.line = node.line
        self.nodes: dict[str, tuple[Scalar, Node]] = {}
        self.taken: set[str] = set()
        for key, value in node.pairs:
            name = " ".join(key.text.replace("_", " ").split()).lower().replace(" ", "_")
            if name in self.nodes:
                first = self.nodes[name][0].line
                self.fault(
                    key.line, key.text, f"'{key.text}' is given twice (first on line {first}).", "Keep one of them."
                )
            else:
                self.nodes[name] = (key, value)

    def fault(self, line: int, name: str, problem: str, mend: str) -> None:
        """Note a fault at a line of this file."""
        self.notes.fault(self.path, line, name, problem, mend)

    def advise(self, line: int, name: str, problem: str, mend: str) -> None:
        """Note advice at a line of this file."""
        self.notes.advise(self.path, line, name, problem, mend)

    def node(self, name: str) -> Node | None:
        """Return the value of a key, or None where the key is not there."""
        self.taken.add(name)
        found = self.nodes.get(name)
        return found[1] if found else None

    def line_of(self, name: str) -> int:
        """Return the line on which a key stands, the entry's line where it does not."""
        found = self.nodes.get(name)
        return found[0].line if found else self.line

    def finish(self, known: Iterable[str] = ()) -> None:
        """Report every key that nobody took."""
        choices = sorted({*self.taken, *known})
        for name, (key, value) in self.nodes.items():
            if name in self.taken:
                continue
            near = self.notes.nearest(name, choices)
            self._advise_split(key, value)
            mend = (
                f"Write '{near[0].replace('_', ' ') if ' ' in key.text else near[0]}'."
                if near
                else f"Leave it out; the keys here are {', '.join(choices)}."
            )
            self.fault(key.line, key.text, f"'{key.text}' is not a key of {self.whose}.", mend)

    def _advise_split(self, key: Scalar, value: Node) -> None:
        """Say where a decimal comma in curly brackets made a key of the digits behind it."""
        if key.text[:1].isdigit() and isinstance(value, Scalar) and not value.text:
            self.advise(
                key.line,
                key.text,
                f"a decimal comma split this list before '{key.text}'.",
                "Write the number with a point, or put it in quotes.",
            )

    def text(self, name: str, default: str = "") -> str:
        """Take a piece of text."""
        node = self.node(name)
        if node is None:
            return default
        if not isinstance(node, Scalar):
            self.fault(
                node.line,
                name,
                "this is a list or an entry, not a text.",
                "Write one text; put it in quotes if it has a colon.",
            )
            return default
        return " ".join(node.text.split())

    def texts(self, name: str, *, split: bool = False) -> tuple[str, ...] | None:
        """Take a list of texts, or one text (with ``split``, cut at commas); None where the key is not there."""
        node = self.node(name)
        if node is None:
            return None
        if isinstance(node, Scalar):
            parts = re.split(r"[,;]", node.text) if split else [node.text]
            return tuple(" ".join(part.split()) for part in parts if part.strip())
        if isinstance(node, Mapping):
            self.fault(node.line, name, "this is an entry with keys, not a list.", f"Write '{name}: [first, second]'.")
            return ()
        found = []
        for item in node.items:
            if isinstance(item, Scalar) and item.text.strip():
                found.append(" ".join(item.text.split()))
            else:
                self.fault(
                    item.line, name, "an item of this list is not a text.", "Write a word, or take the item out."
                )
        return tuple(found)

    def flag(self, name: str) -> bool:
        """Take a yes or no."""
        node = self.node(name)
        if node is None:
            return False
        word = fold_text(node.text) if isinstance(node, Scalar) else ""
        if word not in _YES and word not in _NO:
            self.fault(self.line_of(name), name, f"'{word}' is not yes or no.", "Write 'true' or 'false'.")
        return word in _YES

    def parsed(self, name: str, parse: Callable[[str], T | None], expected: str) -> T | None:
        """Take a text and parse it; a text that cannot be parsed is a fault that says what is expected."""
        node = self.node(name)
        if node is None:
            return None
        if not isinstance(node, Scalar):
            self.fault(node.line, name, "this is a list or an entry, not one figure.", f"Write {expected}.")
            return None
        value = parse(node.text.strip())
        if value is None:
            self.fault(node.line, name, f"'{node.text}' is not {_article(expected)}.", f"Write {expected}.")
        return value

    def minutes(self, name: str) -> float | None:
        """Take a time. [min]"""
        found = self.parsed(name, parse_minutes, "a time such as '35 min' or '3 weeks'")
        if found is not None and found > 10 * 525960:
            self.fault(
                self.line_of(name),
                name,
                f"'{self.text(name)}' is longer than ten years.",
                "Write the time it really takes.",
            )
            return None
        return found

    def celsius(self, name: str, low: float, high: float) -> float | None:
        """Take a temperature that must lie within limits. [C]"""
        found = self.parsed(name, parse_celsius, "a temperature such as '150 C'")
        if found is not None and not low <= found <= high:
            self.fault(
                self.line_of(name),
                name,
                f"'{self.text(name)}' makes no sense for this step, which runs from {low:g} to {high:g} C.",
                "Write the temperature in C.",
            )
            return None
        return found

    def positive(self, name: str, expected: str) -> float | None:
        """Take a number above nought."""
        return self.parsed(name, lambda text: value if (value := parse_number(text)) and value > 0 else None, expected)

    def measures(self, name: str = "measures") -> dict[str, Measure]:
        """Take house measures: a name and what one weighs, or holds."""
        node = self.node(name)
        if node is None:
            return {}
        if not isinstance(node, Mapping):
            self.fault(
                node.line,
                name,
                "this is not a list of measures with their weights.",
                "Write 'measures: {quenelle: 45 g}'.",
            )
            return {}
        found: dict[str, Measure] = {}
        for key, value in node.pairs:
            measure = parse_measure(value.text) if isinstance(value, Scalar) else None
            if measure is None:
                self._advise_split(key, value)
                shown = value.text if isinstance(value, Scalar) else "a list"
                self.fault(
                    value.line,
                    f"{name}.{key.text}",
                    f"'{shown}' is not a weight.",
                    "Write a weight such as '45 g', or a volume such as '15 ml'.",
                )
            elif fold_text(key.text) in found:
                self.fault(key.line, f"{name}.{key.text}", f"'{key.text}' is given twice.", "Keep one of them.")
            else:
                found[fold_text(key.text)] = measure
        return found


def _article(expected: str) -> str:
    return expected.split(" such as ", maxsplit=1)[0]


def parse_measure(text: str) -> Measure | None:
    """Return what one measure weighs [g] or holds [ml], or None."""
    read = parse_quantity(text)
    if isinstance(read, str):
        return None
    quantity, rest = read
    unit = parse_unit(fold_text(rest))
    if unit is None:
        return None
    if unit.kind == "mass":
        return quantity.estimate * MASS_G[unit.name], "g"
    if unit.kind == "volume":
        return quantity.estimate * millilitres(unit.name, ""), "ml"
    return None


def parse_weight(text: str) -> Quantity | None:
    """Return a weight in grams, with its range, or None."""
    read = parse_quantity(text)
    if isinstance(read, str):
        return None
    quantity, rest = read
    unit = parse_unit(fold_text(rest))
    return quantity.times(MASS_G[unit.name]) if unit is not None and unit.kind == "mass" else None


def parse_share(text: str) -> Quantity | None:
    """Return a share written as a percentage, as 0 to 1, or None. Above 100 % is for the caller to refuse."""
    read = parse_quantity(text) if not re.match(r"0([.,]0+)?\s*%", text.strip()) else (Quantity(0.0, 0.0, 0.0), "%")
    if isinstance(read, str):
        return None
    quantity, rest = read
    return quantity.times(0.01) if rest.strip().casefold() in ("%", "per cent", "percent") else None


def parse_loss(text: str, key: str) -> Loss | None:
    """Return what 'loses' or 'leaves' says, or None."""
    share = parse_share(text)
    if share is not None and key == "loses":
        return Loss("share", share, text)
    weight = parse_weight(text)
    if weight is not None:
        return Loss("loses_g" if key == "loses" else "leaves_g", weight, text)
    return None


def parse_day(text: str) -> date | None:
    """Return a day written as 2026-10-01, or None."""
    try:
        return date.fromisoformat(text) if re.fullmatch(r"\d{4}-\d{2}-\d{2}", text) else None
    except ValueError:
        return None


def parse_strength(text: str) -> float | None:
    """Return a strength in % vol, or None where it is none. 'proof' is not taken: it differs between countries."""
    found = re.fullmatch(
        r"([\d.,]+)\s*(?:%|per cent|percent)\s*(?:vol\.?|abv|alc\.?(?:ohol)?(?:\s*/?\s*vol\.?)?|by volume)?",
        text.strip().casefold(),
    )
    return parse_number(found[1]) if found else None


def parse_density(text: str) -> float | None:
    """Return a density in g/ml, or None."""
    found = re.fullmatch(r"([\d.,]+)\s*(g/ml|g/cm3|kg/l|g/l|kg/m3)?", text.strip().casefold())
    value = parse_number(found[1]) if found else None
    if value is None or found is None or value <= 0.0:
        return None
    return value / 1000.0 if found[2] in ("g/l", "kg/m3") else value


def parse_sulphites(text: str) -> float | None:
    """Return total SO2 in mg/kg (a litre taken as a kilogram), or None."""
    found = re.fullmatch(r"([\d.,]+)\s*(mg\s*/\s*kg|mg\s*/\s*l|mg\s*/\s*litre|ppm)", text.strip().casefold())
    return parse_number(found[1]) if found else None


def sequence_items(node: Node) -> list[Node]:
    """Return the items of a list, or the one thing that stands alone."""
    return node.items if isinstance(node, Sequence) else [node]
