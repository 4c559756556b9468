"""What a paper had to leave open: which dish, which group, because of which ingredient, and how to settle it."""

from collections.abc import Iterable
from dataclasses import dataclass

from labeller.declarations.declaring import Declaration
from labeller.declarations.paper_allergens import asked_groups, names_of
from labeller.declarations.words import listed

ALCOHOL = "alcohol"
_NAMED = 4


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
        mend_of = declaration.mends
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
    """Return lines for the error stream: how each ingredient is settled, once, with what it leaves open and where.

    What leaves most dishes open comes first: whoever has time for one telephone call makes that one. Long lists are counted; `as_json` has them whole.
    """
    left: dict[tuple[str, str], tuple[dict[str, None], dict[str, None]]] = {}
    for one in found:
        groups, dishes = left.setdefault((one.ingredient, one.mend), ({}, {}))
        groups[one.group] = None
        dishes[one.of] = None
    if not left:
        return []
    rows = sorted(left.items(), key=lambda row: -len(row[1][1]))
    return [
        "Cannot vouch for everything on it. What would settle it:",
        *(
            f"  '{ingredient}': {mend}. It leaves open {_groups_in_words(tuple(groups))}, in {_dishes_in_words(tuple(dishes))}."
            for (ingredient, mend), (groups, dishes) in rows
        ),
    ]


def _groups_in_words(groups: tuple[str, ...]) -> str:
    """Return groups by name where they are few, else how many; alcohol is always named."""
    allergens = [one for one in groups if one != ALCOHOL]
    said = allergens if len(allergens) <= _NAMED else [f"{len(allergens)} groups of allergens"]
    return listed([*said, *(one for one in groups if one == ALCOHOL)])


def _dishes_in_words(dishes: tuple[str, ...]) -> str:
    """Return dishes by name where they are few, else the first with the number of the others."""
    said = list(dishes) if len(dishes) <= _NAMED + 1 else [*dishes[:_NAMED], f"{len(dishes) - _NAMED} more"]
    # A name with a comma or an 'and' of its own would run into the next.
    return "; ".join(said) if any("," in one or " and " in one for one in said) else listed(said)
