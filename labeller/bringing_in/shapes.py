"""What is brought in, before it is written: recipes and goods with where each part came from."""

from dataclasses import dataclass, field
from typing import Literal

from labeller.bringing_in.cells import Place
from labeller.foundations.faults import Fault

Kind = Literal["preparation", "dish"]


@dataclass(frozen=True, slots=True)
class SheetLine:
    """One line of a recipe.

    ``amount`` is the number with its unit in the book's words ('250 g', '2', 'about 473.2 ml', 'to taste'); ``comment`` keeps the
    words of the source where they were changed; ``above`` is a comment that stands over the line; ``beside`` is what stood beside it in
    the sheet, as typed.
    """

    place: Place
    amount: str
    name: str
    remark: str = ""
    comment: str = ""
    above: str = ""
    beside: str = ""

    @property
    def text(self) -> str:
        """Return the line as the book takes it."""
        start = (
            f"{self.name} {self.amount}" if self.amount in ("to taste", "to cover") else f"{self.amount} {self.name}"
        )
        return f"{start}, {self.remark}" if self.remark else start


@dataclass(frozen=True, slots=True)
class SheetRecipe:
    """One recipe, or one part of a recipe that has its own lines.

    ``gives`` is a weight ('1150 g') or empty; ``makes`` a number of pieces or portions, or empty; ``whole_of`` is set on a part: the
    name of the recipe that takes it whole.
    """

    name: str
    place: Place
    kind: Kind = "preparation"
    lines: tuple[SheetLine, ...] = ()
    method: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    gives: str = ""
    makes: str = ""
    course: str = ""
    whole_of: str = ""
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True, slots=True)
class SheetGood:
    """One thing that is bought in: its keys and the keys of its specification, as the book writes them, each with its cell."""

    name: str
    place: Place
    keys: tuple[tuple[str, str, Place], ...] = ()
    per_100_g: tuple[tuple[str, str, Place], ...] = ()
    spec: tuple[tuple[str, str | tuple[str, ...], Place], ...] = ()
    notes: tuple[str, ...] = ()
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True, slots=True)
class Left:
    """Something that was read and not taken as a line, or taken in a way worth saying."""

    place: Place
    text: str
    why: str

    def as_text(self) -> str:
        """Return the sentence people read."""
        where = (
            f"{self.place.file}: {self.place.cell}"
            if self.place.cell
            else f"{self.place.file}:{self.place.row}"
            if self.place.row
            else self.place.file
        )
        return f"{where}: {repr(self.text[:80]) + ' ' if self.text else ''}{self.why}"

    def as_json(self) -> dict[str, str | int]:
        """Return the same for a program."""
        return {
            "file": self.place.file,
            "sheet": self.place.sheet,
            "row": self.place.row,
            "cell": self.place.cell,
            "text": self.text,
            "why": self.why,
        }


@dataclass(slots=True)
class Taken:
    """All that one run read: recipes, goods, what each column was taken for, what was left, and faults of no one recipe."""

    recipes: list[SheetRecipe] = field(default_factory=list)
    goods: list[SheetGood] = field(default_factory=list)
    columns: list[Left] = field(default_factory=list)
    left: list[Left] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    heard: list[tuple[Place, str]] = field(default_factory=list)

    def hear(self, place: Place, text: str) -> None:
        """Note that a text was taken for something that is no line, such as the portions."""
        self.heard.append((place, text))

    def leave(self, place: Place, text: str, why: str) -> None:
        """Note what became of something that is no line."""
        self.left.append(Left(place, " ".join(text.split()), why))
