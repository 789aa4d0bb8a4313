"""The air that the rotor and the engine work in: standard atmosphere, altimetry, humidity, density altitude.

Heights here are geopotential: the scale that altimeters, pressure altitude and density altitude use. A surveyed height
is geometric; at 10 000 ft the two differ by 4.8 ft (`geopotential_height`). Everything here holds in the troposphere,
from 5 000 m below to 11 000 m above sea level, which is more than a helicopter of this class will ever see.

The chain from what a builder reads to what the rotor feels:
altimeter setting and field elevation -> station pressure (or pressure altitude); temperature and dew point or relative
humidity -> vapour pressure; pressure, temperature and vapour pressure -> density; density -> density altitude.
"""

from __future__ import annotations

from rotorkit.atmosphere.air_of_the_day import DayAir, air_of_the_day
from rotorkit.atmosphere.airspeed import calibrated_airspeed, impact_pressure, true_airspeed
from rotorkit.atmosphere.altimetry import (
    EARTH_RADIUS,
    geometric_height,
    geopotential_height,
    pressure_altitude,
    pressure_altitude_from_altimeter,
    station_pressure,
)
from rotorkit.atmosphere.density import (
    WATER_VAPOUR_GAS_CONSTANT,
    density_altitude,
    density_ratio,
    dry_air_density,
    humid_air_density,
)
from rotorkit.atmosphere.humidity import (
    BUCK_FREEZING,
    BUCK_OFFSET,
    BUCK_PRESSURE,
    relative_humidity_from_dew_point,
    saturation_vapour_pressure_buck,
    vapour_pressure_from_dew_point,
    vapour_pressure_from_humidity,
)
from rotorkit.atmosphere.standard import (
    AIR_GAS_CONSTANT,
    HEAT_CAPACITY_RATIO,
    SEA_LEVEL_PRESSURE,
    SEA_LEVEL_TEMPERATURE,
    SEA_LEVEL_VISCOSITY,
    SUTHERLAND_TEMPERATURE,
    TEMPERATURE_LAPSE,
    dynamic_viscosity,
    isa_deviation,
    speed_of_sound,
    standard_density,
    standard_pressure,
    standard_temperature,
)

__all__ = [
    "AIR_GAS_CONSTANT",
    "BUCK_FREEZING",
    "BUCK_OFFSET",
    "BUCK_PRESSURE",
    "EARTH_RADIUS",
    "HEAT_CAPACITY_RATIO",
    "SEA_LEVEL_PRESSURE",
    "SEA_LEVEL_TEMPERATURE",
    "SEA_LEVEL_VISCOSITY",
    "SUTHERLAND_TEMPERATURE",
    "TEMPERATURE_LAPSE",
    "WATER_VAPOUR_GAS_CONSTANT",
    "DayAir",
    "air_of_the_day",
    "calibrated_airspeed",
    "density_altitude",
    "density_ratio",
    "dry_air_density",
    "dynamic_viscosity",
    "geometric_height",
    "geopotential_height",
    "humid_air_density",
    "impact_pressure",
    "isa_deviation",
    "pressure_altitude",
    "pressure_altitude_from_altimeter",
    "relative_humidity_from_dew_point",
    "saturation_vapour_pressure_buck",
    "speed_of_sound",
    "standard_density",
    "standard_pressure",
    "standard_temperature",
    "station_pressure",
    "true_airspeed",
    "vapour_pressure_from_dew_point",
    "vapour_pressure_from_humidity",
]
