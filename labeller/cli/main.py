"""Where labeller begins. Commands are registered in ``commands``; a guest's question takes a shorter way past them."""

import gc
import os
import sys
from io import TextIOWrapper
from typing import TYPE_CHECKING

from labeller.cli.exits import CANNOT_VOUCH, FAULTS, OUR_BUG, WRONG_USAGE

if TYPE_CHECKING:
    from labeller.cli.commands import app


def __getattr__(name: str) -> object:
    """Return the Typer application when somebody asks for it: an answer at the table has no time to load Typer."""
    if name == "app":
        from labeller.cli.commands import app

        return app
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def _answer_at_once(arguments: list[str]) -> None:
    """Answer a plain question without Typer, and end the process; return where Typer has to look at the call."""
    gc.disable()  # one answer makes little rubbish, and looking for it takes a tenth of its time
    from labeller.cli.answer_arguments import read_call

    call = read_call(arguments)
    if call is None:
        return
    # Threads of the linear algebra library take longer to start than a kitchen's sums take to do.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from pathlib import Path

    from labeller.cli.answer import answer
    from labeller.cli.answer_cache import keep_after_the_answer
    from labeller.cli.saying import parse_on

    code = answer(
        Path(call.book),
        call.of,
        call.about,
        call.without,
        call.menu,
        call.jurisdiction,
        parse_on(call.on),
        call.json_out,
        language=call.language,
        in_a_hurry=True,
    )
    sys.stdout.flush()
    sys.stderr.flush()
    keep_after_the_answer()
    os._exit(code)  # everything is said and written; taking the interpreter apart would only be waited for


def _write_every_letter() -> None:
    """Let names of a book be written where the machine's own letters lack them: a crème or a Käse must not end an answer."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper) and stream.encoding.lower().replace("-", "") != "utf8":
            if stream.isatty():
                stream.reconfigure(errors="backslashreplace")
            else:
                stream.reconfigure(encoding="utf-8")  # as the book itself, and as JSON has to be


def main() -> None:
    """Run the commands; a bug of ours ends in 70, never in a stack trace unless ``--debug`` asks for one."""
    debug = "--debug" in sys.argv
    if debug:
        sys.argv.remove("--debug")
    _write_every_letter()
    try:
        if sys.argv[1:2] == ["answer"]:
            _answer_at_once(sys.argv[2:])
        # One command makes little rubbish; looking for it as often as a long-lived program does takes a tenth of its time.
        gc.set_threshold(100_000, 20, 20)
        from labeller.cli.reading_beside import this_process_is_ours

        this_process_is_ours()
        from labeller.cli.commands import app

        app()
    except KeyboardInterrupt:
        sys.exit(130)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)  # what is left to say has nobody to read it
        sys.exit(0)
    except Exception as bug:
        from labeller.jurisdictions.faults_of_law import NoSuchSubjectError, NotInForceError

        if isinstance(bug, (NotInForceError, NoSuchSubjectError)):
            print(f"{bug} Choose another day with --on, or another law with --jurisdiction.", file=sys.stderr)
            sys.exit(WRONG_USAGE)
        if debug:
            raise
        print(f"labeller has a bug: {type(bug).__name__}: {bug}", file=sys.stderr)
        print("Nothing of yours was changed. Run it again with --debug and send us what it prints.", file=sys.stderr)
        sys.exit(OUR_BUG)


__all__ = ["CANNOT_VOUCH", "FAULTS", "OUR_BUG", "WRONG_USAGE", "app", "main"]
