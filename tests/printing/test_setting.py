"""Text set into lines: nothing lost, nothing outside, no last word alone where it can be helped."""

import unicodedata
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labeller.declarations.marked_text import MarkedText
from labeller.printing.faces import text_width_mm
from labeller.printing.page import Box
from labeller.printing.setting import SetText, Style, set_text

BODY = Style("sans", "sans-bold", 8.0)
GERMAN = "Rindfleischetikettierungsüberwachungsaufgabenübertragungsgesetz"  # 63 letters; a law of Mecklenburg-Vorpommern, 1999 to 2013


def words_of(text: SetText) -> list[str]:
    return ["".join(run.text for run in line.runs) for line in text.lines]


def test_a_paragraph_as_few_lines_as_can_be_and_all_within() -> None:
    text = "Slow-cooked lamb shoulder with apricots, saffron rice, toasted almonds and a spoon of thick yoghurt from the farm"
    done = set_text(text, BODY, 50.0)
    assert done.text == text
    assert all(line.width <= 50.0 + 1e-6 for line in done.lines)
    greedy, reached = 1, ""
    for word in text.split():  # ours: filling each line to the brim needs so many lines, no setting fewer
        longer = f"{reached} {word}".strip()
        if text_width_mm(longer, "sans", 8.0) > 50.0:
            greedy, reached = greedy + 1, word
        else:
            reached = longer
    assert len(done.lines) == greedy


def test_the_last_word_does_not_stand_alone() -> None:
    width = text_width_mm("Contains milk, wheat, celery and", "sans", 8.0) + 0.5
    done = set_text("Contains milk, wheat, celery and mustard", BODY, width)
    assert words_of(done) == ["Contains milk, wheat, celery", "and mustard"]


def test_a_lone_last_word_is_left_below_a_line_with_none_to_spare() -> None:
    """In a narrow cell: 'white / wine, uncooked' would part the name of a thing to no gain."""
    width = text_width_mm("wine, uncooked", "sans", 8.0) + 0.3
    assert words_of(set_text("white wine, uncooked", BODY, width)) == ["white wine,", "uncooked"]
    width = text_width_mm("Not known: ask the", "sans", 8.0) + 0.3
    done = set_text("Not\u00a0known: ask\u00a0the kitchen", BODY, width)
    assert [line.replace("\u00a0", " ") for line in words_of(done)] == ["Not known:", "ask the kitchen"]


def test_a_title_in_lines_about_as_long_as_each_other() -> None:
    style = Style("serif-bold", "serif-bold", 20.0, balanced=True)
    done = set_text("Roast shoulder of lamb with apricots and mint", style, 110.0)
    assert len(done.lines) == 2
    widths = [line.width for line in done.lines]
    assert min(widths) > 0.8 * max(widths)


def test_a_title_s_line_does_not_end_with_a_short_word() -> None:
    style = Style("serif-bold", "serif-bold", 20.0, balanced=True)
    done = set_text("Ravioli of braised hare", style, 60.0)
    assert not words_of(done)[0].endswith(" of")


def test_a_long_word_is_broken_with_a_soft_hyphen_and_joined_again() -> None:
    done = set_text(f"mit {GERMAN} und Salz", BODY, 40.0)
    assert done.fits_width
    assert done.text == f"mit {GERMAN} und Salz"
    broken = [line for line in done.lines if line.hyphenated]
    assert broken
    for line in broken:
        assert line.runs[-1].text.endswith("\u00ad")
        assert line.width <= 40.0
    # Three letters at least on either side of a break.
    for first, second in pairwise(done.lines):
        if first.hyphenated:
            assert len(first.words[-1]) - 1 >= 3
            assert len(second.words[0]) >= 3


def test_a_word_is_broken_at_its_own_hyphen_first_and_nothing_is_added() -> None:
    done = set_text("Eierschwammerl-Rahmsauce", BODY, text_width_mm("Eierschwammerl-", "sans", 8.0) + 0.1)
    assert words_of(done) == ["Eierschwammerl-", "Rahmsauce"]
    assert not any(line.hyphenated for line in done.lines)
    assert done.text == "Eierschwammerl-Rahmsauce"


def test_a_hyphen_before_a_space_stays_one() -> None:
    done = set_text("Weizen- und Roggenmehl", BODY, text_width_mm("Weizen- und", "sans", 8.0) - 0.1)
    assert done.text == "Weizen- und Roggenmehl"


def test_a_soft_hyphen_is_printed_only_where_the_line_ends() -> None:
    done = set_text("Kar\u00adtof\u00adfel\u00adsuppe", BODY, 100.0)
    assert words_of(done) == ["Kartoffelsuppe"]
    narrow = set_text("Kar\u00adtof\u00adfel\u00adsuppe", BODY, text_width_mm("Kartoffel\u00ad", "sans", 8.0) + 0.1)
    assert words_of(narrow) == ["Kartoffel\u00ad", "suppe"]


def test_an_amount_is_not_parted_from_its_unit() -> None:
    done = set_text(
        "Contains alcohol 12.5 % vol and salt", BODY, text_width_mm("Contains alcohol 12.5 %", "sans", 8.0) + 0.2
    )
    assert words_of(done)[1].startswith("12.5\u00a0%\u00a0vol")
    assert "\u00a0" not in done.placed(0.0, 0.0, "a")[1].text
    assert done.text == "Contains alcohol 12.5 % vol and salt"


