"""Kitchen words and the rows they mean; the words were written, with their answers, before the search was."""

import csv
import re
import time
from pathlib import Path

import pytest

from labeller.composition.search import nearest_words, search_foods
from labeller.composition.search_spelling import read_synonyms
from labeller.composition.table import load_table
from labeller.foundations.places import reference_data_folder

with (Path(__file__).parent / "kitchen_words.csv").open(encoding="utf-8", newline="") as file:
    WORDS = list(csv.DictReader(file))


def first_right(half: str) -> tuple[list[str], int]:
    """Return the words of a half whose first row is not among the accepted ones, and how many words there are."""
    wrong, count = [], 0
    for line in WORDS:
        if line["half"] != half:
            continue
        count += 1
        hits = search_foods(line["word"], most=1)
        if not hits or hits[0].food.removeprefix("sr28:") not in line["accepted"].split():
            wrong.append(f"{line['word']}: {hits[0].name if hits else 'nothing'}")
    return wrong, count


def test_nine_of_ten_kitchen_words_of_the_open_half() -> None:
    wrong, count = first_right("open")
    assert count == 100
    assert len(wrong) <= 10, wrong


def test_nine_of_ten_kitchen_words_set_aside() -> None:
    # the half that was run once, after weights and synonyms were done: 99 of 100 then. One hand wrote words and synonyms, so it
    # shows that the ranking was not bent to the open half, not how strangers' words fare.
    wrong, count = first_right("set aside")
    assert count == 100
    assert len(wrong) <= 10, wrong


def test_every_accepted_answer_is_a_row() -> None:
    table = load_table()
    for line in WORDS:
        assert all(table.row_index(code) is not None for code in line["accepted"].split()), line["word"]
    assert len({line["word"] for line in WORDS}) == 200


@pytest.mark.parametrize(
    "word", ["caster sugar", "butter", "mayonnaise", "chocolate", "bread", "milk", "cheese", "chicken soup", "pizza"]
)
def test_rows_of_a_maker_come_last(word: str) -> None:
    table = load_table()
    rows = [row for hit in search_foods(word, most=40) if (row := table.row_index(hit.food)) is not None]
    # the table names a maker in a column of its own, or in capitals within the name
    made = [bool(table.manufacturer(row)) or re.search(r"[A-Z]{4,}", table.name(row)) is not None for row in rows]
    assert made == sorted(made)


# A plain commodity before what is made of it: common practice, no source.
@pytest.mark.parametrize(
    ("word", "group"),
    [
        ("apple", "Fruits and Fruit Juices"),
        ("chicken", "Poultry Products"),
        ("tomato", "Vegetables and Vegetable Products"),
        ("banana", "Fruits and Fruit Juices"),
        ("almonds", "Nut and Seed Products"),
        ("salmon", "Finfish and Shellfish Products"),
    ],
)
def test_the_plain_commodity_comes_first(word: str, group: str) -> None:
    first = search_foods(word)[0]
    assert first.group == group
    assert "raw" in first.name or "Nuts" in first.name


@pytest.mark.parametrize(
    ("plain", "dressed"),
    [
        ("eggs", "large free range eggs"),
        ("carrots", "organic carrots, peeled"),
        ("caster sugar", "FINE  Caster Sugar"),
        ("creme fraiche", "Crème fraîche"),
        ("goat's cheese", "goats’ cheese"),
        ("brazil nuts", "brazilnuts"),
        ("cinnamon", "cinammon"),
        ("hazelnuts", "hazlenuts"),
        ("yogurt", "yoghurt"),
    ],
)
def test_words_that_change_no_row(plain: str, dressed: str) -> None:
    assert search_foods(dressed)[0].food == search_foods(plain)[0].food


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("butter", "salted butter"),
        ("thyme", "dried thyme"),
        ("ginger", "ground ginger"),
        ("salmon", "smoked salmon"),
        ("chickpeas", "tinned chickpeas"),
        ("apricots", "dried apricots"),
        ("peas", "frozen peas"),
        ("egg", "egg yolk"),
    ],
)
def test_words_that_change_the_row(one: str, other: str) -> None:
    assert search_foods(one)[0].food != search_foods(other)[0].food


@pytest.mark.parametrize(
    "words", ["", " ", "!!!", "🥕", "zzzqx", "of the", "large", "\x00", "mascarpone", "elderflower"]
)
def test_what_the_table_does_not_have_is_not_made_up(words: str) -> None:
    assert search_foods(words) == []


def test_a_misread_word_is_said() -> None:
    assert "'avacado' read as 'avocado'" in search_foods("avacado")[0].why
    assert "read as 'Sugars, granulated'" in search_foods("caster sugar")[0].why


def test_a_code_finds_its_row() -> None:
    assert [(hit.food, hit.name) for hit in search_foods("sr28:01053")] == [
        ("sr28:01053", "Cream, fluid, heavy whipping")
    ]


def test_nearest_words_are_words_people_write() -> None:
    assert "cauliflower" in nearest_words("colliflower")
    assert nearest_words("") == []


def test_scores_fall_and_stay_between_0_and_100() -> None:
    for line in WORDS[:60]:
        scores = [hit.score for hit in search_foods(line["word"])]
        assert all(0.0 <= score <= 100.0 for score in scores)
        assert scores == sorted(scores, reverse=True)


def test_a_long_or_wild_question_does_no_harm() -> None:
    began = time.perf_counter()
    search_foods("sugar " * 2000)
    search_foods("'" * 5000 + "%,;" * 500)
    assert time.perf_counter() - began < 10


def test_every_synonym_has_its_ground_and_leads_somewhere() -> None:
    path = reference_data_folder() / "composition" / "synonyms.csv"
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert all(row["ground"] and row["applies"] in {"anywhere", "alone", "spelling"} for row in rows)
    assert len(read_synonyms(path)) == len(rows), "a word stands twice"
    for row in rows:
        if row["means"]:
            assert search_foods(row["word"]), row["word"]
