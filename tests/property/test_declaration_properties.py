"""Properties of declarations over generated books: scale, inlining, order, and that more never means less."""

import json
import random
import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from labeller.cli.opening import open_book
from labeller.declarations.as_json import declaration_as_json
from tests.kitchens import HEAD

pytestmark = pytest.mark.property

# Every sort of evidence: a whole statement, a list, a list that covers all, a may contain, a row, a composite row, a bare name.
STORE = {
    "house cream": 'composition: sr28:01053\n  spec: {statement: "Cream (MILK)"}',
    "cobs": "composition: sr28:12120",
    "paste": "",
    "biscuit": "composition: sr28:18159",
    "stock": "spec: {declares: [celery]}",
    "oat flour": "composition: sr28:20081\n  spec: {declares: [oats], covers: all}",
    "dark drops": 'per_100_g: {fat_g: 30, carbohydrate_g: 50, sugars_g: 45, protein_g: 5, salt_g: 0.1}\n  spec: {statement: "Sugar, cocoa", may_contain: [nuts, milk]}',
    "house spirit": "composition: sr28:14037\n  strength: 40 % vol",
    "vinegar": 'spec: {statement: "Wine vinegar, sulphites"}',
    "egg yolks": "composition: sr28:01125",
}
NAMES = sorted(STORE)
RANK = {"none declared": 0, "unconfirmed": 1, "may contain": 2, "contains": 3}
LIMITS = settings(
    max_examples=100,
    deadline=None,
    derandomize=True,
    phases=tuple(phase for phase in Phase if phase not in (Phase.shrink, Phase.explain)),
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)

grams = st.integers(min_value=1, max_value=4000).map(lambda tenths: tenths / 10)
plates = st.lists(st.tuples(st.sampled_from(NAMES), grams), min_size=1, max_size=6)


def store() -> list[str]:
    return [f"- ingredient: {name}\n" + (f"  {text}\n" if text else "") for name, text in STORE.items()]


def entry(kind: str, name: str, key: str, lines: list[tuple[str, float]]) -> str:
    return f"- {kind}: {name}\n  {key}:\n" + "".join(f"    - {gram} g {what}\n" for what, gram in lines)


def declared(files: dict[str, str]) -> dict[str, Any]:
    """Declare every dish of a book written to a folder of its own."""
    with tempfile.TemporaryDirectory() as place:
        for name, text in files.items():
            Path(place, name).write_text(text, encoding="utf-8")
        opened = open_book(Path(place), None, None)
        return {name: declaration_as_json(opened.declarer.dish(name)) for name in opened.workings.plates}


def book(*entries: str, law: str = "eu") -> dict[str, str]:
    return {"book.yaml": HEAD.format(law=law) + "".join([*store(), *entries])}


def without_places(document: dict[str, Any]) -> str:
    """Return the JSON without the line numbers, which say where a rough amount was written and not what it is."""
    for one in document.values():
        for rough in one["rough_amounts"]:
            rough.pop("file")
            rough.pop("at_line")
    return json.dumps(document, sort_keys=True)


@LIMITS
@given(lines=plates, factor=st.sampled_from([0.01, 0.5, 3, 100]))
def test_scaling_changes_nothing_per_100_g(lines: list[tuple[str, float]], factor: float) -> None:
    scaled = [(name, round(gram * factor, 6)) for name, gram in lines]
    found = declared(book(entry("dish", "one", "plate", lines), entry("dish", "two", "plate", scaled)))
    one, two = found["one"], found["two"]
    assert two["portion_g"] == pytest.approx(one["portion_g"] * factor)
    assert two["nutrition"]["per_100_g"] == pytest.approx(one["nutrition"]["per_100_g"], rel=1e-9, abs=1e-9)
    assert two["allergens"] == one["allergens"]
    assert [item["share"] for item in two["ingredients"]] == pytest.approx(
        [item["share"] for item in one["ingredients"]]
    )


