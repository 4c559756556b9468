"""The day a preparation, a part, a dish or an opened good is to be used by: its own life, never longer than that of what is in it."""

from collections import deque
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from labeller.book.entries import Book, Given, Line, Preparation, Target
from labeller.declarations.keeping_times import KeepingTime, day_in_words, parse_keeps, storage_in
from labeller.declarations.paper_phrases import phrase
from labeller.foundations.faults import Fault, Origin
from labeller.foundations.names import capitalised, fold_text
from labeller.jurisdictions.faults_of_law import NoSuchSubjectError, NotInForceError
from labeller.jurisdictions.in_force import LawInForce

ThingKind = Literal["dish", "given", "ingredient"]


@dataclass(frozen=True, slots=True)
class Limit:
    """A part whose life ends first.

    Attributes
    ----------
    part : str
        Name of the part.
    way : tuple of str
        The way to it, from the thing itself.
    keeps : KeepingTime
        Its own time.
    counted_from : date
        The day it was made or opened.
    day_known : bool
        False where that day was not told, so that it is counted from the day of the whole.
    until : date
        Its last day.
    """

    part: str
    way: tuple[str, ...]
    keeps: KeepingTime
    counted_from: date
    day_known: bool
    until: date


@dataclass(frozen=True, slots=True)
class UseBy:
    """The day to use a thing by, with its reason.

    Attributes
    ----------
    name : str
        What it is of.
    made : date
        Day it was made, or opened.
    day : date or None
        The last day; None where the book gives no time for the thing itself, and then nobody makes one up.
    own : KeepingTime or None
        Its own time in the book.
    limited_by : Limit or None
        The part that ends first; None where its own time does.
    line : str
        What the paper prints: 'Use by 27 November 2026', or a blank to be written in.
    reason : str
        Why that day and no later, in words; empty where its own time decides.
    storage : str
        How it is kept, whole sentences; a temperature only where law gives one.
    storage_kind : str
        ``chilled``, ``frozen``, ``ambient`` or empty.
    notes : tuple of Fault
        What somebody should know or mend, with the line of the book.
    """

    name: str
    made: date
    day: date | None
    own: KeepingTime | None
    limited_by: Limit | None
    line: str
    reason: str
    storage: str
    storage_kind: str
    notes: tuple[Fault, ...]


def use_by(
    book: Book,
    law: LawInForce,
    kind: ThingKind,
    name: str,
    made: date,
    made_days: Mapping[str, date] | None = None,
) -> UseBy:
    """Return the day a thing is to be used by.

    Parameters
    ----------
    book : Book
        As read.
    law : LawInForce
        For the temperature a law gives for chilled food.
    kind, name : str
        A dish, one thing a preparation gives, or an ingredient once opened.
    made : date
        The day it was made or opened.
    made_days : mapping of str to date, optional
        Days its parts were made or opened, by name, where somebody knows them; the others count from ``made``.

    Raises
    ------
    KeyError
        If the book has nothing of that name and kind.

    Notes
    -----
    Parts at every depth count, and opened goods that say how long they keep: the earliest day wins, whatever the thing's own time is.
    Only the cook's words 'counted anew' in ``keeps`` free a thing from its parts. A frozen part in something that is not frozen has
    no life of its own any more: its days still limit, and a note says that its life once thawed is not known.
    """
    return _Reckoning(book, law, made, dict(made_days or {})).of(kind, name)


