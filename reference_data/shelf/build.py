"""Compile the shelf: the YAML files beside this script become ``shelf.json``, which is what runs.

Run ``python build.py`` after editing a file. Users never run it.
"""

import json
from pathlib import Path
from typing import Any

import yaml

HERE = Path(__file__).resolve().parent
COMPILED = HERE / "shelf.json"


def read_entries(path: Path) -> list[dict[str, Any]]:
    """Return the entries of one file, every scalar as text, with the file's name and the entry's line."""
    text = path.read_text(encoding="utf-8")
    root = yaml.compose(text, Loader=yaml.BaseLoader)
    if not isinstance(root, yaml.SequenceNode):
        raise TypeError(f"{path.name}: a file of the shelf is a list of entries.")
    entries: list[dict[str, Any]] = []
    for node, value in zip(root.value, yaml.load(text, Loader=yaml.BaseLoader), strict=True):  # noqa: S506 - BaseLoader builds text only
        keys = [key.value for key, _ in node.value]
        twice = sorted({key for key in keys if keys.count(key) > 1})
        if twice:
            raise ValueError(f"{path.name}:{node.start_mark.line + 1}: given twice: {', '.join(twice)}.")
        entries.append({**value, "file": path.name, "line": node.start_mark.line + 1})
    return entries


def compile_shelf(folder: Path) -> str:
    """Return the text of ``shelf.json``: every entry of every file, files in the order of their names."""
    entries = [entry for path in sorted(folder.glob("*.yaml")) for entry in read_entries(path)]
    lines = ",\n".join(json.dumps(entry, ensure_ascii=False) for entry in entries)
    return f"[\n{lines}\n]\n"


if __name__ == "__main__":
    COMPILED.write_text(compile_shelf(HERE), encoding="utf-8")
    print(f"{COMPILED.name}: {len(json.loads(COMPILED.read_text(encoding='utf-8')))} plain goods")
