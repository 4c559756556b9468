"""Tents, read back from the finished PDF: which half stands upside down, what each side says, how large a name is for two metres."""

from math import atan, degrees

import pytest

from labeller.declarations.marked_text import MarkedText
from labeller.printing.card_faces import CardTooSmall
from labeller.printing.card_tents import LEAST_NAME_X_HEIGHT_MM, NAME_X_HEIGHT_MM
from labeller.printing.card_words import CardLine, CardText
from labeller.printing.cards import cards_for
from labeller.printing.layout_checks import layout_problems
from labeller.printing.page import Box, Document, Fill, Page, Rule, TextLine, turned
from labeller.printing.painter import paint
from labeller.printing.setting import Style, set_text
from tests.papers import DAY
from tests.printing.cards_read import document, letters, marked, read_out, squeezed, stock, written

TENT = stock("tent")
FOLD = TENT.size.grid(TENT.paper).cell(0).y + TENT.size.height


def sides(text: CardText) -> tuple[str, str]:
    """Return what the front and the back say, by where the letters stand in the finished file."""
    found = {False: "", True: ""}
    for one in letters(paint(document(TENT, text))):
        if one["left"] < TENT.size.grid(TENT.paper).cell(0).x or one["page"]:
            continue  # the word at the fold; further tents
        assert one["turned"] is (one["bottom"] < FOLD), "the upper half stands upside down, the lower upright"
        found[one["turned"]] += one["text"].replace("\u00ad", "")
    return squeezed(found[False]), squeezed(found[True])


def many(count: int) -> tuple[CardLine, ...]:
    return tuple(
        CardLine(f"may contain {number}", marked("May contain", *[f"nuts of the {part}th sort ({number})" for part in range(6)]), "allergens")
        for number in range(count)
    )  # fmt: skip


def test_both_sides_say_everything_where_there_is_room() -> None:
    text = written()
    front, back = sides(text)
    for words in text.words():
        assert squeezed(words) in front
        assert squeezed(words) in back


def test_a_front_without_room_says_where_to_read_on() -> None:
    text = written(facts=(*written().facts, *many(1)))
    front, back = sides(text)
    assert squeezed(text.name) in front
    assert squeezed("Allergens and alcohol: please read the other side.") in front
    assert "Contains" not in front
    for words in text.words():
        assert squeezed(words) in back


def test_two_sides_that_share_the_words_say_so() -> None:
    text = written(facts=(*written().facts, *many(3)))
    front, back = sides(text)
    assert squeezed("Side 1 of 2: please read both.") in front
    assert squeezed("Side 2 of 2: please read both.") in back
    for words in text.words():
        assert squeezed(words) in front + back
    for side in (front, back):
        assert squeezed(text.name) in side


def test_further_tents_say_how_many_sides_there_are() -> None:
    text = written(facts=(*written().facts, *many(8)))
    found = cards_for(text, TENT)
    assert not isinstance(found, CardTooSmall)
    assert len(found) > 1
    said = read_out(paint(document(TENT, text)))
    count = said.count("pleasereadall")
    assert count in (2 * len(found), 2 * len(found) - 1)
    for number in range(1, count + 1):
        assert f"Side{number}of{count}:pleasereadall{count}." in said
    # A back left over sends the guest to the front.
    assert said.count("pleasereadtheotherside.") == 2 * len(found) - count
    assert all(squeezed(words) in said for words in text.words())


def test_a_name_for_two_metres() -> None:
    """Normal sight (20/20) tells 5 minutes of arc: ours, common practice, no source. Short names have 10, the longest never fewer than 5."""
    assert degrees(atan(NAME_X_HEIGHT_MM / 2000.0)) * 60.0 == pytest.approx(10.0, abs=0.05)
    assert degrees(atan(LEAST_NAME_X_HEIGHT_MM / 2000.0)) * 60.0 >= 4.98
    for name, least in (("Fox pie", NAME_X_HEIGHT_MM), ("Fox and flax, " * 14, LEAST_NAME_X_HEIGHT_MM)):
        text = written(name=name.strip(), facts=(*written().facts, *many(1)))
        front = [
            one["x_height"]
            for one in letters(paint(document(TENT, text)))
            if one["face"] == "Literata-SemiBold" and not one["turned"]
        ]
        assert front
        assert min(front) >= least - 0.009  # sizes go by twentieths of a point


