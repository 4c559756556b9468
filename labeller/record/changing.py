"""What changed between two contents: dishes and preparations, papers, menus; what to print again, and whom to tell."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Literal

from labeller.declarations.comparing import (
    Danger,
    Difference,
    Paper,
    Subject,
    compare_declarations,
    most_dangerous_first,
    papers_of,
    words_differ,
)
from labeller.declarations.comparing_states import state_of_alcohol, state_of_row
from labeller.record.content import Content, Json, Key
from labeller.record.evidence_changes import (
    PaperChange,
    kitchen_changes,
    menu_changes,
    menus_of,
    opened_goods,
    paper_changes,
)
from labeller.record.printed_words import CHOICES, CLAIMS, INSTEAD, ON_CARD, ON_TUB
from labeller.record.tool import tools_differ

FOR_THE_FLOOR = ("allergen", "alcohol", "claim")
Step = Literal["new", "gone", "changed"]
Cause = Literal["book", "law or tool", "both"]
_OF_DISH: tuple[Paper, ...] = ("card", "sale label", "allergen sheet", "menu notes", "panel")
_OF_PREPARATION: tuple[Paper, ...] = ("container label", "sale label")
_PAPERS_OF_WORDS: dict[tuple[str, str], tuple[Paper, ...]] = {
    ("dish", "description"): ("card", "menu notes"),
    ("dish", "course"): ("card",),
    ("dish", "keeps"): ("sale label",),
    ("dish", "reheat"): ("sale label",),
    ("dish", CHOICES): ("card",),
    ("dish", INSTEAD): ("card", "allergen sheet", "menu notes"),
    ("preparation", "keeps"): ("container label", "sale label"),
    ("preparation", "storage"): ("container label", "sale label"),
    ("preparation", "reheat"): ("container label",),
    **dict.fromkeys([("dish", about) for about in ON_CARD], ("card", "menu notes")),
    **dict.fromkeys([("preparation", about) for about in ON_TUB], ("container label",)),
}


@dataclass(frozen=True, slots=True)
class ThingChanged:
    """One dish or preparation that is new, gone or not the same.

    ``causes`` holds the cause of each difference; ``says`` is what a new one declares, in words; ``like`` the name under which the same
    was declared before, where there is one; ``papers`` what to print again.
    """

    name: str
    kind: str
    step: Step
    differences: tuple[Difference, ...] = ()
    causes: tuple[Cause, ...] = ()
    says: str = ""
    like: str = ""
    papers: tuple[Paper, ...] = ()
    menus: tuple[str, ...] = ()

    @property
    def danger(self) -> Danger:
        """Return the danger of the worst of it."""
        return min((one.danger for one in self.differences), default=Danger.OTHER)

    def as_json(self) -> Json:
        """Return it as plain values."""
        return {
            "name": self.name,
            "kind": self.kind,
            "step": self.step,
            "what": [
                {**one.as_json(), "cause": cause} for one, cause in zip(self.differences, self.causes, strict=True)
            ],
            "says": self.says,
            "declared_alike": self.like or None,
            "papers": list(self.papers),
            "menus": list(self.menus),
        }


@dataclass(frozen=True, slots=True)
class Changes:
    """Everything that changed, the most dangerous first.

    ``opened`` are bought-in goods of which something else is known now, so that the label of an opened container of them changes;
    ``same_files`` tells that the book's files are byte for byte the same; ``tool`` what differs of the law and the tool, in words;
    ``not_told_apart`` that both files and tool differ and it is not known which difference comes from which.
    """

    things: tuple[ThingChanged, ...]
    papers: tuple[PaperChange, ...]
    opened: tuple[str, ...]
    menus: tuple[tuple[str, str], ...]
    kitchen: tuple[str, ...]
    same_files: bool
    tool: tuple[str, ...]
    not_told_apart: bool
    whole_book: bool

    @property
    def nothing(self) -> bool:
        """Tell whether nothing at all changed."""
        return not (self.things or self.papers or self.opened or self.menus or self.kitchen)

    def reprint(self) -> Json:
        """Return what to print again, each paper only where what stands on it changes, and what to take away."""
        here = [one for one in self.things if one.step != "gone"]

        def named(paper: Paper, kind: str | None = None) -> list[str]:
            return [one.name for one in here if paper in one.papers and kind in (None, one.kind)]

        gone = [one for one in self.things if one.step == "gone"]
        notes = dict.fromkeys(menu for one in self.things if "menu notes" in one.papers for menu in one.menus)
        notes |= dict.fromkeys(name for name, words in self.menus if not words.startswith("no longer a menu"))
        off_menus = any("menu notes" in one.papers and not one.menus for one in self.things)
        return {
            "cards": named("card"),
            "container_labels": named("container label"),
            "sale_labels": list(dict.fromkeys(named("sale label"))),
            "panels": named("panel"),
            "where_energy_is_shown": [one.name for one in here if any(_is_energy(each) for each in one.differences)],
            "container_labels_of_opened_goods": list(self.opened),
            "allergen_sheet": any("allergen sheet" in one.papers for one in self.things),
            "menu_notes": list(notes),
            "notes_of_the_whole_book": off_menus and self.whole_book,
            "take_away": [{"name": one.name, "kind": one.kind} for one in gone],
        }

    def tell(self) -> Json:
        """Return whom to tell: front of house of every dish with more to warn of or newly not known, new or gone; who answers for labels; the menus."""
        dishes = [one for one in self.things if one.kind == "dish"]
        reprint = self.reprint()
        return {
            "front_of_house": [
                {
                    "dish": one.name,
                    "words": [each.words for each in one.differences if _for_the_floor(each)] or [_news(one)],
                }
                for one in dishes
                if one.step != "changed" or any(_for_the_floor(each) for each in one.differences)
            ],
            "labels": list(
                dict.fromkeys(
                    [*reprint["container_labels"], *self.opened, *reprint["sale_labels"], *reprint["panels"]]
                    + [one["name"] for one in reprint["take_away"]]
                )
            ),
            "menus": {menu: [one.name for one in dishes if menu in one.menus] for menu in reprint["menu_notes"]},
        }

    def as_json(self) -> Json:
        """Return it as plain values."""
        return {
            "nothing": self.nothing,
            "things": [one.as_json() for one in self.things],
            "ingredients": [one.as_json() for one in self.papers],
            "menus": [{"menu": name, "words": words} for name, words in self.menus],
            "kitchen": list(self.kitchen),
            "same_files": self.same_files,
            "law_or_tool": list(self.tool),
            "causes_told_apart": not self.not_told_apart,
            "reprint": self.reprint(),
            "tell": self.tell(),
        }


def changes_of(
    before: Content, after: Content, again: Content | None = None, law_changed: tuple[str, ...] = ()
) -> Changes:
    """Hold two contents against each other.

    Parameters
    ----------
    before, after : Content
        What was declared, and what is.
    again : Content, optional
        The files of ``before`` declared by the law and the tool of ``after``: what differs between the two of them comes from the law or
        the tool and not from the book.
    law_changed : tuple of str
        What began to apply between the two days, in words.
    """
    same_files = before.files == after.files
    tool = [*law_changed, *tools_differ(before.tool, after.tool)]
    if before.law != after.law:
        tool.insert(0, f"by the law of {before.law['title']} before, now of {after.law['title']}")
    if same_files:
        again = after
    causes = _causes(before, again)
    kitchen = kitchen_changes(before, after)
    on_labels = tuple(
        one for one in kitchen if one.startswith(("name of the kitchen", "address"))
    )  # printed on every label for sale
    things = [
        *_things(before, after, causes, "dish", on_labels),
        *_things(before, after, causes, "preparation", on_labels),
    ]
    things.sort(key=lambda one: (one.danger, one.kind != "dish"))
    return Changes(
        tuple(things),
        paper_changes(before, after),
        opened_goods(before, after),
        menu_changes(before, after),
        kitchen,
        same_files,
        tuple(tool),
        again is None and bool(tool),
        not after.menus,
    )


def _for_the_floor(one: Difference) -> bool:
    # What may stand in place of a part can bring what no declaration names: whoever serves it must know of it.
    return (one.worse and one.subject in FOR_THE_FLOOR) or one.about in (CHOICES, INSTEAD)


def _is_energy(one: Difference) -> bool:
    return one.subject == "figure" and one.about in ("energy_kj per_portion", "energy_kcal per_portion")


def _news(thing: ThingChanged) -> str:
    return "no longer in the book" if thing.step == "gone" else f"new: {thing.says}"


Causes = Callable[[Key, Difference], Cause]


def _causes(before: Content, again: Content | None) -> Causes:
    """Return what tells where a difference comes from."""
    if again is None:
        return lambda _key, _one: "book"
    by_tool: dict[Key, dict[tuple[str, str], Difference]] = {}
    for key, thing in before.things.items():
        if key in again.things:
            found = compare_declarations(thing["declaration"], again.declaration(key))
            by_tool[key] = {(one.subject, one.about): one for one in found}

    def cause(key: Key, one: Difference) -> Cause:
        tool = by_tool.get(key, {}).get((one.subject, one.about))
        if tool is None:
            return "book"
        return "law or tool" if tool.after == one.after else "both"

    return cause


def _things(
    before: Content, after: Content, causes: Causes, kind: str, on_labels: tuple[str, ...]
) -> Iterator[ThingChanged]:
    old_names, new_names = before.names(kind), after.names(kind)
    for name in new_names:
        key = (kind, name)
        menus = menus_of(after, name) if kind == "dish" else ()
        if name not in old_names:
            like = _like(before, after, key, [one for one in old_names if one not in new_names])
            papers = _OF_DISH if kind == "dish" else _OF_PREPARATION
            yield ThingChanged(
                name, kind, "new", says=_says(after.declaration(key)), like=like, papers=papers, menus=menus
            )
            continue
        differences = list(compare_declarations(before.declaration(key), after.declaration(key)))
        differences = _with_words(differences, kind, before.things[key]["words"], after.things[key]["words"])
        if differences:
            found = most_dangerous_first(differences)
            extra: tuple[Paper, ...] = ("sale label",) if on_labels else ()
            papers = tuple(dict.fromkeys((*papers_of(found), *extra)))
            kinds = tuple(causes(key, one) for one in found)
            old_menus = menus_of(before, name) if kind == "dish" else ()
            touched = tuple(dict.fromkeys((*menus, *(one for one in old_menus if one in after.menus))))
            yield ThingChanged(name, kind, "changed", found, kinds, papers=papers, menus=touched)
        elif on_labels:
            yield ThingChanged(name, kind, "changed", papers=("sale label",), menus=menus)
    for name in old_names:
        if name not in new_names:
            menus = tuple(one for one in menus_of(before, name) if one in after.menus) if kind == "dish" else ()
            papers = ("allergen sheet", "menu notes") if kind == "dish" else ()
            yield ThingChanged(name, kind, "gone", papers=papers, menus=menus)


def _with_words(
    differences: list[Difference], kind: str, old: dict[str, str], new: dict[str, str]
) -> list[Difference]:
    """Return the differences with those of the words papers print beside the declaration."""
    if all(about in words for about in ON_CARD for words in (old, new)):
        # What a card says is known word for word: another way to the same statement needs a new one only where it is printed.
        differences = [replace(one, papers=()) if one.subject == "reason" else one for one in differences]
    for about in dict.fromkeys((*old, *new)):
        first, second = old.get(about, ""), new.get(about, "")
        if about == CLAIMS:
            differences += _claims(first, second)
            continue
        subject: Subject = "paper" if about in (*ON_CARD, *ON_TUB) else "words"
        differences += words_differ(about, first, second, _PAPERS_OF_WORDS.get((kind, about), ()), subject=subject)
    return differences


def _claims(old: str, new: str) -> Iterator[Difference]:
    """Return what a card no longer claims: whoever eats by it has to be told; or claims now."""
    for one in words_differ(CLAIMS, old, new, ("card", "menu notes"), subject="claim"):
        lost = set(old.split(", ")) - set(new.split(", ")) - {""}
        if lost:
            words = f"{CLAIMS}: was said of {', '.join(sorted(lost))}, and cannot be said any more"
            yield replace(one, words=words, danger=Danger.NO_LONGER_KNOWN)
        else:
            yield one


def _like(before: Content, after: Content, key: Key, gone: list[str]) -> str:
    """Return the name of a thing that is gone and declared the very same; whether it is the same one cannot be known."""
    kind, _ = key
    new = after.declaration(key)
    return next((one for one in gone if not compare_declarations(before.declaration((kind, one)), new)), "")


def _says(declaration: Json) -> str:
    """Return what a new thing declares, in one line; what is not known comes first."""
    states = {row["group"]: state_of_row(row) for row in declaration["allergens"]}
    states["alcohol"] = state_of_alcohol(declaration["alcohol"], declaration.get("batch_g"))
    said: list[str] = []
    open_ = [name for name, one in states.items() if one.unconfirmed]
    if open_:
        said.append(f"not known: {', '.join(open_)}")
    for status in ("contains", "may contain"):
        named = [
            name if one.sources in ((), (name,)) else f"{name} ({', '.join(one.sources)})"
            for name, one in states.items()
            if one.status == status
        ]
        if named:
            said.append(f"{status} {', '.join(named)}")
    return "; ".join(said) or "no allergen and no alcohol declared"
