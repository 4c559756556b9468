"""Cards, read back from the finished PDF: nothing lost, nothing small, nothing off the card; sizes by ISO 216, contrast by WCAG."""

import tempfile
import unicodedata
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pdfplumber
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from labeller.cli.opening import Opened, open_book
from labeller.declarations.allergen_rows import CONTAINS, MAY_CONTAIN
from labeller.declarations.marked_text import MarkedText
from labeller.declarations.paper_names import needs_asking
from labeller.declarations.paper_version import version_of
from labeller.printing.card_faces import MOST_CARDS, CardTooSmall
from labeller.printing.card_layout import CAUTION_X_HEIGHT_MM, HEAD_SPACE_MM, LEAST_NAME_X_HEIGHT_MM
from labeller.printing.card_sizes import parse_card_size, parse_paper
from labeller.printing.card_words import CardLine
from labeller.printing.cards import cards_for, sizes_that_would
from labeller.printing.house import CARD_SMALL_X_HEIGHT_MM, CARD_X_HEIGHT_MM
from labeller.printing.layout_checks import layout_problems
from labeller.printing.page import WARNINGS, Rule, TextLine
from labeller.printing.painter import paint
from labeller.printing.sheet_words import SheetWordsError
from labeller.printing.sheets import PRINTER_MARGINS
from labeller.printing.tones import contrast_ratio, grey
from tests.kitchens import HEAD, Kitchen
from tests.papers import DAY, opened
from tests.printing.cards_read import document, letters, marked, read_out, runs, squeezed, stock, text_of, written
from tests.printing.labels_read import MM
from tests.printing.reviewed_layouts import assert_as_reviewed

SIZES = ("a7", "a6", "a5", "90x60", "tent")
NEVER = ("free from", "trace", "✓", "✔", "☑")  # the contract of the book, section 3
EVERYTHING = (
    "WHEAT, RYE, BARLEY, OATS, PRAWNS, CRAB, EGG, COD, PEANUTS, SOYA, MILK, ALMONDS, HAZELNUTS, WALNUTS, CASHEWS, PECANS, BRAZIL NUTS, "
    "PISTACHIOS, MACADAMIA NUTS, CELERY, MUSTARD, SESAME, SULPHITES, LUPIN, MUSSELS, SQUID"
)
# Regulation (EU) No 1169/2011, Annex II: every group, and the cereals, nuts and species of the statement above.
ANNEX_II = (
    "gluten", "wheat", "rye", "barley", "oats", "crustaceans", "prawn", "crab", "egg", "fish", "cod", "peanut", "soya", "milk", "nuts",
    "almond", "hazelnut", "walnut", "cashew", "pecan", "Brazil nut", "pistachio", "macadamia", "celery", "mustard", "sesame", "sulphites",
    "lupin", "molluscs", "mussel", "squid",
)  # fmt: skip


def test_sizes_are_those_of_iso_216() -> None:
    """ISO 216: A5 148 x 210 mm, A6 105 x 148, A7 74 x 105; cards lie unless they are asked to stand."""
    assert [(one.width, one.height) for one in map(parse_card_size, ("a5", "A6", " a7 "))] == [
        (210.0, 148.0), (148.0, 105.0), (105.0, 74.0)
    ]  # fmt: skip
    upright = parse_card_size("a6", "portrait")
    assert (upright.width, upright.height) == (105.0, 148.0)
    assert (parse_card_size("60x90").width, parse_card_size("60x90", "Landscape").width) == (60.0, 90.0)
    tent = parse_card_size("tent")
    assert tent.folded
    assert tent.flat_height == 2 * tent.height


@pytest.mark.parametrize(("paper", "size", "many"), [
    ("a4", "a7", 8), ("a4", "a6", 4), ("a4", "a5", 2), ("a4", "tent", 2), ("letter", "a7", 6), ("letter", "a6", 2),
    ("letter", "a5", 1), ("letter", "tent", 2),
])  # fmt: skip
def test_as_many_as_fit_lie_on_a_sheet(paper: str, size: str, many: int) -> None:
    # A4 is 210 x 297 mm (ISO 216), Letter 215.9 x 279.4: 297 holds four heights of 74 or two of 148, 215.9 two widths of 105.
    grid = stock(size, paper=paper).size.grid(parse_paper(paper))
    assert grid.labels == many


