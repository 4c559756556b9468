"""``labeller match BOOK``: what the unknown names of a book may be, and entries written for them."""

import json
import sys
from collections.abc import Callable, Iterable
from functools import cache
from pathlib import Path
from typing import Any, Final

from labeller.book.reading import read_book, read_files
from labeller.bringing_in.asking import Walk, called, candidate_lines, walk_through
from labeller.bringing_in.matched_entries import BY_HAND, BY_MACHINE, MATCHED_FILE, add_matched
from labeller.bringing_in.matching import SURE_BAR, Candidate, Matching, match_name
from labeller.bringing_in.unknown_names import UnknownName, other_faults, unknown_names
from labeller.cli.exits import FAULTS
from labeller.cli.opening import refuse_usage, say
from labeller.cli.writing import write_whole
from labeller.composition.household import load_household
from labeller.composition.table import load_table
from labeller.foundations.names import name_key
from labeller.jurisdictions.packs import known_jurisdictions

_DONE: Final = 0
STATE_FILE: Final = "ingredients/.matching.json"


def match(book: Path, *, ask: bool, best: bool, again: bool, json_out: bool) -> int:
    """Match the unknown names of a book and return the exit code.

    Parameters
    ----------
    book : Path
        The folder of the book.
    ask : bool
        Walk through them with the person at the keyboard, and write what is taken.
    best : bool
        Write what is sure, marked ``matched: machine``.
    again : bool
        Ask also about names for which nothing fitted the last time.
    json_out : bool
        Print one JSON document instead of text; not together with ``ask``.
    """
    if ask and json_out:
        raise refuse_usage("--ask: a walk at the keyboard prints no JSON. Leave out one of --ask and --json.")
    if not book.is_dir():
        raise refuse_usage(f"'{book}' is not a folder. Write the folder of a kitchen book.")
    names, others = _unknown(book)
    if others and not json_out:
        say(f"The book has {others} other {'fault' if others == 1 else 'faults'}: labeller check {book}")
    if not names:
        if json_out:
            print(json.dumps({"names": [], "written": [], "file": None}, indent=1))
        else:
            say("Every name the recipes use is known.")
        return _DONE
    written: list[str] = []
    matchings = [] if ask and not best else [_matched(one.name) for one in names]
    if best:
        sure = [(one.name, found) for one in matchings if (found := one.sure) is not None]
        written = write_matched(book, sure, BY_MACHINE)
    if ask:
        left = [one for one in names if one.name not in written]
        return _ask(book, left, again=again)
    if json_out:
        document = {
            "names": [_named(one, found) for one, found in zip(names, matchings, strict=True)],
            "written": written,
            "file": MATCHED_FILE if written else None,
        }
        print(json.dumps(document, ensure_ascii=False, indent=1))
        return _DONE
    _print_list(names, matchings, written)
    return _DONE


def match_brought_in(book: Path, names: Iterable[str], *, ask: bool, best: bool, quiet: bool = False) -> list[str]:
    """Match the names an import brought in that nothing answers to, and return those written by the machine.

    Parameters
    ----------
    book : Path
        The folder of the book, the import written.
    names : iterable of str
        The names the import did not know; other unknown names of the book are left for ``labeller match``.
    ask, best, quiet : bool
        Walk through what is left; write what is sure; say nothing.
    """
    keys = {name_key(one) for one in names}
    unknown = [one for one in _unknown(book)[0] if name_key(one.name) in keys]
    written: list[str] = []
    if best:
        sure = [(one.name, found) for one in unknown if (found := _matched(one.name).sure) is not None]
        written = write_matched(book, sure, BY_MACHINE)
        if not quiet:
            for name, found in sure:
                say(f"    {name}: {called(found)}")
            _say_written(written)
    if ask:
        _ask(book, [one for one in unknown if one.name not in written], again=False)
    return written


def would_match(names: Iterable[str], *, quiet: bool = False) -> list[str]:
    """Return the names that ``--best`` would write, and say what they are, for a dry run."""
    sure = [(one, found) for one in names if (found := _matched(one).sure) is not None]
    if not quiet:
        for name, found in sure:
            say(f"    would be matched: {name}: {called(found)}")
    return [name for name, _ in sure]


def _say_written(written: list[str]) -> None:
    if written:
        say(f"{_counted(len(written), 'entry', 'entries')} written to {MATCHED_FILE}, marked 'matched: machine'.")
        say("Compare each with the pack, then take 'matched' out or write who looked, as in 'matched: J.'")


