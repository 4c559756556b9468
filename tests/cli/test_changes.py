"""``changes``: constructed books whose changes follow from the recipes alone (no source needed unless one stands beside)."""

from pathlib import Path
from typing import Any

import pytest

from labeller.cli.opening import today
from tests.kitchens import Kitchen, Ran, plate, run

PASTE = '- ingredient: house paste\n  composition: sr28:19335\n  spec: {supplier: a mill, reference: M-1, dated: 2026-10-01, statement: "sugar, rice flour", may_contain: none}\n'
BOOK = (
    PASTE
    + "- preparation: filling\n  takes: [100 g house paste, 50 g water]\n  keeps: 3 days chilled\n"
    + "- preparation: syrup\n  takes: [100 g sugar, 100 g water]\n"
    + plate("30 g filling", name="filled bun")
    + plate("30 g syrup", name="plain bun")
    + "- menu: dinner\n  sections: {desserts: [filled bun, plain bun]}\n"
    + "- menu: lunch\n  sections: {desserts: [plain bun]}\n"
)
DAY = "2026-11-20"


def changed(kitchen: Kitchen, after: str, *, before: str = BOOK) -> tuple[dict[str, Any], Ran]:
    """Record one book, write the other, and return what changed as JSON and as text."""
    folder = kitchen.write(before).folder
    assert run("record", folder, "--on", DAY).code == 0
    kitchen.write(after)
    found, text = run("changes", folder, "--json"), run("changes", folder)
    assert (found.code, text.code) == (0, 0), found.err + text.err
    assert found.err == text.err == ""
    assert all(len(line) <= 80 for line in text.out.splitlines())
    return found.json(), text


def spec(statement: str, more: str = "may_contain: none", reference: str = "M-1") -> str:
    return BOOK.replace(
        'statement: "sugar, rice flour", may_contain: none', f'statement: "{statement}", {more}'
    ).replace("M-1", reference)


def thing(found: dict[str, Any], name: str, kind: str = "dish") -> dict[str, Any]:
    (one,) = [one for one in found["things"] if (one["name"], one["kind"]) == (name, kind)]
    return dict(one)


def nothing_to_print(**more: Any) -> dict[str, Any]:
    return {
        "cards": [], "container_labels": [], "sale_labels": [], "panels": [], "allergen_sheet": False, "menu_notes": [],
        "where_energy_is_shown": [], "container_labels_of_opened_goods": [], "notes_of_the_whole_book": False, "take_away": [], **more,
    }  # fmt: skip


def test_an_unchanged_book_has_nothing_to_print_and_nobody_to_tell(kitchen: Kitchen) -> None:
    found, text = changed(kitchen, BOOK)
    assert found["nothing"] is True
    assert found["reprint"] == nothing_to_print()
    assert found["tell"] == {"front_of_house": [], "labels": [], "menus": {}}
    assert "Nothing that is declared changed" in text.out


def test_comments_and_the_order_of_entries_are_no_change(kitchen: Kitchen) -> None:
    found, _ = changed(
        kitchen, "# looked through\n" + BOOK.replace("[100 g sugar, 100 g water]", "[100 g water, 100 g sugar]")
    )
    assert found["nothing"] is True
    assert found["same_files"] is False


def test_a_gained_allergen_is_said_first_and_reaches_the_right_papers_and_people(kitchen: Kitchen) -> None:
    found, text = changed(kitchen, spec("sugar, HAZELNUTS", reference="M-2"))
    first = found["things"][0]
    assert (first["name"], first["what"][0]["about"], first["what"][0]["danger"]) == (
        "filled bun",
        "nuts",
        "now contains",
    )
    assert (
        first["what"][0]["words"]
        == "nuts: was 'not an ingredient', now 'contains' hazelnut (through filling > house paste)"
    )
    assert all(each["cause"] == "book" for one in found["things"] for each in one["what"])
    assert found["reprint"] == nothing_to_print(
        cards=["filled bun"], container_labels=["filling"], sale_labels=["filled bun", "filling"], allergen_sheet=True, menu_notes=["dinner"],
        container_labels_of_opened_goods=["house paste"],
    )  # fmt: skip
    assert found["tell"]["front_of_house"] == [{"dish": "filled bun", "words": [first["what"][0]["words"]]}]
    assert set(found["tell"]["labels"]) == {"filled bun", "filling", "house paste"}
    assert found["tell"]["menus"] == {"dinner": ["filled bun"]}
    (paste,) = found["ingredients"]
    assert (paste["ingredient"], paste["step"], paste["used_in"]) == ("house paste", "changed", ["filled bun"])
    assert paste["what"] == [
        {"field": "reference", "before": "'M-1'", "after": "'M-2'"},
        {"field": "statement", "before": "'sugar, rice flour'", "after": "'sugar, HAZELNUTS'"},
    ]
    page = text.out
    assert (
        page.index("TELL THE FLOOR NOW")
        < page.index("! nuts: was 'not an ingredient'")
        < page.index("What to print again")
    )
    assert page.index("What to print again") < page.index("Whom to tell")


