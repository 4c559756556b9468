"""Where a line may end: between words, at hyphens, at soft hyphens, and within a word only where no line is wide enough for it."""

import re
from dataclasses import dataclass

from labeller.printing.faces import FaceName, letters_that_fit, text_width_mm
from labeller.printing.letters import SOFT_HYPHEN

Pieces = tuple[tuple[str, FaceName], ...]

_VOWELS = frozenset("aeiouyæøåäöüáàâãéèêëíìîïóòôõúùûýąęœαεηιουωάέήίόύώаеёиоуыэюяіїє")
# Two letters that stand for one sound are not parted; Greek and Cyrillic need none that matter here.
_DIGRAPHS = frozenset({"ch", "ck", "sh", "th", "ph", "qu", "sz", "cz", "rz", "dz", "gn", "gh"})
_LEAST_PART = 3


@dataclass(frozen=True, slots=True)
class Part:
    """What is never parted: a word, or a part of one; after it a line may end.

    ``after`` says what follows: ``space``, ``sign`` (it ends with a hyphen or slash of its own), ``soft`` (a soft hyphen is added if the line
    ends here), ``end``. ``space_width`` is the width of the space after it, 0 where there is none. [mm]
    """

    pieces: Pieces
    width: float
    after: str
    space: Pieces = ()
    space_width: float = 0.0
    forced: bool = False


def pieces_width_mm(pieces: Pieces, size_pt: float) -> float:
    """Return the width of pieces set one after the other. [mm]"""
    return sum(text_width_mm(text, name, size_pt) for text, name in pieces)


def merged(pieces: list[tuple[str, FaceName]]) -> Pieces:
    """Return pieces with neighbours of one face made one."""
    found: list[tuple[str, FaceName]] = []
    for text, name in pieces:
        if not text:
            continue
        if found and found[-1][1] == name:
            found[-1] = (found[-1][0] + text, name)
        else:
            found.append((text, name))
    return tuple(found)


def parts_of(letters: list[tuple[str, FaceName]], size_pt: float, width_mm: float, longest_whole: int) -> list[Part]:
    """Return a text cut into parts after each of which a line may end.

    Parameters
    ----------
    letters : list of (letter, face)
        The text, letter by letter.
    size_pt : float
        Size of the letters. [pt]
    width_mm : float
        Width of a line: a word wider than it is cut. [mm]
    longest_whole : int
        Words up to so many letters are never cut, and not parted at a soft hyphen either; 0 where any may be.
    """
    found: list[Part] = []
    word: list[tuple[str, FaceName]] = []
    for letter, name in [*letters, (" ", "sans")]:
        if letter != " ":
            word.append((letter, name))
            continue
        if word:
            found += _parts_of_word(word, size_pt, width_mm, longest_whole)
            word = []
        if found and found[-1].after == "end":
            last = found[-1]
            space: Pieces = ((" ", name),)
            found[-1] = Part(last.pieces, last.width, "space", space, pieces_width_mm(space, size_pt), last.forced)
    if found:
        last = found[-1]
        found[-1] = Part(last.pieces, last.width, "end", forced=last.forced)
    return found


def _parts_of_word(
    word: list[tuple[str, FaceName]], size_pt: float, width_mm: float, longest_whole: int
) -> list[Part]:
    whole = merged([(letter, name) for letter, name in word if letter != SOFT_HYPHEN])
    width = pieces_width_mm(whole, size_pt)
    length = sum(len(text) for text, _ in whole)
    if not whole:
        return []
    if length <= longest_whole and width <= width_mm:
        return [Part(whole, width, "end")]
    found: list[Part] = []
    for part, after in _at_signs(word, soft=length > longest_whole):
        pieces = merged(part)
        wide = pieces_width_mm(pieces, size_pt)
        ending = _hyphen_width(pieces, size_pt) if after == "soft" else 0.0
        if wide + ending > width_mm and sum(len(text) for text, _ in pieces) > longest_whole:
            found += _cut(part, after, size_pt, width_mm)
        else:
            found.append(Part(pieces, wide, after))
    return found


def _at_signs(word: list[tuple[str, FaceName]], *, soft: bool) -> list[tuple[list[tuple[str, FaceName]], str]]:
    """Return a word cut at its hyphens and soft hyphens, each part with what follows it."""
    found: list[tuple[list[tuple[str, FaceName]], str]] = []
    part: list[tuple[str, FaceName]] = []
    for place, (letter, name) in enumerate(word):
        last = place == len(word) - 1
        if letter == SOFT_HYPHEN:
            if part and soft and not last:
                found.append((part, "soft"))
                part = []
            continue
        part.append((letter, name))
        # A hyphen before a figure is a minus or a range, and one after a single letter (E-, N-) leaves too little.
        if letter in "-‐–/" and not last and len(part) > 2 and not word[place + 1][0].isdigit():
            found.append((part, "sign"))
            part = []
    found.append((part, "end"))
    return [one for one in found if one[0]]


def _hyphen_width(pieces: Pieces, size_pt: float) -> float:
    return text_width_mm(SOFT_HYPHEN, pieces[-1][1], size_pt)


def _cut(part: list[tuple[str, FaceName]], after: str, size_pt: float, width_mm: float) -> list[Part]:
    """Return a word no line is wide enough for, cut between its letters, where a syllable begins if it can be told."""
    found: list[Part] = []
    rest = part
    while True:
        pieces = merged(rest)
        wide = pieces_width_mm(pieces, size_pt)
        ending = _hyphen_width(pieces, size_pt) if after == "soft" else 0.0
        if wide + ending <= width_mm or len(rest) < 2:
            found.append(Part(pieces, wide, after, forced=bool(found)))
            return found
        # Measured in the wider face of the two a word may hold, so that a part never reaches beyond the line.
        names = {one for _, one in rest}
        text = "".join(letter for letter, _ in rest)
        room = width_mm - max(text_width_mm(SOFT_HYPHEN, one, size_pt) for one in names)
        most = min(letters_that_fit(text, one, size_pt, room) for one in names)
        most = max(1, min(most, len(rest) - 1))
        if len(rest) - most < _LEAST_PART:
            most = max(1, len(rest) - _LEAST_PART)
        at = _place_to_cut(text, most)
        pieces = merged(rest[:at])
        found.append(Part(pieces, pieces_width_mm(pieces, size_pt), "soft", forced=True))
        rest = rest[at:]


def _place_to_cut(text: str, most: int) -> int:
    """Return where to cut a text of letters, at most after ``most``: before a consonant that a vowel follows, if one is near."""
    lower = text.lower()
    for at in range(most, max(_LEAST_PART - 1, most // 2), -1):
        if at >= len(lower) - 1:
            continue
        before, here, behind = lower[at - 1], lower[at], lower[at + 1]
        if not (before.isalpha() and here.isalpha()) or before + here in _DIGRAPHS:
            continue
        if here not in _VOWELS and behind in _VOWELS and re.search(r"\w", lower[:at]):
            return at
    return most
