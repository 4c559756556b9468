"""Files that are not what they seem: each gets a plain sentence with its mend, and nothing is written."""

import io
import zipfile
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from labeller.bringing_in import spreadsheets
from labeller.bringing_in.delimited import sniff_delimiter
from tests.bringing_in.test_odd_sheets import taken_lines
from tests.kitchens import Kitchen, Ran, run


def bring(folder: Path, name: str, raw: bytes, *more: str) -> tuple[Ran, Any, Path]:
    book = folder / "book"
    book.mkdir(exist_ok=True)
    Kitchen(book).write("", name="kitchen.yaml")
    path = folder / name
    path.write_bytes(raw)
    ran = run("import", path, "--into", book, "--json", *more)
    return ran, ran.json(), book


def workbook(*rows: list[Any]) -> bytes:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    for row in rows:
        sheet.append(row)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def packed(**files: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        for name, raw in files.items():
            made.writestr(name.replace("__", "/"), raw)
    return out.getvalue()


GOOD = workbook(["Ingredient", "Quantity", "Unit"], ["butter", 200, "g"])
# [MS-CFB] 2.2: a compound file begins with D0 CF 11 E0 A1 B1 1A E1; [MS-OFFCRYPTO] 2.3.4.4: an encrypted workbook keeps its
# content in a stream named EncryptedPackage; names of streams are UTF-16.
OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\x00" * 500

REFUSED = [
    ("old.xls", OLE, "old kind (.xls)", "save it as 'Excel workbook (.xlsx)'"),
    ("old.xlsx", OLE, "old kind (.xls)", "save it as"),
    ("locked.xlsx", OLE + "EncryptedPackage".encode("utf-16-le"), "protected by a password", "take the password off"),
    ("sheet.ods", packed(mimetype=b"application/vnd.oasis.opendocument.spreadsheet"), "OpenDocument", "save it as"),
    (
        "binary.xlsb",
        packed(xl__workbook_bin=b"").replace(b"workbook_bin", b"workbook.bin"),
        "binary workbook",
        "save it as",
    ),
    ("text.xlsx", packed(word__document_xml=b"<a/>"), "text document", "plain text"),
    ("other.xlsx", packed(readme=b"hello"), "no workbook lies in it", "give the spreadsheet"),
    ("cut.xlsx", GOOD[: len(GOOD) // 2], "damaged", "save it again"),
    ("noise.xlsx", b"PK\x03\x04" + b"noise" * 50, "damaged", "save it again"),
    ("words.xlsx", b"Ingredient,Quantity\nbutter,200 g\n", "named as a workbook and is none", "name it .csv"),
    ("paper.pdf", b"%PDF-1.7\n", "is a PDF", "spreadsheet it was made from"),
    ("empty.xlsx", b"", "is empty", "give the file again"),
    ("empty.csv", b"\n\n", "is empty", "give the file again"),
    ("picture.png", b"\x89PNG\r\n", "no kind that is read", "Give .xlsx"),
    ("noise.csv", b"\x00\x01\x02\x81\x8d" * 10, "", ""),
    ("half.csv", b"\xff\xfeI", "says it is UTF-16", "CSV UTF-8"),
    ("odd.csv", b"butter;\x81\x8d\x8f\n", "neither UTF-8 nor Windows-1252", "CSV UTF-8"),
]


@pytest.mark.parametrize(("name", "raw", "problem", "mend"), REFUSED, ids=[one[0] + " " + one[2] for one in REFUSED])
def test_refused_in_a_plain_sentence(tmp_path: Path, name: str, raw: bytes, problem: str, mend: str) -> None:
    ran, document, book = bring(tmp_path, name, raw)
    assert ran.code == 1
    assert any(problem in one["problem"] and mend in one["mend"] for one in document["faults"]), document["faults"]
    assert all("Error" not in one["problem"] or "damaged" in one["problem"] for one in document["faults"])
    assert not (book / "imported").exists()


def test_a_zip_bomb_is_not_opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(spreadsheets, "LARGEST_UNPACKED_BYTES", 1_000_000)
    raw = packed(xl__workbook_xml=b"<a/>", xl__worksheets__sheet1_xml=b"0" * 5_000_000)
    assert len(raw) < 20_000
    ran, document, _ = bring(tmp_path, "bomb.xlsx", raw)
    assert ran.code == 1
    assert "unpacked, this workbook is larger" in document["faults"][0]["problem"]


def test_names_declared_in_xml_are_not_opened(tmp_path: Path) -> None:
    out = io.BytesIO(GOOD)
    made = io.BytesIO()
    with zipfile.ZipFile(out) as old, zipfile.ZipFile(made, "w") as new:
        for info in old.infolist():
            raw = old.read(info)
            if info.filename.endswith("sheet1.xml"):
                raw = b'<!DOCTYPE a [<!ENTITY b "bbbbbbbbbb"><!ENTITY c "&b;&b;&b;&b;&b;">]>' + raw
            new.writestr(info.filename, raw)
    ran, document, _ = bring(tmp_path, "laughs.xlsx", made.getvalue())
    assert ran.code == 1
    assert "declares names of its own" in document["faults"][0]["problem"]


def test_a_file_too_large(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(spreadsheets, "LARGEST_FILE_BYTES", 1000)
    ran, document, _ = bring(tmp_path, "big.csv", b"a,b\n" * 1000)
    assert ran.code == 1
    assert "larger than" in document["faults"][0]["problem"]


def test_an_open_quotation_mark(tmp_path: Path) -> None:
    raw = b'Ingredient,Quantity,Unit\n"butter,200,g\n' + b"flour,300,g\n" * 20
    ran, document, _ = bring(tmp_path, "quote.csv", raw)
    assert ran.code == 1
    assert any("quotation mark" in one["problem"] and one["line"] == 2 for one in document["faults"])


def test_a_decimal_comma_that_cut_a_cell(tmp_path: Path) -> None:
    """'butter,1,5,kg' unquoted: the amount 1 and the unit 5 must not come in as one of anything."""
    ran, document, _ = bring(tmp_path, "cut.csv", b"Ingredient,Quantity,Unit\nbutter,1,5,kg\nflour,300,g\n")
    assert ran.code == 1
    assert any(one["line"] == 2 for one in document["faults"]), document


@pytest.mark.parametrize(
    ("text", "delimiter"),
    [
        ("a,b,c\n1,2,3\n", ","),
        ("a;b;c\n1,5;2,5;3,5\n", ";"),
        ("a\tb\tc\n1,5\t2\t3\n", "\t"),
        ("a|b|c\n1|2|3\n", "|"),
        ('"a, with a comma";b\n"c, too";d\n', ";"),
        ("name,amount\nflour; sifted,200 g\nbutter,100 g\n", ","),
    ],
)
def test_delimiters(text: str, delimiter: str) -> None:
    assert sniff_delimiter(text) == delimiter


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_encodings(tmp_path: Path, encoding: str) -> None:
    raw = "Zutat;Menge;Einheit\ncrème fraîche;200;g\nbutter;100;g\n".encode(encoding)
    ran, document, _ = bring(tmp_path, "sheet.csv", raw)
    assert ran.code == 0, document["faults"]
    assert taken_lines(document) == {"sheet": ("200 g crème fraîche", "100 g butter")}
    assert any("Windows-1252" in one["why"] for one in document["left"]) == (encoding == "cp1252")


def test_a_formula_with_its_value_is_read(tmp_path: Path) -> None:
    """A spreadsheet program keeps the value beside the formula: ECMA-376 Part 1, 18.3.1.40 (f) and 18.3.1.96 (v)."""
    raw = workbook(["Ingredient", "Quantity", "Unit"], ["butter", "=100*2", "g"])
    made = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(raw)) as old, zipfile.ZipFile(made, "w") as new:
        for info in old.infolist():
            text = old.read(info)
            if info.filename.endswith("sheet1.xml"):
                assert b"<f>100*2</f><v" in text
                text = text.replace(b"<f>100*2</f><v />", b"<f>100*2</f><v>200</v>").replace(
                    b"<f>100*2</f><v></v>", b"<f>100*2</f><v>200</v>"
                )
            new.writestr(info.filename, text)
    ran, document, _ = bring(tmp_path, "calculated.xlsx", made.getvalue())
    assert ran.code == 0, document["faults"]
    assert list(taken_lines(document).values()) == [("200 g butter",)]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["nowhere.xlsx", "--into", "book"], "is not there"),
        (["good.xlsx", "--into", "nowhere"], "is not a folder"),
        (["good.xlsx", "--into", "book", "--as", "menu"], "Write preparation or dish"),
        (["good.xlsx", "--into", "book", "--blank-means", "yes"], "Write unknown or none"),
        ([".", "--into", "book"], "holds the book itself"),
    ],
)
def test_wrong_usage(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: list[str], words: str) -> None:
    monkeypatch.chdir(tmp_path)
    Path("good.xlsx").write_bytes(GOOD)
    Path("book").mkdir()
    ran = run("import", *arguments)
    assert ran.code == 2
    assert words in ran.err


def test_a_book_without_a_kitchen(tmp_path: Path) -> None:
    (tmp_path / "book").mkdir()
    path = tmp_path / "good.xlsx"
    path.write_bytes(GOOD)
    ran = run("import", path, "--into", tmp_path / "book")
    assert ran.code == 1
    assert "no kitchen entry" in ran.out
