"""Hostile and broken files: a fault with file and line each, never an exception, never a hang, nothing run."""

import os
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from labeller.book.entries import Book
from labeller.book.fields import Notes
from labeller.book.reading import read_files
from labeller.book.sizes import LARGEST_FILE_BYTES
from labeller.book.yaml_tree import parse_tree

ReadBook = Callable[..., tuple[Book | None, Notes]]

LONGEST_SECONDS = 2.0

ALIAS_BOMB = "- &a0 [x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"- &a{level} [{', '.join([f'*a{level - 1}'] * 9)}]\n" for level in range(1, 12)
)
WIDE_ALIASES = (
    "- dish: d\n  plate: &p\n"
    + "    - 5 g zzyzx\n" * 500
    + "".join(f"- dish: d{number}\n  plate: *p\n" for number in range(2000))
)

# (what it is, the file, words of the first fault, its line or None where the file as a whole is meant)
HOSTILE: list[tuple[str, bytes, str, int | None]] = [
    ("deep brackets", b"- a\n- " + b"[" * 100_000, "stand more than 30 deep here", 2),
    ("deep braces", b"{a: " * 50_000, "stand more than 30 deep here", 1),
    (
        "deep indents",
        "".join(" " * depth + "-\n" for depth in range(500)).encode(),
        "stand more than 30 deep here",
        None,
    ),
    ("alias bomb", ALIAS_BOMB.encode(), "this file stands for more entries than a book can hold", None),
    ("wide aliases", WIDE_ALIASES.encode(), "this file stands for more entries than a book can hold", None),
    ("an alias to nothing", b"- ingredient: *nobody\n", "'*nobody' points at nothing above it", 1),
    ("an alias to itself", b"- &a [*a]\n", "'*a' points at nothing above it", 1),
    ("5 MB", b"- ingredient: a\n" * 330_000, "this file is 5.3 MB; a file of a book holds at most 2 MB", None),
    ("5 MB on one line", b"x" * 5_000_000, "this file is 5.0 MB", None),
    ("Latin-1", "- ingredient: a\n- ingredient: crème\n".encode("latin-1"), "the byte 0xe8 is not UTF-8 text", 2),
    ("UTF-16", "- ingredient: a\n".encode("utf-16"), "the byte 0xff is not UTF-8 text", 1),
    ("UTF-16 without a mark", "- ingredient: a\n".encode("utf-16-le"), "a character that is not text (code 0)", 1),
    ("half a letter", b"- ingredient: a\n- ingredient: \xe2\x82\n", "the byte 0xe2 is not UTF-8 text", 2),
    ("a surrogate", b"- ingredient: \xed\xa0\x80\n", "the byte 0xed is not UTF-8 text", 1),
    ("NUL", b"- ingredient: a\n- ingredient: b\x00c\n", "a character that is not text (code 0)", 2),
    ("an escape sign", b"- ingredient: a\x1b[31m\n", "a character that is not text (code 27)", 1),
    ("a mapping", b"ingredient: a\n", "this file is not a list of entries", 1),
    ("a quote not closed", b'- ingredient: a\n- ingredient: "b\n', "a quote is opened and not closed near here", None),
    ("a bracket not closed", b"- ingredient: a\n  also: [b\n- ingredient: c\n", "is not readable", None),
    ("a tab", b"- ingredient: a\n\talso: b\n", "begins with a tab", 2),
    ("a percent sign", b"- ingredient: a\n  keeps: %5\n", "is not readable", None),
    ("an at sign", b"- ingredient: @b\n", "is not readable", 1),
    ("a colon in a text", b"- ingredient: a: b: c\n", "is not readable", 1),
    ("a list for a key", b"- ? [a, b]\n  : c\n", "a key is a list or an entry here, not a word", 1),
    ("an entry for a name", b"- ingredient: {a: b}\n", "this ingredient has no name", 1),
    ("a list of lists", b"- [[[]]]\n", "this is not an entry", 1),
    ("a long name", b"- ingredient: " + b"a" * 300 + b"\n", "is longer than a name can be", 1),
    ("a long line", b"- dish: d\n  plate: [5 g " + b"a" * 900_000 + b"]\n", "is longer than any amount", 2),
    (
        "many commas",
        b"- dish: d\n  plate:\n" + (b"    - 5 g " + b"a," * 240 + b"\n") * 3000,
        "is not an ingredient",
        3,
    ),
    ("many digits", b"- dish: d\n  plate: ['" + b"9" * 400 + b" g salt']\n", "is ", 2),
    (
        "many unknown keys",
        b"- ingredient: a\n" + b"".join(b"  key%d: x\n" % n for n in range(20_000)),
        "is not a key of",
        2,
    ),
    ("many unknown kinds", b"".join(b"- ingredeint%d: x\n" % n for n in range(30_000)), "is not a kind of entry", 1),
    ("many same keys", b"- ingredient: a\n" + b"  keeps: x\n" * 30_000, "'keeps' is given twice", 3),
    ("many same names", b"- ingredient: a\n" * 20_000, "'a' is given twice", 2),
    (
        "many unknown names",
        b"- dish: d\n  plate:\n" + b"".join(b"    - 5 g zz%dyx\n" % n for n in range(8_000)),
        "is not an",
        3,
    ),
]


