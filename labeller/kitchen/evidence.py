"""What is known of the allergens and the alcohol in every ingredient, from its spec, the shelf or its row."""

import re
from typing import Final

from labeller.allergens.evidence import Evidence, Finding
from labeller.allergens.profiles import profile_of
from labeller.allergens.reader import read_statement
from labeller.allergens.specifications import evidence_from_spec, points_elsewhere
from labeller.allergens.vocabulary import load_vocabulary
from labeller.book.entries import Ingredient
from labeller.book.fields import Notes
from labeller.foundations.faults import Fault, Origin
from labeller.foundations.names import capitalised, fold_text
from labeller.foundations.plain import dataclass
from labeller.kitchen.larder import Larder

ALCOHOL, ALCOHOL_TRACE = "alcohol", "alcohol trace"
_GIVE_STRENGTH = "write its strength from the pack, such as 'strength: 5 % vol', or 'strength: 0 % vol' where the supplier says it has none"


@dataclass(frozen=True, slots=True)
class Known:
    """Evidence about one ingredient, with what it says of alcohol.

    ``alcohol`` is a status; ``alcohol_words`` the words or ground it rests on; ``trace`` the word of a ferment that may hold a trace,
    which is named and not summed. ``mend`` says how to settle what is unconfirmed.
    """

    evidence: Evidence
    alcohol: str
    alcohol_words: str = ""
    trace: str = ""
    sulphited: bool = False
    mend: str = ""


def evidence_of_all(larder: Larder, notes: Notes) -> tuple[Known, ...]:
    """Return the evidence of every ingredient, in the order of their ids."""
    return tuple(_known(entry, larder, place, notes) for place, entry in enumerate(larder.entries))


def _known(entry: Ingredient, larder: Larder, place: int, notes: Notes) -> Known:
    evidence = _evidence(entry, notes)
    findings = {finding.source for finding in evidence.contains}
    has_row = larder.rows[place] is not None
    statement = entry.spec.statement if entry.spec is not None else None
    whole = statement is not None and not points_elsewhere(statement)
    trace = next((finding.words or entry.name for finding in evidence.contains if finding.source == ALCOHOL_TRACE), "")
    if larder.ethanol_bearing[place]:
        strength = f"{entry.strength_percent_vol:g} % vol" if entry.strength_percent_vol else "by its row"
        alcohol, words = "contains", strength
    elif ALCOHOL in findings:
        alcohol = "contains"
        words = next(finding.words for finding in evidence.contains if finding.source == ALCOHOL)
    elif _called_a_drink(entry):
        alcohol, words = "unconfirmed", ""
    elif whole or ((has_row or entry.shelf_allergens is not None) and not guessed(entry)):
        alcohol, words = "none declared", ""
    else:
        alcohol, words = "unconfirmed", ""
    if alcohol != "none declared" and entry.strength_percent_vol is None and not larder.ethanol_bearing[place]:
        _advise_strength(entry, words or _called_a_drink(entry), notes)
    plain = Evidence(
        tuple(finding for finding in evidence.contains if finding.source not in (ALCOHOL, ALCOHOL_TRACE)),
        tuple(finding for finding in evidence.may_contain if finding.source not in (ALCOHOL, ALCOHOL_TRACE)),
        evidence.unconfirmed,
        evidence.ground,
        evidence.doubts,
        evidence.open_derivations,
    )
    mend = _mend(entry, plain)
    if alcohol == "unconfirmed" and not plain.unconfirmed and _called_a_drink(entry):
        mend = _GIVE_STRENGTH
    return Known(plain, alcohol, words, trace, "sulphite" in findings or bool(entry.sulphites_mg_per_kg), mend)


_NOBODY_LOOKED: Final = re.compile(
    r"\b(?:machine|auto\w*|computer|software|nobody|unconfirmed|not (?:yet )?confirmed|to be confirmed|tbc)\b"
)


def _called_a_drink(entry: Ingredient) -> str:
    """Return the words of a book's own name that call it a drink, where nothing says how strong it is; else nothing.

    Water, malt, hops and yeast are the whole list of an ale, and no list names the alcohol that fermenting made: Regulation (EU) No 1169/2011,
    Article 16(4), asks no list of drinks above 1.2 % vol at all. So a list without alcohol never shows that a drink has none.
    """
    if entry.from_shelf or entry.strength_percent_vol is not None:
        return ""
    return next((words for name in (entry.name, *entry.also) for words in read_statement(name).alcohol), "")


def _advise_strength(entry: Ingredient, words: str, notes: Notes) -> None:
    if words:
        notes.advice.append(
            Fault(
                entry.origin,
                "strength",
                f"'{words}' of '{entry.name}' is alcohol, and nothing says how strong '{entry.name}' is: its alcohol is not known.",
                f"{capitalised(_GIVE_STRENGTH)}.",
            )
        )


