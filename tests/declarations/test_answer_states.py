"""What is read out in each of the four states, for every kind of question: words it must have, words it must never have."""

import itertools
import re

import pytest

from tests.kitchens import Kitchen, plate, run

ON = ("--on", "2026-11-25")
HOUSE = """
- ingredient: plain syrup
  spec: {statement: "Water, sugar"}
- ingredient: full thing
  spec: {statement: "HAZELNUTS, cream (MILK), pork, garlic, white wine, coffee"}
- ingredient: warned thing
  spec: {statement: "Water, sugar", may_contain: "hazelnuts, milk"}
- ingredient: bare thing
- ingredient: garlic warned thing
  spec: {statement: "Water, sugar. May contain garlic."}
"""
# Section 3 of the contract: never "free from", never a tick, never "traces"; design: never "cooks off". "Safe" is nobody's to say.
NEVER = (
    "free from", "-free", " free ", "trace", "cooks off", "cook off", "cooked off", "burns off", "evaporat", "safe", "✓", "✔", "☑", "suitable", "certified",
    "guarantee", "definitely", "none of",
)  # fmt: skip
QUESTIONS = ("nuts", "dairy", "hazelnut", "pork", "garlic", "caffeine", "alcohol")
# The words of section 3 of the contract for each state.
MUST = {
    "contains": ("Yes",),
    "may contain": ("It is not in the recipe, but", "may contain"),
    "unconfirmed": ("We do not know. Ask the kitchen before you serve it.", "Not known"),
    "none declared": ("not in the recipe, going by our suppliers' papers", "Still tell the kitchen"),
}
MUST_NOT = {
    "contains": ("not in the recipe", "We do not know."),
    "may contain": ("Yes", "going by our suppliers' papers"),
    "unconfirmed": ("not in the recipe", "Yes", "going by our suppliers' papers"),
    "none declared": ("Yes", "We do not know"),
}
PLATES = {
    "contains": "10 g full thing",
    "may contain": "10 g warned thing",
    "unconfirmed": "10 g bare thing",
    "none declared": "10 g plain syrup",
}


def assert_never(page: str) -> None:
    """Find none of the words nobody may say; 'the safest is no alcohol at all' is the Chief Medical Officers' own wording (2016)."""
    text = " ".join(page.casefold().split()).replace("the safest is no alcohol at all", "")
    for words in NEVER:
        assert words not in text, words


@pytest.mark.parametrize(("state", "about"), list(itertools.product(PLATES, QUESTIONS)))
def test_words_of_each_state(kitchen: Kitchen, state: str, about: str) -> None:
    if state == "may contain" and about not in ("nuts", "dairy", "hazelnut"):
        return  # this supplier warns of these only
    kitchen.write(HOUSE + plate(PLATES[state]), law="gb")
    ran = run("answer", kitchen.folder, "--of", "plate", "--about", about, "--json", *ON)
    found = ran.json()
    assert found["status"] == state
    assert ran.code == (3 if state == "unconfirmed" else 0)
    for words in MUST[state]:
        assert words in found["sentence"]
    for words in MUST_NOT[state]:
        assert words not in found["sentence"]
    page = run("answer", kitchen.folder, "--of", "plate", "--about", about, *ON).out
    assert_never(page)
    assert found["sentence"] in " ".join(page.split())
    assert "plate" in page  # says which dish it took


@pytest.mark.parametrize("about", QUESTIONS)
def test_not_known_beside_another_status_is_said_as_well(kitchen: Kitchen, about: str) -> None:
    """The contract: whenever anything is unconfirmed under another status than contains, both are said, and the code is 3."""
    kitchen.write(HOUSE + plate("10 g full thing", "10 g bare thing"))
    found = run("answer", kitchen.folder, "--of", "plate", "--about", about, "--json", *ON).json()
    assert found["status"] == "contains"
    assert found["sentence"].startswith("Yes")
    assert "bare thing" in found["sentence"]
    if about in ("nuts", "dairy", "hazelnut"):
        kitchen.write(HOUSE + plate("10 g warned thing", "10 g bare thing"))
        ran = run("answer", kitchen.folder, "--of", "plate", "--about", about, "--json", *ON)
        assert ran.code == 3
        assert ran.json()["status"] == "may contain"
        assert ran.json()["sentence"].startswith("We do not know. Ask the kitchen before you serve it.")
        assert "It is not in the recipe, but" in ran.json()["sentence"]
        assert "bare thing" in ran.json()["sentence"]


