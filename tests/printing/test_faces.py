"""The compiled metrics against the font files themselves, read and shaped by other hands (fontTools, HarfBuzz by way of Pillow)."""

import hashlib
import re
import unicodedata
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from PIL import ImageFont, features

from labeller.foundations.places import reference_data_folder
from labeller.printing.faces import (
    FACE_NAMES,
    FaceName,
    face,
    face_with_letters,
    ink_em,
    letters_that_fit,
    size_pt_for_x_height,
    text_width_mm,
    x_height_mm_at_size,
)

FONTS = reference_data_folder() / "fonts"
FIGURES: tuple[FaceName, ...] = tuple(one for one in FACE_NAMES if one.endswith("-figures"))
OWN: tuple[FaceName, ...] = tuple(one for one in FACE_NAMES if one not in FIGURES)

# Every letter of the alphabets, typed from the alphabets themselves; ours.
ALPHABETS = {
    "Norwegian and Danish": "ABCDEFGHIJKLMNOPQRSTUVWXYZÆØÅabcdefghijklmnopqrstuvwxyzæøå",
    "German": "ÄÖÜẞäöüß",
    "Polish": "ĄĆĘŁŃÓŚŹŻąćęłńóśźż",
    "Czech, Slovak": "ÁČĎÉĚÍŇÓŘŠŤÚŮÝŽáčďéěíňóřšťúůýžÄĽĹÔŔäľĺôŕ",
    "Hungarian": "ŐŰőű",
    "French": "ÀÂÆÇÉÈÊËÎÏÔŒÙÛÜŸàâæçéèêëîïôœùûüÿ",
    "Spanish, Portuguese": "ÑÃÕñãõ¿¡ªº",
    "Romanian": "ĂÂÎȘȚăâîșț",
    "Turkish": "ĞİŞğış",
    "Icelandic": "ÐÞðþ",
    "Baltic": "ĀĒĢĪĶĻŅŪĖĮŲāēģīķļņūėįų",
    "Maltese": "ĊĠĦċġħ",
    "Vietnamese": "ĂÂĐÊÔƠƯăâđêôơưẠẢẤẦẨẪẬạảấầẩẫậẹẻẽếềểễệ",
    "Welsh": "ŴŶŵŷẀẁẂẃ",
    "Greek": "ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩαβγδεζηθικλμνξοπρσςτυφχψωΆΈΉΊΌΎΏάέήίόύώϊϋΐΰ",
    "Russian": "АБВГДЕЁЖЗИЙКЛМНОПРСТУФХЦЧШЩЪЫЬЭЮЯабвгдеёжзийклмнопрстуфхцчшщъыьэюя",
    "Ukrainian, Belarusian": "ҐЄІЇЎґєіїў",
    "Serbian, Macedonian": "ЂЉЊЋЏЃЅЌђљњћџѓѕќ",
    "figures and points": "0123456789.,;:!?()[]-–—’‘“”„«»·•%‰°½¼¾×€£§&/+=<>≥≤µ",
}


@cache
def font_of(name: FaceName) -> Any:
    return TTFont(face(name).path)


@pytest.mark.parametrize("name", OWN)
def test_the_metrics_are_made_from_the_file_that_lies_there(name: FaceName) -> None:
    text = (FONTS / f"{name}.metrics.json").read_text(encoding="utf-8")
    pinned = re.search(r'"sha256":"([0-9a-f]{64})"', text)
    assert pinned is not None
    true = hashlib.sha256(face(name).path.read_bytes()).hexdigest()
    assert pinned[1] == true
    assert f"`{true}`" in (FONTS / "PROVENANCE.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", OWN)
