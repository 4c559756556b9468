"""Compile the household measures: ``measures.yaml`` becomes ``measures.json``, which is what runs.

Run ``python build.py`` after editing. Users never run it.
"""

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import yaml

HERE = Path(__file__).resolve().parent
COMPILED = HERE / "measures.json"
_FIGURES = {"ml", "share", "grams", "g_per_ml", "share_of_batch", "share_of_solids", "low", "high"}


def typed(key: str, value: Any) -> Any:
    """Return a value read as text with figures made numbers and ``confirmed`` made true or false."""
    if isinstance(value, dict):
        return {name: typed(name, item) for name, item in value.items()}
    if isinstance(value, list):
        return [typed("", item) for item in value]
    if key in _FIGURES:
        return float(Fraction(value))
    if key == "confirmed":
        if value not in ("true", "false"):
            raise ValueError(f"confirmed: '{value}' is not true or false.")
        return value == "true"
    return value


def compile_measures(path: Path) -> str:
    """Return the text of ``measures.json``."""
    measures = typed("", yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader))  # noqa: S506 - BaseLoader builds text only
    return json.dumps(measures, ensure_ascii=False, indent=1) + "\n"


if __name__ == "__main__":
    COMPILED.write_text(compile_measures(HERE / "measures.yaml"), encoding="utf-8")
    print(COMPILED.name)
