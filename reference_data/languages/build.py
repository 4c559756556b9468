"""Compile the sentences for the table, and the names of foods beside them, to one small file a language.

Run ``python reference_data/languages/build.py`` after any change of ``sentences.yaml`` or ``things.csv``.
"""

import csv
import json
import string
import sys
from pathlib import Path
from typing import Any

import yaml

HERE = Path(__file__).resolve().parent
NO_BREAK = "\u00a0"
# French sets a space before these; it must not end a line.
_BEFORE, _AFTER = (" :", " ;", " ?", " !", " %", " »"), ("« ",)


def placeholders(text: str) -> frozenset[str]:
    """Return the words in braces."""
    return frozenset(name for _, name, _, _ in string.Formatter().parse(text) if name is not None)


def compile_sentences(folder: Path = HERE) -> tuple[dict[str, dict[str, Any]], list[str]]:
    """Return the compiled form of every language, and what is wrong, each with its key."""
    written = yaml.load((folder / "sentences.yaml").read_text(encoding="utf-8"), Loader=yaml.BaseLoader)  # noqa: S506 - BaseLoader makes text only
    with (folder / "things.csv").open(encoding="utf-8", newline="") as rows:
        things = list(csv.DictReader(rows))
    faults: list[str] = []
    languages: dict[str, dict[str, str]] = written["languages"]
    found: dict[str, dict[str, Any]] = {
        code: {
            **{part: _set(code, text) for part, text in about.items()},
            "language": code,
            "sentences": {},
            "things": {row["name"]: row[code] for row in things if code in row},
        }
        for code, about in languages.items()
    }
    seen: set[str] = set()
    for one in written["sentences"]:
        key = one["key"]
        if key in seen:
            faults.append(f"'{key}' is given twice. Keep one.")
        seen.add(key)
        wanted = frozenset(one.get("words", {}))
        if not one.get("when"):
            faults.append(f"'{key}' does not say when it is said. Add 'when'.")
        for code in languages:
            text = one.get(code)
            if not text:
                faults.append(f"'{key}' has no sentence in '{code}'. Write it.")
                continue
            if placeholders(text) != wanted:
                faults.append(
                    f"'{key}' in '{code}' has the words {sorted(placeholders(text))}; write {sorted(wanted)}."
                )
            found[code]["sentences"][key] = _set(code, text)
        many = one.get("en_many")
        if many is not None:
            if placeholders(many) != wanted or one.get("en_many_by") not in wanted:
                faults.append(f"'{key}': en_many and en_many_by do not fit the words {sorted(wanted)}.")
            found["en"]["sentences"][key] = [one["en"], many, one.get("en_many_by")]
    for row in things:
        faults.extend(
            f"things.csv: '{row['name']}' has no name in '{code}'." for code, name in row.items() if not name
        )
    return found, faults


def _set(code: str, text: str) -> str:
    if code == "fr":
        for pair in _BEFORE:
            text = text.replace(pair, NO_BREAK + pair[1:])
        for pair in _AFTER:
            text = text.replace(pair, pair[:-1] + NO_BREAK)
    return text


def as_bytes(compiled: dict[str, Any]) -> bytes:
    """Return the compiled form as it is written."""
    return (json.dumps(compiled, ensure_ascii=False, separators=(",", ":"), sort_keys=True) + "\n").encode("utf-8")


def compiled_path(code: str, folder: Path = HERE) -> Path:
    """Return where the compiled form of a language lies."""
    return folder / f"sentences_{code}.json"


def main() -> int:
    """Compile every language; return 1 where anything is wrong, and write nothing then."""
    found, faults = compile_sentences()
    if faults:
        print("\n".join(faults), file=sys.stderr)
        return 1
    for code, compiled in found.items():
        written = as_bytes(compiled)
        compiled_path(code).write_bytes(written)
        print(f"{code}: {len(compiled['sentences'])} sentences, {len(written)} bytes")
    return 0


if __name__ == "__main__":
    sys.exit(main())
