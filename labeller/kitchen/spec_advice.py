"""What a careful person would ask about the drawer of specifications: stale, undated, contradictory or silent papers."""

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Literal

from labeller.allergens.evidence import Evidence, Finding
from labeller.allergens.profiles import profile_of
from labeller.allergens.reader import read_statement
from labeller.allergens.specifications import evidence_from_spec
from labeller.allergens.vocabulary import load_vocabulary
from labeller.book.entries import Book, Ingredient, Spec
from labeller.foundations.faults import Fault
from labeller.foundations.names import fold_text
from labeller.foundations.plain import dataclass
from labeller.kitchen.evidence import guessed

GapKind = Literal["undated", "stale", "ahead", "contradictory", "disagrees", "may contain", "matched"]
_GENERAL = frozenset({"gluten cereal", "nut", "fish", "crustacean", "mollusc", "milk", "egg"})


@dataclass(frozen=True, slots=True)
class SpecGap:
    """One thing that is wanting in what is on file for an ingredient.

    ``sources`` are the allergens it is about, where it is about some.
    """

    kind: GapKind
    ingredient: str
    fault: Fault
    sources: tuple[str, ...] = ()


def next_review(spec: Spec, review_days: int) -> date | None:
    """Return the last day on which a specification still counts as fresh, or None where it has no date."""
    if spec.dated is None:
        return None
    try:
        return spec.dated + timedelta(days=review_days)
    except OverflowError:
        return date.max


def advise_on_specs(book: Book, on: date) -> list[Fault]:
    """Return what there is to ask about the specifications of a book on a day, in the order of the ingredients."""
    return [gap.fault for gap in spec_gaps(book, on)]


def spec_gaps(book: Book, on: date) -> list[SpecGap]:
    """Return every gap in the specifications of a book.

    Parameters
    ----------
    book : Book
        Its own ingredients are looked at; a good of the shelf has no specification.
    on : date
        The day against which dates are held.

    Notes
    -----
    The kitchen's ``spec_review`` says how old a specification may grow, a year where it says nothing. What a spec leaves open
    is no gap here: it stands as unconfirmed in every declaration.
    """
    found: list[SpecGap] = []
    for entry in book.ingredients.values():
        if entry.from_shelf and entry.spec is None:
            continue
        if guessed(entry):
            found.append(
                _gap(
                    "matched",
                    entry,
                    "matched",
                    f"'{entry.name}' was matched by a machine ('{entry.matched}') and nobody has confirmed it: what it does not show is not known.",
                    "Compare the row with the pack, then take 'matched' out or write who looked, as in 'matched: J.'",
                )
            )
        if entry.spec is not None:
            found += _dates(entry, entry.spec, book.kitchen.spec_review_days, on)
            found += _contents(entry, entry.spec)
    return found


def _gap(
    kind: GapKind, entry: Ingredient, field: str, problem: str, mend: str, sources: tuple[str, ...] = ()
) -> SpecGap:
    origin = entry.spec.origin if entry.spec is not None and field.startswith("spec") else entry.origin
    return SpecGap(kind, entry.name, Fault(origin, field, problem, mend), sources)


def _dates(entry: Ingredient, spec: Spec, review_days: int, on: date) -> Iterator[SpecGap]:
    until = next_review(spec, review_days)
    if spec.dated is None or until is None:
        yield _gap(
            "undated",
            entry,
            "spec.dated",
            f"the specification of '{entry.name}' has no date, so nobody can say whether it still holds.",
            "Write 'dated: 2026-10-01' with the day on the supplier's paper, or ask the supplier for a dated one.",
        )
    elif spec.dated > on:
        yield _gap(
            "ahead",
            entry,
            "spec.dated",
            f"the specification of '{entry.name}' is dated {spec.dated.isoformat()}, which is after {on.isoformat()}.",
            "Write the day on the supplier's paper.",
        )
    elif on > until:
        yield _gap(
            "stale",
            entry,
            "spec.dated",
            f"the specification of '{entry.name}' is dated {spec.dated.isoformat()} and was due for review by {until.isoformat()}.",
            f"Ask {spec.supplier or 'the supplier'} whether it still holds, and file the new one with its date.",
        )


def _contents(entry: Ingredient, spec: Spec) -> Iterator[SpecGap]:
    said = _of_statement(spec)
    listed = _of_list(spec)
    if said is not None and listed is not None:
        lacking = _lacking(said.contains, listed[0])
        if lacking:
            yield _gap(
                "contradictory",
                entry,
                "spec.declares",
                f"'{entry.name}' declares {_words(spec.declares) or 'nothing'}, and its own statement says {_seen(lacking)}.",
                "Ask the supplier which is right; until then both are read, and the stronger word counts.",
                tuple(one.source for one in lacking),
            )
    if said is not None and spec.may_contain is not None:
        taken = evidence_from_spec(None, None, covers_all=True, may_contain=spec.may_contain)[0].may_contain
        held = said.contains
        lacking = [one for one in _lacking(said.may_contain, taken) if one.source not in {own.source for own in held}]
        if lacking:
            yield _gap(
                "contradictory",
                entry,
                "spec.may_contain",
                f"'{entry.name}' may contain {_words(spec.may_contain) or 'nothing'}, and its own statement warns of {_seen(lacking)}.",
                "Ask the supplier which is right; until then both are read, and the stronger word counts.",
                tuple(one.source for one in lacking),
            )
    yield from _against_the_row(entry, said, listed)
    yield from _against_the_name(entry, said, listed)
    anything = spec.statement is not None or spec.declares is not None or spec.covers_all
    if spec.may_contain is None and anything and not (said is not None and said.may_contain):
        yield _gap(
            "may contain",
            entry,
            "spec.may_contain",
            f"the specification of '{entry.name}' does not say what it may contain.",
            f"Ask {spec.supplier or 'the supplier'}, then write 'may_contain:' with the answer, 'none' where it is none.",
        )


