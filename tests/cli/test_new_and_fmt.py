"""``new`` starts a book that ``check`` finds clean; ``fmt`` writes it in the house form, or says why not."""

import json
import shlex
from pathlib import Path

import pytest
from typer.testing import CliRunner

from labeller.book.reading import read_files
from labeller.bringing_in.same_reading import as_read
from labeller.cli.main import app
from labeller.jurisdictions.packs import known_jurisdictions
from tests.bringing_in.books_for_editors import editor_marks, read_book_files
from tests.kitchens import Kitchen, Ran, run

GIVEN = ("--name", "The Copper Pan", "--address", "", "--equipment", "", "--dish", "")


def typed(folder: Path, answers: str, *options: str) -> Ran:
    result = CliRunner().invoke(app, ["new", str(folder), *options], input=answers)
    assert result.exception is None or isinstance(result.exception, SystemExit)
    return Ran(result.exit_code, result.stdout, result.stderr)


@pytest.mark.parametrize("law", known_jurisdictions())
def test_a_new_book_is_clean_and_declares(tmp_path: Path, law: str) -> None:
    folder = tmp_path / "deep" / "book"
    assert run("new", folder, *GIVEN, "--jurisdiction", law).code == 0
    checked = run("check", folder, "--json")
    assert checked.code == 0
    assert checked.json()["faults"] == []
    assert [one["field"] for one in checked.json()["advice"]] == [
        "shelf"
    ]  # what it took from the shelf, and nothing else
    assert run("declare", folder).code == 0
    assert run("fmt", folder, "--check").code == 0
    for path in folder.rglob("*.yaml"):
        assert editor_marks(path.read_text(encoding="utf-8")) == []


def test_the_next_three_commands_work_as_printed(tmp_path: Path) -> None:
    folder = tmp_path / "my book"
    ran = run("new", folder, *GIVEN, "--jurisdiction", "gb")
    commands = [shlex.split(line)[1:] for line in ran.out.splitlines() if line.startswith("  labeller ")]
    assert [one[0] for one in commands] == ["check", "declare", "import"]
    assert run(*commands[0]).code == 0
    assert "Cereals containing gluten: oats" in run(*commands[1]).out
    (tmp_path / "RECIPES.csv").write_text(
        "Recipe,Amount,Ingredient\nplain roux,50 g,unsalted butter\n", encoding="utf-8"
    )
    assert run(*[str(tmp_path / "RECIPES.csv") if one == "RECIPES.xlsx" else one for one in commands[2]]).code == 0


def test_five_questions_from_plain_input(tmp_path: Path) -> None:
    folder = tmp_path / "book"
    ran = typed(
        folder,
        'The "Copper" Pan: Wexmouth\nsandbar\nGreat Britain\n1 Example Street #2\nfryer, churn; Fryer\nlamb: shoulder\n',
    )
    assert ran.code == 0
    assert [number for number in "12345" if f"{number} of 5." in ran.err] == list("12345")
    assert "'sandbar' is not a jurisdiction this tool knows." in ran.err
    book, notes = read_book_files(read_files(folder))
    assert notes.faults == []
    assert book is not None
    assert book.kitchen.name == 'The "Copper" Pan: Wexmouth'
    assert (book.kitchen.jurisdiction, book.kitchen.address) == ("gb", "1 Example Street #2")
    assert [one.name for one in book.kitchen.shared_equipment] == ["fryer", "churn"]
    assert '# - dish: "lamb: shoulder"\n' in (folder / "dishes" / "examples.yaml").read_text(encoding="utf-8")
    assert run("fmt", folder, "--check").code == 0


def test_enter_leaves_out_what_may_be_left_out(tmp_path: Path) -> None:
    ran = typed(tmp_path / "book", "\nThe Copper Pan\n6\n\n\n\n")
    assert ran.code == 0
    assert "a kitchen needs a name" in ran.err
    kitchen = (tmp_path / "book" / "kitchen.yaml").read_text(encoding="utf-8")
    assert kitchen.endswith("- kitchen: The Copper Pan\n  jurisdiction: us\n  language: en\n")


@pytest.mark.parametrize(
    ("answers", "options", "said"),
    [
        ("", (), "Nobody answered. Write --name behind the command instead."),
        ("The Copper Pan\n", (), "Write --jurisdiction behind the command instead."),
        ("The Copper Pan\nx\ny\nz\n", (), "That was the third try."),
        ("", ("--name", " ", "--jurisdiction", "gb"), "--name: a kitchen needs a name."),
        ("", ("--name", "x" * 201, "--jurisdiction", "gb"), "Write at most 200 letters."),
        ("", ("--name", "x", "--jurisdiction", "uk"), "'uk' is not a jurisdiction this tool knows."),
        ("", (*GIVEN, "--jurisdiction", "gb", "--language", "Welsh?"), "--language: 'Welsh?' is not the code of a language."),
        ("", ("--name", "a\x07b", "--jurisdiction", "gb"), "a sign in it that is not a letter"),
    ],
)  # fmt: skip
def test_a_wrong_answer_writes_nothing(tmp_path: Path, answers: str, options: tuple[str, ...], said: str) -> None:
    ran = typed(tmp_path / "book", answers, *options)
    assert ran.code == 2
    assert said in ran.err
    assert list(tmp_path.iterdir()) == []


