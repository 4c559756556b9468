"""Options that several commands have, with the words of their help."""

from pathlib import Path
from typing import Annotated

import typer

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
