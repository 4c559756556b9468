"""Books as an editor sees them: YAML 1.2 with its types, the shipped schema, and the reader's own word on the same text."""

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema
import yaml

from labeller.book.entries import Book
from labeller.book.fields import Notes
from labeller.book.files import BookFiles
from labeller.book.reading import read_book
from labeller.composition.household import load_household
from labeller.composition.table import load_table
from labeller.foundations.places import reference_data_folder
from labeller.jurisdictions.packs import known_jurisdictions

SCHEMA = reference_data_folder() / "book_schema" / "kitchen_book.schema.json"


class CoreLoader(yaml.SafeLoader):
    """Loads by the core schema of YAML 1.2.2, section 10.3.2, as editors do."""

    yaml_implicit_resolvers: dict[str, Any] = {}  # noqa: RUF012 - the library's own way


# YAML 1.2.2, section 10.3.2, the table of tag resolution.
for _tag, _pattern, _first in (
    ("null", r"null|Null|NULL|~|", ["n", "N", "~", ""]),
    ("bool", r"true|True|TRUE|false|False|FALSE", list("tTfF")),
    ("int", r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+", list("-+0123456789")),
    (
        "float",
        r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?|[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN)",
        list("-+.0123456789"),
    ),
):
    CoreLoader.add_implicit_resolver(f"tag:yaml.org,2002:{_tag}", re.compile(f"^(?:{_pattern})$"), _first)


@cache
def validator() -> Any:
    """Return the validator of the shipped schema."""
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


def typed_documents(text: str) -> list[Any]:
    """Return the documents of a text with the types of YAML 1.2."""
    return list(yaml.load_all(text, Loader=CoreLoader))


def editor_marks(text: str) -> list[str]:
    """Return what an editor would mark in a text."""
    return [
        f"{list(error.absolute_path)}: {error.message}"
        for document in typed_documents(text)
        for error in validator().iter_errors(document)
    ]


def read_text(text: str) -> tuple[Book | None, Notes]:
    """Read a text as the one file of a book."""
    return read_files_of({"book.yaml": text.encode()})


def read_files_of(raw: dict[str, bytes]) -> tuple[Book | None, Notes]:
    """Read files as a book."""
    return read_book_files(BookFiles(Path("book"), raw))


def read_book_files(files: BookFiles) -> tuple[Book | None, Notes]:
    """Read a book with the tables a command reads it with."""
    table, household = load_table(), load_household()
    return read_book(
        files,
        jurisdictions=known_jurisdictions(),
        row_exists=lambda code: table.row_index(code) is not None,
        trade_pieces=household.trade_pieces,
    )
