"""Unknown names held against shelf and table; the hundred words with answers were written before the synonyms for them."""

import csv
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labeller.allergens.profiles import profile_of
from labeller.allergens.vocabulary import load_vocabulary
from labeller.book.names_index import load_shelf
from labeller.bringing_in.matching import SURE_BAR, Matching, match_name
from labeller.foundations.names import exact_key
from labeller.foundations.places import reference_data_folder

HERE = Path(__file__).parent
LISTS = [HERE / "harder_words.csv", HERE.parent / "composition" / "kitchen_words.csv"]


def answered(half: str, lists: list[Path]) -> list[tuple[str, Matching, bool]]:
    """Return (word, matching, whether its first answer is among the accepted ones) for every word no book needs matched yet."""
    found = []
    for path in lists:
        with path.open(encoding="utf-8", newline="") as file:
            lines = [line for line in csv.DictReader(file) if line["half"] == half]
        for line in lines:
            matching = match_name(line["word"])
            best, accepted = matching.best, line["accepted"].split()
            if best is not None and best.sureness == 100.0:
                continue  # the shelf has it by this very name: the book's reader takes it without being asked
            if best is None:
                right = "none" in accepted
            else:
                right = best.composition.removeprefix("sr28:") in accepted or (
                    bool(best.shelf) and "shelf" in accepted
                )
            found.append((line["word"], matching, right))
    return found


@pytest.mark.parametrize("half", ["open", "set aside"])
def test_harder_words_find_their_row_or_say_that_none_fits(half: str) -> None:
    # the half set aside was run once: 48 of its 50 then. It showed that "fresh" was passed over before the dried herb; mended since.
    found = answered(half, LISTS[:1])
    wrong = [word for word, _, right in found if not right]
    assert len(found) >= 44
    assert len(wrong) <= 4, wrong


@pytest.mark.parametrize("half", ["open", "set aside"])
def test_what_is_above_the_sure_bar_is_right(half: str) -> None:
    sure = [(word, right) for word, matching, right in answered(half, LISTS) if matching.sure is not None]
    wrong = [word for word, right in sure if not right]
    assert len(sure) >= 45
    assert len(wrong) <= 0.02 * len(sure), wrong


# What a machine must never write by itself: common practice, no source.
@pytest.mark.parametrize(
    "name",
    [
        "gluten-free flour", "vegan butter", "vegan mayonnaise", "oat cream", "soy-free margarine", "peanut-free chocolate",
        "egg-free mayonnaise", "dairy-free spread", "lactose-free milk", "wheat starch", "modified starch", "stock", "nuts",
        "mixed nuts", "pistachio paste", "praliné", "feuilletine", "pâte sucrée", "stock cube", "curry paste", "almond essence",
        "vegetable suet", "smoked mackerel", "fresh oregano", "dried porcini", "goat's milk yoghurt", "buffalo mozzarella",
        "chocolate chip cookies", "stabiliser", "bread improver", "breaded cod", "stuffed olives", "marinated chicken",
    ],
)  # fmt: skip
def test_what_no_row_is_right_for_is_never_sure(name: str) -> None:
    assert match_name(name).sure is None


@pytest.mark.parametrize("name", ["feuilletine", "wheat starch", "pâte sucrée", "gluten-free flour", "ponzu"])
def test_where_nothing_fits_the_pack_is_asked_for(name: str) -> None:
    matching = match_name(name)
    assert matching.best is None
    assert matching.no_row.startswith("no row fits: write it from the pack (")


@pytest.mark.parametrize(
    ("name", "shelf", "words"),
    [
        ("large free-range eggs", "egg", "changes nothing: large, free, range"),
        ("dbl cream", "double cream", "'dbl' read as 'double'"),
        ("AP flour", "plain wheat flour", "'ap flour' read as 'Wheat flour, white, all-purpose, unenriched'"),
    ],
)
def test_a_good_of_the_shelf_comes_first_and_says_why(name: str, shelf: str, words: str) -> None:
    best = match_name(name).best
    assert best is not None
    assert best.shelf == shelf
    assert words in best.why


