"""Which dishes suit a guest who avoids several things: as they are, with a change, not at all, or nobody can say."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from labeller.declarations.allergen_rows import CONTAINS, MAY_CONTAIN, NONE_DECLARED, UNCONFIRMED
from labeller.declarations.answering_evidence import RANK, Finder, swap_brings
from labeller.declarations.answering_sentences import asked_food
from labeller.declarations.answering_words import UnknownAboutError, asked_about
from labeller.declarations.speaking import AskedFood, Foods, Message, said
from labeller.foundations.plain import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from labeller.declarations.allergen_rows import Path
    from labeller.declarations.facts import Answerable, BookFacts, Line

SUITS, SUITS_IF, DOES_NOT, CANNOT_VOUCH = "suits", "suits if", "does not", "cannot vouch"


@dataclass(frozen=True, slots=True)
class Change:
    """One change on a plate: ``line`` is left off, or ``put_in`` stands in its place; ``brings`` is what that has and the line had not."""

    line: Line
    put_in: Line | None = None
    brings: tuple[str, ...] = ()

    def as_message(self) -> Message:
        """Return the change as a phrase."""
        if self.put_in is None:
            return said("change: leave off", part=self.line.name)
        part, other = self.line.name, self.put_in.name
        if self.brings:
            return said("change: in place of, brings", part=part, other=other, groups=Foods(self.brings))
        return said("change: in place of", part=part, other=other)


@dataclass(frozen=True, slots=True)
class Suited:
    """How one dish stands: the verdict, the changes it takes, the ways to what stands against it.

    ``not_with`` are things that may stand in place of a part of the plate, and do not suit.
    """

    dish: str
    verdict: str
    changes: tuple[Change, ...] = ()
    because: tuple[Path, ...] = ()
    not_with: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Suiting:
    """How all dishes stand, the least change first.

    ``ferments`` may hold a little alcohol in the dishes that suit; ``things`` are what is avoided, to be spoken in a language.
    """

    without: tuple[str, ...]
    dishes: tuple[Suited, ...]
    ferments: tuple[str, ...] = ()
    things: tuple[AskedFood, ...] = ()
    asks_alcohol: bool = False

    def of(self, verdict: str) -> tuple[Suited, ...]:
        """Return the dishes of one verdict."""
        return tuple(one for one in self.dishes if one.verdict == verdict)

    def as_json(self) -> dict[str, Any]:
        """Return the contract's JSON, and ``not_with`` where a dish suits only without another thing that its plate allows."""
        not_with = {one.dish: list(one.not_with) for one in self.dishes if one.not_with}
        return {
            "without": list(self.without),
            "suits": [one.dish for one in self.of(SUITS)],
            "suits_if": [
                {
                    "dish": one.dish,
                    "leave_off": [change.line.name for change in one.changes if change.put_in is None],
                    "swap": [change.put_in.name for change in one.changes if change.put_in is not None],
                }
                for one in self.of(SUITS_IF)
            ],
            **({"not_with": not_with} if not_with else {}),
            "does_not": [one.dish for one in self.of(DOES_NOT)],
            "cannot_vouch": [
                {"dish": one.dish, "because": [list(path) for path in one.because]} for one in self.of(CANNOT_VOUCH)
            ],
        }


def answer_without(declarer: Answerable, words: list[str], dishes: list[str]) -> Suiting:
    """Judge dishes for a guest who avoids everything in ``words``.

    Raises
    ------
    UnknownAboutError
        Where a word is not known, or is no thing a dish can be without.
    """
    facts = declarer.facts
    finders: list[Finder] = []
    for word in dict.fromkeys(words):
        asked = asked_about(facts, word)
        if asked.kind == "certified":
            facts_asked = " ".join(f"--without {one}" for one in asked.words)
            raise UnknownAboutError(
                f"'{word}' is a certification, which this tool never gives. Ask for plain facts: {facts_asked}."
            )
        if asked.kind == "nutrient" or asked.eating:
            what = (
                "a figure: ask --about"
                if asked.kind == "nutrient"
                else "a way of eating: ask --about, or --without meat"
            )
            raise UnknownAboutError(f"'{word}' is {what}.")
        finders.append(Finder(facts, asked))
    found = [judge_plate(finders, facts.plate(dish), dish) for dish in dishes]
    found.sort(key=lambda one: len(one.changes))
    return Suiting(
        tuple(finder.asked.word for finder in finders),
        tuple(found),
        _ferments(facts, finders, found),
        tuple(asked_food(finder.asked) for finder in finders),
        any(finder.asked.kind == "alcohol" for finder in finders),
    )


