"""The names of Annex II in other languages: typed from the language versions of Regulation (EU) No 1169/2011."""

import pytest

from labeller.jurisdictions.languages import (
    NoTranslationError,
    allergen_name,
    known_languages,
    label_word,
    translated_name,
    translated_names,
)

GROUPS = [
    "gluten",
    "crustaceans",
    "egg",
    "fish",
    "peanut",
    "soya",
    "milk",
    "nuts",
    "celery",
    "mustard",
    "sesame",
    "sulphites",
    "lupin",
    "molluscs",
]
SOURCES = [
    "wheat",
    "rye",
    "barley",
    "oats",
    "almond",
    "hazelnut",
    "walnut",
    "cashew",
    "pecan",
    "brazil nut",
    "pistachio",
    "macadamia",
]
LANGUAGES = ["cs", "da", "de", "el", "en", "es", "fi", "fr", "it", "nl", "pl", "pt", "sv"]


def test_thirteen_languages_and_every_name_of_the_annex_in_each() -> None:
    assert list(known_languages()) == LANGUAGES
    for language in LANGUAGES:
        for name in GROUPS + SOURCES:
            assert allergen_name(name, language)
        assert label_word("contains", language)
        assert label_word("ingredients", language)


# Annex II in each language: group or source, language, name.
@pytest.mark.parametrize(
    ("name", "language", "text"),
    [
        ("gluten", "de", "glutenhaltiges Getreide"),
        ("gluten", "fr", "céréales contenant du gluten"),
        ("gluten", "sv", "spannmål som innehåller gluten"),
        ("gluten", "cs", "obiloviny obsahující lepek"),
        ("crustaceans", "de", "Krebstiere"),
        ("crustaceans", "nl", "schaaldieren"),
        ("egg", "fr", "œufs"),
        ("egg", "pl", "jaja"),
        ("fish", "fi", "kalat"),
        ("peanut", "nl", "aardnoten"),
        ("peanut", "sv", "jordnötter"),
        ("soya", "de", "Sojabohnen"),
        ("milk", "it", "latte"),
        ("milk", "el", "γάλα"),
        ("nuts", "de", "Schalenfrüchte"),
        ("nuts", "fr", "fruits à coque"),
        ("nuts", "es", "frutos de cáscara"),
        ("hazelnut", "it", "nocciole"),
        ("walnut", "fr", "noix"),
        ("cashew", "de", "Kaschunüsse"),
        ("brazil nut", "pt", "castanhas do Brasil"),
        ("celery", "nl", "selderij"),
        ("mustard", "it", "senape"),
        ("sesame", "da", "sesamfrø"),
        ("sulphites", "fr", "anhydride sulfureux et sulfites"),
        ("lupin", "es", "altramuces"),
        ("molluscs", "sv", "blötdjur"),
        ("molluscs", "cs", "měkkýši"),
    ],
)
def test_a_name_of_the_annex(name: str, language: str, text: str) -> None:
    assert allergen_name(name, language) == text


def test_words_that_mislead_between_languages() -> None:
    """Swedish korn is barley, Danish korn is grain; Greek φιστίκια alone is often the peanut, so the nut says of Aegina."""
    assert allergen_name("barley", "sv") == "korn"
    assert allergen_name("barley", "da") == "byg"
    assert allergen_name("gluten", "da").startswith("korn")
    assert allergen_name("pistachio", "sv") == "pistaschmandel"
    assert allergen_name("pistachio", "el") == "φιστίκια Αιγίνης"
    assert allergen_name("peanut", "el") == "αραχίδες"


# Article 21(1), in German and Italian read in the text; Article 18(1).
@pytest.mark.parametrize(
    ("word", "language", "text"),
    [
        ("contains", "de", "enthält"),
        ("contains", "it", "contiene"),
        ("contains", "fr", "contient"),
        ("ingredients", "de", "Zutaten"),
        ("ingredients", "pl", "składniki"),
    ],
)
def test_words_that_head_a_statement(word: str, language: str, text: str) -> None:
    assert label_word(word, language) == text


def test_milk_names_lactose_as_the_annex_does() -> None:
    assert translated_name("milk", "de").annex_text == "Milch (einschließlich Laktose)"
    assert translated_name("milk", "de").text == "Milch"


def test_a_source_of_a_whole_kind_is_called_by_its_group() -> None:
    assert allergen_name("crustacean", "fr") == allergen_name("crustaceans", "fr") == "crustacés"
    assert allergen_name("nut", "it") == "frutta a guscio"
    assert allergen_name("goat milk", "nl") == "melk"


def test_every_name_says_what_it_rests_on() -> None:
    for name in translated_names().values():
        assert name.ground
        assert "1169/2011" in name.law
        assert name.confirmed == (name.ground == "read in the text or an authority's page")
    assert not any(name.confirmed for name in translated_names().values() if name.language == "el")
    assert all(
        name.confirmed for (key, language), name in translated_names().items() if language == "sv" and ":" not in key
    )


def test_a_language_not_on_file_is_refused() -> None:
    with pytest.raises(NoTranslationError, match=r"'xx' is not a language on file\. Write one of cs, da, de"):
        allergen_name("milk", "xx")


def test_a_name_not_on_file_is_refused_with_the_nearest() -> None:
    with pytest.raises(NoTranslationError, match=r"'hazlenut' has no name in 'fr' on file\. Write 'hazelnut'\."):
        allergen_name("hazlenut", "fr")
