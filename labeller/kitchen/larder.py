"""What one gram of every ingredient is made of, closed to the gram, from its pack, its row and its strength."""

import math

import numpy as np

from labeller.book.entries import Ingredient
from labeller.book.fields import Notes
from labeller.composition.table import Table
from labeller.foundations.ethanol_water import ethanol_in_100_g
from labeller.foundations.faults import Fault
from labeller.foundations.plain import dataclass
from labeller.kitchen import constituents as c
from labeller.kitchen.added_sugars import added_share
from labeller.kitchen.constituents import Floats

# Figures that may be missing; the order is that of ``Larder.known``.
FIGURES = (
    "protein_g", "fat_g", "carbohydrate_without_fibre_g", "carbohydrate_with_fibre_g", "fibre_g", "saturates_g",
    "monounsaturates_g", "polyunsaturates_g", "trans_fat_g", "sugars_g", "polyols_g", "starch_g", "sodium_mg", "cholesterol_mg",
    "potassium_mg", "calcium_mg", "iron_mg", "vitamin_d_ug", "caffeine_mg", "water_g", "alcohol_g", "added_sugars_g",
)  # fmt: skip
FIGURE_INDEX = {name: place for place, name in enumerate(FIGURES)}

_ROW_COLUMNS = {
    c.SATURATES: "saturates_g", c.MONO: "monounsaturates_g", c.POLY: "polyunsaturates_g", c.SUGARS: "sugars_g",
    c.SODIUM_MG: "sodium_mg", c.CHOLESTEROL_MG: "cholesterol_mg", c.POTASSIUM_MG: "potassium_mg", c.CALCIUM_MG: "calcium_mg",
    c.IRON_MG: "iron_mg", c.VITAMIN_D_UG: "vitamin_d_ug",
}  # fmt: skip
_PACK_COLUMNS = {
    "saturates_g": c.SATURATES, "monounsaturates_g": c.MONO, "polyunsaturates_g": c.POLY, "trans_fat_g": c.TRANS,
    "sugars_g": c.SUGARS, "polyols_g": c.POLYOLS, "starch_g": c.STARCH, "sodium_mg": c.SODIUM_MG, "cholesterol_mg": c.CHOLESTEROL_MG,
    "potassium_mg": c.POTASSIUM_MG, "calcium_mg": c.CALCIUM_MG, "iron_mg": c.IRON_MG, "vitamin_d_ug": c.VITAMIN_D_UG,
    "caffeine_mg": c.CAFFEINE_MG,
}  # fmt: skip
# Food groups of the table in which carbohydrate beyond the sugars is starch and stays with its line; elsewhere it is acids and
# the like, which dissolve (derived: fruit carbohydrate by difference holds its acids).
_STARCHY_GROUPS = frozenset({"0800", "1100", "1200", "1600", "1800", "2000", "0200"})
_LIQUID_GROUPS = frozenset({"1400"})
_LIQUID_WORDS = (
    "juice",
    "fluid",
    "oil,",
    "vinegar",
    "water",
    "milk",
    "cream",
    "extract",
    "sauce, soy",
    "syrup",
    "nectar",
)
_NOT_LIQUID_WORDS = (
    "powder",
    "dry",
    "dried",
    "cheese",
    "frozen",
    "whipped",
    "cultured",
    "ice cream",
    "canned in",
    "packed in",
    "with water added",
    "chestnut",
    "watermelon",
    "watercress",
    "coconut meat",
    "concentrate,",
)
SALT_PER_SODIUM = 2.5  # Regulation (EU) No 1169/2011, Annex I, 11: salt is sodium x 2.5


