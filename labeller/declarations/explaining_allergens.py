"""An allergen group or a single source: every way it comes in, with its paper, row or shelf ground, exemptions, and the clause."""

from collections.abc import Callable
from dataclasses import dataclass

from labeller.allergens.evidence import Evidence, Finding
from labeller.declarations.allergen_rows import CONTAINS, MAY_CONTAIN, NONE_DECLARED, UNCONFIRMED, AllergenRow
from labeller.declarations.declaring import Declaration, Declarer
from labeller.declarations.ingredient_grounds import (
    doubt_words,
    paper_words,
    path_words,
    row_words,
    ways_to,
    written_at,
)
from labeller.declarations.reasons import Reason
from labeller.declarations.rounding import over_limit
from labeller.jurisdictions.terms import AllergenGroup, Citation
from labeller.kitchen.batch import Path

_IN_WORDS = {
    CONTAINS: "contains",
    MAY_CONTAIN: "may contain",
    UNCONFIRMED: "it is not known whether it contains",
    NONE_DECLARED: "has no ingredient declared with",
}


@dataclass(frozen=True, slots=True)
class _Asked:
    """What is asked about: which sources answer to it, whether no law knows them, and whether a figure (SO2) decides before words."""

    fits: Callable[[str], bool]
    outside_law: bool = False
    by_figure: bool = False

    def left_open_by(self, evidence: Evidence, left_open: frozenset[str], held: set[str]) -> bool:
        """Tell whether evidence leaves it open.

        Evidence lists as unconfirmed only what some law regulates; of anything else (honey, garlic) an ingredient says nothing
        unless its evidence is whole.
        """
        if self.outside_law:
            return bool(evidence.unconfirmed) and not held
        return any(self.fits(source) and source not in held for source in left_open)


def explain_group(declarer: Declarer, declaration: Declaration, row: AllergenRow) -> Reason:
    """Explain the status of one group the law regulates."""
    group = row.group
    kinds = declarer.groups.vocabulary.sources

    def fits(source: str) -> bool:
        return group.includes(source, kinds.get(source, source)) or group.left_open_by(source)

    asked = _Asked(fits, by_figure="sulphite" in group.kinds)
    head = _head(declaration, group.name, row.status, row.sources)
    if row.unconfirmed and row.status != UNCONFIRMED:
        head += " Something else in it is not known."
    parts = [_clause_of(group), *_evidence(declarer, declaration, asked).all()]
    if row.sulphites_mg_per_kg is not None:
        limit = declarer.law.sulphite_limit
        parts.insert(
            1,
            Reason(
                f"Sulphites as served: {row.sulphites_mg_per_kg:.3g} mg/kg, against the law's limit of {limit.value:g} mg/kg"
                f" ({'the limit itself counts' if limit.limit_counts else 'only above it'}).",
                {"sulphites_mg_per_kg": row.sulphites_mg_per_kg, "limit_mg_per_kg": limit.value},
                clauses=(limit.clause,),
            ),
        )
    return Reason(head, parts=tuple(parts))


def explain_source(declarer: Declarer, declaration: Declaration, source: str) -> Reason:
    """Explain one source, whether or not a law regulates it; its own status is worked out from the evidence about it alone."""
    kinds = declarer.groups.vocabulary.sources
    kind = kinds.get(source, source)
    group = next((one for one in declarer.law.groups if one.includes(source, kind)), None)
    outside = source not in declarer.groups.vocabulary.law_sources
    asked = _Asked(lambda other: other == source, outside)
    evidence = _evidence(declarer, declaration, asked)
    status = (
        CONTAINS if evidence.sure else MAY_CONTAIN if evidence.may else UNCONFIRMED if evidence.open else NONE_DECLARED
    )
    parts: list[Reason] = []
    if group is None:
        parts.append(Reason(f"The law of {declarer.law.title} does not regulate {source} as an allergen."))
    else:
        row = declaration.row(group.name)
        parts.append(_clause_of(group))
        if row is not None:
            parts.append(Reason(f"Of the whole group {group.name}: {row.status}."))
    return Reason(_head(declaration, source, status, ()), parts=(*parts, *evidence.all()))


