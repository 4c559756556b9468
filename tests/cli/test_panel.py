"""``labeller panel``: files, exit codes, what is said, what is refused."""

import json
from io import BytesIO
from pathlib import Path
from typing import Any

import pypdf
import pytest

from tests.kitchens import Kitchen, Ran, run
from tests.panels import WHOLE

ON = ("--on", "2026-11-25")


def panel(kitchen: Kitchen, out: Path, *arguments: str) -> Ran:
    return run("panel", kitchen.folder, "--out", out, *ON, *arguments)


@pytest.fixture
def book(kitchen: Kitchen) -> Kitchen:
    return kitchen.write(WHOLE, law="us")


def text_of(path: Path) -> list[str]:
    return [page.extract_text().replace("\u00a0", " ") for page in pypdf.PdfReader(BytesIO(path.read_bytes())).pages]


def test_one_panel(book: Kitchen, tmp_path: Path) -> None:
    ran = panel(book, tmp_path, "--of", "oat square", "--servings", "4", "--serving", "2 squares (206 g)")
    assert (ran.code, ran.out) == (0, "")
    file = tmp_path / "nutrition-panel-oat-square.pdf"
    assert [path.name for path in tmp_path.iterdir() if path.suffix == ".pdf"] == [file.name]
    (text,) = text_of(file)
    assert "4 servings per container" in text
    assert "2 squares (206 g)" in text
    assert f"Written: '{file}', 1 page" in ran.err
    assert "an estimate, not an analysis. Local law and licensed professionals decide" in ran.err
    assert "estimate" not in text


def test_a_missing_figure_ends_in_three_and_draws_nothing(book: Kitchen, tmp_path: Path) -> None:
    ran = panel(book, tmp_path, "--of", "half known square", "--jurisdiction", "gb")
    assert ran.code == 3
    assert not list(tmp_path.glob("*.pdf"))
    assert "half known square: not drawn, for it must say, and it is not known: saturates and sugars." in ran.err
    assert "mystery paste (15 % of the weight; book.yaml:" in ran.err
    assert "Write per_100_g: {saturates_g: .., sugars_g: ..} in its entry, from its pack" in ran.err
    assert "--incomplete" in ran.err
    assert "Nothing was written." in ran.err


def test_incomplete_is_drawn_marked_and_still_three(book: Kitchen, tmp_path: Path) -> None:
    ran = panel(book, tmp_path, "--of", "half known square", "--jurisdiction", "gb", "--incomplete")
    assert ran.code == 3
    (text,) = text_of(tmp_path / "nutrition-panel-half-known-square.pdf")
    assert text.startswith("INCOMPLETE. Not to be put on food.")
    assert text.count("not known") == 6
    assert "Not known: saturates and sugars." in text
    assert "drawn, and marked as incomplete" in ran.err


def test_all_dishes_one_a_page_and_what_lacks_a_figure_left_out(book: Kitchen, tmp_path: Path) -> None:
    ran = panel(book, tmp_path)
    assert ran.code == 3
    texts = text_of(tmp_path / "nutrition-panels.pdf")
    assert len(texts) == 3
    assert "1 bare water; 2 oat square; 3 sweet water" in ran.err
    assert "Each pack is taken to hold one portion" in ran.err


def test_a_menu(book: Kitchen, tmp_path: Path) -> None:
    ran = panel(book, tmp_path, "--menu", "tea", "--incomplete")
    assert ran.code == 3
    texts = text_of(tmp_path / "nutrition-panels.pdf")
    assert len(texts) == 2
    assert "INCOMPLETE" not in texts[0]
    assert "INCOMPLETE" in texts[1]


def test_everything_says_what_has_no_portion(book: Kitchen, tmp_path: Path) -> None:
    ran = panel(book, tmp_path, "--all")
    assert ran.code == 3
    assert "'loose mixture': how much a portion is, is not known." in ran.err
    assert len(text_of(tmp_path / "nutrition-panels.pdf")) == 4
    assert panel(book, tmp_path, "--of", "loose mixture").code == 2
    per_100_g = panel(book, tmp_path, "--of", "loose mixture", "--jurisdiction", "eu")
    assert per_100_g.code == 0


