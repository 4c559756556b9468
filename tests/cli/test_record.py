"""``record`` and ``--as-recorded`` as a kitchen meets them: what is kept, what is refused, exit codes, clean streams."""

import json
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from labeller.allergens.specifications import evidence_from_spec
from labeller.cli.opening import today
from labeller.record.record_file import TRIGGERS
from tests.kitchens import Kitchen, plate, rows, run

ICE = (
    '- ingredient: cream powder\n  composition: sr28:19335\n  spec: {supplier: a mill, statement: "MILK powder"}\n'
    + plate("10 g cream powder", name="ice")
)
OPEN = "- ingredient: mystery\n" + plate("1 g mystery", name="odd plate")


@pytest.fixture
def book(kitchen: Kitchen) -> Path:
    return kitchen.write(ICE).folder


def record_of(book: Path) -> Path:
    return book.with_name("book.declared.sqlite3")


def test_recording_says_what_where_and_under_which_seal(book: Path) -> None:
    ran = run("record", book, "--on", "2026-11-20", "--note", "  autumn\n menu ")
    assert ran.code == 0
    assert "1 dish and 0 things made in house" in ran.out
    assert str(record_of(book)) in ran.out
    assert "Its seal: " in ran.out
    (one,) = run("record", book, "--list", "--json").json()["records"]
    assert (one["day"], one["jurisdiction"], one["note"], one["asked"]) == ("2026-11-20", "eu", "autumn menu", False)
    assert one["seal"] in ran.out


def test_nothing_else_is_written_and_nothing_into_the_book(book: Path) -> None:
    before = sorted(book.rglob("*"))
    run("record", book)
    assert sorted(book.rglob("*")) == before
    assert sorted(one.name for one in book.parent.iterdir()) == ["book", "book.declared.sqlite3"]


def test_the_same_twice_adds_nothing_and_says_so(book: Path) -> None:
    run("record", book)
    ran = run("record", book)
    assert (ran.code, "Nothing was added" in ran.out) == (0, True)
    assert run("record", book, "--json").json()["recorded"] is False
    assert len(run("record", book, "--list", "--json").json()["records"]) == 1


def test_another_place_for_the_record(book: Path, tmp_path: Path) -> None:
    place = tmp_path / "kept.sqlite3"
    assert run("record", book, "--file", place).code == 0
    assert not record_of(book).exists()
    assert run("record", book, "--list", "--file", place).out.startswith("record 1; declared for ")
    assert run("changes", book, "--file", place).code == 0
    assert run("changes", book).code == 2


def test_what_cannot_be_vouched_for_is_recorded_and_said(kitchen: Kitchen) -> None:
    book = kitchen.write(ICE + OPEN).folder
    ran = run("record", book)
    assert ran.code == 0
    assert "1 dish has something that cannot be vouched for" in ran.err
    assert "odd plate" in ran.err
    assert run("record", book, "--json", "--note", "again").json()["not_vouched_for"] == ["odd plate"]


@pytest.mark.parametrize("json_flag", [(), ("--json",)])
def test_a_book_with_faults_is_not_recorded(kitchen: Kitchen, json_flag: tuple[str, ...]) -> None:
    book = kitchen.write(plate("10 g custrad")).folder
    ran = run("record", book, *json_flag)
    assert ran.code == 1
    assert "'custrad'" in ran.out + ran.err
    assert not record_of(book).exists()


def test_another_law_is_kept_as_one_that_was_asked_for(book: Path) -> None:
    run("record", book)
    run("record", book, "--jurisdiction", "us")
    assert [(one["jurisdiction"], one["asked"]) for one in run("record", book, "--list", "--json").json()["records"]] == [
        ("eu", False), ("us", True),
    ]  # fmt: skip
    assert run("declare", book, "--as-recorded", today().isoformat(), "--json").json()["jurisdiction"] == "eu"
    american = run("declare", book, "--as-recorded", today().isoformat(), "--json", "--jurisdiction", "us")
    assert american.json()["jurisdiction"] == "us"
    assert "nothing is on record" not in american.err


