"""Ethanol left after heating: the published rows, the bound, the range, and how steps and preparations come together.

References
----------
.. [1] USDA Table of Nutrient Retention Factors, Release 6 (2007), nutrient 221, codes 5001 to 5008; code 5009 (2.5 hours) is blank in
   the public file and 5 in the printed table (from memory) and in press of the same study (1989, 1990).
.. [2] Rayleigh distillation, W/W0 to the power of 8: 99 % of the weight leaves 92 % of the ethanol, 98 85, 95 66, 90 43, 85 27, 80 17,
   75 10, 70 5.8 %.
.. [3] Constructed cases: USDA SR28 rows and [1], worked by hand.
"""

from collections.abc import Callable

import numpy as np
import pytest

from labeller.foundations.quantities import Quantity
from labeller.kitchen import constituents as c
from labeller.kitchen.heating import heat_parts, retention, row_in_words
from labeller.kitchen.pan import Part, StepRefusedError, pan_heat
from labeller.kitchen.working_out import Workings

Worked = Callable[[str], Workings]

# [1], boundaries on both sides: kind, minutes, percent retained.
ROWS = [
    ("flame", None, 75), ("flame", 1.0, 75), ("stir in", None, 85), ("stir in", 30.0, 85),
    ("bake", None, 85), ("bake", 14.9, 85), ("bake", 15.0, 40), ("bake", 29.9, 40), ("bake", 30.0, 35), ("bake", 59.9, 35),
    ("bake", 60.0, 25), ("bake", 89.9, 25), ("bake", 90.0, 20), ("bake", 119.9, 20), ("bake", 120.0, 10), ("bake", 149.9, 10),
    ("bake", 150.0, 5), ("bake", 600.0, 5), ("simmer", None, 85), ("simmer", 15.0, 40), ("simmer", 45.0, 35),
    ("simmer", 150.0, 5), ("boil", 5.0, 85), ("boil", 75.0, 25), ("hold", 7.0, 85), ("hold", 15.0, 40), ("fry", 3.0, 85),
    ("reduce", None, 40), ("reduce", 10.0, 85), ("reduce", 30.0, 35), ("reduce", 150.0, 5),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "minutes", "percent"), ROWS)
def test_rows_of_release_6(kind: str, minutes: float | None, percent: float) -> None:
    assert 100.0 * retention(kind, minutes) == pytest.approx(percent)


# [1]: the row each sentence must name.
NAMED = [
    ("flame", None, "flamed, 75 % stays (USDA row 5003)"),
    ("stir in", None, "stirred into hot food, 85 % stays (USDA row 5002)"),
    ("reduce", None, "reduced without a time, the row of 15 minutes, 40 % stays (USDA row 5004)"),
    ("bake", 15.0, "the row of 15 minutes, 40 % stays (USDA row 5004)"),
    ("bake", 35.0, "the row of 30 minutes, 35 % stays (USDA row 5005)"),
    ("simmer", 65.0, "the row of 60 minutes, 25 % stays (USDA row 5006)"),
    ("simmer", 90.0, "the row of 90 minutes, 20 % stays (USDA row 5007)"),
    ("boil", 120.0, "the row of 120 minutes, 10 % stays (USDA row 5008)"),
    ("bake", 200.0, "the row of 150 minutes, 5 % stays (USDA row 5009)"),
    ("hold", None, "under 15 minutes or no time given, 85 % stays (USDA row 5002)"),
]


@pytest.mark.parametrize(("kind", "minutes", "words"), NAMED)
def test_the_row_is_named(kind: str, minutes: float | None, words: str) -> None:
    assert row_in_words(kind, minutes) == words


# -- one pan, heated --------------------------------------------------------------------------------------------------


