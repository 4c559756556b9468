"""The facts of a book that was just worked out; each is worked out when a question first asks for it."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from labeller.allergens.profiles import profile_of
from labeller.allergens.reader import Reading, StatedIngredient, read_statement
from labeller.allergens.vocabulary import load_vocabulary, phrase_key
from labeller.declarations.alcohol_facts import Range, UnitCount, alcohol_facts, units_of
from labeller.declarations.facts import (
    AlcoholStory,
    BookFacts,
    Drink,
    Gap,
    IngredientFacts,
    IngredientWords,
    NameReading,
    Portion,
)
from labeller.declarations.figure_words import ALCOHOL_WORDS, MORE_FIGURES, WEIGHT_WORDS, figure_key, figures_by_word
from labeller.declarations.figures import MORE_COLUMNS
from labeller.declarations.phrases import VAGUE, VAGUE_ALONE, phrase_in
from labeller.foundations.names import fold_text, name_key
from labeller.jurisdictions.packs import load_jurisdiction
from labeller.kitchen import constituents as c
from labeller.kitchen.larder import FIGURE_INDEX

if TYPE_CHECKING:
    from collections.abc import Container, Mapping

    from labeller.declarations.declaring import Declarer
    from labeller.declarations.facts import Line
    from labeller.kitchen.batch import Batch, Contact, Path
    from labeller.kitchen.working_out import PlateLine

_MADE_DISH = 2  # the sense of a word of the vocabulary that names something made of several things
_NOT_SAID = frozenset({"no", "without", "not", "non", "free", "imitation", "except"})


def facts_of(declarer: Declarer) -> BookFacts:
    """Return the facts of a book under the law its declarer stands for."""
    return WorkedOut(declarer)


class LaidLine:
    """One line of a plate that lies on the bench."""

    __slots__ = ("_batch", "name", "optional", "present", "swaps")

    def __init__(self, line: PlateLine) -> None:
        self._batch: Batch = line.batch
        self.name: str = line_name(line)
        self.optional: bool = line.line.optional
        self.swaps: tuple[LaidLine, ...] = tuple(LaidLine(swap) for swap in line.swaps)
        self.present: Mapping[int, Path] = line.batch.present

    @property
    def batch(self) -> Batch:
        """What the line brings."""
        return self._batch

    @property
    def weight_g(self) -> float:
        """Weight. [g]"""
        return self._batch.weight_g

    @property
    def so2_mg(self) -> float:
        """Total sulphur dioxide. [mg]"""
        return self._batch.so2_mg

    @property
    def caffeine_mg(self) -> float:
        """Caffeine, by the packs that give it. [mg]"""
        return float(self._batch.rows[:, c.CAFFEINE_MG].sum())

    def touching(self, ingredients: Container[int]) -> list[Contact]:
        """Return the contacts with some ingredients, in order."""
        return self._batch.touching(ingredients)

    def ethanol_g(self, place: int) -> float:
        """Return the ethanol that one alcoholic ingredient leaves in it, by the estimate. [g]"""
        return self._batch.ethanol_g(place)


class WorkedOut(BookFacts):
    """The facts of a book that was just worked out."""

    def __init__(self, declarer: Declarer) -> None:
        super().__init__()
        self._declarer = declarer
        workings, law = declarer.workings, declarer.law
        self.code = law.code
        self.groups = law.groups
        self.ingredients = workings.larder.names
        self.own_names = tuple(name for entry in workings.larder.entries for name in (entry.name, *entry.also))
        self.preparations = tuple(workings.book.preparations)
        self.dishes = tuple(workings.plates)
        self.menus = {
            name: tuple(dict.fromkeys(dish for _, dishes in menu.sections for dish in dishes))
            for name, menu in workings.book.menus.items()
        }
        self._plates: dict[str, tuple[LaidLine, ...]] = {}
        self._ingredients: dict[int, IngredientFacts] = {}
        self._words: dict[int, IngredientWords] = {}
        self._nutrient_words: dict[str, str] | None = None

    @property
    def nutrient_words(self) -> Mapping[str, str]:  # type: ignore[override]  # worked out when first asked for, a plain field in the packed facts
        """Every word that asks about a figure, and the figure."""
        if self._nutrient_words is None:
            law = self._declarer.law
            other = {figure_key(word) for word in (*ALCOHOL_WORDS, *WEIGHT_WORDS)}
            other.update(name_key(group.name) for group in law.groups)
            found = figures_by_word(law, self._declarer.definitions.keys)
            self._nutrient_words = {word: key for word, key in found.items() if word not in other}
        return self._nutrient_words

    def sulphite_limit(self) -> tuple[float, bool]:
        """Return the concentration from which sulphites are declared [mg/kg], and whether the limit itself already counts."""
        limit = self._declarer.law.sulphite_limit
        return limit.value, limit.limit_counts

    def plate(self, dish: str) -> tuple[LaidLine, ...]:
        """Return the lines of a plate."""
        known = self._plates.get(dish)
        if known is None:
            lines = self._declarer.workings.plates[dish].lines
            known = self._plates[dish] = tuple(LaidLine(line) for line in lines)
        return known

    def ingredient(self, place: int) -> IngredientFacts:
        """Return what is known of an ingredient."""
        found = self._ingredients.get(place)
        if found is None:
            entry = self._declarer.workings.larder.entries[place]
            known = self._declarer.workings.evidence[place]
            groups = self._declarer.groups
            found = self._ingredients[place] = IngredientFacts(
                entry.sulphites_mg_per_kg,
                known.alcohol,
                known.trace,
                entry.strength_percent_vol,
                tuple(
                    (finding.source, finding.words, groups.freed(finding) is not None)
                    for finding in known.evidence.contains
                ),
                tuple(finding.source for finding in known.evidence.may_contain),
                groups.left_open(known.evidence),
            )
        return found

    def words(self, place: int) -> IngredientWords:
        """Return the words that stand for an ingredient."""
        found = self._words.get(place)
        if found is None:
            found = self._words[place] = self._words_of(place)
        return found

    def _words_of(self, place: int) -> IngredientWords:
        workings = self._declarer.workings
        entry, row = workings.larder.entries[place], workings.larder.rows[place]
        statement = entry.spec.statement if entry.spec is not None else None
        reading = read_statement(statement) if statement is not None else None
        stated = reading.ingredients if reading is not None else ()
        return IngredientWords(
            (entry.name, *entry.also),
            tuple(_row_parts(workings.scale.table.name(row))) if row is not None else (),
            tuple(_heads(stated)),
            tuple(_leaves(stated)),
            statement,
            reading.negated if reading is not None else (),
            self._says_too_little(place, reading),
            float(workings.larder.per_gram[place, c.CAFFEINE_MG]) > 0.0,
            bool(workings.larder.known[place, FIGURE_INDEX["caffeine_mg"]]),
        )

    def _says_too_little(self, place: int, reading: Reading | None) -> bool:
        """Tell whether an ingredient may hold anything for all we know: no whole statement, and no single commodity."""
        entry = self._declarer.workings.larder.entries[place]
        if reading is not None:
            return bool(reading.refused) or _stated_too_little(reading.ingredients)
        if entry.from_shelf:
            return any(phrase_in(one, entry.name) for one in VAGUE)
        profile = profile_of(entry.composition) if entry.composition else None
        return profile is None or not profile.complete

    def name_reading(self, text: str) -> NameReading | None:  # noqa: ARG002 - nothing has been read before
        """Return None: the reader reads each name when it is asked for."""
        return None

    def portion(self, dish: str) -> Portion:
        """Return the figures of one portion."""
        workings = self._declarer.workings
        whole = self._declarer.together([line.batch for line in workings.plates[dish].lines])
        figures = self._declarer.definitions.figures_of(whole)
        sums = dict(figures.sums)
        gaps: dict[str, list[Gap]] = {key: [] for key in sums}
        for one in figures.missing:
            gaps[one.nutrient].append(Gap(one.ingredient, one.share))
        ingoing = {place: grams for place, grams in whole.ingoing().items() if grams > 0.0}
        total = sum(ingoing.values())
        larder = workings.larder
        for key in MORE_FIGURES.values():
            if key in sums:
                continue
            column, name = MORE_COLUMNS[key]
            sums[key] = float(whole.rows[:, column].sum())
            at = FIGURE_INDEX[name]
            lacking = [
                Gap(larder.names[place], put_in / total)
                for place, put_in in ingoing.items()
                if not larder.known[place, at]
            ]
            gaps[key] = sorted(lacking, key=lambda gap: (-gap.share, gap.ingredient))
        return Portion(sums, {key: tuple(found) for key, found in gaps.items()})

    def line_value(self, line: Line, key: str) -> float:
        """Return one figure of one line. [unit the key ends in]"""
        return self.line_values(line)[key]

    def line_values(self, line: Line) -> dict[str, float]:
        """Return every figure of one line."""
        if not isinstance(line, LaidLine):
            raise TypeError("a line of another book")
        found = dict(self._declarer.definitions.figures_of(line.batch).sums)
        for key in MORE_FIGURES.values():
            if key not in found:
                found[key] = float(line.batch.rows[:, MORE_COLUMNS[key][0]].sum())
        return found

    def alcohol(self, dish: str) -> AlcoholStory:
        """Return the alcohol of one portion."""
        declarer = self._declarer
        lines = [line.batch for line in declarer.workings.plates[dish].lines]
        whole, liquid = declarer.together(lines), declarer.workings.larder.liquid
        sources = declarer.alcohol_of(whole, lines).because
        drinks = tuple(Drink(one.path, one.ethanol_g, one.low_g, one.high_g, one.heated) for one in sources)
        strength = 0.0
        if drinks:
            parts = [batch for batch in lines if drinks[0].path in batch.present.values()] or [whole]
            strength = max(_strength(part, liquid) for part in parts)
        facts = alcohol_facts(whole, liquid, [declarer.law])
        return AlcoholStory(facts, self._unit_of(facts.ethanol_g), drinks, strength)

    def _unit_of(self, grams: Range) -> UnitCount | None:
        """Return the count of the unit of the law in force, or of UK units where that law has none."""
        law = self._declarer.law
        own = units_of(grams, [law])
        if own:
            return own[0]
        british = units_of(grams, [load_jurisdiction("gb").in_force_on(law.day)])
        return british[0] if british else None


def line_name(line: PlateLine) -> str:
    """Return the name a line of a plate goes by."""
    target = line.line.target
    if target is None:
        return line.line.name
    return target.given or target.entry


def _strength(batch: Batch, liquid: tuple[bool, ...]) -> float:
    """Return millilitres of ethanol in 100 ml of a part, 0 where there is nothing in it. [% vol]"""
    if not len(batch.rows) or c.ethanol_g(batch.rows) <= 0.0:
        return 0.0
    return alcohol_facts(batch, liquid, []).by_volume_percent[1]


def _leaves(stated: tuple[StatedIngredient, ...]) -> list[str]:
    """Return the names in a statement; of a thing with a list of its own, the list."""
    found: list[str] = []
    for one in stated:
        found.extend(_leaves(one.parts) if one.parts else [one.name])
    return found


def _heads(stated: tuple[StatedIngredient, ...]) -> list[str]:
    """Return the names of things that have a list of their own."""
    found: list[str] = []
    for one in stated:
        if one.parts:
            found.extend((one.name, *_heads(one.parts)))
    return found


def _stated_too_little(stated: tuple[StatedIngredient, ...]) -> bool:
    """Tell whether a statement names spices, flavouring and the like without saying which.

    A list behind them that names nothing but allergens, 'flavouring (MILK)', is not taken for the whole list.
    """
    law = load_vocabulary().law_sources
    for one in stated:
        vague = fold_text(one.name) in VAGUE_ALONE or any(phrase_in(word, one.name) for word in VAGUE)
        if not one.parts and _is_made_dish(one.name):  # a tiramisu without its list may hold anything
            return True
        if vague and all(any(finding.source in law for finding in part.findings) for part in one.parts):
            return True
        if _stated_too_little(one.parts):
            return True
    return False


def _row_parts(name: str) -> list[str]:
    """Return the parts of a published row name that say what it is, not what it is without."""
    return [part for part in name.split(",") if not _NOT_SAID & set(fold_text(part).replace("-", " ").split())]


@cache
def _is_made_dish(name: str) -> bool:
    """Tell whether a name is that of something made of several things, by the vocabulary of statements."""
    vocabulary = load_vocabulary()
    found = vocabulary.phrases.get(phrase_key(name))
    numbers = [found] if isinstance(found, int) else list((found or {}).values())
    meanings = [vocabulary.meaning(number) for number in numbers]
    senses = [sense for one in meanings for _, _, sense in one.certain]
    senses.extend(sense for one in meanings for _, sense, _ in one.doubts)
    return _MADE_DISH in senses
