"""Read what the house sells: dishes, and the menus they stand on."""

from labeller.book.entries import Dish, Menu
from labeller.book.fields import Fields, Notes
from labeller.book.lines import LineReader
from labeller.book.raw_entries import RawEntry, holds_nothing
from labeller.book.yaml_tree import Mapping, Scalar, Sequence
from labeller.foundations.faults import Origin
from labeller.foundations.names import fold_text, name_key


def read_dish(entry: RawEntry, reader: LineReader) -> Dish:
    """Read a dish and its plate."""
    notes = reader.notes
    fields = Fields(entry.node, entry.path, notes, "a dish")
    fields.node("dish")
    plate_node = fields.node("plate")
    plate = reader.read_list(plate_node, entry.path, "plate") if plate_node is not None else ()
    if plate_node is None or holds_nothing(plate_node):
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


def read_menu(entry: RawEntry, dishes: dict[str, str], notes: Notes) -> Menu:
    """Read a menu, whose words must be dishes; ``dishes`` maps the key of a name to the name as spelled."""
    fields = Fields(entry.node, entry.path, notes, "a menu")
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
        if any(fold_text(key.text) == fold_text(title) for title, _ in sections):
            fields.fault(key.line, f"sections.{key.text}", f"'{key.text}' is given twice.", "Keep one of them.")
            continue
        alone = [] if isinstance(value, Scalar) and not value.text.strip() else [value]  # a section without dishes yet
        for item in value.items if isinstance(value, Sequence) else alone:
            text = " ".join(item.text.split()) if isinstance(item, Scalar) else ""
            known = dishes.get(name_key(text))
            if known is None:
                near = notes.nearest(text, list(dishes.values()))
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
