"""The finished PDF, measured back by other hands: pdfplumber, pypdf, fontTools."""

import re
import unicodedata
from dataclasses import replace
from datetime import date
from functools import cache
from io import BytesIO
from itertools import pairwise
from typing import Any

import pdfplumber
import pypdf
import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st

import labeller.printing as room
from labeller.printing.faces import FACE_NAMES, FaceName, face
from labeller.printing.page import Box, Cell, Document, Margins, Page
from labeller.printing.painter import LayoutBrokenError, paint
from labeller.printing.preview import page_as_png
from labeller.printing.setting import Style, set_text
from labeller.printing.tones import QUIET
from tests.printing.specimens import DAY, specimen

SAMPLES = {  # ours
    "nb": "Blåbærsyltetøy på grøt, smør og fløte",
    "pl": "Żurek z białą kiełbasą i jajkiem, Łódź, gęś",
    "de": "Weiße Grütze, Käsespätzle, Fußgänger",
    "el": "Ντολμαδάκια αυγολέμονο, μοσχάρι στιφάδο",
    "uk": "Борщ з пампушками, їжа, ґречка, свіжий кріп",
    "fr": "Crème brûlée “à l’ancienne” – œufs, ½ litre, AVATAR Tofu",
}


def text_document(text: str, style: Style | None = None, width: float = 80.0) -> Document:
    done = set_text(text, style or Style("sans", "sans-bold", 9.0), width)
    return Document(
        (Page(100.0, 100.0, done.placed(10.0, 10.0, "a"), Margins(5.0, 5.0, 5.0, 5.0)),), "Text", "en", "a text", DAY
    )


@cache
def painted() -> bytes:
    return paint(specimen())


def reader(pdf: bytes) -> Any:
    return pypdf.PdfReader(BytesIO(pdf))


def test_the_same_layout_and_day_are_the_same_bytes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "86400")
    assert paint(specimen()) == painted()
    assert paint(specimen(), compress=False) == paint(specimen(), compress=False)
    assert paint(replace(specimen(), day=date(2026, 11, 26))) != painted()


def test_the_file_says_what_it_is() -> None:
    made = reader(painted())
    assert made.metadata["/Title"] == "Specimen of our paper"
    assert made.metadata["/CreationDate"] == made.metadata["/ModDate"] == "D:20261125000000+00'00'"
    root = made.trailer["/Root"]
    assert root["/Lang"] == "en"
    assert root["/MarkInfo"]["/Marked"].value is True
    assert root["/ViewerPreferences"]["/DisplayDocTitle"].value is True
    assert all(page["/Tabs"] == "/S" for page in made.pages)
    first, second = made.trailer["/ID"]
    assert first == second
    assert len(first.original_bytes) == 16


def test_a_title_in_other_letters_is_kept() -> None:
    document = replace(text_document("Борщ"), title="Борщ – żurek", language="uk")
    made = reader(paint(document))
    assert made.metadata["/Title"] == "Борщ – żurek"
    assert made.trailer["/Root"]["/Lang"] == "uk"


def structure(element: Any, level: int = 0) -> list[tuple[int, str, Any]]:
    """Return every element of a structure, with its depth."""
    element = element.get_object()
    found = [(level, str(element["/S"])[1:], element)] if "/S" in element else []
    kids = element.get("/K", [])
    for kid in kids if isinstance(kids, pypdf.generic.ArrayObject) else [kids]:
        one = kid.get_object()
        if isinstance(one, pypdf.generic.DictionaryObject) and one.get("/Type") in {"/StructElem", "/StructTreeRoot"}:
            found += structure(one, level + 1)
    return found


