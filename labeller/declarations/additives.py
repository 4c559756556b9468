"""The class an additive belongs to, for the list of ingredients."""

import csv
from functools import cache
from typing import NamedTuple

from labeller.foundations.names import name_key
from labeller.foundations.places import reference_data_folder


class AdditiveClass(NamedTuple):
    """An additive's class and number, with the law they are from and whether its text was read."""

    name: str
    in_class: str
    number: str
    law: str
    confirmed: bool
    ground: str


@cache
def _classes() -> dict[str, AdditiveClass]:
    found: dict[str, AdditiveClass] = {}
    path = reference_data_folder() / "additives" / "classes.csv"
    with path.open(encoding="utf-8", newline="") as rows:
        for row in csv.DictReader(rows):
            one = AdditiveClass(
                row["name"], row["class"], row["number"], row["law"], row["confirmed"] == "yes", row["ground"]
            )
            for name in (row["name"], *row["also"].split(";")):
                if name.strip():
                    found[name_key(name)] = one
    return found


def additive_class(name: str, permitted: tuple[str, ...], *, any_class: bool = False) -> str:
    """Return the class to put before an additive, empty where none is on file or the law has no such class.

    ``any_class`` is true where the law wants the class named and ``permitted`` is empty: then it has no list of its own.
    """
    one = _classes().get(name_key(name))
    if one is None:
        return ""
    return one.in_class if one.in_class in permitted or (any_class and not permitted) else ""
