"""Steeping: the worked balance, its sensitivity, published strengths, and how time brings solids and liquor together.

References
----------
.. [1] Mass balance of a common liquid, worked by hand: 500 g of fruit (81 % water, 10 % sugars, 2 % acids and minerals, 7 %
   insoluble) in 700 ml of spirit of 40 % vol. Densities by OIML R 22; 0.62 ml per gram of dissolved solids (from memory).
.. [2] Crank, The Mathematics of Diffusion: Fourier numbers of a sphere and a slab in a large bath.
.. [3] A distiller's account of cherries in kirsch: fruit and liquor both come to 15 % vol.
.. [4] Balances worked the same way for home recipes of fruit liqueurs.
"""

from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest

from labeller.foundations.ethanol_water import ETHANOL_DENSITY_20C, strength_percent_vol
from labeller.kitchen import constituents as c
from labeller.kitchen.batch import Batch
from labeller.kitchen.macerating import Approach, approach_after, approach_fraction, steep
from labeller.kitchen.pan import Part, pan_heat, total_range, total_rows, total_weight_g
from labeller.kitchen.working_out import Workings

Worked = Callable[[str], Workings]
THREE_WEEKS = 21 * 1440.0


def book(
    takes: str,
    *,
    water: float = 81.0,
    solubles: float = 12.0,
    spirit: float = 40.0,
    strain: str = "strain",
    as_: str = "cut",
) -> str:
    return f"""
- ingredient: plain fruit
  per_100_g: {{fat_g: 0, protein_g: 0, sugars_g: {min(10.0, solubles)}, carbohydrate_g: {solubles}, fibre_g: {100.0 - water - solubles:.1f}}}
- ingredient: clear spirit
  strength: {spirit} % vol
- preparation: jar
  takes: [{takes}]
  method:
    - macerate: {{solids: plain fruit, for: 60 days, as: {as_}}}
    - {strain}
  gives: {{liquor of the jar: liquor, fruit of the jar: solids}}
"""


def parts(workings: Workings, name: str = "jar") -> tuple[Batch, Batch]:
    given = workings.made[name].given
    return given["liquor of the jar"], given["fruit of the jar"]


def percent_vol(batch: Batch) -> float:
    return 100.0 * c.ethanol_g(batch.rows) / ETHANOL_DENSITY_20C / batch.volume_ml()


def percent_vol_of_liquid(batch: Batch) -> float:
    """Strength of what a fruit holds, its insoluble part apart."""
    sums = batch.rows.sum(axis=0)
    dissolved = float(sums[list(c.DISSOLVED_MASS)].sum())
    return strength_percent_vol(float(sums[c.ETHANOL]), float(sums[c.WATER]), dissolved)


# -- the worked balance [1], line by line -----------------------------------------------------------------------------


def test_worked_balance_of_the_jar(worked: Worked) -> None:
    workings = worked(book("500 g plain fruit, 700 ml clear spirit"))
    larder, made = workings.larder, workings.made["jar"]
    spirit_g = next(one.grams for one in made.taken if one.line.name == "clear spirit")
    assert spirit_g == pytest.approx(663.63, abs=0.005)
    spirit = larder.per_gram[larder.ids["clear spirit"]] * spirit_g
    assert spirit[c.ETHANOL] == pytest.approx(220.99, abs=0.005)
    assert spirit[c.WATER] == pytest.approx(442.64, abs=0.005)
    fruit = larder.per_gram[larder.ids["plain fruit"]] * 500.0
    assert fruit[c.WATER] == pytest.approx(405.0)
    assert fruit[list(c.DISSOLVED_MASS)].sum() == pytest.approx(60.0)
    assert fruit[list(c.STANDING_MASS)].sum() == pytest.approx(35.0)

    liquor, steeped = parts(workings)
    held = steeped.rows.sum(axis=0)
    liquid_g = held[list(c.LIQUID_MASS)].sum()
    assert steeped.weight_g == pytest.approx(475.0, abs=1e-6)
    assert liquid_g == pytest.approx(440.0, abs=1e-6)
    assert held[c.ETHANOL] / liquid_g == pytest.approx(0.19580, abs=0.000005)
    assert held[c.ETHANOL] == pytest.approx(86.15, abs=0.006)
    assert 100.0 * held[c.ETHANOL] / steeped.weight_g == pytest.approx(18.1, abs=0.05)
    assert held[c.ETHANOL] / 220.99 == pytest.approx(0.390, abs=0.0005)
    assert 100.0 * held[c.WATER] / steeped.weight_g == pytest.approx(69.6, abs=0.05)
    assert 100.0 * held[c.SUGARS] / steeped.weight_g == pytest.approx(4.1, abs=0.05)
    assert 100.0 * held[list(c.STANDING_MASS)].sum() / steeped.weight_g == pytest.approx(7.4, abs=0.05)

    poured = liquor.rows.sum(axis=0)
    assert liquor.weight_g == pytest.approx(688.63, abs=0.005)
    assert poured[c.ETHANOL] == pytest.approx(134.83, abs=0.01)
    assert poured[c.ETHANOL] / (poured[c.ETHANOL] + poured[c.WATER]) == pytest.approx(0.20680, abs=0.00001)
    assert liquor.volume_ml() == pytest.approx(696.5, abs=0.06)
    assert percent_vol(liquor) == pytest.approx(24.5, abs=0.05)
    assert 1000.0 * liquor.weight_g / liquor.volume_ml() == pytest.approx(988.7, abs=0.06)
    assert poured[c.SUGARS] == pytest.approx(30.5, abs=0.05)
    assert 1000.0 * poured[c.SUGARS] / liquor.volume_ml() == pytest.approx(43.8, abs=0.06)
    assert 1000.0 * poured[list(c.DISSOLVED_MASS)].sum() / liquor.volume_ml() == pytest.approx(52.6, abs=0.06)
    assert poured[c.ETHANOL] + held[c.ETHANOL] == pytest.approx(220.987, abs=0.001)


