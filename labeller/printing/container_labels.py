"""Labels for tubs, jars and boxes in the kitchen: what it is, by when, what is in it. Read on a shelf, in poor light, by someone in a hurry.

The name is the largest thing on the label and the day to use it by the next. What is not known stands white on black.
"""

from collections.abc import Iterator
from dataclasses import replace

from labeller.declarations.allergen_rows import CONTAINS, NONE_DECLARED, UNCONFIRMED
from labeller.declarations.marked_text import MarkedText
from labeller.declarations.paper_alcohol import AlcoholLines
from labeller.declarations.paper_of_tub import TubWords
from labeller.declarations.paper_phrases import phrase
from labeller.foundations.names import capitalised
from labeller.printing import house
from labeller.printing.faces import FaceName, text_width_mm
from labeller.printing.fitting import Block
from labeller.printing.label_layout import (
    BAND_MM,
    BETWEEN_MM,
    LabelPart,
    LabelTooSmall,
    label_scale,
    labels_of,
    one_label,
    space_of,
    stacked,
    surely_too_high,
    with_sizes_that_hold,
)
from labeller.printing.label_stock import LabelStock
from labeller.printing.page import Role
from labeller.printing.setting import Style
from labeller.printing.sheets import Piece

MOST_LABELS = 4
"""What would need more labels than this for one tub is refused: nobody sticks five."""
_USE_BY = 0.8  # of the size of the name
_LONG_NAME = 60
_LEAST_NAME_MM, _LEAST_DAY_MM = 1.95, 1.7
_FEW_LINES = 2
_LOW_MM = 45.0
_TO_WRITE_MM = 2.6
_WORTH_A_CAUTION = 0.4  # of the way from the least size to the full one
_TIGHT_LEADING = 1.18
_WIDE_MM = 85.0
_LEAST_LINE_MM, _GOOD_LINE_MM = 10.0, 22.0


def container_labels(words: TubWords, stock: LabelStock, *, translated: str = "") -> tuple[Piece, ...] | LabelTooSmall:
    """Return the label of one tub: one where it carries all, else several with the name on each.

    Parameters
    ----------
    words : TubWords
        What it says.
    stock : LabelStock
        What it is printed on.
    translated : str
        The allergens in another language, printed below; empty for none.

    Notes
    -----
    The cautions stand on every tub; in full where there is room, else in brief.
    """

    def lay_out(on: LabelStock) -> tuple[Piece, ...] | LabelTooSmall:
        return _lay_out(words, translated, on, measured=False)

    made = _lay_out(words, translated, stock, measured=True)
    return with_sizes_that_hold(made, stock, lay_out) if isinstance(made, LabelTooSmall) else made


def _lay_out(
    words: TubWords, translated: str, stock: LabelStock, *, measured: bool
) -> tuple[Piece, ...] | LabelTooSmall:
    scale = label_scale(house.TUB, stock)
    *fuller, brief = _cautions(words)
    facts = tuple(_parts(words, translated, scale, stock, cautions=brief))
    space = space_of(stock, scale)
    for cautions in fuller:
        parts = tuple(_parts(words, translated, scale, stock, cautions=cautions))
        # Letters a little smaller are worth a caution in full, letters at their least are not.
        if surely_too_high(parts, _WORTH_A_CAUTION, space):
            continue
        if stacked(parts, _WORTH_A_CAUTION, space.width).height <= space.height:
            single = one_label(words.name, parts, stock, scale)
            if single is not None:
                return (single,)
    single = one_label(words.name, facts, stock, scale)
    if single is not None:
        return (single,)
    # Before a second label is begun the text goes into the condensed face, no smaller.
    return labels_of(
        words.name, tuple(_narrow(part) for part in facts), stock, scale, most=MOST_LABELS, measured=measured
    )


def _narrow(part: LabelPart) -> LabelPart:
    style = part.block.style
    if style.role in ("title", "heading"):
        return part
    return replace(part, block=replace(part.block, style=_condensed(style)))


