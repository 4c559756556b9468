"""Whether a record is what was recorded: every page, every content, every seal, and that nothing could be rewritten by accident."""

import json
from collections.abc import Iterator
from pathlib import Path

from labeller.record.record_file import TRIGGERS, Entry, RecordReader, reading, sha256_of


def verify_record(path: Path, seal: str = "") -> tuple[tuple[Entry, ...], tuple[str, ...]]:
    """Look a record through.

    Parameters
    ----------
    path : Path
        Its file.
    seal : str
        A seal written down elsewhere, or its first characters: it must still stand in the record. Taking away the last records leaves
        every other seal right, so only a seal kept elsewhere shows it.

    Returns
    -------
    tuple[tuple[Entry, ...], tuple[str, ...]]
        The records, and what is wrong in words; nothing where all is well.

    Raises
    ------
    RecordFileError
        Where the file cannot be read at all.
    """
    with reading(path) as reader:
        faults = list(reader.page_faults())
        entries = reader.entries()
        faults += _content_faults(reader, entries)
        faults += _chain_faults(entries)
        there = reader.triggers()
        faults += [
            f"the rule '{name}' that keeps the record from being rewritten is missing or changed"
            for name, rule in TRIGGERS.items()
            if there.get(name) != f"CREATE TRIGGER {name} {rule}"
        ]
    if seal and not any(one.seal.startswith(seal.strip().lower()) for one in entries):
        faults.append(f"the seal '{seal}' is not in the record: records were taken away, or it belongs to another one")
    return entries, tuple(faults)


def _chain_faults(entries: tuple[Entry, ...]) -> Iterator[str]:
    previous, expected = "", 1
    for one in entries:
        named = f"record {one.number}, declared for {one.day}"
        if one.number != expected:
            yield f"{named}: record {expected} before it is missing"
        if one.previous != previous:
            yield f"{named}: it does not follow the record before it; the chain breaks here"
        if one.seal != one.expected_seal():
            yield f"{named}: its words are not those that were sealed; the chain breaks here"
        previous, expected = one.seal, one.number + 1


def _content_faults(reader: RecordReader, entries: tuple[Entry, ...]) -> Iterator[str]:
    good: set[str] = set()
    manifests: dict[str, bytes] = {}
    wanted = {one.manifest for one in entries}
    for key, raw in reader.contents():
        if raw is None or sha256_of(raw) != key:
            yield f"the content {key[:12]} is not what was recorded"
            continue
        good.add(key)
        if key in wanted:
            manifests[key] = raw
    for one in entries:
        named = f"record {one.number}, declared for {one.day}"
        if one.manifest not in manifests:
            yield f"{named}: its list of contents is missing or changed"
            continue
        try:
            wanted_here = keys_in(json.loads(manifests[one.manifest]))
        except (ValueError, KeyError, AttributeError):
            yield f"{named}: its list of contents has not the shape of one"
            continue
        missing = sorted(wanted_here - good)
        if missing:
            yield f"{named}: {len(missing)} of its contents missing or changed, the first {missing[0][:12]}"


def keys_in(manifest: dict[str, object]) -> set[str]:
    """Return the hashes of all contents a manifest lists."""
    found: set[str] = set()
    for part in ("files", "things", "evidence"):
        rows = manifest.get(part)
        if isinstance(rows, dict):
            found |= {str(key) for key in rows.values()}
        elif isinstance(rows, list):
            found |= {str(row["content"]) for row in rows if isinstance(row, dict)}
    return found
