"""Commands that print; each imports what it needs inside."""

from pathlib import Path
from typing import Annotated

import typer

from labeller.cli.application import app
from labeller.cli.options import AsRecorded, BookFolder, Json, Language, Law, Menu, On


@app.command(short_help="Cards for the counter or the table.")
def cards(
    book: BookFolder,
    out: Annotated[Path, typer.Option("--out", metavar="FOLDER", help="Where the PDF is written.")],
    menu: Menu = None,
    of: Annotated[
        list[str] | None,
        typer.Option("--of", metavar="NAME", help="Only this dish; may be given several times."),
    ] = None,
    size: Annotated[
        str,
        typer.Option(
            "--size",
            metavar="SIZE",
            help="a7, a6, a5, tent (folded, 130x95), or width x height in mm; a6 unless said.",
        ),
    ] = "a6",
    paper: Annotated[
        str, typer.Option("--paper", metavar="SHEET", help="The sheet in the printer: a4 (unless said) or letter.")
    ] = "a4",
    orientation: Annotated[
        str | None,
        typer.Option("--orientation", metavar="WAY", help="portrait or landscape (unless said) for a named size."),
    ] = None,
    energy: Annotated[
        bool, typer.Option("--energy", help="Print the energy of a portion, with the words the law has beside it.")
    ] = False,
    copies: Annotated[int, typer.Option("--copies", metavar="N", help="How many of each.")] = 1,
    jurisdiction: Law = None,
    on: On = None,
    language: Language = None,
    json_out: Json = False,
    past_day: AsRecorded = None,
) -> None:
    """Cards for the counter or the table: one dish a card, several on a sheet, with marks to cut by.

    Example: labeller cards my-kitchen --out cards --menu dinner --size a6
    """
    from labeller.cli.cards import cards as run
    from labeller.cli.cards import read_cards_asked
    from labeller.cli.past import as_recorded

    asked = read_cards_asked(
        of=of,
        menu=menu,
        size=size,
        orientation=orientation,
        paper=paper,
        copies=copies,
        energy=energy,
        language=language,
    )
    with as_recorded(book, past_day, jurisdiction, on) as (folder, law, day):
        raise typer.Exit(run(folder, out, asked, jurisdiction=law, on=day, json_out=json_out))


