"""Paint a document as PDF: the same bytes for the same layout, letters embedded, everything tagged for reading aloud.

Nothing is decided here: every line stands where the layout put it. A layout that breaks a rule of ours (`layout_checks`) is our own bug and is
refused, never painted.

References
----------
.. [1] ISO 32000-1:2008, Document management, Portable document format, Part 1: 9.4 text objects, 14.6 marked content, 14.7 logical structure,
   14.8 tagged PDF (14.8.2.2.3: a hyphen that parts a word is U+00AD).
"""

import hashlib
import math
from dataclasses import dataclass, field, replace
from functools import cache
from typing import Any, ClassVar

from reportlab import rl_config
from reportlab.lib.utils import TimeStamp
from reportlab.pdfbase.pdfdoc import (
    PDFDictionary,
    PDFDocument,
    PDFName,
    PDFPage,
    PDFText,
)
from reportlab.pdfbase.ttfonts import TTFont

from labeller.printing.faces import MM_PER_POINT, FaceName, face, text_width_mm
from labeller.printing.layout_checks import layout_problems
from labeller.printing.page import Document, Fill, Item, Page, Role, Rule, Run, TextLine
from labeller.printing.tagging import StructureTree

# Streams as they are: written in printable letters they would be a quarter longer, and slower to make.
rl_config.useA85 = 0

_PRODUCER = "labeller"
_TAGS: dict[Role, str] = {"title": "H1", "heading": "H2"}


class LayoutBrokenError(Exception):
    """A layout broke a rule of ours: a bug in what laid it out."""


def paint(document: Document, *, compress: bool = True, check: bool = True) -> bytes:
    """Return a document as PDF.

    Parameters
    ----------
    document : Document
        What is painted.
    compress : bool
        False leaves the pages' own instructions readable.
    check : bool
        False paints a layout that breaks a rule, to look at it.

    Raises
    ------
    LayoutBrokenError
        If the layout breaks a rule, naming each place.
    """
    problems = layout_problems(document) if check else ()
    if problems:
        raise LayoutBrokenError("\n".join(problem.as_text() for problem in problems))
    file = PDFDocument(compression=int(compress), invariant=1, lang=document.language, pdfVersion=(1, 7))
    _say_of_itself(file, document)
    tree = StructureTree(file, document.language)
    shown: _Shown = {}
    painted = [_paint_page(file, tree, page, number, shown) for number, page in enumerate(document.pages)]
    digest = hashlib.md5(usedforsecurity=False)
    for page, stream in zip(document.pages, painted, strict=True):
        _add_page(file, page, stream, compress=compress)
        digest.update(stream.encode("ascii"))
    tree.finish()
    for words in (document.title, document.subject, document.language, document.day.isoformat()):
        digest.update(words.encode("utf-8"))
    identity = PDFText(digest.digest(), enc="raw").format(file)
    file._ID = b"\n[" + identity + identity + b"]\n"  # noqa: SLF001 - the library has no other way to a fixed identity
    made = file.GetPDFData(None)
    return bytes(made) if isinstance(made, bytes) else str(made).encode("latin-1")


def _say_of_itself(file: Any, document: Document) -> None:
    info = file.info
    info.title, info.subject = document.title, document.subject
    info.author = info.creator = info.producer = _PRODUCER
    info.keywords = ""
    # The library's own fixed moment is the year 2000 or an environment variable; ours is the day of the run.
    moment = TimeStamp(invariant=1)
    moment.YMDhms = (document.day.year, document.day.month, document.day.day, 0, 0, 0)
    moment.dhh = moment.dmm = 0
    file._timeStamp = moment  # noqa: SLF001 - as above
    # PDF viewers show the title, not the name of the file; pages are read in the order of the structure.
    file.Catalog.ViewerPreferences = PDFDictionary({"DisplayDocTitle": PDFName("true")[1:]})
    file.Catalog.MarkInfo = PDFDictionary({"Marked": "true"})


@cache
def _font(name: FaceName) -> Any:
    one = face(name)
    font = TTFont(one.postscript_name, str(one.path), asciiReadable=False)
    font.face.name = one.postscript_name.encode("ascii")
    for letter, glyph in one.own_glyphs.items():
        font.face.charToGlyph[ord(letter)] = glyph
        font.face.charWidths[ord(letter)] = one.advances[letter] * 1000.0
    return font


class _PageWithStructure(PDFPage):  # type: ignore[misc] # reportlab has no types
    """A page that also says where its structure is."""

    __NoDefault__: ClassVar[list[str]] = [*PDFPage.__NoDefault__, "StructParents", "Tabs"]


def _add_page(file: Any, page: Page, stream: str, *, compress: bool) -> None:
    made = _PageWithStructure()
    made.pagewidth, made.pageheight = _points(page.width), _points(page.height)
    made.setCompression(int(compress))
    made.setStream(stream)
    made.ExtGState = made.XObjects = None
    made._shadingUsed = made._colorsUsed = {}  # noqa: SLF001 - the library's canvas sets it; we paint without one
    made.StructParents = file.pageCounter - 1
    made.Tabs = PDFName("S")
    file.addPage(made)


