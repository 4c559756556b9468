"""The corpus of statements: read, compared with what the reader makes of them, counted."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from labeller.allergens.evidence import Finding
from labeller.allergens.reader import read_statement
from labeller.allergens.vocabulary import load_vocabulary

FOLDER = Path(__file__).parent
# What README.md of this folder says the short words of ``open`` stand for.
SHORT = {"flavouring": ("milk",), "spices": ("celery", "mustard")}


@dataclass(frozen=True)
class Statement:
    """One statement with its answer by hand."""

    text: str
    has: frozenset[tuple[str, str]]
    may: frozenset[str]
    open_kinds: frozenset[str]


@dataclass(frozen=True)
class Outcome:
    """Where the reader differs from the answer."""

    statement: Statement
    missed: tuple[str, ...]
    added: tuple[str, ...]


def split(text: str) -> list[str]:
    return [part.strip() for part in text.split(";") if part.strip()]


def load_corpus(name: str) -> list[Statement]:
    document: Any = yaml.load((FOLDER / name).read_text(encoding="utf-8"), Loader=yaml.BaseLoader)  # noqa: S506 - BaseLoader makes only text
    found = []
    for row in document["statements"]:
        has = frozenset(
            (source, derivation)
            for source, _, derivation in (part.partition("/") for part in split(row.get("has", "")))
        )
        kinds = frozenset(kind for part in split(row.get("open", "")) for kind in SHORT.get(part, (part,)))
        found.append(Statement(row["say"], has, frozenset(split(row.get("may", ""))), kinds))
    return found


def judged_kinds() -> frozenset[str]:
    """The kinds of which some law regulates a source."""
    vocabulary = load_vocabulary()
    return frozenset(vocabulary.sources[source] for source in vocabulary.law_sources)


def compare(statement: Statement) -> Outcome:
    vocabulary, kinds = load_vocabulary(), judged_kinds()
    no_law = {
        "coconut",
        "shea",
        "chestnut",
        "hickory",
        "pili",
        "ginkgo",
        "beech nut",
        "kola",
        "butternut",
        "palm nut",
        "tiger nut",
    }

    def judged(findings: tuple[Finding, ...]) -> frozenset[tuple[str, str]]:
        return frozenset(
            (each.source, each.derivation)
            for each in findings
            if (vocabulary.sources[each.source] in kinds and each.source not in no_law) or each.source == "alcohol"
        )

    reading = read_statement(statement.text)
    contains = judged(reading.contains)
    may = frozenset(source for source, _ in judged(reading.may_contain))
    open_kinds = frozenset(vocabulary.sources[source] for _, sources in reading.unclear for source in sources) & kinds
    sources = {source for source, _ in contains}
    missed = [f"contains {s}{'/' + d if d else ''}" for s, d in statement.has - contains]
    missed += [f"may contain {source}" for source in statement.may - may - sources]
    missed += [
        f"open {kind}"
        for kind in statement.open_kinds - open_kinds - {vocabulary.sources[source] for source in sources}
    ]
    added = [f"contains {s}{'/' + d if d else ''}" for s, d in contains - statement.has]
    added += [f"may contain {source}" for source in may - statement.may]
    if not statement.open_kinds:
        added += [f"open {kind}" for kind in open_kinds]
    return Outcome(statement, tuple(sorted(missed)), tuple(sorted(added)))
