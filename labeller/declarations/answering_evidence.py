"""Look for what a guest asks about in the lines of a plate: where it is, where it may be, where nobody knows."""

from labeller.allergens.profiles import profile_of
from labeller.allergens.reader import Reading, StatedIngredient, read_statement
from labeller.allergens.vocabulary import GENERAL_OF_KIND, load_vocabulary
from labeller.declarations.allergen_rows import CONTAINS, MAY_CONTAIN, NONE_DECLARED, UNCONFIRMED, MayContain
from labeller.declarations.answering_words import NARROW, Asked, phrase_in
from labeller.declarations.declaring import Declarer
from labeller.foundations.names import fold_text
from labeller.foundations.plain import dataclass, field
from labeller.kitchen import constituents as c
from labeller.kitchen.batch import Batch, Path

RANK = {NONE_DECLARED: 0, UNCONFIRMED: 1, MAY_CONTAIN: 2, CONTAINS: 3}
# A statement that names only one of these, without a list of its own, does not say what is in it (common practice, no source).
VAGUE = (
    "spice", "spices", "seasoning", "seasonings", "herb", "herbs", "flavouring", "flavourings", "flavoring", "flavorings", "flavour",
    "flavours", "flavor", "flavors", "marinade", "curry powder", "arome", "aromes", "epice", "epices", "aroma", "aromen", "gewurz",
    "gewurze", "gewurzextrakt", "gewurzextrakte", "aromi", "spezie", "spezia", "especia", "especias", "aromas", "specerij", "specerijen",
    "aroma's", "kruiden", "krauter", "herbes", "erbe", "hierbas", "mixed spice", "five spice", "garam masala", "ras el hanout",
    "harissa", "bouquet garni", "curry paste", "chilli paste", "bouillon", "stock cube", "gravy", "dressing", "mayonnaise", "ketchup",
    "pickle", "chutney", "relish", "pesto", "salsa", "stuffing", "worcester sauce", "worcestershire sauce", "tomato sauce",
    "brown sauce", "barbecue sauce", "chilli sauce", "sausage", "chorizo", "salami", "stock", "broth", "sauce mix", "seasoned",
)  # fmt: skip
# These say too little only where they stand alone: a passion fruit is named.
_VAGUE_ALONE = frozenset(
    (
        "fruit", "fruits", "mixed fruit", "mixed peel", "fruit juice", "fruit concentrate", "vegetable", "vegetables", "mixed vegetables",
        "stock", "sauce", "concentrate", "extract", "extracts", "plant extracts", "natural colours",
    )
)  # fmt: skip
# What may come from an animal and does not say from which, for those who eat none of it.
_ANIMAL_DOUBTS = (
    "animal fat", "shortening", "glycerine", "glycerin", "glycerol", "mono and diglycerides", "mono- and diglycerides", "e471", "broth",
    "stock", "vitamin d3", "l-cysteine", "e920", "enzymes",
)  # fmt: skip
# Most cheese is set with rennet, which papers seldom describe; Regulation (EC) No 1333/2008 leaves enzymes unlisted as processing aids (from memory).
_CHEESES = (
    "cheese", "parmesan", "pecorino", "cheddar", "gruyere", "gorgonzola", "mozzarella", "fromage", "kase", "formaggio", "queso", "kaas",
)  # fmt: skip
# Wine, cider and beer may be fined with fish bladder, gelatine, egg or milk; a distillate is not (common practice, no source).
_FINED_BELOW_PERCENT_VOL = 25.0
_PLANT_SET = ("microbial", "vegetarian", "vegetable rennet", "rennet free")
_NOT_SAID = frozenset({"no", "without", "not", "non", "free", "imitation", "except"})


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

    declarer: Declarer
    asked: Asked
    _views: dict[int, _Seen] = field(default_factory=dict)

    def found(self, lines: list[Batch]) -> Found:
        """Return what was found in batches that lie on one plate."""
        if self.asked.kind == "group":
            return self._groups(lines)
        if self.asked.kind == "alcohol":
            return self._alcohol(lines)
        return self._places(lines)

    def _groups(self, lines: list[Batch]) -> Found:
        rows = [row for row in self.declarer.groups.rows(lines) if row.group.name in self.asked.groups]
        status = max((row.status for row in rows), key=lambda one: RANK[one], default=UNCONFIRMED)
        leading = [row for row in rows if row.status == status]
        return Found(
            status,
            tuple(dict.fromkeys(source for row in leading for source in row.sources)),
            tuple(dict.fromkeys(path for row in leading for path in row.because)),
            tuple(dict.fromkeys(path for row in rows for path in row.unconfirmed)),
            tuple(dict.fromkeys(one for row in rows for one in row.may_contain)),
        )

    def _alcohol(self, lines: list[Batch]) -> Found:
        evidence = self.declarer.workings.evidence
        because: dict[Path, float] = {}
        unconfirmed: dict[Path, None] = {}
        ferments: dict[tuple[Path, str], None] = {}
        for batch in lines:
            for place, path in batch.present.items():
                known = evidence[place]
                if known.alcohol == CONTAINS:
                    because[path] = because.get(path, 0.0) + c.ethanol_g(batch.rows[batch.ids == place])
                elif known.alcohol == UNCONFIRMED:
                    unconfirmed[path] = None
                if known.trace:
                    ferments[(path, known.trace)] = None
        status = CONTAINS if because else UNCONFIRMED if unconfirmed else NONE_DECLARED
        ways = tuple(sorted(because, key=lambda path: (-because[path], path)))
        return Found(status, (), ways, tuple(unconfirmed), (), tuple(ferments))

    def _places(self, lines: list[Batch]) -> Found:
        sources: dict[str, None] = {}
        because: dict[Path, None] = {}
        unconfirmed: dict[Path, None] = {}
        may: dict[MayContain, None] = {}
        parts: dict[str, Path] = {}
        for batch in lines:
            for place, path in batch.present.items():
                seen = self._view(place)
                if seen.contains:
                    sources.update(dict.fromkeys(seen.contains))
                    because[path] = None
                if seen.may:
                    may[MayContain(seen.may, path, "specification")] = None
                if seen.unsettled:
                    unconfirmed[path] = None
                parts.update({part: path[: at + 1] for at, part in enumerate(path[:-1])})
            for contact in batch.contacts:
                seen = self._view(contact.ingredient)
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

    def _view(self, place: int) -> _Seen:
        known = self._views.get(place)
        if known is None:
            look = self._source_view if self.asked.kind == "source" else self._word_view
            known = self._views[place] = look(place)
        return known

    def _source_view(self, place: int) -> _Seen:
        evidence = self.declarer.workings.evidence[place].evidence
        law, kinds = self.declarer.law, load_vocabulary().sources
        wanted = self.asked.sources
        # 'Nuts' on a paper may be hazelnuts: the general name leaves each of its kind open.
        general = {GENERAL_OF_KIND.get(kind, kind) for kind in (kinds.get(one, one) for one in wanted)} - wanted
        contains: dict[str, None] = {}
        unsettled = bool(self.declarer.groups.left_open(evidence) & (wanted | general))
        for finding in evidence.contains:
            if finding.source in wanted:
                freed = law.exemption(finding.source, finding.derivation, kinds.get(finding.source, finding.source))
                if freed is None or freed.needs_proof:
                    contains[finding.source] = None
            elif finding.source in general:
                unsettled = True
        may = tuple(one.source for one in evidence.may_contain if one.source in wanted | general)
        return _Seen(tuple(contains), may if not contains else (), unsettled and not contains)

    def _word_view(self, place: int) -> _Seen:
        workings, asked = self.declarer.workings, self.asked
        entry, known = workings.larder.entries[place], workings.evidence[place]
        row = workings.larder.rows[place]
        contains: dict[str, None] = {}
        unsettled = False
        statement = entry.spec.statement if entry.spec is not None else None
        reading = read_statement(statement) if statement is not None else None
        for finding in known.evidence.contains:
            if finding.source in asked.sources:
                if not asked.narrow or self._named(finding.words):
                    contains[finding.source] = None
                elif self._general(finding.words):
                    unsettled = True
        stated = reading.ingredients if reading is not None else ()
        leaves = _leaves(stated)
        names = [entry.name, *entry.also, *(_row_parts(workings.scale.table.name(row)) if row is not None else ())]
        names.extend(_heads(stated))
        if any(self._named(text) for text in (*names, *leaves)):
            contains[asked.word] = None
        if (
            "caffeine" in asked.sources
            and not asked.narrow
            and float(workings.larder.per_gram[place, c.CAFFEINE_MG]) > 0.0
        ):
            contains["caffeine"] = None
        may: tuple[str, ...] = tuple(one.source for one in known.evidence.may_contain if one.source in asked.sources)
        if reading is not None and statement is not None and not may and self._mentioned(statement, reading):
            may = (asked.word,)
        if not contains:
            unsettled = (
                unsettled
                or any(self._half_named(text) for text in names)
                or self._unsettled(place, reading, [*names, *leaves])
            )
        return _Seen(tuple(contains), may if not contains else (), unsettled and not contains)

    def _unsettled(self, place: int, reading: Reading | None, texts: list[str]) -> bool:
        """Tell whether an ingredient may hold it for all we know: no whole statement, and no single commodity."""
        workings, asked = self.declarer.workings, self.asked
        entry, evidence = workings.larder.entries[place], workings.evidence[place].evidence
        if self.declarer.groups.left_open(evidence) & asked.sources:
            return True
        if asked.eating or asked.sources & {"pork", "beef"}:
            animal = [text for text in texts if not phrase_in("vegetable", text)]
            if any(phrase_in(one, text) for one in _ANIMAL_DOUBTS for text in animal):
                return True
        if asked.eating:
            said = " ".join((*texts, entry.spec.statement or "" if entry.spec is not None else ""))
            cheese = any(phrase_in(one, text) for one in _CHEESES for text in texts)
            if cheese and not any(phrase_in(one, said) for one in _PLANT_SET):
                return True
            strength = entry.strength_percent_vol
            if workings.evidence[place].alcohol == CONTAINS and (
                strength is None or strength < _FINED_BELOW_PERCENT_VOL
            ):
                return not any(phrase_in(one, said) for one in ("vegan", "vegetarian", "unfined"))
        if any(one in asked.sources for one in ("pork", "beef")) and any(
            finding.source == "gelatine" for finding in evidence.contains
        ):
            return True
        if reading is not None:
            return bool(reading.refused) or _says_too_little(reading.ingredients)
        if entry.from_shelf:
            return any(phrase_in(one, entry.name) for one in VAGUE)
        profile = profile_of(entry.composition) if entry.composition else None
        return profile is None or not profile.complete

    def _named(self, text: str) -> bool:
        """Tell whether a name says it, and does not say it is not in it."""
        words = self.asked.words
        reading = read_statement(text)
        text = self._bare(text)
        denied = [*reading.negated]
        if any(phrase_in(word, text) and not any(phrase_in(word, one) for one in denied) for word in words):
            return True
        if self.asked.narrow:
            return False
        return any(finding.source in self.asked.sources for finding in reading.contains)

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
            finding.source in self.asked.sources and self._general(finding.words)
            for finding in read_statement(text).contains
        )

    def _mentioned(self, statement: str, reading: Reading) -> bool:
        bare = self._bare(statement)
        return any(
            phrase_in(word, bare) and not any(phrase_in(word, one) for one in reading.negated)
            for word in self.asked.words
        )


