"""Sheets and rolls of labels: what is written on the command line, and where it lies in the finished PDF, to a tenth of a millimetre."""

from io import BytesIO

import pdfplumber
import pytest

from labeller.printing import house
from labeller.printing.fitting import Block
from labeller.printing.label_layout import LabelPart, label_scale, one_label
from labeller.printing.label_stock import LabelStock, parse_stock
from labeller.printing.sheet_words import SheetWordsError
from tests.printing.labels_read import MM, pdf_of

TENTH_MM = 0.1


def first_letters(stock: LabelStock, count: int) -> list[list[tuple[float, float]]]:
    """Return where the first letter of each label lies on each page, from the top left. [mm]"""
    scale = label_scale(house.TUB, stock)
    piece = one_label("x", (LabelPart(Block("name", "Xo", house.plain_title(scale))),), stock, scale)
    assert piece is not None
    found = []
    with pdfplumber.open(BytesIO(pdf_of(stock, (piece,) * count))) as opened:
        for page in opened.pages:
            found.append([(one["x0"] * MM, one["top"] * MM) for one in page.chars if one["text"] == "X"])
    return found


def test_labels_lie_in_the_finished_file_where_the_sheet_has_them() -> None:
    """ISO 216: A4 is 210 mm x 297 mm. Three of 63.5 and two gaps of 2.5 are 195.5 mm, seven of 38.1 are 266.7 mm: centred."""
    stock = parse_stock(label="63.5x38.1", grid="3x7", margin="15.15x7.25", gap="2.5x0")
    page = first_letters(stock, 21)[0]
    assert len(page) == 21
    for number, (x, top) in enumerate(page):
        row, column = divmod(number, 3)
        assert x - page[0][0] == pytest.approx(column * 66.0, abs=TENTH_MM)
        assert top - page[0][1] == pytest.approx(row * 38.1, abs=TENTH_MM)
    moved = first_letters(parse_stock(label="63.5x38.1", grid="3x7", margin="17.15x8.25", gap="2.5x0"), 1)[0]
    assert moved[0][0] - page[0][0] == pytest.approx(1.0, abs=TENTH_MM)
    assert moved[0][1] - page[0][1] == pytest.approx(2.0, abs=TENTH_MM)
    # Within the first label itself, and clear of its edge.
    assert 7.25 + 1.5 < page[0][0] < 7.25 + 10.0
    assert 15.15 + 1.0 < page[0][1] < 15.15 + 10.0


def test_the_usual_sheets_and_geometry_named_by_size_alone() -> None:
    usual = parse_stock()
    assert (usual.width, usual.height) == (99.1, 57.0)
    # ISO 216: A4 is 210 mm x 297 mm. Two of 99.1 and a gap of 2.5 are 200.7 mm, five of 57 are 285 mm: centred.
    assert (
        first_letters(usual, 1)[0]
        == first_letters(parse_stock(label="99.1x57", grid="2x5", margin="6x4.65", gap="2.5x0"), 1)[0]
    )
    letter = parse_stock(paper="letter")
    assert letter.grid is not None
    assert (letter.grid.sheet_width, letter.grid.labels) == (215.9, 10)
    assert parse_stock(label="70x36").as_words == "labels of 70x36 mm, 3x8 on a sheet of 210x297 mm"
    # What is on no list goes edge to edge, as many as fit: 210 / 50 and 297 / 30.
    assert parse_stock(label="50x30").as_words == "labels of 50x30 mm, 4x9 on a sheet of 210x297 mm"
    assert parse_stock(paper="100x150", label="45x40", gap="2x2").as_words.endswith("2x3 on a sheet of 100x150 mm")


def test_a_sheet_begun_before() -> None:
    stock = parse_stock(start_at=5)
    pages = first_letters(stock, 20)
    assert [len(page) for page in pages] == [6, 10, 4]
    whole = first_letters(parse_stock(), 10)[0]
    assert pages[0][0] == pytest.approx(whole[4], abs=0.01)
    assert pages[1][0] == pytest.approx(whole[0], abs=0.01)


@pytest.mark.parametrize("size", ["63.5x38.1", "57x32", "102x152"])
def test_a_roll_has_pages_of_exactly_its_labels(size: str) -> None:
    stock = parse_stock(label=size, roll=True)
    scale = label_scale(house.TUB, stock)
    piece = one_label("x", (LabelPart(Block("name", "Xo", house.plain_title(scale))),), stock, scale)
    assert piece is not None
    with pdfplumber.open(BytesIO(pdf_of(stock, (piece, piece)))) as opened:
        assert len(opened.pages) == 2
        for page in opened.pages:
            width, height = (float(one) for one in size.split("x"))
            assert page.width * MM == pytest.approx(width, abs=TENTH_MM)
            assert page.height * MM == pytest.approx(height, abs=TENTH_MM)


def test_what_a_printer_cannot_reach_stays_clear_on_labels_at_the_edge() -> None:
    """Office printers leave about 4 mm white: common practice, no source."""
    stock = parse_stock(label="70x36")
    page = first_letters(stock, 24)[0]
    assert min(x for x, _ in page) >= 4.0
    assert stock.clear_edge == pytest.approx(4.0)


REFUSED = [
    (
        {"label": "10x10"},
        "--label: nothing can be read on a label of 10x10 mm. Write one whose sides are 15 mm or more.",
    ),
    ({"grid": "3x7"}, "--grid: '3x7' needs the size of a label as well, such as --label 63.5x38.1."),
    ({"margin": "3x7"}, "--margin: '3x7' needs the size of a label as well"),
    ({"roll": True, "grid": "3x7"}, "--grid: a roll has one label to a page. Leave --grid away, or --roll."),
    ({"roll": True, "start_at": 3}, "--start-at: a roll has no sheet to begin on."),
    ({"paper": "A5"}, "--paper: for a sheet of 'A5' write the size of its labels, such as --label 63.5x38.1."),
    ({"paper": "big"}, "--paper: 'big' is not a sheet."),
    ({"label": "63.5x38.1", "grid": "4x7"}, "4 labels across need 4 x 63.5 = 254 mm; the sheet is 210 mm wide."),
    ({"label": "300x300"}, "1 labels across need 1 x 300 = 300 mm"),
    ({"start_at": 22}, "--start-at: there is no label 22 on a sheet of 10. Write a number from 1 to 10."),
]


@pytest.mark.parametrize(("words", "said"), REFUSED)
def test_what_does_not_fit_together_is_refused_with_the_mend(words: dict[str, object], said: str) -> None:
    with pytest.raises(SheetWordsError) as refusal:
        parse_stock(**words)  # type: ignore[arg-type] # parametrized
    assert said in str(refusal.value)
