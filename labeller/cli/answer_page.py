"""An answer as a page of text and as JSON in a guest's language: the same sentences, laid out."""

import textwrap
from typing import Any

from labeller.declarations import answering_without as verdicts
from labeller.declarations.answered import Answer
from labeller.declarations.answering_sentences import ALCOHOL_CAUTION, ALLERGY_CAUTION
from labeller.declarations.answering_without import Suited, Suiting
from labeller.declarations.speaking import (
    BOOK_LANGUAGE,
    SENTENCE_LANGUAGES,
    Count,
    Message,
    Names,
    Phrases,
    Verbatim,
    Ways,
    load_language,
    phrase,
    said,
    speak,
    speak_all,
)

WIDTH = 80
_MOST_WAYS = 4
_TITLES = (
    (verdicts.SUITS, "without, suits"),
    (verdicts.SUITS_IF, "without, suits if"),
    (verdicts.CANNOT_VOUCH, "without, cannot vouch"),
    (verdicts.DOES_NOT, "without, does not"),
)


def answer_as_text(found: Answer, language: str = BOOK_LANGUAGE) -> str:
    """Return an answer for reading out: the sentence, the reason, what can be done, the caution."""
    asked: Verbatim | Message = Verbatim(found.about)
    if language != BOOK_LANGUAGE:
        asked = said("thing as asked", thing=found.thing, word=found.about)
    blocks = [
        _wrapped(found.sentence(language)),
        _wrapped(speak(said("heading, dish and asked", dish=found.dish, asked=asked), language)),
    ]
    for title, lines in (
        ("heading, why", found.reasons(language)),
        ("heading, what can be done", found.done(language)),
    ):
        if lines:
            blocks.append("\n".join((speak(said(title), language), *map(_item, lines))))
    blocks.append(_wrapped(found.caution(language)))
    return "\n\n".join(blocks)


def suiting_as_text(found: Suiting, language: str = BOOK_LANGUAGE) -> str:
    """Return which dishes suit, in words."""
    blocks = [_wrapped(_heading(found, language))]
    blocks.extend("\n".join((title, *map(_item, lines))) for _, title, lines in _sections(found, language))
    if len(blocks) == 1:
        blocks.append(_wrapped(speak(said("without, no dishes"), language)))
    if found.ferments:
        blocks.append(_wrapped(_ferments(found, language)))
    blocks.append(_wrapped(_caution(found, language)))
    return "\n\n".join(blocks)


def answer_in_language(found: Answer, language: str) -> dict[str, Any]:
    """Return the JSON of an answer's sentences in one language."""
    return {
        "language": language,
        "sentence": found.sentence(language),
        "reasons": found.reasons(language),
        "done": found.done(language),
        "caution": found.caution(language),
        "grade": load_language(language).grade,
    }


def suiting_in_language(found: Suiting, language: str) -> dict[str, Any]:
    """Return the JSON of the sentences on which dishes suit, in one language."""
    return {
        "language": language,
        "sentence": _heading(found, language),
        "sections": [
            {"verdict": verdict.replace(" ", "_"), "title": title, "lines": lines}
            for verdict, title, lines in _sections(found, language)
        ],
        "ferments": _ferments(found, language) if found.ferments else "",
        "caution": _caution(found, language),
        "grade": load_language(language).grade,
    }


def in_both(page: str, own: str, names: dict[str, str | None], language: str) -> str:
    """Put the page in the guest's language above the page in the book's, and the names of what was asked below."""
    blocks: list[str] = []
    if language != BOOK_LANGUAGE and language in SENTENCE_LANGUAGES:
        unread = () if load_language(language).read_by_native_speaker else (said("note, not yet read"),)
        blocks.extend((page, _wrapped(speak_all((*unread, said("note, the book's language holds")), language))))
    blocks.append(own)
    if language not in SENTENCE_LANGUAGES:
        known = Names(tuple(load_language(one).name for one in SENTENCE_LANGUAGES))
        blocks.append(_wrapped(speak(said("note, names only", languages=known))))
    for word, name in names.items():
        if name is not None and name.casefold() == word.casefold():
            continue  # asked in the guest's own language
        message = said("no name in the language", word=word)
        if name is not None:
            message = said("name in the language", word=word, name=Verbatim(name))
        blocks.append(_wrapped(phrase(message)))
    return "\n\n".join(blocks)


def _heading(found: Suiting, language: str) -> str:
    return speak(said("without, heading", things=Phrases(found.things)), language)


def _ferments(found: Suiting, language: str) -> str:
    return speak(said("without, ferments", names=Names(found.ferments)), language)


def _caution(found: Suiting, language: str) -> str:
    return speak(ALCOHOL_CAUTION if found.asks_alcohol else ALLERGY_CAUTION, language)


def _sections(found: Suiting, language: str) -> list[tuple[str, str, list[str]]]:
    return [
        (verdict, speak(said(title), language), [phrase(_dish(one), language) for one in found.of(verdict)])
        for verdict, title in _TITLES
        if found.of(verdict)
    ]


def _dish(one: Suited) -> Message:
    if one.changes:
        changes = Phrases(tuple(change.as_message() for change in one.changes))
        if one.not_with:
            return said(
                "without, dish with changes, not with", dish=one.dish, changes=changes, names=Names(one.not_with)
            )
        return said("without, dish with changes", dish=one.dish, changes=changes)
    if one.not_with:
        return said("without, dish, not with", dish=one.dish, names=Names(one.not_with))
    if not one.because:
        return said("without, dish", dish=one.dish)
    ways, more = Ways(one.because[:_MOST_WAYS]), len(one.because) - _MOST_WAYS
    if more > 0:
        return said("without, dish because, and more", dish=one.dish, ways=ways, more=Count(str(more)))
    return said("without, dish because", dish=one.dish, ways=ways)


def _wrapped(text: str) -> str:
    return textwrap.fill(text, WIDTH, break_long_words=False, break_on_hyphens=False)


def _item(text: str) -> str:
    return textwrap.fill(
        text, WIDTH, initial_indent="- ", subsequent_indent="  ", break_long_words=False, break_on_hyphens=False
    )
