"""Rank what a name in a recipe may be: goods of the shelf, then rows of the reference table, with how sure and why.

The words are read by the one engine of ``labeller foods``. What it finds is then held against the name: every word met, no
state the name does not say, and no allergen named that the row does not hold. Where none passes, no row fits: a bad guess would
settle allergens it knows nothing of.
"""

from functools import cache
from typing import Any, Final

from labeller.allergens.profiles import profile_of
from labeller.allergens.reader import read_statement
from labeller.allergens.vocabulary import load_vocabulary
from labeller.book.names_index import ShelfGood, load_shelf
from labeller.composition.kitchen_adjectives import adjectives_of, doubts_of
from labeller.composition.search import FoodHit, bare_words, no_row_fits, search_foods, spelt_words
from labeller.composition.search_index import DONE, SORTING_HEADS, STOP, plain_words, words_of
from labeller.composition.table import load_table
from labeller.foundations.names import fold_text
from labeller.foundations.plain import dataclass

SURE_BAR: Final = 90.0
"""How sure a match is that nobody has to look at before it is written [0 to 100]; calibrated on the open words of the tests."""

_SHELF, _SHELF_BARE, _SHELF_BY_ROW, _BY_SYNONYM, _BY_NAME = 100.0, 98.0, 95.0, 96.0, 92.0
# Called after a nut's colour and a grain's size: brown butter and fine sugar. Elsewhere the same words keep their allergen.
_SPEAK_OF_NONE: Final = ("beurre noisette", "sucre semoule")
_NEAR, _MOST_NEAR = 30.0, 4
_WRITE_FROM_PACK: Final = "no row fits: write it from the pack"


@dataclass(frozen=True, slots=True)
class Candidate:
    """Something a name may be.

    Attributes
    ----------
    shelf : str
        Name of a good of the shelf; empty for a row of the table.
    composition : str
        Row as a book names it, ``sr28:01053``; empty where a good of the shelf has none.
    title, group : str
        The published name of the row or the name of the good, and where it belongs.
    sureness : float
        From 0 to 100.
    why : str
        In words.
    cautions : tuple of str
        What to look at before it is taken.
    fits : bool
        Whether it may be right at all; what does not fit is only shown after what does.
    contradicts : bool
        Whether the name speaks of an allergen this row would say is not in it: it is never offered.
    """

    shelf: str
    composition: str
    title: str
    group: str
    sureness: float
    why: str
    cautions: tuple[str, ...] = ()
    fits: bool = True
    contradicts: bool = False

    def as_json(self) -> dict[str, Any]:
        """Return the candidate as JSON."""
        return {
            "shelf": self.shelf or None,
            "food": self.composition or None,
            "name": self.title,
            "group": self.group,
            "score": self.sureness,
            "why": self.why,
            "cautions": list(self.cautions),
            "fits": self.fits,
        }


@dataclass(frozen=True, slots=True)
class Matching:
    """What a name may be, best first; ``no_row`` says why nothing is right, and is empty where something may be."""

    name: str
    candidates: tuple[Candidate, ...]
    no_row: str = ""

    @property
    def best(self) -> Candidate | None:
        """The first candidate that fits, None where none does."""
        return next((one for one in self.candidates if one.fits), None)

    @property
    def sure(self) -> Candidate | None:
        """The candidate that may be written without a person, None where there is none."""
        return self.best if self.best is not None and self.best.sureness >= SURE_BAR else None

    def as_json(self) -> dict[str, Any]:
        """Return the matching as JSON."""
        return {
            "name": self.name,
            "no_row": self.no_row or None,
            "sure": self.sure is not None,
            "candidates": [one.as_json() for one in self.candidates],
        }


@cache
def _shelf_by_words() -> tuple[dict[str, ShelfGood], dict[str, tuple[ShelfGood, ...]]]:
    """Return the goods of the shelf by the compared form of every name, and by their row."""
    by_words: dict[str, ShelfGood] = {}
    by_row: dict[str, tuple[ShelfGood, ...]] = {}
    for good in {good.name: good for good in load_shelf().values()}.values():
        for name in (good.name, *good.record.get("also", ())):
            by_words.setdefault(" ".join(words_of(name)), good)
        row = str(good.record.get("composition", ""))
        if row:
            by_row[row] = (*by_row.get(row, ()), good)
    return by_words, by_row


