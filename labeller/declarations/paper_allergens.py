"""Allergens of one declaration in the words of paper: for guests, for staff, and cell by cell for a sheet."""

from dataclasses import dataclass

from labeller.declarations.allergen_rows import (
    CONTAINS,
    MAY_CONTAIN,
    NONE_DECLARED,
    UNCONFIRMED,
    AllergenRow,
    MayContain,
)
from labeller.declarations.declaring import Declaration
from labeller.declarations.marked_text import MarkedText, Writer
from labeller.declarations.paper_names import (
    group_and_sources,
    group_left_open,
    group_with_examples,
    group_word,
    is_general,
    needs_asking,
)
from labeller.declarations.paper_phrases import phrase
from labeller.declarations.words import listed
from labeller.kitchen.batch import Path

SPECIFICATION = "specification"


@dataclass(frozen=True, slots=True)
class MayContainWords:
    """What may be in it for one reason: the groups with their sources, and why."""

    groups: tuple[str, ...]
    why: str


@dataclass(frozen=True, slots=True)
class AskAbout:
    """A group of which something is not known, and the ingredients that leave it open; ``beside`` where the group is in it anyway."""

    group: str
    words: str
    ingredients: tuple[str, ...]
    mends: tuple[str, ...]
    beside: bool


@dataclass(frozen=True, slots=True)
class AllergenLines:
    """Allergens as lines of a paper; an empty line is not printed, and no line is ever shortened.

    Attributes
    ----------
    contains, may_contain, ask_about : MarkedText
        Whole lines with their heads; spans are the allergen words, to be set bold.
    sentence : MarkedText
        What stands instead where nothing is declared, may be in it or is open; else empty.
    contains_words, may_contain_words, asked : tuple
        The same in parts, for a layout that weights them itself.
    not_an_ingredient : tuple of str
        Groups the law regulates that are not in the recipe, with examples; for sheets, never said as "free from".
    """

    contains: MarkedText
    may_contain: MarkedText
    ask_about: MarkedText
    sentence: MarkedText
    contains_words: tuple[str, ...]
    may_contain_words: tuple[MayContainWords, ...]
    asked: tuple[AskAbout, ...]
    not_an_ingredient: tuple[str, ...]

    def lines(self) -> tuple[MarkedText, ...]:
        """Return the lines to be printed, the gravest first; there is always one."""
        return tuple(one for one in (self.contains, self.may_contain, self.ask_about, self.sentence) if one.text)

    def as_text(self) -> str:
        """Return the lines as plain sentences."""
        return " ".join(one.text for one in self.lines())


@dataclass(frozen=True, slots=True)
class AllergenCell:
    """One group of one dish in a sheet.

    ``status`` is the contract's; ``head`` its words on paper; ``detail`` the cereals, nuts or species, or the ingredients that leave it
    open; ``also_not_known`` what is open beside another status, in words, empty where nothing is.
    """

    group: str
    status: str
    head: str
    detail: str
    also_not_known: str


def guest_allergens(declaration: Declaration) -> AllergenLines:
    """Return the allergens of a dish as a guest reads them.

    Notes
    -----
    Whenever anything in a group is open under another status than "contains" it is asked about as well; beside "contains" where finer
    sources matter: contains nuts (hazelnut), please ask us about nuts other than hazelnut.
    """
    return _lines(declaration, staff=False)


def staff_allergens(declaration: Declaration) -> AllergenLines:
    """Return the allergens as staff read them on a tub: what is not known with the ingredients that leave it open."""
    return _lines(declaration, staff=True)


def allergen_cells(declaration: Declaration) -> tuple[AllergenCell, ...]:
    """Return a cell for every group of the law, in its order.

    What is open is said beside another status too, save where it changes nothing for a guest: more milk beside milk.
    """
    return tuple(_cell(declaration, row) for row in declaration.allergens)


