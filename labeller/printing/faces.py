"""The faces paper is set in: how wide a text is, how tall its letters are, which letters a face has.

Everything is read from the compiled metrics beside the fonts; no outline and no library is touched until a page is painted.
"""

import json
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path
from typing import Any, Literal, get_args

from labeller.foundations.places import reference_data_folder

FaceName = Literal[
    "sans",
    "sans-italic",
    "sans-bold",
    "narrow",
    "narrow-bold",
    "serif",
    "serif-italic",
    "serif-bold",
    "sans-figures",
    "sans-bold-figures",
    "narrow-figures",
    "narrow-bold-figures",
]
"""The faces. Those named figures are the same letters with every figure as wide as the others, for columns of figures."""
FACE_NAMES: tuple[FaceName, ...] = get_args(FaceName)

MM_PER_POINT = 25.4 / 72.0
"""One point of paper, 1/72 inch. [mm]"""

# A face that holds every letter of living Latin, Greek and Cyrillic, to set a text in whose own face lacks a letter.
_FULLER: dict[FaceName, FaceName] = {"serif": "sans", "serif-italic": "sans-italic", "serif-bold": "sans-bold"}


@dataclass(frozen=True, slots=True, eq=False)
class Face:
    """One face: a family in one weight and slope.

    Lengths are shares of the size of the letters (1 is one em). ``x_height`` and ``o_height`` are measured from the outlines of ``x`` and
    ``o``; ``x_height_declared`` is what the font file says of itself, and ``x_height`` is never more. ``own_glyphs`` are the
    numbers of glyphs shown for letters in place of the usual. ``ascent`` and ``descent`` are the height and depth of all plain
    letters, figures and points (ASCII); only accents on capitals reach higher.
    """

    name: FaceName
    path: Path
    postscript_name: str
    x_height: float
    x_height_declared: float
    o_height: float
    cap_height: float
    ascent: float
    descent: float
    advances: dict[str, float] = field(repr=False)
    bottoms: dict[str, float] = field(repr=False)
    tops: dict[str, float] = field(repr=False)
    kerning_left: dict[str, int] = field(repr=False)
    kerning_right: dict[str, int] = field(repr=False)
    kerning_moves: tuple[tuple[float, ...], ...] = field(repr=False)
    own_glyphs: dict[str, int] = field(default_factory=dict, repr=False)

    def has(self, letter: str) -> bool:
        """Return whether the face has a letter."""
        return letter in self.advances

    def kern(self, left: str, right: str) -> float:
        """Return how much closer (negative) or farther two letters stand. [em]"""
        row = self.kerning_left.get(left)
        if row is None:
            return 0.0
        column = self.kerning_right.get(right)
        return 0.0 if column is None else self.kerning_moves[row][column]


@cache
def face(name: FaceName) -> Face:
    """Return a face by its name.

    Raises
    ------
    KeyError
        If there is no face of that name.
    """
    if name not in FACE_NAMES:
        raise KeyError(f"There is no face '{name}': the faces are {', '.join(FACE_NAMES)}.")
    folder = reference_data_folder() / "fonts"
    if name.endswith("-figures"):
        return _with_figures(name, json.loads((folder / "figures.metrics.json").read_text(encoding="utf-8"))[name])
    row = json.loads((folder / f"{name}.metrics.json").read_text(encoding="utf-8"))
    em = float(row["units_per_em"])
    codes: str = row["codes"]
    kerning = row["kerning"]
    return Face(
        name,
        folder / row["made_from"],
        row["postscript_name"],
        row["x_height"] / em,
        row["x_height_declared"] / em,
        row["o_height"] / em,
        row["cap_height"] / em,
        row["ascent"] / em,
        row["descent"] / em,
        {letter: wide / em for letter, wide in zip(codes, row["advances"], strict=True)},
        {letter: low / em for letter, low in zip(codes, row["bottoms"], strict=True)},
        {letter: high / em for letter, high in zip(codes, row["tops"], strict=True)},
        _by_letter(kerning["left"]),
        _by_letter(kerning["right"]),
        tuple(tuple(move / em for move in moves) for moves in kerning["moves"]),
        {"\u00ad": row["soft_hyphen_glyph"]},
    )


