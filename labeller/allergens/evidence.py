"""What is known about allergens in one thing: findings, and what is not settled.

The strongest evidence wins wherever two meet: contains, then may contain, then unconfirmed, then none declared.
"""

from labeller.foundations.plain import dataclass, field


@dataclass(frozen=True, slots=True, order=True)
class Finding:
    """One source of an allergen seen in a text, a specification or a reference row.

    ``source`` is the finest name the evidence gives (``hazelnut``); ``derivation`` names what was made of it where a law
    may exempt that (``glucose syrup``), else is empty; ``words`` are the words it was seen in.
    """

    source: str
    derivation: str = ""
    words: str = ""


@dataclass(frozen=True, slots=True)
class Evidence:
    """Evidence about one ingredient.

    ``unconfirmed`` holds every source that is neither shown to be in it nor shown not to be; ``ground`` says in words what the
    evidence rests on, ``doubts`` the words that left a source open. ``open_derivations`` are things some laws
    exempt whatever they are made of (dextrose, tocopherols) and that may be of that source: where a law does not exempt them, it is
    not known.
    """

    contains: tuple[Finding, ...] = ()
    may_contain: tuple[Finding, ...] = ()
    unconfirmed: frozenset[str] = frozenset()
    ground: str = ""
    doubts: tuple[str, ...] = field(default=())
    open_derivations: tuple[Finding, ...] = ()
