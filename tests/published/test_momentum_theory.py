"""Momentum theory in the hover, hover coefficients, tip Mach and torque: closed forms. Known: computed."""

import pytest

from rotorkit.atmosphere import speed_of_sound
from rotorkit.quantities import assert_quantity
from rotorkit.rotor import (
    disk_area,
    figure_of_merit,
    figure_of_merit_from_coefficients,
    ideal_power_loading,
    induced_velocity_hovering,
    main_rotor_torque,
    power_coefficient,
    thrust_coefficient,
    tip_mach_advancing,
    tip_mach_hovering,
    tip_speed,
    torque_coefficient,
)
from tests.reference_table import rows

CHECKS = rows("rotor_hover_checks.csv")
MOMENTUM = [row for row in CHECKS if row["topic"] == "momentum theory"]


def expected(topic: str, quantity: str) -> str:
    (row,) = [row for row in CHECKS if row["topic"] == topic and row["quantity"] == quantity]
    return f"{row['expected']} {row['unit']}".strip()


@pytest.mark.parametrize("row", MOMENTUM, ids=lambda row: f"{row['quantity']} {row['given'][:16]}")
def test_disk_loading_at_sea_level(row: dict[str, str]) -> None:
    """The figures were worked with 0.0023769 slug/ft^3 for sea level; 1.225 kg/m^3 would move one in its last digit."""
    loading, density = float(row["given"].split()[2]), "0.0023769 slug/ft^3"
    if row["quantity"] == "induced velocity":
        found = induced_velocity_hovering(f"{loading * 100} lbf", density, "100 ft^2")
    else:
        found = ideal_power_loading(f"{loading} lbf/ft^2", density)
    assert_quantity(found, f"{row['expected']} {row['unit']}")


def test_hover_coefficients() -> None:
    thrust, power, density = "1400 lbf", "120 hp", "0.0023769 slug/ft^3"
    area, speed = disk_area("12.5 ft"), tip_speed("500 rpm", "12.5 ft")
    thrust_number = thrust_coefficient(thrust, density, area, speed)
    power_number = power_coefficient(power, density, area, speed)
    assert_quantity(thrust_number, expected("hover coefficients", "CT"))
    assert_quantity(power_number, expected("hover coefficients", "CP"))
    assert_quantity(figure_of_merit(thrust, density, area, power), expected("hover coefficients", "FM"))
    assert_quantity(
        figure_of_merit_from_coefficients(thrust_number, power_number), expected("hover coefficients", "FM")
    )
    assert_quantity(
        induced_velocity_hovering(thrust, density, area), expected("hover coefficients", "induced velocity")
    )
    torque = main_rotor_torque(power, "500 rpm")
    assert_quantity(torque_coefficient(torque, density, area, "12.5 ft", speed), expected("hover coefficients", "CP"))


def test_tip_mach() -> None:
    speed, sound = tip_speed("500 rpm", "12 ft"), speed_of_sound("30 degC")
    assert_quantity(tip_mach_hovering(speed, sound), expected("tip Mach", "hovering"))
    assert_quantity(tip_mach_advancing(speed, "80 kt", sound), expected("tip Mach", "advancing"))


def test_the_trades_torque_constant() -> None:
    """T [ft lbf] = 5252.113 hp / rpm: 33000 / (2 pi)."""
    constant = expected("torque", "constant").split()[0]
    assert_quantity(main_rotor_torque("100 hp", "100 rpm"), f"{constant} ft-lb")
