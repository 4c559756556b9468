"""Which sugars of an ingredient the law of the United States calls added."""

from labeller.book.entries import Ingredient
from labeller.composition.table import Table

_SWEETENED = (
    "sweetened",
    "candied",
    "with sugar",
    "syrup",
    "flavored",
    "condensed",
    "chocolate",
    "pie filling",
    "cocktail",
)
# Dairy, spices, oils, poultry, fruit, pork, vegetables, nuts, beef, fish, legumes, lamb, cereals: what stands in their rows grew in them.
_GROWN = frozenset(
    {"0100", "0200", "0400", "0500", "0900", "1000", "1100", "1200", "1300", "1500", "1600", "1700", "2000"}
)
_SUGAR_GROUP, _DRINK_GROUP = "1900", "1400"
_NOT_DETERMINED = float("nan")


def added_share(entry: Ingredient, table: Table, row: int | None, sugars_g: float | None) -> float:
    """Return the share of an ingredient's sugars that was added as sugars, NaN where it cannot be said. [1]

    Parameters
    ----------
    entry : Ingredient
        Its pack may say ``added_sugars_g``.
    row : int | None
        Its row of the table.
    sugars_g : float | None
        Sugars in 100 g, None where not known. [g/100 g]

    Notes
    -----
    21 CFR 101.9(c)(6)(iii): sugars added as such, syrups and honey; not those of fruit, juice, milk. A composite food is not
    determined unless its pack says.
    """
    if "added_sugars_g" in entry.per_100_g:
        return min(1.0, entry.per_100_g["added_sugars_g"] / sugars_g) if sugars_g else 0.0
    if sugars_g == 0.0:
        return 0.0
    if row is None:
        return _NOT_DETERMINED
    group, name = table.group(row), table.name(row).lower()
    if group == _SUGAR_GROUP:
        return 1.0 if name.startswith(("sugar", "honey", "syrups", "molasses")) else _NOT_DETERMINED
    if any(word in name for word in _SWEETENED) and "unsweetened" not in name:
        return _NOT_DETERMINED
    if group in _GROWN or (group == _DRINK_GROUP and "wine" in name):
        return 0.0
    return _NOT_DETERMINED
