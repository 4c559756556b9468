"""The reader of statements: exemptions of Annex II, false friends, negations, warnings, lists, slips of scanners."""

import gc
import time

import pytest

from labeller.allergens.reader import LARGEST_BYTES, Reading, read_statement
from labeller.allergens.vocabulary import load_vocabulary


def sources(reading: Reading) -> set[str]:
    """Sources of the kinds some law regulates; coconut, shea and other nuts no law lists today are left out."""
    vocabulary = load_vocabulary()
    kinds = {vocabulary.sources[source] for source in vocabulary.law_sources}
    unlisted = {source for source in vocabulary.sources_of("nut") if source not in vocabulary.law_sources}
    return {f.source for f in reading.contains if vocabulary.sources[f.source] in kinds and f.source not in unlisted}


def may(reading: Reading) -> set[str]:
    return {finding.source for finding in reading.may_contain}


def left_open(reading: Reading) -> set[str]:
    return {load_vocabulary().sources[source] for _, open_sources in reading.unclear for source in open_sources}


# Regulation (EU) No 1169/2011, Annex II, as amended by Delegated Regulation (EU) No 78/2014: every exemption, with the
# derivation under which the reader must report it, so that a jurisdiction can exempt it. The last row is Delegated Regulation
# (EU) 2024/2512, from memory.
ANNEX_II_EXEMPTIONS = [
    ("1(a)", "glucose syrup (wheat)", "wheat", "glucose syrup"),
    ("1(a)", "wheat based glucose syrup", "wheat", "glucose syrup"),
    ("1(a)", "dextrose (from wheat)", "wheat", "dextrose"),
    ("1(b)", "wheat maltodextrin", "wheat", "maltodextrin"),
    ("1(c)", "glucose syrup from barley", "barley", "glucose syrup"),
    ("1(d)", "ethyl alcohol of agricultural origin (wheat)", "wheat", "distillate"),
    ("1(d)", "vodka (distilled from rye)", "rye", "distillate"),
    ("4(a)", "fish gelatine as carrier for vitamin A", "fish", "vitamin carrier"),
    ("4(b)", "fining agent: isinglass", "fish", "fining"),
    ("6(a)", "fully refined soybean oil", "soya", "refined oil"),
    ("6(b)", "natural mixed tocopherols (E306) from soya", "soya", "tocopherol"),
    ("6(b)", "natural D-alpha tocopherol (soya)", "soya", "tocopherol"),
    ("6(b)", "natural D-alpha tocopherol acetate from soya", "soya", "tocopherol"),
    ("6(b)", "natural D-alpha tocopherol succinate from soybean", "soya", "tocopherol"),
    ("6(c)", "phytosterols from soya", "soya", "phytosterol"),
    ("6(c)", "phytosterol esters (soya)", "soya", "phytosterol"),
    ("6(d)", "plant stanol ester (soya)", "soya", "plant stanol ester"),
    ("7(a)", "distillate of whey", "milk", "distillate"),
    ("7(b)", "lactitol", "milk", "lactitol"),
    ("8", "distillate (almond)", "almond", "distillate"),
    ("10, EU only", "behenic acid (mustard)", "mustard", "behenic acid"),
]


@pytest.mark.parametrize(("point", "text", "source", "derivation"), ANNEX_II_EXEMPTIONS)
def test_exempt_derivations_of_annex_ii_keep_source_and_derivation(
    point: str, text: str, source: str, derivation: str
) -> None:
    found = {(f.source, f.derivation) for f in read_statement(text).contains if f.source == source}
    assert found == {(source, derivation)}


# The exemption is tied to the named use (Annex II): these look like it and are not.
NOT_EXEMPT = [
    ("wheat starch", "wheat"),
    ("soybean oil", "soya"),
    ("refined sugar, soya flour", "soya"),
    ("refined soya flour", "soya"),
    ("isinglass", "fish"),
    ("fish gelatine", "fish"),
    ("whey powder", "milk"),
    ("glucose syrup, wheat flour", "wheat"),
    ("cream, whisky", "milk"),
    ("malt vinegar", "barley"),
    ("beer", "barley"),
]


