"""Moments and centre of gravity: a mass at its arm, what a change does, what ballast is needed.

One convention in every function here. An arm is measured from the datum of the manual, positive aft; a lateral arm from
the plane of symmetry, positive to the right of one who faces forward. The functions are alike for both, so an arm may
stand for either. A mass that comes off is negative where a change is asked for.
"""

from __future__ import annotations

from rotorkit import sources
from rotorkit.formula import nomenclature
from rotorkit.formula.functions import atan, tan
from rotorkit.quantities import Angle, Constant, Length, Mass, MassDifference, MassMoment, Power

FORWARD_CHECK_FUEL = Constant(
    0.5 * 0.45359237 / 745.6998715822702, "kg/W", "f", sources.AC_43_13_1B.at("chapter 10, minimum fuel: 1/12 gal/hp")
)
"""One twelfth of a gallon for each horsepower of maximum-except-take-off power, at 6 lb/gal: half a pound."""
STATICS = sources.ARITHMETIC.at("a mass acts at its centre (statics)")

_formula = nomenclature(
    letters={
        "mass": "m", "arm": "x", "moment": "M", "reading": "W", "tare": "t", "apparent": "x_a", "height": "h",
        "tilt": r"\theta", "second_apparent": "x_2", "second_tilt": r"\theta_2", "change": r"\Delta m",
        "change_arm": "a", "shifted": "w", "from_arm": "a_1", "to_arm": "a_2", "wanted": "x_w", "ballast_arm": "x_b",
        "offset": "e", "power": "P",
    },
    valid={"power": ("0 hp", None)},
)  # fmt: skip


@_formula(source=STATICS, result="M", title="Moment")
def mass_moment(mass: MassDifference, arm: Length) -> MassMoment:
    """Moment of a mass about the datum: mass times arm.

    Formula: M = m x.

    Parameters
    ----------
    mass : MassDifference
        negative where it comes off.
    arm : Length
        from the datum, aft positive; or from the plane of symmetry, right positive.

    Returns
    -------
    MassMoment
        The moment (mass times length), with the sign of the arm for a mass that is aboard.

    Raises
    ------
    QuantityError
        an argument is not of its kind.

    Notes
    -----
    Range of validity: any. Mass on the scales is meant, not force: 1 lb at 1 in is 1 lb·in.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(mass_moment("170 lb", "64 in"), "lb*in", digits=5)
    '10,880 lb·in'
    """
    return mass * arm


@_formula(source=STATICS, result="x_{cg}", valid={"mass": ("0.001 kg", None)}, title="Centre of gravity")
def centre_of_gravity(moment: MassMoment, mass: Mass) -> Length:
    """Centre of gravity: the sum of the moments over the sum of the masses.

    Formula: x = M / m.

    Parameters
    ----------
    moment : MassMoment
        of all that is aboard, about the datum.
    mass : Mass
        of the same (above zero).

    Returns
    -------
    Length
        The arm of the centre of gravity from the same datum, same sign.

    Raises
    ------
    QuantityError
        an argument is not of its kind, or there is no mass.

    Notes
    -----
    Range of validity: any.

    Examples
    --------
    The weighing of a training aeroplane: 65 756 lb in over 2006 lb.

    >>> from rotorkit.quantities import say
    >>> say(centre_of_gravity("65756 lb*in", "2006 lb"), "in", digits=3)
    '32.8 in'
    """
    return moment / mass


@_formula(
    source=sources.DEFINITION.at("what a scale shows, less what lies on it and is no part of the aircraft"),
    result="m",
    title="Net mass",
)
def net_mass(reading: Mass, tare: Mass) -> Mass:
    """Mass on the scale of one support: the reading less the tare.

    Formula: m = W - t.

    Parameters
    ----------
    reading : Mass
        what the scale shows.
    tare : Mass
        of chocks, blocks, jacks and stands that lay on the scale; 0 where the scale was zeroed with them on it.

    Returns
    -------
    Mass
        The net mass on that support.

    Raises
    ------
    QuantityError
        an argument is not of its kind.

    Notes
    -----
    Range of validity: any.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(net_mass("343 lb", "3 lb"), "lb", digits=4)
    '340.0 lb'
    """
    return reading - tare


