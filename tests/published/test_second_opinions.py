"""General-purpose libraries as second opinions on the air. Known: computed.

ambiance and fluids take geometric height: comparing them at the same number of feet would be the 4.8 ft trap.
CoolProp's humid air is a real-gas mixture, so that it differs from perfect gases by what is said here, as found.
"""

import numpy as np
import pytest

from rotorkit.atmosphere import (
    density_altitude,
    dynamic_viscosity,
    geometric_height,
    humid_air_density,
    saturation_vapour_pressure_buck,
    speed_of_sound,
    standard_density,
    standard_pressure,
    standard_temperature,
)
from rotorkit.quantities import assert_quantity

HEIGHTS = [f"{feet} ft" for feet in range(-2000, 36001, 2000)]


@pytest.mark.parametrize("height", HEIGHTS)
def test_ambiance(height: str) -> None:
    """Agreement 2e-6: it carries the gas constant to more digits."""
    ambiance = pytest.importorskip("ambiance")
    other = ambiance.Atmosphere(geometric_height(height).m_as("m"))
    temperature = standard_temperature(height)
    assert_quantity(temperature, f"{other.temperature[0]} K", within="0.0002 %")
    assert_quantity(standard_pressure(height), f"{other.pressure[0]} Pa", within="0.0002 %")
    assert_quantity(standard_density(height), f"{other.density[0]} kg/m^3", within="0.0002 %")
    assert_quantity(speed_of_sound(temperature), f"{other.speed_of_sound[0]} m/s", within="0.0002 %")
    assert_quantity(dynamic_viscosity(temperature), f"{other.dynamic_viscosity[0]} Pa*s", within="0.0002 %")


@pytest.mark.parametrize("height", HEIGHTS)
def test_fluids(height: str) -> None:
    fluids = pytest.importorskip("fluids")
    other = fluids.ATMOSPHERE_1976(geometric_height(height).m_as("m"))
    temperature = standard_temperature(height)
    assert_quantity(temperature, f"{other.T} K", within="0.0002 %")
    assert_quantity(standard_pressure(height), f"{other.P} Pa", within="0.0002 %")
    assert_quantity(standard_density(height), f"{other.rho} kg/m^3", within="0.0002 %")
    assert_quantity(speed_of_sound(temperature), f"{other.v_sonic} m/s", within="0.0002 %")
    assert_quantity(dynamic_viscosity(temperature), f"{other.mu} Pa*s", within="0.0002 %")


@pytest.mark.parametrize("celsius", [0.01, 5, 15, 25, 35, 45, 50])
def test_iapws_saturation(celsius: float) -> None:
    iapws97 = pytest.importorskip("iapws.iapws97")
    other = iapws97._PSat_T(celsius + 273.15) * 1e6
    allowed = "0.09 %" if celsius <= 45 else "0.15 %"
    assert_quantity(saturation_vapour_pressure_buck(f"{celsius} degC"), f"{other} Pa", within=allowed)


@pytest.mark.parametrize("celsius", [-20, 0, 15, 30, 45])
@pytest.mark.parametrize("humidity", [0.0, 0.5, 1.0])
@pytest.mark.parametrize("height", ["0 ft", "5000 ft", "10000 ft"])
def test_coolprop_humid_air(celsius: float, humidity: float, height: str) -> None:
    """Same vapour pressure in both: the real mixture is 0.01 to 0.1 % denser, never thinner."""
    humid_air = pytest.importorskip("CoolProp.HumidAirProp")
    pressure = standard_pressure(height)
    state = ("T", celsius + 273.15, "P", pressure.m_as("Pa"), "R", humidity)
    other = 1 / humid_air.HAPropsSI("Vha", *state)
    vapour = humid_air.HAPropsSI("P_w", *state)
    mine = humid_air_density(pressure, f"{celsius} degC", f"{vapour} Pa")
    excess = other / mine.m_as("kg/m^3") - 1
    assert 0.0001 < excess < 0.001
    apart = (density_altitude(mine) - density_altitude(f"{other} kg/m^3")).m_as("ft")
    assert 3 < apart < 35


def test_iterating_numerically_gives_the_closed_form_density_altitude() -> None:
    """An oracle without algebra: look the density up in a fine table of the standard atmosphere."""
    heights = np.arange(-2000.0, 20001.0, 1.0)
    densities = standard_density.si(heights * 0.3048)
    for density in (1.20, 1.05, 0.92, 0.8):
        looked_up = np.interp(-density, -densities, heights)
        assert_quantity(density_altitude(f"{density} kg/m^3"), f"{looked_up} ft", within="0.001 ft")
