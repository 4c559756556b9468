"""Menu notes in five forms: what a guest must know is found back in each, whatever the dishes are called."""

import re
import zipfile
from dataclasses import replace
from html.parser import HTMLParser
from io import BytesIO
from typing import Any

import docx
import pdfplumber
import pypdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labeller.declarations.marked_text import MarkedText
from labeller.declarations.notes_content import KEY_MEANS, DishNote, MenuNotes, NoteLine, NoteSection
from labeller.declarations.notes_html import notes_as_html
from labeller.declarations.notes_letters import LetterKey, letters_of
from labeller.declarations.notes_markdown import escaped, notes_as_markdown
from labeller.declarations.notes_text import WIDTH, notes_as_text
from labeller.jurisdictions.packs import known_jurisdictions, load_jurisdiction
from labeller.printing.faces import FACE_NAMES, MM_PER_POINT, face
from labeller.printing.layout_checks import layout_problems
from labeller.printing.notes_docx import notes_as_docx
from labeller.printing.notes_pages import PAPERS_MM, PageTooSmall, notes_document
from labeller.printing.page import Document
from labeller.printing.painter import paint
from tests.printing.reviewed_layouts import assert_as_reviewed
from tests.printing.sheets_and_notes import (
    UNKNOWN,
    Plate,
    allergen_words,
    book_text,
    declarations,
    dishes,
    generated,
    laws,
    notes_of,
    opened_book,
    paragraphs,
    plain,
)
from tests.printing.specimens import DAY

FEW = settings(max_examples=12, deadline=None, derandomize=True)
MANY = settings(max_examples=40, deadline=None, derandomize=True)
MENU = "- menu: supper\n  sections:\n    to begin: [soup of everything]\n    afterwards: [water and kirsch, nothing known]\n"
HOUSE = [
    Plate("soup of everything", ["all of them", "cream"], "starter", "with cream"),
    Plate("water and kirsch", ["may be any", "kirsch"], "dessert"),
    Plate("nothing known", [UNKNOWN], "dessert"),
    Plate("on no menu", ["plain water"], "main"),
]
# The statement of the Calorie Labelling (Out of Home Sector) (England) Regulations 2021, regulation 5, and those of
# 21 CFR 101.11(b)(2)(i)(B) and (C), typed from their texts.
ENGLAND = "adults need around 2000 kcal a day"
UNITED_STATES = "2,000 calories a day is used for general nutrition advice, but calorie needs vary."
ON_REQUEST = "Additional nutrition information available upon request."


def pages(notes: MenuNotes, paper: str = "a4") -> Document:
    document = notes_document(notes, paper, DAY)
    assert isinstance(document, Document)
    return document


class _Read(HTMLParser):
    """The text of a page of HTML, its headings, and every address it would load."""

    def __init__(self) -> None:
        super().__init__()
        self.text = ""
        self.headings: list[tuple[str, str]] = []
        self.languages: list[str] = []
        self.loads: list[str] = []
        self._in: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag != "meta":
            self._in.append(tag)
        if tag in {"h1", "h2", "h3"}:
            self.headings.append((tag, ""))
        for name, value in attrs:
            if name == "lang":
                self.languages.append(value or "")
            if name in {"src", "href", "srcset", "data", "action"} or name.startswith("on"):
                self.loads.append(value or "")

    def handle_endtag(self, tag: str) -> None:
        assert self._in.pop() == tag
        self.text += " "

    def handle_data(self, data: str) -> None:
        if "style" in self._in:
            return
        self.text += data
        if self._in and self._in[-1] in {"h1", "h2", "h3"}:
            tag, said = self.headings[-1]
            self.headings[-1] = (tag, said + data)

    def whole(self, page: str) -> "_Read":
        self.feed(page)
        self.close()
        assert not self._in
        return self


def html(notes: MenuNotes) -> _Read:
    return _Read().whole(notes_as_html(notes))


def docx_text(raw: bytes) -> str:
    made = docx.Document(BytesIO(raw))
    return plain(
        " ".join([one.text for one in made.paragraphs] + [one.text for one in made.sections[0].footer.paragraphs])
    )


