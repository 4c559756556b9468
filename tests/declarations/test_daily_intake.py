"""A portion as a share of a day: figures typed from Annex XIII, 21 CFR 101.9, the Table of Daily Values and Standard 1.2.8."""

from typing import Any

import pytest

from tests.kitchens import Kitchen, plate, run

PACK = """
- ingredient: whole mix
  per_100_g: {fat_g: 14, saturates_g: 4, trans_fat_g: 1, carbohydrate_g: 52, sugars_g: 18, fibre_g: 7, protein_g: 10, salt_g: 1.2,
              cholesterol_mg: 30, calcium_mg: 130, iron_mg: 3.6, potassium_mg: 470, vitamin_d_ug: 2}
  spec: {statement: "Water"}
"""
# In 100 g: energy 14 x 37 + 52 x 17 + 7 x 8 + 10 x 17 = 1628 kJ, 14 x 9 + 52 x 4 + 7 x 2 + 10 x 4 = 388 kcal; sodium 480 mg.
EXPECTED = {
    # Annex XIII, Part B: 8400 kJ, 2000 kcal, 70, 20, 260, 90, 50, 6 g. Fibre has none.
    "eu": {"energy_kj": "19", "energy_kcal": "19", "fat_g": "20", "saturates_g": "20", "carbohydrate_g": "20", "sugars_g": "20",
           "protein_g": "20", "salt_g": "20"},
    # Standard 1.2.8-8(3): 8700 kJ, 50, 70, 24, 310, 90 g, 2300 mg, 30 g.
    "au-nz": {"energy_kj": "19", "protein_g": "20", "fat_g": "20", "saturates_g": "17", "carbohydrate_g": "17", "sugars_g": "20",
              "sodium_mg": "21", "fibre_g": "23"},
    # 101.9(c)(8)(iv) and (c)(9): 78, 20 g, 300, 2300 mg, 275 g (52 + 7 g), 28 g; 20 mcg, 1300, 18, 4700 mg; added sugars and trans: none
    # given here. Vitamins and minerals by 2 % up to 10 %, by 5 % up to 50 % ((c)(8)(iii)).
    "us": {"fat_g": "18", "saturates_g": "20", "cholesterol_mg": "10", "sodium_mg": "21", "carbohydrate_g": "21", "fibre_g": "25",
           "vitamin_d_ug": "10", "calcium_mg": "10", "iron_mg": "20", "potassium_mg": "10"},
    # Table of Daily Values: fat 75, saturates and trans together 20, sugars 100, fibre 28 g, sodium 2300, potassium 3400, calcium 1300,
    # iron 18 mg. The amounts are taken as printed (B.01.402): 475 mg of potassium, 125 of calcium, 3.5 of iron.
    "ca": {"fat_g": "19", "saturates_g": "25", "sugars_g": "18", "fibre_g": "25", "sodium_mg": "21"},
}  # fmt: skip


def percent(kitchen: Kitchen, law: str, name: str = "plate") -> dict[str, Any]:
    found: dict[str, Any] = kitchen.one(name, "--jurisdiction", law)["nutrition"]["percent_of_intake"]
    return found


@pytest.mark.parametrize("law", EXPECTED)
def test_percentages_of_a_portion(kitchen: Kitchen, law: str) -> None:
    kitchen.write(PACK + plate("100 g whole mix"))
    found = percent(kitchen, law)["per_portion"]
    assert {key: found.get(key) for key in EXPECTED[law]} == EXPECTED[law]
    # 101.9(d)(9) and B.01.401: energy has no percentage there; protein needs its quality known ((c)(7)).
    if law in ("us", "ca"):
        assert not {"energy_kcal", "energy_kj", "protein_g"} & set(found)


# Article 32(5); 101.9(d)(9); Standard 1.2.8-8(3)(b)(i); B.01.401.
@pytest.mark.parametrize(
    ("law", "begins"),
    [
        ("eu", "Reference intake of an average adult (8 400 kJ/2 000 kcal)"),
        ("us", "*The % Daily Value tells you how much a nutrient in a serving of food contributes to a daily diet."),
        ("ca", "*5% or less is a little, 15% or more is a lot"),
        ("au-nz", "based on an average adult diet of 8 700 kJ"),
    ],
)
def test_the_words_beside_them(kitchen: Kitchen, law: str, begins: str) -> None:
    kitchen.write(PACK + plate("100 g whole mix"))
    assert percent(kitchen, law)["statement"].startswith(begins)
    page = run("declare", kitchen.folder, "--jurisdiction", law, "--on", "2026-11-25").out
    assert " ".join(begins.split()) in " ".join(page.split())
    assert "of a day" in page


def test_a_figure_with_gaps_has_no_percentage(kitchen: Kitchen) -> None:
    """What is not known is never 0: trans fat shares its percentage with saturates (Canada), so neither is given."""
    kitchen.write(PACK.replace("trans_fat_g: 1, ", "") + plate("100 g whole mix"))
    found = percent(kitchen, "ca")["per_portion"]
    assert "saturates_g" not in found
    assert "trans_fat_g" not in found
    assert found["fat_g"] == "19"


def test_added_sugars_that_cannot_be_said(kitchen: Kitchen) -> None:
    """101.9(c)(6)(iii): a composite good does not tell which of its sugars were added; the page says so and prints no 0."""
    kitchen.write(PACK.replace("trans_fat_g: 1, ", "") + plate("100 g whole mix"))
    nutrition = kitchen.one("plate", "--jurisdiction", "us")["nutrition"]
    assert {"added_sugars_g", "trans_fat_g"} <= set(nutrition["not_determined"])
    for key in ("added_sugars_g", "trans_fat_g"):
        assert key not in nutrition["declared"]["per_portion"]
        assert key not in nutrition["percent_of_intake"]["per_portion"]
    page = run("declare", kitchen.folder, "--jurisdiction", "us", "--on", "2026-11-25").out
    assert [line.split()[-2:] for line in page.splitlines() if line.strip().startswith("of which added sugars")] == [
        ["not", "determined"]
    ]
    assert [line.split()[-2:] for line in page.splitlines() if line.strip().startswith("Trans fat")] == [
        ["not", "known"]
    ]


def test_sugar_itself_is_added(kitchen: Kitchen) -> None:
    """101.9(c)(6)(iii): sugar is added sugars; 25 of 50 g a day is 50 %."""
    kitchen.write("- ingredient: white sugar\n  composition: sr28:19335\n" + plate("25 g white sugar"))
    found = percent(kitchen, "us")["per_portion"]
    assert found["added_sugars_g"] == "50"


def test_a_batch_has_none_and_a_page_without_has_no_column(kitchen: Kitchen) -> None:
    kitchen.write("- preparation: syrup\n  takes: [10 g sugar, 10 g water]\n- ingredient: bare\n" + plate("5 g bare"))
    found = run("declare", kitchen.folder, "--json", "--of", "syrup", "--on", "2026-11-25").json()["declarations"][0]
    assert "percent_of_intake" not in found["nutrition"]
    page = run("declare", kitchen.folder, "--of", "plate", "--on", "2026-11-25").out
    assert "of a day" not in page
