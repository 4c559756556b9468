"""What a supplier's specification says of allergens: a whole statement, or a list, and what may be in it."""

import re
from functools import cache

from labeller.allergens.evidence import Evidence, Finding
from labeller.allergens.reader import Reading, read_statement
from labeller.allergens.vocabulary import load_vocabulary, phrase_key
from labeller.foundations.names import fold_text

Problem = tuple[str, str, str]
"""Field, what is wrong, and the mend."""

_NOTHING = frozenset({"none", "nothing", "no allergens", "nil", "n/a", "none known"})
# These say that the supplier declares nothing at all; 'n/a' and 'none known' leave it open.
_DECLARES_NOTHING = frozenset({"none", "nothing", "no allergens", "nil"})
_NOTHING_ELSE = re.compile(
    r"\b(?:and|but)?\s*(?:nothing|none|no other(?:s| allergens)?)\s*(?:else|other)?\s*$", re.IGNORECASE
)
_POINTS_ELSEWHERE = re.compile(
    r"\s*(?:(?:see|refer|as per|as on|tbc|tba|tbd|to be|to follow|pending|unknown|not known|not available|n/a|na|on request|ask)\b"
    r"|\?|-+\s*$)",
    re.IGNORECASE,
)
# "Sugar, cocoa mass, ..." names some of what is in it, and "Contains: milk" the allergens that one law asks for: neither is the whole list.
_GOES_ON = re.compile(r"(?:\.{2,}|…|\b(?:etc|usw|ecc)\b\.?|\band (?:so on|more|others)\b)[\s.)]*$", re.IGNORECASE)
_ALLERGENS_ALONE = re.compile(
    r"\s*(?:allergens?|allergen advice|contains|allerg[eè]nes?|enth[aä]lt|contient)\s*:", re.IGNORECASE
)
_LEAD_IN = re.compile(
    r"^(?:may (?:also )?contain|can contain|contains?|traces? of|small amounts? of|possible|possibly|and|or)\b[:\s]*",
    re.IGNORECASE,
)
_SPLIT = re.compile(r"\s*(?:[,;/&+.]|\band\b|\bor\b)\s*", re.IGNORECASE)


def evidence_from_spec(
    statement: str | None,
    declares: tuple[str, ...] | None,
    covers_all: bool,
    may_contain: tuple[str, ...] | str | None,
) -> tuple[Evidence, list[Problem]]:
    """Read a specification.

    Parameters
    ----------
    statement : str | None
        The whole ingredients statement; silence in it means "not in it".
    declares : tuple[str, ...] | None
        Allergens listed instead; silence means "not known", unless the list covers all or says "and nothing else".
    covers_all : bool
        Whether the list covers everything.
    may_contain : tuple[str, ...] | str | None
        Free text or a list.

    Returns
    -------
    tuple[Evidence, list[Problem]]
        The evidence, and every word that names no group or source, with the nearest that do.
    """
    law = load_vocabulary().law_sources
    problems: list[Problem] = []
    contains: dict[tuple[str, str], Finding] = {}
    may: dict[str, Finding] = {}
    unconfirmed: set[str] = set()
    doubts: list[str] = []
    open_derivations: tuple[Finding, ...] = ()
    if statement is not None:
        if points_elsewhere(statement) or is_part_of_a_list(statement):
            unconfirmed |= law
            doubts.append(statement)
        reading = read_statement(statement)
        _take_statement(reading, contains, may, unconfirmed, doubts)
        open_derivations = tuple(
            Finding(source, derivation, words) for words, source, derivation in reading.derived_doubts
        )
        if reading.refused:
            problems.append(("statement", reading.refused, "Give the ingredients statement alone."))
    if declares is not None:
        said_all = covers_all
        for item in declares:
            if fold_text(item) in _NOTHING:
                # Beside other words 'none' may say that a line of the supplier's form stayed empty.
                said_all = said_all or (len(declares) == 1 and fold_text(item) in _DECLARES_NOTHING)
                continue
            words = _NOTHING_ELSE.sub("", item).strip(" ,")
            said_all = said_all or words != item.strip(" ,")
            for finding in _sources(words, "declares", problems):
                contains.setdefault((finding.source, finding.derivation), finding)
        if statement is None and not said_all:
            unconfirmed |= law
    elif statement is None:
        unconfirmed |= law  # "covers all" of no list at all settles nothing
    for item in (may_contain,) if isinstance(may_contain, str) else may_contain or ():
        for finding in _sources(item, "may_contain", problems):
            may.setdefault(finding.source, finding)
    # Only a plain finding settles a doubt: soya as tocopherol, which some laws exempt, says nothing of the lecithin beside it.
    held = {finding.source for finding in contains.values() if not finding.derivation}
    evidence = Evidence(
        tuple(contains.values()),
        tuple(may.values()),
        frozenset(unconfirmed) - held,
        "specification",
        tuple(dict.fromkeys(doubts)),
        open_derivations,
    )
    return evidence, problems


