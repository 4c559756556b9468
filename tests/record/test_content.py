"""What a record holds: read back as it was declared, laid out as it was written, and held against what is declared later."""

from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from labeller.book.files import read_files
from labeller.cli.past import content_again, declarer_of
from labeller.demonstration.place import demonstration_book
from labeller.jurisdictions.packs import known_jurisdictions, load_jurisdiction
from labeller.record.changing import changes_of
from labeller.record.content import Content, content_of, packed, read_content
from labeller.record.faults_of_file import RecordFileError
from labeller.record.past import book_as_of, entry_as_of, last_entry
from labeller.record.record_file import Entry, append_record, reading, sha256_of
from labeller.record.tool import tool_in_use, tools_differ
from labeller.record.verifying import verify_record
from tests.kitchens import Kitchen, plate

DAY = date(2026, 11, 25)


def declared(folder: Path, law: str = "eu", day: date = DAY) -> tuple[Content, dict[str, bytes]]:
    files = read_files(folder).raw
    declarer = declarer_of(folder, law, day)
    assert declarer is not None
    return content_of(declarer, files), files


def kept(path: Path, content: Content, files: dict[str, bytes], day: str = "2026-11-25", *, made: str = "") -> Entry:
    manifest, parts = packed(content, files)
    moment = f"{made or day}T09:00:00+00:00"
    return append_record(
        path, parts, day=day, moment=moment, jurisdiction=content.law["code"], asked=False, note="", manifest=manifest
    )[0]


def read_back(path: Path, entry: Entry) -> Content:
    with reading(path) as reader:
        return read_content(reader, entry)


def test_the_demonstration_book_is_read_back_equal_and_laid_out_byte_for_byte(tmp_path: Path) -> None:
    book = demonstration_book()
    content, files = declared(book, "gb")
    path = tmp_path / "book.declared.sqlite3"
    entry = kept(path, content, files)
    assert read_back(path, entry) == content
    with book_as_of(path, DAY) as past:
        assert past.folder.name == "book"
        assert read_files(past.folder).raw == read_files(book).raw
        again, _ = declared(past.folder, past.jurisdiction, past.day)
        assert again == content
        folder = past.folder
    assert not folder.exists()


TEXT = st.text(
    st.characters(codec="utf-8", exclude_characters='"\\\n\r\x85\u2028\u2029', exclude_categories=("Cc", "Cs")),
    max_size=30,
)
BOOKS = st.lists(
    st.tuples(TEXT, st.sampled_from(["MILK", "HAZELNUTS, sugar", "brandy", "flour", ""]), st.integers(1, 500)),
    min_size=1,
    max_size=4,
)


@pytest.mark.property
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(BOOKS)
def test_whatever_is_declared_is_read_back_equal(
    tmp_path_factory: pytest.TempPathFactory, book: list[tuple[str, str, int]]
) -> None:
    folder = tmp_path_factory.mktemp("any")
    kitchen = Kitchen(folder / "book")
    text = ""
    for place, (description, statement, grams) in enumerate(book):
        spec = f'  spec: {{statement: "{statement}"}}\n' if statement else ""
        text += f"- ingredient: thing {place}\n{spec}" + plate(f"{grams} g thing {place}", name=f"dish {place}")
        text += f'  description: "{description}"\n'
    content, files = declared(kitchen.write(text).folder)
    entry = kept(folder / "r.sqlite3", content, files)
    assert read_back(folder / "r.sqlite3", entry) == content
    assert changes_of(content, read_back(folder / "r.sqlite3", entry)).nothing


@pytest.mark.parametrize("law", known_jurisdictions())
def test_every_law_on_its_first_day_and_today(tmp_path: Path, law: str) -> None:
    days = [day for day in load_jurisdiction(law).changes() if day < DAY]
    for place, day in enumerate((load_jurisdiction(law).first, *days[-2:], DAY)):
        content = content_again(demonstration_book(), law, day)
        if content is None:
            assert day < DAY  # a law of long ago without rules for figures: every command says so in words
            continue
        entry = kept(tmp_path / f"{place}.sqlite3", content, {}, day.isoformat())
        assert read_back(tmp_path / f"{place}.sqlite3", entry) == content
    assert content is not None
    assert content.things


def test_a_changed_line_adds_only_what_it_touches(kitchen: Kitchen) -> None:
    text = "".join(plate(f"{10 + n} g sugar", name=f"dish {n}") for n in range(10))
    first = packed(*declared(kitchen.write(text).folder))[1]
    second = packed(*declared(kitchen.write(text.replace("15 g sugar", "16 g sugar")).folder))[1]
    assert len(set(second) - set(first)) == 3  # the dish, the file, and the list of contents