def test_the_front_of_the_pack(book: Kitchen, tmp_path: Path) -> None:
    ran = panel(book, tmp_path, "--of", "oat square", "--jurisdiction", "gb", "--colours")
    assert ran.code == 0, ran.err
    back, front = text_of(tmp_path / "nutrition-panel-oat-square.pdf")
    assert "Nutrition declaration" in back
    assert "HIGH" not in back
    assert "HIGH" in front
    assert "LOW" in front


def test_the_same_bytes_each_time_and_an_old_file_replaced(book: Kitchen, tmp_path: Path) -> None:
    file = tmp_path / "nutrition-panel-oat-square.pdf"
    file.write_text("an older file", encoding="utf-8")
    panel(book, tmp_path, "--of", "oat square")
    first = file.read_bytes()
    panel(book, tmp_path, "--of", "oat square")
    assert file.read_bytes() == first
    assert first.startswith(b"%PDF")
    assert [path.name for path in tmp_path.iterdir() if path.is_file()] == [file.name]


def test_pictures(book: Kitchen, tmp_path: Path) -> None:
    ran = panel(book, tmp_path, "--of", "oat square", "--png")
    assert ran.code == 0
    assert (tmp_path / "nutrition-panel-oat-square.png").read_bytes().startswith(b"\x89PNG")


def test_json(book: Kitchen, tmp_path: Path) -> None:
    ran = panel(book, tmp_path, "--menu", "tea", "--json")
    assert (ran.code, ran.err) == (3, "")
    document: dict[str, Any] = json.loads(ran.out)
    assert (document["jurisdiction"], document["on"], document["pages"]) == ("us", "2026-11-25", 1)
    whole, half = document["panels"]
    assert (whole["name"], whole["page"], whole["missing"]) == ("oat square", 1, [])
    lines = {line["key"]: line for line in whole["lines"]}
    assert lines["fat_g"] == {"key": "fat_g", "name": "Total Fat", "amounts": ["18 g"], "percent": "23%"}
    assert (half["name"], half["page"]) == ("half known square", None)
    missing = {one["nutrient"]: one for one in half["missing"]}
    assert missing["sugars_g"]["ingredient"] == "mystery paste"
    assert missing["sugars_g"]["share"] == pytest.approx(0.15)
    assert missing["sugars_g"]["write"] == ["sugars_g"]
    assert next(line for line in half["lines"] if line["key"] == "sugars_g")["amounts"] == [None]


def test_what_is_less_sure_than_the_law_allows_is_said(kitchen: Kitchen, tmp_path: Path) -> None:
    """December 2012 guidance: carbohydrate and sugars below 10 g +/- 2 g; a rough amount of the oats reaches further."""
    text = WHOLE.replace(
        "plate: [60 g oat base, 25 g nut butter, 18 g sweet syrup]",
        "plate: [30-90 g oat base, 25 g nut butter, 18 g sweet syrup]",
    )
    assert text != WHOLE
    ran = panel(kitchen.write(text, law="eu"), tmp_path, "--of", "oat square")
    assert ran.code == 0
    assert "oat square: less sure than the law allows: " in ran.err
    assert "'30-90 g oat base' is a rough amount" in ran.err


