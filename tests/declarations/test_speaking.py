"""The catalogue of sentences: whole in every language, nothing claimed in any, figures and names as each language has them."""

import importlib.util
import json
import re
import subprocess
import sys
from datetime import date
from pathlib import Path
from types import ModuleType

import pytest
from babel.lists import format_list
from babel.numbers import format_decimal, format_percent, get_decimal_symbol

from labeller.declarations.alcohol_facts import thresholds_of, units_of
from labeller.declarations.answering_sentences import count_message, strength_message, threshold
from labeller.declarations.speaking import (
    SENTENCE_LANGUAGES,
    AskedFood,
    Count,
    Figure,
    Foods,
    Groups,
    Message,
    Names,
    Spread,
    food_name,
    load_language,
    name_of_asked,
    phrase,
    said,
    speak,
)
from labeller.foundations.places import reference_data_folder
from labeller.jurisdictions.languages import translated_name, translated_names
from labeller.jurisdictions.packs import known_jurisdictions, load_jurisdiction
from tests.wording import DO_NOT_KNOW, GOES_BY_PAPERS, NEVER, TICKS

FOLDER = reference_data_folder() / "languages"
OTHERS = ("fr", "de", "it", "es")


@pytest.fixture(scope="module")
def build() -> ModuleType:
    spec = importlib.util.spec_from_file_location("build_sentences", FOLDER / "build.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def _texts(code: str) -> dict[str, str]:
    """Return every text of a language by its key, the English plural beside the singular."""
    found: dict[str, str] = {}
    for key, text in load_language(code).sentences.items():
        if isinstance(text, list):
            found[key], found[f"{key} (many)"] = text[:2]
        else:
            found[key] = text
    return found


def test_the_compiled_sentences_are_current(build: ModuleType) -> None:
    compiled, faults = build.compile_sentences()
    assert faults == []
    assert tuple(compiled) == SENTENCE_LANGUAGES
    for code, one in compiled.items():
        assert build.compiled_path(code).read_bytes() == build.as_bytes(one), (
            "Run python reference_data/languages/build.py"
        )


def test_every_key_stands_in_every_language_with_the_same_words(build: ModuleType) -> None:
    english = load_language("en").sentences
    for code in OTHERS:
        sentences = load_language(code).sentences
        assert set(sentences) == set(english)
        for key, text in sentences.items():
            source = english[key]
            for one in source[:2] if isinstance(source, list) else [source]:
                assert build.placeholders(text) == build.placeholders(one), (code, key)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('fr: "Non, pas végane."', "", "'not vegan, nothing more' has no sentence in 'fr'. Write it."),
        (
            '"Nicht bekannt: {way}."',
            '"Nicht bekannt: {weg}."',
            "'reason, not known' in 'de' has the words ['weg']; write ['way'].",
        ),
        ('key: "not known for"', 'key: "do not know"', "'do not know' is given twice. Keep one."),
        ('when: "Above the reasons."', 'when: ""', "'heading, why' does not say when it is said. Add 'when'."),
        (
            "en_many_by: thing",
            "en_many_by: thong",
            "'none, one thing': en_many and en_many_by do not fit the words ['thing'].",
        ),
    ],
)
def test_a_catalogue_that_is_not_whole_is_refused(
    build: ModuleType, tmp_path: Path, old: str, new: str, says: str
) -> None:
    written = (FOLDER / "sentences.yaml").read_text(encoding="utf-8")
    assert old in written
    (tmp_path / "sentences.yaml").write_text(written.replace(old, new), encoding="utf-8")
    (tmp_path / "things.csv").write_bytes((FOLDER / "things.csv").read_bytes())
    assert says in build.compile_sentences(tmp_path)[1]


def test_the_grade_says_nobody_of_the_language_has_read_it() -> None:
    for code in OTHERS:
        language = load_language(code)
        assert language.grade == "written by the project, not yet read by a native speaker"
        assert not language.read_by_native_speaker  # the page says so as long as this is so
    assert "not yet read by a native speaker" in speak(said("note, not yet read"))


