"""Read an ingredient: what is bought in, with its figures and its supplier's specification."""

from collections.abc import Callable

from labeller.book.entries import Ingredient, Spec
from labeller.book.fields import (
    Fields,
    Notes,
    parse_day,
    parse_density,
    parse_strength,
    parse_sulphites,
    parse_weight,
)
from labeller.book.kitchen_entry import take_made_on
from labeller.book.names_index import ShelfGood, load_shelf, shelf_names
from labeller.book.raw_entries import RawEntry, value_of
from labeller.book.yaml_tree import Mapping, Node, Scalar, Sequence
from labeller.foundations.faults import Origin
from labeller.foundations.names import exact_key, fold_text, name_key
from labeller.foundations.quantities import parse_number

PACK_GRAMS = (
    "fat_g", "saturates_g", "monounsaturates_g", "polyunsaturates_g", "trans_fat_g", "carbohydrate_g", "sugars_g",
    "added_sugars_g", "polyols_g", "starch_g", "fibre_g", "protein_g", "salt_g", "alcohol_g", "water_g",
)  # fmt: skip
PACK_OTHER = (
    "energy_kj", "energy_kcal", "sodium_mg", "cholesterol_mg", "potassium_mg", "calcium_mg", "iron_mg", "vitamin_d_ug", "caffeine_mg",
)  # fmt: skip

# What an entry that says 'shelf: NAME' takes over where it has no figure of its own.
_FROM_GOOD = ("composition", "per_100_g", "density", "piece", "measures", "strength", "sulphites")


def read_ingredient(
    entry: RawEntry,
    notes: Notes,
    equipment: dict[str, str],
    row_exists: Callable[[str], bool],
    *,
    from_shelf: bool = False,
) -> Ingredient:
    """Read one ingredient; a good of the shelf may say what it holds as well.

    ``equipment`` maps the key of each shared machine to its name; ``row_exists`` knows the rows of the reference table.
    """
    fields = Fields(entry.node, entry.path, notes, "an ingredient")
    fields.node("ingredient")
    good = None if from_shelf else _take_good(fields)
    composition = fields.text("composition").casefold().replace(" ", "")
    if composition:
        code = composition.removeprefix("sr28:")
        if not composition.startswith("sr28:") or not (code.isdigit() and len(code) == 5):
            fields.fault(
                fields.line_of("composition"),
                "composition",
                f"'{fields.text('composition')}' is not a row of the reference table.",
                "Write it as 'sr28:01053'; 'labeller foods double cream' finds rows.",
            )
            composition = ""
        elif not row_exists(code):
            fields.fault(
                fields.line_of("composition"),
                "composition",
                f"the reference table has no row '{code}'.",
                f"Find one with 'labeller foods {entry.name}'.",
            )
            composition = ""
        else:
            composition = code
    strength = fields.parsed("strength", parse_strength, "a strength such as '40 % vol'")
    if strength is not None and strength > 100.0:
        fields.fault(
            fields.line_of("strength"),
            "strength",
            f"'{fields.text('strength')}' is stronger than pure alcohol.",
            "Write the strength on the bottle: '40 % vol'.",
        )
        strength = None
    spec_node = fields.node("spec")
    piece = fields.parsed("piece", parse_weight, "a weight such as '60 g'")
    allergens: tuple[tuple[str, str], ...] | None = None
    left_open: tuple[str, ...] = ()
    ground = ""
    if from_shelf:
        allergens, left_open = _shelf_allergens(fields.node("allergens"))
        ground = fields.text("ground")
        fields.text("source")
    elif good is not None:
        allergens, left_open = _shelf_allergens(value_of(good.entry(), "allergens"))
        ground = str(good.record.get("ground", ""))
    built = Ingredient(
        entry.name,
        Origin(entry.path, entry.line),
        also=fields.texts("also") or (),
        composition=composition,
        per_100_g=_per_100_g(fields),
        density_g_per_ml=fields.parsed("density", parse_density, "a density such as '1.01 g/ml'"),
        piece_g=piece.estimate if piece else None,
        measures=fields.measures(),
        strength_percent_vol=strength,
        sulphites_mg_per_kg=fields.parsed("sulphites", parse_sulphites, "an amount such as '120 mg/kg'"),
        made_on=take_made_on(fields, equipment),
        spec=_spec(spec_node, entry.path, notes) if spec_node is not None else None,
        keeps=fields.text("keeps"),
        matched=fields.text("matched"),
        from_shelf=from_shelf,
        shelf_allergens=allergens,
        shelf_unconfirmed=left_open,
        ground=ground,
        provenance=fields.text("provenance"),
    )
    fields.finish()
    return built


