"""Allergen statuses: what evidence settles, what equipment passes on, what a strain leaves behind, how sulphites are counted."""

import pytest

from tests.kitchens import Kitchen, plate, rows, run, status

# Regulation (EU) No 1169/2011, Annex II, in the names of the contract.
EU_GROUPS = [
    "gluten", "crustaceans", "egg", "fish", "peanut", "soya", "milk", "nuts", "celery", "mustard", "sesame", "sulphites", "lupin",
    "molluscs",
]  # fmt: skip
# 21 U.S.C. 321(qq), with sesame by Public Law 117-11, and 21 CFR 101.100(a)(4) for sulphites.
US_GROUPS = ["wheat", "crustaceans", "egg", "fish", "peanut", "soya", "milk", "nuts", "sesame", "sulphites"]
NONE, OPEN = "none declared", "unconfirmed"


def bought(name: str, *spec: str, more: str = "") -> str:
    """Return an ingredient with the lines of its spec."""
    inside = "".join(f"    {line}\n" for line in spec)
    return f"- ingredient: {name}\n{more}" + (f"  spec:\n{inside}" if spec else "")


WHOLE = 'statement: "Water, sugar"'


@pytest.mark.parametrize(("law", "groups"), [("eu", EU_GROUPS), ("gb", EU_GROUPS), ("us", US_GROUPS)])
def test_one_row_for_every_group_the_law_regulates(kitchen: Kitchen, law: str, groups: list[str]) -> None:
    found = kitchen.write(plate("10 g water"), law=law).one("plate")
    assert sorted(row["group"] for row in found["allergens"]) == sorted(groups)


@pytest.mark.parametrize("law", ["ca", "au-nz"])
def test_wheat_and_gluten_stand_apart_in_ca_and_au_nz(kitchen: Kitchen, law: str) -> None:
    found = rows(kitchen.write(plate("10 g water"), law=law).one("plate"))
    assert {"wheat", "gluten"} <= set(found)


@pytest.mark.parametrize(
    ("statement", "group", "sources"),
    [
        ("Cream (MILK)", "milk", ["milk"]),
        ("Sugar, HAZELNUTS", "nuts", ["hazelnut"]),
        ("Wheat flour, water", "gluten", ["wheat"]),
    ],
)
def test_a_whole_statement_settles_every_group(
    kitchen: Kitchen, statement: str, group: str, sources: list[str]
) -> None:
    found = kitchen.write(bought("thing", f'statement: "{statement}"') + plate("10 g thing")).one("plate")
    assert rows(found)[group]["sources"] == sources
    assert rows(found)[group]["because"] == [["thing"]]
    assert {row["group"]: row["status"] for row in found["allergens"]} == {
        name: "contains" if name == group else NONE for name in EU_GROUPS
    }
    assert found["unconfirmed"] == []


def test_a_list_alone_leaves_the_other_groups_open(kitchen: Kitchen) -> None:
    found = kitchen.write(bought("thing", "declares: [milk]") + plate("10 g thing")).one("plate")
    assert {name: row["status"] for name, row in rows(found).items()} == {
        name: "contains" if name == "milk" else OPEN for name in EU_GROUPS
    }
    assert rows(found)["soya"]["unconfirmed"] == [["thing"]]
    assert rows(found)["soya"]["because"] == []
    (one,) = found["unconfirmed"]
    assert one["ingredient"] == "thing"
    assert sorted(one["groups"]) == sorted(set(EU_GROUPS) - {"milk"})
    assert one["mend"]


@pytest.mark.parametrize(
    "spec",
    [("declares: [milk]", "covers: all"), ("declares: milk and nothing else",), ("declares: Milk and nothing else",)],
)
def test_a_list_that_covers_all_settles_the_others(kitchen: Kitchen, spec: tuple[str, ...]) -> None:
    found = kitchen.write(bought("thing", *spec) + plate("10 g thing")).one("plate")
    assert {name: row["status"] for name, row in rows(found).items()} == {
        name: "contains" if name == "milk" else NONE for name in EU_GROUPS
    }


