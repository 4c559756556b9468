"""Tones of ink and ground, and the contrast between them.

Paper of ours is black on white, with greys for what matters less and white on black for what must not be missed. A pair of tones too close to be
read cannot be made: `Ink` refuses it.

References
----------
.. [1] Web Content Accessibility Guidelines (WCAG) 2.1, W3C Recommendation 2018, "relative luminance" and "contrast ratio"; success criteria
   1.4.3 (at least 4.5:1) and 1.4.6 (at least 7:1). Written for screens; we know no standard for paper and hold paper to it.
"""

from dataclasses import dataclass

LEAST_CONTRAST = 4.5
"""Least contrast of any text with its ground: success criterion 1.4.3 of [1]."""
LEAST_CONTRAST_OF_WARNINGS = 7.0
"""Least contrast of allergens, alcohol and cautions: success criterion 1.4.6 of [1]."""

Colour = tuple[int, int, int]


def relative_luminance(colour: Colour) -> float:
    """Return the relative luminance of a colour in sRGB, 0 for black to 1 for white [1]_.

    Parameters
    ----------
    colour : Colour
        Red, green and blue, 0 to 255.
    """
    red, green, blue = (_linear(part / 255.0) for part in colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(part: float) -> float:
    # 0.03928 is the threshold as WCAG 2.1 prints it (sRGB itself has 0.04045); for 8-bit values both give the same.
    return part / 12.92 if part <= 0.03928 else float(((part + 0.055) / 1.055) ** 2.4)


def contrast_ratio(one: Colour, other: Colour) -> float:
    """Return the contrast of two colours, from 1 (the same) to 21 (black on white) [1]_."""
    lighter, darker = sorted((relative_luminance(one), relative_luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def grey(level: int) -> Colour:
    """Return the grey of a level, 0 black to 255 white."""
    return level, level, level


@dataclass(frozen=True, slots=True)
class Ink:
    """A grey of letters on a grey of ground, 0 black to 255 white.

    Raises
    ------
    ValueError
        On creation if the two are closer than `LEAST_CONTRAST`.
    """

    letters: int = 0
    ground: int = 255

    def __post_init__(self) -> None:
        if not (0 <= self.letters <= 255 and 0 <= self.ground <= 255):
            raise ValueError(f"Greys go from 0 to 255: {self.letters} on {self.ground} is outside.")
        if self.contrast < LEAST_CONTRAST:
            raise ValueError(
                f"Grey {self.letters} on grey {self.ground} has a contrast of {self.contrast:.2f}:1; letters need {LEAST_CONTRAST}:1 at least."
            )

    @property
    def contrast(self) -> float:
        """The contrast ratio of letters and ground."""
        return contrast_ratio(grey(self.letters), grey(self.ground))

    @property
    def fit_for_warnings(self) -> bool:
        """Whether allergens, alcohol and cautions may be set in it."""
        return self.contrast >= LEAST_CONTRAST_OF_WARNINGS


BLACK = Ink(0, 255)
QUIET = Ink(84, 255)
"""Dark grey: what matters less. 7.6:1, so that it may carry a caution too."""
REVERSED = Ink(255, 0)
"""White on black: what must not be missed."""
ON_TINT = Ink(0, 236)
"""Black on the pale tint of table heads."""
TINT = 236
"""The pale tint itself."""