@pytest.mark.parametrize("code", SENTENCE_LANGUAGES)
def test_no_sentence_makes_a_claim(code: str) -> None:
    """The contract, section 3: never 'free from', never 'traces', never a tick; issue 7: never 'cooks off'."""
    for key, text in _texts(code).items():
        assert not re.search(NEVER[code], text.casefold()), (code, key, text)
        assert not set(text) & set(TICKS)
    for name in load_language(code).things.values():
        assert not re.search(NEVER[code], name.casefold())


@pytest.mark.parametrize("code", SENTENCE_LANGUAGES)
def test_what_is_not_known_says_so_first_and_what_is_not_in_it_goes_by_papers(code: str) -> None:
    texts = _texts(code)
    assert texts["do not know"].startswith(DO_NOT_KNOW[code])
    assert texts["without, cannot vouch"].startswith(DO_NOT_KNOW[code])
    assert texts["reason, peanut unconfirmed"].casefold().count(DO_NOT_KNOW[code].casefold()[3:]) == 1 or code == "en"
    for key in ("none, one thing", "none, several things", "none, vegetarian", "none, vegan", "alcohol, none"):
        assert GOES_BY_PAPERS[code] in texts[key], (code, key)
    for key in ("done, cleared", "without, heading"):
        assert GOES_BY_PAPERS[code].casefold()[6:] in texts[key].casefold(), (code, key)
    # Every key that says yes begins with it, and those on a way of eating with no.
    yes = {"en": "Yes", "fr": "Oui", "de": "Ja", "it": "Sì", "es": "Sí"}[code]
    no = {"en": "No", "fr": "Non", "de": "Nein", "it": "No", "es": "No"}[code]
    for key, text in texts.items():
        if key.startswith(("yes, ", "alcohol, uncooked", "alcohol, heated", "alcohol, strength unknown")):
            assert text.startswith(yes), (code, key)
        if key.startswith(("not vegetarian", "not vegan")):
            assert text.startswith(f"{no}, "), (code, key)


@pytest.mark.parametrize("code", SENTENCE_LANGUAGES)
def test_the_caution_on_alcohol_names_its_five_matters(code: str) -> None:
    """Issue 7, item 3: pregnancy, children, recovery, medicines, faith."""
    words = {
        "en": ("pregnancy", "children", "recovery", "medicines", "faiths"),
        "fr": ("grossesse", "enfants", "dépendance", "médicaments", "religions"),
        "de": ("Schwangerschaft", "Kinder", "Abhängigkeit", "Medikamenten", "Religionen"),
        "it": ("gravidanza", "bambini", "dipendenza", "medicinali", "religioni"),
        "es": ("embarazo", "niños", "adicción", "medicamentos", "religiones"),
    }[code]
    text = speak(said("caution, alcohol"), code)
    assert all(word in text for word in words)


# The contract, section 3, in English; then the four states in every language, words of the project.
@pytest.mark.parametrize(
    ("code", "message", "text"),
    [
        (
            "en",
            said("none, one thing", thing=Groups(("celery",))),
            "Celery is not in the recipe, going by our suppliers' papers.",
        ),
        ("en", said("tell the kitchen"), "Still tell the kitchen."),
        ("en", said("do not know"), "We do not know. Ask the kitchen before you serve it."),
        (
            "en",
            said(
                "alcohol, uncooked",
                drink="gin",
                strength=strength_message(20.0),
                amount=count_message(0.66, "UK unit"),
            ),
            "Yes. Uncooked gin, as strong as a liqueur, about two thirds of a UK unit in the portion.",
        ),
        (
            "en",
            said("none, one thing", thing=Groups(("nuts",))),
            "Nuts are not in the recipe, going by our suppliers' papers.",
        ),
        (
            "en",
            said("none, one thing", thing=Groups(("gluten",))),
            "Cereals containing gluten are not in the recipe, going by our suppliers' papers.",
        ),
        (
            "en",
            said("alcohol, strength unknown", names=Names(("port", "sherry"))),
            "Yes. There is port and sherry in it; the papers do not say how strong.",
        ),
        (
            "fr",
            said(
                "yes, made with",
                part="praline",
                ingredient="hazelnuts",
                sources=Foods(("hazelnut",), asked="hazelnut"),
            ),
            "Oui : dans « praline », il y a « hazelnuts » (noisettes).",
        ),
        (
            "de",
            said("none, one thing", thing=Groups(("crustaceans",))),
            "Laut den Unterlagen unserer Lieferanten steht dies nicht in der Rezeptur: Krebstiere (Garnele, Krebs).",
        ),
        (
            "it",
            said("may, supplier", ingredient="biscuit", sources=Foods(("soya", "milk"))),
            "Non è nella ricetta, ma il fornitore di «biscuit» indica «può contenere»: soia, latte.",
        ),
        (
            "es",
            said("nutrient, about", nutrient=said("nutrient: fat_g"), amount=Figure(12.34, "g")),
            "Grasas: aproximadamente 12,3 g en la ración, con las partes opcionales.",
        ),
    ],
)
def test_sentences_as_they_are_read_out(code: str, message: Message, text: str) -> None:
    assert speak(message, code).replace("\u00a0", " ") == text


