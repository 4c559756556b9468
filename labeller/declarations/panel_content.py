"""What a nutrition declaration says, line by line, before it is drawn: no sizes, no places, no paper."""

from labeller.foundations.faults import Origin
from labeller.foundations.plain import dataclass
from labeller.jurisdictions.in_force import LawInForce

NOT_KNOWN = "not known"
"""What stands for a figure that is missing, never 0 and never blank."""


class PanelRefusedError(ValueError):
    """A panel is asked for in a way its law does not have; the message says the mend."""


class OneRefusedError(PanelRefusedError):
    """One thing has no such panel, whatever others have."""


class NoPortionError(OneRefusedError):
    """A panel counts by a portion, and nobody says how much that is."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"'{name}': how much a portion is, is not known. Write --of \"{name}\" --serving \"2 pieces (60 g)\", or 'makes: 8' in its entry."
        )


@dataclass(frozen=True, slots=True)
class Serving:
    """What one portion is.

    Attributes
    ----------
    grams : float
        Its weight. [g]
    millilitres : float or None
        Its volume where it pours. [ml]
    measures : tuple of str
        The household measure in each language of the panel ('2 pieces'), empty where there is none.
    size : str
        The metric size as printed ('60 g').
    """

    grams: float
    millilitres: float | None
    measures: tuple[str, ...]
    size: str

    def words(self, language: int = 0) -> str:
        """Return it as printed: '2 pieces (60 g)', or '60 g' where no measure is known."""
        measure = self.measures[language] if language < len(self.measures) else ""
        return f"{measure} ({self.size})" if measure else self.size


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure as printed, with its unit; `NOT_KNOWN` where it is missing."""

    text: str
    known: bool = True


@dataclass(frozen=True, slots=True)
class Column:
    """A column of figures: ``per_100_g`` or ``per_portion``, and its head."""

    basis: str
    head: str


@dataclass(frozen=True, slots=True)
class PanelLine:
    """One line.

    Attributes
    ----------
    key : str
        The figure.
    names : tuple of str
        Its name in each language of the panel; empty where the line goes on from the one above (kcal under kJ).
    indent : int
        How far it stands in.
    amounts : tuple of Figure
        One for each column; none where the name holds it.
    percent : Figure or None
        Its share of a day's amount.
    percent_with : str
        The figure whose percentage it shares: printed once for both.
    part : str
        ``energy``, ``nutrients``, or ``minerals`` for vitamins and minerals set off by themselves.
    bold : bool
        Whether the law wants its name set apart.
    """

    key: str
    names: tuple[str, ...]
    indent: int
    amounts: tuple[Figure, ...]
    percent: Figure | None
    percent_with: str
    part: str
    bold: bool

    @property
    def known(self) -> bool:
        """Whether every figure of the line is known."""
        return all(one.known for one in self.amounts) and (self.percent is None or self.percent.known)


@dataclass(frozen=True, slots=True)
class Gap:
    """An ingredient without a figure.

    ``share`` is of the ingoing weight; ``needs`` are the figures to be written in its entry, by their keys there;
    ``has_row`` tells whether it has a row of the reference table, which then lacks the figure too.
    """

    ingredient: str
    share: float
    origin: Origin
    from_shelf: bool
    has_row: bool
    needs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MissingFigure:
    """A figure the law's panel must carry that is not known, and which ingredients lack it; none where the tool does not work it out."""

    key: str
    name: str
    gaps: tuple[Gap, ...]


@dataclass(frozen=True, slots=True)
class Panel:
    """The nutrition declaration of one thing.

    Attributes
    ----------
    name : str
        The dish or the given thing.
    law : LawInForce
        Whose panel.
    form : str
        How it is drawn: ``table``, ``vertical``, ``tabular``, ``simplified``, ``bilingual``.
    languages : tuple of str
        Languages of its words, in order.
    title : tuple of str
        Its heading in each.
    serving : Serving or None
        One portion; None where the panel speaks of 100 g alone.
    servings : str
        How many portions a pack holds, as printed; empty where it is not printed.
    above : tuple of str
        Whole lines above the table.
    columns : tuple of Column
        The columns of figures.
    percent_head : tuple of str
        Head of the column of percentages in each language; empty where there is none.
    lines : tuple of PanelLine
        In the law's order.
    statements : tuple of str
        Prescribed words under the table.
    missing : tuple of MissingFigure
        What must be there and is not known.
    """

    name: str
    law: LawInForce
    form: str
    languages: tuple[str, ...]
    title: tuple[str, ...]
    serving: Serving | None
    servings: str
    above: tuple[str, ...]
    columns: tuple[Column, ...]
    percent_head: tuple[str, ...]
    lines: tuple[PanelLine, ...]
    statements: tuple[str, ...]
    missing: tuple[MissingFigure, ...]

    @property
    def incomplete(self) -> bool:
        """Whether a figure it must carry is missing."""
        return bool(self.missing)

    def part(self, name: str) -> tuple[PanelLine, ...]:
        """Return the lines of one part."""
        return tuple(line for line in self.lines if line.part == name)

    def word(self, key: str, language: int = 0) -> str:
        """Return a word of the law's panel, empty where it has none."""
        rule = self.law.panel.get(key)
        return rule.texts.get(self.languages[language], "") if rule is not None else ""
