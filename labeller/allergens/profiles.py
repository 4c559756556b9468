"""What a row of the reference table says about allergens.

A row that is a single commodity is settled: what is in it follows from what it is, and nothing else is. Every other row can
show that something is in it, never that it is not. The profiles are made ahead from rules and reviewed by hand
(``reference_data/allergens/build_profiles.py``); here they are only looked up.
"""

import json
from functools import cache
from typing import Any

from labeller.allergens.evidence import Finding
from labeller.foundations.places import reference_data_folder
from labeller.foundations.plain import dataclass


@dataclass(frozen=True, slots=True)
class Profile:
    """Evidence that one row of the reference table gives.

    ``complete``: every source is settled, so what is not in ``contains`` is not in it. Otherwise ``unconfirmed`` names the
    sources left open, or is None where every source that is not in ``contains`` is open. ``ground`` says in words what this
    rests on. What the law does not list (``beef``, ``garlic``) stands in ``contains`` where the name shows it, and is not
    settled by ``complete``, ``alcohol`` apart.
    """

    food_code: str
    contains: tuple[Finding, ...]
    complete: bool
    unconfirmed: frozenset[str] | None
    ground: str


def profile_of(food_code: str) -> Profile | None:
    """Return the profile of a row, or None if the table has no such row.

    Parameters
    ----------
    food_code : str
        Code of the row in the reference table, five digits, such as ``01053``.
    """
    compiled = _compiled()
    number = compiled["rows"].get(food_code)
    if number is None:
        return None
    contains, unconfirmed, grounds = compiled["profiles"][number]
    return Profile(
        food_code,
        tuple(Finding(source, derivation, words) for source, derivation, words in contains),
        complete=unconfirmed == [],
        unconfirmed=None if unconfirmed is None else frozenset(unconfirmed),
        ground="; ".join(compiled["grounds"][ground] for ground in grounds) or "nothing in its name settles it",
    )


@cache
def _compiled() -> dict[str, Any]:
    path = reference_data_folder() / "allergens" / "profiles.json"
    compiled: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return compiled
