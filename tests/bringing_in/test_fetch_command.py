"""``labeller foods --online`` and ``labeller fetch`` as a user runs them, against a server on this machine."""

import subprocess
import sys
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from labeller.bringing_in import food_data_central_line
from labeller.bringing_in.food_data_central_line import Patience
from tests.bringing_in.open_tables import KEY, Answer, Tables, found, hit, milk, nested, porridge, portion, serving
from tests.kitchens import Kitchen, Ran, rows, run, status

TODAY = datetime.now().astimezone().date().isoformat()
QUICK = Patience(connect_s=0.3, read_s=0.3, total_s=0.7, first_wait_s=0.01, longest_wait_s=0.1, tries=2)


@pytest.fixture
def tables(monkeypatch: pytest.MonkeyPatch) -> Iterator[Tables]:
    monkeypatch.setattr(food_data_central_line, "PATIENCE", QUICK)
    with serving() as running:
        monkeypatch.setenv("FDC_API_URL", running.address)
        monkeypatch.setenv("FDC_API_KEY", KEY)
        monkeypatch.setenv("LABELLER_SETTINGS", "off")
        monkeypatch.setenv("no_proxy", "127.0.0.1")
        yield running


def bytes_of(folder: Path) -> dict[str, bytes]:
    return {str(file.relative_to(folder)): file.read_bytes() for file in sorted(folder.rglob("*")) if file.is_file()}


def fetch(kitchen: Kitchen, *arguments: str, number: str = "171265") -> Ran:
    ran = run("fetch", number, "--into", kitchen.folder, *arguments)
    assert KEY not in ran.out + ran.err
    return ran


def test_a_search_lists_foods_and_says_how_to_go_on(tables: Tables) -> None:
    tables.will(found(hit(171265, "Milk, whole", "SR Legacy"), hit(2, "Milk shake", "Survey (FNDDS)"), total=61))
    ran = run("foods", "whole", "milk", "--online")
    assert ran.code == 0
    assert ran.out.splitlines()[0].split() == ["fdc:171265", "Milk,", "whole", "SR", "Legacy"]
    assert "2 of 61; more words find fewer." in ran.err
    assert "labeller fetch NUMBER --into BOOK" in ran.err
    assert tables.asked[0].query["query"] == ["whole milk"]


def test_a_search_as_json(tables: Tables) -> None:
    tables.will(found(hit(171265, "Milk, whole", "SR Legacy")))
    ran = run("foods", "milk", "--online", "--json")
    assert (ran.code, ran.err) == (0, "")
    assert ran.json() == [
        {
            "food": "fdc:171265",
            "name": "Milk, whole",
            "group": "Dairy and Egg Products",
            "data_type": "SR Legacy",
            "published": "2019-04-01",
            "fetched_on": TODAY,
            "from_cache": False,
        }
    ]


def test_a_search_that_finds_nothing(tables: Tables) -> None:
    tables.will(found())
    ran = run("foods", "qwxyz", "--online")
    assert (ran.code, ran.out) == (2, "")
    assert "has nothing for 'qwxyz'" in ran.err
    assert run("foods", "qwxyz", "--online", "--json").json() == []


def test_refresh_belongs_to_online(tables: Tables) -> None:
    ran = run("foods", "milk", "--refresh")
    assert ran.code == 2
    assert "together with --online" in ran.err


def test_without_online_nothing_is_asked(tables: Tables, kitchen: Kitchen) -> None:
    tables.will(milk())
    run("foods", "whole", "milk")
    run("check", kitchen.write("").folder)
    assert tables.asked == []


