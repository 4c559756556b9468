"""One rounding, at the end, by the rule the law names; ties go up.

A figure is turned into a decimal once, by its shortest text, and brought to nine significant digits, so that 0.1 + 0.2 and 0.3
stand on the same side of every limit. Everything after that is decimal.
"""

from collections.abc import Mapping
from decimal import ROUND_HALF_UP, Context, Decimal
from math import isfinite

from labeller.jurisdictions.terms import Band, RoundingRule

_NINE_DIGITS = Context(prec=9, rounding=ROUND_HALF_UP)
# Wide enough for any figure a label can carry; the default context would refuse to quantize beyond 28 digits.
_WIDE = Context(prec=60, rounding=ROUND_HALF_UP)


class NoRoundingRuleError(LookupError):
    """A figure is to be declared that this law has no rounding rule for."""

    def __init__(self, key: str, known: list[str]) -> None:
        self.key = key
        super().__init__(f"There is no rounding rule for '{key}'. Rules on file: {', '.join(known)}.")


def as_compared(value: float) -> Decimal:
    """Return a figure as every limit of law sees it: nine significant digits, ties away from zero.

    Parameters
    ----------
    value : float
        Any finite figure. [any]

    Raises
    ------
    ValueError
        If the figure is not finite: what is not known is never declared.
    """
    if not isfinite(value):
        raise ValueError(f"{value!r} is not a figure that can be declared. Leave it out and say that it is missing.")
    return _NINE_DIGITS.plus(Decimal(repr(float(value))))


def over_limit(value: float, limit: float, *, limit_counts: bool) -> bool:
    """Tell whether a figure is over a limit of law, the limit itself included where the law counts it.

    Parameters
    ----------
    value, limit : float
        In one unit, such as total SO2. [mg/kg]
    limit_counts : bool
        True where the limit itself is already over.
    """
    seen, bound = as_compared(value), as_compared(limit)
    return seen >= bound if limit_counts else seen > bound


def round_declared(rules: Mapping[str, RoundingRule], key: str, value: float, *, instead: bool = False) -> str:
    """Return a figure as the law wants it printed, without its unit.

    Parameters
    ----------
    rules : mapping of str to RoundingRule
        ``LawInForce.rounding``.
    key : str
        Figure to be rounded, such as ``fat_g``.
    value : float
        Unrounded figure in the unit of the key; at least 0. [unit of the key]
    instead : bool
        True for the law's other wording where it allows one (``<0.5`` for 0).

    Raises
    ------
    NoRoundingRuleError
        If the law on file has no rule for the key.
    ValueError
        If the figure is negative or not finite.

    Notes
    -----
    The band is chosen by the unrounded figure. Where rounding lifts it into the next band it is printed as that band prints it,
    so 9.96 g is 10 g and not 10.0 g.
    """
    rule = rules.get(key)
    if rule is None:
        raise NoRoundingRuleError(key, sorted(rules))
    seen = as_compared(value)
    if seen < 0:
        raise ValueError(
            f"{key}: {value!r} is below 0; a declared figure is not. Look for the mistake where it was worked out."
        )
    band = _band_of(rule, seen)
    if instead and band.instead:
        return band.instead
    if band.show:
        return band.show
    rounded = _rounded(band, seen)
    reached = _band_of(rule, rounded)
    # Only upwards: a figure just above the zero limit keeps its own rounding (0.51 g is 0.5 g, not 0).
    if reached is not band and rounded > seen and not reached.show and _rounded(reached, rounded) == rounded:
        rounded = _rounded(reached, rounded)
    return _printed(rounded, rule.zeros)


def _band_of(rule: RoundingRule, seen: Decimal) -> Band:
    for band in rule.bands:
        if band.up_to:
            if seen <= Decimal(band.up_to):
                return band
        elif band.below:
            if seen < Decimal(band.below):
                return band
        else:
            return band
    return rule.bands[-1]


def _rounded(band: Band, seen: Decimal) -> Decimal:
    if band.significant:
        # Adjusted again after rounding up to a new digit: 9.996 to three figures is 10.0.
        step = Decimal((0, (1,), _exponent(seen) - band.significant + 1))
        once = seen.quantize(step, context=_WIDE)
        return once.quantize(Decimal((0, (1,), _exponent(once) - band.significant + 1)), context=_WIDE)
    step = Decimal(band.nearest)
    times = (seen / step).quantize(Decimal(1), context=_WIDE)
    return times * step


def _exponent(seen: Decimal) -> int:
    return seen.adjusted() if seen else 0


def _printed(rounded: Decimal, zeros: str) -> str:
    text = format(rounded, "f")
    if "." in text and (zeros == "dropped" or not rounded):
        text = text.rstrip("0").rstrip(".")
    return text
