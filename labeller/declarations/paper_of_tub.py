"""Everything a container label says: a preparation, a part it gives, or a bought-in good once opened or decanted."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from labeller.declarations.declaring import Declaration, Declarer
from labeller.declarations.keeping_times import day_in_words
from labeller.declarations.paper_alcohol import AlcoholLines, staff_alcohol
from labeller.declarations.paper_allergens import AllergenLines, staff_allergens
from labeller.declarations.paper_opened import opened_good
from labeller.declarations.paper_phrases import phrase
from labeller.declarations.paper_unvouched import Unvouched, unvouched
from labeller.declarations.paper_use_by import ThingKind, UseBy, given_of, use_by
from labeller.foundations.faults import Fault
from labeller.foundations.names import capitalised


@dataclass(frozen=True, slots=True)
class TubWords:
    """The words of one container label, for staff.

    Attributes
    ----------
    name : str
        What it is.
    of : str
        The preparation it comes from, where it bears another name; empty else.
    made : str
        'Made on 25 November 2026', or 'Opened on ...'.
    use_by : UseBy
        ``use_by.line`` and ``use_by.reason`` are printed, ``use_by.notes`` go to the error stream.
    storage, reheat : str
        Whole sentences; ``reheat`` is empty where the book gives none.
    batch : str
        The batch as given, a blank to be written in else.
    by : str
        Left blank.
    allergens : AllergenLines
        With what is not known, and because of what.
    alcohol : AlcoholLines
        By strength where it pours, else by 100 g.
    caution : str
        One caution for staff.
    notes : tuple of Fault
        What somebody should know or mend, with the line of the book.
    unvouched : tuple of Unvouched
        What the label leaves open.
    declaration : Declaration
        What it is all taken from.
    """

    name: str
    of: str
    made: str
    use_by: UseBy
    storage: str
    reheat: str
    batch: str
    by: str
    allergens: AllergenLines
    alcohol: AlcoholLines
    caution: str
    notes: tuple[Fault, ...]
    unvouched: tuple[Unvouched, ...]
    declaration: Declaration


def tub_words(
    declarer: Declarer,
    kind: ThingKind,
    name: str,
    made: date,
    *,
    made_days: Mapping[str, date] | None = None,
    batch: str = "",
) -> TubWords:
    """Return the words of a container label.

    Parameters
    ----------
    kind : str
        ``given`` for one thing a preparation gives, ``ingredient`` for a good once opened, ``dish`` for a dish made ahead.
    name : str
        As the book has it.
    made : date
        Day it was made or opened.
    made_days : mapping of str to date, optional
        Days its parts were made or opened, by name, where known.
    batch : str
        Mark of the batch.

    Raises
    ------
    KeyError
        If the book has nothing of that name and kind.
    """
    book = declarer.workings.book
    of = reheat = ""
    if kind == "ingredient":
        declaration = opened_good(declarer, name)
    elif kind == "dish":
        declaration, reheat = declarer.dish(name), book.dishes[name].reheat
    else:
        declaration = declarer.given(name)
        preparation, _ = given_of(book, name)
        of = preparation.name if preparation.name != name else ""
        reheat = preparation.reheat
    life = use_by(book, declaration.law, kind, name, made, made_days)
    head = phrase("opened_on" if kind == "ingredient" else "made_on")
    return TubWords(
        declaration.name,
        of,
        f"{head} {day_in_words(made)}",
        life,
        life.storage,
        f"{capitalised(reheat).rstrip('.')}." if reheat else "",
        batch or phrase("blank"),
        phrase("blank"),
        staff_allergens(declaration),
        staff_alcohol(declarer, declaration),
        phrase("staff_caution"),
        life.notes,
        unvouched([declaration]),
        declaration,
    )
