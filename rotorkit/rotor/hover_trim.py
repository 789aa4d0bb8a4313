"""How a helicopter hangs in a steady hover, and the cyclic that this takes: statics of the aircraft about its hub.

In calm air three forces bear on the aircraft: its weight at the centre of gravity, the main rotor's thrust at the hub,
square to the disk, and the tail rotor's thrust, square to the plane of symmetry. They balance, and so do their moments
about the hub. Everything follows from that: how far the mast leans, how far the disk stands off square to the mast,
and, as a disk in the hover tilts by the cyclic pitch that is fed to it, the cyclic.

A teetering rotor, or one whose flapping hinges lie on the axis, gives no moment at the hub: the thrust goes through it.
Hinges off the axis, springs and blades that bend at their roots make the hub stiff (`hub_stiffness`): it takes a moment
in proportion to the disk's tilt against the mast, and less tilt is needed. Left out, the cyclic needed is never too
small.

Signs: ahead of the mast, nose down, left of the mast and left side down are positive for what hangs; the disk's tilt
against the mast is positive aft and to the right, which is where the stick is held for it.
"""

from __future__ import annotations

from rotorkit import sources
from rotorkit.formula import nomenclature
from rotorkit.formula.functions import atan, cos, sin, tan
from rotorkit.quantities import Angle, Force, Length, MassMoment, Ratio, RotationRate, TorsionalStiffness
from rotorkit.rotor.ranges import ROTOR_SPEED

STATICS = sources.ARITHMETIC.at("balance of forces, and of moments about the hub (statics)")
LEAN = ("-15 deg", "15 deg")
HEIGHT = ("1 mm", None)
WEIGHT = ("1 N", None)
STIFF = ("0 N*m/rad", None)
_INCHES = ("in", "mm")
_DEG = ("deg", "deg")

_formula = nomenclature(
    letters={
        "offset": "e", "height": "h", "lean": r"\epsilon", "blades": "b", "hinge_offset": "e_h", "blade_moment": "S",
        "rotor_speed": r"\Omega", "hinge_spring": "k", "hub_stiffness": "K", "weight": "W", "side_force": "F",
        "force_below": "d", "tilt": "a", "response_lag": r"\lambda", "range_this_way": r"\theta_1",
        "needed": r"\theta_c", "range_other_way": r"\theta_2",
    },
    valid={
        "lean": LEAN, "blades": ("2", "8"), "hinge_offset": ("0 m", None), "blade_moment": ("0 kg*m", None),
        "rotor_speed": ROTOR_SPEED, "hinge_spring": STIFF, "hub_stiffness": STIFF, "weight": WEIGHT,
        "response_lag": ("30 deg", "90 deg"),
    },
    shown={
        "offset": _INCHES, "height": _INCHES, "lean": _DEG, "hinge_offset": _INCHES, "force_below": _INCHES,
        "tilt": _DEG, "response_lag": _DEG, "range_this_way": _DEG, "needed": _DEG, "range_other_way": _DEG,
    },
)  # fmt: skip


@_formula(
    source=sources.ARITHMETIC.at("a point seen from a line that leans (geometry)"),
    result="e'",
    title="Centre of gravity off the mast's line",
)
def offset_from_mast(offset: Length, height: Length, lean: Angle) -> Length:
    """Distance of the centre of gravity from the line of the mast, square to it.

    Formula: e' = e cos(lean) + h sin(lean).

    Parameters
    ----------
    offset : Length
        of the centre of gravity ahead of the hub (or to its left), along the airframe's level line.
    height : Length
        of the hub above the centre of gravity, square to that line.
    lean : Angle
        of the mast in the level airframe: its top forward (or to the left) positive.

    Returns
    -------
    Length
        Ahead of the mast's line (or left of it) positive.

    Raises
    ------
    QuantityError
        an argument is not of its kind, or a mast that leans more than 15 degrees.

    Notes
    -----
    A mast whose top leans forward runs aft on its way down, so that the centre of gravity lies further ahead of it.
    By hand: 3 in and 50 in with a lean of 2 degrees: 3 · 0.99939 + 50 · 0.034899 = 4.743 in.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(offset_from_mast("3 in", "50 in", "2 deg"), "in", digits=4)
    '4.743 in'
    """
    return offset * cos(lean) + height * sin(lean)


@_formula(
    source=sources.ARITHMETIC.at("a point seen along a line that leans (geometry)"),
    result="h'",
    title="Height of the hub along the mast",
)
def height_along_mast(offset: Length, height: Length, lean: Angle) -> Length:
    """Height of the hub above the centre of gravity, along the mast.

    Formula: h' = h cos(lean) - e sin(lean).

    Parameters
    ----------
    offset, height, lean
        as for `offset_from_mast`.

    Returns
    -------
    Length
        The height along the mast.

    Raises
    ------
    QuantityError
        an argument is not of its kind, or a mast that leans more than 15 degrees.

    Notes
    -----
    By hand: 50 in and 3 in with a lean of 2 degrees: 50 · 0.99939 - 3 · 0.034899 = 49.865 in.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(height_along_mast("3 in", "50 in", "2 deg"), "in", digits=4)
    '49.86 in'
    """
    return height * cos(lean) - offset * sin(lean)