def _condensed(style: Style) -> Style:
    face: FaceName = "narrow-bold" if style.face in ("sans-bold", "narrow-bold") else "narrow"
    return replace(style, face=face, strong="narrow-bold", leading=_TIGHT_LEADING)


def _cautions(words: TubWords) -> tuple[tuple[str, ...], ...]:
    """Return the cautions of a tub, the fullest words first, the briefest last."""
    general, brief = words.caution, phrase("staff_caution_brief")
    if words.alcohol.status != CONTAINS:
        return (general,), (brief,)
    alcohol, alcohol_brief = words.alcohol.caution, phrase("alcohol_caution_brief")
    return (alcohol, general), (alcohol, brief), (f"{alcohol_brief} {brief}",)


def _parts(
    words: TubWords, translated: str, scale: house.Scale, stock: LabelStock, *, cautions: tuple[str, ...]
) -> Iterator[LabelPart]:
    gap, tight = scale.gap_mm, 0.55 * scale.gap_mm
    text = house.body(scale)
    # The name and the day stay larger than the rest however little room there is, unless the name is as long as a sentence.
    large = len(words.name) <= _LONG_NAME
    title = replace(house.plain_title(scale), least_x_height_mm=_LEAST_NAME_MM if large else scale.least_x_height_mm)
    day = replace(
        house.heading(scale),
        size_pt=_USE_BY * scale.title_pt,
        leading=1.12,
        least_x_height_mm=_LEAST_DAY_MM if large else scale.least_x_height_mm,
    )
    name = capitalised(words.name)
    lines = _FEW_LINES if stock.height < _LOW_MM else _FEW_LINES + 1
    yield LabelPart(Block("name", name, title, 1, whole=True, most_lines=lines), repeated=True)
    if words.of:
        yield LabelPart(Block("from", f"from {words.of}", text, 1, 0.6 * tight, 0.4))
    yield from _use_by(words, day, text, gap, tight)
    loud = False
    for part in _contents(words, translated, scale, gap, tight):
        yield part
        loud = part.loud
    for number, caution in enumerate(cautions):
        brief = caution.endswith(phrase("staff_caution_brief"))
        below_band = BAND_MM if loud else 0.0
        space = (0.4 * tight if brief else gap) + below_band
        style = _condensed(house.small_print(scale)) if brief else house.small_print(scale)
        yield LabelPart(Block(f"caution {number + 1}", caution, style, 1, space, min(space, 0.5 + below_band)))
        loud = False
    yield from _foot(words, scale, stock, loud=loud)


def _use_by(words: TubWords, day: Style, text: Style, gap: float, tight: float) -> Iterator[LabelPart]:
    life = words.use_by
    if life.day is None:
        # A line to write the day on; why the book does not tell it stands below.
        yield LabelPart(
            Block("use by", phrase("use_by"), day, 1, gap + 0.6, 1.6, whole=True), write=((phrase("use_by"), True),)
        )
        reason = life.line.partition(phrase("blank"))[2].strip(" ()")
        yield LabelPart(Block("why that day", f"{capitalised(reason)}.", text, 1, tight, 0.6))
        return
    yield LabelPart(Block("use by", life.line, day, 1, gap, 0.7, whole=True, most_lines=1))
    if life.reason:
        yield LabelPart(Block("why that day", life.reason, text, 1, 0.6 * tight, 0.4))


def _contents(words: TubWords, translated: str, scale: house.Scale, gap: float, tight: float) -> Iterator[LabelPart]:
    lines = words.allergens
    first = True
    loud = False
    rows: list[tuple[str, MarkedText, Role, bool]] = [
        ("contains", lines.contains, "allergens", False),
        ("may contain", lines.may_contain, "allergens", False),
        ("nothing declared", lines.sentence, "allergens", False),
        ("not known", lines.ask_about, "allergens", True),
        ("in another language", MarkedText(translated), "allergens", False),
        *_alcohol(words.alcohol),
    ]
    for key, said, role, is_loud in rows:
        if not said.text:
            continue
        style = house.loud(scale, role) if is_loud else house.body(scale, role)
        clear = BAND_MM * (is_loud or loud)
        wide, least = (1.5 * gap, 1.3) if first else (tight, 0.6)
        yield LabelPart(Block(key, said, style, 1, wide + clear, least + clear), loud=is_loud, rule=first)
        first, loud = False, is_loud


