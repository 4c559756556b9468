"""How names are compared: without regard to case, accents, spacing, singular or plural; otherwise exactly."""

import unicodedata
from functools import lru_cache

_QUOTES = str.maketrans(
    {"’": "'", "‘": "'", "`": "'", "´": "'", "“": '"', "”": '"', "–": "-", "—": "-", "‐": "-", "‑": "-"}
)
# Words that end in s and are no plurals; kept whole so that they do not lose their ending.
_NO_PLURAL_ENDINGS = ("ss", "us", "is")


def fold_text(text: str) -> str:
    """Return ``text`` without case and accents, typographic quotes made plain, runs of space made one."""
    if text.isascii():
        return " ".join(text.lower().split())
    # A fraction sign comes apart into digits; without a space "1½" would be eleven halves.
    spaced = "".join(f" {sign}" if unicodedata.decomposition(sign).startswith("<fraction>") else sign for sign in text)
    decomposed = unicodedata.normalize("NFKD", spaced.translate(_QUOTES))
    bare = "".join(letter for letter in decomposed if not unicodedata.combining(letter))
    return " ".join(bare.casefold().replace("œ", "oe").replace("æ", "ae").replace("ø", "o").split())


def stem_word(word: str) -> str:
    """Return one common form for the singular and the plural of a folded word.

    The form need not be a word: *leaf* and *leaves* both give *leav*, *clove* and *cloves* both give *clov*.
    """
    if len(word) > 3 and word.endswith("s") and not word.endswith(_NO_PLURAL_ENDINGS):
        word = word[:-1].removesuffix("'")
    if len(word) > 3 and word.endswith("e"):
        word = word[:-1]
    if len(word) > 3 and word.endswith("i"):
        return word[:-1] + "y"
    if len(word) > 3 and word.endswith("f") and not word.endswith("ff"):
        return word[:-1] + "v"
    return word


@lru_cache(maxsize=65536)
def name_key(name: str) -> str:
    """Return the key under which two spellings of one name meet."""
    return "".join(stem_word(word) for word in fold_text(name).split())


@lru_cache(maxsize=65536)
def exact_key(name: str) -> str:
    """Return the key that still tells singular from plural."""
    return fold_text(name).replace(" ", "")


@lru_cache(maxsize=65536)
def joined_key(name: str) -> str:
    """Return the key of a name written as one word, singular or plural: *doublecreams* meets *double cream* here."""
    return stem_word(exact_key(name))


def nearest_names(name: str, known: list[str], *, most: int = 3, at_least: float = 0.6) -> list[str]:
    """Return the known names most like ``name``, best first; empty where none comes near."""
    from difflib import SequenceMatcher  # noqa: PLC0415 - only a fault pays for it

    wanted = fold_text(name)
    scored: list[tuple[float, str]] = []
    matcher = SequenceMatcher()
    matcher.set_seq2(wanted)  # what stays the same is prepared once
    for candidate in known:
        matcher.set_seq1(fold_text(candidate))
        if matcher.real_quick_ratio() >= at_least and matcher.quick_ratio() >= at_least:
            ratio = matcher.ratio()
            if ratio >= at_least:
                scored.append((-ratio, candidate))
    scored.sort()
    return [candidate for _, candidate in scored[:most]]


def capitalised(text: str) -> str:
    """Return a text with its first letter a capital, as the head of a line."""
    first = text[:1].upper()
    return first + text[1:] if len(first) == 1 else text  # ß has no single capital
