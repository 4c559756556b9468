"""The tables of words: every row means something, and no word that may hide an allergen is among those that are passed over."""

import csv

import pytest

from labeller.book.names_index import load_shelf
from labeller.bringing_in.names_and_remarks import hears_allergen
from labeller.bringing_in.wordings import NUTRIENTS, box_group, box_words, find_heading, find_unit
from labeller.foundations.names import exact_key, name_key
from labeller.foundations.places import reference_data_folder

FOLDER = reference_data_folder() / "bringing_in"
MEANINGS = {
    "headings.csv": {
        "recipe",
        "name",
        "either",
        "quantity",
        "gross",
        "unit",
        "percent",
        "remark",
        "method",
        "serves",
        "yield",
        "batch",
        "flour",
        "course",
        "section",
        "total",
        "ignored",
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
        *NUTRIENTS,
    },
    "units.csv": {
        "g",
        "kg",
        "ml",
        "cl",
        "dl",
        "l",
        "oz",
        "lb",
        "fl oz",
        "tsp",
        "tbsp",
        "cup",
        "pint",
        "quart",
        "gallon",
        "stick",
        "pinch",
        "knife tip",
        "drop",
        "piece",
        "clove",
        "leaf",
    },
    "amount_words.csv": {"to taste", "to cover", "about", "up to", "open"},
    "remarks.csv": {"plain", "matters", "adds"},
    "section_words.csv": {"part"},
    "box_words.csv": {"contains", "may contain", "not in it", "nothing said", "no allergens"},
}


# The reader of statements asks "of what?" about a dusting, a glaze or a finish; behind a name these say only what it is for.
ASKED_OF_WHAT = {"for dusting", "for glazing", "to glaze", "to finish", "for finishing"}


def table(name: str) -> list[dict[str, str]]:
    with (FOLDER / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def words(name: str, *meanings: str) -> list[str]:
    return [word for row in table(name) if next(iter(row.values())) in meanings for word in row["words"].split(";")]


@pytest.mark.parametrize("name", sorted(MEANINGS))
def test_every_row_means_something(name: str) -> None:
    rows = table(name)
    assert rows
    for row in rows:
        meaning = next(iter(row.values()))
        assert meaning in MEANINGS[name] or (name == "amount_words.csv" and meaning.startswith("number ")), row
        assert all(word == word.strip() and word for word in row["words"].split(";")), row


def test_a_unit_has_one_meaning_in_a_language() -> None:
    seen: dict[tuple[str, str], str] = {}
    for row in table("units.csv"):
        for word in row["words"].split(";"):
            assert seen.setdefault((row["language"], word), row["unit"]) == row["unit"], word


def test_boxes_are_groups_of_the_law() -> None:
    """Regulation (EU) No 1169/2011, Annex II; wheat, which other laws name alone; shellfish, which is two of them."""
    annex_ii = {
        "gluten",
        "crustaceans",
        "egg",
        "fish",
        "peanut",
        "soya",
        "milk",
        "nuts",
        "celery",
        "mustard",
        "sesame",
        "sulphites",
        "lupin",
        "molluscs",
    }
    found = {row["meaning"] for row in table("allergen_boxes.csv")}
    assert found == annex_ii | {"wheat", "shellfish"}


@pytest.mark.parametrize("word", words("remarks.csv", "plain"))
def test_no_plain_remark_is_a_food_or_says_an_allergen(word: str) -> None:
    shelf = load_shelf()
    assert exact_key(word) not in shelf
    assert name_key(word) not in shelf
    if word not in ASKED_OF_WHAT:
        assert not hears_allergen(word), word


@pytest.mark.parametrize("word", words("section_words.csv", "part"))
def test_no_word_for_a_part_is_a_good_of_the_shelf(word: str) -> None:
    assert exact_key(word) not in load_shelf()


def test_lactose_is_no_box_for_milk() -> None:
    """'No' in a box for lactose is said of milk whose lactose was taken out; it must never read as 'no milk'."""
    assert box_group("Lactose") == ""
    assert box_group("Milk") == "milk"


def test_words_in_a_box_never_mean_two_things() -> None:
    for word, meanings in box_words().items():
        assert len(set(meanings) - {"no allergens"}) <= 1, word


HEADINGS = [
    ("Ingredient", "name", ""), ("Ingrédients", "name", ""), ("ZUTAT:", "name", ""), ("ingrediente", "name", ""), ("Składniki", "name", ""),
    ("Qty", "quantity", ""), ("QUANTITÉ", "quantity", ""), ("Menge", "quantity", ""), ("cantidad", "quantity", ""), ("Ilość", "quantity", ""),
    ("Unit", "unit", ""), ("Unité", "unit", ""), ("Einheit", "unit", ""), ("UOM", "unit", ""),
    ("Weight (g)", "quantity", "g"), ("Gewicht [kg]", "quantity", "kg"), ("Amount in grams", "quantity", "g"), ("Qty g", "quantity", "g"), ("Grams", "quantity", "g"), ("kg", "quantity", "kg"), ("Poids (g)", "quantity", "g"),
    ("Quantity (10 portions)", "quantity", ""), ("Baker's %", "percent", ""), ("%", "percent", ""), ("Weight (%)", "percent", ""),
    ("Remark", "remark", ""), ("Prep", "remark", ""), ("Bemerkungen", "remark", ""), ("Method", "method", ""), ("Zubereitung", "method", ""),
    ("Yield", "yield", ""), ("Serves", "serves", ""), ("Portionen", "serves", ""), ("Fat (g)", "fat_g", "g"), ("Energy (kJ)", "energy_kj", ""), ("of which sugars (g)", "sugars_g", "g"),
    ("Fat per 100g", "fat_g", ""), ("May contain", "may_contain", ""), ("Zutat / Ingredient", "name", ""),
]  # fmt: skip


@pytest.mark.parametrize(("text", "meaning", "unit"), HEADINGS)
def test_headings_in_many_wordings(text: str, meaning: str, unit: str) -> None:
    """What these words head in a kitchen's sheet is common practice, no source."""
    found = find_heading(text)
    assert found is not None
    assert found.meaning == meaning
    if unit:
        assert find_unit(found.unit) == unit


@pytest.mark.parametrize("text", ["", "flour", "250", "Add the butter and mix", "a" * 500, "butter 200 g"])
def test_what_is_no_heading(text: str) -> None:
    assert find_heading(text) is None


def test_a_word_by_which_more_comes_in_is_no_plain_remark() -> None:
    assert not set(words("remarks.csv", "plain")) & set(words("remarks.csv", "adds"))