def test_a_loss_of_confidence_is_loud_and_comes_before_what_only_fell_away(kitchen: Kitchen) -> None:
    found, text = changed(
        kitchen,
        BOOK.replace(PASTE, "- ingredient: house paste\n")
        + "- ingredient: sugar\n  spec: {declares: [], covers: all}\n",
    )
    bun = thing(found, "filled bun")
    open_ = [one for one in bun["what"] if one["danger"] == "no longer known"]
    assert len(open_) == 15  # the fourteen of Annex II of Regulation (EU) No 1169/2011, and alcohol
    assert bun["what"][: len(open_)] == open_
    assert "TELL THE FLOOR NOW: more to warn of, or no longer known" in text.out
    assert "'not known' (through filling > house paste)" in " ".join(text.out.split())
    assert any(one["dish"] == "filled bun" for one in found["tell"]["front_of_house"])


def test_a_lost_allergen_is_not_told_to_the_floor_as_danger(kitchen: Kitchen) -> None:
    found, text = changed(kitchen, BOOK, before=spec("sugar, HAZELNUTS"))
    assert thing(found, "filled bun")["what"][0]["danger"] == "weaker"
    assert found["tell"]["front_of_house"] == []
    assert found["reprint"]["cards"] == ["filled bun"]
    assert "TELL THE FLOOR NOW" not in text.out
    assert "Fallen away or weaker" in text.out


def test_new_gone_and_perhaps_only_a_new_name(kitchen: Kitchen) -> None:
    found, text = changed(
        kitchen, BOOK.replace("plain bun", "syrup bun") + plate("5 g house paste", name="a spoon of paste")
    )
    assert (thing(found, "syrup bun")["step"], thing(found, "syrup bun")["declared_alike"]) == ("new", "plain bun")
    assert thing(found, "plain bun")["step"] == "gone"
    spoon = thing(found, "a spoon of paste")
    assert (spoon["step"], spoon["declared_alike"], spoon["says"]) == (
        "new",
        None,
        "no allergen and no alcohol declared",
    )
    assert found["reprint"]["take_away"] == [{"name": "plain bun", "kind": "dish"}]
    assert set(found["reprint"]["cards"]) == {"syrup bun", "a spoon of paste"}
    assert {one["dish"] for one in found["tell"]["front_of_house"]} == {"syrup bun", "plain bun", "a spoon of paste"}
    assert {one["menu"]: one["words"] for one in found["menus"]} == {
        "dinner": "now on it: syrup bun; no longer on it: plain bun", "lunch": "now on it: syrup bun; no longer on it: plain bun",
    }  # fmt: skip
    assert "perhaps only a new name" in text.out
    assert "take away every paper of: plain bun" in text.out


def test_a_new_dish_that_is_not_known_says_so_first(kitchen: Kitchen) -> None:
    found, _ = changed(kitchen, BOOK + "- ingredient: mystery\n" + plate("5 g mystery", name="odd"))
    assert thing(found, "odd")["says"].startswith("not known: gluten, crustaceans, egg")


@pytest.mark.parametrize(
    ("old", "new", "papers"),
    [
        ("  keeps: 3 days chilled\n", "  keeps: 2 days chilled\n", {"container_labels": ["filling"], "sale_labels": ["filled bun", "filling"]}),
        ("- dish: plain bun\n", "- dish: plain bun\n  description: warm\n", {"cards": ["plain bun"], "menu_notes": ["dinner", "lunch"]}),
        ("    - 30 g syrup\n", "    - 30 g syrup\n    - 1 g water, optional\n", {"cards": ["plain bun"]}),
        ("- menu: lunch\n  sections: {desserts: [plain bun]}\n", "", {}),
        ("- menu: lunch\n  sections: {desserts: [plain bun]}\n", "- menu: lunch\n  sections: {desserts: [plain bun, filled bun]}\n", {"menu_notes": ["lunch"]}),
    ],
)  # fmt: skip
def test_what_is_printed_beside_a_declaration_counts_too(
    kitchen: Kitchen, old: str, new: str, papers: dict[str, Any]
) -> None:
    assert old in BOOK
    found, _ = changed(kitchen, BOOK.replace(old, new))
    printed = {
        key: value
        for key, value in found["reprint"].items()
        if value and key in ("cards", "container_labels", "sale_labels", "menu_notes")
    }
    for key, value in papers.items():
        assert printed[key] == value
    if "optional" not in new:
        assert set(printed) == set(papers)


