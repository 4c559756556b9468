"""Words guests use: what each asks about, and that a claim, a vague paper or a hidden source never becomes 'not in the recipe'."""

import pytest

from tests.kitchens import Kitchen, Ran, plate, run

ON = ("--on", "2026-11-25")


def ask(kitchen: Kitchen, about: str, *more: str, dish: str = "plate") -> Ran:
    return run("answer", kitchen.folder, "--of", dish, "--about", about, *ON, *more)


def bought(statement: str, name: str = "bought thing") -> str:
    return f"- ingredient: {name}\n  spec: {{statement: '{statement}'}}\n"


# Whole statements, what the guest says, and the status that follows from Annex II of Regulation (EU) No 1169/2011 (for words of its
# groups) or from the plain meaning of the word (common practice, no source).
MEANT = [
    ("Cream, salt", "dairy", "contains"),
    ("Whey powder", "dairy", "contains"),
    ("Water, sugar", "dairy", "none declared"),
    ("Prawns, salt", "shellfish", "contains"),
    ("Squid, salt", "shellfish", "contains"),
    ("Cod, salt", "shellfish", "none declared"),
    ("Cod, salt", "seafood", "contains"),
    ("Mussels", "seafood", "contains"),
    ("Chicken, salt", "seafood", "none declared"),
    ("Barley malt", "gluten", "contains"),
    ("Oats", "coeliac", "contains"),
    ("Maize starch", "coeliac", "none declared"),
    ("Almonds", "nuts", "contains"),
    ("Almonds", "tree nuts", "contains"),
    ("Peanuts", "tree nuts", "none declared"),
    ("White wine, water", "wine", "contains"),
    ("Vinegar, water", "wine", "none declared"),
    ("Water, gelatine", "gelatine", "contains"),
    ("Water, gelatine", "pork", "unconfirmed"),  # gelatine whose animal the paper does not name
    ("Water, beef gelatine", "pork", "none declared"),
    ("Water, lard", "pork", "contains"),
    ("Beef, salt", "meat", "contains"),
    ("Water, pork gelatine", "meat", "contains"),
    ("Cod", "meat", "none declared"),
    ("Water, coffee", "caffeine", "contains"),
    ("Sugar, green tea extract", "caffeine", "contains"),
    ("Milk powder, sugar", "lactose", "contains"),
    ("Lactose-free milk", "lactose", "contains"),  # counts as milk: nobody measured what is left
    ("Salt, monosodium glutamate", "MSG", "contains"),
    ("Salt, flavour enhancer: E621", "MSG", "contains"),
    ("Salt, sugar", "MSG", "none declared"),
    ("Lemon juice, water", "citrus", "contains"),
    ("Kiwi puree", "kiwi", "contains"),
    ("Garlic powder, salt", "garlic", "contains"),
]


@pytest.mark.parametrize(("statement", "about", "status"), MEANT)
def test_what_guests_say(kitchen: Kitchen, statement: str, about: str, status: str) -> None:
    kitchen.write(bought(statement) + plate("10 g bought thing"))
    ran = ask(kitchen, about, "--json")
    assert ran.json()["status"] == status, ran.json()["sentence"]
    assert ran.code == (3 if status == "unconfirmed" else 0)


@pytest.mark.parametrize(
    ("statement", "status"),
    [
        # Coffee, cocoa, tea, guarana and kola hold caffeine: EFSA Journal 2015;13(5):4102, section 1.
        ("Cocoa mass, sugar, cocoa butter", "contains"),
        ("Kakaomasse, Zucker", "contains"),
        ("Sugar, guarana", "contains"),
        ("Dark chocolate (cocoa mass, sugar)", "contains"),
        ("Sugar, cocoa butter", "none declared"),  # the fat of the bean (common practice, no source)
        ("White chocolate (sugar, cocoa butter, milk powder)", "none declared"),
    ],
)
def test_caffeine_comes_with_cocoa_too(kitchen: Kitchen, statement: str, status: str) -> None:
    kitchen.write(bought(statement) + plate("10 g bought thing"))
    assert ask(kitchen, "caffeine", "--json").json()["status"] == status


@pytest.mark.parametrize("good", ["cocoa powder", "espresso", "instant coffee", "brewed black tea"])
def test_caffeine_of_the_shelf(kitchen: Kitchen, good: str) -> None:
    kitchen.write(plate(f"10 g {good}"))
    assert ask(kitchen, "caffeine", "--json").json()["status"] == "contains"


