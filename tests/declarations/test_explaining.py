"""Explanations lead from the plate to the row, the paper and the clause, and their sums add up.

Figures of rows are those of the USDA National Nutrient Database for Standard Reference, Release 28 (2015).
"""

import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from labeller.declarations.reasons import Reason
from labeller.jurisdictions.terms import Citation
from tests.kitchens import Kitchen, Ran, plate, run

STEEPED = """
- ingredient: house gin
  strength: 40 % vol
- ingredient: bush berries
  composition: sr28:09050
- preparation: berries in gin
  takes: [600 g bush berries, 700 g house gin]
  method:
    - macerate: {solids: [bush berries], for: 3 weeks, at: 20 C, as: whole with skin}
    - strain
  gives:
    berry gin: {part: liquor, weighs: 640 g}
    steeped berries: {part: solids, weighs: 560 g}
- preparation: berry sauce
  takes: [200 g berry gin, 100 g water]
  method:
    - heat: {how: simmer, for: 35 min, loses: 40 %}
"""
SAUCE = STEEPED + plate("50 g berry sauce")


def explain(kitchen: Kitchen, figure: str, *arguments: str, of: str = "plate") -> Ran:
    return run("explain", kitchen.folder, "--of", of, "--figure", figure, "--on", "2026-11-25", *arguments)


def tree(kitchen: Kitchen, figure: str, *arguments: str, of: str = "plate") -> dict[str, Any]:
    ran = explain(kitchen, figure, "--json", *arguments, of=of)
    assert ran.code == 0, ran.err
    found: dict[str, Any] = ran.json()["explanation"]
    return found


def every(reason: dict[str, Any]) -> Iterator[dict[str, Any]]:
    yield reason
    for part in reason.get("parts", []):
        yield from every(part)


def leaf_figures(reason: dict[str, Any], key: str) -> Iterator[float]:
    below = [part for part in reason.get("parts", []) if key in part.get("figures", {})]
    if not below and key in reason.get("figures", {}):
        yield reason["figures"][key]
    for part in below:
        yield from leaf_figures(part, key)


