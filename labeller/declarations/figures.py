"""Figures of a batch by one law's definitions: raw, missing, and rounded as that law prints them."""

import math
from functools import cached_property

import numpy as np

from labeller.declarations.rounding import round_declared
from labeller.foundations.plain import dataclass
from labeller.jurisdictions.in_force import LawInForce
from labeller.kitchen import constituents as c
from labeller.kitchen.batch import Batch
from labeller.kitchen.constituents import Floats
from labeller.kitchen.larder import FIGURE_INDEX, SALT_PER_SODIUM, Larder

# The figures of the contract's JSON, in its order; what a law adds follows.
MAIN_FIGURES = (
    "energy_kj", "energy_kcal", "fat_g", "saturates_g", "carbohydrate_g", "sugars_g", "fibre_g", "protein_g", "salt_g",
    "sodium_mg", "water_g", "alcohol_g",
)  # fmt: skip
# A law's own key to the column it is summed from; how it is known follows from the same name.
MORE_COLUMNS = {
    "mono_unsaturates_g": (c.MONO, "monounsaturates_g"), "polyunsaturates_g": (c.POLY, "polyunsaturates_g"),
    "trans_fat_g": (c.TRANS, "trans_fat_g"), "cholesterol_mg": (c.CHOLESTEROL_MG, "cholesterol_mg"),
    "potassium_mg": (c.POTASSIUM_MG, "potassium_mg"), "calcium_mg": (c.CALCIUM_MG, "calcium_mg"), "iron_mg": (c.IRON_MG, "iron_mg"),
    "vitamin_d_ug": (c.VITAMIN_D_UG, "vitamin_d_ug"), "polyols_g": (c.POLYOLS, "polyols_g"), "starch_g": (c.STARCH, "starch_g"),
    "sugar_alcohol_g": (c.POLYOLS, "polyols_g"), "caffeine_mg": (c.CAFFEINE_MG, "caffeine_mg"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Missing:
    """A figure that an ingredient lacks, and that ingredient's share of the ingoing weight."""

    nutrient: str
    ingredient: str
    share: float


@dataclass(frozen=True, slots=True)
class Figures:
    """Sums of one batch: unrounded, by the law's definitions, in the unit each key ends in."""

    weight_g: float
    sums: dict[str, float]
    missing: tuple[Missing, ...]

    def per_100_g(self) -> dict[str, float]:
        """Return the figures of 100 g."""
        factor = 100.0 / self.weight_g if self.weight_g > 0.0 else 0.0
        return {key: value * factor for key, value in self.sums.items()}

    def incomplete(self) -> frozenset[str]:
        """Return the figures with gaps."""
        return frozenset(one.nutrient for one in self.missing)


class Definitions:
    """How one law counts, worked out once for all ingredients of a book."""

    def __init__(self, law: LawInForce, larder: Larder) -> None:
        self.law, self.larder = law, larder
        self.with_fibre = law.definitions.carbohydrate_with_fibre
        self.by_nitrogen = law.definitions.protein.startswith("nitrogen")

    @cached_property
    def extra(self) -> tuple[str, ...]:
        """Figures that this law's panel must carry beyond the main ones."""
        wanted = [line.key for line in self.law.nutrients if line.mandatory and line.key not in MAIN_FIGURES]
        return tuple(dict.fromkeys(key for key in wanted if key in MORE_COLUMNS or key == "added_sugars_g"))

    @cached_property
    def keys(self) -> tuple[str, ...]:
        """Every figure that is worked out under this law."""
        return (*MAIN_FIGURES, *self.extra)

    @cached_property
    def sugar_factor(self) -> Floats:
        """Lower an ingredient's sugars to its carbohydrate where they stand above it. [1]"""
        per_gram = self.larder.per_gram
        carbohydrate = per_gram[:, c.DISSOLVING] + per_gram[:, c.STAYING]
        known = self.larder.known[:, FIGURE_INDEX["carbohydrate_without_fibre_g"]]
        if self.with_fibre:
            carbohydrate = carbohydrate + per_gram[:, c.FIBRE]
            known = self.larder.known[:, FIGURE_INDEX["carbohydrate_with_fibre_g"]]
        sugars = per_gram[:, c.SUGARS]
        lowered = np.divide(carbohydrate, sugars, out=np.ones_like(sugars), where=sugars > 0.0)
        return np.where(known, np.minimum(1.0, lowered), 1.0)

    @cached_property
    def known(self) -> dict[str, np.ndarray]:
        """Whether each figure is known, by ingredient."""
        known = self.larder.known

        def has(name: str) -> np.ndarray:
            return known[:, FIGURE_INDEX[name]]

        carbohydrate = has("carbohydrate_with_fibre_g" if self.with_fibre else "carbohydrate_without_fibre_g")
        energy = has("protein_g") & has("fat_g") & carbohydrate & has("alcohol_g")
        if not self.with_fibre:
            # A pack without fibre whose stated energy its other figures make has no gap there.
            energy = energy & (has("fibre_g") | self.larder.energy_agrees)
        found = {
            "energy_kj": energy, "energy_kcal": energy, "fat_g": has("fat_g"), "saturates_g": has("saturates_g"),
            "carbohydrate_g": carbohydrate, "sugars_g": has("sugars_g"), "fibre_g": has("fibre_g"), "protein_g": has("protein_g"),
            "salt_g": has("sodium_mg"), "sodium_mg": has("sodium_mg"), "water_g": has("water_g"), "alcohol_g": has("alcohol_g"),
            "added_sugars_g": has("added_sugars_g"),
        }  # fmt: skip
        found.update({key: has(name) for key, (_, name) in MORE_COLUMNS.items()})
        return found

    def figures_of(self, batch: Batch) -> Figures:
        """Sum a batch by this law's definitions.

        Notes
        -----
        Energy from grams: Regulation (EU) No 1169/2011, Annex XIV, kJ and kcal each by their own factors; 21 CFR 101.9(c)(1)(i)(B),
        4-4-9 on total carbohydrate, with 7 for alcohol; by which of the two another law counts stands in its data. A figure with gaps
        is the sum of what is known. Nothing is clamped after summing.
        """
        ids, rows = batch.ids, batch.rows
        sums: dict[str, float] = {}
        known = self.known
        add = _Adder(ids, rows, known)
        sums["fat_g"] = add.column("fat_g", c.FAT)
        sums["saturates_g"] = add.column("saturates_g", c.SATURATES)
        carbohydrate = rows[:, c.DISSOLVING] + rows[:, c.STAYING]
        if self.with_fibre:
            carbohydrate = carbohydrate + rows[:, c.FIBRE]
        sums["carbohydrate_g"] = add.values("carbohydrate_g", carbohydrate)
        sugars = rows[:, c.SUGARS] * self.sugar_factor[ids]
        sums["sugars_g"] = add.values("sugars_g", sugars)
        sums["fibre_g"] = add.column("fibre_g", c.FIBRE)
        protein = rows[:, c.PROTEIN] * self.larder.protein_factor[ids] if self.by_nitrogen else rows[:, c.PROTEIN]
        sums["protein_g"] = add.values("protein_g", protein)
        sums["sodium_mg"] = add.column("sodium_mg", c.SODIUM_MG)
        sums["salt_g"] = sums["sodium_mg"] * SALT_PER_SODIUM / 1000.0
        sums["water_g"] = float(rows[:, c.WATER].sum())
        sums["alcohol_g"] = float(rows[:, c.ETHANOL].sum())
        polyols = add.column("polyols_g", c.POLYOLS)
        for key in self.extra:
            if key == "added_sugars_g":
                share = np.nan_to_num(self.larder.added_share[ids])
                sums[key] = add.values(key, sugars * share)
            else:
                sums[key] = add.column(key, MORE_COLUMNS[key][0])
        sums["energy_kj"], sums["energy_kcal"] = self._energy(sums, polyols)
        ordered = {key: sums[key] for key in self.keys}
        return Figures(batch.weight_g, ordered, self._missing(batch))

    def _energy(self, sums: dict[str, float], polyols_g: float) -> tuple[float, float]:
        factors = self.law.energy_factors
        grams = {
            "fat": sums["fat_g"],
            "protein": sums["protein_g"],
            "alcohol": sums["alcohol_g"],
            "carbohydrate": sums["carbohydrate_g"],
        }
        if polyols_g > 0.0 and "polyols" in factors:
            grams["carbohydrate"] -= polyols_g
            grams["polyols"] = polyols_g
        if not self.with_fibre and "fibre" in factors:
            grams["fibre"] = sums["fibre_g"]
        # What a law gives no factor counts for nothing by that law.
        counted = [(value, factors[name]) for name, value in grams.items() if name in factors]
        kj = sum(value * factor.kj for value, factor in counted)
        kcal = sum(value * factor.kcal for value, factor in counted)
        method = self.law.energy_method
        if method.source == "kcal":
            kj = kcal * (method.kj_per_kcal or 4.184)
        elif method.source == "kj":
            kcal = kj / (method.kj_per_kcal or 4.184)
        return kj, kcal

    def _missing(self, batch: Batch) -> tuple[Missing, ...]:
        ingoing = {place: grams for place, grams in batch.ingoing().items() if grams > 0.0}
        total = sum(ingoing.values())
        found: list[Missing] = []
        for key in self.keys:
            known = self.known[key]
            gaps = [
                Missing(key, self.larder.names[place], grams / total if total > 0.0 else 0.0)
                for place, grams in ingoing.items()
                if not known[place]
            ]
            found.extend(sorted(gaps, key=lambda one: (-one.share, one.ingredient)))
        return tuple(found)

    def declared(self, figures: dict[str, float], incomplete: frozenset[str], basis: str) -> dict[str, str]:
        """Return the figures rounded as the law prints them, those with gaps left out."""
        rounding = self.law.rounding
        found: dict[str, str] = {}
        for line in self.law.nutrients:
            if (
                basis not in line.basis
                or line.key in incomplete
                or line.key not in figures
                or line.key not in rounding
                or line.key in found
            ):
                continue
            value = figures[line.key]
            if not math.isfinite(value):
                continue
            found[line.key] = round_declared(rounding, line.key, max(0.0, value))
        return found


class _Adder:
    """Sums rows over the ingredients whose figure is known."""

    def __init__(self, ids: np.ndarray, rows: Floats, known: dict[str, np.ndarray]) -> None:
        self.ids, self.rows, self.known = ids, rows, known

    def values(self, key: str, values: Floats) -> float:
        return float(values @ self.known[key][self.ids])

    def column(self, key: str, column: int) -> float:
        return self.values(key, self.rows[:, column])
