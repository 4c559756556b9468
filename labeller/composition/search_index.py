"""The index behind ``labeller foods``: each word of each name with what it is worth, worked out when the table is built."""

import re
from typing import Final

import numpy as np
from numpy.typing import NDArray

from labeller.foundations.names import fold_text, stem_word
from labeller.foundations.plain import dataclass

_WORD = re.compile(r"[a-z]+(?:'[a-z]+)?|\d+(?:\.\d+)?%?")
_BRAND = re.compile(r"\b[A-Z][A-Z'&-]{3,}\b")  # names of makers stand in capitals in the table
_NOTE = re.compile(r"\(includes foods? for usda.*?\)|\(includes usda commodity.*?\)", re.IGNORECASE)
_BRACKETED = re.compile(r"\([^)]*\)")
STOP: Final = frozenset(
    re.findall(r"\w+", "and or with in for from to the a an as by on at not be may have been made")
)


def plain_words(text: str) -> list[str]:
    """Return the words of a name or a question without case, accents and points."""
    folded = fold_text(text).replace("-", " ")
    return [word.replace("'s", "").replace("'", "") for word in _WORD.findall(folded)]


def words_of(text: str) -> list[str]:
    """Return the words of a name or a question in the one form both are compared in, singular and plural alike."""
    return [stem_word(word) for word in plain_words(text)]


def _forms(words: str) -> frozenset[str]:
    return frozenset(words_of(words))


# Heads that only sort the table: "Spices, paprika" is paprika.
SORTING_HEADS = _forms(
    "spices nuts seeds fish crustaceans mollusks cheese oil fat beverages alcoholic beverage leavening agents candies sugars "
    "syrups cereals beans squash lettuce mushrooms peppers soup sauce game meat noodles seaweed wheat corn melons cookies "
    "crackers variety meats vinegar sweeteners salad dressing domesticated domestic"
)
# Heads that sort and yet name another food than the plant: oil of avocado is no avocado.
_MADE_HEADS = _forms(
    "oil fat sauce soup salad dressing cookies crackers candies syrups beverages beverage alcoholic cereals sweeteners"
)
# Words a plain commodity carries anyway.
_PLAIN = _forms(
    "raw fresh whole unprepared uncooked all varieties commercial commercially enriched unenriched regular mature seeds mixed "
    "species separable lean fat only trimmed classes types type unspecified average year round meat broilers fryers domesticated "
    "fluid plain table common includes skin flesh added vitamin a d vitamins purchased winter summer english european drinking "
    "previously"
)
# What has been done to a food: counted against it when nobody asked.
DONE = _forms(
    "cooked canned frozen dried dehydrated fried roasted boiled baked broiled grilled braised stewed steamed microwaved toasted "
    "salted sweetened syrup drained dry mix reduced low free lowfat nonfat imitation substitute restaurant breaded prepared "
    "powder powdered sauteed smoked pickled candied concentrate cured flavor flavored light whipped fortified cultured babyfood "
    "instant heated reheated homemade home recipe filled coated infant formula topping dressing diet soup juice pie peel "
    "greens leaves flour sprouted immature stuffed rolls drink spread solution imported yellow"
)
# Groups of composite foods, and how much later they come than a commodity as good otherwise.
_GROUP_LOSS: Final = {
    "0300": 25.0, "0600": 8.0, "0700": 8.0, "0800": 8.0, "1400": 3.0, "1800": 6.0, "1900": 3.0, "2100": 25.0, "2200": 20.0,
    "2500": 15.0, "3500": 20.0, "3600": 30.0,
}  # fmt: skip
MAKER_LOSS: Final = 100.0


@dataclass(frozen=True, slots=True)
class SearchIndex:
    """Words of the names.

    Attributes
    ----------
    vocabulary : tuple of str
        Every word in its compared form, by its number.
    spoken : tuple of str
        The same words as the table first writes them; empty for those that stand in makers' goods only and are never proposed.
    entries : (n_entries, 4)
        Number of the word, row of the table, points gained when asked for, points lost when not.
    rows : (n_rows, 1)
        Points a row starts with; below 0 for composite foods and makers' goods.
    """

    vocabulary: tuple[str, ...]
    spoken: tuple[str, ...]
    entries: NDArray[np.float32]
    rows: NDArray[np.float32]


def _segments(name: str) -> list[tuple[str, bool]]:
    """Return the parts of a name between commas, and whether each stood in brackets."""
    bare = _NOTE.sub("", name)
    inside = re.findall(r"\(([^)]*)\)", bare)
    outside = _BRACKETED.sub("", bare)
    return [(part.strip(), False) for part in outside.split(",") if part.strip()] + [(part, True) for part in inside]


def _weigh_name(name: str, common_name: str) -> dict[str, tuple[float, float]]:
    """Return the words of a row: (points gained when asked for, points lost when not)."""
    weighed: dict[str, tuple[float, float]] = {}
    place = 0
    for part, bracketed in _segments(name):
        words = [word for word in words_of(part) if word not in STOP]
        sorting = not bracketed and place == 0 and all(word in SORTING_HEADS for word in words)
        for word in words:
            if words[0] == "without" or bracketed:
                gain, loss = 3.0, 0.5
            elif sorting:
                gain, loss = 5.0, (5.0 if word in _MADE_HEADS else 1.0)
            else:
                gain, loss = ((9.0, 7.0), (5.0, 4.0), (3.0, 2.5))[min(place, 2)]
            if word in _PLAIN or words[0] == "without":
                gain, loss = min(gain, 3.0), 0.25
            elif word in DONE:
                loss += 3.0
            weighed.setdefault(word, (gain, loss))
        if not bracketed and not sorting:
            place += 1
    for word in words_of(common_name):
        weighed.setdefault(word, (4.0, 0.1))
    return weighed


def build_index(foods: list[dict[str, str]]) -> SearchIndex:
    """Return the index of rows that have ``name``, ``common_name``, ``manufacturer`` and ``group``."""
    numbers: dict[str, int] = {}
    spoken: dict[str, str] = {}
    entries: list[tuple[float, float, float, float]] = []
    starts: list[tuple[float]] = []
    for row, food in enumerate(foods):
        branded = bool(food["manufacturer"]) or _BRAND.search(_BRACKETED.sub("", food["name"])) is not None
        starts.append((-_GROUP_LOSS.get(food["group"], 0.0) - (MAKER_LOSS if branded else 0.0),))
        for word in () if branded else plain_words(f"{food['name']} {food['common_name']}"):
            spoken.setdefault(stem_word(word), word)
        for word, (gain, loss) in _weigh_name(food["name"], food["common_name"]).items():
            entries.append((numbers.setdefault(word, len(numbers)), row, gain, loss))
    spoken_words = tuple(spoken.get(word, "") for word in numbers)
    return SearchIndex(
        tuple(numbers), spoken_words, np.array(entries, dtype=np.float32), np.array(starts, dtype=np.float32)
    )
