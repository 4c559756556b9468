"""``labeller labels``: which labels are printed, what is refused, what is said, and the exit codes of the contract."""

from pathlib import Path

import pytest

from labeller.demonstration.place import demonstration_book
from tests.kitchens import Kitchen, Ran, run
from tests.papers import HOUSE
from tests.printing.labels_read import page_texts

BOOK = (
    HOUSE
    + """
- preparation: praline cream
  takes: [200 g house cream, 20 g hazelnut praline]
  keeps: 5 days chilled
- preparation: fruit in gin
  takes: [100 g apples, 200 g house gin]
  method:
    - macerate: {solids: apples, for: 1 week, at: 20 C, as: cut}
    - strain: {holds: 8 %}
  gives:
    apple gin: {part: liquor, keeps: 90 days ambient}
    gin apples: {part: solids, keeps: 10 days chilled}
- preparation: dressed salad
  takes: [100 g lettuce]
- dish: cream cup
  keeps: 1 day chilled
  plate: [100 g praline cream, 30 g caster sugar]
- dish: salad plate
  plate: [80 g dressed salad, 10 g gin apples]
- menu: lunch
  sections: {mains: [salad plate]}
"""
)
KITCHEN = "- kitchen: The Saltmarsh Room\n  jurisdiction: {law}\n{more}"
ADDRESS = "  address: 1 Example Quay\n"
DAY = ("--on", "2026-11-25")


def printed(kitchen: Kitchen, tmp_path: Path, *arguments: str) -> tuple[Ran, str]:
    """Run the command and return what it said and the words of what it wrote."""
    ran = run("labels", kitchen.folder, "--out", tmp_path / "out", *DAY, *arguments)
    files = sorted((tmp_path / "out").glob("*.pdf")) if (tmp_path / "out").exists() else []
    return ran, " ".join(page_texts(files[0].read_bytes())) if files else ""


@pytest.fixture
def book(kitchen: Kitchen) -> Kitchen:
    return kitchen.write(KITCHEN.format(law="gb", more=ADDRESS) + BOOK, law=None)


def test_without_names_what_keeps_is_labelled_and_the_rest_is_named(book: Kitchen, tmp_path: Path) -> None:
    ran, text = printed(book, tmp_path)
    assert ran.code == 0, ran.err
    assert (tmp_path / "out" / "container-labels.pdf").exists()
    for words in ("Apple gin", "Gin apples", "Praline cream", "from fruit in gin", "Made on 25 November 2026"):
        assert words in text
    assert "Dressed salad" not in text
    assert "does not say how long they keep (name them with --of, or --all): dressed salad." in ran.err
    assert "Print it at its own size" in ran.err
    assert ran.out == ""


def test_everything_or_what_a_menu_needs(book: Kitchen, tmp_path: Path) -> None:
    assert "Dressed salad" in printed(book, tmp_path, "--all")[1]
    ran, text = printed(book, tmp_path, "--menu", "lunch")
    assert ran.code == 0
    assert "Gin apples" in text
    assert "Apple gin" in text  # comes from the same pan
    assert "Praline cream" not in text


def test_names_copies_days_and_a_batch(book: Kitchen, tmp_path: Path) -> None:
    ran, text = printed(
        book, tmp_path, "--of", "praline", "--of", "cream cup", "--copies", "3", "--made", "2026-11-20", "--batch", "B7"
    )  # fmt: skip
    assert ran.code == 0, ran.err
    assert text.count("Praline cream") == 3
    assert text.count("Cream cup") == 3
    assert "Made on 20 November 2026" in text
    assert "Batch B7" in text
    assert "Use by 25 November 2026" in text  # 20 November and 5 days
    assert "Use by 21 November 2026" in text


def test_a_part_made_earlier_ends_earlier(book: Kitchen, tmp_path: Path) -> None:
    """The cream keeps 5 days from the 18th, the cup a day from the 25th: the earlier wins."""
    _, text = printed(book, tmp_path, "--of", "cream cup", "--part-made", "praline cream=2026-11-18", "--roll")
    assert "Use by 23 November 2026" in text
    assert "because of praline cream, which keeps 5 days chilled" in text


def test_a_bought_in_good_once_opened(book: Kitchen, tmp_path: Path) -> None:
    ran, text = printed(book, tmp_path, "--opened", "house cream")
    assert ran.code == 0
    assert "House cream" in text
    assert "Opened on 25 November 2026" in text
    assert "Contains milk." in text
    assert "Praline cream" not in text
    ran, text = printed(book, tmp_path, "--opened", "nut paste")
    assert ran.code == 3
    assert "Not known: ask the kitchen about" in text
    assert "'nut paste': add the supplier's " in ran.err


def test_allergens_in_another_language_as_well(book: Kitchen, tmp_path: Path) -> None:
    _, text = printed(book, tmp_path, "--of", "praline cream", "--language", "fr", "--label", "99.1x67.7")
    assert "Contains milk" in text
    assert "lait" in text


