"""Two pictures of the alcohol of a preparation: its strength over the days of steeping, and where it went.

The colours are those of Okabe and Ito, Color Universal Design (2008), which people with any colour vision can tell apart; every line
and stream is named beside it as well, so that no meaning hangs on colour alone.
"""

import textwrap
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from labeller.declarations.alcohol_courses import Steeping, Stream, steeping_of, streams_of
from labeller.foundations.names import capitalised
from labeller.kitchen.working_out import Workings
from labeller.printing.drawing import Area, Drawing, Shape, Trace, Words, stacked

BLUE, VERMILLION, SKY, ORANGE, GREY, INK = "#0072B2", "#D55E00", "#56B4E9", "#E69F00", "#999999", "#222222"
_SOFT = "#666666"
_RULE = "#e3e3e3"
_WIDTH = 960.0

PAST_READY = 1.15
"""The days drawn, as a multiple of the time the book gives, so that the end is seen to be flat or not. [1]"""

_LEFT, _RIGHT, _TOP, _BOTTOM = 70.0, 800.0, 92.0, 420.0
_PART_COLOURS = {"put in": BLUE, "part": SKY, "steam": ORANGE, "left": GREY}
_LINE = 15.0
_LABEL_LETTERS = 25
_LETTER = 8.2  # width of a bold letter of 12.5 units, about


def pictures_of(workings: Workings, preparation: str) -> Drawing:
    """Return the pictures of a preparation on one sheet: the steeping, where there is one, above where the alcohol went."""
    steeping = steeping_of(workings, preparation, beyond=PAST_READY)
    drawings = [] if steeping is None else [picture_of_steeping(steeping)]
    drawings.append(picture_of_streams(streams_of(workings, preparation)))
    return stacked(drawings)


def picture_of_steeping(steeping: Steeping) -> Drawing:
    """Draw strength over days: liquor and the liquid in the fruit, each with its range."""
    most_days = float(steeping.days[-1])
    most_strength = _nice_top(
        max(steeping.poured_percent_vol, float(steeping.liquor.max()), float(steeping.fruit.max()))
    )

    def place(day: float, strength: float) -> tuple[float, float]:
        return (
            _LEFT + (_RIGHT - _LEFT) * day / most_days,
            _BOTTOM - (_BOTTOM - _TOP) * strength / most_strength,
        )

    solids = " and ".join(steeping.solids)
    title = f"{capitalised(steeping.preparation)}: strength over the days"
    shapes: list[Shape] = [
        _fitting((24.0, 34.0), title, 20.0, bold=True),
        _fitting(
            (24.0, 58.0),
            f"{solids} ({steeping.words}) in {' and '.join(steeping.liquids)}. Line: estimate. Shade: from the low to the high end.",
            12.5,
        ),
    ]
    step = _nice_step(most_strength, 7)
    for number in range(round(most_strength / step) + 1):
        y = place(0.0, number * step)[1]
        shapes += [
            Trace(((_LEFT, y), (_RIGHT, y)), _RULE),
            Words((_LEFT - 8.0, y + 4.5), f"{number * step:g}", 12.5, "end", colour=_SOFT),
        ]
    shapes.append(Words((24.0, _TOP - 12.0), "% vol at 20 °C", 12.5, colour=_SOFT))
    day_step = _nice_day_step(most_days)
    for number in range(int(most_days / day_step + 1e-9) + 1):
        x = place(number * day_step, 0.0)[0]
        shapes += [
            Trace(((x, _BOTTOM), (x, _BOTTOM + 5.0)), _SOFT),
            Words((x, _BOTTOM + 21.0), f"{number * day_step:g}", 12.5, "middle", colour=_SOFT),
        ]
    unit = f"days since the {_solids_word(steeping)} went in"
    shapes.append(Words(((_LEFT + _RIGHT) / 2.0, _BOTTOM + 44.0), unit, 12.5, "middle", colour=_SOFT))
    for series, colour in ((steeping.fruit, VERMILLION), (steeping.liquor, BLUE)):
        lower = [place(day, one) for day, one in zip(steeping.days.tolist(), series[:, 0].tolist(), strict=True)]
        upper = [place(day, one) for day, one in zip(steeping.days.tolist(), series[:, 2].tolist(), strict=True)]
        shapes.append(Area((*upper, *reversed(lower)), colour, 0.22))
    for series, colour, dash in ((steeping.fruit, VERMILLION, (9.0, 5.0)), (steeping.liquor, BLUE, ())):
        line = tuple(place(day, one) for day, one in zip(steeping.days.tolist(), series[:, 1].tolist(), strict=True))
        shapes.append(Trace(line, colour, 2.6, dash))
    shapes += _dot(place(0.0, steeping.poured_percent_vol), BLUE)
    x, y = place(0.0, steeping.poured_percent_vol)
    shapes.append(
        Words(
            (x + 12.0, y + 4.5),
            f"before the {_solids_word(steeping)} goes in: {steeping.poured_percent_vol:.1f} % vol",
            13.0,
            colour=BLUE,
        )
    )
    shapes += _named_lines(steeping, place)
    shapes += _at_the_end(steeping, place)
    shapes.append(Trace(((_LEFT, _BOTTOM), (_RIGHT, _BOTTOM)), _SOFT, 1.2))
    return Drawing(_WIDTH, _BOTTOM + 62.0, title, tuple(shapes))


