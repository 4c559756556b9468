"""The allergen sheet, read back from the finished PDF: every state in words and by a shape, nothing lost, nothing cut."""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from io import BytesIO
from typing import Any

import pdfplumber
import pypdf
import pytest
from hypothesis import given, settings

from labeller.declarations.allergen_rows import CONTAINS, MAY_CONTAIN, NONE_DECLARED, UNCONFIRMED
from labeller.declarations.marked_text import MarkedText
from labeller.declarations.paper_names import needs_asking
from labeller.jurisdictions.languages import known_languages
from labeller.jurisdictions.packs import known_jurisdictions
from labeller.printing.faces import FACE_NAMES, MM_PER_POINT, face
from labeller.printing.layout_checks import layout_problems
from labeller.printing.matrix import PAPERS_MM, SheetTooNarrow, Turned, allergen_sheet
from labeller.printing.matrix_cells import CONTAINS_TONE
from labeller.printing.matrix_rows import RowTooTallError
from labeller.printing.matrix_words import SheetCell, SheetHead, SheetRow, SheetSection, SheetWords, not_vouched_for
from labeller.printing.page import Document, Fill, Page, Rule, TextLine
from labeller.printing.painter import paint
from tests.printing.reviewed_layouts import assert_as_reviewed
from tests.printing.sheets_and_notes import (
    GOODS,
    UNKNOWN,
    Plate,
    allergen_words,
    book_text,
    declarations,
    dishes,
    generated,
    laws,
    opened_book,
    paragraphs,
    plain,
    words_of_sheet,
)
from tests.printing.specimens import DAY

SMALL = [
    Plate("cream of everything", ["all of them", "cream"], "starter"),
    Plate("nuts somebody half knows", ["half known nuts"], "main"),
    Plate("water, perhaps", ["may be any", "kirsch"], "dessert"),
    Plate("nothing known", [UNKNOWN], "dessert"),
    Plate("water", ["plain water"], "dessert"),
]


def laid_out(plates: list[Plate], *, paper: str = "a4", turned: Turned | None = None, law: str = "gb") -> Document:
    document = allergen_sheet(words_of_sheet(opened_book(book_text(plates, law=law))), paper, turned, DAY)
    assert isinstance(document, Document)
    return document


@cache
def small() -> Document:
    return laid_out(SMALL)


def lines_of(document: Document) -> Iterator[tuple[Page, TextLine]]:
    for page in document.pages:
        for line in page.lines:
            yield page, line


def row_of(document: Document, name: str) -> dict[int, list[str]]:
    """Return the words of each cell of a dish's row, by column; those below the row stand under -1."""
    for page, line in lines_of(document):
        if line.text == name and line.cell is not None:
            cells: dict[int, list[str]] = {}
            for other in page.lines:
                if other.cell is not None and other.cell.table == line.cell.table:
                    if other.cell.row == line.cell.row:
                        cells.setdefault(other.cell.column, []).append(other.text)
                    if other.cell.row == line.cell.row + 1 and other.cell.columns > 1 and other.cell.column == 1:
                        cells.setdefault(-1, []).append(other.text)
            return cells
    raise AssertionError(f"'{name}' is not on the sheet.")


@settings(max_examples=12, deadline=None, derandomize=True)
@given(found=dishes, law=laws)
def test_every_allergen_word_and_every_dish_is_found_back(found: list[tuple[str, list[str]]], law: str) -> None:
    opened = generated(found, law)
    words = words_of_sheet(opened)
    document = allergen_sheet(words, "a4", None, DAY)
    assert isinstance(document, Document)
    assert layout_problems(document) == ()
    text = plain(" ".join(paragraphs(paint(document))))
    for section in words.sections:
        for row in section.rows:
            assert plain(row.name) in text
    for one in declarations(opened):
        for word in allergen_words(one):
            assert word in text or word.capitalize() in text


