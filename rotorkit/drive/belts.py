"""Belts under power: friction round the pulley, tensions of both runs, power, centrifugal tension, and how to set them.

Tensions are pulls, positive. A V-belt wedges into its groove, so that its friction counts 1 / sin(half the groove's
angle) times; a flat belt has a "groove" of 180 degrees. Angles of grooves are whole ones, from side to side.
"""

from __future__ import annotations

import numpy as np

from rotorkit import sources
from rotorkit.formula import cos, exp, nomenclature, sin, sqrt
from rotorkit.formula.contract import contract
from rotorkit.quantities import (
    Angle,
    Area,
    Density,
    Force,
    Frequency,
    Length,
    LinearDensity,
    Power,
    QuantityError,
    Ratio,
    RotationRate,
    Speed,
    Stress,
)

_FLAT = "180 deg"
_BELT = sources.MACHINE_DESIGN


_formula = nomenclature(
    letters={
        "friction_coefficient": r"\mu", "wrap": r"\theta", "groove_angle": r"2\beta", "rotation_rate": r"\omega",
        "diameter": "d", "area": "A", "density": r"\rho", "stress": r"\sigma", "linear_density": "m", "speed": "v",
        "tight_side": "T_1", "initial_tension": "T_0", "power": "P", "greatest_tension": "T_{max}", "slack_side": "T_2",
        "belts": "n", "tension": "T", "span": "L", "frequency": "f", "force": "F", "deflection": "q",
    },
    valid={
        "friction_coefficient": ("0", "3"), "wrap": ("0 deg", "7200 deg"), "groove_angle": ("10 deg", "180 deg"),
        "rotation_rate": ("0 rpm", "100000 rpm"), "diameter": ("1 mm", "20 m"), "density": ("1 kg/m^3", "20000 kg/m^3"),
        "stress": ("0 Pa", None), "linear_density": ("0 kg/m", "50 kg/m"), "speed": ("0 m/s", "150 m/s"),
        "tight_side": ("0 N", None), "initial_tension": ("0 N", None), "greatest_tension": ("0 N", None),
        "slack_side": ("0 N", None), "belts": ("1", "100"), "tension": ("0 N", None), "span": ("1 mm", "100 m"),
        "frequency": ("0 Hz", "10 kHz"), "force": ("0 N", None), "deflection": ("0.01 mm", "1 m"),
    },
    shown={"diameter": ("in", "mm"), "area": ("in^2", "mm^2"), "span": ("in", "mm"), "deflection": ("in", "mm")},
)  # fmt: skip


@_formula(source=sources.CAPSTAN.at("with the wedging of a V-belt"), result="k")
def belt_tension_ratio(friction_coefficient: Ratio, wrap: Angle, groove_angle: Angle = _FLAT) -> Ratio:
    """Greatest ratio of tight to slack side before a belt slips, each less its centrifugal tension.

    Formula: k = exp(mu theta / sin beta), beta half the groove's angle.

    Parameters
    ----------
    friction_coefficient : Ratio
        between belt and pulley.
    wrap : Angle
        on the pulley that slips first, commonly the small one; several turns of a rope too, as "2.5 turns".
    groove_angle : Angle
        whole angle of a V-belt's or rope's groove; 180 deg for a flat belt.

    Returns
    -------
    Ratio
        The ratio.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(belt_tension_ratio(0.25, "160 deg"), digits=4)
    '2.010'
    """
    return exp(friction_coefficient * wrap / sin(groove_angle / 2))


@_formula(source=sources.DEFINITION.at("speed of a rim"), result="v")
def belt_speed(rotation_rate: RotationRate, diameter: Length) -> Speed:
    """Speed of a belt on a pulley of pitch `diameter`. Formula: v = omega d / 2.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(belt_speed("2700 rpm", "9 in"), "ft/min", digits=4)
    '6,362 ft/min'
    """
    return rotation_rate * diameter / 2


@_formula(source=sources.DEFINITION.at("mass per length"), result="m")
def belt_linear_density(area: Area, density: Density) -> LinearDensity:
    """Mass per length of a belt from its section and its density.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(belt_linear_density("600 mm^2", "1000 kg/m^3"), "kg/m", digits=3)
    '0.600 kg/m'
    """
    return area * density


