"""What shared equipment carries over, against the FAO/WHO reference doses; frying fat used for several things.

Doses: FAO/WHO, Risk assessment of food allergens, Part 2 (2022): milk 2.0 mg, hazelnut 3.0 mg; Part 5 (2023): oats none
recommended. Exposure is concentration times the amount eaten on one occasion (Part 3, 2023).
"""

from typing import Any

import pytest

from tests.kitchens import Kitchen, rows, run, status

EQUIPPED = """- kitchen: The Saltmarsh Room
  jurisdiction: eu
  shared_equipment:
    - {{name: soup kettle, carries: {carries}}}
    - blender
"""
SPECS = """- ingredient: milk drink
  spec: {supplier: a dairy, dated: 2026-10-01, statement: "MILK", may_contain: none}
- ingredient: nut drink
  spec: {supplier: a mill, dated: 2026-10-01, statement: "water, HAZELNUTS", may_contain: none}
- ingredient: oat drink
  spec: {supplier: a mill, dated: 2026-10-01, statement: "water, OATS", may_contain: none}
- ingredient: plain stock
  spec: {supplier: a cannery, dated: 2026-10-01, statement: "water, carrots, salt", may_contain: none}
"""


def book(
    kitchen: Kitchen, carries: str, other: str, grams: float, *, on: str = "soup kettle", extra: str = ""
) -> None:
    """Write a soup of a given portion that shares a kettle with another preparation."""
    text = (
        EQUIPPED.format(carries=carries)
        + SPECS
        + f"""- preparation: clear soup
  takes: [{grams:g} g plain stock]
  made_on: [{on}]
- preparation: other soup
  takes: [100 g {other}]
  made_on: [{on}]
- dish: bowl of soup
  plate:
    - all clear soup
{extra}"""
    )
    kitchen.write(text, law=None)


def contact(kitchen: Kitchen, group: str) -> dict[str, Any]:
    found: list[dict[str, Any]] = rows(kitchen.one("bowl of soup"))[group]["may_contain"]
    assert len(found) == 1
    return found[0]


def test_the_worked_example_of_soup_is_above_the_dose(kitchen: Kitchen) -> None:
    # 300 g soup with 10 mg/kg of milk protein brings 3.0 mg, above 2.0 mg.
    book(kitchen, "10 mg/kg", "milk drink", 300)
    one = contact(kitchen, "milk")
    assert one["exposure_mg"] == pytest.approx(3.0)
    assert one["reference_dose_mg"] == 2.0
    assert "above the FAO/WHO reference dose of 2 mg" in one["words"]
    assert "not above" not in one["words"]
    assert status(kitchen.one("bowl of soup"), "milk") == "may contain"


@pytest.mark.parametrize(
    ("grams", "above"), [(199.0, False), (200.0, False), (201.0, True)], ids=["below", "at the dose", "above"]
)
def test_exposure_at_the_dose_is_not_above_it_and_stays_may_contain(
    kitchen: Kitchen, grams: float, above: bool
) -> None:
    # Part 3: a warning where exposure is above the reference dose. 10 mg/kg x 200 g = 2.0 mg of milk.
    book(kitchen, "10 mg/kg", "milk drink", grams)
    one = contact(kitchen, "milk")
    assert one["exposure_mg"] == pytest.approx(grams / 100.0)
    assert ("not above the FAO/WHO" in one["words"]) is not above
    assert status(kitchen.one("bowl of soup"), "milk") == "may contain"


def test_a_source_without_a_dose_warns_whatever_the_figure(kitchen: Kitchen) -> None:
    book(kitchen, "0.001 mg/kg", "oat drink", 10)
    one = contact(kitchen, "gluten")
    assert one["reference_dose_mg"] is None
    assert "any contact calls for the warning" in one["words"]
    assert status(kitchen.one("bowl of soup"), "gluten") == "may contain"


def test_without_a_figure_there_is_no_comparison(kitchen: Kitchen) -> None:
    book(kitchen, "10 mg/kg", "milk drink", 300, on="blender")
    assert "exposure_mg" not in contact(kitchen, "milk")
    assert status(kitchen.one("bowl of soup"), "milk") == "may contain"


def test_a_figure_of_nought_is_still_may_contain(kitchen: Kitchen) -> None:
    book(kitchen, "0 mg/kg", "milk drink", 300)
    assert status(kitchen.one("bowl of soup"), "milk") == "may contain"


