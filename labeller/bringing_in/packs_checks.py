"""Hold the figures of a pack against each other: each finding in words, with a mend, and what would be right where it can be told.

Nothing is corrected here. What cannot be is refused; what is doubtful is asked about.
"""

from collections.abc import Iterator, Mapping
from typing import Any, Final

from labeller.bringing_in.packs_figures import GRAMS, KJ_PER_KCAL, SALT_PER_SODIUM, SPOKEN, Basis
from labeller.declarations.tolerances import allowed_range
from labeller.foundations.plain import dataclass
from labeller.jurisdictions.in_force import LawInForce

_FACTOR_OF: Final = {
    "fat_g": "fat", "protein_g": "protein", "carbohydrate_g": "carbohydrate", "fibre_g": "fibre", "polyols_g": "polyols",
}  # fmt: skip
# Where a law sets no tolerance on an end: a fifth, as most of them do (21 CFR 101.9(g)); common practice elsewhere.
_A_FIFTH: Final = 0.2
# Rounding alone moves energy by so much: half a gram of each figure, and the step of energy itself. [kJ]
_ROUNDING_KJ: Final = 40.0
_SALTY_G: Final = 12.0
_MOST_TOGETHER_G, _IMPOSSIBLE_TOGETHER_G = 101.5, 108.0


@dataclass(frozen=True, slots=True)
class PackFinding:
    """Something about the figures of a pack.

    ``refuses``: it cannot be, and nothing is written; otherwise it is doubtful. ``proposed`` holds figures that would be right.
    """

    kind: str
    field: str
    problem: str
    mend: str
    refuses: bool = False
    proposed: tuple[tuple[str, float], ...] = ()

    def as_json(self) -> dict[str, Any]:
        """Return the finding as JSON."""
        return {
            "kind": self.kind,
            "field": self.field,
            "problem": self.problem,
            "mend": self.mend,
            "refuses": self.refuses,
            "proposed": dict(self.proposed),
        }


@dataclass(frozen=True, slots=True)
class EnergyRange:
    """Energy that the other figures make, with its ends by the law's tolerance on each of them. [kJ/100 g]"""

    low_kj: float
    expected_kj: float
    high_kj: float


def check_pack(
    figures: Mapping[str, float],
    law: LawInForce,
    *,
    serving: Basis | None = None,
    usual: Mapping[str, float] | None = None,
    usual_name: str = "",
    may_hold_more: bool = False,
) -> list[PackFinding]:
    """Return what is impossible or doubtful about the figures of a pack, the impossible first.

    Parameters
    ----------
    figures : mapping
        Figures per 100 g by the law's own definitions, by key. [g, mg, kJ or kcal]
    law : LawInForce
        Whose factors, definitions and tolerances count.
    serving : Basis, optional
        The portion the pack names beside its 100 g.
    usual : mapping, optional
        Figures of the row of the reference table that the name means, to see a portion typed for 100 g. [per 100 g]
    usual_name : str
        Its published name.
    may_hold_more : bool
        Whether something else in it may give energy: alcohol by its statement.
    """
    found = [
        *_parts(figures, 1.0 if law.definitions.carbohydrate_with_fibre else 0.5),
        *_salt(figures),
        *_together(figures, law),
        *_units_of_energy(figures),
        *_energy(figures, law, serving, may_hold_more=may_hold_more),
    ]
    if usual and not any(one.kind in ("energy", "per portion") for one in found):
        found.extend(_portion(figures, usual, usual_name, serving))
    return sorted(found, key=lambda one: not one.refuses)


def _parts(figures: Mapping[str, float], step_g: float) -> Iterator[PackFinding]:
    """Find parts that are more than their whole by more than a step of rounding (21 CFR 101.9(c): a gram)."""
    for part, whole in (("saturates_g", "fat_g"), ("sugars_g", "carbohydrate_g"), ("polyols_g", "carbohydrate_g")):
        if (
            part in figures
            and whole in figures
            and figures[part] > figures[whole] + max(step_g, 0.03 * figures[whole])
        ):
            yield PackFinding(
                "part above whole",
                part,
                f"{SPOKEN[part]} {figures[part]:g} g are more than {SPOKEN[whole]} {figures[whole]:g} g, of which they are part.",
                f"Look at the pack: did {SPOKEN[part]} and {SPOKEN[whole]} change places, or a decimal point move?",
                proposed=((part, figures[whole]), (whole, figures[part])),
            )


