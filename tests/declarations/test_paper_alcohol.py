"""Alcohol in the words of paper, held to the contract and to the physics of what is put in."""

import pytest

from labeller.declarations.paper_alcohol import (
    AlcoholLines,
    alcohol_cell,
    grams_in_words,
    guest_alcohol,
    staff_alcohol,
)
from tests.kitchens import Kitchen, plate
from tests.papers import opened

GIN = """
- preparation: gin jelly
  takes: [100 g house gin, 200 g water, 100 g caster sugar]
"""


def guests(kitchen: Kitchen, *lines: str, more: str = "", law: str = "gb") -> AlcoholLines:
    found = opened(kitchen, more + plate(*lines), law=law)
    return guest_alcohol(found.declarer, found.declarer.dish("plate"))


def test_drink_part_state_and_grams_are_named(kitchen: Kitchen) -> None:
    """10 ml at 40 % vol hold 4 ml x 0.78924 g/ml = 3.157 g of ethanol: density at 20 C, OIML R 22 (1975)."""
    found = guests(kitchen, "10 ml house gin")
    assert found.short.text == "Alcohol: house gin, uncooked; about 3.2 g in the portion."
    assert found.short.in_capitals().startswith("Alcohol: HOUSE GIN, uncooked")
    (drink,) = found.drinks
    assert drink.ethanol_g == pytest.approx(10.0 * 0.40 * 0.78924, rel=1e-3)


def test_the_part_it_is_in_is_named(kitchen: Kitchen) -> None:
    found = guests(kitchen, "40 g gin jelly", more=GIN)
    assert found.short.text.startswith("Alcohol: house gin, uncooked, in gin jelly; about ")
    assert found.short.text.endswith(" in the portion.")
    assert found.details[0].startswith("house gin, uncooked, in gin jelly; about ")


def test_heated_alcohol_keeps_its_range_and_the_caution(kitchen: Kitchen) -> None:
    """What is left after cooking is an estimate: low and high stand beside it, and cooking is never said to take all."""
    more = GIN + "  method:\n    - heat: {how: simmer, for: 30 min, loses: 40 g}\n"
    found = guests(kitchen, "100 g gin jelly", more=more)
    assert "house gin, heated, in gin jelly; about " in found.short.text
    assert "(" in found.short.text
    assert "Cooking does not take all of it away." in found.caution


@pytest.mark.parametrize("word", ["children", "pregnancy", "recovery", "medicines"])
def test_the_caution_is_whole(kitchen: Kitchen, word: str) -> None:
    assert word in guests(kitchen, "10 ml house gin").caution


def test_a_drink_of_unknown_strength_says_there_may_be_more(kitchen: Kitchen) -> None:
    alone = guests(kitchen, "10 g rum essence")
    assert alone.short.text == "Alcohol: rum essence, uncooked; how much is not known."
    both = guests(kitchen, "10 g rum essence", "10 ml house gin")
    assert (
        "about 3.2 g in the portion; how strong rum essence may be is not known, so there may be more."
        in both.short.text
    )


def test_unknown_is_asked_about_and_never_none(kitchen: Kitchen) -> None:
    found = guests(kitchen, "5 g nut paste")
    assert found.status == "unconfirmed"
    assert found.short.text == "Please ask us about alcohol: nut paste."
    assert found.ask
    assert found.caution
    beside = guests(kitchen, "5 g nut paste", "10 ml house gin")
    assert beside.short.text.endswith("Please ask us about alcohol: nut paste.")
    assert beside.short.text.startswith("Alcohol: house gin")


def test_none_goes_by_the_papers_and_names_ferments(kitchen: Kitchen) -> None:
    """The contract: ferments are named and not summed."""
    plain = guests(kitchen, "5 g sugar syrup")
    assert plain.short.text == "Alcohol: not in the recipe, going by our suppliers' papers."
    assert plain.caution == ""
    sour = guests(kitchen, "5 g sour sauce")
    assert sour.status == "none declared"
    assert sour.short.text.endswith("A ferment can hold a little alcohol: sour sauce.")


def test_staff_read_strength_where_it_pours_and_100_g_else(kitchen: Kitchen) -> None:
    found = opened(kitchen, GIN + "- preparation: boozy cream\n  takes: [10 g house gin, 90 g half known nuts]\n")
    pours = staff_alcohol(found.declarer, found.declarer.given("gin jelly"))
    assert " % vol." in pours.short.text
    thick = staff_alcohol(found.declarer, found.declarer.given("boozy cream"))
    # 10 g of a spirit of 40 % vol: 0.3157 g of ethanol in a millilitre of 0.948 g (OIML R 22): 3.3 g.
    assert "house gin, uncooked; about 3.3 g in 100 g." in thick.short.text
    assert "Not known: ask the kitchen about alcohol (because of half known nuts)." in thick.short.text


