"""Water vapour in the air, from relative humidity or dew point."""

from __future__ import annotations

from rotorkit import sources
from rotorkit.atmosphere.ranges import FRACTION, VAPOUR_TEMPERATURE
from rotorkit.formula import exp, formula
from rotorkit.quantities import Constant, Pressure, Ratio, Temperature

BUCK_PRESSURE = Constant(611.21, "Pa", "e_0", sources.BUCK_1981.at("eq. 3"))
BUCK_FREEZING = Constant(273.15, "K", "T_f", sources.BUCK_1981.at("eq. 3"))
BUCK_OFFSET = Constant(32.18, "K", "T_b", sources.BUCK_1981.at("eq. 3, 273.15 - 240.97"))


@formula(source=sources.BUCK_1981.at("eq. 3"), letters={"temperature": "T"}, result="e_s",
         valid={"temperature": VAPOUR_TEMPERATURE},
         title="Saturation vapour pressure, after Buck")  # fmt: skip
def saturation_vapour_pressure_buck(temperature: Temperature) -> Pressure:
    """Vapour pressure of air that holds all the water it can, over liquid water, by Buck's 1981 form of Magnus.

    Formula: e_s = 611.21 Pa exp(17.502 t / (240.97 °C + t)), t in °C.

    Parameters
    ----------
    temperature : Temperature
        air temperature (absolute).

    Returns
    -------
    Pressure
        The saturation vapour pressure.

    Raises
    ------
    QuantityError
        no temperature was given, or it is out of range.

    Notes
    -----
    Range of validity: -40 to 50 °C. Against IAPWS-IF97 it is within 0.09 % from 5 to 45 °C (worst -0.086 % at 25 °C)
    and +0.15 % at 50 °C; in the density altitude of saturated air at 30 °C that is 0.4 ft. Below freezing it is over
    supercooled water, 0.8 % low at -40 °C (against Murphy & Koop 2005, from memory), where saturated air holds almost
    no vapour. That the presence of air raises saturation by some 0.4 % is not included: humidity and dew point are
    taken as figures of pure vapour.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(saturation_vapour_pressure_buck("30 degC"), "Pa", digits=5)
    '4,243.5 Pa'
    """
    return BUCK_PRESSURE * exp(17.502 * (temperature - BUCK_FREEZING) / (temperature - BUCK_OFFSET))


@formula(source=sources.DEFINITION.at("relative humidity"), letters={"relative_humidity": "RH", "temperature": "T"},
         result="e", valid={"relative_humidity": FRACTION, "temperature": VAPOUR_TEMPERATURE},
         title="Vapour pressure from the relative humidity")  # fmt: skip
def vapour_pressure_from_humidity(relative_humidity: Ratio, temperature: Temperature) -> Pressure:
    """Pressure of the water vapour in the air, from relative humidity.

    Formula: e = RH e_s(T).

    Parameters
    ----------
    relative_humidity : Ratio
        a ratio, 0 to 1 (or 0 % to 100 %), over liquid water.
    temperature : Temperature
        air temperature where the humidity was read (absolute). A hygrometer in a warm hangar says nothing
        about the ramp: read both in the same place.

    Returns
    -------
    Pressure
        The vapour pressure.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range; every bad one is named.

    Notes
    -----
    Range of validity: -40 to 50 °C; accuracy as `saturation_vapour_pressure_buck`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(vapour_pressure_from_humidity("60 %", "30 degC"), "Pa", digits=5)
    '2,546.1 Pa'
    """
    return relative_humidity * saturation_vapour_pressure_buck(temperature)


@formula(source=sources.DEFINITION.at("dew point"), letters={"dew_point": "T_d"}, result="e",
         valid={"dew_point": VAPOUR_TEMPERATURE},
         title="Vapour pressure from the dew point")  # fmt: skip
def vapour_pressure_from_dew_point(dew_point: Temperature) -> Pressure:
    """Pressure of the water vapour in the air, from the dew point: saturation at the dew point.

    Prefer the dew point where both are reported: it stays right while the day warms, relative humidity does not.

    Formula: e = e_s(Td).

    Parameters
    ----------
    dew_point : Temperature
        dew point, over liquid water (absolute). It cannot exceed the air temperature.

    Returns
    -------
    Pressure
        The vapour pressure.

    Raises
    ------
    QuantityError
        no temperature was given, or it is out of range.

    Notes
    -----
    Range of validity: -40 to 50 °C; accuracy as `saturation_vapour_pressure_buck`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(vapour_pressure_from_dew_point("15 degC"), "Pa", digits=5)
    '1,704.6 Pa'
    """
    return saturation_vapour_pressure_buck(dew_point)


@formula(source=sources.DEFINITION.at("relative humidity"), letters={"dew_point": "T_d", "temperature": "T"},
         result="RH", valid={"dew_point": VAPOUR_TEMPERATURE, "temperature": VAPOUR_TEMPERATURE},
         title="Relative humidity from the dew point")  # fmt: skip
def relative_humidity_from_dew_point(dew_point: Temperature, temperature: Temperature) -> Ratio:
    """Relative humidity of air at `temperature` whose dew point is `dew_point`.

    Formula: RH = e_s(Td) / e_s(T).

    Parameters
    ----------
    dew_point : Temperature
        dew point (absolute).
    temperature : Temperature
        air temperature (absolute).

    Returns
    -------
    Ratio
        The relative humidity (ratio). More than 1 means that the two readings contradict each other: the dew point
        cannot lie above the temperature. This function does not judge that; ask whoever took the readings.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range; every bad one is named.

    Notes
    -----
    Range of validity: -40 to 50 °C.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(relative_humidity_from_dew_point("15 degC", "70 degF"), "%", digits=3)
    '68.1 %'
    """
    return vapour_pressure_from_dew_point(dew_point) / saturation_vapour_pressure_buck(temperature)
