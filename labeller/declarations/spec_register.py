"""The register of specifications: for every ingredient what is on file, when it is due, and what is wanting."""

import csv
import io
import textwrap
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from labeller.allergens.vocabulary import load_vocabulary
from labeller.book.entries import Ingredient
from labeller.declarations.declaring import Declarer
from labeller.kitchen.spec_advice import SpecGap, next_review, spec_gaps

COLUMNS = ("ingredient", "supplier", "reference", "date", "next review", "gaps")
_FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")


@dataclass(frozen=True, slots=True)
class Question:
    """One thing to ask a supplier: a key of the sentences, and the allergen names or words it is about."""

    key: str
    groups: tuple[str, ...] = ()
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Registered:
    """One ingredient in the register. ``questions`` are for the supplier, ``gaps`` for whoever reads the register."""

    ingredient: str
    supplier: str
    reference: str
    dated: date | None
    review: date | None
    gaps: tuple[str, ...]
    questions: tuple[Question, ...]

    def cells(self) -> tuple[str, ...]:
        """Return the row as text, in the order of ``COLUMNS``."""
        return (
            self.ingredient,
            self.supplier,
            self.reference,
            self.dated.isoformat() if self.dated else "",
            self.review.isoformat() if self.review else "",
            "; ".join(self.gaps),
        )

    def as_json(self) -> dict[str, Any]:
        """Return the row as plain values."""
        return dict(zip(COLUMNS, self.cells(), strict=True)) | {"gaps": list(self.gaps)}


def register_of(declarer: Declarer, on: date) -> tuple[Registered, ...]:
    """Return the register of a book.

    Parameters
    ----------
    declarer : Declarer
        The book worked out under the law whose allergen groups are asked for.
    on : date
        The day of the register.
    """
    book = declarer.workings.book
    gaps: dict[str, list[SpecGap]] = {}
    for gap in spec_gaps(book, on):
        gaps.setdefault(gap.ingredient, []).append(gap)
    found: list[Registered] = []
    for entry in book.ingredients.values():
        spec = entry.spec
        open_groups = _open_groups(declarer, entry)
        own = gaps.get(entry.name, [])
        found.append(
            Registered(
                entry.name,
                spec.supplier if spec else "",
                spec.reference if spec else "",
                spec.dated if spec else None,
                next_review(spec, book.kitchen.spec_review_days) if spec else None,
                tuple(dict.fromkeys(_gaps_in_words(declarer, entry, own, open_groups))),
                tuple(_questions(declarer, entry, own, open_groups)) if spec else (),
            )
        )
    return tuple(found)


def _open_groups(declarer: Declarer, entry: Ingredient) -> tuple[str, ...]:
    view = declarer.groups.view(declarer.workings.larder.ids[entry.name])
    return tuple(
        group.name
        for group in declarer.law.groups
        if group.name in view
        and view[group.name].unconfirmed
        and not ("sulphite" in group.kinds and entry.sulphites_mg_per_kg is not None)
    )


def _gaps_in_words(
    declarer: Declarer, entry: Ingredient, own: list[SpecGap], open_groups: tuple[str, ...]
) -> Iterator[str]:
    known = declarer.workings.evidence[declarer.workings.larder.ids[entry.name]]
    if entry.spec is None:
        if entry.from_shelf:
            yield "no specification on file: a plain good of the shelf"
        else:
            yield f"no specification on file{'' if open_groups else f': taken by what it is ({known.evidence.ground})'}"
    elif not entry.spec.supplier:
        yield "supplier not named"
    words = {
        "undated": "not dated",
        "stale": "past its review",
        "ahead": "dated in the future",
        "may contain": "may contain: not said",
        "matched": "matched by a machine, not confirmed by a person",
    }
    for gap in own:
        names = ", ".join(gap.sources)
        if gap.kind == "contradictory":
            yield f"contradicts itself about {names}"
        elif gap.kind == "disagrees":
            yield f"its row of the reference table contains {names}, its specification does not"
        else:
            yield words[gap.kind]
    if open_groups:
        yield f"not known: {', '.join(open_groups)}"
    if known.alcohol == "unconfirmed":
        yield "alcohol not known"


def _questions(
    declarer: Declarer, entry: Ingredient, own: list[SpecGap], open_groups: tuple[str, ...]
) -> Iterator[Question]:
    known = declarer.workings.evidence[declarer.workings.larder.ids[entry.name]]
    spec = entry.spec
    if spec is not None and spec.statement is None and (open_groups or known.alcohol == "unconfirmed"):
        yield Question("whole_statement")
    else:
        if known.evidence.doubts and open_groups:
            yield Question("doubts", words=known.evidence.doubts)
        if open_groups:
            yield Question("open_groups", groups=open_groups)
        if known.alcohol == "unconfirmed":
            yield Question("alcohol")
    for gap in own:
        if gap.kind != "matched":
            yield Question(gap.kind.replace(" ", "_"), groups=_general(declarer, gap.sources))


def _general(declarer: Declarer, sources: tuple[str, ...]) -> tuple[str, ...]:
    """Return the group of each source, where the law names it only by its group, so that it has a name in every language."""
    kinds = load_vocabulary().sources
    found: dict[str, None] = {}
    for source in sources:
        kind = kinds.get(source, source)
        group = next((one.name for one in declarer.law.groups if one.includes(source, kind)), source)
        found[source if kind in ("cereal", "nut") and source not in ("gluten cereal", "nut") else group] = None
    return tuple(found)


def register_as_csv(register: tuple[Registered, ...]) -> str:
    """Return the register as CSV; a cell that a spreadsheet would take for a formula gets an apostrophe before it."""
    page = io.StringIO()
    writer = csv.writer(page, lineterminator="\n")
    writer.writerow(COLUMNS)
    for row in register:
        writer.writerow([f"'{cell}" if cell.startswith(_FORMULA_SIGNS) else cell for cell in row.cells()])
    return page.getvalue()


def register_as_text(declarer: Declarer, register: tuple[Registered, ...], on: date) -> str:
    """Return the register as a page of 80 columns."""
    kitchen = declarer.workings.book.kitchen
    whole = sum(1 for row in register if not row.gaps)
    lines = [
        f"Register of specifications: {kitchen.name}",
        f"{on.isoformat()}; {declarer.law.title}; to be reviewed after {kitchen.spec_review_days} days",
        f"{len(register)} ingredients, {whole} without a gap",
    ]
    for row in register:
        _, supplier, reference, dated, review, _ = row.cells()
        lines += ["", row.ingredient]
        on_file = [
            f"{title} {cell}"
            for title, cell in (
                ("supplier", supplier),
                ("reference", reference),
                ("date", dated),
                ("next review", review),
            )
            if cell
        ]
        lines += _wrapped("; ".join(on_file) or "nothing on file", "  ")
        for gap in row.gaps:
            lines += _wrapped(f"gap: {gap}", "  - ")
    return "\n".join(lines) + "\n"


def _wrapped(text: str, lead: str) -> list[str]:
    return textwrap.wrap(
        text,
        80,
        initial_indent=lead,
        subsequent_indent=" " * (len(lead) + 2),
        break_long_words=False,
        break_on_hyphens=False,
    )