def _named_lines(steeping: Steeping, place: "_Place") -> list[Shape]:
    """Write each line's name beside it, where the two still stand apart."""
    gap = steeping.liquor[:, 1] - steeping.fruit[:, 1]
    wide = np.nonzero(gap >= 0.35 * float(gap.max()))[0]
    at = int(wide[-1]) if len(wide) else len(gap) // 4
    day = float(steeping.days[at])
    above = place(day, float(steeping.liquor[at, 2]))
    below = place(day, float(steeping.fruit[at, 0]))
    return [
        Words((above[0] + 10.0, above[1] - 10.0), "the liquor", 14.0, bold=True, colour=BLUE),
        Words(
            (below[0] + 12.0, below[1] + 24.0),
            f"the liquid in the {_solids_word(steeping)}",
            14.0,
            bold=True,
            colour=VERMILLION,
        ),
    ]


def _at_the_end(steeping: Steeping, place: "_Place") -> list[Shape]:
    day = steeping.ready_days
    x = place(day, 0.0)[0]
    shapes: list[Shape] = [Trace(((x, _TOP), (x, _BOTTOM)), _SOFT, 1.2, (3.0, 3.0))]
    shapes.append(Words((x, _TOP - 8.0), f"strained after {_days(day)}", 12.5, "middle", colour=INK))
    ends = []
    for name, series, colour in (
        ("liquor", steeping.liquor, BLUE),
        (_solids_word(steeping), steeping.fruit, VERMILLION),
    ):
        low, estimate, high = (float(np.interp(day, steeping.days, series[:, column])) for column in range(3))
        # The two may end at one strength: the larger dot then shows as a ring round the smaller.
        shapes += _dot(place(day, estimate), colour, 8.0 if name == "liquor" else 4.5)
        ends.append((name, low, estimate, high, colour))
    ys = [place(day, end[2])[1] for end in ends]
    # The two often end at one strength: their words then stand one above, one below.
    spread = max(0.0, 48.0 - abs(ys[1] - ys[0])) / 2.0
    for (name, low, estimate, high, colour), y, side in zip(ends, ys, (-1.0, 1.0), strict=True):
        base = y + side * spread
        shapes.append(Words((_RIGHT + 12.0, base), f"{name} {estimate:.1f} % vol", 13.0, bold=True, colour=colour))
        shapes.append(Words((_RIGHT + 12.0, base + _LINE), f"{low:.1f} to {high:.1f}", 12.0, colour=colour))
    return shapes


class _Place(Protocol):
    """The type of a function that places day and strength on the sheet."""

    def __call__(self, day: float, strength: float) -> tuple[float, float]:
        """Return where a strength on a day stands on the sheet."""


def _solids_word(steeping: Steeping) -> str:
    return steeping.words if steeping.words in ("peel", "spice") else "fruit"


def _fitting(at: tuple[float, float], text: str, size: float, *, bold: bool = False) -> Words:
    """Return a heading whose letters shrink where it would run off the sheet; at least half their size."""
    wide = len(text) * size * (0.68 if bold else 0.6)
    room = _WIDTH - 2.0 * at[0]
    return Words(at, text, max(size / 2.0, size * min(1.0, room / wide)), bold=bold, colour=INK if bold else _SOFT)


def _dot(at: tuple[float, float], colour: str, radius: float = 5.0) -> list[Shape]:
    turn = np.linspace(0.0, 2.0 * np.pi, 24, endpoint=False)
    ring = [(at[0] + radius * float(np.cos(one)), at[1] + radius * float(np.sin(one))) for one in turn]
    return [Area(tuple(ring), colour)]


def _days(days: float) -> str:
    if days < 2.0:
        return f"{days * 24.0:.0f} hours"
    return f"{days:g} days" if abs(days - round(days)) > 1e-9 else f"{days:.0f} days"


def _nice_step(most: float, wanted: int) -> float:
    raw = most / wanted
    size = 10.0 ** np.floor(np.log10(raw))
    return float(next(one * size for one in (1.0, 2.0, 5.0, 10.0) if one * size >= raw - 1e-12))


def _nice_top(most: float) -> float:
    step = _nice_step(most * 1.08, 7)
    return float(np.ceil(most * 1.08 / step) * step)


def _nice_day_step(most: float) -> float:
    return next((one for one in (0.125, 0.25, 0.5, 1.0, 2.0, 7.0, 14.0, 28.0, 91.0) if most / one <= 8.0), 182.0)


@dataclass(frozen=True, slots=True)
class _Bar:
    """A stream as a bar on the sheet."""

    stream: Stream
    x: float
    y: float
    height: float
    onward: "tuple[_Bar, ...]"


_BAR = 16.0
_LEAST_SLOT = 44.0
_GAP = 10.0


