"""The data of every jurisdiction: complete, cited, dated, compiled, fast; and a new one needs no Python."""

import shutil
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest
import yaml

from labeller.foundations.places import reference_data_folder
from labeller.jurisdictions.compiling import as_bytes, compile_folder, compiled_path
from labeller.jurisdictions.faults_of_law import UnknownJurisdictionError
from labeller.jurisdictions.packs import COMPILED_NAME, MORE_SUBJECTS, SUBJECTS, known_jurisdictions, load_jurisdiction
from labeller.jurisdictions.schema import MORE_ROWS, ROWS

CODES = ["au-nz", "ca", "codex", "eu", "gb", "us"]
FOLDER = reference_data_folder() / "jurisdictions"
# The subjects the tool asks of every law.
ASKED = {
    "groups",
    "names",
    "exemptions",
    "sulphites",
    "definitions",
    "nutrients",
    "energy_factors",
    "rounding",
    "intakes",
    "tolerances",
    "alcohol",
    "letters",
    "offers",
    "lists",
    "emphasis",
    "statements",
}


def test_the_six_and_the_registry_equals_the_folders() -> None:
    assert list(known_jurisdictions()) == CODES
    assert sorted(path.parent.name for path in FOLDER.glob("*/about.yaml")) == CODES


def test_the_subjects_are_those_asked() -> None:
    assert set(SUBJECTS) == ASKED == set(ROWS)
    assert set(MORE_SUBJECTS) == set(MORE_ROWS)


@pytest.mark.parametrize("code", CODES)
@pytest.mark.parametrize("subject", sorted(ASKED))
def test_no_pack_lacks_a_subject(code: str, subject: str) -> None:
    pack = load_jurisdiction(code)
    assert pack._subjects[subject]
    assert pack.in_force_on(date(2026, 11, 25)).covers(subject)
    assert (FOLDER / code / f"{subject}.yaml").is_file()


@pytest.mark.parametrize("code", CODES)
def test_every_value_is_cited_and_dated(code: str) -> None:
    pack = load_jurisdiction(code)
    for subject, rows in pack._subjects.items():
        for row in rows:
            place = f"{code}/{subject}/{row['key']}"
            assert row["clause"], place
            assert pack._laws[row["law"]]["title"], place
            assert pack._laws[row["law"]]["url"].startswith("https://"), place
            assert date.fromisoformat(pack._laws[row["law"]]["read_on"]) <= date(2026, 11, 25), place
            assert date.fromisoformat(row["applies_from"]) <= date(2026, 11, 25), place
            assert row["confirmed"] in (True, False), place
            assert row["confirmed"] or row["ground"], place
            assert not (row["confirmed"] and row.get("memory")), place


@pytest.mark.parametrize("code", CODES)
def test_a_value_from_memory_has_no_day_of_reading(code: str) -> None:
    law = load_jurisdiction(code).in_force_on(date(2026, 11, 25))
    clauses = [rule.clause for rule in law.rounding.values()]
    clauses += [rule.clause for rule in law.offers.values()]
    clauses += [rule.clause for rule in law.statements.values()]
    for clause in clauses:
        assert (clause.read_on is None) == clause.ground.startswith(("from memory", "common practice"))
        if not clause.confirmed:
            assert "not confirmed" in clause.as_text()


@pytest.mark.parametrize("code", CODES)
def test_nothing_cites_a_copy_or_this_workplace(code: str) -> None:
    """The law or the guidance itself is cited, not a copy of it."""
    written = "".join(path.read_text(encoding="utf-8") for path in (FOLDER / code).glob("*.yaml"))
    for word in ("scribd", "docslib", "law.md", "fact sheet", "/work", "pypi"):
        assert word not in written


@pytest.mark.parametrize("code", CODES)
def test_the_compiled_form_is_current(code: str) -> None:
    pack, faults = compile_folder(FOLDER / code)
    assert faults == []
    assert pack is not None
    assert as_bytes(pack) == compiled_path(FOLDER / code).read_bytes(), (
        "run python reference_data/jurisdictions/build.py"
    )


