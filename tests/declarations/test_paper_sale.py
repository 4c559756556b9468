"""The particulars of labels for sale, held to Article 9 of Regulation (EU) No 1169/2011 and its like elsewhere."""

from datetime import date

import pytest

from labeller.cli.opening import open_book
from labeller.declarations.paper_net import down
from labeller.declarations.paper_particulars import SaleParticulars, UnknownOfferError
from labeller.declarations.paper_sale import sale_particulars
from tests.kitchens import HEAD, Kitchen, plate
from tests.papers import DAY, HOUSE, opened

ADDRESS = "  address: 1 Example Quay\n"
POT = """
- ingredient: ground hazelnuts
  composition: sr28:12120
  spec: {{statement: "HAZELNUTS"}}
- preparation: hazelnut pot
  takes: [200 g house cream, 100 g ground hazelnuts, 100 g caster sugar]
  makes: 4
  keeps: {keeps}
  reheat: warm through
"""
GIN = """
- preparation: damson gin
  takes: [300 g house gin, 200 g water, 100 g caster sugar]
  keeps: 90 days ambient
"""


def sold(
    kitchen: Kitchen,
    text: str,
    name: str,
    *,
    law: str = "gb",
    offer: str = "prepacked",
    net_g: float | None = None,
    address: str = ADDRESS,
) -> SaleParticulars:
    kitchen.write(HEAD.format(law=law) + address + HOUSE + text, law=None)
    found = open_book(kitchen.folder, None, DAY)
    dish = name in found.workings.plates
    declaration = found.declarer.dish(name) if dish else found.declarer.given(name)
    return sale_particulars(found.declarer, declaration, made=DAY, offer=offer, net_g=net_g)


def test_everything_article_9_wants_is_there_or_missing(kitchen: Kitchen) -> None:
    """Regulation (EU) No 1169/2011, Article 9(1)(a) to (l)."""
    found = sold(kitchen, POT.format(keeps="3 days chilled"), "hazelnut pot")
    given = {one.key for one in found.particulars if one.needed}
    wanted = {"name", "ingredients", "net quantity", "date", "storage", "operator"}
    assert wanted <= given
    assert {one.key for one in found.missing} <= {"origin", "net quantity"}
    assert found.lacking == ()
    assert found.nutrition == "required"
    assert "Article" in found.clause.pinpoint


def test_its_words(kitchen: Kitchen) -> None:
    found = sold(kitchen, POT.format(keeps="3 days chilled"), "hazelnut pot")
    text = {one.key: one.text.text for one in found.particulars}
    assert text["name"] == "Hazelnut pot"
    # Article 21(1): the nut and the milk stand apart in the list; Article 22: the nut is in the name, so its share is given.
    assert (
        found.label.ingredients.in_capitals()
        == "Ingredients: house cream (MILK), caster sugar, ground HAZELNUTS 25 %."
    )
    assert text["net quantity"] == "Net weight 100 g"
    assert text["date"] == "Use by 28 November 2026"
    assert text["storage"] == "Keep chilled, at 8 °C or below."
    assert text["operator"] == "The Saltmarsh Room, 1 Example Quay"
    assert text["instructions"] == "warm through"


def test_what_keeps_at_room_temperature_is_best_before(kitchen: Kitchen) -> None:
    """Regulation (EU) No 1169/2011, Article 24(1): use by is for what is highly perishable."""
    assert (
        _date_of(sold(kitchen, POT.format(keeps="21 days ambient"), "hazelnut pot")) == "Best before 16 December 2026"
    )
    assert _date_of(sold(kitchen, POT.format(keeps="21 days"), "hazelnut pot")) == "Use by 16 December 2026"


def test_a_missing_address_and_time_are_said_with_the_mend(kitchen: Kitchen) -> None:
    text = "- preparation: pot\n  takes: [200 g house cream]\n"
    found = sold(kitchen, text, "pot", address="")
    lacking = {one.key: one for one in found.lacking}
    assert {"operator", "date", "storage", "net quantity"} <= set(lacking)
    assert "address: 1 Example Quay" in lacking["operator"].mend
    assert lacking["date"].as_text().endswith("Write 'keeps: 5 days chilled' in the book.")
    assert _date_of(found) == "Use by: ________ (not given in the book)"


def test_what_is_not_settled_keeps_a_label_from_use(kitchen: Kitchen) -> None:
    text = "- preparation: pot\n  takes: [200 g house cream, 10 g nut paste]\n  keeps: 3 days chilled\n"
    found = sold(kitchen, text, "pot", net_g=100.0)
    assert any(one.key == "allergens" and "nut paste" in one.problem for one in found.lacking)
    assert found.unvouched
    asked = found.particular("ask about")
    assert asked is not None
    assert "soya" in asked.text.text


def test_may_contain_follows_the_list(kitchen: Kitchen) -> None:
    text = "- preparation: pot\n  takes: [100 g sugar syrup, 50 g hazelnut praline]\n  keeps: 3 days chilled\n"
    found = sold(kitchen, text, "pot", net_g=100.0)
    keys = [one.key for one in found.particulars]
    assert keys.index("may contain") == keys.index("ingredients") + 1


