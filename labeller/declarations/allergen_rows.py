"""Allergen groups of one law in one batch: status, sources, reasons, what is not settled."""

import math

from labeller.allergens.evidence import Evidence
from labeller.allergens.vocabulary import Vocabulary, load_vocabulary
from labeller.declarations.rounding import over_limit
from labeller.foundations.plain import dataclass, field
from labeller.jurisdictions.in_force import LawInForce
from labeller.jurisdictions.terms import AllergenGroup, Exemption
from labeller.kitchen import constituents as c
from labeller.kitchen.batch import Batch, Contact, Path
from labeller.kitchen.evidence import Known
from labeller.kitchen.larder import Larder

CONTAINS, MAY_CONTAIN, UNCONFIRMED, NONE_DECLARED = "contains", "may contain", "unconfirmed", "none declared"


@dataclass(frozen=True, slots=True)
class MayContain:
    """A reason for a 'may contain': which sources, by which way, and whether it is the supplier's word or the kitchen's own.

    Where the kitchen has measured what its equipment carries over, ``exposure_mg`` and ``reference_dose_mg`` [mg protein] hold what a
    portion may bring and the FAO/WHO reference dose, and ``words`` says how the two compare.
    """

    sources: tuple[str, ...]
    path: Path
    why: str
    exposure_mg: float | None = None
    reference_dose_mg: float | None = None
    words: str = ""


@dataclass(frozen=True, slots=True)
class AllergenRow:
    """One group the law regulates, in one dish or batch."""

    group: AllergenGroup
    status: str
    sources: tuple[str, ...] = ()
    because: tuple[Path, ...] = ()
    unconfirmed: tuple[Path, ...] = ()
    may_contain: tuple[MayContain, ...] = ()
    exempt: tuple[tuple[Path, str, Exemption], ...] = ()
    sulphites_mg_per_kg: float | None = None


@dataclass(frozen=True, slots=True)
class _View:
    """What one ingredient means to one group."""

    contains: tuple[str, ...] = ()
    may_contain: tuple[str, ...] = ()
    unconfirmed: bool = False
    exempt: tuple[tuple[str, Exemption], ...] = ()


@dataclass(slots=True)
class GroupReader:
    """Reads evidence by the groups of one law; what each ingredient means to each group is worked out once."""

    law: LawInForce
    larder: Larder
    evidence: tuple[Known, ...]
    vocabulary: Vocabulary = field(default_factory=load_vocabulary)
    _views: dict[int, dict[str, _View]] = field(default_factory=dict)

    def view(self, place: int) -> dict[str, _View]:
        """Return what an ingredient means to each group it concerns."""
        known = self._views.get(place)
        if known is None:
            known = self._views[place] = self._look(self.evidence[place])
        return known

    def left_open(self, evidence: Evidence) -> frozenset[str]:
        """Return the sources not settled under this law: derivations of unknown make count where the law does not exempt them."""
        kind_of = self.vocabulary.sources
        held = {finding.source for finding in evidence.contains if not finding.derivation}
        derived = [
            finding.source
            for finding in evidence.open_derivations
            if finding.source not in held
            and self.law.exemption(finding.source, finding.derivation, kind_of.get(finding.source, finding.source))
            is None
        ]
        return evidence.unconfirmed.union(derived)

    def _look(self, known: Known) -> dict[str, _View]:
        found: dict[str, _View] = {}
        kind_of = self.vocabulary.sources
        evidence = known.evidence
        left_open = self.left_open(evidence)
        for group in self.law.groups:
            contains: dict[str, None] = {}
            may: dict[str, None] = {}
            exempt: list[tuple[str, Exemption]] = []
            open_ = False
            for finding in evidence.contains:
                kind = kind_of.get(finding.source, finding.source)
                if group.includes(finding.source, kind):
                    freed = self.law.exemption(finding.source, finding.derivation, kind)
                    if freed is not None and not freed.needs_proof:
                        exempt.append((finding.source, freed))
                    else:
                        contains[finding.source] = None
                elif group.left_open_by(finding.source):
                    open_ = True
            for finding in evidence.may_contain:
                kind = kind_of.get(finding.source, finding.source)
                if group.includes(finding.source, kind) or group.left_open_by(finding.source):
                    may[finding.source] = None
            for source in left_open:
                if source in contains:
                    continue
                kind = kind_of.get(source, source)
                if group.includes(source, kind):
                    open_ = True
                    break
            if contains or may or exempt or open_:
                found[group.name] = _View(
                    tuple(contains), tuple(source for source in may if source not in contains), open_, tuple(exempt)
                )
        return found

    def rows(self, lines: list[Batch]) -> tuple[AllergenRow, ...]:
        """Return one row for every group the law regulates.

        Parameters
        ----------
        lines : list[Batch]
            The lines of a plate, or one batch; their paths lead to each ingredient.
        """
        gathered = {group.name: _Gathered() for group in self.law.groups}
        sulphites = next((group.name for group in self.law.groups if "sulphite" in group.kinds), "")
        figured: list[Path] = []
        entries = self.larder.entries
        for batch in lines:
            for place, path in batch.present.items():
                figure = entries[place].sulphites_mg_per_kg
                if figure:
                    figured.append(path)
                for name, seen in self.view(place).items():
                    if name == sulphites and figure is not None:
                        continue  # a figure decides, whatever statements say
                    gathered[name].take(seen, path)
            for contact in batch.contacts:
                figure = entries[contact.ingredient].sulphites_mg_per_kg
                for name, seen in self.view(contact.ingredient).items():
                    if name == sulphites and figure is not None:
                        continue
                    gathered[name].touch(seen, contact)
                if sulphites and figure is not None and self._over(figure):
                    # How much passes is not known; what stands above the limit itself is taken to pass.
                    gathered[sulphites].may.append(MayContain(("sulphite",), contact.path, contact.equipment))
        mg_per_kg = self._decide_sulphites(gathered[sulphites], figured, lines) if sulphites and figured else None
        return tuple(
            gathered[group.name].row(group, mg_per_kg if group.name == sulphites else None)
            for group in self.law.groups
        )

    def _decide_sulphites(self, gathered: "_Gathered", figured: list[Path], lines: list[Batch]) -> float:
        """Decide by quantity where every sulphited ingredient has a figure; one without makes it contain."""
        weight = math.fsum(batch.weight_g for batch in lines)
        total_mg = math.fsum(float(batch.rows[:, c.SO2_MG].sum()) for batch in lines)
        mg_per_kg = total_mg / weight * 1000.0 if weight > 0.0 else 0.0
        if not gathered.contains and self._over(mg_per_kg):
            gathered.contains["sulphite"] = None
            gathered.because.extend(figured)
        return mg_per_kg

    def _over(self, mg_per_kg: float) -> bool:
        limit = self.law.sulphite_limit
        return over_limit(mg_per_kg, limit.value, limit_counts=limit.limit_counts)