@pytest.mark.parametrize(("text", "source"), NOT_EXEMPT)
def test_what_only_looks_exempt_is_found_without_derivation(text: str, source: str) -> None:
    assert (source, "") in {(f.source, f.derivation) for f in read_statement(text).contains}


# Common practice, no source: words that hold an allergen's name and are none, or are another.
FALSE_FRIENDS = [
    ("coconut milk", set()),
    ("coconut cream, coconut oil, creamed coconut", set()),
    ("cocoa butter", set()),
    ("peanut butter", {"peanut"}),
    ("almond butter, cashew butter", {"almond", "cashew"}),
    ("almond milk", {"almond"}),
    ("shea butter", set()),
    ("butter beans, butterhead lettuce, buttercup squash, butterfly pea flower", set()),
    ("butternut squash", set()),
    ("nutmeg, nutritional yeast", set()),
    ("water chestnut, tiger nut", set()),
    ("chestnut puree", set()),
    ("pine nuts", {"pine nut"}),
    ("cream of tartar, cream soda, creme de cassis", set()),
    ("lactic acid (E270), E325, E481, sodium stearoyl lactylate", set()),
    ("rice milk, hemp milk", set()),
    ("oat milk", {"oats"}),
    ("soya milk", {"soya"}),
    ("milk thistle", set()),
    ("milkfish", {"milkfish"}),
    ("buckwheat, buckwheat flour", set()),
    ("wheatgrass", {"wheat"}),
    ("glutinous rice, monosodium glutamate, corn gluten, rice flour, gram flour, cornflour, potato starch", set()),
    ("goat meat", set()),
    ("eggplant", set()),
    ("oyster mushroom, oyster leaf, lobster mushroom, crab apple, scalloped potatoes", set()),
    ("vegetarian oyster sauce", {"soya", "wheat"}),
    ("Bombay duck", {"bombay duck"}),
    ("mustard greens, mustard cress", {"mustard"}),
    ("celtuce, lovage, parsley root", set()),
    ("calcium sulphate, E516, sodium sulfate", set()),
    ("lupine seed", {"lupin"}),
    ("Worcester sauce", {"fish"}),
    ("natural almond extract", {"almond"}),
    ("acide lactique, lait de coco, noix de muscade, beurre de cacao, sarrasin", set()),
    ("Milchsäure, Kokosmilch, Muskatnuss, Kakaobutter, Buchweizen", set()),
    ("grano saraceno, noce moscata, latte di cocco, burro di cacao", set()),
    ("trigo sarraceno, nuez moscada, leche de coco, manteca de cacao", set()),
    ("boekweit, nootmuskaat, kokosmelk, cacaoboter, melkzuur", set()),
    ("Erdnüsse", {"peanut"}),
    ("aardnoten", {"peanut"}),
    ("farro", {"wheat"}),
    ("mostarda", {"mustard"}),
    ("siero di latte", {"milk"}),
    ("Molke", {"milk"}),
    ("suero de leche", {"milk"}),
    ("schelpdieren", {"mollusc"}),
    ("schaaldieren", {"crustacean"}),
]


@pytest.mark.parametrize(("text", "expected"), FALSE_FRIENDS)
def test_false_friends(text: str, expected: set[str]) -> None:
    assert sources(read_statement(text)) == expected


# Common practice, no source: what a careful person would not vouch for.
UNCLEAR = [
    ("flour", {"cereal"}),
    ("lecithin", {"soya", "egg"}),
    ("E322", {"soya", "egg"}),
    ("stock", {"celery", "cereal"}),
    ("bouillon", {"celery"}),
    ("gravy", {"cereal", "celery"}),
    ("vegetable protein", {"soya", "cereal"}),
    ("HVP", {"soya", "cereal"}),
    ("modified starch", {"cereal"}),
    ("vinegar", {"cereal"}),
    ("natural flavouring", {"milk"}),
    ("natural flavourings", {"milk"}),
    ("spices", {"celery", "mustard"}),
    ("curry powder", {"celery", "mustard"}),
    ("seasoning", {"celery", "mustard"}),
    ("yeast extract", {"cereal"}),
    ("vegetable oil", {"soya"}),
    ("gelatine", {"fish"}),
    ("batter", {"cereal"}),
    ("enzyme preparation", {"milk"}),
    ("E471", {"soya"}),
    ("other cereals", {"cereal"}),
    ("Meeresfrüchte", {"crustacean", "mollusc"}),
    ("fruits de mer", {"crustacean", "mollusc"}),
    ("frutti di mare", {"crustacean", "mollusc"}),
    ("marisco", {"crustacean", "mollusc"}),
    ("Mehl", {"cereal"}),
    ("lécithine", {"soya", "egg"}),
]