@_formula(source=sources.DEFINITION.at("stress times section"), result="T_{max}")
def belt_allowed_tension(area: Area, stress: Stress) -> Force:
    """Greatest tension of a belt from its section and its allowed stress, centrifugal tension included.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(belt_allowed_tension("600 mm^2", "2 MPa"), "N", digits=4)
    '1,200 N'
    """
    return area * stress


@_formula(source=_BELT.at("T_c = m v^2"), result="T_c")
def centrifugal_tension(linear_density: LinearDensity, speed: Speed) -> Force:
    """Tension that a belt's own mass makes in it all round as it runs, which presses it on nothing.

    Examples
    --------
    0.35 kg/m at 13.09 m/s: 59.97 N.

    >>> from rotorkit.quantities import say
    >>> say(centrifugal_tension("0.35 kg/m", "13.08997 m/s"), "N", digits=4)
    '59.97 N'
    """
    return linear_density * speed**2


@_formula(source=_BELT.at("T_2 = T_c + (T_1 - T_c) / k"), result="T_2")
def slack_side_tension(
    tight_side: Force,
    friction_coefficient: Ratio,
    wrap: Angle,
    linear_density: LinearDensity = "0 kg/m",
    speed: Speed = "0 m/s",
    groove_angle: Angle = _FLAT,
) -> Force:
    """Tension of the slack side of a belt that just does not slip.

    Parameters
    ----------
    tight_side : Force
        tension of the pulling run, centrifugal tension included.
    friction_coefficient, wrap, groove_angle : Ratio, Angle, Angle
        as in `belt_tension_ratio`.
    linear_density, speed : LinearDensity, Speed
        of the belt; leave both out where the centrifugal tension does not count.

    Returns
    -------
    Force
        The least slack-side tension.

    Examples
    --------
    Khurmi & Gupta, example 11.5 (quoted): 9,000 N, 2.5 turns, 0.25: 177.3 N.

    >>> from rotorkit.quantities import say
    >>> say(slack_side_tension("9000 N", 0.25, "2.5 turns"), "N", digits=5)
    '177.33 N'
    """
    return centrifugal_tension(linear_density, speed) + (
        tight_side - centrifugal_tension(linear_density, speed)
    ) / belt_tension_ratio(friction_coefficient, wrap, groove_angle)


@_formula(source=_BELT.at("P = (T_1 - T_c)(1 - 1/k) v"), result="P")
def belt_power(
    tight_side: Force,
    speed: Speed,
    friction_coefficient: Ratio,
    wrap: Angle,
    groove_angle: Angle = _FLAT,
    linear_density: LinearDensity = "0 kg/m",
) -> Power:
    """Greatest power of one belt before it slips, by the tension of its pulling run.

    Parameters
    ----------
    tight_side : Force
        tension of the pulling run, centrifugal tension included; the belt's greatest allowed one for its rating.
    speed : Speed
        of the belt.
    friction_coefficient, wrap, groove_angle : Ratio, Angle, Angle
        as in `belt_tension_ratio`.
    linear_density : LinearDensity
        mass per length of the belt; 0 leaves the centrifugal tension out.

    Returns
    -------
    Power
        The power. Negative where the belt runs so fast that the centrifugal tension takes all.

    Examples
    --------
    Khurmi & Gupta, example 11.4 (quoted): 2,500 N at 6.283 m/s, 0.25, 160 degrees: 7.89 kW.

    >>> from rotorkit.quantities import say
    >>> say(belt_power("2500 N", "6.283185 m/s", 0.25, "160 deg"), "kW", digits=3)
    '7.89 kW'
    """
    return (
        (tight_side - centrifugal_tension(linear_density, speed))
        * (1 - 1 / belt_tension_ratio(friction_coefficient, wrap, groove_angle))
        * speed
    )


