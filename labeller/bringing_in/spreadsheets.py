"""Read workbooks into sheets, cell by cell, nothing guessed; what cannot be read is said in a sentence.

A reader of tables guesses types, drops merged and hidden cells and fills formulas in silently; all of these decide here whether a
line is taken, so workbooks are read cell by cell.
"""

import datetime as dt
import io
import re
import warnings
import zipfile
from pathlib import Path
from typing import Any

from labeller.bringing_in.cells import Cell, Place, Sheet, number_text, tidy_text
from labeller.bringing_in.wordings import find_unit
from labeller.foundations.faults import Fault, Origin

LARGEST_FILE_BYTES = 30_000_000
LARGEST_UNPACKED_BYTES = 300_000_000
_MERGED = re.compile(
    rb"""<(?:\w+:)?mergeCell\s[^>]{0,200}?\bref=["']\$?([A-Z]{1,3})\$?(\d{1,7}):\$?([A-Z]{1,3})\$?(\d{1,7})["']"""
)
MOST_CELLS = 2_000_000
MOST_COLUMNS = 400
_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"  # [MS-CFB] 2.2: header signature of a compound file
_ENCRYPTED = "EncryptedPackage".encode("utf-16-le")  # [MS-OFFCRYPTO] 2.3.4.4: the stream of an encrypted workbook


def file_fault(name: str, problem: str, mend: str) -> list[Fault]:
    """Return the fault of a whole file, as a list of one."""
    return [Fault(Origin(name), "file", problem, mend)]


def read_bytes(path: Path, name: str) -> tuple[bytes, list[Fault]]:
    """Read a file, within bounds."""
    try:
        if not path.is_file():
            return b"", file_fault(
                name, "this is not a plain file.", "Give a spreadsheet, a recipe text, or a folder of them."
            )
        if path.stat().st_size > LARGEST_FILE_BYTES:
            return b"", file_fault(
                name,
                f"this file is larger than {LARGEST_FILE_BYTES // 1_000_000} MB.",
                "Save the recipes in a file of their own, without pictures.",
            )
        return path.read_bytes(), []
    except OSError:
        return b"", file_fault(name, "this file is not readable.", "Give yourself the right to read it.")


def refuse_by_content(raw: bytes, name: str) -> list[Fault]:
    """Say in plain words where a file is of a kind that is not read here, whatever its name ends in."""
    if raw.startswith(_OLE):
        if _ENCRYPTED in raw:
            return file_fault(
                name,
                "this workbook is protected by a password.",
                "Open it, take the password off (File, Info, Protect), and save it.",
            )
        return file_fault(
            name,
            "this is a workbook of the old kind (.xls).",
            "Open it and save it as 'Excel workbook (.xlsx)', or as CSV.",
        )
    if raw.startswith(b"%PDF"):
        return file_fault(
            name,
            "this is a PDF, which holds letters and no cells.",
            "Give the spreadsheet it was made from, or copy the recipes into a text file.",
        )
    if raw.startswith(b"PK"):
        return _refuse_zip(raw, name)
    return []


