"""Say whole sentences of the catalogue in one language: names as the cook wrote them, allergens as the law has them, figures."""

import json
from collections.abc import Callable
from functools import cache
from typing import Any

from labeller.declarations.allergen_rows import Path
from labeller.declarations.reasons import amount, grams, spread
from labeller.declarations.words import GROUP_NAMES, listed
from labeller.foundations.names import capitalised, fold_text, name_key
from labeller.foundations.places import reference_data_folder
from labeller.foundations.plain import dataclass

SENTENCE_LANGUAGES = ("en", "fr", "de", "it", "es")
BOOK_LANGUAGE = "en"
_PLURAL_GROUPS = frozenset(("gluten", "crustaceans", "nuts", "sulphites", "molluscs"))


@dataclass(frozen=True, slots=True)
class Message:
    """One sentence or phrase of the catalogue: its key, and what stands for its words in braces."""

    key: str
    values: tuple[tuple[str, Any], ...] = ()


@dataclass(frozen=True, slots=True)
class Names:
    """Names of the book in a list; ``last`` joins the last one in English."""

    names: tuple[str, ...]
    last: str = "and"


@dataclass(frozen=True, slots=True)
class Foods:
    """Sources and groups by our names; in English what the guest asked is not said again."""

    names: tuple[str, ...]
    last: str = "and"
    asked: str = ""


@dataclass(frozen=True, slots=True)
class Groups:
    """Groups of the law, with their examples at the table."""

    names: tuple[str, ...]
    last: str = "or"


@dataclass(frozen=True, slots=True)
class AskedFood:
    """What the guest asked: by the guest's word, else by the groups or the source it stands for."""

    word: str
    names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Ways:
    """Ways from the plate to something."""

    paths: tuple[Path, ...]


