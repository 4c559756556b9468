"""Answers about one dish, held to the words of the contract and to published definitions."""

import subprocess
import sys

import pytest

from labeller.declarations.answering_sentences import SMALL_GLASS_G, count_words, strength_words
from tests.kitchens import Kitchen, Ran, plate, run

HOUSE = """
- ingredient: hazelnut praline
  spec: {statement: "HAZELNUTS, sugar"}
- ingredient: oat biscuit
  spec: {statement: "Oats, sugar, spices", may_contain: "soya"}
- ingredient: nut paste
- ingredient: chopped kiwi mix
  spec: {statement: "Kiwi, mango, sugar"}
- ingredient: green sauce
  spec: {statement: "Water, oil of rapeseed, garlic powder, salt"}
- ingredient: set jelly
  spec: {statement: "Water, sugar, pork gelatine"}
- ingredient: house gin
  composition: sr28:14037
  strength: 40 % vol
- ingredient: damson cordial
  spec: {statement: "Water, sugar, damsons"}
- ingredient: plain sugar syrup
  spec: {statement: "Water, sugar"}
"""

# Section 3 of the contract: what must never be read out.
NEVER = ("free from", "trace", "cooks off", "cook off", "burns off", "safe")


def ask(kitchen: Kitchen, about: str, *more: str, dish: str = "plate") -> Ran:
    return run("answer", kitchen.folder, "--of", dish, "--about", about, "--on", "2026-11-25", *more)


@pytest.mark.parametrize(
    ("lines", "about", "status", "must", "code"),
    [
        (("12 g hazelnut praline",), "nuts", "contains", ("Yes: ", "hazelnut"), 0),
        (("12 g oat biscuit",), "soya", "may contain", ("It is not in the recipe, but", "may contain"), 0),
        (("12 g nut paste",), "soya", "unconfirmed", ("We do not know. Ask the kitchen before you serve it.",), 3),
        (
            ("12 g hazelnut praline",),
            "celery",
            "none declared",
            ("Celery is not in the recipe, going by our suppliers' papers. Still tell the kitchen.",),
            0,
        ),
    ],
)
def test_sentences_of_the_four_states(
    kitchen: Kitchen, lines: tuple[str, ...], about: str, status: str, must: tuple[str, ...], code: int
) -> None:
    """The contract, section 3: the words for each state, and those that never appear."""
    kitchen.write(HOUSE + plate(*lines))
    ran = ask(kitchen, about, "--json")
    found = ran.json()
    assert found["status"] == status
    assert ran.code == code
    text = ask(kitchen, about).out
    for words in must:
        assert words in found["sentence"]
        assert words.split(".")[0] in " ".join(text.split())
    for words in NEVER:
        assert words not in text.casefold()


def test_what_cannot_be_vouched_for_is_said_first(kitchen: Kitchen) -> None:
    """The contract: may contain with something unconfirmed says both, the unknown first, exit 3."""
    kitchen.write(HOUSE + plate("10 g oat biscuit", "10 g nut paste"))
    ran = ask(kitchen, "soya", "--json")
    found = ran.json()
    assert ran.code == 3
    assert found["status"] == "may contain"
    assert found["sentence"].startswith("We do not know. Ask the kitchen before you serve it.")
    assert "It is not in the recipe, but" in found["sentence"]
    assert found["unconfirmed"] == [["nut paste"]]


def test_contains_with_something_unconfirmed_is_exit_0_and_says_both(kitchen: Kitchen) -> None:
    """The contract, exit codes: 3 only where the status is not contains."""
    kitchen.write(HOUSE + plate("10 g hazelnut praline", "10 g nut paste"))
    ran = ask(kitchen, "nuts", "--json")
    assert ran.code == 0
    assert ran.json()["sentence"].startswith("Yes")
    assert "nut paste" in ran.json()["sentence"]


