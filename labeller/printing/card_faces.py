"""The side of a card that is read: its size, its letters, where texts may stand; and a card too small for what it must say."""

from dataclasses import dataclass, replace

from labeller.printing import house
from labeller.printing.card_sizes import CardSize
from labeller.printing.page import Box

MOST_CARDS = 4
"""A dish that would need more cards than this is refused: nobody stands five in front of one dish."""
EDGE_MM = 1.0
"""How far letters stay from what a printer cannot reach. [mm]"""
_MARGIN_SHARE = 0.096


@dataclass(frozen=True, slots=True)
class CardTooSmall:
    """A card that cannot carry what it must say. [mm]"""

    of: str
    size: CardSize
    too_wide: tuple[str, ...] = ()

    @property
    def problem(self) -> str:
        """What is wrong, in words."""
        said = f"'{self.of}' does not fit even {MOST_CARDS} cards of {self.size.name}, at the least size its letters may have"
        if self.too_wide:
            said += f"; '{self.too_wide[0]}' is wider than the card and may not be broken"
        return f"{said}."


@dataclass(frozen=True, slots=True)
class Face:
    """One side of a card that is read: its size, the sizes of its letters, where texts may stand. [mm]"""

    width: float
    height: float
    scale: house.Scale

    @property
    def space(self) -> Box:
        """Where texts may stand."""
        return Box(0.0, 0.0, self.width, self.height).inset(self.scale.margin_mm)


def face_of(size: CardSize, clear_edge_mm: float = 0.0) -> Face:
    """Return the side of a card a guest reads.

    Parameters
    ----------
    size : CardSize
        The card.
    clear_edge_mm : float
        How far what a printer cannot reach extends into a card of the sheet; see `sheets.Grid.clear_edge`. [mm]
    """
    scale = house.card_scale(size.width, size.height)
    margin = min(scale.margin_mm, _MARGIN_SHARE * min(size.width, size.height))
    return Face(size.width, size.height, replace(scale, margin_mm=max(margin, clear_edge_mm + EDGE_MM)))
