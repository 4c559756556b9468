"""The steps of a method: one function each, one table that names them.

Every step changes the pan it is given; what leaves goes to a named sink. No step takes an allergen away.
"""

from collections.abc import Callable

import numpy as np

from labeller.book.entries import Loss, Step
from labeller.foundations.names import name_key
from labeller.foundations.plain import dataclass
from labeller.foundations.quantities import Quantity
from labeller.kitchen import constituents as c
from labeller.kitchen.heating import heat_parts, stand_overnight
from labeller.kitchen.macerating import FILM_INCLUDED, Approach, approach_after, drained_ratio, steep
from labeller.kitchen.pan import Event, Pan, Part, StepRefusedError, total_range, total_weight_g

OVERNIGHT_FROM_MINUTES = 480.0


@dataclass(slots=True)
class Work:
    """What a step may need beside the pan: how lines become parts, and what the method still holds.

    ``later`` are the steps that follow, so that a macerate knows how well the strain behind it drains; ``override_g`` is the
    loss that a weight on the scale leaves to the one heat step without its own.
    """

    take: Callable[[Step], list[Part]]
    take_oil: Callable[[Step, float], Part]
    later: tuple[Step, ...] = ()
    override_g: float | None = None
    open_heat_step: Step | None = None


StepFunction = Callable[[Pan, Step, Work], str]


def lost_grams(loss: Loss | None, weight_g: float) -> Quantity | None:
    """Return the grams a loss takes from a weight, with its range.

    Raises
    ------
    StepRefusedError
        Where more would leave, or stay, than there is.
    """
    if loss is None:
        return None
    quantity = loss.quantity
    if loss.kind == "share":
        return quantity.times(weight_g)
    if loss.kind == "loses_g":
        if quantity.estimate > weight_g * (1.0 + 1e-9):
            raise StepRefusedError(
                f"'{loss.text}' would leave, and there are {weight_g:.1f} g.", "Look at the weights again.", "loses"
            )
        return quantity
    if quantity.estimate > weight_g * (1.0 + 1e-9):
        raise StepRefusedError(
            f"'{loss.text}' would stay, and there are only {weight_g:.1f} g.",
            "Look at the weights again; water that is taken up goes into 'gives', or is added.",
            "leaves",
        )
    low, high = max(0.0, weight_g - quantity.high), max(0.0, weight_g - quantity.low)
    return Quantity(low, max(0.0, weight_g - quantity.estimate), high, quantity.rough)


def _written_as(loss: Loss | None) -> str:
    return "leaves" if loss is not None and loss.kind == "leaves_g" else "loses"


def lose_share(pan: Pan, step: Step, _work: Work) -> str:
    """Trim, sieve, pour off, leave behind: a share leaves for the sink of that name, in the composition there is."""
    parts = [part for part in pan.select(step.what) if not part.ghost]
    weight = total_weight_g(parts)
    if weight <= 0.0:
        return "nothing to lose"
    lost = lost_grams(step.loss, weight)
    if lost is None:
        return ""
    share = min(1.0, lost.estimate / weight)
    sink = step.where or step.kind
    for part in parts:
        pan.send(sink, part.rows * share)
        part.rows *= 1.0 - share
        part.put_in_g *= 1.0 - share
        if lost.rough and share < 1.0:
            part.rows[:, c.LOWS] *= max(0.0, 1.0 - lost.high / weight) / (1.0 - share)
            part.rows[:, c.HIGHS] *= (1.0 - lost.low / weight) / (1.0 - share)
    return f"{lost.estimate:.0f} g go to '{sink}'"


def macerate(pan: Pan, step: Step, work: Work) -> str:
    """Let solids steep in everything else in the pan."""
    wanted = {name_key(name) for name in step.solids}
    unknown = [
        name
        for name in step.solids
        if not any(name_key(name) in part.keys for part in pan.main) and name_key(name) not in pan.removed_keys
    ]
    if unknown:
        pan.select((unknown[0],), "solids")
        raise StepRefusedError(
            f"'{unknown[0]}' is not in the liquor.", "Name a line that is still in the pan.", "solids"
        )
    solids = [part for part in pan.main if part.keys & wanted and not part.ghost]
    liquor = [part for part in pan.main if not any(part is solid for solid in solids)]
    if solids and total_weight_g(liquor) <= 0.0:
        raise StepRefusedError(
            "everything in the pan is solid, so there is nothing to steep in.",
            "Name only the solids, and take the liquid too.",
            "solids",
        )
    approach = approach_after(step.as_, step.minutes)
    words = _exchange(pan, solids, liquor, step, approach, work)
    return f"{approach.words} ({100 * approach.low:.0f} to {100 * approach.high:.0f} % of the way, {100 * approach.estimate:.0f} % taken){f'; {words}' if words else ''}"


