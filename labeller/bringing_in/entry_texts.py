"""Write what was brought in as entries of a book, in the house form, and keep where each line came from."""

import json
import re
from dataclasses import dataclass, field

from labeller.bringing_in.cells import Place, one_line, tidy_text
from labeller.bringing_in.shapes import SheetGood, SheetRecipe
from labeller.foundations.names import fold_text

_PLAIN = re.compile(r"[^\W_½¼¾⅓⅔⅛⅜⅝⅞][^\n]*|[½¼¾⅓⅔⅛⅜⅝⅞][^\n]*")
# Words that are steps of the book's method when they stand alone; a recipe's own words are kept as words, which change nothing.
_STEP_WORDS = frozenset(
    ["trim", "sieve", "pour off", "left behind", "macerate", "strain", "heat", "reduce", "fry", "add", "rest", "chill", "freeze", "churn", "whip", "blend", "mix", "set", "prove"]
)  # fmt: skip


@dataclass(slots=True)
class EntryText:
    """The lines of one entry; ``places`` tells, for the position of a line from 0, where it came from."""

    kind: str
    name: str
    lines: list[str] = field(default_factory=list)
    places: dict[int, Place] = field(default_factory=dict)

    def add(self, line: str, place: Place | None = None) -> None:
        """Add a line, and where it came from."""
        if place is not None:
            self.places[len(self.lines)] = place
        self.lines.append(line)

    @property
    def text(self) -> str:
        """Return the entry as text, with a line break at its end."""
        return "\n".join(self.lines) + "\n"


def scalar(text: str) -> str:
    """Return text as YAML holds it: plain where that is safe, in quotes elsewhere."""
    shown = one_line(tidy_text(text))
    if (
        _PLAIN.fullmatch(shown)
        and ": " not in shown
        and " #" not in shown
        and not shown.endswith(":")
        and "\t" not in shown
    ):
        return shown
    return json.dumps(shown, ensure_ascii=False)


def comment(text: str) -> str:
    """Return text as a comment, without the sign."""
    return one_line(tidy_text(text))[:600]


def recipe_entry(recipe: SheetRecipe) -> EntryText:
    """Write a recipe as a preparation or a dish."""
    entry = EntryText(recipe.kind, recipe.name)
    where = ", ".join(part for part in (recipe.place.file, recipe.place.cell) if part)
    entry.add(f"# from {comment(where)}")
    entry.add(f"- {recipe.kind}: {scalar(recipe.name)}", recipe.place)
    if recipe.kind == "dish":
        if recipe.course:
            entry.add(f"  course: {scalar(recipe.course)}", recipe.place)
        if recipe.makes:
            entry.add(f"  serves: {scalar(recipe.makes)}", recipe.place)
        entry.add("  plate:", recipe.place)
    else:
        entry.add("  takes:", recipe.place)
    for line in recipe.lines:
        if line.above:
            entry.add(f"    # {comment(line.above)}")
        behind = f"  # {comment(line.comment)}" if line.comment else ""
        entry.add(f"    - {scalar(line.text)}{behind}", line.place)
    if recipe.method and recipe.kind == "preparation":
        entry.add("  method:", recipe.place)
        for sentence in recipe.method:
            words = one_line(sentence)
            if fold_text(words).rstrip(".").replace("_", " ") in _STEP_WORDS:
                words = f"{words.rstrip('.')} (as the recipe says)"
            entry.add(f"    - {scalar(words)}", recipe.place)
    elif recipe.method:
        for sentence in recipe.method:
            entry.add(f"  # method: {comment(sentence)}")
    if recipe.kind == "preparation":
        if recipe.gives:
            entry.add(f"  gives: {scalar(recipe.gives)}", recipe.place)
        if recipe.makes:
            entry.add(f"  makes: {scalar(recipe.makes)}", recipe.place)
    for note in recipe.notes:
        entry.add(f"  # note: {comment(note)}")
    return entry


def good_entry(good: SheetGood) -> EntryText:
    """Write a thing that is bought in as an ingredient."""
    entry = EntryText("ingredient", good.name)
    where = ", ".join(part for part in (good.place.file, good.place.cell) if part)
    entry.add(f"# from {comment(where)}")
    entry.add(f"- ingredient: {scalar(good.name)}", good.place)
    for key, text, place in good.keys:
        entry.add(f"  {key}: {scalar(text)}", place)
    if good.per_100_g:
        entry.add("  per_100_g:", good.place)
        for key, text, place in good.per_100_g:
            entry.add(f"    {key}: {scalar(text)}", place)
    if good.spec:
        entry.add("  spec:", good.place)
        for key, value, place in good.spec:
            if isinstance(value, tuple):
                entry.add(f"    {key}:", place)
                for item in value:
                    entry.add(f"      - {scalar(item)}", place)
            else:
                entry.add(f"    {key}: {scalar(value)}", place)
    for note in good.notes:
        entry.add(f"  # {comment(note)}")
    return entry
