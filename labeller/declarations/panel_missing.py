"""Which figures a panel must carry that are not known, from which ingredient, and how they are supplied."""

from labeller.declarations.declaring import Declaration, Declarer
from labeller.declarations.panel_content import Gap, MissingFigure
from labeller.declarations.words import listed
from labeller.foundations.faults import Origin
from labeller.foundations.plain import dataclass
from labeller.kitchen.larder import FIGURE_INDEX, Larder

# What energy is summed from: Regulation (EU) No 1169/2011, Annex XIV; with total carbohydrate fibre counts within it (21 CFR 101.9(c)(1)(i)).
_ENERGY_PARTS = ("fat_g", "carbohydrate_g", "fibre_g", "protein_g", "alcohol_g")
# Keys of law that an entry of the book writes in another way.
_IN_THE_BOOK = {"mono_unsaturates_g": "monounsaturates_g", "sugar_alcohol_g": "polyols_g"}


@dataclass(frozen=True, slots=True)
class Supply:
    """What one ingredient lacks of several figures, and how to write it."""

    ingredient: str
    share: float
    figures: tuple[str, ...]
    gap: Gap

    def as_text(self) -> str:
        """Return who lacks what, and the mend, in two lines."""
        share = f"{100 * self.share:.0f} % of the weight" if self.share >= 0.005 else "less than 1 % of the weight"
        place = "on the shelf" if self.gap.from_shelf else str(self.gap.origin)
        figures = ", ".join(f"{key}: .." for key in self.gap.needs)
        mend = f"Write per_100_g: {{{figures}}} in its entry, from its pack or its supplier's specification"
        if self.gap.from_shelf:
            mend = (
                f"Add an entry '- ingredient: {self.ingredient}' with 'shelf: {self.ingredient}', which keeps what the shelf knows, "
                f"and per_100_g: {{{figures}}}, from a pack or an analysis"
            )
        elif not self.gap.has_row:
            mend += ", or a row of the reference table (composition: sr28:..)"
        return f"{self.ingredient} ({share}; {place}) has no figure for {listed(list(self.figures))}.\n    {mend}."


def missing_figure(declarer: Declarer, declaration: Declaration, key: str, name: str) -> MissingFigure:
    """Return who lacks a figure of a declaration."""
    larder = declarer.workings.larder
    gaps = [
        _gap(declarer, larder, one.ingredient, one.share, key)
        for one in declaration.figures.missing
        if one.nutrient == key
    ]
    return MissingFigure(key, name, tuple(gaps))


def supplies(missing: tuple[MissingFigure, ...]) -> tuple[Supply, ...]:
    """Return what each ingredient lacks, by its largest share in any of them, the largest first."""
    names: dict[str, list[str]] = {}
    needs: dict[str, dict[str, None]] = {}
    gaps: dict[str, Gap] = {}
    for figure in missing:
        for gap in figure.gaps:
            names.setdefault(gap.ingredient, []).append(figure.name)
            needs.setdefault(gap.ingredient, {}).update(dict.fromkeys(gap.needs))
            known = gaps.get(gap.ingredient)
            if known is None or gap.share > known.share:
                gaps[gap.ingredient] = gap
    found = []
    for ingredient, gap in gaps.items():
        whole = Gap(gap.ingredient, gap.share, gap.origin, gap.from_shelf, gap.has_row, tuple(needs[ingredient]))
        found.append(Supply(ingredient, gap.share, tuple(dict.fromkeys(names[ingredient])), whole))
    return tuple(sorted(found, key=lambda one: (-one.share, one.ingredient)))


def _gap(declarer: Declarer, larder: Larder, ingredient: str, share: float, key: str) -> Gap:
    place = larder.ids.get(ingredient)
    if place is None:
        return Gap(ingredient, share, Origin("", 0), from_shelf=False, has_row=False, needs=(key,))
    entry = larder.entries[place]
    needs: tuple[str, ...] = (_IN_THE_BOOK.get(key, key),)
    if key.startswith("energy_"):
        with_fibre = declarer.definitions.with_fibre
        carbohydrate = "carbohydrate_with_fibre_g" if with_fibre else "carbohydrate_without_fibre_g"
        parts = [part for part in _ENERGY_PARTS if not (with_fibre and part == "fibre_g")]
        column = {"carbohydrate_g": carbohydrate}
        needs = tuple(
            part for part in parts if not larder.known[place, FIGURE_INDEX[column.get(part, part)]]
        ) or tuple(parts)
    return Gap(ingredient, share, entry.origin, entry.from_shelf, larder.rows[place] is not None, needs)
