"""What no layout may do: run together, leave its box or the printable page, leave a line alone, set letters too small or too pale.

The painter asks before it paints; a problem found here is a bug of what laid the page out, and the page is not painted.
"""

from collections import defaultdict
from dataclasses import dataclass

from labeller.printing.faces import face, text_width_mm
from labeller.printing.page import WARNINGS, Box, Document, Fill, Page, Rule, TextLine
from labeller.printing.tones import LEAST_CONTRAST, LEAST_CONTRAST_OF_WARNINGS, contrast_ratio, grey

TOLERANCE_MM = 0.02
"""What rounding may add up to; a printer's own step is about 0.04 mm (600 to the inch)."""
_WHITE = 255


@dataclass(frozen=True, slots=True)
class LayoutProblem:
    """A broken rule: which, on which page (from 1), the words it concerns, and the figures."""

    rule: str
    page: int
    words: str
    detail: str

    def as_text(self) -> str:
        """Return it in one line."""
        return f"page {self.page}: {self.rule}: '{self.words}': {self.detail}"


def layout_problems(document: Document) -> tuple[LayoutProblem, ...]:
    """Return every place where a layout breaks a rule; none means it may be painted."""
    found: list[LayoutProblem] = []
    for number, page in enumerate(document.pages, start=1):
        missing = _missing_letters(page, number)
        if missing:
            # Such a line has neither width nor outline to be held to anything.
            return tuple(missing)
    for number, page in enumerate(document.pages, start=1):
        found += _outside(page, number)
        found += _overlaps(page, number)
        found += _letters(page, number)
        found += _contrast(page, number)
        found += _lone_words(page, number)
        found += _rules_outside(page, number)
    return (*found, *_lone_lines(document))


def _outside(page: Page, number: int) -> list[LayoutProblem]:
    found: list[LayoutProblem] = []
    for line in page.lines:
        ink = line.ink_box
        if not line.box.holds(ink, TOLERANCE_MM):
            found.append(LayoutProblem("outside its box", number, line.text, f"{_box(ink)} in {_box(line.box)}"))
        if not page.printable.holds(ink, TOLERANCE_MM):
            found.append(
                LayoutProblem(
                    "outside the printable page", number, line.text, f"{_box(ink)} in {_box(page.printable)}"
                )
            )
        true = sum(text_width_mm(run.text, run.face, run.size_pt) for run in line.runs)
        if abs(true - line.width) > TOLERANCE_MM:
            found.append(
                LayoutProblem("width not its own", number, line.text, f"{line.width:.2f} mm said, {true:.2f} mm set")
            )
    return found


def _rules_outside(page: Page, number: int) -> list[LayoutProblem]:
    """Rules and fills must lie on the page; what a printer cannot reach of them is lost, which matters for all but crop marks."""
    whole = Box(0.0, 0.0, page.width, page.height)
    found: list[LayoutProblem] = []
    for item in page.items:
        if isinstance(item, Rule):
            box = Box(min(item.x1, item.x2), min(item.y1, item.y2), abs(item.x2 - item.x1), abs(item.y2 - item.y1))
            if not (whole if item.crop else page.printable).holds(box, TOLERANCE_MM):
                found.append(LayoutProblem("outside the printable page", number, "a rule", _box(box)))
        elif isinstance(item, Fill) and not whole.holds(item.box, TOLERANCE_MM):
            found.append(LayoutProblem("outside the printable page", number, "a filled box", _box(item.box)))
    return found


def _overlaps(page: Page, number: int) -> list[LayoutProblem]:
    found: list[LayoutProblem] = []
    boxes = sorted(((line.ink_box, line) for line in page.lines if line.text.strip()), key=lambda pair: pair[0].y)
    active: list[tuple[Box, TextLine]] = []
    for box, line in boxes:
        active = [pair for pair in active if pair[0].bottom > box.y]
        for other_box, other in active:
            if box.overlaps(other_box, TOLERANCE_MM):
                words = f"{other.text}' and '{line.text}"
                found.append(LayoutProblem("run together", number, words, f"{_box(other_box)} and {_box(box)}"))
        active.append((box, line))
    for item in page.items:
        if isinstance(item, Rule):
            half = item.weight_pt * 25.4 / 144.0
            struck = Box(
                min(item.x1, item.x2) - (half if item.x1 == item.x2 else 0.0),
                min(item.y1, item.y2) - (half if item.y1 == item.y2 else 0.0),
                abs(item.x2 - item.x1) + (2.0 * half if item.x1 == item.x2 else 0.0),
                abs(item.y2 - item.y1) + (2.0 * half if item.y1 == item.y2 else 0.0),
            )
            below = struck.bottom
            for box, line in boxes:
                # They stand from the top down: no line further down reaches up to the rule.
                if box.y > below:
                    break
                if box.overlaps(struck, TOLERANCE_MM):
                    found.append(
                        LayoutProblem("struck by a rule", number, line.text, f"{_box(box)} and {_box(struck)}")
                    )
    return found


