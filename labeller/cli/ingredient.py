"""``labeller ingredient --from-pack --into BOOK``: an ingredient from what its pack prints, checked before it is written."""

import json
import sys
from collections.abc import Callable, Collection
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import Any, Final

from labeller.allergens.reader import read_statement
from labeller.allergens.specifications import evidence_from_spec
from labeller.book.fields import parse_day, parse_density, parse_strength
from labeller.book.reading import read_book, read_files
from labeller.bringing_in.packs import (
    PACKS_FILE,
    Pack,
    calls_for_strength,
    check_words,
    faults_of_entry,
    pack_entry,
    put_entry,
    standing_entry,
    usual_figures,
)
from labeller.bringing_in.packs_asking import ask_fields, ask_findings
from labeller.bringing_in.packs_checks import PackFinding, check_pack
from labeller.bringing_in.packs_figures import (
    FIGURES,
    SPOKEN,
    Basis,
    Panel,
    Refusal,
    as_printed_by,
    parse_basis,
    read_panel,
)
from labeller.bringing_in.packs_files import read_pack_file
from labeller.bringing_in.replacing import would_be_lost
from labeller.cli.exits import FAULTS
from labeller.cli.opening import law_of, refuse_usage, say, today
from labeller.cli.read import grouped, read_as_json, read_as_text
from labeller.cli.writing import write_whole
from labeller.foundations.names import name_key
from labeller.jurisdictions.in_force import LawInForce
from labeller.jurisdictions.packs import known_jurisdictions

_DONE: Final = 0

# What the walk through a pack asks for of what allergens and alcohol hang on.
_ASKED_FOR: Final = frozenset({"statement", "may_contain", "strength"})


@dataclass(slots=True)
class _Order:
    """What was asked for: where to, whose panel it is, what may be done."""

    into: Path
    panel: str | None
    replace: bool
    accept: bool
    json_out: bool
    asking: bool = False
    lines: Callable[[], str] = field(default=lambda: "")


def from_pack(
    into: Path,
    given: dict[str, str],
    *,
    file: Path | None,
    panel: str | None,
    replace_standing: bool,
    accept: bool,
    json_out: bool,
) -> int:
    """Write an ingredient from its pack and return the exit code: 0 written; 1 something in it cannot be, or is doubtful.

    Parameters
    ----------
    into : Path
        The folder of the book.
    given : dict
        Fields given as options, as typed; where there is nothing but a name, each is asked for.
    file : Path, optional
        A small YAML file with the same fields; options win over it.
    panel : str, optional
        The jurisdiction whose panel the pack prints, where it is not the book's own.
    replace_standing : bool
        Put it in the place of the entry of that name.
    accept : bool
        Write what is doubtful as typed, with a comment.
    json_out : bool
        Print one JSON document instead of text.
    """
    if not into.is_dir():
        raise refuse_usage(f"--into: '{into}' is not a folder. Write the folder of a kitchen book.")
    fields = {key: value for key, value in given.items() if value.strip()}
    if file is not None:
        fields = {**_from_file(file), **fields}
    order = _Order(into, panel, replace_standing, accept, json_out)
    if file is None and not any(key in fields for key in (*FIGURES, "statement")) and not json_out:
        order.asking, order.lines = True, _line_reader()
        fields = ask_fields(fields, order.lines, say, lambda key, text: _wrong(key, text, order))
    if not fields.get("name", "").strip():
        raise refuse_usage("--name: the ingredient has no name. Write what the recipes call it.")
    if not any(key in fields for key in (*FIGURES, "statement", "may_contain")):
        raise refuse_usage(
            "Nothing of the pack is given: neither figures nor the list of ingredients. Give at least one."
        )
    return _bring_in(fields, order)


def _wrong(key: str, text: str, order: _Order) -> str:
    """Return what is wrong with an answer that would stop everything in the end; '' where nothing is, or only the whole can tell."""
    refusal: Refusal | None = None
    if key == "name":
        place = _place(" ".join(text.split()), order, _ASKED_FOR)
        refusal = place if isinstance(place, Refusal) else None
    elif key == "per" and parse_basis(text) is None:
        refusal = _no_basis(text)
    elif key == "density" and parse_density(text) is None:
        refusal = _no_density(text)
    elif key == "strength" and parse_strength(text) is None:
        refusal = _no_strength(text)
    return f"{refusal.problem}\n    {refusal.mend}" if refusal is not None else ""


def _no_basis(text: str) -> Refusal:
    return Refusal("per", f"'{text}' is no amount.", "Write '100 g', '100 ml' or 'serving of 30 g'.")


def _no_density(text: str) -> Refusal:
    return Refusal("density", f"'{text}' is not a density.", "Write it as '1.03 g/ml'.")


def _no_strength(text: str) -> Refusal:
    return Refusal("strength", f"'{text}' is not a strength.", "Write it as the pack prints it, such as '20 % vol'.")


