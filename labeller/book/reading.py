"""Read a whole book from its folder: every file, every entry, every fault in one run."""

import os
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

from labeller.book.entries import (
    Book,
    Dish,
    Equipment,
    Given,
    Ingredient,
    Kitchen,
    Measure,
    Menu,
    Preparation,
    Spec,
    Target,
)
from labeller.book.fields import (
    Fields,
    Notes,
    parse_day,
    parse_density,
    parse_strength,
    parse_sulphites,
    parse_weight,
)
from labeller.book.lines import LineReader
from labeller.book.method import read_method
from labeller.book.names_index import NameIndex
from labeller.book.yaml_tree import Mapping, Node, Scalar, Sequence, decode_text, parse_tree
from labeller.foundations.faults import Fault, Origin
from labeller.foundations.names import fold_text, name_key, nearest_names
from labeller.foundations.quantities import parse_number

ENTRY_KINDS = ("kitchen", "ingredient", "preparation", "dish", "menu")
PACK_GRAMS = (
    "fat_g", "saturates_g", "monounsaturates_g", "polyunsaturates_g", "trans_fat_g", "carbohydrate_g", "sugars_g",
    "added_sugars_g", "polyols_g", "starch_g", "fibre_g", "protein_g", "salt_g", "alcohol_g", "water_g",
)  # fmt: skip
PACK_OTHER = (
    "energy_kj", "energy_kcal", "sodium_mg", "cholesterol_mg", "potassium_mg", "calcium_mg", "iron_mg", "vitamin_d_ug", "caffeine_mg",
)  # fmt: skip
MOST_BOOK_BYTES = 20_000_000


@dataclass(frozen=True, slots=True)
class BookFiles:
    """The files of a book as read from disk, path relative to its folder to bytes, in the order of their paths."""

    folder: Path
    raw: dict[str, bytes]
    faults: tuple[Fault, ...] = ()


def read_files(folder: Path) -> BookFiles:
    """Read every YAML file of a book at any depth; hidden files and folders are passed over."""
    raw: dict[str, bytes] = {}
    faults: list[Fault] = []
    total = 0
    if folder.is_file():
        return BookFiles(folder.parent, {folder.name: folder.read_bytes()})
    for place, folders, files in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(files):
            if name.startswith(".") or not name.lower().endswith((".yaml", ".yml")):
                continue
            file = Path(place) / name
            path = file.relative_to(folder).as_posix()
            try:
                raw[path] = file.read_bytes()
            except OSError:
                faults.append(
                    Fault(
                        Origin(path),
                        "file",
                        "this file is not readable.",
                        "Give yourself the right to read it, or move it out of the book.",
                    )
                )
                continue
            total += len(raw[path])
            if total > MOST_BOOK_BYTES:
                faults.append(
                    Fault(
                        Origin(path),
                        "file",
                        "the book is larger than 20 MB.",
                        "Move what is not a recipe out of its folder.",
                    )
                )
                return BookFiles(folder, raw, tuple(faults))
    return BookFiles(folder, raw, tuple(faults))


@dataclass(frozen=True, slots=True)
class _Entry:
    kind: str
    name: str
    node: Mapping
    path: str
    line: int