def test_heights_and_widths_are_those_of_the_file(name: FaceName) -> None:
    font, one = font_of(name), face(name)
    em = font["head"].unitsPerEm
    letters, glyphs = font.getBestCmap(), font.getGlyphSet()

    def outline(letter: str) -> tuple[float, float]:
        pen = BoundsPen(glyphs)
        glyphs[letters[ord(letter)]].draw(pen)
        return pen.bounds[1] / em, pen.bounds[3] / em

    # Annex IV of Regulation (EU) No 1169/2011: from the base line to the mean line, which is where x, v, w and z end.
    for flat in "xz":
        if name == "serif-italic":  # its x and z end in curls beyond both lines
            assert outline(flat)[1] >= one.x_height - 1e-9
        else:
            assert outline(flat)[1] == pytest.approx(one.x_height, abs=0.004)
            assert outline(flat)[0] == pytest.approx(0.0, abs=0.001)
    assert one.x_height_declared == pytest.approx(font["OS/2"].sxHeight / em)
    assert one.x_height == pytest.approx(one.x_height_declared, abs=0.004)
    assert one.x_height <= outline("x")[1] + 1e-9
    assert one.o_height == pytest.approx(outline("o")[1] - outline("o")[0], abs=0.001)
    assert one.o_height > one.x_height  # the round letter overshoots: a rule about o is kept when x keeps it
    assert one.cap_height == pytest.approx(outline("H")[1], abs=0.001)
    for letter, advance in one.advances.items():
        if letter == "\u00ad":  # always drawn as a hyphen, whatever the font leaves empty
            assert advance == one.advances["-"]
            continue
        assert advance == pytest.approx(font["hmtx"][letters[ord(letter)]][0] / em, abs=1e-9), letter
    for letter in "gÅ(ЇΐẞŁ":
        assert ink_em(letter, name) == pytest.approx(outline(letter), abs=0.001)


@pytest.mark.parametrize("name", OWN)
def test_fonts_may_be_embedded_and_have_the_outlines_pdf_takes(name: FaceName) -> None:
    assert "glyf" in font_of(name)
    # OpenType specification, OS/2 fsType: 0 is installable embedding.
    assert font_of(name)["OS/2"].fsType == 0


def test_licences_lie_beside_the_fonts_and_the_whole_is_small() -> None:
    for licence, family in (
        ("FiraSans-OFL.txt", "Mozilla Foundation"),
        ("Literata-OFL.txt", "Literata Project Authors"),
    ):
        words = (FONTS / licence).read_text(encoding="utf-8")
        assert "SIL OPEN FONT LICENSE Version 1.1" in words
        assert family in words
    assert sum(path.stat().st_size for path in FONTS.iterdir() if path.is_file()) < 4.0e6


@pytest.mark.parametrize("alphabet", ALPHABETS)
@pytest.mark.parametrize("name", [one for one in OWN if not one.startswith("serif")])
def test_every_sans_has_the_letters_of(name: FaceName, alphabet: str) -> None:
    assert [letter for letter in ALPHABETS[alphabet] if not face(name).has(letter)] == []


@pytest.mark.parametrize("alphabet", ALPHABETS)
def test_every_serif_has_them_or_gives_way_to_the_sans(alphabet: str) -> None:
    for name in ("serif", "serif-italic", "serif-bold"):
        chosen = face_with_letters(ALPHABETS[alphabet], name)
        assert all(face(chosen).has(letter) for letter in ALPHABETS[alphabet])


def test_a_letter_the_serif_lacks_moves_the_whole_text_to_the_sans_of_its_weight() -> None:
    assert face_with_letters("Muḥammara", "serif") == "serif"
    assert not face("serif").has("ʒ")
    assert face_with_letters("ʒiga", "serif-bold") == "sans-bold"
    assert face_with_letters("ʒiga 饭", "serif-bold") == "serif-bold"


@pytest.mark.skipif(not features.check("raqm"), reason="Pillow without HarfBuzz cannot shape")
@pytest.mark.parametrize("name", FIGURES)
def test_figures_in_a_column_are_all_as_wide_as_a_shaper_sets_them(name: FaceName) -> None:
    font = ImageFont.truetype(str(face(name).path), 1000, layout_engine=ImageFont.Layout.RAQM)
    widths = {digit: face(name).advances[digit] for digit in "0123456789"}
    assert len(set(widths.values())) == 1
    for digit, wide in widths.items():
        assert wide == pytest.approx(font.getlength(digit, features=["tnum", "-kern"]) / 1000.0, abs=0.001)
    assert text_width_mm("1111", name, 9.0) == pytest.approx(text_width_mm("0808", name, 9.0))


