"""What stands behind a key of a book, as an editor can check it: texts, amounts, times, yes and no.

Every pattern is wider than the reader, never narrower: an editor that marks what the reader takes would teach cooks to look away.
An editor's own parser makes a number of ``250`` and a truth of ``true``, so a plain text may be any of these. Patterns use nothing
that differs between the regular expressions of editors (ECMA 262), of Python and of the models' own library.
"""

from typing import Annotated, Any, Final, Literal

from pydantic import Field
from typing_extensions import TypeAliasType

from labeller.book.method import HEAT_WAYS, MACERATED_AS, QUIET_STEPS, STEPS
from labeller.foundations.units import unit_spellings

_DIGIT: Final = "[0-9½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒]"
_NUMBER: Final = "[0-9½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒.,/⁄ ]*" + _DIGIT
_TIMES: Final = (
    "s", "sec", "secs", "second", "seconds", "m", "min", "mins", "minute", "minutes", "h", "hr", "hrs", "hour", "hours", "d", "day",
    "days", "week", "weeks", "wk", "wks", "month", "months", "year", "years",
)  # fmt: skip


def any_case(words: str) -> str:
    """Return a pattern that finds words whatever their case and the spaces between them."""
    made = [f"[{letter.upper()}{letter.lower()}]" if letter.isalpha() else letter for letter in words]
    return "".join("\\s+" if letter == " " else letter for letter in made)


def one_of(*words: str) -> str:
    """Return a pattern that finds one of several words."""
    return "(?:" + "|".join(any_case(word) for word in words) + ")"


def _ends_with_unit(*units: str) -> str:
    return rf"^.*{_DIGIT}(?:.*[^A-Za-z])?{one_of(*units)}\.?\s*$"


def _shaped(pattern: str, mend: str, *examples: str) -> Any:
    """Describe a text of a form; editors show ``mend`` where it has another."""
    return Field(pattern=pattern, examples=list(examples) or None, json_schema_extra={"errorMessage": mend})


def _any_case_of(*words: str) -> Any:
    """Describe a word of a list in whatever case; beside it the list itself is what editors offer."""
    mend = f"Write one of: {', '.join(word for word in words if word)}."
    return _shaped(rf"^\s*{one_of(*words)}\s*$", mend)


_WEIGHT = _ends_with_unit(*unit_spellings("mass"))
_MEASURE = _ends_with_unit(*unit_spellings("mass"), *unit_spellings("volume"))
_SHARE = rf"^.*{_DIGIT}.*(?:%|{one_of('per cent', 'percent')})\s*$"
_LOSS = f"{_WEIGHT}|{_SHARE}"
_PLAIN_NUMBER = rf"^\s*{_NUMBER}\s*$"
_DURATION = (
    rf"^.*{one_of('night')}\s*$|^.*(?:{_DIGIT}|{one_of('a', 'an')}\s).*{one_of(*_TIMES)}\.?\s*(?:{one_of('and')})?\s*$"
)
_DEGREES = rf"(?:°|º|{one_of('degrees', 'degree', 'deg')}\.?)?\s*{one_of('celsius', 'centigrade', 'fahrenheit', 'c', 'f', '')}"
_TEMPERATURE = (
    rf"^\s*(?:[-−]|{one_of('minus')}\s)?\s*{_NUMBER}\s*{_DEGREES}\.?\s*$"
    rf"|^\s*{one_of('room temperature', 'ambient', 'cool room', 'fridge', 'chilled', 'cold')}\s*$"
)
_STRENGTH = rf"^\s*{_NUMBER}\s*(?:%|{one_of('per cent', 'percent')}).*$"
_DENSITY = rf"^\s*{_NUMBER}\s*(?:{one_of('g/ml', 'g/cm3', 'kg/l', 'g/l', 'kg/m3')})?\s*$"
_PER_KG = rf"^\s*{_NUMBER}\s*(?:[Mm][Gg]\s*/\s*{one_of('kg', 'litre', 'l')}|{one_of('ppm')})\s*$"
_ROUGH = one_of("about", "approximately", "approx", "around", "roughly", "circa", "ca", "c.", "up to", "~", "≈")
_SHARES = one_of(
    "all", "the whole", "whole", "half", "an", "a", "one", "two thirds", "three quarters", "to taste", "to cover"
)
_AMOUNT = rf"^\s*(?:{_ROUGH}\.?\s*)?[.,]?{_DIGIT}.*[^\s].*$|^\s*{_SHARES}[,:]?\s+.*\S.*$|^.*\S.*\s{one_of('to taste', 'to cover')}\s*(?:,.*)?$"
_ALONE: Final = tuple(step for step in STEPS if step not in (*QUIET_STEPS, "strain"))
_NEEDS_MORE = rf"^\s*{one_of(*_ALONE, *(step.replace(' ', '_') for step in _ALONE if ' ' in step))}\.*\s*$"
_DAY = r"^\s*[0-9]{4}-[0-9]{2}-[0-9]{2}\s*$"
_ROW = rf"^\s*$|^\s*{any_case('sr')}28\s*:[0-9\s]*$"
_TRUTH = rf"^\s*{one_of('true', 'yes', 'on', 'false', 'no', 'off')}\s*$"


Text = TypeAliasType("Text", str | bool | int | float | None)
Word = TypeAliasType("Word", Annotated[str, Field(pattern=r"\S")] | bool | int | float)
Name = TypeAliasType("Name", Annotated[str, Field(pattern=r"\S")] | bool | int | float)
Texts = TypeAliasType("Texts", list[Word] | Text)
SomeWords = TypeAliasType("SomeWords", Annotated[list[Word], Field(min_length=1)] | Word)

