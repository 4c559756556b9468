"""Which dishes suit a guest who avoids several things: as they are, with a change, not at all, or nobody can say."""

from typing import Any

from labeller.declarations.allergen_rows import CONTAINS, MAY_CONTAIN, NONE_DECLARED, UNCONFIRMED
from labeller.declarations.answered import line_name
from labeller.declarations.answering_evidence import RANK, Finder, swap_brings
from labeller.declarations.answering_sentences import asked_food
from labeller.declarations.answering_words import UnknownAboutError, asked_about
from labeller.declarations.declaring import Declarer
from labeller.declarations.rounding import over_limit
from labeller.declarations.speaking import AskedFood, Foods, Message, said
from labeller.foundations.plain import dataclass
from labeller.kitchen import constituents as c
from labeller.kitchen.batch import Batch, Path
from labeller.kitchen.working_out import Plate, PlateLine

SUITS, SUITS_IF, DOES_NOT, CANNOT_VOUCH = "suits", "suits if", "does not", "cannot vouch"


@dataclass(frozen=True, slots=True)
class Change:
    """One change on a plate: ``line`` is left off, or ``put_in`` stands in its place; ``brings`` is what that has and the line had not."""

    line: PlateLine
    put_in: PlateLine | None = None
    brings: tuple[str, ...] = ()

    @property
    def batch(self) -> Batch | None:
        """What stands on the plate after the change."""
        return self.put_in.batch if self.put_in is not None else None

    def as_message(self) -> Message:
        """Return the change as a phrase."""
        if self.put_in is None:
            return said("change: leave off", part=line_name(self.line))
        part, other = line_name(self.line), line_name(self.put_in)
        if self.brings:
            return said("change: in place of, brings", part=part, other=other, groups=Foods(self.brings))
        return said("change: in place of", part=part, other=other)


@dataclass(frozen=True, slots=True)
class Suited:
    """How one dish stands: the verdict, the changes it takes, the ways to what stands against it."""

    dish: str
    verdict: str
    changes: tuple[Change, ...] = ()
    because: tuple[Path, ...] = ()


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
        """Return the contract's JSON."""
        return {
            "without": list(self.without),
            "suits": [one.dish for one in self.of(SUITS)],
            "suits_if": [
                {
                    "dish": one.dish,
                    "leave_off": [line_name(change.line) for change in one.changes if change.put_in is None],
                    "swap": [line_name(change.put_in) for change in one.changes if change.put_in is not None],
                }
                for one in self.of(SUITS_IF)
            ],
            "does_not": [one.dish for one in self.of(DOES_NOT)],
            "cannot_vouch": [
                {"dish": one.dish, "because": [list(path) for path in one.because]} for one in self.of(CANNOT_VOUCH)
            ],
        }


def answer_without(declarer: Declarer, words: list[str], dishes: list[str]) -> Suiting:
    """Judge dishes for a guest who avoids everything in ``words``.

    Raises
    ------
    UnknownAboutError
        Where a word is not known, or is no thing a dish can be without.
    """
    finders: list[Finder] = []
    for word in dict.fromkeys(words):
        asked = asked_about(declarer, word)
        if asked.kind == "nutrient" or asked.eating:
            what = (
                "a figure: ask --about"
                if asked.kind == "nutrient"
                else "a way of eating: ask --about, or --without meat"
            )
            raise UnknownAboutError(f"'{word}' is {what}.")
        finders.append(Finder(declarer, asked))
    found = [judge_plate(finders, declarer.workings.plates[dish], dish) for dish in dishes]
    found.sort(key=lambda one: len(one.changes))
    return Suiting(
        tuple(finder.asked.word for finder in finders),
        tuple(found),
        _ferments(declarer, finders, found),
        tuple(asked_food(finder.asked) for finder in finders),
        any(finder.asked.kind == "alcohol" for finder in finders),
    )


def _ferments(declarer: Declarer, finders: list[Finder], found: list[Suited]) -> tuple[str, ...]:
    """Return the ferments in dishes that suit, where alcohol is avoided: they are named and not summed."""
    asking = [finder for finder in finders if finder.asked.kind == "alcohol"]
    plates = [declarer.workings.plates[one.dish] for one in found if one.verdict in (SUITS, SUITS_IF)]
    names = [
        path[-1]
        for finder in asking
        for plate in plates
        for path, _ in finder.found([line.batch for line in plate.lines]).ferments
    ]
    return tuple(dict.fromkeys(names))


