"""Amounts and the steps of a method as written in a book: one model each, with what an editor says about every key."""

from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field
from typing_extensions import TypeAliasType

from labeller.bringing_in.book_scalars import (
    AmountLine,
    Duration,
    Flag,
    HeatWay,
    Loss,
    MaceratedAs,
    Nothing,
    Sentence,
    Share,
    SomeWords,
    Temperature,
    Text,
    Texts,
    Weight,
    Word,
)

_AMOUNT_BEGINS = (
    r"^\s*[^A-Za-z\s]|^\s*(?:[Aa]bout|[Uu]p to|[Aa]ll|[Hh]alf|[Ww]hole|[Tt]he whole|[Aa]n?|[Tt]o (?:taste|cover))\s"
)
_LOSES_OR_LEAVES: dict[str, Any] = {"anyOf": [{"required": ["loses"]}, {"required": ["leaves"]}]}
_WHAT = "The lines it is about; the whole pan unless said."
_QUIET = "Changes no weight. Nothing behind the colon, or a time: overnight."


def key(description: str, alias: str | None = None) -> Any:
    """Describe a key that may be left out; what stands behind it may not."""
    return Field(default=None, alias=alias, description=description)


def wanted(description: str, alias: str | None = None) -> Any:
    """Describe a key that may not be left out."""
    return Field(alias=alias, description=description)


class Written(BaseModel):
    """Part of a book as a cook writes it, with no key beside those named."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Amount(Written):
    """An amount with keys of its own, for a name with a comma in it or for swaps."""

    take: AmountLine = wanted("The amount and the name: 12 g hazelnut praline.")
    removed: Flag = key("true: taken out again; leaves its allergens, not its weight.")
    optional: Flag = key("true: can be left off when a guest asks. On a plate only.")
    swap: "Lines | Nothing" = key("What it can be replaced by: [30 g oat cream]. On a plate only.")


ColonLine = TypeAliasType(
    "ColonLine",
    Annotated[
        dict[Annotated[str, Field(pattern=_AMOUNT_BEGINS)], Text],
        Field(
            max_length=1,
            description="A line with a colon in it. Put it in quotes.",
            json_schema_extra={"additionalProperties": False},
        ),
    ],
)
Line = TypeAliasType("Line", AmountLine | Amount | ColonLine)
Lines = TypeAliasType("Lines", list[Line] | Line)


class ShareStep(Written):
    """What leaves the pan at a step."""

    model_config = ConfigDict(json_schema_extra=_LOSES_OR_LEAVES)

    what: Texts = key(_WHAT)
    loses: Loss = key("How much leaves: 22 %, or 60 g.")
    leaves: Weight = key("What is left, by the scale: 900 g.")
    where: Text = key("Where it stays, such as: mould.")


class Macerate(Written):
    """Solids steep in the other lines, which are the liquid."""

    what: Texts = key(_WHAT)
    solids: SomeWords = wanted("The lines that steep: [damsons].")
    for_: Duration = key("How long: 3 weeks.", "for")
    at: Temperature = key("How warm: 20 C.")
    as_: MaceratedAs = key("How the fruit goes in: whole with skin, pricked, cut, frozen, dried, peel or spice.", "as")


class Strain(Written):
    """Solids and liquor part."""

    what: Texts = key(_WHAT)
    solids: Texts = key("The solids, where no macerate before it names them.")
    holds: Share = key("How much liquid stays with the solids: 8 %.")


class HotStep(Written):
    """What all steps over heat may say."""

    what: Texts = key(_WHAT)
    loses: Loss = key("The whole loss at this step, by the scale: 12 %, or 60 g.")
    leaves: Weight = key("What is left after it, by the scale: 900 g.")
    for_: Duration = key("How long: 35 min.", "for")
    at: Temperature = key("The heat around it: 150 C.")
    to: Temperature = key("How hot it gets itself: 85 C.")
    covered: Flag = key("true where a lid is on.")


class Heat(HotStep):
    """Heat, and what it drives off."""

    how: HeatWay = wanted(
        "bake, simmer, boil, hold (custard, syrup, below boiling), stir in (what the 'add' before it brought into hot food) or flame."
    )


class Reduce(HotStep):
    """Boil down."""

    model_config = ConfigDict(json_schema_extra=_LOSES_OR_LEAVES)


class Fry(HotStep):
    """Fry in oil, which comes along with its allergens."""

    in_: Word = wanted("The fat or oil, an ingredient: sunflower oil.", "in")
    takes_up: Share = wanted("The oil taken up, as a share of the weight going in: 8 %.")


class Quiet(Written):
    """A step that changes no weight; overnight lets a little alcohol leave."""

    what: Texts = key(_WHAT)
    for_: Duration = key("How long: overnight.", "for")
    at: Temperature = key("How warm: 4 C.")


class Add(Written):
    """What joins the pan later, with the lines it joins."""

    model_config = ConfigDict(json_schema_extra={"anyOf": [{"required": ["lines"]}, {"required": ["take"]}]})

    what: Texts = key("The lines it is added to; the whole pan unless said.")
    lines: Lines = key("What is added, an amount on each line.")
    take: Lines = key("What is added, an amount.")


class Step(Written):
    """One step of the method, named by its one key."""

    # Another key with a text behind it is a sentence with a colon, which 'check' advises to put in quotes.
    model_config = ConfigDict(
        json_schema_extra={
            "maxProperties": 1,
            "additionalProperties": {
                "type": ["string", "number", "boolean", "null"],
                "pattern": r"^[^{\[]*$",
                "description": "No step of this name. Put a sentence with a colon in quotes.",
            },
        }
    )

    trim: ShareStep | Loss = key("Peel, stone, bone: {what: apples, loses: 22 %}. Allergens stay.")
    sieve: ShareStep | Loss = key("What stays in the sieve: {loses: 5 %}.")
    pour_off: ShareStep | Loss = key("What is poured away: {loses: 50 g}.", "pour off")
    left_behind: ShareStep | Loss = key("What sticks to pan or mould: {loses: 2 %, where: mould}.", "left behind")
    macerate: Macerate = key("Steep: {solids: [damsons], for: 3 weeks, at: 20 C, as: pricked}.")
    strain: Strain | Nothing = key("Part solids and liquor: {holds: 8 %}, or nothing behind the colon.")
    heat: Heat = key("Cook: {how: simmer, for: 20 min, loses: 12 %}. Without a loss only alcohol leaves.")
    reduce: Reduce | Loss = key("Boil down: {leaves: 300 g}.")
    fry: Fry = key("Fry: {in: sunflower oil, takes_up: 8 %, loses: 20 %}.")
    add: Add | Lines = key("What joins later: 40 g brandy, or a list of amounts.")
    rest: Quiet | Text = key(_QUIET)
    chill: Quiet | Text = key(_QUIET)
    freeze: Quiet | Text = key(_QUIET)
    churn: Quiet | Text = key(_QUIET)
    whip: Quiet | Text = key(_QUIET)
    blend: Quiet | Text = key(_QUIET)
    mix: Quiet | Text = key(_QUIET)
    set: Quiet | Text = key(_QUIET)
    prove: Quiet | Text = key(_QUIET)


SomeLines = TypeAliasType("SomeLines", Annotated[list[Line], Field(min_length=1)] | Line)
Method = TypeAliasType("Method", list[Step | Sentence] | Step | Sentence)