def _pan(water: float = 900.0, ethanol: float = 20.0, solids: float = 80.0) -> Part:
    row = np.zeros((1, c.COLUMNS))
    row[0, c.WATER], row[0, c.ETHANOL], row[0, c.DISSOLVING] = water, ethanol, solids
    row[:, c.CASES] = ethanol
    return Part("sauce", frozenset({"sauce"}), np.array([0]), row, pan_heat(c.UNHEATED[None, :]))


def _exactly(grams: float) -> Quantity:
    return Quantity(grams, grams, grams)


def _left(part: Part, put_in: float = 20.0) -> tuple[float, float, float]:
    low, estimate, high = c.ethanol_range_g(part.rows)
    return low / put_in, estimate / put_in, high / put_in


# [2] percent of the weight left, percent of ethanol; 15 min by [1] is 40 %.
PHYSICS = [
    (99, 92, 0.5),
    (98, 85, 0.1),
    (95, 66, 0.4),
    (90, 43, 0.1),
    (85, 27, 0.3),
    (80, 17, 0.3),
    (75, 10, 0.1),
    (70, 5.8, 0.1),
]


@pytest.mark.parametrize(("percent_left", "physics", "within"), PHYSICS)
def test_the_other_end_is_what_the_loss_leaves(percent_left: float, physics: float, within: float) -> None:
    part = _pan()
    heat_parts([part], "simmer", 15.0, _exactly(1000.0 - 10.0 * percent_left))
    low, estimate, high = _left(part)
    bound = max(0.40, 1.0 - (1000.0 - 10.0 * percent_left) / 20.0)  # never more ethanol than weight
    assert estimate == pytest.approx(bound)
    assert 100.0 * low == pytest.approx(min(physics, 100.0 * bound), abs=within)
    assert 100.0 * high == pytest.approx(max(physics, 100.0 * bound), abs=within)


def test_never_more_alcohol_than_weight() -> None:
    part = _pan()
    steam, words = heat_parts([part], "bake", 60.0, _exactly(6.0))
    assert _left(part)[1] == pytest.approx(14.0 / 20.0)  # the row says 25 %, which is a loss of 15 g
    assert steam[c.ETHANOL] == pytest.approx(6.0)
    assert steam[c.WATER] == pytest.approx(0.0, abs=1e-12)
    assert words == (
        "no more alcohol can leave than weight (6 g); the other end is what a loss of 0.6 % of the weight leaves, 95 %"
    )


def test_flaming_is_apart_from_the_bound() -> None:
    part = _pan()
    heat_parts([part], "flame", None, _exactly(1.0))
    assert _left(part)[1] == pytest.approx(0.75)


def test_five_per_cent_is_the_floor() -> None:
    part = _pan()
    heat_parts([part], "simmer", 150.0, _exactly(700.0))
    assert _left(part) == pytest.approx((0.05, 0.05, 0.05))
    heat_parts([part], "boil", 150.0, _exactly(100.0))
    low, estimate, high = _left(part)
    assert low == pytest.approx(0.05)
    assert estimate == pytest.approx(0.05)
    assert high == pytest.approx(0.05)


def test_without_a_weight_only_ethanol_leaves() -> None:
    part = _pan()
    steam, _ = heat_parts([part], "simmer", 30.0, None)
    assert steam[c.WATER] == 0.0
    assert steam[c.ETHANOL] == pytest.approx(13.0)  # 65 % of 20 g
    assert part.weight_g == pytest.approx(987.0)


def test_a_rough_loss_widens_the_range() -> None:
    plain, rough = _pan(), _pan()
    heat_parts([plain], "simmer", 15.0, _exactly(100.0))
    heat_parts([rough], "simmer", 15.0, Quantity(20.0, 100.0, 250.0, rough=True))
    assert _left(rough)[1] == pytest.approx(_left(plain)[1])
    assert _left(rough)[0] == pytest.approx(0.75**8, abs=1e-9)  # 250 g of 1000 g, [2]
    assert _left(rough)[2] == pytest.approx(0.98**8, abs=1e-9)  # 20 g of 1000 g


