"""What a plain sentence, a dish's name or its description says goes in, and no line brings: a sentence changes nothing that is declared."""

from collections.abc import Iterable, Iterator

from labeller.allergens.reader import read_statement
from labeller.allergens.vocabulary import load_vocabulary
from labeller.foundations.faults import Fault, Origin
from labeller.foundations.plain import dataclass
from labeller.kitchen.batch import Batch
from labeller.kitchen.working_out import Workings

_SENTENCE = "text"
_LONGEST_READ = 2000
# Regulation (EU) No 1169/2011, Annex II, 1 and 8: cereals and nuts are declared by their own names.
_NAMED_ONE_BY_ONE = frozenset({"cereal", "nut"})
_GENERAL = frozenset({"gluten cereal", "nut"})
_MEND = (
    "If it goes in, give it a line with its amount: words alone change nothing that is declared. Else it may stand."
)


@dataclass(frozen=True, slots=True)
class _Brought:
    """What the lines of a batch bring: sources, what they leave open, and whether alcohol is among it."""

    sources: frozenset[str]
    open: frozenset[str]
    alcohol: bool


def advise_on_words(workings: Workings) -> list[Fault]:
    """Return what the words of a book name and no line brings, although every paper would say 'not an ingredient'.

    Parameters
    ----------
    workings : Workings
        A book without faults, worked out.

    Notes
    -----
    "Scatter with hazelnuts" in a method, or "with sesame brittle" below a dish's name, reaches the plate without ever reaching an
    allergen sheet. What is open anyway ('not known') is not said twice.
    """
    found: list[Fault] = []
    for made in workings.made.values():
        brought = _brought(workings, made.given.values())
        sentences = [step for step in made.preparation.method if step.kind == _SENTENCE]
        for step in sentences:
            found += _missing(step.text, made.preparation.name, brought, step.origin, "method")
    for name, plate in workings.plates.items():
        dish = workings.book.dishes[name]
        brought = _brought(workings, (line.batch for line in plate.lines))
        for field, text in (("dish", dish.name), ("description", dish.description)):
            found += _missing(text, dish.name, brought, dish.origin, field)
    return found


def _brought(workings: Workings, batches: Iterable[Batch]) -> _Brought:
    sources: set[str] = set()
    left_open: set[str] = set()
    alcohol = False
    for batch in batches:
        for place in batch.present:
            known = workings.evidence[place]
            sources |= {one.source for one in (*known.evidence.contains, *known.evidence.may_contain)}
            left_open |= known.evidence.unconfirmed
            alcohol = alcohol or known.alcohol != "none declared"
    return _Brought(frozenset(sources), frozenset(left_open), alcohol)


def _missing(text: str, of: str, brought: _Brought, origin: Origin, field: str) -> Iterator[Fault]:
    if not text.strip():
        return
    vocabulary = load_vocabulary()
    kinds = {vocabulary.kind_of(one) for one in brought.sources if one in vocabulary.sources}
    reading = read_statement(text[:_LONGEST_READ])
    names: dict[str, None] = {}
    for finding in reading.contains:
        kind = vocabulary.kind_of(finding.source) if finding.source in vocabulary.sources else ""
        if finding.derivation or finding.source not in vocabulary.law_sources or finding.source in brought.open:
            continue
        # Cod in a dish called fish is no gap; hazelnuts where the lines have almonds are one: which nut and which cereal is declared.
        own = kind not in _NAMED_ONE_BY_ONE or finding.source in _GENERAL or bool(_GENERAL & brought.sources)
        if kind not in kinds or (not own and finding.source not in brought.sources):
            names[finding.source] = None
    if reading.alcohol and not brought.alcohol:
        names["alcohol"] = None
    if names:
        shown = text if len(text) <= 80 else f"{text[:77]}..."
        yield Fault(origin, field, f"'{shown}' names {_listed(names)}, and no line of '{of}' brings it.", _MEND)


def _listed(names: Iterable[str]) -> str:
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last