@settings(max_examples=10, deadline=None, derandomize=True)
@given(found=dishes)
def test_each_cell_says_its_state_and_its_sources_in_place(found: list[tuple[str, list[str]]]) -> None:
    opened = generated(found)
    words = words_of_sheet(opened)
    by_name = {one.name: one for one in declarations(opened)}
    # The contract of the book, section 3: the words of the four states on paper.
    heads = {
        CONTAINS: "Contains",
        MAY_CONTAIN: "May contain",
        UNCONFIRMED: "Not known",
        NONE_DECLARED: "Not an ingredient",
    }
    for section in words.sections:
        for row in section.rows:
            declared = by_name[row.of].allergens
            assert len(row.cells) == len(declared) + 1 == len(words.heads)
            for cell, group in zip(row.cells, declared, strict=False):
                assert cell.head.startswith(heads[group.status])
                if needs_asking(group):
                    assert cell.status == UNCONFIRMED or "ot known" in cell.more
                    assert any(path[-1] in note.text for path in group.unconfirmed for note in row.notes)


def test_states_are_told_apart_by_words_and_by_shape() -> None:
    document = small()
    page = document.pages[0]
    seen: dict[str, set[str]] = {}
    for line in page.lines:
        if line.cell is None or line.role == "table head" or line.cell.column == 0 or line.cell.columns > 1:
            continue
        box = line.box
        fills = [item.tone for item in page.items if isinstance(item, Fill) and item.box == box]
        dashed = any(
            isinstance(item, Rule) and item.dash_mm and box.x - 0.01 <= item.x1 <= box.right + 0.01
            and box.y - 0.01 <= item.y1 <= box.bottom + 0.01 for item in page.items
        )  # fmt: skip
        shape = "black" if 0 in fills else "grey" if CONTAINS_TONE in fills else "dashed" if dashed else "bare"
        for state in ("Contains", "May", "Not known:", "Not an"):
            if line.text.startswith(state):
                seen.setdefault(state, set()).add(shape)
    assert seen["Contains"] == {"grey"}
    assert seen["May"] == {"dashed"}
    assert seen["Not known:"] == {"black"}
    assert seen["Not an"] == {"bare"}


def test_the_cell_names_the_cereal_the_nut_and_the_species() -> None:
    everything = row_of(small(), "Cream of everything")
    cells = {column: plain(" ".join(texts)) for column, texts in everything.items()}
    assert cells[1] == "Contains wheat, rye, barley, oats"
    assert "lobster, prawn" in cells[2]
    assert "cod, tuna, anchovy" in cells[4]
    assert "hazelnut" in cells[8]
    half = {column: plain(" ".join(texts)) for column, texts in row_of(small(), "Nuts somebody").items()}
    assert half[8] == "Contains hazelnut More not known: ask"
    assert half[1] == "Not known: ask the kitchen"
    assert half[-1] == "Not known because of half known nuts."


def test_may_contain_has_its_reason_below_the_dish() -> None:
    below = plain(" ".join(row_of(small(), "Water, perhaps")[-1]))
    assert below.startswith("May contain gluten (wheat, oats), crustaceans (crab)")
    assert "the supplier of may be any says so" in below


def test_alcohol_has_a_column_of_its_own() -> None:
    assert plain(" ".join(row_of(small(), "Water, perhaps")[15])) == "Contains kirsch, uncooked"
    assert plain(" ".join(row_of(small(), "Nothing known")[15])) == "Not known: ask the kitchen"
    assert plain(" ".join(row_of(small(), "Water")[15])) == "Not an ingredient"


def sixty() -> list[Plate]:
    courses = ("starter", "main", "dessert")
    return [
        Plate(
            f"dish number {number:02d}",
            [GOODS[number % len(GOODS)], GOODS[(number * 5 + 2) % len(GOODS)]],
            courses[number % 3],
        )
        for number in range(60)
    ]