def _ferments(facts: BookFacts, finders: list[Finder], found: list[Suited]) -> tuple[str, ...]:
    """Return the ferments in dishes that suit, where alcohol is avoided: they are named and not summed."""
    asking = [finder for finder in finders if finder.asked.kind == "alcohol"]
    plates = [facts.plate(one.dish) for one in found if one.verdict in (SUITS, SUITS_IF)]
    names = [path[-1] for finder in asking for plate in plates for path, _ in finder.found(plate).ferments]
    return tuple(dict.fromkeys(names))


def judge_plate(finders: list[Finder], plate: Sequence[Line], dish: str) -> Suited:
    """Judge one plate, line by line; sulphites are decided by quantity on the plate as it would be served.

    Notes
    -----
    Every line is judged on its own, so twenty optional parts take twenty looks. Only quantity needs the whole plate: each change
    there lowers what is above the limit by an amount of its own, so that the largest first gives the fewest changes.
    """
    changes: dict[int, Change] = {}
    against: list[tuple[str, tuple[Path, ...]]] = []
    for at, line in enumerate(plate):
        status, paths = _line_status(finders, line)
        if status == NONE_DECLARED:
            continue
        offered = _changes(finders, line)
        if offered:
            changes[at] = offered[0]
        else:
            against.append((status, paths))
    if against:
        worst = max((status for status, _ in against), key=lambda one: RANK[one])
        ways = tuple(dict.fromkeys(path for status, paths in against if status == worst for path in paths))
        return Suited(dish, CANNOT_VOUCH if worst == UNCONFIRMED else DOES_NOT, (), ways)
    _lower_sulphites(finders, plate, changes)
    served = _served(plate, changes)
    status, paths = _plate_status(finders, served)
    if status != NONE_DECLARED or (plate and not served):
        return Suited(dish, CANNOT_VOUCH if status == UNCONFIRMED else DOES_NOT, (), paths)
    not_with = [
        one.name
        for at, line in enumerate(plate)
        if at not in changes
        for one in line.swaps
        if _speaks_against(finders, plate, changes, at, one)
    ]
    made = tuple(changes[at] for at in sorted(changes))
    return Suited(dish, SUITS_IF if changes else SUITS, made, (), tuple(dict.fromkeys(not_with)))


def _speaks_against(
    finders: list[Finder], plate: Sequence[Line], changes: dict[int, Change], at: int, other: Line
) -> bool:
    """Tell whether another thing that the plate allows would bring what is avoided: by itself, or by its sulphites on the plate."""
    if _line_status(finders, other)[0] != NONE_DECLARED:
        return True
    if not any(map(_sulphite_groups, finders)):
        return False
    with_it = _served(plate, {**changes, at: Change(plate[at], other)})
    return any(_plate_status(finders, lines)[0] != NONE_DECLARED for lines in ([other], with_it))


def _served(plate: Sequence[Line], changes: dict[int, Change]) -> list[Line]:
    found: list[Line] = []
    for at, line in enumerate(plate):
        served = changes[at].put_in if at in changes else line
        if served is not None:
            found.append(served)
    return found


