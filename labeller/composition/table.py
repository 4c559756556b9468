"""The composition table: foods x figures per 100 g, read from its compiled form.

A blank in the published table is a missing figure: NaN here, never 0.
"""

import json
import math
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from labeller.composition.codes import PREFIX, parse_food
from labeller.foundations.places import reference_data_folder
from labeller.foundations.plain import dataclass, field


@dataclass(frozen=True, slots=True, eq=False)
class Table:
    """The foods of the reference table, in the order of their codes.

    Attributes
    ----------
    figures : (n_foods, n_columns)
        Figures per 100 g edible part, each in the unit its column's name ends in; NaN where not analysed.
        Read only: the array lies in the file.
    columns : dict
        Name of a column to its place in ``figures``.
    """

    figures: NDArray[np.float64]
    columns: dict[str, int]
    _codes: NDArray[np.int32] = field(repr=False)
    _text_lines: dict[str, int] = field(repr=False)
    _begins: NDArray[np.int32] = field(repr=False)
    _words: bytes = field(repr=False)
    _groups: dict[str, str] = field(repr=False)
    _ethanol_bearing: frozenset[str] = field(repr=False)

    def __len__(self) -> int:
        return len(self._codes)

    def row_index(self, food_code: str) -> int | None:
        """Return the place of a food in the table by its code, with or without ``sr28:``; None where there is none."""
        code = parse_food(food_code)
        if code is None:
            return None
        place = int(np.searchsorted(self._codes[:, 0], int(code)))
        return place if place < len(self._codes) and int(self._codes[place, 0]) == int(code) else None

    def food_code(self, row: int) -> str:
        """Return the five-digit code of a row."""
        return f"{int(self._codes[row, 0]):05d}"

    def text(self, row: int, column: str) -> str:
        """Return the words of a row in a column of words; empty where the table has none."""
        line = self._text_lines[column]
        return self._words[self._begins[line, row] : self._begins[line, row + 1]].decode("utf-8")

    def figure(self, row: int, column: str) -> float:
        """Return one figure per 100 g, NaN where not analysed."""
        return float(self.figures[row, self.columns[column]])

    def name(self, row: int) -> str:
        """Return the full published name of a row."""
        return self.text(row, "name")

    def group(self, row: int) -> str:
        """Return the four-digit code of the food group of a row."""
        return f"{int(self._codes[row, 1]):04d}"

    def group_name(self, row: int) -> str:
        """Return the food group of a row in words."""
        return self._groups[self.group(row)]

    def scientific_name(self, row: int) -> str:
        """Return the Latin name of a row; empty where the table has none."""
        return self.text(row, "scientific_name")

    def manufacturer(self, row: int) -> str:
        """Return the maker a row names; empty for a commodity."""
        return self.text(row, "manufacturer")

    def measures(self, row: int) -> tuple[tuple[float, str], ...]:
        """Return the household measures of a row: (edible weight [g], the words of the measure)."""
        found = []
        for number in ("1", "2"):
            weight_g, words = self.figure(row, f"measure_{number}_g"), self.text(row, f"measure_{number}")
            if words and not math.isnan(weight_g):
                found.append((weight_g, words))
        return tuple(found)

    def refuse(self, row: int) -> tuple[float, str]:
        """Return what is not eaten: (share of the weight as bought [%], NaN where not given; what it is)."""
        return self.figure(row, "refuse_percent"), self.text(row, "refuse_description")

    def is_ethanol_bearing(self, row: int) -> bool:
        """Tell whether a row is a drink or extract that really contains ethanol."""
        return self.food_code(row) in self._ethanol_bearing


@cache
def load_table(folder: Path | None = None) -> Table:
    """Return the reference table, read once.

    Parameters
    ----------
    folder : Path, optional
        Where the compiled files lie; the shipped ones unless given.
    """
    place = folder if folder is not None else reference_data_folder() / "composition"
    headings = json.loads((place / "sr28.json").read_text("utf-8"))
    # Mapped rather than read: a book touches a few hundred rows of 3.9 MB.
    figures = np.load(place / "sr28.npy", mmap_mode="r", allow_pickle=False).view(np.ndarray)
    return Table(
        figures=figures,
        columns={column: line for line, column in enumerate(headings["columns"])},
        _codes=np.load(place / "sr28_codes.npy", allow_pickle=False),
        _text_lines={column: line for line, column in enumerate(headings["texts"])},
        _begins=np.load(place / "sr28_texts.npy", allow_pickle=False),
        _words=(place / "sr28_texts.bin").read_bytes(),
        _groups=headings["groups"],
        _ethanol_bearing=frozenset(headings["ethanol_bearing"]),
    )


__all__ = ["PREFIX", "Table", "load_table", "parse_food"]
