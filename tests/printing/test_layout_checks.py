"""The checks of layout fail on every layout that is bad: a check that cannot fail is worth nothing."""

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labeller.printing.faces import text_width_mm
from labeller.printing.layout_checks import layout_problems
from labeller.printing.page import Box, Document, Fill, Item, Margins, Page, Rule, Run, TextLine
from labeller.printing.painter import LayoutBrokenError, paint
from labeller.printing.setting import Style, set_text
from labeller.printing.sheets import put_on_roll
from labeller.printing.tones import REVERSED
from tests.printing.specimens import DAY, card, specimen

MARGINS = Margins(5.0, 5.0, 5.0, 5.0)


def line(text: str = "milk", x: float = 20.0, baseline: float = 20.0, block: str = "a", **more: object) -> TextLine:
    width = text_width_mm(text, "sans", 10.0)
    made = TextLine(
        (Run(text, "sans", 10.0),), x, baseline, width, Box(x - 1.0, baseline - 6.0, width + 2.0, 9.0), "body", block
    )
    return replace(made, **more)  # type: ignore[arg-type] # by name


def document(*pages: tuple[Item, ...]) -> Document:
    return Document(tuple(Page(100.0, 100.0, items, MARGINS) for items in pages), "Bad", "en", "a bad layout", DAY)


def test_a_good_layout_has_no_problem() -> None:
    assert layout_problems(document((line(), line("egg", baseline=26.0, block="b")))) == ()
    assert layout_problems(specimen()) == ()


BAD: list[tuple[str, Callable[[], Document], str]] = [
    ("run together", lambda: document((line(), line("egg", x=21.0, baseline=21.0, block="b"))), "'milk' and 'egg'"),
    ("run together", lambda: document((line(), line(baseline=21.5))), "'milk' and 'milk'"),
    ("outside its box", lambda: document((line(box=Box(20.0, 14.0, 2.0, 9.0)),)), "'milk'"),
    ("outside its box", lambda: document((line(box=Box(19.0, 18.5, 30.0, 9.0)),)), "'milk'"),
    ("outside the printable page", lambda: document((line(x=3.0),)), "'milk'"),
    ("outside the printable page", lambda: document((line(x=92.0),)), "'milk'"),
    ("outside the printable page", lambda: document((line(baseline=99.0),)), "'milk'"),
    ("outside the printable page", lambda: document((line(), Rule(2.0, 50.0, 60.0, 50.0, 0.5))), "a rule"),
    ("outside the printable page", lambda: document((Fill(Box(90.0, 50.0, 20.0, 10.0), 200), line())), "a filled box"),
    (
        "outside the printable page",
        lambda: document((line(), Rule(50.0, 50.0, 50.0, 101.0, 0.5, crop=True))),
        "a rule",
    ),
    ("letters too small", lambda: document((line(least_x_height_mm=2.0),)), "x-height 1.859 mm, at least 2.000 mm"),
    ("letters no face has", lambda: document((_unknown_letter(),)), "豆"),
    ("too pale", lambda: document((Fill(Box(10.0, 10.0, 40.0, 20.0), 110), line())), "at least 4.5:1"),
    ("too pale", lambda: document((Fill(Box(10.0, 10.0, 40.0, 20.0), 140), line(role="allergens"))), "at least 7:1"),
    ("too pale", lambda: document((line(ink=REVERSED),)), "contrast 1.00:1"),
    ("partly on a filled box", lambda: document((Fill(Box(10.0, 10.0, 13.0, 20.0), 240), line())), "'milk'"),
    ("struck by a rule", lambda: document((line(), Rule(15.0, 19.0, 60.0, 19.0, 0.5))), "'milk'"),
    ("struck by a rule", lambda: document((line(), Rule(22.0, 10.0, 22.0, 30.0, 0.5))), "'milk'"),
    ("width not its own", lambda: document((line(width=20.0),)), "20.00 mm said"),
    ("a lone line", lambda: _goes_on(2, 1), "3 lines in 2 places"),
    ("a lone line", lambda: _goes_on(1, 2), "3 lines in 2 places"),
    ("a lone last word", lambda: _lone_word(), "could stand beside it"),  # noqa: PLW0108 - defined below
]


def _unknown_letter() -> TextLine:
    """A line that holds a letter no face has can only be made by hand."""
    return line(runs=(Run("豆", "sans", 10.0),))


def _goes_on(first: int, second: int) -> Document:
    box = Box(10.0, 10.0, 60.0, 60.0)
    pages = [tuple(line(baseline=20.0 + 5.0 * n, box=box) for n in range(count)) for count in (first, second)]
    return document(*pages)


def _lone_word() -> Document:
    box = Box(10.0, 10.0, 60.0, 20.0)
    return document((line("milk, wheat, celery and", box=box), line("egg", baseline=26.0, box=box)))


@pytest.mark.parametrize(("rule", "make", "words"), BAD)
def test_a_bad_layout_is_found_out_and_not_painted(rule: str, make: Callable[[], Document], words: str) -> None:
    made = make()
    found = [problem for problem in layout_problems(made) if problem.rule == rule]
    assert found, layout_problems(made)
    assert words in found[0].as_text()
    with pytest.raises(LayoutBrokenError, match=rule):
        paint(made)


def test_crop_marks_may_stand_where_a_printer_reaches_no_text() -> None:
    assert layout_problems(document((line(), Rule(50.0, 1.0, 50.0, 4.0, 0.25, crop=True)))) == ()


def test_a_last_word_alone_is_no_fault_where_nothing_could_come_down() -> None:
    box = Box(10.0, 10.0, 30.0, 20.0)
    assert layout_problems(document((line("milk, wheat", box=box), line("egg", baseline=26.0, box=box)))) == ()


def test_an_amount_comes_down_with_its_unit_or_not_at_all() -> None:
    style = Style("sans", "sans-bold", 10.0)
    width = text_width_mm("Made with beer and 0.95 kg", "sans", 10.0) + 0.5
    done = set_text("Made with beer and 0.95 kg Rindfleischetikettierung", style, width)
    assert [len(one.words) for one in done.lines] == [6, 1]
    page = Page(100.0, 100.0, done.placed(10.0, 10.0, "a"), MARGINS)
    assert layout_problems(Document((page,), "Beer", "en", "beer", DAY)) == ()


def test_a_warning_in_reverse_on_its_own_ground_is_good() -> None:
    assert layout_problems(document((Fill(Box(10.0, 10.0, 40.0, 20.0), 0), line(ink=REVERSED, role="caution")))) == ()


NAMES = st.lists(
    st.text(st.sampled_from("abcdefghiklmnoprstuvwäöüßåøłżщїжω-Å"), min_size=1, max_size=40), min_size=1, max_size=12
).map(" ".join)


@settings(max_examples=40, deadline=None)
@given(NAMES.filter(lambda name: len(name) <= 200), NAMES)
def test_cards_of_any_name_break_no_rule(name: str, about: str) -> None:
    made = card(name, about)
    assert layout_problems(Document(put_on_roll([made]), "Card", "en", "card", DAY)) == ()


@settings(max_examples=40, deadline=None)
@given(NAMES, st.floats(25.0, 80.0), st.floats(6.0, 20.0))
def test_a_paragraph_breaks_no_rule(text: str, width: float, size: float) -> None:
    done = set_text(text, Style("sans", "sans-bold", size), width)
    page = Page(100.0, 2000.0, done.placed(6.0, 6.0, "a"), MARGINS)
    assert layout_problems(Document((page,), "Text", "en", "text", DAY)) == ()