def test_verify_is_nought_when_whole_and_one_when_not(book: Path) -> None:
    run("record", book)
    run("record", book, "--note", "again")
    whole = run("record", book, "--verify")
    assert whole.code == 0
    assert "is whole: 2 records" in whole.out
    with closing(sqlite3.connect(record_of(book), isolation_level=None)) as file:
        for name in TRIGGERS:
            file.execute(f"DROP TRIGGER {name}")
        file.execute("UPDATE record SET note = 'other' WHERE number = 1")
    broken = run("record", book, "--verify")
    assert broken.code == 1
    assert "record 1, declared for" in broken.out
    assert "the chain breaks here" in broken.out
    found = run("record", book, "--verify", "--json")
    assert (found.code, found.json()["whole"]) == (1, False)


def test_a_kept_seal_is_looked_for(book: Path) -> None:
    seal = run("record", book, "--json").json()["seal"]
    assert run("record", book, "--verify", "--seal", seal).code == 0
    assert run("record", book, "--verify", "--seal", seal[:10].upper()).code == 0
    wrong = run("record", book, "--verify", "--seal", "0" * 64)
    assert wrong.code == 1
    assert "is not in the record" in wrong.out


@pytest.mark.parametrize(
    ("raw", "code", "said"),
    [
        (b"- dish: not a record\n", 2, "is not a record of labeller"),
        (b"SQLite format 3\0" + b"\1" * 40, 1, "is damaged"),
    ],
)
@pytest.mark.parametrize(
    "arguments", [("record",), ("record", "--list"), ("record", "--verify"), ("changes",), ("declare", "--as-recorded", "2026-11-25")]
)  # fmt: skip
def test_a_file_that_cannot_be_used_is_named_and_left_alone(
    book: Path, raw: bytes, code: int, said: str, arguments: tuple[str, ...]
) -> None:
    record_of(book).write_bytes(raw)
    command, *options = arguments
    ran = run(command, book, *options)
    assert ran.code == code
    assert said in ran.err
    assert "book.declared.sqlite3" in ran.err
    assert ran.out == ""
    assert record_of(book).read_bytes() == raw


@pytest.mark.parametrize(
    "arguments",
    [
        ("record", "--list", "--verify"), ("record", "--list", "--note", "x"), ("record", "--seal", "abc"), ("record", "--verify", "--on", "2026-01-01"),
        ("record", "--show", "2026-01-01", "--list"), ("record", "--show", "yesterday"), ("record", "--on", "someday"), ("record", "--jurisdiction", "atlantis"),
        ("declare", "--as-recorded", "2026-11-25", "--on", "2026-11-25"), ("declare", "--as-recorded", "someday"), ("declare", "--as-recorded", "2999-01-01"),
        ("changes", "--from", "2026-11-25"), ("changes", "--to", "2026-11-25"), ("changes", "--since", "2026-11-25", "--from", "2026-11-25", "--to", "2026-11-25"),
        ("changes", "--from", "2026-11-25", "--to", "2026-11-24"), ("changes", "--since", "2999-01-01"),
    ],
)  # fmt: skip
def test_wrong_usage_is_two_with_words(book: Path, arguments: tuple[str, ...]) -> None:
    run("record", book, "--on", "2026-11-20")
    command, *options = arguments
    ran = run(command, book, *options)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.strip()


def test_a_day_before_the_first_record_names_the_days_there_are(book: Path) -> None:
    run("record", book, "--on", "2026-11-20")
    for arguments in (
        ("declare", "--as-recorded", "2026-11-19"),
        ("changes", "--since", "2026-11-19"),
        ("record", "--show", "2026-11-19"),
    ):
        command, *options = arguments
        ran = run(command, book, *options)
        assert ran.code == 2
        assert "On record: 2026-11-20" in ran.err


