"""Read the recipes of a sheet: tables with headings, one recipe or many, side by side, in blocks or with a column for the recipe."""

import re
from dataclasses import dataclass, field
from itertools import pairwise

from labeller.bringing_in.accounting import account_for
from labeller.bringing_in.cells import Cell, Sheet, one_line
from labeller.bringing_in.columns import Columns, columns_of, guess_columns, is_heading_row, strips_of
from labeller.bringing_in.drafts import Draft, RawLine, finish_draft
from labeller.bringing_in.goods import read_goods
from labeller.bringing_in.header_rows import (
    Pair,
    is_section_text,
    pair_in_text,
    pairs_in_row,
    section_name,
    take_pair,
)
from labeller.bringing_in.kitchen_words import KitchenWords
from labeller.bringing_in.names_and_remarks import hears_allergen
from labeller.bringing_in.recipe_texts import read_recipe_lines
from labeller.bringing_in.row_recipes import read_row_recipes, row_heading
from labeller.bringing_in.shapes import Kind, Taken
from labeller.bringing_in.wide_tables import wide_tables
from labeller.bringing_in.wordings import find_unit, is_part_word, meanings_of
from labeller.bringing_in.written_amounts import Commas, commas_of, read_start, rule_of


@dataclass(slots=True)
class SheetReader:
    """Reads one sheet; ``kind`` is what a recipe becomes unless its sheet says otherwise."""

    sheet: Sheet
    words: KitchenWords
    commas: Commas
    kind: Kind
    taken: Taken
    blank_means_none: bool = False
    first_name: str = ""
    title: str = ""

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
            alone = len({cell.text for _, cell in cells}) == 1 and not cells[0][1].number
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
                    "Write 'Ingredient', 'Quantity' and 'Unit' above them.",
                )
            )
            return
        first = body[0]
        front = [row for row in rows if row < first]
        TableReader(self, columns).read(front, [row for row in rows if row >= first])


