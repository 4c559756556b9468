"""Open what a user gives to bring in: one file of any kind that is read here, or a folder of recipe texts."""

import os
from dataclasses import dataclass
from pathlib import Path

from labeller.bringing_in.cells import Place, Sheet
from labeller.bringing_in.delimited import decode, read_delimited
from labeller.bringing_in.spreadsheets import file_fault, read_bytes, read_workbook, refuse_by_content
from labeller.foundations.faults import Fault

WORKBOOKS, DELIMITED = (".xlsx", ".xlsm", ".xltx"), (".csv", ".tsv", ".tab")
TEXTS, JSON_FILES, PAGES = (".txt", ".md", ".markdown", ".text"), (".json", ".jsonld"), (".html", ".htm")
MOST_FILES = 2000


@dataclass(frozen=True, slots=True)
class Source:
    """One file opened: its sheets, or its text with what kind of text it is ('text', 'json', 'page')."""

    name: str
    stem: str
    sheets: tuple[Sheet, ...] = ()
    text: str = ""
    kind: str = "sheets"


Said = list[tuple[Place, str, str]]


def open_sources(path: Path) -> tuple[list[Source], list[Fault], Said]:
    """Open a file, or every recipe file of a folder at any depth (hidden ones passed over)."""
    if not path.is_dir():
        return _open(path, _shown(path.name))
    sources: list[Source] = []
    faults: list[Fault] = []
    said: Said = []
    files: list[tuple[Path, str]] = []
    for place, folders, names in os.walk(path):
        folders[:] = sorted(one for one in folders if not one.startswith("."))
        for name in sorted(names):
            shown = _shown((Path(place) / name).relative_to(path).as_posix())
            if name.startswith((".", "~$")):
                continue
            if name.lower().endswith((*WORKBOOKS, *DELIMITED, *TEXTS, *JSON_FILES, *PAGES)):
                files.append((Path(place) / name, shown))
            else:
                said.append((Place(shown), "", "is no kind of file that is read; it is passed over."))
    if not files:
        faults.extend(
            file_fault(
                _shown(path.name) or ".",
                "no recipe file is in this folder.",
                "Give a folder of .txt, .md, .json, .csv or .xlsx files.",
            )
        )
    for file, shown in files[:MOST_FILES]:
        opened, more, about = _open(file, shown)
        sources.extend(opened)
        faults.extend(more)
        said.extend(about)
    if len(files) > MOST_FILES:
        faults.extend(
            file_fault(
                _shown(path.name),
                f"this folder holds more than {MOST_FILES} recipe files.",
                "Bring them in folder by folder.",
            )
        )
    return sources, faults, said


def _shown(path: str) -> str:
    return path.encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def _open(path: Path, name: str) -> tuple[list[Source], list[Fault], Said]:
    raw, faults = read_bytes(path, name)
    if faults:
        return [], faults, []
    ending = path.suffix.lower()
    stem = _shown(path.stem)
    if not raw:
        return [], file_fault(name, "this file is empty.", "Save the recipes and give the file again."), []
    if ending in WORKBOOKS or raw.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b"%PDF")):
        sheets, faults, said = (
            read_workbook(raw, name) if raw.startswith(b"PK") else ([], refuse_by_content(raw, name), [])
        )
        if not sheets and not faults:
            if not raw.startswith(b"PK"):
                faults = file_fault(
                    name,
                    "this file is named as a workbook and is none.",
                    "Open it in a spreadsheet program and save it as .xlsx, or name it .csv.",
                )
            else:
                faults = file_fault(
                    name, "no sheet of this workbook shows.", "Show the sheets with recipes, and save it."
                )
        return ([Source(name, stem, tuple(sheets))] if sheets else []), faults, said
    if ending in DELIMITED:
        sheet, faults, said = read_delimited(raw, name)
        if sheet is None and not faults:
            faults = file_fault(name, "this file is empty.", "Save the recipes and give the file again.")
        return ([Source(name, stem, (sheet,))] if sheet is not None else []), faults, said
    if ending in (*TEXTS, *JSON_FILES, *PAGES):
        text, about, faults = decode(raw, name)
        kind = "text" if ending in TEXTS else "json" if ending in JSON_FILES else "page"
        if not faults and not text.strip():
            faults = file_fault(name, "this file is empty.", "Save the recipes and give the file again.")
        return (
            ([Source(name, stem, (), text, kind)] if not faults else []),
            faults,
            [(Place(name), "", about)] if about else [],
        )
    if ending in (".xls", ".ods", ".numbers", ".xlsb"):
        return (
            [],
            file_fault(
                name,
                f"files of the kind {ending} are not read.",
                "Open it and save it as 'Excel workbook (.xlsx)', or as CSV.",
            ),
            [],
        )
    shown = f"'{ending}'" if ending else "without an ending"
    return (
        [],
        file_fault(
            name,
            f"a file {shown} is no kind that is read.",
            "Give .xlsx, .csv, .tsv, .txt, .md, .json or .html; rename it if it is one of these.",
        ),
        [],
    )
