"""Names meet without regard to case, accents, spacing, singular or plural; otherwise exactly (the contract, "The book")."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labeller.foundations.names import exact_key, fold_text, joined_key, name_key, nearest_names

PLURALS = [  # English plurals, common knowledge
    ("egg", "eggs"), ("berry", "berries"), ("cherry", "cherries"), ("leaf", "leaves"), ("loaf", "loaves"), ("tomato", "tomatoes"),
    ("potato", "potatoes"), ("peach", "peaches"), ("radish", "radishes"), ("mousse", "mousses"), ("pie", "pies"), ("pea", "peas"),
    ("clove", "cloves"), ("knife", "knives"), ("anchovy", "anchovies"), ("mango", "mangoes"), ("mango", "mangos"), ("olive", "olives"),
    ("octopus", "octopuses"), ("glass", "glasses"), ("chilli", "chillies"), ("date", "dates"), ("cookie", "cookies"), ("box", "boxes"),
    ("free range egg", "free range eggs"), ("haricot vert", "haricots verts"), ("leaf of gold", "leaves of gold"),
]  # fmt: skip


@pytest.mark.parametrize(("one", "many"), PLURALS)
def test_singular_and_plural_meet(one: str, many: str) -> None:
    assert name_key(one) == name_key(many)
    assert exact_key(one) != exact_key(many)


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("Crème Brûlée", "creme brulee"), ("jalapeño", "jalapeno"), ("bœuf", "boeuf"), ("smørrebrød", "smorrebrod"), ("STRASSE", "straße"),
        ("double cream", "doublecream"), ("double  cream", "double\u00a0cream"), ("baker’s flour", "baker's flour"),
        ("half–fat", "half-fat"), ("ﬁg", "fig"), ("cafe\u0301", "café"),
    ],
)  # fmt: skip
def test_case_accents_spacing_and_signs_do_not_matter(first: str, second: str) -> None:
    assert joined_key(first) == joined_key(second)
    assert exact_key(first) == exact_key(second)


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("bass", "base"), ("asparagus", "asparagu"), ("milk", "milk powder"), ("plum", "plums brandy"), ("almond", "almond paste"),
        ("oat", "goat"), ("nut", "nutmeg"), ("peanut", "pea nut butter"), ("rye", "rice"), ("egg white", "egg"),
    ],
)  # fmt: skip
def test_other_names_stay_apart(first: str, second: str) -> None:
    assert name_key(first) != name_key(second)


@given(st.text(max_size=40))
def test_no_text_raises_and_case_never_matters(text: str) -> None:
    assert isinstance(name_key(text), str)
    assert " " not in exact_key(text)
    assert fold_text(f"  {text} \n") == fold_text(text)


@given(st.text(alphabet="abcdefghijklmnopqrstuvwxyz éèüñ", max_size=30))
def test_folding_twice_is_folding_once(text: str) -> None:
    assert fold_text(fold_text(text)) == fold_text(text)
    assert fold_text(text.upper()) == fold_text(text)


def test_spacing_and_plural_at_once() -> None:
    assert joined_key("doublecreams") == joined_key("double cream") == joined_key("Double  Creams")


def test_a_fraction_sign_stays_apart_from_the_digit_before_it() -> None:
    assert fold_text("1½ h") == fold_text("1 ½ H") == "1 1\u20442 h"


def test_nearest_names_best_first() -> None:
    known = ["free range duck", "eggs", "free range eggs", "salt"]
    assert nearest_names("free range egs", known)[0] == "free range eggs"
    assert nearest_names("zzyzx", known) == []
    assert nearest_names("", known) == []
    assert len(nearest_names("salt", ["salta", "salts", "saltb", "saltc"], most=2)) == 2
    assert nearest_names("SÁLT", ["salt"]) == ["salt"]