@pytest.mark.parametrize(("text", "kinds"), UNCLEAR)
def test_unclear_words_leave_their_kinds_open(text: str, kinds: set[str]) -> None:
    reading = read_statement(text)
    assert left_open(reading) >= kinds
    assert sources(reading) == set()


SETTLED = [
    ("flour (wheat)", {"wheat"}),
    ("wheat flour", {"wheat"}),
    ("rice flour", set()),
    ("lecithin (soya)", {"soya"}),
    ("sunflower lecithin", set()),
    ("Emulsifier: lecithin (soya)", {"soya"}),
    ("lecithin from soya", {"soya"}),
    ("modified maize starch", set()),
    ("modified potato starch", set()),
    ("spirit vinegar", set()),
    ("vegetable stock (water, carrot, celery)", {"celery"}),
    ("gelatine (pork)", set()),
    ("hydrolysed vegetable protein (soya)", {"soya"}),
    ("vegetable oil (rapeseed)", set()),
    ("spices (mustard, cumin)", {"mustard"}),
    ("malt extract (barley)", {"barley"}),
    ("mayonnaise (rapeseed oil, water, egg yolk, mustard)", {"egg", "mustard"}),
    ("mayonnaise (rapeseed oil, water, pea protein)", set()),
]


@pytest.mark.parametrize(("text", "expected"), SETTLED)
def test_a_source_or_a_list_settles_the_word_before_it(text: str, expected: set[str]) -> None:
    reading = read_statement(text)
    assert sources(reading) == expected
    assert left_open(reading) - {"sulphite"} == set()


def test_a_contains_note_is_no_list() -> None:
    """*Spices (contains celery)* names one of the spices, not all of them."""
    reading = read_statement("spices (contains celery)")
    assert sources(reading) == {"celery"}
    assert "mustard" in left_open(reading)


def test_a_lone_name_in_brackets_takes_nothing_away_from_a_dish_by_definition() -> None:
    assert sources(read_statement("mayonnaise (mustard)")) == {"egg", "mustard"}


def test_vitamins_in_brackets_do_not_settle_flour() -> None:
    assert "cereal" in left_open(read_statement("flour (calcium carbonate, iron, niacin, thiamin)"))


NEGATED = [
    ("dairy-free", set()),
    ("wheat free", set()),
    ("nut-free", set()),
    ("contains no nuts", set()),
    ("contains no milk, eggs or soya", set()),
    ("free from gluten, milk and egg", set()),
    ("does not contain sesame", set()),
    ("without nuts", set()),
    ("sans lait", set()),
    ("ohne Nüsse, milchfrei", set()),
    ("senza latte", set()),
    ("sin leche", set()),
    ("zonder melk", set()),
    ("contains no milk. Contains soya.", {"soya"}),
    ("no nuts, milk", {"milk"}),
    ("gluten free oats", {"oats"}),
    ("lactose-free milk", {"milk"}),
    ("fat-free yoghurt", {"milk"}),
    ("free range eggs", {"egg"}),
    ("sugar-free milk chocolate", {"milk"}),
    ("dairy-free spread (contains soya)", {"soya"}),
    ("egg-free mayonnaise", set()),
    ("gluten-free wheat starch", {"wheat"}),
    ("sugar, rice, free from preservatives, milk, egg", {"milk", "egg"}),
    ("not from concentrate apple juice, milk", {"milk"}),
]


@pytest.mark.parametrize(("text", "expected"), NEGATED)
def test_negations(text: str, expected: set[str]) -> None:
    assert sources(read_statement(text)) == expected


