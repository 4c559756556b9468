"""A guest's question: about one dish, or which dishes are without something."""

import json
import textwrap
from datetime import date
from pathlib import Path

from labeller.cli.declare import dishes_of_menu, known_language
from labeller.cli.exits import CANNOT_VOUCH
from labeller.cli.finding import find_dish
from labeller.cli.opening import Opened, open_book, refuse_usage
from labeller.declarations import answering_without as without_words
from labeller.declarations.answering_about import Answer, answer_about
from labeller.declarations.answering_sentences import ALCOHOL_CAUTION, ALLERGY_CAUTION
from labeller.declarations.answering_without import Suiting, answer_without
from labeller.declarations.answering_words import ALCOHOL_WORDS, UnknownAboutError, asked_about
from labeller.declarations.labelling import name_in_language
from labeller.declarations.words import listed
from labeller.foundations.names import name_key

WIDTH = 80
_ALCOHOL = frozenset(name_key(word) for word in ALCOHOL_WORDS)


def answer(
    book: Path,
    of: str | None,
    about: str | None,
    without: list[str],
    menu: str | None,
    jurisdiction: str | None,
    on: date | None,
    json_out: bool,
    language: str | None = None,
) -> int:
    """Answer a guest's question.

    Parameters
    ----------
    of, about : str or None
        The dish, and what is asked about it.
    without : list of str
        What the guest avoids; instead of ``of`` and ``about``.
    language : str or None
        Name the allergens asked about in this language as well.

    Returns
    -------
    int
        0; 3 where a question about a dish cannot be vouched for.

    Raises
    ------
    SystemExit
        1 where the book has faults, 2 where the call is wrong.
    """
    if without and (about is not None or of is not None):
        raise refuse_usage("Ask --of DISH --about WHAT, or --without WHAT, not both at once.")
    if not without and (of is None or about is None):
        raise refuse_usage("Write --of DISH --about WHAT, or --without WHAT.")
    language = known_language(language)
    opened = open_book(book, jurisdiction, on, json_out=json_out)
    dishes = list(opened.workings.plates) if menu is None else dishes_of_menu(opened, menu)
    try:
        if of is not None and about is not None:
            dish = find_dish(opened, of)
            if dish not in dishes:
                raise refuse_usage(f"--menu: '{dish}' is not on the menu '{menu}'.")
            found = answer_about(opened.declarer, dish, about)
            names = names_in(opened, [about], language)
            print(_as_json({**found.as_json(), **names}) if json_out else _with_names(as_text(found), names))
            return 0 if found.vouched else CANNOT_VOUCH
        suiting = answer_without(opened.declarer, without, dishes)
    except UnknownAboutError as reason:
        raise refuse_usage(f"{'--without' if without else '--about'}: {reason}") from None
    names = names_in(opened, without, language)
    print(_as_json({**suiting.as_json(), **names}) if json_out else _with_names(suiting_as_text(suiting), names))
    return 0


def names_in(opened: Opened, words: list[str], language: str | None) -> dict[str, dict[str, str | None]]:
    """Return what was asked about in a language, as ``{"in_language": {word: name}}``; null where no name is on file."""
    if language is None:
        return {}
    found: dict[str, str | None] = {}
    for word in words:
        asked = asked_about(opened.declarer, word)
        known = [name_in_language(one, language) for one in (*asked.groups, *sorted(asked.sources))]
        found[word] = next((name for name in known if name), None)
    return {"in_language": found}


def _with_names(page: str, names: dict[str, dict[str, str | None]]) -> str:
    """Put the names a guest can read below the page."""
    lines = [
        f"{word}: {name or 'no name on file in this language'}" for word, name in names.get("in_language", {}).items()
    ]
    return "\n\n".join([page, *lines])


def as_text(found: Answer) -> str:
    """Return an answer for reading out: the sentence, the reason, what can be done, the caution."""
    blocks = [_wrapped(found.sentence), _wrapped(f"Dish: {found.dish}. Asked: {found.about}.")]
    if found.reasons:
        blocks.append("Why:\n" + "\n".join(_item(_capital(one)) for one in found.reasons))
    if found.done:
        blocks.append("What can be done:\n" + "\n".join(_item(one) for one in found.done))
    blocks.append(_wrapped(found.caution))
    return "\n\n".join(blocks)


def suiting_as_text(found: Suiting) -> str:
    """Return which dishes suit, in words."""
    blocks = [_wrapped(f"Without {listed(list(found.without))}, going by our suppliers' papers:")]
    named = (
        (without_words.SUITS, "Suits as it is"),
        (without_words.SUITS_IF, "Suits if"),
        (without_words.CANNOT_VOUCH, "We do not know. Ask the kitchen before you serve it"),
        (without_words.DOES_NOT, "Does not suit"),
    )
    for verdict, title in named:
        dishes = found.of(verdict)
        if not dishes:
            continue
        lines = []
        for one in dishes:
            text = one.dish
            if one.changes:
                text += f": {listed([change.as_text() for change in one.changes])}"
            elif one.because:
                text += f": {'; '.join(' > '.join(path) for path in one.because[:4])}"
                text += f" and {len(one.because) - 4} more" if len(one.because) > 4 else ""
            lines.append(_item(text))
        blocks.append(f"{title}:\n" + "\n".join(lines))
    if len(blocks) == 1:
        blocks.append("There are no dishes in this book.")
    if found.ferments:
        blocks.append(
            _wrapped(f"A ferment can hold a little alcohol; among what suits: {listed(list(found.ferments))}.")
        )
    alcohol = any(name_key(word) in _ALCOHOL for word in found.without)
    blocks.append(_wrapped(ALCOHOL_CAUTION if alcohol else ALLERGY_CAUTION))
    return "\n\n".join(blocks)


def _as_json(document: dict[str, object]) -> str:
    return json.dumps(document, ensure_ascii=False, indent=2)


def _wrapped(text: str) -> str:
    return textwrap.fill(text, WIDTH, break_long_words=False, break_on_hyphens=False)


def _item(text: str) -> str:
    return textwrap.fill(
        text, WIDTH, initial_indent="- ", subsequent_indent="  ", break_long_words=False, break_on_hyphens=False
    )


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"
