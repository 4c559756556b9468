"""How the words of a kitchen are spelt: synonyms, words written short or together, slips of the pen."""

import csv
import json
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Final

import numpy as np

from labeller.composition.search_index import STOP, SearchIndex, words_of
from labeller.foundations.places import reference_data_folder
from labeller.foundations.plain import dataclass

# Slips forgiven: one in five letters from the same two letters on, or two in eight from the same three on. More would take
# a food the table does not have for one it has.
_SURE_SPELLINGS: Final = ((2, 0.8), (3, 0.74))


@dataclass(frozen=True, slots=True)
class Synonym:
    """What a kitchen says (``word``) and what the table says for it (``means``).

    ``applies`` is ``anywhere`` among other words, ``alone`` for the bare word only, or ``spelling`` for another spelling of a word.
    ``ground`` says in short why.
    """

    word: str
    means: str
    applies: str
    ground: str = ""


def read_synonyms(path: Path) -> dict[str, Synonym]:
    """Return the synonyms of a CSV file by the compared form of their word; an empty meaning is a word to pass over."""
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    spellings = {words_of(row["word"])[0]: words_of(row["means"])[0] for row in rows if row["applies"] == "spelling"}
    return {
        " ".join(
            word if row["applies"] == "spelling" else spellings.get(word, word) for word in words_of(row["word"])
        ): Synonym(row["word"], row["means"], row["applies"], row["ground"].split(";")[0].strip())
        for row in rows
    }


@cache
def load_index() -> tuple[SearchIndex, dict[str, int], dict[str, Synonym]]:
    """Return the words of all names, the number of each, and the synonyms by the compared form of their words."""
    folder = reference_data_folder() / "composition"
    held = json.loads((folder / "search.json").read_text("utf-8"))
    index = SearchIndex(
        tuple(held["vocabulary"]),
        tuple(held["spoken"]),
        np.load(folder / "search_entries.npy", allow_pickle=False),
        np.load(folder / "search_rows.npy", allow_pickle=False),
    )
    synonyms = {key: Synonym(*parts) for key, parts in held["synonyms"].items()}
    return index, {word: number for number, word in enumerate(index.vocabulary)}, synonyms


def _split_compound(word: str, known: dict[str, int]) -> list[str]:
    """Return the two known words a word is made of (``brazil nut`` and ``brazilnut`` are one); empty where there are none."""
    for cut in range(3, len(word) - 2):
        left, right = words_of(word[:cut]), words_of(word[cut:])
        if left and right and left[0] in known and right[0] in known:
            return [left[0], right[0]]
    return []


def _near_word(word: str, choices: Sequence[str]) -> str | None:
    from rapidfuzz import process  # noqa: PLC0415 - only a misspelling pays for it
    from rapidfuzz.distance import DamerauLevenshtein  # noqa: PLC0415 - as above

    for letters, cutoff in _SURE_SPELLINGS:
        begun = [choice for choice in choices if choice[:letters] == word[:letters]]
        found = process.extractOne(word, begun, scorer=DamerauLevenshtein.normalized_similarity, score_cutoff=cutoff)
        if found:
            return str(found[0])
    return None


def _proposed(index: SearchIndex) -> dict[str, str]:
    """Return the words that may stand for a misspelt one, by their compared form; names of makers are not among them."""
    return {form: word for form, word in zip(index.vocabulary, index.spoken, strict=True) if word}


def spell_words(words: list[str], notes: list[str]) -> tuple[list[str], bool]:
    """Return the words with compounds joined or split and misspellings mended, saying so in ``notes``, and whether any is doubtful."""
    index, known, synonyms = load_index()
    spoken = {part for phrase in synonyms for part in phrase.split()}
    spelt: list[str] = []
    doubtful = False
    for word in words:
        synonym = synonyms.get(word)
        if synonym is not None and synonym.applies == "spelling":
            spelt.extend(words_of(synonym.means))
            notes.append(f"'{synonym.word}' read as '{synonym.means}'")
        elif word in known or word in spoken or word in STOP:
            spelt.append(word)
        elif parts := _split_compound(word, known):
            spelt.extend(parts)
        elif len(word) > 3 and (near := _near_word(word, [*_proposed(index), *spoken])) is not None:
            notes.append(f"'{word}' read as '{_proposed(index).get(near, near)}'")
            spelt.append(near)
            doubtful = True
        else:
            notes.append(f"'{word}' is in no name")
            spelt.append(word)
            doubtful = True
    return spelt, doubtful
