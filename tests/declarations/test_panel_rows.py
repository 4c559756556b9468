"""The rows of nutrition declarations: order, words and figures by each law, and what is missing."""

from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labeller.cli.opening import Opened
from labeller.declarations.panel_content import NoPortionError, Panel, PanelRefusedError
from labeller.declarations.panel_missing import supplies
from labeller.declarations.panel_rows import PanelWish, panel_of
from labeller.declarations.panel_serving import metric, parse_serving
from labeller.jurisdictions import packs
from labeller.jurisdictions.compiling import as_bytes, compile_folder, compiled_path
from tests.declarations.test_seventh_jurisdiction import seventh as seventh  # noqa: PLC0414 - a fixture
from tests.jurisdictions.test_packs import write_sandbar
from tests.kitchens import Kitchen
from tests.panels import whole

DAY = date(2026, 11, 25)


def of(opened: Opened, name: str = "oat square", **wish: object) -> Panel:
    kind = opened.declarer.dish if name in opened.workings.plates else opened.declarer.given
    return panel_of(opened.declarer, kind(name), PanelWish(**wish))  # type: ignore[arg-type]  # parametrized


def names(panel: Panel) -> list[str]:
    return [line.names[0] if line.names else "" for line in panel.lines]


# Regulation (EU) No 1169/2011, Annex XV, with fibre, which Article 30(2)(e) allows; energy in kJ, then kcal.
EUROPE = ["Energy", "", "Fat", "of which saturates", "Carbohydrate", "of which sugars", "Fibre", "Protein", "Salt"]
# 21 CFR 101.9(c)(1) to (c)(8)(ii).
FACTS = ["Calories", "Total Fat", "Saturated Fat", "Trans Fat", "Cholesterol", "Sodium", "Total Carbohydrate", "Dietary Fiber",
         "Total Sugars", "Includes 11 g Added Sugars", "Protein", "Vitamin D", "Calcium", "Iron", "Potassium"]  # fmt: skip
# Australia New Zealand Food Standards Code, Schedule 12, S12-2; calories in brackets are allowed, 1.2.8-6(1)(d)(i).
PANEL = ["Energy", "", "Protein", "Fat, total", "– saturated", "Carbohydrate", "– sugars", "Sodium"]
# Food and Drug Regulations, B.01.401 as of 2016 (from memory).
CANADA = ["Calories", "Fat", "Saturated", "+ Trans", "Carbohydrate", "Fibre", "Sugars", "Protein", "Cholesterol", "Sodium",
          "Potassium", "Calcium", "Iron"]  # fmt: skip


@pytest.mark.parametrize(
    ("law", "expected"), [("eu", EUROPE), ("gb", EUROPE), ("us", FACTS), ("au-nz", PANEL), ("ca", CANADA)]
)
def test_the_lines_in_the_order_of_the_law(kitchen: Kitchen, law: str, expected: list[str]) -> None:
    panel = of(whole(kitchen, law))
    assert names(panel) == expected
    assert not panel.missing


def test_the_lines_of_codex(kitchen: Kitchen) -> None:
    """Guidelines on Nutrition Labelling, CXG 2-1985, 3.2.1 (from memory)."""
    keys = {line.key for line in of(whole(kitchen, "codex")).lines}
    assert keys == {
        "energy_kj",
        "energy_kcal",
        "protein_g",
        "carbohydrate_g",
        "fat_g",
        "saturates_g",
        "sodium_mg",
        "sugars_g",
    }


def test_french_beside_english(kitchen: Kitchen) -> None:
    panel = of(whole(kitchen, "ca"))
    assert panel.title == ("Nutrition Facts", "Valeur nutritive")
    by_key = {line.key: line.names for line in panel.lines}
    assert by_key["fat_g"] == ("Fat", "Lipides")
    assert by_key["iron_mg"] == ("Iron", "Fer")
    assert len(panel.statements) == 2


def test_saturated_and_trans_share_one_percentage(kitchen: Kitchen) -> None:
    """Table of Daily Values, 20 g for the two together (from memory); read in the directory: one percentage beside two lines."""
    lines = {line.key: line for line in of(whole(kitchen, "ca")).lines}
    assert lines["saturates_g"].percent_with == "trans_fat_g"
    assert lines["trans_fat_g"].percent is None
    # 60 g x 1.3 % + 25 g x 4.2 % = 1.83 g, and 0.025 g trans: 1.855 of 20 g.
    assert lines["saturates_g"].percent is not None
    assert lines["saturates_g"].percent.text == "9 %"


