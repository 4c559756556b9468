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


_MANY = """
- ingredient: dried apricots
  sulphites: 2000 mg/kg
  spec: {supplier: a wholesaler, dated: 2026-11-01, may_contain: none, statement: "Apricots, sulphur dioxide"}
- ingredient: apricots in syrup
  sulphites: 12 mg/kg
  spec: {supplier: a wholesaler, dated: 2026-11-01, may_contain: none, statement: "Apricots, water, sugar"}
- ingredient: nut paste
- dish: tart
  plate:
    - {take: 100 g sugar, swap: [10 g almonds, 10 g walnuts, 10 g cashews, 10 g nut paste]}
- dish: bowl
  plate: ["100 g sugar, or 100 g dried apricots"]
- dish: cup
  plate:
    - 30 g apricots in syrup
    - 100 g water, or 1 g water
"""


def test_every_other_thing_is_named_however_many_there_are(kitchen: Kitchen) -> None:
    kitchen.write(_MANY)
    page = " ".join(run("answer", kitchen.folder, "--of", "tart", "--about", "nuts").out.split())
    assert "That does not hold with almonds, walnuts, cashews or nut paste in place of the sugar." in page


def test_sulphites_of_the_other_thing_go_by_quantity(kitchen: Kitchen) -> None:
    """More than 10 mg/kg: Regulation (EU) No 1169/2011, Annex II, 12; 12 x 30 / 130 = 2.8 mg/kg, and 12 x 30 / 31 = 11.6."""
    kitchen.write(_MANY)
    found = run("answer", kitchen.folder, "--without", "sulphites", "--json").json()
    assert {"bowl", "cup"} <= set(found["suits"])
    assert found["not_with"]["bowl"] == ["dried apricots"]
    assert found["not_with"]["cup"] == ["water"]
    for dish, other in (("bowl", "dried apricots"), ("cup", "water")):
        said = run("answer", kitchen.folder, "--of", dish, "--about", "sulphites", "--json").json()
        assert said["status"] == "none declared"
        assert f"does not hold with {other} in place of" in said["sentence"]


@pytest.mark.parametrize("word", ["halal", "kosher"])
def test_plain_facts_do_not_hold_for_the_other_thing(kitchen: Kitchen, word: str) -> None:
    kitchen.write(_BOOK.replace("    - 5 g walnuts, optional\n", ""))
    assert "Alcohol: not in the recipe" in asked(kitchen, word)
    assert "That does not hold with plum gin in place of the water." in asked(kitchen, word)


def test_a_disease_is_not_said_to_be_in_the_recipe(kitchen: Kitchen) -> None:
    """The law of the United States names wheat and no gluten (21 U.S.C. 321(qq)): who asks as a coeliac hears of gluten."""
    kitchen.write(_BOOK, law="us")
    assert asked(kitchen, "coeliac").startswith("Gluten is not in the recipe")
    assert run("answer", kitchen.folder, "--of", "bun", "--about", "coeliac", "--json").json()["about"] == "coeliac"


def test_a_part_may_bear_the_name_of_the_machine(kitchen: Kitchen) -> None:
    kitchen.write(
        "- kitchen: K\n  jurisdiction: eu\n  shared_equipment: [blender]\n"
        "- preparation: blender\n  takes: [100 g plums]\n  made_on: [blender]\n"
        "- preparation: praline\n  takes: [100 g hazelnuts]\n  made_on: [blender]\n"
        "- dish: bun\n  plate: [10 g blender]\n",
        law=None,
    )
    assert "the blender is made on the same blender as the praline (hazelnut)" in asked(kitchen, "nuts")


@pytest.mark.parametrize(
    ("language", "words"),
    [
        ("en", "That does not hold with the sugar left off."),
        ("fr", "Cela ne vaut pas si l'on retire « sugar »."),
        ("de", "Das gilt nicht, wenn „sugar“ weggelassen wird."),
        ("it", "Questo non vale se si toglie «sugar»."),
        ("es", "Esto no vale si se quita «sugar»."),
    ],
)
def test_less_on_the_plate_can_be_more_sulphite(kitchen: Kitchen, language: str, words: str) -> None:
    """More than 10 mg/kg: Regulation (EU) No 1169/2011, Annex II, 12; 12 x 30 / 130 = 2.8 mg/kg, alone 12."""
    kitchen.write(
        _MANY
        + "- dish: bun\n  plate:\n    - 30 g apricots in syrup\n    - 100 g sugar, optional\n    - 5 g water, optional\n"
    )
    page = asked(kitchen, "sulphites", "--language", language)
    assert words in page.replace("\u00a0", " ").replace("\u202f", " ")
    assert "left off" not in asked(kitchen, "milk")
    assert "water left off" not in page
