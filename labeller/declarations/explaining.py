"""Where a figure or a finding comes from: a tree from the plate to the row of the table, the specification and the clause."""

from dataclasses import dataclass
from typing import Literal

from labeller.allergens.vocabulary import load_vocabulary
from labeller.declarations.alcohol_facts import AlcoholFacts, alcohol_facts, every_law_on
from labeller.declarations.declaring import Declaration, Declarer
from labeller.declarations.explaining_alcohol import alcohol_of_preparation, alcohol_story
from labeller.declarations.explaining_allergens import explain_group, explain_source
from labeller.declarations.explaining_nutrients import explain_nutrient
from labeller.declarations.explaining_weight import made_of_given, weight_of_dish, weight_of_preparation
from labeller.declarations.figure_words import ALCOHOL_WORDS, PLAIN_WORDS, WEIGHT_WORDS, figure_key, figures_by_word
from labeller.declarations.reasons import Reason
from labeller.foundations.names import name_key, nearest_names
from labeller.kitchen.making import Made

FigureKind = Literal["alcohol", "weight", "nutrient", "group", "source"]
ThingKind = Literal["dish", "given", "preparation"]


class UnknownFigureError(LookupError):
    """A figure that cannot be asked about; ``nearest`` are the words most like it, ``known`` all that can be asked."""

    def __init__(self, figure: str, nearest: list[str], known: tuple[str, ...]) -> None:
        meant = f"Did you mean {' or '.join(repr(one) for one in nearest)}? " if nearest else ""
        super().__init__(f"'{figure}' is nothing that can be explained. {meant}You can ask about: {', '.join(known)}.")
        self.figure, self.nearest, self.known = figure, nearest, known


@dataclass(frozen=True, slots=True)
class AskedFigure:
    """What a word asks about: its kind, and the key by which it is known."""

    kind: FigureKind
    key: str


@dataclass(frozen=True, slots=True)
class Explanation:
    """An explanation of one figure of one thing under one law."""

    name: str
    thing: ThingKind
    figure: AskedFigure
    jurisdiction: str
    on: str
    reason: Reason
    facts: AlcoholFacts | None = None


def askable(declarer: Declarer) -> tuple[str, ...]:
    """Return every word that can be asked about under this law: alcohol, weight, figures, groups."""
    figures = [key.rsplit("_", 1)[0].replace("_", " ") for key in declarer.definitions.keys if key != "alcohol_g"]
    groups = [group.name for group in declarer.law.groups]
    return tuple(dict.fromkeys(("alcohol", "weight", *figures, *groups, "or one source, such as hazelnut or cod")))


def asked_figure(declarer: Declarer, figure: str) -> AskedFigure:
    """Return what a word asks about.

    Raises
    ------
    UnknownFigureError
        Where it names no figure, group or source; a misspelling is never taken.
    """
    wanted = figure_key(figure)
    if not wanted:
        raise UnknownFigureError(figure, [], askable(declarer))
    if any(figure_key(word) == wanted for word in ALCOHOL_WORDS):
        return AskedFigure("alcohol", "alcohol")
    if any(figure_key(word) == wanted for word in WEIGHT_WORDS):
        return AskedFigure("weight", "weight")
    for group in declarer.law.groups:
        if name_key(group.name) == wanted:
            return AskedFigure("group", group.name)
    words = figures_by_word(declarer.law, declarer.definitions.keys)
    if wanted in words:
        return AskedFigure("nutrient", words[wanted])
    vocabulary = load_vocabulary()
    named = vocabulary.sources_named(figure)
    if named:
        groups = {
            group.name
            for source in named
            for group in declarer.law.groups
            if group.includes(source, vocabulary.sources.get(source, source))
        }
        if len(groups) == 1:
            only = declarer.law.group(next(iter(groups)))
            whole = {one for one, kind in vocabulary.sources.items() if only is not None and only.includes(one, kind)}
            if whole == set(named):  # 'sulfites' names the one source of its group
                return AskedFigure("group", groups.pop())
        # 'dairy' and 'tree nuts' mean a whole group; 'hazelnut' one source.
        if len(named) > 1 and len(groups) == 1:
            return AskedFigure("group", groups.pop())
        if len(named) == 1:
            return AskedFigure("source", named[0])
    for source in vocabulary.sources:
        if name_key(source) == wanted:
            return AskedFigure("source", source)
    known = askable(declarer)
    near = nearest_names(figure, [*known[:-1], *PLAIN_WORDS, *vocabulary.sources])
    raise UnknownFigureError(figure, near, known)


def explain(declarer: Declarer, thing: ThingKind, name: str, figure: str) -> Explanation:
    """Explain one figure of a dish (one portion), of one thing that is given (the batch), or of a whole preparation.

    Parameters
    ----------
    thing : str
        'dish', 'given', or 'preparation' for one that gives several things; of the last only alcohol and weight are told.
    name : str
        Name of a plate, of a given thing, or of a preparation, exactly as the book has it.
    figure : str
        'alcohol', 'weight', a figure such as 'fat', a group such as 'milk', a source such as 'hazelnut'.

    Raises
    ------
    UnknownFigureError
        Where the word names nothing that can be explained.
    KeyError
        Where nothing of that name was made.
    """
    asked = asked_figure(declarer, figure)
    law, workings = declarer.law, declarer.workings
    if thing == "preparation":
        made = workings.made[name]
        if asked.kind not in ("alcohol", "weight"):
            raise UnknownFigureError(figure, [], tuple(f"'{figure}' of '{given}'" for given in made.given))
        reason = (
            alcohol_of_preparation(workings, made)
            if asked.kind == "alcohol"
            else weight_of_preparation(workings, made)
        )
        return Explanation(name, thing, asked, law.code, law.day.isoformat(), reason)
    declaration = declarer.dish(name) if thing == "dish" else declarer.given(name)
    facts: AlcoholFacts | None = None
    if asked.kind == "alcohol":
        facts = alcohol_facts(declaration.batch, workings.larder.liquid, every_law_on(law.day, law))
        reason = alcohol_story(workings, declaration, facts)
    elif asked.kind == "weight":
        reason = _weight(declarer, declaration)
    elif asked.kind == "nutrient":
        reason = explain_nutrient(declarer, declaration, asked.key)
    elif asked.kind == "group":
        row = declaration.row(asked.key)
        if row is None:
            raise KeyError(asked.key)
        reason = explain_group(declarer, declaration, row)
    else:
        reason = explain_source(declarer, declaration, asked.key)
    return Explanation(name, thing, asked, law.code, law.day.isoformat(), reason, facts)


def _weight(declarer: Declarer, declaration: Declaration) -> Reason:
    workings = declarer.workings
    if declaration.kind == "dish":
        return weight_of_dish(workings, declaration)
    made: Made | None = made_of_given(workings, declaration.name)
    if made is None:
        raise KeyError(declaration.name)
    return weight_of_preparation(workings, made)
