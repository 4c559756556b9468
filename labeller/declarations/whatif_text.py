"""A change that was tried, for reading: what is gained first, then both declarations side by side, in 80 columns."""

import textwrap
from typing import Any

from labeller.declarations.allergen_rows import CONTAINS, NONE_DECLARED
from labeller.declarations.comparing import Danger, Difference
from labeller.declarations.comparing_states import State, state_of_alcohol, state_of_row
from labeller.declarations.reasons import amount, spread
from labeller.declarations.whatif import WhatIf
from labeller.declarations.whatif_lines import Place, Wish
from labeller.declarations.words import NUTRIENT_WORDS, STATUS_ON_PAPER, listed

WIDTH = 80
_COLUMNS = (20, 28, 28)
_GAP = "  "
_FIGURES = ("fat_g", "saturates_g", "carbohydrate_g", "sugars_g", "fibre_g", "protein_g", "salt_g")
_NOT_SHOWN = frozenset({"energy_kj", "energy_kcal", "water_g", "alcohol_g"})
_MOST_OF_A_DISH = 6
UNTOUCHED = "Nothing was changed in the book."


def whatif_as_text(found: WhatIf) -> str:
    """Return everything about a change, the gains first; no line is longer than 80 columns and nothing is left out."""
    blocks = [
        _wrapped(f"{found.dish}: tried with {_wishes(found)}. {UNTOUCHED}"),
        "\n".join(_item(_place_words(place)) for _, place in found.places),
        _gained(found),
    ]
    weaker = [one for one in found.differences if one.danger == Danger.WEAKER]
    if weaker:
        blocks.append("Lost, or weaker:\n" + "\n".join(_item(one.words) for one in weaker))
    blocks.append(_side_by_side(found.before, found.after))
    if found.also_changes:
        blocks.append(_also(found))
    elif any(place.inside for _, place in found.places):
        blocks.append("No other dish would change.")
    if found.notes:
        blocks.append("\n".join(_item(one) for one in found.notes))
    return "\n\n".join(blocks)


def _wishes(found: WhatIf) -> str:
    said: dict[str, None] = {}
    for wish, _ in found.places:
        said[_wish_words(wish)] = None
    return listed(list(said))


def _wish_words(wish: Wish) -> str:
    old = (wish.old.given or wish.old.entry) if wish.old is not None else ""
    new = ""
    if wish.new is not None:
        new = wish.new.line.text if wish.new.line is not None else wish.new.name
    return {"swap": f"{new} in place of {old}", "leave off": f"{old} left off", "add": f"{new} added"}[wish.kind]


def _place_words(place: Place) -> str:
    where = place.inside or "on the plate"
    if not place.after:
        return f"{where}: {place.before} -> left off"
    return f"{where}: {place.before or 'nothing'} -> {place.after}"


def _gained(found: WhatIf) -> str:
    """Say first and loud what comes in, here and in other dishes; a swap never brings in something silently."""
    worse = [one for one in found.differences if one.worse]
    beside = [one for one in found.differences if _one_more_doubt(one)]
    ways = [one for one in found.differences if _one_more_way(one)]
    others = [dish.name for dish in found.also_changes if any(one.worse for one in dish.differences)]
    lines: list[str] = []
    if worse or beside or ways:
        lines = ["! GAINED, OR NO LONGER KNOWN:"]
        lines += _alike(worse, "! ")
        lines += _alike(ways, "! ")
        lines += _alike(beside, "! as open as before, for one more reason: ")
    else:
        # Where a drink is left out, what else leaves alcohol open comes to the fore.
        known = "." if found.cannot_vouch else ", and nothing becomes not known."
        lines = [_wrapped(f"In this dish no allergen and no alcohol is gained{known}")]
    if others:
        lines.append(_item(f"Other dishes gain too, or are no longer known: {listed(others)}. See below.", "! "))
    if found.cannot_vouch:
        words = f"Nobody can vouch any more for: {listed([_about_words(one) for one in found.cannot_vouch])}."
        lines.append(_item(f"{words} Ask the supplier before it is made so.", "! "))
    return "\n".join(lines)


def _about_words(about: str) -> str:
    """Name a group, or a figure with its basis: 'fat_g per_portion' is the fat of a portion."""
    key, _, basis = about.partition(" ")
    if not basis:
        return about
    name = (NUTRIENT_WORDS.get(key, (key, ""))[0] or "energy").removeprefix("of which ").lower()
    return f"{name} {'of a portion' if basis == 'per_portion' else 'of 100 g'}"


def _alike(differences: list[Difference], mark: str) -> list[str]:
    """Say once what is the same of several groups."""
    together: dict[str, list[str]] = {}
    for one in differences:
        together.setdefault(one.words.removeprefix(f"{one.about}: "), []).append(
            one.about if one.words.startswith(f"{one.about}: ") else ""
        )
    return [_item(f"{', '.join(about)}: {words}" if all(about) else words, mark) for words, about in together.items()]


def _one_more_way(one: Difference) -> bool:
    """Tell whether what is in it already comes in by another way as well."""
    return one.subject == "reason" and not set(one.after) <= set(one.before)


def _one_more_doubt(one: Difference) -> bool:
    change = one.change
    return change is not None and not one.worse and not set(change.after.unconfirmed) <= set(change.before.unconfirmed)