@pytest.mark.parametrize("code", CODES)
def test_every_attribute_of_the_law_can_be_read(code: str) -> None:
    law = load_jurisdiction(code).in_force_on(date(2026, 11, 25))
    assert law.code == code
    assert law.title
    assert law.day == date(2026, 11, 25)
    assert law.sulphite_limit.value > 0
    assert {"carbohydrate", "protein", "fat", "fibre", "alcohol", "polyols", "organic_acid"} <= set(law.energy_factors)
    assert law.energy_from in {"each", "kcal", "kj"}
    for part in (
        law.groups,
        law.nutrients,
        law.rounding,
        law.intakes,
        law.tolerances,
        law.alcohol,
        law.letters,
        law.offers,
    ):
        assert part
    assert law.statements["contains"].texts["en"] == law.emphasis.contains_word


@pytest.mark.parametrize("code", CODES)
def test_coverage_says_whole_only_where_everything_was_read(code: str) -> None:
    pack = load_jurisdiction(code)
    more = [subject for subject in MORE_SUBJECTS if subject in pack._subjects]
    assert [entry.subject for entry in pack.coverage] == [*SUBJECTS, *more]
    for entry in pack.coverage:
        assert entry.rows == len(pack._subjects[entry.subject])
        assert entry.status in {"whole", "partial", "unconfirmed"}
        if entry.status == "whole":
            assert entry.confirmed_rows == entry.rows
        assert entry.note


def test_loading_law_imports_nothing_heavy() -> None:
    """No pydantic, no YAML, no pandas, no numpy on the way to an answer."""
    heavy = "pydantic yaml pandas numpy reportlab requests rich typer"
    program = (
        "import sys\n"
        "from datetime import date\n"
        "from labeller.jurisdictions.packs import load_jurisdiction\n"
        "import labeller.jurisdictions.languages, labeller.declarations.rounding\n"
        "law = load_jurisdiction('gb').in_force_on(date(2026, 11, 25))\n"
        "assert law.groups and law.rounding\n"
        f"print([name for name in {heavy.split()!r} if name in sys.modules])\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", program], check=True, capture_output=True, text=True, cwd=FOLDER.parents[1], timeout=60
    )
    assert ran.stdout.strip() == "[]"


def test_an_unknown_jurisdiction_is_refused_with_the_nearest() -> None:
    with pytest.raises(
        UnknownJurisdictionError, match=r"'uss' is not a jurisdiction on file \(au-nz, ca, codex, .*Write 'us'"
    ):
        load_jurisdiction("uss")


@pytest.mark.parametrize("code", ["", "../jurisdictions/eu", "eu/..", ".", "EU\\"])
def test_a_code_is_no_path(code: str) -> None:
    with pytest.raises(UnknownJurisdictionError):
        load_jurisdiction(code)


def test_a_code_may_be_written_in_capitals() -> None:
    assert load_jurisdiction("GB").code == "gb"


