"""What the pictures of the alcohol show: strength over the days of a steeping, and where the ethanol went."""

from dataclasses import dataclass, replace

import numpy as np

from labeller.book.entries import Given, Preparation, Step
from labeller.declarations.explaining_weight import made_of_given, sink_words
from labeller.foundations.ethanol_water import strength_percent_vol
from labeller.kitchen import constituents as c
from labeller.kitchen.batch import Batch
from labeller.kitchen.making import Made, Maker
from labeller.kitchen.working_out import WATER_TAKEN_UP, Workings

_POINTS = 60
_MINUTES_A_DAY = 1440.0
_DEEPEST = 3
_TRACE_G = 5e-4


@dataclass(frozen=True, slots=True)
class Steeping:
    """Strength of the liquor and of the liquid in the fruit over the days of a maceration.

    Attributes
    ----------
    days : (n,)
        Days since the solids went in. [d]
    liquor, fruit : (n, 3)
        Low, estimate and high of the strength at 20 C. [% vol]
    poured_percent_vol : float
        Strength of the liquid before the solids went in, with what dissolves in it. [% vol]
    ready_days : float
        Days the book lets it steep. [d]
    """

    preparation: str
    solids: tuple[str, ...]
    liquids: tuple[str, ...]
    words: str
    days: np.ndarray
    liquor: np.ndarray
    fruit: np.ndarray
    poured_percent_vol: float
    ready_days: float


@dataclass(frozen=True, slots=True)
class Stream:
    """Ethanol on its way: where it is, how much, and what became of it.

    ``ends`` is true where it leaves the kitchen (steam, a jar rinsed, thrown away) or is not followed further.
    """

    label: str
    ethanol_g: float
    kind: str
    onward: "tuple[Stream, ...]" = ()


def preparation_to_draw(workings: Workings, thing: str, name: str) -> str | None:
    """Return the preparation whose alcohol is worth drawing for a dish, a given thing or a preparation; None where there is none.

    The nearest one with a maceration in alcohol is taken, else the nearest that alcohol went into.
    """
    if thing == "preparation":
        starts = [name]
    elif thing == "dish":
        lines = workings.plates[name].lines
        starts = []
        for line in sorted(lines, key=lambda one: -c.ethanol_g(one.batch.rows)):
            target = line.line.target
            made = made_of_given(workings, target.given) if target is not None and target.kind == "given" else None
            if made is not None:
                starts.append(made.preparation.name)
    else:
        made = made_of_given(workings, name)
        starts = [made.preparation.name] if made is not None else []
    order: dict[str, None] = {}
    waiting = list(starts)
    while waiting:
        one = waiting.pop(0)
        if one in order or one not in workings.made or ethanol_put_in_g(workings.made[one]) < _TRACE_G:
            continue
        order[one] = None
        waiting.extend(_below(workings, workings.made[one]))
    steeped = next((one for one in order if steep_step(workings.made[one].preparation) is not None), None)
    return steeped if steeped is not None else next(iter(order), None)


def ethanol_put_in_g(made: Made) -> float:
    """Return the ethanol that went into a preparation, lines taken out again left aside. [g]"""
    return sum(c.ethanol_g(one.batch.rows) for one in made.taken if one.batch is not None and not one.line.removed)


def steep_step(preparation: Preparation) -> int | None:
    """Return the place of the first maceration with a time in a method; None where there is none."""
    return next(
        (place for place, step in enumerate(preparation.method) if step.kind == "macerate" and step.minutes), None
    )


def steeping_of(workings: Workings, name: str, *, points: int = _POINTS, beyond: float = 1.0) -> Steeping | None:
    """Work out the strengths over the days of the first maceration of a preparation; None where nothing alcoholic steeps.

    Parameters
    ----------
    points : int
        How many days to look at beside the first, closer together at the start.
    beyond : float
        Where the last of them lies, as a multiple of the time the book gives. [1]

    Notes
    -----
    The same steps run again with other times: the method up to the maceration, then the strain. What the scale said of the parts
    (``weighs``) is left out, since it was said of the last day only.
    """
    made = workings.made[name]
    preparation = made.preparation
    place = steep_step(preparation)
    if place is None:
        return None
    step = preparation.method[place]
    whole_minutes = step.minutes or 0.0
    days = np.concatenate([[0.0], np.geomspace(0.003, 1.0, points)]) * whole_minutes / _MINUTES_A_DAY * beyond
    liquor, fruit = np.zeros((len(days), 3)), np.zeros((len(days), 3))
    for at, day in enumerate(days.tolist()):
        parts = _steeped_for(workings, preparation, place, max(day * _MINUTES_A_DAY, 1e-6))
        if parts is None:
            return None
        liquor[at], fruit[at] = _strengths(parts[0], whole=True), _strengths(parts[1], whole=False)
    wanted = {taken.line.name for taken in made.taken if taken.line.name in step.solids}
    liquids = [
        taken
        for taken in made.taken
        if taken.batch is not None and not taken.line.removed and taken.line.name not in wanted
    ]
    rows = np.sum([taken.batch.rows.sum(axis=0) for taken in liquids if taken.batch is not None], axis=0)
    poured = strength_percent_vol(
        float(rows[c.ETHANOL]), float(rows[c.WATER]), float(rows[list(c.DISSOLVED_MASS)].sum())
    )
    if float(liquor[:, 2].max()) <= 0.0:
        return None
    names = tuple(taken.line.name for taken in liquids if taken.batch is not None and taken.grams > 0.0)
    return Steeping(
        name,
        step.solids,
        names,
        step.as_ or "neither cut nor whole by the book",
        days,
        liquor,
        fruit,
        poured,
        whole_minutes / _MINUTES_A_DAY,
    )


