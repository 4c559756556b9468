"""A recipe while its sheet is read: its rows as typed, its parts, and what is said of it."""

import re
from dataclasses import dataclass, field

from labeller.bringing_in.cells import Cell, Place, number_text, one_line
from labeller.bringing_in.shapes import Kind
from labeller.bringing_in.wordings import find_unit
from labeller.bringing_in.written_amounts import read_start
from labeller.foundations.faults import Fault
from labeller.foundations.quantities import parse_number
from labeller.foundations.units import MASS_G


@dataclass(frozen=True, slots=True)
class RawLine:
    """One row of a table as typed: the name's cell, the amount's, the unit's and the share's, and what the heading says."""

    place: Place
    amount_place: Place
    name: Cell
    amount: Cell = field(default_factory=lambda: Cell(""))
    unit: Cell = field(default_factory=lambda: Cell(""))
    heading_unit: str = ""
    remark: str = ""
    percent: Cell = field(default_factory=lambda: Cell(""))
    allergens: str = ""


@dataclass(slots=True)
class Section:
    """A part inside a recipe; ``plain`` tells that its heading says so itself."""

    name: str
    place: Place
    plain: bool


@dataclass(slots=True)
class Draft:
    """A recipe being read; each line is kept with the part it stands in, or None."""

    name: str
    place: Place
    kind: Kind
    name_given: bool = False
    course: str = ""
    lines: list[tuple[Section | None, RawLine]] = field(default_factory=list)
    method: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    seen: dict[str, str] = field(default_factory=dict)
    makes: str = ""
    gives: str = ""
    gives_place: Place | None = None
    serves_doubt: tuple[Place, str] | None = None
    batch_g: float | None = None
    flour_g: float | None = None
    total_g: float | None = None
    claims: list[tuple[Place, str]] = field(default_factory=list)
    section: str = ""
    section_plain: bool = False
    sections: dict[str, Section] = field(default_factory=dict)

    def start_section(self, name: str, place: Place, *, plain: bool) -> None:
        """Begin a part; the lines that follow belong to it."""
        self.section, self.section_plain = name, plain
        self.sections[name] = Section(name, place, plain)

    def add(self, line: RawLine) -> None:
        """Add a line to the part being read."""
        section = None
        if self.section:
            section = self.sections.setdefault(self.section, Section(self.section, line.place, self.section_plain))
        self.lines.append((section, line))

    def add_method(self, text: str) -> None:
        """Add sentences of the method, one for each line of text, without their numbers."""
        for part in text.split("\n"):
            sentence = re.sub(r"^(?:step\s*)?\d{1,2}\s*[.):]\s+|^[-–•*]\s+", "", one_line(part), flags=re.IGNORECASE)
            if sentence and sentence not in self.method:
                self.method.append(sentence)

    def _values(self, unit: str) -> list[tuple[float, str]] | None:
        """Return the numbers of the lines with their units; None where one cannot be read."""
        found = []
        for _, line in self.lines:
            typed = line.unit.text or line.heading_unit or unit
            read = read_start(line.amount.text, "thousands" if line.amount.number else "not known", find_unit(typed))
            if not isinstance(read, tuple):
                return None
            number, rest, _ = read
            found.append((number.value, find_unit(rest.strip()) or find_unit(typed)))
        return found

    def adds_up_to(self, text: str, unit: str) -> bool:
        """Tell whether a number without a name is the sum of the lines above it."""
        values = self._values(unit)
        total = parse_number(text)
        if values is None or total is None or len(values) < 2:
            return False
        return abs(sum(value for value, _ in values) - total) <= 0.005 * total

    def note_total(self, amount: Cell, unit: str, percent: Cell, place: Place) -> str:
        """Hold a row of totals against the lines; return what is to be said where they do not agree, else ''."""
        if amount.problem:
            return " Its cell cannot be read, so it was not held against the lines."
        read = read_start(amount.text, "thousands" if amount.number else "not known", find_unit(unit))
        if not isinstance(read, tuple):
            share = parse_number(percent.text.rstrip(" %")) if percent.text else None
            shares = [share_of(line.percent) for _, line in self.lines]
            known = [one for one in shares if one is not None]
            if share is not None and known and abs(sum(known) - share) > 0.01 * share:
                return f" It says {percent.text.rstrip(' %')} %, the lines add up to {number_text(round(sum(known), 2))} %: look whether a line is missing."
            return ""
        number, rest, _ = read
        total_unit = find_unit(rest.strip()) or find_unit(unit)
        if total_unit in MASS_G:
            self.total_g = number.value * MASS_G[total_unit]
        values = self._values(unit)
        if not values:
            return " Not every amount is a plain number, so it was not held against the lines." if self.lines else ""
        if total_unit in MASS_G or not total_unit:
            base = MASS_G.get(total_unit, 1.0)
            if all(one in MASS_G for _, one in values):
                grams = sum(value * MASS_G[one] for value, one in values)
                base = MASS_G.get(total_unit) or (
                    MASS_G[values[0][1]] if len({one for _, one in values}) == 1 else 1.0
                )
                if self.total_g is None:
                    self.total_g = number.value * base
                return _difference(number.value, grams / base, total_unit, place)
            if {one for _, one in values} <= {*MASS_G, "ml", "l", "cl", "dl", ""} and len(
                {one for _, one in values}
            ) > 1:
                return " Its lines are not all weights, so it was not held against them."
        return _difference(number.value, sum(value for value, _ in values), total_unit, place)


def _difference(says: float, is_: float, unit: str, place: Place) -> str:
    if abs(says - is_) <= 0.01 * max(says, is_):
        return ""
    return (
        f" {place.cell} says {number_text(round(says, 3))} {unit}".rstrip()
        + f", the lines add up to {number_text(round(is_, 3))}: look whether a line is missing."
    )


def share_of(cell: Cell) -> float | None:
    """Return a share in per cent, or None where a cell holds none."""
    if cell.problem or not cell.text:
        return None
    read = read_start(cell.text.replace("%", " "), "thousands" if cell.number else "decimal", "g")
    return read[0].value if isinstance(read, tuple) and not read[0].high else None
