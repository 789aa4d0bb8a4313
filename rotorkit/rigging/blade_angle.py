r"""Blade angles from a protractor: the geometry, and what each way of reading cancels.

Geometry
--------
The blade angle is the angle between the blade's chord and the plane square to the rotor shaft. A protractor that feels
gravity (bubble or digital) knows nothing of the shaft: it reads the angle between the surface it stands on and the
level.

Take three unit vectors at the blade being measured: the span direction, the direction ``t`` from trailing to leading
edge in the plane square to the shaft, and the shaft's own direction ``k``. At blade angle ``theta`` the chord is
``t cos(theta) + k sin(theta)``. Hold the protractor square to the span. In the plane of ``t`` and ``k`` gravity points
along some direction that makes the angle ``lean`` with the shaft, ``tan(lean) = t.up / k.up``, where ``up`` is the
true vertical. With the zero error ``zero`` of the protractor itself, the reading, counted positive leading edge up, is

    reading = theta + lean + zero

This is exact, not only for a small lean: the lean along the span drops out, because the protractor's plane is square
to the span. (It is exact for a pendulum or digital protractor whose plane is held square to the span. If its face is
held plumb instead, a lean of 2 deg along the span changes a reading by at most 0.02 deg.)

Half a turn of the shaft carries ``t`` over into ``-t`` and leaves ``k`` where it was, so that ``lean`` changes its
sign exactly. What becomes of ``theta`` and ``zero`` depends on how the protractor is held the second time:

    | first | second, half a turn later | first + second | first - second |
    | --- | --- | --- | --- |
    | theta + lean + zero | protractor turned with the blade: theta - lean + zero | 2 theta + 2 zero | 2 lean |
    | theta + lean + zero | protractor facing the same way as before: -theta + lean + zero | 2 lean + 2 zero | 2 theta |

Turned with the blade (the same end of the protractor at the leading edge) the mean cancels the lean and leaves the
zero, which has to be known from elsewhere. Kept facing one way in the hangar (so that its other end is at the leading
edge) half the difference cancels the lean and the zero together, and needs no reference at all.

Hand-worked: blade at 8.0 deg, shaft leaning 1.5 deg toward the raised leading edge, protractor 0.3 deg high. First
reading 8.0 + 1.5 + 0.3 = 9.8. Half a turn later, protractor turned with the blade: 8.0 - 1.5 + 0.3 = 6.8; mean 8.3,
less the zero 0.3 gives 8.0. Protractor facing the same way: -8.0 + 1.5 + 0.3 = -6.2; half the difference (9.8 + 6.2) /
2 = 8.0.

A tail rotor's shaft lies across the boom: turn the blade until its span is level (pointing fore or aft), because about
a plumb span gravity says nothing of the chord. The same equations hold with ``t`` plumb; read the angle from the
plumb.

A rotor that teeters or flaps must be held square to its shaft (blocked or weighted as the kit manual says) at each
reading: the teeter angle across the span is read as if it were blade angle wherever the hinge is not square to the
span.
"""

from __future__ import annotations

from collections.abc import Sequence

from rotorkit import sources
from rotorkit.formula import nomenclature
from rotorkit.judging.measured import Measured, largest_less_smallest
from rotorkit.quantities import Angle, Ratio

_HALF_CIRCLE = ("-180 deg", "180 deg")
_SIGN = frozenset({"-1", "1"})

_formula = nomenclature(
    letters={
        "reading": "r", "reference": "r_0", "sign": "s", "first": "r_1", "second": "r_2", "zero": "r_z",
        "at_one_stop": r"\theta_1", "at_other_stop": r"\theta_2",
    },
    valid={
        "reading": _HALF_CIRCLE, "reference": _HALF_CIRCLE, "sign": _SIGN, "first": _HALF_CIRCLE,
        "second": _HALF_CIRCLE, "zero": _HALF_CIRCLE,
    },
)  # fmt: skip


