"""Tables with a column for each recipe, or for each size of one recipe: names down the side, amounts in the middle."""

import re
from dataclasses import replace

from labeller.bringing_in.cells import Cell, Sheet, one_line
from labeller.bringing_in.shapes import Left, Taken
from labeller.bringing_in.wordings import find_heading, find_unit
from labeller.foundations.names import fold_text

_SIZE = re.compile(
    r"(?:x\s*\d+(?:[.,]\d+)?|\d+(?:[.,]\d+)?\s*x?|(?:batch|batches|size)\s*\d+|\d+\s*(?:batch|batches|portions?|pax|covers|people|serves))"
)
_MOST_RECIPES = 200


def wide_tables(sheet: Sheet, taken: Taken) -> list[tuple[str, Sheet]]:
    """Return a sheet for each recipe of a wide table, with its name ('' for the sizes of one recipe); empty where it is none."""
    rows = list(sheet.rows)
    for position, row in enumerate(rows[:20]):
        found = _columns(sheet, row, rows[position + 1 :])
        if found is None:
            continue
        name_column, unit_column, amounts = found
        sizes = [column for column in amounts if _SIZE.fullmatch(fold_text(sheet.cell(row, column).text))]
        if len(sizes) == len(amounts):
            for column in amounts[1:]:
                shown = sheet.cell(row, column).text
                taken.columns.append(
                    Left(sheet.place.at(row, column), shown, "is another size of the recipe; it is not taken.")
                )
            return [("", _one(sheet, row, name_column, unit_column, amounts[0], "", taken, front=rows[:position]))]
        made: list[tuple[str, Sheet]] = []
        for column in amounts[:_MOST_RECIPES]:
            text = one_line(sheet.cell(row, column).text)
            bracket = re.search(r"[(\[]([^)\]]*)[)\]]\s*$", text)
            unit = bracket[1] if bracket and find_unit(bracket[1]) else ""
            title = text[: bracket.start()].strip() if bracket and unit else text
            taken.columns.append(
                Left(sheet.place.at(row, column), text, "is taken as a recipe, its amounts below it.")
            )
            one = _one(sheet, row, name_column, unit_column, column, unit, taken, front=[])
            if any(row < key[0] and key[1] == column for key in one.cells):
                made.append((title, one))
        return made
    return []


def _columns(sheet: Sheet, row: int, below: list[int]) -> tuple[int, int, list[int]] | None:
    """Return the column of names, of units (or 0) and of amounts of a wide table headed by a row; None where it heads none."""
    cells = dict(sheet.rows[row])
    if any(cell.problem for cell in cells.values()) or len(below) < 2:
        return None
    under = {column for one in below[:40] for column, _ in sheet.rows[one]}
    first = min(under | set(cells))
    heading = find_heading(cells[first].text) if first in cells else None
    if first in cells and (heading is None or heading.meaning not in ("name", "either", "recipe")):
        return None
    unit_column = 0
    amounts = []
    for column, cell in cells.items():
        if column == first:
            continue
        meant = find_heading(cell.text) if not cell.number else None
        if meant is not None and meant.meaning == "unit":
            unit_column = column
        elif meant is None:
            amounts.append(column)
        elif meant.meaning not in ("ignored", "remark", "total"):
            return None
    if len(amounts) < 2:
        return None
    numbers = sum(sheet.cell(one, column).number for one in below[:40] for column in amounts)
    others = sum(
        bool(sheet.cell(one, column).text) and not sheet.cell(one, column).number
        for one in below[:40]
        for column in amounts
    )
    named = sum(bool(sheet.cell(one, first).text) and not sheet.cell(one, first).number for one in below[:40])
    if numbers < 2 or others > numbers / 3 or named < 2:
        return None
    return first, unit_column, amounts


def _one(
    sheet: Sheet,
    row: int,
    name_column: int,
    unit_column: int,
    column: int,
    unit: str,
    taken: Taken,
    *,
    front: list[int],
) -> Sheet:
    """Return the sheet of one recipe: its names, units and amounts, headed as a plain table; a nought means it has none of it."""
    cells: dict[tuple[int, int], Cell] = {}
    for (at_row, at_column), cell in sheet.cells.items():
        if at_row in front:
            cells[(at_row, at_column)] = cell
        elif at_row > row and at_column in (name_column, unit_column, column):
            amount = sheet.cell(at_row, column)
            if amount.number and amount.text == "0":
                if at_column == column:
                    taken.leave(
                        sheet.place.at(at_row, column),
                        sheet.cell(at_row, name_column).text,
                        f"is 0 in '{sheet.cell(row, column).text}': it is left out there.",
                    )
                continue
            if amount.text or amount.problem:
                cells[(at_row, at_column)] = cell
    cells[(row, name_column)] = Cell("Ingredient")
    cells[(row, column)] = replace(
        sheet.cell(row, column), text=f"Quantity ({unit})" if unit else "Quantity", number=False
    )
    if unit_column:
        cells[(row, unit_column)] = Cell("Unit")
    return Sheet(sheet.place, cells, sheet.merged, sheet.hidden_rows, sheet.hidden_columns)
