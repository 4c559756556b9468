"""The book as the contract has it: entries, names, the order of things, and what YAML would swallow."""

from collections.abc import Callable
from pathlib import Path
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from labeller.book.entries import Book
from labeller.book.fields import Notes
from labeller.book.reading import PACK_GRAMS, PACK_OTHER, read_files

ReadBook = Callable[..., tuple[Book | None, Notes]]


def faults(notes: Notes) -> list[str]:
    return [fault.as_text() for fault in notes.faults]


CONTRACT_ENTRIES = """
- kitchen: The Saltmarsh Room
  jurisdiction: gb
  language: en
  address: 1 Example Quay
  measures: {quenelle: 45 g}
  shared_equipment:
    - deep fryer
    - blender
    - {name: churn, cleaned: hot wash and rinse, checked: weekly swab}
- ingredient: double cream
  also: [heavy cream]
  composition: sr28:01053
  per_100_g: {energy_kj: 1884, fat_g: 48.0, saturates_g: 30.1, carbohydrate_g: 2.6, sugars_g: 2.6,
              fibre_g: 0, protein_g: 1.7, salt_g: 0.05}
  density: 1.01 g/ml
  piece: 60 g
  measures: {ladle: 70 g}
  strength: 40 % vol
  sulphites: 120 mg/kg
  made_on: [blender]
  spec:
    supplier: Quayside Dairy
    reference: QD-48
    dated: 2026-10-01
    statement: "Cream (MILK)"
    may_contain: "nuts, soya"
    covers: all
- preparation: damson gin
  takes:
    - 600 g damsons, stoned
    - 750 ml gin
    - 1 stick cinnamon, removed
  method:
    - macerate: {solids: damsons, for: 3 weeks, at: 20 C, as: whole with skin}
    - strain: {holds: 8 %}
  gives:
    damson gin: {part: liquor, weighs: 690 g, keeps: 90 days ambient}
    steeped damsons: solids
  made_on: [churn]
  keeps: 5 days chilled
  makes: 8
  measures: {tablespoon: 12 g}
- preparation: damson cordial
  takes: [500 g damson, 300 g sugar]
- preparation: custard ice
  takes: [500 ml double cream]
- preparation: hazelnut praline
  takes: [200 g hazelnuts]
- dish: damson and custard ice
  description: warm brioche, toasted hazelnut
  course: dessert
  serves: 1
  suitable_for: [vegetarian]
  plate:
    - 1 quenelle custard ice
    - 12 g hazelnut praline, optional
    - 20 ml damson gin, or 20 ml damson cordial
- menu: dinner
  sections: {starters: [], desserts: [damson and custard ice]}
- ingredient: damson
"""


def test_the_contract_s_own_book_is_read_whole(read: ReadBook) -> None:
    book, notes = read(CONTRACT_ENTRIES, kitchen=None)
    assert faults(notes) == []
    assert book is not None
    cream = book.ingredients["double cream"]
    assert (cream.also, cream.composition) == (("heavy cream",), "01053")
    assert (cream.density_g_per_ml, cream.piece_g) == (1.01, 60.0)
    assert (cream.strength_percent_vol, cream.sulphites_mg_per_kg) == (40.0, 120.0)
    assert cream.per_100_g["saturates_g"] == 30.1
    assert cream.spec is not None
    assert (cream.spec.statement, cream.spec.covers_all, str(cream.spec.dated)) == ("Cream (MILK)", True, "2026-10-01")
    gin = book.preparations["damson gin"]
    assert [(one.name, one.part) for one in gin.gives] == [("damson gin", "liquor"), ("steeped damsons", "solids")]
    assert [one.removed for one in gin.takes] == [False, False, True]
    assert [machine.passes_on for machine in book.kitchen.shared_equipment] == [True, True, False]
    assert book.menus["dinner"].sections[1] == ("desserts", ("damson and custard ice",))
    dish = book.dishes["damson and custard ice"]
    assert [(one.optional, len(one.swaps)) for one in dish.plate] == [(False, 0), (True, 0), (False, 1)]
    line = CONTRACT_ENTRIES.splitlines().index("    - 12 g hazelnut praline, optional") + 1
    assert str(dish.plate[1].origin) == f"book0.yaml:{line}"


def parts_of_contract() -> list[str]:
    return ["- " + part for part in ("\n" + CONTRACT_ENTRIES.strip()).split("\n- ") if part.strip()]