@pytest.mark.parametrize(
    ("law", "statement"),
    [
        ("gb", "alc. "),  # Regulation (EU) No 1169/2011, Articles 9(1)(k), 28: above 1.2 % vol
        ("eu", "alc. "),
        ("us", ""),  # strength on drinks is another agency's rule, not in the pack
    ],
)
def test_strength_is_stated_where_the_law_asks(kitchen: Kitchen, law: str, statement: str) -> None:
    found = opened(kitchen, GIN, law=law)
    said = guest_alcohol(found.declarer, found.declarer.given("gin jelly")).statement
    assert said.startswith(statement)
    assert bool(said) is bool(statement)
    assert said == "" or said.endswith(" % vol")


def test_what_was_set_or_is_not_known_does_not_pour(kitchen: Kitchen) -> None:
    """A set cream is no drink, and what has no figures may be anything: no strength as of a drink is printed of either."""
    more = "- preparation: cold set\n  takes: [10 g house gin, 90 g house cream]\n  method: [{set: overnight}]\n"
    found = opened(kitchen, GIN + more)
    assert staff_alcohol(found.declarer, found.declarer.given("gin jelly")).strength_percent_vol is not None
    lines = staff_alcohol(found.declarer, found.declarer.given("cold set"))
    assert lines.strength_percent_vol is None
    assert " in 100 g." in lines.short.text


def test_confectionery_of_the_united_states_reaches_its_bound(kitchen: Kitchen) -> None:
    """21 U.S.C. 342(d)(2): above one half of 1 per cent by volume."""
    found = guests(kitchen, "10 ml house gin", law="us")
    assert [one.key for one in found.thresholds] == ["confectionery"]


@pytest.mark.parametrize(
    ("low", "estimate", "high", "words"),
    [
        (3.9, 4.4, 5.1, "4.4 g (3.9 to 5.1)"),  # the contract's own example
        (4.4, 4.4, 4.4, "4.4 g"),
        (0.0, 0.1, 0.3, "0.1 g (up to 0.3)"),
        (0.0, 0.01, 0.3, "less than 0.1 g (up to 0.3)"),
        (0.0, 0.01, 0.02, "less than 0.1 g"),
    ],
)
def test_grams_in_words(low: float, estimate: float, high: float, words: str) -> None:
    assert grams_in_words(low, estimate, high) == words


def test_a_cell_of_a_sheet_names_the_drinks(kitchen: Kitchen) -> None:
    found = opened(
        kitchen,
        plate("10 ml house gin", "5 g nut paste", name="a")
        + plate("5 g nut paste", name="b")
        + plate("5 g sour sauce", name="c"),
    )
    one, two, three = (alcohol_cell(found.declarer.dish(name)) for name in ("a", "b", "c"))
    assert (one.head, one.detail, one.also_not_known) == (
        "Contains",
        "house gin, uncooked",
        "Not known: ask the kitchen (nut paste)",
    )
    assert (two.head, two.detail) == ("Not known: ask the kitchen", "nut paste")
    assert (three.head, three.detail) == ("Not an ingredient", "a ferment can hold a little alcohol: sour sauce")


def test_drinks_alike_are_said_in_one_breath(kitchen: Kitchen) -> None:
    """Wording of our own; the amounts are one sum, so nothing is lost."""
    more = "- ingredient: house rum\n  composition: sr28:14037\n  strength: 40 % vol\n" + GIN.replace(
        "[100 g house gin,", "[100 g house gin, 60 g house rum,"
    )
    found = guests(kitchen, "40 g gin jelly", more=more)
    assert found.short.text.startswith("Alcohol: house gin and house rum, uncooked, in gin jelly; about ")
    assert found.short.in_capitals().startswith("Alcohol: HOUSE GIN and HOUSE RUM, uncooked")
    assert len(found.drinks) == 2


def test_a_part_called_like_the_dish_is_not_named_again(kitchen: Kitchen) -> None:
    found = opened(kitchen, GIN + "- dish: gin jelly\n  plate: [40 g gin jelly]\n")
    lines = guest_alcohol(found.declarer, found.declarer.dish("gin jelly"))
    assert lines.short.text.startswith("Alcohol: house gin, uncooked; about ")


def test_a_cell_names_a_drink_once_with_all_its_states(kitchen: Kitchen) -> None:
    more = GIN + "  method:\n    - heat: {how: simmer, for: 30 min, loses: 40 g}\n"
    found = opened(kitchen, more + plate("40 g gin jelly", "5 ml house gin"))
    assert alcohol_cell(found.declarer.dish("plate")).detail == "house gin, uncooked and heated"
