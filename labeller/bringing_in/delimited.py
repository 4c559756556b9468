"""Read .csv, .tsv and other text files: their encoding, the sign that cuts their columns, their cells as typed."""

import csv
import io
import re
from collections import Counter

from labeller.bringing_in.cells import Cell, Place, Sheet, tidy_text
from labeller.bringing_in.spreadsheets import MOST_CELLS, MOST_COLUMNS, file_fault
from labeller.foundations.faults import Fault


def decode(raw: bytes, name: str) -> tuple[str, str, list[Fault]]:
    """Decode a text file: UTF-8 with or without its mark, UTF-16, else Windows-1252 said aloud.

    Returns
    -------
    tuple[str, str, list[Fault]]
        The text, what is to be said about its encoding ('' where nothing), and faults.
    """
    for mark, encoding in ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16")):
        if raw.startswith(mark):
            try:
                return raw.decode(encoding), "" if encoding == "utf-8-sig" else "is UTF-16.", []
            except UnicodeDecodeError:
                return (
                    "",
                    "",
                    file_fault(
                        name,
                        f"this file says it is {encoding.removesuffix('-sig').upper()}, and is not.",
                        "Save it as 'CSV UTF-8'.",
                    ),
                )
    head = raw[:2000]
    if len(head) >= 4 and head.count(b"\x00") > len(head) // 4:
        little = head[1::2].count(0) >= head[0::2].count(0)
        try:
            return raw.decode("utf-16-le" if little else "utf-16-be"), "is UTF-16 without a mark.", []
        except UnicodeDecodeError:
            pass
    if b"\x00" in raw:
        return (
            "",
            "",
            file_fault(name, "this file is no text.", "Give a spreadsheet (.xlsx), a CSV file or a recipe text."),
        )
    try:
        return raw.decode("utf-8"), "", []
    except UnicodeDecodeError as reason:
        line = raw[: reason.start].count(b"\n") + 1
        try:
            return (
                raw.decode("cp1252"),
                f"is not UTF-8 (line {line}); it was read as Windows-1252. Look at its accents.",
                [],
            )
        except UnicodeDecodeError:
            return (
                "",
                "",
                file_fault(
                    name, f"the letters of line {line} are neither UTF-8 nor Windows-1252.", "Save it as 'CSV UTF-8'."
                ),
            )


def read_delimited(raw: bytes, name: str) -> tuple[Sheet | None, list[Fault], list[tuple[Place, str, str]]]:
    """Read a csv, tsv or other delimited file as one sheet; the delimiter is the one that cuts most lines alike."""
    place = Place(name)
    text, about, faults = decode(raw, name)
    if faults:
        return None, faults, []
    said = [(place, "", about)] if about else []
    if not text.strip():
        return None, [], [(place, "", "is empty.")]
    given = re.match(r"sep=(.)\r?\n", text, re.IGNORECASE)
    first_row = 1
    if given:
        text, first_row = text[given.end() :], 2
    delimiter = given[1] if given else sniff_delimiter(text, name)
    csv.field_size_limit(1_000_000)
    cells: dict[tuple[int, int], Cell] = {}
    try:
        for number, record in enumerate(
            csv.reader(io.StringIO(text, newline=""), delimiter=delimiter), start=first_row
        ):
            for column, value in enumerate(record[:MOST_COLUMNS], start=1):
                if value.count("\n") > 8 and value.count(delimiter) > 8:
                    faults.append(
                        Place(name, "", number, column).fault(
                            "a quotation mark is opened here and closed many lines below.", "Close it, or take it out."
                        )
                    )
                tidy = tidy_text(value)
                if tidy:
                    error = re.fullmatch(r"#(?:REF!|N/A|VALUE!|NAME\?|DIV/0!|NUM!|NULL!)", tidy)
                    cells[(number, column)] = (
                        Cell(
                            tidy,
                            problem=f"the cell shows the error '{tidy}'.",
                            mend="Mend the formula in the sheet, or write the number.",
                        )
                        if error
                        else Cell(tidy)
                    )
            if len(cells) > MOST_CELLS:
                return (
                    None,
                    file_fault(
                        name,
                        f"this file has more than {MOST_CELLS} cells.",
                        "Save the recipes in a file of their own.",
                    ),
                    said,
                )
    except csv.Error:
        return (
            None,
            file_fault(
                name,
                "a cell of this file is longer than a million letters, or its quotation marks do not close.",
                "Close the quotation marks and save it again.",
            ),
            said,
        )
    shown = {"\t": "tab"}.get(delimiter, delimiter)
    said.append((place, "", f"was cut into columns at '{shown}'."))
    return Sheet(place, cells), faults, said


def sniff_delimiter(text: str, name: str = "") -> str:
    """Return the delimiter among comma, semicolon, tab and bar that cuts most of the first lines into the same number of cells."""
    sample = "\n".join(text.splitlines()[:60])
    best, best_score = "\t" if name.lower().endswith(".tsv") else ",", 0.0
    for delimiter in ";\t|,":  # a decimal comma cuts lines too, so the comma comes last
        try:
            widths = [
                sum(1 for value in record if value.strip()) and len(record)
                for record in csv.reader(io.StringIO(sample, newline=""), delimiter=delimiter)
            ]
        except csv.Error:
            continue
        counted = Counter(width for width in widths if width > 1)
        if not counted:
            continue
        width, lines = counted.most_common(1)[0]
        score = lines * min(width, 6) ** 0.25
        if score > best_score * 1.05:
            best, best_score = delimiter, score
    return best
