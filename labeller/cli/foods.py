"""``labeller foods WORDS``: rows of the reference table that fit, best first."""

import json
import sys
import textwrap

from labeller.composition.search import FoodHit, nearest_words, no_row_fits, search_foods

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
