"""A nutrient from the plate down to each ingredient: grams put in, figure in 100 g, its row or pack, and the law's rule."""

import numpy as np

from labeller.declarations.declaring import Declaration, Declarer
from labeller.declarations.ingredient_grounds import figure_grounds, path_words
from labeller.declarations.reasons import Reason, amount, grams
from labeller.jurisdictions.terms import Citation
from labeller.kitchen import constituents as c
from labeller.kitchen.batch import Batch

_UNITS = {"g": "g", "mg": "mg", "ug": "µg", "kj": "kJ", "kcal": "kcal"}
# Which pack figures give a figure; energy is always worked out from grams, so it has none of its own.
_PACK_KEYS = {
    "salt_g": ("salt_g",),
    "sodium_mg": ("sodium_mg",),
    "mono_unsaturates_g": ("monounsaturates_g",),
    "sugar_alcohol_g": ("polyols_g",),
    "energy_kj": ("fat_g", "carbohydrate_g", "protein_g"),
    "energy_kcal": ("fat_g", "carbohydrate_g", "protein_g"),
}
_ENERGY_FIGURES = {
    "fat": "fat_g", "carbohydrate": "carbohydrate_g", "protein": "protein_g", "fibre": "fibre_g", "alcohol": "alcohol_g",
    "polyols": "polyols_g",
}  # fmt: skip


def unit_of(key: str) -> str:
    """Return the unit a figure's key ends in, as it is printed."""
    return _UNITS.get(key.rsplit("_", 1)[-1], "")


def label_of(key: str) -> str:
    """Return a figure's key in words, without its unit."""
    return key.rsplit("_", 1)[0].replace("_", " ")


def explain_nutrient(declarer: Declarer, declaration: Declaration, key: str) -> Reason:
    """Explain one figure of a dish (one portion) or of one thing that is given (the batch).

    Parameters
    ----------
    key : str
        One of ``Definitions.keys``, such as ``fat_g``.

    Notes
    -----
    The contributions below add up to the figure: each is what the steps left of an ingredient, summed by the same definitions.
    """
    value = declaration.figures.sums[key]
    per_100_g = declaration.figures.per_100_g()[key]
    unit, label = unit_of(key), label_of(key)
    where = "one portion" if declaration.kind == "dish" else "the whole batch"
    head = f"{label.capitalize()} in {where} of {declaration.name}: {amount(value, unit)}, which is {amount(per_100_g, unit)} in 100 g."
    parts = [*_law_of_figure(declarer, declaration, key), *_missing(declaration, key)]
    if key in ("energy_kj", "energy_kcal"):
        parts.append(_energy(declarer, declaration, key))
    lines = _lines(declarer, declaration, key)
    parts.append(Reason("Where it comes from, the most first:", parts=tuple(lines)))
    return Reason(head, {key: value, f"{key}_per_100_g": per_100_g}, parts=tuple(parts))


def _law_of_figure(declarer: Declarer, declaration: Declaration, key: str) -> list[Reason]:
    law = declarer.law
    found: list[Reason] = []
    term = label_of(key)
    definitions = law.definitions.each
    for name in dict.fromkeys((term, "salt_or_sodium" if term in ("salt", "sodium") else term)):
        if name in definitions:
            one = definitions[name]
            found.append(Reason(f"How the law counts {term}: {one.words}.", clauses=(one.clause,)))
    declared = declaration.declared_per_100_g.get(key)
    portion = declaration.declared_per_portion.get(key)
    rule = law.rounding.get(key)
    if rule is not None and (declared is not None or portion is not None):
        shown = [
            f"{text} {rule.unit} {basis}"
            for text, basis in ((declared, "in 100 g"), (portion, "in a portion"))
            if text is not None
        ]
        found.append(Reason(f"Printed as {' and '.join(shown)}.", clauses=(rule.clause,)))
    return found


def _missing(declaration: Declaration, key: str) -> list[Reason]:
    gaps = [one for one in declaration.figures.missing if one.nutrient == key]
    if not gaps:
        return []
    total = sum(one.share for one in gaps)
    return [
        Reason(
            f"Not whole: {100 * total:.3g} % of the weight put in has no figure, so the figure is the sum of what is known and is not printed.",
            {"missing_share": total},
            parts=tuple(
                Reason(f"{one.ingredient}: {100 * one.share:.3g} % of the weight put in", {"share": one.share})
                for one in gaps
            ),
        )
    ]


def _energy(declarer: Declarer, declaration: Declaration, key: str) -> Reason:
    law, sums = declarer.law, declaration.figures.sums
    kcal_first = law.energy_method.source == "kcal" or (key == "energy_kcal" and law.energy_method.source == "each")
    unit = "kcal" if kcal_first else "kJ"
    polyols_g = sums.get("polyols_g", 0.0)
    parts: list[Reason] = []
    for name, factor in law.energy_factors.items():
        figure = _ENERGY_FIGURES.get(name)
        if figure is None or figure not in sums or (name == "fibre" and declarer.definitions.with_fibre):
            continue
        weight = sums[figure] - (polyols_g if name == "carbohydrate" and "polyols" in law.energy_factors else 0.0)
        if weight <= 0.0:
            continue
        per_g = factor.kcal if kcal_first else factor.kj
        what = "polyols" if name == "polyols" else label_of(figure)
        parts.append(
            Reason(
                f"{what}: {grams(weight)} x {per_g:g} {unit}/g = {amount(weight * per_g, unit)}",
                {"weight_g": weight, "per_g": per_g, "energy": weight * per_g},
                clauses=(factor.clause,),
            )
        )
    method = law.energy_method
    words = f"Energy is worked out from grams with the law's factors, in {unit}:"
    if method.kj_per_kcal is not None:
        words = f"Energy is worked out from grams with the law's factors, in {unit}, with {method.kj_per_kcal:g} kJ to the kcal:"
    return Reason(words, clauses=(method.clause,), parts=tuple(parts))