@pytest.mark.parametrize("words", ['"nuts, soya"', "[nuts, soya]", '"May contain nuts and soya."'])
def test_may_contain_as_text_or_list(kitchen: Kitchen, words: str) -> None:
    found = rows(kitchen.write(bought("thing", WHOLE, f"may_contain: {words}") + plate("10 g thing")).one("plate"))
    assert {name for name, row in found.items() if row["status"] == "may contain"} == {"nuts", "soya"}
    assert found["soya"]["because"] == [["thing"]]
    assert found["soya"]["sources"] == ["soya"]
    assert {row["status"] for row in found.values()} == {"may contain", NONE}


@pytest.mark.parametrize(
    ("field", "word", "near"), [("declares", "mlik", "milk"), ("may_contain", "hazzelnot", "hazelnut")]
)
def test_a_word_that_names_nothing_is_a_fault_with_the_nearest(
    kitchen: Kitchen, field: str, word: str, near: str
) -> None:
    kitchen.write(bought("thing", f"{field}: [{word}]") + plate("10 g thing"))
    (fault,) = kitchen.faults()
    assert f"'{word}'" in fault["problem"]
    assert f"'{near}'" in fault["mend"]
    assert field in fault["field"]
    assert run("declare", kitchen.folder).code == 1


def test_a_bare_name_leaves_every_group_open(kitchen: Kitchen) -> None:
    found = kitchen.write(bought("nut paste") + plate("10 g nut paste")).one("plate")
    assert {row["status"] for row in found["allergens"]} == {OPEN}
    assert found["alcohol"]["status"] == OPEN
    assert {one["nutrient"] for one in found["nutrition"]["missing"]} >= {"energy_kj", "fat_g", "salt_g"}
    assert found["ingredients"] == [{"ingredient": "nut paste", "g": 10.0, "share": 1.0}]


def test_water_gum_and_a_vanilla_pod_turn_nothing_unconfirmed(kitchen: Kitchen) -> None:
    found = kitchen.write(plate("100 g water", "1 g xanthan gum", "1 vanilla pod")).one("plate")
    assert {row["status"] for row in found["allergens"]} == {NONE}
    assert found["unconfirmed"] == []
    assert found["alcohol"]["status"] == NONE


def test_a_single_commodity_row_settles_and_a_composite_does_not(kitchen: Kitchen) -> None:
    """NDB 12120 hazelnuts; NDB 18159 cookies, chocolate chip: a composite can show that something is in it, never that it is not."""
    text = "- ingredient: cobs\n  composition: sr28:12120\n- ingredient: biscuit\n  composition: sr28:18159\n"
    kitchen.write(text + plate("10 g cobs", name="one") + plate("10 g biscuit", name="two"))
    one, two = rows(kitchen.one("one")), rows(kitchen.one("two"))
    assert {name: row["status"] for name, row in one.items()} == {
        name: "contains" if name == "nuts" else NONE for name in EU_GROUPS
    }
    assert NONE not in {row["status"] for row in two.values()}


def test_contains_over_may_contain_over_unconfirmed(kitchen: Kitchen) -> None:
    text = (
        bought("a", 'statement: "Sugar, hazelnuts"')
        + bought("b", WHOLE, "may_contain: [nuts, soya]")
        + bought("c")
        + plate("1 g a", "1 g b", "1 g c")
    )
    found = rows(kitchen.write(text).one("plate"))
    assert [found[name]["status"] for name in ("nuts", "soya", "egg")] == ["contains", "may contain", OPEN]
    # whatever the status, what is not settled is still named
    assert found["nuts"]["unconfirmed"] == found["soya"]["unconfirmed"] == found["egg"]["unconfirmed"] == [["c"]]


def test_paths_lead_through_preparations(kitchen: Kitchen) -> None:
    text = (
        bought("house cream", 'statement: "Cream (MILK)"')
        + bought("nut paste")
        + "- preparation: base\n  takes: [100 g house cream]\n- preparation: custard ice\n  takes: [50 g base, 50 g nut paste]\n"
        + plate("50 g custard ice")
    )
    found = rows(kitchen.write(text).one("plate"))
    assert found["milk"]["because"] == [["custard ice", "base", "house cream"]]
    assert found["soya"]["unconfirmed"] == [["custard ice", "nut paste"]]


