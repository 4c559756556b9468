"""The command ``whatif``: held against the same book written again by hand, and to the words it must say."""

from pathlib import Path
from typing import Any

import pytest

from tests.kitchens import Kitchen, Ran, plate, rows, run, status

GOODS = """
- ingredient: oat cream
  per_100_g: {fat_g: 13, saturates_g: 1.5, carbohydrate_g: 6, sugars_g: 4, fibre_g: 0.8, protein_g: 1, salt_g: 0.1}
  spec: {statement: "Water, OATS, rapeseed oil", may_contain: "soya"}
- ingredient: mystery cream
- ingredient: hazelnut paste
  spec: {statement: "HAZELNUTS"}
- ingredient: house gin
  composition: sr28:14037
  strength: 40 % vol
- ingredient: monkey nut oil
  composition: sr28:04042
  spec: {statement: "PEANUT oil, unrefined"}
"""
CUSTARD = """
- preparation: custard
  takes: [500 ml double cream, 100 g egg yolk, 80 g caster sugar]
  method: [heat: {how: hold, for: 10 min, loses: 5 %}]
- preparation: custard ice
  takes: [400 g custard, 1 pinch salt]
  method: [churn]
"""
DISHES = plate("90 g custard ice", "12 g hazelnut paste, optional") + plate("60 g custard", name="little pot")
BOOK = GOODS + CUSTARD + DISHES


def try_it(kitchen: Kitchen, *arguments: str, dish: str = "plate") -> Ran:
    return run("whatif", kitchen.folder, "--of", dish, "--on", "2026-11-25", *arguments)


def tried(kitchen: Kitchen, *arguments: str, dish: str = "plate") -> dict[str, Any]:
    ran = try_it(kitchen, *arguments, "--json", dish=dish)
    assert ran.code in (0, 3), ran.err
    found: dict[str, Any] = ran.json()
    return found


def by_hand(tmp_path: Path, text: str, name: str = "plate") -> dict[str, Any]:
    return Kitchen(tmp_path / "by hand").write(text).one(name)


def same(first: Any, second: Any) -> bool:
    """Tell whether two declarations are alike, floats to rounding."""
    if isinstance(first, float) and isinstance(second, float):
        return first == pytest.approx(second, rel=1e-9, abs=1e-9)
    if isinstance(first, dict) and isinstance(second, dict):
        return first.keys() == second.keys() and all(same(first[key], second[key]) for key in first)
    if isinstance(first, list) and isinstance(second, list):
        return len(first) == len(second) and all(same(*pair) for pair in zip(first, second, strict=True))
    return bool(first == second)


def grams_of(declaration: dict[str, Any], name: str) -> float:
    return float(next(one["g"] for one in declaration["ingredients"] if one["ingredient"] == name))


@pytest.mark.parametrize(
    ("arguments", "old", "new"),
    [
        (("--swap", "double cream=500 ml whole milk"), "500 ml double cream", "500 ml whole milk"),
        (("--swap", "egg yolk=oat cream"), "100 g egg yolk", "100 g oat cream"),
        (("--swap", "hazelnut paste=oat cream"), "12 g hazelnut paste, optional", "12 g oat cream, optional"),
        (("--swap", "hazelnut paste=5 g oat cream"), "12 g hazelnut paste, optional", "5 g oat cream, optional"),
        (("--swap", "custard ice=custard"), "90 g custard ice", "90 g custard"),
        (("--leave-off", "hazelnut paste"), "    - 12 g hazelnut paste, optional\n", ""),
        (("--leave-off", "caster sugar"), ", 80 g caster sugar", ""),
        (("--add", "20 ml house gin"), "12 g hazelnut paste, optional", "12 g hazelnut paste, optional\n    - 20 ml house gin"),
    ],
)  # fmt: skip
def test_after_is_what_the_book_written_again_by_hand_declares(
    kitchen: Kitchen, tmp_path: Path, arguments: tuple[str, ...], old: str, new: str
) -> None:
    """The rebuilt declaration is that of a book in which the cook changed the line."""
    kitchen.write(BOOK)
    found = tried(kitchen, *arguments)
    assert BOOK.count(old) == 1
    assert same(found["after"], by_hand(tmp_path, BOOK.replace(old, new)))
    assert same(found["before"], kitchen.one("plate"))


