"""Every explanation ends at a clause, and says so where the rule is not confirmed, under each of the six laws."""

import pytest

from tests.kitchens import Kitchen, plate, run

# The law that names milk among the allergens, and a word of the place in it.
CLAUSES = [
    ("eu", "Regulation (EU) No 1169/2011", "Annex II, 7"),
    ("gb", "Regulation (EU) No 1169/2011 as retained in Great Britain", "Annex II, 7"),
    ("us", "21 U.S.C. 321(qq)", "(qq)(1)"),
    ("ca", "Health Canada", "priority food allergens"),
    ("au-nz", "Standard 1.2.3 and Schedule 9", "S9-3"),
    ("codex", "CXS 1-1985", "4.2.1.4"),
]


def explained(kitchen: Kitchen, law: str, figure: str) -> str:
    ran = run(
        "explain", kitchen.folder, "--of", "plate", "--figure", figure, "--jurisdiction", law, "--on", "2026-11-25"
    )
    assert ran.code == 0, ran.err
    return " ".join(ran.out.split())


@pytest.mark.parametrize(("law", "title", "pinpoint"), CLAUSES)
def test_an_allergen_ends_at_its_clause(kitchen: Kitchen, law: str, title: str, pinpoint: str) -> None:
    kitchen.write(plate("50 g double cream"))
    found = explained(kitchen, law, "milk")
    assert "Law: " in found
    assert title in found
    assert pinpoint in found


# Rules whose text was not read when the law was put on file.
UNCONFIRMED = [("eu", "fat"), ("gb", "fat"), ("ca", "fat"), ("au-nz", "fat"), ("codex", "milk")]


@pytest.mark.parametrize("law", [law for law, _, _ in CLAUSES])
def test_a_figure_says_where_its_rule_is_not_confirmed(kitchen: Kitchen, law: str) -> None:
    """What the explanation says is what the law on file says of itself, rule by rule."""
    from datetime import date

    from labeller.jurisdictions.packs import load_jurisdiction

    kitchen.write(plate("50 g double cream"))
    rule = load_jurisdiction(law).in_force_on(date(2026, 11, 25)).rounding["fat_g"].clause
    found = explained(kitchen, law, "fat")
    assert rule.pinpoint in found
    assert ("not confirmed" in found) or rule.confirmed
    if not rule.confirmed:
        assert " ".join(rule.ground.split()) in found


@pytest.mark.parametrize(("law", "figure"), UNCONFIRMED)
def test_not_confirmed_is_said(kitchen: Kitchen, law: str, figure: str) -> None:
    kitchen.write(plate("50 g double cream"))
    assert "not confirmed" in explained(kitchen, law, figure)


def test_not_confirmed_is_said_in_the_united_states(kitchen: Kitchen) -> None:
    """The step of vitamin D of 101.9(c)(8)(iv) was suggested by the agency and not read."""
    kitchen.write(plate("50 g double cream"))
    found = explained(kitchen, "us", "vitamin d")
    assert "Law: 21 CFR 101.9, (c)(8)(iv)" in found
    assert "not confirmed" in found
