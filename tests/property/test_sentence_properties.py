"""Answers over random books, in every language: nothing claimed, nothing left unsaid, no word in braces left standing."""

import re
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from labeller.cli.answer_page import answer_as_text, suiting_as_text
from labeller.cli.opening import Opened, open_book
from labeller.declarations.answered import Answer
from labeller.declarations.answering_about import answer_about
from labeller.declarations.answering_without import answer_without
from labeller.declarations.speaking import SENTENCE_LANGUAGES
from tests.kitchens import Kitchen, plate
from tests.wording import DO_NOT_KNOW, GOES_BY_PAPERS, NEVER, TICKS

DAY = date(2026, 11, 25)
GOODS = {
    "plum drizzle": "spec: {statement: 'Plums, sugar'}",
    "praline": "spec: {statement: 'HAZELNUTS, sugar', may_contain: soya}",
    "cream sauce": "spec: {statement: 'Cream (MILK)', may_contain: [nuts]}",
    "mystery paste": "",
    "other paste": "",
    "listed mix": "spec: {declares: [milk]}",
    "cider syrup": "spec: {statement: 'Cider, sugar'}",
    "house gin": "composition: sr28:14037\n  strength: 40 % vol",
    "dark soy": "spec: {statement: 'Water, SOYA, WHEAT, salt, soy sauce'}",
    "set jelly": "spec: {statement: 'Water, sugar, pork gelatine'}",
    "fish paste": "spec: {statement: 'COD, PRAWNS, salt'}",
    "double cream": "composition: sr28:01053",
}
ASKED = (
    "milk", "nuts", "hazelnut", "soya", "gluten", "sulphites", "shellfish", "cod", "kiwi", "pork", "vegetarian", "vegan", "meat", "alcohol",
    "gin", "energy", "fat", "salt", "carbohydrate", "potassium",
)  # fmt: skip
AVOIDED = ("milk", "nuts", "alcohol", "pork", "shellfish", "kiwi")
LAWS = ("eu", "gb", "us")
# What stands in a sentence, by language, where something is open, may be in it, or is not in it.
OPEN = {
    "en": "Not known for",
    "fr": "Nous n'avons pas l'information pour",
    "de": "Nicht bekannt ist es bei",
    "it": "Non abbiamo l'informazione per",
    "es": "No tenemos la información de",
}
STILL_TELL = {
    "en": "Still tell the kitchen.",
    "fr": "Prévenez quand même la cuisine.",
    "de": "Sagen Sie trotzdem der Küche Bescheid.",
    "it": "Avvisate comunque la cucina.",
    "es": "Avise de todos modos a la cocina.",
}
NOT_IN_RECIPE_BUT = {
    "en": "It is not in the recipe, but",
    "fr": "Ce n'est pas dans la recette, mais",
    "de": "Es steht nicht in der Rezeptur",
    "it": "Non è nella ricetta, ma",
    "es": "No está en la receta, pero",
}
YES = {"en": "Yes", "fr": "Oui", "de": "Ja", "it": "Sì", "es": "Sí"}
NO = {"en": "No, not", "fr": "Non, pas", "de": "Nein, nicht", "it": "No, non", "es": "No, no"}
LINE = st.tuples(
    st.sampled_from(sorted(GOODS)),
    st.integers(1, 60),
    st.booleans(),
    st.none() | st.sampled_from(sorted(GOODS)),
    st.sampled_from(("", "ice", "sauce")),
)
Line = tuple[str, int, bool, str | None, str]


def _open(folder: Path, lines: list[Line], law: str) -> Opened:
    goods = "".join(f"- ingredient: {name}\n" + (f"  {body}\n" if body else "") for name, body in GOODS.items())
    made: dict[str, str] = {}
    texts = []
    for name, grams, optional, swap, inside in lines:
        own = name
        if inside:
            own = f"{name} {inside}"
            made[own] = f"- preparation: {own}\n  takes: [100 g {name}]\n  made_on: [churn]\n"
        texts.append(
            f"{grams} g {own}"
            + (f", or {grams} g {swap}" if swap and swap != own else "")
            + (", optional" if optional else "")
        )
    head = f"- kitchen: The Saltmarsh Room\n  jurisdiction: {law}\n  shared_equipment: [churn]\n"
    Kitchen(folder).write(head + goods + "".join(made.values()) + plate(*texts), law=None)
    return open_book(folder, None, DAY, json_out=False)


def _holds(found: Answer, code: str, eating: str, *, food: bool) -> None:
    """Check one sentence of one language against its status."""
    sentence = found.sentence(code).replace("\u00a0", " ")
    assert sentence.startswith(DO_NOT_KNOW[code]) == (not found.vouched)
    if food:
        for path in found.unconfirmed[:4]:  # what is open is named beside every status but none
            assert OPEN[code] in sentence
            assert path[-1] in sentence or len({one[-1] for one in found.unconfirmed}) > 4
    if found.status == "contains" and food:
        assert sentence.startswith(NO[code] if eating else YES[code])
    if found.status == "may contain":
        assert NOT_IN_RECIPE_BUT[code] in sentence
    if found.status == "none declared":
        assert not found.unconfirmed
        assert DO_NOT_KNOW[code] not in sentence
        assert STILL_TELL[code] in sentence
        assert not food or GOES_BY_PAPERS[code] in sentence
    elif food:
        assert GOES_BY_PAPERS[code] not in sentence


def _clean(page: str, code: str) -> None:
    assert not re.search(r"[{}]", page)
    assert not set(page) & set(TICKS)
    # Words of a law are cited in English in every language; they stand in the lines on thresholds alone.
    own = re.sub(r"^- (Law|Loi|Recht|Legge|Ley) \(.*?(?=^-|\Z|\n\n)", "", page, flags=re.MULTILINE | re.DOTALL)
    assert not re.search(NEVER[code], own.casefold()), own


@pytest.mark.property
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    lines=st.lists(LINE, min_size=1, max_size=6),
    asked=st.lists(st.sampled_from(ASKED), min_size=1, max_size=3, unique=True),
    avoided=st.lists(st.sampled_from(AVOIDED), min_size=1, max_size=2, unique=True),
    law=st.sampled_from(LAWS),
)
def test_every_language_says_the_status_and_claims_nothing(
    lines: list[Line], asked: list[str], avoided: list[str], law: str
) -> None:
    """The contract, section 3, in five languages: the words a sentence must have and must not have."""
    with TemporaryDirectory() as place:
        opened = _open(Path(place), lines, law)
    figures = ("energy", "fat", "salt", "carbohydrate", "potassium")
    for word in asked:
        found = answer_about(opened.declarer, "plate", word)
        for code in SENTENCE_LANGUAGES:
            _clean(answer_as_text(found, code), code)
            _holds(found, code, word if word in ("vegetarian", "vegan") else "", food=word not in figures)
            assert len(found.reasons(code)) == len(found.reasons("en"))
    suiting = answer_without(opened.declarer, avoided, ["plate"])
    for code in SENTENCE_LANGUAGES:
        page = suiting_as_text(suiting, code)
        _clean(page, code)
        assert (DO_NOT_KNOW[code] in page) == bool(suiting.of("cannot vouch"))
