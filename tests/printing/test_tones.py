"""Contrast against WCAG 2.1."""

import pytest

from labeller.printing import house
from labeller.printing.page import Box, Run, TextLine
from labeller.printing.tones import BLACK, ON_TINT, QUIET, REVERSED, Ink, contrast_ratio, grey, relative_luminance

# W3C Recommendation WCAG 2.1, definitions "contrast ratio" and "relative luminance": black on white is 21:1, equal colours 1:1.
# The others follow from the definition and are published rounded by every contrast table: #767676 is the palest grey that passes
# 4.5:1 on white, #777777 the darkest that does not (Understanding SC 1.4.3: 4.499:1 is not rounded up).
PUBLISHED = [
    ((0, 0, 0), (255, 255, 255), 21.0),
    ((255, 255, 255), (255, 255, 255), 1.0),
    ((0x76, 0x76, 0x76), (255, 255, 255), 4.54),
    ((0x77, 0x77, 0x77), (255, 255, 255), 4.48),
    ((0x33, 0x33, 0x33), (255, 255, 255), 12.63),
    ((0x99, 0x99, 0x99), (255, 255, 255), 2.85),
    ((0, 0, 255), (255, 255, 255), 8.59),
    ((255, 0, 0), (255, 255, 255), 4.0),
]


@pytest.mark.parametrize(("one", "other", "ratio"), PUBLISHED)
def test_contrast_as_published(one: tuple[int, int, int], other: tuple[int, int, int], ratio: float) -> None:
    assert contrast_ratio(one, other) == pytest.approx(ratio, abs=0.006)
    assert contrast_ratio(other, one) == contrast_ratio(one, other)


def test_luminance_of_the_three_primaries_is_the_weights_of_the_definition() -> None:
    assert relative_luminance((255, 0, 0)) == pytest.approx(0.2126)
    assert relative_luminance((0, 255, 0)) == pytest.approx(0.7152)
    assert relative_luminance((0, 0, 255)) == pytest.approx(0.0722)
    # Below the bend of the curve the definition divides by 12.92.
    assert relative_luminance(grey(10)) == pytest.approx(10.0 / 255.0 / 12.92)


def test_a_tone_too_pale_to_read_cannot_be_made() -> None:
    assert Ink(0x76, 255).contrast > 4.5
    with pytest.raises(
        ValueError, match=r"Grey 119 on grey 255 has a contrast of 4\.48:1; letters need 4\.5:1 at least"
    ):
        Ink(0x77, 255)
    with pytest.raises(ValueError, match="from 0 to 255"):
        Ink(-1, 255)


def test_the_house_s_tones() -> None:
    assert BLACK.contrast == REVERSED.contrast == pytest.approx(21.0)
    assert all(ink.fit_for_warnings for ink in (BLACK, REVERSED, QUIET, ON_TINT))


def test_warnings_are_not_set_in_a_tone_that_is_only_just_readable() -> None:
    weak = Ink(0x76, 255)
    line = (Run("milk", "sans", 9.0),)
    TextLine(line, 0.0, 5.0, 5.0, Box(0.0, 0.0, 20.0, 10.0), "small print", "a", ink=weak)
    for role in ("allergens", "alcohol", "caution"):
        with pytest.raises(ValueError, match=r"'milk' \(\w+\) is set in a tone too weak for it: 4\.5:1"):
            TextLine(line, 0.0, 5.0, 5.0, Box(0.0, 0.0, 20.0, 10.0), role, "a", ink=weak)


def test_every_style_of_the_house_keeps_its_own_least_height() -> None:
    for scale in (house.CARD_A7, house.CARD_A6, house.CARD_A5, house.TUB, house.SALE, house.SHEET):
        for make in (
            house.title,
            house.plain_title,
            house.description,
            house.heading,
            house.body,
            house.loud,
            house.small_print,
            house.table_head,
            house.table_cell,
            house.table_figures,
        ):
            style = make(scale)
            assert style.size_pt >= style.least_size_pt - 1e-9, (scale, make.__name__)
