"""``labeller changes``: what changed since the last record, or between two days."""

import json
from datetime import date
from pathlib import Path

from labeller.cli.opening import law_of, refuse_usage, today
from labeller.cli.past import content_again, open_with_bytes, parse_past, refuse_file
from labeller.declarations.words import listed
from labeller.jurisdictions.faults_of_law import UnknownJurisdictionError
from labeller.jurisdictions.packs import load_jurisdiction
from labeller.record.changing import Changes, changes_of
from labeller.record.changing_text import changes_as_text
from labeller.record.content import Content, content_of
from labeller.record.faults_of_file import RecordFileError
from labeller.record.past import Recalled, entry_as_of, laid_out, last_entry, no_record_for, recall
from labeller.record.record_file import Entry, RecordReader, reading, record_file_of


def changes(
    book: Path,
    *,
    since: str | None,
    from_day: str | None,
    to_day: str | None,
    jurisdiction: str | None,
    file: Path | None,
    json_out: bool,
) -> int:
    """Print what changed; return the exit code."""
    if (from_day is None) != (to_day is None):
        raise refuse_usage(
            "Write --from and --to together, or --since alone: from that day's record to the book as it is."
        )
    if since is not None and from_day is not None:
        raise refuse_usage("Write --since, or --from and --to, not both.")
    path = file or record_file_of(book)
    if jurisdiction is not None:
        jurisdiction = law_of(jurisdiction, today()).code
    first_day = parse_past(from_day, "--from") if from_day is not None else None
    last_day = parse_past(to_day, "--to") if to_day is not None else None
    if first_day is None and since is not None:
        first_day = parse_past(since, "--since")
    if first_day is not None and last_day is not None and first_day > last_day:
        raise refuse_usage(f"--from: {from_day} is after {to_day}. Write the earlier day first.")
    last = None
    try:
        with reading(path) as reader:
            first = recall(reader, _entry_of(reader, first_day, jurisdiction))
            if last_day is not None:
                last = recall(reader, _entry_of(reader, last_day, jurisdiction))
        if first_day is None:
            first_day = date.fromisoformat(first.entry.day)
        if last is not None and last_day is not None:
            return _between(first, last, first_day, last_day, json_out=json_out)
        return _until_now(first, first_day, book, jurisdiction, json_out=json_out)
    except RecordFileError as reason:
        refuse_file(reason)


def _between(first: Recalled, last: Recalled, first_day: date, last_day: date, *, json_out: bool) -> int:
    before, after = first.content, last.content
    begun = _begun(after.law["code"], first.entry.day, last.entry.day)
    # By one law and one tool every difference comes from the book; else they can be told apart only where the files are the same.
    again = before if (before.tool, before.law) == (after.tool, after.law) and not begun else None
    found = changes_of(before, after, again, begun)
    ends = (_end(first), _end(last))
    return _print(found, ends, _in_words(first, first_day), _in_words(last, last_day), json_out=json_out)


def _until_now(first: Recalled, day: date, book: Path, jurisdiction: str | None, *, json_out: bool) -> int:
    asked = jurisdiction or (first.entry.jurisdiction if first.entry.asked else None)
    opened, files = open_with_bytes(book, asked, today(), json_out=json_out)
    after = content_of(opened.declarer, files)
    with laid_out(first, book.name) as past:
        again = _again(past.folder, past.content, after)
    begun = _begun(opened.law.code, first.entry.day, today().isoformat())
    found = changes_of(first.content, after, again, begun)
    ends: tuple[dict[str, object], dict[str, object]] = (
        _end(first),
        {"record": None, "day": today().isoformat(), "jurisdiction": opened.law.code},
    )
    now = f"the book as it is on {today().isoformat()} ({opened.law.code})"
    return _print(found, ends, _in_words(first, day), now, json_out=json_out)


def _begun(jurisdiction: str, first: str, last: str) -> tuple[str, ...]:
    """Return what of a law began or ended after the one day and up to the other, in words."""
    try:
        law = load_jurisdiction(jurisdiction)
    except UnknownJurisdictionError:
        return ()
    days = [day.isoformat() for day in law.changes() if first < day.isoformat() <= last]
    return (f"the law of {law.title} changed on {listed(days)}",) if days else ()


def _end(recalled: Recalled) -> dict[str, object]:
    entry = recalled.entry
    return {"record": entry.number, "day": entry.day, "jurisdiction": entry.jurisdiction}


def _again(folder: Path, before: Content, after: Content) -> Content | None:
    """Declare the recorded files by today's law and tool; None where there are faults in them by now."""
    if before.files == after.files:
        return after
    return content_again(folder, after.law["code"], today())


def _entry_of(reader: RecordReader, day: date | None, jurisdiction: str | None) -> Entry:
    """Return the record that holds for a day, the newest where none is named."""
    entries = reader.entries()
    entry = last_entry(entries, jurisdiction) if day is None else entry_as_of(entries, day, jurisdiction)
    if entry is None:
        raise no_record_for(reader.path, entries, day or today())
    return entry


def _in_words(recalled: Recalled, day: date) -> str:
    entry = recalled.entry
    last = "" if entry.day == day.isoformat() else f", the last up to {day.isoformat()}"
    return f"the record of {entry.day} (number {entry.number}, {entry.jurisdiction}{last})"


def _print(
    found: Changes, ends: tuple[dict[str, object], dict[str, object]], since: str, until: str, *, json_out: bool
) -> int:
    if json_out:
        print(json.dumps({"from": ends[0], "to": ends[1], **found.as_json()}, ensure_ascii=False, indent=1))
    else:
        print(changes_as_text(found, since, until))
    return 0