def _alcohol(lines: AlcoholLines) -> list[tuple[str, MarkedText, Role, bool]]:
    """Return the line about alcohol, and what is not known of it apart, to stand on black."""
    if lines.status == NONE_DECLARED:
        # In the words of the contract, shorter than a card's: "Not an ingredient".
        said = f"{phrase('alcohol')}: {phrase('none_declared').lower()}."
        said += lines.short.text.partition(f"{phrase('alcohol_none')}.")[2]
        return [("alcohol", MarkedText(said), "alcohol", False)]
    if not lines.ask:
        return [("alcohol", lines.short, "alcohol", False)]
    ask = f"{lines.ask}."
    if lines.status == UNCONFIRMED:
        return [("alcohol not known", lines.short, "alcohol", True)]
    at = lines.short.text.find(f" {ask}")
    if at < 0:
        return [("alcohol", lines.short, "alcohol", False), ("alcohol not known", MarkedText(ask), "alcohol", True)]
    kept = lines.short.text[:at] + lines.short.text[at + len(ask) + 1 :]
    # What is set apart are the drinks, which stand before it.
    spans = tuple(span for span in lines.short.spans if span[1] <= at)
    return [
        ("alcohol", MarkedText(kept, spans), "alcohol", False),
        ("alcohol not known", MarkedText(ask), "alcohol", True),
    ]


def _foot(words: TubWords, scale: house.Scale, stock: LabelStock, *, loud: bool) -> Iterator[LabelPart]:
    """Yield how it is kept, when and by whom it was made and the batch, side by side where there is room, with lines to write on."""
    width = space_of(stock, scale).width
    text = house.body(scale)
    if stock.width < _WIDE_MM:
        text = _condensed(text)
    keeping = " ".join(one for one in (words.storage, words.reheat) if one)
    batch = "" if words.batch == phrase("blank") else words.batch
    gap, clear = 1.5 * scale.gap_mm, BAND_MM if loud else 0.0
    cells = ((words.made, False), ("By", True), (f"Batch {batch}".strip(), not batch))
    beside, with_keeping = cells[:2], ((keeping, False), cells[2])
    rows: list[tuple[tuple[str, bool], ...]] = [beside]
    if _side_by_side(cells, text, width, _GOOD_LINE_MM):
        rows = [cells]
    elif _side_by_side(with_keeping, text, width):
        rows, keeping = [with_keeping, beside], ""
    elif _side_by_side(cells[2:], text, width):
        rows = [beside, cells[2:]]
    else:  # a batch as long as a sentence
        keeping = f"{keeping} {cells[2][0]}."
    if keeping:
        yield LabelPart(
            Block("keeping", keeping, text, 1, gap + clear, 1.4 + clear, keep_with_next=True), low=True, rule=True
        )
    for number, row in enumerate(rows, start=1):
        first = number == 1 and not keeping
        space, least = (gap + clear, 1.4 + clear) if first else (_TO_WRITE_MM, 1.5)
        # The foot stays together: a label with one line to write on alone would look like a mistake.
        last = number == len(rows)
        block = Block(f"to write on {number}", row[0][0], text, 1, space, least, whole=True, keep_with_next=not last)
        yield LabelPart(block, low=True, rule=first, write=row)


def _side_by_side(
    row: tuple[tuple[str, bool], ...], text: Style, width: float, line_mm: float = _LEAST_LINE_MM
) -> bool:
    """Return whether words stand on one line, with room behind those that are to be written on."""
    needed = (len(row) - 1) * BETWEEN_MM
    needed += sum(text_width_mm(words, text.face, text.size_pt) + (line_mm if line else 0.0) for words, line in row)
    return needed <= width
