"""Spreadsheets as kitchens really have them, each odd in its own way, and what a person would read in each.

Every expectation is typed by hand from the cells above it; nothing is captured from the tool. ``there`` counts the recipes and lines
a person finds in the sheet; ``faults`` are cells that a person would ask about, each with words the fault must hold.
"""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import openpyxl
from openpyxl.comments import Comment
from openpyxl.styles import Font

Rows = list[list[Any]]


@dataclass(frozen=True, slots=True)
class Odd:
    """One odd file: its sheets (or its raw bytes), what is changed in the workbook, and what a person reads."""

    name: str
    sheets: dict[str, Rows] = field(default_factory=dict)
    raw: bytes = b""
    ending: str = ".xlsx"
    change: Callable[[openpyxl.Workbook], None] | None = None
    law: str = "eu"
    options: tuple[str, ...] = ()
    book: str = ""
    recipes: dict[str, tuple[str, ...]] = field(default_factory=dict)
    faults: tuple[tuple[str, str], ...] = ()
    said: tuple[str, ...] = ()
    there: tuple[int, int] | None = None

    def write(self, folder: Path) -> Path:
        """Write the file and return its path."""
        path = folder / f"recipes{self.ending}"
        if not self.sheets:
            path.write_bytes(self.raw)
            return path
        book = openpyxl.Workbook()
        book.remove(book.active)
        for title, rows in self.sheets.items():
            sheet = book.create_sheet(title)
            for row, cells in enumerate(rows, start=1):
                for column, value in enumerate(cells, start=1):
                    if value is not None:
                        sheet.cell(row, column, value)
        if self.change is not None:
            self.change(book)
        book.save(path)
        return path

    @property
    def lines_there(self) -> tuple[int, int]:
        """Return how many recipes and lines a person finds."""
        if self.there is not None:
            return self.there
        return len(self.recipes), sum(len(lines) for lines in self.recipes.values())


def _merge(*areas: str, sheet: str = "A") -> Callable[[openpyxl.Workbook], None]:
    def change(book: openpyxl.Workbook) -> None:
        for area in areas:
            book[sheet].merge_cells(area)

    return change


def _format(cell: str, number_format: str) -> Callable[[openpyxl.Workbook], None]:
    def change(book: openpyxl.Workbook) -> None:
        book["A"][cell].number_format = number_format

    return change


def _percent(book: openpyxl.Workbook) -> None:
    for cell in ("B4", "B5"):
        book["A"][cell].number_format = "0%"


def _bold(*cells: str) -> Callable[[openpyxl.Workbook], None]:
    def change(book: openpyxl.Workbook) -> None:
        for cell in cells:
            book["A"][cell].font = Font(bold=True)

    return change


def _struck(book: openpyxl.Workbook) -> None:
    book["A"]["A4"].font = Font(strike=True)


def _hidden_row(book: openpyxl.Workbook) -> None:
    book["A"].row_dimensions[4].hidden = True


def _hidden_column(book: openpyxl.Workbook) -> None:
    book["A"].column_dimensions["C"].hidden = True


def _hidden_sheet(book: openpyxl.Workbook) -> None:
    book["Lists"].sheet_state = "hidden"


def _pinned(book: openpyxl.Workbook) -> None:
    book["A"]["A3"].comment = Comment("the other supplier's is fine too", "chef")


HEAD = ["Ingredient", "Quantity", "Unit"]

