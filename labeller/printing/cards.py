"""Cards and tents of many dishes, put on sheets to be cut apart; and the size that would carry what a card is too small for."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import date

from labeller.printing.card_faces import CardTooSmall
from labeller.printing.card_layout import cards_of
from labeller.printing.card_sizes import PAPERS_MM, STANDING_MM, CardSize
from labeller.printing.card_tents import tents_of, with_fold_marks
from labeller.printing.card_words import CardText
from labeller.printing.page import Document, Page
from labeller.printing.sheet_words import SheetWordsError
from labeller.printing.sheets import PRINTER_MARGINS, Piece, put_on_sheets

_GROWTH = 1.1


@dataclass(frozen=True, slots=True)
class CardStock:
    """What cards are printed on: their size, and the sheet in the printer. [mm]"""

    size: CardSize
    paper: tuple[float, float]

    @property
    def clear_edge(self) -> float:
        """How far what a printer cannot reach extends into a card. [mm]"""
        return self.size.grid(self.paper).clear_edge(PRINTER_MARGINS)


def cards_for(text: CardText, stock: CardStock) -> tuple[Piece, ...] | CardTooSmall:
    """Return the cards of one dish, laid out."""
    make: Callable[[CardText, CardSize, float], tuple[Piece, ...] | CardTooSmall]
    make = tents_of if stock.size.folded else cards_of
    return make(text, stock.size, stock.clear_edge)


def card_pages(pieces: Iterable[Piece], stock: CardStock) -> tuple[Page, ...]:
    """Return sheets with cards on them, with marks to cut and to fold by.

    Raises
    ------
    SheetWordsError
        If not even one card fits the sheet.
    """
    grid = stock.size.grid(stock.paper)
    pages = put_on_sheets(tuple(pieces), grid, crop_marks=True)
    return with_fold_marks(pages, grid) if stock.size.folded else pages


def card_document(pages: tuple[Page, ...], house: str, day: date) -> Document:
    """Return the file of cards, with what it says of itself."""
    return Document(pages, f"Cards, {house}", "en", "Cards of dishes: allergens and alcohol", day)


def sizes_that_would(text: CardText, stock: CardStock) -> tuple[tuple[str, int], ...]:
    """Return sizes that carry what a card is too small for, as they are written after ``--size``, with how many cards each takes.

    The smallest that does at all, and the smallest that takes one card; none where no card of the sheet does. Named sizes come first: people
    have frames and stands for them.
    """
    here = stock.size
    upright = here.height > here.width
    larger = [
        CardSize(name, *(sides[::-1] if upright else sides))
        for name, sides in sorted(STANDING_MM.items(), key=lambda one: one[1])
        if name != "tent" and sides[0] * sides[1] > here.width * here.height
    ]
    width, height = here.width * _GROWTH, here.height * _GROWTH
    while max(width, height) <= max(stock.paper):
        larger.append(CardSize(f"{width:.0f}x{height:.0f}", round(width), round(height)))
        width, height = width * _GROWTH, height * _GROWTH
    found: list[tuple[str, int]] = []
    for size in larger:
        count = _count(text, replace(stock, size=size))
        if count and (not found or count == 1):
            found.append((size.name, count))
        if count == 1:
            break
    return tuple(found)


def _count(text: CardText, stock: CardStock) -> int:
    """Return how many cards of a size a dish takes, 0 where it does not fit them or they do not fit the sheet."""
    try:
        found = cards_for(text, stock)
    except SheetWordsError:
        return 0
    return 0 if isinstance(found, CardTooSmall) else len(found)


__all__ = ["PAPERS_MM", "CardStock", "card_document", "card_pages", "cards_for", "sizes_that_would"]
