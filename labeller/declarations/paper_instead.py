"""What another thing brings that may stand on the plate in place of a part: a dish is declared as written, and a guest may get the other."""

from labeller.declarations.allergen_rows import CONTAINS, MAY_CONTAIN, NONE_DECLARED, UNCONFIRMED, AllergenRow
from labeller.declarations.declaring import Declaration, Declarer
from labeller.declarations.facts_of_book import line_name
from labeller.declarations.marked_text import MarkedText, Writer
from labeller.declarations.paper_allergens import may_sources
from labeller.declarations.paper_names import group_and_sources, group_left_open, needs_asking
from labeller.declarations.paper_phrases import phrase
from labeller.declarations.paper_unvouched import Unvouched, unvouched
from labeller.kitchen.working_out import PlateLine


def instead_of(declarer: Declarer, declaration: Declaration) -> tuple[tuple[MarkedText, tuple[Unvouched, ...]], ...]:
    """Return a line for every other thing that brings allergens or alcohol the dish as written is not declared with.

    Parameters
    ----------
    declaration : Declaration
        Of a dish, as written.

    Returns
    -------
    tuple of (MarkedText, tuple of Unvouched)
        Whole sentences, the allergens set apart, and what each has to ask about; none where nothing the plate allows brings
        anything more.
    """
    plate = declaration.plate
    if plate is None:
        return ()
    found: dict[MarkedText, tuple[Unvouched, ...]] = {}
    known = set(unvouched([declaration]))
    batches = [line.batch for line in plate.lines]
    for place, line in enumerate(plate.lines):
        for other in line.swaps:
            swapped = [*batches[:place], other.batch, *batches[place + 1 :]]
            after = declarer.of_lines(declaration.name, "dish", swapped, plate)
            text = _brought(declaration, after, line, other)
            if text.text:
                found.setdefault(text, tuple(one for one in unvouched([after]) if one not in known))
    return tuple(found.items())


def _brought(before: Declaration, after: Declaration, line: PlateLine, other: PlateLine) -> MarkedText:
    law = before.law
    contains: list[str] = []
    may: list[str] = []
    ask: list[str] = []
    for old, new in zip(before.allergens, after.allergens, strict=True):
        if new.status == CONTAINS:
            more = tuple(one for one in new.sources if old.status != CONTAINS or one not in old.sources)
            if more or old.status != CONTAINS:
                contains.append(group_and_sources(law, new.group, more or new.sources))
        touched = tuple(one for one in may_sources(new) if one not in _held(old))
        if touched or (new.status == MAY_CONTAIN and old.status in (NONE_DECLARED, UNCONFIRMED)):
            may.append(group_and_sources(law, new.group, touched or new.sources))
        if needs_asking(new) and not needs_asking(old):
            ask.append(group_left_open(law, new))
    if after.alcohol.status == CONTAINS and before.alcohol.status != CONTAINS:
        contains.append(phrase("alcohol_word"))
    elif after.alcohol.status == UNCONFIRMED and before.alcohol.status == NONE_DECLARED:
        ask.append(phrase("alcohol_word"))
    parts = [
        (phrase(key), words)
        for key, words in (("also_contains", contains), ("also_may", may), ("also_ask", ask))
        if words
    ]
    if not parts:
        return MarkedText()
    writer = Writer()
    writer.add(phrase("instead_of", other=line_name(other), part=line_name(line)))
    for at, (head, words) in enumerate(parts):
        writer.add(f"{'; ' if at else ' '}{head} ")
        for number, word in enumerate(words):
            writer.add(", " if number else "")
            writer.add(word, marked=True)
    writer.add(".")
    return writer.done()


def _held(row: AllergenRow) -> frozenset[str]:
    """Return the sources a row already names, as in it or as what may be."""
    return frozenset((*row.sources, *(source for one in row.may_contain for source in one.sources)))
