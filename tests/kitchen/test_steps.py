"""Every step of a method, what it weighs and where the rest went; and every step that cannot be done, told with line and mend.

Weights are arithmetic written beside each check; rows of food are those of USDA SR28.
"""

from collections.abc import Callable

import pytest

from labeller.kitchen import constituents as c
from labeller.kitchen.steps import STEP_TABLE
from labeller.kitchen.working_out import Workings

Worked = Callable[[str], Workings]
Faults = Callable[[str], list[str]]

GOODS = """\
- ingredient: pulp
  per_100_g: {fat_g: 0, protein_g: 0, sugars_g: 10, carbohydrate_g: 12, fibre_g: 8}
- ingredient: clear spirit
  strength: 40 % vol
- ingredient: fryer oil
  composition: sr28:04506
"""


def weights(workings: Workings, name: str = "it") -> dict[str, float]:
    return {given: batch.weight_g for given, batch in workings.made[name].given.items()}


def sinks(workings: Workings, name: str = "it") -> dict[str, float]:
    return {sink: float(rows[c.MASS].sum()) for sink, rows in workings.made[name].sinks.items()}


def adds_up(workings: Workings) -> bool:
    made = workings.made["it"]
    out = sum(weights(workings).values()) + sum(sinks(workings).values())
    return out == pytest.approx(made.put_in_g + made.taken_up_g, rel=1e-12)


def it(takes: str, *steps: str, gives: str = "") -> str:
    lines = "".join(f"    - {step}\n" for step in steps)
    method = f"  method:\n{lines}" if steps else ""
    tail = f"  gives: {gives}\n" if gives else ""
    return f"{GOODS}- preparation: it\n  takes: [{takes}]\n{method}{tail}"


# -- what leaves by the scale: step, where, grams gone of 400 g of pulp and 600 g of water ------------------------------------
LEAVE = [
    ("trim: {what: pulp, loses: 22 %}", "trim", 88.0),
    ("trim: {what: pulp, loses: 60 g}", "trim", 60.0),
    ("trim: {what: pulp, leaves: 300 g}", "trim", 100.0),
    ("trim: 10 %", "trim", 100.0),
    ("sieve: {loses: 5 %}", "sieve", 50.0),
    ("pour off: {what: water, loses: 100 %}", "pour off", 600.0),
    ("left behind: {loses: 2 %, where: mould}", "mould", 20.0),
    ("left behind: {loses: 2 %}", "left behind", 20.0),
]


@pytest.mark.parametrize(("step", "sink", "grams"), LEAVE)
def test_a_share_leaves_for_its_sink(worked: Worked, step: str, sink: str, grams: float) -> None:
    workings = worked(it("400 g pulp, 600 g water", step))
    assert sinks(workings) == {sink: pytest.approx(grams)}
    assert weights(workings) == {"it": pytest.approx(1000.0 - grams)}
    assert {workings.larder.names[place] for place in workings.made["it"].given["it"].present} == {"pulp", "water"}


def test_a_rough_trim_widens_what_alcohol_is_left(worked: Worked) -> None:
    workings = worked(it("100 g clear spirit", "pour off: {loses: 20-60 %}"))
    low, estimate, high = c.ethanol_range_g(workings.made["it"].given["it"].rows)
    put_in = estimate / 0.6  # the middle, 40 %, was poured off
    assert (low, high) == pytest.approx((0.4 * put_in, 0.8 * put_in))


@pytest.mark.parametrize(
    "step", ["rest", "chill", "freeze", "churn", "whip", "blend", "mix", "set", "prove", "Pass it twice."]
)
def test_quiet_steps_change_no_weight(worked: Worked, step: str) -> None:
    workings = worked(it("400 g pulp, 100 g clear spirit", step))
    assert weights(workings) == {"it": pytest.approx(500.0)}
    assert sinks(workings) == {}


def test_every_step_has_its_source() -> None:
    assert all(source for _, source in STEP_TABLE.values())


def test_add_joins_and_weighs(worked: Worked) -> None:
    workings = worked(it("400 g pulp", "add: 40 g clear spirit", "add: [10 g water, 5 g clear spirit]"))
    assert weights(workings) == {"it": pytest.approx(455.0)}
    ingoing = workings.made["it"].given["it"].ingoing()
    assert ingoing[workings.larder.ids["clear spirit"]] == pytest.approx(45.0)


