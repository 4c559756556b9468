"""Make ``profiles.json``: what each row of the reference table says about allergens.

Reads the table (``../composition/sr28.csv``), the rules (``profile_rules.yaml``), the reviewed overrides
(``profile_overrides.csv``) and the sources (``sources.csv``), all beside this file. Run it after any of them changes::

    python reference_data/allergens/build_profiles.py              # writes profiles.json
    python reference_data/allergens/build_profiles.py --coverage   # prints what is settled, per food group

A row is settled only where a rule says that it is a single commodity; names show what is in a row, never what is not.
"""

import csv
import json
import re
import sys
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

HERE = Path(__file__).resolve().parent
TABLE = HERE.parent / "composition" / "sr28.csv"
COMPILED = HERE / "profiles.json"

# What a name says is not in it, taken out before sources are looked for.
_DENIED = re.compile(
    r"\bwithout [^,;()|]*|\b(?:non|no|not)[ -](?:added )?[a-z]+|\b[a-z]+[ -]free\b|\b(?:skin and )?[a-z]+ removed\b"
)
# Capitals in a name are a maker's own name; these are not.
_NO_BRAND = {"USDA", "URMIS", "IMPS", "NFS", "BBQ", "KAMUT", "DHA", "ARA", "VPP"}
_CAPITALS = re.compile(r"\b[A-Z][A-Z'’&]{2,}\b")


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the reference table, as the rules see it: lower case, denials and false friends taken out by stages."""

    code: str
    group: str
    group_name: str
    name: str
    text: str
    affirmed: str
    named: str
    branded: bool


@dataclass(slots=True)
class Settled:
    """What the rules make of one row: findings (source, derivation, words), what is open, and the rules that said so."""

    contains: dict[tuple[str, str], str] = field(default_factory=dict)
    unconfirmed: list[str] | None = None
    grounds: list[int] = field(default_factory=list)


def _pattern(words: list[str], *, at_start: bool = False) -> re.Pattern[str] | None:
    """Return a pattern for whole words, singular or plural; a phrase that ends in punctuation stands as it is."""
    if not words:
        return None
    parts = []
    for word in sorted(words, key=len, reverse=True):
        tail = r"(?:e?s)?(?![a-z0-9])" if word[-1].isalnum() else ""
        parts.append(re.escape(word.lower()) + tail)
    return re.compile(("^" if at_start else r"(?<![a-z0-9])") + "(?:" + "|".join(parts) + ")")


def _without_maker(name: str, maker: str) -> str:
    """Return the name without the maker's own at its head, which may sound like a food."""
    words, of_maker = name.replace(",", " ,").split(), maker.split()
    same = len(words) > 2 and [word.lower() for word in words[:2]] == [word.lower() for word in of_maker[:2]]
    return " ".join(words[2:]).replace(" ,", ",") if same else name


def _finds(pattern: re.Pattern[str] | None, text: str) -> bool:
    return pattern is None or pattern.search(text) is not None


class Conditions:
    """The conditions of one rule, compiled."""

    def __init__(self, rule: dict[str, Any]) -> None:
        self.groups = frozenset(rule.get("groups", ()))
        self.groups_not = frozenset(rule.get("groups_not", ()))
        self.starts = _pattern(rule.get("starts", []), at_start=True)
        self.every = [_pattern([word]) for word in rule.get("all", ())]
        self.some = _pattern(rule.get("any", []))
        self.none = _pattern([*rule.get("none", []), *rule.get("unless", [])])

    def fit(self, row: Row) -> bool:
        """Whether the row meets every condition."""
        if (self.groups and row.group not in self.groups) or row.group in self.groups_not:
            return False
        if not _finds(self.starts, row.text) or not _finds(self.some, row.text):
            return False
        if self.none is not None and self.none.search(row.text):
            return False
        return all(_finds(pattern, row.text) for pattern in self.every)


