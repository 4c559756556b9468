"""The entries of a kitchen book as a cook writes them: kitchen, ingredient, preparation, dish and menu.

From these models the schema for editors is made, and their order of keys is the house form's. What runs reads books with
``labeller.book``, which is faster and says more; a test holds the two together, key by key.
"""

from typing import Any, Final

from pydantic import create_model
from typing_extensions import TypeAliasType

from labeller.book.ingredient_entry import PACK_GRAMS
from labeller.bringing_in.book_methods import Method, SomeLines, Written, key, wanted
from labeller.bringing_in.book_scalars import (
    Count,
    Covers,
    Day,
    Density,
    Duration,
    Figure,
    Grams,
    Jurisdiction,
    Keeps,
    Measure,
    Name,
    Part,
    PerKilogram,
    Row,
    Strength,
    Text,
    Texts,
    Weight,
    Word,
)

_MADE_ON = "Shared equipment it is made or opened on, by the names in the kitchen's 'shared_equipment'."
_KEEPS = "How long and how: 5 days chilled, 90 days ambient, 3 months frozen; ', counted anew' where its parts no longer limit it."
_MEASURES = "What one spoon, ladle or other measure of it weighs or holds: {ladle: 70 g}."
_MADE_MEASURES = "What one spoon or ladle of it weighs: {tablespoon: 12 g}."

Measures = TypeAliasType("Measures", dict[str, Measure])


class Equipment(Written):
    """A machine that passes allergens on from one batch to the next, unless it is cleaned and that is checked."""

    name: Word = wanted("What it is called: churn.")
    cleaned: Text = key("How it is cleaned between batches. With 'checked' it passes nothing on.")
    checked: Text = key("How the cleaning is checked: weekly swab. With 'cleaned' it passes nothing on.")
    carries: PerKilogram = key("The protein of an allergenic food it leaves in what is made on it next: 10 mg/kg.")


class Kitchen(Written):
    """The house: its name, its law, its own measures and its shared equipment. One to a book."""

    kitchen: Name = wanted("The name of the house.")
    jurisdiction: Jurisdiction = wanted("Under whose law it sells: eu, gb, us, ca, au-nz or codex.")
    language: Text = key("The language of the book: en.")
    address: Text = key("The address printed on labels for sale.")
    measures: Measures = key("This house's own spoons and ladles: {quenelle: 45 g}.")
    shared_equipment: list[Word | Equipment] | Word | Equipment = key(
        "What passes allergens on between batches: deep fryer, churn, slicer."
    )
    spec_review: Duration = key(
        "How old a supplier's specification may grow before 'check' asks for a new one: 12 months."
    )


_FIGURES_SAID: Final = {
    "energy_kj": "Energy in kJ, only to check the other figures.",
    "energy_kcal": "Energy in kcal, only to check the other figures.",
    "carbohydrate_g": "Carbohydrate in g, as the law of the book's jurisdiction defines it.",
    "salt_g": "Salt in g: sodium x 2.5.",
}
_UNITS_SAID: Final = {"g": "g", "mg": "mg", "ug": "micrograms", "kj": "kJ", "kcal": "kcal"}
# As the packs of most laws print them.
FIGURES: Final = (
    "energy_kj", "energy_kcal", "fat_g", "saturates_g", "monounsaturates_g", "polyunsaturates_g", "trans_fat_g", "cholesterol_mg",
    "carbohydrate_g", "sugars_g", "added_sugars_g", "polyols_g", "starch_g", "fibre_g", "protein_g", "salt_g", "sodium_mg",
    "alcohol_g", "water_g", "vitamin_d_ug", "calcium_mg", "iron_mg", "potassium_mg", "caffeine_mg",
)  # fmt: skip


def _figure_said(name: str) -> str:
    words, unit = name.rsplit("_", maxsplit=1)
    plain = words.replace("_", " ")
    return _FIGURES_SAID.get(name, f"{plain[0].upper()}{plain[1:]} in {_UNITS_SAID[unit]}.")


_PACK_SAID: Final = "The pack's figures for 100 g; each wins over the reference table's."
_FIGURE_KEYS: Final[dict[str, Any]] = {
    name: (Grams if name in PACK_GRAMS else Figure, key(_figure_said(name))) for name in FIGURES
}
Per100g = create_model("Per100g", __base__=Written, __doc__=_PACK_SAID, **_FIGURE_KEYS)


