"""Annex II of Regulation (EU) No 1169/2011 as amended by Delegated Regulation (EU) No 78/2014, cell by cell, for eu and gb.

Expected values are typed from the Annex; they are never read from the data under test.
"""

from datetime import date

import pytest

from labeller.jurisdictions.in_force import LawInForce
from labeller.jurisdictions.packs import load_jurisdiction

TODAY = date(2026, 11, 25)
BOTH = ["eu", "gb"]


def law(code: str) -> LawInForce:
    return load_jurisdiction(code).in_force_on(TODAY)


# Annex II, 1 to 14, in its order: our name, the number, a word of the Annex, a source that is inside, its kind.
ANNEX_II = [
    ("gluten", 1, "Cereals containing gluten", "wheat", "cereal"),
    ("crustaceans", 2, "Crustaceans", "prawn", "crustacean"),
    ("egg", 3, "Eggs", "egg", "egg"),
    ("fish", 4, "Fish", "cod", "fish"),
    ("peanut", 5, "Peanuts", "peanut", "peanut"),
    ("soya", 6, "Soybeans", "soya", "soya"),
    ("milk", 7, "Milk (including lactose)", "milk", "milk"),
    ("nuts", 8, "Nuts", "almond", "nut"),
    ("celery", 9, "Celery", "celery", "celery"),
    ("mustard", 10, "Mustard", "mustard", "mustard"),
    ("sesame", 11, "Sesame seeds", "sesame", "sesame"),
    ("sulphites", 12, "Sulphur dioxide and sulphites", "sulphite", "sulphite"),
    ("lupin", 13, "Lupin", "lupin", "lupin"),
    ("molluscs", 14, "Molluscs", "squid", "mollusc"),
]


@pytest.mark.parametrize("code", BOTH)
def test_the_fourteen_groups_in_the_order_of_the_annex(code: str) -> None:
    assert [group.name for group in law(code).groups] == [row[0] for row in ANNEX_II]


@pytest.mark.parametrize("code", BOTH)
@pytest.mark.parametrize(("name", "number", "title", "source", "kind"), ANNEX_II)
def test_a_group_as_the_annex_has_it(code: str, name: str, number: int, title: str, source: str, kind: str) -> None:
    group = law(code).group(name)
    assert group is not None
    assert group.title == title
    assert group.clause.pinpoint == f"Annex II, {number}"
    assert "1169/2011" in group.clause.title
    assert group.clause.confirmed
    assert group.clause.read_on == TODAY
    assert group.includes(source, kind)
    assert group.open_sources == ()
    # Nothing of one group is in another.
    assert [other.name for other in law(code).groups if other.includes(source, kind)] == [name]


# Annex II, 8: a closed list of eight.
ANNEX_II_NUTS = ["almond", "hazelnut", "walnut", "cashew", "pecan", "brazil nut", "pistachio", "macadamia"]
# Annex II, 8, by absence from the closed list.
NOT_ANNEX_II_NUTS = [
    "coconut",
    "pine nut",
    "chestnut",
    "tiger nut",
    "shea",
    "hickory",
    "beech nut",
    "ginkgo",
    "kola",
    "pili",
]


@pytest.mark.parametrize("code", BOTH)
def test_the_eight_nuts_and_no_other(code: str) -> None:
    nuts = law(code).group("nuts")
    assert nuts is not None
    assert all(nuts.includes(nut, "nut") for nut in ANNEX_II_NUTS)
    assert not any(nuts.includes(nut, "nut") for nut in NOT_ANNEX_II_NUTS)
    assert nuts.species_named
    # A nut not named belongs to the group: a missed allergen is far worse than one too many.
    assert nuts.includes("nut", "nut")


@pytest.mark.parametrize("code", BOTH)
def test_the_cereals(code: str) -> None:
    """Annex II, 1: wheat (such as spelt and khorasan wheat), rye, barley, oats or their hybridised strains."""
    gluten = law(code).group("gluten")
    assert gluten is not None
    assert all(
        gluten.includes(cereal, "cereal")
        for cereal in ("wheat", "rye", "barley", "oats", "triticale", "gluten cereal")
    )
    assert not any(gluten.includes(other, "other") for other in ("maize", "rice", "buckwheat"))
    assert gluten.species_named


# Annex II, exemptions (a) to (d): source, kind, derivation, place.
EXEMPT = [
    ("wheat", "cereal", "glucose syrup", "Annex II, 1(a)"),
    ("wheat", "cereal", "dextrose", "Annex II, 1(a)"),
    ("wheat", "cereal", "maltodextrin", "Annex II, 1(b)"),
    ("barley", "cereal", "glucose syrup", "Annex II, 1(c)"),
    ("wheat", "cereal", "distillate", "Annex II, 1(d)"),
    ("rye", "cereal", "distillate", "Annex II, 1(d)"),
    ("barley", "cereal", "distillate", "Annex II, 1(d)"),
    ("oats", "cereal", "distillate", "Annex II, 1(d)"),
    ("gluten cereal", "cereal", "distillate", "Annex II, 1(d)"),
    ("fish", "fish", "vitamin carrier", "Annex II, 4(a)"),
    ("fish", "fish", "fining", "Annex II, 4(b)"),
    ("sturgeon", "fish", "fining", "Annex II, 4(b)"),
    ("soya", "soya", "refined oil", "Annex II, 6(a)"),
    ("soya", "soya", "tocopherol", "Annex II, 6(b)"),
    ("soya", "soya", "phytosterol", "Annex II, 6(c)"),
    ("soya", "soya", "plant stanol ester", "Annex II, 6(d)"),
    ("milk", "milk", "distillate", "Annex II, 7(a)"),
    ("milk", "milk", "lactitol", "Annex II, 7(b)"),
    ("almond", "nut", "distillate", "Annex II, 8"),
    ("walnut", "nut", "distillate", "Annex II, 8"),
    ("nut", "nut", "distillate", "Annex II, 8"),
]


