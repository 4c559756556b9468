"""Compile the allergen vocabulary of this folder into one file that loads in a few milliseconds.

Run by hand after an edit: ``python reference_data/allergens/build.py``. A test holds the compiled file to the tables.
"""

import csv
import json
from collections import defaultdict
from pathlib import Path
from typing import Any

from labeller.allergens.spelling import one_letter_less, skeleton
from labeller.foundations.names import fold_text, stem_word

FOLDER = Path(__file__).resolve().parent
COMPILED = FOLDER / "vocabulary.json"
LANGUAGES = ("en", "fr", "de", "it", "es", "nl")
SENSES = {"names": 0, "made of": 1, "composite": 2}


def rows_of(name: str) -> list[dict[str, str]]:
    """Read one table of this folder; refuse a row with a field too many or too few."""
    with (FOLDER / name).open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    for number, row in enumerate(rows, start=2):
        if None in row or None in row.values():
            raise SystemExit(
                f"{name}: line {number}: the row has not as many fields as the heading. Mend its commas or quotes."
            )
    return rows


def split(text: str, mark: str = ";") -> list[str]:
    """Split a field that holds several values."""
    return [part.strip() for part in text.split(mark) if part.strip()]


def phrase_key(phrase: str) -> str:
    """Return the folded, stemmed words of a phrase, joined by single spaces."""
    words = fold_text(phrase).replace("'", " ").replace("-", " ").split()
    return " ".join(stem_word(word) for word in words)


class Entry:
    """What one phrase means in one language, gathered over all tables."""

    def __init__(self) -> None:
        self.certain: set[tuple[str, str, int]] = set()
        self.doubts: set[tuple[tuple[str, ...], int, str]] = set()
        self.carrier: tuple[str, tuple[str, ...], tuple[str, ...]] | None = None
        self.roles: set[str] = set()

    def sources(self) -> set[str]:
        """Return every source it finds or leaves open."""
        return {source for source, _, _ in self.certain} | {source for names, _, _ in self.doubts for source in names}

    def value(self) -> tuple[Any, ...]:
        """Return a form that can be compared and sorted."""
        return (tuple(sorted(self.certain)), tuple(sorted(self.doubts)), self.carrier, tuple(sorted(self.roles)))