@pytest.mark.parametrize("code", SENTENCE_LANGUAGES)
def test_names_of_allergens_are_those_of_the_law(code: str) -> None:
    """Annex II of Regulation (EU) No 1169/2011 in each language, from the file that cites it; nothing else may speak for it."""
    language = load_language(code)
    for name, one in translated_names():
        if one == code and code != "en" and not name.startswith("word: "):
            assert food_name(name, language) == translated_name(name, code).text
            assert name not in language.things


@pytest.mark.parametrize(
    ("code", "names"),
    [
        # Article 30(1) and (2) of Regulation (EU) No 1169/2011, as pages restate it: fr, Annex I of the same (definitions); de, portal of
        # the agriculture ministry of Luxembourg on 'Nährwertkennzeichnung'; it, 'Dichiarazione nutrizionale' of Your Europe.
        ("fr", ("matières grasses, acides gras saturés, acides gras mono-insaturés, acides gras polyinsaturés, glucides, sucres, polyols, amidon, "
         "fibres alimentaires, protéines, sel, acides gras trans")),
        ("de", ("Fett, gesättigte Fettsäuren, einfach ungesättigte Fettsäuren, mehrfach ungesättigte Fettsäuren, Kohlenhydrate, Zucker, "
         "mehrwertige Alkohole, Stärke, Ballaststoffe, Eiweiß, Salz")),
        ("it", ("grassi, acidi grassi saturi, acidi grassi monoinsaturi, acidi grassi polinsaturi, carboidrati, zuccheri, polioli, amido, fibre, "
         "proteine, sale")),
    ],
)  # fmt: skip
def test_names_of_figures_are_those_of_the_law(code: str, names: str) -> None:
    keys = ("fat_g", "saturates_g", "mono_unsaturates_g", "polyunsaturates_g", "carbohydrate_g", "sugars_g", "polyols_g", "starch_g", "fibre_g",
            "protein_g", "salt_g", "trans_fat_g")  # fmt: skip
    for key, name in zip(keys, names.split(", "), strict=False):
        assert phrase(said(f"nutrient: {key}"), code) == name


@pytest.mark.parametrize("code", SENTENCE_LANGUAGES)
def test_figures_are_written_as_the_language_writes_them(code: str) -> None:
    """Decimal marks and percentages of the Unicode Common Locale Data Repository, by babel."""
    assert load_language(code).decimal == get_decimal_symbol(code)
    for value in (0.25, 1.5, 12.3, 812.0):
        wanted = format_decimal(value, format="0.##", locale=code)
        assert phrase(said("energy in both units", kj=Count(f"{value:g}"), kcal=Figure(1.0, "kcal")), code).startswith(
            wanted
        )
    said_share = phrase(said("reason, no figure", ingredient="x", share=Count("13.5")), code).replace("\u00a0", " ")
    assert (
        re.sub(r"\s", " ", format_percent(0.135, format=None, locale=code, decimal_quantization=False)) in said_share
    )
    low, estimate, high = (format_decimal(one, format="0.00", locale=code) for one in (3.9, 4.4, 5.1))
    text = phrase(said("reason, alcohol heated", grams=Spread(3.9, 4.4, 5.1)), code)
    for figure in (low, estimate, high):
        assert f"{figure} g" in text


def test_lists_in_english_are_joined_as_the_locale_joins_them() -> None:
    """Unicode CLDR by babel, en-GB: no comma before 'and'. Other languages take commas alone, which need no agreement."""
    for names in (("a",), ("a", "b"), ("a", "b", "c")):
        assert (
            phrase(said("alcohol, also", names=Names(names)))
            == f"There is also {format_list(names, locale='en_GB')} in it."
        )
    assert "« a », « b »" in phrase(said("alcohol, also", names=Names(("a", "b"))), "fr").replace("\u00a0", " ")


