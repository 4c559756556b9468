"""The words that papers print beside the declaration itself, so that a paper is printed again only where something on it changes."""

from datetime import date

from labeller.declarations.declaring import Declaration, Declarer
from labeller.declarations.paper_alcohol import AlcoholLines, guest_alcohol, staff_alcohol
from labeller.declarations.paper_allergens import guest_allergens, staff_allergens
from labeller.declarations.paper_claims import claims_of
from labeller.declarations.paper_instead import instead_of
from labeller.declarations.paper_opened import opened_good
from labeller.declarations.paper_use_by import ThingKind, use_by
from labeller.jurisdictions.faults_of_law import NoSuchSubjectError, NotInForceError

CHOICES = "can be left off or swapped"
INSTEAD = "what another thing on the plate brings"
CLAIMS = "suitable for"
ON_CARD = ("allergens on the card", "alcohol on the card")
ON_TUB = ("allergens on the container label", "alcohol on the container label")
_ANY_DAY = date(
    2001, 1, 1
)  # how long a thing keeps is told in days, which are the same from whatever day they are counted
_NO_RULE = (
    NotInForceError,
    NoSuchSubjectError,
)  # a law of long ago without a rule for a paper: nothing was printed by it


def words_of_dish(declarer: Declarer, declaration: Declaration) -> dict[str, str]:
    """Return what cards, menu notes and sale labels print of a dish beside its declaration, by what it is."""
    dish = declarer.workings.book.dishes[declaration.name]
    words = {
        "description": dish.description,
        "course": dish.course,
        "keeps": _life(declarer, "dish", dish.name),
        "reheat": dish.reheat,
        CHOICES: _choices(declarer, dish.name),
    }
    try:
        words[CLAIMS] = ", ".join(claims_of(declarer, dish.name).supported)
        lines = (guest_allergens(declaration).as_text(), _alcohol(guest_alcohol(declarer, declaration)))
        words |= dict(zip(ON_CARD, lines, strict=True))
        words[INSTEAD] = " ".join(text.text for text, _ in instead_of(declarer, declaration))
    except _NO_RULE:
        pass
    return words


def _choices(declarer: Declarer, dish: str) -> str:
    """Say what can be left off or swapped, as the cook wrote it."""
    lines = declarer.workings.plates[dish].lines
    return "; ".join(one.line.text for one in lines if one.line.optional or one.line.swaps)


def words_of_given(declarer: Declarer, declaration: Declaration) -> dict[str, str]:
    """Return what a container label prints of a thing made in house beside its declaration."""
    target = next(
        (
            preparation
            for preparation in declarer.workings.book.preparations.values()
            if declaration.name in (preparation.name, *(one.name for one in preparation.gives))
        ),
        None,
    )
    words = {"keeps": _life(declarer, "given", declaration.name)}
    if target is not None:
        words |= {"storage": target.storage, "reheat": target.reheat}
    return words | _tub(declarer, declaration)


def words_of_opened(declarer: Declarer, ingredient: str) -> dict[str, str]:
    """Return what the label on an opened container of a bought-in good prints."""
    return {
        "keeps": _life(declarer, "ingredient", ingredient),
        **_tub(declarer, opened_good(declarer, ingredient)),
    }


def _tub(declarer: Declarer, declaration: Declaration) -> dict[str, str]:
    try:
        lines = (staff_allergens(declaration).as_text(), _alcohol(staff_alcohol(declarer, declaration)))
    except _NO_RULE:
        return {}
    return dict(zip(ON_TUB, lines, strict=True))


def _alcohol(lines: AlcoholLines) -> str:
    return " ".join(one for one in (lines.short.text, lines.statement, lines.caution) if one)


def _life(declarer: Declarer, kind: ThingKind, name: str) -> str:
    try:
        life = use_by(declarer.workings.book, declarer.law, kind, name, _ANY_DAY)
    except _NO_RULE:
        return ""
    own = life.own.text if life.own is not None else ""
    limit = life.limited_by
    if limit is None:
        return own
    days = (limit.until - _ANY_DAY).days
    return f"{own or 'no time of its own'}, and no longer than {limit.part}: {days} days"
