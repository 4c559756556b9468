"""The call of ``labeller answer``, read without Typer, which takes half the time an answer may take.

Only what is plainly right is read here, with the options of the command as Typer knows them (a test holds the two together); whatever is
not fully understood, ``--help`` and every mistake among it, goes to Typer, whose words about it are the product's.
"""

from typing import NamedTuple

_ONCE = ("--of", "--about", "--menu", "--jurisdiction", "--on", "--language")
_SEVERAL = ("--without",)
_FLAGS = ("--json",)
OPTIONS = (*_ONCE, *_SEVERAL, *_FLAGS)
LEFT_TO_TYPER = ("--as-recorded",)  # rare, and no question of a moment


class AnswerCall(NamedTuple):
    """What ``labeller answer`` was called with."""

    book: str
    of: str | None
    about: str | None
    without: list[str]
    menu: str | None
    jurisdiction: str | None
    on: str | None
    language: str | None
    json_out: bool


def read_call(arguments: list[str]) -> AnswerCall | None:
    """Return what the command was called with, None where Typer has to look at it.

    Parameters
    ----------
    arguments : list of str
        What stands behind ``labeller answer``.
    """
    once: dict[str, str] = {}
    without: list[str] = []
    books: list[str] = []
    json_out = False
    rest = iter(arguments)
    for argument in rest:
        if not argument.startswith("-"):
            books.append(argument)
            continue
        name, is_given, value = argument.partition("=")
        if name in _FLAGS and not is_given:
            json_out = True
            continue
        if name not in _ONCE and name not in _SEVERAL:
            return None
        if not is_given:
            value = next(rest, "-")
            if value.startswith("-"):
                return None
        if name in _SEVERAL:
            without.append(value)
        elif name in once:
            return None
        else:
            once[name] = value
    if len(books) != 1 or not books[0]:
        return None
    of, about, menu, jurisdiction, on, language = (once.get(name) for name in _ONCE)
    return AnswerCall(books[0], of, about, without, menu, jurisdiction, on, language, json_out)
