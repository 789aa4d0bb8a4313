"""The piston and its crank: travel and angle in both directions, exactly, speed and acceleration, top dead centre.

Crank angles are counted from top dead centre, in either direction; a piston's travel is its distance from its highest
place. The crank's radius is half the stroke.
"""

from __future__ import annotations

import math

from rotorkit import sources
from rotorkit.formula import nomenclature
from rotorkit.formula.contract import contract
from rotorkit.formula.functions import acos, asin, cos, sin, sqrt
from rotorkit.quantities import Acceleration, Angle, Length, QuantityError, Ratio, RotationRate, Speed, Volume

SLIDER_CRANK = sources.ARITHMETIC.at("geometry of crank and connecting rod")
STROKE = ("1 mm", "1 m")
ROD = ("2 mm", "5 m")

_formula = nomenclature(
    letters={
        "stroke": "s", "rod": "l", "angle": r"\theta", "travel": "x", "swept": "V_s", "compression_ratio": "r",
        "speed": r"\omega", "radius": "R", "arc": "b",
    },
    valid={"rod": ROD, "compression_ratio": ("1.5", "30")},
)  # fmt: skip


@_formula(source=SLIDER_CRANK, result=r"x", valid={"stroke": STROKE}, title="Piston travel from top dead centre")
def piston_travel(stroke: Length, rod: Length, angle: Angle) -> Length:
    """How far the piston is below its highest position with the crank at an angle from top dead centre: exact.

    Formula: x = (s/2)(1 - cos a) + l - sqrt(l^2 - (s/2)^2 sin^2 a).

    Parameters
    ----------
    stroke : Length
        twice the crank's radius
    rod : Length
        between the centres of the connecting rod's bearings; more than half the stroke
    angle : Angle
        of the crank from top dead centre, before or after

    Returns
    -------
    Length
        The travel, the same before and after top dead centre.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: the cylinder's axis through the crank's axis, no offset of the piston pin. Worked by hand:
    127 - 27 cos 22 deg - sqrt(100^2 - (27 sin 22 deg)^2) = 127 - 25.034 - 99.487 = 2.479 mm.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(piston_travel("54 mm", "100 mm", "22 deg"), "mm", digits=4)
    '2.479 mm'
    """
    return stroke / 2 * (1 - cos(angle)) + rod - sqrt(rod**2 - (stroke / 2 * sin(angle)) ** 2)


@contract(valid={"stroke": STROKE, "rod": ROD, "offset": ("-0.5 m", "0.5 m")})
def piston_travel_offset(stroke: Length, rod: Length, offset: Length, angle: Angle) -> Length:
    """Piston travel where the cylinder's axis, or the piston's pin, does not stand over the crank's axis: exact.

    Formula: x = sqrt((l + r)^2 - e^2) - r cos(t + a) - sqrt(l^2 - (r sin(t + a) - e)^2), with r = s/2 and
    sin t = e/(l + r), the crank's angle at the piston's highest place.

    Parameters
    ----------
    stroke : Length
        twice the crank's radius; with an offset the piston's own stroke is a little longer.
    rod : Length
        between the centres of the connecting rod's bearings.
    offset : Length
        of the pin's line of travel from the crank's axis, positive to the side to which the crank pin goes as it
        leaves the top.
    angle : Angle
        of the crank from the piston's highest place (true top dead centre), positive after, negative before it.

    Returns
    -------
    Length
        The travel from the piston's highest place; before and after the top it differs.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range, or the rod is not longer than half the stroke and the offset
        together.

    Notes
    -----
    Source: geometry; without an offset it is `piston_travel`. A positive stop in the plug hole touches at one height
    but, with an offset, not at one angle to both sides: half way between (`true_top_dead_centre`) then lies off the
    true top, by about e d / (l + r)^2 in radians for a stop at d below the top, where d is small beside the stroke:
    `true_top_dead_centre_offset` has it exactly.
    Worked by hand, 90 mm, 150 mm, 2 mm, 28 deg before: the top at asin(2/195) = 0.5877 deg, the crank at -27.4123 deg:
    194.9897 - 39.9472 - sqrt(22500 - (-20.7176 - 2)^2) = 194.9897 - 39.9472 - 148.2697 = 6.7728 mm.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> [say(piston_travel_offset("90 mm", "150 mm", "2 mm", f"{a} deg"), "mm", digits=5) for a in (-28, 28)]
    ['6.7728 mm', '6.7531 mm']
    """
    radius = stroke / 2
    if not 0 < radius + abs(offset) < rod:
        raise QuantityError("piston_travel_offset: rod must be longer than half the stroke and the offset together")
    at = asin(offset / (rod + radius)) + angle
    return sqrt((rod + radius) ** 2 - offset**2) - radius * cos(at) - sqrt(rod**2 - (radius * sin(at) - offset) ** 2)