class Rules:
    """All rules, compiled; ``grounds`` lists their grounds in the order of their numbers."""

    def __init__(self, book: dict[str, Any], sources: dict[str, str]) -> None:
        self.kinds = sources
        self.grounds: list[str] = []
        self.citations: dict[str, str] = book["citations"]
        self.cited = re.compile("|".join(rf"\b{re.escape(short)}\b" for short in self.citations))
        self.false_friends = _pattern(book["false_friends"])
        self.never_single = book["never_single"]
        self.naming = [
            (
                rule,
                Conditions(rule),
                _pattern(rule.get("words", [])),
                Conditions(rule["derivation_when"]) if "derivation_when" in rule else None,
                self.number(f"named in it: {rule['ground']}"),
            )
            for rule in book["sources"]
        ]
        self.species: dict[str, str] = book["species"]
        self.species_groups = frozenset(book["species_groups"])
        self.species_pattern = _pattern(list(self.species))
        self.elsewhere_not = frozenset(book["species_elsewhere_not"])
        self.elsewhere_pattern = _pattern(book["species_elsewhere"])
        self.species_number = self.number(f"named in it: {book['species_ground']}")
        self.single = [
            (
                rule,
                Conditions(rule),
                _pattern([word for word in self.never_single if word not in rule.get("allow", ())]),
                self.number(f"{rule['rule']}: {rule['ground']}"),
            )
            for rule in book["single"]
        ]

    def number(self, ground: str) -> int:
        """Return the number under which a ground is kept, its citations written out."""
        ground = self.cited.sub(lambda match: self.citations[match.group()], ground)
        if ground in self.grounds:
            return self.grounds.index(ground)
        self.grounds.append(ground)
        return len(self.grounds) - 1

    def prepare(self, line: dict[str, str]) -> Row:
        """Return a row of the table as the rules see it."""
        text = _without_maker(line["name"], line["manufacturer"]).lower().replace("’", "'")
        if line["common_name"]:
            text += " | " + line["common_name"].lower()
        affirmed = _DENIED.sub(" ", text)
        named = self.false_friends.sub(" ", affirmed) if self.false_friends else affirmed
        branded = bool(line["manufacturer"]) or any(w not in _NO_BRAND for w in _CAPITALS.findall(line["name"]))
        return Row(line["food_code"], line["group"], line["group_name"], line["name"], text, affirmed, named, branded)

    def name_sources(self, row: Row, settled: Settled) -> None:
        """Add what the name of the row shows to be in it."""
        for rule, conditions, words, derived, number in self.naming:
            if rule.get("when_no_species") or not conditions.fit(row):
                continue
            text = row.affirmed if rule.get("before_false_friends") else row.named
            found = self._first(words, text, rule.get("not_after", ()))
            if words is not None and found is None:
                continue
            derivation = rule["derivation_when"]["derivation"] if derived is not None and derived.fit(row) else ""
            self._add(settled, rule["source"], derivation, found or rule["source"], number)
        self._name_species(row, settled)
        for rule, conditions, _words, _derived, number in self.naming:
            kind = self.kinds[rule["source"]]
            if rule.get("when_no_species") and conditions.fit(row) and not self._has_kind(settled, kind):
                self._add(settled, rule["source"], "", rule["source"], number)
        for general in ("fish", "crustacean", "mollusc"):  # the species says more than the word for all of them
            if sum(self.kinds[source] == general for source, _ in settled.contains) > 1:
                settled.contains.pop((general, ""), None)

    def _name_species(self, row: Row, settled: Settled) -> None:
        if "surimi" in row.text:  # imitations carry the name of what they imitate
            return
        pattern = self.species_pattern if row.group in self.species_groups else self.elsewhere_pattern
        if row.group in self.elsewhere_not or pattern is None:
            return
        for match in pattern.finditer(row.named):
            word = self._singular(match.group())
            self._add(settled, self.species[word], "", word, self.species_number)

    def _singular(self, word: str) -> str:
        return next(w for w in (word, word.removesuffix("s"), word.removesuffix("es")) if w in self.species)

    def _has_kind(self, settled: Settled, kind: str) -> bool:
        return any(self.kinds[source] == kind for source, _ in settled.contains)

    @staticmethod
    def _first(words: re.Pattern[str] | None, text: str, not_after: list[str] | tuple[str, ...]) -> str | None:
        if words is None:
            return None
        for match in words.finditer(text):
            before = re.findall(r"[a-z]+", text[: match.start()])[-1:]
            if not before or (before[0] not in not_after and before[0].removesuffix("s") not in not_after):
                return match.group()
        return None

    @staticmethod
    def _add(settled: Settled, source: str, derivation: str, words: str, number: int) -> None:
        if (source, derivation) not in settled.contains:
            settled.contains[source, derivation] = words
            if number not in settled.grounds:
                settled.grounds.append(number)

    def settle(self, row: Row) -> Settled:
        """Return what is known about a row."""
        settled = Settled()
        self.name_sources(row, settled)
        for rule, conditions, never, number in self.single:
            if not conditions.fit(row):
                continue
            if rule.get("open") == "true" or (row.branded and rule.get("brand") != "true"):
                return settled
            if never is not None and never.search(row.affirmed):
                return settled
            for text in rule.get("contains", ()):
                source, _, derivation = text.partition("/")
                self._add(settled, source, derivation, rule["rule"], number)
            settled.unconfirmed = [
                source for source in rule.get("unconfirmed", ()) if (source, "") not in settled.contains
            ]
            settled.grounds = [number, *(n for n in settled.grounds if n != number)]
            return settled
        return settled


