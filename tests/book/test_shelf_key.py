"""``shelf: NAME`` in an ingredient: a good of the shelf under the kitchen's own name."""

from tests.kitchens import Kitchen, plate, rows, status

PLATE = plate("100 g house flour")


def test_a_good_under_another_name_declares_as_the_good(kitchen: Kitchen) -> None:
    kitchen.write(
        f"- ingredient: house flour\n  shelf: plain flour\n{PLATE}{plate('100 g plain flour', name='other')}"
    )
    found = kitchen.declared()
    # plain flour is of wheat: Regulation (EU) No 1169/2011, Annex II, 1
    assert status(found["plate"], "gluten") == "contains"
    assert [(name, row["status"]) for name, row in rows(found["plate"]).items()] == [
        (name, row["status"]) for name, row in rows(found["other"]).items()
    ]
    assert found["plate"]["nutrition"]["per_100_g"] == found["other"]["nutrition"]["per_100_g"]


def test_the_shelf_keeps_what_its_row_does_not_say(kitchen: Kitchen) -> None:
    # golden syrup may hold sulphite by the shelf, and its row (corn syrup or another) does not say so
    kitchen.write("- ingredient: house syrup\n  shelf: golden syrup\n" + plate("10 g house syrup"))
    assert status(kitchen.one("plate"), "sulphites") == "contains"


def test_own_figures_win(kitchen: Kitchen) -> None:
    kitchen.write(f"- ingredient: house flour\n  shelf: plain flour\n  per_100_g: {{salt_g: 2.5}}\n{PLATE}")
    assert kitchen.one("plate")["nutrition"]["per_100_g"]["salt_g"] == 2.5


def test_a_name_that_is_not_on_the_shelf_is_a_fault(kitchen: Kitchen) -> None:
    kitchen.write(f"- ingredient: house flour\n  shelf: plain flower\n{PLATE}")
    found = next(one for one in kitchen.faults() if one["field"] == "shelf")
    assert found["problem"] == "'plain flower' is not on the shelf."
    assert "Write " in found["mend"]


def test_two_goods_in_one_entry_are_a_fault(kitchen: Kitchen) -> None:
    kitchen.write(f"- ingredient: house flour\n  shelf: plain flour\n  composition: sr28:19335\n{PLATE}")
    assert "they are two goods" in next(one for one in kitchen.faults() if one["field"] == "composition")["problem"]


def test_the_same_row_beside_the_good_is_no_fault(kitchen: Kitchen) -> None:
    kitchen.write(f"- ingredient: house flour\n  shelf: plain flour\n  composition: sr28:20481\n{PLATE}")
    assert kitchen.faults() == []
