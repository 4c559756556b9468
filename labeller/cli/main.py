"""Where labeller begins. Commands are registered in ``commands``; a guest's question takes a shorter way past them."""

import sys
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


def main() -> None:
    """Run the commands; a bug of ours ends in 70, never in a stack trace unless ``--debug`` asks for one."""
    debug = "--debug" in sys.argv
    if debug:
        sys.argv.remove("--debug")
    try:
        from labeller.cli.commands import app

        app()
    except KeyboardInterrupt:
        sys.exit(130)
    except BrokenPipeError:
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