def guessed(entry: Ingredient) -> bool:
    """Tell whether a machine chose the row or the good of the shelf and no person has looked: it may show what is in it, never what is not."""
    said = fold_text(entry.matched)
    # "by machine", "auto" and "not confirmed" name nobody who looked, nor does a question mark.
    return bool(said) and (_NOBODY_LOOKED.search(said) is not None or not any(sign.isalnum() for sign in said))


def _mend(entry: Ingredient, evidence: Evidence) -> str:
    if guessed(entry) and (entry.spec is None or (entry.spec.statement is None and entry.spec.declares is None)):
        return (
            "compare the row with the pack and take 'matched' out or write who looked, or add the supplier's statement"
        )
    if evidence.doubts:
        return f"ask the supplier what is behind {', '.join(repr(word) for word in evidence.doubts)}"
    spec = entry.spec
    if spec is not None and spec.declares is not None and spec.statement is None:
        return "add the supplier's whole statement, or 'covers: all' if the list is complete"
    return "add the supplier's statement"


def _evidence(entry: Ingredient, notes: Notes) -> Evidence:
    """Take the strongest evidence there is: the spec; then the shelf or the row of a single commodity; otherwise nothing."""
    vocabulary = load_vocabulary()
    base = _base(entry)
    spec = entry.spec
    if spec is None or (
        spec.statement is None and spec.declares is None and spec.may_contain is None and not spec.covers_all
    ):
        return base
    read, problems = evidence_from_spec(spec.statement, spec.declares, spec.covers_all, spec.may_contain)
    for field, problem, mend in problems:
        notes.faults.append(Fault(_line_of(spec.origin), f"spec.{field}", problem, mend))
    dated = f", {spec.dated.isoformat()}" if spec.dated else ""
    paper = f"the specification of {spec.supplier or 'the supplier'}{f' ({spec.reference})' if spec.reference else ''}{dated}"
    if spec.statement is None and spec.declares is None and not spec.covers_all:
        # Only a 'may contain': what is in it follows from what it is.
        return Evidence(
            base.contains, read.may_contain, base.unconfirmed, f"{base.ground}; may contain by {paper}", base.doubts
        )
    reading = read_statement(spec.statement) if spec.statement is not None else None
    unread = reading.not_understood if reading is not None else ()
    if reading is not None and not reading.names_food:
        notes.advice.append(
            Fault(
                spec.origin,
                "spec.statement",
                f"'{' '.join(reading.statement.split())[:80]}' of '{entry.name}' names no food this tool knows, so every allergen of it stays not known.",
                "Copy the list of ingredients from the pack; of one plain thing write in its place what the supplier declares: "
                "'declares: none' and 'covers: all'.",
            )
        )
    elif unread:
        notes.advice.append(
            Fault(
                spec.origin,
                "spec.statement",
                f"the reader does not know {', '.join(repr(word) for word in unread[:8])} of '{entry.name}'; these words change nothing.",
                "Look at them: a misspelt allergen, write right; anything else may stand.",
            )
        )
    # By source and derivation: an exempt glucose syrup of wheat never hides the wheat flour beside it.
    contains = {(finding.source, finding.derivation): finding for finding in read.contains}
    if spec.statement is None and read.unconfirmed:
        for finding in base.contains:  # a list that is not whole cannot take back what the thing itself is made of
            contains.setdefault((finding.source, finding.derivation), finding)
    settled = {source for source, derivation in contains if not derivation}
    unconfirmed = (read.unconfirmed & vocabulary.law_sources) - settled
    return Evidence(tuple(contains.values()), read.may_contain, unconfirmed, paper, read.doubts, read.open_derivations)


def _line_of(origin: Origin) -> Origin:
    return origin


def _base(entry: Ingredient) -> Evidence:
    """Return what follows from what a thing is: the shelf's word, or the profile of its row."""
    base = _of_shelf_or_row(entry)
    if not guessed(entry):
        return base
    held = frozenset(finding.source for finding in base.contains if not finding.derivation)
    ground = f"{base.ground}; chosen by a machine, confirmed by nobody"
    return Evidence(base.contains, base.may_contain, load_vocabulary().law_sources - held, ground, base.doubts)


def _of_shelf_or_row(entry: Ingredient) -> Evidence:
    everything = load_vocabulary().law_sources
    if entry.shelf_allergens is not None:
        contains = tuple(Finding(source, derivation, entry.name) for source, derivation in entry.shelf_allergens)
        return Evidence(contains, (), frozenset(entry.shelf_unconfirmed), f"the shelf: {entry.ground}")
    profile = profile_of(entry.composition) if entry.composition else None
    if profile is None:
        return Evidence((), (), everything, "no specification and no row of a single commodity")
    held = frozenset(finding.source for finding in profile.contains if not finding.derivation)
    unconfirmed = (
        frozenset()
        if profile.complete
        else (profile.unconfirmed if profile.unconfirmed is not None else everything - held)
    )
    return Evidence(profile.contains, (), unconfirmed, f"reference row {entry.composition}: {profile.ground}")
