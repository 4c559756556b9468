"""Tables of bars in a Markdown recipe, each row made into the line it stands for."""

import re

from labeller.bringing_in.cells import Cell, Place, Sheet, one_line
from labeller.bringing_in.columns import columns_of, is_heading_row
from labeller.bringing_in.shapes import Taken

_BARS = re.compile(r"^\s*\|?(.*?\|.*?)\|?\s*$")
_RULE = re.compile(r"^\s*\|?\s*:?-{2,}:?\s*(?:\|\s*:?-{2,}:?\s*)*\|?\s*$")


def without_tables(lines: list[tuple[Place, str]], taken: Taken) -> list[tuple[Place, str]]:
    """Return the lines of a text with the rows of its tables as lines: amount, unit, name, remark."""
    made = list(lines)
    position = 0
    while position + 1 < len(lines):
        if "|" in lines[position][1] and _RULE.match(lines[position + 1][1]):
            end = position + 2
            while end < len(lines) and "|" in lines[end][1]:
                end += 1
            rows = _rows(lines[position:end], taken)
            if rows is not None:
                made[position:end] = rows
            position = end
        else:
            position += 1
    return made


def _rows(lines: list[tuple[Place, str]], taken: Taken) -> list[tuple[Place, str]] | None:
    """Return a table's rows as lines, its heading and rule emptied; None where its headings are not those of a recipe."""
    cells: dict[tuple[int, int], Cell] = {}
    for row, (_, text) in enumerate(lines, start=1):
        found = _BARS.match(text)
        if row != 2 and found:
            for column, value in enumerate(found[1].split("|"), start=1):
                if one_line(value):
                    cells[(row, column)] = Cell(one_line(value).replace("*", "").replace("`", ""))
    sheet = Sheet(lines[0][0], cells)
    if not is_heading_row(sheet, 1):
        return None
    said = Taken()
    columns = columns_of(sheet, 1, said)
    if not columns.is_recipe_table or not columns.first("quantity"):
        return None
    for one in said.columns:
        taken.leave(lines[0][0], one.text, one.why)
    made = [(lines[0][0], ""), (lines[1][0], "")]
    amount_column = columns.first("quantity")
    for row, (place, _) in enumerate(lines[2:], start=3):
        name = sheet.cell(row, columns.first("name")).text
        amount = sheet.cell(row, amount_column).text
        unit = sheet.cell(row, columns.first("unit")).text if columns.first("unit") else ""
        unit = unit or (columns.units.get(amount_column, "") if amount and not re.search(r"[^\W\d_]", amount) else "")
        remarks = [sheet.cell(row, column).text for column in columns.places.get("remark", ())]
        text = " ".join(part for part in (amount, unit, name) if part)
        made.append((place, ", ".join(part for part in (text, *remarks) if part)))
    return made
