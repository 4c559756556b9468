"""Find the heading rows of a sheet and what each column holds."""

import re
from dataclasses import dataclass

from labeller.bringing_in.cells import Sheet, column_letters, one_line
from labeller.bringing_in.shapes import Left, Taken
from labeller.bringing_in.wordings import BOUGHT_IN, NUTRIENTS, Heading, box_group, find_heading, find_unit
from labeller.bringing_in.written_amounts import Amount, read_amount

_ROWS_LOOKED_AT = 40


@dataclass(frozen=True, slots=True)
class Columns:
    """What the columns of one table are taken for: meaning to columns, best first, and the unit each heading gives."""

    row: int
    places: dict[str, tuple[int, ...]]
    units: dict[int, str]
    texts: dict[int, str]
    unread: tuple[int, ...] = ()

    def first(self, meaning: str) -> int:
        """Return the first column of a meaning, or 0."""
        return self.places.get(meaning, (0,))[0]

    def unit_beside(self, amount_column: int) -> int:
        """Return the column of the units that belong to a column of amounts, or 0.

        "Amount | Unit | Weight (g)": the unit is that of the amount before it, and 250 beside "cups" is 250 g all the same.
        """
        amounts, units = self.places.get("quantity", ()), self.places.get("unit", ())
        if len(amounts) < 2 or amount_column not in amounts:
            return self.first("unit")
        for unit in units:
            if max((one for one in amounts if one < unit), default=min(amounts)) == amount_column:
                return unit
        return 0 if amount_column in self.units else self.first("unit")

    @property
    def is_recipe_table(self) -> bool:
        """Tell whether it has the columns of a recipe: a name with an amount or a share."""
        return bool(self.first("name") and (self.first("quantity") or self.first("percent")))

    @property
    def is_goods_table(self) -> bool:
        """Tell whether it lists what is bought in: a name with a supplier, a statement, allergens or figures, and no amounts."""
        if not self.first("name"):
            return False
        # A pack's weight beside a statement, or beside a supplier and figures, is no amount of a recipe.
        figures = sum(bool(self.first(one)) for one in NUTRIENTS)
        if self.first("statement") or (figures > 1 and (self.first("supplier") or self.first("reference"))):
            return True
        amounts = self.first("quantity") or self.first("percent")
        return not amounts and any(self.first(one) for one in BOUGHT_IN)


def headings_in_row(sheet: Sheet, row: int) -> dict[int, Heading]:
    """Return what the cells of a row mean as headings, by column; a number is none."""
    found: dict[int, Heading] = {}
    for column, cell in sheet.rows.get(row, []):
        if cell.number or cell.problem:
            continue
        heading = find_heading(cell.text)
        if heading is not None:
            found[column] = heading
    # A lone "l" heads litres only where other units head their columns.
    if any(one.meaning == "quantity" and one.unit for one in found.values()):
        litres = [
            column for column, cell in sheet.rows.get(row, []) if column not in found and cell.text in ("l", "L")
        ]
        found.update(dict.fromkeys(litres, Heading("quantity", "l")))
    boxes = [column for column, cell in sheet.rows.get(row, []) if column not in found and box_group(cell.text)]
    if len(boxes) > 1 and not any(cell.number for _, cell in sheet.rows[row]):
        found.update(dict.fromkeys(boxes, Heading("box")))
    return found


def is_heading_row(sheet: Sheet, row: int) -> bool:
    """Tell whether a row heads a table: a name, with an amount, a unit, a share or what only a list of goods has."""
    if len(sheet.rows.get(row, [])) < 2:
        return False
    found = headings_in_row(sheet, row)
    if len(found) < 2:
        return False
    meanings = [one.meaning for one in found.values()]
    named = any(one in ("name", "either", "recipe") for one in meanings)
    others = {"quantity", "gross", "unit", "percent"} | BOUGHT_IN
    filled = [(column, cell) for column, cell in sheet.rows[row]]
    if not named or not any(one in others or one == "recipe" for one in meanings):
        return False
    if not any(one in others for one in meanings):
        return False
    # "Name: Custard | Yield: 2 kg" and "Item | Quantity" differ in what stands beside the words: values, or more headings.
    if any(":" in cell.text.rstrip(" :") for _, cell in filled if len(cell.text) < 60) and len(found) < len(filled):
        return False
    return len(found) * 2 >= len(filled) or len([one for one in meanings if one in others]) >= 2


