"""Cards made for the tests, and read back from the finished PDF by other hands: words by pypdf, places and sizes of letters by pdfplumber."""

import re
import unicodedata
from dataclasses import replace
from functools import cache
from io import BytesIO
from typing import Any

import pdfplumber
import pypdf

from labeller.cli.opening import Opened
from labeller.declarations.marked_text import MarkedText
from labeller.declarations.paper_of_dish import dish_words
from labeller.printing.card_faces import CardTooSmall
from labeller.printing.card_sizes import PAPERS_MM, parse_card_size
from labeller.printing.card_words import CardLine, CardText, card_text
from labeller.printing.cards import CardStock, card_document, card_pages, cards_for
from labeller.printing.page import Document
from labeller.printing.sheets import Piece
from tests.papers import DAY
from tests.printing.labels_read import MM, _fonts, _outline

HOUSE_NAME = "The Saltmarsh Room"
CAUTION = (
    "Please tell us of any allergy before you order: one kitchen handles all these foods, and cross-contact cannot be ruled out. "
    "Worked out from recipes and suppliers' papers, not analysed."
)


def stock(size: str, orientation: str | None = None, paper: str = "a4") -> CardStock:
    return CardStock(parse_card_size(size, orientation), PAPERS_MM[paper])


def marked(head: str, *words: str) -> MarkedText:
    """Return a line with its allergen words set apart."""
    text, spans = f"{head} ", []
    for place, word in enumerate(words):
        text += ", " if place else ""
        spans.append((len(text), len(text) + len(word)))
        text += word
    return MarkedText(f"{text}.", tuple(spans))


def written(**other: Any) -> CardText:
    """Return the words of a card as written here, so that a reviewed layout does not follow what declarations say."""
    facts = (
        CardLine("contains", marked("Contains", "gluten (wheat)", "egg", "milk", "nuts (hazelnut)"), "allergens"),
        CardLine(
            "may contain",
            MarkedText("May contain peanut (the supplier of hazelnut paste says so).", ((12, 18),)),
            "allergens",
        ),
        CardLine("ask about", marked("Please ask us about", "soya", "sesame"), "ask"),
        CardLine(
            "alcohol",
            MarkedText("Alcohol: damson gin, uncooked; about 4.4 g (3.9 to 5.1) in the portion.", ((9, 19),)),
            "alcohol",
        ),
    )
    cautions = (
        CardLine("alcohol caution", MarkedText("Contains alcohol: not for children, nor in pregnancy."), "caution"),
        CardLine("caution", MarkedText(CAUTION), "caution"),
    )
    given = CardText(
        "damson and custard ice",
        "Damson and custard ice",
        "warm brioche, toasted hazelnut",
        facts,
        cautions,
        HOUSE_NAME,
        "25 November 2026",
        "0.1.0-abcdef",
    )
    return replace(given, **other)


def text_of(opened: Opened, dish: str, *, language: str | None = None, energy: bool = False) -> CardText:
    words = dish_words(opened.declarer, dish, language=language)
    return card_text(words, opened.book.kitchen.name, energy=energy)


def document(on: CardStock, *texts: CardText) -> Document:
    pieces: list[Piece] = []
    for text in texts:
        found = cards_for(text, on)
        assert not isinstance(found, CardTooSmall), found.problem
        pieces += found
    return card_document(card_pages(pieces, on), HOUSE_NAME, DAY)


def squeezed(text: str) -> str:
    """Return a text as its letters alone: lines of a page end where they end; soft hyphens are not of the word."""
    plain = unicodedata.normalize("NFKC", text).replace("\u00ad", "")
    return "".join(plain.split())


def read_out(pdf: bytes) -> str:
    """Return the letters of all pages in the order of reading."""
    return squeezed("".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(pdf)).pages))


@cache
def letters(pdf: bytes) -> tuple[dict[str, Any], ...]:
    """Return every letter of a file where it stands, with the x-height of its face there. [mm]"""
    outlines = {name: _outline(font) for name, font in _fonts(pdf).items()}
    found: list[dict[str, Any]] = []
    with pdfplumber.open(BytesIO(pdf)) as opened:
        for number, page in enumerate(opened.pages):
            for one in page.chars:
                outline = outlines[one["fontname"]]
                found.append(
                    {
                        "text": one["text"],
                        "page": number,
                        "face": one["fontname"].split("+")[1],
                        "x_height": None if outline is None else abs(one["size"]) * outline * MM,
                        "left": one["x0"] * MM,
                        "right": one["x1"] * MM,
                        "top": one["top"] * MM,
                        "bottom": one["bottom"] * MM,
                        "turned": one["matrix"][0] < 0,
                    }
                )
    return tuple(found)


def runs(pdf: bytes, pattern: str) -> list[tuple[dict[str, Any], ...]]:
    """Return the letters of every place in a file that reads like a pattern, white space apart."""
    told = [one for one in letters(pdf) if one["text"].strip() and one["text"] != "\u00ad"]
    text = "".join(unicodedata.normalize("NFKC", one["text"])[:1] for one in told)
    return [tuple(told[found.start() : found.end()]) for found in re.finditer(pattern, text)]
