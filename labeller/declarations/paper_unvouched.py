"""What a paper had to leave open: which dish, which group, because of which ingredient, and how to settle it."""

from collections.abc import Iterable
from dataclasses import dataclass

from labeller.declarations.declaring import Declaration
from labeller.declarations.paper_allergens import asked_groups, names_of
from labeller.declarations.words import listed

ALCOHOL = "alcohol"


@dataclass(frozen=True, slots=True)
class Unvouched:
    """One thing on paper that nobody can vouch for, and how to settle it."""

    of: str
    group: str
    ingredient: str
    mend: str

    def as_json(self) -> dict[str, str]:
        """Return it as plain values."""
        return {"of": self.of, "group": self.group, "ingredient": self.ingredient, "mend": self.mend}


def unvouched(declarations: Iterable[Declaration]) -> tuple[Unvouched, ...]:
    """Return everything the papers of these declarations ask about, allergens in the order of the law, then alcohol.

    A command that prints such a paper ends with code 3 where this is not empty.
    """
    found: list[Unvouched] = []
    for declaration in declarations:
        mend_of = {one.ingredient: one.mend for one in declaration.unconfirmed}
        for asked in asked_groups(declaration):
            found.extend(
                Unvouched(declaration.name, asked.group, one, mend_of.get(one) or "add the supplier's statement")
                for one in asked.ingredients
            )
        found.extend(
            Unvouched(declaration.name, ALCOHOL, one, mend_of.get(one) or "add the supplier's statement")
            for one in names_of(declaration.alcohol.unconfirmed)
        )
    return tuple(dict.fromkeys(found))


def unvouched_as_text(found: Iterable[Unvouched]) -> list[str]:
    """Return lines for the error stream, one for each ingredient of a dish with all the groups it leaves open."""
    groups: dict[tuple[str, str, str], list[str]] = {}
    for one in found:
        groups.setdefault((one.of, one.ingredient, one.mend), []).append(one.group)
    return [
        f"{of}: cannot vouch for {listed(names)} because of '{ingredient}': {mend}."
        for (of, ingredient, mend), names in groups.items()
    ]