def _exchange(pan: Pan, solids: list[Part], liquor: list[Part], step: Step, approach: Approach, work: Work) -> str:
    holds = next((later.holds for later in (step, *work.later) if later.kind == "strain"), None)
    drained, words = [], ""
    for part in solids:
        ratio, words = drained_ratio(part, step.as_, liquor)
        if holds is not None:
            ratio = ratio - FILM_INCLUDED + holds
            words = f"drained, it holds {100 * holds:.0f} % of its weight in liquor"
        # Of the weight put in: what steeped before has drained, and a pot that simmers loses of its liquid.
        drained.append(ratio * (part.put_in_g or part.weight_g))
    new_solids, new_liquor = steep(solids, liquor, drained, approach)
    # Lines that steeped before stay solids, whatever part they had in this exchange.
    follow = [
        *zip(solids, new_solids, strict=True),
        *zip(liquor, new_liquor[len(new_liquor) - len(liquor) :], strict=True),
    ]
    still = [new for old, new in follow if any(old is one for one in pan.steeping)]
    pan.main = [*new_solids, *new_liquor]
    pan.steeping = [*still, *(one for one in new_solids if not any(one is other for other in still))]
    return words


def strain(pan: Pan, step: Step, work: Work) -> str:
    """Part solids and liquor."""
    if step.solids:
        pan.select(step.solids, "solids")
        wanted = {name_key(name) for name in step.solids}
        chosen = [part for part in pan.main if part.keys & wanted and not part.ghost]
        fresh = [part for part in chosen if not any(part is other for other in pan.steeping)]
        if fresh:
            liquor = [part for part in pan.main if not any(part is other for other in fresh)]
            # Cooked together counts as mixed; cold and unsteeped, nothing is known but the bounds.
            approach = (
                Approach(0.8, 1.0, 1.0, "cooked together") if pan.heated else Approach(0.0, 1.0, 1.0, "stood together")
            )
            _exchange(pan, fresh, liquor, step, approach, work)
        parting = [part for part in pan.main if part.keys & wanted and not part.ghost]
    else:
        parting = [part for part in pan.main if any(part is other for other in pan.steeping)]
    ghosts_only = not parting and any(part.ghost for part in pan.everything())
    if not parting and not ghosts_only:
        raise StepRefusedError(
            "there is nothing solid to strain off.",
            "Say which lines are solid: 'strain: {solids: [damsons]}', or macerate them first.",
            "strain",
        )
    pan.main = [part for part in pan.main if not any(part is other for other in parting)]
    pan.solids = [*pan.solids, *parting]
    pan.steeping = []
    pan.strained = True
    return f"{total_weight_g(parting):.0f} g of solids and {total_weight_g(pan.main):.0f} g of liquor part; allergens of either stay in both"


def heat(pan: Pan, step: Step, work: Work) -> str:
    """Heat or reduce: ethanol leaves by its rule, the rest of the loss is water."""
    parts = pan.select(step.what)
    weight = total_weight_g(parts)
    lost, written = lost_grams(step.loss, weight), _written_as(step.loss)
    if step is work.open_heat_step and work.override_g is not None:
        lost, written = Quantity(work.override_g, work.override_g, work.override_g), "gives"
    kind = "reduce" if step.kind == "reduce" else step.how
    only = None
    if kind == "stir in" and not step.what:  # what the 'add' just before brought; the hot food has had its heat
        only = [part for part in parts if any(part is one for one in pan.joined)] or None
    before = [part.weight_g for part in parts]
    steam, words = heat_parts(parts, kind, step.minutes, lost, written, only)
    if kind == "bake" or step.what:
        _weigh_less(parts, before)
    pan.send("steam" if kind != "flame" else "flame", steam[None, :])
    pan.heated = True
    return words


def _weigh_less(parts: list[Part], before: list[float]) -> None:
    """Note that parts lost weight of their own, not of the liquid they lie in."""
    for part, weight in zip(parts, before, strict=True):
        if weight > 0.0:
            part.put_in_g *= part.weight_g / weight


