"""Speeds through a drive: pulleys, gears, turns counted by hand, slip, and the limits that follow from rotor tests.

Speeds are sizes here, not directed: which way a shaft turns is said by the train (`rotorkit.drive.train`).
"""

from __future__ import annotations

from rotorkit import sources
from rotorkit.formula import nomenclature, pi
from rotorkit.formula.contract import contract
from rotorkit.quantities import Angle, Frequency, Length, Ratio, RotationRate

_DIAMETER = ("1 mm", "10 m")
_RPM = ("0 rpm", "100000 rpm")
_INCHES = ("in", "mm")
_TEETH = ("4", "1000")

_formula = nomenclature(
    letters={
        "driver_speed": "n_1", "driver_diameter": "d_1", "driven_diameter": "d_2", "belt_thickness": "t", "slip": "s",
        "driver_teeth": "z_1", "driven_teeth": "z_2", "turns": r"\varphi_1", "turns_of_other": r"\varphi_2",
        "ratio_running": "i", "ratio_without_slip": "i_0", "passages": "f", "marks": "N", "rotation_rate": "n",
        "blades": "N", "indicated": "n_i", "reference": "n", "rotor_speed": "n_R", "engine_speed": "n_E",
        "engine_per_rotor": "i", "speed": "n", "other_speed": "n_1",
    },
    valid={
        "driver_speed": _RPM, "driver_diameter": _DIAMETER, "driven_diameter": _DIAMETER,
        "belt_thickness": ("0 mm", "100 mm"), "slip": ("0", "0.5"), "driver_teeth": _TEETH, "driven_teeth": _TEETH,
        "turns": ("0.01 turn", "10000 turns"), "turns_of_other": ("0.01 turn", "10000 turns"),
        "ratio_running": ("0.001", "1000"), "ratio_without_slip": ("0.001", "1000"), "passages": ("0 Hz", "100 kHz"),
        "marks": ("1", "1000"), "rotation_rate": _RPM, "blades": ("1", "100"), "indicated": _RPM, "reference": _RPM,
        "rotor_speed": _RPM, "engine_speed": _RPM, "engine_per_rotor": ("0.01", "100"), "speed": _RPM,
        "other_speed": ("0.1 rpm", "100000 rpm"),
    },
    shown={
        "driver_diameter": _INCHES, "driven_diameter": _INCHES, "belt_thickness": _INCHES, "turns": ("turn", "turn"),
        "turns_of_other": ("turn", "turn"),
    },
)  # fmt: skip


@_formula(source=sources.KHURMI_GUPTA.at("velocity ratio of a belt drive with thickness and slip"), result="n_2")
def pulley_driven_speed(
    driver_speed: RotationRate,
    driver_diameter: Length,
    driven_diameter: Length,
    belt_thickness: Length = "0 mm",
    slip: Ratio = "0",
) -> RotationRate:
    """Speed of the pulley that a belt drives.

    Formula: n2 = n1 (1 - s) (d1 + t) / (d2 + t).

    Parameters
    ----------
    driver_speed : RotationRate
        of the driving pulley, from 0 to 100,000 rpm.
    driver_diameter, driven_diameter : Length
        on which the belt lies; of a V-belt the pitch diameters, and then no thickness.
    belt_thickness : Length
        of a flat belt, whose middle runs at half its thickness outside the pulley. 0 where diameters are pitch
        diameters (toothed belts and V-belts).
    slip : Ratio
        whole slip of the drive, 0 to 0.5: what the driven pulley lacks of the speed that it ought to have.

    Returns
    -------
    RotationRate
        The speed of the driven pulley.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of its range.

    Examples
    --------
    2,700 rpm on 9.0 and 13.5 in, slipping 1 %: 2700 x 9 / 13.5 x 0.99 = 1,782 rpm.

    >>> from rotorkit.quantities import say
    >>> say(pulley_driven_speed("2700 rpm", "9 in", "13.5 in", slip="1 %"), "rpm", digits=5)
    '1,782.0 rpm'
    """
    return driver_speed * (1 - slip) * (driver_diameter + belt_thickness) / (driven_diameter + belt_thickness)