def match_name(name: str, most: int = 9) -> Matching:
    """Return what a name may be.

    Parameters
    ----------
    name : str
        As a recipe writes it: ``organic unsalted butter``.
    most : int
        How many candidates at most.
    """
    goods = _goods_named(name)
    nothing = no_row_fits(name)
    if nothing is not None and not any(good.sureness == _SHELF for good in goods):
        return Matching(name, (), f"{_WRITE_FROM_PACK} ({nothing.words}: {nothing.why})")
    named = _allergens_named(name)
    found: list[Candidate] = list(goods)
    hits = search_foods(name, most * 2)
    for place, hit in enumerate(hits):
        rows_good = _good_of_row(hit) if place == 0 else None
        candidate = _row(name, hit, named, hits)
        if rows_good is not None and candidate.fits and all(one.shelf != rows_good.name for one in found):
            cautions = candidate.cautions
            found.append(
                _of_good(
                    rows_good, min(_SHELF_BY_ROW, candidate.sureness), f"{hit.why}; the good of that row", cautions
                )
            )
        found.append(candidate)
    found.sort(key=lambda one: (not one.fits, not one.shelf if one.sureness >= SURE_BAR else True, -one.sureness))
    # What does not fit is shown only where it comes near, and little of it.
    fitting = [one for one in found if one.fits]
    near = [one for one in found if not one.fits and not one.contradicts and one.sureness >= _NEAR]
    kept = tuple([*fitting, *near[:_MOST_NEAR]][:most])
    if any(one.fits for one in kept):
        return Matching(name, kept)
    return Matching(name, kept, _why_none(name, tuple(found[:1])))


def _why_none(name: str, near: tuple[Candidate, ...]) -> str:
    if not near:
        return f"{_WRITE_FROM_PACK} (no word of '{name}' is in the table)"
    return f"{_WRITE_FROM_PACK} (the nearest is {near[0].title}: {near[0].cautions[0] if near[0].cautions else near[0].why})"


def _goods_named(name: str) -> list[Candidate]:
    by_words, _ = _shelf_by_words()
    whole, bare = " ".join(words_of(name)), bare_words(name)
    if (good := by_words.get(whole)) is not None:
        return [_of_good(good, _SHELF, "on the shelf by this name")]
    if bare and (good := by_words.get(bare)) is not None:
        if any(one.must for one in doubts_of(name, f"{good.name} {_row_name(good)}")):
            return []
        _, notes = spelt_words(name)
        why = [f"on the shelf as '{good.name}'", *notes, *_said_of_words(name, f"{good.name} {_row_name(good)}")]
        return [_of_good(good, _SHELF_BARE, "; ".join(why))]
    return []


def _said_of_words(name: str, title: str) -> list[str]:
    """Say which words of a name a row or good meets as written, by its own title, and which change nothing."""
    doubted = {one.words for one in doubts_of(name, title)}
    met = [word for word in adjectives_of(name) if word not in doubted]
    spelt, _ = spelt_words(name)
    passed = set(spelt.split()) - set(bare_words(name).split()) - set(words_of(" ".join(adjectives_of(name))))
    left = [word for word in plain_words(name) if words_of(word)[0] in passed]
    said = [f"as written: {', '.join(met)}"] if met else []
    return [*said, f"changes nothing: {', '.join(left)}"] if left else said


def _row_name(good: ShelfGood) -> str:
    table = load_table()
    row = table.row_index(str(good.record.get("composition", "")))
    return table.name(row) if row is not None else ""


def _good_of_row(hit: FoodHit) -> ShelfGood | None:
    """Return the one good of the shelf with the row a synonym names; None where several goods share the row."""
    goods = _shelf_by_words()[1].get(hit.food, ())
    return goods[0] if hit.meant and len(goods) == 1 else None