def says_where_to_look(statement: str) -> bool:
    """Tell whether words say where a statement is to be found, or that there is none yet: "see attached sheet", "to follow"."""
    return _POINTS_ELSEWHERE.match(statement) is not None


def points_elsewhere(statement: str) -> bool:
    """Tell whether words stand in place of a statement ("see attached sheet", "house blend"), so that their silence says nothing.

    Where not one word is a food or an additive the reader knows, nothing says that an allergen is not in it.
    """
    return says_where_to_look(statement) or not read_statement(statement).names_food


def is_part_of_a_list(statement: str) -> bool:
    """Tell whether a statement says itself that it is not whole: it ends in dots or "etc.", or is the line of allergens alone."""
    return _GOES_ON.search(statement) is not None or _ALLERGENS_ALONE.match(statement) is not None


def _take_statement(
    reading: Reading,
    contains: dict[tuple[str, str], Finding],
    may: dict[str, Finding],
    unconfirmed: set[str],
    doubts: list[str],
) -> None:
    for finding in reading.contains:
        contains.setdefault((finding.source, finding.derivation), finding)
    for words in reading.alcohol:
        contains.setdefault(("alcohol", ""), Finding("alcohol", "", words))
    for words in reading.alcohol_traces:
        contains.setdefault(("alcohol trace", ""), Finding("alcohol trace", "", words))
    for finding in reading.may_contain:
        may.setdefault(finding.source, finding)
    for words, sources in reading.unclear:
        unconfirmed |= sources
        doubts.append(words)


def _sources(item: str, field: str, problems: list[Problem]) -> list[Finding]:
    """Return what words of a list name; each word that names nothing is a problem with the nearest names."""
    vocabulary = load_vocabulary()
    found: list[Finding] = []
    text = item.strip()
    while lead := _LEAD_IN.match(text):
        text = text[lead.end() :]
    if not text or fold_text(text) in _NOTHING:
        return found
    whole = vocabulary.sources_named(text)
    if whole is not None:
        return [Finding(source, "", text) for source in whole]
    for part in _SPLIT.split(text):
        words = part.strip()
        while lead := _LEAD_IN.match(words):
            words = words[lead.end() :].strip()
        if not words or fold_text(words) in _NOTHING:
            continue
        named = vocabulary.sources_named(words)
        if named is not None:
            found.extend(Finding(source, "", words) for source in named)
            continue
        # The reader of statements mends slips of the pen; a list that a cook typed is asked about them instead.
        reading = read_statement(f"Contains: {_spelled_as_known(words)}")
        seen = [*reading.contains, *reading.may_contain]
        if seen and not reading.not_understood and _spelled_as_known(words) == words:
            found.extend(Finding(finding.source, finding.derivation, words) for finding in seen)
            continue
        found.extend(Finding(finding.source, finding.derivation, words) for finding in seen)
        near = vocabulary.nearest(words)[:3]
        mend = (
            f"Write {' or '.join(repr(one) for one in near)}."
            if near
            else "Write an allergen group or a food such as 'milk' or 'hazelnut'."
        )
        problems.append((field, f"'{words}' is not an allergen group or source this tool knows.", mend))
    return found


def _spelled_as_known(words: str) -> str:
    """Return those of the words that the vocabulary spells so."""
    known = _known_words()
    return " ".join(word for word in words.split() if set(phrase_key(word.strip("()[]:'")).split()) <= known)


@cache
def _known_words() -> frozenset[str]:
    return frozenset(word for phrase in load_vocabulary().phrases for word in phrase.split())