Weight = TypeAliasType(
    "Weight", Annotated[str, _shaped(_WEIGHT, "Write a weight with its unit, such as '60 g'.", "60 g", "1.2 kg")]
)
Measure = TypeAliasType(
    "Measure",
    Annotated[str, _shaped(_MEASURE, "Write a weight such as '45 g', or a volume such as '15 ml'.", "45 g", "15 ml")],
)
Share = TypeAliasType("Share", Annotated[str, _shaped(_SHARE, "Write a share such as '8 %'.", "8 %")])
Loss = TypeAliasType(
    "Loss",
    Annotated[str, _shaped(_LOSS, "Write a share such as '12 %', or a weight such as '60 g'.", "12 %", "60 g")],
)
Duration = TypeAliasType(
    "Duration",
    Annotated[
        str,
        _shaped(
            _DURATION, "Write a time with its unit, such as '35 min' or '3 weeks'.", "35 min", "3 weeks", "overnight"
        ),
    ],
)
Temperature = TypeAliasType(
    "Temperature",
    Annotated[float, Field(strict=True)]
    | Annotated[str, _shaped(_TEMPERATURE, "Write a temperature such as '150 C'.", "150 C")],
)
Strength = TypeAliasType(
    "Strength",
    Annotated[str, _shaped(_STRENGTH, "Write the strength on the bottle, such as '40 % vol'.", "40 % vol")],
)
Density = TypeAliasType(
    "Density",
    Annotated[float, Field(gt=0, strict=True)]
    | Annotated[str, _shaped(_DENSITY, "Write a density such as '1.01 g/ml'.", "1.01 g/ml")],
)
PerKilogram = TypeAliasType(
    "PerKilogram", Annotated[str, _shaped(_PER_KG, "Write an amount such as '120 mg/kg'.", "120 mg/kg")]
)
Day = TypeAliasType("Day", Annotated[str, _shaped(_DAY, "Write a day such as '2026-10-01'.", "2026-10-01")])
Count = TypeAliasType(
    "Count",
    Annotated[float, Field(gt=0, strict=True)]
    | Annotated[str, _shaped(_PLAIN_NUMBER, "Write a number above 0, such as '8'.", "8")],
)
Grams = TypeAliasType(
    "Grams",
    Annotated[float, Field(ge=0, le=100, strict=True)]
    | Annotated[str, _shaped(_PLAIN_NUMBER, "Write the figure for 100 g, such as '2.6'.", "2.6")],
)
Figure = TypeAliasType(
    "Figure",
    Annotated[float, Field(ge=0, lt=1e6, strict=True)]
    | Annotated[str, _shaped(_PLAIN_NUMBER, "Write the figure for 100 g, such as '120'.", "120")],
)
Flag = TypeAliasType(
    "Flag", Annotated[bool, Field(strict=True)] | Annotated[str, _shaped(_TRUTH, "Write 'true' or 'false'.")]
)
Row = TypeAliasType(
    "Row",
    Annotated[
        str, _shaped(_ROW, "Write a row as 'sr28:01053'; 'labeller foods double cream' finds rows.", "sr28:01053")
    ]
    | None,
)
# Nothing behind a colon, or between quotes, where the reader takes that for nothing said.
Nothing = TypeAliasType("Nothing", Literal[""] | None)
Keeps = TypeAliasType(
    "Keeps",
    Literal["3 days chilled", "90 days ambient", "3 months frozen", "3 days chilled, counted anew", "same day chilled"]
    | Text,
)
AmountLine = TypeAliasType(
    "AmountLine",
    Annotated[
        str,
        _shaped(
            _AMOUNT,
            "Begin with an amount: '250 g double cream', 'about 450 ml gin', 'half the custard', 'salt to taste'.",
            "250 g double cream",
            "2 leaves gelatine",
            "half the custard",
        ),
    ],
)
Jurisdiction = TypeAliasType(
    "Jurisdiction",
    Literal["eu", "gb", "us", "ca", "au-nz", "codex"]
    | Annotated[str, _any_case_of("eu", "gb", "us", "ca", "au-nz", "codex")],
)
HeatWay = TypeAliasType(
    "HeatWay",
    Literal["bake", "simmer", "boil", "hold", "stir in", "flame"] | Annotated[str, _any_case_of(*HEAT_WAYS)],
)
MaceratedAs = TypeAliasType(
    "MaceratedAs",
    Literal["whole with skin", "pricked", "cut", "frozen", "dried", "peel", "spice"]
    | Annotated[str, _any_case_of("", *MACERATED_AS)]
    | None,
)
Part = TypeAliasType(
    "Part", Literal["solids", "liquor"] | Annotated[str, _any_case_of("", "solids", "liquor", "pan")] | None
)
Covers = TypeAliasType("Covers", Literal["all"] | Annotated[str, _any_case_of("", "all")] | None)
Sentence = TypeAliasType(
    "Sentence",
    Annotated[
        str | bool | int | float | None,
        Field(
            json_schema_extra={
                "not": {"type": "string", "pattern": _NEEDS_MORE},
                "errorMessage": "Say how much, or how: 'trim: {what: apples, loses: 22 %}', 'heat: {how: simmer, for: 20 min}'.",
            }
        ),
    ],
)
