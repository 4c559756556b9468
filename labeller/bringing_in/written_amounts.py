"""Amounts as people type them in sheets, made into the amounts the book takes; what the book cannot take is said, not guessed.

References
----------
.. [1] Signs of grouping and decimals: Unicode CLDR, Numbers, symbols ``group`` and ``decimal`` of each locale.
.. [2] Fractions of one sign: Unicode Character Database, decompositions tagged ``<fraction>``.
"""

import re
import unicodedata
from dataclasses import dataclass
from typing import Literal

from labeller.bringing_in.cells import number_text, one_line
from labeller.bringing_in.wordings import amount_words, find_unit
from labeller.foundations.names import fold_text
from labeller.foundations.quantities import parse_number
from labeller.foundations.units import MASS_G, millilitres

Commas = Literal["decimal", "thousands", "not known"]
"""What a comma between digits is in one file, going by numbers in it that can be read in one way only."""

_SIGN = "[" + "".join(
    chr(code) for code in range(0xBC, 0x218A) if unicodedata.decomposition(chr(code)).startswith("<fraction> ") and chr(code) != "⅟"
) + "]"  # fmt: skip
_DIGITS = r"\d[\d.,'’\u00a0\u202f]*\d|\d|[.,]\d+"
_NUMBER = (
    rf"(?:\d+\s*(?:\s|-|&|and|et|und|y|e)\s*\d+\s*[/⁄]\s*\d+|\d+\s*[/⁄]\s*\d+|\d+\s*-?\s*{_SIGN}|{_SIGN}|{_DIGITS})"
)
NUMBER_AT = re.compile(_NUMBER, re.IGNORECASE)
_JOIN = re.compile(r"\s*(?P<unit>[^\W\d_]{0,8}\.?)\s*(?:-|–|—|−|~|\bto\b|\bbis\b|\bà\b|\ba\b|\bor\b|\boder\b|\bou\b|\btot\b|\band\b(?=\s*\d))\s*(?=\d|[.,]\d|" + _SIGN + ")", re.IGNORECASE)  # fmt: skip
_TIMES = re.compile(r"\s*[x×*]\s*(?=[\d.,])", re.IGNORECASE)
MONTHS = "jan|feb|fev|mar|maer|apr|avr|may|mai|mag|maj|jun|giu|jul|lug|aug|aout|ago|sep|set|oct|okt|ott|out|nov|dec|dez|dic|ene|abr|gen|mei|mrt"
_COMPOUND = re.compile(
    rf"({_NUMBER})\s*([^\W\d_]{{1,10}})\.?,?\s+(?:and\s+|&\s+)?({_NUMBER})\s*([^\W\d_]{{1,10}})\b\.?", re.IGNORECASE
)
_DITTO = frozenset({'"', "''", "″", "〃", "„", "”", "“"})
_DATE = re.compile(rf"\d{{1,2}}[-/. ](?:{MONTHS})[a-z]*\.?(?:[-/. ]\d{{2,4}})?|(?:{MONTHS})[a-z]*\.?[-/. ]\d{{1,4}}|\d{{1,2}}[/.]\d{{1,2}}[/.]\d{{4}}|\d{{4}}-\d{{2}}-\d{{2}}(?:[ t].*)?")  # fmt: skip
_EVIDENCE = re.compile(r"(?<![\d.,/])\d+(?:[.,]\d{3})*([.,])(\d+)(?![\d.,/%]|\s*(?:h|uhr|am|pm)\b)")


@dataclass(frozen=True, slots=True)
class Trouble:
    """What is wrong with a cell, and the mend."""

    problem: str
    mend: str


@dataclass(frozen=True, slots=True)
class Number:
    """A number as the book takes it: ``before`` is '', 'about' or 'up to'; ``high`` is empty where it is no range."""

    low: str
    high: str = ""
    before: str = ""

    def text(self) -> str:
        """Return the number in the book's words."""
        joined = f"{self.low}-{self.high}" if self.high else self.low
        return f"{self.before} {joined}".strip()

    def times(self, factor: float, digits: int = 4) -> "Number":
        """Return the number times a factor, to so many digits that count."""
        low, high = parse_number(self.low), parse_number(self.high) if self.high else None
        made = [number_text(float(f"{value * factor:.{digits}g}")) for value in (low, high) if value is not None]
        return Number(made[0], made[1] if len(made) > 1 else "", self.before)

    @property
    def value(self) -> float:
        """Return the middle of the number."""
        low = parse_number(self.low) or 0.0
        high = parse_number(self.high) if self.high else None
        return low if high is None else (low + high) / 2.0