def test_several_changes_at_once_and_two_things_that_change_places(kitchen: Kitchen, tmp_path: Path) -> None:
    kitchen.write(BOOK)
    found = tried(kitchen, "--swap", "egg yolk=caster sugar", "--swap", "caster sugar=egg yolk", "--leave-off", "salt")
    again = BOOK.replace("100 g egg yolk, 80 g caster sugar", "100 g caster sugar, 80 g egg yolk")
    again = again.replace("400 g custard, 1 pinch salt", "400 g custard")
    assert same(found["after"], by_hand(tmp_path, again))
    assert {one["asked"] for one in found["swaps"]} == {"caster sugar=egg yolk", "egg yolk=caster sugar", "salt"}


def test_a_bare_name_takes_the_weight_of_what_it_stands_in_for(kitchen: Kitchen) -> None:
    """500 ml of double cream weigh what the density says; as many grams of oat cream go in, not as many millilitres."""
    kitchen.write(BOOK)
    found = tried(kitchen, "--swap", "double cream=oat cream")
    assert grams_of(found["after"], "oat cream") == pytest.approx(grams_of(found["before"], "double cream"))
    assert [place["in"] for place in found["swaps"][0]["places"]] == ["custard"]


def test_gained_lost_and_may_contain_are_told_gains_first(kitchen: Kitchen) -> None:
    kitchen.write(BOOK)
    ran = try_it(kitchen, "--swap", "double cream=oat cream")
    found = tried(kitchen, "--swap", "double cream=oat cream")
    assert ran.code == 0
    assert (status(found["before"], "gluten"), status(found["after"], "gluten")) == ("none declared", "contains")
    assert (status(found["before"], "milk"), status(found["after"], "milk")) == ("contains", "none declared")
    assert (status(found["before"], "soya"), status(found["after"], "soya")) == ("none declared", "may contain")
    told = [one["about"] for one in found["differences"] if one["subject"] == "allergen"]
    assert told == ["gluten", "soya", "milk"]
    text = ran.out
    assert "Nothing was changed in the book." in " ".join(text.split())
    assert text.index("GAINED") < text.index("gluten") < text.index("Lost, or weaker") < text.index("BEFORE")
    joined = " ".join(text.split())
    assert "! gluten: was 'not an ingredient', now 'contains' oats" in joined
    assert "! soya: was 'not an ingredient', now 'may contain' soya" in joined
    assert "little pot" in text
    for words in ("energy", "fat", "of which saturates", "of which sugars", "salt", "alcohol", "weight of a portion"):
        assert words in text
    assert "free from" not in text.casefold()


def test_what_comes_in_by_one_more_way_is_not_silent(kitchen: Kitchen) -> None:
    """The dish contains nuts already; that the ice holds them as well matters to who leaves the paste off."""
    kitchen.write(BOOK)
    text = " ".join(try_it(kitchen, "--swap", "egg yolk=hazelnut paste").out.split())
    assert "! nuts: 'contains' as before, now through custard ice > custard > hazelnut paste" in text


def test_other_dishes_change_where_a_preparation_does_and_not_where_the_plate_does(kitchen: Kitchen) -> None:
    kitchen.write(BOOK + plate("10 g caster sugar", name="plain"))
    inside = tried(kitchen, "--swap", "double cream=oat cream")["also_changes"]
    assert [one["name"] for one in inside] == ["little pot"]
    assert {"gluten", "milk", "soya"} <= {one["about"] for one in inside[0]["differences"]}
    assert tried(kitchen, "--swap", "hazelnut paste=oat cream")["also_changes"] == []


def test_shared_equipment_passes_on_what_a_swap_brings(kitchen: Kitchen) -> None:
    """The contract, shared equipment: what a batch contains passes to every other batch on that equipment as may contain."""
    kitchen.write(
        "- kitchen: The Saltmarsh Room\n  jurisdiction: eu\n  shared_equipment: [churn]\n"
        + GOODS
        + "- preparation: plain ice\n  takes: [100 g caster sugar]\n  made_on: [churn]\n"
        + "- preparation: other ice\n  takes: [100 g caster sugar, 10 g salt]\n  made_on: [churn]\n"
        + plate("50 g plain ice")
        + plate("50 g other ice", name="other"),
        law=None,
    )
    found = tried(kitchen, "--swap", "caster sugar=hazelnut paste")
    assert status(found["after"], "nuts") == "contains"
    also = found["also_changes"]
    assert [one["name"] for one in also] == ["other"]
    nuts = next(one for one in also[0]["differences"] if one["about"] == "nuts")
    assert nuts["after"]["status"] == "may contain"
    assert "Other dishes gain too" in " ".join(try_it(kitchen, "--swap", "caster sugar=hazelnut paste").out.split())


