"""Evidence of a supplier's specification, by the contract's section on ingredients."""

import pytest

from labeller.allergens.evidence import Evidence
from labeller.allergens.reader import LARGEST_BYTES
from labeller.allergens.specifications import evidence_from_spec
from labeller.allergens.vocabulary import load_vocabulary


def held(evidence: Evidence) -> set[tuple[str, str]]:
    return {(finding.source, finding.derivation) for finding in evidence.contains}


def may(evidence: Evidence) -> set[str]:
    return {finding.source for finding in evidence.may_contain}


def test_silence_in_a_whole_statement_means_not_in_it() -> None:
    evidence, problems = evidence_from_spec("Cream (MILK)", None, covers_all=False, may_contain="nuts, soya")
    assert held(evidence) == {("milk", "")}
    assert may(evidence) == {"nut", "soya"}
    assert evidence.unconfirmed == frozenset()
    assert problems == []


def test_unclear_words_of_a_statement_stay_unconfirmed_and_are_named() -> None:
    evidence, _ = evidence_from_spec("water, flour, lecithin", None, covers_all=False, may_contain=None)
    kinds = {load_vocabulary().sources[source] for source in evidence.unconfirmed}
    assert kinds == {"cereal", "soya", "egg"}
    assert evidence.doubts == ("flour", "lecithin")


def test_an_exempt_form_of_a_source_settles_no_doubt_about_it() -> None:
    """The soya of tocopherols is exempt (Annex II, 6(b)); that of the lecithin beside them is not."""
    evidence, _ = evidence_from_spec("lecithin, tocopherols (soya)", None, covers_all=False, may_contain=None)
    assert "soya" in evidence.unconfirmed


def test_plain_and_exempt_forms_of_a_source_both_stand() -> None:
    evidence, _ = evidence_from_spec("wheat flour, glucose syrup (wheat)", None, covers_all=False, may_contain=None)
    assert held(evidence) == {("wheat", ""), ("wheat", "glucose syrup")}


def test_silence_in_a_list_means_not_known() -> None:
    evidence, _ = evidence_from_spec(None, ("milk",), covers_all=False, may_contain=None)
    assert held(evidence) == {("milk", "")}
    assert evidence.unconfirmed == load_vocabulary().law_sources - {"milk"}


@pytest.mark.parametrize(("declares", "covers_all"), [(("milk",), True), (("milk and nothing else",), False)])
def test_a_list_that_covers_all_leaves_nothing_open(declares: tuple[str, ...], covers_all: bool) -> None:
    evidence, problems = evidence_from_spec(None, declares, covers_all=covers_all, may_contain=None)
    assert held(evidence) == {("milk", "")}
    assert evidence.unconfirmed == frozenset()
    assert problems == []


@pytest.mark.parametrize("word", ["none", "nothing"])
def test_a_list_of_nothing_that_covers_all(word: str) -> None:
    evidence, problems = evidence_from_spec(None, (word,), covers_all=True, may_contain=None)
    assert evidence.contains == ()
    assert evidence.unconfirmed == frozenset()
    assert problems == []


@pytest.mark.parametrize("declares", [("n/a",), ("none known",), ("N/A",), ("milk", "none"), ("milk", "n/a")])
def test_words_for_not_known_settle_nothing(declares: tuple[str, ...]) -> None:
    """The contract of the book: silence in ``declares`` means "not known", unless it says that it covers all."""
    evidence, problems = evidence_from_spec(None, declares, covers_all=False, may_contain=None)
    assert held(evidence) == ({("milk", "")} if "milk" in declares else set())
    assert evidence.unconfirmed == load_vocabulary().law_sources - ({"milk"} if "milk" in declares else set())
    assert problems == []


def test_a_supplier_who_declares_nothing_at_all_is_taken_at_his_word() -> None:
    evidence, _ = evidence_from_spec(None, ("none",), covers_all=False, may_contain=None)
    assert evidence.unconfirmed == frozenset()


def test_nothing_given_leaves_everything_open() -> None:
    evidence, _ = evidence_from_spec(None, None, covers_all=False, may_contain=None)
    assert evidence.unconfirmed == load_vocabulary().law_sources


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        ("nuts, soya", {"nut", "soya"}),
        ("May contain traces of nuts and peanuts.", {"nut", "peanut"}),
        (("tree nuts", "shellfish"), {"nut", "crustacean", "mollusc"}),
        ("none", set()),
        (None, set()),
    ],
)
def test_may_contain_as_text_or_list(given: tuple[str, ...] | str | None, expected: set[str]) -> None:
    evidence, problems = evidence_from_spec("sugar", None, covers_all=False, may_contain=given)
    assert may(evidence) == expected
    assert problems == []


