"""Alcohol as it is read out, against drinks whose units are published, and against the published table of what heating leaves."""

import pytest

from tests.kitchens import Kitchen, plate, run

ON = ("--on", "2026-11-25")
# One standard drink in Canada: 341 ml of beer at 5 %, 142 ml of wine at 12 %, 43 ml of spirits at 40 % (Canadian Centre on Substance Use
# and Addiction, Canada's Guidance on Alcohol and Health, 2023; from memory): 17.05 ml or 13.45 g. One in the United States: 12 fl oz
# at 5 %, 5 fl oz at 12 %, 1.5 fl oz at 40 % (Dietary Guidelines for Americans 2020-2025): 0.6 fl oz or 14 g. One in Australia: 100 ml
# of wine at 13 %, 30 ml of spirits at 40 % (National Health and Medical Research Council, 2020; from memory): 10 g. One UK unit: 25 ml at
# 40 %; two: 568 ml at 3.6 % (NHS, Alcohol units), by UK Chief Medical Officers' low risk drinking guidelines, August 2016: 10 ml or 8 g.
PUBLISHED = [
    ("gb", "40", "25 ml", "about one UK unit"),
    ("gb", "3.6", "568 ml", "about two UK units"),
    ("gb", "13.5", "750 ml", "about 10 UK units"),
    ("us", "5", "354.88 ml", "about one standard drink"),
    ("us", "12", "147.87 ml", "about one standard drink"),
    ("us", "40", "44.36 ml", "about one standard drink"),
    ("ca", "5", "341 ml", "about one standard drink"),
    ("ca", "12", "142 ml", "about one standard drink"),
    ("ca", "40", "43 ml", "about one standard drink"),
    ("au-nz", "13", "100 ml", "about one standard drink"),
    ("au-nz", "40", "30 ml", "about one standard drink"),
]


@pytest.mark.parametrize(("law", "strength", "amount", "words"), PUBLISHED)
def test_published_drinks_are_read_out_as_published(
    kitchen: Kitchen, law: str, strength: str, amount: str, words: str
) -> None:
    kitchen.write(
        f"- ingredient: house drink\n  strength: {strength} % vol\n" + plate(f"{amount} house drink"), law=law
    )
    found = run("answer", kitchen.folder, "--of", "plate", "--about", "alcohol", "--json", *ON).json()
    assert words in found["sentence"], found["sentence"]


@pytest.mark.parametrize(("strength", "amount_ml"), [(40.0, 20.0), (12.0, 125.0), (5.0, 284.0), (17.5, 50.0)])
def test_grams_are_volume_by_strength_by_the_density_of_ethanol(
    kitchen: Kitchen, strength: float, amount_ml: float
) -> None:
    """Ethanol at 20 C weighs 0.78924 g/ml: OIML R 22 (1975)."""
    kitchen.write(f"- ingredient: house drink\n  strength: {strength} % vol\n" + plate(f"{amount_ml} ml house drink"))
    found = run("answer", kitchen.folder, "--of", "plate", "--about", "alcohol", "--json", *ON).json()
    assert found["ethanol_g"]["estimate"] == pytest.approx(
        amount_ml * strength / 100.0 * 0.78924, rel=1e-5
    )  # printed to five figures


@pytest.mark.parametrize(
    ("minutes", "share"),
    [
        # USDA Table of Nutrient Retention Factors, Release 6 (2007): alcohol, stirred in and baked or simmered: 15 min 40 %, 30 min 35 %,
        # 1 h 25 %, 1.5 h 20 %, 2 h 10 %.
        (15, 0.40),
        (30, 0.35),
        (60, 0.25),
        (90, 0.20),
        (120, 0.10),
    ],
)
def test_what_simmering_leaves_is_read_out_and_never_nothing(kitchen: Kitchen, minutes: int, share: float) -> None:
    kitchen.write(
        "- ingredient: white wine of ours\n  strength: 12 % vol\n"
        "- preparation: wine sauce\n  takes: [1000 g water, 100 ml white wine of ours]\n"
        f"  method: [heat: {{how: simmer, for: {minutes} min, loses: 20 %}}]\n" + plate("all wine sauce"),
        law="gb",
    )
    ran = run("answer", kitchen.folder, "--of", "plate", "--about", "alcohol", "--json", *ON)
    found = ran.json()
    went_in = 100.0 * 0.12 * 0.78924
    assert found["ethanol_g"]["estimate"] == pytest.approx(share * went_in, rel=1e-5)  # printed to five figures
    assert 0.0 < found["ethanol_g"]["low"] <= found["ethanol_g"]["estimate"] <= found["ethanol_g"]["high"] <= went_in
    assert found["sentence"].startswith("Yes. Heated white wine of ours")
    assert run("answer", kitchen.folder, "--without", "alcohol", "--json", *ON).json()["does_not"] == ["plate"]
