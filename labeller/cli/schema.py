"""``labeller schema``: the JSON Schema of a book's files, for editors."""

from pathlib import Path

from labeller.cli.saying import say
from labeller.foundations.places import reference_data_folder

SCHEMA_FILE = "kitchen_book.schema.json"


def shipped_schema() -> str:
    """Return the text of the schema as it ships."""
    return (reference_data_folder() / "book_schema" / SCHEMA_FILE).read_text(encoding="utf-8")


def schema(out: Path | None) -> int:
    """Print the schema, or write it to a file; return 0."""
    if out is None:
        print(shipped_schema(), end="")
        return 0
    from labeller.cli.writing import write_whole

    target = out / SCHEMA_FILE if out.is_dir() else out
    write_whole(target, shipped_schema())
    say(f"Wrote '{target}'.")
    return 0