@pytest.mark.parametrize(
    "vague",
    [
        "spices", "flavouring", "natural flavourings", "mixed spice", "seasoning", "herbs", "curry powder", "marinade", "bouillon", "vegetable stock",
        "worcester sauce", "mayonnaise", "hummus", "aioli", "tiramisu", "pork sausage", "tomato ketchup", "Gewürze", "arômes",
    ],
)  # fmt: skip
def test_garlic_is_not_known_where_a_paper_says_only_so_much(kitchen: Kitchen, vague: str) -> None:
    """The contract: where a spec says only 'spices' or 'flavouring' the answer is 'not known', exit 3, and the sentence says so first."""
    kitchen.write(bought(f"Water, salt, {vague}") + plate("10 g bought thing"))
    ran = ask(kitchen, "garlic", "--json")
    assert ran.code == 3
    assert ran.json()["status"] == "unconfirmed"
    assert ran.json()["sentence"].startswith("We do not know.")
    assert ran.json()["unconfirmed"] == [["bought thing"]]


@pytest.mark.parametrize(
    ("statement", "about", "status"),
    [
        # Two names of one thing, and names that leave it open: common practice, no source.
        ("Shrimp, salt", "prawn", "contains"),
        ("Prawns, salt", "shrimps", "contains"),
        ("Haddock, salt", "cod", "none declared"),
        ("Chili powder", "chilli", "contains"),
        ("Cayenne", "chili", "contains"),
        ("Eggplant", "aubergine", "contains"),
        ("Aubergine", "eggplant", "contains"),
        ("Zucchini", "courgettes", "contains"),
        ("Rocket", "arugula", "contains"),
        ("Palm fat", "palm oil", "contains"),
        ("Vegetable oil (palm)", "palm oil", "contains"),
        ("Vegetable oil", "palm oil", "unconfirmed"),
        ("Sunflower oil", "palm oil", "none declared"),
        ("Limoncello", "citrus", "unconfirmed"),
        ("Marmalade", "orange", "unconfirmed"),
        ("Citric acid", "citrus", "none declared"),  # made by fermentation
        ("Cod, beer batter", "alcohol", "contains"),  # an alcoholic word in the statement: the contract
        ("Pate", "pork", "unconfirmed"),
        ("Meat, salt", "pork", "unconfirmed"),
        ("Crab meat", "pork", "none declared"),
        ("Sausage", "beef", "unconfirmed"),
    ],
)
def test_other_names_of_the_same_thing(kitchen: Kitchen, statement: str, about: str, status: str) -> None:
    """A guest's word and the paper's word are seldom the same one."""
    kitchen.write(bought(statement) + plate("10 g bought thing"))
    assert ask(kitchen, about, "--json").json()["status"] == status


def test_a_list_behind_the_vague_word_settles_it(kitchen: Kitchen) -> None:
    kitchen.write(bought("Water, salt, spices (pepper, cumin)") + plate("10 g bought thing"))
    assert ask(kitchen, "garlic", "--json").json()["status"] == "none declared"


@pytest.mark.parametrize(
    ("claim", "instead"),
    [
        ("gluten-free", "'gluten'"),
        ("gluten free", "'gluten'"),
        ("lacto-free", "'lactose'"),
        ("lactose free", "'lactose'"),
        ("dairy-free", "'milk'"),
        ("nut free", "'nut'"),
        ("alcohol free", "'alcohol'"),
        ("non-alcoholic", "'alcohol'"),
        ("sugar-free", "'sugar'"),
        ("free from milk", "'milk'"),
        ("no nuts", "'nuts'"),
        ("without egg", "'egg'"),
        ("glutenfrei", "'gluten'"),
        ("sans gluten", "'gluten'"),
    ],
)
def test_a_claim_is_refused_and_what_to_ask_is_said(kitchen: Kitchen, claim: str, instead: str) -> None:
    """'Gluten-free is not in the recipe' would be read as the opposite of what it is: the claim is the law's (Regulation (EU) No 828/2014)."""
    kitchen.write(
        bought("Wheat flour")
        + bought("Milk, lactase", "lacto-free milk")
        + plate("10 g bought thing", "5 g lacto-free milk")
    )
    for flags in (("--of", "plate", "--about", claim), ("--without", claim)):
        ran = run("answer", kitchen.folder, *flags, *ON)
        assert ran.code == 2
        assert ran.out == ""
        assert instead in ran.err
        assert "claim" in ran.err


def test_free_range_eggs_and_a_thing_of_that_name_are_no_claims(kitchen: Kitchen) -> None:
    kitchen.write(bought("Milk, lactase", "lacto-free milk") + plate("10 g lacto-free milk", "10 g egg yolk"))
    assert ask(kitchen, "free range eggs", "--json").json()["status"] == "contains"
    assert ask(kitchen, "lacto-free milk", "--json").json()["status"] == "contains"