@pytest.mark.parametrize("law", ["eu", "gb", "us", "ca", "au-nz", "codex"])
def test_figures_are_those_declared(kitchen: Kitchen, law: str) -> None:
    opened = whole(kitchen, law)
    declaration = opened.declarer.dish("oat square")
    panel = of(opened)
    declared = {"per_100_g": declaration.declared_per_100_g, "per_portion": declaration.declared_per_portion}
    for line in panel.lines:
        for column, amount in zip(panel.columns, line.amounts, strict=False):
            assert amount.text.strip("()").startswith(declared[column.basis][line.key])


def test_figures_worked_out_by_hand(kitchen: Kitchen) -> None:
    """The pack's figures added up: 60 g oats, 25 g nut butter, 18 g syrup; 21 CFR 101.9(c) rounds them."""
    lines = {line.key: line for line in of(whole(kitchen, "us")).lines}
    # fat 4.35 + 13.75 + 0.009 = 18.1; carbohydrate 36 + 3 + 12.06 = 51.1; sugars 0.6 + 1.1 + 10.89 = 12.6; protein 7.8 + 5.25 = 13.06
    assert lines["fat_g"].amounts[0].text == "18 g"
    assert lines["carbohydrate_g"].amounts[0].text == "51 g"
    assert lines["sugars_g"].amounts[0].text == "13 g"
    assert lines["protein_g"].amounts[0].text == "13 g"
    # sodium 2.4 + 56.75 + 2.16 = 61.3 mg: to the nearest 5; calories 4 x 51.06 + 4 x 13.06 + 9 x 18.11 = 419.4: to the nearest 10
    assert lines["sodium_mg"].amounts[0].text == "60 mg"
    assert lines["energy_kcal"].amounts[0].text == "420"
    # potassium 222 + 187 + 38.16 = 447.2 mg; vitamin D 0.27 mcg, 1.35 % of 20 mcg: below 2 %, 21 CFR 101.9(c)(8)(iii)
    assert lines["potassium_mg"].amounts[0].text == "450 mg"
    assert lines["vitamin_d_ug"].percent is not None
    assert lines["vitamin_d_ug"].percent.text == "0%"


def test_bold_are_the_names_that_do_not_stand_in(kitchen: Kitchen) -> None:
    """21 CFR 101.9(d)(1)(iv) names them, Calories apart, whose line is set by itself."""
    bold = {line.names[0] for line in of(whole(kitchen, "us")).lines if line.bold}
    assert bold == {"Calories", "Total Fat", "Cholesterol", "Sodium", "Total Carbohydrate", "Protein"}


def test_the_prescribed_statement_stands_with_percentages_alone(kitchen: Kitchen) -> None:
    """Regulation (EU) No 1169/2011, Article 32(4) and (5)."""
    opened = whole(kitchen, "eu")
    assert of(opened).statements == ("* Reference intake of an average adult (8 400 kJ/2 000 kcal)",)
    without = of(opened, per="100g")
    assert without.statements == ()
    assert all(line.percent is None for line in without.lines)
    # Annex XIII: 18.109 g of 70 g fat, 1817.7 kJ of 8 400 kJ.
    lines = {line.key: line for line in of(opened).lines}
    assert lines["fat_g"].percent is not None
    assert lines["fat_g"].percent.text == "26 %"
    assert lines["energy_kj"].percent is not None
    assert lines["energy_kj"].percent.text == "22 %"
    assert lines["energy_kcal"].percent is None
    assert lines["fibre_g"].percent is None


