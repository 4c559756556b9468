"""Turn a line's quantity into grams: volumes, pieces, measures and shares, in the order the contract gives."""

from typing import Protocol

from labeller.book.entries import Book, Given, Ingredient, Line, Measure, Preparation
from labeller.composition.household import Household
from labeller.composition.measures import piece_weight, volume_weight
from labeller.composition.table import Table
from labeller.foundations.ethanol_water import liquid_volume_ml
from labeller.foundations.names import name_key
from labeller.foundations.plain import dataclass
from labeller.foundations.quantities import Quantity
from labeller.kitchen import constituents as c
from labeller.kitchen.batch import Batch
from labeller.kitchen.larder import Larder


@dataclass(frozen=True, slots=True)
class Weighed:
    """Grams with their range, and how they were come by where that is worth saying."""

    grams: Quantity
    ground: str = ""


class Benches(Protocol):
    """Where the batches that are done stand."""

    def batch_of(self, preparation: str, given: str) -> Batch | None:
        """Return one thing a preparation gives, or None where it could not be made."""


@dataclass(frozen=True, slots=True)
class Scale:
    """Weighs lines of one book."""

    book: Book
    larder: Larder
    table: Table
    household: Household
    benches: Benches

    def weigh(self, line: Line, *, others_g: float = 0.0, batch: Batch | None = None) -> Weighed | tuple[str, str]:
        """Return what a line weighs, or what is wrong and the mend.

        Parameters
        ----------
        line : Line
            A line whose target is known.
        others_g : float
            Weight of the other lines, for 'to taste' and 'to cover'. [g]
        batch : Batch | None
            The batch a line takes from, where it takes from a preparation.
        """
        quantity = line.quantity
        if line.unit == "mass":
            return Weighed(quantity)
        if line.unit in ("to taste", "to cover"):
            rough = self.household.rough[line.unit]
            return Weighed(
                Quantity(rough.low * others_g, rough.share * others_g, rough.high * others_g, rough=True), rough.ground
            )
        if line.unit == "share":
            if batch is None:
                return f"'{line.text}' is a share of nothing.", "Write a weight."
            return Weighed(quantity.times(batch.weight_g))
        if line.unit == "measure":
            return self._by_measure(line, batch)
        if line.unit == "volume":
            return self._volume(line, quantity, batch)
        if line.unit == "small":
            return self._small(line, quantity, batch)
        return self._pieces(line, quantity, batch)

    def _entry(self, line: Line) -> tuple[Ingredient | None, Preparation | None, Given | None]:
        target = line.target
        if target is None:
            return None, None, None
        if target.kind == "ingredient":
            return self.book.ingredients[target.entry], None, None
        preparation = self.book.preparations[target.entry]
        return None, preparation, next((given for given in preparation.gives if given.name == target.given), None)

    def _names(self, line: Line) -> tuple[str, ...]:
        ingredient, _, given = self._entry(line)
        if ingredient is not None:
            return (ingredient.name, *ingredient.also, line.name)
        return (given.name, line.name) if given is not None else (line.name,)

    def _measure_of(self, line: Line) -> Measure | None:
        ingredient, preparation, given = self._entry(line)
        wanted = name_key(line.unit_word)
        for measures in (
            given.measures if given else {},
            ingredient.measures if ingredient else {},
            preparation.measures if preparation else {},
            self.book.kitchen.measures,
        ):
            for name, measure in measures.items():
                if name_key(name) == wanted:
                    return measure
        return None

    def _by_measure(self, line: Line, batch: Batch | None) -> Weighed | tuple[str, str]:
        measure = self._measure_of(line)
        if measure is None:
            return (
                f"'{line.unit_word}' is not a measure of '{line.name}'.",
                f"Say what one weighs: 'measures: {{{line.unit_word}: 20 g}}'.",
            )
        size, unit = measure
        if unit == "g":
            return Weighed(line.quantity.times(size))
        return self._volume(line, line.quantity.times(size), batch)

    def density(self, line: Line, batch: Batch | None) -> tuple[float, str] | None:
        """Return the density of what a line takes, with its ground; None where nothing says it. [g/ml]"""
        ingredient, preparation, given = self._entry(line)
        own = (given.density_g_per_ml if given else None) or (preparation.density_g_per_ml if preparation else None)
        if ingredient is not None:
            own = ingredient.density_g_per_ml
        if own is not None:
            return (
                own,
                "the density in its entry"
                if ingredient is None or not ingredient.from_shelf
                else "the shelf's density",
            )
        if ingredient is not None and ingredient.strength_percent_vol is not None:
            per_gram = self.larder.per_gram[self.larder.ids[ingredient.name]]
            solids = float(per_gram[c.MASS].sum() - per_gram[c.WATER] - per_gram[c.ETHANOL])
            volume = liquid_volume_ml(float(per_gram[c.ETHANOL]), float(per_gram[c.WATER]), max(0.0, solids))
            return 1.0 / volume, "the density of ethanol and water at its strength (OIML R 22)"
        if batch is not None and c.ethanol_g(batch.rows) > 0.0 and batch.is_liquid(self.larder.liquid):
            return batch.weight_g / batch.volume_ml(), "the density of ethanol and water at its strength (OIML R 22)"
        code = ""
        if ingredient is not None:
            row = self.larder.rows[self.larder.ids[ingredient.name]]
            code = ingredient.composition
            if row is not None:
                measured = volume_weight(self.table.measures(row))
                if measured is not None:
                    return measured.g_per_ml, f"the row's measure '{measured.words}'"
        found = self.household.density(self._names(line), code)
        return (found.value, found.ground) if found is not None else None

    def _volume(self, line: Line, millilitres: Quantity, batch: Batch | None) -> Weighed | tuple[str, str]:
        density = self.density(line, batch)
        if density is None:
            return (
                f"'{line.text}' is a volume, and nothing says what '{line.name}' weighs.",
                f"Give '{line.name}' a 'density: 1.03 g/ml', or write the line by weight.",
            )
        return Weighed(millilitres.times(density[0]), density[1])

    def _small(self, line: Line, quantity: Quantity, batch: Batch | None) -> Weighed:
        """Weigh pinches, drops and knife tips: rough by nature, from half to twice."""
        if line.unit_word in self.household.small_g:
            grams = quantity.estimate * self.household.small_g[line.unit_word]
        else:
            density = self.density(line, batch)
            grams = quantity.estimate * self.household.small_ml[line.unit_word] * (density[0] if density else 1.0)
        return Weighed(
            Quantity(grams / 2.0, grams, grams * 2.0, rough=True), f"a {line.unit_word}, which no standard fixes"
        )

    def _pieces(self, line: Line, quantity: Quantity, batch: Batch | None) -> Weighed | tuple[str, str]:
        ingredient, preparation, given = self._entry(line)
        word = line.unit_word
        if ingredient is not None:
            if not word and ingredient.piece_g is not None:
                return Weighed(quantity.times(ingredient.piece_g))
            row = self.larder.rows[self.larder.ids[ingredient.name]]
            if row is not None:
                piece = piece_weight(self.table.measures(row), word)
                if piece is not None:
                    return Weighed(quantity.times(piece.weight_g), f"the row's measure '{piece.words}'")
        elif preparation is not None and not word:
            makes = (given.makes if given else None) or preparation.makes
            if makes is not None and batch is not None:
                return Weighed(quantity.times(batch.weight_g / makes))
            if preparation.piece_g is not None:
                return Weighed(quantity.times(preparation.piece_g))
        found = self.household.piece(self._names(line), word)
        if found is not None:
            return Weighed(quantity.times(found.value), found.ground)
        what = f"one {word} of '{line.name}'" if word else f"one '{line.name}'"
        mend = f"'measures: {{{word}: 5 g}}'" if word else "'makes: 8'" if preparation is not None else "'piece: 60 g'"
        return (
            f"'{line.text}' counts pieces, and nothing says what {what} weighs.",
            f"Add {mend} to its entry, or write the line by weight.",
        )