def test_the_lists_of_dishes_never_claim(kitchen: Kitchen) -> None:
    kitchen.write(HOUSE + "".join(plate(line, name=f"the {state} dish") for state, line in PLATES.items()), law="gb")
    for about in QUESTIONS:
        page = run("answer", kitchen.folder, "--without", about, *ON).out
        assert_never(page)
        assert "going by our suppliers' papers" in page
        assert "We do not know. Ask the kitchen before you serve it" in page
        known = page.split("We do not know")[0]
        assert "unconfirmed dish" not in known
        assert "contains dish" not in known


@pytest.mark.parametrize(
    ("group", "words"),
    [
        ("gluten", "Cereals containing gluten are not in the recipe"),
        ("nuts", "Nuts are not in the recipe"),
        ("milk", "Milk is not in the recipe"),
        ("sulphites", "Sulphites (wine, dried fruit) are not in the recipe"),
        ("crustaceans", "Crustaceans (prawn, crab) are not in the recipe"),
        ("molluscs", "Molluscs (mussel, squid) are not in the recipe"),
        ("fish", "Fish is not in the recipe"),
        ("shellfish", "Neither crustaceans (prawn, crab) nor molluscs (mussel, squid) are in the recipe"),
    ],
)
def test_verbs_agree_and_groups_have_their_examples(kitchen: Kitchen, group: str, words: str) -> None:
    """The contract, section 3: examples at the table for crustaceans, molluscs and sulphites."""
    kitchen.write(HOUSE + plate("10 g plain syrup"))
    ran = run("answer", kitchen.folder, "--of", "plate", "--about", group, "--json", *ON)
    assert ran.json()["sentence"].startswith(words)


def test_no_figure_is_not_nought(kitchen: Kitchen) -> None:
    """'At least 0 g' would be heard as none."""
    kitchen.write(HOUSE + plate("10 g plain syrup"))
    ran = run("answer", kitchen.folder, "--of", "plate", "--about", "carbs", "--json", *ON)
    assert ran.code == 3
    assert ran.json()["sentence"].startswith("We do not know.")
    assert not re.search(r"\b0 g\b", ran.json()["sentence"])
    assert "plain syrup" in ran.json()["sentence"]


def test_lactose_says_that_it_is_answered_as_milk(kitchen: Kitchen) -> None:
    kitchen.write('- ingredient: easy milk\n  spec: {statement: "Lactose-free MILK"}\n' + plate("10 g easy milk"))
    page = " ".join(run("answer", kitchen.folder, "--of", "plate", "--about", "lactose", *ON).out.split())
    assert "Lactose is answered as milk" in page


@pytest.mark.parametrize(
    ("pack", "amount"),
    [("  per_100_g: {caffeine_mg: 80}\n", 40.0), ("", None)],
)
def test_caffeine_has_an_amount_only_where_a_pack_gives_it(kitchen: Kitchen, pack: str, amount: float | None) -> None:
    """80 mg in 100 g (a pack's figure, ours) are 40 mg in 50 g; without a figure it contains caffeine and nobody says how much."""
    kitchen.write(
        '- ingredient: cold coffee\n  spec: {statement: "Water, coffee"}\n' + pack + plate("50 g cold coffee")
    )
    ran = run("answer", kitchen.folder, "--of", "plate", "--about", "caffeine", "--json", *ON)
    assert ran.json()["status"] == "contains"
    assert ran.json().get("amount") == (pytest.approx(amount) if amount is not None else None)
    page = " ".join(run("answer", kitchen.folder, "--of", "plate", "--about", "caffeine", *ON).out.split())
    assert ("40 mg of caffeine" in page) == (amount is not None)
    assert ("There is no figure of caffeine for cold coffee" in page) == (amount is None)


SWAPS = """
- ingredient: praline
  spec: {statement: "HAZELNUTS, sugar"}
- ingredient: almond crumb
  spec: {statement: "ALMONDS, sugar"}
- ingredient: wheat crumb
  spec: {statement: "WHEAT flour, sugar"}
- ingredient: rum syrup
  spec: {statement: "Sugar, rum"}
- ingredient: seed warned crumb
  spec: {statement: "Oat-like seeds, sugar", may_contain: "sesame"}
- ingredient: listed crumb
  spec: {declares: [soya]}
- ingredient: plain crumb
  spec: {statement: "Maize, sugar"}
"""


