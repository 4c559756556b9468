"""Labels read back from the finished PDF by other hands: words by pdfplumber, heights of letters from the outlines embedded in the file."""

import re
from collections import Counter
from io import BytesIO
from typing import Any

import pdfplumber
import pypdf
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from labeller.printing.label_stock import LabelStock
from labeller.printing.page import Document
from labeller.printing.painter import paint
from labeller.printing.sheets import Piece
from tests.papers import DAY

MM = 25.4 / 72.0


def pdf_of(stock: LabelStock, pieces: tuple[Piece, ...]) -> bytes:
    """Paint labels; the painter refuses what runs together, lies outside its box or is too small."""
    return paint(Document(stock.pages(pieces), "Labels", "en", "of a test", DAY))


def page_texts(pdf: bytes) -> list[str]:
    """Return the words of every page, broken ones made whole."""
    with pdfplumber.open(BytesIO(pdf)) as opened:
        return [re.sub("\u00ad\\s+", "", " ".join(page.extract_text().split())) for page in opened.pages]


def words_of(text: str) -> Counter[str]:
    """Return the words of a text with their number, without points and brackets: two columns side by side are read as one line."""
    return Counter(word for one in text.split() if (word := one.strip(".,;:()[]·")))


def heights_mm(pdf: bytes) -> dict[str, float]:
    """Return the least height of the lower-case x in every face of a file, from the outlines embedded in it. [mm]"""
    found: dict[str, float] = {}
    outlines = {name: _outline(font) for name, font in _fonts(pdf).items()}
    with pdfplumber.open(BytesIO(pdf)) as opened:
        for page in opened.pages:
            for letter in page.chars:
                outline = outlines[letter["fontname"]]
                if outline is not None:
                    height = letter["size"] * outline * MM
                    found[letter["fontname"]] = min(height, found.get(letter["fontname"], 99.0))
    return found


def _fonts(pdf: bytes) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for page in pypdf.PdfReader(BytesIO(pdf)).pages:
        fonts: Any = page["/Resources"]["/Font"]  # type: ignore[index] # pypdf's own typing is loose
        for font in fonts.values():
            one = font.get_object()
            found[str(one["/BaseFont"])[1:]] = one
    return found


def _outline(font: Any) -> float | None:
    """Return the height of x in an embedded subset, as a share of the size; None where it holds no x."""
    embedded = TTFont(BytesIO(font["/FontDescriptor"]["/FontFile2"].get_data()))
    table = font["/ToUnicode"].get_data().decode("ascii")
    codes = {int(text, 16): int(code, 16) for code, text in re.findall(r"<([0-9A-F]{2})> <([0-9A-F]{4})>", table)}
    if ord("x") not in codes:
        return None
    glyph = next(sub.cmap[codes[ord("x")]] for sub in embedded["cmap"].tables if codes[ord("x")] in sub.cmap)
    glyphs = embedded.getGlyphSet()
    pen = BoundsPen(glyphs)
    glyphs[glyph].draw(pen)
    return float(pen.bounds[3]) / float(embedded["head"].unitsPerEm)
