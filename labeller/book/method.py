"""Read the method of a preparation: steps with their figures, and plain sentences, which change nothing."""

from labeller.book.entries import Loss, Step, Target
from labeller.book.fields import Fields, parse_loss, parse_share
from labeller.book.lines import LineReader
from labeller.book.yaml_tree import Mapping, Node, Scalar, Sequence
from labeller.foundations.faults import Fault, Origin
from labeller.foundations.names import fold_text
from labeller.foundations.plain import replace
from labeller.foundations.quantities import parse_celsius, parse_minutes

SHARE_STEPS = ("trim", "sieve", "pour off", "left behind")
HEAT_WAYS = ("bake", "simmer", "boil", "hold", "stir in", "flame")
QUIET_STEPS = ("rest", "chill", "freeze", "churn", "whip", "blend", "mix", "set", "prove")
MACERATED_AS = ("whole with skin", "pricked", "cut", "frozen", "dried", "peel", "spice")
STEPS = (*SHARE_STEPS, "macerate", "strain", "heat", "reduce", "fry", "add", *QUIET_STEPS)

_ALONE = {
    "trim": "trim: {what: apples, loses: 22 %}",
    "sieve": "sieve: {loses: 5 %}",
    "pour off": "pour off: {loses: 50 g}",
    "left behind": "left behind: {loses: 2 %, where: mould}",
    "macerate": "macerate: {solids: [damsons], for: 3 weeks}",
    "heat": "heat: {how: simmer, for: 20 min}",
    "reduce": "reduce: {leaves: 300 g}",
    "fry": "fry: {in: sunflower oil, takes_up: 8 %}",
    "add": "add: 40 g brandy",
}
_STEP_WORDS = {step: step for step in STEPS} | {step.replace(" ", "_"): step for step in STEPS}


def read_method(node: Node, path: str, reader: LineReader) -> tuple[Step, ...]:
    """Read the steps in order; faults and advice are noted with the reader."""
    items = node.items if isinstance(node, Sequence) else [node]
    steps = [
        _read_step(item, path, reader) for item in items if not (isinstance(item, Scalar) and not item.text.strip())
    ]
    return tuple(step for step in steps if step is not None)


def _read_step(node: Node, path: str, reader: LineReader) -> Step | None:
    origin = Origin(path, node.line)
    if isinstance(node, Scalar):
        text = " ".join(node.text.split())
        word = _STEP_WORDS.get(fold_text(text).rstrip("."))
        if word in _ALONE:
            _fault(
                reader,
                origin,
                "method",
                f"'{text}' alone says nothing the scale can follow.",
                f"Write '{_ALONE[word]}'.",
            )
            return None
        if word is not None:
            return Step(word, origin, text)
        return Step("text", origin, text)
    if isinstance(node, Sequence):
        _fault(
            reader, origin, "method", "there is a list where a step belongs.", "Write each step on a line of its own."
        )
        return None
    if not node.pairs:
        return None
    key, value = node.pairs[0]
    word = _STEP_WORDS.get(fold_text(key.text).replace("_", " "))
    if word is None:
        return _not_a_step(node, path, reader)
    if len(node.pairs) > 1:
        extra = node.pairs[1][0]
        _fault(
            reader,
            Origin(path, extra.line),
            f"method.{extra.text}",
            f"'{extra.text}' stands beside '{key.text}', as if one step were two.",
            f"Write it inside: '{key.text}: {{{extra.text}: ...}}', or as a step of its own with a '-' before it.",
        )
        return None
    return _read_named_step(word, value, Origin(path, key.line), reader)


def _not_a_step(node: Mapping, path: str, reader: LineReader) -> Step | None:
    key, value = node.pairs[0]
    origin = Origin(path, key.line)
    near = reader.notes.nearest(key.text, list(STEPS))
    if (
        len(node.pairs) == 1
        and isinstance(value, Scalar)
        and not near
        and not any(mark in value.text for mark in "{[")
    ):
        text = f"{key.text}: {value.text}"
        reader.notes.advice.append(
            Fault(
                origin,
                "method",
                f"'{text}' became a key with a value because of its colon; it is kept as a sentence.",
                f'Put it in quotes: "{text}".',
            )
        )
        return Step("text", origin, text)
    mend = f"Write '{near[0]}'." if near else f"The steps are {', '.join(STEPS)}; put a plain sentence in quotes."
    _fault(reader, origin, f"method.{key.text}", f"'{key.text}' is not a step.", mend)
    return None