@pytest.mark.parametrize(
    ("instead", "brings"),
    [
        ("wheat crumb", ("gluten",)),
        ("rum syrup", ("alcohol",)),
        ("almond crumb", ("almond",)),
        ("seed warned crumb", ("sesame",)),
        ("plain crumb", ()),
    ],
)
def test_a_swap_says_what_it_brings(kitchen: Kitchen, instead: str, brings: tuple[str, ...]) -> None:
    """Issue 7: a swap never brings in something else the guest avoids without saying so."""
    kitchen.write(SWAPS + plate(f"10 g praline, or 10 g {instead}", "5 g plain crumb"))
    for flags in (("--of", "plate", "--about", "hazelnut"), ("--without", "hazelnut")):
        page = " ".join(run("answer", kitchen.folder, *flags, *ON).out.split())
        assert instead in page
        for words in brings:
            assert re.search(rf"{instead}[^.]*brings[^.]*{words}", page), page
        assert ("brings" in page) == bool(brings)


def test_a_swap_that_brings_another_thing_the_guest_avoids_is_not_offered(kitchen: Kitchen) -> None:
    kitchen.write(
        SWAPS
        + plate("10 g praline, or 10 g wheat crumb, or 10 g plain crumb", name="one clean")
        + plate("10 g praline, or 10 g wheat crumb", name="none clean")
        + plate("10 g praline, or 10 g rum syrup", name="with rum")
        + plate("10 g praline, or 10 g listed crumb", name="not known")
    )
    flags = ("--without", "nuts", "--without", "gluten", "--without", "alcohol")
    found = run("answer", kitchen.folder, *flags, "--json", *ON).json()
    assert found["suits_if"] == [{"dish": "one clean", "leave_off": [], "swap": ["plain crumb"]}]
    assert sorted(found["does_not"]) == ["none clean", "not known", "with rum"]


def test_leaving_off_the_sauce_does_not_sober_the_fruit(kitchen: Kitchen) -> None:
    """Issue 7: a dish whose fruit still holds spirit is not without alcohol because the sauce was left off."""
    kitchen.write(
        """
- ingredient: house gin
  composition: sr28:14037
  strength: 40 % vol
- preparation: damson gin
  takes: [600 g damsons, 750 ml house gin]
  method:
    - macerate: {solids: [damsons], for: 3 weeks, as: pricked}
    - strain: {holds: 8 %}
  gives: {damson gin: liquor, steeped damsons: solids}
"""
        + plate("60 g steeped damsons", "20 ml damson gin, optional", name="fruit stays")
        + plate("60 g steeped damsons, optional", "20 ml damson gin, optional", "50 g plain flour", name="both go")
    )
    found = run("answer", kitchen.folder, "--without", "alcohol", "--json", *ON).json()
    assert found["does_not"] == ["fruit stays"]
    assert [one["dish"] for one in found["suits_if"]] == ["both go"]
    assert sorted(found["suits_if"][0]["leave_off"]) == ["damson gin", "steeped damsons"]
    tried = run(
        "whatif",
        kitchen.folder,
        "--of",
        "fruit stays",
        "--leave-off",
        "damson gin",
        "--inside",
        "plate",
        "--json",
        *ON,
    )
    after = tried.json()["after"]["alcohol"]
    assert after["status"] == "contains"
    assert after["ethanol_g"]["low"] > 0.0


def test_twenty_optional_parts_are_each_judged_rightly(kitchen: Kitchen) -> None:
    """20 parts, ten of which hold what is avoided: those and no others are left off, in the order of the plate; the figure is ours."""
    goods = ("praline", "plain crumb", "almond crumb", "plain crumb")
    lines = [f"{at + 1} g {goods[at % 4]}, optional" for at in range(20)]
    kitchen.write(SWAPS + plate("10 g plain crumb", *lines))
    found = run("answer", kitchen.folder, "--without", "nuts", "--json", *ON).json()
    assert found["suits_if"][0]["leave_off"] == ["praline", "almond crumb"] * 5
    swaps = [f"{at + 1} g {goods[at % 4]}, or {at + 1} g plain crumb, or {at + 1} g wheat crumb" for at in range(20)]
    kitchen.write(SWAPS + plate("10 g plain crumb", *swaps))
    found = run("answer", kitchen.folder, "--without", "nuts", "--without", "gluten", "--json", *ON).json()
    assert found["suits_if"][0] == {"dish": "plate", "leave_off": [], "swap": ["plain crumb"] * 10}
