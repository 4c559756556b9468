"""Menu notes as plain text, lines of at most 78 letters, allergens in capitals because there is no bold."""

import textwrap
from collections.abc import Iterator

from labeller.declarations.notes_content import KEY_HEAD, KEY_MEANS, DishNote, MenuNotes, statement_sentences

WIDTH = 78
"""Letters in a line; a longer word stands whole on a line of its own."""
_INDENT = "    "


def notes_as_text(notes: MenuNotes) -> str:
    """Return menu notes as plain text."""
    lines = [*_wrapped(notes.title.upper()), *_wrapped(notes.house), "", *_wrapped(notes.opening)]
    if notes.key:
        lines += ["", KEY_HEAD, *_wrapped(KEY_MEANS)]
        wide = max(len(letters) for letters, _ in notes.key)
        for letters, words in notes.key:
            lines += _wrapped(words, f"{_INDENT}{letters.upper():<{wide}}  ", _INDENT + " " * (wide + 2))
    for section in notes.sections:
        title = section.title.upper()
        lines += ["", "", *_wrapped(title), "-" * min(WIDTH, len(title))]
        for dish in section.dishes:
            lines += ["", *_dish(dish)]
    last = [statement_sentences(notes.statements), *notes.cautions, notes.foot]
    lines += ["", "", *(line for one in last if one for line in _wrapped(one))]
    return "\n".join(lines) + "\n"


def _dish(dish: DishNote) -> Iterator[str]:
    yield from _wrapped(dish.name)
    if dish.description:
        yield from _wrapped(dish.description, _INDENT, _INDENT)
    if dish.energy:
        yield from _wrapped(dish.energy, _INDENT, _INDENT)
    for line in dish.lines:
        yield from _wrapped(line.text.in_capitals(), _INDENT, _INDENT * 2)


def _wrapped(text: str, first: str = "", later: str = "") -> list[str]:
    """Return a text in lines; no word is parted, not even at its hyphens, so that every word can be searched for."""
    return textwrap.wrap(
        text,
        WIDTH,
        initial_indent=first,
        subsequent_indent=later,
        break_long_words=False,
        break_on_hyphens=False,
    )