def markdown_text(text: str) -> str:
    """Return Markdown as it is read: marks of headings, bold and italics off, then the escapes (CommonMark 0.31.2, 2.4)."""
    shown = []
    for line in text.splitlines():
        bare = re.sub(r"^(#{1,6} |- |---$)", "", line)
        bare = re.sub(r"(?<!\\)\*", "", bare)
        shown.append(re.sub(r"\\([!-/:-@\[-`{-~])", r"\1", bare))
    return plain(" ".join(shown))


def text_text(text: str) -> str:
    return plain(text).casefold()


@FEW
@given(found=dishes, by_letters=st.booleans(), law=laws)
def test_every_allergen_word_is_found_back_in_every_form(
    found: list[tuple[str, list[str]]], by_letters: bool, law: str
) -> None:
    opened = generated(found, law)
    notes = notes_of(opened, by_letters=by_letters)
    document = pages(notes)
    assert layout_problems(document) == ()
    forms = {
        "pdf": plain(" ".join(paragraphs(paint(document)))),
        "docx": docx_text(notes_as_docx(notes, DAY)),
        "html": plain(html(notes).text),
        "markdown": markdown_text(notes_as_markdown(notes)),
        "text": text_text(notes_as_text(notes)),
    }
    wanted = {word for one in declarations(opened) for word in allergen_words(one)}
    wanted |= {plain(dish.name) for section in notes.sections for dish in section.dishes}
    for form, text in forms.items():
        for word in wanted:
            assert (word.casefold() if form == "text" else word) in text, form


@MANY
@given(found=dishes)
def test_each_dish_says_in_words_what_is_in_it_and_what_is_not_known(found: list[tuple[str, list[str]]]) -> None:
    opened = generated(found)
    by_name = {one.name: one for one in declarations(opened)}
    for section in notes_of(opened).sections:
        for dish in section.dishes:
            said = " ".join(line.text.text for line in dish.lines)
            for word in allergen_words(by_name[dish.of]):
                assert word in said
            if any(row.unconfirmed and row.status != "contains" for row in by_name[dish.of].allergens):
                assert any(
                    line.kind == "ask" and line.text.text.startswith("Please ask us about") for line in dish.lines
                )


@MANY
@given(found=dishes)
def test_a_letter_never_stands_for_what_is_not_known(found: list[tuple[str, list[str]]]) -> None:
    opened = generated(found)
    words, letters = notes_of(opened), notes_of(opened, by_letters=True)
    for section, other in zip(words.sections, letters.sections, strict=True):
        for dish, short in zip(section.dishes, other.dishes, strict=True):
            kinds = [line.kind for line in dish.lines]
            assert kinds == [line.kind for line in short.lines]
            for line, shortened in zip(dish.lines, short.lines, strict=True):
                if line.kind not in {"contains", "may contain"}:
                    assert line == shortened
                else:
                    # The head stays in words, and every source in brackets too.
                    assert shortened.text.text.startswith(line.text.text.split(" ")[0])
                    assert re.findall(r"\(.*?\)", line.text.text) == re.findall(r"\(.*?\)", shortened.text.text)


@pytest.mark.parametrize("law", known_jurisdictions())
def test_letters_of_a_law_are_its_own_words_and_no_two_alike(law: str) -> None:
    in_force = load_jurisdiction(law).in_force_on(DAY)
    key = LetterKey(in_force)
    letters = [letters for letters, _ in key.rows]
    assert len(letters) == len(in_force.groups) == len(set(letters))
    for short, words in key.rows:
        assert words.lower().startswith(short.lower())
        assert key.short(words.split(" (")[0]) == short
    # No letters begin others: "Mu" is never read as "M" and "u".
    assert not any(one != other and other.startswith(one) for one in letters for other in letters)


def test_letters_grow_where_two_words_begin_alike() -> None:
    words = ["milk", "millet", "egg"]
    assert [letters_of(word, words) for word in words] == ["Milk", "Mill", "Eg"]


def test_the_key_is_on_every_page() -> None:
    plates = [Plate(f"dish {number:02d}", ["all of them", "may be any", UNKNOWN]) for number in range(24)]
    document = pages(notes_of(opened_book(book_text(plates)), by_letters=True))
    assert len(document.pages) > 3
    for number, page in enumerate(document.pages, start=1):
        text = plain(" ".join(line.text for line in page.lines))
        for words in ("Gl gluten (wheat, rye, barley, oats)", "Nu nuts", "Mo molluscs (mussel, squid)", KEY_MEANS):
            assert words in text
        assert f"page {number} of {len(document.pages)}" in text


