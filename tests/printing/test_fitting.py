"""Texts fitted into boxes: shrunk to their least and no further, then another box or a refusal with a size that does hold."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labeller.printing.faces import face
from labeller.printing.fitting import Block, DoesNotFit, Fitted, fit, flow
from labeller.printing.page import Box
from labeller.printing.setting import Style

LIST = "Ingredients: wheat flour, hazelnuts, butter (milk), sugar, egg, plum brandy, salt, raising agent, vanilla, lemon peel, cinnamon."


def block(
    name: str, text: str, size: float = 10.0, least: float = 1.2, priority: int = 1, *, space: float = 0.0
) -> Block:
    style = Style("sans", "sans-bold", size, role="allergens", least_x_height_mm=least)
    return Block(name, text, style, priority, space)


def sizes(fitted: Fitted) -> dict[str, float]:
    return {one.name: one.text.style.size_pt for one in fitted.texts}


def test_with_room_every_text_has_its_own_size() -> None:
    fitted = fit([block("a", "milk"), block("b", LIST, 9.0, space=2.0)], 90.0, 60.0)
    assert isinstance(fitted, Fitted)
    assert sizes(fitted) == {"a": 10.0, "b": 9.0}
    first, second = fitted.texts
    assert second.top == pytest.approx(first.text.height + 2.0)


def test_without_room_the_first_in_priority_shrinks_alone() -> None:
    blocks = [
        block("name", "Hazelnut and plum cake", 16.0, 1.2, priority=2),
        block("list", LIST, 10.0, 1.2, priority=1),
    ]
    tall = fit(blocks, 60.0, 60.0)
    tight = fit(blocks, 60.0, 30.0)
    assert isinstance(tall, Fitted)
    assert isinstance(tight, Fitted)
    assert sizes(tall)["list"] == 10.0
    assert sizes(tight)["name"] == 16.0
    assert sizes(tight)["list"] < 10.0
    refused = fit(blocks, 60.0, 5.0)
    assert isinstance(refused, DoesNotFit)
    assert refused.needs_height_mm is not None
    tighter = fit(blocks, 60.0, refused.needs_height_mm)
    assert isinstance(tighter, Fitted)
    assert sizes(tighter)["name"] < 16.0
    assert sizes(tighter)["list"] == pytest.approx(blocks[1].style.least_size_pt)
    assert all(
        fitted.height <= height for fitted, height in ((tall, 60.0), (tight, 30.0), (tighter, refused.needs_height_mm))
    )


def test_no_letter_goes_below_the_law_s_height() -> None:
    # Article 13(2) of Regulation (EU) No 1169/2011: an x-height of 1.2 mm or more.
    for height in (40.0, 25.0, 18.0, 17.0, 16.0):
        fitted = fit([block("list", LIST, 12.0, 1.2)], 60.0, height)
        if isinstance(fitted, Fitted):
            for one in fitted.texts:
                assert one.text.style.size_pt * face("sans").x_height * 25.4 / 72.0 >= 1.2 - 1e-9


def test_what_does_not_fit_says_a_size_that_does() -> None:
    blocks = [
        block("name", "Hazelnut and plum cake", 12.0, 1.2),
        block("list", LIST * 3, 8.0, 1.2, space=2.0),
    ]
    refused = fit(blocks, 60.0, 20.0)
    assert isinstance(refused, DoesNotFit)
    assert refused.needs_height_mm is not None
    assert refused.needs_width_mm is not None
    assert isinstance(fit(blocks, 60.0, refused.needs_height_mm), Fitted)
    assert isinstance(fit(blocks, 60.0, refused.needs_height_mm - 0.2), DoesNotFit)
    assert isinstance(fit(blocks, refused.needs_width_mm, 20.0), Fitted)
    assert refused.needs_width_mm > 60.0


def test_a_word_of_a_warning_wider_than_the_box_is_named_and_no_height_would_do() -> None:
    refused = fit([block("a", "Schalenfrüchte", 7.0, 1.2)], 8.0, 200.0)
    assert isinstance(refused, DoesNotFit)
    assert refused.too_wide == ("Schalenfrüchte",)
    assert refused.needs_height_mm is None
    assert refused.needs_width_mm is not None
    assert isinstance(fit([block("a", "Schalenfrüchte", 7.0, 1.2)], refused.needs_width_mm, 200.0), Fitted)


def test_a_title_is_set_smaller_rather_than_on_more_lines_than_wished() -> None:
    style = Style("serif-bold", "serif-bold", 24.0, role="title", balanced=True, least_x_height_mm=1.9)
    free = fit([Block("name", "Kalbsschulterfilet mit Eierschwammerl-Rahmsauce", style)], 80.0, 100.0)
    held = fit([Block("name", "Kalbsschulterfilet mit Eierschwammerl-Rahmsauce", style, most_lines=2)], 80.0, 100.0)
    assert isinstance(free, Fitted)
    assert isinstance(held, Fitted)
    assert len(free.texts[0].text.lines) > 2
    assert len(held.texts[0].text.lines) == 2
    assert held.texts[0].text.style.size_pt < 24.0


def test_a_title_no_size_can_please_is_as_large_as_the_box_allows() -> None:
    style = Style("serif-bold", "serif-bold", 20.0, role="title", balanced=True, least_x_height_mm=1.9)
    held = fit(
        [Block("name", "Rindfleischetikettierungsüberwachungsaufgabenübertragungsgesetz " * 3, style, most_lines=1)],
        60.0,
        200.0,
    )
    assert isinstance(held, Fitted)
    assert held.texts[0].text.style.size_pt == 20.0


def test_texts_go_on_in_a_second_box_with_the_name_repeated() -> None:
    name = block("name", "Hazelnut and plum cake", 12.0, 1.2)
    parts = flow([block("list", LIST * 2, 9.0, 1.2, space=1.0)], 60.0, 16.0, repeated=[name])
    assert not isinstance(parts, DoesNotFit)
    assert len(parts) == 2
    assert [one.name for one in parts[0].texts] == ["name", "list"]
    assert [one.name for one in parts[1].texts] == ["name, 2", "list"]
    assert all(part.height <= 16.0 for part in parts)
    both = " ".join(part.texts[1].text.text for part in parts)
    assert both == (LIST * 2)
    for part in parts:
        assert len(part.texts[1].text.lines) >= 2


def test_a_flow_is_as_large_as_the_same_number_of_boxes_allows() -> None:
    parts = flow([block("list", LIST * 2, 12.0, 1.2)], 60.0, 34.0)
    assert not isinstance(parts, DoesNotFit)
    least = block("list", LIST * 2, 12.0, 1.2).style.least_size_pt
    assert parts[0].texts[0].text.style.size_pt > least
    assert len({one.text.style.size_pt for part in parts for one in part.texts}) == 1


def test_a_heading_never_stands_last_in_a_box() -> None:
    heading = Block(
        "heading",
        "Storage",
        Style("sans-bold", "sans-bold", 9.0, least_x_height_mm=1.2),
        keep_with_next=True,
        space_before_mm=2.0,
        least_space_mm=2.0,
    )
    for lines in range(1, 12):
        first = block("first", "milk " * 7 * lines, 6.5, 1.2)
        parts = flow([first, heading, block("last", LIST, 6.5, 1.2)], 40.0, 20.0)
        assert not isinstance(parts, DoesNotFit)
        assert all(part.texts[-1].name != "heading" for part in parts), lines
        assert [one.name for part in parts for one in part.texts].count("heading") == 1


def test_what_may_not_be_parted_goes_whole_to_the_next_box() -> None:
    parts = flow([block("a", LIST, 6.5, 1.2), replace(block("b", LIST, 6.5, 1.2), whole=True)], 40.0, 16.0)
    assert not isinstance(parts, DoesNotFit)
    assert sum("b" in [one.name for one in part.texts] for part in parts) == 1


def test_a_box_that_can_take_nothing_is_refused_with_a_size() -> None:
    refused = flow([block("a", "milk", 8.0, 1.2)], 40.0, 1.0)
    assert isinstance(refused, DoesNotFit)
    assert refused.needs_height_mm is not None
    assert not isinstance(flow([block("a", "milk", 8.0, 1.2)], 40.0, refused.needs_height_mm), DoesNotFit)


def test_texts_stand_at_the_top_middle_or_bottom() -> None:
    fitted = fit([block("a", "milk")], 40.0, 30.0)
    assert isinstance(fitted, Fitted)
    box = Box(5.0, 5.0, 40.0, 30.0)
    tops = [fitted.placed(box, at=where)[0].baseline for where in ("top", "middle", "bottom")]
    assert tops[1] - tops[0] == pytest.approx(tops[2] - tops[1])
    assert tops[2] - tops[0] == pytest.approx(30.0 - fitted.height)


WORDS = st.lists(st.text(st.sampled_from("abcdeäöüłżщї,"), min_size=1, max_size=29), min_size=1, max_size=25).map(
    " ".join
)


@settings(max_examples=40, deadline=None)
@given(WORDS, WORDS, st.floats(40.0, 110.0), st.floats(10.0, 80.0))
def test_every_word_stands_in_what_is_fitted_or_flows(name: str, text: str, width: float, height: float) -> None:
    blocks = [block("name", name, 14.0, 1.2, 2), block("text", text, 9.0, 1.2, 1, space=2.0)]
    for done in (fit(blocks, width, height), flow(blocks, width, height)):
        if isinstance(done, DoesNotFit):
            assert done.needs_height_mm is not None or done.too_wide or done.needs_width_mm is not None
            continue
        boxes = (done,) if isinstance(done, Fitted) else done
        said = [one.text.text for one_box in boxes for one in one_box.texts]
        assert " ".join(" ".join(said).split()) == " ".join(f"{name} {text}".split())
        assert all(one.height <= height + 1e-6 for one in boxes)
