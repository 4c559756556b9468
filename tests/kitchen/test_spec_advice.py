"""Advice on the drawer of specifications. What is stale after a year unless the house says else is the project's own rule."""

from datetime import date
from typing import Any

import pytest

from labeller.book.entries import Spec
from labeller.foundations.faults import Origin
from labeller.kitchen.spec_advice import next_review
from tests.kitchens import Kitchen, plate, run, status

DAY = "2026-11-25"


def told(kitchen: Kitchen, entry: str, *, head: str = "", on: str = DAY) -> list[dict[str, Any]]:
    """Return the advice on specifications of one entry."""
    kitchen.write(head + entry)
    ran = run("check", kitchen.folder, "--json", "--on", on)
    assert ran.code == 0, ran.out
    return [one for one in ran.json()["advice"] if one["field"].startswith(("spec", "matched", "composition"))]


def entry(spec: str, more: str = "") -> str:
    return f"- ingredient: house paste\n{more}  spec: {{supplier: a mill, {spec}}}\n"


@pytest.mark.parametrize(
    ("dated", "review", "stale"),
    [
        ("2025-11-25", "", False),  # a year old to the day
        ("2025-11-24", "", True),
        ("2025-11-24", "  spec_review: 24 months\n", False),
        ("2026-07-01", "  spec_review: 90 days\n", True),
        ("2026-11-25", "", False),
    ],
)
def test_a_spec_older_than_the_kitchens_limit_is_stale(kitchen: Kitchen, dated: str, review: str, stale: bool) -> None:
    found = told(kitchen, entry(f"dated: {dated}, statement: sugar, may_contain: none"), head=review)
    assert [one["field"] for one in found] == (["spec.dated"] if stale else [])
    if stale:
        assert f"dated {dated}" in found[0]["problem"]
        assert "a mill" in found[0]["mend"]


def test_the_day_decides(kitchen: Kitchen) -> None:
    text = entry("dated: 2026-10-01, statement: sugar, may_contain: none")
    assert told(kitchen, text, on="2027-10-01") == []
    assert len(told(kitchen, text, on="2027-10-02")) == 1
    assert "after 2026-09-30" in told(kitchen, text, on="2026-09-30")[0]["problem"]


def test_a_spec_without_a_date_is_told_at_its_line(kitchen: Kitchen) -> None:
    found = told(kitchen, entry("statement: sugar, may_contain: none"))
    assert [(one["field"], one["file"], one["line"]) for one in found] == [("spec.dated", "book.yaml", 4)]
    assert "has no date" in found[0]["problem"]
    assert "dated:" in found[0]["mend"]


def test_may_contain_not_given_asks_the_supplier(kitchen: Kitchen) -> None:
    found = told(kitchen, entry("dated: 2026-10-01, statement: sugar"))
    assert [one["field"] for one in found] == ["spec.may_contain"]
    assert found[0]["mend"].startswith("Ask a mill")


@pytest.mark.parametrize(
    "said", ["statement: sugar, may_contain: none", "statement: 'sugar. May contain nuts.'", "may_contain: nuts"]
)
def test_a_may_contain_that_is_given_is_not_asked_for(kitchen: Kitchen, said: str) -> None:
    assert told(kitchen, entry(f"dated: 2026-10-01, {said}")) == []


@pytest.mark.parametrize(
    ("said", "named"),
    [
        ("declares: none, statement: 'sugar, skimmed milk powder'", "milk"),
        ("declares: [], statement: 'sugar, skimmed milk powder'", "milk"),
        ("declares: [egg], statement: 'egg, WHEAT flour'", "wheat"),
        ("declares: [milk], statement: 'milk, hazelnuts'", "hazelnut"),
        ("declares: [almond], statement: 'almonds, hazelnuts'", "hazelnut"),
    ],
)
def test_a_list_that_lacks_what_its_statement_says_is_contradictory(kitchen: Kitchen, said: str, named: str) -> None:
    found = told(kitchen, entry(f"dated: 2026-10-01, may_contain: none, {said}"))
    contradictory = [one for one in found if "its own statement says" in one["problem"]]
    assert len(contradictory) == 1
    assert named in contradictory[0]["problem"]
    assert "stronger word counts" in contradictory[0]["mend"]


