"""A recipe while its sheet is read, and how it becomes one or several recipes of the book."""

import re
from dataclasses import dataclass, field, replace

from labeller.bringing_in.cells import Cell, Place, number_text, one_line
from labeller.bringing_in.hearing import kinds_named, kinds_possible
from labeller.bringing_in.kitchen_words import KitchenWords
from labeller.bringing_in.line_making import line_from_text, make_lines
from labeller.bringing_in.shapes import Kind, SheetLine, SheetRecipe, Taken
from labeller.bringing_in.wordings import find_unit
from labeller.bringing_in.written_amounts import Amount, Commas, Number, Trouble, read_amount, read_start, rule_of
from labeller.foundations.faults import Fault
from labeller.foundations.names import fold_text
from labeller.foundations.quantities import parse_number
from labeller.foundations.units import MASS_G

LONGEST_METHOD = 400


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
    _sections: dict[str, Section] = field(default_factory=dict)

    def start_section(self, name: str, place: Place, *, plain: bool) -> None:
        """Begin a part; the lines that follow belong to it."""
        self.section, self.section_plain = name, plain
        self._sections[name] = Section(name, place, plain)

    def add(self, line: RawLine) -> None:
        """Add a line to the part being read."""
        section = None
        if self.section:
            section = self._sections.setdefault(self.section, Section(self.section, line.place, self.section_plain))
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
            shares = [_share(line.percent) for _, line in self.lines]
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


def _share(cell: Cell) -> float | None:
    if cell.problem or not cell.text:
        return None
    read = read_start(cell.text.replace("%", " "), "thousands" if cell.number else "decimal", "g")
    return read[0].value if isinstance(read, tuple) and not read[0].high else None


def _scale(draft: Draft, taken: Taken) -> float | None:
    """Return the grams that one per cent stands for, or None where the shares cannot be weighed, which is then a fault."""
    raw = [line for _, line in draft.lines]
    shares = {index: share for index, line in enumerate(raw) if (share := _share(line.percent)) is not None}
    for index, share in shares.items():
        amount = (
            read_amount(
                raw[index].amount.text,
                raw[index].unit.text or raw[index].heading_unit,
                "not known",
                typed_number=raw[index].amount.number,
            )
            if raw[index].amount.text
            else None
        )
        if isinstance(amount, Amount) and amount.number is not None and amount.unit in MASS_G and share > 0:
            return amount.number.value * MASS_G[amount.unit] / share
    total = sum(shares.values())
    if total <= 0:
        return None
    whole = 100.0 if max(shares.values()) > 2.0 or total > 5.0 else 1.0
    flours = sum(
        share
        for index, share in shares.items()
        if re.search(r"flour|mehl|farine|harina|farina|meel", fold_text(raw[index].name.text))
    )
    bakers = (any(abs(share - whole) < 1e-6 * whole for share in shares.values()) and len(shares) > 1) or abs(
        flours - whole
    ) < 0.005 * whole
    place = raw[next(iter(shares))].amount_place
    if not bakers and abs(total - whole) > 0.01 * whole:
        draft.faults.append(
            place.fault(
                f"the shares of '{draft.name}' add up to {number_text(round(total * 100 / whole, 2))} %, not to 100, and no flour is 100 %.",
                "Look whether a line is missing, and write shares that add up.",
            )
        )
        return None
    if draft.flour_g is not None and bakers:
        taken.leave(
            draft.place,
            draft.name,
            f"has shares of the flour; they are taken of {number_text(draft.flour_g)} g of flour.",
        )
        return draft.flour_g / whole
    batch, from_where = draft.batch_g, "the batch weight"
    if batch is None and draft.total_g is not None:
        batch, from_where = draft.total_g, "the total"
    if batch is None and draft.gives:
        number, unit = draft.gives.rsplit(" ", 1)
        batch, from_where = (parse_number(number.split(" ")[-1]) or 0.0) * MASS_G[unit], "the yield"
        draft.gives = ""
    if batch is None or batch <= 0:
        draft.faults.append(
            place.fault(
                f"'{draft.name}' has shares in %, and no weight of a batch to take them of.",
                "Write 'Batch weight' and a weight above the table, such as '2 kg'.",
            )
        )
        return None
    kind = "the flour" if bakers else "the whole"
    taken.leave(
        draft.place, draft.name, f"has shares of {kind}; they are taken of {from_where}, {number_text(batch)} g."
    )
    return batch / total


