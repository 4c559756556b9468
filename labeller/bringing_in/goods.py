"""Read a list of what is bought in: supplier, statement, allergens, figures per 100 g. What a cell does not say is not known.

An empty cell, a dash or an unanswered box settles nothing; only a matrix that answers every group of the jurisdiction in words covers all.
"""

import re

from labeller.allergens.specifications import evidence_from_spec
from labeller.bringing_in.cells import Cell, Place, Sheet, number_text, one_line
from labeller.bringing_in.columns import Columns
from labeller.bringing_in.hearing import sources_named
from labeller.bringing_in.names_and_remarks import hears_allergen
from labeller.bringing_in.shapes import Left, SheetGood, Taken
from labeller.bringing_in.wordings import NUTRIENTS, blank_words, box_group, box_words, find_unit
from labeller.bringing_in.written_amounts import read_start
from labeller.foundations.faults import Fault
from labeller.foundations.names import fold_text

_ENERGY_UNITS = {"kj": "kj", "kcal": "kcal", "%": "%"}
_ALL_EU = frozenset(
    {
        "gluten",
        "crustaceans",
        "egg",
        "fish",
        "peanut",
        "soya",
        "milk",
        "nuts",
        "celery",
        "mustard",
        "sesame",
        "sulphites",
        "lupin",
        "molluscs",
    }
)


# What the reader of statements calls a kind whose members are not named, by the group of a specification.
_GROUP_OF = {
    "gluten cereal": "gluten",
    "sulphite": "sulphites",
    "crustacean": "crustaceans",
    "mollusc": "molluscs",
    "nut": "nuts",
}


def matrix_columns(sheet: Sheet, columns: Columns, rows: list[int]) -> dict[int, str]:
    """Return the columns of a table that are headed by one allergen each, a group or a finer source such as rye.

    A heading of none of the table's words is heard by the reader of statements, in any of its languages, where boxes are ticked below
    it: 'Schwefeldioxid und Sulfite' left out would lose what the supplier says. 'Gluten free' names no allergen.
    """
    found = {column: box_group(columns.texts[column]) for column in columns.places.get("box", ())}
    if not found and not columns.first("allergens"):
        return found
    for column in columns.unread:
        heard = sources_named(columns.texts[column])
        texts = [fold_text(text) for row in rows if (text := sheet.cell(row, column).text)]
        if len(heard) == 1 and texts and all(text in box_words() for text in texts):
            found[column] = _GROUP_OF.get(next(iter(heard)), next(iter(heard)))
    return found


def read_goods(sheet: Sheet, columns: Columns, rows: list[int], taken: Taken, *, blank_means_none: bool) -> None:
    """Read each row as one ingredient."""
    matrix = matrix_columns(sheet, columns, rows)
    if matrix:
        taken.columns[:] = [
            one
            for one in taken.columns
            if not (
                one.place.row == columns.row
                and one.place.sheet == sheet.place.sheet
                and any(one.place == sheet.place.at(columns.row, column) for column in matrix)
            )
        ]
        for column, group in matrix.items():
            taken.columns.append(
                Left(
                    sheet.place.at(columns.row, column),
                    columns.texts[column],
                    f"is taken as a box for {group}: x contains, M may contain, empty is not known.",
                )
            )
    for row in rows:
        name = sheet.cell(row, columns.first("name"))
        place = sheet.place.at(row, columns.first("name"))
        others = [cell for column, cell in sheet.rows[row] if column != columns.first("name")]
        if name.problem:
            taken.faults.append(place.fault(name.problem, name.mend))
            continue
        if not one_line(name.text):
            if _take_units(sheet, columns, row):
                taken.leave(sheet.place.at(row), " ".join(cell.text for cell in others), "is read as the units.")
                continue
            if said := _allergens_said(sheet, columns, matrix, row):
                problem = f"'{said}' stands in a row that has no name."
                taken.faults.append(
                    place.fault(problem, "Write the name in each row; a cell merged over rows, split.")
                )
                continue
            taken.leave(sheet.place.at(row), " ".join(cell.text for cell in others), "has no name; it is not taken.")
            continue
        if not others:
            taken.leave(place, name.text, "has nothing beside it; it is not taken.")
            continue
        taken.goods.append(_good(sheet, columns, matrix, row, taken, blank_means_none=blank_means_none))


def _take_units(sheet: Sheet, columns: Columns, row: int) -> bool:
    """Take a row of nothing but units, as stands below headings, for the units of its columns; tell whether it is one."""
    found = {
        column: find_unit(cell.text) or _ENERGY_UNITS.get(fold_text(cell.text), "") for column, cell in sheet.rows[row]
    }
    if not found or not all(found.values()):
        return False
    for column, unit in found.items():
        columns.units.setdefault(column, unit)
    return True


