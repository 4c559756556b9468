"""Rows that say something of a recipe and are no line: name, portions, yield, batch weight, method, notes, date."""

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from labeller.bringing_in.cells import Cell, Place, Sheet, one_line
from labeller.bringing_in.shapes import Taken
from labeller.bringing_in.wordings import find_unit, meanings_of
from labeller.bringing_in.written_amounts import Number, Trouble, read_start
from labeller.foundations.names import fold_text
from labeller.foundations.units import MASS_G

if TYPE_CHECKING:
    from labeller.bringing_in.drafts import Draft

_TAKEN = ("recipe", "either", "serves", "yield", "batch", "flour", "course", "method", "remark", "total", "ignored")
_IN_ONE = re.compile(r"(?P<key>[^:=]{2,40}?)\s*[:=]\s*(?P<value>.*)", re.DOTALL)
_WITH_NUMBER = re.compile(r"(?P<key>[^\d:]{2,30}?)\s+(?P<value>(?:about |ca\.? |approx\.? )?\d.*)")
_NUMBER_FIRST = re.compile(r"(?P<value>\d+(?:\s*(?:-|–|to|bis|à)\s*\d+)?)\s+(?P<key>[^\d:]{3,20})")
# "Total weight in grams" is a total; "Total 0 % yoghurt" is not.
_TOTAL = re.compile(
    r"(?:sub-?\s?|grand\s+)?totals?(?:\s+(?:weight|batch|mix|mixture|dough|recipe|ingredients?|quantity|yield|cost|of|for|in|g|kg|grams|the))*"
)
_SECTION = re.compile(
    r"(?:for|to make|für|pour|para|per|voor)\s+(?:the\s+|das\s+|die\s+|den\s+|la\s+|le\s+|les\s+|l['’]|el\s+|il\s+|de\s+|het\s+)?(?P<name>\S.*)",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Pair:
    """A word with its value: 'Serves' and '4'. ``after`` is the cell behind the value, where a unit may stand."""

    meaning: str
    value: Cell
    place: Place
    column: int
    after: str = ""
    key: str = ""


def _meaning(word: str, value: str) -> str:
    found = meanings_of(word)
    if not found and _TOTAL.fullmatch(fold_text(word).strip(" :")):
        found = ("total",)
    if "total" in found:
        return "total"
    for meaning in (
        ("method", "remark")
        if not value
        else ("recipe", "either", "serves", "yield", "batch", "flour", "course", "method", "remark")
    ):
        if meaning in found and not (not value and meaning == "remark" and "method" in found):
            return meaning
    if "ignored" in found or any(one in found for one in ("allergens", "may_contain", "supplier", "price")):
        return "ignored"
    if not value and "name" in found:
        return "skip"
    return ""


def pairs_in_row(sheet: Sheet, row: int) -> list[Pair]:
    """Return the words of a row that say something of the recipe, each with its value; empty where the row is none of these."""
    found: list[Pair] = []
    cells = sheet.rows.get(row, [])
    position = 0
    while position < len(cells):
        column, cell = cells[position]
        position += 1
        if cell.number or cell.problem or len(cell.text) > 3000:
            if not found:
                return []
            continue
        text = cell.text
        place = sheet.place.at(row, column)
        one = _IN_ONE.fullmatch(text)
        if one and one["value"].strip() and (meaning := _meaning(one["key"], one["value"])):
            found.append(Pair(meaning, Cell(one["value"].strip()), place, column, "", one_line(one["key"])))
            continue
        following = cells[position] if position < len(cells) else None
        meaning = _meaning(text, following[1].text if following else "")
        if meaning:
            after = cells[position + 1][1].text if position + 1 < len(cells) else ""
            value = following[1] if following is not None else Cell("")
            if following is not None and meanings_of(following[1].text) and not following[1].number:
                value, after = Cell(""), ""  # the next word of the row is a key itself
                meaning = _meaning(text, "")
                if not meaning:
                    return found
            elif following is not None:
                position += 1
                if after and (find_unit(after) or find_unit(fold_text(after))):
                    position += 1
                elif after and meanings_of(after):
                    after = ""
            found.append(
                Pair(
                    meaning,
                    value,
                    sheet.place.at(row, following[0]) if following is not None and value.text else place,
                    column,
                    after if find_unit(after) else "",
                    one_line(text),
                )
            )
            continue
        pair = pair_in_text(text, place, column) if len(cells) - position <= 1 else None
        if pair is not None:
            found.append(pair)
            continue
        if not found:
            return []
    return found


def pair_in_text(text: str, place: Place, column: int = 0) -> Pair | None:
    """Return what one text says of its recipe: 'Serves 4', 'Makes 12 rolls', '4 portions', 'Method:'; None where nothing."""
    shown = one_line(text)
    one = _IN_ONE.fullmatch(shown)
    if one and (meaning := _meaning(one["key"], one["value"])) and meaning != "skip":
        return Pair(meaning, Cell(one["value"].strip()), place, column, "", one["key"])
    if len(shown) > 60:
        return None
    with_number = _WITH_NUMBER.fullmatch(shown)
    if with_number:
        found = meanings_of(with_number["key"])
        for meaning in ("serves", "yield", "batch", "flour"):
            if meaning in found:
                return Pair(meaning, Cell(with_number["value"]), place, column, "", with_number["key"])
    number_first = _NUMBER_FIRST.fullmatch(shown)
    if number_first and "serves" in meanings_of(number_first["key"]):
        return Pair("serves", Cell(number_first["value"]), place, column, "", number_first["key"])
    return None


def is_title_row(sheet: Sheet, row: int) -> bool:
    """Tell whether a row is one text, with nothing beside it but what says something of the recipe: 'Walnut praline' and 'makes 1 tub'."""
    (_, first), *beside = sheet.rows[row]
    return not first.number and all(
        cell.text == first.text
        or (
            not cell.number
            and (pair := pair_in_text(cell.text, sheet.place.at(row, column), column)) is not None
            and pair.meaning in ("serves", "yield", "batch")
        )
        for column, cell in beside
    )


def is_section_text(text: str) -> bool:
    """Tell whether a text is a sub-heading by its own words: it ends in a colon, or begins 'For the'."""
    shown = one_line(text)
    if not 2 < len(shown) <= 70 or re.match(r"\d", shown):
        return False
    return shown.endswith(":") or bool(
        _SECTION.fullmatch(shown) and len(shown.split()) <= 7 and not shown.endswith(".")
    )


def section_name(text: str) -> str:
    """Return the name of a part: 'For the crumble:' is 'crumble'."""
    shown = one_line(text).strip(" :")
    found = _SECTION.fullmatch(shown)
    return (found["name"] if found else shown).strip(" :")


def weight_in(text: str, after: str = "") -> float | None:
    """Return a weight of one number in grams, or None."""
    read = read_start(one_line(text), "not known", find_unit(after))
    if not isinstance(read, tuple):
        return None
    number, rest, _ = read
    if len(rest.split()) > 1:
        return None
    unit = find_unit(rest.strip()) if rest.strip() else find_unit(after)
    return number.value * MASS_G[unit] if unit in MASS_G and not number.high else None


def take_pair(draft: "Draft", pair: Pair, taken: Taken, *, once: bool = False) -> None:
    """Take what a row says of its recipe."""
    text = one_line(pair.value.text)
    meaning = pair.meaning
    taken.hear(pair.place, f"{pair.key} {text} {pair.after}")
    if pair.value.problem and meaning not in ("ignored", "remark"):
        draft.faults.append(pair.place.fault(pair.value.problem, pair.value.mend))
        return
    if meaning in ("recipe", "either"):
        if text:
            draft.name, draft.name_given, draft.place = text.strip(" :"), True, pair.place
        return
    if meaning == "method":
        if pair.value.text:
            draft.add_method(pair.value.text)
        return
    if meaning == "remark":
        if text and text not in draft.notes:
            draft.notes.append(text)
            taken.leave(pair.place, text, "is a note; it is kept as a comment.")
        return
    if meaning == "skip":
        return
    if meaning == "ignored":
        if text and {"allergens", "may_contain"} & set(meanings_of(pair.key)):
            draft.claims.append((pair.place, text))
        taken.leave(pair.place, f"{pair.key} {text}".strip(), "is not taken.")
        return
    if not text or (once and draft.seen.get(meaning) == text):
        return
    if once and meaning in draft.seen:
        draft.faults.append(
            pair.place.fault(
                f"'{text}' and '{draft.seen[meaning]}' stand for one recipe.", "Write it once for each recipe."
            )
        )
        return
    draft.seen[meaning] = text
    if meaning == "course":
        draft.course, draft.kind = text, "dish"
    elif meaning in ("batch", "total"):
        draft.batch_g = weight_in(text, pair.after)
        if draft.batch_g is None:
            taken.leave(pair.place, f"{pair.key} {text}", "is no weight; it is kept as a comment.")
            draft.notes.append(f"{pair.key} {text}")
    elif meaning == "flour":
        draft.flour_g = weight_in(text, pair.after)
    elif meaning == "serves":
        _take_count(draft, pair, text, taken)
    elif meaning == "yield":
        _take_yield(draft, pair, text, taken)


def _take_count(draft: "Draft", pair: Pair, text: str, taken: Taken) -> None:
    read = read_start(text, "not known", "piece")
    if isinstance(read, Trouble) or read is None:
        taken.leave(pair.place, f"{pair.key} {text}", "is no number; it is kept as a comment.")
        draft.notes.append(f"{pair.key} {text}")
        return
    number, rest, _ = read
    behind = rest.strip()
    if behind and find_unit(behind.split(" ")[0]) in ("g", "kg", "ml", "l", "oz", "lb"):
        taken.leave(
            pair.place, f"{pair.key} {text}", "is the size of a portion, not their number; it is kept as a comment."
        )
        draft.notes.append(f"{pair.key} {text}")
        return
    if behind and "serves" not in meanings_of(behind):
        draft.notes.append(f"{pair.key} {text}")
    if number.high or number.before:
        draft.serves_doubt = (pair.place, text)
        return
    draft.makes = number.low


def _take_yield(draft: "Draft", pair: Pair, text: str, taken: Taken) -> None:
    read = read_start(text, "not known", find_unit(pair.after))
    unit = rest = ""
    number: Number | None = None
    if isinstance(read, tuple):
        number, rest, _ = read
        first = rest.strip().split(" ")[0] if rest.strip() else ""
        unit = find_unit(first) if first else find_unit(pair.after)
        if not unit and first:
            unit = "piece" if re.match(r"[^\W\d]", first) else first
    if number is not None and unit in ("g", "kg", "oz", "lb", "mg") and not number.high:
        draft.gives = f"{number.text()} {unit}"
        draft.gives_place = pair.place
        if len(rest.split()) > 1:
            draft.notes.append(f"{pair.key} {text}")
        return
    if number is not None and unit in ("", "piece") and not number.high and not number.before:
        draft.makes = draft.makes or number.low
        return
    taken.leave(
        pair.place, f"{pair.key} {text}".strip(), "is no weight and no number of pieces; it is kept as a comment."
    )
    draft.notes.append(f"{pair.key} {text} {pair.after}".strip())
