"""Labels for sale, read back from the finished PDF and held to the law's own figures."""

import tempfile
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pdfplumber
import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st

from labeller.cli.opening import open_book
from labeller.declarations.paper_sale import sale_particulars
from labeller.printing.faces import face
from labeller.printing.label_layout import LabelTooSmall
from labeller.printing.label_nutrition import nutrition_line, nutrition_rows
from labeller.printing.label_stock import LabelStock, parse_stock
from labeller.printing.page import Document
from labeller.printing.sale_labels import NOT_FOR_SALE, SaleLabel, sale_labels, wanted_net_figures_mm
from labeller.printing.sheets import Piece
from tests.kitchens import HEAD, Kitchen
from tests.papers import DAY, HOUSE
from tests.printing.labels_read import MM, heights_mm, page_texts, pdf_of, words_of
from tests.printing.reviewed_layouts import assert_as_reviewed

ADDRESS = "  address: 1 Example Quay\n"
CAKE = """
- ingredient: ground hazelnuts
  composition: sr28:12120
  spec: {statement: "HAZELNUTS", may_contain: "almonds"}
- dish: hazelnut pot
  keeps: 3 days chilled
  reheat: warm through until steaming
  plate: [100 g house cream, 50 g ground hazelnuts, 40 g caster sugar]
"""


def label_of(
    kitchen: Kitchen,
    text: str,
    name: str,
    *,
    law: str = "gb",
    offer: str = "prepacked",
    face_cm2: float | None = None,
    incomplete: bool = False,
    address: str = ADDRESS,
) -> SaleLabel:
    kitchen.write(HEAD.format(law=law) + address + HOUSE + text, law=None)
    found = open_book(kitchen.folder, None, DAY)
    declaration = found.declarer.dish(name) if name in found.workings.plates else found.declarer.given(name)
    particulars = sale_particulars(found.declarer, declaration, made=DAY, offer=offer)
    return SaleLabel(particulars, declaration, face_cm2, incomplete)


def roll(size: str) -> LabelStock:
    return parse_stock(label=size, roll=True)


def made(label: SaleLabel, stock: LabelStock) -> tuple[Piece, ...]:
    pieces = sale_labels(label, stock)
    assert not isinstance(pieces, LabelTooSmall), pieces.as_text()
    return pieces


def test_every_particular_stands_on_the_label(kitchen: Kitchen) -> None:
    """Regulation (EU) No 1169/2011, Article 9(1): name, list, allergens, quantities, net quantity, date, storage, operator, use, nutrition."""
    label = label_of(kitchen, CAKE, "hazelnut pot")
    stock = roll("99.1x67.7")
    pages = page_texts(pdf_of(stock, made(label, stock)))
    assert len(pages) == 1
    # Beside the list stands the table, so a line of the page holds words of both: the words are counted.
    for one in label.particulars.particulars:
        assert not words_of(one.text.text) - words_of(pages[0]), one.key
    for words in ("Hazelnut pot", "Net weight 190 g", "Use by 28 November 2026", "1 Example Quay", "hazelnuts 26 %"):
        assert not words_of(words) - words_of(pages[0]), words


ARTICLE_13 = [
    # Regulation (EU) No 1169/2011, Article 13(2): 1.2 mm; 13(3): 0.9 mm where the largest face is below 80 cm2.
    ("gb", None, 1.2), ("eu", None, 1.2), ("gb", 80.0, 1.2), ("gb", 79.9, 0.9), ("eu", 25.0, 0.9),
    # 21 CFR 101.2(c): one sixteenth of an inch.
    ("us", None, 1.5875),
]  # fmt: skip


@pytest.mark.parametrize(("law", "face", "least"), ARTICLE_13)
@pytest.mark.parametrize("size", ["63.5x38.1", "99.1x67.7", "45x45"])
def test_letters_are_as_tall_as_the_law_wants(
    kitchen: Kitchen, law: str, face: float | None, least: float, size: str
) -> None:
    stock = roll(size)
    pieces = sale_labels(label_of(kitchen, CAKE, "hazelnut pot", law=law, face_cm2=face), stock)
    if isinstance(pieces, LabelTooSmall):
        assert law == "us"
        return
    found = heights_mm(pdf_of(stock, pieces))
    assert found
    assert min(found.values()) >= least - 0.001


def test_a_small_label_is_set_down_to_the_lawful_least_and_no_further(kitchen: Kitchen) -> None:
    """The same words on the same label: on a pack with a large face two labels, on one with a small face one with smaller letters."""
    stock = roll("63.5x38.1")
    large = made(label_of(kitchen, CAKE, "hazelnut pot", face_cm2=100.0), stock)
    small = made(label_of(kitchen, CAKE, "hazelnut pot", face_cm2=60.0), stock)
    assert (len(large), len(small)) == (2, 1)
    assert 0.9 <= min(heights_mm(pdf_of(stock, small)).values()) < 1.2