@app.command(short_help="Labels for tubs, and for food sold packed.")
def labels(
    book: BookFolder,
    out: Annotated[Path, typer.Option("--out", metavar="FOLDER", help="Where the PDF is written.")],
    of: Annotated[
        list[str] | None,
        typer.Option(
            "--of", metavar="NAME", help="Only this: a part, a preparation or a dish; may be given several times."
        ),
    ] = None,
    everything: Annotated[
        bool, typer.Option("--all", help="Everything in the book, also what does not say how long it keeps.")
    ] = False,
    menu: Annotated[
        str | None,
        typer.Option("--menu", metavar="NAME", help="Only what this menu needs, or its dishes with --for sale."),
    ] = None,
    opened: Annotated[
        list[str] | None,
        typer.Option(
            "--opened", metavar="NAME", help="A bought-in good once opened or decanted; may be given several times."
        ),
    ] = None,
    purpose: Annotated[
        str, typer.Option("--for", metavar="WHAT", help="container (tubs in the kitchen) or sale (food sold packed).")
    ] = "container",
    made: Annotated[
        str | None,
        typer.Option("--made", metavar="DATE", help="The day it was made or opened; the day of --on unless said."),
    ] = None,
    part_made: Annotated[
        list[str] | None,
        typer.Option(
            "--part-made",
            metavar="NAME=DATE",
            help="The day a part in it was made, where it is older; may be given several times.",
        ),
    ] = None,
    batch: Annotated[
        str, typer.Option("--batch", metavar="TEXT", help="The mark of the batch; a line to write it on unless said.")
    ] = "",
    copies: Annotated[int, typer.Option("--copies", metavar="N", help="How many of each.")] = 1,
    start_at: Annotated[
        int,
        typer.Option(
            "--start-at", metavar="N", help="The first label to use on a sheet begun before, along the rows."
        ),
    ] = 1,
    paper: Annotated[
        str | None,
        typer.Option("--paper", metavar="SHEET", help="a4, letter, or width x height in mm; a4 unless said."),
    ] = None,
    label: Annotated[
        str | None,
        typer.Option(
            "--label", metavar="WxH", help="Size of a label in mm; 99.1x57 unless said, on letter 101.6x50.8."
        ),
    ] = None,
    grid: Annotated[
        str | None,
        typer.Option("--grid", metavar="NxN", help="Labels across x down, as 3x7; as many as fit unless said."),
    ] = None,
    margin: Annotated[
        str | None,
        typer.Option(
            "--margin",
            metavar="TOPxLEFT",
            help="The first label from the top and left edge in mm; centred unless said.",
        ),
    ] = None,
    gap: Annotated[
        str | None,
        typer.Option("--gap", metavar="XxY", help="Between labels side by side x one under the other in mm."),
    ] = None,
    roll: Annotated[bool, typer.Option("--roll", help="On a roll: one label to a page of its size.")] = False,
    offer: Annotated[
        str,
        typer.Option(
            "--offer", metavar="HOW", help="With --for sale: prepacked, 'prepacked for direct sale' or distance."
        ),
    ] = "prepacked",
    net: Annotated[
        str | None, typer.Option("--net", metavar="WEIGHT", help="With --for sale: what is in one pack, as '180 g'.")
    ] = None,
    face: Annotated[
        str | None,
        typer.Option(
            "--face",
            metavar="CM2",
            help="With --for sale: the largest face of the pack; below 80 cm2 the law of eu and gb lets letters be smaller.",
        ),
    ] = None,
    no_nutrition: Annotated[
        bool,
        typer.Option(
            "--no-nutrition", help="With --for sale: this food is free of the nutrition declaration, as you vouch."
        ),
    ] = False,
    incomplete: Annotated[
        bool,
        typer.Option("--incomplete", help="With --for sale: print what lacks something too, marked as not for sale."),
    ] = False,
    jurisdiction: Law = None,
    on: On = None,
    language: Language = None,
    json_out: Json = False,
    past_day: AsRecorded = None,
) -> None:
    """Labels for tubs in the kitchen, or for food sold packed, on sheets of labels or a roll.

    Without names: all that keeps, from the book's 'keeps'; for sale, the dishes that do.

    Example: labeller labels my-kitchen --out labels --label 63.5x38.1 --grid 3x7 --start-at 5
    """
    from labeller.cli.labels import labels as run
    from labeller.cli.labels_asked import read_asked, read_stock
    from labeller.cli.past import as_recorded
    from labeller.printing.label_stock import parse_stock

    stock = read_stock(
        lambda: parse_stock(paper=paper, label=label, grid=grid, margin=margin, gap=gap, start_at=start_at, roll=roll)
    )
    with as_recorded(book, past_day, jurisdiction, on) as (folder, law, day):
        asked = read_asked(
            purpose=purpose,
            of=of or [],
            opened_goods=opened or [],
            menu=menu,
            everything=everything,
            made=made,
            part_made=part_made or [],
            batch=batch,
            copies=copies,
            offer=offer,
            net=net,
            face=face,
            incomplete=incomplete,
            exempt=no_nutrition,
            language=language,
            on=day,
        )
        raise typer.Exit(run(folder, out, asked, stock, jurisdiction=law, on=day, json_out=json_out))


@app.command(short_help="The allergen sheet: dishes by group, and alcohol.")
def matrix(
    book: BookFolder,
    out: Annotated[Path, typer.Option("--out", metavar="FOLDER", help="Where the PDF is written.")],
    menu: Menu = None,
    of: Annotated[
        list[str] | None,
        typer.Option("--of", metavar="NAME", help="Only this dish; may be given several times."),
    ] = None,
    paper: Annotated[str, typer.Option("--paper", metavar="SHEET", help="a4 (unless said), a3 or letter.")] = "a4",
    portrait: Annotated[
        bool | None,
        typer.Option("--portrait/--landscape", help="How the sheet lies; what takes fewer pages unless said."),
    ] = None,
    jurisdiction: Law = None,
    on: On = None,
    language: Language = None,
    json_out: Json = False,
    past_day: AsRecorded = None,
) -> None:
    """Allergen sheet: dishes by allergen group and alcohol, each cell in words, to hang in the kitchen and show an inspector.

    Example: labeller matrix my-kitchen --out sheets --menu dinner --paper a3
    """
    from labeller.cli.matrix import matrix as run
    from labeller.cli.matrix import read_matrix_asked
    from labeller.cli.past import as_recorded

    asked = read_matrix_asked(menu=menu, of=of, paper=paper, portrait=portrait, language=language)
    with as_recorded(book, past_day, jurisdiction, on) as (folder, law, day):
        raise typer.Exit(run(folder, out, asked, jurisdiction=law, on=day, json_out=json_out))


