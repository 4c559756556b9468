"""``labeller foods WORDS``: rows of the reference table that fit, best first; with ``--online`` foods of FoodData Central."""

import json
import os
import sys
import textwrap
from typing import TYPE_CHECKING

from labeller.cli.exits import FAULTS, WRONG_USAGE
from labeller.composition.search import FoodHit, nearest_words, no_row_fits, search_foods

if TYPE_CHECKING:
    from labeller.bringing_in.food_data_central_settings import Trouble

_WIDTH = 80
_FOUND = 0
_NOTHING_FOUND = 2


def foods_as_json(hits: list[FoodHit]) -> str:
    """Return the contract's JSON document: food, name and group of each row, best first."""
    return json.dumps(
        [{"food": hit.food, "name": hit.name, "group": hit.group} for hit in hits], ensure_ascii=False, indent=1
    )


def foods_as_text(hits: list[FoodHit]) -> str:
    """Return code, name and group in columns, no line longer than 80 characters; a long name goes on below itself."""
    code_width = max(len(hit.food) for hit in hits)
    group_width = min(24, max(len(hit.group) for hit in hits))
    name_width = _WIDTH - code_width - group_width - 4
    lines = []
    for hit in hits:
        names = textwrap.wrap(hit.name, name_width) or [""]
        groups = textwrap.wrap(hit.group, group_width)
        for line in range(max(len(names), len(groups))):
            code = hit.food if line == 0 else ""
            name = names[line] if line < len(names) else ""
            group = groups[line] if line < len(groups) else ""
            lines.append(f"{code:<{code_width}}  {name:<{name_width}}  {group}".rstrip())
    return "\n".join(lines)


def foods(words: list[str], json_out: bool) -> int:
    """Print the rows that fit some words and return the exit code: 0, or 2 where nothing fits.

    Parameters
    ----------
    words : list of str
        The words as typed: ``caster sugar``.
    json_out : bool
        Print the contract's JSON document instead of text.
    """
    question = " ".join(words).strip()
    hits = search_foods(question)
    if json_out:
        print(foods_as_json(hits))
    elif hits:
        print(foods_as_text(hits))
    if hits:
        return _FOUND
    nothing = no_row_fits(question)
    if nothing is not None:
        if not json_out:
            print(f"foods: no row fits '{question}' ({nothing.words}: {nothing.why}).", file=sys.stderr)
            print("    Write it from the pack: labeller ingredient --from-pack --into BOOK", file=sys.stderr)
        return _NOTHING_FOUND
    if not json_out:
        near = nearest_words(question)
        mend = (
            f"The nearest words it knows: {', '.join(near)}."
            if near
            else "Write another name for the food, in English."
        )
        print(f"foods: '{question}' is not in the reference table.\n    {mend}", file=sys.stderr)
    return _NOTHING_FOUND


def foods_online(words: list[str], *, refresh: bool, json_out: bool) -> int:
    """Print the foods of FoodData Central that fit some words and return the exit code.

    Returns
    -------
    int
        0; 2 where nothing fits, no key is set or it is refused; 1 where no sound answer came.
    """
    from labeller.bringing_in.food_data_central import search_online
    from labeller.bringing_in.food_data_central_settings import Trouble, read_settings
    from labeller.cli.answer_cache import cache_folder
    from labeller.cli.saying import today

    question = " ".join(words).strip()
    settings = read_settings(os.environ)
    if isinstance(settings, Trouble):
        return tell_trouble("foods", settings, json_out=json_out)
    answered = search_online(settings, question, cache=cache_folder(), today=today(), refresh=refresh)
    if isinstance(answered, Trouble):
        return tell_trouble("foods", answered, json_out=json_out)
    found, heard = answered
    if json_out:
        listed = [
            {
                "food": f"fdc:{one.fdc_id}",
                "name": one.description,
                "group": one.category or "",
                "data_type": one.data_type,
                "published": one.published.isoformat() if one.published is not None else None,
                "fetched_on": heard.fetched_on.isoformat(),
                "from_cache": heard.from_cache,
            }
            for one in found.foods
        ]
        print(json.dumps(listed, ensure_ascii=False, indent=1))
        return _FOUND if listed else _NOTHING_FOUND
    for words_of in (heard.age_in_words(today()), heard.left_in_words()):
        if words_of:
            print(words_of, file=sys.stderr)
    if not found.foods:
        print(f"foods: FoodData Central has nothing for '{question}'.", file=sys.stderr)
        print("    Write another name for the food, in English, or fewer words.", file=sys.stderr)
        return _NOTHING_FOUND
    print(
        foods_as_text(
            [FoodHit(f"fdc:{one.fdc_id}", one.description, one.data_type or "", 0.0, "") for one in found.foods]
        )
    )
    if found.total > len(found.foods):
        print(f"{len(found.foods)} of {found.total}; more words find fewer.", file=sys.stderr)
    print("Bring one in: labeller fetch NUMBER --into BOOK", file=sys.stderr)
    return _FOUND


def tell_trouble(command: str, trouble: "Trouble", *, json_out: bool) -> int:
    """Say why nothing came of it, and return the exit code: 2 where the call or the key is wrong, else 1."""
    if json_out:
        fault = {"file": "", "line": 0, "field": command, "problem": trouble.problem, "mend": trouble.mend}
        print(json.dumps({"faults": [fault], "advice": []}, ensure_ascii=False, indent=1))
    else:
        print(f"{command}: {trouble.as_text()}", file=sys.stderr)
    return WRONG_USAGE if trouble.wrong_call else FAULTS
