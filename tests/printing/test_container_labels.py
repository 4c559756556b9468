"""Container labels, read back from the finished PDF: nothing left out, nothing too small, the name and the day the largest."""

import tempfile
from io import BytesIO
from pathlib import Path

import pdfplumber
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labeller.declarations.paper_of_tub import TubWords, tub_words
from labeller.printing.container_labels import container_labels
from labeller.printing.label_layout import LabelTooSmall
from labeller.printing.label_stock import LabelStock, parse_stock
from labeller.printing.page import Document
from labeller.printing.sheets import Piece
from tests.kitchens import Kitchen
from tests.papers import DAY, opened
from tests.printing.labels_read import MM, heights_mm, page_texts, pdf_of, words_of
from tests.printing.reviewed_layouts import assert_as_reviewed

LEAST_MM = 1.5  # of the house: common practice, no source
ROLL = parse_stock(label="63.5x38.1", roll=True)
USUAL = parse_stock(roll=True)
# Words of a supplier's statement, and what the label must say: Regulation (EU) No 1169/2011, Annex II.
ANNEX_II = {
    "WHEAT": ("gluten", "wheat"), "RYE": ("gluten", "rye"), "BARLEY": ("gluten", "barley"), "OATS": ("gluten", "oats"),
    "PRAWN": ("crustaceans",), "EGG": ("egg",), "COD": ("fish",), "PEANUT": ("peanut",), "SOYA": ("soya",), "MILK": ("milk",),
    "ALMOND": ("nuts", "almond"), "HAZELNUT": ("nuts", "hazelnut"), "WALNUT": ("nuts", "walnut"), "CASHEW": ("nuts", "cashew"),
    "PECAN": ("nuts", "pecan"), "BRAZIL NUT": ("nuts", "Brazil nut"), "PISTACHIO": ("nuts", "pistachio"),
    "MACADAMIA": ("nuts", "macadamia"), "CELERY": ("celery",), "MUSTARD": ("mustard",), "SESAME": ("sesame",),
    "SULPHITES": ("sulphites",), "LUPIN": ("lupin",), "MUSSEL": ("molluscs",),
}  # fmt: skip
MAY = [
    "gluten",
    "crustaceans",
    "egg",
    "fish",
    "peanut",
    "soya",
    "milk",
    "celery",
    "mustard",
    "sesame",
    "lupin",
    "molluscs",
]


def tub(kitchen: Kitchen, text: str, name: str, batch: str = "") -> TubWords:
    found = opened(kitchen, text)
    return tub_words(found.declarer, "given", name, DAY, batch=batch)


def made(words: TubWords, stock: LabelStock = ROLL) -> tuple[Piece, ...]:
    pieces = container_labels(words, stock)
    assert not isinstance(pieces, LabelTooSmall), pieces
    return pieces


POT = """
- preparation: praline cream
  takes: [200 g house cream, 20 g hazelnut praline]
  keeps: 2 days chilled
"""


def test_a_plain_tub_stands_on_one_label_with_everything_on_it(kitchen: Kitchen) -> None:
    text = page_texts(pdf_of(USUAL, made(tub(kitchen, POT, "praline cream"), USUAL)))
    assert len(text) == 1
    for words in (
        "Praline cream", "Use by 27 November 2026", "Made on 25 November 2026", "Contains milk, nuts (hazelnut).", "May contain",
        "peanut", "almond", "Alcohol: not an ingredient.", "Keep chilled", "By", "Batch",
    ):  # fmt: skip
        assert words in text[0]


def test_the_name_is_the_largest_and_the_day_the_next(kitchen: Kitchen) -> None:
    for label in ("63.5x38.1", "99.1x67.7", "70x36"):
        stock = parse_stock(label=label, roll=True)
        pdf = pdf_of(stock, made(tub(kitchen, POT, "praline cream"), stock))
        with pdfplumber.open(BytesIO(pdf)) as found:
            sizes = {
                line["text"]: max(one["size"] for one in line["chars"]) for line in found.pages[0].extract_text_lines()
            }
        name, day = sizes.pop("Praline cream"), sizes.pop("Use by 27 November 2026")
        assert name > day > 1.1 * max(sizes.values())


