"""What changed in the papers of ingredients, on the menus and in the kitchen itself, before and after in words."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from labeller.record.content import Content, Json

# Key in the evidence, how people call it. The specification first: it is what a supplier changes.
_SPEC = (
    ("supplier", "supplier"),
    ("reference", "reference"),
    ("dated", "date"),
    ("statement", "statement"),
    ("declares", "declares"),
    ("covers_all", "covers all"),
    ("may_contain", "may contain"),
)
_ENTRY = (
    ("composition", "row of the reference table"),
    ("per_100_g", "figures of the pack"),
    ("strength_percent_vol", "strength, % vol"),
    ("sulphites_mg_per_kg", "sulphites, mg/kg"),
    ("made_on", "made on"),
)
_KITCHEN = (
    ("name", "name of the kitchen"),
    ("address", "address"),
    ("language", "language"),
    ("jurisdiction", "law of the book"),
)


@dataclass(frozen=True, slots=True)
class PaperChange:
    """One ingredient whose papers or entry are not the same; ``step`` is new, gone or changed.

    ``what`` holds each field before and after in words, ``used_in`` the dishes it is in now, or was in before.
    """

    ingredient: str
    step: str
    what: tuple[tuple[str, str, str], ...]
    used_in: tuple[str, ...]

    def as_json(self) -> Json:
        """Return it as plain values."""
        return {
            "ingredient": self.ingredient,
            "step": self.step,
            "what": [{"field": field, "before": before, "after": after} for field, before, after in self.what],
            "used_in": list(self.used_in),
        }


def paper_changes(before: Content, after: Content) -> tuple[PaperChange, ...]:
    """Return every ingredient whose evidence changed, by name."""
    found: list[PaperChange] = []
    for name in sorted({*before.evidence, *after.evidence}):
        old, new = before.evidence.get(name), after.evidence.get(name)
        if old == new:
            continue
        step = "new" if old is None else "gone" if new is None else "changed"
        what = tuple(_fields(old or {}, new or {}))
        if step == "changed" and not what:
            continue  # only what the tool makes of it is not the same: that is told where it is declared
        used = {dish for content in (before, after) for dish in _users(content, name)}
        found.append(PaperChange(name, step, what, tuple(sorted(used))))
    return tuple(found)


def opened_goods(before: Content, after: Content) -> tuple[str, ...]:
    """Return the bought-in goods whose label on an opened container says something else now."""
    return tuple(
        name
        for name, new in after.evidence.items()
        if name in before.evidence and before.evidence[name].get("opened") != new.get("opened")
    )


def menu_changes(before: Content, after: Content) -> tuple[tuple[str, str], ...]:
    """Return (menu, words) for every menu whose dishes or sections are not the same."""
    found: list[tuple[str, str]] = []
    for name in dict.fromkeys((*after.menus, *before.menus)):
        old, new = before.menus.get(name), after.menus.get(name)
        if old == new:
            continue
        if old is None or new is None:
            found.append((name, "a new menu" if old is None else "no longer a menu of this book"))
            continue
        first, second = _dishes(old), _dishes(new)
        on, off = [one for one in second if one not in first], [one for one in first if one not in second]
        said = [f"now on it: {', '.join(on)}"] if on else []
        said += [f"no longer on it: {', '.join(off)}"] if off else []
        found.append((name, "; ".join(said) or "its sections or their order"))
    return tuple(found)


def kitchen_changes(before: Content, after: Content) -> tuple[str, ...]:
    """Return what changed in the kitchen's own entry, in words."""
    said: list[str] = []
    for key, name in _KITCHEN:
        said += [
            f"{name}: was {_said(old)}, now {_said(new)}" for old, new in _pair(before.kitchen, after.kitchen, key)
        ]
    old_tools = {one["name"]: one for one in before.kitchen["shared_equipment"]}
    new_tools = {one["name"]: one for one in after.kitchen["shared_equipment"]}
    for name in dict.fromkeys((*new_tools, *old_tools)):
        first, second = old_tools.get(name), new_tools.get(name)
        if first == second:
            continue
        if first is None or second is None:
            said.append(f"shared equipment: '{name}' is {'new' if first is None else 'gone'}")
            continue
        fields = ", ".join(
            f"{key.replace('_', ' ')} was {_said(old)}, now {_said(new)}"
            for key in ("cleaned", "checked", "carries_mg_per_kg")
            for old, new in _pair(first, second, key)
        )
        said.append(f"shared equipment '{name}': {fields}")
    return tuple(said)


def menus_of(content: Content, dish: str) -> tuple[str, ...]:
    """Return the menus a dish stands on."""
    return tuple(name for name, sections in content.menus.items() if dish in _dishes(sections))


def _dishes(sections: list[Json]) -> list[str]:
    return list(dict.fromkeys(dish for section in sections for dish in section["dishes"]))


def _users(content: Content, ingredient: str) -> Iterator[str]:
    for (kind, name), thing in content.things.items():
        if kind == "dish" and any(one["ingredient"] == ingredient for one in thing["declaration"]["ingredients"]):
            yield name


def _fields(old: Json, new: Json) -> Iterator[tuple[str, str, str]]:
    first, second = old.get("spec"), new.get("spec")
    if old and new and bool(first) != bool(second):
        yield "specification", "none" if first is None else "one", "none" if second is None else "one"
    for key, name in _SPEC:
        for before, after in _pair(first or {}, second or {}, key):
            yield name, _said(before), _said(after)
    for key, name in _ENTRY:
        for before, after in _pair(old, new, key):
            yield name, _said(before), _said(after)
    for before, after in _pair(old, new, "from_shelf"):
        if old and new:
            yield "from the shelf", _said(before), _said(after)


def _pair(old: Json, new: Json, key: str) -> Iterator[tuple[Any, Any]]:
    before, after = old.get(key), new.get(key)
    if before != after and (before or after or before == [] or after == []):
        yield before, after


def _said(value: Any) -> str:
    if value is None or value == "":
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        return ", ".join(f"{key} {one:g}" for key, one in value.items()) or "none"
    if isinstance(value, list):
        return ", ".join(str(one) for one in value) or "none"
    return f"'{' '.join(value.split())}'" if isinstance(value, str) else f"{value:g}"
