"""Faults of a book: every one in one run, at its line, in words that say what to do."""

import re
from collections.abc import Callable

import pytest

from labeller.book.entries import Book
from labeller.book.fields import Notes

ReadBook = Callable[..., tuple[Book | None, Notes]]

# Words of libraries and of programmers that no cook should meet (house style, "Faults").
FORBIDDEN = re.compile(
    r"invalid|parse|scanner|mapping values|yaml\.|exception|traceback|nonetype|expected <|found character|scalar|\bNaN\b"
    r"|codec|utf-8' codec|int\(\)|float\(\)|KeyError|ValueError",
    re.IGNORECASE,
)


def test_the_contract_s_example_word_for_word(read: ReadBook) -> None:
    text = (
        "- ingredient: free range eggs\n- ingredient: free range duck\n- dish: d\n  plate:\n    - 2 free range egs\n"
    )
    _, notes = read(text)
    (fault,) = notes.faults
    assert fault.as_text() == (
        "book0.yaml:5: plate: 'free range egs' is not an ingredient or preparation of this book, nor on the shelf.\n"
        "    Write 'free range eggs', or add an ingredient of that name."
    )


def test_the_contract_s_example_in_takes(read: ReadBook) -> None:
    recipe = "- preparation: ice\n  takes:\n    - 3 free range egs\n"
    _, notes = read("- ingredient: free range eggs\n", ices=recipe)
    assert [fault.as_text().splitlines()[0] for fault in notes.faults] == [
        "ices.yaml:3: takes: 'free range egs' is not an ingredient or preparation of this book, nor on the shelf."
    ]


def test_a_misspelt_good_of_the_shelf_is_offered(read: ReadBook) -> None:
    _, notes = read("- ingredient: sal\n- dish: d\n  plate: [5 g xantham gum]\n")
    (fault,) = notes.faults
    assert fault.mend == "Write 'xanthan gum', or add an ingredient of that name."