def _against_the_name(
    entry: Ingredient, said: Evidence | None, listed: tuple[tuple[Finding, ...], bool] | None
) -> Iterator[SpecGap]:
    """Tell where a thing is called after an allergen that its paper, which is whole, does not have: peanut sauce that declares nothing."""
    if said is None and (listed is None or not listed[1]):
        return
    papers = (*(said.contains if said is not None else ()), *(listed[0] if listed is not None else ()))
    left_open = said.unconfirmed if said is not None else frozenset()
    derived = {one.source for one in papers if one.derivation}
    named = tuple(one for one in read_statement(entry.name).contains if not one.derivation)
    lacking = [one for one in _lacking(named, papers) if one.source not in left_open | derived]
    if entry.sulphites_mg_per_kg is not None:
        lacking = [one for one in lacking if one.source != "sulphite"]
    if lacking:
        names = ", ".join(dict.fromkeys(one.source for one in lacking))
        yield _gap(
            "disagrees",
            entry,
            "spec",
            f"'{entry.name}' is called after {names}, and its specification does not have it.",
            "Look whether the specification is of this good, and ask the supplier; until then it is declared as the specification says.",
            tuple(one.source for one in lacking),
        )


def _against_the_row(
    entry: Ingredient, said: Evidence | None, listed: tuple[tuple[Finding, ...], bool] | None
) -> Iterator[SpecGap]:
    """Tell where the row shows something that a paper which is whole does not have."""
    profile = profile_of(entry.composition) if entry.composition else None
    whole = said is not None or (listed is not None and listed[1])
    if profile is None or not whole:
        return
    papers = (*(said.contains if said is not None else ()), *(listed[0] if listed is not None else ()))
    left_open = said.unconfirmed if said is not None else frozenset()
    kinds = load_vocabulary().sources
    # A row of another fish serves for its figures; another nut or cereal is another allergen.
    same_kind = {kinds.get(one.source, one.source) for one in papers} - {"nut", "cereal"}
    lacking = [
        one
        for one in _lacking(profile.contains, papers)
        if one.source not in left_open
        and kinds.get(one.source, one.source) not in same_kind
        and not (one.source == "sulphite" and entry.sulphites_mg_per_kg is not None)
    ]
    if lacking:
        names = ", ".join(dict.fromkeys(one.source for one in lacking))
        yield _gap(
            "disagrees",
            entry,
            "composition",
            f"'{entry.name}' has the row sr28:{entry.composition}, which contains {names}, and its specification does not.",
            "Choose a row of the same thing ('labeller foods'), or ask the supplier whether the specification is of this good.",
            tuple(one.source for one in lacking),
        )


def _of_statement(spec: Spec) -> Evidence | None:
    if spec.statement is None:
        return None
    return evidence_from_spec(spec.statement, None, covers_all=False, may_contain=None)[0]


def _of_list(spec: Spec) -> tuple[tuple[Finding, ...], bool] | None:
    """Return what a list declares, and whether it claims to be whole; None where there is no list."""
    if spec.declares is None and not spec.covers_all:
        return None
    evidence = evidence_from_spec(None, spec.declares, covers_all=spec.covers_all, may_contain=None)[0]
    return evidence.contains, not evidence.unconfirmed


def _lacking(shown: tuple[Finding, ...], paper: tuple[Finding, ...]) -> list[Finding]:
    """Return what one side shows and the other lacks: sources of the law, derivations apart.

    A general word covers its kind and is covered by it: 'fish' and 'cod' do not contradict one another.
    """
    kinds = load_vocabulary().sources
    of_law = {kinds[source] for source in load_vocabulary().law_sources}
    held = {one.source for one in paper}
    held_kinds = {kinds.get(source, source) for source in held}
    general = {kinds[source] for source in held if source in _GENERAL}
    lacking: dict[str, Finding] = {}
    for one in shown:
        kind = kinds.get(one.source, one.source)
        if one.derivation or kind not in of_law or one.source in held or kind in general:
            continue
        if one.source in _GENERAL and kind in held_kinds:
            continue
        lacking.setdefault(one.source, one)
    return list(lacking.values())


def _seen(findings: list[Finding]) -> str:
    return ", ".join(
        f"{one.source} ('{one.words}')" if one.words and fold_text(one.words) != one.source else one.source
        for one in findings
    )


def _words(said: tuple[str, ...] | None) -> str:
    return ", ".join(f"'{one}'" for one in said or ())