@pytest.mark.parametrize(("size", "way", "words"), [
    ("a9000", None, "--size: 'a9000' is not a size. Write width x height in millimetres, such as 63.5x38.1."),
    ("big", None, "--size: 'big' is not a size of card. Write a7, a6, a5, tent, or width x height in millimetres such as 90x60."),
    ("90x20", None, "--size: '90x20' has a side below 35 mm, too small for letters that a guest can read. Write a larger card, such as 74x52."),
    ("90x0", None, "--size: '90x0' has a side of 0."),
    ("a6", "sideways", "--orientation: 'sideways' is not a way to stand. Write portrait or landscape."),
])  # fmt: skip
def test_what_is_no_size_is_refused_in_words(size: str, way: str | None, words: str) -> None:
    with pytest.raises(SheetWordsError) as refused:
        parse_card_size(size, way)
    assert str(refused.value).startswith(words)


def test_a_paper_of_another_name_is_refused() -> None:
    with pytest.raises(SheetWordsError, match=r"--paper: 'a3' is not a sheet for cards\. Write a4 or letter\."):
        parse_paper("a3")


def test_the_reviewed_card() -> None:
    """Looked at on 2026-11-25: name, rule, allergens, bar beside what is not known, cautions at the foot, date and version."""
    assert_as_reviewed("card_a6", document(stock("a6"), written()))


def test_the_reviewed_tent() -> None:
    """Looked at on 2026-11-25: the front with the name for two metres and every word below it, the back upside down, dashes at the fold."""
    assert_as_reviewed("tent", document(stock("tent"), written()))


@pytest.mark.parametrize("size", SIZES)
def test_letters_have_their_height_in_the_finished_file(size: str) -> None:
    """The house's own least heights (common practice, no source), from the outlines embedded in the file."""
    text = written(
        name="Fox and flax", description="oxtail and box", facts=(*written().facts, CardLine("may contain", MarkedText("x " * 60, ((0, 59),)), "allergens"))
    )  # fmt: skip
    pdf = paint(document(stock(size), text))
    heights = {(one["face"], round(one["x_height"], 4)) for one in letters(pdf) if one["x_height"] is not None}
    sans = [height for face, height in heights if face.startswith("FiraSans")]
    assert min(sans) >= CARD_SMALL_X_HEIGHT_MM - 0.001
    assert min(h for face, h in heights if face == "Literata-SemiBold") >= LEAST_NAME_X_HEIGHT_MM - 0.001
    assert min(h for face, h in heights if face == "FiraSans-Bold") >= CARD_X_HEIGHT_MM - 0.001
    for words, least in (("Contains(?=gluten)", CARD_X_HEIGHT_MM), ("Pleasetellusofanyallergy", CAUTION_X_HEIGHT_MM)):
        found = runs(pdf, words)
        assert found
        assert min(one["x_height"] for run in found for one in run) >= least - 0.001


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("size", SIZES)
def test_every_letter_lies_on_its_card_where_a_printer_reaches(size: str, paper: str) -> None:
    on = stock(size, paper=paper)
    pdf = paint(document(on, *[written(of=f"dish {number}") for number in range(9)]))
    grid = on.size.grid(on.paper)
    with pdfplumber.open(BytesIO(pdf)) as made:
        assert all(
            (round(page.width * MM, 1), round(page.height * MM, 1)) == (grid.sheet_width, grid.sheet_height)
            for page in made.pages
        )
    for one in letters(pdf):
        if not one["text"].strip():
            continue
        assert one["left"] >= PRINTER_MARGINS.left
        assert one["right"] <= grid.sheet_width - PRINTER_MARGINS.right
        middle = (one["left"] + one["right"]) / 2.0, (one["top"] + one["bottom"]) / 2.0
        card = next((c for c in grid.cells if c.x < middle[0] < c.right and c.y < middle[1] < c.bottom), None)
        if card is None:
            assert one["text"] in "fold"
            continue
        assert card.x + 3.0 <= one["left"]
        assert one["right"] <= card.right - 3.0