def test_a_paper_is_printed_as_it_stood_though_the_book_is_another_now(kitchen: Kitchen, book: Path) -> None:
    run("record", book, "--on", "2026-11-20")
    then = run("declare", book, "--json", "--on", "2026-11-20").json()
    kitchen.write(ICE.replace("MILK powder", "HAZELNUTS"))
    now = run("declare", book, "--json", "--on", "2026-11-20").json()
    past = run("declare", book, "--json", "--as-recorded", "2026-11-22")
    assert past.json() == then
    assert now != then
    assert "As recorded for 2026-11-20, the last one on record up to 2026-11-22: record 1" in past.err
    assert "NOT" not in past.err
    for file in book.iterdir():
        file.unlink()
    book.rmdir()
    assert (
        run("declare", book, "--json", "--as-recorded", "2026-11-22").json() == then
    )  # the book need not be there any more


def test_a_record_made_afterwards_says_so(book: Path) -> None:
    run("record", book, "--on", "2026-01-05")
    assert (
        "It was made after 2026-01-05: nothing was on record by then."
        in run("declare", book, "--as-recorded", "2026-01-05").err
    )
    assert "It was made after" not in run("declare", book, "--as-recorded", today().isoformat()).err


def test_what_today_would_declare_otherwise_is_named(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # The vocabulary of an older tool is stood in for by evidence it would have read otherwise.
    from labeller.record import tool

    run("record", book, "--on", "2026-11-20")
    monkeypatch.setattr(tool, "__version__", "9.0.0")
    ran = run("declare", book, "--as-recorded", "2026-11-20", "--json")
    assert ran.code == 0
    assert "Since then changed: labeller 0.1.0, now 9.0.0." in ran.err
    assert "What is declared is the same." in ran.err


def test_another_result_by_another_tool_is_named_line_by_line(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with monkeypatch.context() as older:  # a tool that could not read the word
        older.setattr(
            "labeller.kitchen.evidence.evidence_from_spec",
            lambda _statement, *rest: evidence_from_spec("water", *rest),
        )
        run("record", book, "--on", "2026-11-20")
    ran = run("declare", book, "--as-recorded", "2026-11-20", "--json")
    assert "By today's tool it is NOT as it was declared then:" in ran.err
    assert "ice: milk: was 'not an ingredient', now 'contains' milk" in ran.err
    shown = run("record", book, "--show", "2026-11-20").json()
    assert rows(shown["declarations"][0])["milk"]["status"] == "none declared"  # what was said then, word for word
    told = run("changes", book, "--since", "2026-11-20")
    assert "The book's files are the same: every difference comes from the law" in told.out


def test_show_is_the_contracts_json_with_its_evidence(book: Path) -> None:
    run("record", book, "--on", "2026-11-20")
    shown = run("record", book, "--show", "2026-11-20")
    assert shown.code == 0
    document = shown.json()
    assert (
        document["declarations"]
        == run("declare", book, "--all", "--json", "--on", "2026-11-20").json()["declarations"]
    )
    assert document["evidence"]["cream powder"]["spec"]["statement"] == "MILK powder"
    assert set(document["files"]) == {"book.yaml"}
    assert run("record", book, "--show", "2026-11-20", "--jurisdiction", "us").code == 2


def test_a_note_of_bytes_that_are_no_text_does_no_harm(book: Path) -> None:
    assert run("record", book, "--note", "caf\udce9").code == 0
    assert run("record", book, "--verify").code == 0
    assert json.loads(run("record", book, "--list", "--json").out)["records"][0]["note"] == "caf?"


def test_an_answer_and_an_explanation_as_they_stood(kitchen: Kitchen, book: Path) -> None:
    run("record", book, "--on", "2026-11-20")
    kitchen.write(ICE.replace("MILK powder", "HAZELNUTS"))
    past = run("answer", book, "--of", "ice", "--about", "milk", "--json", "--as-recorded", "2026-11-20")
    assert (past.code, past.json()["status"]) == (0, "contains")
    assert run("answer", book, "--of", "ice", "--about", "milk", "--json").json()["status"] == "none declared"
    explained = run("explain", book, "--of", "ice", "--figure", "milk", "--as-recorded", "2026-11-20")
    assert "MILK powder" in explained.out
    assert "MILK powder" not in run("explain", book, "--of", "ice", "--figure", "milk").out