@dataclass(frozen=True, slots=True)
class Amount:
    """An amount: a number with a unit of the contract ('' where nothing was given), or a rule ('to taste', 'to cover').

    ``said`` tells what was read in an unusual way.
    """

    number: Number | None = None
    unit: str = ""
    unit_as_typed: str = ""
    rule: str = ""
    said: str = ""


def plain_digits(text: str) -> str:
    """Return text with the digits of every script as 0 to 9, and one sign for every minus and dash between numbers."""
    return "".join(
        str(unicodedata.digit(one))
        if one.isdigit() and not one.isascii() and unicodedata.category(one) == "Nd"
        else one
        for one in text
    )


def commas_of(texts: list[str]) -> Commas:
    """Tell what a comma is in a file, going by the amounts in it that can only be read one way."""
    decimal = thousands = 0
    for text in texts:
        if len(text) > 80:
            continue
        for found in _EVIDENCE.finditer(plain_digits(text)):
            sign, after = found[1], found[2]
            before = found[0][: -len(after) - 1]
            other = "." if sign == "," else ","
            if len(after) == 3 and not before.startswith("0") and other not in before:
                continue
            if len(after) == 3 and other not in before and before != "0":
                continue
            if sign == ",":
                decimal += 1
            else:
                thousands += 1
    if decimal and not thousands:
        return "decimal"
    if thousands and not decimal:
        return "thousands"
    return "not known"


def _plain_decimal(text: str, commas: Commas, unit: str) -> str | Trouble:
    """Return digits with a decimal point, or what is doubtful about them."""
    shown = one_line(text)
    bare = re.sub(r"['’\u00a0\u202f]", "", text)
    if bare != text and not re.fullmatch(r"\d{1,3}(?:['’\u00a0\u202f]\d{3})+(?:[.,]\d+)?", text):
        return Trouble(f"'{shown}' is not one number.", "Write it without spaces or marks between the digits: '1250'.")
    if "." in bare and "," in bare:
        point = max(bare.rfind("."), bare.rfind(","))
        whole, after = bare[:point], bare[point + 1 :]
        if (
            not re.fullmatch(r"\d{1,3}(?:[.,]\d{3})+", whole)
            or len(set(re.findall(r"[.,]", whole))) != 1
            or bare[point] in whole
        ):
            return Trouble(f"'{shown}' is not one number.", "Write it with a decimal point only: '1250.5'.")
        return re.sub(r"[.,]", "", whole) + "." + after
    for sign in ".,":
        if bare.count(sign) > 1:
            if not re.fullmatch(rf"\d{{1,3}}(?:\{sign}\d{{3}})+", bare):
                return Trouble(f"'{shown}' is not one number.", "Write it with one decimal point at most: '1250.5'.")
            return bare.replace(sign, "")
        if sign in bare:
            whole, after = bare.split(sign)
            if len(after) == 3 and re.fullmatch(r"[1-9]\d{0,2}", whole):
                if commas == ("decimal" if sign == "," else "thousands") or unit in ("kg", "l", "lb"):
                    return f"{whole}.{after}"
                if commas == ("thousands" if sign == "," else "decimal"):
                    return whole + after
                return Trouble(
                    f"'{shown}' can be {whole}{after} or {whole} and a bit.",
                    f"Write '{whole}{after}', or '{whole}.{after.rstrip('0') or '0'}'.",
                )
            return f"{whole or '0'}.{after}"
    return bare


def _plain_number(text: str, commas: Commas, unit: str) -> str | Trouble:
    shown = one_line(text)
    slash = re.fullmatch(r"(?:(\d+)\s*(?:\s|-|&|and|et|und|y|e)\s*)?(\d+)\s*[/⁄]\s*(\d+)", text, re.IGNORECASE)
    if slash:
        whole, top, bottom = slash.groups()
        if int(bottom) == 0:
            return Trouble(f"'{shown}' divides by nought.", "Write the amount as a number: '0.5'.")
        return f"{int(whole)} {int(top)}/{int(bottom)}" if whole else f"{int(top)}/{int(bottom)}"
    sign = re.fullmatch(rf"(\d+)?\s*-?\s*({_SIGN})", text)
    if sign:
        top, bottom = unicodedata.normalize("NFKD", sign[2]).split("⁄")
        return f"{int(sign[1])} {int(top)}/{int(bottom)}" if sign[1] else f"{int(top)}/{int(bottom)}"
    return _plain_decimal(text, commas, unit)


def looks_like_date(text: str) -> bool:
    """Tell whether a text is a day, as a spreadsheet writes one it made of '1/2'."""
    return _DATE.fullmatch(fold_text(text)) is not None


