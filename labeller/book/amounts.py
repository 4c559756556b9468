"""Read one amount: ``AMOUNT UNIT NAME [, remark]``, with shares of a batch and amounts by rule."""

import re
from typing import Literal

from labeller.book.entries import Line, LineUnit, Measure, Target
from labeller.book.fields import LONGEST_NAME, Notes
from labeller.book.names_index import A_SLIP, NameIndex, shelf_names
from labeller.foundations.faults import Origin
from labeller.foundations.names import fold_text, name_key, nearest_names
from labeller.foundations.plain import dataclass
from labeller.foundations.quantities import NUMBER, Quantity, parse_number, parse_quantity
from labeller.foundations.units import MASS_G, METRIC_ABBREVIATIONS, millilitres, parse_unit

LineField = Literal["takes", "plate", "add"]
MOST_COMMAS = 12
_REMARKS = frozenset({"removed", "optional", "trimmed", "peeled", "sliced", "chopped", "diced"})
_MATCH = "'labeller match'"

_ALL = re.compile(r"(?:all|the whole|whole)\s+(?:of\s+)?(?:the\s+)?(?P<name>.+)", re.IGNORECASE)
_HALF = re.compile(
    r"(?P<share>half|(?:a|one)\s+(?:third|quarter)|two\s+thirds|three\s+quarters)\s+(?P<of>of\s+the\s+|of\s+|the\s+|an?\s+)?(?P<name>.+)",
    re.IGNORECASE,
)
_SHARE_WORDS = {
    "half": 1 / 2, "a third": 1 / 3, "one third": 1 / 3, "two thirds": 2 / 3,
    "a quarter": 1 / 4, "one quarter": 1 / 4, "three quarters": 3 / 4,
}  # fmt: skip
_TIMES = re.compile(r"[x×*]\s*\d", re.IGNORECASE)
_NUMBER_OF = re.compile(
    rf"(?P<number>{NUMBER.pattern})\s*(?P<percent>%|per\s+cent)?\s+of\s+(?:the\s+)?(?P<name>.+)", re.IGNORECASE
)
_ARTICLE = re.compile(r"an?\s+(?=[^\W\d])", re.IGNORECASE)
_BEFORE = re.compile(r"(?P<how>to taste|to cover)[,:]?\s+(?:of\s+)?(?P<name>.+)", re.IGNORECASE)
_AFTER = re.compile(r"(?P<name>.+?),?\s+(?P<how>to taste|to cover)$", re.IGNORECASE)
_OF = re.compile(r"of\s+(?:the\s+)?", re.IGNORECASE)

# A rough quantity that is counted by a rule of the kitchen room; 1 stands for "by that rule".
_BY_RULE = Quantity(0.0, 1.0, 2.0, rough=True)


