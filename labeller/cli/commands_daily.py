"""Commands of every day: what is wrong, what is in it, what a guest asks; each imports what it needs inside."""

from pathlib import Path
from typing import Annotated

import typer

from labeller.cli.application import app
from labeller.cli.options import AsRecorded, BookFolder, GuestLanguage, Json, Language, Law, Menu, Of, On


@app.command()
def check(
    book: BookFolder,
    on: Annotated[
        str | None,
        typer.Option("--on", metavar="DATE", help="How old specifications are on that day; today unless said."),
    ] = None,
    papers: Annotated[
        Path | None,
        typer.Option(
            "--with",
            metavar="SPEC.yaml",
            help="Try new papers of ingredients: what changes, and what has to be printed again.",
        ),
    ] = None,
    jurisdiction: Annotated[
        str | None,
        typer.Option(
            "--jurisdiction", help="With --with: by whose law things are declared; the book's own unless said."
        ),
    ] = None,
    json_out: Json = False,
) -> None:
    """Every fault in the book at once; advice apart from faults.

    Example: labeller check my-kitchen --with new-paste.yaml
    """
    from labeller.cli.opening import parse_on, refuse_usage

    if jurisdiction is not None and papers is None:
        raise refuse_usage(
            "--jurisdiction: 'check' looks at the whole book by its own law. Use it together with --with."
        )
    if papers is not None:
        from labeller.cli.check_with import check_with

        raise typer.Exit(check_with(book, papers, jurisdiction, on=parse_on(on), json_out=json_out))
    from labeller.cli.check import check as run

    raise typer.Exit(run(book, json_out=json_out, on=parse_on(on)))


@app.command()
def declare(
    book: BookFolder,
    of: Annotated[
        str | None, typer.Option("--of", metavar="NAME", help="One dish, preparation or given part.")
    ] = None,
    everything: Annotated[bool, typer.Option("--all", help="Everything in the book, preparations too.")] = False,
    menu: Menu = None,
    jurisdiction: Law = None,
    on: On = None,
    language: Language = None,
    json_out: Json = False,
    past_day: AsRecorded = None,
) -> None:
    """Allergens, nutrition, alcohol and ingredients of each dish.

    Example: labeller declare my-kitchen --of "custard ice"
    """
    from labeller.cli.reading_beside import read_folder_beside

    beside = read_folder_beside(book) if past_day is None else None  # before what takes long to load
    from labeller.cli.declare import declare as run
    from labeller.cli.past import as_recorded

    with as_recorded(book, past_day, jurisdiction, on) as (folder, law, day):
        raise typer.Exit(
            run(
                folder,
                of=of,
                everything=everything,
                menu=menu,
                jurisdiction=law,
                on=day,
                json_out=json_out,
                language=language,
                beside=beside,
            )
        )


@app.command(short_help="Answer a guest about a dish, or which dishes suit.")
def answer(
    book: BookFolder,
    of: Annotated[str | None, typer.Option("--of", metavar="DISH", help="The dish the guest asks about.")] = None,
    about: Annotated[
        str | None,
        typer.Option("--about", metavar="WHAT", help="alcohol, an allergen, a nutrient, or any ingredient."),
    ] = None,
    without: Annotated[
        list[str] | None,
        typer.Option("--without", metavar="WHAT", help="What the guest avoids; may be given several times."),
    ] = None,
    menu: Menu = None,
    jurisdiction: Law = None,
    on: On = None,
    language: GuestLanguage = None,
    json_out: Json = False,
    past_day: AsRecorded = None,
) -> None:
    """Answer a guest: what is in one dish, or which dishes are without something.

    Example: labeller answer my-kitchen --of "custard ice" --about alcohol
    """
    from labeller.cli.answer import answer as run
    from labeller.cli.past import as_recorded

    with as_recorded(book, past_day, jurisdiction, on) as (folder, law, day):
        raise typer.Exit(run(folder, of, about, without or [], menu, law, day, json_out, language=language))


@app.command()
def whatif(
    book: BookFolder,
    of: Annotated[str, typer.Option("--of", metavar="DISH", help="The dish to try it on.")],
    swap: Annotated[
        list[str] | None,
        typer.Option(
            "--swap",
            metavar="OLD=NEW",
            help="NEW in place of OLD, anywhere inside; NEW is a name, which takes the weight of OLD, or an amount.",
        ),
    ] = None,
    leave_off: Annotated[
        list[str] | None, typer.Option("--leave-off", metavar="NAME", help="Leave something off, anywhere inside.")
    ] = None,
    add: Annotated[
        list[str] | None, typer.Option("--add", metavar="LINE", help='Put something on the plate, as "30 g butter".')
    ] = None,
    inside: Annotated[
        str | None,
        typer.Option("--inside", metavar="NAME", help="Change only this preparation, or only the 'plate'."),
    ] = None,
    jurisdiction: Law = None,
    on: On = None,
    json_out: Json = False,
) -> None:
    """Try a change on a dish: both declarations side by side. The book stays as it is.

    Example: labeller whatif my-kitchen --of "custard ice" --swap "double cream=oat drink"
    """
    from labeller.cli.opening import parse_on
    from labeller.cli.whatif import whatif as run
    from labeller.declarations.whatif import Asked

    asked = [
        *(Asked("swap", one) for one in swap or ()),
        *(Asked("leave off", one) for one in leave_off or ()),
        *(Asked("add", one) for one in add or ()),
    ]
    raise typer.Exit(
        run(book, of, asked, inside=inside, jurisdiction=jurisdiction, on=parse_on(on), json_out=json_out)
    )


@app.command(short_help="Where a figure or finding comes from.")
def explain(
    book: BookFolder,
    of: Of,
    figure: Annotated[
        str, typer.Option("--figure", help="alcohol, weight, energy, fat, salt, milk, or anything declared.")
    ],
    jurisdiction: Law = None,
    on: On = None,
    json_out: Json = False,
    plot: Annotated[
        Path | None, typer.Option("--plot", metavar="FILE", help="Draw it as well, as .svg or .png (alcohol only).")
    ] = None,
    past_day: AsRecorded = None,
) -> None:
    """Where a figure or finding comes from, down to the row of the table, the spec and the clause.

    Example: labeller explain my-kitchen --of "damson gin" --figure alcohol
    """
    from labeller.cli.explain import explain as run
    from labeller.cli.past import as_recorded

    with as_recorded(book, past_day, jurisdiction, on) as (folder, law, day):
        raise typer.Exit(run(folder, of, figure, law, day, json_out, plot))


@app.command(short_help="What the reader makes of an ingredients statement.")
def read(
    statement: Annotated[
        str, typer.Argument(metavar="STATEMENT", help="A supplier's ingredients statement, in quotes.")
    ],
    jurisdiction: Annotated[str, typer.Option("--jurisdiction", help="By whose groups; eu unless said.")] = "eu",
    json_out: Json = False,
) -> None:
    """Show what the reader makes of a supplier's ingredients statement.

    Example: labeller read "Wheat flour, butter (milk), emulsifier: soya lecithin. May contain nuts."
    """
    from labeller.cli.read import read as run

    raise typer.Exit(run(statement, jurisdiction, json_out))