def read_start(text: str, commas: Commas, unit_after: str = "") -> tuple[Number, str, str] | Trouble | None:
    """Read a number at the start of a text.

    Returns
    -------
    tuple[Number, str, str] | Trouble | None
        The number, the rest of the text, and what was unusual about it; what is wrong; or None where no number stands there.
    """
    rest = plain_digits(text).strip()
    before, said = "", ""
    folded_words = amount_words()
    for sign in ("~", "≈", "±"):
        if rest.startswith(sign):
            before, rest = "about", rest[1:].strip()
    for count in (2, 1):
        words = rest.split(" ")
        head = fold_text(" ".join(words[:count])).rstrip(".")
        meaning = folded_words.get(head, "")
        if meaning in ("about", "up to") and len(words) > count:
            before, rest = meaning, " ".join(words[count:])
            break
    glued = re.match(r"(ca|approx|circa|env|max)\.?(?=\d)", rest, re.IGNORECASE)
    if glued:
        before = "up to" if glued[1].casefold() == "max" else "about"
        rest = rest[glued.end() :]
    if re.match(r"[-−–]\s*\d", rest):
        return Trouble(f"'{one_line(text)}' is below nought.", "Write an amount above nought.")
    first = NUMBER_AT.match(rest)
    if first is None:
        for count in (3, 2, 1):
            words = rest.split(" ")
            meaning = folded_words.get(fold_text(" ".join(words[:count])), "")
            if meaning.startswith("number ") and (len(words) > count or unit_after):
                return Number(meaning.removeprefix("number "), "", before), " ".join(words[count:]), ""
        return None
    after = rest[first.end() :]
    spaced = re.match(r"( \d{3})+(?!\d|\s*[/⁄])", after)
    if spaced and re.fullmatch(r"[1-9]\d{0,2}", first[0]):
        if after[spaced.end() :].strip() and not unit_after:
            return Trouble(
                f"'{one_line(first[0] + spaced[0])}' can be one number or two.",
                f"Write '{first[0]}{spaced[0].replace(' ', '')}' if it is one, or the whole amount if it is a multiplication.",
            )
        return Number(first[0] + spaced[0].replace(" ", ""), "", before), after[spaced.end() :], said
    low = _plain_number(first[0], commas, unit_after or _unit_of(after))
    if isinstance(low, Trouble):
        return low
    times = _TIMES.match(after)
    if times:
        second = NUMBER_AT.match(after, times.end())
        value = _plain_number(second[0], commas, unit_after or _unit_of(after[second.end() :])) if second else None
        if second is None or isinstance(value, Trouble):
            return value if isinstance(value, Trouble) else None
        left, right = parse_number(low), parse_number(value or "")
        if left is None or right is None:
            return Trouble(f"'{one_line(rest)}' is not an amount.", "Write the whole amount as one number.")
        said = f"'{one_line(first[0] + after[: second.end()])}' multiplied"
        return _checked(Number(number_text(left * right), "", before), after[second.end() :], said, text)
    join = _JOIN.match(after)
    if join and join["unit"] and find_unit(join["unit"]) == "":
        join = None
    if join:
        second = NUMBER_AT.match(after, join.end())
        if second:
            high = _plain_number(second[0], commas, unit_after or _unit_of(after[second.end() :]))
            if isinstance(high, Trouble):
                return high
            low_value, high_value = parse_number(low), parse_number(high)
            ending = after[second.end() :]
            if low_value is None or high_value is None or not low_value < high_value:
                return Trouble(
                    f"'{one_line(rest[: first.end() + second.end()])}' does not go from less to more.",
                    "Write the lesser amount first: '200-300'.",
                )
            if join["unit"] and find_unit(join["unit"]) != (_unit_of(ending) or unit_after):
                return Trouble(
                    f"'{one_line(rest)}' goes from one unit to another.", "Write both ends in one unit: '500-1000 g'."
                )
            return _checked(Number(low, high, before), ending, said, text)
    if re.match(r"\s*\+\s*\d", after):
        return Trouble(f"'{one_line(rest)}' is a sum.", "Write the whole amount as one number.")
    return _checked(Number(low, "", before), after, said, text)


def _unit_of(text: str) -> str:
    """Return the unit a text begins with, or ''."""
    words = text.strip().split(" ")
    return find_unit(words[0], in_line=True) if words and words[0] else ""


def _checked(number: Number, rest: str, said: str, text: str) -> tuple[Number, str, str] | Trouble:
    value = number.value
    if value <= 0.0 or parse_number(number.low) in (None, 0.0):
        return Trouble(f"'{one_line(text)}' is not above nought.", "Write its amount, or take the row out.")
    if value > 1e9:
        return Trouble(f"'{one_line(text)[:40]}' is more than any kitchen holds.", "Write the amount of one batch.")
    if number.high and number.before:
        number = Number(number.low, number.high)  # a range is rough already
    return number, rest, said