def _unknown(book: Path) -> tuple[list[UnknownName], int]:
    table = load_table()
    _, notes = read_book(
        read_files(book),
        jurisdictions=known_jurisdictions(),
        row_exists=lambda code: table.row_index(code) is not None,
        trade_pieces=load_household().trade_pieces,
    )
    return unknown_names(notes), other_faults(notes)


@cache
def _matched(name: str) -> Matching:
    return match_name(name)


def _named(unknown: UnknownName, matching: Matching) -> dict[str, Any]:
    places = [{"file": one.path, "line": one.line} for one in unknown.origins]
    return {**matching.as_json(), "places": places}


def _print_list(names: list[UnknownName], matchings: list[Matching], written: list[str]) -> None:
    for unknown, matching in zip(names, matchings, strict=True):
        done = " : written, a person has still to confirm it" if unknown.name in written else ""
        print(f"'{unknown.name}' ({unknown.places}){done}")
        if matching.no_row:
            print(f"  {matching.no_row[0].upper()}{matching.no_row[1:]}.")
        for line in candidate_lines(matching)[:9]:
            print(line)
    _say_written(written)
    left = len(names) - len(written)
    if left:
        say(
            f"{_counted(left, 'name', 'names')} left. --ask walks through them; --best takes what is sure ({SURE_BAR:g} or more)."
        )


def write_matched(book: Path, taken: list[tuple[str, Candidate]], by: str, base: str | None = None) -> list[str]:
    """Write entries for names into the book's file of matched names and return the names written.

    Parameters
    ----------
    book : Path
        The folder of the book.
    taken : list of (str, Candidate)
        Names and what they are.
    by : str
        ``machine`` or ``by hand``.
    base : str, optional
        The text of the file to add to; as it stands on disk unless given.

    Raises
    ------
    SystemExit
        With code 1 where the file that is there cannot be added to.
    """
    path = book / MATCHED_FILE
    before = _text_of(path) if base is None else base
    text, faults = add_matched(before, taken, by)
    if text is None:
        for fault in faults:
            say(fault.as_text())
        raise SystemExit(FAULTS)
    if text != before:
        write_whole(path, text)
        return [name for name, _ in taken]
    if base is not None:
        if text.strip():
            write_whole(path, text)
        else:
            path.unlink(missing_ok=True)
    return []


def _text_of(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        return ""
    except (OSError, UnicodeDecodeError):
        raise refuse_usage(f"'{path}' cannot be read as UTF-8 text. Mend it, or move it away.") from None


def _ask(book: Path, names: list[UnknownName], *, again: bool) -> int:
    state = book / STATE_FILE
    refused = set() if again else _none_fits(state)
    asked = [one for one in names if name_key(one.name) not in refused]
    if not asked:
        say("Nothing is left to ask: for every unknown name you said that none fits. --again asks once more.")
        return _DONE
    base = _text_of(book / MATCHED_FILE)
    walk = Walk(asked)

    def keep(walk: Walk) -> None:
        write_matched(book, walk.taken, BY_HAND, base)
        everything = sorted({*refused, *walk.none_fits})
        if everything or state.exists():
            write_whole(state, json.dumps({"none_fits": everything}, ensure_ascii=False) + "\n")

    walk_through(walk, _matched, _key_reader(), say, keep)
    open_names = len(asked) - len(walk.taken) - len(walk.none_fits)
    say("")
    say(
        f"{_counted(len(walk.taken), 'entry', 'entries')} written"
        f"{f' to {MATCHED_FILE}' if walk.taken else ''}; {len(walk.none_fits)} to be written from the pack;"
        f" {open_names} left for another time."
    )
    return _DONE


def _none_fits(state: Path) -> set[str]:
    try:
        held = json.loads(state.read_text(encoding="utf-8"))
        return {one for one in held["none_fits"] if isinstance(one, str)}
    except (OSError, ValueError, KeyError, TypeError):
        return set()  # a state that cannot be read only means that names are asked again


def _key_reader() -> Callable[[], str]:
    """Return what gives the next key: one key press in a terminal, one character of each line from a pipe."""
    if sys.stdin.isatty():
        from click import getchar

        def press() -> str:
            try:
                return getchar()
            except (EOFError, KeyboardInterrupt):
                return "q"

        return press

    def line() -> str:
        for text in iter(sys.stdin.readline, ""):
            if text.strip():
                return str(text).strip()[:1]
        return ""

    return line


def _counted(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"
