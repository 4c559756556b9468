"""``labeller check``: every fault in the book at once, and advice apart from faults."""

import json
from pathlib import Path

from labeller.cli.exits import FAULTS
from labeller.cli.opening import count_of, notes_as_json, read_and_work_out


def check(book: Path, *, json_out: bool) -> int:
    """Print faults and advice; return 1 where there are faults, else 0."""
    read, workings, notes = read_and_work_out(book)
    if json_out:
        print(json.dumps(notes_as_json(notes), ensure_ascii=False, indent=1))
        return FAULTS if notes.faults else 0
    for fault in notes.faults:
        print(fault.as_text())
    if notes.advice:
        if notes.faults:
            print()
        print("Advice, which stops nothing:")
        for one in notes.advice:
            print(one.as_text())
    if notes.faults:
        print(f"\n{count_of(notes.faults)}")
        return FAULTS
    if read is not None and workings is not None:
        print(
            f"{'' if not notes.advice else chr(10)}No faults in '{read.kitchen.name}': {len(read.ingredients)} ingredients, "
            f"{len(read.preparations)} preparations, {len(read.dishes)} dishes."
        )
    return 0
