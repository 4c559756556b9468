"""Measure the fonts: what layout needs to know of them, without reading outlines at run time.

``python build.py`` reads the font files beside it and writes one ``*.metrics.json`` a face. Users never run it.

Heights are measured from the outlines themselves, because the law speaks of the letter, not of what a font file says of itself:
the x-height from the outline of ``x`` (Regulation (EU) No 1169/2011, Annex IV), the height of ``o`` from its outline
(21 CFR 101.2(c) speaks of the lower-case letter o). ``x_height_declared`` is the font's own figure (OS/2 sxHeight); where the outline of a
slanted x ends in curls above the mean line, the lower of the two counts.
"""

import hashlib
import json
import string
import sys
import unicodedata
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

HERE = Path(__file__).resolve().parent

FACES = {
    "sans": "FiraSans-Regular",
    "sans-italic": "FiraSans-Italic",
    "sans-bold": "FiraSans-Bold",
    "narrow": "FiraSansCondensed-Regular",
    "narrow-bold": "FiraSansCondensed-Bold",
    "serif": "Literata-Regular",
    "serif-italic": "Literata-Italic",
    "serif-bold": "Literata-SemiBold",
}
SOFT_HYPHEN = 0x00AD
# Letters, figures and points without accents: one height and depth for all plain text, so that neighbours stand on one line.
PLAIN = string.ascii_letters + string.digits + ".,;:!?()'-%&"


def setable(code: int) -> bool:
    """Return whether a code point is one that may be set one after the other, left to right, without more.

    Marks need placing over a letter, presentation forms are ligatures, private code points mean nothing outside the font.
    """
    if code == SOFT_HYPHEN:
        return True
    if code > 0xFFFF:
        return False  # no letter of a living language in Latin, Greek or Cyrillic lies so high, and PDF counts them otherwise
    kind = unicodedata.category(chr(code))
    if kind[0] in "CM" or kind in {"Zl", "Zp"}:
        return False
    if unicodedata.normalize("NFC", chr(code)) != chr(code):
        return False  # a twin: text is composed before it is set, so this code point never arrives
    return not 0xFB00 <= code <= 0xFB4F and unicodedata.bidirectional(chr(code)) not in {"R", "AL", "AN"}


def kerned(code: int) -> bool:
    """Return whether kerning is kept for a code point: letters of living languages, figures and points."""
    # Spaces are left out: the width of a line is then the sum of its words and spaces, wherever it is broken.
    return code not in {0x20, 0xA0} and (code < 0x0180 or 0x0218 <= code <= 0x021B or 0x0386 <= code <= 0x03CE or 0x0400 <= code <= 0x045F or (
        0x0490 <= code <= 0x0491 or 0x2010 <= code <= 0x201E
    ))  # fmt: skip


def pair_subtables(font: Any) -> Iterator[Any]:
    """Yield the pair subtables of the kerning of Latin (or of every script), in the order they are asked."""
    if "GPOS" not in font:
        return
    table = font["GPOS"].table
    records = {record.ScriptTag: record.Script for record in table.ScriptList.ScriptRecord}
    script = records.get("latn") or records.get("DFLT")
    features = [table.FeatureList.FeatureRecord[index] for index in script.DefaultLangSys.FeatureIndex]
    for feature in features:
        if feature.FeatureTag != "kern":
            continue
        for index in feature.Feature.LookupListIndex:
            for subtable in table.LookupList.Lookup[index].SubTable:
                yield subtable.ExtSubTable if subtable.__class__.__name__ == "ExtensionPos" else subtable


def pair_value(subtable: Any, left: str, right: str) -> int | None:
    """Return what one subtable says of a pair: None where it does not speak of it."""
    if left not in subtable.Coverage.glyphs:
        return None
    if subtable.Format == 1:
        pairs = subtable.PairSet[subtable.Coverage.glyphs.index(left)].PairValueRecord
        found = next((pair.Value1 for pair in pairs if pair.SecondGlyph == right), None)
        if found is None and not any(pair.SecondGlyph == right for pair in pairs):
            return None
        return getattr(found, "XAdvance", 0) if found else 0
    one = subtable.ClassDef1.classDefs.get(left, 0)
    other = subtable.ClassDef2.classDefs.get(right, 0)
    value = subtable.Class1Record[one].Class2Record[other].Value1
    return getattr(value, "XAdvance", 0) if value else 0


def kerning(font: Any, names: dict[int, str]) -> dict[str, Any]:
    """Return kerning by classes: letters that behave alike on the left, alike on the right, and what each pair moves.

    Every pair is asked once, as a shaper asks it (the first subtable that speaks of a pair wins); rows and columns that are equal are then made one.
    """
    codes = sorted(code for code in names if kerned(code))
    subtables = list(pair_subtables(font))
    quick = [_Quick(subtable) for subtable in subtables]
    rows: dict[int, tuple[int, ...]] = {}
    for left in codes:
        asked = [one for one in quick if names[left] in one.covered]
        rows[left] = tuple(
            next((v for q in asked if (v := q.value(names[left], names[right])) is not None), 0) for right in codes
        )
    columns = {right: tuple(rows[left][place] for left in codes) for place, right in enumerate(codes)}
    lefts, left_class = _classes(rows)
    rights, right_class = _classes(columns)
    place_of = {code: place for place, code in enumerate(codes)}
    matrix = [[rows[left][place_of[right]] for right in rights] for left in lefts]
    return {"left": left_class, "right": right_class, "moves": matrix}


