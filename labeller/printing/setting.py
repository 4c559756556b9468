"""Set a text into lines of a width: no last word alone where it can be helped, nothing cut, nothing outside; `line_ends` says where lines end."""

import math
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from itertools import pairwise
from typing import Literal

from labeller.declarations.marked_text import MarkedText
from labeller.printing.breaking import Part, Pieces, merged, parts_of, pieces_width_mm
from labeller.printing.faces import (
    MM_PER_POINT,
    FaceName,
    face,
    face_with_letters,
    ink_em,
    size_pt_for_x_height,
)
from labeller.printing.letters import NO_BREAK_SPACE, SOFT_HYPHEN, composed, keep_amounts_together
from labeller.printing.line_ends import line_ends
from labeller.printing.page import WARNINGS, Box, Cell, Role, Run, TextLine
from labeller.printing.tones import BLACK, Ink

Align = Literal["left", "centre", "right"]

LONGEST_WHOLE_WORD = 30
"""Words of warnings up to so many letters are never broken: no law's name of an allergen is longer. Common practice, no source."""

_CLEAR_MM = 0.1
_ONE_EM_PT = 1.0 / MM_PER_POINT  # a size at which lengths in millimetres are lengths in ems


@dataclass(frozen=True, slots=True)
class Style:
    """How a text is set.

    Parameters
    ----------
    face, strong : FaceName
        The face, and the one for what is set apart in a marked text.
    size_pt : float
        Size of the letters. [pt]
    leading : float
        From one base line to the next, in sizes of the letters. [1]
    align : Align
        Where lines stand in their width.
    role : Role
        What the text is: decides its tag in the file, and for warnings that words are not broken.
    balanced : bool
        For titles: all lines about as long.
    least_x_height_mm : float
        Least height of the lower-case x by law or house, 0 for none. [mm]
    language : str
        BCP 47 tag where it is not the document's.
    """

    face: FaceName = "sans"
    strong: FaceName = "sans-bold"
    size_pt: float = 9.0
    leading: float = 1.28
    align: Align = "left"
    role: Role = "body"
    ink: Ink = BLACK
    balanced: bool = False
    least_x_height_mm: float = 0.0
    language: str = ""

    @property
    def least_size_pt(self) -> float:
        """The size at which both faces have letters of the least height; 0 where none is set. [pt]"""
        return max(size_pt_for_x_height(self.least_x_height_mm, one) for one in (self.face, self.strong))

    @property
    def leading_mm(self) -> float:
        """From one base line to the next. [mm]"""
        return self.size_pt * self.leading * MM_PER_POINT

    def sized(self, size_pt: float) -> "Style":
        """Return the style at another size. [pt]"""
        return replace(self, size_pt=size_pt)


@dataclass(frozen=True, slots=True)
class SetLine:
    """One line as set: its runs and width. [mm]

    ``hyphenated``: it ends with a soft hyphen put in; ``within_word``: it ends within a word, at a hyphen of the word's own or one put in.
    """

    runs: tuple[Run, ...]
    width: float
    hyphenated: bool = False
    within_word: bool = False

    @property
    def words(self) -> list[str]:
        """The words of the line."""
        return "".join(run.text for run in self.runs).split()


