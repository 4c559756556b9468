"""Check a folder of law as people write it, and make of it the form that loads fast.

Used by ``reference_data/jurisdictions/build.py`` and the tests. Every mistake is reported as file, line, field, what was seen
and how to mend it; a folder with one mistake compiles to nothing.
"""

import json
from datetime import date
from pathlib import Path
from typing import Any

import yaml
from pydantic import ValidationError

from labeller.foundations.faults import Fault, Origin
from labeller.jurisdictions.packs import COMPILED_NAME, MORE_SUBJECTS, SUBJECTS
from labeller.jurisdictions.schema import MORE_ROWS, ROWS, CoverageRow, Law, Row, as_compiled

_SHARED = ("applies_from", "law", "clause", "confirmed", "ground")
# Two grounds are common enough to have a short name in the files; any other is written out.
_GROUNDS = {
    "memory": "from memory; the text was not read",
    "secondary": "read in a page that restates it, not in the text itself",
}


class _Located(dict[str, Any]):
    """A mapping that knows its line."""

    line: int = 0


class _TextLoader(yaml.BaseLoader):
    """All scalars are text; a key given twice is refused; mappings know their line."""


def _mapping(loader: _TextLoader, node: yaml.MappingNode) -> _Located:
    found = _Located()
    found.line = node.start_mark.line + 1
    for key_node, value_node in node.value:
        key = loader.construct_object(key_node, deep=True)
        if key in found:
            raise yaml.constructor.ConstructorError(None, None, f"'{key}' is given twice", key_node.start_mark)
        found[key] = loader.construct_object(value_node, deep=True)
    return found


_TextLoader.add_constructor("tag:yaml.org,2002:map", _mapping)


def compile_folder(folder: Path) -> tuple[dict[str, Any] | None, list[Fault]]:
    """Compile one jurisdiction.

    Parameters
    ----------
    folder : Path
        Holds ``about.yaml``, ``coverage.yaml`` and one file a subject.

    Returns
    -------
    tuple
        The compiled law (None if anything is wrong) and every fault found.
    """
    faults: list[Fault] = []
    about = _read(folder / "about.yaml", faults)
    laws = _laws(folder, about, faults)
    subjects: dict[str, list[dict[str, Any]]] = {}
    for path in sorted(folder.glob("*.yaml")):
        if path.stem not in ROWS and path.stem not in MORE_ROWS and path.stem not in {"about", "coverage"}:
            faults.append(
                _fault(path, 0, "", f"'{path.stem}' is not a subject of law.", f"Use one of {', '.join(SUBJECTS)}.")
            )
    for subject in (*SUBJECTS, *MORE_SUBJECTS):
        path = folder / f"{subject}.yaml"
        if not path.is_file():
            if subject in MORE_SUBJECTS:
                continue
            faults.append(_fault(path, 0, "", f"the subject '{subject}' is missing.", "Write the file."))
            continue
        rows = _subject(path, subject, laws, faults)
        if rows:
            subjects[subject] = [as_compiled(row) for row in rows]
    coverage = _coverage(folder, subjects, faults)
    if faults or not about:
        return None, faults
    first = min(row["applies_from"] for row in subjects["groups"])
    pack = {
        "code": folder.name,
        "title": about["title"],
        "first": first,
        "laws": {name: law.model_dump(mode="json") for name, law in laws.items()},
        "coverage": coverage,
        "subjects": subjects,
    }
    return pack, []


def as_bytes(pack: dict[str, Any]) -> bytes:
    """Return the compiled law as the bytes that lie on disk: small, and one row a line so that a change reads as one."""
    head = {name: value for name, value in pack.items() if name != "subjects"}
    lines = [json.dumps(head, ensure_ascii=False, separators=(",", ":"))[:-1] + ',"subjects":{']
    subjects = list(pack["subjects"].items())
    for number, (subject, rows) in enumerate(subjects):
        lines.append(f'"{subject}":[')
        lines.append(",\n".join(json.dumps(row, ensure_ascii=False, separators=(",", ":")) for row in rows))
        lines.append("]," if number < len(subjects) - 1 else "]")
    lines.append("}}")
    return ("\n".join(lines) + "\n").encode()


def compiled_path(folder: Path) -> Path:
    """Return where the compiled law of a folder lies."""
    return folder / COMPILED_NAME


def _fault(path: Path, line: int, field: str, problem: str, mend: str) -> Fault:
    return Fault(Origin(f"{path.parent.name}/{path.name}", line), field, problem, mend)


def _read(path: Path, faults: list[Fault]) -> _Located:
    try:
        found = yaml.load(path.read_text(encoding="utf-8"), _TextLoader)  # noqa: S506 - a BaseLoader: text only
    except FileNotFoundError:
        faults.append(_fault(path, 0, "", "the file is missing.", "Write it."))
        return _Located()
    except (yaml.MarkedYAMLError, UnicodeDecodeError) as reason:
        mark = getattr(reason, "problem_mark", None)
        seen = getattr(reason, "problem", None) or "the file is not UTF-8"
        faults.append(_fault(path, mark.line + 1 if mark else 0, "", f"{seen}.", "Mend the line."))
        return _Located()
    if not isinstance(found, _Located):
        faults.append(_fault(path, 1, "", "the file is not a list of keys with values.", "Begin with 'description:'."))
        return _Located()
    return found