def streams_of(workings: Workings, name: str) -> Stream:
    """Follow the ethanol of a preparation into its parts and sinks, and on into what the book makes of the parts.

    Notes
    -----
    Each preparation that takes a part is made once, as written; where together they take more than there is, each gets its share.
    Within such a preparation the ethanol of every source is taken to leave alike.
    """
    made = workings.made[name]
    total = ethanol_put_in_g(made)
    return Stream(name, total, "put in", _outcome(workings, made, total, 1))


def _outcome(workings: Workings, made: Made, ethanol_g: float, depth: int) -> tuple[Stream, ...]:
    total = ethanol_put_in_g(made)
    share = ethanol_g / total if total > 0.0 else 0.0
    found: list[Stream] = []
    for given, batch in made.given.items():
        here = c.ethanol_g(batch.rows) * share
        if here >= _TRACE_G:
            found.append(Stream(given, here, "part", _users(workings, given, here, depth) if depth < _DEEPEST else ()))
    for sink, gone in made.sinks.items():
        here = float(gone[c.ETHANOL]) * share
        if here >= _TRACE_G:
            found.append(Stream(sink_words(sink), here, "steam" if sink in ("steam", "flame") else "left"))
    return tuple(found)


def _users(workings: Workings, given: str, here_g: float, depth: int) -> tuple[Stream, ...]:
    takers: list[tuple[Made, float]] = []
    for other in workings.made.values():
        taken = sum(
            c.ethanol_g(one.batch.rows)
            for one in other.taken
            if one.batch is not None
            and not one.line.removed
            and one.line.target is not None
            and one.line.target.kind == "given"
            and one.line.target.given == given
        )
        if taken >= _TRACE_G:
            takers.append((other, taken))
    asked = sum(taken for _, taken in takers)
    if asked <= 0.0:
        return ()
    whole = made_of_given(workings, given)
    batch_g = c.ethanol_g(whole.given[given].rows) if whole is not None else here_g
    # Shares of the batch as made; more than the batch is shared out.
    scale = here_g / max(batch_g, asked)
    found: list[Stream] = []
    for other, taken in takers:
        found.extend(
            replace(one, label=f"{one.label}, making {other.preparation.name}" if one.kind != "part" else one.label)
            for one in _outcome(workings, other, taken * scale, depth + 1)
        )
    rest = here_g - asked * scale
    if rest >= _TRACE_G:
        found.append(Stream(f"the rest of {given}: plates and larder", rest, "part"))
    return tuple(found)


def _below(workings: Workings, made: Made) -> list[str]:
    found = []
    for one in sorted(
        made.taken, key=lambda taken: -c.ethanol_g(taken.batch.rows) if taken.batch is not None else 0.0
    ):
        target = one.line.target
        if target is not None and target.kind == "given" and target.entry in workings.made:
            found.append(target.entry)
    return found


def _steeped_for(
    workings: Workings, preparation: Preparation, place: int, minutes: float
) -> tuple[Batch, Batch] | None:
    steps = (*preparation.method[:place], replace(preparation.method[place], minutes=minutes))
    later = next((step for step in preparation.method[place:] if step.kind == "strain"), None)
    strain = Step("strain", preparation.origin, "strain", holds=later.holds if later is not None else None)
    gives = (Given("liquor", preparation.origin, "liquor"), Given("solids", preparation.origin, "solids"))
    short = replace(preparation, method=(*steps, strain), gives=gives, gives_weight=None)
    maker = Maker(workings.scale, lambda _: None, lambda _: None, workings.larder.ids[WATER_TAKEN_UP])
    made = maker.make(short)
    return (made.given["liquor"], made.given["solids"]) if made is not None else None


def _strengths(batch: Batch, *, whole: bool) -> tuple[float, float, float]:
    """Return low, estimate and high of the strength of all of a batch, or of the liquid in it alone. [% vol]"""
    sums = batch.rows.sum(axis=0)
    water = float(sums[c.WATER])
    solids = float(sums[list(c.DISSOLVED_MASS)].sum()) + (float(sums[list(c.STANDING_MASS)].sum()) if whole else 0.0)
    low, estimate, high = (strength_percent_vol(one, water, solids) for one in c.ethanol_range_g(batch.rows))
    return low, estimate, high