@pytest.mark.parametrize(
    "said",
    [
        "declares: [fish], statement: 'cod, salt'",
        "declares: [cod], statement: 'fish, salt'",
        "declares: [nuts], statement: 'hazelnuts'",
        "declares: [gluten], statement: 'wheat flour'",
        "declares: [milk, egg], statement: 'milk'",
        "declares: none, statement: 'glucose syrup (from wheat)'",  # a derivation, for each law to judge
    ],
)
def test_a_general_word_and_its_kind_do_not_contradict(kitchen: Kitchen, said: str) -> None:
    found = told(kitchen, entry(f"dated: 2026-10-01, may_contain: none, {said}"))
    assert [one for one in found if "its own statement says" in one["problem"]] == []


def test_a_warning_in_the_statement_against_may_contain_none(kitchen: Kitchen) -> None:
    found = told(kitchen, entry("dated: 2026-10-01, may_contain: none, statement: 'sugar. May contain peanuts.'"))
    assert len(found) == 1
    assert "warns of peanut" in found[0]["problem"]


@pytest.mark.parametrize(
    ("row", "said", "differs"),
    [
        # Rows of the reference table: 01053 cream, 01123 egg, 20081 wheat flour, 15015 cod.
        ("01053", "statement: 'water, coconut'", True),
        ("01053", "declares: 'egg and nothing else'", True),
        ("01053", "declares: [egg]", False),  # a list that is not whole says nothing of milk
        ("01053", "statement: 'cream (MILK)'", False),
        ("15015", "statement: 'fish'", False),
        ("15015", "statement: 'haddock'", False),  # the row of another fish, for its figures
        ("15015", "statement: 'prawns'", True),
        ("12120", "statement: 'almonds'", True),  # 12120: hazelnuts, which are another allergen
        ("20081", "statement: 'rice flour'", True),
        ("01123", "statement: 'duck egg'", False),
    ],
)
def test_a_row_that_plainly_disagrees_with_a_whole_paper(kitchen: Kitchen, row: str, said: str, differs: bool) -> None:
    found = told(kitchen, entry(f"dated: 2026-10-01, may_contain: none, {said}", f"  composition: sr28:{row}\n"))
    assert [one["field"] for one in found] == (["composition"] if differs else [])


def test_a_match_by_a_machine_is_listed_until_a_person_confirms(kitchen: Kitchen) -> None:
    found = told(kitchen, "- ingredient: caster sugar\n  composition: sr28:19335\n  matched: machine\n")
    assert [(one["field"], one["line"]) for one in found] == [("matched", 3)]
    assert told(kitchen, "- ingredient: caster sugar\n  composition: sr28:19335\n") == []


def test_advice_stops_nothing_and_is_apart_from_faults(kitchen: Kitchen) -> None:
    kitchen.write(entry("statement: sugar"))
    ran = run("check", kitchen.folder, "--on", DAY)
    assert ran.code == 0
    assert "Advice, which stops nothing:" in ran.out
    assert "No faults" in ran.out


@pytest.mark.parametrize("day", ["tomorrow", "2026-13-01", ""])
def test_a_day_that_is_none_is_wrong_usage(kitchen: Kitchen, day: str) -> None:
    kitchen.write(entry("statement: sugar"))
    ran = run("check", kitchen.folder, "--on", day)
    assert ran.code == 2
    assert "2026-12-01" in ran.err


def test_next_review_is_bounded() -> None:
    spec = Spec(Origin("book.yaml", 1), dated=date(9999, 12, 31))
    assert next_review(spec, 10_000) == date.max
    assert next_review(Spec(Origin("book.yaml", 1)), 365) is None