# (text, key of the fault, line, words of the problem, words of the mend)
FAULTS = [
    ("- ingredient: a\n  keeps: x\n  keeps: y\n", "keeps", 3, "'keeps' is given twice (first on line 2).", "Keep one"),
    ("- ingredient: a\n  strenght: 40 % vol\n", "strenght", 2, "'strenght' is not a key of an ingredient.", "Write 'strength'."),
    ("- ingredient: a\n  zzz: 1\n", "zzz", 2, "'zzz' is not a key of an ingredient.", "Leave it out; the keys here are "),
    ("- ingredient: a\n- ingredient: a\n", "ingredient", 2, "'a' is given twice: it also stands in book0.yaml:1.", "Keep one"),
    ("- ingredient: Egg\n- ingredient: eggs\n", "ingredient", 2, "'eggs' is given twice: 'Egg' stands in book0.yaml:1.", "Give one"),
    ("- ingredient: a\n- ingredient: b\n  also: [á]\n", "also", 2, "'á' is given twice: 'a' stands in book0.yaml:1.", "Give one"),
    ("- ingredient: a\n- preparation: a\n  takes: [5 g salt]\n", "preparation", 2, "'a' is given twice", "Give one"),
    (
        "- ingredient: a\n- preparation: b\n  takes: [5 g a]\n  method: [{macerate: {solids: a}}, strain]\n  gives: {a: solids}\n",
        "gives.a", 5, "'a' is given twice", "Give one",
    ),
    (
        "- preparation: a\n  takes: [5 g salt]\n- preparation: A\n  takes: [5 g salt]\n",
        "preparation", 1, "'a' is given twice: it also stands in book0.yaml:3.", "Give one of them another name.",
    ),
    ("- dish: a\n  plate: [5 g salt]\n- dish: Á\n  plate: [5 g salt]\n", "dish", 3, "is given twice: it also stands in book0.yaml:1", "Give one"),
    ("- menu: m\n  sections: {}\n- menu: M\n  sections: {}\n", "menu", 1, "'m' is given twice: it also stands in book0.yaml:3.", "Give one"),
    ("- ingredeint: a\n", "ingredeint", 1, "'ingredeint' is not a kind of entry.", "Write 'ingredient'."),
    ("- xyz: a\n", "xyz", 1, "'xyz' is not a kind of entry.", "The first key of an entry is one of kitchen, ingredient"),
    ("- also: [b]\n  ingredient: a\n", "ingredient", 2, "'ingredient' is not the first key of its entry.", "Write it above 'also'"),
    ("- just words\n", "file", 1, "'just words' is not an entry.", "Begin an entry with its kind and name"),
    ("- ingredient:\n", "ingredient", 1, "this ingredient has no name.", "Write '- ingredient: ' and its name."),
    ("ingredient: a\n", "file", 1, "this file is not a list of entries.", "Begin each entry with '- '"),
    ("just text\n", "file", 1, "this file is not a list of entries.", "Begin each entry with '- '"),
    ("- kitchen: second\n  jurisdiction: gb\n", "kitchen", 1, "is a second kitchen", "Keep one kitchen entry."),
    ("- ingredient: a\n  composition: sr28:99999\n", "composition", 2, "the reference table has no row '99999'.", "labeller foods a"),
    ("- ingredient: a\n  composition: cream\n", "composition", 2, "'cream' is not a row of the reference table.", "sr28:01053"),
    ("- ingredient: a\n  density: heavy\n", "density", 2, "'heavy' is not a density.", "Write a density such as '1.01 g/ml'."),
    ("- ingredient: a\n  strength: 140 %\n", "strength", 2, "'140 %' is stronger than pure alcohol.", "Write the strength"),
    ("- ingredient: a\n  piece: big\n", "piece", 2, "'big' is not a weight.", "Write a weight such as '60 g'."),
    ("- ingredient: a\n  sulphites: some\n", "sulphites", 2, "'some' is not an amount.", "such as '120 mg/kg'"),
    ("- ingredient: a\n  made_on: [churn]\n", "made_on", 2, "'churn' is not shared equipment of the kitchen.", "Add it to the kitchen's"),
    ("- ingredient: a\n  per_100_g: {fat_g: 101}\n", "per_100_g.fat_g", 2, "'101' is more than 100 g in 100 g.", "Write the figure"),
    ("- ingredient: a\n  per_100_g: {fat_g: lots}\n", "fat_g", 2, "'lots' is not a figure.", "Write a figure such as '2.6'."),
    ("- ingredient: a\n  per_100_g: {fat: 3}\n", "fat", 2, "'fat' is not a key of per_100_g.", "Write 'fat_g'."),
    ("- ingredient: a\n  per_100_g: [3]\n", "per_100_g", 2, "this is not a list of figures.", "Write 'per_100_g: {"),
    ("- ingredient: a\n  spec: good\n", "spec", 2, "this is not a specification with its keys.", "Write 'spec: {"),
    ("- ingredient: a\n  spec: {dated: 1 May}\n", "dated", 2, "'1 May' is not a day.", "Write a day such as '2026-10-01'."),
    ("- ingredient: a\n  spec: {dated: 2026-13-45}\n", "dated", 2, "'2026-13-45' is not a day.", "Write a day such as"),
    ("- ingredient: a\n  spec: {covers: most}\n", "covers", 2, "'most' is not a word for what a spec covers.", "Write 'covers: all'"),
    ("- ingredient: a\n  measures: {ladle: much}\n", "measures.ladle", 2, "'much' is not a weight.", "Write a weight such as '45 g'"),
    ("- preparation: a\n", "takes", 1, "'a' takes nothing.", "Write 'takes:' and one amount on each line."),
    ("- preparation: a\n  takes: []\n", "takes", 2, "'a' takes nothing.", "Write one amount on each line."),
    ("- preparation: a\n  takes: [5 g salt]\n  makes: none\n", "makes", 3, "'none' is not a number of pieces.", "such as '8'"),
    ("- preparation: a\n  takes: [5 g salt]\n  gives: lots\n", "gives", 3, "'lots' is not a weight.", "Write a weight such as '1150 g'"),
    ("- preparation: a\n  takes: [5 g salt]\n  gives: {b: liquor}\n", "gives.b", 3, "is the liquor of a pan that is never strained", "Add a 'strain' step"),
    ("- preparation: a\n  takes: [5 g salt]\n  gives: {b: foam}\n", "gives.b", 3, "'foam' is not a part of the pan.", "Write 'solids' or 'liquor'."),
    ("- dish: d\n", "plate", 1, "nothing is on the plate of 'd'.", "Write 'plate:' and one amount on each line."),
    ("- dish: d\n  plate: [5 g salt]\n  serves: 0\n", "serves", 3, "'0' is not a number of portions.", "such as '1'"),
    ("- dish: d\n  plate: [[5 g salt]]\n", "plate", 2, "there is a list where one line belongs.", "Write each amount on a line"),
    ("- dish: d\n  plate: [{take: 5 g salt, optonal: yes}]\n", "optonal", 2, "'optonal' is not a key of an amount.", "Write 'optional'."),
    ("- dish: d\n  plate: [{take: 5 g salt, optional: perhaps}]\n", "optional", 2, "'perhaps' is not yes or no.", "Write 'true' or 'false'."),
    (
        "- preparation: a\n  takes: [5 g salt]\n  method: [{strain: {solids: [salt]}}]\n  gives: {b: solids, B: liquor}\n",
        "gives", 4, "'B' is given twice.", "Give each part one name.",
    ),
    (
        "- preparation: a\n  takes: [5 g salt]\n  method: [{strain: {solids: [salt]}}]\n  gives: {'': solids}\n",
        "gives", 4, "'' cannot be the name of a part.", "Write a name and the part",
    ),
    ("- menu: m\n  sections: {x: [], X: []}\n", "sections.X", 2, "'X' is given twice.", "Keep one of them."),
    ("- menu: m\n", "sections", 1, "the menu 'm' has no sections.", "Write 'sections: {"),
    ("- dish: egg ice\n  plate: [5 g salt]\n- menu: m\n  sections: {x: [eg ice]}\n", "sections.x", 4, "'eg ice' is not a dish of this book.", "Write 'egg ice'"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "field", "line", "problem", "mend"), FAULTS)