WARNINGS = [
    ("Sugar. May contain nuts.", set(), {"nut"}),
    ("Sugar, may contain traces of nuts, milk and egg", set(), {"nut", "milk", "egg"}),
    ("Milk (may contain nuts), egg", {"milk", "egg"}, {"nut"}),
    ("Made in a factory that handles nuts and peanuts", set(), {"nut", "peanut"}),
    ("Produced on a line where sesame is used", set(), {"sesame"}),
    ("Prepared in a kitchen where milk, egg and wheat are used", set(), {"milk", "egg", "wheat"}),
    ("Almonds packed in a facility that processes peanuts", {"almond"}, {"peanut"}),
    ("Not suitable for milk allergy sufferers", set(), {"milk"}),
    ("Not suitable for customers with an allergy to nuts due to manufacturing methods", set(), {"nut"}),
    ("Sugar. Nuts are handled in this kitchen.", set(), {"nut"}),
    ("May contain nuts. Ingredients: wheat flour, milk.", {"wheat", "milk"}, {"nut"}),
    ("May contain nuts, sugar, milk", {"milk"}, {"nut"}),
    ("Contains: milk. May contain: soya. Contains: egg.", {"milk", "egg"}, {"soya"}),
    ("we cannot guarantee this is free from nuts or milk", set(), {"nut", "milk"}),
    ("may contain shellfish", set(), {"crustacean", "mollusc"}),
    ("Peut contenir : œufs, soja", set(), {"egg", "soya"}),
    ("Kann Milch, Ei und Soja enthalten", set(), {"milk", "egg", "soya"}),
    ("Può contenere latte e soia", set(), {"milk", "soya"}),
    ("Puede contener leche y soja", set(), {"milk", "soya"}),
    ("Kan melk en soja bevatten", set(), {"milk", "soya"}),
]


@pytest.mark.parametrize(("text", "contains", "may_contain"), WARNINGS)
def test_warnings(text: str, contains: set[str], may_contain: set[str]) -> None:
    reading = read_statement(text)
    assert sources(reading) == contains
    assert may(reading) == may_contain


def test_a_mill_or_a_kitchen_word_in_the_list_is_no_warning() -> None:
    """Words such as *ground*, *prepared* and *kitchen* stand in lists of ingredients too."""
    reading = read_statement("prepared mustard, ground almonds, kitchen salt, line caught cod, processed cheese")
    assert sources(reading) == {"mustard", "almond", "cod", "milk"}
    assert may(reading) == set()


SLIPS = [
    ("rnilk", {"milk"}),
    ("w heat flour", {"wheat"}),
    ("hazeinut", {"hazelnut"}),
    ("s0ya", {"soya"}),
    ("a1mond", {"almond"}),
    ("hazel-\nnuts", {"hazelnut"}),
    ("wheatflour", {"wheat"}),
    ("Milk.Egg.Soya", {"milk", "egg", "soya"}),
    ("‘milk’, “egg”", {"milk", "egg"}),
    ("milk/egg/soya", {"milk", "egg", "soya"}),
    ("MILK* EGG** soya†", {"milk", "egg", "soya"}),
    ("Ｍｉｌｋ", {"milk"}),
]


@pytest.mark.parametrize(("text", "expected"), SLIPS)
def test_slips_of_scanners_and_typesetters(text: str, expected: set[str]) -> None:
    assert sources(read_statement(text)) == expected


def test_a_misspelt_word_is_a_guess_and_shown_as_one() -> None:
    reading = read_statement("sugar, pistahcio")
    assert sources(reading) == set()
    assert ("pistahcio", frozenset({"pistachio"})) in reading.unclear


def test_a_word_nobody_knows_changes_nothing() -> None:
    reading = read_statement("milk, zorblax")
    assert reading.not_understood == ("zorblax",)
    assert sources(reading) == {"milk"}
    assert reading.unclear == ()


# E220 to E228: Regulation (EC) No 1333/2008, Annex II, from memory; 150 ppm and the like are no numbers of additives.
@pytest.mark.parametrize("number", ["E220", "e 221", "E-222", "E223", "E224", "E225", "E226", "E227", "E228"])
def test_sulphites_by_number(number: str) -> None:
    assert sources(read_statement(f"apples, preservative: {number}")) == {"sulphite"}
    assert sources(read_statement(f"apples, preservative ({number.strip('Ee -')})")) == {"sulphite"}


def test_a_bare_number_is_no_additive() -> None:
    assert sources(read_statement("water 220 ml, sugar")) == set()


