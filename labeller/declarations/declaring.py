"""A declaration: what is in one dish or batch, by one law on one day. Printing and the screen see nothing else."""

import math
from typing import TYPE_CHECKING, Literal

from labeller.declarations.allergen_rows import (
    CONTAINS,
    NONE_DECLARED,
    UNCONFIRMED,
    AllergenRow,
    GroupReader,
    by_length,
)
from labeller.declarations.contact_doses import with_doses
from labeller.declarations.figures import Definitions, Figures
from labeller.foundations.ethanol_water import strength_percent_vol
from labeller.foundations.plain import dataclass, field
from labeller.jurisdictions.in_force import LawInForce
from labeller.kitchen import constituents as c
from labeller.kitchen.batch import Batch, Path, Rough, merged
from labeller.kitchen.working_out import Plate, Workings

if TYPE_CHECKING:
    from labeller.declarations.facts import BookFacts

DeclaredKind = Literal["dish", "preparation"]


@dataclass(frozen=True, slots=True)
class AlcoholSource:
    """One alcoholic ingredient by one way into the dish, with what is left of it. [g]"""

    path: Path
    ethanol_g: float
    low_g: float
    high_g: float
    words: str
    heated: bool

    @property
    def measured(self) -> bool:
        """Tell whether anything says how strong it is; nothing of it is then not known, and never none."""
        return self.high_g > 0.0


@dataclass(frozen=True, slots=True)
class Alcohol:
    """Alcohol of one dish or batch: status, ethanol with its range, strength where everything in it is liquid.

    ``mends`` says of each ingredient that leaves it open how to settle that.
    """

    status: str
    ethanol_g: tuple[float, float, float]
    abv_percent: tuple[float, float, float] | None
    because: tuple[AlcoholSource, ...]
    traces: tuple[tuple[Path, str], ...]
    unconfirmed: tuple[Path, ...]
    mends: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class DeclaredIngredient:
    """An ingredient as put in. ``share`` is of the ingoing weight, None for one taken out again."""

    ingredient: str
    grams: float
    share: float | None
    removed: bool = False


@dataclass(frozen=True, slots=True)
class UnconfirmedIngredient:
    """An ingredient that leaves groups open, and how to settle them."""

    ingredient: str
    groups: tuple[str, ...]
    mend: str


@dataclass(frozen=True, slots=True)
class Declaration:
    """Everything stated of one dish (for one portion) or of one thing a preparation gives (for the whole batch)."""

    name: str
    kind: DeclaredKind
    law: LawInForce
    weight_g: float
    allergens: tuple[AllergenRow, ...]
    figures: Figures
    declared_per_100_g: dict[str, str]
    declared_per_portion: dict[str, str]
    alcohol: Alcohol
    ingredients: tuple[DeclaredIngredient, ...]
    rough: tuple[Rough, ...]
    unconfirmed: tuple[UnconfirmedIngredient, ...]
    batch: Batch = field(repr=False)
    lines: tuple[Batch, ...] = field(repr=False, default=())
    plate: Plate | None = field(repr=False, default=None)

    def row(self, group: str) -> AllergenRow | None:
        """Return the row of a group by its name."""
        return next((row for row in self.allergens if row.group.name == group), None)

    @property
    def mends(self) -> dict[str, str]:
        """How to settle each ingredient that leaves a group or alcohol open."""
        return {**dict(self.alcohol.mends), **{one.ingredient: one.mend for one in self.unconfirmed}}