@_formula(source=_BELT.at("P = 2 (T_0 - T_c)(k - 1)/(k + 1) v"), result="P")
def belt_power_from_initial_tension(
    initial_tension: Force,
    speed: Speed,
    friction_coefficient: Ratio,
    wrap: Angle,
    groove_angle: Angle = _FLAT,
    linear_density: LinearDensity = "0 kg/m",
) -> Power:
    """Greatest power of one belt before it slips, by the tension to which it is set standing still.

    Parameters
    ----------
    initial_tension : Force
        of each run, standing. The axes are fixed, and the sum of both runs' tensions stays as it was.
    speed, friction_coefficient, wrap, groove_angle, linear_density : Speed, Ratio, Angle, Angle, LinearDensity
        as in `belt_power`.

    Returns
    -------
    Power
        The power.

    Examples
    --------
    Bevan, chapter 7 example 1 (quoted): 500 lbf, 3,600 ft/min, 0.3, 165 degrees: 44.4 hp.

    >>> from rotorkit.quantities import say
    >>> say(belt_power_from_initial_tension("500 lbf", "3600 ft/min", 0.3, "165 deg"), "hp", digits=3)
    '44.4 hp'
    """
    return (
        2
        * (initial_tension - centrifugal_tension(linear_density, speed))
        * (belt_tension_ratio(friction_coefficient, wrap, groove_angle) - 1)
        / (belt_tension_ratio(friction_coefficient, wrap, groove_angle) + 1)
        * speed
    )


@_formula(
    source=_BELT.at("T_0 = T_c + P (k + 1) / (2 v (k - 1))"),
    result="T_0",
    valid={"speed": ("0.01 m/s", "150 m/s"), "power": ("0 W", None)},
)
def initial_tension_for_power(
    power: Power,
    speed: Speed,
    friction_coefficient: Ratio,
    wrap: Angle,
    groove_angle: Angle = _FLAT,
    linear_density: LinearDensity = "0 kg/m",
) -> Force:
    """Least tension to set a standing belt to, so that it carries `power` without slipping.

    Parameters
    ----------
    power : Power
        of ONE belt of the set.
    speed, friction_coefficient, wrap, groove_angle, linear_density : Speed, Ratio, Angle, Angle, LinearDensity
        as in `belt_power`.

    Returns
    -------
    Force
        The tension of each run, standing.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(initial_tension_for_power("44.4 hp", "3600 ft/min", 0.3, "165 deg"), "lbf", digits=3)
    '500 lbf'
    """
    return centrifugal_tension(linear_density, speed) + power * (
        belt_tension_ratio(friction_coefficient, wrap, groove_angle) + 1
    ) / (2 * speed * (belt_tension_ratio(friction_coefficient, wrap, groove_angle) - 1))


@_formula(source=sources.DEFINITION.at("power of a belt"), result=r"\Delta T", valid={"speed": ("0.01 m/s", "150 m/s")})
def tension_difference_for_power(power: Power, speed: Speed) -> Force:
    """Difference of both runs' tensions by which a belt carries `power`. Formula: T1 - T2 = P / v.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(tension_difference_for_power("22 kW", "13.08997 m/s"), "N", digits=5)
    '1,680.7 N'
    """
    return power / speed


@_formula(
    source=_BELT.at("T_1 = T_c + P k / (v (k - 1))"),
    result="T_1",
    valid={"speed": ("0.01 m/s", "150 m/s"), "power": ("0 W", None)},
)
def tight_side_tension_for_power(
    power: Power,
    speed: Speed,
    friction_coefficient: Ratio,
    wrap: Angle,
    groove_angle: Angle = _FLAT,
    linear_density: LinearDensity = "0 kg/m",
) -> Force:
    """Tension of the pulling run of a belt that carries `power` and just does not slip, centrifugal one included.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(tight_side_tension_for_power("7.893 kW", "6.283185 m/s", 0.25, "160 deg"), "N", digits=4)
    '2,500 N'
    """
    return centrifugal_tension(linear_density, speed) + power / speed / (
        1 - 1 / belt_tension_ratio(friction_coefficient, wrap, groove_angle)
    )