@_formula(source=sources.ARITHMETIC.at("teeth pass the mesh equally fast"), result="n_2")
def gear_driven_speed(driver_speed: RotationRate, driver_teeth: Ratio, driven_teeth: Ratio) -> RotationRate:
    """Speed of the gear that another drives. Formula: n2 = n1 z1 / z2. Chains and toothed belts likewise.

    Parameters
    ----------
    driver_speed : RotationRate
        of the driving gear.
    driver_teeth, driven_teeth : Ratio
        numbers of teeth, 4 to 1000.

    Returns
    -------
    RotationRate
        The speed of the driven gear.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(gear_driven_speed("1785 rpm", 11, 43), "rpm", digits=5)
    '456.63 rpm'
    """
    return driver_speed * driver_teeth / driven_teeth


@_formula(
    source=sources.ARITHMETIC.at("turns of both ends counted over the same time"),
    result="i",
    title="Speed ratio by turns counted",
)
def ratio_by_turns(turns: Angle, turns_of_other: Angle) -> Ratio:
    """Speed of one shaft over that of another, by turns counted by hand.

    Formula: i = turns / turns of the other. Count from either end: whole turns of the one, whole and part turns of
    the other. The more turns, the less the error of the last part counts.

    Parameters
    ----------
    turns : Angle
        of the shaft whose speed is wanted, as "36 turns" or "12 turns", a part as "0.25 turn" or "90 deg".
    turns_of_other : Angle
        of the other shaft over the same while.

    Returns
    -------
    Ratio
        speed of the first over speed of the other.

    Notes
    -----
    Nothing may slip while it is turned; with a belt this is the ratio without load.

    Examples
    --------
    Ten turns of the rotor take 58 turns and a quarter of the engine: 5.825.

    >>> from rotorkit.quantities import say
    >>> say(ratio_by_turns("58.25 turns", "10 turns"), digits=4)
    '5.825'
    """
    return turns / turns_of_other


@_formula(source=sources.DEFINITION.at("slip of a belt drive"), result="s")
def belt_slip(ratio_running: Ratio, ratio_without_slip: Ratio) -> Ratio:
    """Slip of a drive: the part of its speed that the driven side has lost. Formula: s = 1 - i / i0.

    Parameters
    ----------
    ratio_running : Ratio
        driven speed over driving speed, measured under power.
    ratio_without_slip : Ratio
        the same by turns counted by hand, or by pitch diameters.

    Returns
    -------
    Ratio
        The slip; a negative one says that a reading is wrong, or that the pitch diameters are.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(belt_slip(0.66, 0.6667), digits=3)
    '0.0100'
    """
    return 1 - ratio_running / ratio_without_slip


@_formula(source=sources.ARITHMETIC.at("marks passing a fixed sensor"), result="n")
def rotation_rate_from_passages(passages: Frequency, marks: Ratio) -> RotationRate:
    """Rotation rate from what an optical sensor counts. Formula: n = 2 pi f / N.

    Parameters
    ----------
    passages : Frequency
        marks (or blades) that pass per second.
    marks : Ratio
        marks per turn.

    Returns
    -------
    RotationRate
        The rotation rate.

    Examples
    --------
    15.2 blades of a two-blade rotor a second: 456 rpm.

    >>> from rotorkit.quantities import say
    >>> say(rotation_rate_from_passages("15.2 Hz", 2), "rpm", digits=4)
    '456.0 rpm'
    """
    return 2 * pi * passages / marks


@_formula(source=sources.ARITHMETIC.at("blades passing a fixed place"), result="f")
def blade_passage_frequency(rotation_rate: RotationRate, blades: Ratio) -> Frequency:
    """How often blades pass a fixed place. Formula: f = N n / (2 pi).

    Parameters
    ----------
    rotation_rate : RotationRate
        of the rotor.
    blades : Ratio
        their number.

    Returns
    -------
    Frequency
        The passages per second.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(blade_passage_frequency("456 rpm", 2), "Hz", digits=4)
    '15.20 Hz'
    """
    return blades * rotation_rate / (2 * pi)


