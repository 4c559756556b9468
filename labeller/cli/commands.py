"""The commands of labeller: each imports what it needs inside, and what it needs stands in a module of its name."""

from pathlib import Path
from typing import Annotated

import typer

app = typer.Typer(
    name="labeller",
    help="Allergen, nutrition and alcohol declarations for kitchens, from recipes as cooks write them.",
    epilog="Exit codes: 0 done; 1 faults in your files; 2 wrong usage; 3 done, but something cannot be vouched for; 70 a bug of ours.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)

BookFolder = Annotated[Path, typer.Argument(metavar="BOOK", help="The folder of the kitchen book.")]
Json = Annotated[bool, typer.Option("--json", help="Print one JSON document and nothing else.")]
Law = Annotated[
    str | None, typer.Option("--jurisdiction", help="eu, gb, us, ca, au-nz or codex; the book's own unless said.")
]
On = Annotated[
    str | None,
    typer.Option("--on", metavar="DATE", help="The law in force that day, as 2026-12-01; today unless said."),
]
Menu = Annotated[str | None, typer.Option("--menu", metavar="NAME", help="Only the dishes of this menu.")]
Language = Annotated[
    str | None,
    typer.Option("--language", metavar="CODE", help="Name the allergens in this language as well, such as fr or pl."),
]
GuestLanguage = Annotated[
    str | None,
    typer.Option(
        "--language",
        metavar="CODE",
        help="Say the answer in fr, de, it, es or en first; in others name the allergens.",
    ),
]
Of = Annotated[str, typer.Option("--of", metavar="NAME", help="A dish, a preparation or a part it gives.")]
AsRecorded = Annotated[
    str | None,
    typer.Option("--as-recorded", metavar="DATE", help="As it stood on a past day, from the record of the book."),
]
Refresh = Annotated[bool, typer.Option("--refresh", help="Ask anew, also for what was fetched in the last month.")]
RecordFile = Annotated[
    Path | None,
    typer.Option("--file", metavar="FILE", help="The record; BOOK.declared.sqlite3 beside the book unless said."),
]


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


@app.command()
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


@app.command()
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


@app.command()
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


@app.command()
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


@app.command()
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


@app.command()
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


@app.command()
def foods(
    words: Annotated[list[str], typer.Argument(metavar="WORDS", help="What you call it in the kitchen.")],
    online: Annotated[
        bool,
        typer.Option("--online", help="Ask FoodData Central, the open tables of the USDA; only these words are sent."),
    ] = False,
    refresh: Refresh = False,
    json_out: Json = False,
) -> None:
    """Rows of the reference table that fit, best first.

    Example: labeller foods double cream
    """
    from labeller.cli.opening import refuse_usage

    if refresh and not online:
        raise refuse_usage("--refresh: only what was fetched can be fetched anew. Use it together with --online.")
    if online:
        from labeller.cli.foods import foods_online

        raise typer.Exit(foods_online(words, refresh=refresh, json_out=json_out))
    from labeller.cli.foods import foods as run

    raise typer.Exit(run(words, json_out))


@app.command()
def fetch(
    food: Annotated[str, typer.Argument(metavar="ID", help="Its number in FoodData Central; nothing else is sent.")],
    into: Annotated[Path, typer.Option("--into", metavar="BOOK", help="The folder of the kitchen book.")],
    name: Annotated[
        str, typer.Option("--as", metavar="NAME", help="What the recipes call it; its name there unless said.")
    ] = "",
    replace: Annotated[
        bool, typer.Option("--replace", help="Put the figures into the entry of that name; what else it says stays.")
    ] = False,
    refresh: Refresh = False,
    json_out: Json = False,
) -> None:
    """Bring in one food of FoodData Central: figures by the book's own law, and where they come from. Never allergens.

    Example: labeller fetch 171265 --into my-kitchen --as "whole milk"
    """
    from labeller.cli.fetch import fetch as run

    raise typer.Exit(run(food, into, name, replace=replace, refresh=refresh, json_out=json_out))


@app.command(name="import")
def import_(
    file: Annotated[
        Path,
        typer.Argument(
            metavar="FILE", help="A .xlsx, .csv, .tsv, .txt, .md, .json or .html file, or a folder of them."
        ),
    ],
    into: Annotated[Path, typer.Option("--into", metavar="BOOK", help="The folder of the kitchen book.")],
    as_kind: Annotated[
        str, typer.Option("--as", metavar="KIND", help="What recipes become: preparation (unless said) or dish.")
    ] = "preparation",
    replace: Annotated[
        bool, typer.Option("--replace", help="Put a recipe in the place of the book's own of that name.")
    ] = False,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Show what would be written, and write nothing.")] = False,
    skip_doubtful: Annotated[
        bool, typer.Option("--skip-doubtful", help="Write the recipes without faults, leave the others out whole.")
    ] = False,
    blank_means: Annotated[
        str,
        typer.Option(
            "--blank-means",
            metavar="ANSWER",
            help="What an empty allergen box says: unknown (unless said), or none, where the supplier says so.",
        ),
    ] = "unknown",
    ask: Annotated[
        bool, typer.Option("--ask", help="Then walk through the names nothing answers to, one key each.")
    ] = False,
    best: Annotated[
        bool,
        typer.Option("--best", help="Then match what is sure, marked 'matched: machine' until a person confirms."),
    ] = False,
    json_out: Json = False,
) -> None:
    """Recipes and ingredients from a spreadsheet, recipe texts or schema.org JSON-LD into a book.

    Example: labeller import recipes.xlsx --into my-kitchen --dry-run
    """
    from labeller.cli.import_ import import_ as run

    raise typer.Exit(
        run(
            file,
            into,
            as_kind=as_kind,
            replace=replace,
            dry_run=dry_run,
            skip_doubtful=skip_doubtful,
            blank_means=blank_means,
            json_out=json_out,
            ask=ask,
            best=best,
        )
    )


@app.command()
def match(
    book: BookFolder,
    ask: Annotated[
        bool, typer.Option("--ask", help="Walk through the unknown names, one key each; stop and go on any time.")
    ] = False,
    best: Annotated[
        bool, typer.Option("--best", help="Write what is sure, marked 'matched: machine' until a person confirms.")
    ] = False,
    again: Annotated[
        bool, typer.Option("--again", help="With --ask: also names for which nothing fitted the last time.")
    ] = False,
    json_out: Json = False,
) -> None:
    """Show what the unknown names of a book may be: goods of the shelf, rows of the reference table, how sure and why.

    Example: labeller match my-kitchen --best --ask
    """
    from labeller.cli.match import match as run

    raise typer.Exit(run(book, ask=ask, best=best, again=again, json_out=json_out))


@app.command()
def ingredient(
    pack: Annotated[
        bool, typer.Option("--from-pack", help="From what its pack prints; asks for each field unless they are given.")
    ] = False,
    into: Annotated[
        Path | None, typer.Option("--into", metavar="BOOK", help="The folder of the kitchen book.")
    ] = None,
    file: Annotated[
        Path | None, typer.Option("--from", metavar="FILE", help="A small YAML file with the same fields.")
    ] = None,
    name: Annotated[str, typer.Option("--name", help="What the recipes call it.")] = "",
    statement: Annotated[str, typer.Option("--statement", help="The list of ingredients, as printed.")] = "",
    may_contain: Annotated[str, typer.Option("--may-contain", help="What it may contain, as printed.")] = "",
    supplier: Annotated[str, typer.Option("--supplier", help="Who supplies it.")] = "",
    reference: Annotated[str, typer.Option("--reference", help="The supplier's own number for it.")] = "",
    dated: Annotated[
        str, typer.Option("--dated", help="The day on the paper, as 2026-10-01; today unless said.")
    ] = "",
    per: Annotated[
        str, typer.Option("--per", help="What the figures are for: 100 g unless said, '100 ml', 'serving of 30 g'.")
    ] = "",
    serving: Annotated[
        str, typer.Option("--serving", help="The serving the pack names beside its 100 g, to tell the columns apart.")
    ] = "",
    density: Annotated[str, typer.Option("--density", help="Needed for figures per 100 ml, as '1.03 g/ml'.")] = "",
    strength: Annotated[str, typer.Option("--strength", help="Of what holds alcohol, as '20 % vol'.")] = "",
    energy_kj: Annotated[str, typer.Option("--energy-kj", help="Energy in kJ.")] = "",
    energy_kcal: Annotated[
        str, typer.Option("--energy-kcal", help="Energy in kcal, the Calories of a US panel.")
    ] = "",
    fat: Annotated[str, typer.Option("--fat", help="Fat in g.")] = "",
    saturates: Annotated[str, typer.Option("--saturates", help="Of which saturates in g.")] = "",
    carbohydrate: Annotated[str, typer.Option("--carbohydrate", help="Carbohydrate in g.")] = "",
    sugars: Annotated[str, typer.Option("--sugars", help="Of which sugars in g.")] = "",
    polyols: Annotated[str, typer.Option("--polyols", help="Of which polyols in g.")] = "",
    fibre: Annotated[str, typer.Option("--fibre", help="Fibre in g.")] = "",
    protein: Annotated[str, typer.Option("--protein", help="Protein in g.")] = "",
    salt: Annotated[str, typer.Option("--salt", help="Salt in g.")] = "",
    sodium: Annotated[str, typer.Option("--sodium", help="Sodium in mg.")] = "",
    panel: Annotated[
        str | None,
        typer.Option(
            "--panel", metavar="LAW", help="Whose panel the pack prints, such as us; the book's own unless said."
        ),
    ] = None,
    replace: Annotated[bool, typer.Option("--replace", help="Take the place of the entry of that name.")] = False,
    accept: Annotated[bool, typer.Option("--accept", help="Write what is doubtful as typed, with a comment.")] = False,
    json_out: Json = False,
) -> None:
    """Bring in an ingredient from its pack: figures held against each other, the list of ingredients read back at once.

    Example: labeller ingredient --from-pack --into my-kitchen --name "dark chocolate" --statement "cocoa mass, sugar"
    """
    from labeller.cli.ingredient import from_pack, wanted

    given = {
        "name": name, "statement": statement, "may_contain": may_contain, "supplier": supplier, "reference": reference,
        "dated": dated, "per": per, "serving": serving, "density": density, "strength": strength, "energy_kj": energy_kj, "energy_kcal": energy_kcal,
        "fat_g": fat, "saturates_g": saturates, "carbohydrate_g": carbohydrate, "sugars_g": sugars, "polyols_g": polyols,
        "fibre_g": fibre, "protein_g": protein, "salt_g": salt, "sodium_mg": sodium,
    }  # fmt: skip
    raise typer.Exit(
        from_pack(
            wanted(pack, into),
            given,
            file=file,
            panel=panel,
            replace_standing=replace,
            accept=accept,
            json_out=json_out,
        )
    )


@app.command()
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


@app.command()
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


@app.command()
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


@app.command()
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


@app.command()
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


@app.command()
def jurisdictions(json_out: Json = False) -> None:
    """List the jurisdictions this tool knows, and how complete each is.

    Example: labeller jurisdictions
    """
    from labeller.cli.jurisdictions import jurisdictions as run

    raise typer.Exit(run(json_out))


@app.command()
def new(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="A folder that is not there yet, or is empty.")],
    name: Annotated[str | None, typer.Option("--name", metavar="NAME", help="The name of the kitchen.")] = None,
    jurisdiction: Annotated[
        str | None, typer.Option("--jurisdiction", help="Under whose law it sells: eu, gb, us, ca, au-nz or codex.")
    ] = None,
    address: Annotated[
        str | None, typer.Option("--address", metavar="TEXT", help="The address on labels; '' leaves it out.")
    ] = None,
    equipment: Annotated[
        str | None,
        typer.Option("--equipment", metavar="NAMES", help="Shared machines, with commas between; '' for none."),
    ] = None,
    dish: Annotated[
        str | None, typer.Option("--dish", metavar="NAME", help="A first dish to write up; '' leaves it out.")
    ] = None,
    language: Annotated[str, typer.Option("--language", metavar="CODE", help="The language of the book.")] = "en",
) -> None:
    """Start a book: five questions, and a folder whose comments teach the format round a small example.

    Example: labeller new my-kitchen --name "The Saltmarsh Room" --jurisdiction gb
    """
    from labeller.cli.new import new as run

    raise typer.Exit(run(folder, name, jurisdiction, address, equipment, dish, language=language))