@dataclass(slots=True)
class _Reckoning:
    book: Book
    law: LawInForce
    made: date
    made_days: dict[str, date]
    notes: list[Fault] = field(default_factory=list)

    def of(self, kind: ThingKind, name: str) -> UseBy:
        text, origin, storage_text, targets = self._entry(kind, name)
        own = self._own(text, origin, name)
        limits = [] if own is not None and own.anew else list(self._limits(targets, (name,)))
        self._say_of_thawed(own, limits, origin)
        first = min(limits, key=lambda one: (one.until, len(one.way), one.way), default=None)
        own_until = own.until(self.made) if own is not None else None
        limited = first if first is not None and (own_until is None or first.until < own_until) else None
        if own is not None and own.anew:
            self._say_of_anew(own, targets, name, origin)
        if own_until is None:
            day, line = None, f"{phrase('use_by')}: {phrase('blank')} ({phrase('not_given')}"
            if limited is not None:
                line += f"; {phrase('not_after', day=day_in_words(limited.until), part=limited.part)}"
            line += ")"
            if not text:
                problem = f"'{name}' does not say how long it keeps, so its label has a blank for the day."
                self.notes.append(Fault(origin, "keeps", problem, "Write 'keeps: 5 days chilled'."))
        else:
            day = limited.until if limited is not None else own_until
            line = f"{phrase('use_by')} {day_in_words(day)}"
        reason = ""
        if limited is not None:
            # Beside a blank the line itself names the part.
            reason = phrase("limited_by", part=limited.part, keeps=limited.keeps.text) if day is not None else ""
            self._say_of_limit(own, limited, name, origin)
        kept = own.storage if own is not None else ""
        kept = kept or storage_in(storage_text)
        return UseBy(
            name,
            self.made,
            day,
            own,
            limited,
            line,
            reason,
            self._storage(kept, storage_text),
            kept,
            tuple(self.notes),
        )

    def _entry(self, kind: ThingKind, name: str) -> tuple[str, Origin, str, tuple[Target, ...]]:
        if kind == "dish":
            dish = self.book.dishes[name]
            return dish.keeps, dish.origin, "", _targets_of(dish.plate)
        if kind == "ingredient":
            ingredient = self.book.ingredients[name]
            return ingredient.keeps, ingredient.origin, "", ()
        preparation, given = given_of(self.book, name)
        return (
            given.keeps or preparation.keeps,
            given.origin,
            preparation.storage,
            _targets_of_preparation(preparation),
        )

    def _own(self, text: str, origin: Origin, name: str) -> KeepingTime | None:
        own = parse_keeps(text)
        if own is None and text:
            problem = f"'{text}' of '{name}' holds no time, so its label has a blank for the day."
            self.notes.append(Fault(origin, "keeps", problem, "Write 'keeps: 5 days chilled'."))
        if own is not None and own.several:
            problem = f"'{text}' of '{name}' gives more than one time; the shortest is taken."
            self.notes.append(Fault(origin, "keeps", problem, "Write one time for how it is kept."))
        return own

    def _limits(self, targets: tuple[Target, ...], way: tuple[str, ...]) -> Iterator[Limit]:
        """Yield the life of every part below, at every depth, each once by its shortest way."""
        waiting = deque((target, way) for target in targets)
        seen: set[Target] = set()
        while waiting:
            target, above = waiting.popleft()
            if target in seen:
                continue
            seen.add(target)
            if target.kind == "ingredient":
                entry = self.book.ingredients.get(target.entry)
                if entry is not None:
                    yield from self._limit(entry.keeps, entry.name, (*above, entry.name))
                continue
            preparation = self.book.preparations.get(target.entry)
            if preparation is None:
                continue
            name = target.given or target.entry
            given = next((one for one in preparation.gives if one.name == target.given), None)
            text = (given.keeps if given is not None else "") or preparation.keeps
            yield from self._limit(text, name, (*above, name))
            keeps = parse_keeps(text)
            if keeps is None or not keeps.anew:
                waiting.extend((one, (*above, name)) for one in _targets_of_preparation(preparation))

    def _limit(self, text: str, name: str, way: tuple[str, ...]) -> Iterator[Limit]:
        keeps = parse_keeps(text)
        if keeps is None:
            return
        day = self.made_days.get(name)
        counted_from = day or self.made
        yield Limit(name, way, keeps, counted_from, day is not None, keeps.until(counted_from))

    def _say_of_limit(self, own: KeepingTime | None, limit: Limit, name: str, origin: Origin) -> None:
        counted = "its own day" if limit.day_known else "the same day, since its own is not known"
        whole = f"keeps {own.text}" if own is not None else "gives no time of its own"
        problem = (
            f"'{name}' {whole}, but holds '{limit.part}' ({' > '.join(limit.way)}), which keeps {limit.keeps.text}, counted from "
            f"{counted}: its label says {day_in_words(limit.until)} at the latest."
        )
        mend = (
            f"If cooking, freezing or steeping gave '{name}' a life of its own, add the words to its time: "
            f"'keeps: {own.text if own is not None else '5 days chilled'}, counted anew'."
        )
        self.notes.append(Fault(origin, "keeps", problem, mend))

    def _say_of_anew(self, own: KeepingTime, targets: tuple[Target, ...], name: str, origin: Origin) -> None:
        first = min(self._limits(targets, (name,)), key=lambda one: (one.until, one.way), default=None)
        if first is None or first.until >= own.until(self.made):
            return
        problem = f"'{name}' keeps {own.text}, longer than '{first.part}' in it ({first.keeps.text}), by the book's own word 'counted anew'."
        self.notes.append(Fault(origin, "keeps", problem, "Leave it if that is so; else take the words out."))

    def _say_of_thawed(self, own: KeepingTime | None, limits: list[Limit], origin: Origin) -> None:
        if own is not None and own.storage == "frozen":
            return
        for part in dict.fromkeys(one.part for one in limits if one.keeps.storage == "frozen"):
            problem = f"'{part}' is kept frozen; how long it keeps once thawed is not in the book, so it is not known."
            self.notes.append(
                Fault(
                    origin,
                    "keeps",
                    problem,
                    f"See that the time written allows for thawed '{part}'; mark the day it was thawed.",
                )
            )

    def _storage(self, kept: str, text: str) -> str:
        said = phrase("keep_not_given") if not text else ""
        if kept == "chilled":
            said = chilled_words(self.law)
        elif kept:
            said = phrase(f"keep_{kept}")
        tail = capitalised(text) if text and fold_text(text) not in fold_text(said) else ""
        return " ".join(f"{one.rstrip('.')}." for one in (said, tail) if one)


def chilled_words(law: LawInForce) -> str:
    """Return how chilled food is kept; with a temperature only where the law of the pack gives one."""
    try:
        statement = law.statements.get("storage_chilled")
    except (NotInForceError, NoSuchSubjectError):
        statement = None
    return statement.texts["en"] if statement is not None else phrase("keep_chilled")


def given_of(book: Book, name: str) -> tuple[Preparation, Given]:
    """Return the preparation that gives a thing, and the thing.

    Raises
    ------
    KeyError
        If nothing of the book is given under that name.
    """
    for preparation in book.preparations.values():
        for given in preparation.gives:
            if given.name == name:
                return preparation, given
    raise KeyError(name)


def _targets_of_preparation(preparation: Preparation) -> tuple[Target, ...]:
    """Return what goes into a preparation, the fat of a fry too; what is taken out again is not in it."""
    lines = (*preparation.takes, *(line for step in preparation.method for line in step.lines))
    oils = tuple(step.oil_target for step in preparation.method if step.oil_target is not None)
    return tuple(dict.fromkeys((*_targets_of(lines), *oils)))


def _targets_of(lines: tuple[Line, ...]) -> tuple[Target, ...]:
    return tuple(dict.fromkeys(line.target for line in lines if line.target is not None and not line.removed))
