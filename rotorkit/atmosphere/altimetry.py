"""From what is read on the field (altimeter setting, elevation) to the pressure there, and the two scales of height."""

from __future__ import annotations

from rotorkit import sources
from rotorkit.atmosphere.ranges import ALTIMETER_SETTING, FIELD_ELEVATION, TROPOSPHERE, TROPOSPHERE_PRESSURE
from rotorkit.atmosphere.standard import AIR_GAS_CONSTANT, SEA_LEVEL_PRESSURE, SEA_LEVEL_TEMPERATURE, TEMPERATURE_LAPSE
from rotorkit.formula import formula
from rotorkit.quantities import Constant, Length, Pressure
from rotorkit.sources.constants import STANDARD_GRAVITY

EARTH_RADIUS = Constant(6356766.0, "m", "r_0", sources.US_STANDARD_ATMOSPHERE_1976.at("adopted constants"))


@formula(source=sources.US_STANDARD_ATMOSPHERE_1976.at("pressure below 11 km, inverted"), letters={"pressure": "p"},
         result="H_p", valid={"pressure": TROPOSPHERE_PRESSURE})  # fmt: skip
def pressure_altitude(pressure: Pressure) -> Length:
    """The height in the standard atmosphere at which the pressure is `pressure`.

    Formula: H = (T0 / L) (1 - (p / p0)^(R L / g0)).

    Parameters
    ----------
    pressure : Pressure
        static pressure where the aircraft stands (absolute; what a barometer there reads, not reduced to
        sea level).

    Returns
    -------
    Length
        The pressure altitude (length, geopotential, up positive).

    Raises
    ------
    QuantityError
        no pressure was given, or it lies outside the troposphere.

    Notes
    -----
    Range of validity: 22 632 to 177 688 Pa.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(pressure_altitude("95496.17 Pa"), "ft", digits=5)
    '1,630.3 ft'
    """
    return (
        SEA_LEVEL_TEMPERATURE
        / TEMPERATURE_LAPSE
        * (1 - (pressure / SEA_LEVEL_PRESSURE) ** (AIR_GAS_CONSTANT * TEMPERATURE_LAPSE / STANDARD_GRAVITY))
    )


@formula(source=sources.SMITHSONIAN_1951.at("altimeter setting, definition without the 0.3 hPa offset"),
         letters={"altimeter_setting": "A", "elevation": "H"}, result="p",
         valid={"altimeter_setting": ALTIMETER_SETTING, "elevation": FIELD_ELEVATION})  # fmt: skip
def station_pressure(altimeter_setting: Pressure, elevation: Length) -> Pressure:
    """The actual air pressure at a field, from the altimeter setting (QNH) reported there and the field elevation.

    An altimeter set to `altimeter_setting` shows `elevation` at exactly this pressure; that is the definition. Do not
    multiply the setting by the standard pressure ratio instead: that is off by up to 26 ft of pressure altitude at
    8000 ft; nor use "1000 ft per inch": off by up to 100 ft.

    Formula: p = p0 ((A / p0)^n - L H / T0)^(1/n), with n = R L / g0 = 0.190263.

    Parameters
    ----------
    altimeter_setting : Pressure
        pressure to set in the altimeter's window (absolute).
    elevation : Length
        field elevation above mean sea level (length, up positive). The definition is in geopotential; taking
        the charted (geometric) elevation errs by 0.4 ft at 3000 ft and 4.8 ft at 10 000 ft.

    Returns
    -------
    Pressure
        The station pressure (absolute).

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: 25.5 to 32.5 inHg, -500 m to 9000 m. Weather stations in the United States take 0.3 hPa off
    the station's own pressure before they reduce it (quoted); that is left out here and errs by about 8 ft towards the
    thinner air.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(station_pressure("29.42 inHg", "8000 ft"), "hPa", digits=6)
    '739.287 hPa'
    """
    return SEA_LEVEL_PRESSURE * (
        (altimeter_setting / SEA_LEVEL_PRESSURE) ** (AIR_GAS_CONSTANT * TEMPERATURE_LAPSE / STANDARD_GRAVITY)
        - TEMPERATURE_LAPSE * elevation / SEA_LEVEL_TEMPERATURE
    ) ** (STANDARD_GRAVITY / (AIR_GAS_CONSTANT * TEMPERATURE_LAPSE))


