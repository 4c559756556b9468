"""How far from its printed figure a food may lie: the range the law or its guidance allows."""

from collections.abc import Mapping
from decimal import Decimal
from typing import NamedTuple

from labeller.declarations.rounding import round_declared
from labeller.jurisdictions.label_terms import Tolerance, ToleranceBand
from labeller.jurisdictions.terms import Citation, RoundingRule


class AllowedRange(NamedTuple):
    """The range of one printed figure, in the figure's unit.

    ``low`` and ``high`` are None where that side is free; ``clause`` says by what rule.
    """

    key: str
    printed: str
    low: float | None
    high: float | None
    clause: Citation

    def holds(self, value: float) -> bool:
        """Tell whether a figure lies inside."""
        return (self.low is None or value >= self.low) and (self.high is None or value <= self.high)


def allowed_range(
    tolerances: Mapping[str, Tolerance], rounding: Mapping[str, RoundingRule], key: str, value: float
) -> AllowedRange | None:
    """Return the range around the figure that will be printed, None where the law sets none.

    Parameters
    ----------
    tolerances, rounding : mapping
        ``LawInForce.tolerances`` and ``LawInForce.rounding``.
    key : str
        Figure, such as ``protein_g``.
    value : float
        The unrounded figure, per 100 g or per serving as the law counts. [unit of the key]

    Notes
    -----
    European guidance of December 2012: take every figure that prints alike, to one more digit (6.35 to 6.44 g for 6.4 g of
    protein); take the tolerance from its lower end and add it to its upper; round both ends by the rounding rules (4.4 to 8.4 g).
    Elsewhere the range is laid around the printed figure (21 CFR 101.9(g): at least 80 %, at most 120 % of the label).
    """
    rule = tolerances.get(key)
    if rule is None or key not in rounding:
        return None
    printed = round_declared(rounding, key, value)
    shown = Decimal(printed) if _is_figure(printed) else Decimal(0)
    band = _band_of(rule, shown)
    if band is None or (band.plus is None and band.minus is None):
        return None
    low, high = _ends(rounding[key], printed, shown) if rule.from_interval else (shown, shown)
    least = None if band.minus is None else max(Decimal(0), low - _share(band.minus, low, percent=band.percent))
    most = None if band.plus is None else high + _share(band.plus, high, percent=band.percent)
    if rule.from_interval:
        least, most = (None if end is None else _rounded(rounding, key, end) for end in (least, most))
    return AllowedRange(
        key, printed, None if least is None else float(least), None if most is None else float(most), rule.clause
    )


def _is_figure(printed: str) -> bool:
    return printed.replace(".", "", 1).isdigit()


def _band_of(rule: Tolerance, shown: Decimal) -> ToleranceBand | None:
    for band in rule.bands:
        if band.below and shown >= Decimal(band.below):
            continue
        if band.up_to and shown > Decimal(band.up_to):
            continue
        return band
    return None


def _ends(rule: RoundingRule, printed: str, shown: Decimal) -> tuple[Decimal, Decimal]:
    """Return the least and the greatest figure, to one more digit, that print as this one does."""
    lowest = rule.bands[0]
    if lowest.show == printed:
        return Decimal(0), Decimal(lowest.up_to or lowest.below)
    step = Decimal((0, (1,), int(shown.as_tuple().exponent)))
    return shown - step / 2, shown + step / 2 - step / 10


def _share(amount: float, end: Decimal, *, percent: bool) -> Decimal:
    size = Decimal(repr(amount))
    return end * size / 100 if percent else size


def _rounded(rounding: Mapping[str, RoundingRule], key: str, end: Decimal) -> Decimal:
    text = round_declared(rounding, key, float(end))
    return Decimal(text) if _is_figure(text) else end