def test_more_than_water_and_alcohol_cannot_leave() -> None:
    with pytest.raises(
        StepRefusedError,
        match=r"^930\.0 g would leave, and there are 920\.0 g of water and alcohol in 1000\.0 g\.$",
    ) as refused:
        heat_parts([_pan()], "simmer", 15.0, _exactly(930.0))
    assert refused.value.field == "loses"
    assert refused.value.mend == "Look at the weights again: water and alcohol are all that can leave as steam."


def test_boiled_dry_takes_the_alcohol_too() -> None:
    part = _pan()
    heat_parts([part], "boil", 15.0, _exactly(915.0))
    assert part.rows[0, c.WATER] == pytest.approx(0.0, abs=1e-9)
    assert part.rows[0, c.ETHANOL] == pytest.approx(5.0)  # 920 g could leave, 5 g of it did not
    low, estimate, high = c.ethanol_range_g(part.rows)
    assert low <= estimate <= high


# -- steps that come together -----------------------------------------------------------------------------------------

SAUCE = """
- ingredient: clear spirit
  strength: 40 % vol
- preparation: bath
  takes: [100 g clear spirit, 900 g water]
"""


def sauce(steps: str) -> str:
    lines = "\n".join(f"    - {step}" for step in steps.split("; "))
    return f"{SAUCE}- preparation: sauce\n  takes: [1000 g bath]\n  method:\n{lines}\n"


def share_left(workings: Workings, name: str = "sauce") -> tuple[float, float, float]:
    put_in = c.ethanol_g(workings.made["bath"].given["bath"].rows)
    low, estimate, high = c.ethanol_range_g(workings.made[name].given[name].rows)
    return low / put_in, estimate / put_in, high / put_in


def test_two_bakes_follow_the_row_of_an_hour(worked: Worked) -> None:
    # Common practice, no source: thin rolls bake 30 to 35 min covered at 150 C and 30 min more uncovered at 180 C.
    workings = worked(
        sauce(
            "heat: {how: bake, for: 35 min, at: 150 C, covered: true, loses: 60 g}; heat: {how: bake, for: 30 min, at: 180 C, loses: 40 g}"
        )
    )
    assert share_left(workings)[1] == pytest.approx(0.25)
    first, second = (event.sentence for event in workings.made["sauce"].story)
    assert first.startswith("the row of 30 minutes, 35 % stays (USDA row 5005);")
    assert second.startswith("the row of 60 minutes, 25 % stays (USDA row 5006);")


@pytest.mark.parametrize(("first", "second", "row"), [(30, 30, 0.25), (20, 10, 0.35), (10, 4, 0.85), (100, 50, 0.05)])
def test_a_bake_split_in_two_is_one_bake(worked: Worked, first: int, second: int, row: float) -> None:
    split = share_left(
        worked(
            sauce(
                f"heat: {{how: bake, for: {first} min, loses: 50 g}}; heat: {{how: bake, for: {second} min, loses: 50 g}}"
            )
        )
    )
    single = share_left(worked(sauce(f"heat: {{how: bake, for: {first + second} min, loses: 100 g}}")))
    assert split == pytest.approx(single, rel=1e-9)
    assert split[1] == pytest.approx(row)


def test_another_kind_multiplies_and_the_high_end_takes_the_summed_time(worked: Worked) -> None:
    low, estimate, high = share_left(
        worked(sauce("heat: {how: simmer, for: 30 min, loses: 200 g}; heat: {how: bake, for: 30 min, loses: 200 g}"))
    )
    assert estimate == pytest.approx(0.35 * 0.35)
    assert low == pytest.approx(0.05)  # (600/1000)**8 is less, the floor holds
    assert high == pytest.approx(0.25)  # the row of 60 minutes