@pytest.mark.property
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(seed=st.integers(0, 10_000), files=st.integers(1, 5))
def test_order_of_files_and_entries_never_matters(read: ReadBook, seed: int, files: int) -> None:
    plain, _ = read(CONTRACT_ENTRIES, kitchen=None)
    parts = parts_of_contract()
    Random(seed).shuffle(parts)  # noqa: S311 - a shuffle for a test
    texts = ["\n".join(parts[start::files]) for start in range(files)]
    shuffled, notes = read(*texts, kitchen=None)
    assert plain is not None
    assert shuffled is not None
    assert not notes.faults
    for kind in ("ingredients", "preparations", "dishes", "menus"):
        assert list(getattr(shuffled, kind)) == list(getattr(plain, kind))
    for name, dish in plain.dishes.items():
        assert [one.target for one in shuffled.dishes[name].plate] == [one.target for one in dish.plate]
    for name, made in plain.preparations.items():
        assert [one.target for one in shuffled.preparations[name].takes] == [one.target for one in made.takes]


@pytest.mark.property
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(seed=st.integers(0, 10_000))
def test_faults_are_the_same_in_any_order_of_entries(read: ReadBook, seed: int) -> None:
    entries = [
        "- ingredient: a\n  colour: red",
        "- dish: d\n  plate: [5 g zzyzx]",
        "- menu: m\n  sections: {x: [nope]}",
    ]
    expected = {(fault.problem, fault.mend) for fault in read("\n".join(entries))[1].faults}
    Random(seed).shuffle(entries)  # noqa: S311 - a shuffle for a test
    assert {(fault.problem, fault.mend) for fault in read(*entries)[1].faults} == expected
    assert len(expected) == 3


def test_a_book_without_dishes_is_no_fault(read: ReadBook) -> None:
    book, notes = read("")
    assert faults(notes) == []
    assert book is not None
    assert (book.dishes, book.ingredients) == ({}, {})


def test_an_ingredient_may_be_a_bare_name(read: ReadBook) -> None:
    book, notes = read("- ingredient: nut paste\n")
    assert faults(notes) == []
    assert book is not None
    assert book.ingredients["nut paste"].spec is None


def test_all_scalars_are_text_first(read: ReadBook) -> None:
    # YAML 1.1 would make NO false, 1.10 the number 1.1, 012 ten and 1:30 ninety (yaml.org/type/bool, float, int).
    text = """
- ingredient: NO
  spec: {supplier: NO, reference: 1.10, statement: 012, dated: 2026-10-01}
- ingredient: null
  keeps: 1:30
"""
    book, notes = read(text)
    assert faults(notes) == []
    assert book is not None
    spec = book.ingredients["NO"].spec
    assert spec is not None
    assert (spec.supplier, spec.reference, spec.statement) == ("NO", "1.10", "012")
    assert book.ingredients["null"].keeps == "1:30"


def test_dishes_have_a_list_of_names_of_their_own(read: ReadBook) -> None:
    _, notes = read("- preparation: custard\n  takes: [1 kg whole milk]\n- dish: custard\n  plate: [90 g custard]\n")
    assert faults(notes) == []


def test_a_preparation_may_give_a_part_of_its_own_name_and_also_means_that_part(read: ReadBook) -> None:
    text = """
- preparation: damson gin
  also: [hedge gin]
  takes: [600 g damsons, 750 ml gin]
  method: [{macerate: {solids: damsons, for: 3 weeks}}, strain]
  gives: {steeped damsons: solids, damson gin: liquor}
- ingredient: damsons
- dish: d
  plate: [20 ml hedge gin, 5 g steeped damson]
"""
    book, notes = read(text)
    assert faults(notes) == []
    assert book is not None
    assert [one.target.given for one in book.dishes["d"].plate if one.target] == ["damson gin", "steeped damsons"]


def test_the_name_of_a_preparation_that_gives_only_parts_is_no_thing_to_take(read: ReadBook) -> None:
    text = """
- preparation: infusion
  takes: [600 g damsons, 750 ml gin]
  method: [{macerate: {solids: damsons, for: 3 weeks}}, strain]
  gives: {steeped damsons: solids, hedge gin: liquor}
- ingredient: damsons
- dish: d
  plate: [20 ml infusion]
"""
    _, notes = read(text)
    (fault,) = notes.faults
    assert fault.problem == "'infusion' is a preparation that gives 'hedge gin' and 'steeped damsons'."
    assert fault.mend == "Write one of these: 'hedge gin', 'steeped damsons'."


