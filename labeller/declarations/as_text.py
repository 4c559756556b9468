"""A declaration as a page a chef would pin up: 80 columns, plain words, with or without colour."""

import textwrap

from labeller.declarations.allergen_rows import CONTAINS, MAY_CONTAIN, NONE_DECLARED, UNCONFIRMED, AllergenRow
from labeller.declarations.daily_intake import daily_intake
from labeller.declarations.declaring import Declaration, Declarer
from labeller.declarations.ingredient_list import label_of
from labeller.declarations.labelling import not_determined, tolerance_in_words
from labeller.declarations.words import (
    ALCOHOL_CAUTION,
    CROSS_CONTACT,
    ESTIMATE,
    NUTRIENT_WORDS,
    STATUS_ON_PAPER,
    WHO_DECIDES,
    group_in_words,
    listed,
)
from labeller.jurisdictions.languages import name_in_language

WIDTH = 80
_KEEP = "\N{WORD JOINER}"  # stands for a space at which a line may not break
_BOLD, _RED, _YELLOW, _PLAIN = "\x1b[1m", "\x1b[1;31m", "\x1b[1;33m", "\x1b[0m"


def declaration_as_text(
    declaration: Declaration, *, colour: bool = False, declarer: Declarer | None = None, language: str | None = None
) -> str:
    """Return the page of one declaration.

    Parameters
    ----------
    declaration : Declaration
        What is stated.
    colour : bool
        Whether to set words apart by terminal colours; nothing is told by colour alone.
    declarer : Declarer, optional
        The one that made it: then the words of a label and the warnings of tolerance stand there too.
    language : str, optional
        Code of a language on file, in which the allergens are named as well.
    """
    page = _Page(colour=colour)
    dish = declaration.kind == "dish"
    page.title(declaration.name)
    weight = f"{declaration.weight_g:.0f} g a portion" if dish else f"a batch of {declaration.weight_g:.0f} g"
    page.line(f"{weight}; {declaration.law.title}, law of {declaration.law.day.isoformat()}")
    _allergens(page, declaration)
    if language is not None:
        _in_language(page, declaration, language)
    _alcohol(page, declaration)
    _nutrition(page, declaration, dish=dish)
    if declarer is not None:
        for reasons, figures in tolerance_in_words(declarer, declaration):
            page.entry("Less sure than the law allows", f"{figures}, since {reasons}", 2, _YELLOW)
    _ingredients(page, declaration)
    if declarer is not None:
        _label(page, declaration, declarer)
    _rough(page, declaration)
    page.blank()
    page.paragraph(ESTIMATE)
    page.paragraph(CROSS_CONTACT)
    page.paragraph(WHO_DECIDES)
    return "\n".join(page.lines)


class _Page:
    def __init__(self, *, colour: bool) -> None:
        self.lines: list[str] = []
        self.colour = colour

    def tint(self, text: str, tint: str) -> str:
        return f"{tint}{text}{_PLAIN}" if self.colour else text

    def title(self, text: str) -> None:
        for one in textwrap.wrap(text, WIDTH) or [""]:
            self.lines.append(self.tint(one, _BOLD))
        self.lines.append("=" * min(WIDTH, len(text)))

    def heading(self, text: str) -> None:
        self.lines += ["", self.tint(text, _BOLD)]

    def blank(self) -> None:
        self.lines.append("")

    def line(self, text: str) -> None:
        self.paragraph(text)

    def paragraph(self, text: str, indent: int = 0, tint: str = "") -> None:
        wrapped = textwrap.wrap(
            text,
            WIDTH,
            initial_indent=" " * indent,
            subsequent_indent=" " * indent,
            break_long_words=False,
            break_on_hyphens=False,
        )
        wrapped = [one.replace(_KEEP, " ") for one in wrapped]
        self.lines += [self.tint(one, tint) if tint else one for one in wrapped]

    def entry(self, head: str, text: str, indent: int = 2, tint: str = "") -> None:
        """Print a head and its text, the text hanging under itself."""
        hang = indent + 4
        wrapped = textwrap.wrap(
            f"{head}: {text}" if text else head,
            WIDTH,
            initial_indent=" " * indent,
            subsequent_indent=" " * hang,
            break_long_words=False,
            break_on_hyphens=False,
        )
        if wrapped and tint and self.colour and wrapped[0].strip().startswith(head):
            wrapped[0] = wrapped[0].replace(head, f"{tint}{head}{_PLAIN}", 1)
        self.lines += wrapped


