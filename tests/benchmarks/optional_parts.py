"""How judging a dish grows with the parts that can be left off or swapped: ``python tests/benchmarks/optional_parts.py``.

Prints, asserts nothing. Every part is judged on its own, so twice the parts should take about twice the time; every set of parts
tried in turn would take 2 to the power of their number. One dish alone is timed, in a book that is already worked out.
"""

import statistics
import sys
import tempfile
import time
from datetime import date
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from labeller.cli.opening import open_book
from labeller.declarations.answering_without import answer_without
from labeller.declarations.declaring import Declarer
from labeller.declarations.whatif import Asked, what_if

PARTS = (5, 10, 20, 40, 80)
RUNS = 15
AVOIDED = ["milk", "nuts", "sulphites", "alcohol", "garlic"]
GOODS = """- kitchen: The Saltmarsh Room
  jurisdiction: gb
- ingredient: praline
  spec: {statement: "HAZELNUTS, sugar"}
- ingredient: cream sauce
  spec: {statement: "Cream (MILK), garlic"}
- ingredient: sour fruit
  sulphites: 60 mg/kg
  spec: {statement: "Apricots, sulphur dioxide"}
- ingredient: rum syrup
  spec: {statement: "Sugar, rum"}
- ingredient: plain crumb
  spec: {statement: "Maize, sugar"}
"""
NAMES = ("praline", "cream sauce", "sour fruit", "rum syrup", "plain crumb")


def write_book(folder: Path, parts: int) -> None:
    """Write a book of one dish, half of its parts optional, half with something that can take their place."""
    lines = [
        f"    - {at + 1} g {NAMES[at % 5]}, "
        + ("optional" if at % 2 else f"or {at + 1} g plain crumb, or {at + 1} g rum syrup")
        for at in range(parts)
    ]
    text = GOODS + "- dish: plate\n  plate:\n    - 500 g plain crumb\n" + "\n".join(lines) + "\n"
    (folder / "book.yaml").write_text(text, encoding="utf-8")


def main() -> None:
    """Print a line for every number of parts."""
    day, first = date(2026, 11, 25), 0.0
    print(f"avoiding {', '.join(AVOIDED)}; median of {RUNS} runs")
    for parts in PARTS:
        with tempfile.TemporaryDirectory() as place:
            write_book(Path(place), parts)
            opened = open_book(Path(place), None, day)
        times, tries = [], []
        for _ in range(RUNS):
            declarer = Declarer(opened.workings, opened.law)  # what a look finds is kept: each run looks anew
            begun = time.perf_counter()
            answer_without(declarer, AVOIDED, ["plate"])
            times.append(time.perf_counter() - begun)
            begun = time.perf_counter()
            what_if(declarer, "plate", [Asked("add", "10 g praline")], pack_carbohydrate_with_fibre=False)
            tries.append(time.perf_counter() - begun)
        took = statistics.median(times)
        first = first or took / parts
        print(
            f"{parts:3d} parts: answer --without {took * 1000.0:6.2f} ms, {took / parts / first:4.2f} of the time a part took with "
            f"{PARTS[0]}; whatif {statistics.median(tries) * 1000.0:6.1f} ms"
        )


if __name__ == "__main__":
    main()
