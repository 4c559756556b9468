"""How long all paper of a kitchen takes: run ``python tests/benchmarks/paper.py``. Prints, asserts nothing.

A book of 60 dishes, 80 preparations and 150 ingredients with statements; each command a whole process. The floor the project states
for itself: all paper for 60 dishes under 5 s.
"""

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.benchmarks.answering import write_book

FLOOR_S = 5.0
RUNS = 3
COMMANDS = (
    ("cards",),
    ("labels", "--all", "--label", "99.1x139", "--grid", "2x2"),
    ("matrix",),
    ("notes",),
    ("panel",),
)


# An installed package has its modules compiled, as pandas has.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)


def once_s(arguments: tuple[str, ...], book: Path, out: Path) -> float:
    """Return how long one command takes as a whole process. [s]

    Raises
    ------
    SystemExit
        Where it ended in anything but 0 or 3: nothing was printed that could be timed.
    """
    start = time.perf_counter()
    ran = subprocess.run(
        [sys.executable, "-c", "from labeller.cli.main import main; main()", *arguments, str(book), "--out", str(out)],
        check=False,
        capture_output=True,
        text=True,
    )
    seconds = time.perf_counter() - start
    if ran.returncode not in {0, 3}:
        raise SystemExit(f"{arguments}: {ran.stderr[-500:]}")
    return seconds


def main() -> None:
    """Print what each kind of paper takes, and all of it together."""
    total = 0.0
    with tempfile.TemporaryDirectory() as folder:
        book = Path(folder) / "book"
        write_book(book)
        for arguments in COMMANDS:
            least = min(once_s(arguments, book, Path(folder) / arguments[0]) for _ in range(RUNS))
            total += least
            sys.stdout.write(f"{' '.join(arguments):10s} {least:5.2f} s\n")
    sys.stdout.write(f"{'together':10s} {total:5.2f} s, floor {FLOOR_S:.0f} s, {os.cpu_count()} processors\n")


if __name__ == "__main__":
    main()