@pytest.mark.parametrize(
    ("about", "line", "status"),
    [
        ("dairy", "30 g butter", "contains"),
        ("shellfish", "30 g butter", "none declared"),
        ("gluten", "10 g oat biscuit", "contains"),
        ("hazelnut", "10 g hazelnut praline", "contains"),
        ("almond", "10 g hazelnut praline", "none declared"),
        ("almond", "10 g nut paste", "unconfirmed"),
        ("cod", "10 g hazelnut praline", "none declared"),
        ("gelatine", "10 g set jelly", "contains"),
        ("pork", "10 g set jelly", "contains"),
        ("pork", "10 g green sauce", "none declared"),
        ("kiwi", "10 g chopped kiwi mix", "contains"),
        ("Kiwis", "10 g chopped kiwi mix", "contains"),
        ("garlic", "10 g green sauce", "contains"),
        ("GARLIC", "10 g green sauce", "contains"),
        ("citrus", "10 g green sauce", "none declared"),
        ("kiwi", "10 g oat biscuit", "unconfirmed"),  # "spices" alone: not known
        ("kiwi", "10 g nut paste", "unconfirmed"),  # a bare name
        ("kiwi", "10 g caster sugar", "none declared"),
        ("caffeine", "10 g plain sugar syrup", "none declared"),
        ("wine", "20 ml house gin", "contains"),
        ("rum", "20 ml house gin", "contains"),  # any drink's name asks about alcohol
        ("oat flour", "10 g oat biscuit", "contains"),  # names its source
        ("alcohol", "10 g nut paste", "unconfirmed"),
        ("alcohol", "10 g plain sugar syrup", "none declared"),
        ("vegan", "10 g set jelly", "contains"),
        ("vegetarian", "10 g plain sugar syrup", "none declared"),
        ("vegetarian", "10 g nut paste", "unconfirmed"),
        ("vegan", "30 g butter", "contains"),
    ],
)
def test_words_guests_use(kitchen: Kitchen, about: str, line: str, status: str) -> None:
    """The words of issue and contract, each looked for through compounds."""
    kitchen.write(HOUSE + plate(line))
    ran = ask(kitchen, about, "--json")
    assert ran.json()["status"] == status, ran.out
    assert ran.code == (3 if status == "unconfirmed" else 0)


def test_composite_row_never_shows_that_something_is_not_in_it(kitchen: Kitchen) -> None:
    """The contract: a composite row (18151, a chocolate chip biscuit) leaves an ingredient word open; plain kiwi does not."""
    kitchen.write(
        "- ingredient: bought biscuit\n  composition: sr28:18151\n- ingredient: plain flour of ours\n  composition: sr28:20081\n"
        + plate("5 g bought biscuit")
        + plate("5 g plain flour of ours", name="plain")
    )
    assert ask(kitchen, "kiwi", "--json").json()["status"] == "unconfirmed"
    assert ask(kitchen, "kiwi", "--json", dish="plain").json()["status"] == "none declared"


def test_a_part_named_after_it_is_not_taken_for_bare(kitchen: Kitchen) -> None:
    """A garlic butter with no garlic in the book is not known; one with garlic is known, and its butter is not doubted."""
    kitchen.write(
        "- preparation: garlic butter\n  takes: [100 g butter]\n- preparation: true garlic butter\n  takes: [90 g butter, 10 g garlic]\n"
        + plate("5 g garlic butter")
        + plate("5 g true garlic butter", name="other")
    )
    assert ask(kitchen, "garlic", "--json").json()["unconfirmed"] == [["garlic butter"]]
    found = ask(kitchen, "garlic", "--json", dish="other").json()
    assert (found["status"], found["unconfirmed"]) == ("contains", [])


@pytest.mark.parametrize(
    ("statement", "status"),
    [
        ("Sugar, spices (pepper, mace)", "none declared"),
        ("Sugar, natural flavouring (MILK)", "unconfirmed"),  # names the allergen, not the whole of it
        ("Zucker, Gewürze", "unconfirmed"),
        ("Sucre, arômes", "unconfirmed"),
        ("Sugar, passion fruit", "none declared"),
        ("Sugar, fruit", "unconfirmed"),
        ("Sugar. May contain kiwi.", "may contain"),
        ("Sugar. Contains no kiwi.", "none declared"),
        ("Sucre, purée de kiwis", "contains"),
        ("Filling (sugar, fruit layer (mango, kiwi 2 %))", "contains"),
    ],
)
def test_ingredient_word_by_what_a_statement_says(kitchen: Kitchen, statement: str, status: str) -> None:
    """The contract: where a statement says only spices or flavouring the answer is not known."""
    kitchen.write(f"- ingredient: bought thing\n  spec: {{statement: '{statement}'}}\n" + plate("5 g bought thing"))
    assert ask(kitchen, "kiwi", "--json").json()["status"] == status


def test_a_word_of_the_books_own_papers_can_be_asked(kitchen: Kitchen) -> None:
    kitchen.write("- ingredient: bought thing\n  spec: {statement: 'Sugar, zedoary'}\n" + plate("5 g bought thing"))
    assert ask(kitchen, "zedoary", "--json").json()["status"] == "contains"
    assert ask(kitchen, "zedaory").code == 2