def _read_named_step(word: str, value: Node, origin: Origin, reader: LineReader) -> Step | None:
    if word == "add":
        return _read_add(value, origin, reader)
    short = _short_form(word, value)
    if short is not None:
        return replace(short, origin=origin)
    if not isinstance(value, Mapping):
        shown = value.text if isinstance(value, Scalar) else "a list"
        if word == "strain" and isinstance(value, Scalar) and not value.text:
            return Step("strain", origin, "strain")
        example = _ALONE.get(word, f"{word}: overnight")
        _fault(reader, origin, f"method.{word}", f"'{shown}' is not what '{word}' takes.", f"Write '{example}'.")
        return None
    fields = Fields(value, origin.path, reader.notes, f"'{word}'")
    what = fields.texts("what") or ()
    step = Step(word, origin, _shown(word, value), what=what)
    faults_before = len(reader.notes.faults)
    if word in SHARE_STEPS:
        step = replace(step, loss=_loss(fields, required=True), where=fields.text("where"))
    elif word == "macerate":
        step = _macerate(step, fields)
    elif word == "strain":
        holds = fields.parsed("holds", parse_share, "a share such as '8 %'")
        step = replace(step, solids=fields.texts("solids") or (), holds=holds.estimate if holds else None)
        if holds is not None and holds.estimate > 1.0:
            fields.fault(
                fields.line_of("holds"),
                "holds",
                f"'{fields.text('holds')}' is more than the solids weigh.",
                "Write a share below 100 %.",
            )
    elif word in ("heat", "reduce", "fry"):
        step = _hot(step, fields, reader)
    else:
        minutes = fields.minutes("for")
        overnight = "overnight" in fold_text(fields.text("for"))
        step = replace(step, minutes=minutes, celsius=fields.celsius("at", -60, 100), overnight=overnight)
    fields.finish()
    return step if len(reader.notes.faults) == faults_before else None


def _short_form(word: str, value: Node) -> Step | None:
    """Read 'chill: overnight', 'reduce: 300 g' and 'trim: 12 %'."""
    if not isinstance(value, Scalar):
        return None
    text = fold_text(value.text)
    origin = Origin("", 0)
    if word in QUIET_STEPS:
        minutes = parse_minutes(text)
        if minutes is not None or parse_celsius(text) is not None or not text:
            return Step(word, origin, f"{word}: {text}", minutes=minutes, overnight=text == "overnight")
        return Step(word, origin, f"{word}: {value.text}")
    if word == "reduce" and (loss := parse_loss(value.text, "leaves")) is not None:
        return Step(word, origin, f"reduce to {value.text}", loss=loss)
    if word in SHARE_STEPS and (loss := parse_loss(value.text, "loses")) is not None and not _too_much(loss):
        return Step(word, origin, f"{word}: {value.text}", loss=loss)
    return None


def _too_much(loss: Loss) -> bool:
    return loss.kind == "share" and loss.quantity.high > 1.0


def _loss(fields: Fields, *, required: bool) -> Loss | None:
    loses = fields.parsed("loses", lambda text: parse_loss(text, "loses"), "a loss such as '12 %' or '60 g'")
    leaves = fields.parsed("leaves", lambda text: parse_loss(text, "leaves"), "a weight such as '900 g'")
    if loses is not None and leaves is not None:
        fields.fault(
            fields.line_of("leaves"),
            "leaves",
            f"both 'loses: {loses.text}' and 'leaves: {leaves.text}' are given.",
            "Keep one of them: what the scale said.",
        )
        return None
    if loses is not None and _too_much(loses):
        fields.fault(
            fields.line_of("loses"), "loses", f"'{loses.text}' is more than there is.", "Write a share up to 100 %."
        )
        return None
    found = loses or leaves
    if required and found is None and "loses" not in fields.nodes and "leaves" not in fields.nodes:
        fields.fault(
            fields.line,
            "loses",
            "how much leaves is not said.",
            "Write 'loses: 12 %', 'loses: 60 g' or 'leaves: 900 g'.",
        )
    return found


def _macerate(step: Step, fields: Fields) -> Step:
    solids = fields.texts("solids")
    if not solids:
        fields.fault(
            fields.line_of("solids"),
            "solids",
            "macerate names no solids.",
            "Write 'solids: [damsons]', the lines that steep.",
        )
    as_ = fold_text(fields.text("as"))
    if as_ and as_ not in MACERATED_AS:
        near = fields.notes.nearest(as_, list(MACERATED_AS))
        mend = f"Write '{near[0]}'." if near else f"Write one of {', '.join(MACERATED_AS)}."
        fields.fault(fields.line_of("as"), "as", f"'{fields.text('as')}' is not a way fruit goes into the jar.", mend)
    return replace(
        step, solids=solids or (), minutes=fields.minutes("for"), celsius=fields.celsius("at", -5, 90), as_=as_
    )


