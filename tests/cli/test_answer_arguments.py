"""The short way of reading the call of ``answer`` knows the options Typer knows, and leaves to Typer what it does not understand."""

import itertools
from typing import Any

import pytest
import typer

from labeller.cli import answer as answering
from labeller.cli.answer_arguments import LEFT_TO_TYPER, OPTIONS, AnswerCall, read_call
from labeller.cli.commands import app
from labeller.cli.saying import today
from tests.kitchens import run


def of_typer() -> list[Any]:
    group: Any = typer.main.get_command(app)
    found: list[Any] = group.commands["answer"].params
    return found


def test_it_knows_the_options_of_the_command() -> None:
    options = [one for one in of_typer() if one.param_type_name == "option"]
    assert sorted((*OPTIONS, *LEFT_TO_TYPER)) == sorted(
        name for one in options for name in (*one.opts, *one.secondary_opts)
    )
    assert {one.opts[0] for one in options if one.multiple} == {"--without"}
    assert {one.opts[0] for one in options if one.is_flag} == {"--json"}
    assert [one.nargs for one in of_typer() if one.param_type_name == "argument"] == [1]


CALLS = [
    ["book", "--of", "ice", "--about", "milk"],
    ["--of=ice", "--about=a=b", "book", "--json"],
    ["--about", "", "--of", "", "book"],
    ["book", "--without", "nuts", "--without=milk", "--json", "--json"],
    ["book", "--without", "nuts", "--menu", "dinner", "--jurisdiction", "us", "--on", "2026-12-01", "--language", "fr"],
    ["a book", "--of", "crème brûlée", "--about", "œufs"],
    ["--json", "book"],
]  # fmt: skip


@pytest.mark.parametrize("call", CALLS, ids=" ".join)
def test_it_reads_a_call_as_typer_does(call: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[tuple[Any, ...]] = []

    def noted(*arguments: Any, **named: Any) -> int:
        seen.append((*arguments, named["language"]))
        return 0

    monkeypatch.setattr(answering, "answer", noted)
    assert run("answer", *call).code == 0
    found = read_call(call)
    assert found is not None
    book, of, about, without, menu, law, on, json_out, language = seen[0]
    day = found.on or today().isoformat()
    assert found._replace(on=day) == AnswerCall(
        str(book), of, about, without, menu, law, on.isoformat(), language, json_out
    )


NOT_READ = [
    [], ["--help"], ["book", "--help"], ["book", "--of"], ["book", "--off", "ice"], ["book", "other"], ["book", "--of", "a", "--of", "b"],
    ["book", "--of", "--about", "milk"], ["book", "-o", "x"], ["--", "book"], ["book", "--json=yes"], ["book", "--with", "nuts"], [""],
    ["book", "-"], ["book", "--without"], ["book", "--of", "-5"], ["--version"], ["book", "--JSON"], ["book", "--install-completion"],
    ["book", "--of", "ice", "--about", "milk", "--as-recorded", "2026-01-01"],
]  # fmt: skip


@pytest.mark.parametrize("call", NOT_READ, ids=" ".join)
def test_what_is_not_plainly_right_goes_to_typer(call: list[str]) -> None:
    assert read_call(call) is None


def test_no_arguments_make_it_raise() -> None:
    pieces = ("book", "--of", "--about=x", "--without", "--json", "", "-", "--", "=", "--=", "\udcff")
    for call in itertools.product(pieces, repeat=3):
        found = read_call(list(call))
        assert found is None or found.book in ("book", "=", "\udcff")
