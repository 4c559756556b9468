"""Read what the house makes: a preparation, and what it gives."""

from labeller.book.entries import Given, Preparation
from labeller.book.fields import LONGEST_NAME, Fields, Notes, parse_density, parse_weight
from labeller.book.kitchen_entry import take_made_on
from labeller.book.lines import LineReader
from labeller.book.method import read_method
from labeller.book.raw_entries import RawEntry, holds_nothing, value_of
from labeller.book.yaml_tree import Mapping, Scalar, Sequence
from labeller.foundations.faults import Fault, Origin
from labeller.foundations.names import fold_text, name_key


def read_given(entry: RawEntry, notes: Notes) -> tuple[Given, ...]:
    """Read what a preparation gives; a plain weight, or nothing, gives one thing of its own name."""
    node = value_of(entry.node, "gives")
    itself = Given(entry.name, Origin(entry.path, entry.line))
    if not isinstance(node, Mapping):
        return (itself,)
    found: list[Given] = []
    for key, value in node.pairs:
        origin = Origin(entry.path, key.line)
        given = Given(" ".join(key.text.split()), origin)
        if not given.name or len(given.name) > LONGEST_NAME:
            problem = f"'{given.name[:60]}' cannot be the name of a part."
            notes.fault(entry.path, key.line, "gives", problem, "Write a name and the part: '{damson gin: liquor}'.")
            continue
        if any(name_key(other.name) == name_key(given.name) for other in found):
            notes.fault(entry.path, key.line, "gives", f"'{given.name}' is given twice.", "Give each part one name.")
            continue
        if isinstance(value, Scalar):
            part, weighs = value.text, None
        elif isinstance(value, Mapping):
            fields = Fields(value, entry.path, notes, "what is given")
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
            problem = f"'{given.name}' has a list, and a part of the pan is one word."
            notes.fault(entry.path, value.line, f"gives.{key.text}", problem, "Write 'solids' or 'liquor'.")
            continue
        word = fold_text(part)
        if word not in ("solids", "liquor", "pan", ""):
            notes.fault(
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
            notes.fault(
                entry.path,
                value.line,
                f"gives.{key.text}",
                f"'{word or 'the pan'}' is given twice.",
                "Give each part of the pan one name.",
            )
            continue
        found.append(named)
    return tuple(found) or (itself,)


def read_preparation(
    entry: RawEntry, given: tuple[Given, ...], reader: LineReader, equipment: dict[str, str]
) -> Preparation:
    """Read a preparation whose parts have been read."""
    notes = reader.notes
    fields = Fields(entry.node, entry.path, notes, "a preparation")
    fields.node("preparation")
    takes_node, method_node, gives_node = fields.node("takes"), fields.node("method"), fields.node("gives")
    if takes_node is None:
        fields.fault(
            entry.line, "takes", f"'{entry.name}' takes nothing.", "Write 'takes:' and one amount on each line."
        )
    takes = reader.read_list(takes_node, entry.path, "takes") if takes_node is not None else ()
    if takes_node is not None and holds_nothing(takes_node):
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
                notes.faults.append(
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
        made_on=take_made_on(fields, equipment),
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
