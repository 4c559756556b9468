"""``labeller ingredient --from-pack``: asked, given as options or as a file; written only when it holds together."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from labeller.cli.main import app
from tests.kitchens import Kitchen, Ran, plate, rows, run, status

# A dark chocolate by the law's arithmetic: 38 x 37 + 41 x 17 + 7.5 x 17 + 9 x 8 = 2302.5 kJ (Regulation (EU) No 1169/2011, Annex XIV)
FIGURES = ("--energy-kj", "2303", "--energy-kcal", "554", "--fat", "38", "--saturates", "23", "--carbohydrate", "41", "--sugars", "38",
           "--fibre", "9", "--protein", "7.5", "--salt", "0,02")  # fmt: skip
WORDS = ("--statement", "Cocoa mass, sugar, emulsifier: soya lecithin, vanila", "--may-contain", "milk, nuts")


def bring(kitchen: Kitchen, *arguments: str, name: str = "house couverture", law: str = "gb") -> Ran:
    """Run the command on a book that has this one dish."""
    if not (kitchen.folder / "book.yaml").exists():
        kitchen.write(plate(f"20 g {name}"), law=law)
    return run("ingredient", "--from-pack", "--into", kitchen.folder, "--name", name, *arguments)


def typed(lines: str, kitchen: Kitchen, *arguments: str) -> Ran:
    kitchen.write(plate("20 g praline 60"), law="gb")
    result = CliRunner().invoke(
        app, ["ingredient", "--from-pack", "--into", str(kitchen.folder), *arguments], input=lines
    )
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return Ran(result.exit_code, result.stdout, result.stderr)


def packs(kitchen: Kitchen) -> str:
    path = kitchen.folder / "ingredients" / "packs.yaml"
    return path.read_text("utf-8") if path.exists() else ""


def test_a_true_pack_is_written_and_read_back(kitchen: Kitchen) -> None:
    ran = bring(
        kitchen, *FIGURES, *WORDS, "--supplier", "Quayside Foods", "--reference", "QF-7", "--dated", "2026-11-20"
    )
    assert ran.code == 0, ran.err
    assert "Contains: soya (soya), in the words: soya lecithin" in ran.err
    assert "May contain: milk (milk)" in ran.err
    assert "Words not understood, which change nothing: vanila" in ran.err
    assert ran.out in packs(kitchen)
    assert kitchen.faults() == []
    found = kitchen.one("plate")
    assert status(found, "soya") == "contains"
    assert status(found, "milk") == "may contain"
    assert status(found, "egg") == "none declared"  # the whole statement is there and does not name it
    assert found["nutrition"]["per_100_g"]["fat_g"] == pytest.approx(38.0)
    assert "dated: 2026-11-20" in packs(kitchen)


def test_without_a_day_it_is_today(kitchen: Kitchen, monkeypatch: pytest.MonkeyPatch) -> None:
    from datetime import date

    monkeypatch.setattr("labeller.cli.ingredient.today", lambda: date(2027, 1, 2))
    assert bring(kitchen, *WORDS).code == 0
    assert "dated: 2027-01-02" in packs(kitchen)


def test_without_a_statement_its_allergens_stay_unconfirmed(kitchen: Kitchen) -> None:
    ran = bring(kitchen, *FIGURES)
    assert ran.code == 0
    assert "Without the list of ingredients every allergen of it stays unconfirmed." in ran.err
    assert {row["status"] for row in rows(kitchen.one("plate")).values()} == {"unconfirmed"}


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (("--energy-kj", "554", "--energy-kcal", "2303"), "are swapped: 1 kcal is 4.184 kJ"),
        (("--saturates", "41"), "of which they are part"),
        (("--sugars", "47"), "of which they are part"),
        (("--sodium", "80"), "do not agree"),
        (("--fat", "3.8"), "does not follow from the other figures"),
    ],
)
def test_what_is_doubtful_is_not_written_unless_accepted(kitchen: Kitchen, wrong: tuple[str, ...], words: str) -> None:
    ran = bring(kitchen, *FIGURES, *WORDS, *wrong)
    assert ran.code == 1
    assert ran.out == ""
    assert words in ran.err
    assert "add --accept" in ran.err
    assert packs(kitchen) == ""
    ran = bring(kitchen, *FIGURES, *WORDS, *wrong, "--accept")
    if "--sodium" in wrong:  # the book's own reader would refuse such an entry, accepted or not
        assert ran.code == 1
        assert packs(kitchen) == ""
        return
    assert ran.code == 0, ran.err
    assert words in packs(kitchen)
    assert packs(kitchen).count("# written as typed on ") >= 1
    assert kitchen.faults() == []


@pytest.mark.parametrize("wrong", [("--fat", "-3"), ("--fat", "138"), ("--salt", "800"), ("--protein", "much"),
                                   ("--fat", "60", "--carbohydrate", "60"), ("--may-contain", "hazelnotts"),
                                   ("--statement", "see attached sheet"), ("--dated", "yesterday"), ("--per", "two biscuits"),
                                   ("--per", "100 ml")])  # fmt: skip
def test_what_cannot_be_is_refused_accepted_or_not(kitchen: Kitchen, wrong: tuple[str, ...]) -> None:
    ran = bring(kitchen, *FIGURES, *WORDS, *wrong, "--accept")
    assert ran.code == 1
    assert "Nothing was written." in ran.err
    assert packs(kitchen) == ""


def test_json_has_figures_findings_and_what_was_read(kitchen: Kitchen) -> None:
    found = bring(kitchen, *FIGURES, *WORDS, "--json").json()
    assert found["written"] == "ingredients/packs.yaml"
    assert found["figures"]["salt_g"] == 0.02
    assert [row["group"] for row in found["reading"]["contains"]] == ["soya"]
    assert {row["group"] for row in found["reading"]["may_contain"]} == {"milk", "nuts"}
    ran = bring(kitchen, *FIGURES, *WORDS, "--energy-kj", "554", "--energy-kcal", "2303", "--json", name="another")
    assert ran.code == 1
    assert ran.err == ""
    assert ran.json()["findings"][0]["proposed"] == {"energy_kj": 2303.0, "energy_kcal": 554.0}
    assert ran.json()["written"] is None


def test_an_entry_of_that_name_is_replaced_only_when_asked(kitchen: Kitchen) -> None:
    before = "# ours\n- ingredient: house couverture   # old\n  per_100_g: {fat_g: 1}\n\n# next\n- ingredient: x\n"
    kitchen.write(plate("20 g house couverture"), law="gb").write(before, name="larder.yaml", law=None)
    ran = bring(kitchen, *FIGURES, *WORDS)
    assert ran.code == 1
    assert "'house couverture' stands already in larder.yaml:2." in ran.err
    assert (kitchen.folder / "larder.yaml").read_text("utf-8") == before
    assert bring(kitchen, *FIGURES, *WORDS, "--replace").code == 0
    after = (kitchen.folder / "larder.yaml").read_text("utf-8")
    assert after.startswith("# ours\n- ingredient: house couverture\n")
    assert after.endswith("\n\n# next\n- ingredient: x\n")
    assert packs(kitchen) == ""
    assert kitchen.one("plate")["nutrition"]["per_100_g"]["fat_g"] == pytest.approx(38.0)


def test_a_name_a_preparation_or_another_entry_has_is_refused(kitchen: Kitchen) -> None:
    kitchen.write("- ingredient: y\n  also: [house couverture]\n- preparation: z\n  takes: [10 g water]\n", law="gb")
    assert "is another name of 'y'" in bring(kitchen, *WORDS).err
    assert "is a preparation of this book" in bring(kitchen, *WORDS, "--replace", name="z").err
    assert packs(kitchen) == ""


def test_a_second_pack_is_added_and_comments_stay(kitchen: Kitchen) -> None:
    bring(kitchen, *WORDS)
    path = kitchen.folder / "ingredients" / "packs.yaml"
    path.write_text(packs(kitchen).replace("  spec:", "  spec:   # from the box"), "utf-8")
    kept = packs(kitchen)
    assert bring(kitchen, *WORDS, name="second").code == 0
    assert packs(kitchen).startswith(kept)
    assert kitchen.faults() == []


def test_figures_for_a_serving_come_to_a_hundred_grams(kitchen: Kitchen) -> None:
    ran = bring(
        kitchen,
        "--per",
        "serving of 25 g",
        "--fat",
        "9.5",
        "--carbohydrate",
        "10.25",
        "--protein",
        "1.9",
        "--energy-kj",
        "560",
    )
    assert ran.code == 0, ran.err
    assert "fat_g: 38, carbohydrate_g: 41, protein_g: 7.6" in packs(kitchen)
    assert "# figures for 25 g brought to 100 g" in packs(kitchen)


def test_a_whole_column_for_a_portion_is_asked_about(kitchen: Kitchen) -> None:
    # cheddar, SR28 01009: fat 33.31, carbohydrate 3.09 without fibre, protein 22.87, 404 kcal in 100 g; here three tenths of it
    ran = bring(
        kitchen,
        "--fat",
        "10",
        "--carbohydrate",
        "0.9",
        "--protein",
        "6.9",
        "--energy-kcal",
        "121",
        "--serving",
        "30 g",
        name="cheddar cheese",
    )
    assert ran.code == 1
    assert "If these are the figures for the serving of 30 g" in ran.err


def test_a_us_panel_in_a_european_book(kitchen: Kitchen) -> None:
    # 21 CFR 101.9(c)(6): carbohydrate with fibre, sodium in mg, Calories; the book's own law: without, salt
    ran = bring(
        kitchen,
        "--panel",
        "us",
        "--energy-kcal",
        "550",
        "--fat",
        "38",
        "--carbohydrate",
        "50",
        "--fibre",
        "9",
        "--protein",
        "7.5",
        "--sodium",
        "20",
    )
    assert ran.code == 0, ran.err
    assert "carbohydrate_g: 41, fibre_g: 9" in packs(kitchen)
    declared = kitchen.one("plate")["nutrition"]["per_100_g"]
    assert declared["salt_g"] == pytest.approx(0.05)  # Regulation (EU) No 1169/2011, Annex I, 11: sodium x 2.5
    assert declared["carbohydrate_g"] == pytest.approx(41.0)


def test_a_small_file_gives_the_same_fields(kitchen: Kitchen, tmp_path: Path) -> None:
    file = tmp_path / "pack.yaml"
    file.write_text(
        "name: house couverture\nstatement: Cocoa mass, sugar\nfat: 38\nsodium: 8 mg\nenergy kJ: 2303\n", "utf-8"
    )
    kitchen.write(plate("20 g house couverture"), law="gb")
    ran = run("ingredient", "--from-pack", "--into", kitchen.folder, "--from", file)
    assert ran.code == 0, ran.err
    assert "per_100_g: {energy_kj: 2303, fat_g: 38, sodium_mg: 8}" in packs(kitchen)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("name: a\nfatt: 3\n", "pack.yaml:2: fatt: 'fatt' is not a field of a pack."),
        ("name: a\nname: b\n", "pack.yaml:2: name: 'name' is given twice."),
        ("just words\n", "pack.yaml:1: file: this is not one pack with its fields."),
        ("name: [a, b]\n", "pack.yaml:1: name: 'name' holds a list"),
        ("name: 'a\n", "pack.yaml:"),
    ],
)
def test_faults_of_the_file_have_their_line(kitchen: Kitchen, tmp_path: Path, text: str, words: str) -> None:
    file = tmp_path / "pack.yaml"
    file.write_text(text, "utf-8")
    kitchen.write(plate("20 g x"), law="gb")
    ran = run("ingredient", "--from-pack", "--into", kitchen.folder, "--from", file)
    assert ran.code == 1
    assert words in ran.err
    assert packs(kitchen) == ""


def test_asked_field_by_field_and_about_a_doubt(kitchen: Kitchen) -> None:
    answers = [
        "praline 60",
        "",
        "",
        "hazelnuts, sugar",
        "",
        "",
        "",
        "2303",
        "38",
        "",
        "41",
        "",
        "",
        "7.5",
        "",
        "",
        "y",
    ]
    ran = typed("\n".join(answers) + "\n", kitchen)
    assert ran.code == 0, ran.err
    assert "What do you call it in the recipes?" in ran.err
    assert "2303 kcal is too much." in ran.err
    assert "per_100_g: {energy_kj: 2303, fat_g: 38, carbohydrate_g: 41, protein_g: 7.5}" in packs(kitchen)
    assert status(kitchen.one("plate"), "nuts") == "contains"


def test_a_doubt_kept_as_typed_leaves_a_comment_and_stopping_writes_nothing(kitchen: Kitchen) -> None:
    answers = ["praline 60", "", "", "hazelnuts, sugar", "", "", "2303", "", "3.8", "", "41", "", "", "7.5", "", ""]
    assert typed("\n".join([*answers, "q"]) + "\n", kitchen).code == 1
    assert packs(kitchen) == ""
    assert typed("\n".join([*answers, "k"]) + "\n", kitchen).code == 0
    assert "although 2303 kJ does not follow" in packs(kitchen)


def test_an_end_of_input_writes_nothing(kitchen: Kitchen) -> None:
    ran = typed("", kitchen)
    assert ran.code == 2
    assert "--name: the ingredient has no name." in ran.err
    assert packs(kitchen) == ""


@pytest.mark.parametrize(
    "arguments",
    [("--into", "BOOK"), ("--from-pack",), ("--from-pack", "--into", "NONE", "--name", "a", "--fat", "1"),
     ("--from-pack", "--into", "BOOK", "--name", "a", "--json"), ("--from-pack", "--into", "BOOK", "--fat", "1"),
     ("--from-pack", "--into", "BOOK", "--name", "a", "--fat", "1", "--panel", "xx"),
     ("--from-pack", "--into", "BOOK", "--from", "NONE")],
)  # fmt: skip
def test_wrong_usage_is_two_and_says_the_mend(kitchen: Kitchen, arguments: tuple[str, ...]) -> None:
    kitchen.write(plate("20 g x"), law="gb")
    places = {"BOOK": str(kitchen.folder), "NONE": str(kitchen.folder / "none")}
    ran = run("ingredient", *[places.get(one, one) for one in arguments])
    assert ran.code == 2
    assert ran.out == ""
    assert ran.err.strip()


def test_a_book_without_a_jurisdiction_cannot_be_written_into(kitchen: Kitchen) -> None:
    kitchen.write("- ingredient: x\n", law=None)
    ran = bring(kitchen, *WORDS)
    assert ran.code == 2
    assert "names no jurisdiction" in ran.err


def test_a_statement_with_quotes_and_colons_is_kept_as_it_is(kitchen: Kitchen) -> None:
    statement = 'Flour (WHEAT), "best" butter: (MILK) \\ salt # 2 %'
    assert bring(kitchen, "--statement", statement).code == 0
    import yaml

    held = yaml.safe_load(packs(kitchen))
    assert held[0]["spec"]["statement"] == statement
    assert json.loads(json.dumps(held[0]["ingredient"])) == "house couverture"


def test_a_strength_makes_the_alcohol_known(kitchen: Kitchen) -> None:
    words = ("--statement", "sugar, water, alcohol, hazelnuts", "--may-contain", "none")
    ran = bring(kitchen, *words, "--strength", "20 % vol", name="nut liqueur")
    assert ran.code == 0, ran.err
    assert 'strength: "20 % vol"' in packs(kitchen)
    assert kitchen.one("plate")["alcohol"]["ethanol_g"]["estimate"] > 1.0  # 20 g of a fifth by volume
    without = bring(kitchen, *words, "--replace", name="nut liqueur")
    assert "how much is not known" in without.err
    wrong = bring(kitchen, *words, "--strength", "strong", "--replace", name="nut liqueur")
    assert wrong.code == 1
    assert "20 % vol" in wrong.err


def test_the_strength_is_asked_where_there_is_alcohol_and_a_wrong_answer_is_asked_again(kitchen: Kitchen) -> None:
    asked = typed("dark ale\n\n\nwater, malted barley, hops\nnone\nstrong\n5 % vol\n\n" + "\n" * 12, kitchen)
    assert asked.code == 0, asked.err
    assert "'strong' is not a strength." in asked.err
    assert 'strength: "5 % vol"' in packs(kitchen)
    assert "How strong" not in typed("oat biscuit\n\n\nOATS, sugar\n" + "\n" * 14, kitchen).err


def test_a_name_that_stands_is_said_before_all_else_is_typed(kitchen: Kitchen) -> None:
    kitchen.write("- ingredient: house paste\n", name="own.yaml", law=None)
    asked = typed("house paste\nnew paste\n\n\nHAZELNUTS\n" + "\n" * 14, kitchen)
    assert asked.code == 0, asked.err
    assert asked.err.index("stands already") < asked.err.index("Who supplies it?")
    assert "- ingredient: new paste" in packs(kitchen)


def test_what_a_millilitre_weighs_is_asked_where_the_figures_are_by_volume(kitchen: Kitchen) -> None:
    asked = typed("plum syrup\n\n\nsugar, plums\nnone\n100 ml\n1.3 g/ml\n" + "\n" * 12, kitchen)
    assert asked.code == 0, asked.err
    assert "density: 1.3 g/ml" in packs(kitchen).replace('"', "")


@pytest.mark.parametrize(
    ("held", "lost"),
    [
        ("made_on: [churn]", "'made_on'"),
        ("spec: {declares: [milk], may_contain: [egg]}", "'declares', 'may_contain'"),
    ],
)
def test_a_pack_never_takes_the_place_of_what_says_more_of_allergens(held: str, lost: str, kitchen: Kitchen) -> None:
    before = f"- ingredient: house couverture\n  {held}\n"
    kitchen.write(f"  shared_equipment: [churn]\n{plate('20 g house couverture')}", law="gb")
    kitchen.write(before, name="larder.yaml", law=None)
    ran = bring(kitchen, *FIGURES, "--replace")
    assert ran.code == 1
    assert f"'house couverture' in larder.yaml:1 has {lost}, which is not given here" in ran.err
    assert (kitchen.folder / "larder.yaml").read_text("utf-8") == before
