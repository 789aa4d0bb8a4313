"""The standard atmosphere of the troposphere and its adopted constants; speed of sound and viscosity of dry air."""

from __future__ import annotations

from rotorkit import sources
from rotorkit.atmosphere.ranges import AIR_TEMPERATURE, TROPOSPHERE
from rotorkit.formula import formula, sqrt
from rotorkit.quantities import (
    Constant,
    Density,
    DynamicViscosity,
    Length,
    Pressure,
    Speed,
    Temperature,
    TemperatureDifference,
)
from rotorkit.sources.constants import STANDARD_GRAVITY

# The five adopted constants of the standard atmosphere: everything else in it follows from them.
SEA_LEVEL_TEMPERATURE = Constant(288.15, "K", "T_0", sources.US_STANDARD_ATMOSPHERE_1976.at("adopted constants"))
SEA_LEVEL_PRESSURE = Constant(101325.0, "Pa", "p_0", sources.US_STANDARD_ATMOSPHERE_1976.at("adopted constants"))
TEMPERATURE_LAPSE = Constant(0.0065, "K/m", "L", sources.US_STANDARD_ATMOSPHERE_1976.at("adopted constants"))
AIR_GAS_CONSTANT = Constant(287.05287, "J/(kg*K)", "R", sources.ISO_2533.at("primary constants"))
HEAT_CAPACITY_RATIO = Constant(1.4, "", r"\gamma", sources.US_STANDARD_ATMOSPHERE_1976.at("adopted constants"))
SUTHERLAND_TEMPERATURE = Constant(110.4, "K", "S", sources.US_STANDARD_ATMOSPHERE_1976.at("Sutherland's equation"))
# The source prints beta = 1.458e-6 kg/(m s K^0.5); this is the viscosity that it gives at 15 °C, 1.789380e-5 Pa s.
SEA_LEVEL_VISCOSITY = Constant(
    1.458e-6 * SEA_LEVEL_TEMPERATURE**1.5 / (SEA_LEVEL_TEMPERATURE + SUTHERLAND_TEMPERATURE),
    "Pa*s",
    r"\mu_0",
    sources.US_STANDARD_ATMOSPHERE_1976.at("Sutherland's equation"),
)


@formula(source=sources.US_STANDARD_ATMOSPHERE_1976.at("temperature below 11 km"), letters={"pressure_altitude": "H"},
         result="T", valid={"pressure_altitude": TROPOSPHERE})  # fmt: skip
def standard_temperature(pressure_altitude: Length) -> Temperature:
    """Temperature of the standard atmosphere at a pressure altitude: 15 °C at sea level, 6.5 K less per 1000 m.

    Formula: T = T0 - L H.

    Parameters
    ----------
    pressure_altitude : Length
        geopotential height in the standard atmosphere (length, up positive).

    Returns
    -------
    Temperature
        The standard temperature (absolute).

    Raises
    ------
    QuantityError
        no length was given, or it lies outside the troposphere.

    Notes
    -----
    Range of validity: -5000 m to 11 000 m (-16 404 to 36 089 ft) geopotential.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(standard_temperature("10000 ft"), "K", digits=6)
    '268.338 K'
    """
    return SEA_LEVEL_TEMPERATURE - TEMPERATURE_LAPSE * pressure_altitude


@formula(source=sources.US_STANDARD_ATMOSPHERE_1976.at("pressure below 11 km"), letters={"pressure_altitude": "H"},
         result="p", valid={"pressure_altitude": TROPOSPHERE})  # fmt: skip
def standard_pressure(pressure_altitude: Length) -> Pressure:
    """Air pressure at a pressure altitude.

    Formula: p = p0 (T / T0)^(g0 / (R L)), with T the standard temperature; the exponent is 5.25588.

    Parameters
    ----------
    pressure_altitude : Length
        geopotential height in the standard atmosphere (length, up positive).

    Returns
    -------
    Pressure
        The static pressure (absolute).

    Raises
    ------
    QuantityError
        no length was given, or it lies outside the troposphere.

    Notes
    -----
    Range of validity: -5000 m to 11 000 m geopotential.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(standard_pressure("5000 ft"), "Pa", digits=7)
    '84,307.26 Pa'
    """
    return SEA_LEVEL_PRESSURE * (standard_temperature(pressure_altitude) / SEA_LEVEL_TEMPERATURE) ** (
        STANDARD_GRAVITY / (AIR_GAS_CONSTANT * TEMPERATURE_LAPSE)
    )


