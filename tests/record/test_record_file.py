"""The file of a record: added to and never rewritten; what is no record, or damaged, is named in words and left as it was."""

import json
import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from labeller.record.faults_of_file import RecordFileError
from labeller.record.record_file import (
    APPLICATION_ID,
    TRIGGERS,
    Entry,
    append_record,
    reading,
    record_file_of,
    seal_of,
    sha256_of,
)
from labeller.record.verifying import verify_record


def add(
    path: Path, words: str = "a", day: str = "2026-11-20", note: str = "", law: str = "gb", wait: float = 5.0
) -> tuple[Entry, bool]:
    """Add a record whose only file holds these words."""
    raw = words.encode()
    manifest = json.dumps({"files": {"book.yaml": sha256_of(raw)}, "things": [], "evidence": {}}).encode()
    return append_record(
        path,
        {sha256_of(raw): raw, sha256_of(manifest): manifest},
        day=day,
        moment=f"{day}T10:00:00+00:00",
        jurisdiction=law,
        asked=False,
        note=note,
        manifest=sha256_of(manifest),
        wait_seconds=wait,
    )


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "book.declared.sqlite3"


@pytest.fixture
def three(path: Path) -> Iterator[Path]:
    for day, words in (("2026-11-20", "a"), ("2026-11-21", "b"), ("2026-11-22", "c")):
        add(path, words, day)
    yield path
    assert not path.with_name(path.name + "-journal").exists()
    assert not path.with_name(path.name + "-wal").exists()


def raw_file(path: Path) -> sqlite3.Connection:
    return sqlite3.connect(path, isolation_level=None)


def without_rules(path: Path, *statements: str) -> None:
    """Change a record the way somebody would who means to."""
    with closing(raw_file(path)) as file:
        for name in TRIGGERS:
            file.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            file.execute(statement)
        for name, rule in TRIGGERS.items():
            file.execute(f"CREATE TRIGGER {name} {rule}")


def test_the_record_lies_beside_the_book_under_its_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "my kitchen").mkdir()
    assert record_file_of(tmp_path / "my kitchen") == tmp_path / "my kitchen.declared.sqlite3"
    monkeypatch.chdir(tmp_path / "my kitchen")
    assert record_file_of(Path()) == tmp_path / "my kitchen.declared.sqlite3"
    assert record_file_of(Path("../my kitchen/")) == tmp_path / "my kitchen.declared.sqlite3"


def test_records_follow_each_other_by_number_and_seal(three: Path) -> None:
    with reading(three) as reader:
        first, second, third = reader.entries()
    assert [one.number for one in (first, second, third)] == [1, 2, 3]
    assert (first.previous, second.previous, third.previous) == ("", first.seal, second.seal)
    assert all(one.seal == one.expected_seal() for one in (first, second, third))
    entries, faults = verify_record(three)
    assert (len(entries), faults) == (3, ())


def test_a_seal_is_the_sha256_of_what_it_seals() -> None:
    # FIPS 180-4: SHA-256 of the JSON list, worked out here with the standard library's own function on the bytes typed out.
    import hashlib

    said = b'[1, "2026-11-20", "2026-11-20T10:00:00+00:00", "gb", false, "", "m", ""]'
    sealed = seal_of(
        1, "2026-11-20", "2026-11-20T10:00:00+00:00", "gb", asked=False, note="", manifest="m", previous=""
    )
    assert sealed == hashlib.sha256(said).hexdigest()


def test_the_same_content_on_the_same_day_adds_nothing(path: Path) -> None:
    first, added = add(path)
    again, added_again = add(path)
    assert (added, added_again) == (True, False)
    assert again == first
    assert add(path, day="2026-11-21")[1] is True  # another day is a record of its own
    assert add(path, law="eu")[1] is True
    assert add(path, note="looked through")[1] is True  # a new note is new
    assert add(path, note="looked through")[1] is False
    assert add(path, words="b")[1] is True
    assert add(path, words="a", note="")[1] is True  # back as it was is a change of that day too