def test_allergens_in_the_list_are_bold(kitchen: Kitchen) -> None:
    """Article 21(1)(b): set apart from the rest of the list by its letters."""
    stock = roll("99.1x67.7")
    with pdfplumber.open(BytesIO(pdf_of(stock, made(label_of(kitchen, CAKE, "hazelnut pot"), stock)))) as opened:
        words = opened.pages[0].extract_words(extra_attrs=["fontname"])
    bold = {word["text"].strip("().,[]").casefold() for word in words if "Bold" in word["fontname"]}
    plain = {word["text"].strip("().,[]").casefold() for word in words if "Bold" not in word["fontname"]}
    assert {"milk", "hazelnuts"} <= bold
    assert {"cream", "sugar", "caster"} <= plain
    assert not {"milk", "hazelnuts"} & (plain - bold)


def test_a_contains_line_where_the_law_has_one(kitchen: Kitchen) -> None:
    """21 U.S.C. 343(w)(1)(A): the word Contains and the major allergens, directly after the list."""
    stock = roll("101.6x67.7")
    text = " ".join(page_texts(pdf_of(stock, made(label_of(kitchen, CAKE, "hazelnut pot", law="us"), stock))))
    assert "Contains: " in text
    assert text.index("Ingredients:") < text.index("Contains: ")
    assert "milk" in text[text.index("Contains: ") :].casefold()


def test_nutrition_in_a_table_where_there_is_room_and_in_a_line_where_not(kitchen: Kitchen) -> None:
    """Article 34(2): tabular form with the numbers aligned if space permits, else linear; Annex XV: the order."""
    label = label_of(kitchen, CAKE, "hazelnut pot")
    order = ["Energy", "Fat", "of which saturates", "Carbohydrate", "of which sugars", "Protein", "Salt"]
    assert [row.words for row in nutrition_rows(label.declaration)] == order
    stock = roll("99.1x67.7")
    with pdfplumber.open(BytesIO(pdf_of(stock, made(label, stock)))) as opened:
        words = opened.pages[0].extract_words()
        ends = [word["x1"] for word in words if word["text"] in ("g", "kcal") and word["x0"] > 200.0]
    assert len(ends) == 8  # per 100 g, energy, six lines
    assert max(ends) - min(ends) < 0.6
    narrow = roll("63.5x38.1")
    line = nutrition_line(nutrition_rows(label.declaration))
    assert line.startswith("Nutrition per 100 g: energy ")
    assert line in " ".join(
        page_texts(pdf_of(narrow, made(label_of(kitchen, CAKE, "hazelnut pot", face_cm2=60.0), narrow)))
    )


def test_two_labels_bear_the_name_and_the_first_the_net_quantity(kitchen: Kitchen) -> None:
    """Article 13(5): name and net quantity in the same field of vision."""
    stock = roll("63.5x38.1")
    pages = page_texts(pdf_of(stock, made(label_of(kitchen, CAKE, "hazelnut pot"), stock)))
    assert len(pages) == 2
    assert all(page.startswith("Hazelnut pot") for page in pages)
    assert "Net weight 190 g" in pages[0]
    assert [f"Label {number} of 2" in page for number, page in enumerate(pages, start=1)] == [True, True]


def test_a_label_that_lacks_something_says_so_large_on_every_label(kitchen: Kitchen) -> None:
    label = label_of(kitchen, CAKE, "hazelnut pot", address="", incomplete=True)
    stock = roll("63.5x38.1")
    pdf = pdf_of(stock, made(label, stock))
    assert all(NOT_FOR_SALE in page for page in page_texts(pdf))
    with pdfplumber.open(BytesIO(pdf)) as opened:
        lines = opened.pages[0].extract_text_lines()
        size = {line["text"]: line["chars"][0]["size"] for line in lines}
        assert size[NOT_FOR_SALE] > 1.3 * min(size.values())
        assert all(one["non_stroking_color"] in ((1,), (1.0,), 1) for one in lines[0]["chars"])


def test_a_label_too_small_is_refused_with_a_size_that_holds(kitchen: Kitchen) -> None:
    label = label_of(kitchen, CAKE, "hazelnut pot")
    refused = sale_labels(label, roll("30x25"))
    assert isinstance(refused, LabelTooSmall)
    assert refused.needs_height is not None
    assert "'hazelnut pot' does not fit even 2 of 30x25 mm" in refused.as_text()
    size = f"30x{refused.needs_height:g}"
    assert size in refused.as_text()
    assert len(made(label, roll(size))) == 1


@pytest.mark.parametrize(
    ("grams", "height"), [(50.0, 2.0), (50.1, 3.0), (200.0, 3.0), (200.1, 4.0), (1000.0, 4.0), (1000.1, 6.0)]
)
def test_the_figures_of_the_net_quantity_by_weight(grams: float, height: float) -> None:
    """Directive 76/211/EEC, Annex I, 3.1, from memory: 2 mm up to 50 g, 3 mm up to 200 g, 4 mm up to 1000 g, 6 mm above."""
    assert wanted_net_figures_mm("eu", grams) == wanted_net_figures_mm("gb", grams) == height
    assert wanted_net_figures_mm("us", grams) == 0.0