def _salt(figures: Mapping[str, float]) -> Iterator[PackFinding]:
    salt, sodium = figures.get("salt_g"), figures.get("sodium_mg")
    if salt is not None and sodium is not None:
        from_sodium = sodium * SALT_PER_SODIUM / 1000.0
        if abs(salt - from_sodium) > 0.06 + 0.05 * max(salt, from_sodium):
            yield _both(salt, sodium, from_sodium)
        return
    if salt is not None and salt > _SALTY_G:
        in_mg = salt * SALT_PER_SODIUM / 1000.0
        yield PackFinding(
            "salt and sodium",
            "salt_g",
            f"salt {salt:g} g in 100 g is what stock cubes and salt itself have.",
            f"If the pack says sodium {salt:g} mg, write that instead: it is {in_mg:.2g} g of salt.",
            proposed=(("salt_g", float(f"{in_mg:.3g}")),),
        )
    if sodium is not None and 0.0 < sodium < 5.0 and sodium != int(sodium):
        yield PackFinding(
            "salt and sodium",
            "sodium_mg",
            f"sodium {sodium:g} mg has decimals, as sodium in grams has.",
            f"If the pack says {sodium:g} g, write 'sodium: {sodium * 1000:g} mg'.",
            proposed=(("sodium_mg", sodium * 1000.0),),
        )
    if sodium is not None and sodium > 40_000.0:
        problem = f"sodium {sodium:g} mg in 100 g is more than pure salt has (39 300 mg)."
        yield PackFinding("salt and sodium", "sodium_mg", problem, "Write sodium in mg for 100 g.", refuses=True)


def _both(salt: float, sodium: float, from_sodium: float) -> PackFinding:
    problem = f"salt {salt:g} g and sodium {sodium:g} mg do not agree: sodium {sodium:g} mg is {from_sodium:.3g} g of salt (x 2.5)."
    if from_sodium and abs(salt * SALT_PER_SODIUM - from_sodium) <= 0.03 + 0.05 * from_sodium:
        words, right = "Sodium in grams stands in the place of salt", (("salt_g", float(f"{from_sodium:.3g}")),)
    elif from_sodium and abs(salt - from_sodium * 1000.0) <= 0.06 + 0.05 * salt:
        words, right = "Sodium was typed in grams", (("sodium_mg", sodium * 1000.0),)
    else:
        return PackFinding("salt and sodium", "salt_g", problem, "Look at the pack, and keep the one it prints.")
    return PackFinding("salt and sodium", "salt_g", problem, f"{words}: look at the pack.", proposed=right)


def _together(figures: Mapping[str, float], law: LawInForce) -> Iterator[PackFinding]:
    inside = {"saturates_g", "sugars_g", "polyols_g"}
    if law.definitions.carbohydrate_with_fibre:
        inside.add("fibre_g")
    parts = [key for key in GRAMS if key in figures and key not in inside]
    total = sum(figures[key] for key in parts)
    if total <= _MOST_TOGETHER_G:
        return
    named = " + ".join(f"{SPOKEN[key]} {figures[key]:g}" for key in parts)
    yield PackFinding(
        "together",
        parts[0],
        f"{named} make {total:.4g} g in 100 g.",
        "Look at the pack: a column for another amount, or a decimal point that moved."
        + (
            ""
            if law.definitions.carbohydrate_with_fibre
            else " Or carbohydrate that holds the fibre: say whose panel it is."
        ),
        refuses=total > _IMPOSSIBLE_TOGETHER_G,
    )


