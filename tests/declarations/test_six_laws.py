"""The same dish by six laws: where they differ, each difference typed from the law named beside it."""

import pytest

from tests.kitchens import Kitchen, plate, rows, run

LAWS = ("eu", "gb", "us", "ca", "au-nz", "codex")
ABSENT, NONE, IN = "no such group", "none declared", "contains"

# Sources: Regulation (EU) No 1169/2011, Annex II (eu; retained in gb); 21 U.S.C. 321(qq) with the list of tree nuts of the agency's
# guidance of January 2025 (us); Health Canada, Allergens and gluten sources labelling (ca); Standard 1.2.3 and Schedule 9 (au-nz);
# CXS 1-1985, 4.2.1.4, as amended in 2024, global list (codex; the list as adopted was not read).
# statement, group, then by eu, gb, us, ca, au-nz, codex
DIFFERENCES = [
    ("Barley", "gluten", (IN, IN, ABSENT, IN, IN, IN)),
    ("Barley", "wheat", (ABSENT, ABSENT, NONE, NONE, NONE, ABSENT)),
    ("Oats", "gluten", (IN, IN, ABSENT, IN, IN, NONE)),
    ("Mussels", "molluscs", (IN, IN, ABSENT, IN, IN, ABSENT)),
    ("Lupin flour", "lupin", (IN, IN, ABSENT, ABSENT, IN, ABSENT)),
    ("Celery", "celery", (IN, IN, ABSENT, ABSENT, ABSENT, ABSENT)),
    ("Mustard seeds", "mustard", (IN, IN, ABSENT, IN, ABSENT, ABSENT)),
    ("Sesame seeds", "sesame", (IN, IN, IN, IN, IN, IN)),
    ("Soya beans", "soya", (IN, IN, IN, IN, IN, ABSENT)),
    ("Pine nuts", "nuts", (NONE, NONE, IN, IN, IN, NONE)),
    ("Brazil nuts", "nuts", (IN, IN, IN, IN, IN, NONE)),
    ("Coconut", "nuts", (NONE, NONE, NONE, NONE, NONE, NONE)),
    ("Wheat flour", "wheat", (ABSENT, ABSENT, IN, IN, IN, ABSENT)),
    # Annex II, 6(a) frees fully refined soybean oil alone; 321(qq)(2)(A) frees any highly refined oil; Health Canada goes by protein;
    # Schedule 9 frees soybean oil.
    ("Fully refined soybean oil", "soya", (NONE, NONE, NONE, IN, NONE, ABSENT)),
    ("Fully refined peanut oil", "peanut", (IN, IN, NONE, IN, IN, IN)),
    # Annex II, 1(a); elsewhere freedom hangs on a paper that shows no protein or gluten.
    ("Wheat glucose syrup", "gluten", (NONE, NONE, ABSENT, IN, IN, IN)),
    ("Wheat glucose syrup", "wheat", (ABSENT, ABSENT, IN, IN, IN, ABSENT)),
    # Annex II, 1(d), 7(a) and 8(a); Schedule 9 frees distillates of wheat and of whey.
    ("Distillate of wheat", "gluten", (NONE, NONE, ABSENT, IN, NONE, IN)),
    ("Whey distillate", "milk", (NONE, NONE, IN, IN, NONE, IN)),
    ("Almond distillate", "nuts", (NONE, NONE, IN, IN, IN, IN)),
]  # fmt: skip


def _status(kitchen: Kitchen, law: str, group: str, day: str = "2026-11-25") -> str:
    ran = run("declare", kitchen.folder, "--json", "--of", "plate", "--jurisdiction", law, "--on", day)
    assert ran.code == 0, ran.err
    found = rows(ran.json()["declarations"][0])
    return found[group]["status"] if group in found else ABSENT


def _of(kitchen: Kitchen, statement: str) -> Kitchen:
    return kitchen.write(f'- ingredient: the thing\n  spec: {{statement: "{statement}"}}\n' + plate("10 g the thing"))


@pytest.mark.parametrize(("statement", "group", "expected"), DIFFERENCES)
def test_a_group_by_six_laws(kitchen: Kitchen, statement: str, group: str, expected: tuple[str, ...]) -> None:
    _of(kitchen, statement)
    assert dict(zip(LAWS, expected, strict=True)) == {law: _status(kitchen, law, group) for law in LAWS}


# Law in force by the day. Sesame: Public Law 117-11, from 1 January 2023. Coconut: the agency's list of tree nuts of 6 January 2025
# left it out; 2006 to then it stood in it.
BY_DAY = [
    ("Sesame seeds", "sesame", "2022-12-31", ABSENT),
    ("Sesame seeds", "sesame", "2023-01-01", IN),
    ("Coconut", "nuts", "2025-01-05", IN),
    ("Coconut", "nuts", "2025-01-06", NONE),
    ("Chestnuts", "nuts", "2025-01-05", IN),
    ("Chestnuts", "nuts", "2025-01-06", NONE),
]


@pytest.mark.parametrize(("statement", "group", "day", "expected"), BY_DAY)
def test_the_united_states_by_the_day(kitchen: Kitchen, statement: str, group: str, day: str, expected: str) -> None:
    assert _status(_of(kitchen, statement), "us", group, day) == expected