@_formula(source=_BELT.at("T_max = 3 m v^2"), result="v", valid={"linear_density": ("0.0001 kg/m", "50 kg/m")})
def belt_speed_for_greatest_power(greatest_tension: Force, linear_density: LinearDensity) -> Speed:
    """Belt speed at which a belt of a given tension carries the most power: beyond it centrifugal tension takes over.

    Parameters
    ----------
    greatest_tension : Force
        allowed tension of the pulling run; or the tension to which the standing belt is set, where that is what is
        given: the speed follows from it in the same way.
    linear_density : LinearDensity
        mass per length.

    Returns
    -------
    Speed
        The belt speed.

    Examples
    --------
    Khurmi & Gupta, example 11.10 (quoted): 1,200 N and 0.6 kg/m: 25.82 m/s.

    >>> from rotorkit.quantities import say
    >>> say(belt_speed_for_greatest_power("1200 N", "0.6 kg/m"), "m/s", digits=4)
    '25.82 m/s'
    """
    return sqrt(greatest_tension / (3 * linear_density))


@_formula(source=_BELT.at("T_0 = (T_1 + T_2) / 2"), result="T_0")
def initial_tension(tight_side: Force, slack_side: Force) -> Force:
    """Tension of each run of a standing belt, from those under power with the axes fixed: their mean.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(initial_tension("520 N", "100 N"), "N", digits=3)
    '310 N'
    """
    return (tight_side + slack_side) / 2


@_formula(source=sources.ARITHMETIC.at("two pulls at the angle of the runs"), result="F")
def belt_shaft_load(tight_side: Force, slack_side: Force, wrap: Angle) -> Force:
    """Pull of a belt on a pulley's shaft. Formula: sqrt(T1^2 + T2^2 - 2 T1 T2 cos theta).

    Parameters
    ----------
    tight_side, slack_side : Force
        tensions of both runs, without the centrifugal ones, which do not press on the pulley.
    wrap : Angle
        on that pulley; with 180 degrees the load is the sum.

    Returns
    -------
    Force
        The load on the shaft's bearings together.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(belt_shaft_load("500 N", "100 N", "180 deg"), "N", digits=3)
    '600 N'
    """
    return sqrt(tight_side**2 + slack_side**2 - 2 * tight_side * slack_side * cos(wrap))


@_formula(
    source=sources.DEFINITION.at("margin against slip"),
    result="M",
    valid={"speed": ("0.01 m/s", "150 m/s"), "power": ("1 W", None)},
)
def belt_slip_margin(
    initial_tension: Force,
    power: Power,
    speed: Speed,
    friction_coefficient: Ratio,
    wrap: Angle,
    groove_angle: Angle = _FLAT,
    linear_density: LinearDensity = "0 kg/m",
) -> Ratio:
    """Power that a belt carries before it slips, over the power that it has to, less one.

    Parameters
    ----------
    initial_tension : Force
        of each run, standing.
    power : Power
        of ONE belt.
    speed, friction_coefficient, wrap, groove_angle, linear_density : Speed, Ratio, Angle, Angle, LinearDensity
        as in `belt_power`.

    Returns
    -------
    Ratio
        The margin: 0 is just enough; negative: it slips.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(belt_slip_margin("500 lbf", "37 hp", "3600 ft/min", 0.3, "165 deg"), digits=2)
    '0.20'
    """
    return (
        2
        * (initial_tension - centrifugal_tension(linear_density, speed))
        * (belt_tension_ratio(friction_coefficient, wrap, groove_angle) - 1)
        / (belt_tension_ratio(friction_coefficient, wrap, groove_angle) + 1)
        * speed
        / power
        - 1
    )


@_formula(source=sources.ARITHMETIC.at("belts alike, each its share"), result="P_1")
def power_of_one_belt(power: Power, belts: Ratio) -> Power:
    """Share of a power that one of several like belts carries; where their tensions differ, the slack ones carry less.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(power_of_one_belt("138 hp", 4), "hp", digits=3)
    '34.5 hp'
    """
    return power / belts


