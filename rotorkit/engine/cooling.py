"""Cooling and cabin: fans, cowls, heat and air, what a hot day would have shown, and carbon monoxide."""

from __future__ import annotations

import numpy as np

from rotorkit import sources
from rotorkit.formula import nomenclature
from rotorkit.formula.contract import contract
from rotorkit.quantities import (
    Area,
    Constant,
    Density,
    GaugePressure,
    Length,
    Power,
    Ratio,
    RotationRate,
    SpecificHeat,
    Speed,
    Temperature,
    TemperatureDifference,
    VolumeFlow,
)

CARBON_MONOXIDE_LIMIT = Constant(1 / 20000, "", "x_{CO}", sources.CFR_14.at("27.831(b): one part in 20,000"))
"""Carbon monoxide in the cabin, by volume: 50 parts in a million, in forward flight and in a hover in still air."""
HOT_LAPSE = Constant(2.0 / 304.8, "K/m", "L", sources.CFR_14.at("27.1043(b): 3.6 degF each 1000 ft"))
COLDEST = Constant(216.65, "K", "T_{min}", sources.CFR_14.at("27.1043(b): -69.7 degF"))
HORSEPOWER = Constant(745.6998715822702, "W", "hp", sources.NIST_SP_811.at("Appendix B.8"))
AIR = sources.ARITHMETIC.at("heat carried by a stream of air")

_formula = nomenclature(
    letters={
        "flow": "Q", "speed": "n_1", "new_speed": "n_2", "pressure": "p_1", "density_ratio": r"\sigma", "power": "P_1",
        "drop": "p_1", "flow_ratio": "q", "flow_per_power": "q", "area": "A", "wanted_power": "P_2",
        "wanted_speed": "v_2", "density": r"\rho", "rise": r"\Delta T", "specific_heat": "c_p", "heat": r"H",
        "reading": "T", "ambient": "T_a", "hottest": "T_h", "factor": "k",
    },
    valid={
        "new_speed": ("0 rpm", None), "density_ratio": ("0.2", "3"), "power": ("0 W", None),
        "wanted_speed": ("0.1 m/s", None), "factor": ("0.3", "1"),
    },
)  # fmt: skip


@_formula(
    source=sources.FAN_LAWS.at("flow"),
    letters={"flow": "Q_1"},
    result=r"Q_2",
    valid={"speed": ("1 rpm", None)},
    title="Fan flow at another speed",
)
def fan_flow(flow: VolumeFlow, speed: RotationRate, new_speed: RotationRate) -> VolumeFlow:
    """Air flow of one fan at another speed: in proportion.

    Formula: Q2 = Q1 n2 / n1.

    Parameters
    ----------
    flow : VolumeFlow
        measured
    speed : RotationRate
        at which it was measured
    new_speed : RotationRate
        at which it is wanted

    Returns
    -------
    VolumeFlow
        The flow.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: the same fan on the same ducts.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(fan_flow("1000 ft^3/min", "2000 rpm", "2600 rpm"), "ft^3/min", digits=4)
    '1,300 ft³/min'
    """
    return flow * new_speed / speed


@_formula(
    source=sources.FAN_LAWS.at("pressure"),
    result=r"p_2",
    valid={"speed": ("1 rpm", None)},
    title="Fan pressure at another speed",
)
def fan_pressure(
    pressure: GaugePressure, speed: RotationRate, new_speed: RotationRate, density_ratio: Ratio = "1"
) -> GaugePressure:
    """Pressure of one fan at another speed and density: with the square.

    Formula: p2 = p1 (n2 / n1)^2 (rho2 / rho1).

    Parameters
    ----------
    pressure : GaugePressure
        measured, above the air before the fan
    speed : RotationRate
        at which it was measured
    new_speed : RotationRate
        at which it is wanted
    density_ratio : Ratio
        density of the air then over that in which it was measured

    Returns
    -------
    GaugePressure
        The pressure.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: the same fan on the same ducts.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(fan_pressure("1000 Pa", "2000 rpm", "2600 rpm"), "Pa", digits=4)
    '1,690 Pa'
    """
    return pressure * (new_speed / speed) ** 2 * density_ratio


