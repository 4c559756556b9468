"""Look for what a guest asks about in the lines of a plate: where it is, where it may be, where nobody knows."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from labeller.allergens.vocabulary import GENERAL_OF_KIND, load_vocabulary
from labeller.declarations.allergen_rows import CONTAINS, MAY_CONTAIN, NONE_DECLARED, UNCONFIRMED, MayContain
from labeller.declarations.guests_words import NARROW
from labeller.declarations.phrases import phrase_in
from labeller.foundations.names import fold_text
from labeller.foundations.plain import dataclass, field

if TYPE_CHECKING:
    from collections.abc import Container, Sequence

    from labeller.declarations.allergen_rows import Path
    from labeller.declarations.answering_words import Asked
    from labeller.declarations.facts import Answerable, BookFacts, IngredientWords, Line, OnPlate

RANK = {NONE_DECLARED: 0, UNCONFIRMED: 1, MAY_CONTAIN: 2, CONTAINS: 3}
# What may come from an animal and does not say from which, for those who eat none of it.
_ANIMAL_DOUBTS = (
    "animal fat", "shortening", "glycerine", "glycerin", "glycerol", "mono and diglycerides", "mono- and diglycerides", "e471", "broth",
    "stock", "vitamin d3", "l-cysteine", "e920", "enzymes", "pate", "terrine", "rillettes", "meatball", "burger", "hot dog", "frankfurter",
    "sausage", "casing",
)  # fmt: skip
# Meat of an animal nobody names, where it stands alone; crab meat and coconut meat are named.
_ANIMAL_ALONE = frozenset(("meat", "meats", "minced meat", "mince", "mixed meat", "meat extract"))
# Most cheese is set with rennet, which papers seldom describe; Regulation (EC) No 1333/2008 leaves enzymes unlisted as processing aids (from memory).
_CHEESES = (
    "cheese", "parmesan", "pecorino", "cheddar", "gruyere", "gorgonzola", "mozzarella", "fromage", "kase", "formaggio", "queso", "kaas",
)  # fmt: skip
# Wine, cider and beer may be fined with fish bladder, gelatine, egg or milk; a distillate is not (common practice, no source).
_FINED_BELOW_PERCENT_VOL = 25.0
_PLANT_SET = ("microbial", "vegetarian", "vegetable rennet", "rennet free")
_FEW_LOOKS = 12  # lines and swaps of one plate


@dataclass(frozen=True, slots=True)
class Found:
    """What was found of the thing asked about.

    ``because`` are the ways to where it is or may be, ``unconfirmed`` those to what leaves it open, ``may`` why it may be in it,
    ``ferments`` the ways to ferments that hold a little alcohol and the words that say so.
    """

    status: str
    sources: tuple[str, ...] = ()
    because: tuple[Path, ...] = ()
    unconfirmed: tuple[Path, ...] = ()
    may: tuple[MayContain, ...] = ()
    ferments: tuple[tuple[Path, str], ...] = ()


@dataclass(frozen=True, slots=True)
class _Seen:
    contains: tuple[str, ...] = ()
    may: tuple[str, ...] = ()
    unsettled: bool = False


@dataclass(slots=True)
class Finder:
    """Looks for one thing asked about; what each ingredient says of it is worked out once."""

    declarer: Answerable
    asked: Asked
    _views: dict[int, _Seen] = field(default_factory=dict)
    _names: dict[str, bool] = field(default_factory=dict)
    _all: frozenset[int] | None = None
    _looks: int = 0

    @property
    def facts(self) -> BookFacts:
        """The book it looks in."""
        return self.declarer.facts

    def found(self, lines: Sequence[OnPlate]) -> Found:
        """Return what was found in what lies on one plate."""
        if self.asked.kind == "group":
            return self._groups(lines)
        if self.asked.kind == "alcohol":
            return self._alcohol(lines)
        return self._places(lines)

    def _groups(self, lines: Sequence[OnPlate]) -> Found:
        rows = self.facts.rows(lines, self.asked.groups)
        status = max((row.status for row in rows), key=lambda one: RANK[one], default=UNCONFIRMED)
        leading = [row for row in rows if row.status == status]
        return Found(
            status,
            tuple(dict.fromkeys(source for row in leading for source in row.sources)),
            tuple(dict.fromkeys(path for row in leading for path in row.because)),
            tuple(dict.fromkeys(path for row in rows for path in row.unconfirmed)),
            tuple(dict.fromkeys(one for row in rows for one in row.may_contain)),
        )

    def _alcohol(self, lines: Sequence[OnPlate]) -> Found:
        facts = self.facts
        because: dict[Path, float] = {}
        unconfirmed: dict[Path, None] = {}
        ferments: dict[tuple[Path, str], None] = {}
        for line in lines:
            for place, path in line.present.items():
                known = facts.ingredient(place)
                if known.alcohol == CONTAINS:
                    because[path] = because.get(path, 0.0) + line.ethanol_g(place)
                elif known.alcohol == UNCONFIRMED:
                    unconfirmed[path] = None
                if known.trace:
                    ferments[(path, known.trace)] = None
        status = CONTAINS if because else UNCONFIRMED if unconfirmed else NONE_DECLARED
        ways = tuple(sorted(because, key=lambda path: (-because[path], path)))
        return Found(status, (), ways, tuple(unconfirmed), (), tuple(ferments))

    def _places(self, lines: Sequence[OnPlate]) -> Found:
        concerned = self._concerned()
        sources: dict[str, None] = {}
        because: dict[Path, None] = {}
        unconfirmed: dict[Path, None] = {}
        may: dict[MayContain, None] = {}
        parts: dict[str, Path] = {}
        for line in lines:
            for place, path in line.present.items():
                seen = self.seen(place)
                if seen.contains:
                    sources.update(dict.fromkeys(seen.contains))
                    because[path] = None
                if seen.may:
                    may[MayContain(seen.may, path, "specification")] = None
                if seen.unsettled:
                    unconfirmed[path] = None
                parts.update({part: path[: at + 1] for at, part in enumerate(path[:-1])})
            for contact in line.touching(concerned):
                seen = self.seen(contact.ingredient)
                if seen.contains:
                    may[MayContain(seen.contains, contact.path, contact.equipment)] = None
                if seen.unsettled:
                    unconfirmed[contact.path] = None
        # A part whose own name says it, with nothing under it that does: somebody knows more than the book.
        under = {part for path in because for part in path}
        for part, path in parts.items():
            if part not in under and self._named(part):
                unconfirmed[path] = None
        if because:
            return Found(CONTAINS, tuple(sources), tuple(because), tuple(unconfirmed), tuple(may))
        if may:
            ways = tuple(dict.fromkeys(one.path for one in may))
            names = tuple(dict.fromkeys(source for one in may for source in one.sources))
            return Found(MAY_CONTAIN, names, ways, tuple(unconfirmed), tuple(may))
        return Found(UNCONFIRMED if unconfirmed else NONE_DECLARED, (), (), tuple(unconfirmed))

    def _concerned(self) -> Container[int]:
        """Return the ingredients that bring it, or may: looked at as they are met, all at once where many lines are judged."""
        self._looks += 1
        if self._looks <= _FEW_LOOKS:
            return _Concerned(self)
        if self._all is None:
            views = ((place, self.seen(place)) for place in range(len(self.facts.ingredients)))
            self._all = frozenset(place for place, seen in views if seen.contains or seen.unsettled)
        return self._all

    def seen(self, place: int) -> _Seen:
        """Return what one ingredient says of it."""
        known = self._views.get(place)
        if known is None:
            look = self._source_view if self.asked.kind == "source" else self._word_view
            known = self._views[place] = look(place)
        return known

    def _source_view(self, place: int) -> _Seen:
        known, kinds = self.facts.ingredient(place), load_vocabulary().sources
        wanted = self.asked.sources
        # 'Nuts' on a paper may be hazelnuts: the general name leaves each of its kind open.
        general = {GENERAL_OF_KIND.get(kind, kind) for kind in (kinds.get(one, one) for one in wanted)} - wanted
        contains: dict[str, None] = {}
        unsettled = bool(known.left_open & (wanted | general))
        for source, _, freed in known.contains:
            if source in wanted:
                if not freed:
                    contains[source] = None
            elif source in general:
                unsettled = True
        may = tuple(source for source in known.may_contain if source in wanted | general)
        return _Seen(tuple(contains), may if not contains else (), unsettled and not contains)

    def _word_view(self, place: int) -> _Seen:
        asked, known, words = self.asked, self.facts.ingredient(place), self.facts.words(place)
        contains: dict[str, None] = {}
        unsettled = False
        for source, said, _ in known.contains:
            if source in asked.sources:
                if not asked.narrow or self._named(said):
                    contains[source] = None
                elif self._general(said):
                    unsettled = True
        names = (*words.own, *words.row, *words.heads)
        if any(self._named(text) for text in (*names, *words.leaves)) and not (asked.eating and contains):
            contains[asked.word] = None  # a way of eating is no food: it stands only where no food is named
        if "caffeine" in asked.sources and not asked.narrow and words.caffeine:
            contains["caffeine"] = None
        may: tuple[str, ...] = tuple(source for source in known.may_contain if source in asked.sources)
        if words.statement is not None and not may and self._mentioned(words.statement, words.negated):
            may = (asked.word,)
        if not contains:
            unsettled = (
                unsettled
                or any(self._half_named(text) for text in names)
                or self._unsettled(place, words, [*names, *words.leaves])
            )
        return _Seen(tuple(contains), may if not contains else (), unsettled and not contains)

    def _unsettled(self, place: int, words: IngredientWords, texts: list[str]) -> bool:
        """Tell whether an ingredient may hold it for all we know: no whole statement, and no single commodity."""
        asked, known = self.asked, self.facts.ingredient(place)
        if known.left_open & asked.sources:
            return True
        if (asked.eating or asked.sources & {"pork", "beef"}) and any(_may_be_animal(text) for text in texts):
            return True
        if any(phrase_in(one, text) for one in asked.doubts for text in texts):
            return True
        if asked.eating:
            said = " ".join((*texts, words.statement or ""))
            cheese = any(phrase_in(one, text) for one in _CHEESES for text in texts)
            if cheese and not any(phrase_in(one, said) for one in _PLANT_SET):
                return True
            if known.alcohol == CONTAINS and (known.strength is None or known.strength < _FINED_BELOW_PERCENT_VOL):
                return not any(phrase_in(one, said) for one in ("vegan", "vegetarian", "unfined"))
        if any(one in asked.sources for one in ("pork", "beef")) and any(
            source == "gelatine" for source, _, _ in known.contains
        ):
            return True
        return words.says_too_little

    def _named(self, text: str) -> bool:
        """Tell whether a name says it, and does not say it is not in it."""
        known = self._names.get(text)
        if known is None:
            known = self._names[text] = self._says_it(text)
        return known

    def _says_it(self, text: str) -> bool:
        words = self.asked.words
        reading = self.facts.read_name(text)
        text = self._bare(text)
        denied = [*reading.negated]
        if any(phrase_in(word, text) and not any(phrase_in(word, one) for one in denied) for word in words):
            return True
        if self.asked.narrow:
            return False
        return any(source in self.asked.sources for source, _ in reading.contains)

    def _bare(self, text: str) -> str:
        """Return a text without the names in which the words asked about do not mean it."""
        if self.asked.unless:
            text = fold_text(text)
            for one in self.asked.unless:
                text = text.replace(one, " ")
        return text

    def _general(self, words: str) -> bool:
        """Tell whether words name the source without saying which of its kind: citrus, and not orange."""
        return not any(phrase_in(one, words) for one in NARROW)

    def _half_named(self, text: str) -> bool:
        return self.asked.narrow and any(
            source in self.asked.sources and self._general(words)
            for source, words in self.facts.read_name(text).contains
        )

    def _mentioned(self, statement: str, negated: tuple[str, ...]) -> bool:
        bare = self._bare(statement)
        return any(
            phrase_in(word, bare) and not any(phrase_in(word, one) for one in negated) for word in self.asked.words
        )


@cache
def _may_be_animal(text: str) -> bool:
    """Tell whether a name may stand for something of an animal, and does not say of which."""
    if phrase_in("vegetable", text):
        return False
    return fold_text(text) in _ANIMAL_ALONE or any(phrase_in(one, text) for one in _ANIMAL_DOUBTS)


class _Concerned:
    """The ingredients that bring what is asked about, or may; each is looked at when it is met."""

    __slots__ = ("_finder",)

    def __init__(self, finder: Finder) -> None:
        self._finder = finder

    def __contains__(self, place: object) -> bool:
        if not isinstance(place, int):
            return False
        seen = self._finder.seen(place)
        return bool(seen.contains or seen.unsettled)


def other_things(finder: Finder, lines: Sequence[Line], found: Found) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Return what an answer does not hold for: a part of the plate, and what may stand in its place and brings more of what was asked.

    Each is looked at alone and on the plate, because sulphites go by quantity there: less water in its place can be enough.
    """
    least = RANK[found.status]
    brings: list[tuple[str, tuple[str, ...]]] = []
    for at, line in enumerate(lines):
        others = tuple(
            one.name
            for one in line.swaps
            if RANK[finder.found([one]).status] > least
            or RANK[finder.found([*lines[:at], one, *lines[at + 1 :]]).status] > least
        )
        if others:
            brings.append((line.name, others))
    return tuple(brings)


