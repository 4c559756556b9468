"""Which texts can be printed as they are written, and plain words about those that cannot.

A text is checked before anything is laid out: a letter no face has is never printed as an empty box, and a text that runs from right to left
is never printed in the wrong order.
"""

import re
import unicodedata
from dataclasses import dataclass

from labeller.foundations.faults import Fault, Origin
from labeller.printing.faces import FaceName, face, face_with_letters

SOFT_HYPHEN = "\u00ad"
NO_BREAK_SPACE = "\u00a0"

# Old code points for two or three letters drawn as one: the letters themselves are meant and are what a reader searches for.
_LIGATURES = {
    "\ufb00": "ff", "\ufb01": "fi", "\ufb02": "fl", "\ufb03": "ffi", "\ufb04": "ffl", "\ufb05": "st", "\ufb06": "st"
}  # fmt: skip
# Spaces of other widths are spaces; narrow no-break space is French typesetting's, and must not break either.
_SPACES = {"\u202f": NO_BREAK_SPACE, "\u2007": NO_BREAK_SPACE, "\u2011": "-"} | {
    chr(code): " " for code in (*range(0x2000, 0x2007), *range(0x2008, 0x200B), 0x205F, 0x3000, 0x0009, 0x000A, 0x000D)
}
_TABLE = str.maketrans(_LIGATURES | _SPACES)

_SCRIPTS = {
    "CJK": "Chinese, Japanese or Korean letters", "HIRAGANA": "Chinese, Japanese or Korean letters",
    "KATAKANA": "Chinese, Japanese or Korean letters", "HANGUL": "Chinese, Japanese or Korean letters",
    "HEBREW": "letters that run from right to left", "ARABIC": "letters that run from right to left",
    "SYRIAC": "letters that run from right to left", "THAANA": "letters that run from right to left",
}  # fmt: skip
_MEND_BY_KIND = {
    "right to left": "Write the name in Latin, Greek or Cyrillic letters (a transliteration): printed here it would run the wrong way.",
    "control": "Delete it: it has no shape of its own. It often comes along when text is copied from a web page.",
    "mark": "Write the letter and its accent as one letter, or leave the accent out.",
    "picture": "Write a word in its place: pictures are not printed.",
    "other": "Write it in Latin, Greek or Cyrillic letters.",
}


@dataclass(frozen=True, slots=True)
class LetterNotSet:
    """A letter that cannot be printed: the words it stands in, the letter, its name, and the mend."""

    words: str
    letter: str
    problem: str
    mend: str

    def as_fault(self, origin: Origin, field: str) -> Fault:
        """Return the fault for an entry of the book."""
        return Fault(origin, field, self.problem, self.mend)


def printable(text: str) -> str:
    """Return a text as it is set: composed (NFC), ligatures as letters, white space as single spaces.

    A soft hyphen stays as a place where a word may be broken; a no-break space stays one. Nothing else is changed, and a letter that
    cannot be printed is left for `letters_not_set` to name.
    """
    return re.sub(r" {2,}", " ", composed(text)).strip(" ")


def composed(text: str) -> str:
    """Return a text with its letters composed (NFC), ligatures as letters and every kind of space as a space or a no-break space."""
    return unicodedata.normalize("NFC", text.translate(_TABLE))


def letters_not_set(text: str, name: FaceName = "sans") -> tuple[LetterNotSet, ...]:
    """Return every letter of a text that cannot be printed, each once; none means the text may be laid out.

    Parameters
    ----------
    text : str
        A text of the book: a name, a description, an address.
    name : FaceName
        The face it is to be set in; the fuller face of its weight counts too.
    """
    ready = printable(text)
    chosen = face(face_with_letters(ready, name))
    fuller = face("sans")
    found: dict[str, LetterNotSet] = {}
    for letter in ready:
        # A letter only the fuller face has is named as missing only where some other letter keeps the text from that face.
        if letter in found or chosen.has(letter) or (fuller.has(letter) and name.startswith("serif")):
            continue
        found[letter] = _not_set(ready, letter)
    return tuple(found.values())


