"""Power of a normally aspirated piston engine by the SAE's correction, intake heat, humidity and a rating that caps it.

Humidity costs power twice: the air is thinner, and a part of it is water, which burns nothing. Both relations here
count by the DRY part of the air's pressure. Intake heat (a cowl's warm air, carburettor heat) is the temperature at the
intake, not of the day.
"""

from __future__ import annotations

from rotorkit import sources
from rotorkit.atmosphere.density import density_ratio, dry_air_density
from rotorkit.atmosphere.standard import SEA_LEVEL_PRESSURE, SEA_LEVEL_TEMPERATURE
from rotorkit.engine.altitude import full_throttle_power_gagg_ferrar
from rotorkit.formula import formula, sqrt
from rotorkit.formula.contract import contract
from rotorkit.quantities import Constant, Power, Pressure, QuantityError, Ratio, Temperature, TemperatureDifference

SAE_PRESSURE = Constant(99000.0, "Pa", "p_{SAE}", sources.SAE_J1349.at("standard dry pressure, 990 hPa"))
SAE_TEMPERATURE = Constant(298.0, "K", "T_{SAE}", sources.SAE_J1349.at("standard temperature, 25 °C, as 298"))
SAE_ZERO = Constant(0.15, "K", "T_z", sources.SAE_J1349.at("the formula counts 0 °C as 273, not 273.15"))
DRY_PRESSURE = ("40000 Pa", "110000 Pa")
INTAKE_TEMPERATURE = ("-50 degC", "90 degC")
METHODS = ("Gagg & Ferrar", "SAE J1349")


@formula(
    source=sources.ARITHMETIC.at("partial pressures (Dalton)"),
    letters={"pressure": "p", "vapour_pressure": "e"},
    result="p_d",
    valid={"pressure": ("22000 Pa", "110000 Pa"), "vapour_pressure": ("0 Pa", "13000 Pa")},
    title="Pressure of the dry air",
)
def dry_pressure(pressure: Pressure, vapour_pressure: Pressure) -> Pressure:
    """Pressure of the dry part of the air: what the engine has of it.

    Formula: pd = p - e.

    Parameters
    ----------
    pressure : Pressure
        static pressure (absolute).
    vapour_pressure : Pressure
        of the water in it (`rotorkit.atmosphere.vapour_pressure_from_humidity`).

    Returns
    -------
    Pressure
        The dry pressure (absolute).

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible.

    Notes
    -----
    Range of validity: any air.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(dry_pressure("1013.25 hPa", "45.03 hPa"), "hPa", digits=5)
    '968.22 hPa'
    """
    return pressure - vapour_pressure


@formula(
    source=sources.SAE_J1349.at("spark-ignition engines at full throttle, 1990"),
    letters={"dry_pressure": "p_d", "intake_temperature": "T"},
    result="f",
    valid={"dry_pressure": DRY_PRESSURE, "intake_temperature": INTAKE_TEMPERATURE},
    title="Correction factor, by SAE J1349",
)
def sae_j1349_correction_factor(dry_pressure: Pressure, intake_temperature: Temperature) -> Ratio:
    """The factor that brings a measured full-throttle power to 990 hPa of dry air and 25 °C.

    Formula: f = 1.180 (990 hPa / pd) sqrt((t + 273) / 298) - 0.18, t in °C. The 0.18 stands for friction, which does
    not fall with the air.

    Parameters
    ----------
    dry_pressure : Pressure
        of the air at the intake (absolute; `dry_pressure`).
    intake_temperature : Temperature
        of the air at the intake (absolute).

    Returns
    -------
    Ratio
        The factor (ratio): above 1 in air that is thinner or warmer than the standard's.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: the test code is for test-bed air, corrections of a few per cent (7 % from memory); at height it
    is stretched. At 5000 ft, standard day, it gives 2.4 % less power than Gagg and Ferrar: take the two as a spread.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(sae_j1349_correction_factor("990 hPa", "35 degC"), digits=6)
    '1.01964'
    """
    return 1.18 * (SAE_PRESSURE / dry_pressure) * sqrt((intake_temperature - SAE_ZERO) / SAE_TEMPERATURE) - 0.18


@formula(
    source=sources.SAE_J1349.at("correction factor, from the standard day at sea level"),
    letters={"sea_level_power": "P_0", "dry_pressure": "p_d", "intake_temperature": "T"},
    result="P",
    valid={
        "sea_level_power": ("0 hp", None),
        "dry_pressure": DRY_PRESSURE,
        "intake_temperature": INTAKE_TEMPERATURE,
    },
    title="Full-throttle power, by SAE J1349",
)
def full_throttle_power_sae_j1349(
    sea_level_power: Power, dry_pressure: Pressure, intake_temperature: Temperature
) -> Power:
    """Full-throttle power in the air as it is, by the SAE's factor, from the power on a standard day at sea level.

    Formula: P = P0 f(1013.25 hPa, 15 °C) / f(pd, T).

    Parameters
    ----------
    sea_level_power : Power
        full-throttle power at sea level on a standard (dry) day, 15 °C, at the speed used: an aircraft
        engine's rating. One stated by SAE J1349 itself (990 hPa, 25 °C) is 4.7 % less for the same engine.
    dry_pressure : Pressure
        of the air at the intake (absolute).
    intake_temperature : Temperature
        of the air at the intake (absolute).

    Returns
    -------
    Power
        The power at the engine's output.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range; every bad one is named.

    Notes
    -----
    Range of validity: as `sae_j1349_correction_factor`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(full_throttle_power_sae_j1349("138 hp", "1013.25 hPa", "15 degC"), "hp", digits=4)
    '138.0 hp'
    """
    return (
        sea_level_power
        * sae_j1349_correction_factor(SEA_LEVEL_PRESSURE, SEA_LEVEL_TEMPERATURE)
        / sae_j1349_correction_factor(dry_pressure, intake_temperature)
    )


