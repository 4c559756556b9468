"""Tell what a thing is from how it is prepared: 'flour, sifted' is flour; 'butter, peanut' is not butter.

A remark changes nothing in the book, so whatever may change what a thing is stays in its name. A name too many is asked about;
a name too few would hide an allergen.
"""

import re
from dataclasses import dataclass
from functools import lru_cache

from labeller.allergens.reader import read_statement
from labeller.bringing_in.cells import one_line
from labeller.bringing_in.kitchen_words import KitchenWords
from labeller.bringing_in.wordings import find_unit, remark_words
from labeller.bringing_in.written_amounts import Amount, Commas, Trouble, read_amount
from labeller.foundations.names import fold_text

_BRACKET = re.compile(r"\s*[(\[{]\s*([^()\[\]{}]*?)\s*[)\]}]\s*")
_OPENINGS = re.compile(
    r"(?:for|to|plus|at|cut|until|if|from|see|as|in a|in an|then|keep|reserve|or to|optional|pour|für|à température)\b"
)
_EITHER = re.compile(r"\s+(?:or|oder|ou|oppure)\s+|(?<=[^\W\d_]{3})\s*/\s*(?=[^\W\d_]{3})", re.IGNORECASE)
_LEADING_OF = re.compile(
    r"(?:of\s+(?:the\s+)?|de\s+la\s+|de\s+l['’]|de\s+|d['’]|du\s+|des\s+|di\s+|del\s+|von\s+)(?=\S)", re.IGNORECASE
)
LONGEST_NAME = 120


@dataclass(frozen=True, slots=True)
class Named:
    """A name with what was taken off it: the remark, a unit given in brackets, an amount given in brackets, what was unusual."""

    name: str
    remark: str = ""
    unit: str = ""
    amount: Amount | None = None
    amount_text: str = ""
    said: str = ""
    comment: str = ""


def split_name(text: str, words: KitchenWords, commas: Commas, *, after_unit: bool = False) -> Named | Trouble:
    """Take a name apart.

    Parameters
    ----------
    text : str
        The cell, without its amount.
    words : KitchenWords
        What the book knows already; a name it knows is never cut.
    commas : Commas
        What a comma is in this file, for an amount in brackets.
    after_unit : bool
        Whether a unit stood before it in one cell, so that a leading 'of' or 'de' belongs to the unit.
    """
    name = one_line(text).strip(" -–•*·;:.,")
    if after_unit and words.find(name) == "":
        name = _LEADING_OF.sub("", name, count=1) if _LEADING_OF.match(name) else name
    if not name:
        return Trouble("there is no name.", "Write what it is.")
    if words.find(name):
        return Named(name)
    unit, amount, amount_text = "", None, ""
    remarks: list[str] = []
    kept: list[str] = []
    for inner in _BRACKET.findall(name):
        if not inner:
            continue
        unit_inside = find_unit(inner)
        if unit_inside and not unit:
            unit = unit_inside
            continue
        each = re.sub(r"\s*(?:each|per piece|drained)\s*$", "", inner, flags=re.IGNORECASE)
        read = read_amount(each, "", commas) if re.match(r"(?:about |ca\.? |approx\.? |~)?\d", each) else None
        if (
            isinstance(read, Amount)
            and read.number is not None
            and read.unit in ("g", "kg", "mg", "ml", "cl", "dl", "l", "oz", "lb")
            and amount is None
        ):
            amount, amount_text = read, inner
            continue
        (remarks if is_remark(inner, words) else kept).append(inner)
    name = one_line(_BRACKET.sub(" ", name)).strip(" -–*,;")
    if not name:
        return Trouble(f"'{one_line(text)}' has no name outside its brackets.", "Write what it is.")
    for sign in (" - ", " – ", ";"):
        if sign in name and is_remark(name.split(sign, 1)[1], words):
            name, rest = name.split(sign, 1)
            remarks.append(rest)
    return _settled(name, unit, "; ".join(remarks), amount, amount_text, words, tuple(kept))


