"""Sizes of cards as they stand on a counter or table, and the sheets they are cut from."""

from dataclasses import dataclass

from labeller.printing.sheet_words import SHEET_SIZES_MM, SheetWordsError, parse_label_size
from labeller.printing.sheets import Grid, cards_on_sheet

STANDING_MM: dict[str, tuple[float, float]] = {
    "a7": (105.0, 74.0),  # ISO 216, lying
    "a6": (148.0, 105.0),
    "a5": (210.0, 148.0),
    "tent": (130.0, 95.0),
}
"""The sizes with a name, width x height of what a guest sees, lying. Two tents stand on A4 and on Letter with room for marks beside them. [mm]"""
PAPERS_MM: dict[str, tuple[float, float]] = {"a4": SHEET_SIZES_MM["A4"], "letter": SHEET_SIZES_MM["Letter"]}
ORIENTATIONS = ("portrait", "landscape")
LEAST_SIDE_MM = 35.0
"""No card is smaller: its margins alone would leave no line of letters that a guest can read. [mm]"""


@dataclass(frozen=True, slots=True)
class CardSize:
    """A card as it stands: ``width`` and ``height`` of what a guest sees; one that is ``folded`` is twice as high when it lies flat. [mm]"""

    name: str
    width: float
    height: float
    folded: bool = False

    @property
    def flat_height(self) -> float:
        """Height of what is cut out. [mm]"""
        return 2.0 * self.height if self.folded else self.height

    def grid(self, paper: tuple[float, float]) -> Grid:
        """Return where cards of this size lie on a sheet.

        Raises
        ------
        SheetWordsError
            If not even one fits, with the figures.
        """
        return cards_on_sheet(paper, (self.width, self.flat_height))


def parse_card_size(text: str, orientation: str | None = None, flag: str = "--size") -> CardSize:
    """Return a size as written: a7, a6, a5, tent, or ``90x50``.

    Parameters
    ----------
    text : str
        The name, or width x height in millimetres.
    orientation : str, optional
        ``portrait`` or ``landscape``; named sizes lie unless said, others are as written.
    flag : str
        Where it was written, for the message.

    Raises
    ------
    SheetWordsError
        If it is no size, saying what to write.
    """
    name = text.strip().lower()
    if name in STANDING_MM:
        width, height = STANDING_MM[name]
    else:
        if not any(letter.isdigit() for letter in name):
            known = ", ".join(STANDING_MM)
            raise SheetWordsError(
                f"{flag}: '{text}' is not a size of card. Write {known}, or width x height in millimetres such as 90x60."
            )
        width, height = parse_label_size(text, flag)
        if min(width, height) < LEAST_SIDE_MM:
            raise SheetWordsError(
                f"{flag}: '{text}' has a side below {LEAST_SIDE_MM:g} mm, too small for letters that a guest can read. "
                f"Write a larger card, such as 74x52."
            )
        name = f"{width:g}x{height:g}"
    if orientation is not None:
        wanted = orientation.strip().lower()
        if wanted not in ORIENTATIONS:
            raise SheetWordsError(
                f"--orientation: '{orientation}' is not a way to stand. Write portrait or landscape."
            )
        short, long = sorted((width, height))
        width, height = (short, long) if wanted == "portrait" else (long, short)
        if name not in STANDING_MM:
            name = f"{width:g}x{height:g}"
    return CardSize(name, width, height, folded=name == "tent")


def parse_paper(text: str, flag: str = "--paper") -> tuple[float, float]:
    """Return width and height of the sheet in the printer, ``a4`` or ``letter``. [mm]

    Raises
    ------
    SheetWordsError
        If it is neither.
    """
    found = PAPERS_MM.get(text.strip().lower())
    if found is None:
        raise SheetWordsError(f"{flag}: '{text}' is not a sheet for cards. Write a4 or letter.")
    return found