def fry(pan: Pan, step: Step, work: Work) -> str:
    """Fry: water leaves, oil is taken up as a share of the weight going in, and the oil's allergens come too."""
    parts = [part for part in pan.select(step.what) if not part.ghost]
    weight = total_weight_g(parts)
    oil_g = (step.takes_up or 0.0) * weight
    loss, written = step.loss, _written_as(step.loss)
    if loss is not None and loss.kind == "leaves_g" and loss.quantity.estimate > (weight + oil_g) * (1.0 + 1e-9):
        raise StepRefusedError(
            f"'{loss.text}' would stay, and with the oil there are only {weight + oil_g:.1f} g.",
            "Look at the weights again.",
            "leaves",
        )
    # What is left is weighed with the oil in it; what is lost is lost by what went in.
    lost = lost_grams(loss, weight + oil_g if loss is not None and loss.kind == "leaves_g" else weight)
    if step is work.open_heat_step and work.override_g is not None:
        lost, written = Quantity(work.override_g, work.override_g, work.override_g), "gives"
    before = [part.weight_g for part in parts]
    steam, words = heat_parts(parts, "fry", step.minutes, lost, written)
    _weigh_less(parts, before)
    pan.send("steam", steam[None, :])
    pan.heated = True
    if step.oil_target is not None and oil_g > 0.0:
        oil = work.take_oil(step, oil_g)
        home = pan.solids if parts and any(parts[0] is part for part in pan.solids) else pan.main
        home.append(oil)
        if parts and step.what:
            oil.keys |= parts[0].keys
    return f"{oil_g:.0f} g of {step.oil} are taken up; {words}"


def add(pan: Pan, step: Step, work: Work) -> str:
    """Let more lines join."""
    home = pan.main
    if step.what:
        chosen = pan.select(step.what)
        if chosen and any(chosen[0] is part for part in pan.solids):
            home = pan.solids
    joined = work.take(step)
    home.extend(joined)
    pan.joined = joined
    return f"{total_weight_g(joined):.0f} g join"


def stand(pan: Pan, step: Step, _work: Work) -> str:
    """Rest, chill, freeze, churn, whip, blend, mix, set, prove: nothing happens to weights; a night lowers the low end of ethanol."""
    parts = pan.select(step.what)
    if step.overnight or (step.minutes or 0.0) >= OVERNIGHT_FROM_MINUTES:
        stand_overnight(parts)
        return "nothing leaves a closed tub; standing open overnight 30 % of the alcohol might (USDA row 5001), so only the low end falls"
    return "changes no weight"


def keep_text(_pan: Pan, _step: Step, _work: Work) -> str:
    """Keep a plain sentence of the method; it changes nothing."""
    return ""


STEP_TABLE: dict[str, tuple[StepFunction, str]] = {
    "trim": (lose_share, "share of the weight, by the scale"),
    "sieve": (lose_share, "share of the weight, by the scale"),
    "pour off": (lose_share, "share of the weight, by the scale"),
    "left behind": (lose_share, "share of the weight, by the scale"),
    "macerate": (macerate, "mass balance of a common liquid; Crank, The Mathematics of Diffusion"),
    "strain": (strain, "drained-weight ratio, trade experience, from memory"),
    "heat": (heat, "USDA Table of Nutrient Retention Factors, Release 6; Rayleigh distillation"),
    "reduce": (heat, "USDA Table of Nutrient Retention Factors, Release 6; Rayleigh distillation"),
    "fry": (fry, "oil taken up, by the scale"),
    "add": (add, "mixing by mass"),
    "rest": (stand, "no change"),
    "chill": (stand, "no change; USDA row 5001 for the low end overnight"),
    "freeze": (stand, "no change"),
    "churn": (stand, "no change"),
    "whip": (stand, "no change"),
    "blend": (stand, "no change"),
    "mix": (stand, "no change"),
    "set": (stand, "no change"),
    "prove": (stand, "no change; alcohol of the dough's own yeast is not counted"),
    "text": (keep_text, "a sentence for the cook"),
}
"""Each step of a method: what it does to the pan, and the source of its rule."""


def run_method(
    pan: Pan, method: tuple[Step, ...], work: Work, *, on_refusal: Callable[[Step, StepRefusedError], None]
) -> bool:
    """Run the steps in order; return whether all could be done. The pan's story tells what each did."""
    after_g, after = 0.0, (0.0, 0.0, 0.0)
    for place, step in enumerate(method):
        work.later = method[place + 1 :]
        function, _ = STEP_TABLE[step.kind]
        if not place:
            after_g, after = total_weight_g(pan.everything()), total_range(pan.everything())
        before_g, before = after_g, after
        try:
            words = function(pan, step, work)
        except StepRefusedError as refused:
            on_refusal(step, refused)
            return False
        after_g, after = total_weight_g(pan.everything()), total_range(pan.everything())
        pan.story.append(Event(step.origin, step.kind, step.text, words, before_g, after_g, before, after))
    return True


def dry_matter_g(rows: np.ndarray) -> float:
    """Return what is neither water nor ethanol. [g]"""
    return float(rows[c.MASS].sum() - rows[c.WATER] - rows[c.ETHANOL])


def open_heat_step(method: tuple[Step, ...]) -> Step | None:
    """Return the one heat step of a method where it has one alone, not of strained solids, and that says no loss of its own."""
    hot = [step for step in method if step.kind in ("heat", "reduce", "fry")]
    alone = len(hot) == 1 and hot[0].loss is None and name_key("solids") not in {name_key(one) for one in hot[0].what}
    return hot[0] if alone else None