def test_a_removed_line_leaves_its_evidence_and_no_weight(worked: Worked) -> None:
    workings = worked(it('400 g water, "1 stick cinnamon, removed"', "heat: {how: simmer, for: 5 min}"))
    batch = workings.made["it"].given["it"]
    cinnamon = workings.larder.ids["cinnamon"]
    assert batch.weight_g == pytest.approx(400.0)
    assert cinnamon in batch.present
    assert batch.removed[cinnamon] > 0.0


# -- strain and weigh ---------------------------------------------------------------------------------------------------
JAR = ("500 g pulp, 500 g clear spirit", "macerate: {solids: pulp, for: 3 weeks, as: cut}")
BOTH = "{liquor of it: liquor, solids of it: solids}"


@pytest.mark.parametrize(
    ("strain", "share"), [("strain", 0.95), ("strain: {holds: 8 %}", 0.98), ("strain: {holds: 0 %}", 0.90)]
)
def test_drained_solids_weigh_the_ratio(worked: Worked, strain: str, share: float) -> None:
    # Drained-weight ratio 0.95 (from memory), less 0.05 plus what 'holds' says.
    workings = worked(it(*JAR, strain, gives=BOTH))
    assert weights(workings) == {
        "liquor of it": pytest.approx(1000.0 - 500.0 * share),
        "solids of it": pytest.approx(500.0 * share),
    }


def test_strained_without_steeping(worked: Worked) -> None:
    workings = worked(
        it("500 g pulp, 500 g water", "heat: {how: simmer, for: 20 min}", "strain: {solids: [pulp]}", gives=BOTH)
    )
    assert weights(workings)["solids of it"] == pytest.approx(475.0)
    for batch in workings.made["it"].given.values():  # allergens of either stay in both
        assert {workings.larder.names[place] for place in batch.present} == {"pulp", "water"}


def test_what_gives_does_not_name_is_not_kept(worked: Worked) -> None:
    workings = worked(it(*JAR, "strain", gives="{liquor of it: liquor}"))
    assert sinks(workings) == {"not kept": pytest.approx(475.0)}


def test_later_steps_act_on_the_liquor_unless_they_say_solids(worked: Worked) -> None:
    workings = worked(it(*JAR, "strain", "add: 100 g water", "add: {what: solids, lines: [50 g water]}", gives=BOTH))
    assert weights(workings) == {"liquor of it": pytest.approx(625.0), "solids of it": pytest.approx(525.0)}
    trimmed = worked(it(*JAR, "strain", "sieve: {what: solids, loses: 10 %}", gives=BOTH))
    assert weights(trimmed) == {"liquor of it": pytest.approx(525.0), "solids of it": pytest.approx(427.5)}


WEIGHED = [  # gives, liquor, solids, sinks: 525 g and 475 g come out of the jar
    ("{liquor of it: {part: liquor, weighs: 500 g}, solids of it: solids}", 500.0, 500.0, {}),
    ("{liquor of it: {part: liquor, weighs: 600 g}, solids of it: solids}", 600.0, 400.0, {}),
    ("{liquor of it: liquor, solids of it: {part: solids, weighs: 450 g}}", 550.0, 450.0, {}),
    ("{liquor of it: liquor, solids of it: {part: solids, weighs: 520 g}}", 480.0, 520.0, {}),
    (
        "{liquor of it: {part: liquor, weighs: 500 g}, solids of it: {part: solids, weighs: 450 g}}",
        500.0,
        450.0,
        {"left in the jar": 50.0},
    ),
    (
        "{liquor of it: {part: liquor, weighs: 400 g}, solids of it: {part: solids, weighs: 550 g}}",
        400.0,
        550.0,
        {"left in the jar": 50.0},
    ),
]


@pytest.mark.parametrize(("gives", "liquor", "solids", "left"), WEIGHED)
def test_what_was_weighed_wins(
    worked: Worked, gives: str, liquor: float, solids: float, left: dict[str, float]
) -> None:
    plain = worked(it(*JAR, "strain", gives=BOTH))
    workings = worked(it(*JAR, "strain", gives=gives))
    assert weights(workings) == {"liquor of it": pytest.approx(liquor), "solids of it": pytest.approx(solids)}
    assert sinks(workings) == {name: pytest.approx(grams) for name, grams in left.items()}
    assert adds_up(workings)
    if liquor == 500.0:  # lighter than worked out, it keeps its composition
        before, after = (one.made["it"].given["liquor of it"] for one in (plain, workings))
        for column in (c.ETHANOL, c.SUGARS, c.WATER):
            assert after.rows[:, column].sum() / after.weight_g == pytest.approx(
                before.rows[:, column].sum() / before.weight_g
            )


