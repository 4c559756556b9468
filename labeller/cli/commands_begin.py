"""Commands to begin: a book, what comes into it, its form; each imports what it needs inside."""

from pathlib import Path
from typing import Annotated

import typer

from labeller.cli.application import app
from labeller.cli.options import BookFolder, Json, On, Refresh


@app.command(short_help="Write the demo book and everything made from it.")
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


@app.command(short_help="Start a book by five questions.")
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


@app.command(name="import", short_help="Recipes and goods from spreadsheets and recipe texts.")
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


@app.command(short_help="What the unknown names of a book may be.")
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


@app.command(short_help="An ingredient from its pack.")
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


@app.command(short_help="One food of FoodData Central into the book.")
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


@app.command(short_help="Write every file of a book in the house form.")
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


@app.command(short_help="The form of a book, for editors that check as one types.")
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