def test_another_preparation_multiplies(worked: Worked) -> None:
    text = sauce("heat: {how: simmer, for: 30 min, loses: 200 g}") + (
        "- preparation: pie\n  takes: [all sauce]\n  method:\n    - heat: {how: simmer, for: 30 min, loses: 200 g}\n"
    )
    workings = worked(text)
    low, estimate, high = share_left(workings, "pie")
    assert share_left(workings)[1] == pytest.approx(0.35)
    assert estimate == pytest.approx(0.35 * 0.35)
    assert low == pytest.approx(0.05)
    assert high == pytest.approx(0.25)


def test_what_joins_later_is_heated_only_since(worked: Worked) -> None:
    workings = worked(
        sauce(
            "heat: {how: simmer, for: 60 min}; add: 100 g clear spirit; heat: {how: stir in}; heat: {how: simmer, for: 15 min}"
        )
    )
    spirit = c.ethanol_g(workings.made["bath"].given["bath"].rows)  # the bath holds 100 g too
    estimate = c.ethanol_g(workings.made["sauce"].given["sauce"].rows)
    # The bath: simmered 75 min in all; 'stir in' is of the spirit alone, which then simmered 15 min.
    assert estimate == pytest.approx(spirit * (0.25 + 0.85 * 0.40))


def test_a_custard_is_held(worked: Worked) -> None:
    # Common practice, no source: a custard taken to 85 C is held, not boiled; minutes at most, so the row of stirring in.
    workings = worked(sauce("heat: {how: hold, to: 85 C, loses: 2 %}"))
    low, estimate, high = share_left(workings)
    assert estimate == pytest.approx(0.85)
    assert low <= 0.98**8 + 1e-12  # (W/W0)**8 is 85.1 %
    assert high == pytest.approx(0.98**8)


def test_a_night_lets_only_the_low_end_fall(worked: Worked) -> None:
    # [1] code 5001, stored overnight without heat: 70 %.
    assert share_left(worked(sauce("chill: overnight"))) == pytest.approx((0.70, 1.0, 1.0))
    assert share_left(worked(sauce("chill: {for: 2 h}"))) == pytest.approx((1.0, 1.0, 1.0))
    assert share_left(worked(sauce("freeze; churn; whip; blend; mix; set; rest; prove"))) == pytest.approx(
        (1.0, 1.0, 1.0)
    )


def test_sulphite_stays_in_the_pan(worked: Worked) -> None:
    workings = worked("""
        - ingredient: red wine of the house
          strength: 12.5 % vol
          sulphites: 120 mg/kg
        - preparation: reduced wine
          takes: [1000 g red wine of the house]
          method:
            - reduce: {leaves: 200 g}
        """)
    rows = workings.made["reduced wine"].given["reduced wine"].rows
    assert rows[:, c.SO2_MG].sum() == pytest.approx(120.0)


# -- constructed cases [3] --------------------------------------------------------------------------------------------


def test_t1_baked_custard(worked: Worked) -> None:
    workings = worked("""
        - ingredient: whole milk
          composition: sr28:01077
        - ingredient: whole egg
          composition: sr28:01123
        - ingredient: white sugar
          composition: sr28:19335
        - preparation: custard
          takes: [500 g whole milk, 200 g whole egg, 100 g white sugar]
          method:
            - heat: {how: bake, for: 40 min, loses: 5 %}
        """)
    batch = workings.made["custard"].given["custard"]
    sums = batch.rows.sum(axis=0) * 100.0 / batch.weight_g
    assert batch.weight_g == pytest.approx(760.0)
    assert sums[c.WATER] == pytest.approx(72.76, abs=0.006)
    assert sums[c.PROTEIN] == pytest.approx(5.378, abs=0.0006)
    assert sums[c.FAT] == pytest.approx(4.641, abs=0.0006)
    assert sums[c.SATURATES] == pytest.approx(2.050, abs=0.0006)
    assert sums[c.DISSOLVING] + sums[c.STAYING] == pytest.approx(16.503, abs=0.0006)
    assert sums[c.FIBRE] == 0.0
    assert sums[c.SODIUM_MG] == pytest.approx(65.79, abs=0.006)
    assert sums[c.MASS].sum() == pytest.approx(100.00, abs=0.005)


