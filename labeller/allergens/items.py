"""One thing in a statement, and the bracket being read around it: what the tree is made of."""

from labeller.allergens.matching import Unit
from labeller.allergens.vocabulary import Meaning
from labeller.foundations.plain import dataclass, field

INGREDIENT, CONTAINS, MAY, FREE, NOTE = "ingredient", "contains", "may contain", "free", "note"
MOST_DEPTH = 40
MOST_NOTES = 12  # footnotes one starred word is settled by
# "Nuts are handled in this kitchen": what stands before such a verb is the thing handled.
HANDLING = frozenset({"handl", "handled", "used", "us", "processed", "present", "stored", "process", "verarbeitet"})
TO_BE = frozenset({"are", "is", "be", "also", "being"})


@dataclass(slots=True, eq=False)
class Item:
    """One thing in a list, with the list in its brackets.

    ``denied`` holds the places in ``units`` of words the text says are not in it; ``guarantee`` is set where the text says it
    cannot vouch, so that *nut free* after it denies nothing.
    """

    mode: str
    units: list[Unit] = field(default_factory=list)
    parts: list["Item"] = field(default_factory=list)
    notes: list["Item"] = field(default_factory=list)
    denied: set[int] = field(default_factory=set)
    breaks: set[int] = field(default_factory=set)  # where "and" and the like part the words
    lines: set[int] = field(default_factory=set)  # where a line ended
    marks: list[str] = field(default_factory=list)
    percent: float | None = None
    denying: bool = False
    denying_next: bool = False
    list_at: int = 0  # how many words stand before its last bracket; those after it are none of that list's
    colon_at: int = 0  # how many words stand before its colon
    listed: bool = False  # what stands before the colon is followed by its list, to the end of the sentence

    def says_something(self) -> bool:
        """Tell whether anything but marks has been written into it."""
        return bool(self.units or self.parts)


@dataclass(slots=True, eq=False)
class Frame:
    """One pair of brackets being read, or the whole text."""

    owner: Item | None
    base: str
    mode: str
    items: list[Item] = field(default_factory=list)
    current: Item | None = None
    sentence: int = 0  # where in ``items`` the sentence began
    narrow: bool = False  # the mode ends with the item
    no_guarantee: bool = False
    making: int | None = None  # place in the current item's units of "made", "packed" and the like
    site: bool = False  # the current item named a factory or a kitchen
    unfinished: bool = False  # the last thing read asks for more: a comma, "and", "contains"


def signal_of(unit: Unit) -> str:
    """Return what the unit announces, such as ``may contain``; empty for a word of content."""
    for meaning in unit.meanings:
        if meaning.signal:
            return meaning.signal
    return ""


def names_only(item: Item) -> bool:
    """Tell whether an item is nothing but the bare name of an allergen."""
    return (
        item.percent is None
        and not item.parts
        and bool(item.units)
        and all(
            any(sense == 0 for _, _, sense in meaning.certain) for unit in item.units for meaning in unit.meanings[:1]
        )
        and all(unit.meanings for unit in item.units)
    )


def plain_food(meanings: tuple[Meaning, ...]) -> bool:
    """Tell whether a word is a food that is no allergen anywhere, so that a list of allergens has ended."""
    return bool(meanings) and all(
        not meaning.certain and not meaning.doubts and ("food" in meaning.roles or "origin" in meaning.roles)
        for meaning in meanings
    )