def _read_sources() -> dict[str, str]:
    with (HERE / "sources.csv").open(encoding="utf-8", newline="") as file:
        return {line["source"]: line["kind"] for line in csv.DictReader(file)}


def _override(line: dict[str, str], rules: Rules) -> Settled:
    settled = Settled(grounds=[rules.number(f"reviewed by hand: {line['ground']}")])
    for text in filter(None, line["contains"].split(";")):
        source, _, derivation = text.strip().partition("/")
        settled.contains[source, derivation] = source
    if line["complete"] == "yes":
        settled.unconfirmed = [text.strip() for text in line["unconfirmed"].split(";") if text.strip()]
    return settled


def settle_all() -> tuple[list[Row], list[Settled], Rules]:
    """Return every row of the table, what is known about it, and the rules."""
    with (HERE / "profile_rules.yaml").open(encoding="utf-8") as file:
        rules = Rules(yaml.load(file, Loader=getattr(yaml, "CBaseLoader", yaml.BaseLoader)), _read_sources())  # noqa: S506 - text only
    with TABLE.open(encoding="utf-8", newline="") as file:
        rows = [rules.prepare(line) for line in csv.DictReader(file)]
    with (HERE / "profile_overrides.csv").open(encoding="utf-8", newline="") as file:
        overrides = {line["food_code"]: line for line in csv.DictReader(file)}
    if unknown := overrides.keys() - {row.code for row in rows}:
        raise SystemExit(f"profile_overrides.csv: {sorted(unknown)} are not rows of the table. Correct the codes.")
    found = [_override(overrides[row.code], rules) if row.code in overrides else rules.settle(row) for row in rows]
    used = {source for settled in found for source, _ in settled.contains}
    used.update(source for settled in found for source in settled.unconfirmed or ())
    if unknown := used - rules.kinds.keys():
        raise SystemExit(
            f"profile_rules.yaml: {sorted(unknown)} are not in sources.csv. Add them there, or use a name that is."
        )
    return rows, found, rules


def compile_profiles() -> str:
    """Return the text of ``profiles.json``: grounds, the distinct profiles, and for each row the number of its profile."""
    rows, found, rules = settle_all()
    profiles: dict[str, int] = {}
    of_row: dict[str, int] = {}
    for row, settled in zip(rows, found, strict=True):
        contains = [[source, derivation, words] for (source, derivation), words in sorted(settled.contains.items())]
        text = json.dumps([contains, settled.unconfirmed, settled.grounds], ensure_ascii=False, separators=(",", ":"))
        of_row[row.code] = profiles.setdefault(text, len(profiles))
    body = ",\n".join(profiles)
    grounds = json.dumps(rules.grounds, ensure_ascii=False, indent=0)
    index = json.dumps(of_row, separators=(",", ":"))
    return f'{{"grounds":{grounds},\n"profiles":[\n{body}\n],\n"rows":{index}}}\n'


def coverage() -> str:
    """Return a table of how many rows are settled, per food group."""
    rows, found, _rules = settle_all()
    counts: dict[str, Counter[str]] = {}
    for row, settled in zip(rows, found, strict=True):
        of_group = counts.setdefault(f"{row.group} {row.group_name}", Counter())
        if settled.unconfirmed == []:
            of_group["complete"] += 1
        elif settled.unconfirmed is not None:
            of_group["but for"] += 1
        else:
            of_group["partial" if settled.contains else "none"] += 1
    lines = [f"{'food group':<42}{'rows':>6}{'complete':>10}{'but for a few':>15}{'contains only':>15}{'nothing':>9}"]
    total: Counter[str] = Counter()
    for name, of_group in sorted(counts.items()):
        total.update(of_group)
        lines.append(_coverage_line(name, of_group))
    lines.append(_coverage_line("all", total))
    return "\n".join(lines)


def _coverage_line(name: str, of_group: Counter[str]) -> str:
    return (
        f"{name[:41]:<42}{of_group.total():>6}{of_group['complete']:>10}{of_group['but for']:>15}"
        f"{of_group['partial']:>15}{of_group['none']:>9}"
    )


if __name__ == "__main__":
    if "--coverage" in sys.argv[1:]:
        print(coverage())
    else:
        COMPILED.write_text(compile_profiles(), encoding="utf-8")
        print(f"wrote {COMPILED.name}, {COMPILED.stat().st_size} bytes")
