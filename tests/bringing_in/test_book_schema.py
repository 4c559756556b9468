"""The schema for editors: made of the models, current, and of one mind with the reader, which alone decides.

Worse than a slip an editor does not mark is a right word it marks: so the schema may miss, and may not cry wolf.
"""

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from labeller.book.ingredient_entry import PACK_GRAMS, PACK_OTHER
from labeller.book.method import HEAT_WAYS, MACERATED_AS, STEPS
from labeller.bringing_in.book_models import FIGURES, Dish, Ingredient, Kitchen, Menu, Preparation
from labeller.bringing_in.book_schema import schema_text
from labeller.demonstration.place import demonstration_book
from labeller.jurisdictions.packs import known_jurisdictions
from tests.benchmarks.answering import write_book
from tests.bringing_in.books_for_editors import SCHEMA, editor_marks, read_text, typed_documents, validator
from tests.kitchens import run

HEAD = "- kitchen: K\n  jurisdiction: eu\n  shared_equipment: [churn]\n- ingredient: plum\n  shelf: plum\n"
MADE = HEAD + "- preparation: x\n  takes: [100 g butter, 100 g plum]\n"


def definitions() -> dict[str, dict[str, object]]:
    found: dict[str, dict[str, object]] = json.loads(SCHEMA.read_text(encoding="utf-8"))["$defs"]
    return found


def test_the_schema_is_current() -> None:
    assert SCHEMA.read_text(encoding="utf-8") == schema_text(), "run reference_data/book_schema/build.py"