def test_what_is_not_known_stands_behind_a_bar_in_bold() -> None:
    """Told by weight and by a bar, not by a tone or colour: a grey copy keeps both."""
    made = document(stock("a6"), written())
    page = made.pages[0]
    asking = [line for line in page.lines if line.block.endswith("ask about")]
    bars = [item for item in page.items if isinstance(item, Rule) and item.x1 == item.x2 and not item.crop]
    assert len(bars) == 1
    assert bars[0].tone == 0
    assert all(run.face == "sans-bold" for line in asking for run in line.runs)
    assert bars[0].y1 <= min(line.ink_box.y for line in asking)
    assert bars[0].y2 >= max(line.ink_box.bottom for line in asking)
    others = [line for line in page.lines if line not in asking]
    assert not [line for line in others if bars[0].y1 < line.baseline < bars[0].y2]


def test_contrast_is_that_of_wcag() -> None:
    """WCAG 2.1, success criteria 1.4.6 (7:1) for what could hurt someone and 1.4.3 (4.5:1) for the rest."""
    for size in SIZES:
        for page in document(stock(size), written()).pages:
            for line in page.lines:
                ratio = contrast_ratio(grey(line.ink.letters), grey(line.ink.ground))
                assert ratio >= (7.0 if line.role in WARNINGS else 4.5)


def long_text(count: int) -> MarkedText:
    return marked(
        "May contain",
        *[f"nuts of the {number}th sort (the supplier of part {number} says so)" for number in range(count)],
    )


def test_what_one_card_cannot_carry_goes_on_on_a_second_with_name_and_number() -> None:
    text = written(facts=(*written().facts, CardLine("more", long_text(5), "allergens")))
    found = cards_for(text, stock("a7"))
    assert isinstance(found, tuple)
    assert 1 < len(found) <= MOST_CARDS
    pdf = paint(document(stock("a7"), text))
    said = read_out(pdf)
    count = len(found)
    everyone = "both" if count == 2 else f"all{count}"
    for number in range(1, count + 1):
        assert f"Card{number}of{count}:pleaseread{everyone}." in said
    assert said.count(squeezed(text.name)) == count
    for words in text.words():
        assert squeezed(words) in said


def test_a_second_card_has_as_much_white_below_its_name_as_there_is_room_for() -> None:
    """Letters that begin right below the rule look forgotten; the rule keeps what lies above and below it apart evenly."""
    text = written(facts=(*written().facts, CardLine("more", long_text(2), "allergens")))
    page = document(stock("a7"), text).pages[0]
    # The second card lies to the right of the first: A7 landscape is 105 x 74 mm, ISO 216.
    rule = next(
        one
        for one in page.items
        if isinstance(one, Rule) and one.y1 == one.y2 and one.x1 > 105.0 and one.y1 < 74.0 and not one.crop
    )
    lines = [one.ink_box for one in page.lines if one.x > 105.0 and rule.y1 < one.ink_box.y < 74.0]
    assert min(one.y for one in lines) - rule.y1 > 1.2 * HEAD_SPACE_MM / 2.0


def test_names_in_another_language_are_as_bold_as_the_english(kitchen: Kitchen) -> None:
    """Who reads the line in Greek reads no other."""
    found = opened(kitchen, "- dish: ice\n  plate: [10 g house cream]\n")
    (line,) = [one for one in text_of(found, "ice", language="el").facts if one.translates]
    assert [line.text.text[start:end] for start, end in line.text.spans] == ["γάλα"]


def test_a_list_of_allergens_is_not_parted_where_it_fits_a_card() -> None:
    lines = [CardLine(f"line {number}", long_text(2), "allergens") for number in range(4)]
    made = document(stock("a7"), written(facts=tuple(lines)))
    boxes: dict[str, set[tuple[float, float]]] = {}
    for page in made.pages:
        for line in page.lines:
            boxes.setdefault(line.block, set()).add((line.box.x, line.box.y))
    assert all(len(places) == 1 for places in boxes.values())


