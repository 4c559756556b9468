"""Two declarations of one thing held against each other: every difference with its words, its danger and the papers it touches.

Works on the contract's JSON alone, so that a declaration from a record, from another law or of a changed plate are compared alike.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import SequenceMatcher
from enum import IntEnum
from typing import Any, Literal

from labeller.declarations.allergen_rows import CONTAINS
from labeller.declarations.comparing_states import ALCOHOL, Change, Json, allergen_changes
from labeller.declarations.words import NUTRIENT_WORDS

Subject = Literal[
    "allergen", "alcohol", "claim", "reason", "figure", "intake", "weight", "ingredients", "label", "words", "paper"
]
Paper = Literal["card", "container label", "sale label", "allergen sheet", "menu notes", "panel"]

PAPERS: tuple[Paper, ...] = ("card", "container label", "sale label", "allergen sheet", "menu notes", "panel")
_FOR_GUESTS: tuple[Paper, ...] = ("card", "sale label", "allergen sheet", "menu notes")
LONG_TEXT, MOST_PLACES = 120, 4  # letters; places shown of a text that differs
_ENERGY = ("energy_kj", "energy_kcal")


class Danger(IntEnum):
    """How dangerous a difference is to a guest who trusts the old paper; the lowest is told first."""

    NOW_CONTAINS = 0
    NO_LONGER_KNOWN = 1
    MAY_CONTAIN = 2
    MORE_ALCOHOL = 3
    FIGURE_LOST = 4  # somebody doses on it, and it is not there any more
    WEAKER = 5  # a warning fell away or became weaker: look whether that is so
    OTHER = 6


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that is no longer the same.

    Attributes
    ----------
    subject, about : str
        What kind of statement, and of what: a group, ``alcohol``, a nutrient with its basis, a part of the label.
    before, after : Any
        Both as plain values: states of allergens, printed figures, texts; None where there was nothing.
    words : str
        The difference as a sentence without a full stop.
    danger : Danger
        How dangerous it is; differences sort by it.
    papers : tuple of str
        Which papers of this thing print something else now.
    change : Change, optional
        The step itself, of allergens and alcohol.
    """

    subject: Subject
    about: str
    before: Any
    after: Any
    words: str
    danger: Danger
    papers: tuple[Paper, ...]
    change: Change | None = None

    @property
    def worse(self) -> bool:
        """Tell whether a guest who trusts the old paper may be harmed."""
        return self.danger <= Danger.FIGURE_LOST

    def as_json(self) -> Json:
        """Return it as plain values."""
        return {
            "subject": self.subject,
            "about": self.about,
            "before": self.before,
            "after": self.after,
            "words": self.words,
            "danger": self.danger.name.lower().replace("_", " "),
            "worse": self.worse,
            "papers": list(self.papers),
        }


def compare_declarations(before: Json, after: Json) -> tuple[Difference, ...]:
    """Return every difference between two declarations, the most dangerous first.

    Parameters
    ----------
    before, after : dict
        Two declarations as `declaration_as_json` gives them; the label is compared where both have one. Names need not be the same.

    Notes
    -----
    Figures are compared as printed, weights to the gram, ethanol to one decimal: what only rounding changes is no difference. Which
    file and line an amount stands in, and raw figures, are not compared.
    """
    dish = after["kind"] == "dish"
    found: list[Difference] = [_of_change(one, dish=dish) for one in allergen_changes(before, after)]
    told = {one.about for one in found}
    found += _reasons(before, after, told, dish=dish)
    found += _figures(before, after, dish=dish)
    found += _weight(before, after, dish=dish)
    found += _label(before, after)
    return most_dangerous_first(found)


def most_dangerous_first(differences: Iterable[Difference]) -> tuple[Difference, ...]:
    """Put differences in order of danger; those alike stay as they were."""
    return tuple(sorted(differences, key=lambda one: one.danger))


