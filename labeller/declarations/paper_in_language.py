"""The allergens of a paper in another language, by the names on file; a name is never made up."""

from dataclasses import dataclass

from labeller.declarations.allergen_rows import CONTAINS, MAY_CONTAIN, UNCONFIRMED, AllergenRow
from labeller.declarations.declaring import Declaration
from labeller.declarations.paper_allergens import may_sources
from labeller.declarations.paper_names import is_general, name_in, needs_asking
from labeller.foundations.names import capitalised
from labeller.jurisdictions.languages import label_word


@dataclass(frozen=True, slots=True)
class TranslatedAllergens:
    """The allergens in another language: heads and names on file; what has no name there stands in ``untranslated`` and in English."""

    language: str
    contains_head: str
    contains: tuple[str, ...]
    may_contain: tuple[str, ...]
    ask_about: tuple[str, ...]
    untranslated: tuple[str, ...]


def translated_allergens(declaration: Declaration, language: str) -> TranslatedAllergens:
    """Return the allergens in another language; a name is never made up.

    Raises
    ------
    NoTranslationError
        If the language is not on file.
    """
    head = label_word("contains", language)
    missing: dict[str, None] = {}
    found: dict[str, list[str]] = {CONTAINS: [], MAY_CONTAIN: [], UNCONFIRMED: []}
    for row in declaration.allergens:
        if row.status == CONTAINS:
            found[CONTAINS].append(_translated(row, row.sources, language, missing))
        sources = may_sources(row)
        if sources:
            found[MAY_CONTAIN].append(_translated(row, sources, language, missing))
        if needs_asking(row):
            found[UNCONFIRMED].append(_translated(row, (), language, missing))
    return TranslatedAllergens(
        language,
        capitalised(head),
        tuple(found[CONTAINS]),
        tuple(found[MAY_CONTAIN]),
        tuple(found[UNCONFIRMED]),
        tuple(missing),
    )


def _translated(row: AllergenRow, sources: tuple[str, ...], language: str, missing: dict[str, None]) -> str:
    group = name_in(language, row.group.name)
    if group is None:
        missing[row.group.name] = None
        group = row.group.name
    named: list[str] = []
    for source in sources:
        if is_general(source) or source in (row.group.name, row.group.name.removesuffix("s")):
            continue
        word = name_in(language, source)
        if word is None:
            missing[source] = None
            word = source
        if word != group:
            named.append(word)
    return f"{group} ({', '.join(dict.fromkeys(named))})" if named else group
