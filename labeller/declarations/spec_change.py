"""What a new paper of an ingredient changes: on which dishes and preparations, before and after, and what has to be reprinted."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from labeller.declarations.allergen_rows import CONTAINS, NONE_DECLARED, UNCONFIRMED, AllergenRow
from labeller.declarations.declaring import Alcohol, Declaration, DeclaredKind, Declarer
from labeller.declarations.words import STATUS_ON_PAPER, listed

_HOLDS = {NONE_DECLARED: 0, UNCONFIRMED: 1, "may contain": 2, CONTAINS: 3}


@dataclass(frozen=True, slots=True)
class State:
    """What is said of one group or of alcohol.

    ``sources`` are the finest names of the status, ``may_contain`` those that may be in it beside what it contains, ``unconfirmed`` the
    ingredients that leave it open; ``ethanol_g`` stands for alcohol only. [g]
    """

    status: str
    sources: tuple[str, ...] = ()
    may_contain: tuple[str, ...] = ()
    unconfirmed: tuple[str, ...] = ()
    ethanol_g: float | None = None

    def as_text(self) -> str:
        """Return it in words."""
        words = STATUS_ON_PAPER[self.status].lower()
        if self.sources:
            words += f" {', '.join(self.sources)}"
        if self.ethanol_g is not None and self.status == CONTAINS:
            words += f" {self.ethanol_g:.1f} g"
        if self.may_contain:
            words += f", may contain {', '.join(self.may_contain)}"
        if self.unconfirmed and self.status != UNCONFIRMED:
            words += ", not known beside that"
        return f"{words} ({', '.join(self.unconfirmed)})" if self.unconfirmed else words

    def as_json(self) -> dict[str, Any]:
        """Return it as plain values."""
        found: dict[str, Any] = {
            "status": self.status,
            "sources": list(self.sources),
            "may_contain": list(self.may_contain),
            "unconfirmed": list(self.unconfirmed),
        }
        if self.ethanol_g is not None:
            found["ethanol_g"] = self.ethanol_g
        return found


@dataclass(frozen=True, slots=True)
class Change:
    """One statement that is no longer the same; ``about`` is a group or ``alcohol``."""

    about: str
    before: State
    after: State

    @property
    def on_paper(self) -> bool:
        """Tell whether what is printed for guests changes; which ingredient leaves a group open is for the kitchen alone."""
        return replace(self.before, unconfirmed=()) != replace(self.after, unconfirmed=()) or bool(
            self.before.unconfirmed
        ) != bool(self.after.unconfirmed)

    @property
    def worse(self) -> bool:
        """Tell whether a guest who trusts the old paper may be harmed: a stronger status, a new source, or something newly open."""
        return (
            _HOLDS[self.after.status] > _HOLDS[self.before.status]
            or not set(self.after.sources) <= set(self.before.sources)
            or not set(self.after.may_contain) <= {*self.before.may_contain, *self.before.sources}
            or (bool(self.after.unconfirmed) and not self.before.unconfirmed)
            or (self.after.ethanol_g or 0.0) > (self.before.ethanol_g or 0.0) + 0.05
        )


@dataclass(frozen=True, slots=True)
class ThingChanged:
    """A dish or a preparation with what changes on it. ``wording`` where what is printed of its ingredients or figures changes."""

    name: str
    kind: DeclaredKind
    changes: tuple[Change, ...]
    wording: bool


@dataclass(frozen=True, slots=True)
class Reprints:
    """What has to be printed again: cards by dish, container and sale labels by name, and whether the allergen sheet."""

    cards: tuple[str, ...]
    container_labels: tuple[str, ...]
    sale_labels: tuple[str, ...]
    sheet: bool


@dataclass(frozen=True, slots=True)
class SpecChange:
    """Everything that changes with new papers."""

    ingredients: tuple[str, ...]
    things: tuple[ThingChanged, ...]
    reprint: Reprints

    def as_json(self) -> dict[str, Any]:
        """Return it as plain values."""
        return {
            "ingredients": list(self.ingredients),
            "changes": [
                {
                    "name": thing.name,
                    "kind": thing.kind,
                    "what": [
                        {
                            "about": one.about,
                            "before": one.before.as_json(),
                            "after": one.after.as_json(),
                            "worse": one.worse,
                            "on_paper": one.on_paper,
                        }
                        for one in thing.changes
                    ],
                }
                for thing in self.things
                if thing.changes
            ],
            "reprint": {
                "cards": list(self.reprint.cards),
                "container_labels": list(self.reprint.container_labels),
                "sale_labels": list(self.reprint.sale_labels),
                "sheet": self.reprint.sheet,
            },
        }

    def as_text(self) -> str:
        """Return it as lines people read."""
        names = ", ".join(f"'{one}'" for one in self.ingredients)
        lines = [f"With the new paper of {names}:", ""]
        changed = [thing for thing in self.things if thing.changes]
        for thing in changed:
            lines.append(thing.name if thing.kind == "dish" else f"{thing.name} (made in house)")
            alike: dict[tuple[bool, str], list[str]] = {}
            for one in thing.changes:
                words = f"{one.before.as_text()} -> {one.after.as_text()}"
                alike.setdefault((not one.worse, words), []).append(one.about)
            for (better, words), about in sorted(alike.items()):
                lines.append(f"{'    ' if better else '  ! '}{listed(about)}: {words}")
        if not changed:
            lines.append("Nothing that is declared changes: no allergen, no alcohol, nothing that is not known.")
        if any(one.worse for thing in changed for one in thing.changes):
            lines += ["", "! More to warn of than before: tell the floor now, before anything is printed."]
        lines += ["", "To be printed again:"]
        for title, these in (
            ("cards of dishes", self.reprint.cards),
            ("container labels", self.reprint.container_labels),
            ("sale labels, where it is sold packed", self.reprint.sale_labels),
        ):
            if these:
                lines.append(f"    {title}: {', '.join(these)}")
        if self.reprint.sheet:
            lines.append("    the sheet of dishes by allergens")
        if lines[-1] == "To be printed again:":
            lines[-1] += " nothing"
        return "\n".join(lines)


def changes_between(
    before: Declarer, after: Declarer, ingredients: Iterable[str], reworded: Iterable[str]
) -> SpecChange:
    """Hold every declaration of a book against the same one with new papers.

    Parameters
    ----------
    before, after : Declarer
        The book as it stands, and with the new papers, under one law on one day.
    ingredients : Iterable[str]
        Names of the ingredients that have new papers.
    reworded : Iterable[str]
        Those of them whose ingredients statement is not the same: a sale label prints it, whatever its allergens.

    Notes
    -----
    A dish or preparation that only one of the two could work out counts as changed in wording.
    """
    new_words = set(reworded)
    things: list[ThingChanged] = []
    for name in before.workings.plates:
        if name in after.workings.plates:
            things.append(_compared(before.dish(name), after.dish(name), new_words))
        else:
            things.append(ThingChanged(name, "dish", (), wording=True))
    remaining = after.workings.given()
    for name in before.workings.given():
        if name in remaining:
            things.append(_compared(before.given(name), after.given(name), new_words))
        else:
            things.append(ThingChanged(name, "preparation", (), wording=True))
    touched = tuple(thing for thing in things if thing.changes or thing.wording)
    printed = {(thing.kind, thing.name) for thing in touched if any(one.on_paper for one in thing.changes)}
    dishes = tuple(thing.name for thing in touched if thing.kind == "dish" and ("dish", thing.name) in printed)
    reprint = Reprints(
        dishes,
        tuple(
            name
            for kind, name in ((thing.kind, thing.name) for thing in touched)
            if kind == "preparation" and (kind, name) in printed
        ),
        tuple(dict.fromkeys(thing.name for thing in touched if thing.wording or (thing.kind, thing.name) in printed)),
        bool(dishes),
    )
    return SpecChange(tuple(ingredients), touched, reprint)


def _compared(before: Declaration, after: Declaration, new_words: set[str]) -> ThingChanged:
    changes: list[Change] = []
    for old in before.allergens:
        new = after.row(old.group.name)
        if new is None:
            continue
        first, second = _state(old), _state(new)
        if first != second:
            changes.append(Change(old.group.name, first, second))
    drunk_before, drunk_after = _alcohol(before.alcohol), _alcohol(after.alcohol)
    if drunk_before != drunk_after:
        changes.append(Change("alcohol", drunk_before, drunk_after))
    wording = bool({one.ingredient for one in after.ingredients} & new_words) or (
        before.declared_per_100_g != after.declared_per_100_g
        or before.declared_per_portion != after.declared_per_portion
        or [one.ingredient for one in before.ingredients] != [one.ingredient for one in after.ingredients]
    )
    return ThingChanged(before.name, before.kind, tuple(changes), wording)


def _state(row: AllergenRow) -> State:
    beside = {source for one in row.may_contain for source in one.sources} - set(row.sources)
    open_ = {path[-1] for path in row.unconfirmed if path}
    return State(row.status, row.sources, tuple(sorted(beside)), tuple(sorted(open_)))


def _alcohol(alcohol: Alcohol) -> State:
    return State(
        alcohol.status,
        (),
        (),
        tuple(sorted({path[-1] for path in alcohol.unconfirmed if path})),
        round(alcohol.ethanol_g[1], 1) if alcohol.status == CONTAINS else None,
    )
