"""``labeller match``: lists, writes what is sure, walks through the rest; keys come from a pipe here."""

import json

import pytest
from typer.testing import CliRunner

from labeller.bringing_in.asking import Walk, walk_through
from labeller.bringing_in.entry_files import append_entries, replace_entry, yaml_text
from labeller.bringing_in.matching import match_name
from labeller.bringing_in.unknown_names import UnknownName
from labeller.cli.main import app
from labeller.foundations.faults import Origin
from tests.kitchens import Kitchen, Ran, plate, run, status

BOOK = plate("100 g AP flour", "30 g dbl cream", "20 g feuilletine", "10 g smoked mackerel", "40 g sub ready mix")


def typed(keys: str, *arguments: object) -> Ran:
    """Run a command with keys coming from a pipe."""
    result = CliRunner().invoke(app, [str(one) for one in arguments], input=keys)
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return Ran(result.exit_code, result.stdout, result.stderr)


def test_without_a_wish_nothing_is_written(kitchen: Kitchen) -> None:
    kitchen.write(BOOK)
    ran = run("match", kitchen.folder)
    assert ran.code == 0
    assert "'dbl cream' (book.yaml:" in ran.out
    assert "No row fits: write it from the pack (feuilletine: crushed crepe wafers" in ran.out
    assert [one.name for one in kitchen.folder.iterdir()] == ["book.yaml"]


def test_the_json_has_every_name_with_its_places_and_reasons(kitchen: Kitchen) -> None:
    kitchen.write(BOOK)
    found = run("match", kitchen.folder, "--json").json()
    names = {one["name"]: one for one in found["names"]}
    assert list(names) == ["AP flour", "dbl cream", "feuilletine", "smoked mackerel", "sub ready mix"]
    assert names["dbl cream"]["places"] == [{"file": "book.yaml", "line": 6}]
    assert names["dbl cream"]["candidates"][0]["food"] == "sr28:01053"  # heavy cream, US: double cream, GB
    assert names["feuilletine"]["candidates"] == []
    assert found["written"] == []


def test_best_writes_what_is_sure_and_check_lists_it_until_a_person_confirms(kitchen: Kitchen) -> None:
    kitchen.write(plate("100 g AP flour", "30 g dbl cream"))
    assert run("match", kitchen.folder, "--best").code == 0
    path = kitchen.folder / "ingredients" / "matched.yaml"
    text = path.read_text(encoding="utf-8")
    assert text.count("matched: machine") == 2
    assert "composition: sr28:01053  # Cream, fluid, heavy whipping" in text
    assert kitchen.faults() == []
    told = [one for one in kitchen.advice() if one["field"] == "matched"]
    assert [one["problem"].split("'")[1] for one in told] == ["AP flour", "dbl cream"]
    assert status(kitchen.one("plate"), "gluten") == "contains"
    path.write_text(text.replace("matched: machine", "matched: J.", 1).replace("  matched: machine\n", ""), "utf-8")
    assert not [one for one in kitchen.advice() if one["field"] == "matched"]
    assert kitchen.faults() == []


def test_best_never_touches_an_entry_that_is_there(kitchen: Kitchen) -> None:
    before = "# ours\n- ingredient: feuilletine   # from the pack\n  spec: {declares: [wheat, milk]}\n"
    kitchen.write(before, name="ingredients/matched.yaml", law=None).write(BOOK)
    run("match", kitchen.folder, "--best")
    text = (kitchen.folder / "ingredients" / "matched.yaml").read_text("utf-8")
    assert text.startswith(before)
    run("match", kitchen.folder, "--best")
    assert (kitchen.folder / "ingredients" / "matched.yaml").read_text("utf-8") == text


def test_a_walk_takes_goes_back_and_can_stop_and_go_on(kitchen: Kitchen) -> None:
    kitchen.write(BOOK)
    path = kitchen.folder / "ingredients" / "matched.yaml"
    ran = typed("1\n1\nb\ns\nn\nq\n", "match", kitchen.folder, "--ask")
    assert ran.code == 0
    assert "2 of 5: 'dbl cream' (book.yaml:6)" in ran.err
    assert (
        "1 entry written to ingredients/matched.yaml; 1 to be written from the pack; 3 left for another time."
        in ran.err
    )
    assert "AP flour" in path.read_text("utf-8")
    assert "dbl cream" not in path.read_text("utf-8")  # taken, then taken back
    again = typed("1\nq\n", "match", kitchen.folder, "--ask")
    assert "1 of 3: 'dbl cream'" in again.err
    assert "feuilletine" not in again.err  # said already that none fits
    text = path.read_text("utf-8")
    assert text.count("matched: by hand") == 2
    assert not [one for one in kitchen.advice() if one["field"] == "matched"]
    assert "feuilletine" in typed("q\n", "match", kitchen.folder, "--ask", "--again").err


def test_the_end_of_input_stops_and_leaves_nothing_half_written(kitchen: Kitchen) -> None:
    kitchen.write(BOOK)
    ran = typed("", "match", kitchen.folder, "--ask")
    assert ran.code == 0
    assert "0 entries written" in ran.err
    assert not (kitchen.folder / "ingredients").exists()


def test_a_key_that_is_no_answer_asks_again(kitchen: Kitchen) -> None:
    kitchen.write(BOOK)
    ran = typed("7\nx\nb\nq\n", "match", kitchen.folder, "--ask")
    assert "'x' is no answer here." in ran.err
    assert "This is the first one." in ran.err


def test_best_and_ask_together_ask_only_about_the_rest(kitchen: Kitchen) -> None:
    kitchen.write(BOOK)
    ran = typed("q\n", "match", kitchen.folder, "--best", "--ask")
    assert "1 of 3: 'feuilletine'" in ran.err
    assert (kitchen.folder / "ingredients" / "matched.yaml").read_text("utf-8").count("matched: machine") == 2