def test_no_key(tables: Tables, kitchen: Kitchen, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("FDC_API_KEY")
    kitchen.write("")
    before = bytes_of(kitchen.folder)
    for ran in (run("foods", "milk", "--online"), fetch(kitchen)):
        assert ran.code == 2
        assert "answers only with a key, and none is set" in ran.err
        assert "https://fdc.nal.usda.gov/api-key-signup" in ran.err
        assert "FDC_API_KEY=DEMO_KEY" in ran.err
    told = run("fetch", "171265", "--into", kitchen.folder, "--json")
    assert told.code == 2
    assert told.err == ""
    assert told.json()["faults"][0]["field"] == "fetch"
    assert bytes_of(kitchen.folder) == before


def test_a_fetched_food_is_an_ingredient_with_its_provenance(tables: Tables, kitchen: Kitchen) -> None:
    tables.will(milk())
    kitchen.write("- dish: glass\n  plate: [200 ml whole milk]\n")
    ran = fetch(kitchen, "--as", "whole milk")
    assert ran.code == 0, ran.err
    text = (kitchen.folder / "ingredients" / "fetched.yaml").read_text(encoding="utf-8")
    assert ran.out in text
    assert "- ingredient: whole milk\n" in text
    assert (
        "USDA FoodData Central, SR Legacy, 'Milk, whole, 3.25% milkfat, with added vitamin D', FDC ID 171265, "
        f"published 2019-04-01, fetched {TODAY} from {tables.address}/food/171265; "
    ) in text
    assert "every group of 'whole milk' is not known until a person says so" in ran.err
    assert "sr28:01077, 'Milk, whole, 3.25% milkfat, with added vitamin D'" in ran.err
    assert "Written to ingredients/fetched.yaml." in ran.err
    assert kitchen.faults() == []


# Standard Reference, Release 28, row 01077: the figures as its ABBREV file prints them, declared by the kitchen's own conversions,
# which know nothing of what is fetched.
@pytest.mark.parametrize("law", ["eu", "us", "au-nz"])
def test_fetched_milk_declares_as_the_row_of_the_standard_reference(
    tables: Tables, kitchen: Kitchen, law: str
) -> None:
    tables.will(milk())
    kitchen.write(
        "- ingredient: table milk\n  composition: sr28:01077\n"
        "- dish: fetched\n  plate: [200 g whole milk]\n- dish: from the table\n  plate: [200 g table milk]\n",
        law=law,
    )
    assert fetch(kitchen, "--as", "whole milk").code == 0
    declared = kitchen.declared()
    by_row, by_fetch = (declared[name]["nutrition"]["per_100_g"] for name in ("from the table", "fetched"))
    for key in ("fat_g", "saturates_g", "carbohydrate_g", "sugars_g", "fibre_g", "protein_g", "salt_g", "sodium_mg"):
        assert by_fetch[key] == pytest.approx(by_row[key], abs=2e-4), key
    assert by_fetch["energy_kj"] == pytest.approx(by_row["energy_kj"], abs=0.02)


def test_nothing_fetched_settles_an_allergen_or_alcohol(tables: Tables, kitchen: Kitchen) -> None:
    tables.will(milk())
    kitchen.write("- dish: glass\n  plate: [200 g whole milk]\n")
    fetch(kitchen, "--as", "whole milk")
    declared = kitchen.one("glass")
    assert {row["status"] for row in rows(declared).values()} == {"unconfirmed"}
    assert declared["alcohol"]["status"] == "unconfirmed"


def test_a_drink_with_alcohol_contains_it(tables: Tables, kitchen: Kitchen) -> None:
    tables.will(milk(description="Beer", foodNutrients=[nested(1018, "221", "Alcohol, ethyl", "g", 3.9), nested(1003, "203", "Protein", "g", 0.46)]))  # fmt: skip
    kitchen.write("- dish: glass\n  plate: [200 g beer of the table]\n")
    assert fetch(kitchen, "--as", "beer of the table").code == 0
    declared = kitchen.one("glass")
    assert declared["alcohol"]["status"] == "contains"
    assert declared["alcohol"]["ethanol_g"]["estimate"] == pytest.approx(7.8)


def test_a_recipe_of_the_survey_never_says_that_something_is_not_in_it(tables: Tables, kitchen: Kitchen) -> None:
    tables.will(porridge())
    kitchen.write("- dish: bowl\n  plate: [200 g porridge]\n")
    ran = fetch(kitchen, "--as", "porridge", number="2708502")
    assert ran.code == 0, ran.err
    assert "This is a recipe of the survey, as people eat it" in ran.err
    assert "It takes: Oats, raw; Milk, whole." in ran.err
    assert "The table does not give saturates, sugars, sodium" in ran.err
    declared = kitchen.one("bowl")
    assert status(declared, "milk") == "unconfirmed"
    assert "none declared" not in {row["status"] for row in rows(declared).values()}
    missing = {one["nutrient"] for one in declared["nutrition"]["missing"]}
    assert {"saturates_g", "sugars_g", "salt_g"} <= missing


def test_trans_fat_and_added_sugars_reach_the_us_declaration(tables: Tables, kitchen: Kitchen) -> None:
    others = [one for one in milk()["foodNutrients"] if one["nutrient"]["id"] != 2000]
    sugars = [nested(2000, "269", "Total Sugars", "g", 4.0), nested(1235, "539", "Sugars, added", "g", 1.25)]
    tables.will(milk(foodNutrients=[*others, *sugars]))
    kitchen.write("- dish: glass\n  plate: [240 g sweet milk]\n", law="us")
    assert fetch(kitchen, "--as", "sweet milk").code == 0
    per_100_g = kitchen.one("glass")["nutrition"]["per_100_g"]
    assert per_100_g["trans_fat_g"] == pytest.approx(0.1)
    assert per_100_g["added_sugars_g"] == pytest.approx(1.25)


def test_measures_weigh_the_lines_of_a_recipe(tables: Tables, kitchen: Kitchen) -> None:
    cheese = milk(description="Cheese", foodPortions=[portion(28, "slice"), portion(125, unit="cup")])
    tables.will(cheese)
    kitchen.write("- dish: plate\n  plate: [2 slices hard cheese, 1 cup hard cheese]\n", law="us")
    assert fetch(kitchen, "--as", "hard cheese").code == 0
    assert kitchen.one("plate")["portion_g"] == pytest.approx(56.0 + 125.0, abs=0.6)


BOOK = """\
# the cook's own words
- ingredient: whole milk   # delivered daily
  also: [full milk]
  per_100_g: {fat_g: 9.9}
  # keep this comment
  spec:
    supplier: Quayside Dairy
    dated: 2026-10-01
    statement: >
      Whole MILK,

      pasteurised
  made_on: [churn]

# about sugar
- ingredient: caster sugar
  composition: sr28:19335
"""


def test_a_standing_entry_is_not_touched_without_replace(tables: Tables, kitchen: Kitchen) -> None:
    tables.will(milk())
    kitchen.write(BOOK, name="milk.yaml", law=None).write("  shared_equipment: [churn]\n")
    before = bytes_of(kitchen.folder)
    ran = fetch(kitchen, "--as", "Whole Milk")
    assert (ran.code, ran.out) == (1, "")
    assert "'Whole Milk' stands already in milk.yaml:2." in ran.err
    assert "--replace" in ran.err
    also = fetch(kitchen, "--as", "full milk")
    assert also.code == 1
    assert "is another name of 'whole milk'" in also.err
    assert tables.asked == []  # the name is looked at before anything is sent
    assert bytes_of(kitchen.folder) == before


def test_replace_changes_the_figures_and_keeps_the_rest(tables: Tables, kitchen: Kitchen) -> None:
    tables.will(milk())
    kitchen.write(BOOK, name="milk.yaml", law=None).write(
        "  shared_equipment: [churn]\n- dish: glass\n  plate: [200 g full milk]\n"
    )
    ran = fetch(kitchen, "--as", "whole milk", "--replace")
    assert ran.code == 0, ran.err
    assert "Kept as it was: also, spec, made on." in ran.err
    assert "every group" not in ran.err
    text = (kitchen.folder / "milk.yaml").read_text(encoding="utf-8")
    for kept in (
        "# the cook's own words\n",
        "# keep this comment\n",
        "# about sugar\n",
        "supplier: Quayside Dairy",
        "composition: sr28:19335",
    ):
        assert kept in text
    assert "fat_g: 9.9" not in text
    assert kitchen.faults() == []
    declared = kitchen.one("glass")
    assert status(declared, "milk") == "contains"
    assert status(declared, "celery") == "none declared"
    assert declared["nutrition"]["per_100_g"]["fat_g"] == pytest.approx(3.25)
    again = fetch(kitchen, "--as", "whole milk", "--replace")
    assert again.code == 0
    assert (kitchen.folder / "milk.yaml").read_text(encoding="utf-8") == text


def test_what_cannot_be_replaced_safely_is_left(tables: Tables, kitchen: Kitchen) -> None:
    tables.will(milk())
    kitchen.write("- {ingredient: whole milk, spec: {declares: [milk]}}\n")
    before = bytes_of(kitchen.folder)
    ran = fetch(kitchen, "--as", "whole milk", "--replace")
    assert ran.code == 1
    assert "written in one line with others" in ran.err
    assert bytes_of(kitchen.folder) == before


def test_a_fault_the_book_would_get_is_said_and_nothing_is_written(tables: Tables, kitchen: Kitchen) -> None:
    # kept is a row of salt: with the fetched fat of milk it cannot close to 100 g
    tables.will(
        milk(
            foodNutrients=[
                nested(1004, "204", "Total lipid (fat)", "g", 90.0),
                nested(1003, "203", "Protein", "g", 9.0),
            ]
        )
    )
    kitchen.write("- ingredient: odd\n  composition: sr28:19335\n- dish: d\n  plate: [100 g odd]\n")
    before = bytes_of(kitchen.folder)
    ran = fetch(kitchen, "--as", "odd", "--replace")
    assert ran.code == 1
    assert "With it the book would have a new fault" in ran.err
    assert bytes_of(kitchen.folder) == before


def test_entries_are_added_one_after_the_other(tables: Tables, kitchen: Kitchen) -> None:
    tables.will(milk(), porridge())
    kitchen.write("")
    assert fetch(kitchen, "--as", "whole milk").code == 0
    first = (kitchen.folder / "ingredients/fetched.yaml").read_text(encoding="utf-8")
    assert fetch(kitchen, "--as", "porridge", number="fdc:2708502").code == 0
    assert (kitchen.folder / "ingredients/fetched.yaml").read_text(encoding="utf-8").startswith(first)
    assert kitchen.faults() == []


def test_a_good_of_the_shelf_gives_way_with_a_warning(tables: Tables, kitchen: Kitchen) -> None:
    tables.will(milk())
    kitchen.write("- dish: glass\n  plate: [200 g butter]\n")
    ran = fetch(kitchen, "--as", "butter")
    assert ran.code == 0
    assert "of the shelf knows its allergens and now gives way" in ran.err
    assert status(kitchen.one("glass"), "milk") == "unconfirmed"


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("milk", "--into", "{book}"), "is not the number of a food"),
        (("171265", "--into", "{book}/nowhere"), "is not a folder"),
        (("171265", "--into", "{book}", "--as", "x" * 201), "longer than 200 letters"),
    ],
)
def test_wrong_calls(tables: Tables, kitchen: Kitchen, arguments: tuple[str, ...], words: str) -> None:
    tables.will(milk())
    kitchen.write("")
    ran = run("fetch", *(one.replace("{book}", str(kitchen.folder)) for one in arguments))
    assert ran.code == 2
    assert words in ran.err
    assert tables.asked == []