def test_a_menu_stands_in_its_own_sections_and_order() -> None:
    opened = opened_book(book_text(HOUSE, menus=MENU))
    notes = notes_of(opened, menu="supper")
    assert notes.title == "Supper"
    assert [(one.title, [dish.name for dish in one.dishes]) for one in notes.sections] == [
        ("To begin", ["Soup of everything"]),
        ("Afterwards", ["Water and kirsch", "Nothing known"]),
    ]
    assert html(notes).headings == [
        ("h1", "Supper"), ("h2", "To begin"), ("h3", "Soup of everything"), ("h2", "Afterwards"), ("h3", "Water and kirsch"),
        ("h3", "Nothing known"),
    ]  # fmt: skip


def test_without_a_menu_dishes_stand_by_course() -> None:
    notes = notes_of(opened_book(book_text(HOUSE)))
    assert [one.title for one in notes.sections] == [
        "Starter",
        "Main",
        "Dessert",
    ]  # the order of serving; common practice, no source


def test_opening_and_closing_words_are_in_every_form() -> None:
    notes = notes_of(opened_book(book_text(HOUSE)))
    for text in (
        " ".join(paragraphs(paint(pages(notes)))),
        docx_text(notes_as_docx(notes, DAY)),
        html(notes).text,
        markdown_text(notes_as_markdown(notes)),
        plain(notes_as_text(notes)),
    ):
        said = plain(text)
        assert "Please tell us of any allergy before you order" in said
        assert (
            "Dishes with alcohol are not for children, nor in pregnancy, in recovery, or with medicines that forbid it."
            in said
        )
        assert "Cooking does not take all of it away." in said
        assert "Law: Great Britain, 25 November 2026" in said


@pytest.mark.parametrize(("law", "statements"), [("gb", [ENGLAND]), ("us", [UNITED_STATES, ON_REQUEST])])
def test_energy_stands_beside_the_dish_and_the_statement_on_each_page(law: str, statements: list[str]) -> None:
    plates = [Plate(f"cream {number:02d}", ["kirsch"]) for number in range(30)]
    notes = notes_of(opened_book(book_text(plates, law=law)), energy=True)
    document = pages(notes)
    assert len(document.pages) > 1
    unit = {"gb": r"\d+ kJ \(\d+ kcal\) a portion", "us": r"\d+ Calories a portion"}[law]
    for page in document.pages:
        text = plain(" ".join(line.text for line in page.lines))
        assert re.search(unit, text)
        for one in statements:
            assert one in text
        # 21 CFR 101.11(b)(2)(i)(B): no smaller than the smallest calorie figure, as dark.
        figures = [line for line in page.lines if line.block.endswith("energy")]
        said = [line for line in page.lines if line.block.startswith("statements")]
        assert min(run.size_pt for line in said for run in line.runs) >= min(
            run.size_pt for line in figures for run in line.runs
        )
        assert {line.ink.letters for line in (*figures, *said)} == {0}
        # 21 CFR 101.11(b)(2)(i)(A)(3): the figure no smaller than the name of the dish.
        names = [line for line in page.lines if line.block.endswith("name")]
        assert min(run.size_pt for line in figures for run in line.runs) >= max(
            run.size_pt for line in names for run in line.runs
        )
    for text in (docx_text(notes_as_docx(notes, DAY)), html(notes).text, markdown_text(notes_as_markdown(notes))):
        for one in statements:
            assert one in plain(text)


def test_without_energy_no_figure_and_no_statement() -> None:
    text = plain(html(notes_of(opened_book(book_text(HOUSE)))).text)
    assert "kcal" not in text
    assert ENGLAND not in text


def test_energy_with_gaps_is_asked_about_and_not_printed() -> None:
    notes = notes_of(opened_book(book_text([Plate("gaps", ["kirsch", UNKNOWN])])), energy=True)
    assert notes.sections[0].dishes[0].energy == "Energy: please ask us"