def _letters(page: Page, number: int) -> list[LayoutProblem]:
    found: list[LayoutProblem] = []
    for line in page.lines:
        if line.x_height_mm < line.least_x_height_mm - 1e-6:
            detail = f"x-height {line.x_height_mm:.3f} mm, at least {line.least_x_height_mm:.3f} mm"
            found.append(LayoutProblem("letters too small", number, line.text, detail))
    return found


def _missing_letters(page: Page, number: int) -> list[LayoutProblem]:
    found: list[LayoutProblem] = []
    for line in page.lines:
        missing = sorted({letter for run in line.runs for letter in run.text if not face(run.face).has(letter)})
        if missing:
            found.append(LayoutProblem("letters no face has", number, line.text, " ".join(missing)))
    return found


def _contrast(page: Page, number: int) -> list[LayoutProblem]:
    """Letters are held to the ground they lie on, not to the one their ink speaks of."""
    found: list[LayoutProblem] = []
    fills: list[Fill] = []
    for item in page.items:
        if isinstance(item, Fill):
            fills.append(item)
        if not isinstance(item, TextLine):
            continue
        box = item.ink_box
        under = next((fill for fill in reversed(fills) if fill.box.overlaps(box, TOLERANCE_MM)), None)
        if under is not None and not under.box.holds(box, TOLERANCE_MM):
            found.append(
                LayoutProblem("partly on a filled box", number, item.text, f"{_box(box)} and {_box(under.box)}")
            )
        ground = _WHITE if under is None else under.tone
        ratio = contrast_ratio(grey(item.ink.letters), grey(ground))
        if under is not None and under.colour is not None:
            ratio = min(ratio, contrast_ratio(grey(item.ink.letters), under.colour))
        least = LEAST_CONTRAST_OF_WARNINGS if item.role in WARNINGS else LEAST_CONTRAST
        if ratio < least:
            found.append(LayoutProblem("too pale", number, item.text, f"contrast {ratio:.2f}:1, at least {least:g}:1"))
    return found


def _blocks(page: Page) -> dict[str, list[TextLine]]:
    found: dict[str, list[TextLine]] = defaultdict(list)
    for line in page.lines:
        found[line.block].append(line)
    return found


def _lone_words(page: Page, number: int) -> list[LayoutProblem]:
    """Find last lines of one word, where a word could have come down to it from a line of three or more."""
    found: list[LayoutProblem] = []
    for lines in _blocks(page).values():
        if len(lines) < 2:
            continue
        last, before = lines[-1], lines[-2]
        # In a narrow box a lone last word is often the only way; a word may come down if the two fit into the line.
        # Amount and unit come down together: a no-break space holds them.
        words = "".join(run.text for run in before.runs).split(" ")
        if " " in last.text.strip() or len(words) < 3 or before.within_word:
            continue
        # Of what stands upside down the last line is the highest.
        if (last.baseline <= before.baseline) is not last.turned:
            continue
        run = before.runs[-1]
        moved = text_width_mm(f"{words[-1]} ", run.face, run.size_pt)
        if moved + last.width <= last.box.width - TOLERANCE_MM:
            found.append(LayoutProblem("a lone last word", number, last.text, f"'{words[-1]}' could stand beside it"))
    return found


def _lone_lines(document: Document) -> list[LayoutProblem]:
    """Find paragraphs that go on elsewhere with one line only, or leave one line behind: on another page or in another box."""
    places: dict[str, list[tuple[int, Box, TextLine]]] = defaultdict(list)
    for number, page in enumerate(document.pages, start=1):
        for line in page.lines:
            if line.cell is None:
                places[line.block].append((number, line.box, line))
    found: list[LayoutProblem] = []
    for lines in places.values():
        counts: dict[tuple[int, Box], list[TextLine]] = defaultdict(list)
        for number, box, line in lines:
            counts[number, box].append(line)
        if len(counts) < 2:
            continue
        for (number, _), there in counts.items():
            if len(there) == 1:
                detail = f"{len(lines)} lines in {len(counts)} places"
                found.append(LayoutProblem("a lone line", number, there[0].text, detail))
    return found


def _box(box: Box) -> str:
    return f"{box.x:.2f} to {box.right:.2f} across, {box.y:.2f} to {box.bottom:.2f} down"