def test_a_book_without_a_jurisdiction(tables: Tables, kitchen: Kitchen) -> None:
    kitchen.write("- ingredient: salt\n", law=None)
    ran = fetch(kitchen)
    assert ran.code == 2
    assert "names no jurisdiction" in ran.err


REFUSED: dict[str, tuple[Any, int, str]] = {
    "branded": (milk(dataType="Branded"), 1, "is a branded product"),
    "negative": (milk(foodNutrients=[nested(1003, "203", "Protein", "g", -3)]), 1, "which is below 0"),
    "unit": (milk(foodNutrients=[nested(1003, "203", "Protein", "oz", 3)]), 1, "which is no unit of it"),
    "measure": (milk(foodPortions=[portion(-3, "slice")]), 1, "which cannot be"),
    "html": (Answer(b"<html>", kind="text/html"), 1, "answers with a web page"),
    "busy": (Answer(b"", 503), 1, "cannot answer just now"),
    "limit": (Answer(b"", 429, {"Retry-After": "900"}), 1, "asked too often"),
    "elsewhere": (Answer(b"", 302, {"Location": "https://example.com"}), 1, "another place"),
    "key": (Answer(b"", 403), 2, "refuses the key"),
    "not there": (Answer(b"", 404), 2, "has no food of that number"),
    "too much": (
        milk(
            foodNutrients=[
                nested(1004, "204", "Fat", "g", 80),
                nested(1005, "205", "C", "g", 60),
                nested(1079, "291", "F", "g", 0),
            ]
        ),
        1,
        "add to 140",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_is_refused_leaves_the_book_as_it_was(tables: Tables, kitchen: Kitchen, name: str) -> None:
    answer, code, words = REFUSED[name]
    tables.will(answer)
    kitchen.write("- ingredient: flour\n")
    before = bytes_of(kitchen.folder)
    ran = fetch(kitchen, "--as", "whole milk")
    assert (ran.code, ran.out) == (code, "")
    assert words in ran.err
    told = fetch(kitchen, "--as", "whole milk", "--json")
    assert (told.code, told.err) == (code, "")
    assert words in told.json()["faults"][0]["problem"]
    assert bytes_of(kitchen.folder) == before


def test_odd_names_are_written_so_that_the_book_reads_them(tables: Tables, kitchen: Kitchen) -> None:
    for name in ("Käse: jung", "no", "a #b", '"quoted"', "- dash", "milk, whole"):
        tables.will(milk())
        kitchen.write("")
        ran = fetch(kitchen, "--as", name)
        assert ran.code == 0, (name, ran.err)
        assert kitchen.faults() == []
        assert ran.out.startswith("- ingredient: ")


def test_fetch_as_json(tables: Tables, kitchen: Kitchen) -> None:
    tables.will(milk())
    kitchen.write("")
    ran = fetch(kitchen, "--json")
    assert (ran.code, ran.err) == (0, "")
    told = ran.json()
    assert told["food"] == "fdc:171265"
    assert told["allergens"] == "unconfirmed"
    assert told["written"] == "ingredients/fetched.yaml"
    assert told["per_100_g"]["trans_fat_g"] == 0.1
    assert told["published"] == "2019-04-01"
    assert told["same_row"]["food"] == "sr28:01077"
    assert told["density_g_per_ml"] == pytest.approx(1.0313, rel=1e-3)


def test_the_cache_serves_the_command_and_says_so(
    tables: Tables, kitchen: Kitchen, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("LABELLER_CACHE", str(tmp_path / "cache"))
    tables.will(milk(), Answer(b"", 500))
    kitchen.write("")
    assert "From the cache" not in fetch(kitchen, "--as", "one").err
    monkeypatch.delenv("FDC_API_KEY")
    ran = fetch(kitchen, "--as", "two")
    assert ran.code == 0, ran.err
    assert f"From the cache, fetched on {TODAY} (today). --refresh asks anew." in ran.err
    assert fetch(kitchen, "--as", "three", "--refresh").code == 2  # without a key nothing new can be had
    assert len(tables.asked) == 1


def test_as_a_process_with_debug_no_stream_has_the_key(tables: Tables, kitchen: Kitchen, tmp_path: Path) -> None:
    tables.will(Answer(b"{", 200))
    kitchen.write("")
    command = "import sys; from labeller.cli.main import main; main()"
    call = [sys.executable, "-c", command, "--debug", "fetch", "171265", "--into", str(kitchen.folder)]
    done = subprocess.run(call, capture_output=True, text=True, check=False, timeout=60)
    assert done.returncode == 1
    assert done.stderr.startswith("fetch: The answer is not JSON as it should be")
    assert KEY not in done.stdout + done.stderr


def test_other_commands_load_neither_requests_nor_pydantic() -> None:
    command = (
        "import sys; from labeller.cli.main import app; import labeller.cli.foods, labeller.cli.commands; "
        "print(sorted({'requests', 'pydantic', 'urllib3', 'requests_cache'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", command], capture_output=True, text=True, check=True, timeout=60)
    assert done.stdout.strip() == "[]"
