"""Make the schema of a book's files for editors: the models of its entries become ``kitchen_book.schema.json``, which ships.

Run ``python build.py`` after a change of the models. Users never run it; ``labeller schema`` prints what is made here.
"""

from pathlib import Path

from labeller.bringing_in.book_schema import SCHEMA_FILE, schema_text

SCHEMA = Path(__file__).resolve().parent / SCHEMA_FILE

if __name__ == "__main__":
    SCHEMA.write_text(schema_text(), encoding="utf-8")
    print(f"{SCHEMA.name}: {SCHEMA.stat().st_size} bytes")
