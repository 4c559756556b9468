"""Changes as a page of 80 columns: the most dangerous first, then what to print again and whom to tell."""

import textwrap
from collections.abc import Callable, Iterable

from labeller.declarations.comparing import Danger, Difference
from labeller.declarations.words import listed
from labeller.record.changing import FOR_THE_FLOOR, Changes, ThingChanged

WIDTH = 80
_FIGURES = ("figure", "intake")


def changes_as_text(changes: Changes, since: str, until: str) -> str:
    """Return the page.

    Parameters
    ----------
    since, until : str
        What was held against what, in words: "the record of 2026-11-20 (number 3)".
    """
    page = _Page()
    page.wrapped(f"Changes from {since} to {until}")
    if changes.nothing:
        page.blank()
        page.wrapped("Nothing that is declared changed, and no paper of an ingredient.")
        _cause(page, changes)
        return "\n".join(page.lines)
    _differences(page, changes, "TELL THE FLOOR NOW: more to warn of, or no longer known", _is_loud, "! ")
    _differences(page, changes, "Worse, for whoever doses on it or tells guests", _is_worse_else, "! ")
    _differences(page, changes, "Fallen away or weaker: look whether that is so before you trust it", _is_weaker)
    _differences(page, changes, "Also not as before", _is_other)
    _new_and_gone(page, changes)
    _papers(page, changes)
    if changes.menus:
        page.heading("Menus")
        for name, words in changes.menus:
            page.item(f"{name}: {words}")
    if changes.kitchen:
        page.heading("The kitchen itself")
        for words in changes.kitchen:
            page.item(words)
    _cause(page, changes)
    _reprint(page, changes)
    _tell(page, changes)
    return "\n".join(page.lines)


class _Page:
    def __init__(self) -> None:
        self.lines: list[str] = []

    def blank(self) -> None:
        self.lines.append("")

    def heading(self, text: str) -> None:
        self.blank()
        self.wrapped(text)

    def wrapped(self, text: str, first: str = "", later: str | None = None) -> None:
        self.lines += textwrap.wrap(
            text,
            WIDTH,
            initial_indent=first,
            subsequent_indent=first if later is None else later,
            break_long_words=False,
            break_on_hyphens=False,
        )

    def item(self, text: str, indent: int = 2, mark: str = "") -> None:
        self.wrapped(text, " " * indent + mark, " " * (indent + 4))


def _is_loud(one: Difference) -> bool:
    return one.worse and one.subject in FOR_THE_FLOOR


def _is_worse_else(one: Difference) -> bool:
    return one.worse and not _is_loud(one)


def _is_weaker(one: Difference) -> bool:
    return one.danger is Danger.WEAKER


def _is_other(one: Difference) -> bool:
    return one.danger is Danger.OTHER


def _differences(
    page: _Page, changes: Changes, title: str, wanted: Callable[[Difference], bool], mark: str = ""
) -> None:
    begun = False
    # What guests eat comes before what it is made of; each is in order of danger already.
    for thing in sorted(changes.things, key=lambda one: one.kind != "dish"):
        chosen = [
            (one, cause)
            for one, cause in zip(thing.differences, thing.causes, strict=True)
            if thing.step == "changed" and wanted(one) and not _told_already(thing, one)
        ]
        if not chosen:
            continue
        if not begun:
            page.heading(title)
            begun = True
        page.item(_named(thing))
        told = [(one, cause) for one, cause in chosen if one.subject not in _FIGURES]
        for words in _alike(told, changes):
            page.item(words, 4, mark)
        figures = [one.words + _because(cause, changes) for one, cause in chosen if one.subject in _FIGURES]
        if figures:
            page.item("; ".join(figures), 4, mark)


def _told_already(thing: ThingChanged, one: Difference) -> bool:
    """Tell whether the words of a paper only repeat what a difference of the declaration says in better words."""
    return one.subject == "paper" and any(
        other.subject in ("allergen", "alcohol", "reason") for other in thing.differences
    )


def _named(thing: ThingChanged) -> str:
    return thing.name if thing.kind == "dish" else f"{thing.name} (made in house)"


