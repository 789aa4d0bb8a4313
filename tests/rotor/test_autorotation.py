"""Power off: round trips, the two indices a factor of two apart, and the energy balance."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from rotorkit.quantities import assert_quantity, say
from rotorkit.rotor import (
    autorotation_descent_rate,
    autorotative_index_of_energy,
    autorotative_index_of_inertia,
    coning_angle,
    energy_per_power,
    glide_ratio,
    lock_number,
    rotor_energy,
    rotor_speed_ratio_after_power_loss,
    time_until_rotor_speed_ratio,
)

ROTOR = ("150 slug*ft^2", "500 rpm")


def test_the_two_indices_are_a_factor_of_two_apart_and_named_apart() -> None:
    given = (*ROTOR, "1400 lbf", "2.852 lbf/ft^2")
    energy, inertia = autorotative_index_of_energy(*given), autorotative_index_of_inertia(*given)
    assert (inertia / energy).magnitude == pytest.approx(2, rel=1e-14)
    assert autorotative_index_of_energy.name != autorotative_index_of_inertia.name
    assert say(energy).endswith("ft³/lbf")


@given(st.floats(0.15, 0.99), st.floats(0.2, 5))
def test_time_and_rotor_speed_are_inverse(ratio: float, seconds: float) -> None:
    time = time_until_rotor_speed_ratio(ratio, f"{seconds} s")
    if time.m_as("s") < 60:
        assert rotor_speed_ratio_after_power_loss(time, f"{seconds} s").magnitude == pytest.approx(ratio, rel=1e-12)


def test_the_decay_solves_its_equation() -> None:
    """I dW/dt = -(P0 / W0) (W / W0)^2, integrated."""
    inertia, speed, power = 203.4, 52.36, 74570.0
    found = solve_ivp(lambda _, w: -power / speed * (w / speed) ** 2 / inertia, (0, 2), [speed], rtol=1e-10, atol=1e-10)
    stored = energy_per_power(f"{inertia} kg*m^2", f"{speed} rad/s", f"{power} W")
    left = rotor_speed_ratio_after_power_loss("2 s", stored).magnitude
    assert left == pytest.approx(found.y[0, -1] / speed, rel=1e-7)


def test_energy_over_power() -> None:
    assert_quantity(rotor_energy(*ROTOR) / energy_per_power(*ROTOR, "100 hp"), "100.000 hp", kind=None, within="1e-9 %")


def test_a_glide_pays_its_power_with_height() -> None:
    descent = autorotation_descent_rate("60 hp", "1400 lbf")
    assert_quantity(descent, f"{60 * 33000 / 1400} ft/min", within="0.00001 %")
    assert glide_ratio("60 kt", descent).magnitude == pytest.approx(60 * 6076.12 / 60 / (60 * 33000 / 1400), rel=1e-5)


def test_slower_rotors_cone_more() -> None:
    """The same thrust at less rotor speed: more blade angle, more inflow ratio, more coning."""
    lock = lock_number("1.225 kg/m^3", 5.73, "7.5 in", "12.5 ft", "60 slug*ft^2")
    assert coning_angle(lock, "10 deg", 0.05) > coning_angle(lock, "8 deg", 0.045)