@dataclass(frozen=True)
class SetText:
    """A text set into lines of a width.

    ``height`` runs from the top of the first line's letters to the lowest of the last line's: space between texts is for the caller.
    ``too_wide`` are words that reach beyond the width because they may not be broken; empty where all is well.
    """

    lines: tuple[SetLine, ...]
    style: Style
    width: float
    too_wide: tuple[str, ...] = ()
    widest_word: float = 0.0

    @property
    def fits_width(self) -> bool:
        """Whether every line is within the width."""
        return not self.too_wide

    @cached_property
    def rise(self) -> float:
        """From the top to the first base line: the letters' own height, more where a capital bears an accent. [mm]"""
        if not self.lines:
            return 0.0
        return max((_up(run) for run in self.lines[0].runs), default=0.0)

    @cached_property
    def drop(self) -> float:
        """From the last base line to the bottom. [mm]"""
        if not self.lines:
            return 0.0
        return max((_down(run) for run in self.lines[-1].runs), default=0.0)

    @cached_property
    def leading(self) -> float:
        """From one base line to the next: the style's, wider where an accented capital would touch the line above. [mm]"""
        needed = self.style.leading_mm
        for above, below in pairwise(self.lines):
            down = max((-ink_em(run.text, run.face)[0] * run.size_pt for run in above.runs), default=0.0)
            up = max((ink_em(run.text, run.face)[1] * run.size_pt for run in below.runs), default=0.0)
            needed = max(needed, (down + up) * MM_PER_POINT + _CLEAR_MM)
        return needed

    @property
    def height(self) -> float:
        """Height of all lines. [mm]"""
        if not self.lines:
            return 0.0
        return self.rise + (len(self.lines) - 1) * self.leading + self.drop

    def down_to_middle(self, height_mm: float) -> float:
        """Return how far below the top of a band its text begins so that it looks centred in it: as much above its capitals as below its last base line. [mm]"""
        return (height_mm - self.seen_height) / 2.0 - (self.rise - self.capitals)

    @property
    def capitals(self) -> float:
        """Height of the capitals of the first line. [mm]"""
        if not self.lines:
            return 0.0
        return max(face(run.face).cap_height * run.size_pt * MM_PER_POINT for run in self.lines[0].runs)

    @property
    def seen_height(self) -> float:
        """From the top of the capitals to the last base line: what the eye takes for the text's height. [mm]"""
        return self.capitals + (len(self.lines) - 1) * self.leading if self.lines else 0.0

    @property
    def text(self) -> str:
        """The words, as a reader joins them: broken words made whole."""
        joined = ""
        for line in self.lines:
            words = "".join(run.text for run in line.runs).replace(NO_BREAK_SPACE, " ")
            joined += words[:-1] if line.hyphenated else words + ("" if line.within_word else " ")
        return joined.strip()

    def part(self, start: int, end: int) -> "SetText":
        """Return some of its lines as a text of their own, to go on in another place."""
        return SetText(self.lines[start:end], self.style, self.width, self.too_wide, self.widest_word)

    def placed(
        self, x: float, y: float, block: str, *, box: Box | None = None, cell: Cell | None = None
    ) -> tuple[TextLine, ...]:
        """Return the lines where they lie.

        Parameters
        ----------
        x, y : float
            Left and top of the text; the top is that of its letters. [mm]
        block : str
            Name of the paragraph, one for all its lines, other than every other's in the document.
        box : Box, optional
            What the lines must stay within; the text's own width and height if not given.
        cell : Cell, optional
            The cell of a table it stands in.
        """
        within = box or Box(x, y, self.width, self.height)
        return tuple(
            TextLine(
                line.runs,
                x + self._indent(line),
                y + self.rise + number * self.leading,
                line.width,
                within,
                self.style.role,
                block,
                self.style.language,
                self.style.ink,
                self.style.least_x_height_mm,
                line.hyphenated,
                line.within_word,
                cell,
            )
            for number, line in enumerate(self.lines)
        )

    def _indent(self, line: SetLine) -> float:
        spare = self.width - line.width
        return {"left": 0.0, "centre": spare / 2.0, "right": spare}[self.style.align]


def _up(run: Run) -> float:
    return max(face(run.face).ascent, ink_em(run.text, run.face)[1]) * run.size_pt * MM_PER_POINT


def _down(run: Run) -> float:
    return max(face(run.face).descent, -ink_em(run.text, run.face)[0]) * run.size_pt * MM_PER_POINT