class Declarer:
    """Declares the things of one book under one law; what is the same for all is worked out once."""

    def __init__(self, workings: Workings, law: LawInForce) -> None:
        self.workings, self.law = workings, law
        self._given = workings.given()
        self.definitions = Definitions(law, workings.larder)
        self.groups = GroupReader(law, workings.larder, workings.evidence)
        self._facts: BookFacts | None = None

    def dish(self, name: str) -> Declaration:
        """Declare one portion of a dish, as written: optional parts in, swaps out.

        Raises
        ------
        KeyError
            If no plate of that name was laid.
        """
        plate = self.workings.plates[name]
        return self.of_lines(name, "dish", [line.batch for line in plate.lines], plate)

    def given(self, name: str) -> Declaration:
        """Declare one thing a preparation gives, for the whole batch."""
        _, batch = self._given[name]
        return self.of_lines(name, "preparation", [batch])

    def of_lines(self, name: str, kind: DeclaredKind, lines: list[Batch], plate: Plate | None = None) -> Declaration:
        """Declare batches that lie together, such as the lines of a plate."""
        whole = _together(lines)
        figures = self.definitions.figures_of(whole)
        incomplete = figures.incomplete()
        per_100_g = self.definitions.declared(figures.per_100_g(), incomplete, "per_100_g")
        per_portion = self.definitions.declared(figures.sums, incomplete, "per_portion") if kind == "dish" else {}
        equipment = self.workings.book.kitchen.shared_equipment
        rows = with_doses(self.groups.rows(lines), lines, equipment, portion=kind == "dish")
        return Declaration(
            name,
            kind,
            self.law,
            whole.weight_g,
            rows,
            figures,
            per_100_g,
            per_portion,
            self.alcohol_of(whole, lines),
            self._ingredients(whole),
            tuple(sorted(whole.rough, key=lambda one: (-one.taken_as_g, one.text, str(one.origin)))),
            self._unconfirmed(lines),
            whole,
            tuple(lines),
            plate,
        )

    @property
    def facts(self) -> "BookFacts":
        """The facts that questions at the table are answered from; each is worked out when it is first asked for."""
        if self._facts is None:
            from labeller.declarations.facts_of_book import facts_of  # noqa: PLC0415 - it imports this module

            self._facts = facts_of(self)
        return self._facts

    @staticmethod
    def together(lines: list[Batch]) -> Batch:
        """Lay batches on one plate: rows side by side, evidence of all."""
        return _together(lines)

    def alcohol_of(self, whole: Batch, lines: list[Batch]) -> Alcohol:
        """Return the alcohol of batches that lie together, and the drinks it comes from, most of it first."""
        evidence, larder = self.workings.evidence, self.workings.larder
        sources: list[AlcoholSource] = []
        traces: list[tuple[Path, str]] = []
        unconfirmed: list[Path] = []
        mends: dict[str, str] = {}
        for batch in lines:
            for place, path in batch.present.items():
                known = evidence[place]
                if known.alcohol == UNCONFIRMED:
                    unconfirmed.append(path)
                    mends[larder.names[place]] = known.mend
                elif known.alcohol == CONTAINS:
                    rows = batch.rows[batch.ids == place]
                    heat = batch.heat[batch.ids == place]
                    low, estimate, high = c.ethanol_range_g(rows) if len(rows) else (0.0, 0.0, 0.0)
                    heated = bool(len(heat)) and bool((heat[:, c.H_COUNT] > 0.0).any())
                    sources.append(AlcoholSource(path, estimate, low, high, known.alcohol_words, heated))
                if known.trace:
                    traces.append((path, known.trace))
        sources.sort(key=lambda one: (-one.ethanol_g, one.path))
        status = CONTAINS if sources else UNCONFIRMED if unconfirmed else NONE_DECLARED
        grams = c.ethanol_range_g(whole.rows) if len(whole.rows) else (0.0, 0.0, 0.0)
        return Alcohol(
            status,
            grams,
            self._strength(whole, grams, larder.liquid),
            tuple(sources),
            tuple(sorted(set(traces))),
            tuple(sorted(set(unconfirmed), key=by_length)),
            tuple(sorted(mends.items())),
        )

    @staticmethod
    def _strength(
        whole: Batch, grams: tuple[float, float, float], liquid: tuple[bool, ...]
    ) -> tuple[float, float, float] | None:
        """Return % vol where everything is liquid. Water and solids are those of the estimate."""
        if not whole.is_liquid(liquid):
            return None
        sums = whole.rows.sum(axis=0)
        solids = max(0.0, float(sums[c.MASS].sum() - sums[c.WATER] - sums[c.ETHANOL]))
        low, estimate, high = (strength_percent_vol(one, float(sums[c.WATER]), solids) for one in grams)
        return low, estimate, high

    def _ingredients(self, whole: Batch) -> tuple[DeclaredIngredient, ...]:
        names = self.workings.larder.names
        ingoing = {place: grams for place, grams in whole.ingoing().items() if grams > 0.0}
        total = sum(ingoing.values())
        kept = [DeclaredIngredient(names[place], grams, grams / total) for place, grams in ingoing.items()]
        gone = [
            DeclaredIngredient(names[place], grams, None, removed=True)
            for place, grams in whole.removed.items()
            if grams > 0.0
        ]
        order = lambda one: (-one.grams, one.ingredient)  # noqa: E731 - used twice on the next line
        return (*sorted(kept, key=order), *sorted(gone, key=order))

    def _unconfirmed(self, lines: list[Batch]) -> tuple[UnconfirmedIngredient, ...]:
        places: dict[int, None] = {}
        for batch in lines:
            places.update(dict.fromkeys(batch.present))
            places.update(dict.fromkeys(contact.ingredient for contact in batch.contacts))
        found: list[UnconfirmedIngredient] = []
        names = self.workings.larder.names
        for place in sorted(places, key=lambda one: names[one]):
            view = self.groups.view(place)
            groups = tuple(
                group.name
                for group in self.law.groups
                if group.name in view and view[group.name].unconfirmed and not self._figured(place, group.kinds)
            )
            if groups:
                found.append(UnconfirmedIngredient(names[place], groups, self.workings.evidence[place].mend))
        return tuple(found)

    def _figured(self, place: int, kinds: tuple[str, ...]) -> bool:
        return "sulphite" in kinds and self.workings.larder.entries[place].sulphites_mg_per_kg is not None


def _together(lines: list[Batch]) -> Batch:
    """Lay batches on one plate: rows side by side, evidence of all."""
    import numpy as np  # noqa: PLC0415 - already loaded by the kitchen room

    if len(lines) == 1:
        return lines[0]
    if not lines:
        return Batch(np.zeros(0, dtype=np.intp), np.zeros((0, c.COLUMNS)), np.zeros((0, c.HEAT_COLUMNS)))
    ids, rows, heat = merged(
        np.concatenate([batch.ids for batch in lines]),
        np.concatenate([batch.rows for batch in lines]),
        np.concatenate([batch.heat for batch in lines]),
    )
    present: dict[int, Path] = {}
    removed: dict[int, list[float]] = {}
    rough: dict[tuple[str, str], Rough] = {}
    for batch in lines:
        for place, path in batch.present.items():
            known = present.get(place)
            if known is None or by_length(path) < by_length(known):
                present[place] = path
        for place, grams in batch.removed.items():
            removed.setdefault(place, []).append(grams)
        for one in batch.rough:
            rough.setdefault((str(one.origin), one.text), one)
    contacts = tuple(dict.fromkeys(contact for batch in lines for contact in batch.contacts))
    gone = {place: math.fsum(grams) for place, grams in removed.items()}
    return Batch(ids, rows, heat, present, gone, contacts, tuple(rough.values()))
