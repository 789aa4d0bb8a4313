"""Rotor geometry and tip speed: known figures, round trips, kinds kept apart."""

import math

import pytest

from rotorkit.quantities import QuantityError, assert_quantity
from rotorkit.rotor import (
    disk_area,
    rotor_speed_for_tip_speed,
    solidity,
    tip_mach_advancing,
    tip_mach_hovering,
    tip_speed,
)


def test_tip_speed_by_hand() -> None:
    """2 pi x 500 / 60 x 12.5 ft."""
    assert_quantity(tip_speed("500 rpm", "12.5 ft"), f"{2 * math.pi * 500 / 60 * 12.5:.6f} ft/s")
    assert_quantity(tip_speed("500 rpm", "150 in"), "654.498 ft/s")


def test_tip_speed_and_rotor_speed_invert_each_other() -> None:
    assert_quantity(rotor_speed_for_tip_speed(tip_speed("512 rpm", "11 ft 9 in"), "11 ft 9 in"), "512.00000 rpm")
    back = tip_speed.solve_for("rotor_speed", result="654.498 ft/s", rotor_radius="12.5 ft")
    assert_quantity(back, "500.000 rpm")


@pytest.mark.parametrize("wrong", ["8.33 Hz", "500", 500, "500 1/min", "2700 ft/s"])
def test_what_is_not_a_rotation_rate_is_refused(wrong: object) -> None:
    with pytest.raises(QuantityError, match="rotor_speed"):
        tip_speed(wrong, "12.5 ft")


def test_a_radius_typed_in_inches_as_feet_is_refused() -> None:
    with pytest.raises(QuantityError, match="rotor_radius"):
        disk_area("150 ft")


def test_disk_area_goes_with_the_square() -> None:
    assert disk_area("25 ft").m_as("ft^2") == pytest.approx(4 * disk_area("12.5 ft").m_as("ft^2"), rel=1e-14)
    assert_quantity(disk_area("12.5 ft"), f"{math.pi * 12.5**2:.6f} ft^2")


def test_solidity_is_blade_area_over_disk_area() -> None:
    blades = 2 * (7 / 12) * 12.5
    assert solidity(2, "7 in", "12.5 ft").m_as("") == pytest.approx(blades / (math.pi * 12.5**2), rel=1e-12)
    assert solidity(3, "7 in", "12.5 ft") > solidity(2, "7 in", "12.5 ft")


def test_advancing_tip_without_wind_is_the_hovering_tip() -> None:
    hovering = tip_mach_hovering("654.5 ft/s", "340.3 m/s").m_as("")
    assert tip_mach_advancing("654.5 ft/s", "0 kt", "340.3 m/s").m_as("") == hovering
    assert tip_mach_advancing("654.5 ft/s", "60 kt", "340.3 m/s").m_as("") > hovering