def strips_of(sheet: Sheet, row: int) -> list[tuple[int, int]]:
    """Return the ranges of columns of the tables that stand side by side under one heading row."""
    found = headings_in_row(sheet, row)
    names = [column for column, one in found.items() if one.meaning in ("name", "either")]
    if len(names) < 2 or any(one.meaning == "recipe" for one in found.values()):
        return [(1, 10_000)]
    starts: list[int] = []
    seen: set[str] = set()
    for column in sorted(found):
        meaning = "name" if found[column].meaning == "either" else found[column].meaning
        again = meaning in seen and meaning in ("name", "quantity", "unit", "percent")
        # A second name or amount begins another table only where the one before it has both.
        if not starts or (again and "name" in seen and seen & {"quantity", "percent"}):
            starts.append(column)
            seen = set()
        seen.add(meaning)
    kept = [
        start
        for index, start in enumerate(starts)
        if any(start <= name < (starts[index + 1] if index + 1 < len(starts) else 10_001) for name in names)
    ]
    if len(kept) < 2:
        return [(1, 10_000)]
    ends = [*(start - 1 for start in kept[1:]), 10_000]
    return list(zip([1, *kept[1:]], ends, strict=True))


def columns_of(sheet: Sheet, row: int, taken: Taken) -> Columns:
    """Return what the columns under a heading row are taken for, and note it."""
    found = headings_in_row(sheet, row)
    has_name = any(one.meaning == "name" for one in found.values())
    places: dict[str, list[int]] = {}
    units: dict[int, str] = {}
    for column, heading in sorted(found.items()):
        meaning = heading.meaning
        if meaning == "either":
            meaning = "recipe" if has_name and "recipe" not in places else "name"
        if heading.per_portion and meaning in BOUGHT_IN:
            meaning = "ignored"
        places.setdefault(meaning, []).append(column)
        if heading.unit:
            units[column] = heading.unit
    if (
        "name" not in places
        and "recipe" in places
        and ("quantity" in places or "percent" in places or set(places) & BOUGHT_IN)
    ):
        places["name"] = places.pop("recipe")  # "Product | Qty": what heads the names need not say ingredient
    if len(places.get("name", ())) > 1 and "recipe" in places and len(places.get("quantity", ())) > 1:
        taken.faults.append(
            sheet.place.at(row).fault(
                "several columns of ingredients stand side by side, each with its amounts.",
                "Write each ingredient in a row of its own, with the recipe's name beside it.",
            )
        )
    if "name" in places and len(places["name"]) > 1:
        _take_statement(sheet, row, places)
    if "name" in places and len(places["name"]) > 1:
        places["name"], extra = _fullest(sheet, row, places["name"])
        places.setdefault("remark", []).extend(extra)
    if "quantity" not in places and "gross" in places:
        places["quantity"] = places.pop("gross")
    if "unit" not in places and (unheaded := _unheaded_units(sheet, row, set(found))):
        places["unit"] = [unheaded]
        taken.columns.append(
            Left(sheet.place.at(row, unheaded), "", "has no heading; it is taken as unit, by what stands in it.")
        )
    quantities = places.get("quantity", [])
    metric = ("g", "kg", "mg", "ml", "l", "cl", "dl")
    places["quantity"] = (
        sorted(quantities, key=lambda column: (units.get(column, "") not in metric, column)) if quantities else []
    )
    if not quantities:
        del places["quantity"]
    made = Columns(
        row,
        {meaning: tuple(columns) for meaning, columns in places.items()},
        units,
        {column: one_line(cell.text) for column, cell in sheet.rows.get(row, [])},
    )
    _say_columns(sheet, made, taken)
    unread = tuple(column for column, cell in sheet.rows.get(row, []) if column not in found and cell.text)
    return Columns(made.row, made.places, made.units, made.texts, unread)


def _unheaded_units(sheet: Sheet, row: int, headed: set[int]) -> int:
    """Return a column without a heading that holds units, as under a heading merged over amount and unit; 0 where none does."""
    counts: dict[int, list[bool]] = {}
    for below in range(row + 1, row + _ROWS_LOOKED_AT):
        if below in sheet.rows and below > row + 1 and is_heading_row(sheet, below):
            break
        for column, cell in sheet.rows.get(below, []):
            if column not in headed and not sheet.cell(row, column).text:
                counts.setdefault(column, []).append(bool(find_unit(cell.text)))
    return next((column for column, seen in sorted(counts.items()) if sum(seen) * 2 > len(seen)), 0)