def source_part(reason: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = next(one for one in reason["parts"] if one["text"].startswith("Where it comes from"))
    return found


# -- alcohol ----------------------------------------------------------------------------------------------------------------


def test_the_story_of_the_alcohol_leads_to_the_bottle_and_the_row_of_retention(kitchen: Kitchen) -> None:
    text = " ".join(explain(kitchen.write(SAUCE), "alcohol").out.split())
    order = [
        "On the plate: '50 g berry sauce'",
        "'200 g berry gin' went in",
        "'700 g house gin' went in",
        "house gin is 40 % vol",
        "Step 1, macerate",
        "Step 2, strain",
        "in berry gin:",
        "in steeped berries:",
        "left in the jar:",
        "Step 1, heat",
        "USDA row 5005",  # USDA Table of Nutrient Retention Factors, Release 6: simmered half an hour, 35 % stays
        "off with the steam:",
    ]
    places = [text.index(words) for words in order]
    assert places == sorted(places)


def test_the_alcohol_of_a_simmered_sauce_by_hand(kitchen: Kitchen) -> None:
    found = tree(kitchen.write(STEEPED + "- preparation: gin sauce\n  takes: [100 g house gin, 100 g water]\n"
                 "  method:\n    - heat: {how: simmer, for: 30 min, loses: 50 %}\n" + plate("all gin sauce")), "alcohol")  # fmt: skip
    # 40 % vol holds 0.3157 g ethanol a millilitre at 0.94804 g/ml (OIML R 22): 33.30 g in 100 g; x 35 % (Release 6, row 5005)
    assert found["figures"]["ethanol_g"] == pytest.approx(33.30 * 0.35, rel=1e-3)


def test_low_estimate_high_stand_in_order_everywhere(kitchen: Kitchen) -> None:
    for one in every(tree(kitchen.write(SAUCE), "alcohol")):
        figures = one.get("figures", {})
        if "ethanol_low_g" in figures:
            assert figures["ethanol_low_g"] <= figures["ethanol_g"] <= figures["ethanol_high_g"]


def test_a_dish_without_alcohol_is_never_called_free_from_it(kitchen: Kitchen) -> None:
    kitchen.write("- ingredient: sea cream\n  composition: sr28:01053\n" + plate("50 g sea cream"))
    out = explain(kitchen, "alcohol").out
    assert "no alcoholic ingredient" in out
    assert "free" not in out


def test_alcohol_that_is_not_known_is_said_to_be_not_known_with_its_mend(kitchen: Kitchen) -> None:
    out = " ".join(
        explain(kitchen.write("- ingredient: mystery essence\n" + plate("5 g mystery essence")), "alcohol").out.split()
    )
    assert "it is not known" in out
    assert "add the supplier's statement" in out


def test_a_preparation_that_gives_only_parts_is_explained_as_a_whole(kitchen: Kitchen) -> None:
    found = tree(kitchen.write(STEEPED), "alcohol", of="berries in gin")
    gone = next(one for one in every(found) if one["text"].startswith("So the alcohol went"))
    total = sum(part["figures"]["ethanol_g"] for part in gone["parts"])
    assert total == pytest.approx(found["figures"]["ethanol_in_g"], rel=1e-9)


# -- weight -----------------------------------------------------------------------------------------------------------------


def test_every_weight_account_adds_up(kitchen: Kitchen) -> None:
    found = tree(kitchen.write(SAUCE), "weight")
    accounts = [one for one in every(found) if "in_g" in one.get("figures", {})]
    assert len(accounts) == 2
    for one in accounts:
        assert one["figures"]["in_g"] == pytest.approx(one["figures"]["out_g"], abs=1e-9)
    assert found["figures"]["weight_g"] == pytest.approx(50.0)
    assert found["figures"]["sum_of_lines_g"] == pytest.approx(50.0)


def test_where_every_gram_of_a_compote_went(kitchen: Kitchen) -> None:
    text = (
        "- preparation: stewed fruit\n  takes: [1 kg apples, 120 g caster sugar]\n  method:\n"
        "    - trim: {what: apples, loses: 22 %, where: peelings}\n    - heat: {how: simmer, loses: 80 g}\n"
        "    - sieve: {loses: 10 %}\n"
    )
    out = " ".join(explain(kitchen.write(text), "weight", of="stewed fruit").out.split())
    # 1000 + 120 = 1120; peelings 220; steam 80; the sieve a tenth of 820; 738 are left
    assert "1120.0 g put in = 738.0 g stewed fruit + 220.0 g peelings + 82.0 g sieve + 80.0 g steam." in out


def test_water_taken_up_stands_in_the_account(kitchen: Kitchen) -> None:
    text = "- ingredient: white rice\n  composition: sr28:20444\n- preparation: rice\n  takes: [100 g white rice]\n  gives: 280 g\n"
    out = " ".join(explain(kitchen.write(text), "weight", of="rice").out.split())
    assert "100.0 g put in + 180.0 g of water taken up = 280.0 g rice." in out


# -- nutrients --------------------------------------------------------------------------------------------------------------

CREAM = "- ingredient: sea cream\n  composition: sr28:01053\n- ingredient: pan salt\n  composition: sr28:02047\n"


@pytest.mark.parametrize("word", ["fat", "FAT", "fat_g"])
def test_fat_leads_to_the_row(kitchen: Kitchen, word: str) -> None:
    kitchen.write(CREAM + plate("50 g sea cream", "2 g pan salt"))
    found = tree(kitchen, word)
    assert found["figures"]["fat_g"] == pytest.approx(18.04)  # row 01053: 36.08 g in 100 g, x 50 g
    assert sum(leaf_figures(source_part(found), "fat_g")) == pytest.approx(18.04)
    grounds = [ground for one in every(found) for ground in one.get("grounds", [])]
    assert any("01053" in one and "Cream, fluid, heavy whipping" in one for one in grounds)


@pytest.mark.parametrize(
    "figure", ["fat", "energy", "kcal", "salt", "protein", "sugars", "water", "carbohydrate", "fibre"]
)
@pytest.mark.parametrize("law", ["eu", "us", "au-nz"])
def test_contributions_add_up_to_the_figure(kitchen: Kitchen, figure: str, law: str) -> None:
    text = SAUCE.replace("50 g berry sauce\n", "50 g berry sauce\n    - 30 g steeped berries\n") + CREAM
    text = text.replace("    - 30 g", "    - 20 g sea cream\n    - 1 g pan salt\n    - 30 g")
    found = tree(kitchen.write(text, law=law), figure)
    key = next(key for key in found["figures"] if not key.endswith("per_100_g"))
    assert sum(leaf_figures(source_part(found), key)) == pytest.approx(found["figures"][key], rel=1e-9, abs=1e-12)


def test_energy_shows_the_factors_of_the_law_with_their_clause(kitchen: Kitchen) -> None:
    kitchen.write(CREAM + plate("100 g sea cream"))
    found = tree(kitchen, "energy")
    # Regulation (EU) No 1169/2011, Annex XIV: fat 37 kJ/g, protein and carbohydrate 17 kJ/g
    fat = next(one for one in every(found) if one["text"].startswith("fat: "))
    assert fat["figures"] == {"weight_g": pytest.approx(36.08), "per_g": 37.0, "energy": pytest.approx(36.08 * 37)}
    assert "Annex XIV" in fat["clauses"][0]["pinpoint"]
    parts = [one["figures"]["energy"] for one in every(found) if "per_g" in one.get("figures", {})]
    assert sum(parts) == pytest.approx(found["figures"]["energy_kj"])


def test_a_pack_figure_is_named_with_its_line(kitchen: Kitchen) -> None:
    kitchen.write("- ingredient: nut paste\n  per_100_g: {fat_g: 50}\n" + plate("10 g nut paste"))
    out = " ".join(explain(kitchen, "fat").out.split())
    assert "the pack, in 100 g: fat_g 50 (book.yaml:3)" in out


def test_a_gap_is_said_and_not_counted_as_nothing(kitchen: Kitchen) -> None:
    kitchen.write(CREAM + "- ingredient: mystery paste\n" + plate("60 g sea cream", "40 g mystery paste"))
    out = " ".join(explain(kitchen, "fat").out.split())
    assert "Not whole: 40 % of the weight put in has no figure" in out
    assert "mystery paste: 40.0 g put in, and no figure is known" in out


# -- allergens --------------------------------------------------------------------------------------------------------------

PRALINE = """
- ingredient: cob nuts
  spec:
    supplier: Quayside Nuts
    reference: QN-7
    dated: 2026-10-01
    statement: "Roasted HAZELNUTS"
    may_contain: [almond]
- ingredient: boiled syrup
  spec:
    supplier: Quayside Sugars
    statement: "Glucose syrup (from wheat)"
- ingredient: plain essence
- preparation: praline
  takes: [50 g cob nuts, 40 g boiled syrup]
- preparation: praline cream
  takes: [30 g praline, 1 g cob nuts]
"""


def test_an_allergen_leads_by_every_way_to_the_paper_and_the_clause(kitchen: Kitchen) -> None:
    out = " ".join(explain(kitchen.write(PRALINE + plate("20 g praline cream")), "nuts").out.split())
    assert out.startswith("plate contains nuts (hazelnut).")
    for words in (
        "specification of Quayside Nuts, reference QN-7, dated 2026-10-01",
        'statement: "Roasted HAZELNUTS"',
        "way in: praline cream > cob nuts",
        "way in: praline cream > praline > cob nuts",
        "by the supplier's word: almond",
        "Annex II, 8",  # Regulation (EU) No 1169/2011, Annex II, point 8: nuts
    ):
        assert words in out


def test_an_exemption_is_told_with_its_clause(kitchen: Kitchen) -> None:
    out = " ".join(explain(kitchen.write(PRALINE + plate("20 g praline")), "gluten").out.split())
    # Regulation (EU) No 1169/2011, Annex II, point 1(a): wheat based glucose syrups including dextrose
    assert "Free of declaration: glucose syrup of wheat in boiled syrup" in out
    assert re.search(r"Annex II, 1 ?\(a\)", out)
    assert "has no ingredient declared with gluten" in out


def test_a_single_source(kitchen: Kitchen) -> None:
    out = " ".join(explain(kitchen.write(PRALINE + plate("20 g praline")), "almond").out.split())
    assert out.startswith("plate may contain almond.")
    assert "Of the whole group nuts: contains." in out


@pytest.mark.parametrize("word", ["soya", "honey"])
def test_what_is_not_known_is_said_with_the_mend(kitchen: Kitchen, word: str) -> None:
    out = " ".join(explain(kitchen.write(PRALINE + plate("20 g praline", "1 g plain essence")), word).out.split())
    assert "it is not known whether it contains" in out
    assert "Not known of plain essence" in out
    assert "add the supplier's statement" in out


def test_sulphites_are_explained_by_the_figure_as_served(kitchen: Kitchen) -> None:
    text = "- ingredient: house wine\n  strength: 12 % vol\n  sulphites: 8 mg/kg\n" + plate("100 g house wine")
    out = " ".join(explain(kitchen.write(text), "sulphites").out.split())
    assert out.startswith("plate has no ingredient declared with sulphites")
    # Regulation (EU) No 1169/2011, Annex II, point 12: more than 10 mg/kg
    assert "8 mg/kg, against the law's limit of 10 mg/kg" in out
    assert "Carried in: house wine, 8 mg of SO2 in a kilogram" in out


def test_shared_equipment_is_told_with_the_way_over(kitchen: Kitchen) -> None:
    text = PRALINE + (
        "- ingredient: sea cream\n  composition: sr28:01053\n"
        "- preparation: nut ice\n  takes: [90 g sea cream, 10 g cob nuts]\n  made_on: [churn]\n"
        "- preparation: plain ice\n  takes: [90 g sea cream]\n  made_on: [churn]\n"
    )
    kitchen.write("  shared_equipment: [churn]\n" + text + plate("20 g plain ice"))
    out = " ".join(explain(kitchen, "hazelnut").out.split())
    assert "over the shared churn, from cob nuts" in out
    assert "way over: plain ice > churn > nut ice > cob nuts" in out


def test_a_clause_that_was_not_read_says_so() -> None:
    clause = Citation(
        "Example Act",
        "section 1",
        "https://example.org",
        date(2020, 1, 1),
        None,
        confirmed=False,
        ground="from memory",
    )
    assert "not confirmed: from memory" in Reason("A figure.", clauses=(clause,)).as_text()


# -- what can be asked ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("word", "near"), [("sodum", "sodium"), ("hazelnutt", "hazelnut"), ("wieght", "weight")])
def test_a_misspelling_is_never_taken(kitchen: Kitchen, word: str, near: str) -> None:
    ran = explain(kitchen.write(PRALINE + plate("20 g praline")), word)
    assert ran.code == 2
    assert ran.out == ""
    assert f"'{word}'" in ran.err
    assert f"'{near}'" in ran.err
    assert "alcohol, weight, energy, fat" in ran.err


@pytest.mark.parametrize("word", ["", " ", "_", "💥", "x" * 500])
def test_nonsense_is_refused(kitchen: Kitchen, word: str) -> None:
    assert explain(kitchen.write(PRALINE + plate("20 g praline")), word).code == 2


def test_an_unknown_dish_is_refused(kitchen: Kitchen) -> None:
    assert explain(kitchen.write(PRALINE + plate("20 g praline")), "fat", of="plait").code == 2


@pytest.mark.parametrize("figure", ["alcohol", "weight", "energy", "nuts", "salt", "hazelnut", "sulphites"])
def test_text_keeps_to_80_columns(kitchen: Kitchen, figure: str) -> None:
    ran = explain(kitchen.write(SAUCE + PRALINE), figure)
    assert ran.code == 0
    assert max(len(line) for line in ran.out.splitlines()) <= 80


# -- pictures ---------------------------------------------------------------------------------------------------------------


def test_the_svg_holds_both_pictures_with_their_labels(kitchen: Kitchen, tmp_path: Path) -> None:
    picture = tmp_path / "drawn.svg"
    ran = explain(kitchen.write(SAUCE), "alcohol", "--plot", str(picture))
    assert ran.code == 0, ran.err
    text = picture.read_text(encoding="utf-8")
    for words in (
        "Berries in gin: strength over the days",
        "Berries in gin: where the alcohol went",
        "% vol at 20 °C",
        "the liquor",
        "the liquid in the fruit",
        "strained after 21 days",
        "days since the fruit went in",
        "berry gin",
        "steeped berries",
        "left in the jar",
        "left as steam, making",
    ):
        assert f"{words}" in text


def test_the_png_is_the_same_scene(kitchen: Kitchen, tmp_path: Path) -> None:
    from PIL import Image

    picture = tmp_path / "drawn.png"
    assert explain(kitchen.write(SAUCE), "alcohol", "--plot", str(picture)).code == 0
    with Image.open(picture) as image:
        assert image.format == "PNG"
        assert image.width == 1920
        colours = image.convert("RGB").getcolors(1 << 24)
    seen = {colour for _, colour in colours} if colours is not None else set()
    # Okabe and Ito, Color Universal Design (2008): blue 0 114 178, vermillion 213 94 0, orange 230 159 0
    assert {(0, 114, 178), (213, 94, 0), (230, 159, 0)} <= seen


def test_a_name_with_signs_of_markup_stays_text(kitchen: Kitchen, tmp_path: Path) -> None:
    picture = tmp_path / "drawn.svg"
    kitchen.write(STEEPED.replace("berry sauce", "a <b> & c").replace("berry gin", "gin <i>"))
    assert explain(kitchen, "alcohol", "--plot", str(picture), of="berries in gin").code == 0
    text = picture.read_text(encoding="utf-8")
    assert "<i>" not in text
    assert "gin &lt;i&gt;" in text


@pytest.mark.parametrize("name", ["drawn.pdf", "drawn", "nowhere/drawn.svg"])
def test_a_file_that_cannot_be_drawn_is_refused(kitchen: Kitchen, tmp_path: Path, name: str) -> None:
    ran = explain(kitchen.write(SAUCE), "alcohol", "--plot", str(tmp_path / name))
    assert ran.code == 2
    assert "--plot" in ran.err
    assert [path.name for path in tmp_path.iterdir()] == ["book"]


def test_only_alcohol_is_drawn(kitchen: Kitchen, tmp_path: Path) -> None:
    assert explain(kitchen.write(SAUCE), "fat", "--plot", str(tmp_path / "drawn.svg")).code == 2
    kitchen.write(CREAM + plate("50 g sea cream"))
    ran = explain(kitchen, "alcohol", "--plot", str(tmp_path / "drawn.svg"))
    assert ran.code == 2
    assert "no alcohol" in ran.err


def test_the_strengths_meet_as_the_days_go_by(kitchen: Kitchen) -> None:
    from labeller.cli.opening import open_book
    from labeller.declarations.alcohol_courses import steeping_of

    kitchen.write(STEEPED)
    course = steeping_of(open_book(kitchen.folder, None, date(2026, 11, 25)).workings, "berries in gin")
    assert course is not None
    assert course.poured_percent_vol == pytest.approx(40.0, abs=1e-6)
    for series in (course.liquor, course.fruit):
        assert (series[:, 0] <= series[:, 1] + 1e-9).all()
        assert (series[:, 1] <= series[:, 2] + 1e-9).all()
    # A longer time never lowers the fruit's alcohol nor raises the liquor's (mass balance of a common liquid).
    assert (course.fruit[1:, 1] >= course.fruit[:-1, 1] - 1e-9).all()
    assert (course.liquor[1:, 1] <= course.liquor[:-1, 1] + 1e-9).all()


def test_the_streams_carry_all_that_went_in(kitchen: Kitchen) -> None:
    from labeller.cli.opening import open_book
    from labeller.declarations.alcohol_courses import Stream, streams_of

    kitchen.write(STEEPED)
    stream = streams_of(open_book(kitchen.folder, None, date(2026, 11, 25)).workings, "berries in gin")

    def check(one: Stream) -> None:
        if one.onward:
            # What is below half a milligram is left out of the picture.
            assert sum(part.ethanol_g for part in one.onward) == pytest.approx(one.ethanol_g, abs=2e-3)
        for part in one.onward:
            check(part)

    # 700 g at 40 % vol: 0.3157 g ethanol a millilitre at 0.94804 g/ml (OIML R 22)
    assert stream.ethanol_g == pytest.approx(700.0 * 0.3157 / 0.94804, rel=1e-3)
    check(stream)


def test_a_long_name_stays_on_the_sheet(kitchen: Kitchen, tmp_path: Path) -> None:
    picture = tmp_path / "drawn.svg"
    name = "small black berries of the autumn hedge steeped whole in the gin of the house for the long winter menu"
    kitchen.write(STEEPED.replace("preparation: berries in gin", f"preparation: {name}"))
    assert explain(kitchen, "alcohol", "--plot", str(picture), of=name).code == 0
    size = re.search(rf'font-size="([\d.]+)"[^>]*>{name.capitalize()}: strength', picture.read_text(encoding="utf-8"))
    assert size is not None
    # A bold letter of a sans serif is at most about 0.68 of its size wide, on average; the sheet is 960 wide.
    assert float(size[1]) * 0.68 * len(f"{name}: strength over the days") <= 960 - 24


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("infusion_over_the_days.svg", "Plums in brandy: strength over the days"),
        ("where_the_alcohol_went.svg", "Plums in brandy: where the alcohol went"),
    ],
)
def test_the_pictures_kept_are_those_of_the_demo(name: str, words: str) -> None:
    kept = Path(__file__).resolve().parents[2] / "output_examples" / name
    assert words in kept.read_text(encoding="utf-8")
    assert kept.with_suffix(".png").read_bytes().startswith(b"\x89PNG\r\n")


