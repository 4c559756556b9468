"""Which texts are printed and which refused, in words."""

import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labeller.foundations.faults import Origin
from labeller.printing.faces import face
from labeller.printing.letters import composed, keep_amounts_together, letters_not_set, printable

WRITTEN = [  # ours: names as kitchens write them
    "Blåbærsyltetøy på grøt",
    "Żurek z białą kiełbasą",
    "Weiße Grütze, GROẞ",
    "Ντολμαδάκια αυγολέμονο",
    "Борщ з пампушками, м’ята",
    "Crème brûlée “à l’ancienne” – 50 %",
    "ragoût à l'ancienne (½ l)",
    "Muḥammara",
    "Phở bò",
]


@pytest.mark.parametrize("text", WRITTEN)
def test_names_in_latin_greek_and_cyrillic_are_set(text: str) -> None:
    assert letters_not_set(text) == ()
    assert letters_not_set(text, "serif-bold") == ()
    assert letters_not_set(unicodedata.normalize("NFD", text)) == ()


REFUSED = [
    (
        "Mapo 豆腐",
        "豆",
        "'Mapo 豆腐' holds '豆': Chinese, Japanese or Korean letters are not printed.",
        "Latin, Greek or Cyrillic",
    ),
    ("キムチ", "キ", "Chinese, Japanese or Korean letters are not printed", "Latin, Greek or Cyrillic"),
    ("김치", "김", "Chinese, Japanese or Korean letters are not printed", "Latin, Greek or Cyrillic"),
    ("חומוס", "ח", "letters that run from right to left are not printed", "transliteration"),
    ("حمص", "ح", "letters that run from right to left are not printed", "transliteration"),
    (
        "soup 🍲",
        "🍲",
        "'soup 🍲' holds '🍲' (pot of food), which the letters of our paper do not have.",
        "Write a word in its place",
    ),
    ("so\u200dup", "\u200d", "'so<U+200D>up' holds U+200D (zero width joiner), which is not a letter.", "Delete it"),
    ("so\u202eup", "\u202e", "'so<U+202E>up' holds U+202E", "Delete it"),
    ("so\x07up", "\x07", "'so<U+0007>up' holds U+0007 (a control character), which is not a letter.", "Delete it"),
    ("\ufeffsoup", "\ufeff", "holds U+FEFF", "Delete it"),
    (
        "x\u0332",
        "\u0332",
        "the accent in 'x\u0332' (combining low line) has no letter of its own",
        "leave the accent out",
    ),
    ("ข้าว", "ข", "holds 'ข' (thai character kho khai)", "Latin, Greek or Cyrillic"),
    ("\ue000", "\ue000", "'<U+E000>' holds U+E000", "Delete it"),
]


@pytest.mark.parametrize(("text", "letter", "problem", "mend"), REFUSED)
def test_what_cannot_be_printed_is_named_with_its_mend(text: str, letter: str, problem: str, mend: str) -> None:
    found = letters_not_set(text)
    first = next(one for one in found if one.letter == letter)
    assert problem in first.problem
    assert mend in first.mend
    fault = first.as_fault(Origin("book.yaml", 7), "dish")
    assert fault.as_text().startswith("book.yaml:7: dish: ")


def test_each_letter_is_named_once_and_every_one_is() -> None:
    found = letters_not_set("豆豆腐 soup 🍲")
    assert [one.letter for one in found] == ["豆", "腐", "🍲"]


def test_a_text_no_face_has_whole_names_only_the_letter_neither_has() -> None:
    # ʒ is in the sans alone, 豆 in neither: writing 豆 otherwise is the mend, ʒ is none of the trouble.
    assert [one.letter for one in letters_not_set("ʒiga 豆", "serif")] == ["豆"]


def test_ligature_code_points_are_the_letters_themselves() -> None:
    assert printable("ﬁlo, soufﬂé, suﬃcient") == "filo, soufflé, sufficient"


def test_spaces_of_every_kind() -> None:
    assert printable("  a\u2009b \t c\nd\u3000e ") == "a b c d e"
    assert printable("5\u202fkg") == "5\u00a0kg"
    assert printable("5\u00a0kg") == "5\u00a0kg"


def test_accents_written_apart_are_composed() -> None:
    assert printable("cre\u0300me") == "crème"
    assert composed("Z\u0307urek") == "Żurek"


def test_a_soft_hyphen_is_kept_for_breaking() -> None:
    assert letters_not_set("Kar\u00adtof\u00adfel") == ()
    assert printable("Kar\u00adtof\u00adfel") == "Kar\u00adtof\u00adfel"


@pytest.mark.parametrize(
    ("written", "kept"),
    [
        ("flour 40 g, milk", "flour 40\u00a0g, milk"),
        ("2.5 % vol.", "2.5\u00a0%\u00a0vol."),
        ("1 250 kJ / 299 kcal", "1\u00a0250\u00a0kJ / 299\u00a0kcal"),
        ("below 5 °C", "below 5\u00a0°C"),
        ("within 2 days", "within 2\u00a0days"),
        ("use by 28 November 2026", "use by 28\u00a0November 2026"),
        ("4.4 g (3.9 to 5.1) in it", "4.4\u00a0g (3.9\u00a0to\u00a05.1) in it"),
        ("2 good eggs", "2 good eggs"),
        ("E 500 green peas", "E 500 green peas"),
    ],
)
def test_an_amount_and_its_unit_stay_together(written: str, kept: str) -> None:
    assert keep_amounts_together(written) == kept
    assert len(kept) == len(written)


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=60))
def test_any_text_is_either_named_or_has_every_letter(text: str) -> None:
    ready = printable(text)
    missing = {letter for letter in ready if not face("sans").has(letter)}
    assert {one.letter for one in letters_not_set(text)} == missing
    assert all(one.problem and one.mend for one in letters_not_set(text))
