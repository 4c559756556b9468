"""Everything a card or a menu note says of one dish, for guests; layout weights the parts and cuts nothing."""

from dataclasses import dataclass
from datetime import date

from labeller.declarations.declaring import Declaration, Declarer
from labeller.declarations.keeping_times import day_in_words
from labeller.declarations.marked_text import MarkedText
from labeller.declarations.paper_alcohol import AlcoholLines, guest_alcohol
from labeller.declarations.paper_allergens import AllergenLines, guest_allergens
from labeller.declarations.paper_claims import Claims, claims_of
from labeller.declarations.paper_energy import EnergyLines, energy_lines
from labeller.declarations.paper_in_language import TranslatedAllergens, translated_allergens
from labeller.declarations.paper_instead import instead_of
from labeller.declarations.paper_phrases import phrase
from labeller.declarations.paper_unvouched import Unvouched, unvouched


@dataclass(frozen=True, slots=True)
class DishWords:
    """The words of one dish for guests.

    Attributes
    ----------
    name, description, course : str
        As the book has them.
    allergens : AllergenLines
        ``allergens.lines()`` are the lines to print.
    instead : tuple of MarkedText
        What other things bring that may stand on the plate in place of a part, a sentence each, printed below the allergens.
    alcohol : AlcoholLines
        ``alcohol.short`` is the line, ``alcohol.caution`` its caution. Where none is in the recipe a card may leave the line out.
    claims : Claims
        ``claims.line`` is printed, ``claims.refused`` goes to the error stream.
    energy : EnergyLines
        For those who want it; ``energy.statements`` stand once on a page.
    caution : str
        One caution for guests.
    day : str
        Day of the law, in words.
    in_language : TranslatedAllergens or None
        The allergens in another language where one was asked for.
    unvouched : tuple of Unvouched
        What the paper asks about.
    declaration : Declaration
        What it is all taken from.
    """

    name: str
    description: str
    course: str
    allergens: AllergenLines
    instead: tuple[MarkedText, ...]
    alcohol: AlcoholLines
    claims: Claims
    energy: EnergyLines
    caution: str
    day: str
    in_language: TranslatedAllergens | None
    unvouched: tuple[Unvouched, ...]
    declaration: Declaration


def dish_words(
    declarer: Declarer,
    dish: str,
    *,
    language: str | None = None,
    children: bool = False,
    printed_on: date | None = None,
) -> DishWords:
    """Return the words of one dish.

    Parameters
    ----------
    language : str, optional
        Code of a language on file, in which the allergens are named as well.
    children : bool
        True on a children's menu.
    printed_on : date, optional
        Day that stands on the paper, that of the law where it is not given.

    Raises
    ------
    KeyError
        Where no plate of that name was laid.
    NoTranslationError
        Where the language is not on file.
    """
    declaration = declarer.dish(dish)
    instead = instead_of(declarer, declaration)
    entry = declarer.workings.plates[dish].dish
    return DishWords(
        declaration.name,
        entry.description,
        entry.course,
        guest_allergens(declaration),
        tuple(text for text, _ in instead),
        guest_alcohol(declarer, declaration),
        claims_of(declarer, dish),
        energy_lines(declaration, children=children),
        phrase("guest_caution"),
        day_in_words(printed_on or declaration.law.day),
        translated_allergens(declaration, language) if language is not None else None,
        tuple(dict.fromkeys((*unvouched([declaration]), *(one for _, asked in instead for one in asked)))),
        declaration,
    )
