"""Units of recipes: what a cook writes, and how much it is.

References
----------
.. [1] US customary volumes: NIST Handbook 44 (2024), Appendix C; the teaspoon as one sixth of a fluid ounce.
.. [2] Imperial pint 568.26125 ml and fluid ounce 28.4130625 ml: Units of Measurement Regulations 1995 (United Kingdom).
.. [3] Metric spoons and cup of 250 ml, Australian tablespoon of 20 ml: common practice, no source.
"""

from typing import Literal

from labeller.foundations.plain import dataclass

UnitKind = Literal["mass", "volume", "small"]

MASS_G = {"mg": 0.001, "g": 1.0, "kg": 1000.0, "oz": 28.349523125, "lb": 453.59237}
"""Grams in one unit of mass; ounce and pound avoirdupois [1]_."""

_METRIC_ML = {"ml": 1.0, "cl": 10.0, "dl": 100.0, "l": 1000.0}
_SPOONS_ML: dict[str, dict[str, float]] = {
    "us": {
        "tsp": 4.92892159375,
        "tbsp": 14.78676478125,
        "cup": 236.5882365,
        "pint": 473.176473,
        "fl oz": 29.5735295625,
    },
    "au-nz": {"tsp": 5.0, "tbsp": 20.0, "cup": 250.0, "pint": 568.26125, "fl oz": 28.4130625},
    "": {"tsp": 5.0, "tbsp": 15.0, "cup": 250.0, "pint": 568.26125, "fl oz": 28.4130625},
}

_SPELLINGS: dict[str, tuple[UnitKind, str]] = {}
for _name, _others in {
    "mg": "milligram milligrams milligramme milligrammes",
    "g": "gram grams gramme grammes gr gm gms",
    "kg": "kilo kilos kilogram kilograms kilogramme kilogrammes kgs",
    "oz": "ounce ounces ozs",
    "lb": "pound pounds lbs",
}.items():
    for _spelling in [_name, *_others.split()]:
        _SPELLINGS[_spelling] = ("mass", _name)
for _name, _others in {
    "ml": "millilitre millilitres milliliter milliliters mls cc",
    "cl": "centilitre centilitres centiliter centiliters",
    "dl": "decilitre decilitres deciliter deciliters",
    "l": "litre litres liter liters ltr ltrs",
    "tsp": "teaspoon teaspoons tsps",
    "tbsp": "tablespoon tablespoons tbsps tbs",
    "cup": "cups",
    "pint": "pints pt pts",
}.items():
    for _spelling in [_name, *_others.split()]:
        _SPELLINGS[_spelling] = ("volume", _name)
for _spelling in ("fl oz", "floz", "fluid ounce", "fluid ounces", "fl ozs"):
    _SPELLINGS[_spelling] = ("volume", "fl oz")
for _name, _others in {"pinch": "pinches", "drop": "drops"}.items():
    for _spelling in [_name, _others]:
        _SPELLINGS[_spelling] = ("small", _name)
for _spelling in ("knife tip", "knife tips", "knife-tip", "knife point", "knife points"):
    _SPELLINGS[_spelling] = ("small", "knife tip")

METRIC_ABBREVIATIONS = frozenset({"mg", "g", "kg", "ml", "cl", "dl", "l", "oz", "lb"})


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit a cook wrote: its kind and its plain name."""

    kind: UnitKind
    name: str


def parse_unit(words: str) -> Unit | None:
    """Return the unit that folded ``words`` name, or None."""
    found = _SPELLINGS.get(words.removesuffix("."))
    return Unit(*found) if found else None


def unit_spellings(kind: UnitKind) -> tuple[str, ...]:
    """Return every spelling of the units of a kind, as folded text, the longest first."""
    return tuple(
        sorted((words for words, unit in _SPELLINGS.items() if unit[0] == kind), key=lambda one: (-len(one), one))
    )


def millilitres(unit: str, jurisdiction: str) -> float:
    """Return the volume of one unit as a jurisdiction measures it. [ml]

    Raises
    ------
    KeyError
        If ``unit`` is no unit of volume.
    """
    metric = _METRIC_ML.get(unit)
    if metric is not None:
        return metric
    return _SPOONS_ML.get(jurisdiction, _SPOONS_ML[""])[unit]
