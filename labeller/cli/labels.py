"""``labeller labels``: labels for tubs in the kitchen and for food sold packed, as a PDF on sheets of labels or a roll."""

import json
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path

from labeller.book.entries import Dish, Ingredient, Preparation
from labeller.cli.exits import CANNOT_VOUCH, FAULTS, WRONG_USAGE
from labeller.cli.finding import find_one
from labeller.cli.labels_asked import LabelsAsked
from labeller.cli.labels_chosen import Chosen, chosen_sales, chosen_tubs
from labeller.cli.opening import Opened, open_book, refuse_usage, say
from labeller.cli.paper_dishes import with_bar
from labeller.cli.writing import write_whole
from labeller.declarations.paper_in_language import translated_allergens
from labeller.declarations.paper_net import net_quantity
from labeller.declarations.paper_of_tub import TubWords, tub_words
from labeller.declarations.paper_particulars import MissingParticular, SaleParticulars, UnknownOfferError
from labeller.declarations.paper_sale import sale_particulars
from labeller.declarations.paper_unvouched import ALCOHOL, Unvouched, unvouched_as_text
from labeller.declarations.paper_use_by import ThingKind, given_of
from labeller.foundations.faults import Origin
from labeller.foundations.names import capitalised
from labeller.printing.container_labels import container_labels
from labeller.printing.label_layout import LabelTooSmall
from labeller.printing.label_nutrition import LAWS as NUTRITION_ON_LABEL
from labeller.printing.label_stock import LabelStock
from labeller.printing.letters import letters_not_set
from labeller.printing.page import Document
from labeller.printing.sale_labels import SaleLabel, net_figures_mm, sale_labels, wanted_net_figures_mm
from labeller.printing.sheets import Piece


@dataclass(slots=True)
class _Run:
    """What a run has gathered so far."""

    pieces: list[Piece] = field(default_factory=list)
    labelled: list[str] = field(default_factory=list)
    refused: list[tuple[str, str, int]] = field(default_factory=list)
    unvouched: list[Unvouched] = field(default_factory=list)
    notes: dict[str, None] = field(default_factory=dict)
    marked: list[str] = field(default_factory=list)

    @property
    def code(self) -> int:
        """The exit code: a book to mend before a label to change, and both before what cannot be vouched for."""
        codes = {code for _, _, code in self.refused}
        for one in (FAULTS, WRONG_USAGE):
            if one in codes:
                return one
        return CANNOT_VOUCH if codes or self.unvouched or self.marked else 0


def labels(
    book: Path,
    out: Path,
    asked: LabelsAsked,
    stock: LabelStock,
    *,
    jurisdiction: str | None,
    on: date,
    json_out: bool,
) -> int:
    """Write the labels; return the exit code."""
    opened = open_book(book, jurisdiction, on, json_out=json_out)
    asked = replace(asked, part_made=_known_parts(opened, asked))
    sale = asked.purpose == "sale"
    if sale:
        chosen = chosen_sales(opened, asked.of, asked.menu, everything=asked.everything)
        if asked.net_g is not None and len(chosen.things) > 1:
            raise refuse_usage("--net: one weight cannot stand for several foods. Write --of with one of them.")
    else:
        chosen = chosen_tubs(opened, asked.of, asked.opened_goods, asked.menu, everything=asked.everything)
    if not chosen.things:
        raise refuse_usage("There is nothing in this book to label. Write --of NAME, or --all for what does not keep.")
    run = _Run()
    one_thing = _sale_of if sale else _tub_of
    for kind, name in with_bar(chosen.things, "Labels"):
        one_thing(opened, kind, name, asked, stock, run)
    file = out / f"{'sale' if sale else 'container'}-labels.pdf"
    sheets = _write(opened, file, asked, stock, run, on) if run.pieces else 0
    if json_out:
        print(json.dumps(_as_json(file, chosen, run, sheets), ensure_ascii=False, indent=2))
    else:
        _report(file, chosen, run, sheets, stock, asked)
    return run.code


def _known_parts(opened: Opened, asked: LabelsAsked) -> dict[str, date]:
    """Return the days parts were made by the book's own names: a misspelling would leave a part's life uncounted."""
    known = [*opened.workings.given(), *opened.book.ingredients]
    found: dict[str, date] = {}
    for name, day in asked.part_made.items():
        if day > asked.made:
            raise refuse_usage(
                f"--part-made: '{name}' is made on {day.isoformat()}, after what it is in. Write an earlier day, or a later --made."
            )
        found[find_one(name, known, "a preparation or bought-in good of this book")] = day
    return found


