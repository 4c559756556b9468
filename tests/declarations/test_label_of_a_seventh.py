"""A label by a law made up here: its folder is loaded, put in force and used, and no Python knows its name."""

from datetime import date
from pathlib import Path

import pytest

from labeller.cli.opening import read_and_work_out
from labeller.declarations.daily_intake import daily_intake
from labeller.declarations.declaring import Declarer
from labeller.declarations.ingredient_list import label_of
from labeller.declarations.tolerance_warnings import tolerance_warnings
from labeller.jurisdictions.compiling import as_bytes, compile_folder, compiled_path
from labeller.jurisdictions.packs import load_jurisdiction
from tests.jurisdictions.test_packs import write_sandbar
from tests.kitchens import Kitchen, plate


@pytest.fixture
def declarer(tmp_path: Path, kitchen: Kitchen) -> Declarer:
    """Return a declarer by the law of Sandbar of 2023 for a dish of a sesame paste and fat."""
    folder = write_sandbar(tmp_path)
    factors = folder / "energy_factors.yaml"
    more = "".join(
        f'  - {{key: {key}, kj: 17, applies_from: 2020-01-01, clause: "8"}}\n'
        for key in ("protein", "carbohydrate", "alcohol")
    )
    factors.write_text(factors.read_text(encoding="utf-8") + more, encoding="utf-8")
    pack, faults = compile_folder(folder)
    assert faults == []
    assert pack is not None
    compiled_path(folder).write_bytes(as_bytes(pack))
    kitchen.write(
        '- ingredient: pale paste\n  per_100_g: {fat_g: 30}\n  spec: {statement: "Tahini, milk, honey"}\n'
        + plate("about 50 g pale paste", "2 g salt")
    )
    _, workings, notes = read_and_work_out(kitchen.folder)
    assert notes.faults == []
    assert workings is not None
    return Declarer(workings, load_jurisdiction("sandbar", tmp_path).in_force_on(date(2023, 1, 1)))


def test_its_label(declarer: Declarer) -> None:
    """Sandbar wants both: sesame and honey in the list, and a line that begins with Holds. Milk is nothing to it."""
    declaration = declarer.dish("plate")
    assert {row.group.name: row.status for row in declaration.allergens} == {
        "sesame": "contains",
        "nuts": "none declared",
        "honey": "contains",
    }
    label = label_of(declarer.workings, declaration)
    assert label.ingredients.in_capitals() == "Ingredients: pale paste (tahini (SESAME), milk, HONEY), salt."
    assert label.contains.text == "Holds: sesame, honey."
    assert label.contains.bold
    assert label.quantities == ()


def test_its_day_and_its_tolerance(declarer: Declarer) -> None:
    """Its clause 10: 60 g of fat a day, 15 g is 25 %; its clause 11: 1 g more or less."""
    declaration = declarer.dish("plate")
    assert [(one.key, one.percent, one.clause.as_text()) for one in daily_intake(declaration).per_portion] == [
        ("fat_g", "25", "Tide Act 2020, 10")
    ]
    found = tolerance_warnings(declarer.workings, declarer.definitions, declaration)
    assert [(one.key, one.basis, one.allowed.clause.pinpoint) for one in found] == [("fat_g", "per_portion", "11")]
    assert found[0].low < 15.0 < found[0].high
