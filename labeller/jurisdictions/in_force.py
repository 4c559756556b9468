"""The law of one jurisdiction on one day, as plain attributes.

A subject is looked up when it is asked for: law that begins later than the day is refused by name, never replaced.
"""

from datetime import date
from functools import cached_property

from labeller.jurisdictions.dated_rows import DatedRows, Row
from labeller.jurisdictions.label_terms import (
    AlcoholRule,
    Emphasis,
    FrontOfPackRule,
    LetterRule,
    ListRule,
    OfferRule,
    PanelRule,
    Statement,
    Tolerance,
    ToleranceBand,
)
from labeller.jurisdictions.terms import (
    AllergenGroup,
    Band,
    Definition,
    Definitions,
    EnergyFactor,
    EnergyMethod,
    Exemption,
    Intake,
    NutrientLine,
    RoundingRule,
    SourceName,
    SulphiteLimit,
)


class LawInForce(DatedRows):
    """What one jurisdiction asks on one day.

    Raises
    ------
    NotInForceError
        On creation if the allergen groups begin later than ``day``; on use for any other subject.
    """

    def __init__(self, code: str, title: str, day: date, laws: dict[str, Row], subjects: dict[str, list[Row]]) -> None:
        super().__init__(code, title, day, laws, subjects)
        self._in_force("groups")

    @cached_property
    def groups(self) -> tuple[AllergenGroup, ...]:
        """The allergen groups this law regulates, in its own order."""
        return tuple(
            AllergenGroup(
                row["key"],
                row["title"],
                tuple(row.get("kinds", ())),
                tuple(row.get("sources", ())),
                tuple(row.get("open_sources", ())),
                tuple(row.get("examples", ())),
                row.get("species_named", False),
                self._cite(row),
            )
            for row in self._in_force("groups")
        )

    def group(self, name: str) -> AllergenGroup | None:
        """Return the group of that name, None where this law has none."""
        return next((group for group in self.groups if group.name == name), None)

    def exemption(self, source: str, derivation: str, kind: str = "") -> Exemption | None:
        """Return the exemption for a derivation of a source, None where it must be declared.

        Freedom that hangs on a supplier's paper is no exemption here: see `exemption_on_proof`.

        Parameters
        ----------
        source, derivation : str
            As evidence names them (``wheat``, ``glucose syrup``).
        kind : str
            Kind of the source, for exemptions that hold for a whole kind (``fish`` for any species).
        """
        return self._exemption(source, derivation, kind, on_proof=False)

    def exemption_on_proof(self, source: str, derivation: str, kind: str = "") -> Exemption | None:
        """Return the freedom a derivation would have if a paper showed what ``condition`` says; until then it is declared."""
        return self._exemption(source, derivation, kind, on_proof=True)

    def _exemption(self, source: str, derivation: str, kind: str, *, on_proof: bool) -> Exemption | None:
        if not derivation:
            return None
        for row in self._in_force("exemptions"):
            if row.get("needs_proof", False) is not on_proof or derivation not in row["derivations"]:
                continue
            if source in row.get("sources", ()) or (kind or source) in row.get("kinds", ()):
                return Exemption(source, derivation, row["condition"], on_proof, self._cite(row))
        return None

    def source_name(self, source: str, kind: str = "") -> SourceName:
        """Return the names a source may bear in a list and in a Contains line.

        A source the law has no words for keeps its own name; then there is no clause and it is not required.

        Parameters
        ----------
        source, kind : str
            As evidence names them; the kind finds the rule for any species of it.
        """
        row = self._names.get(source)
        if row is None or not row.get("names"):
            row = self._names.get(f"any {kind or source}")
            if row is None:
                return SourceName(source, (source,), "", (source,), required=False, clause=None)
        words = tuple(row.get("names", ())) or (source,)
        word = row.get("group_word", "")
        beside = "" if word in words else word
        in_contains = tuple(row.get("in_contains", ())) or (beside or words[0],)
        return SourceName(source, words, beside, in_contains, row.get("required", True), self._cite(row))

    @cached_property
    def _names(self) -> dict[str, Row]:
        return {row["key"]: row for row in self._in_force("names")}

    @cached_property
    def sulphite_limit(self) -> SulphiteLimit:
        """The limit from which sulphites are declared."""
        row = self._in_force("sulphites")[0]
        return SulphiteLimit(row["value"], row["limit_counts"], self._cite(row))

    @cached_property
    def energy_factors(self) -> dict[str, EnergyFactor]:
        """Energy per gram by nutrient; where the law gives one unit only, the other follows by its own ratio."""
        ratio = self.energy_method.kj_per_kcal or 1.0
        factors: dict[str, EnergyFactor] = {}
        for row in self._in_force("energy_factors"):
            if row["key"] == "method":
                continue
            kj: float = row["kj"] if "kj" in row else row["kcal"] * ratio
            kcal: float = row["kcal"] if "kcal" in row else row["kj"] / ratio
            factors[row["key"]] = EnergyFactor(row["key"], kj, kcal, self._cite(row))
        return factors

    @cached_property
    def energy_method(self) -> EnergyMethod:
        """How kJ and kcal follow from the factors."""
        row = next(row for row in self._in_force("energy_factors") if row["key"] == "method")
        return EnergyMethod(row["energy_from"], row.get("kj_per_kcal"), self._cite(row))

    @property
    def energy_from(self) -> str:
        """``each``, ``kcal`` or ``kj``, as `EnergyMethod.source`."""
        return self.energy_method.source

    @cached_property
    def definitions(self) -> Definitions:
        """The definitions that change figures."""
        each = {
            row["key"]: Definition(row["key"], row["value"], row["words"], self._cite(row))
            for row in self._in_force("definitions")
        }
        return Definitions(
            each["carbohydrate"].value == "with fibre", each["protein"].value, each["salt_or_sodium"].value, each
        )

    @cached_property
    def nutrients(self) -> tuple[NutrientLine, ...]:
        """Every line of a nutrition declaration, in the law's order."""
        return tuple(
            NutrientLine(
                row["key"],
                row["label"],
                row["unit"],
                row.get("indent", 0),
                tuple(row["offers"]),
                tuple(row.get("mandatory_for", ())),
                tuple(row["basis"]),
                self._cite(row),
            )
            for row in self._in_force("nutrients")
        )

    def nutrients_for(self, offer: str) -> tuple[NutrientLine, ...]:
        """Return the lines that belong to one kind of offer."""
        return tuple(line for line in self.nutrients if offer in line.offers)

    @cached_property
    def rounding(self) -> dict[str, RoundingRule]:
        """How each figure is rounded, by key."""
        return {
            row["key"]: RoundingRule(
                row["key"],
                row["unit"],
                tuple(Band(**band) for band in row["bands"]),
                row.get("zeros", "kept"),
                self._cite(row),
            )
            for row in self._in_force("rounding")
        }

    @cached_property
    def intakes(self) -> dict[str, Intake]:
        """Reference intakes or Daily Values by key."""
        return {
            row["key"]: Intake(
                row["key"],
                row["value"],
                row["unit"],
                row.get("percent", "optional"),
                row.get("together_with", ""),
                self._cite(row),
            )
            for row in self._in_force("intakes")
        }

    @cached_property
    def tolerances(self) -> dict[str, Tolerance]:
        """How far from the printed figure a food may lie, by key."""
        return {
            row["key"]: Tolerance(
                row["key"],
                row["unit"],
                tuple(
                    ToleranceBand(
                        band.get("below", ""),
                        band.get("up_to", ""),
                        band.get("plus"),
                        band.get("minus"),
                        band.get("percent", False),
                    )
                    for band in row["bands"]
                ),
                row.get("from_interval", False),
                self._cite(row),
            )
            for row in self._in_force("tolerances")
        }

    @cached_property
    def alcohol(self) -> dict[str, AlcoholRule]:
        """Thresholds, words and the unit of alcohol, by key."""
        return {
            row["key"]: AlcoholRule(
                row["key"],
                row["kind"],
                row.get("bound", ""),
                row.get("value"),
                row.get("unit", ""),
                row["words"],
                self._cite(row),
            )
            for row in self._in_force("alcohol")
        }

    @cached_property
    def letters(self) -> tuple[LetterRule, ...]:
        """The least letter sizes, widest face first."""
        return tuple(
            LetterRule(
                row["key"],
                row["what"],
                row["measure"],
                row["least"],
                row.get("face_at_least_cm2"),
                row.get("face_below_cm2"),
                row.get("bold", ""),
                self._cite(row),
            )
            for row in self._in_force("letters")
        )

    @cached_property
    def offers(self) -> dict[str, OfferRule]:
        """What each kind of offer needs: loose, prepacked for direct sale, prepacked, menu, distance."""
        return {
            row["key"]: OfferRule(
                row["key"],
                tuple(row["needs"]),
                row["allergens"],
                row["nutrition"],
                row.get("notes", ""),
                self._cite(row),
            )
            for row in self._in_force("offers")
        }

    @cached_property
    def lists(self) -> dict[str, ListRule]:
        """The rules of the list of ingredients, by key."""
        return {
            row["key"]: ListRule(
                row["key"],
                row.get("percent"),
                row.get("counts", False),
                row["words"],
                row.get("phrase", {}),
                tuple(row.get("classes", ())),
                self._cite(row),
            )
            for row in self._in_force("lists")
        }

    @cached_property
    def emphasis(self) -> Emphasis:
        """How allergens stand out on a label."""
        row = self._in_force("emphasis")[0]
        return Emphasis(
            row["where"], row["style"], row["contains_line"], row["contains_word"], row["required"], self._cite(row)
        )

    @cached_property
    def statements(self) -> dict[str, Statement]:
        """Words the law prescribes, by key."""
        return {
            row["key"]: Statement(row["key"], row["texts"], row["when"], row.get("prescribed", True), self._cite(row))
            for row in self._in_force("statements")
        }

    @cached_property
    def panel(self) -> dict[str, PanelRule]:
        """How the nutrition declaration is drawn, by key; empty where this law has nothing on file for it."""
        if not self.covers("panel"):
            return {}
        return {
            row["key"]: PanelRule(
                row["key"], row.get("texts", {}), tuple(row.get("choices", ())), row.get("points"), self._cite(row)
            )
            for row in self._in_force("panel")
        }

    @cached_property
    def front_of_pack(self) -> tuple[FrontOfPackRule, ...]:
        """The criteria of low, medium and high, in their order; empty where this law has none."""
        if not self.covers("front_of_pack"):
            return ()
        return tuple(
            FrontOfPackRule(
                row["nutrient"],
                row["kind"],
                row["low_up_to"],
                row["high_above"],
                row["high_above_per_portion"],
                row["portion_above"],
                self._cite(row),
            )
            for row in self._in_force("front_of_pack")
        )
