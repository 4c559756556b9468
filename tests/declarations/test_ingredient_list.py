"""The list of ingredients on a label, by the law of each place; the rule is named beside each check."""

from datetime import date
from typing import Any

import pytest

from labeller.cli.opening import open_book
from labeller.declarations.allergen_words import AllergenWords
from labeller.declarations.ingredient_list import label_of
from labeller.declarations.ingredient_quantities import rounded_percent
from labeller.declarations.marked_text import MarkedText, places_of_word
from labeller.demonstration.place import demonstration_book
from tests.kitchens import Kitchen, plate, run

BOOK = """
- ingredient: dark chocolate
  composition: sr28:19904
  spec: {statement: "Cocoa mass, sugar, emulsifier: SOYA lecithin"}
- ingredient: fillet of cod
  composition: sr28:15015
- preparation: praline
  takes: [60 g hazelnuts, 40 g sugar]
"""


def label(kitchen: Kitchen, law: str, name: str = "plate", *more: str) -> dict[str, Any]:
    found: dict[str, Any] = kitchen.one(name, "--jurisdiction", law, *more)["label"]
    return found


def emphasised(found: dict[str, Any]) -> list[str]:
    text = found["ingredients_text"]
    return [text[start:end] for start, end in found["emphasised"]]


def test_heaviest_first_with_compounds_in_brackets(kitchen: Kitchen) -> None:
    """Article 18(1): descending order of weight at the time of use; Annex VII, Part E: a compound under its name, its list at once."""
    kitchen.write(BOOK + plate("20 g dark chocolate", "50 g praline", "30 g salt"))
    assert label(kitchen, "eu")["ingredients_text"] == (
        "Ingredients: praline (hazelnuts, sugar), salt, dark chocolate (cocoa mass, sugar, emulsifier: soya lecithin)."
    )


@pytest.mark.parametrize("law", ["eu", "gb", "au-nz"])
def test_allergens_are_set_apart_in_the_list(kitchen: Kitchen, law: str) -> None:
    """Article 21(1)(b): the name of the substance as in Annex II, set apart; Standard 1.2.3-6: in bold in the list."""
    kitchen.write(BOOK + plate("20 g dark chocolate", "50 g praline", "10 g butter", "5 g fillet of cod"))
    found = label(kitchen, law)
    assert sorted(emphasised(found)) == ["fish", "hazelnuts", "milk", "soya"]
    # Butter does not say milk, a cod does not say fish: the name of the law follows.
    assert "butter (milk)" in found["ingredients_text"]
    assert "fillet of cod (fish)" in found["ingredients_text"]


def test_the_page_shows_them_in_capitals(kitchen: Kitchen) -> None:
    kitchen.write(BOOK + plate("20 g dark chocolate", "10 g butter"))
    page = run("declare", kitchen.folder, "--of", "plate", "--on", "2026-11-25").out
    part = " ".join(page.split("For a label")[1].split())
    assert "emulsifier: SOYA lecithin" in part
    assert "butter (MILK)" in part


# 21 U.S.C. 343(w)(1)(A) and Health Canada: the line may stand in place of words in the list; Standard 1.2.3-7: both are due, with
# gluten beside wheat in the summary; Article 21(1): no such line beside a list.
LINES = [("eu", ""), ("gb", ""), ("us", "Contains: wheat, milk."), ("ca", "Contains: wheat, milk."), ("au-nz", "Contains: wheat, gluten, milk.")]  # fmt: skip


@pytest.mark.parametrize(("law", "line"), LINES)
def test_contains_line(kitchen: Kitchen, law: str, line: str) -> None:
    kitchen.write(plate("50 g plain flour", "10 g butter"))
    found = label(kitchen, law)["contains_line"]
    assert sorted(found.rstrip(".").removeprefix("Contains: ").split(", ")) == sorted(
        line.rstrip(".").removeprefix("Contains: ").split(", ")
    )
    assert found.startswith("Contains: ") is bool(line)


