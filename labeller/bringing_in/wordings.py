"""The words of other people's sheets: headings, units, amounts and remarks in several languages, from tables people edit."""

import csv
import re
from dataclasses import dataclass
from functools import cache, lru_cache

from labeller.foundations.names import fold_text
from labeller.foundations.places import reference_data_folder
from labeller.foundations.units import parse_unit

NUTRIENTS = (
    "energy_kj", "energy_kcal", "fat_g", "saturates_g", "trans_fat_g", "carbohydrate_g", "sugars_g", "fibre_g", "protein_g",
    "salt_g", "sodium_mg",
)  # fmt: skip
# Headings only a list of what is bought in has; a recipe's table has amounts instead.
BOUGHT_IN = frozenset(
    {
        "supplier",
        "reference",
        "dated",
        "price",
        "statement",
        "allergens",
        "may_contain",
        "strength",
        "density",
        "piece",
        "energy",
        "box",
        *NUTRIENTS,
    }
)
# Piece words that only stand in a column of their own: in a line, "2 whole eggs" and "1 x 400 g" mean something else.
_COLUMN_ONLY = frozenset(
    {"whole", "x", "u", "no", "nr", "n", "number", "count", "nos", "unit", "units", "#", "st", "me"}
)
_BRACKETS = re.compile(r"[(\[{]\s*([^)\]}]*?)\s*[)\]}]")


@dataclass(frozen=True, slots=True)
class Heading:
    """What a heading says: its meaning, and the unit it gives for the whole column, or empty.

    ``per_portion`` tells that its figures are for a portion or for 100 ml, which is not 100 g.
    """

    meaning: str
    unit: str = ""
    per_portion: bool = False


def _rows(name: str) -> list[dict[str, str]]:
    path = reference_data_folder() / "bringing_in" / name
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _words(name: str, column: str) -> dict[str, tuple[str, ...]]:
    found: dict[str, list[str]] = {}
    for row in _rows(name):
        for word in row["words"].split(";"):
            meanings = found.setdefault(fold_text(word).rstrip(".:") or fold_text(word), [])
            if row[column] not in meanings:
                meanings.append(row[column])
    return {word: tuple(meanings) for word, meanings in found.items()}


@cache
def heading_words() -> dict[str, tuple[str, ...]]:
    """Return the meanings of every folded heading, in the order of the table."""
    return _words("headings.csv", "meaning")


@cache
def unit_words() -> dict[str, str]:
    """Return the contract's unit, or the piece, stick, quart and gallon of the trade, for every folded word."""
    return {word: units[0] for word, units in _words("units.csv", "unit").items()}


@cache
def amount_words() -> dict[str, str]:
    """Return what words of amounts mean: to taste, to cover, about, up to, open, number N."""
    return {word: meanings[0] for word, meanings in _words("amount_words.csv", "meaning").items()}


@cache
def remark_words() -> dict[str, str]:
    """Return ``plain`` for words that say how a thing is prepared, ``matters`` for those that say what it is."""
    found: dict[str, str] = {}
    for word, kinds in _words("remarks.csv", "kind").items():
        found[word] = "plain" if kinds == ("plain",) else "matters"
    return found


@cache
def _adding_words() -> frozenset[str]:
    return frozenset(word for word, kinds in _words("remarks.csv", "kind").items() if "adds" in kinds)


def says_more_comes_in(text: str) -> bool:
    """Tell whether a remark says that something unnamed comes in: breaded, floured, marinated, stuffed."""
    return not _adding_words().isdisjoint(re.findall(r"[^\W\d_]+", fold_text(text)))


@lru_cache(maxsize=20_000)
def find_unit(text: str, *, in_line: bool = False) -> str:
    """Return the contract's word for a unit in any of the languages, or ''. ``T`` is a tablespoon, ``t`` a teaspoon.

    ``in_line`` is set where the unit stands in one cell with the name, so that words which can begin a name do not count.
    """
    bare = text.strip().rstrip(".")
    if bare in ("T", "Tb"):
        return "tbsp"
    if bare == "t":
        return "tsp"
    folded = re.sub(r"^(?:an?|une?|eine?|una|uno)\s+(?=\S)", "", fold_text(text).strip("()[] "))
    known = parse_unit(folded)
    if known is not None:
        return known.name
    folded = folded.rstrip(".") or folded
    if in_line and folded in _COLUMN_ONLY:
        return ""
    return unit_words().get(folded, "")