def test_the_structure_holds_titles_paragraphs_and_a_table() -> None:
    made = reader(painted())
    elements = structure(made.trailer["/Root"]["/StructTreeRoot"])
    tags = [tag for _, tag, _ in elements]
    assert tags[0] == "Document"
    assert tags.count("H1") == 4 + 3 + 1  # cards, labels, the table's title
    assert tags.count("Table") == 1
    assert tags.count("TR") == 3
    assert tags.count("TH") == 5
    assert tags.count("TD") == 10
    at = tags.index("Table")
    assert tags[at : at + 8] == ["Table", "TR", "TH", "TH", "TH", "TH", "TH", "TR"]
    heads = [element for _, tag, element in elements if tag == "TH"]
    assert all(head["/A"]["/Scope"] == "/Column" for head in heads)


def test_every_mark_belongs_to_the_element_that_owns_it() -> None:
    """Both ways: from an element to its marks on a page, and from a page's marks back to their elements (ISO 32000-1, 14.7.4.4)."""
    made = reader(painted())
    tree = made.trailer["/Root"]["/StructTreeRoot"]
    numbers = tree["/ParentTree"]["/Nums"]
    owners = {int(numbers[place]): numbers[place + 1].get_object() for place in range(0, len(numbers), 2)}
    seen = 0
    for _, _, element in structure(tree):
        for kid in element["/K"]:
            mark = kid.get_object()
            if mark.get("/Type") != "/MCR":
                continue
            page = next(
                number for number, one in enumerate(made.pages) if one.indirect_reference == mark.raw_get("/Pg")
            )
            assert made.pages[page]["/StructParents"] == page
            assert owners[page][mark["/MCID"]].get_object() == element
            seen += 1
    marks = [int(one) for page in made.pages for one in re.findall(rb"/MCID (\d+)", page.get_contents().get_data())]
    assert seen == len(marks) > 40


def test_everything_on_a_page_is_either_tagged_or_an_artefact() -> None:
    for page in reader(painted()).pages:
        content = page.get_contents().get_data().decode("latin-1")
        depth = 0
        for token in re.findall(r"BDC|BMC|EMC|\bBT\b|\bre f\b|\bl S\b", content):
            depth += {"BDC": 1, "BMC": 1, "EMC": -1}.get(token, 0)
            assert 0 <= depth <= 1
            if token in {"BT", "re f", "l S"}:
                assert depth == 1
        assert depth == 0


def test_a_paragraph_in_another_language_says_so() -> None:
    english = set_text("Roast lamb", Style("sans", "sans-bold", 9.0), 80.0)
    french = set_text("Gigot rôti", Style("sans", "sans-bold", 9.0, language="fr"), 80.0)
    page = Page(100.0, 100.0, (*english.placed(10.0, 10.0, "a"), *french.placed(10.0, 20.0, "b")))
    made = reader(paint(Document((page,), "Two", "en", "two", DAY)))
    languages = [
        element.get("/Lang") for _, tag, element in structure(made.trailer["/Root"]["/StructTreeRoot"]) if tag == "P"
    ]
    assert languages == [None, "fr"]


def test_a_paragraph_over_two_pages_is_one_element() -> None:
    done = set_text("milk wheat celery mustard sesame lupin egg fish", Style("sans", "sans-bold", 9.0), 20.0)
    assert len(done.lines) >= 4
    box = Box(10.0, 10.0, 60.0, 60.0)
    pages = tuple(
        Page(100.0, 100.0, part.placed(10.0, 10.0, "a", box=box))
        for part in (done.part(0, 2), done.part(2, len(done.lines)))
    )
    made = reader(paint(Document(pages, "Two", "en", "two", DAY)))
    paragraphs = [element for _, tag, element in structure(made.trailer["/Root"]["/StructTreeRoot"]) if tag == "P"]
    assert len(paragraphs) == 1
    assert len(paragraphs[0]["/K"]) == 2


