"""A drawing of shapes and words, written as SVG by hand or as PNG with Pillow from the very same shapes."""

import math
import os
import tempfile
from dataclasses import dataclass
from io import BytesIO
from itertools import pairwise
from pathlib import Path
from typing import Literal
from xml.sax.saxutils import escape

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]

_SVG_FONTS = "'Bitstream Vera Sans', 'DejaVu Sans', Verdana, sans-serif"
_PNG_SCALE = 2  # pixels to a unit
_SMOOTHING = 2  # drawn larger and reduced, since Pillow draws hard edges


@dataclass(frozen=True, slots=True)
class Area:
    """A filled outline. ``opacity`` is 0 to 1."""

    points: tuple[Point, ...]
    fill: str
    opacity: float = 1.0


@dataclass(frozen=True, slots=True)
class Trace:
    """A line through points; ``dash`` gives drawn and empty lengths, empty for an unbroken line."""

    points: tuple[Point, ...]
    colour: str
    width: float = 1.0
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Words:
    """One line of text on its baseline. ``size`` is the letter height in units."""

    at: Point
    text: str
    size: float = 13.0
    anchor: Anchor = "start"
    bold: bool = False
    colour: str = "#222222"


Shape = Area | Trace | Words


@dataclass(frozen=True, slots=True)
class Drawing:
    """Shapes on a white sheet of width x height units, in the order they are laid on; ``title`` says what is seen."""

    width: float
    height: float
    title: str
    shapes: tuple[Shape, ...]


def stacked(drawings: list[Drawing], gap: float = 24.0) -> Drawing:
    """Put drawings one below the other on one sheet."""
    shapes: list[Shape] = []
    top = 0.0
    for drawing in drawings:
        shapes.extend(_moved(shape, top) for shape in drawing.shapes)
        top += drawing.height + gap
    width = max(drawing.width for drawing in drawings)
    return Drawing(width, top - gap, "; ".join(drawing.title for drawing in drawings), tuple(shapes))


def _moved(shape: Shape, down: float) -> Shape:
    if isinstance(shape, Words):
        return Words((shape.at[0], shape.at[1] + down), shape.text, shape.size, shape.anchor, shape.bold, shape.colour)
    points = tuple((x, y + down) for x, y in shape.points)
    if isinstance(shape, Area):
        return Area(points, shape.fill, shape.opacity)
    return Trace(points, shape.colour, shape.width, shape.dash)


def drawing_as_svg(drawing: Drawing) -> str:
    """Return a drawing as an SVG document; words stay words, so they can be searched and read out."""
    lines = [
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{drawing.width:g}" height="{drawing.height:g}"'
            f' viewBox="0 0 {drawing.width:g} {drawing.height:g}" role="img" font-family="{_SVG_FONTS}">'
        ),
        f"<title>{escape(drawing.title)}</title>",
        f'<rect width="{drawing.width:g}" height="{drawing.height:g}" fill="#ffffff"/>',
    ]
    for shape in drawing.shapes:
        if isinstance(shape, Words):
            bold = ' font-weight="bold"' if shape.bold else ""
            lines.append(
                f'<text x="{shape.at[0]:.1f}" y="{shape.at[1]:.1f}" font-size="{shape.size:g}" text-anchor="{shape.anchor}"'
                f' fill="{shape.colour}"{bold}>{escape(shape.text)}</text>'
            )
            continue
        points = " ".join(f"{x:.1f},{y:.1f}" for x, y in shape.points)
        if isinstance(shape, Area):
            opacity = f' fill-opacity="{shape.opacity:g}"' if shape.opacity < 1.0 else ""
            lines.append(f'<polygon points="{points}" fill="{shape.fill}"{opacity}/>')
        else:
            dash = f' stroke-dasharray="{" ".join(f"{one:g}" for one in shape.dash)}"' if shape.dash else ""
            lines.append(
                f'<polyline points="{points}" fill="none" stroke="{shape.colour}" stroke-width="{shape.width:g}"'
                f' stroke-linejoin="round"{dash}/>'
            )
    return "\n".join([*lines, "</svg>", ""])


def drawing_as_png(drawing: Drawing) -> bytes:
    """Return a drawing as PNG, two pixels to a unit."""
    import reportlab  # noqa: PLC0415 - only for the letters it ships
    from PIL import Image, ImageColor, ImageDraw, ImageFont  # noqa: PLC0415 - heavy, and only a picture needs it

    letters = Path(reportlab.__file__).parent / "fonts"
    scale = _PNG_SCALE * _SMOOTHING
    size = (round(drawing.width * scale), round(drawing.height * scale))
    sheet = Image.new("RGB", size, "#ffffff")
    for shape in drawing.shapes:
        if isinstance(shape, Words):
            continue
        points = [(x * scale, y * scale) for x, y in shape.points]
        if isinstance(shape, Area):
            mask = Image.new("L", size, 0)
            ImageDraw.Draw(mask).polygon(points, fill=round(255 * shape.opacity))
            sheet.paste(Image.new("RGB", size, ImageColor.getrgb(shape.fill)), (0, 0), mask)
        else:
            pen = ImageDraw.Draw(sheet)
            for piece in _dashed(points, [one * scale for one in shape.dash]):
                pen.line(piece, fill=shape.colour, width=max(1, round(shape.width * scale)), joint="curve")
    sheet = sheet.resize(
        (round(drawing.width * _PNG_SCALE), round(drawing.height * _PNG_SCALE)), Image.Resampling.LANCZOS
    )
    pen = ImageDraw.Draw(sheet)
    for shape in drawing.shapes:
        if isinstance(shape, Words):
            font = ImageFont.truetype(
                str(letters / ("VeraBd.ttf" if shape.bold else "Vera.ttf")), round(shape.size * _PNG_SCALE)
            )
            anchor = {"start": "ls", "middle": "ms", "end": "rs"}[shape.anchor]
            at = (shape.at[0] * _PNG_SCALE, shape.at[1] * _PNG_SCALE)
            pen.text(at, shape.text, fill=shape.colour, font=font, anchor=anchor)
    out = BytesIO()
    sheet.save(out, "PNG", optimize=True)
    return out.getvalue()


def _dashed(points: list[Point], dash: list[float]) -> list[list[Point]]:
    """Cut a line into the pieces a dash pattern draws."""
    if not dash:
        return [points]
    pieces: list[list[Point]] = []
    piece: list[Point] = [points[0]]
    turn, left = 0, dash[0]
    for start, end in pairwise(points):
        length = math.dist(start, end)
        done = 0.0
        while length - done > left:
            done += left
            share = done / length
            at = (start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share)
            if turn % 2 == 0:
                pieces.append([*piece, at])
            piece = [at]
            turn += 1
            left = dash[turn % len(dash)]
        left -= length - done
        piece.append(end)
    if turn % 2 == 0 and len(piece) > 1:
        pieces.append(piece)
    return pieces


def write_drawing(drawing: Drawing, path: Path) -> None:
    """Write a drawing to ``.svg`` or ``.png``; the file is replaced whole or not at all.

    Raises
    ------
    ValueError
        If the file's ending is neither.
    OSError
        If it cannot be written.
    """
    ending = path.suffix.lower()
    if ending == ".svg":
        content = drawing_as_svg(drawing).encode("utf-8")
    elif ending == ".png":
        content = drawing_as_png(drawing)
    else:
        raise ValueError(f"'{path.name}' ends in neither .svg nor .png. Write one of these endings.")
    handle, half = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        Path(half).chmod(0o644)
        Path(half).replace(path)
    except OSError:
        Path(half).unlink(missing_ok=True)
        raise