def test_potassium_of_a_banana(kitchen: Kitchen) -> None:
    """USDA National Nutrient Database for Standard Reference, Release 28, row 09040: bananas, raw, 358 mg potassium in 100 g."""
    kitchen.write("- ingredient: ripe banana of ours\n  composition: sr28:09040\n" + plate("50 g ripe banana of ours"))
    assert ask(kitchen, "potassium", "--json").json()["amount"] == pytest.approx(179.0)


def test_lemon_is_not_orange_and_citrus_is_both(kitchen: Kitchen) -> None:
    """A narrower word than the source: common practice, no source."""
    kitchen.write(
        '- ingredient: orange drop\n  spec: {statement: "Sugar, orange juice"}\n'
        '- ingredient: sour drop\n  spec: {statement: "Sugar, citrus juice"}\n'
        + plate("5 g orange drop")
        + plate("5 g sour drop", name="sour")
    )
    assert ask(kitchen, "lemon", "--json").json()["status"] == "none declared"
    assert ask(kitchen, "citrus", "--json").json()["status"] == "contains"
    assert ask(kitchen, "lemon", "--json", dish="sour").json()["status"] == "unconfirmed"


@pytest.mark.parametrize(
    ("about", "says"),
    [("kiwwi", "'kiwi'"), ("hazlenut", "'hazelnut'"), ("and", "nothing")],
)
def test_unknown_words_are_refused_with_the_nearest(kitchen: Kitchen, about: str, says: str) -> None:
    kitchen.write(HOUSE + plate("10 g hazelnut praline"))
    ran = ask(kitchen, about)
    assert ran.code == 2
    assert ran.out == ""
    assert says in ran.err


def test_alcohol_leads_with_what_and_how_strong(kitchen: Kitchen) -> None:
    """20 ml of a drink of 40 % vol hold 8 ml, 6.3 g of ethanol (0.78924 g/ml at 20 C, OIML R 22 (1975)): 0.79 of a unit of 8 g
    (UK Chief Medical Officers' low risk drinking guidelines, 2016: one unit is 10 ml or 8 g)."""
    kitchen.write(HOUSE + plate("20 ml house gin, or 20 g damson cordial"), law="gb")
    ran = ask(kitchen, "alcohol", "--json")
    found = ran.json()
    assert found["status"] == "contains"
    assert found["ethanol_g"]["estimate"] == pytest.approx(8.0 * 0.78924, rel=0.01)
    assert found["ethanol_g"]["low"] <= found["ethanol_g"]["estimate"] <= found["ethanol_g"]["high"]
    assert found["sentence"].startswith(
        "Yes. Uncooked house gin, as strong as a spirit, about three quarters of a UK unit in the portion."
    )
    assert found["swap"] == ["damson cordial"]
    text = " ".join(ask(kitchen, "alcohol").out.split())
    for word in ("pregnancy", "children", "recovery", "medicines", "faiths"):
        assert word in text
    assert "% vol" in text  # which side of the law's thresholds


def test_fruit_that_holds_spirit_answers_for_itself(kitchen: Kitchen) -> None:
    """Drained fruit keeps spirit: the way leads through it, and the figure agrees with the declaration."""
    kitchen.write(
        HOUSE
        + """
- preparation: damson gin
  takes: [600 g damsons, 750 ml house gin]
  method:
    - macerate: {solids: [damsons], for: 3 weeks, as: pricked}
    - strain: {holds: 8 %}
  gives: {damson gin: liquor, steeped damsons: solids}
"""
        + plate("60 g steeped damsons", "20 ml damson gin, optional"),
        law="gb",
    )
    found = ask(kitchen, "alcohol", "--json").json()
    assert ["steeped damsons", "house gin"] in found["because"]
    assert found["optional"] == ["damson gin"]
    assert found["ethanol_g"] == kitchen.one("plate")["alcohol"]["ethanol_g"]
    assert "That is not enough" in ask(kitchen, "alcohol").out
    assert run("answer", kitchen.folder, "--without", "alcohol", "--json").json()["does_not"] == ["plate"]