# [1]: the rows that a book can write: takes, keys of ``book``, % vol of the liquor, g of ethanol in the fruit, g in 100 g of it.
ROWS = [
    ("500 g plain fruit, 700 ml clear spirit", {"strain": "strain: {holds: 0 %}"}, 24.5, 81.3, 18.1),
    ("500 g plain fruit, 700 ml clear spirit", {"strain": "strain: {holds: 10 %}"}, 24.5, 91.0, 18.2),
    ("500 g plain fruit, 700 ml clear spirit", {"strain": "strain: {holds: 15 %}"}, 24.5, 95.9, 18.3),
    ("500 g plain fruit, 700 ml clear spirit", {"water": 78.0}, 24.9, 84.3, 17.8),
    ("500 g plain fruit, 700 ml clear spirit", {"water": 84.0}, 24.2, 87.9, 18.5),
    ("500 g plain fruit, 700 ml clear spirit", {"solubles": 10.0}, 24.7, 85.0, 17.9),
    ("500 g plain fruit, 700 ml clear spirit", {"solubles": 13.0}, 24.5, 86.8, 18.3),
    ("500 g plain fruit, 700 ml clear spirit", {"spirit": 37.5}, 23.0, 80.6, 17.0),
    ("500 g plain fruit, 700 ml clear spirit", {"spirit": 43.0}, 26.4, 92.9, 19.6),
    ("500 g plain fruit, 700 ml clear spirit", {"spirit": 50.0}, 30.8, 108.9, 22.9),
    ("250 g plain fruit, 700 ml clear spirit", {}, 30.4, 54.3, 22.8),
    ("350 g plain fruit, 700 ml clear spirit", {}, 27.8, 68.8, 20.7),
    ("700 g plain fruit, 700 ml clear spirit", {}, 21.2, 103.6, 15.6),
    ("1000 g plain fruit, 700 ml clear spirit", {}, 17.7, 122.0, 12.9),
    ("500 g plain fruit, 700 ml clear spirit, 250 g sugar", {}, 21.6, 58.5, 14.6),
]


@pytest.mark.parametrize(("takes", "keys", "liquor_percent", "fruit_g", "fruit_g_per_100_g"), ROWS)
def test_sensitivity_of_the_balance(
    worked: Worked, takes: str, keys: dict[str, float], liquor_percent: float, fruit_g: float, fruit_g_per_100_g: float
) -> None:
    liquor, steeped = parts(worked(book(takes, **keys)))  # type: ignore[arg-type]  # parametrized
    ethanol_g = c.ethanol_g(steeped.rows)
    assert percent_vol(liquor) == pytest.approx(liquor_percent, abs=0.06)
    assert ethanol_g == pytest.approx(fruit_g, abs=0.06)
    assert 100.0 * ethanol_g / steeped.weight_g == pytest.approx(fruit_g_per_100_g, abs=0.06)