@_formula(
    source=sources.ARITHMETIC.at("blades whose flapping hinges stand off the axis, tilted once a turn (first order)"),
    result="K",
    title="Stiffness of the hub",
)
def hub_stiffness(
    blades: Ratio,
    hinge_offset: Length,
    blade_moment: MassMoment,
    rotor_speed: RotationRate,
    hinge_spring: TorsionalStiffness,
) -> TorsionalStiffness:
    """Moment of a hub per radian of disk tilt against the mast.

    Formula: K = (b / 2) (e_h S Omega^2 + k).

    Parameters
    ----------
    blades : Ratio
        how many.
    hinge_offset : Length
        from the mast's axis to the flapping hinge; of blades that bend, to where they do.
    blade_moment : MassMoment
        one blade's mass times the distance of its centre of gravity from that hinge.
    rotor_speed : RotationRate
        of the main rotor.
    hinge_spring : TorsionalStiffness
        of one blade at its hinge; 0 for a free one. A teetering rotor's spring at its one hinge counts half for each
        of its two blades.

    Returns
    -------
    TorsionalStiffness
        Moment over angle, as the airframe feels it on average round a turn.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible.

    Notes
    -----
    A blade that flaps by β cos ψ pulls at its hinge with S Ω² β cos ψ square to the mast, at the arm e_h, and twists it
    by k β cos ψ; about the fixed axis each is multiplied by cos ψ once more, which is a half on average. What the air
    adds to the pull is smaller by the ratio of hinge offset to radius, and is left out. Range: offsets of a tenth of
    the radius.

    Examples
    --------
    Three blades, hinges 0.25 m out, 60 kg m each, 40 rad/s, free: 1.5 · 0.25 · 60 · 1600.

    >>> from rotorkit.quantities import say
    >>> say(hub_stiffness("3", "0.25 m", "60 kg*m", "40 rad/s", "0 N*m/rad"), "N*m/rad", digits=4)
    '36,000 N·m/rad'
    """
    return blades / 2 * (hinge_offset * blade_moment * rotor_speed**2 + hinge_spring)


@_formula(
    source=STATICS,
    letters={"height": "h'"},
    result="H",
    valid={"height": HEIGHT},
    title="Height at which the hub would act without its stiffness",
)
def height_with_hub_stiffness(height: Length, hub_stiffness: TorsionalStiffness, weight: Force) -> Length:
    """Height of a hub without stiffness that would hold the aircraft as this one does.

    Formula: H = h' + K / W. A stiff hub holds like one that stands higher: `hang_angle` with this height in place of
    the hub's own gives the disk's tilt.

    Parameters
    ----------
    height : Length
        of the hub above the centre of gravity, along the mast.
    hub_stiffness : TorsionalStiffness
        of `hub_stiffness`; 0 for a teetering rotor.
    weight : Force
        of the aircraft.

    Returns
    -------
    Length
        The height.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible.

    Notes
    -----
    About the hub: W (e' cos a - h' sin a) = K a, with a in place of its sine, which at 10 degrees changes the hub's
    part by half a per cent. By hand: 1.2 m and 36,000 N m/rad under 6,000 N: 1.2 + 6 = 7.2 m.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(height_with_hub_stiffness("1.2 m", "36000 N*m/rad", "6000 N"), "m", digits=3)
    '7.20 m'
    """
    return height + hub_stiffness / weight


@_formula(
    source=STATICS,
    letters={"offset": "e'", "height": "h'"},
    result=r"\psi",
    valid={"height": HEIGHT},
    title="Lean of the mast to the left",
)
def mast_lean_with_side_force(
    offset: Length, height: Length, weight: Force, side_force: Force, force_below: Length,
    hub_stiffness: TorsionalStiffness,
) -> Angle:  # fmt: skip
    """How far the mast leans to the left in a steady hover, with the tail rotor pushing to one side.

    Formula: psi = arctan((e' + (F / W) (d + K / W)) / (h' + K / W)).

    Parameters
    ----------
    offset : Length
        of the centre of gravity left of the mast's line, square to it (`offset_from_mast`).
    height : Length
        of the hub above the centre of gravity, along the mast.
    weight : Force
        of the aircraft.
    side_force : Force
        of the tail rotor, to the right positive: as where the main rotor turns counter-clockwise seen from above, whose
        torque would swing the tail to the left.
    force_below : Length
        how far below the hub the tail rotor's axis lies, along the mast; negative above it.
    hub_stiffness : TorsionalStiffness
        of `hub_stiffness`; 0 for a teetering rotor.

    Returns
    -------
    Angle
        Top to the left positive: the left side hangs low.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible.

    Notes
    -----
    About the hub, with the disk leaning b to the right of square to the mast: W (e' cos psi - h' sin psi) + F d = K b,
    and across the mast: tan b = tan psi - F / (W cos psi). In the moment cos psi is taken as one, which is off by less
    than 0.03 degrees at a lean of 8. By hand: e' = 0.3 in, F = 0.07 W at d = 20 in, h' = 46 in, no stiffness:
    arctan(1.7 / 46), 2.116 degrees. A tail rotor at the hub's height does not lean the mast: the disk alone tilts.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> lean = mast_lean_with_side_force("0.3 in", "46 in", "1000 lbf", "70 lbf", "20 in", "0 N*m/rad")
    >>> say(lean, "deg", digits=4)
    '2.116°'
    """
    return atan((offset + side_force / weight * (force_below + hub_stiffness / weight)) /
                (height + hub_stiffness / weight))  # fmt: skip