@dataclass(frozen=True, slots=True)
class Larder:
    """All ingredients of a book as figures.

    Attributes
    ----------
    names : tuple[str, ...]
        The ingredients; their place is the id that batches use.
    per_gram : (n_ingredients, 29)
        Constituents of one gram, ``INGOING`` 1, missing figures 0. [g/g, mg/g, ug/g]
    known : (n_ingredients, 22)
        Whether each of ``FIGURES`` is known.
    protein_factor : (n_ingredients,)
        6.25 over the nitrogen factor of the row, 1 where the pack gives the protein. [1]
    added_share : (n_ingredients,)
        Share of the sugars that were added as sugars, NaN where it cannot be said. [1]
    liquid : (n_ingredients,)
        Whether it pours.
    ethanol_bearing : (n_ingredients,)
        Whether it is an alcoholic drink or extract, however little is left of it.
    water_calculated : (n_ingredients,)
        Whether its water was set by difference.
    energy_agrees : (n_ingredients,)
        Whether the pack states the energy that its figures make without any fibre, so that a missing fibre figure leaves no
        gap in the energy.
    """

    names: tuple[str, ...]
    ids: dict[str, int]
    entries: tuple[Ingredient, ...]
    rows: tuple[int | None, ...]
    per_gram: Floats
    known: np.ndarray
    protein_factor: Floats
    added_share: Floats
    liquid: tuple[bool, ...]
    ethanol_bearing: tuple[bool, ...]
    water_calculated: tuple[bool, ...]
    energy_agrees: np.ndarray


@dataclass(slots=True)
class _Food:
    """One ingredient on its way to figures, per 100 g."""

    figures: Floats
    known: np.ndarray
    protein_factor: float = 1.0
    liquid: bool = False
    ethanol_bearing: bool = False
    water_calculated: bool = False


def stock_larder(
    ingredients: dict[str, Ingredient], table: Table, notes: Notes, *, pack_carbohydrate_with_fibre: bool
) -> Larder:
    """Turn every ingredient into figures; what does not add up is noted as a fault.

    Parameters
    ----------
    ingredients : dict[str, Ingredient]
        By name, in the order their ids will have.
    table : Table
        The reference table.
    notes : Notes
        Takes faults and advice.
    pack_carbohydrate_with_fibre : bool
        How the law of the book's own jurisdiction defines the carbohydrate a pack prints.
    """
    names = tuple(ingredients)
    n = len(names)
    per_gram = np.zeros((n, c.COLUMNS))
    known = np.zeros((n, len(FIGURES)), dtype=bool)
    protein_factor, added = np.ones(n), np.full(n, np.nan)
    liquid, bearing, calculated, agrees = [], [], [], []
    rows: list[int | None] = []
    for place, name in enumerate(names):
        entry = ingredients[name]
        row = table.row_index(entry.composition) if entry.composition else None
        rows.append(row)
        food = (
            _from_row(table, row)
            if row is not None
            else _Food(np.zeros(c.COLUMNS), np.zeros(len(FIGURES), dtype=bool))
        )
        if row is None and entry.density_g_per_ml is not None:
            food.liquid = True
        if entry.per_100_g:
            _apply_pack(food, entry, with_fibre=pack_carbohydrate_with_fibre)
        if entry.strength_percent_vol is not None:
            _apply_strength(food, entry, notes)
        if entry.per_100_g or entry.strength_percent_vol is not None:
            _close_with_water(food, entry, notes, has_row=row is not None)
        elif row is None:
            food.figures[c.OTHER] = 100.0  # a bare name counts by weight
        if entry.sulphites_mg_per_kg is not None:
            food.figures[c.SO2_MG] = entry.sulphites_mg_per_kg / 10.0
        food.ethanol_bearing = (
            food.ethanol_bearing or bool(entry.strength_percent_vol) or food.figures[c.ETHANOL] > 0.0
        )
        per_gram[place] = food.figures / 100.0
        per_gram[place, c.INGOING] = 1.0
        per_gram[place, c.CASES] = per_gram[place, c.ETHANOL]
        known[place] = food.known
        protein_factor[place] = food.protein_factor
        added[place] = added_share(entry, table, row, _sugars_of(food))
        liquid.append(food.liquid)
        bearing.append(food.ethanol_bearing)
        calculated.append(food.water_calculated)
        agrees.append(_check_energy(food, entry, notes, with_fibre=pack_carbohydrate_with_fibre))
    known[:, FIGURE_INDEX["added_sugars_g"]] = ~np.isnan(added)
    return Larder(
        names,
        {name: place for place, name in enumerate(names)},
        tuple(ingredients[name] for name in names),
        tuple(rows),
        per_gram,
        known,
        protein_factor,
        added,
        tuple(liquid),
        tuple(bearing),
        tuple(calculated),
        np.array(agrees, dtype=bool),
    )


