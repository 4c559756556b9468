"""Thresholds about alcohol and units of alcohol, each with its law."""

from datetime import date

import pytest

from labeller.declarations.rounding import over_limit
from labeller.jurisdictions.in_force import LawInForce
from labeller.jurisdictions.packs import load_jurisdiction


def law(code: str) -> LawInForce:
    return load_jurisdiction(code).in_force_on(date(2026, 11, 25))


# Units of alcohol [g]: UK Chief Medical Officers 2016; Dietary Guidelines for Americans; Standard 1.1.2; Canada 2023 (memory).
@pytest.mark.parametrize(
    ("code", "grams", "words"),
    [
        ("gb", 8, "UK unit"),
        ("us", 14, "standard drink"),
        ("au-nz", 10, "standard drink"),
        ("ca", 13.45, "standard drink"),
    ],
)
def test_the_unit_of_alcohol(code: str, grams: float, words: str) -> None:
    unit = law(code).alcohol["unit"]
    assert (unit.kind, unit.value, unit.unit, unit.words) == ("unit", grams, "g", words)


@pytest.mark.parametrize("code", ["eu", "codex"])
def test_no_unit_where_the_law_has_none(code: str) -> None:
    assert "unit" not in law(code).alcohol


# Low alcohol descriptors, December 2018: low alcohol 1.2, de-alcoholised 0.5, alcohol free 0.05 % vol, each or less.
@pytest.mark.parametrize(("word", "limit"), [("low alcohol", 1.2), ("de-alcoholised", 0.5), ("alcohol free", 0.05)])
def test_words_for_weak_drinks_in_great_britain(word: str, limit: float) -> None:
    rule = law("gb").alcohol[word]
    assert (rule.kind, rule.bound, rule.value, rule.unit) == ("word", "at most", limit, "% vol")


# Licensing Act 2003, section 191: 0.5 %; liqueur confectionery 0.2 litre per kg and pieces of 42 g.
@pytest.mark.parametrize(
    ("key", "limit", "unit"),
    [
        ("outside_licensing", 0.5, "% vol"),
        ("liqueur_confectionery_alcohol", 0.2, "l/kg"),
        ("liqueur_confectionery_piece", 42, "g"),
    ],
)
def test_what_is_no_alcohol_for_licensing(key: str, limit: float, unit: str) -> None:
    rule = law("gb").alcohol[key]
    assert (rule.kind, rule.bound, rule.value, rule.unit) == ("outside", "at most", limit, unit)
    assert rule.clause.confirmed


def test_confectionery_with_alcohol_in_the_united_states() -> None:
    """21 U.S.C. 342(d)(2): one-half of 1 per centum by volume, from flavoring extracts."""
    rule = law("us").alcohol["confectionery"]
    assert (rule.bound, rule.value, rule.unit) == ("above", 0.5, "% vol")
    assert "state" in rule.words


# Standard 2.7.1: 0.5 and above tells its alcohol, above 1.15 as % vol, above 0.5 counts standard drinks.
@pytest.mark.parametrize(
    ("key", "bound", "limit"),
    [
        ("content_stated", "at or above", 0.5),
        ("strength_stated", "above", 1.15),
        ("standard_drinks_stated", "above", 0.5),
        ("pregnancy_warning", "above", 1.15),
    ],
)
def test_drinks_in_australia_and_new_zealand(key: str, bound: str, limit: float) -> None:
    rule = law("au-nz").alcohol[key]
    assert (rule.bound, rule.value) == (bound, limit)
    assert rule.clause.confirmed


# Sulphites: Annex II, 12 "more than 10"; 21 CFR 130.9 "10 parts per million or more". The contract compares after nine digits.
@pytest.mark.parametrize(
    ("mg_per_kg", "eu", "us"),
    [
        (9.99, False, False),
        (10.0, False, True),
        (10.01, True, True),
        (9.9999999999, False, True),  # ten, to nine digits
        (10.0000000001, False, True),
        (10.0000001, True, True),
        (0.0, False, False),
    ],
)
def test_either_side_of_the_sulphite_limit(mg_per_kg: float, eu: bool, us: bool) -> None:
    for code, expected in (("eu", eu), ("gb", eu), ("us", us), ("ca", us), ("au-nz", us), ("codex", us)):
        limit = law(code).sulphite_limit
        assert over_limit(mg_per_kg, limit.value, limit_counts=limit.limit_counts) is expected
