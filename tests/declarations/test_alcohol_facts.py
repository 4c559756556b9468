"""Units, standard drinks and thresholds against their published definitions."""

from datetime import date
from typing import Any

import pytest

from labeller.declarations.alcohol_facts import ethanol_ml, every_law_on, thresholds_of, units_of
from labeller.jurisdictions.packs import load_jurisdiction
from tests.kitchens import Kitchen, plate, run

DAY = date(2026, 11, 25)


def facts(kitchen: Kitchen, text: str, *, law: str = "gb") -> dict[str, Any]:
    kitchen.write(text, law=law)
    ran = run("explain", kitchen.folder, "--of", "plate", "--figure", "alcohol", "--json", "--on", "2026-11-25")
    assert ran.code == 0, ran.err
    found: dict[str, Any] = ran.json()["alcohol"]
    return found


def drink(strength: str, amount: str) -> str:
    return f"- ingredient: house drink\n  strength: {strength} % vol\n" + plate(f"{amount} house drink")


def unit(found: dict[str, Any], jurisdiction: str) -> dict[str, Any]:
    return next(one for one in found["units"] if one["jurisdiction"] == jurisdiction)


def test_grams_in_one_unit_or_standard_drink() -> None:
    grams = {one.jurisdiction: one.grams for one in units_of((8.0, 8.0, 8.0), every_law_on(DAY))}
    assert grams["gb"] == 8.0  # UK Chief Medical Officers' low risk drinking guidelines, August 2016: 10 ml or 8 g
    assert grams["us"] == 14.0  # Dietary Guidelines for Americans 2020-2025: a drink holds 14 g (0.6 fl oz)
    assert grams["au-nz"] == 10.0  # Food Standards Code, Standard 1.1.2-2: 10 g of ethanol, measured at 20 C


def test_a_millilitre_of_ethanol_at_20_c() -> None:
    # OIML R 22 (1975): ethanol at 20 C has 789.24 kg/m3
    assert ethanol_ml(7.8924) == pytest.approx(10.0, abs=1e-4)


def test_ten_millilitres_of_ethanol_are_a_uk_unit_to_within_the_rounding_of_its_definition() -> None:
    # The definition gives 10 ml and 8 g as one; 10 ml weigh 7.89 g.
    (count,) = units_of((7.8924, 7.8924, 7.8924), [load_jurisdiction("gb").in_force_on(DAY)])
    assert count.counts[1] == pytest.approx(1.0, rel=0.015)


@pytest.mark.parametrize(
    ("strength", "amount", "units"),
    [
        ("40", "25 ml", 1.0),  # NHS, Alcohol units: a small shot of spirits (25 ml, 40 %) is 1 unit
        ("13.5", "750 ml", 10.0),  # NHS, Alcohol units: a bottle of wine (750 ml, 13.5 %) is 10 units
        ("3.6", "568 ml", 2.0),  # NHS, Alcohol units: a pint of lower-strength beer (3.6 %) is 2 units
    ],
)
def test_uk_units_of_common_glasses(kitchen: Kitchen, strength: str, amount: str, units: float) -> None:
    assert unit(facts(kitchen, drink(strength, amount)), "gb")["estimate"] == pytest.approx(units, rel=0.03)


@pytest.mark.parametrize(
    ("strength", "millilitres"),
    # Dietary Guidelines for Americans 2020-2025: one drink is 12 fl oz of beer (5 %), 5 fl oz of wine (12 %), 1.5 fl oz of
    # spirits (40 %); a US fluid ounce is 29.5735 ml.
    [("5", 12 * 29.5735), ("12", 5 * 29.5735), ("40", 1.5 * 29.5735)],
)
def test_one_us_drink(kitchen: Kitchen, strength: str, millilitres: float) -> None:
    found = facts(kitchen, drink(strength, f"{millilitres:.2f} ml"))
    assert unit(found, "us")["estimate"] == pytest.approx(1.0, rel=0.01)