def test_sugar_in_the_jar_makes_it_953_ml(worked: Worked) -> None:
    liquor, _ = parts(worked(book("500 g plain fruit, 700 ml clear spirit, 250 g sugar")))
    assert liquor.volume_ml() == pytest.approx(953.0, abs=0.6)


def _part(label: str, **grams: float) -> Part:
    row = np.zeros((1, c.COLUMNS))
    for name, value in grams.items():
        row[0, getattr(c, name.upper())] = value
    row[:, c.CASES] = row[:, [c.ETHANOL]]
    row[0, c.INGOING] = row[0, c.MASS].sum()
    return Part(
        label, frozenset({label}), np.array([0 if label == "fruit" else 1]), row, pan_heat(c.UNHEATED[None, :])
    )


def _jar() -> tuple[list[Part], list[Part]]:
    fruit = _part("fruit", water=405.0, dissolving=60.0, sugars=50.0, fibre=35.0)
    return [fruit], [_part("spirit", water=442.6445, ethanol=220.9869)]


# [1] by degree of approach E, and by drained-weight ratio: % vol of the liquor, g in the fruit, g in 100 g of it.
BY_APPROACH = [
    (0.5, 0.95, 31.7, 43.1, 9.1),
    (0.7, 0.95, 28.9, 60.3, 12.7),
    (0.8, 0.95, 27.5, 68.9, 14.5),
    (0.9, 0.95, 26.0, 77.5, 16.3),
    (1.0, 0.95, 24.5, 86.15, 18.1),
    (1.0, 0.80, 24.5, 71.5, 17.9),
    (1.0, 0.90, 24.5, 81.3, 18.1),
    (1.0, 1.05, 24.5, 95.9, 18.3),
]


@pytest.mark.parametrize(("degree", "ratio", "liquor_percent", "fruit_g", "fruit_g_per_100_g"), BY_APPROACH)
def test_sensitivity_to_the_approach(
    degree: float, ratio: float, liquor_percent: float, fruit_g: float, fruit_g_per_100_g: float
) -> None:
    solids, liquor = steep(*_jar(), [ratio * 500.0], Approach(degree, degree, degree, ""))
    inside, outside = total_rows(solids), total_rows(liquor)
    dissolved = float(outside[list(c.DISSOLVED_MASS)].sum())
    percent = strength_percent_vol(float(outside[c.ETHANOL]), float(outside[c.WATER]), dissolved)
    assert inside[c.ETHANOL] == pytest.approx(fruit_g, abs=0.06)
    assert 100.0 * inside[c.ETHANOL] / total_weight_g(solids) == pytest.approx(fruit_g_per_100_g, abs=0.06)
    assert percent == pytest.approx(liquor_percent, abs=0.08)
    assert total_weight_g(solids) == pytest.approx(ratio * 500.0)
    assert inside[c.ETHANOL] + outside[c.ETHANOL] == pytest.approx(220.9869, rel=1e-12)


def test_tissue_that_lets_in_less() -> None:
    # [1], K = 0.9: 80.7 g of ethanol in the fruit; it is the low end where the approach is whole.
    solids, liquor = steep(*_jar(), [475.0], Approach(1.0, 1.0, 1.0, ""))
    assert total_range(solids)[0] == pytest.approx(80.7, abs=0.06)
    for column in range(c.LOW_A, c.HIGH_B + 1):  # ethanol is conserved in every case of the range
        assert total_rows(solids)[column] + total_rows(liquor)[column] == pytest.approx(220.9869, rel=1e-12)


# -- published strengths ----------------------------------------------------------------------------------------------


def test_cherries_in_kirsch_stand_at_one_strength(worked: Worked) -> None:
    # [3]: fruit and liquor both 15 % vol. 1 kg of stoned cherries in 600 ml of 40 % vol ends there by the balance.
    workings = worked("""
        - ingredient: stoned cherries
          composition: sr28:09070
        - ingredient: kirsch
          strength: 40 % vol
        - preparation: jar
          takes: [1000 g stoned cherries, 600 ml kirsch]
          method:
            - macerate: {solids: stoned cherries, for: 6 weeks, as: pricked}
            - strain
          gives: {liquor of the jar: liquor, fruit of the jar: solids}
        """)
    liquor, steeped = parts(workings)
    assert percent_vol(liquor) == pytest.approx(15.0, abs=1.0)
    assert percent_vol_of_liquid(steeped) == pytest.approx(15.0, abs=1.0)
    assert percent_vol_of_liquid(steeped) == pytest.approx(percent_vol(liquor), abs=0.1)