def read_compound(text: str, commas: Commas) -> tuple[Number, str, str] | None:
    """Read an amount of two units, '1 lb 4 oz' or '1 kg 200 g', as one of grams or millilitres, and the rest; None where it is none."""
    found = _COMPOUND.match(plain_digits(text).strip())
    if found is None:
        return None
    total = 0.0
    kinds = set()
    for number, unit in ((found[1], found[2]), (found[3], found[4])):
        read = read_start(number, commas, unit)
        name = find_unit(unit)
        if not isinstance(read, tuple) or (name not in MASS_G and name not in ("l", "dl", "cl", "ml")):
            return None
        kinds.add("g" if name in MASS_G else "ml")
        total += read[0].value * (MASS_G[name] if name in MASS_G else millilitres(name, ""))
    if len(kinds) != 1 or find_unit(found[2]) == find_unit(found[4]):
        return None
    return Number(number_text(float(f"{total:.6g}"))), kinds.pop(), text.strip()[found.end() :].strip()


def rule_of(text: str) -> str:
    """Return 'to taste', 'to cover' or 'open' (words that give no amount) where a text is one of these, else ''."""
    folded = fold_text(text).strip(" ()")
    meaning = amount_words().get(folded) or amount_words().get(folded.rstrip(".:"), "")
    return meaning if meaning in ("to taste", "to cover", "open") else ""


def read_amount(quantity: str, unit: str, commas: Commas, *, typed_number: bool = False) -> Amount | Trouble:
    """Read an amount from its cells.

    Parameters
    ----------
    quantity, unit : str
        The cells as typed; ``unit`` may be empty, or come from the heading.
    commas : Commas
        What a comma is in this file.
    typed_number : bool
        Whether the sheet holds a number there, whose point is a decimal point.
    """
    shown = one_line(f"{quantity} {unit}")
    if not quantity:
        rule = rule_of(unit)
        if rule in ("to taste", "to cover"):
            return Amount(rule=rule, said=f"'{one_line(unit)}'")
        if find_unit(unit) in ("pinch", "knife tip", "drop"):
            return Amount(Number("1"), find_unit(unit), unit)
        return Trouble("there is no amount.", "Write an amount: '250 g', or 'to taste'.")
    rule = rule_of(quantity)
    if rule == "open":
        return Trouble(f"'{one_line(quantity)}' is no amount.", "Write what you weigh, or 'to taste'.")
    if rule:
        return Amount(rule=rule, said=f"'{one_line(quantity)}'")
    if looks_like_date(quantity):
        return Trouble(
            f"'{one_line(quantity)}' is a day, which a spreadsheet makes of a fraction such as '1/2'.",
            "Format the cell as text and write the amount again: '1/2' or '0.5'.",
        )
    if typed_number and find_unit(unit) in ("", "piece") and quantity.endswith("%"):
        return Trouble(f"'{quantity}' is a share, not an amount.", "Write a weight, or head the column '%'.")
    joined = read_compound(quantity, commas)
    if joined is not None and not joined[2] and not unit:
        return Amount(joined[0], joined[1], joined[1], said=f"typed '{one_line(quantity)}'")
    if unit.strip() in _DITTO or fold_text(unit).rstrip(".") in ("do", "ditto", "dto", "idem"):
        return Trouble(f"'{one_line(unit)}' stands for the unit above.", "Write the unit in each row.")
    read = read_start(quantity, "thousands" if typed_number else commas, find_unit(unit))
    if isinstance(read, Trouble):
        return read
    if read is None:
        alone = find_unit(quantity)
        if alone in ("pinch", "knife tip", "drop") and not unit:
            return Amount(Number("1"), alone, quantity)
        return Trouble(f"'{shown}' is no amount.", "Write a number and a unit: '250 g'.")
    number, rest, said = read
    rest = rest.strip(" .,")
    if rest and not find_unit(rest) and not number.high:  # "200 g approx.", where "1/2 c." is half a cup
        *units, last = rest.split(" ")
        if amount_words().get(fold_text(last).strip("()."), "") == "about":
            number, rest = Number(number.low, "", "about"), " ".join(units)
    if rest and unit and fold_text(rest) != fold_text(unit) and find_unit(rest) != find_unit(unit):
        return Trouble(
            f"'{one_line(quantity)}' has the unit '{one_line(rest)}', and beside it stands '{one_line(unit)}'.",
            "Write the unit once.",
        )
    typed = rest or unit
    if typed and rule_of(typed):
        return Trouble(f"'{shown}' is a number and no amount.", "Write a unit behind the number, or 'to taste' alone.")
    if not find_unit(typed) and re.search(r"\d", typed):
        return Trouble(f"'{shown}' is more than one amount.", "Write one number and one unit: '250 g'.")
    return Amount(number, find_unit(typed), one_line(typed), said=said)