@pytest.mark.parametrize("word", ["halal", "kosher", "Halal"])
def test_no_certification_is_ever_given(kitchen: Kitchen, word: str) -> None:
    """Issue 7: plain facts, no alcohol and no pork, and never a certification."""
    kitchen.write(bought("Water, sugar") + plate("10 g bought thing"))
    ran = run("answer", kitchen.folder, "--without", word, *ON)
    assert ran.code == 2
    assert "certification" in ran.err
    assert "--without alcohol --without pork" in ran.err
    facts = run("answer", kitchen.folder, "--without", "alcohol", "--without", "pork", *ON)
    assert facts.code == 0
    for said in (word.casefold(), "certif"):
        assert said not in facts.out.casefold()


@pytest.mark.parametrize("word", ["halal", "kosher"])
@pytest.mark.parametrize(
    ("statement", "status", "says"),
    [
        ("Water, sugar", "none declared", ("alcohol: not in the recipe", "pork: not in the recipe")),
        ("Water, lard", "contains", ("alcohol: not in the recipe", "pork: in the dish (bought thing)")),
        ("Rum, sugar", "contains", ("alcohol: in the dish (bought thing)", "pork: not in the recipe")),
        ("Water, gelatine", "unconfirmed", ("pork: not known, ask the kitchen (bought thing)",)),
        ("Sugar. May contain pork.", "may contain", ("pork: not in the recipe, but it may be in the dish",)),
    ],
)
def test_what_only_certifiers_can_say_is_answered_with_plain_facts(
    kitchen: Kitchen, word: str, statement: str, status: str, says: tuple[str, ...]
) -> None:
    """Issue 7: 'no alcohol, no pork' as plain facts, never as a certification; neither yes nor no is ever said."""
    kitchen.write(bought(statement) + plate("10 g bought thing"))
    ran = ask(kitchen, word, "--json")
    found = ran.json()
    assert found["status"] == status
    assert ran.code == (3 if status == "unconfirmed" else 0)
    sentence = found["sentence"]
    assert sentence.startswith("We do not know.") == (status == "unconfirmed")
    assert f"Nobody here can certify '{word}'" in sentence
    for words in says:
        assert words in sentence.replace("Alcohol", "alcohol").replace("Pork", "pork")
    assert "Yes" not in sentence
    assert "No," not in sentence
    for language in ("fr", "de", "it", "es"):
        page = ask(kitchen, word, "--language", language).out
        assert word in page


@pytest.mark.parametrize("law", ["eu", "gb", "us", "ca", "au-nz", "codex"])
@pytest.mark.parametrize(
    "word",
    ["dairy", "shellfish", "gluten", "coeliac", "nuts", "lactose", "seafood", "wine", "egg", "peanut", "sesame"],
)
def test_every_word_is_known_under_every_law(kitchen: Kitchen, law: str, word: str) -> None:
    """A guest does not know which groups the law of the country names: a guest with coeliac disease asks in the United States as well."""
    kitchen.write(
        bought("Wheat flour, barley, milk, prawns, squid, almonds, egg, peanuts, sesame, wine")
        + plate("10 g bought thing"),
        law=law,
    )
    assert ask(kitchen, word, "--json").json()["status"] == "contains"
    kitchen.write(bought("Water, sugar") + plate("10 g bought thing"), law=law)
    assert ask(kitchen, word, "--json").json()["status"] == "none declared"


@pytest.mark.parametrize(
    ("word", "key"),
    [
        ("sugar", "sugars_g"),
        ("sugars", "sugars_g"),
        ("carbs", "carbohydrate_g"),
        ("carbohydrate", "carbohydrate_g"),
        ("salt", "salt_g"),
        ("fat", "fat_g"),
    ],
)
def test_a_nutrient_is_the_declarations_figure(kitchen: Kitchen, word: str, key: str) -> None:
    kitchen.write(plate("30 g caster sugar", "50 g double cream", "2 g salt"))
    found = ask(kitchen, word, "--json").json()
    assert found["amount"] == kitchen.one("plate")["nutrition"]["per_portion"][key]


def test_carbohydrate_for_one_who_doses_says_what_is_missing_and_how_much_of_the_weight(kitchen: Kitchen) -> None:
    """40 g of 100 g have no figure: 40 % of what goes in, by the weights on the plate."""
    kitchen.write("- ingredient: mystery paste\n" + plate("60 g caster sugar", "40 g mystery paste"))
    ran = ask(kitchen, "carbs", "--json")
    assert ran.code == 3
    assert ran.json()["sentence"].startswith("We do not know.")
    text = " ".join(ask(kitchen, "carbs").out.split())
    assert "mystery paste" in text
    assert "40.0%" in text or "40.0 %" in text or "40 %" in text