@dataclass(slots=True)
class AmountReader:
    """Reads amounts with the names of one book at hand.

    ``house_measures`` are the kitchen's own; ``entry_measures`` those of every entry by name; ``trade_pieces`` the words
    that may count pieces of something (leaf, clove, stick), from the measures data. ``inside`` is the preparation whose
    lines are being read, or empty.
    """

    index: NameIndex
    notes: Notes
    jurisdiction: str
    house_measures: dict[str, Measure]
    entry_measures: dict[Target, dict[str, Measure]]
    trade_pieces: frozenset[str]
    inside: str = ""

    def find(self, name: str) -> Target | None:
        """Return what a name stands for here, or None.

        A cook who writes ``100 g rice`` inside the preparation ``rice`` means what is bought in, so the preparation's own
        name stands for the good of the shelf there, if there is one.
        """
        target = self.index.find(name)
        if self.inside and target is not None and target.kind == "given" and target.entry == self.inside:
            return self.index.find_bought(name) or target
        return target

    def read_amount(self, shown: str, origin: Origin, field: LineField) -> Line | tuple[str, str]:
        """Read an amount without endings: a line, or what is wrong and the mend."""
        share = self._read_share(shown, origin)
        if share is not None:
            return share
        rest_of_article = _ARTICLE.match(shown)
        text = f"1 {shown[rest_of_article.end() :]}" if rest_of_article else shown
        read = parse_quantity(text)
        if isinstance(read, str):
            if read:
                return f"'{shown}': {read}", "Write an amount above nought: '250 g double cream'."
            return self._without_number(shown, origin)
        quantity, rest = read
        if quantity.note:
            mend = "Write it with a point if that is right, without the comma if a thousand is meant."
            self.notes.advise(origin.path, origin.line, field, f"{quantity.note}.", mend)
        rest = rest.strip().removeprefix(".").strip() if rest.startswith(".") else rest.strip()
        if (of := _OF.match(rest)) and self._split_name(rest) is None:  # "2 of the eggs"
            rest = rest[of.end() :].strip()
        if _TIMES.match(rest):
            return f"'{shown}' is a multiplication.", "Write the whole amount: '800 g' for two of 400 g."
        if not rest:
            return f"'{shown}' has no name.", "Write what it is after the amount: '250 g double cream'."
        return self._read_unit_and_name(shown, rest, quantity, origin)

    def _read_unit_and_name(self, shown: str, rest: str, quantity: Quantity, origin: Origin) -> Line | tuple[str, str]:
        words = rest.split()
        first = fold_text(words[0]).removesuffix(".")
        if first not in METRIC_ABBREVIATIONS:
            whole = self._split_name(rest)
            # Longest first: "2 cup cakes" are cakes where the book knows cup cakes.
            if whole is not None and not self._is_trade_piece_of(words, whole[1]):
                return self._line(shown, origin, quantity, "piece", "", *whole)
        if parse_unit(fold_text(rest)) is not None and self.find(rest) is None:
            return f"'{shown}' has no name.", "Write what it is after the unit: '250 g double cream'."
        for count in (3, 2, 1):
            if len(words) <= count:
                continue
            unit_words = fold_text(" ".join(words[:count]))
            unit = parse_unit(unit_words)
            tail = (
                _OF.sub("", " ".join(words[count:]), count=1)
                if _OF.match(" ".join(words[count:]))
                else " ".join(words[count:])
            )
            known = self._split_name(tail)
            measure = self._measure_word(unit_words, known[1]) if known is not None else ""
            if known is not None and measure:
                return self._line(shown, origin, quantity, "measure", measure, *known)
            if unit is not None:
                if known is None:
                    return self._unknown_name(tail)
                return self._line(
                    shown, origin, self._sized(quantity, unit.kind, unit.name), unit.kind, unit.name, *known
                )
            if known is None:
                continue
            if name_key(unit_words) in self.trade_pieces:
                return self._line(shown, origin, quantity, "trade piece", unit_words, *known)
        for count in (1, 2, 3):  # the name is known, the word before it is not
            if (
                len(words) > count
                and (known := self._split_name(_OF.sub("", " ".join(words[count:]), count=1))) is not None
            ):
                unit_words = " ".join(words[:count])
                choices = sorted({*self.house_measures, *self.entry_measures.get(known[1], {})})
                near = self.notes.nearest(unit_words, choices)
                mend = f"Write '{near[0]}', or " if near else "Write a weight, or "
                return (
                    f"'{unit_words}' is not a unit or a measure of '{known[0]}'.",
                    f"{mend}say what one weighs: 'measures: {{{unit_words}: 20 g}}'.",
                )
        return self._unknown_name(rest)

    def _is_trade_piece_of(self, words: list[str], target: Target) -> bool:
        """Tell whether 'stick cinnamon', although a name of the shelf, only counts pieces of its own cinnamon."""
        tail = self._split_name(" ".join(words[1:])) if len(words) > 1 else None
        return tail is not None and tail[1] == target and name_key(fold_text(words[0])) in self.trade_pieces

    def _sized(self, quantity: Quantity, kind: str, unit: str) -> Quantity:
        if kind == "mass":
            return quantity.times(MASS_G[unit])
        if kind == "volume":
            return quantity.times(millilitres(unit, self.jurisdiction))
        return quantity

    def _measure_word(self, words: str, target: Target) -> str:
        """Return the measure's name as its entry or the kitchen has it, singular or plural, or ''.

        A house's own tablespoon is found under every spelling of the unit; grams and litres are nobody's own.
        """
        wanted, unit = name_key(words), parse_unit(words)
        if unit is not None and unit.name in METRIC_ABBREVIATIONS:
            return ""
        own = self.entry_measures.get(target) or self.index.shelf_measures(target)
        for measures in (own, self.house_measures):
            for name in measures:
                if name_key(name) == wanted or (unit is not None and parse_unit(name) == unit):
                    return name
        return ""

    def _split_name(self, text: str) -> tuple[str, Target, str] | None:
        """Return the longest beginning of a text that is a known name, with what it stands for and the remark behind it."""
        text = text.strip()
        target = self.find(text)
        if target is not None:
            return text, target, ""
        # A name has few commas; a hostile line of hundreds must not be looked up hundreds of times.
        parts = text.split(",")
        for count in range(min(len(parts) - 1, MOST_COMMAS), 0, -1):
            name = ",".join(parts[:count]).strip()
            target = self.find(name)
            if target is not None:
                return name, target, ",".join(parts[count:]).strip()
        return None

    def nearest(self, name: str) -> list[str]:
        """Return the names most like one that is not there; none after a run has asked some hundred times."""
        if not self.notes.may_compare(len(self.index.spelled) + len(shelf_names())):
            return []
        return self.index.nearest(name[:LONGEST_NAME])

    def _unknown_name(self, rest: str) -> tuple[str, str]:
        name = rest.split(",", maxsplit=1)[0].strip()
        near = self.nearest(name)
        offered = " or ".join(f"'{choice}'" for choice in near)
        if near and nearest_names(name, near[:1], at_least=A_SLIP):
            mend = f"Write {offered}, or add an ingredient of that name."
        elif near:  # malt extract is no vanilla extract: what only sounds alike may hide an allergen
            mend = f"Only if it is the same food, write {offered}; else look with {_MATCH}, or add an ingredient of that name."
        else:
            mend = f"Look with {_MATCH} what it may be, or add an ingredient of that name."
        return f"'{name}' is not an ingredient or preparation of this book, nor on the shelf.", mend

    def _read_share(self, shown: str, origin: Origin) -> Line | tuple[str, str] | None:
        """Read 'all X', 'half the X' and '1/8 of the X', shares of one batch."""
        if _is_by_rule(shown) or self._split_name(shown) is not None:
            return None  # "whole milk to taste" is no share, nor is a name that begins with "whole" or "half"
        found = _ALL.fullmatch(shown)
        if found:
            return self._share_line(shown, origin, found["name"], 1.0, "all")
        found = _HALF.fullmatch(shown)
        if found:
            share = _SHARE_WORDS[" ".join(found["share"].casefold().split())]
            of = (found["of"] or "").strip().casefold()
            known = self._split_name(found["name"])
            if of in ("a", "an") or (known is not None and known[1].kind == "ingredient" and not of.startswith("of")):
                quantity = Quantity(share, share, share)
                return self._read_unit_and_name(shown, found["name"], quantity, origin)
            return self._share_line(shown, origin, found["name"], share, found["share"])
        found = _NUMBER_OF.fullmatch(shown)
        if found:
            number = parse_number(found["number"])
            if number is None or number <= 0.0:
                return f"'{found['number']}' is not above nought.", "Write a share such as '1/8 of the tart'."
            if found["percent"]:
                number /= 100.0
            known = self._split_name(found["name"])
            if known is not None and not found["percent"] and number >= 1.0:
                return None  # "2 of the tarts" are two pieces
            return self._share_line(shown, origin, found["name"], number, found["number"])
        return None

    def _share_line(
        self, shown: str, origin: Origin, name: str, share: float, word: str
    ) -> Line | tuple[str, str] | None:
        known = self._split_name(name)
        if known is None:
            return self._unknown_name(name)
        if known[1].kind == "ingredient":
            return (
                f"'{shown}' is a share, and '{known[0]}' is bought in, not made in a batch.",
                "Write a weight, or a number of pieces.",
            )
        return self._line(shown, origin, Quantity(share, share, share), "share", word, *known)

    def _without_number(self, shown: str, origin: Origin) -> Line | tuple[str, str]:
        """Read 'salt to taste' and 'gin to cover'; anything else has no amount."""
        if re.match(r"[-−+]\s*\d", shown):
            return f"'{shown}' is not above nought.", "Write an amount above nought: '250 g double cream'."
        found = _BEFORE.fullmatch(shown) or _AFTER.fullmatch(shown)
        if not found and (fold_text(shown) in _REMARKS or fold_text(shown).startswith("or ")):
            return (
                f"'{shown}' has no amount.",
                "If it belongs to the line before it: inside [ ] a comma begins the next line, so write each line below the other with '- '.",
            )
        if not found:
            return (
                f"'{shown}' has no amount.",
                "Write one before the name ('250 g double cream'), or 'to taste' or 'to cover' behind it.",
            )
        known = self._split_name(found["name"])
        if known is None:
            return self._unknown_name(found["name"])
        how: LineUnit = "to taste" if "taste" in found["how"].casefold() else "to cover"
        return self._line(shown, origin, _BY_RULE, how, how, *known)

    def _line(
        self,
        shown: str,
        origin: Origin,
        quantity: Quantity,
        unit: LineUnit,
        word: str,
        name: str,
        target: Target,
        remark: str,
    ) -> Line | tuple[str, str]:
        if target.kind == "given" and not target.given:
            parts = sorted(
                spelled
                for spelled in self.index.spelled
                if (found := self.find(spelled)) and found.entry == target.entry and found.given
            )
            return (
                f"'{name}' is a preparation that gives {' and '.join(repr(part) for part in parts)}.",
                f"Write one of these: {', '.join(repr(part) for part in parts)}.",
            )
        self.index.take(target)
        return Line(shown, origin, name, quantity, unit, word, target, remark)


def _is_by_rule(shown: str) -> bool:
    """Tell whether a line says 'to taste' or 'to cover' in place of an amount."""
    said = shown.casefold()
    if "to taste" not in said and "to cover" not in said:
        return False
    return _BEFORE.fullmatch(shown) is not None or _AFTER.fullmatch(shown) is not None