def test_strained_nuts_leave_their_allergen_in_the_cream(kitchen: Kitchen) -> None:
    text = (
        bought("house cream", 'statement: "Cream (MILK)"', more="  composition: sr28:01053\n")
        + "- ingredient: cobs\n  composition: sr28:12120\n"
        + "- preparation: nut cream\n  takes: [500 g house cream, 100 g cobs]\n"
        + "  method:\n    - macerate: {solids: cobs, for: 12 hours, at: 4 C}\n    - strain: {holds: 10 %}\n"
        + "  gives:\n    nut cream: {part: liquor}\n    spent cobs: solids\n"
        + plate("50 g nut cream", name="liquor")
        + plate("50 g spent cobs", name="solids")
    )
    kitchen.write(text)
    for dish, part in (("liquor", "nut cream"), ("solids", "spent cobs")):
        found = rows(kitchen.one(dish))
        assert found["nuts"]["status"] == "contains"
        assert found["nuts"]["because"] == [[part, "cobs"]]
        assert found["milk"]["status"] == "contains"


def test_a_removed_line_leaves_its_allergens_and_not_its_weight(kitchen: Kitchen) -> None:
    text = (
        "- ingredient: cobs\n  composition: sr28:12120\n- preparation: syrup\n  takes:\n    - 90 g water\n    - 10 g sugar\n"
        "    - 20 g cobs, removed\n" + plate("50 g syrup")
    )
    found = kitchen.write(text).one("plate")
    assert status(found, "nuts") == "contains"
    assert found["portion_g"] == pytest.approx(50.0)
    listed = found["ingredients"]
    assert [one["ingredient"] for one in listed] == ["water", "sugar", "cobs"]
    assert [one.get("share") for one in listed] == [pytest.approx(0.9), pytest.approx(0.1), None]
    assert listed[2]["removed"] is True
    assert listed[2]["g"] == pytest.approx(10.0)
    assert found["nutrition"]["per_portion"]["fat_g"] == 0.0


# -- shared equipment --------------------------------------------------------------------------------------------------


def churned(equipment: str = "churn", nuts: str = 'statement: "Hazelnuts"', dairy: str = WHOLE) -> str:
    """Return two ices on one churn, a sorbet without nuts, and a sauce made of the plain one."""
    return (
        f"  shared_equipment:\n    - {equipment}\n"
        + bought("nut stuff", nuts)
        + bought("plain stuff", dairy)
        + "- preparation: nut ice\n  takes: [100 g nut stuff]\n  made_on: [churn]\n"
        + "- preparation: plain ice\n  takes: [100 g plain stuff]\n  made_on: [churn]\n"
        + "- preparation: float\n  takes: [50 g plain ice, 50 g water]\n  made_on: []\n".replace("  made_on: []\n", "")
        + plate("50 g plain ice")
        + plate("50 g float", name="drink")
    )


def test_equipment_passes_on_as_may_contain_and_travels_with_the_ingredient(kitchen: Kitchen) -> None:
    kitchen.write(churned())
    found = rows(kitchen.one("plate"))["nuts"]
    assert (found["status"], found["sources"]) == ("may contain", ["hazelnut"])
    assert found["because"][0][0] == "plain ice"
    assert found["because"][0][-1] == "nut stuff"
    assert rows(kitchen.one("drink"))["nuts"]["status"] == "may contain"


def test_equipment_passes_one_hop_only(kitchen: Kitchen) -> None:
    """Nuts pass over the churn to the plain ice; over the blender the plain ice passes what it contains, not what it may contain."""
    text = (
        "  shared_equipment: [churn, blender]\n"
        + bought("nut stuff", 'statement: "Hazelnuts"')
        + bought("milk stuff", 'statement: "Milk"')
        + bought("plain stuff", WHOLE)
        + "- preparation: nut ice\n  takes: [100 g nut stuff]\n  made_on: [churn]\n"
        + "- preparation: milk ice\n  takes: [100 g milk stuff]\n  made_on: [churn, blender]\n"
        + "- preparation: smooth sauce\n  takes: [100 g plain stuff]\n  made_on: [blender]\n"
        + plate("50 g smooth sauce")
    )
    found = kitchen.write(text).one("plate")
    assert status(found, "milk") == "may contain"
    assert status(found, "nuts") == NONE