@pytest.mark.parametrize(("raw", "words", "line"), [one[1:] for one in HOSTILE], ids=[one[0] for one in HOSTILE])
def test_a_hostile_file_gets_a_fault_and_no_hang(read: ReadBook, raw: bytes, words: str, line: int | None) -> None:
    started = time.process_time()
    book, notes = read(hostile=raw, good="- ingredient: good\n")
    taken = time.process_time() - started
    assert book is not None
    assert "good" in book.ingredients  # the rest of the book is read all the same
    assert notes.faults
    assert {fault.origin.path for fault in notes.faults} == {"hostile.yaml"}
    assert words in notes.faults[0].problem
    assert notes.faults[0].mend
    if line is not None:
        assert notes.faults[0].origin.line == line
    assert max(len(fault.problem) for fault in notes.faults) < 900
    assert taken < LONGEST_SECONDS


HARMLESS: list[tuple[str, bytes]] = [
    ("empty", b""),
    ("spaces", b"   \n\n"),
    ("a comment", b"# nothing yet\n"),
    ("a document mark", b"---\n"),
    ("two documents", b"---\n- ingredient: a\n---\n- ingredient: b\n"),
    ("null", b"~\n"),
    ("a byte-order mark", b"\xef\xbb\xbf- ingredient: a\n"),
    ("Windows line ends", b"- ingredient: a\r\n  keeps: x\r\n"),
    ("an empty list", b"[]\n"),
    ("a shared part", b"- dish: d\n  plate: &p [5 g salt]\n- dish: e\n  plate: *p\n"),
]


@pytest.mark.parametrize(
    "raw", [one[1] for one in HARMLESS if one[0] != "null"], ids=[one[0] for one in HARMLESS if one[0] != "null"]
)
def test_a_harmless_file_gets_no_fault(read: ReadBook, raw: bytes) -> None:
    book, notes = read(harmless=raw)
    assert [fault.as_text() for fault in notes.faults] == []
    assert book is not None


@pytest.mark.parametrize(
    "tag",
    [
        "!!python/object/apply:os.system ['touch {marker}']",
        "!!python/object/new:os.system ['touch {marker}']",
        "!!python/object/apply:subprocess.call [[touch, '{marker}']]",
        "!!python/name:os.system",
        "!!python/module:os",
        "!<tag:yaml.org,2002:python/object/apply:os.system> ['touch {marker}']",
    ],
)
def test_no_tag_of_a_book_is_honoured(read: ReadBook, tmp_path: Path, tag: str) -> None:
    marker = tmp_path / "was run"
    text = tag.replace("{marker}", str(marker))
    book, _ = read(f"- ingredient: a\n  keeps: {text}\n", f"- {text}\n", f"{text}\n")
    assert book is not None
    assert not marker.exists()


def test_a_tag_does_not_turn_text_into_something_else(read: ReadBook) -> None:
    book, _ = read("- ingredient: a\n  keeps: !!int 012\n")
    assert book is not None
    assert book.ingredients["a"].keeps == "012"


def test_a_file_as_large_as_allowed_is_refused_by_a_byte_more() -> None:
    assert LARGEST_FILE_BYTES == 2_000_000  # the fault says "at most 2 MB"


YAML_SIGNS = st.text(alphabet="-:[]{}#&*!|>'\"%@`?,~ \n\tab05½/.\x85\u2028", max_size=120)
PIECES = st.sampled_from(
    [
        "- ", "ingredient", "preparation", "dish", "menu", "kitchen", ": ", "\n", "\n  ", "\n    - ", "takes", "plate",
        "method", "gives", "per_100_g", "spec", "{", "}", "[", "]", ", ", "250 g salt", "about", "1/0", "½", "0,5 l gin",
        "all", "half the ", "1/8 of the ", "to taste", "up to ", "removed", "optional", "or ", "{take: ", "swap", "strain",
        "macerate", "heat", "fry", "add", "reduce", "trim", "12 %", "loses", "solids", "liquor", "what", "in", "NO", "1.10",
        "#", "&a ", "*a", "!!python/object:x ", "|", ">", "'", '"', "sections", "shared_equipment", "measures", "also",
        "declares", "statement", "may_contain", "dated", "2026-02-30", "fat_g", "1e400", "-5", "makes", "serves", "é", "\u0000",
    ]
)  # fmt: skip