@lru_cache(maxsize=20_000)
def find_heading(text: str) -> Heading | None:
    """Return what a cell means as a heading, or None where it is none."""
    if not text or len(text) > 120:
        return None
    folded = fold_text(text)
    words = heading_words()
    per_portion = bool(
        re.search(r"\b(?:per|pro|par|por|/)\s*(?:portion|serving|piece|porcion|porzione|portion)\b", folded)
        or re.search(r"(?:\b(?:per|pro|par|por)|/)\s*100\s*ml\b", folded)  # by volume: a book counts by weight
    )
    whole = folded.strip(" :*.")
    if whole in words:
        return Heading(words[whole][0], "", per_portion)
    units = [
        unit
        for inner in _BRACKETS.findall(folded)
        if (unit := find_unit(inner) or ("%" if inner.strip() == "%" else ""))
    ]
    bare = " ".join(_BRACKETS.sub(" ", folded).split())
    for inner in _BRACKETS.findall(folded):  # "Energy (kJ)"
        if f"{bare} {inner}" in words:
            return Heading(words[f"{bare} {inner}"][0], "", per_portion)
    bare = re.sub(r"\b(?:per|pro|par|por|/)\s*100\s*(?:g|ml)\b|/100\s*g", " ", bare)
    bare = re.sub(r"\b(?:per|pro|par|por)\s*(?:portion|serving|piece|porcion|porzione)\b", " ", bare)
    bare = " ".join(bare.split()).strip(" :*.-")
    if bare in words:
        return _with_unit(words[bare][0], units[0] if units else "", per_portion=per_portion)
    unit = find_unit(bare)
    if unit and unit not in ("piece", "l", "#") and parse_unit(fold_text(bare)) is not None:
        return Heading("quantity", unit, per_portion)  # a column headed "g" or "Grams"
    if unit == "piece" and bare in ("each", "ea", "pcs", "pc", "stk", "stuck", "szt"):
        return Heading("quantity", unit, per_portion)
    tail = re.fullmatch(r"(?P<word>.+?)\s*(?:,|/|\bin\b|\ben\b|\bof\b|\s)\s*(?P<unit>[a-z% ]{1,12})", bare)
    if tail and tail["word"].strip() in words:
        found = find_unit(tail["unit"]) or ("%" if tail["unit"].strip() == "%" else "")
        if found:
            return _with_unit(words[tail["word"].strip()][0], found, per_portion=per_portion)
    numbered = re.fullmatch(r"(?P<word>.+?)\s*(?:x\s*)?\d{1,4}\s*(?:x|portions?|pax|covers|serves|batch)?", bare)
    if numbered and words.get(numbered["word"].strip(), ("",))[0] in ("quantity", "name"):
        return Heading(words[numbered["word"].strip()][0], units[0] if units else "", per_portion)
    # A heading in two languages: "Ingrédients / Ingredients".
    parts = [part.strip(" :*.") for part in re.split(r"\s*[/|\n]\s*|\s+-\s+", bare) if part.strip(" :*.")]
    if len(parts) > 1:
        meanings = [set(words.get(part, ())) for part in parts]
        if all(meanings):
            shared = set.intersection(*meanings)
            if shared:
                return _with_unit(
                    next(one for one in words[parts[0]] if one in shared),
                    units[0] if units else "",
                    per_portion=per_portion,
                )
            if {words[part][0] for part in parts} == {"quantity", "unit"}:
                return Heading("quantity", "", per_portion)  # "Qty / Unit": both in one cell
    return None


def _with_unit(meaning: str, unit: str, *, per_portion: bool) -> Heading:
    if meaning in ("quantity", "gross") and unit == "%":
        return Heading("percent", "", per_portion)
    if meaning == "energy":
        return Heading("energy", "", per_portion)
    return Heading(meaning, unit if unit != "%" else "", per_portion)


def meanings_of(text: str) -> tuple[str, ...]:
    """Return every meaning of a word that heads a row, without its colon; empty where it has none."""
    return heading_words().get(fold_text(text).strip(" :*.-"), ())


@cache
def _boxes() -> dict[str, tuple[str, ...]]:
    return _words("allergen_boxes.csv", "meaning")


def box_group(text: str) -> str:
    """Return the allergen group that a heading names alone, as in a matrix of boxes, or ''."""
    bare = _BRACKETS.sub(" ", fold_text(text)).strip(" :*.")
    return _boxes().get(" ".join(bare.split()), ("",))[0]


@cache
def box_words() -> dict[str, tuple[str, ...]]:
    """Return what may stand in a box: contains, may contain, not in it, nothing said; or 'no allergens' in a list."""
    found: dict[str, list[str]] = {}
    for row in _rows("box_words.csv"):
        for word in row["words"].split(";"):
            found.setdefault(fold_text(word), []).append(row["meaning"])
    return {word: tuple(meanings) for word, meanings in found.items()}


@cache
def blank_words() -> frozenset[str]:
    """Return what stands in a cell that says nothing."""
    return frozenset({"", *(word for word, meanings in box_words().items() if "nothing said" in meanings)})


@cache
def _parts() -> dict[str, tuple[str, ...]]:
    return _words("section_words.csv", "meaning")


def is_part_word(text: str) -> bool:
    """Tell whether a text is a word for a part of a recipe that can be nothing to eat by itself: filling, to finish, stage 2."""
    return fold_text(text).strip(" :.") in _parts()
