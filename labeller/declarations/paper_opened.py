"""A bought-in good once it is opened or decanted: declared like a batch of its own, with what its equipment passes on."""

import numpy as np

from labeller.declarations.declaring import Declaration, Declarer
from labeller.kitchen import constituents as c
from labeller.kitchen.batch import Batch

_GRAMS = 100.0


def opened_good(declarer: Declarer, ingredient: str) -> Declaration:
    """Declare 100 g of a bought-in good, as it stands in its tub.

    Raises
    ------
    KeyError
        If the book has no ingredient of that name.
    """
    workings = declarer.workings
    place = workings.larder.ids[ingredient]
    rows = (workings.larder.per_gram[place] * _GRAMS)[None, :]
    contacts = tuple(workings.contact_of.get(("ingredient", ingredient), ()))
    # What it contains itself is not also "may contain".
    others = tuple(contact for contact in contacts if contact.ingredient != place)
    batch = Batch(
        np.array([place], dtype=np.intp),
        rows,
        c.UNHEATED[None, :].copy(),
        {place: (workings.larder.names[place],)},
        contacts=others,
    )
    return declarer.of_lines(workings.larder.names[place], "preparation", [batch])