def _from_row(table: Table, row: int) -> _Food:
    """Take a row of the table: a blank stays unknown; carbohydrate by difference is split from its fibre where that is known."""
    figure: dict[str, float] = dict(zip(table.columns, table.figures[row].tolist(), strict=True))
    out, known = np.zeros(c.COLUMNS), np.zeros(len(FIGURES), dtype=bool)

    def value(name: str) -> float:
        number = figure[name]
        return 0.0 if math.isnan(number) else number

    def has(name: str) -> bool:
        return not math.isnan(figure[name])

    total = value("carbohydrate_g")
    # With no carbohydrate there are no sugars and no fibre; with no fat, no fatty acids (safe inference).
    fibre_known = has("fibre_g") or (has("carbohydrate_g") and total == 0.0)
    fibre = min(value("fibre_g"), total) if has("fibre_g") else 0.0
    available = total - fibre
    sugars_known = has("sugars_g") or (has("carbohydrate_g") and total == 0.0)
    sugars = value("sugars_g")
    out[c.WATER], out[c.PROTEIN], out[c.FAT], out[c.ASH] = (
        value("water_g"),
        value("protein_g"),
        value("fat_g"),
        value("ash_g"),
    )
    out[c.FIBRE], out[c.ETHANOL], out[c.OTHER] = fibre, value("ethanol_g"), value("other_g")
    starchy = table.group(row) in _STARCHY_GROUPS
    out[c.DISSOLVING] = min(sugars, available) if starchy else available
    out[c.STAYING] = available - out[c.DISSOLVING]
    for column, name in _ROW_COLUMNS.items():
        out[column] = value(name)
        known[FIGURE_INDEX[name]] = has(name)
    no_fat = has("fat_g") and value("fat_g") == 0.0
    for name in ("saturates_g", "monounsaturates_g", "polyunsaturates_g"):
        known[FIGURE_INDEX[name]] |= no_fat
    for name in ("protein_g", "fat_g", "water_g"):
        known[FIGURE_INDEX[name]] = has(name)
    known[FIGURE_INDEX["fibre_g"]] = fibre_known
    known[FIGURE_INDEX["sugars_g"]] = sugars_known
    known[FIGURE_INDEX["carbohydrate_with_fibre_g"]] = has("carbohydrate_g")
    known[FIGURE_INDEX["carbohydrate_without_fibre_g"]] = has("carbohydrate_g") and fibre_known
    known[FIGURE_INDEX["alcohol_g"]] = True
    known[FIGURE_INDEX["trans_fat_g"]] = no_fat
    for name in ("polyols_g", "starch_g"):
        known[FIGURE_INDEX[name]] = has("carbohydrate_g") and total == 0.0
    nitrogen = figure["nitrogen_factor"]
    name_low = table.name(row).lower()
    bearing = table.is_ethanol_bearing(row)
    liquid = (table.group(row) in _LIQUID_GROUPS or any(word in name_low for word in _LIQUID_WORDS)) and not any(
        word in name_low for word in _NOT_LIQUID_WORDS
    )
    factor = 6.25 / nitrogen if nitrogen > 0.0 else 1.0  # a blank compares as False
    return _Food(out, known, factor, liquid or bearing, bearing)


def _apply_pack(food: _Food, entry: Ingredient, *, with_fibre: bool) -> None:
    """Let the pack's figures win over the row's, figure by figure."""
    pack, out, known = entry.per_100_g, food.figures, food.known
    if "salt_g" in pack and "sodium_mg" not in pack:
        pack = {**pack, "sodium_mg": pack["salt_g"] / SALT_PER_SODIUM * 1000.0}
    if "protein_g" in pack:
        out[c.PROTEIN], food.protein_factor = pack["protein_g"], 1.0  # pack figures as they are
        known[FIGURE_INDEX["protein_g"]] = True
    if "fat_g" in pack:
        out[c.FAT] = pack["fat_g"]
        known[FIGURE_INDEX["fat_g"]] = True
        if pack["fat_g"] == 0.0:
            for name in ("saturates_g", "monounsaturates_g", "polyunsaturates_g", "trans_fat_g"):
                known[FIGURE_INDEX[name]] = True
                out[_PACK_COLUMNS[name]] = 0.0
    for name, column in _PACK_COLUMNS.items():
        if name in pack:
            out[column] = pack[name]
            known[FIGURE_INDEX[name]] = True
    _apply_carbohydrate(food, pack, with_fibre=with_fibre)
    if "alcohol_g" in pack:
        out[c.ETHANOL] = pack["alcohol_g"]
    known[FIGURE_INDEX["alcohol_g"]] = True
    if "sodium_mg" in pack:
        # All of a pack's sodium counts as salt, which is part of the minerals; a row's own two figures are left as they are.
        out[c.ASH] = max(out[c.ASH], out[c.SODIUM_MG] * SALT_PER_SODIUM / 1000.0)
    out[c.SATURATES] = min(out[c.SATURATES], out[c.FAT]) if "saturates_g" not in pack else out[c.SATURATES]


