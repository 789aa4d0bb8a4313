"""Climb and descent: the momentum balance itself, where the branches begin, and the words for the states."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.quantities import QuantityError, assert_quantity
from rotorkit.rotor import (
    ideal_power_climbing,
    induced_ratio_climbing,
    induced_ratio_vertical,
    induced_ratio_windmill,
    induced_velocity_climbing,
    induced_velocity_hovering,
    induced_velocity_windmill,
    power_ratio_vertical,
    profile_power_hovering,
    vertical_climb_rate,
    working_state,
)

STATE = ("1400 lbf", "0.0023769 slug/ft^3", "490.874 ft^2")


@given(st.floats(0, 15))
def test_climbing_keeps_the_momentum_balance(ratio: float) -> None:
    """Thrust is mass flow times wake speed: (m + v) v = 1 in units of the hover."""
    induced = induced_ratio_climbing(ratio).magnitude
    assert (ratio + induced) * induced == pytest.approx(1, rel=1e-9)


@given(st.floats(-15, -2))
def test_the_windmill_branch_keeps_it_too(ratio: float) -> None:
    """The air goes up: (-m - v) v = 1, and the rotor takes power from it."""
    induced = induced_ratio_windmill(ratio).magnitude
    assert (-ratio - induced) * induced == pytest.approx(1, rel=1e-8)
    assert power_ratio_vertical(ratio, induced).magnitude < 0


@given(st.floats(0, 12))
def test_velocities_are_the_ratios_times_the_hover(speed: float) -> None:
    hover = induced_velocity_hovering(*STATE).m_as("m/s")
    assert induced_velocity_climbing(*STATE, f"{speed} m/s").m_as("m/s") == pytest.approx(
        hover * induced_ratio_climbing(speed / hover).magnitude, rel=1e-9
    )
    down = 2.0001 * hover + speed
    assert induced_velocity_windmill(*STATE, f"{down} m/s").m_as("m/s") == pytest.approx(
        hover * induced_ratio_windmill(-down / hover).magnitude, rel=1e-6
    )


@given(st.floats(0, 10), st.floats(1.0, 1.3))
def test_the_climb_rate_inverts_the_power(speed: float, factor: float) -> None:
    profile = profile_power_hovering(*STATE[1:], "654.5 ft/s", 0.03, 0.011)
    induced = induced_velocity_climbing(*STATE, f"{speed} m/s")
    thrust = 1400 * 4.4482216152605
    power = thrust * (speed + factor * induced.m_as("m/s")) + profile.m_as("W")
    found = vertical_climb_rate(*STATE, f"{power} W", profile, factor)
    assert found.m_as("m/s") == pytest.approx(speed, abs=1e-9)


def test_hover_is_where_climb_begins() -> None:
    assert_quantity(ideal_power_climbing(*STATE, "0 ft/min"), "62.35 hp")
    assert float(induced_ratio_vertical(0).magnitude) == 1


def test_no_theory_between_hover_and_windmill() -> None:
    with pytest.raises(QuantityError, match="from 0 to 20"):
        induced_ratio_climbing(-0.5)
    with pytest.raises(QuantityError, match="from -20 to -2"):
        induced_ratio_windmill(-1.9)
    with pytest.raises(QuantityError, match="no real value"):
        induced_velocity_windmill(*STATE, "40 ft/s")


def test_the_whole_range_as_an_array() -> None:
    ratios = np.array([2.0, 0.0, -1.0, -1.75, -2.0, -3.0])
    found = induced_ratio_vertical(ratios).magnitude
    single = [float(induced_ratio_vertical(float(ratio)).magnitude) for ratio in ratios]
    assert found == pytest.approx(single, rel=1e-12)
    with pytest.raises(QuantityError, match="curve must be one of model rotor, full scale"):
        induced_ratio_vertical(-1, "guess")


@pytest.mark.parametrize(
    ("ratio", "words"),
    [(0.4, "climb"), (0, "hover"), (-0.2, "slow descent"), (-0.3, "vortex-ring state"), (-1.4, "vortex-ring state"),
     (-1.75, "turbulent-wake state"), (-2, "windmill state"), (-5, "windmill state")],
)  # fmt: skip
def test_states(ratio: float, words: str) -> None:
    assert working_state(ratio) == words