def test_carbohydrate_is_an_amount_with_what_is_missing(kitchen: Kitchen) -> None:
    """Caster sugar of the shelf is all but pure sucrose: 10 g of it hold close to 10 g of carbohydrate."""
    kitchen.write(HOUSE + plate("10 g caster sugar") + plate("10 g caster sugar", "5 g nut paste", name="other"))
    ran = ask(kitchen, "carbohydrate", "--json")
    assert ran.code == 0
    assert ran.json()["amount"] == pytest.approx(10.0, abs=0.1)
    ran = ask(kitchen, "carbs", "--json", dish="other")
    assert ran.code == 3
    assert ran.json()["status"] == "unconfirmed"
    assert ran.json()["unconfirmed"] == [["nut paste"]]
    assert ran.json()["sentence"].startswith("We do not know.")


def test_optional_and_swap_are_judged_one_by_one(kitchen: Kitchen) -> None:
    kitchen.write(
        HOUSE
        + plate("10 g hazelnut praline, optional", "10 g nut paste, or 10 g plain sugar syrup", "5 g caster sugar")
    )
    found = ask(kitchen, "hazelnut", "--json").json()
    assert found["optional"] == ["hazelnut praline"]
    assert found["swap"] == ["plain sugar syrup"]


def test_shared_machine_is_said_as_such(kitchen: Kitchen) -> None:
    """The contract, section 3: 'It is not in the recipe, but it is churned in the same machine as the hazelnut ice.'"""
    kitchen.write(
        "- kitchen: The Saltmarsh Room\n  jurisdiction: eu\n  shared_equipment: [churn]\n"
        + HOUSE
        + """
- preparation: hazelnut ice
  takes: [100 g hazelnut praline]
  made_on: [churn]
- preparation: plain ice
  takes: [100 g plain sugar syrup]
  made_on: [churn]
"""
        + plate("60 g plain ice"),
        law=None,
    )
    found = ask(kitchen, "nuts", "--json").json()
    assert found["status"] == "may contain"
    assert "the plain ice is made on the same churn as the hazelnut ice" in found["sentence"]
    assert ask(kitchen, "hazelnut", "--json").json()["status"] == "may contain"
    assert ask(kitchen, "almond", "--json").json()["status"] == "none declared"


def test_gluten_is_answered_where_the_law_has_only_wheat(kitchen: Kitchen) -> None:
    """The United States regulate wheat, not gluten (21 U.S.C. 321(qq)); a guest may still ask, and oats count."""
    kitchen.write('- ingredient: oat drink\n  spec: {statement: "Water, oats"}\n' + plate("10 g oat drink"), law="us")
    assert ask(kitchen, "gluten", "--json").json()["status"] == "contains"
    assert ask(kitchen, "wheat", "--json").json()["status"] == "none declared"


def test_small_glass_by_its_definition() -> None:
    """125 ml (Weights and Measures (Intoxicating Liquor) Order 1988) at 12 % vol is 15 ml of ethanol: 1.5 UK units of 10 ml."""
    assert pytest.approx(15.0 * 0.78924) == SMALL_GLASS_G


@pytest.mark.parametrize(
    ("percent_vol", "words"),
    [
        (40.0, "a spirit"),  # gin at least 37.5 % vol: Regulation (EU) 2019/787, Annex I, 20
        (37.5, "a spirit"),
        (15.0, "a liqueur"),  # liqueur at least 15 % vol: the same, 33
        (12.0, "wine"),  # wine at least 8.5 % vol: Regulation (EU) No 1308/2013, Annex VII, Part II, 1
        (5.0, "as strong as beer"),
        (1.0, "weaker than beer"),
    ],
)
def test_strength_is_compared_with_drinks_by_their_legal_minimum(percent_vol: float, words: str) -> None:
    assert words in strength_words(percent_vol)


@pytest.mark.parametrize(
    ("count", "words"),
    [(0.66, "two thirds of a"), (0.5, "half a"), (1.0, "one UK unit"), (0.01, "less than"), (7.6, "8 UK units")],
)
def test_counts_in_plain_words(count: float, words: str) -> None:
    assert words in count_words(count, "UK unit")


def test_nothing_heavy_is_imported_on_the_way(kitchen: Kitchen) -> None:
    """Issue 7, speed: a look at sys.modules in a fresh process."""
    kitchen.write(HOUSE + plate("10 g hazelnut praline"))
    script = (
        "import sys; from labeller.cli.answer import answer; "
        f"from pathlib import Path; answer(Path({str(kitchen.folder)!r}), 'plate', 'nuts', [], None, None, None, True); "
        "heavy = [one for one in ('pandas', 'pydantic', 'reportlab', 'requests', 'rich') if one in sys.modules]; "
        "sys.exit(','.join(heavy) or 0)"
    )
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr
