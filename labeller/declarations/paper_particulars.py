"""What a label for sale carries, as plain values: particulars, what is missing, the whole."""

from dataclasses import dataclass

from labeller.declarations.ingredient_list import Label
from labeller.declarations.ingredient_quantities import IngredientQuantity
from labeller.declarations.marked_text import MarkedText
from labeller.declarations.paper_unvouched import Unvouched
from labeller.declarations.paper_use_by import UseBy
from labeller.foundations.faults import Fault
from labeller.jurisdictions.terms import Citation


class UnknownOfferError(LookupError):
    """An offer this law has no rule for; the message says the mend."""


@dataclass(frozen=True, slots=True)
class Particular:
    """One particular of a label.

    ``key`` is the law's word for it in the pack (``net quantity``) or ours for what the house adds (``alcohol``); ``text`` is whole
    and stands as it is, its spans set apart; ``needed`` tells whether the offer needs it; ``bold`` whether all of it is bold by law.
    """

    key: str
    text: MarkedText
    needed: bool
    bold: bool = False


@dataclass(frozen=True, slots=True)
class MissingParticular:
    """What the label still lacks, and the mend. ``must`` is false for what somebody should look at before it is sold."""

    key: str
    problem: str
    mend: str
    must: bool = True

    def as_text(self) -> str:
        """Return it in one line."""
        return f"{self.key}: {self.problem} {self.mend}"


@dataclass(frozen=True, slots=True)
class SaleParticulars:
    """Everything a label for sale carries.

    Attributes
    ----------
    name, offer, jurisdiction : str
        Of what, for which offer, by whose law.
    particulars : tuple of Particular
        In the order of the law, then what the house adds.
    label : Label
        The list of ingredients with its line and quantities, as `label_of` gives it.
    quantities : tuple of IngredientQuantity
        Shares the name calls for; they stand in the list already.
    use_by : UseBy
        The day and its reason.
    nutrition : str
        ``required``, ``voluntary`` or ``exempt``; ``nutrition_note`` says who is free of it.
    statements : tuple of str
        Words of this country beside the particulars.
    missing : tuple of MissingParticular
        What is missing or to be looked at, with the mend.
    notes : tuple of Fault
        What the day rests on, with the line of the book; for the error stream.
    unvouched : tuple of Unvouched
        What the label asks about.
    clause : Citation
        Where the law says what this offer needs.
    """

    name: str
    offer: str
    jurisdiction: str
    particulars: tuple[Particular, ...]
    label: Label
    quantities: tuple[IngredientQuantity, ...]
    use_by: UseBy
    nutrition: str
    nutrition_note: str
    statements: tuple[str, ...]
    missing: tuple[MissingParticular, ...]
    notes: tuple[Fault, ...]
    unvouched: tuple[Unvouched, ...]
    clause: Citation

    def particular(self, key: str) -> Particular | None:
        """Return one particular by its key."""
        return next((one for one in self.particulars if one.key == key), None)

    @property
    def lacking(self) -> tuple[MissingParticular, ...]:
        """What must be settled before the label may be used."""
        return tuple(one for one in self.missing if one.must)