def test_the_form_of_paper(book: Kitchen, tmp_path: Path) -> None:
    ran, _ = printed(book, tmp_path, "--label", "102x76", "--roll")
    assert "3 labels on a roll: labels of 102x76 mm on a roll" in ran.err
    ran, _ = printed(book, tmp_path, "--label", "70x36", "--start-at", "24")
    assert "on 2 sheets" in ran.err


def test_json_is_one_document(book: Kitchen, tmp_path: Path) -> None:
    ran, _ = printed(book, tmp_path, "--json", "--opened", "nut paste")
    found = ran.json()
    assert ran.code == 3
    assert found["labelled"] == ["nut paste"]
    assert found["unvouched"][0]["of"] == "nut paste"
    assert ran.err == ""


def test_the_same_book_and_day_give_the_same_bytes(book: Kitchen, tmp_path: Path) -> None:
    file = tmp_path / "out" / "container-labels.pdf"
    printed(book, tmp_path)
    first = file.read_bytes()
    printed(book, tmp_path)
    assert file.read_bytes() == first
    printed(book, tmp_path, "--made", "2026-11-24")
    assert file.read_bytes() != first


# Labels for sale.


def test_a_dish_that_keeps_is_sold_with_all_its_particulars(book: Kitchen, tmp_path: Path) -> None:
    ran, text = printed(book, tmp_path, "--for", "sale", "--offer", "prepacked for direct sale", "--net", "130 g")
    assert ran.code == 0, ran.err
    assert (tmp_path / "out" / "sale-labels.pdf").exists()
    for words in (
        "Cream cup",
        "Net weight 130 g",
        "Ingredients: praline cream",
        "Use by 26 November 2026",
        "1 Example Quay",
    ):
        assert words in text
    assert "Salad plate" not in text


def test_what_the_law_asks_for_and_is_not_there_refuses_the_label(kitchen: Kitchen, tmp_path: Path) -> None:
    """Regulation (EU) No 1169/2011, Article 9(1)(h): name or business name and address of the operator."""
    kitchen.write(KITCHEN.format(law="gb", more="") + BOOK, law=None)
    ran, text = printed(kitchen, tmp_path, "--for", "sale", "--of", "cream cup", "--no-nutrition")
    assert (ran.code, text) == (1, "")
    assert "'cream cup' lacks what the law asks for on its label:" in ran.err
    assert "Write 'address: 1 Example Quay' in the kitchen entry." in ran.err
    assert "Nothing was written." in ran.err
    ran, text = printed(kitchen, tmp_path, "--for", "sale", "--of", "cream cup", "--no-nutrition", "--incomplete")
    assert ran.code == 3
    assert "INCOMPLETE: not for sale" in text
    assert "Printed, and marked as not for sale:" in ran.err


def test_unconfirmed_ingredients_refuse_a_label_for_sale(kitchen: Kitchen, tmp_path: Path) -> None:
    """A prepacked food carries its allergens, Article 9(1)(c): "please ask" is no list, so the label is not printed."""
    kitchen.write(
        KITCHEN.format(law="gb", more=ADDRESS)
        + "- ingredient: nut paste\n- dish: paste pot\n  keeps: 1 day chilled\n  plate: [50 g nut paste]\n",
        law=None,
    )
    asked = ("--for", "sale", "--offer", "prepacked for direct sale")
    ran, text = printed(kitchen, tmp_path, *asked)
    assert (ran.code, text) == (3, "")
    assert "Allergens: not settled: nut paste" in ran.err
    assert "in paste pot." in ran.err
    ran, text = printed(kitchen, tmp_path, *asked, "--incomplete")
    assert ran.code == 3
    assert "INCOMPLETE: not for sale" in text
    assert "Please ask us about" in text


def test_a_label_too_small_is_refused_and_the_others_are_printed(book: Kitchen, tmp_path: Path) -> None:
    ran, _ = printed(book, tmp_path, "--label", "30x19", "--opened", "nut paste", "--of", "dressed salad")
    assert ran.code == 2
    assert "'nut paste' does not fit even 4 of 30x19 mm" in ran.err
    assert "mm would carry it: write it after --label." in ran.err
    assert "Refused: 1 (nut paste)." in ran.err or "Refused: 2" in ran.err


def test_other_laws_draw_their_own_panel(book: Kitchen, tmp_path: Path) -> None:
    ran, text = printed(
        book, tmp_path, "--for", "sale", "--jurisdiction", "us", "--of", "salad plate", "--label", "99.1x67.7", "--incomplete"
    )  # fmt: skip
    assert "the nutrition panel of this law stands beside the label: labeller panel" in ran.err
    assert "Nutrition per 100 g" not in text