class _BookReader:
    def __init__(
        self,
        notes: Notes,
        jurisdictions: Iterable[str],
        row_exists: Callable[[str], bool],
        trade_pieces: frozenset[str],
    ) -> None:
        self.notes = notes
        self.jurisdictions = tuple(jurisdictions)
        self.row_exists = row_exists
        self.trade_pieces = trade_pieces
        self.index = NameIndex()
        self.equipment: dict[str, str] = {}

    # -- entries -----------------------------------------------------------------------------------------------------

    def entries_of(self, documents: list[Node], path: str) -> list[_Entry]:
        found: list[_Entry] = []
        for document in documents:
            if isinstance(document, Scalar) and not document.text.strip():
                continue
            if not isinstance(document, Sequence):
                self._fault(
                    path,
                    document.line,
                    "file",
                    "this file is not a list of entries.",
                    "Begin each entry with '- ', as in '- ingredient: double cream'.",
                )
                continue
            for node in document.items:
                entry = self._entry(node, path)
                if entry is not None:
                    found.append(entry)
        return found

    def _entry(self, node: Node, path: str) -> _Entry | None:
        if not isinstance(node, Mapping) or not node.pairs:
            shown = f"'{node.text[:60]}'" if isinstance(node, Scalar) and node.text else "this"
            self._fault(
                path,
                node.line,
                "file",
                f"{shown} is not an entry.",
                f"Begin an entry with its kind and name: one of {', '.join(ENTRY_KINDS)}.",
            )
            return None
        key, value = node.pairs[0]
        kind = fold_text(key.text)
        if kind not in ENTRY_KINDS:
            later = [other for other, _ in node.pairs[1:] if fold_text(other.text) in ENTRY_KINDS]
            near = nearest_names(kind, list(ENTRY_KINDS))
            if later:
                self._fault(
                    path,
                    later[0].line,
                    later[0].text,
                    f"'{later[0].text}' is not the first key of its entry.",
                    f"Write it above '{key.text}': the first key says what an entry is.",
                )
            else:
                mend = (
                    f"Write '{near[0]}'." if near else f"The first key of an entry is one of {', '.join(ENTRY_KINDS)}."
                )
                self._fault(path, key.line, key.text, f"'{key.text}' is not a kind of entry.", mend)
            return None
        name = " ".join(value.text.split()) if isinstance(value, Scalar) else ""
        if not name:
            self._fault(path, key.line, kind, f"this {kind} has no name.", f"Write '- {kind}: ' and its name.")
            return None
        return _Entry(kind, name, node, path, key.line)

    def kitchen(self, entries: list[_Entry]) -> Kitchen | None:
        kitchens = [entry for entry in entries if entry.kind == "kitchen"]
        if not kitchens:
            self._fault(
                ".",
                0,
                "kitchen",
                "no file of this book has a kitchen entry.",
                "Add '- kitchen: ' with the name of the house and 'jurisdiction: gb'.",
            )
            return None
        for entry in kitchens[1:]:
            self._fault(
                entry.path,
                entry.line,
                "kitchen",
                f"'{entry.name}' is a second kitchen; '{kitchens[0].name}' stands in {kitchens[0].path}:{kitchens[0].line}.",
                "Keep one kitchen entry.",
            )
        entry = kitchens[0]
        fields = Fields(entry.node, entry.path, self.notes, "a kitchen")
        fields.node("kitchen")
        code = fields.text("jurisdiction").casefold()
        if code not in self.jurisdictions:
            near = nearest_names(code, list(self.jurisdictions))
            problem = (
                f"'{code}' is not a jurisdiction this tool knows."
                if code
                else "the kitchen does not say under which law it sells."
            )
            mend = (
                f"Write '{near[0]}'."
                if near
                else f"Write 'jurisdiction:' with one of {', '.join(self.jurisdictions)}."
            )
            fields.fault(fields.line_of("jurisdiction"), "jurisdiction", problem, mend)
            code = ""
        equipment = self._shared_equipment(fields)
        review = fields.parsed("spec_review", _days, "a time such as '12 months'")
        kitchen = Kitchen(
            entry.name,
            code,
            Origin(entry.path, entry.line),
            language=fields.text("language", "en").casefold(),
            address=fields.text("address"),
            measures=fields.measures(),
            shared_equipment=equipment,
            spec_review_days=review or 365,
        )
        fields.finish()
        return kitchen

    def _shared_equipment(self, fields: Fields) -> tuple[Equipment, ...]:
        node = fields.node("shared_equipment")
        found: list[Equipment] = []
        items = node.items if isinstance(node, Sequence) else [] if node is None else [node]
        for item in items:
            if isinstance(item, Scalar):
                name, cleaned, checked, carries = " ".join(item.text.split()), "", "", None
            elif isinstance(item, Mapping):
                inner = Fields(item, fields.path, self.notes, "shared equipment")
                name, cleaned, checked = inner.text("name"), inner.text("cleaned"), inner.text("checked")
                carries = inner.parsed("carries", parse_sulphites, "a concentration such as '10 mg/kg'")
                inner.finish()
            else:
                name, cleaned, checked, carries = "", "", "", None
            if not name:
                fields.fault(
                    item.line,
                    "shared_equipment",
                    "this equipment has no name.",
                    "Write '- deep fryer', or '- {name: churn, cleaned: hot wash, checked: weekly swab}'.",
                )
                continue
            if bool(cleaned) != bool(checked):
                missing = "checked" if cleaned else "cleaned"
                fields.advise(
                    item.line,
                    "shared_equipment",
                    f"'{name}' says how it is {'cleaned' if cleaned else 'checked'} and not how it is {missing}, so it still passes allergens on.",
                    f"Add '{missing}:' if that is done.",
                )
            if name_key(name) in self.equipment:
                fields.fault(item.line, "shared_equipment", f"'{name}' is given twice.", "Keep one of them.")
                continue
            self.equipment[name_key(name)] = name
            found.append(Equipment(name, Origin(fields.path, item.line), cleaned, checked, carries))
        return tuple(found)

    def made_on(self, fields: Fields) -> tuple[str, ...]:
        """Take 'made_on', whose words must be equipment of the kitchen."""
        found = []
        for name in fields.texts("made_on", split=True) or ():
            known = self.equipment.get(name_key(name))
            if known is None:
                near = nearest_names(name, list(self.equipment.values()))
                mend = (
                    f"Write '{near[0]}', or add it to the kitchen's shared_equipment."
                    if near
                    else "Add it to the kitchen's shared_equipment."
                )
                fields.fault(
                    fields.line_of("made_on"), "made_on", f"'{name}' is not shared equipment of the kitchen.", mend
                )
            else:
                found.append(known)
        return tuple(found)

    def ingredient(self, entry: _Entry, *, from_shelf: bool = False) -> Ingredient:
        fields = Fields(entry.node, entry.path, self.notes, "an ingredient")
        fields.node("ingredient")
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
            elif not self.row_exists(code):
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
        built = Ingredient(
            entry.name,
            Origin(entry.path, entry.line),
            also=fields.texts("also") or (),
            composition=composition,
            per_100_g=self._per_100_g(fields),
            density_g_per_ml=fields.parsed("density", parse_density, "a density such as '1.01 g/ml'"),
            piece_g=piece.estimate if piece else None,
            measures=fields.measures(),
            strength_percent_vol=strength,
            sulphites_mg_per_kg=fields.parsed("sulphites", parse_sulphites, "an amount such as '120 mg/kg'"),
            made_on=self.made_on(fields),
            spec=self._spec(spec_node, entry.path) if spec_node is not None else None,
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

    def _per_100_g(self, fields: Fields) -> dict[str, float]:
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
        inner = Fields(node, fields.path, self.notes, "per_100_g")
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

    def _spec(self, node: Node, path: str) -> Spec | None:
        if not isinstance(node, Mapping):
            self._fault(
                path,
                node.line,
                "spec",
                "this is not a specification with its keys.",
                "Write 'spec: {supplier: ..., dated: 2026-10-01, statement: \"...\"}'.",
            )
            return None
        fields = Fields(node, path, self.notes, "a spec")
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
        fields.finish()
        return spec

    # -- preparations, dishes, menus ------------------------------------------------------------------------------------

    def given_of(self, entry: _Entry) -> tuple[Given, ...]:
        """Read what a preparation gives; a plain weight, or nothing, gives one thing of its own name."""
        node = _value_of(entry.node, "gives")
        itself = Given(entry.name, Origin(entry.path, entry.line))
        if not isinstance(node, Mapping):
            return (itself,)
        found: list[Given] = []
        for key, value in node.pairs:
            origin = Origin(entry.path, key.line)
            given = Given(" ".join(key.text.split()), origin)
            if isinstance(value, Scalar):
                part, weighs = value.text, None
            elif isinstance(value, Mapping):
                fields = Fields(value, entry.path, self.notes, "what is given")
                part = fields.text("part")
                weighs = fields.parsed("weighs", parse_weight, "a weight such as '690 g'")
                given = Given(
                    given.name,
                    origin,
                    weighs=weighs,
                    keeps=fields.text("keeps"),
                    measures=fields.measures(),
                    makes=fields.positive("makes", "a number of pieces such as '8'"),
                    density_g_per_ml=fields.parsed("density", parse_density, "a density such as '1.01 g/ml'"),
                )
                fields.finish()
            else:
                part, weighs = "", None
            word = fold_text(part)
            if word not in ("solids", "liquor", "pan", ""):
                self._fault(
                    entry.path,
                    value.line,
                    f"gives.{key.text}",
                    f"'{part}' is not a part of the pan.",
                    "Write 'solids' or 'liquor'.",
                )
                continue
            named: Given = Given(
                given.name,
                origin,
                "solids" if word == "solids" else "liquor" if word == "liquor" else "pan",
                given.weighs,
                given.keeps,
                given.measures,
                given.makes,
                given.density_g_per_ml,
            )
            if any(other.part == named.part for other in found):
                self._fault(
                    entry.path,
                    value.line,
                    f"gives.{key.text}",
                    f"'{word or 'the pan'}' is given twice.",
                    "Give each part of the pan one name.",
                )
                continue
            found.append(named)
        return tuple(found) or (itself,)

    def enter_names(
        self, entries: list[_Entry], ingredients: list[Ingredient], givens: dict[int, tuple[Given, ...]]
    ) -> None:
        """Enter every name of the book; a name given twice is a fault that names both places."""
        places: dict[Target, Origin] = {}

        def enter(name: str, target: Target, origin: Origin, field: str) -> None:
            already = self.index.add(name, target)
            if already is None:
                places.setdefault(target, origin)
            elif already != target:
                first = places.get(already, Origin(""))
                self.notes.faults.append(
                    Fault(
                        origin,
                        field,
                        f"'{name}' is given twice: '{already.given or already.entry}' stands in {first}.",
                        "Give one of them another name.",
                    )
                )

        for ingredient in ingredients:
            target = Target("ingredient", ingredient.name)
            if (
                any(other.name == ingredient.name and other is not ingredient for other in ingredients)
                and target in places
            ):
                self.notes.faults.append(
                    Fault(
                        ingredient.origin,
                        "ingredient",
                        f"'{ingredient.name}' is given twice: it also stands in {places[target]}.",
                        "Keep one of them.",
                    )
                )
                continue
            for name in (ingredient.name, *ingredient.also):
                enter(name, target, ingredient.origin, "ingredient" if name == ingredient.name else "also")
        seen: dict[str, Origin] = {}
        for position, entry in enumerate(entries):
            if entry.kind != "preparation":
                continue
            origin = Origin(entry.path, entry.line)
            if name_key(entry.name) in seen:
                self.notes.faults.append(
                    Fault(
                        origin,
                        "preparation",
                        f"'{entry.name}' is given twice: it also stands in {seen[name_key(entry.name)]}.",
                        "Give one of them another name.",
                    )
                )
                continue
            seen[name_key(entry.name)] = origin
            names = [given.name for given in givens[position]]
            for given in givens[position]:
                enter(
                    given.name,
                    Target("given", entry.name, given.name),
                    given.origin,
                    "preparation" if given.name == entry.name else f"gives.{given.name}",
                )
            if name_key(entry.name) not in {name_key(name) for name in names}:
                enter(entry.name, Target("given", entry.name, ""), origin, "preparation")
            elif (also := _value_of(entry.node, "also")) is not None and isinstance(also, Sequence):
                for item in also.items:
                    if isinstance(item, Scalar):
                        enter(item.text, Target("given", entry.name, names[0]), Origin(entry.path, item.line), "also")

    def preparation(self, entry: _Entry, given: tuple[Given, ...], reader: LineReader) -> Preparation:
        fields = Fields(entry.node, entry.path, self.notes, "a preparation")
        fields.node("preparation")
        takes_node, method_node, gives_node = fields.node("takes"), fields.node("method"), fields.node("gives")
        if takes_node is None:
            fields.fault(
                entry.line, "takes", f"'{entry.name}' takes nothing.", "Write 'takes:' and one amount on each line."
            )
        takes = reader.read_list(takes_node, entry.path, "takes") if takes_node is not None else ()
        if takes_node is not None and isinstance(takes_node, Sequence) and not takes_node.items:
            fields.fault(
                fields.line_of("takes"), "takes", f"'{entry.name}' takes nothing.", "Write one amount on each line."
            )
        method = read_method(method_node, entry.path, reader) if method_node is not None else ()
        weight = None
        if isinstance(gives_node, Scalar):
            weight = fields.parsed(
                "gives", parse_weight, "a weight such as '1150 g', or parts such as '{damson gin: liquor}'"
            )
        elif isinstance(gives_node, Sequence):
            fields.fault(
                gives_node.line,
                "gives",
                "this is a list, not a weight or named parts.",
                "Write 'gives: 1150 g', or 'gives: {damson gin: liquor}'.",
            )
        elif isinstance(gives_node, Mapping):
            strained = any(step.kind == "strain" for step in method)
            method_read = method_node is None or len(method) == len(
                method_node.items if isinstance(method_node, Sequence) else [method_node]
            )
            for one in given:
                if one.part != "pan" and not strained and method_read:
                    self.notes.faults.append(
                        Fault(
                            one.origin,
                            f"gives.{one.name}",
                            f"'{one.name}' is the {one.part} of a pan that is never strained.",
                            "Add a 'strain' step to the method, or write 'gives:' with a weight.",
                        )
                    )
        piece = fields.parsed("piece", parse_weight, "a weight such as '60 g'")
        built = Preparation(
            entry.name,
            Origin(entry.path, entry.line),
            takes=takes,
            method=method,
            gives=given,
            gives_weight=weight,
            gives_origin=Origin(entry.path, fields.line_of("gives")) if weight else None,
            made_on=self.made_on(fields),
            keeps=fields.text("keeps"),
            makes=fields.positive("makes", "a number of pieces such as '8'"),
            measures=fields.measures(),
            density_g_per_ml=fields.parsed("density", parse_density, "a density such as '1.01 g/ml'"),
            piece_g=piece.estimate if piece else None,
            storage=fields.text("storage"),
            reheat=fields.text("reheat"),
            also=fields.texts("also") or (),
        )
        fields.finish()
        return built

    def dish(self, entry: _Entry, reader: LineReader) -> Dish:
        fields = Fields(entry.node, entry.path, self.notes, "a dish")
        fields.node("dish")
        plate_node = fields.node("plate")
        plate = reader.read_list(plate_node, entry.path, "plate") if plate_node is not None else ()
        if plate_node is None or (isinstance(plate_node, Sequence) and not plate_node.items):
            fields.fault(
                entry.line,
                "plate",
                f"nothing is on the plate of '{entry.name}'.",
                "Write 'plate:' and one amount on each line.",
            )
        serves = fields.positive("serves", "a number of portions such as '1'")
        built = Dish(
            entry.name,
            Origin(entry.path, entry.line),
            plate=plate,
            serves=serves or 1.0,
            description=fields.text("description"),
            course=fields.text("course"),
            suitable_for=fields.texts("suitable_for", split=True) or (),
            reheat=fields.text("reheat"),
            keeps=fields.text("keeps"),
        )
        fields.finish()
        return built

    def menu(self, entry: _Entry, dishes: dict[str, str]) -> Menu:
        fields = Fields(entry.node, entry.path, self.notes, "a menu")
        fields.node("menu")
        node = fields.node("sections")
        sections: list[tuple[str, tuple[str, ...]]] = []
        if not isinstance(node, Mapping):
            fields.fault(
                fields.line_of("sections"),
                "sections",
                f"the menu '{entry.name}' has no sections.",
                "Write 'sections: {desserts: [damson and custard ice]}'.",
            )
            node = Mapping([], entry.line)
        for key, value in node.pairs:
            names: list[str] = []
            for item in value.items if isinstance(value, Sequence) else [value]:
                text = " ".join(item.text.split()) if isinstance(item, Scalar) else ""
                known = dishes.get(name_key(text))
                if known is None:
                    near = nearest_names(text, list(dishes.values()))
                    mend = (
                        f"Write '{near[0]}', or add a dish of that name."
                        if near
                        else "Add a dish of that name, or take it off the menu."
                    )
                    fields.fault(item.line, f"sections.{key.text}", f"'{text}' is not a dish of this book.", mend)
                else:
                    names.append(known)
            sections.append((key.text, tuple(names)))
        fields.finish()
        return Menu(entry.name, Origin(entry.path, entry.line), tuple(sections))

    def _fault(self, path: str, line: int, field: str, problem: str, mend: str) -> None:
        self.notes.faults.append(Fault(Origin(path, line), field, problem, mend))


def _value_of(node: Mapping, name: str) -> Node | None:
    for key, value in node.pairs:
        if fold_text(key.text) == name:
            return value
    return None


def _figure(text: str) -> float | None:
    value = parse_number(text)
    return value if value is not None and value < 1e6 else None


def _days(text: str) -> int | None:
    from labeller.foundations.quantities import parse_minutes  # noqa: PLC0415 - rarely asked for

    minutes = parse_minutes(text)
    return None if minutes is None else max(1, round(minutes / 1440.0))


def _shelf_allergens(node: Node | None) -> tuple[tuple[tuple[str, str], ...], tuple[str, ...]]:
    """Read what a shelf good holds and what is open about it; its build step has checked the form."""
    found: list[tuple[str, str]] = []
    contains = _value_of(node, "contains") if isinstance(node, Mapping) else None
    for item in contains.items if isinstance(contains, Sequence) else []:
        if isinstance(item, Scalar):
            found.append((item.text, ""))
        elif isinstance(item, Mapping):
            source, derivation = _value_of(item, "source"), _value_of(item, "derivation")
            found.append(
                (
                    source.text if isinstance(source, Scalar) else "",
                    derivation.text if isinstance(derivation, Scalar) else "",
                )
            )
    open_node = _value_of(node, "unconfirmed") if isinstance(node, Mapping) else None
    left_open = [
        item.text for item in (open_node.items if isinstance(open_node, Sequence) else []) if isinstance(item, Scalar)
    ]
    return tuple(found), tuple(left_open)


def read_book(
    files: BookFiles,
    *,
    jurisdictions: Iterable[str],
    row_exists: Callable[[str], bool],
    trade_pieces: frozenset[str] = frozenset(),
) -> tuple[Book | None, Notes]:
    """Read and resolve a book.

    Parameters
    ----------
    files : BookFiles
        The files as read from disk.
    jurisdictions : Iterable[str]
        The codes a kitchen may name.
    row_exists : Callable[[str], bool]
        Tells whether the reference table has a row of that food code.
    trade_pieces : frozenset[str]
        Keys of the words that may count pieces of something (leaf, clove, stick).

    Returns
    -------
    tuple[Book | None, Notes]
        The book, whole or as far as it could be read (None without a kitchen), and every fault and piece of advice.
    """
    notes = Notes(faults=list(files.faults))
    reader = _BookReader(notes, jurisdictions, row_exists, trade_pieces)
    entries: list[_Entry] = []
    for path in sorted(files.raw):
        text, faults = decode_text(files.raw[path], path)
        notes.faults.extend(faults)
        if text is None:
            continue
        documents, faults = parse_tree(text, path)
        notes.faults.extend(faults)
        if "#" in text:
            notes.lines[path] = text.splitlines()
        entries.extend(reader.entries_of(documents, path))
    # The order of files and entries never matters, so everything is put in the order of its name.
    entries.sort(key=lambda entry: (entry.kind, exact_order(entry.name), entry.path, entry.line))
    kitchen = reader.kitchen(entries)
    bought = [reader.ingredient(entry) for entry in entries if entry.kind == "ingredient"]
    givens = {
        position: reader.given_of(entry) for position, entry in enumerate(entries) if entry.kind == "preparation"
    }
    reader.enter_names(entries, bought, givens)
    ingredients = {ingredient.name: ingredient for ingredient in reversed(bought)}
    measures: dict[Target, dict[str, Measure]] = {
        Target("ingredient", one.name): one.measures for one in ingredients.values() if one.measures
    }
    for position, given in givens.items():
        own = (
            Fields(entries[position].node, entries[position].path, Notes(), "").measures()
            if _value_of(entries[position].node, "measures")
            else {}
        )
        for one in given:
            if own or one.measures:
                measures[Target("given", entries[position].name, one.name)] = {**own, **one.measures}
    lines = LineReader(
        reader.index,
        notes,
        kitchen.jurisdiction if kitchen else "",
        kitchen.measures if kitchen else {},
        measures,
        trade_pieces,
    )
    preparations: dict[str, Preparation] = {}
    dishes: dict[str, Dish] = {}
    dish_names: dict[str, str] = {}
    for position, entry in enumerate(entries):
        if entry.kind == "preparation" and entry.name not in preparations:
            preparations[entry.name] = reader.preparation(entry, givens[position], lines)
        elif entry.kind == "dish":
            key = name_key(entry.name)
            if key in dish_names:
                first = dishes[dish_names[key]].origin
                notes.faults.append(
                    Fault(
                        Origin(entry.path, entry.line),
                        "dish",
                        f"'{entry.name}' is given twice: it also stands in {first}.",
                        "Give one of them another name.",
                    )
                )
                continue
            dish_names[key] = entry.name
            dishes[entry.name] = reader.dish(entry, lines)
    menus: dict[str, Menu] = {}
    for entry in entries:
        if entry.kind == "menu":
            if entry.name in menus:
                notes.faults.append(
                    Fault(
                        Origin(entry.path, entry.line),
                        "menu",
                        f"'{entry.name}' is given twice.",
                        "Give one of them another name.",
                    )
                )
            menus[entry.name] = reader.menu(entry, dish_names)
    _take_from_shelf(reader, ingredients, notes)
    if kitchen is None:
        return None, _in_order(notes)
    book = Book(
        kitchen,
        dict(sorted(ingredients.items())),
        preparations,
        dishes,
        menus,
        {**reader.index.loose, **reader.index.exact},
    )
    return book, _in_order(notes)


def exact_order(name: str) -> tuple[str, str]:
    """Return the key by which names are put in order."""
    return fold_text(name), name


def _take_from_shelf(reader: _BookReader, ingredients: dict[str, Ingredient], notes: Notes) -> None:
    for name, good in sorted(reader.index.taken_from_shelf.items()):
        entry = _Entry("ingredient", good.name, good.entry(), f"shelf/{good.file}", good.line)
        ingredients.setdefault(name, reader.ingredient(entry, from_shelf=True))
    if reader.index.taken_from_shelf:
        names = ", ".join(sorted(reader.index.taken_from_shelf))
        notes.advice.append(
            Fault(
                Origin("."),
                "shelf",
                f"taken from the shelf, not from this book: {names}.",
                "Add an ingredient of that name where yours is not the plain good.",
            )
        )


def _in_order(notes: Notes) -> Notes:
    """Put faults and advice in the order of file and line, each once."""
    for found in (notes.faults, notes.advice):
        found[:] = sorted(
            dict.fromkeys(found), key=lambda fault: (fault.origin.path, fault.origin.line, fault.field, fault.problem)
        )
    return notes