def test_what_is_kept_already_is_not_kept_twice(path: Path) -> None:
    # 365 records of a book of 60 kB that does not change: the words once, and a line a day.
    words = os.urandom(30_000).hex()
    for day in range(60):
        add(path, words, f"2026-{1 + day // 28:02d}-{1 + day % 28:02d}")
    with closing(raw_file(path)) as file:
        assert file.execute("SELECT COUNT(*) FROM content").fetchone() == (2,)
        assert file.execute("SELECT COUNT(*) FROM record").fetchone() == (60,)
    assert path.stat().st_size < 120_000


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE record SET note = 'other'",
        "DELETE FROM record",
        "DELETE FROM content",
        "UPDATE content SET packed = x'00'",
        "INSERT OR REPLACE INTO content SELECT sha256, 1, x'00' FROM content LIMIT 1",
        "INSERT OR REPLACE INTO record SELECT 1, day, moment, jurisdiction, asked, 'other', manifest, previous, seal FROM record LIMIT 1",
        "INSERT INTO record SELECT 9, day, moment, jurisdiction, asked, note, manifest, previous, seal FROM record LIMIT 1",
        "INSERT INTO record SELECT 4, day, moment, jurisdiction, asked, note, manifest, 'other', seal FROM record LIMIT 1",
    ],
)
def test_the_file_itself_refuses_to_be_rewritten(three: Path, statement: str) -> None:
    with (
        closing(raw_file(three)) as file,
        pytest.raises(sqlite3.IntegrityError, match=r"never rewritten|added after the last"),
    ):
        file.execute(statement)
    assert verify_record(three)[1] == ()


@pytest.mark.parametrize(
    ("statement", "where"),
    [
        ("UPDATE record SET note = 'other' WHERE number = 2", "record 2, declared for 2026-11-21: its words are not those that were sealed"),
        ("UPDATE record SET day = '2026-01-01' WHERE number = 1", "record 1, declared for 2026-01-01: its words are not"),
        ("DELETE FROM record WHERE number = 2", "record 3, declared for 2026-11-22: record 2 before it is missing"),
        ("DELETE FROM content WHERE size = 1", "of its contents missing or changed"),
        ("UPDATE content SET packed = x'00' WHERE size = 1", "is not what was recorded"),
        ("UPDATE record SET seal = previous WHERE number = 1", "record 2, declared for 2026-11-21: it does not follow the record before it"),
    ],
)  # fmt: skip
def test_tampering_shows_where_the_chain_breaks(three: Path, statement: str, where: str) -> None:
    without_rules(three, statement)
    _, faults = verify_record(three)
    assert any(where in one for one in faults), faults


def test_a_resealed_record_breaks_the_one_after_it(three: Path) -> None:
    with reading(three) as reader:
        first = reader.entries()[0]
    forged = seal_of(1, first.day, first.moment, first.jurisdiction, first.asked, "forged", first.manifest, "")
    without_rules(three, f"UPDATE record SET note = 'forged', seal = '{forged}' WHERE number = 1")  # noqa: S608 - a test's own words
    _, faults = verify_record(three)
    assert any(one.startswith("record 2, declared for 2026-11-21: it does not follow") for one in faults)


def test_missing_rules_and_a_missing_end_show(three: Path) -> None:
    with reading(three) as reader:
        last = reader.entries()[-1].seal
    assert verify_record(three, last[:12])[1] == ()
    without_rules(three, "DELETE FROM record WHERE number = 3")
    assert verify_record(three)[1] == ()  # nothing inside can show it: that is what the seal kept elsewhere is for
    (fault,) = verify_record(three, last[:12])[1]
    assert "records were taken away" in fault
    with closing(raw_file(three)) as file:
        file.execute("DROP TRIGGER no_loss_of_record")
    assert any("'no_loss_of_record'" in one for one in verify_record(three)[1])


def untouched(path: Path, said: str, *, damaged: bool = False) -> None:
    """Expect that neither adding nor reading uses a file, that the words name it, and that it stays byte for byte."""
    before = path.read_bytes()
    with pytest.raises(RecordFileError, match=said) as adding:
        add(path)
    assert path.name in str(adding.value)
    assert adding.value.damaged is damaged
    with pytest.raises(RecordFileError) as looking:
        verify_record(path)
    assert path.name in str(looking.value)
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    "raw", [b"- kitchen: a book\n", b"\x00" * 4096, b"SQLite format 2\0" + b"\0" * 5000, "é".encode()]
)
def test_a_file_that_is_something_else_is_never_overwritten(path: Path, raw: bytes) -> None:
    path.write_bytes(raw)
    untouched(path, "is not a record of labeller")


