"""Every kind of paper says every allergen word of the declaration, and alcohol too: whole files made by the commands, read back by other hands.

What a paper must say is worked out here from the JSON of `declare` and the contract of the kitchen book (sections 2 and 3), not by the code that
writes the papers. A missed allergen is far worse than one too many, so words are looked for and nothing is said of words that are there besides.
"""

import json
import re
import tempfile
import unicodedata
from collections.abc import Iterator
from html import unescape
from io import BytesIO
from pathlib import Path
from typing import Any

import docx
import pypdf
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from tests.kitchens import HEAD, Ran, run

DAY = ("--on", "2026-11-25")
OFFER = "prepacked for direct sale"
SIZES = ("a7", "a6", "a5", "tent", "120x90")
# Regulation (EU) No 1169/2011, Annex II, each group with members of it.
EVERYTHING = (
    "WHEAT, RYE, BARLEY, OATS, PRAWNS, CRAB, EGG, COD, PEANUTS, SOYA, MILK, GOAT'S MILK, ALMONDS, HAZELNUTS, WALNUTS, CASHEWS, PECANS, "
    "BRAZIL NUTS, PISTACHIOS, MACADAMIA NUTS, CELERY, MUSTARD, SESAME, SULPHITES, LUPIN, MUSSELS, SQUID"
)
MAY_BE = "rye, lobster, egg, hake, peanut, soya, milk, hazelnut, celery, mustard, sesame, sulphites, lupin, octopus"
STORE = {
    "everything": f'spec: {{statement: "{EVERYTHING}"}}',
    "anything": f'spec: {{statement: "Water", may_contain: "{MAY_BE}"}}',
    "powder without a paper": "",
    "half known nuts": "spec: {declares: [hazelnut]}",
    "single cream": 'spec: {statement: "Cream (MILK)", may_contain: "soya"}',
    "wheat crumb": 'spec: {statement: "WHEAT flour, water"}',
    "house spirit": 'composition: sr28:14037\n  strength: 40 % vol\n  spec: {statement: "Spirit"}',
    "sharp sauce": 'spec: {statement: "Water, malt vinegar, MUSTARD"}',
    "plain sugar": 'composition: sr28:19335\n  spec: {statement: "Sugar"}',
}
# FD&C Act 201(qq) with 21 U.S.C. 321(qq)(1): "soybeans", "Crustacean shellfish", "tree nuts"; Food and Drug Regulations (Canada), B.01.010.1(1):
# "soy", "mollusc"; FSANZ Standard 1.2.3, schedule 9: "soy", "mollusc". "gluten cereal" and "nut" are our words where the kind is not given.
LAWS_OWN_WORDS = {
    "soya": ("soy",),
    "crustaceans": ("crustacean",),
    "molluscs": ("mollusc", "mollusk"),
    "sulphites": ("sulfite", "sulphite"),
    "sulphite": ("sulfite",),
    "gluten cereal": ("gluten",),
}
NEVER = ("free from", "trace", "✓", "✔", "☑", "safe for")  # the contract, section 3: never promised, never a tick
MAY, ASK, NOT_KNOWN = "May contain", "Please ask us about", "Not known: ask the kitchen"

# No c in names, so that none of them says a word that no paper may say.
LETTERS = st.sampled_from("aeiounlmhgdbpzäöüßøåéłżşîабвгджийлмнщїєґαβγδηθλμξπφψωάέήίώ")
WORDS = st.text(LETTERS, min_size=1, max_size=40)
NAMES = st.one_of(
    st.lists(WORDS, min_size=1, max_size=24).map(lambda words: f"bo {' '.join(words)}"[:200].strip()),
    st.integers(30, 198).map(lambda count: "bo" + "o" * count),
)


def named(word: str, text: str) -> bool:
    """Tell whether a text names a group or source, in the word a law has for it."""
    return any(squeezed(one) in text for one in (word, *LAWS_OWN_WORDS.get(word, ())))


def book_of(name: str, goods: list[str], beside: str, law: str) -> str:
    """Return a book of one dish, of a batch that shares a machine with another."""
    text = HEAD.format(law=law) + "  address: 1 Example Quay\n  shared_equipment: [blender]\n"
    text += "".join(f"- ingredient: {one}\n" + (f"  {more}\n" if more else "") for one, more in STORE.items())
    said = json.dumps(name, ensure_ascii=False)
    takes = ", ".join(f'"20 g {one}"' for one in goods)
    text += f"- preparation: {said}\n  takes: [{takes}]\n  made_on: [blender]\n  keeps: 3 days chilled\n"
    text += f'- preparation: other batch\n  takes: ["50 g {beside}"]\n  made_on: [blender]\n'
    return text + f"- dish: {said}\n  course: main\n  plate: [{json.dumps(f'40 g {name}', ensure_ascii=False)}]\n"


