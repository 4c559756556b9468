"""The files of a new book: what a kitchen answers, round a small example whose comments teach the format."""

from dataclasses import dataclass
from datetime import date
from typing import Final

from labeller.bringing_in.entry_files import yaml_text
from labeller.foundations.names import name_key
from labeller.foundations.places import reference_data_folder

EXAMPLE_DISH: Final = "carrot soup with oatcakes"
SCHEMA_IN_BOOK: Final = ".kitchen_book.schema.json"
_FILES: Final = (
    "kitchen.yaml",
    "ingredients/examples.yaml",
    "preparations/examples.yaml",
    "dishes/examples.yaml",
    "menus.yaml",
)


@dataclass(frozen=True, slots=True)
class Answers:
    """What a kitchen says of itself: ``dish`` is the name of a first dish of its own, or empty."""

    name: str
    jurisdiction: str
    address: str = ""
    equipment: tuple[str, ...] = ()
    dish: str = ""
    language: str = "en"


def new_book(answers: Answers, today: date) -> dict[str, str]:
    """Return the files of a new book by their paths, the schema for editors among them.

    The papers of the example's invented suppliers bear the day on which the book is begun.
    """
    folder = reference_data_folder()
    files = {
        path: (folder / "new_book" / path).read_text(encoding="utf-8").replace("{today}", today.isoformat())
        for path in _FILES
    }
    files["kitchen.yaml"] += "\n" + _kitchen(answers)
    if answers.dish:
        files["dishes/examples.yaml"] += "\n" + _first_dish(answers.dish)
    schema = folder / "book_schema" / "kitchen_book.schema.json"
    files[SCHEMA_IN_BOOK] = schema.read_text(encoding="utf-8")
    return files


def equipment_named(text: str) -> tuple[str, ...]:
    """Return the machines named in a text with commas, each once."""
    found: dict[str, str] = {}
    for part in text.replace(";", ",").split(","):
        name = " ".join(part.split())
        if name:
            found.setdefault(name_key(name), name)
    return tuple(found.values())


def _kitchen(answers: Answers) -> str:
    lines = [
        f"- kitchen: {yaml_text(answers.name)}",
        f"  jurisdiction: {answers.jurisdiction}",
        f"  language: {yaml_text(answers.language)}",
    ]
    if answers.address:
        lines.append(f"  address: {yaml_text(answers.address)}")
    if answers.equipment:
        lines += ["  shared_equipment:", *(f"    - {yaml_text(one)}" for one in answers.equipment)]
    return "\n".join(lines) + "\n"


def _first_dish(name: str) -> str:
    """Return a dish to be written up, as comments: a plate of guesses would declare what nobody cooks."""
    return (
        "# Your first dish: write its plate, then take the '#' and the space behind it away from these lines.\n"
        f"# - dish: {yaml_text(name)}\n"
        "#   course: main\n"
        "#   plate:\n"
        "#     - 180 g NAME OF WHAT IS ON IT\n"
        "#     - 60 g NAME OF THE SAUCE, optional\n"
    )
