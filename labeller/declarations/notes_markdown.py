"""Menu notes as Markdown (CommonMark 0.31, and what is commonly added to it): what the cook wrote stays text, whatever it looks like.

References
----------
.. [1] CommonMark Spec 0.31.2, 2.4 backslash escapes: any ASCII punctuation may be escaped.
"""

import re
from collections.abc import Iterator

from labeller.declarations.marked_text import MarkedText
from labeller.declarations.notes_content import KEY_HEAD, KEY_MEANS, DishNote, MenuNotes, statement_sentences

_ALWAYS = re.compile(r"[\\`*_\[\]<>&#~|$^{}=]")
# Addresses become links by themselves in common dialects; an escaped sign in the right place keeps them text.
_ADDRESS = re.compile(r"(?<=\w)(?=://)|(?:(?<=mailto)|(?<=xmpp))(?=:)|(?<=www)(?=\.)|(?=@)", re.IGNORECASE)
_AT_THE_START = re.compile(r"^(\d{1,9})(?=[.)])|^(?=[-+:!>])")


def escaped(text: str) -> str:
    """Return a text so that Markdown shows it letter by letter [1]_."""
    shown = _ALWAYS.sub(lambda found: f"\\{found[0]}", " ".join(text.split()))
    shown = _ADDRESS.sub(r"\\", shown)
    return _AT_THE_START.sub(lambda found: f"{found[1] or ''}\\", shown)


def marked(text: MarkedText) -> str:
    """Return a text with what is set apart in bold."""
    written = ""
    for piece, strong in text.pieces():
        # Spaces beside the stars would keep them from being read as bold.
        bare = piece.strip() if strong else piece
        if not strong or not bare:
            written += _inner(piece)
            continue
        before, after = piece[: len(piece) - len(piece.lstrip())], piece[len(piece.rstrip()) :]
        written += f"{before}**{_inner(bare)}**{after}"
    return _AT_THE_START.sub(lambda found: f"{found[1] or ''}\\", written)


def notes_as_markdown(notes: MenuNotes) -> str:
    """Return menu notes as Markdown."""
    blocks = [f"# {escaped(notes.title)}", escaped(notes.house), f"**{escaped(notes.opening)}**"]
    if notes.key:
        rows = "\n".join(f"- **{escaped(letters)}** {escaped(words)}" for letters, words in notes.key)
        blocks += [f"**{KEY_HEAD}**", escaped(KEY_MEANS), rows]
    for section in notes.sections:
        blocks.append(f"## {escaped(section.title)}")
        for dish in section.dishes:
            blocks += _dish(dish)
    blocks.append("---")
    blocks += [escaped(one) for one in (statement_sentences(notes.statements), *notes.cautions, notes.foot) if one]
    return "\n\n".join(blocks) + "\n"


def _inner(piece: str) -> str:
    """Escape a piece of a line, its spaces kept."""
    return _ADDRESS.sub(r"\\", _ALWAYS.sub(lambda found: f"\\{found[0]}", re.sub(r"\s", " ", piece)))


def _dish(dish: DishNote) -> Iterator[str]:
    yield f"### {escaped(dish.name)}"
    if dish.description:
        yield f"*{escaped(dish.description)}*"
    if dish.energy:
        yield f"**{escaped(dish.energy)}**"
    for line in dish.lines:
        yield marked(line.text)