def _units_of_energy(figures: Mapping[str, float]) -> Iterator[PackFinding]:
    kj, kcal = figures.get("energy_kj"), figures.get("energy_kcal")
    if kj is None or kcal is None:
        return
    # Each is rounded by itself, and a law's factors for the two differ by a few in a hundred (37 kJ and 9 kcal are 4.11).
    if abs(kj - kcal * KJ_PER_KCAL) <= 0.06 * kj + 8.0:
        return
    if abs(kcal - kj * KJ_PER_KCAL) <= 0.06 * kcal + 8.0:
        yield PackFinding(
            "kj and kcal",
            "energy_kj",
            f"{kj:g} kJ and {kcal:g} kcal are swapped: 1 kcal is 4.184 kJ.",
            f"Write {kcal:g} kJ and {kj:g} kcal.",
            proposed=(("energy_kj", kcal), ("energy_kcal", kj)),
        )
        return
    yield PackFinding(
        "kj and kcal",
        "energy_kcal",
        f"{kj:g} kJ and {kcal:g} kcal do not agree: {kcal:g} kcal is {kcal * KJ_PER_KCAL:.0f} kJ.",
        "Look at the pack again.",
    )


def energy_range(figures: Mapping[str, float], law: LawInForce, *, rounded_per_g: float = 100.0) -> EnergyRange | None:
    """Return the energy that fat, carbohydrate, protein, fibre and polyols make by the law's factors, None where one is missing.

    The ends take each figure to the end of its own tolerance (`allowed_range`). Missing fibre or polyols count as none.

    Parameters
    ----------
    figures : mapping
        Figures per 100 g. [g]
    law : LawInForce
        Whose factors and tolerances count.
    rounded_per_g : float
        Weight of the amount the figures were rounded for. [g]
    """
    if any(key not in figures for key in ("fat_g", "carbohydrate_g", "protein_g")):
        return None
    grams = {key: figures[key] for key in _FACTOR_OF if key in figures}
    grams["carbohydrate_g"] = max(0.0, grams["carbohydrate_g"] - grams.get("polyols_g", 0.0))
    undigested_kj = 0.0
    if law.definitions.carbohydrate_with_fibre:
        # A maker may leave carbohydrate that is not digested out of energy: 21 CFR 101.9(c)(1)(i)(C).
        undigested_kj = grams.pop("fibre_g", 0.0) * law.energy_factors["carbohydrate"].kj
    low = expected = high = 0.0
    for key, value in grams.items():
        factor = law.energy_factors.get(_FACTOR_OF[key])
        if factor is None:
            continue
        allowed = allowed_range(law.tolerances, law.rounding, key, value)
        least = allowed.low if allowed is not None and allowed.low is not None else value * (1.0 - _A_FIFTH)
        most = allowed.high if allowed is not None and allowed.high is not None else value * (1.0 + _A_FIFTH)
        low, expected, high = low + factor.kj * least, expected + factor.kj * value, high + factor.kj * most
    rounding_kj = _ROUNDING_KJ * 100.0 / rounded_per_g
    return EnergyRange(max(0.0, low - undigested_kj - rounding_kj), expected, high + rounding_kj)


def _energy(
    figures: Mapping[str, float], law: LawInForce, serving: Basis | None, *, may_hold_more: bool
) -> Iterator[PackFinding]:
    by_macros = energy_range(figures, law)
    kj, kcal = figures.get("energy_kj"), figures.get("energy_kcal")
    if by_macros is None or (kj is None and kcal is None):
        return
    expected = by_macros.expected_kj
    field = "energy_kj" if kj is not None else "energy_kcal"
    stated = kj if kj is not None else (kcal or 0.0) * KJ_PER_KCAL
    shown = f"{kj:g} kJ" if kj is not None else f"{kcal:g} kcal"
    both = kj is not None and kcal is not None
    if both and _near(kj or 0.0, (kcal or 0.0) / KJ_PER_KCAL, 0.06):
        return  # said already: the two are swapped
    outside = stated < by_macros.low_kj or (stated > by_macros.high_kj and not may_hold_more)
    ratio = stated / expected if expected > 0.0 else 0.0
    made = f"The other figures make {expected:.0f} kJ ({expected / KJ_PER_KCAL:.0f} kcal)"
    if expected >= 40.0 and not both and _near(ratio, 1.0 / KJ_PER_KCAL, 0.2):
        value = kj or 0.0
        if field == "energy_kj":
            yield _wrong_unit(field, f"{value:g} kJ is too little. {made}", f"{value:g} kcal", ("energy_kcal", value))
            return
    if expected >= 40.0 and not both and _near(ratio, KJ_PER_KCAL, 0.2) and field == "energy_kcal":
        value = kcal or 0.0
        yield _wrong_unit(field, f"{value:g} kcal is too much. {made}", f"{value:g} kJ", ("energy_kj", value))
        return
    if not outside:
        return
    slipped = _slipped(figures, law, stated)
    portion = _columns(ratio, serving)
    if slipped is not None:
        key, value = slipped
        yield PackFinding(
            "energy",
            field,
            f"{shown} does not follow from the other figures. {made}.",
            f"With {SPOKEN[key]} {value:g} g in place of {figures[key]:g} g it would: has a decimal point moved?"
            + (f" Or else: {portion}" if portion else ""),
            proposed=((key, value),),
        )
        return
    yield PackFinding(
        "per portion" if portion else "energy",
        field,
        f"{shown} does not follow from the other figures. {made}, {by_macros.low_kj:.0f} to {by_macros.high_kj:.0f} kJ by the tolerance on each.",
        portion or "Look at the pack again: every figure of the column for 100 g, each on its own line.",
    )