def _changes(finders: list[Finder], line: Line) -> list[Change]:
    """Return the changes that clear a line, leaving off first; a swap that brings another thing the guest avoids is none."""
    found = [Change(line)] if line.optional else []
    found.extend(
        Change(line, one, swap_brings(finders[0].facts, line, one))
        for one in line.swaps
        if _line_status(finders, one)[0] == NONE_DECLARED
    )
    return found


def _plate_status(finders: list[Finder], lines: Sequence[Line]) -> tuple[str, tuple[Path, ...]]:
    worst = NONE_DECLARED
    ways: tuple[Path, ...] = ()
    for finder in finders:
        found = finder.found(lines)
        if RANK[found.status] > RANK[worst]:
            worst = found.status
            ways = found.unconfirmed if found.status == UNCONFIRMED else found.because
    return worst, ways


def _line_status(finders: list[Finder], line: Line) -> tuple[str, tuple[Path, ...]]:
    """Return the worst status of one line; sulphites that have a figure are left to the whole plate."""
    worst: tuple[str, tuple[Path, ...]] = (NONE_DECLARED, ())
    for finder in finders:
        status, ways = _status(finder, line)
        if RANK[status] > RANK[worst[0]]:
            worst = (status, ways)
    return worst


def _status(finder: Finder, line: Line) -> tuple[str, tuple[Path, ...]]:
    groups = _sulphite_groups(finder)
    if not groups:
        found = finder.found([line])
        return found.status, found.unconfirmed if found.status == UNCONFIRMED else found.because
    reader = finder.facts.reader(groups)
    seen = [(place, path, False) for place, path in line.present.items()]
    seen.extend((one.ingredient, one.path, True) for one in line.touching(reader.concerned()))
    worst: tuple[str, tuple[Path, ...]] = (NONE_DECLARED, ())
    for place, path, touched in seen:
        if reader.sulphites_mg_per_kg(place) is not None:
            continue
        for name in groups:
            view = reader.view(place).get(name)
            if view is None:
                continue
            status = NONE_DECLARED
            if view.contains:
                status = MAY_CONTAIN if touched else CONTAINS
            elif view.may_contain and not touched:
                status = MAY_CONTAIN
            elif view.unconfirmed:
                status = UNCONFIRMED
            if RANK[status] > RANK[worst[0]]:
                worst = (status, (path,))
    return worst


def _sulphite_groups(finder: Finder) -> tuple[str, ...]:
    groups = finder.facts.groups
    return tuple(group.name for group in groups if "sulphite" in group.kinds and group.name in finder.asked.groups)


def _lower_sulphites(finders: list[Finder], plate: Sequence[Line], changes: dict[int, Change]) -> None:
    """Add the fewest changes that bring the plate to the limit, where sulphites are asked about."""
    asking = [finder for finder in finders if _sulphite_groups(finder)]
    if not asking:
        return
    limit, limit_counts = asking[0].facts.sulphite_limit()

    def above(line: Line | None) -> float:
        if line is None:
            return 0.0
        return line.so2_mg - limit * line.weight_g / 1000.0

    for at, change in list(changes.items()):
        options = _changes(finders, change.line)
        changes[at] = min(options, key=lambda one: above(one.put_in))
    gains: list[tuple[float, int, Change]] = []
    for at, line in enumerate(plate):
        if at in changes:
            continue
        options = _changes(finders, line)
        if options:
            best = min(options, key=lambda one: above(one.put_in))
            gains.append((above(line) - above(best.put_in), at, best))
    for gain, at, change in sorted(gains, key=lambda one: (-one[0], one[1])):
        if gain <= 0.0 or not _over(_served(plate, changes), limit, limit_counts=limit_counts):
            return
        changes[at] = change


def _over(lines: Sequence[Line], limit: float, *, limit_counts: bool) -> bool:
    from labeller.declarations.rounding import over_limit  # noqa: PLC0415 - decimals cost a start, and few questions need them

    weight = sum(line.weight_g for line in lines)
    total = sum(line.so2_mg for line in lines)
    return weight > 0.0 and over_limit(total / weight * 1000.0, limit, limit_counts=limit_counts)
