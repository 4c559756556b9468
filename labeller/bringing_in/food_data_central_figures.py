"""Figures per 100 g from the nutrients of a fetched food, in the units of the book and by the definitions of its own law.

Nothing is guessed: a unit that is not known is refused, a figure that is not given stays missing.

References
----------
.. [1] Ids and numbers of nutrients as FoodData Central's replies and its ``nutrient.csv`` pair them; the numbers of 1009, 1292 and 1293 are
   from memory. Where a reply has both, the id decides; two that name two nutrients we take are refused.
.. [2] 1 µg of vitamin D = 40 IU: the two columns of the Standard Reference, Release 28, stand so.
.. [3] Salt is sodium x 2.5, protein is Kjeldahl nitrogen x 6.25: Regulation (EU) No 1169/2011, Annex I, 10 and 11.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from labeller.bringing_in.food_data_central_replies import Food, FoodNutrient
from labeller.bringing_in.food_data_central_settings import Trouble
from labeller.bringing_in.packs_figures import KJ_PER_KCAL, SALT_PER_SODIUM
from labeller.jurisdictions.terms import Definitions

NITROGEN_TO_PROTEIN: Final = 6.25
_IU_PER_UG: Final = 40.0
# Pure fat has 37 kJ or 9 kcal in a gram (Regulation (EU) No 1169/2011, Annex XIV); tables go a little higher with factors of their own.
_MOST_KCAL, _MOST_KJ = 950.0, 3970.0
# By difference means 100 g less everything analysed; where the analyses add up to a little more, the table prints a negative figure.
_LEAST_BY_DIFFERENCE_G: Final = -2.0
# Tolerances of the book's own check of energy: below them it has nothing to say.
_ENERGY_SHARE, _ENERGY_KJ = 0.2, 80.0

_GRAMS: Final = {"g": 1.0, "mg": 1e-3, "ug": 1e-6}
_UNIT_WORDS: Final = {
    "g": "g",
    "mg": "mg",
    "ug": "ug",
    "mcg": "ug",
    "μg": "ug",
    "kcal": "kcal",
    "kj": "kj",
    "iu": "iu",
}


@dataclass(frozen=True, slots=True)
class _Row:
    """A nutrient we take: what it gives, its id, its number, and its unit in the book."""

    key: str
    id: int
    number: str
    unit: str


_ROWS: Final = (
    _Row("nitrogen_g", 1002, "202", "g"),
    _Row("protein_g", 1003, "203", "g"),
    _Row("fat_g", 1004, "204", "g"),
    _Row("carbohydrate_g", 1005, "205", "g"),
    _Row("energy_kcal", 1008, "208", "kcal"),
    _Row("starch_g", 1009, "209", "g"),
    _Row("alcohol_g", 1018, "221", "g"),
    _Row("water_g", 1051, "255", "g"),
    _Row("caffeine_mg", 1057, "262", "mg"),
    _Row("energy_kj", 1062, "268", "kj"),
    _Row("sugars_without_nlea_g", 1063, "269.3", "g"),
    _Row("fibre_g", 1079, "291", "g"),
    _Row("calcium_mg", 1087, "301", "mg"),
    _Row("iron_mg", 1089, "303", "mg"),
    _Row("potassium_mg", 1092, "306", "mg"),
    _Row("sodium_mg", 1093, "307", "mg"),
    _Row("vitamin_d_by_unit_ug", 1110, "324", "ug"),
    _Row("vitamin_d_ug", 1114, "328", "ug"),
    _Row("added_sugars_g", 1235, "539", "g"),
    _Row("cholesterol_mg", 1253, "601", "mg"),
    _Row("trans_fat_g", 1257, "605", "g"),
    _Row("saturates_g", 1258, "606", "g"),
    _Row("monounsaturates_g", 1292, "645", "g"),
    _Row("polyunsaturates_g", 1293, "646", "g"),
    _Row("sugars_g", 2000, "269", "g"),
    _Row("fibre_by_2011_25_g", 2033, "293", "g"),
    _Row("energy_by_general_factors_kcal", 2047, "957", "kcal"),
)
_BY_ID: Final = {row.id: row for row in _ROWS}
_BY_NUMBER: Final = {row.number: row for row in _ROWS}
# What every panel of a law needs; said where it is missing.
_PANEL: Final = ("fat_g", "saturates_g", "carbohydrate_g", "sugars_g", "fibre_g", "protein_g", "sodium_mg")
_ORDER: Final = (
    "energy_kj", "energy_kcal", "fat_g", "saturates_g", "monounsaturates_g", "polyunsaturates_g", "trans_fat_g", "carbohydrate_g",
    "sugars_g", "added_sugars_g", "starch_g", "fibre_g", "protein_g", "salt_g", "sodium_mg", "alcohol_g", "water_g", "cholesterol_mg",
    "potassium_mg", "calcium_mg", "iron_mg", "vitamin_d_ug", "caffeine_mg",
)  # fmt: skip
SPOKEN: Final = {
    "fat_g": "fat", "saturates_g": "saturates", "carbohydrate_g": "carbohydrate", "sugars_g": "sugars", "fibre_g": "fibre",
    "protein_g": "protein", "sodium_mg": "sodium",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Worked:
    """Figures of 100 g as the book wants them, what was done to get them, and what the table does not give."""

    figures: Mapping[str, float]
    notes: tuple[str, ...]
    missing: tuple[str, ...]


def given_figures(nutrients: tuple[FoodNutrient, ...]) -> dict[str, float] | Trouble:
    """Return the nutrients we take in the units of the book, as the table gives them; those without a figure are left out.

    Returns
    -------
    dict or Trouble
        By key, in 100 g; or what cannot be: an unknown unit, a figure below 0 or above 100 g, two figures that differ.
    """
    found: dict[str, float] = {}
    for one in nutrients:
        row = _row_of(one)
        if isinstance(row, Trouble):
            return row
        if row is None or one.figure is None:
            continue
        value = _in_unit(one, row)
        if isinstance(value, Trouble):
            return value
        impossible = _impossible(one, row, value)
        if impossible:
            return _refuse(one, impossible)
        if row.key in found and abs(found[row.key] - value) > 1e-9 * max(1.0, abs(value)):
            return _refuse(one, f"is given twice, as {found[row.key]:g} and {value:g} {row.unit}")
        found[row.key] = value
    return found


def _row_of(one: FoodNutrient) -> _Row | Trouble | None:
    by_id = _BY_ID.get(one.id) if one.id is not None else None
    by_number = _BY_NUMBER.get(one.number) if one.number is not None else None
    if by_id is not None and by_number is not None and by_id is not by_number:
        return _refuse(one, f"has the id {one.id} and the number {one.number}, which belong to two nutrients")
    return by_id or by_number


def _in_unit(one: FoodNutrient, row: _Row) -> float | Trouble:
    """Return a figure in the unit of its row."""
    value = one.figure or 0.0
    unit = _UNIT_WORDS.get(one.unit.casefold().strip(), "")
    if unit in _GRAMS and row.unit in _GRAMS:
        return value * _GRAMS[unit] / _GRAMS[row.unit]
    if unit == "iu" and row.key.startswith("vitamin_d"):
        return value / _IU_PER_UG
    if unit in ("kcal", "kj") and row.unit in ("kcal", "kj"):
        factor = {("kj", "kcal"): 1.0 / KJ_PER_KCAL, ("kcal", "kj"): KJ_PER_KCAL}.get((unit, row.unit), 1.0)
        return value * factor
    return _refuse(one, f"is given in '{one.unit[:20]}', which is no unit of it" if one.unit else "has no unit")


def _impossible(one: FoodNutrient, row: _Row, value: float) -> str:
    """Return why a figure cannot be, or ''."""
    said = f"is {one.figure:g} {one.unit} in 100 g"
    if value < 0.0 and not (row.key == "carbohydrate_g" and value >= _LEAST_BY_DIFFERENCE_G):
        return f"{said}, which is below 0"
    if row.unit in _GRAMS and value * _GRAMS[row.unit] > 100.0:
        return f"{said}, which is more than all of it"
    if value > {"kcal": _MOST_KCAL, "kj": _MOST_KJ}.get(row.unit, float("inf")):
        return f"{said}, which is more than pure fat has"
    return ""


def _refuse(one: FoodNutrient, problem: str) -> Trouble:
    name = one.name[:60] or f"nutrient {one.number or one.id}"
    return Trouble(
        f"'{name}' {problem}.", "Nothing was taken of this food. Take another one, or write it from a pack."
    )


def work_out_figures(food: Food, definitions: Definitions) -> Worked | Trouble:
    """Return the figures of a fetched food as a pack under the book's own law would print them, unrounded.

    Parameters
    ----------
    food : Food
        As fetched.
    definitions : Definitions
        Whether carbohydrate holds the fibre, protein is nitrogen x 6.25, and salt or sodium is declared.
    """
    read = given_figures(food.nutrients)
    if isinstance(read, Trouble):
        return read
    given, notes = dict(read), list[str]()
    if not given:
        return Trouble(
            f"Food {food.fdc_id}, '{food.description}', has no figures.", "Take another one, or write it from a pack."
        )
    _take_second_best(given, notes)
    wrong = _carbohydrate(given, notes, with_fibre=definitions.carbohydrate_with_fibre) or _protein(
        food, given, notes, by_nitrogen=definitions.protein.startswith("nitrogen")
    )
    if wrong is not None:
        return wrong
    missing = tuple(SPOKEN[key] for key in _PANEL if key not in given)
    wrong = _energy(given, notes, with_fibre=definitions.carbohydrate_with_fibre)
    if wrong is not None:
        return wrong
    if definitions.salt_or_sodium == "salt" and "sodium_mg" in given:
        given["salt_g"] = given.pop("sodium_mg") * SALT_PER_SODIUM / 1000.0
        notes.append("salt is sodium x 2.5")
    return Worked({key: given[key] for key in _ORDER if key in given}, tuple(notes), missing)


def _take_second_best(given: dict[str, float], notes: list[str]) -> None:
    """Let a figure found another way stand in for the usual one, and say so."""
    for key, other, words in (
        ("sugars_g", "sugars_without_nlea_g", ""),
        ("fibre_g", "fibre_by_2011_25_g", "fibre by AOAC 2011.25"),
        ("vitamin_d_ug", "vitamin_d_by_unit_ug", "vitamin D from its international units, 40 to 1 µg"),
        ("energy_kcal", "energy_by_general_factors_kcal", ""),
    ):
        second = given.pop(other, None)
        if key not in given and second is not None:
            given[key] = second
            if words:
                notes.append(words)


def _carbohydrate(given: dict[str, float], notes: list[str], *, with_fibre: bool) -> Trouble | None:
    """Set carbohydrate by the law's definition; where it cannot be told from the fibre it stays missing."""
    total = given.pop("carbohydrate_g", None)
    if total is None:
        return None
    if total < 0.0:
        notes.append(f"carbohydrate by difference is given as {total:g} g and taken as 0")
        total = 0.0
    if with_fibre or total == 0.0:
        given["carbohydrate_g"] = total
        return None
    fibre = given.get("fibre_g")
    if fibre is None:
        notes.append(
            f"carbohydrate {total:g} g holds the fibre, which is not given, so that without fibre is not known"
        )
        return None
    available = total - fibre
    if available < _LEAST_BY_DIFFERENCE_G:
        return Trouble(
            f"The fibre, {fibre:g} g, is more than the carbohydrate by difference, {total:g} g.",
            "Nothing was taken of this food. Take another one, or write it from a pack.",
        )
    given["carbohydrate_g"] = max(0.0, available)
    notes.append("carbohydrate is that by difference less the fibre")
    return None


