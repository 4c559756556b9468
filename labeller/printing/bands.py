"""A band: a filled box with a text in it that looks centred, for what must not be missed and for heads."""

from labeller.declarations.marked_text import MarkedText
from labeller.printing.page import Box, Fill, Item
from labeller.printing.setting import Style, set_text

PADDING_MM = 2.2


def band(
    text: str | MarkedText,
    style: Style,
    at: tuple[float, float],
    width_mm: float,
    block: str,
    padding_mm: float = PADDING_MM,
) -> tuple[tuple[Item, ...], float]:
    """Return a band and how tall it is.

    Parameters
    ----------
    text : str or MarkedText
        Its words.
    style : Style
        How they are set; the ground of its ink fills the band (`house.loud`: black, `house.table_head`: the pale tint).
    at : (x, y)
        Top left corner. [mm]
    width_mm : float
        Width of the band. [mm]
    block : str
        Name of the paragraph.
    padding_mm : float
        Space beside the text and above its capitals. [mm]
    """
    x, y = at
    done = set_text(text, style, width_mm - 2.0 * padding_mm)
    if not done.lines:
        return (), 0.0
    # As much above the capitals as below the last base line; accents and letters that reach lower hang into that space.
    height = done.seen_height + 2.0 * max(padding_mm, done.rise - done.capitals, done.drop)
    box = Box(x, y, width_mm, height)
    lines = done.placed(x + padding_mm, y + done.down_to_middle(height), block, box=box)
    return (Fill(box, style.ink.ground), *lines), height
