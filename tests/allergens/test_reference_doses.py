"""Reference doses against the figures of the FAO/WHO reports and the Belgian notice."""

import importlib.util
import math

import pytest

from labeller.allergens.reference_doses import (
    action_level_mg_per_kg,
    calls_for_warning,
    exposure_mg,
    reference_dose,
    reference_dose_of,
)
from labeller.foundations.places import reference_data_folder

ALLERGENS = reference_data_folder() / "allergens"

# FAO/WHO, Risk assessment of food allergens, Part 2 (2022): recommended reference doses, mg total protein.
PART_2 = [
    ("walnut", 1.0),
    ("pecan", 1.0),  # covered by walnut
    ("cashew", 1.0),
    ("pistachio", 1.0),  # covered by cashew
    ("almond", 1.0),  # provisional
    ("peanut", 2.0),
    ("egg", 2.0),
    ("milk", 2.0),
    ("sesame", 2.0),
    ("hazelnut", 3.0),
    ("wheat", 5.0),
    ("cod", 5.0),  # fish
    ("salmon", 5.0),
    ("shrimp", 200.0),  # crustacean
    ("crab", 200.0),
]
# The same, Part 5 (2023).
PART_5 = [
    ("celery", 1.0),
    ("soya", 10.0),
    ("mustard", 1.0),
    ("lupin", 10.0),
    ("buckwheat", 10.0),
    ("brazil nut", 1.0),
    ("macadamia", 1.0),
    ("pine nut", 1.0),
]


@pytest.mark.parametrize(("source", "dose_mg"), PART_2 + PART_5)
def test_doses_as_published(source: str, dose_mg: float) -> None:
    assert reference_dose(source) == dose_mg


@pytest.mark.parametrize(
    "source", ["oats", "mussel", "barley", "rye", "sulphite", "nut", "gluten cereal", "no such thing", ""]
)
def test_no_dose_is_none_and_never_zero(source: str) -> None:
    """Part 5 recommends none for oats; for the others none is set (from memory), or which food it is is not said."""
    assert reference_dose(source) is None


def test_a_dose_carries_its_report_and_standing() -> None:
    dose = reference_dose_of("soya")
    assert dose is not None
    assert "Part 5" in dose.report
    assert dose.confirmed
    mollusc = reference_dose_of("mussel")
    assert mollusc is not None
    assert not mollusc.confirmed
    assert "from memory" in mollusc.ground


def test_soup_with_a_little_milk() -> None:
    """300 g of soup at 10 mg/kg: 10 x 0.300 = 3.0 mg, above 2.0; action level 2.0 / 0.300 = 6.7 mg/kg (Parts 2 and 3)."""
    exposure = exposure_mg(10, 300)
    assert exposure == pytest.approx(3.0)
    assert calls_for_warning("milk", exposure)
    dose_mg = reference_dose("milk")
    assert dose_mg is not None
    assert f"{action_level_mg_per_kg(dose_mg, 300):.1f}" == "6.7"


@pytest.mark.parametrize(("portion_g", "printed"), [(25, "44"), (400, "2.8")])
def test_action_levels_of_the_belgian_notice(portion_g: float, printed: str) -> None:
    """FASFC Scientific Committee, notice 24-2017: peanut 1.1 mg gives 44 mg/kg at 25 g and 2.8 mg/kg at 400 g."""
    assert f"{action_level_mg_per_kg(1.1, portion_g):.2g}" == printed


# What reaches the dose, from typical protein contents (common practice, no source): food in mg.
REACHED = [("peanut", 26, 7.7), ("egg", 12.5, 16), ("milk", 3.4, 59), ("wheat", 10, 50), ("sesame", 18, 11),
           ("almond", 21, 4.8), ("cod", 18, 28), ("shrimp", 20, 1000)]  # fmt: skip


@pytest.mark.parametrize(("source", "protein_percent", "food_mg"), REACHED)
def test_how_much_food_reaches_the_dose(source: str, protein_percent: float, food_mg: float) -> None:
    dose_mg = reference_dose(source)
    assert dose_mg is not None
    assert float(f"{dose_mg / (protein_percent / 100):.2g}") == pytest.approx(food_mg)


@pytest.mark.parametrize(
    ("source", "exposure", "warn"),
    [
        ("milk", 2.0, False),  # Part 3: at or below the dose no warning
        ("milk", 0.1 * 20, False),  # binary noise does not decide
        ("milk", 2.1, True),
        ("milk", None, True),  # without a figure, warn
        ("oats", 0.5, True),  # without a dose, warn
        ("mussel", 0.0, False),
        ("hazelnut", 3.1, True),
    ],
)
def test_when_to_warn(source: str, exposure: float | None, warn: bool) -> None:
    assert calls_for_warning(source, exposure) is warn


@pytest.mark.parametrize("figure", [-1.0, math.nan, math.inf])
def test_what_is_no_amount_is_refused(figure: float) -> None:
    with pytest.raises(ValueError, match=r"A concentration of .* is not an amount: give a number of 0 or above\."):
        exposure_mg(figure, 100)
    with pytest.raises(ValueError, match=r"A portion of .* is not an amount"):
        exposure_mg(10, figure)
    with pytest.raises(ValueError, match=r"A dose of .* is not an amount"):
        action_level_mg_per_kg(figure, 100)
    with pytest.raises(ValueError, match=r"An exposure of .* is not an amount"):
        calls_for_warning("milk", figure)


def test_a_portion_of_nothing_has_no_action_level() -> None:
    with pytest.raises(ValueError, match="A portion of 0 g has no action level"):
        action_level_mg_per_kg(2.0, 0)


def test_the_compiled_doses_are_current() -> None:
    spec = importlib.util.spec_from_file_location("build_reference_doses", ALLERGENS / "build_reference_doses.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    assert (ALLERGENS / "reference_doses.json").read_text(encoding="utf-8") == module.compile_doses(), (
        "Run python reference_data/allergens/build_reference_doses.py"
    )