NASTY = [
    "<script>alert(1)</script>", "# not a heading", "*not bold*", "1. no list", "- no list", "> no quote", "[a](http://b.example)",
    "![a](b)", "`code`", "www.a.example", "http://a.example", "cook@a.example", "a | b", "~~gone~~", "&amp; & &#65;", "_a_ __b__", "+ plus",
    '" onload="x', "\\* \\\\", "$x^2$", "===",
]  # fmt: skip


@pytest.mark.parametrize("name", NASTY)
def test_what_the_cook_wrote_stays_text(name: str) -> None:
    # Capitals at the head of a line are ours, so the name stands behind a letter.
    opened = opened_book(book_text([Plate(name, ["plain water"], description=name)]))
    notes = notes_of(opened)
    shown = notes.sections[0].dishes[0].name
    page = notes_as_html(notes)
    read = _Read().whole(page)
    assert (("h3", shown)) in read.headings
    assert "<script" not in page
    assert read.loads == []
    markdown = notes_as_markdown(notes)
    assert plain(shown) in markdown_text(markdown)
    head = next(line for line in markdown.splitlines() if line.startswith("### "))
    for sign in "*_`[]<>&#~|":
        assert not re.search(rf"(?<!\\)\{sign}", head[4:].replace("\\\\", ""))
    assert "www." not in head
    assert not re.search(r"(?<!\\)://", head)
    assert not re.search(r"(?<!\\)@", head)


@MANY
@given(text=st.text(min_size=1, max_size=80))
def test_escapes_are_undone_to_the_very_text(text: str) -> None:
    assert re.sub(r"\\([!-/:-@\[-`{-~])", r"\1", escaped(text)) == " ".join(text.split())


def test_html_is_one_page_that_loads_nothing_and_says_its_language() -> None:
    page = notes_as_html(notes_of(opened_book(book_text(HOUSE))))
    assert page.startswith('<!DOCTYPE html>\n<html lang="en">')
    read = _Read().whole(page)
    assert read.loads == []
    assert "url(" not in page
    assert "@import" not in page
    french = notes_as_html(notes_of(opened_book(book_text(HOUSE)), language="fr"))
    assert "fr" in _Read().whole(french).languages
    assert "Contient" in french  # Regulation (EU) No 1169/2011, Article 9 and Annex II, French text


def test_allergens_in_another_language_never_stand_without_a_head() -> None:
    notes = notes_of(opened_book(book_text(HOUSE)), language="de")
    lines = [line for section in notes.sections for dish in section.dishes for line in dish.lines if line.language]
    assert {line.text.text.split(" ")[0] for line in lines} == {"Enthält", "May", "Please"}
    assert {line.kind for line in lines} == {"contains", "may contain", "ask"}


@MANY
@given(found=dishes)
def test_plain_text_has_lines_of_at_most_78_letters_but_for_longer_words(found: list[tuple[str, list[str]]]) -> None:
    text = notes_as_text(notes_of(generated(found)))
    for line in text.splitlines():
        assert len(line) <= WIDTH or len(line.split()) == 1
    assert text.endswith("\n")
    assert "\t" not in text


def test_plain_text_sets_allergens_apart_in_capitals() -> None:
    text = notes_as_text(notes_of(opened_book(book_text([Plate("ice", ["cream", "half known nuts"])]))))
    assert "    Contains MILK, NUTS (HAZELNUT)." in text
    letters = notes_as_text(notes_of(opened_book(book_text([Plate("ice", ["cream"])])), by_letters=True))
    assert "    Contains MI." in letters
    assert re.search(r"^ +MI +milk$", letters, re.MULTILINE)


def test_docx_has_headings_bold_allergens_its_language_and_the_key_at_every_foot() -> None:
    opened = opened_book(book_text(HOUSE, menus=MENU))
    made = docx.Document(BytesIO(notes_as_docx(notes_of(opened, menu="supper", by_letters=True), DAY)))
    headings = [
        (one.style.name, one.text) for one in made.paragraphs if one.style is not None and one.style.name != "Normal"
    ]
    assert headings[0] == ("Title", "Supper")
    assert ("Heading 1", "To begin") in headings
    assert ("Heading 2", "Soup of everything") in headings
    assert made.core_properties.language == "en"
    assert made.core_properties.title == "Supper: The Saltmarsh Room"
    bold = {run.text for one in made.paragraphs for run in one.runs if run.bold}
    assert "Gl (wheat, rye, barley, oats)" in bold
    foot = made.sections[0].footer.paragraphs[0].text
    assert foot.startswith("Key to the letters: Gl gluten (wheat, rye, barley, oats); Cr crustaceans")