def test_a_row_head_and_a_wide_cell_say_what_they_are() -> None:
    style = Style("sans", "sans-bold", 9.0, role="table head")
    head = set_text("Soup", style, 20.0).placed(10.0, 20.0, "row head", cell=Cell("t", 1, 0))
    wide = set_text("contains", replace(style, role="table cell"), 40.0).placed(
        40.0, 20.0, "cell", cell=Cell("t", 1, 1, columns=2)
    )
    made = reader(paint(Document((Page(100.0, 100.0, (*head, *wide)),), "T", "en", "t", DAY)))
    elements = {tag: element for _, tag, element in structure(made.trailer["/Root"]["/StructTreeRoot"])}
    assert elements["TH"]["/A"]["/Scope"] == "/Row"
    assert elements["TD"]["/A"]["/ColSpan"] == 2


def fonts(pdf: bytes) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for page in reader(pdf).pages:
        for font in page["/Resources"]["/Font"].values():
            one = font.get_object()
            found[str(one["/BaseFont"])[1:]] = one
    return found


def test_fonts_are_embedded_and_subset() -> None:
    found = fonts(painted())
    assert found
    assert {name.split("+")[1] for name in found} <= {
        "FiraSans-Regular", "FiraSans-Bold", "FiraSansCondensed-Regular", "FiraSansCondensed-Bold", "Literata-SemiBold", "Literata-Italic"
    }  # fmt: skip
    for name, font in found.items():
        assert re.fullmatch(r"[A-Z]{6}\+\S+", name)
        stream = font["/FontDescriptor"]["/FontFile2"].get_data()
        whole = face("sans").path.parent / f"{name.split('+')[1]}.ttf"
        assert 500 < len(stream) < whole.stat().st_size / 5


@pytest.mark.parametrize("language", SAMPLES)
@pytest.mark.parametrize("chosen", ["sans", "sans-bold", "serif-bold", "narrow"])
def test_words_are_found_whole_by_those_who_read_the_file(language: str, chosen: str) -> None:
    text = SAMPLES[language]
    pdf = paint(text_document(text, Style(chosen, chosen, 9.0)))  # type: ignore[arg-type] # parametrized
    with pdfplumber.open(BytesIO(pdf)) as opened:
        words = [word["text"] for word in opened.pages[0].extract_words()]
    assert unicodedata.normalize("NFC", " ".join(words)) == text
    assert " ".join(reader(pdf).pages[0].extract_text().split()) == text


def test_a_broken_word_is_joined_by_leaving_out_the_soft_hyphen() -> None:
    word = "Rindfleischetikettierungsüberwachungsaufgabenübertragungsgesetz"
    pdf = paint(text_document(f"mit {word} und Salz", width=40.0))
    with pdfplumber.open(BytesIO(pdf)) as opened:
        said = opened.pages[0].extract_text()
    for extracted in (said, reader(pdf).pages[0].extract_text()):
        assert "\u00ad" in extracted
        joined = re.sub("\u00ad\\s+", "", extracted)
        assert " ".join(joined.split()) == f"mit {word} und Salz"


@pytest.mark.parametrize("chosen", FACE_NAMES)
def test_a_hyphen_put_in_is_seen_in_every_face(chosen: FaceName) -> None:
    pdf = paint(text_document("Rindfleischetikettierungsüberwachungsgesetz", Style(chosen, chosen, 9.0), 40.0))
    font = next(iter(fonts(pdf).values()))
    embedded = TTFont(BytesIO(font["/FontDescriptor"]["/FontFile2"].get_data()))
    assert _outline_of(embedded, font, "\u00ad") / embedded["head"].unitsPerEm > 0.2