def _of_good(good: ShelfGood, sureness: float, why: str, cautions: tuple[str, ...] = ()) -> Candidate:
    return Candidate(
        good.name, str(good.record.get("composition", "")), good.name, "the shelf", sureness, why, cautions, fits=True
    )


@cache
def _allergens_named(name: str) -> frozenset[str]:
    """Return the sources of law that the words of a name themselves speak of."""
    folded = fold_text(name)
    for words in _SPEAK_OF_NONE:
        folded = folded.replace(words, words.split()[0])
    reading = read_statement(folded)
    law = load_vocabulary().law_sources
    return frozenset(finding.source for finding in reading.contains if finding.source in law)


def _not_held(named: frozenset[str], composition: str) -> list[str]:
    """Return the sources a name speaks of and a row says are not in it, by source or by kind (``nut`` for almond).

    What a row leaves open is no contradiction: it stays unconfirmed.
    """
    kinds = load_vocabulary().kind_of
    profile = profile_of(composition.removeprefix("sr28:"))
    if profile is None or profile.unconfirmed is None:
        return []
    held = {finding.source for finding in profile.contains} | profile.unconfirmed
    held_kinds = {kinds(source) for source in held}
    general = {"gluten cereal", "nut", "fish", "crustacean", "mollusc", "milk", "egg"}
    return sorted(
        source
        for source in named
        if source not in held and not (kinds(source) in held_kinds and (source in general or held & general))
    )


def _row(name: str, hit: FoodHit, named: frozenset[str], hits: list[FoodHit]) -> Candidate:
    """Hold one row against the name."""
    asked = set(hit.asked.split())
    sureness, fits = (_BY_SYNONYM if hit.meant else _BY_NAME), True
    cautions: list[str] = []
    why = [hit.why if hit.why != "by its own name" else f"same words as the row: {hit.name}"]

    why.extend(_said_of_words(name, hit.name))

    def doubt(points: float, caution: str, *, refuse: bool = False) -> None:
        nonlocal sureness, fits
        sureness -= points
        fits = fits and not refuse
        cautions.append(caution)

    for one in hit.doubts:
        problem = f"'{one.words}' is not met by this row"
        doubt(60.0 if one.must else 15.0, problem, refuse=one.must)
    if hit.share <= 0.999:
        doubt(40.0, f"only {hit.share:.0%} of the words are in this row", refuse=True)
    if hit.mended:
        doubt(20.0, "a word was read as another spelling, or is in no name")
    if hit.made:
        doubt(50.0, "the row is one maker's good", refuse=True)
    missing = _not_held(named, hit.food)
    if missing:
        doubt(50.0, f"the name speaks of {', '.join(missing)}, which this row does not hold", refuse=True)
    head = [word for word in words_of(hit.name.split(",")[0].split("(")[0]) if word not in STOP]
    sorting = bool(head) and all(word in SORTING_HEADS for word in head)
    if not hit.meant and not sorting and not asked.intersection(head):
        doubt(50.0, f"the row is of '{hit.name.split(',')[0]}'", refuse=True)
    if not hit.meant:
        said_by_none = [word for word in words_of(hit.name) if word in DONE and word not in asked and word != "raw"]
        if said_by_none:
            doubt(12.0 * min(3, len(said_by_none)), f"the row is also: {', '.join(dict.fromkeys(said_by_none))}")
        if hit is hits[0] and len(hits) > 1 and hits[0].score - hits[1].score < 1.0 and hit.score < 100.0:
            doubt(4.0, f"'{hits[1].name}' comes as near")
    profile = profile_of(hit.food.removeprefix("sr28:"))
    if profile is not None and not profile.complete:
        why.append("the row can show an allergen but never that one is not in it")
        if not hit.meant:
            doubt(6.0, "the row does not settle every allergen: yours may be made otherwise")
    if " raw" in hit.name and "raw" not in adjectives_of(name):
        why.append("the row is raw")
    return Candidate(
        "", hit.food, hit.name, hit.group, max(0.0, round(sureness, 1)), "; ".join(why), tuple(cautions), fits
    )