def _allergens_said(sheet: Sheet, columns: Columns, matrix: dict[int, str], row: int) -> str:
    """Return what a row says of allergens, by its list, its boxes or its statement; empty where it says nothing."""
    places = [one for key in ("allergens", "may_contain", "statement") for one in columns.places.get(key, ())]
    cells = (one_line(sheet.cell(row, column).text) for column in (*places, *matrix))
    return " ".join(text for text in cells if fold_text(text) not in blank_words())


def _good(
    sheet: Sheet, columns: Columns, matrix: dict[int, str], row: int, taken: Taken, *, blank_means_none: bool
) -> SheetGood:
    faults: list[Fault] = []
    notes: list[str] = []
    keys: list[tuple[str, str, Place]] = []
    spec: list[tuple[str, str | tuple[str, ...], Place]] = []

    def text(meaning: str) -> tuple[str, Place]:
        column = columns.first(meaning)
        if not column:
            return "", sheet.place.at(row)
        cell, place = sheet.cell(row, column), sheet.place.at(row, column)
        if cell.problem and meaning not in ("price", "dated"):
            faults.append(place.fault(cell.problem, cell.mend))
            return "", place
        return one_line(cell.text), place

    for key in ("supplier", "reference"):
        value, place = text(key)
        if value and value not in blank_words():
            spec.append((key, value[:150], place))
    dated, place = text("dated")
    if dated:
        if re.fullmatch(r"\d{4}-\d{2}-\d{2}", dated):
            spec.append(("dated", dated, place))
        else:
            faults.append(place.fault(f"'{dated}' is not a day as the book writes it.", "Write it as 2026-10-01."))
    statement, place = text("statement")
    if fold_text(statement) not in blank_words():
        spec.append(("statement", statement, place))
        problems = evidence_from_spec(statement, None, False, None)[1]  # noqa: FBT003 - a positional flag of that function
        faults.extend(place.fault(problem, mend) for _, problem, mend in problems)
    has_statement = bool(spec) and spec[-1][0] == "statement"
    _take_allergens(
        sheet,
        columns,
        matrix,
        row,
        spec,
        faults,
        notes,
        has_statement=has_statement,
        blank_means_none=blank_means_none,
    )
    per_100_g = _figures(sheet, columns, row, faults, taken)
    for key, unit in (("strength", "% vol"), ("density", "g/ml"), ("piece", "g")):
        value, place = text(key)
        if value:
            cell = sheet.cell(row, columns.first(key))
            shown = (
                value
                if re.search(r"[^\d.,]", value)
                else f"{value} {columns.units.get(columns.first(key), '') or unit}"
            )
            keys.append((key, shown if not cell.percent else f"{value} % vol", place))
    price, place = text("price")
    if price:
        notes.append(f"price: {price}")
    name = one_line(sheet.cell(row, columns.first("name")).text)[:200]
    return SheetGood(
        name,
        sheet.place.at(row, columns.first("name")),
        tuple(keys),
        tuple(per_100_g),
        tuple(spec),
        tuple(notes),
        tuple(faults),
    )