def way(path: tuple[str, ...]) -> str:
    """Return a path in words: 'double cream, in custard ice'."""
    return ", in ".join(reversed(path))


def _allergens(page: _Page, declaration: Declaration) -> None:
    by_status: dict[str, list[AllergenRow]] = {}
    for row in declaration.allergens:
        by_status.setdefault(row.status, []).append(row)
    touched = {contact.path: contact.equipment for batch in declaration.lines for contact in batch.contacts}
    page.heading("Allergens")
    for status, tint in ((CONTAINS, _RED), (MAY_CONTAIN, _YELLOW), (UNCONFIRMED, _YELLOW)):
        rows = by_status.get(status, [])
        if not rows:
            continue
        page.paragraph(STATUS_ON_PAPER[status], 2, tint)
        if status == UNCONFIRMED:
            same: dict[str, list[str]] = {}
            for row in rows:
                same.setdefault(_reason(row, touched), []).append(group_in_words(row.group))
            for reason, groups in same.items():
                page.entry(listed(groups), reason, 4, _BOLD)
            continue
        for row in rows:
            page.entry(_group_and_sources(row), _reason(row, touched), 4, _BOLD)
    beside: dict[str, list[str]] = {}
    for row in declaration.allergens:
        if row.status in (CONTAINS, MAY_CONTAIN) and row.unconfirmed:
            others = "; ".join(_open_way(path, touched) for path in row.unconfirmed)
            beside.setdefault(others, []).append(group_in_words(row.group).lower())
    for others, groups in beside.items():
        page.entry(f"Not known beside that, ask the kitchen: {listed(groups)}", others, 2, _YELLOW)
    none = by_status.get(NONE_DECLARED, [])
    if none:
        page.entry(STATUS_ON_PAPER[NONE_DECLARED], listed([group_in_words(row.group).lower() for row in none]), 2)
    for one in declaration.unconfirmed:
        page.entry(f"To settle '{one.ingredient}'", one.mend or "add the supplier's statement", 2)
    for row in declaration.allergens:
        if row.sulphites_mg_per_kg is not None:
            page.entry(
                "Sulphites worked out",
                f"{row.sulphites_mg_per_kg:.1f} mg of sulphur dioxide in a kilogram as served",
                2,
            )
        freed_by: dict[tuple[tuple[str, ...], str, str], list[str]] = {}
        for path, source, freed in row.exempt:
            freed_by.setdefault((path, freed.derivation, freed.clause.as_text()), []).append(source)
        for (path, derivation, clause), sources in freed_by.items():
            page.entry("Exempt", f"{way(path)} ({derivation} of {listed(sources)}; {clause})", 2)


def _group_and_sources(row: AllergenRow) -> str:
    group = group_in_words(row.group)
    same = (row.group.name, row.group.name.removesuffix("s"), group.lower())
    # Beside goat's milk, 'milk' says that there is cow's milk too; alone it says nothing more than the group.
    if all(source.lower() in same for source in row.sources):
        return group
    return f"{group}: {listed(list(row.sources))}"


def _reason(row: AllergenRow, touched: dict[tuple[str, ...], str]) -> str:
    if row.status == MAY_CONTAIN:
        return "; ".join(
            f"{listed(list(one.sources))} {_touched(one.path, one.why)}{f' ({one.words})' if one.words else ''}"
            for one in row.may_contain[:4]
        ) + _more(len(row.may_contain), 4)
    if row.status == UNCONFIRMED:
        return "; ".join(_open_way(path, touched) for path in row.unconfirmed[:6]) + _more(len(row.unconfirmed), 6)
    return "; ".join(way(path) for path in row.because[:6]) + _more(len(row.because), 6)


