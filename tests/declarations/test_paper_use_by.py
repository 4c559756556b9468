"""How long things keep, and the day on the label: never later than the part that ends first."""

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labeller.declarations.keeping_times import day_in_words, parse_keeps, storage_in
from labeller.declarations.paper_of_tub import tub_words
from labeller.declarations.paper_use_by import UseBy, use_by
from tests.kitchens import Kitchen
from tests.papers import DAY, opened


@pytest.mark.parametrize(
    ("text", "days", "storage"),
    [
        # The contract of the book: '5 days chilled', '90 days ambient'; ambient | chilled | frozen.
        ("5 days chilled", 5, "chilled"),
        ("90 days ambient", 90, "ambient"),
        ("30 days frozen", 30, "frozen"),
        # Words of kitchens, common practice, no source.
        ("2 weeks in the fridge", 14, "chilled"),
        ("a week", 7, ""),
        ("two days, chilled", 2, "chilled"),
        ("up to 3 days, chilled, covered", 3, "chilled"),
        ("36 hours", 1, ""),
        ("half a day", 0, ""),
        ("½ day chilled", 0, "chilled"),
        ("same day", 0, ""),
        ("1,5 days chilled", 1, "chilled"),
        # Doubtful ones: the shorter counts.
        ("2-3 days chilled", 2, "chilled"),
        ("3 to 5 days chilled", 3, "chilled"),
        ("3 days chilled or 30 days frozen", 3, "chilled"),
        ("30 days frozen, 3 days chilled", 3, "chilled"),
        # No time at all.
        ("till it is gone", None, ""),
        ("0 days", None, ""),
        ("5", None, ""),
        ("1/0 days", None, ""),
        ("999999 years", None, ""),
        ("", None, ""),
    ],
)
def test_times_as_cooks_write_them(text: str, days: int | None, storage: str) -> None:
    found = parse_keeps(text)
    assert (found.days if found is not None else None) == days
    if found is not None:
        assert found.storage == storage


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=60))
def test_no_text_makes_the_reader_raise(text: str) -> None:
    found = parse_keeps(text)
    assert found is None or 0 <= found.days <= 36_500
    assert storage_in(text) in ("", "chilled", "frozen", "ambient")


@settings(max_examples=60, deadline=None)
@given(st.dates(min_value=date(2000, 1, 1), max_value=date(2100, 1, 1)), st.integers(1, 999))
def test_days_are_counted_by_the_calendar(made: date, days: int) -> None:
    found = parse_keeps(f"{days} days chilled")
    assert found is not None
    assert found.until(made).toordinal() == made.toordinal() + days


def test_the_calendar_ends_and_nothing_breaks() -> None:
    found = parse_keeps("90 days ambient")
    assert found is not None
    assert found.until(date(9999, 12, 1)) == date(9999, 12, 31)


def test_days_cannot_be_misread() -> None:
    """Month by its name, year whole: nothing that reads two ways."""
    assert day_in_words(date(2026, 3, 4)) == "4 March 2026"


BOOK = """
- preparation: custard
  takes: [500 g house cream]
  keeps: {custard}
- preparation: ice
  takes: [400 g custard, 100 g sugar syrup]
  keeps: {ice}
"""


def used(kitchen: Kitchen, name: str, text: str, **days: date) -> UseBy:
    found = opened(kitchen, text)
    return use_by(found.book, found.law, "given", name, DAY, days)


def test_its_own_time_decides_where_it_is_the_shortest(kitchen: Kitchen) -> None:
    found = used(kitchen, "ice", BOOK.format(custard="3 days chilled", ice="2 days chilled"))
    assert found.day == date(2026, 11, 27)
    assert found.line == "Use by 27 November 2026"
    assert found.limited_by is None
    assert found.reason == ""
    assert found.notes == ()


def test_a_part_that_ends_first_decides_and_is_named(kitchen: Kitchen) -> None:
    found = used(kitchen, "ice", BOOK.format(custard="3 days chilled", ice="30 days frozen"))
    assert found.line == "Use by 28 November 2026"
    assert found.reason == "because of custard, which keeps 3 days chilled"
    assert found.limited_by is not None
    assert not found.limited_by.day_known
    (note,) = found.notes
    assert "counted from the same day, since its own is not known" in note.problem
    assert note.mend.endswith("'keeps: 30 days frozen, counted anew'.")
    assert note.origin.line > 0


def test_a_part_made_earlier_counts_from_its_own_day(kitchen: Kitchen) -> None:
    text = BOOK.format(custard="3 days chilled", ice="2 days chilled")
    found = used(kitchen, "ice", text, custard=date(2026, 11, 23))
    assert found.line == "Use by 26 November 2026"
    assert found.limited_by is not None
    assert found.limited_by.day_known


def test_counted_anew_frees_it_and_says_so(kitchen: Kitchen) -> None:
    found = used(kitchen, "ice", BOOK.format(custard="3 days chilled", ice="30 days frozen, counted anew"))
    assert found.line == "Use by 25 December 2026"
    (note,) = found.notes
    assert "'custard'" in note.problem
    assert "'counted anew'" in note.problem