def test_gives_alone_is_the_liquor(worked: Worked) -> None:
    workings = worked(it(*JAR, "strain", gives="500 g"))
    assert weights(workings) == {"it": pytest.approx(500.0)}
    assert adds_up(workings)


# -- heat, fry, and the weight on the scale --------------------------------------------------------------------------------


def test_the_one_heat_step_meets_the_weight_on_the_scale(worked: Worked) -> None:
    workings = worked(it("400 g pulp, 600 g water", "heat: {how: simmer, for: 20 min}", "trim: 10 %", gives="720 g"))
    assert weights(workings) == {"it": pytest.approx(720.0)}
    assert sinks(workings) == {"steam": pytest.approx(200.0), "trim": pytest.approx(80.0)}


def test_a_pot_that_simmers_loses_of_its_liquid(worked: Worked) -> None:
    # Drained solids weigh 0.95 of the weight put in (from memory), however far the pot was boiled down.
    workings = worked(
        it("1000 g pulp, 2000 g water", "heat: {how: simmer, for: 4 h}", "strain: {solids: [pulp]}", gives="1500 g")
    )
    assert weights(workings) == {"it": pytest.approx(1500.0)}
    assert sinks(workings) == {"not kept": pytest.approx(950.0), "steam": pytest.approx(550.0)}


def test_what_is_baked_before_it_steeps_goes_in_lighter(worked: Worked) -> None:
    steps = ("heat: {what: pulp, how: bake, loses: 40 %}", "macerate: {solids: pulp, for: 3 weeks, as: cut}", "strain")
    assert weights(worked(it("500 g pulp, 500 g clear spirit", *steps, gives=BOTH))) == {
        "liquor of it": pytest.approx(800.0 - 0.95 * 300.0),
        "solids of it": pytest.approx(0.95 * 300.0),
    }


def test_what_was_trimmed_before_it_steeps_goes_in_lighter(worked: Worked) -> None:
    steps = ("trim: {what: pulp, loses: 20 %}", "macerate: {solids: pulp, for: 3 weeks, as: cut}", "strain")
    assert weights(worked(it("500 g pulp, 500 g clear spirit", *steps, gives=BOTH)))["solids of it"] == pytest.approx(
        380.0
    )


def test_a_weight_on_the_scale_bounds_the_alcohol_that_left(worked: Worked) -> None:
    # No more ethanol leaves than weight: 1 g was lost, and the row of 30 minutes would take 65 % of it.
    workings = worked(it("100 g clear spirit, 400 g water", "heat: {how: simmer, for: 30 min}", gives="499 g"))
    put_in = sum(c.ethanol_g(one.batch.rows) for one in workings.made["it"].taken if one.batch is not None)
    assert c.ethanol_g(workings.made["it"].given["it"].rows) == pytest.approx(put_in - 1.0)
    assert workings.made["it"].taken_up_g == 0.0


def test_a_weight_of_the_liquor_is_no_loss_of_baked_solids(worked: Worked) -> None:
    workings = worked(it(*JAR, "strain", "heat: {what: solids, how: bake, for: 35 min}", gives="500 g"))
    assert weights(workings) == {"it": pytest.approx(500.0)}
    assert adds_up(workings)


@pytest.mark.parametrize("gives", ["700 g", "{it: {weighs: 700 g}}"])
def test_a_weight_of_the_pan_is_the_loss_of_its_heat_step(worked: Worked, gives: str) -> None:
    workings = worked(it("500 g water, 500 g clear spirit", "heat: {how: simmer, for: 35 min}", gives=gives))
    put_in = sum(c.ethanol_g(one.batch.rows) for one in workings.made["it"].taken if one.batch is not None)
    low, estimate, high = c.ethanol_range_g(workings.made["it"].given["it"].rows)
    # The row of 30 minutes, 35 % (USDA Release 6, 5005); 0.7**8 is 5.8 %.
    assert (low / put_in, estimate / put_in, high / put_in) == pytest.approx((0.7**8, 0.35, 0.35))


def test_two_heat_steps_and_a_weight_leave_the_rest_to_water(worked: Worked) -> None:
    workings = worked(it("1000 g water", "heat: {how: simmer}", "heat: {how: boil, loses: 100 g}", gives="850 g"))
    assert sinks(workings) == {"steam": pytest.approx(150.0)}