def judge_plate(finders: list[Finder], plate: Plate, dish: str) -> Suited:
    """Judge one plate, line by line; sulphites are decided by quantity on the plate as it would be served.

    Notes
    -----
    Every line is judged on its own, so twenty optional parts take twenty looks. Only quantity needs the whole plate: each change
    there lowers what is above the limit by an amount of its own, so that the largest first gives the fewest changes.
    """
    changes: dict[int, Change] = {}
    against: list[tuple[str, tuple[Path, ...]]] = []
    for at, line in enumerate(plate.lines):
        status, paths = _line_status(finders, line.batch)
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
    if status != NONE_DECLARED or (plate.lines and not served):
        return Suited(dish, CANNOT_VOUCH if status == UNCONFIRMED else DOES_NOT, (), paths)
    return Suited(dish, SUITS_IF if changes else SUITS, tuple(changes[at] for at in sorted(changes)))


def _served(plate: Plate, changes: dict[int, Change]) -> list[Batch]:
    found: list[Batch] = []
    for at, line in enumerate(plate.lines):
        batch = changes[at].batch if at in changes else line.batch
        if batch is not None:
            found.append(batch)
    return found


def _changes(finders: list[Finder], line: PlateLine) -> list[Change]:
    """Return the changes that clear a line, leaving off first; a swap that brings another thing the guest avoids is none."""
    found = [Change(line)] if line.line.optional else []
    found.extend(
        Change(line, one, swap_brings(finders[0].declarer, line.batch, one.batch))
        for one in line.swaps
        if _line_status(finders, one.batch)[0] == NONE_DECLARED
    )
    return found


def _plate_status(finders: list[Finder], batches: list[Batch]) -> tuple[str, tuple[Path, ...]]:
    worst = NONE_DECLARED
    ways: tuple[Path, ...] = ()
    for finder in finders:
        found = finder.found(batches)
        if RANK[found.status] > RANK[worst]:
            worst = found.status
            ways = found.unconfirmed if found.status == UNCONFIRMED else found.because
    return worst, ways


def _line_status(finders: list[Finder], batch: Batch) -> tuple[str, tuple[Path, ...]]:
    """Return the worst status of one line; sulphites that have a figure are left to the whole plate."""
    worst: tuple[str, tuple[Path, ...]] = (NONE_DECLARED, ())
    for finder in finders:
        status, ways = _status(finder, batch)
        if RANK[status] > RANK[worst[0]]:
            worst = (status, ways)
    return worst


def _status(finder: Finder, batch: Batch) -> tuple[str, tuple[Path, ...]]:
    groups = _sulphite_groups(finder)
    if not groups:
        found = finder.found([batch])
        return found.status, found.unconfirmed if found.status == UNCONFIRMED else found.because
    reader, entries = finder.declarer.groups, finder.declarer.workings.larder.entries
    seen = [(place, path, False) for place, path in batch.present.items()]
    seen.extend((one.ingredient, one.path, True) for one in batch.contacts)
    worst: tuple[str, tuple[Path, ...]] = (NONE_DECLARED, ())
    for place, path, touched in seen:
        if entries[place].sulphites_mg_per_kg is not None:
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
    law = finder.declarer.law
    return tuple(group.name for group in law.groups if "sulphite" in group.kinds and group.name in finder.asked.groups)


def _lower_sulphites(finders: list[Finder], plate: Plate, changes: dict[int, Change]) -> None:
    """Add the fewest changes that bring the plate to the limit, where sulphites are asked about."""
    asking = [finder for finder in finders if _sulphite_groups(finder)]
    if not asking:
        return
    limit = asking[0].declarer.law.sulphite_limit

    def above(batch: Batch | None) -> float:
        if batch is None:
            return 0.0
        return float(batch.rows[:, c.SO2_MG].sum()) - limit.value * batch.weight_g / 1000.0

    for at, change in list(changes.items()):
        options = _changes(finders, change.line)
        changes[at] = min(options, key=lambda one: above(one.batch))
    gains: list[tuple[float, int, Change]] = []
    for at, line in enumerate(plate.lines):
        if at in changes:
            continue
        options = _changes(finders, line)
        if options:
            best = min(options, key=lambda one: above(one.batch))
            gains.append((above(line.batch) - above(best.batch), at, best))
    for gain, at, change in sorted(gains, key=lambda one: (-one[0], one[1])):
        if gain <= 0.0 or not _over(_served(plate, changes), limit.value, limit_counts=limit.limit_counts):
            return
        changes[at] = change


def _over(batches: list[Batch], limit: float, *, limit_counts: bool) -> bool:
    weight = sum(batch.weight_g for batch in batches)
    total = sum(float(batch.rows[:, c.SO2_MG].sum()) for batch in batches)
    return weight > 0.0 and over_limit(total / weight * 1000.0, limit, limit_counts=limit_counts)
