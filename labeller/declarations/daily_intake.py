"""A portion as a share of what an adult needs in a day, where the law has such figures."""

from dataclasses import dataclass

from labeller.declarations.declaring import Declaration
from labeller.declarations.rounding import round_declared
from labeller.jurisdictions.in_force import LawInForce
from labeller.jurisdictions.terms import Citation

# The words a law prescribes beside percentages, by the key of its statements; the first that is on file counts.
_STATEMENTS = ("daily_value_footnote", "reference_intake", "daily_intake")
_NO_MINERALS = frozenset({"sodium_mg", "cholesterol_mg", "caffeine_mg"})


@dataclass(frozen=True, slots=True)
class PercentOfIntake:
    """One percentage: of which figure, as printed, of what amount a day [unit of the key], by which clause."""

    key: str
    percent: str
    of: float
    unit: str
    together_with: str
    clause: Citation


@dataclass(frozen=True, slots=True)
class DailyIntake:
    """Percentages of one portion, and the words the law prescribes beside them, empty where it has none."""

    per_portion: tuple[PercentOfIntake, ...] = ()
    statement: str = ""
    clause: Citation | None = None


def daily_intake(declaration: Declaration, language: str = "en") -> DailyIntake:
    """Return the percentages of one portion; a figure with gaps has none, and a batch has none.

    Notes
    -----
    Where the law prescribes a footnote of Daily Values, only the percentages it wants shown are given: a voluntary one, such as
    protein by 21 CFR 101.9(c)(7), may need what no table of composition tells. Where percentages as such are voluntary
    (Regulation (EU) No 1169/2011, Article 32(4); Standard 1.2.8-8), all are given. Vitamins and minerals go by the amount as
    printed (Food and Drug Regulations, B.01.402; 21 CFR 101.9(c)(8)(iii) allows it), the rest by the unrounded figure.
    """
    law = declaration.law
    if declaration.kind != "dish":
        return DailyIntake()
    found: list[PercentOfIntake] = []
    sums, incomplete = declaration.figures.sums, declaration.figures.incomplete()
    only_shown = _STATEMENTS[0] in law.statements
    done: set[str] = set()
    keys = dict.fromkeys(line.key for line in law.nutrients)
    for key in keys:
        intake = law.intakes.get(key)
        if intake is None or intake.percent == "never" or (only_shown and intake.percent != "shown") or key in done:
            continue
        together = [key, intake.together_with] if intake.together_with else [key]
        done.update(together)
        if any(one not in sums or one in incomplete for one in together) or intake.value <= 0.0:
            continue
        mineral = key.endswith(("_mg", "_ug")) and key not in _NO_MINERALS
        amount = _as_printed(declaration, key) if mineral else sum(sums[one] for one in together)
        percent = _rounded(law, max(0.0, amount) / intake.value * 100.0, mineral=mineral)
        found.append(PercentOfIntake(key, percent, intake.value, intake.unit, intake.together_with, intake.clause))
    if not found:
        return DailyIntake()
    statement = next((law.statements[key] for key in _STATEMENTS if key in law.statements), None)
    words = (statement.texts.get(language) or statement.texts.get("en", "")) if statement is not None else ""
    return DailyIntake(tuple(found), words, statement.clause if statement is not None else None)


def _as_printed(declaration: Declaration, key: str) -> float:
    printed = declaration.declared_per_portion.get(key, "")
    return float(printed) if printed.replace(".", "", 1).isdigit() else declaration.figures.sums[key]


def _rounded(law: LawInForce, percent: float, *, mineral: bool) -> str:
    for key in ("percent_vitamins_minerals", "percent") if mineral else ("percent",):
        if key in law.rounding:
            return round_declared(law.rounding, key, percent)
    return f"{int(percent + 0.5)}"