@pytest.mark.parametrize("code", SENTENCE_LANGUAGES)
def test_every_count_strength_unit_and_threshold_can_be_said(code: str) -> None:
    """Whatever a law on file says, and a unit nobody has written yet."""
    counts = [0.0, 0.04, 0.07, *(one / 24 for one in range(2, 90)), 7.6, 120.0]
    names = {"small glass of wine", "jigger of tomorrow"}
    for jurisdiction in known_jurisdictions():
        law = load_jurisdiction(jurisdiction).in_force_on(date(2026, 11, 25))
        names.update(one.name for one in units_of((1.0, 2.0, 3.0), [law]))
        for percent in ((0.0, 0.3, 1.0), (0.0, 2.0, 40.0), (0.0, 50.0, 0.1)):
            for one in thresholds_of(percent, [law]):
                assert "{" not in " ".join(speak(part, code) for part in threshold(one))
        for line in law.nutrients:
            assert speak(said(f"nutrient: {'energy_kj' if line.key == 'energy_kcal' else line.key}"), code)
    for name in names:
        for count in counts:
            text = phrase(count_message(count, name), code)
            assert "{" not in text
            assert ("jigger of tomorrow" in text) == (name == "jigger of tomorrow")
    for percent_vol in (0.0, 0.5, 1.2, 8.5, 15.0, 37.5, 96.0):
        assert speak(strength_message(percent_vol), code)


def test_a_counted_fraction_holds_the_figure_it_names() -> None:
    """A half and two thirds: the words of the languages, beside the number they stand for."""
    half = {"fr": "la moitié", "de": "die Hälfte", "it": "la metà", "es": "la mitad"}
    thirds = {"fr": "deux tiers", "de": "zwei Drittel", "it": "due terzi", "es": "dos tercios"}
    for code in OTHERS:
        assert half[code] in phrase(count_message(0.52, "UK unit"), code)
        assert thirds[code] in phrase(count_message(0.66, "standard drink"), code)


def test_a_name_of_the_book_stays_as_the_cook_wrote_it() -> None:
    """Braces and percent signs in a name are a name."""
    for code in SENTENCE_LANGUAGES:
        for name in ("{part} of 5 % {x}", "l'aïoli «maison»", "100% rye"):
            assert name in speak(said("done, leave off", part=name), code)


def test_a_food_without_a_name_on_file_is_quoted_and_never_made_up() -> None:
    french = load_language("fr")
    assert name_of_asked(AskedFood("zedoary"), french) is None
    assert name_of_asked(AskedFood("dairy", ("milk",)), french) == "lait"
    assert name_of_asked(AskedFood("seafood", ("fish", "zedoary")), french) is None
    assert "« zedoary »" in speak(said("none, one thing", thing=AskedFood("zedoary")), "fr").replace("\u00a0", " ")


def test_dried_fruit_is_not_called_by_the_word_for_nuts() -> None:
    """Frutta secca, fruits secs and frutos secos take in nuts (common practice, no source): no example of sulphites says it."""
    for code in OTHERS:
        for text in _texts(code).values():
            assert not re.search("frutta secca|fruits secs|frutos secos", text)


def test_a_language_without_sentences_is_not_loaded() -> None:
    with pytest.raises(KeyError, match="pl"):
        load_language("pl")
    with pytest.raises(TypeError, match="cannot be said"):
        phrase(said("done, leave off", part=3))


def test_an_english_answer_reads_one_file_of_sentences() -> None:
    """Issue 7, speed: a fresh process loads English only, no YAML of the catalogue and no other language's names."""
    script = (
        "import sys, json; from labeller.declarations import speaking as s; opened = []; "
        "sys.addaudithook(lambda event, given: opened.append(str(given[0])) if event == 'open' else None); "
        "s.speak(s.said('do not know')); s.speak(s.said('tell the kitchen')); "
        "print(json.dumps([one for one in opened if 'languages' in one]))"
    )
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    opened = json.loads(ran.stdout)
    assert [Path(one).name for one in opened] == ["sentences_en.json"]
