"""The story of the alcohol: which drink went in, what each step did to it, and how it reaches the plate."""

from dataclasses import replace

from labeller.declarations.alcohol_courses import steeping_of
from labeller.declarations.alcohol_facts import AlcoholFacts
from labeller.declarations.declaring import Declaration
from labeller.declarations.explaining_weight import made_of_given
from labeller.declarations.ingredient_grounds import paper_words, path_words, strength_grounds, written_at
from labeller.declarations.reasons import Reason, grams, spread
from labeller.kitchen import constituents as c
from labeller.kitchen.batch import Batch
from labeller.kitchen.making import Made, Taken
from labeller.kitchen.pan import Event
from labeller.kitchen.working_out import Workings

_TRACE_G = 5e-4


def alcohol_story(workings: Workings, declaration: Declaration, facts: AlcoholFacts) -> Reason:
    """Tell the story of the alcohol in one portion of a dish, or in a batch of one thing that is given.

    Parameters
    ----------
    declaration : Declaration
        What is asked about.
    facts : AlcoholFacts
        Its alcohol in units and by the law's thresholds, for the closing lines.
    """
    parts: list[Reason] = []
    seen: set[str] = set()
    if declaration.kind == "dish" and declaration.plate is not None:
        for line in declaration.plate.lines:
            ethanol = _range_of(line.batch)
            if ethanol[2] < _TRACE_G and not _bears(workings, line.batch):
                continue
            target = line.line.target
            below: tuple[Reason, ...] = ()
            if target is not None and target.kind == "given":
                below = (_given_story(workings, target.given, seen),)
            elif target is not None:
                below = (_drink(workings, workings.larder.ids[target.entry]),)
            optional = ", which can be left off" if line.line.optional else ""
            parts.append(
                Reason(
                    f"On the plate: '{line.line.text}' ({grams(line.batch.weight_g)}{optional}) brings {spread(*ethanol)} of alcohol.",
                    _figures(ethanol),
                    (str(line.line.origin),),
                    parts=below,
                )
            )
    else:
        parts.append(_given_story(workings, declaration.name, seen))
    return _headed(declaration, facts, parts)


def alcohol_of_preparation(workings: Workings, made: Made) -> Reason:
    """Tell the story of the alcohol in a whole preparation, with every part it gives and every sink."""
    return _made_story(workings, made, set())


def _headed(declaration: Declaration, facts: AlcoholFacts, parts: list[Reason]) -> Reason:
    alcohol = declaration.alcohol
    where = "one portion of " if declaration.kind == "dish" else "the whole batch of "
    if alcohol.status == "contains":
        head = f"Alcohol: {where}{declaration.name} contains {spread(*facts.ethanol_g)} of ethanol."
    elif alcohol.status == "unconfirmed":
        head = f"Alcohol: for {where}{declaration.name} it is not known."
        parts = []
    else:
        head = f"Alcohol: no alcoholic ingredient is in {where}{declaration.name}, going by its recipe and papers."
        parts = []
    for path, word in alcohol.traces:
        parts.append(
            Reason(f"A trace may come with {path_words(path)} ({word}); it is named and not counted in the grams.")
        )
    for path in alcohol.unconfirmed:
        mend = mend_words(declaration, path)
        parts.append(Reason(f"Not known: {path_words(path)} has no row and no whole statement.{mend}"))
    if alcohol.status == "contains":
        parts.append(_in_units(facts, declaration))
        parts.append(_against_the_law(facts, declaration))
    return Reason(head, _figures(facts.ethanol_g), parts=tuple(parts))


def mend_words(declaration: Declaration, path: tuple[str, ...]) -> str:
    """Return how to settle an ingredient that leaves something open, as a closing sentence; empty where nothing is known."""
    found = next((one.mend for one in declaration.unconfirmed if one.ingredient == path[-1]), "")
    return f" To settle it: {found}." if found else " To settle it: add the supplier's statement."