_Shown = dict[tuple[str, FaceName], list[tuple[str, str]]]
"""How pieces of text are shown in one file: what many pages say alike is worked out once."""


@dataclass(slots=True)
class _Brush:
    """Instructions of one page as they are written."""

    height: float
    shown: _Shown
    written: list[str] = field(default_factory=list)

    def say(self, *words: str) -> None:
        self.written.append(" ".join(words))

    def place(self, x: float, y: float) -> str:
        return f"{_number(_points(x))} {_number(_points(self.height - y))}"


def _paint_page(file: Any, tree: StructureTree, page: Page, number: int, shown: _Shown) -> str:
    brush = _Brush(page.height, shown)
    open_block = ""
    for place, item in enumerate(page.items):
        block = item.block if isinstance(item, TextLine) else ""
        if open_block and block != open_block:
            brush.say("EMC")
            open_block = ""
        if isinstance(item, TextLine):
            if not open_block:
                tag = _TAGS.get(item.role, "P")
                mark = tree.mark(number, item, tag)
                brush.say(f"/{tag} <</MCID {mark}>> BDC")
                open_block = block
            _paint_line(file, brush, item, goes_on=_goes_on(page, place))
        else:
            _paint_artefact(brush, item)
    if open_block:
        brush.say("EMC")
    return "\n".join(brush.written) + "\n"


def _goes_on(page: Page, place: int) -> bool:
    """Return whether the next line goes on with another word of the same paragraph: a space then parts the two for who has it read out."""
    line = page.items[place]
    after = page.items[place + 1] if place + 1 < len(page.items) else None
    if not isinstance(line, TextLine) or not isinstance(after, TextLine):
        return False
    return after.block == line.block and not line.within_word


def _paint_artefact(brush: _Brush, item: Item) -> None:
    """Paint what is not read aloud."""
    brush.say("/Artifact BMC q")
    if isinstance(item, Fill):
        box = item.box
        size = f"{_number(_points(box.width))} {_number(_points(box.height))}"
        fill = (_tone(item.tone), "g") if item.colour is None else (*(_tone(part) for part in item.colour), "rg")
        brush.say(*fill, brush.place(box.x, box.bottom), size, "re f")
    elif isinstance(item, Rule):
        dash = " ".join(_number(_points(one)) for one in item.dash_mm)
        brush.say(_tone(item.tone), "G", _number(item.weight_pt), "w", f"[{dash}] 0 d")
        brush.say(brush.place(item.x1, item.y1), "m", brush.place(item.x2, item.y2), "l S")
    brush.say("Q EMC")


def _paint_line(file: Any, brush: _Brush, line: TextLine, *, goes_on: bool) -> None:
    brush.say("BT", _tone(line.ink.letters), "g")
    x = line.x
    runs = line.runs
    if goes_on and runs:
        runs = (*runs[:-1], replace(runs[-1], text=runs[-1].text + " "))
    matrix, way = ("-1 0 0 -1", -1.0) if line.turned else ("1 0 0 1", 1.0)
    for run in runs:
        brush.say(matrix, brush.place(x, line.baseline), "Tm")
        key = (run.text, run.face)
        pieces = brush.shown.get(key)
        if pieces is None:
            pieces = brush.shown[key] = _shown(file, run)
        for font, letters in pieces:
            brush.say(font, _number(run.size_pt), "Tf", letters, "TJ")
        x += way * text_width_mm(run.text, run.face, run.size_pt)
    brush.say("ET")


def _shown(file: Any, run: Run) -> list[tuple[str, str]]:
    """Return the letters of a run as the embedded fonts number them, with the kerning between them.

    A font is embedded in parts of 256 letters, so a run may change from part to part.
    """
    font, one = _font(run.face), face(run.face)
    found: list[tuple[str, str]] = []
    at = 0
    for subset, codes in font.splitString(run.text, file):
        pieces: list[str] = []
        held = ""
        for code in codes:
            held += f"{code:02X}"
            move = one.kern(run.text[at], run.text[at + 1]) if at + 1 < len(run.text) else 0.0
            at += 1
            if move:
                # The pen goes back by thousandths of the size: closer is positive [1]_.
                pieces += [f"<{held}>", _number(-1000.0 * move)]
                held = ""
        if held:
            pieces.append(f"<{held}>")
        found.append((font.getSubsetInternalName(subset, file), f"[{' '.join(pieces)}]"))
    return found


def _points(mm: float) -> float:
    return mm / MM_PER_POINT


def _tone(level: int) -> str:
    return _number(level / 255.0)


def _number(value: float) -> str:
    """Return a number as a page's instructions have it; ten-thousandths of a point are far below what a printer sets."""
    if not math.isfinite(value):
        raise LayoutBrokenError("A length of the layout is not a number.")
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text