def test_letters_no_face_has_are_a_fault_with_the_line(kitchen: Kitchen, tmp_path: Path) -> None:
    kitchen.write("- ingredient: 豆腐\n- preparation: soup\n  keeps: 1 day chilled\n  takes: [10 g 豆腐]\n", law="gb")
    ran, text = printed(kitchen, tmp_path)
    assert (ran.code, text) == (1, "")
    assert "book.yaml:3: name: " in ran.err
    assert "Write it in Latin, Greek or Cyrillic letters." in ran.err


def test_as_recorded_on_a_past_day(book: Kitchen, tmp_path: Path) -> None:
    assert run("record", book.folder, "--on", "2026-11-20").code == 0
    ran = run("labels", book.folder, "--out", tmp_path / "out", "--of", "praline cream", "--as-recorded", "2026-11-21")
    assert ran.code == 0, ran.err
    assert "As recorded for 2026-11-20" in ran.err


REFUSED = [
    (("--for", "fun"), "--for: 'fun' is no kind of label. Write container or sale."),
    (("--made", "soon"), "--made: 'soon' is not a day. Write it as 2026-11-25."),
    (("--of", "pralin crem"), "'pralin crem' is not a dish or preparation of this book. Did you mean 'praline cream'?"),
    (("--opened", "hous crem"), "'hous crem' is not a bought-in good of this book. Did you mean 'house cream' or 'house gin'?"),
    (("--of", "praline cream", "--all"), "--of: names alone, --all or --menu choose what is labelled."),
    (("--menu", "dinner"), "--menu: 'dinner' is not a menu of this book."),
    (("--copies", "0"), "--copies: 0 copies cannot be printed."),
    (("--net", "180 g"), "--net: that is for labels of food sold packed. Add --for sale."),
    (("--for", "sale", "--batch", "B7"), "--batch: that stands on container labels."),
    (("--for", "sale", "--of", "cream cup", "--net", "a lot"), "--net: 'a lot' is not a weight. Write what is in one pack by weight"),
    (("--for", "sale", "--of", "cream cup", "--net", "200 ml"), "--net: '200 ml' is not a weight."),
    (("--for", "sale", "--all", "--net", "180 g"), "--net: one weight cannot stand for several foods."),
    (("--for", "sale", "--face", "big"), "--face: 'big' is not an area."),
    (("--for", "sale", "--offer", "loose"), "--offer: 'loose' is no way of selling. Write prepacked for direct sale, prepacked, distance."),
    (("--part-made", "praline cream"), "--part-made: 'praline cream' is not a part and its day."),
    (("--part-made", "pralin crem=2026-11-01"), "'pralin crem' is not a preparation or bought-in good of this book."),
    (("--part-made", "praline cream=2026-12-01"), "is made on 2026-12-01, after what it is in."),
    (("--language", "xx"), "--language: 'xx' is not a language on file."),
    (("--label", "63.5"), "--label: '63.5' is not a size."),
    (("--label", "63.5x38.1", "--grid", "4x7"), "4 labels across need 4 x 63.5 = 254 mm"),
    (("--start-at", "22"), "--start-at: there is no label 22 on a sheet of 10."),
    (("--roll", "--paper", "a4"), "--paper: a roll has one label to a page."),
]  # fmt: skip


@pytest.mark.parametrize(("arguments", "said"), REFUSED)
def test_what_cannot_be_taken_ends_with_2_and_the_mend(
    book: Kitchen, tmp_path: Path, arguments: tuple[str, ...], said: str
) -> None:
    ran, _ = printed(book, tmp_path, *arguments)
    assert ran.code == 2
    assert said in ran.err
    assert not (tmp_path / "out").exists()


def test_a_book_where_no_dish_keeps_has_nothing_to_sell(kitchen: Kitchen, tmp_path: Path) -> None:
    kitchen.write("- dish: toast\n  plate: [10 g butter]\n", law="gb")
    ran, _ = printed(kitchen, tmp_path, "--for", "sale")
    assert ran.code == 2
    assert "No dish of this book says how long it keeps" in ran.err
    ran, _ = printed(kitchen, tmp_path)
    assert ran.code == 2
    assert "There is nothing in this book to label." in ran.err


def test_the_labels_of_the_demo_book(tmp_path: Path) -> None:
    ran = run("labels", demonstration_book(), "--out", tmp_path, *DAY)
    assert ran.code == 3
    assert "Cannot vouch for everything on it." in ran.err
    text = " ".join(page_texts((tmp_path / "container-labels.pdf").read_bytes()))
    assert "Vanilla custard" in text
    assert "Contains egg, milk." in text


def test_a_label_refused_for_its_size_is_not_offered_as_incomplete(book: Kitchen, tmp_path: Path) -> None:
    ran, _ = printed(
        book, tmp_path, "--for", "sale", "--offer", "prepacked for direct sale", "--label", "20x15", "--roll"
    )
    assert ran.code == 2
    assert "even 2 of 20x15 mm" in ran.err
    assert "--incomplete" not in ran.err
