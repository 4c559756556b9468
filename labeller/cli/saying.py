"""What commands say and refuse, and the day they go by; light, because an answer from the cache imports it."""

import sys
from datetime import date, datetime

from labeller.cli.exits import WRONG_USAGE


def today() -> date:
    """Return the day by the machine's clock."""
    return datetime.now().astimezone().date()


def say(text: str) -> None:
    """Print talk, which goes to the error stream."""
    print(text, file=sys.stderr)


def refuse_usage(problem: str) -> SystemExit:
    """Say what is wrong with the call and return the exit to raise."""
    say(problem)
    return SystemExit(WRONG_USAGE)


def parse_on(text: str | None) -> date:
    """Return the day of ``--on``, today where it is not given."""
    if text is None:
        return today()
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise refuse_usage(f"--on: '{text}' is not a day. Write it as 2026-12-01.") from None


def known_language(language: str | None) -> str | None:
    """Return the code of a language on file, or end with wrong usage and the list."""
    if language is None:
        return None
    from labeller.jurisdictions.languages import known_languages

    code, known = language.strip().lower(), known_languages()
    if code not in known:
        raise refuse_usage(f"--language: '{language}' is not a language on file. Write one of {', '.join(known)}.")
    return code
