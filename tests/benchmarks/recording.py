"""How long recording takes, and how large a year of daily records is: run ``python -m tests.benchmarks.recording``. Prints, asserts nothing.

The book is that of the answers' benchmark: 60 dishes, 80 preparations, 150 ingredients with statements.
"""

import subprocess
import sys
import tempfile
import time
from datetime import date
from pathlib import Path

from labeller.book.files import read_files
from labeller.cli.past import declarer_of
from labeller.record.content import content_of, packed
from labeller.record.record_file import append_record
from labeller.record.verifying import verify_record
from tests.benchmarks.answering import write_book

ENTRY = ("-c", "from labeller.cli.main import main; main()")
DAYS = 365


def once_s(*arguments: str) -> float:
    """Return how long one command takes, a whole process. [s]"""
    begun = time.perf_counter()
    done = subprocess.run([sys.executable, *ENTRY, *arguments], check=False, capture_output=True, text=True)
    if done.returncode:
        raise SystemExit(done.stdout + done.stderr)
    return time.perf_counter() - begun


def main() -> None:
    """Measure on one machine what the words of this file say."""
    with tempfile.TemporaryDirectory() as place:
        book = Path(place) / "book"
        book.mkdir()
        write_book(book)
        record = book.with_name("book.declared.sqlite3")
        print(f"record, the first time: {once_s('record', str(book)):.2f} s, {record.stat().st_size / 1e6:.2f} MB")
        print(f"record, nothing new: {min(once_s('record', str(book)) for _ in range(3)):.2f} s")
        print(f"changes, nothing changed: {min(once_s('changes', str(book)) for _ in range(3)):.2f} s")
        declarer = declarer_of(book, "gb", date(2026, 11, 25))
        if declarer is None:
            raise SystemExit("The benchmark's book has faults.")
        files = read_files(book).raw
        manifest, parts = packed(content_of(declarer, files), files)
        year = Path(place) / "year.sqlite3"
        begun = time.perf_counter()
        for day in range(DAYS):
            named = f"2026-{1 + day // 31:02d}-{1 + day % 31:02d}"
            moment = f"{named}T22:00:00+00:00"
            append_record(
                year, parts, day=named, moment=moment, jurisdiction="gb", asked=False, note="", manifest=manifest
            )
        spent = (time.perf_counter() - begun) / DAYS
        print(
            f"{DAYS} daily records of an unchanged book: {year.stat().st_size / 1e6:.2f} MB, {spent * 1000:.0f} ms each to write"
        )
        begun = time.perf_counter()
        verify_record(year)
        print(f"verified in {time.perf_counter() - begun:.2f} s")


if __name__ == "__main__":
    main()
