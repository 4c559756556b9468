"""The particulars of a label for sale: what the law's offer needs, in its order, what the house adds, and what is missing."""

from collections.abc import Mapping
from datetime import date

from labeller.book.entries import Kitchen
from labeller.declarations.alcohol_facts import units_of
from labeller.declarations.allergen_rows import NONE_DECLARED
from labeller.declarations.declaring import Declaration, Declarer
from labeller.declarations.ingredient_list import label_of
from labeller.declarations.keeping_times import day_in_words
from labeller.declarations.labelling import not_determined
from labeller.declarations.marked_text import MarkedText
from labeller.declarations.paper_alcohol import guest_alcohol
from labeller.declarations.paper_allergens import guest_allergens
from labeller.declarations.paper_net import net_quantity
from labeller.declarations.paper_particulars import MissingParticular, Particular, SaleParticulars, UnknownOfferError
from labeller.declarations.paper_phrases import phrase
from labeller.declarations.paper_unvouched import unvouched
from labeller.declarations.paper_use_by import ThingKind, given_of, use_by
from labeller.declarations.words import NUTRIENT_WORDS, listed
from labeller.foundations.names import capitalised
from labeller.jurisdictions.in_force import LawInForce
from labeller.jurisdictions.label_terms import OfferRule

# Duties that the statement of the strength meets.
_STATED_AS_STRENGTH = frozenset({"strength_stated", "content_stated", "food_content_stated"})
SALE_OFFERS = ("prepacked for direct sale", "prepacked", "distance")


def sale_particulars(
    declarer: Declarer,
    declaration: Declaration,
    *,
    made: date,
    offer: str = "prepacked",
    net_g: float | None = None,
    made_days: Mapping[str, date] | None = None,
) -> SaleParticulars:
    """Return the particulars of a dish or of one thing a preparation gives.

    Parameters
    ----------
    declaration : Declaration
        Of the dish or the given thing, made by ``declarer``.
    made : date
        Day it was made.
    offer : str
        ``prepacked``, ``prepacked for direct sale`` or ``distance``.
    net_g : float, optional
        Weight in the pack [g]. Without it a dish counts as one portion, a preparation with ``makes`` as one piece.
    made_days : mapping of str to date, optional
        As `use_by`.

    Raises
    ------
    UnknownOfferError
        Where this law has no rule for the offer.
    """
    return _Sale(declarer, declaration, offer, made, net_g, made_days).done()