def test_a_claim_that_cannot_be_made_any_more_is_told_to_the_floor(kitchen: Kitchen) -> None:
    # What vegetarians do not eat is in no law's list of allergens: no group changes, and the card does.
    claimed = BOOK.replace("- dish: filled bun\n", "- dish: filled bun\n  suitable_for: [vegetarian]\n")
    new = spec("sugar, pork gelatine").replace(
        "- dish: filled bun\n", "- dish: filled bun\n  suitable_for: [vegetarian]\n"
    )
    found, text = changed(kitchen, new, before=claimed)
    first = thing(found, "filled bun")["what"][0]
    assert (first["subject"], first["worse"]) == ("claim", True)
    assert first["words"] == "suitable for: was said of vegetarian, and cannot be said any more"
    assert found["reprint"]["cards"] == ["filled bun"]
    assert found["reprint"]["menu_notes"] == ["dinner"]
    assert found["tell"]["front_of_house"] == [{"dish": "filled bun", "words": [first["words"]]}]
    assert "TELL THE FLOOR NOW" in text.out


def test_another_way_to_the_same_statement_needs_a_card_only_where_it_is_printed(kitchen: Kitchen) -> None:
    twice = spec("sugar, HAZELNUTS") + PASTE.replace("house paste", "other paste").replace("rice flour", "HAZELNUTS")
    found, _ = changed(kitchen, twice.replace("100 g house paste", "100 g other paste"), before=twice)
    assert [one["subject"] for one in thing(found, "filled bun")["what"]] == ["reason", "ingredients"]
    assert found["reprint"]["cards"] == []
    assert found["reprint"]["sale_labels"] == ["filled bun", "filling"]


def test_a_new_address_is_on_every_sale_label(kitchen: Kitchen) -> None:
    found, _ = changed(kitchen, BOOK)
    kitchen.write("- kitchen: The Saltmarsh Room\n  jurisdiction: eu\n  address: 2 Example Quay\n" + BOOK, law=None)
    found = run("changes", kitchen.folder, "--json").json()
    assert found["kitchen"] == ["address: was none, now '2 Example Quay'"]
    assert set(found["reprint"]["sale_labels"]) == {"filled bun", "plain bun", "filling", "syrup"}
    assert found["reprint"]["cards"] == []


def test_shared_equipment_that_is_no_longer_cleaned_is_told(kitchen: Kitchen) -> None:
    def book(churn: str) -> str:
        head = f"- kitchen: The Saltmarsh Room\n  jurisdiction: eu\n  shared_equipment:\n    - {churn}\n"
        return head + PASTE.replace("rice flour", "HAZELNUTS") + (
            "- preparation: nut ice\n  takes: [10 g house paste]\n  made_on: [churn]\n"
            "- preparation: water ice\n  takes: [10 g water]\n  made_on: [churn]\n"
        ) + plate("10 g water ice", name="ice")  # fmt: skip

    folder = kitchen.write(book("{name: churn, cleaned: hot wash, checked: weekly swab}"), law=None).folder
    run("record", folder, "--on", DAY)
    kitchen.write(book("churn"), law=None)
    found = run("changes", folder, "--json").json()
    nuts = thing(found, "ice")["what"][0]
    assert (nuts["about"], nuts["danger"], nuts["after"]["status"]) == ("nuts", "may contain", "may contain")
    assert found["kitchen"] == [
        "shared equipment 'churn': cleaned was 'hot wash', now none, checked was 'weekly swab', now none"
    ]


def test_what_comes_from_the_law_is_told_from_what_comes_from_the_book(kitchen: Kitchen) -> None:
    # Sesame is a major food allergen in the United States from 1 January 2023: FASTER Act of 2021, Public Law 117-11, section 2.
    text = "- ingredient: tahini\n  spec: {declares: [sesame], covers: all}\n" + plate(
        "10 g tahini", "10 g water", name="dip"
    )
    folder = kitchen.write(text, law="us").folder
    run("record", folder, "--on", "2022-12-31")
    found = run("changes", folder, "--json").json()
    assert found["same_files"] is True
    sesame = thing(found, "dip")["what"][0]
    assert (sesame["about"], sesame["before"]["status"], sesame["after"]["status"], sesame["cause"]) == (
        "sesame", "not regulated", "contains", "law or tool",
    )  # fmt: skip
    assert any("2023-01-01" in one for one in found["law_or_tool"])
    assert "The book's files are the same: every difference comes from the law" in run("changes", folder).out
    kitchen.write(text.replace("10 g water", "10 g milk"), law="us")
    both = run("changes", folder, "--json").json()
    causes = {one["about"]: one["cause"] for one in thing(both, "dip")["what"]}
    assert (causes["sesame"], causes["milk"]) == ("law or tool", "book")
    assert "[from the law or the tool, not from the book]" in " ".join(run("changes", folder).out.split())