def test_it_is_a_schema_of_2020_12() -> None:
    assert json.loads(SCHEMA.read_text())["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert validator() is not None  # which holds it against the meta-schema


UNKNOWN = {
    "Kitchen": "- kitchen: K\n  jurisdiction: eu\n  {}\n",
    "Equipment": "- kitchen: K\n  jurisdiction: eu\n  shared_equipment: [{{name: churn, {}}}]\n",
    "Ingredient": HEAD + "- ingredient: x\n  {}\n",
    "Spec": HEAD + "- ingredient: x\n  spec: {{{}}}\n",
    "Per100g": HEAD + "- ingredient: x\n  per_100_g: {{{}}}\n",
    "Preparation": MADE + "  {}\n",
    "Given": MADE + "  gives: {{x: {{{}}}}}\n",
    "Amount": HEAD + "- dish: x\n  plate: [{{take: 5 g butter, {}}}]\n",
    "Dish": HEAD + "- dish: x\n  plate: [5 g butter]\n  {}\n",
    "Menu": HEAD + "- menu: x\n  sections: {{}}\n  {}\n",
    "ShareStep": MADE + "  method: [trim: {{loses: 5 %, {}}}]\n",
    "Macerate": MADE + "  method: [macerate: {{solids: plum, {}}}]\n",
    "Strain": MADE + "  method: [strain: {{{}}}]\n",
    "Heat": MADE + "  method: [heat: {{how: bake, {}}}]\n",
    "Reduce": MADE + "  method: [reduce: {{leaves: 50 g, {}}}]\n",
    "Fry": MADE + "  method: [fry: {{in: butter, takes_up: 5 %, {}}}]\n",
    "Quiet": MADE + "  method: [rest: {{{}}}]\n",
}


@pytest.mark.parametrize("name", UNKNOWN)
def test_every_part_has_the_keys_the_reader_takes(name: str) -> None:
    """The reader lists its own keys where it meets one it does not know."""
    _, notes = read_text(UNKNOWN[name].format("xqxqxq: 1"))
    mends = [one.mend for one in notes.faults if one.field == "xqxqxq"]
    assert len(mends) == 1, [one.as_text() for one in notes.faults]
    keys = mends[0].removeprefix("Leave it out; the keys here are ").removesuffix(".").split(", ")
    properties = definitions()[name]["properties"]
    assert isinstance(properties, dict)
    assert set(properties) == set(keys)
    assert all(one["description"] for one in properties.values())
    assert editor_marks(UNKNOWN[name].format("xqxqxq: 1"))


def test_the_steps_the_figures_and_the_words_are_the_readers() -> None:
    step = definitions()["Step"]["properties"]
    assert isinstance(step, dict)
    assert set(step) == set(STEPS)
    assert sorted(FIGURES) == sorted((*PACK_GRAMS, *PACK_OTHER))
    for name, words in (
        ("Jurisdiction", known_jurisdictions()),
        ("HeatWay", HEAT_WAYS),
        ("MaceratedAs", MACERATED_AS),
    ):
        choices = definitions()[name]["anyOf"]
        assert isinstance(choices, list)
        assert sorted(choices[0]["enum"]) == sorted(words)


@pytest.mark.parametrize("path", sorted(demonstration_book().rglob("*.yaml")), ids=lambda path: path.name)
def test_nothing_is_marked_in_the_demo_book(path: Path) -> None:
    assert editor_marks(path.read_text(encoding="utf-8")) == []


def test_the_models_take_the_demo_book_and_refuse_what_is_no_book() -> None:
    book = TypeAdapter(list[Kitchen | Ingredient | Preparation | Dish | Menu])
    for path in sorted(demonstration_book().rglob("*.yaml")):
        (entries,) = typed_documents(path.read_text(encoding="utf-8"))
        assert len(book.validate_python(entries)) == len(entries)
    with pytest.raises(ValidationError):
        book.validate_python([{"dish": "x"}])


def test_nothing_is_marked_in_a_large_book_that_reads(tmp_path: Path) -> None:
    write_book(tmp_path, dishes=12, preparations=16, ingredients=30)
    for path in tmp_path.rglob("*.yaml"):
        assert editor_marks(path.read_text(encoding="utf-8")) == []


# The contract's own examples, and what cooks write beside them; our own choice. Every one is read without a fault.
RIGHT = [
    "  plate:\n    - 1 quenelle custard\n    - ½ tsp salt\n",
    "  serves: 1 1/2\n  plate: [salt to taste]\n",
    "  serves: '4'\n  plate: 250 g butter\n",
    "  Serves: 4\n  plate: [about 450 ml whole milk, 350-600 ml whole milk, up to 30 g salt]\n",
    "  suitable for: vegetarian\n  plate: [a pinch of salt]\n",
    "  suitable_for:\n  plate: [all custard, half the custard, 1/8 of the custard]\n",
    "  plate: [{take: 12 g butter, optional: true}, {take: 30 g butter, swap: [30 g salt]}, {take: 3 g salt, optional: NO}]\n",
    "  plate:\n    - 30 g butter, or 20 g salt\n    - 12 g butter, optional\n",
    "  plate:\n    - 30 g butter, soft: not melted\n",
    "  description: 7\n  course:\n  plate: [1 cup whole milk, 2 fl oz whole milk, '1,5 kg butter', .5 l whole milk]\n",
]
RIGHT_STEPS = [
    "trim: {what: butter, loses: 22 %}", "trim: 5 %", "Pour off: {loses: 50 g}", "left_behind: {loses: 2 %, where: mould}",
    "macerate: {solids: [plum], for: 3 weeks, at: 20, as: Whole with skin}", "macerate: {solids: plum, for: half an hour}",
    "heat: {how: stir in, to: 85 C}", "heat: {how: Bake, for: 1 hour and 20 minutes, at: 350 F, covered: yes, loses: 12 %}",
    "heat: {how: hold, for: 20-25 min, leaves: 150 g}", "reduce: 150 g", "reduce: {leaves: about 150 g}",
    "fry: {in: butter, takes up: 8 %}", "add: 40 g butter", "add: [40 g butter, {take: 3 g salt, removed: true}]",
    "add: {what: plum, lines: [5 g salt]}", "rest", "Chill.", "chill: overnight", "churn: {for: 20 min, at: -6 C}", "set:",
    "Whisk well until it is thick.", '"Whisk well: it thickens"', "7", "rest: minus 18 C", "prove: {what: butter, at: room temperature}",
]  # fmt: skip


@pytest.mark.parametrize("text", RIGHT)
def test_a_dish_that_reads_is_not_marked(text: str) -> None:
    book = (
        "- kitchen: K\n  jurisdiction: GB\n  measures: {quenelle: 45 g}\n"
        "- preparation: custard\n  takes: [100 g butter]\n- dish: x\n" + text
    )
    assert read_text(book)[1].faults == []
    assert editor_marks(book) == []


@pytest.mark.parametrize("step", RIGHT_STEPS)
def test_a_step_that_reads_is_not_marked(step: str) -> None:
    book = f"{MADE}  method:\n    - {step}\n"
    assert read_text(book)[1].faults == []
    assert editor_marks(book) == []


# Each is refused by the reader for its form, not for a name it does not know. The schema refuses it as well.
BROKEN = [
    "- kitchen: K\n",
    "- kitchen: K\n  jurisdiction: uk\n",
    "- kitchen: K\n  jurisdiction: eu\n  measures: {quenelle: 45}\n",
    "- kitchen: K\n  jurisdiction: eu\n  spec_review: 12\n",
    "- kitchen: K\n  jurisdiction: eu\n  shared_equipment: [{cleaned: well}]\n",
    "- ingredient:\n",
    "- ingridient: x\n",
    "just a sentence\n",
    "dish: x\nplate: [5 g butter]\n",
    "- ingredient: x\n  composition: 1053\n",
    "- ingredient: x\n  density: thick\n",
    "- ingredient: x\n  piece: 60\n",
    "- ingredient: x\n  piece: 60 ml\n",
    "- ingredient: x\n  strength: 40\n",
    "- ingredient: x\n  sulphites: 120\n",
    "- ingredient: x\n  per_100_g: {fat_g: 120}\n",
    "- ingredient: x\n  per_100_g: {fat: 12}\n",
    "- ingredient: x\n  per_100_g: [12]\n",
    "- ingredient: x\n  spec: on file\n",
    "- ingredient: x\n  spec: {dated: 1 October 2026}\n",
    "- ingredient: x\n  spec: {covers: most}\n",
    "- ingredient: x\n  also: {a: b}\n",
    "- ingredient: x\n  also: [a, '']\n",
    "- ingredient: x\n  measures: 45 g\n",
    "- preparation: x\n",
    "- preparation: x\n  takes: []\n",
    "- preparation: x\n  takes:\n",
    "- preparation: x\n  takes: [butter]\n",
    "- preparation: x\n  takes: [250]\n",
    "- preparation: x\n  takes: [[5 g butter]]\n",
    "- preparation: x\n  takes: [5 g butter]\n  gives: plenty\n",
    "- preparation: x\n  takes: [5 g butter]\n  gives: [x]\n",
    "- preparation: x\n  takes: [5 g butter]\n  gives: {x: juice}\n",
    "- preparation: x\n  takes: [5 g butter]\n  gives: {x: [liquor]}\n",
    "- preparation: x\n  takes: [5 g butter]\n  makes: eight\n",
    "- preparation: x\n  takes: [5 g butter]\n  makes: 0\n",
    "- dish: x\n",
    "- dish: x\n  plate:\n",
    "- dish: x\n  plate: [5 g butter]\n  serves: -1\n",
    "- dish: x\n  plate: [{take: 5 g butter, optional: maybe}]\n",
    "- dish: x\n  plate: [{amount: 5 g butter, optional: true}]\n",
    "- menu: x\n",
    "- menu: x\n  sections: [a]\n",
]
BROKEN_STEPS = [
    "trim", "Heat.", "trim: {what: butter}", "trim: {loses: 22}", "trim: {loses: 22 %, why: peel}", "macerate: {for: 3 weeks}",
    "macerate: {solids: []}", "macerate: {solids: plum, as: squashed}", "macerate: {solids: plum, for: 3}", "strain: well",
    "strain: {holds: 8}", "heat: {for: 20 min}", "heat: {how: fried}", "heat: {how: bake, for: 20}", "heat: {how: bake, at: hot}",
    "heat: {how: bake, covered: half}", "heat: 20 min", "reduce: {for: 20 min}", "reduce: a little", "fry: {in: butter}",
    "fry: {takes_up: 8 %}", "add:", "add: {what: butter}", "rest: [a]", "simer: {for: 20 min}", "{trim: 5 %, rest: 5 min}", "[rest]",
]  # fmt: skip


@pytest.mark.parametrize(
    "text",
    [*(f"{HEAD}{one}" if not one.startswith(("- kitchen", "just", "dish")) else one for one in BROKEN)]
    + [f"{MADE}  method:\n    - {one}\n" for one in BROKEN_STEPS],
)
def test_what_the_reader_refuses_for_its_form_is_marked(text: str) -> None:
    assert read_text(text)[1].faults
    assert editor_marks(text)


VALUES = st.sampled_from(
    """''|5|0|-3|0.5|1e3|true|no|salt|'250'|250 g|60 g|1.2 kg|45 ml|8 %|8|120 %|0 %|40 % vol|1.01 g/ml|1.01|120 mg/kg|2026-10-01|'2026-10-01'
01/10/2026|35 min|overnight|20 C|-18|room temperature|500 F|sr28:01053|sr28:1053|1053|[]|[a]|[1, 2]|[[a]]|[a, '']|[{a: b}]|{}|{a: b}|{a: 45 g}
{a: 45}|{take: 5 g butter}|{take: 5 g butter, optional: true}|5 g butter|butter|all x|half the x|salt to taste|about 5 g butter|½ tsp salt|1/2
a pinch of salt|[5 g butter, {take: 3 g salt}]|[5 g butter, 7]|'5 g butter: soft'|{5 g butter: soft}|milk and nothing else|all|None|Liquor|EU|uk|bake
Simmer|pricked|Whole with Skin|3 days chilled|{loses: 5 %}|{leaves: 50 g}|{how: bake, for: 20 min, at: 150}|{solids: plum, as: cut, for: 3 weeks}
{in: butter, takes up: 8 %}|{holds: 8 %}|{lines: 5 g butter}|{what: butter, take: 5 g butter}|{x: solids}|{x: {part: pan, weighs: 60 g, makes: 8}}
trim|rest|'Stir: gently'|{Stir: gently}|[rest, trim]|[rest, 'Whisk it.', '']|{trim: 5 %}|{chill: }|{strain: }|{add: [5 g butter]}|{Pour off: 50 g}
{fat_g: '0,5'}|{fat_g: }|{salt g: 1}|{supplier: a}|{covers: all, declares: milk}|{statement: 5}|{may contain: nuts}|{desserts: [d]}|12 months|[churn]
[{name: oven, carries: 10 mg/kg}]|1 1/2|about 8|'8 '|2 h 30 min|68 F|minus 18 C|~3 g salt|1 hour and 20 minutes""".replace(
        "\n", "|"
    ).split("|")
)
PLACES = st.sampled_from(
    [f"- kitchen: K\n  jurisdiction: eu\n  {key}: {{}}\n" for key in ("language", "address", "measures", "shared_equipment", "spec_review")]
    + [f"{HEAD}- ingredient: x\n  {key}: {{}}\n" for key in (*Ingredient.model_fields, "Made on", "per 100 g") if key != "ingredient"]
    + [f"{HEAD}- ingredient: x\n  spec: {{{{{key}: {{}}}}}}\n" for key in ("supplier", "dated", "statement", "may_contain", "declares", "covers")]
    + [f"{MADE}  {key}: {{}}\n" for key in Preparation.model_fields if key not in ("preparation", "takes")]
    + [f"{MADE}  gives: {{{{x: {{{{{key}: {{}}}}}}}}}}\n" for key in ("part", "weighs", "keeps", "makes", "measures", "density")]
    + [f"{HEAD}- preparation: x\n  takes: {{}}\n", f"{HEAD}- dish: x\n  plate: {{}}\n", f"{HEAD}- menu: x\n  sections: {{}}\n"]
    + [f"{HEAD}- dish: x\n  plate: [5 g butter]\n  {key}: {{}}\n" for key in Dish.model_fields if key not in ("dish", "plate")]
    + [f"{HEAD}- dish: x\n  plate: [{{{{take: 5 g butter, {key}: {{}}}}}}]\n" for key in ("removed", "optional", "swap")]
    + [f"{MADE}  method:\n    - {step}: {{}}\n" for step in STEPS]
    + [f"{MADE}  method:\n    - heat: {{{{how: bake, {key}: {{}}}}}}\n" for key in ("for", "at", "to", "covered", "loses", "leaves", "what")]
    + [f"{MADE}  method:\n    - macerate: {{{{solids: plum, {key}: {{}}}}}}\n" for key in ("for", "at", "as", "what")]
)  # fmt: skip


@pytest.mark.property
@settings(max_examples=400, deadline=None)
@given(place=PLACES, value=VALUES)
def test_whatever_is_marked_the_reader_refuses(place: str, value: str) -> None:
    text = place.format(value)
    marks = editor_marks(text)
    assert not marks or read_text(text)[1].faults, (text, marks)


def test_schema_prints_what_ships(tmp_path: Path) -> None:
    assert run("schema").out == SCHEMA.read_text(encoding="utf-8")
    assert run("schema", "--out", tmp_path).code == 0
    assert (tmp_path / SCHEMA.name).read_bytes() == SCHEMA.read_bytes()
    assert run("schema", "--out", tmp_path / "deep" / "mine.json").code == 0
    assert (tmp_path / "deep" / "mine.json").read_bytes() == SCHEMA.read_bytes()
