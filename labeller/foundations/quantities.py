"""Numbers as cooks write them: fractions, decimal commas, ranges, rough words, shares, times and temperatures."""

import math
import re

from labeller.foundations.names import fold_text
from labeller.foundations.plain import dataclass

_FRACTIONS = {
    "½": (1, 2), "⅓": (1, 3), "⅔": (2, 3), "¼": (1, 4), "¾": (3, 4), "⅕": (1, 5), "⅖": (2, 5), "⅗": (3, 5), "⅘": (4, 5),
    "⅙": (1, 6), "⅚": (5, 6), "⅐": (1, 7), "⅛": (1, 8), "⅜": (3, 8), "⅝": (5, 8), "⅞": (7, 8), "⅑": (1, 9), "⅒": (1, 10),
}  # fmt: skip
_SIGNS = "".join(_FRACTIONS)
_NUMBER = (
    rf"(?:\d{{1,12}}\s+\d{{1,6}}\s*[/⁄]\s*\d{{1,6}}|\d{{1,12}}\s*[/⁄]\s*\d{{1,6}}|\d{{1,12}}\s*[{_SIGNS}]|[{_SIGNS}]"
    r"|\d{1,12}[.,]\d{1,12}|\d{1,12}|[.,]\d{1,12})"
)
NUMBER = re.compile(_NUMBER)
_ROUGH = re.compile(
    rf"(?:about|approximately|approx\.?|around|roughly|circa|ca\.?|c\.|~|≈)\s*(?=[\d{_SIGNS}.,])", re.IGNORECASE
)
_UP_TO = re.compile(rf"up\s+to\s+(?=[\d{_SIGNS}.,])", re.IGNORECASE)
_RANGE = re.compile(rf"\s*(?P<unit>[a-zA-Z%]{{0,8}}\s*)(?:-|–|—|\bto\b|\bbis\b)\s*(?P<high>{_NUMBER})", re.IGNORECASE)
_THOUSANDS = re.compile(r"[1-9]\d{0,2},\d{3}")