def _classes(vectors: dict[int, tuple[int, ...]]) -> tuple[list[int], dict[str, str]]:
    """Return one code point for each class, and the letters of each class (those that move nothing left out)."""
    found: dict[tuple[int, ...], int] = {}
    first: list[int] = []
    letters: dict[str, str] = {}
    for code, vector in vectors.items():
        if not any(vector):
            continue
        if vector not in found:
            found[vector] = len(first)
            first.append(code)
        key = str(found[vector])
        letters[key] = letters.get(key, "") + chr(code)
    return first, letters


class _Quick:
    """One subtable with its coverage as a set, since every pair is asked."""

    def __init__(self, subtable: Any) -> None:
        self.subtable = subtable
        self.covered = set(subtable.Coverage.glyphs)
        self.pairs: dict[str, dict[str, int]] = {}
        if subtable.Format == 1:
            for glyph, pair_set in zip(subtable.Coverage.glyphs, subtable.PairSet, strict=True):
                self.pairs[glyph] = {
                    pair.SecondGlyph: getattr(pair.Value1, "XAdvance", 0) if pair.Value1 else 0
                    for pair in pair_set.PairValueRecord
                }

    def value(self, left: str, right: str) -> int | None:
        if self.subtable.Format == 1:
            return self.pairs[left].get(right)
        return pair_value(self.subtable, left, right)


def bounds(font: Any, glyph: str) -> tuple[int, int]:
    """Return the lowest and highest point of a glyph's outline, 0 and 0 where it has none. [units of the em]"""
    pen = BoundsPen(font.getGlyphSet())
    font.getGlyphSet()[glyph].draw(pen)
    return (0, 0) if pen.bounds is None else (round(pen.bounds[1]), round(pen.bounds[3]))


def measured(path: Path) -> dict[str, Any]:
    """Return what layout needs of one font file; all lengths in units of the em."""
    font = TTFont(path)
    advances = font["hmtx"].metrics
    # A letter of no width is drawn over its neighbour: it is a mark, whatever its code point says.
    names = {code: glyph for code, glyph in font.getBestCmap().items() if setable(code) and advances[glyph][0] > 0}
    # Some fonts leave the soft hyphen empty, for a programme to draw: ours is always drawn, as a hyphen.
    names[SOFT_HYPHEN] = names[ord("-")]
    ink = {code: bounds(font, glyph) for code, glyph in names.items()}
    return {
        "made_from": path.name,
        "sha256": hashlib.sha256(path.read_bytes()).hexdigest(),
        "postscript_name": font["name"].getDebugName(6),
        "units_per_em": font["head"].unitsPerEm,
        "x_height": min(ink[ord("x")][1], font["OS/2"].sxHeight),
        "x_height_declared": font["OS/2"].sxHeight,
        "o_height": ink[ord("o")][1] - ink[ord("o")][0],
        "cap_height": ink[ord("H")][1],
        "figure_height": ink[ord("1")][1],
        "ascent": max(ink[ord(letter)][1] for letter in PLAIN),
        "descent": -min(ink[ord(letter)][0] for letter in PLAIN),
        "codes": "".join(chr(code) for code in names),
        "advances": [advances[glyph][0] for glyph in names.values()],
        "bottoms": [ink[code][0] for code in names],
        "tops": [ink[code][1] for code in names],
        "soft_hyphen_glyph": font.getGlyphID(names[SOFT_HYPHEN]),
        "kerning": kerning(font, names),
    }


# Faces for columns of figures: the same files, each figure as wide as every other (OpenType feature tnum).
FIGURES = {
    "sans-figures": "sans",
    "sans-bold-figures": "sans-bold",
    "narrow-figures": "narrow",
    "narrow-bold-figures": "narrow-bold",
}


def figures_of(base: str) -> dict[str, Any]:
    """Return the figures of equal width of a face: number of the glyph, width, lowest and highest point. [units of the em]"""
    font = TTFont(HERE / f"{FACES[base]}.ttf")
    table = font["GSUB"].table
    lookups = {
        index
        for record in table.FeatureList.FeatureRecord
        if record.FeatureTag == "tnum"
        for index in record.Feature.LookupListIndex
    }
    swapped: dict[str, str] = {}
    for index in sorted(lookups):
        for subtable in table.LookupList.Lookup[index].SubTable:
            one = subtable.ExtSubTable if hasattr(subtable, "ExtSubTable") else subtable
            swapped |= one.mapping
    names = font.getBestCmap()
    found: dict[str, Any] = {"base": base, "units_per_em": font["head"].unitsPerEm}
    for letter in string.digits:
        glyph = swapped[names[ord(letter)]]
        low, high = bounds(font, glyph)
        found[letter] = [font.getGlyphID(glyph), font["hmtx"][glyph][0], low, high]
    return found


def compiled_figures() -> str:
    """Return the text of the metrics file of figures of equal width."""
    return json.dumps({key: figures_of(base) for key, base in FIGURES.items()}, indent=1) + "\n"


def compiled(key: str) -> str:
    """Return the text of one face's metrics file."""
    return json.dumps(measured(HERE / f"{FACES[key]}.ttf"), ensure_ascii=False, separators=(",", ":")) + "\n"


if __name__ == "__main__":
    for face in FACES:
        target = HERE / f"{face}.metrics.json"
        target.write_text(compiled(face), encoding="utf-8")
        print(f"{target.name}: {target.stat().st_size // 1024} kB")
    (HERE / "figures.metrics.json").write_text(compiled_figures(), encoding="utf-8")
    sys.exit(0)