def test_nested_parts_pass_too(kitchen: Kitchen) -> None:
    text = (
        "  shared_equipment: [churn]\n"
        + bought("nut stuff", 'statement: "Hazelnuts"')
        + bought("plain stuff", WHOLE)
        + "- preparation: praline\n  takes: [100 g nut stuff]\n"
        + "- preparation: nut ice\n  takes: [50 g praline, 50 g water]\n  made_on: [churn]\n"
        + "- preparation: plain ice\n  takes: [100 g plain stuff]\n  made_on: [churn]\n"
        + plate("50 g plain ice")
    )
    found = rows(kitchen.write(text).one("plate"))["nuts"]
    assert found["status"] == "may contain"
    assert found["because"] == [["plain ice", "churn", "nut ice", "praline", "nut stuff"]]


def test_unconfirmed_passes_as_unconfirmed(kitchen: Kitchen) -> None:
    text = churned(nuts="declares: [hazelnut]")
    found = rows(kitchen.write(text).one("plate"))
    assert found["nuts"]["status"] == "may contain"
    assert found["soya"]["status"] == OPEN
    assert found["soya"]["unconfirmed"][0][-1] == "nut stuff"


@pytest.mark.parametrize(
    ("equipment", "passes"),
    [
        ("{name: churn, cleaned: hot wash and rinse, checked: weekly swab}", False),
        ("{name: churn, cleaned: hot wash and rinse}", True),
        ("{name: churn, checked: weekly swab}", True),
        ("{name: churn}", True),
    ],
)
def test_only_cleaned_and_checked_together_stop_it(kitchen: Kitchen, equipment: str, *, passes: bool) -> None:
    found = kitchen.write(churned(equipment)).one("plate")
    assert status(found, "nuts") == ("may contain" if passes else NONE)


def test_an_ingredient_opened_over_equipment_takes_part(kitchen: Kitchen) -> None:
    text = (
        "  shared_equipment: [blender]\n"
        + bought("nut stuff", 'statement: "Hazelnuts"', more="  made_on: [blender]\n")
        + bought("plain stuff", WHOLE, more="  made_on: [blender]\n")
        + plate("50 g plain stuff")
    )
    assert status(kitchen.write(text).one("plate"), "nuts") == "may contain"


def test_what_a_batch_contains_itself_is_not_may_contain(kitchen: Kitchen) -> None:
    found = rows(kitchen.write(churned(dairy='statement: "Hazelnuts, sugar"')).one("plate"))["nuts"]
    assert found["status"] == "contains"


def test_equipment_the_kitchen_does_not_name_is_a_fault(kitchen: Kitchen) -> None:
    kitchen.write("  shared_equipment: [churn]\n- preparation: ice\n  takes: [100 g water]\n  made_on: [chrun]\n")
    (fault,) = kitchen.faults()
    assert "'chrun'" in fault["problem"]
    assert "churn" in fault["mend"]
    assert fault["line"] == 6


# -- sulphites ---------------------------------------------------------------------------------------------------------


def sulphited(grams: float, mg_per_kg: float) -> str:
    """Return a plate of 100 g with so much of a sulphited thing on it."""
    return bought(
        "dried fruit", 'statement: "Apricots, sulphur dioxide"', more=f"  sulphites: {mg_per_kg} mg/kg\n"
    ) + plate(f"{grams} g dried fruit", f"{100 - grams} g water")


