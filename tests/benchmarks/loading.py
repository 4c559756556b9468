"""Print what loading the reference data and reading a drawer of statements take, each against its floor.

Run it by hand: ``python tests/benchmarks/loading.py``. Least processor time of five; nothing is asserted.
"""

import json
import time
from collections.abc import Callable
from functools import partial

from labeller.allergens import profiles
from labeller.allergens.reader import read_statement
from labeller.allergens.vocabulary import load_vocabulary
from labeller.composition.table import load_table
from labeller.jurisdictions.packs import COMPILED_NAME, jurisdictions_folder, known_jurisdictions


def least_ms(run: Callable[[], object]) -> float:
    """Return the least processor time of five runs. [ms]"""
    best = 1e9
    for _ in range(5):
        start = time.process_time()
        run()
        best = min(best, (time.process_time() - start) * 1000.0)
    return best


def fresh_vocabulary() -> object:
    """Load the vocabulary as a new process does."""
    load_vocabulary.cache_clear()
    return load_vocabulary()


def fresh_profile() -> object:
    """Load the profiles as a new process does."""
    profiles._compiled.cache_clear()
    return profiles.profile_of("01053")


def fresh_table() -> object:
    """Map the table as a new process does."""
    load_table.cache_clear()
    return load_table()


_RUN = iter(range(10_000))


def drawer() -> None:
    """Read 150 statements of some 200 characters, none of them read before."""
    run = next(_RUN)
    for number in range(150):
        read_statement(
            f"Water, wheat flour ({number}.{run} %) (wheat, calcium carbonate), butter (milk), egg, emulsifier: lecithin (soya), "
            "mustard, spirit vinegar, salt, raising agents (E450, E500). May contain nuts and sesame."
        )


def main() -> None:
    """Print a line for each, with its floor."""
    rows: list[tuple[str, float, float]] = [
        ("the table is mapped", least_ms(fresh_table), 30.0),
        ("the vocabulary is loaded", least_ms(fresh_vocabulary), 20.0),
        ("the first profile", least_ms(fresh_profile), 15.0),
        ("150 statements are read", least_ms(drawer), 40.0),
    ]
    for code in known_jurisdictions():
        raw = (jurisdictions_folder() / code / COMPILED_NAME).read_bytes()
        rows.append((f"the pack {code} is parsed", least_ms(partial(json.loads, raw)), 3.0))
    for name, taken, floor in rows:
        print(f"{name:32} {taken:8.2f} ms   floor {floor:5.1f} ms   ratio {taken / floor:5.2f}")


if __name__ == "__main__":
    main()