def test_sixty_dishes_go_over_pages_each_once_with_heads_legend_and_signature_on_every_page() -> None:
    document = laid_out(sixty())
    pdf = paint(document)
    texts = [page.extract_text() for page in pypdf.PdfReader(BytesIO(pdf)).pages]
    assert len(texts) == len(document.pages) > 4
    names = [line.text for _, line in lines_of(document) if line.text.startswith("Dish number")]
    assert sorted(names) == [f"Dish number {number:02d}" for number in range(60)]
    # Starters first, then mains, then desserts; within a course by name.
    assert names == sorted(names, key=lambda name: (int(name[-2:]) % 3, name))
    for number, text in enumerate(texts, start=1):
        words = plain(text)
        for head in ("Dish", "Gluten", "Crustaceans", "Sulphites", "Molluscs", "Alcohol"):
            assert head in words
        assert f"page {number} of {len(texts)}" in words
        assert "Checked by" in words
        assert "Worked out from recipes and suppliers' papers" in words
        assert "Law: Great Britain, 25 November 2026" in words
        assert "Still tell the kitchen of an allergy." in words
    assert any("continued" in text for text in texts)


def test_pages_are_filled_evenly() -> None:
    """A last page with one dish on it is paper wasted: plates all alike, so pages differ by a dish or two."""
    for count in range(9, 27, 2):
        document = laid_out([Plate(f"plate {number:02d}", ["cream"]) for number in range(count)], turned="landscape")
        dishes = [
            sum(line.text.startswith("Plate") and line.cell is not None for line in page.lines)
            for page in document.pages
        ]
        assert sum(dishes) == count
        assert max(dishes) - min(dishes) <= 2


def test_a_dish_is_not_parted_where_a_page_can_hold_it() -> None:
    document = laid_out(sixty())
    for page in document.pages:
        tables = {line.cell.table for line in page.lines if line.cell is not None}
        assert len(tables) == 1
        rows = {line.cell.row for line in page.lines if line.cell is not None and line.text.startswith("Dish number")}
        for row in rows:
            columns = {line.cell.column for line in page.lines if line.cell is not None and line.cell.row == row}
            assert columns == set(range(16))


@pytest.mark.parametrize(
    ("law", "paper"), [*((law, "a4") for law in known_jurisdictions()), ("eu", "a3"), ("us", "letter")]
)
def test_every_law_and_paper_stands_within_what_a_printer_reaches(law: str, paper: str) -> None:
    document = laid_out(SMALL, paper=paper, law=law)
    assert layout_problems(document) == ()
    page = document.pages[0]
    assert {page.width, page.height} == set(PAPERS_MM[paper])
    with pdfplumber.open(BytesIO(paint(document))) as pdf:
        for one in pdf.pages:
            margin = 4.0 / MM_PER_POINT
            for letter in one.chars:
                assert letter["x0"] >= margin
                assert letter["x1"] <= one.width - margin
                assert letter["top"] >= margin - 2.0  # the library's box of a letter reaches above its outline
                assert letter["bottom"] <= one.height - margin + 2.0


def test_letters_measured_back_are_as_tall_as_the_house_wants() -> None:
    # At least 1.25 mm of lower-case x for what must be known, 1.2 mm else: our own, common practice, no source.
    by_name = {face(name).postscript_name: face(name).x_height for name in FACE_NAMES}
    with pdfplumber.open(BytesIO(paint(small()))) as pdf:
        for page in pdf.pages:
            for letter in page.chars:
                name = letter["fontname"].split("+")[1]
                assert by_name[name] * letter["size"] * MM_PER_POINT >= 1.2
    for _, line in lines_of(small()):
        if line.role in {"allergens", "alcohol", "caution"}:
            assert line.x_height_mm >= 1.25


def test_a_grey_copy_loses_nothing() -> None:
    with pdfplumber.open(BytesIO(paint(small()))) as pdf:
        for page in pdf.pages:
            for item in (*page.chars, *page.rects, *page.lines):
                for colour in (item["non_stroking_color"], item["stroking_color"]):
                    # One channel is grey.
                    assert colour is None or isinstance(colour, float | int) or len(colour) == 1


def test_no_tick_no_cross_no_picture() -> None:
    pdf = paint(small())
    text = " ".join(paragraphs(pdf))
    assert not set(text) & set("✓✔✗✘×☑☒●○■□")
    assert not any(page.images for page in pypdf.PdfReader(BytesIO(pdf)).pages)


def test_the_same_book_and_day_are_the_same_bytes() -> None:
    assert paint(laid_out(SMALL)) == paint(laid_out(SMALL))


def test_the_order_of_dishes_in_the_book_never_matters() -> None:
    assert paint(laid_out(SMALL[::-1])) == paint(laid_out(SMALL))