@LIMITS
@given(lines=plates, inner=plates, share=st.integers(min_value=1, max_value=9))
def test_inlining_a_plain_preparation_changes_nothing(
    lines: list[tuple[str, float]], inner: list[tuple[str, float]], share: int
) -> None:
    whole = sum(gram for _, gram in inner)
    outer = f"- dish: nested\n  plate:\n    - {share}/10 of the mixture\n" + "".join(
        f"    - {gram} g {name}\n" for name, gram in lines
    )
    flat = [*lines, *((name, round(gram * share / 10, 9)) for name, gram in inner)]
    found = declared(
        book(entry("preparation", "mixture", "takes", inner), outer, entry("dish", "flat", "plate", flat))
    )
    one, two = found["nested"], found["flat"]
    assert one["portion_g"] == pytest.approx(two["portion_g"])
    assert one["portion_g"] == pytest.approx(sum(gram for _, gram in lines) + whole * share / 10)
    assert one["nutrition"]["per_portion"] == pytest.approx(two["nutrition"]["per_portion"], rel=1e-9, abs=1e-9)
    assert [(row["group"], row["status"], row["sources"]) for row in one["allergens"]] == [
        (row["group"], row["status"], row["sources"]) for row in two["allergens"]
    ]
    assert one["alcohol"]["status"] == two["alcohol"]["status"]
    assert {item["ingredient"]: item["g"] for item in one["ingredients"]} == pytest.approx(
        {item["ingredient"]: item["g"] for item in two["ingredients"]}
    )


@LIMITS
@given(lines=plates, inner=plates, seed=st.integers(min_value=0, max_value=10**6))
def test_the_order_of_lines_entries_and_files_never_matters(
    lines: list[tuple[str, float]], inner: list[tuple[str, float]], seed: int
) -> None:
    shuffle = random.Random(seed)  # noqa: S311 - order, not secrets
    rough = [("paste", 3.5), *lines]

    def written(outer: list[tuple[str, float]], taken: list[tuple[str, float]]) -> list[str]:
        dish = (
            entry("dish", "one", "plate", outer)
            + "    - 10 g mixture\n    - about 20 g house cream\n    - 30-50 ml milk\n"
        )
        return [
            *store(),
            entry("preparation", "mixture", "takes", taken) + "  made_on: [churn]\n",
            entry("preparation", "other", "takes", [("cobs", 5.0), ("paste", 5.0)]) + "  made_on: [churn, blender]\n",
            entry("preparation", "third", "takes", [("biscuit", 5.0), ("mixture", 5.0)]) + "  made_on: [blender]\n",
            dish + "    - 7 g third\n",
            entry("dish", "two", "plate", [("mixture", 3.3), ("other", 4.1), ("third", 0.7)]),
        ]

    head = HEAD.format(law="eu") + "  shared_equipment: [churn, blender]\n"
    first = declared({"book.yaml": head + "".join(written(rough, inner))})
    outer, taken = list(rough), list(inner)
    shuffle.shuffle(outer)
    shuffle.shuffle(taken)
    entries = [head, *written(outer, taken)]
    shuffle.shuffle(entries)
    cut = shuffle.randrange(1, len(entries))
    second = declared({"b.yaml": "".join(entries[:cut]), "a.yaml": "".join(entries[cut:])})
    assert without_places(first) == without_places(second)


@LIMITS
@given(
    lines=plates,
    more=st.tuples(st.sampled_from([name for name in NAMES if name != "vinegar"]), grams),
    law=st.sampled_from(["eu", "us", "ca"]),
)
def test_adding_an_ingredient_never_lowers_a_status(
    lines: list[tuple[str, float]], more: tuple[str, float], law: str
) -> None:
    found = declared(
        book(entry("dish", "one", "plate", lines), entry("dish", "two", "plate", [*lines, more]), law=law)
    )
    two = {row["group"]: row for row in found["two"]["allergens"]}
    for row in found["one"]["allergens"]:
        other = two[row["group"]]
        assert RANK[other["status"]] >= RANK[row["status"]]
        assert set(row["unconfirmed"] and map(tuple, row["unconfirmed"])) <= set(map(tuple, other["unconfirmed"]))
    assert RANK[found["two"]["alcohol"]["status"]] >= RANK[found["one"]["alcohol"]["status"]]
