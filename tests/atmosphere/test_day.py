"""The day's air by plain arithmetic: 1,200 m pressure altitude, 11 K warmer than standard, 70 % humidity."""

import math

import pytest

from rotorkit.atmosphere import air_of_the_day


@pytest.mark.parametrize("warmer", [11.0, 0.0, -11.0])
def test_each_part(warmer: float) -> None:
    """US Standard Atmosphere 1976 for pressure and temperature, Buck (1981), eq. 3, for the vapour, Dalton."""
    height, humidity = 1200.0, 0.70
    standard = 288.15 - 0.0065 * height
    pressure = 101325 * (standard / 288.15) ** 5.255876
    temperature = standard + warmer
    celsius = temperature - 273.15
    vapour = humidity * 611.21 * math.exp(17.502 * celsius / (240.97 + celsius))
    density = (pressure - vapour) / (287.05287 * temperature) + vapour / (461.523 * temperature)
    air = air_of_the_day(height, warmer, humidity)
    assert air.pressure == pytest.approx(pressure, rel=1e-6)
    assert air.temperature == pytest.approx(temperature, rel=1e-12)
    assert air.vapour_pressure == pytest.approx(vapour, rel=1e-9)
    assert air.density == pytest.approx(density, rel=1e-6)
