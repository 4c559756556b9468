"""'50 ml double cream, or 30 g cashew cream': an answer about the plate must not be taken for one about the other plate.

Regulation (EU) No 1169/2011, Article 44: the allergens of what is served are told to the guest who is served it.
"""

import pytest

from tests.kitchens import Kitchen, run

_BOOK = """
- ingredient: cashew cream
  spec: {supplier: a wholesaler, dated: 2026-11-01, may_contain: none, statement: "CASHEW, water"}
- ingredient: plum gin
  strength: 20 % vol
  spec: {supplier: a wholesaler, dated: 2026-11-01, may_contain: none, statement: "plums, sugar, alcohol"}
- dish: bun
  plate:
    - 100 g sugar
    - 50 ml double cream, or 30 g cashew cream
    - 20 ml water, or 20 ml plum gin
    - 5 g walnuts, optional
- dish: plain
  plate: [100 g sugar]
"""


def asked(kitchen: Kitchen, what: str, *more: str) -> str:
    return " ".join(run("answer", kitchen.folder, "--of", "bun", "--about", what, *more).out.split())


def test_not_in_it_but_in_the_other_thing(kitchen: Kitchen) -> None:
    kitchen.write(_BOOK.replace("    - 5 g walnuts, optional\n", ""))
    assert "That does not hold with cashew cream in place of the double cream." in asked(kitchen, "nuts")
    assert "That does not hold with plum gin in place of the water." in asked(kitchen, "alcohol")
    assert "does not hold" not in asked(kitchen, "mustard")
    assert "does not hold" not in asked(kitchen, "milk")  # it is in the cream itself; the other is what can be done


@pytest.mark.parametrize(
    ("language", "words"),
    [
        ("fr", "Cela ne vaut pas avec « cashew cream » à la place de « double cream »."),
        ("de", "Das gilt nicht mit „cashew cream“ statt „double cream“."),
        ("it", "Questo non vale con «cashew cream» al posto di «double cream»."),
        ("es", "Esto no vale con «cashew cream» en lugar de «double cream»."),
    ],
)
def test_in_the_guest_s_language(kitchen: Kitchen, language: str, words: str) -> None:
    kitchen.write(_BOOK.replace("    - 5 g walnuts, optional\n", ""))
    assert words in asked(kitchen, "nuts", "--language", language)


def test_dishes_that_suit_unless_the_other_thing_is_served(kitchen: Kitchen) -> None:
    kitchen.write(_BOOK)
    page = run("answer", kitchen.folder, "--without", "nuts").out
    assert "- bun: leave off walnuts (not with cashew cream)" in " ".join(page.split())
    assert "- plain\n" in page
    dry = run("answer", kitchen.folder, "--without", "alcohol")
    assert "- bun (not with plum gin)" in dry.out
    document = run("answer", kitchen.folder, "--without", "alcohol", "--json").json()
    assert document["suits"] == ["bun", "plain"]
    assert document["not_with"] == {"bun": ["plum gin"]}
