"""``labeller demo``: the demo book, and everything that can be made from it."""

import contextlib
import io
import os
from collections.abc import Callable
from datetime import date
from functools import partial
from pathlib import Path

from labeller.cli.check import check
from labeller.cli.declare import declare
from labeller.cli.opening import refuse_usage, say
from labeller.cli.writing import write_whole
from labeller.demonstration.place import demonstration_book

TALK = "papers, the commands and what they said.txt"
EXPLAINED = (("plum brandy liquor", "alcohol"), ("plum brandy liquor", "weight"))
# Every paper, as its user would ask for it; what ends in 3 prints what it cannot vouch for, and says so.
PAPERS = (
    ("cards", "--menu", "dinner"),
    ("cards", "--size", "tent", "--of", "hazelnut ice and chocolate pot", "--energy"),
    ("labels",),
    (
        "labels",
        "--for",
        "sale",
        "--of",
        "apricots in honey",
        "--net",
        "240 g",
        "--label",
        "99.1x67.7",
        "--grid",
        "2x4",
    ),
    ("matrix",),
    ("notes", "--menu", "dinner", "--by", "letters"),
    ("panel", "--of", "apple crumble and custard"),
    ("panel", "--of", "apple crumble and custard", "--jurisdiction", "us", "--incomplete"),
)


def demo(folder: Path, on: date) -> int:
    """Write the demo book below ``folder`` and what can be made from it; return the exit code."""
    source = demonstration_book()
    target = folder / "book"
    files = {path.relative_to(source).as_posix(): path.read_bytes() for path in sorted(source.rglob("*.yaml"))}
    _refuse_to_lose(target, files)
    for name, raw in files.items():
        write_whole(target / name, raw)
    made = {
        "check.txt": _printed(lambda: check(target, json_out=False, on=on)),
        "declarations.txt": _printed(
            lambda: declare(target, of=None, everything=False, menu=None, jurisdiction=None, on=on, json_out=False)
        ),
        "declarations.json": _printed(
            lambda: declare(target, of=None, everything=True, menu=None, jurisdiction=None, on=on, json_out=True)
        ),
    }
    for law in ("eu", "us"):
        by_law = partial(
            declare, target, of=None, everything=False, menu=None, jurisdiction=law, on=on, json_out=False
        )
        made[f"declarations by the law of {law}.txt"] = _printed(by_law)
    _explain(target, folder, on, made)
    for name, text in made.items():
        write_whole(folder / name, text)
    talk = _papers(target, folder, on)
    write_whole(folder / TALK, talk)
    made[TALK] = talk
    say(f"The demo book is in '{target}', what was made from it in '{folder}':")
    for name in sorted(made):
        say(f"  {name}")
    for command in sorted({name.split("/")[0] for name in _printed_below(folder)}):
        say(f"  {command}{os.sep}")
    say(f"Look at '{folder / 'declarations.txt'}' and '{folder / 'cards'}' first; then try: labeller check '{target}'")
    return 0


def _papers(target: Path, folder: Path, on: date) -> str:
    """Print every paper of the demo below ``folder``; return the commands and what they said."""
    from labeller.cli.commands import app

    said = io.StringIO()
    for command, *options in PAPERS:
        name = " ".join([command, *(one for one in options if one in ("sale", "tent", "us"))])
        shown = " ".join(f'"{one}"' if " " in one else one for one in (command, "book", "--out", name, *options))
        said.write(f"$ labeller {shown}\n")
        call = [command, str(target), "--out", str(folder / name), "--on", on.isoformat(), *options]
        with contextlib.redirect_stderr(said), contextlib.redirect_stdout(said):
            code = app(call, standalone_mode=False)
        said.write(f"Exit code {code}.\n\n")
    return said.getvalue().replace(f"{folder}{os.sep}", "")


def _refuse_to_lose(target: Path, files: dict[str, bytes]) -> None:
    """Refuse to replace a book that is not the demo's."""
    if not target.exists():
        return
    for path in sorted(target.rglob("*.y*ml")):
        name = path.relative_to(target).as_posix()
        if files.get(name) != path.read_bytes():
            raise refuse_usage(
                f"'{path}' is not as the demo writes it, and would be lost. Choose another folder: labeller demo OTHER"
            )


def _printed_below(folder: Path) -> list[str]:
    return [path.relative_to(folder).as_posix() for path in sorted(folder.glob("*/*.pdf"))]


def _explain(target: Path, folder: Path, on: date, made: dict[str, str]) -> None:
    from labeller.cli.explain import explain

    for name, figure in EXPLAINED:
        plot = folder / f"{name}, where the alcohol went.svg" if figure == "alcohol" else None
        run = partial(explain, target, name, figure, None, on, json_out=False, plot=plot)
        made[f"{name}, {figure} explained.txt"] = _printed(run)


def _printed(run: Callable[[], int]) -> str:
    """Return what a command prints on standard output."""
    page = io.StringIO()
    with contextlib.redirect_stdout(page):
        run()
    return page.getvalue()
