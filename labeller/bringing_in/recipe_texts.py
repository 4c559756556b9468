"""Read recipes written as plain text or Markdown: a title, lines of amounts, a method; several in one file too."""

import re

from labeller.bringing_in.cells import Cell, Place, one_line, tidy_text
from labeller.bringing_in.drafts import Draft, RawLine
from labeller.bringing_in.finishing import finish_draft
from labeller.bringing_in.header_rows import is_section_text, pair_in_text, section_name, take_pair
from labeller.bringing_in.kitchen_words import KitchenWords
from labeller.bringing_in.markdown_tables import without_tables
from labeller.bringing_in.shapes import Kind, Taken
from labeller.bringing_in.wordings import find_unit, meanings_of
from labeller.bringing_in.written_amounts import Commas, commas_of, read_start, rule_of

_HEADING = re.compile(r"(?P<signs>#{1,6})\s+(?P<text>.*?)\s*#*$")
_BULLET = re.compile(r"^(?:[-–•*+]|\[[ xX]?\])\s+(?:\[[ xX]?\]\s+)?")
_NAME_FIRST = re.compile(r"[^\d:]{2,40}?[\s:.…–-]+\d[\d.,/ ]*[½¼¾⅓⅔]?\s*(?P<unit>[^\W\d_]{1,8})\.?")  # "Butter: 200 g"
_STEP = re.compile(r"^(?:step\s*)?\d{1,2}\s*[.)]\s+\S", re.IGNORECASE)
_MARKS = re.compile(r"\*\*|__|(?<!\w)[*_](?=\S)|(?<=\S)[*_](?!\w)")


def read_text_file(text: str, name: str, words: KitchenWords, kind: Kind, taken: Taken, *, first_name: str) -> None:
    """Read all recipes of one text."""
    tidy = [(number, tidy_text(line)) for number, line in enumerate(text.splitlines(), start=1)]
    lines = [(Place(name, "", number), line) for number, line in tidy]
    read_recipe_lines(lines, first_name, words, commas_of([line for _, line in tidy]), kind, taken)


def read_recipe_lines(
    lines: list[tuple[Place, str]], first_name: str, words: KitchenWords, commas: Commas, kind: Kind, taken: Taken
) -> None:
    """Read recipes from lines of text, each with its place; ``first_name`` names one that has no title."""
    lines = without_tables(lines, taken)
    blocks = _blocks(lines)
    if not any(_is_line(text, commas) for block in blocks for _, text in block):
        if any(text for _, text in lines):
            taken.faults.append(
                lines[0][0].fault(
                    "no amount with a name stands in this text.",
                    "Write lines such as '500 g flour, sifted' under the recipe's name.",
                )
            )
        return
    for block in blocks:
        _read_block(block, first_name, words, commas, kind, taken)


def _blocks(lines: list[tuple[Place, str]]) -> list[list[tuple[Place, str]]]:
    """Cut a text into recipes: at headings of the first rank, and at rules between recipes."""
    ranks = [
        len(found["signs"]) for _, text in lines if (found := _HEADING.match(text)) and not meanings_of(found["text"])
    ]
    top = min(ranks, default=0)
    several = ranks.count(top) > 1 if ranks else False
    # "## Ingredients" under several "# Name": only the first rank begins a recipe; "## For the crumble" under one "# Name" does not.
    blocks: list[list[tuple[Place, str]]] = [[]]
    for place, text in lines:
        found = _HEADING.match(text)
        begins = found is not None and len(found["signs"]) == top and several and not meanings_of(found["text"])
        rule = re.fullmatch(r"\s*(?:-{3,}|={3,}|\*{3,}|_{3,})\s*", text) is not None
        if (begins and any(text for _, text in blocks[-1])) or (rule and sum(1 for _, text in blocks[-1] if text) > 3):
            blocks.append([])
        if not rule:
            blocks[-1].append((place, text))
    return [block for block in blocks if any(text for _, text in block)]


