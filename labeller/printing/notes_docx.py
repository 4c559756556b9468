"""Menu notes as a file of a word processor (Office Open XML), to be pasted into a menu or edited: headings, plain paragraphs, the key at every page's foot.

The same notes on the same day give the same bytes: no clock, no user's name and no machine's order goes into the file.
"""

import zipfile
from collections.abc import Iterable
from datetime import UTC, date, datetime
from io import BytesIO
from typing import Any

from docx import Document
from docx.oxml import OxmlElement
from docx.oxml.ns import qn
from docx.shared import Mm, Pt, RGBColor

from labeller.declarations.marked_text import MarkedText
from labeller.declarations.notes_content import KEY_HEAD, KEY_MEANS, DishNote, MenuNotes, statement_sentences

_MADE_BY = "labeller"
_BODY_PT = 10.5
_SMALL_PT = 9.0
_BLACK = RGBColor(0, 0, 0)
_SIZES_PT = {"Title": 24.0, "Heading 1": 15.0, "Heading 2": 12.0}
_KEEP_SPACE = "{http://www.w3.org/XML/1998/namespace}space"
_EARLIEST = (1980, 1, 1, 0, 0, 0)


def notes_as_docx(notes: MenuNotes, day: date) -> bytes:
    """Return menu notes as a word processor's file.

    Parameters
    ----------
    notes : MenuNotes
        What they say.
    day : date
        Day of the run, which dates the file.
    """
    made = Document()
    _set_styles(made)
    _say_of_itself(made, notes, day)
    book = notes.book_language if notes.book_language.split("-")[0].lower() != "en" else ""
    _write(made.add_paragraph(style="Title"), notes.title, book)
    made.add_paragraph(notes.house)
    made.add_paragraph().add_run(notes.opening).bold = True
    if notes.key:
        made.add_heading(KEY_HEAD, level=1)
        made.add_paragraph(KEY_MEANS)
        for letters, words in notes.key:
            row = made.add_paragraph()
            row.paragraph_format.space_after = Pt(0)
            row.add_run(letters).bold = True
            row.add_run(f"  {words}")
    for section in notes.sections:
        _write(made.add_heading(level=1), section.title, book)
        for dish in section.dishes:
            _add_dish(made, dish, book)
    made.add_paragraph()
    for caution in (*notes.cautions, notes.foot):
        made.add_paragraph(caution)
    _set_foot(made, notes)
    out = BytesIO()
    made.save(out)
    return _with_fixed_days(out.getvalue(), day)


def _add_dish(made: Any, dish: DishNote, book: str) -> None:
    _write(made.add_heading(level=2), dish.name, book)
    if dish.description:
        run = _write(_line(made), dish.description, book)
        run.italic = True
    if dish.energy:
        # A law wants calories no smaller than the name or the price: 21 CFR 101.11(b)(2)(i)(A)(3).
        _line(made).add_run(dish.energy).font.size = Pt(_SIZES_PT["Heading 2"])
    for line in dish.lines:
        last = _line(made)
        _write_marked(last, line.text, line.language)
        if line is dish.lines[-1]:
            last.paragraph_format.keep_with_next = False


def _line(made: Any) -> Any:
    paragraph = made.add_paragraph()
    paragraph.paragraph_format.space_after = Pt(1)
    paragraph.paragraph_format.keep_with_next = True
    paragraph.paragraph_format.keep_together = True
    return paragraph


def _write(paragraph: Any, text: str, language: str) -> Any:
    run = paragraph.add_run(text)
    _set_language(run, language)
    return run


