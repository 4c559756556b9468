"""The net quantity of a pack: by weight, or by volume where it pours, in the units of its law, never rounded up."""

from dataclasses import dataclass
from math import floor

from labeller.declarations.declaring import Declaration, Declarer
from labeller.declarations.paper_phrases import phrase
from labeller.declarations.paper_use_by import given_of
from labeller.declarations.pouring import pours
from labeller.foundations.units import MASS_G

# One US fluid ounce: NIST Handbook 44 (2024), Appendix C.
_US_FLUID_OUNCE_ML = 29.5735295625


@dataclass(frozen=True, slots=True)
class NetQuantity:
    """A net quantity as printed. ``problem`` and ``mend`` say what to look at; without ``text`` there is none to print."""

    text: str
    grams: float | None
    problem: str = ""
    mend: str = ""


def net_quantity(declarer: Declarer, declaration: Declaration, net_g: float | None = None) -> NetQuantity:
    """Return the net quantity of one pack.

    Parameters
    ----------
    net_g : float, optional
        Weight in the pack. [g] Without it: one portion of a dish, one piece of a preparation that says how many it makes.

    Raises
    ------
    ValueError
        If ``net_g`` is not above 0.

    Notes
    -----
    Liquids go by volume and other food by weight (Regulation (EU) No 1169/2011, Article 23(1)). Whole grams or millilitres from 10
    on, below that a tenth, always downwards: a pack never holds less than it says. That step is our choice, no law read sets one.
    In the United States the customary unit stands first with the metric one in brackets (15 U.S.C. 1453(a)(2), from memory).
    """
    if net_g is not None and not net_g > 0.0:
        raise ValueError(f"{net_g!r} g is no weight of a pack. Write what is in it, such as 250.")
    problem = mend = ""
    grams = net_g
    if grams is None:
        grams = _worked_out_g(declarer, declaration)
        problem = "the weight is worked out from the recipe." if grams else "how much is in one pack is not known."
        mend = "Weigh a pack and give its weight in grams."
    if not grams or declaration.weight_g <= 0.0:
        return NetQuantity("", None, problem or "nothing is in it.", mend or "Look at the recipe.")
    customary = declaration.law.code == "us"
    if pours(declarer.workings, declaration):
        millilitres = declaration.batch.volume_ml() * grams / declaration.weight_g
        size = f"{down(millilitres)} ml"
        if customary:
            size = f"{down(millilitres / _US_FLUID_OUNCE_ML, fine=True)} fl oz ({size})"
        return NetQuantity(f"{phrase('net_volume')} {size}", grams, problem, mend)
    size = f"{down(grams)} g"
    if customary:
        size = f"{down(grams / MASS_G['oz'], fine=True)} oz ({size})"
    return NetQuantity(f"{phrase('net_weight')} {size}", grams, problem, mend)


def down(value: float, *, fine: bool = False) -> str:
    """Return a quantity rounded down: whole from 10 on unless ``fine``, else to a tenth."""
    if value >= 10.0 and not fine:
        return str(floor(value + 1e-9))
    tenths = floor(value * 10.0 + 1e-9)
    return f"{tenths / 10:.1f}".removesuffix(".0")


def _worked_out_g(declarer: Declarer, declaration: Declaration) -> float | None:
    if declaration.kind == "dish":
        return declaration.weight_g
    preparation, given = given_of(declarer.workings.book, declaration.name)
    pieces = given.makes or preparation.makes
    return declaration.weight_g / pieces if pieces else None