def test_an_australian_glass_of_wine(kitchen: Kitchen) -> None:
    # National Health and Medical Research Council, guidelines of 2020: 100 ml of wine at 13 % is one standard drink
    assert unit(facts(kitchen, drink("13", "100 ml")), "au-nz")["estimate"] == pytest.approx(1.0, rel=0.03)


def test_grams_and_millilitres_of_a_measure_of_gin(kitchen: Kitchen) -> None:
    found = facts(kitchen, drink("40", "25 ml"))
    assert found["ethanol_ml"]["estimate"] == pytest.approx(10.0, abs=1e-6)  # 25 ml x 40 %
    assert found["ethanol_g"]["estimate"] == pytest.approx(7.8924, abs=1e-5)  # x 0.78924 g/ml, OIML R 22
    assert found["abv_percent"]["estimate"] == pytest.approx(40.0, abs=1e-6)


def test_what_does_not_pour_has_no_strength_but_a_share_by_volume(kitchen: Kitchen) -> None:
    text = drink("40", "10 ml").replace("plate:\n", "plate:\n    - 90 g almond meal\n")
    found = facts(kitchen, "- ingredient: almond meal\n  composition: sr28:12061\n" + text)
    assert found["abv_percent"] is None
    assert 0.0 < found["by_volume_percent"]["estimate"] < 40.0


def side(strength: float, law: str, key: str, high: float | None = None) -> tuple[bool, bool]:
    laws = [load_jurisdiction(law).in_force_on(DAY)]
    found = thresholds_of((0.0, strength, strength if high is None else high), laws)
    one = next(one for one in found if one.key == key)
    return one.estimate, one.high


@pytest.mark.parametrize(
    ("law", "key", "just_not", "just"),
    [
        # Regulation (EU) No 1169/2011, Article 28: drinks of more than 1.2 % by volume state their strength
        ("eu", "strength_stated", 1.2, 1.200001),
        ("gb", "strength_stated", 1.2, 1.200001),
        # Licensing Act 2003, section 191(1)(a): what does not exceed 0.5 % is not alcohol
        ("gb", "outside_licensing", 0.500001, 0.5),
        # Low alcohol descriptors guidance, December 2018: no more than 1.2, 0.5 and 0.05 % vol
        ("gb", "low alcohol", 1.200001, 1.2),
        ("gb", "de-alcoholised", 0.500001, 0.5),
        ("gb", "alcohol free", 0.0500001, 0.05),
        # Food Standards Code, Standard 2.7.1: more than 1.15 % by volume bears its strength; 0.5 % or more its content
        ("au-nz", "strength_stated", 1.15, 1.1500001),
        ("au-nz", "content_stated", 0.4999999, 0.5),
        # 21 U.S.C. 342(d)(1)(B): confectionery with more than one half of 1 per centum by volume
        ("us", "confectionery", 0.5, 0.5000001),
    ],
)
def test_the_edge_of_each_threshold(law: str, key: str, just_not: float, just: float) -> None:
    assert side(just_not, law, key) == (False, False)
    assert side(just, law, key) == (True, True)


def test_estimate_and_high_end_may_fall_on_different_sides() -> None:
    assert side(0.4, "gb", "outside_licensing", high=0.6) == (True, False)
    assert side(1.1, "eu", "strength_stated", high=1.3) == (False, True)


def test_a_side_says_both_ends_in_words() -> None:
    laws = [load_jurisdiction("eu").in_force_on(DAY)]
    one = next(one for one in thresholds_of((1.0, 1.1, 1.3), laws) if one.key == "strength_stated")
    assert one.as_text() == "above 1.2 % vol: no by the estimate, yes by the high end"
    assert "28" in one.clause.pinpoint


def test_law_that_is_not_yet_in_force_is_left_out() -> None:
    # Regulation (EU) No 1169/2011, Article 55: applies from 13 December 2014
    assert "eu" not in {law.code for law in every_law_on(date(2010, 1, 1))}
    assert "eu" in {law.code for law in every_law_on(date(2014, 12, 13))}