@pytest.mark.parametrize(
    ("plain", "dressed"),
    [
        ("butter", "salted butter"),
        ("hazelnuts", "toasted hazelnuts"),
        ("raspberries", "frozen raspberries"),
        ("beetroot", "cooked beetroot"),
        ("basil", "dried basil"),
        ("desiccated coconut", "sweetened desiccated coconut"),
    ],
)
def test_adjectives_that_matter_change_the_row(plain: str, dressed: str) -> None:
    one, other = match_name(plain).best, match_name(dressed).best
    assert one is not None
    assert other is not None
    assert one.composition != other.composition


@pytest.mark.parametrize("word", ["organic", "fine", "large", "good-quality", "fairtrade", "chopped", "sieved"])
@pytest.mark.parametrize("name", ["caster sugar", "carrots", "hazelnuts", "double cream"])
def test_adjectives_that_do_not_matter_change_nothing(word: str, name: str) -> None:
    one, other = match_name(name).best, match_name(f"{word} {name}").best
    assert one is not None
    assert other is not None
    assert (one.shelf, one.composition) == (other.shelf, other.composition)


def test_a_row_that_denies_an_allergen_the_name_speaks_of_is_never_offered() -> None:
    # "malt" speaks of barley: Regulation (EU) No 1169/2011, Annex II, 1
    for name in ("malt vinegar glaze", "wheat vinegar", "almond flour blend", "soy lecithin"):
        for one in match_name(name).candidates:
            profile = profile_of(one.composition.removeprefix("sr28:")) if one.composition else None
            held = {finding.source for finding in profile.contains} if profile else set()
            if profile is not None and profile.complete and not one.shelf:
                assert held, (name, one.title)


def test_a_composite_row_says_that_it_settles_nothing() -> None:
    matching = match_name("surimi")
    rows = [one for one in matching.candidates if not one.shelf]
    assert any("never that one is not in it" in one.why for one in rows)
    assert matching.sure is None


def test_a_sure_match_never_denies_an_allergen_that_a_name_hides() -> None:
    # foods that usually hold an allergen their name does not say: common practice, no source; Annex II of Regulation (EU) No 1169/2011
    kind_of = load_vocabulary().kind_of
    with (HERE / "names_that_hide_allergens.csv").open(encoding="utf-8", newline="") as file:
        lines = list(csv.DictReader(file))
    denied, sure = [], 0
    for line in lines:
        found = match_name(line["name"]).sure
        if found is None:
            continue
        sure += 1
        if found.shelf:
            held_by_shelf = load_shelf()[exact_key(found.shelf)].record["allergens"]
            held = {one if isinstance(one, str) else one["source"] for one in held_by_shelf["contains"]}
            left_open: frozenset[str] | None = frozenset(held_by_shelf.get("unconfirmed", ()))
        else:
            profile = profile_of(found.composition.removeprefix("sr28:"))
            assert profile is not None
            held, left_open = {one.source for one in profile.contains}, profile.unconfirmed
        known = left_open is not None and line["source"] not in held | left_open
        if known and kind_of(line["source"]) not in {kind_of(one) for one in held}:
            denied.append((line["name"], found.title))
    assert sure >= 50
    assert denied == []


def test_every_adjective_and_every_good_without_a_row_has_its_ground() -> None:
    for name, verdicts in (("adjectives.csv", {"must", "near"}), ("no_row.csv", {"anywhere", "alone"})):
        with (reference_data_folder() / "composition" / name).open(encoding="utf-8", newline="") as file:
            rows = list(csv.DictReader(file))
        assert len(rows) > 40
        assert all(row["ground"] and (row.get("verdict") or row["applies"]) in verdicts for row in rows)


@settings(max_examples=40, deadline=None)
@given(st.text(max_size=60))
def test_no_name_makes_it_fail_and_scores_fall(name: str) -> None:
    matching = match_name(name)
    assert matching.no_row or matching.best is not None
    assert all(0.0 <= one.sureness <= 100.0 for one in matching.candidates)
    assert [one.fits for one in matching.candidates] == sorted((one.fits for one in matching.candidates), reverse=True)


def test_the_bar_is_where_the_numbers_were_counted() -> None:
    assert SURE_BAR == 90.0