@_formula(
    source=sources.FAN_LAWS.at("power"),
    result=r"P_2",
    valid={"speed": ("1 rpm", None)},
    title="Fan power at another speed",
)
def fan_power(power: Power, speed: RotationRate, new_speed: RotationRate, density_ratio: Ratio = "1") -> Power:
    """Power of one fan at another speed and density: with the cube.

    Formula: P2 = P1 (n2 / n1)^3 (rho2 / rho1).

    Parameters
    ----------
    power : Power
        measured
    speed : RotationRate
        at which it was measured
    new_speed : RotationRate
        at which it is wanted
    density_ratio : Ratio
        density of the air then over that in which it was measured

    Returns
    -------
    Power
        The power.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: the same fan on the same ducts.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(fan_power("2 hp", "2000 rpm", "2600 rpm"), "hp", digits=4)
    '4.394 hp'
    """
    return power * (new_speed / speed) ** 3 * density_ratio


@_formula(
    source=sources.ARITHMETIC.at("turbulent flow through one passage"),
    result=r"p_2",
    title="Pressure drop at another flow",
)
def cowl_pressure_drop(drop: GaugePressure, flow_ratio: Ratio, density_ratio: Ratio = "1") -> GaugePressure:
    """Pressure drop across the cylinders at another mass flow and density: with the square, and thinner air needs more.

    Formula: p2 = p1 (m2 / m1)^2 / (rho2 / rho1).

    Parameters
    ----------
    drop : GaugePressure
        measured, above to below the cylinders
    flow_ratio : Ratio
        wanted mass flow over that measured
    density_ratio : Ratio
        density of the air then over that in which it was measured

    Returns
    -------
    GaugePressure
        The drop.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: turbulent flow between the same fins and baffles.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(cowl_pressure_drop("1000 Pa", "1.2", "0.9"), "Pa", digits=4)
    '1,600 Pa'
    """
    return drop * flow_ratio**2 / density_ratio


@_formula(
    source=sources.COWLING.at("20 ft3/min for each horsepower"),
    letters={"power": "P"},
    result=r"Q",
    valid={"power": ("0 hp", None)},
    title="Cooling air needed",
)
def cooling_air_flow(power: Power, flow_per_power: VolumeFlow) -> VolumeFlow:
    """Cooling air that an engine needs, from a flow per horsepower.

    Formula: Q = P q.

    Parameters
    ----------
    power : Power
        of the engine, or of one cylinder
    flow_per_power : VolumeFlow
        for each horsepower (745.7 W), such as 20 ft³/min

    Returns
    -------
    VolumeFlow
        The flow.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: a rule of thumb for air-cooled aircraft engines: an estimate.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(cooling_air_flow("25 hp", "20 ft^3/min"), "ft^3/min", digits=4)
    '500.0 ft³/min'
    """
    return power / HORSEPOWER * flow_per_power


@_formula(
    source=sources.DEFINITION.at("flow through an area"),
    result=r"v",
    valid={"area": ("1e-6 m^2", None)},
    title="Speed of the cooling air",
)
def cooling_air_speed(flow: VolumeFlow, area: Area) -> Speed:
    """Mean speed of the air through a passage, such as between the fins.

    Formula: v = Q / A.

    Parameters
    ----------
    flow : VolumeFlow
        of air
    area : Area
        that it passes

    Returns
    -------
    Speed
        The speed.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: the density with which the flow was worked out.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(cooling_air_speed("500 ft^3/min", "8.2 in^2"), "ft/min", digits=4)
    '8,780 ft/min'
    """
    return flow / area


@_formula(
    source=sources.COWLING.at("opening for each horsepower"),
    letters={"area": "A_1", "speed": "v_1"},
    result=r"A_2",
    valid={"power": ("0.1 hp", None)},
    title="Opening for the cooling air",
)
def cooling_opening(area: Area, power: Power, speed: Speed, wanted_power: Power, wanted_speed: Speed) -> Area:
    """Opening that lets in the same air per horsepower at another power and speed.

    Formula: A2 = A1 (P2 / P1) (v1 / v2).

    Parameters
    ----------
    area : Area
        of an opening that serves
    power : Power
        that it serves
    speed : Speed
        of the air at which it does
    wanted_power : Power
        to be served
    wanted_speed : Speed
        of the air

    Returns
    -------
    Area
        The area.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: air of one density; what a fan moves takes the fan's own speed.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(cooling_opening("32.5 in^2", "100 hp", "100 mi/h", "100 hp", "65 mi/h"), "in^2", digits=4)
    '50.00 in²'
    """
    return area * wanted_power / power * speed / wanted_speed