def test_the_fold_is_marked_outside_what_is_cut_out() -> None:
    for paper in ("a4", "letter"):
        on = stock("tent", paper=paper)
        page = document(on, written(), written(of="other")).pages[0]
        grid = on.size.grid(on.paper)
        fold = grid.cell(0).y + on.size.height
        marks = [item for item in page.items if isinstance(item, Rule) and item.dash_mm]
        assert len(marks) == 2
        for mark in marks:
            assert mark.y1 == mark.y2 == pytest.approx(fold)
            assert max(mark.x1, mark.x2) <= grid.cell(0).x + 0.01 or min(mark.x1, mark.x2) >= grid.cell(1).right - 0.01
            assert page.printable.x <= min(mark.x1, mark.x2)
            assert max(mark.x1, mark.x2) <= page.printable.right


def test_an_upright_tent_stands_too() -> None:
    upright = stock("tent", "portrait")
    assert (upright.size.width, upright.size.height) == (95.0, 130.0)
    made = document(upright, written())
    assert squeezed(written().foot) in read_out(paint(made))


def test_turned_twice_is_as_it_was() -> None:
    for item in document(TENT, written()).pages[0].items:
        again = turned(turned(item, 130.0, 190.0), 130.0, 190.0)
        assert type(again) is type(item)
        if isinstance(item, TextLine) and isinstance(again, TextLine):
            assert (again.x, again.baseline, again.turned) == pytest.approx((item.x, item.baseline, item.turned))
            assert again.ink_box.y == pytest.approx(item.ink_box.y)
        elif isinstance(item, Rule) and isinstance(again, Rule):
            assert (again.x1, again.y1, again.x2, again.y2) == pytest.approx((item.x1, item.y1, item.x2, item.y2))
        else:
            assert isinstance(item, Fill)


def test_letters_upside_down_stand_where_the_layout_put_them() -> None:
    made: Document = document(TENT, written(facts=(CardLine("one", MarkedText("xxxx"), "allergens"),)))
    line = next(line for line in made.pages[0].lines if line.text == "xxxx" and line.turned)
    found = [one for one in letters(paint(made)) if one["text"] == "x" and one["turned"]][:4]
    assert max(one["right"] for one in found) == pytest.approx(line.x, abs=0.05)
    assert min(one["left"] for one in found) == pytest.approx(line.x - line.width, abs=0.05)
    assert line.ink_box.right == pytest.approx(line.x)
    assert line.ink_box.y == pytest.approx(line.baseline, abs=0.1)


def test_a_lone_last_word_is_found_upside_down_too() -> None:
    style = Style("sans", "sans-bold", 10.0)
    lines = [*set_text("one two three four", style, 60.0).placed(10.0, 10.0, "a", box=Box(10.0, 10.0, 60.0, 30.0))]
    last = set_text("five", style, 60.0).placed(10.0, 16.0, "a", box=Box(10.0, 10.0, 60.0, 30.0))
    for way in (lambda item: item, lambda item: turned(item, 100.0, 100.0)):
        page = Page(100.0, 100.0, tuple(way(item) for item in (*lines, *last)))
        found = layout_problems(Document((page,), "Text", "en", "a text", DAY))
        assert [one.rule for one in found] == ["a lone last word"]


def test_words_that_run_together_are_found_upside_down_too() -> None:
    style = Style("sans", "sans-bold", 10.0)
    items = [
        turned(line, 100.0, 100.0)
        for name, y in (("a", 10.0), ("b", 11.0))
        for line in set_text("milk and egg", style, 60.0).placed(10.0, y, name, box=Box(10.0, 5.0, 60.0, 30.0))
    ]
    found = layout_problems(Document((Page(100.0, 100.0, tuple(items)),), "Text", "en", "a text", DAY))
    assert {one.rule for one in found} == {"run together"}