def finish_draft(draft: Draft, words: KitchenWords, commas: Commas, taken: Taken) -> None:
    """Make the recipe, and the recipes of its parts, and add them to what was taken."""
    draft.name = one_line(draft.name).strip(" :")[:150] or "unnamed recipe"
    scale = None
    if any(line.percent.text and not line.amount.text for _, line in draft.lines):
        scale = _scale(draft, taken)
    made: list[tuple[Section | None, SheetLine]] = []
    for section, raw in draft.lines:
        found = _line(raw, scale, words, commas)
        if isinstance(found, Trouble):
            if found.problem:
                draft.faults.append(raw.amount_place.fault(found.problem, found.mend))
            continue
        said = [f"the sheet says of its allergens: {raw.allergens}"] if raw.allergens else []
        made.extend(
            (section, replace(one, beside=one_line(raw.remark), comment="; ".join(filter(None, [one.comment, *said]))))
            for one in found
        )
        if raw.allergens:
            draft.claims.append((raw.place, raw.allergens))
    if not made and not draft.faults:
        taken.leave(draft.place, " ".join((draft.name, *draft.method, *draft.notes)), "has no lines; it is not taken.")
        return
    _finish_counts(draft, taken)
    _hold_yield(draft, [line for _, line in made], taken)
    _hold_words(draft, [line for _, line in made], words, taken)
    parts: list[SheetRecipe] = []
    lines: list[SheetLine] = []
    opened: set[str] = set()
    for section, line in made:
        if section is None:
            lines.append(line)
        elif not section.plain:
            first = section.name not in opened
            opened.add(section.name)
            lines.append(replace(line, above=section.name) if first else line)
        elif section.name not in opened:
            opened.add(section.name)
            name = f"{section.name} for {draft.name}"
            own = tuple(one for other, one in made if other is section)
            parts.append(SheetRecipe(name, section.place, "preparation", own, whole_of=draft.name))
            lines.append(SheetLine(section.place, "all", name))
            taken.leave(
                section.place,
                section.name,
                f"is taken as a preparation of its own, '{name}', which '{draft.name}' takes whole.",
            )
    for section in draft._sections.values():  # noqa: SLF001 - the same module
        if not section.plain and section.name in opened:
            taken.leave(
                section.place, section.name, "looks like a sub-heading; its lines stay in the recipe under a comment."
            )
        elif section.name not in opened:
            taken.leave(section.place, section.name, "is a sub-heading without lines; it is left out.")
    if len(parts) == 1 and len(lines) == 1:  # a part that is the whole recipe needs no recipe around it
        lines, parts = list(parts[0].lines), []
    taken.recipes.extend(replace(part, faults=()) for part in parts)
    taken.recipes.append(
        SheetRecipe(
            draft.name,
            draft.place,
            draft.kind,
            tuple(lines),
            tuple(draft.method),
            tuple(draft.notes),
            draft.gives,
            draft.makes,
            draft.course,
            faults=tuple(draft.faults),
        )
    )


def _finish_counts(draft: Draft, taken: Taken) -> None:
    if draft.serves_doubt is not None:
        place, text = draft.serves_doubt
        if draft.kind == "dish":
            draft.faults.append(
                place.fault(
                    f"'{text}' portions is a range, and the figures of a portion need one number.",
                    "Write one number of portions.",
                )
            )
        else:
            draft.notes.append(f"portions: {text}")
            taken.leave(place, text, "is no one number of portions; it is kept as a comment.")
    if draft.kind == "dish" and draft.gives:
        draft.notes.append(f"yield: {draft.gives}")
        if draft.gives_place is not None:
            taken.leave(draft.gives_place, draft.gives, "is the yield of a dish; it is kept as a comment.")
        draft.gives = ""


def _hold_words(draft: Draft, lines: list[SheetLine], words: KitchenWords, taken: Taken) -> None:
    """Ask about a remark that names an allergen no line names; say so of the method, the notes and what a card says itself."""
    possible = kinds_possible([line.name for line in lines])
    made_in_house = any(words.find(line.name) == "given" for line in lines)
    for line in lines:
        more = kinds_named(line.beside) - possible
        if more and not made_in_house:
            draft.faults.append(
                line.place.fault(
                    f"'{line.beside[:80]}' beside '{line.name}' names {_listed(more)}, and no line does.",
                    "Write it into the name, or give it a line with its amount.",
                )
            )
    for place, text in [(draft.place, sentence) for sentence in (*draft.method, *draft.notes)] + draft.claims:
        more = kinds_named(text) - possible
        if more:
            taken.leave(place, text, f"names {_listed(more)}, and no line does: look whether a line is missing.")


def _listed(kinds: frozenset[str]) -> str:
    return " and ".join(sorted(kinds))