def _leaves(stated: tuple[StatedIngredient, ...]) -> list[str]:
    """Return the names in a statement; of a thing with a list of its own, the list."""
    found: list[str] = []
    for one in stated:
        found.extend(_leaves(one.parts) if one.parts else [one.name])
    return found


def _says_too_little(stated: tuple[StatedIngredient, ...]) -> bool:
    """Tell whether a statement names spices, flavouring and the like without saying which.

    A list behind them that names nothing but allergens, 'flavouring (MILK)', is not taken for the whole list.
    """
    law = load_vocabulary().law_sources
    for one in stated:
        vague = fold_text(one.name) in _VAGUE_ALONE or any(phrase_in(word, one.name) for word in VAGUE)
        if vague and all(any(finding.source in law for finding in part.findings) for part in one.parts):
            return True
        if _says_too_little(one.parts):
            return True
    return False


def _heads(stated: tuple[StatedIngredient, ...]) -> list[str]:
    """Return the names of things that have a list of their own."""
    found: list[str] = []
    for one in stated:
        if one.parts:
            found.extend((one.name, *_heads(one.parts)))
    return found


def _row_parts(name: str) -> list[str]:
    """Return the parts of a published row name that say what it is, not what it is without."""
    return [part for part in name.split(",") if not _NOT_SAID & set(fold_text(part).replace("-", " ").split())]


def swap_brings(declarer: Declarer, line: Batch, other: Batch) -> tuple[str, ...]:
    """Return what a swap brings in, or may: groups more is said of than of the line it stands in for, new sources, and alcohol."""
    groups, evidence = declarer.groups, declarer.workings.evidence
    before = {row.group.name: row for row in groups.rows([line])}
    found: dict[str, None] = {}
    for row in groups.rows([other]):
        old = before[row.group.name]
        if RANK[row.status] > RANK[old.status] or (row.unconfirmed and not old.unconfirmed):
            found[row.group.name] = None
        elif row.status == CONTAINS:  # who asked about hazelnuts is told of almonds
            found.update(dict.fromkeys(source for source in row.sources if source not in old.sources))
    ranks = [max((RANK[evidence[place].alcohol] for place in batch.present), default=0) for batch in (line, other)]
    if ranks[1] > ranks[0]:
        found["alcohol"] = None
    return tuple(found)
