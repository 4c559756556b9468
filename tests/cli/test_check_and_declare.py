"""``check`` and ``declare`` as a cook meets them: names, menus, faults, exit codes, clean streams, 80 columns."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from labeller.cli.exits import FAULTS, OUR_BUG, WRONG_USAGE
from labeller.demonstration.place import demonstration_book
from tests.kitchens import Kitchen, plate, run

THREE = (
    plate("100 g water", name="crème of celeriac")
    + plate("10 g water", name="Apple tart")
    + plate("10 g water", name="apple crumble")
    + "- preparation: vanilla custard\n  takes: [100 g water]\n"
    + "- menu: dinner\n  sections: {starters: [crème of celeriac], desserts: [Apple tart]}\n"
)
FAULTY = """
- ingredient: milk powder
  per_100_g: {fat_g: 1, fat_g: 2}
- preparation: custard
  takes:
    - 100 g free range egs
    - 10 ml nothing known
- dish: pudding
  plate: [50 g custrad]
- ingredient: free range eggs
"""


@pytest.fixture
def three(kitchen: Kitchen) -> Path:
    return kitchen.write(THREE).folder


def test_exit_codes_are_those_of_the_contract() -> None:
    assert (FAULTS, WRONG_USAGE, OUR_BUG) == (1, 2, 70)


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("crème of celeriac", "crème of celeriac"), ("CREME OF CELERIAC", "crème of celeriac"), ("celeriac", "crème of celeriac"),
        ("tart", "Apple tart"), ("apple  TART", "Apple tart"), ("crumble", "apple crumble"), ("vanilla custard", "vanilla custard"),
        ("apple tarts", "Apple tart"),
    ],
)  # fmt: skip
def test_a_dish_is_found_by_case_accents_or_a_part(three: Path, said: str, meant: str) -> None:
    ran = run("declare", three, "--of", said, "--json")
    assert ran.code == 0
    assert [one["name"] for one in ran.json()["declarations"]] == [meant]


def test_a_name_that_fits_two_is_refused_with_both(three: Path) -> None:
    ran = run("declare", three, "--of", "apple")
    assert (ran.code, ran.out) == (2, "")
    assert "'Apple tart'" in ran.err
    assert "'apple crumble'" in ran.err


@pytest.mark.parametrize("json_flag", [(), ("--json",)])
def test_a_misspelling_is_never_taken(three: Path, json_flag: tuple[str, ...]) -> None:
    ran = run("declare", three, "--of", "aple crumbel", *json_flag)
    assert (ran.code, ran.out) == (2, "")
    assert "'aple crumbel'" in ran.err
    assert "'apple crumble'" in ran.err


def test_nothing_is_no_name(three: Path) -> None:
    assert run("declare", three, "--of", "").code == 2


def test_all_and_menu_and_neither(three: Path) -> None:
    def names(*arguments: str) -> set[str]:
        return {one["name"] for one in run("declare", three, "--json", *arguments).json()["declarations"]}

    dishes = {"crème of celeriac", "Apple tart", "apple crumble"}
    assert names() == dishes
    assert names("--all") == dishes | {"vanilla custard"}
    assert names("--menu", "dinner") == names("--menu", "DINNER") == {"crème of celeriac", "Apple tart"}


def test_an_unknown_menu_is_wrong_usage_with_the_nearest(three: Path) -> None:
    ran = run("declare", three, "--menu", "diner")
    assert (ran.code, ran.out) == (2, "")
    assert "'dinner'" in ran.err


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--jurisdiction", "uk"], "gb"), (["--on", "tomorrow"], "2026-12-01"), (["--on", "2026-02-30"], "'2026-02-30'"),
        (["--on", "1900-01-01"], "1900"), (["--colour"], "--colour"),
    ],
)  # fmt: skip
def test_wrong_usage_ends_in_two(three: Path, arguments: list[str], said: str) -> None:
    ran = run("declare", three, *arguments)
    assert (ran.code, ran.out) == (2, "")
    assert said in ran.err


@pytest.mark.parametrize("command", ["check", "declare"])
def test_a_folder_that_is_not_there_is_wrong_usage(tmp_path: Path, command: str) -> None:
    ran = run(command, tmp_path / "nowhere")
    assert (ran.code, ran.out) == (2, "")
    assert "nowhere" in ran.err


def test_another_law_is_taken_for_one_call(three: Path) -> None:
    document = run("declare", three, "--json", "--jurisdiction", "us").json()
    assert document["jurisdiction"] == "us"
    assert "wheat" in {row["group"] for row in document["declarations"][0]["allergens"]}


def test_the_law_of_the_day_is_taken(three: Path) -> None:
    """Sesame joined the major allergens on 1 January 2023 (FASTER Act of 2021, Public Law 117-11, section 2)."""

    def groups(day: str) -> set[str]:
        found = run("declare", three, "--json", "--jurisdiction", "us", "--on", day).json()["declarations"][0]
        return {row["group"] for row in found["allergens"]}

    assert "sesame" in groups("2023-01-01")
    assert "sesame" not in groups("2022-12-31")


def test_all_faults_in_one_run_sorted_and_worded(kitchen: Kitchen) -> None:
    kitchen.write(FAULTY)
    kitchen.write("- dish: pudding\n  plate: [5 g water]\n", name="z/more.yaml", law=None)
    ran = run("check", kitchen.folder)
    assert ran.code == 1
    heads = re.findall(r"^([^\s:]+):(\d+): ([^:]+): (.+)\n    (\S.+)$", ran.out, re.MULTILINE)
    places = [(file, int(line)) for file, line, *_ in heads]
    told = " ".join(problem for *_, problem, _ in heads)
    assert places == sorted(places)
    assert {("book.yaml", 5), ("book.yaml", 8), ("book.yaml", 9), ("book.yaml", 11)} <= set(places)
    assert any(file == "z/more.yaml" for file, _ in places)
    assert "'free range egs'" in told
    assert "'custrad'" in told
    assert (
        "book.yaml:8: takes: 'free range egs' is not an ingredient or preparation of this book, nor on the shelf.\n"
        in ran.out
    )
    assert "    Write 'free range eggs', or add an ingredient of that name.\n" in ran.out
    assert "Traceback" not in ran.out + ran.err


def test_faults_as_json_are_the_same_and_stdout_is_clean(kitchen: Kitchen) -> None:
    kitchen.write(FAULTY)
    checked = run("check", kitchen.folder, "--json")
    assert checked.code == 1
    document = checked.json()
    assert sorted(document) == ["advice", "faults"]
    for one in (*document["faults"], *document["advice"]):
        assert sorted(one) == ["field", "file", "line", "mend", "problem"]
        assert isinstance(one["line"], int)
        assert one["mend"]
    declared = run("declare", kitchen.folder, "--json")
    assert (declared.code, declared.err) == (1, "")
    assert declared.json()["faults"] == document["faults"]
    spoken = run("declare", kitchen.folder)
    assert (spoken.code, spoken.out) == (1, "")
    assert "'free range egs'" in spoken.err


def test_a_book_without_faults_is_said_to_have_none(three: Path) -> None:
    ran = run("check", three)
    assert ran.code == 0
    assert "No faults" in ran.out
    document = run("check", three, "--json").json()
    assert document["faults"] == []


def test_what_came_from_the_shelf_is_advice(three: Path) -> None:
    assert any("water" in one["problem"] for one in run("check", three, "--json").json()["advice"])


@pytest.mark.parametrize(
    "raw",
    [b"\xff\xfe\x00", b"- kitchen: a\x00b\n", b"[[[[" * 5000, b"- {", b"- dish: [", b"just words", b"- 1\n- 2\n", b"\xc3\x28", b"!!python/object/apply:os.system ['true']"],
)  # fmt: skip
@pytest.mark.parametrize("command", ["check", "declare"])
def test_hostile_files_get_a_fault_and_no_stack_trace(kitchen: Kitchen, command: str, raw: bytes) -> None:
    kitchen.write("")
    (kitchen.folder / "hostile.yaml").write_bytes(raw)
    ran = run(command, kitchen.folder)
    assert ran.code == 1
    assert "hostile.yaml" in ran.out + ran.err
    assert "Traceback" not in ran.out + ran.err


def test_a_bug_of_ours_ends_in_70_without_a_stack_trace(three: Path) -> None:
    program = (
        "import sys\nimport labeller.cli.check as check\n"
        "def broken(*_, **__):\n    raise RuntimeError('the pan is on fire')\n"
        "check.check = broken\nfrom labeller.cli.main import main\n"
        f"sys.argv = ['labeller', 'check', {str(three)!r}]\nmain()\n"
    )
    ran = subprocess.run([sys.executable, "-c", program], check=False, capture_output=True, text=True, timeout=60)
    assert (ran.returncode, ran.stdout) == (70, "")
    assert "the pan is on fire" in ran.stderr
    assert "Traceback" not in ran.stderr


def test_declare_imports_no_heavy_library(three: Path) -> None:
    """Our own way to a declaration; Typer from 0.29 on loads pydantic of itself to read the command line."""
    heavy = ("pandas", "pydantic", "reportlab", "requests", "requests_cache", "rich")
    program = (
        "import sys\nfrom datetime import date\nfrom pathlib import Path\nfrom labeller.cli.declare import declare\n"
        f"code = declare(Path({str(three)!r}), of=None, everything=True, menu=None, jurisdiction=None, "
        "on=date(2026, 11, 25), json_out=True)\n"
        f"print(code, [name for name in {heavy!r} if name in sys.modules], file=sys.stderr)\n"
    )
    ran = subprocess.run([sys.executable, "-c", program], check=False, capture_output=True, text=True, timeout=60)
    assert (ran.returncode, ran.stderr.strip()) == (0, "0 []")
    assert json.loads(ran.stdout)["declarations"]


# -- the page ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("law", ["eu", "gb", "us", "ca", "au-nz", "codex"])
def test_the_demo_fits_80_columns_without_escape_codes(law: str) -> None:
    ran = run("declare", demonstration_book(), "--all", "--jurisdiction", law)
    assert ran.code == 0
    assert [line for line in ran.out.splitlines() if len(line) > 80] == []
    assert "\x1b" not in ran.out
    assert "free from" not in ran.out.lower()
    assert not re.search(r"\btraces?\b", ran.out.lower())
    assert "✓" not in ran.out


def test_the_four_wordings_of_the_page(kitchen: Kitchen) -> None:
    text = (
        '- ingredient: a\n  spec: {statement: "Milk, sugar", may_contain: [nuts]}\n- ingredient: b\n  spec: {declares: [milk]}\n'
        + plate("5 g a", name="first")
        + plate("5 g b", name="second")
    )
    kitchen.write(text)
    first, second = (
        run("declare", kitchen.folder, "--of", "first").out,
        run("declare", kitchen.folder, "--of", "second").out,
    )
    assert "Contains" in first
    assert "May contain" in first
    assert "Not an ingredient" in first
    assert "supplier" in first  # why it may
    assert "Not known: ask the kitchen" in second
    assert "Not an ingredient" not in second


def test_sources_are_named_where_they_say_more_than_the_group(kitchen: Kitchen) -> None:
    text = (
        '- ingredient: a\n  spec: {statement: "Goat milk, milk, apricots, sulphur dioxide"}\n'
        '- ingredient: b\n  spec: {statement: "Milk"}\n' + plate("5 g a", name="first") + plate("5 g b", name="second")
    )
    kitchen.write(text)
    first, second = (
        run("declare", kitchen.folder, "--of", "first").out,
        run("declare", kitchen.folder, "--of", "second").out,
    )
    assert "Milk: goat milk and milk: a" in first
    assert "Sulphites (wine, dried fruit): a" in first
    assert "Milk: b" in second


def test_both_are_said_where_something_is_open_beside_another_status(kitchen: Kitchen) -> None:
    text = (
        '- ingredient: a\n  spec: {statement: "Milk, sugar", may_contain: [nuts]}\n- ingredient: unknown paste\n'
        + plate("5 g a", "5 g unknown paste", name="dish")
    )
    page = " ".join(run("declare", kitchen.write(text).folder).out.split())
    assert "Milk: a" in page
    assert "Not known beside that, ask the kitchen: milk: unknown paste" in page or (
        "Not known beside that, ask the kitchen: milk and nuts: unknown paste" in page
    )
    assert "To settle 'unknown paste': add the supplier's statement" in page


def test_the_page_says_over_which_equipment(kitchen: Kitchen) -> None:
    text = (
        "  shared_equipment: [churn]\n"
        '- ingredient: nut stuff\n  spec: {statement: "Hazelnuts"}\n'
        "- preparation: nut ice\n  takes: [100 g nut stuff]\n  made_on: [churn]\n"
        "- preparation: plain ice\n  takes: [100 g water]\n  made_on: [churn]\n" + plate("50 g plain ice", name="dish")
    )
    page = " ".join(run("declare", kitchen.write(text).folder).out.split())
    assert "May contain Nuts: hazelnut: hazelnut over the churn, shared with nut stuff, in nut ice" in page


def test_no_escape_codes_in_a_pipe_of_a_terminal_that_can(three: Path) -> None:
    environment = {**os.environ, "TERM": "xterm-256color", "COLUMNS": "200"}
    program = "import sys; from labeller.cli.main import main; main()"
    ran = subprocess.run(
        [sys.executable, "-c", program, "declare", str(three)],
        check=False,
        capture_output=True,
        text=True,
        timeout=60,
        env=environment,
    )
    assert ran.returncode == 0
    assert "\x1b" not in ran.stdout
    assert max(map(len, ran.stdout.splitlines())) <= 80