# A made-up seventh jurisdiction: the land of Sandbar, whose law is written here and nowhere else.
SANDBAR = {
    "about": """
title: Sandbar
laws:
  tide: {title: Tide Act 2020, url: https://example.org/tide, read_on: 2026-11-25}
""",
    "groups": """
rows:
  - {key: sesame, title: Sesame and its oil, kinds: [sesame], examples: [tahini], applies_from: 2020-01-01, clause: "2(a)"}
  - {key: nuts, title: Tree fruits, sources: [almond, coconut, nut], examples: [almond], species_named: true, applies_from: 2020-01-01, clause: "2(b)"}
  - {key: honey, title: Honey, sources: [honey], examples: [honey], applies_from: 2022-06-01, clause: "2(c)"}
  - {key: sesame, title: Sesame, kinds: [sesame], examples: [tahini], applies_from: 2024-01-01, clause: "2(a) as amended"}
  - {key: honey, applies_from: 2025-01-01, clause: "2(c) repealed", repealed: true}
""",
    "names": """
rows: [{key: any sesame, group_word: sesame, applies_from: 2020-01-01, clause: "3"}]
""",
    "exemptions": """
rows: [{key: oil, derivations: [refined oil], kinds: [sesame], condition: clear oil, applies_from: 2020-01-01, clause: "4"}]
""",
    "sulphites": """
rows: [{key: limit, value: 25, unit: mg/kg, limit_counts: true, applies_from: 2020-01-01, clause: "5"}]
""",
    "definitions": """
rows:
  - {key: carbohydrate, value: with fibre, words: all of it, applies_from: 2020-01-01, clause: "6"}
  - {key: protein, value: as the table gives it, words: by the table, applies_from: 2020-01-01, clause: "6"}
  - {key: salt_or_sodium, value: salt, words: salt, applies_from: 2020-01-01, clause: "6"}
""",
    "nutrients": """
rows: [{key: fat_g, label: fattiness, unit: g, offers: [menu], mandatory_for: [menu], basis: [per_portion], applies_from: 2020-01-01, clause: "7"}]
""",
    "energy_factors": """
rows:
  - {key: method, energy_from: kj, kj_per_kcal: 4.2, applies_from: 2020-01-01, clause: "8"}
  - {key: fat, kj: 42, applies_from: 2020-01-01, clause: "8"}
""",
    "rounding": """
rows: [{key: fat_g, unit: g, zeros: dropped, bands: [{below: 2, show: nearly none}, {nearest: 2}], applies_from: 2020-01-01, clause: "9"}]
""",
    "intakes": "rows: [{key: fat_g, value: 60, unit: g, applies_from: 2020-01-01, clause: '10'}]",
    "tolerances": "rows: [{key: fat_g, unit: g, bands: [{plus: 1, minus: 1}], applies_from: 2020-01-01, clause: '11'}]",
    "alcohol": "rows: [{key: unit, kind: unit, value: 9, unit: g, words: thimble, applies_from: 2020-01-01, clause: '12'}]",
    "letters": "rows: [{key: all, what: all, measure: x_height_mm, least: 2, applies_from: 2020-01-01, clause: '13'}]",
    "offers": """
rows: [{key: menu, needs: [allergens], allergens: written, nutrition: required, applies_from: 2020-01-01, clause: "14"}]
""",
    "lists": "rows: [{key: order, words: by the alphabet, applies_from: 2020-01-01, clause: '14a'}]",
    "emphasis": """
rows: [{key: allergens, where: both, style: bold, contains_line: required, contains_word: Holds, required: true, applies_from: 2020-01-01, clause: "15"}]
""",
    "statements": "rows: [{key: contains, texts: {en: Holds}, when: always, applies_from: 2020-01-01, clause: '16'}]",
}


def write_sandbar(place: Path) -> Path:
    folder = place / "sandbar"
    folder.mkdir(parents=True)
    head = "description: Law of Sandbar.\nchecked_on: 2026-11-25\ndefaults: {law: tide, confirmed: true}\n"
    for subject, text in SANDBAR.items():
        written = text if subject == "about" else head + text
        (folder / f"{subject}.yaml").write_text(written, encoding="utf-8")
    coverage = "".join(f"{subject}: {{status: whole, note: All of it.}}\n" for subject in SUBJECTS)
    (folder / "coverage.yaml").write_text(coverage, encoding="utf-8")
    return folder


def test_a_seventh_jurisdiction_is_a_folder_of_data(tmp_path: Path) -> None:
    folder = write_sandbar(tmp_path)
    ran = subprocess.run(
        [sys.executable, str(FOLDER / "build.py"), str(tmp_path)],
        check=False,
        capture_output=True,
        text=True,
        cwd=FOLDER.parents[1],
        env={"PYTHONPATH": str(FOLDER.parents[1]), "PATH": "/usr/bin:/bin"},
        timeout=60,
    )
    assert (ran.returncode, ran.stderr) == (0, "")
    assert (folder / COMPILED_NAME).is_file()
    assert known_jurisdictions(tmp_path) == ("sandbar",)
    pack = load_jurisdiction("sandbar", tmp_path)
    law = pack.in_force_on(date(2023, 1, 1))
    assert law.title == "Sandbar"
    assert [group.name for group in law.groups] == ["sesame", "nuts", "honey"]
    nuts = law.group("nuts")
    assert nuts is not None
    assert nuts.includes("coconut", "nut")
    assert not nuts.includes("hazelnut", "nut")
    assert (law.sulphite_limit.value, law.sulphite_limit.limit_counts) == (25, True)
    assert law.energy_factors["fat"].kcal == pytest.approx(10.0)
    assert law.emphasis.contains_word == "Holds"
    exempt = law.exemption("sesame", "refined oil", "sesame")
    assert exempt is not None
    assert exempt.clause.as_text() == "Tide Act 2020, 4"
    assert pack.changes() == (date(2020, 1, 1), date(2022, 6, 1), date(2024, 1, 1), date(2025, 1, 1))