# Common practice, no source: wine, dried fruit and the like carry sulphites unless a figure says otherwise.
@pytest.mark.parametrize(
    "text", ["white wine", "dry cider", "dried apricots", "golden sultanas", "bottled lemon juice", "glacé cherries"]
)
def test_sulphited_by_custom(text: str) -> None:
    assert "sulphite" in sources(read_statement(text))


def test_alcohol_and_its_traces_are_told_apart() -> None:
    reading = read_statement("brandy, vanilla extract, white wine vinegar, kombucha, soy sauce (water, soya, wheat)")
    assert reading.alcohol == ("brandy", "vanilla extract")
    assert reading.alcohol_traces == ("white wine vinegar", "kombucha", "soy sauce")
    assert "alcohol" in {finding.source for finding in reading.contains}


def test_alcohol_free_beer_is_barley_and_a_trace() -> None:
    reading = read_statement("alcohol-free beer")
    assert reading.alcohol == ()
    assert reading.alcohol_traces == ("alcohol-free beer",)
    assert sources(reading) == {"barley"}


def test_a_finding_tells_its_words_as_written() -> None:
    reading = read_statement("Sugar, Skimmed MILK Powder 12%")
    assert [(f.source, f.words) for f in reading.contains] == [("milk", "Skimmed MILK Powder")]


def test_the_tree_gives_names_shares_and_parts() -> None:
    tree = read_statement(
        "Mayonnaise 15,5% (rapeseed oil (70 %), egg yolk), 12% wheat flour, Emulsifier: lecithin (soya). May contain nuts."
    ).ingredients
    assert [(each.name, each.percent) for each in tree] == [
        ("Mayonnaise", 15.5),
        ("wheat flour", 12.0),
        ("Emulsifier: lecithin", None),
    ]
    assert [(part.name, part.percent) for part in tree[0].parts] == [("rapeseed oil", 70.0), ("egg yolk", None)]
    assert [finding.source for finding in tree[0].parts[1].findings] == ["egg"]
    assert [part.name for part in tree[2].parts] == ["soya"]


def test_brackets_of_all_three_kinds_nest() -> None:
    tree = read_statement("sauce {stock [water, celery (root)], cream}").ingredients
    assert [part.name for part in tree[0].parts] == ["stock", "cream"]
    assert [part.name for part in tree[0].parts[0].parts] == ["water", "celery"]


def test_a_text_above_a_million_bytes_is_refused_and_leaves_everything_open() -> None:
    reading = read_statement("é" * (LARGEST_BYTES // 2 + 1))
    assert "1,000,000 bytes" in reading.refused
    assert "Give the ingredients statement alone" in reading.refused
    assert reading.unclear[0][1] == load_vocabulary().law_sources


def seconds_for(text: str) -> float:
    """Return the least processor time of three readings, the collector of garbage kept out of it."""
    best = 9.0
    gc.collect()
    gc.disable()
    try:
        for _ in range(3):
            start = time.process_time()
            read_statement(text)
            best = min(best, time.process_time() - start)
    finally:
        gc.enable()
    return best


@pytest.mark.parametrize(
    "piece",
    [
        "wheat flour (wheat, calcium), sugar, ",
        "(",
        "(a)",
        "nuts, ",
        "free ",
        "*a ",
        "w ",
        "a.",
        "(milk, ",
        "x9q ",
        "made in a factory nuts are used ",
        "\n",
        "* a\n",
    ],
)
def test_the_time_is_linear_in_the_length(piece: str) -> None:
    """Eight times the text takes about eight times as long; a square law would take 64 times. A text of 200 kB is read in a second or two."""
    short, long = piece * (12_500 // len(piece)), piece * (100_000 // len(piece))
    assert seconds_for(long) < 32 * max(seconds_for(short), 0.004)


def test_marron_may_be_a_crayfish() -> None:
    """A freshwater crayfish in Australia (common practice, no source), a chestnut in French; what only the chestnut is called stays a chestnut."""
    assert "crustacean" in {source for _, left in read_statement("marron, salt").unclear for source in left}
    assert not read_statement("marrons glacés").unclear
    assert [one.source for one in read_statement("crème de marrons").contains] == ["chestnut"]
