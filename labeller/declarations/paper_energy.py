"""Energy of one portion as a card or menu prints it, with the words the law prescribes beside it."""

from dataclasses import dataclass

from labeller.declarations.declaring import Declaration
from labeller.jurisdictions.faults_of_law import NoSuchSubjectError, NotInForceError
from labeller.jurisdictions.in_force import LawInForce
from labeller.jurisdictions.terms import Citation

_KJ, _KCAL = "energy_kj", "energy_kcal"


@dataclass(frozen=True, slots=True)
class EnergyLines:
    """Energy of a portion.

    Attributes
    ----------
    line : str
        '1687 kJ (403 kcal) a portion'; empty where it is not known whole.
    statements : tuple of str
        Words that stand once on each page that shows energy, in the law's order.
    due : bool
        True where a rule of this law on menus can call for it; ``note`` says whom.
    missing : tuple of str
        Ingredients without a figure, which keep the line from being printed.
    note : str
        Whom the rule binds, for people.
    clause : Citation or None
        The clause of the rule.
    """

    line: str
    statements: tuple[str, ...]
    due: bool
    missing: tuple[str, ...]
    note: str
    clause: Citation | None


def energy_lines(declaration: Declaration, *, offer: str = "menu", children: bool = False) -> EnergyLines:
    """Return the energy of one portion as its law prints it.

    Parameters
    ----------
    declaration : Declaration
        Of a dish; a batch has no portion and so no line.
    offer : str
        ``menu`` or ``loose``: where it is to stand.
    children : bool
        True on a children's menu: the statement of adult needs is left out (Calorie Labelling (Out of Home Sector) (England)
        Regulations 2021, regulation 5) or the children's words stand in its place (21 CFR 101.11(b)(2)(i)(B)).

    Notes
    -----
    A figure with gaps is not printed: a floor would read as the figure.
    """
    law = declaration.law
    rule = law.offers.get(offer)
    keys = [line.key for line in law.nutrients_for(offer) if line.key in (_KJ, _KCAL)]
    if not keys:  # where no rule of menus is on file, the figures of the panel stand, in its units
        keys = [line.key for line in law.nutrients if line.key in (_KJ, _KCAL)]
    needs = rule.needs if rule is not None else ()
    due = any(need.startswith(("energy", "calories")) for need in needs)
    missing: tuple[str, ...] = ()
    line = ""
    if declaration.kind == "dish":
        incomplete = declaration.figures.incomplete()
        gaps = [
            one.ingredient
            for one in declaration.figures.missing
            if one.nutrient in keys and one.nutrient in incomplete
        ]
        missing = tuple(dict.fromkeys(gaps))
        line = "" if missing else _line(declaration, tuple(dict.fromkeys(keys)))
    return EnergyLines(
        line,
        energy_statements(law, children=children) if offer == "menu" else (),
        due,
        missing,
        rule.notes if rule is not None and due else "",
        rule.clause if rule is not None else None,
    )


def energy_statements(law: LawInForce, *, children: bool = False) -> tuple[str, ...]:
    """Return what this law prescribes on each page of a menu that shows energy; none where it has no such rule."""
    try:
        statements = law.statements
    except (NotInForceError, NoSuchSubjectError):
        return ()
    keys = ["daily_needs", "availability"]
    if children:
        keys = ["daily_needs_children", "availability"]
    return tuple(statements[key].texts["en"] for key in keys if key in statements)


def _line(declaration: Declaration, keys: tuple[str, ...]) -> str:
    printed = declaration.declared_per_portion
    units = {line.key: line.unit for line in declaration.law.nutrients if line.key in keys}
    kj, kcal = printed.get(_KJ), printed.get(_KCAL)
    both = kj is not None and kcal is not None and _KJ in keys and _KCAL in keys
    # Laws that know calories alone print the word whole beside the figure: 21 CFR 101.11(b)(2)(i)(A)(3).
    word = {"Cal": "Cal", "kcal": "kcal"}.get(units.get(_KCAL, "kcal"), "kcal")
    if both:
        return f"{kj} kJ ({kcal} {word}) a portion"
    if kcal is not None and _KCAL in keys:
        return f"{kcal} Calories a portion" if _KJ not in units else f"{kcal} {word} a portion"
    return f"{kj} kJ a portion" if kj is not None and _KJ in keys else ""
