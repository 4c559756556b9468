"""Density of ethanol and water, against the printed alcoholometric tables and a reference library.

References
----------
.. [1] OIML R 22, International alcoholometric tables (1975): the formula, typed anew as a table of check values.
.. [2] CoolProp 8.0: ``INCOMP::MEA`` (ethanol-water by mass, after Melinder), ``Water`` (IAPWS-95), ``Ethanol`` (equation of state).
"""

from typing import Any

import pytest

from labeller.foundations.ethanol_water import (
    ETHANOL_DENSITY_20C,
    ethanol_in_100_g,
    liquid_volume_ml,
    mass_fraction_at,
    mixture_density,
    strength_percent_vol,
    volume_fraction,
)

# [1]: pure water and pure ethanol, kg/m3; ethanol at 40 C exercises every C term.
PURE = [
    (0.0, 0, 999.837), (0.0, 4, 999.969), (0.0, 10, 999.695), (0.0, 15, 999.096), (0.0, 25, 997.043), (0.0, 30, 995.645),
    (0.0, 40, 992.213),
]  # fmt: skip
FINER = [(0.0, 20, 998.2012), (1.0, 20, 789.2391), (1.0, 40, 771.9323)]

# [1] by volume at 20 C: % vol, mass fraction, kg/m3, g of ethanol in 100 ml.
BY_VOLUME = [
    (0.5, 0.003956, 997.444, 0.3946), (1.2, 0.009505, 996.401, 0.9471), (5, 0.039818, 991.055, 3.9462),
    (10, 0.080149, 984.710, 7.8924), (12.5, 0.100486, 981.780, 9.8655), (13, 0.104566, 981.209, 10.2601),
    (15, 0.120929, 978.971, 11.8386), (20, 0.162135, 973.557, 15.7848), (25, 0.203812, 968.098, 19.7310),
    (30, 0.246071, 962.211, 23.6772), (35, 0.289072, 955.587, 27.6234), (37.5, 0.310908, 951.936, 29.5965),
    (40, 0.332996, 948.045, 31.5696), (43, 0.359865, 943.057, 33.9373), (45, 0.378011, 939.542, 35.5158),
    (50, 0.424257, 930.142, 39.4620), (60, 0.520884, 909.115, 47.3543), (70, 0.623861, 885.562, 55.2467),
    (80, 0.734800, 859.270, 63.1391), (90, 0.856646, 829.182, 71.0315), (95, 0.924076, 811.380, 74.9777),
    (96, 0.938384, 807.420, 75.7670),
]  # fmt: skip

# [1] steps of the table of 20 C: % vol, % mass, kg/m3, g in 100 ml.
STEPS_20C = [
    (1, 0.7919, 996.697, 0.7892), (3, 2.3825, 993.806, 2.3677), (7, 5.5893, 988.432, 5.5247),
    (11, 8.8271, 983.521, 8.6816), (17, 13.7359, 976.786, 13.4171), (22, 17.8744, 971.401, 17.3633),
    (33, 27.1771, 958.339, 26.0449), (38, 31.5305, 951.177, 29.9911), (54, 46.2217, 922.055, 42.6189),
    (66, 58.1824, 895.285, 52.0898), (77, 70.0552, 867.479, 60.7714), (88, 83.1135, 835.641, 69.4530),
    (99, 98.3753, 794.251, 78.1347), (100, 100.0, 789.239, 78.9239),
]  # fmt: skip

# [1] over temperature: kg/m3 by mass fraction (rows) and degrees Celsius (columns).
TEMPERATURES = (0, 4, 10, 15, 20, 25, 30, 40)
GRID = {
    0.05: (991.274, 991.336, 990.984, 990.329, 989.378, 988.154, 986.680, 983.054),
    0.10: (984.750, 984.591, 983.930, 983.031, 981.848, 980.406, 978.731, 974.778),
    0.20: (975.569, 974.458, 972.519, 970.666, 968.607, 966.351, 963.908, 958.515),
    0.30: (965.239, 963.088, 959.734, 956.817, 953.784, 950.634, 947.367, 940.498),
    0.40: (949.340, 946.585, 942.377, 938.796, 935.145, 931.424, 927.638, 919.892),
    0.50: (929.172, 926.165, 921.589, 917.711, 913.771, 909.770, 905.712, 897.440),
    0.60: (907.156, 904.010, 899.235, 895.196, 891.098, 886.940, 882.723, 874.106),
    0.80: (860.299, 856.973, 851.933, 847.683, 843.386, 839.041, 834.646, 825.683),
    0.90: (834.955, 831.583, 826.488, 822.203, 817.883, 813.527, 809.134, 800.207),
    1.00: (806.215, 802.836, 797.755, 793.506, 789.239, 784.954, 780.648, 771.932),
}
CELLS = [(p, celsius, value) for p, row in GRID.items() for celsius, value in zip(TEMPERATURES, row, strict=True)]