def _write_marked(paragraph: Any, text: MarkedText, language: str) -> None:
    """Write a text with its spans in bold: hundreds of runs, so the elements are made here and not through the library's own layers."""
    for piece, strong in text.pieces():
        run = OxmlElement("w:r")
        if strong or language:
            look = OxmlElement("w:rPr")
            if strong:
                look.append(OxmlElement("w:b"))
            if language:
                look.append(_language(language))
            run.append(look)
        words = OxmlElement("w:t")
        words.text = " ".join(piece.splitlines()) if "\n" in piece else piece
        words.set(_KEEP_SPACE, "preserve")
        run.append(words)
        paragraph._p.append(run)  # noqa: SLF001 - the library has no quick way


def _set_language(run: Any, language: str) -> None:
    if language:
        run._element.get_or_add_rPr().append(_language(language))  # noqa: SLF001 - the library has no other way to it


def _language(language: str) -> Any:
    element = OxmlElement("w:lang")
    element.set(qn("w:val"), language)
    return element


def _set_styles(made: Any) -> None:
    section = made.sections[0]
    section.page_width, section.page_height = Mm(210), Mm(297)
    section.left_margin = section.right_margin = Mm(25)
    section.top_margin = section.bottom_margin = Mm(20)
    styles = made.styles
    styles["Normal"].font.size = Pt(_BODY_PT)
    styles["Normal"].paragraph_format.space_after = Pt(4)
    for name, size in _SIZES_PT.items():
        style = styles[name]
        style.font.size = Pt(size)
        style.font.color.rgb = _BLACK
        style.font.bold = True
    border = styles["Title"].element.find(f".//{qn('w:pBdr')}")
    if border is not None:
        border.getparent().remove(border)
    # The language of all text that has none of its own.
    defaults = styles.element.find(f".//{qn('w:rPrDefault')}/{qn('w:rPr')}/{qn('w:lang')}")
    if defaults is not None:
        defaults.set(qn("w:val"), "en")


def _set_foot(made: Any, notes: MenuNotes) -> None:
    """Write at the foot of every page what must stand on every page: the key, and the law's sentences beside energy."""
    foot = made.sections[0].footer
    paragraph = foot.paragraphs[0]
    if notes.key:
        rows = "; ".join(f"{letters} {words}" for letters, words in notes.key)
        paragraph.add_run(f"{KEY_HEAD}: {rows}.").font.size = Pt(_SMALL_PT)
        paragraph = foot.add_paragraph() if notes.statements else paragraph
    if notes.statements:
        paragraph.add_run(statement_sentences(notes.statements)).font.size = Pt(_SIZES_PT["Heading 2"])


def _say_of_itself(made: Any, notes: MenuNotes, day: date) -> None:
    package = made.part.package
    for number in [
        number for number, one in package.rels.items() if one.reltype.endswith(("/thumbnail", "/extended-properties"))
    ]:
        del package.rels[number]  # a picture and the name of a program that the library's own template brings along
    of = made.core_properties
    moment = datetime(day.year, day.month, day.day, tzinfo=UTC)
    of.title, of.subject = f"{notes.title}: {notes.house}"[:255], notes.foot[:255]
    of.author = of.last_modified_by = _MADE_BY
    of.comments = of.keywords = of.category = ""
    of.language, of.revision = "en", 1
    of.created = of.modified = moment


def _with_fixed_days(raw: bytes, day: date) -> bytes:
    """Return the same archive with its parts in the order of their names and dated by the day of the run."""
    moment = (day.year, day.month, day.day, 0, 0, 0) if day.year >= _EARLIEST[0] else _EARLIEST
    out = BytesIO()
    with zipfile.ZipFile(BytesIO(raw)) as made, zipfile.ZipFile(out, "w") as fixed:
        for name in _in_order(made.namelist()):
            part = zipfile.ZipInfo(name, moment)
            part.compress_type = zipfile.ZIP_DEFLATED
            part.create_system = 0
            fixed.writestr(part, made.read(name), compresslevel=6)
    return out.getvalue()


def _in_order(names: Iterable[str]) -> list[str]:
    # Readers look for the list of parts first.
    return sorted(names, key=lambda name: (name != "[Content_Types].xml", name))