def _is_line(text: str, commas: Commas) -> bool:
    bare = _BULLET.sub("", text.strip())
    if not bare or len(bare) > 160 or _HEADING.match(text):
        return False
    read = read_start(bare, commas)
    if isinstance(read, tuple):
        return bool(re.search(r"[^\W\d_]{2}", read[1])) and not _STEP.match(bare)
    behind = _NAME_FIRST.fullmatch(bare)
    if behind and find_unit(behind["unit"]):
        return True
    return re.search(r"\bto (?:taste|cover)\b", bare) is not None and len(bare) < 60


def _read_block(
    block: list[tuple[Place, str]], first_name: str, words: KitchenWords, commas: Commas, kind: Kind, taken: Taken
) -> None:
    draft = Draft("", block[0][0], kind)
    mode = "front"
    headed = any(_word_of(text) in ("name", "skip") for _, text in block)
    for position, (place, raw) in enumerate(block):
        if not raw.strip():
            continue
        heading = _HEADING.match(raw)
        text = _MARKS.sub("", heading["text"] if heading else raw).strip()
        bare = _BULLET.sub("", text)
        word = _word_of(raw)
        if word in ("name", "skip"):
            mode = "lines"
            continue
        if word == "method":
            mode = "method"
            continue
        if word == "remark":
            mode = "notes"
            continue
        pair = pair_in_text(bare, place) if mode != "method" else None
        if pair is not None and pair.meaning != "total" and not (pair.meaning == "ignored" and _is_line(bare, commas)):
            take_pair(draft, pair, taken)
            if pair.meaning == "method":
                mode = "method"
            continue
        if pair is not None and pair.meaning == "total":
            taken.leave(
                place, bare, f"is a total; it is left out.{draft.note_total(pair.value, pair.after, Cell(''), place)}"
            )
            continue
        if not draft.name and mode == "front" and not _is_line(bare, commas):
            draft.name, draft.place, draft.name_given = text.strip(" :"), place, True
            continue
        if heading and mode in ("lines", "front") and draft.name:
            draft.start_section(section_name(text), place, plain=True)
            mode = "lines"
            continue
        if mode == "front" and not _is_line(bare, commas):
            if is_section_text(bare):
                draft.start_section(section_name(bare), place, plain=True)
                continue
            taken.leave(place, bare, "stands above the lines; it is not taken.")
            continue
        if mode in ("lines", "front"):
            follows = next((later for _, later in block[position + 1 :] if later.strip()), "")
            if _is_line(bare, commas):
                mode = "lines"
                draft.add(RawLine(place, place, Cell(bare)))
            elif (
                is_section_text(bare)
                and _is_line(_BULLET.sub("", follows), commas)
                and not (bare.endswith(":") and words.find(bare.rstrip(" :")) == "ingredient")
            ):
                draft.start_section(section_name(bare), place, plain=True)
            elif not headed and draft.lines and (len(bare) > 50 or bare.endswith(".") or _STEP.match(bare)):
                mode = "method"
                draft.add_method(text)
                taken.leave(place, bare, "is taken as the method.")
            elif rule_of(bare) and draft.lines:
                taken.leave(place, bare, "stands alone; it is not taken.")
            else:
                draft.add(RawLine(place, place, Cell(bare)))  # no amount: the line is a fault that says so
            continue
        if mode == "method":
            draft.add_method(text)
        else:
            draft.notes.append(one_line(bare))
            taken.leave(place, bare, "is a note; it is kept as a comment.")
    if not draft.name:
        draft.name = first_name
    finish_draft(draft, words, commas, taken)


def _word_of(raw: str) -> str:
    """Return 'name', 'method' or 'remark' where a line is only a heading of that part, else ''."""
    heading = _HEADING.match(raw)
    text = _MARKS.sub("", heading["text"] if heading else raw).strip()
    if len(text) > 40:
        return ""
    found = meanings_of(text)
    if "name" in found:
        return "name"
    if "method" in found:
        return "method"
    return "remark" if "remark" in found else ""