def test_docx_is_the_same_bytes_and_dated_by_the_day_of_the_run() -> None:
    notes = notes_of(opened_book(book_text(HOUSE)))
    raw = notes_as_docx(notes, DAY)
    assert raw == notes_as_docx(notes, DAY)
    with zipfile.ZipFile(BytesIO(raw)) as made:
        assert {part.date_time for part in made.infolist()} == {(2026, 11, 25, 0, 0, 0)}
        assert made.testzip() is None
    properties = docx.Document(BytesIO(raw)).core_properties
    assert properties.created is not None
    assert properties.created.date() == DAY
    assert properties.author == "labeller"


def test_every_form_is_the_same_for_the_same_book_and_day() -> None:
    first, second = (notes_of(opened_book(book_text(plates))) for plates in (HOUSE, HOUSE[::-1]))
    assert first == second
    assert paint(pages(first)) == paint(pages(second))
    assert notes_as_html(first) == notes_as_html(second)
    assert notes_as_text(first) == notes_as_text(second)


@pytest.mark.parametrize("paper", sorted(PAPERS_MM))
def test_pages_stand_within_margins_with_letters_tall_enough(paper: str) -> None:
    document = pages(notes_of(opened_book(book_text(HOUSE)), by_letters=True, energy=True), paper)
    assert layout_problems(document) == ()
    by_name = {face(name).postscript_name: face(name).x_height for name in FACE_NAMES}
    for page in document.pages:
        assert (page.width, page.height) == PAPERS_MM[paper]
        for line in page.lines:
            if line.role in {"allergens", "alcohol", "caution"}:
                # Read lying on a table; our own, common practice, no source.
                assert line.x_height_mm >= 1.25
                # WCAG 2.1, success criterion 1.4.6.
                assert line.ink.contrast >= 7.0
    with pdfplumber.open(BytesIO(paint(document))) as pdf:
        for one in pdf.pages:
            for letter in one.chars:
                assert 4.0 / MM_PER_POINT <= letter["x0"] <= letter["x1"] <= one.width - 4.0 / MM_PER_POINT
                assert by_name[letter["fontname"].split("+")[1]] * letter["size"] * MM_PER_POINT >= 1.2


def test_a_dish_stays_on_one_page_and_headings_never_stand_last() -> None:
    plates = [
        Plate(
            f"dish {number:02d}", ["all of them", "may be any", "kirsch"], ("starter", "main", "dessert")[number % 3]
        )
        for number in range(40)
    ]
    document = pages(notes_of(opened_book(book_text(plates))))
    where: dict[str, set[int]] = {}
    for number, page in enumerate(document.pages):
        blocks = [line.block for line in page.lines]
        for block in blocks:
            if block.startswith("dish "):
                where.setdefault(block.split(",")[0], set()).add(number)
        above_foot = [block for block in blocks if not re.search(r", page \d+$", block)]
        assert above_foot[-1].startswith("dish ")
        assert not above_foot[-1].endswith("name")
    assert len(where) == 40
    assert all(len(on) == 1 for on in where.values())


def test_no_dish_lies_alone_on_the_last_page_where_others_can_join_it() -> None:
    for count in range(8, 20):
        plates = [Plate(f"dish {number:02d}", ["cream"]) for number in range(count)]
        document = pages(notes_of(opened_book(book_text(plates))))
        held = [len({line.block for line in page.lines if line.block.endswith("name")}) for page in document.pages]
        assert sum(held) == count
        assert len(held) == 1 or held[-1] > 1


def test_a_dish_taller_than_a_page_goes_on_under_its_name() -> None:
    many = [f"powder {number} {'of a far away and quite forgotten place ' * 3}".strip() for number in range(60)]
    text = book_text([]) + "".join(f"- ingredient: {one}\n" for one in many)
    text += "- dish: endless\n  plate:\n" + "".join(f"    - 1 g {one}\n" for one in many)
    document = pages(notes_of(opened_book(text)))
    assert len(document.pages) > 1
    assert layout_problems(document) == ()
    said = plain(" ".join(paragraphs(paint(document))))
    assert "Endless, continued" in said
    for number in range(60):
        assert f"powder {number} of a far" in said