@contract
def number_of_belts(power: Power, power_per_belt: Power) -> Ratio:
    """Whole number of belts (or ropes) that carry `power`.

    Parameters
    ----------
    power : Power
        of the drive, with its service factor.
    power_per_belt : Power
        that one carries, above zero.

    Returns
    -------
    Ratio
        The number, rounded up.

    Raises
    ------
    QuantityError
        power_per_belt is not above zero: belts that run too fast for their tension carry nothing.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(number_of_belts("600 kW", "30.63 kW"), digits=2)
    '20'
    """
    if np.any(np.asarray(power_per_belt) <= 0):
        raise QuantityError("number_of_belts: power_per_belt must be above zero: such a belt carries nothing")
    return np.ceil(power / power_per_belt - 1e-9)


@_formula(source=sources.VIBRATION.at("taut string"), result="f", valid={"linear_density": ("0.0001 kg/m", "50 kg/m")})
def span_frequency(tension: Force, linear_density: LinearDensity, span: Length) -> Frequency:
    """Frequency at which a plucked run of belt rings. Formula: f = sqrt(T / m) / (2 L).

    Parameters
    ----------
    tension : Force
        of that run; of a whole banded set, with the mass of the whole set.
    linear_density : LinearDensity
        mass per length.
    span : Length
        free length between the pulleys (`belt_span`).

    Returns
    -------
    Frequency
        The first frequency of the run.

    Notes
    -----
    A flexible belt. A stiff belt on a short span rings higher, and is slacker than this says.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(span_frequency("615.454 N", "0.11 kg/m", "0.17 m"), "Hz", digits=4)
    '220.0 Hz'
    """
    return sqrt(tension / linear_density) / (2 * span)


@_formula(source=sources.VIBRATION.at("taut string, T = 4 m L^2 f^2"), result="T")
def tension_from_span_frequency(frequency: Frequency, linear_density: LinearDensity, span: Length) -> Force:
    """Tension of a belt run from the frequency at which it rings when plucked. Formula: T = 4 m L^2 f^2.

    Parameters
    ----------
    frequency : Frequency
        heard or measured, of the first mode.
    linear_density : LinearDensity
        mass per length of the belt.
    span : Length
        free length between the pulleys.

    Returns
    -------
    Force
        The tension of that run.

    Examples
    --------
    0.17 m, 0.11 kg/m, 220 Hz: 615.5 N (a maintenance page prints 610 N, one per cent less).

    >>> from rotorkit.quantities import say
    >>> say(tension_from_span_frequency("220 Hz", "0.11 kg/m", "0.17 m"), "N", digits=4)
    '615.5 N'
    """
    return 4 * linear_density * span**2 * frequency**2


@_formula(source=sources.BELT_MAKERS.at("1/64 in for each inch of span"), result="q", shown={"result": ("in", "mm")})
def deflection_rule(span: Length) -> Length:
    """How far to press a V-belt in the middle of its span to set its tension by a force gauge: span / 64.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(deflection_rule("32 in"), "in", digits=2)
    '0.50 in'
    """
    return span / 64


@_formula(source=sources.ARITHMETIC.at("balance of a string pressed in its middle, small angle"), result="T")
def tension_from_deflection(force: Force, deflection: Length, span: Length) -> Force:
    """Tension of a belt run from the force that presses its middle aside. Formula: T = F L / (4 q).

    Parameters
    ----------
    force : Force
        square to the run, in its middle.
    deflection : Length
        of the middle; a sixty-fourth of the span is usual.
    span : Length
        free length.

    Returns
    -------
    Force
        The tension, a little high: the belt's own bending resists too, and pressing stretches it.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(tension_from_deflection("6 lbf", "0.5 in", "32 in"), "lbf", digits=3)
    '96.0 lbf'
    """
    return force * span / (4 * deflection)


@_formula(source=sources.ARITHMETIC.at("balance of a string pressed in its middle, small angle"), result="F")
def deflection_force(tension: Force, deflection: Length, span: Length) -> Force:
    """Force that presses the middle of a belt run aside by `deflection`. Formula: F = 4 T q / L.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(deflection_force("96 lbf", "0.5 in", "32 in"), "lbf", digits=3)
    '6.00 lbf'
    """
    return 4 * tension * deflection / span