def test_a_row_chosen_by_a_machine_never_says_what_is_not_in_it(kitchen: Kitchen) -> None:
    """Until a person confirms it; what the row shows to be in it counts at once."""
    kitchen.write(
        "- {ingredient: house butter, composition: sr28:01145, matched: machine}\n"
        "- {ingredient: looked at, composition: sr28:01145, matched: J.}\n"
        "- {ingredient: our flour, shelf: plain flour, matched: 'machine, sure 95'}\n"
        "- {dish: one, plate: [10 g house butter]}\n- {dish: two, plate: [10 g looked at]}\n- {dish: three, plate: [10 g our flour]}\n"
    )
    one, two, three = (kitchen.one(name) for name in ("one", "two", "three"))
    assert (status(one, "milk"), status(one, "soya"), one["alcohol"]["status"]) == (
        "contains",
        "unconfirmed",
        "unconfirmed",
    )
    assert (status(two, "milk"), status(two, "soya")) == ("contains", "none declared")
    assert (status(three, "gluten"), status(three, "milk")) == ("contains", "unconfirmed")
    assert "matched" in next(gap["mend"] for gap in one["unconfirmed"])


@pytest.mark.parametrize(
    ("name", "paper", "named"),
    [
        ("peanut sauce", "declares: none", "peanut"),
        ("fish fingers", "declares: gluten and nothing else", "fish"),
        ("almond filling", 'statement: "rice flour, sugar"', "almond"),
    ],
)
def test_a_good_called_after_what_its_paper_does_not_have(kitchen: Kitchen, name: str, paper: str, named: str) -> None:
    """The name of a food must not mislead about what is in it: Regulation (EU) No 1169/2011, Article 7(1)(a)."""
    kitchen.write(
        f"- ingredient: {name}\n  spec: {{dated: 2026-11-01, may_contain: none, {paper}}}\n- dish: d\n  plate: [5 g {name}]\n"
    )
    (problem,) = [one["problem"] for one in kitchen.advice() if "called after" in one["problem"]]
    assert problem == f"'{name}' is called after {named}, and its specification does not have it."


@pytest.mark.parametrize(
    ("name", "statement"),
    [
        ("peanut butter", "PEANUTS, salt"),
        ("cocoa butter", "cocoa butter"),
        ("coconut milk", "coconut, water"),
        ("oat drink", "water, OATS"),
        ("hazelnut syrup", "sugar, water, flavouring"),
        ("fish stock", "water, COD bones"),
        ("gluten-free flour", "rice flour"),
    ],
)
def test_a_name_that_its_paper_bears_out(kitchen: Kitchen, name: str, statement: str) -> None:
    kitchen.write(
        f'- ingredient: {name}\n  spec: {{dated: 2026-11-01, may_contain: none, statement: "{statement}"}}\n- dish: d\n  plate: [5 g {name}]\n'
    )
    assert not [one for one in kitchen.advice() if "called after" in one["problem"]]


def test_a_statement_of_no_food_is_asked_about(kitchen: Kitchen) -> None:
    head = "- dish: d\n  plate: [5 g secret powder]\n- ingredient: secret powder\n"
    kitchen.write(head + '  spec: {dated: 2026-11-01, may_contain: none, statement: "house blend"}\n')
    (problem,) = [one["problem"] for one in kitchen.advice() if one["field"] == "spec.statement"]
    assert "names no food" in problem
    assert status(kitchen.one("d"), "nuts") == "unconfirmed"
    kitchen.write(head + "  spec: {dated: 2026-11-01, may_contain: none, declares: none, covers: all}\n")
    assert status(kitchen.one("d"), "nuts") == "none declared"


@pytest.mark.parametrize(
    ("matched", "status_of_milk"),
    [
        ("machine", "unconfirmed"),
        ("by machine", "unconfirmed"),
        ("automatically", "unconfirmed"),
        ("not confirmed yet", "unconfirmed"),
        ("'?'", "unconfirmed"),
        ("J.", "none declared"),
        ("by hand", "none declared"),
    ],
)
def test_only_a_person_who_looked_settles_what_a_row_does_not_show(
    matched: str, status_of_milk: str, kitchen: Kitchen
) -> None:
    kitchen.write(
        f"- ingredient: our sugar\n  composition: sr28:19335\n  matched: {matched}\n{plate('10 g our sugar')}"
    )
    assert status(kitchen.one("plate"), "milk") == status_of_milk