def _protein(food: Food, given: dict[str, float], notes: list[str], *, by_nitrogen: bool) -> Trouble | None:
    """Set protein by the law's definition."""
    nitrogen = given.pop("nitrogen_g", None)
    if not by_nitrogen or "protein_g" not in given:
        return None
    factors = {one.value for one in food.factors if one.type == ".ProteinConversionFactor" and one.value is not None}
    if len(factors) == 1:
        factor = factors.pop()
        if not 1.0 < factor < 10.0:
            return Trouble(
                f"The factor from nitrogen to protein is given as {factor:g}, which none is.",
                "Nothing was taken of this food. Take another one, or write it from a pack.",
            )
        if factor != NITROGEN_TO_PROTEIN:
            notes.append(f"protein {given['protein_g']:g} g by the factor {factor:g}, here nitrogen x 6.25")
            given["protein_g"] *= NITROGEN_TO_PROTEIN / factor
    elif nitrogen is not None:
        notes.append(f"protein is nitrogen, {nitrogen:g} g, x 6.25")
        given["protein_g"] = nitrogen * NITROGEN_TO_PROTEIN
    else:
        notes.append("protein as the table gives it: its factor from nitrogen is not given")
    if given["protein_g"] > 100.0:
        return Trouble(
            f"Protein as nitrogen x 6.25 comes to {given['protein_g']:.1f} g in 100 g.",
            "Nothing was taken of this food. Take another one, or write it from a pack.",
        )
    return None