def not_left_off(finder: Finder, lines: Sequence[Line], found: Found) -> tuple[str, ...]:
    """Return the parts that can be left off and whose leaving off brings sulphites above the limit: there is less to spread them over."""
    if not any("sulphite" in group.kinds and group.name in finder.asked.groups for group in finder.facts.groups):
        return ()
    least = RANK[found.status]
    return tuple(
        line.name
        for at, line in enumerate(lines)
        if line.optional and RANK[finder.found([*lines[:at], *lines[at + 1 :]]).status] > least
    )


def swap_brings(declarer: Answerable, line: OnPlate, other: OnPlate) -> tuple[str, ...]:
    """Return what a swap brings in, or may: groups more is said of than of the line it stands in for, new sources, and alcohol."""
    facts = declarer.facts
    before = {row.group.name: row for row in facts.rows([line])}
    found: dict[str, None] = {}
    for row in facts.rows([other]):
        old = before[row.group.name]
        if RANK[row.status] > RANK[old.status] or (row.unconfirmed and not old.unconfirmed):
            found[row.group.name] = None
        elif row.status == CONTAINS:  # who asked about hazelnuts is told of almonds
            found.update(dict.fromkeys(source for source in row.sources if source not in old.sources))
    ranks = [max((RANK[facts.ingredient(place).alcohol] for place in one.present), default=0) for one in (line, other)]
    if ranks[1] > ranks[0]:
        found["alcohol"] = None
    return tuple(found)
