"""Loadings and coefficients: definitions, and that they are numbers without units, whatever the units given."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.quantities import QuantityError, assert_quantity
from rotorkit.rotor import (
    blade_loading,
    disk_area,
    disk_loading,
    main_rotor_torque,
    power_coefficient,
    power_loading,
    thrust_coefficient,
    tip_speed,
    torque_coefficient,
)


def test_coefficients_do_not_depend_on_the_units() -> None:
    trade = thrust_coefficient("1400 lb", "0.0023769 slug/ft^3", "490.874 ft^2", "654.498 ft/s").m_as("")
    metric = thrust_coefficient("6.22751025 kN", "1.2250040 kg/m^3", "45.6036867 m^2", "199.49099 m/s").m_as("")
    assert trade == pytest.approx(metric, rel=1e-6)


@given(st.floats(30, 300), st.floats(250, 700), st.floats(8, 20))
def test_power_and_torque_coefficient_are_the_same_number(horsepower: float, rpm: float, feet: float) -> None:
    power, speed, radius, density = f"{horsepower} hp", f"{rpm} rpm", f"{feet} ft", "1.1 kg/m^3"
    area, tip = disk_area(radius), tip_speed(speed, radius)
    if tip.m_as("ft/s") > 1100:
        return
    by_power = power_coefficient(power, density, area, tip).m_as("")
    by_torque = torque_coefficient(main_rotor_torque(power, speed), density, area, radius, tip).m_as("")
    assert by_power == pytest.approx(by_torque, rel=1e-12)


def test_loadings_by_hand() -> None:
    assert_quantity(disk_loading("1400 lb", "500 ft^2"), "2.8000 lbf/ft^2")
    assert_quantity(power_loading("1400 lb", "140 hp"), "10.000 lbf/hp")
    assert_quantity(blade_loading(0.003, 0.03), "0.1000")


def test_a_mass_is_not_a_thrust() -> None:
    with pytest.raises(QuantityError, match="thrust"):
        disk_loading("635 kg", "500 ft^2")


def test_joules_are_not_a_torque() -> None:
    with pytest.raises(QuantityError, match="torque"):
        torque_coefficient("1700 J", "1.225 kg/m^3", "490 ft^2", "12.5 ft", "654 ft/s")


def test_every_bad_argument_is_named_at_once() -> None:
    with pytest.raises(QuantityError) as refused:
        thrust_coefficient("-5 lb", "0.0765 slug/ft^3", "490", "654 ft/s")
    assert [name for name, _ in refused.value.problems] == ["thrust", "density", "disk_area"]