def test_pages_are_filled_evenly_and_with_less_white_where_that_saves_one() -> None:
    """Two full pages lie better in a menu than three of which a third is empty: dishes all alike, so pages differ by a few at most."""
    bread = written_notes().sections[0].dishes[0]
    steps: dict[int, float] = {}
    for count in range(16, 60, 6):
        dishes = tuple(replace(bread, of=f"bread {number}", name=f"Bread {number}") for number in range(count))
        document = pages(replace(written_notes(), sections=(NoteSection("Breads", dishes),)))
        names = [[line.baseline for line in page.lines if line.text.startswith("Bread ")] for page in document.pages]
        assert sum(len(one) for one in names) == count
        assert max(len(one) for one in names) - min(len(one) for one in names) <= 3
        steps[count] = names[-1][-1] - names[-1][-2]
    assert len(set(steps.values())) > 1
    assert max(steps.values()) - min(steps.values()) < 2.0  # it is the same paper still


def test_a_page_too_small_is_refused_with_the_mend() -> None:
    notes = written_notes()
    long = replace(notes.sections[0].dishes[0], name="word " * 900)
    found = notes_document(replace(notes, sections=(NoteSection("Snacks", (long,)),)), "a5", DAY)
    assert isinstance(found, PageTooSmall)
    assert "--paper a4" in found.as_text()


def test_a_book_in_another_language_says_so() -> None:
    text = book_text(HOUSE).replace("  jurisdiction: gb\n", "  jurisdiction: gb\n  language: de\n", 1)
    notes = notes_of(opened_book(text))
    assert notes.book_language == "de"
    assert {line.language for line in pages(notes).pages[0].lines} >= {"", "de"}
    assert 'lang="de"' in notes_as_html(notes)
    assert 'w:val="de"' in zipfile.ZipFile(BytesIO(notes_as_docx(notes, DAY))).read("word/document.xml").decode()


def written_notes() -> MenuNotes:
    """Return notes written here, so that the reviewed layout does not follow what declarations say."""
    ice = DishNote(
        "custard ice",
        "Custard ice",
        "with damsons from the jar",
        "812 kJ (195 kcal) a portion",
        (
            NoteLine("contains", MarkedText("Contains Eg, Mi.", ((9, 11), (13, 15)))),
            NoteLine(
                "may contain",
                MarkedText("May contain Nu (hazelnut) (made on the same churn as hazelnut ice).", ((12, 25),)),
            ),
            NoteLine("ask", MarkedText("Please ask us about soya.", ((20, 24),))),
            NoteLine("alcohol", MarkedText("Alcohol: damson gin, uncooked; about 4.4 g in the portion.", ((9, 19),))),
            NoteLine("ask", MarkedText("Please ask us about alcohol: syrup.")),
        ),
    )
    bread = DishNote("bread", "Bread", "", "", (NoteLine("contains", MarkedText("Contains Gl (wheat).", ((9, 19),))),))
    return MenuNotes(
        "The Saltmarsh Room",
        "Dinner",
        "Please tell us of any allergy before you order.",
        (("Gl", "gluten (wheat, rye)"), ("Eg", "egg"), ("Mi", "milk"), ("Nu", "nuts"), ("So", "soya")),
        (NoteSection("Snacks", (bread,)), NoteSection("Desserts", (ice,))),
        ("adults need around 2000 kcal a day",),
        ("Dishes with alcohol are not for children.",),
        "Law: Great Britain, 25 November 2026 · version 1-abcdef",
        "en",
    )


def test_a_page_is_laid_out_as_reviewed() -> None:
    document = pages(written_notes())
    assert layout_problems(document) == ()
    assert_as_reviewed("menu_notes", document)


def test_the_file_is_tagged_with_title_and_language() -> None:
    reader: Any = pypdf.PdfReader(BytesIO(paint(pages(written_notes()))))
    assert reader.metadata.title == "Dinner: The Saltmarsh Room"
    assert reader.trailer["/Root"]["/Lang"] == "en"
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"] == "true" or reader.trailer["/Root"]["/MarkInfo"]["/Marked"]