@_formula(source=sources.DEFINITION.at("error of an instrument"), result="e")
def tachometer_error(indicated: RotationRate, reference: RotationRate) -> RotationRate:
    """Error of a tachometer: what it shows less what is true.

    Parameters
    ----------
    indicated : RotationRate
        read on it.
    reference : RotationRate
        true, by an optical reading with an instrument of known error.

    Returns
    -------
    RotationRate
        The error; positive: it shows too much, the rotor turns slower than it says.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(tachometer_error("2750 rpm", "2728 rpm"), "rpm", digits=3)
    '22.0 rpm'
    """
    return indicated - reference


@_formula(source=sources.ARITHMETIC.at("both needles at the rotor's scale"), result=r"\Delta n")
def needle_split(rotor_speed: RotationRate, engine_speed: RotationRate, engine_per_rotor: Ratio) -> RotationRate:
    """How far the rotor's needle stands above the engine's, at the rotor's scale. Formula: nR - nE / i.

    Parameters
    ----------
    rotor_speed, engine_speed : RotationRate
        of both, at the same moment.
    engine_per_rotor : Ratio
        engine turns for one turn of the rotor.

    Returns
    -------
    RotationRate
        The split: positive where the rotor overruns the engine (the one-way clutch is free), negative where something
        slips (or a tachometer errs).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(needle_split("460 rpm", "2000 rpm", 5.92), "rpm", digits=4)
    '122.2 rpm'
    """
    return rotor_speed - engine_speed / engine_per_rotor


@_formula(source=sources.DEFINITION.at("speed ratio"), result="i")
def speed_ratio(speed: RotationRate, other_speed: RotationRate) -> Ratio:
    """Speed of one shaft over that of another. Formula: i = n / n1.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(speed_ratio("2640 rpm", "455 rpm"), digits=4)
    '5.802'
    """
    return speed / other_speed


@contract
def highest_power_off_rotor_speed(design_maximum: RotationRate, shown_maximum: RotationRate) -> RotationRate:
    """The highest rotor speed that may be placarded power off: 14 CFR 27.1509(a).

    95 % of the lesser of the greatest design speed (27.309(b)) and the greatest speed shown in the type tests.

    Parameters
    ----------
    design_maximum : RotationRate
        greatest rotor speed of the design.
    shown_maximum : RotationRate
        greatest rotor speed shown in tests.

    Returns
    -------
    RotationRate
        The highest speed to placard.

    Notes
    -----
    Known: read, in stored copies; editions differ and the current text governs. An amateur-built helicopter need not
    meet it: here it checks that the manual's limits leave something.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(highest_power_off_rotor_speed("540 rpm", "530 rpm"), "rpm", digits=4)
    '503.5 rpm'
    """
    from numpy import minimum

    return 0.95 * minimum(design_maximum, shown_maximum)


@contract
def lowest_power_off_rotor_speed(shown_minimum: RotationRate, substantiated_minimum: RotationRate) -> RotationRate:
    """The lowest rotor speed that may be placarded power off: 14 CFR 27.1509(b).

    105 % of the greater of the least speed shown in tests and the least by design substantiation.

    Parameters
    ----------
    shown_minimum : RotationRate
        least rotor speed shown in tests.
    substantiated_minimum : RotationRate
        least rotor speed by design substantiation.

    Returns
    -------
    RotationRate
        The lowest speed to placard.

    Notes
    -----
    Known: read, in stored copies; editions differ and the current text governs.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(lowest_power_off_rotor_speed("380 rpm", "370 rpm"), "rpm", digits=4)
    '399.0 rpm'
    """
    from numpy import maximum

    return 1.05 * maximum(shown_minimum, substantiated_minimum)


@contract
def least_power_on_rotor_speed(shown_minimum: RotationRate, substantiated_minimum: RotationRate) -> RotationRate:
    """The least rotor speed that may be placarded power on: 14 CFR 27.1509(c), the greater of the two minima.

    Parameters
    ----------
    shown_minimum : RotationRate
        least rotor speed shown in tests.
    substantiated_minimum : RotationRate
        least rotor speed by design substantiation.

    Returns
    -------
    RotationRate
        The least speed, without any factor.

    Notes
    -----
    Known: read, in stored copies; editions differ and the current text governs.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(least_power_on_rotor_speed("430 rpm", "420 rpm"), "rpm", digits=4)
    '430.0 rpm'
    """
    from numpy import maximum

    return maximum(shown_minimum, substantiated_minimum)
