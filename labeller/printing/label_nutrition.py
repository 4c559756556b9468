"""The nutrition declaration as a label for sale carries it under the law of the Union and of Great Britain: a small table, or one line where space lacks.

Other laws draw a panel of their own, which stands beside the label (``labeller panel``).

References
----------
.. [1] Regulation (EU) No 1169/2011, Article 34(2): in tabular form with the numbers aligned if space permits, in linear form where it does not (from
   memory); Article 32(2): per 100 g or per 100 ml; Annex XV: order and units.
"""

from dataclasses import dataclass, replace

from labeller.declarations.declaring import Declaration
from labeller.declarations.labelling import not_determined
from labeller.declarations.words import NUTRIENT_WORDS
from labeller.printing import house
from labeller.printing.faces import text_width_mm
from labeller.printing.page import Box, Cell, Item, Rule
from labeller.printing.setting import Style, set_text

LAWS = ("eu", "gb")
"""Laws whose declaration stands on the label itself."""
NOT_KNOWN = "not known"
_HEAD = ("Nutrition", "per 100 g")
_BETWEEN_MM = 2.5
_PADDING_MM = 0.4
_BELOW_MM = 0.75


@dataclass(frozen=True, slots=True)
class NutritionRow:
    """One line: its words, the figure with its unit, and whether it is part of the line above."""

    words: str
    figure: str
    part: bool


@dataclass(frozen=True, slots=True)
class NutritionTable:
    """The table laid out from its own top left corner. [mm]"""

    items: tuple[Item, ...]
    width: float
    height: float


def nutrition_rows(declaration: Declaration) -> tuple[NutritionRow, ...]:
    """Return the lines that must stand on a pack, per 100 g; a figure with gaps is said to be not known, never printed as a floor."""
    printed, gaps = declaration.declared_per_100_g, set(not_determined(declaration))
    found: list[NutritionRow] = []
    lines = [line for line in declaration.law.nutrients if line.mandatory]
    energy = [
        f"{printed[line.key]} {line.unit}"
        for line in lines
        if line.unit in ("kJ", "kcal") and line.key in printed and line.key not in gaps
    ]
    if any(line.unit in ("kJ", "kcal") for line in lines):
        found.append(NutritionRow("Energy", " / ".join(energy) or NOT_KNOWN, part=False))
    for line in lines:
        if line.unit in ("kJ", "kcal"):
            continue
        words = NUTRIENT_WORDS.get(line.key, (line.label, ""))[0]
        known = line.key in printed and line.key not in gaps
        found.append(NutritionRow(words, f"{printed[line.key]} {line.unit}" if known else NOT_KNOWN, line.indent > 0))
    return tuple(found)


def nutrition_line(rows: tuple[NutritionRow, ...]) -> str:
    """Return the declaration in linear form."""
    if not rows:
        return ""
    said = ", ".join(f"{row.words[:1].lower()}{row.words[1:]} {row.figure}" for row in rows)
    return f"{_HEAD[0]} {_HEAD[1]}: {said}."


def nutrition_table(rows: tuple[NutritionRow, ...], scale: house.Scale, size_pt: float) -> NutritionTable:
    """Return the table, its figures aligned at the right.

    Parameters
    ----------
    size_pt : float
        Size of the letters; the caller holds it to the law. [pt]
    """
    least = scale.least_x_height_mm
    words_style = replace(house.table_cell(scale), size_pt=size_pt, role="figures", least_x_height_mm=least)
    figure_style = replace(words_style, face="narrow-figures", strong="narrow-bold-figures", align="right")
    head_style = replace(words_style, face="narrow-bold")
    indent = 1.6
    words_wide = max(_wide(row.words, words_style) + (indent if row.part else 0.0) for row in rows)
    figures_wide = max(_wide(row.figure, figure_style) for row in rows)
    words_wide = max(words_wide, _wide(_HEAD[0], head_style)) + 0.3
    figures_wide = max(figures_wide, _wide(_HEAD[1], head_style)) + 0.3
    width = words_wide + _BETWEEN_MM + figures_wide
    items: list[Item] = []
    top = 0.0
    lines = [
        (_HEAD[0], _HEAD[1], False, head_style),
        *((row.words, row.figure, row.part, words_style) for row in rows),
    ]
    for number, (words, figure, part, style) in enumerate(lines):
        at = indent if part else 0.0
        left = set_text(words, style, words_wide - at)
        right = set_text(figure, replace(style, align="right") if number == 0 else figure_style, figures_wide)
        height = left.height + _PADDING_MM + _BELOW_MM
        box = Box(0.0, top, width, height)
        items += left.placed(at, top + _PADDING_MM, f"nutrition {number}", box=box, cell=Cell("nutrition", number, 0))
        items += right.placed(
            words_wide + _BETWEEN_MM,
            top + _PADDING_MM,
            f"nutrition {number}, figure",
            box=box,
            cell=Cell("nutrition", number, 1),
        )
        top += height
        items.append(Rule(0.0, top, width, top, house.HAIRLINE_PT if 0 < number < len(lines) - 1 else house.RULE_PT))
    return NutritionTable(tuple(items), width, top)


def _wide(text: str, style: Style) -> float:
    return text_width_mm(text, style.face, style.size_pt)
