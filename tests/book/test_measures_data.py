"""The household measures: what stands in the file, and that the compiled form is what it says."""

import csv
import importlib.util
import json
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from labeller.foundations.names import name_key
from labeller.foundations.places import reference_data_folder

FOLDER = reference_data_folder() / "measures"
MEASURES: dict[str, Any] = json.loads((FOLDER / "measures.json").read_text(encoding="utf-8"))
DENSITIES: list[dict[str, Any]] = MEASURES["densities"]
PIECES: list[dict[str, Any]] = MEASURES["pieces"]


def _id(entry: dict[str, Any]) -> str:
    return str(entry["ingredient"] if "ingredient" in entry else entry["names"][0])


def load_script(path: Path) -> ModuleType:
    spec = importlib.util.spec_from_file_location(f"build_{path.parent.name}", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def density_of(name: str) -> float:
    found = [
        entry["g_per_ml"] for entry in DENSITIES if name_key(name) in {name_key(known) for known in entry["names"]}
    ]
    assert len(found) == 1
    return float(found[0])


def test_the_compiled_measures_are_what_the_file_says() -> None:
    build = load_script(FOLDER / "build.py")
    assert (FOLDER / "measures.json").read_text(encoding="utf-8") == build.compile_measures(FOLDER / "measures.yaml")


def test_every_figure_has_its_ground_and_says_whether_it_is_confirmed() -> None:
    units = [unit for country in MEASURES["units_ml"].values() for unit in country.values()]
    for entry in [*units, *MEASURES["small"].values(), *MEASURES["rough"].values(), *DENSITIES, *PIECES]:
        assert entry["ground"]
        assert entry["confirmed"] in (True, False)
        assert not (entry["confirmed"] and "memory" in entry["ground"])


def test_no_food_has_two_figures() -> None:
    names = [name_key(name) for entry in DENSITIES for name in entry["names"]]
    assert sorted(name for name in set(names) if names.count(name) > 1) == []
    pieces = [(name_key(name), entry.get("piece", "")) for entry in PIECES for name in entry["names"]]
    assert len(pieces) == len(set(pieces))


def test_the_rows_are_there() -> None:
    with (FOLDER.parent / "composition" / "sr28.csv").open(encoding="utf-8", newline="") as file:
        codes = {row["food_code"] for row in csv.DictReader(file)}
    cited = {entry["code"] for entry in DENSITIES if "code" in entry}
    assert len(cited) > 50
    assert cited <= codes


@pytest.mark.parametrize("entry", DENSITIES, ids=_id)
def test_densities_lie_where_foods_lie(entry: dict[str, Any]) -> None:
    assert 0.1 < entry["g_per_ml"] < 1.5


# NIST Handbook 44, Appendix C: 1 US gallon = 231 cubic inches = 3785.411784 ml; 16 cups, 8 pints, 128 fluid ounces, 256 tablespoons.
# Units of Measurement Regulations 1995 (United Kingdom): 1 pint = 0.56826125 l = 20 fluid ounces.
@pytest.mark.parametrize(
    ("country", "unit", "ml"),
    [
        ("us", "cup", 3785.411784 / 16),
        ("us", "pint", 3785.411784 / 8),
        ("us", "fl oz", 3785.411784 / 128),
        ("us", "tbsp", 3785.411784 / 256),
        ("us", "tsp", 3785.411784 / 768),
        ("gb", "pint", 568.26125),
        ("gb", "fl oz", 568.26125 / 20),
    ],
)
def test_units_as_defined(country: str, unit: str, ml: float) -> None:
    assert MEASURES["units_ml"][country][unit]["ml"] == pytest.approx(ml, rel=3e-6)


@pytest.mark.parametrize("country", ["eu", "gb", "us", "ca", "au-nz", "codex"])
def test_every_jurisdiction_has_every_unit(country: str) -> None:
    units = MEASURES["units_ml"][country]
    assert set(units) == {"tsp", "tbsp", "cup", "fl oz", "pint"}
    assert units["tsp"]["ml"] < units["tbsp"]["ml"] < units["fl oz"]["ml"] < units["cup"]["ml"] < units["pint"]["ml"]


def test_the_australian_tablespoon_is_larger() -> None:
    assert MEASURES["units_ml"]["au-nz"]["tbsp"]["ml"] == 20  # common practice, no source
    assert MEASURES["units_ml"]["gb"]["tbsp"]["ml"] == 15  # common practice, no source


# USDA National Nutrient Database for Standard Reference, Release 28, weights of one US cup: flour 125 g, sugar by teaspoon 4.2 g,
# whole milk 244 g, honey 339 g, olive oil 216 g, salt by tablespoon 18 g.
@pytest.mark.parametrize(
    ("name", "grams", "ml"),
    [
        ("plain flour", 125, 236.588),
        ("sugar", 4.2, 4.92892),
        ("milk", 244, 236.588),
        ("honey", 339, 236.588),
        ("olive oil", 216, 236.588),
        ("salt", 18, 14.7868),
    ],
)
def test_densities_as_the_table_weighs_a_measure(name: str, grams: float, ml: float) -> None:
    assert density_of(name) == pytest.approx(grams / ml, abs=0.0006)


def test_small_measures() -> None:
    # No standard exists: common practice, no source.
    assert MEASURES["small"]["pinch"] | {"ground": ""} == {
        "unit": "tsp",
        "share": 0.0625,
        "confirmed": False,
        "ground": "",
    }
    assert MEASURES["small"]["knife tip"]["grams"] == 0.3


@pytest.mark.parametrize(
    ("name", "piece", "grams"),
    [
        ("gelatine", "leaf", 2.0),  # trade practice: gold leaf 2.0 g
        ("garlic", "clove", 3.0),  # common practice, no source
        ("vanilla pod", "", 3.0),  # common practice, no source
        ("quail egg", "", 9.0),  # SR28, NDB 01140
        ("duck egg", "", 70.0),  # SR28, NDB 01138
    ],
)
def test_pieces(name: str, piece: str, grams: float) -> None:
    found = [
        entry["grams"]
        for entry in PIECES
        if entry.get("piece", "") == piece and name_key(name) in map(name_key, entry["names"])
    ]
    assert found == [grams]


def test_a_measure_that_is_not_true_or_false_is_refused() -> None:
    build = load_script(FOLDER / "build.py")
    with pytest.raises(ValueError, match="'perhaps' is not true or false"):
        build.typed("", {"confirmed": "perhaps"})