@dataclass(frozen=True, slots=True)
class Spread:
    """A weight with its range. [g]"""

    low: float
    estimate: float
    high: float


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure with its unit."""

    value: float
    unit: str


@dataclass(frozen=True, slots=True)
class Count:
    """A number, already cut to its figures."""

    text: str


@dataclass(frozen=True, slots=True)
class Verbatim:
    """Words that are the same in every language: the code of a law, the name of its unit."""

    text: str


@dataclass(frozen=True, slots=True)
class Phrases:
    """Phrases of the catalogue, or things asked about, in a list."""

    messages: tuple[Any, ...]


@dataclass(frozen=True, slots=True)
class Language:
    """The sentences of one language, and its marks."""

    code: str
    name: str
    decimal: str
    open: str
    close: str
    grade: str
    read_by_native_speaker: bool
    sentences: dict[str, Any]
    things: dict[str, str]


def said(key: str, **values: object) -> Message:
    """Return a message."""
    return Message(key, tuple(values.items()))


@cache
def load_language(code: str) -> Language:
    """Return the sentences of a language; only that one is read.

    Raises
    ------
    KeyError
        Where there are no sentences in it.
    """
    if code not in SENTENCE_LANGUAGES:
        raise KeyError(code)
    path = reference_data_folder() / "languages" / f"sentences_{code}.json"
    found = json.loads(path.read_bytes())
    return Language(
        code,
        found["name"],
        found["decimal"],
        found["open"],
        found["close"],
        found["grade"],
        found["read_by_native_speaker"] == "yes",
        found["sentences"],
        found["things"],
    )


def phrase(message: Message, code: str = BOOK_LANGUAGE) -> str:
    """Return a message in a language as it stands inside a line."""
    language = load_language(code)
    values = dict(message.values)
    words = {name: _worded(value, language) for name, value in values.items()}
    key = message.key
    if words.get("sources") == "":  # nothing to add to what was asked
        key = f"{key}, bare"
    text = language.sentences[key]
    if isinstance(text, list):
        one, many, counted = text
        text = many if _is_plural(values[counted]) else one
    return str(text.format_map(words))


def speak(message: Message, code: str = BOOK_LANGUAGE) -> str:
    """Return a message in a language as a sentence, with a capital."""
    return capitalised(phrase(message, code))


def speak_all(messages: tuple[Message, ...], code: str = BOOK_LANGUAGE) -> str:
    """Return several sentences, one after the other."""
    return " ".join(speak(one, code) for one in messages)


def food_name(name: str, language: Language) -> str | None:
    """Return the name of a group, source or food in a language, None where none is on file; one is never made up."""
    if language.code == BOOK_LANGUAGE:
        return name
    known = language.things.get(name) or language.things.get(name_key(name))
    if known is not None:
        return known
    from labeller.jurisdictions.languages import NoTranslationError, allergen_name  # noqa: PLC0415 - only another language needs the names of the law

    try:
        return allergen_name(name, language.code)
    except NoTranslationError:
        return None


def name_of_asked(asked: AskedFood, language: Language) -> str | None:
    """Return what the guest asked in a language, None where no name is on file."""
    known = food_name(asked.word, language)
    if known is not None or not asked.names:
        return known
    names = [food_name(name, language) for name in asked.names]
    return None if None in names else ", ".join(name for name in names if name is not None)


def is_plural(name: str) -> bool:
    """Tell whether an English name is plural, by its last word."""
    last = fold_text(name).split("(")[0].split()[-1:] or [""]
    return last[0].endswith("s") and not last[0].endswith(("ss", "us", "is"))


def _is_plural(value: object) -> bool:
    if isinstance(value, Groups):
        return len(value.names) > 1 or value.names[0] in _PLURAL_GROUPS
    if isinstance(value, Names):
        return len(value.names) > 1 or is_plural(value.names[0])
    return is_plural(value.word if isinstance(value, AskedFood) else str(value))


def _worded(value: object, language: Language) -> str:
    make = _WORDED.get(type(value))
    if make is None:
        raise TypeError(f"{value!r} cannot be said.")
    return make(value, language)


def _quoted(name: str, language: Language) -> str:
    return f"{language.open}{name}{language.close}"


def _joined(words: list[str], last: str, language: Language) -> str:
    # Other languages take commas alone: 'y' or 'e', 'o' or 'u' in Spanish hang on a name nobody has translated.
    return listed(words, last) if language.code == BOOK_LANGUAGE and last else ", ".join(words)


def _names(value: Names, language: Language) -> str:
    return _joined([_quoted(name, language) for name in value.names], value.last, language)


def _food(name: str, language: Language) -> str:
    known = food_name(name, language)
    return _quoted(name, language) if known is None else known


def _foods(value: Foods, language: Language) -> str:
    kept = value.names
    if language.code == BOOK_LANGUAGE:
        kept = tuple(name for name in kept if name != value.asked)
    return _joined(list(dict.fromkeys(_food(name, language) for name in kept)), value.last, language)


def _groups(value: Groups, language: Language) -> str:
    if language.code == BOOK_LANGUAGE:
        return listed([_first_down(GROUP_NAMES.get(name, name)) for name in value.names], value.last)
    found = []
    for name in value.names:
        text = _food(name, language)
        if f"examples: {name}" in language.sentences:
            examples = language.sentences[f"examples: {name}"]
            text = language.sentences["group with examples"].format(group=text, examples=examples)
        found.append(text)
    return ", ".join(found)


def _asked_food(value: AskedFood, language: Language) -> str:
    if language.code == BOOK_LANGUAGE:
        return value.word
    return name_of_asked(value, language) or _quoted(value.word, language)


def _ways(value: Ways, language: Language) -> str:
    return "; ".join(" > ".join(_quoted(name, language) for name in path) for path in value.paths)


def _figures(text: str, language: Language) -> str:
    return text.replace(".", language.decimal)


def _spread(value: Spread, language: Language) -> str:
    ends = (value.low, value.estimate, value.high)
    if spread(*ends) == grams(value.estimate):  # no range to speak of
        return _figures(grams(value.estimate), language)
    low, estimate, high = (_figures(grams(one), language) for one in ends)
    return str(language.sentences["grams with range"].format(low=low, estimate=estimate, high=high))


def _figure(value: Figure, language: Language) -> str:
    unit = value.unit if language.code == BOOK_LANGUAGE else value.unit.replace("micrograms", "µg")
    return _figures(amount(value.value, unit), language)


def _phrases(value: Phrases, language: Language) -> str:
    return _joined([_worded(one, language) for one in value.messages], "and", language)


def _first_down(text: str) -> str:
    return f"{text[:1].lower()}{text[1:]}"


_WORDED: dict[type, Callable[[Any, Language], str]] = {
    str: _quoted,
    Names: _names,
    Foods: _foods,
    Groups: _groups,
    AskedFood: _asked_food,
    Ways: _ways,
    Spread: _spread,
    Figure: _figure,
    Count: lambda value, language: _figures(value.text, language),
    Verbatim: lambda value, _: value.text,
    Message: lambda value, language: phrase(value, language.code),
    Phrases: _phrases,
}