def _alike(chosen: Iterable[tuple[Difference, str]], changes: Changes) -> list[str]:
    """Return words of differences, those of several groups that say the same together."""
    same: dict[str, list[str]] = {}
    for one, cause in chosen:
        words = one.words.removeprefix(f"{one.about}: ") + _because(cause, changes)
        same.setdefault(words, []).append(one.about if one.words.startswith(f"{one.about}: ") else "")
    return [
        f"{listed([one for one in about if one])}: {words}" if any(about) else words for words, about in same.items()
    ]


def _because(cause: str, changes: Changes) -> str:
    if changes.same_files or cause == "book":
        return ""
    return (
        " [from the law or the tool, not from the book]"
        if cause == "law or tool"
        else " [in part from the law or the tool]"
    )


def _new_and_gone(page: _Page, changes: Changes) -> None:
    new = [one for one in changes.things if one.step == "new"]
    gone = [one for one in changes.things if one.step == "gone"]
    if new:
        page.heading("New in the book")
        for one in new:
            like = f" Declared as '{one.like}' was, which is gone: perhaps only a new name." if one.like else ""
            page.item(f"{_named(one)}: {one.says}.{like}")
    if gone:
        page.heading("No longer in the book")
        for one in gone:
            page.item(_named(one))


def _papers(page: _Page, changes: Changes) -> None:
    if not changes.papers:
        return
    page.heading("Papers of ingredients")
    for one in changes.papers:
        where = f" (in {listed(list(one.used_in))})" if one.used_in else " (in no dish as written)"
        page.item(f"{one.ingredient}{where}{'' if one.step == 'changed' else ': ' + one.step}")
        for field, before, after in one.what:
            if one.step == "new":
                page.item(f"{field}: {after}", 4)
            elif one.step == "changed":
                page.item(f"{field}: was {before}, now {after}", 4)


def _cause(page: _Page, changes: Changes) -> None:
    if not changes.tool:
        if changes.same_files and not changes.nothing and any(one.differences for one in changes.things):
            page.heading("The book's files are the same: every difference comes from the law in force or the tool.")
        return
    page.heading("The law or the tool")
    if changes.nothing:
        page.item("What changed here touches nothing that is declared.")
    elif changes.same_files:
        page.item("The book's files are the same: every difference comes from the law or the tool, not from the book.")
    for words in changes.tool:
        page.item(words)
    if changes.not_told_apart:
        page.item("Which difference comes from the book and which from here could not be told apart.")


def _reprint(page: _Page, changes: Changes) -> None:
    found = changes.reprint()
    page.heading("What to print again")
    lines = [
        f"{title}: {', '.join(found[key])}"
        for key, title in (
            ("cards", "cards of dishes"),
            ("container_labels", "container labels"),
            ("sale_labels", "sale labels, where it is sold packed"),
            ("menu_notes", "notes of the menus"),
            ("panels", "nutrition panels"),
            ("where_energy_is_shown", "cards and menu notes, where they show energy"),
            ("container_labels_of_opened_goods", "labels on opened containers of bought-in goods"),
        )
        if found[key]
    ]
    if found["allergen_sheet"]:
        lines.append("the sheet of dishes by allergens")
    if found["notes_of_the_whole_book"]:
        lines.append("the menu notes of the whole book")
    for line in lines or ["nothing"]:
        page.item(line)
    if found["take_away"]:
        page.item(f"take away every paper of: {', '.join(one['name'] for one in found['take_away'])}")


def _tell(page: _Page, changes: Changes) -> None:
    found = changes.tell()
    page.heading("Whom to tell")
    floor = found["front_of_house"]
    if floor:
        page.item(f"front of house: {', '.join(one['dish'] for one in floor)}")
    if found["labels"]:
        page.item(f"whoever answers for labels: {', '.join(found['labels'])}")
    for menu, dishes in found["menus"].items():
        page.item(f"whoever answers for the menu '{menu}'{': ' + ', '.join(dishes) if dishes else ''}")
    if not (floor or found["labels"] or found["menus"]):
        page.item("nobody")