def test_a_batch_told_and_one_as_long_as_a_sentence(kitchen: Kitchen) -> None:
    short = page_texts(pdf_of(USUAL, made(tub(kitchen, POT, "praline cream", batch="B 12"), USUAL)))
    assert "Batch B 12" in short[0]
    long = "second pan of the morning, made with the new cream and one half of the old praline"
    text = " ".join(page_texts(pdf_of(ROLL, made(tub(kitchen, POT, "praline cream", batch=long)))))
    assert not words_of(f"Batch {long}.") - words_of(text)


def test_a_day_the_book_does_not_give_is_a_line_to_write_on(kitchen: Kitchen) -> None:
    pieces = made(tub(kitchen, POT.replace("  keeps: 2 days chilled\n", ""), "praline cream"))
    pdf = pdf_of(ROLL, pieces)
    assert "Not given in the book." in " ".join(page_texts(pdf))
    with pdfplumber.open(BytesIO(pdf)) as found:
        page = found.pages[0]
        day = next(line for line in page.extract_text_lines() if line["text"].startswith("Use by"))
        assert day["text"] == "Use by"
        lines = [
            one
            for one in page.lines
            if abs(one["x1"] - one["x0"]) * MM > 30 and day["top"] < one["top"] < day["bottom"] + 3
        ]
    assert lines


def test_what_is_not_known_stands_white_on_black(kitchen: Kitchen) -> None:
    pieces = made(
        tub(kitchen, "- preparation: paste pot\n  keeps: 2 days chilled\n  takes: [50 g nut paste]\n", "paste pot")
    )
    with pdfplumber.open(BytesIO(pdf_of(ROLL, pieces))) as found:
        loud = [one for page in found.pages for one in page.chars if one["non_stroking_color"] in ((1,), (1.0,), 1)]
        said = "".join(one["text"] for one in loud)
        boxes = [one for page in found.pages for one in page.rects if one["non_stroking_color"] in ((0,), (0.0,), 0)]
    assert "Not known: ask the kitchen about" in said
    assert "alcohol" in said
    assert boxes


def test_several_labels_say_so_and_bear_the_name(kitchen: Kitchen) -> None:
    everything = ", ".join(ANNEX_II)
    text = (
        f'- ingredient: all of it\n  spec: {{statement: "{everything}"}}\n- ingredient: mystery\n'
        "- preparation: hard case\n  keeps: 1 day chilled\n  takes: [10 g all of it, 10 g mystery]\n"
    )
    pages = page_texts(pdf_of(ROLL, made(tub(kitchen, text, "hard case"))))
    assert len(pages) > 1
    for number, page in enumerate(pages, start=1):
        assert page.startswith("Hard case")
        assert f"Label {number} of {len(pages)}" in page
        assert "stick on" in page


def test_every_tub_carries_its_cautions(kitchen: Kitchen) -> None:
    """In full where there is room, in brief where there is not; on a small label too."""
    large = parse_stock(label="99.1x67.7", roll=True)
    words = tub(kitchen, "- preparation: gin pot\n  keeps: 9 days chilled\n  takes: [50 g house gin]\n", "gin pot")
    text = page_texts(pdf_of(large, made(words, large)))
    assert len(text) == 1
    assert "not for children, nor in pregnancy" in text[0]
    small = " ".join(" ".join(page_texts(pdf_of(ROLL, made(words)))).split())
    assert "or children, in pregnancy or recovery, or with medicines that forbid alcohol" in small
    assert "cross-contact can" in small


def test_the_same_labels_are_the_same_bytes(kitchen: Kitchen) -> None:
    words = tub(kitchen, POT, "praline cream")
    assert pdf_of(ROLL, made(words)) == pdf_of(ROLL, made(words))


def test_the_labels_that_were_looked_at(kitchen: Kitchen) -> None:
    words = tub(kitchen, POT, "praline cream")
    text = "- preparation: paste pot\n  keeps: 2 days chilled\n  takes: [50 g nut paste, 100 g house gin]\n"
    loud = tub(Kitchen(kitchen.folder / "other"), text, "paste pot")
    pages = ROLL.pages((*made(words), *made(loud)))
    assert_as_reviewed("container_labels", Document(pages, "Labels", "en", "of a test", DAY))