def test_nested_parts_count_at_every_depth(kitchen: Kitchen) -> None:
    text = BOOK.format(custard="1 day chilled", ice="30 days frozen") + (
        "- preparation: bombe\n  takes: [100 g ice, 20 g cobs]\n  keeps: 20 days frozen\n"
    )
    found = used(kitchen, "bombe", text)
    assert found.line == "Use by 26 November 2026"
    assert found.limited_by is not None
    assert found.limited_by.way == ("bombe", "ice", "custard")


def test_nobody_makes_up_a_time(kitchen: Kitchen) -> None:
    text = "- preparation: custard\n  takes: [500 g house cream]\n"
    found = used(kitchen, "custard", text)
    assert found.day is None
    assert found.line == "Use by: ________ (not given in the book)"
    assert found.storage == "Keep: ________ (not given in the book)."
    assert found.notes[0].mend == "Write 'keeps: 5 days chilled'."


def test_without_its_own_time_a_part_still_says_the_latest(kitchen: Kitchen) -> None:
    text = BOOK.format(custard="3 days chilled", ice="till it is gone")
    found = used(kitchen, "ice", text)
    assert found.day is None
    assert found.line == "Use by: ________ (not given in the book; not after 28 November 2026, because of custard)"
    assert "'till it is gone' of 'ice' holds no time" in found.notes[0].problem


def test_an_opened_good_limits_what_is_made_of_it(kitchen: Kitchen) -> None:
    text = (
        '- ingredient: single cream\n  keeps: 2 days chilled\n  spec: {statement: "Cream (MILK)"}\n'
        "- preparation: pannacotta\n  takes: [100 g single cream]\n  keeps: 4 days chilled\n"
    )
    found = opened(kitchen, text)
    assert use_by(found.book, found.law, "given", "pannacotta", DAY).line == "Use by 27 November 2026"
    tub = tub_words(found.declarer, "ingredient", "single cream", DAY)
    assert tub.made == "Opened on 25 November 2026"
    assert tub.use_by.line == "Use by 27 November 2026"


def test_what_is_taken_out_again_limits_nothing(kitchen: Kitchen) -> None:
    text = (
        '- ingredient: herb\n  keeps: 1 day chilled\n  spec: {statement: "Mint"}\n'
        "- preparation: infusion\n  takes: ['5 g herb, removed', 100 g sugar syrup]\n  keeps: 4 days chilled\n"
    )
    assert used(kitchen, "infusion", text).line == "Use by 29 November 2026"


def test_a_frozen_part_once_thawed_is_not_known(kitchen: Kitchen) -> None:
    text = BOOK.format(custard="30 days frozen", ice="40 days chilled")
    found = used(kitchen, "ice", text)
    assert found.line == "Use by 25 December 2026"
    assert any("once thawed" in note.problem for note in found.notes)


@pytest.mark.parametrize(
    ("law", "words"),
    [
        # Food Safety and Hygiene (England) Regulations 2013, Schedule 4, paragraph 2(1): not above 8 C.
        ("gb", "Keep chilled, at 8 °C or below."),
        # Food Code 2022, 3-501.16(A)(2): 5 C (41 F) or less.
        ("us", "Keep refrigerated, at 41 °F (5 °C) or below."),
        # No temperature for all of the Union stands in the pack.
        ("eu", "Keep chilled."),
    ],
)
def test_temperatures_stand_only_where_a_law_gives_them(kitchen: Kitchen, law: str, words: str) -> None:
    found = opened(kitchen, "- preparation: custard\n  takes: [500 g house cream]\n  keeps: 3 days chilled\n", law=law)
    assert use_by(found.book, found.law, "given", "custard", DAY).storage == words


def test_the_books_own_storage_words_follow(kitchen: Kitchen) -> None:
    text = "- preparation: custard\n  takes: [500 g house cream]\n  keeps: 3 days\n  storage: in the fridge, skin covered\n  reheat: to 75 C\n"
    found = opened(kitchen, text)
    tub = tub_words(found.declarer, "given", "custard", DAY, batch="C-12")
    assert tub.storage == "Keep chilled, at 8 °C or below. In the fridge, skin covered."
    assert tub.reheat == "To 75 C."
    assert (tub.batch, tub.by) == ("C-12", "________")


def test_a_name_the_book_does_not_have_is_refused(kitchen: Kitchen) -> None:
    found = opened(kitchen, BOOK.format(custard="3 days chilled", ice="2 days chilled"))
    with pytest.raises(KeyError):
        use_by(found.book, found.law, "given", "no such thing", DAY)


chain = st.lists(st.integers(min_value=0, max_value=60), min_size=1, max_size=5)


@settings(max_examples=25, deadline=None)
@given(days=chain)
def test_never_later_than_the_shortest_part(tmp_path_factory: pytest.TempPathFactory, days: list[int]) -> None:
    """The issue of paper: never later than the shortest-lived part, however deep."""
    kitchen = Kitchen(tmp_path_factory.mktemp("book") / "book")
    text = ""
    for place, one in enumerate(days):
        inside = f"100 g part {place - 1}" if place else "100 g house cream"
        keeps = f"{one} days chilled" if one else "same day"
        text += f"- preparation: part {place}\n  takes: [{inside}]\n  keeps: {keeps}\n"
    found = used(kitchen, f"part {len(days) - 1}", text)
    assert found.day is not None
    assert (found.day - DAY).days == min(days)
