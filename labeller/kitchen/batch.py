"""A batch: what stands on the bench when a preparation is done, or what lies on a plate."""

from collections.abc import Container, Iterable

import numpy as np

from labeller.foundations.ethanol_water import liquid_volume_ml
from labeller.foundations.faults import Origin
from labeller.foundations.plain import dataclass, field
from labeller.kitchen import constituents as c
from labeller.kitchen.constituents import Floats

Path = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Rough:
    """A rough amount as it was taken: in grams, with its range and where it stands."""

    origin: Origin
    text: str
    taken_as: str
    taken_as_g: float
    low_g: float
    high_g: float
    ground: str = ""


@dataclass(frozen=True, slots=True)
class Contact:
    """Something that may have passed from another batch over shared equipment.

    ``ingredient`` is the id of the ingredient it comes from, ``path`` leads from this batch over the equipment to it.
    """

    ingredient: int
    equipment: str
    path: Path


@dataclass(frozen=True, slots=True)
class Batch:
    """Rows of ingredients x constituents, and the evidence that came along.

    Attributes
    ----------
    ids : (n,)
        Ingredient of each row; an ingredient may have several rows with different heating behind them.
    rows : (n, 29)
        See ``constituents``. [g, mg, ug]
    heat : (n, 6)
        What heating has done to the ethanol of each row.
    present : dict
        Every ingredient whose allergens are in it, removed ones too, with the shortest path to it.
    removed : dict
        Ingredients taken out again, with the grams that were put in.
    """

    ids: np.ndarray
    rows: Floats
    heat: Floats
    present: dict[int, Path] = field(default_factory=dict)
    removed: dict[int, float] = field(default_factory=dict)
    contacts: tuple[Contact, ...] = ()
    rough: tuple[Rough, ...] = ()

    @property
    def weight_g(self) -> float:
        """Weight. [g]"""
        return c.weight_g(self.rows)

    @property
    def so2_mg(self) -> float:
        """Total sulphur dioxide. [mg]"""
        return float(self.rows[:, c.SO2_MG].sum())

    def ethanol_g(self, place: int) -> float:
        """Return the ethanol that one ingredient leaves in it, by the estimate. [g]"""
        return c.ethanol_g(self.rows[self.ids == place])

    def touching(self, ingredients: Container[int]) -> list[Contact]:
        """Return the contacts with some ingredients, in order."""
        wanted = {place for place in {contact.ingredient for contact in self.contacts} if place in ingredients}
        return [contact for contact in self.contacts if contact.ingredient in wanted] if wanted else []

    def scaled(self, factor: float) -> "Batch":
        """Return a share or a multiple of the batch."""
        removed = {place: grams * factor for place, grams in self.removed.items()} if self.removed else self.removed
        return Batch(self.ids, self.rows * factor, self.heat, self.present, removed, self.contacts, self.rough)

    def ingoing(self) -> dict[int, float]:
        """Return the grams of each ingredient as put in."""
        totals: dict[int, float] = {}
        for place, grams in zip(self.ids.tolist(), self.rows[:, c.INGOING].tolist(), strict=True):
            totals[place] = totals.get(place, 0.0) + grams
        return totals

    def is_liquid(self, liquid: tuple[bool, ...]) -> bool:
        """Tell whether everything in it pours: what is not a liquid of itself must have dissolved, to within 1 %."""
        total = self.weight_g
        if total <= 0.0:
            return False
        pours = np.fromiter((liquid[place] for place in self.ids.tolist()), dtype=bool, count=len(self.ids))
        standing = float(self.rows[~pours][:, c.STANDING_MASS].sum())
        liquids = float(self.rows[pours][:, c.MASS].sum())
        wet = liquids > 0.0 or float(self.rows[:, [c.WATER, c.ETHANOL]].sum()) > 0.5 * total
        # Dry crystals without a drop to dissolve in are no liquid.
        return wet and standing <= 0.01 * total and float(self.rows[:, [c.WATER, c.ETHANOL]].sum()) > 0.05 * total

    def volume_ml(self) -> float:
        """Return the volume of a liquid batch at 20 C. [ml] Fat, where there is any, is counted as dissolved."""
        sums = self.rows.sum(axis=0)
        solids = float(sums[c.MASS].sum() - sums[c.WATER] - sums[c.ETHANOL])
        return liquid_volume_ml(float(sums[c.ETHANOL]), float(sums[c.WATER]), max(0.0, solids))


def merged(ids: np.ndarray, rows: Floats, heat: Floats) -> tuple[np.ndarray, Floats, Floats]:
    """Add up rows of one ingredient with the same heating behind them; ingredients without ethanol have none.

    Notes
    -----
    Rows come out, and are added, in an order that does not depend on the order they came in: floating sums depend on theirs,
    and what is declared must not depend on the order of lines.
    """
    places = ids.tolist()
    if len(set(places)) == len(places):
        by_id = np.argsort(ids)
        return ids[by_id], rows[by_id], heat[by_id]
    dry = rows[:, c.HIGH_A] + rows[:, c.HIGH_B] + rows[:, c.ETHANOL] == 0.0
    heat = np.where(dry[:, None], c.UNHEATED, heat)
    sequence = sorted(range(len(places)), key=lambda at: (places[at], heat[at].tobytes(), rows[at].tobytes()))
    ids, rows, heat, dry = ids[sequence], rows[sequence], heat[sequence], dry[sequence]
    places = [places[at] for at in sequence]
    groups: dict[tuple[int, bytes], int] = {}
    order = np.empty(len(places), dtype=np.intp)
    for position, place in enumerate(places):
        order[position] = groups.setdefault((place, b"" if dry[position] else heat[position].tobytes()), len(groups))
    out = np.zeros((len(groups), rows.shape[1]))
    np.add.at(out, order, rows)
    firsts = np.full(len(groups), -1, dtype=np.intp)
    for position in range(len(places) - 1, -1, -1):
        firsts[order[position]] = position
    return ids[firsts], out, heat[firsts]


def joined(batches: Iterable[Batch]) -> tuple[np.ndarray, Floats, Floats]:
    """Put the rows of several batches together and add up what is alike."""
    parts = list(batches)
    if not parts:
        return np.zeros(0, dtype=np.intp), np.zeros((0, c.COLUMNS)), np.zeros((0, c.HEAT_COLUMNS))
    return merged(
        np.concatenate([part.ids for part in parts]),
        np.concatenate([part.rows for part in parts]),
        np.concatenate([part.heat for part in parts]),
    )
