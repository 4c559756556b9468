"""Read the recipes of a sheet: tables with headings, one recipe or many, side by side, in blocks or with a column for the recipe."""

import re
from dataclasses import dataclass
from itertools import pairwise

from labeller.bringing_in.accounting import account_for
from labeller.bringing_in.cells import Sheet
from labeller.bringing_in.columns import columns_of, guess_columns, is_heading_row, strips_of
from labeller.bringing_in.goods import read_goods
from labeller.bringing_in.header_rows import is_title_row, pairs_in_row
from labeller.bringing_in.kitchen_words import KitchenWords
from labeller.bringing_in.recipe_texts import read_recipe_lines
from labeller.bringing_in.row_recipes import read_row_recipes, row_heading
from labeller.bringing_in.shapes import Kind, Taken
from labeller.bringing_in.table_reader import TableReader
from labeller.bringing_in.table_rows import SheetContext
from labeller.bringing_in.wide_tables import wide_tables
from labeller.bringing_in.written_amounts import Commas, commas_of, rule_of


@dataclass(slots=True)
class SheetReader(SheetContext):
    """Reads one sheet: finds its tables, and has each read."""

    def read(self) -> None:
        """Read everything on the sheet."""
        sheet, place = self.sheet, self.sheet.place
        if not sheet.rows:
            self.taken.leave(place, "", "is empty.")
            return
        for key, text in sorted(sheet.pinned.items()):
            self.taken.leave(place.at(*key), text, "is a note pinned to the cell; it is not taken.")
        for (row, column), cell in sorted(sheet.cells.items()):
            if cell.struck and cell.text:
                self.taken.leave(place.at(row, column), cell.text, "is struck through; it is read like the others.")
        row = row_heading(sheet, self.commas)
        if row:
            read_row_recipes(sheet, row, self.words, self.commas, self.kind, self.taken, first_name=self.first_name)
            return
        headings = [row for row in sheet.rows if is_heading_row(sheet, row)]
        if not headings:
            self._without_headings()
            return
        cut = [strips_of(sheet, row) for row in headings]
        widest = max(cut, key=len)
        if len(widest) > 1:
            for first, last in widest:
                SheetReader(
                    sheet.strip(first, last),
                    self.words,
                    self.commas,
                    self.kind,
                    self.taken,
                    self.blank_means_none,
                    self.first_name,
                ).read_tables(None)
            return
        self.read_tables(headings)

    def read_tables(self, headings: list[int] | None) -> None:
        """Read the tables of a sheet whose heading rows are known, or are to be found."""
        sheet = self.sheet
        rows = list(sheet.rows)
        found = headings if headings is not None else [row for row in rows if is_heading_row(sheet, row)]
        if not found:
            if headings is None and rows:
                self._without_headings()
            return
        found = self._without_repeats(found)
        fronts = [self._front_before(found[0], 0)]
        for before, after in pairwise(found):
            fronts.append(self._front_before(after, before))
        for position, row in enumerate(found):
            end = (
                fronts[position + 1][0]
                if position + 1 < len(found) and fronts[position + 1]
                else (found[position + 1] if position + 1 < len(found) else rows[-1] + 1)
            )
            columns = columns_of(sheet, row, self.taken)
            body = [one for one in rows if row < one < end]
            if columns.is_goods_table:
                self._leave_front(fronts[position])
                read_goods(sheet, columns, body, self.taken, blank_means_none=self.blank_means_none)
            elif columns.is_recipe_table:
                TableReader(self, columns).read(fronts[position], body)
            else:
                self._leave_front(fronts[position])
                self.taken.faults.append(
                    sheet.place.at(row).fault(
                        "this row looks like headings, and no column of amounts is among them.",
                        "Head the amounts 'Quantity' and the names 'Ingredient'.",
                    )
                )

    def _without_repeats(self, headings: list[int]) -> list[int]:
        """Leave out headings that only say again, at the top of a page, what the columns are: the row above them is a line."""
        sheet = self.sheet
        kept = headings[:1]
        for before, row in pairwise(headings):
            again = [(column, cell.text) for column, cell in sheet.rows[row]]
            if (
                row - 1 in sheet.rows
                and not self._front_before(row, before)
                and again == [(column, cell.text) for column, cell in sheet.rows[kept[-1]]]
            ):
                self.taken.leave(
                    sheet.place.at(row),
                    " ".join(text for _, text in again),
                    "heads the same table again; its lines go on.",
                )
            else:
                kept.append(row)
        return kept

    def _leave_front(self, front: list[int]) -> None:
        for row in front:
            text = " ".join(cell.text for _, cell in self.sheet.rows[row])
            self.taken.leave(self.sheet.place.at(row), text, "stands above a list of goods; it is not taken.")

    def _front_before(self, heading: int, after: int) -> list[int]:
        """Return the rows above a heading that belong to its recipe: title, and words with their values."""
        rows = [row for row in self.sheet.rows if after < row < heading]
        if not after:
            return rows
        front: list[int] = []
        titled = False
        previous = heading
        for row in reversed(rows):
            cells = self.sheet.rows[row]
            pairs = pairs_in_row(self.sheet, row)
            alone = is_title_row(self.sheet, row) or (
                # Right above the heading and below a gap, with no figure in it: a title with its version or its cook beside it.
                row == heading - 1
                and row - 1 not in self.sheet.rows
                and not any(re.search(r"\d", cell.text) or cell.number or rule_of(cell.text) for _, cell in cells)
            )
            if previous - row > 1 and titled:
                break
            if pairs and any(pair.meaning in ("method", "notes", "total") for pair in pairs):
                break
            if pairs:
                titled = titled or any(pair.meaning == "recipe" for pair in pairs)
            elif alone and len(cells[0][1].text) <= 100 and not titled and not rule_of(cells[0][1].text):
                titled = True
            else:
                break
            front.insert(0, row)
            previous = row
        return front

    def _without_headings(self) -> None:
        """Read a sheet that heads no column: lines of text, or columns told apart by what stands in them."""
        sheet = self.sheet
        rows = list(sheet.rows)
        columns_used = {column for row in rows for column, _ in sheet.rows[row]}
        widest = max(len(sheet.rows[row]) for row in rows)
        if len(columns_used) == 1 or widest == 1:
            lines = [
                (sheet.place.at(row, sheet.rows[row][0][0]), part)
                for row in rows
                for part in sheet.rows[row][0][1].text.split("\n")
            ]
            read_recipe_lines(
                lines, sheet.place.sheet or self.first_name, self.words, self.commas, self.kind, self.taken
            )
            return
        wide = wide_tables(sheet, self.taken)
        for title, one in wide:
            SheetReader(
                one, self.words, self.commas, self.kind, self.taken, self.blank_means_none, self.first_name, title
            ).read_tables(None)
        if wide:
            return
        body = [row for row in rows if len(sheet.rows[row]) > 1 and not pairs_in_row(sheet, row)]
        columns = guess_columns(sheet, body, self.taken)
        if columns is None or not body:
            self.taken.faults.append(
                sheet.place.at(rows[0]).fault(
                    "no row here heads the columns, and they cannot be told apart.",
                    "Write 'Ingredient', 'Quantity' and 'Unit' above them; a sheet that holds no recipe, take out of the file.",
                )
            )
            return
        first = body[0]
        front = [row for row in rows if row < first]
        TableReader(self, columns).read(front, [row for row in rows if row >= first])


def read_sheet(
    sheet: Sheet,
    words: KitchenWords,
    kind: Kind,
    taken: Taken,
    *,
    first_name: str = "",
    blank_means_none: bool = False,
    commas: Commas | None = None,
) -> None:
    """Read all recipes, or the list of goods, of one sheet into ``taken``.

    ``first_name`` names a recipe that nothing else names: the file's own name.
    """
    found = (
        commas if commas is not None else commas_of([cell.text for cell in sheet.cells.values() if not cell.number])
    )
    recipes, goods = len(taken.recipes), len(taken.goods)
    SheetReader(sheet, words, found, kind, taken, blank_means_none, first_name).read()
    account_for(sheet, taken, taken.recipes[recipes:], taken.goods[goods:])
