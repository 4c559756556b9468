"""Sheets of labels and cards: geometry to a tenth of a millimetre, and words about what does not fit."""

import pytest

from labeller.printing.layout_checks import layout_problems
from labeller.printing.page import Document, Margins, Rule
from labeller.printing.sheet_words import (
    SheetWordsError,
    check_copies,
    check_start,
    parse_gap,
    parse_grid,
    parse_label_size,
    parse_margin,
    parse_sheet,
)
from labeller.printing.sheets import COMMON_GRIDS, Piece, cards_on_sheet, label_grid, put_on_roll, put_on_sheets
from tests.printing.specimens import DAY, card, label

A4 = (210.0, 297.0)


def test_what_is_written_is_read() -> None:
    assert parse_label_size("63.5x38.1") == (63.5, 38.1)
    assert parse_label_size("63,5 × 38,1 mm") == (63.5, 38.1)
    assert parse_grid("3x7") == (3, 7)
    assert parse_margin("15.15x7.25") == (15.15, 7.25)
    assert parse_gap("2.5x0") == (2.5, 0.0)
    # ISO 216: A4 is 210 mm by 297 mm; US Letter is 8 1/2 by 11 inches.
    assert parse_sheet("a4") == (210.0, 297.0)
    assert parse_sheet("Letter") == pytest.approx((8.5 * 25.4, 11.0 * 25.4))
    assert parse_sheet("100x150") == (100.0, 150.0)
    assert check_start(5, 21) == 5
    assert check_copies(3) == 3


REFUSED = [
    (
        lambda: parse_label_size("63.5"),
        "--label: '63.5' is not a size. Write width x height in millimetres, such as 63.5x38.1.",
    ),
    (lambda: parse_label_size("-3x4"), "--label: '-3x4' is not a size."),
    (lambda: parse_label_size("0x38"), "--label: '0x38' has a side of 0."),
    (lambda: parse_label_size("9000x38"), "--label: '9000x38' is longer than 2000 mm."),
    (lambda: parse_label_size("1e3x4"), "--label: '1e3x4' is not a size."),
    (lambda: parse_label_size("nanxinf"), "--label: 'nanxinf' is not a size."),
    (lambda: parse_grid("3.5x7"), "--grid: '3.5x7' is not a grid. Write labels across x labels down, such as 3x7."),
    (lambda: parse_grid("0x7"), "--grid: '0x7' is not a grid."),
    (lambda: parse_grid("three"), "--grid: 'three' is not a grid."),
    (lambda: parse_margin("15"), "--margin: '15' is not a margin. Write from the top x from the left in millimetres"),
    (lambda: parse_gap(""), "--gap: '' is not a gap."),
    (lambda: parse_sheet("A9"), "--sheet: 'A9' is not a sheet. Write A3, A4, "),
    (lambda: parse_sheet("big"), "--sheet: 'big' is not a sheet."),
    (lambda: check_start(22, 21), "--start-at: there is no label 22 on a sheet of 21. Write a number from 1 to 21."),
    (lambda: check_start(0, 21), "--start-at: there is no label 0"),
    (lambda: check_copies(0), "--copies: 0 copies cannot be printed."),
]


@pytest.mark.parametrize(("call", "words"), REFUSED)
def test_what_cannot_be_read_is_quoted_with_its_mend(call: object, words: str) -> None:
    assert callable(call)
    with pytest.raises(SheetWordsError) as raised:
        call()
    assert words in str(raised.value)


def test_a_grid_with_its_margin_lies_where_it_says() -> None:
    grid = label_grid(A4, (63.5, 38.1), (3, 7), (15.15, 7.25), (2.5, 0.0))
    # By hand: 7.25 + 2 x (63.5 + 2.5) = 139.25 across; 15.15 + 6 x 38.1 = 243.75 down.
    assert (grid.cell(0).x, grid.cell(0).y) == (7.25, 15.15)
    assert grid.cell(20).x == pytest.approx(139.25, abs=0.05)
    assert grid.cell(20).y == pytest.approx(243.75, abs=0.05)
    assert grid.cell(3).x == pytest.approx(7.25)
    assert grid.cell(3).y == pytest.approx(15.15 + 38.1)
    assert grid.labels == len(grid.cells) == 21


def test_without_a_margin_the_labels_are_centred() -> None:
    grid = label_grid(A4, (63.5, 38.1), (3, 7), gap=(2.5, 0.0))
    # (210 - 3 x 63.5 - 2 x 2.5) / 2 = 7.25; (297 - 7 x 38.1) / 2 = 15.15.
    assert grid.left == pytest.approx(7.25, abs=0.05)
    assert grid.top == pytest.approx(15.15, abs=0.05)


def test_a_grid_wider_than_its_sheet_is_refused_with_the_figures() -> None:
    with pytest.raises(SheetWordsError) as raised:
        label_grid(A4, (63.5, 38.1), (4, 7))
    assert str(raised.value) == (
        "4 labels across need 4 x 63.5 = 254 mm; the sheet is 210 mm wide. Write fewer labels, a smaller label or margin, or another sheet."
    )
    with pytest.raises(
        SheetWordsError,
        match=r"3 labels across need 20 margin \+ 3 x 63\.5 \+ 2 gaps of 2\.5 = 215\.5 mm; the sheet is 210 mm wide",
    ):
        label_grid(A4, (63.5, 38.1), (3, 7), (10.0, 20.0), (2.5, 0.0))
    with pytest.raises(SheetWordsError, match=r"8 labels down need 8 x 38\.1 = 304\.8 mm; the sheet is 297 mm high"):
        label_grid(A4, (63.5, 38.1), (3, 8))


