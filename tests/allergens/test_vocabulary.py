"""The vocabulary: that the compiled file is current, that the law's names are in it, and what a cook's words mean."""

import importlib.util
from types import ModuleType

import pytest

from labeller.allergens.reader import read_statement
from labeller.allergens.vocabulary import load_vocabulary
from labeller.foundations.places import reference_data_folder

FOLDER = reference_data_folder() / "allergens"


def build_script() -> ModuleType:
    spec = importlib.util.spec_from_file_location("build_allergens", FOLDER / "build.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_compiled_vocabulary_is_current() -> None:
    assert (FOLDER / "vocabulary.json").read_text(encoding="utf-8") == build_script().compiled_text(), (
        "Run python reference_data/allergens/build.py and commit vocabulary.json."
    )


@pytest.mark.parametrize(
    "table",
    sorted(path.name for path in FOLDER.glob("*.csv") if not path.name.startswith(("profile", "reference_doses"))),
)
def test_every_row_names_its_ground(table: str) -> None:
    rows = build_script().rows_of(table)
    assert rows
    assert [row for row in rows if not row["ground"].strip()] == []


# Regulation (EU) No 1169/2011, Annex II, 1 and 8, with the Latin names printed there for nuts.
ANNEX_II_NUTS = {
    "almond": "Amygdalus communis", "hazelnut": "Corylus avellana", "walnut": "Juglans regia", "cashew": "Anacardium occidentale",
    "pecan": "Carya illinoinensis", "brazil nut": "Bertholletia excelsa", "pistachio": "Pistacia vera", "macadamia": "Macadamia ternifolia",
}  # fmt: skip
# Australia New Zealand Food Standards Code, Standard 1.2.3 and Schedule 9; Food and Drug Regulations (Canada), B.01.010.1.
OTHER_LISTS = ("wheat", "rye", "barley", "oats", "triticale", "pine nut", "fish", "crustacean", "mollusc", "egg", "milk", "lupin",
               "peanut", "soya", "sesame", "mustard", "celery", "sulphite")  # fmt: skip
# FDA, Questions and Answers Regarding Food Allergens, Edition 5 (2025): dropped from the tree nuts.
DROPPED_IN_2025 = (
    "coconut",
    "kola",
    "beech nut",
    "butternut",
    "chestnut",
    "ginkgo",
    "hickory",
    "palm nut",
    "pili",
    "shea",
)


def test_the_sources_of_every_list_can_stand_open() -> None:
    vocabulary = load_vocabulary()
    assert {*ANNEX_II_NUTS, *OTHER_LISTS} <= vocabulary.law_sources
    assert {vocabulary.kind_of(name) for name in ANNEX_II_NUTS} == {"nut"}


def test_nuts_bear_the_latin_names_of_annex_ii_and_are_read_by_them() -> None:
    rows = {row["source"]: row["latin"] for row in build_script().rows_of("sources.csv")}
    for source, latin in ANNEX_II_NUTS.items():
        assert rows[source] == latin
        assert source in {finding.source for finding in read_statement(latin).contains}


def test_nuts_no_law_lists_today_are_known_and_cannot_stand_open() -> None:
    vocabulary = load_vocabulary()
    assert {vocabulary.kind_of(name) for name in DROPPED_IN_2025} == {"nut"}
    assert not set(DROPPED_IN_2025) & vocabulary.law_sources


# Regulation (EU) No 1169/2011, Annex II, in its own languages: what a supplier's paper must be read by.
ANNEX_II_NAMES = {
    "fr": {"blé": "wheat", "froment": "wheat", "épeautre": "wheat", "seigle": "rye", "orge": "barley", "avoine": "oats", "crustacés": "crustacean",
           "œufs": "egg", "poissons": "fish", "arachides": "peanut", "soja": "soya", "lait": "milk", "fruits à coque": "nut", "amandes": "almond",
           "noisettes": "hazelnut", "noix": "walnut", "noix de cajou": "cashew", "noix de pécan": "pecan", "noix du Brésil": "brazil nut",
           "pistaches": "pistachio", "noix de Macadamia": "macadamia", "noix du Queensland": "macadamia", "céleri": "celery", "moutarde": "mustard",
           "graines de sésame": "sesame", "anhydride sulfureux": "sulphite", "sulfites": "sulphite", "lupin": "lupin", "mollusques": "mollusc"},
    "de": {"Weizen": "wheat", "Dinkel": "wheat", "Khorasan-Weizen": "wheat", "Roggen": "rye", "Gerste": "barley", "Hafer": "oats",
           "Krebstiere": "crustacean", "Eier": "egg", "Fische": "fish", "Erdnüsse": "peanut", "Sojabohnen": "soya", "Milch": "milk", "Laktose": "milk",
           "Schalenfrüchte": "nut", "Mandeln": "almond", "Haselnüsse": "hazelnut", "Walnüsse": "walnut", "Kaschunüsse": "cashew",
           "Pecannüsse": "pecan", "Paranüsse": "brazil nut", "Pistazien": "pistachio", "Macadamianüsse": "macadamia", "Queenslandnüsse": "macadamia",
           "Sellerie": "celery", "Senf": "mustard", "Sesamsamen": "sesame", "Schwefeldioxid": "sulphite", "Sulfite": "sulphite",
           "Lupinen": "lupin", "Weichtiere": "mollusc"},
    "es": {"trigo": "wheat", "espelta": "wheat", "centeno": "rye", "cebada": "barley", "avena": "oats", "crustáceos": "crustacean", "huevos": "egg",
           "pescado": "fish", "cacahuetes": "peanut", "soja": "soya", "leche": "milk", "lactosa": "milk", "frutos de cáscara": "nut",
           "almendras": "almond", "avellanas": "hazelnut", "nueces": "walnut", "anacardos": "cashew", "pacanas": "pecan",
           "nueces de Brasil": "brazil nut", "alfóncigos": "pistachio", "pistachos": "pistachio", "nueces macadamia": "macadamia", "apio": "celery",
           "mostaza": "mustard", "granos de sésamo": "sesame", "dióxido de azufre": "sulphite", "sulfitos": "sulphite",
           "altramuces": "lupin", "moluscos": "mollusc"},
    "it": {"grano": "wheat", "frumento": "wheat", "farro": "wheat", "segale": "rye", "orzo perlato, burro": "barley", "avena": "oats",
           "crostacei": "crustacean", "uova": "egg", "pesce": "fish", "arachidi": "peanut", "soia": "soya", "latte": "milk", "lattosio": "milk",
           "frutta a guscio": "nut", "mandorle": "almond", "nocciole": "hazelnut", "noci": "walnut", "noci di acagiù": "cashew",
           "anacardi": "cashew", "noci di pecan": "pecan", "noci del Brasile": "brazil nut", "pistacchi": "pistachio",
           "noci macadamia": "macadamia", "sedano": "celery", "senape": "mustard", "semi di sesamo": "sesame", "anidride solforosa": "sulphite",
           "solfiti": "sulphite", "lupini": "lupin", "molluschi": "mollusc"},
    "nl": {"tarwe": "wheat", "spelt": "wheat", "khorasantarwe": "wheat", "rogge": "rye", "gerst": "barley", "haver": "oats", "schaaldieren": "crustacean",
           "eieren": "egg", "vis": "fish", "aardnoten": "peanut", "pinda's": "peanut", "soja": "soya", "melk": "milk", "lactose": "milk", "noten": "nut",
           "amandelen": "almond", "hazelnoten": "hazelnut", "walnoten": "walnut", "cashewnoten": "cashew", "pecannoten": "pecan",
           "paranoten": "brazil nut", "pistachenoten": "pistachio", "macadamianoten": "macadamia", "selderij": "celery", "mosterd": "mustard",
           "sesamzaad": "sesame", "zwaveldioxide": "sulphite", "sulfieten": "sulphite", "lupine": "lupin", "weekdieren": "mollusc"},
}  # fmt: skip


@pytest.mark.parametrize(("words", "source"), [(w, s) for names in ANNEX_II_NAMES.values() for w, s in names.items()])
def test_the_names_of_annex_ii_in_five_languages_are_read(words: str, source: str) -> None:
    assert source in {finding.source for finding in read_statement(words).contains}


# What cooks write; the meanings are the law's groups, common practice where a trade word stands for one.
COOKS_WORDS = [
    ("milk", ("milk",)), ("dairy", ("milk",)), ("lactose", ("milk",)), ("soy", ("soya",)), ("Soya beans", ("soya",)),
    ("tree nuts", ("nut",)), ("nuts", ("nut",)), ("Nut", ("nut",)), ("gluten", ("gluten cereal",)), ("cereals containing gluten", ("gluten cereal",)),
    ("shellfish", ("crustacean", "mollusc")), ("crustaceans", ("crustacean",)), ("Molluscs", ("mollusc",)), ("mollusks", ("mollusc",)),
    ("eggs", ("egg",)), ("sulphites", ("sulphite",)), ("Sulfites", ("sulphite",)), ("SO2", ("sulphite",)), ("sulphur dioxide", ("sulphite",)),
    ("hazelnuts", ("hazelnut",)), ("brazil nuts", ("brazil nut",)), ("prawns", ("prawn",)), ("cod", ("cod",)), ("celeriac", ("celery",)),
    ("sesame seeds", ("sesame",)), ("spelt", ("wheat",)), ("goat's milk", ("goat milk",)), ("pork", ("pork",)), ("alcohol", ("alcohol",)),
    ("  WHEAT ", ("wheat",)), ("kiwi fruit", ("kiwi",)),
]  # fmt: skip


@pytest.mark.parametrize(("word", "sources"), COOKS_WORDS)
def test_words_as_a_cook_writes_them(word: str, sources: tuple[str, ...]) -> None:
    assert load_vocabulary().sources_named(word) == sources


@pytest.mark.parametrize("word", ["", "zorblax", "mayonnaise", "butter", "quenelle", "milk and eggs"])
def test_words_that_name_no_source(word: str) -> None:
    assert load_vocabulary().sources_named(word) is None


@pytest.mark.parametrize(
    ("typed", "meant"), [("milc", "milk"), ("hazelnutt", "hazelnut"), ("celary", "celery"), ("mustrad", "mustard")]
)
def test_the_nearest_names_of_a_misspelling(typed: str, meant: str) -> None:
    assert meant in load_vocabulary().nearest(typed)


def test_kinds_and_sources_agree() -> None:
    vocabulary = load_vocabulary()
    assert vocabulary.kind_of("rye") == "cereal"
    assert "rye" in vocabulary.sources_of("cereal")
    assert vocabulary.sources_of("peanut") == ("peanut",)
    assert vocabulary.law_sources <= set(vocabulary.sources)