def papers_of(differences: Iterable[Difference]) -> tuple[Paper, ...]:
    """Return which papers of a thing have to be printed again."""
    touched = {paper for one in differences for paper in one.papers}
    return tuple(paper for paper in PAPERS if paper in touched)


def words_differ(
    about: str, before: str, after: str, papers: tuple[Paper, ...], *, subject: Subject = "words"
) -> tuple[Difference, ...]:
    """Return the difference of a text that is printed as it stands, such as a description; nothing where there is none."""
    if before == after:
        return ()
    if not before or not after:
        words = f"{about}: {'now' if after else 'no longer'} '{after or before}'"
    elif len(before) > LONG_TEXT and len(after) > LONG_TEXT:
        words = f"{about}: {'; '.join(_places(before, after))}"
    else:
        words = f"{about}: was '{before}', now '{after}'"
    return (Difference(subject, about, before or None, after or None, words, Danger.OTHER, papers),)


def _places(before: str, after: str) -> list[str]:
    """Return the places at which two long texts differ, each with a word or two around it."""
    old, new = before.split(), after.split()
    said: list[str] = []
    for tag, a, b, c, d in SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if tag == "equal":
            continue
        lead = " ".join(old[max(0, a - 2) : a])
        tail = " ".join(old[b : b + 1])
        first, second = (" ".join(words) for words in ([lead, *old[a:b], tail], [lead, *new[c:d], tail]))
        said.append(f"was '... {first.strip()} ...', now '... {second.strip()} ...'")
    said = list(dict.fromkeys(said))
    more = len(said) - MOST_PLACES
    return said if more <= 0 else [*said[:MOST_PLACES], f"and {more} more places"]


def danger_of(change: Change) -> Danger:
    """Return how dangerous a step of allergens or alcohol is."""
    if change.about == ALCOHOL and change.now_contains and change.before.status == CONTAINS:
        return Danger.MORE_ALCOHOL  # another drink where alcohol was named already
    if change.now_contains:
        return Danger.NOW_CONTAINS
    if change.no_longer_known:
        return Danger.NO_LONGER_KNOWN
    if change.may_now:
        return Danger.MAY_CONTAIN
    if change.more_alcohol:
        return Danger.MORE_ALCOHOL
    if change.worse:
        return Danger.NO_LONGER_KNOWN
    return Danger.WEAKER if change.on_paper else Danger.OTHER


def _of_change(change: Change, *, dish: bool) -> Difference:
    papers: tuple[Paper, ...] = ()
    if change.on_paper:
        papers = _FOR_GUESTS if dish else ("container label", "sale label")
    subject: Subject = "alcohol" if change.about == ALCOHOL else "allergen"
    return Difference(
        subject,
        change.about,
        change.before.as_json(),
        change.after.as_json(),
        change.as_text(),
        danger_of(change),
        papers,
        change,
    )


def _reasons(before: Json, after: Json, told: set[str], *, dish: bool) -> list[Difference]:
    """Return groups of which the same is said for another reason: by another way, or over other equipment."""
    old_rows = {row["group"]: row for row in before["allergens"]}
    found: list[Difference] = []
    for row in after["allergens"]:
        old = old_rows.get(row["group"])
        if old is None or row["group"] in told:
            continue
        first, second = _why(old), _why(row)
        if first != second:
            new, gone = [one for one in second if one not in first], [one for one in first if one not in second]
            said = [f"now through {', '.join(new)}"] if new else []
            said += [f"no longer through {', '.join(gone)}"] if gone else []
            words = f"{row['group']}: '{row['status']}' as before, {' and '.join(said) or 'in another order'}"
            papers: tuple[Paper, ...] = ("card",) if dish else ()
            found.append(Difference("reason", row["group"], first, second, words, Danger.OTHER, papers))
    return found


def _why(row: Json) -> list[str]:
    ways = [" > ".join(path) for path in row["because"]] if row["status"] == "contains" else []
    may = [
        f"{' > '.join(one['path'])} ({one['why']}{'; ' + one['words'] if one.get('words') else ''})"
        for one in row.get("may_contain", ())
    ]
    return list(dict.fromkeys([*ways, *may]))


