"""Allergens in the words of paper, held to section 3 of the contract of the book and to the names of Annex II."""

import pytest

from labeller.cli.opening import open_book
from labeller.declarations.allergen_rows import MayContain
from labeller.declarations.paper_allergens import (
    allergen_cells,
    guest_allergens,
    legend,
    staff_allergens,
    touched_by,
)
from labeller.declarations.paper_in_language import translated_allergens
from labeller.declarations.paper_opened import opened_good
from labeller.declarations.paper_phrases import phrase, phrases_on_file
from labeller.declarations.paper_unvouched import Unvouched, unvouched, unvouched_as_text
from labeller.jurisdictions.languages import NoTranslationError
from tests.kitchens import HEAD, Kitchen, plate
from tests.papers import DAY, HOUSE, opened

CHURNED = """
- preparation: cream ice
  takes: [100 g house cream]
  made_on: [churn]
- preparation: plain sorbet
  takes: [100 g sugar syrup]
  made_on: [churn]
"""
SHARED = "  shared_equipment: [churn]\n"


def book(kitchen: Kitchen, text: str, law: str = "gb") -> Kitchen:
    """Write a book whose kitchen has a churn."""
    return kitchen.write(HEAD.format(law=law) + SHARED + HOUSE + text, law=None)


def test_contains_names_the_nut_and_is_set_apart(kitchen: Kitchen) -> None:
    """Regulation (EU) No 1169/2011, Annex II, 8: nuts are named one by one."""
    found = opened(kitchen, plate("10 g house cream", "5 g cobs"))
    lines = guest_allergens(found.declarer.dish("plate"))
    assert lines.contains.text == "Contains milk, nuts (hazelnut)."
    assert lines.contains.in_capitals() == "Contains MILK, NUTS (HAZELNUT)."
    assert lines.contains_words == ("milk", "nuts (hazelnut)")
    assert not lines.may_contain.text
    assert not lines.ask_about.text
    assert not lines.sentence.text


def test_may_contain_says_why(kitchen: Kitchen) -> None:
    """The contract, section 3: 'May contain, and why'; a nut already in it is not said again."""
    found = opened(kitchen, plate("5 g hazelnut praline"))
    lines = guest_allergens(found.declarer.dish("plate"))
    assert lines.contains.text == "Contains nuts (hazelnut)."
    assert lines.may_contain.text == "May contain peanut, nuts (almond) (the supplier of hazelnut praline says so)."
    assert lines.may_contain.in_capitals().startswith("May contain PEANUT, NUTS (ALMOND) (the")


def test_suppliers_that_say_the_same_stand_together(kitchen: Kitchen) -> None:
    text = "".join(
        f'- ingredient: {name}\n  spec: {{statement: "Sugar", may_contain: "milk"}}\n'
        for name in ("pink sugar", "red sugar")
    )
    found = opened(kitchen, text + plate("5 g pink sugar", "5 g red sugar"))
    lines = guest_allergens(found.declarer.dish("plate"))
    assert lines.as_text() == "May contain milk (the suppliers of pink sugar and red sugar say so)."


def test_beside_wheat_wheat_is_not_asked_about(kitchen: Kitchen) -> None:
    """Under 21 U.S.C. 321(qq) wheat is a source of its own: who reads that it is in it learns nothing from asking."""
    text = '- ingredient: crumbs\n  spec: {statement: "WHEAT flour"}\n' + plate("5 g crumbs", "5 g nut paste")
    american = guest_allergens(opened(kitchen, text, law="us").declarer.dish("plate"))
    assert "wheat" not in american.ask_about.text
    british = guest_allergens(opened(kitchen, text, law="gb").declarer.dish("plate"))
    assert "cereals with gluten other than wheat" in british.ask_about.text


def test_shared_equipment_is_named_with_what_was_on_it(kitchen: Kitchen) -> None:
    book(kitchen, CHURNED + plate("50 g plain sorbet"))
    declaration = open_book(kitchen.folder, None, DAY).declarer.dish("plate")
    assert guest_allergens(declaration).may_contain.text == "May contain milk (made on the same churn as cream ice)."
    said = staff_allergens(declaration).may_contain.text
    assert said == "May contain milk (plain sorbet, made on the same churn as cream ice)."


def test_unconfirmed_is_asked_about_with_examples(kitchen: Kitchen) -> None:
    """The contract, section 3: 'Please ask us about soya'; crustaceans (prawn, crab), molluscs (mussel, squid), sulphites (wine, dried fruit)."""
    found = opened(kitchen, plate("5 g nut paste"))
    lines = guest_allergens(found.declarer.dish("plate"))
    assert lines.ask_about.text.startswith(
        "Please ask us about gluten (wheat, rye, barley, oats), crustaceans (prawn, crab), "
    )
    for words in ("molluscs (mussel, squid)", "sulphites (wine, dried fruit)", "soya", "celery", "nuts"):
        assert words in lines.ask_about.text
    assert not lines.sentence.text


