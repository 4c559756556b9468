"""The demo kitchen book: large and awkward enough, and without a fault the reader can see.

What it must hold is listed in the order it was asked for; nothing here is a figure.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest

import labeller.demonstration
from labeller.book.entries import Book, Line, Preparation, Step, Target
from labeller.book.method import HEAT_WAYS, STEPS
from labeller.book.reading import read_book, read_files
from labeller.composition.household import load_household
from labeller.composition.table import load_table

FOLDER = Path(labeller.demonstration.__file__).parent / "book"


@pytest.fixture(scope="module")
def book() -> Book:
    table = load_table()
    found, notes = read_book(
        read_files(FOLDER),
        jurisdictions=["gb", "eu", "us"],
        row_exists=lambda code: table.row_index(code) is not None,
        trade_pieces=load_household().trade_pieces,
    )
    assert [fault.as_text() for fault in notes.faults] == []
    assert found is not None
    return found


def steps_of(book: Book) -> Iterator[Step]:
    for preparation in book.preparations.values():
        yield from preparation.method


def targets_of(preparation: Preparation) -> list[Target]:
    lines: list[Line] = [*preparation.takes, *(line for step in preparation.method for line in step.lines)]
    return [line.target for line in lines if line.target is not None]


def targets_on(book: Book, dish: str) -> list[Target]:
    return [line.target for line in book.dishes[dish].plate if line.target is not None]


def depth_of(book: Book, name: str) -> int:
    inner = {target.entry for target in targets_of(book.preparations[name]) if target.kind == "given"}
    return 1 + max((depth_of(book, each) for each in inner), default=0)


def reached(book: Book, name: str) -> set[str]:
    """Every ingredient and preparation a preparation is made of."""
    found: set[str] = set()
    for target in targets_of(book.preparations[name]):
        found.add(target.entry)
        if target.kind == "given":
            found |= reached(book, target.entry)
    return found


def on_plate(book: Book, dish: str) -> set[str]:
    """Every ingredient, preparation and given part a dish is made of."""
    found: set[str] = set()
    for target in targets_on(book, dish):
        found |= {target.entry, target.given}
        if target.kind == "given":
            found |= reached(book, target.entry)
    return found


def test_it_is_as_large_as_a_real_one(book: Book) -> None:
    own = [entry for entry in book.ingredients.values() if not entry.from_shelf]
    assert len(own) >= 65
    assert sum(entry.spec is not None for entry in own) >= len(own) / 3
    assert len(book.preparations) >= 28
    assert max(depth_of(book, name) for name in book.preparations) == 4
    assert len(book.dishes) >= 15
    assert {dish.course for dish in book.dishes.values()} >= {"starter", "main", "dessert", "children"}
    assert len(book.menus) == 2


def test_it_uses_every_step_and_every_way_of_heating(book: Book) -> None:
    used = {step.kind for step in steps_of(book)}
    assert used >= set(STEPS)
    assert {step.how for step in steps_of(book) if step.kind == "heat"} == set(HEAT_WAYS)


def test_some_ingredients_are_deliberately_unconfirmed(book: Book) -> None:
    bare = [
        name
        for name, entry in book.ingredients.items()
        if not entry.composition and not entry.per_100_g and entry.spec is None
    ]
    assert {"dulse flakes", "edible flowers"} <= set(bare)
    assert book.ingredients["hazelnut paste"].spec is not None
    assert book.ingredients["bouillon powder"].spec is None


def test_liquor_and_drained_fruit_of_one_infusion_both_reach_plates(book: Book) -> None:
    jar = book.preparations["plums in brandy"]
    assert {given.name for given in jar.gives} == {"plum brandy liquor", "brandied plums"}
    plates = {target.given for dish in book.dishes for target in targets_on(book, dish)}
    assert plates >= {"plum brandy liquor", "brandied plums"}


@pytest.mark.parametrize(
    ("dish", "holds"),
    [
        ("brandied plums and custard ice", {"custard ice", "vanilla custard", "twice-baked plum roll", "oat crumble"}),
        ("braised short rib", {"red wine sauce", "house red wine"}),  # a wine sauce
        ("fried hake and chips", {"fried hake", "chips", "hake fillet"}),  # fish, and fried
        ("set almond cream and apricots", {"flaked almonds"}),  # strained out, still in it
        ("lantern loaf and browned butter", {"lantern loaf"}),  # a bread
        ("cold salmon and cucumber", {"xanthan gum"}),  # a thickened cold sauce
        ("potted crab and toast", {"picked crab meat", "peeled prawns"}),  # crustaceans
        ("mussels in cider", {"rope mussels"}),  # molluscs
        ("short rib croquettes", {"celeriac remoulade", "smooth mustard"}),  # celery, mustard
        ("white bean and sesame", {"tahini"}),
    ],
)
def test_a_dish_holds_what_it_is_there_for(book: Book, dish: str, holds: set[str]) -> None:
    assert holds <= on_plate(book, dish)


def test_two_ices_share_a_churn_with_nuts(book: Book) -> None:
    churned = {name for name, preparation in book.preparations.items() if "ice cream churn" in preparation.made_on}
    assert churned == {"custard ice", "hazelnut ice", "raspberry sorbet"}


def test_the_roll_is_baked_twice(book: Book) -> None:
    baked = [
        step
        for name in ("plum and apple leather", "twice-baked plum roll")
        for step in book.preparations[name].method
        if step.how == "bake"
    ]
    assert len(baked) == 2


def test_the_childrens_plate_has_no_alcohol_in_it(book: Book) -> None:
    plate = on_plate(book, "children's meatballs")
    assert [name for name in plate if name in book.ingredients and book.ingredients[name].strength_percent_vol] == []


def test_something_is_vegan_something_is_optional_something_can_be_swapped(book: Book) -> None:
    assert "vegan" in book.dishes["white bean and sesame"].suitable_for
    plates = [line for dish in book.dishes.values() for line in dish.plate]
    assert sum(line.optional for line in plates) >= 8
    assert sum(bool(line.swaps) for line in plates) >= 3


def test_no_citrus_is_steeped_in_spirit(book: Book) -> None:
    # The house rule of this project: the demo's infusion is a stone fruit.
    for preparation in book.preparations.values():
        if any(step.kind == "macerate" for step in preparation.method):
            names = " ".join(target.entry for target in targets_of(preparation))
            bought = [
                book.ingredients[target.entry]
                for target in targets_of(preparation)
                if target.entry in book.ingredients
            ]
            spirits = any((entry.strength_percent_vol or 0.0) > 30.0 for entry in bought)
            assert not (spirits and any(word in names for word in ("lemon", "orange", "lime", "citrus")))
