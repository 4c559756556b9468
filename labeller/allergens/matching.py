"""What the words of a statement mean, phrase by phrase, the longest first."""

from typing import NamedTuple

from labeller.allergens.spelling import one_letter_less, skeleton, split_compound
from labeller.allergens.tokens import E_NUMBER, NEWLINE, NUMBER, WORD, Token, fold_word, stem_of
from labeller.allergens.vocabulary import Meaning, Vocabulary, load_vocabulary

_NOTHING = Meaning(roles=frozenset({"noise"}))
_ADDITIVE = Meaning(roles=frozenset({"additive"}))
_MOST_REMEMBERED = 50_000


class Unit(NamedTuple):
    """A phrase met in the text, or a mark between phrases.

    ``kind`` is the kind of its first token; ``meanings`` is empty for a word nobody knows; ``guess`` says the meaning was guessed
    from a misspelt word.
    """

    kind: int
    key: str
    meanings: tuple[Meaning, ...]
    start: int
    end: int
    guess: bool = False


class Matcher:
    """Looks words up in the vocabulary and remembers what it made of strange ones."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self._vocabulary = vocabulary
        self._strange: dict[str, tuple[tuple[Meaning, ...], bool]] = {}
        self._known: dict[str, tuple[Meaning, ...]] = {}

    def units_of(self, text: str, tokens: list[Token]) -> list[Unit]:
        """Return the phrases and marks of a statement, in order."""
        phrases, longest = self._vocabulary.phrases, self._vocabulary.longest
        found: list[Unit] = []
        place, count = 0, len(tokens)
        after_class = False
        while place < count:
            kind, key, start, end = tokens[place]
            if kind not in (WORD, NUMBER, E_NUMBER):
                found.append(Unit(kind, key, (), start, end))
                place += 1
                continue
            most = longest.get(key, 1)
            if most > 1:
                keys, ends = [key], [place]
                ahead = place + 1
                while len(keys) < most and ahead < count:
                    token = tokens[ahead]
                    if token[0] == WORD or token[0] == NUMBER:
                        keys.append(token[1])
                        ends.append(ahead)
                    elif token[0] != NEWLINE:
                        break
                    ahead += 1
                for length in range(len(keys), 1, -1):
                    phrase = " ".join(keys[:length])
                    if phrase in phrases:
                        last = ends[length - 1]
                        found.append(Unit(WORD, phrase, self._meanings(phrase), start, tokens[last][3]))
                        after_class = "class" in found[-1].meanings[0].roles
                        place = last + 1
                        break
                else:
                    most = 1
                if most > 1:
                    continue
            if key in phrases:
                unit = Unit(WORD, key, self._meanings(key), start, end)
                if unit.meanings[0].roles >= {"class"}:
                    after_class = True
                elif kind == WORD:
                    after_class = False
            elif kind == E_NUMBER:
                unit = Unit(WORD, key, (_ADDITIVE,), start, end)
            elif kind == NUMBER:
                number = "e" + key
                if after_class and number in phrases:
                    unit = Unit(WORD, number, self._meanings(number), start, end)
                else:
                    unit = Unit(NUMBER, key, (_NOTHING,), start, end)
            else:
                after_class = False
                joined = self._joined_with_next(text, tokens, place)
                if joined is not None:
                    found.append(joined)
                    place += 2
                    while place < count and tokens[place][2] < joined.end:
                        place += 1
                    continue
                before = self._joined_with_last(text, found, start, end)
                if before is not None:
                    found[-1] = before
                    place += 1
                    continue
                meanings, guess = self._strange_word(fold_word(text[start:end]), key)
                unit = Unit(WORD, key, meanings, start, end, guess)
            found.append(unit)
            place += 1
        return found

    def _meanings(self, phrase: str) -> tuple[Meaning, ...]:
        known = self._known.get(phrase)
        if known is None:
            number = self._vocabulary.phrases[phrase]
            numbers = [number] if isinstance(number, int) else list(number.values())
            known = self._known[phrase] = tuple(self._vocabulary.meaning(each) for each in numbers)
        return known

    def _joined_with_next(self, text: str, tokens: list[Token], place: int) -> Unit | None:
        """Read *w heat* as wheat: the parts of a word broken by a scanner or a line."""
        ahead = place + 1
        while ahead < len(tokens) and ahead < place + 3 and tokens[ahead][0] == NEWLINE:
            ahead += 1
        if ahead >= len(tokens) or tokens[ahead][0] != WORD:
            return None
        _, _, start, end = tokens[place]
        _, _, next_start, next_end = tokens[ahead]
        if end - start + next_end - next_start > 40:
            return None
        key = stem_of(text[start:end] + text[next_start:next_end])
        if key in self._vocabulary.phrases:
            return Unit(WORD, key, self._meanings(key), start, next_end)
        return None

    def _joined_with_last(self, text: str, found: list[Unit], start: int, end: int) -> Unit | None:
        """Read *but ter* as butter, where the first part is a word of its own."""
        if not found or found[-1].kind != WORD or end - found[-1].start > 40:
            return None
        last = found[-1]
        word = text[last.start : last.end]
        between = text[last.end : start]
        if not word.isalnum() or between.strip("- \n\t"):
            return None
        if any(meaning.certain or meaning.doubts for meaning in last.meanings):
            return None
        key = stem_of(word + text[start:end])
        if key in self._vocabulary.phrases:
            return Unit(WORD, key, self._meanings(key), last.start, end)
        return None

    def _strange_word(self, folded: str, key: str) -> tuple[tuple[Meaning, ...], bool]:
        """Return what a word outside the vocabulary may be: misread, run together, or misspelt (then a guess)."""
        known = self._strange.get(folded)
        if known is None:
            if len(self._strange) > _MOST_REMEMBERED:
                self._strange.clear()
            known = self._strange[folded] = self._look_closer(folded, key)
        return known

    def _look_closer(self, folded: str, key: str) -> tuple[tuple[Meaning, ...], bool]:
        vocabulary = self._vocabulary
        if len(folded) > 200:
            return (), False
        plain = vocabulary.skeletons.get(skeleton(key))
        if plain is not None:
            return self._meanings(plain), False
        numbers, sure = split_compound(folded, vocabulary.parts)
        if numbers or sure:
            meanings = [vocabulary.meaning(number) for number in numbers]
            return tuple(meanings) or (_NOTHING,), not sure
        if len(key) >= 6:
            for form in one_letter_less(key):
                near = vocabulary.deletes.get(form)
                if near is not None:
                    return self._meanings(near), True
        if folded.isdigit() or (folded[0].isdigit() and len(folded) <= 8):
            return (_NOTHING,), False
        return (), False


def in_their_language(units: list[Unit]) -> list[Unit]:
    """Keep of each word the meanings it has in the languages of the text, told by the words that belong to one language only.

    Where that decides nothing, a word keeps all its meanings, so that none is lost; in a text that tells no language, English goes
    first.
    """
    if not any(len(unit.meanings) > 1 for unit in units):
        return units
    languages = {unit.meanings[0].language for unit in units if len(unit.meanings) == 1} - {""}
    kept: list[Unit] = []
    for unit in units:
        if len(unit.meanings) > 1:
            fitting = tuple(each for each in unit.meanings if not each.language or each.language in languages)
            if not fitting and not languages:
                fitting = tuple(each for each in unit.meanings if each.language == "en")
            kept.append(unit._replace(meanings=fitting or unit.meanings))
        else:
            kept.append(unit)
    return kept


_matchers: dict[int, Matcher] = {}


def load_matcher() -> Matcher:
    """Return the matcher of the shipped vocabulary."""
    vocabulary = load_vocabulary()
    known = _matchers.get(id(vocabulary))
    if known is None:
        known = _matchers[id(vocabulary)] = Matcher(vocabulary)
    return known