def test_the_story_tells_how_strong_liquor_and_fruit_are_when_they_part(kitchen: Kitchen) -> None:
    out = " ".join(explain(kitchen.write(SAUCE), "alcohol").out.split())
    assert "Before bush berries go in, the liquid has 40.0 % vol; after 21 days the liquor has" in out


@pytest.mark.parametrize("law", ["gb", "us"])
def test_every_finding_of_the_demo_is_explained_by_evidence_of_its_own_status(law: str) -> None:
    import labeller.demonstration
    from labeller.cli.opening import open_book
    from labeller.declarations.explaining import explain as explain_figure

    book = Path(labeller.demonstration.__file__).parent / "book"
    opened = open_book(book, law, date(2026, 11, 25))
    for name in opened.workings.plates:
        for row in opened.declarer.dish(name).allergens:
            reason = explain_figure(opened.declarer, "dish", name, row.group.name).reason
            words = [part.text for part in reason.parts]
            sure = any(one.startswith("It is in ") for one in words)
            carried = any(one.startswith("Carried in") for one in words)  # sulphites by their figure
            may = any(one.startswith("It may be in ") for one in words)
            assert any(one.startswith("Not known of ") for one in words) is bool(row.unconfirmed), (
                name,
                row.group.name,
            )
            assert (sure or carried) if row.status == "contains" else not sure, (name, row.group.name)
            assert may if row.status == "may contain" else True, (name, row.group.name)
            if row.status in ("unconfirmed", "none declared"):
                assert not may, (name, row.group.name)