def test_frying_takes_up_oil_by_the_weight_going_in(worked: Worked) -> None:
    workings = worked(it("500 g pulp", "fry: {in: fryer oil, takes_up: 8 %, loses: 30 %}"))
    batch = workings.made["it"].given["it"]
    assert batch.weight_g == pytest.approx(500.0 + 40.0 - 150.0)
    assert batch.rows[:, c.FAT].sum() == pytest.approx(40.0, abs=0.01)
    assert workings.larder.ids["fryer oil"] in batch.present  # and so its allergens
    leaves = worked(it("500 g pulp", "fry: {in: fryer oil, takes_up: 8 %, leaves: 400 g}"))
    assert weights(leaves) == {"it": pytest.approx(400.0)}
    assert sinks(leaves) == {"steam": pytest.approx(140.0)}


# USDA SR28 raw and cooked rows: raw, cooked, weight cooked over weight raw by their dry matter.
COOKED = [
    ("sr28:20044", "sr28:20045", 2.80),  # white long-grain rice
    ("sr28:20120", "sr28:20121", 2.38),  # pasta
    ("sr28:16069", "sr28:16070", 3.02),  # lentils
]


@pytest.mark.parametrize(("raw", "cooked", "ratio"), COOKED)
def test_grains_and_pulses_take_up_water(worked: Worked, raw: str, cooked: str, ratio: float) -> None:
    workings = worked(f"""
        - ingredient: raw grain
          composition: {raw}
        - ingredient: cooked grain
          composition: {cooked}
        - preparation: it
          takes: [100 g raw grain]
          gives: {100 * ratio:.0f} g
        """)
    batch, larder = workings.made["it"].given["it"], workings.larder
    water_g = 100.0 * batch.rows[:, c.WATER].sum() / batch.weight_g
    printed_g = 100.0 * larder.per_gram[larder.ids["cooked grain"], c.WATER]
    assert batch.weight_g == pytest.approx(100.0 * ratio)
    assert water_g == pytest.approx(printed_g, abs=1.0)
    assert adds_up(workings)


