"""Density and density altitude: dry limit, sign of humidity, round trips, errors of readings carried through."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.atmosphere import (
    density_altitude,
    density_ratio,
    dry_air_density,
    humid_air_density,
    standard_density,
    standard_pressure,
    standard_temperature,
    station_pressure,
    vapour_pressure_from_humidity,
)
from rotorkit.quantities import QuantityError, assert_quantity


@given(st.floats(-16000, 36000))
def test_on_a_standard_day_density_altitude_is_the_pressure_altitude(feet: float) -> None:
    height = f"{feet} ft"
    density = humid_air_density(standard_pressure(height), standard_temperature(height), "0 Pa")
    assert density_altitude(density).m_as("ft") == pytest.approx(feet, abs=1e-5)


def test_density_altitude_inverts_standard_density_both_ways() -> None:
    assert_quantity(density_altitude(standard_density("8000 ft")), "8000.0000 ft")
    assert_quantity(density_altitude.solve_for("density", result="8000 ft"), standard_density("8000 ft"), "0.0000001 %")


@given(st.floats(-20, 45), st.floats(0.01, 1), st.floats(0, 12000))
def test_moist_air_is_thinner_than_dry_air_and_its_dry_part_thinner_still(
    celsius: float, humidity: float, feet: float
) -> None:
    """Water (18 g/mol) pushes out air (29 g/mol): damp never helps."""
    pressure, temperature = standard_pressure(f"{feet} ft"), f"{celsius} degC"
    vapour = vapour_pressure_from_humidity(humidity, temperature)
    dry = humid_air_density(pressure, temperature, "0 Pa")
    moist = humid_air_density(pressure, temperature, vapour)
    assert dry_air_density(pressure, temperature, vapour) < moist < dry
    assert density_altitude(moist) > density_altitude(dry)


def test_what_a_hot_damp_day_costs() -> None:
    """Sea level, 30 °C, saturated: 1724 ft dry, 2262 ft moist (known: computed, density_altitude.csv)."""
    vapour = vapour_pressure_from_humidity("100 %", "30 degC")
    moist = density_altitude(humid_air_density("101325 Pa", "30 degC", vapour))
    dry = density_altitude(humid_air_density("101325 Pa", "30 degC", "0 Pa"))
    assert_quantity(moist - dry, "538 ft", within="1 ft")


def test_a_cold_day_gives_a_density_altitude_below_the_field() -> None:
    assert density_altitude(humid_air_density("101325 Pa", "-30 degC", "0 Pa")).m_as("ft") < -4000


def test_density_ratio_is_one_at_sea_level_and_never_signed_wrong() -> None:
    assert_quantity(density_ratio(standard_density("0 ft")), "1.000000000")
    assert (
        density_ratio(standard_density("5000 ft")).m_as("") < 1 < density_ratio(standard_density("-1000 ft")).m_as("")
    )


def test_uncertain_readings_give_an_uncertain_density_altitude() -> None:
    """0.02 inHg is about 19 ft of pressure altitude, 1.23 times that of density altitude; a degree about 114 ft."""
    pressure = station_pressure("29.92 ± 0.02 inHg", "1000 ft")
    found = density_altitude(humid_air_density(pressure, "30 ± 2 degC", "0 Pa"))
    assert found.expanded.m_as("ft") == pytest.approx(((0.02 * 930 * 1.23) ** 2 + (2 * 114) ** 2) ** 0.5, rel=0.05)
    assert len(found.budget()) == 2


@pytest.mark.parametrize("density", ["1.225 lb/ft^3", "0.0765 slug/ft^3", "0 kg/m^3", "1.225"])
def test_a_slip_of_unit_in_the_density_is_refused(density: str) -> None:
    with pytest.raises(QuantityError, match="density"):
        density_altitude(density)


def test_density_in_the_trades_own_units() -> None:
    assert density_altitude("0.0023769 slug/ft^3").m_as("ft") == pytest.approx(0, abs=1)
    assert density_altitude("0.076474 lb/ft^3").m_as("ft") == pytest.approx(0, abs=1)