def test_what_is_missing_names_ingredient_share_place_and_mend(kitchen: Kitchen) -> None:
    panel = of(whole(kitchen, "eu"), "half known square")
    assert [one.key for one in panel.missing] == ["saturates_g", "sugars_g"]
    gap = panel.missing[0].gaps[0]
    assert (gap.ingredient, round(gap.share, 3), gap.needs) == ("mystery paste", 0.15, ("saturates_g",))
    assert gap.origin.path == "book.yaml"
    line = (kitchen.folder / "book.yaml").read_text(encoding="utf-8").splitlines()[gap.origin.line - 1]
    assert line == "- ingredient: mystery paste"
    (supply,) = supplies(panel.missing)
    text = supply.as_text()
    assert text.startswith(
        f"mystery paste (15 % of the weight; book.yaml:{gap.origin.line}) has no figure for saturates and sugars."
    )
    assert "Write per_100_g: {saturates_g: .., sugars_g: ..} in its entry" in text


def test_a_missing_figure_is_said_never_nought_and_never_blank(kitchen: Kitchen) -> None:
    for law in ("eu", "us", "ca"):
        panel = of(whole(kitchen, law), "half known square")
        lines = {line.key: line for line in panel.lines}
        assert {one.text for one in lines["saturates_g"].amounts} == {"not known"}
        assert lines["saturates_g"].percent is not None
        assert lines["saturates_g"].percent.text == "not known"
        assert all(one.text for line in panel.lines for one in line.amounts)


def test_added_sugars_that_are_not_known(kitchen: Kitchen) -> None:
    lines = {line.key: line for line in of(whole(kitchen, "us"), "half known square").lines}
    assert lines["added_sugars_g"].names == ("Includes Added Sugars",)
    assert [one.text for one in lines["added_sugars_g"].amounts] == ["not known"]


def test_energy_is_supplied_by_what_it_is_summed_from(kitchen: Kitchen) -> None:
    text = "- ingredient: bare paste\n- ingredient: oats\n  per_100_g: {fat_g: 7, saturates_g: 1, carbohydrate_g: 60, sugars_g: 1, fibre_g: 9, protein_g: 13, salt_g: 0.01, alcohol_g: 0}\n- dish: x\n  plate: [50 g oats, 50 g bare paste]\n"
    panel = of(whole(kitchen, "eu", text), "x")
    gap = next(one for one in panel.missing if one.key == "energy_kj").gaps[0]
    assert (gap.ingredient, gap.share, gap.has_row) == ("bare paste", 0.5, False)
    assert set(gap.needs) == {"fat_g", "carbohydrate_g", "fibre_g", "protein_g", "alcohol_g"}
    assert "or a row of the reference table" in supplies(panel.missing)[0].as_text()


def test_a_piece_is_the_portion_of_a_batch(kitchen: Kitchen) -> None:
    """510 g in 12 pieces: 42.5 g each, printed to the gram, ties up (Food and Drug Regulations, B.01.401, item 1)."""
    panel = of(whole(kitchen, "us"), "oat mixture")
    assert panel.serving is not None
    assert panel.serving.words() == "1 piece (43 g)"
    # fat 300 x 7.25 % + 120 x 55 % + 90 x 0.05 % = 87.8 g, a twelfth is 7.3 g
    assert next(line for line in panel.lines if line.key == "fat_g").amounts[0].text == "7 g"


def test_a_serving_of_ones_own(kitchen: Kitchen) -> None:
    panel = of(whole(kitchen, "us"), "oat mixture", serving=parse_serving("2 pieces (85 g)"), servings="6")
    assert panel.serving is not None
    assert (panel.serving.words(), panel.servings) == ("2 pieces (85 g)", "6")
    lines = {line.key: line for line in panel.lines}
    assert lines["fat_g"].amounts[0].text == "15 g"  # 87.8 g x 85 / 510
    assert lines["fat_g"].percent is not None
    assert lines["fat_g"].percent.text == "19%"  # 14.63 of 78 g


def test_drinks_go_by_100_ml(kitchen: Kitchen) -> None:
    """Regulation (EU) No 1169/2011, Article 32(2) (from memory); Standard 1.2.8-6(1)(d)."""
    panel = of(whole(kitchen, "eu"), "sweet water")
    assert [column.head for column in panel.columns] == ["per 100 ml", "per portion (223 ml)"]
    # 200 ml water and 30 g syrup of 1.3 g/ml, 23.08 ml: 20.1 g carbohydrate without fibre, 9.0 g in 100 ml
    carbohydrate = next(line for line in panel.lines if line.key == "carbohydrate_g")
    assert [one.text for one in carbohydrate.amounts] == ["9.0 g", "20 g"]
    assert [column.head for column in of(whole(kitchen, "au-nz"), "sweet water").columns] == [
        "Average quantity per serving",
        "Average quantity per 100 mL",
    ]