def compile_vocabulary() -> dict[str, Any]:
    """Return the compiled vocabulary as plain lists and mappings."""
    source_rows = rows_of("sources.csv")
    kinds = {row["source"]: row["kind"] for row in source_rows}
    stands_open = [row["source"] for row in source_rows if row["stands_open"] == "yes"]
    open_of_kind: dict[str, list[str]] = defaultdict(list)
    for source in stands_open:
        open_of_kind[kinds[source]].append(source)

    def expand(names: str, where: str) -> tuple[str, ...]:
        found: set[str] = set()
        for name in split(names):
            if name in open_of_kind and (name not in kinds or len(open_of_kind[name]) > 1 or name == kinds.get(name)):
                found.update(open_of_kind[name])
            elif name in kinds:
                found.add(name)
            else:
                raise SystemExit(f"{where}: '{name}' is no source and no kind.")
        return tuple(sorted(found))

    def known(names: str, where: str) -> tuple[str, ...]:
        for name in split(names):
            if name not in kinds:
                raise SystemExit(f"{where}: '{name}' is no source.")
        return tuple(split(names))

    phrases: dict[str, dict[str, Entry]] = defaultdict(lambda: defaultdict(Entry))
    named: dict[str, set[str]] = defaultdict(set)
    for row in source_rows:
        for name in [row["source"], *split(row["also"])]:
            named[phrase_key(name)].add(row["source"])
    shown_names = {
        name
        for row in source_rows
        for name in [row["source"], *split(row["also"])]
        if row["source"] != "alcohol trace"
    }

    for language in LANGUAGES:
        path = f"words_{language}.csv"
        if not (FOLDER / path).exists():
            continue
        for row in rows_of(path):
            where = f"{path}: {row['words'][:40]}"
            sense = SENSES[row["sense"]]
            for phrase in split(row["words"], "|"):
                entry = phrases[phrase_key(phrase)][language]
                if row["certainty"] == "doubtful":
                    settled_by = (
                        "list"
                        if sense == SENSES["composite"]
                        else "named"
                        if "aroma" in row["words"] or "arome" in row["words"]
                        else "source"
                    )
                    entry.doubts.add((expand(row["sources"], where), sense, settled_by))
                elif row["certainty"] == "certain":
                    sources = known(row["sources"], where)
                    entry.certain.update((source, row["derivation"], sense) for source in sources)
                    entry.roles.add("food")
                    if sense == 0 and len(sources) == 1 and not row["derivation"] and phrase_key(phrase) not in named:
                        shown_names.add(phrase)
                        named[phrase_key(phrase)].update(sources)
                else:
                    raise SystemExit(f"{where}: certainty is '{row['certainty']}'. Write certain or doubtful.")
    for row in rows_of("doubtful.csv"):
        for phrase in split(row["words"], "|"):
            entry = phrases[phrase_key(phrase)][row["language"]]
            entry.doubts.add((expand(row["leaves_open"], phrase), 1, row["settled_by"]))
    for row in rows_of("derivations.csv"):
        for phrase in split(row["words"], "|"):
            entry = phrases[phrase_key(phrase)][row["language"]]
            entry.carrier = (
                row["derivation"],
                known(row["from_sources"], phrase),
                known(row["open_without_source"], phrase),
            )
    for row in rows_of("alcohol.csv"):
        for phrase in split(row["words"], "|"):
            entry = phrases[phrase_key(phrase)][row["language"]]
            entry.roles.update({"alcohol" if row["role"] == "alcohol" else "alcohol trace", "food"})
    for row in rows_of("false_friends.csv"):
        for phrase in split(row["words"], "|"):
            entry = phrases[phrase_key(phrase)][row["language"]]
            entry.roles.add("food")
            entry.certain.update((source, "", 0) for source in known(row["reads_as"], phrase))
    for table in ("signals.csv", "negations.csv"):
        for row in rows_of(table):
            for phrase in split(row["words"], "|"):
                phrases[phrase_key(phrase)][row["language"]].roles.add("signal " + row["signal"])
    if (FOLDER / "plain_words.csv").exists():
        for row in rows_of("plain_words.csv"):
            for phrase in split(row["words"], "|"):
                phrases[phrase_key(phrase)][row["language"]].roles.add(row["role"])
    carried: dict[str, set[str]] = defaultdict(set)
    for row in rows_of("derivations.csv"):
        carried[row["derivation"]].update(split(row["from_sources"]))
    compiled = pack(kinds, stands_open, phrases, named, shown_names)
    compiled["carried"] = {name: sorted(sources) for name, sources in sorted(carried.items())}
    compiled["parts"] = compound_parts(compiled)
    return compiled


def bears_allergen(entry: Entry) -> bool:
    """Tell whether an entry finds or leaves open anything."""
    return bool(entry.certain or entry.doubts)


def compound_parts(compiled: dict[str, Any]) -> dict[str, int]:
    """Return the parts German and Dutch build words of, each with the number of its meaning, -1 for none of its own."""
    parts: dict[str, int] = {}

    def number_of(word: str, language: str) -> int:
        number = compiled["phrases"][phrase_key(word)]
        return int(number) if isinstance(number, int) else int(number[language])

    for language in ("en", "de", "nl"):
        path = f"words_{language}.csv"
        for row in rows_of(path) if (FOLDER / path).exists() else []:
            for phrase in split(row["words"], "|"):
                word = fold_text(phrase)
                if word.isalpha() and len(word) >= 5 and row["certainty"] == "certain" and row["sense"] != "composite":
                    parts[word] = number_of(word, language)
    for row in rows_of("compounds.csv"):
        for word in split(row["parts"], "|"):
            parts[fold_text(word)] = number_of(row["means"], row["language"]) if row["means"] else -1
    for row in rows_of("false_friends.csv"):
        for phrase in split(row["words"], "|"):
            word = fold_text(phrase)
            if word.isalpha() and len(word) >= 6:
                parts[word] = number_of(word, row["language"])
    return dict(sorted(parts.items()))


