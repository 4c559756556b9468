"""What the published criteria of the front of a pack say of a portion: energy, and fat, saturates, sugars and salt as low, medium or high.

It is voluntary and stands beside the whole declaration, never in its place.
"""

from typing import Literal

from labeller.declarations.daily_intake import daily_intake
from labeller.declarations.declaring import Declaration, Declarer
from labeller.declarations.panel_content import NOT_KNOWN, PanelRefusedError
from labeller.declarations.panel_rows import PanelWish, of_one_serving
from labeller.declarations.rounding import over_limit
from labeller.foundations.names import capitalised
from labeller.foundations.plain import dataclass
from labeller.jurisdictions.label_terms import FrontOfPackRule

Level = Literal["low", "medium", "high", "not known"]


@dataclass(frozen=True, slots=True)
class FrontLine:
    """One figure of a portion: its name, amount, percentage, and what the criteria call it."""

    key: str
    name: str
    amount: str
    percent: str
    level: Level


@dataclass(frozen=True, slots=True)
class FrontOfPack:
    """The front of a pack: energy per portion and per 100 g or 100 ml, four figures of a portion, the prescribed statement.

    ``kind`` tells whose criteria were taken, ``food`` or ``drink``.
    """

    name: str
    portion: str
    per: str
    energy_of_portion: str
    energy_percent: str
    energy_of_100: str
    lines: tuple[FrontLine, ...]
    statement: str
    kind: str
    declaration: Declaration

    @property
    def energy_known(self) -> bool:
        """Whether energy is known."""
        return NOT_KNOWN not in (self.energy_of_portion, self.energy_of_100)


def level_of(rule: FrontOfPackRule, per_100: float, per_portion: float, portion_size: float) -> Level:
    """Return what the criteria call a figure.

    Parameters
    ----------
    per_100 : float
        Amount in 100 g or 100 ml. [g]
    per_portion : float
        Amount in one portion. [g]
    portion_size : float
        The portion, in g for food and ml for drinks; only larger ones than the rule's are held to the bound of a portion.

    Notes
    -----
    Unrounded figures count, to nine significant digits: a figure that prints as 3.0 g and is more is not low.
    """
    large = over_limit(portion_size, rule.portion_above, limit_counts=False)
    if over_limit(per_100, rule.high_above, limit_counts=False):
        return "high"
    if large and over_limit(per_portion, rule.high_above_per_portion, limit_counts=False):
        return "high"
    return "medium" if over_limit(per_100, rule.low_up_to, limit_counts=False) else "low"


def front_of_pack(declarer: Declarer, declaration: Declaration, wish: PanelWish | None = None) -> FrontOfPack:
    """Return the front of a pack of one thing.

    Raises
    ------
    PanelRefusedError
        If the law has no such criteria, or nobody says what a portion is.
    """
    law = declaration.law
    rules = law.front_of_pack
    if not rules:
        raise PanelRefusedError(
            f"--colours: {law.title} has no criteria of low, medium and high on file. Leave --colours away, or write --jurisdiction gb."
        )
    serving, portion, printed_100 = of_one_serving(declarer, declaration, wish or PanelWish())
    kind = "drink" if serving.millilitres is not None else "food"
    size = serving.millilitres if serving.millilitres is not None else serving.grams
    percents = {one.key: f"{one.percent} %" for one in daily_intake(portion).per_portion}
    incomplete, sums = portion.figures.incomplete(), portion.figures.sums
    names = {line.key: line.label for line in law.nutrients}
    lines = []
    for rule in rules:
        if rule.kind != kind:
            continue
        key = rule.nutrient
        name = capitalised(names[key])
        printed = portion.declared_per_portion.get(key)
        if printed is None or key in incomplete:
            lines.append(FrontLine(key, name, NOT_KNOWN, "", "not known"))
            continue
        level = level_of(rule, sums[key] * 100.0 / size, sums[key], size)
        lines.append(FrontLine(key, name, f"{printed} g", percents.get(key, ""), level))
    statement = law.statements.get("reference_intake")
    words = law.panel["per 100 ml" if kind == "drink" else "per 100 g"].texts["en"]
    return FrontOfPack(
        declaration.name,
        serving.words(),
        words,
        _energy(portion.declared_per_portion),
        percents.get("energy_kj", ""),
        _energy(printed_100),
        tuple(lines),
        f"* {statement.texts['en']}" if statement is not None else "",
        kind,
        portion,
    )


def _energy(printed: dict[str, str]) -> str:
    if "energy_kj" not in printed or "energy_kcal" not in printed:
        return NOT_KNOWN
    return f"{printed['energy_kj']} kJ / {printed['energy_kcal']} kcal"
