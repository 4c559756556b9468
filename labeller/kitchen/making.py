"""Make one preparation: weigh its lines, run its method, and portion out what it gives."""

import math
from collections.abc import Callable

import numpy as np

from labeller.book.entries import Given, Line, Preparation, Step
from labeller.foundations.faults import Fault, Origin
from labeller.foundations.names import name_key
from labeller.foundations.plain import dataclass, field
from labeller.foundations.quantities import Quantity
from labeller.kitchen import constituents as c
from labeller.kitchen.batch import Batch, Path, Rough, merged
from labeller.kitchen.constituents import Floats
from labeller.kitchen.pan import PAN_HEAT_COLUMNS, Event, Pan, Part, StepRefusedError, pan_heat, total_weight_g
from labeller.kitchen.parting import weigh_pan, weigh_parts
from labeller.kitchen.steps import Work, open_heat_step, run_method
from labeller.kitchen.weighing import Scale, Weighed


@dataclass(frozen=True, slots=True)
class Taken:
    """A line as weighed, with the batch it brings (None where the target could not be made)."""

    line: Line
    grams: float
    batch: Batch | None


@dataclass(frozen=True, slots=True)
class Made:
    """What became of one preparation."""

    preparation: Preparation
    given: dict[str, Batch]
    put_in_g: float
    sinks: dict[str, Floats] = field(default_factory=dict)
    taken_up_g: float = 0.0
    story: tuple[Event, ...] = ()
    taken: tuple[Taken, ...] = ()


@dataclass(slots=True)
class Maker:
    """Makes preparations of one book, in the order of what they need."""

    scale: Scale
    note_fault: Callable[[Fault], None]
    note_advice: Callable[[Fault], None]
    water_id: int

    def take_lines(self, lines: tuple[Line, ...], field_name: str, *, others_g: float = 0.0) -> list[Taken] | None:
        """Weigh lines; None where one of them cannot be weighed or taken, which is noted."""
        taken: list[Taken | None] = [None] * len(lines)
        ruled: list[int] = []
        weights, whole = [others_g], True
        for place, line in enumerate(lines):
            if line.unit in ("to taste", "to cover"):
                ruled.append(place)
                continue
            one = self._take(line, field_name, 0.0)
            whole = whole and one is not None
            taken[place] = one
            weights.append(one.grams if one is not None and not line.removed else 0.0)
        for place in ruled:
            one = self._take(lines[place], field_name, math.fsum(weights))
            whole = whole and one is not None
            taken[place] = one
        return [one for one in taken if one is not None] if whole else None

    def _take(self, line: Line, field_name: str, others_g: float) -> Taken | None:
        target = line.target
        if target is None:
            return None
        scale = self.scale
        batch: Batch | None = None
        if target.kind == "given":
            batch = scale.benches.batch_of(target.entry, target.given)
            if batch is None:
                return None  # its own fault is noted where it stands
        weighed = scale.weigh(line, others_g=others_g, batch=batch)
        if not isinstance(weighed, Weighed):
            self.note_fault(Fault(line.origin, field_name, *weighed))
            return None
        grams = weighed.grams.estimate
        rough: tuple[Rough, ...] = ()
        if weighed.grams.rough:
            rough = (
                Rough(
                    line.origin,
                    line.text,
                    _taken_as(line, grams),
                    grams,
                    weighed.grams.low,
                    weighed.grams.high,
                    weighed.ground,
                ),
            )
        if batch is None:
            place = scale.larder.ids[target.entry]
            rows = (scale.larder.per_gram[place] * grams)[None, :]
            batch = Batch(
                np.array([place], dtype=np.intp),
                rows,
                c.UNHEATED[None, :].copy(),
                {place: (scale.larder.names[place],)},
                rough=rough,
            )
        else:
            whole = batch.weight_g
            if whole <= 0.0:
                self.note_fault(
                    Fault(
                        line.origin,
                        field_name,
                        f"nothing is left of '{line.name}' to take.",
                        "Look at its method: everything goes to a sink.",
                    )
                )
                return None
            name = target.given
            scaled = batch.scaled(grams / whole)
            present = {one: (name, *path) for one, path in scaled.present.items()}
            batch = Batch(
                scaled.ids, scaled.rows, scaled.heat, present, scaled.removed, scaled.contacts, (*rough, *scaled.rough)
            )
        if weighed.grams.rough and grams > 0.0:
            batch.rows[:, c.LOWS] *= weighed.grams.low / grams
            batch.rows[:, c.HIGHS] *= weighed.grams.high / grams
        return Taken(line, grams, batch)

    # -- a preparation --------------------------------------------------------------------------------------------------

    def make(self, preparation: Preparation) -> Made | None:
        """Make a preparation; None where it cannot be made, which is noted."""
        taken = self.take_lines(preparation.takes, "takes")
        if taken is None:
            return None
        taken.sort(key=_heaviest_first)  # sums must not depend on the order of lines
        if not preparation.method and preparation.gives_weight is None and len(preparation.gives) == 1:
            return self._mixed(preparation, taken)
        run = _Run(self, preparation, taken)
        return run.finish()

    def _mixed(self, preparation: Preparation, taken: list[Taken]) -> Made:
        """Put lines together that have no method: the short way, since most of a large book is of this kind."""
        batches = [one.batch for one in taken if one.batch is not None]
        kept = [ghost_batch(one.batch) if one.line.removed else one.batch for one in taken if one.batch is not None]
        ids, rows, heat = merged(
            np.concatenate([batch.ids for batch in kept]),
            np.concatenate([batch.rows for batch in kept]),
            np.concatenate([batch.heat for batch in kept]),
        )
        batch = gather(ids, rows, heat, batches, taken)
        return Made(preparation, {preparation.gives[0].name: batch}, batch.weight_g, taken=tuple(taken))


