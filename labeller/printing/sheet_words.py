"""Read what a user writes of sheets: sizes, grids, margins, the first label to use.

Every function raises `SheetWordsError`, whose text names the flag, quotes what was written and says what to write.
"""

import re

SHEET_SIZES_MM: dict[str, tuple[float, float]] = {
    "A3": (297.0, 420.0),  # ISO 216
    "A4": (210.0, 297.0),
    "A5": (148.0, 210.0),
    "A6": (105.0, 148.0),
    "A7": (74.0, 105.0),
    "Letter": (215.9, 279.4),  # ANSI/ASME Y14.1 size A, 8 1/2 by 11 inches
    "Legal": (215.9, 355.6),
    "Tabloid": (279.4, 431.8),
}

_LONGEST_MM = 2000.0
_PAIR = re.compile(r"\s*(\d+(?:[.,]\d+)?)\s*(?:mm)?\s*[xX×*]\s*(\d+(?:[.,]\d+)?)\s*(?:mm)?\s*", re.ASCII)


class SheetWordsError(ValueError):
    """What a user wrote of a sheet cannot be taken; the text says what to write."""


def parse_label_size(text: str, flag: str = "--label") -> tuple[float, float]:
    """Return width and height of a label as written, ``63.5x38.1``. [mm]"""
    width, height = _pair(text, flag, "a size", "width x height in millimetres, such as 63.5x38.1")
    if not (width > 0.0 and height > 0.0):
        raise SheetWordsError(
            f"{flag}: '{text}' has a side of 0. Write width x height in millimetres, such as 63.5x38.1."
        )
    if max(width, height) > _LONGEST_MM:
        raise SheetWordsError(
            f"{flag}: '{text}' is longer than {_LONGEST_MM:g} mm. Write millimetres, such as 63.5x38.1."
        )
    return width, height


def parse_sheet(text: str, flag: str = "--sheet") -> tuple[float, float]:
    """Return width and height of a sheet, by its name (``A4``, ``Letter``) or as ``210x297``. [mm]"""
    named = {name.lower(): size for name, size in SHEET_SIZES_MM.items()}
    if text.strip().lower() in named:
        return named[text.strip().lower()]
    if not any(letter.isdigit() for letter in text) or _PAIR.fullmatch(text) is None:
        known = ", ".join(SHEET_SIZES_MM)
        raise SheetWordsError(
            f"{flag}: '{text}' is not a sheet. Write {known}, or width x height in millimetres such as 210x297."
        )
    return parse_label_size(text, flag)


def parse_grid(text: str, flag: str = "--grid") -> tuple[int, int]:
    """Return how many labels stand side by side and how many one under the other, as ``3x7``."""
    columns, rows = _pair(text, flag, "a grid", "labels across x labels down, such as 3x7")
    if not (
        columns.is_integer() and rows.is_integer() and columns >= 1.0 and rows >= 1.0 and columns * rows <= 1000.0
    ):
        raise SheetWordsError(f"{flag}: '{text}' is not a grid. Write labels across x labels down, such as 3x7.")
    return int(columns), int(rows)


def parse_margin(text: str, flag: str = "--margin") -> tuple[float, float]:
    """Return the distance of the first label from the top and from the left edge of its sheet, as ``15.15x7.25``. [mm]"""
    return _pair(text, flag, "a margin", "from the top x from the left in millimetres, such as 15.15x7.25")


def parse_gap(text: str, flag: str = "--gap") -> tuple[float, float]:
    """Return the gap between labels side by side and one under the other, as ``2.5x0``. [mm]"""
    return _pair(
        text, flag, "a gap", "between labels side by side x one under the other in millimetres, such as 2.5x0"
    )


def check_start(start_at: int, labels_a_sheet: int, flag: str = "--start-at") -> int:
    """Return the number of the first label to use on the first sheet, counted from 1 along the rows.

    Raises
    ------
    SheetWordsError
        If there is no such label.
    """
    if not 1 <= start_at <= labels_a_sheet:
        raise SheetWordsError(
            f"{flag}: there is no label {start_at} on a sheet of {labels_a_sheet}. Write a number from 1 to {labels_a_sheet}."
        )
    return start_at


def check_copies(copies: int, flag: str = "--copies") -> int:
    """Return how often each label is printed.

    Raises
    ------
    SheetWordsError
        If it is below 1 or above 1000.
    """
    if not 1 <= copies <= 1000:
        raise SheetWordsError(f"{flag}: {copies} copies cannot be printed. Write a number from 1 to 1000.")
    return copies


def _pair(text: str, flag: str, what: str, mend: str) -> tuple[float, float]:
    found = _PAIR.fullmatch(text)
    if found is None:
        raise SheetWordsError(f"{flag}: '{text}' is not {what}. Write {mend}.")
    return float(found[1].replace(",", ".")), float(found[2].replace(",", "."))
