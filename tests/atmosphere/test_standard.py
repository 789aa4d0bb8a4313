"""The standard atmosphere: its anchors, its physics, its edges."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.atmosphere import (
    dynamic_viscosity,
    isa_deviation,
    speed_of_sound,
    standard_density,
    standard_pressure,
    standard_temperature,
)
from rotorkit.quantities import QuantityError, assert_quantity

TROPOSPHERE_FEET = st.floats(-16000, 36000)


def test_sea_level_is_the_anchor_of_everything() -> None:
    assert_quantity(standard_temperature("0 ft"), "288.15 K")
    assert_quantity(standard_pressure("0 ft"), "101325 Pa")
    assert_quantity(standard_density("0 ft"), "1.2250 kg/m^3")


def test_the_same_height_in_any_unit() -> None:
    in_feet, in_metres = standard_pressure("5000 ft"), standard_pressure("1524 m")
    assert in_feet.m_as("Pa") == pytest.approx(in_metres.m_as("Pa"), rel=1e-14)


@given(TROPOSPHERE_FEET)
def test_pressure_balances_the_weight_of_the_air_above(feet: float) -> None:
    """Hydrostatic balance dp/dH = -rho g0, which was not put in: it must come out."""
    height, step = feet * 0.3048, 0.5
    slope = (standard_pressure.si(height + step) - standard_pressure.si(height - step)) / (2 * step)
    assert slope == pytest.approx(-standard_density.si(height) * 9.80665, rel=1e-7)


@given(TROPOSPHERE_FEET)
def test_perfect_gas(feet: float) -> None:
    height = feet * 0.3048
    gas = standard_pressure.si(height) / (standard_density.si(height) * standard_temperature.si(height))
    assert gas == pytest.approx(287.05287, rel=1e-12)


def test_arrays_and_scalars_agree() -> None:
    heights = np.array([0.0, 1000.0, 3048.0])
    together = standard_density.si(heights)
    assert together.tolist() == pytest.approx([standard_density.si(float(h)) for h in heights], rel=1e-14)


def test_edges_of_the_troposphere() -> None:
    standard_temperature("-5000 m")
    standard_temperature("11000 m")
    for outside in ("-5001 m", "11001 m", "40000 ft"):
        with pytest.raises(QuantityError, match="pressure_altitude"):
            standard_temperature(outside)


def test_isa_deviation_is_zero_on_a_standard_day_and_positive_when_warm() -> None:
    assert abs(isa_deviation(standard_temperature("7000 ft"), "7000 ft").m_as("K")) < 1e-9
    assert_quantity(isa_deviation("30 degC", "0 ft"), "15.00 K")
    assert isa_deviation("-20 degC", "0 ft").m_as("K") == pytest.approx(-35)


def test_sound_goes_with_the_root_of_temperature() -> None:
    assert speed_of_sound("60 degC").m_as("m/s") / speed_of_sound("-75 degC").m_as("m/s") == pytest.approx(
        (333.15 / 198.15) ** 0.5, rel=1e-12
    )


def test_viscosity_rises_with_temperature_as_sutherland_prints_it() -> None:
    """beta T^1.5 / (T + S), the source's own form, with beta = 1.458e-6 (quoted)."""
    for kelvin in (200.0, 250.0, 288.15, 330.0):
        assert dynamic_viscosity.si(kelvin) == pytest.approx(1.458e-6 * kelvin**1.5 / (kelvin + 110.4), rel=1e-14)


@pytest.mark.parametrize("wrong", [5000, "5000", "5000 lb", "15 degC"])
def test_what_is_not_a_length_is_refused(wrong: object) -> None:
    with pytest.raises(QuantityError, match="pressure_altitude"):
        standard_pressure(wrong)
