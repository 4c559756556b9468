"""Alcohol of one portion in the measures of daily life and of law: grams, millilitres, units, and the side of each threshold."""

from __future__ import annotations

from typing import TYPE_CHECKING

from labeller.foundations.plain import dataclass

if TYPE_CHECKING:  # an answer from the cache loads neither the kitchen nor the law
    from collections.abc import Iterable, Sequence
    from datetime import date

    from labeller.jurisdictions.in_force import LawInForce
    from labeller.jurisdictions.label_terms import AlcoholRule
    from labeller.jurisdictions.terms import Citation
    from labeller.kitchen.batch import Batch

Range = tuple[float, float, float]
"""Low, estimate, high."""

_BOUNDS = ("above", "at or above", "at most", "below")


@dataclass(frozen=True, slots=True)
class UnitCount:
    """How many units or standard drinks of one country there are in it.

    ``grams`` is the ethanol in one of them [g], ``counts`` how many: low, estimate, high.
    """

    jurisdiction: str
    name: str
    grams: float
    counts: Range
    clause: Citation


@dataclass(frozen=True, slots=True)
class ThresholdSide:
    """On which side of one threshold of law a strength falls.

    ``estimate`` and ``high`` are true where the rule is met: the duty applies, or the word may be used.
    """

    jurisdiction: str
    key: str
    kind: str
    bound: str
    percent_vol: float
    words: str
    estimate: bool
    high: bool
    clause: Citation

    def as_text(self) -> str:
        """Return one line: the threshold, and what falls on which side."""
        side = {True: "yes", False: "no"}
        if self.estimate == self.high:
            verdict = f"{side[self.estimate]} by the estimate and by the high end"
        else:
            verdict = f"{side[self.estimate]} by the estimate, {side[self.high]} by the high end"
        return f"{self.bound} {self.percent_vol:g} % vol: {verdict}"


@dataclass(frozen=True, slots=True)
class AlcoholFacts:
    """Alcohol of one portion, or of one batch.

    Attributes
    ----------
    ethanol_g, ethanol_ml : tuple of float
        Low, estimate, high. [g], [ml at 20 C]
    strength_percent_vol : tuple of float or None
        Of a liquid, else None. [% vol at 20 C]
    by_volume_percent : tuple of float
        Millilitres of ethanol in 100 ml of the whole, liquid or not; for a food that is no liquid an estimate from what its
        constituents take up, without the air in it. [ml/100 ml]
    """

    ethanol_g: Range
    ethanol_ml: Range
    strength_percent_vol: Range | None
    by_volume_percent: Range
    units: tuple[UnitCount, ...]
    thresholds: tuple[ThresholdSide, ...]


def every_law_on(day: date, first: LawInForce | None = None) -> tuple[LawInForce, ...]:
    """Return the law of every jurisdiction on file on one day, ``first`` at the head; those not yet in force are left out."""
    from labeller.jurisdictions.faults_of_law import NotInForceError  # noqa: PLC0415 - as above
    from labeller.jurisdictions.packs import known_jurisdictions, load_jurisdiction  # noqa: PLC0415 - as above

    found: list[LawInForce] = [first] if first is not None else []
    for code in known_jurisdictions():
        if first is not None and code == first.code:
            continue
        try:
            found.append(load_jurisdiction(code).in_force_on(day))
        except NotInForceError:
            continue
    return tuple(found)


def ethanol_ml(ethanol_g: float) -> float:
    """Return the volume of pure ethanol at 20 C. [ml]

    References
    ----------
    .. [1] OIML R 22 (1975): density of ethanol at 20 C, 0.78924 g/ml.
    """
    from labeller.foundations.ethanol_water import ETHANOL_DENSITY_20C  # noqa: PLC0415 - as above

    return ethanol_g / ETHANOL_DENSITY_20C


def alcohol_facts(batch: Batch, liquid: tuple[bool, ...], laws: Sequence[LawInForce]) -> AlcoholFacts:
    """Return what is to be said of the alcohol in a batch.

    Parameters
    ----------
    batch : Batch
        One portion, or a whole batch.
    liquid : tuple of bool
        ``Larder.liquid``: which ingredients pour.
    laws : sequence of LawInForce
        Laws whose units and thresholds are wanted, the one that matters most first.
    """
    from labeller.foundations.ethanol_water import strength_percent_vol  # noqa: PLC0415 - as above
    from labeller.kitchen import constituents as c  # noqa: PLC0415 - as above

    grams = c.ethanol_range_g(batch.rows) if len(batch.rows) else (0.0, 0.0, 0.0)
    sums = batch.rows.sum(axis=0)
    water = float(sums[c.WATER])
    solids = max(0.0, float(sums[c.MASS].sum() - sums[c.WATER] - sums[c.ETHANOL]))
    low, estimate, high = (strength_percent_vol(one, water, solids) for one in grams)
    by_volume = (low, estimate, high)
    return AlcoholFacts(
        grams,
        (ethanol_ml(grams[0]), ethanol_ml(grams[1]), ethanol_ml(grams[2])),
        by_volume if batch.is_liquid(liquid) else None,
        by_volume,
        units_of(grams, laws),
        thresholds_of(by_volume, laws),
    )


def units_of(grams: Range, laws: Iterable[LawInForce]) -> tuple[UnitCount, ...]:
    """Return the units and standard drinks that the packs define, as counts of these grams of ethanol."""
    found: list[UnitCount] = []
    for law in laws:
        for rule in _rules(law):
            if rule.kind == "unit" and rule.value and rule.unit == "g":
                low, estimate, high = (one / rule.value for one in grams)
                found.append(UnitCount(law.code, rule.words, rule.value, (low, estimate, high), rule.clause))
    return tuple(found)


def thresholds_of(percent_vol: Range, laws: Iterable[LawInForce]) -> tuple[ThresholdSide, ...]:
    """Return every threshold in % vol that the packs name, with the side the estimate and the high end fall on.

    Notes
    -----
    Compared after rounding to nine significant digits, as every limit of law here.
    """
    found: list[ThresholdSide] = []
    for law in laws:
        for rule in _rules(law):
            if rule.unit == "% vol" and rule.value is not None and rule.bound in _BOUNDS:
                estimate, high = (_meets(one, rule.bound, rule.value) for one in percent_vol[1:])
                found.append(
                    ThresholdSide(
                        law.code, rule.key, rule.kind, rule.bound, rule.value, rule.words, estimate, high, rule.clause
                    )
                )
    return tuple(found)


def _meets(value: float, bound: str, limit: float) -> bool:
    from labeller.declarations.rounding import as_compared  # noqa: PLC0415 - as above

    seen, edge = as_compared(value), as_compared(limit)
    if bound == "above":
        return seen > edge
    if bound == "at or above":
        return seen >= edge
    return seen <= edge if bound == "at most" else seen < edge


def _rules(law: LawInForce) -> list[AlcoholRule]:
    from labeller.jurisdictions.faults_of_law import NoSuchSubjectError, NotInForceError  # noqa: PLC0415 - as above

    try:
        return list(law.alcohol.values())
    except (NotInForceError, NoSuchSubjectError):
        return []
