"""The air of a day at every height: the standard atmosphere, shifted by the day's warmth and with its humidity."""

from __future__ import annotations

from typing import Any, NamedTuple

from rotorkit.atmosphere.density import humid_air_density
from rotorkit.atmosphere.humidity import vapour_pressure_from_humidity
from rotorkit.atmosphere.standard import standard_pressure, standard_temperature


class DayAir(NamedTuple):
    """Air in SI units: pressure and vapour_pressure, Pa; temperature, K; density, kg/m^3; floats or arrays."""

    pressure: Any
    temperature: Any
    vapour_pressure: Any
    density: Any


def air_of_the_day(pressure_altitude: Any, isa_deviation: Any = 0.0, relative_humidity: Any = 0.0) -> DayAir:
    """The air at a pressure altitude on a day that is warmer than standard by the same amount at all heights.

    Bare SI figures, for sweeps: pressure_altitude, m; isa_deviation, K; relative_humidity, 0 to 1, at all heights;
    floats or arrays that broadcast. Source: `standard_pressure`, `standard_temperature`,
    `vapour_pressure_from_humidity`, `humid_air_density`, whose ranges hold and are not checked here.

    Examples
    --------
    >>> air = air_of_the_day(1524.0, 15.0)
    >>> f"{air.temperature:.2f} {air.density:.4f}"
    '293.24 1.0016'
    """
    pressure = standard_pressure.si(pressure_altitude)
    temperature = standard_temperature.si(pressure_altitude) + isa_deviation
    vapour = vapour_pressure_from_humidity.si(relative_humidity, temperature)
    return DayAir(pressure, temperature, vapour, humid_air_density.si(pressure, temperature, vapour))
