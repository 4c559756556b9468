"""The words by which a figure of a declaration can be asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from labeller.foundations.names import name_key

if TYPE_CHECKING:
    from collections.abc import Iterable

    from labeller.jurisdictions.in_force import LawInForce

# Plain words for figures whose key says it otherwise.
PLAIN_WORDS = {
    "energy": "energy_kj", "kj": "energy_kj", "kilojoules": "energy_kj", "kcal": "energy_kcal", "calories": "energy_kcal",
    "saturated fat": "saturates_g", "saturated fatty acids": "saturates_g", "carbohydrates": "carbohydrate_g", "carbs": "carbohydrate_g",
    "sugar": "sugars_g", "fiber": "fibre_g", "dietary fibre": "fibre_g",
}  # fmt: skip
# Figures a guest may dose on that not every law's panel carries: the word, and the key.
MORE_FIGURES = {
    "potassium": "potassium_mg", "calcium": "calcium_mg", "iron": "iron_mg", "vitamin d": "vitamin_d_ug",
    "cholesterol": "cholesterol_mg", "trans fat": "trans_fat_g", "polyols": "polyols_g", "starch": "starch_g",
}  # fmt: skip
ALCOHOL_WORDS = ("alcohol", "ethanol", "alcohol_g", "strength")
WEIGHT_WORDS = ("weight", "weight_g", "mass", "grams")


def figure_key(word: str) -> str:
    """Return the form in which two words for one figure meet."""
    return name_key(word.replace("_", " "))


def figures_by_word(law: LawInForce, keys: Iterable[str]) -> dict[str, str]:
    """Return the figure that each word means under a law: its key, the law's own label, the plain words of people.

    Parameters
    ----------
    keys : iterable of str
        Every figure that is worked out under this law.
    """
    known = tuple(keys)
    words: dict[str, str] = {}
    for key in known:
        words.setdefault(figure_key(key), key)
        words.setdefault(figure_key(key.rsplit("_", 1)[0]), key)
    for line in law.nutrients:
        if line.key in known:
            words.setdefault(name_key(line.label), line.key)
    for word, key in PLAIN_WORDS.items():
        words.setdefault(name_key(word), key)
    words[name_key("energy")] = "energy_kcal" if law.energy_method.source == "kcal" else "energy_kj"
    return words