def _write(opened: Opened, file: Path, asked: LabelsAsked, stock: LabelStock, run: _Run, on: date) -> int:
    from labeller.printing.painter import paint

    title = "Labels for sale" if asked.purpose == "sale" else "Container labels"
    subject = f"{opened.book.kitchen.name}, by the law of {opened.law.code} on {on.isoformat()}, on {stock.as_words}"
    pages = stock.pages(run.pieces)
    write_whole(file, paint(Document(pages, title, "en", subject, asked.made)))
    return len(pages)


def _tub_of(opened: Opened, kind: ThingKind, name: str, asked: LabelsAsked, stock: LabelStock, run: _Run) -> None:
    words = tub_words(opened.declarer, kind, name, asked.made, made_days=asked.part_made or None, batch=asked.batch)
    translated = _in_language(words, asked.language, run)
    texts = [words.name, words.of, words.use_by.line, words.use_by.reason, words.storage, words.reheat]
    texts += [words.allergens.as_text(), words.alcohol.short.text, words.batch, translated]
    if _unset_letters(opened, kind, name, texts, run):
        return
    _add(container_labels(words, stock, translated=translated), words.name, asked, run)
    run.notes.update(dict.fromkeys(note.as_text() for note in words.notes))
    run.unvouched += words.unvouched


def _in_language(words: TubWords, language: str | None, run: _Run) -> str:
    """Return the allergens in another language, with English heads where the language has none on file."""
    if language is None:
        return ""
    found = translated_allergens(words.declaration, language)
    said = [
        f"{head} {', '.join(names)}."
        for head, names in (
            (found.contains_head, found.contains),
            ("May contain", found.may_contain),
            ("Not known: ask the kitchen about", found.ask_about),
        )
        if names
    ]
    if found.untranslated:
        run.notes[
            f"There is no name on file in '{language}' for {', '.join(found.untranslated)}: printed in English."
        ] = None
    return " ".join(said)


def _sale_of(opened: Opened, kind: ThingKind, name: str, asked: LabelsAsked, stock: LabelStock, run: _Run) -> None:
    declaration = opened.declarer.dish(name) if kind == "dish" else opened.declarer.given(name)
    try:
        given = sale_particulars(
            opened.declarer,
            declaration,
            made=asked.made,
            offer=asked.offer,
            net_g=asked.net_g,
            made_days=asked.part_made or None,
        )
    except UnknownOfferError as reason:
        raise refuse_usage(f"--offer: {reason}") from None
    lacking = [one for one in given.lacking if asked.nutrition or one.key != "nutrition"]
    open_groups = [one for one in given.unvouched if one.group != ALCOHOL]
    if lacking and not asked.incomplete:
        # A book to mend, unless all that is missing is what nobody can vouch for.
        only_open = bool(open_groups) and all(one.key == "allergens" for one in lacking)
        reasons = "\n".join(f"    {capitalised(one.as_text())}{_hint(one)}" for one in lacking)
        run.refused.append(
            (
                name,
                f"'{name}' lacks what the law asks for on its label:\n{reasons}",
                CANNOT_VOUCH if only_open else FAULTS,
            )
        )
        if only_open:
            run.unvouched += open_groups
        return
    if _unset_letters(opened, kind, name, [one.text.text for one in given.particulars], run):
        return
    grams = net_quantity(opened.declarer, declaration, asked.net_g).grams
    constant = bool(grams) and asked.offer != "prepacked for direct sale"
    wanted = wanted_net_figures_mm(given.jurisdiction, grams) if grams and constant else 0.0
    label = SaleLabel(
        given,
        declaration,
        asked.face_cm2,
        incomplete=bool(lacking),
        nutrition=asked.nutrition,
        figures_mm=wanted,
    )
    pieces = sale_labels(label, stock)
    if not _add(pieces, name, asked, run) or isinstance(pieces, LabelTooSmall):
        return
    printed = net_figures_mm(pieces)
    if printed is not None and printed < wanted - 0.005:
        run.notes[
            f"{name}: the figures of the net quantity are {printed:.1f} mm high; packs made up to one and the same weight need {wanted:g} mm "
            "(Directive 76/211/EEC, Annex I, 3.1, not confirmed: from memory). Choose a larger label where yours are."
        ] = None
    if lacking:
        run.marked.append(f"{name}: {' '.join(f'{capitalised(one.as_text())}{_hint(one)}' for one in lacking)}")
    run.notes.update(dict.fromkeys(note.as_text() for note in given.notes))
    _note_the_rest(given, asked, run)
    run.unvouched += given.unvouched