# Regulation (EU) No 1169/2011, Annex II, 12: "more than 10 mg/kg"; 21 CFR 101.100(a)(4): "10 parts per million or more".
@pytest.mark.parametrize(
    ("law", "mg_per_kg", "expected"),
    [
        ("eu", 100.0, NONE), ("gb", 100.0, NONE), ("us", 100.0, "contains"),
        ("eu", 100.01, "contains"), ("gb", 100.01, "contains"), ("us", 99.99, NONE), ("eu", 99.99, NONE),
    ],
)  # fmt: skip
def test_sulphites_by_figure_as_served(kitchen: Kitchen, law: str, mg_per_kg: float, expected: str) -> None:
    """10 g in 100 g: the dish holds a tenth of the figure."""
    assert status(kitchen.write(sulphited(10, mg_per_kg), law=law).one("plate"), "sulphites") == expected


def test_exactly_the_limit_stays_exact_through_odd_weights(kitchen: Kitchen) -> None:
    """30 g of 33.3333333333 mg/kg in 100 g are 10.0 to 9 significant digits."""
    text = sulphited(30, 33.3333333333)
    kitchen.write(text)
    assert status(kitchen.one("plate"), "sulphites") == NONE
    assert status(kitchen.one("plate", "--jurisdiction", "us"), "sulphites") == "contains"


def test_one_without_a_figure_makes_it_contain(kitchen: Kitchen) -> None:
    text = (
        bought("wine", 'statement: "Wine, sulphites"', more="  sulphites: 1 mg/kg\n")
        + bought("fruit", 'statement: "Apricots, sulphur dioxide"')
        + plate("1 g wine", "1 g fruit", "98 g water")
    )
    found = rows(kitchen.write(text).one("plate"))["sulphites"]
    assert found["status"] == "contains"
    assert ["fruit"] in found["because"]


def test_a_figure_over_the_limit_counts_without_a_statement(kitchen: Kitchen) -> None:
    text = bought("vinegar", more="  sulphites: 200 mg/kg\n") + plate("10 g vinegar", "90 g water")
    found = rows(kitchen.write(text).one("plate"))["sulphites"]
    assert found["status"] == "contains"
    assert found["sources"] == ["sulphite"]
    assert found["because"] == [["vinegar"]]


def test_heat_does_not_drive_sulphites_off(kitchen: Kitchen) -> None:
    """100 g at 8 mg/kg boiled down to 50 g stand at 16 mg/kg."""
    text = (
        bought("wine", 'statement: "Wine, sulphites"', more="  sulphites: 8 mg/kg\n  composition: sr28:14106\n")
        + "- preparation: reduction\n  takes: [100 g wine]\n  method:\n    - reduce: {leaves: 50 g}\n"
        + plate("50 g reduction")
        + plate("50 g wine", name="raw")
    )
    kitchen.write(text)
    assert status(kitchen.one("plate"), "sulphites") == "contains"
    assert status(kitchen.one("raw"), "sulphites") == NONE


def test_a_figured_batch_over_the_limit_passes_over_equipment(kitchen: Kitchen) -> None:
    text = (
        "  shared_equipment: [blender]\n"
        + bought("fruit", 'statement: "Apricots, sulphur dioxide"', more="  sulphites: 2000 mg/kg\n")
        + bought("plain stuff", WHOLE)
        + "- preparation: fruit pulp\n  takes: [100 g fruit]\n  made_on: [blender]\n"
        + "- preparation: smooth sauce\n  takes: [100 g plain stuff]\n  made_on: [blender]\n"
        + plate("50 g smooth sauce")
    )
    assert status(kitchen.write(text).one("plate"), "sulphites") == "may contain"


# -- exemptions and alcohol --------------------------------------------------------------------------------------------


def test_grain_distilled_into_spirit_is_exempt_in_eu(kitchen: Kitchen) -> None:
    """Annex II, 1(d): cereals used for making alcoholic distillates."""
    found = kitchen.write(plate("20 ml gin")).one("plate")
    assert status(found, "gluten") == NONE
    assert found["alcohol"]["status"] == "contains"


