"""What an allergen sheet says: heads, dishes and cells in words, what stands below a dish, the legend. No layout here."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from labeller.allergens.vocabulary import load_vocabulary
from labeller.declarations.allergen_rows import CONTAINS, UNCONFIRMED, AllergenRow
from labeller.declarations.declaring import Declaration
from labeller.declarations.keeping_times import day_in_words
from labeller.declarations.marked_text import MarkedText
from labeller.declarations.notes_sections import Section
from labeller.declarations.paper_alcohol import alcohol_cell
from labeller.declarations.paper_allergens import (
    AllergenCell,
    allergen_cells,
    legend,
    may_sources,
    names_of,
    staff_allergens,
)
from labeller.declarations.paper_names import group_with_examples, group_word, is_general, name_in, needs_asking
from labeller.declarations.paper_phrases import phrase
from labeller.declarations.paper_unvouched import ALCOHOL, Unvouched
from labeller.declarations.paper_version import version_of
from labeller.declarations.words import listed
from labeller.foundations.names import capitalised
from labeller.jurisdictions.in_force import LawInForce
from labeller.printing.letters import NO_BREAK_SPACE

MORE_NOT_KNOWN = "More not known: ask"
NOT_KNOWN_EITHER = "Not known: ask"
"""At the foot of a cell whose group is in the dish, or may be, where something is open besides."""
_LEGEND_OF_BANDS = "At the foot of another cell: besides what the cell says."

_LONGEST_WHOLE = 14
_SUPPLIER = "add the supplier's statement"


@dataclass(frozen=True, slots=True)
class SheetHead:
    """Head of a column: the group, things at the table that belong to it, its name in another language; each may be empty but the first."""

    group: str
    name: str
    examples: str = ""
    translated: str = ""


@dataclass(frozen=True, slots=True)
class SheetCell:
    """One group of one dish: its name, the state in the contract's word and in those of paper, what it is, its names in another language, what is open besides."""

    group_words: str
    status: str
    head: str
    detail: str = ""
    translated: str = ""
    more: str = ""


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One dish: its cells in the order of the heads, and what stands below them."""

    of: str
    name: str
    cells: tuple[SheetCell, ...]
    notes: tuple[MarkedText, ...]


@dataclass(frozen=True, slots=True)
class SheetSection:
    """Dishes under one heading."""

    title: str
    rows: tuple[SheetRow, ...]


@dataclass(frozen=True, slots=True)
class SheetWords:
    """All words of an allergen sheet.

    Attributes
    ----------
    house, title : str
        Name of the kitchen, and what the sheet is.
    law : str
        By whose law, on which day.
    heads : tuple of SheetHead
        One for each group of the law, then alcohol.
    legend : tuple of (status, words, meaning)
        The four states in full words.
    caution, checked_by, checked_on : str
        Below the table; the two last are followed by a line to write on.
    version : str
        Which state of the declarations; see `paper_version.version_of`.
    language : str
        The other language of the sheet, empty where there is none.
    untranslated : tuple of str
        What has no name in it on file.
    """

    house: str
    title: str
    law: str
    heads: tuple[SheetHead, ...]
    sections: tuple[SheetSection, ...]
    legend: tuple[tuple[str, str, str], ...]
    caution: str
    checked_by: str
    checked_on: str
    version: str
    language: str
    untranslated: tuple[str, ...]

    def texts(self) -> tuple[str, ...]:
        """Return every text that is printed."""
        found = [
            self.house,
            self.title,
            self.law,
            self.caution,
            self.version,
            *(one for row in self.legend for one in row),
        ]
        found += [one for head in self.heads for one in (head.name, head.examples, head.translated)]
        for section in self.sections:
            found.append(section.title)
            for row in section.rows:
                found += [row.name, *(note.text for note in row.notes)]
                found += [one for cell in row.cells for one in (cell.head, cell.detail, cell.translated, cell.more)]
        return tuple(dict.fromkeys(found))


def sheet_words(
    declared: Sequence[tuple[Section, Sequence[Declaration]]],
    law: LawInForce,
    house: str,
    *,
    menu: str = "",
    language: str = "",
    instead: Mapping[str, Sequence[MarkedText]] | None = None,
) -> SheetWords:
    """Return the words of a sheet.

    Parameters
    ----------
    declared : sequence of (Section, sequence of Declaration)
        The dishes of each section, in the order of the sheet.
    law : LawInForce
        The law they are declared by.
    house : str
        Name of the kitchen.
    menu : str
        Name of the menu, empty for the whole book.
    language : str
        Code of a language in which groups and sources are named as well, empty for none.
    instead : mapping of str to sequence of MarkedText, optional
        By dish, what other things bring that its plate allows; see `paper_instead.instead_of`.
    """
    missing: dict[str, None] = {}
    heads = (*(_head(law, group.name, language, missing) for group in law.groups), SheetHead(ALCOHOL, "Alcohol"))
    sections = tuple(
        SheetSection(
            capitalised(section.title),
            tuple(_row(one, language, missing, (instead or {}).get(one.name, ())) for one in found),
        )
        for section, found in declared
    )
    title = f"Allergens and alcohol, dish by dish{f': {menu}' if menu else ''}"
    said = [house, title, law.title, *(f"{one.name} {one.examples}" for one in heads)]
    for section in sections:
        said.append(section.title)
        for row in section.rows:
            said += [row.name, *(f"{one.head} {one.detail} {one.more}" for one in row.cells)]
            said += [note.text for note in row.notes]
    return SheetWords(
        house,
        title,
        f"Law: {law.title}, {day_in_words(law.day)}",
        heads,
        sections,
        tuple(
            (status, words, f"{means} {_LEGEND_OF_BANDS}" if status == UNCONFIRMED else means)
            for status, words, means in legend()
        ),
        phrase("staff_caution"),
        "Checked by",
        "on",
        version_of(tuple(said)),
        language,
        tuple(missing),
    )


def not_vouched_for(declarations: Iterable[Declaration]) -> tuple[Unvouched, ...]:
    """Return everything a sheet for staff says is not known: every group to be asked about, beside another state too, and alcohol."""
    found: dict[Unvouched, None] = {}
    for one in declarations:
        mend_of = one.mends
        for group, ingredients in _open(one).items():
            for name in ingredients:
                found[Unvouched(one.name, group, name, mend_of.get(name) or _SUPPLIER)] = None
    return tuple(found)


def _open(declaration: Declaration) -> dict[str, tuple[str, ...]]:
    """Return the ingredients that leave each open group open, alcohol last."""
    found = {row.group.name: names_of(row.unconfirmed) for row in declaration.allergens if needs_asking(row)}
    if declaration.alcohol.unconfirmed:
        found[ALCOHOL] = names_of(declaration.alcohol.unconfirmed)
    return found


def _head(law: LawInForce, name: str, language: str, missing: dict[str, None]) -> SheetHead:
    group = law.group(name)
    if group is None:
        raise ValueError(f"The law of {law.code} has no group '{name}'.")
    word, _, examples = group_with_examples(law, group).partition(" (")
    other = _translated((name,), language, missing)
    return SheetHead(name, capitalised(word), _each_whole(examples.removesuffix(")")), other)


def _each_whole(examples: str) -> str:
    """Return examples with the words of each held together where it is short: dried fruit."""
    return ", ".join(
        one.replace(" ", NO_BREAK_SPACE) if len(one) <= _LONGEST_WHOLE else one for one in examples.split(", ")
    )


def _row(declaration: Declaration, language: str, missing: dict[str, None], instead: Sequence[MarkedText]) -> SheetRow:
    cells = [
        _cell(cell, group_word(declaration.law, row.group), _sources_translated(row, language, missing))
        for cell, row in zip(allergen_cells(declaration), declaration.allergens, strict=True)
    ]
    cells.append(_cell(alcohol_cell(declaration), ALCOHOL, ""))
    notes = (staff_allergens(declaration).may_contain, *instead, _left_open(declaration))
    return SheetRow(
        declaration.name, capitalised(declaration.name), tuple(cells), tuple(note for note in notes if note.text)
    )


def _cell(cell: AllergenCell, words: str, translated: str) -> SheetCell:
    # The ingredients that leave a group open stand once below the dish, not in each of its cells.
    detail = "" if cell.status == UNCONFIRMED else cell.detail
    more = ""
    if cell.also_not_known:
        more = MORE_NOT_KNOWN if cell.status == CONTAINS else NOT_KNOWN_EITHER
    return SheetCell(words, cell.status, cell.head, detail, translated, more)


def _sources_translated(row: AllergenRow, language: str, missing: dict[str, None]) -> str:
    """Return the sources of a cell in another language, told apart as in English: what is in it, what may be besides."""
    own = _translated(_finer(row, row.sources), language, missing)
    extra = _translated(_finer(row, may_sources(row)), language, missing) if row.status == CONTAINS else ""
    if not extra:
        return own
    said = f"{phrase('may_contain').lower()} {extra}"
    return f"{own}; {said}" if own else said


def _finer(row: AllergenRow, sources: tuple[str, ...]) -> tuple[str, ...]:
    """Return the sources that are finer than their group, in the order in which papers name them."""
    order = {name: place for place, name in enumerate(load_vocabulary().sources)}
    own = (row.group.name, row.group.name.removesuffix("s"))
    kept = (source for source in dict.fromkeys(sources) if not is_general(source) and source not in own)
    return tuple(sorted(kept, key=lambda one: (order.get(one, len(order)), one)))


def _translated(names: tuple[str, ...], language: str, missing: dict[str, None]) -> str:
    """Return names in another language; one that is not on file is not made up and goes into ``missing``."""
    if not language:
        return ""
    said: dict[str, None] = {}
    for name in names:
        word = name_in(language, name)
        if word is None:
            missing[name] = None
        else:
            said[word] = None
    return ", ".join(said)


def _left_open(declaration: Declaration) -> MarkedText:
    """Write which ingredients leave which groups open, as shortly as it can be said whole.

    By groups (milk and egg because of paste), or by ingredients where that is shorter; the groups unnamed where it is one reason for all:
    the cells name them.
    """
    law = declaration.law
    behind: dict[tuple[str, ...], list[str]] = {}
    leaves: dict[str, list[str]] = {}
    for name, ingredients in _open(declaration).items():
        group = law.group(name)
        words = group_word(law, group) if group is not None else name
        behind.setdefault(ingredients, []).append(words)
        for one in ingredients:
            leaves.setdefault(one, []).append(words)
    if not behind:
        return MarkedText()
    if len(behind) == 1:
        return _not_known(f" {phrase('left_open_by', ingredients=listed(list(leaves)))}.")
    by_groups = "; ".join(
        f"{listed(groups)} {phrase('left_open_by', ingredients=listed(list(names)))}"
        for names, groups in behind.items()
    )
    alike: dict[tuple[str, ...], list[str]] = {}
    for one, groups in leaves.items():
        alike.setdefault(tuple(groups), []).append(one)
    by_ingredients = "; ".join(f"{listed(names)} ({', '.join(groups)})" for groups, names in alike.items())
    shortest = min(by_groups, f"{phrase('left_open_by', ingredients=by_ingredients)}", key=len)
    return _not_known(f": {shortest}.")


def _not_known(rest: str) -> MarkedText:
    head = "Not known"
    return MarkedText(f"{head}{rest}", ((0, len(head)),))