def test_another_programs_sqlite_file_is_never_touched(path: Path) -> None:
    with closing(raw_file(path)) as file:
        file.execute("CREATE TABLE bookings (guest TEXT)")
    untouched(path, "is not a record of labeller")
    with closing(raw_file(path)) as file:
        file.execute("PRAGMA application_id = 77")
        file.execute("PRAGMA user_version = 1")
    untouched(path, "is not a record of labeller")


def test_a_record_of_a_newer_labeller_is_left_alone(three: Path) -> None:
    with closing(raw_file(three)) as file:
        file.execute("PRAGMA user_version = 2")
    untouched(three, "written by a newer labeller")


@pytest.mark.parametrize("keep", [100, 2000, 9000])
def test_a_cut_off_file_is_damaged(three: Path, keep: int) -> None:
    three.write_bytes(three.read_bytes()[:keep])
    untouched(three, "damaged", damaged=True)


def test_scrambled_pages_are_damage_in_words_and_never_a_stack_trace(three: Path) -> None:
    raw = bytearray(three.read_bytes())
    for place in range(4096, len(raw)):
        raw[place] ^= 0x5A
    three.write_bytes(bytes(raw))
    with pytest.raises(RecordFileError, match="is damaged"):
        verify_record(three)


def test_a_record_without_its_tables_is_damaged(path: Path) -> None:
    with closing(raw_file(path)) as file:
        file.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        file.execute("PRAGMA user_version = 1")
        file.execute("CREATE TABLE record (number INTEGER)")
    untouched(path, "its tables are missing", damaged=True)


def test_an_empty_file_is_a_record_not_begun(path: Path) -> None:
    path.touch()
    with pytest.raises(RecordFileError, match="nothing on record"):
        verify_record(path)
    assert add(path)[1] is True
    assert verify_record(path)[1] == ()


def test_a_read_only_file_is_read_and_not_written(three: Path) -> None:
    three.chmod(0o444)
    with pytest.raises(RecordFileError, match="read only"):
        add(three, "d")
    assert len(verify_record(three)[0]) == 3
    three.chmod(0o644)


@pytest.mark.parametrize("what", ["folder", "nowhere", "pipe"])
def test_a_place_that_cannot_be_a_record(tmp_path: Path, what: str) -> None:
    place = tmp_path / "nowhere" / "x.sqlite3" if what == "nowhere" else tmp_path / what
    if what == "folder":
        place.mkdir()
    if what == "pipe":
        os.mkfifo(place)
    with pytest.raises(RecordFileError, match=place.name):
        add(place)
    with pytest.raises(RecordFileError, match=place.name):
        verify_record(place)


def test_waiting_too_long_for_another_run_is_said(three: Path) -> None:
    with closing(raw_file(three)) as file:
        file.execute("BEGIN IMMEDIATE")
        with pytest.raises(
            RecordFileError, match=r"in use by another run and did not come free in 0\.1 seconds"
        ) as reason:
            add(three, "d", wait=0.1)
        assert not reason.value.damaged
        file.execute("ROLLBACK")
    assert add(three, "d")[1] is True


WORDS = st.text(max_size=60)


@pytest.mark.property
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(st.tuples(WORDS.map(lambda one: one.encode("utf-8", "replace").decode()), WORDS), min_size=1, max_size=5)
)
def test_whatever_is_added_is_read_back_and_the_chain_holds(
    tmp_path_factory: pytest.TempPathFactory, added: list[tuple[str, str]]
) -> None:
    path = tmp_path_factory.mktemp("record") / "r.sqlite3"
    kept = [add(path, words, note=note.encode("utf-8", "replace").decode())[0] for words, note in added]
    with reading(path) as reader:
        assert set(kept) == set(reader.entries())
        for (words, _), entry in zip(added, kept, strict=True):
            manifest = json.loads(reader.content(entry.manifest))
            assert reader.content(manifest["files"]["book.yaml"]) == words.encode()
    assert verify_record(path)[1] == ()
