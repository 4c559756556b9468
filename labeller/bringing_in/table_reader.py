"""Read the rows under one heading row: lines, sub-headings, totals, the words beside them, and what is none of these."""

import re
from dataclasses import dataclass, field

from labeller.bringing_in.cells import Cell, Place, one_line
from labeller.bringing_in.columns import Columns, is_heading_row
from labeller.bringing_in.drafts import Draft, RawLine
from labeller.bringing_in.finishing import finish_draft
from labeller.bringing_in.header_rows import (
    Pair,
    is_section_text,
    is_title_row,
    pair_in_text,
    pairs_in_row,
    section_name,
    take_pair,
)
from labeller.bringing_in.lone_rows import BELOW, LoneRow, judge_lone_row
from labeller.bringing_in.table_rows import SheetContext, TableRows
from labeller.bringing_in.wordings import blank_words, box_words, is_part_word, meanings_of
from labeller.foundations.names import fold_text


@dataclass(slots=True)
class TableReader:
    """Reads the rows under one heading row."""

    reader: SheetContext
    columns: Columns
    rows: TableRows = field(init=False)
    drafts: list[Draft] = field(default_factory=list)
    by_name: dict[str, Draft] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.rows = TableRows(self.reader, self.columns)

    def read(self, front: list[int], body: list[int]) -> None:
        """Read a table with the rows above it that belong to it."""
        sheet = self.reader.sheet
        draft = Draft(
            "", sheet.place.at(front[0] if front else self.columns.row or (body[0] if body else 1)), self.reader.kind
        )
        titled = False
        if self.reader.title:
            draft.name, draft.name_given = self.reader.title, True
        front_title = self._title_row(front)
        for row in front:
            pairs = pairs_in_row(sheet, row)
            if pairs:
                for pair in pairs:
                    take_pair(draft, pair, self.reader.taken)
                continue
            texts = self._front_texts(draft, row)
            if (
                not titled
                and (row == front_title if front_title else len({cell.text for _, cell in texts}) == 1)
                and not texts[0][1].number
                and not draft.name_given
            ):
                draft.name, titled = one_line(texts[0][1].text).strip(" :"), True
                draft.place = sheet.place.at(row, texts[0][0])
                if beside := " ".join(cell.text for _, cell in texts[1:] if cell.text != texts[0][1].text):
                    self.reader.taken.leave(sheet.place.at(row), beside, "stands beside the title; it is not taken.")
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

    def _title_row(self, front: list[int]) -> int:
        """Return the row of the title where it is not the first text above a table, else 0.

        A heading of the whole sheet ("Sauces & bases") stands first; a recipe's own title has its yield or portions beside it, or stands
        alone between a gap and the table.
        """
        sheet = self.reader.sheet
        lone = [
            row
            for row in front
            if not pairs_in_row(sheet, row)
            and not sheet.rows[row][0][1].number
            and not is_section_text(sheet.rows[row][0][1].text)
            and not is_part_word(one_line(sheet.rows[row][0][1].text))
        ]
        measured = [row for row in lone if is_title_row(sheet, row) and len(sheet.rows[row]) > 1]
        if len(measured) == 1 and len({cell.text for _, cell in sheet.rows[measured[0]]}) > 1:
            return measured[0]
        last = lone[-1] if lone else 0
        if last and last == self.columns.row - 1 and last - 1 not in sheet.rows:
            text = one_line(sheet.rows[last][0][1].text)
            if len(text) <= 60 and not text.endswith("."):
                return last
        return 0

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
        name = self.rows.cell(row, "name")
        amount, amount_column = self.rows.amount(row)
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
                if pairs[0].meaning == "method":
                    return "method"
                if pairs[0].meaning == "remark" and not pairs[0].value.text:
                    return "notes"
                return "lines"
        if mode in ("method", "notes") and not self.rows.surely_line(row, name, amount):
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
        shared = self.rows.amount_merged(row)
        lone = not shared and (len(others) == 1 or not (amount.text or amount.problem or self.rows.unit_says(row)))
        if lone and not self.rows.percent(row):
            return self._lone(row, draft, name, previous, following, mode, titled=titled)
        self._line(row, draft, name, amount, amount_column)
        return "lines"

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
        section = one_line(self.rows.cell(row, "section").text)
        if columns.first("section"):
            if not section and (row, columns.first("section")) in sheet.merged:
                section = one_line(sheet.cell(*sheet.merged[(row, columns.first("section"))]).text)
            draft.section = section_name(section) if section else draft.section
            draft.section_plain = True
        unit_column = columns.unit_beside(amount_column)
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
                self.rows.cell(row, "percent"),
                self._allergens(row),
            )
        )

    def _allergens(self, row: int) -> str:
        """Return what the columns of allergens say of a line, as typed; ticks in boxes are named by their headings."""
        sheet, columns = self.reader.sheet, self.columns
        said = []
        for meaning in ("allergens", "may_contain"):
            for column in columns.places.get(meaning, ()):
                text = one_line(sheet.cell(row, column).text)
                if fold_text(text) not in blank_words():
                    said.append(text if meaning == "allergens" else f"may contain {text}")
        for column in columns.places.get("box", ()):
            word = box_words().get(fold_text(sheet.cell(row, column).text), ("",))[0]
            if word in ("contains", "may contain"):
                said.append(f"{'may contain ' if word == 'may contain' else ''}{columns.texts[column]}")
        return ", ".join(said)

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
        """Do what the facts of a row with a text and no amount lead to."""
        sheet, taken = self.reader.sheet, self.reader.taken
        column = column or self.columns.first("name")
        place = sheet.place.at(row, column)
        text = one_line(cell.text)
        if cell.problem:
            draft.faults.append(place.fault(cell.problem, cell.mend))
            return mode
        below = self.rows.cell(following[0], "name") if following else Cell("")
        facts = LoneRow(
            text,
            known=self.reader.words.find(text.strip(" :")),
            lines_follow=bool(following) and self.rows.is_line_row(following[0]),
            words_follow=bool(following) and bool(pairs_in_row(sheet, following[0])),
            any_line_follows=self.rows.any_line(following),
            after_gap=row - previous > 1,
            first=previous == self.columns.row,
            titled=titled,
            has_lines=bool(draft.lines),
            more=any(one.text for other, one in sheet.rows[row] if other != column),
            signs=(cell.bold and not below.bold)
            + (text.isupper() and len(text) > 3 and not below.text.isupper())
            + (sheet.merged.get((row, column + 1)) == (row, column)),
            whole_line=self.rows.is_whole_line(text)
            or ((row, column) not in sheet.merged and self.rows.remark_rule(row)),
        )
        verdict = judge_lone_row(facts)
        if verdict == "line":
            self._line(row, draft, cell, Cell(""), self.columns.first("quantity"))
        elif verdict == "part":
            taken.hear(place, text)
            draft.start_section(section_name(text), place, plain=True)
        elif verdict == "sub-heading":
            draft.start_section(text.strip(" :"), place, plain=False)
        elif verdict == "recipe":
            self._new_recipe(text, place)
        elif verdict == "method":
            draft.add_method(cell.text)
            taken.leave(place, text, "is taken as the method.")
            return "method"
        elif verdict == "no amount":
            draft.faults.append(
                sheet.place.at(row, self.columns.first("quantity") or column).fault(
                    f"'{text[:80]}' has no amount.",
                    "Write one, or 'to taste'; if it is a sub-heading, end it with ':'.",
                )
            )
        else:
            taken.leave(place, text, verdict)
            return "notes" if facts.has_lines and facts.after_gap and verdict == BELOW else "lines"
        return "lines"

    def _new_recipe(self, text: str, place: Place) -> None:
        last = self.drafts[-1]
        if last.lines or last.name or last.method:
            self.drafts.append(Draft(text, place, self.reader.kind, name_given=True))
        else:
            last.name, last.name_given, last.place = text, True, place

    def _beyond(self, row: int, draft: Draft, mode: str, previous: int, following: list[int]) -> str:
        """Take a row below the word 'Method' or 'Notes'; a lone text before another table's lines is a new recipe."""
        sheet, taken = self.reader.sheet, self.reader.taken
        texts = [one_line(cell.text) for _, cell in sheet.rows[row] if cell.text]
        text = " ".join(one for one in dict.fromkeys(texts) if not re.fullmatch(r"\d{1,2}[.)]?", one))
        column = sheet.rows[row][0][0]
        place = sheet.place.at(row, column)
        follows = bool(following) and (
            self.rows.surely_line_row(following[0])
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

    def _total(self, row: int, draft: Draft, amount: Cell, amount_column: int) -> None:
        """Leave out a row of totals, and hold it against the lines."""
        sheet, taken = self.reader.sheet, self.reader.taken
        texts = [cell.text for _, cell in sheet.rows[row]]
        place = sheet.place.at(row, sheet.rows[row][0][0])
        unit = self.rows.cell(row, "unit").text or self.columns.units.get(amount_column, "") or amount.unit
        why = draft.note_total(amount, unit, self.rows.cell(row, "percent"), sheet.place.at(row, amount_column or 1))
        taken.leave(place, " ".join(texts), f"is a total; it is left out.{why}")
