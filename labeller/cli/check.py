"""``labeller check``: every fault in the book at once, and advice apart from faults."""

import json
from datetime import date
from pathlib import Path

from labeller.cli.exits import FAULTS
from labeller.cli.opening import count_of, notes_as_json, read_and_work_out, today
from labeller.declarations.declaring import Declarer
from labeller.declarations.paper_claims import claims_advice
from labeller.foundations.faults import Fault
from labeller.jurisdictions.faults_of_law import NotInForceError
from labeller.jurisdictions.packs import load_jurisdiction
from labeller.kitchen.spec_advice import advise_on_specs
from labeller.kitchen.words_advice import advise_on_words
from labeller.kitchen.working_out import Workings


def check(book: Path, *, json_out: bool, on: date | None = None) -> int:
    """Print faults and advice; return 1 where there are faults, else 0.

    ``on`` is the day against which the dates of specifications are held, today where it is not given.
    """
    read, workings, notes = read_and_work_out(book)
    if read is not None:
        notes.advice.extend(advise_on_specs(read, on or today()))
        if workings is not None and not notes.faults:
            notes.advice.extend(advise_on_words(workings))
        if workings is not None and read.kitchen.jurisdiction and not notes.faults:
            notes.advice.extend(_claims_not_printed(read.kitchen.jurisdiction, workings, on or today()))
        notes.advice.sort(key=lambda one: (one.origin.path, one.origin.line, one.field, one.problem))
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
            f"{'' if not notes.advice else chr(10)}No faults in '{read.kitchen.name}': {_counted(len(read.ingredients), 'ingredient')}, "
            f"{_counted(len(read.preparations), 'preparation')}, {_counted(len(read.dishes), 'dish', 'dishes')}."
        )
    return 0


def _claims_not_printed(code: str, workings: Workings, day: date) -> list[Fault]:
    """Advise on what dishes claim to suit and the papers do not support; before the first day of a law there is nothing to say."""
    try:
        return claims_advice(Declarer(workings, load_jurisdiction(code).in_force_on(day)))
    except NotInForceError:
        return []


def _counted(number: int, word: str, several: str = "") -> str:
    return f"{number} {word if number == 1 else several or word + 's'}"
