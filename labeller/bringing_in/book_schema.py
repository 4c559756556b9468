"""The JSON Schema of a book's files, made from the models of its entries, so that editors complete and check as one types."""

import json
from typing import Any, Final

from pydantic import TypeAdapter

from labeller.bringing_in.book_models import Dish, Ingredient, Kitchen, Menu, Preparation

SCHEMA_FILE: Final = "kitchen_book.schema.json"
_PLAIN_TYPES: Final = ("string", "number", "integer", "boolean", "null")


def book_schema() -> dict[str, Any]:
    """Return the schema of one file of a book, by JSON Schema 2020-12.

    Notes
    -----
    Keys the reader takes in another spelling (``Made on`` for ``made_on``) are allowed, so that no editor marks what is right;
    what an editor offers is the house spelling.
    """
    file_of_entries: Any = list[Kitchen | Ingredient | Preparation | Dish | Menu] | None
    made = TypeAdapter(file_of_entries).json_schema(by_alias=True)
    definitions = {name: _plain(part) for name, part in sorted(made.pop("$defs").items())}
    for name, part in definitions.items():
        _allow_other_spellings(name, part)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A file of a kitchen book",
        "description": "A list of entries; the first key of an entry says what it is: kitchen, ingredient, preparation, dish or menu.",
        **{key: value for key, value in _plain(made).items() if key != "title"},
        "$defs": definitions,
    }


def schema_text() -> str:
    """Return the schema as the text of its file."""
    return json.dumps(book_schema(), ensure_ascii=False, indent=1) + "\n"


def _plain(part: Any) -> Any:
    """Take out what the library adds and nobody reads: a title for every key, defaults of nothing, one type split into many."""
    if isinstance(part, list):
        return [_plain(one) for one in part]
    if not isinstance(part, dict):
        return part
    kept = {
        key: {name: _plain(one) for name, one in value.items()} if key in ("properties", "$defs") else _plain(value)
        for key, value in part.items()
        if not (key == "title" and isinstance(value, str))
        and not (key == "default" and value is None)
        and not (key == "examples" and value is None)
    }
    choices = kept.get("anyOf", [])
    bare = [one["type"] for one in choices if one.keys() == {"type"} and one["type"] in _PLAIN_TYPES]
    if "number" in bare and "integer" in bare:
        bare.remove("integer")
        kept["anyOf"] = choices = [one for one in choices if one != {"type": "integer"}]
    if len(bare) > 1:
        others = [one for one in choices if not (one.keys() == {"type"} and one["type"] in bare)]
        together: dict[str, Any] = {"type": bare}
        if others:
            kept["anyOf"] = [*others, together]
        else:
            del kept["anyOf"]
            kept = {**together, **kept}
    return kept


def _allow_other_spellings(definition: str, part: dict[str, Any]) -> None:
    """Let a key also stand with a capital, or with a space for an underscore, as the reader takes it.

    A key that may not be left out is wanted in the house spelling, so that editors fill it in; one of two words in either.
    """
    found: dict[str, Any] = {}
    either: list[dict[str, Any]] = []
    for name in part.get("properties", {}):
        words = name.replace("_", " ").split()
        wanted = name in part.get("required", [])
        if wanted and len(words) == 1:
            continue
        styles = [words, [words[0].capitalize(), *words[1:]], [word.capitalize() for word in words]]
        styles.append([word.upper() for word in words])
        spelled = sorted({between.join(style) for between in (" ", "_") for style in styles} - {name})
        found[f"^(?:{'|'.join(spelled)})$"] = {"$ref": f"#/$defs/{definition}/properties/{name.replace(' ', '%20')}"}
        if wanted:
            part["required"].remove(name)
            either.append({"anyOf": [{"required": [one]} for one in (name, *spelled)]})
    if found:
        part["patternProperties"] = found
    if either:
        part["allOf"] = either