def test_what_becomes_not_known_ends_in_3_and_is_loud(kitchen: Kitchen) -> None:
    kitchen.write(BOOK)
    ran = try_it(kitchen, "--swap", "double cream=mystery cream")
    assert ran.code == 3
    found = tried(kitchen, "--swap", "double cream=mystery cream")
    assert "celery" in found["cannot_vouch"]
    assert "fat_g per_portion" in found["cannot_vouch"]  # the bare name has no figures either
    assert "egg" not in found["cannot_vouch"]  # still contains, by the yolk
    assert "Nobody can vouch any more for" in ran.out
    assert "not known" in ran.out


def test_what_nobody_could_vouch_for_before_does_not_end_in_3(kitchen: Kitchen) -> None:
    kitchen.write(GOODS + "- ingredient: other mystery\n" + plate("30 g mystery cream"))
    ran = try_it(kitchen, "--swap", "mystery cream=other mystery")
    assert ran.code == 0
    assert "one more reason" in " ".join(ran.out.split())


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ((), "Write what to try"),
        (("--swap", "double cream"), "is not OLD=NEW"),
        (("--swap", "=oat cream"), "is not OLD=NEW"),
        (("--swap", "double creem=oat cream"), "Did you mean 'double cream'"),
        (("--swap", "house gin=oat cream"), "'house gin' is not in 'plate'"),
        (("--swap", "double cream=oat creem"), "Did you mean 'oat cream'"),
        (("--swap", "double cream=30 g oat creem"), "'oat creem' is not an ingredient"),
        (("--swap", "double cream=0 g oat cream"), "above nought"),
        (("--swap", "double cream=sr28:99999"), "no row 'sr28:99999'"),
        (("--swap", "double cream=double cream"), "same thing"),
        (("--swap", "double cream=custard ice"), "custard > custard ice > custard"),
        (("--swap", "double cream=custard"), "custard > custard"),
        (("--swap", "double cream=oat cream", "--leave-off", "double cream"), "changed twice"),
        (("--swap", "double cream=30 g oat cream, removed"), "more than an amount"),
        (("--leave-off", "custard ice", "--leave-off", "hazelnut paste"), "nothing is left on the plate"),
        (("--leave-off", "double cream", "--leave-off", "egg yolk", "--leave-off", "caster sugar"), "nothing is left of"),
        (("--add", "oat cream"), "has no amount"),
        (("--swap", "double cream=oat cream", "--inside", "the moon"), "'the moon' is not a preparation in"),
        (("--swap", "double cream=oat cream", "--inside", "plate"), "Leave --inside out"),
        (("--swap", "c=oat cream"), "fits more than one"),
    ],
)  # fmt: skip
def test_what_cannot_be_tried_ends_in_2_in_words(kitchen: Kitchen, arguments: tuple[str, ...], says: str) -> None:
    kitchen.write(BOOK)
    ran = try_it(kitchen, *arguments)
    assert ran.code == 2, ran.out
    assert ran.out == ""
    assert says in ran.err
    assert "Traceback" not in ran.err


def test_a_row_of_the_table_by_its_code(kitchen: Kitchen) -> None:
    """Row 09003 of the USDA National Nutrient Database for Standard Reference, Release 28: apples, raw, with skin, 52 kcal in 100 g."""
    kitchen.write(GOODS + plate("100 g oat cream"))
    found = tried(kitchen, "--swap", "oat cream=sr28:09003")
    assert found["swaps"][0]["new"].startswith("Apples, raw, with skin")
    assert status(found["after"], "gluten") == "none declared"
    assert found["after"]["nutrition"]["per_portion"]["energy_kcal"] == pytest.approx(52.0, rel=0.1)