def ghost_batch(batch: Batch) -> Batch:
    """Return what a removed line leaves: no weight, but what its alcohol and sulphites may have left at the most."""
    rows = np.zeros_like(batch.rows)
    rows[:, c.HIGHS] = batch.rows[:, c.HIGHS]
    rows[:, c.SO2_MG] = batch.rows[:, c.SO2_MG]
    return Batch(batch.ids, rows, batch.heat, batch.present, {}, batch.contacts, batch.rough)


def gather(ids: np.ndarray, rows: Floats, heat: Floats, batches: list[Batch], taken: list[Taken]) -> Batch:
    """Put the evidence of all that went in beside the rows that came out."""
    present: dict[int, Path] = {}
    removed: dict[int, float] = {}
    rough: dict[tuple[str, str], Rough] = {}
    for batch in batches:
        for place, path in batch.present.items():
            known = present.get(place)
            if known is None or (len(path), path) < (len(known), known):
                present[place] = path
        for place, grams in batch.removed.items():
            removed[place] = removed.get(place, 0.0) + grams
        for one in batch.rough:
            rough.setdefault((str(one.origin), one.text), one)
    for one_taken in taken:
        if one_taken.line.removed and one_taken.batch is not None:
            for place, grams in one_taken.batch.ingoing().items():
                removed[place] = removed.get(place, 0.0) + grams
    found = {contact: None for batch in batches for contact in batch.contacts}
    return Batch(ids, rows, heat, present, removed, tuple(found), tuple(rough.values()))


def _heaviest_first(taken: Taken) -> tuple[float, str, str]:
    return -taken.grams, name_key(taken.line.name), taken.line.text


def _taken_as(line: Line, grams: float) -> str:
    quantity = line.quantity
    if line.unit == "volume":
        return f"{quantity.estimate:g} ml ({quantity.low:g} to {quantity.high:g})"
    if line.unit == "mass":
        return f"{quantity.estimate:g} g ({quantity.low:g} to {quantity.high:g})"
    if line.unit in ("to taste", "to cover", "small"):
        return f"{grams:.3g} g"
    return f"{quantity.estimate:g} ({quantity.low:g} to {quantity.high:g})"