@pytest.mark.parametrize("name", COMMON_GRIDS)
def test_common_sheets_are_named_by_their_geometry(name: str) -> None:
    sheet, count, size = name.split()
    grid = COMMON_GRIDS[name]
    assert (grid.sheet_width, grid.sheet_height) == parse_sheet(sheet)
    assert (grid.columns, grid.rows) == parse_grid(count)
    assert (grid.label_width, grid.label_height) == parse_label_size(size)
    assert all(cell.x >= -1e-9 and cell.right <= grid.sheet_width + 1e-9 for cell in grid.cells)
    assert all(cell.y >= -1e-9 and cell.bottom <= grid.sheet_height + 1e-9 for cell in grid.cells)
    assert not any(one.overlaps(other) for n, one in enumerate(grid.cells) for other in grid.cells[n + 1 :])


def test_what_a_printer_cannot_reach_is_kept_clear_in_every_label() -> None:
    edge_to_edge = label_grid(A4, (105.0, 74.0), (2, 4))
    assert edge_to_edge.clear_edge(Margins(4.0, 4.0, 4.0, 4.0)) == pytest.approx(4.0)
    assert COMMON_GRIDS["A4 3x7 63.5x38.1"].clear_edge(Margins(4.0, 4.0, 4.0, 4.0)) == 0.0


def test_labels_go_along_the_rows_from_the_first_free_one_and_onto_a_second_sheet() -> None:
    grid = COMMON_GRIDS["A4 2x4 99.1x67.7"]
    pages = put_on_sheets([label()] * 9, grid, start_at=5)
    assert len(pages) == 2
    names = [[line for line in page.lines if line.text == "Hazelnut and plum cake"] for page in pages]
    assert [len(one) for one in names] == [4, 5]
    first = names[0][0]
    assert grid.cell(4).holds(first.ink_box)
    assert grid.cell(0).holds(names[1][0].ink_box)
    assert grid.cell(1).holds(names[1][1].ink_box)
    # Blocks of copies are told apart, or the second copy would read as a part of the first.
    blocks = [line.block for page in pages for line in page.lines if line.text == "Hazelnut and plum cake"]
    assert len(set(blocks)) == 9
    assert layout_problems(Document(pages, "Labels", "en", "labels", DAY)) == ()


def test_a_piece_of_another_size_is_our_own_mistake() -> None:
    with pytest.raises(ValueError, match=r"'label' is laid out for 99\.1x67\.7, the sheet has 63\.5x38\.1"):
        put_on_sheets([label()], COMMON_GRIDS["A4 3x7 63.5x38.1"])


def test_a_roll_has_one_label_a_page() -> None:
    pages = put_on_roll([label(), label()])
    assert [(page.width, page.height) for page in pages] == [(99.1, 67.7)] * 2
    assert layout_problems(Document(pages, "Labels", "en", "labels", DAY)) == ()


CARDS = [
    # ISO 216: each size is half the one before, so an A4 sheet has 2 A5, 4 A6, 8 A7 cards, whichever way they are turned.
    ("A4", (148.0, 210.0), 2),
    ("A4", (105.0, 148.0), 4),
    ("A4", (148.0, 105.0), 4),
    ("A4", (74.0, 105.0), 8),
    ("A4", (105.0, 74.0), 8),
    ("Letter", (105.0, 148.0), 2),
    ("Letter", (105.0, 74.0), 6),
]


@pytest.mark.parametrize(("sheet", "size", "count"), CARDS)
def test_as_many_cards_on_a_sheet_as_it_holds(sheet: str, size: tuple[float, float], count: int) -> None:
    grid = cards_on_sheet(parse_sheet(sheet), size)
    assert grid.labels == count
    assert sorted((grid.sheet_width, grid.sheet_height)) == sorted(parse_sheet(sheet))
    assert all(
        cell.right <= grid.sheet_width + 0.05 and cell.bottom <= grid.sheet_height + 0.05 for cell in grid.cells
    )


def test_a_card_larger_than_the_sheet_is_refused() -> None:
    with pytest.raises(SheetWordsError, match=r"A card of 300x400 mm does not fit a sheet of 210x297 mm"):
        cards_on_sheet(A4, (300.0, 400.0))


def crop_marks(sheet: tuple[float, float], piece: Piece) -> tuple[list[Rule], Document]:
    pages = put_on_sheets([piece] * 2, cards_on_sheet(sheet, (piece.width, piece.height)), crop_marks=True)
    return [item for item in pages[0].items if isinstance(item, Rule) and item.crop], Document(
        pages, "Cards", "en", "cards", DAY
    )


def test_crop_marks_stand_at_the_ends_of_every_cut() -> None:
    marks, document = crop_marks(A4, card())
    # Four A6 cards fill an A4 sheet: one cut down at 105 mm, one across at 148.5 mm (297 / 2, the cards being 148).
    assert {mark.x1 for mark in marks if mark.x1 == mark.x2} == {105.0}
    assert {mark.y1 for mark in marks if mark.y1 == mark.y2} == {148.5}
    assert layout_problems(document) == ()


def test_crop_marks_stand_outside_the_cards_where_there_is_room() -> None:
    marks, document = crop_marks((215.9, 279.4), card())
    grid = cards_on_sheet((215.9, 279.4), (105.0, 148.0))
    upright = [mark for mark in marks if mark.x1 == mark.x2]
    cells = grid.cells
    assert upright
    assert all(max(mark.y1, mark.y2) < cells[0].y or min(mark.y1, mark.y2) > cells[0].bottom for mark in upright)
    assert layout_problems(document) == ()
