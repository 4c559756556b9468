"""What one portion of a panel is: the portion of a dish, a piece of a batch, or what the user wrote."""

import re
from decimal import ROUND_HALF_UP, Decimal

from labeller.declarations.declaring import Declaration, Declarer
from labeller.declarations.panel_content import PanelRefusedError, Serving
from labeller.declarations.paper_use_by import given_of
from labeller.declarations.pouring import pours
from labeller.declarations.rounding import as_compared
from labeller.foundations.plain import dataclass
from labeller.foundations.units import MASS_G

_SIZE = re.compile(r"(?P<amount>\d+(?:[.,]\d+)?)\s*(?P<unit>g|kg|ml|l)", re.ASCII | re.IGNORECASE)
_WRITTEN = re.compile(rf"\s*(?P<words>.*?)\s*\(\s*{_SIZE.pattern}\s*\)\s*", re.ASCII | re.IGNORECASE)
_EXAMPLE = "Write a household measure and a weight, such as \"2 pieces (60 g)\", or a weight alone, such as '60 g'."


@dataclass(frozen=True, slots=True)
class AskedServing:
    """A serving as a user wrote it: words of it in each language, and a weight or a volume. [g, ml]"""

    measures: tuple[str, ...]
    grams: float | None
    millilitres: float | None
    size: str


def parse_serving(text: str) -> AskedServing:
    """Return what ``--serving`` means: ``2 pieces (60 g)``, ``2 pieces / 2 morceaux (60 g)``, ``60 g``, ``1 glass (150 ml)``.

    Raises
    ------
    PanelRefusedError
        If it has no weight or volume above 0.
    """
    found = _WRITTEN.fullmatch(text)
    words = ""
    if found is not None:
        words = found["words"]
    else:
        found = _SIZE.fullmatch(text.strip())
    if found is None:
        raise PanelRefusedError(f"--serving: '{text}' has no weight to count by. {_EXAMPLE}")
    amount = float(found["amount"].replace(",", "."))
    unit = found["unit"].lower()
    if not amount > 0.0:
        raise PanelRefusedError(f"--serving: '{text}' is nothing. {_EXAMPLE}")
    measures = tuple(part.strip() for part in words.split(" / ")) if words else ()
    size = f"{found['amount'].replace(',', '.')} {unit}"
    if unit in ("ml", "l"):
        return AskedServing(measures, None, amount * (1000.0 if unit == "l" else 1.0), size)
    return AskedServing(measures, amount * MASS_G[unit], None, size)


def serving_of(
    declarer: Declarer, declaration: Declaration, asked: AskedServing | None, languages: tuple[str, ...]
) -> Serving | None:
    """Return one portion of a thing; None where nobody says how much that is.

    Raises
    ------
    PanelRefusedError
        If a volume is asked of what does not pour.
    """
    law, weight = declaration.law, declaration.weight_g
    liquid = pours(declarer.workings, declaration) and declaration.batch.volume_ml() > 0.0
    volume = declaration.batch.volume_ml() if liquid else None
    if asked is not None:
        grams = asked.grams
        if grams is None:
            if volume is None:
                raise PanelRefusedError(
                    f"--serving: '{asked.size}' is a volume, and '{declaration.name}' does not pour. Write its weight in g."
                )
            grams = (asked.millilitres or 0.0) * weight / volume
        millilitres = grams * volume / weight if volume is not None else None
        measures = asked.measures if len(asked.measures) >= len(languages) else asked.measures[:1]
        return Serving(grams, millilitres, measures, asked.size)
    key = "portion"
    grams = weight
    if declaration.kind != "dish":
        preparation, given = given_of(declarer.workings.book, declaration.name)
        pieces = given.makes or preparation.makes
        if not pieces:
            return None
        key, grams = "piece", weight / pieces
    rule = law.panel.get(key)
    measures = tuple(rule.texts.get(language, "") for language in languages) if rule is not None else ()
    millilitres = grams * volume / weight if volume is not None and weight > 0.0 else None
    size = f"{metric(millilitres)} ml" if millilitres is not None else f"{metric(grams)} g"
    return Serving(grams, millilitres, measures, size)


def metric(amount: float) -> str:
    """Return a weight or volume as a panel prints it: whole from 10 on, below that to a tenth.

    Notes
    -----
    Food and Drug Regulations (Canada), B.01.401, item 1, which a page restates; taken for every law, since none asks for more.
    """
    step = Decimal(1) if as_compared(amount) >= 10 else Decimal("0.1")
    text = format(as_compared(amount).quantize(step, ROUND_HALF_UP), "f")
    return text.removesuffix(".0")
