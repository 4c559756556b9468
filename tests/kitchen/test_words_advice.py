"""Words of a book that name an allergen or alcohol which no line brings: every paper would say 'not an ingredient' (Annex II asks for it).

Regulation (EU) No 1169/2011, Article 9(1)(c): what is used in the preparation and still present is declared, wherever the cook wrote it.
"""

import pytest

from tests.kitchens import Kitchen

_BOOK = """
- preparation: cake
  takes: [100 g sugar, 50 g ground almonds, 20 g rum]
  method: ["{sentence}"]
- dish: slice
  description: "{description}"
  plate: [100 g cake]
"""


def said(kitchen: Kitchen, sentence: str = "Bake it.", description: str = "") -> list[str]:
    kitchen.write(_BOOK.format(sentence=sentence, description=description))
    return [one["problem"] for one in kitchen.advice() if "no line of" in one["problem"]]


@pytest.mark.parametrize(
    ("sentence", "named"),
    [
        ("Dust with ground peanuts.", "peanut"),
        ("Brush with egg and milk.", "egg and milk"),
        ("Scatter with flaked hazelnuts.", "hazelnut"),
        ("Finish with a drop of fish sauce.", "fish"),
    ],
)
def test_a_sentence_of_the_method_that_brings_an_allergen(kitchen: Kitchen, sentence: str, named: str) -> None:
    (problem,) = said(kitchen, sentence)
    assert f"'{sentence}' names {named}, and no line of 'cake' brings it." == problem


def test_a_description_that_a_guest_reads(kitchen: Kitchen) -> None:
    (problem,) = said(kitchen, description="with a sesame wafer")
    assert "sesame" in problem
    assert "'slice'" in problem


@pytest.mark.parametrize(
    "sentence",
    ["Bake it.", "Fold in the almonds.", "Brush with the rum.", "Scatter nuts over it.", "Keep it peanut-free."],
)
def test_what_the_lines_bring_is_not_said_again(kitchen: Kitchen, sentence: str) -> None:
    assert said(kitchen, sentence) == []


def test_alcohol_in_a_sentence(kitchen: Kitchen) -> None:
    kitchen.write(_BOOK.format(sentence="Soak it with kirsch.", description="").replace(", 20 g rum", ""))
    (problem,) = [one["problem"] for one in kitchen.advice() if "no line of" in one["problem"]]
    assert "alcohol" in problem


def test_what_is_open_anyway_is_not_said_twice(kitchen: Kitchen) -> None:
    kitchen.write(
        "- ingredient: bought filling\n"
        + _BOOK.format(sentence="Dust with peanuts.", description="").replace("100 g sugar", "5 g bought filling")
    )
    assert not [one for one in kitchen.advice() if "no line of" in one["problem"]]
