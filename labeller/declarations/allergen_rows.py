"""Allergen groups of one law in one batch: status, sources, reasons, what is not settled."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Protocol

from labeller.allergens.vocabulary import Vocabulary, load_vocabulary
from labeller.foundations.plain import dataclass, field

if TYPE_CHECKING:  # an answer from the cache loads neither the kitchen nor the law
    from collections.abc import Collection, Container, Iterable, Mapping, Sequence

    from labeller.allergens.evidence import Evidence, Finding
    from labeller.jurisdictions.in_force import LawInForce
    from labeller.jurisdictions.terms import AllergenGroup, Exemption
    from labeller.kitchen.evidence import Known
    from labeller.kitchen.larder import Larder

Path = tuple[str, ...]

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
class View:
    """What one ingredient means to one group."""

    contains: tuple[str, ...] = ()
    may_contain: tuple[str, ...] = ()
    unconfirmed: bool = False
    exempt: tuple[tuple[str, Exemption], ...] = ()


class Touch(Protocol):
    """What may have passed from another batch over shared equipment: `labeller.kitchen.batch.Contact`, or the same from the cache."""

    @property
    def ingredient(self) -> int:
        """The id of the ingredient it comes from."""

    @property
    def equipment(self) -> str:
        """The machine it may have passed over."""

    @property
    def path(self) -> Path:
        """The way from this batch over the equipment to it."""


class Laid(Protocol):
    """What lies on a plate, as far as groups of the law go: a batch of the kitchen, or the same from the cache."""

    @property
    def present(self) -> Mapping[int, Path]:
        """Every ingredient whose allergens are in it, with the shortest way to it."""

    @property
    def weight_g(self) -> float:
        """Weight. [g]"""

    @property
    def so2_mg(self) -> float:
        """Total sulphur dioxide. [mg]"""

    def touching(self, ingredients: Container[int]) -> Iterable[Touch]:
        """Return the contacts with some ingredients, in order."""


def views_of(
    groups: Iterable[AllergenGroup],
    kind_of: Mapping[str, str],
    contains: Iterable[tuple[str, Exemption | None]],
    may_contain: Iterable[str],
    left_open: Collection[str],
) -> dict[str, View]:
    """Return what one ingredient means to each group it concerns.

    Parameters
    ----------
    contains : iterable of (str, Exemption or None)
        Sources in it, with the freedom their derivation has under the law, if it has one.
    may_contain : iterable of str
        Sources that may be in it by the supplier's word.
    left_open : collection of str
        Sources that are not settled.
    """
    found: dict[str, View] = {}
    for group in groups:
        in_it: dict[str, None] = {}
        may: dict[str, None] = {}
        exempt: list[tuple[str, Exemption]] = []
        open_ = False
        for source, freed in contains:
            if group.includes(source, kind_of.get(source, source)):
                if freed is not None:
                    exempt.append((source, freed))
                else:
                    in_it[source] = None
            elif group.left_open_by(source):
                open_ = True
        for source in may_contain:
            if group.includes(source, kind_of.get(source, source)) or group.left_open_by(source):
                may[source] = None
        for source in left_open:
            if source not in in_it and group.includes(source, kind_of.get(source, source)):
                open_ = True
                break
        if in_it or may or exempt or open_:
            found[group.name] = View(
                tuple(in_it), tuple(source for source in may if source not in in_it), open_, tuple(exempt)
            )
    return found


class RowReader:
    """Reads what lies on a plate by some groups of one law; where what each ingredient means to them comes from, others say."""

    __slots__ = ()

    @property
    def wanted(self) -> tuple[AllergenGroup, ...]:
        """The groups looked for, in the order of the law."""
        raise NotImplementedError

    @property
    def limit(self) -> tuple[float, bool]:
        """The concentration from which sulphites are declared [mg/kg], and whether the limit itself already counts."""
        raise NotImplementedError

    def view(self, place: int) -> dict[str, View]:
        """Return what an ingredient means to each of the groups that it concerns."""
        raise NotImplementedError

    def sulphites_mg_per_kg(self, place: int) -> float | None:
        """Return the figure of an ingredient, None where it has none. [mg/kg]"""
        raise NotImplementedError

    def concerned(self) -> Collection[int]:
        """Return the ingredients that mean something to one of the groups."""
        raise NotImplementedError

    def rows(self, lines: Sequence[Laid]) -> tuple[AllergenRow, ...]:
        """Return one row for every group looked for.

        Parameters
        ----------
        lines : sequence
            The lines of a plate, or one batch; their paths lead to each ingredient.
        """
        wanted = self.wanted
        gathered = {group.name: _Gathered() for group in wanted}
        sulphites = next((group.name for group in wanted if "sulphite" in group.kinds), "")
        figured: list[Path] = []
        concerned = self.concerned()
        for line in lines:
            for place, path in line.present.items():
                if place not in concerned:
                    continue
                figure = self.sulphites_mg_per_kg(place)
                if figure:
                    figured.append(path)
                for name, seen in self.view(place).items():
                    if name == sulphites and figure is not None:
                        continue  # a figure decides, whatever statements say
                    gathered[name].take(seen, path)
            for contact in line.touching(concerned):
                figure = self.sulphites_mg_per_kg(contact.ingredient)
                for name, seen in self.view(contact.ingredient).items():
                    if name == sulphites and figure is not None:
                        continue
                    gathered[name].touch(seen, contact)
                if sulphites and figure is not None and self._over(figure):
                    # How much passes is not known; what stands above the limit itself is taken to pass.
                    gathered[sulphites].may.append(MayContain(("sulphite",), contact.path, contact.equipment))
        mg_per_kg = self._decide_sulphites(gathered[sulphites], figured, lines) if sulphites and figured else None
        return tuple(
            gathered[group.name].row(group, mg_per_kg if group.name == sulphites else None) for group in wanted
        )

    def _decide_sulphites(self, gathered: _Gathered, figured: list[Path], lines: Sequence[Laid]) -> float:
        """Decide by quantity where every sulphited ingredient has a figure; one without makes it contain."""
        weight = math.fsum(line.weight_g for line in lines)
        total_mg = math.fsum(line.so2_mg for line in lines)
        mg_per_kg = total_mg / weight * 1000.0 if weight > 0.0 else 0.0
        if not gathered.contains and self._over(mg_per_kg):
            gathered.contains["sulphite"] = None
            gathered.because.extend(figured)
        return mg_per_kg

    def _over(self, mg_per_kg: float) -> bool:
        from labeller.declarations.rounding import over_limit  # noqa: PLC0415 - decimals cost a start, and few questions need them

        value, limit_counts = self.limit
        return over_limit(mg_per_kg, value, limit_counts=limit_counts)


@dataclass(slots=True)
class GroupReader(RowReader):
    """Reads evidence by the groups of one law; what each ingredient means to each group is worked out once."""

    law: LawInForce
    larder: Larder
    evidence: tuple[Known, ...]
    vocabulary: Vocabulary = field(default_factory=load_vocabulary)
    _views: dict[int, dict[str, View]] = field(default_factory=dict)

    @property
    def wanted(self) -> tuple[AllergenGroup, ...]:
        """The groups of the law, in its order."""
        return self.law.groups

    @property
    def limit(self) -> tuple[float, bool]:
        """The concentration from which sulphites are declared [mg/kg], and whether the limit itself already counts."""
        limit = self.law.sulphite_limit
        return limit.value, limit.limit_counts

    def sulphites_mg_per_kg(self, place: int) -> float | None:
        """Return the figure of an ingredient, None where it has none. [mg/kg]"""
        return self.larder.entries[place].sulphites_mg_per_kg

    def concerned(self) -> Collection[int]:
        """Return every ingredient: one that means nothing to any group is rare among all groups of a law."""
        return range(len(self.evidence))

    def view(self, place: int) -> dict[str, View]:
        """Return what an ingredient means to each group it concerns."""
        known = self._views.get(place)
        if known is None:
            evidence = self.evidence[place].evidence
            known = self._views[place] = views_of(
                self.wanted,
                self.vocabulary.sources,
                [(finding.source, self.freed(finding)) for finding in evidence.contains],
                [finding.source for finding in evidence.may_contain],
                self.left_open(evidence),
            )
        return known

    def freed(self, finding: Finding) -> Exemption | None:
        """Return the freedom a finding's derivation has under this law, None where it must be declared."""
        kind = self.vocabulary.sources.get(finding.source, finding.source)
        found = self.law.exemption(finding.source, finding.derivation, kind)
        return found if found is not None and not found.needs_proof else None

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

    def take(self, seen: View, path: Path) -> None:
        if seen.contains:
            self.contains.update(dict.fromkeys(seen.contains))
            self.because.append(path)
        if seen.may_contain:
            self.may.append(MayContain(seen.may_contain, path, "specification"))
        if seen.unconfirmed:
            self.unconfirmed.append(path)
        self.exempt.extend((path, source, freed) for source, freed in seen.exempt)

    def touch(self, seen: View, contact: Touch) -> None:
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