def test_t2_red_wine_sauce(worked: Worked) -> None:
    workings = worked("""
        - ingredient: red wine
          composition: sr28:14096
        - ingredient: beef stock
          composition: sr28:06170
        - preparation: wine sauce
          takes: [497.1 g red wine, 500 g beef stock]
          method:
            - reduce: {leaves: 400 g, for: 30 min}
        """)
    made = workings.made["wine sauce"]
    batch = made.given["wine sauce"]
    sums = batch.rows.sum(axis=0)
    steam = made.sinks["steam"]
    assert c.ethanol_g(batch.rows) == pytest.approx(18.36, abs=0.01)
    assert steam[c.ETHANOL] == pytest.approx(34.09, abs=0.01)
    assert steam[c.WATER] == pytest.approx(563.0, abs=0.05)
    assert sums[c.ETHANOL] / 4.0 == pytest.approx(4.589, abs=0.002)
    assert sums[c.WATER] / 4.0 == pytest.approx(86.60, abs=0.01)
    assert sums[c.PROTEIN] / 4.0 == pytest.approx(2.549, abs=0.001)
    assert sums[c.FAT] / 4.0 == pytest.approx(0.113, abs=0.0006)
    assert sums[c.SODIUM_MG] / 4.0 == pytest.approx(252.5, abs=0.06)
    low, estimate, high = c.ethanol_range_g(batch.rows)
    assert low == pytest.approx(0.05 * 52.44, abs=0.01)  # (400/997.1)**8 is less than the floor
    assert high == pytest.approx(estimate)


def test_t4_rum_ice_cream(worked: Worked) -> None:
    workings = worked("""
        - ingredient: heavy cream
          composition: sr28:01053
        - ingredient: whole milk
          composition: sr28:01077
        - ingredient: yolk
          composition: sr28:01125
        - ingredient: white sugar
          composition: sr28:19335
        - ingredient: dark rum
          composition: sr28:14050
        - preparation: rum ice
          takes: [300 g heavy cream, 300 g whole milk, 90 g yolk, 120 g white sugar, 45 g dark rum]
          method: [churn, freeze]
        """)
    batch = workings.made["rum ice"].given["rum ice"]
    sums = batch.rows.sum(axis=0) * 100.0 / batch.weight_g
    assert sums[c.ETHANOL] == pytest.approx(1.757, abs=0.001)
    assert sums[c.FAT] == pytest.approx(16.59, abs=0.006)
    assert c.ethanol_range_g(batch.rows) == pytest.approx((sums[c.ETHANOL] * 8.55,) * 3)


BRANDY = "- ingredient: cognac\n  strength: 40 % vol\n- preparation: flamed\n  takes: [60 ml cognac]\n  method:\n    - heat: {how: flame}\n"


def test_t5_and_t6_flamed_then_simmered(worked: Worked) -> None:
    workings = worked(
        BRANDY
        + BRANDY.split("- preparation", maxsplit=1)[0].replace("cognac", "brandy of the house")
        + "- preparation: sauced\n  takes: [60 ml brandy of the house]\n  method:\n    - heat: {how: flame}\n    - heat: {how: simmer, for: 15 min}\n"
    )
    assert c.ethanol_g(workings.made["flamed"].given["flamed"].rows) == pytest.approx(14.21, abs=0.006)
    low, estimate, high = c.ethanol_range_g(workings.made["sauced"].given["sauced"].rows)
    assert estimate == pytest.approx(5.68, abs=0.006)
    assert high >= 0.40 * 18.94 - 0.01  # the high end takes at least the row of the summed time
    assert low <= estimate