@_formula(source=AIR, result=r"H", title="Heat in the air")
def air_heat_flow(
    flow: VolumeFlow, density: Density, rise: TemperatureDifference, specific_heat: SpecificHeat = "1006 J/(kg*K)"
) -> Power:
    """Heat that an air stream carries: of cabin heat, or away from an engine.

    Formula: q = Q rho cp dT.

    Parameters
    ----------
    flow : VolumeFlow
        of air
    density : Density
        of the air where the flow was measured
    rise : TemperatureDifference
        of its temperature
    specific_heat : SpecificHeat
        of air at constant pressure

    Returns
    -------
    Power
        The heat flow, positive where the air grew warmer.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: dry air, nothing condensing.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(air_heat_flow("100 ft^3/min", "1.2 kg/m^3", "30 K"), "W", digits=5)
    '1,709.2 W'
    """
    return flow * density * specific_heat * rise


@_formula(
    source=AIR,
    result=r"\Delta T",
    valid={"flow": ("1e-9 m^3/s", None), "density": ("0.01 kg/m^3", None)},
    title="Temperature rise of the air",
)
def air_temperature_rise(
    heat: Power, flow: VolumeFlow, density: Density, specific_heat: SpecificHeat = "1006 J/(kg*K)"
) -> TemperatureDifference:
    """How much warmer air gets from a heat flow: the inverse of `air_heat_flow`.

    Formula: dT = q / (Q rho cp).

    Parameters
    ----------
    heat : Power
        given to the air
    flow : VolumeFlow
        of air
    density : Density
        of the air where the flow was measured
    specific_heat : SpecificHeat
        of air at constant pressure

    Returns
    -------
    TemperatureDifference
        The rise.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: dry air, nothing condensing.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(air_temperature_rise("1709.2 W", "100 ft^3/min", "1.2 kg/m^3"), "K", digits=4)
    '30.00 K'
    """
    return heat / (flow * density * specific_heat)


@_formula(source=sources.CFR_14.at("27.1043(c), 25.1043(d)"), result=r"T_c", title="Temperature on the hottest day")
def cooling_corrected_temperature(
    reading: Temperature, ambient: Temperature, hottest: Temperature, factor: Ratio = "1"
) -> Temperature:
    """What a temperature would have been on the hottest day: the difference of the days is added.

    Formula: Tc = T + k (Th - Ta).

    Parameters
    ----------
    reading : Temperature
        of the fluid or part, at its greatest
    ambient : Temperature
        of the air at that time
    hottest : Temperature
        of the air on the hottest day to be flown (`hottest_ambient`)
    factor : Ratio
        1 for fluids and parts, 0.7 for cylinder barrels

    Returns
    -------
    Temperature
        The corrected temperature, to be held to the limit.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: readings that have settled, within 2 °F in a minute (25.1045(a)). The factor 0.7 for barrels
    is that of part 25; the text of part 27 was cut off in the copy read.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(cooling_corrected_temperature("210 degF", "65 degF", "100 degF"), "degF", digits=4)
    '245.0 °F'
    """
    return reading + factor * (hottest - ambient)


@contract
def hottest_ambient(height: Length, sea_level: Temperature = "100 degF") -> Temperature:
    """The hottest day's air at a height, for which cooling has to be shown.

    Parameters
    ----------
    height : Length
        pressure altitude; below zero the day is hotter in the same measure.
    sea_level : Temperature
        at sea level: at least 100 °F; 38 °C in CS-27.

    Returns
    -------
    Temperature
        The air's temperature, never below -69.7 °F.

    Raises
    ------
    QuantityError
        An argument is not of its kind.

    Notes
    -----
    Source: 14 CFR 27.1043(b) (read): 3.6 °F less for each 1000 ft.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(hottest_ambient("5000 ft"), "degF", digits=3)
    '82.0 °F'
    """
    air = np.maximum(sea_level - HOT_LAPSE * height, float(COLDEST))
    return air if np.ndim(air) else float(air)