def _side_by_side(before: dict[str, Any], after: dict[str, Any]) -> str:
    rows: list[tuple[str, str, str]] = [("", "BEFORE", "AFTER")]
    rows.append(("weight of a portion", amount(before["portion_g"], "g"), amount(after["portion_g"], "g")))
    plain: list[str] = []
    alike: dict[tuple[State, State], list[str]] = {}
    old_rows = {row["group"]: row for row in before["allergens"]}
    for row in after["allergens"]:
        first, second = state_of_row(old_rows.get(row["group"])), state_of_row(row)
        if first == second and first.status == NONE_DECLARED:
            plain.append(row["group"])
        else:
            alike.setdefault((first, second), []).append(row["group"])
    rows += [_cells(", ".join(groups), _state(first), _state(second)) for (first, second), groups in alike.items()]
    rows.append(_cells("alcohol", _alcohol(before["alcohol"]), _alcohol(after["alcohol"])))
    rows.append(_cells("energy", _energy(before), _energy(after)))
    more = [key for key in after["nutrition"]["declared"].get("per_portion", {}) if key not in _NOT_SHOWN]
    for key in dict.fromkeys((*_FIGURES, *more)):
        if key in before["nutrition"]["per_portion"] and key in after["nutrition"]["per_portion"]:
            name = NUTRIENT_WORDS.get(key, (key, ""))[0] or key
            rows.append(_cells(name.lower(), _figure(before, key), _figure(after, key)))
    lines = [line for row in rows for line in _row(row)]
    if plain:
        lines.append("")
        lines.append(_wrapped(f"Not an ingredient before and after: {', '.join(plain)}."))
    return "\n".join(lines)


def _cells(name: str, first: str, second: str) -> tuple[str, str, str]:
    return name, first, "the same" if first == second else second


def _state(state: State) -> str:
    if state.status not in STATUS_ON_PAPER:
        return state.status
    return state.as_text()


def _alcohol(alcohol: dict[str, Any]) -> str:
    state = state_of_alcohol(alcohol)
    if state.status != CONTAINS:
        return state.as_text()
    grams = alcohol["ethanol_g"]
    words = f"contains {', '.join(state.sources)}: {spread(grams['low'], grams['estimate'], grams['high'])}"
    return words + (f", not known beside that ({', '.join(state.unconfirmed)})" if state.unconfirmed else "")


def _energy(document: dict[str, Any]) -> str:
    kcal = amount(document["nutrition"]["per_portion"]["energy_kcal"], "kcal")
    return f"{_figure(document, 'energy_kj', f' ({kcal})')}"


def _figure(document: dict[str, Any], key: str, beside: str = "") -> str:
    """Return a figure of the portion; one with gaps is what is known of it, and says for what there is no figure."""
    value = document["nutrition"]["per_portion"][key]
    unit = NUTRIENT_WORDS.get(key, ("", key.rsplit("_", 1)[-1]))[1]
    gaps = [one["ingredient"] for one in document["nutrition"]["missing"] if one["nutrient"] == key]
    if not gaps:
        return f"{amount(value, unit)}{beside}"
    return f"not known: {amount(value, unit)}{beside} without {listed(gaps)}"


def _row(cells: tuple[str, str, str]) -> list[str]:
    columns = [
        textwrap.wrap(cell, width, break_on_hyphens=False) or [""] for cell, width in zip(cells, _COLUMNS, strict=True)
    ]
    height = max(len(one) for one in columns)
    padded = [one + [""] * (height - len(one)) for one in columns]
    return [
        _GAP.join(text.ljust(width) for text, width in zip(line, _COLUMNS, strict=True)).rstrip()
        for line in zip(*padded, strict=True)
    ]


def _also(found: WhatIf) -> str:
    inside = list(dict.fromkeys(place.inside for _, place in found.places if place.inside))
    made = f" because {listed(inside)} would be made otherwise" if inside else ""
    lines = [_wrapped(f"Other dishes that would change{made}:")]
    for dish in found.also_changes:
        lines.append(_item(dish.name))
        told = [one for one in dish.differences if one.worse or one.danger == Danger.WEAKER or _one_more_doubt(one)]
        rest = len(dish.differences) - len(told)
        lines += _alike([one for one in told if one.worse or _one_more_doubt(one)], "  ! ")
        lines += _alike([one for one in told if not (one.worse or _one_more_doubt(one))], "    ")
        if rest and told:
            lines.append(_item(f"and {rest} more in figures and wording", "    "))
        elif rest:
            lines += [_item(one.words, "    ") for one in dish.differences[:_MOST_OF_A_DISH]]
            if rest > _MOST_OF_A_DISH:
                lines.append(_item(f"and {rest - _MOST_OF_A_DISH} more in figures and wording", "    "))
    return "\n".join(lines)


def _wrapped(text: str) -> str:
    return textwrap.fill(text, WIDTH, break_on_hyphens=False)


def _item(text: str, mark: str = "- ") -> str:
    indent = " " * min(len(mark), len(mark) - len(mark.lstrip()) + 2)
    return textwrap.fill(text, WIDTH, initial_indent=mark, subsequent_indent=indent, break_on_hyphens=False)