def test_the_figures_of_the_net_quantity_measured_back(kitchen: Kitchen) -> None:
    """The same directive: 190 g, so 3 mm; the figure one of the bold face, its lowest, is measured from its outline."""
    stock = roll("99.1x67.7")
    label = replace(label_of(kitchen, CAKE, "hazelnut pot"), figures_mm=3.0)
    pdf = pdf_of(stock, made(label, stock))
    outlines = TTFont(face("sans-bold").path).getGlyphSet()
    pen = BoundsPen(outlines)
    outlines["one"].draw(pen)
    with pdfplumber.open(BytesIO(pdf)) as opened:
        line = next(one for one in opened.pages[0].extract_text_lines() if "190 g" in one["text"])
    sizes = {one["size"] for one in line["chars"]}
    assert min(sizes) * float(pen.bounds[3]) / 1000.0 * MM >= 3.0 - 0.01
    # And no label more than without.
    narrow = roll("63.5x38.1")
    assert len(made(label, narrow)) == len(made(label_of(kitchen, CAKE, "hazelnut pot"), narrow))


def test_the_label_that_was_looked_at(kitchen: Kitchen) -> None:
    stock = roll("99.1x67.7")
    pieces = made(label_of(kitchen, CAKE, "hazelnut pot"), stock)
    assert_as_reviewed("sale_label", Document(stock.pages(pieces), "Labels", "en", "of a test", DAY))


def test_a_blank_that_is_not_needed_is_not_printed(kitchen: Kitchen) -> None:
    """Food prepacked for direct sale needs no date in Great Britain: SI 2019/1218 asks for name, list and allergens."""
    text = CAKE.replace("  keeps: 3 days chilled\n", "")
    stock = roll("63.5x38.1")
    label = label_of(kitchen, text, "hazelnut pot", offer="prepacked for direct sale")
    assert not label.particulars.lacking
    assert "___" not in " ".join(page_texts(pdf_of(stock, made(label, stock))))


def test_the_same_labels_are_the_same_bytes(kitchen: Kitchen) -> None:
    stock = roll("99.1x67.7")
    label = label_of(kitchen, CAKE, "hazelnut pot")
    assert pdf_of(stock, made(label, stock)) == pdf_of(stock, made(label, stock))


# As in Annex II of the Regulation, with the word that is set apart in a list.
WORDS = [
    "WHEAT flour",
    "RYE",
    "EGG",
    "COD",
    "PEANUTS",
    "SOYA",
    "MILK",
    "ALMONDS",
    "WALNUTS",
    "CELERY",
    "MUSTARD",
    "SESAME",
    "LUPIN",
]

# The same where the major allergens are those of 21 U.S.C. 321(qq): no rye, celery, mustard or lupin.
MAJOR = {"WHEAT flour", "EGG", "COD", "PEANUTS", "SOYA", "MILK", "ALMONDS", "WALNUTS", "SESAME"}


@pytest.mark.property
@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.sampled_from(WORDS), min_size=1, unique=True),
    st.lists(st.text(st.sampled_from("abcdefghilmnoprstuéößж"), min_size=2, max_size=18), min_size=1, max_size=18),
    st.sampled_from(["63.5x38.1", "99.1x67.7", "70x36"]),
    st.sampled_from(["gb", "us", "au-nz", "ca"]),
    st.sampled_from([None, 60.0]),
)
def test_every_word_of_every_particular_is_found_back(
    statement: list[str], name: list[str], size: str, law: str, face: float | None
) -> None:
    said = f"pot {' '.join(name)}"[:190].strip()
    text = (
        f'- ingredient: bought in\n  spec: {{statement: "{", ".join([*statement, "salt"])}"}}\n'
        f'- dish: "{said}"\n  keeps: 3 days chilled\n  plate: [100 g bought in, 20 g water]\n'
    )
    with tempfile.TemporaryDirectory() as folder:
        kitchen = Kitchen(Path(folder))
        kitchen.write(text, law=law)
        dish = next(iter(open_book(kitchen.folder, None, DAY).workings.plates))
        label = label_of(kitchen, text, dish, law=law, face_cm2=face, incomplete=True)
    stock = roll(size)
    pieces = sale_labels(label, stock)
    if isinstance(pieces, LabelTooSmall):
        assert pieces.needs_height is not None
        stock = roll(f"{pieces.width:g}x{pieces.needs_height:g}")
        pieces = made(label, stock)
    found = words_of(" ".join(page_texts(pdf_of(stock, pieces))))
    for word in statement if law != "us" else set(statement) & MAJOR:
        assert any(word.split()[0].casefold() in one.casefold() for one in found), word
    for one in label.particulars.particulars:
        assert not words_of(one.text.text) - found, one.key