ODD: tuple[Odd, ...] = (
    Odd(
        "one recipe a sheet, named by the sheets",
        {
            "Shortbread": [HEAD, ["plain flour", 300, "g"], ["butter", 200, "g"], ["caster sugar", 100, "g"]],
            "Lemon curd": [HEAD, ["egg yolk", 80, "g"], ["caster sugar", 120, "g"]],
        },
        recipes={
            "Shortbread": ("300 g plain flour", "200 g butter", "100 g caster sugar"),
            "Lemon curd": ("80 g egg yolk", "120 g caster sugar"),
        },
    ),
    Odd(
        "a header block with a date and an author",
        {
            "A": [
                ["Recipe:", "Shortbread"],
                ["Date", dt.datetime(2026, 5, 1), "Author", "the pastry section"],  # noqa: DTZ001 - a spreadsheet's day has no zone
                ["Yield", "1.2 kg"],
                ["Serves", 12],
                [],
                HEAD,
                ["plain flour", 600, "g"],
                ["butter", 400, "g"],
            ]
        },
        recipes={"Shortbread": ("600 g plain flour", "400 g butter")},
        said=("is not taken",),
    ),
    Odd(
        "blocks below one another, headings repeated",
        {
            "A": [
                ["Shortbread"],
                HEAD,
                ["plain flour", 300, "g"],
                ["butter", 200, "g"],
                [],
                ["Meringue"],
                ["Serves", 6],
                HEAD,
                ["egg white", 100, "g"],
                ["caster sugar", 200, "g"],
            ]
        },
        recipes={
            "Shortbread": ("300 g plain flour", "200 g butter"),
            "Meringue": ("100 g egg white", "200 g caster sugar"),
        },
    ),
    Odd(
        "many recipes under one heading row, a name row each",
        {
            "A": [
                HEAD,
                ["Shortbread"],
                ["plain flour", 300, "g"],
                ["butter", 200, "g"],
                [],
                ["Meringue"],
                ["egg white", 100, "g"],
                ["caster sugar", 200, "g"],
            ]
        },
        recipes={
            "Shortbread": ("300 g plain flour", "200 g butter"),
            "Meringue": ("100 g egg white", "200 g caster sugar"),
        },
    ),
    Odd(
        "a column for the recipe, written once each",
        {
            "A": [
                ["Dish", *HEAD],
                ["Shortbread", "plain flour", 300, "g"],
                [None, "butter", 200, "g"],
                ["Meringue", "egg white", 100, "g"],
                [None, "caster sugar", 200, "g"],
            ]
        },
        recipes={
            "Shortbread": ("300 g plain flour", "200 g butter"),
            "Meringue": ("100 g egg white", "200 g caster sugar"),
        },
    ),
    Odd(
        "a column for the recipe, merged over its rows",
        {
            "A": [
                ["Recipe", *HEAD],
                ["Shortbread", "plain flour", 300, "g"],
                [None, "butter", 200, "g"],
                ["Meringue", "egg white", 100, "g"],
            ]
        },
        change=_merge("A2:A3"),
        recipes={"Shortbread": ("300 g plain flour", "200 g butter"), "Meringue": ("100 g egg white",)},
    ),
    Odd(
        "two recipes side by side",
        {
            "A": [
                ["Shortbread", None, None, "Meringue"],
                ["Ingredient", "Qty (g)", None, "Ingredient", "Qty (g)"],
                ["plain flour", 300, None, "egg white", 100],
                ["butter", 200, None, "caster sugar", 200],
            ]
        },
        recipes={
            "Shortbread": ("300 g plain flour", "200 g butter"),
            "Meringue": ("100 g egg white", "200 g caster sugar"),
        },
    ),
    Odd(
        "German, decimal commas typed as text",
        {
            "A": [
                ["Rezept: Mürbteig"],
                ["Zutat", "Menge", "Einheit"],
                ["plain flour", "0,5", "kg"],
                ["butter", "1,25", "kg"],
                ["salt", "1", "Prise"],
                ["milk", "2", "EL"],
            ]
        },
        recipes={"Mürbteig": ("0.5 kg plain flour", "1.25 kg butter", "1 pinch salt", "2 tbsp milk")},
    ),
    Odd(
        "French, words for units",
        {
            "A": [
                ["Pâte sucrée"],
                ["Ingrédients", "Quantité", "Unité"],
                ["plain flour", 250, "grammes"],
                ["milk", 1, "c. à soupe"],
                ["salt", 1, "pincée"],
                ["egg", 1, "pièce"],
            ]
        },
        recipes={"Pâte sucrée": ("250 g plain flour", "1 tbsp milk", "1 pinch salt", "1 egg")},
    ),
    Odd(
        "Spanish",
        {
            "A": [
                ["Natillas"],
                ["Ingrediente", "Cantidad", "Unidad"],
                ["milk", 1, "litro"],
                ["caster sugar", 2, "cucharadas"],
                ["salt", "al gusto", None],
            ]
        },
        recipes={"Natillas": ("1 l milk", "2 tbsp caster sugar", "salt to taste")},
    ),
    Odd(
        "Italian, q.b.",
        {"A": [["Frolla"], ["Ingredienti", "Quantità", "Unità"], ["plain flour", 500, "g"], ["salt", "q.b.", None]]},
        recipes={"Frolla": ("500 g plain flour", "salt to taste")},
    ),
    Odd(
        "headings in two languages",
        {
            "A": [
                ["Ingrédients / Ingredients", "Quantité / Quantity", "Unité / Unit"],
                ["butter", 200, "g"],
                ["milk", 100, "ml"],
            ]
        },
        recipes={"A": ("200 g butter", "100 ml milk")},
    ),
    Odd(
        "amount and unit in one cell",
        {
            "A": [
                ["Item", "Amount"],
                ["plain flour", "250 g"],
                ["butter", "250g"],
                ["milk", "1,5 l"],
                ["caster sugar", "0.25kg"],
            ]
        },
        recipes={"A": ("250 g plain flour", "250 g butter", "1.5 l milk", "0.25 kg caster sugar")},
    ),
    Odd(
        "the unit in the heading",
        {"A": [["Ingredient", "Weight (g)"], ["plain flour", 250], ["butter", 125.5]]},
        recipes={"A": ("250 g plain flour", "125.5 g butter")},
    ),
    Odd(
        "the unit in the heading without brackets",
        {"A": [["Ingredient", "Weight in kg"], ["plain flour", 2.5], ["butter", 1]]},
        recipes={"A": ("2.5 kg plain flour", "1 kg butter")},
    ),
    Odd(
        "a column headed Grams, another headed Ounces",
        {"A": [["Ingredient", "Ounces", "Grams"], ["plain flour", 8.8, 250], ["butter", 4, None]]},
        recipes={"A": ("250 g plain flour", "4 oz butter")},
        said=("second amount",),
    ),
    Odd(
        "the unit in brackets behind the name",
        {"A": [["Ingredient", "Qty"], ["caster sugar (g)", 200], ["Milk [ml]", 500]]},
        recipes={"A": ("200 g caster sugar", "500 ml Milk")},
    ),
    Odd(
        "the unit only in the number format",
        {"A": [["Ingredient", "Qty"], ["butter", 200], ["egg", 2]]},
        change=_format("B2", '0" g"'),
        recipes={"A": ("200 g butter", "2 egg")},
    ),
    Odd(
        "everything in one cell a row",
        {"A": [["Ingredients"], ["500 g plain flour, sifted"], ["2 eggs"], ["salt to taste"], ["1/2 tsp cinnamon"]]},
        recipes={"A": ("500 g plain flour, sifted", "2 eggs", "salt to taste", "1/2 tsp cinnamon")},
    ),
    Odd(
        "no heading row",
        {"A": [["plain flour", 300, "g"], ["butter", 200, "g"], ["caster sugar", 100, "g"]]},
        recipes={"A": ("300 g plain flour", "200 g butter", "100 g caster sugar")},
        said=("no heading row",),
    ),
    Odd(
        "fractions of every kind",
        {
            "A": [
                HEAD,
                ["milk", "½", "l"],
                ["butter", "1 1/2", "kg"],
                ["plain flour", "1½", "kg"],
                ["caster sugar", "3/4", "kg"],
                ["salt", "⅛", "tsp"],
            ]
        },
        recipes={
            "A": ("1/2 l milk", "1 1/2 kg butter", "1 1/2 kg plain flour", "3/4 kg caster sugar", "1/8 tsp salt")
        },
    ),
    Odd(
        "ranges and rough amounts",
        {
            "A": [
                HEAD,
                ["milk", "2-3", "tbsp"],
                ["butter", "200–250", "g"],
                ["plain flour", "ca. 200", "g"],
                ["caster sugar", "approx 50", "g"],
                ["water", "up to 30", "ml"],
            ]
        },
        recipes={
            "A": (
                "2-3 tbsp milk",
                "200-250 g butter",
                "about 200 g plain flour",
                "about 50 g caster sugar",
                "up to 30 ml water",
            )
        },
    ),
    Odd(
        "pinches and tastes in the columns of a sheet",
        {
            "A": [
                HEAD,
                ["plain flour", 500, "g"],
                ["salt", None, "a pinch"],
                ["black pepper", "to taste", None],
                ["nutmeg", "q.s.", None],
                ["cinnamon", "pinch", None],
                ["sugar", "n.B.", None],
            ]
        },
        recipes={
            "A": (
                "500 g plain flour",
                "1 pinch salt",
                "black pepper to taste",
                "nutmeg to taste",
                "1 pinch cinnamon",
                "sugar to taste",
            )
        },
    ),
    Odd(
        "thousands and decimals told apart by other cells",
        {"A": [HEAD, ["plain flour", "1.250,5", "g"], ["butter", "1.250", "g"], ["milk", "0,5", "l"]]},
        recipes={"A": ("1250.5 g plain flour", "1250 g butter", "0.5 l milk")},
    ),
    Odd(
        "a comma that can be read both ways",
        {"A": [HEAD, ["plain flour", "1,250", "g"], ["butter", 200, "g"]]},
        faults=(("A!B2", "1250 or 1 and a bit"),),
        there=(1, 2),
    ),
    Odd(
        "merged title, merged cells in the header",
        {"A": [["Shortbread", None, None], ["Serves", 4], HEAD, ["plain flour", 300, "g"], ["butter", 200, "g"]]},
        change=_merge("A1:C1"),
        recipes={"Shortbread": ("300 g plain flour", "200 g butter")},
    ),
    Odd(
        "one amount merged over two names",
        {"A": [HEAD, ["plain flour", 300, "g"], ["butter", None, "g"]]},
        change=_merge("B2:B3"),
        faults=(("A!B3", "merged with row 2"),),
        there=(1, 2),
    ),
    Odd(
        "a sub-heading with a colon",
        {
            "A": [
                ["Apple crumble"],
                HEAD,
                ["apple", 1, "kg"],
                ["For the crumble:"],
                ["plain flour", 200, "g"],
                ["butter", 100, "g"],
            ]
        },
        recipes={
            "Apple crumble": ("1 kg apple", "all crumble for Apple crumble"),
            "crumble for Apple crumble": ("200 g plain flour", "100 g butter"),
        },
        said=("a preparation of its own",),
    ),
    Odd(
        "a sub-heading told only by its bold letters",
        {
            "A": [
                ["Apple crumble"],
                HEAD,
                ["apple", 1, "kg"],
                ["Topping"],
                ["plain flour", 200, "g"],
                ["butter", 100, "g"],
            ]
        },
        change=_bold("A4"),
        recipes={"Apple crumble": ("1 kg apple", "200 g plain flour", "100 g butter")},
        said=("looks like a sub-heading",),
    ),
    Odd(
        "bold peanuts without an amount are no sub-heading",
        {"A": [["Brittle"], HEAD, ["caster sugar", 200, "g"], ["peanuts"], ["butter", 100, "g"]]},
        change=_bold("A4"),
        faults=(("A!B4", "'peanuts' has no amount"),),
        there=(1, 3),
    ),
    Odd(
        "a total that fits",
        {"A": [HEAD, ["plain flour", 300, "g"], ["butter", 200, "g"], ["Total", 500, "g"]]},
        recipes={"A": ("300 g plain flour", "200 g butter")},
        said=("is a total; it is left out.",),
    ),
    Odd(
        "a total that does not fit",
        {"A": [HEAD, ["plain flour", 300, "g"], ["butter", 200, "g"], ["Gesamt", 650, "g"]]},
        recipes={"A": ("300 g plain flour", "200 g butter")},
        said=("650 g, the lines add up to 500",),
    ),
    Odd(
        "a sum without a word",
        {"A": [HEAD, ["plain flour", 300, "g"], ["butter", 200, "g"], [None, 500, "g"]]},
        recipes={"A": ("300 g plain flour", "200 g butter")},
        said=("is the sum of the lines above",),
    ),
    Odd(
        "baker's percentages with a dough weight",
        {
            "A": [
                ["White loaf"],
                ["Dough weight", "1.7 kg"],
                ["Ingredient", "Baker's %"],
                ["strong white flour", 100],
                ["water", 68],
                ["salt", 2],
            ]
        },
        recipes={"White loaf": ("1000 g strong white flour", "680 g water", "20 g salt")},
    ),
    Odd(
        "baker's percentages with a flour weight",
        {
            "A": [
                ["White loaf"],
                ["Flour weight", "2 kg"],
                ["Ingredient", "%"],
                ["strong white flour", "100 %"],
                ["water", "65 %"],
            ]
        },
        recipes={"White loaf": ("2000 g strong white flour", "1300 g water")},
    ),
    Odd(
        "percentages of the whole, as the sheet formats them",
        {"A": [["Syrup"], ["Batch weight", 2, "kg"], ["Ingredient", "%"], ["water", 0.4], ["sugar", 0.6]]},
        change=_percent,
        recipes={"Syrup": ("800 g water", "1200 g sugar")},
    ),
    Odd(
        "percentages without a batch weight",
        {"A": [["Syrup"], ["Ingredient", "%"], ["water", 40], ["sugar", 60]]},
        faults=(("A!", "no weight of a batch"),),
        there=(1, 2),
    ),
    Odd(
        "percentages that leave something out",
        {"A": [["Syrup"], ["Batch weight", "2 kg"], ["Ingredient", "%"], ["water", 40], ["sugar", 50]]},
        faults=(("A!", "add up to 90 %"),),
        there=(1, 2),
    ),
    Odd(
        "a hidden row",
        {"A": [HEAD, ["plain flour", 300, "g"], ["butter", 200, "g"], ["ground almonds", 50, "g"]]},
        change=_hidden_row,
        recipes={"A": ("300 g plain flour", "200 g butter", "50 g ground almonds")},
        said=("rows 4 are hidden",),
    ),
    Odd(
        "a hidden column of units",
        {"A": [HEAD, ["plain flour", 300, "g"], ["milk", 200, "ml"]]},
        change=_hidden_column,
        recipes={"A": ("300 g plain flour", "200 ml milk")},
        said=("the column is hidden",),
    ),
    Odd(
        "a hidden sheet of lists",
        {"A": [HEAD, ["plain flour", 300, "g"]], "Lists": [["g", "kg"], ["flour", "rice"]]},
        change=_hidden_sheet,
        recipes={"A": ("300 g plain flour",)},
        said=("is a hidden sheet",),
    ),
    Odd(
        "a formula nobody calculated",
        {"A": [HEAD, ["plain flour", "=2*150", "g"], ["butter", 200, "g"]]},
        faults=(("A!B2", "has no value in this file"),),
        there=(1, 2),
    ),
    Odd(
        "a fraction the spreadsheet made a day of",
        {"A": [HEAD, ["milk", dt.datetime(2026, 2, 1), "l"], ["butter", 200, "g"]]},  # noqa: DTZ001 - as above
        faults=(("A!B2", "'1/2'"),),
        there=(1, 2),
    ),
    Odd(
        "a day typed out in a csv file",
        raw=b"Ingredient,Quantity,Unit\nmilk,1-Feb,l\nbutter,200,g\n",
        ending=".csv",
        faults=(("B2", "a spreadsheet makes of a fraction"),),
        there=(1, 2),
    ),
    Odd(
        "an error in a cell",
        {"A": [HEAD, ["plain flour", "#REF!", "g"], ["butter", 200, "g"]]},
        faults=(("A!B2", "#REF!"),),
        there=(1, 2),
    ),
    Odd(
        "an empty sheet between the others",
        {"A": [HEAD, ["plain flour", 300, "g"]], "Empty": []},
        recipes={"A": ("300 g plain flour",)},
        said=("is empty",),
    ),
    Odd(
        "two recipes of one name",
        {"A": [["Shortbread"], HEAD, ["plain flour", 300, "g"]], "B": [["shortbread"], HEAD, ["butter", 200, "g"]]},
        faults=(("B!A1", "is here twice"),),
        there=(2, 2),
    ),
    Odd(
        "cups, pints and sticks in the United States",
        {
            "A": [
                HEAD,
                ["milk", 2, "cups"],
                ["double cream", 1, "pint"],
                ["butter", 2, "sticks"],
                ["caster sugar", 1, "T"],
                ["salt", 1, "t"],
                ["water", 8, "fl oz"],
            ]
        },
        law="us",
        # NIST Handbook 44, Appendix C: cup 236.588 ml, liquid pint 473.176 ml, fluid ounce 29.5735 ml; to four digits that count.
        # A stick of butter as 113 g: common practice, no source (a quarter of a pound of 453.59 g).
        recipes={
            "A": (
                "473.2 ml milk",
                "473.2 ml double cream",
                "226 g butter",
                "1 tbsp caster sugar",
                "1 tsp salt",
                "236.6 ml water",
            )
        },
    ),
    Odd(
        "a pint in Britain",
        {"A": [HEAD, ["milk", 1, "pint"], ["water", 1, "quart"]]},
        law="gb",
        # Units of Measurement Regulations 1995: pint 568.26125 ml; a quart is two.
        recipes={"A": ("568.3 ml milk", "1137 ml water")},
    ),
    Odd(
        "weights in brackets behind a tin",
        {
            "A": [
                ["Ingredient", "Amount"],
                ["tomato", "1 tin (400 g)"],
                ["2 x 400 g tins chickpeas, drained"],
                ["1 cup (120 g) plain flour"],
            ]
        },
        recipes={"A": ("400 g tomato", "800 g chickpeas, drained", "120 g plain flour")},
    ),
    Odd(
        "remarks in a column, remarks behind the name",
        {
            "A": [
                [*HEAD, "Prep"],
                ["butter", 200, "g", "softened"],
                ["plain flour, sifted", 300, "g"],
                ["walnuts (organic)", 50, "g", "roughly chopped"],
            ]
        },
        recipes={
            "A": ("200 g butter, softened", "300 g plain flour, sifted", "50 g walnuts, organic; roughly chopped")
        },
    ),
    Odd(
        "names turned round: what comes behind the comma decides what it is",
        {"A": [HEAD, ["flour, rice", 100, "g"], ["milk, skimmed", 200, "g"], ["butter, peanut", 50, "g"]]},
        recipes={"A": ("100 g rice flour", "200 g skimmed milk", "50 g peanut butter")},
    ),
    Odd(
        "either of two things",
        {"A": [HEAD, ["butter or margarine", 100, "g"], ["plain flour", 200, "g"]]},
        faults=(("A!", "leaves open which is used"),),
        there=(1, 2),
    ),
    Odd(
        "words that are no amount",
        {"A": [HEAD, ["plain flour", "some", None], ["butter", None, None], ["milk", 0, "ml"], ["salt", -5, "g"]]},
        faults=(
            ("A!B2", "'some' is no amount"),
            ("A!B3", "no amount"),
            ("A!B4", "above nought"),
            ("A!B5", "below nought"),
        ),
        there=(1, 4),
    ),
    Odd(
        "a unit nobody has weighed",
        {"A": [HEAD, ["spinach", 2, "handfuls"], ["butter", 20, "g"]]},
        faults=(("A!B2", "measures: {handfuls: 30 g}"),),
        there=(1, 2),
    ),
    Odd(
        "a unit the book's kitchen has weighed",
        {"A": [HEAD, ["spinach", 2, "handfuls"], ["butter", 20, "g"]]},
        book="  measures: {handful: 30 g}\n",
        recipes={"A": ("2 handfuls spinach", "20 g butter")},
    ),
    Odd(
        "amounts without any unit",
        {"A": [["Ingredient", "Quantity"], ["plain flour", 500], ["egg", 3]]},
        faults=(("A!B2", "has no unit"),),
        there=(1, 2),
    ),
    Odd(
        "a method below, numbered in a column of its own",
        {
            "A": [
                ["Shortbread"],
                HEAD,
                ["plain flour", 300, "g"],
                ["butter", 200, "g"],
                [],
                ["Method"],
                [1, "Rub the butter into the flour."],
                [2, "Bake it at 150 C: golden, not brown."],
            ]
        },
        recipes={"Shortbread": ("300 g plain flour", "200 g butter")},
    ),
    Odd(
        "a method in a merged cell beside the lines",
        {
            "A": [
                [*HEAD, "Method"],
                ["plain flour", 300, "g", "1. Mix\n2. Chill\n3. Bake it"],
                ["butter", 200, "g", None],
            ]
        },
        change=_merge("D2:D3"),
        recipes={"A": ("300 g plain flour", "200 g butter")},
    ),
    Odd(
        "a column that says which part a line belongs to",
        {
            "A": [
                ["Tart"],
                ["Component", *HEAD],
                ["Pastry", "plain flour", 300, "g"],
                [None, "butter", 150, "g"],
                ["Filling", "double cream", 400, "g"],
            ]
        },
        change=_merge("A3:A4"),
        recipes={
            "Tart": ("all Pastry for Tart", "all Filling for Tart"),
            "Pastry for Tart": ("300 g plain flour", "150 g butter"),
            "Filling for Tart": ("400 g double cream",),
        },
    ),
    Odd(
        "costs and allergens beside the amounts",
        {
            "A": [
                [*HEAD, "Cost", "Allergens"],
                ["plain flour", 300, "g", 0.3, "wheat"],
                ["butter", 200, "g", 1.8, "milk"],
                ["Total cost", None, None, 2.1],
            ]
        },
        recipes={"A": ("300 g plain flour", "200 g butter")},
        said=("allergens follow from the ingredients",),
    ),
    Odd(
        "a struck-through line is read all the same",
        {"A": [HEAD, ["plain flour", 300, "g"], ["butter", 200, "g"], ["ground almonds", 50, "g"]]},
        change=_struck,
        recipes={"A": ("300 g plain flour", "200 g butter", "50 g ground almonds")},
        said=("is struck through",),
    ),
    Odd(
        "a note pinned to a cell",
        {"A": [HEAD, ["plain flour", 300, "g"], ["butter", 200, "g"]]},
        change=_pinned,
        recipes={"A": ("300 g plain flour", "200 g butter")},
        said=("is a note pinned to the cell",),
    ),
    Odd(
        "semicolons and decimal commas",
        raw=b"Zutat;Menge;Einheit\r\nplain flour;1,5;kg\r\nbutter;0,25;kg\r\n",
        ending=".csv",
        recipes={"recipes": ("1.5 kg plain flour", "0.25 kg butter")},
    ),
    Odd(
        "a tab-separated file in UTF-16",
        raw="Ingredient\tQuantity\tUnit\ncrème fraîche\t200\tg\n".encode("utf-16"),
        ending=".tsv",
        recipes={"recipes": ("200 g crème fraîche",)},
        said=("UTF-16",),
    ),
    Odd(
        "a csv file in Windows-1252",
        raw="Ingrédient,Quantité,Unité\ncrème fraîche,200,g\n".encode("cp1252"),
        ending=".csv",
        recipes={"recipes": ("200 g crème fraîche",)},
        said=("Windows-1252",),
    ),
    Odd(
        "a csv file with a byte order mark and a sep line",
        raw=b"\xef\xbb\xbfsep=|\nIngredient|Quantity|Unit\nbutter|200|g\n",
        ending=".csv",
        recipes={"recipes": ("200 g butter",)},
    ),
    Odd(
        "an amount on Swiss and French paper",
        {"A": [HEAD, ["plain flour", "1'250", "g"], ["butter", "1\u202f250,5", "g"], ["milk", "0,75", "l"]]},
        recipes={"A": ("1250 g plain flour", "1250.5 g butter", "0.75 l milk")},
    ),
    Odd(
        "digits of another script",
        {"A": [HEAD, ["plain flour", "٢٥٠", "g"], ["butter", "２００", "g"]]},
        recipes={"A": ("250 g plain flour", "200 g butter")},
    ),
    Odd(
        "salt and pepper in one row",
        {"A": [HEAD, ["plain flour", 300, "g"], ["salt and black pepper", "to taste", None]]},
        recipes={"A": ("300 g plain flour", "salt to taste", "black pepper to taste")},
        there=(1, 3),
    ),
    Odd(
        "the same unit twice, and two units",
        {"A": [HEAD, ["plain flour", "300 g", "g"], ["butter", "200 g", "kg"]]},
        faults=(("A!B3", "Write the unit once"),),
        there=(1, 2),
    ),
    Odd(
        "a line below the method",
        {"A": [HEAD, ["plain flour", 300, "g"], [], ["Method", "Mix it."], [], ["peanuts", 50, "g"]]},
        recipes={"A": ("300 g plain flour", "50 g peanuts")},
    ),
    Odd(
        "a dish, by its course",
        {
            "A": [
                ["Name", "Crab toast"],
                ["Course", "starter"],
                ["Portions", 2],
                HEAD,
                ["crab", 80, "g"],
                ["butter", 10, "g"],
            ]
        },
        recipes={"Crab toast": ("80 g crab", "10 g butter")},
    ),
    Odd(
        "a column for each recipe",
        {
            "A": [
                ["Ingredient", "Bread (g)", "Focaccia (g)"],
                ["strong white flour", 1000, 900],
                ["water", 650, 720],
                ["olive oil", None, 50],
                ["salt", 20, 0],
            ]
        },
        recipes={
            "Bread": ("1000 g strong white flour", "650 g water", "20 g salt"),
            "Focaccia": ("900 g strong white flour", "720 g water", "50 g olive oil"),
        },
        said=("is 0 in",),
    ),
    Odd(
        "a column for each size of one recipe",
        {
            "A": [
                ["Ice cream base"],
                [None, "x1", "x2", "x4"],
                ["milk (ml)", 1000, 2000, 4000],
                ["caster sugar (g)", 200, 400, 800],
            ]
        },
        recipes={"Ice cream base": ("1000 ml milk", "200 g caster sugar")},
        said=("another size of the recipe",),
    ),
    Odd(
        "a kitchen's card with a column of costs and everything around it",
        {
            "Card": [
                ["THE SALTMARSH ROOM"],
                ["RECIPE CARD"],
                [],
                ["Recipe Name:", "Sticky pudding", None, "Portions:", 10],
                ["Prep time:", "20 min", None, "Cook time:", "35 min"],
                [],
                ["Ingredients"],
                ["Item", "Qty", "UoM", "Unit Cost", "Total Cost"],
                ["Dried dates, stoned", 225, "g", 0.01, 2.25],
                ["Bicarbonate of soda", 1, "tsp", 0.01, 0.01],
                ["Unsalted butter", 85, "G", 0.01, 0.8],
                ["Free range eggs", 2, "EA", 0.2, 0.4],
                ["For the sauce:"],
                ["Double cream", 0.25, "LTR", 2, 0.5],
                [None, None, None, "TOTAL", 3.96],
                [],
                ["METHOD"],
                [1, "Soak the dates in 175 ml boiling water."],
                ["Allergens:", "Milk, Egg"],
            ]
        },
        recipes={
            "Sticky pudding": (
                "225 g Dried dates, stoned",
                "1 tsp Bicarbonate of soda",
                "85 g Unsalted butter",
                "2 eggs, Free range",
                "all sauce for Sticky pudding",
            ),
            "sauce for Sticky pudding": ("0.25 l Double cream",),
        },
        said=("is a total",),
    ),
    Odd(
        "American amounts in one column, how big things are among them",
        {
            "A": [
                ["Makes 16"],
                ["Amount", "Ingredient", "Notes"],
                ["2 sticks", "butter", "melted"],
                ["1 1/4 cups", "sugar"],
                ["4 large", "eggs"],
                ["1 cup (125 g)", "plain flour", "sifted"],
                ["1/2 c.", "walnuts (optional)"],
                ["Pinch", "salt"],
            ]
        },
        law="us",
        # NIST Handbook 44, Appendix C: cup 236.588 ml. The book knows large eggs, so they keep their word.
        recipes={
            "A": (
                "226 g butter, melted",
                "295.7 ml sugar",
                "4 large eggs",
                "125 g plain flour",
                "118.3 ml walnuts",
                "1 pinch salt",
            )
        },
    ),
    Odd(
        "sub-headings without a colon, in words that can be nothing to eat",
        {
            "A": [
                ["Beef pie"],
                ["Ingredient", "Qty"],
                ["Filling"],
                ["beef shin", "1 kg"],
                ["To finish"],
                ["egg yolk", "1"],
            ]
        },
        recipes={"Beef pie": ("1 kg beef shin", "1 egg yolk")},
        said=("looks like a sub-heading",),
    ),
    Odd(
        "a sub-heading without a sign, in a word that may be something to eat",
        {"A": [["Beef pie"], ["Ingredient", "Qty"], ["beef shin", "1 kg"], ["Praline"], ["egg yolk", "1"]]},
        faults=(("A!B4", "end it with ':'"),),
        there=(1, 3),
    ),
    Odd(
        "one recipe in each row, its ingredients in one cell",
        {
            "A": [
                ["Recipe", "Ingredients", "Method", "Serves"],
                ["Shortbread", "300 g plain flour\n200 g butter, softened\nsalt to taste", "Rub in.\nBake.", 8],
                ["Meringue", "100 g egg white; 200 g caster sugar", None, None],
                ["Syrup", "1 l water, 500 g sugar", None, None],
            ]
        },
        recipes={
            "Shortbread": ("300 g plain flour", "200 g butter, softened", "salt to taste"),
            "Meringue": ("100 g egg white", "200 g caster sugar"),
            "Syrup": ("1 l water", "500 g sugar"),
        },
    ),
    Odd(
        "headings again at the top of a page",
        {"A": [["Shortbread"], HEAD, ["plain flour", 300, "g"], HEAD, ["butter", 200, "g"]]},
        recipes={"Shortbread": ("300 g plain flour", "200 g butter")},
        said=("heads the same table again",),
    ),
    Odd(
        "one heading merged over amount and unit",
        {"A": [["Shortbread"], ["Ingredient", "Quantity", None], ["plain flour", 300, "g"], ["milk", 20, "ml"]]},
        change=_merge("B2:C2"),
        recipes={"Shortbread": ("300 g plain flour", "20 ml milk")},
        said=("has no heading; it is taken as unit",),
    ),
    Odd(
        "title and portions in one row",
        {"A": [["Shortbread", None, "Serves 4"], HEAD, ["plain flour", 300, "g"], ["butter", 200, "g"]]},
        recipes={"Shortbread": ("300 g plain flour", "200 g butter")},
    ),
    Odd(
        "ingredients whose names are words of a header",
        {"A": [HEAD, ["date", 200, "g"], ["Total 0 % yoghurt", 100, "g"], ["Dry cider", 50, "ml"]]},
        recipes={"A": ("200 g date", "100 g Total 0 % yoghurt", "50 ml Dry cider")},
    ),
    Odd(
        "an ingredient with a colon and no amount",
        {"A": [HEAD, ["caster sugar", 200, "g"], ["peanuts:", None, None], ["butter", 100, "g"]]},
        faults=(("A!B3", "'peanuts:' has no amount"),),
        there=(1, 3),
    ),
    Odd(
        "pieces of what has no pieces",
        {"A": [["Ingredient", "Quantity"], ["caster sugar", 2], ["egg", 3]]},
        faults=(("A!A2", "piece"),),
        there=(1, 2),
    ),
    Odd(
        "two recipes that take each other",
        {"Sauce": [HEAD, ["Base", 100, "g"]], "Base": [HEAD, ["Sauce", 100, "g"]]},
        faults=(("", "Base"),),
        there=(2, 2),
    ),
    Odd(
        "a unit in the heading, another in the cell",
        {"A": [["Ingredient", "Weight (g)"], ["plain flour", "1.5 kg"], ["butter", 200], ["egg", "100 g"]]},
        recipes={"A": ("1.5 kg plain flour", "200 g butter", "100 g egg")},
    ),
    Odd(
        "a yield above what goes in",
        {"A": [["Rice"], ["Yield", "2.8 kg"], HEAD, ["long-grain rice", 1, "kg"]]},
        recipes={"Rice": ("1 kg long-grain rice",)},
        said=("is more than its lines weigh, 1000 g",),
    ),
    Odd(
        "a remark that names what no line does",
        {
            "A": [
                [*HEAD, "Remark"],
                ["butter", 200, "g", "blend with peanut oil first"],
                ["plain flour", 300, "g", "rub into the butter"],
            ]
        },
        faults=(("A!A2", "names peanut, and no line does"),),
        there=(1, 2),
    ),
    Odd(
        "a method that names what no line does",
        {
            "A": [
                ["Flapjack"],
                HEAD,
                ["butter", 200, "g"],
                ["caster sugar", 100, "g"],
                [],
                ["Method"],
                ["Melt the butter; stir in the walnuts."],
            ]
        },
        recipes={"Flapjack": ("200 g butter", "100 g caster sugar")},
        said=("names nut, and no line does",),
    ),
    Odd(
        "a card that says its own allergens",
        {"A": [["Flapjack"], ["Allergens:", "Milk, sesame"], HEAD, ["butter", 200, "g"]]},
        recipes={"Flapjack": ("200 g butter",)},
        said=("names sesame, and no line does",),
    ),
    Odd(
        "boxes of allergens beside the amounts",
        {
            "A": [
                ["Dip"],
                [*HEAD, "Milk", "Sesame", "Nuts"],
                ["house base", 200, "g", None, "x", "M"],
                ["salt", 2, "g", None, None, None],
            ]
        },
        recipes={"Dip": ("200 g house base", "2 g salt")},
        said=("names sesame, and no line does",),
    ),
    Odd(
        "ingredients side by side in the row of their recipe",
        {
            "A": [
                ["Recipe name", "Ingredient 1", "Qty 1", "Ingredient 2", "Qty 2"],
                ["Bread", "plain flour", "1 kg", "water", "650 g"],
            ]
        },
        faults=(("A!1", "side by side"),),
        there=(1, 2),
    ),
    Odd(
        "a column for each unit",
        {
            "A": [
                ["Item", "Kg", "g", "ml", "each"],
                ["plain flour", 1.5],
                ["salt", None, 20],
                ["milk", None, None, 500],
                ["egg", None, None, None, 3],
            ]
        },
        recipes={"A": ("1.5 kg plain flour", "20 g salt", "500 ml milk", "3 egg")},
    ),
    Odd(
        "pounds and ounces in one cell",
        {
            "A": [
                ["Ingredient", "Amount"],
                ["butter", "1 lb 4 oz"],
                ["plain flour", "1 kg 200 g"],
                ["2 lb 2 oz caster sugar"],
            ]
        },
        # International avoirdupois pound 453.59237 g, ounce 28.349523125 g (Weights and Measures Act 1985, Schedule 1): 566.990, 963.884.
        recipes={"A": ("566.99 g butter", "1200 g plain flour", "963.884 g caster sugar")},
    ),
    Odd(
        "a sign for the unit above",
        {"A": [HEAD, ["plain flour", 300, "g"], ["butter", 200, '"']]},
        faults=(("A!B3", "stands for the unit above"),),
        there=(1, 2),
    ),
    Odd(
        "a note between the lines",
        {
            "A": [
                ["Cake"],
                HEAD,
                ["plain flour", 200, "g"],
                ["Note: sift twice"],
                ["egg", 2, None],
                ["butter", 100, "g"],
            ]
        },
        recipes={"Cake": ("200 g plain flour", "2 egg", "100 g butter")},
    ),
    Odd(
        "nothing but words",
        {"A": [["Recipes of the house"], ["see the green folder"]]},
        faults=(("A!A1", "no amount with a name"),),
        there=(0, 0),
    ),
)
