"""The law changes with the day: both sides of each change, and days before the first are refused."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labeller.jurisdictions.faults_of_law import NoSuchSubjectError, NotInForceError
from labeller.jurisdictions.packs import known_jurisdictions, load_jurisdiction

CODES = ["au-nz", "ca", "codex", "eu", "gb", "us"]


def group_names(code: str, day: date) -> set[str]:
    return {group.name for group in load_jurisdiction(code).in_force_on(day).groups}


def test_sesame_is_a_major_allergen_in_the_united_states_from_2023() -> None:
    """FASTER Act of 2021: food introduced on or after 1 January 2023."""
    assert "sesame" not in group_names("us", date(2022, 12, 31))
    assert "sesame" in group_names("us", date(2023, 1, 1))


@pytest.mark.parametrize(
    "nut", ["coconut", "chestnut", "shea", "kola", "beech nut", "butternut", "ginkgo", "hickory", "pili", "palm nut"]
)
def test_tree_nuts_dropped_in_the_united_states_in_january_2025(nut: str) -> None:
    """Questions and Answers Regarding Food Allergens, Edition 5, 6 January 2025."""
    for day, inside in ((date(2025, 1, 5), True), (date(2025, 1, 6), False)):
        nuts = load_jurisdiction("us").in_force_on(day).group("nuts")
        assert nuts is not None
        assert nuts.includes(nut, "nut") is inside


# The twelve of Edition 5; California walnut and English walnut are our walnut.
@pytest.mark.parametrize(
    "nut",
    [
        "almond",
        "black walnut",
        "brazil nut",
        "cashew",
        "hazelnut",
        "heartnut",
        "macadamia",
        "pecan",
        "pine nut",
        "pistachio",
        "walnut",
    ],
)
def test_tree_nuts_kept_in_the_united_states(nut: str) -> None:
    for day in (date(2025, 1, 5), date(2025, 1, 6)):
        nuts = load_jurisdiction("us").in_force_on(day).group("nuts")
        assert nuts is not None
        assert nuts.includes(nut, "nut")


def test_nutrition_facts_of_2016_are_refused_before_2020_and_allergens_are_not() -> None:
    """The 2016 rule, compliance date 1 January 2020; the older table is not on file."""
    before = load_jurisdiction("us").in_force_on(date(2019, 12, 31))
    assert before.groups
    for subject in ("nutrients", "rounding", "intakes", "energy_factors", "definitions"):
        assert not before.covers(subject)
        with pytest.raises(NotInForceError, match=f"us: {subject}: no law is on file for 2019-12-31; .* 2020-01-01"):
            getattr(before, subject)
    after = load_jurisdiction("us").in_force_on(date(2020, 1, 1))
    assert after.intakes["sodium_mg"].value == 2300


def test_food_prepacked_for_direct_sale_in_england() -> None:
    """Food Information (Amendment) (England) Regulations 2019: in force 1 October 2021."""
    before = load_jurisdiction("gb").in_force_on(date(2021, 9, 30)).offers["prepacked for direct sale"]
    after = load_jurisdiction("gb").in_force_on(date(2021, 10, 1)).offers["prepacked for direct sale"]
    assert before.needs == ("allergens",)
    assert before.allergens == "written or spoken with a notice"
    assert after.needs == ("name", "ingredients", "allergens")
    assert after.allergens == "in the list"
    assert after.clause.confirmed


def test_calories_on_menus_in_england() -> None:
    """SI 2021/909, regulation 1: in force 6 April 2022."""
    before = load_jurisdiction("gb").in_force_on(date(2022, 4, 5))
    after = load_jurisdiction("gb").in_force_on(date(2022, 4, 6))
    assert "daily_needs" not in before.statements
    assert after.statements["daily_needs"].texts["en"] == "adults need around 2000 kcal a day"
    assert "energy in kcal per portion" not in before.offers["menu"].needs
    assert "energy in kcal per portion" in after.offers["menu"].needs


def test_plain_english_allergen_labelling() -> None:
    """Proposal P1044: from 25 February 2021, mandatory from 25 February 2024."""
    pack = load_jurisdiction("au-nz")
    first = pack.in_force_on(date(2021, 2, 24)).emphasis
    allowed = pack.in_force_on(date(2021, 2, 25)).emphasis
    last_day = pack.in_force_on(date(2024, 2, 24)).emphasis
    mandatory = pack.in_force_on(date(2024, 2, 25)).emphasis
    assert first.style == "none"
    assert (allowed.where, allowed.style, allowed.required) == ("both", "bold", False)
    assert last_day.required is False
    assert (mandatory.where, mandatory.style, mandatory.required) == ("both", "bold", True)


def test_names_before_plain_english_are_refused() -> None:
    with pytest.raises(NotInForceError) as refused:
        load_jurisdiction("au-nz").in_force_on(date(2021, 2, 24)).source_name("wheat")
    assert refused.value.first == date(2021, 2, 25)


def test_nuts_before_the_closed_list_of_australia_and_new_zealand() -> None:
    pack = load_jurisdiction("au-nz")
    for day, inside in ((date(2021, 2, 24), True), (date(2021, 2, 25), False)):
        nuts = pack.in_force_on(day).group("nuts")
        assert nuts is not None
        assert nuts.includes("chestnut", "nut") is inside


def test_codex_list_before_and_after_november_2024() -> None:
    """CXS 1-1985: soybean, oats and all tree nuts until the amendment of CAC47; sesame and six tree nuts since."""
    before = group_names("codex", date(2024, 10, 31))
    after = group_names("codex", date(2024, 12, 1))
    assert "soya" in before
    assert "soya" not in after
    assert "sesame" not in before
    assert "sesame" in after
    pack = load_jurisdiction("codex")
    old, new = pack.in_force_on(date(2024, 10, 31)), pack.in_force_on(date(2024, 12, 1))
    for source, kind, was, now in (
        ("oats", "cereal", True, False),
        ("macadamia", "nut", True, False),
        ("walnut", "nut", True, True),
    ):
        group = "gluten" if kind == "cereal" else "nuts"
        in_old, in_new = old.group(group), new.group(group)
        assert in_old is not None
        assert in_new is not None
        assert in_old.includes(source, kind) is was
        assert in_new.includes(source, kind) is now


def test_potassium_daily_value_of_canada() -> None:
    """Table of Daily Values: 4 700 mg in the version of 2016, 3 400 mg in that of 20 October 2022 (from memory)."""
    pack = load_jurisdiction("ca")
    assert pack.in_force_on(date(2022, 10, 19)).intakes["potassium_mg"].value == 4700
    assert pack.in_force_on(date(2022, 10, 20)).intakes["potassium_mg"].value == 3400
    assert not pack.in_force_on(date(2022, 10, 20)).intakes["potassium_mg"].clause.confirmed


# The first day on file: application of Regulation (EU) No 1169/2011, Article 55; the others from memory of commencement.
@pytest.mark.parametrize(
    ("code", "first"),
    [
        ("eu", date(2014, 12, 13)),
        ("gb", date(2014, 12, 13)),
        ("us", date(2006, 1, 1)),
        ("ca", date(2012, 8, 4)),
        ("au-nz", date(2016, 3, 1)),
        ("codex", date(1999, 7, 3)),
    ],
)
def test_a_day_before_the_first_law_is_refused_by_name(code: str, first: date) -> None:
    pack = load_jurisdiction(code)
    assert pack.first == first
    assert pack.in_force_on(first).groups
    day = first - timedelta(days=1)
    with pytest.raises(NotInForceError) as refused:
        pack.in_force_on(day)
    assert (refused.value.jurisdiction, refused.value.subject) == (code, "groups")
    assert (refused.value.day, refused.value.first) == (day, first)
    assert day.isoformat() in str(refused.value)
    assert first.isoformat() in str(refused.value)


def test_a_subject_that_does_not_exist_is_named() -> None:
    with pytest.raises(NoSuchSubjectError, match="eu: there is no 'weather' among its data"):
        load_jurisdiction("eu").in_force_on(date(2026, 1, 1))._in_force("weather")


@pytest.mark.property
@given(code=st.sampled_from(CODES), day=st.dates(date(1990, 1, 1), date(2040, 1, 1)), later=st.integers(0, 8000))
def test_a_later_day_never_sees_an_older_figure(code: str, day: date, later: int) -> None:
    pack = load_jurisdiction(code)
    if day < pack.first:
        return
    now, then = pack.in_force_on(day), pack.in_force_on(day + timedelta(days=later))
    for subject in pack._subjects:
        if not now.covers(subject):
            continue
        before = {row["key"]: row["applies_from"] for row in now._in_force(subject)}
        after = {row["key"]: row["applies_from"] for row in then._in_force(subject)}
        assert all(after[key] >= first for key, first in before.items() if key in after)
        assert all(first <= day.isoformat() for first in before.values())


def test_all_six_are_on_file() -> None:
    assert set(CODES) <= set(known_jurisdictions())
