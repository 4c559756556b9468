"""Properties of papers over generated dishes: no word of the declaration is lost, and none is promised that cannot be kept."""

import tempfile
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from labeller.cli.opening import Opened, open_book
from labeller.declarations.allergen_rows import CONTAINS, MAY_CONTAIN
from labeller.declarations.paper_allergens import AllergenLines, allergen_cells, guest_allergens, staff_allergens
from labeller.declarations.paper_names import group_word, is_general, needs_asking, source_word
from labeller.declarations.paper_of_dish import DishWords, dish_words
from labeller.declarations.paper_of_tub import tub_words
from labeller.declarations.paper_sale import sale_particulars
from labeller.declarations.paper_unvouched import unvouched
from labeller.jurisdictions.packs import known_jurisdictions
from tests.kitchens import HEAD

pytestmark = pytest.mark.property

DAY = date(2026, 11, 25)
# The contract of the book, section 3: what no paper says.
NEVER = ("free from", "trace", "✓", "✔", "cooks off", "is safe")
LONG = "l" + "o" * 190 + "ng name"
STORE = {
    "house cream": 'composition: sr28:01053\n  spec: {statement: "Cream (MILK)"}',
    "goat curd": 'spec: {statement: "GOAT\'S MILK, salt"}',
    "paste": "",
    "biscuit": "composition: sr28:18159",
    "stock": "spec: {declares: [celery]}",
    "half known nuts": "spec: {declares: [hazelnut]}",
    "mixed nuts": 'spec: {statement: "NUTS"}',
    "sea mix": 'spec: {statement: "PRAWNS, MUSSELS, COD, SQUID", may_contain: "lobster, salmon"}',
    "bread": 'spec: {statement: "WHEAT flour, RYE flour, SOYA flour, LUPIN flour, SESAME", may_contain: "nuts, milk, egg, barley"}',
    "dark drops": 'spec: {statement: "Sugar, cocoa", may_contain: [almonds, milk, peanut]}',
    "house spirit": "composition: sr28:14037\n  strength: 40 % vol",
    "rum essence": 'spec: {statement: "Water, rum"}',
    "vinegar": 'spec: {statement: "Wine vinegar, sulphites, mustard"}',
    "egg yolks": "composition: sr28:01125",
    LONG: 'spec: {statement: "Water, EGG"}',
}
NAMES = sorted(STORE)
LIMITS = settings(
    max_examples=40,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
plates = st.lists(st.tuples(st.sampled_from(NAMES), st.integers(1, 300)), min_size=1, max_size=6)
laws = st.sampled_from(known_jurisdictions())


def opened(lines: list[tuple[str, int]], law: str, churned: str) -> Opened:
    """Open a book with one dish, one preparation of the same things, and one more on the same churn."""
    listed = "".join(f"    - {grams} g {name}\n" for name, grams in lines)
    text = HEAD.format(law=law) + "  shared_equipment: [churn]\n"
    text += "".join(f"- ingredient: {name}\n" + (f"  {more}\n" if more else "") for name, more in STORE.items())
    text += f"- dish: plate\n  suitable_for: [vegetarian, vegan]\n  plate:\n{listed}    - 10 g mix\n"
    text += f"- preparation: mix\n  keeps: 3 days chilled\n  made_on: [churn]\n  takes:\n{listed}"
    text += f"- preparation: other\n  made_on: [churn]\n  takes:\n    - 10 g {churned}\n"
    with tempfile.TemporaryDirectory() as place:
        Path(place, "book.yaml").write_text(text, encoding="utf-8")
        return open_book(Path(place), None, DAY)


def said(words: DishWords) -> str:
    """Return everything a card prints of a dish."""
    parts = (
        words.allergens.as_text(),
        words.alcohol.short.text,
        words.alcohol.caution,
        words.claims.line,
        words.energy.line,
    )
    return " ".join((*parts, words.caution))


def assert_spans_are_words(lines: AllergenLines) -> None:
    for one in lines.lines():
        for start, end in one.spans:
            assert 0 <= start < end <= len(one.text)
            assert one.text[start - 1] == " "
            assert one.text[start:end].strip() == one.text[start:end]


@LIMITS
@given(lines=plates, law=laws, churned=st.sampled_from(NAMES))
def test_no_word_of_a_declaration_is_lost(lines: list[tuple[str, int]], law: str, churned: str) -> None:
    found = opened(lines, law, churned)
    declaration = found.declarer.dish("plate")
    for paper in (guest_allergens(declaration), staff_allergens(declaration)):
        contains, may, asked = paper.contains.text, paper.may_contain.text, paper.ask_about.text
        for row in declaration.allergens:
            word = group_word(declaration.law, row.group)
            if row.status == CONTAINS:
                assert word in contains
            fine = [source for source in row.sources if not is_general(source)]
            for source in fine:
                if row.status == CONTAINS and source not in (row.group.name, row.group.name.removesuffix("s")):
                    assert source_word(source, declaration.law) in contains or source == "sulphite"
            held = set(row.sources) if row.status == CONTAINS else set()
            for one in row.may_contain:
                for source in set(one.sources) - held:
                    assert word in may
                    if not is_general(source) and source not in ("sulphite", row.group.name):
                        assert source_word(source, declaration.law) in may
            if row.status == MAY_CONTAIN:
                assert word in may
            if row.unconfirmed and row.status != CONTAINS:
                assert word in asked
        assert_spans_are_words(paper)
        assert paper.lines()


@LIMITS
@given(lines=plates, law=laws, churned=st.sampled_from(NAMES))
def test_papers_never_promise(lines: list[tuple[str, int]], law: str, churned: str) -> None:
    found = opened(lines, law, churned)
    words = dish_words(found.declarer, "plate")
    tub = tub_words(found.declarer, "given", "mix", DAY)
    sale = sale_particulars(found.declarer, tub.declaration, made=DAY, net_g=100.0)
    texts = [said(words), tub.allergens.as_text(), tub.alcohol.short.text, tub.caution, tub.storage]
    texts += [one.text.text for one in sale.particulars]
    for text in texts:
        for never in NEVER:
            assert never not in text.casefold()


@LIMITS
@given(lines=plates, law=laws, churned=st.sampled_from(NAMES))
def test_what_is_asked_about_is_what_cannot_be_vouched_for(
    lines: list[tuple[str, int]], law: str, churned: str
) -> None:
    """A paper that had to ask is listed, and nothing else is: the command ends with 3 exactly then."""
    found = opened(lines, law, churned)
    words = dish_words(found.declarer, "plate")
    asks = "Please ask us about" in f"{words.allergens.as_text()} {words.alcohol.short.text}"
    assert asks is bool(words.unvouched)
    rows = {row.group.name for row in words.declaration.allergens if needs_asking(row)}
    groups = {one.group for one in words.unvouched}
    assert groups - {"alcohol"} == rows
    assert ("alcohol" in groups) is bool(words.declaration.alcohol.unconfirmed)
    assert all(one.mend and one.ingredient for one in unvouched([words.declaration]))


@LIMITS
@given(lines=plates, churned=st.sampled_from(NAMES))
def test_every_drink_is_named_however_little_is_left(lines: list[tuple[str, int]], churned: str) -> None:
    found = opened(lines, "gb", churned)
    words = dish_words(found.declarer, "plate")
    for source in words.declaration.alcohol.because:
        assert source.path[-1] in words.alcohol.short.text
    assert bool(words.alcohol.caution) is (words.alcohol.status == CONTAINS or bool(words.alcohol.ingredients))


@LIMITS
@given(lines=plates, churned=st.sampled_from(NAMES))
def test_a_claim_is_printed_only_where_everything_is_known(lines: list[tuple[str, int]], churned: str) -> None:
    found = opened(lines, "gb", churned)
    words = dish_words(found.declarer, "plate")
    names = {name for name, _ in lines}
    if names & {"paste", "sea mix", "stock", "half known nuts"}:
        assert words.claims.supported == ()
    if names & {"house cream", "goat curd", "egg yolks", LONG}:
        assert "vegan" not in words.claims.supported
    assert len(words.claims.supported) + len(words.claims.refused) == 2


@LIMITS
@given(lines=plates, law=laws, churned=st.sampled_from(NAMES))
def test_a_sheet_has_a_cell_for_every_group_with_words_for_its_state(
    lines: list[tuple[str, int]], law: str, churned: str
) -> None:
    declaration = opened(lines, law, churned).declarer.dish("plate")
    cells = allergen_cells(declaration)
    assert [cell.group for cell in cells] == [row.group.name for row in declaration.allergens]
    for cell, row in zip(cells, declaration.allergens, strict=True):
        assert cell.status == row.status
        assert cell.head
        assert bool(cell.also_not_known) is (needs_asking(row) and row.status in (CONTAINS, MAY_CONTAIN))
        if row.status == "unconfirmed":
            assert all(path[-1] in cell.detail for path in row.unconfirmed)