def test_half_a_list_has_its_own_head_and_nothing_is_lost() -> None:
    def halves(text: MarkedText, key: str = "contains", head: str = "Contains") -> list[tuple[str, list[str]]]:
        found = CardLine(key, text, "allergens", head=head).halves()
        return [(one.text.text, [one.text.text[a:b] for a, b in one.text.spans]) for one in found or ()]

    names = ["gluten (wheat, rye)", "egg", "milk", "nuts (almond, hazelnut)"]
    assert halves(marked("Contains", *names)) == [
        ("Contains gluten (wheat, rye), egg, milk.", names[:3]),
        ("Contains nuts (almond, hazelnut).", names[3:]),
    ]
    # What may be in it never loses its reason: parted between reasons only.
    said = "May contain egg, milk (the supplier of a, b says so); soya (made on the same churn as c)."
    may = MarkedText(said, tuple((said.index(word), said.index(word) + len(word)) for word in ("egg", "milk", "soya")))
    assert halves(may, "may contain", "May contain") == [
        ("May contain egg, milk (the supplier of a, b says so).", ["egg", "milk"]),
        ("May contain soya (made on the same churn as c).", ["soya"]),
    ]
    assert halves(MarkedText("May contain egg, milk (both by the supplier)."), "may contain", "May contain") == []
    assert halves(MarkedText("Contains milk.")) == []
    assert halves(MarkedText("Alcohol: gin, rum."), head="") == []


def test_every_card_of_a_long_list_begins_with_its_head() -> None:
    many = marked("Contains", *[f"nuts of the {number}th sort" for number in range(40)])
    text = written(facts=(CardLine("contains", many, "allergens", head="Contains"),))
    found = cards_for(text, stock("a7"))
    assert isinstance(found, tuple)
    assert len(found) > 1
    for piece in found:
        lists = [line for line in piece.items if isinstance(line, TextLine) and line.block.startswith("contains")]
        assert not lists or lists[0].text.startswith("Contains nuts")
    said = read_out(paint(document(stock("a7"), text)))
    assert all(squeezed(f"nuts of the {number}th sort") in said for number in range(40))


def test_a_name_longer_than_a_card_can_bear_is_refused_with_sizes_that_carry_it() -> None:
    text = written(name=" ".join(["shoulder"] * 25), facts=(CardLine("may contain", long_text(9), "allergens"),))
    small = stock("60x40")
    found = cards_for(text, small)
    assert isinstance(found, CardTooSmall)
    assert (
        found.problem
        == "'damson and custard ice' does not fit even 4 cards of 60x40, at the least size its letters may have."
    )
    sizes = sizes_that_would(text, small)
    assert sizes
    assert sizes[-1][1] == 1
    for name, count in sizes:
        carried = cards_for(text, stock(name))
        assert isinstance(carried, tuple)
        assert len(carried) == count
        pdf = paint(document(stock(name), text))
        assert all(squeezed(words) in read_out(pdf) for words in text.words())


def test_a_word_wider_than_the_card_is_named() -> None:
    wide = "ß" * 29  # the longest word of a warning that is never broken
    text = written(facts=(CardLine("contains", MarkedText(f"Contains {wide}."), "allergens"),))
    found = cards_for(text, stock("35x60"))
    assert isinstance(found, CardTooSmall)
    assert wide in found.problem
    assert sizes_that_would(text, stock("35x60"))


def test_what_no_card_of_the_sheet_carries_has_no_size() -> None:
    text = written(facts=tuple(CardLine(f"line {number}", long_text(90), "allergens") for number in range(6)))
    assert sizes_that_would(text, stock("a5")) == ()


def test_the_version_is_of_the_words_and_not_of_the_day(kitchen: Kitchen) -> None:
    found = opened(kitchen, "- dish: ice\n  plate: [10 g hazelnut praline]\n")
    first = text_of(found, "ice")
    later = open_book(kitchen.folder, None, DAY.replace(day=26))
    again = text_of(later, "ice")
    assert first.day != again.day
    assert first.version == again.version
    assert first.foot == f"The Saltmarsh Room · 25 November 2026 · version {first.version}"
    other = text_of(opened(kitchen, "- dish: ice\n  plate: [10 g hazelnut praline, 1 g nut paste]\n"), "ice")
    assert other.version != first.version
    assert version_of(("a", "b")) != version_of(("ab", ""))


def test_the_same_words_and_day_are_the_same_bytes() -> None:
    assert paint(document(stock("tent"), written())) == paint(document(stock("tent"), written()))