@pytest.mark.parametrize("law", ["us", "ca"])
def test_no_emphasis_where_the_line_is_complete(kitchen: Kitchen, law: str) -> None:
    kitchen.write(plate("50 g plain flour", "10 g butter"))
    assert label(kitchen, law)["emphasised"] == []


def test_the_united_states_name_the_species_and_the_nut(kitchen: Kitchen) -> None:
    """21 U.S.C. 343(w)(2): the specific nut, the species of fish or crustacean; a fish of no species cannot be named so."""
    kitchen.write(
        BOOK
        + '- ingredient: fish paste\n  spec: {statement: "Fish, salt"}\n'
        + plate("50 g praline", "10 g fillet of cod")
        + plate("5 g fish paste", name="other")
    )
    assert set(label(kitchen, "us")["contains_line"].rstrip(".").removeprefix("Contains: ").split(", ")) == {
        "cod",
        "hazelnuts",
    }
    assert any("fish" in one and "species" in one for one in label(kitchen, "us", "other")["to_settle"])


# Annex VII, Part A, 1: added water need not be counted up to 5 % of the finished food; Standard 1.2.4-5: below 5 %; 21 CFR 101.4(c):
# water is listed. water g in 100 g, law, listed
WATER = [
    (5, "eu", False), (5.1, "eu", True), (5, "gb", False), (5, "au-nz", True), (4.9, "au-nz", False), (1, "us", True), (1, "ca", True),
]  # fmt: skip


@pytest.mark.parametrize(("water_g", "law", "listed"), WATER)
def test_water(kitchen: Kitchen, water_g: float, law: str, listed: bool) -> None:
    kitchen.write(plate(f"{100 - water_g} g sugar", f"{water_g} g water"))
    found = label(kitchen, law)
    assert ("water" in found["ingredients_text"]) is listed
    assert (len(found["left_out"]) == 0) is listed


def test_water_beside_fish_is_always_listed(kitchen: Kitchen) -> None:
    """Annex VII, Part A, 1: the 5 % are not for meat and unprocessed fishery products."""
    kitchen.write(BOOK + plate("96 g fillet of cod", "4 g water"))
    assert "water" in label(kitchen, "eu")["ingredients_text"]


def test_what_boils_away_is_not_counted_as_water(kitchen: Kitchen) -> None:
    """Annex VII, Part A, 1: water by its weight in the finished food. 100 g put in, 60 g left: 40 g less than 50 g of water, 10 g."""
    kitchen.write(
        "- preparation: syrup\n  takes: [50 g sugar, 50 g water]\n  method:\n    - reduce: {leaves: 60 g}\n"
        + plate("30 g syrup")
    )
    found = run("declare", kitchen.folder, "--json", "--of", "syrup", "--on", "2026-11-25").json()["declarations"][0]
    assert found["label"]["ingredients_text"] == "Ingredients: sugar, water."


def test_small_ones_stand_last_in_the_united_states(kitchen: Kitchen) -> None:
    """21 CFR 101.4(a)(2): 2 percent or less may stand at the end under a statement of the share, the share itself included."""
    kitchen.write(plate("97 g sugar", "2 g salt", "1 g agar"))
    assert label(kitchen, "us")["ingredients_text"] == "Ingredients: sugar. Contains 2 percent or less of: salt, agar."
    kitchen.write(plate("97.9 g sugar", "2.1 g salt"))
    assert label(kitchen, "us")["ingredients_text"] == "Ingredients: sugar, salt."


@pytest.mark.parametrize(
    ("law", "words"), [("eu", "gelling agent: agar"), ("gb", "gelling agent: agar"), ("au-nz", "gelling agent: agar"), ("us", "sugar. Contains 2 percent or less of: agar")]
)  # fmt: skip
def test_class_names(kitchen: Kitchen, law: str, words: str) -> None:
    """Annex VII, Part C and Standard 1.2.4-7: the class, followed by the name; 21 CFR 101.4: the usual name."""
    kitchen.write(plate("99 g sugar", "1 g agar"))
    assert words in label(kitchen, law)["ingredients_text"]


