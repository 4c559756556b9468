"""The application every command is registered with."""

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