def merge_like(by_language: dict[str, Entry]) -> None:
    """Give a word that means much the same in several languages the same meaning in all: mayonnaise, pasta, but not *orzo*."""
    entries = list(by_language.values())
    for _ in entries:
        for one in entries:
            for other in entries:
                if one is not other and one.sources() & other.sources():
                    one.certain |= other.certain
                    one.doubts |= other.doubts
                    one.roles |= other.roles
                    one.carrier = one.carrier or other.carrier


def pack(
    kinds: dict[str, str],
    stands_open: list[str],
    phrases: dict[str, dict[str, Entry]],
    named: dict[str, set[str]],
    shown_names: set[str],
) -> dict[str, Any]:
    """Give entries and sets of open sources numbers, so that each is written once."""
    sets: dict[tuple[str, ...], int] = {}
    entries: dict[tuple[str, tuple[Any, ...]], int] = {}

    def number_of(language: str, entry: Entry) -> int:
        return entries.setdefault((language, entry.value()), len(entries))

    compiled: dict[str, Any] = {}
    longest: dict[str, int] = {}
    for key in sorted(phrases):
        by_language = phrases[key]
        merge_like(by_language)
        values = {entry.value() for entry in by_language.values()}
        words = key.split()
        if not words:
            raise SystemExit("a phrase is empty.")
        longest[words[0]] = max(longest.get(words[0], 0), len(words))
        if len(values) == 1:
            language = next(iter(by_language)) if len(by_language) == 1 else ""
            compiled[key] = number_of(language, next(iter(by_language.values())))
        else:
            compiled[key] = {language: number_of(language, entry) for language, entry in sorted(by_language.items())}
    listed = []
    for language, (certain, doubts, carrier, roles) in entries:
        open_sets = [[sets.setdefault(names, len(sets)), sense, settled] for names, sense, settled in doubts]
        listed.append([language, list(certain), open_sets, carrier, list(roles)])
    skeletons: dict[str, str] = {}
    deletes: dict[str, str] = {}
    for key, by_language in sorted(phrases.items()):
        if " " in key or not any(bears_allergen(entry) for entry in by_language.values()):
            continue
        if len(key) >= 3 and key.isalpha():
            skeletons.setdefault(skeleton(key), key)
        names_it = any(
            sense == 0 and kinds[source] != "other"
            for entry in by_language.values()
            for source, _, sense in entry.certain
        )
        if len(key) >= 6 and key.isalpha() and names_it and ("en" in by_language):
            for form in sorted(one_letter_less(key)):
                deletes.setdefault(form, key)
    return {
        "skeletons": skeletons,
        "deletes": deletes,
        "sources": kinds,
        "stands_open": stands_open,
        "named": {key: sorted(sources) for key, sources in sorted(named.items())},
        "names": sorted(shown_names),
        "sets": [list(names) for names in sets],
        "entries": listed,
        "phrases": compiled,
        "longest": {word: count for word, count in longest.items() if count > 1},
    }


def compiled_text() -> str:
    """Return the text of the compiled file."""
    return json.dumps(compile_vocabulary(), ensure_ascii=False, separators=(",", ":"), sort_keys=False) + "\n"


if __name__ == "__main__":
    COMPILED.write_text(compiled_text(), encoding="utf-8")
    print(f"{COMPILED.name}: {COMPILED.stat().st_size} bytes")
