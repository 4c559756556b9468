"""Where every gram went: what was put in, taken up, lost to each sink, and given."""

from labeller.declarations.declaring import Declaration
from labeller.declarations.reasons import Reason, grams
from labeller.kitchen import constituents as c
from labeller.kitchen.making import Made, Taken
from labeller.kitchen.working_out import Workings

_DEEPEST = 6


def made_of_given(workings: Workings, given: str) -> Made | None:
    """Return the preparation behind one thing that is given, as it was made."""
    return next((made for made in workings.made.values() if given in made.given), None)


def given_under(taken: Taken) -> str:
    """Return the name of the given thing a line takes; empty for an ingredient."""
    target = taken.line.target
    return target.given if target is not None and target.kind == "given" else ""


def weight_of_dish(workings: Workings, declaration: Declaration) -> Reason:
    """Explain the weight of a portion: its lines, and below each the preparation it was taken from.

    Parameters
    ----------
    declaration : Declaration
        Of a dish.
    """
    plate = declaration.plate
    lines = plate.lines if plate is not None else ()
    serves = plate.dish.serves if plate is not None else 1.0
    parts: list[Reason] = []
    seen: set[str] = set()
    for line in lines:
        weight = line.batch.weight_g
        shared = "" if serves == 1.0 else f", the plate divided by {serves:g}"
        target = line.line.target
        below: tuple[Reason, ...] = ()
        if target is not None and target.kind == "given":
            below = _made_below(workings, target.given, seen, 1)
        optional = " (can be left off)" if line.line.optional else ""
        parts.append(
            Reason(
                f"'{line.line.text}'{shared}: {grams(weight)}{optional}",
                {"weight_g": weight},
                (str(line.line.origin),),
                parts=below,
            )
        )
    total = sum(part.figures["weight_g"] for part in parts)
    shown = " + ".join(f"{part.figures['weight_g']:.1f} g" for part in parts) or "nothing"
    return Reason(
        f"One portion of {declaration.name} weighs {declaration.weight_g:.1f} g: {shown} = {total:.1f} g.",
        {"weight_g": declaration.weight_g, "sum_of_lines_g": total},
        parts=tuple(parts),
    )


def weight_of_preparation(workings: Workings, made: Made) -> Reason:
    """Explain where every gram of a preparation went; nested preparations stand below, once each."""
    return _account(workings, made, {made.preparation.name}, 0)


def _made_below(workings: Workings, given: str, seen: set[str], depth: int) -> tuple[Reason, ...]:
    made = made_of_given(workings, given)
    if made is None or depth > _DEEPEST:
        return ()
    name = made.preparation.name
    if name in seen:
        return (Reason(f"{name}: told above."),)
    seen.add(name)
    return (_account(workings, made, seen, depth),)


def _account(workings: Workings, made: Made, seen: set[str], depth: int) -> Reason:
    put_in: list[Reason] = []
    for one in made.taken:
        removed = one.line.removed
        rough = _rough_words(one)
        below = _made_below(workings, given_under(one), seen, depth + 1) if given_under(one) else ()
        words = f"'{one.line.text}': {grams(one.grams)}"
        if removed:
            words += ", taken out again, so its weight is not counted"
        put_in.append(
            Reason(
                words + rough,
                {"weight_g": 0.0 if removed else one.grams, "put_in_g": one.grams},
                (str(one.line.origin),),
                parts=below,
            )
        )
    into = [Reason("Put in:", {"weight_g": made.put_in_g}, parts=tuple(put_in))]
    if made.taken_up_g > 0.0:
        into.append(Reason(f"Water taken up: {grams(made.taken_up_g)}", {"weight_g": made.taken_up_g}))
    out = [
        Reason(f"gives {name}: {grams(batch.weight_g)}", {"weight_g": batch.weight_g})
        for name, batch in made.given.items()
    ]
    for sink in _sinks_by_weight(made):
        gone = made.sinks[sink]
        weight = float(gone[c.MASS].sum())
        out.append(Reason(f"{sink_words(sink)}: {grams(weight)}{_of_what(gone)}", {"weight_g": weight}))
    steps = tuple(
        Reason(
            f"{event.text}: {grams(event.before_g)} before, {grams(event.after_g)} after"
            + (f" ({event.sentence})" if event.sentence else ""),
            {"before_g": event.before_g, "after_g": event.after_g},
            (str(event.origin),),
        )
        for event in made.story
        if abs(event.after_g - event.before_g) > 1e-9
    )
    in_g = made.put_in_g + made.taken_up_g
    out_g = sum(one.figures["weight_g"] for one in out)
    left = f"{made.put_in_g:.1f} g put in"
    if made.taken_up_g > 0.0:
        left += f" + {made.taken_up_g:.1f} g of water taken up"
    names = [*made.given, *_sinks_by_weight(made)]
    right = " + ".join(f"{one.figures['weight_g']:.1f} g {name}" for one, name in zip(out, names, strict=True))
    return Reason(
        f"{made.preparation.name}: {left} = {right}.",
        {"in_g": in_g, "out_g": out_g},
        (str(made.preparation.origin),),
        parts=(
            *into,
            *((Reason("Steps that changed the weight:", parts=steps),) if steps else ()),
            Reason(f"Came out: {grams(out_g)}", {"weight_g": out_g}, parts=tuple(out)),
        ),
    )


def _sinks_by_weight(made: Made) -> list[str]:
    return sorted(made.sinks, key=lambda sink: (-float(made.sinks[sink][c.MASS].sum()), sink))


def sink_words(sink: str) -> str:
    """Return where grams went in plain words; the names a cook gave to sinks stay as they are."""
    return {"steam": "left as steam", "flame": "burned off in the flame", "not kept": "not kept"}.get(
        sink, sink if sink.startswith("left") else f"went to '{sink}'"
    )


def _of_what(gone: "c.Floats") -> str:
    water, ethanol, fat = (float(gone[column]) for column in (c.WATER, c.ETHANOL, c.FAT))
    words = [
        f"{grams(value)} of it {name}"
        for value, name in ((water, "water"), (ethanol, "alcohol"), (fat, "fat"))
        if value >= 0.005
    ]
    return f" ({', '.join(words)})" if words else ""


def _rough_words(one: Taken) -> str:
    if one.batch is None:
        return ""
    rough = next((rough for rough in one.batch.rough if rough.text == one.line.text), None)
    if rough is None:
        return ""
    return f", a rough amount: {grams(rough.low_g)} to {grams(rough.high_g)}; weigh it once"
