"""A book written in the test itself, worked out as the kitchen does it."""

from collections.abc import Callable
from pathlib import Path
from textwrap import dedent

import pytest

from labeller.book.fields import Notes
from labeller.book.reading import read_book, read_files
from labeller.composition.household import load_household
from labeller.composition.table import load_table
from labeller.kitchen.working_out import Workings, work_out

KITCHEN = "- kitchen: The Saltmarsh Room\n  jurisdiction: gb\n"


@pytest.fixture
def bench(tmp_path: Path) -> Callable[[str], tuple[Workings, Notes]]:
    """Return what works out a book: its text stands in ``book.yaml``, so that line 1 is the first line of the text."""

    def work(text: str) -> tuple[Workings, Notes]:
        (tmp_path / "kitchen.yaml").write_text(KITCHEN, encoding="utf-8")
        (tmp_path / "book.yaml").write_text(dedent(text).lstrip("\n"), encoding="utf-8")
        table, household = load_table(), load_household()
        book, notes = read_book(
            read_files(tmp_path),
            jurisdictions=["gb", "eu", "us"],
            row_exists=lambda code: table.row_index(code) is not None,
            trade_pieces=household.trade_pieces,
        )
        assert book is not None
        return work_out(book, notes, pack_carbohydrate_with_fibre=False, table=table, household=household), notes

    return work


@pytest.fixture
def worked(bench: Callable[[str], tuple[Workings, Notes]]) -> Callable[[str], Workings]:
    """Return what works out a book that has no faults."""

    def work(text: str) -> Workings:
        workings, notes = bench(text)
        assert [fault.as_text() for fault in notes.faults] == []
        return workings

    return work


@pytest.fixture
def faults(bench: Callable[[str], tuple[Workings, Notes]]) -> Callable[[str], list[str]]:
    """Return what works out a book and tells its faults, as people read them."""
    return lambda text: [fault.as_text() for fault in bench(text)[1].faults]