def reads_without_raising(read: ReadBook, raw: bytes) -> None:
    for kitchen in ("gb", None):
        _, notes = read(raw, kitchen=kitchen)
        for fault in (*notes.faults, *notes.advice):
            assert fault.problem
            assert fault.mend
            assert fault.origin.path
            assert fault.as_text()


@pytest.mark.property
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(raw=st.binary(max_size=200))
def test_no_bytes_make_the_reader_raise(read: ReadBook, raw: bytes) -> None:
    reads_without_raising(read, raw)


@pytest.mark.property
@settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(text=st.one_of(st.text(max_size=200), YAML_SIGNS))
def test_no_text_makes_the_reader_raise(read: ReadBook, text: str) -> None:
    reads_without_raising(read, text.encode("utf-8", "surrogatepass"))


@pytest.mark.property
@settings(max_examples=400, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(pieces=st.lists(PIECES, max_size=40))
def test_no_heap_of_the_book_s_own_words_makes_the_reader_raise(read: ReadBook, pieces: list[str]) -> None:
    reads_without_raising(read, "".join(pieces).encode())


@pytest.mark.property
@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(pieces=st.lists(PIECES, max_size=12), text=st.text(max_size=30))
def test_no_line_makes_the_reader_raise(read: ReadBook, pieces: list[str], text: str) -> None:
    line = "".join([*pieces, text]).replace("'", "''").replace("\n", " ")
    entries = (
        f"- dish: d\n  plate: ['{line}']\n- preparation: p\n  takes: ['{line}', 5 g salt]\n  method: ['{line}']\n"
    )
    reads_without_raising(read, entries.encode("utf-8", "replace"))


@pytest.mark.property
@settings(max_examples=150, deadline=None)
@given(text=st.one_of(st.text(max_size=200), YAML_SIGNS))
def test_no_text_makes_the_tree_raise(text: str) -> None:
    documents, told = parse_tree(text, "x.yaml")
    assert isinstance(documents, list)
    assert all(fault.origin.line >= 1 for fault in told)


def test_what_is_no_plain_file_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.yaml")
    (tmp_path / "nowhere.yaml").symlink_to(tmp_path / "missing.yaml")
    (tmp_path / "folder.yaml").mkdir()
    (tmp_path / "large.yaml").write_bytes(b"# " + b"x" * 3_000_000)
    (tmp_path / "loop").symlink_to(tmp_path)
    (tmp_path / "good.yaml").write_text("- ingredient: a\n", encoding="utf-8")
    found = read_files(tmp_path)
    assert list(found.raw) == ["good.yaml"]
    assert [fault.as_text().splitlines()[0] for fault in found.faults] == [
        "large.yaml: file: this file is 3.0 MB; a file of a book holds at most 2 MB.",
        "nowhere.yaml: file: this file is not readable.",
        "pipe.yaml: file: this is not a plain file.",
    ]


def test_a_file_name_that_is_no_text_can_be_printed(tmp_path: Path) -> None:
    Path(os.fsdecode(os.fsencode(tmp_path) + b"/caf\xe9.yaml")).write_text("nonsense", encoding="utf-8")
    (path,) = read_files(tmp_path).raw
    assert path.encode("utf-8").decode("utf-8") == "caf\ufffd.yaml"


def test_names_that_cannot_be_told_apart_hide_no_file(tmp_path: Path) -> None:
    for letter, name in ((b"\xfe", "gin"), (b"\xff", "rum")):
        file = Path(os.fsdecode(os.fsencode(tmp_path) + b"/" + letter + b".yaml"))
        file.write_text(f"- ingredient: {name}\n", encoding="utf-8")
    (fault,) = read_files(tmp_path).faults
    assert "one would hide the other" in fault.problem


def test_a_linked_folder_is_not_passed_over_in_silence(tmp_path: Path) -> None:
    """What lies there is not read, and the plain good of the shelf would stand in for the house's own."""
    (tmp_path / "suppliers").mkdir()
    (tmp_path / "book").mkdir()
    (tmp_path / "book" / "goods").symlink_to(tmp_path / "suppliers")
    (fault,) = read_files(tmp_path / "book").faults
    assert fault.as_text().startswith("goods: folder: this is a link to a folder outside the book")


def test_a_folder_that_cannot_be_listed_is_a_fault(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "locked").mkdir()
    real = os.scandir

    def refused(path: str) -> Iterator[os.DirEntry[str]]:
        if os.path.basename(path) == "locked":  # noqa: PTH119 - as os.walk hands it over
            raise PermissionError(13, "Permission denied", path)
        return real(path)

    monkeypatch.setattr(os, "scandir", refused)
    (fault,) = read_files(tmp_path).faults
    assert fault.as_text().startswith("locked: folder: this folder is not readable.")