def test_nothing_is_written_where_something_is(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")
    for place in (tmp_path, tmp_path / "notes.txt"):
        ran = run("new", place, *GIVEN, "--jurisdiction", "gb")
        assert ran.code == 2
        assert "is not empty, and nothing in it is to be lost" in ran.err
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]
    (tmp_path / "empty").mkdir()
    assert run("new", tmp_path / "empty", *GIVEN, "--jurisdiction", "gb").code == 0


UNTIDY = "-   ingredient: cream # from the dairy\n    density: 1.01 g/ml\n    composition: sr28:01053\n"
TIDY = "- ingredient: cream  # from the dairy\n  composition: sr28:01053\n  density: 1.01 g/ml\n"
BROKEN = "- dish: x\n  plate: [5 g cream\n- dish: y\n"


def test_fmt_writes_only_what_changes(kitchen: Kitchen) -> None:
    kitchen.write("").write(UNTIDY, name="goods/cream.yaml", law=None)
    same, other = kitchen.folder / "book.yaml", kitchen.folder / "goods" / "cream.yaml"
    other.chmod(0o600)
    stamp = same.stat().st_mtime_ns
    assert (run("fmt", kitchen.folder, "--check").code, other.read_text(encoding="utf-8")) == (1, UNTIDY)
    ran = run("fmt", kitchen.folder)
    assert (ran.code, ran.out, ran.err) == (0, "goods/cream.yaml\n", "1 file written in the house form.\n")
    assert other.read_text(encoding="utf-8") == TIDY
    assert other.stat().st_mode & 0o777 == 0o600
    assert same.stat().st_mtime_ns == stamp
    again = run("fmt", kitchen.folder)
    assert (again.code, again.out, again.err) == (0, "", "2 files, all in the house form.\n")
    assert [path.name for path in other.parent.iterdir()] == ["cream.yaml"]


def test_fmt_shows_the_difference_and_writes_nothing(kitchen: Kitchen) -> None:
    kitchen.write("").write(UNTIDY.rstrip("\n"), name="cream.yaml", law=None)
    ran = run("fmt", kitchen.folder, "--diff")
    assert ran.code == 0
    assert "-    composition: sr28:01053\n\\ the file ends without a line break\n" in ran.out
    assert "+  composition: sr28:01053\n" in ran.out
    assert run("fmt", kitchen.folder, "--diff", "--check").code == 1
    assert (kitchen.folder / "cream.yaml").read_text(encoding="utf-8") == UNTIDY.rstrip("\n")


def test_fmt_leaves_a_broken_file_alone_and_writes_the_others(kitchen: Kitchen) -> None:
    kitchen.write("").write(UNTIDY, name="cream.yaml", law=None).write(BROKEN, name="dishes.yaml", law=None)
    ran = run("fmt", kitchen.folder, "--json")
    assert ran.code == 1
    document = json.loads(ran.out)
    assert document["changed"] == ["cream.yaml"]
    assert [(one["file"], one["line"]) for one in document["left_alone"]] == [("dishes.yaml", 3)]
    assert (kitchen.folder / "dishes.yaml").read_text(encoding="utf-8") == BROKEN
    assert (kitchen.folder / "cream.yaml").read_text(encoding="utf-8") == TIDY


def test_fmt_keeps_a_link_a_link(kitchen: Kitchen, tmp_path: Path) -> None:
    kitchen.write("")
    (tmp_path / "cream.yaml").write_text(UNTIDY, encoding="utf-8")
    (kitchen.folder / "cream.yaml").symlink_to(tmp_path / "cream.yaml")
    assert run("fmt", kitchen.folder).code == 0
    assert (kitchen.folder / "cream.yaml").is_symlink()
    assert (tmp_path / "cream.yaml").read_text(encoding="utf-8") == TIDY


def test_fmt_of_a_book_with_other_faults_changes_no_fault(kitchen: Kitchen) -> None:
    kitchen.write("- dish: x\n  plate:\n  - 5 g unobtanium\n  - 30 g salt #2\n  colour: red\n")
    before = read_book_files(read_files(kitchen.folder))
    assert run("fmt", kitchen.folder).code == 0
    after = read_book_files(read_files(kitchen.folder))
    assert as_read(*after) == as_read(*before)
    assert len(after[1].faults) == 2


def test_fmt_of_what_is_not_there(tmp_path: Path) -> None:
    ran = run("fmt", tmp_path / "nowhere")
    assert ran.code == 2
    assert "is not there" in ran.err