def squeezed(text: str) -> str:
    """Return the letters of a text alone: a line ends where it ends, and a hyphen put in at its end is not of the word."""
    plain = unicodedata.normalize("NFKC", text).replace("\u00ad", "")
    return re.sub(r"[\s\\*_]+", "", plain).casefold()


def read_pdf(path: Path) -> str:
    return " ".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(path.read_bytes())).pages)


def read_back(path: Path) -> str:
    """Return the words of a file of any form."""
    if path.suffix == ".pdf":
        return read_pdf(path)
    if path.suffix == ".docx":
        document = docx.Document(str(path))
        return " ".join([*(one.text for one in document.paragraphs), *_footers(document)])
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".html":
        return unescape(re.sub(r"<[^>]*>", " ", re.sub(r"(?s)<style.*?</style>", " ", text)))
    return text


def _footers(document: Any) -> Iterator[str]:
    for section in document.sections:
        yield from (one.text for one in section.footer.paragraphs)


def asked_groups(declared: dict[str, Any]) -> list[str]:
    """Return the groups that are not known and not contained: a paper must say so whatever else it says of them."""
    return [row["group"] for row in declared["allergens"] if row.get("unconfirmed") and row["status"] != "contains"]


def nothing_open(declared: dict[str, Any]) -> bool:
    return not any(row.get("unconfirmed") for row in (*declared["allergens"], declared["alcohol"]))


def hold_sources(declared: dict[str, Any], said: str, where: str) -> None:
    """Every cereal, nut, species and kind of what is contained stands in the text."""
    for row in declared["allergens"]:
        for source in row.get("sources", ()) if row["status"] == "contains" else ():
            # A list of ingredients has the supplier's own words: GOAT'S MILK.
            words = source.split() if where == "sale label" else [source]
            assert all(named(word, said) for word in words), (where, row["group"], source)


def hold_to_declaration(declared: dict[str, Any], text: str, where: str, *, ask: str) -> None:
    """Hold a text to all that is declared: what is contained, what may be, what is not known, alcohol.

    Parameters are the JSON of a declaration, the text, the paper it is of, and the words by which that paper says that something is not known.
    """
    said = squeezed(text)
    # Papers for guests say it in a sentence of its own, before those of what may be and what is not known.
    sentence = said.partition("contains")[2] if ask == ASK else said
    for head in (MAY, ASK) if ask == ASK else ():
        sentence = sentence.partition(squeezed(head))[0]
    hold_sources(declared, sentence, where)
    # What may be in, and what is not known, is said after the words that say so; `partition` leaves nothing where they are missing.
    after_may, after_ask = said.partition(squeezed(MAY))[2], said.partition(squeezed(ask))[2]
    for row in declared["allergens"]:
        if row["status"] == "contains":
            assert squeezed("contains") in said, where
            assert named(row["group"], said), (where, row["group"])
        has = set(row.get("sources", ())) if row["status"] == "contains" else set()
        for may in row.get("may_contain", ()):
            for source in set(may["sources"]) - has:
                assert named(source, after_may), (where, row["group"], source)
        if row["status"] == "may contain":
            assert named(row["group"], after_may), (where, row["group"])
    for group in asked_groups(declared):
        assert squeezed(ask) in said, where
        assert named(group, said if ask == NOT_KNOWN else after_ask), (where, group)
    hold_alcohol(declared["alcohol"], said, where, ask)
    assert not [one for one in NEVER if squeezed(one) in said], where


def hold_alcohol(alcohol: dict[str, Any], said: str, where: str, ask: str) -> None:
    """What is drunk, what is not known and what ferments is named."""
    for source in alcohol.get("because", ()):
        assert "alcohol" in said, where
        assert squeezed(source["path"][-1]) in said, (where, source)
    if alcohol.get("unconfirmed"):
        assert squeezed(ask) in said, where
        assert "alcohol" in said, where
    for path in alcohol.get("unconfirmed", ()):
        assert squeezed(path[-1]) in said, (where, path)
    # Where the kitchen is to be asked or there is alcohol anyway, the papers of the kitchen need not name what ferments too.
    told = ask == ASK or alcohol["status"] == "none declared"
    for trace in alcohol.get("traces", ()) if told else ():
        assert squeezed(trace["path"][-1]) in said, (where, trace)


def hold_code(ran: Ran, declared: dict[str, Any], where: str) -> None:
    """Exit code 3 where a paper asks, 0 where nothing is open: the contract, section 2."""
    if asked_groups(declared) or declared["alcohol"]["status"] == "unconfirmed":
        assert ran.code == 3, (where, ran.err)
    if nothing_open(declared):
        assert ran.code == 0, (where, ran.err)