@app.command()
def fmt(
    book: BookFolder,
    check: Annotated[
        bool, typer.Option("--check", help="Write nothing; name the files that would change, and end with 1 if any.")
    ] = False,
    diff: Annotated[bool, typer.Option("--diff", help="Write nothing; show what would change.")] = False,
    json_out: Json = False,
) -> None:
    """Write every file of a book in the house form; no comment, no blank line between groups and no word is lost.

    Example: labeller fmt my-kitchen --diff
    """
    from labeller.cli.fmt import fmt as run

    raise typer.Exit(run(book, check=check, diff=diff, json_out=json_out))


@app.command()
def schema(
    out: Annotated[
        Path | None, typer.Option("--out", metavar="FILE", help="Write it there, a file or a folder.")
    ] = None,
) -> None:
    """Print the JSON Schema of a book's files, by which editors complete and check as one types.

    Example: labeller schema --out my-kitchen/.kitchen_book.schema.json
    """
    from labeller.cli.schema import schema as run

    raise typer.Exit(run(out))


@app.command()
def demo(
    folder: Annotated[Path, typer.Argument(metavar="[FOLDER]", help="Where to write it.")] = Path("demo"),
    on: On = None,
) -> None:
    """Write the demo book and everything that can be made from it.

    Example: labeller demo demo
    """
    from labeller.cli.demo import demo as run
    from labeller.cli.opening import parse_on

    raise typer.Exit(run(folder, parse_on(on)))