class _Run:
    """One run of a method, with the weight on the scale met where the book gives one."""

    def __init__(self, maker: Maker, preparation: Preparation, taken: list[Taken]) -> None:
        self.maker, self.preparation, self.taken = maker, preparation, taken
        self.joined: list[Taken] = []
        self.refused = False
        self.note = maker.note_fault

    def finish(self) -> Made | None:
        preparation = self.preparation
        on_scale = self._weight_of_all()
        open_step = open_heat_step(preparation.method) if on_scale is not None else None
        pan = self._run(open_step, None)
        if pan is None:
            return None
        if open_step is not None and on_scale is not None:
            pan = self._meet_weight(pan, open_step, on_scale.estimate)
            if pan is None:
                return None
        given = self._give(pan)
        if given is None:
            return None
        put_in = sum(one.grams for one in (*self.taken, *self.joined) if not one.line.removed)
        return Made(
            preparation, given, put_in, pan.sinks, pan.taken_up_g, tuple(pan.story), (*self.taken, *self.joined)
        )

    def _weight_of_all(self) -> Quantity | None:
        """Return the weight the scale showed of what the method leaves, where the book gives one."""
        gives = self.preparation.gives
        one = gives[0].weighs if len(gives) == 1 and gives[0].part == "pan" else None
        return self.preparation.gives_weight or one

    def _run(self, open_step: Step | None, override_g: float | None) -> Pan | None:
        pan = Pan()
        self.joined = []
        for one in self.taken:
            self._into(pan.main, one, pan)
        work = Work(lambda step: self._add(step, pan), self._oil, open_heat_step=open_step, override_g=override_g)
        whole = run_method(pan, self.preparation.method, work, on_refusal=self._refuse)
        return pan if whole and not self.refused else None

    def _into(self, home: list[Part], one: Taken, pan: Pan) -> None:
        if one.batch is None:
            return
        batch = ghost_batch(one.batch) if one.line.removed else one.batch
        keys = {name_key(one.line.name)}
        if one.line.target is not None:
            keys.add(name_key(one.line.target.given or one.line.target.entry))
            entry = self.maker.scale.book.ingredients.get(one.line.target.entry)
            if entry is not None and one.line.target.kind == "ingredient":
                keys.update(name_key(name) for name in entry.also)
        if one.line.removed:
            pan.removed_keys |= keys
        home.append(
            Part(
                one.line.name,
                frozenset(keys),
                batch.ids,
                batch.rows.copy(),
                pan_heat(batch.heat),
                ghost=one.line.removed,
                put_in_g=batch.weight_g,
            )
        )

    def _add(self, step: Step, pan: Pan) -> list[Part]:
        taken = self.maker.take_lines(step.lines, "method.add", others_g=total_weight_g(pan.main))
        if taken is None:
            self.refused = True
            return []
        taken.sort(key=_heaviest_first)
        self.joined.extend(taken)
        parts: list[Part] = []
        for one in taken:
            self._into(parts, one, pan)
        return parts

    def _oil(self, step: Step, grams: float) -> Part:
        line = Line(
            f"{grams:g} g {step.oil}",
            step.origin,
            step.oil,
            Quantity(grams, grams, grams),
            "mass",
            "g",
            step.oil_target,
        )
        taken = self.maker.take_lines((line,), "method.fry")
        if taken is None or taken[0].batch is None:
            self.refused = True
            return Part(
                step.oil,
                frozenset(),
                np.zeros(0, dtype=np.intp),
                np.zeros((0, c.COLUMNS)),
                np.zeros((0, PAN_HEAT_COLUMNS)),
            )
        self.joined.append(taken[0])
        batch = taken[0].batch
        return Part(step.oil, frozenset({name_key(step.oil)}), batch.ids, batch.rows.copy(), pan_heat(batch.heat))

    def _refuse(self, step: Step, refused: StepRefusedError) -> None:
        if refused.field == "gives":  # a loss that only the weight on the scale asked for
            self.note(Fault(self._where_given("gives"), "gives", refused.problem, refused.mend))
            return
        field = f"method.{step.kind}" + (f".{refused.field}" if refused.field and refused.field != step.kind else "")
        self.note(Fault(step.origin, field, refused.problem, refused.mend))

    def _where_given(self, field: str) -> Origin:
        """Return the line of the weight that was given, for a fault about it."""
        preparation = self.preparation
        weighed = [given.origin for given in preparation.gives if given.weighs]
        if weighed and (field == "weighs" or preparation.gives_weight is None):
            return weighed[0]
        return preparation.gives_origin or preparation.origin

    def _weighed(self, weigh: Callable[[], None]) -> bool:
        """Put something on the scale; False where the scale cannot be right, which is noted."""
        try:
            weigh()
        except StepRefusedError as refused:
            self.note(Fault(self._where_given(refused.field), refused.field, refused.problem, refused.mend))
            return False
        return True

    # -- the weight on the scale ------------------------------------------------------------------------------------------

    def _meet_weight(self, pan: Pan, open_step: Step, wanted_g: float) -> Pan | None:
        """Find the loss of the one heat step that leaves the weight on the scale; a secant, exact where later steps are linear."""
        weight = total_weight_g(pan.main)
        if abs(weight - wanted_g) <= 1e-12 * wanted_g:
            return pan
        steam = pan.sinks.get("steam", pan.sinks.get("flame"))
        base = float(steam[c.MASS].sum()) if steam is not None else 0.0
        loss, previous_loss, previous_weight = base + weight - wanted_g, base, weight
        if loss < 0.0:
            return pan  # heavier than all that went in: water was taken up
        for _ in range(30):
            again = self._run(open_step, loss)
            if again is None:
                return None
            reached = total_weight_g(again.main)
            if abs(reached - wanted_g) <= 1e-9 * max(1.0, wanted_g):
                return again
            slope = (reached - previous_weight) / (loss - previous_loss) if loss != previous_loss else -1.0
            previous_loss, previous_weight = loss, reached
            loss = max(0.0, loss + (wanted_g - reached) / (slope or -1.0))
        return again

    # -- what it gives ------------------------------------------------------------------------------------------------------

    def _give(self, pan: Pan) -> dict[str, Batch] | None:
        preparation = self.preparation
        weight = preparation.gives_weight
        batches = [one.batch for one in (*self.taken, *self.joined) if one.batch is not None]
        everything = [*self.taken, *self.joined]
        named = {given.part: given for given in preparation.gives}
        if pan.strained:
            liquor, solids = named.get("liquor") or named.get("pan"), named.get("solids")
            wanted_liquor = (
                weight.estimate if weight is not None else liquor.weighs.estimate if liquor and liquor.weighs else None
            )
            wanted_solids = solids.weighs.estimate if solids and solids.weighs else None
            if not self._weighed(lambda: weigh_parts(pan, wanted_liquor, wanted_solids)):
                return None
            parts: list[tuple[Given | None, list[Part]]] = [(liquor, pan.main), (solids, pan.solids)]
        else:
            whole = named.get("pan") or preparation.gives[0]
            wanted = weight or whole.weighs
            water_id = self.maker.water_id
            if wanted is not None and not self._weighed(
                lambda: weigh_pan(pan, wanted.estimate, water_id, self.maker.scale.larder.per_gram[water_id])
            ):
                return None
            parts = [(whole, pan.main)]
        given: dict[str, Batch] = {}
        for one, kept in parts:
            if one is None:
                for part in kept:
                    pan.send("not kept", part.rows)
                continue
            ids, rows, heat = _put_together(kept)
            given[one.name] = gather(ids, rows, heat, batches, everything)
        return given


def _put_together(parts: list[Part]) -> tuple[np.ndarray, Floats, Floats]:
    if not parts:
        return np.zeros(0, dtype=np.intp), np.zeros((0, c.COLUMNS)), np.zeros((0, c.HEAT_COLUMNS))
    return merged(
        np.concatenate([part.ids for part in parts]),
        np.concatenate([part.rows for part in parts]),
        np.concatenate([part.heat[:, : c.HEAT_COLUMNS] for part in parts]),
    )