def test_meat_of_a_nut_is_no_meat(kitchen: Kitchen) -> None:
    """The row of coconut milk says 'liquid expressed from grated meat' (USDA SR28, NDB 12118); nothing of it is of an animal."""
    kitchen.write(
        "- {ingredient: coconut milk, composition: sr28:12118, spec: {statement: 'Coconut extract, water', may_contain: none}}\n"
        + plate("100 g coconut milk")
    )
    answered = ask(kitchen, "vegan")
    assert answered.code == 0
    assert answered.out.startswith("Nothing that a vegan does not eat is in the recipe")


def test_a_way_of_eating_is_not_named_as_a_food(kitchen: Kitchen) -> None:
    kitchen.write(bought("Cream, honey", "honeyed cream") + plate("100 g honeyed cream"))
    answered = ask(kitchen, "vegan")
    assert answered.out.startswith("No, not vegan: ")
    assert "or vegan" not in answered.out
    assert "and vegan" not in answered.out


_EVERYTHING = (
    '- ingredient: mix\n  spec: {statement: "WHEAT, prawns (CRUSTACEANS), EGG, PEANUTS, MILK, MUSSELS (MOLLUSCS), lentils, honey"}\n'
    + plate("100 g mix", "10 g sugar")
)


@pytest.mark.parametrize(
    ("word", "source"),
    [
        ("shell fish", "mussel"),  # one word in two
        ("Shell-fish", "prawn"),
        ("pea nuts", "peanut"),
        ("casein", "milk"),  # no milk without it
        ("whey", "milk"),
        ("sodium caseinate", "milk"),
        ("albumen", "egg"),
        ("ovalbumin", "egg"),
        ("cereals", "wheat"),
        ("grain", "wheat"),
        ("wheat flour", "wheat"),
        ("milk powder", "milk"),
    ],
)
@pytest.mark.parametrize("law", ["eu", "us", "ca"])
def test_a_word_for_a_part_finds_the_whole(kitchen: Kitchen, law: str, word: str, source: str) -> None:
    """'Casein is not in the recipe' would be false of every dish with milk (common practice, no source)."""
    kitchen.write(_EVERYTHING, law=law)
    ran = run("answer", kitchen.folder, "--of", "plate", "--about", word, "--json")
    assert ran.json()["status"] == "contains"
    assert source in ran.json()["sentence"]


@pytest.mark.parametrize("word", ["fruits de mer", "Meeresfrüchte", "mariscos", "frutti di mare", "zeevruchten"])
def test_seafood_in_the_words_of_other_tables(kitchen: Kitchen, word: str) -> None:
    kitchen.write(_EVERYTHING)
    assert ask(kitchen, word, "--json").json()["status"] == "contains"


@pytest.mark.parametrize("word", ["Fleisch", "viande", "carne", "vlees"])
def test_meat_in_the_words_of_other_tables(kitchen: Kitchen, word: str) -> None:
    kitchen.write(bought("Beef, salt") + plate("10 g bought thing"))
    assert ask(kitchen, word, "--json").json()["status"] == "contains"


@pytest.mark.parametrize("word", ["vegetarisch", "végétarien", "vegetariano", "végane", "vegano"])
def test_ways_of_eating_in_the_words_of_other_tables(kitchen: Kitchen, word: str) -> None:
    kitchen.write(bought("Beef, salt") + plate("10 g bought thing"))
    assert ask(kitchen, word).out.startswith("No, not veg")


@pytest.mark.parametrize("word", ["legumes", "pulses", "seeds", "berries", "spices", "fruit", "animal", "fructose"])
@pytest.mark.parametrize("asking", [("--of", "plate", "--about"), ("--without",)])
def test_a_word_for_many_foods_is_never_said_to_be_absent(
    kitchen: Kitchen, word: str, asking: tuple[str, ...]
) -> None:
    """Lentils are legumes, and no paper calls them so (common practice, no source)."""
    kitchen.write(_EVERYTHING)
    ran = run("answer", kitchen.folder, *asking, word)
    assert ran.code == 2
    assert f"'{word}'" in ran.err
    assert "Ask about" in ran.err


def test_what_the_house_itself_calls_so_can_be_asked_about(kitchen: Kitchen) -> None:
    kitchen.write('- ingredient: berries\n  spec: {statement: "raspberries"}\n' + plate("100 g berries"))
    ran = run("answer", kitchen.folder, "--of", "plate", "--about", "berries", "--json")
    assert ran.json()["status"] == "contains"
