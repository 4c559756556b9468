"""How long the main job takes: run ``python tests/benchmarks/speed.py``. Prints, asserts nothing.

The measure is ``python -c "import pandas"`` on the same machine; floors are those the project states for itself.
"""

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from labeller.demonstration.place import demonstration_book

RUNS = 5
ENTRY = ("-c", "from labeller.cli.main import main; main()")
PREPARATIONS = 2000
DEEP = 3
ROWS = ("01053", "01123", "12120", "19335", "20081", "01001", "09003", "11282", "04053", "02047")


def best_s(*arguments: str, runs: int = RUNS) -> float:
    """Return the quickest of several whole processes. [s]"""
    return min(once_s(*arguments) for _ in range(runs))


# An installed package has its modules compiled, as pandas has.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)


def once_s(*arguments: str) -> float:
    """Return how long one whole process takes; its output is thrown away. [s]"""
    start = time.perf_counter()
    subprocess.run([sys.executable, *arguments], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    return time.perf_counter() - start


def write_large_book(folder: Path, count: int = PREPARATIONS) -> None:
    """Write preparations of six lines, three deep: each of a level takes four ingredients and two of the level below."""
    lines = ["- kitchen: Large\n  jurisdiction: gb\n"]
    for place, row in enumerate(ROWS):
        lines.append(f"- ingredient: good {chr(97 + place)}\n  composition: sr28:{row}\n")
    level_size = count // DEEP
    for number in range(count):
        level = min(number // level_size, DEEP - 1)
        takes = [
            f"{40 + (number * 7 + at * 13) % 60} g good {chr(97 + (number + at * 3) % len(ROWS))}"
            for at in range(6 if level == 0 else 4)
        ]
        if level:
            below = (level - 1) * level_size
            takes += [f"25 g mixture {below + (number * step) % level_size:04d}x" for step in (3, 5)]
        lines.append(f"- preparation: mixture {number:04d}x\n  takes:\n" + "".join(f"    - {one}\n" for one in takes))
    (folder / "book.yaml").write_text("".join(lines), encoding="utf-8")


def peak_mb(*arguments: str) -> float:
    """Return the most memory one process held. [MB]"""
    program = (
        "import resource, subprocess, sys\n"
        "subprocess.run([sys.executable, *sys.argv[1:]], check=True, stdout=subprocess.DEVNULL)\n"
        "print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)\n"
    )
    told = subprocess.run([sys.executable, "-c", program, *arguments], check=True, capture_output=True, text=True)
    return int(told.stdout) / 1024  # kilobytes on Linux


def say(line: str) -> None:
    """Print one line."""
    sys.stdout.write(f"{line}\n")


def told(what: str, seconds: float, measure: float, floor: str) -> None:
    """Print one line."""
    say(f"{what:48}{seconds * 1000:9.0f} ms{seconds / measure:8.2f} x pandas   {floor}")


def loading_ms(load: Callable[[], object]) -> float:
    """Return how long the first call takes. [ms]"""
    start = time.perf_counter()
    load()
    return (time.perf_counter() - start) * 1000


def main() -> None:
    """Measure and print."""
    from labeller.composition.table import load_table

    say(f"loading the table{'':31}{loading_ms(load_table):9.1f} ms                    (floor: a few tens)")
    pandas = best_s("-c", "import pandas")
    told('python -c "import pandas"', pandas, pandas, "(the measure)")
    told("python -c pass", best_s("-c", "pass"), pandas, "")
    told("import of Typer", best_s("-c", "import typer"), pandas, "")
    demo = str(demonstration_book())
    told("labeller check, the demo book", best_s(*ENTRY, "check", demo), pandas, "(printed)")
    told("labeller declare, the demo book", best_s(*ENTRY, "declare", demo), pandas, "(floor: 2.00)")
    told(
        "labeller declare --all --json, the demo book",
        best_s(*ENTRY, "declare", demo, "--all", "--json"),
        pandas,
        "(floor: 2.00)",
    )
    with tempfile.TemporaryDirectory() as place:
        write_large_book(Path(place))
        large = (*ENTRY, "declare", place, "--all", "--json")
        seconds = best_s(*large, runs=3)
        told(
            f"declare --all --json, {PREPARATIONS} preparations of 6 lines",
            seconds,
            pandas,
            f"(floor: 3000 ms; {seconds / 3:.2f} of it)",
        )
        say(f"  its peak memory{'':33}{peak_mb(*large):8.0f} MB")
        told("check, the same book", best_s(*ENTRY, "check", place, runs=2), pandas, "")


if __name__ == "__main__":
    main()
