"""Ground effect and download: limits, order and the refusal below half a radius."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.quantities import QuantityError, assert_quantity
from rotorkit.rotor import (
    download_ratio,
    ground_effect_induced_power_ratio_cheeseman_bennett,
    ground_effect_induced_power_ratio_hayden,
    ground_effect_thrust_ratio_cheeseman_bennett,
    ground_effect_thrust_ratio_cheeseman_bennett_moving,
    rotor_height_ratio,
    thrust_with_download,
)

FUNCTIONS = [ground_effect_induced_power_ratio_cheeseman_bennett, ground_effect_induced_power_ratio_hayden]


@pytest.mark.parametrize("function", FUNCTIONS)
def test_it_fades_with_height(function) -> None:  # type: ignore[no-untyped-def]
    ratios = [function(height).magnitude for height in (0.5, 0.7, 1, 2, 4, 10)]
    assert ratios == sorted(ratios)
    assert ratios[-1] == pytest.approx(1, abs=0.01)


@pytest.mark.parametrize("function", [*FUNCTIONS, ground_effect_thrust_ratio_cheeseman_bennett])
def test_refused_nearer_than_half_a_radius(function) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(QuantityError, match=r"height_ratio must be 0\.5 or more"):
        function(0.45)


def test_the_two_relations_agree_within_6_percent_at_a_radius() -> None:
    one, other = (function(1).magnitude for function in FUNCTIONS)
    assert one / other == pytest.approx(1, abs=0.06)


@given(st.floats(0.5, 5), st.floats(0, 60))
def test_moving_blows_it_away(height: float, speed: float) -> None:
    still = ground_effect_thrust_ratio_cheeseman_bennett(height).magnitude
    moving = ground_effect_thrust_ratio_cheeseman_bennett_moving(height, f"{speed} kt", "7 m/s").magnitude
    assert 1 <= moving <= still + 1e-12


def test_height_in_radii() -> None:
    assert_quantity(rotor_height_ratio("3.81 m", "12.5 ft"), "1.000")


def test_download_is_the_drag_in_the_wake() -> None:
    """rho (k v)^2 f / 2 with v = sqrt(T / 2 rho A), for any density."""
    thrust, density, area, plate, factor = 6000.0, 1.1, 45.6, 2.0, 1.5
    drag = 0.5 * density * factor**2 * thrust / (2 * density * area) * plate
    share = download_ratio(f"{plate} m^2", f"{area} m^2", factor)
    assert share.magnitude == pytest.approx(drag / thrust, rel=1e-12)
    total = thrust_with_download("5800 N", share)
    assert (total * (1 - share)).m_as("N") == pytest.approx(5800, rel=1e-12)
