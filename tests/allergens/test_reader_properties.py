"""What must hold for every statement: no change of dress loses a finding, and no text makes the reader raise."""

import random
import textwrap

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labeller.allergens.reader import Reading, read_statement
from labeller.allergens.vocabulary import load_vocabulary

pytestmark = pytest.mark.property

# Words of allergens in several languages, and things that hold none; common practice, no source.
ALLERGENS = (
    "wheat flour", "barley malt extract", "rolled oats", "rye flour", "whole milk powder", "double cream", "butter (milk)", "egg yolk",
    "free range eggs", "smoked salmon", "anchovies", "king prawns", "crab meat", "mussels", "squid ink", "peanut butter",
    "soya lecithin", "soy sauce (water, soybeans, wheat, salt)", "celery salt", "dijon mustard", "sesame seeds", "lupin flour",
    "brazil nuts", "pine nuts", "pistachio nuts", "hazelnuts 12 %", "almond milk", "sodium metabisulphite", "preservative: E220",
    "Emulsifier: lecithin (soya)", "mayonnaise", "glucose syrup (wheat)", "goat's cheese", "white wine", "Vollmilchpulver",
    "noix de cajou", "jaune d'œuf", "siero di latte", "suero de leche", "gerstemout", "Worcester sauce",
)  # fmt: skip
HARMLESS = (
    "sugar",
    "salt",
    "water",
    "carrot",
    "sunflower oil",
    "black pepper",
    "maize starch",
    "citric acid",
    "thyme",
    "rice flour",
)

lists = st.lists(st.sampled_from(ALLERGENS + HARMLESS), min_size=1, max_size=8)


def found(reading: Reading) -> frozenset[str]:
    return frozenset(finding.source for finding in reading.contains)


def held(reading: Reading) -> frozenset[str]:
    """Everything in it, that may be in it or is left open, by kind."""
    kinds = load_vocabulary().sources
    seen = {finding.source for finding in (*reading.contains, *reading.may_contain)}
    seen |= {source for _, sources in reading.unclear for source in sources}
    return frozenset(kinds[source] for source in seen) - {"other"}


@given(lists, st.integers(min_value=8, max_value=60))
def test_wrapping_loses_no_finding(items: list[str], width: int) -> None:
    text = ", ".join(items)
    assert found(read_statement(textwrap.fill(text, width, break_long_words=False))) >= found(read_statement(text))


@given(lists, st.randoms(use_true_random=False))
def test_the_order_of_things_changes_nothing(items: list[str], chance: random.Random) -> None:
    shuffled = list(items)
    chance.shuffle(shuffled)
    assert found(read_statement(", ".join(shuffled))) == found(read_statement(", ".join(items)))


@given(lists)
def test_capitals_lose_no_finding(items: list[str]) -> None:
    text = ", ".join(items)
    expected = found(read_statement(text))
    for other in (text.upper(), text.lower(), text.title(), text.swapcase()):
        assert found(read_statement(other)) >= expected, other


@given(lists, st.sampled_from(["  ", "   ", "\u00a0", " \t", "\n "]))
def test_spaces_lose_no_finding(items: list[str], space: str) -> None:
    text = ", ".join(items)
    assert found(read_statement(text.replace(" ", space))) >= found(read_statement(text))


@given(lists, st.sampled_from([("(", ")"), ("[", "]"), ("{", "}")]))
def test_brackets_lose_no_finding(items: list[str], brackets: tuple[str, str]) -> None:
    text = ", ".join(items)
    expected = found(read_statement(text))
    around, each = brackets[0] + text + brackets[1], ", ".join(brackets[0] + item + brackets[1] for item in items)
    for other in (
        around,
        each,
        "filling " + around,
        f"salt, sauce {around}, sugar",
        around + " sugar",
        brackets[0] + text,
        text + brackets[1],
    ):
        assert found(read_statement(other)) >= expected, other


@given(lists, st.sampled_from(HARMLESS), st.integers(min_value=0, max_value=8))
def test_one_harmless_thing_more_changes_nothing(items: list[str], more: str, place: int) -> None:
    longer = [*items[:place], more, *items[place:]]
    before, after = read_statement(", ".join(items)), read_statement(", ".join(longer))
    assert found(after) >= found(before)
    assert held(after) == held(before)


@given(lists)
def test_other_marks_between_things_lose_no_finding(items: list[str]) -> None:
    expected = found(read_statement(", ".join(items)))
    for mark in ("; ", " • ", "\n", " | ", ". ", " / ", " and ", " & ", ",", " - "):
        assert found(read_statement(mark.join(items))) >= expected, mark


@given(lists, lists)
def test_what_is_in_it_stays_in_it_before_and_after_a_warning(items: list[str], warned: list[str]) -> None:
    """A warning may only add what may be in it; stated before or after, the list keeps all its findings."""
    text, warning = ", ".join(items), ", ".join(item.split(" (")[0].split(":")[-1] for item in warned)
    expected = found(read_statement(text))
    for other in (
        f"{text}. May contain {warning}.",
        f"{text} (may contain {warning})",
        f"May contain {warning}. Ingredients: {text}",
    ):
        assert found(read_statement(other)) >= expected, other


@given(lists)
def test_what_a_warning_names_is_never_lost(items: list[str]) -> None:
    text = ", ".join(items)
    expected = held(read_statement(text))
    for warning in (
        "May contain traces of {}",
        "Made in a factory that handles {}",
        "Not suitable for people allergic to {}",
    ):
        assert held(read_statement(warning.format(text))) >= expected, warning


WORDS = ("may contain", "contains", "free from", "no", "not", "free", "nuts", "milk", "(", ")", "[", "}", ":", ",", ".", "*", "†", "\n", "12 %", "E322",
         "flour", "ingredients", "made in", "factory", "and", "kann", "enthalten", "sans", "lait", "handled", "are", "vegan", "-", "/", "from", "soya")  # fmt: skip


@given(st.lists(st.sampled_from(WORDS), max_size=40))
def test_no_order_of_signal_words_makes_it_raise(words: list[str]) -> None:
    reading = read_statement(" ".join(words))
    assert isinstance(reading.ingredients, tuple)
    assert reading.refused == ""


@given(st.text(max_size=300))
def test_no_text_makes_it_raise(text: str) -> None:
    reading = read_statement(text)
    assert isinstance(reading.ingredients, tuple)
    assert reading.refused == ""


@settings(max_examples=20, deadline=None)
@given(st.binary(max_size=2000))
def test_no_bytes_read_as_text_make_it_raise(raw: bytes) -> None:
    for text in (raw.decode("latin-1"), raw.decode("utf-8", "surrogateescape"), raw.decode("utf-16", "replace")):
        assert read_statement(text).refused == ""


@pytest.mark.parametrize("seed", range(3))
def test_a_long_random_text_is_read_to_its_end(seed: int) -> None:
    """The last word of 200 kB is found like the first."""
    chance = random.Random(seed)  # noqa: S311 - a drawing for a test
    filler = ", ".join(chance.choice(HARMLESS) for _ in range(20_000))
    assert found(read_statement("milk, " + filler[:199_000] + ", lupin flour")) >= {"milk", "lupin"}