def picture_of_streams(stream: Stream) -> Drawing:
    """Draw where the ethanol went: bars as high as their grams, streams between them, every bar named with its grams and share."""
    per_g = 300.0 / max(stream.ethanol_g, 1e-9)
    columns = _depth(stream)
    across = (_WIDTH - 24.0 - 200.0 - _BAR) / max(1, columns - 1) if columns > 1 else 0.0
    top = 84.0
    bar = _laid(stream, 24.0, top, per_g, across)
    height = top + _slot(stream, per_g) + 40.0
    title = f"{capitalised(stream.label)}: where the alcohol went"
    shapes: list[Shape] = [
        _fitting((24.0, 34.0), title, 20.0, bold=True),
        _fitting(
            (24.0, 58.0),
            "Grams of ethanol by the estimate, each as a share of what went in. What the book makes of a part is made once.",
            12.5,
        ),
    ]
    shapes += _flows(bar, per_g)
    shapes += _bars(bar, stream.ethanol_g)
    x = 24.0
    for colour, words in (
        (SKY, "still in the food"),
        (ORANGE, "gone with steam or flame"),
        (GREY, "left behind or thrown away"),
    ):
        shapes.append(Area(_box(x, height - 25.0, 13.0, 13.0), colour))
        shapes.append(Words((x + 20.0, height - 14.0), words, 12.5))
        x += 20.0 + len(words) * _LETTER + 30.0
    return Drawing(_WIDTH, height, title, tuple(shapes))


def _depth(stream: Stream) -> int:
    return 1 + max((_depth(one) for one in stream.onward), default=0)


def _slot(stream: Stream, per_g: float) -> float:
    own = max(stream.ethanol_g * per_g, _LEAST_SLOT, _LINE * (len(_label(stream.label)) + 1) + 8.0)
    return max(own, sum(_slot(one, per_g) for one in stream.onward) + _GAP * max(0, len(stream.onward) - 1))


def _laid(stream: Stream, x: float, y: float, per_g: float, across: float) -> _Bar:
    slot = _slot(stream, per_g)
    height = max(2.0, stream.ethanol_g * per_g)
    at = y
    onward = []
    for one in stream.onward:
        onward.append(_laid(one, x + across, at, per_g, across))
        at += _slot(one, per_g) + _GAP
    return _Bar(stream, x, y + (slot - height) / 2.0, height, tuple(onward))


def _flows(bar: _Bar, per_g: float) -> list[Shape]:
    found: list[Shape] = []
    start = bar.y
    for one in bar.onward:
        thick = one.stream.ethanol_g * per_g
        turn = np.linspace(0.0, 1.0, 40)
        ease = turn * turn * (3.0 - 2.0 * turn)
        x = bar.x + _BAR + (one.x - bar.x - _BAR) * turn
        upper = start + (one.y - start) * ease
        points = [*zip(x.tolist(), upper.tolist(), strict=True)]
        lower = [*zip(x.tolist(), (upper + max(thick, 1.0)).tolist(), strict=True)]
        found.append(Area((*points, *reversed(lower)), _PART_COLOURS[one.stream.kind], 0.32))
        start += thick
        found += _flows(one, per_g)
    return found


def _bars(bar: _Bar, total_g: float) -> list[Shape]:
    found: list[Shape] = [Area(_box(bar.x, bar.y, _BAR, bar.height), _PART_COLOURS[bar.stream.kind])]
    lines = _label(bar.stream.label) if bar.stream.kind != "put in" else ["put in"]
    tall = _LINE * (len(lines) + 1)
    above = bool(bar.onward) and bar.height < tall
    # A thin stream would run through its own name, so the name stands above it.
    y = bar.y - tall + 8.0 if above else bar.y + bar.height / 2.0 - tall / 2.0 + 11.0
    x = bar.x + _BAR + 7.0
    share = 100.0 * bar.stream.ethanol_g / total_g if total_g > 0.0 else 0.0
    shown = f"{share:.0f} %" if share >= 0.95 else f"{share:.1f} %"
    figure = f"{_grams(bar.stream.ethanol_g)}, {shown}"
    if bar.onward and not above:
        wide = max(len(line) for line in (*lines, figure)) * _LETTER + 8.0
        found.append(Area(_box(x - 4.0, y - 14.0, wide, tall + 5.0), "#ffffff", 0.75))
    for line in lines:
        found.append(Words((x, y), line, 12.5, bold=True))
        y += _LINE
    found.append(Words((x, y), figure, 12.0))
    for one in bar.onward:
        found += _bars(one, total_g)
    return found


def _box(x: float, y: float, width: float, height: float) -> tuple[tuple[float, float], ...]:
    return (x, y), (x + width, y), (x + width, y + height), (x, y + height)


def _grams(value: float) -> str:
    return f"{value:.0f} g" if value >= 99.5 else f"{value:.1f} g" if value >= 0.95 else f"{value:.2f} g"


def _label(label: str) -> list[str]:
    return textwrap.wrap(label, _LABEL_LETTERS, break_on_hyphens=False)
