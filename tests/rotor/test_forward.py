"""Level flight: limits at no airspeed, Glauert's equation, the shape of the power curve, the retreating blade."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import dblquad, quad

from rotorkit.quantities import QuantityError, assert_quantity
from rotorkit.rotor import (
    glauert_inflow_ratio,
    hover_power_induced_and_profile,
    induced_velocity_fast_flight,
    induced_velocity_hovering,
    induced_velocity_level_flight,
    profile_power_factor,
    retreating_blade_lift_coefficient,
    rotor_power_level_flight,
)

DISK = ("1400 lbf", "0.0023769 slug/ft^3", "490.874 ft^2")


def test_at_no_airspeed_it_is_the_hover() -> None:
    assert_quantity(induced_velocity_level_flight(*DISK, "0 kt"), induced_velocity_hovering(*DISK), within="0.0001 %")
    level = rotor_power_level_flight(*DISK, "0 kt", "654.498 ft/s", 0.03, 1.15, 0.011, "7 ft^2")
    assert_quantity(level, hover_power_induced_and_profile(*DISK, "654.498 ft/s", 0.03, 1.15, 0.011), within="0.0001 %")


@given(st.floats(0, 80))
def test_glauerts_equation_holds(speed: float) -> None:
    """vi sqrt(V^2 + vi^2) = T / (2 rho A)."""
    hover = induced_velocity_hovering(*DISK).m_as("m/s")
    induced = induced_velocity_level_flight(*DISK, f"{speed} m/s").m_as("m/s")
    assert induced * math.hypot(speed, induced) == pytest.approx(hover**2, rel=1e-10)


def test_the_short_form_is_reached_fast() -> None:
    hover = induced_velocity_hovering(*DISK).m_as("m/s")
    for times, over in ((2, 0.029), (4, 0.002)):
        speed = f"{times * hover} m/s"
        ratio = induced_velocity_fast_flight(*DISK, speed) / induced_velocity_level_flight(*DISK, speed)
        assert ratio.magnitude - 1 == pytest.approx(over, abs=0.0006)


@given(st.floats(0.0001, 0.02), st.floats(0, 0.5), st.floats(0, 0.6))
def test_inflow_with_a_tilted_disk(thrust: float, ratio: float, tilt: float) -> None:
    inflow = glauert_inflow_ratio(thrust, ratio, f"{tilt} rad").magnitude
    assert inflow == pytest.approx(ratio * math.tan(tilt) + thrust / (2 * math.hypot(ratio, inflow)), rel=1e-9)


def test_inflow_of_arrays_and_its_refusal_to_descend() -> None:
    many = glauert_inflow_ratio(0.005, np.array([0.05, 0.3]), "0 deg").magnitude
    assert many == pytest.approx([0.039308, 0.008330], abs=5e-7)
    with pytest.raises(QuantityError, match="disk_angle must be from 0"):
        glauert_inflow_ratio(0.005, 0.1, "-5 deg")


@pytest.mark.parametrize("ratio", [0.1, 0.35, 0.6])
def test_profile_power_against_another_integration(ratio: float) -> None:
    found, _ = dblquad(
        lambda r, psi: 4 * (r * r + 2 * r * ratio * math.sin(psi) + ratio**2) ** 1.5, 0, 2 * math.pi, 0, 1, epsabs=1e-9
    )
    assert profile_power_factor(ratio).magnitude == pytest.approx(found / (2 * math.pi), rel=2e-7)


def test_the_power_curve_has_one_bottom() -> None:
    speeds = np.arange(0, 120, 1.0)
    power = [
        rotor_power_level_flight(*DISK, f"{v} kt", "654.498 ft/s", 0.03, 1.15, 0.011, "7 ft^2").m_as("hp")
        for v in speeds
    ]
    turns = np.diff(np.sign(np.diff(power)))
    assert np.count_nonzero(turns) == 1
    assert 30 < speeds[np.argmin(power)] < 60


@given(st.floats(0.01, 0.12), st.floats(0, 0.4))
def test_the_retreating_blade_balances_roll(loading: float, ratio: float) -> None:
    """Moment of an even lift coefficient outboard of the reversed flow equals the hover's mean."""
    lift = retreating_blade_lift_coefficient(loading, ratio).magnitude
    moment, _ = quad(lambda r: lift * (r - ratio) ** 2 * r, ratio, 1)
    assert moment == pytest.approx(6 * loading / 4, rel=1e-6)
