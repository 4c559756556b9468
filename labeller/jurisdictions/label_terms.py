"""The words of law about labels and offers: tolerances, alcohol, letters, offers, lists, emphasis, statements. Data only."""

from typing import NamedTuple

from labeller.jurisdictions.terms import Citation


class ToleranceBand(NamedTuple):
    """How far from the printed figure a food may lie, by size of the figure.

    ``plus`` and ``minus`` are in the figure's unit, or shares of it [%] where ``percent`` is true; None where that side is free.
    """

    below: str
    up_to: str
    plus: float | None
    minus: float | None
    percent: bool


class Tolerance(NamedTuple):
    """The range of one declared figure; ``bands`` rise, per 100 g or per serving as the law counts.

    ``from_interval`` is true where the range is laid around every figure that prints alike (6.35 to 6.44 g for 6.4 g), false where
    it is laid around the printed figure itself.
    """

    key: str
    unit: str
    bands: tuple[ToleranceBand, ...]
    from_interval: bool
    clause: Citation


class AlcoholRule(NamedTuple):
    """A threshold or a word about alcohol.

    ``kind`` is ``unit`` (``value`` grams of ethanol), ``word`` (``words`` may be used within the bound), ``duty`` (from the bound
    something must be stated) or ``outside`` (within the bound it is not alcohol for that law). ``bound`` is ``above``,
    ``at or above``, ``at most`` or ``below``; ``unit`` is % vol or g.
    """

    key: str
    kind: str
    bound: str
    value: float | None
    unit: str
    words: str
    clause: Citation


class LetterRule(NamedTuple):
    """The least size of letters.

    ``measure`` is ``x_height_mm``, ``letter_height_mm`` or ``point``, ``least`` 0 where no size is set; the rule holds for faces from ``face_at_least_cm2`` up to but not
    ``face_below_cm2`` (None: no bound); ``bold`` is ``required``, ``forbidden`` or empty.
    """

    key: str
    what: str
    measure: str
    least: float
    face_at_least_cm2: float | None
    face_below_cm2: float | None
    bold: str
    clause: Citation


class OfferRule(NamedTuple):
    """What one kind of offer needs.

    ``needs`` are the particulars in the law's order; ``allergens`` says how they are given (``in the list``, ``written``,
    ``written or spoken with a notice``, ``on request``, ``not required``); ``nutrition`` is ``required``, ``voluntary`` or
    ``exempt``; ``notes`` are for people.
    """

    key: str
    needs: tuple[str, ...]
    allergens: str
    nutrition: str
    notes: str
    clause: Citation


class ListRule(NamedTuple):
    """A rule of the list of ingredients.

    Attributes
    ----------
    key : str
        ``order``, ``small ingredients``, ``added water``, ``compound ingredients``, ``additives``, ``quantity``.
    percent : float or None
        The share of the finished food that the rule turns on. [%]
    counts : bool
        True where the share itself already falls under the rule.
    words : str
        The rule in words.
    phrase : dict
        Words to print, by language; ``{percent}`` stands for a figure.
    classes : tuple of str
        Names of the classes of additives.
    """

    key: str
    percent: float | None
    counts: bool
    words: str
    phrase: dict[str, str]
    classes: tuple[str, ...]
    clause: Citation


class Emphasis(NamedTuple):
    """How allergens stand out on a label.

    ``where`` is ``list`` (in the list, set apart), ``contains`` (a Contains line or the word in the list) or ``both``;
    ``style`` is ``any``, ``bold`` or ``none``; ``contains_line`` is ``only without a list``, ``optional`` or ``required``;
    ``contains_word`` heads that line.
    """

    where: str
    style: str
    contains_line: str
    contains_word: str
    required: bool
    clause: Citation


class Statement(NamedTuple):
    """Words that the law prescribes, by language, and when they are due.

    ``prescribed`` is false where the text is recommended or stands here only for its sense.
    """

    key: str
    texts: dict[str, str]
    when: str
    prescribed: bool
    clause: Citation


class PanelRule(NamedTuple):
    """How the nutrition declaration is drawn.

    ``texts`` are words by language, ``{...}`` standing for what is put in; ``choices`` the ways the law leaves, the first one
    ours; ``points`` a thickness or size. One of them is given.
    """

    key: str
    texts: dict[str, str]
    choices: tuple[str, ...]
    points: float | None
    clause: Citation


class FrontOfPackRule(NamedTuple):
    """From where a figure is called low, medium or high.

    ``kind`` is ``food`` (bounds per 100 g, portions in g) or ``drink`` (per 100 ml, portions in ml). Low up to ``low_up_to``, the
    bound itself included; high above ``high_above``, and of portions larger than ``portion_above`` above
    ``high_above_per_portion`` too; what lies between is medium.
    """

    nutrient: str
    kind: str
    low_up_to: float
    high_above: float
    high_above_per_portion: float
    portion_above: float
    clause: Citation


class Coverage(NamedTuple):
    """How complete one subject of a jurisdiction is.

    ``status`` is ``whole``, ``partial`` or ``unconfirmed``; ``rows`` and ``confirmed_rows`` are counted by the build.
    """

    subject: str
    status: str
    note: str
    rows: int
    confirmed_rows: int