def test_a_book_where_all_is_known(kitchen: Kitchen) -> None:
    kitchen.write(plate("100 g double cream"))
    assert run("match", kitchen.folder).err == "Every name the recipes use is known.\n"
    assert run("match", kitchen.folder, "--json").json()["names"] == []


@pytest.mark.parametrize("arguments", [("--ask", "--json"), ()])
def test_wrong_usage(kitchen: Kitchen, arguments: tuple[str, ...]) -> None:
    folder = kitchen.write(BOOK).folder if arguments else kitchen.folder / "none"
    ran = run("match", folder, *arguments)
    assert ran.code == 2
    assert ran.out == ""
    assert ran.err.count("\n") == 1


def test_a_file_that_cannot_be_added_to_is_left_alone(kitchen: Kitchen) -> None:
    flow = "[{ingredient: a}]\n"
    kitchen.write(flow, name="ingredients/matched.yaml", law=None).write(BOOK)
    ran = run("match", kitchen.folder, "--best")
    assert ran.code == 1
    assert "ingredients/matched.yaml:1: file: entries cannot be added to a file written like this." in ran.err
    assert (kitchen.folder / "ingredients" / "matched.yaml").read_text("utf-8") == flow


def test_every_answer_is_kept_at_once() -> None:
    kept: list[int] = []
    keys = iter("11q")
    names = [UnknownName(name, (Origin("a.yaml", 1),)) for name in ("dbl cream", "AP flour", "ponzu")]
    walk = walk_through(
        Walk(names), match_name, lambda: next(keys), lambda _: None, lambda walk: kept.append(len(walk.taken))
    )
    assert kept == [1, 2]
    assert walk.stopped


@pytest.mark.parametrize(
    "name", ["yes", "null", "flour: white", "a # b", "- x", "10 % cream", "œufs", "goat's milk", 'a "b"', "*x"]
)
def test_a_name_is_written_so_that_it_is_read_as_it_was(name: str) -> None:
    import yaml

    text = f"- ingredient: {yaml_text(name)}\n"
    assert yaml.safe_load(text) == [{"ingredient": name}]


def test_added_entries_take_the_indent_of_the_file() -> None:
    text, faults = append_entries(
        "  - ingredient: a\n    also: [b]", "x.yaml", ["- ingredient: c\n  matched: machine\n"]
    )
    assert not faults
    assert text == "  - ingredient: a\n    also: [b]\n\n  - ingredient: c\n    matched: machine\n"


def test_replacing_an_entry_keeps_every_comment() -> None:
    before = "# head\n- ingredient: a  # one\n  # inside\n  also: [x]\n\n# of b\n- ingredient: b\n"
    after = replace_entry(before, "x.yaml", "A", "- ingredient: a\n  spec: {}\n")
    assert after == "# head\n# inside\n- ingredient: a\n  spec: {}\n\n# of b\n- ingredient: b\n"
    assert replace_entry(before, "x.yaml", "c", "- ingredient: c\n") is None


def test_foods_says_why_no_row_fits() -> None:
    ran = run("foods", "feuilletine")
    assert ran.code == 2
    assert ran.out == ""
    assert ran.err.startswith("foods: no row fits 'feuilletine' (feuilletine: crushed crepe wafers")
    assert json.loads(run("foods", "feuilletine", "--json").out) == []


SHEET = "Recipe,Ingredient,Amount,Unit\ncake,AP flour,100,g\ncake,dbl cream,30,g\ncake,feuilletine,20,g\n"


def brought_in(kitchen: Kitchen, keys: str, *options: str) -> Ran:
    """Import a sheet with three unknown names into a book that has another one."""
    kitchen.write(plate("10 g sub ready mix"), law="gb")
    sheet = kitchen.folder.parent / "sheet.csv"
    sheet.write_text(SHEET, "utf-8")
    return typed(keys, "import", sheet, "--into", kitchen.folder, *options)


def test_import_best_writes_what_is_sure_of_the_sheet(kitchen: Kitchen) -> None:
    ran = brought_in(kitchen, "", "--best")
    assert ran.code == 0, ran.err
    text = (kitchen.folder / "ingredients" / "matched.yaml").read_text("utf-8")
    assert text.count("matched: machine") == 2
    assert {one["problem"].split("'")[1] for one in kitchen.faults()} == {"feuilletine", "sub ready mix"}
    assert {one["problem"].split("'")[1] for one in kitchen.advice() if one["field"] == "matched"} == {
        "AP flour",
        "dbl cream",
    }


def test_import_ask_walks_through_the_names_of_the_sheet_only(kitchen: Kitchen) -> None:
    ran = brought_in(kitchen, "n\n", "--best", "--ask")
    assert ran.code == 0
    assert "1 of 1: 'feuilletine'" in ran.err
    assert "sub ready mix" not in ran.err


def test_import_says_in_json_and_in_a_dry_run_what_is_matched(kitchen: Kitchen) -> None:
    ran = brought_in(kitchen, "", "--best", "--dry-run")
    assert "would be matched: dbl cream: the shelf's double cream" in ran.err
    assert not (kitchen.folder / "ingredients").exists()
    assert brought_in(kitchen, "", "--best", "--json").json()["matched"] == ["AP flour", "dbl cream"]


@pytest.mark.parametrize("option", ["--json", "--dry-run"])
def test_import_ask_with_what_writes_nothing_is_wrong_usage(kitchen: Kitchen, option: str) -> None:
    ran = brought_in(kitchen, "1\n", "--ask", option)
    assert ran.code == 2
    assert not (kitchen.folder / "imported").exists()
