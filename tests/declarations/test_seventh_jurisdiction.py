"""A jurisdiction that is made up here declares a dish: law is a folder of data, and no line of Python knows its name."""

import shutil
from pathlib import Path

import pytest

from labeller.jurisdictions import packs
from labeller.jurisdictions.compiling import as_bytes, compile_folder, compiled_path
from tests.jurisdictions.test_packs import write_sandbar
from tests.kitchens import Kitchen, plate, rows, run

DISH = (
    '- ingredient: sweet thing\n  composition: sr28:12120\n  spec: {statement: "Hazelnuts, honey, milk, sesame seeds"}\n'
    '- ingredient: bare\n- ingredient: dried fruit\n  sulphites: 200 mg/kg\n  spec: {statement: "Apricots, sulphur dioxide"}\n'
    + plate("100 g sweet thing")
    + plate("1 g bare", name="unknown")
    + plate("10 g dried fruit", "90 g water", name="fruit")
)


@pytest.fixture
def seventh(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Compile Sandbar beside the shipped ones, in a folder that is then taken for that of the tool."""
    shipped, folder = packs.jurisdictions_folder(), tmp_path / "jurisdictions"
    for code in ("eu", "gb"):
        shutil.copytree(shipped / code, folder / code)
    sandbar = write_sandbar(folder)
    pack, faults = compile_folder(sandbar)
    assert faults == []
    assert pack is not None
    compiled_path(sandbar).write_bytes(as_bytes(pack))
    monkeypatch.setattr(packs, "jurisdictions_folder", lambda: folder)
    return folder


def test_its_own_groups_and_no_others(seventh: Path, kitchen: Kitchen) -> None:
    """Sandbar's groups in 2023: sesame, tree fruits (almond, coconut, nut not given) and honey."""
    kitchen.write(DISH, law="sandbar")
    ran = run("declare", kitchen.folder, "--json", "--on", "2023-01-01")
    assert ran.code == 0, ran.err
    document = ran.json()
    assert document["jurisdiction"] == "sandbar"
    found = {one["name"]: rows(one) for one in document["declarations"]}
    assert {name: row["status"] for name, row in found["plate"].items()} == {
        "sesame": "contains",
        "nuts": "none declared",  # hazelnut is none of its tree fruits
        "honey": "contains",
    }
    assert found["plate"]["honey"]["because"] == [["sweet thing"]]
    assert {row["status"] for row in found["unknown"].values()} >= {"unconfirmed"}


def test_the_day_decides_there_too(seventh: Path, kitchen: Kitchen) -> None:
    """Honey came on 1 June 2022 and went on 1 January 2025."""
    kitchen.write(DISH, law="sandbar")
    for day, there in (("2022-05-31", False), ("2022-06-01", True), ("2024-12-31", True), ("2025-01-01", False)):
        found = run("declare", kitchen.folder, "--json", "--of", "plate", "--on", day).json()["declarations"][0]
        assert ("honey" in rows(found)) is there, day


def test_its_own_words_and_rounding(seventh: Path, kitchen: Kitchen) -> None:
    kitchen.write(DISH, law="eu")
    found = run(
        "declare", kitchen.folder, "--json", "--of", "plate", "--jurisdiction", "sandbar", "--on", "2023-01-01"
    )
    declared = found.json()["declarations"][0]["nutrition"]["declared"]
    # USDA SR28 12120: fat 60.75 in 100 g, to the nearest 2 g by Sandbar's section 9
    assert declared == {"per_100_g": {}, "per_portion": {"fat_g": "60"}}
    page = run("declare", kitchen.folder, "--jurisdiction", "sandbar", "--on", "2023-01-01")
    assert page.code == 0
    assert "Sandbar" in page.out
    assert max(map(len, page.out.splitlines())) <= 80


def test_it_is_named_among_those_known(seventh: Path, kitchen: Kitchen) -> None:
    kitchen.write(DISH, law="sandbank")
    (fault,) = kitchen.faults()
    assert "'sandbank'" in fault["problem"]
    assert "sandbar" in fault["mend"]
    assert fault["line"] == 2