@formula(source=sources.SMITHSONIAN_1951.at("altimeter setting, definition without the 0.3 hPa offset"),
         letters={"altimeter_setting": "A", "elevation": "H"}, result="H_p",
         valid={"altimeter_setting": ALTIMETER_SETTING, "elevation": FIELD_ELEVATION},
         title="Pressure altitude from the altimeter setting")  # fmt: skip
def pressure_altitude_from_altimeter(altimeter_setting: Pressure, elevation: Length) -> Length:
    """Pressure altitude at a field: what an altimeter there shows when its window is set to 29.92 inHg (1013.25 hPa).

    In the troposphere the pressure altitude of the setting itself simply adds to the elevation: this is exactly
    `pressure_altitude` of `station_pressure`, with the powers cancelled.

    Formula: Hp = H + (T0 / L) (1 - (A / p0)^(R L / g0)).

    Parameters
    ----------
    altimeter_setting : Pressure
        pressure to set in the altimeter's window (absolute).
    elevation : Length
        field elevation above mean sea level (length, geopotential, up positive).

    Returns
    -------
    Length
        The pressure altitude (length, geopotential, up positive): above the elevation when the setting is below
        standard.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: as `station_pressure`. 29.92 inHg is not quite the standard 1013.25 hPa: it gives 1.2 ft.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(pressure_altitude_from_altimeter("28.95 inHg", "1200 ft"), "ft", digits=5)
    '2,110.3 ft'
    """
    return elevation + pressure_altitude(altimeter_setting)


@formula(source=sources.US_STANDARD_ATMOSPHERE_1976.at("geopotential altitude"), letters={"geometric": "Z"}, result="H",
         valid={"geometric": TROPOSPHERE})  # fmt: skip
def geopotential_height(geometric: Length) -> Length:
    """Geopotential height of a geometric (surveyed) height: gravity weakens upward, so that it is the smaller number.

    Formula: H = r0 Z / (r0 + Z), with r0 = 6 356 766 m (latitude 45.5°).

    Parameters
    ----------
    geometric : Length
        height above mean sea level as a tape or a survey would give it (length, up positive).

    Returns
    -------
    Length
        The geopotential height (length, up positive).

    Raises
    ------
    QuantityError
        no length was given, or it lies outside the troposphere.

    Notes
    -----
    Range of validity: -5000 m to 11 000 m; at other latitudes gravity shifts it by up to 0.3 %.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(geopotential_height("10000 ft"), "ft", digits=5)
    '9,995.2 ft'
    """
    return EARTH_RADIUS * geometric / (EARTH_RADIUS + geometric)


@formula(source=sources.US_STANDARD_ATMOSPHERE_1976.at("geopotential altitude"), letters={"geopotential": "H"},
         result="Z", valid={"geopotential": TROPOSPHERE})  # fmt: skip
def geometric_height(geopotential: Length) -> Length:
    """Geometric height of a geopotential height: the inverse of `geopotential_height`.

    Formula: Z = r0 H / (r0 - H).

    Parameters
    ----------
    geopotential : Length
        height on the altimeter's scale (length, up positive).

    Returns
    -------
    Length
        The geometric height (length, up positive).

    Raises
    ------
    QuantityError
        no length was given, or it lies outside the troposphere.

    Notes
    -----
    Range of validity: -5000 m to 11 000 m.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(geometric_height("10000 ft"), "ft", digits=6)
    '10,004.8 ft'
    """
    return EARTH_RADIUS * geopotential / (EARTH_RADIUS - geopotential)