@pytest.mark.parametrize(("p", "celsius", "kg_per_m3"), [*PURE, *CELLS])
def test_density_as_printed(p: float, celsius: float, kg_per_m3: float) -> None:
    assert mixture_density(p, celsius) * 1000.0 == pytest.approx(kg_per_m3, abs=0.00051)


@pytest.mark.parametrize(("p", "celsius", "kg_per_m3"), FINER)
def test_check_values_to_the_fourth_place(p: float, celsius: float, kg_per_m3: float) -> None:
    assert mixture_density(p, celsius) * 1000.0 == pytest.approx(kg_per_m3, abs=0.000051)


@pytest.mark.parametrize(("percent", "p", "kg_per_m3", "g_per_100_ml"), BY_VOLUME)
def test_strength_by_volume_as_printed(percent: float, p: float, kg_per_m3: float, g_per_100_ml: float) -> None:
    found = mass_fraction_at(percent / 100.0)
    # One unit of the last place: the conventional ethanol density behind such tables is 789.24, the formula's 789.2391.
    assert found == pytest.approx(p, abs=1.0e-6)
    assert mixture_density(found) * 1000.0 == pytest.approx(kg_per_m3, abs=0.001)
    assert found * mixture_density(found) * 100.0 == pytest.approx(g_per_100_ml, abs=0.0001)


@pytest.mark.parametrize(("percent", "percent_mass", "kg_per_m3", "g_per_100_ml"), STEPS_20C)
def test_table_of_20_degrees(percent: float, percent_mass: float, kg_per_m3: float, g_per_100_ml: float) -> None:
    found = mass_fraction_at(percent / 100.0)
    assert found * 100.0 == pytest.approx(percent_mass, abs=0.0001)
    assert mixture_density(found) * 1000.0 == pytest.approx(kg_per_m3, abs=0.001)
    assert percent * ETHANOL_DENSITY_20C == pytest.approx(g_per_100_ml, abs=0.0001)


@pytest.mark.parametrize("strength", [0.0, 0.0005, 0.005, 0.0115, 0.012, 0.15, 0.4, 0.54, 0.8, 0.96, 1.0])
def test_the_inverse_undoes_the_formula(strength: float) -> None:
    assert volume_fraction(mass_fraction_at(strength)) == pytest.approx(strength, abs=1e-12)


def test_a_millilitre_of_spirit() -> None:
    # 1 ml at 40 % vol is 0.3157 g of ethanol: 0.40 x 0.789239.
    p = mass_fraction_at(0.40)
    assert p * mixture_density(p) == pytest.approx(0.3157, abs=0.00005)


# [1], mixed by mass: 500 ml of spirit and 500 ml of water, volume and strength after contraction.
MIXED = [(0.40, 999.56, 20.01, 0.005), (0.96, 969.6, 49.50, 0.05)]


@pytest.mark.parametrize(("strength", "millilitres", "percent", "within"), MIXED)
def test_contraction_on_mixing(strength: float, millilitres: float, percent: float, within: float) -> None:
    p = mass_fraction_at(strength)
    spirit_g, water_g = 500.0 * mixture_density(p), 500.0 * mixture_density(0.0)
    ethanol_g = p * spirit_g
    water_g += spirit_g - ethanol_g
    assert liquid_volume_ml(ethanol_g, water_g, 0.0) == pytest.approx(millilitres, abs=within)
    assert strength_percent_vol(ethanol_g, water_g, 0.0) == pytest.approx(percent, abs=0.005)


def test_dissolved_sugar_takes_its_own_room() -> None:
    # Apparent specific volume of sucrose 0.62 ml/g (0.61 to 0.63, from memory).
    plain = liquid_volume_ml(30.0, 70.0, 0.0)
    assert liquid_volume_ml(30.0, 70.0, 50.0) - plain == pytest.approx(31.0, abs=1e-9)
    assert liquid_volume_ml(0.0, 0.0, 10.0) == pytest.approx(6.2)
    assert strength_percent_vol(0.0, 0.0, 0.0) == 0.0


