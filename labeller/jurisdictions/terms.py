"""The words of law as values: citations, groups, exemptions, lines, bands. Data only; no rule is applied here.

They are named tuples and not frozen dataclasses because every answer imports them: twenty dataclasses take 9 ms to make at each
start, twenty named tuples 2 ms, and both are immutable.
"""

from datetime import date
from typing import NamedTuple


class Citation(NamedTuple):
    """Where a value of law stands.

    Attributes
    ----------
    title, pinpoint, url : str
        The law or the official guidance, the place in it, its official address.
    applies_from : date
        First day of the value.
    read_on : date or None
        The day the text, or a page restating it, was read; None where it rests on memory alone.
    confirmed : bool
        True only where the text itself was read; then ``ground`` may still say what else it rests on.
    ground : str
        What an unconfirmed value rests on, in words people can read.
    """

    title: str
    pinpoint: str
    url: str
    applies_from: date
    read_on: date | None
    confirmed: bool
    ground: str = ""

    def as_text(self) -> str:
        """Return the clause in one line, with its doubt if there is one."""
        doubt = "" if self.confirmed else f" (not confirmed: {self.ground})"
        return f"{self.title}, {self.pinpoint}{doubt}"


class AllergenGroup(NamedTuple):
    """One group of allergens that a law regulates.

    Attributes
    ----------
    name : str
        Our name for the group (``gluten``).
    title : str
        The law's own words.
    kinds, sources : tuple of str
        What belongs to it: every source of these kinds, and these single sources.
    open_sources : tuple of str
        Sources too general to tell: they may belong to the group and leave it unconfirmed.
    examples : tuple of str
        What to say at the table.
    species_named : bool
        True where the law wants the single species or kind named, not the group.
    clause : Citation
        Where the law says so.
    """

    name: str
    title: str
    kinds: tuple[str, ...]
    sources: tuple[str, ...]
    open_sources: tuple[str, ...]
    examples: tuple[str, ...]
    species_named: bool
    clause: Citation

    def includes(self, source: str, kind: str) -> bool:
        """Tell whether a source of a kind belongs to the group."""
        return source in self.sources or kind in self.kinds

    def left_open_by(self, source: str) -> bool:
        """Tell whether a source is too general to settle the group."""
        return source in self.open_sources


class Exemption(NamedTuple):
    """A derivation that a law frees from being declared.

    ``needs_proof`` is true where freedom depends on something only a supplier's paper can show (no protein left); without
    that paper the source is still declared. ``condition`` says in words when it is free.
    """

    source: str
    derivation: str
    condition: str
    needs_proof: bool
    clause: Citation


class SourceName(NamedTuple):
    """How a source may be named in a list or a Contains line.

    ``words`` are the permitted names, the first one ours; ``group_word`` is the word that must stand beside it unless the name
    shows it already (``fish`` beside ``cod``), empty where the name alone is enough; ``in_contains`` are the words for it in a
    Contains line (``gluten`` for barley in Australia); ``required`` is false where the law leaves the choice.
    """

    source: str
    words: tuple[str, ...]
    group_word: str
    in_contains: tuple[str, ...]
    required: bool
    clause: Citation | None


class SulphiteLimit(NamedTuple):
    """The concentration from which sulphites are declared.

    ``value`` is total SO2 [mg/kg]; ``limit_counts`` is true where the limit itself is already declared.
    """

    value: float
    limit_counts: bool
    clause: Citation


class EnergyFactor(NamedTuple):
    """Energy of one gram of a nutrient: ``kj`` [kJ/g], ``kcal`` [kcal/g]."""

    nutrient: str
    kj: float
    kcal: float
    clause: Citation


class EnergyMethod(NamedTuple):
    """How energy is worked out.

    ``source`` is ``each`` (kJ and kcal each from its own factors), ``kcal`` (kJ = kcal x ``kj_per_kcal``) or ``kj``
    (kcal = kJ / ``kj_per_kcal``).
    """

    source: str
    kj_per_kcal: float | None
    clause: Citation


class Definition(NamedTuple):
    """What a word of the nutrition panel means in this law."""

    term: str
    value: str
    words: str
    clause: Citation


class Definitions(NamedTuple):
    """The definitions that change figures.

    Attributes
    ----------
    carbohydrate_with_fibre : bool
        True where carbohydrate is total carbohydrate.
    protein : str
        ``nitrogen x 6.25`` or ``as the table gives it``.
    salt_or_sodium : str
        ``salt`` (sodium x 2.5) or ``sodium``.
    each : dict
        Every definition by its term, with its words and clause.
    """

    carbohydrate_with_fibre: bool
    protein: str
    salt_or_sodium: str
    each: dict[str, Definition]


class NutrientLine(NamedTuple):
    """One line of a nutrition declaration, in the law's order.

    ``offers`` are the kinds of offer the line belongs to and ``mandatory`` those of them where it must stand; ``basis`` holds
    ``per_100_g`` and ``per_portion`` as the law wants them, first the one that must be given.
    """

    key: str
    label: str
    unit: str
    indent: int
    offers: tuple[str, ...]
    mandatory_for: tuple[str, ...]
    basis: tuple[str, ...]
    clause: Citation

    @property
    def mandatory(self) -> bool:
        """Tell whether the line must stand in a declaration on a package."""
        return "prepacked" in self.mandatory_for


class Band(NamedTuple):
    """One step of a rule that goes by size.

    The first band that takes the value counts: ``up_to`` takes the bound itself, ``below`` does not, neither takes all that is
    left. Bounds and steps are decimal text so that 0.1 is a tenth.
    """

    up_to: str = ""
    below: str = ""
    nearest: str = ""
    significant: int = 0
    show: str = ""
    instead: str = ""


class RoundingRule(NamedTuple):
    """How one figure is rounded: bands in rising order, ties half up.

    ``zeros`` is ``kept`` where 6.0 stays 6.0 and ``dropped`` where it is printed 6.
    """

    key: str
    unit: str
    bands: tuple[Band, ...]
    zeros: str
    clause: Citation


class Intake(NamedTuple):
    """A reference intake or Daily Value of one adult a day, in ``unit``.

    ``percent`` is ``shown``, ``optional`` or ``never``; ``together_with`` names the figure that shares its percentage.
    """

    key: str
    value: float
    unit: str
    percent: str
    together_with: str
    clause: Citation
