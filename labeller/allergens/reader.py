"""Read a supplier's ingredients statement: what is in it, what may be, what it leaves open.

The text is cut into pieces (``tokens``), phrases are looked up (``matching``), brackets and sentences make a tree (``tree``), and
what follows from the tree is judged (``judging``). Any text can be read; one above a million bytes is refused with a word.
"""

from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import TypeVar

from labeller.allergens.evidence import Finding
from labeller.allergens.items import CONTAINS, INGREDIENT, Item
from labeller.allergens.judged import Judged, Seen, only_a_number
from labeller.allergens.judging import Judge
from labeller.allergens.matching import in_their_language, load_matcher
from labeller.allergens.tokens import tokens_of
from labeller.allergens.tree import TreeBuilder
from labeller.allergens.vocabulary import GENERAL_OF_KIND, Vocabulary, load_vocabulary
from labeller.foundations.plain import dataclass, field

LARGEST_BYTES = 1_000_000
Remembered = TypeVar("Remembered")


@dataclass(frozen=True, slots=True)
class StatedIngredient:
    """One ingredient as the statement gives it, with its own list.

    ``percent`` is of the whole [%], None where none is given; ``findings`` are those of its own words, not of its parts.
    """

    name: str
    percent: float | None = None
    parts: tuple["StatedIngredient", ...] = ()
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class Reading:
    """What the reader makes of a statement.

    Attributes
    ----------
    contains, may_contain : tuple of Finding
        Sources seen, with the words; a derivation a law may exempt is named on the finding.
    unclear : tuple of (str, frozenset of str)
        Words that leave sources open, and those sources.
    derived_doubts : tuple of (str, str, str)
        Words, source and derivation of things that are exempt in some laws whatever they are made of: dextrose, tocopherols.
    not_understood : tuple of str
        Words the reader does not know; they change nothing.
    negated : tuple of str
        Words of things the statement says are not in it.
    alcohol, alcohol_traces : tuple of str
        Words of alcoholic ingredients; words of ferments, which keep a trace.
    refused : str
        Why the text was not read; empty where it was.
    names_food : bool
        Whether any of the words is a food or an additive the reader knows: where none is, its silence says nothing.
    """

    contains: tuple[Finding, ...] = ()
    may_contain: tuple[Finding, ...] = ()
    unclear: tuple[tuple[str, frozenset[str]], ...] = ()
    derived_doubts: tuple[tuple[str, str, str], ...] = ()
    not_understood: tuple[str, ...] = ()
    negated: tuple[str, ...] = ()
    alcohol: tuple[str, ...] = ()
    alcohol_traces: tuple[str, ...] = ()
    refused: str = ""
    names_food: bool = True
    statement: str = field(default="", repr=False)

    @property
    def ingredients(self) -> tuple[StatedIngredient, ...]:
        """The statement as a tree, worked out when asked for: only a sale label prints it."""
        known = _known(self.statement, _trees)
        return known if known is not None else _ingredients_of(self.statement)


def read_statement(text: str) -> Reading:
    """Read one ingredients statement.

    Parameters
    ----------
    text : str
        The statement, in English, French, German, Italian, Spanish or Dutch, or several of them.

    Returns
    -------
    Reading
        Never raises. Above ``LARGEST_BYTES`` [bytes] nothing is read, everything the law regulates is left open, and
        ``refused`` says so.
    """
    if len(text) > LARGEST_BYTES or len(text.encode("utf-8", "replace")) > LARGEST_BYTES:
        return Reading(
            unclear=(("the whole statement", load_vocabulary().law_sources),),
            refused=f"The statement is longer than {LARGEST_BYTES:,} bytes and was not read. Give the ingredients statement alone.",
        )
    known = _known(text, _readings)
    if known is not None:
        return known
    return _read(text) if len(text) <= 4000 else _read.__wrapped__(text)


# What another process of the same run has read already, and who can be asked to wait for more of it.
_readings: dict[str, Reading] = {}
_trees: dict[str, tuple[StatedIngredient, ...]] = {}
_waiting: list[Callable[[str], None]] = []


def remember(
    readings: Mapping[str, Reading],
    trees: Mapping[str, tuple[StatedIngredient, ...]],
    wait_for: Callable[[str], None] | None = None,
) -> None:
    """Take over what another process of this run has read: the same reader, the same words.

    ``wait_for`` is called with a text before it is read here; it may bring more, by calling this again.
    """
    _readings.update(readings)
    _trees.update(trees)
    _waiting[:] = [wait_for] if wait_for is not None else []


def _known(text: str, remembered: Mapping[str, Remembered]) -> Remembered | None:
    if text not in remembered and _waiting:
        _waiting[0](text)
    return remembered.get(text)


def _names_food(item: Item) -> bool:
    """Tell whether an item that says what is in it has a word that is a food or an additive."""
    if item.mode not in (INGREDIENT, CONTAINS):
        return False
    return (
        only_a_number(item)
        or any(
            not meaning.plain or meaning.food or "additive" in meaning.roles
            for unit in item.units
            for meaning in unit.meanings
            if not meaning.signal
        )
        or any(map(_names_food, item.parts))
    )


