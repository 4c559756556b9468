"""A guest's question: about one dish, or which dishes are without something."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from labeller.cli.answer_cache import facts_of_book
from labeller.cli.answer_page import answer_as_text, answer_in_language, in_both, suiting_as_text, suiting_in_language
from labeller.cli.exits import CANNOT_VOUCH
from labeller.cli.finding import dish_meant, menu_meant
from labeller.cli.saying import known_language, refuse_usage
from labeller.declarations.answering_about import answer_about
from labeller.declarations.answering_sentences import asked_thing
from labeller.declarations.answering_without import answer_without
from labeller.declarations.answering_words import UnknownAboutError, asked_about
from labeller.declarations.speaking import SENTENCE_LANGUAGES, Message, load_language, name_of_asked, phrase

if TYPE_CHECKING:
    from datetime import date
    from pathlib import Path

    from labeller.declarations.facts import BookFacts


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
    *,
    in_a_hurry: bool = False,
) -> int:
    """Answer a guest's question.

    Parameters
    ----------
    of, about : str or None
        The dish, and what is asked about it.
    without : list of str
        What the guest avoids; instead of ``of`` and ``about``.
    language : str or None
        Say the whole answer in this language as well; where there are no sentences in it, name the allergens asked about.
    in_a_hurry : bool
        Whether a second process may help.

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
    facts = facts_of_book(book, jurisdiction, on, json_out=json_out, in_a_hurry=in_a_hurry)
    dishes = list(facts.dishes)
    if menu is not None:
        dishes = [dish for dish in facts.menus[menu_meant(facts.menus, menu)] if dish in dishes]
    try:
        if of is not None and about is not None:
            dish = dish_meant(facts.dishes, of)
            if dish not in dishes:
                raise refuse_usage(f"--menu: '{dish}' is not on the menu '{menu}'.")
            found = answer_about(facts, dish, about)
            names = names_in(facts, [about], language)
            if json_out:
                told = answer_in_language(found, language) if language in SENTENCE_LANGUAGES else {}
                print(_as_json(found.as_json(), names, told, language))
            elif language is None:
                print(answer_as_text(found))
            else:
                page = answer_as_text(found, language) if language in SENTENCE_LANGUAGES else ""
                print(in_both(page, answer_as_text(found), names, language))
            return 0 if found.vouched else CANNOT_VOUCH
        suiting = answer_without(facts, without, dishes)
    except UnknownAboutError as reason:
        raise refuse_usage(f"{'--without' if without else '--about'}: {reason}") from None
    names = names_in(facts, without, language)
    if json_out:
        told = suiting_in_language(suiting, language) if language in SENTENCE_LANGUAGES else {}
        print(_as_json(suiting.as_json(), names, told, language))
    elif language is None:
        print(suiting_as_text(suiting))
    else:
        page = suiting_as_text(suiting, language) if language in SENTENCE_LANGUAGES else ""
        print(in_both(page, suiting_as_text(suiting), names, language))
    return 0


def names_in(facts: BookFacts, words: list[str], language: str | None) -> dict[str, str | None]:
    """Return what was asked about in a language, by word; None where no name is on file."""
    if language is None:
        return {}
    from labeller.jurisdictions.languages import name_in_language

    found: dict[str, str | None] = {}
    for word in words:
        thing = asked_thing(asked_about(facts, word))
        if isinstance(thing, Message):
            found[word] = phrase(thing, language) if language in SENTENCE_LANGUAGES else None
            continue
        if language in SENTENCE_LANGUAGES:
            found[word] = name_of_asked(thing, load_language(language))
            continue
        known = [name_in_language(one, language) for one in (word, *thing.names)]
        found[word] = next((name for name in known if name), None)
    return found


def _as_json(
    document: dict[str, Any], names: dict[str, str | None], told: dict[str, Any], language: str | None
) -> str:
    if language is not None:
        document = {**document, "in_language": {**names, **told}}
    return json.dumps(document, ensure_ascii=False, indent=2)
