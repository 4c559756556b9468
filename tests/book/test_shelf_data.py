"""The shelf: what stands in its files, and that the compiled form is what they say."""

import csv
import importlib.util
import json
import re
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from labeller.foundations.names import name_key
from labeller.foundations.places import reference_data_folder

SHELF = reference_data_folder() / "shelf"
KEYS = {
    "ingredient",
    "also",
    "composition",
    "per_100_g",
    "density",
    "piece",
    "measures",
    "strength",
    "sulphites",
    "allergens",
    "ground",
    "source",
    "file",
    "line",
}
DERIVATIONS = {"glucose syrup", "dextrose", "maltodextrin", "distillate", "refined oil"}


def _id(entry: dict[str, Any]) -> str:
    return str(entry["ingredient"] if "ingredient" in entry else entry["names"][0])


def load_script(path: Path) -> ModuleType:
    spec = importlib.util.spec_from_file_location(f"build_{path.parent.name}", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def load_shelf() -> list[dict[str, Any]]:
    entries: list[dict[str, Any]] = json.loads((SHELF / "shelf.json").read_text(encoding="utf-8"))
    return entries


ENTRIES = load_shelf()
BY_NAME = {name_key(name): entry for entry in ENTRIES for name in [entry["ingredient"], *entry.get("also", [])]}


def load_table_names() -> dict[str, str]:
    with (SHELF.parent / "composition" / "sr28.csv").open(encoding="utf-8", newline="") as file:
        return {row["food_code"]: row["name"] for row in csv.DictReader(file)}


def load_sources() -> dict[str, str]:
    with (SHELF.parent / "allergens" / "sources.csv").open(encoding="utf-8", newline="") as file:
        lines = [line for line in file if not line.startswith("#")]
    return {row["source"]: row["kind"] for row in csv.DictReader(lines)}


TABLE_NAMES = load_table_names()
SOURCES = load_sources()


def findings(name: str) -> set[tuple[str, str]]:
    """Sources an entry contains that some law regulates, each with its derivation."""
    items = BY_NAME[name_key(name)]["allergens"]["contains"]
    pairs = {(item, "") if isinstance(item, str) else (item["source"], item["derivation"]) for item in items}
    return {pair for pair in pairs if SOURCES[pair[0]] != "other"}


def test_the_compiled_shelf_is_what_the_files_say() -> None:
    build = load_script(SHELF / "build.py")
    assert (SHELF / "shelf.json").read_text(encoding="utf-8") == build.compile_shelf(SHELF)


def test_there_are_at_least_170_plain_goods() -> None:
    assert len(ENTRIES) >= 170


def test_no_name_stands_twice() -> None:
    keys = [name_key(name) for entry in ENTRIES for name in [entry["ingredient"], *entry.get("also", [])]]
    assert sorted(key for key in set(keys) if keys.count(key) > 1) == []


@pytest.mark.parametrize("entry", ENTRIES, ids=_id)
def test_an_entry_is_whole(entry: dict[str, Any]) -> None:
    assert set(entry) <= KEYS
    assert len(entry["ground"]) > 20
    assert entry["source"]
    assert entry["allergens"]["otherwise"] == "none"
    assert set(entry["allergens"]) <= {"contains", "unconfirmed", "otherwise"}
    for item in [*entry["allergens"]["contains"], *entry["allergens"].get("unconfirmed", [])]:
        source = item if isinstance(item, str) else item["source"]
        assert source in SOURCES
        if not isinstance(item, str):
            assert set(item) == {"source", "derivation"}
            assert item["derivation"] in DERIVATIONS
    if entry["file"] == "drinks.yaml":
        assert re.fullmatch(r"[\d.]+ % vol", entry["strength"])


@pytest.mark.parametrize("entry", [entry for entry in ENTRIES if "composition" in entry], ids=_id)
def test_the_row_is_there_and_is_named_in_the_source(entry: dict[str, Any]) -> None:
    # The row's own long description in the release stands in the source, so that a wrong code is seen at a glance.
    code = entry["composition"].removeprefix("sr28:")
    assert code in TABLE_NAMES
    assert entry["source"].endswith(f"NDB {code}: {TABLE_NAMES[code]}".replace('"', "'"))


@pytest.mark.parametrize("entry", [entry for entry in ENTRIES if "composition" not in entry], ids=_id)
def test_an_entry_without_a_row_gives_its_figures_or_says_that_they_are_missing(entry: dict[str, Any]) -> None:
    assert "per_100_g" in entry or "missing" in entry["ground"]


# Regulation (EU) No 1169/2011, Annex II (as amended by Delegated Regulation (EU) No 78/2014): the groups and what stands outside.
ANNEX_II = [
    ("water", set()),
    ("xanthan gum", set()),
    ("vanilla pod", set()),
    ("cream of tartar", set()),
    ("cocoa butter", set()),
    ("buckwheat flour", set()),
    ("nutmeg", set()),
    ("butternut squash", set()),
    ("chestnut mushroom", set()),
    ("oyster mushroom", set()),
    ("lactic acid", set()),
    ("plain flour", {("wheat", "")}),
    ("spelt flour", {("wheat", "")}),  # 1: wheat, "such as spelt and khorasan wheat"
    ("pearl barley", {("barley", "")}),
    ("oats", {("oats", "")}),
    ("rye flour", {("rye", "")}),
    ("glucose syrup", {("wheat", "glucose syrup"), ("sulphite", "")}),  # 1(a)
    ("maltodextrin", {("wheat", "maltodextrin")}),  # 1(b)
    ("gin", {("wheat", "distillate"), ("barley", "distillate"), ("rye", "distillate")}),  # 1(d)
    ("beer", {("barley", "")}),
    ("distilled malt vinegar", {("barley", "")}),
    ("lobster", {("lobster", "")}),
    ("egg white", {("egg", "")}),
    ("quail egg", {("quail egg", "")}),
    ("cod", {("cod", "")}),
    ("fish gelatine", {("fish", ""), ("sulphite", "")}),  # 4(a), (b) exempt other uses only
    ("groundnut oil", {("peanut", "")}),  # 5: no exemption
    ("tofu", {("soya", "")}),
    ("refined soya oil", {("soya", "refined oil")}),  # 6(a)
    ("whole milk", {("milk", "")}),
    ("double cream", {("milk", "")}),
    ("butter", {("milk", "")}),
    ("ground almonds", {("almond", "")}),
    ("walnut oil", {("walnut", "")}),
    ("pistachios", {("pistachio", "")}),
    ("celeriac", {("celery", "")}),
    ("celery seed", {("celery", "")}),
    ("mustard seed", {("mustard", "")}),
    ("tahini", {("sesame", "")}),
    ("red wine", {("sulphite", "")}),  # 12
    ("dried apricots", {("sulphite", "")}),
    ("unsulphured dried apricots", set()),
    ("lupin flour", {("lupin", "")}),
    ("mussels", {("mussel", "")}),
    ("squid", {("squid", "")}),
]


@pytest.mark.parametrize(("name", "expected"), ANNEX_II, ids=[name for name, _ in ANNEX_II])
def test_allergens_follow_from_what_the_thing_is(name: str, expected: set[tuple[str, str]]) -> None:
    assert findings(name) == expected


def test_what_may_be_anything_is_not_on_the_shelf() -> None:
    # Common practice, no source: each of these can be made of, or with, more than one thing.
    composites = [
        "gelatine",
        "baking powder",
        "stock",
        "bread",
        "chocolate",
        "mustard",
        "mayonnaise",
        "soy sauce",
        "curry powder",
    ]
    assert [
        name for name in [*composites, "lemon juice", "vegetable oil", "flour", "vinegar"] if name_key(name) in BY_NAME
    ] == []


# Regulation (EC) No 1333/2008, Annex II, Part E: the most sulphur dioxide, 11.1 glucose syrup 20 mg/kg, 11.2 treacle and molasses
# 70 mg/kg, other syrups 40 mg/kg; Regulation (EU) No 231/2012, E 440: pectin 50 mg/kg.
@pytest.mark.parametrize(
    ("name", "most"),
    [("glucose syrup", "20 mg/kg"), ("treacle", "70 mg/kg"), ("golden syrup", "40 mg/kg"), ("pectin", "50 mg/kg")],
)
def test_sulphite_is_taken_at_the_most_the_law_allows(name: str, most: str) -> None:
    assert BY_NAME[name_key(name)]["sulphites"] == most
    assert ("sulphite", "") in findings(name)


def test_a_doubt_is_kept_as_a_doubt() -> None:
    # Sulphur dioxide is allowed in dried grapes and in fresh crustaceans (Regulation (EC) No 1333/2008, Annex II, Part E).
    for name in ("raisins", "sultanas", "prunes", "prawns", "squid"):
        assert BY_NAME[name_key(name)]["allergens"]["unconfirmed"] == ["sulphite"]
    # Common practice, no source: beers other than of barley alone are sold by the same name.
    assert BY_NAME[name_key("beer")]["allergens"]["unconfirmed"] == ["wheat", "rye", "oats", "sulphite"]
    # Commission Implementing Regulation (EU) No 579/2012: egg and milk used in fining wine are labelled if left in it.
    assert BY_NAME[name_key("red wine")]["allergens"]["unconfirmed"] == ["egg", "milk"]