@pytest.mark.parametrize("x_height", [0.9, 1.2, 1.5875, 3.0])
@pytest.mark.parametrize("chosen", ["sans", "sans-bold", "narrow-bold"])
def test_the_height_of_letters_measured_back_from_the_finished_file(x_height: float, chosen: str) -> None:
    """Regulation (EU) No 1169/2011, Article 13(2) and (3): x-height 1.2 mm and 0.9 mm; 21 CFR 101.2(c): one sixteenth of an inch."""
    style = Style(chosen, chosen, least_x_height_mm=x_height)  # type: ignore[arg-type] # parametrized
    pdf = paint(text_document("next box of mixed flax", style.sized(style.least_size_pt)))
    with pdfplumber.open(BytesIO(pdf)) as opened:
        letters = [one for one in opened.pages[0].chars if one["text"] == "x"]
    assert letters
    font = next(iter(fonts(pdf).values()))
    # The subset embedded in the file itself, not the font it was made from.
    embedded = TTFont(BytesIO(font["/FontDescriptor"]["/FontFile2"].get_data()))
    outline = _outline_of(embedded, font, "x")
    for letter in letters:
        measured = letter["size"] * outline / embedded["head"].unitsPerEm * 25.4 / 72.0
        assert measured == pytest.approx(x_height, abs=0.005)
        assert measured >= x_height - 0.001


def _outline_of(embedded: Any, font: Any, letter: str) -> float:
    """Return the height of a letter's outline in an embedded subset, found by its code: by way of the table that turns codes into text."""
    table = font["/ToUnicode"].get_data().decode("ascii")
    codes = {int(text, 16): int(code, 16) for code, text in re.findall(r"<([0-9A-F]{2})> <([0-9A-F]{4})>", table)}
    glyph = next(sub.cmap[codes[ord(letter)]] for sub in embedded["cmap"].tables if codes[ord(letter)] in sub.cmap)
    glyphs = embedded.getGlyphSet()
    pen = BoundsPen(glyphs)
    glyphs[glyph].draw(pen)
    return float(pen.bounds[3])


def test_figures_of_a_column_stand_under_each_other() -> None:
    style = Style("sans-figures", "sans-bold-figures", 9.0, align="right")
    rows = [
        set_text(words, style, 30.0).placed(10.0, 10.0 + 6.0 * number, str(number))
        for number, words in enumerate(("111.1", "208.7"))
    ]
    pdf = paint(Document((Page(100.0, 100.0, (*rows[0], *rows[1])),), "Figures", "en", "figures", DAY))
    with pdfplumber.open(BytesIO(pdf)) as opened:
        assert [word["text"] for word in opened.pages[0].extract_words()] == ["111.1", "208.7"]
        letters = opened.pages[0].chars
    assert [one["x0"] for one in letters[:5]] == pytest.approx([one["x0"] for one in letters[5:10]], abs=0.01)
    assert next(iter(fonts(pdf))).endswith("FiraSans-Regular-Figures")


def test_letters_stand_where_the_layout_put_them() -> None:
    document = text_document("AVATAR Tofu and Wok, Käsespätzle")
    line = document.pages[0].lines[0]
    with pdfplumber.open(BytesIO(paint(document))) as opened:
        letters = [one for one in opened.pages[0].chars if one["text"].strip()]
    first, last = letters[0], letters[-1]
    assert first["x0"] / 72.0 * 25.4 == pytest.approx(line.x, abs=0.02)
    # Kerned as measured: the last letter ends where the layout says the line does.
    assert last["x1"] / 72.0 * 25.4 == pytest.approx(line.x + line.width, abs=0.05)
    assert (opened.pages[0].height - first["matrix"][5]) / 72.0 * 25.4 == pytest.approx(line.baseline, abs=0.01)


def test_pages_have_the_size_of_their_paper() -> None:
    made = reader(painted())
    sizes = [
        (float(page.mediabox.width) / 72.0 * 25.4, float(page.mediabox.height) / 72.0 * 25.4) for page in made.pages
    ]
    assert sizes == [pytest.approx((210.0, 297.0), abs=0.05)] * 3


def test_text_is_read_out_in_the_order_of_reading() -> None:
    said = reader(painted()).pages[0].extract_text()
    order = [
        said.index(words)
        for words in (
            "Roast shoulder",
            "Slow-cooked",
            "Contains milk",
            "May contain",
            "Made with white wine",
            "Please ask us",
            "version 3",
        )
    ]
    assert order == sorted(order)
    assert all(one < other for one, other in pairwise(order))