def test_beside_contains_other_nuts_are_asked_about(kitchen: Kitchen) -> None:
    found = opened(kitchen, plate("5 g half known nuts"))
    lines = guest_allergens(found.declarer.dish("plate"))
    assert lines.contains.text == "Contains nuts (hazelnut)."
    assert "nuts other than hazelnut" in lines.ask_about.text
    beside = next(one for one in lines.asked if one.group == "nuts")
    assert beside.beside
    assert beside.ingredients == ("half known nuts",)
    assert beside.mends
    assert beside.mends[0].startswith("add the supplier's whole statement")


def test_beside_goats_milk_other_milk_is_asked_about_but_not_beside_milk(kitchen: Kitchen) -> None:
    """Milk of an animal not given is the usual one: who reads 'milk' learns nothing from asking again."""
    found = opened(
        kitchen,
        plate("5 g goat curd", "5 g nut paste", name="goat") + plate("5 g house cream", "5 g nut paste", name="cow"),
    )
    goat, cow = (guest_allergens(found.declarer.dish(name)) for name in ("goat", "cow"))
    assert goat.contains.text == "Contains milk (goat milk)."
    assert "milk other than goat milk" in goat.ask_about.text
    assert cow.contains.text == "Contains milk."
    assert "milk" not in cow.ask_about.text


def test_a_nut_that_is_not_named_is_said_to_be_unknown(kitchen: Kitchen) -> None:
    found = opened(kitchen, plate("5 g mixed nuts", name="a") + plate("5 g mixed nuts", "5 g cobs", name="b"))
    assert guest_allergens(found.declarer.dish("a")).contains.text == "Contains nuts (which one is not known)."
    assert guest_allergens(found.declarer.dish("b")).contains.text == "Contains nuts (hazelnut, others not named)."


def test_nothing_declared_is_one_plain_sentence(kitchen: Kitchen) -> None:
    found = opened(kitchen, plate("5 g sugar syrup"))
    lines = guest_allergens(found.declarer.dish("plate"))
    assert [one.text for one in lines.lines()] == [
        "None of the allergens we must declare is in the recipe, going by our suppliers' papers."
    ]
    assert len(lines.not_an_ingredient) == 14  # Regulation (EU) No 1169/2011, Annex II


def test_staff_read_what_leaves_it_open(kitchen: Kitchen) -> None:
    """The contract, section 3: 'Not known: ask the kitchen'."""
    found = opened(kitchen, plate("5 g shop stock"))
    text = staff_allergens(found.declarer.dish("plate")).ask_about.text
    assert text.startswith("Not known: ask the kitchen about ")
    assert text.endswith(" (because of shop stock).")
    assert "celery" not in text


@pytest.mark.parametrize(
    ("law", "soya", "sulphites"),
    [("gb", "soya", "sulphites"), ("us", "soy", "sulfites"), ("au-nz", "soy", "sulphites")],
)
def test_groups_are_spelled_as_the_law_spells_them(kitchen: Kitchen, law: str, soya: str, sulphites: str) -> None:
    """21 U.S.C. 321(qq) has soybeans, 21 CFR 130.9 sulfiting agents; Schedule 9 of the Australia New Zealand Food Standards Code soy."""
    found = opened(kitchen, plate("5 g nut paste"), law=law)
    asked = guest_allergens(found.declarer.dish("plate")).asked
    words = {one.group: one.words for one in asked}
    assert words["soya"] == soya
    assert words["sulphites"].startswith(f"{sulphites} (")


def test_cells_tell_the_four_states_by_words(kitchen: Kitchen) -> None:
    """The contract, section 3, the column of paper."""
    found = opened(kitchen, plate("5 g half known nuts", "5 g hazelnut praline"))
    cells = {cell.group: cell for cell in allergen_cells(found.declarer.dish("plate"))}
    assert (cells["nuts"].head, cells["nuts"].detail) == ("Contains", "hazelnut; may contain almond")
    assert cells["nuts"].also_not_known == "Not known: ask the kitchen (half known nuts)"
    assert (cells["peanut"].head, cells["peanut"].also_not_known) == (
        "May contain",
        "Not known: ask the kitchen (half known nuts)",
    )
    assert (cells["soya"].head, cells["soya"].detail) == ("Not known: ask the kitchen", "half known nuts")
    plain = opened(kitchen, plate("5 g sugar syrup"))
    assert {cell.head for cell in allergen_cells(plain.declarer.dish("plate"))} == {"Not an ingredient"}