@_formula(
    source=sources.ARITHMETIC.at("protractor on a blade, one reading and a reference"),
    result=r"\theta",
    shown={"result": ("deg", "deg")},
)
def blade_angle(reading: Angle, reference: Angle, sign: Ratio) -> Angle:
    """Blade angle from one reading on the blade and one on a reference surface square to the rotor shaft.

    With the same protractor held the same way and the rotor not turned between the two, the reference reading is
    ``lean + zero``: the difference cancels the shaft's lean and the protractor's zero.

    Parameters
    ----------
    reading : Angle
        [angle] on the blade at the station that the kit manual names, -180 to 180 deg
    reference : Angle
        [angle] on a surface square to the shaft, in the plane square to this blade's span
    sign : Ratio
        [-] +1 if the reading rises with the blade angle, -1 if it falls (`SignConvention.sign`)

    Returns
    -------
    Angle
        The blade angle, positive as the sign convention says

    Raises
    ------
    QuantityError
        a unit is missing, or a value lies outside its range.

    Examples
    --------
    Reading 9.8 deg, reference 1.8 deg, rising with the blade angle: 9.8 - 1.8 = 8.0 deg.

    >>> from rotorkit.quantities import say
    >>> say(blade_angle("9.8 deg", "1.8 deg", "1"), "deg", digits=2)
    '8.0°'
    """
    return sign * (reading - reference)


@_formula(
    source=sources.ARITHMETIC.at("protractor on a blade, half a turn, protractor turned with the blade"),
    result=r"\theta",
    shown={"result": ("deg", "deg")},
    title="Blade angle, protractor turned with the blade",
)
def blade_angle_protractor_turned_with_blade(first: Angle, second: Angle, zero: Angle, sign: Ratio) -> Angle:
    """Blade angle from two readings half a turn of the rotor apart, the protractor turned with the blade.

    Cancels the lean of the shaft exactly. Does not cancel the protractor's zero, which must be given.

    Parameters
    ----------
    first, second : Angle
        [angle] on the same station of the same blade, the same end of the protractor at the leading
        edge
    zero : Angle
        [angle] what the protractor reads on a level surface (`protractor_zero_end_for_end`)
    sign : Ratio
        [-] +1 if the reading rises with the blade angle, -1 if it falls

    Returns
    -------
    Angle
        The blade angle, positive as the sign convention says

    Examples
    --------
    (9.8 + 6.8) / 2 - 0.3 = 8.0 deg.

    >>> from rotorkit.quantities import say
    >>> say(blade_angle_protractor_turned_with_blade("9.8 deg", "6.8 deg", "0.3 deg", "1"), "deg", digits=2)
    '8.0°'
    """
    return sign * ((first + second) / 2 - zero)


@_formula(
    source=sources.ARITHMETIC.at("protractor on a blade, half a turn, protractor facing one way"),
    result=r"\theta",
    shown={"result": ("deg", "deg")},
    title="Blade angle, protractor kept facing one way",
)
def blade_angle_protractor_kept_facing_one_way(first: Angle, second: Angle, sign: Ratio) -> Angle:
    """Blade angle from two readings half a turn of the rotor apart, the protractor facing the same way both times.

    Cancels the lean of the shaft and the protractor's zero together; needs no reference surface.

    Parameters
    ----------
    first : Angle
        [angle] reading with the end of the protractor that the sign convention means at the leading edge
    second : Angle
        [angle] half a turn later, same blade and station, the protractor not turned round in the hangar
    sign : Ratio
        [-] +1 if the first reading rises with the blade angle, -1 if it falls

    Returns
    -------
    Angle
        The blade angle, positive as the sign convention says. Exchanging the two readings changes its sign: take them
        in this order.

    Examples
    --------
    (9.8 - (-6.2)) / 2 = 8.0 deg.

    >>> from rotorkit.quantities import say
    >>> say(blade_angle_protractor_kept_facing_one_way("9.8 deg", "-6.2 deg", "1"), "deg", digits=2)
    '8.0°'
    """
    return sign * (first - second) / 2


@_formula(
    source=sources.ARITHMETIC.at("protractor on a blade, half a turn, protractor turned with the blade"),
    result=r"\lambda",
    shown={"result": ("deg", "deg")},
    title="Shaft lean, protractor turned with the blade",
)
def shaft_lean_protractor_turned_with_blade(first: Angle, second: Angle) -> Angle:
    """Lean of the shaft in the plane square to the span, from the two readings of the same name.

    Positive when it raised the first reading. The shaft's lean in the plane square to this one is not seen: for the
    whole lean read again a quarter of a turn on.

    Examples
    --------
    (9.8 - 6.8) / 2 = 1.5 deg.

    >>> from rotorkit.quantities import say
    >>> say(shaft_lean_protractor_turned_with_blade("9.8 deg", "6.8 deg"), "deg", digits=2)
    '1.5°'
    """
    return (first - second) / 2