def _from_file(file: Path) -> dict[str, str]:
    try:
        raw = file.read_bytes()
    except OSError as reason:
        raise refuse_usage(
            f"--from: '{file}' cannot be read: {reason.strerror}. Write the path of a YAML file."
        ) from None
    fields, faults = read_pack_file(raw, file.name)
    if faults:
        for fault in faults:
            say(fault.as_text())
        raise SystemExit(FAULTS)
    return fields


def _line_reader() -> Callable[[], str]:
    lines = iter(sys.stdin.readline, "")
    return lambda: next(lines, "").strip()


def _book_law(order: _Order) -> LawInForce:
    book, _ = read_book(read_files(order.into), jurisdictions=known_jurisdictions(), row_exists=lambda _: True)
    if book is None or not book.kitchen.jurisdiction:
        raise refuse_usage(
            f"--into: '{order.into}' names no jurisdiction. Begin it with '- kitchen: ...' and 'jurisdiction: gb'."
        )
    return law_of(book.kitchen.jurisdiction, today(), flag="jurisdiction")


def _read_fields(fields: dict[str, str], order: _Order, law: LawInForce) -> tuple[Panel, Basis | None, date]:
    """Return the figures per 100 g, the serving beside them, and the day; what cannot be read stands in the panel."""
    basis = parse_basis(fields.get("per", "100 g"))
    serving = parse_basis(fields["serving"]) if fields.get("serving", "").strip() else None
    dated = parse_day(fields["dated"]) if "dated" in fields else today()
    density = parse_density(fields["density"]) if "density" in fields else None
    refusals = []
    if basis is None:
        refusals.append(_no_basis(fields["per"]))
    if "serving" in fields and serving is None:
        refusals.append(
            Refusal("serving", f"'{fields['serving']}' is no amount.", "Write its weight, such as '30 g'.")
        )
    if dated is None:
        refusals.append(Refusal("dated", f"'{fields['dated']}' is not a day.", "Write it as 2026-10-01."))
    if "density" in fields and density is None:
        refusals.append(_no_density(fields["density"]))
    if "strength" in fields and parse_strength(fields["strength"]) is None:
        refusals.append(_no_strength(fields["strength"]))
    panel = read_panel(fields, basis or Basis(), density)
    if order.panel is not None:
        pack_law = law_of(order.panel, today(), flag="--panel")
        panel = as_printed_by(
            panel,
            pack_with_fibre=pack_law.definitions.carbohydrate_with_fibre,
            book_with_fibre=law.definitions.carbohydrate_with_fibre,
        )
    return replace(panel, refusals=[*refusals, *panel.refusals]), serving, dated or today()


def _bring_in(fields: dict[str, str], order: _Order) -> int:
    law = _book_law(order)
    name = " ".join(fields["name"].split())
    panel, serving, dated = _read_fields(fields, order, law)
    statement, may_contain = fields.get("statement", "").strip(), fields.get("may_contain", "").strip()
    refusals = [*panel.refusals, *check_words(statement, may_contain)]
    # A strength left out is said below: its alcohol is then not known, which is never none.
    place = _place(name, order, {"strength", *(key for key, text in fields.items() if text.strip())})
    path, takes_place = place if not isinstance(place, Refusal) else ("", False)
    if isinstance(place, Refusal):
        refusals.append(place)
    usual = usual_figures(name, with_fibre=law.definitions.carbohydrate_with_fibre)
    alcoholic = "strength" in fields or calls_for_strength(name, statement)

    def findings_of(figures: dict[str, float]) -> list[PackFinding]:
        return check_pack(
            figures,
            law,
            serving=serving,
            usual=usual.figures if usual is not None else None,
            usual_name=usual.name if usual is not None else "",
            may_hold_more=alcoholic,
        )

    figures = dict(panel.figures)
    findings = findings_of(figures)
    kept: list[PackFinding] = []
    if order.asking and not refusals:
        figures, findings, kept = ask_findings(figures, findings_of, order.lines, say)
    doubts = [one for one in findings if one not in kept]
    blocked = bool(refusals) or any(one.refuses for one in findings) or (bool(doubts) and not order.accept)
    pack = Pack(
        name,
        figures,
        dated,
        statement,
        may_contain,
        " ".join(fields.get("supplier", "").split()),
        " ".join(fields.get("reference", "").split()),
        fields.get("density", "").strip(),
        fields.get("strength", "").strip(),
        tuple(panel.said),
        tuple(one for one in findings if not one.refuses),
    )
    entry = pack_entry(pack)
    text: str | Refusal = ""
    if not blocked:
        refusals += [Refusal(one.field, one.problem, one.mend) for one in faults_of_entry(entry, name, law)]
        text = _new_text(path, name, entry, order, takes_place=takes_place)
        if isinstance(text, Refusal):
            refusals.append(text)
        blocked = bool(refusals)
    told = {
        "name": name,
        "figures": figures,
        "said": panel.said,
        "refusals": [{"field": one.field, "problem": one.problem, "mend": one.mend} for one in refusals],
        "findings": [one.as_json() for one in findings],
        "reading": _reading(statement, may_contain, law) if statement or may_contain else None,
    }
    if not order.json_out:
        _tell(panel, refusals, doubts, blocked=blocked, accept=order.accept)
    if blocked:
        if order.json_out:
            print(json.dumps({**told, "written": None, "entry": None}, ensure_ascii=False, indent=1))
        return FAULTS
    write_whole(order.into / path, str(text))
    if order.json_out:
        print(json.dumps({**told, "written": path, "entry": entry}, ensure_ascii=False, indent=1))
        return _DONE
    print(entry, end="")
    _tell_reading(statement, may_contain, law)
    if not any(key in figures for key in ("energy_kj", "energy_kcal")) or not {
        "fat_g",
        "carbohydrate_g",
        "protein_g",
    } <= set(figures):
        say(
            "Energy was not held against the other figures: one of energy, fat, carbohydrate and protein is not given."
        )
    if alcoholic and "strength" not in fields:
        say(
            "There is alcohol in it and no strength, so how much is not known: add 'strength: 20 % vol', as on the pack."
        )
    if usual is not None:
        say(f"For figures the pack does not print, '{usual.name}' may serve: add 'composition: {usual.composition}'.")
    say(f"Written to {path}.")
    return _DONE


