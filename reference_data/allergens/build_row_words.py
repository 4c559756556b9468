"""Write ``row_words.txt``: how the rows of the reference table are named, as phrases, one on a line.

A guest may ask about any food the table names ('kangaroo', 'fish, shad'); looking through thousands of rows at each question would
take longer than the answer. Run it again whenever the table changes: ``python reference_data/allergens/build_row_words.py``.
"""

from pathlib import Path

from labeller.allergens.vocabulary import phrase_key
from labeller.composition.table import load_table


def row_words() -> str:
    """Return the first two parts of every row's name as phrases, sorted, each on a line of its own."""
    table = load_table()
    found = {
        phrase_key(part)
        for row in range(len(table))
        for part in table.name(row).split(",")[:2]
        if len(part) > 2  # a single letter names nothing
    }
    return "\n" + "\n".join(sorted(found - {""})) + "\n"


if __name__ == "__main__":
    (Path(__file__).parent / "row_words.txt").write_text(row_words(), encoding="utf-8")
