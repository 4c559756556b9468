"""The list of ingredients of a label, as one law has it: order, brackets, water, small ones, classes, allergens, quantities."""

from dataclasses import dataclass

from labeller.allergens.reader import StatedIngredient, read_statement
from labeller.allergens.vocabulary import load_vocabulary
from labeller.declarations.additives import additive_class
from labeller.declarations.allergen_words import AllergenWords
from labeller.declarations.contains_line import ContainsLine, contains_line
from labeller.declarations.declaring import Declaration
from labeller.declarations.ingredient_quantities import IngredientQuantity, ingredient_quantities, rounded_percent
from labeller.declarations.label_tree import LabelPart, label_tree
from labeller.declarations.marked_text import MarkedText, Writer
from labeller.declarations.rounding import over_limit
from labeller.declarations.words import listed
from labeller.foundations.names import name_key
from labeller.kitchen.working_out import WATER_TAKEN_UP, Workings

# Foods in which added water is always listed: Regulation (EU) No 1169/2011, Annex VII, Part A, 1.
_FLESH_KINDS = frozenset({"fish", "crustacean", "mollusc"})
_FLESH = frozenset(
    {"pork", "beef", "lamb", "mutton", "veal", "chicken", "poultry", "duck", "turkey", "game", "venison"}
)


_ABBREVIATION = 2  # capitals of this length or less are no emphasis


@dataclass(frozen=True, slots=True)
class Label:
    """What a label says of ingredients.

    Attributes
    ----------
    ingredients : MarkedText
        The list with its heading; spans are set apart.
    contains : ContainsLine
        The line after it, empty where the law has none.
    quantities : tuple of IngredientQuantity
        Shares the name of the food calls for.
    left_out : tuple of (str, str)
        What the law lets go unlisted, with the rule.
    to_settle : tuple of str
        Why this label cannot be printed yet: ingredients with the groups they leave open, groups whose species is not named.
    """

    ingredients: MarkedText
    contains: ContainsLine
    quantities: tuple[IngredientQuantity, ...]
    left_out: tuple[tuple[str, str], ...]
    to_settle: tuple[str, ...]


def label_of(workings: Workings, declaration: Declaration) -> Label:
    """Return the list of ingredients and what goes with it, for a dish or for one thing a preparation gives.

    Notes
    -----
    Ingredients stand in descending order of weight at the time of use; a compound one stands under its own name with its list in
    brackets, whole, though some laws would let a small one's list be left out. Below the law's small share any order after the
    others is allowed: descending stays. Water stands by its weight in the finished food where the law says so.
    """
    return _ListWriter(workings, declaration).label()


