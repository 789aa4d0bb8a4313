"""Altimetry: the definition of the altimeter setting, round trips, and what is not credible."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.atmosphere import (
    geometric_height,
    geopotential_height,
    pressure_altitude,
    pressure_altitude_from_altimeter,
    standard_pressure,
    station_pressure,
)
from rotorkit.quantities import QuantityError, assert_quantity

SETTINGS = st.floats(25.6, 32.4)
ELEVATIONS = st.floats(-1600, 20000)


def test_on_a_standard_day_pressure_altitude_is_the_elevation() -> None:
    assert_quantity(pressure_altitude_from_altimeter("1013.25 hPa", "4321 ft"), "4321.000 ft")
    assert_quantity(station_pressure("1013.25 hPa", "5000 ft"), "84307.26 Pa")


def test_at_sea_level_the_setting_is_the_station_pressure() -> None:
    assert_quantity(station_pressure("29.42 inHg", "0 ft"), "29.420000 inHg")


@given(SETTINGS, ELEVATIONS)
def test_two_ways_to_pressure_altitude_agree(setting: float, elevation: float) -> None:
    direct = pressure_altitude_from_altimeter(f"{setting} inHg", f"{elevation} ft").m_as("ft")
    by_pressure = pressure_altitude(station_pressure(f"{setting} inHg", f"{elevation} ft")).m_as("ft")
    assert direct == pytest.approx(by_pressure, abs=1e-6)


@given(st.floats(-16000, 36000))
def test_pressure_altitude_inverts_standard_pressure(feet: float) -> None:
    assert pressure_altitude(standard_pressure(f"{feet} ft")).m_as("ft") == pytest.approx(feet, abs=1e-6)


def test_the_setting_can_be_found_back() -> None:
    pressure = station_pressure("29.42 inHg", "8000 ft")
    back = station_pressure.solve_for("altimeter_setting", result=pressure, elevation="8000 ft")
    assert_quantity(back, "29.420000 inHg")


def test_a_low_setting_means_a_high_pressure_altitude() -> None:
    """The sign that matters: low pressure is thin air."""
    low = pressure_altitude_from_altimeter("28.92 inHg", "2000 ft").m_as("ft")
    high = pressure_altitude_from_altimeter("30.92 inHg", "2000 ft").m_as("ft")
    assert low > 2000 > high
    assert low == pytest.approx(2000 + 930, abs=40)


@pytest.mark.parametrize(
    ("setting", "elevation", "named"),
    [
        ("20 inHg", "5000 ft", "altimeter_setting"),  # a station pressure given for the setting
        ("1013 inHg", "0 ft", "altimeter_setting"),  # hectopascals under the wrong unit
        ("29.92 psi", "0 ft", "altimeter_setting"),
        ("29.92 inHg", "-2000 ft", "elevation"),
        ("29.92 inHg", "12000 m", "elevation"),
        ("29.92", "1200 ft", "altimeter_setting"),
    ],
)
def test_what_is_not_credible_is_refused_by_name(setting: str, elevation: str, named: str) -> None:
    with pytest.raises(QuantityError, match=named):
        station_pressure(setting, elevation)


def test_every_bad_argument_is_named_at_once() -> None:
    with pytest.raises(QuantityError) as refused:
        station_pressure("15 degC", "12000 m")
    assert {name for name, _ in refused.value.problems} == {"altimeter_setting", "elevation"}


@given(st.floats(-4900, 10900))
def test_the_scales_of_height_invert_each_other(metres: float) -> None:
    there = geopotential_height(f"{metres} m")
    assert geometric_height(there).m_as("m") == pytest.approx(metres, abs=1e-6)
    assert there.m_as("m") <= metres + 1e-9