def test_a_seventh_jurisdiction_rounds_by_its_own_rule(tmp_path: Path) -> None:
    from labeller.declarations.rounding import round_declared

    folder = write_sandbar(tmp_path)
    pack, faults = compile_folder(folder)
    assert faults == []
    assert pack is not None
    compiled_path(folder).write_bytes(as_bytes(pack))
    rounding = load_jurisdiction("sandbar", tmp_path).in_force_on(date(2023, 1, 1)).rounding
    assert [round_declared(rounding, "fat_g", value) for value in (1.99, 2, 2.99, 3)] == ["nearly none", "2", "2", "4"]


def test_rows_follow_each_other_and_repeal_ends_them(tmp_path: Path) -> None:
    folder = write_sandbar(tmp_path)
    pack, _ = compile_folder(folder)
    assert pack is not None
    compiled_path(folder).write_bytes(as_bytes(pack))
    loaded = load_jurisdiction("sandbar", tmp_path)
    seen = {
        day: [(group.name, group.title) for group in loaded.in_force_on(date.fromisoformat(day)).groups]
        for day in ("2022-05-31", "2022-06-01", "2023-12-31", "2024-01-01", "2024-12-31", "2025-01-01")
    }
    old, new, nuts, honey = (
        ("sesame", "Sesame and its oil"),
        ("sesame", "Sesame"),
        ("nuts", "Tree fruits"),
        ("honey", "Honey"),
    )
    assert seen == {
        "2022-05-31": [old, nuts],
        "2022-06-01": [old, nuts, honey],
        "2023-12-31": [old, nuts, honey],
        "2024-01-01": [new, nuts, honey],
        "2024-12-31": [new, nuts, honey],
        "2025-01-01": [new, nuts],
    }


# What a writer of law may get wrong: the file, the text put in, what the fault says.
WRONG = [
    ("sulphites", "rows: [{key: limit, value: 25, unit: mg/kg, limit_counts: true, clause: '5'}]", "limit.applies_from: missing."),
    ("sulphites", "rows: [{key: limit, value: x, unit: mg/kg, limit_counts: true, applies_from: 2020-01-01, clause: '5'}]", "'x' is not right"),
    ("sulphites", "rows: [{key: limit, value: 25, unit: mg/kg, limit_counts: true, applies_from: 2020-01-01}]", "limit.clause: missing."),
    ("sulphites", "rows: [{key: limit, value: 25, value: 30}]", "'value' is given twice."),
    ("sulphites", "rows: [{key: limit, value: 25", "Mend the line."),
    ("letters", "rows: [{key: all, what: all, measure: x_height_mm, least: 2, colour: red, applies_from: 2020-01-01, clause: '13'}]", "all.colour: is not a key of this subject."),
    ("alcohol", "rows: [{key: unit, kind: unit, value: 9, unit: g, words: thimble, applies_from: 2020-01-01, clause: '12', law: moon}]", "'moon' is not a law of about.yaml."),
    ("intakes", "rows: [{key: fat_g, value: 60, unit: g, applies_from: 2020-01-01, clause: '10', confirmed: false}]", "write ground"),
    ("intakes", "rows: [{key: fat_g, value: 60, unit: g, applies_from: 2020-02-30, clause: '10'}]", "'2020-02-30' is not right"),
    (
        "intakes",
        "rows: [{key: a, value: 6, unit: g, applies_from: 2020-01-02, clause: '1'}, {key: a, value: 7, unit: g, applies_from: 2020-01-01, clause: '1'}]",
        "2020-01-01 does not come after 2020-01-02.",
    ),
    ("rounding", "rows: [{key: fat_g, unit: g, bands: [{below: 2, nearest: 1}], applies_from: 2020-01-01, clause: '9'}]", "the last has none"),
    ("rounding", "rows: [{key: fat_g, unit: g, bands: [{below: 2, nearest: 1, show: x}, {nearest: 1}], applies_from: 2020-01-01, clause: '9'}]", "one of nearest, significant, show"),
    ("rounding", "rows: [{key: fat_g, unit: g, bands: [{below: 5, nearest: 1}, {below: 2, nearest: 1}, {nearest: 2}], applies_from: 2020-01-01, clause: '9'}]", "bands rise"),
    ("energy_factors", "rows: [{key: fat, applies_from: 2020-01-01, clause: '8'}]", "a factor gives kj, kcal or both"),
    ("groups", "rows: [{key: sesame, title: Sesame, examples: [tahini], applies_from: 2020-01-01, clause: '2'}]", "a group needs kinds or sources"),
]  # fmt: skip