def _laws(folder: Path, about: _Located, faults: list[Fault]) -> dict[str, Law]:
    path = folder / "about.yaml"
    laws: dict[str, Law] = {}
    if about and not about.get("title"):
        faults.append(_fault(path, about.line, "title", "missing.", "Name the jurisdiction for people."))
    for name, entry in (about.get("laws") or {}).items():
        try:
            laws[name] = Law.model_validate(dict(entry))
        except ValidationError as reason:
            faults.extend(_from_pydantic(path, getattr(entry, "line", 0), f"laws.{name}", reason))
    return laws


def _subject(path: Path, subject: str, laws: dict[str, Law], faults: list[Fault]) -> list[Row]:
    found = _read(path, faults)
    unknown = [key for key in found if key not in {"description", "checked_on", "defaults", "rows"}]
    for key in unknown:
        faults.append(
            _fault(path, found.line, key, "is not a key of a subject.", "Use description, checked_on, defaults, rows.")
        )
    for key in ("description", "checked_on", "rows"):
        if found and not found.get(key):
            faults.append(_fault(path, found.line, key, "missing.", f"Write {key}."))
    if "checked_on" in found:
        try:
            date.fromisoformat(found["checked_on"])
        except ValueError:
            faults.append(
                _fault(path, found.line, "checked_on", f"'{found['checked_on']}' is not a day.", "Write 2026-11-25.")
            )
    defaults = found.get("defaults") or {}
    for key in defaults:
        if key not in _SHARED:
            faults.append(_fault(path, found.line, f"defaults.{key}", "is not shared.", f"Use {', '.join(_SHARED)}."))
    rows: list[Row] = []
    for entry in found.get("rows") or ():
        # Confirmed and its ground go together: a row that says one of them does not inherit the other.
        own = "confirmed" in entry or "ground" in entry
        shared = {key: value for key, value in defaults.items() if not (own and key in {"confirmed", "ground"})}
        rows.extend(_rows(path, subject, {**shared, **entry}, getattr(entry, "line", 0), laws, faults))
    _check_order(path, rows, faults)
    return rows


def _rows(
    path: Path, subject: str, entry: dict[str, Any], line: int, laws: dict[str, Law], faults: list[Fault]
) -> list[Row]:
    keys = entry.pop("keys", None) or [entry.get("key", "")]
    entry["ground"] = _GROUNDS.get(entry.get("ground", ""), entry.get("ground", ""))
    # A row that rests on memory or practice alone was not read, so it bears no day of reading.
    if entry.get("confirmed") == "false" and entry["ground"].startswith(("from memory", "common practice")):
        entry["memory"] = "true"
    form = Row if entry.get("repealed") == "true" else (ROWS | MORE_ROWS)[subject]
    rows: list[Row] = []
    for key in keys:
        try:
            row = form.model_validate({**entry, "key": key})
        except ValidationError as reason:
            faults.extend(_from_pydantic(path, line, str(key), reason))
            continue
        if row.law not in laws:
            faults.append(
                _fault(path, line, f"{key}.law", f"'{row.law}' is not a law of about.yaml.", "Add it there.")
            )
        rows.append(row)
    return rows


def _check_order(path: Path, rows: list[Row], faults: list[Fault]) -> None:
    latest: dict[str, date] = {}
    for row in rows:
        if row.key in latest and row.applies_from <= latest[row.key]:
            problem = f"{row.applies_from} does not come after {latest[row.key]}."
            faults.append(
                _fault(path, 0, f"{row.key}.applies_from", problem, "Put the rows of one key in order of days.")
            )
        latest[row.key] = row.applies_from


def _coverage(folder: Path, subjects: dict[str, list[dict[str, Any]]], faults: list[Fault]) -> list[dict[str, Any]]:
    path = folder / "coverage.yaml"
    found = _read(path, faults)
    entries: list[dict[str, Any]] = []
    for subject in (*SUBJECTS, *MORE_SUBJECTS):
        if subject in MORE_SUBJECTS and subject not in subjects and subject not in found:
            continue
        if subject not in found:
            if found:
                faults.append(_fault(path, 0, subject, "missing.", "Say how complete the subject is."))
            continue
        try:
            entry = CoverageRow.model_validate(dict(found[subject]))
        except (ValidationError, ValueError, TypeError) as reason:
            faults.extend(_from_pydantic(path, getattr(found[subject], "line", 0), subject, reason))
            continue
        rows = subjects.get(subject, [])
        confirmed = sum(row["confirmed"] for row in rows)
        if entry.status == "whole" and confirmed < len(rows):
            problem = f"is called whole, but {len(rows) - confirmed} of {len(rows)} rows are not confirmed."
            faults.append(_fault(path, 0, subject, problem, "Write 'unconfirmed' or 'partial'."))
        entries.append(
            {
                "subject": subject,
                "status": entry.status,
                "note": entry.note,
                "rows": len(rows),
                "confirmed_rows": confirmed,
            }
        )
    return entries


def _from_pydantic(path: Path, line: int, field: str, reason: Exception) -> list[Fault]:
    if not isinstance(reason, ValidationError):
        return [
            _fault(path, line, field, "is not a list of keys with values.", "Write 'status:' and 'note:' under it.")
        ]
    faults: list[Fault] = []
    for error in reason.errors():
        place = ".".join([field, *(str(part) for part in error["loc"])])
        if error["type"] == "missing":
            faults.append(_fault(path, line, place, "missing.", "Add it."))
        elif error["type"] == "extra_forbidden":
            faults.append(
                _fault(
                    path, line, place, "is not a key of this subject.", "Leave it out, or spell it as the others do."
                )
            )
        else:
            seen = error["msg"].removeprefix("Value error, ")
            faults.append(_fault(path, line, place, f"'{error['input']}' is not right: {seen}.", "Mend the row."))
    return faults