@pytest.mark.parametrize(
    ("declares", "may_contain", "field"), [(("milc",), None, "declares"), (("egg",), "milc", "may_contain")]
)
def test_a_word_that_names_nothing_is_reported_with_the_nearest(
    declares: tuple[str, ...], may_contain: str | None, field: str
) -> None:
    _, problems = evidence_from_spec(None, declares, covers_all=False, may_contain=may_contain)
    assert [(where, problem) for where, problem, _ in problems] == [
        (field, "'milc' is not an allergen group or source this tool knows.")
    ]
    assert "'milk'" in problems[0][2]


def test_sulphites_and_alcohol_without_a_figure_are_found() -> None:
    evidence, _ = evidence_from_spec("white wine, brandy, cider vinegar", None, covers_all=False, may_contain=None)
    assert {"sulphite", "alcohol", "alcohol trace"} <= {source for source, _ in held(evidence)}


def test_a_statement_too_long_to_read_leaves_everything_open_and_says_so() -> None:
    evidence, problems = evidence_from_spec("a" * (LARGEST_BYTES + 1), None, covers_all=False, may_contain=None)
    assert evidence.unconfirmed == load_vocabulary().law_sources
    assert problems[0][0] == "statement"


@pytest.mark.parametrize(
    "statement",
    ["may contain traces", "contains allergens", "allergens in bold", "house blend", "contact manufacturer", "siehe Packung", "XXX",
     "same as before", "may contain nuts"],
)  # fmt: skip
def test_words_that_name_no_food_settle_nothing(statement: str) -> None:
    """A list of ingredients names ingredients: Regulation (EU) No 1169/2011, Article 18(1). Words without one are none."""
    evidence, _ = evidence_from_spec(statement, None, covers_all=False, may_contain=None)
    assert {"milk", "egg", "peanut", "wheat", "soya"} <= evidence.unconfirmed


@pytest.mark.parametrize(
    "statement",
    [
        "sugar",
        "E300",
        "xanthan gum",
        "salt, water",
        "tomatoes 100 %",
        "Zucker",
        "huile d'olive",
        "acqua",
        "alcohol",
        "beef",
    ],
)
def test_one_plain_food_is_a_list(statement: str) -> None:
    evidence, _ = evidence_from_spec(statement, None, covers_all=False, may_contain=None)
    assert not evidence.unconfirmed


@pytest.mark.parametrize(
    "statement",
    [
        "Sugar, cocoa mass, ...",
        "Sugar, cocoa mass…",
        "Zucker, Kakao usw.",
        "Sugar, salt etc.",
        "sugar, cocoa and more",
    ],
)
def test_a_statement_that_says_it_goes_on_settles_nothing_by_its_silence(statement: str) -> None:
    # Regulation (EU) No 1169/2011, Article 18(1): the list includes all the ingredients; what is cut off may be any of them.
    evidence, problems = evidence_from_spec(statement, None, covers_all=False, may_contain=None)
    assert problems == []
    assert {"milk", "soya", "egg"} <= evidence.unconfirmed
    assert statement in evidence.doubts


@pytest.mark.parametrize("statement", ["Contains: milk", "Allergens: milk", "Enthält: Milch"])
def test_the_line_of_allergens_alone_is_no_list_of_ingredients(statement: str) -> None:
    # Section 403(w)(1)(A) of the Federal Food, Drug, and Cosmetic Act: such a line names the allergens of one law, and stands after the list.
    evidence, _ = evidence_from_spec(statement, None, covers_all=False, may_contain=None)
    assert [finding.source for finding in evidence.contains] == ["milk"]
    assert {"celery", "mustard", "soya"} <= evidence.unconfirmed
    assert "milk" not in evidence.unconfirmed


def test_a_list_with_its_line_of_allergens_is_whole() -> None:
    evidence, _ = evidence_from_spec(
        "Sugar, cocoa mass, MILK. Contains: milk.", None, covers_all=False, may_contain=None
    )
    assert evidence.unconfirmed == frozenset()
