"""Allergen groups, names and exemptions of the United States, Canada, Australia and New Zealand, and Codex."""

from datetime import date

import pytest

from labeller.jurisdictions.in_force import LawInForce
from labeller.jurisdictions.packs import load_jurisdiction

TODAY = date(2026, 11, 25)


def law(code: str, day: date = TODAY) -> LawInForce:
    return load_jurisdiction(code).in_force_on(day)


def groups_of(code: str, source: str, kind: str, day: date = TODAY) -> set[str]:
    return {group.name for group in law(code, day).groups if group.includes(source, kind)}


# The groups of each law, as a set: 21 U.S.C. 321(qq)(1) with 21 CFR 101.100(a)(4); Health Canada's list of priority allergens
# and gluten sources; Schedule 9 of the Australia New Zealand Food Standards Code; CXS 1-1985 as amended in 2024.
GROUPS = {
    "us": {"milk", "egg", "fish", "crustaceans", "nuts", "wheat", "peanut", "soya", "sesame", "sulphites"},
    "ca": {
        "egg",
        "milk",
        "mustard",
        "peanut",
        "crustaceans",
        "molluscs",
        "fish",
        "sesame",
        "soya",
        "sulphites",
        "nuts",
        "wheat",
        "gluten",
    },
    "au-nz": {
        "wheat",
        "gluten",
        "fish",
        "crustaceans",
        "molluscs",
        "egg",
        "milk",
        "lupin",
        "peanut",
        "soya",
        "sesame",
        "nuts",
        "sulphites",
    },
    "codex": {"gluten", "crustaceans", "egg", "fish", "peanut", "milk", "nuts", "sesame", "sulphites"},
}


@pytest.mark.parametrize("code", sorted(GROUPS))
def test_the_groups_of_a_law(code: str) -> None:
    names = [group.name for group in law(code).groups]
    assert set(names) == GROUPS[code]
    assert len(names) == len(set(names))


# One source of food and the groups it falls in, law by law. Annex II of Regulation (EU) No 1169/2011; 21 U.S.C. 321(qq) and the
# agency's twelve tree nuts of January 2025; Health Canada's lists; Schedule 9; the global list of CXS 1-1985 (2024).
# An empty set: not regulated there.
N: set[str] = set()
GRID = [
    # source, kind,        eu and gb,       us,             ca,                  au-nz,               codex
    ("wheat", "cereal", {"gluten"}, {"wheat"}, {"wheat", "gluten"}, {"wheat", "gluten"}, {"gluten"}),
    ("triticale", "cereal", {"gluten"}, {"wheat"}, {"wheat", "gluten"}, {"wheat", "gluten"}, {"gluten"}),
    ("barley", "cereal", {"gluten"}, N, {"gluten"}, {"gluten"}, {"gluten"}),
    ("rye", "cereal", {"gluten"}, N, {"gluten"}, {"gluten"}, {"gluten"}),
    ("oats", "cereal", {"gluten"}, N, {"gluten"}, {"gluten"}, N),
    ("crab", "crustacean", {"crustaceans"}, {"crustaceans"}, {"crustaceans"}, {"crustaceans"}, {"crustaceans"}),
    ("mussel", "mollusc", {"molluscs"}, N, {"molluscs"}, {"molluscs"}, N),
    ("egg", "egg", {"egg"}, {"egg"}, {"egg"}, {"egg"}, {"egg"}),
    ("duck egg", "egg", {"egg"}, {"egg"}, {"egg"}, {"egg"}, {"egg"}),
    ("cod", "fish", {"fish"}, {"fish"}, {"fish"}, {"fish"}, {"fish"}),
    ("peanut", "peanut", {"peanut"}, {"peanut"}, {"peanut"}, {"peanut"}, {"peanut"}),
    ("soya", "soya", {"soya"}, {"soya"}, {"soya"}, {"soya"}, N),
    ("milk", "milk", {"milk"}, {"milk"}, {"milk"}, {"milk"}, {"milk"}),
    ("goat milk", "milk", {"milk"}, {"milk"}, {"milk"}, {"milk"}, {"milk"}),
    ("almond", "nut", {"nuts"}, {"nuts"}, {"nuts"}, {"nuts"}, {"nuts"}),
    ("cashew", "nut", {"nuts"}, {"nuts"}, {"nuts"}, {"nuts"}, {"nuts"}),
    ("hazelnut", "nut", {"nuts"}, {"nuts"}, {"nuts"}, {"nuts"}, {"nuts"}),
    ("pecan", "nut", {"nuts"}, {"nuts"}, {"nuts"}, {"nuts"}, {"nuts"}),
    ("pistachio", "nut", {"nuts"}, {"nuts"}, {"nuts"}, {"nuts"}, {"nuts"}),
    ("walnut", "nut", {"nuts"}, {"nuts"}, {"nuts"}, {"nuts"}, {"nuts"}),
    ("brazil nut", "nut", {"nuts"}, {"nuts"}, {"nuts"}, {"nuts"}, N),
    ("macadamia", "nut", {"nuts"}, {"nuts"}, {"nuts"}, {"nuts"}, N),
    ("pine nut", "nut", N, {"nuts"}, {"nuts"}, {"nuts"}, N),
    ("black walnut", "nut", {"nuts"}, {"nuts"}, {"nuts"}, {"nuts"}, {"nuts"}),
    ("chestnut", "nut", N, N, N, N, N),
    ("coconut", "nut", N, N, N, N, N),
    ("shea", "nut", N, N, N, N, N),
    ("hickory", "nut", N, N, N, N, N),
    ("celery", "celery", {"celery"}, N, N, N, N),
    ("mustard", "mustard", {"mustard"}, N, {"mustard"}, N, N),
    ("sesame", "sesame", {"sesame"}, {"sesame"}, {"sesame"}, {"sesame"}, {"sesame"}),
    ("sulphite", "sulphite", {"sulphites"}, {"sulphites"}, {"sulphites"}, {"sulphites"}, {"sulphites"}),
    ("lupin", "lupin", {"lupin"}, N, N, {"lupin"}, N),
    ("buckwheat", "other", N, N, N, N, N),
]