@_formula(
    source=STATICS,
    letters={"lean": r"\psi"},
    result="b",
    valid={"lean": ("-30 deg", "30 deg")},
    title="Tilt of the disk against the mast, to the right",
)
def disk_tilt_with_side_force(lean: Angle, side_force: Force, weight: Force) -> Angle:
    """How far the disk stands off square to the mast to the right, so that its thrust holds the tail rotor's.

    Formula: b = arctan(tan(psi) - F / (W cos(psi))).

    Parameters
    ----------
    lean : Angle
        of the mast off plumb, its top to the left positive (`mast_lean_with_side_force`).
    side_force : Force
        of the tail rotor, to the right positive.
    weight : Force
        of the aircraft.

    Returns
    -------
    Angle
        To the right positive: the stick is held there.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible.

    Notes
    -----
    The thrust leans to the left by F / W in space, whatever the mast does. By hand: a lean of 2.116 degrees and
    F = 0.07 W: arctan(0.03696 - 0.07 / 0.99932) = -1.895 degrees: 1.9 degrees of left stick.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(disk_tilt_with_side_force("2.1165 deg", "70 lbf", "1000 lbf"), "deg", digits=4)
    '-1.895°'
    """
    return atan(tan(lean) - side_force / (weight * cos(lean)))


@_formula(
    source=sources.COMMON_PRACTICE.at("in the hover a disk's tilt equals the cyclic pitch, behind it by the lag"),
    result=r"\theta_c",
    title="Cyclic pitch for the tilt",
)
def cyclic_for_disk_tilt(tilt: Angle, response_lag: Angle) -> Angle:
    """Cyclic pitch that holds the disk tilted against the mast in a steady hover.

    Formula: theta = a / sin(lag).

    Parameters
    ----------
    tilt : Angle
        of the disk off square to the mast.
    response_lag : Angle
        from the greatest blade angle to the greatest height of the blade: 90 degrees for a teetering rotor and for
        hinges on the axis; less where the hub is stiff.

    Returns
    -------
    Angle
        The cyclic pitch, with the tilt's sign, fed that much ahead.

    Raises
    ------
    QuantityError
        an argument is not of its kind, or a lag outside 30 to 90 degrees.

    Notes
    -----
    With the lag at 90 degrees the blade's angle to its own disk does not change over a turn: flapping and feathering
    are the same thing seen from two axes. With a stiff hub the blade responds with sin(lag) of the pitch, like a damped
    oscillator driven below its own frequency. Hover only: in forward flight the disk blows back. By hand: 3 degrees at
    a lag of 80: 3 / 0.98481 = 3.046.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(cyclic_for_disk_tilt("3 deg", "80 deg"), "deg", digits=4)
    '3.046°'
    """
    return tilt / sin(response_lag)


@_formula(
    source=sources.DEFINITION.at("cyclic remaining, as a part of the whole travel"),
    result="r",
    title="Cyclic remaining",
)
def cyclic_remaining(range_this_way: Angle, needed: Angle, range_other_way: Angle) -> Ratio:
    """What is left of the stick's travel one way, as a part of its whole travel along that line.

    Formula: r = (theta1 - needed) / (theta1 + theta2).

    Parameters
    ----------
    range_this_way, range_other_way : Angle
        cyclic pitch at full stick this way and the other way, both positive where the rotor follows the stick.
    needed : Angle
        cyclic pitch that is held, this way positive.

    Returns
    -------
    Ratio
        Negative where the stop comes first.

    Raises
    ------
    QuantityError
        an argument is not of its kind, or there is no travel.

    Notes
    -----
    By hand: 5 degrees aft and 6 forward, 4 held aft: 1 / 11 = 9.1 per cent left aft, and 10 / 11 forward.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(cyclic_remaining("5 deg", "4 deg", "6 deg"), "%", digits=2)
    '9.1 %'
    """
    return (range_this_way - needed) / (range_this_way + range_other_way)