def _more(count: int, shown: int) -> str:
    return f"; and {count - shown} more ways" if count > shown else ""


def _open_way(path: tuple[str, ...], touched: dict[tuple[str, ...], str]) -> str:
    return _touched(path, touched[path]) if path in touched else way(path)


def _touched(path: tuple[str, ...], why: str) -> str:
    if why == "specification":
        return f"by the supplier's paper for {way(path)}"
    place = path.index(why, 1) if why in path[1:] else 1  # a part may bear the machine's own name
    return f"over the {why}, shared with {way(path[place + 1 :])}"


_MOST_WAYS = 6


def _alcohol(page: _Page, declaration: Declaration) -> None:
    alcohol = declaration.alcohol
    page.heading("Alcohol")
    low, estimate, high = alcohol.ethanol_g
    whole = "in the portion" if declaration.kind == "dish" else "in the batch"
    if alcohol.status == CONTAINS:
        unmeasured = list(dict.fromkeys(one.path[-1] for one in alcohol.because if not one.measured))
        if high > 0.0:
            page.entry("Contains", f"{estimate:.1f} g of alcohol {whole} ({low:.1f} to {high:.1f} g)", 2, _RED)
        if unmeasured:
            head = "And more" if high > 0.0 else "Contains"
            page.entry(
                head, f"how much is not known, for how strong {listed(unmeasured)} may be is not known", 2, _RED
            )
        for one in alcohol.because:
            heated = "heated" if one.heated else "not heated"
            left = (
                f"{one.ethanol_g:.1f} g left ({one.low_g:.1f} to {one.high_g:.1f} g)" if one.measured else "not known"
            )
            page.entry(way(one.path), f"{one.words}, {heated}; {left}", 4)
        if alcohol.abv_percent is not None and not unmeasured:
            page.paragraph(
                f"All liquid: {alcohol.abv_percent[1]:.1f} % by volume ({alcohol.abv_percent[0]:.1f} to {alcohol.abv_percent[2]:.1f})",
                2,
            )
    elif alcohol.status == UNCONFIRMED:
        page.entry(STATUS_ON_PAPER[UNCONFIRMED], _ways(alcohol.unconfirmed), 2, _YELLOW)
    else:
        page.paragraph(STATUS_ON_PAPER[NONE_DECLARED], 2)
    if alcohol.status == CONTAINS and alcohol.unconfirmed:
        page.entry("Not known beside that", _ways(alcohol.unconfirmed), 2, _YELLOW)
    settled_above = {one.ingredient for one in declaration.unconfirmed}
    for ingredient, mend in alcohol.mends:
        if ingredient not in settled_above:
            page.entry(f"To settle '{ingredient}'", mend, 2)
    for path, words in alcohol.traces:
        page.entry(
            "A ferment, which may hold a little alcohol", f"{way(path)} ({words}); not counted until it is measured", 2
        )
    if alcohol.status == CONTAINS:
        page.paragraph(ALCOHOL_CAUTION, 2)


def _ways(paths: tuple[tuple[str, ...], ...]) -> str:
    """Return the first ways, and how many more there are."""
    shown = [way(path) for path in paths[:_MOST_WAYS]]
    more = len(paths) - len(shown)
    return "; ".join([*shown, f"and {more} more"]) if more else listed(shown)


