"""Water vapour: the two ways in, their limits and their contradictions."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.atmosphere import (
    relative_humidity_from_dew_point,
    saturation_vapour_pressure_buck,
    vapour_pressure_from_dew_point,
    vapour_pressure_from_humidity,
)
from rotorkit.quantities import QuantityError, assert_quantity

CELSIUS = st.floats(-39, 49)


def test_at_freezing_it_is_bucks_own_coefficient() -> None:
    """611.21 Pa, coefficient of eq. 3 (quoted)."""
    assert_quantity(saturation_vapour_pressure_buck("0 degC"), "611.21 Pa")


@given(CELSIUS, CELSIUS)
def test_warmer_air_holds_more(one: float, other: float) -> None:
    cold, warm = sorted((one, other))
    assert saturation_vapour_pressure_buck.si(cold + 273.15) <= saturation_vapour_pressure_buck.si(warm + 273.15)


@given(CELSIUS)
def test_saturated_means_dew_point_at_the_temperature(celsius: float) -> None:
    text = f"{celsius} degC"
    assert relative_humidity_from_dew_point(text, text).m_as("") == pytest.approx(1, rel=1e-12)
    assert vapour_pressure_from_humidity("100 %", text).m_as("Pa") == vapour_pressure_from_dew_point(text).m_as("Pa")


@given(st.floats(0, 45), st.floats(0.05, 1))
def test_dew_point_and_humidity_tell_the_same(celsius: float, humidity: float) -> None:
    vapour = vapour_pressure_from_humidity(humidity, f"{celsius} degC")
    dew_point = vapour_pressure_from_dew_point.solve_for("dew_point", result=vapour)
    assert dew_point.m_as("K") <= celsius + 273.15 + 1e-9
    assert relative_humidity_from_dew_point(dew_point, f"{celsius} degC").m_as("") == pytest.approx(humidity, rel=1e-9)


def test_fahrenheit_celsius_kelvin_and_percent_are_the_same_readings() -> None:
    figures = [
        vapour_pressure_from_humidity("60 %", "86 degF").m_as("Pa"),
        vapour_pressure_from_humidity(0.6, "30 degC").m_as("Pa"),
        vapour_pressure_from_humidity("0.6", "303.15 K").m_as("Pa"),
    ]
    assert figures == pytest.approx([figures[0]] * 3, rel=1e-12)


def test_a_dew_point_above_the_temperature_shows_as_more_than_one() -> None:
    assert relative_humidity_from_dew_point("25 degC", "20 degC").m_as("") > 1


@pytest.mark.parametrize(("humidity", "temperature"), [("60", "30 degC"), ("101 %", "30 degC"), ("-1 %", "30 degC")])
def test_humidity_outside_its_range_is_refused(humidity: str, temperature: str) -> None:
    with pytest.raises(QuantityError, match="relative_humidity"):
        vapour_pressure_from_humidity(humidity, temperature)


@pytest.mark.parametrize("temperature", ["51 degC", "-41 degC", "20 delta_degC", "30"])
def test_temperature_outside_its_range_is_refused(temperature: str) -> None:
    with pytest.raises(QuantityError, match="temperature"):
        saturation_vapour_pressure_buck(temperature)