# Generated dishes, by way of a book: names of any letters of ours, any groups, any of it not known.
STORE = {
    "everything": f'spec: {{statement: "{EVERYTHING}"}}',
    "unknown powder": "",
    "house cream": 'composition: sr28:01053\n  spec: {statement: "Cream (MILK)", may_contain: "gluten, crustaceans, egg, fish, peanut, soya, nuts"}',
    "goat curd": 'spec: {statement: "GOAT\'S MILK, salt", may_contain: [almonds]}',
    "half known nuts": "spec: {declares: [hazelnut]}",
    "sea mix": 'spec: {statement: "PRAWNS, MUSSELS, COD", may_contain: "lobster, salmon"}',
    "house spirit": "composition: sr28:14037\n  strength: 40 % vol",
    "sharp sauce": 'spec: {statement: "Water, white wine vinegar, MUSTARD"}',
    "Donaudampfschifffahrtsgesellschaftskapitänsgewürz": 'spec: {statement: "Salz, SESAM (SESAME)"}',
    "plain sugar": 'composition: sr28:19335\n  spec: {statement: "Sugar"}',
}  # fmt: skip
LETTERS = st.sampled_from("abcdefghijklmnoprstuvwxyzäöüßøåéçœłżşîğабвгдежзийклмнщїєґαβγδεζηθλμνξπρστφψωάέήίόύώ")
WORDS = st.text(LETTERS, min_size=1, max_size=24)
NAMES = st.one_of(
    st.lists(WORDS, min_size=1, max_size=30).map(lambda words: " ".join(words)[:198].strip()),
    st.sampled_from(
        [
            "Kalbsrückensteakscheibchen mit Eierschwammerlrahmsauce und Semmelknödelscheiben",
            "Rindfleischetikettierungsüberwachungsaufgabenübertragungsgesetzsuppe",
            "Ψητό αρνάκι με πατάτες και δεντρολίβανο",
            "Борщ з пампушками та сметаною",
            "s" + "o" * 180,
        ]
    ),
)
LIMITS = settings(
    max_examples=30, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def opened_dish(name: str, description: str, plate: list[str], law: str) -> Opened:
    text = HEAD.format(law=law)
    text += "".join(f"- ingredient: {one}\n" + (f"  {more}\n" if more else "") for one, more in STORE.items())
    text += f'- dish: "{name}"\n  suitable_for: [vegetarian]\n  plate:\n' + "".join(
        f"    - 10 g {one}\n" for one in plate
    )
    text += f'  description: "{description}"\n' if description else ""
    with tempfile.TemporaryDirectory() as place:
        Path(place, "book.yaml").write_text(text, encoding="utf-8")
        return open_book(Path(place), None, DAY)


@LIMITS
@given(
    name=NAMES,
    description=st.one_of(st.just(""), st.lists(WORDS, min_size=1, max_size=8).map(" ".join)),
    plate=st.lists(st.sampled_from(sorted(STORE)), min_size=1, max_size=5, unique=True),
    law=st.sampled_from(["eu", "gb", "us", "ca", "au-nz", "codex"]),
    size=st.sampled_from(SIZES),
    language=st.sampled_from([None, None, "fr", "el", "pl", "de"]),
    energy=st.booleans(),
)
def test_every_word_of_the_declaration_is_found_in_the_file(
    name: str, description: str, plate: list[str], law: str, size: str, language: str | None, energy: bool
) -> None:
    found = opened_dish(name, description, plate, law)
    dish = next(iter(found.workings.plates))
    text = text_of(found, dish, language=language, energy=energy)
    on = stock(size)
    cards = cards_for(text, on)
    if isinstance(cards, CardTooSmall):
        # Refused, never cut; and what is named instead carries it.
        for larger, count in sizes_that_would(text, on):
            carried = cards_for(text, stock(larger))
            assert isinstance(carried, tuple)
            assert len(carried) == count
        assert sizes_that_would(text, on)
        return
    made = document(on, text)
    assert layout_problems(made) == ()
    said = read_out(paint(made))
    for words in text.words():
        if squeezed(words) not in said:
            # Longer than any card: it goes on on the next one.
            assert len(cards) > 1 or size == "tent"
            assert all(squeezed(word).rstrip(".,;") in said for word in words.split())
    declared = found.declarer.dish(dish)
    heads = {CONTAINS: squeezed("Contains "), MAY_CONTAIN: squeezed("May contain ")}
    for row in declared.allergens:
        if row.status in heads:
            assert heads[row.status] in said
        if needs_asking(row):
            assert squeezed("Please ask us about") in said
    lowered = unicodedata.normalize("NFKC", said).lower()
    assert not [one for one in NEVER if squeezed(one) in lowered and one not in name.lower()]


def test_all_groups_of_the_law_are_on_the_card(kitchen: Kitchen) -> None:
    kitchen.write(
        f'- ingredient: everything\n  spec: {{statement: "{EVERYTHING}"}}\n- dish: all of it\n  plate: [10 g everything]\n', law="eu"
    )  # fmt: skip
    found = open_book(kitchen.folder, None, DAY)
    for size in SIZES:
        on = stock(size)
        text = text_of(found, "all of it")
        if isinstance(cards_for(text, on), CardTooSmall):
            on = stock(sizes_that_would(text, on)[0][0])
        said = read_out(paint(document(on, text)))
        assert all(squeezed(word) in said for word in ANNEX_II)


def test_energy_is_printed_with_the_words_of_the_law_and_only_where_it_is_wanted(kitchen: Kitchen) -> None:
    found = opened(kitchen, "- dish: ice\n  plate: [100 g house cream]\n", law="gb")
    assert "kcal" not in " ".join(text_of(found, "ice").words())
    words = " ".join(text_of(found, "ice", energy=True).words())
    # The Calorie Labelling (Out of Home Sector) (England) Regulations 2021, SI 2021/909, regulation 5: "adults need around 2000 kcal a day".
    assert "adults need around 2000 kcal a day" in words
    assert "kcal" in words


def test_no_line_about_alcohol_where_none_is_in_the_recipe(kitchen: Kitchen) -> None:
    found = opened(kitchen, "- dish: ice\n  plate: [10 g sugar syrup]\n- dish: sauce\n  plate: [10 g sour sauce]\n")
    assert not [one for one in text_of(found, "ice").facts if one.kind == "alcohol"]
    # A ferment is named wherever it stands: contract of the book, section 1, Alcohol.
    assert "A ferment can hold a little alcohol: sour sauce." in " ".join(text_of(found, "sauce").words())


def test_the_strength_of_what_pours_is_in_the_words_of_the_law(kitchen: Kitchen) -> None:
    """Regulation (EU) No 1169/2011, Annex XII: at most one decimal, the symbol '% vol' behind it, 'alc.' before it."""
    found = opened(kitchen, "- dish: a small gin\n  plate: [40 ml house gin]\n", law="eu")
    assert "alc. 40.0 % vol" in text_of(found, "a small gin").words()


def test_each_list_in_another_language_has_its_own_head(kitchen: Kitchen) -> None:
    found = opened(kitchen, "- dish: ice\n  plate: [10 g hazelnut praline, 1 g nut paste]\n")
    text = text_of(found, "ice", language="fr")
    again = [line for line in text.facts if line.translates]
    assert [line.text.text.split(" ")[0] for line in again] == ["Contient", "May", "Please"]
    # Regulation (EU) No 1169/2011, Annex II, in French: fruits à coque (noisettes), arachides.
    assert "fruits à coque (noisettes)" in again[0].text.text
    assert "arachides" in again[1].text.text
    made = document(stock("a6"), text)
    assert {line.language for line in made.pages[0].lines} == {"", "fr"}


def test_a_card_without_description_or_claims_has_no_gap_for_them() -> None:
    plain = document(stock("a6"), written(description=""))
    blocks = {line.block.partition(", ")[2] for line in plain.pages[0].lines}
    assert not [one for one in blocks if "description" in one]
    assert replace(written(), description="").words()[1].startswith("Contains")


def test_card_text_takes_everything_from_the_declaration(kitchen: Kitchen) -> None:
    found = opened(kitchen, "- dish: ice\n  suitable_for: [vegetarian]\n  plate: [10 g cobs, 5 ml house gin]\n")
    text = text_of(found, "ice")
    assert text.name == "Ice"
    assert [line.key for line in text.cautions] == ["alcohol caution", "caution"]