def test_ways_that_are_each_below_the_dose_add_up(kitchen: Kitchen) -> None:
    # 1.2 mg over the kettle and 1.2 mg over a second machine: 2.4 mg of milk, above 2.0 mg.
    book(kitchen, "10 mg/kg", "milk drink", 120)
    text = (kitchen.folder / "book.yaml").read_text()
    text = text.replace("    - blender\n", "    - {name: blender, carries: 10 mg/kg}\n")
    text = text.replace("made_on: [soup kettle]", "made_on: [soup kettle, blender]")
    (kitchen.folder / "book.yaml").write_text(text)
    found = rows(kitchen.one("bowl of soup"))["milk"]["may_contain"]
    assert {one["why"] for one in found} == {"soup kettle", "blender"}
    assert all("2.4 mg by all ways together, above" in one["words"] for one in found)


def test_a_way_without_a_figure_leaves_the_sum_unknown(kitchen: Kitchen) -> None:
    book(kitchen, "10 mg/kg", "milk drink", 100)
    text = (kitchen.folder / "book.yaml").read_text()
    (kitchen.folder / "book.yaml").write_text(
        text.replace("made_on: [soup kettle]", "made_on: [soup kettle, blender]")
    )
    found = rows(kitchen.one("bowl of soup"))["milk"]["may_contain"]
    told = next(one for one in found if one["why"] == "soup kettle")
    assert "is not known" in told["words"]
    assert "warning is called for" in told["words"]


def test_what_boils_away_does_not_lower_the_exposure(kitchen: Kitchen) -> None:
    # 400 g at 10 mg/kg hold 4 mg; water boils off and the protein stays.
    book(kitchen, "10 mg/kg", "milk drink", 400)
    text = (kitchen.folder / "book.yaml").read_text()
    boiled = "takes: [400 g water]\n  method:\n    - reduce: {leaves: 100 g}"
    (kitchen.folder / "book.yaml").write_text(text.replace("takes: [400 g plain stock]", boiled))
    assert contact(kitchen, "milk")["exposure_mg"] == pytest.approx(4.0)


def test_text_and_a_batch_say_it_too(kitchen: Kitchen) -> None:
    book(kitchen, "10 mg/kg", "nut drink", 100)
    said = " ".join(run("declare", kitchen.folder, "--of", "bowl of soup").out.split())
    assert "up to 1 mg of hazelnut protein this way, not above the FAO/WHO reference dose of 3 mg" in said
    # 3 mg at 10 mg/kg are reached at 300 g.
    batch = rows(kitchen.one("clear soup"))["nuts"]["may_contain"][0]
    assert batch["exposure_mg"] is None
    assert "300 g of it reach" in batch["words"]


def test_a_figure_that_is_none_is_a_fault(kitchen: Kitchen) -> None:
    book(kitchen, "a little", "nut drink", 100)
    told = kitchen.faults()
    assert [one["field"] for one in told] == ["carries"]
    assert "'a little'" in told[0]["problem"]


FRYING = """- preparation: fish in crumbs
  takes: [100 g cod]
  method:
    - fry: {{in: sunflower oil, takes_up: 8 %, loses: 10 %}}
{first}- preparation: chips
  takes: [100 g potatoes]
  method:
    - fry: {{in: {fat}, takes_up: 8 %, loses: 10 %}}
{second}"""
FRYER = "- kitchen: The Saltmarsh Room\n  jurisdiction: eu\n  shared_equipment: [deep fryer, wok]\n"


def fat_advice(kitchen: Kitchen) -> list[dict[str, Any]]:
    return [one for one in kitchen.advice() if "share a fryer" in one["problem"]]


@pytest.mark.parametrize(
    ("first", "second", "fat", "told"),
    [
        ("", "", "sunflower oil", 1),
        ("  made_on: [deep fryer]\n", "", "sunflower oil", 1),
        ("  made_on: [deep fryer]\n", "  made_on: [wok]\n", "sunflower oil", 1),
        ("  made_on: [deep fryer]\n", "  made_on: [deep fryer]\n", "sunflower oil", 0),
        ("", "", "rapeseed oil", 0),
    ],
)
def test_one_fat_for_several_things_is_asked_about(
    kitchen: Kitchen, first: str, second: str, fat: str, told: int
) -> None:
    kitchen.write(FRYER + FRYING.format(first=first, second=second, fat=fat), law=None)
    assert not kitchen.faults()
    found = fat_advice(kitchen)
    assert len(found) == told
    if found:
        assert found[0]["line"] > 0
        assert "'chips' and 'fish in crumbs'" in found[0]["problem"]
        assert found[0]["mend"]
