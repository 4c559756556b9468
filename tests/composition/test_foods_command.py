"""What ``labeller foods`` prints."""

import json

import pytest

from labeller.cli.foods import foods


def test_text_fits_80_columns_and_leads_with_the_right_row(capsys: pytest.CaptureFixture[str]) -> None:
    assert foods(["caster", "sugar"], json_out=False) == 0
    printed = capsys.readouterr()
    assert printed.err == ""
    lines = printed.out.splitlines()
    assert lines[0].split("  ")[0] == "sr28:19335"
    assert "Sugars, granulated" in lines[0]
    assert lines[0].endswith("Sweets")
    assert all(len(line) <= 80 for line in lines)


def test_json_has_the_shape_of_the_contract(capsys: pytest.CaptureFixture[str]) -> None:
    # kitchen-book contract, section 4: foods --json: [{"food","name","group"}], best first
    assert foods(["double cream"], json_out=True) == 0
    printed = capsys.readouterr()
    document = json.loads(printed.out)
    assert document[0] == {
        "food": "sr28:01053",
        "name": "Cream, fluid, heavy whipping",
        "group": "Dairy and Egg Products",
    }
    assert all(set(row) == {"food", "name", "group"} for row in document)
    assert printed.err == ""


def test_nothing_found_names_the_nearest_words(capsys: pytest.CaptureFixture[str]) -> None:
    assert foods(["mascarpone"], json_out=False) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.startswith(
        "foods: 'mascarpone' is not in the reference table.\n    The nearest words it knows: "
    )


def test_nothing_found_and_nothing_near(capsys: pytest.CaptureFixture[str]) -> None:
    assert foods(["§§§"], json_out=False) == 2
    assert "Write another name for the food" in capsys.readouterr().err


def test_nothing_found_as_json_is_an_empty_list(capsys: pytest.CaptureFixture[str]) -> None:
    assert foods(["zzzqx"], json_out=True) == 2
    printed = capsys.readouterr()
    assert json.loads(printed.out) == []
    assert printed.err == ""