def test_alcohol_by_word_and_by_whole_evidence(kitchen: Kitchen) -> None:
    text = (
        bought("sauce", 'statement: "Cream (milk), brandy"')
        + bought("plain stuff", WHOLE)
        + bought("bare")
        + plate("1 g sauce", "1 g bare", name="one")
        + plate("1 g plain stuff", name="two")
        + plate("1 g plain stuff", "1 g bare", name="three")
    )
    kitchen.write(text)
    assert [kitchen.one(name)["alcohol"]["status"] for name in ("one", "two", "three")] == ["contains", NONE, OPEN]


def test_an_exempt_derivation_never_hides_the_plain_source_beside_it(kitchen: Kitchen) -> None:
    """Regulation (EU) No 1169/2011, Annex II, 1(a): glucose syrup of wheat is exempt, wheat flour is not."""
    kitchen.write(
        """\
- ingredient: biscuit
  spec: {statement: "wheat flour, glucose syrup (wheat)"}
- dish: biscuit plate
  plate: [30 g biscuit]
"""
    )
    assert status(kitchen.one("biscuit plate"), "gluten") == "contains"


def test_dextrose_without_its_source_is_not_known_where_the_law_does_not_exempt_it(kitchen: Kitchen) -> None:
    """Annex II, 1(a) exempts dextrose of wheat; 21 USC 343(w) does not, and the word does not say what it is made of."""
    kitchen.write(
        """\
- ingredient: sweet powder
  spec: {statement: "sugar, dextrose"}
- dish: sweet plate
  plate: [30 g sweet powder]
"""
    )
    assert status(kitchen.one("sweet plate"), "gluten") == "none declared"
    assert status(kitchen.one("sweet plate", "--jurisdiction", "us"), "wheat") == "unconfirmed"


def test_a_list_that_covers_all_is_stronger_than_the_row(kitchen: Kitchen) -> None:
    """Kitchen book, section 1, Evidence about allergens: strongest first, the spec."""
    kitchen.write(
        """\
- ingredient: milk powder drink
  composition: sr28:01077
  spec: {declares: [soya], covers: all}
- dish: drink
  plate: [30 g milk powder drink]
"""
    )
    assert status(kitchen.one("drink"), "soya") == "contains"
    assert status(kitchen.one("drink"), "milk") == "none declared"


@pytest.mark.parametrize("words", ["see attached sheet", "to be confirmed", "N/A", "unknown", "ask the supplier", "?"])
def test_words_in_place_of_a_statement_settle_nothing(kitchen: Kitchen, words: str) -> None:
    """What is not known is never none: such words are no statement, so their silence says nothing."""
    kitchen.write(
        f"- ingredient: paper\n  spec: {{statement: '{words}'}}\n- dish: plate of it\n  plate: [10 g paper]\n"
    )
    found = kitchen.one("plate of it")
    assert {row["status"] for row in found["allergens"]} == {"unconfirmed"}
    assert found["alcohol"]["status"] == "unconfirmed"


def test_a_statement_that_only_begins_like_such_words_is_read(kitchen: Kitchen) -> None:
    kitchen.write(
        "- ingredient: mix\n  spec: {statement: 'Seeds (sesame), salt'}\n- dish: plate of it\n  plate: [10 g mix]\n"
    )
    found = kitchen.one("plate of it")
    assert (status(found, "sesame"), status(found, "milk")) == ("contains", "none declared")


def test_covers_all_beside_no_list_is_a_fault(kitchen: Kitchen) -> None:
    kitchen.write("- ingredient: odd\n  spec: {covers: all}\n- dish: plate of it\n  plate: [10 g odd]\n")
    assert [fault["problem"] for fault in kitchen.faults()] == [
        "'covers: all' stands beside no list, so nothing says what is in it."
    ]


def test_words_the_reader_does_not_know_are_advice(kitchen: Kitchen) -> None:
    """Kitchen book, section 4: such a word is advice and changes no group."""
    kitchen.write(
        "- ingredient: mix\n  spec: {statement: 'sugar, blorple'}\n- dish: plate of it\n  plate: [10 g mix]\n"
    )
    assert any("'blorple'" in one["problem"] for one in kitchen.advice())
    assert status(kitchen.one("plate of it"), "egg") == "none declared"
