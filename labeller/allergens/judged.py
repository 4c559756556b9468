"""What an item of a statement comes to, before the whole statement is summed up."""

from labeller.allergens.items import CONTAINS, INGREDIENT, Item
from labeller.foundations.plain import dataclass, field

NAMES, MADE_OF, COMPOSITE = 0, 1, 2
AFTER_LIST = 1_000_000  # added to the run of words that follow a bracket, which its list does not speak of


@dataclass(slots=True)
class Seen:
    """One source seen in an item, before it is settled what it counts for."""

    source: str
    derivation: str
    sense: int
    words: str
    run: int
    at: int = -1  # place among the item's words


@dataclass(slots=True)
class Doubt:
    """Words that leave sources open."""

    words: str
    sources: frozenset[str]
    settled_by: str
    run: int
    sense: int
    at: int = -1


@dataclass(slots=True)
class Judged:
    """What one item comes to, its list included."""

    certain: list[Seen] = field(default_factory=list)
    may: list[Seen] = field(default_factory=list)
    doubts: list[Doubt] = field(default_factory=list)
    derived: list[tuple[str, str, str]] = field(default_factory=list)  # words, source, derivation
    negated: list[str] = field(default_factory=list)
    strange: list[str] = field(default_factory=list)
    alcohol: list[str] = field(default_factory=list)
    traces: list[str] = field(default_factory=list)
    own: list[Seen] = field(default_factory=list)
    parts: list["Judged"] = field(default_factory=list)
    food: bool = False


# What an item of plain words comes to; shared, as nothing is ever written into it.
_PLAIN = Judged()
_PLAIN_FOOD = Judged(food=True)


def plain_item(item: Item) -> Judged | None:
    """Return what an item comes to whose words find, leave open and announce nothing, such as *salt*; else None."""
    if item.parts or item.notes:
        return None
    food = False
    for unit in item.units:
        if len(unit.meanings) != 1 or not unit.meanings[0].plain:
            return None
        food = food or unit.meanings[0].food
    return _PLAIN_FOOD if food else _PLAIN


def simple_item(item: Item, text: str) -> Judged | None:
    """Return what an item comes to in which one word finds something and no word does more, such as *milk powder*."""
    if item.parts or item.notes or item.denied or item.listed or item.mode not in (INGREDIENT, CONTAINS):
        return None
    found: list[Seen] = []
    for index, unit in enumerate(item.units):
        if len(unit.meanings) != 1 or not unit.meanings[0].simple or unit.guess:
            return None
        certain = unit.meanings[0].certain
        if certain:
            if found:
                return None
            words = text[unit.start : unit.end]
            found = [Seen(source, derivation, sense, words, 0, index) for source, derivation, sense in certain]
    return Judged(certain=found, own=found, food=True)


def only_a_number(item: Item) -> bool:
    """Tell whether an item is the number of an additive alone, such as *E1422*."""
    return len(item.units) == 1 and item.units[0].key[:1] == "e" and item.units[0].key[1:2].isdigit()


def from_to(text: str, first: str, second: str) -> str:
    """Return the stretch of ``text`` that holds both words; ``second`` alone where they do not stand in it."""
    one, two = text.find(first), text.find(second)
    if one < 0 or two < 0:
        return second
    return text[min(one, two) : max(one + len(first), two + len(second))]
