"""What follows from the tree of a statement: findings, doubts, and what each list settles."""

from labeller.allergens.items import CONTAINS, FREE, INGREDIENT, MAY, MOST_NOTES, NOTE, Item
from labeller.allergens.judged import (
    AFTER_LIST,
    COMPOSITE,
    MADE_OF,
    NAMES,
    Doubt,
    Judged,
    Seen,
    from_to,
    only_a_number,
    plain_item,
    simple_item,
)
from labeller.allergens.tokens import NUMBER
from labeller.allergens.vocabulary import GENERAL_OF_KIND, GROUP_WORDS, Vocabulary

_ANIMAL = frozenset({"milk", "egg", "fish", "crustacean", "mollusc"})
_OILS = frozenset({"oil", "fat", "ol", "fett", "huil", "graiss", "olio", "grasso", "aceit", "grasa", "olie", "vet"})
_FREE_ENDINGS = ("freies", "freier", "freie", "frei", "vrije", "vrij")


class Judge:
    """Judges the items of one statement."""

    def __init__(self, text: str, vocabulary: Vocabulary) -> None:
        self._text = text
        self._kinds = vocabulary.sources
        self._vocabulary = vocabulary

    def judge(self, item: Item) -> Judged:
        """Judge an item and all in its brackets. The tree is at most some forty deep."""
        plain = plain_item(item)
        if plain is not None:
            return plain
        simple = simple_item(item, self._text)
        if simple is not None:
            return simple
        result = Judged()
        parts = [(part, self.judge(part)) for part in item.parts]
        result.parts = [judged for part, judged in parts if part.mode in (INGREDIENT, CONTAINS)]
        for part in item.notes[:MOST_NOTES]:
            # A footnote is a sentence of its own too; here it only settles what the starred word left open.
            if part.mode in (INGREDIENT, CONTAINS):
                parts.append((part, self.judge(part)))
        for part, judged in parts:
            result.may.extend(judged.may)
            result.negated.extend(judged.negated)
            if part not in item.notes:
                result.strange.extend(judged.strange)
                result.alcohol.extend(judged.alcohol)
                result.traces.extend(judged.traces)
        own, doubts, carriers, cancelled, origins = self._own(item, result)
        oils = self._oily_runs(item) if carriers else set()
        own_text = self._text[item.units[0].start : item.units[-1].end] if carriers else ""
        if item.mode in (FREE, NOTE):
            for each in own:
                if item.mode == FREE:
                    result.negated.append(each.words)
            result.alcohol.clear()
            result.traces.clear()
            result.strange.clear()
            return result
        listed = [
            judged for part, judged in parts if part.mode == INGREDIENT and part not in item.notes and judged.food
        ]
        below = [seen for part, judged in parts if part.mode in (INGREDIENT, CONTAINS) for seen in judged.certain]
        settled = self._settled(own, carriers, cancelled, oils, own_text, listed, below)
        result.own = own
        under = [seen for part, judged in parts if part not in item.notes for seen in judged.certain]
        if item.mode == MAY:
            result.may.extend(self._finest(settled, [], set()))
            result.certain = under
            result.alcohol.clear()
            result.traces.clear()
        else:
            listed_below = {
                self._kinds[seen.source]
                for part, judged in parts
                if part.mode == INGREDIENT
                for seen in judged.certain
                if not self._is_general(seen.source)
            }
            several = len(settled) + len(under) > 1
            result.certain = self._finest(settled, under, listed_below) if several else settled + under
        if doubts:
            here = {seen.source for seen in (*own, *below)}
            kinds_here = {self._kinds[source] for source in here}
            named_below = [seen for seen in below if seen.sense == NAMES]
            froms = {
                index for index, unit in enumerate(item.units) if any(each.signal == "from" for each in unit.meanings)
            }
            for doubt in doubts:
                self._weigh(
                    doubt, result, item, here, kinds_here, cancelled, bool(listed), named_below, own, origins, froms
                )
        named = bool(origins) or any(seen.sense == NAMES and seen.source != "sulphite" for seen in own)
        named_class = named and any("class" in meaning.roles for unit in item.units for meaning in unit.meanings)
        for part, judged in parts:
            if part not in item.notes:
                # "Emulsifier (E322) from sunflower": the words around the bracket settle what stands in it.
                settled_here = named_class or (only_a_number(part) and any(s.sense == NAMES for s in below))
                result.doubts.extend(
                    doubt for doubt in judged.doubts if not (settled_here and doubt.settled_by == "source")
                )
                result.derived.extend(judged.derived)
        for derivation, open_sources, words, run in carriers:
            found = any(seen.derivation == derivation for seen in (*own, *below))
            if open_sources and not found and not listed and run not in origins and not any(s.run == run for s in own):
                result.derived.extend((words, source, derivation) for source in sorted(open_sources))
        return result

    def _own(
        self, item: Item, result: Judged
    ) -> tuple[list[Seen], list[Doubt], list[tuple[str, frozenset[str], str, int]], set[str], set[int]]:
        """Read the item's own words: what they name, leave open, carry and deny."""
        own: list[Seen] = []
        doubts: list[Doubt] = []
        carriers: list[tuple[str, frozenset[str], str, int]] = []
        cancelled: set[str] = set()
        origins: set[int] = set()
        animals: list[tuple[str, str, int]] = []
        # A list in brackets speaks of the words before it on its own line, and of made dishes only back to the last "and".
        line_before_list = max((line for line in item.lines if line < item.list_at), default=0)
        break_before_list = max((place for place in item.breaks if place < item.list_at), default=0)
        run = 2 * AFTER_LIST if line_before_list else 0
        for index, unit in enumerate(item.units):
            if index in item.breaks:
                run += 1
            if index == item.list_at > 0 and not (unit.meanings and unit.meanings[0].signal == "from"):
                run += AFTER_LIST
            elif index == line_before_list > 0:
                run -= 2 * AFTER_LIST
            if len(unit.meanings) == 1 and unit.meanings[0].plain:
                if unit.meanings[0].food:
                    result.food = True
                    if "origin" in unit.meanings[0].roles:
                        origins.add(run)
                continue
            words = self._text[unit.start : unit.end]
            if not unit.meanings:
                if len(words) > 1:
                    result.strange.append(words)
                continue
            if unit.kind == NUMBER:
                continue
            for meaning in unit.meanings:
                roles = meaning.roles
                if meaning.signal:
                    if meaning.signal == "animal free":
                        cancelled |= {source for source, kind in self._kinds.items() if kind in _ANIMAL}
                    elif meaning.signal == "free word":
                        cancelled |= self._freed_by(unit.key, words, result)
                    elif meaning.signal == "coeliac" and item.mode == MAY:
                        own.append(Seen("gluten cereal", "", NAMES, words, run))
                    continue
                if "food" in roles or "origin" in roles:
                    result.food = True
                if "origin" in roles:
                    origins.add(run)
                if index in item.denied:
                    if meaning.certain or meaning.doubts:
                        result.negated.append(words)
                        freed = {source for source, _, _ in meaning.certain}
                        freed = freed if unit.key not in ("lactos", "lactose") else set()
                        kinds = {self._kinds[source] for source in freed}
                        whole = {"cereal"} if "gluten cereal" in freed else kinds - {"other"}
                        general = {GENERAL_OF_KIND.get(kind, kind) for kind in kinds}
                        if freed & (general | {"milk", "egg"}):
                            freed = {source for source, kind in self._kinds.items() if kind in whole}
                        cancelled |= freed
                    continue
                for role in roles:
                    if role.startswith("animal:"):
                        animals.append((role.removeprefix("animal:"), words, run))
                if unit.guess:
                    sources = frozenset(source for source, _, _ in meaning.certain if self._kinds[source] != "other")
                    sources = sources.union(*(open_sources for open_sources, _, _ in meaning.doubts))
                    if sources:
                        doubts.append(Doubt(words, sources, "nothing", run, MADE_OF))
                    continue
                certain, open_words = meaning.certain, meaning.doubts
                if item.listed and index < item.colon_at:
                    certain, open_words = tuple(each for each in certain if each[2] != COMPOSITE), ()
                for source, derivation, sense in certain:
                    apart = 2 * AFTER_LIST if sense == COMPOSITE and index < break_before_list else 0
                    own.append(Seen(source, derivation, sense, words, run + apart, index))
                doubts.extend(
                    Doubt(words, sources, settled, run, sense, index) for sources, sense, settled in open_words
                )
                if meaning.certain or meaning.doubts:
                    result.food = True
                if meaning.carrier is not None:
                    derivation, _, open_sources = meaning.carrier
                    carriers.append((derivation, open_sources, words, run))
                    result.food = True
                if "alcohol" in roles:
                    result.alcohol.append(words)
                    own.append(Seen("alcohol", "", MADE_OF, words, run))
                elif "alcohol trace" in roles:
                    result.traces.append(words)
        if animals and (any(self._kinds[seen.source] == "milk" for seen in own) or item.mode == MAY):
            own.extend(Seen(source, "", NAMES, words, at) for source, words, at in animals)
        return own, doubts, carriers, cancelled, origins

    def _oily_runs(self, item: Item) -> set[int]:
        """Return the runs of words that speak of an oil or a fat."""
        found: set[int] = set()
        run = 0
        for index, unit in enumerate(item.units):
            if index in item.breaks:
                run += 1
            keys = unit.key.split()
            if any(key in _OILS or key.endswith(("ol", "oil", "olie", "fett")) for key in keys):
                found.add(run)
        return found

    def _freed_by(self, key: str, words: str, result: Judged) -> set[str]:
        for ending in _FREE_ENDINGS:
            stem = key.removesuffix(ending)
            if stem != key or words.lower().endswith(ending):
                named = self._vocabulary.sources_named(words.lower().removesuffix(ending)) or ()
                result.negated.append(words)
                kinds = {self._kinds[source] for source in named if words.lower()[:2] != "la"}
                return {source for source, kind in self._kinds.items() if kind in kinds and kind != "other"}
        return set()

    def _settled(
        self,
        own: list[Seen],
        carriers: list[tuple[str, frozenset[str], str, int]],
        cancelled: set[str],
        oils: set[int],
        own_text: str,
        listed: list[Judged],
        below: list[Seen],
    ) -> list[Seen]:
        """Return what of the item's own findings stands, and write derivations onto them and onto its list."""
        for derivation, _, carrier_words, run in carriers:
            if derivation == "refined oil" and run % AFTER_LIST not in oils:
                continue
            sources = self._vocabulary.carried_by(derivation)
            for seen in own:
                if (
                    seen.run == run
                    and not seen.derivation
                    and seen.source in sources
                    and self._carries(derivation, seen)
                ):
                    seen.derivation = derivation
                    seen.words = from_to(own_text, carrier_words, seen.words)
            for seen in below:
                if not seen.derivation and seen.source in sources and self._carries(derivation, seen):
                    seen.derivation = derivation
                    seen.words = f"{carrier_words} ({seen.words})"
        only_a_name = (
            len(listed) == 1 and all(seen.sense == NAMES for seen in listed[0].certain) and bool(listed[0].certain)
        )
        kept = []
        for seen in own:
            if seen.sense != NAMES and seen.source in cancelled:
                continue
            if seen.sense == COMPOSITE and listed and not only_a_name and seen.run < AFTER_LIST:
                continue
            kept.append(seen)
        own[:] = kept
        return list(kept)

    def _carries(self, derivation: str, seen: Seen) -> bool:
        """Tell whether a derivation fits: the exemption of whey spirit is of whey, and a made dish carries none."""
        if derivation == "distillate" and seen.source == "milk":
            return "whey" in seen.words.lower()
        return seen.sense != COMPOSITE

    def _finest(self, own: list[Seen], below: list[Seen], finer_below: set[str]) -> list[Seen]:
        """Drop *nut* where a nut is named with it, and *milk* where the animal is.

        With it means in the same run of words, or one before the bracket and the other in it; things side by side in a list keep
        what each says.
        """
        finer = {(each.run, self._kinds[each.source]) for each in own if not self._is_general(each.source)}
        finer_own = {kind for _, kind in finer}
        plain_milk_below = any(each.source == "milk" for each in below)
        kept = []
        for each in own:
            kind = self._kinds[each.source]
            if self._is_general(each.source):
                if each.sense == NAMES and each.source != "milk" and (each.run, kind) in finer:
                    continue
                if kind in finer_below and not (each.source == "milk" and (each.sense == NAMES or plain_milk_below)):
                    continue
            kept.append(each)
        for each in below:
            kind = self._kinds[each.source]
            if self._is_general(each.source) and each.source != "milk" and each.sense == NAMES and kind in finer_own:
                continue
            kept.append(each)
        return kept

    def _is_general(self, source: str) -> bool:
        return source == "milk" or GENERAL_OF_KIND.get(self._kinds[source]) == source

    def _weigh(
        self,
        doubt: Doubt,
        result: Judged,
        item: Item,
        here: set[str],
        kinds_here: set[str],
        cancelled: set[str],
        has_list: bool,
        named_below: list[Seen],
        own: list[Seen],
        origins: set[int],
        froms: set[int],
    ) -> None:
        """Add a doubt to the result unless the words beside it or its list settle it."""
        if doubt.run >= AFTER_LIST:
            has_list, named_below = False, []
        if doubt.settled_by == "list" and has_list:
            return
        if doubt.settled_by in ("source", "named"):
            if has_list or (doubt.run in origins and doubt.settled_by == "source"):
                return
            if any(
                seen.source in doubt.sources or self._kinds[seen.source] not in ("sulphite", "other")
                for seen in named_below
            ):
                return
            for seen in own:
                if seen.run == doubt.run and seen.words != doubt.words and seen.source != "alcohol":
                    if seen.source in doubt.sources:
                        return
                    # "Chestnut flour", "flour from chestnuts"; but "flour eggs" is two things between which a comma is missing.
                    other = doubt.settled_by == "named" and self._kinds[seen.source] == "other"
                    beside = seen.at < doubt.at or any(place in froms for place in range(doubt.at + 1, seen.at))
                    parted = any(min(seen.at, doubt.at) < line <= max(seen.at, doubt.at) for line in item.lines)
                    if seen.sense == NAMES and seen.source != "sulphite" and not other and beside and not parted:
                        return
        left = {
            source
            for source in doubt.sources
            if source not in here
            and source not in cancelled
            and not (GENERAL_OF_KIND.get(self._kinds[source]) == source and self._kinds[source] in kinds_here)
            and GENERAL_OF_KIND.get(self._kinds[source]) not in here
        }
        if doubt.settled_by != "nothing" and doubt.sense == MADE_OF and "cereal" in kinds_here:
            left = {source for source in left if self._kinds[source] != "cereal"}
        if not left:
            return
        if item.mode == MAY:
            kinds = {self._kinds[source] for source in left}
            group = GROUP_WORDS.get(doubt.words.lower())
            if group is None and len(kinds) == 1 and doubt.settled_by != "nothing":
                kind = next(iter(kinds))
                group = (GENERAL_OF_KIND.get(kind, kind),)
            if group is not None:
                result.may.extend(Seen(source, "", NAMES, doubt.words, 0) for source in group)
                return
        result.doubts.append(Doubt(doubt.words, frozenset(left), doubt.settled_by, doubt.run, doubt.sense))