def test_between_two_recorded_days_whatever_the_book_is_now(kitchen: Kitchen) -> None:
    folder = kitchen.write(BOOK).folder
    run("record", folder, "--on", "2026-11-18")
    kitchen.write(spec("sugar, HAZELNUTS"))
    run("record", folder, "--on", "2026-11-20")
    kitchen.write("this is no book any more\n")
    found = run("changes", folder, "--from", "2026-11-19", "--to", "2026-11-20", "--json").json()
    assert (found["from"]["day"], found["to"]["day"]) == ("2026-11-18", "2026-11-20")
    assert thing(found, "filled bun")["what"][0]["about"] == "nuts"
    assert run("changes", folder, "--from", "2026-11-18", "--to", "2026-11-19", "--json").json()["nothing"] is True
    text = run("changes", folder, "--from", "2026-11-19", "--to", "2026-11-20").out
    assert "the record of 2026-11-18 (number 1, eu, the last up to 2026-11-19)" in " ".join(text.split())


def test_since_a_day_and_since_the_last(kitchen: Kitchen) -> None:
    folder = kitchen.write(BOOK).folder
    run("record", folder, "--on", "2026-11-18")
    kitchen.write(spec("sugar, HAZELNUTS"))
    run("record", folder, "--on", "2026-11-20")
    assert run("changes", folder, "--json").json()["nothing"] is True
    since = run("changes", folder, "--since", "2026-11-18", "--json").json()
    assert thing(since, "filled bun")["what"][0]["about"] == "nuts"
    assert since["to"] == {"record": None, "day": today().isoformat(), "jurisdiction": "eu"}


def test_a_faulty_book_says_its_faults(kitchen: Kitchen) -> None:
    folder = kitchen.write(BOOK).folder
    run("record", folder)
    kitchen.write(BOOK.replace("30 g filling", "30 g filing of nothing"))
    ran = run("changes", folder, "--json")
    assert ran.code == 1
    assert ran.json()["faults"]


def test_without_a_record_it_says_how_to_begin(kitchen: Kitchen) -> None:
    ran = run("changes", kitchen.write(BOOK).folder)
    assert (ran.code, ran.out) == (2, "")
    assert "labeller record BOOK" in ran.err


def test_another_law_is_held_against_the_record_by_that_law(kitchen: Kitchen) -> None:
    folder = kitchen.write(BOOK).folder
    run("record", folder, "--on", DAY)
    run("record", folder, "--on", DAY, "--jurisdiction", "us")
    kitchen.write(spec("sugar, CELERY"))
    # Celery is in Annex II of Regulation (EU) No 1169/2011 and none of the major food allergens of 21 USC 321(qq).
    european, american = (
        run("changes", folder, "--json").json(),
        run("changes", folder, "--json", "--jurisdiction", "us").json(),
    )
    assert thing(european, "filled bun")["what"][0]["about"] == "celery"
    assert "celery" not in {each["about"] for one in american["things"] for each in one["what"]}
    assert american["from"]["jurisdiction"] == american["to"]["jurisdiction"] == "us"


def test_markup_and_long_words_in_names_are_shown_as_they_are(kitchen: Kitchen, tmp_path: Path) -> None:
    name = "<b>" + "very" * 10 + "</b> & \N{GREEK SMALL LETTER ALPHA}"
    folder = kitchen.write(BOOK + plate("1 g water", name=f'"{name}"')).folder
    run("record", folder)
    kitchen.write(BOOK)
    assert thing(run("changes", folder, "--json").json(), name)["step"] == "gone"
    assert name in run("changes", folder).out


def test_another_thing_on_the_plate_is_told_to_the_floor(kitchen: Kitchen) -> None:
    """What may be served in place of a part brings what the declaration of the plate does not name."""
    found, text = changed(kitchen, BOOK.replace("- 30 g syrup", "- 30 g syrup, or 20 g almonds"))
    (told,) = found["tell"]["front_of_house"]
    assert told["dish"] == "plain bun"
    assert "almonds" in " ".join(told["words"])
    assert "front of house: plain bun" in text.out


def test_a_new_paper_of_what_may_stand_on_a_plate_is_told_to_the_floor(kitchen: Kitchen) -> None:
    """The plate is declared as before; the guest who is served the other thing is served what its new paper names."""
    before = BOOK.replace("- 30 g syrup", "- 30 g syrup, or 20 g house paste")
    found, _ = changed(kitchen, before.replace('"sugar, rice flour"', '"sugar, SESAME"'), before=before)
    told = {one["dish"]: " ".join(one["words"]) for one in found["tell"]["front_of_house"]}
    assert "With house paste instead of syrup: also contains sesame." in told["plain bun"]
    assert set(thing(found, "plain bun")["papers"]) == {"card", "allergen sheet", "menu notes"}