# [4] % vol of the liquor. Sloes and ume as plain fruit, 85 % of them edible.
SLOES = "382.5 g plain fruit, 700 ml clear spirit, 225 g sugar"
LIQUEURS = [
    (SLOES, {"spirit": 37.5}, 22.1),
    (SLOES, {"spirit": 40.0}, 23.6),
    (SLOES, {"spirit": 43.0}, 25.4),
    ("850 g plain fruit, 1.8 l clear spirit, 500 g sugar", {"spirit": 35.0, "water": 90.4, "solubles": 8.0}, 21.7),
    ("850 g plain fruit, 1.8 l clear spirit, 700 g sugar", {"spirit": 35.0, "water": 90.4, "solubles": 8.0}, 20.8),
    ("850 g plain fruit, 1.8 l clear spirit, 1 kg sugar", {"spirit": 35.0, "water": 90.4, "solubles": 8.0}, 19.6),
]


@pytest.mark.parametrize(("takes", "keys", "percent"), LIQUEURS)
def test_fruit_liqueurs(worked: Worked, takes: str, keys: dict[str, float], percent: float) -> None:
    liquor, _ = parts(worked(book(takes, **keys)))  # type: ignore[arg-type]  # parametrized
    assert percent_vol(liquor) == pytest.approx(percent, abs=0.5)


# [4] a liqueur of peel: strength of the spirit, lines, % vol. The peel of the third is not given; half as much is taken.
OF_PEEL = [
    (95, "1 l clear spirit, 1 l water, 700 g sugar, 150 g fruit peel", 38.1),
    (95, "1 l clear spirit, 1.25 l water, 700 g sugar, 150 g fruit peel", 34.7),
    (40, "750 ml clear spirit, 500 ml water, 400 g sugar, 75 g fruit peel", 19.0),
]


@pytest.mark.parametrize(("spirit", "others", "percent"), OF_PEEL)
def test_liqueurs_of_peel(worked: Worked, spirit: float, others: str, percent: float) -> None:
    # Peel as USDA SR28 has it raw: 82 % water, 10.6 % fibre.
    workings = worked(f"""
        - ingredient: fruit peel
          per_100_g: {{carbohydrate_g: 5.4, sugars_g: 4.2, fibre_g: 10.6, protein_g: 1.5, fat_g: 0.3, salt_g: 0.02}}
        - ingredient: clear spirit
          strength: {spirit} % vol
        - preparation: jar
          takes: [{others}]
          method:
            - macerate: {{solids: fruit peel, for: 2 weeks, as: peel}}
            - strain
          gives: {{liquor of the jar: liquor, fruit of the jar: solids}}
        """)
    assert percent_vol(parts(workings)[0]) == pytest.approx(percent, abs=0.5)


# -- time -------------------------------------------------------------------------------------------------------------

# [2]: approach, Fourier number of a sphere by its radius, of a slab by half its thickness.
FOURIER = [
    (0.50, 0.0305, 0.1967),
    (0.80, 0.1135, 0.5672),
    (0.90, 0.1830, 0.8481),
    (0.95, 0.2531, 1.129),
    (0.99, 0.4162, 1.781),
]


@pytest.mark.parametrize(("approach", "sphere", "slab"), FOURIER)
def test_fourier_numbers(approach: float, sphere: float, slab: float) -> None:
    assert approach_fraction("sphere", sphere) == pytest.approx(approach, abs=0.0006)
    assert approach_fraction("slab", slab) == pytest.approx(approach, abs=0.0006)


def test_nothing_happens_in_no_time_and_all_in_the_end() -> None:
    for shape in ("sphere", "slab"):
        assert approach_fraction(shape, 0.0) == 0.0
        assert approach_fraction(shape, 1e-6) == pytest.approx(0.0, abs=0.005)
        assert approach_fraction(shape, 50.0) == 1.0


# Pieces in a large bath [2], diffusivity 1e-10 m2/s: length in m, share after 21 days.
PIECES = [("sphere", 0.030, 0.92), ("sphere", 0.020, 0.99), ("sphere", 0.010, 1.0), ("slab", 0.005, 1.0)]