@_formula(
    source=sources.ARITHMETIC.at("protractor on a blade, half a turn, protractor facing one way"),
    result=r"\lambda",
    shown={"result": ("deg", "deg")},
    title="Shaft lean, protractor kept facing one way",
)
def shaft_lean_protractor_kept_facing_one_way(first: Angle, second: Angle, zero: Angle) -> Angle:
    """Lean of the shaft in the plane square to the span, from the two readings of the same name and a known zero.

    Positive when it raised the first reading.

    Examples
    --------
    (9.8 + (-6.2)) / 2 - 0.3 = 1.5 deg.

    >>> from rotorkit.quantities import say
    >>> say(shaft_lean_protractor_kept_facing_one_way("9.8 deg", "-6.2 deg", "0.3 deg"), "deg", digits=2)
    '1.5°'
    """
    return (first + second) / 2 - zero


@_formula(
    source=sources.ARITHMETIC.at("one surface read twice, the protractor turned end for end"),
    result="r_z",
    shown={"result": ("deg", "deg")},
    title="Protractor's zero, end for end",
)
def protractor_zero_end_for_end(first: Angle, second: Angle) -> Angle:
    """What the protractor reads on a level surface, from one surface read twice with the protractor turned end for
    end.

    The first reading is ``slope + zero``, the second ``-slope + zero``; half the sum is the zero. Nothing else may
    move.

    Examples
    --------
    On a bench that slopes 1.2 deg with a protractor 0.3 deg high: 1.5 and -0.9; (1.5 - 0.9) / 2 = 0.3 deg.

    >>> from rotorkit.quantities import say
    >>> say(protractor_zero_end_for_end("1.5 deg", "-0.9 deg"), "deg", digits=2)
    '0.30°'
    """
    return (first + second) / 2


@_formula(
    source=sources.ARITHMETIC.at("one surface read twice, the protractor turned end for end"),
    result=r"\sigma",
    shown={"result": ("deg", "deg")},
    title="Slope of a surface, end for end",
)
def surface_slope_end_for_end(first: Angle, second: Angle) -> Angle:
    """True slope of a surface read twice with the protractor turned end for end: the protractor's zero cancels.

    On a blade this is ``theta + lean``: the lean of the shaft does not cancel, because the shaft was not turned.

    Examples
    --------
    (1.5 - (-0.9)) / 2 = 1.2 deg.

    >>> from rotorkit.quantities import say
    >>> say(surface_slope_end_for_end("1.5 deg", "-0.9 deg"), "deg", digits=2)
    '1.2°'
    """
    return (first - second) / 2


@_formula(
    source=sources.DEFINITION.at("range of a control surface or blade"),
    result=r"\Delta\theta",
    shown={"result": ("deg", "deg")},
)
def travel_between_stops(at_one_stop: Angle, at_other_stop: Angle) -> Angle:
    """Travel from one stop to the other; negative if the blade angle falls along the way.

    Whatever is the same in both blade angles (a reference, a zero) drops out, and so does its uncertainty.

    Examples
    --------
    From 5 deg to -14.5 deg: -19.5 deg.

    >>> from rotorkit.quantities import say
    >>> say(travel_between_stops("5 deg", "-14.5 deg"), "deg", digits=3)
    '-19.5°'
    """
    return at_other_stop - at_one_stop


def blade_to_blade_spread(angles: Sequence[Measured]) -> Measured:
    """Largest blade angle less the smallest, of the blades of one rotor at one and the same control position.

    Source: definition of the trade. The uncertainty is that of the difference between those two blades: an error they
    share (the protractor near that angle, the reference, the lean of a shaft not turned between them) cancels, as JCGM
    100:2008, 5.2 has it. Scatter of the readings makes the spread of equal blades read above zero, never below: an
    error on the careful side.

    Parameters
    ----------
    angles : Sequence[Measured]
        two or more `Measured` blade angles, one for each blade

    Returns
    -------
    Measured
        The spread, a Measured angle, zero or more.

    Raises
    ------
    ValueError
        fewer than two blades are given.

    Examples
    --------
    8.0, 8.3 and 7.9 deg: 8.3 - 7.9 = 0.4 deg.
    """
    if len(angles) < 2:
        raise ValueError(
            f"angles: a spread between blades needs the angles of two blades or more; got {len(angles)}. "
            f"Read the other blades at the same control position."
        )
    return largest_less_smallest(list(angles))
