"""What must hold of a blade-element hover whatever the rotor: limits, symmetry, sums, monotony, convergence, and an
independent element-by-element root find."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from rotorkit.rotor.blade_element import (
    Air,
    Blades,
    LinearSection,
    Model,
    along_blade,
    at_collective,
    at_thrust,
    rotor_blades,
)

AIR = Air(1.225, 340.294, 1.789e-5)
SPEED = 52.36
SECTION = LinearSection(5.73, (0.0087, -0.0216, 0.4), 1.2, thickness_ratio=0.12)
SYMMETRICAL = LinearSection(5.75, (0.0113, 0.0, 0.75), 0.93)
BLADES = rotor_blades(2, "12.5 ft", "7.5 in", "20 in", SECTION, twist="-6 deg")
PLAIN_THEORY = Model(stations=60, tip_loss=False, root_loss=False, swirl=False)


def ideally_twisted(tip_angle: float, cut: float = 0.05) -> Blades:
    at = np.linspace(cut, 1, 4000)
    section = LinearSection(5.73, (0.003, 0.0, 0.0), 2.5, compressible=False)
    return Blades(2, 4.0, cut, section, tuple(at), tuple(0.2 + 0 * at), tuple(tip_angle / at))


@pytest.mark.parametrize("tip_angle", [0.002, 0.01])
def test_ideal_twist_gives_even_inflow_and_momentum_theory(tip_angle: float) -> None:
    """theta = theta_t / r, no losses: the inflow is even and the induced power is T sqrt(T / 2 rho A) of the disk
    outboard of the cut-out."""
    blades = ideally_twisted(tip_angle)
    collective = tip_angle / 0.75
    hover = at_collective(blades, 50.0, AIR, collective, PLAIN_THEORY)
    along = along_blade(blades, 50.0, AIR, collective, PLAIN_THEORY)
    outer = along.station > 0.3
    inflow = along.inflow_velocity[outer]
    assert np.ptp(inflow) / inflow.mean() < 0.01
    area = blades.disk_area * (1 - 0.05**2)
    expected = math.sqrt(hover.thrust / (2 * 1.225 * area))
    assert inflow.mean() == pytest.approx(expected, rel=0.01)
    assert hover.induced_factor == pytest.approx((1 - 0.05**2) ** -0.5, rel=0.01)


@given(st.floats(2, 12), st.sampled_from([2, 3, 4]), st.floats(-8, 4))
def test_induced_power_is_never_below_ideal(pitch: float, count: int, twist: float) -> None:
    blades = rotor_blades(count, "12.5 ft", "7.5 in", "20 in", SECTION, twist=f"{twist} deg")
    hover = at_collective(blades, SPEED, AIR, math.radians(pitch))
    assert hover.induced_factor > 1
    assert 0 < hover.figure_of_merit < 1


@given(st.floats(0.5, 20))
def test_a_symmetrical_blade_pushes_alike_both_ways(pitch: float) -> None:
    blades = rotor_blades(2, "25 in", "4.5 in", "7 in", SYMMETRICAL)
    up, down = at_collective(blades, 314.0, AIR, np.radians([pitch, -pitch])).thrust
    assert up == pytest.approx(-down, rel=1e-9)
    power = at_collective(blades, 314.0, AIR, np.radians([pitch, -pitch])).power
    assert power[0] == pytest.approx(power[1], rel=1e-9)


def test_no_blade_angle_no_thrust_and_drag_alone() -> None:
    blades = rotor_blades(2, "2.5 ft", "2 in", "5 in", SYMMETRICAL)
    hover = at_collective(blades, 100.5, AIR, 0.0)
    assert hover.thrust == 0
    assert hover.induced_power == 0
    assert hover.power_coefficient == pytest.approx(blades.solidity * 0.0113 / 8 * (1 - (5 / 30) ** 4), rel=1e-4)


def test_thrust_rises_with_blade_angle_up_to_the_stall_and_power_all_the_way() -> None:
    hover = at_collective(BLADES, SPEED, AIR, np.radians(np.arange(0, 26, 0.5)))
    clear = hover.stalled == 0
    assert (np.diff(hover.thrust[clear]) > 0).all()
    assert (np.diff(hover.power[4:]) > 0).all()


@given(st.floats(0.05, 1.2), st.floats(0.7, 1.3), st.floats(40, 60))
def test_the_collective_for_a_thrust_gives_that_thrust(part: float, density: float, speed: float) -> None:
    air = Air(density, 340.294, 1.789e-5)
    wanted = part * 6000.0
    hover = at_thrust(BLADES, speed, air, wanted)
    if hover.reached:
        assert hover.thrust == pytest.approx(wanted, rel=1e-8)
        again = at_collective(BLADES, speed, air, hover.collective)
        assert again.power == pytest.approx(hover.power, rel=1e-12)
    else:
        assert math.isnan(hover.power)
        most = np.nanmax(at_collective(BLADES, speed, air, np.radians(np.arange(5, 25, 0.25))).thrust)
        assert wanted > 0.995 * most


@pytest.mark.parametrize(("stations", "within"), [(20, 5e-4), (60, 2e-5), (120, 3e-6)])
def test_it_converges_with_the_number_of_stations(stations: int, within: float) -> None:
    fine = at_collective(BLADES, SPEED, AIR, 0.14, Model(stations=1000))
    found = at_collective(BLADES, SPEED, AIR, 0.14, Model(stations=stations))
    assert found.thrust == pytest.approx(fine.thrust, rel=within)
    assert found.power == pytest.approx(fine.power, rel=within)


def test_the_parts_add_up() -> None:
    hover = at_collective(BLADES, SPEED, AIR, np.radians([4.0, 8.0]))
    along = along_blade(BLADES, SPEED, AIR, np.radians([4.0, 8.0]))
    assert hover.induced_power + hover.profile_power == pytest.approx(hover.power, rel=1e-13)
    assert hover.torque * SPEED == pytest.approx(hover.power, rel=1e-13)
    length = along.weight * BLADES.radius
    assert along.thrust_per_length @ length == pytest.approx(hover.thrust, rel=1e-12)
    assert along.torque_per_length @ length == pytest.approx(hover.torque, rel=1e-12)
    assert along.weight.sum() == pytest.approx(1 - BLADES.root_cutout, rel=1e-12)
    assert along.blade_angle - along.inflow_angle == pytest.approx(along.angle_of_attack, abs=1e-15)


def test_losses_and_swirl_cost_what_they_must() -> None:
    """At the same thrust each of them takes power; the swirl little, the tips much more."""
    power = {
        name: at_thrust(BLADES, SPEED, AIR, 6200.0, model).power
        for name, model in (
            ("all", Model()), ("no swirl", Model(swirl=False)), ("no root", Model(root_loss=False)),
            ("no tip", Model(tip_loss=False)),
        )
    }  # fmt: skip
    assert power["no tip"] < power["no swirl"] < power["all"]
    assert power["no root"] < power["all"]
    assert power["all"] / power["no swirl"] - 1 < 0.01


def test_many_blades_lose_nothing_at_the_tips() -> None:
    """At the same solidity Prandtl's factor goes to one as the blades grow many: power falls toward that without it."""
    power = []
    for count in (2, 4, 8):
        blades = rotor_blades(count, "12.5 ft", f"{15 / count} in", "20 in", SECTION)
        power.append(at_thrust(blades, SPEED, AIR, 6200.0).induced_power)
    blades = rotor_blades(2, "12.5 ft", "7.5 in", "20 in", SECTION)
    endless = at_thrust(blades, SPEED, AIR, 6200.0, Model(tip_loss=False, root_loss=False)).induced_power
    assert power[0] > power[1] > power[2] > endless


