r"""Tension of a control cable at another temperature.

Model
-----
A run of cable of length ``L`` is held between two points of the airframe. Heat everything by ``dtheta``: left to
itself the airframe grows by ``alpha_s L dtheta`` and the cable by ``alpha_c L dtheta``. The gap between the two is
closed by the cable stretching (``L / EA`` for each unit of tension) and by the airframe giving way under the added
tension (``1 / k_s``), so that

    dT = (alpha_s - alpha_c) L dtheta / (L / EA + 1 / k_s)

Sign: positive is more tension. An aluminium airframe grows more than a steel cable, so tension rises when both get
hotter and falls when both get colder, down to a slack cable. A composite airframe grows less than the cable: there
tension falls in the heat. A steel-tube airframe with a carbon-steel cable hardly changes.

Bounds: with ``k_s`` without limit the airframe is rigid and ``dT = (alpha_s - alpha_c) EA dtheta``, whatever the
length: the largest change there can be. A real airframe, its brackets, pulleys and bellcranks give way, so the change
lies between nothing and that. Only the kit maker's chart, or tensions measured at two temperatures, tell where.

The cable may be at another temperature than the airframe (sun on the boom, engine bay):
`tension_change_two_temperatures`. Two cables of one closed loop that both gain tension load the airframe together:
`rotorkit.rigging.cable.stiffness_felt_by_one_run`.

Not covered: friction at pulleys and fairleads (the tension differs along a run until the controls have been worked
through their range), the permanent stretch of a new cable, tension regulators and springs in the run.

Signs of the quantities: tension positive, pull only; lengths and stiffnesses positive; temperatures are absolute.
"""

from __future__ import annotations

from rotorkit import sources
from rotorkit.formula import nomenclature
from rotorkit.quantities import (
    Force,
    ForcePerTemperature,
    Length,
    Stiffness,
    Temperature,
    TemperatureDifference,
    ThermalExpansion,
)

_POSITIVE_LENGTH = ("1e-6 m", None)
_POSITIVE_FORCE = ("1e-6 N", None)
_POSITIVE_STIFFNESS = ("1e-6 N/m", None)
_PULL = ("0 lbf", None)
_SMALL_EXPANSION = ("-1e-4 /K", "1e-4 /K")

_SERIES = sources.ARITHMETIC.at("structure and cable as springs in series")


_formula = nomenclature(
    letters={
        "expansion": r"\alpha", "length": "L", "temperature_change": r"\Delta t", "structure_growth": "g_s",
        "line_growth": "g_c", "line_stiffness": "k_c", "structure_stiffness": "k_s", "structure_expansion": r"\alpha_s",
        "cable_expansion": r"\alpha_c", "axial_stiffness": "EA", "structure_temperature_change": r"\Delta t_s",
        "cable_temperature_change": r"\Delta t_c", "tension": "T_1", "slope": "c", "measured_at": "t_1",
        "wanted_at": "t_2",
    },
    valid={
        "expansion": _SMALL_EXPANSION, "line_stiffness": _POSITIVE_STIFFNESS,
        "structure_stiffness": _POSITIVE_STIFFNESS, "structure_expansion": _SMALL_EXPANSION,
        "cable_expansion": _SMALL_EXPANSION, "axial_stiffness": _POSITIVE_FORCE, "tension": _PULL,
    },
    shown={"length": ("in", "mm"), "structure_growth": ("in", "mm"), "line_growth": ("in", "mm")},
)  # fmt: skip


@_formula(source=sources.ARITHMETIC.at("definition of thermal expansion"), result="g", shown={"result": ("in", "mm")})
def thermal_growth(expansion: ThermalExpansion, length: Length, temperature_change: TemperatureDifference) -> Length:
    """Growth of a free member for a change of temperature; positive when it gets longer.

    Examples
    --------
    13.1e-6 per degF x 72 in x 50 degF = 0.04716 in.

    >>> from rotorkit.quantities import say
    >>> say(thermal_growth("13.1e-6 /degF", "72 in", "50 degF"), "in", digits=4)
    '0.04716 in'
    """
    return expansion * length * temperature_change


@_formula(source=_SERIES, result=r"\Delta T")
def tension_change_from_growth(
    structure_growth: Length, line_growth: Length, line_stiffness: Stiffness, structure_stiffness: Stiffness
) -> Force:
    """Change of tension in a line of any make-up, from the free growth of structure and line and their stiffnesses.

    The general form of the model: a line of cable and push-pull tubes has the sum of their growths and their stiffness
    in series.

    Parameters
    ----------
    structure_growth : Length
        [length] of the structure between the line's ends, if free; positive longer
    line_growth : Length
        [length] of the line, if free; positive longer
    line_stiffness : Stiffness
        [stiffness] of the line between its ends
    structure_stiffness : Stiffness
        [stiffness] of the structure between the line's ends

    Returns
    -------
    Force
        The change of tension, positive for more tension. A line that can push (bars, tubes) may show a negative force;
        a cable goes slack instead.

    Examples
    --------
    Nothing from the walls, 0.06666 in from the bars, 1/(60/30e6 + 72/20e6) = 178571 lbf/in, walls as good as
    rigid: -11904 lbf.

    >>> from rotorkit.quantities import say
    >>> say(tension_change_from_growth("0 in", "0.06666 in", "178571.43 lbf/in", "1e15 lbf/in"), "lbf", digits=5)
    '-11,904 lbf'
    """
    return (structure_growth - line_growth) / (1 / line_stiffness + 1 / structure_stiffness)