def _figures(before: Json, after: Json, *, dish: bool) -> list[Difference]:
    found: list[Difference] = []
    for basis in ("per_portion", "per_100_g"):
        old = before["nutrition"]["declared"].get(basis, {})
        new = after["nutrition"]["declared"].get(basis, {})
        for key in dict.fromkeys((*old, *new)):
            if old.get(key) != new.get(key):
                found.append(_figure(key, basis, old.get(key), new.get(key), dish=dish))
    old = before["nutrition"].get("percent_of_intake", {})
    new = after["nutrition"].get("percent_of_intake", {})
    first, second = old.get("per_portion", {}), new.get("per_portion", {})
    if first != second or old.get("statement") != new.get("statement"):
        changed = [key for key in dict.fromkeys((*first, *second)) if first.get(key) != second.get(key)]
        named = ", ".join(f"{_name(key)} {_percent(first, key)}, now {_percent(second, key)}" for key in changed)
        words = f"share of a day's intake: {named or 'its statement'}"
        found.append(Difference("intake", "percent_of_intake", old, new, words, Danger.OTHER, ("panel",)))
    return found


def _percent(shares: Json, key: str) -> str:
    return f"{shares[key]} %" if key in shares else "none"


def _figure(key: str, basis: str, old: str | None, new: str | None, *, dish: bool) -> Difference:
    unit = NUTRIENT_WORDS.get(key, ("", ""))[1]
    per = "a portion" if basis == "per_portion" else "100 g"
    if new is None:
        words, danger = f"{_name(key)} for {per}: was {old} {unit}, now no figure: not known", Danger.FIGURE_LOST
    elif old is None:
        words, danger = f"{_name(key)} for {per}: had no figure, now {new} {unit}", Danger.OTHER
    else:
        words, danger = f"{_name(key)} for {per}: was {old} {unit}, now {new} {unit}", Danger.OTHER
    papers: tuple[Paper, ...] = ("sale label", "panel") if dish else ("sale label",)
    return Difference("figure", f"{key} {basis}", old, new, words, danger, papers)


def _name(key: str) -> str:
    if key in _ENERGY:
        return "energy"
    return (NUTRIENT_WORDS.get(key, (key, ""))[0] or key).removeprefix("of which ").lower()


def _weight(before: Json, after: Json, *, dish: bool) -> list[Difference]:
    key = "portion_g" if dish else "batch_g"
    old, new = before.get(key), after.get(key)
    if old is None or new is None or f"{old:.0f}" == f"{new:.0f}":
        return []
    what = "a portion" if dish else "a batch"
    words = f"weight of {what}: was {old:.0f} g, now {new:.0f} g"
    papers: tuple[Paper, ...] = ("sale label", "panel") if dish else ()
    return [Difference("weight", key, old, new, words, Danger.OTHER, papers)]


def _label(before: Json, after: Json) -> list[Difference]:
    old, new = before.get("label"), after.get("label")
    if old is None or new is None:
        first = [one["ingredient"] for one in before["ingredients"]]
        second = [one["ingredient"] for one in after["ingredients"]]
        return list(
            words_differ("ingredients", ", ".join(first), ", ".join(second), ("sale label",), subject="ingredients")
        )
    found = list(
        words_differ(
            "ingredients on the sale label",
            old["ingredients_text"],
            new["ingredients_text"],
            ("sale label",),
            subject="ingredients",
        )
    )
    for about, first_text, second_text in (
        ("set apart on the sale label", _emphasised(old), _emphasised(new)),
        ("the contains line of the sale label", old["contains_line"], new["contains_line"]),
    ):
        found += words_differ(about, first_text, second_text, ("sale label",), subject="label")
    return found


def _emphasised(label: Json) -> str:
    text = label["ingredients_text"]
    return ", ".join(dict.fromkeys(text[begin:end].lower() for begin, end in label["emphasised"]))
