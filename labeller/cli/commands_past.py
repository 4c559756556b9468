"""Commands for whoever answers for it: what was declared, papers in order, the law; each imports what it needs inside."""

from pathlib import Path
from typing import Annotated

import typer

from labeller.cli.application import app
from labeller.cli.options import BookFolder, Json, Law, On, RecordFile


@app.command(short_help="Keep what is declared today, for good.")
def record(
    book: BookFolder,
    on: Annotated[
        str | None,
        typer.Option("--on", metavar="DATE", help="The day declared for, whose law applies; today unless said."),
    ] = None,
    jurisdiction: Law = None,
    note: Annotated[str, typer.Option("--note", metavar="TEXT", help="A line of your own kept with it.")] = "",
    file: RecordFile = None,
    listed: Annotated[bool, typer.Option("--list", help="Show what is on record; nothing is added.")] = False,
    verify: Annotated[
        bool, typer.Option("--verify", help="Look the whole record through: is it what was recorded?")
    ] = False,
    seal: Annotated[
        str, typer.Option("--seal", metavar="SEAL", help="With --verify: a seal you kept, that must still be in it.")
    ] = "",
    shown: Annotated[
        str | None,
        typer.Option("--show", metavar="DATE", help="Print as JSON, word for word, what was declared on that day."),
    ] = None,
    json_out: Json = False,
) -> None:
    """Keep what is declared today, for good: declarations, evidence, and the book's own files.

    Example: labeller record my-kitchen --note "autumn menu"
    """
    from labeller.cli import record as run
    from labeller.cli.opening import parse_on, refuse_usage

    if sum((listed, verify, shown is not None)) > 1:
        raise refuse_usage("Write one of --list, --verify and --show.")
    if (listed or verify or shown is not None) and (note or on is not None):
        raise refuse_usage("--note and --on belong to what is recorded; --list, --verify and --show record nothing.")
    if seal and not verify:
        raise refuse_usage("--seal: it is looked for in the record. Use it together with --verify.")
    if listed:
        raise typer.Exit(run.list_records(book, file, json_out=json_out))
    if verify:
        raise typer.Exit(run.verify(book, file, seal, json_out=json_out))
    if shown is not None:
        raise typer.Exit(run.show(book, file, shown, jurisdiction))
    raise typer.Exit(
        run.record(book, jurisdiction=jurisdiction, on=parse_on(on), note=note, file=file, json_out=json_out)
    )


@app.command(short_help="What changed since it was recorded, and what to do.")
def changes(
    book: BookFolder,
    since: Annotated[
        str | None,
        typer.Option("--since", metavar="DATE", help="From the record of that day; the last one unless said."),
    ] = None,
    from_day: Annotated[
        str | None, typer.Option("--from", metavar="DATE", help="With --to: between the records of two days.")
    ] = None,
    to_day: Annotated[str | None, typer.Option("--to", metavar="DATE", help="With --from: the later day.")] = None,
    jurisdiction: Law = None,
    file: RecordFile = None,
    json_out: Json = False,
) -> None:
    """Show what changed since it was recorded: dishes, allergens, papers; what to print again, whom to tell.

    Example: labeller changes my-kitchen --since 2026-11-20
    """
    from labeller.cli.changes import changes as run

    raise typer.Exit(
        run(
            book,
            since=since,
            from_day=from_day,
            to_day=to_day,
            jurisdiction=jurisdiction,
            file=file,
            json_out=json_out,
        )
    )


@app.command(short_help="Suppliers' papers in order: a register, and letters.")
def specs(
    book: BookFolder,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="FOLDER", help="Where the register and the letters go.")
    ] = None,
    jurisdiction: Law = None,
    on: On = None,
    json_out: Json = False,
) -> None:
    """Suppliers' papers in order: a register, and a letter to every supplier that has something to answer.

    Example: labeller specs my-kitchen --out drawer
    """
    from labeller.cli.opening import parse_on
    from labeller.cli.specs import specs as run

    raise typer.Exit(run(book, out, jurisdiction=jurisdiction, on=parse_on(on), json_out=json_out))


@app.command(short_help="The laws on file, and how complete each is.")
def jurisdictions(json_out: Json = False) -> None:
    """List the jurisdictions this tool knows, and how complete each is.

    Example: labeller jurisdictions
    """
    from labeller.cli.jurisdictions import jurisdictions as run

    raise typer.Exit(run(json_out))
