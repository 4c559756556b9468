"""What the household measures of a table row say: grams per millilitre, and grams of one piece.

Measures read like ``1 cup``, ``1 cup, whipped``, ``10 grapes`` or ``1 large,  (3-1/16" dia)``; their weights are edible grams.
"""

import re
from typing import Final

from labeller.foundations.plain import dataclass

Measures = tuple[tuple[float, str], ...]

# US customary volumes [ml], from the inch of 25.4 mm and the gallon of 231 cubic inches (NIST Handbook 44, Appendix C).
ML_OF: Final[dict[str, float]] = {
    "tsp": 4.92892,
    "teaspoon": 4.92892,
    "tbsp": 14.7868,
    "tablespoon": 14.7868,
    "fl oz": 29.5735,
    "cup": 236.588,
    "pint": 473.176,
    "quart": 946.353,
}
_VOLUME = re.compile(r"(fl oz|cup|tbsp|tablespoon|tsp|teaspoon|pint|quart)s?\b\s*(.*)", re.IGNORECASE)
# What may follow the unit and still name nothing but the unit: the same amount again, or how often it is eaten.
_SAME_AMOUNT = re.compile(
    r",?\s*\(?\s*(?:[\d./]+\s*(?:fl oz|cup|tbsp|tsp)s?|\d*\s*(?:nlea )?serving)\s*\)?", re.IGNORECASE
)
_FLUID = re.compile(r",\s*fluid\b", re.IGNORECASE)
_NUMBER = re.compile(r"\s*(\d*\.\d+|\d+\s*/\s*\d+|\d+)\s+(.*)", re.DOTALL)

_WEIGHTS_AND_VOLUMES = {"oz", "lb", "g", "gram", "kg", "ml", "fl", "cup", "tbsp", "tablespoon", "tsp", "teaspoon", "pint",
                        "quart", "cubic", "inch", "nlea", "dash", "pinch"}  # fmt: skip
# Packs, portions and yields: how a food is sold or served, not how it grows or is shaped.
_PACKS = {"serving", "package", "pack", "can", "jar", "container", "packet", "pouch", "bottle", "box", "bag", "scoop", "order",
          "portion", "envelope", "unit", "recipe", "carton", "tray", "tub", "glass", "jigger", "individual", "bowl", "drink",
          "meal", "entree", "dinner", "tablet", "sachet", "tube", "block", "half", "quarter", "section", "wedge", "side",
          "giblet", "other", "item", "set", "spray", "raw", "full", "flat", "inside", "outside", "sauce", "milliliter", "each", "mini", "regular", "roast", "chicken"}  # fmt: skip
# A share of the food: counted only when a recipe says the word, because one lettuce is not one leaf.
_PARTS = {"leaf", "sprig", "floweret", "kernel", "sheet", "bunch", "stem", "strip", "slice", "ring", "skin", "pat", "stick", "frie",
          "piece", "cube", "flower", "plant", "seed", "petiole", "shoot"}  # fmt: skip
