"""The least size of letters a law asks for on a face of a pack, turned into a size of our faces.

The law's own figures and clauses stand in ``reference_data/jurisdictions/<code>/letters.yaml``; here they are only chosen and measured.
"""

from dataclasses import dataclass

from labeller.jurisdictions.in_force import LawInForce
from labeller.jurisdictions.label_terms import LetterRule
from labeller.jurisdictions.terms import Citation
from labeller.printing.faces import FaceName, size_pt_for_x_height, x_height_mm_at_size

PARTICULARS = "particulars"
"""What every pack carries: name, list, allergens, quantity, date, operator."""
WARNING = "warning"
"""Statements a law sets apart as warnings."""


@dataclass(frozen=True, slots=True)
class LeastLetters:
    """The least size for one thing: the figure in the law's own measure, and where it stands.

    ``measure`` is ``x_height_mm`` (the lower-case x), ``letter_height_mm`` (any letter) or ``point``; ``least`` is 0 and ``clause`` None where
    the law sets no size.
    """

    what: str
    measure: str
    least: float
    clause: Citation | None
    bold: str = ""

    def size_pt(self, name: FaceName) -> float:
        """Return the least size of a face. [pt]

        Where a law speaks of the height of letters without saying which, the lowest letter, x, is held to it.
        """
        if self.measure == "point":
            return self.least
        return size_pt_for_x_height(self.least, name)

    def x_height_mm(self, *names: FaceName) -> float:
        """Return the x-height that satisfies the rule in every one of the faces. [mm]

        Parameters
        ----------
        *names : FaceName
            The faces the text is set in; needed where the law counts in points.
        """
        if self.measure != "point":
            return self.least
        return max(x_height_mm_at_size(self.least, name) for name in names or ("sans",))


def least_letters(law: LawInForce, face_area_cm2: float | None, what: str = PARTICULARS) -> LeastLetters:
    """Return the least size of letters for one thing on a face of a pack.

    Parameters
    ----------
    law : LawInForce
        The law on the day.
    face_area_cm2 : float or None
        Area of the largest face of the pack; None where it is not known, and then the strictest rule holds. [cm2]
    what : str
        `PARTICULARS`, `WARNING`, or the key of one rule of that law (``nutrient lines``).

    Raises
    ------
    KeyError
        If ``what`` is none of these.
    """
    rules = [rule for rule in _rules_for(law, what) if face_area_cm2 is None or _holds_for(rule, face_area_cm2)]
    strictest = max(rules, key=_strictness, default=None)
    if strictest is None:
        return LeastLetters(what, "x_height_mm", 0.0, None)
    return LeastLetters(what, strictest.measure, strictest.least, strictest.clause, strictest.bold)


def _rules_for(law: LawInForce, what: str) -> list[LetterRule]:
    if what == PARTICULARS:
        # Sizes in points belong to lines of a nutrition panel, each by its own key.
        return [rule for rule in law.letters if rule.measure != "point" and WARNING not in rule.key]
    if what == WARNING:
        return [rule for rule in law.letters if rule.measure != "point"]
    found = [rule for rule in law.letters if rule.key == what]
    if not found:
        known = ", ".join([PARTICULARS, WARNING, *(rule.key for rule in law.letters)])
        raise KeyError(f"The law of {law.code} has no letter size for '{what}': it has {known}.")
    return found


def _holds_for(rule: LetterRule, area: float) -> bool:
    at_least, below = rule.face_at_least_cm2, rule.face_below_cm2
    return (at_least is None or area >= at_least) and (below is None or area < below)


def _strictness(rule: LetterRule) -> float:
    return size_pt_for_x_height(rule.least, "sans") if rule.measure != "point" else rule.least