@pytest.mark.parametrize(
    ("law", "line", "bold"),
    [
        # Australia New Zealand Food Standards Code, 1.2.3-6(3): a summary in bold.
        ("au-nz", "Contains: milk, hazelnut.", True),
        # 21 U.S.C. 343(w)(1)(A): 'Contains' and the food sources; the nut by its name.
        ("us", "Contains: milk, hazelnuts.", False),
    ],
)
def test_the_contains_line_stands_where_a_law_has_one(kitchen: Kitchen, law: str, line: str, bold: bool) -> None:
    found = sold(kitchen, POT.format(keeps="3 days chilled"), "hazelnut pot", law=law)
    contains = found.particular("contains")
    assert contains is not None
    assert sorted(contains.text.text.removeprefix("Contains: ").rstrip(".").split(", ")) == sorted(
        line.removeprefix("Contains: ").rstrip(".").split(", ")
    )
    assert contains.bold is bold


def test_direct_sale_in_great_britain_needs_name_and_list(kitchen: Kitchen) -> None:
    """Food Standards Agency, labelling guidance for prepacked for direct sale food products, October 2021."""
    found = sold(kitchen, POT.format(keeps="3 days chilled"), "hazelnut pot", offer="prepacked for direct sale")
    assert {one.key for one in found.particulars if one.needed} == {"name", "ingredients"}
    assert found.nutrition == "voluntary"


def test_drinks_go_by_volume_and_state_their_strength(kitchen: Kitchen) -> None:
    """Regulation (EU) No 1169/2011, Articles 9(1)(k), 23(1)(a)."""
    found = sold(kitchen, GIN, "damson gin", net_g=200.0)
    net, strength = found.particular("net quantity"), found.particular("strength")
    assert net is not None
    assert net.text.text.startswith("Net volume ")
    assert net.text.text.endswith(" ml")
    assert strength is not None
    assert strength.needed
    assert strength.text.text.startswith("alc. ")


def test_drinks_of_australia_state_standard_drinks_and_want_the_warning(kitchen: Kitchen) -> None:
    """Australia New Zealand Food Standards Code, 2.7.1-3, 2.7.1-4, 2.7.1-8: a standard drink is 10 g of ethanol (1.1.2-2).

    Of 600 g half is spirit of 40 % vol, 0.9480 g/ml and 0.3157 g of ethanol a ml (OIML R 22): 300 / 0.948 x 0.3157 = 99.9 g, so 200 g
    hold 33.3 g, which are 3.3 standard drinks.
    """
    found = sold(kitchen, GIN, "damson gin", law="au-nz", net_g=200.0)
    drinks, strength = found.particular("standard drinks"), found.particular("strength")
    assert drinks is not None
    assert drinks.text.text == "approx. 3.3 standard drinks"
    assert strength is not None
    assert strength.text.text.endswith(" % alcohol by volume")
    assert any(one.key == "pregnancy_warning" for one in found.lacking)


def test_customary_units_stand_first_in_the_united_states(kitchen: Kitchen) -> None:
    """15 U.S.C. 1453(a)(2); 227 g are 8.007 oz of 28.349523125 g (NIST Handbook 44, Appendix C)."""
    found = sold(kitchen, POT.format(keeps="3 days chilled"), "hazelnut pot", law="us", net_g=227.0)
    net = found.particular("net quantity")
    assert net is not None
    assert net.text.text == "Net weight 8 oz (227 g)"


@pytest.mark.parametrize(
    ("grams", "words"),
    [(99.999, "99"), (100.0, "100"), (10.0, "10"), (9.99, "9.9"), (0.25, "0.2"), (249.9999999999, "250")],
)
def test_a_pack_never_holds_less_than_it_says(grams: float, words: str) -> None:
    """Downwards, always; only what differs in the tenth digit is the same figure."""
    assert down(grams) == words


def test_a_dish_counts_as_one_portion(kitchen: Kitchen) -> None:
    found = sold(kitchen, plate("50 g house cream", "10 g cobs"), "plate")
    net = found.particular("net quantity")
    assert net is not None
    assert net.text.text == "Net weight 60 g"
    assert any(one.key == "net quantity" and not one.must for one in found.missing)


def test_offers_that_are_no_sale_are_refused(kitchen: Kitchen) -> None:
    with pytest.raises(
        UnknownOfferError,
        match=r"'menu' is not a sale .* Write one of prepacked for direct sale, prepacked, distance\.",
    ):
        sold(kitchen, POT.format(keeps="3 days chilled"), "hazelnut pot", offer="menu")


@pytest.mark.parametrize("net_g", [0.0, -5.0, float("nan")])
def test_no_weight_is_no_weight(kitchen: Kitchen, net_g: float) -> None:
    with pytest.raises(ValueError, match="no weight of a pack"):
        sold(kitchen, POT.format(keeps="3 days chilled"), "hazelnut pot", net_g=net_g)


def test_a_figure_the_panel_lacks_is_missing(kitchen: Kitchen) -> None:
    text = "- preparation: pot\n  takes: [200 g house cream, 10 g sugar syrup]\n  keeps: 3 days chilled\n"
    found = sold(kitchen, text, "pot", net_g=100.0)
    assert any(one.key == "nutrition" and one.must and "sugars" in one.problem for one in found.missing)


def test_parts_made_earlier_bring_the_day_forward(kitchen: Kitchen) -> None:
    text = (
        "- preparation: base\n  takes: [200 g house cream]\n  keeps: 4 days chilled\n"
        "- preparation: pot\n  takes: [200 g base]\n  keeps: 4 days chilled\n"
    )
    found = opened(kitchen, text)
    declaration = found.declarer.given("pot")
    days = {"base": date(2026, 11, 22)}
    one = sale_particulars(found.declarer, declaration, made=DAY, net_g=50.0, made_days=days)
    assert _date_of(one) == "Use by 26 November 2026"


def _date_of(found: SaleParticulars) -> str:
    one = found.particular("date")
    assert one is not None
    return one.text.text
