"""How long all paper of a kitchen takes: run ``python -m tests.benchmarks.paper``. Prints, asserts nothing.

Two books of 60 dishes and 80 preparations or more: the demo's dishes written out several times, as kitchens are; and the book of the
answers' benchmark, in which nearly everything may be in everything. Each command is a whole process. The floor the project states
for itself: all paper for 60 dishes under 5 s.
"""

import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from labeller.demonstration.place import demonstration_book
from tests.benchmarks.answering import write_book

FLOOR_S = 5.0
RUNS = 3
DISHES, PREPARATIONS = 60, 80
COMMANDS = (
    ("cards",),
    ("labels", "--all", "--label", "99.1x139", "--grid", "2x2"),
    ("matrix",),
    ("notes",),
    ("panel",),
)
# An installed package has its modules compiled, as pandas has.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)


def write_kitchen(folder: Path) -> None:
    """Write the demo book with its dishes and preparations once more under other names, until there are enough."""
    shutil.copytree(demonstration_book(), folder)
    for kind, enough in (("dish", DISHES), ("preparation", PREPARATIONS)):
        text = "\n".join(path.read_text(encoding="utf-8") for path in sorted(folder.rglob("*.yaml")))
        entries = [one for one in re.split(r"(?m)^(?=- )", text) if one.startswith(f"- {kind}: ")]
        plain = [one for one in entries if "\n  gives:" not in one]
        more = [
            re.sub(
                rf"- {kind}: (.*)",
                rf"- {kind}: \1, table {number // len(plain) + 2}",
                plain[number % len(plain)],
                count=1,
            )
            for number in range(enough - len(entries))
        ]
        (folder / f"more_{kind}.yaml").write_text("".join(more), encoding="utf-8")


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


def told(name: str, book: Path, out: Path) -> None:
    """Print what each kind of paper of a book takes, and all of it together."""
    total = 0.0
    for arguments in COMMANDS:
        least = min(once_s(arguments, book, out / arguments[0]) for _ in range(RUNS))
        total += least
        sys.stdout.write(f"{name:28s} {arguments[0]:10s} {least:5.2f} s\n")
    sys.stdout.write(f"{name:28s} {'together':10s} {total:5.2f} s = {total / FLOOR_S:.2f} of the floor\n")


def main() -> None:
    """Print what paper takes for both books."""
    with tempfile.TemporaryDirectory() as folder:
        kitchen, heavy = Path(folder) / "kitchen", Path(folder) / "heavy"
        write_kitchen(kitchen)
        write_book(heavy)
        told("60 dishes of a kitchen", kitchen, Path(folder) / "paper")
        told("60 dishes, all in everything", heavy, Path(folder) / "heavy paper")
    sys.stdout.write(f"floor {FLOOR_S:.0f} s, {os.cpu_count()} processors\n")


if __name__ == "__main__":
    main()
