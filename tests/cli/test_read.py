"""``labeller read``: the contract's document, and the words for people."""

import json
from typing import Any

import pytest

from labeller.cli.read import read

STATEMENT = (
    "Wheat flour, glucose syrup (wheat), butter (milk), emulsifier: lecithin, hazelnuts, white wine, zorblax. "
    "May contain sesame."
)


def document(capsys: pytest.CaptureFixture[str], statement: str, jurisdiction: str = "eu") -> dict[str, Any]:
    assert read(statement, jurisdiction, json_out=True) == 0
    return dict(json.loads(capsys.readouterr().out))


def test_the_document_has_the_five_parts_of_the_contract(capsys: pytest.CaptureFixture[str]) -> None:
    found = document(capsys, STATEMENT)
    assert list(found) == ["contains", "may_contain", "exempt", "unclear", "not_understood"]
    assert [(row["group"], row["sources"]) for row in found["contains"]] == [
        ("gluten", ["wheat"]),
        ("milk", ["milk"]),
        ("nuts", ["hazelnut"]),
        ("sulphites", ["sulphite"]),
    ]
    assert found["contains"][0]["words"] == "Wheat"
    assert [(row["group"], row["words"]) for row in found["may_contain"]] == [("sesame", "sesame")]
    assert [(row["words"], row["groups"]) for row in found["unclear"]] == [("lecithin", ["egg", "soya"])]
    assert found["not_understood"] == ["zorblax"]


def test_what_is_exempt_has_its_clause(capsys: pytest.CaptureFixture[str]) -> None:
    """Regulation (EU) No 1169/2011, Annex II, 1(a): wheat based glucose syrups."""
    (row,) = document(capsys, STATEMENT)["exempt"]
    assert (row["words"], row["source"]) == ("glucose syrup (wheat)", "wheat")
    assert "1169/2011" in row["clause"]
    assert "1(a)" in row["clause"]


def test_the_groups_are_those_of_the_jurisdiction(capsys: pytest.CaptureFixture[str]) -> None:
    """21 U.S.C. 321(qq): wheat in the place of gluten; barley, celery and molluscs are on no list there."""
    found = document(capsys, "wheat flour, barley, celery, mussels, peanuts", "us")
    assert {row["group"] for row in found["contains"]} == {"peanut", "wheat"}


def test_dextrose_without_its_source_is_a_doubt_only_where_the_law_does_not_exempt_it(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Annex II, 1(a) exempts wheat dextrose; 21 U.S.C. 321(qq) has no such line."""
    assert document(capsys, "dextrose")["unclear"] == []
    assert document(capsys, "dextrose", "us")["unclear"] == [{"words": "dextrose", "groups": ["wheat"]}]


def test_words_for_people(capsys: pytest.CaptureFixture[str]) -> None:
    assert read(STATEMENT, "gb", json_out=False) == 0
    said = capsys.readouterr().out
    assert "Contains: nuts (hazelnut), in the words: hazelnuts" in said
    assert "Not known: egg, soya. 'lecithin' does not say. Ask the supplier." in said
    assert "Words not understood, which change nothing: zorblax" in said
    assert "free from" not in said.lower()


def test_a_statement_without_allergens_says_so_without_a_promise(capsys: pytest.CaptureFixture[str]) -> None:
    assert read("sugar, water", "eu", json_out=False) == 0
    assert "No allergen of this law in these words." in capsys.readouterr().out


def test_a_text_too_long_is_wrong_usage_and_still_one_document(capsys: pytest.CaptureFixture[str]) -> None:
    assert read("a" * 1_000_001, "eu", json_out=True) == 2
    said = capsys.readouterr()
    assert json.loads(said.out)["unclear"][0]["words"] == "the whole statement"
    assert "1,000,000 bytes" in said.err


def test_a_jurisdiction_nobody_knows_is_wrong_usage(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        read("milk", "xx", json_out=True)
    assert ended.value.code == 2
    assert "'xx' is not a jurisdiction this tool knows" in capsys.readouterr().err


def test_words_that_are_no_list_are_not_called_clean(capsys: pytest.CaptureFixture[str]) -> None:
    assert read("house blend", "eu", json_out=False) == 0
    said = capsys.readouterr().out
    assert "No allergen of this law" not in said
    assert "every allergen stays not known" in said
