"""Figures of a pack as typed; readings marked common practice have no source."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labeller.bringing_in.packs_figures import (
    FIGURES,
    Basis,
    Panel,
    Refusal,
    Typed,
    as_printed_by,
    parse_basis,
    parse_figure,
    read_panel,
)


# Common practice, no source: commas and points as packs of several countries print them.
@pytest.mark.parametrize(
    ("key", "text", "value"),
    [
        ("energy_kj", "1884", 1884.0),
        ("energy_kj", "1,884 kJ", 1884.0),
        ("energy_kj", "1.884", 1884.0),
        ("energy_kcal", "450 Calories", 450.0),
        ("energy_kcal", "1884 kJ", 1884.0 / 4.184),
        ("fat_g", "0,5", 0.5),
        ("fat_g", "0.5g", 0.5),
        ("fat_g", "1,234", 1.234),
        ("salt_g", "400 mg", 0.4),
        ("sodium_mg", "0.4 g", 400.0),
        ("sodium_mg", "1,200", 1200.0),
        ("sugars_g", "<0.5", 0.5),
        ("fibre_g", "nil", 0.0),
        ("fibre_g", "traces", 0.0),
    ],
)
def test_a_figure_is_read(key: str, text: str, value: float) -> None:
    found = parse_figure(key, text)
    assert isinstance(found, Typed)
    assert found.value == pytest.approx(value)


@pytest.mark.parametrize("text", ["<0.5", "1,884", "1884 kJ", "traces"])
def test_what_is_read_otherwise_than_it_stands_is_said(text: str) -> None:
    found = parse_figure("energy_kcal", text)
    assert isinstance(found, Typed)
    assert text.split(maxsplit=1)[0] in found.said


@pytest.mark.parametrize("text", ["-3", "−1", "lots", "1.2.3", "3 kg", "12 kJ", "1-2", "∞", "1e5", "０"])
def test_what_is_no_figure_is_refused_in_words(text: str) -> None:
    found = parse_figure("fat_g", text)
    assert isinstance(found, Refusal)
    assert text in found.problem
    assert found.mend.startswith("Write")


def test_over_a_hundred_grams_is_refused_with_what_it_may_be() -> None:
    panel = read_panel({"salt_g": "400", "fat_g": "101"}, Basis())
    assert [one.field for one in panel.refusals] == ["fat_g", "salt_g"]
    assert "Is it sodium in mg?" in panel.refusals[1].mend
    assert panel.figures == {}


@pytest.mark.parametrize(
    ("text", "amount", "unit"),
    [("100 g", 100, "g"), ("per 100 ml", 100, "ml"), ("serving of 30 g", 30, "g"), ("serving (28 g)", 28, "g"), ("30g", 30, "g"),
     ("12,5 g", 12.5, "g")],
)  # fmt: skip
def test_what_figures_are_for(text: str, amount: float, unit: str) -> None:
    assert parse_basis(text) == Basis(amount, unit)


@pytest.mark.parametrize("text", ["", "serving", "0 g", "30", "two biscuits", "-5 g"])
def test_an_amount_without_weight_is_none(text: str) -> None:
    assert parse_basis(text) is None


def test_a_portion_is_brought_to_a_hundred_grams() -> None:
    panel = read_panel({"fat_g": "9", "sodium_mg": "150"}, Basis(30.0, "g"))
    assert panel.figures == {"fat_g": 30.0, "sodium_mg": 500.0}
    assert panel.said == ["figures for 30 g brought to 100 g"]


def test_a_portion_that_cannot_be_is_refused() -> None:
    panel = read_panel({"fat_g": "40"}, Basis(30.0, "g"))
    assert panel.refusals[0].problem == "'40' for 30 g is 133.3 g in 100 g."


def test_millilitres_need_a_density() -> None:
    assert "a book counts by weight" in read_panel({"fat_g": "3"}, Basis(100.0, "ml")).refusals[0].problem
    # 3.6 g in 100 ml of milk at 1.03 g/ml is 3.495 g in 100 g
    assert read_panel({"fat_g": "3.6"}, Basis(100.0, "ml"), 1.03).figures["fat_g"] == pytest.approx(3.495, abs=0.001)


def test_another_laws_panel_is_turned_into_the_books_own() -> None:
    # 21 CFR 101.9(c)(6): carbohydrate with fibre; Regulation (EU) No 1169/2011, Annex I: without
    panel = Panel({"carbohydrate_g": 60.0, "fibre_g": 10.0})
    assert as_printed_by(panel, pack_with_fibre=True, book_with_fibre=False).figures["carbohydrate_g"] == 50.0
    assert as_printed_by(panel, pack_with_fibre=False, book_with_fibre=True).figures["carbohydrate_g"] == 70.0
    assert as_printed_by(panel, pack_with_fibre=True, book_with_fibre=True) is panel
    unknown = as_printed_by(Panel({"carbohydrate_g": 60.0}), pack_with_fibre=True, book_with_fibre=False)
    assert [one.field for one in unknown.refusals] == ["fibre_g"]


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(FIGURES), st.text(max_size=20))
def test_no_text_makes_it_raise(key: str, text: str) -> None:
    found = parse_figure(key, text)
    assert isinstance(found, Refusal) or found.value >= 0.0