def test_the_book_s_own_entry_wins_over_the_shelf(read: ReadBook) -> None:
    book, notes = read("- ingredient: butter beans\n- ingredient: sugar\n- dish: d\n  plate: [5 g sugar, 5 g salt]\n")
    assert book is not None
    assert not book.ingredients["sugar"].from_shelf
    assert book.ingredients["salt"].from_shelf
    (advice,) = [one for one in notes.advice if one.field == "shelf"]
    assert advice.problem == "taken from the shelf, not from this book: salt."


def test_a_fault_names_the_line_of_a_line(read: ReadBook) -> None:
    _, notes = read("- dish: d\n  plate:\n    - 5 g salt\n    - 5 g zzyzx\n")
    assert [str(fault.origin) for fault in notes.faults] == ["book0.yaml:4"]


SWALLOWED = [  # (what the cook wrote, words of the advice)
    (
        "- dish: d\n  plate:\n    - 250 g sugar #2 grade\n",
        "everything from '#' on was left out of '250 g sugar #2 grade'",
    ),
    ("- dish: d\n  plate:\n    - 250 g sugar # fine\n", "everything from '#' on was left out"),
    (
        "- ingredient: 'stock: brown'\n- dish: d\n  plate:\n    - 250 g stock: brown\n",
        "became a key with a value because of its colon",
    ),
    (
        "- dish: d\n  plate: [0,5 l water, 5 g salt]\n",
        "a decimal comma split '0,5 l water' into two items of the list",
    ),
    ("- ingredient: a\n  per_100_g: {fat_g: 2,6, salt_g: 1}\n", "a decimal comma split this list before '6'"),
    ("- ingredient: a\n  measures: {ladle: 0,5 l}\n", "a decimal comma split this list before '5 l'"),
    ("- dish: d\n  plate:\n    - 1,250 g sugar\n", "'1,250' is read with a decimal comma, as 1.25"),
]


@pytest.mark.parametrize(("text", "words"), SWALLOWED)
def test_what_yaml_swallows_is_told(read: ReadBook, text: str, words: str) -> None:
    _, notes = read(text)
    told = [advice for advice in notes.advice if words in advice.problem]
    assert len(told) == 1
    assert told[0].origin.line > 0
    assert told[0].mend


def test_a_comment_two_spaces_off_is_a_comment(read: ReadBook) -> None:
    _, notes = read("- dish: d\n  plate:\n    - 250 g sugar  # the fine one\n    - '5 g salt' # flaky\n")
    assert [advice.field for advice in notes.advice] == ["shelf"]


def test_a_line_that_became_a_mapping_is_still_read(read: ReadBook) -> None:
    book, notes = read("- ingredient: 'stock: brown'\n- dish: d\n  plate:\n    - 250 g stock: brown\n")
    assert faults(notes) == []
    assert book is not None
    assert book.dishes["d"].plate[0].name == "stock: brown"


def test_keys_may_have_a_space_for_the_line(read: ReadBook) -> None:
    book, notes = read("- ingredient: a\n  per 100 g: {fat g: 3}\n")
    assert faults(notes) == []
    assert book is not None
    assert book.ingredients["a"].per_100_g == {"fat_g": 3.0}


@pytest.mark.parametrize("key", [*PACK_GRAMS, *PACK_OTHER])
def test_every_figure_of_a_pack_is_taken(read: ReadBook, key: str) -> None:
    book, notes = read(f"- ingredient: a\n  per_100_g: {{{key}: 1.10}}\n")
    assert faults(notes) == []
    assert book is not None
    assert book.ingredients["a"].per_100_g == {key: 1.1}


def test_files_at_any_depth_are_read_and_hidden_ones_are_not(tmp_path: Path) -> None:
    for name in ("a.yaml", "deep/er/b.YML", ".hidden/c.yaml", ".d.yaml", "notes.txt"):
        file = tmp_path / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text("- ingredient: x\n", encoding="utf-8")
    assert sorted(read_files(tmp_path).raw) == ["a.yaml", "deep/er/b.YML"]
    assert list(read_files(tmp_path / "a.yaml").raw) == ["a.yaml"]