# -- what cannot be: faults in the words people read ------------------------------------------------------------------------
# The preparation stands on line 7 of the book, its takes on 8, the first step on line 10.
REFUSED = [
    (
        it("100 g pulp", "trim: {what: pears, loses: 5 %}"),
        "book.yaml:10: method.trim.what: 'pears' is not in the pan.\n    Write one of the lines: pulp.",
    ),
    (
        it("100 g pulp", "trim: {what: pulb, loses: 5 %}"),
        "book.yaml:10: method.trim.what: 'pulb' is not in the pan.\n    Write 'pulp'.",
    ),
    (
        it("100 g pulp", "trim: {what: solids, loses: 5 %}"),
        "book.yaml:10: method.trim.what: nothing has been strained yet, so there are no solids.\n    Strain first, or name the lines.",
    ),
    (
        it("100 g pulp", "trim: {what: liquor, loses: 5 %}"),
        "book.yaml:10: method.trim.what: nothing has been strained yet, so there is no liquor.\n    Strain first, or leave 'what' out.",
    ),
    (
        it("100 g pulp", "trim: {loses: 120 %}"),
        "book.yaml:10: loses: '120 %' is more than there is.\n    Write a share up to 100 %.",
    ),
    (
        it("100 g pulp", "trim: {loses: 120 g}"),
        "book.yaml:10: method.trim.loses: '120 g' would leave, and there are 100.0 g.\n    Look at the weights again.",
    ),
    (
        it("100 g pulp", "trim: {leaves: 120 g}"),
        (
            "book.yaml:10: method.trim.leaves: '120 g' would stay, and there are only 100.0 g.\n"
            "    Look at the weights again; water that is taken up goes into 'gives', or is added."
        ),
    ),
    (
        it("100 g pulp", "strain"),
        (
            "book.yaml:10: method.strain: there is nothing solid to strain off.\n"
            "    Say which lines are solid: 'strain: {solids: [damsons]}', or macerate them first."
        ),
    ),
    (
        it("100 g pulp, 100 g water", "strain: {solids: [pulq]}"),
        "book.yaml:10: method.strain.solids: 'pulq' is not in the pan.\n    Write 'pulp'.",
    ),
    (
        it("100 g pulp, 100 g water", "macerate: {solids: [pulq], for: 1 day}"),
        "book.yaml:10: method.macerate.solids: 'pulq' is not in the pan.\n    Write 'pulp'.",
    ),
    (
        it("100 g pulp", "macerate: {solids: pulp, for: 3 days}"),
        (
            "book.yaml:10: method.macerate.solids: everything in the pan is solid, so there is nothing to steep in.\n"
            "    Name only the solids, and take the liquid too."
        ),
    ),
    (
        # pulp is 20 % dry: 80 g of water and 20 g of dry matter
        it("100 g pulp", "reduce: {leaves: 15 g}"),
        (
            "book.yaml:10: method.reduce.leaves: 85.0 g would leave, and there are 80.0 g of water and alcohol in 100.0 g.\n"
            "    Look at the weights again: water and alcohol are all that can leave as steam."
        ),
    ),
    (
        it("100 g pulp", "heat: {how: bake, loses: 90 %}"),
        (
            "book.yaml:10: method.heat.loses: 90.0 g would leave, and there are 80.0 g of water and alcohol in 100.0 g.\n"
            "    Look at the weights again: water and alcohol are all that can leave as steam."
        ),
    ),
    (
        it("100 g pulp", "heat: {how: bake, for: 20 min}", gives="15 g"),
        (
            "book.yaml:11: gives: 85.0 g would leave, and there are 80.0 g of water and alcohol in 100.0 g.\n"
            "    Look at the weights again: water and alcohol are all that can leave as steam."
        ),
    ),
    (
        it("100 g pulp", gives="15 g"),
        (
            "book.yaml:9: gives: 15 g is less than the dry matter there: 100 g went so far, of which 80 g are water and alcohol.\n"
            "    Weigh it again, or say in the method what was left behind."
        ),
    ),
    (
        # six times 20 g of dry matter is 120 g of water
        it("100 g pulp", gives="225 g"),
        (
            "book.yaml:9: gives: 225 g is 125 g more than the 100 g in the pan, and 20 g of dry matter cannot take up so much water.\n"
            "    Weigh it again, or write down the line that is missing."
        ),
    ),
    (
        it("100 g pulp", "fry: {in: fryer oil, takes_up: 8 %, leaves: 110 g}"),
        (
            "book.yaml:10: method.fry.leaves: '110 g' would stay, and with the oil there are only 108.0 g.\n"
            "    Look at the weights again."
        ),
    ),
    (
        it(
            *JAR,
            "strain",
            gives="{liquor of it: {part: liquor, weighs: 700 g}, solids of it: {part: solids, weighs: 400 g}}",
        ),
        (
            "book.yaml:12: weighs: 1100 g were weighed out of the 1000 g that went in.\n"
            "    Weigh again, or write down the line that is missing."
        ),
    ),
    (
        it("100 g pulp", "heat: {how: bake, loses: 5 g, leaves: 90 g}"),
        "book.yaml:10: leaves: both 'loses: 5 g' and 'leaves: 90 g' are given.\n    Keep one of them: what the scale said.",
    ),
    (
        it("100 g pulp", "fry: {in: fryer oil, takes_up: 130 %}"),
        "book.yaml:10: takes_up: '130 %' is more oil than food.\n    Write a share below 100 %.",
    ),
    (
        it("100 g pulp", "heat: {how: bake, for: 3 moons}"),
        "book.yaml:10: for: '3 moons' is not a time.\n    Write a time such as '35 min' or '3 weeks'.",
    ),
    (
        GOODS.replace("40 % vol", "140 % vol"),
        "book.yaml:4: strength: '140 % vol' is stronger than pure alcohol.\n    Write the strength on the bottle: '40 % vol'.",
    ),
    (
        it("100 g pulp", "heat: {how: bake, at: 900 C}"),
        "book.yaml:10: at: '900 C' makes no sense for this step, which runs from -30 to 500 C.\n    Write the temperature in C.",
    ),
    (
        it("100 g pulp", "heat: {how: bake, for: 0 min}"),
        "book.yaml:10: for: '0 min' is not a time.\n    Write a time such as '35 min' or '3 weeks'.",
    ),
]


@pytest.mark.parametrize(("text", "fault"), REFUSED, ids=[fault.split("\n", maxsplit=1)[0] for _, fault in REFUSED])
def test_what_cannot_be_is_told_with_its_mend(faults: Faults, text: str, fault: str) -> None:
    assert faults(text) == [fault]


@pytest.mark.parametrize("gives", ["220 g", "100 g", "21 g"])
def test_weights_that_water_explains_are_no_fault(worked: Worked, gives: str) -> None:
    # Six times 20 g of dry matter is 120 g of water: up to 220 g; down to the dry matter.
    assert weights(worked(it("100 g pulp", gives=gives))) == {"it": pytest.approx(float(gives.split(maxsplit=1)[0]))}
