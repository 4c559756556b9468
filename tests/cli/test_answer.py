"""The command ``answer``: usage, exit codes, and the dishes it sorts for a guest."""

import time

import pytest

from tests.kitchens import Kitchen, plate, run

GOODS = """
- ingredient: hazelnut praline
  spec: {statement: "HAZELNUTS, sugar"}
- ingredient: almond crumble
  spec: {statement: "ALMONDS, sugar"}
- ingredient: cream sauce
  spec: {statement: "Cream (MILK), sugar"}
- ingredient: oat drizzle
  spec: {statement: "Water, OATS"}
- ingredient: plum drizzle
  spec: {statement: "Plums, sugar"}
- ingredient: mystery paste
- ingredient: sultanas in syrup
  spec: {statement: "Sultanas, sulphur dioxide"}
  sulphites: 60 mg/kg
- ingredient: cold tea
  spec: {statement: "Water"}
  sulphites: 0 mg/kg
"""


@pytest.mark.parametrize(
    "arguments",
    [
        (),
        ("--of", "plate"),
        ("--about", "milk"),
        ("--of", "plate", "--about", "milk", "--without", "nuts"),
        ("--of", "plait", "--about", "milk"),
    ],
)
def test_wrong_usage_ends_in_2(kitchen: Kitchen, arguments: tuple[str, ...]) -> None:
    kitchen.write(GOODS + plate("10 g plum drizzle"))
    ran = run("answer", kitchen.folder, *arguments)
    assert ran.code == 2
    assert ran.err


def test_faults_of_the_book_end_in_1(kitchen: Kitchen) -> None:
    kitchen.write(plate("10 g no such thing"))
    assert run("answer", kitchen.folder, "--without", "milk").code == 1


def test_dish_is_found_by_part_of_its_name_and_named(kitchen: Kitchen) -> None:
    kitchen.write(GOODS + plate("10 g plum drizzle", name="crème of plums"))
    ran = run("answer", kitchen.folder, "--of", "CREME", "--about", "milk", "--json")
    assert ran.json()["dish"] == "crème of plums"
    assert set(ran.json()) == {"dish", "about", "status", "sentence", "because", "unconfirmed", "optional", "swap"}


def test_dishes_are_sorted_part_by_part_with_the_least_change_first(kitchen: Kitchen) -> None:
    """The contract: suits, suits if (least change first), does not, cannot vouch."""
    kitchen.write(
        GOODS
        + plate("10 g plum drizzle", name="a plain")
        + plate("10 g plum drizzle", "5 g hazelnut praline, optional", "5 g cream sauce, optional", name="b two off")
        + plate("10 g plum drizzle", "30 g cream sauce, or 30 g oat drizzle", name="c swapped")
        + plate("10 g almond crumble", name="d never")
        + plate("10 g mystery paste", name="e unknown")
        + plate("10 g plum drizzle", "10 g mystery paste, optional", name="f unknown off")
        + plate("10 g plum drizzle, optional", "10 g cream sauce, or 10 g almond crumble", name="g bad swap")
        + plate("10 g cream sauce, optional", name="h nothing left")
    )
    ran = run("answer", kitchen.folder, "--without", "milk", "--without", "nuts", "--json")
    assert ran.code == 0
    found = ran.json()
    assert set(found) == {"without", "suits", "suits_if", "does_not", "cannot_vouch"}
    assert found["without"] == ["milk", "nuts"]
    assert found["suits"] == ["a plain"]
    assert [one["dish"] for one in found["suits_if"]] == ["c swapped", "f unknown off", "b two off"]
    assert found["suits_if"][0] == {"dish": "c swapped", "leave_off": [], "swap": ["oat drizzle"]}
    assert found["suits_if"][2] == {"dish": "b two off", "leave_off": ["hazelnut praline", "cream sauce"], "swap": []}
    assert sorted(found["does_not"]) == ["d never", "g bad swap", "h nothing left"]
    assert found["cannot_vouch"] == [{"dish": "e unknown", "because": [["mystery paste"]]}]
    text = run("answer", kitchen.folder, "--without", "milk", "--without", "nuts").out
    assert "oat drizzle in place of cream sauce" in text
    assert "free from" not in text.casefold()