def _refuse_zip(raw: bytes, name: str) -> list[Fault]:
    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as packed:
            infos = packed.infolist()
            names = {info.filename for info in infos}
            if sum(info.file_size for info in infos) > LARGEST_UNPACKED_BYTES or len(infos) > 20_000:
                return file_fault(
                    name,
                    f"unpacked, this workbook is larger than {LARGEST_UNPACKED_BYTES // 1_000_000} MB, and was not opened.",
                    "Save the recipes in a workbook of their own.",
                )
            kind = packed.read("mimetype")[:80] if "mimetype" in names else b""
            if b"opendocument" in kind:
                return file_fault(
                    name,
                    "this is an OpenDocument sheet (.ods).",
                    "Open it and save it as 'Excel workbook (.xlsx)', or as CSV.",
                )
            if any(one.endswith("workbook.bin") for one in names):
                return file_fault(
                    name, "this is a binary workbook (.xlsb).", "Open it and save it as 'Excel workbook (.xlsx)'."
                )
            if any(one.startswith("word/") for one in names):
                return file_fault(
                    name, "this is a text document (.docx), not a sheet.", "Save it as plain text (.txt)."
                )
            if not any(one.endswith("workbook.xml") for one in names):
                return file_fault(
                    name, "this is a packed file, and no workbook lies in it.", "Unpack it, and give the spreadsheet."
                )
            for info in infos:
                if info.filename.endswith((".xml", ".rels", ".vml")):
                    head = packed.read(info)
                    if b"<!DOCTYPE" in head or b"<!ENTITY" in head or head[:2] in (b"\xff\xfe", b"\xfe\xff"):
                        return file_fault(
                            name,
                            "this workbook declares names of its own in its XML, which no spreadsheet program writes, and was not opened.",
                            "Open it in a spreadsheet program and save it again.",
                        )
                    if _merged_cells(head) > MOST_CELLS:
                        # Opening it makes one cell of each, a whole sheet of 17 thousand million among them.
                        return file_fault(
                            name,
                            f"cells are merged over more than {MOST_CELLS} cells, and it was not opened.",
                            "Split the merged cells in a spreadsheet program and save it again.",
                        )
    except (
        zipfile.BadZipFile,
        zipfile.LargeZipFile,
        RuntimeError,
        NotImplementedError,
        OSError,
        EOFError,
        ValueError,
        KeyError,
    ):
        return file_fault(
            name, "this workbook is damaged and does not open.", "Open it in a spreadsheet program and save it again."
        )
    except Exception as reason:  # noqa: BLE001 - zlib.error and others of a damaged file; any of them is the user's file, not our bug
        return file_fault(
            name,
            f"this workbook is damaged and does not open ({type(reason).__name__}).",
            "Open it in a spreadsheet program and save it again.",
        )
    return []


def _merged_cells(xml: bytes) -> int:
    """Return how many cells the merged areas of a sheet's XML cover."""
    count = 0
    for found in _MERGED.finditer(xml):
        left, top, right, bottom = (one.decode("ascii") for one in found.groups())
        count += (abs(_column(right) - _column(left)) + 1) * (abs(int(bottom) - int(top)) + 1)
    return count


