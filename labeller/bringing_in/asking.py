"""Walk through unknown names with a person, one key each: take a candidate, later, none fits, back, stop and go on another time.

No terminal here: keys come from a function and words go to one, so the same walk runs in a terminal, from a pipe and in tests.
"""

from collections.abc import Callable
from typing import Any, Final

from labeller.bringing_in.matching import Candidate, Matching
from labeller.bringing_in.unknown_names import UnknownName
from labeller.foundations.names import name_key
from labeller.foundations.plain import dataclass, field

KEYS: Final = "1-9 take it   s later   n none fits   b back   q stop, go on another time"
_WIDTH: Final = 100


@dataclass(slots=True)
class Walk:
    """How far a walk has come: the names in order, what was taken, and the names for which nothing fits, by their keys."""

    names: list[UnknownName]
    taken: list[tuple[str, Candidate]] = field(default_factory=list)
    none_fits: list[str] = field(default_factory=list)
    later: list[str] = field(default_factory=list)
    stopped: bool = False

    def as_json(self) -> dict[str, Any]:
        """Return what is kept beside the book for the next time: only answers that no entry of the book carries."""
        return {"none_fits": self.none_fits}


def walk_through(
    walk: Walk,
    match: Callable[[str], Matching],
    key: Callable[[], str],
    say: Callable[[str], None],
    keep: Callable[[Walk], None],
) -> Walk:
    """Ask about every name and return the walk when all are answered or the person stops.

    Parameters
    ----------
    walk : Walk
        The names to ask about.
    match : Callable[[str], Matching]
        What a name may be.
    key : Callable[[], str]
        The next key; empty at the end of input, which stops.
    say : Callable[[str], None]
        Where the questions go.
    keep : Callable[[Walk], None]
        Called after every answer, so that nothing is lost when the power goes.
    """
    place = 0
    answers: list[str] = []
    while place < len(walk.names):
        unknown = walk.names[place]
        matching = match(unknown.name)
        say(question(unknown, matching, place + 1, len(walk.names)))
        while True:
            pressed = key().lower()
            if pressed in ("", "q", "\x03", "\x04"):
                walk.stopped = True
                return walk
            if pressed == "b":
                if not answers:
                    say("This is the first one.")
                    continue
                _take_back(walk, answers.pop(), walk.names[place - 1].name)
                place -= 1
                keep(walk)
                break
            if pressed == "s":
                walk.later.append(unknown.name)
            elif pressed == "n":
                walk.none_fits.append(name_key(unknown.name))
                say(f'   Write it from the pack: labeller ingredient --from-pack --name "{unknown.name}" --into BOOK')
            elif pressed.isdigit() and 1 <= int(pressed) <= len(matching.candidates):
                chosen = matching.candidates[int(pressed) - 1]
                walk.taken.append((unknown.name, chosen))
                say(f"   '{unknown.name}' is {called(chosen)}")
            else:
                say(f"   '{pressed}' is no answer here. {KEYS}")
                continue
            answers.append(pressed)
            place += 1
            keep(walk)
            break
    return walk


def _take_back(walk: Walk, answer: str, name: str) -> None:
    if answer == "s":
        walk.later.remove(name)
    elif answer == "n":
        walk.none_fits.remove(name_key(name))
    else:
        walk.taken.pop()


def called(one: Candidate) -> str:
    """Return what a candidate is, as people read it."""
    return f"the shelf's {one.title}" if one.shelf else f"{one.composition} {one.title}"


def question(unknown: UnknownName, matching: Matching, number: int, of: int) -> str:
    """Return what is shown for one name: where it stands, what it may be, how sure and why."""
    lines = ["", f"{number} of {of}: '{unknown.name}' ({unknown.places})"]
    if matching.no_row:
        lines.append(f"   {matching.no_row[0].upper()}{matching.no_row[1:]}.")
    lines.extend(candidate_lines(matching))
    lines.append(f"   {KEYS}")
    return "\n".join(lines)


def candidate_lines(matching: Matching) -> list[str]:
    """Return the candidates of a name as people read them."""
    lines = []
    for place, one in enumerate(matching.candidates, start=1):
        lines.append(f"  {place}  {called(one)[:_WIDTH]}  [{one.sureness:.0f}]")
        lines.append(f"       {one.why}")
        if one.cautions:
            lines.append(f"       Look at: {'; '.join(one.cautions)}")
    return lines
