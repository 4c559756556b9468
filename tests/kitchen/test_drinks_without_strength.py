"""A drink that nothing gives a strength for: its alcohol is not known, and never none.

Regulation (EU) No 1169/2011, Article 16(4): above 1.2 % vol a drink needs no list of ingredients, and Annex VII lists what is put in, so the
alcohol that fermenting makes stands in no list. A list without the word therefore never shows that a drink is without alcohol.
"""

import pytest

from tests.kitchens import Kitchen, run

_BOOK = """
- ingredient: {name}
  spec: {{supplier: a wholesaler, dated: 2026-11-01, may_contain: none, statement: "{statement}"}}
  {more}
- dish: bowl
  plate: [100 g {name}, 50 g water]
"""
# Fermented drinks and what goes into them (common practice, no source).
_FERMENTED = [
    ("dark ale", "water, malted barley, hops, yeast"),
    ("mead", "honey, water, yeast"),
    ("house perry", "pear juice, yeast, preservative: sulphites"),
    ("cooking wine", "grapes, salt"),
]


@pytest.mark.parametrize(("name", "statement"), _FERMENTED)
def test_a_list_without_alcohol_does_not_clear_a_drink(kitchen: Kitchen, name: str, statement: str) -> None:
    kitchen.write(_BOOK.format(name=name, statement=statement, more=""))
    assert kitchen.one("bowl")["alcohol"]["status"] == "unconfirmed"
    said = run("answer", kitchen.folder, "--without", "alcohol", "--json").json()
    assert said["suits"] == []
    assert [one["dish"] for one in said["cannot_vouch"]] == ["bowl"]
    asked = run("answer", kitchen.folder, "--of", "bowl", "--about", "alcohol")
    assert asked.code == 3
    assert "We do not know" in asked.out
    assert name in asked.out


@pytest.mark.parametrize(("strength", "status"), [("5 % vol", "contains"), ("0 % vol", "none declared")])
def test_a_strength_settles_it(kitchen: Kitchen, strength: str, status: str) -> None:
    kitchen.write(_BOOK.format(name="dark ale", statement="water, malted barley, hops", more=f"strength: {strength}"))
    assert kitchen.one("bowl")["alcohol"]["status"] == status
    assert not [one for one in kitchen.advice() if one["field"] == "strength"]


@pytest.mark.parametrize("name", ["cider vinegar", "alcohol-free beer", "wine gums", "ginger ale"])
def test_what_is_only_called_after_a_drink_is_left_alone(kitchen: Kitchen, name: str) -> None:
    kitchen.write(_BOOK.format(name=name, statement="water, sugar", more=""))
    assert kitchen.one("bowl")["alcohol"]["status"] == "none declared"


def test_check_asks_for_the_strength(kitchen: Kitchen) -> None:
    kitchen.write(_BOOK.format(name="nut liqueur", statement="sugar, water, alcohol, hazelnuts", more=""))
    (advice,) = [one for one in kitchen.advice() if one["field"] == "strength"]
    assert "nut liqueur" in advice["problem"]
    assert "strength: 0 % vol" in advice["mend"]


def test_alcohol_without_a_strength_is_not_written_as_nought(kitchen: Kitchen) -> None:
    kitchen.write(_BOOK.format(name="nut liqueur", statement="sugar, water, alcohol, hazelnuts", more=""))
    page = " ".join(run("declare", kitchen.folder, "--of", "bowl", "--on", "2026-11-25").out.split())
    assert "how strong nut liqueur may be is not known" in page
    assert "0.0 g" not in page
    (way,) = kitchen.one("bowl")["alcohol"]["because"]
    assert way["ethanol_g"] is None


def test_what_does_not_fit_the_page_is_counted(kitchen: Kitchen) -> None:
    """Eight goods without a paper: six are named, and the page says that there are two more."""
    goods = [f"mystery {one}" for one in "abcdefgh"]
    kitchen.write(
        "".join(f"- ingredient: {one}\n" for one in goods)
        + f"- dish: bowl\n  plate: [{', '.join(f'5 g {one}' for one in goods)}]\n"
    )
    page = " ".join(run("declare", kitchen.folder, "--of", "bowl").out.split())
    assert "and 2 more" in page.split("Alcohol")[1].split("Nutrition")[0]
