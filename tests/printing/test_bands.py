"""Bands: the text stands in the middle of its ground, and all of it on it."""

import pytest

from labeller.printing import house
from labeller.printing.bands import band
from labeller.printing.faces import MM_PER_POINT, face
from labeller.printing.layout_checks import layout_problems
from labeller.printing.page import Document, Fill, Page, TextLine
from tests.printing.specimens import DAY


@pytest.mark.parametrize("words", ["Not known: ask the kitchen about celery.", "Åge’s (soup) " * 12, "x"])
def test_as_much_space_above_the_capitals_as_below_the_last_base_line(words: str) -> None:
    style = house.loud(house.SHEET)
    items, height = band(words, style, (10.0, 20.0), 60.0, "ask", 2.0)
    ground = items[0]
    assert isinstance(ground, Fill)
    assert ground.tone == 0
    assert ground.box.height == height
    lines = [item for item in items if isinstance(item, TextLine)]
    capitals = face("sans-bold").cap_height * style.size_pt * MM_PER_POINT
    assert lines[0].baseline - capitals - 20.0 == pytest.approx(20.0 + height - lines[-1].baseline, abs=0.01)
    tight, least = band(words, style, (10.0, 20.0), 60.0, "ask", 0.0)
    assert least < height
    for one in (items, tight):
        assert layout_problems(Document((Page(100.0, 100.0, one),), "Band", "en", "band", DAY)) == ()


def test_a_band_without_words_is_none() -> None:
    assert band(" ", house.loud(house.SHEET), (0.0, 0.0), 60.0, "ask") == ((), 0.0)