def _take_allergens(
    sheet: Sheet,
    columns: Columns,
    matrix: dict[int, str],
    row: int,
    spec: list[tuple[str, str | tuple[str, ...], Place]],
    faults: list[Fault],
    notes: list[str],
    *,
    has_statement: bool,
    blank_means_none: bool,
) -> None:
    contains: list[str] = []
    may: list[str] = []
    answered: set[str] = set()
    place = sheet.place.at(row)
    said_none = False
    for meaning, target in (("allergens", contains), ("may_contain", may)):
        for column in columns.places.get(meaning, ()):
            cell = sheet.cell(row, column)
            here = sheet.place.at(row, column)
            if cell.problem:
                faults.append(here.fault(cell.problem, cell.mend))
                continue
            folded = fold_text(cell.text)
            if folded in blank_words():
                if meaning == "allergens":
                    said_none = said_none or blank_means_none
                    place = here
                continue
            place = here if meaning == "allergens" else place
            if "no allergens" in box_words().get(folded, ()):
                # The sheet says so in words; the book has the same word for it.
                said_none = said_none or meaning == "allergens"
                if meaning == "allergens":
                    notes.append(f"{here.cell or here.file} says '{one_line(cell.text)}'")
                continue
            words = tuple(part.strip() for part in re.split(r"[,;\n/]", cell.text) if part.strip(" -"))
            lists = ((words, None), (None, words))[meaning == "may_contain"]
            problems = evidence_from_spec(None, lists[0], False, lists[1])[1]  # noqa: FBT003 - as above
            faults.extend(here.fault(problem, mend) for _, problem, mend in problems)
            target.extend(words)
    for column, group in matrix.items():
        cell = sheet.cell(row, column)
        here = sheet.place.at(row, column)
        if cell.problem:
            faults.append(here.fault(cell.problem, cell.mend))
            continue
        folded = fold_text(cell.text)
        said = box_words().get(folded, ("",))[0]
        if said == "contains":
            contains.append(group)
            answered.add(group)
        elif said == "may contain":
            may.append(group)
            answered.add(group)
        elif said == "not in it":
            answered.add(group)
        elif folded in blank_words():
            if blank_means_none:
                answered.add(group)
        else:
            problems = evidence_from_spec(None, (one_line(cell.text),), False, None)[1]  # noqa: FBT003 - as above
            if problems:
                faults.append(
                    here.fault(
                        f"'{one_line(cell.text)}' in the box for {group} is not a word this tool knows.",
                        "Write 'x' for contains, 'M' for may contain, 'no' for not in it, or leave it empty for not known.",
                    )
                )
            else:  # "wheat" in the box for gluten: the finer word
                contains.append(one_line(cell.text))
                answered.add(group)
    complete = bool(matrix) and answered >= _ALL_EU
    if said_none or complete:
        for column in columns.unread:
            word = box_words().get(fold_text(sheet.cell(row, column).text), ("",))[0]
            if column not in matrix and word in ("contains", "may contain") and hears_allergen(columns.texts[column]):
                said = f"'{one_line(sheet.cell(row, column).text)}' stands under '{columns.texts[column]}'"
                problem = f"{said}, and this row says that no other allergen is in it."
                faults.append(sheet.place.at(row, column).fault(problem, "Head the column with one allergen."))
    if contains:
        spec.append(("declares", tuple(dict.fromkeys(contains)), place))
        if complete and not has_statement:
            spec.append(("covers", "all", place))
    elif (said_none or complete) and not has_statement:
        spec.append(("declares", "none", place))
    elif matrix and not has_statement:
        notes.append("no box is ticked: its allergens are not known")
    if may:
        spec.append(("may_contain", tuple(dict.fromkeys(may)), place))


def _figures(
    sheet: Sheet, columns: Columns, row: int, faults: list[Fault], taken: Taken
) -> list[tuple[str, str, Place]]:
    found: list[tuple[str, str, Place]] = []
    for nutrient in (*NUTRIENTS, "energy"):
        column = columns.first(nutrient)
        if not column:
            continue
        cell, place = sheet.cell(row, column), sheet.place.at(row, column)
        if cell.problem:
            faults.append(place.fault(cell.problem, cell.mend))
            continue
        text = one_line(cell.text)
        if fold_text(text) in blank_words():
            continue
        if nutrient == "energy":
            headed = columns.units.get(column, "")
            _energy(
                text if headed not in ("kj", "kcal") or not cell.number else f"{text} {headed}", place, found, taken
            )
            continue
        figure = _figure(cell, text, place, taken, nutrient)
        if figure is None:
            continue
        value, unit = figure
        unit = unit or columns.units.get(column, "")
        if nutrient == "sodium_mg" and not unit and value:
            # 1.2 is a gram on one pack and a milligram on none, yet both stand in lists: a thousandfold either way.
            taken.leave(place, text, "is sodium without mg or g; it is not taken.")
            continue
        if nutrient == "sodium_mg" and unit == "g":
            value *= 1000.0
        elif nutrient.endswith("_g") and unit == "mg":
            value /= 1000.0
        if nutrient.endswith("_g") and value > 100.0:
            faults.append(place.fault(f"'{text}' is more than 100 g in 100 g.", "Write the figure for 100 g."))
            continue
        found.append((nutrient, number_text(value), place))
    return found


def _figure(cell: Cell, text: str, place: Place, taken: Taken, nutrient: str) -> tuple[float, str] | None:
    if re.fullmatch(r"0+(?:[.,]0+)?\s*(?:g|mg|kj|kcal)?", fold_text(text)):
        return 0.0, ""
    read = read_start(
        text, "thousands" if cell.number else "decimal" if "," in text and "." not in text else "not known", "g"
    )
    if not isinstance(read, tuple) or read[0].high or read[0].before or re.match(r"[<>~]", text):
        taken.leave(place, text, f"is no one figure for {nutrient}; it is not taken, and stays not known.")
        return None
    return read[0].value, find_unit(read[1].strip())


def _energy(text: str, place: Place, found: list[tuple[str, str, Place]], taken: Taken) -> None:
    named = {key for key, _, _ in found}
    taken_any = False
    for key, pattern in (
        ("energy_kj", r"(\d+(?:[.,]\d{1,2})?)\s*kj"),
        ("energy_kcal", r"(\d+(?:[.,]\d{1,2})?)\s*kcal"),
    ):
        seen = re.search(pattern, fold_text(text))
        if seen and key not in named:
            found.append((key, seen[1].replace(",", "."), place))
            taken_any = True
    if not taken_any:
        taken.leave(place, text, "is energy without kJ or kcal; it is not taken.")