@contract(valid={"stroke": STROKE, "rod": ROD, "offset": ("-100 mm", "100 mm"), "travel": ("0 mm", "1 m")})
def crank_angle_before_top_offset(stroke: Length, rod: Length, offset: Length, travel: Length) -> Angle:
    """The crank's angle before true top dead centre from the piston's travel on its way up, where the pin is offset.

    Formula: a = asin(e / (l + r)) - asin(e / D) + acos((D^2 + r^2 - l^2) / (2 r D)), with r = s/2 and
    D^2 = e^2 + (sqrt((l + r)^2 - e^2) - x)^2: the inverse of `piston_travel_offset` before the top, exact.

    Parameters
    ----------
    stroke, rod, offset : Length
        as for `piston_travel_offset`.
    travel : Length
        of the piston from its highest place.

    Returns
    -------
    Angle
        Before top dead centre positive.

    Raises
    ------
    QuantityError
        An argument is not of its kind or out of range, or the piston does not come so low.

    Notes
    -----
    Source: geometry. The crank pin lies on the circle about the piston's pin, at the distance D from the crank's axis,
    and on the near side of the line to it. By hand, 90 mm, 150 mm, 2 mm, 6.7728 mm: D = 188.2276 mm, 0.58766 - 0.60880
    + 28.0211 = 28.0000 degrees.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(crank_angle_before_top_offset("90 mm", "150 mm", "2 mm", "6.7728 mm"), "deg", digits=4)
    '28.00°'
    """
    radius = stroke / 2
    if not 0 < radius + abs(offset) < rod:
        raise QuantityError(
            "crank_angle_before_top_offset: rod must be longer than half the stroke and the offset together"
        )
    to_pin = math.hypot(offset, math.sqrt((rod + radius) ** 2 - offset**2) - travel)
    cosine = (to_pin**2 + radius**2 - rod**2) / (2 * radius * to_pin)
    if not -1 <= cosine <= 1 + 1e-12:
        raise QuantityError("crank_angle_before_top_offset: travel is more than the piston's whole stroke")
    return math.asin(offset / (rod + radius)) - math.asin(offset / to_pin) + math.acos(min(1.0, cosine))


@_formula(
    source=SLIDER_CRANK,
    result=r"\theta",
    valid={"stroke": STROKE, "travel": ("0 mm", "1 m")},
    title="Crank angle from top dead centre",
)
def crank_angle(stroke: Length, rod: Length, travel: Length) -> Angle:
    """The crank's angle from top dead centre from the piston's travel: the inverse of `piston_travel`, exact.

    Formula: cos a = (d^2 + r^2 - l^2) / (2 r d), with r = s/2 and d = r + l - x (the law of cosines).

    Parameters
    ----------
    stroke : Length
        twice the crank's radius
    rod : Length
        between the centres of the connecting rod's bearings; more than half the stroke
    travel : Length
        of the piston from its highest place, from 0 to the stroke

    Returns
    -------
    Angle
        The angle, from 0 to 180 degrees; before or after is for you to know.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: as `piston_travel`. At the very top and bottom the angle cannot be told from the travel:
    there the uncertainty is without bound.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(crank_angle("54.5 mm", "110 mm", "25.6 mm"), "deg", digits=4)
    '79.51°'
    """
    return acos(
        ((stroke / 2 + rod - travel) ** 2 + (stroke / 2) ** 2 - rod**2) / (stroke * (stroke / 2 + rod - travel))
    )


@_formula(source=sources.DEFINITION.at("compression ratio"), result=r"V", title="Volume above the piston")
def cylinder_volume(swept: Volume, compression_ratio: Ratio, stroke: Length, travel: Length) -> Volume:
    """Volume above the piston at a travel: the combustion chamber and what the piston has left free.

    Formula: V = Vs / (r - 1) + Vs x / s.

    Parameters
    ----------
    swept : Volume
        of one cylinder
    compression_ratio : Ratio
        greatest volume over least
    stroke : Length
        of the piston
    travel : Length
        of the piston from its highest place

    Returns
    -------
    Volume
        The volume.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: geometric; valve timing is left out.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(cylinder_volume("500 cm^3", "9", "86 mm", "0 mm"), "cm^3", digits=4)
    '62.50 cm³'
    """
    return swept / (compression_ratio - 1) + swept * travel / stroke


