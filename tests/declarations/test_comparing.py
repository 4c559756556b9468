"""Two declarations held against each other: constructed books whose differences follow from the recipe alone (no source needed)."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labeller.declarations.comparing import Danger, Difference, compare_declarations, papers_of, words_differ
from labeller.declarations.comparing_states import NOT_REGULATED, State, allergen_changes
from tests.kitchens import Kitchen, plate

CREAM = '- ingredient: cream powder\n  composition: sr28:19335\n  spec: {supplier: a mill, dated: 2026-10-01, statement: "MILK powder"}\n'
GIN = "- ingredient: house gin\n  composition: sr28:14049\n  strength: 40 % vol\n"


def declared(kitchen: Kitchen, text: str, *arguments: str, name: str = "ice") -> dict[str, Any]:
    return kitchen.write(text).one(name, *arguments)


def differences(kitchen: Kitchen, before: str, after: str) -> tuple[Difference, ...]:
    return compare_declarations(declared(kitchen, before), declared(kitchen, after))


def about(found: tuple[Difference, ...], what: str) -> Difference:
    (one,) = [one for one in found if one.about == what]
    return one


def ice(*lines: str) -> str:
    return (
        plate("100 g custard", name="ice")
        + "- preparation: custard\n  takes:\n"
        + "".join(f"    - {x}\n" for x in lines)
    )


def test_a_gained_allergen_is_told_first_with_its_way(kitchen: Kitchen) -> None:
    found = differences(kitchen, CREAM + ice("100 g water"), CREAM + ice("90 g water", "10 g cream powder"))
    first = found[0]
    assert (first.about, first.danger, first.worse) == ("milk", Danger.NOW_CONTAINS, True)
    assert first.words == "milk: was 'not an ingredient', now 'contains' milk (through custard > cream powder)"
    assert first.papers == ("card", "sale label", "allergen sheet", "menu notes")
    assert first.before["status"] == "none declared"
    assert first.after["sources"] == ["milk"]


def test_a_lost_allergen_is_no_danger_and_says_how_it_had_come_in(kitchen: Kitchen) -> None:
    found = differences(kitchen, CREAM + ice("90 g water", "10 g cream powder"), CREAM + ice("100 g water"))
    milk = about(found, "milk")
    assert (milk.danger, milk.worse) == (Danger.WEAKER, False)
    assert milk.words == "milk: was 'contains', now 'not an ingredient' (it came through custard > cream powder)"


def test_what_was_left_open_never_came_in(kitchen: Kitchen) -> None:
    bare = "- ingredient: cream powder\n"
    found = differences(kitchen, bare + ice("90 g water", "10 g cream powder"), CREAM + ice("100 g water"))
    egg = about(found, "egg")
    assert egg.words == "egg: was 'not known', now 'not an ingredient' (it was left open by custard > cream powder)"


def test_lost_confidence_is_worse_in_every_group_and_before_all_that_is_not(kitchen: Kitchen) -> None:
    bare = "- ingredient: cream powder\n"
    found = differences(
        kitchen, CREAM + ice("90 g water", "10 g cream powder"), bare + ice("90 g water", "10 g cream powder")
    )
    groups = [one for one in found if one.subject == "allergen"]
    assert len(groups) == 14  # Annex II of Regulation (EU) No 1169/2011 has fourteen entries
    assert all(one.danger is Danger.NO_LONGER_KNOWN for one in groups)
    assert found[: len(groups)] == tuple(groups)
    assert "soya: was 'not an ingredient', now 'not known' (through custard > cream powder)" in [
        one.words for one in groups
    ]
    # Milk was contained: now nobody knows, which is a loss too.
    assert about(found, "milk").words.startswith("milk: was 'contains', now 'not known'")


def test_a_may_contain_comes_in(kitchen: Kitchen) -> None:
    with_nuts = CREAM.replace('"MILK powder"', '"MILK powder", may_contain: hazelnuts')
    lines = ("90 g water", "10 g cream powder")
    nuts = about(differences(kitchen, CREAM + ice(*lines), with_nuts + ice(*lines)), "nuts")
    assert nuts.danger is Danger.MAY_CONTAIN
    assert "now 'may contain' hazelnut (through custard > cream powder)" in nuts.words


def test_alcohol_is_told_with_its_grams_and_rounding_is_no_difference(kitchen: Kitchen) -> None:
    found = differences(kitchen, GIN + ice("100 g water"), GIN + ice("90 g water", "10 g house gin"))
    alcohol = about(found, "alcohol")
    assert alcohol.danger is Danger.NOW_CONTAINS
    # 40 % vol is 33.3 % by mass (OIML R 22, table IIIb at 20 C: 0.3330): 10 g of it hold 3.3 g.
    assert "was 'not an ingredient', now 'contains' house gin, 3.3 g" in alcohol.words
    more = differences(kitchen, GIN + ice("90 g water", "10 g house gin"), GIN + ice("80 g water", "20 g house gin"))
    assert about(more, "alcohol").danger is Danger.MORE_ALCOHOL
    assert "ethanol was 3.3 g, now 6.7 g" in about(more, "alcohol").words
    same = differences(
        kitchen, GIN + ice("900 g water", "100 g house gin"), GIN + ice("900 g water", "100.05 g house gin")
    )
    assert [one for one in same if one.subject == "alcohol"] == []


def test_a_larger_batch_of_the_same_is_no_stronger(kitchen: Kitchen) -> None:
    def batch(water: int, gin: int) -> dict[str, Any]:
        return declared(kitchen, GIN + ice(f"{water} g water", f"{gin} g house gin"), name="custard")

    (weight,) = compare_declarations(batch(90, 10), batch(900, 100))
    assert (weight.subject, weight.papers) == ("weight", ())
    stronger = about(compare_declarations(batch(90, 10), batch(80, 20)), "alcohol")
    assert stronger.danger is Danger.MORE_ALCOHOL
    assert "ethanol was 3.3 g in 100 g, now 6.7 g in 100 g" in stronger.words
    assert stronger.papers == ("container label", "sale label")


def test_alcohol_without_a_strength_is_never_said_to_be_nought(kitchen: Kitchen) -> None:
    words = '- ingredient: house gin\n  spec: {statement: "brandy, sugar", may_contain: none}\n'
    lines = ("90 g water", "10 g house gin")
    found = about(differences(kitchen, words.replace("brandy, ", "") + ice(*lines), words + ice(*lines)), "alcohol")
    assert "now 'contains' house gin, how much is not known" in found.words
    lost = about(differences(kitchen, GIN + ice(*lines), words + ice(*lines)), "alcohol")
    assert lost.danger is Danger.NO_LONGER_KNOWN
    assert "ethanol was 3.3 g, now how much is not known" in lost.words


def test_figures_are_compared_as_printed_and_a_lost_one_is_worse(kitchen: Kitchen) -> None:
    sugared = differences(kitchen, ice("50 g water", "50 g sugar"), ice("40 g water", "60 g sugar"))
    energy = about(sugared, "energy_kj per_portion")
    # Regulation (EU) No 1169/2011, Annex XIV: 17 kJ for a gram of carbohydrate; SR28 row 19335, sugars, granulated: 99.98 g for 100 g.
    # 49.99 g x 17 = 849.8; 59.988 g x 17 = 1019.8.
    assert (energy.before, energy.after) == ("850", "1020")
    assert energy.papers == ("sale label", "panel")
    lost = differences(
        kitchen, ice("50 g water", "50 g sugar"), "- ingredient: sweet dust\n" + ice("50 g water", "50 g sweet dust")
    )
    assert about(lost, "energy_kj per_portion").danger is Danger.FIGURE_LOST
    assert "now no figure: not known" in about(lost, "energy_kj per_portion").words
    assert differences(kitchen, ice("500 g water", "500 g sugar"), ice("500 g water", "500.001 g sugar")) == ()


def test_the_words_of_the_label_are_compared(kitchen: Kitchen) -> None:
    found = differences(kitchen, ice("50 g water", "40 g sugar"), ice("50 g sugar", "40 g water"))
    label = about(found, "ingredients on the sale label")
    assert "sale label" in label.papers
    assert label.before != label.after


def test_a_group_only_one_law_knows_steps_from_not_regulated(kitchen: Kitchen) -> None:
    # Celery is in Annex II of Regulation (EU) No 1169/2011 and none of the major food allergens of 21 USC 321(qq).
    text = "- ingredient: celery salt\n  composition: sr28:02047\n  spec: {declares: [celery], covers: all}\n" + ice(
        "99 g water", "1 g celery salt"
    )
    european, american = declared(kitchen, text), declared(kitchen, text, "--jurisdiction", "us")
    celery = about(compare_declarations(american, european), "celery")
    assert celery.before["status"] == NOT_REGULATED
    assert celery.danger is Danger.NOW_CONTAINS
    assert about(compare_declarations(european, american), "celery").worse is False
    assert "lupin" not in {one.about for one in compare_declarations(american, european)}


def test_another_way_to_the_same_statement_is_told_and_needs_a_new_card(kitchen: Kitchen) -> None:
    again = CREAM + CREAM.replace("cream powder", "curd powder")
    found = differences(
        kitchen, again + ice("90 g water", "10 g cream powder"), again + ice("90 g water", "10 g curd powder")
    )
    milk = about(found, "milk")
    assert milk.subject == "reason"
    assert "now through custard > curd powder and no longer through custard > cream powder" in milk.words
    assert milk.papers == ("card",)


@pytest.mark.parametrize(
    ("before", "after", "said"), [("a", "b", "was 'a', now 'b'"), ("", "b", "now 'b'"), ("a", "", "no longer 'a'")]
)
def test_words_before_and_after(before: str, after: str, said: str) -> None:
    (one,) = words_differ("description", before, after, ("card",))
    assert said in one.words
    assert papers_of([one]) == ("card",)
    assert words_differ("description", "a", "a", ("card",)) == ()


STATUSES = ("contains", "may contain", "unconfirmed", "none declared")
SOURCES = st.lists(st.sampled_from(["almond", "hazelnut", "walnut"]), unique=True, min_size=1).map(sorted)


@st.composite
def rows(draw: st.DrawFn) -> dict[str, Any]:
    status = draw(st.sampled_from(STATUSES))
    sources = draw(SOURCES) if status in ("contains", "may contain") else []
    open_ = draw(st.lists(st.sampled_from(["paste", "dust"]), unique=True).map(sorted))
    if status == "unconfirmed":
        open_ = open_ or ["paste"]
    elif status == "none declared":
        open_ = []
    may = draw(SOURCES) if status == "contains" and draw(st.booleans()) else sources if status == "may contain" else []
    found: dict[str, Any] = {
        "group": "nuts", "status": status, "sources": sources, "because": [["praline", one] for one in sources],
        "unconfirmed": [["praline", one] for one in open_],
    }  # fmt: skip
    if may:
        found["may_contain"] = [{"sources": may, "path": ["praline"], "why": "specification"}]
    return found


NO_ALCOHOL = {
    "status": "none declared", "ethanol_g": {"low": 0.0, "estimate": 0.0, "high": 0.0}, "because": [], "traces": [], "unconfirmed": [],
}  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(rows(), rows())
@pytest.mark.property
def test_whoever_avoids_nuts_is_warned_of_everything_the_old_paper_did_not_say(
    old: dict[str, Any], new: dict[str, Any]
) -> None:
    found = allergen_changes({"allergens": [old], "alcohol": NO_ALCOHOL}, {"allergens": [new], "alcohol": NO_ALCOHOL})
    said_before = {*old["sources"], *(source for one in old.get("may_contain", ()) for source in one["sources"])}
    says_now = {*new["sources"], *(source for one in new.get("may_contain", ()) for source in one["sources"])}
    newly_open = bool(new["unconfirmed"]) and not old["unconfirmed"]
    harm = not says_now <= said_before or newly_open or (new["status"] == "contains" and old["status"] != "contains")
    assert bool(found) or not harm
    if harm:
        assert found[0].worse
        assert found[0].on_paper
    assert all(
        one.as_text().startswith("nuts: ") and "as before, in other words" not in one.as_text() for one in found
    )
    assert (
        allergen_changes({"allergens": [new], "alcohol": NO_ALCOHOL}, {"allergens": [new], "alcohol": NO_ALCOHOL})
        == ()
    )


def test_a_state_as_text_uses_the_words_of_paper() -> None:
    assert State("contains", ("almond",), ("walnut",), ("paste",)).as_text() == (
        "contains almond, may contain walnut, not known beside that (paste)"
    )
    assert State("none declared").as_text() == "not an ingredient"