def _column(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number


def read_workbook(raw: bytes, name: str) -> tuple[list[Sheet], list[Fault], list[tuple[Place, str, str]]]:
    """Read a workbook.

    Returns
    -------
    tuple[list[Sheet], list[Fault], list[tuple[Place, str, str]]]
        The sheets that show, faults of the whole file, and what else is worth saying: place, text, why.
    """
    refused = refuse_by_content(raw, name)
    if refused:
        return [], refused, []
    try:
        shown = _load(raw, values=False)
        formulas = any(cell.data_type == "f" for sheet in shown.worksheets for cell in sheet._cells.values())  # noqa: SLF001 - the cells that exist; iterating rows would make a million empty ones
        values = _load(raw, values=True) if formulas else None
    except Exception as reason:  # noqa: BLE001 - the library raises of every kind on a damaged workbook; it is the user's file, not our bug
        return (
            [],
            file_fault(
                name,
                f"this workbook is damaged and does not open ({type(reason).__name__}).",
                "Open it in a spreadsheet program and save it again.",
            ),
            [],
        )
    sheets: list[Sheet] = []
    said: list[tuple[Place, str, str]] = []
    faults: list[Fault] = []
    cells = 0
    for sheet in shown.worksheets:
        place = Place(name, str(sheet.title))
        if sheet.sheet_state != "visible":
            said.append((place, "", "is a hidden sheet and was not read. Show it to bring it in."))
            continue
        cells += len(sheet._cells)  # noqa: SLF001 - as above
        if cells > MOST_CELLS:
            faults.extend(
                file_fault(
                    name,
                    f"this workbook has more than {MOST_CELLS} cells.",
                    "Save the recipes in a workbook of their own.",
                )
            )
            break
        sheets.append(_sheet(sheet, values[sheet.title] if values is not None else None, place, said))
    for sheet in shown.chartsheets:
        said.append((Place(name, str(sheet.title)), "", "is a chart and was not read."))
    return sheets, faults, said


def _load(raw: bytes, *, values: bool) -> Any:
    import openpyxl  # noqa: PLC0415 - heavy; only a workbook pays for it

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # what the library does not know (validation lists, slicers) holds no recipe
        return openpyxl.load_workbook(io.BytesIO(raw), data_only=values, keep_links=False)


def _sheet(sheet: Any, values: Any, place: Place, said: list[tuple[Place, str, str]]) -> Sheet:
    merged: dict[tuple[int, int], tuple[int, int]] = {}
    for area in sheet.merged_cells.ranges:
        if (area.max_row - area.min_row + 1) * (area.max_col - area.min_col + 1) > 20_000:
            continue
        for row in range(area.min_row, area.max_row + 1):
            for column in range(area.min_col, area.max_col + 1):
                if (row, column) != (area.min_row, area.min_col):
                    merged[(row, column)] = (area.min_row, area.min_col)
    cells: dict[tuple[int, int], Cell] = {}
    pinned: dict[tuple[int, int], str] = {}
    for (row, column), cell in sheet._cells.items():  # noqa: SLF001 - as above
        if column > MOST_COLUMNS:
            continue
        comment = getattr(cell, "comment", None)
        if comment is not None and comment.text:
            pinned[(row, column)] = tidy_text(str(comment.text))
        if cell.value is None:
            continue
        cells[(row, column)] = _cell(cell, values, row, column)
    hidden_rows = frozenset(number for number, size in sheet.row_dimensions.items() if size.hidden)
    hidden_columns: set[int] = set()
    for size in sheet.column_dimensions.values():
        if size.hidden and size.min is not None and size.max is not None:
            hidden_columns.update(range(size.min, min(size.max, MOST_COLUMNS) + 1))
    made = Sheet(place, cells, merged, hidden_rows, frozenset(hidden_columns), pinned)
    rows_said = sorted(row for row in hidden_rows if row in made.rows)
    if rows_said:
        said.append(
            (place, "", f"rows {', '.join(map(str, rows_said[:20]))} are hidden; they were read like the others.")
        )
    return made


def _cell(cell: Any, values: Any, row: int, column: int) -> Cell:
    value = cell.value
    bold = struck = False
    if cell.has_style:
        bold, struck = bool(cell.font.b), bool(cell.font.strike)
    if cell.data_type == "f":
        formula = value if isinstance(value, str) else getattr(value, "text", "") or "a formula"
        value = values.cell(row, column).value if values is not None else None
        if value is None:
            return Cell(
                str(formula)[:80],
                problem=f"the formula '{str(formula)[:60]}' has no value in this file.",
                mend="Open the file in a spreadsheet program, let it calculate, and save it; or write the number.",
                bold=bold,
            )
    if isinstance(value, bool):
        return Cell("TRUE" if value else "FALSE", bold=bold, struck=struck)
    if isinstance(value, (dt.datetime, dt.date)):
        shown = value.strftime("%Y-%m-%d")
        return Cell(
            shown,
            problem=f"'{shown}' is a day: a spreadsheet makes one of a fraction such as '{value.day}/{value.month}'.",
            mend=f"Format the cell as text and write the amount again: '{value.day}/{value.month}', or '{value.month}/{value.day}', or a decimal number.",
            bold=bold,
        )
    if isinstance(value, (dt.time, dt.timedelta)):
        return Cell(
            str(value),
            problem=f"'{value}' is a time, not an amount.",
            mend="Format the cell as text and write the amount again.",
            bold=bold,
        )
    if isinstance(value, (int, float)):
        if value != value or value in (float("inf"), float("-inf")):  # noqa: PLR0124 - NaN is the one number that is not itself
            return Cell("", problem="the cell holds no number.", mend="Write the number.")
        percent = "%" in (cell.number_format or "").split(";")[0]
        unit = "" if percent else _unit_of_format(cell.number_format or "")
        return Cell(
            number_text(float(value) * 100.0) if percent else number_text(float(value)),
            number=True,
            unit=unit,
            percent=percent,
            bold=bold,
            struck=struck,
        )
    text = tidy_text(str(value))
    if cell.data_type == "e" or re.fullmatch(r"#(?:REF!|N/A|VALUE!|NAME\?|DIV/0!|NUM!|NULL!|SPILL!|CALC!)", text):
        return Cell(
            text,
            problem=f"the cell shows the error '{text}'.",
            mend="Mend the formula, or write the number.",
            bold=bold,
        )
    return Cell(text, bold=bold, struck=struck)


def _unit_of_format(number_format: str) -> str:
    """Return a unit that only the number format shows, as in ``0" g"``; '' where it shows none."""
    for quoted in re.findall(r'"([^"]*)"', number_format.split(";", maxsplit=1)[0]) + re.findall(
        r"\\ ?([a-zA-Z]+)", number_format.split(";", maxsplit=1)[0]
    ):
        if find_unit(quoted.strip()):
            return str(quoted).strip()
    return ""