def _not_set(words: str, letter: str) -> LetterNotSet:
    kind = unicodedata.category(letter)
    name = unicodedata.name(letter, f"code point U+{ord(letter):04X}").lower()
    shown = _shown(words)
    # U+2028 and U+2029 part lines and paragraphs: they too have no shape.
    if kind in {"Cc", "Cf", "Co", "Cs", "Cn", "Zl", "Zp"}:
        if kind == "Cc":
            name = "a control character"
        return LetterNotSet(
            words,
            letter,
            f"'{shown}' holds U+{ord(letter):04X} ({name}), which is not a letter.",
            _MEND_BY_KIND["control"],
        )
    if kind.startswith("M"):
        at = words.index(letter)
        pair = words[max(0, at - 1) : at + 1]
        return LetterNotSet(
            words,
            letter,
            f"'{shown}': the accent in '{pair}' ({name}) has no letter of its own to stand on.",
            _MEND_BY_KIND["mark"],
        )
    script = _SCRIPTS.get(name.split(maxsplit=1)[0].split("-")[0].upper(), "")
    if unicodedata.bidirectional(letter) in {"R", "AL", "AN"}:
        problem = f"'{shown}' holds '{letter}' ({name}): letters that run from right to left are not printed."
        return LetterNotSet(words, letter, problem, _MEND_BY_KIND["right to left"])
    if script:
        return LetterNotSet(
            words, letter, f"'{shown}' holds '{letter}': {script} are not printed.", _MEND_BY_KIND["other"]
        )
    which = "picture" if kind in {"So", "Sk"} else "other"
    return LetterNotSet(
        words,
        letter,
        f"'{shown}' holds '{letter}' ({name}), which the letters of our paper do not have.",
        _MEND_BY_KIND[which],
    )


def _shown(words: str) -> str:
    """Return words fit for a message: what has no shape is written as its code."""
    return "".join(
        one if unicodedata.category(one) not in {"Cc", "Cf", "Co", "Cs", "Cn", "Zl", "Zp"} or one == SOFT_HYPHEN
        else f"<U+{ord(one):04X}>" for one in words
    ).replace(SOFT_HYPHEN, "")  # fmt: skip


_UNITS = (
    "g|kg|mg|µg|μg|ug|mcg|l|ml|cl|dl|kJ|kj|kcal|cal|Cal|%|°C|°F|mm|cm|oz|lb|"
    "days?|hours?|minutes?|min|portions?|servings?|г|кг|мл|л|ккал|кДж|γρ|ml/100 ml"
)
_AMOUNT = re.compile(rf"(?<=\d) (?=(?:{_UNITS})(?![\w]))")
_VOLUME = re.compile(r"(?<=%) (?=vol(?!\w))")
_THOUSANDS = re.compile(r"(?<=\d) (?=\d{3}(?!\d))")
_DAY = re.compile(
    r"(?<=\d) (?=(?:January|February|March|April|May|June|July|August|September|October|November|December)\b)"
)
_SPREAD = re.compile(r"(?<=\()([\d.]+) to ([\d.]+)(?=\))")


def keep_amounts_together(text: str) -> str:
    """Return a text in which an amount and its unit, the groups of a figure, a day and its month, and a range in brackets are never parted.

    Spaces become no-break spaces one for one, so that places in the text stay where they were.
    """
    kept = _AMOUNT.sub(NO_BREAK_SPACE, text)
    kept = _VOLUME.sub(NO_BREAK_SPACE, kept)
    kept = _THOUSANDS.sub(NO_BREAK_SPACE, kept)
    kept = _DAY.sub(NO_BREAK_SPACE, kept)
    return _SPREAD.sub(rf"\1{NO_BREAK_SPACE}to{NO_BREAK_SPACE}\2", kept)