def test_sulphites_by_figure_are_decided_on_the_plate_as_served(kitchen: Kitchen) -> None:
    """Annex II, 12 of Regulation (EU) No 1169/2011: above 10 mg/kg of the food as served.

    60 mg/kg in 20 g of 120 g is exactly 10 mg/kg, not above; in 20 g of 60 g it is 20 mg/kg, and leaving it off brings none.
    """
    kitchen.write(
        GOODS
        + plate("20 g sultanas in syrup", "100 g cold tea", name="at the limit")
        + plate("20 g sultanas in syrup, optional", "40 g cold tea", name="above it")
        + plate(
            "20 g sultanas in syrup", "40 g cold tea", "60 g cold tea, optional", name="held down by an optional part"
        )
        + plate("20 g sultanas in syrup", "40 g cold tea", name="above for good")
    )
    found = run("answer", kitchen.folder, "--without", "sulphites", "--json").json()
    assert found["suits"] == ["at the limit", "held down by an optional part"]
    assert found["suits_if"] == [{"dish": "above it", "leave_off": ["sultanas in syrup"], "swap": []}]
    assert found["does_not"] == ["above for good"]


def test_twenty_optional_parts_are_no_slower(kitchen: Kitchen) -> None:
    """2 to the power of 20 plates could not be judged in the time allowed here; each line on its own can."""
    lines = [f"{at + 1} g {name}, optional" for at, name in enumerate(("hazelnut praline", "cream sauce") * 10)]
    kitchen.write(GOODS + plate("10 g plum drizzle", *lines))
    start = time.perf_counter()
    found = run("answer", kitchen.folder, "--without", "milk", "--without", "nuts", "--json").json()
    assert time.perf_counter() - start < 5.0
    assert len(found["suits_if"][0]["leave_off"]) == 20


@pytest.mark.parametrize("word", ["mlik", "carbohydrate", "vegan", "halal"])
def test_what_no_dish_can_be_without_is_refused(kitchen: Kitchen, word: str) -> None:
    kitchen.write(GOODS + plate("10 g plum drizzle"))
    ran = run("answer", kitchen.folder, "--without", word)
    assert ran.code == 2
    assert "--without" in ran.err


def test_menu_limits_the_dishes(kitchen: Kitchen) -> None:
    kitchen.write(
        GOODS
        + plate("1 g plum drizzle", name="one")
        + plate("2 g plum drizzle", name="two")
        + "- menu: lunch\n  sections: {all: [two]}\n"
    )
    assert run("answer", kitchen.folder, "--without", "milk", "--menu", "lunch", "--json").json()["suits"] == ["two"]
    assert run("answer", kitchen.folder, "--of", "one", "--about", "milk", "--menu", "lunch").code == 2


def test_ferments_are_named_where_alcohol_is_avoided(kitchen: Kitchen) -> None:
    """The declaration names a ferment and does not sum it; who avoids alcohol is told."""
    kitchen.write(
        '- ingredient: dark soy\n  spec: {statement: "Water, SOYA, WHEAT, salt, soy sauce"}\n' + plate("5 g dark soy")
    )
    declared = kitchen.one("plate")["alcohol"]["status"]
    ran = run("answer", kitchen.folder, "--without", "wine")
    assert declared == "none declared"
    assert "Suits as it is:\n- plate" in ran.out
    assert "In pregnancy" in ran.out


def test_answers_by_another_law_and_day(kitchen: Kitchen) -> None:
    """Sesame counts in the United States from 1 January 2023 (FASTER Act, Public Law 117-11): before, it is asked as a source."""
    kitchen.write('- ingredient: seed paste\n  spec: {statement: "SESAME"}\n' + plate("5 g seed paste"))
    for day in ("2022-12-31", "2023-01-01"):
        ran = run(
            "answer",
            kitchen.folder,
            "--of",
            "plate",
            "--about",
            "sesame",
            "--jurisdiction",
            "us",
            "--on",
            day,
            "--json",
        )
        assert ran.json()["status"] == "contains"


def test_what_was_asked_is_named_in_the_guests_language(kitchen: Kitchen) -> None:
    """Names of Annex II of Regulation (EU) No 1169/2011 in Polish and French."""
    kitchen.write(plate("50 g double cream", "10 g hazelnuts"))
    found = run("answer", kitchen.folder, "--of", "plate", "--about", "milk", "--language", "pl", "--json").json()
    assert found["in_language"]["milk"].startswith("mleko")
    page = run("answer", kitchen.folder, "--without", "hazelnut", "--language", "fr").out
    assert "hazelnut: noisette" in page
    wrong = run("answer", kitchen.folder, "--of", "plate", "--about", "milk", "--language", "xx")
    assert wrong.code == 2
    assert "'xx' is not a language on file" in wrong.err