def test_spans_set_apart_are_in_the_strong_face_wherever_the_line_breaks() -> None:
    text = "Ingredients: wheat flour, hazelnuts, butter (milk), sugar, egg"
    spans = tuple((text.index(word), text.index(word) + len(word)) for word in ("wheat", "hazelnuts", "milk", "egg"))
    done = set_text(MarkedText(text, spans), BODY, 30.0)
    strong = "".join(run.text for line in done.lines for run in line.runs if run.face == "sans-bold")
    plain = "".join(run.text for line in done.lines for run in line.runs if run.face == "sans")
    assert strong == "wheathazelnutsmilkegg"
    assert not {"wheat", "hazelnuts", "milk", "egg"} & set(plain.replace(",", " ").split())
    assert done.text == text


def test_words_of_a_warning_are_not_broken_but_named() -> None:
    style = Style("sans", "sans-bold", 8.0, role="allergens")
    done = set_text("Contains Schalenfrüchte", style, 15.0)
    assert done.too_wide == ("Schalenfrüchte",)
    assert not done.fits_width
    assert not any(line.hyphenated for line in done.lines)
    assert done.text == "Contains Schalenfrüchte"
    assert set_text("Contains Schalenfrüchte", BODY, 15.0).fits_width


def test_a_kitchen_s_own_name_of_more_than_thirty_letters_is_broken_even_in_a_warning() -> None:
    style = Style("sans", "sans-bold", 8.0, role="caution")
    done = set_text(f"Please ask us about {GERMAN}", style, 40.0)
    assert done.fits_width
    assert done.text == f"Please ask us about {GERMAN}"


def test_height_is_that_of_the_outlines() -> None:
    done = set_text("Åål", BODY, 40.0)
    lines = done.placed(5.0, 10.0, "a")
    assert lines[0].ink_box.y >= 10.0 - 1e-9
    assert lines[0].ink_box.bottom <= 10.0 + done.height + 1e-9
    plain = set_text("milk", BODY, 40.0)
    # Words without accents on capitals all stand alike, so that neighbours in a table share one line.
    assert plain.rise == set_text("egg", BODY, 40.0).rise == set_text("(rye)", BODY, 40.0).rise
    assert done.rise > plain.rise


@pytest.mark.parametrize(("align", "x"), [("left", 10.0), ("centre", None), ("right", None)])
def test_lines_stand_left_right_or_in_the_middle(align: str, x: float | None) -> None:
    style = Style("sans", "sans-bold", 8.0, align=align)  # type: ignore[arg-type] # parametrized
    done = set_text("milk", style, 40.0)
    line = done.placed(10.0, 0.0, "a")[0]
    wide = text_width_mm("milk", "sans", 8.0)
    expected = {"left": 10.0, "centre": 10.0 + (40.0 - wide) / 2.0, "right": 50.0 - wide}[align]
    assert line.x == pytest.approx(expected)
    assert x is None or line.x == x


def test_a_band_s_text_looks_centred() -> None:
    done = set_text("Hx", Style("sans-bold", "sans-bold", 10.0), 40.0)
    down = done.down_to_middle(8.0)
    line = done.placed(0.0, down, "a", box=Box(0.0, 0.0, 40.0, 8.0))[0]
    above = line.ink_box.y
    below = 8.0 - line.baseline
    assert above == pytest.approx(below, abs=0.01)


def test_a_text_that_was_not_asked_about_first_is_not_set_with_a_gap() -> None:
    with pytest.raises(ValueError, match=r"'Mapo 豆腐' holds U\+8C46, which no face has"):
        set_text("Mapo 豆腐", BODY, 40.0)


def test_no_words_no_lines() -> None:
    for empty in ("", "   ", "\u00ad"):
        done = set_text(empty, BODY, 40.0)
        assert done.lines == ()
        assert done.height == 0.0
        assert done.text == ""


LETTERS = st.sampled_from("abcdefghijklmnoprstuvwxyzäöüßéøåæłżćήωέбіїщюяABCÅŻЇ-/,.()'&")
WORDS = st.text(LETTERS, min_size=1, max_size=60)
NAMES = st.lists(WORDS, min_size=1, max_size=14).map(" ".join).filter(lambda name: len(name) <= 200)


@settings(max_examples=60, deadline=None)
@given(NAMES, st.floats(12.0, 120.0), st.sampled_from(["sans", "serif-bold", "narrow"]), st.booleans())
def test_nothing_is_lost_and_nothing_outside(name: str, width: float, chosen: str, balanced: bool) -> None:
    style = Style(chosen, "sans-bold", 9.0, balanced=balanced)  # type: ignore[arg-type] # sampled
    done = set_text(name, style, width)
    assert done.fits_width
    assert done.text == unicodedata.normalize("NFC", name)
    assert all(line.width <= width + 0.005 for line in done.lines)
    for line in done.placed(0.0, 0.0, "a"):
        assert line.box.holds(line.ink_box)