# "about 450 ml" stands for 350 to 600 ml: the width the book's contract prints for such a line.
ABOUT_LOW, ABOUT_HIGH = 7.0 / 9.0, 4.0 / 3.0
LARGEST = 1e9


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with the range it may lie in; a plain number has all three alike.

    ``note`` tells what was unusual about how it was written, in words for the cook, or is empty.
    """

    low: float
    estimate: float
    high: float
    rough: bool = False
    note: str = ""

    def times(self, factor: float) -> "Quantity":
        """Return the quantity in another unit."""
        return Quantity(self.low * factor, self.estimate * factor, self.high * factor, self.rough, self.note)


def parse_number(text: str) -> float | None:
    """Return the value of one number as a cook writes it, or None where it is none (a division by nought is none)."""
    text = text.strip()
    if not NUMBER.fullmatch(text):
        return None
    for sign, (top, bottom) in _FRACTIONS.items():
        if sign in text:
            whole = text.replace(sign, "").strip()
            return (float(whole) if whole else 0.0) + top / bottom
    slash = re.fullmatch(r"(?:(\d+)\s+)?(\d+)\s*[/⁄]\s*(\d+)", text)
    if slash:
        whole_text, top_text, bottom_text = slash.groups()
        return None if int(bottom_text) == 0 else float(whole_text or 0) + int(top_text) / int(bottom_text)
    return float(text.replace(",", "."))


def parse_quantity(text: str) -> tuple[Quantity, str] | str:
    """Read a quantity at the start of ``text``.

    Returns
    -------
    tuple[Quantity, str] | str
        The quantity and the rest of the text; or, where there is none, what is wrong in words (empty if no number stands there).
    """
    rest = text.lstrip()
    up_to = _UP_TO.match(rest)
    about = _ROUGH.match(rest)
    rest = rest[up_to.end() if up_to else about.end() if about else 0 :]
    first = NUMBER.match(rest)
    if not first:
        return ""
    low = parse_number(first[0])
    if low is None:
        return f"'{first[0]}' divides by nought."
    after = rest[first.end() :]
    note = ""
    if _THOUSANDS.fullmatch(first[0]):
        note = f"'{first[0]}' is read with a decimal comma, as {low:g}"
    second = _RANGE.match(after)
    if second and (not second["unit"].strip() or _same_unit_follows(second["unit"], after[second.end() :])):
        high = parse_number(second["high"])
        if high is None:
            return f"'{second['high']}' divides by nought."
        if not low < high:
            return f"'{(first[0] + after[: second.end()]).strip()}' does not go from less to more."
        quantity = Quantity(low, (low + high) / 2.0, high, rough=True, note=note)
        after = after[second.end() :]
    elif up_to:
        quantity = Quantity(0.0, low / 2.0, low, rough=True, note=note)
    elif about:
        quantity = Quantity(low * ABOUT_LOW, low, low * ABOUT_HIGH, rough=True, note=note)
    else:
        quantity = Quantity(low, low, low, note=note)
    if quantity.estimate <= 0.0:
        return f"'{first[0]}' is not above nought."
    if not math.isfinite(quantity.high) or quantity.high > LARGEST:
        return f"'{first[0]}' is more than any kitchen holds."
    return quantity, after


def _same_unit_follows(unit: str, rest: str) -> bool:
    return fold_text(rest).startswith(fold_text(unit))


_DURATION = re.compile(rf"({_NUMBER})(?:\s*(?:-|–|to)\s*({_NUMBER}))?\s*([a-z]+)\.?\s*(?:and\s+)?")
_MINUTES = {
    "s": 1 / 60, "sec": 1 / 60, "secs": 1 / 60, "second": 1 / 60, "seconds": 1 / 60,
    "m": 1.0, "min": 1.0, "mins": 1.0, "minute": 1.0, "minutes": 1.0,
    "h": 60.0, "hr": 60.0, "hrs": 60.0, "hour": 60.0, "hours": 60.0,
    "d": 1440.0, "day": 1440.0, "days": 1440.0, "week": 10080.0, "weeks": 10080.0, "wk": 10080.0, "wks": 10080.0,
    "month": 43830.0, "months": 43830.0, "year": 525960.0, "years": 525960.0,
}  # fmt: skip
OVERNIGHT_MINUTES = 12 * 60.0
"""What 'overnight' is taken as. [min] Common practice, no source."""


def parse_minutes(text: str) -> float | None:
    """Return a time in minutes; of a range the shorter end, since a shorter time leaves more alcohol; None if it is no time."""
    folded = fold_text(text)
    if folded in ("overnight", "over night", "a night"):
        return OVERNIGHT_MINUTES
    folded = (
        folded.replace("half an hour", "30 min")
        .replace("an hour", "1 h")
        .replace("a week", "1 week")
        .replace("a day", "1 day")
    )
    folded = re.sub(r"^(about|approx\.?|around|up to)\s+", "", folded)
    total, position = 0.0, 0
    while position < len(folded):
        part = _DURATION.match(folded, position)
        if not part or part[3] not in _MINUTES:
            return None
        number = parse_number(part[1])
        if number is None:
            return None
        total += number * _MINUTES[part[3]]
        position = part.end()
    return total if total > 0.0 else None


_TEMPERATURE = re.compile(
    rf"(-|−|minus\s+)?({_NUMBER})\s*(?:°|º|degrees?|deg\.?)?\s*(c|f|celsius|fahrenheit|centigrade)?\b\.?",
    re.IGNORECASE,
)


def parse_celsius(text: str) -> float | None:
    """Return a temperature in degrees Celsius; None if it is none. 'room temperature' is 20 C, common practice."""
    folded = fold_text(text)
    if folded in ("room temperature", "ambient", "cool room"):
        return 20.0
    if folded in ("fridge", "chilled", "cold"):
        return 4.0
    found = _TEMPERATURE.fullmatch(folded.replace("−", "-"))
    if not found:
        return None
    number = parse_number(found[2])
    if number is None:
        return None
    signed = -number if found[1] else number
    return (signed - 32.0) / 1.8 if (found[3] or "c").startswith("f") else signed