@pytest.mark.parametrize(("source", "kind", "eu", "us", "ca", "au_nz", "codex"), GRID)
def test_where_the_laws_differ(
    source: str, kind: str, eu: set[str], us: set[str], ca: set[str], au_nz: set[str], codex: set[str]
) -> None:
    found = {code: groups_of(code, source, kind) for code in ("eu", "gb", "us", "ca", "au-nz", "codex")}
    assert found == {"eu": eu, "gb": eu, "us": us, "ca": ca, "au-nz": au_nz, "codex": codex}


@pytest.mark.parametrize("code", ["us", "ca", "au-nz"])
def test_a_cereal_with_gluten_not_named_leaves_wheat_open(code: str) -> None:
    wheat = law(code).group("wheat")
    assert wheat is not None
    assert wheat.left_open_by("gluten cereal")
    assert not wheat.includes("gluten cereal", "cereal")
    assert not wheat.left_open_by("rye")


@pytest.mark.parametrize("code", ["eu", "gb", "us", "ca", "au-nz", "codex"])
def test_a_nut_not_named_is_in_the_group_of_nuts_everywhere(code: str) -> None:
    assert groups_of(code, "nut", "nut") == {"nuts"}


# At exactly 10 mg/kg: Annex II, 12 says more than 10; 21 CFR 130.9, Health Canada, Schedule 9 and CXS 1-1985 say 10 or more.
@pytest.mark.parametrize(
    ("code", "counts"), [("eu", False), ("gb", False), ("us", True), ("ca", True), ("au-nz", True), ("codex", True)]
)
def test_whether_the_sulphite_limit_itself_counts(code: str, counts: bool) -> None:
    limit = law(code).sulphite_limit
    assert limit.value == 10
    assert limit.limit_counts is counts


# 21 U.S.C. 343(w)(2): the specific nut, the species of fish and of crustacean shellfish, the listed word for the others.
@pytest.mark.parametrize(
    ("source", "kind", "word", "beside"),
    [
        ("cod", "fish", "cod", ""),
        ("shrimp", "crustacean", "shrimp", ""),
        ("brazil nut", "nut", "Brazil nuts", ""),
        ("heartnut", "nut", "heartnut", ""),
        ("soya", "soya", "soy", ""),
        ("peanut", "peanut", "peanuts", ""),
        ("goat milk", "milk", "goat milk", ""),
        ("duck egg", "egg", "duck egg", ""),
        ("sesame", "sesame", "sesame", ""),
        ("wheat", "cereal", "wheat", ""),
    ],
)
def test_names_in_the_united_states(source: str, kind: str, word: str, beside: str) -> None:
    name = law("us").source_name(source, kind)
    assert (name.words[0], name.group_word) == (word, beside)
    assert name.in_contains[0] == word
    assert name.clause is not None


def test_species_are_named_where_the_law_asks() -> None:
    """21 U.S.C. 343(w)(2) for the United States; Canada names fish, crustaceans and molluscs by their common names."""
    named = {code: {group.name for group in law(code).groups if group.species_named} for code in ("us", "ca")}
    assert {"fish", "crustaceans", "nuts"} <= named["us"]
    assert "milk" not in named["us"]
    assert {"fish", "crustaceans", "molluscs", "nuts"} <= named["ca"]