def _settled(
    name: str,
    unit: str,
    remark: str,
    amount: Amount | None,
    amount_text: str,
    words: KitchenWords,
    kept: tuple[str, ...],
) -> Named | Trouble:
    said = ""
    remarks = [remark] if remark else []
    for inner in kept:  # "butter (unsalted)" is unsalted butter where the book or the shelf knows it
        turned = f"{inner} {name}"
        if words.find(turned):
            said = f"'{name} ({inner})' is taken as '{turned}'"
            name = turned
        else:
            name = (
                turned
                if len(inner.split()) == 1
                and len(name.split()) <= 2
                and remark_words().get(fold_text(inner)) == "matters"
                else f"{name} ({inner})"
            )
    if "," in name:
        head, *rest = (part.strip() for part in name.split(","))
        for part in rest:
            if not part:
                continue
            if is_remark(part, words):
                remarks.append(part)
            elif re.match(r"(?:or|oder|ou|oppure)\s", part, re.IGNORECASE):
                return _either(name)
            elif words.find(f"{part} {head}"):
                said = f"'{name}' is taken as '{part} {head}'"
                head = f"{part} {head}"
            elif len(part.split()) <= 2:
                head = f"{part} {head}"
                said = f"'{name}' is taken as '{head}', because '{part}' may change what it is"
            else:
                head = f"{head} ({part})"
                said = f"'{part}' stays in the name, because it may change what it is"
        name = head
    name = name.strip(" -–*,;")
    if not words.find(name):
        bare, taken = without_adjectives(name)
        # Off comes only what says how it is prepared; the rest of the name is as it was.
        if taken and bare and (words.find(bare) or not words.find(name)):
            name, remarks = bare, [taken, *remarks]
    if not words.find(name) and _EITHER.search(name):
        return _either(name)
    if not name:
        return Trouble("there is no name.", "Write what it is.")
    if len(name) > LONGEST_NAME:
        return Trouble(
            f"'{name[:50]}...' is too long for a name.", "Write the name in this cell and the rest in a remark."
        )
    return Named(name, _harmless("; ".join(remarks)), unit, amount, amount_text, said, _comment("; ".join(remarks)))


def _either(name: str) -> Trouble:
    return Trouble(
        f"'{one_line(name)}' leaves open which is used.",
        "Write the one that is used; the other can be a recipe of its own.",
    )


def _harmless(remark: str) -> str:
    """Return a remark that the book reads as nothing but a remark: 'optional' and 'or ...' have a meaning there."""
    text = one_line(remark.replace(",", ";")).strip(" ;")
    folded = fold_text(text)
    if folded == "optional" or folded.startswith("or ") or re.search(r"(?:^|;)\s*(?:optional|removed)\s*$", folded):
        return "removed" if folded == "removed" else ""
    return text[:160]


def _comment(remark: str) -> str:
    text = one_line(remark)
    if not text or _harmless(remark):
        return ""
    return "the source calls it optional; taken as in" if fold_text(text).endswith("optional") else text


def without_adjectives(name: str) -> tuple[str, str]:
    """Return a name without the words before it that say only how it is prepared, and those words."""
    parts = name.split(" ")
    taken: list[str] = []
    plain = remark_words()
    while len(parts) > 1:
        for count in (2, 1):
            head = fold_text(" ".join(parts[:count]))
            if len(parts) > count and plain.get(head) == "plain":
                taken.extend(parts[:count])
                parts = parts[count:]
                break
        else:
            break
    return " ".join(parts), " ".join(taken)


def is_remark(text: str, words: KitchenWords) -> bool:
    """Tell whether words only say how a thing is prepared: none of them may change what it is.

    Words of the table of remarks decide; then anything that is itself a food, or that the reader of statements hears an allergen
    in, is no remark.
    """
    folded = fold_text(text).strip(" .;")
    known = remark_words()
    if known.get(folded) == "plain":
        return True
    parts = re.findall(r"[^\W\d_][\w'-]*", folded)
    if not parts:
        return True
    if _all_plain(parts, known):
        return True
    if any(known.get(part) == "matters" for part in parts) or hears_allergen(folded):
        return False
    for start in range(len(parts)):
        for end in range(start + 1, min(len(parts), start + 4) + 1):
            if words.find(" ".join(parts[start:end])):
                return False
    if _OPENINGS.match(folded):
        return True
    return any(known.get(part) == "plain" for part in parts) or all(part.endswith(("ed", "ly")) for part in parts)


def _all_plain(parts: list[str], known: dict[str, str]) -> bool:
    """Tell whether words are nothing but plain phrases of the table, the longest first."""
    position = 0
    while position < len(parts):
        for count in (4, 3, 2, 1):
            if known.get(" ".join(parts[position : position + count])) == "plain" and position + count <= len(parts):
                position += count
                break
        else:
            return False
    return True


@lru_cache(maxsize=4096)
def hears_allergen(text: str) -> bool:
    """Tell whether the reader of statements finds an allergen in words, or cannot rule one out."""
    reading = read_statement(text)
    return bool(reading.contains or reading.may_contain or reading.unclear or reading.alcohol)