def test_quantity_of_what_the_name_speaks_of(kitchen: Kitchen) -> None:
    """Article 22(1)(a), Annex VIII, 3: ingoing weight over all ingredients, 30 of 120 g and 60 % of 50 g in 120 g."""
    kitchen.write(
        BOOK + plate("30 g dark chocolate", "50 g praline", "40 g double cream", name="chocolate and hazelnut cup")
    )
    found = label(kitchen, "eu", "chocolate and hazelnut cup")
    assert {one["ingredient"]: one["printed"] for one in found["quid"]} == {
        "dark chocolate": "25 %",
        "hazelnuts": "25 %",
    }
    assert "dark chocolate 25 % (" in found["ingredients_text"]
    # 21 CFR 101.4 and B.01.008.2 set no such duty.
    assert label(kitchen, "us", "chocolate and hazelnut cup")["quid"] == []
    assert label(kitchen, "ca", "chocolate and hazelnut cup")["quid"] == []


def test_beyond_100_percent_the_grams_are_given(kitchen: Kitchen) -> None:
    """Annex VIII, 4(a): where moisture was lost and the share is above 100 %, the weight used for 100 g of the finished food."""
    kitchen.write(
        "- preparation: plum paste\n  takes: [900 g plums, 100 g sugar]\n  method:\n    - reduce: {leaves: 500 g}\n"
    )
    found = run("declare", kitchen.folder, "--json", "--of", "plum paste", "--on", "2026-11-25").json()[
        "declarations"
    ][0]
    assert [one["printed"] for one in found["label"]["quid"]] == ["prepared with 180 g per 100 g of finished product"]


def test_sulphites_below_the_limit_are_not_set_apart(kitchen: Kitchen) -> None:
    """Annex II, 12: above 10 mg/kg; 200 mg/kg x 4 % is 8, x 40 % is 80."""
    text = '- ingredient: dried fruit\n  sulphites: 200 mg/kg\n  spec: {statement: "Apricots, sulphur dioxide"}\n'
    kitchen.write(text + plate("4 g dried fruit", "96 g sugar") + plate("40 g dried fruit", "60 g sugar", name="more"))
    assert emphasised(label(kitchen, "eu")) == []
    assert emphasised(label(kitchen, "eu", "more")) == ["sulphur dioxide"]


def test_exempt_words_are_not_set_apart(kitchen: Kitchen) -> None:
    """Annex II, 1(a): wheat glucose syrup is free; the barley beside it is not."""
    kitchen.write(
        '- ingredient: glaze\n  spec: {statement: "Wheat glucose syrup, barley malt"}\n' + plate("9 g glaze")
    )
    assert emphasised(label(kitchen, "eu")) == ["barley"]


@pytest.mark.parametrize(
    ("statement", "text"),
    [
        ("Malt vinegar (barley), sugar", "malt vinegar (barley), sugar"),
        ("Anchovies (fish), salt", "anchovies (fish), salt"),
        ("Salt, whey powder (milk)", "salt, whey powder (milk)"),
        ("Salt, whey powder", "salt, whey powder (milk)"),
        ("SALT, MILK POWDER", "salt, milk powder"),
    ],
)
def test_a_name_the_supplier_gave_in_brackets_is_not_given_twice(kitchen: Kitchen, statement: str, text: str) -> None:
    """Article 21(1)(b): the name as in Annex II is set apart, once for each ingredient."""
    kitchen.write(f'- ingredient: blend\n  spec: {{statement: "{statement}"}}\n' + plate("9 g blend"))
    found = label(kitchen, "eu")
    plain = found["ingredients_text"].replace("[", "(").replace("]", ")")
    assert plain == f"Ingredients: blend ({text})."
    assert len(emphasised(found)) == 1