class _ListWriter:
    def __init__(self, workings: Workings, declaration: Declaration) -> None:
        self.workings, self.declaration, self.law = workings, declaration, declaration.law
        self.words = AllergenWords.of(declaration)
        self.tree = label_tree(workings, declaration)
        self.quantities = ingredient_quantities(declaration, self.tree)
        additives = self.law.lists.get("additives")
        # Laws that want the class named may leave the choice of classes open; others have none at all.
        self.any_class = additives is not None and additives.words.startswith("the name of the class")
        self.classes = additives.classes if additives is not None else ()
        self.left_out: list[tuple[str, str]] = []
        self._counts: dict[str, int] = {}
        self._all_shown: set[str] = set()
        for part in (one for top in self.tree for one in top.all_parts()):
            self._counts[part.name] = self._counts.get(part.name, 0) + 1

    def label(self) -> Label:
        line = contains_line(self.declaration)
        behind: dict[str, list[str]] = {}
        for row in self.declaration.allergens:
            if row.unconfirmed:
                behind.setdefault(listed(list(dict.fromkeys(path[-1] for path in row.unconfirmed))), []).append(
                    row.group.name
                )
        open_groups = [f"{ingredients} ({listed(groups)})" for ingredients, groups in behind.items()]
        unnamed = [f"{group}: this law wants the species or kind named" for group in line.to_be_named]
        return Label(self._list(), line, self.quantities, tuple(self.left_out), (*open_groups, *unnamed))

    def _list(self) -> MarkedText:
        writer = Writer()
        heading = self.law.statements.get("ingredients_heading")
        writer.add(f"{heading.texts['en'] if heading is not None else 'Ingredients'}: ")
        large, small, phrase = self._by_size(self._with_water(self.tree))
        self._write_all(writer, large, 0)
        if small:
            writer.add(f"{'. ' if large else ''}{phrase}: ")
            self._write_all(writer, small, 0)
        self._write_taken_out(writer)
        writer.add("." if self.tree else "none.")
        for one in self.quantities:
            if self._counts.get(one.ingredient, 0) > 1:
                writer.add(f" {one.ingredient.capitalize()} in all: {one.printed}.")
        return writer.done()

    def _with_water(self, parts: tuple[LabelPart, ...]) -> tuple[LabelPart, ...]:
        """Give water its weight in the finished food, and leave it out where the law lets it go."""
        rule = self.law.lists.get("added water")
        finished_g = self.declaration.weight_g
        if rule is None or rule.percent is None or finished_g <= 0.0:
            return parts
        lost_g = max(0.0, sum(part.weight_g for part in parts) - finished_g)
        kept: list[tuple[float, LabelPart]] = []
        for part in parts:
            if part.place is None or name_key(part.name) != name_key(WATER_TAKEN_UP):
                kept.append((part.weight_g, part))
                continue
            water_g = max(0.0, part.weight_g - lost_g)
            share = water_g / finished_g * 100.0
            # At the bound itself it goes unlisted only where the bound counts.
            needed = over_limit(share, rule.percent, limit_counts=not rule.counts)
            if needed or self._has_flesh():
                kept.append((water_g, part))
            else:
                self.left_out.append((part.name, rule.clause.as_text()))
        kept.sort(key=lambda one: (-one[0], one[1].name))
        return tuple(part for _, part in kept)

    def _has_flesh(self) -> bool:
        kinds = self.words.declared | {
            finding.source
            for batch in self.declaration.lines
            for place in batch.present
            for finding in self.workings.evidence[place].evidence.contains
        }
        sources = load_vocabulary().sources
        return any(sources.get(one, one) in _FLESH_KINDS or one in _FLESH for one in kinds)

    def _by_size(self, parts: tuple[LabelPart, ...]) -> tuple[list[LabelPart], list[LabelPart], str]:
        """Part the small ones from the rest where the law has words for them."""
        rule = self.law.lists.get("small ingredients")
        whole_g = sum(part.weight_g for part in parts)
        if rule is None or rule.percent is None or not rule.phrase or whole_g <= 0.0:
            return list(parts), [], ""
        large: list[LabelPart] = []
        small: list[LabelPart] = []
        for part in parts:
            above = over_limit(part.weight_g / whole_g * 100.0, rule.percent, limit_counts=not rule.counts)
            (large if above else small).append(part)
        return large, small, rule.phrase["en"].replace("{percent}", f"{rule.percent:g}")

    def _write_all(self, writer: Writer, parts: list[LabelPart], depth: int) -> None:
        for place, part in enumerate(parts):
            writer.add(", " if place else "")
            self._write(writer, part, depth)

    def _write(self, writer: Writer, part: LabelPart, depth: int) -> None:
        if part.place is not None:
            self._bought_in(writer, part.place, part.name, depth)
            return
        writer.add(part.name)
        self._write_quantity(writer, part.name)
        opening, closing = _brackets(depth)
        writer.add(f" {opening}")
        self._write_all(writer, list(part.parts), depth + 1)
        writer.add(closing)

    def _write_quantity(self, writer: Writer, name: str) -> None:
        if self._counts.get(name, 0) != 1:
            return  # it stands in several places: the figure follows the list
        for one in self.quantities:
            if one.ingredient == name:
                plain = one.printed[:1].isdigit()
                writer.add(f" {one.printed}" if plain else f" ({one.printed})")

    def _bought_in(self, writer: Writer, place: int, name: str, depth: int) -> None:
        """Name an ingredient, its own list in brackets where its specification gives one."""
        entry = self.workings.larder.entries[place]
        known = self.workings.evidence[place].evidence
        sources = list(self.words.sources_of(known.contains))
        if "sulphite" in self.words.declared and entry.sulphites_mg_per_kg and "sulphite" not in sources:
            sources.append("sulphite")
        shown: set[str] = set()
        statement = entry.spec.statement if entry.spec is not None else None
        stated = read_statement(statement).ingredients if statement else ()
        if len(stated) == 1:
            stated = stated[0].parts
        listed = Writer()
        opening, closing = _brackets(depth)
        if stated:
            listed.add(f" {opening}")
            self._write_stated(listed, stated, depth + 1, shown)
            listed.add(closing)
        missing = tuple(source for source in sources if source not in shown)
        in_class = additive_class(name, self.classes, any_class=self.any_class)
        named = self.words.name(name, missing, shown)
        if in_class:
            writer.add(f"{in_class}: ")
        writer.add_marked(named)
        self._write_quantity(writer, name)
        writer.add_marked(listed.done())
        self._all_shown |= shown

    def _write_taken_out(self, writer: Writer) -> None:
        """Name what left its allergens though none of it is in the food any more: steeped and strained out, or removed.

        Regulation (EU) No 1169/2011, Article 9(1)(c): what causes allergies is given though it was only a processing aid.
        """
        if not self.words.in_list:
            return
        kept = {place for part in self.tree for place in part.amounts}
        for place in self.declaration.batch.present:
            if place in kept or not self.words.sources_of(self.workings.evidence[place].evidence.contains):
                continue
            writer.add(", ")
            self._bought_in(writer, place, self.workings.larder.names[place], 0)
            writer.add(" (taken out again)")
        for source in sorted(self.words.declared - self._all_shown):
            writer.add(", ")
            writer.add_marked(self.words.name(source, (source,), self._all_shown))

    def _write_stated(
        self,
        writer: Writer,
        stated: tuple[StatedIngredient, ...],
        depth: int,
        shown: set[str],
        from_above: tuple[str, ...] = (),
    ) -> None:
        """Write a specification's own list; what a name above it leaves to be named is set apart where a part shows it."""
        for place, one in enumerate(stated):
            writer.add(", " if place else "")
            text = _in_plain_case(one.name, first=place == 0)
            handed = tuple(source for source in from_above if self.words.shows(source, one.name))
            own = tuple(dict.fromkeys((*self.words.sources_of(one.findings), *handed)))
            below = tuple(source for source in own if self._shown_below(source, one))
            writer.add_marked(self.words.name(text, tuple(source for source in own if source not in below), shown))
            if one.percent is not None:
                writer.add(f" {rounded_percent(one.percent)} %")
            if one.parts:
                opening, closing = _brackets(depth)
                writer.add(f" {opening}")
                self._write_stated(writer, one.parts, depth + 1, shown, below)
                writer.add(closing)

    def _shown_below(self, source: str, stated: StatedIngredient) -> bool:
        return not self.words.shows(source, stated.name) and any(
            self.words.shows(source, part.name) for part in stated.parts
        )


def _in_plain_case(text: str, *, first: bool) -> str:
    """Take back capitals a supplier set for emphasis or at the head of a list; what is set apart here follows this law."""
    words = [
        word.lower() if len(word) > _ABBREVIATION and word.isalpha() and word.isupper() else word
        for word in text.split(" ")
    ]
    if first and words[0][:1].isupper() and words[0][1:].islower():
        words[0] = words[0].lower()
    return " ".join(words)


def _brackets(depth: int) -> tuple[str, str]:
    """Return the pair of brackets of a depth, round and square in turn, so that a list within a list can be told."""
    return ("[", "]") if depth % 2 else ("(", ")")
