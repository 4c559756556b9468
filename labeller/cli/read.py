"""``labeller read STATEMENT``: what the reader makes of a supplier's ingredients statement."""

import json
from collections.abc import Iterable
from typing import Any

from labeller.allergens.evidence import Finding
from labeller.allergens.reader import Reading, read_statement
from labeller.allergens.vocabulary import load_vocabulary
from labeller.cli.exits import WRONG_USAGE
from labeller.cli.opening import law_of, say, today
from labeller.jurisdictions.in_force import LawInForce

_DONE = 0


def grouped(findings: Iterable[Finding], law: LawInForce) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """Sort findings into the groups of a law, and into what that law exempts.

    Returns
    -------
    (list of dict, list of dict)
        Rows ``group, sources, words`` in the law's order, and rows ``words, source, clause``.
    """
    kinds = load_vocabulary().sources
    rows: list[dict[str, Any]] = []
    exempt: list[dict[str, Any]] = []
    found = list(findings)
    for group in law.groups:
        sources: dict[str, None] = {}
        words: dict[str, None] = {}
        for finding in found:
            kind = kinds.get(finding.source, finding.source)
            if not group.includes(finding.source, kind):
                continue
            freed = law.exemption(finding.source, finding.derivation, kind)
            if freed is not None:
                exempt.append({"words": finding.words, "source": finding.source, "clause": freed.clause.as_text()})
            else:
                sources[finding.source] = None
                words[finding.words] = None
        if sources:
            rows.append({"group": group.name, "sources": list(sources), "words": ", ".join(words)})
    return rows, exempt


def left_open(reading: Reading, law: LawInForce) -> list[dict[str, Any]]:
    """Return rows ``words, groups``: what the statement leaves open under a law."""
    kinds = load_vocabulary().sources
    by_words: dict[str, set[str]] = {}
    for words, open_sources in reading.unclear:
        by_words.setdefault(words, set()).update(open_sources)
    for words, source, derivation in reading.derived_doubts:
        # Dextrose without its source is nobody's doubt where dextrose is exempt whatever it is made of.
        if law.exemption(source, derivation, kinds[source]) is None:
            by_words.setdefault(words, set()).add(source)
    rows = []
    for words, sources in by_words.items():
        groups = [
            group.name for group in law.groups if any(group.includes(source, kinds[source]) for source in sources)
        ]
        if groups:
            rows.append({"words": words, "groups": groups})
    # A source the text itself leaves general, such as gluten without its cereal, is too little for a law that asks for the cereal.
    for finding in reading.contains:
        groups = [group.name for group in law.groups if group.left_open_by(finding.source)]
        if groups:
            rows.append({"words": finding.words, "groups": groups})
    return rows


def read_as_json(reading: Reading, law: LawInForce) -> dict[str, Any]:
    """Return the contract's document."""
    contains, exempt = grouped(reading.contains, law)
    may_contain, _ = grouped(reading.may_contain, law)
    return {
        "contains": contains,
        "may_contain": may_contain,
        "exempt": exempt,
        "unclear": left_open(reading, law),
        "not_understood": list(reading.not_understood),
    }


def read_as_text(document: dict[str, Any], reading: Reading, law: LawInForce) -> str:
    """Return the same for people."""
    lines = [f"By the law of {law.title}:"]
    for title, key in (("Contains", "contains"), ("May contain", "may_contain")):
        for row in document[key]:
            lines.append(f"  {title}: {row['group']} ({', '.join(row['sources'])}), in the words: {row['words']}")
    for row in document["unclear"]:
        lines.append(f"  Not known: {', '.join(row['groups'])}. '{row['words']}' does not say. Ask the supplier.")
    for row in document["exempt"]:
        lines.append(f"  Exempt: '{row['words']}', made of {row['source']}. {row['clause']}.")
    if reading.alcohol:
        lines.append(f"  Alcohol: {', '.join(reading.alcohol)}")
    if reading.alcohol_traces:
        lines.append(f"  Ferments, which keep a little alcohol: {', '.join(reading.alcohol_traces)}")
    if reading.negated:
        lines.append(f"  Said not to be in it: {', '.join(reading.negated)}")
    if document["not_understood"]:
        lines.append(f"  Words not understood, which change nothing: {', '.join(document['not_understood'])}")
    if not reading.names_food and reading.statement.strip() and not reading.contains:
        lines.append(
            "  No word of it is a food this tool knows, so it settles nothing: every allergen stays not known."
        )
    if len(lines) == 1:
        lines.append("  No allergen of this law in these words.")
    return "\n".join(lines)


def read(statement: str, jurisdiction: str, json_out: bool) -> int:
    """Print what the reader makes of a statement and return the exit code: 0, or 2 where the text is too long to read.

    Parameters
    ----------
    statement : str
        The supplier's words.
    jurisdiction : str
        By whose groups and exemptions: ``eu``, ``gb``, ``us``, ``ca``, ``au-nz`` or ``codex``.
    json_out : bool
        Print the contract's JSON document instead of text.
    """
    law = law_of(jurisdiction, today())
    reading = read_statement(statement)
    document = read_as_json(reading, law)
    if json_out:
        print(json.dumps(document, ensure_ascii=False, indent=1))
    elif not reading.refused:
        print(read_as_text(document, reading, law))
    if reading.refused:
        say(reading.refused)
        return WRONG_USAGE
    return _DONE