def _take_good(fields: Fields) -> ShelfGood | None:
    """Return the good of the shelf that an entry says it is, its data put where the entry has none of its own."""
    name = fields.text("shelf")
    if not name:
        return None
    good = load_shelf().get(exact_key(name)) or load_shelf().get(name_key(name))
    if good is None:
        near = fields.notes.nearest(name, shelf_names())
        mend = (
            f"Write {' or '.join(repr(one) for one in near)}."
            if near
            else "Leave it out, and give the pack's figures."
        )
        fields.fault(fields.line_of("shelf"), "shelf", f"'{name}' is not on the shelf.", mend)
        return None
    own_row = fields.text("composition").casefold().replace(" ", "")
    if own_row and own_row != good.record.get("composition"):
        fields.fault(
            fields.line_of("composition"),
            "composition",
            f"'{own_row}' is not the row of '{good.name}' on the shelf, so they are two goods.",
            "Keep one of 'shelf' and 'composition'.",
        )
        return None
    for key, value in good.entry().pairs:
        if key.text in _FROM_GOOD:
            fields.nodes.setdefault(key.text, (key, value))
    return good


def _per_100_g(fields: Fields) -> dict[str, float]:
    node = fields.node("per_100_g")
    if node is None:
        return {}
    if not isinstance(node, Mapping):
        fields.fault(
            node.line,
            "per_100_g",
            "this is not a list of figures.",
            "Write 'per_100_g: {fat_g: 48.0, salt_g: 0.05}'.",
        )
        return {}
    inner = Fields(node, fields.path, fields.notes, "per_100_g")
    found: dict[str, float] = {}
    for key in (*PACK_GRAMS, *PACK_OTHER):
        value = inner.parsed(key, _figure, "a figure such as '2.6'")
        if value is None:
            continue
        if key in PACK_GRAMS and value > 100.0:
            inner.fault(
                inner.line_of(key),
                f"per_100_g.{key}",
                f"'{inner.text(key)}' is more than 100 g in 100 g.",
                "Write the figure for 100 g.",
            )
            continue
        found[key] = value
    inner.finish()
    if (
        "salt_g" in found
        and "sodium_mg" in found
        and abs(found["salt_g"] * 400.0 - found["sodium_mg"]) > 0.05 * found["sodium_mg"] + 20.0
    ):
        inner.fault(
            inner.line_of("sodium_mg"),
            "per_100_g.sodium_mg",
            f"salt {found['salt_g']:g} g and sodium {found['sodium_mg']:g} mg do not agree: salt is sodium x 2.5.",
            "Keep the one the pack prints.",
        )
    return found


def _spec(node: Node, path: str, notes: Notes) -> Spec | None:
    if not isinstance(node, Mapping):
        notes.fault(
            path,
            node.line,
            "spec",
            "this is not a specification with its keys.",
            "Write 'spec: {supplier: ..., dated: 2026-10-01, statement: \"...\"}'.",
        )
        return None
    fields = Fields(node, path, notes, "a spec")
    statement = fields.text("statement") if "statement" in fields.nodes else None
    declares = fields.texts("declares", split=True)
    covers = fold_text(fields.text("covers"))
    if covers and covers != "all":
        fields.fault(
            fields.line_of("covers"),
            "covers",
            f"'{fields.text('covers')}' is not a word for what a spec covers.",
            "Write 'covers: all', or leave it out.",
        )
    if covers == "all" and statement is None and declares is None:
        fields.fault(
            fields.line_of("covers"),
            "covers",
            "'covers: all' stands beside no list, so nothing says what is in it.",
            "Write 'declares:' with the allergens, or 'declares: none', or the supplier's 'statement'.",
        )
    if statement is not None and declares is not None:
        fields.advise(
            fields.line_of("declares"),
            "spec.declares",
            "there is a statement as well as 'declares'; both are read, the stronger word counts.",
            "Keep the statement, which says more.",
        )
    spec = Spec(
        Origin(path, node.line),
        supplier=fields.text("supplier"),
        reference=fields.text("reference"),
        dated=fields.parsed("dated", parse_day, "a day such as '2026-10-01'"),
        statement=statement or None,
        may_contain=fields.texts("may_contain"),
        declares=declares,
        covers_all=covers == "all",
    )
    fields.finish(["statement"])
    return spec


def _figure(text: str) -> float | None:
    value = parse_number(text)
    return value if value is not None and value < 1e6 else None


def _shelf_allergens(node: Node | None) -> tuple[tuple[tuple[str, str], ...], tuple[str, ...]]:
    """Read what a shelf good holds and what is open about it; its build step has checked the form."""
    found: list[tuple[str, str]] = []
    contains = value_of(node, "contains") if isinstance(node, Mapping) else None
    for item in contains.items if isinstance(contains, Sequence) else []:
        if isinstance(item, Scalar):
            found.append((item.text, ""))
        elif isinstance(item, Mapping):
            source, derivation = value_of(item, "source"), value_of(item, "derivation")
            found.append(
                (
                    source.text if isinstance(source, Scalar) else "",
                    derivation.text if isinstance(derivation, Scalar) else "",
                )
            )
    open_node = value_of(node, "unconfirmed") if isinstance(node, Mapping) else None
    left_open = [
        item.text for item in (open_node.items if isinstance(open_node, Sequence) else []) if isinstance(item, Scalar)
    ]
    return tuple(found), tuple(left_open)