@_formula(source=SLIDER_CRANK, result=r"v", valid={"stroke": STROKE}, title="Piston speed")
def piston_speed(stroke: Length, rod: Length, angle: Angle, speed: RotationRate) -> Speed:
    """Speed of the piston, exact; downward positive for an angle after top dead centre.

    Formula: v = w r sin a (1 + r cos a / sqrt(l^2 - r^2 sin^2 a)), r = s/2.

    Parameters
    ----------
    stroke : Length
        twice the crank's radius
    rod : Length
        between the centres of the connecting rod's bearings; more than half the stroke
    angle : Angle
        of the crank from top dead centre, before or after
    speed : RotationRate
        of the crank

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
    Range of validity: a steady crank. The first derivative of `piston_travel`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(piston_speed("0.6 m", "1 m", "74.529 deg", "200 rpm"), "m/s", digits=5)
    '6.5617 m/s'
    """
    return (
        speed * stroke / 2 * sin(angle) * (1 + stroke / 2 * cos(angle) / sqrt(rod**2 - (stroke / 2 * sin(angle)) ** 2))
    )


@_formula(
    source=sources.KHURMI_GUPTA.at("chapter 15"),
    result=r"v",
    valid={"stroke": STROKE},
    title="Piston speed, by two terms",
)
def piston_speed_two_terms(stroke: Length, rod: Length, angle: Angle, speed: RotationRate) -> Speed:
    """Speed of the piston by the two terms that textbooks keep: within one per cent or so of the exact one.

    Formula: v = w r (sin a + sin 2a / (2 n)), n = l / r.

    Parameters
    ----------
    stroke : Length
        twice the crank's radius
    rod : Length
        between the centres of the connecting rod's bearings; more than half the stroke
    angle : Angle
        of the crank from top dead centre, before or after
    speed : RotationRate
        of the crank

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
    Range of validity: rods of three crank radii and more.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(piston_speed_two_terms("0.6 m", "1.5 m", "40 deg", "180 rpm"), "m/s", digits=3)
    '4.19 m/s'
    """
    return speed * stroke / 2 * (sin(angle) + stroke / 2 / rod * sin(2 * angle) / 2)


@_formula(source=SLIDER_CRANK, result=r"a", valid={"stroke": STROKE}, title="Piston acceleration")
def piston_acceleration(stroke: Length, rod: Length, angle: Angle, speed: RotationRate) -> Acceleration:
    """Acceleration of the piston, exact; downward positive, so greatest at top dead centre.

    Formula: a = w^2 r (cos a + r cos 2a / q + r^3 sin^2 a cos^2 a / q^3), q = sqrt(l^2 - r^2 sin^2 a).

    Parameters
    ----------
    stroke : Length
        twice the crank's radius
    rod : Length
        between the centres of the connecting rod's bearings; more than half the stroke
    angle : Angle
        of the crank from top dead centre, before or after
    speed : RotationRate
        of the crank

    Returns
    -------
    Acceleration
        The acceleration.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: a steady crank. The second derivative of `piston_travel`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(piston_acceleration("0.6 m", "1.5 m", "0 deg", "180 rpm"), "m/s^2", digits=5)
    '127.91 m/s²'
    """
    return (
        speed**2
        * stroke
        / 2
        * (
            cos(angle)
            + stroke / 2 * cos(2 * angle) / sqrt(rod**2 - (stroke / 2 * sin(angle)) ** 2)
            + (stroke / 2) ** 3 * (sin(angle) * cos(angle)) ** 2 / sqrt(rod**2 - (stroke / 2 * sin(angle)) ** 2) ** 3
        )
    )


@_formula(
    source=sources.KHURMI_GUPTA.at("chapter 15"),
    result=r"a",
    valid={"stroke": STROKE},
    title="Piston acceleration, by two terms",
)
def piston_acceleration_two_terms(stroke: Length, rod: Length, angle: Angle, speed: RotationRate) -> Acceleration:
    """Acceleration of the piston by the two terms that textbooks keep.

    Formula: a = w^2 r (cos a + cos 2a / n), n = l / r.

    Parameters
    ----------
    stroke : Length
        twice the crank's radius
    rod : Length
        between the centres of the connecting rod's bearings; more than half the stroke
    angle : Angle
        of the crank from top dead centre, before or after
    speed : RotationRate
        of the crank

    Returns
    -------
    Acceleration
        The acceleration, downward positive.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: rods of three crank radii and more.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(piston_acceleration_two_terms("0.6 m", "1.5 m", "40 deg", "180 rpm"), "m/s^2", digits=4)
    '85.36 m/s²'
    """
    return speed**2 * stroke / 2 * (cos(angle) + stroke / 2 / rod * cos(2 * angle))