@_formula(
    source=sources.ARITHMETIC.at("supports and centre of gravity turned together about the level line (geometry)"),
    result="x_{cg}",
    valid={"tilt": ("-15 deg", "15 deg")},
    title="Centre of gravity, levelled",
)
def centre_of_gravity_levelled(apparent: Length, height: Length, tilt: Angle) -> Length:
    """Centre of gravity of an aircraft that was not level on the scales.

    The scales answer to what stands over them: an aircraft with its nose down carries what lies high further forward.
    Formula: x = x_a + h tan(tilt).

    Parameters
    ----------
    apparent : Length
        centre of gravity by the scales, with the arms of the level aircraft (aft positive, or right positive).
    height : Length
        of the centre of gravity above the points that stand on the scales, square to the level line of the airframe.
        Where the supports are not of one height: above the mean of their heights, each by the mass on it.
    tilt : Angle
        positive with the nose down; for the lateral arm, with the left side down (the end where arms are least is low).

    Returns
    -------
    Length
        The centre of gravity of the level aircraft, further aft (right) than it seemed for a positive tilt.

    Raises
    ------
    QuantityError
        an argument is not of its kind, or a tilt of more than 15 degrees.

    Notes
    -----
    Range of validity: scales that carry nothing sideways (the aircraft free to roll or slide on one of them).
    Worked by hand: 3 ft high, 1 deg nose down: 36 in · 0.017455 = 0.628 in.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(centre_of_gravity_levelled("100 in", "36 in", "1 deg"), "in", digits=6)
    '100.628 in'
    """
    return apparent + height * tan(tilt)


@_formula(
    source=sources.ARITHMETIC.at("two weighings of one aircraft at two attitudes, levelled alike"),
    letters={"apparent": "x_1", "tilt": r"\theta_1"},
    result="h",
    title="Height of the centre of gravity",
)
def height_of_centre_of_gravity(apparent: Length, tilt: Angle, second_apparent: Length, second_tilt: Angle) -> Length:
    """Height of the centre of gravity above the supports, from two weighings at different attitudes.

    Formula: h = (x1 - x2) / (tan t2 - tan t1).

    Parameters
    ----------
    apparent, second_apparent : Length
        centre of gravity by the scales in each weighing, with the arms of the level aircraft.
    tilt, second_tilt : Angle
        attitude in each, positive nose down (left side down for lateral arms).

    Returns
    -------
    Length
        The height above the supports, square to the level line.

    Raises
    ------
    QuantityError
        an argument is not of its kind, or both attitudes are the same.

    Notes
    -----
    Range of validity: as `centre_of_gravity_levelled`; some degrees apart; otherwise the scales' errors swamp it.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(height_of_centre_of_gravity("100 in", "0 deg", "96.8504 in", "5 deg"), "in", digits=4)
    '36.00 in'
    """
    return (apparent - second_apparent) / (tan(second_tilt) - tan(tilt))


@_formula(source=STATICS, result="x_2", title="Centre of gravity after the change")
def centre_of_gravity_after_change(mass: Mass, arm: Length, change: MassDifference, change_arm: Length) -> Length:
    """Centre of gravity after a mass is added or taken off.

    Formula: x2 = (m x + dm a) / (m + dm).

    Parameters
    ----------
    mass : Mass
        before.
    arm : Length
        of the centre of gravity before.
    change : MassDifference
        what comes, positive; what goes, negative.
    change_arm : Length
        where it comes or goes.

    Returns
    -------
    Length
        The centre of gravity after, from the same datum.

    Raises
    ------
    QuantityError
        an argument is not of its kind, or nothing is left.

    Notes
    -----
    Range of validity: any.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(centre_of_gravity_after_change("1876 lb", "32.2 in", "7.69641 lb", "228 in"), "in", digits=5)
    '33.000 in'
    """
    return (mass * arm + change * change_arm) / (mass + change)


@_formula(
    source=sources.FAA_H_8083_1.at("shifting weight"),
    result=r"\Delta x",
    title="Change of the centre of gravity by the shift",
)
def centre_of_gravity_change_by_shift(shifted: Mass, from_arm: Length, to_arm: Length, mass: Mass) -> Length:
    """How far the centre of gravity moves as a mass is moved within the aircraft.

    Formula: dx = w (a2 - a1) / m.

    Parameters
    ----------
    shifted : Mass
        what is moved.
    from_arm, to_arm : Length
        where it was and where it goes.
    mass : Mass
        of the whole aircraft, with it.

    Returns
    -------
    Length
        The change, aft (or to the right) positive.

    Raises
    ------
    QuantityError
        an argument is not of its kind.

    Notes
    -----
    Range of validity: any.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(centre_of_gravity_change_by_shift("50 lb", "246 in", "118 in", "4709 lb"), "in", digits=5)
    '-1.3591 in'
    """
    return shifted * (to_arm - from_arm) / mass