def _note_the_rest(given: SaleParticulars, asked: LabelsAsked, run: _Run) -> None:
    for one in given.missing:
        if not one.must:
            run.notes[f"{given.name}: {one.as_text()}{_hint(one)}"] = None
    if given.nutrition == "required" and not asked.nutrition:
        run.notes[
            f"Printed without the nutrition declaration, as you say that this food is free of it: see {given.clause.as_text()}. {given.nutrition_note}".strip()
        ] = None
    elif given.nutrition == "required" and given.jurisdiction not in NUTRITION_ON_LABEL:
        run.notes[
            f'{given.name}: the nutrition panel of this law stands beside the label: labeller panel BOOK --of "{given.name}" --out FOLDER'
        ] = None


def _add(made: tuple[Piece, ...] | LabelTooSmall, name: str, asked: LabelsAsked, run: _Run) -> bool:
    if isinstance(made, LabelTooSmall):
        run.refused.append((name, made.as_text(), WRONG_USAGE))
        return False
    # All labels of one tub lie together, copy after copy.
    run.pieces += made * asked.copies
    run.labelled.append(name)
    return True


def _unset_letters(opened: Opened, kind: ThingKind, name: str, texts: list[str], run: _Run) -> bool:
    """Refuse a label with letters no face has, at the line of the entry they stand in; return whether there were any."""
    faults: dict[str, None] = {}
    for text in texts:
        for letter in letters_not_set(text):
            origin, where = _entry_with(opened, letter.letter, kind, name)
            faults[letter.as_fault(origin, where).as_text()] = None
    if faults:
        run.refused.append((name, "\n".join(faults), FAULTS))
    return bool(faults)


def _entry_with(opened: Opened, letter: str, kind: ThingKind, name: str) -> tuple[Origin, str]:
    book = opened.book
    entries: tuple[Ingredient | Preparation | Dish, ...] = (
        *book.ingredients.values(),
        *book.preparations.values(),
        *book.dishes.values(),
    )
    for entry in entries:
        if letter in entry.name:
            return entry.origin, "name"
    if letter in f"{book.kitchen.name}{book.kitchen.address}":
        return book.kitchen.origin, "kitchen"
    if kind == "dish":
        return book.dishes[name].origin, "dish"
    if kind == "ingredient":
        return book.ingredients[name].origin, "ingredient"
    return given_of(book, name)[0].origin, "preparation"


def _report(file: Path, chosen: Chosen, run: _Run, sheets: int, stock: LabelStock, asked: LabelsAsked) -> None:
    for _, text, _ in run.refused:
        say(text)
    if asked.purpose == "sale" and not asked.incomplete and any(code != WRONG_USAGE for _, _, code in run.refused):
        say("A label that lacks something can be printed marked as not for sale: --incomplete")
    if run.notes:
        say("To look at:")
        for note in run.notes:
            say(f"  {note}")
    if run.marked:
        say("Printed, and marked as not for sale:")
        for one in run.marked:
            say(f"  {one}")
    for line in unvouched_as_text(run.unvouched):
        say(line)
    if chosen.left_out:
        say(
            f"No label, as the book does not say how long they keep (name them with --of, or --all): {', '.join(chosen.left_out)}."
        )
    if run.refused:
        say(f"Refused: {len(run.refused)} ({', '.join(name for name, _, _ in run.refused)}).")
    if not run.pieces:
        say("Nothing was written.")
        return
    on = "a roll" if stock.grid is None else f"{sheets} sheet{'s' if sheets != 1 else ''}"
    say(
        f"Written: '{file}', {len(run.pieces)} label{'s' if len(run.pieces) != 1 else ''} on {on}: {stock.as_words}. Print it at its own size, not fitted to the page."
    )


def _as_json(file: Path, chosen: Chosen, run: _Run, sheets: int) -> dict[str, object]:
    return {
        "file": str(file) if run.pieces else None,
        "labels": len(run.pieces),
        "pages": sheets,
        "labelled": run.labelled,
        "left_out": list(chosen.left_out),
        "refused": [{"name": name, "because": text} for name, text, _ in run.refused],
        "not_for_sale": run.marked,
        "unvouched": [one.as_json() for one in run.unvouched],
        "to_look_at": list(run.notes),
    }


def _hint(one: MissingParticular) -> str:
    return " Write it after --net." if one.key == "net quantity" else ""