@_formula(
    source=sources.KHURMI_GUPTA.at("chapter 15"),
    result=r"\theta_0",
    valid={"stroke": STROKE},
    title="Angle of no piston acceleration, by two terms",
)
def angle_of_zero_piston_acceleration(stroke: Length, rod: Length) -> Angle:
    """Crank angle at which the piston is fastest, by the two terms: there it has no acceleration.

    Formula: cos a = (sqrt(n^2 + 8) - n) / 4, n = l / r: the root of cos a + cos 2a / n = 0.

    Parameters
    ----------
    stroke : Length
        twice the crank's radius
    rod : Length
        between the centres of the connecting rod's bearings; more than half the stroke

    Returns
    -------
    Angle
        The angle from top dead centre.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: rods of three crank radii and more; `angle_of_greatest_piston_speed` is exact.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(angle_of_zero_piston_acceleration("0.6 m", "1.5 m"), "deg", digits=4)
    '79.27°'
    """
    return acos((sqrt((rod / (stroke / 2)) ** 2 + 8) - rod / (stroke / 2)) / 4)


@_formula(source=sources.DEFINITION.at("arc of a circle"), result=r"b", title="Arc on the disc")
def arc_on_disc(radius: Length, angle: Angle) -> Length:
    """Length along the rim of a flywheel, fan or disc that stands for an angle: where to make the mark.

    Formula: b = R a.

    Parameters
    ----------
    radius : Length
        of the disc, where the mark is made
    angle : Angle
        of the crank, where the disc turns with it

    Returns
    -------
    Length
        The arc, along the rim (a flexible rule; the chord is shorter).

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: a disc on the crankshaft itself. On a geared shaft take that shaft's angle.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(arc_on_disc("5 in", "25 deg"), "in", digits=5)
    '2.1817 in'
    """
    return radius * angle


@_formula(source=sources.DEFINITION.at("arc of a circle"), result=r"\theta", title="Angle of the arc")
def angle_of_arc(radius: Length, arc: Length) -> Angle:
    """The crank angle that an arc along the rim stands for: the inverse of `arc_on_disc`.

    Formula: a = b / R.

    Parameters
    ----------
    radius : Length
        of the disc, where the mark stands
    arc : Length
        along the rim

    Returns
    -------
    Angle
        The angle.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: as `arc_on_disc`; arcs up to half a turn.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(angle_of_arc("5 in", "2.1817 in"), "deg", digits=4)
    '25.00°'
    """
    return arc / radius


@contract
def angle_of_greatest_piston_speed(stroke: Length, rod: Length) -> Angle:
    """Crank angle at which the piston is fastest: exact, where `piston_acceleration` is nothing.

    Parameters
    ----------
    stroke : Length
        twice the crank's radius.
    rod : Length
        between the centres of the connecting rod's bearings.

    Returns
    -------
    Angle
        The angle from top dead centre, below 90 degrees.

    Raises
    ------
    QuantityError
        An argument is not of its kind, or the rod is no longer than the crank's radius.

    Notes
    -----
    Source: geometry. Range: any rod longer than the crank's radius.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(angle_of_greatest_piston_speed("0.6 m", "1 m"), "deg", digits=5)
    '74.529°'
    """
    if not 0 < stroke / 2 < rod:
        raise QuantityError("angle_of_greatest_piston_speed: rod must be longer than half the stroke")
    from scipy.optimize import brentq

    return float(brentq(lambda at: piston_acceleration.si(stroke, rod, at, 1.0), 1e-6, math.pi / 2, xtol=1e-14))