class _Sale:
    def __init__(
        self,
        declarer: Declarer,
        declaration: Declaration,
        offer: str,
        made: date,
        net_g: float | None,
        made_days: Mapping[str, date] | None,
    ) -> None:
        self.declarer, self.declaration, self.law = declarer, declaration, declaration.law
        self.rule = _rule_of(self.law, offer)
        self.label = label_of(declarer.workings, declaration)
        kind: ThingKind = "dish" if declaration.kind == "dish" else "given"
        book = declarer.workings.book
        self.kitchen: Kitchen = book.kitchen
        self.use_by = use_by(book, self.law, kind, declaration.name, made, made_days)
        self.net_g = net_g
        self.missing: list[MissingParticular] = []
        self.texts: dict[str, tuple[MarkedText, bool]] = {}

    def done(self) -> SaleParticulars:
        name = self.declaration.name
        self._put("name", capitalised(name))
        self.texts["ingredients"] = (self.label.ingredients, False)
        self._allergens()
        self._put("net quantity", self._net())
        self._put("date", self._date())
        self._put("storage", self.use_by.storage)
        if not self.use_by.storage_kind:
            self._lack(
                "storage", "the book does not say how it is kept.", "Write 'keeps: 5 days chilled', or 'storage:'."
            )
        self._operator()
        self._put("instructions", self._instructions())
        self._strength()
        self._nutrition()
        self._to_look_at()
        return SaleParticulars(
            name,
            self.rule.key,
            self.law.code,
            self._in_order(),
            self.label,
            self.label.quantities,
            self.use_by,
            self.rule.nutrition,
            self.rule.notes,
            self._statements(),
            tuple(self.missing),
            self.use_by.notes,
            unvouched([self.declaration]),
            self.rule.clause,
        )

    def _put(self, key: str, text: str, *, bold: bool = False) -> None:
        if text:
            self.texts[key] = (MarkedText(text), bold)

    def _lack(self, key: str, problem: str, mend: str, *, must: bool = True) -> None:
        """Note what is missing; where this offer does not need the particular it is only to be looked at."""
        self.missing.append(
            MissingParticular(key, problem, mend, must=must and key in {*self.rule.needs, "allergens", "strength"})
        )

    def _allergens(self) -> None:
        line = self.label.contains
        if line.text:
            self.texts["contains"] = (MarkedText(line.text), line.bold)
        lines = guest_allergens(self.declaration)
        if lines.may_contain.text:
            self.texts["may contain"] = (lines.may_contain, False)
        if lines.ask_about.text:
            self.texts["ask about"] = (lines.ask_about, False)
        for one in self.label.to_settle:
            self._lack(
                "allergens",
                f"not settled: {one}.",
                "Add the supplier's statement; till then this label may not be used.",
            )

    def _net(self) -> str:
        found = net_quantity(self.declarer, self.declaration, self.net_g)
        if found.problem:
            self._lack("net quantity", found.problem, found.mend, must=not found.text)
        return found.text

    def _date(self) -> str:
        found = self.use_by
        if found.day is None:
            self._lack(
                "date", f"'{found.name}' does not say how long it keeps.", "Write 'keeps: 5 days chilled' in the book."
            )
            return found.line
        # What keeps at room temperature or frozen, and holds nothing chilled that ends first, is no highly perishable food:
        # Regulation (EU) No 1169/2011, Article 24(1), from memory. Everything else is to be used by its day.
        chilled_ends_it = found.limited_by is not None and found.limited_by.keeps.storage not in ("ambient", "frozen")
        head = "best_before" if found.storage_kind in ("ambient", "frozen") and not chilled_ends_it else "use_by"
        return f"{phrase(head)} {day_in_words(found.day)}"

    def _operator(self) -> None:
        self._put("operator", ", ".join(one for one in (self.kitchen.name, self.kitchen.address) if one))
        if not self.kitchen.address:
            self._lack(
                "operator",
                "the kitchen entry has no address.",
                "Write 'address: 1 Example Quay' in the kitchen entry.",
            )

    def _instructions(self) -> str:
        book = self.declarer.workings.book
        if self.declaration.kind == "dish":
            return book.dishes[self.declaration.name].reheat
        return given_of(book, self.declaration.name)[0].reheat

    def _strength(self) -> None:
        lines = guest_alcohol(self.declarer, self.declaration)
        if lines.status != NONE_DECLARED or lines.ferments:
            self.texts["alcohol"] = (lines.short, False)
        self._put("strength", lines.statement)
        percent = lines.strength_percent_vol
        if lines.statement and percent is not None and percent[2] - percent[0] > 0.6:
            # Regulation (EU) No 1169/2011, Annex XII, allows 0.3 % vol either way for most drinks (from memory).
            self._lack(
                "strength",
                f"the strength is worked out, and could lie between {percent[0]:.1f} and {percent[2]:.1f} % vol.",
                "Measure it before it is sold.",
            )
        for one in lines.thresholds:
            if one.key == "standard_drinks_stated":
                self._standard_drinks()
            elif one.key == "pregnancy_warning":
                problem = "this drink bears the pregnancy warning, a mark the law draws, which is not drawn here."
                self.missing.append(MissingParticular(one.key, problem, f"Add it by {one.clause.as_text()}."))
            elif one.key not in _STATED_AS_STRENGTH:
                self._lack(one.key, f"{one.words} ({one.as_text()}).", f"See {one.clause.as_text()}.", must=False)
        for name in lines.ingredients:
            self._lack(
                "strength",
                f"whether '{name}' holds alcohol is not known.",
                "Add the supplier's statement.",
                must=False,
            )

    def _standard_drinks(self) -> None:
        """State the standard drinks of a pack: Standard 2.7.1-4 of the Australia New Zealand Food Standards Code; to a tenth, from memory."""
        grams = net_quantity(self.declarer, self.declaration, self.net_g).grams
        if not grams:
            self.missing.append(
                MissingParticular(
                    "strength", "standard drinks are due, and how much is in a pack is not known.", "Weigh a pack."
                )
            )
            return
        _, ethanol_g, _ = self.declaration.alcohol.ethanol_g
        ethanol_g *= grams / self.declaration.weight_g
        for unit in units_of((ethanol_g, ethanol_g, ethanol_g), [self.law]):
            self._put("standard drinks", phrase("standard_drinks", count=f"{unit.counts[1]:.1f}"))

    def _nutrition(self) -> None:
        if self.rule.nutrition != "required":
            return
        gaps = list(dict.fromkeys(_nutrient_name(key) for key in not_determined(self.declaration)))
        if gaps:
            self._lack(
                "nutrition", f"there is no whole figure for {listed(gaps)}.", "Add 'per_100_g' to what lacks it."
            )

    def _to_look_at(self) -> None:
        if "origin" in self.rule.needs:
            self._lack(
                "origin",
                "the book does not know where food comes from.",
                "Add it by hand where leaving it out would mislead, and for meat.",
                must=False,
            )
        if self.law.code == "ca":
            # Food and Drug Regulations, B.01.012(2), from memory.
            self._lack(
                "name",
                "labels sold in Canada stand in English and French; this one is in English.",
                "Add the French.",
                must=False,
            )
        if self.law.code == "eu":
            # Regulation (EU) No 1169/2011, Article 15, from memory.
            self._lack(
                "name",
                "the label stands in English.",
                "Print it in a language of the country it is sold in.",
                must=False,
            )

    def _statements(self) -> tuple[str, ...]:
        """Return words this law wants beside the name: with sweeteners, where the list names a sweetener as such."""
        found: list[str] = []
        statement = self.law.statements.get("sweeteners")
        if statement is not None and "sweetener" in self.label.ingredients.text.casefold():
            found.append(statement.texts["en"])
        return tuple(found)

    def _in_order(self) -> tuple[Particular, ...]:
        needs = self.rule.needs
        order: list[str] = []
        for key in (*needs, *self.texts):
            if key == "ingredients":
                order.extend(["ingredients", "contains", "may contain", "ask about"])
            elif key != "allergens":
                order.append(key)
        found: list[Particular] = []
        for key in dict.fromkeys(order):
            if key in self.texts:
                text, bold = self.texts[key]
                # A strength stands among the texts only where the law asks for it.
                needed = key in needs or key in ("strength", "standard drinks")
                needed = needed or (key == "contains" and self.law.emphasis.contains_line == "required")
                found.append(Particular(key, text, needed, bold))
        return tuple(found)


def _rule_of(law: LawInForce, offer: str) -> OfferRule:
    known = [one for one in SALE_OFFERS if one in law.offers]
    if offer not in known:
        raise UnknownOfferError(
            f"'{offer}' is not a sale that {law.title} has rules for. Write one of {', '.join(known)}."
        )
    return law.offers[offer]


def _nutrient_name(key: str) -> str:
    words = (NUTRIENT_WORDS.get(key, (key, ""))[0] or "Energy").removeprefix("of which ")
    return f"{words[:1].lower()}{words[1:]}"