WRONG = [
    (("--per", "100ml"), "--per: '100ml' is no basis. Write 100g, portion or both."),
    (("--per", "100g"), "--per 100g: the panel of United States has portion"),
    (("--form", "round"), "--form round: the panel of United States is drawn as vertical or tabular or simplified."),
    (("--servings", "0"), "--servings: '0' is no number of portions in a pack. Write 4, 2.5 or \"about 3\"."),
    (("--servings", "many"), "--servings: 'many' is no number"),
    (("--serving", "a slice"), "--serving: 'a slice' has no weight to count by."),
    (("--serving", "\u05e4\u05e8\u05d5\u05e1\u05d4 (60 g)"), "letters that run from right to left are not printed."),
    (("--width", "wide"), "--width: 'wide' is no width of a panel. Write millimetres, 30 to 400, such as 70."),
    (("--width", "4"), "--width: '4' is no width of a panel."),
    (("--width", "31"), "--width 31: the panel of 'oat square' needs"),
    (("--face", "small"), "--face: 'small' is not an area."),
    (("--colours",), "--colours: United States has no criteria"),
    (("--all",), "--of names one thing, --all and --menu choose many."),
]


@pytest.mark.parametrize(("arguments", "said"), WRONG)
def test_a_wrong_call_is_refused_with_the_mend(
    book: Kitchen, tmp_path: Path, arguments: tuple[str, ...], said: str
) -> None:
    ran = panel(book, tmp_path, "--of", "oat square", *arguments)
    assert ran.code == 2
    assert said in ran.err
    assert not list(tmp_path.glob("*.pdf"))


def test_one_serving_cannot_be_that_of_many(book: Kitchen, tmp_path: Path) -> None:
    for flag, value in (("--serving", "60 g"), ("--servings", "4")):
        ran = panel(book, tmp_path, flag, value)
        assert ran.code == 2
        assert f"{flag}: it cannot be that of several" in ran.err


def test_a_name_that_is_none_and_a_menu_that_is_none(book: Kitchen, tmp_path: Path) -> None:
    assert panel(book, tmp_path, "--of", "oat sqare").code == 2
    assert panel(book, tmp_path, "--menu", "supper").code == 2


def test_a_book_with_faults(kitchen: Kitchen, tmp_path: Path) -> None:
    ran = panel(kitchen.write("- dish: x\n  plate: [50 g nothing known]\n"), tmp_path)
    assert ran.code == 1
    assert "nothing known" in ran.err


def test_a_book_without_dishes(kitchen: Kitchen, tmp_path: Path) -> None:
    ran = panel(kitchen.write(""), tmp_path)
    assert ran.code == 2
    assert "There is no dish in this book." in ran.err


def test_per_portion_alone_is_said_to_be_for_loose_food(book: Kitchen, tmp_path: Path) -> None:
    """Regulation (EU) No 1169/2011, Article 33(1)(d) (from memory)."""
    ran = panel(book, tmp_path, "--of", "oat square", "--jurisdiction", "eu", "--per", "portion")
    assert ran.code == 0
    assert "Per portion alone is for food that is not packed" in ran.err
    assert "per 100 g" not in text_of(tmp_path / "nutrition-panel-oat-square.pdf")[0]


def test_letters_of_other_scripts_in_the_measure(book: Kitchen, tmp_path: Path) -> None:
    ran = panel(book, tmp_path, "--of", "oat square", "--serving", "1 шматок (103 g)")
    assert ran.code == 0
    assert "1 шматок (103 g)" in text_of(tmp_path / "nutrition-panel-oat-square.pdf")[0]


def test_as_it_was_recorded(book: Kitchen, tmp_path: Path) -> None:
    """What the book says today does not reach a panel of a recorded day."""
    assert run("record", book.folder, "--on", "2026-11-20").code == 0
    book.write(WHOLE.replace("fat_g: 55,", "fat_g: 45,"), law="us")
    today = panel(book, tmp_path / "today", "--of", "oat square")
    past = run("panel", book.folder, "--out", tmp_path / "past", "--of", "oat square", "--as-recorded", "2026-11-25")
    assert (today.code, past.code) == (0, 0), past.err
    name = "nutrition-panel-oat-square.pdf"
    # 25 g of nut butter with 55 g of fat in 100 g: 18.1 g; with 45 g: 15.6 g.
    assert "Total Fat 18 g" in text_of(tmp_path / "past" / name)[0]
    assert "Total Fat 16 g" in text_of(tmp_path / "today" / name)[0]
    assert "As recorded for 2026-11-20" in past.err
