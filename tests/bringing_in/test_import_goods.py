"""Lists of what is bought in. What a cell does not say is not known; nothing is ever made into 'none' that nobody said."""

from pathlib import Path
from typing import Any

import openpyxl
import pytest

from tests.kitchens import Kitchen, Ran, plate, rows, run

Rows = list[list[Any]]
# The fourteen groups of Regulation (EU) No 1169/2011, Annex II, in its order.
ANNEX_II = [
    "Gluten",
    "Crustaceans",
    "Eggs",
    "Fish",
    "Peanuts",
    "Soya",
    "Milk",
    "Nuts",
    "Celery",
    "Mustard",
    "Sesame",
    "Sulphur dioxide",
    "Lupin",
    "Molluscs",
]


def bring(folder: Path, table: Rows, *more: str) -> tuple[Ran, Any, Kitchen]:
    kitchen = Kitchen(folder / "book")
    kitchen.write("", name="kitchen.yaml")
    workbook = openpyxl.Workbook()
    sheet = workbook.active
    assert sheet is not None
    for row in table:
        sheet.append(row)
    path = folder / "goods.xlsx"
    workbook.save(path)
    ran = run("import", path, "--into", kitchen.folder, "--json", *more)
    return ran, ran.json(), kitchen


def statuses(kitchen: Kitchen, good: str) -> dict[str, str]:
    """Return the status of every group of a plate of one good."""
    kitchen.write(plate(f"10 g {good}"), name="plate.yaml", law=None)
    return {group: row["status"] for group, row in rows(kitchen.one("plate")).items()}


def test_a_price_list_gives_bare_names_with_their_supplier(tmp_path: Path) -> None:
    ran, document, kitchen = bring(
        tmp_path, [["Product", "Supplier", "Code", "Price"], ["hazelnut paste", "Quayside Dairy", "QD-7", 12.5]]
    )
    assert ran.code == 0, document["faults"]
    assert [one["name"] for one in document["ingredients"]] == ["hazelnut paste"]
    assert set(statuses(kitchen, "hazelnut paste").values()) == {"unconfirmed"}
    text = (kitchen.folder / document["written"][0]).read_text()
    assert "supplier: Quayside Dairy" in text
    assert "price: 12.5" in text


def test_statement_and_figures(tmp_path: Path) -> None:
    head = [
        "Product",
        "Ingredients statement",
        "May contain",
        "Energy (kJ)",
        "Fat",
        "of which saturates",
        "Carbohydrate",
        "of which sugars",
        "Fibre",
        "Protein",
        "Salt",
    ]
    ran, document, kitchen = bring(
        tmp_path, [head, ["nut paste", "HAZELNUTS, sugar", "almonds", 2500, 60.5, 5, 20, "18,5", "<0.5", 14, 0.01]]
    )
    assert ran.code == 0, document["faults"]
    found = statuses(kitchen, "nut paste")
    assert found["nuts"] == "contains"
    assert found["milk"] == "none declared"
    text = (kitchen.folder / document["written"][0]).read_text()
    assert "fat_g: 60.5" in text
    assert "sugars_g: 18.5" in text
    assert "fibre_g" not in text  # below 0.5 is no figure: it stays not known
    assert any("<0.5" in one["text"] for one in document["left"])


def test_an_allergens_column_settles_only_what_it_names(tmp_path: Path) -> None:
    table: Rows = [
        ["Ingredient", "Supplier", "Allergens", "May contain"],
        ["cream sauce", "Q", "milk, celery", "mustard"],
        ["fish sauce", "Q", None, None],
        ["stock cube", "Q", "-", None],
        ["dairy", None, None, None],
    ]
    ran, document, kitchen = bring(tmp_path, table)
    assert ran.code == 0, document["faults"]
    found = statuses(kitchen, "cream sauce")
    assert (found["milk"], found["celery"]) == ("contains", "contains")
    assert found["egg"] == "unconfirmed"
    assert found["mustard"] == "may contain"
    for good in ("fish sauce", "stock cube"):
        assert set(statuses(kitchen, good).values()) == {"unconfirmed"}
    assert any(one["text"] == "dairy" and "nothing beside it" in one["why"] for one in document["left"])


def test_a_matrix_of_ticks_never_invents_none(tmp_path: Path) -> None:
    head = ["Product", "Supplier", *ANNEX_II]
    ticks: list[Any] = [None] * 14
    ticks[6], ticks[7], ticks[4] = "x", "M", "-"
    ran, document, kitchen = bring(tmp_path, [head, ["praline", "Quayside Dairy", *ticks]])
    assert ran.code == 0, document["faults"]
    found = statuses(kitchen, "praline")
    assert found["milk"] == "contains"
    assert {found[group] for group in ("peanut", "soya", "egg", "gluten", "fish")} == {"unconfirmed"}
    assert "none declared" not in found.values()
    text = (kitchen.folder / document["written"][0]).read_text()
    assert "covers" not in text
    assert "may_contain" in text


