"""``labeller record``: keep what is declared today; list, verify and show what is on record."""

import json
from datetime import date, datetime
from pathlib import Path

from labeller.cli.exits import FAULTS
from labeller.cli.opening import law_of, refuse_usage, say, today
from labeller.cli.past import open_with_bytes, parse_past, refuse_file
from labeller.declarations.words import listed
from labeller.record.content import content_of, packed, read_content
from labeller.record.faults_of_file import RecordFileError
from labeller.record.past import entry_as_of, no_record_for
from labeller.record.record_file import Entry, append_record, reading, record_file_of
from labeller.record.verifying import verify_record

_NAMED = 12


def record(
    book: Path,
    *,
    jurisdiction: str | None,
    on: date,
    note: str,
    file: Path | None,
    json_out: bool,
) -> int:
    """Record what is declared; return the exit code."""
    path = file or record_file_of(book)
    opened, files = open_with_bytes(book, jurisdiction, on, json_out=json_out)
    content = content_of(opened.declarer, files)
    manifest, parts = packed(content, files)
    moment = datetime.now().astimezone().isoformat(timespec="seconds")
    try:
        entry, added = append_record(
            path,
            parts,
            day=on.isoformat(),
            moment=moment,
            jurisdiction=opened.law.code,
            asked=jurisdiction is not None and opened.law.code != opened.book.kitchen.jurisdiction,
            note=" ".join(note.encode("utf-8", "replace").decode().split()),
            manifest=manifest,
        )
    except RecordFileError as reason:
        refuse_file(reason)
    dishes, made = content.names("dish"), content.names("preparation")
    unsure = content.not_vouched_for()
    if json_out:
        document = {
            "file": str(path),
            "recorded": added,
            **_entry_as_json(entry),
            "dishes": len(dishes),
            "preparations": len(made),
            "not_vouched_for": list(unsure),
        }
        print(json.dumps(document, ensure_ascii=False, indent=1))
        return 0
    if added:
        print(
            f"Recorded: {_count(len(dishes), 'dish', 'dishes')} and {_count(len(made), 'thing', 'things')} made in house, as declared for "
            f"{entry.day} by the law of {opened.law.title}. Record {entry.number} in '{path}'."
        )
        print(f"Its seal: {entry.seal}")
    else:
        print(f"Already on record: record {entry.number} of {entry.day} in '{path}' says the same. Nothing was added.")
    if on != today():
        say(f"Declared for {on.isoformat()}, recorded on {today().isoformat()}: both days are kept.")
    if unsure:
        shown = listed(list(unsure[:_NAMED])) + (f" and {len(unsure) - _NAMED} more" if len(unsure) > _NAMED else "")
        say(
            f"{_count(len(unsure), 'dish has', 'dishes have')} something that cannot be vouched for, and it is recorded as not known: {shown}."
        )
    return 0


def list_records(book: Path, file: Path | None, *, json_out: bool) -> int:
    """Print what is on record; return the exit code."""
    path = file or record_file_of(book)
    try:
        with reading(path) as reader:
            entries = reader.entries()
    except RecordFileError as reason:
        refuse_file(reason)
    if json_out:
        document = {"file": str(path), "records": [_entry_as_json(one) for one in entries]}
        print(json.dumps(document, ensure_ascii=False, indent=1))
        return 0
    previous = None
    for one in entries:
        same = previous is not None and (previous.manifest, previous.jurisdiction) == (one.manifest, one.jurisdiction)
        said = [f"record {one.number}", f"declared for {one.day} by the law of {one.jurisdiction}"]
        said.append(f"made {one.moment[:16].replace('T', ' ')}")
        if same:
            said.append("as the one before")
        if one.note:
            said.append(f"note: {one.note}")
        print("; ".join(said))
        previous = one
    return 0


def verify(book: Path, file: Path | None, seal: str, *, json_out: bool) -> int:
    """Look a record through; return 0, or 1 where it is not what was recorded."""
    path = file or record_file_of(book)
    try:
        entries, faults = verify_record(path, seal)
    except RecordFileError as reason:
        refuse_file(reason)
    if json_out:
        last = entries[-1].seal if entries else None
        document = {
            "file": str(path),
            "records": len(entries),
            "seal": last,
            "whole": not faults,
            "faults": list(faults),
        }
        print(json.dumps(document, ensure_ascii=False, indent=1))
        return FAULTS if faults else 0
    if faults:
        print(f"'{path}' is NOT what was recorded:")
        for one in faults:
            print(f"  {one}.")
        return FAULTS
    print(f"'{path}' is whole: {_count(len(entries), 'record', 'records')}, every content and every seal right.")
    if entries:
        print(f"The last seal: {entries[-1].seal}")
        print("Keep it elsewhere, on paper too: it shows later whether records were taken away.")
    return 0


def show(book: Path, file: Path | None, day: str, jurisdiction: str | None) -> int:
    """Print word for word what was declared on a day, as JSON; return the exit code."""
    path = file or record_file_of(book)
    wanted = parse_past(day, "--show")
    if jurisdiction is not None:
        jurisdiction = law_of(jurisdiction, wanted).code
    try:
        with reading(path) as reader:
            entries = reader.entries()
            entry = entry_as_of(entries, wanted, jurisdiction)
            if entry is None:
                raise no_record_for(path, entries, wanted)
            if jurisdiction is not None and entry.jurisdiction != jurisdiction:
                raise refuse_usage(
                    f"--jurisdiction: nothing by the law of '{jurisdiction}' is on record for {day} or before."
                )
            content = read_content(reader, entry)
    except RecordFileError as reason:
        refuse_file(reason)
    document = {
        "jurisdiction": entry.jurisdiction,
        "on": entry.day,
        "record": _entry_as_json(entry),
        "tool": content.tool,
        "declarations": [thing["declaration"] for thing in content.things.values()],
        "evidence": content.evidence,
        "menus": content.menus,
        "files": content.files,
    }
    print(json.dumps(document, ensure_ascii=False, indent=1))
    return 0


def _entry_as_json(entry: Entry) -> dict[str, object]:
    return {
        "number": entry.number,
        "day": entry.day,
        "moment": entry.moment,
        "jurisdiction": entry.jurisdiction,
        "asked": entry.asked,
        "note": entry.note,
        "seal": entry.seal,
    }


def _count(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"
