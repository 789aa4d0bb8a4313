"""From what the airspeed indicator shows to how fast the air goes by: indicated, calibrated and true airspeed.

Indicated is what the instrument shows; calibrated is that with the position error put right; true is the speed of the
aircraft through the air. An indicator is a pressure gauge with its scale drawn for sea level on a standard day: in thin
air it shows less than the true airspeed. A never-exceed speed in a manual is an indicated or a calibrated one.
Compressibility is included, by the equation that the scale is drawn by.
"""

from __future__ import annotations

from rotorkit import sources
from rotorkit.atmosphere.ranges import TROPOSPHERE_DENSITY, TROPOSPHERE_PRESSURE
from rotorkit.atmosphere.standard import (
    AIR_GAS_CONSTANT,
    HEAT_CAPACITY_RATIO,
    SEA_LEVEL_PRESSURE,
    SEA_LEVEL_TEMPERATURE,
)
from rotorkit.formula import nomenclature, sqrt
from rotorkit.quantities import Density, Pressure, Speed

AIRSPEED = ("0 kt", "300 kt")
_SOURCE = sources.AIRSPEED_EQUATION.at("impact pressure below the speed of sound")

_formula = nomenclature(
    letters={"airspeed": "V", "pressure": "p", "density": r"\rho"},
    valid={"airspeed": AIRSPEED, "pressure": TROPOSPHERE_PRESSURE, "density": TROPOSPHERE_DENSITY},
    shown={"airspeed": ("kt", "kt")},
)


@_formula(source=_SOURCE, result="q_c")
def impact_pressure(airspeed: Speed, pressure: Pressure, density: Density) -> Pressure:
    """The extra pressure of the air in a pitot tube over air at rest: what an airspeed indicator measures.

    Formula: qc = p ((1 + (gamma - 1) rho V^2 / (2 gamma p))^(gamma / (gamma - 1)) - 1); slowly rho V^2 / 2.

    Parameters
    ----------
    airspeed : Speed
        true airspeed (speed).
    pressure : Pressure
        static pressure of the air (absolute).
    density : Density
        of the air.

    Returns
    -------
    Pressure
        The impact pressure, over the static one.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: below the speed of sound; a perfect gas, gamma 1.4 (for damp air up to 0.3 % less).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(impact_pressure("100 kt", "1013.25 hPa", "1.225 kg/m^3"), "hPa", digits=5)
    '16.303 hPa'
    """
    return pressure * (
        (1 + (HEAT_CAPACITY_RATIO - 1) * density * airspeed**2 / (2 * HEAT_CAPACITY_RATIO * pressure))
        ** (HEAT_CAPACITY_RATIO / (HEAT_CAPACITY_RATIO - 1))
        - 1
    )


@_formula(
    source=_SOURCE,
    letters={"airspeed": "V_c"},
    result="V",
    shown={"result": ("kt", "kt")},
    title="True airspeed from the calibrated one",
)
def true_airspeed(airspeed: Speed, pressure: Pressure, density: Density) -> Speed:
    """True airspeed of a calibrated one: the speed at which this air presses into the pitot tube as much as standard
    sea-level air does at the calibrated airspeed.

    Formula: V = sqrt(2 gamma / (gamma - 1) p / rho ((1 + qc / p)^((gamma - 1) / gamma) - 1)), qc = impact pressure of
    the calibrated airspeed at sea level of the standard atmosphere; slowly Vc sqrt(rho0 / rho).

    Parameters
    ----------
    airspeed : Speed
        calibrated airspeed: indicated, with the position error added (speed).
    pressure : Pressure
        static pressure where it is flown (absolute).
    density : Density
        of the air where it is flown.

    Returns
    -------
    Speed
        The true airspeed.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: as `impact_pressure`.

    Examples
    --------
    At 10,000 ft of the standard atmosphere; without compressibility it were 100 / sqrt(0.73848) = 116.37 kt.

    >>> from rotorkit.quantities import say
    >>> say(true_airspeed("100 kt", "696.82 hPa", "0.90464 kg/m^3"), "kt", digits=5)
    '116.22 kt'
    """
    return sqrt(
        2
        * HEAT_CAPACITY_RATIO
        / (HEAT_CAPACITY_RATIO - 1)
        * pressure
        / density
        * (
            (
                1
                + impact_pressure(
                    airspeed, SEA_LEVEL_PRESSURE, SEA_LEVEL_PRESSURE / (AIR_GAS_CONSTANT * SEA_LEVEL_TEMPERATURE)
                )
                / pressure
            )
            ** ((HEAT_CAPACITY_RATIO - 1) / HEAT_CAPACITY_RATIO)
            - 1
        )
    )


@_formula(source=_SOURCE, result="V_c", shown={"result": ("kt", "kt")}, title="Calibrated airspeed of a true one")
def calibrated_airspeed(airspeed: Speed, pressure: Pressure, density: Density) -> Speed:
    """Calibrated airspeed of a true one, as shown without position error; the inverse of `true_airspeed`.

    Formula: Vc = sqrt(2 gamma / (gamma - 1) R T0 ((1 + qc / p0)^((gamma - 1) / gamma) - 1)), qc = `impact_pressure`.

    Parameters
    ----------
    airspeed : Speed
        true airspeed (speed).
    pressure : Pressure
        static pressure where it is flown (absolute).
    density : Density
        of the air where it is flown.

    Returns
    -------
    Speed
        The calibrated airspeed: at height less than the true one.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: as `impact_pressure`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(calibrated_airspeed("116.22 kt", "696.82 hPa", "0.90464 kg/m^3"), "kt", digits=5)
    '100.00 kt'
    """
    return sqrt(
        2
        * HEAT_CAPACITY_RATIO
        / (HEAT_CAPACITY_RATIO - 1)
        * AIR_GAS_CONSTANT
        * SEA_LEVEL_TEMPERATURE
        * (
            (1 + impact_pressure(airspeed, pressure, density) / SEA_LEVEL_PRESSURE)
            ** ((HEAT_CAPACITY_RATIO - 1) / HEAT_CAPACITY_RATIO)
            - 1
        )
    )
