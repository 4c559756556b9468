"""The command ``answer`` with ``--language``: the guest's language above, the book's below, and names where there are no sentences."""

import re

import pytest

from labeller.declarations.speaking import SENTENCE_LANGUAGES, said, speak
from labeller.jurisdictions.languages import allergen_name, known_languages
from tests.kitchens import Kitchen, Ran, plate, run
from tests.wording import DO_NOT_KNOW, NEVER

OTHERS = ("fr", "de", "it", "es")
NAMES_ONLY = tuple(code for code in known_languages() if code not in SENTENCE_LANGUAGES)
BOOK = """
- kitchen: The Saltmarsh Room
  jurisdiction: gb
  shared_equipment: [churn]
- ingredient: hazelnut praline
  spec: {statement: "HAZELNUTS, sugar"}
- ingredient: damson cordial
  spec: {statement: "Water, sugar, damsons"}
- ingredient: cream sauce
  spec: {statement: "Cream (MILK), sugar"}
- ingredient: set jelly
  spec: {statement: "Water, sugar, pork gelatine"}
- ingredient: house gin
  composition: sr28:14037
  strength: 40 % vol
- preparation: hazelnut ice
  takes: [100 g hazelnut praline]
  made_on: [churn]
- preparation: plain ice
  takes: [100 g damson cordial]
  made_on: [churn]
"""


def ask(kitchen: Kitchen, about: str, language: str, *more: str) -> Ran:
    return run(
        "answer",
        kitchen.folder,
        "--of",
        "plate",
        "--about",
        about,
        "--language",
        language,
        "--on",
        "2026-11-25",
        *more,
    )


def flat(ran: Ran) -> str:
    return " ".join(ran.out.split())


@pytest.mark.parametrize(
    ("language", "begins"),
    [
        ("fr", "Oui : dans « hazelnut ice », il y a « hazelnut praline » (noisettes)."),
        ("de", "Ja: „hazelnut ice“ enthält „hazelnut praline“ (Haselnüsse)."),
        ("it", "Sì: in «hazelnut ice» c'è «hazelnut praline» (nocciole)."),
        ("es", "Sí: en «hazelnut ice» hay «hazelnut praline» (avellanas)."),
    ],
)
def test_the_guests_language_comes_first_and_the_books_below(kitchen: Kitchen, language: str, begins: str) -> None:
    """Issue 7, item 7: the guest is shown the screen, and the waiter knows what it says."""
    kitchen.write(BOOK + plate("60 g hazelnut ice"), law=None)
    page = flat(ask(kitchen, "nuts", language)).replace("\u00a0", " ")
    assert page.startswith(begins)
    assert speak(said("note, not yet read"), language) in page
    assert "Yes: the hazelnut ice is made with hazelnut praline (hazelnut)." in page
    assert page.endswith(f"nuts: {allergen_name('nuts', language)}")


@pytest.mark.parametrize("language", SENTENCE_LANGUAGES)
def test_the_json_keeps_the_contract_in_english_and_adds_the_language(kitchen: Kitchen, language: str) -> None:
    kitchen.write(BOOK + plate("60 g plain ice", "10 g cream sauce, optional"), law=None)
    plain = run("answer", kitchen.folder, "--of", "plate", "--about", "milk", "--on", "2026-11-25", "--json").json()
    found = ask(kitchen, "milk", language, "--json").json()
    told = found.pop("in_language")
    assert found == plain
    assert set(told) == {"milk", "language", "sentence", "reasons", "done", "caution", "grade"}
    assert told["language"] == language
    assert (told["sentence"] == plain["sentence"]) == (language == "en")
    assert told["milk"] == allergen_name("milk", language)
    assert len(told["reasons"]) == 1
    assert len(told["done"]) == 2
    assert "written by the project" in told["grade"]


@pytest.mark.parametrize("language", OTHERS)
def test_shared_equipment_is_said_with_what_it_brings(kitchen: Kitchen, language: str) -> None:
    """The contract, section 3: may contain, and why; never traces."""
    kitchen.write(BOOK + plate("60 g plain ice"), law=None)
    sentence = ask(kitchen, "nuts", language, "--json").json()["in_language"]["sentence"]
    for word in ("plain ice", "churn", "hazelnut ice", allergen_name("hazelnut", language)):
        assert word in sentence