@pytest.mark.parametrize(("shape", "length", "share"), PIECES)
def test_pieces_after_three_weeks(shape: str, length: float, share: float) -> None:
    assert approach_fraction(shape, 1e-10 * THREE_WEEKS * 60.0 / length**2) == pytest.approx(share, abs=0.006)


def test_small_whole_fruit_of_three_weeks_is_near_its_end() -> None:
    # Common practice, no source: small whole fruit covered with spirit stands three weeks and counts as ready.
    found = approach_after("whole with skin", THREE_WEEKS)
    assert found.estimate == pytest.approx(0.9, abs=0.005)
    # A waxy skin unpricked: 0.5 to 0.8 at three weeks; cherries through their skin: 0.94 to 1 (from memory and [2]).
    assert found.low == pytest.approx(0.5, abs=0.01)
    assert found.high == pytest.approx(1.0, abs=0.01)


@pytest.mark.parametrize("as_", ["cut", "pricked", "frozen"])
def test_opened_fruit_of_a_week_is_through(as_: str) -> None:
    # Cut, pricked or frozen fruit of a week or more counts as through (from memory).
    assert approach_after(as_, 7 * 1440.0).estimate >= 0.95


@pytest.mark.parametrize("as_", ["peel", "spice"])
def test_peel_and_spice_are_through_in_two_days(as_: str) -> None:
    assert approach_after(as_, 2 * 1440.0).estimate >= 0.99


@pytest.mark.parametrize("as_", ["whole with skin", "pricked", "cut", "frozen", "dried", "peel", "spice", ""])
def test_approach_never_falls_with_time_and_keeps_its_order(as_: str) -> None:
    found = [approach_after(as_, minutes) for minutes in (1.0, 60.0, 1440.0, 10080.0, THREE_WEEKS, 100 * 1440.0)]
    for earlier, later in pairwise(found):
        assert earlier.low <= later.low
        assert earlier.estimate <= later.estimate
        assert earlier.high <= later.high
    assert all(0.0 <= one.low <= one.estimate <= one.high <= 1.0 for one in found)


def test_without_a_word_on_the_fruit_the_range_is_the_wider() -> None:
    plain, whole = approach_after("", THREE_WEEKS), approach_after("whole with skin", THREE_WEEKS)
    cut = approach_after("cut", THREE_WEEKS)
    assert plain.low <= min(whole.low, cut.low)
    assert plain.high >= max(whole.high, cut.high) - 1e-12
    assert "range is wide" in plain.words
    assert "range is wide" in approach_after("cut", None).words


# -- longer methods ---------------------------------------------------------------------------------------------------


def test_what_steeps_next_does_not_hide_what_steeped_first(worked: Worked) -> None:
    workings = worked("""
        - ingredient: clear spirit
          strength: 40 % vol
        - preparation: jar
          takes: [500 g plums, 700 ml clear spirit, 5 g cinnamon]
          method:
            - macerate: {solids: plums, for: 3 weeks, as: cut}
            - macerate: {solids: cinnamon, for: 2 days, as: spice}
            - strain
          gives: {liquor of the jar: liquor, fruit of the jar: solids}
        """)
    liquor, steeped = parts(workings)
    # Plums of 0.95 and a spice of 1.4 of their weight; the spice drinks a little of the plums' liquid too.
    assert steeped.weight_g == pytest.approx(0.95 * 500.0 + 1.4 * 5.0, abs=8.0)
    assert {workings.larder.names[place] for place in steeped.ingoing()} >= {"plum", "cinnamon", "clear spirit"}
    assert liquor.is_liquid(workings.larder.liquid)


def test_steeped_twice_drains_to_the_weight_put_in(worked: Worked) -> None:
    text = """
        - ingredient: raisins of the house
          composition: sr28:09298
        - ingredient: dark rum
          strength: 40 % vol
        - preparation: jar
          takes: [100 g raisins of the house, 300 ml dark rum]
          method:
            - macerate: {solids: raisins of the house, for: 2 days, as: dried}
            - macerate: {solids: raisins of the house, for: 2 days, as: dried}
            - strain
          gives: {liquor of the jar: liquor, fruit of the jar: solids}
        """
    # Dried fruit swells to 1.4 of its weight (from memory), once.
    assert parts(worked(text))[1].weight_g == pytest.approx(140.0, rel=1e-9)