@pytest.mark.parametrize(("strength", "solids_g"), [(0.40, 0.0), (0.17, 35.0), (0.25, 20.0), (0.96, 0.0), (0.0, 12.0)])
def test_a_drink_has_the_strength_on_its_bottle(strength: float, solids_g: float) -> None:
    ethanol_g = ethanol_in_100_g(strength, solids_g)
    assert strength_percent_vol(ethanol_g, 100.0 - solids_g - ethanol_g, solids_g) == pytest.approx(
        100.0 * strength, abs=1e-9
    )


# -- outside the range ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("p", [-0.001, 1.001, 40.0])
def test_a_mass_fraction_beyond_the_whole_is_refused(p: float) -> None:
    with pytest.raises(ValueError, match=rf"^a mass fraction lies in 0 to 1, not {p!r}$"):
        mixture_density(p)


def test_no_number_is_refused() -> None:
    with pytest.raises(ValueError, match=r"^a mass fraction lies in 0 to 1, not nan$"):
        mixture_density(float("nan"))


@pytest.mark.parametrize("celsius", [-20.5, 40.5, 78.3])
def test_a_temperature_beyond_the_formula_is_refused(celsius: float) -> None:
    with pytest.raises(ValueError, match=rf"^the density formula holds from -20 to 40 C, not at {celsius!r} C$"):
        mixture_density(0.4, celsius)


@pytest.mark.parametrize("celsius", [-20.0, 40.0])
def test_the_ends_of_the_range_are_in_it(celsius: float) -> None:
    assert 0.7 < mixture_density(0.5, celsius) < 1.0


@pytest.mark.parametrize(("strength", "shown"), [(1.01, "101"), (-0.05, "-5")])
def test_a_strength_beyond_the_whole_is_refused(strength: float, shown: str) -> None:
    with pytest.raises(ValueError, match=rf"^a strength lies in 0 to 100 % vol, not {shown} % vol$"):
        mass_fraction_at(strength)
    with pytest.raises(ValueError, match=rf"^a strength lies in 0 to 100 % vol, not {shown} % vol$"):
        ethanol_in_100_g(strength, 0.0)


def test_solids_leave_no_room_for_such_a_strength() -> None:
    with pytest.raises(ValueError, match=r"^60 g of dissolved solids in 100 g leave no room for 80 % vol$"):
        ethanol_in_100_g(0.80, 60.0)


# -- a reference library [2] --------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def density_of() -> Any:
    return pytest.importorskip("CoolProp.CoolProp").PropsSI


# The stated deviation of each reference from the formula, kg/m3.
MIXTURES = [((20.0,), 0.32), ((0.01, 5.0, 10.0, 15.0, 25.0, 30.0, 35.0, 40.0), 0.50), ((-10.0,), 0.91)]


@pytest.mark.parametrize(("temperatures", "deviation"), MIXTURES)
def test_mixtures_against_the_library(density_of: Any, temperatures: tuple[float, ...], deviation: float) -> None:
    worst = 0.0
    compared = 0
    for celsius in temperatures:
        for step in range(61):
            p = step / 100.0
            try:
                other = density_of("D", "T", celsius + 273.15, "P", 101325.0, f"INCOMP::MEA[{p}]")
            except ValueError:
                continue  # frozen at that temperature
            compared += 1
            worst = max(worst, abs(mixture_density(p, celsius) * 1000.0 - other))
    assert compared > 20
    assert worst <= deviation


def test_water_against_the_library(density_of: Any) -> None:
    worst = max(
        abs(mixture_density(0.0, celsius) * 1000.0 - density_of("D", "T", celsius + 273.15, "P", 101325.0, "Water"))
        for celsius in (0.01, 4.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0)
    )
    assert worst <= 0.0073


def test_ethanol_against_the_library(density_of: Any) -> None:
    for celsius in (-20.0, -10.0, 0.0, 10.0, 20.0, 30.0, 40.0):
        higher = density_of("D", "T", celsius + 273.15, "P", 101325.0, "Ethanol") - mixture_density(1.0, celsius) * 1e3
        assert 0.15 <= higher <= 0.24