def _apply_carbohydrate(food: _Food, pack: dict[str, float], *, with_fibre: bool) -> None:
    out, known = food.figures, food.known
    fibre_known = bool(known[FIGURE_INDEX["fibre_g"]])
    if "fibre_g" in pack:
        if "carbohydrate_g" not in pack and not fibre_known:
            # The row's carbohydrate held its fibre unseen; now it can be told apart.
            moved = min(pack["fibre_g"], out[c.STAYING] + out[c.DISSOLVING])
            taken = min(moved, out[c.STAYING])
            out[c.STAYING] -= taken
            out[c.DISSOLVING] -= moved - taken
            known[FIGURE_INDEX["carbohydrate_without_fibre_g"]] = known[FIGURE_INDEX["carbohydrate_with_fibre_g"]]
        out[c.FIBRE] = pack["fibre_g"]
        known[FIGURE_INDEX["fibre_g"]] = fibre_known = True
    if "carbohydrate_g" not in pack:
        if (
            "sugars_g" in pack
            and not known[FIGURE_INDEX["carbohydrate_with_fibre_g"]]
            and not known[FIGURE_INDEX["carbohydrate_without_fibre_g"]]
        ):
            out[c.DISSOLVING], out[c.STAYING] = pack["sugars_g"], 0.0
        return
    carbohydrate = pack["carbohydrate_g"]
    available = max(0.0, carbohydrate - out[c.FIBRE]) if with_fibre else carbohydrate
    before = out[c.DISSOLVING] + out[c.STAYING]
    staying_share = out[c.STAYING] / before if before > 0.0 else 0.0
    out[c.STAYING] = available * staying_share
    out[c.DISSOLVING] = available - out[c.STAYING]
    known[FIGURE_INDEX["carbohydrate_with_fibre_g"]] = with_fibre or fibre_known
    known[FIGURE_INDEX["carbohydrate_without_fibre_g"]] = not with_fibre or fibre_known
    if carbohydrate == 0.0:
        for name, column in (("sugars_g", c.SUGARS), ("polyols_g", c.POLYOLS), ("starch_g", c.STARCH)):
            if name not in pack:
                out[column] = 0.0
            known[FIGURE_INDEX[name]] = True


def _apply_strength(food: _Food, entry: Ingredient, notes: Notes) -> None:
    """Set ethanol by solving the mix for the stated strength with the food's dissolved solids; the row's own is dropped."""
    out = food.figures
    out[c.ETHANOL] = 0.0
    solids = float(out[c.MASS].sum() - out[c.WATER])
    food.known[FIGURE_INDEX["alcohol_g"]] = True
    food.liquid = True
    strength = (entry.strength_percent_vol or 0.0) / 100.0
    try:
        out[c.ETHANOL] = ethanol_in_100_g(strength, max(0.0, solids))
    except ValueError:
        notes.faults.append(
            Fault(
                entry.origin,
                "strength",
                f"'{entry.name}' cannot be {strength * 100:g} % vol with {solids:.1f} g of dissolved solids in 100 g.",
                "Look at the bottle again: its strength, and the figures of per_100_g.",
            )
        )


