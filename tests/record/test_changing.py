"""Over random pairs of books: every dish that is declared otherwise is told and its papers are printed again, and no other."""

from datetime import date
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from labeller.book.files import read_files
from labeller.cli.past import declarer_of
from labeller.record.changing import Changes, changes_of
from labeller.record.changing_text import changes_as_text
from labeller.record.content import Content, content_of
from tests.kitchens import Kitchen, plate

STATEMENTS = ["sugar", "MILK powder", "HAZELNUTS, sugar", "ALMONDS, HAZELNUTS", "brandy, sugar", "flour, lecithin", ""]
MAY = ["none", "sesame", "hazelnuts", ""]


@st.composite
def books(draw: st.DrawFn) -> str:
    text = ""
    for place in range(3):
        statement, may = draw(st.sampled_from(STATEMENTS)), draw(st.sampled_from(MAY))
        parts = ([f'statement: "{statement}"'] if statement else []) + ([f"may_contain: {may}"] if may else [])
        spec = f"  spec: {{{', '.join(parts)}}}\n" if parts else ""
        text += f"- ingredient: thing {'abc'[place]}\n  composition: sr28:19335\n{spec}"
    text += "- preparation: mix\n  takes: [10 g thing a, 10 g water]\n"
    for name in draw(st.sets(st.sampled_from(["one", "two", "three"]), min_size=1)):
        lines = draw(
            st.lists(
                st.sampled_from(["20 g mix", "5 g thing b", "5 g thing c", "30 g water"]), min_size=1, unique=True
            )
        )
        text += plate(*lines, name=f"dish {name}")
    return text


def content(kitchen: Kitchen, text: str) -> Content:
    folder = kitchen.write(text).folder
    declarer = declarer_of(folder, "eu", date(2026, 11, 25))
    assert declarer is not None
    return content_of(declarer, read_files(folder).raw)


def for_guests(declaration: dict[str, Any]) -> dict[str, tuple[Any, ...]]:
    """Return what a card says of each group and of alcohol, worked out from the JSON without the module under test."""
    said: dict[str, tuple[Any, ...]] = {}
    for row in declaration["allergens"]:
        beside = {source for one in row.get("may_contain", ()) for source in one["sources"]}
        said[row["group"]] = (
            row["status"],
            set(row["sources"]),
            beside - set(row["sources"]),
            bool(row["unconfirmed"]),
        )
    alcohol = declaration["alcohol"]
    said["alcohol"] = (
        alcohol["status"],
        {one["path"][-1] for one in alcohol["because"]},
        round(alcohol["ethanol_g"]["estimate"], 1),
        bool(alcohol["unconfirmed"]),
    )
    return said


def harmful(old: tuple[Any, ...], new: tuple[Any, ...]) -> bool:
    """Tell whether somebody who trusts the old card may be harmed by a group."""
    status, sources, beside, open_ = new
    return (
        not (sources | beside) <= (old[1] | old[2])
        or (open_ and not old[3])
        or (status == "contains" and old[0] != "contains")
    )


@pytest.mark.property
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(books(), books())
def test_everything_declared_otherwise_is_told_and_printed_again(
    tmp_path_factory: pytest.TempPathFactory, old: str, new: str
) -> None:
    kitchen = Kitchen(tmp_path_factory.mktemp("pair") / "book")
    before, after = content(kitchen, old), content(kitchen, new)
    found = changes_of(before, after, before)
    reprint, floor = found.reprint(), {one["dish"] for one in found.tell()["front_of_house"]}
    both = set(before.names("dish")) & set(after.names("dish"))
    said = {
        name: (for_guests(before.declaration(("dish", name))), for_guests(after.declaration(("dish", name))))
        for name in both
    }
    for name, (first, second) in said.items():
        if first != second:
            assert name in reprint["cards"]
            assert reprint["allergen_sheet"]
        if any(harmful(first[group], second[group]) for group in first if group != "alcohol"):
            assert name in floor
        label = [one.declaration(("dish", name))["label"]["ingredients_text"] for one in (before, after)]
        if label[0] != label[1]:
            assert name in reprint["sale_labels"]
        if before.things["dish", name] == after.things["dish", name]:
            assert name not in {one.name for one in found.things if one.kind == "dish"}
    new_dishes = set(after.names("dish")) - both
    assert new_dishes <= set(reprint["cards"])
    assert (set(before.names("dish")) - both) == {one["name"] for one in reprint["take_away"]}
    assert new_dishes | (set(before.names("dish")) - both) <= floor
    _in_order(found)
    for line in changes_as_text(found, "one", "the other").splitlines():
        assert len(line) <= 80


def _in_order(found: Changes) -> None:
    for thing in found.things:
        dangers = [one.danger for one in thing.differences]
        assert dangers == sorted(dangers)
        assert len(thing.causes) == len(thing.differences)


@pytest.mark.property
@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(books())
def test_a_book_held_against_itself_has_not_changed(tmp_path_factory: pytest.TempPathFactory, text: str) -> None:
    kitchen = Kitchen(tmp_path_factory.mktemp("same") / "book")
    assert changes_of(content(kitchen, text), content(kitchen, text)).nothing