def test_a_compound_counts_by_its_weight_when_used(kitchen: Kitchen) -> None:
    """Annex VIII, 3: at the time of use. 100 g of paste boiled down from 200 g, of 200 g on the plate, is half of it."""
    kitchen.write(
        "- preparation: plum paste\n  takes: [180 g plums, 20 g sugar]\n  method:\n    - reduce: {leaves: 100 g}\n"
        + plate("100 g plum paste", "100 g double cream", name="plum paste and cream")
    )
    found = label(kitchen, "eu", "plum paste and cream")["quid"]
    assert {one["ingredient"]: one["printed"] for one in found}["plum paste"] == "50 %"


def test_what_is_open_keeps_the_label_back(kitchen: Kitchen) -> None:
    kitchen.write("- ingredient: mystery paste\n" + plate("9 g mystery paste"))
    found = label(kitchen, "eu")
    assert len(found["to_settle"]) == 1
    assert found["to_settle"][0].startswith("mystery paste (")
    page = run("declare", kitchen.folder, "--of", "plate", "--on", "2026-11-25").out
    assert "Not to be printed before these are settled" in page


@pytest.mark.parametrize("law", ["eu", "au-nz", "us"])
def test_what_was_taken_out_is_still_named(kitchen: Kitchen, law: str) -> None:
    """Article 9(1)(c): what causes allergies is given, though it was a processing aid; here nuts are steeped and strained out."""
    kitchen.write(
        "- preparation: infused cream\n  takes: [400 g double cream, 100 g hazelnuts]\n  method:\n"
        "    - macerate: {solids: [hazelnuts], for: 1 hours, at: 20 C, as: cut}\n    - strain\n"
        "  gives: {infused cream: liquor}\n"
        "- preparation: walnut milk\n  takes: ['100 g whole milk', '10 g walnuts, removed']\n"
        + plate("50 g infused cream")
        + plate("50 g walnut milk", name="other")
    )
    for name, nut in (("plate", "hazelnuts"), ("other", "walnuts")):
        found = label(kitchen, law, name)
        assert nut in (found["contains_line"] if law == "us" else emphasised(found))


@pytest.mark.parametrize("law", ["eu", "gb", "au-nz"])
def test_no_declared_allergen_of_the_demo_is_missing_from_its_list(law: str) -> None:
    """Every source a row declares is set apart in the list, by a word that law permits for it."""
    opened = open_book(demonstration_book(), law, date(2026, 11, 25))
    assert opened.workings.plates
    for name in opened.workings.plates:
        declaration = opened.declarer.dish(name)
        words = AllergenWords.of(declaration)
        marked = [piece for piece, bold in label_of(opened.workings, declaration).ingredients.pieces() if bold]
        assert all(any(words.shows(source, piece) for piece in marked) for source in words.declared), name


def test_a_lone_good(kitchen: Kitchen) -> None:
    kitchen.write(plate("10 g sugar"))
    assert label(kitchen, "eu")["ingredients_text"] == "Ingredients: sugar."


@pytest.mark.parametrize(
    ("word", "text", "found"),
    [
        ("milk", "whole milk", [(6, 10)]),
        ("milk", "buttermilk", []),
        ("hazelnut", "Hazelnuts", [(0, 9)]),
        ("egg", "eggplant", []),
    ],
)
def test_a_word_is_found_whole(word: str, text: str, found: list[tuple[int, int]]) -> None:
    assert places_of_word(word, text) == found


def test_marked_text_in_capitals_and_pieces() -> None:
    marked = MarkedText("butter (milk), salt", ((8, 12),))
    assert marked.in_capitals() == "butter (MILK), salt"
    assert marked.pieces() == (("butter (", False), ("milk", True), ("), salt", False))


@pytest.mark.parametrize(
    ("percent", "printed"), [(4.96, "5"), (5.5, "6"), (4.94, "4.9"), (0.04, "0"), (2.0, "2"), (33.333, "33")]
)
def test_shares_are_whole_from_five_on(percent: float, printed: str) -> None:
    """No step is set by law: our choice, stated."""
    assert rounded_percent(percent) == printed