def _energy(given: dict[str, float], notes: list[str], *, with_fibre: bool) -> Trouble | None:
    """Keep the energy only where it can check the other figures, which is all it is for."""
    kcal, kj = given.get("energy_kcal"), given.get("energy_kj")
    if kcal is not None and kj is not None and abs(kj - kcal * KJ_PER_KCAL) > max(0.05 * kj, 20.0):
        return Trouble(
            f"Energy is given as {kj:g} kJ and {kcal:g} kcal, which do not agree: 1 kcal is 4.184 kJ.",
            "Nothing was taken of this food. Take another one, or write it from a pack.",
        )
    stated_kj = kj if kj is not None else kcal * KJ_PER_KCAL if kcal is not None else None
    if stated_kj is None or not {"fat_g", "protein_g", "carbohydrate_g"} <= set(given):
        return None
    # Factors of Regulation (EU) No 1169/2011, Annex XIV, as the book's own check uses them.
    fibre = given.get("fibre_g", 0.0)
    available = max(0.0, given["carbohydrate_g"] - (fibre if with_fibre else 0.0))
    worked_kj = (
        37.0 * given["fat_g"]
        + 17.0 * (given["protein_g"] + available)
        + 29.0 * given.get("alcohol_g", 0.0)
        + (17.0 if with_fibre else 8.0) * fibre
    )
    if abs(stated_kj - worked_kj) > max(_ENERGY_SHARE * worked_kj, _ENERGY_KJ):
        notes.append(f"the table's own energy, {stated_kj:.0f} kJ by factors of the food, is left out")
        given.pop("energy_kcal", None)
        given.pop("energy_kj", None)
    return None