@pytest.mark.parametrize("pitch", [2.0, 8.0, 12.0])
def test_against_a_root_find_element_by_element(pitch: float) -> None:
    """The same balance written anew with scalar arithmetic and SciPy's brentq."""
    along = along_blade(BLADES, SPEED, AIR, math.radians(pitch), Model(stations=24))
    cut, tips = BLADES.root_cutout, SPEED * BLADES.radius
    for r, found, lift in zip(along.station, along.inflow_angle, along.lift_coefficient, strict=True):
        theta = math.radians(pitch) + math.radians(-6) * (r - 0.75)
        sigma = 2 * 7.5 * 0.0254 / (math.pi * BLADES.radius)
        slope = 5.73 / math.sqrt(1 - (tips * r / 340.294) ** 2)

        def left(phi: float, r: float = r, theta: float = theta, slope: float = slope, sigma: float = sigma) -> float:
            ends = (1 - r, r - cut)
            factor = 1.0
            for end in ends:
                factor *= 2 / math.pi * math.acos(math.exp(-end / (r * math.sin(phi))))
            return 8 * factor * r * math.sin(phi) ** 2 / sigma - slope * (theta - phi) * math.cos(phi)

        phi = brentq(left, 1e-9, theta, xtol=1e-14)
        assert found == pytest.approx(phi, rel=2e-6)
        assert lift == pytest.approx(slope * (theta - phi), rel=1e-4, abs=1e-6)


def test_thin_air_takes_more_angle_and_more_power() -> None:
    hover = at_thrust(BLADES, SPEED, Air(np.array([1.3, 1.2, 1.1, 1.0, 0.9]), 340.0, 1.8e-5), 6000.0)
    assert (np.diff(hover.collective) > 0).all()
    assert (np.diff(hover.induced_power) > 0).all()


def test_shock_drag_comes_with_tip_mach() -> None:
    """The same rotor in the same density, sound slower: beyond the drag rise the power climbs."""
    thin = rotor_blades(
        2, "12.5 ft", "7.5 in", "20 in", LinearSection(5.73, (0.0087, 0, 0.4), 1.2, thickness_ratio=0.12)
    )
    without = rotor_blades(2, "12.5 ft", "7.5 in", "20 in", LinearSection(5.73, (0.0087, 0, 0.4), 1.2))
    sound = np.array([340.0, 290.0, 265.0])
    air = Air(1.225, sound, 1.8e-5)
    ratio = at_collective(thin, SPEED, air, 0.1).profile_power / at_collective(without, SPEED, air, 0.1).profile_power
    assert ratio[0] < 1.001
    assert 1.001 < ratio[1] < ratio[2]


def test_scaling_radius_and_speed_alike_leaves_the_coefficients() -> None:
    """Dimensionless figures depend on angles, solidity and Mach number alone."""
    small = rotor_blades(2, "5 ft", "3 in", "8 in", SECTION, twist="-6 deg")
    large = rotor_blades(2, "20 ft", "12 in", "32 in", SECTION, twist="-6 deg")
    one = at_collective(small, 120.0, AIR, 0.14)
    other = at_collective(large, 30.0, Air(0.7, 340.294, 1.789e-5), 0.14)
    assert one.thrust_coefficient == pytest.approx(other.thrust_coefficient, rel=1e-12)
    assert one.power_coefficient == pytest.approx(other.power_coefficient, rel=1e-12)
