"""The pan: the lines of a preparation while it is being made, what has been strained apart, and where everything went."""

import numpy as np

from labeller.foundations.faults import Origin
from labeller.foundations.names import name_key, nearest_names
from labeller.foundations.plain import dataclass, field
from labeller.kitchen import constituents as c
from labeller.kitchen.constituents import Floats

HEAT_KINDS = ("bake", "simmer", "boil", "hold", "stir in", "flame", "reduce", "fry")
# Behind the six columns a batch keeps, each kind has two for this preparation alone: its minutes and its factor.
PAN_HEAT_COLUMNS = c.HEAT_COLUMNS + 2 * len(HEAT_KINDS)


class StepRefusedError(Exception):
    """A step that cannot be done as written; the message is the problem, ``mend`` what to do."""

    def __init__(self, problem: str, mend: str, field: str = "") -> None:
        super().__init__(problem)
        self.problem, self.mend, self.field = problem, mend, field


@dataclass(slots=True)
class Part:
    """One line in the pan, or what became of it: rows of ingredients with their heating."""

    label: str
    keys: frozenset[str]
    ids: np.ndarray
    rows: Floats
    heat: Floats
    ghost: bool = False  # a removed line: its evidence is there, its weight is not
    put_in_g: float = 0.0  # what it weighed going in, less what was trimmed, baked or fried off it

    @property
    def weight_g(self) -> float:
        """Weight. [g]"""
        return c.weight_g(self.rows)


@dataclass(frozen=True, slots=True)
class Event:
    """What one step did, for the story a cook can follow."""

    origin: Origin
    kind: str
    text: str
    sentence: str
    before_g: float
    after_g: float
    ethanol_before: tuple[float, float, float]
    ethanol_after: tuple[float, float, float]


@dataclass(slots=True)
class Pan:
    """Everything on the bench while a method runs.

    ``main`` is the whole pan, after a strain the liquor; ``steeping`` names the parts a macerate made solids,
    ``joined`` what the last 'add' brought.
    """

    main: list[Part] = field(default_factory=list)
    solids: list[Part] = field(default_factory=list)
    strained: bool = False
    heated: bool = False
    steeping: list[Part] = field(default_factory=list)
    joined: list[Part] = field(default_factory=list)
    sinks: dict[str, Floats] = field(default_factory=dict)
    taken_up_g: float = 0.0
    story: list[Event] = field(default_factory=list)
    removed_keys: set[str] = field(default_factory=set)

    def everything(self) -> list[Part]:
        """Return all parts, strained solids too."""
        return [*self.main, *self.solids]

    def send(self, sink: str, rows: Floats) -> None:
        """Let rows leave for a named sink; their sum is kept, so that mass adds up."""
        gone = rows.sum(axis=0)
        self.sinks[sink] = self.sinks[sink] + gone if sink in self.sinks else gone

    def select(self, what: tuple[str, ...], field: str = "what") -> list[Part]:
        """Return the parts a step acts on: the pan, 'solids', 'liquor', or the lines named.

        ``field`` is the key the names stand under, for the fault.

        Raises
        ------
        StepRefusedError
            Where a name is not in the pan.
        """
        if not what:
            return self.main
        found: list[Part] = []
        for name in what:
            key = name_key(name)
            if key == name_key("solids"):
                if not self.strained:
                    raise StepRefusedError(
                        "nothing has been strained yet, so there are no solids.",
                        "Strain first, or name the lines.",
                        field,
                    )
                chosen = self.solids
            elif key == name_key("liquor"):
                if not self.strained:
                    raise StepRefusedError(
                        "nothing has been strained yet, so there is no liquor.",
                        "Strain first, or leave 'what' out.",
                        field,
                    )
                chosen = self.main
            else:
                chosen = [part for part in self.everything() if key in part.keys and not part.ghost]
                if not chosen and not any(key in part.keys for part in self.everything()):
                    self._refuse(name, field)
            found.extend(part for part in chosen if not any(part is other for other in found))
        return found

    def _refuse(self, name: str, field: str) -> None:
        labels = [part.label for part in self.everything()]
        near = nearest_names(name, labels)
        mend = f"Write '{near[0]}'." if near else f"Write one of the lines: {', '.join(labels)}."
        raise StepRefusedError(f"'{name}' is not in the pan.", mend, field)


def total_weight_g(parts: list[Part]) -> float:
    """Return the weight of parts. [g]"""
    return sum(part.weight_g for part in parts)


def total_rows(parts: list[Part]) -> Floats:
    """Return the sum of parts, one row of constituents."""
    return np.sum([part.rows.sum(axis=0) for part in parts], axis=0) if parts else np.zeros(c.COLUMNS)


def total_range(parts: list[Part]) -> tuple[float, float, float]:
    """Return low, estimate and high of the ethanol in parts. [g]"""
    return c.ethanol_range_g(total_rows(parts)[None, :])


def pan_heat(heat: Floats) -> Floats:
    """Widen a batch's heating for one preparation: minutes 0 and factor 1 of every kind."""
    wide = np.zeros((len(heat), PAN_HEAT_COLUMNS))
    wide[:, : c.HEAT_COLUMNS] = heat
    wide[:, c.HEAT_COLUMNS + 1 :: 2] = 1.0
    return wide
