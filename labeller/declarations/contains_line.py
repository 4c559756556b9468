"""The line after the list that names every allergen, as the law words it."""

from dataclasses import dataclass

from labeller.allergens.vocabulary import GENERAL_OF_KIND, load_vocabulary
from labeller.declarations.allergen_rows import CONTAINS
from labeller.declarations.declaring import Declaration
from labeller.jurisdictions.terms import Citation


@dataclass(frozen=True, slots=True)
class ContainsLine:
    """A Contains line; ``text`` is empty where this law asks for none beside a list.

    ``words`` are the names in it, ``bold`` whether the law wants it bold, ``to_be_named`` the groups whose single species the law
    wants and the evidence does not tell.
    """

    text: str
    words: tuple[str, ...]
    bold: bool
    to_be_named: tuple[str, ...]
    clause: Citation


def contains_line(declaration: Declaration) -> ContainsLine:
    """Return the line for a food that bears a list of ingredients."""
    law = declaration.law
    emphasis = law.emphasis
    kinds = load_vocabulary().sources
    words: dict[str, None] = {}
    unnamed: list[str] = []
    for row in declaration.allergens:
        if row.status != CONTAINS:
            continue
        for source in row.sources:
            kind = kinds.get(source, source)
            if row.group.species_named and GENERAL_OF_KIND.get(kind) == source:
                unnamed.append(row.group.name)
            words.update(dict.fromkeys(law.source_name(source, kind).in_contains))
    wanted = emphasis.contains_line in ("optional", "required") and bool(words)
    return ContainsLine(
        f"{emphasis.contains_word}: {', '.join(words)}." if wanted else "",
        tuple(words),
        emphasis.style == "bold",
        tuple(dict.fromkeys(unnamed)),
        emphasis.clause,
    )