@contract
def true_top_dead_centre(first: Angle, second: Angle) -> Angle:
    """The disc's reading at true top dead centre, from two readings against one piston stop.

    A stop in the plug hole holds the piston at one and the same travel before and after the top; half way between the
    two readings the crank is at top dead centre. No dial gauge finds the top itself so well: there the piston hardly
    moves.

    Parameters
    ----------
    first, second : Angle
        the disc's readings with the piston against the stop, turned up to it from either side, gently.

    Returns
    -------
    Angle
        The reading half way by the shorter arc, from -180 to 180 degrees.

    Raises
    ------
    QuantityError
        An argument is not of its kind, or the readings are half a turn apart, so that both ways are as short.

    Notes
    -----
    Source: symmetry of `piston_travel`. Range: a rigid stop; no offset of the piston pin
    (`true_top_dead_centre_offset`).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(true_top_dead_centre("332 deg", "30 deg"), "deg", digits=3)
    '1.00°'
    """
    apart = math.remainder(second - first, 2 * math.pi)
    if abs(abs(apart) - math.pi) < 1e-9:
        raise QuantityError("true_top_dead_centre: the readings are half a turn apart: move the stop nearer to the top")
    return math.remainder(first + apart / 2, 2 * math.pi)


@contract(valid={"stroke": STROKE, "rod": ROD, "offset": ("-100 mm", "100 mm")})
def true_top_dead_centre_offset(
    first: Angle, second: Angle, stroke: Length, rod: Length, offset: Length, rises_after_top: bool = True
) -> Angle:
    """The disc's reading at true top dead centre from two readings against one stop, where the pin is offset.

    Formula: top = middle -/+ (asin(e / D) - asin(e / (l + r))), with D = r cos h + sqrt(l^2 - r^2 sin^2 h), h half the
    angle between the readings and r = s/2; minus where the disc's reading rises after the top.

    Parameters
    ----------
    first, second : Angle
        the disc's readings with the piston against the stop, turned up to it from either side, gently.
    stroke : Length
        twice the crank's radius.
    rod : Length
        between the centres of the connecting rod's bearings.
    offset : Length
        of the pin's line of travel from the crank's axis, positive to the side to which the crank pin goes as it
        leaves the top the way the engine runs.
    rises_after_top : bool
        whether the disc's reading rises as the crank turns the way it runs.

    Returns
    -------
    Angle
        The reading with the piston at its highest place, from -180 to 180 degrees.

    Raises
    ------
    QuantityError
        An argument is not of its kind or out of range, the readings are half a turn apart, or the rod is not longer
        than half the stroke and the offset together.

    Notes
    -----
    Source: geometry. With the piston held in one place its pin is held too, and the crank pin lies on two circles: one
    about the crank's axis, one about the piston's pin. They meet at two points, one on each side of the line through
    both centres and as far from it, so that half way between the readings the crank points at the piston's pin,
    asin(e / D) off the cylinder's line, D from the law of cosines; at the top it points asin(e / (l + r)) off. By
    hand, 90 mm, 150 mm, 2 mm, 28 degrees to both sides of the middle: D = 39.7326 + 148.5045 = 188.2372 mm;
    0.60877 - 0.58766 = 0.0211 degrees.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(true_top_dead_centre_offset("332 deg", "28 deg", "90 mm", "150 mm", "2 mm"), "deg", digits=3)
    '-0.0211°'
    """
    radius = stroke / 2
    if not 0 < radius + abs(offset) < rod:
        raise QuantityError(
            "true_top_dead_centre_offset: rod must be longer than half the stroke and the offset together"
        )
    middle = true_top_dead_centre.si(first, second)
    half = abs(math.remainder(second - first, 2 * math.pi)) / 2
    to_pin = radius * math.cos(half) + math.sqrt(rod**2 - (radius * math.sin(half)) ** 2)
    off = math.asin(offset / to_pin) - math.asin(offset / (rod + radius))
    return math.remainder(middle - off if rises_after_top else middle + off, 2 * math.pi)


@contract
def timing_from_disc(reading: Angle, top: Angle, rises_after_top: bool = True) -> Angle:
    """Degrees before top dead centre, from the disc's reading as the points open and its reading at the top.

    Parameters
    ----------
    reading : Angle
        of the disc as the points open, or as the timing light flashes.
    top : Angle
        the disc's reading at true top dead centre (`true_top_dead_centre`).
    rises_after_top : bool
        whether the disc's reading rises as the crank turns the way it runs.

    Returns
    -------
    Angle
        Before top dead centre positive, from -180 to 180 degrees.

    Raises
    ------
    QuantityError
        An argument is not of its kind.

    Notes
    -----
    Source: definition. Range: a disc on the crankshaft; four strokes take two turns, and the disc does not show which.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(timing_from_disc("336 deg", "1 deg"), "deg", digits=4)
    '25.00°'
    """
    before = math.remainder(top - reading, 2 * math.pi)
    return before if rises_after_top else -before