@_formula(source=_SERIES, result="c", valid={"length": _POSITIVE_LENGTH})
def tension_slope(
    structure_expansion: ThermalExpansion,
    cable_expansion: ThermalExpansion,
    length: Length,
    axial_stiffness: Force,
    structure_stiffness: Stiffness,
) -> ForcePerTemperature:
    """Change of cable tension per degree when cable and airframe both warm up.

    Parameters
    ----------
    structure_expansion : ThermalExpansion
        [thermal expansion] of the airframe along the run
    cable_expansion : ThermalExpansion
        [thermal expansion] of the cable
    length : Length
        [length] of the run between its ends on the airframe
    axial_stiffness : Force
        [force] EA of the cable
    structure_stiffness : Stiffness
        [stiffness] of the airframe between those ends, as this run meets it

    Returns
    -------
    ForcePerTemperature
        The slope, positive if tension rises with temperature.

    Raises
    ------
    QuantityError
        a unit is missing, or a value lies outside its range.

    Notes
    -----
    Range of validity: small strains; a cable that is not slack at either temperature; friction worked out of the run.

    Examples
    --------
    Aluminium 23.6e-6 per K, carbon steel 11.7e-6 per K, 200 in, 96450 lbf, airframe 1000 lbf/in:
    11.9e-6 x 200 / (200/96450 + 1/1000) = 0.774 lbf/K = 0.430 lbf per degF.

    >>> from rotorkit.quantities import say
    >>> slope = tension_slope("23.6e-6 /K", "11.7e-6 /K", "200 in", "96450 lbf", "1000 lbf/in")
    >>> say(slope, "lbf/degF", digits=3)
    '0.430 lbf/°F'
    """
    return (structure_expansion - cable_expansion) * length / (length / axial_stiffness + 1 / structure_stiffness)


@_formula(source=_SERIES, result="c", title="Tension slope, rigid structure")
def tension_slope_rigid_structure(
    structure_expansion: ThermalExpansion, cable_expansion: ThermalExpansion, axial_stiffness: Force
) -> ForcePerTemperature:
    """The largest change of cable tension per degree: that of a rigid airframe.

    Parameters
    ----------
    structure_expansion : ThermalExpansion
        [thermal expansion] of the airframe along the run
    cable_expansion : ThermalExpansion
        [thermal expansion] of the cable
    axial_stiffness : Force
        [force] EA of the cable

    Returns
    -------
    ForcePerTemperature
        The slope, positive if tension rises with temperature. A bound: the real one lies between nothing and this.

    Notes
    -----
    Range of validity: as `tension_slope`.

    Examples
    --------
    96450 lbf, aluminium 13.1e-6 and carbon steel 6.5e-6 per degF: 0.637 lbf per degF. With a 304 cable, 9.6e-6
    per degF, it is 0.338: the material of the cable matters as much as that of the airframe.

    >>> from rotorkit.quantities import say
    >>> say(tension_slope_rigid_structure("13.1e-6 /degF", "6.5e-6 /degF", "96450 lbf"), "lbf/degF", digits=3)
    '0.637 lbf/°F'
    """
    return (structure_expansion - cable_expansion) * axial_stiffness


@_formula(source=_SERIES, result=r"\Delta T", valid={"length": _POSITIVE_LENGTH})
def tension_change(
    structure_expansion: ThermalExpansion,
    cable_expansion: ThermalExpansion,
    temperature_change: TemperatureDifference,
    length: Length,
    axial_stiffness: Force,
    structure_stiffness: Stiffness,
) -> Force:
    """Change of cable tension when cable and airframe both warm up by `temperature_change`.

    Parameters
    ----------
    temperature_change : TemperatureDifference
        [temperature difference] positive warmer; the others as in `tension_slope`

    Returns
    -------
    Force
        The change of tension, positive for more tension.

    Notes
    -----
    Raises, range of validity: as `tension_slope`.

    Examples
    --------
    A steel bolt of 400 mm2 (200 GPa, 12e-6 per K) in an aluminium sleeve of 600 mm2 (73.1 GPa, 23e-6 per K), 65 K
    warmer: EA 80,000 kN; the sleeve 43,860 kN/m for each metre of length; 20.26 kN.

    >>> from rotorkit.quantities import say
    >>> change = tension_change("23e-6 /K", "12e-6 /K", "65 K", "1 m", "80000 kN", "43860 kN/m")
    >>> say(change, "kN", digits=4)
    '20.26 kN'
    """
    return temperature_change * tension_slope(
        structure_expansion, cable_expansion, length, axial_stiffness, structure_stiffness
    )