def test_other_languages_use_the_names_of_the_annex(kitchen: Kitchen) -> None:
    """Regulation (EU) No 1169/2011, Annex II, French and German texts: lait, fruits à coque, noisettes; Milch, Haselnüsse."""
    declaration = opened(kitchen, plate("10 g house cream", "5 g hazelnut praline")).declarer.dish("plate")
    french = translated_allergens(declaration, "fr")
    assert french.contains_head == "Contient"
    assert french.contains[0] == "lait"
    assert "noisette" in french.contains[1]
    assert not french.untranslated
    assert "Hasel" in translated_allergens(declaration, "de").contains[1]
    with pytest.raises(NoTranslationError, match="'xx' is not a language on file"):
        translated_allergens(declaration, "xx")


def test_species_without_a_name_on_file_stay_in_english(kitchen: Kitchen) -> None:
    text = '- ingredient: fish pie mix\n  spec: {statement: "COD"}\n' + plate("5 g fish pie mix")
    french = translated_allergens(opened(kitchen, text).declarer.dish("plate"), "fr")
    assert french.contains in {("poissons (cod)",), ("poisson (cod)",)}
    assert french.untranslated == ("cod",)


def test_an_opened_good_is_declared_with_what_its_equipment_passes_on(kitchen: Kitchen) -> None:
    text = CHURNED.replace(
        "preparation: plain sorbet\n  takes: [100 g sugar syrup]",
        'ingredient: soft serve mix\n  spec: {statement: "Water, sugar, SOYA"}',
    )
    book(kitchen, text)
    declaration = opened_good(open_book(kitchen.folder, None, DAY).declarer, "soft serve mix")
    assert (
        guest_allergens(declaration).as_text()
        == "Contains soya. May contain milk (made on the same churn as cream ice)."
    )
    assert declaration.weight_g == pytest.approx(100.0)


def test_unvouched_names_dish_group_ingredient_and_mend(kitchen: Kitchen) -> None:
    found = opened(kitchen, plate("5 g shop stock", "5 g house cream"))
    declaration = found.declarer.dish("plate")
    left = unvouched([declaration])
    assert {one.group for one in left} == {row.group.name for row in declaration.allergens} - {"celery", "milk"} | {
        "alcohol"
    }
    assert {one.ingredient for one in left} == {"shop stock"}
    lines = unvouched_as_text(left)
    assert lines == [
        "Cannot vouch for everything on it. What would settle it:",
        (
            "  'shop stock': add the supplier's whole statement, or 'covers: all' if the list is complete. "
            "It leaves open 12 groups of allergens and alcohol, in plate."
        ),
    ]
    assert unvouched([opened(kitchen, plate("5 g sugar syrup")).declarer.dish("plate")]) == ()


def test_touched_by_finds_both_sides_though_a_name_is_that_of_the_machine() -> None:
    one = MayContain(("milk",), ("churn", "churn", "cream ice", "house cream"), "churn")
    assert touched_by(one) == ("churn", "cream ice")


def test_phrases_never_promise() -> None:
    """The contract, section 3: never 'traces', never 'free from', never a tick; nor that cooking drives alcohol out."""
    for language, phrases in phrases_on_file().items():
        for key, text in phrases.items():
            folded = text.casefold()
            for never in ("free from", "trace", "✓", "✔", "☑", "cooks off", "safe"):
                assert never not in folded, (language, key)


def test_a_language_without_phrases_stands_in_english() -> None:
    assert phrase("contains", "fi") == "Contains"
    assert (
        phrase("not_after", day="27 November 2026", part="custard") == "not after 27 November 2026, because of custard"
    )


def test_the_legend_explains_the_four_states_gravest_first() -> None:
    """The contract, section 3: the words of paper for each status."""
    assert [(status, head) for status, head, _ in legend()] == [
        ("contains", "Contains"),
        ("may contain", "May contain"),
        ("unconfirmed", "Not known: ask the kitchen"),
        ("none declared", "Not an ingredient"),
    ]
    assert all(meaning.endswith(".") for _, _, meaning in legend())


def test_what_would_settle_most_is_said_first_and_each_ingredient_once() -> None:
    many = [Unvouched(f"soup {number}", "milk", "bouillon powder", "ask") for number in range(6)]
    one = [Unvouched("tart", group, "jam", "ask") for group in ("soya", "nuts", "alcohol")]
    assert unvouched_as_text([*one, *many]) == [
        "Cannot vouch for everything on it. What would settle it:",
        "  'bouillon powder': ask. It leaves open milk, in soup 0, soup 1, soup 2, soup 3 and 2 more.",
        "  'jam': ask. It leaves open soya, nuts and alcohol, in tart.",
    ]
    assert unvouched_as_text([]) == []