def _head(declaration: Declaration, word: str, status: str, sources: tuple[str, ...]) -> str:
    named = f" ({', '.join(sources)})" if sources and sources != (word,) else ""
    tail = ""
    if status == NONE_DECLARED:
        tail = ", going by its recipe and the papers filed. Still tell the kitchen"
    if status == UNCONFIRMED:
        return f"{declaration.name}: {_IN_WORDS[status]} {word}{named}. Ask the kitchen before it is served."
    return f"{declaration.name} {_IN_WORDS[status]} {word}{named}{tail}."


def _clause_of(group: AllergenGroup) -> Reason:
    doubt = doubt_words(group.clause)
    return Reason(
        f'The law\'s own words for {group.name}: "{group.title}".' + (f" {doubt}" if doubt else ""),
        clauses=(group.clause,),
    )


_OPENING = {CONTAINS: "It is in ", MAY_CONTAIN: "It may be in ", UNCONFIRMED: "Not known of "}


@dataclass(frozen=True, slots=True)
class _Gathered:
    """Reasons by what they say: in it, may be in it, not known, free of declaration."""

    sure: tuple[Reason, ...]
    may: tuple[Reason, ...]
    open: tuple[Reason, ...]
    freed: tuple[Reason, ...]

    def all(self) -> tuple[Reason, ...]:
        return (*self.sure, *self.may, *self.open, *self.freed)


def _evidence(declarer: Declarer, declaration: Declaration, asked: _Asked) -> _Gathered:
    workings = declarer.workings
    ways: dict[int, dict[Path, None]] = {}
    for place_in_lines, batch in enumerate(declaration.lines):
        for place, path in batch.present.items():
            for way in _all_ways(declarer, declaration, place_in_lines, place, path):
                ways.setdefault(place, {})[way] = None
    sure: list[Reason] = []
    may: list[Reason] = []
    open_: list[Reason] = []
    freed: list[Reason] = []
    for place in sorted(ways, key=lambda one: workings.larder.names[one]):
        evidence = workings.evidence[place].evidence
        name = workings.larder.names[place]
        shown = tuple(Reason(f"way in: {path_words(way)}") for way in ways[place])
        carried = workings.larder.entries[place].sulphites_mg_per_kg
        if asked.by_figure and carried is not None:
            # A figure decides, whatever statements say.
            if carried > 0.0:
                sure.append(
                    Reason(
                        f"Carried in: {name}, {carried:g} mg of SO2 in a kilogram as bought.",
                        {"sulphites_mg_per_kg": carried},
                        _grounds(declarer, place),
                        parts=shown,
                    )
                )
            continue
        held: list[Finding] = []
        for finding in evidence.contains:
            if not asked.fits(finding.source):
                continue
            one_freed = _exempt(declarer, finding)
            if one_freed is not None:
                freed.append(
                    Reason(
                        f'Free of declaration: {finding.derivation} of {finding.source} in {name} ("{finding.words}"): {one_freed[0]}.',
                        {},
                        _grounds(declarer, place),
                        (one_freed[1],),
                        shown,
                    )
                )
            else:
                held.append(finding)
        if held:
            sure.append(
                Reason(f"{_OPENING[CONTAINS]}{name}: {_findings(held)}.", {}, _grounds(declarer, place), parts=shown)
            )
        maybe = [finding for finding in evidence.may_contain if asked.fits(finding.source)]
        if maybe:
            may.append(
                Reason(
                    f"{_OPENING[MAY_CONTAIN]}{name}, by the supplier's word: {_findings(maybe)}.",
                    {},
                    _grounds(declarer, place),
                    parts=shown,
                )
            )
        sources_held = {finding.source for finding in held}
        if asked.left_open_by(evidence, declarer.groups.left_open(evidence), sources_held):
            mend = workings.evidence[place].mend
            open_.append(
                Reason(
                    f"{_OPENING[UNCONFIRMED]}{name}: nothing on file settles it. To settle it: {mend}.",
                    {},
                    _grounds(declarer, place),
                    parts=shown,
                )
            )
    over_may, over_open = _over_equipment(declarer, declaration, asked)
    return _Gathered(tuple(sure), (*may, *over_may), (*open_, *over_open), tuple(freed))


