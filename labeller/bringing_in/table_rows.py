"""What a row under a heading row says of itself: its cells, its amount, and whether it is a line of a recipe. Nothing is taken here."""

from dataclasses import dataclass

from labeller.bringing_in.cells import Cell, Sheet, one_line
from labeller.bringing_in.columns import Columns
from labeller.bringing_in.kitchen_words import KitchenWords
from labeller.bringing_in.shapes import Kind, Taken
from labeller.bringing_in.side_amounts import one_amount
from labeller.bringing_in.wordings import find_unit
from labeller.bringing_in.written_amounts import Commas, read_start, rule_of


@dataclass(slots=True)
class SheetContext:
    """One sheet with what is needed to read it; ``kind`` is what a recipe becomes unless its sheet says otherwise.

    ``first_name`` names a recipe that nothing else names; ``title`` is set where the table's recipe is known already.
    """

    sheet: Sheet
    words: KitchenWords
    commas: Commas
    kind: Kind
    taken: Taken
    blank_means_none: bool = False
    first_name: str = ""
    title: str = ""


@dataclass(frozen=True, slots=True)
class TableRows:
    """The rows under one heading row, asked one by one."""

    reader: SheetContext
    columns: Columns

    def cell(self, row: int, meaning: str) -> Cell:
        """Return the first cell of a row with a meaning, an empty one where no column has it."""
        column = self.columns.first(meaning)
        return self.reader.sheet.cell(row, column) if column else Cell("")

    def amount(self, row: int) -> tuple[Cell, int]:
        """Return the amount of a row and the column it stands in."""
        for column in self.columns.places.get("quantity", ()):
            cell = self.reader.sheet.cell(row, column)
            if cell.text or cell.problem:
                return one_amount(self.reader.sheet, self.columns, row, column, self.reader.commas), column
        return Cell(""), self.columns.first("quantity")

    def amount_merged(self, row: int) -> bool:
        """Tell whether the amount of a row is one cell with that of a row above."""
        first = self.reader.sheet.merged.get((row, self.columns.first("quantity")))
        return first is not None and first[0] != row and bool(self.reader.sheet.cell(*first).text)

    def percent(self, row: int) -> str:
        """Return the share of a row, as typed."""
        return self.cell(row, "percent").text

    def unit_says(self, row: int) -> bool:
        """Tell whether the unit or the remark is an amount by itself: a pinch, to taste."""
        unit = self.cell(row, "unit").text
        remark = self.cell(row, "remark").text
        return (
            rule_of(unit) in ("to taste", "to cover")
            or find_unit(unit) in ("pinch", "knife tip", "drop")
            or rule_of(remark) in ("to taste", "to cover")
        )

    def surely_line(self, row: int, name: Cell, amount: Cell) -> bool:
        """Tell whether a row below the method is a line after all: its amount and its unit each in a cell."""
        unit = self.cell(row, "unit").text
        heading_unit = self.columns.units.get(self.columns.first("quantity"), "")
        if not name.text or len(name.text) > 60 or not amount.text:
            return False
        if amount.number and self.reader.words.find(one_line(name.text)):
            return True
        read = read_start(amount.text, self.reader.commas, find_unit(unit))
        return isinstance(read, tuple) and bool(
            find_unit(unit) or find_unit(read[1].strip()) or (heading_unit and amount.number)
        )

    def remark_rule(self, row: int) -> bool:
        """Tell whether the remark or the unit says 'to taste' or 'to cover'."""
        return rule_of(self.cell(row, "remark").text) in ("to taste", "to cover") or rule_of(
            self.cell(row, "unit").text
        ) in ("to taste", "to cover")

    def is_whole_line(self, text: str) -> bool:
        """Tell whether one cell holds amount, unit and name."""
        read = read_start(text, self.reader.commas)
        return isinstance(read, tuple) and bool(read[1].strip()) and len(read[1].strip()) > 1

    def is_line_row(self, row: int) -> bool:
        """Tell whether a row has a name with an amount."""
        name = self.cell(row, "name")
        amount, _ = self.amount(row)
        return bool(name.text and (amount.text or amount.problem or self.percent(row) or self.unit_says(row))) or (
            bool(name.text) and self.is_whole_line(name.text)
        )

    def any_line(self, rows: list[int]) -> bool:
        """Tell whether any of some rows is a line."""
        return any(self.is_line_row(row) for row in rows)

    def surely_line_row(self, row: int) -> bool:
        """Tell of a whole row what `surely_line` tells of its cells."""
        amount, _ = self.amount(row)
        return self.surely_line(row, self.cell(row, "name"), amount)