@pytest.mark.parametrize(
    ("fruit", "water", "expected"),
    [
        # 100 mg/kg x 10 g in 100 g: exactly 10 mg/kg. Annex II, 12: above 10; elsewhere 10 and above.
        (10, 90, (NONE, NONE, IN, IN, IN, IN)),
        (10.1, 89.9, (IN, IN, IN, IN, IN, IN)),
        (9.9, 90.1, (NONE, NONE, NONE, NONE, NONE, NONE)),
    ],
)
def test_sulphites_at_the_limit(kitchen: Kitchen, fruit: float, water: float, expected: tuple[str, ...]) -> None:
    text = '- ingredient: dried fruit\n  sulphites: 100 mg/kg\n  spec: {statement: "Apricots, sulphur dioxide"}\n'
    kitchen.write(text + plate(f"{fruit} g dried fruit", f"{water} g water"))
    assert tuple(_status(kitchen, law, "sulphites") for law in LAWS) == expected


PACK = """
- ingredient: oat mix
  per_100_g: {fat_g: 10, saturates_g: 2, carbohydrate_g: 60, sugars_g: 5, fibre_g: 10, protein_g: 12, salt_g: 1}
  spec: {statement: "Oats"}
"""


def _nutrition(kitchen: Kitchen, law: str) -> dict[str, dict[str, float]]:
    found: dict[str, dict[str, float]] = kitchen.one("plate", "--jurisdiction", law)["nutrition"]
    return found


# Annex I, 8: carbohydrate is what is metabolised; 21 CFR 101.9(c)(6) and B.01.400: total carbohydrate; Standard 1.1.2-2 and CXG 2, 2.6:
# available carbohydrate.
@pytest.mark.parametrize(
    ("law", "carbohydrate_g"), [("eu", 60), ("gb", 60), ("us", 70), ("ca", 70), ("au-nz", 60), ("codex", 60)]
)
def test_carbohydrate_with_or_without_fibre(kitchen: Kitchen, law: str, carbohydrate_g: float) -> None:
    kitchen.write(PACK + plate("100 g oat mix"))
    assert _nutrition(kitchen, law)["per_100_g"]["carbohydrate_g"] == pytest.approx(carbohydrate_g)


# Article 30(1)(b) with Annex I, 11: salt, sodium x 2.5, so 1 g of salt is 400 mg of sodium; 101.9(c)(4), B.01.401, Standard 1.2.8-6 and
# CXG 2, 3.2.1.2: sodium.
@pytest.mark.parametrize(
    ("law", "printed", "value", "not_printed"),
    [
        ("eu", "salt_g", "1.0", "sodium_mg"), ("gb", "salt_g", "1.0", "sodium_mg"), ("us", "sodium_mg", "400", "salt_g"),
        ("ca", "sodium_mg", "400", "salt_g"), ("au-nz", "sodium_mg", "400", "salt_g"), ("codex", "sodium_mg", "400", "salt_g"),
    ],
)  # fmt: skip
def test_salt_or_sodium(kitchen: Kitchen, law: str, printed: str, value: str, not_printed: str) -> None:
    kitchen.write(PACK + plate("100 g oat mix"))
    declared = kitchen.one("plate", "--jurisdiction", law)["nutrition"]["declared"]["per_portion"]
    assert declared[printed] == value
    assert not_printed not in declared


def test_calories_are_kilojoules_over_4_18_in_australia(kitchen: Kitchen) -> None:
    """Schedule 12, S12-3: Cal = kJ / 4.18; Annex XIV gives each its own factor; 4-4-9 of 101.9(c)(1)(i)(B): 10 x 9 + 70 x 4 + 12 x 4."""
    kitchen.write(PACK + plate("100 g oat mix"))
    sydney = _nutrition(kitchen, "au-nz")["per_100_g"]
    assert sydney["energy_kcal"] == pytest.approx(sydney["energy_kj"] / 4.18)
    lyon = _nutrition(kitchen, "eu")["per_100_g"]
    assert lyon["energy_kj"] == pytest.approx(10 * 37 + 60 * 17 + 10 * 8 + 12 * 17)
    assert lyon["energy_kcal"] == pytest.approx(10 * 9 + 60 * 4 + 10 * 2 + 12 * 4)
    assert _nutrition(kitchen, "us")["per_100_g"]["energy_kcal"] == pytest.approx(418)


# Release 28, row 20081, wheat flour: 10.33 g of protein at a nitrogen factor of 5.70. Annex I, 10: protein is nitrogen x 6.25.
@pytest.mark.parametrize(
    ("law", "protein_g"),
    [("eu", 10.33 * 6.25 / 5.70), ("gb", 10.33 * 6.25 / 5.70), ("us", 10.33), ("ca", 10.33), ("au-nz", 10.33), ("codex", 10.33)],
)  # fmt: skip
def test_the_factor_of_protein(kitchen: Kitchen, law: str, protein_g: float) -> None:
    kitchen.write("- ingredient: flour of wheat\n  composition: sr28:20081\n" + plate("100 g flour of wheat"))
    assert _nutrition(kitchen, law)["per_100_g"]["protein_g"] == pytest.approx(protein_g)
