"""Killed at any moment the record is whole, as before or with the new one; several runs at once do no harm."""

import itertools
import json
import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from labeller.record.record_file import reading
from labeller.record.verifying import verify_record
from tests.kitchens import Kitchen, plate

# A process that has everything loaded and forks one that records at every line it reads, so that a moment at random falls into
# the reading of the book, the declaring or the writing, and not into Python's own start.
NURSERY = """
import os, sys
from datetime import date
from pathlib import Path
from labeller.cli import record as command
import labeller.declarations.as_json, numpy
for line in iter(sys.stdin.readline, ""):
    book, note = line.rstrip("\\n").split("\\t")
    child = os.fork()
    if child == 0:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 2)
        sys.stdout = open(os.devnull, "w")
        code = command.record(Path(book), jurisdiction=None, on=date(2026, 11, 25), note=note, file=None, json_out=True)
        os._exit(code)
    print(child, flush=True)
    sys.stdin.readline()  # until then a child that is done keeps its number, so that no other process can be killed by it
    print(os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), flush=True)
"""
KILLS = 20


class Nursery:
    """Starts recordings and kills them."""

    def __init__(self) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-c", NURSERY],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            env={**os.environ, "OPENBLAS_NUM_THREADS": "1"},
        )

    def record(self, book: Path, note: str, kill_after_seconds: float | None = None) -> tuple[int, float]:
        """Return the exit code (negative for a signal) and how long it took. [s]"""
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.process.stdin.write(f"{book}\t{note}\n")
        self.process.stdin.flush()
        child = int(self.process.stdout.readline())
        begun = time.perf_counter()
        if kill_after_seconds is not None:
            time.sleep(kill_after_seconds)
            os.kill(child, signal.SIGKILL)
        self.process.stdin.write("\n")
        self.process.stdin.flush()
        return int(self.process.stdout.readline()), time.perf_counter() - begun


@pytest.fixture
def nursery() -> Iterator[Nursery]:
    found = Nursery()
    yield found
    assert found.process.stdin is not None
    found.process.stdin.close()
    found.process.wait(timeout=10)
    if found.process.stdout is not None:
        found.process.stdout.close()


def notes_of(path: Path) -> list[str]:
    if not path.exists() or path.stat().st_size == 0:
        return []
    with reading(path) as reader:
        return [one.note for one in reader.entries()]


def whole(path: Path) -> bool:
    with closing(sqlite3.connect(path)) as file:
        return bool(file.execute("PRAGMA integrity_check").fetchone() == ("ok",))


def test_killed_at_twenty_random_moments_the_record_is_whole(kitchen: Kitchen, nursery: Nursery) -> None:
    book = kitchen.write("".join(plate(f"{10 + n} g sugar", name=f"dish {n}") for n in range(8))).folder
    path = book.with_name("book.declared.sqlite3")
    _, seconds = nursery.record(book, "first")
    before = notes_of(path)
    assert before == ["first"]
    moments = random.Random(20261125)  # noqa: S311 - moments, not secrets
    killed = 0
    for turn in range(KILLS):
        # A dish changes each time, so that each record has something to write.
        kitchen.write(plate(f"{turn + 1} g sugar", name="tried"), name="tried.yaml", law=None)
        code, _ = nursery.record(book, f"turn {turn}", moments.uniform(0.0, seconds))
        killed += code == -signal.SIGKILL
        after = notes_of(path)
        assert after in (before, [*before, f"turn {turn}"])
        assert code != 0 or after[-1] == f"turn {turn}"  # what was said to be recorded is
        assert whole(path)
        assert verify_record(path)[1] == ()
        before = after
    assert killed >= KILLS // 4  # a busy machine makes the first run long, and fewer are then caught
    assert nursery.record(book, "last")[0] == 0
    assert notes_of(path)[-1] == "last"


WRITER = """
import sys
from pathlib import Path
from labeller.record.record_file import append_record, sha256_of
path, name, turns = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
print("ready", flush=True)
for turn in range(turns):
    parts = {sha256_of(raw): raw for raw in (f"{name} {turn} {n}".encode() * 400 for n in range(20))}
    manifest = str([name, turn]).encode()
    append_record(path, {**parts, sha256_of(manifest): manifest}, day="2026-11-25", moment="2026-11-25T10:00:00+00:00",
                  jurisdiction="gb", asked=False, note=f"{name} {turn}", manifest=sha256_of(manifest), wait_seconds=30.0)
    print(turn, flush=True)
"""


def writer(path: Path, name: str, turns: int) -> "subprocess.Popen[str]":
    return subprocess.Popen(
        [sys.executable, "-c", WRITER, str(path), name, str(turns)], stdout=subprocess.PIPE, text=True
    )


def test_killed_while_it_writes_and_at_the_first_of_all(tmp_path: Path) -> None:
    # Nothing but writing, so that nearly every moment falls into a transaction; the first ones into the making of the file.
    moments = random.Random(7)  # noqa: S311 - moments, not secrets
    for turn in range(6):
        path = tmp_path / f"{turn}.sqlite3"
        process = writer(path, "one", 500)
        assert process.stdout is not None
        assert process.stdout.readline() == "ready\n"
        time.sleep(moments.uniform(0.0, 0.01 if turn < 3 else 0.08))
        process.kill()
        said = process.stdout.read().splitlines()
        process.wait()
        process.stdout.close()
        done = notes_of_any(path)
        assert len(said) <= len(done) <= len(said) + 1  # the last may have been written and not yet said
        assert done == [f"one {n}" for n in range(len(done))]
        if path.exists():
            assert whole(path)


def notes_of_any(path: Path) -> list[str]:
    """Return the notes of a record that may not have been begun."""
    if not path.exists():
        return []
    with closing(sqlite3.connect(path)) as file:
        if not file.execute("SELECT 1 FROM sqlite_master WHERE name = 'record'").fetchone():
            return []
        return [row[0] for row in file.execute("SELECT note FROM record ORDER BY number")]


def test_several_at_once_lose_nothing_and_keep_the_chain(tmp_path: Path) -> None:
    path = tmp_path / "many.sqlite3"
    processes = [writer(path, name, 8) for name in ("a", "b", "c", "d")]
    for process in processes:
        process.communicate(timeout=60)
    assert [process.returncode for process in processes] == [0, 0, 0, 0]
    notes = notes_of(path)
    assert sorted(notes) == sorted(f"{name} {turn}" for name in "abcd" for turn in range(8))
    assert [one for one in notes if one.startswith("a ")] == [f"a {turn}" for turn in range(8)]
    with reading(path) as reader:
        entries = reader.entries()
    assert [one.number for one in entries] == list(range(1, 33))
    assert all(later.previous == earlier.seal for earlier, later in itertools.pairwise(entries))


def test_two_commands_at_once_on_one_new_book(kitchen: Kitchen) -> None:
    book = kitchen.write(plate("10 g sugar")).folder
    command = [
        sys.executable,
        "-c",
        "from labeller.cli.main import main; main()",
        "record",
        str(book),
        "--json",
        "--on",
        "2026-11-25",
    ]
    both = [subprocess.Popen(command, stdout=subprocess.PIPE, text=True) for _ in range(2)]
    said = [json.loads(one.communicate(timeout=60)[0]) for one in both]
    assert sorted(one["recorded"] for one in said) == [False, True]
    assert said[0]["seal"] == said[1]["seal"]
    assert len(notes_of(book.with_name("book.declared.sqlite3"))) == 1