@formula(source=sources.US_STANDARD_ATMOSPHERE_1976.at("density, perfect gas"), letters={"pressure_altitude": "H"},
         result=r"\rho", valid={"pressure_altitude": TROPOSPHERE})  # fmt: skip
def standard_density(pressure_altitude: Length) -> Density:
    """Density of the standard atmosphere (dry air) at a pressure altitude; 1.225 kg/m^3 at sea level.

    Formula: rho = p / (R T), with the standard pressure and temperature.

    Parameters
    ----------
    pressure_altitude : Length
        geopotential height in the standard atmosphere (length, up positive). With a density altitude
        given instead, the result is the actual density of the air: that is what density altitude means.

    Returns
    -------
    Density
        The density.

    Raises
    ------
    QuantityError
        no length was given, or it lies outside the troposphere.

    Notes
    -----
    Range of validity: -5000 m to 11 000 m geopotential.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(standard_density("5000 ft"), "kg/m^3", digits=6)
    '1.05555 kg/m³'
    """
    return standard_pressure(pressure_altitude) / (AIR_GAS_CONSTANT * standard_temperature(pressure_altitude))


@formula(source=sources.DEFINITION.at("deviation from the standard atmosphere"),
         letters={"temperature": "T", "pressure_altitude": "H_p"}, result=r"\Delta T_{ISA}",
         valid={"pressure_altitude": TROPOSPHERE, "temperature": AIR_TEMPERATURE},
         title="Deviation from the standard temperature")  # fmt: skip
def isa_deviation(temperature: Temperature, pressure_altitude: Length) -> TemperatureDifference:
    """How much warmer the air is than the standard atmosphere at the same pressure altitude.

    Formula: dT = T - (T0 - L Hp).

    Parameters
    ----------
    temperature : Temperature
        outside air temperature, in the shade (absolute).
    pressure_altitude : Length
        where it was read (length, geopotential, up positive).

    Returns
    -------
    TemperatureDifference
        The deviation (temperature difference); positive when warmer than standard.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range; every bad one is named.

    Notes
    -----
    Range of validity: -5000 m to 11 000 m.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(isa_deviation("30 degC", "5000 ft"), "K", digits=4)
    '24.91 K'
    """
    return temperature - standard_temperature(pressure_altitude)


@formula(source=sources.US_STANDARD_ATMOSPHERE_1976.at("speed of sound"), letters={"temperature": "T"}, result="a",
         valid={"temperature": AIR_TEMPERATURE})  # fmt: skip
def speed_of_sound(temperature: Temperature) -> Speed:
    """Speed of sound in dry air; it depends on the temperature alone.

    Formula: a = sqrt(1.4 R T).

    Parameters
    ----------
    temperature : Temperature
        air temperature (absolute).

    Returns
    -------
    Speed
        The speed of sound.

    Raises
    ------
    QuantityError
        no temperature was given, or it is out of range.

    Notes
    -----
    Range of validity: -75 to 60 °C, dry. In air saturated at 35 °C sound is about 1 % faster, so that a tip Mach number
    taken with this speed errs on the safe side.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(speed_of_sound("15 degC"), "m/s", digits=6)
    '340.294 m/s'
    """
    return sqrt(HEAT_CAPACITY_RATIO * AIR_GAS_CONSTANT * temperature)


@formula(source=sources.US_STANDARD_ATMOSPHERE_1976.at("Sutherland's equation"), letters={"temperature": "T"},
         result=r"\mu", valid={"temperature": AIR_TEMPERATURE})  # fmt: skip
def dynamic_viscosity(temperature: Temperature) -> DynamicViscosity:
    """Dynamic viscosity of air by Sutherland's equation.

    Formula: mu = mu0 (T / T0)^1.5 (T0 + S) / (T + S), with S = 110.4 K and mu0 the viscosity at T0 = 288.15 K: the same
    as the source's beta T^1.5 / (T + S) with beta = 1.458e-6 kg/(m s K^0.5).

    Parameters
    ----------
    temperature : Temperature
        air temperature (absolute).

    Returns
    -------
    DynamicViscosity
        The dynamic viscosity.

    Raises
    ------
    QuantityError
        no temperature was given, or it is out of range.

    Notes
    -----
    Range of validity: -75 to 60 °C.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(dynamic_viscosity("15 degC"), "Pa*s", digits=6)
    '0.0000178938 Pa·s'
    """
    return (
        SEA_LEVEL_VISCOSITY
        * (temperature / SEA_LEVEL_TEMPERATURE) ** 1.5
        * ((SEA_LEVEL_TEMPERATURE + SUTHERLAND_TEMPERATURE) / (temperature + SUTHERLAND_TEMPERATURE))
    )
