"""The names of the allergens of Annex II in languages of the European Union, each with what it rests on."""

import csv
from functools import cache
from pathlib import Path
from typing import NamedTuple

from labeller.foundations.names import nearest_names
from labeller.foundations.places import reference_data_folder

# A source of a whole kind is called by the name of its group.
_GROUP_OF_SOURCE = {
    "gluten cereal": "gluten",
    "nut": "nuts",
    "crustacean": "crustaceans",
    "mollusc": "molluscs",
    "sulphite": "sulphites",
    "black walnut": "walnut",
    "duck egg": "egg",
    "quail egg": "egg",
    "goose egg": "egg",
    "goat milk": "milk",
    "sheep milk": "milk",
    "buffalo milk": "milk",
}
_WORD = "word: "


class TranslatedName(NamedTuple):
    """A name in one language.

    ``text`` is the short name for cards and answers, ``annex_text`` the law's own, ``also`` other words people use; ``ground`` says
    what it rests on and ``confirmed`` whether the text of that language was read.
    """

    name: str
    language: str
    text: str
    annex_text: str
    also: tuple[str, ...]
    law: str
    ground: str
    confirmed: bool


class NoTranslationError(LookupError):
    """There is no name of an allergen, or no language, of that kind on file."""


def languages_file() -> Path:
    """Return the file of names."""
    return reference_data_folder() / "languages" / "allergens.csv"


@cache
def translated_names() -> dict[tuple[str, str], TranslatedName]:
    """Return every name on file, by our name and language."""
    names: dict[tuple[str, str], TranslatedName] = {}
    with languages_file().open(encoding="utf-8", newline="") as rows:
        for row in csv.DictReader(rows):
            also = tuple(word.strip() for word in row["also"].split(";") if word.strip())
            name = TranslatedName(
                row["name"],
                row["language"],
                row["text"],
                row["annex_text"],
                also,
                row["law"],
                row["ground"],
                row["confirmed"] == "yes",
            )
            names[name.name, name.language] = name
    return names


def known_languages() -> tuple[str, ...]:
    """Return the languages on file, as two-letter codes."""
    return tuple(sorted({language for _, language in translated_names()}))


def translated_name(group_or_source: str, language: str) -> TranslatedName:
    """Return the name of an allergen in a language, with its ground.

    Parameters
    ----------
    group_or_source : str
        Our name of a group (``nuts``) or of a source the law names (``hazelnut``).
    language : str
        Two-letter code.

    Raises
    ------
    NoTranslationError
        If the language or the name is not on file; a name is never made up.
    """
    names = translated_names()
    code = language.strip().lower()
    if code not in known_languages():
        raise NoTranslationError(
            f"'{language}' is not a language on file. Write one of {', '.join(known_languages())}."
        )
    key = _GROUP_OF_SOURCE.get(group_or_source, group_or_source)
    found = names.get((key, code))
    if found is None:
        known = sorted({name for name, _ in names if not name.startswith(_WORD)})
        nearest = nearest_names(group_or_source, known)
        mend = f"Write '{nearest[0]}'." if nearest else f"Names on file: {', '.join(known)}."
        raise NoTranslationError(f"'{group_or_source}' has no name in '{code}' on file. {mend}")
    return found


def allergen_name(group_or_source: str, language: str) -> str:
    """Return the short name of an allergen in a language; see `translated_name`."""
    return translated_name(group_or_source, language).text


def name_in_language(group_or_source: str, language: str) -> str | None:
    """Return an allergen's name in a language, None where it has none on file; one is never made up."""
    try:
        return allergen_name(group_or_source, language)
    except NoTranslationError:
        return None


def label_word(word: str, language: str) -> str:
    """Return the word ``contains`` or ``ingredients`` in a language, as it heads a statement."""
    return translated_name(_WORD + word, language).text
