"""Take the figures of a pack as typed: commas and points, units beside them, '<0.5', per 100 g, per 100 ml or per serving."""

import re
from collections.abc import Mapping
from typing import Final

from labeller.foundations.plain import dataclass, field, replace
from labeller.foundations.quantities import parse_number

GRAMS: Final = (
    "fat_g", "saturates_g", "carbohydrate_g", "sugars_g", "polyols_g", "fibre_g", "protein_g", "salt_g",
)  # fmt: skip
OTHER: Final = ("energy_kj", "energy_kcal", "sodium_mg")
FIGURES: Final = ("energy_kj", "energy_kcal", *GRAMS, "sodium_mg")
KJ_PER_KCAL: Final = 4.184
"""Thermochemical kilocalorie, exact [kJ/kcal]; ISO 80000-5:2019, annex."""
SALT_PER_SODIUM: Final = 2.5
"""Salt counted from sodium [g/g]; Regulation (EU) No 1169/2011, Annex I, 11."""
SPOKEN: Final = {
    "energy_kj": "energy in kJ",
    "energy_kcal": "energy in kcal",
    "fat_g": "fat",
    "saturates_g": "saturates",
    "carbohydrate_g": "carbohydrate",
    "sugars_g": "sugars",
    "polyols_g": "polyols",
    "fibre_g": "fibre",
    "protein_g": "protein",
    "salt_g": "salt",
    "sodium_mg": "sodium in mg",
}
_NUMBER: Final = re.compile(
    r"(?P<below><|less than |under |max\.? ?)?\s*(?P<number>[-−]?[0-9][0-9.,]*)\s*(?P<unit>g|mg|kj|kcal|cal|calories)?\.?",
    re.IGNORECASE,
)
_NOTHING: Final = frozenset({"nil", "none", "zero"})
_THOUSANDS: Final = re.compile(r"\d{1,3}(?:[,.]\d{3})+")
_PER: Final = re.compile(
    r"(?:per\s+)?(?:(?P<serving>serving|portion|piece|slice|bar)\s*(?:of|=|:|\()?\s*)?(?P<number>\d[\d.,]*)\s*(?P<unit>g|ml)\)?",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Typed:
    """One figure as typed and as read; ``said`` tells what was read otherwise than it stands."""

    text: str
    value: float
    said: str = ""


@dataclass(frozen=True, slots=True)
class Basis:
    """What the figures are for: an amount in g or ml; ``serving`` where it is no hundred."""

    amount: float = 100.0
    unit: str = "g"

    @property
    def serving(self) -> bool:
        """Whether it is a portion and no hundred."""
        return self.amount != 100.0

    def as_text(self) -> str:
        """Return it as people write it."""
        return f"{self.amount:g} {self.unit}"


@dataclass(frozen=True, slots=True)
class Refusal:
    """A figure that cannot be read: the field, what is wrong, and the mend."""

    field: str
    problem: str
    mend: str


@dataclass(slots=True)
class Panel:
    """The figures of a pack by key, per 100 g, with what was said of each as it was read, and what could not be."""

    figures: dict[str, float] = field(default_factory=dict)
    said: list[str] = field(default_factory=list)
    refusals: list[Refusal] = field(default_factory=list)


def parse_basis(text: str) -> Basis | None:
    """Return what figures are for (``100 g``, ``100 ml``, ``serving of 30 g``), None where it is not said in g or ml."""
    found = _PER.fullmatch(text.strip())
    value = parse_number(found["number"]) if found else None
    if found is None or value is None or not 0.0 < value <= 5000.0:
        return None
    return Basis(value, found["unit"].lower())


def parse_figure(key: str, text: str) -> Typed | Refusal:
    """Read one figure of a pack.

    Parameters
    ----------
    key : str
        Which figure, as in `FIGURES`; its unit ends it.
    text : str
        As typed: ``1,884 kJ``, ``0,5``, ``<0.5 g``.

    Notes
    -----
    Three digits behind a comma are thousands in energy and milligrams and decimals in grams, where thousands cannot be.
    '<0.5' is read as 0.5, the most it can be.
    """
    shown = " ".join(text.split())
    if shown.casefold() in _NOTHING:
        return Typed(shown, 0.0)
    if shown.casefold() in ("trace", "traces", "tr"):
        return Typed(shown, 0.0, f"{SPOKEN[key]}: '{shown}' read as 0")
    found = _NUMBER.fullmatch(shown)
    number = found["number"] if found else ""
    if found is None or number.count("-") > 1:
        return Refusal(
            key, f"'{shown}' is not a figure.", f"Write the {SPOKEN[key]} as the pack prints it, such as '2.6'."
        )
    if number[:1] in "-−":
        return Refusal(key, f"'{shown}' is below nothing.", f"Write the {SPOKEN[key]} as the pack prints it.")
    said = ""
    if _THOUSANDS.fullmatch(number) and key in OTHER:
        value: float | None = float(re.sub(r"[,.]", "", number))
        said = f"{SPOKEN[key]}: '{number}' read as {value:g}"
    else:
        value = parse_number(number)
    if value is None:
        return Refusal(key, f"'{shown}' is not one number.", "Write it with one point or comma, such as '2.6'.")
    if found["below"]:
        said = f"{SPOKEN[key]}: '{shown}' read as {value:g}, the most it can be"
    return _in_unit(key, shown, value, (found["unit"] or "").lower(), said)


def _in_unit(key: str, shown: str, value: float, unit: str, said: str) -> Typed | Refusal:
    own = key.rsplit("_", maxsplit=1)[1]
    unit = {"cal": "kcal", "calories": "kcal"}.get(unit, unit)
    if not unit or unit == own:
        return Typed(shown, value, said)
    factors = {("mg", "g"): 0.001, ("g", "mg"): 1000.0, ("kcal", "kj"): KJ_PER_KCAL, ("kj", "kcal"): 1.0 / KJ_PER_KCAL}
    factor = factors.get((unit, own))
    if factor is None:
        return Refusal(key, f"'{shown}' is in {unit}, and {SPOKEN[key]} is not.", f"Write it in {own}.")
    return Typed(shown, value * factor, f"{SPOKEN[key]}: '{shown}' is {value * factor:.6g} {own}")


def read_panel(texts: Mapping[str, str], basis: Basis, density_g_per_ml: float | None = None) -> Panel:
    """Read the figures of a pack and bring them to 100 g.

    Parameters
    ----------
    texts : mapping
        Key of each figure to what was typed.
    basis : Basis
        What they are for.
    density_g_per_ml : float, optional
        Needed where the figures are for millilitres. [g/ml]
    """
    panel = Panel()
    scale = 100.0 / basis.amount
    if basis.unit == "ml":
        if density_g_per_ml is None:
            mend = "Weigh 100 ml of it and give the density, such as '1.03 g/ml'."
            panel.refusals.append(
                Refusal("per", f"the figures are for {basis.as_text()}, and a book counts by weight.", mend)
            )
            return panel
        scale /= density_g_per_ml
    for key in FIGURES:
        text = texts.get(key, "")
        if not text.strip():
            continue
        read = parse_figure(key, text)
        if isinstance(read, Refusal):
            panel.refusals.append(read)
            continue
        if read.said:
            panel.said.append(read.said)
        value = float(f"{read.value * scale:.4g}") if scale != 1.0 else read.value
        if key in GRAMS and value > 100.0:
            problem = (
                f"'{read.text}' for {basis.as_text()} is {value:g} g in 100 g."
                if scale != 1.0
                else f"'{read.text}' is more than 100 g in 100 g."
            )
            panel.refusals.append(Refusal(key, problem, _over(key, value)))
            continue
        panel.figures[key] = value
    if scale != 1.0 and panel.figures:
        panel.said.append(f"figures for {basis.as_text()} brought to 100 g")
    return panel


def _over(key: str, value: float) -> str:
    if key == "salt_g":
        return f"Is it sodium in mg? Then write 'sodium: {value:g}'; salt is sodium x 2.5."
    return "Write the figure for 100 g; is it in mg, or has a decimal point been left out?"


def as_printed_by(panel: Panel, *, pack_with_fibre: bool, book_with_fibre: bool) -> Panel:
    """Return the figures by the book's definitions where the pack is printed by another law's.

    Parameters
    ----------
    panel : Panel
        As the pack prints them.
    pack_with_fibre, book_with_fibre : bool
        Whether carbohydrate holds the fibre by the law of the pack, and by that of the book (21 CFR 101.9(c)(6): it does;
        Regulation (EU) No 1169/2011, Annex I, 6 and 12: it does not).
    """
    if pack_with_fibre == book_with_fibre or "carbohydrate_g" not in panel.figures:
        return panel
    figures = dict(panel.figures)
    if "fibre_g" not in figures:
        problem = "the pack's carbohydrate counts fibre otherwise than this book does, and the fibre is not given."
        return replace(
            panel,
            refusals=[*panel.refusals, Refusal("fibre_g", problem, "Give the fibre, or leave carbohydrate out.")],
        )
    total, fibre = figures["carbohydrate_g"], figures["fibre_g"]
    if pack_with_fibre:
        figures["carbohydrate_g"] = float(f"{max(0.0, total - fibre):.4g}")
        words = f"carbohydrate without fibre: {total:g} - {fibre:g} = {figures['carbohydrate_g']:g} g"
    else:
        figures["carbohydrate_g"] = float(f"{total + fibre:.4g}")
        words = f"carbohydrate with fibre: {total:g} + {fibre:g} = {figures['carbohydrate_g']:g} g"
    return replace(panel, figures=figures, said=[*panel.said, words])