@pytest.mark.parametrize(("subject", "text", "said"), WRONG)
def test_a_mistake_in_the_law_is_named_with_its_file(tmp_path: Path, subject: str, text: str, said: str) -> None:
    folder = write_sandbar(tmp_path)
    head = "description: Law of Sandbar.\nchecked_on: 2026-11-25\ndefaults: {law: tide, confirmed: true}\n"
    (folder / f"{subject}.yaml").write_text(head + text + "\n", encoding="utf-8")
    pack, faults = compile_folder(folder)
    assert pack is None
    said_by = [fault.as_text() for fault in faults if fault.origin.path == f"sandbar/{subject}.yaml"]
    assert any(said in text for text in said_by), said_by
    assert all(fault.mend for fault in faults)


@pytest.mark.parametrize("subject", SUBJECTS)
def test_a_pack_that_lacks_a_subject_does_not_compile(tmp_path: Path, subject: str) -> None:
    folder = write_sandbar(tmp_path)
    (folder / f"{subject}.yaml").unlink()
    pack, faults = compile_folder(folder)
    assert pack is None
    assert any(f"the subject '{subject}' is missing" in fault.problem for fault in faults)


def test_a_file_that_is_no_subject_is_named(tmp_path: Path) -> None:
    folder = write_sandbar(tmp_path)
    shutil.copy(folder / "letters.yaml", folder / "lettres.yaml")
    pack, faults = compile_folder(folder)
    assert pack is None
    assert [fault.problem for fault in faults] == ["'lettres' is not a subject of law."]


def test_whole_is_not_said_of_what_was_not_read(tmp_path: Path) -> None:
    folder = write_sandbar(tmp_path)
    text = (folder / "letters.yaml").read_text(encoding="utf-8")
    (folder / "letters.yaml").write_text(
        text.replace("confirmed: true", "confirmed: false, ground: memory"), encoding="utf-8"
    )
    pack, faults = compile_folder(folder)
    assert pack is None
    assert [fault.problem for fault in faults] == ["is called whole, but 1 of 1 rows are not confirmed."]


def test_text_stays_text(tmp_path: Path) -> None:
    """A word such as NO is not false and 1.10 keeps its digits."""
    folder = write_sandbar(tmp_path)
    head = "description: Law of Sandbar.\nchecked_on: 2026-11-25\ndefaults: {law: tide, confirmed: true}\n"
    rows = "rows: [{key: contains, texts: {en: NO}, when: 1.10, applies_from: 2020-01-01, clause: 16}]\n"
    (folder / "statements.yaml").write_text(head + rows, encoding="utf-8")
    pack, faults = compile_folder(folder)
    assert faults == []
    assert pack is not None
    (row,) = pack["subjects"]["statements"]
    assert (row["texts"]["en"], row["when"], row["clause"]) == ("NO", "1.10", "16")


def test_every_source_a_law_names_is_in_the_vocabulary() -> None:
    """A source spelt otherwise in the law than in the evidence would silently never be declared."""
    table = reference_data_folder() / "allergens" / "sources.csv"
    if not table.is_file():
        pytest.skip("no vocabulary of sources here")
    known = {line.split(",")[0] for line in table.read_text(encoding="utf-8").splitlines()[1:]}
    kinds = {line.split(",")[1] for line in table.read_text(encoding="utf-8").splitlines()[1:]}
    unknown_to_the_reader = {"chinquapin"}  # a nut of the older list of the United States that no word leads to
    for code in CODES:
        for row in load_jurisdiction(code)._subjects["groups"]:
            assert set(row.get("sources", ())) <= known | unknown_to_the_reader, (code, row["key"])
            assert set(row.get("kinds", ())) <= kinds, (code, row["key"])


def test_the_yaml_of_a_pack_reads_as_text_with_any_loader() -> None:
    """No anchors, tags or other cleverness: a food lawyer reads these files."""
    for path in FOLDER.glob("*/*.yaml"):
        events = list(yaml.parse(path.read_text(encoding="utf-8"), yaml.BaseLoader))
        assert not any(isinstance(event, yaml.AliasEvent) for event in events), path