def by_length(path: Path) -> tuple[int, Path]:
    """Order ways in by the shortest, then by the alphabet, so that the order of lines never matters."""
    return len(path), path


@dataclass(slots=True)
class _Gathered:
    contains: dict[str, None] = field(default_factory=dict)
    because: list[Path] = field(default_factory=list)
    unconfirmed: list[Path] = field(default_factory=list)
    may: list[MayContain] = field(default_factory=list)
    exempt: list[tuple[Path, str, Exemption]] = field(default_factory=list)

    def take(self, seen: _View, path: Path) -> None:
        if seen.contains:
            self.contains.update(dict.fromkeys(seen.contains))
            self.because.append(path)
        if seen.may_contain:
            self.may.append(MayContain(seen.may_contain, path, "specification"))
        if seen.unconfirmed:
            self.unconfirmed.append(path)
        self.exempt.extend((path, source, freed) for source, freed in seen.exempt)

    def touch(self, seen: _View, contact: Contact) -> None:
        if seen.contains:
            self.may.append(MayContain(seen.contains, contact.path, contact.equipment))
        if seen.unconfirmed:
            self.unconfirmed.append(contact.path)

    def row(self, group: AllergenGroup, mg_per_kg: float | None = None) -> AllergenRow:
        because = tuple(sorted(set(self.because), key=by_length))
        unconfirmed = tuple(sorted(set(self.unconfirmed), key=by_length))
        may = tuple(
            sorted(
                {one for one in self.may if not set(one.sources) <= set(self.contains)},
                key=lambda one: (by_length(one.path), one.why, one.sources),
            )
        )
        exempt = tuple(
            sorted(dict.fromkeys(self.exempt), key=lambda one: (by_length(one[0]), one[1], one[2].derivation))
        )
        if self.contains:
            return AllergenRow(
                group, CONTAINS, tuple(sorted(self.contains)), because, unconfirmed, may, exempt, mg_per_kg
            )
        if may:
            sources = sorted({source for one in may for source in one.sources})
            paths = tuple(dict.fromkeys(one.path for one in may))
            return AllergenRow(group, MAY_CONTAIN, tuple(sources), paths, unconfirmed, may, exempt, mg_per_kg)
        return AllergenRow(
            group, UNCONFIRMED if unconfirmed else NONE_DECLARED, (), (), unconfirmed, (), exempt, mg_per_kg
        )
