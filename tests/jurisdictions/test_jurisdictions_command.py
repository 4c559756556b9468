"""The list of jurisdictions with their coverage."""

import json

import pytest

from labeller.cli.jurisdictions import jurisdictions


def test_the_list_for_people_fits_eighty_columns(capsys: pytest.CaptureFixture[str]) -> None:
    assert jurisdictions(json_out=False) == 0
    lines = capsys.readouterr().out.splitlines()
    assert max(map(len, lines)) <= 80
    heads = [
        line for line in lines if line and not line.startswith(" ") and ": " in line and line.split(":")[0] in HEADS
    ]
    assert heads == [f"{code}: {title}" for code, title in HEADS.items()]
    assert any("energy factors" in line for line in lines)


HEADS = {
    "au-nz": "Australia and New Zealand",
    "ca": "Canada",
    "codex": "Codex Alimentarius",
    "eu": "European Union",
    "gb": "Great Britain",
    "us": "United States",
}


def test_the_list_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert jurisdictions(json_out=True) == 0
    listed = json.loads(capsys.readouterr().out)
    assert [entry["code"] for entry in listed] == list(HEADS)
    for entry in listed:
        assert 0 < entry["confirmed"] <= entry["rows"]
        assert entry["first"] == entry["changes"][0]
        assert {subject["status"] for subject in entry["coverage"]} <= {"whole", "partial", "unconfirmed"}
        assert len(entry["coverage"]) == 17 + (entry["code"] == "gb")  # sixteen subjects, the panel; gb: front of pack
    union = next(entry for entry in listed if entry["code"] == "eu")
    whole = {subject["subject"] for subject in union["coverage"] if subject["status"] == "whole"}
    assert {"groups", "sulphites", "intakes"} <= whole