def test_tones_are_those_of_the_layout() -> None:
    document = text_document("version 3", Style("sans", "sans-bold", 9.0, ink=QUIET))
    with pdfplumber.open(BytesIO(paint(document))) as opened:
        tones = {one["non_stroking_color"] for one in opened.pages[0].chars}
    assert {round(tone[0] * 255.0) for tone in tones} == {QUIET.letters}


def test_unpacked_pages_can_be_read() -> None:
    plain = paint(text_document("milk"), compress=False)
    assert b"/P <</MCID 0>> BDC" in plain
    assert b"/P <</MCID 0>> BDC" not in paint(text_document("milk"))


def test_a_length_that_is_no_number_is_refused() -> None:
    document = text_document("milk")
    line = replace(document.pages[0].lines[0], x=float("nan"))
    broken = replace(document, pages=(replace(document.pages[0], items=(line,)),))
    with pytest.raises(LayoutBrokenError):
        paint(broken)


def test_more_letters_than_one_part_of_a_font_holds() -> None:
    """A font is embedded in parts of 256 letters: a text with more is still read whole."""
    letters = [
        chr(code)
        for code in (*range(0xC0, 0x180), *range(0x391, 0x3A2), *range(0x3B1, 0x3CA), *range(0x410, 0x450))
        if face("sans").has(chr(code))
    ]
    assert len(letters) > 256
    words = [unicodedata.normalize("NFC", "".join(letters[at : at + 8])) for at in range(0, len(letters), 8)]
    document = text_document(" ".join(words))
    said = " ".join(reader(paint(document)).pages[0].extract_text().split())
    assert said == " ".join(words)


def test_a_picture_of_a_page_for_those_who_change_the_look() -> None:
    picture = page_as_png(painted(), 0, 50)
    assert picture.startswith(b"\x89PNG")


def test_the_room_s_own_example_runs() -> None:
    lines = (room.__doc__ or "").splitlines()
    start = next(number for number, one in enumerate(lines) if one.startswith("    from datetime"))
    end = next(number for number, one in enumerate(lines) if one.startswith("    pdf = paint"))
    names: dict[str, Any] = {}
    exec("\n".join(one[4:] for one in lines[start : end + 1]), names)  # noqa: S102 - the example of our own documentation
    assert names["problems"] == ()
    said = reader(names["pdf"]).pages[0].extract_text()
    assert said.count("Contains milk and wheat.") == 2
    assert " ".join(said.split()).count("Roast shoulder of lamb") == 2


WORDS = st.lists(
    st.text(st.sampled_from("abcdefghijklmnoprstuvwxyzäöüßøåłżщїжω"), min_size=1, max_size=12), min_size=1, max_size=20
)


@settings(max_examples=25, deadline=None)
@given(WORDS, st.floats(30.0, 80.0))
def test_every_word_of_a_text_is_found_in_the_file(words: list[str], width: float) -> None:
    pdf = paint(text_document(" ".join(words), width=width))
    with pdfplumber.open(BytesIO(pdf)) as opened:
        found = [word["text"] for word in opened.pages[0].extract_words()]
    assert " ".join(found).replace("\u00ad ", "") == unicodedata.normalize("NFC", " ".join(words))


def test_a_layout_as_plain_values() -> None:
    row = text_document("milk").as_json()
    item = row["pages"][0]["items"][0]
    assert row["day"] == "2026-11-25"
    assert item["text"] == "milk"
    assert item["runs"] == [["milk", "sans", 9.0]]
    # 0.527 em of 9 pt: 0.527 x 9 / 72 x 25.4 = 1.673 mm.
    assert item["x_height"] == 1.673
    assert item["x"] == 10.0
