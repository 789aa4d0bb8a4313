"""Density of the air as it is, and the density altitude that the rotor feels."""

from __future__ import annotations

from rotorkit import sources
from rotorkit.atmosphere.ranges import AIR_TEMPERATURE, TROPOSPHERE_DENSITY, TROPOSPHERE_PRESSURE
from rotorkit.atmosphere.standard import AIR_GAS_CONSTANT, SEA_LEVEL_PRESSURE, SEA_LEVEL_TEMPERATURE, TEMPERATURE_LAPSE
from rotorkit.formula import formula
from rotorkit.quantities import Constant, Density, Length, Pressure, Ratio, Temperature
from rotorkit.sources.constants import STANDARD_GRAVITY

# Molar gas constant 8.314462618 J/(mol K) over the molar mass of water 18.015268 g/mol.
WATER_VAPOUR_GAS_CONSTANT = Constant(461.523, "J/(kg*K)", "R_v", sources.CODATA_2018.at("R / M of water"))


@formula(source=sources.ISO_2533.at("perfect gas"),
         letters={"pressure": "p", "temperature": "T", "vapour_pressure": "e"}, result=r"\rho_d",
         valid={"temperature": AIR_TEMPERATURE, "pressure": TROPOSPHERE_PRESSURE,
                "vapour_pressure": ("0 Pa", "13000 Pa")},
         title="Density of the dry air in damp air")  # fmt: skip
def dry_air_density(pressure: Pressure, temperature: Temperature, vapour_pressure: Pressure) -> Density:
    """The dry part of the air's density: the part that brings oxygen to the engine.

    Formula: rho_d = (p - e) / (R T).

    Parameters
    ----------
    pressure : Pressure
        total static pressure (absolute).
    temperature : Temperature
        air temperature (absolute).
    vapour_pressure : Pressure
        pressure of the water vapour in it; 0 for dry air.

    Returns
    -------
    Density
        The density of the dry air in the mixture.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range; every bad one is named.

    Notes
    -----
    Range of validity: perfect gas, -75 to 60 °C, tropospheric pressures, vapour pressure to 130 hPa.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(dry_air_density("1013.25 hPa", "15 degC", "0 Pa"), "kg/m^3", digits=5)
    '1.2250 kg/m³'
    """
    return (pressure - vapour_pressure) / (AIR_GAS_CONSTANT * temperature)


@formula(source=sources.ARITHMETIC.at("mixture of two perfect gases (Dalton)"),
         letters={"pressure": "p", "temperature": "T", "vapour_pressure": "e"}, result=r"\rho",
         valid={"temperature": AIR_TEMPERATURE, "pressure": TROPOSPHERE_PRESSURE,
                "vapour_pressure": ("0 Pa", "13000 Pa")})  # fmt: skip
def humid_air_density(pressure: Pressure, temperature: Temperature, vapour_pressure: Pressure) -> Density:
    """Density of moist air. Water vapour is lighter than air: on a hot, damp day it costs several hundred feet.

    Formula: rho = (p - e) / (R T) + e / (Rv T).

    Parameters
    ----------
    pressure : Pressure
        total static pressure at the field (absolute; from `station_pressure`, never the altimeter setting).
    temperature : Temperature
        air temperature (absolute).
    vapour_pressure : Pressure
        pressure of the water vapour in it; 0 for dry air.

    Returns
    -------
    Density
        The density.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range; every bad one is named.

    Notes
    -----
    Range of validity: perfect gases, -75 to 60 °C, tropospheric pressures, vapour pressure to 130 hPa. Air is not quite
    a perfect gas: a real-gas mixture (CoolProp, humid air) is 0.02 to 0.1 % denser, that is 7 to 35 ft of
    density altitude, on the safe side.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(humid_air_density("1013.25 hPa", "35 degC", "4503 Pa"), "kg/m^3", digits=6)
    '1.12625 kg/m³'
    """
    return dry_air_density(pressure, temperature, vapour_pressure) + vapour_pressure / (
        WATER_VAPOUR_GAS_CONSTANT * temperature
    )


@formula(source=sources.US_STANDARD_ATMOSPHERE_1976.at("sea-level density"), letters={"density": r"\rho"},
         result=r"\sigma", valid={"density": TROPOSPHERE_DENSITY})  # fmt: skip
def density_ratio(density: Density) -> Ratio:
    """Air density over the standard density at sea level, 1.225 kg/m^3.

    Formula: sigma = rho R T0 / p0.

    Parameters
    ----------
    density : Density
        air density.

    Returns
    -------
    Ratio
        The density ratio; above 1 on a cold day at sea level.

    Raises
    ------
    QuantityError
        no density was given, or it is out of range.

    Notes
    -----
    Range of validity: 0.3639 to 1.9305 kg/m^3.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(density_ratio("1.05554632 kg/m^3"), digits=6)
    '0.861670'
    """
    return density * AIR_GAS_CONSTANT * SEA_LEVEL_TEMPERATURE / SEA_LEVEL_PRESSURE


@formula(source=sources.US_STANDARD_ATMOSPHERE_1976.at("density below 11 km, inverted"), letters={"density": r"\rho"},
         result="H_\\rho", valid={"density": TROPOSPHERE_DENSITY})  # fmt: skip
def density_altitude(density: Density) -> Length:
    """The height in the standard atmosphere at which the air is as thin as here: the height the rotor feels.

    Give it the density of the moist air. Then humidity is in it, and no rule of thumb is needed; the widely quoted
    weather-service formula runs 11 to 21 ft higher than this in six cases computed independently.

    Formula: H = (T0 / L) (1 - sigma^(1 / (g0 / (R L) - 1))), with sigma the density ratio; the exponent is 0.234969.

    Parameters
    ----------
    density : Density
        actual air density, humidity included (`humid_air_density`).

    Returns
    -------
    Length
        The density altitude (length, geopotential, up positive).

    Raises
    ------
    QuantityError
        no density was given, or it is out of range.

    Notes
    -----
    Range of validity: 0.3639 to 1.9305 kg/m^3, that is -5000 m to 11 000 m.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(density_altitude("0.9639253 kg/m^3"), "ft", digits=5)
    '7,964.6 ft'
    """
    return (
        SEA_LEVEL_TEMPERATURE
        / TEMPERATURE_LAPSE
        * (1 - density_ratio(density) ** (1 / (STANDARD_GRAVITY / (AIR_GAS_CONSTANT * TEMPERATURE_LAPSE) - 1)))
    )