def test_a_method_that_calls_a_line_by_name_follows_it(kitchen: Kitchen, tmp_path: Path) -> None:
    book = (
        GOODS
        + """
- preparation: damson gin
  takes: [600 g damsons, 750 ml house gin]
  method:
    - macerate: {solids: [damsons], for: 3 weeks, as: pricked}
    - strain: {holds: 8 %}
  gives: {damson gin: liquor, steeped damsons: solids}
"""
        + plate("60 g steeped damsons", "20 ml damson gin, optional")
    )
    kitchen.write(book)
    found = tried(kitchen, "--swap", "damsons=cherries")
    again = book.replace("600 g damsons", "600 g cherries").replace("solids: [damsons]", "solids: [cherries]")
    assert same(found["after"], by_hand(tmp_path, again))
    assert found["after"]["alcohol"]["status"] == "contains"
    ran = try_it(kitchen, "--leave-off", "damsons", "--inside", "damson gin")
    assert ran.code == 2
    assert "steeps or strains 'damsons'" in ran.err


def test_the_fat_of_a_fryer_can_be_swapped(kitchen: Kitchen) -> None:
    kitchen.write(
        GOODS
        + "- preparation: chips\n  takes: [500 g potatoes]\n  method: [fry: {in: sunflower oil, takes_up: 8 %, loses: 30 %}]\n"
        + plate("100 g chips")
    )
    found = tried(kitchen, "--swap", "sunflower oil=monkey nut oil")
    assert status(found["before"], "peanut") == "none declared"
    assert status(found["after"], "peanut") == "contains"
    ran = try_it(kitchen, "--swap", "sunflower oil=30 g monkey nut oil")
    assert (ran.code, "without an amount" in ran.err) == (2, True)
    ran = try_it(kitchen, "--leave-off", "sunflower oil")
    assert (ran.code, "cannot be left off" in ran.err) == (2, True)


def test_a_weight_on_the_scale_follows_in_proportion_and_says_so(kitchen: Kitchen) -> None:
    """1000 g went in and 900 g came out; with 1200 g going in, 1080 g are taken to come out: shown as a guess."""
    kitchen.write(
        GOODS
        + "- preparation: syrup\n  takes: [500 g caster sugar, 500 g water]\n  gives: 900 g\n"
        + plate("1/10 of the syrup")
    )
    found = tried(kitchen, "--swap", "caster sugar=700 g caster sugar")
    assert found["before"]["portion_g"] == pytest.approx(90.0)
    assert found["after"]["portion_g"] == pytest.approx(108.0)
    assert "weigh it again" in found["notes"][0]
    assert "1.2 times" in found["notes"][0]


def test_a_loss_that_cannot_be_any_more_is_dropped_and_said(kitchen: Kitchen) -> None:
    """Oil has no water to boil away: the allergens are told all the same, and the note says what the figures rest on."""
    kitchen.write(
        GOODS
        + "- preparation: reduced milk\n  takes: [1000 g whole milk]\n  method: [reduce: {leaves: 500 g, for: 45 min}]\n"
        + plate("50 g reduced milk")
    )
    found = tried(kitchen, "--swap", "whole milk=monkey nut oil")
    assert status(found["after"], "peanut") == "contains"
    assert found["after"]["portion_g"] == pytest.approx(50.0)
    assert any("'reduced milk' cannot lose or weigh then what it does now" in one for one in found["notes"])
    assert "worked out without that loss" in " ".join(
        try_it(kitchen, "--swap", "whole milk=monkey nut oil").out.split()
    )


def test_a_volume_that_nothing_weighs_any_more_keeps_its_weight_and_says_so(kitchen: Kitchen) -> None:
    """The density came of the spirit; without it 20 ml are taken at the weight they have now."""
    kitchen.write(
        GOODS
        + "- preparation: damson gin\n  takes: [600 g damsons, 750 ml house gin]\n  method:\n"
        + "    - macerate: {solids: [damsons], for: 3 weeks, as: pricked}\n    - strain: {holds: 8 %}\n"
        + "  gives: {damson gin: liquor, steeped damsons: solids}\n"
        + plate("20 ml damson gin")
    )
    found = tried(kitchen, "--swap", "house gin=water")
    assert found["after"]["portion_g"] == pytest.approx(found["before"]["portion_g"])
    assert found["after"]["alcohol"]["status"] == "none declared"
    assert any("weighs now" in one for one in found["notes"])


