"""``labeller specs``: the drawer of specifications in order, and a letter to every supplier that has something to answer."""

import json
from datetime import date
from pathlib import Path

from labeller.cli.opening import open_book, refuse_usage, say
from labeller.cli.writing import write_whole
from labeller.declarations.spec_letters import letter_language, letters_to_suppliers, without_supplier
from labeller.declarations.spec_register import register_as_csv, register_as_text, register_of


def specs(book: Path, out: Path | None, *, jurisdiction: str | None, on: date, json_out: bool) -> int:
    """Write the register and the letters into a folder; return the exit code."""
    if out is None:
        raise refuse_usage(
            "--out: say in which folder the register and the letters go: labeller specs BOOK --out FOLDER"
        )
    if out.exists() and not out.is_dir():
        raise refuse_usage(f"--out: '{out}' is a file. Write the name of a folder.")
    opened = open_book(book, jurisdiction, on, json_out=json_out)
    kitchen = opened.book.kitchen
    register = register_of(opened.declarer, on)
    letters = letters_to_suppliers(kitchen, register, on)
    write_whole(out / "register.csv", register_as_csv(register))
    write_whole(out / "register.txt", register_as_text(opened.declarer, register, on))
    for letter in letters:
        write_whole(out / letter.file_name, letter.text)
    language = letter_language(kitchen.language)
    nobody = without_supplier(register)
    if json_out:
        document = {
            "on": on.isoformat(),
            "jurisdiction": opened.law.code,
            "language": language,
            "register": [row.as_json() for row in register],
            "letters": [
                {"supplier": one.supplier, "file": one.file_name, "ingredients": list(one.ingredients)}
                for one in letters
            ],
            "without_supplier": list(nobody),
        }
        print(json.dumps(document, ensure_ascii=False, indent=1))
    if letters and language != kitchen.language:
        say(f"There are no letters in '{kitchen.language}' on file: they are written in English.")
    if nobody:
        say(f"Nobody to ask about {', '.join(repr(one) for one in nobody)}: add 'supplier:' to the spec.")
    say(f"In '{out}': register.csv, register.txt{''.join(f', {one.file_name}' for one in letters)}")
    return 0