def test_blanks_mean_none_only_where_the_user_says_so(tmp_path: Path) -> None:
    head = ["Product", *ANNEX_II]
    ticks: list[Any] = [None] * 14
    ticks[6], ticks[7] = "x", "M"
    _, document, kitchen = bring(tmp_path, [head, ["praline", *ticks]], "--blank-means", "none")
    found = statuses(kitchen, "praline")
    assert (found["milk"], found["nuts"], found["peanut"]) == ("contains", "may contain", "none declared")
    assert document["written"]


def test_a_matrix_of_few_groups_never_covers_all(tmp_path: Path) -> None:
    """Five columns answered, nine groups never asked: those stay not known, whatever a blank means."""
    _, _, kitchen = bring(
        tmp_path,
        [
            ["Product", "Supplier", "Milk", "Eggs", "Nuts", "Soya", "Fish"],
            ["praline", "Q", "x", "no", "no", "no", "no"],
        ],
        "--blank-means",
        "none",
    )
    found = statuses(kitchen, "praline")
    assert found["milk"] == "contains"
    assert found["sesame"] == "unconfirmed"
    assert found["peanut"] == "unconfirmed"


def test_a_whole_matrix_answered_in_words_covers_all(tmp_path: Path) -> None:
    answers = ["no"] * 14
    answers[0] = "yes"
    answers[3] = "may contain"
    _, _, kitchen = bring(tmp_path, [["Product", *ANNEX_II], ["rusk", *answers]])
    found = statuses(kitchen, "rusk")
    assert (found["gluten"], found["fish"], found["milk"]) == ("contains", "may contain", "none declared")


@pytest.mark.parametrize(
    ("head", "row", "cell", "words"),
    [
        (["Product", "Allergens"], ["paste", "hazlenut butterish"], "Sheet!B2", "not an allergen group or source"),
        (
            ["Product", "Supplier", "Milk", "Eggs"],
            ["paste", "Q", "maybe perhaps", None],
            "Sheet!C2",
            "is not a word this tool knows",
        ),
        (["Product", "Fat (g)", "Salt"], ["paste", 480, 1], "Sheet!B2", "more than 100 g"),
        (["Product", "Allergens", "Fat"], ["paste", "#REF!", 3], "Sheet!B2", "#REF!"),
        (["Product", "Salt", "Sodium (mg)"], ["paste", 1, 4000], "Sheet!", "do not agree"),
    ],
)
def test_odd_goods_are_faults_at_their_cell(
    tmp_path: Path, head: list[Any], row: list[Any], cell: str, words: str
) -> None:
    ran, document, kitchen = bring(tmp_path, [head, row])
    assert ran.code == 1
    assert any(cell in one["field"] and words in one["problem"] for one in document["faults"]), document["faults"]
    assert not (kitchen.folder / "imported").exists()


def test_figures_per_portion_are_not_taken_for_per_100_g(tmp_path: Path) -> None:
    _, document, kitchen = bring(
        tmp_path, [["Product", "Fat per portion (g)", "Fat per 100g", "Sodium (g)"], ["paste", 12, 40, 0.4]]
    )
    text = (kitchen.folder / document["written"][0]).read_text()
    assert "fat_g: 40" in text
    assert "sodium_mg: 400" in text
    assert "12" not in text.split("per_100_g")[1]


def test_energy_in_one_cell(tmp_path: Path) -> None:
    _, document, kitchen = bring(tmp_path, [["Product", "Energy", "Fat"], ["oil", "3404 kJ / 828 kcal", 92]])
    text = (kitchen.folder / document["written"][0]).read_text()
    assert "energy_kj: 3404" in text
    assert "energy_kcal: 828" in text


def test_an_ingredient_the_book_has_is_left_as_it_is(tmp_path: Path) -> None:
    (tmp_path / "book").mkdir()
    Kitchen(tmp_path / "book").write(
        "- ingredient: nut paste\n  spec: {declares: [hazelnut]}\n", name="own.yaml", law=None
    )
    ran, document, kitchen = bring(tmp_path, [["Product", "Allergens"], ["Nut paste", "milk"]])
    assert ran.code == 1
    assert "is in the book already, at own.yaml:1" in document["faults"][0]["problem"]
    assert "hazelnut" in (kitchen.folder / "own.yaml").read_text()


def test_a_pack_weight_beside_a_statement_is_no_recipe(tmp_path: Path) -> None:
    head = ["Product", "Net weight", "Supplier", "Statement", "Fat", "Salt"]
    ran, document, _ = bring(tmp_path, [head, ["nut paste", "1 kg", "Quayside Dairy", "HAZELNUTS, sugar", 60, 0.1]])
    assert ran.code == 0, document["faults"]
    assert document["recipes"] == []
    assert [one["name"] for one in document["ingredients"]] == ["nut paste"]


def test_figures_beside_amounts_are_a_recipe(tmp_path: Path) -> None:
    head = ["Ingredient", "Quantity", "Unit", "kcal", "Fat", "Salt"]
    ran, document, _ = bring(tmp_path, [head, ["plain flour", 100, "g", 350, 1, 0], ["butter", 50, "g", 370, 41, 0.5]])
    assert ran.code == 0, document["faults"]
    assert document["ingredients"] == []
    assert [one["lines"] for one in document["recipes"]] == [["100 g plain flour", "50 g butter"]]