def _hot(step: Step, fields: Fields, reader: LineReader) -> Step:
    loss = _loss(fields, required=False)
    minutes = fields.minutes("for")
    at = fields.celsius("at", -30, 500)
    to = fields.celsius("to", -30, 500)
    covered = fields.flag("covered")
    step = replace(step, loss=loss, minutes=minutes, celsius=to if to is not None else at, covered=covered)
    if step.kind == "reduce":
        if loss is None and "leaves" not in fields.nodes and "loses" not in fields.nodes:
            fields.fault(fields.line, "leaves", "reduce does not say to what.", "Write 'reduce: {leaves: 300 g}'.")
        return replace(step, how="reduce")
    if step.kind == "heat":
        how = fold_text(fields.text("how"))
        if how not in HEAT_WAYS:
            near = reader.notes.nearest(how, list(HEAT_WAYS))
            mend = f"Write 'how: {near[0]}'." if near else f"Write 'how:' with one of {', '.join(HEAT_WAYS)}."
            problem = f"'{fields.text('how')}' is not a way of heating." if how else "heat does not say how."
            fields.fault(fields.line_of("how"), "how", problem, mend)
        return replace(step, how=how)
    oil = fields.text("in")
    oil_target: Target | None = reader.amounts.find(oil) if oil else None
    if not oil:
        fields.fault(
            fields.line, "in", "fry does not say in what.", "Write 'fry: {in: sunflower oil, takes_up: 8 %}'."
        )
    elif oil_target is None:
        near = reader.amounts.nearest(oil)
        mend = f"Write '{near[0]}', or add an ingredient of that name." if near else "Add an ingredient of that name."
        fields.fault(
            fields.line_of("in"),
            "in",
            f"'{oil}' is not an ingredient or preparation of this book, nor on the shelf.",
            mend,
        )
    else:
        reader.amounts.index.take(oil_target)
    share = fields.parsed("takes_up", parse_share, "a share such as '8 %'")
    if share is None and "takes_up" not in fields.nodes:
        fields.fault(
            fields.line,
            "takes_up",
            "how much oil is taken up is not said.",
            "Write 'takes_up: 8 %', the share of the weight going in.",
        )
    if share is not None and share.estimate > 1.0:
        fields.fault(
            fields.line_of("takes_up"),
            "takes_up",
            f"'{fields.text('takes_up')}' is more oil than food.",
            "Write a share below 100 %.",
        )
    return replace(step, how="fry", oil=oil, oil_target=oil_target, takes_up=share.estimate if share else None)


def _read_add(value: Node, origin: Origin, reader: LineReader) -> Step | None:
    what: tuple[str, ...] = ()
    node: Node = value
    if isinstance(value, Mapping) and any(fold_text(key.text) in ("what", "lines") for key, _ in value.pairs):
        fields = Fields(value, origin.path, reader.notes, "'add'")
        what = fields.texts("what") or ()
        lines_node = fields.node("lines") or fields.node("take")
        fields.finish()
        if lines_node is None:
            _fault(reader, origin, "method.add", "add names no line.", "Write 'add: 40 g brandy'.")
            return None
        node = lines_node
    lines = reader.read_list(node, origin.path, "add")
    if not lines:
        if isinstance(node, Scalar) and not node.text:
            _fault(reader, origin, "method.add", "add names no line.", "Write 'add: 40 g brandy'.")
        return None
    return Step("add", origin, "add " + ", ".join(line.text for line in lines), what=what, lines=lines)


def _shown(word: str, value: Mapping) -> str:
    parts = []
    for key, inner in value.pairs:
        text = (
            inner.text
            if isinstance(inner, Scalar)
            else ", ".join(item.text for item in inner.items if isinstance(item, Scalar))
            if isinstance(inner, Sequence)
            else ""
        )
        parts.append(f"{key.text} {text}".strip())
    return f"{word} ({', '.join(parts)})"


def _fault(reader: LineReader, origin: Origin, field: str, problem: str, mend: str) -> None:
    reader.notes.faults.append(Fault(origin, field, problem, mend))