def _close_with_water(food: _Food, entry: Ingredient, notes: Notes, *, has_row: bool) -> None:
    """Set water by difference so that the constituents add to 100 g."""
    out = food.figures
    rest = float(out[c.MASS].sum() - out[c.WATER])
    water = 100.0 - rest
    if "water_g" in entry.per_100_g:
        water = min(entry.per_100_g["water_g"], max(0.0, water))
        out[c.OTHER] += 100.0 - rest - water
    elif -1e-6 < water < 0.0:
        water = 0.0
    if water < 0.0:
        shown = (
            ", ".join(f"{key} {entry.per_100_g[key]:g}" for key in entry.per_100_g if key.endswith("_g")) or "its row"
        )
        notes.faults.append(
            Fault(
                entry.origin,
                "per_100_g",
                f"the constituents of '{entry.name}' add to {rest:.1f} g in 100 g, which leaves {water:.1f} g of water ({shown}).",
                "Look at the pack again: figures for 100 g, not for a portion; or leave out the row that does not fit it.",
            )
        )
        water = 0.0
    out[c.WATER] = water
    food.water_calculated = True
    food.known[FIGURE_INDEX["water_g"]] = has_row or bool(entry.per_100_g) or entry.strength_percent_vol is not None
    if not has_row and not entry.per_100_g and entry.strength_percent_vol is not None:
        # A drink known by its strength alone: the solids in it are not known, only its ethanol is.
        food.known[FIGURE_INDEX["water_g"]] = False


def _check_energy(food: _Food, entry: Ingredient, notes: Notes, *, with_fibre: bool) -> bool:
    """Compare the pack's energy with its own figures; a difference beyond a fifth is worth a look.

    Returns
    -------
    bool
        Whether the two are so near that no fibre to speak of can stand between them.
    """
    pack = entry.per_100_g
    stated_kj = pack.get("energy_kj", pack["energy_kcal"] * 4.184 if "energy_kcal" in pack else None)
    if stated_kj is None:
        return False
    out = food.figures
    # Factors of Regulation (EU) No 1169/2011, Annex XIV; they serve here for every jurisdiction, within the tolerance.
    carbohydrate = out[c.DISSOLVING] + out[c.STAYING]
    worked_kj = (
        37 * out[c.FAT]
        + 17 * carbohydrate
        + 17 * out[c.PROTEIN]
        + 29 * out[c.ETHANOL]
        + (17 if with_fibre else 8) * out[c.FIBRE]
    )
    field = "per_100_g.energy_kj" if "energy_kj" in pack else "per_100_g.energy_kcal"
    needed = all(food.known[FIGURE_INDEX[name]] for name in ("fat_g", "protein_g")) and (
        food.known[FIGURE_INDEX["carbohydrate_without_fibre_g"]]
        or food.known[FIGURE_INDEX["carbohydrate_with_fibre_g"]]
    )
    if needed and abs(stated_kj - worked_kj) > max(0.2 * worked_kj, 80.0):
        notes.advice.append(
            Fault(
                entry.origin,
                field,
                f"'{entry.name}' states {stated_kj:.0f} kJ and its figures make {worked_kj:.0f} kJ.",
                "Look at the pack again: kJ and kcal swapped, a figure for a portion, or alcohol without its 'strength'.",
            )
        )
    if (
        "energy_kj" in pack
        and "energy_kcal" in pack
        and not 3.7 <= pack["energy_kj"] / max(pack["energy_kcal"], 0.1) <= 4.7
        and pack["energy_kj"] > 40
    ):
        notes.advice.append(
            Fault(
                entry.origin,
                "per_100_g.energy_kcal",
                f"{pack['energy_kj']:g} kJ and {pack['energy_kcal']:g} kcal do not agree: 1 kcal is 4.184 kJ.",
                "Look at the pack again.",
            )
        )
    # Fibre need not stand on a pack (Regulation (EU) No 1169/2011, Article 30(1)); of what it states, rounding alone moves the energy by
    # about this much: half a gram of fat is 18.5 kJ (Annex XIV).
    return bool(needed) and abs(stated_kj - worked_kj) <= max(0.05 * worked_kj, 20.0)


def _sugars_of(food: _Food) -> float | None:
    """Return the sugars in 100 g, None where they are not known. [g/100 g]"""
    return float(food.figures[c.SUGARS]) if food.known[FIGURE_INDEX["sugars_g"]] else None