def _nutrition(page: _Page, declaration: Declaration, *, dish: bool) -> None:
    page.heading("Nutrition")
    figures = declaration.figures
    per_100_g, incomplete = declaration.declared_per_100_g, figures.incomplete()
    keys = list(dict.fromkeys([*declaration.declared_per_portion, *per_100_g]))
    lines = {line.key: line.basis for line in declaration.law.nutrients}
    by_weight = not dish or any("per_100_g" in basis for basis in lines.values())
    columns = ([("in a portion", declaration.declared_per_portion)] if dish else []) + (
        [("in 100 g", per_100_g)] if by_weight else []
    )
    intake = daily_intake(declaration)
    shares = {one.key: f"{one.percent} %" for one in intake.per_portion}
    page.lines.append(
        f"{'':34}" + "".join(f"{head:>16}" for head, _ in columns) + (f"{'of a day':>12}" if shares else "")
    )
    must = {*_HEADLINE, *not_determined(declaration)}
    shown = [key for key in NUTRIENT_WORDS if key in keys or (key in incomplete and key in must and key in lines)]
    for key in shown:
        words, unit = NUTRIENT_WORDS[key]
        if key == "energy_kcal" and "energy_kj" not in shown:
            words = NUTRIENT_WORDS["energy_kj"][0]
        cells = "".join(
            f"{(values[key] + ' ' + unit) if key in values else _unknown(key):>16}" for _, values in columns
        )
        indent = "    " if words.startswith("of which") else "  "
        share = f"{shares.get(key, ''):>12}" if shares else ""
        page.lines.append(f"{indent + words:34}{cells}{share}".rstrip())
    if intake.statement:
        page.paragraph(intake.statement, 2)
    gaps: dict[str, list[str]] = {}
    for one in figures.missing:
        if one.nutrient in NUTRIENT_WORDS and one.nutrient not in ("energy_kcal", "sodium_mg", "water_g", "alcohol_g"):
            gaps.setdefault(f"{one.ingredient} ({_percent(one.share)} of what went in)", []).append(
                _plain(one.nutrient)
            )
    for ingredient, nutrients in gaps.items():
        page.entry("No figure", f"{ingredient}: {listed(nutrients)}", 2, _YELLOW)


def _unknown(key: str) -> str:
    return "not determined" if key == "added_sugars_g" else "not known"


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %" if share >= 0.005 else "less than 1 %"


_HEADLINE = frozenset(
    {
        "energy_kj",
        "energy_kcal",
        "fat_g",
        "saturates_g",
        "carbohydrate_g",
        "sugars_g",
        "fibre_g",
        "protein_g",
        "salt_g",
        "sodium_mg",
    }
)


def _plain(key: str) -> str:
    words = NUTRIENT_WORDS[key][0].removeprefix("of which ").lower()
    return words or key


def _ingredients(page: _Page, declaration: Declaration) -> None:
    page.heading("Ingredients, by weight as put in")
    kept = [
        f"{one.ingredient}{_KEEP}{100 * (one.share or 0.0):.1f}{_KEEP}%"
        for one in declaration.ingredients
        if not one.removed
    ]
    page.paragraph(", ".join(kept) or "none", 2)
    gone = [one.ingredient for one in declaration.ingredients if one.removed]
    if gone:
        page.entry("Taken out again", listed(gone), 2)


def _label(page: _Page, declaration: Declaration, declarer: Declarer) -> None:
    label = label_of(declarer.workings, declaration)
    page.heading("For a label")
    text = f"{label.ingredients.in_capitals()} {label.contains.text}".rstrip()
    page.paragraph(text.replace(" %", f"{_KEEP}%"), 2)
    if label.to_settle:
        page.entry("Not to be printed before these are settled", "; ".join(label.to_settle), 2, _YELLOW)


def _in_language(page: _Page, declaration: Declaration, language: str) -> None:
    """Name the allergens that are in it, or may be, in another language."""
    for status in (CONTAINS, MAY_CONTAIN):
        found: list[str] = []
        for row in declaration.allergens:
            if row.status == status:
                group = name_in_language(row.group.name, language) or f"{row.group.name} (no name on file)"
                single = [name for one in row.sources if (name := name_in_language(one, language)) and name != group]
                found.append(f"{group} ({', '.join(single)})" if single else group)
        if found:
            page.entry(f"{STATUS_ON_PAPER[status]}, in '{language}'", "; ".join(found), 2)


def _rough(page: _Page, declaration: Declaration) -> None:
    if not declaration.rough:
        return
    page.heading("Rough amounts: weigh these once")
    for one in declaration.rough:
        ground = f" ({one.ground})" if one.ground else ""
        page.entry(
            f"'{one.text}'",
            f"taken as {one.taken_as}, {one.taken_as_g:.3g} g, between {one.low_g:.3g} and {one.high_g:.3g} g{ground}",
            2,
        )
