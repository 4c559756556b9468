"""Account for every cell of a sheet: what is in no line, no comment, no fault and no sentence yet is said at the end.

This looks only at what came out, not at how a sheet was read, so that no way of reading can lose a word in silence.
"""

import re

from labeller.bringing_in.cells import Sheet, one_line
from labeller.bringing_in.shapes import SheetGood, SheetRecipe, Taken
from labeller.bringing_in.wordings import box_words, find_unit, meanings_of
from labeller.foundations.names import fold_text

_WORD = re.compile(r"[^\W\d_]{3,}")


def account_for(sheet: Sheet, taken: Taken, recipes: list[SheetRecipe], goods: list[SheetGood]) -> None:
    """Note each cell of ``sheet`` whose words are nowhere in what was taken of it.

    ``recipes`` and ``goods`` are those that came of this sheet. Cells below a heading that was said not to be taken are settled.
    """
    by_row: dict[int, list[str]] = {}
    everywhere: list[str] = []
    heading_rows: set[int] = set()
    settled: dict[int, list[int]] = {}
    for one in taken.columns:
        if (one.place.file, one.place.sheet) == (sheet.place.file, sheet.place.sheet) and one.place.row:
            heading_rows.add(one.place.row)
            if "not taken" in one.why:
                settled.setdefault(one.place.column, []).append(one.place.row)
    for left in taken.left:
        if (left.place.file, left.place.sheet) == (sheet.place.file, sheet.place.sheet):
            by_row.setdefault(left.place.row, []).append(left.text)
    for place, text in taken.heard:
        if (place.file, place.sheet) == (sheet.place.file, sheet.place.sheet):
            by_row.setdefault(place.row, []).append(text)
    for recipe in recipes:
        everywhere.extend((recipe.name, *recipe.method, *recipe.notes, recipe.course, recipe.gives))
        for line in recipe.lines:
            by_row.setdefault(line.place.row, []).append(f"{line.text} {line.comment} {line.above}")
        for fault in recipe.faults:
            by_row.setdefault(fault.origin.line, []).append(fault.problem)
    for good in goods:
        spoken = [
            good.name,
            *good.notes,
            *(text for _, text, _ in good.keys),
            *(fault.problem for fault in good.faults),
        ]
        spoken += [" ".join(value) if isinstance(value, tuple) else value for _, value, _ in good.spec]
        by_row.setdefault(good.place.row, []).extend(spoken)
    for fault in taken.faults:
        if fault.origin.path == sheet.place.file:
            by_row.setdefault(fault.origin.line, []).append(fault.problem)
    faulty = {row for one in recipes for row in [fault.origin.line for fault in one.faults]}
    faulty |= {row for one in goods for row in [fault.origin.line for fault in one.faults]}
    faulty |= {fault.origin.line for fault in taken.faults if fault.origin.path == sheet.place.file}
    heard_everywhere = set(_WORD.findall(fold_text(" ".join(everywhere))))
    for row, cells in sheet.rows.items():
        if row in heading_rows or row in faulty:
            continue
        heard = set(_WORD.findall(fold_text(" ".join(by_row.get(row, ()))))) | heard_everywhere
        missed = []
        for column, cell in cells:
            if cell.number or (goods and fold_text(cell.text) in box_words()):
                continue  # a ticked box says what its heading says
            if any(above < row for above in settled.get(column, ())):
                continue
            words = {word for word in _WORD.findall(fold_text(cell.text)) if word != "kcal" and not find_unit(word)}
            if words and not words <= heard and not meanings_of(cell.text) and not find_unit(cell.text):
                missed.append((column, one_line(cell.text)))
        if missed:
            taken.leave(sheet.place.at(row, missed[0][0]), " ".join(text for _, text in missed), "is not taken.")