def test_what_a_cell_cannot_hold_stands_below_and_the_state_stays() -> None:
    drinks = [f"spirit number {number} of the far north" for number in range(24)]
    text = book_text([]) + "".join(
        f"- ingredient: {one}\n  composition: sr28:14037\n  strength: 40 % vol\n" for one in drinks
    )
    text += "- dish: the whole bar\n  plate:\n" + "".join(f"    - 5 g {one}\n" for one in drinks)
    document = allergen_sheet(words_of_sheet(opened_book(text)), "a4", None, DAY)
    assert isinstance(document, Document)
    row = row_of(document, "The whole bar")
    assert row[15][0] == "Contains"
    below = plain(" ".join(row[-1]))
    for one in drinks:
        assert one in below
    assert below.rstrip(".").endswith(", uncooked")
    assert below.startswith("alcohol, contains:")


def test_a_dish_taller_than_a_page_goes_on_under_its_name() -> None:
    many = [
        f"powder {number} {'from a very far away and quite forgotten place ' * 3}".strip() for number in range(140)
    ]
    text = book_text([]) + "".join(f"- ingredient: {one}\n" for one in many)
    text += "- dish: endless\n  plate:\n" + "".join(f"    - 1 g {one}\n" for one in many)
    document = allergen_sheet(words_of_sheet(opened_book(text)), "a4", None, DAY)
    assert isinstance(document, Document)
    assert len(document.pages) > 1
    assert layout_problems(document) == ()
    heads = [line.text for _, line in lines_of(document) if line.text.startswith("Endless")]
    assert heads == ["Endless", *["Endless,"] * (len(document.pages) - 1)] or all(
        "continued" in one for one in heads[1:]
    )
    # A note goes on from page to page, so its lines are joined before it is read.
    below = plain(
        " ".join(line.text for _, line in lines_of(document) if line.cell is not None and line.cell.columns == 15)
    )
    for number in range(140):
        assert f"powder {number} from a very far away" in below
    assert paint(document).startswith(b"%PDF")


def test_a_name_that_fills_a_page_is_refused() -> None:
    words = written_sheet()
    row = replace(words.sections[0].rows[0], name="word " * 1200)
    with pytest.raises(RowTooTallError, match="taller than a page"):
        allergen_sheet(replace(words, sections=(SheetSection("Desserts", (row,)),)), "a4", "landscape", DAY)


def test_a_paper_too_narrow_is_refused_with_the_paper_that_would_do() -> None:
    words = words_of_sheet(opened_book(book_text(SMALL)))
    found = allergen_sheet(words, "a4", "portrait", DAY)
    assert isinstance(found, SheetTooNarrow)
    said = found.as_text()
    assert "15 columns need" in said
    assert "A4 portrait has 194 mm" in said
    assert "Write --paper a4 --landscape or --paper a3" in said


def test_fewer_groups_stand_on_a_sheet_upright() -> None:
    page = laid_out(SMALL, turned="portrait", law="us").pages[0]
    assert page.width < page.height


def test_groups_and_sources_are_named_in_another_language_as_well() -> None:
    words = words_of_sheet(opened_book(book_text(SMALL)), language="fr")
    assert (
        next(head.translated for head in words.heads if head.group == "milk") == "lait"
    )  # Regulation 1169/2011, Annex II, French text
    row = words.sections[0].rows[0]
    nuts = next(cell for cell, head in zip(row.cells, words.heads, strict=True) if head.group == "nuts")
    assert "noisettes" in nuts.translated
    assert "cod" in words.untranslated
    document = allergen_sheet(words, "a4", None, DAY)
    assert isinstance(document, Document)
    assert {line.language for _, line in lines_of(document)} == {"", "fr"}


def test_columns_stand_on_common_paper_in_every_language_on_file() -> None:
    plates = [Plate("everything", ["all of them", "kirsch"]), Plate("perhaps", ["may be any", "half known nuts"])]
    opened = opened_book(book_text(plates, law="eu"))
    for language in known_languages():
        words = words_of_sheet(opened, language=language)
        for paper in ("a4", "letter"):
            assert isinstance(allergen_sheet(words, paper, "landscape", DAY), Document), language