def test_an_amount_for_what_stands_in_several_lines_asks_where(kitchen: Kitchen) -> None:
    kitchen.write(
        GOODS
        + "- preparation: base\n  takes: [100 g caster sugar, 50 g water]\n"
        + plate("30 g base", "5 g caster sugar")
    )
    ran = try_it(kitchen, "--swap", "caster sugar=3 g oat cream")
    assert ran.code == 2
    assert "stands in 2 lines" in ran.err
    found = tried(kitchen, "--swap", "caster sugar=3 g oat cream", "--inside", "plate")
    assert found["after"]["portion_g"] == pytest.approx(33.0)
    both = tried(kitchen, "--swap", "caster sugar=oat cream")
    assert [place["in"] for place in both["swaps"][0]["places"]] == ["plate", "base"]


def test_alcohol_that_comes_or_goes_is_told(kitchen: Kitchen) -> None:
    kitchen.write(GOODS + plate("20 ml house gin", "10 g caster sugar"))
    gone = tried(kitchen, "--swap", "house gin=water")
    assert gone["after"]["alcohol"]["status"] == "none declared"
    assert gone["after"]["alcohol"]["ethanol_g"]["high"] == 0.0
    more = try_it(kitchen, "--swap", "caster sugar=house gin").out
    assert "! " in more.split("BEFORE")[0]
    assert "ethanol was 6.3 g" in " ".join(more.split())


def test_the_json_has_the_fields_of_the_command(kitchen: Kitchen) -> None:
    kitchen.write(BOOK)
    found = tried(kitchen, "--swap", "double cream=oat cream")
    assert {"dish", "swaps", "before", "after", "differences", "also_changes"} <= set(found)
    assert found["dish"] == "plate"
    assert {"old", "new", "asked", "places"} <= set(found["swaps"][0])
    assert {"about", "before", "after", "words"} <= set(found["differences"][0])
    assert rows(found["before"]).keys() == rows(found["after"]).keys()


def test_the_book_is_left_as_it_was(kitchen: Kitchen) -> None:
    kitchen.write(BOOK)
    before = {path: path.read_bytes() for path in kitchen.folder.rglob("*") if path.is_file()}
    declared = kitchen.declared()
    try_it(kitchen, "--swap", "double cream=mystery cream")
    assert {path: path.read_bytes() for path in kitchen.folder.rglob("*") if path.is_file()} == before
    assert kitchen.declared() == declared


def test_text_fits_eighty_columns_and_loses_no_word(kitchen: Kitchen) -> None:
    """Long names wrap; every ingredient that leaves something open is still named in full."""
    long = ("slow-roasted blackcurrant-leaf-scented mystery paste of the house " * 2).strip()
    kitchen.write(BOOK + f"- ingredient: {long}\n")
    ran = try_it(kitchen, "--swap", f"double cream={long}")
    assert ran.code == 3
    assert max(len(line) for line in ran.out.splitlines()) <= 80
    assert f"not known for {long}" in " ".join(ran.out.split()) or long in " ".join(ran.out.split())


def test_another_law_has_its_own_groups(kitchen: Kitchen) -> None:
    """The United States name wheat and not gluten: 21 U.S.C. 321(qq)."""
    kitchen.write(BOOK)
    found = tried(kitchen, "--swap", "double cream=oat cream", "--jurisdiction", "us")
    assert "wheat" in rows(found["after"])
    assert "gluten" not in rows(found["after"])


def test_what_was_open_behind_a_drink_is_never_said_to_stay_known(kitchen: Kitchen) -> None:
    """A list of ingredients names no alcohol that fermenting made: Regulation (EU) No 1169/2011, Article 16(4)."""
    kitchen.write(
        '- ingredient: pale ale\n  spec: {statement: "water, BARLEY malt, hops, yeast"}\n'
        + plate("20 g brandy", "50 g pale ale", name="cup")
    )
    ran = run("whatif", kitchen.folder, "--of", "cup", "--swap", "brandy=water")
    assert ran.code == 3
    assert "nothing becomes not known" not in " ".join(ran.out.split())
    assert "Nobody can vouch any more for: alcohol." in " ".join(ran.out.split())
