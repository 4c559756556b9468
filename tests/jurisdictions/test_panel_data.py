"""The data panels are drawn from, held to the published laws and to the arithmetic their figures come from."""

from datetime import date
from pathlib import Path

import pytest

from labeller.jurisdictions.compiling import compile_folder
from labeller.jurisdictions.packs import known_jurisdictions, load_jurisdiction
from tests.jurisdictions.test_packs import write_sandbar

DAY = date(2026, 11, 25)

# Regulation (EU) No 1169/2011, Annex XIII, Part B.
INTAKES = {"fat_g": 70.0, "saturates_g": 20.0, "sugars_g": 90.0, "salt_g": 6.0}

# Guide to creating a front of pack (FoP) nutrition label, June 2013, updated November 2016: criteria for 100 g of food: low, high.
FOOD = {"fat_g": (3.0, 17.5), "saturates_g": (1.5, 5.0), "sugars_g": (5.0, 22.5), "salt_g": (0.3, 1.5)}
# The superseded criteria of 2007 called these high; a copy of them must not come in.
OF_2007 = {"fat_g": {20.0}, "sugars_g": {15.0, 12.5}}


@pytest.mark.parametrize(("kind", "of_100", "of_portion", "size"), [("food", 25, 30, 100), ("drink", 12.5, 15, 150)])
def test_high_is_its_share_of_the_reference_intake(kind: str, of_100: float, of_portion: float, size: float) -> None:
    """High is 25 % of the reference intake in 100 g of food, 12.5 % in 100 ml of drink; in a portion 30 % and 15 % (the guide of 2013, technical notes)."""
    rules = [rule for rule in load_jurisdiction("gb").in_force_on(DAY).front_of_pack if rule.kind == kind]
    assert [rule.nutrient for rule in rules] == list(INTAKES)
    for rule in rules:
        intake = INTAKES[rule.nutrient]
        assert rule.high_above == pytest.approx(intake * of_100 / 100.0)
        assert rule.high_above_per_portion == pytest.approx(intake * of_portion / 100.0)
        assert rule.portion_above == size


def test_the_bounds_of_food_as_published() -> None:
    for rule in load_jurisdiction("gb").in_force_on(DAY).front_of_pack:
        if rule.kind == "food":
            assert (rule.low_up_to, rule.high_above) == FOOD[rule.nutrient]
        assert rule.high_above not in OF_2007.get(rule.nutrient, set())


def test_no_bound_of_the_front_of_a_pack_is_called_confirmed() -> None:
    """None of them was read in the guide itself."""
    rules = load_jurisdiction("gb").in_force_on(DAY).front_of_pack
    assert len(rules) == 8
    for rule in rules:
        assert not rule.clause.confirmed
        assert rule.clause.ground
        assert "2013" in rule.clause.title
        assert "2016" in rule.clause.title


def test_only_great_britain_has_such_criteria() -> None:
    assert [code for code in known_jurisdictions() if load_jurisdiction(code).in_force_on(DAY).front_of_pack] == ["gb"]


# Words typed from the laws: 21 CFR 101.9(d)(2) to (6); Regulation 1169/2011, Annex XV; Standard 1.2.8, Schedule 12, S12-2;
# Directory of Nutrition Facts Table Formats, figure 1.1(E).
WORDS = [
    ("us", "title", "Nutrition Facts"),
    ("us", "servings", "{count} servings per container"),
    ("us", "serving size", "Serving size"),
    ("us", "amount", "Amount per serving"),
    ("us", "percent", "% Daily Value*"),
    ("eu", "indented", "of which {name}"),
    ("gb", "indented", "of which {name}"),
    ("au-nz", "servings", "Servings per package: {count}"),
    ("au-nz", "serving size", "Serving size: {serving}"),
    ("au-nz", "per portion", "Average quantity per serving"),
    ("au-nz", "per 100 g", "Average quantity per 100 g"),
    ("ca", "percent", "% Daily Value*"),
    ("ca", "per portion", "Per {serving}"),
]


@pytest.mark.parametrize(("code", "key", "text"), WORDS)
def test_words_as_the_law_has_them(code: str, key: str, text: str) -> None:
    assert load_jurisdiction(code).in_force_on(DAY).panel[key].texts["en"] == text


def test_both_titles_of_canada() -> None:
    texts = load_jurisdiction("ca").in_force_on(DAY).statements["title"].texts
    assert texts == {"en": "Nutrition Facts", "fr": "Valeur nutritive"}  # Food and Drug Regulations, B.01.450


@pytest.mark.parametrize(
    ("subject", "row", "said"),
    [
        ("panel", "{key: title, clause: '1', applies_from: 2020-01-01}", "one of texts, choices, points"),
        ("panel", "{key: title, texts: {en: T}, points: 3, clause: '1', applies_from: 2020-01-01}", "one of texts, choices, points"),
        ("panel", "{key: bar, points: 0, clause: '1', applies_from: 2020-01-01}", "greater than 0"),
        (
            "front_of_pack",
            "{key: fat, nutrient: fat_g, kind: food, low_up_to: 9, high_above: 3, high_above_per_portion: 9, portion_above: 100, clause: '1', applies_from: 2020-01-01}",
            "the bound of low lies below that of high",
        ),
    ],
)  # fmt: skip
def test_a_row_that_says_nothing_or_too_much_is_refused(tmp_path: Path, subject: str, row: str, said: str) -> None:
    folder = write_sandbar(tmp_path)
    head = "description: D.\nchecked_on: 2026-11-25\ndefaults: {law: tide, confirmed: true}\n"
    (folder / f"{subject}.yaml").write_text(f"{head}rows: [{row}]\n", encoding="utf-8")
    with (folder / "coverage.yaml").open("a", encoding="utf-8") as file:
        file.write(f"{subject}: {{status: whole, note: All of it.}}\n")
    pack, faults = compile_folder(folder)
    assert pack is None
    assert any(said in fault.problem for fault in faults), [fault.as_text() for fault in faults]


def test_a_subject_a_law_may_be_without_needs_its_coverage_where_it_stands(tmp_path: Path) -> None:
    folder = write_sandbar(tmp_path)
    text = "description: D.\nchecked_on: 2026-11-25\ndefaults: {law: tide, confirmed: true}\nrows: [{key: title, texts: {en: Food}, clause: '1', applies_from: 2020-01-01}]\n"
    (folder / "panel.yaml").write_text(text, encoding="utf-8")
    pack, faults = compile_folder(folder)
    assert pack is None
    assert [(fault.field, fault.problem) for fault in faults] == [("panel", "missing.")]
