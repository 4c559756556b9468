"""The shape of a statement: sentences, lists, brackets, and in which sense each thing is named.

A thing can be named as an ingredient, as contained, as something that may be in it, as something that is not, or in a note that
says nothing about what is inside. Where the text leaves that open, the sense that loses no allergen is taken.
"""

from labeller.allergens.items import (
    CONTAINS,
    FREE,
    HANDLING,
    INGREDIENT,
    MAY,
    MOST_DEPTH,
    MOST_NOTES,
    NOTE,
    TO_BE,
    Frame,
    Item,
    names_only,
    plain_food,
    signal_of,
)
from labeller.allergens.matching import Unit
from labeller.allergens.tokens import AND, CLOSE, COLON, COMMA, NEWLINE, NOTE_STAR, OPEN, PERCENT, SLASH, STAR, STOP


class TreeBuilder:
    """Reads phrases and marks one after the other and builds the tree; one pass, no looking back further than a sentence."""

    def __init__(self, units: list[Unit]) -> None:
        self._units = units
        self._root = Frame(None, INGREDIENT, INGREDIENT)
        self._frames = [self._root]
        self._too_deep = 0
        self._note: str | None = None
        self._note_items: dict[str, list[Item]] = {}
        self._marked: list[Item] = []
        commas = sum(1 for unit in units if unit.kind == COMMA)
        lines = sum(1 for unit in units if unit.kind == NEWLINE)
        self._lines_are_list = commas == 0 and lines >= 2

    def build(self) -> list[Item]:
        """Return the top-level items in the order of the text."""
        for place, unit in enumerate(self._units):
            kind = unit.kind
            if unit.key and kind not in (STAR, NOTE_STAR):
                self._word(unit, place)
            elif kind == COMMA:
                self._end_item(self._frames[-1])
                self._frames[-1].unfinished = True
            elif kind == OPEN:
                self._open()
            elif kind == CLOSE:
                self._close()
            elif kind == STOP:
                self._end_sentence()
            elif kind == PERCENT:
                self._percent(unit)
            elif kind in (STAR, NOTE_STAR):
                self._star(unit)
            elif kind in (AND, SLASH):
                self._break_run()
                self._frames[-1].unfinished = True
            elif kind == NEWLINE:
                self._newline()
            elif kind == COLON:
                self._colon()
        while len(self._frames) > 1:
            self._close()
        self._end_sentence()
        in_notes = {id(note) for notes in self._note_items.values() for note in notes}
        for item in self._marked:
            if id(item) not in in_notes:
                for mark in item.marks[:MOST_NOTES]:
                    item.notes.extend(self._note_items.get(mark, [])[:MOST_NOTES])
        return self._root.items

    def _item(self) -> Item:
        frame = self._frames[-1]
        if frame.current is None:
            frame.current = Item(frame.mode)
        return frame.current

    def _end_item(self, frame: Frame, *, keep_mode: bool = False) -> None:
        item = frame.current
        if item is not None and item.says_something():
            frame.items.append(item)
            if self._note is not None:
                self._note_items.setdefault(self._note, []).append(item)
        elif item is not None and item.percent is not None and frame.items and frame.items[-1].percent is None:
            frame.items[-1].percent = item.percent
        frame.current = None
        frame.making = None
        frame.site = False
        if frame.narrow and not keep_mode:
            frame.mode = frame.base
            frame.narrow = False

    def _colon(self) -> None:
        frame = self._frames[-1]
        frame.unfinished = True
        item = frame.current
        if item is None or item.colon_at or item.mode != INGREDIENT or len(frame.items) > frame.sentence:
            return
        if not any("class" in meaning.roles for unit in item.units for meaning in unit.meanings):
            item.colon_at = len(item.units)

    def _end_sentence(self) -> None:
        """Close the sentence. *Name: this, that* makes the rest of the sentence the list of the name before the colon."""
        frame = self._frames[-1]
        self._end_item(frame)
        run = frame.items[frame.sentence :]
        if len(run) > 1 and 0 < run[0].colon_at < len(run[0].units):
            run[0].listed = all(item.mode == INGREDIENT for item in run[:2])
        frame.mode = frame.base
        frame.sentence = len(frame.items)
        frame.narrow = frame.no_guarantee = frame.unfinished = False
        if len(self._frames) == 1:
            self._note = None

    def _newline(self) -> None:
        frame = self._frames[-1]
        if frame.mode in (FREE, NOTE) and not frame.unfinished:
            self._end_sentence()
        elif self._lines_are_list and len(self._frames) == 1:
            self._end_item(frame)
        elif frame.current is not None and frame.current.units:
            frame.current.lines.add(len(frame.current.units))

    def _set_mode(self, mode: str, *, narrow: bool = False) -> None:
        frame = self._frames[-1]
        self._end_item(frame, keep_mode=True)
        frame.mode = mode
        frame.narrow = narrow
        frame.unfinished = True

    def _open(self) -> None:
        if len(self._frames) > MOST_DEPTH:
            self._too_deep += 1
            self._end_item(self._frames[-1])
            return
        frame = self._frames[-1]
        owner = self._item()
        if not owner.says_something() and frame.items and not frame.unfinished:
            owner = frame.items[-1]
            frame.current = None
        mode = frame.mode if owner is frame.current else owner.mode
        base = mode if mode in (MAY, FREE, NOTE) else INGREDIENT
        if owner.denying:
            base = FREE
        self._frames.append(Frame(owner, base, base, no_guarantee=frame.no_guarantee))

    def _close(self) -> None:
        if self._too_deep:
            self._too_deep -= 1
            self._end_item(self._frames[-1])
            return
        if len(self._frames) == 1:
            return
        frame = self._frames[-1]
        lone = frame.current
        self._end_item(frame)
        self._frames.pop()
        owner = frame.owner
        if owner is None:
            return
        if (
            lone is not None
            and not lone.says_something()
            and lone.percent is not None
            and not frame.items
            and owner.percent is None
        ):
            owner.percent = lone.percent
        owner.parts.extend(frame.items)
        if frame.items:
            owner.list_at = len(owner.units)
        self._frames[-1].unfinished = False

    def _percent(self, unit: Unit) -> None:
        frame = self._frames[-1]
        if frame.mode == MAY:
            self._set_mode(frame.base if frame.owner is None else CONTAINS)
        item = self._item()
        if item.percent is None:
            item.percent = -1.0 - unit.start  # the figure is read from the text later, where the text is at hand
        frame.unfinished = False

    def _star(self, unit: Unit) -> None:
        if unit.kind == NOTE_STAR:
            while len(self._frames) > 1:
                self._close()
            self._end_sentence()
            self._note = unit.key
            return
        frame = self._frames[-1]
        item = frame.current
        if item is None or not item.says_something():
            item = frame.items[-1] if frame.items else None
        if item is not None:
            item.marks.append(unit.key)
            self._marked.append(item)

    def _break_run(self) -> None:
        frame = self._frames[-1]
        item = frame.current
        if item is not None and item.parts:
            # "lecithin (soya) and mayonnaise": the list belongs to what stands before it.
            self._end_item(frame, keep_mode=True)
            if item.denying:
                self._item().denying = True
        elif item is not None and item.units:
            item.breaks.add(len(item.units))

    def _word(self, unit: Unit, place: int) -> None:
        frame = self._frames[-1]
        signal = signal_of(unit)
        if signal and self._signal(unit, signal, place):
            return
        if frame.mode == MAY and plain_food(unit.meanings) and frame.base != MAY:
            # In brackets a warning that runs on makes no list of them: the name before the bracket keeps what it stands for.
            frame.mode = frame.base if frame.owner is None else CONTAINS
            if frame.current is not None and not any(
                each.meanings and each.meanings[0].certain for each in frame.current.units
            ):
                frame.current.mode = frame.mode
            else:
                self._end_item(frame)
        item = self._item()
        denied = item.denying or item.denying_next
        if denied and any(meaning.certain or meaning.doubts for meaning in unit.meanings):
            item.denied.add(len(item.units))
            item.denying_next = False
        item.units.append(unit)
        frame.unfinished = False

    def _signal(self, unit: Unit, signal: str, place: int) -> bool:
        """Act on a word that announces something; return whether the word is used up by that."""
        frame = self._frames[-1]
        item = frame.current
        begins = item is None or not item.says_something()
        running = len(frame.items) > frame.sentence or not begins
        if signal == "conj":
            self._break_run()
            frame.unfinished = True
            return True
        if signal == "may contain":
            self._set_mode(MAY)
            return True
        if signal == "no guarantee":
            self._set_mode(MAY)
            frame.no_guarantee = True
            return True
        if signal == "may contain sentence":
            self._sentence_may(frame)
            return True
        if signal == "contains":
            self._set_mode(CONTAINS)
            return True
        if signal == "contain":
            if frame.mode == INGREDIENT:
                self._set_mode(CONTAINS)
            return True
        if signal == "heading":
            follows = self._units[place + 1].kind if place + 1 < len(self._units) else STOP
            if follows == COLON or (not running and frame.mode in (INGREDIENT, CONTAINS)):
                self._set_mode(frame.base)
                frame.sentence = len(frame.items)
            return True
        if signal == "free list":
            if frame.no_guarantee:
                return True
            if running and frame.mode != CONTAINS:
                self._item().denying = True
                self._break_run()
            else:
                self._set_mode(FREE, narrow=running)
            return True
        if signal == "free one":
            if not frame.no_guarantee and frame.mode != MAY:
                self._item().denying = True
                self._break_run()
            return True
        if signal == "free prefix":
            self._item().denying_next = True
            return True
        if signal == "free suffix":
            if item is not None and item.units and not frame.no_guarantee and frame.mode != MAY:
                self._deny_before(item)
            return True
        if signal == "note":
            self._set_mode(NOTE, narrow=running)
            return True
        if signal == "note item":
            self._set_mode(NOTE, narrow=True)
            return True
        if signal == "making":
            return self._making(frame, unit)
        if signal == "place":
            frame.site = True
            if frame.making is not None and item is not None and frame.mode in (INGREDIENT, CONTAINS):
                self._made_there(frame, item)
            return True
        return signal == "nothing"

    def _deny_before(self, item: Item) -> None:
        """Take *nut free* and *gluten and dairy free* at their word: the name just before, and gluten in the same breath."""
        last = len(item.units) - 1
        item.denied.add(last)
        for index, unit in enumerate(item.units[:last]):
            if unit.key == "gluten":
                item.denied.add(index)

    def _making(self, frame: Frame, unit: Unit) -> bool:
        item = frame.current
        if frame.site and frame.mode in (INGREDIENT, CONTAINS) and unit.key in HANDLING:
            self._set_mode(MAY)
            return True
        if frame.making is None:
            frame.making = len(item.units) if item is not None else 0
            if item is None:
                self._item()
            elif item.units and item.units[-1].key in TO_BE and unit.key in HANDLING:
                frame.making = -1
        return True

    def _made_there(self, frame: Frame, item: Item) -> None:
        """Turn to *may contain*: the text has said that the thing is made where other things are handled."""
        cut = frame.making or 0
        if cut < 0:
            self._sentence_may(frame)
            return
        if cut < len(item.units):
            del item.units[cut:]
        self._set_mode(MAY)

    def _sentence_may(self, frame: Frame) -> None:
        """Make of the names before *may be present* things that may be in it, unless they may be the list of ingredients."""
        if frame.current is not None:
            frame.current.mode = MAY
        before = frame.items[frame.sentence :]
        if before and (frame.sentence > 0 or len(self._frames) > 1) and all(names_only(item) for item in before):
            for item in before:
                item.mode = MAY
        self._set_mode(MAY)