@pytest.mark.parametrize(("law", "per", "bases"), [
    ("eu", "", ["per_100_g", "per_portion"]),
    ("eu", "100g", ["per_100_g"]),
    ("eu", "portion", ["per_portion"]),
    ("us", "", ["per_portion"]),
    ("us", "portion", ["per_portion"]),
    ("au-nz", "", ["per_portion", "per_100_g"]),
    ("ca", "", ["per_portion"]),
])  # fmt: skip
def test_the_bases_of_each_law(kitchen: Kitchen, law: str, per: str, bases: list[str]) -> None:
    assert [column.basis for column in of(whole(kitchen, law), per=per).columns] == bases


@pytest.mark.parametrize(("law", "per"), [("us", "100g"), ("us", "both"), ("au-nz", "100g"), ("ca", "100g")])
def test_a_basis_the_law_has_not_is_refused(kitchen: Kitchen, law: str, per: str) -> None:
    with pytest.raises(
        PanelRefusedError, match=rf"^--per {per}: the panel of .+ has (portion|both).*leave --per away\.$"
    ):
        of(whole(kitchen, law), per=per)


def test_a_batch_without_pieces_has_no_portion(kitchen: Kitchen) -> None:
    with pytest.raises(
        NoPortionError, match=r"^'loose mixture': how much a portion is, is not known\. Write .*makes: 8"
    ):
        of(whole(kitchen, "us"), "loose mixture")
    assert [column.basis for column in of(whole(kitchen, "eu"), "loose mixture").columns] == ["per_100_g"]


def test_the_simplified_form(kitchen: Kitchen) -> None:
    """21 CFR 101.9(f): of fifteen figures eight or more insignificant; calories, fat, sodium, carbohydrate and protein always stand."""
    opened = whole(kitchen, "us")
    assert names(of(opened, "bare water", form="simplified")) == [
        "Calories",
        "Total Fat",
        "Sodium",
        "Total Carbohydrate",
        "Protein",
    ]
    with pytest.raises(
        PanelRefusedError,
        match=r"^'oat square': 3 figures are insignificant, and the simplified form is for 8 or more",
    ):
        of(opened, form="simplified")  # trans fat 0.03 g, cholesterol 0, vitamin D 1.35 % of the RDI
    with pytest.raises(PanelRefusedError, match="may be used is not known, for these figures are missing"):
        of(opened, "half known square", form="simplified")


def test_a_form_the_law_has_not(kitchen: Kitchen) -> None:
    with pytest.raises(PanelRefusedError, match=r"^--form tabular: the panel of .* is drawn as table\."):
        of(whole(kitchen, "eu"), form="tabular")


@pytest.mark.parametrize(
    ("text", "words", "grams"),
    [
        ("2 pieces (60 g)", ("2 pieces",), 60.0),
        ("60 g", (), 60.0),
        ("  1/8 of a pie (1,5 kg) ", ("1/8 of a pie",), 1500.0),
        ("2 pieces / 2 morceaux (60g)", ("2 pieces", "2 morceaux"), 60.0),
    ],
)
def test_a_serving_as_written(text: str, words: tuple[str, ...], grams: float) -> None:
    asked = parse_serving(text)
    assert (asked.measures, asked.grams) == (words, grams)


@pytest.mark.parametrize(
    "text", ["", "2 pieces", "0 g", "2 pieces (0 ml)", "(g)", "60", "60 oz", "-5 g", "pieces (60 g) each"]
)
def test_what_is_no_serving_says_how_to_write_one(text: str) -> None:
    with pytest.raises(
        PanelRefusedError, match=r"^--serving: .*Write a household measure and a weight, such as \"2 pieces \(60 g\)\""
    ):
        parse_serving(text)


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=40))
def test_no_text_makes_the_reader_of_servings_raise_anything_else(text: str) -> None:
    try:
        asked = parse_serving(text)
    except PanelRefusedError:
        return
    assert (asked.grams or asked.millilitres or 0.0) > 0.0