def _in_units(facts: AlcoholFacts, declaration: Declaration) -> Reason:
    low, estimate, high = facts.ethanol_ml
    parts = tuple(
        Reason(
            f"{one.counts[1]:.2g} ({one.counts[0]:.2g} to {one.counts[2]:.2g}) x {one.name} of {one.grams:g} g ethanol ({one.jurisdiction})",
            dict(zip(("low", "estimate", "high"), one.counts, strict=True)),
            clauses=(one.clause,),
        )
        for one in facts.units
    )
    words = "In the portion" if declaration.kind == "dish" else "In the batch"
    return Reason(
        f"{words}: {estimate:.3g} ml of pure alcohol ({low:.3g} to {high:.3g} ml).",
        {"low_ml": low, "estimate_ml": estimate, "high_ml": high},
        parts=parts,
    )


def _against_the_law(facts: AlcoholFacts, declaration: Declaration) -> Reason:
    if facts.strength_percent_vol is not None:
        low, estimate, high = facts.strength_percent_vol
        head = f"Strength: {estimate:.3g} % vol ({low:.3g} to {high:.3g}) at 20 C. The thresholds the law names:"
    else:
        low, estimate, high = facts.by_volume_percent
        head = (
            f"Not all of it pours, so it has no strength of its own; worked out on the volume of the whole it would be "
            f"{estimate:.3g} % vol ({low:.3g} to {high:.3g}). The thresholds the law names:"
        )
    here = [one for one in facts.thresholds if one.jurisdiction == declaration.law.code]
    others = [one for one in facts.thresholds if one.jurisdiction != declaration.law.code]
    parts = [Reason(f"{one.as_text()} ({one.words})", clauses=(one.clause,)) for one in here]
    if others:
        parts.append(
            Reason(
                "Elsewhere:",
                parts=tuple(
                    Reason(f"{one.jurisdiction}, {one.as_text()} ({one.words})", clauses=(one.clause,))
                    for one in others
                ),
            )
        )
    return Reason(head, {"low_percent": low, "estimate_percent": estimate, "high_percent": high}, parts=tuple(parts))


def _given_story(workings: Workings, given: str, seen: set[str]) -> Reason:
    made = made_of_given(workings, given)
    if made is None:
        return Reason(f"{given} could not be worked out.")
    batch = made.given[given]
    if made.preparation.name in seen:
        return Reason(f"{given}: told above.", _figures(_range_of(batch)))
    story = _made_story(workings, made, seen)
    words = f"{given} is a batch of {grams(batch.weight_g)} with {spread(*_range_of(batch))} of alcohol"
    if given != made.preparation.name:
        words += f", one part of {made.preparation.name}"
    return Reason(f"{words}.", _figures(_range_of(batch)), story.grounds, parts=story.parts)


def _made_story(workings: Workings, made: Made, seen: set[str]) -> Reason:
    seen.add(made.preparation.name)
    parts = [
        told for one in made.taken if one.batch is not None and (told := _went_in(workings, one, seen)) is not None
    ]
    for number, event in enumerate(made.story, 1):
        told = _step(event, number)
        if told is not None:
            first_steep = event.kind == "macerate" and not any(
                "macerate" in one.kind for one in made.story[: number - 1]
            )
            parts.append(replace(told, parts=_over_the_days(workings, made)) if first_steep else told)
    out: list[Reason] = []
    if len(made.given) > 1 or made.sinks:
        for name, batch in made.given.items():
            out.append(Reason(f"in {name}: {spread(*_range_of(batch))}", _figures(_range_of(batch))))
        for sink, gone in made.sinks.items():
            if gone[c.ETHANOL] >= _TRACE_G:
                ethanol = c.ethanol_range_g(gone[None, :])
                # What steam carries is known for the estimate; its range is what the range on the plate leaves.
                out.append(Reason(f"{_gone_words(sink)}: {grams(ethanol[1])}", {"ethanol_g": ethanol[1]}))
    if out:
        parts.append(Reason("So the alcohol went:", parts=tuple(out)))
    total = sum(_range_of(one.batch)[1] for one in made.taken if one.batch is not None and not one.line.removed)
    return Reason(
        f"{made.preparation.name}: {grams(total)} of alcohol went in.",
        {"ethanol_in_g": total},
        (f"'{made.preparation.name}', {made.preparation.origin}",),
        parts=tuple(parts),
    )