@app.command(short_help="Menu notes: under each dish its allergens and alcohol.")
def notes(
    book: BookFolder,
    out: Annotated[Path, typer.Option("--out", metavar="FOLDER", help="Where the files are written.")],
    menu: Menu = None,
    of: Annotated[
        list[str] | None,
        typer.Option("--of", metavar="NAME", help="Only this dish; may be given several times."),
    ] = None,
    form: Annotated[
        str, typer.Option("--form", metavar="FORM", help="markdown, html, text, docx, pdf, or all (unless said).")
    ] = "all",
    by: Annotated[
        str, typer.Option("--by", metavar="WAY", help="Allergens in words (unless said) or by key letters.")
    ] = "words",
    energy: Annotated[
        bool, typer.Option("--energy", help="Print the energy of a portion, with the words the law has beside it.")
    ] = False,
    children: Annotated[
        bool, typer.Option("--children", help="With --energy: a children's menu, which has words of its own.")
    ] = False,
    paper: Annotated[
        str, typer.Option("--paper", metavar="SHEET", help="For the PDF: a4 (unless said), a5 or letter.")
    ] = "a4",
    jurisdiction: Law = None,
    on: On = None,
    language: Language = None,
    json_out: Json = False,
    past_day: AsRecorded = None,
) -> None:
    """Menu notes: under each dish its allergens and alcohol, as text to paste into a menu and as pages to print.

    Example: labeller notes my-kitchen --out menu --menu dinner --by letters
    """
    from labeller.cli.notes import notes as run
    from labeller.cli.notes import read_notes_asked
    from labeller.cli.past import as_recorded

    asked = read_notes_asked(
        menu=menu,
        of=of,
        form=form,
        by=by,
        energy=energy,
        children=children,
        language=language,
        paper=paper,
    )
    with as_recorded(book, past_day, jurisdiction, on) as (folder, law, day):
        raise typer.Exit(run(folder, out, asked, jurisdiction=law, on=day, json_out=json_out))


@app.command(short_help="Nutrition declarations as each law draws them.")
def panel(
    book: BookFolder,
    out: Annotated[Path, typer.Option("--out", metavar="FOLDER", help="Where the PDF is written.")],
    of: Annotated[
        str | None, typer.Option("--of", metavar="NAME", help="One dish, preparation or given part.")
    ] = None,
    everything: Annotated[bool, typer.Option("--all", help="Everything in the book, preparations too.")] = False,
    menu: Menu = None,
    form: Annotated[
        str, typer.Option("--form", metavar="FORM", help="us: vertical (unless said), tabular or simplified.")
    ] = "",
    per: Annotated[
        str, typer.Option("--per", metavar="BASIS", help="100g, portion or both, where the law leaves it free.")
    ] = "",
    servings: Annotated[
        str, typer.Option("--servings", metavar="N", help="How many portions a pack holds, such as 4; 1 unless said.")
    ] = "",
    serving: Annotated[
        str | None,
        typer.Option(
            "--serving",
            metavar="TEXT",
            help='What one portion is, such as "2 pieces (60 g)"; the portion of the dish, or one piece, unless said.',
        ),
    ] = None,
    width: Annotated[
        str | None, typer.Option("--width", metavar="MM", help="Width of the panel; as wide as it needs unless said.")
    ] = None,
    face: Annotated[
        str | None,
        typer.Option(
            "--face", metavar="CM2", help="Largest face of the pack in cm2; on small ones letters may be smaller."
        ),
    ] = None,
    colours: Annotated[
        bool, typer.Option("--colours", help="gb: also the front of the pack, by the published criteria.")
    ] = False,
    incomplete: Annotated[
        bool, typer.Option("--incomplete", help="Draw it though figures are missing, marked as incomplete.")
    ] = False,
    png: Annotated[bool, typer.Option("--png", help="A picture of each page as well.")] = False,
    jurisdiction: Law = None,
    on: On = None,
    json_out: Json = False,
    past_day: AsRecorded = None,
) -> None:
    """Nutrition declarations as each law draws them, one a page of its own size.

    A figure the law asks for that is not known: code 3, with what to supply, and no panel.

    Example: labeller panel my-kitchen --out panels --of "oat square" --servings 4 --serving "2 pieces (60 g)"
    """
    from labeller.cli.panel import panel as run
    from labeller.cli.panel import read_asked
    from labeller.cli.past import as_recorded

    asked = read_asked(
        of=of,
        everything=everything,
        menu=menu,
        form=form,
        per=per,
        servings=servings,
        serving=serving,
        width=width,
        face=face,
        colours=colours,
        incomplete=incomplete,
        png=png,
    )
    with as_recorded(book, past_day, jurisdiction, on) as (folder, law, day):
        raise typer.Exit(run(folder, out, asked, jurisdiction=law, on=day, json_out=json_out))