def test_a_volume_of_what_does_not_pour(kitchen: Kitchen) -> None:
    with pytest.raises(PanelRefusedError, match=r"'150 ml' is a volume, and 'oat square' does not pour"):
        of(whole(kitchen, "us"), serving=parse_serving("150 ml"))


@pytest.mark.parametrize(
    ("amount", "text"), [(9.94, "9.9"), (9.96, "10"), (10.4, "10"), (42.5, "43"), (5.0, "5"), (103.49, "103")]
)
def test_weights_on_a_panel(amount: float, text: str) -> None:
    """Food and Drug Regulations, B.01.401, item 1: below 10 to a tenth, from 10 on whole."""
    assert metric(amount) == text


def test_a_law_without_panel_data_gets_a_plain_table(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, kitchen: Kitchen
) -> None:
    folder = tmp_path / "jurisdictions"
    sandbar = write_sandbar(folder)
    path = sandbar / "nutrients.yaml"
    text = path.read_text(encoding="utf-8").replace(
        "offers: [menu], mandatory_for: [menu]", "offers: [prepacked], mandatory_for: [prepacked]"
    )
    path.write_text(text, encoding="utf-8")
    pack, faults = compile_folder(sandbar)
    assert (faults, pack is None) == ([], False)
    assert pack is not None
    compiled_path(sandbar).write_bytes(as_bytes(pack))
    monkeypatch.setattr(packs, "jurisdictions_folder", lambda: folder)
    oats = "- ingredient: oats\n  per_100_g: {fat_g: 7, saturates_g: 1, carbohydrate_g: 60, protein_g: 13, salt_g: 1, alcohol_g: 0}\n- dish: x\n  plate: [50 g oats]\n"
    panel = of(whole(kitchen, "sandbar", oats), "x")
    assert panel.form == "table"
    assert [(line.names, [one.text for one in line.amounts]) for line in panel.lines] == [
        (("Fattiness",), ["4 g"])  # 3.5 g, to the nearest 2 g by its own rule
    ]
    assert [column.head for column in panel.columns] == ["per portion (50 g)"]


def test_a_law_without_lines_for_packs_has_no_panel(seventh: Path, kitchen: Kitchen) -> None:
    opened = whole(kitchen, "sandbar", "- ingredient: oats\n- dish: x\n  plate: [50 g oats]\n")
    with pytest.raises(PanelRefusedError, match=r"^Sandbar has no nutrition declaration of packed food on file\."):
        of(opened, "x")


def test_what_the_shelf_lacks_is_supplied_as_the_message_says(kitchen: Kitchen) -> None:
    """The entry asked for keeps the row of the shelf, and the figure is then there."""
    book = "- dish: x\n  plate: [50 g olive oil]\n"
    panel = of(whole(kitchen, "us", book), "x")
    (supply,) = [one for one in supplies(panel.missing) if "Trans Fat" in one.figures]
    assert supply.gap.from_shelf
    assert supply.gap.needs == ("trans_fat_g",)
    assert (
        "Add an entry '- ingredient: olive oil' with 'shelf: olive oil', which keeps what the shelf knows,"
        in supply.as_text()
    )
    mended = "- ingredient: olive oil\n  shelf: olive oil\n  per_100_g: {trans_fat_g: 0.1}\n" + book
    after = of(whole(kitchen, "us", mended), "x")
    assert not after.missing
    fat = [next(line for line in one.lines if line.key == "fat_g").amounts for one in (panel, after)]
    assert fat[0] == fat[1]


def test_what_several_lack_is_told_once_with_the_largest_share(kitchen: Kitchen) -> None:
    text = "- ingredient: bare paste\n- ingredient: oats\n  composition: sr28:20038\n- dish: a\n  plate: [90 g oats, 10 g bare paste]\n- dish: b\n  plate: [50 g oats, 50 g bare paste]\n"
    opened = whole(kitchen, "au-nz", text)
    panels = [of(opened, name) for name in ("a", "b")]
    found = supplies(tuple(one for panel in panels for one in panel.missing))
    (supply,) = [one for one in found if one.ingredient == "bare paste"]
    assert (supply.ingredient, supply.share) == ("bare paste", 0.5)
    assert len(supply.figures) == len(set(supply.figures))
    assert "total fat" in supply.figures  # Schedule 12 has "Fat, total"
    assert not any("," in one for one in supply.figures)