def _over_equipment(declarer: Declarer, declaration: Declaration, asked: _Asked) -> tuple[list[Reason], list[Reason]]:
    workings = declarer.workings
    may: dict[tuple[int, str], Reason] = {}
    open_: dict[tuple[int, str], Reason] = {}
    for batch in declaration.lines:
        for contact in batch.contacts:
            place, evidence = contact.ingredient, workings.evidence[contact.ingredient].evidence
            carried = workings.larder.entries[place].sulphites_mg_per_kg
            if asked.by_figure and carried is not None:
                limit = declarer.law.sulphite_limit
                if over_limit(carried, limit.value, limit_counts=limit.limit_counts):
                    name = workings.larder.names[place]
                    may[place, contact.equipment] = Reason(
                        f"{_OPENING[MAY_CONTAIN]}it over the shared {contact.equipment}, from {name}: {carried:g} mg of SO2 in a"
                        f" kilogram. How much passes is not known.",
                        {"sulphites_mg_per_kg": carried},
                        _grounds(declarer, place),
                        (limit.clause,),
                        (Reason(f"way over: {path_words(contact.path)}"),),
                    )
                continue
            held = [
                finding
                for finding in evidence.contains
                if asked.fits(finding.source) and _exempt(declarer, finding) is None
            ]
            way = (Reason(f"way over: {path_words(contact.path)}"),)
            name = workings.larder.names[place]
            if held:
                may[place, contact.equipment] = Reason(
                    f"{_OPENING[MAY_CONTAIN]}it over the shared {contact.equipment}, from {name}: {_findings(held)}.",
                    {},
                    _grounds(declarer, place),
                    parts=way,
                )
            if asked.left_open_by(evidence, declarer.groups.left_open(evidence), {finding.source for finding in held}):
                open_[place, contact.equipment] = Reason(
                    f"{_OPENING[UNCONFIRMED]}{name}, which shares the {contact.equipment}: nothing on file settles it."
                    f" To settle it: {workings.evidence[place].mend}.",
                    {},
                    _grounds(declarer, place),
                    parts=way,
                )
    return list(may.values()), list(open_.values())


def _all_ways(declarer: Declarer, declaration: Declaration, at: int, place: int, path: Path) -> tuple[Path, ...]:
    plate = declaration.plate
    if plate is None:
        # The path of a batch starts below its own name.
        ways = ways_to(declarer.workings, declaration.name, place)
        return tuple(way[1:] for way in ways) or (path,)
    target = plate.lines[at].line.target if at < len(plate.lines) else None
    if target is None or target.kind == "ingredient":
        return (path,)
    return ways_to(declarer.workings, target.given, place) or (path,)


def _exempt(declarer: Declarer, finding: Finding) -> tuple[str, Citation] | None:
    kind = declarer.groups.vocabulary.sources.get(finding.source, finding.source)
    one = declarer.law.exemption(finding.source, finding.derivation, kind)
    return (one.condition, one.clause) if one is not None and not one.needs_proof else None


def _findings(findings: list[Finding]) -> str:
    words = []
    for finding in findings:
        derived = f", as {finding.derivation}" if finding.derivation else ""
        seen = f' (in the words "{finding.words}")' if finding.words else ""
        words.append(f"{finding.source}{derived}{seen}")
    return "; ".join(dict.fromkeys(words))


def _grounds(declarer: Declarer, place: int) -> tuple[str, ...]:
    workings = declarer.workings
    paper = paper_words(workings, place)
    found = [paper] if paper else [f"evidence: {workings.evidence[place].evidence.ground}"]
    row = row_words(workings, place)
    if not paper and row:
        found.append(row)
    # The evidence of a good from the shelf is the shelf's own word, said already.
    if paper or not workings.larder.entries[place].from_shelf:
        found.append(written_at(workings, place))
    return tuple(found)