def test_names_in_australia_and_new_zealand() -> None:
    """Schedule 9: fish, crustacean and mollusc are words of their own; barley, oats and rye are gluten in the summary."""
    here = law("au-nz")
    assert here.source_name("crab", "crustacean").group_word == "crustacean"
    assert here.source_name("mussel", "mollusc").group_word == "mollusc"
    assert here.source_name("soya", "soya").words == ("soy", "soya", "soybean")
    assert here.source_name("soya", "soya").in_contains == ("soy",)
    assert here.source_name("barley", "cereal").words == ("barley",)
    assert here.source_name("barley", "cereal").in_contains == ("gluten",)
    assert here.source_name("wheat", "cereal").in_contains == ("wheat", "gluten")
    assert here.source_name("brazil nut", "nut").words == ("Brazil nut",)


# 21 U.S.C. 321(qq)(2)(A): highly refined oil of any major allergen is free.
@pytest.mark.parametrize(
    ("source", "kind"), [("soya", "soya"), ("peanut", "peanut"), ("sesame", "sesame"), ("almond", "nut")]
)
def test_highly_refined_oil_in_the_united_states(source: str, kind: str) -> None:
    found = law("us").exemption(source, "refined oil", kind)
    assert found is not None
    assert found.clause.pinpoint == "(qq)(2)(A)"


# What one law frees and another does not: Annex II; 321(qq)(2); B.01.010.1(1); Standard 1.2.3 as varied by Proposal P1031.
@pytest.mark.parametrize(
    ("source", "kind", "derivation", "eu", "us", "ca", "au_nz", "codex"),
    [
        ("soya", "soya", "refined oil", True, True, False, True, False),
        ("peanut", "peanut", "refined oil", False, True, False, False, False),
        ("wheat", "cereal", "glucose syrup", True, False, False, False, False),  # au-nz: at most 20 mg/kg, on proof
        ("wheat", "cereal", "maltodextrin", True, False, False, False, False),
        ("wheat", "cereal", "distillate", True, False, False, True, False),
        ("barley", "cereal", "distillate", True, False, False, False, False),
        ("milk", "milk", "distillate", True, False, False, True, False),
        ("almond", "nut", "distillate", True, False, False, False, False),
        ("fish", "fish", "fining", True, False, False, True, False),
        ("milk", "milk", "lactitol", True, False, False, False, False),
        ("soya", "soya", "tocopherol", True, False, False, True, False),
    ],
)
def test_what_is_exempt_where(
    source: str, kind: str, derivation: str, eu: bool, us: bool, ca: bool, au_nz: bool, codex: bool
) -> None:
    found = {
        code: law(code).exemption(source, derivation, kind) is not None
        for code in ("eu", "us", "ca", "au-nz", "codex")
    }
    assert found == {"eu": eu, "us": us, "ca": ca, "au-nz": au_nz, "codex": codex}


@pytest.mark.parametrize("code", ["us", "ca"])
def test_freedom_on_proof_is_kept_apart(code: str) -> None:
    """321(qq)(2) and B.01.010.1(1) count protein: a paper may free a derivative, and until then it is declared."""
    here = law(code)
    assert here.exemption("wheat", "distillate", "cereal") is None
    on_proof = here.exemption_on_proof("wheat", "distillate", "cereal")
    assert on_proof is not None
    assert on_proof.needs_proof
    assert "protein" in on_proof.condition


def test_glucose_syrup_in_australia_and_new_zealand_hangs_on_twenty_mg_per_kg() -> None:
    """Variation P1031, item 1.1: a gluten protein content that does not exceed 20 mg/kg."""
    on_proof = law("au-nz").exemption_on_proof("wheat", "glucose syrup", "cereal")
    assert on_proof is not None
    assert "20 mg/kg" in on_proof.condition


# 21 U.S.C. 343(w)(1): no emphasis. B.01.010.1(2): list or statement. PEAL: bold in the list and in the statement.
@pytest.mark.parametrize(
    ("code", "where", "style", "line"),
    [
        ("us", "contains", "none", "optional"),
        ("ca", "contains", "none", "optional"),
        ("au-nz", "both", "bold", "required"),
    ],
)
def test_emphasis(code: str, where: str, style: str, line: str) -> None:
    emphasis = law(code).emphasis
    assert (emphasis.where, emphasis.style, emphasis.contains_line) == (where, style, line)
    assert emphasis.contains_word == "Contains"
