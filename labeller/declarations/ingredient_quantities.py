"""The share of an ingredient that the name of the food speaks of, where the law asks for it."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from labeller.declarations.declaring import Declaration
from labeller.declarations.label_tree import LabelPart
from labeller.declarations.rounding import as_compared, over_limit
from labeller.foundations.names import fold_text, name_key, stem_word
from labeller.jurisdictions.terms import Citation


@dataclass(frozen=True, slots=True)
class IngredientQuantity:
    """The quantity of one ingredient.

    ``percent`` is unrounded [%]; ``printed`` is what stands on the label, a percentage or the law's words where the food lost so much
    moisture that it goes beyond 100 %; ``of`` says over which weight it was taken.
    """

    ingredient: str
    percent: float
    printed: str
    of: str
    clause: Citation


def ingredient_quantities(declaration: Declaration, parts: Sequence[LabelPart]) -> tuple[IngredientQuantity, ...]:
    """Return the quantities that the name of the food calls for; none where the law sets no duty.

    Parameters
    ----------
    declaration : Declaration
        Its name is the name of the food.
    parts : sequence of LabelPart
        Its tree of ingredients.

    Notes
    -----
    An ingredient is in the name if all of its own name is, or the noun that ends it (dark *chocolate* in chocolate tart). Ingoing
    weight over that of all ingredients; where the food lost weight and the law says so, over the finished food (Regulation (EU) No
    1169/2011, Annex VIII, 3 and 4(a)). No step is set for the figure: whole per cents from 5 on, below that to 0.1, is our choice.
    """
    law = declaration.law
    rule = law.lists.get("quantity")
    if rule is None or not rule.phrase:
        return ()
    put_in_g = sum(sum(part.amounts.values()) for part in parts)
    if put_in_g <= 0.0:
        return ()
    loss = law.lists.get("quantity after loss")
    lost = loss is not None and as_compared(declaration.weight_g) < as_compared(put_in_g)
    whole_g = declaration.weight_g if lost else put_in_g
    found: list[IngredientQuantity] = []
    for name, grams in _in_the_name(declaration.name, parts).items():
        if grams >= put_in_g:  # the food is this and nothing else
            continue
        percent = grams / whole_g * 100.0
        printed = rule.phrase["en"].replace("{percent}", rounded_percent(percent))
        clause = rule.clause
        if lost and loss is not None:
            clause = loss.clause
            if over_limit(percent, loss.percent or 100.0, limit_counts=loss.counts):
                printed = loss.phrase["en"].replace("{grams}", rounded_percent(percent))
        of = "the finished food" if lost else "all ingredients as put in"
        found.append(IngredientQuantity(name, percent, printed, of, clause))
    return tuple(found)


def rounded_percent(percent: float) -> str:
    """Return a share for print: whole from 5 on, below that to a tenth."""
    seen = as_compared(percent)
    step = Decimal(1) if seen >= 5 else Decimal("0.1")
    text = format(seen.quantize(step, rounding=ROUND_HALF_UP), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def _in_the_name(name: str, parts: Sequence[LabelPart]) -> dict[str, float]:
    """Return the ingredients and compounds the name speaks of, with their grams at the time of use; whole names go first."""
    words = [stem_word(word) for word in fold_text(name).replace(",", " ").split()]
    runs = {"".join(words[start:end]) for start in range(len(words)) for end in range(start + 1, len(words) + 1)}
    everything = [part for top in parts for part in top.all_parts()]
    grams: dict[str, float] = {}
    for part in everything:
        # A compound by its own weight when it is used, a bought-in ingredient by what was put in, wherever that was.
        weight_g = part.weight_g if part.place is None else sum(part.amounts.values())
        grams[part.name] = grams.get(part.name, 0.0) + weight_g
    whole = {one: weight for one, weight in grams.items() if name_key(one) in runs and name_key(one) != "".join(words)}
    taken = {word for one in whole for word in _stems(one)}
    ending = {
        part.name: grams[part.name]
        for part in everything
        if part.name not in whole and (stems := _stems(part.name)) and stems[-1] in words and stems[-1] not in taken
    }
    return {**whole, **ending}


def _stems(name: str) -> list[str]:
    return [stem_word(word) for word in fold_text(name).replace(",", " ").split()]
