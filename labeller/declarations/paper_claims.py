"""What a dish claims to suit, held against the evidence; what the evidence does not support is not printed."""

from dataclasses import dataclass

from labeller.declarations.allergen_rows import CONTAINS, MAY_CONTAIN, NONE_DECLARED, MayContain
from labeller.declarations.answering_evidence import Finder, Found
from labeller.declarations.answering_words import Asked, UnknownAboutError, asked_about
from labeller.declarations.declaring import Declarer
from labeller.declarations.paper_allergens import SPECIFICATION, touched_by
from labeller.declarations.paper_phrases import phrase
from labeller.declarations.words import listed
from labeller.foundations.faults import Fault
from labeller.kitchen.batch import Path

_EATERS = {"vegetarian": "vegetarians", "vegan": "vegans"}
_MOST_NAMED = 4


@dataclass(frozen=True, slots=True)
class RefusedClaim:
    """A claim that is not printed: the dish, the claim as written, why not, and the mend."""

    dish: str
    claim: str
    reason: str
    mend: str

    def as_text(self) -> str:
        """Return it in one line."""
        return f"'{self.dish}' is not marked '{self.claim}': {self.reason}. {self.mend}"


@dataclass(frozen=True, slots=True)
class Claims:
    """The claims of one dish: those the evidence supports, those it does not, and the line for a paper, empty where none is left."""

    supported: tuple[str, ...]
    refused: tuple[RefusedClaim, ...]
    line: str


def claims_of(declarer: Declarer, dish: str) -> Claims:
    """Hold what a dish claims in ``suitable_for`` against the evidence, as written: optional parts on.

    Notes
    -----
    Only ways of eating that an answer at the table knows are weighed: vegetarian, vegan. A claim that something is absent is never
    printed, nor a certification. A "may contain" refuses a claim as an unsettled ingredient does.
    """
    plate = declarer.workings.plates[dish]
    supported: dict[str, None] = {}
    refused: list[RefusedClaim] = []
    for claim in plate.dish.suitable_for:
        shown = " ".join(claim.split())
        found = _weigh(declarer, dish, shown)
        if isinstance(found, RefusedClaim):
            refused.append(found)
        else:
            supported[found] = None
    ways = tuple(supported)
    line = phrase("suitable_for", eaters=listed([_EATERS[one] for one in ways])) if ways else ""
    return Claims(ways, tuple(refused), f"{line}." if line else "")


def claims_advice(declarer: Declarer) -> list[Fault]:
    """Return the claims of all dishes that are not printed, as advice with the line of the dish."""
    found: list[Fault] = []
    for dish in declarer.workings.plates:
        origin = declarer.workings.plates[dish].dish.origin
        for one in claims_of(declarer, dish).refused:
            found.append(
                Fault(origin, "suitable_for", f"'{one.claim}' of '{dish}' is not printed: {one.reason}.", one.mend)
            )
    return found


def _weigh(declarer: Declarer, dish: str, claim: str) -> str | RefusedClaim:
    mend = "Take it out of 'suitable_for'; a guest who asks gets an answer with its reason."
    try:
        asked = asked_about(declarer, claim)
    except UnknownAboutError as reason:
        return RefusedClaim(dish, claim, str(reason).rstrip("."), mend)
    if not asked.eating:
        return RefusedClaim(
            dish,
            claim,
            "only 'vegetarian' and 'vegan' are claims that papers can bear; that something is not in it is no claim",
            mend,
        )
    lines = [line.batch for line in declarer.workings.plates[dish].lines]
    found = Finder(declarer, asked).found(lines)
    if found.status == NONE_DECLARED and not found.unconfirmed:
        return asked.eating
    return RefusedClaim(dish, claim, _reason(asked, found), _mend(found))


def _reason(asked: Asked, found: Found) -> str:
    if found.status == CONTAINS:
        return "; ".join(_way(path) for path in found.because[:_MOST_NAMED])
    said: list[str] = []
    if found.status == MAY_CONTAIN:
        said.extend(dict.fromkeys(_may(one) for one in found.may[:_MOST_NAMED]))
    if found.unconfirmed:
        said.append(f"the papers do not settle {_names(found.unconfirmed)}")
    return "; ".join(said) or f"nobody knows whether a {asked.eating} would eat it"


def _mend(found: Found) -> str:
    if found.status == CONTAINS:
        return "Take it out of 'suitable_for', or change what is on the plate."
    if found.status == MAY_CONTAIN:
        return "Make it on equipment of its own, or cleaned and checked, or take the claim out."
    return f"Add the supplier's whole statement of {_names(found.unconfirmed)}, with where it comes from, or take the claim out."


def _names(paths: tuple[Path, ...]) -> str:
    names = list(dict.fromkeys(path[-1] for path in paths))
    shown = [f"'{name}'" for name in names[:_MOST_NAMED]]
    return listed(shown) if len(names) <= _MOST_NAMED else f"{', '.join(shown)} and {len(names) - _MOST_NAMED} more"


def _way(path: Path) -> str:
    return f"it holds {path[-1]}{f', in {path[0]}' if len(path) > 1 else ''}"


def _may(one: MayContain) -> str:
    what = listed(list(one.sources), "or")
    if one.why == SPECIFICATION:
        return f"the supplier of {one.path[-1]} says it may contain {what}"
    mine, other = touched_by(one)
    return f"{mine} may take up {what} on the {one.why}, from {other}"
