"""Claims are printed only where the evidence supports them; energy with the words of its law."""

import pytest

from labeller.declarations.paper_claims import Claims, claims_advice, claims_of
from labeller.declarations.paper_energy import energy_lines
from labeller.declarations.paper_of_dish import dish_words
from tests.kitchens import Kitchen
from tests.papers import DAY, HOUSE, opened


def dish(*lines: str, claims: str) -> str:
    text = "".join(f"    - {line}\n" for line in lines)
    return f"- dish: plate\n  description: on ice\n  course: dessert\n  suitable_for: [{claims}]\n  plate:\n{text}"


def held(kitchen: Kitchen, *lines: str, claims: str) -> Claims:
    found = opened(kitchen, dish(*lines, claims=claims))
    return claims_of(found.declarer, "plate")


def test_what_the_evidence_supports_is_printed(kitchen: Kitchen) -> None:
    found = held(kitchen, "5 g sugar syrup", claims="Vegans, vegetarian")
    assert found.supported == ("vegan", "vegetarian")
    assert found.line == "Suitable for vegans and vegetarians, going by our suppliers' papers."
    assert found.refused == ()


def test_what_it_does_not_support_is_not_printed_and_says_why(kitchen: Kitchen) -> None:
    found = held(kitchen, "5 g gelatine gums", claims="vegetarian")
    assert found.line == ""
    (refused,) = found.refused
    assert "gelatine gums" in refused.reason
    assert refused.as_text().startswith("'plate' is not marked 'vegetarian': ")


def test_milk_is_vegetarian_and_not_vegan(kitchen: Kitchen) -> None:
    found = held(kitchen, "5 g house cream", claims="vegetarian, vegan")
    assert found.supported == ("vegetarian",)
    assert [one.claim for one in found.refused] == ["vegan"]


def test_an_unsettled_ingredient_refuses(kitchen: Kitchen) -> None:
    found = held(kitchen, "5 g nut paste", claims="vegetarian")
    (refused,) = found.refused
    assert "the papers do not settle 'nut paste'" in refused.reason
    assert "'nut paste'" in refused.mend


@pytest.mark.parametrize("claim", ["coeliacs", "nuts", "halal", "kosher", "gluten free", "flexitarians", "everybody"])
def test_nothing_else_is_a_claim(kitchen: Kitchen, claim: str) -> None:
    """The contract, section 3: never 'free from'; certification is nobody's to give here."""
    found = held(kitchen, "5 g sugar syrup", claims=claim)
    assert found.line == ""
    assert len(found.refused) == 1
    assert found.refused[0].reason


def test_refused_claims_are_advice_with_their_line(kitchen: Kitchen) -> None:
    found = opened(kitchen, dish("5 g gelatine gums", claims="vegetarian"))
    (advice,) = claims_advice(found.declarer)
    assert advice.field == "suitable_for"
    assert advice.origin.line > 0
    assert "'vegetarian' of 'plate' is not printed" in advice.problem


@pytest.mark.parametrize(
    ("law", "ending", "statements", "due"),
    [
        # Calorie Labelling (Out of Home Sector) (England) Regulations 2021, regulation 5, as printed there.
        ("gb", " kcal) a portion", ("adults need around 2000 kcal a day",), True),
        # 21 CFR 101.11(b)(2)(i)(A)(3), (B) and (C), as printed there.
        (
            "us",
            " Calories a portion",
            (
                "2,000 calories a day is used for general nutrition advice, but calorie needs vary.",
                "Additional nutrition information available upon request.",
            ),
            True,
        ),
        ("eu", " kcal) a portion", (), False),
    ],
)
def test_energy_stands_as_its_law_prints_it(
    kitchen: Kitchen, law: str, ending: str, statements: tuple[str, ...], due: bool
) -> None:
    text = dish("100 g house cream", claims="vegetarian")
    declaration = opened(kitchen, text, law=law).declarer.dish("plate")
    found = energy_lines(declaration)
    assert found.line.endswith(ending)
    assert declaration.declared_per_portion["energy_kcal"] in found.line
    assert found.statements == statements
    assert found.due is due
    assert found.missing == ()


def test_childrens_menus_have_their_own_words(kitchen: Kitchen) -> None:
    """21 CFR 101.11(b)(2)(i)(B), ages 4 to 8; in England the statement of adults is left off children's menus (regulation 5)."""
    text = dish("100 g house cream", claims="vegetarian")
    american = energy_lines(opened(kitchen, text, law="us").declarer.dish("plate"), children=True)
    assert american.statements[0].startswith("1,200 to 1,400 calories a day")
    british = energy_lines(opened(kitchen, text, law="gb").declarer.dish("plate"), children=True)
    assert british.statements == ()


def test_energy_with_a_gap_is_not_printed(kitchen: Kitchen) -> None:
    declaration = opened(kitchen, dish("5 g nut paste", claims="")).declarer.dish("plate")
    found = energy_lines(declaration)
    assert found.line == ""
    assert found.missing == ("nut paste",)


def test_a_batch_has_no_portion(kitchen: Kitchen) -> None:
    found = opened(kitchen, "- preparation: custard\n  takes: [500 g house cream]\n")
    assert energy_lines(found.declarer.given("custard")).line == ""


def test_the_words_of_a_dish_stand_together(kitchen: Kitchen) -> None:
    found = opened(kitchen, dish("50 g house cream", "10 ml house gin", "5 g nut paste", claims="vegetarian"))
    words = dish_words(found.declarer, "plate", language="de", printed_on=DAY)
    assert (words.name, words.description, words.course) == ("plate", "on ice", "dessert")
    assert words.day == "25 November 2026"
    assert words.in_language is not None
    assert words.in_language.contains[0] == "Milch"
    assert {one.group for one in words.unvouched} >= {"soya", "alcohol"}
    assert words.claims.refused
    for word in ("tell us", "one kitchen", "not analysed"):
        assert word in words.caution


def test_check_advises_of_claims_that_are_not_printed(kitchen: Kitchen) -> None:
    kitchen.write(HOUSE + dish("5 g gelatine gums", claims="vegetarian"), law="gb")
    (advice,) = [one for one in kitchen.advice() if one["field"] == "suitable_for"]
    assert advice["line"] > 0
    assert "is not printed: it holds gelatine gums" in advice["problem"]
    kitchen.write(HOUSE + dish("5 g sugar syrup", claims="vegan"), law="gb")
    assert [one for one in kitchen.advice() if one["field"] == "suitable_for"] == []