@lru_cache(maxsize=1024)
def _read(text: str) -> Reading:
    vocabulary = load_vocabulary()
    items = _items_of(text)
    judge = Judge(text, vocabulary)
    judged = [(item, judge.judge(item)) for item in items]
    certain = _certain(judged, vocabulary)
    contains = _findings(certain)
    derivations = {(finding.source, finding.derivation) for finding in contains}
    all_judged = [each for _, each in judged]
    settled: frozenset[str] = frozenset()
    if any(each.doubts for each in all_judged):
        settled = _settled_by(contains, vocabulary)
    unclear: dict[str, frozenset[str]] = {}
    for each in all_judged:
        for doubt in each.doubts:
            left = doubt.sources - settled
            if left:
                words = " ".join(doubt.words.split())
                unclear[words] = unclear.get(words, frozenset()) | left
    return Reading(
        contains=contains,
        may_contain=_findings([seen for each in all_judged for seen in each.may]),
        unclear=tuple(unclear.items()),
        derived_doubts=tuple(
            dict.fromkeys(
                doubt for each in all_judged for doubt in each.derived if (doubt[1], doubt[2]) not in derivations
            )
        ),
        not_understood=tuple(dict.fromkeys(word for each in all_judged for word in each.strange)),
        negated=tuple(dict.fromkeys(word for each in all_judged for word in each.negated)),
        alcohol=tuple(dict.fromkeys(word for each in all_judged for word in each.alcohol)),
        alcohol_traces=tuple(dict.fromkeys(word for each in all_judged for word in each.traces)),
        names_food=bool(contains or unclear) or any(_names_food(item) for item in items),
        statement=text,
    )


@lru_cache(maxsize=256)
def _ingredients_of(text: str) -> tuple[StatedIngredient, ...]:
    judge = Judge(text, load_vocabulary())
    return tuple(
        stated
        for item in _items_of(text)
        if item.mode == INGREDIENT and (stated := _stated(text, item, judge.judge(item))) is not None
    )


def _settled_by(contains: tuple[Finding, ...], vocabulary: Vocabulary) -> frozenset[str]:
    """Return the sources no doubt is about any more, as they are in it in a form no law exempts."""
    plain = {finding.source for finding in contains if not finding.derivation}
    whole = {vocabulary.sources[source] for source in plain} & {"milk", "egg"}
    return frozenset(plain | {source for source, kind in vocabulary.sources.items() if kind in whole})


def _items_of(text: str) -> list[Item]:
    units = load_matcher().units_of(text, tokens_of(text))
    return TreeBuilder(in_their_language(units)).build()


def _certain(judged: list[tuple[Item, Judged]], vocabulary: Vocabulary) -> list[Seen]:
    """Gather what is in it. A summary such as *contains nuts* adds nothing where the list names the nuts."""
    listed = {
        vocabulary.sources[seen.source]: seen.source
        for item, each in judged
        for seen in each.certain
        if _is_fine(seen, vocabulary)
    }
    found: list[Seen] = []
    for item, each in judged:
        for seen in each.certain:
            kind = vocabulary.sources[seen.source]
            general = GENERAL_OF_KIND.get(kind) == seen.source
            if item.mode == CONTAINS and general and kind in listed:
                continue
            found.append(seen)
    return found


def _is_fine(seen: Seen, vocabulary: Vocabulary) -> bool:
    return GENERAL_OF_KIND.get(vocabulary.sources[seen.source]) != seen.source


def _findings(seen: list[Seen]) -> tuple[Finding, ...]:
    return tuple(dict.fromkeys(Finding(each.source, each.derivation, " ".join(each.words.split())) for each in seen))


def _stated(text: str, item: Item, judged: Judged) -> StatedIngredient | None:
    """Return the item as a sale label can print it."""
    parts = []
    below = iter(judged.parts)
    for part in item.parts:
        if part.mode not in (INGREDIENT, CONTAINS):
            continue
        judged_part = next(below)
        if part.mode == INGREDIENT:
            stated = _stated(text, part, judged_part)
            if stated is not None:
                parts.append(stated)
    name = _name_of(text, item)
    if not name and not parts:
        return None
    percent = _percent_of(text, item.percent)
    return StatedIngredient(name, percent, tuple(parts), _findings(judged.own))


def _name_of(text: str, item: Item) -> str:
    """Return the item's own words as written, joined where percentages or brackets stood between them."""
    pieces: list[str] = []
    last_end = -1
    for unit in item.units:
        word = text[unit.start : unit.end]
        if last_end >= 0 and pieces:
            between = text[last_end : unit.start]
            bare = "".join(between.split())
            if bare and len(bare) <= 3 and not any(mark in "()[]{}%*†‡§,;" or mark.isdigit() for mark in bare):
                pieces[-1] += between.strip() if between.strip() in ("-", "'", "’", ":", "/") else ""
                if between.strip() in ("-", "'", "’", "/"):
                    pieces[-1] += word
                    last_end = unit.end
                    continue
                if between.strip() != ":":
                    pieces.append(between.strip())
        pieces.append(word)
        last_end = unit.end
    return " ".join(" ".join(pieces).split())


def _percent_of(text: str, place: float | None) -> float | None:
    """Read the figure that starts at the remembered place of the text. [%]"""
    if place is None:
        return None
    start = int(-place - 1)
    digits = ""
    for letter in text[start : start + 40]:
        if letter.isdecimal() or letter in ".,":
            digits += letter
        else:
            break
    try:
        return float(digits.replace(",", "."))
    except ValueError:
        return None
