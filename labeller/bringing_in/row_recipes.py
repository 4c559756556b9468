"""Tables with one recipe in each row: its name, all its ingredients in one cell, its method in another."""

import re

from labeller.bringing_in.cells import Cell, Sheet, one_line
from labeller.bringing_in.columns import columns_of, headings_in_row
from labeller.bringing_in.drafts import Draft, RawLine
from labeller.bringing_in.finishing import finish_draft
from labeller.bringing_in.header_rows import Pair, is_section_text, section_name, take_pair
from labeller.bringing_in.kitchen_words import KitchenWords
from labeller.bringing_in.shapes import Kind, Taken
from labeller.bringing_in.written_amounts import Commas, read_start, rule_of

_BULLET = re.compile(r"^\s*[-–•*·]\s*")


def parts_of_cell(text: str, commas: Commas) -> list[str]:
    """Return the lines that stand in one cell: cut at line breaks, else at semicolons or bars, else at commas before numbers."""
    for cut in (r"\n+", r"\s*[;|•]\s*", r"\s*,\s*(?=\d|[½¼¾⅓⅔]|a pinch|pinch)"):
        parts = [_BULLET.sub("", part).strip(" ,") for part in re.split(cut, text)]
        parts = [part for part in parts if part]
        if len(parts) > 1 and sum(_is_whole(part, commas) for part in parts) * 2 >= len(parts):
            return parts
    return [one_line(text)]


def _is_whole(text: str, commas: Commas) -> bool:
    read = read_start(text, commas)
    if isinstance(read, tuple):
        return bool(re.search(r"[^\W\d_]{2}", read[1]))
    return re.search(r"\bto (?:taste|cover)\b", text) is not None or rule_of(text.rsplit(" ", 1)[-1]) == "to taste"


def row_heading(sheet: Sheet, commas: Commas) -> int:
    """Return the row that heads a table of one recipe in each row, or 0."""
    for row in list(sheet.rows)[:20]:
        found = headings_in_row(sheet, row)
        meanings = {one.meaning: column for column, one in found.items()}
        if (
            "name" not in meanings
            or not meanings.keys() & {"recipe", "either", "method"}
            or meanings.keys() & {"quantity", "percent", "unit"}
        ):
            continue
        column = meanings["name"]
        below = [sheet.cell(one, column).text for one in sheet.rows if one > row]
        if any(len(parts_of_cell(text, commas)) > 1 for text in below):
            return row
    return 0


def read_row_recipes(
    sheet: Sheet, row: int, words: KitchenWords, commas: Commas, kind: Kind, taken: Taken, *, first_name: str
) -> None:
    """Read each row below a heading row as a recipe."""
    for above in [one for one in sheet.rows if one < row]:
        taken.leave(
            sheet.place.at(above),
            " ".join(cell.text for _, cell in sheet.rows[above]),
            "stands above the table; it is not taken.",
        )
    columns = columns_of(sheet, row, taken)
    name_column = columns.first("recipe")
    for one in [one for one in sheet.rows if one > row]:
        place = sheet.place.at(one, columns.first("name"))
        cell = sheet.cell(one, columns.first("name"))
        title = sheet.cell(one, name_column) if name_column else Cell(first_name)
        draft = Draft(
            one_line(title.text), sheet.place.at(one, name_column or columns.first("name")), kind, name_given=True
        )
        if title.problem or not draft.name:
            draft.faults.append(
                draft.place.fault(
                    title.problem or "this recipe has no name.", title.mend or "Write its name beside it."
                )
            )
        if cell.problem:
            draft.faults.append(place.fault(cell.problem, cell.mend))
        elif not cell.text:
            draft.faults.append(
                place.fault(
                    f"'{draft.name}' has no ingredients beside it.",
                    "Write them in this cell, one on each line, or take the row out.",
                )
            )
        for text in parts_of_cell(cell.text, commas) if cell.text else []:
            if is_section_text(text):
                draft.start_section(section_name(text), place, plain=True)
            else:
                draft.add(RawLine(place, place, Cell(text)))
        for meaning in ("method", "serves", "yield", "course", "batch", "remark"):
            for column in columns.places.get(meaning, ()):
                value = sheet.cell(one, column)
                if value.text:
                    take_pair(
                        draft,
                        Pair(
                            meaning, value, sheet.place.at(one, column), column, columns.units.get(column, ""), meaning
                        ),
                        taken,
                    )
        finish_draft(draft, words, commas, taken)