def hold_letters(declared: dict[str, Any], text: str) -> None:
    """By key letters: the letters of each group contained stand after 'Contains' in the dish's own lines."""
    letters_of = {words: letters for letters, words in re.findall(r"(?m)^ +(\w\w+)  (\w+)", text)}
    line = re.search(r"(?s)\n    Contains (.*?)\n(?! {8})", text)
    for row in declared["allergens"]:
        if row["status"] == "contains":
            assert line, text
            letters = next(one for words, one in letters_of.items() if named(row["group"], words))
            assert re.search(rf"\b{letters}\b", line.group(1)), (row["group"], line.group(1))


def hold_all_papers(name: str, goods: list[str], beside: str, law: str, size: str) -> None:
    """Make every kind of paper of a dish and its batch, and hold each to the declaration."""
    with tempfile.TemporaryDirectory() as place:
        folder, out = Path(place, "book"), Path(place, "out")
        folder.mkdir()
        (folder / "book.yaml").write_text(book_of(name, goods, beside, law), encoding="utf-8")
        every = run("declare", folder, "--all", "--json", *DAY).json()["declarations"]
        dish = next(one for one in every if one["name"] == name and one["kind"] == "dish")
        batch = next(one for one in every if one["name"] == name and one["kind"] != "dish")

        ran = run("cards", folder, "--out", out, "--size", size, *DAY)
        if ran.code == 2:  # too small for it: refused, nothing printed, and the size that would do is named
            assert not list(out.glob("*.pdf"))
            match = re.search(r"--size (\S+) \(", ran.err)
            assert match, ran.err
            size = match.group(1)
            ran = run("cards", folder, "--out", out, "--size", size, *DAY)
        hold_code(ran, dish, "cards")
        text = read_back(next(out.glob("cards-*.pdf")))
        assert squeezed(name) in squeezed(text)
        hold_to_declaration(dish, text, f"cards {size}", ask=ASK)

        ran = run("notes", folder, "--out", out, *DAY)
        hold_code(ran, dish, "notes")
        notes = sorted(out.glob("menu-notes.*"))
        assert len(notes) == 5
        for path in notes:
            hold_to_declaration(dish, read_back(path), path.name, ask=ASK)
        ran = run("notes", folder, "--out", out / "letters", "--by", "letters", "--form", "text", *DAY)
        hold_letters(dish, read_back(out / "letters" / "menu-notes.txt"))

        ran = run("matrix", folder, "--out", out, *DAY)
        hold_code(ran, dish, "matrix")
        hold_to_declaration(dish, read_back(out / "allergen-sheet.pdf"), "matrix", ask=NOT_KNOWN)

        label = ("--label", "190x138", "--grid", "1x2", *DAY)
        ran = run("labels", folder, "--out", out, "--of", name, *label)
        assert ran.code in {0, 3}, ran.err
        hold_to_declaration(batch, read_back(out / "container-labels.pdf"), "container label", ask=NOT_KNOWN)

        ran = run(
            "labels", folder, "--for", "sale", "--out", out, "--of", name, "--net", "240 g", "--offer", OFFER, *label
        )
        sold = out / "sale-labels.pdf"
        if nothing_open(dish) and law in {"eu", "gb"}:
            assert ran.code == 0, ran.err
        if sold.exists():
            hold_sources(dish, squeezed(read_back(sold)), "sale label")
        if asked_groups(dish):
            assert ran.code in {1, 3}, ran.err
            assert not sold.exists()


# Each example runs seven commands and reads nine files: what fails is read as it stands rather than made smaller.
@settings(max_examples=12, deadline=None, derandomize=True, phases=[Phase.explicit, Phase.generate])
@given(
    name=NAMES,
    goods=st.lists(st.sampled_from(sorted(STORE)), min_size=1, max_size=5, unique=True),
    beside=st.sampled_from(["everything", "half known nuts", "single cream", "plain sugar"]),
    law=st.sampled_from(["eu", "gb", "us", "ca", "au-nz"]),
    size=st.sampled_from(SIZES),
)
def test_every_word_of_the_declaration_is_on_every_paper(
    name: str, goods: list[str], beside: str, law: str, size: str
) -> None:
    hold_all_papers(name, goods, beside, law, size)


@pytest.mark.parametrize("size", SIZES)
def test_all_groups_at_once_with_all_that_can_be_said_of_them(size: str) -> None:
    hold_all_papers("bo" + "o" * 198, sorted(STORE), "everything", "eu", size)


@pytest.mark.parametrize(("goods", "beside"), [(["plain sugar"], "everything"), (["single cream"], "plain sugar")])
def test_what_shared_equipment_passes_on_and_what_suppliers_warn_of(goods: list[str], beside: str) -> None:
    hold_all_papers("Żurek ψητό", goods, beside, "gb", "a6")
