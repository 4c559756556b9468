"""Which rows of the table fit the words of a kitchen: the engine of ``labeller foods``."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from labeller.composition.kitchen_adjectives import Doubt, NoRow, doubts_of, no_row_for
from labeller.composition.search_index import MAKER_LOSS, STOP, SearchIndex, plain_words, words_of
from labeller.composition.search_spelling import Synonym, load_index, spell_words
from labeller.composition.table import PREFIX, Table, load_table, parse_food
from labeller.foundations.plain import dataclass

# Said of a good as bought: they steer between rows and are never asked of one.
_STEERING: Final = {"fresh": ("fresh", "raw"), "raw": ("raw", "fresh", "uncooked")}
# Words that say one thing in two ways.
_SAME: Final = {
    "dried": ("dried", "dry", "dehydrated"),
    "dry": ("dry", "dried"),
    "salted": ("salted", "salt"),
}
_LONGEST_PHRASE: Final = 5


@dataclass(frozen=True, slots=True)
class FoodHit:
    """One row that fits: ``food`` as a book names it, its name and group, a score from 0 to 100, and why.

    ``share`` of the words was found in the row [1]. ``meant``: a synonym names this very row. ``mended``: a word was taken for a
    slip of the pen, or is in no name. ``made``: the row names a maker. ``asked``: the words looked for, in their compared form, and
    what synonyms made of them. ``doubts`` are words of the name the row does not meet.
    """

    food: str
    name: str
    group: str
    score: float
    why: str
    share: float = 1.0
    meant: bool = False
    mended: bool = False
    made: bool = False
    asked: str = ""
    doubts: tuple[Doubt, ...] = ()


@dataclass(frozen=True, slots=True)
class _Wanted:
    """Some words asked for together: any of the forms of each will do; they count ``weight`` between them."""

    forms: tuple[tuple[int, ...], ...]
    weight: float


@dataclass(frozen=True, slots=True)
class _Question:
    wanted: tuple[_Wanted, ...]
    steering: tuple[int, ...]
    notes: tuple[str, ...]
    meant: str = ""
    settled: str = ""
    mended: bool = False
    bare: str = ""
    asked: str = ""


def _numbers(word: str, known: dict[str, int]) -> tuple[int, ...]:
    return tuple(known[form] for form in _SAME.get(word, (word,)) if form in known)


def _understand(question: str) -> _Question:
    _, known, synonyms = load_index()
    notes: list[str] = []
    words, mended = spell_words(words_of(question), notes)
    settled: list[str] = []
    meanings: list[str] = []
    passed_over = {word for word, synonym in synonyms.items() if not synonym.means}
    padded = f" {' '.join(words)} "
    for phrase in sorted((phrase for phrase in passed_over if " " in phrase), key=len, reverse=True):
        padded = padded.replace(f" {phrase} ", " ")
    words = padded.split()
    bare = [word for word in words if word not in passed_over and word not in _STEERING and word not in STOP]
    wanted: list[_Wanted] = []
    steering = [
        known[form]
        for word in words
        for form in _STEERING.get(word, (word,) if word in passed_over else ())
        if form in known
    ]

    def ask(synonym: Synonym, length: int) -> None:
        forms = tuple((known[word],) for word in words_of(synonym.means) if word in known and word not in STOP)
        wanted.append(_Wanted(forms, float(length)))
        settled.append(synonym.word)
        meanings.extend(words_of(synonym.means))
        notes.append(f"'{synonym.word}' read as '{synonym.means}' ({synonym.ground})")

    # With fresh or raw left in: "fresh coriander" is another food than coriander.
    whole = synonyms.get(" ".join(words))
    if whole is not None and whole.means:
        ask(whole, len(words))
        return _Question(
            tuple(wanted),
            tuple(steering),
            tuple(notes),
            whole.means,
            whole.word,
            mended,
            " ".join(bare),
            " ".join([*words, *meanings]),
        )
    alone = synonyms.get(" ".join(bare))
    if alone is not None and alone.means:
        ask(alone, len(bare))
        return _Question(
            tuple(wanted),
            tuple(steering),
            tuple(notes),
            alone.means,
            alone.word,
            mended,
            " ".join(bare),
            " ".join([*words, *meanings]),
        )
    place = 0
    while place < len(words):
        for length in range(min(_LONGEST_PHRASE, len(words) - place), 0, -1):
            phrase = " ".join(words[place : place + length])
            synonym = synonyms.get(phrase)
            if synonym is not None and synonym.applies == "anywhere" and synonym.means:
                ask(synonym, length)
                place += length
                break
        else:
            word = words[place]
            joined = word + words[place + 1] if place + 1 < len(words) else ""
            if joined in known and word in bare:
                wanted.append(_Wanted(((known[joined],),), 2.0))
                place += 2
                continue
            if word in bare:
                wanted.append(_Wanted((_numbers(word, known),), 1.0))
            place += 1
    return _Question(
        tuple(wanted),
        tuple(steering),
        tuple(notes),
        "",
        " ".join(settled),
        mended,
        " ".join(bare),
        " ".join([*words, *meanings]),
    )


def bare_words(words: str) -> str:
    """Return the words of a question without those that change no row, in their compared form."""
    return _understand(words).bare


def spelt_words(words: str) -> tuple[str, tuple[str, ...]]:
    """Return the words of a question spelt as the table spells them, in their compared form, and what was read otherwise."""
    notes: list[str] = []
    spelt, _ = spell_words(words_of(words), notes)
    return " ".join(spelt), tuple(notes)


def no_row_fits(words: str) -> NoRow | None:
    """Return the good that words name where no row of the table is right for it, with why; None where one may be."""
    if parse_food(words) is not None:
        return None
    question = _understand(words)
    whole = bool(question.meant) and " ".join(words_of(question.settled)) == " ".join(words_of(words))
    return None if whole else no_row_for(words, question.bare)


def _score(question: _Question, index: SearchIndex) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return score and share of the words found, for every row of the table."""
    numbers = index.entries[:, 0].astype(np.int32)
    rows = index.entries[:, 1].astype(np.int32)
    n_rows = len(index.rows)
    asked = np.zeros(len(index.vocabulary), dtype=bool)
    found = np.zeros(n_rows)
    total = 0.0
    for wanted in question.wanted:
        total += wanted.weight
        share = np.zeros(n_rows)
        for forms in wanted.forms:
            has = np.zeros(n_rows, dtype=bool)
            for number in forms:
                asked[number] = True
                has[rows[numbers == number]] = True
            share += has
        if wanted.forms:
            found += wanted.weight * share / len(wanted.forms)
    asked[list(question.steering)] = True
    taken = asked[numbers]
    points = np.where(taken, np.minimum(index.entries[:, 2], 6.0), -index.entries[:, 3])
    # Gains are shared among the words asked for, or a long question would outweigh a plain name.
    gains = np.bincount(rows, np.where(taken, points, 0.0), n_rows) / max(1, int(asked.sum())) * 2.0
    losses = np.maximum(np.bincount(rows, np.where(taken, 0.0, points), n_rows), -45.0)
    coverage = found / total if total else found
    return 100.0 * coverage + gains + losses + index.rows[:, 0], coverage


