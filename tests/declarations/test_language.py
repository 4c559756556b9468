"""Allergens named in another language: names typed from Annex II of Regulation (EU) No 1169/2011 in that language."""

import pytest

from tests.kitchens import Kitchen, plate, rows, run

DISH = plate("10 g hazelnuts", "10 g double cream", "5 g plain flour")


@pytest.mark.parametrize(
    ("code", "milk", "nuts", "hazelnut"),
    [
        ("fr", "lait", "fruits à coque", "noisettes"),
        ("de", "Milch", "Schalenfrüchte", "Haselnüsse"),
        ("it", "latte", "frutta a guscio", "nocciole"),
        ("pl", "mleko", "orzechy", "orzechy laskowe"),
        ("sv", "mjölk", "nötter", "hasselnöt"),
    ],
)
def test_rows_and_sources(kitchen: Kitchen, code: str, milk: str, nuts: str, hazelnut: str) -> None:
    found = rows(kitchen.write(DISH).one("plate", "--language", code))
    assert found["milk"]["name_in_language"] == milk
    assert found["nuts"]["name_in_language"] == nuts
    assert found["nuts"]["sources_in_language"]["hazelnut"] == hazelnut
    page = run("declare", kitchen.folder, "--language", code, "--on", "2026-11-25").out
    assert milk in page
    assert hazelnut in page


def test_without_it_there_is_no_such_key(kitchen: Kitchen) -> None:
    assert "name_in_language" not in rows(kitchen.write(DISH).one("plate"))["milk"]


def test_a_language_not_on_file_is_refused_with_the_list(kitchen: Kitchen) -> None:
    ran = run("declare", kitchen.write(DISH).folder, "--language", "xx", "--on", "2026-11-25")
    assert (ran.code, ran.out) == (2, "")
    assert ran.err == (
        "--language: 'xx' is not a language on file. Write one of cs, da, de, el, en, es, fi, fr, it, nl, pl, pt, sv.\n"
    )


def test_a_name_that_is_not_on_file_is_null(kitchen: Kitchen) -> None:
    """Annex II knows no pine nut, so its languages give no name for it; none is made up."""
    kitchen.write(plate("10 g pine nuts"))
    found = rows(kitchen.one("plate", "--jurisdiction", "us", "--language", "fr"))
    assert found["nuts"]["sources_in_language"] == {"pine nut": None}
