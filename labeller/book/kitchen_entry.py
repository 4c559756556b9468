"""Read the kitchen entry: the house, its law, its own measures and its shared equipment."""

from collections.abc import Iterable

from labeller.book.entries import Equipment, Kitchen
from labeller.book.fields import Fields, Notes, parse_sulphites
from labeller.book.raw_entries import RawEntry
from labeller.book.yaml_tree import Mapping, Scalar, Sequence
from labeller.foundations.faults import Origin
from labeller.foundations.names import name_key, nearest_names
from labeller.foundations.quantities import parse_minutes


def read_kitchen(entries: list[RawEntry], jurisdictions: Iterable[str], notes: Notes) -> Kitchen | None:
    """Read the one kitchen entry; none, or a second one, is a fault."""
    known_codes = tuple(jurisdictions)
    kitchens = [entry for entry in entries if entry.kind == "kitchen"]
    if not kitchens:
        notes.fault(
            ".",
            0,
            "kitchen",
            "no file of this book has a kitchen entry.",
            "Add '- kitchen: ' with the name of the house and 'jurisdiction: gb'.",
        )
        return None
    for entry in kitchens[1:]:
        notes.fault(
            entry.path,
            entry.line,
            "kitchen",
            f"'{entry.name}' is a second kitchen; '{kitchens[0].name}' stands in {kitchens[0].path}:{kitchens[0].line}.",
            "Keep one kitchen entry.",
        )
    entry = kitchens[0]
    fields = Fields(entry.node, entry.path, notes, "a kitchen")
    fields.node("kitchen")
    code = fields.text("jurisdiction").casefold()
    if code not in known_codes:
        near = nearest_names(code, list(known_codes))
        problem = (
            f"'{code}' is not a jurisdiction this tool knows."
            if code
            else "the kitchen does not say under which law it sells."
        )
        mend = f"Write '{near[0]}'." if near else f"Write 'jurisdiction:' with one of {', '.join(known_codes)}."
        fields.fault(fields.line_of("jurisdiction"), "jurisdiction", problem, mend)
        code = ""
    equipment = _shared_equipment(fields)
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


def _shared_equipment(fields: Fields) -> tuple[Equipment, ...]:
    node = fields.node("shared_equipment")
    found: list[Equipment] = []
    seen: set[str] = set()
    items = node.items if isinstance(node, Sequence) else [] if node is None else [node]
    for item in items:
        if isinstance(item, Scalar):
            name, cleaned, checked, carries = " ".join(item.text.split()), "", "", None
        elif isinstance(item, Mapping):
            inner = Fields(item, fields.path, fields.notes, "shared equipment")
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
        if name_key(name) in seen:
            fields.fault(item.line, "shared_equipment", f"'{name}' is given twice.", "Keep one of them.")
            continue
        seen.add(name_key(name))
        found.append(Equipment(name, Origin(fields.path, item.line), cleaned, checked, carries))
    return tuple(found)


def take_made_on(fields: Fields, equipment: dict[str, str]) -> tuple[str, ...]:
    """Take 'made_on', whose words must be equipment of the kitchen."""
    found = []
    for name in fields.texts("made_on", split=True) or ():
        known = equipment.get(name_key(name))
        if known is None:
            near = fields.notes.nearest(name, list(equipment.values()))
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


def _days(text: str) -> int | None:
    minutes = parse_minutes(text)
    return None if minutes is None else max(1, round(minutes / 1440.0))
