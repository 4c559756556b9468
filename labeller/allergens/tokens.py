"""The smallest pieces of an ingredients statement: words, numbers, brackets and marks, each with its place in the text."""

import re
from typing import NamedTuple

from labeller.foundations.names import fold_text, stem_word

WORD, NUMBER, PERCENT, E_NUMBER, OPEN, CLOSE, COMMA, COLON, STOP, NEWLINE, STAR, NOTE_STAR, SLASH, AND = range(14)

_PIECE = re.compile(
    r"""(?P<percent>\d+(?:[.,]\d+)?[ \u00a0]?[%％])
      | (?P<e_number>(?<![^\W_])[Ee][ \u00a0-]?\d{3,4}(?:[a-z](?![^\W_])|(?![^\W_])))
      | (?P<number>\d+(?:[.,]\d+)*[a-f]?(?![^\W_]))
      | (?P<genitive>['’‘`´][sS](?![^\W_]))
      | (?P<word>[^\W_¹²³⁴⁵⁶⁷⁸⁹⁰]+)
      | (?P<broken>[-\u00ad‐][ \t]*\r?\n[ \t]*)
      | (?P<open>[(\[{（［｛])
      | (?P<close>[)\]}）］｝])
      | (?P<comma>[,;•·|▪●■◦、，；]|(?<=[^\W\d_]{2})[.](?=[^\W\d_]{2})|(?<=\s)[-–—](?=\s)|^[ \t]*[-–—](?=\s))
      | (?P<colon>[:：=])
      | (?P<stop>[.!?。]+(?=\s|$)|\r?\n[ \t]*\r?\n\s*)
      | (?P<newline>\r?\n|[\v\f\x1c-\x1e\x85\u2028\u2029]|\r)
      | (?P<star>[*†‡§¹²³⁴⁵⁶⁷⁸⁹⁰＊]+)
      | (?P<slash>[/\\])
      | (?P<and>[&+])
    """,
    re.VERBOSE | re.MULTILINE,
)
_KINDS = {
    "percent": PERCENT, "e_number": E_NUMBER, "number": NUMBER, "word": WORD, "open": OPEN, "close": CLOSE, "comma": COMMA,
    "colon": COLON, "stop": STOP, "newline": NEWLINE, "star": STAR, "slash": SLASH, "and": AND,
}  # fmt: skip
# After these a full stop ends a word, not a sentence. A sentence taken to go on keeps its sense; one cut short could lose it.
_SHORTENED = frozenset(
    [
        "incl",
        "inkl",
        "max",
        "min",
        "approx",
        "ca",
        "circa",
        "eg",
        "ie",
        "no",
        "nr",
        "vol",
        "conc",
        "conz",
        "past",
        "alc",
        "sp",
        "spp",
        "ssp",
        "var",
        "evtl",
        "ggf",
        "teilw",
        "mind",
        "resp",
        "usw",
        "etc",
        "veg",
        "st",
    ]
)
_MOST_REMEMBERED = 50_000
_folded: dict[str, str] = {}
_stems: dict[str, str] = {}


class Token(NamedTuple):
    """One piece of the text: its kind, its stem (words and numbers only), and where it stands."""

    kind: int
    key: str
    start: int
    end: int


def fold_word(word: str) -> str:
    """Return a word without case and accents, remembered."""
    known = _folded.get(word)
    if known is None:
        if len(_folded) > _MOST_REMEMBERED:
            _folded.clear()
        known = _folded[word] = fold_text(word).replace(" ", "")
    return known


def stem_of(word: str) -> str:
    """Return the common form of a word's singular and plural, folded, remembered."""
    known = _stems.get(word)
    if known is None:
        if len(_stems) > _MOST_REMEMBERED:
            _stems.clear()
        known = _stems[word] = stem_word(fold_word(word))
    return known


def _is_shortened(text: str, last: Token, stop: int) -> bool:
    """Tell whether the full stop at ``stop`` only shortens the word before it."""
    if last.kind != WORD or last.end != stop or text[stop] != ".":
        return False
    return last.end - last.start == 1 or fold_word(text[last.start : last.end]) in _SHORTENED


def tokens_of(text: str) -> list[Token]:
    """Cut a statement into its pieces, in order; what is none of them counts as space."""
    found: list[Token] = []
    for match in _PIECE.finditer(text):
        name = match.lastgroup
        start, end = match.span()
        if name == "word":
            found.append(Token(WORD, stem_of(match.group()), start, end))
        elif name == "comma":
            found.append(Token(COMMA, "", start, end))
        elif name == "stop":
            if end - start == 1 and found and _is_shortened(text, found[-1], start):
                continue
            found.append(Token(STOP, "", start, end))
        elif name == "star":
            before = text[start - 1] if start else "\n"
            after = text[end] if end < len(text) else " "
            begins = before.isspace() or before == "."
            line_begins = not found or found[-1].kind in (NEWLINE, STOP)
            kind = NOTE_STAR if begins and (after.isalnum() or after == "=" or line_begins) else STAR
            found.append(Token(kind, match.group(), start, end))
        elif name == "e_number":
            found.append(Token(E_NUMBER, "e" + match.group()[1:].lstrip(" \u00a0-").lower(), start, end))
        elif name == "number":
            found.append(Token(NUMBER, match.group().lower(), start, end))
        elif name not in ("genitive", "broken") and name is not None:
            found.append(Token(_KINDS[name], "", start, end))
    return found