def search_foods(words: str, most: int = 12) -> list[FoodHit]:
    """Return the rows of the reference table that fit the words of a kitchen, best first.

    Parameters
    ----------
    words : str
        What a recipe calls the food (``caster sugar``, ``unsalted butter``), or a food code (``sr28:01053``).
    most : int
        How many rows at most.
    """
    table = load_table()
    if (code := parse_food(words)) is not None and (row := table.row_index(code)) is not None:
        return [_hit(table, row, 100.0, "the code itself")]
    question = _understand(words)
    if not question.wanted or no_row_fits(words) is not None:
        return []
    index = load_index()[0]
    score, coverage = _score(question, index)
    best = float(coverage.max())
    if best <= 0:
        return []
    fitting = np.flatnonzero(coverage >= best * 0.6)
    made = index.rows[:, 0] <= -MAKER_LOSS
    if question.meant:
        # The synonym names one row in full: that one, whoever made it.
        named = [row for row in np.flatnonzero(coverage > 0.999) if table.name(int(row)) == question.meant]
        score[named] += 200.0
        made[named] = False
    # Best first, makers' goods after all others; of equals the shorter name, then the lower code.
    chosen = fitting[np.lexsort((-score[fitting], made[fitting]))][: max(most, 0) * 4]
    doubts = {int(row): doubts_of(words, table.name(int(row)), question.settled) for row in chosen}
    # A row that is another food than the name says (dried for fresh) comes after those that are not.
    ordered = sorted(
        (int(row) for row in chosen),
        key=lambda row: (
            bool(made[row]),
            -round(float(score[row]), 3),
            len(table.name(row)),
            row,
        ),
    )
    ordered.sort(key=lambda row: (bool(made[row]), any(doubt.must for doubt in doubts[row])))
    why = "; ".join(question.notes) or "by its own name"
    hits = []
    lowest = 100.0
    for row in ordered[:most]:
        missed = "" if coverage[row] > 0.999 else f"; {coverage[row]:.0%} of the words found"
        lowest = min(lowest, float(np.clip(score[row], 0.0, 100.0)))
        hits.append(
            FoodHit(
                PREFIX + table.food_code(row),
                table.name(row),
                table.group_name(row),
                round(lowest, 1),
                why + missed,
                float(coverage[row]),
                bool(question.meant) and table.name(row) == question.meant,
                question.mended,
                bool(made[row]),
                question.asked,
                doubts[row],
            )
        )
    return hits


def _hit(table: Table, row: int, score: float, why: str) -> FoodHit:
    return FoodHit(PREFIX + table.food_code(row), table.name(row), table.group_name(row), round(score, 1), why)


def nearest_words(words: str, most: int = 5) -> list[str]:
    """Return words the table or the synonyms know that are most like those asked for, best first."""
    from rapidfuzz import fuzz, process  # noqa: PLC0415 - only a miss pays for it

    index, _, synonyms = load_index()
    choices = [word for word in index.spoken if len(word) > 2] + [
        synonym.word for synonym in synonyms.values() if synonym.means
    ]
    scored: dict[str, float] = {}
    for word in plain_words(words):
        for choice, score, _ in process.extract(word, choices, scorer=fuzz.ratio, limit=most, score_cutoff=55):
            scored[choice] = max(scored.get(choice, 0.0), score)
    return sorted(scored, key=lambda choice: (-scored[choice], choice))[:most]