@pytest.mark.skipif(not features.check("raqm"), reason="Pillow without HarfBuzz cannot shape")
@pytest.mark.parametrize("name", OWN)
def test_widths_with_kerning_are_those_of_a_shaper(name: FaceName) -> None:
    size = 1000
    font = ImageFont.truetype(str(face(name).path), size, layout_engine=ImageFont.Layout.RAQM)
    for text in (
        "AVATAR",
        "Tofu",
        "Wok",
        "Yuzu",
        "LT",
        "hazelnut",
        "Kalb",
        "Wörter",
        "Żurek",
        "ΤΑ",
        "Ταραμάς",
        "ГАУ",
        "Тефтелі",
        "10,5",
    ):
        # Ligatures off: ours are set letter by letter.
        wide = font.getlength(text, features=["-liga", "-clig", "-dlig", "-calt", "-locl", "-ccmp"])
        ours = text_width_mm(text, name, size * 72.0 / 25.4) / size
        assert ours == pytest.approx(wide / size, abs=0.0015 * len(text)), (text, name)


@pytest.mark.parametrize("name", FACE_NAMES)
def test_every_letter_is_seen_and_has_its_own_place(name: FaceName) -> None:
    one = face(name)
    unseen = {
        letter
        for letter in one.advances
        if one.tops[letter] == one.bottoms[letter] and unicodedata.category(letter) != "Zs"
    }
    assert unseen == set()
    assert all(wide > 0.0 for wide in one.advances.values())
    # The serif draws the Hawaiian okina over its neighbour: such a name is set in the sans.
    assert face_with_letters("Hawaiʻi", "serif-bold") == "sans-bold"


def test_kerning_draws_a_and_v_together() -> None:
    for name in ("sans", "serif-bold"):
        assert face(name).kern("A", "V") < -0.01
        assert text_width_mm("AV", name, 10.0) < text_width_mm("A", name, 10.0) + text_width_mm("V", name, 10.0)


@pytest.mark.parametrize("name", OWN)
def test_size_and_x_height_are_each_other_s_inverse(name: FaceName) -> None:
    for height in (0.9, 1.2, 1.5875, 3.0):
        assert x_height_mm_at_size(size_pt_for_x_height(height, name), name) == pytest.approx(height, rel=1e-12)
    # One point is 1/72 inch, one inch 25.4 mm: an x of 0.527 em at 10 pt.
    assert x_height_mm_at_size(10.0, "sans") == pytest.approx(0.527 * 10.0 / 72.0 * 25.4)


def test_letters_that_fit_go_on_even_where_none_fits() -> None:
    assert letters_that_fit("mmmm", "sans", 10.0, 0.5) == 1
    wide = text_width_mm("mmm", "sans", 10.0)
    assert letters_that_fit("mmmm", "sans", 10.0, wide + 0.001) == 3
    assert letters_that_fit("mmmm", "sans", 10.0, wide - 0.001) == 2


def test_no_face_of_another_name() -> None:
    with pytest.raises(KeyError, match="There is no face 'cursive': the faces are sans, "):
        face("cursive")


def test_the_build_script_gives_what_lies_there() -> None:
    import importlib.util

    spec = importlib.util.spec_from_file_location("font_build", FONTS / "build.py")
    assert spec is not None
    assert spec.loader is not None
    build = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(build)
    assert set(build.FACES) == set(OWN)
    assert set(build.FIGURES) == set(FIGURES)
    assert build.compiled_figures() == Path(FONTS / "figures.metrics.json").read_text(encoding="utf-8")
    assert build.compiled("narrow") == Path(FONTS / "narrow.metrics.json").read_text(encoding="utf-8")
