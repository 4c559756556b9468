"""List the jurisdictions and how complete each is, subject by subject."""

import json
import textwrap

from labeller.jurisdictions.packs import Jurisdiction, known_jurisdictions, load_jurisdiction

_WIDTH = 80


def jurisdictions(json_out: bool) -> int:
    """Print the jurisdictions on file with their coverage.

    Parameters
    ----------
    json_out : bool
        True for one JSON document, false for text in 80 columns.

    Returns
    -------
    int
        Exit code 0.
    """
    packs = [load_jurisdiction(code) for code in known_jurisdictions()]
    print(as_json(packs) if json_out else as_text(packs))
    return 0


def as_json(packs: list[Jurisdiction]) -> str:
    """Return the list as JSON: ``[{"code", "title", "first", "changes", "rows", "confirmed", "coverage": [...]}]``."""
    return json.dumps(
        [
            {
                "code": pack.code,
                "title": pack.title,
                "first": pack.first.isoformat(),
                "changes": [day.isoformat() for day in pack.changes()],
                "rows": sum(subject.rows for subject in pack.coverage),
                "confirmed": sum(subject.confirmed_rows for subject in pack.coverage),
                "coverage": [subject._asdict() for subject in pack.coverage],
            }
            for pack in packs
        ],
        ensure_ascii=False,
        indent=2,
    )


def as_text(packs: list[Jurisdiction]) -> str:
    """Return the list for people, no line longer than 80 columns."""
    lines: list[str] = []
    for pack in packs:
        rows = sum(subject.rows for subject in pack.coverage)
        confirmed = sum(subject.confirmed_rows for subject in pack.coverage)
        lines.append(f"{pack.code}: {pack.title}")
        lines.append(
            f"  law on file from {pack.first.isoformat()}; {confirmed} of {rows} values read in the text itself"
        )
        for subject in pack.coverage:
            name = subject.subject.replace("_", " ")
            head = f"  {name:<16}{subject.status:<13}{subject.confirmed_rows:>3}/{subject.rows:<4} "
            lines.extend(
                textwrap.wrap(subject.note, _WIDTH, initial_indent=head, subsequent_indent=" " * len(head))
                or [head.rstrip()]
            )
        lines.append("")
    lines.append("whole: every value was read in the text. unconfirmed: something rests on a")
    lines.append("restatement or on memory. partial: something is left out; the note says what.")
    return "\n".join(lines)
