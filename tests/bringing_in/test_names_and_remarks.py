"""A remark changes nothing in the book, so nothing that may change what a thing is may become one."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labeller.book.entries import Book
from labeller.book.files import BookFiles
from labeller.book.reading import read_book
from labeller.bringing_in.kitchen_words import KitchenWords, words_of_book
from labeller.bringing_in.names_and_remarks import Named, is_remark, split_name
from labeller.bringing_in.written_amounts import Trouble


def _words(text: str = "") -> KitchenWords:
    raw = {"book.yaml": ("- kitchen: The Saltmarsh Room\n  jurisdiction: eu\n" + text).encode()}
    book, _ = read_book(BookFiles(Path(), raw), jurisdictions=["eu"], row_exists=lambda _: True)
    assert isinstance(book, Book)
    return words_of_book(book)


WORDS = _words()

SPLIT = [  # as typed, the name, the remark. What a cook means by each is common practice, no source.
    ("flour, sifted", "flour", "sifted"),
    ("strong flour (organic), sifted", "strong flour", "organic; sifted"),
    ("butter, softened", "butter", "softened"),
    ("butter, at room temperature", "butter", "at room temperature"),
    ("organic eggs, lightly beaten", "eggs", "lightly beaten"),
    ("finely chopped parsley", "parsley", "finely chopped"),
    ("milk, skimmed", "skimmed milk", ""),
    ("butter (unsalted)", "unsalted butter", ""),
    ("plain flour, plus extra for dusting", "plain flour", "plus extra for dusting"),
    ("apples, peeled, cored and diced", "apples", "peeled; cored and diced"),
    ("carrots, cut into small pieces", "carrots", "cut into small pieces"),
    ("- salt", "salt", ""),
    ("PEANUTS*", "PEANUTS", ""),
]


@pytest.mark.parametrize(("typed", "name", "remark"), SPLIT)
def test_names_and_remarks(typed: str, name: str, remark: str) -> None:
    read = split_name(typed, WORDS, "not known")
    assert isinstance(read, Named), read
    found = read.remark if remark or read.name == name else read
    assert read.name == name
    assert remark in (found if isinstance(found, str) else "")


@pytest.mark.parametrize(
    ("typed", "must_stay"),
    [
        ("butter, peanut", "peanut"),
        ("milk, soya", "soya"),
        ("milk (oat)", "oat"),
        ("cream, coconut", "coconut"),
        ("sauce, soy", "soy"),
        ("flour, rice", "rice"),
        ("bread, with walnuts", "walnuts"),
        ("chocolate, milk", "milk"),
        ("paste, sesame", "sesame"),
        ("pasta, egg", "egg"),
        ("stock, chicken, with celery", "celery"),
        ("praline (hazelnut)", "hazelnut"),
        ("oil (groundnut)", "groundnut"),
        ("cake, made with ground almonds", "almonds"),
        ("sauce (contains fish)", "fish"),
        ("cherries, in kirsch", "kirsch"),
        ("biscuits - almond", "almond"),
        ("butter; brown, with hazelnuts", "hazelnuts"),
        ("cod, floured", "floured"),  # flour: Regulation (EU) No 1169/2011, Annex II 1
        ("chicken, crumbed", "crumbed"),
        ("potatoes, devilled", "devilled"),
        ("Kabeljau, paniert", "paniert"),
    ],
)
def test_what_may_be_an_allergen_stays_in_the_name(typed: str, must_stay: str) -> None:
    """The book reads a name up to its comma, so what stands behind it would be lost."""
    read = split_name(typed, WORDS, "not known")
    assert isinstance(read, Named), read
    assert must_stay in read.name
    assert "," not in read.name
    assert must_stay not in read.remark


@pytest.mark.parametrize(
    "typed",
    [
        "butter or margarine",
        "butter/margarine",
        "milk, or cream",
        "walnuts oder haselnüsse",
        "sesame seeds or poppy seeds",
    ],
)
def test_either_of_two_is_asked_about(typed: str) -> None:
    assert isinstance(split_name(typed, WORDS, "not known"), Trouble)


def test_a_name_the_book_knows_is_never_cut() -> None:
    words = _words('- ingredient: "butter, peanut"\n- ingredient: large eggs\n- ingredient: half or half\n')
    assert split_name("butter, peanut", words, "not known") != split_name("butter, peanut", WORDS, "not known")
    read = split_name("large eggs", words, "not known")
    assert isinstance(read, Named)
    assert read.name == "large eggs"
    assert isinstance(split_name("half or half", words, "not known"), Named)


@pytest.mark.parametrize(
    "remark", ["removed", "optional", "or margarine", "sifted, optional", "chopped, removed", "shells removed"]
)
def test_remarks_that_mean_something_to_the_book(remark: str) -> None:
    """', removed' alone is the book's own word; everything else that would act as one becomes a comment."""
    read = split_name(f"bay leaf, {remark}", WORDS, "not known")
    if isinstance(read, Trouble):
        assert remark.startswith("or ")
        return
    assert read.remark in ("", "removed", "shells removed")
    if read.remark == "":
        assert read.comment


def test_remarks_of_the_data_hold_no_food() -> None:
    """No word of the table of plain remarks is a good of the shelf or says an allergen."""
    for word in ("sifted", "organic", "chopped", "softened"):
        assert is_remark(word, WORDS)
    for word in ("peanut", "with nuts", "in milk", "smoked", "salted", "wholemeal"):
        assert not is_remark(word, WORDS)


@pytest.mark.property
@settings(max_examples=60, deadline=None)
@given(st.text(max_size=60))
def test_no_name_makes_it_raise(text: str) -> None:
    read = split_name(text, WORDS, "not known")
    if isinstance(read, Named):
        assert read.name.strip()
        assert "\n" not in read.name


ALLERGENS = [
    "peanut",
    "walnuts",
    "milk",
    "egg",
    "sesame",
    "soya",
    "celery",
    "mustard",
    "lupin",
    "prawns",
    "squid",
    "cod",
    "wheat",
    "sulphites",
]


@pytest.mark.property
@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(ALLERGENS),
    st.lists(
        st.sampled_from(["chopped", "organic", "fine", "with", "for", "in", "and", "cold", "sauce", "to serve"]),
        max_size=3,
    ),
    st.sampled_from([", {}", " ({})", " - {}", "; {}", " [{}]"]),
)
def test_no_allergen_word_leaves_the_name(word: str, around: list[str], form: str) -> None:
    typed = "paste" + form.format(" ".join([*around, word]))
    read = split_name(typed, WORDS, "not known")
    if isinstance(read, Named):
        assert word in read.name, read