@_formula(source=sources.FAA_H_8083_1.at("shifting weight, solved for the weight"), result="w", title="Mass to shift")
def mass_to_shift(mass: Mass, arm: Length, wanted: Length, from_arm: Length, to_arm: Length) -> MassDifference:
    """What must be moved from one place to another to bring the centre of gravity where it is wanted.

    Formula: w = m (xw - x) / (a2 - a1).

    Parameters
    ----------
    mass : Mass
        of the whole aircraft, which stays.
    arm : Length
        of the centre of gravity.
    wanted : Length
        where it is wanted.
    from_arm, to_arm : Length
        between which the mass is moved.

    Returns
    -------
    MassDifference
        What to move; negative where it has to go the other way.

    Raises
    ------
    QuantityError
        an argument is not of its kind, or both places are one.

    Notes
    -----
    Range of validity: any.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(mass_to_shift("4709 lb", "100 in", "98.6409 in", "246 in", "118 in"), "lb", digits=4)
    '50.00 lb'
    """
    return mass * (wanted - arm) / (to_arm - from_arm)


@_formula(source=sources.FAA_H_8083_1.at("ballast"), result="m_b", title="Ballast")
def ballast_mass(mass: Mass, arm: Length, wanted: Length, ballast_arm: Length) -> MassDifference:
    """Ballast that brings the centre of gravity where it is wanted; or what may be added at a place until it is there.

    Formula: mb = m (xw - x) / (xb - xw).

    Parameters
    ----------
    mass : Mass
        of the aircraft without it.
    arm : Length
        of the centre of gravity without it.
    wanted : Length
        where the centre of gravity shall come, or the limit that it may reach.
    ballast_arm : Length
        where the ballast goes.

    Returns
    -------
    MassDifference
        The ballast. Negative: no ballast there can do it; taking so much off there would.

    Raises
    ------
    QuantityError
        an argument is not of its kind, or the ballast would stand where the centre of gravity is wanted.

    Notes
    -----
    Range of validity: any.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(ballast_mass("1876 lb", "32.2 in", "33 in", "228 in"), "lb", digits=2)
    '7.7 lb'
    """
    return mass * (wanted - arm) / (ballast_arm - wanted)


@_formula(
    source=sources.ARITHMETIC.at("a body hangs with its centre of gravity below where it is held (statics)"),
    result="\\theta",
    valid={"height": ("1 mm", None)},
    title="Hang angle",
)
def hang_angle(offset: Length, height: Length) -> Angle:
    """How far from level a helicopter hangs in a steady hover, from where its centre of gravity is under the hub.

    Formula: theta = arctan(e / h).

    Parameters
    ----------
    offset : Length
        how far the centre of gravity lies ahead of the hub (positive: the nose hangs down), or to the left of it
        (positive: the left side hangs down); square to the mast.
    height : Length
        of the hub above the centre of gravity, along the mast.

    Returns
    -------
    Angle
        By which the fuselage hangs off level, and by which the disk stands off square to the mast.

    Raises
    ------
    QuantityError
        an argument is not of its kind, or the height is below 1 mm.

    Notes
    -----
    Source: statics, of a thrust that goes through the hub, as of a teetering rotor, in calm air, without the tail
    rotor's side force and the air on the body. A rotor whose blades bend at the root, or whose hinges stand off the
    axis, gives a moment of its own and hangs by less. Range: an arm up to half the height, so that the height along the
    mast is still that of the level aircraft.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(hang_angle("3 in", "50 in"), "deg", digits=4)  # arctan 0.06
    '3.434°'
    """
    return atan(offset / height)


@_formula(source=sources.AC_43_13_1B.at("chapter 10, minimum fuel"), result="m_f", title="Minimum fuel for the check")
def minimum_fuel_for_forward_check(power: Power) -> Mass:
    """Least fuel to count aboard when checking the extreme loadings: half a pound per horsepower.

    Formula: mf = (1/12 gal/hp) (6 lb/gal) P.

    Parameters
    ----------
    power : Power
        maximum except take-off power (METO).

    Returns
    -------
    Mass
        The fuel.

    Raises
    ------
    QuantityError
        not a power.

    Notes
    -----
    Range of validity: a rule for aeroplanes with a piston engine: 1/12 gallon per horsepower is about half an hour's
    fuel. It takes the tank's least fuel where that helps the wrong side; the manual's own minimum takes precedence.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(minimum_fuel_for_forward_check("165 hp"), "lb", digits=3)
    '82.5 lb'
    """
    return power * FORWARD_CHECK_FUEL
