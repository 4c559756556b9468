"""The form that law takes on file. Used when data are compiled and tested, never on the way to an answer.

Each subject is one file of dated rows. A row has a key, a first day, a law and a place in it, and says whether its text was
read. A later row of the same key takes over on its first day; ``repealed: true`` ends a key.
"""

from datetime import date
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

Text = Annotated[str, Field(min_length=1)]
Texts = tuple[Text, ...]
Decimals = Annotated[str, Field(pattern=r"^(\d+(\.\d+)?)?$")]
Offer = Literal["loose", "prepacked for direct sale", "prepacked", "menu", "distance"]
Basis = Literal["per_100_g", "per_portion"]


class Frozen(BaseModel):
    """Immutable; a key that is not known is refused."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Law(Frozen):
    """A law or official guidance: its title, its official address, the day it was read."""

    title: Text
    url: Annotated[str, Field(pattern=r"^https://\S+$")]
    read_on: date


class Row(Frozen):
    """What every value of law carries."""

    key: Text
    applies_from: date
    law: Text
    clause: Text
    confirmed: bool
    ground: str = ""
    memory: bool = False
    repealed: bool = False
    note: str = ""

    @model_validator(mode="after")
    def _ground_is_given(self) -> "Row":
        if not self.confirmed and not self.ground:
            raise ValueError("a row that is not confirmed says what it rests on: write ground")
        if self.confirmed and self.memory:
            raise ValueError("a row from memory is not confirmed: write confirmed: false")
        return self


class GroupRow(Row):
    """An allergen group."""

    title: Text
    kinds: Texts = ()
    sources: Texts = ()
    open_sources: Texts = ()
    examples: Texts
    species_named: bool = False

    @model_validator(mode="after")
    def _has_members(self) -> "GroupRow":
        if not self.kinds and not self.sources:
            raise ValueError("a group needs kinds or sources")
        return self


class NameRow(Row):
    """Names of a source, or of any source of a kind (key ``any fish``)."""

    names: Texts = ()
    group_word: str = ""
    in_contains: Texts = ()
    required: bool = True


class ExemptionRow(Row):
    """A derivation that need not be declared."""

    derivations: Annotated[Texts, Field(min_length=1)]
    sources: Texts = ()
    kinds: Texts = ()
    condition: Text
    needs_proof: bool = False


class SulphiteRow(Row):
    """The sulphite limit."""

    key: Literal["limit"]
    value: float
    unit: Literal["mg/kg"]
    limit_counts: bool


class DefinitionRow(Row):
    """What a word of the nutrition panel means."""

    value: Text
    words: Text


class NutrientRow(Row):
    """A line of the nutrition declaration."""

    label: Text
    unit: Text
    indent: Annotated[int, Field(ge=0, le=2)] = 0
    offers: Annotated[tuple[Offer, ...], Field(min_length=1)]
    mandatory_for: tuple[Offer, ...] = ()
    basis: Annotated[tuple[Basis, ...], Field(min_length=1)]


class EnergyRow(Row):
    """An energy factor, or the method (key ``method``)."""

    kj: float | None = None
    kcal: float | None = None
    energy_from: Literal["each", "kcal", "kj"] | None = None
    kj_per_kcal: Annotated[float, Field(gt=0)] | None = None

    @model_validator(mode="after")
    def _is_factor_or_method(self) -> "EnergyRow":
        factor = self.kj is not None or self.kcal is not None
        if factor == (self.key == "method") or (self.energy_from is None) == (self.key == "method"):
            raise ValueError("a factor gives kj, kcal or both, the row 'method' gives energy_from")
        return self


class BandForm(Frozen):
    """One step of a rounding rule; exactly one outcome."""

    up_to: Decimals = ""
    below: Decimals = ""
    nearest: Decimals = ""
    significant: Annotated[int, Field(ge=0, le=9)] = 0
    show: str = ""
    instead: str = ""

    @model_validator(mode="after")
    def _one_bound_one_outcome(self) -> "BandForm":
        if self.up_to and self.below:
            raise ValueError("a band has up_to or below, not both")
        if sum((bool(self.nearest), bool(self.significant), bool(self.show))) != 1:
            raise ValueError("a band gives one of nearest, significant, show")
        return self


class RoundingRow(Row):
    """A rounding rule."""

    unit: Text
    bands: Annotated[tuple[BandForm, ...], Field(min_length=1)]
    zeros: Literal["kept", "dropped"] = "kept"

    @model_validator(mode="after")
    def _bands_rise_to_no_bound(self) -> "RoundingRow":
        bounds = [band.up_to or band.below for band in self.bands]
        if bounds[-1] or not all(bounds[:-1]):
            raise ValueError("every band but the last has a bound, the last has none")
        figures = [float(bound) for bound in bounds[:-1]]
        if figures != sorted(figures):
            raise ValueError("bands rise")
        return self


class IntakeRow(Row):
    """A reference intake or Daily Value."""

    value: float
    unit: Text
    percent: Literal["shown", "optional", "never"] = "optional"
    together_with: str = ""


class ToleranceBandForm(Frozen):
    """One step of a tolerance."""

    up_to: Decimals = ""
    below: Decimals = ""
    plus: float | None = None
    minus: float | None = None
    percent: bool = False


class ToleranceRow(Row):
    """The tolerance of one figure."""

    unit: Text
    bands: Annotated[tuple[ToleranceBandForm, ...], Field(min_length=1)]
    from_interval: bool = False


class AlcoholRow(Row):
    """A threshold or a word about alcohol."""

    kind: Literal["unit", "word", "duty", "outside"]
    bound: Literal["", "above", "at or above", "at most", "below"] = ""
    value: float | None = None
    unit: Literal["", "% vol", "g", "ml", "l/kg"] = ""
    words: Text


class LetterRow(Row):
    """A least letter size."""

    what: Text
    measure: Literal["x_height_mm", "letter_height_mm", "point"]
    least: float
    face_at_least_cm2: float | None = None
    face_below_cm2: float | None = None
    bold: Literal["", "required", "forbidden"] = ""


class OfferRow(Row):
    """What an offer needs."""

    key: Offer
    needs: Texts
    allergens: Literal["in the list", "written", "written or spoken with a notice", "on request", "not required"]
    nutrition: Literal["required", "voluntary", "exempt"]
    notes: str = ""


class ListRow(Row):
    """A rule of the list of ingredients."""

    percent: Annotated[float, Field(ge=0, le=100)] | None = None
    counts: bool = False
    words: Text
    phrase: dict[Annotated[str, Field(pattern=r"^[a-z]{2}$")], Text] = {}
    classes: Texts = ()


class EmphasisRow(Row):
    """How allergens stand out."""

    key: Literal["allergens"]
    where: Literal["list", "contains", "both"]
    style: Literal["any", "bold", "none"]
    contains_line: Literal["only without a list", "optional", "required"]
    contains_word: Text
    required: bool


class StatementRow(Row):
    """Words prescribed or recommended."""

    texts: dict[Annotated[str, Field(pattern=r"^[a-z]{2}$")], Text]
    when: Text
    prescribed: bool = True


class PanelRow(Row):
    """How the nutrition declaration is drawn: words by language, ``{...}`` for what is put in; a choice, the first one ours; a measure in points."""

    texts: dict[Annotated[str, Field(pattern=r"^[a-z]{2}$")], Text] = {}
    choices: Texts = ()
    points: Annotated[float, Field(gt=0)] | None = None

    @model_validator(mode="after")
    def _says_something(self) -> "PanelRow":
        if sum((bool(self.texts), bool(self.choices), self.points is not None)) != 1:
            raise ValueError("a row of the panel gives one of texts, choices, points")
        return self


class FrontOfPackRow(Row):
    """From where a figure is called low, medium or high, of food or of drink; by portions above a size another bound for high."""

    nutrient: Text
    kind: Literal["food", "drink"]
    low_up_to: Annotated[float, Field(gt=0)]
    high_above: Annotated[float, Field(gt=0)]
    high_above_per_portion: Annotated[float, Field(gt=0)]
    portion_above: Annotated[float, Field(gt=0)]

    @model_validator(mode="after")
    def _bounds_rise(self) -> "FrontOfPackRow":
        if self.low_up_to >= self.high_above:
            raise ValueError("the bound of low lies below that of high")
        return self


class CoverageRow(Frozen):
    """How complete a subject is."""

    status: Literal["whole", "partial", "unconfirmed"]
    note: Text


ROWS: dict[str, type[Row]] = {
    "groups": GroupRow,
    "names": NameRow,
    "exemptions": ExemptionRow,
    "sulphites": SulphiteRow,
    "definitions": DefinitionRow,
    "nutrients": NutrientRow,
    "energy_factors": EnergyRow,
    "rounding": RoundingRow,
    "intakes": IntakeRow,
    "tolerances": ToleranceRow,
    "alcohol": AlcoholRow,
    "letters": LetterRow,
    "offers": OfferRow,
    "lists": ListRow,
    "emphasis": EmphasisRow,
    "statements": StatementRow,
}
# What a law may be without: it is then drawn as our plain table, or has no such criteria.
MORE_ROWS: dict[str, type[Row]] = {"panel": PanelRow, "front_of_pack": FrontOfPackRow}


def as_compiled(row: Row) -> dict[str, Any]:
    """Return a row as plain JSON values, defaults left out so that the compiled form stays small."""
    return row.model_dump(mode="json", exclude_defaults=True) | {"confirmed": row.confirmed}
