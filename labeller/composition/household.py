"""Household measures: what a volume, a piece or a pinch weighs where neither the book nor the row says."""

import json
from functools import cache

from labeller.foundations.names import name_key
from labeller.foundations.places import reference_data_folder
from labeller.foundations.plain import dataclass


@dataclass(frozen=True, slots=True)
class HouseholdWeight:
    """A weight from the measures data: grams (of one piece) or grams per millilitre, with its ground."""

    value: float
    ground: str
    confirmed: bool


@dataclass(frozen=True, slots=True)
class RoughAmount:
    """How much 'to taste' or 'to cover' stands for: a share of the other lines' weight, with its range and ground."""

    share: float
    low: float
    high: float
    ground: str


@dataclass(frozen=True, slots=True)
class Household:
    """The measures data, by keys of names and by food code."""

    densities: dict[str, HouseholdWeight]
    densities_by_code: dict[str, HouseholdWeight]
    pieces: dict[tuple[str, str], HouseholdWeight]
    small_ml: dict[str, float]
    small_g: dict[str, float]
    rough: dict[str, RoughAmount]

    @property
    def trade_pieces(self) -> frozenset[str]:
        """Keys of the words that count pieces of something: leaf, clove, stick."""
        return frozenset(piece for _, piece in self.pieces if piece)

    def piece(self, names: tuple[str, ...], word: str = "") -> HouseholdWeight | None:
        """Return the weight of one piece of the first name that has one. [g]"""
        for name in names:
            found = self.pieces.get((name_key(name), name_key(word) if word else ""))
            if found is not None:
                return found
        return None

    def density(self, names: tuple[str, ...], code: str = "") -> HouseholdWeight | None:
        """Return the density by food code, else by the first name that has one. [g/ml]"""
        if code and code in self.densities_by_code:
            return self.densities_by_code[code]
        for name in names:
            found = self.densities.get(name_key(name))
            if found is not None:
                return found
        return None


@cache
def load_household() -> Household:
    """Return the measures data, read once in a process."""
    data = json.loads((reference_data_folder() / "measures" / "measures.json").read_bytes())
    densities: dict[str, HouseholdWeight] = {}
    by_code: dict[str, HouseholdWeight] = {}
    for row in data["densities"]:
        weight = HouseholdWeight(row["g_per_ml"], row["ground"], row["confirmed"])
        if row.get("code"):
            by_code.setdefault(row["code"], weight)
        for name in row["names"]:
            densities.setdefault(name_key(name), weight)
    pieces: dict[tuple[str, str], HouseholdWeight] = {}
    for row in data["pieces"]:
        weight = HouseholdWeight(row["grams"], row["ground"], row["confirmed"])
        for name in row["names"]:
            pieces.setdefault((name_key(name), name_key(row["piece"]) if row.get("piece") else ""), weight)
    small_ml = {
        name: (row["ml"] if "ml" in row else row["share"] * 4.92892)
        for name, row in data["small"].items()
        if "grams" not in row
    }
    small_g = {name: row["grams"] for name, row in data["small"].items() if "grams" in row}
    rough = {
        name: RoughAmount(
            next(row[key] for key in row if key.startswith("share")), row["low"], row["high"], row["ground"]
        )
        for name, row in data["rough"].items()
    }
    return Household(densities, by_code, pieces, small_ml, small_g, rough)