@pytest.mark.parametrize("code", BOTH)
@pytest.mark.parametrize(("source", "kind", "derivation", "place"), EXEMPT)
def test_an_exemption_of_the_annex(code: str, source: str, kind: str, derivation: str, place: str) -> None:
    found = law(code).exemption(source, derivation, kind)
    assert found is not None
    assert found.clause.pinpoint.startswith(place)
    assert found.clause.confirmed
    assert found.condition


# Annex II by absence, and the traps of its exemptions: each is tied to the use and the source it names.
NOT_EXEMPT = [
    ("peanut", "peanut", "refined oil"),  # 5: refined oil is not freed
    ("sesame", "sesame", "refined oil"),
    ("hazelnut", "nut", "refined oil"),
    ("barley", "cereal", "maltodextrin"),  # 1(b) is wheat only
    ("barley", "cereal", "dextrose"),
    ("oats", "cereal", "glucose syrup"),
    ("rye", "cereal", "glucose syrup"),
    ("gluten cereal", "cereal", "glucose syrup"),  # might be oats or rye
    ("egg", "egg", "fining"),
    ("milk", "milk", "fining"),
    ("milk", "milk", "refined oil"),
    ("soya", "soya", "distillate"),
    ("crustacean", "crustacean", "fining"),
    ("wheat", "cereal", ""),
]


@pytest.mark.parametrize("code", BOTH)
@pytest.mark.parametrize(("source", "kind", "derivation"), NOT_EXEMPT)
def test_what_the_annex_does_not_exempt(code: str, source: str, kind: str, derivation: str) -> None:
    assert law(code).exemption(source, derivation, kind) is None
    assert law(code).exemption_on_proof(source, derivation, kind) is None


def test_isinglass_is_exempt_in_beer_and_wine_only() -> None:
    """Annex II, 4(b): fish gelatine or isinglass used as fining agent in beer and wine."""
    found = law("eu").exemption("fish", "fining", "fish")
    assert found is not None
    assert "beer and wine" in found.condition


def test_behenic_acid_is_exempt_in_the_union_since_october_2024_and_not_in_great_britain() -> None:
    """Delegated Regulation (EU) 2024/2512, date of effect 15 October 2024."""
    union = load_jurisdiction("eu")
    assert union.in_force_on(date(2024, 10, 14)).exemption("mustard", "behenic acid") is None
    freed = union.in_force_on(date(2024, 10, 15)).exemption("mustard", "behenic acid")
    assert freed is not None
    assert not freed.clause.confirmed
    assert freed.clause.ground
    assert law("gb").exemption("mustard", "behenic acid") is None


def test_sulphites_are_declared_above_ten_and_not_at_ten() -> None:
    """Annex II, 12: at concentrations of more than 10 mg/kg or 10 mg/litre in terms of total SO2."""
    for code in BOTH:
        limit = law(code).sulphite_limit
        assert (limit.value, limit.limit_counts) == (10, False)
        assert limit.clause.pinpoint == "Annex II, 12"


# Annex II, words for the list; common practice puts the group's word beside a species.
NAMES = [
    ("wheat", "cereal", "wheat", ""),
    ("brazil nut", "nut", "Brazil nut", ""),
    ("macadamia", "nut", "macadamia nut", ""),
    ("milk", "milk", "milk", ""),
    ("goat milk", "milk", "goat milk", "milk"),
    ("cod", "fish", "cod", "fish"),
    ("fish", "fish", "fish", ""),
    ("prawn", "crustacean", "prawn", "crustaceans"),
    ("crustacean", "crustacean", "crustaceans", ""),
    ("mussel", "mollusc", "mussel", "molluscs"),
    ("sulphite", "sulphite", "sulphites", ""),
]


@pytest.mark.parametrize("code", BOTH)
@pytest.mark.parametrize(("source", "kind", "word", "beside"), NAMES)
def test_how_a_source_is_named(code: str, source: str, kind: str, word: str, beside: str) -> None:
    name = law(code).source_name(source, kind)
    assert name.words[0] == word
    assert name.group_word == beside
    assert name.clause is not None


def test_a_source_outside_the_law_keeps_its_own_name_without_a_clause() -> None:
    name = law("eu").source_name("kiwi", "other")
    assert name.words == ("kiwi",)
    assert name.clause is None
    assert not name.required


@pytest.mark.parametrize("code", BOTH)
def test_examples_at_the_table(code: str) -> None:
    """Crustaceans (prawn, crab), molluscs (mussel, squid), sulphites (wine, dried fruit); nuts and cereals by name."""
    examples = {group.name: group.examples for group in law(code).groups}
    assert examples["crustaceans"] == ("prawn", "crab")
    assert examples["molluscs"] == ("mussel", "squid")
    assert examples["sulphites"] == ("wine", "dried fruit")
    assert [word.lower() for word in examples["nuts"]] == ANNEX_II_NUTS
    assert examples["gluten"] == ("wheat", "rye", "barley", "oats")
    assert all(group.examples for group in law(code).groups)


def test_emphasis_of_article_21() -> None:
    """Article 21(1): in the list, set apart by font, style or background; 'contains' where there is no list."""
    for code in BOTH:
        emphasis = law(code).emphasis
        assert (emphasis.where, emphasis.style, emphasis.contains_line) == ("list", "any", "only without a list")
        assert emphasis.required
        assert emphasis.clause.pinpoint == "Article 21(1)"
