"""What is said of one allergen group or of alcohol, before and after: the steps between two states, in words."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from labeller.declarations.allergen_rows import CONTAINS, MAY_CONTAIN, NONE_DECLARED, UNCONFIRMED
from labeller.declarations.words import STATUS_ON_PAPER, listed

NOT_REGULATED = "not regulated"  # a group that the law of one side does not know
ALCOHOL = "alcohol"
LEAST_ETHANOL_G = 0.05  # half of the last decimal that is printed: less than this is rounding
_HOLDS = {NOT_REGULATED: 0, NONE_DECLARED: 0, UNCONFIRMED: 1, MAY_CONTAIN: 2, CONTAINS: 3}
_WAYS = 3

Json = dict[str, Any]
Way = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class State:
    """What is said of one group or of alcohol.

    ``sources`` are the finest names of the status (for alcohol the ingredients that bring it), ``may_contain`` those that may be in it
    beside what it contains, ``unconfirmed`` the ingredients that leave it open, ``traces`` ferments that are named and not summed;
    ``ethanol_g`` is low, estimate and high, for alcohol only, and None where nobody knows how much: in a portion, or where ``in_100_g`` in
    100 g, because a larger batch of the same is no stronger. [g]
    """

    status: str
    sources: tuple[str, ...] = ()
    may_contain: tuple[str, ...] = ()
    unconfirmed: tuple[str, ...] = ()
    ethanol_g: tuple[float, float, float] | None = None
    traces: tuple[str, ...] = ()
    in_100_g: bool = False

    def as_text(self) -> str:
        """Return it in the words of paper."""
        words = STATUS_ON_PAPER[self.status].lower() if self.status in STATUS_ON_PAPER else self.status
        if self.sources:
            words += f" {', '.join(self.sources)}"
        if self.ethanol_g is not None and self.status == CONTAINS:
            words += f" {_ethanol(self)}"
        if self.may_contain:
            words += f", may contain {', '.join(self.may_contain)}"
        if self.unconfirmed and self.status != UNCONFIRMED:
            words += ", not known beside that"
        return f"{words} ({', '.join(self.unconfirmed)})" if self.unconfirmed else words

    def as_json(self) -> Json:
        """Return it as plain values."""
        found: Json = {
            "status": self.status,
            "sources": list(self.sources),
            "may_contain": list(self.may_contain),
            "unconfirmed": list(self.unconfirmed),
        }
        if self.ethanol_g is not None:
            found["ethanol_g"] = self.ethanol_g[1]
            if self.in_100_g:
                found["in_100_g"] = True
            found["ethanol_range_g"] = {"low": self.ethanol_g[0], "high": self.ethanol_g[2]}
        if self.traces:
            found["traces"] = list(self.traces)
        return found


@dataclass(frozen=True, slots=True)
class Change:
    """One statement that is no longer the same; ``about`` is a group or ``alcohol``.

    ``came_by`` are the ways by which the old state came in, ``comes_by`` those of the new one.
    """

    about: str
    before: State
    after: State
    came_by: tuple[Way, ...] = ()
    comes_by: tuple[Way, ...] = ()

    @property
    def on_paper(self) -> bool:
        """Tell whether what is printed for guests changes; which ingredient leaves a group open is for the kitchen alone."""
        return replace(self.before, unconfirmed=()) != replace(self.after, unconfirmed=()) or bool(
            self.before.unconfirmed
        ) != bool(self.after.unconfirmed)

    @property
    def gained(self) -> tuple[str, ...]:
        """Return the sources it now contains and did not before."""
        held = self.before.sources if self.before.status == CONTAINS else ()
        return tuple(one for one in self.after.sources if one not in held) if self.after.status == CONTAINS else ()

    @property
    def now_contains(self) -> bool:
        """Tell whether something is in it that was not said to be."""
        return self.after.status == CONTAINS and (self.before.status != CONTAINS or bool(self.gained))

    @property
    def no_longer_known(self) -> bool:
        """Tell whether something became open that was vouched for before, or the amount of alcohol is not known any more."""
        lost_amount = (
            self.about == ALCOHOL
            and self.before.status == self.after.status == CONTAINS
            and self.before.ethanol_g is not None
            and self.after.ethanol_g is None
        )
        return lost_amount or (bool(self.after.unconfirmed) and not self.before.unconfirmed)

    @property
    def may_now(self) -> bool:
        """Tell whether something may be in it that was not said to be."""
        after = {*self.after.may_contain, *(self.after.sources if self.after.status == MAY_CONTAIN else ())}
        before = {*self.before.may_contain, *self.before.sources}
        return not after <= before or (
            self.after.status == MAY_CONTAIN and _HOLDS[self.before.status] < _HOLDS[MAY_CONTAIN]
        )

    @property
    def more_alcohol(self) -> bool:
        """Tell whether there is more ethanol than rounding explains, by the estimate or by the high end."""
        low, high = self.before.ethanol_g or (0.0, 0.0, 0.0), self.after.ethanol_g or (0.0, 0.0, 0.0)
        return (
            high[1] > low[1] + LEAST_ETHANOL_G
            or high[2] > low[2] + LEAST_ETHANOL_G
            or not set(self.after.traces) <= set(self.before.traces)
        )

    @property
    def worse(self) -> bool:
        """Tell whether a guest who trusts the old paper may be harmed: a stronger status, a new source, or something newly open."""
        return (
            _HOLDS[self.after.status] > _HOLDS[self.before.status]
            or self.now_contains
            or self.may_now
            or self.no_longer_known
            or self.more_alcohol
        )

    def as_text(self) -> str:
        """Return the step in words: milk: was 'not an ingredient', now 'contains' milk (through custard ice > cream powder)."""
        before, after = self.before, self.after
        said: list[str] = []
        if before.status != after.status:
            step = f"was '{_in_words(before.status)}', now '{_in_words(after.status)}'"
            named = [one for one in after.sources if after.status in (CONTAINS, MAY_CONTAIN)]
            if named:
                step += f" {listed(named)}"
            if self.about == ALCOHOL and after.status == CONTAINS:
                step += f", {_ethanol(after)}"
            ways = self.came_by if after.status in (NONE_DECLARED, NOT_REGULATED) else self.comes_by
            verb = "through"
            if after.status in (NONE_DECLARED, NOT_REGULATED):
                verb = "it was left open by" if before.status == UNCONFIRMED else "it came through"
            said.append(f"{step}{_through(ways, verb)}")
        else:
            new = [one for one in after.sources if one not in before.sources]
            gone = [one for one in before.sources if one not in after.sources]
            if new:
                said.append(f"'{_in_words(after.status)}', now also {listed(new)}{_through(self._ways_of_new())}")
            if gone:
                said.append(f"'{_in_words(after.status)}' as before, but no longer {listed(gone)}")
            if after.ethanol_g != before.ethanol_g and after.status == CONTAINS:
                said.append(f"ethanol was {_ethanol(before)}, now {_ethanol(after)}")
        beside = [one for one in after.may_contain if one not in before.may_contain]
        fallen = [one for one in before.may_contain if one not in (*after.may_contain, *after.sources)]
        if beside:
            said.append(f"may now also contain {listed(beside)}")
        if fallen and after.status != NONE_DECLARED:
            said.append(f"no longer may contain {listed(fallen)}")
        opened = self._opened()
        if opened and not said and after.status != UNCONFIRMED:
            said.append(f"'{_in_words(after.status)}' as before, but")
            opened = [f"{said.pop()} {opened[0]}", *opened[1:]]
        said += opened
        new_traces = [one for one in after.traces if one not in before.traces]
        if new_traces:
            said.append(f"a ferment that may hold a trace: {listed(new_traces)}")
        gone_traces = [one for one in before.traces if one not in after.traces]
        if gone_traces:
            said.append(f"no longer a ferment that may hold a trace: {listed(gone_traces)}")
        return f"{self.about}: {'; '.join(said) or 'as before, in other words'}"

    def _opened(self) -> list[str]:
        before, after = self.before, self.after
        if after.status == UNCONFIRMED and before.status != UNCONFIRMED:
            return []  # said by the step itself
        new = [one for one in after.unconfirmed if one not in before.unconfirmed]
        settled = [one for one in before.unconfirmed if one not in after.unconfirmed]
        said = [f"not known for {listed(new)}"] if new else []
        if settled and (after.unconfirmed or before.status != UNCONFIRMED):
            said.append(f"now settled for {listed(settled)}")
        return said

    def _ways_of_new(self) -> tuple[Way, ...]:
        new = tuple(one for one in self.comes_by if one not in self.came_by)
        return new or self.comes_by


def _in_words(status: str) -> str:
    """Return a status as papers and answers say it."""
    return {UNCONFIRMED: "not known", NONE_DECLARED: "not an ingredient"}.get(status, status)


def _ethanol(state: State) -> str:
    if state.ethanol_g is None:
        return "how much is not known"  # an alcoholic word in a statement, and no strength
    low, estimate, high = state.ethanol_g
    basis = " in 100 g" if state.in_100_g else ""
    if high < LEAST_ETHANOL_G:
        return f"under 0.1 g{basis}"
    spread = f" ({low:.1f} to {high:.1f})" if high > low else ""
    return f"{estimate:.1f} g{spread}{basis}"


def _through(ways: Iterable[Way], verb: str = "through") -> str:
    shown = [" > ".join(way) for way in ways if way]
    if not shown:
        return ""
    more = f" and {len(shown) - _WAYS} more" if len(shown) > _WAYS else ""
    return f" ({verb} {', '.join(shown[:_WAYS])}{more})"


def allergen_changes(before: Json, after: Json) -> tuple[Change, ...]:
    """Return every group, and alcohol, of which not the same is said, in the order of the law.

    Parameters
    ----------
    before, after : dict
        Two declarations as the contract's JSON.

    Notes
    -----
    A group that only one of the two laws regulates steps from or to ``not regulated``.
    """
    old_rows = {row["group"]: row for row in before["allergens"]}
    new_rows = {row["group"]: row for row in after["allergens"]}
    found: list[Change] = []
    for group in (*new_rows, *(one for one in old_rows if one not in new_rows)):
        old, new = old_rows.get(group), new_rows.get(group)
        first, second = state_of_row(old), state_of_row(new)
        if first != second and {first.status, second.status} != {NOT_REGULATED, NONE_DECLARED}:
            found.append(Change(group, first, second, _ways(old, first), _ways(new, second)))
    first, second = (state_of_alcohol(one["alcohol"], one.get("batch_g")) for one in (before, after))
    if first != second:
        came = _alcohol_ways(before["alcohol"])
        found.append(Change(ALCOHOL, first, second, came, _alcohol_ways(after["alcohol"])))
    return tuple(found)


def state_of_row(row: Json | None) -> State:
    """Return the state of a row of allergens; of none, that the law does not regulate it."""
    if row is None:
        return State(NOT_REGULATED)
    beside = {source for one in row.get("may_contain", ()) for source in one["sources"]} - set(row["sources"])
    open_ = {path[-1] for path in row["unconfirmed"] if path}
    return State(row["status"], tuple(row["sources"]), tuple(sorted(beside)), tuple(sorted(open_)))


def state_of_alcohol(alcohol: Json, batch_g: float | None = None) -> State:
    """Return the state of alcohol, to one decimal as it is printed: grams in a portion, or in 100 g of a batch whose weight is given."""
    share = 100.0 / batch_g if batch_g else 1.0
    drinks = sorted({one["path"][-1] for one in alcohol["because"] if one["path"]})
    grams = alcohol["ethanol_g"]
    known = alcohol["status"] == CONTAINS and grams["high"] > 0.0
    return State(
        alcohol["status"],
        tuple(drinks),
        (),
        tuple(sorted({path[-1] for path in alcohol["unconfirmed"] if path})),
        (round(grams["low"] * share, 1), round(grams["estimate"] * share, 1), round(grams["high"] * share, 1))
        if known
        else None,
        tuple(sorted({one["path"][-1] for one in alcohol.get("traces", ()) if one["path"]})),
        in_100_g=bool(batch_g),
    )


def _ways(row: Json | None, state: State) -> tuple[Way, ...]:
    if row is None:
        return ()
    if state.status == MAY_CONTAIN:
        return tuple(tuple(path) for path in row["because"])
    if state.status == UNCONFIRMED:
        return tuple(tuple(path) for path in row["unconfirmed"])
    return tuple(tuple(path) for path in row["because"])


def _alcohol_ways(alcohol: Json) -> tuple[Way, ...]:
    ways = [one["path"] for one in alcohol["because"]] or alcohol["unconfirmed"]
    return tuple(tuple(path) for path in ways)
