"""``labeller new``: start a book with five questions."""

import re
import shlex
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from labeller.book.fields import LONGEST_NAME
from labeller.bringing_in.new_book import EXAMPLE_DISH, Answers, equipment_named, new_book
from labeller.cli.opening import read_and_work_out
from labeller.cli.saying import refuse_usage, say, today
from labeller.foundations.names import fold_text, nearest_names
from labeller.jurisdictions.packs import known_jurisdictions, load_jurisdiction

_TRIES = 3


def new(
    folder: Path,
    name: str | None,
    jurisdiction: str | None,
    address: str | None,
    equipment: str | None,
    dish: str | None,
    *,
    language: str,
) -> int:
    """Ask what is not given, write a small book into a new folder, and return 0.

    Nothing is written into a folder that holds anything, and a book comes whole or not at all.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise refuse_usage(f"'{folder}' is not empty, and nothing in it is to be lost. Choose a new folder.")
    if not re.fullmatch(r"[A-Za-z]{2,3}(?:-[A-Za-z0-9]{2,8})*", language.strip()):
        raise refuse_usage(f"--language: '{language}' is not the code of a language. Write one such as en or fr.")
    answers = Answers(
        _answer(name, "--name", "1 of 5. What is the kitchen called?", _name),
        _answer(jurisdiction, "--jurisdiction", _laws_in_words(), _law),
        _answer(address, "--address", "3 of 5. Which address goes on labels? (Enter leaves it out)", _text, ""),
        equipment_named(
            _answer(
                equipment,
                "--equipment",
                "4 of 5. What do batches share, such as: deep fryer, slicer, churn? (Enter for nothing)",
                _text,
                "",
            )
        ),
        _answer(dish, "--dish", "5 of 5. Which dish of yours shall come first? (Enter leaves it out)", _text, ""),
        language.strip().lower(),
    )
    _write(folder, new_book(answers, today()))
    book = shlex.quote(str(folder))
    print(f"'{folder}' is a book now. Read kitchen.yaml first; the example shows every kind of entry.")
    print("Then try:")
    print(f"  labeller check {book}")
    print(f'  labeller declare {book} --of "{EXAMPLE_DISH}"')
    print(f"  labeller import RECIPES.xlsx --into {book} --dry-run")
    return 0


def _write(folder: Path, files: dict[str, str]) -> None:
    """Write the book beside its place, read it as 'check' does, and only then put it there."""
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=folder.parent, prefix=".new-") as place:
            book = Path(place) / "book"
            for path, text in files.items():
                file = book / path
                file.parent.mkdir(parents=True, exist_ok=True)
                file.write_text(text, encoding="utf-8")
            _, _, notes = read_and_work_out(book)
            if notes.faults:
                first = notes.faults[0]
                raise refuse_usage(f"One of the answers does not do: {first.problem} {first.mend}")
            if folder.exists():
                folder.rmdir()
            book.rename(folder)
    except OSError as reason:
        raise refuse_usage(f"'{folder}' cannot be written: {reason.strerror}. Choose another folder.") from None


def _answer(
    given: str | None, option: str, question: str, read: Callable[[str], str], left_out: str | None = None
) -> str:
    """Return an answer: the option's, or what is typed; a wrong option ends the command, a wrong answer is asked again.

    ``left_out`` is the answer where nothing is typed; None where one is needed.
    """
    if given is not None:
        try:
            return read(given)
        except ValueError as reason:
            raise refuse_usage(f"{option}: {reason}") from None
    for _ in range(_TRIES):
        print(f"{question}\n> ", end="", file=sys.stderr, flush=True)
        typed = sys.stdin.readline()
        if not typed.strip() and left_out is not None:
            return left_out
        if not typed:
            raise refuse_usage(f"\nNobody answered. Write {option} behind the command instead.")
        try:
            return read(typed)
        except ValueError as reason:
            say(str(reason))
    raise refuse_usage(f"That was the third try. Write {option} behind the command instead.")


def _laws_in_words() -> str:
    rows = [
        f"     {number}  {code:<6} {load_jurisdiction(code).title}"
        for number, code in enumerate(known_jurisdictions(), start=1)
    ]
    return "\n".join(["2 of 5. Under whose law do you sell? Type the number or the code.", *rows])


def _law(text: str) -> str:
    codes = known_jurisdictions()
    word = fold_text(text)
    words = {code: code for code in codes} | {fold_text(load_jurisdiction(code).title): code for code in codes}
    words |= {str(number): code for number, code in enumerate(codes, start=1)}
    if word in words:
        return words[word]
    near = nearest_names(word, [one for one in words if not one.isdigit()])
    mend = f"Write '{words[near[0]]}' for {load_jurisdiction(words[near[0]]).title}" if near else "Write one of these"
    raise ValueError(
        f"'{' '.join(text.split())}' is not a jurisdiction this tool knows. {mend}: {', '.join(codes)}."
        if not near
        else f"'{' '.join(text.split())}' is not a jurisdiction this tool knows. {mend}, or one of {', '.join(codes)}."
    )


def _name(text: str) -> str:
    name = _text(text)
    if not name:
        raise ValueError("a kitchen needs a name. Write it as guests know it.")
    return name


def _text(text: str) -> str:
    shown = " ".join(text.split())
    if len(shown) > LONGEST_NAME:
        raise ValueError(f"'{shown[:60]}...' is too long. Write at most {LONGEST_NAME} letters.")
    if not shown.isprintable():
        raise ValueError("there is a sign in it that is not a letter. Type it again.")
    return shown