def test_what_is_open_is_listed_beside_other_states_too() -> None:
    found = not_vouched_for(declarations(opened_book(book_text([Plate("half", ["half known nuts", "cream"])]))))
    groups = {one.group for one in found}
    assert {"nuts", "gluten", "alcohol"} <= groups
    assert "milk" not in groups  # there is milk in it; what else may bring milk changes nothing
    assert {one.ingredient for one in found} == {"half known nuts"}
    assert not not_vouched_for(declarations(opened_book(book_text([Plate("wet", ["plain water"])]))))


def test_the_version_changes_with_the_words_alone() -> None:
    words = words_of_sheet(opened_book(book_text(SMALL)))
    assert words.version == words_of_sheet(opened_book(book_text(SMALL))).version
    assert words.version != words_of_sheet(opened_book(book_text(SMALL[:-1]))).version


def test_the_file_says_what_it_is_and_its_table_has_heads() -> None:
    reader: Any = pypdf.PdfReader(BytesIO(paint(small())))
    assert reader.metadata.title == "The Saltmarsh Room: Allergens and alcohol, dish by dish"
    root = reader.trailer["/Root"]
    assert root["/Lang"] == "en"
    kinds: list[str] = []

    def walk(element: Any) -> None:
        if isinstance(element, int):
            return
        one = element.get_object()
        if "/S" in one:
            kinds.append(one["/S"])
        for kid in one.get("/K", []) if isinstance(one.get("/K", []), list) else [one["/K"]]:
            if not isinstance(kid, int):
                walk(kid)

    walk(root["/StructTreeRoot"]["/K"])
    assert {"/H1", "/Table", "/TR", "/TH", "/TD"} <= set(kinds)
    # 16 heads of columns, 5 dishes, 3 headings of courses on the pages there are.
    assert kinds.count("/TH") >= 16 + 5 + 3


def written_sheet() -> SheetWords:
    """Return words written here, so that the reviewed layout does not follow what declarations say."""
    heads = (SheetHead("gluten", "Gluten", "wheat, rye, barley, oats"), SheetHead("milk", "Milk", "", "lait"))
    alcohol = SheetHead("alcohol", "Alcohol")
    tart = SheetRow(
        "plum tart",
        "Plum tart with almond cream",
        (
            SheetCell(
                "gluten",
                "contains",
                "Contains",
                "wheat; may contain rye",
                "blé; may contain seigle",
                "More not known: ask",
            ),
            SheetCell("milk", "may contain", "May contain", "", "", "Not known: ask"),
            SheetCell("alcohol", "none declared", "Not an ingredient"),
        ),
        (
            MarkedText("May contain milk (made on the same churn as custard ice).", ((12, 16),)),
            MarkedText("Not known because of almond paste.", ((0, 9),)),
        ),
    )
    ice = SheetRow(
        "damson ice",
        "Damson ice",
        (
            SheetCell("gluten", "unconfirmed", "Not known: ask the kitchen"),
            SheetCell("milk", "contains", "Contains"),
            SheetCell("alcohol", "contains", "Contains", "damson gin, uncooked"),
        ),
        (),
    )
    return SheetWords(
        "The Saltmarsh Room",
        "Allergens and alcohol, dish by dish: dinner",
        "Law: Great Britain, 25 November 2026",
        (*heads, alcohol),
        (SheetSection("Desserts", (tart, ice)),),
        (
            ("contains", "Contains", "It is an ingredient."),
            ("may contain", "May contain", "It may have got in."),
            ("unconfirmed", "Not known: ask the kitchen", "It may be in."),
            ("none declared", "Not an ingredient", "It is not in the recipe."),
        ),
        "Worked out from recipes, not analysed. If in doubt, ask the kitchen.",
        "Checked by",
        "on",
        "1-abcdef",
        "fr",
        (),
    )


def test_a_page_is_laid_out_as_reviewed() -> None:
    document = allergen_sheet(written_sheet(), "a4", "landscape", DAY)
    assert isinstance(document, Document)
    assert layout_problems(document) == ()
    assert_as_reviewed("allergen_sheet", document)
