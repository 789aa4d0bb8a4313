"""Hover power and thrust: limits, scaling laws that momentum theory demands, round trips, and the two estimates."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.quantities import QuantityError, assert_quantity
from rotorkit.rotor import (
    disk_area,
    disk_loading,
    figure_of_merit,
    figure_of_merit_from_coefficients,
    hover_power_from_figure_of_merit,
    hover_power_induced_and_profile,
    hover_thrust_from_power,
    ideal_hover_power,
    ideal_power_loading,
    induced_velocity_hovering,
    power_coefficient,
    power_loading,
    profile_power_hovering,
    thrust_coefficient,
)

AREA, DENSITY, TIP = "490.874 ft^2", "0.0023769 slug/ft^3", "654.498 ft/s"
THRUSTS = st.floats(300, 4000)
DENSITIES = st.floats(0.7, 1.4)


@given(THRUSTS, DENSITIES)
def test_ideal_power_is_thrust_times_induced_velocity(pounds: float, density: float) -> None:
    state = (f"{pounds} lb", f"{density} kg/m^3", AREA)
    power = induced_velocity_hovering(*state).m_as("m/s") * pounds * 4.4482216152605
    assert ideal_hover_power(*state).m_as("W") == pytest.approx(power, rel=1e-12)


@given(THRUSTS, DENSITIES)
def test_momentum_balance(pounds: float, density: float) -> None:
    """Thrust is mass flow times far-wake velocity: T = rho A v (2 v). Power is the wake's kinetic energy per second."""
    velocity = induced_velocity_hovering(f"{pounds} lb", f"{density} kg/m^3", AREA).m_as("m/s")
    area, thrust = 490.874 * 0.3048**2, pounds * 4.4482216152605
    flow = density * area * velocity
    assert flow * 2 * velocity == pytest.approx(thrust, rel=1e-12)
    energy = 0.5 * flow * (2 * velocity) ** 2
    assert ideal_hover_power(f"{pounds} lb", f"{density} kg/m^3", AREA).m_as("W") == pytest.approx(energy, rel=1e-12)


@given(THRUSTS, DENSITIES, st.floats(0.3, 1.0))
def test_thrust_from_power_inverts_power_from_thrust(pounds: float, density: float, merit: float) -> None:
    air = f"{density} kg/m^3"
    power = hover_power_from_figure_of_merit(f"{pounds} lb", air, AREA, merit)
    assert hover_thrust_from_power(power, air, AREA, merit).m_as("lbf") == pytest.approx(pounds, rel=1e-10)
    assert figure_of_merit(f"{pounds} lb", air, AREA, power).m_as("") == pytest.approx(merit, rel=1e-12)


def test_solving_for_thrust_agrees_with_the_closed_inverse() -> None:
    known = {"density": DENSITY, "disk_area": AREA, "figure_of_merit": 0.6}
    solved = hover_power_from_figure_of_merit.solve_for("thrust", result="110 hp", **known)
    assert_quantity(solved, hover_thrust_from_power("110 hp", **known), within="0.0000001 %")


@given(THRUSTS, st.floats(60, 250))
def test_figure_of_merit_by_powers_and_by_coefficients(pounds: float, horsepower: float) -> None:
    thrust, power = f"{pounds} lb", f"{horsepower} hp"
    by_power = figure_of_merit(thrust, DENSITY, AREA, power).m_as("")
    by_coefficients = figure_of_merit_from_coefficients(
        thrust_coefficient(thrust, DENSITY, AREA, TIP), power_coefficient(power, DENSITY, AREA, TIP)
    ).m_as("")
    assert by_power == pytest.approx(by_coefficients, rel=1e-12)


def test_power_loading_of_an_ideal_rotor() -> None:
    power = ideal_hover_power("1400 lb", DENSITY, AREA)
    direct = ideal_power_loading(disk_loading("1400 lb", AREA), DENSITY)
    assert_quantity(power_loading("1400 lb", power), direct, within="0.0000001 %")


def test_what_thin_air_costs() -> None:
    """Ideal power at one weight goes with 1 / root of density; weight at one power with the cube root of density."""
    dense, thin = ("1.2 kg/m^3", "0.96 kg/m^3")
    more = ideal_hover_power("1400 lb", thin, AREA).m_as("hp") / ideal_hover_power("1400 lb", dense, AREA).m_as("hp")
    assert more == pytest.approx(0.8**-0.5, rel=1e-12)
    less = hover_thrust_from_power("110 hp", thin, AREA, 0.6) / hover_thrust_from_power("110 hp", dense, AREA, 0.6)
    assert less.m_as("") == pytest.approx(0.8 ** (1 / 3), rel=1e-12)


def test_a_bigger_disk_needs_less_power() -> None:
    small, big = disk_area("11 ft"), disk_area("13 ft")
    assert ideal_hover_power("1400 lb", DENSITY, big) < ideal_hover_power("1400 lb", DENSITY, small)


def test_the_second_estimate_without_its_losses_is_the_ideal() -> None:
    """Factor 1 and nearly no blades: within the drag of the thinnest blades that are accepted."""
    least = hover_power_induced_and_profile("1400 lb", DENSITY, AREA, TIP, 0.005, 1, 0.004)
    drag = profile_power_hovering(DENSITY, AREA, TIP, 0.005, 0.004)
    assert_quantity(least - drag, ideal_hover_power("1400 lb", DENSITY, AREA), within="0.0000001 %")


@given(THRUSTS)
def test_the_second_estimate_has_a_figure_of_merit_below_one(pounds: float) -> None:
    thrust = f"{pounds} lb"
    power = hover_power_induced_and_profile(thrust, DENSITY, AREA, TIP, 0.03, 1.15, 0.011)
    assert 0 < figure_of_merit(thrust, DENSITY, AREA, power).m_as("") < 1 / 1.15


def test_profile_power_is_the_integral_along_the_blade() -> None:
    """Summed strip by strip: drag of each strip times its speed, two blades of 7 in chord, 12.5 ft radius, 500 rpm."""
    radius, chord, speed, drag, density = 12.5 * 0.3048, 7 * 0.0254, 500 * 2 * 3.141592653589793 / 60, 0.011, 1.225
    strips = 4000
    power = sum(
        2 * 0.5 * density * (speed * r) ** 3 * chord * drag * radius / strips
        for r in ((i + 0.5) * radius / strips for i in range(strips))
    )
    area = disk_area("12.5 ft")
    blades = 2 * chord * radius / area.m_as("m^2")
    found = profile_power_hovering("1.225 kg/m^3", area, f"{speed * radius} m/s", blades, 0.011)
    assert found.m_as("W") == pytest.approx(power, rel=1e-6)


def test_no_thrust_takes_no_ideal_power() -> None:
    assert ideal_hover_power("0 lb", DENSITY, AREA).m_as("W") == 0


@pytest.mark.parametrize(
    ("arguments", "named"),
    [
        (("1400 lb", "0.0765 slug/ft^3", AREA, 0.6), "density"),
        (("-1400 lb", DENSITY, AREA, 0.6), "thrust"),
        (("1400 lb", DENSITY, "0 ft^2", 0.6), "disk_area"),
        (("1400 lb", DENSITY, AREA, 1.2), "figure_of_merit"),
        (("1400 lb", DENSITY, AREA, "0 %"), "figure_of_merit"),
        (("1400 lb", DENSITY, AREA, "60"), "figure_of_merit"),
    ],
)
def test_edges_are_refused_by_name(arguments: tuple[object, ...], named: str) -> None:
    with pytest.raises(QuantityError, match=named):
        hover_power_from_figure_of_merit(*arguments)
