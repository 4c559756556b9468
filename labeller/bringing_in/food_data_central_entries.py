"""Write a fetched food as an ingredient of a book; what an entry it takes the place of says besides stays word for word."""

from collections.abc import Mapping as Keyed
from dataclasses import dataclass
from datetime import date
from typing import Final

from labeller.book.raw_entries import RawEntry, value_of
from labeller.book.yaml_tree import Mapping, Node, Scalar
from labeller.bringing_in.entry_files import append_entries, entries_in, entry_lines, replace_entry, yaml_text
from labeller.bringing_in.food_data_central_figures import Worked
from labeller.bringing_in.food_data_central_measures import FoodMeasures
from labeller.bringing_in.food_data_central_replies import Food, one_line
from labeller.bringing_in.food_data_central_settings import Trouble
from labeller.composition.table import load_table
from labeller.foundations.names import fold_text, name_key

FETCHED_FILE: Final = "ingredients/fetched.yaml"
_HEAD: Final = "# Ingredients with figures of open food tables, each with where they come from.\n"
_SOURCE: Final = "USDA FoodData Central"
# What a fetched entry says itself; every other key of an entry it replaces is kept.
_OWN_KEYS: Final = frozenset({"ingredient", "per 100 g", "provenance"})
_MOST_INPUTS: Final = 20


@dataclass(frozen=True, slots=True)
class Fetched:
    """A food as it will stand in the book."""

    name: str
    food: Food
    worked: Worked
    measures: FoodMeasures
    url: str
    fetched_on: date

    @property
    def provenance(self) -> str:
        """Say where the figures come from and what was done to them."""
        food = self.food
        published = f", published {food.published.isoformat()}" if food.published is not None else ""
        source = f"{_SOURCE}, {food.data_type}, '{food.description}', FDC ID {food.fdc_id}{published}"
        parts = [f"{source}, fetched {self.fetched_on.isoformat()} from {self.url}", *self.worked.notes]
        if self.worked.missing:
            parts.append(f"not given: {', '.join(self.worked.missing)}")
        if food.is_recipe:
            parts.append("a recipe of the survey, as people eat it")
        return "; ".join(parts)


def recipe_of(food: Food) -> tuple[str, ...]:
    """Return what the survey's recipe of a food takes, as it words it; empty for other foods."""
    if not food.is_recipe:
        return ()
    words = [one.ingredient or one.food or "" for one in food.inputs]
    return tuple(dict.fromkeys(one_line(one)[:100] for one in words if one))[:_MOST_INPUTS]


def same_row(food: Food) -> tuple[str, str] | None:
    """Return the row of the shipped table with the number of an SR Legacy food, and its name; None where there is none.

    It is for a person to look at: numbers were kept from release to release, and a row settles allergens.
    """
    if food.data_type != "SR Legacy" or not food.ndb_number or not food.ndb_number.isdigit():
        return None
    code = food.ndb_number.zfill(5)
    table = load_table()
    row = table.row_index(code)
    return (f"sr28:{code}", table.name(row)) if row is not None else None


def entry_pairs(fetched: Fetched) -> list[tuple[str, str]]:
    """Return the keys of the entry with their values as YAML."""
    pairs = [
        ("ingredient", yaml_text(fetched.name)),
        ("per_100_g", _flow(fetched.worked.figures)),
        ("provenance", yaml_text(fetched.provenance)),
    ]
    measures = fetched.measures
    if measures.density_g_per_ml is not None:
        pairs.append(("density", f"{measures.density_g_per_ml:.3g} g/ml"))
    if measures.piece_g is not None:
        pairs.append(("piece", f"{measures.piece_g:.4g} g"))
    if measures.measures_g:
        held = ", ".join(f"{yaml_text(unit)}: {weight:.3g} g" for unit, weight in measures.measures_g.items())
        pairs.append(("measures", f"{{{held}}}"))
    return pairs


def _flow(figures: Keyed[str, float]) -> str:
    return "{" + ", ".join(f"{key}: {_plain(value)}" for key, value in figures.items()) + "}"


def _plain(value: float) -> str:
    """Return a figure to six digits, never in powers of ten, which the book does not read."""
    text = f"{float(f'{value:.6g}'):.9f}".rstrip("0").rstrip(".")
    return text or "0"


def new_text(
    text: str, path: str, fetched: Fetched, standing: RawEntry | None
) -> tuple[str, tuple[str, ...]] | Trouble:
    """Return the text of a file with the entry added or in the place of the standing one, and the keys that were kept."""
    pairs = entry_pairs(fetched)
    if standing is None:
        added, faults = append_entries(text if text.strip() else _HEAD + text, path, [entry_lines(pairs)])
        if added is None:
            return _cannot(path, faults[0].problem if faults else "")
        return added, ()
    kept = _kept_lines(text, standing)
    if kept is None:
        return _cannot(path, "its entry is written in one line with others.")
    own = [(key, value) for key, value in pairs if fold_text(key).replace("_", " ") not in kept]
    own[0] = ("ingredient", yaml_text(standing.name))
    entry = entry_lines(own) + "".join(line for lines in kept.values() for line in lines)
    replaced = replace_entry(text, path, standing.name, entry)
    if replaced is None:
        return _cannot(path, "")
    after, faults = entries_in(replaced, path)
    before, _ = entries_in(text, path)
    if faults or [name_key(one.name) for one in after] != [name_key(one.name) for one in before]:
        return _cannot(path, faults[0].problem if faults else "")
    now = next(one for one in after if one.kind == "ingredient" and name_key(one.name) == name_key(standing.name))
    for key, value in standing.node.pairs:
        word = fold_text(key.text)
        if word.replace("_", " ") in kept:
            held = value_of(now.node, word)
            if held is None or _plain_value(held) != _plain_value(value):
                return _cannot(path, f"'{key.text}' would not stay as it is.")
    return replaced, tuple(kept)


def _plain_value(node: Node) -> object:
    """Return what a value says, without its lines."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Mapping):
        return [(key.text, _plain_value(value)) for key, value in node.pairs]
    return [_plain_value(one) for one in node.items]


def _cannot(path: str, why: str) -> Trouble:
    return Trouble(
        f"'{path}' cannot be changed as it stands{': ' + why if why else '.'}",
        "Mend it, or give another name with --as.",
    )


def _kept_lines(text: str, standing: RawEntry) -> dict[str, list[str]] | None:
    """Return the lines of each key of an entry that is not ours, indented by two; None where keys share a line.

    A spec, other names, equipment, a row of the table: a person wrote them, and allergens hang on them.
    """
    lines = text.splitlines(keepends=True)
    starts = [key.line for key, _ in standing.node.pairs]
    if standing.node.flow or len(set(starts)) != len(starts) or starts != sorted(starts):
        return None
    later = [one.line for one in entries_in(text, standing.path)[0] if one.line > standing.line]
    end = min(later) if later else len(lines) + 1
    first = lines[starts[0] - 1]
    margin = len(first) - len(first.lstrip(" -"))
    kept: dict[str, list[str]] = {}
    for (key, _), begin, until in zip(standing.node.pairs, starts, [*starts[1:], end], strict=True):
        word = fold_text(key.text).replace("_", " ")
        if word in _OWN_KEYS:
            continue
        # Comments of their own line are kept above the entry by `replace_entry`; blank lines count inside a long text.
        own = [one for one in lines[begin - 1 : until - 1] if not one.lstrip().startswith("#")]
        while own and not own[-1].strip():
            own.pop()
        kept[word] = [f"  {one[margin:]}".rstrip() + "\n" if one.strip() else "\n" for one in own]
    return kept