def _hold_yield(draft: Draft, lines: list[SheetLine], taken: Taken) -> None:
    """Say where a yield is more than its lines weigh: water was taken up, or a line is missing."""
    if not draft.gives or draft.gives_place is None:
        return
    number, unit = draft.gives.rsplit(" ", 1)
    gives = (parse_number(number.split(" ")[-1]) or 0.0) * MASS_G[unit]
    goes_in = 0.0
    for line in lines:
        amount, _, line_unit = line.amount.rpartition(" ")
        value = parse_number(amount)
        if value is None or line_unit not in MASS_G:
            return
        goes_in += value * MASS_G[line_unit]
    if lines and gives > 1.02 * goes_in:
        why = f"is more than its lines weigh, {number_text(round(goes_in, 1))} g: look whether a line is missing, or water is taken up."
        taken.leave(draft.gives_place, draft.gives, why)


def _line(raw: RawLine, scale: float | None, words: KitchenWords, commas: Commas) -> tuple[SheetLine, ...] | Trouble:
    for cell in (raw.amount, raw.unit, raw.name):
        if cell.problem:
            shown = f" It stands beside '{one_line(raw.name.text)}'." if raw.name.text and cell is not raw.name else ""
            return Trouble(f"{cell.problem}{shown}", cell.mend)
    unit = raw.unit.text or raw.heading_unit
    if not raw.amount.text:
        if raw.percent.text:
            return _shared(raw, scale, words, commas)
        if rule_of(raw.unit.text) in ("to taste", "to cover"):
            amount = read_amount("", raw.unit.text, commas)
            return (
                amount
                if isinstance(amount, Trouble)
                else make_lines(raw.place, amount, raw.name.text, raw.remark, words, commas)
            )
        if (rule := rule_of(raw.remark)) in ("to taste", "to cover"):
            return make_lines(raw.place, Amount(rule=rule, said=f"'{raw.remark}'"), raw.name.text, "", words, commas)
        if find_unit(raw.unit.text) in ("pinch", "knife tip", "drop"):
            return make_lines(
                raw.place,
                Amount(Number("1"), find_unit(raw.unit.text), raw.unit.text),
                raw.name.text,
                raw.remark,
                words,
                commas,
            )
        return _with_remark(line_from_text(raw.place, raw.name.text, words, commas), raw.remark)
    if raw.amount.percent:
        return Trouble(
            f"'{raw.amount.text} %' of '{one_line(raw.name.text)}' is a share, not an amount.",
            "Head the column '%' and write a batch weight, or write a weight.",
        )
    if re.search(r"[(\[][^()\[\]]*\d[^()\[\]]*[)\]]\s*$", raw.amount.text):  # "1 tin (400 g)"
        return _with_remark(
            line_from_text(raw.place, f"{one_line(raw.amount.text)} {one_line(raw.name.text)}", words, commas),
            raw.remark,
        )
    amount = read_amount(raw.amount.text, unit, commas, typed_number=raw.amount.number)
    if isinstance(amount, Trouble) and raw.heading_unit and not raw.unit.text:
        own = read_amount(raw.amount.text, "", commas)  # "1 kg" under "Weight (g)": the cell's own unit counts
        amount = own if isinstance(own, Amount) and own.unit else amount
    if isinstance(amount, Trouble):
        return Trouble(f"{one_line(raw.name.text)}: {amount.problem}", amount.mend)
    # "Flour | 500" where the name says the unit: "sugar (g)"; and "500 g flour" typed into the name beside an amount.
    if amount.number is not None:
        inside = read_start(raw.name.text, commas)
        if (
            isinstance(inside, tuple)
            and find_unit(inside[1].strip().split(" ")[0] if inside[1].strip() else "", in_line=True) in MASS_G
        ):
            return Trouble(
                f"'{one_line(raw.name.text)}' holds an amount, and beside it stands '{raw.amount.text}'.",
                "Write the amount once.",
            )
    return make_lines(raw.place, amount, raw.name.text, raw.remark, words, commas)


def _with_remark(found: tuple[SheetLine, ...] | Trouble, remark: str) -> tuple[SheetLine, ...] | Trouble:
    """Keep the words of the remark's column beside a line that was read from one text."""
    if isinstance(found, Trouble) or not remark:
        return found
    return tuple(replace(one, comment="; ".join(filter(None, [one.comment, remark]))) for one in found)


def _shared(raw: RawLine, scale: float | None, words: KitchenWords, commas: Commas) -> tuple[SheetLine, ...] | Trouble:
    if raw.percent.problem:
        return Trouble(raw.percent.problem, raw.percent.mend)
    share = _share(raw.percent)
    if share is None:
        return Trouble(
            f"'{raw.percent.text}' of '{one_line(raw.name.text)}' is no share above nought.", "Write a number: '65'."
        )
    if scale is None:
        return Trouble("", "")  # the fault of the whole recipe says it once
    shown = raw.percent.text.rstrip(" %")
    grams = Number(number_text(float(f"{share * scale:.6g}")))
    return make_lines(
        raw.place, Amount(grams, "g", "g", said=f"typed '{shown} %'"), raw.name.text, raw.remark, words, commas
    )
