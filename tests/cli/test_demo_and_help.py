"""``labeller demo``, and the help of every command."""

import os
from pathlib import Path

import pytest
import typer.main

from labeller.cli.main import app
from labeller.demonstration.place import demonstration_book
from tests.kitchens import run

COMMANDS = sorted(typer.main.get_command(app).commands)  # type: ignore[attr-defined]  # a group has commands


def test_the_commands_of_the_main_job_are_there() -> None:
    assert {"check", "declare", "demo", "foods", "read", "explain"} <= set(COMMANDS)


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help_and_an_example(command: str) -> None:
    ran = run(command, "--help")
    assert ran.code == 0
    assert f"Example: labeller {command}" in ran.out
    before = ran.out.split("Example:")[0]
    assert any(line.strip().endswith((".", ";")) or len(line.split()) > 4 for line in before.splitlines()[2:])


def test_no_command_shows_the_help_and_ends_in_two() -> None:
    ran = run()
    assert ran.code == 2
    assert "declare" in ran.out + ran.err


def test_an_unknown_command_is_wrong_usage() -> None:
    ran = run("declrae")
    assert (ran.code, ran.out) == (2, "")


def test_the_demo_is_written_twice_and_the_same(tmp_path: Path) -> None:
    folder = tmp_path / "demo"
    first = run("demo", folder, "--on", "2026-11-25")
    assert (first.code, first.out) == (0, "")
    written = {path.relative_to(folder): path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    ours = {path.relative_to(demonstration_book()): path.read_bytes() for path in demonstration_book().rglob("*.yaml")}
    assert {path.relative_to("book"): raw for path, raw in written.items() if path.parts[0] == "book"} == ours
    assert run("demo", folder, "--on", "2026-11-25").code == 0
    assert written == {path.relative_to(folder): path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    assert run("check", folder / "book").code == 0


def test_the_demo_refuses_to_lose_a_changed_book(tmp_path: Path) -> None:
    folder = tmp_path / "demo"
    assert run("demo", folder).code == 0
    changed = min((folder / "book").rglob("*.yaml"))
    changed.write_text(changed.read_text(encoding="utf-8") + "# mine\n", encoding="utf-8")
    kept = changed.read_bytes()
    ran = run("demo", folder)
    assert (ran.code, ran.out) == (2, "")
    assert changed.name in ran.err
    assert changed.read_bytes() == kept


def test_the_demo_refuses_to_mix_with_a_book_of_ones_own(tmp_path: Path) -> None:
    folder = tmp_path / "demo"
    (folder / "book").mkdir(parents=True)
    (folder / "book" / "mine.yaml").write_text("- kitchen: Mine\n  jurisdiction: eu\n", encoding="utf-8")
    assert run("demo", folder).code == 2
    assert sorted(path.name for path in folder.rglob("*")) == ["book", "mine.yaml"]


def test_a_place_that_is_a_file_is_refused(tmp_path: Path) -> None:
    place = tmp_path / "file"
    place.write_text("x", encoding="utf-8")
    ran = run("demo", place)
    assert ran.code == 2
    assert place.read_text(encoding="utf-8") == "x"
    assert os.fspath(place) in ran.err


def test_no_line_of_the_help_is_cut() -> None:
    ran = run("--help")
    assert ran.code == 0
    assert "..." not in ran.out.split("Commands:")[1]
    assert all(command in ran.out for command in COMMANDS)