@formula(
    source=sources.SAE_J1349.at("temperature term, friction left out"),
    letters={"outside_temperature": "T", "intake_temperature": "T_i"},
    result=r"P/P_{cold}",
    valid={"outside_temperature": ("-50 degC", "60 degC"), "intake_temperature": INTAKE_TEMPERATURE},
    title="Power ratio with intake heat",
)
def power_ratio_intake_heat(outside_temperature: Temperature, intake_temperature: Temperature) -> Ratio:
    """Power with warm intake air over power with the day's air, at the same pressure.

    Formula: sqrt(T / Ti), both absolute.

    Parameters
    ----------
    outside_temperature : Temperature
        of the air (absolute).
    intake_temperature : Temperature
        at the carburettor's inlet, measured with the cowling on and the engine hot (absolute).

    Returns
    -------
    Ratio
        The power ratio: 20 °C of warmth at the intake cost about 3 %.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: the mixture leaned or enriched to suit; a mixture that carburettor heat makes too rich costs
    more.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(power_ratio_intake_heat("15 degC", "35 degC"), digits=4)
    '0.9670'
    """
    return sqrt(outside_temperature / intake_temperature)


@contract
def derated_power(full_throttle_power: Power, rating: Power) -> Power:
    """Power that may be used: full throttle, but never more than the rating that a manifold-pressure limit stands for.

    Parameters
    ----------
    full_throttle_power : Power
        what the engine would give (power or array).
    rating : Power
        what the manual allows (power or array). A derated engine keeps its rating up to the height where full
        throttle just gives it.

    Returns
    -------
    Power
        The lesser of the two.

    Raises
    ------
    QuantityError
        an argument is not a power.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(derated_power("160 hp", "138 hp"), "hp", digits=4)
    '138.0 hp'
    """
    import numpy as np

    least = np.minimum(full_throttle_power, rating)
    return least if np.ndim(least) else float(least)


@contract
def engine_power_available(
    sea_level_power: Power,
    pressure: Pressure,
    temperature: Temperature,
    vapour_pressure: Pressure = "0 Pa",
    intake_rise: TemperatureDifference = "0 K",
    method: str = "Gagg & Ferrar",
) -> Power:
    """Full-throttle power of a normally aspirated engine in today's air: height, heat, humidity and warm intake.

    "Gagg & Ferrar": power by the density ratio of the dry part of the air outside, less the intake's warmth
    (`full_throttle_power_gagg_ferrar`, `power_ratio_intake_heat`). "SAE J1349": by dry pressure and intake temperature
    (`full_throttle_power_sae_j1349`). The two differ by some per cent at height: a measure of how well either is known.
    In air denser than the standard sea level's the rating is not exceeded, as in `power_held_to_rating`.

    Parameters
    ----------
    sea_level_power : Power
        full throttle, standard day at sea level (power).
    pressure : Pressure
        static pressure (absolute, never the altimeter setting).
    temperature : Temperature
        of the air outside (absolute).
    vapour_pressure : Pressure
        of the water in it (absolute); 0 for dry air.
    intake_rise : TemperatureDifference
        how much warmer the air is at the intake (temperature difference).
    method : str
        one of `METHODS`.

        All but the method may be arrays.

    Returns
    -------
    Power
        The power at the engine's output; accessories and transmission come off it (`rotorkit.rotor.shares`), a rating
        may cap it (`derated_power`).

    Raises
    ------
    QuantityError
        an argument is not of its kind, or there is no such method.

    Notes
    -----
    Range of validity: full throttle, right mixture, an engine that gives its rating: check it by a static run.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(engine_power_available("138 hp", "843.07 hPa", "5.094 degC"), "hp", digits=4)
    '116.4 hp'
    >>> say(engine_power_available("138 hp", "843.07 hPa", "30 degC", "25 hPa", "15 K"), "hp", digits=4)
    '99.23 hp'
    """
    if method not in METHODS:
        raise QuantityError(f"engine_power_available: method must be one of {', '.join(METHODS)}, got {method!r}")
    import numpy as np

    warm = temperature + intake_rise
    if method == "SAE J1349":
        found = full_throttle_power_sae_j1349.si(sea_level_power, pressure - vapour_pressure, warm)
    else:
        ratio = density_ratio.si(dry_air_density.si(pressure, temperature, vapour_pressure))
        found = full_throttle_power_gagg_ferrar.si(sea_level_power, ratio)
        found = found * power_ratio_intake_heat.si(temperature, warm)
    held = np.minimum(found, sea_level_power)
    return held if np.ndim(held) else float(held)