def _wrong_unit(field: str, problem: str, shown: str, right: tuple[str, float]) -> PackFinding:
    return PackFinding(
        "kj and kcal", field, f"{problem}.", f"If the pack says {shown}, write that.", proposed=(right,)
    )


def _near(value: float, other: float, share: float) -> bool:
    return abs(value - other) <= share * max(abs(value), abs(other))


def _columns(ratio: float, serving: Basis | None) -> str | None:
    """Say which portion would explain energy of one column beside figures of another; None where none does."""
    if ratio <= 0.0:
        return None
    for share, what, other in ((ratio, "energy", "the other figures"), (1.0 / ratio, "the other figures", "energy")):
        amount = 100.0 * share
        if serving is not None and serving.serving and _near(share, serving.amount / 100.0, 0.15):
            return f"It fits when {what} stands for the serving of {serving.as_text()} and {other} for 100 g: take both from one column."
        if serving is None and 4.0 <= amount <= 70.0:
            return f"It would fit if {what} stood for a portion of about {amount:.0f} g and {other} for 100 g: take both from one column."
    return None


def _slipped(figures: Mapping[str, float], law: LawInForce, stated_kj: float) -> tuple[str, float] | None:
    """Return the one figure that makes the energy right with its decimal point moved."""
    found = []
    for key in ("fat_g", "carbohydrate_g", "protein_g"):
        for factor in (10.0, 0.1):
            value = float(f"{figures[key] * factor:.4g}")
            tried = {**figures, key: value}
            if (
                figures[key] < 0.1
                or sum(tried.get(one, 0.0) for one in ("fat_g", "carbohydrate_g", "protein_g")) > 100.5
            ):
                continue
            by_macros = energy_range(tried, law)
            if by_macros is not None and _near(by_macros.expected_kj, stated_kj, 0.05):
                found.append((key, value))
    return found[0] if len(found) == 1 else None


def _portion(
    figures: Mapping[str, float], usual: Mapping[str, float], name: str, serving: Basis | None
) -> Iterator[PackFinding]:
    """See whether every figure is one share of what the food usually has: a column for a portion."""
    ratios = [
        figures[key] / usual[key]
        for key in ("fat_g", "carbohydrate_g", "protein_g")
        if key in figures and usual.get(key, 0.0) >= 3.0
    ]
    kj = figures.get("energy_kj", figures.get("energy_kcal", 0.0) * KJ_PER_KCAL)
    if kj and usual.get("energy_kj", 0.0) >= 150.0:
        ratios.append(kj / usual["energy_kj"])
    if len(ratios) < 3:
        return
    middle = sorted(ratios)[len(ratios) // 2]
    if not 0.04 <= middle <= 0.6 or any(not _near(one, middle, 0.3) for one in ratios):
        return
    amount = 100.0 * middle
    of_serving = serving is not None and serving.serving and _near(amount, serving.amount, 0.3)
    words = (
        f"the serving of {serving.as_text()}"
        if of_serving and serving is not None
        else f"a portion of about {amount:.0f} g"
    )
    yield PackFinding(
        "per portion",
        "per",
        f"every figure is about {middle:.2g} of what '{name}' has in 100 g.",
        f"If these are the figures for {words}, give them with '--per' and its weight.",
    )