@lru_cache(maxsize=8192)
def set_text(text: str | MarkedText, style: Style, width_mm: float) -> SetText:
    """Set one paragraph.

    Parameters
    ----------
    text : str or MarkedText
        Its words; spans set apart are set in ``style.strong``. Every letter must be one the face has: ask `letters.letters_not_set` first.
    style : Style
        How it is set.
    width_mm : float
        Width of a line. [mm]

    Returns
    -------
    SetText
        Its lines. A word wider than the line is broken at its hyphens, else between letters; a word of a warning only if it has more than
        `LONGEST_WHOLE_WORD` letters: else it is named in ``too_wide``.

    Raises
    ------
    ValueError
        If a letter is in no face.
    """
    longest_whole = LONGEST_WHOLE_WORD if style.role in WARNINGS else 0
    em = style.size_pt * MM_PER_POINT
    parts, widest_em = _whole_words(text, style.face, style.strong, longest_whole)
    too_wide: tuple[str, ...] = ()
    if widest_em * em <= width_mm:
        # No word is cut, so lines break alike at every size that is as many ems wide: what was measured once is measured for all.
        ends = line_ends(parts, width_mm / em, _ONE_EM_PT, balanced=style.balanced)
        widest = widest_em * em
    else:
        parts = parts_of(_letters(text, style.face, style.strong), style.size_pt, width_mm, longest_whole)
        ends = line_ends(parts, width_mm, style.size_pt, balanced=style.balanced)
        widest = max((part.width for part in parts), default=0.0)
        too_wide = tuple("".join(piece for piece, _ in part.pieces) for part in parts if part.width > width_mm + 1e-6)
    lines: list[SetLine] = []
    start = 0
    for end in ends:
        lines.append(_line(parts[start:end], style.size_pt))
        start = end
    return SetText(tuple(lines), style, width_mm, too_wide, widest)


def least_height_mm(text: str | MarkedText, style: Style, width_mm: float) -> float:
    """Return a height no setting of a text can be lower than: all its words without a gap at any line's end. [mm]

    Quick to tell, so that a box that is far too small is known without setting anything.
    """
    longest_whole = LONGEST_WHOLE_WORD if style.role in WARNINGS else 0
    parts, _ = _whole_words(text, style.face, style.strong, longest_whole)
    lines = math.ceil(sum(part.width for part in parts) * style.size_pt * MM_PER_POINT / width_mm - 1e-6)
    return max(0, lines - 1) * style.leading_mm


@lru_cache(maxsize=4096)
def _whole_words(
    text: str | MarkedText, plain: FaceName, strong: FaceName, longest_whole: int
) -> tuple[list[Part], float]:
    """Return a text cut into parts where no word need be broken, and the width of the widest with the hyphen it may end in. [em]"""
    parts = parts_of(_letters(text, plain, strong), _ONE_EM_PT, math.inf, longest_whole)
    widest = 0.0
    for part in parts:
        ending = pieces_width_mm(((SOFT_HYPHEN, part.pieces[-1][1]),), _ONE_EM_PT) if part.after == "soft" else 0.0
        widest = max(widest, part.width + ending)
    return parts, widest


def _letters(text: str | MarkedText, plain: FaceName, strong: FaceName) -> list[tuple[str, FaceName]]:
    pieces = ((text, False),) if isinstance(text, str) else text.pieces()
    ready = [(composed(piece), marked) for piece, marked in pieces]
    whole = "".join(piece for piece, _ in ready)
    bare = whole.replace(SOFT_HYPHEN, "")
    plain, strong = face_with_letters(bare, plain), face_with_letters(bare, strong)
    names = [strong if marked else plain for piece, marked in ready for _ in piece]
    missing = next((letter for letter, name in zip(whole, names, strict=True) if not face(name).has(letter)), None)
    if missing is not None:
        raise ValueError(
            f"'{whole}' holds U+{ord(missing):04X}, which no face has: ask `letters_not_set` before a text is set."
        )
    return list(zip(keep_amounts_together(whole), names, strict=True))


def _line(parts: list[Part], size_pt: float) -> SetLine:
    pieces: list[tuple[str, FaceName]] = []
    for number, part in enumerate(parts):
        pieces += part.pieces
        if number < len(parts) - 1:
            pieces += part.space
    hyphenated = parts[-1].after == "soft"
    if hyphenated:
        pieces.append((SOFT_HYPHEN, pieces[-1][1]))
    joined: Pieces = merged(pieces)
    # Parts of one word are measured apart, so the line's own width (with kerning across them) is measured again.
    width = pieces_width_mm(joined, size_pt)
    return SetLine(
        tuple(Run(text, name, size_pt) for text, name in joined),
        width,
        hyphenated,
        parts[-1].after in {"soft", "sign"},
    )
