"""What a kitchen book holds, as plain immutable values; every one knows where it was written."""

from datetime import date
from typing import Literal

from labeller.foundations.faults import Origin
from labeller.foundations.plain import dataclass, field
from labeller.foundations.quantities import Quantity

LineUnit = Literal["mass", "volume", "small", "piece", "trade piece", "measure", "share", "to taste", "to cover"]
Measure = tuple[float, Literal["g", "ml"]]


@dataclass(frozen=True, slots=True)
class Equipment:
    """Shared equipment of the kitchen; only ``cleaned`` and ``checked`` together stop it passing anything on."""

    name: str
    origin: Origin
    cleaned: str = ""
    checked: str = ""
    carries_mg_per_kg: float | None = None

    @property
    def passes_on(self) -> bool:
        """Tell whether what one batch contains may reach the next."""
        return not (self.cleaned and self.checked)


@dataclass(frozen=True, slots=True)
class Kitchen:
    """The kitchen entry: name, law, language, house measures and shared equipment."""

    name: str
    jurisdiction: str
    origin: Origin
    language: str = "en"
    address: str = ""
    measures: dict[str, Measure] = field(default_factory=dict)
    shared_equipment: tuple[Equipment, ...] = ()
    spec_review_days: int = 365


@dataclass(frozen=True, slots=True)
class Spec:
    """A supplier's specification as filed. ``may_contain`` is None where the cook wrote none."""

    origin: Origin
    supplier: str = ""
    reference: str = ""
    dated: date | None = None
    statement: str | None = None
    may_contain: tuple[str, ...] | None = None
    declares: tuple[str, ...] | None = None
    covers_all: bool = False


@dataclass(frozen=True, slots=True)
class Ingredient:
    """Something bought in, from the book or from the shelf.

    ``per_100_g`` holds the pack's figures by their keys; ``shelf_allergens`` what a shelf good is known to hold, as
    (source, derivation), None in a book's own entries.
    """

    name: str
    origin: Origin
    also: tuple[str, ...] = ()
    composition: str = ""
    per_100_g: dict[str, float] = field(default_factory=dict)
    density_g_per_ml: float | None = None
    piece_g: float | None = None
    measures: dict[str, Measure] = field(default_factory=dict)
    strength_percent_vol: float | None = None
    sulphites_mg_per_kg: float | None = None
    made_on: tuple[str, ...] = ()
    spec: Spec | None = None
    keeps: str = ""
    matched: str = ""
    from_shelf: bool = False
    shelf_allergens: tuple[tuple[str, str], ...] | None = None
    shelf_unconfirmed: tuple[str, ...] = ()
    ground: str = ""
    provenance: str = ""


@dataclass(frozen=True, slots=True)
class Target:
    """What a name in a line stands for: an ingredient, or one thing a preparation gives.

    ``given`` is empty where a preparation is named that gives only parts of other names.
    """

    kind: Literal["ingredient", "given"]
    entry: str
    given: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """One amount of a recipe.

    ``target`` is what the name stands for; ``unit`` says how the quantity counts, ``unit_word`` how the cook wrote it. ``quantity`` is in the unit's own size: grams for mass, millilitres for volume,
    pieces, measures or shares of a batch else.
    """

    text: str
    origin: Origin
    name: str
    quantity: Quantity
    unit: LineUnit
    unit_word: str = ""
    target: Target | None = None
    remark: str = ""
    removed: bool = False
    optional: bool = False
    swaps: "tuple[Line, ...]" = ()


@dataclass(frozen=True, slots=True)
class Loss:
    """What a step loses or leaves: a share of the weight, grams lost, or grams left."""

    kind: Literal["share", "loses_g", "leaves_g"]
    quantity: Quantity
    text: str


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a method. ``what`` and ``solids`` are names of lines, or 'solids' / 'liquor'."""

    kind: str
    origin: Origin
    text: str
    what: tuple[str, ...] = ()
    solids: tuple[str, ...] = ()
    loss: Loss | None = None
    where: str = ""
    minutes: float | None = None
    celsius: float | None = None
    how: str = ""
    as_: str = ""
    holds: float | None = None
    oil: str = ""
    oil_target: Target | None = None
    takes_up: float | None = None
    covered: bool = False
    overnight: bool = False
    lines: tuple[Line, ...] = ()


@dataclass(frozen=True, slots=True)
class Given:
    """One thing a preparation gives: the whole pan, or a part of it."""

    name: str
    origin: Origin
    part: Literal["pan", "solids", "liquor"] = "pan"
    weighs: Quantity | None = None
    keeps: str = ""
    measures: dict[str, Measure] = field(default_factory=dict)
    makes: float | None = None
    density_g_per_ml: float | None = None


@dataclass(frozen=True, slots=True)
class Preparation:
    """Something made in house. ``gives_weight`` is the weight on the scale where the book gives one."""

    name: str
    origin: Origin
    takes: tuple[Line, ...] = ()
    method: tuple[Step, ...] = ()
    gives: tuple[Given, ...] = ()
    gives_weight: Quantity | None = None
    gives_origin: Origin | None = None
    made_on: tuple[str, ...] = ()
    keeps: str = ""
    makes: float | None = None
    measures: dict[str, Measure] = field(default_factory=dict)
    density_g_per_ml: float | None = None
    piece_g: float | None = None
    storage: str = ""
    reheat: str = ""
    also: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Dish:
    """What is sold: the plate stands for ``serves`` portions."""

    name: str
    origin: Origin
    plate: tuple[Line, ...] = ()
    serves: float = 1.0
    description: str = ""
    course: str = ""
    suitable_for: tuple[str, ...] = ()
    reheat: str = ""
    keeps: str = ""


@dataclass(frozen=True, slots=True)
class Menu:
    """A menu: its sections in the order written, each with the names of its dishes."""

    name: str
    origin: Origin
    sections: tuple[tuple[str, tuple[str, ...]], ...] = ()


@dataclass(frozen=True, slots=True)
class Book:
    """A whole book, read and resolved.

    Ingredients and preparations are keyed by their own names, in the order of their names; ``targets`` maps both the exact
    and the singular-or-plural key of every name to what it stands for.
    """

    kitchen: Kitchen
    ingredients: dict[str, Ingredient]
    preparations: dict[str, Preparation]
    dishes: dict[str, Dish]
    menus: dict[str, Menu]
    targets: dict[str, Target]
