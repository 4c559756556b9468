"""Books for the tests of allergen sheets and menu notes, and what is read back from a finished PDF."""

import json
import tempfile
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

import pdfplumber
from hypothesis import strategies as st

from labeller.cli.opening import Opened, open_book
from labeller.cli.paper_dishes import chosen_sections
from labeller.declarations.allergen_rows import CONTAINS, MAY_CONTAIN
from labeller.declarations.declaring import Declaration
from labeller.declarations.notes_content import MenuNotes, menu_notes
from labeller.declarations.paper_names import group_word, is_general, source_word
from labeller.declarations.paper_of_dish import dish_words
from labeller.jurisdictions.packs import known_jurisdictions
from labeller.printing.matrix_words import SheetWords, sheet_words
from tests.kitchens import HEAD
from tests.printing.specimens import DAY

LONG = "Rindfleischetikettierungsüberwachungsaufgabenübertragungsgesetz"  # a German law's own name; 63 letters
UNKNOWN = "powder nobody sent a paper for"
STORE = {
    "all of them": (
        "spec: {statement: \"WHEAT, RYE, BARLEY, OATS, PRAWNS, LOBSTER, EGG, COD, ANCHOVY, TUNA, PEANUT, SOYA, MILK, GOAT'S MILK, ALMOND, "
        "HAZELNUT, WALNUT, CASHEW, PECAN, BRAZIL NUT, PISTACHIO, MACADAMIA, CELERY, MUSTARD, SESAME, sulphites, LUPIN, MUSSELS, SQUID, "
        'CUTTLEFISH"}'
    ),
    "may be any": (
        'spec: {statement: "Water", may_contain: "wheat, oats, crab, egg, hake, peanut, soya, milk, almond, macadamia, celery, mustard, '
        'sesame, sulphites, lupin, octopus"}'
    ),
    UNKNOWN: "",
    LONG: "",
    "half known nuts": "spec: {declares: [hazelnut]}",
    "plain water": 'spec: {statement: "Water"}',
    "cream": 'spec: {statement: "Cream (MILK)"}',
    "kirsch": "composition: sr28:14037\n  strength: 40 % vol",
    "stout": "composition: sr28:14003\n  strength: 4.5 % vol",
}
GOODS = sorted(STORE)

# Letters of the languages our paper is set in, and signs that mean something to Markdown, HTML or YAML.
_LETTERS = st.sampled_from("aeiounrstlkmhgdcb  -'’,&<>*_#`[]()|~!+.:@%/\\\"=éüßøœÆłŻñçşαβγΔωάЖбгдяії½µ0123456789")
names = st.one_of(
    st.text(_LETTERS, min_size=1, max_size=180).map(lambda text: f"d{' '.join(text.split())}"),
    st.integers(20, 190).map(lambda count: "b" + "a" * count),
)
plates = st.lists(st.sampled_from(GOODS), min_size=1, max_size=6, unique=True)
laws = st.sampled_from(known_jurisdictions())
dishes = st.lists(st.tuples(names, plates), min_size=1, max_size=4)


@dataclass(frozen=True, slots=True)
class Plate:
    """A dish to be written into a book."""

    name: str
    goods: list[str]
    course: str = "main"
    description: str = ""


def book_text(plates_: list[Plate], *, law: str = "gb", menus: str = "") -> str:
    """Return a book with these dishes."""
    text = HEAD.format(law=law)
    text += "".join(f"- ingredient: {name}\n" + (f"  {more}\n" if more else "") for name, more in STORE.items())
    for one in plates_:
        text += f"- dish: {json.dumps(one.name, ensure_ascii=False)}\n  course: {one.course}\n"
        if one.description:
            text += f"  description: {json.dumps(one.description, ensure_ascii=False)}\n"
        text += "  plate:\n" + "".join(f"    - 20 g {name}\n" for name in one.goods)
    return text + menus


def opened_book(text: str, *, law: str | None = None) -> Opened:
    """Open a book."""
    with tempfile.TemporaryDirectory() as place:
        Path(place, "book.yaml").write_text(text, encoding="utf-8")
        return open_book(Path(place), law, DAY)


def generated(found: list[tuple[str, list[str]]], law: str = "gb") -> Opened:
    """Open a book of generated dishes; names are told apart by a number."""
    return opened_book(
        book_text([Plate(f"{name} {number}", goods) for number, (name, goods) in enumerate(found)], law=law)
    )


def declarations(opened: Opened) -> list[Declaration]:
    """Return the declarations of all dishes."""
    return [opened.declarer.dish(name) for name in opened.workings.plates]


def words_of_sheet(opened: Opened, *, language: str = "") -> SheetWords:
    """Return the words of a sheet of the whole book."""
    _, sections = chosen_sections(opened, menu=None, of=())
    rows = [(section, [opened.declarer.dish(name) for name in section.dishes]) for section in sections]
    return sheet_words(rows, opened.law, opened.book.kitchen.name, language=language)


def notes_of(
    opened: Opened,
    *,
    menu: str | None = None,
    by_letters: bool = False,
    energy: bool = False,
    language: str | None = None,
) -> MenuNotes:
    """Return the notes of a book or of one of its menus."""
    title, sections = chosen_sections(opened, menu=menu, of=())
    rows = [
        (section, [dish_words(opened.declarer, name, language=language) for name in section.dishes])
        for section in sections
    ]
    kitchen = opened.book.kitchen
    return menu_notes(
        rows,
        opened.law,
        kitchen.name,
        menu=title,
        by_letters=by_letters,
        energy=energy,
        book_language=kitchen.language,
    )


def allergen_words(declaration: Declaration) -> set[str]:
    """Return every word a guest must find: groups that are in the dish or may be, and their sources where they are named."""
    found: set[str] = set()
    for row in declaration.allergens:
        if row.status in (CONTAINS, MAY_CONTAIN):
            found.add(group_word(declaration.law, row.group))
        sources = [*row.sources, *(source for one in row.may_contain for source in one.sources)]
        found |= {source_word(source, declaration.law) for source in sources if not is_general(source)}
        if row.unconfirmed and row.status != CONTAINS:
            found.add(group_word(declaration.law, row.group))
    return found


def paragraphs(pdf: bytes) -> list[str]:
    """Return the text of a PDF by its marked content, as one who has it read aloud hears it: words parted at a line's end made whole."""
    found: list[str] = []
    with pdfplumber.open(BytesIO(pdf)) as document:
        for page in document.pages:
            texts: dict[int, str] = {}
            for letter in page.chars:
                if letter["mcid"] is not None:
                    texts[letter["mcid"]] = texts.get(letter["mcid"], "") + letter["text"]
            found += [text.replace("\u00ad", "").replace("\u00a0", " ").strip() for _, text in sorted(texts.items())]
    return found


def plain(text: str) -> str:
    """Return a text as it is compared: spaces alike."""
    return " ".join(text.replace("\u00a0", " ").split())