def _with_figures(name: FaceName, row: dict[str, Any]) -> Face:
    """Return a face with figures of equal width: those are not kerned, or they would not stand under each other."""
    base = face(row["base"])
    em = float(row["units_per_em"])
    figures = {letter: values for letter, values in row.items() if letter.isdigit()}
    return replace(
        base,
        name=name,
        postscript_name=f"{base.postscript_name}-Figures",
        advances=base.advances | {letter: wide / em for letter, (_, wide, _, _) in figures.items()},
        bottoms=base.bottoms | {letter: low / em for letter, (_, _, low, _) in figures.items()},
        tops=base.tops | {letter: high / em for letter, (_, _, _, high) in figures.items()},
        kerning_left={letter: one for letter, one in base.kerning_left.items() if letter not in figures},
        kerning_right={letter: one for letter, one in base.kerning_right.items() if letter not in figures},
        own_glyphs=base.own_glyphs | {letter: number for letter, (number, _, _, _) in figures.items()},
    )


def _by_letter(classes: dict[str, str]) -> dict[str, int]:
    return {letter: int(row) for row, letters in classes.items() for letter in letters}


@cache
def _width_em(text: str, name: FaceName) -> float:
    return sum(steps_em(text, name))


def steps_em(text: str, name: FaceName) -> list[float]:
    """Return how far the pen moves for each letter of a text, kerning with the next letter included. [em]"""
    one = face(name)
    advances, left, right, moves = one.advances, one.kerning_left, one.kerning_right, one.kerning_moves
    steps: list[float] = []
    row: int | None = None
    for letter in text:
        if row is not None:
            column = right.get(letter)
            if column is not None:
                steps[-1] += moves[row][column]
        steps.append(advances[letter])
        row = left.get(letter)
    return steps


def text_width_mm(text: str, name: FaceName, size_pt: float) -> float:
    """Return how wide a text is when set in one line. [mm]

    Parameters
    ----------
    text : str
        Text the face has every letter of; see `labeller.printing.letters`.
    name : FaceName
        The face.
    size_pt : float
        Size of the letters. [pt]
    """
    return _width_em(text, name) * size_pt * MM_PER_POINT


@cache
def ink_em(text: str, name: FaceName) -> tuple[float, float]:
    """Return how far the outlines of a text reach below (negative) and above the base line. [em]"""
    one = face(name)
    return min((one.bottoms[letter] for letter in text), default=0.0), max(
        (one.tops[letter] for letter in text), default=0.0
    )


def size_pt_for_x_height(x_height_mm: float, name: FaceName) -> float:
    """Return the size at which the lower-case x of a face is so tall. [pt]

    Parameters
    ----------
    x_height_mm : float
        Height of the lower-case x. [mm]
    name : FaceName
        The face.
    """
    return x_height_mm / (face(name).x_height * MM_PER_POINT)


def x_height_mm_at_size(size_pt: float, name: FaceName) -> float:
    """Return how tall the lower-case x of a face is at a size. [mm]"""
    return face(name).x_height * size_pt * MM_PER_POINT


def face_with_letters(text: str, name: FaceName) -> FaceName:
    """Return a face that has every letter of a text: the one asked for, or the fuller one of its weight and slope.

    The serif has the letters of European languages; the sans also has those of transliterations and of African and Asian
    languages in Latin and Cyrillic. A text is set in one face from end to end, so a missing letter moves all of it.
    Where neither has a letter the face asked for is returned: `letters.letters_not_set` then says which.
    """
    own, fuller = face(name), _FULLER.get(name)
    if fuller is None or all(own.has(letter) for letter in text):
        return name
    return fuller if all(face(fuller).has(letter) for letter in text) else name


def letters_that_fit(text: str, name: FaceName, size_pt: float, width_mm: float) -> int:
    """Return how many letters from the start of a text fit into a width; at least one, so that setting always goes on."""
    room = width_mm / (size_pt * MM_PER_POINT)
    reached: list[float] = []
    at = 0.0
    for step in steps_em(text, name):
        at += step
        reached.append(at)
    return max(1, _fitting(reached, room))


def _fitting(reached: Sequence[float], room: float) -> int:
    return bisect_left(reached, room + 1e-9)
