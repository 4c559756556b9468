"""What a new paper of an ingredient changes: on which dishes and preparations, before and after, and what has to be reprinted."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from labeller.declarations.as_json import declaration_as_json
from labeller.declarations.comparing_states import Change, allergen_changes
from labeller.declarations.declaring import Declaration, DeclaredKind, Declarer
from labeller.declarations.words import listed


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
    changes = allergen_changes(declaration_as_json(before), declaration_as_json(after))
    wording = bool({one.ingredient for one in after.ingredients} & new_words) or (
        before.declared_per_100_g != after.declared_per_100_g
        or before.declared_per_portion != after.declared_per_portion
        or [one.ingredient for one in before.ingredients] != [one.ingredient for one in after.ingredients]
    )
    return ThingChanged(before.name, before.kind, changes, wording)
