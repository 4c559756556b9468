"""Letters to suppliers: exactly what is not known or out of date, in whole sentences of the book's language."""

import re
import textwrap
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import cast

from labeller.book.entries import Kitchen
from labeller.declarations.spec_register import Question, Registered
from labeller.foundations.names import exact_key, fold_text
from labeller.foundations.places import reference_data_folder
from labeller.jurisdictions.languages import NoTranslationError, allergen_name

FALLBACK = "en"
WIDTH = 76


@dataclass(frozen=True, slots=True)
class Letter:
    """A letter ready to send: to whom, in which file, about which ingredients."""

    supplier: str
    file_name: str
    text: str
    ingredients: tuple[str, ...]


@cache
def letter_sentences() -> dict[str, dict[str, str]]:
    """Return the sentences of every language on file."""
    import yaml  # noqa: PLC0415 - only letters need it

    path = reference_data_folder() / "languages" / "letters.yaml"
    read = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)  # noqa: S506 - keeps every value text
    return cast("dict[str, dict[str, str]]", read)


def letter_language(language: str) -> str:
    """Return the language a letter is written in: the book's own, or English where there are no sentences in it."""
    code = fold_text(language).split("-")[0]
    return code if code in letter_sentences() else FALLBACK


def letters_to_suppliers(kitchen: Kitchen, register: tuple[Registered, ...], on: date) -> tuple[Letter, ...]:
    """Return one letter for every supplier that has something to answer, in the order of their names."""
    language = letter_language(kitchen.language)
    goods: dict[str, list[Registered]] = {}
    for row in register:
        if row.questions and row.supplier:
            goods.setdefault(exact_key(row.supplier), []).append(row)
    taken: set[str] = set()
    letters: list[Letter] = []
    for _, rows in sorted(goods.items()):
        supplier = rows[0].supplier
        name = _file_name(supplier, taken)
        text = _letter(kitchen, supplier, rows, on, language)
        letters.append(Letter(supplier, name, text, tuple(row.ingredient for row in rows)))
    return tuple(letters)


def without_supplier(register: tuple[Registered, ...]) -> tuple[str, ...]:
    """Return the ingredients about which there is something to ask and nobody named to ask it of."""
    return tuple(row.ingredient for row in register if row.questions and not row.supplier)


def _file_name(supplier: str, taken: set[str]) -> str:
    """Return a file name that is safe everywhere, whatever the supplier is called."""
    plain = re.sub(r"[^a-z0-9]+", "-", fold_text(supplier)).strip("-")[:60].strip("-") or "supplier"
    name, number = f"letter to {plain}.txt", 2
    while name in taken:
        name, number = f"letter to {plain}-{number}.txt", number + 1
    taken.add(name)
    return name


def _letter(kitchen: Kitchen, supplier: str, rows: list[Registered], on: date, language: str) -> str:
    say = letter_sentences()[language]
    lines = [kitchen.name, *([kitchen.address] if kitchen.address else []), on.isoformat(), "", supplier, ""]
    lines += [say["subject"], "", *_wrapped(say["greeting"].format(supplier=supplier)), ""]
    lines += _wrapped(say["opening"])
    for row in rows:
        known = [word for word, there in (("reference", row.reference), ("date", row.dated)) if there]
        title = say["_".join(["good", *known])].format(
            ingredient=row.ingredient, reference=row.reference, date=row.dated.isoformat() if row.dated else ""
        )
        lines += ["", *_wrapped(title)]
        for question in row.questions:
            lines += _wrapped(_sentence(say, question, row, language), "  - ")
    lines += ["", *_wrapped(say["closing"]), "", say["farewell"], kitchen.name]
    return "\n".join(lines) + "\n"


def _sentence(say: dict[str, str], question: Question, row: Registered, language: str) -> str:
    return say[question.key].format(
        groups=", ".join(_name(group, language) for group in question.groups),
        words=", ".join(f'"{word}"' for word in question.words),
        date=row.dated.isoformat() if row.dated else "",
    )


def _name(group: str, language: str) -> str:
    for code in (language, FALLBACK):
        try:
            return allergen_name(group, code)
        except NoTranslationError:
            continue
    return group


def _wrapped(text: str, lead: str = "") -> list[str]:
    return textwrap.wrap(
        text,
        WIDTH,
        initial_indent=lead,
        subsequent_indent=" " * len(lead),
        break_long_words=False,
        break_on_hyphens=False,
    )