@pytest.mark.parametrize("language", OTHERS)
def test_five_things_not_known_are_counted_and_the_exit_is_3(kitchen: Kitchen, language: str) -> None:
    goods = "".join(f"- ingredient: paste {letter}\n" for letter in "abcde")
    kitchen.write(goods + plate(*(f"5 g paste {letter}" for letter in "abcde")))
    ran = ask(kitchen, "soya", language, "--json")
    assert ran.code == 3
    sentence = ran.json()["in_language"]["sentence"]
    assert sentence.startswith(DO_NOT_KNOW[language])
    assert "paste d" in sentence
    assert "paste e" not in sentence
    assert "1" in sentence


def test_heated_alcohol_is_said_to_be_there(kitchen: Kitchen) -> None:
    """Issue 7, item 3: heated or not, how strong, how much; never that it is gone."""
    kitchen.write(
        BOOK
        + "- preparation: warm sauce\n  takes: [300 ml house gin, 300 g damson cordial]\n  method:\n    - heat: {how: simmer, for: 20 min, at: 95 C, covered: true, loses: 10 %}\n"
        + plate("60 g warm sauce"),
        law=None,
    )
    heated = {"fr": "passe par la chaleur", "de": "erhitzt", "it": "passa per il calore", "es": "pasa por el calor"}
    unit = {"fr": "unité", "de": "Einheit", "it": "unità", "es": "unidad"}
    for language, words in heated.items():
        told = ask(kitchen, "alcohol", language, "--json").json()["in_language"]
        assert f"({words})" in told["sentence"]
        assert unit[language] in told["sentence"]
        assert "house gin" in told["sentence"]
        assert told["alcohol"] in ("alcool", "Alkohol", "alcol", "alcohol")


@pytest.mark.parametrize("language", OTHERS)
def test_dishes_for_a_guest_in_another_language_make_no_claim(kitchen: Kitchen, language: str) -> None:
    kitchen.write(
        BOOK
        + "- ingredient: mystery paste\n"
        + plate("60 g plain ice", name="one")
        + plate("60 g plain ice", "5 g cream sauce, optional", name="two")
        + plate("60 g cream sauce", name="three")
        + plate("60 g mystery paste", name="four"),
        law=None,
    )
    asked = ("--without", "milk", "--without", "dairy", "--language", language, "--on", "2026-11-25")
    page = run("answer", kitchen.folder, *asked).out
    above = page[: page.index("Without milk")]
    assert allergen_name("milk", language) in above
    assert DO_NOT_KNOW[language] in " ".join(above.split()).replace("\u00a0", " ")
    told = run("answer", kitchen.folder, *asked, "--json").json()["in_language"]
    assert [one["verdict"] for one in told["sections"]] == ["suits", "suits_if", "cannot_vouch", "does_not"]
    assert told["dairy"] == allergen_name("milk", language)

    assert not re.search(NEVER[language], above.casefold())


@pytest.mark.parametrize("language", NAMES_ONLY)
def test_a_language_with_names_only_says_so_and_gives_them(kitchen: Kitchen, language: str) -> None:
    kitchen.write(BOOK + plate("60 g plain ice"), law=None)
    ran = ask(kitchen, "milk", language)
    assert "Whole sentences exist in English, French, German, Italian and Spanish;" in flat(ran)
    assert f"milk: {allergen_name('milk', language)}" in ran.out
    assert ask(kitchen, "milk", language, "--json").json()["in_language"] == {"milk": allergen_name("milk", language)}


def test_english_is_said_once(kitchen: Kitchen) -> None:
    kitchen.write(BOOK + plate("60 g plain ice"), law=None)
    page = flat(ask(kitchen, "milk", "en"))
    assert page.count("Still tell the kitchen.") == 1
    assert "native speaker" not in page


def test_a_way_of_eating_or_a_figure_is_not_called_by_an_allergen(kitchen: Kitchen) -> None:
    """Milk is one of many things a vegan does not eat; lemon is one citrus fruit; energy is no food."""
    kitchen.write(BOOK + plate("60 g set jelly"), law=None)
    assert ask(kitchen, "vegan", "fr", "--json").json()["in_language"]["vegan"] == "végane"
    assert ask(kitchen, "vegan", "pl", "--json").json()["in_language"] == {"vegan": None}
    assert ask(kitchen, "lemon", "de", "--json").json()["in_language"]["lemon"] == "Zitrone"
    assert ask(kitchen, "yuzu", "de", "--json").json()["in_language"]["yuzu"] is None
    assert ask(kitchen, "fat", "es", "--json").json()["in_language"]["fat"] == "grasas"