def _tell(panel: Panel, refusals: list[Refusal], doubts: list[PackFinding], *, blocked: bool, accept: bool) -> None:
    for words in panel.said:
        say(f"Read: {words}.")
    for one in refusals:
        say(f"{SPOKEN.get(one.field, one.field)}: {one.problem}\n    {one.mend}")
    for finding in doubts:
        say(f"{SPOKEN.get(finding.field, finding.field)}: {finding.problem}\n    {finding.mend}")
    if blocked:
        only_doubts = not refusals and not any(one.refuses for one in doubts) and not accept
        say("Nothing was written." + (" If the pack really says so, add --accept." if only_doubts else ""))


def _reading(statement: str, may_contain: str, law: LawInForce) -> dict[str, Any]:
    """Return what the reader makes of the supplier's words, the separate 'may contain' among them."""
    evidence, _ = evidence_from_spec(statement or None, None, covers_all=False, may_contain=may_contain or None)
    return {**read_as_json(read_statement(statement), law), "may_contain": grouped(evidence.may_contain, law)[0]}


def _tell_reading(statement: str, may_contain: str, law: LawInForce) -> None:
    if statement or may_contain:
        say("We read:")
        say(read_as_text(_reading(statement, may_contain, law), read_statement(statement), law))
    if not statement:
        say("Without the list of ingredients every allergen of it stays unconfirmed.")


def _place(name: str, order: _Order, given: Collection[str]) -> tuple[str, bool] | Refusal:
    """Return the file the entry goes into and whether it takes another's place, or why it cannot be written."""
    files = read_files(order.into)
    standing = standing_entry(files, name)
    if standing is not None:
        where = f"{standing.path}:{standing.line}"
        if standing.kind != "ingredient":
            return Refusal(
                "name",
                f"'{name}' is a {standing.kind} of this book ({where}).",
                "Give the bought-in one another name.",
            )
        if not order.replace:
            mend = "Add --replace to put this in its place, or give another name."
            return Refusal("name", f"'{name}' stands already in {where}.", mend)
        if lost := would_be_lost(standing, given):
            shown = ", ".join(f"'{key}'" for key in lost)
            return Refusal(
                "name",
                f"'{name}' in {where} has {shown}, which is not given here and would be lost.",
                "Give it from the pack ('--may-contain none' where it says so), or change that entry by hand.",
            )
        return standing.path, True
    owner = next((own for also, own in _other_names(order) if name_key(also) == name_key(name)), None)
    if owner is not None:
        return Refusal("name", f"'{name}' is another name of '{owner}' in this book.", "Give it another name.")
    return PACKS_FILE, False


def _new_text(path: str, name: str, entry: str, order: _Order, *, takes_place: bool) -> str | Refusal:
    target = order.into / path
    try:
        before = target.read_text(encoding="utf-8-sig") if target.exists() else ""
    except (OSError, UnicodeDecodeError):
        return Refusal("name", f"'{path}' cannot be read as UTF-8 text.", "Mend it, or move it away.")
    text, faults = put_entry(before, path, name, entry, replace=takes_place)
    if text is None:
        why = f" {faults[0].problem}" if faults else ""
        return Refusal(
            "name", f"'{path}' cannot be changed as it stands.{why}", "Mend it, or write the entry by hand."
        )
    return text


def _other_names(order: _Order) -> list[tuple[str, str]]:
    book, _ = read_book(read_files(order.into), jurisdictions=known_jurisdictions(), row_exists=lambda _: True)
    if book is None:
        return []
    return [(also, one.name) for one in book.ingredients.values() if not one.from_shelf for also in one.also]


def wanted(from_pack_asked: bool, into: Path | None) -> Path:
    """Return the book to write into, or end with wrong usage where the call does not say what to do."""
    if not from_pack_asked:
        raise refuse_usage("Say where the ingredient comes from: --from-pack.")
    if into is None:
        raise refuse_usage("--into: say which book it goes into, the folder of a kitchen book.")
    return into