@dataclass(slots=True)
class TableReader:
    """Reads the rows under one heading row."""

    reader: SheetReader
    columns: Columns
    drafts: list[Draft] = field(default_factory=list)
    by_name: dict[str, Draft] = field(default_factory=dict)

    def read(self, front: list[int], body: list[int]) -> None:
        """Read a table with the rows above it that belong to it."""
        sheet = self.reader.sheet
        draft = Draft(
            "", sheet.place.at(front[0] if front else self.columns.row or (body[0] if body else 1)), self.reader.kind
        )
        titled = False
        if self.reader.title:
            draft.name, draft.name_given = self.reader.title, True
        for row in front:
            pairs = pairs_in_row(sheet, row)
            if pairs:
                for pair in pairs:
                    take_pair(draft, pair, self.reader.taken)
                continue
            texts = self._front_texts(draft, row)
            if (
                not titled
                and len({cell.text for _, cell in texts}) == 1
                and not texts[0][1].number
                and not draft.name_given
            ):
                draft.name, titled = one_line(texts[0][1].text).strip(" :"), True
                draft.place = sheet.place.at(row, texts[0][0])
            else:
                self.reader.taken.leave(
                    sheet.place.at(row),
                    " ".join(cell.text for _, cell in texts),
                    "stands above the table; it is not taken.",
                )
        self.drafts = [draft]
        headed = bool(titled or draft.name_given)
        mode = "lines"
        previous = self.columns.row or (body[0] - 1 if body else 0)
        for position, row in enumerate(body):
            following = body[position + 1 :]
            mode = self._row(row, previous, following, mode, titled=headed)
            previous = row
        self._finish()

    def _front_texts(self, draft: Draft, row: int) -> list[tuple[int, Cell]]:
        """Take what stands beside a title, such as 'Serves 4', and return the other cells of the row."""
        sheet = self.reader.sheet
        kept: list[tuple[int, Cell]] = []
        for column, cell in sheet.rows[row]:
            pair = pair_in_text(cell.text, sheet.place.at(row, column), column) if kept and not cell.number else None
            if pair is None or pair.meaning in ("recipe", "either", "method"):
                kept.append((column, cell))
            else:
                take_pair(draft, pair, self.reader.taken)
        return kept

    def _finish(self) -> None:
        sheet = self.reader.sheet
        unnamed = [one for one in self.drafts if not one.name]
        for one in unnamed:
            one.name = sheet.place.sheet or self.reader.first_name
            if re.fullmatch(r"(?:sheet|tabelle|feuil|feuille|hoja|foglio|blad|arkusz)\s*\d*", one.name, re.IGNORECASE):
                one.name = self.reader.first_name
        for one in {id(one): one for one in [*self.drafts, *self.by_name.values()]}.values():
            if one.lines or one.faults or one.method or one.name_given or one.notes:
                finish_draft(one, self.reader.words, self.reader.commas, self.reader.taken)

    # -- one row --------------------------------------------------------------------------------------------------

    def _row(self, row: int, previous: int, following: list[int], mode: str, *, titled: bool) -> str:
        sheet, columns, taken, words = self.reader.sheet, self.columns, self.reader.taken, self.reader.words
        cells = sheet.rows[row]
        if is_heading_row(sheet, row):
            return mode  # the heading of the next page
        place = sheet.place.at(row)
        draft = self._draft_of(row)
        name_column = columns.first("name")
        name = self._cell(row, "name")
        amount, amount_column = self._amount(row)
        pairs = pairs_in_row(sheet, row)
        if pairs and (pairs[0].column <= name_column or not name.text or pairs[0].column == name_column):
            if pairs[0].meaning == "total":
                self._total(row, draft, amount, amount_column)
                return "lines" if mode == "lines" else mode
            food = bool(amount.text) and pairs[0].meaning == "ignored" and bool(words.find(one_line(name.text)))
            beside = not food and not (
                amount.text and amount.number and columns.first("unit") and sheet.cell(row, columns.first("unit")).text
            )
            if beside:
                for pair in pairs:
                    if pair.meaning == "recipe" and (draft.lines or draft.method):
                        draft = Draft("", place, self.reader.kind)
                        self.drafts.append(draft)
                        mode = "lines"
                    take_pair(draft, pair, taken)
                if pairs[0].meaning in ("method", "remark", "notes"):
                    return "method" if pairs[0].meaning == "method" else "notes"
                return "lines"
        if mode in ("method", "notes") and not self._surely_line(row, name, amount):
            return self._beyond(row, draft, mode, previous, following)
        text = name.text
        others = [
            (column, cell)
            for column, cell in cells
            if column
            not in (
                columns.first("recipe"),
                columns.first("section"),
                *columns.places.get("method", ()),
                *columns.places.get("serves", ()),
                *columns.places.get("yield", ()),
                *columns.places.get("course", ()),
            )
        ]
        if not others:
            self._extras(row, draft)
            return mode
        if not text and not name.problem:
            return self._without_name(row, draft, amount, amount_column, others, previous, following, titled=titled)
        shared = self._amount_merged(row)
        lone = not shared and (len(others) == 1 or not (amount.text or amount.problem or self._unit_says(row)))
        if lone and not self._percent(row):
            return self._lone(row, draft, name, previous, following, mode, titled=titled)
        self._line(row, draft, name, amount, amount_column)
        return "lines"

    def _cell(self, row: int, meaning: str) -> Cell:
        column = self.columns.first(meaning)
        return self.reader.sheet.cell(row, column) if column else Cell("")

    def _amount(self, row: int) -> tuple[Cell, int]:
        for column in self.columns.places.get("quantity", ()):
            cell = self.reader.sheet.cell(row, column)
            if cell.text or cell.problem:
                return cell, column
        return Cell(""), self.columns.first("quantity")

    def _amount_merged(self, row: int) -> bool:
        """Tell whether the amount of a row is one cell with that of a row above."""
        first = self.reader.sheet.merged.get((row, self.columns.first("quantity")))
        return first is not None and first[0] != row and bool(self.reader.sheet.cell(*first).text)

    def _percent(self, row: int) -> str:
        return self._cell(row, "percent").text

    def _unit_says(self, row: int) -> bool:
        unit = self._cell(row, "unit").text
        remark = self._cell(row, "remark").text
        return (
            rule_of(unit) in ("to taste", "to cover")
            or find_unit(unit) in ("pinch", "knife tip", "drop")
            or rule_of(remark) in ("to taste", "to cover")
        )

    def _draft_of(self, row: int) -> Draft:
        """Return the recipe a row belongs to: by its recipe column, filled down, else the one being read."""
        column = self.columns.first("recipe")
        if not column:
            return self.drafts[-1]
        sheet = self.reader.sheet
        text = one_line(sheet.cell(row, column).text)
        if text and not meanings_of(text):
            known = self.by_name.get(text)
            if known is None:
                known = Draft(text, sheet.place.at(row, column), self.reader.kind, name_given=True)
                front = self.drafts[0]
                known.course, known.kind = front.course, front.kind
                self.by_name[text] = known
            self.drafts = [self.drafts[0], known]
            return known
        if len(self.drafts) > 1:
            return self.drafts[-1]
        return self.drafts[0]

    def _extras(self, row: int, draft: Draft) -> None:
        """Take the method, portions, yield and course that stand in columns of their own."""
        sheet = self.reader.sheet
        for meaning in ("method", "serves", "yield", "course", "batch"):
            for column in self.columns.places.get(meaning, ()):
                cell = sheet.cell(row, column)
                if cell.text:
                    take_pair(
                        draft,
                        Pair(meaning, cell, sheet.place.at(row, column), column, self.columns.units.get(column, "")),
                        self.reader.taken,
                        once=meaning != "method",
                    )

    def _line(self, row: int, draft: Draft, name: Cell, amount: Cell, amount_column: int) -> None:
        sheet, columns = self.reader.sheet, self.columns
        self._extras(row, draft)
        place = sheet.place.at(row, columns.first("name"))
        if amount_column and (row, amount_column) in sheet.merged and not amount.text:
            first = sheet.merged[(row, amount_column)]
            if sheet.cell(*first).text and first[0] != row:
                amount = Cell(
                    "",
                    problem=f"the amount of '{one_line(name.text)}' is one cell merged with row {first[0]}.",
                    mend="Split the cell, and write each amount in its own row.",
                )
        section = one_line(self._cell(row, "section").text)
        if columns.first("section"):
            if not section and (row, columns.first("section")) in sheet.merged:
                section = one_line(sheet.cell(*sheet.merged[(row, columns.first("section"))]).text)
            draft.section = section_name(section) if section else draft.section
            draft.section_plain = True
        unit_column = columns.first("unit")
        unit = sheet.cell(row, unit_column) if unit_column else Cell("")
        if unit_column and not unit.text and (row, unit_column) in sheet.merged:
            unit = sheet.cell(*sheet.merged[(row, unit_column)])
        heading_unit = columns.units.get(amount_column, "")
        remark = "; ".join(
            one_line(sheet.cell(row, column).text)
            for column in columns.places.get("remark", ())
            if sheet.cell(row, column).text
        )
        draft.add(
            RawLine(
                place,
                sheet.place.at(row, amount_column or columns.first("name")),
                name,
                amount,
                unit,
                heading_unit or amount.unit,
                remark,
                self._percent_cell(row),
            )
        )

    def _percent_cell(self, row: int) -> Cell:
        return self._cell(row, "percent")

    def _surely_line(self, row: int, name: Cell, amount: Cell) -> bool:
        """Tell whether a row below the method is a line after all: its amount and its unit each in a cell."""
        unit = self._cell(row, "unit").text
        heading_unit = self.columns.units.get(self.columns.first("quantity"), "")
        if not name.text or len(name.text) > 60 or not amount.text:
            return False
        read = read_start(amount.text, self.reader.commas, find_unit(unit))
        return isinstance(read, tuple) and bool(
            find_unit(unit) or find_unit(read[1].strip()) or (heading_unit and amount.number)
        )

    def _without_name(
        self,
        row: int,
        draft: Draft,
        amount: Cell,
        amount_column: int,
        others: list[tuple[int, Cell]],
        previous: int,
        following: list[int],
        *,
        titled: bool,
    ) -> str:
        sheet, taken = self.reader.sheet, self.reader.taken
        place = sheet.place.at(row, others[0][0])
        text = " ".join(cell.text for _, cell in others)
        if len(others) == 1 and others[0][0] != amount_column and not others[0][1].number and others[0][1].text:
            return self._lone(
                row, draft, others[0][1], previous, following, "lines", titled=titled, column=others[0][0]
            )
        if amount.text and amount.number and draft.adds_up_to(amount.text, self.columns.units.get(amount_column, "")):
            taken.leave(place, text, "is the sum of the lines above; it is left out.")
            return "lines"
        merged = sheet.merged.get((row, self.columns.first("name")))
        if merged is not None and merged[0] != row and sheet.cell(*merged).text:
            draft.faults.append(
                place.fault(
                    f"a second amount stands beside '{one_line(sheet.cell(*merged).text)}', whose cell is merged over {row - merged[0] + 1} rows.",
                    "Split the cell, and write one name and one amount in each row.",
                )
            )
            return "lines"
        if not any(cell.text.strip(" -–—*_=.") or cell.problem for _, cell in others):
            taken.leave(place, text, "is a rule between rows; it is left out.")
            return "lines"
        if amount.text or amount.problem:
            draft.faults.append(
                place.fault(f"'{one_line(text)}' has no name beside it.", "Write what it is, or empty the cell.")
            )
            return "lines"
        taken.leave(place, text, "stands beside no name; it is not taken.")
        self._extras(row, draft)
        return "lines"

    def _lone(
        self,
        row: int,
        draft: Draft,
        cell: Cell,
        previous: int,
        following: list[int],
        mode: str,
        *,
        titled: bool,
        column: int = 0,
    ) -> str:
        """Judge a row that has a text and no amount: a line in one cell, a sub-heading, a new recipe, a word of the method, or a fault."""
        sheet, taken, words = self.reader.sheet, self.reader.taken, self.reader.words
        column = column or self.columns.first("name")
        place = sheet.place.at(row, column)
        text = one_line(cell.text)
        if cell.problem:
            draft.faults.append(place.fault(cell.problem, cell.mend))
            return mode
        if not text.strip(" -–—*_=."):
            taken.leave(place, text, "is a rule between rows; it is left out.")
            return "lines"
        lines_follow = bool(following) and self._is_line_row(following[0])
        header_follows = bool(following) and bool(pairs_in_row(sheet, following[0]))
        after_gap = row - previous > 1
        known = words.find(text.strip(" :"))
        plain = is_section_text(text) and (known != "ingredient" or not text.endswith(":"))
        if plain and (lines_follow or header_follows):
            draft.start_section(section_name(text), place, plain=True)
            return "lines"
        if (
            self._is_whole_line(text)
            or ("," in text and rule_of(text.rsplit(",", 1)[1]) in ("to taste", "to cover"))
            or re.search(r"\bto (?:taste|cover)\b", text)
        ):
            self._line(row, draft, cell, Cell(""), self.columns.first("quantity"))
            return "lines"
        if (row, column) not in sheet.merged and self._remark_rule(row):
            self._line(row, draft, cell, Cell(""), self.columns.first("quantity"))
            return "lines"
        extra = [one.text for other, one in sheet.rows[row] if other != column and one.text]
        if (
            known != "ingredient"
            and not extra
            and (after_gap or previous == self.columns.row)
            and (lines_follow or header_follows)
            and (not titled or header_follows)
            and not text.endswith(":")
        ):
            new = Draft(text, place, self.reader.kind, name_given=True)
            if not self.drafts[-1].lines and not self.drafts[-1].name and not self.drafts[-1].method:
                self.drafts[-1].name, self.drafts[-1].name_given, self.drafts[-1].place = text, True, place
            else:
                self.drafts.append(new)
            return "lines"
        below = self._cell(following[0], "name") if following else Cell("")
        signs = (cell.bold and not below.bold) + (text.isupper() and len(text) > 3 and not below.text.isupper())
        signs += self._is_merged_across(row, column) + after_gap + (previous == self.columns.row)
        # One sign is enough for words that can be nothing to eat; a line without its amount must not pass for a heading.
        heading = is_part_word(text) or (signs >= 1 and not hears_allergen(text.casefold())) or signs >= 2
        if not known and not extra and lines_follow and heading:
            draft.start_section(text.strip(" :"), place, plain=False)
            return "lines"
        if not known and not lines_follow and (len(text) > 60 or text.endswith(".")):
            if not draft.lines:
                taken.leave(place, text, "stands above the lines; it is not taken.")
                return "lines"
            draft.add_method(cell.text)
            taken.leave(place, text, "is taken as the method.")
            return "method"
        if not known and not lines_follow and after_gap and not self._any_line(following) and not extra:
            taken.leave(place, text, "stands below the lines; it is not taken.")
            return "notes"
        draft.faults.append(
            sheet.place.at(row, self.columns.first("quantity") or column).fault(
                f"'{text[:80]}' has no amount.", "Write one, or 'to taste'; if it is a sub-heading, end it with ':'."
            )
        )
        return "lines"

    def _remark_rule(self, row: int) -> bool:
        return rule_of(self._cell(row, "remark").text) in ("to taste", "to cover") or rule_of(
            self._cell(row, "unit").text
        ) in ("to taste", "to cover")

    def _is_merged_across(self, row: int, column: int) -> bool:
        return self.reader.sheet.merged.get((row, column + 1)) == (row, column)

    def _is_whole_line(self, text: str) -> bool:
        """Tell whether one cell holds amount, unit and name."""
        read = read_start(text, self.reader.commas)
        return isinstance(read, tuple) and bool(read[1].strip()) and len(read[1].strip()) > 1

    def _is_line_row(self, row: int) -> bool:
        name = self._cell(row, "name")
        amount, _ = self._amount(row)
        return bool(name.text and (amount.text or amount.problem or self._percent(row) or self._unit_says(row))) or (
            bool(name.text) and self._is_whole_line(name.text)
        )

    def _any_line(self, rows: list[int]) -> bool:
        return any(self._is_line_row(row) for row in rows)

    def _beyond(self, row: int, draft: Draft, mode: str, previous: int, following: list[int]) -> str:
        """Take a row below the word 'Method' or 'Notes'; a lone text before another table's lines is a new recipe."""
        sheet, taken = self.reader.sheet, self.reader.taken
        texts = [one_line(cell.text) for _, cell in sheet.rows[row] if cell.text]
        text = " ".join(one for one in dict.fromkeys(texts) if not re.fullmatch(r"\d{1,2}[.)]?", one))
        column = sheet.rows[row][0][0]
        place = sheet.place.at(row, column)
        follows = bool(following) and (
            self._surely_line_row(following[0])
            or any(
                pair.meaning in ("serves", "yield", "recipe", "batch") for pair in pairs_in_row(sheet, following[0])
            )
        )
        if len(texts) == 1 and len(text) <= 60 and not text.endswith(".") and row - previous > 1 and follows:
            self.drafts.append(Draft(text, place, self.reader.kind, name_given=True))
            return "lines"
        if mode == "method":
            for part in [cell.text for _, cell in sheet.rows[row]] if len(texts) == 1 else [text]:
                draft.add_method(part)
        elif text:
            taken.leave(place, text, "is a note; it is kept as a comment.")
            draft.notes.append(text)
        return mode

    def _surely_line_row(self, row: int) -> bool:
        amount, _ = self._amount(row)
        return self._surely_line(row, self._cell(row, "name"), amount)

    def _total(self, row: int, draft: Draft, amount: Cell, amount_column: int) -> None:
        """Leave out a row of totals, and hold it against the lines."""
        sheet, taken = self.reader.sheet, self.reader.taken
        texts = [cell.text for _, cell in sheet.rows[row]]
        place = sheet.place.at(row, sheet.rows[row][0][0])
        unit = self._cell(row, "unit").text or self.columns.units.get(amount_column, "") or amount.unit
        why = draft.note_total(amount, unit, self._percent_cell(row), sheet.place.at(row, amount_column or 1))
        taken.leave(place, " ".join(texts), f"is a total; it is left out.{why}")


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