def test_each_fault_names_its_line_its_field_and_its_mend(
    read: ReadBook, text: str, field: str, line: int, problem: str, mend: str
) -> None:
    _, notes = read(text)
    told = [(fault.field, fault.origin.line, fault.problem, fault.mend) for fault in notes.faults]
    assert len(told) == 1, told
    assert told[0][:2] == (field, line)
    assert problem in told[0][2]
    assert mend in told[0][3]


@pytest.mark.parametrize("text", [one[0] for one in FAULTS])
def test_no_message_speaks_of_the_program(read: ReadBook, text: str) -> None:
    _, notes = read(text)
    for fault in (*notes.faults, *notes.advice):
        assert not FORBIDDEN.search(fault.problem + " " + fault.mend), fault
        assert fault.mend
        assert fault.mend.endswith((".", "'", '"'))


def test_every_fault_of_every_file_in_one_run(read: ReadBook) -> None:
    lines = ["- ingredient: only one"]
    for number in range(30):
        lines += [f"- dish: dish {number}", f"  plate: [5 g zzyzx{number}]", f"  colour{number}: red"]
    _, notes = read("\n".join(lines), other="- ingredient: x\n  colour: red\n")
    assert len(notes.faults) == 61  # two for each dish, one in the other file
    assert {fault.origin.path for fault in notes.faults} == {"book0.yaml", "other.yaml"}


def test_no_kitchen(read: ReadBook) -> None:
    book, notes = read("- ingredient: a\n  zzz: 1\n", kitchen=None)
    assert book is None
    assert [fault.as_text().splitlines()[0] for fault in notes.faults] == [
        ".: kitchen: no file of this book has a kitchen entry.",
        "book0.yaml:2: zzz: 'zzz' is not a key of an ingredient.",
    ]


@pytest.mark.parametrize(
    ("text", "problem", "mend"),
    [
        (
            "- kitchen: K\n",
            "the kitchen does not say under which law it sells.",
            "Write 'jurisdiction:' with one of eu, gb",
        ),
        (
            "- kitchen: K\n  jurisdiction: atlantis\n",
            "'atlantis' is not a jurisdiction this tool knows.",
            "Write 'jurisdiction:' with one of eu",
        ),
        (
            "- kitchen: K\n  jurisdiction: gb\n  shared_equipment: [churn, Churn]\n",
            "'Churn' is given twice.",
            "Keep one of them.",
        ),
        (
            "- kitchen: K\n  jurisdiction: gb\n  shared_equipment: [{cleaned: x}]\n",
            "this equipment has no name.",
            "Write '- deep fryer'",
        ),
    ],
)
def test_faults_of_the_kitchen(read: ReadBook, text: str, problem: str, mend: str) -> None:
    _, notes = read(text, kitchen=None)
    (fault,) = notes.faults
    assert fault.problem == problem
    assert fault.mend.startswith(mend)


def test_equipment_that_is_cleaned_and_not_checked_is_advice(read: ReadBook) -> None:
    _, notes = read(
        "- kitchen: K\n  jurisdiction: gb\n  shared_equipment: [{name: churn, cleaned: hot}]\n", kitchen=None
    )
    assert not notes.faults
    (advice,) = notes.advice
    assert "so it still passes allergens on" in advice.problem


def test_json_of_a_fault_has_the_contract_s_fields(read: ReadBook) -> None:
    _, notes = read("- ingredient: a\n  zzz: 1\n")
    assert list(notes.faults[0].as_json()) == ["file", "line", "field", "problem", "mend"]


@pytest.mark.parametrize(
    ("known", "written"),
    [("Miso custard", "English mustard"), ("vanilla extract", "malt extract"), ("x", "palm heart")],
)
def test_what_only_sounds_alike_is_not_put_forward_as_the_same(read: ReadBook, known: str, written: str) -> None:
    """Malt extract is of barley, vanilla extract is not: Regulation (EU) No 1169/2011, Annex II, 1."""
    _, notes = read(f"- ingredient: {known}\n- dish: d\n  plate: [5 g {written}]\n")
    (fault,) = notes.faults
    assert not fault.mend.startswith("Write ")
    assert "add an ingredient of that name" in fault.mend.casefold()
    assert "labeller match" in fault.mend


@pytest.mark.parametrize("behind", ["removed", "or 30 g salt", "optional"])
def test_a_comma_inside_square_brackets_parts_lines(read: ReadBook, behind: str) -> None:
    _, notes = read(f"- dish: d\n  plate: [5 g sugar, {behind}]\n")
    (fault,) = notes.faults
    assert fault.problem == f"'{behind}' has no amount."
    assert "inside [ ] a comma begins the next line" in fault.mend