def legend() -> tuple[tuple[str, str, str], ...]:
    """Return the four states of a sheet, gravest first: the contract's status, its words on paper, what they mean."""
    keys = {
        CONTAINS: ("contains", "legend_contains"),
        MAY_CONTAIN: ("may_contain", "legend_may_contain"),
        UNCONFIRMED: ("not_known", "legend_unconfirmed"),
        NONE_DECLARED: ("none_declared", "legend_none_declared"),
    }
    return tuple((status, phrase(head), phrase(meaning)) for status, (head, meaning) in keys.items())


def asked_groups(declaration: Declaration) -> tuple[AskAbout, ...]:
    """Return what a paper must ask about, in the order of the law."""
    return tuple(_asked(declaration, row) for row in declaration.allergens if needs_asking(row))


def touched_by(one: MayContain) -> tuple[str, str]:
    """Return what of ours was on shared equipment, and what else was on it."""
    at = one.path.index(one.why) if one.why in one.path[1:] else len(one.path) - 2
    at = next((place for place in range(1, len(one.path)) if one.path[place] == one.why), at)
    return one.path[max(at - 1, 0)], one.path[min(at + 1, len(one.path) - 1)]


def names_of(paths: tuple[Path, ...]) -> tuple[str, ...]:
    """Return the ingredients at the ends of ways, each once."""
    return tuple(dict.fromkeys(path[-1] for path in paths))


def _lines(declaration: Declaration, *, staff: bool) -> AllergenLines:
    law = declaration.law
    contains = tuple(
        group_and_sources(law, row.group, row.sources) for row in declaration.allergens if row.status == CONTAINS
    )
    may = _may_contain(declaration, staff=staff)
    asked = asked_groups(declaration)
    nothing = not contains and not may and not asked
    return AllergenLines(
        _headed("contains", contains),
        _may_line(may),
        _not_known_line(asked) if staff else _headed("ask_about", tuple(one.words for one in asked)),
        MarkedText(phrase("nothing_declared") if nothing else ""),
        contains,
        may,
        asked,
        tuple(group_with_examples(law, row.group) for row in declaration.allergens if row.status == NONE_DECLARED),
    )


def _headed(head: str, words: tuple[str, ...]) -> MarkedText:
    """Write a head and allergen words set apart: Contains milk, nuts (hazelnut)."""
    writer = Writer()
    if not words:
        return writer.done()
    writer.add(f"{phrase(head)} ")
    _write_words(writer, words)
    writer.add(".")
    return writer.done()


def _write_words(writer: Writer, words: tuple[str, ...]) -> None:
    for place, word in enumerate(words):
        writer.add(", " if place else "")
        writer.add(word, marked=True)


def _may_contain(declaration: Declaration, *, staff: bool) -> tuple[MayContainWords, ...]:
    """Gather what may be in it by its reason, so that a machine is named once and not for every group."""
    law = declaration.law
    by_reason: dict[tuple[str, str], dict[str, tuple[AllergenRow, dict[str, None]]]] = {}
    others: dict[tuple[str, str], dict[str, None]] = {}
    for row in declaration.allergens:
        held = set(row.sources) if row.status == CONTAINS else set()
        for one in row.may_contain:
            fresh = [source for source in one.sources if source not in held]
            if not fresh:
                continue
            if one.why == SPECIFICATION:
                key, other = (SPECIFICATION, one.path[-1]), one.path[-1]
            else:
                mine, other = touched_by(one)
                key = (one.why, mine if staff else "")
            by_reason.setdefault(key, {}).setdefault(row.group.name, (row, {}))[1].update(dict.fromkeys(fresh))
            others.setdefault(key, {})[other] = None
    by_words: dict[tuple[str, ...], list[tuple[str, str]]] = {}
    for key, groups in by_reason.items():
        words = tuple(group_and_sources(law, row.group, tuple(sources)) for row, sources in groups.values())
        by_words.setdefault(words, []).append(key)
    return tuple(MayContainWords(words, _why(keys, others, staff=staff)) for words, keys in by_words.items())