def test_evidence_holds_the_paper_word_for_word(kitchen: Kitchen) -> None:
    spec = '  spec: {supplier: a mill, reference: M-1, dated: 2026-10-01, statement: "sugar, HAZELNUTS", may_contain: milk}\n'
    content, _ = declared(
        kitchen.write(f"- ingredient: paste\n  composition: sr28:19335\n{spec}" + plate("1 g paste")).folder
    )
    paste = content.evidence["paste"]
    assert paste["composition"] == "sr28:19335"
    assert paste["spec"] == {
        "supplier": "a mill", "reference": "M-1", "dated": "2026-10-01", "statement": "sugar, HAZELNUTS",
        "declares": None, "covers_all": False, "may_contain": ["milk"],
    }  # fmt: skip
    assert [one["source"] for one in paste["contains"]] == ["hazelnut"]


def entry(number: int, day: str, moment: str = "", law: str = "gb", *, asked: bool = False) -> Entry:
    return Entry(number, day, f"{moment or day}T09:00:00+00:00", law, asked, "", "m", "", "s")


@pytest.mark.parametrize(
    ("day", "law", "number"),
    [
        ("2026-11-19", None, None), ("2026-11-20", None, 1), ("2026-11-21", None, 1), ("2026-11-22", None, 3), ("2027-01-01", None, 3),
        ("2026-11-22", "us", 4), ("2026-11-22", "ca", 4),
    ],
)  # fmt: skip
def test_which_record_holds_for_a_day(day: str, law: str | None, number: int | None) -> None:
    entries = (
        entry(1, "2026-11-20"), entry(2, "2026-11-22"), entry(3, "2026-11-22"), entry(4, "2026-11-22", law="us", asked=True),
    )  # fmt: skip
    found = entry_as_of(entries, date.fromisoformat(day), law)
    assert (found.number if found else None) == number


def test_what_was_recorded_afterwards_for_a_day_does_not_push_out_what_was_on_file() -> None:
    entries = (entry(1, "2026-11-20"), entry(2, "2026-11-20", "2026-11-25"))
    found = entry_as_of(entries, date(2026, 11, 20))
    assert found is not None
    assert found.number == 1
    only_later = entry_as_of(entries[1:], date(2026, 11, 20))
    assert only_later is not None
    assert only_later.number == 2
    assert last_entry((*entries, entry(3, "2026-11-25", law="us", asked=True))) == entries[1]
    assert last_entry(()) is None


@pytest.mark.parametrize("path", ["../outside.yaml", "/etc/outside.yaml", "a/../../outside.yaml", "."])
def test_a_recorded_path_never_leads_out_of_the_folder(kitchen: Kitchen, tmp_path: Path, path: str) -> None:
    content, files = declared(kitchen.write(plate("1 g sugar")).folder)
    raw = next(iter(files.values()))
    content.files.clear()
    content.files[path] = sha256_of(raw)
    kept(tmp_path / "r.sqlite3", content, files)
    with pytest.raises(RecordFileError, match="outside the book"), book_as_of(tmp_path / "r.sqlite3", DAY):
        pass
    assert not (tmp_path / "outside.yaml").exists()


@pytest.mark.parametrize(
    "manifest", [b"[]", b"{}", b"no json", b'{"things": 3}', b'{"things": [{"kind": 1}]}', b"\xff"]
)
def test_a_list_of_another_shape_is_damage_in_words(tmp_path: Path, manifest: bytes) -> None:
    path = tmp_path / "r.sqlite3"
    append_record(
        path, {sha256_of(manifest): manifest}, day="2026-11-25", moment="2026-11-25T09:00:00+00:00", jurisdiction="eu",
        asked=False, note="", manifest=sha256_of(manifest),
    )  # fmt: skip
    with pytest.raises(RecordFileError, match="has not the shape of a record"), book_as_of(path, DAY):
        pass
    assert isinstance(verify_record(path)[1], tuple)  # never a stack trace


def test_a_book_of_one_file_with_any_name_is_laid_out_so_that_it_opens(tmp_path: Path, kitchen: Kitchen) -> None:
    single = kitchen.write(plate("1 g sugar"), name="everything.txt").folder / "everything.txt"
    content, files = declared(single)
    kept(tmp_path / "r.sqlite3", content, files)
    with book_as_of(tmp_path / "r.sqlite3", DAY) as past:
        assert declared(past.folder)[0] == content


def test_the_tool_is_named_with_the_hash_of_its_law_and_tables() -> None:
    tool = tool_in_use("gb")
    assert set(tool) >= {
        "labeller",
        "the law of gb",
        "the vocabulary of allergens",
        "the composition table",
        "the shelf",
    }
    assert all(len(value) == 64 for name, value in tool.items() if name != "labeller")
    assert tools_differ(tool, tool) == ()
    assert tools_differ({"labeller": "0.1.0", "the shelf": "a" * 64}, {"labeller": "0.2.0", "the shelf": "b" * 64}) == (
        "labeller 0.1.0, now 0.2.0", "the shelf (aaaaaaaa, now bbbbbbbb)",
    )  # fmt: skip