def _take_statement(sheet: Sheet, row: int, places: dict[str, list[int]]) -> None:
    """Take a second column of names in a list of goods for their statements, where most of its cells list several things.

    "Product | Supplier | Ingredients": without it, what the supplier says is in the product would be lost.
    """
    if "statement" in places or "quantity" in places or "percent" in places or not set(places) & BOUGHT_IN:
        return
    for column in places["name"][1:]:
        texts = [
            cell.text
            for below in sheet.rows
            if below > row and (cell := sheet.cell(below, column)).text and not cell.number
        ]
        if texts and 2 * sum("," in text or ";" in text for text in texts) >= len(texts):
            places["statement"] = [column]
            places["name"].remove(column)
            return


def _fullest(sheet: Sheet, row: int, candidates: list[int]) -> tuple[list[int], list[int]]:
    counts = {
        column: sum(
            1
            for below in range(row + 1, row + _ROWS_LOOKED_AT)
            if sheet.cell(below, column).text and not sheet.cell(below, column).number
        )
        for column in candidates
    }
    best = max(candidates, key=lambda column: (counts[column], -column))
    return [best], [column for column in candidates if column != best]


_SAID = {
    "name": "name", "quantity": "amount", "unit": "unit", "percent": "share of the batch in %", "remark": "remark", "recipe": "recipe",
    "method": "method", "serves": "portions", "yield": "yield", "section": "part of the recipe", "course": "course", "batch": "batch weight",
}  # fmt: skip


def _say_columns(sheet: Sheet, columns: Columns, taken: Taken) -> None:
    recipe = not columns.is_goods_table
    for meaning, places in columns.places.items():
        for order, column in enumerate(places):
            shown = columns.texts.get(column, "")
            unit = f", in {columns.units[column]}" if column in columns.units else ""
            hidden = "; the column is hidden" if column in sheet.hidden_columns else ""
            if meaning in ("ignored", "total") or (recipe and meaning in BOUGHT_IN) or meaning == "gross":
                why = "is not taken"
                if meaning in ("allergens", "may_contain", "box"):
                    why = "is kept as a comment beside each line: allergens follow from the ingredients. Bring in a list of ingredients with it"
            elif not recipe and meaning not in BOUGHT_IN | {"name"}:
                why = "is not taken from a list of goods"
            elif meaning == "quantity" and order:
                why = "is a second amount: used only where the first is empty"
            else:
                why = f"is taken as {_SAID.get(meaning, meaning.replace('_', ' '))}{unit}"
            taken.columns.append(Left(sheet.place.at(columns.row, column), shown, f"{why}{hidden}."))
    for column, text in columns.texts.items():
        if text and not any(column in places for places in columns.places.values()):
            taken.columns.append(
                Left(
                    sheet.place.at(columns.row, column),
                    text,
                    "is a heading this tool does not know: the column is not taken.",
                )
            )


def guess_columns(sheet: Sheet, rows: list[int], taken: Taken) -> Columns | None:
    """Tell from what stands in the columns which is which, where no row heads them; None where it is not plain."""
    counts: dict[int, dict[str, int]] = {}
    for row in rows[:_ROWS_LOOKED_AT]:
        for column, cell in sheet.rows.get(row, []):
            seen = counts.setdefault(column, {"number": 0, "amount": 0, "unit": 0, "text": 0})
            if cell.number:
                seen["number"] += 1
            elif find_unit(cell.text):
                seen["unit"] += 1
            elif (
                isinstance(read := read_amount(cell.text, "", "not known"), Amount)
                and read.number is not None
                and (read.unit or not read.unit_as_typed)
            ):
                seen["amount"] += 1
            elif re.search(r"[^\W\d_]{2}", cell.text):
                seen["text"] += 1
    amounts = [
        column
        for column, seen in counts.items()
        if seen["number"] + seen["amount"] > max(seen["text"], seen["unit"], 0)
    ]
    units = [column for column, seen in counts.items() if seen["unit"] > seen["text"] + seen["number"]]
    texts = sorted(
        (column for column, seen in counts.items() if column not in amounts and column not in units and seen["text"]),
        key=lambda column: (-counts[column]["text"], column),
    )
    if len(amounts) != 1 or not texts or len(units) > 1:
        return None
    places: dict[str, tuple[int, ...]] = {"quantity": (amounts[0],), "name": (texts[0],)}
    if units:
        places["unit"] = (units[0],)
    if len(texts) > 1:
        places["remark"] = tuple(texts[1:])
    for meaning, columns in places.items():
        letters = " and ".join(column_letters(one) for one in columns)
        taken.columns.append(
            Left(
                sheet.place,
                "",
                f"has no heading row; column {letters} is taken as {_SAID[meaning]}, by what stands in it.",
            )
        )
    return Columns(0, places, {}, {})
