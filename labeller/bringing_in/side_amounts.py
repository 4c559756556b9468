"""Hold amounts that stand side by side, each under a heading that is nothing but a unit, against each other."""

from dataclasses import replace
from typing import Final

from labeller.bringing_in.cells import Cell, Sheet, one_line
from labeller.bringing_in.columns import Columns
from labeller.bringing_in.wordings import find_unit
from labeller.bringing_in.written_amounts import Commas, read_start
from labeller.foundations.units import MASS_G, millilitres

# "250 g" and "9 oz" are one amount, rounded as recipes round it; 1 kg and 250 g are not. Common practice, no source.
_SAME_AMOUNT: Final = 0.15


def one_amount(sheet: Sheet, columns: Columns, row: int, column: int, commas: Commas) -> Cell:
    """Return the amount of a row, with a problem where another unit's column holds a different one.

    Under "kg" and "g", 1 and 250 are 1.25 kg in some kitchens: to take the first alone would lose the rest in silence.

    Parameters
    ----------
    sheet, columns, row : Sheet, Columns, int
        The row and what its columns are taken for.
    column : int
        The column whose amount is taken.
    commas : Commas
        What a comma is in this file.
    """
    cell = sheet.cell(row, column)
    first = _size(columns, column, cell, commas)
    if cell.problem or first is None:
        return cell
    for other in columns.places.get("quantity", ()):
        again = sheet.cell(row, other)
        second = _size(columns, other, again, commas) if other != column and again.text else None
        if second is None or second[0] != first[0] or second[1] <= 0.0:
            continue
        if abs(first[1] - second[1]) > _SAME_AMOUNT * max(first[1], second[1]):
            shown = (
                f"'{one_line(one.text)}' under '{columns.texts[where]}'"
                for where, one in ((column, cell), (other, again))
            )
            problem = f"two amounts stand side by side, {' and '.join(shown)}."
            return replace(cell, problem=problem, mend="Write one amount with one unit.")
    return cell


def _size(columns: Columns, column: int, cell: Cell, commas: Commas) -> tuple[str, float] | None:
    """Return the kind of an amount and its size [g or ml], None where its column is headed by more than a unit."""
    unit = columns.units.get(column, "")
    if not unit or find_unit(columns.texts.get(column, "")) != unit:
        return None
    kind = "mass" if unit in MASS_G else "volume" if unit in ("ml", "cl", "dl", "l") else ""
    read = read_start(cell.text, "thousands" if cell.number else commas, unit)
    if not kind or not isinstance(read, tuple) or find_unit(read[1].strip()):
        return None
    return kind, read[0].value * (MASS_G[unit] if kind == "mass" else millilitres(unit, ""))
