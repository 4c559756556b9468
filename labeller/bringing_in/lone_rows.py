"""Judge a row of a table that has a text and no amount: a sub-heading, a new recipe, a sentence, or a line whose amount is missing.

A line without its amount must never pass for a heading: its ingredient, and its allergens, would be lost.
"""

import re
from dataclasses import dataclass
from typing import Final

from labeller.bringing_in.header_rows import is_section_text
from labeller.bringing_in.names_and_remarks import hears_allergen
from labeller.bringing_in.wordings import is_part_word
from labeller.bringing_in.written_amounts import rule_of

RULE: Final = "is a rule between rows; it is left out."
ABOVE: Final = "stands above the lines; it is not taken."
BELOW: Final = "stands below the lines; it is not taken."
_TASTE = re.compile(r"\bto (?:taste|cover)\b")


@dataclass(frozen=True, slots=True)
class LoneRow:
    """The facts about such a row.

    ``known`` is what the book or the shelf has of that name ('ingredient', 'given' or ''); ``words_follow`` tells that the next row says
    something of a recipe ('Serves 4'); ``signs`` counts how it stands out (bold, capitals, merged across); ``more`` tells that other
    cells of the row hold text; ``whole_line`` that its text, or its remark, holds an amount after all.
    """

    text: str
    known: str
    lines_follow: bool
    words_follow: bool
    any_line_follows: bool
    after_gap: bool
    first: bool
    titled: bool
    has_lines: bool
    more: bool
    signs: int
    whole_line: bool


def judge_lone_row(row: LoneRow) -> str:
    """Return 'line', 'part', 'sub-heading', 'recipe', 'method', 'no amount', or the sentence that says why it is not taken."""
    text = row.text
    if not text.strip(" -–—*_=."):
        return RULE
    heads = row.lines_follow or row.words_follow
    if heads and is_section_text(text) and (row.known != "ingredient" or not text.endswith(":")):
        return "part"
    if (
        row.whole_line
        or _TASTE.search(text)
        or ("," in text and rule_of(text.rsplit(",", 1)[1]) in ("to taste", "to cover"))
    ):
        return "line"
    if (
        row.known != "ingredient"
        and not row.more
        and (row.after_gap or row.first)
        and heads
        and (not row.titled or row.words_follow)
        and not text.endswith(":")
    ):
        return "recipe"
    if row.known or row.more:
        return "no amount"
    signs = row.signs + row.after_gap + row.first
    # One sign is enough for words that can be nothing to eat, two where the reader of statements hears an allergen.
    if row.lines_follow and (is_part_word(text) or signs >= 2 or (signs and not hears_allergen(text.casefold()))):
        return "sub-heading"
    if not row.lines_follow and (len(text) > 60 or text.endswith(".")):
        return "method" if row.has_lines else ABOVE
    if row.after_gap and not row.any_line_follows:
        return BELOW
    return "no amount"