def _lines(declarer: Declarer, declaration: Declaration, key: str) -> list[Reason]:
    unit = unit_of(key)
    if declaration.plate is None:
        return _ingredients(declarer, declaration.batch, key)
    found: list[Reason] = []
    for line in declaration.plate.lines:
        value = _figure(declarer, line.batch, key)
        target = line.line.target
        below = _ingredients(declarer, line.batch, key)
        if target is not None and target.kind == "ingredient" and len(below) == 1:
            only = below[0]
            found.append(
                Reason(
                    f"'{line.line.text}': {only.text}",
                    only.figures,
                    (str(line.line.origin), *only.grounds),
                    only.clauses,
                )
            )
            continue
        found.append(
            Reason(
                f"'{line.line.text}' ({grams(line.batch.weight_g)}): {amount(value, unit)}",
                {key: value},
                (str(line.line.origin),),
                parts=tuple(below),
            )
        )
    return sorted(found, key=lambda one: -one.figures.get(key, 0.0))


def _ingredients(declarer: Declarer, batch: Batch, key: str) -> list[Reason]:
    larder, unit = declarer.workings.larder, unit_of(key)
    known = declarer.definitions.known[key]
    found: list[Reason] = []
    none_in: list[str] = []
    ingoing = batch.ingoing()
    for place in dict.fromkeys(batch.ids.tolist()):
        mask = batch.ids == place
        own = Batch(batch.ids[mask], batch.rows[mask], batch.heat[mask])
        put_in = ingoing.get(place, 0.0)
        path = batch.present.get(place, (larder.names[place],))
        way = f", by way of {path_words(path[:-1])}" if len(path) > 1 else ""
        value = _figure(declarer, own, key)
        if not known[place]:
            # A drink known by its strength alone still brings the energy of its alcohol.
            some = f"; what is known of it brings {amount(value, unit)}" if value > 0.0 else ""
            found.append(
                Reason(
                    f"{larder.names[place]}{way}: {grams(put_in)} put in, and no {'whole ' if some else ''}figure is known{some}",
                    {key: value, "put_in_g": put_in},
                    figure_grounds(declarer.workings, place),
                )
            )
            continue
        per_100_g = _figure(declarer, _hundred_grams(declarer, place), key)
        if value == 0.0 and (per_100_g == 0.0 or put_in == 0.0):
            none_in.append(larder.names[place])
            continue
        plain = put_in * per_100_g / 100.0
        words = f"{larder.names[place]}{way}: {grams(put_in)} put in x {amount(per_100_g, unit)} in 100 g = {amount(plain, unit)}"
        if abs(plain - value) > 0.005 * max(abs(plain), 1e-6):
            words += f"; after the steps {amount(value, unit)} of it is here"
        grounds, clauses = _figure_source(declarer, place, key)
        found.append(Reason(words, {key: value, "put_in_g": put_in, "per_100_g": per_100_g}, grounds, clauses))
    if none_in:
        found.append(Reason(f"None comes from: {', '.join(sorted(none_in))} (by their rows or packs).", {key: 0.0}))
    return sorted(found, key=lambda one: (-one.figures.get(key, 0.0), one.text))


def _figure_source(declarer: Declarer, place: int, key: str) -> tuple[tuple[str, ...], tuple[Citation, ...]]:
    larder = declarer.workings.larder
    entry = larder.entries[place]
    keys = _PACK_KEYS.get(key, (key,))
    if key == "salt_g" and "sodium_mg" in entry.per_100_g:
        keys = ("sodium_mg",)
    elif key == "sodium_mg" and "sodium_mg" not in entry.per_100_g and "salt_g" in entry.per_100_g:
        keys = ("salt_g",)
    grounds = list(figure_grounds(declarer.workings, place, keys))
    factor = float(larder.protein_factor[place])
    if key == "protein_g" and declarer.definitions.by_nitrogen and abs(factor - 1.0) > 1e-9:
        grounds.append(
            f"the row's protein x {factor:.4f}: nitrogen x 6.25 in place of the row's own factor {6.25 / factor:.3g}"
        )
    if key == "sugars_g" and float(declarer.definitions.sugar_factor[place]) < 1.0:
        grounds.append("its sugars stand above its carbohydrate, and were lowered to it")
    if entry.strength_percent_vol is not None and key in ("alcohol_g", "energy_kj", "energy_kcal"):
        grounds.append(f"strength {entry.strength_percent_vol:g} % vol ({entry.origin})")
    if key == "water_g" and larder.water_calculated[place]:
        grounds.append("water is what its other constituents leave of 100 g")
    return tuple(grounds), ()


def _figure(declarer: Declarer, batch: Batch, key: str) -> float:
    return declarer.definitions.figures_of(batch).sums[key]


def _hundred_grams(declarer: Declarer, place: int) -> Batch:
    rows = declarer.workings.larder.per_gram[place][None, :] * 100.0
    return Batch(np.array([place], dtype=np.intp), rows, c.UNHEATED[None, :])