def _why(keys: list[tuple[str, str]], others: dict[tuple[str, str], dict[str, None]], *, staff: bool) -> str:
    """Say all the reasons for the same groups, the suppliers together."""
    said: list[str] = []
    for what, mine in keys:
        if what != SPECIFICATION:
            shared = phrase("same_equipment", equipment=what, others=listed(list(others[what, mine])))
            said.append(f"{mine}, {shared}" if staff else shared)
    goods = [good for what, good in keys if what == SPECIFICATION]
    if goods:
        said.append(phrase("supplier_says" if len(goods) == 1 else "suppliers_say", things=listed(goods)))
    return "; ".join(said)


def _may_line(may: tuple[MayContainWords, ...]) -> MarkedText:
    writer = Writer()
    if not may:
        return writer.done()
    writer.add(f"{phrase('may_contain')} ")
    for place, one in enumerate(may):
        writer.add("; " if place else "")
        _write_words(writer, one.groups)
        writer.add(f" ({one.why})")
    writer.add(".")
    return writer.done()


def _asked(declaration: Declaration, row: AllergenRow) -> AskAbout:
    ingredients = names_of(row.unconfirmed)
    mend_of = {one.ingredient: one.mend for one in declaration.unconfirmed}
    mends = tuple(dict.fromkeys(mend_of.get(one) or "add the supplier's statement" for one in ingredients))
    return AskAbout(row.group.name, group_left_open(declaration.law, row), ingredients, mends, row.status == CONTAINS)


def _not_known_line(asked: tuple[AskAbout, ...]) -> MarkedText:
    """Write what is not known, groups that the same ingredients leave open together."""
    writer = Writer()
    if not asked:
        return writer.done()
    behind: dict[tuple[str, ...], list[str]] = {}
    for one in asked:
        behind.setdefault(one.ingredients, []).append(one.words)
    writer.add(f"{phrase('not_known_about')} ")
    for place, (ingredients, groups) in enumerate(behind.items()):
        writer.add("; " if place else "")
        _write_words(writer, tuple(groups))
        writer.add(f" ({phrase('left_open_by', ingredients=listed(list(ingredients)))})")
    writer.add(".")
    return writer.done()


def _cell(declaration: Declaration, row: AllergenRow) -> AllergenCell:
    law = declaration.law
    head = {
        CONTAINS: phrase("contains"),
        MAY_CONTAIN: phrase("may_contain"),
        UNCONFIRMED: phrase("not_known"),
        NONE_DECLARED: phrase("none_declared"),
    }[row.status]
    open_ = listed(list(names_of(row.unconfirmed)))
    if row.status == UNCONFIRMED:
        return AllergenCell(row.group.name, row.status, head, open_, "")
    detail = _in_brackets(group_and_sources(law, row.group, row.sources)) if row.sources else ""
    also: list[str] = []
    extra = may_sources(row) if row.status == CONTAINS else ()
    if extra:
        inner = _in_brackets(group_and_sources(law, row.group, extra)) or group_word(law, row.group)
        if detail and all(is_general(one) for one in extra):
            inner = phrase("others_not_named")  # almond; may contain others not named
        detail = "; ".join(one for one in (detail, f"{phrase('may_contain').lower()} {inner}") if one)
    if needs_asking(row):
        also.append(f"{phrase('not_known')} ({open_})")
    return AllergenCell(row.group.name, row.status, head, detail, "; ".join(also))


def _in_brackets(words: str) -> str:
    """Return what stands in the brackets of a group: the cell's column names the group itself."""
    return words.partition(" (")[2].removesuffix(")")


def may_sources(row: AllergenRow) -> tuple[str, ...]:
    """Return what of a group may be in it beyond what is."""
    held = set(row.sources) if row.status == CONTAINS else set()
    found = dict.fromkeys(source for one in row.may_contain for source in one.sources if source not in held)
    return tuple(sorted(found))