_SIZES = ("extra large", "extra small", "super colossal", "colossal", "jumbo", "large", "medium", "small")
# Of several sizes the middle one is meant when a recipe gives none; then the one without a size, then large.
_PREFERRED = ("medium", "", "large", "small", "extra large", "jumbo", "extra small", "colossal", "super colossal")
_SINGULAR = {"leaves": "leaf", "halves": "half", "cookies": "cookie", "berries": "berry", "cherries": "cherry", "loaves": "loaf",
             "potatoes": "potato", "tomatoes": "tomato", "mangoes": "mango", "pastries": "pastry", "patties": "patty",
             "radishes": "radish", "squashes": "squash", "anchovies": "anchovy"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class VolumeWeight:
    """What a volume measure says: grams per millilitre, and the words it was read from."""

    g_per_ml: float
    words: str


@dataclass(frozen=True, slots=True)
class PieceWeight:
    """What a piece measure says.

    Attributes
    ----------
    weight_g : float
        Edible weight of one piece. [g]
    noun : str
        What is counted, in the singular: ``leaf``, ``egg``, ``fruit``; empty where only a size is named.
    size : str
        ``large``, ``medium``, ... or empty.
    words : str
        The measure as the table words it.
    """

    weight_g: float
    noun: str
    size: str
    words: str

    @property
    def is_whole(self) -> bool:
        """Tell whether one piece is one of the food, not a leaf or a slice of it."""
        return self.noun not in _PARTS


def split_count(words: str) -> tuple[float, str] | None:
    """Return the number a measure begins with and the rest of it; None where it begins with none or with 0."""
    found = _NUMBER.fullmatch(words)
    if found is None:
        return None
    number = found[1].replace(" ", "")
    if "/" in number:
        over, under = number.split("/")
        count = int(over) / int(under) if int(under) else 0.0
    else:
        count = float(number)
    return (count, " ".join(found[2].split())) if count > 0 else None


def read_volume(weight_g: float, words: str) -> tuple[float, float] | None:
    """Return (grams per millilitre, millilitres) of a measure that names only the unit of volume.

    Parameters
    ----------
    weight_g : float
        Weight of the whole measure. [g]
    words : str
        The measure: ``1 cup``, ``.25 cup``, ``1 cup, fluid (yields 2 cups whipped)``.

    Returns
    -------
    tuple or None
        None where the measure is no volume, or says how the food lies in it (whipped, sliced, packed, sifted).
    """
    counted = split_count(words)
    if counted is None:
        return None
    count, rest = counted
    found = _VOLUME.fullmatch(rest)
    if found is None:
        return None
    after = found[2].strip()
    if after and not _SAME_AMOUNT.fullmatch(after) and not _FLUID.match(after):
        return None
    volume_ml = count * ML_OF[found[1].lower()]
    return weight_g / volume_ml, volume_ml


def volume_weight(measures: Measures) -> VolumeWeight | None:
    """Return the weight of a millilitre by a row's measures, from the largest volume, which is rounded least."""
    read = [(reading, words) for weight_g, words in measures if (reading := read_volume(weight_g, words)) is not None]
    if not read:
        return None
    (g_per_ml, _), words = max(read, key=lambda pair: pair[0][1])
    return VolumeWeight(g_per_ml, words)


def _singular(noun: str) -> str:
    if noun in _SINGULAR:
        return _SINGULAR[noun]
    return noun[:-1] if len(noun) > 3 and noun.endswith("s") and not noun.endswith(("ss", "us", "is")) else noun


def read_piece(weight_g: float, words: str) -> PieceWeight | None:
    """Return what a measure that counts pieces says of one piece; None for volumes, weights, packs and yields.

    Parameters
    ----------
    weight_g : float
        Edible weight of the whole measure. [g]
    words : str
        The measure: ``1 large,  (3-1/16" dia)``, ``10 grapes``, ``5 leaves``.
    """
    counted = split_count(words)
    if counted is None:
        return None
    count, rest = counted
    low = rest.lower()
    size = next((size for size in _SIZES if re.search(rf"\b{size}\b", low)), "")
    nouns = re.findall(
        r"[a-z][a-z'-]*",
        low.split(",")[0].split("(")[0].replace(size, "") if size else low.split(",")[0].split("(")[0],
    )
    noun = _singular(nouns[0]) if nouns else ""
    if not noun and not size:
        return None
    if noun in _WEIGHTS_AND_VOLUMES or noun in _PACKS:
        return None
    # "1 fruit, yields" is the juice of one; the ear of maize and the eggplant are the food itself.
    if "yield" in low and noun not in {"ear", "eggplant"}:
        return None
    if "excluding refuse" in low or "removed" in low or "half with" in low or " or " in low.split("(")[0]:
        return None
    return PieceWeight(weight_g / count, noun, size, words)


def piece_weight(measures: Measures, noun: str = "", size: str = "") -> PieceWeight | None:
    """Return what one piece weighs by a row's measures.

    Parameters
    ----------
    measures : tuple
        The row's measures: (edible weight [g], words).
    noun : str
        What the recipe counts, singular or plural: ``leaves``, ``cloves``; empty where it counts the food itself, and then a
        leaf, sprig or slice is never taken for the whole.
    size : str
        The size a recipe gives; a size the row does not have gives None, never another one.
    """
    wanted = _singular(noun.strip().lower())
    pieces = [piece for weight_g, words in measures if (piece := read_piece(weight_g, words)) is not None]
    fitting = [piece for piece in pieces if (piece.noun == wanted if wanted else piece.is_whole)]
    if size:
        fitting = [piece for piece in fitting if piece.size == size.strip().lower()]
    return min(fitting, key=lambda piece: _PREFERRED.index(piece.size), default=None)