def test_salt_and_syrup_move_as_spirit_does(worked: Worked) -> None:
    # Ours, by the same balance: everything but protein, fat, fibre and starch is one liquid at the end.
    workings = worked("""
        - preparation: brine
          takes: [400 g cucumber, 600 g water, 60 g salt]
          method:
            - macerate: {solids: cucumber, for: 6 weeks, as: cut}
            - strain
          gives: {brine left: liquor, pickled cucumber: solids}
        """)
    inside = workings.made["brine"].given["pickled cucumber"].rows.sum(axis=0)
    outside = workings.made["brine"].given["brine left"].rows.sum(axis=0)
    liquid = list(c.LIQUID_MASS)
    for column in (c.SODIUM_MG, c.SUGARS, c.POTASSIUM_MG, c.WATER):
        assert inside[column] / inside[liquid].sum() == pytest.approx(
            outside[column] / outside[liquid].sum(), rel=1e-4
        )
    assert inside[c.SODIUM_MG] > 6000.0


@pytest.mark.parametrize(
    ("name", "as_", "ratio"),
    [("raspberries", "frozen", 0.65), ("plums", "cut", 0.95), ("plums", "dried", 1.4)],
)
def test_drained_weight(worked: Worked, name: str, as_: str, ratio: float) -> None:
    # Ratios from trade experience, from memory.
    workings = worked(f"""
        - ingredient: clear spirit
          strength: 40 % vol
        - preparation: jar
          takes: [200 g {name}, 700 g clear spirit]
          method:
            - macerate: {{solids: {name}, for: 2 weeks, as: {as_}}}
            - strain
          gives: {{liquor of the jar: liquor, fruit of the jar: solids}}
        """)
    assert parts(workings)[1].weight_g == pytest.approx(200.0 * ratio, rel=1e-9)


def test_several_solids_and_liquids_meet_in_one_liquid(worked: Worked) -> None:
    # Ours, by the balance: at the end every solid holds the strength of the liquor they share.
    workings = worked("""
        - ingredient: clear spirit
          strength: 40 % vol
        - ingredient: red wine of the house
          strength: 12.5 % vol
        - preparation: jar
          takes: [300 g plums, 200 g pears, 400 g clear spirit, 300 g red wine of the house, 100 g sugar]
          method:
            - macerate: {solids: [plums, pears], for: 6 weeks, as: cut}
            - strain
          gives: {liquor of the jar: liquor, fruit of the jar: solids}
        """)
    liquor, steeped = parts(workings)
    # 100 g of sugar in 0.75 l of liquid stays below 200 g/l, so both drain to 0.95.
    assert steeped.weight_g == pytest.approx(0.95 * 500.0)
    assert percent_vol_of_liquid(steeped) == pytest.approx(percent_vol(liquor), abs=0.2)
    put_in = sum(c.ethanol_g(one.batch.rows) for one in workings.made["jar"].taken if one.batch is not None)
    assert c.ethanol_g(liquor.rows) + c.ethanol_g(steeped.rows) == pytest.approx(put_in, rel=1e-12)


def test_alcohol_of_the_jar_is_followed_to_the_plate(worked: Worked) -> None:
    # Drained fruit is blended, sieved, baked in thin rolls (common practice, no source) and laid on a plate for four.
    workings = worked("""
        - ingredient: clear spirit
          strength: 40 % vol
        - preparation: jar
          takes: [500 g plums, 500 g clear spirit]
          method:
            - macerate: {solids: plums, for: 6 weeks, as: cut}
            - strain
          gives: {liquor of the jar: liquor, fruit of the jar: solids}
        - preparation: rolls
          takes: [all fruit of the jar]
          method:
            - blend
            - sieve: {loses: 10 %}
            - heat: {how: bake, for: 35 min, at: 150 C, covered: true, loses: 80 g}
            - heat: {how: bake, for: 30 min, at: 180 C, loses: 60 g}
        - dish: plate of rolls
          serves: 4
          plate: [all rolls]
        """)
    fruit_g = c.ethanol_g(parts(workings)[1].rows)
    plate = workings.plates["plate of rolls"].lines[0].batch
    low, estimate, high = c.ethanol_range_g(plate.rows)
    # USDA Release 6, 5006: 25 % after an hour; a tenth stayed in the sieve.
    assert estimate == pytest.approx(fruit_g * 0.9 * 0.25 / 4.0)
    assert low <= estimate <= high <= fruit_g * 0.9 / 4.0
    assert workings.larder.ids["clear spirit"] in plate.present
