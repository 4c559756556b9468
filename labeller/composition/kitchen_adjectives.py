"""Words beside a food's name that change which row is right, and goods for which no row of the table is right."""

import csv
import json
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final

from labeller.composition.search_index import plain_words, words_of
from labeller.foundations.places import reference_data_folder

# The table says one thing in several ways: read as one word before adjectives are looked for.
_SAID_OTHERWISE: Final = (
    ("without added salt", "unsalted"),
    ("without salt added", "unsalted"),
    ("without salt", "unsalted"),
    ("no salt added", "unsalted"),
    ("not sweetened", "unsweetened"),
    ("without added sugar", "unsweetened"),
    ("no sugar added", "unsweetened"),
    ("added salt", "with salt"),
    ("salt added", "with salt"),
)
# "Free range" says nothing of what is in it.
_FREE_OF_NOTHING: Final = "range"
_FREE: Final = words_of("free")[0]


@dataclass(frozen=True, slots=True)
class Adjective:
    """A word that changes the row.

    ``settled_by``: words of a row that meet it; empty where silence of the row does. ``against``: words of a row that contradict
    it. ``must``: without it no row fits; otherwise the row comes near.
    """

    word: str
    settled_by: tuple[str, ...]
    against: tuple[str, ...]
    must: bool


@dataclass(frozen=True, slots=True)
class NoRow:
    """A good no row of the table is right for, and why."""

    words: str
    why: str
    alone: bool


@dataclass(frozen=True, slots=True)
class Doubt:
    """What a name says that a row does not; ``must`` where the row is then another food."""

    words: str
    must: bool


def _joined(text: str) -> str:
    return " ".join(words_of(text))


def read_adjectives(path: Path) -> list[list[Any]]:
    """Return the adjectives of the CSV file in the form that is compiled."""
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return [
        [row["word"].replace("-", " "), row["settled_by"].split(), row["against"].split(), row["verdict"] == "must"]
        for row in rows
    ]


def read_no_row(path: Path) -> list[list[Any]]:
    """Return the goods without a row of the CSV file in the form that is compiled."""
    with path.open(encoding="utf-8", newline="") as file:
        return [[row["words"], row["why"], row["applies"] == "alone"] for row in csv.DictReader(file)]


@cache
def _compiled() -> dict[str, Any]:
    path = reference_data_folder() / "composition" / "kitchen_words.json"
    held: dict[str, Any] = json.loads(path.read_text("utf-8"))
    return held


@cache
def _adjectives() -> tuple[tuple[str, Adjective], ...]:
    return tuple(
        (
            f" {_joined(word)} ",
            Adjective(
                word,
                tuple(f" {_joined(one)} " for one in settled_by),
                tuple(f" {_joined(one)} " for one in against),
                must,
            ),
        )
        for word, settled_by, against, must in _compiled()["adjectives"]
    )


@cache
def _no_rows() -> tuple[tuple[str, NoRow], ...]:
    return tuple((f" {_joined(words)} ", NoRow(words, why, alone)) for words, why, alone in _compiled()["no_row"])


def no_row_for(name: str, bare: str = "") -> NoRow | None:
    """Return the good of no row that a name means, or None.

    Parameters
    ----------
    name : str
        As a recipe writes it.
    bare : str
        The same without the words that change no row, in its compared form; a good that counts for the bare word only is held
        against this.
    """
    padded = f" {_joined(name)} "
    for words, good in _no_rows():
        if words in (padded, f" {bare} ") if good.alone else words in padded:
            return good
    return None


def _row_text(row_name: str) -> str:
    text = f" {' '.join(plain_words(row_name))} "
    for said, meant in _SAID_OTHERWISE:
        text = text.replace(f" {said} ", f" {meant} ")
    return f" {_joined(text)} "


def adjectives_of(name: str) -> tuple[str, ...]:
    """Return the words of a name that change its row: ``smoked`` and ``unsalted`` of ``smoked unsalted almonds``."""
    asked = f" {_joined(name)} "
    return tuple(adjective.word for words, adjective in _adjectives() if words in asked)


def doubts_of(name: str, row_name: str, settled: str = "") -> tuple[Doubt, ...]:
    """Return what a name says that a row does not meet.

    Parameters
    ----------
    name : str
        As a recipe writes it: ``smoked mackerel``.
    row_name : str
        The row's published name.
    settled : str
        Words of the name that a synonym has read as one food with this row: they raise no doubt.
    """
    asked, row = f" {_joined(name)} ", _row_text(row_name)
    done = f" {_joined(settled)} "
    found: list[Doubt] = []
    for words, adjective in _adjectives():
        if words not in asked or words in done:
            continue
        missing = bool(adjective.settled_by) and not any(word in row for word in adjective.settled_by)
        contradicted = any(word in row for word in adjective.against)
        if missing or contradicted:
            found.append(Doubt(adjective.word, adjective.must))
    said = asked.split()
    for place, word in enumerate(said[1:], start=1):
        free_of_nothing = place + 1 < len(said) and said[place + 1] == words_of(_FREE_OF_NOTHING)[0]
        phrase = f" {said[place - 1]} {word} "
        if word == _FREE and not free_of_nothing and phrase not in row and phrase not in done:
            words = f"{said[place - 1]} free"
            if not any(words == one.words for one in found):
                found.append(Doubt(words, must=True))
    return tuple(found)