def _refusal_holds(words: TubWords, refused: LabelTooSmall) -> None:
    """A size that is named must carry it, on one label."""
    assert refused.needs_height is not None
    higher = parse_stock(label=f"{refused.width:g}x{refused.needs_height:g}", roll=True)
    assert isinstance(container_labels(words, higher), tuple)
    assert f"{refused.width:g}x{refused.needs_height:g}" in refused.as_text()


def test_a_label_too_small_is_refused_with_the_size_that_would_do(kitchen: Kitchen) -> None:
    words = tub(kitchen, "- preparation: paste pot\n  keeps: 2 days chilled\n  takes: [50 g nut paste]\n", "paste pot")
    refused = container_labels(words, parse_stock(label="30x20", roll=True))
    assert isinstance(refused, LabelTooSmall)
    assert "does not fit even 4 of 30x20 mm" in refused.as_text()
    _refusal_holds(words, refused)


NAMES = st.lists(
    st.text(st.sampled_from("abcdefghiklmnoprstuvwzäöüßéñłżőΑλθœщїж"), min_size=1, max_size=24),
    min_size=1,
    max_size=20,
).map(lambda words: " ".join(words)[:190].strip())


@pytest.mark.property
@settings(max_examples=40, deadline=None)
@given(
    NAMES,
    st.sets(st.sampled_from(sorted(ANNEX_II))),
    st.sets(st.sampled_from(MAY)),
    st.booleans(),
    st.sampled_from(["63.5x38.1", "99.1x67.7", "99.1x38.1", "48.5x25.4", "70x36"]),
)
def test_every_word_about_allergens_is_found_back(
    name: str, holds: set[str], may: set[str], mystery: bool, label: str
) -> None:
    statement = ", ".join(["water", *sorted(holds)])
    text = (
        f'- ingredient: bought in\n  spec: {{statement: "{statement}", may_contain: "{", ".join(sorted(may))}"}}\n'
        "- ingredient: mystery\n"
        f'- preparation: "pot {name}"\n  keeps: 3 days chilled\n  takes: [10 g bought in{", 1 g mystery" if mystery else ""}]\n'
    )
    with tempfile.TemporaryDirectory() as folder:
        found = opened(Kitchen(Path(folder)), text)
        words = tub_words(found.declarer, "given", next(iter(found.workings.given())), DAY)
    stock = parse_stock(label=label, roll=True)
    pieces = container_labels(words, stock)
    if isinstance(pieces, LabelTooSmall):
        _refusal_holds(words, pieces)
        return
    pdf = pdf_of(stock, pieces)
    text = " ".join(page_texts(pdf))
    for word in holds:
        assert all(one in text for one in ANNEX_II[word]), word
    for group in may:
        assert group in text
    if mystery:
        assert "Not known: ask the kitchen about" in text
    # And no word of the lines is lost, nor printed less often than it stands there.
    said = f"{words.allergens.as_text()} {words.use_by.line} {words.made} {words.storage}"
    assert not words_of(said) - words_of(text)
    assert min(heights_mm(pdf).values(), default=LEAST_MM) >= LEAST_MM - 0.001


def test_a_label_alone_says_that_not_everything_is_known(kitchen: Kitchen) -> None:
    """Where the words about what is not known stand on another label, each of the others says so: one that is lost leaves no false one."""
    text = (
        "- ingredient: mystery\n- ingredient: sure\n  spec: {statement: 'milk, egg, fish (cod), celery, mustard seed, soya'}\n"
        "- preparation: half known\n  keeps: 1 day chilled\n  takes: [10 g sure, 10 g mystery]\n"
    )
    pages = page_texts(pdf_of(ROLL, made(tub(kitchen, text, "half known"))))
    assert len(pages) > 1
    for page in pages:
        assert "Not known: ask the kitchen" in page or "not everything is known, see label" in page