class Spec(Written):
    """The supplier's specification: what the kitchen knows about allergens, and from whom."""

    supplier: Text = key("Who supplies it.")
    reference: Text = key("The supplier's number for it.")
    dated: Day = key("The day of the specification: 2026-10-01.")
    statement: Text = key("The whole ingredients statement, in quotes. What it does not name is not in it.")
    may_contain: Texts = key('What the pack says it may contain: "nuts, soya". Left out: not known.')
    declares: Texts = key(
        "Instead of a statement: the allergens it has, such as [milk], or in words: milk and nothing else."
    )
    covers: Covers = key("all: the list covers every allergen, so what it does not name is not in it.")


class Ingredient(Written):
    """Something bought in. A bare name will do: then its figures are missing and its allergens not known."""

    ingredient: Name = wanted("What recipes call it.")
    also: Texts = key("Other names a recipe may use: [heavy cream].")
    shelf: Text = key("The plain good of the shelf it is, under another name: plain flour.")
    composition: Row = key("Its row of the reference table: sr28:01053. 'labeller foods WORDS' finds rows.")
    matched: Text = key("By whom it was matched to its row: machine, until a person confirms.")
    provenance: Text = key("Where the figures come from, when they were fetched.")
    per_100_g: Per100g = key("The figures on the pack, for 100 g: {fat_g: 48.0, salt_g: 0.05}.")  # type: ignore[valid-type]  # a model made from the columns
    density: Density = key("What a millilitre weighs: 1.01 g/ml.")
    piece: Weight = key("The edible weight of one: 60 g.")
    measures: Measures = key(_MEASURES)
    strength: Strength = key("The alcohol on the bottle: 40 % vol.")
    sulphites: PerKilogram = key("Total sulphur dioxide: 120 mg/kg.")
    made_on: Texts = key(_MADE_ON)
    keeps: Keeps = key("How long it keeps once opened: 5 days chilled.")
    spec: Spec = key("The supplier's specification.")


class Given(Written):
    """One of the things a preparation gives."""

    part: Part = key("solids or liquor, after a 'strain'.")
    weighs: Weight = key("What the scale said: 690 g.")
    keeps: Keeps = key(_KEEPS)
    makes: Count = key("Pieces in a batch: 8.")
    measures: Measures = key(_MADE_MEASURES)
    density: Density = key("What a millilitre weighs: 1.01 g/ml.")


class Preparation(Written):
    """Something made in house, by the batch."""

    preparation: Name = wanted("What recipes call it.")
    also: Texts = key("Other names a recipe may use.")
    takes: SomeLines = wanted("What goes in, an amount and a name on each line: 250 g double cream.")
    method: Method = key("What is done, step by step; plain sentences change nothing.")
    gives: Weight | dict[str, Given | Part] = key(
        "What the batch weighs when done: 1150 g; or the parts it gives: {damson gin: liquor, steeped damsons: solids}."
    )
    made_on: Texts = key(_MADE_ON)
    keeps: Keeps = key(_KEEPS)
    storage: Text = key("How it is stored, in words for the label.")
    reheat: Text = key("How it is heated again, in words for the label.")
    makes: Count = key("Pieces in a batch: 8.")
    measures: Measures = key(_MADE_MEASURES)
    density: Density = key("What a millilitre weighs: 1.01 g/ml.")
    piece: Weight = key("What one piece weighs: 60 g.")


class Dish(Written):
    """What is sold."""

    dish: Name = wanted("Its name on the menu.")
    description: Text = key("What guests read below the name.")
    course: Text = key("starter, main, dessert or what the house says.")
    serves: Count = key("For how many the plate below is; 1 unless said.")
    suitable_for: Texts = key("Claims, such as [vegetarian]; printed only where the evidence supports them.")
    plate: SomeLines = wanted(
        "What is on it, an amount and a name on each line; ', optional' behind what can be left off, ', or 30 g oat cream' behind a swap."
    )
    keeps: Keeps = key(_KEEPS)
    reheat: Text = key("How it is heated again, in words for the label.")


class Menu(Written):
    """A menu and the dishes in each of its sections."""

    menu: Name = wanted("Its name: dinner.")
    sections: dict[str, Texts] = wanted("The sections with their dishes: {desserts: [damson and custard ice]}.")