@_formula(source=_SERIES, result=r"\Delta T", title="Tension change, rigid structure")
def tension_change_rigid_structure(
    structure_expansion: ThermalExpansion,
    cable_expansion: ThermalExpansion,
    temperature_change: TemperatureDifference,
    axial_stiffness: Force,
) -> Force:
    """The largest change of cable tension for a change of temperature: that of a rigid airframe.

    Arguments, returns and range of validity as in `tension_change`, without the length, which drops out.

    Examples
    --------
    0.637 lbf per degF x 50 degF = 31.8 lbf.

    >>> from rotorkit.quantities import say
    >>> change = tension_change_rigid_structure("13.1e-6 /degF", "6.5e-6 /degF", "50 degF", "96450 lbf")
    >>> say(change, "lbf", digits=3)
    '31.8 lbf'
    """
    return temperature_change * tension_slope_rigid_structure(structure_expansion, cable_expansion, axial_stiffness)


@_formula(
    source=_SERIES,
    result=r"\Delta T",
    valid={"length": _POSITIVE_LENGTH},
    title="Tension change, structure and cable at two temperatures",
)
def tension_change_two_temperatures(
    structure_expansion: ThermalExpansion,
    structure_temperature_change: TemperatureDifference,
    cable_expansion: ThermalExpansion,
    cable_temperature_change: TemperatureDifference,
    length: Length,
    axial_stiffness: Force,
    structure_stiffness: Stiffness,
) -> Force:
    """Change of cable tension when the airframe and the cable warm up differently, as a boom in the sun does.

    Even where both are of the same material the tension then changes.

    Parameters
    ----------
    structure_temperature_change, cable_temperature_change : TemperatureDifference
        [temperature difference] positive warmer; the others as
        in `tension_slope`

    Returns
    -------
    Force
        The change of tension, positive for more tension.

    Notes
    -----
    Raises, range of validity: as `tension_slope`.

    Examples
    --------
    A steel-tube airframe 20 K warmer than a steel cable that stays as it was, both 11.7e-6 per K, 200 in, 96450
    lbf, 1000 lbf/in: 11.7e-6 x 20 x 200 / (200/96450 + 1/1000) = 15.2 lbf.

    >>> from rotorkit.quantities import say
    >>> change = tension_change_two_temperatures(
    ...     "11.7e-6 /K", "20 K", "11.7e-6 /K", "0 K", "200 in", "96450 lbf", "1000 lbf/in")
    >>> say(change, "lbf", digits=3)
    '15.2 lbf'
    """
    return (
        (structure_expansion * structure_temperature_change - cable_expansion * cable_temperature_change)
        * length
        / (length / axial_stiffness + 1 / structure_stiffness)
    )


@_formula(
    source=sources.ARITHMETIC.at("straight line through the measured tension"),
    result="T_2",
    title="Tension at another temperature",
)
def tension_at_temperature(
    tension: Force, slope: ForcePerTemperature, measured_at: Temperature, wanted_at: Temperature
) -> Force:
    """Tension that a cable measured at one temperature will have at another.

    Parameters
    ----------
    tension : Force
        [force] as measured, not negative
    slope : ForcePerTemperature
        [force per temperature] from the kit manual's chart, two measured tensions, or `tension_slope`
    measured_at : Temperature
        [temperature] of airframe and cable at the measurement, soaked through
    wanted_at : Temperature
        [temperature] to which the tension is carried over

    Returns
    -------
    Force
        The tension there. A negative result means that the cable is slack there, and by how much it would have to push
        to stay straight: see `slack_temperature`.

    Raises
    ------
    QuantityError
        a unit is missing, a temperature difference is given, or a value lies outside its range.

    Examples
    --------
    35 lbf at 50 degF, 0.43 lbf per degF, wanted at 75 degF: 35 + 0.43 x 25 = 45.75 lbf.

    >>> from rotorkit.quantities import say
    >>> say(tension_at_temperature("35 lbf", "0.43 lbf/degF", "50 degF", "75 degF"), "lbf", digits=4)
    '45.75 lbf'
    """
    return tension + slope * (wanted_at - measured_at)


@_formula(source=sources.ARITHMETIC.at("straight line through the measured tension"), result="t_0")
def slack_temperature(tension: Force, slope: ForcePerTemperature, measured_at: Temperature) -> Temperature:
    """Temperature at which a cable goes slack: colder than the measurement if the slope is positive, else hotter.

    Parameters
    ----------
    tension : Force
        [force] as measured, not negative
    slope : ForcePerTemperature
        [force per temperature] not zero
    measured_at : Temperature
        [temperature] of the measurement

    Returns
    -------
    Temperature
        The temperature. Without a chart or a measured slope use `tension_slope_rigid_structure`: it gives the
        temperature nearest to the measurement at which the cable could go slack.

    Examples
    --------
    35 lbf at 50 degF, 0.637 lbf per degF: 50 - 54.95 = -4.95 degF.

    >>> from rotorkit.quantities import say
    >>> say(slack_temperature("35 lbf", "0.637 lbf/degF", "50 degF"), "degF", digits=3)
    '-4.95 °F'
    """
    return measured_at - tension / slope