def _over_the_days(workings: Workings, made: Made) -> tuple[Reason, ...]:
    """Say how strong liquor and solids are on the way and when they are parted, before anything is weighed."""
    course = steeping_of(workings, made.preparation.name, points=3)
    if course is None:
        return ()
    solids = " and ".join(course.solids)
    words = f"Before {solids} go in, the liquid has {course.poured_percent_vol:.1f} % vol"
    for name, series in (("the liquor", course.liquor), (f"the liquid in {solids}", course.fruit)):
        low, estimate, high = (float(one) for one in series[-1])
        words += f"; after {course.ready_days:g} days {name} has {estimate:.1f} % vol ({low:.1f} to {high:.1f})"
    return (Reason(words + "."),)


def _gone_words(sink: str) -> str:
    return {
        "steam": "off with the steam",
        "flame": "burned off in the flame",
        "not kept": "with the part not kept",
    }.get(sink, sink if sink.startswith("left") else f"with what went to '{sink}'")


def _went_in(workings: Workings, one: Taken, seen: set[str]) -> Reason | None:
    batch = one.batch
    if batch is None:
        return None
    ethanol = _range_of(batch)
    if ethanol[2] < _TRACE_G and not _bears(workings, batch):
        return None
    target = one.line.target
    removed = (
        f"; it was taken out again, and at most {grams(ethanol[2])} of its alcohol may have stayed"
        if one.line.removed
        else ""
    )
    words = f"'{one.line.text}' went in: {grams(one.grams)} with {spread(*ethanol)} of alcohol{removed}."
    below: tuple[Reason, ...] = ()
    if target is not None and target.kind == "given":
        below = (_given_story(workings, target.given, seen),)
    elif target is not None:
        below = (_drink(workings, workings.larder.ids[target.entry]),)
    return Reason(words, _figures(ethanol), (str(one.line.origin),), parts=below)


def _drink(workings: Workings, place: int) -> Reason:
    entry, larder = workings.larder.entries[place], workings.larder
    per_100_g = float(larder.per_gram[place, c.ETHANOL]) * 100.0
    strength = f" is {entry.strength_percent_vol:g} % vol:" if entry.strength_percent_vol is not None else ":"
    grounds = [*strength_grounds(workings, place)]
    if written_at(workings, place) not in grounds:
        grounds.append(written_at(workings, place))
    paper = paper_words(workings, place)
    return Reason(
        f"{entry.name}{strength} {per_100_g:.3g} g of ethanol in 100 g.",
        {"ethanol_g_per_100_g": per_100_g},
        (*grounds, *((paper,) if paper else ())),
    )


def _step(event: Event, number: int) -> Reason | None:
    before, after = event.ethanol_before, event.ethanol_after
    if max(before[2], after[2]) < _TRACE_G:
        return None
    moved = (
        abs(before[1] - after[1]) > _TRACE_G
        or abs(before[0] - after[0]) > _TRACE_G
        or abs(before[2] - after[2]) > _TRACE_G
    )
    if not moved and abs(event.before_g - event.after_g) < 1e-9 and event.kind not in ("macerate", "strain", "text"):
        return None
    words = f"Step {number}, {event.text}"
    if event.kind != "text":
        weight = (
            f"weight {grams(event.before_g)} to {grams(event.after_g)}"
            if abs(event.before_g - event.after_g) > 1e-9
            else f"weight stays {grams(event.before_g)}"
        )
        ethanol = (
            f"alcohol {spread(*before)} to {spread(*after)}"
            if moved
            else f"all the alcohol is still there, {spread(*after)}"
        )
        words += f": {weight}; {ethanol}."
        if event.sentence:
            words += f" What decides it: {event.sentence}."
    return Reason(
        words,
        {
            "before_g": event.before_g,
            "after_g": event.after_g,
            **{
                f"ethanol_before_{name}_g": value
                for name, value in zip(("low", "estimate", "high"), before, strict=True)
            },
            **{
                f"ethanol_after_{name}_g": value
                for name, value in zip(("low", "estimate", "high"), after, strict=True)
            },
        },
        (str(event.origin),),
    )


def _range_of(batch: Batch) -> tuple[float, float, float]:
    return c.ethanol_range_g(batch.rows) if len(batch.rows) else (0.0, 0.0, 0.0)


def _bears(workings: Workings, batch: Batch) -> bool:
    return any(workings.evidence[place].alcohol == "contains" for place in batch.present)


def _figures(ethanol: tuple[float, float, float]) -> dict[str, float]:
    return dict(zip(("ethanol_low_g", "ethanol_g", "ethanol_high_g"), ethanol, strict=True))
