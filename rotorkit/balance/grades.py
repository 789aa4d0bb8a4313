"""Balance quality grades: the unbalance that a rigid rotor may keep, as a yardstick."""

from __future__ import annotations

import math
import re
from typing import Any

from rotorkit import sources
from rotorkit.formula import formula
from rotorkit.formula.contract import contract
from rotorkit.quantities import Angle, Length, Mass, QuantityError, RotationRate, Speed, Unbalance, read

_ISO = sources.ISO_21940_11
ONE_LINE = math.radians(0.1)
"""Nearer to one line through the axis than this no holes are drilled on purpose (our own choice)."""


def balance_grade(name: str) -> Any:
    """A balance quality grade by its name, ``"G6.3"``: the speed e omega that it stands for.

    Parameters
    ----------
    name : str
        ``"G6.3"``, ``"G 2.5"``; the number is in mm/s. A speed such as ``"6.3 mm/s"`` is taken too.

    Returns
    -------
    quantity
        A speed, in mm/s.

    Raises
    ------
    QuantityError
        No grade in the text.

    Notes
    -----
    Source: ISO 21940-11 (quoted). Range: any number above zero; the standard's own steps are 2.5 apart in ratio.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(balance_grade("G6.3"), "mm/s")
    '6.300 mm/s'
    """
    match = re.fullmatch(r"\s*[Gg]\s*([0-9]+(?:\.[0-9]+)?)\s*", name) if isinstance(name, str) else None
    if not match:
        return read(name, Speed).value
    if float(match[1]) <= 0:
        raise QuantityError(f"grade: needs a number above nothing, got {name}")
    return read(f"{match[1]} mm/s", Speed).value


@formula(
    source=_ISO.at("permissible residual eccentricity"),
    letters={"grade": "G", "speed": r"\omega"},
    result="e",
    title="Permissible eccentricity",
    valid={"grade": ("0 mm/s", None), "speed": ("0.01 rpm", None)},
)
def permissible_eccentricity(grade: Speed, speed: RotationRate) -> Length:
    """How far a rigid rotor's mass may lie off its axis for a balance grade: e = G / omega.

    Parameters
    ----------
    grade : Speed
        G of the grade, 6.3 mm/s for G6.3 (`balance_grade`).
    speed : RotationRate
        The highest at which it runs.

    Returns
    -------
    Length
        Not negative.

    Notes
    -----
    Source: ISO 21940-11 (quoted). Range: rotors that stay rigid at their speed, so never a helicopter's main rotor: a
    yardstick for fans, mandrels and pulleys.

    Examples
    --------
    G6.3 at 3000 rpm: 6.3 / 314.159 mm = 20.05 um.

    >>> from rotorkit.quantities import say
    >>> say(permissible_eccentricity("6.3 mm/s", "3000 rpm"), "mm", digits=4)
    '0.02005 mm'
    """
    return grade / speed


@formula(
    source=_ISO.at("permissible residual unbalance"),
    letters={"grade": "G", "mass": "m", "speed": r"\omega"},
    result="U",
    title="Permissible unbalance",
    valid={"grade": ("0 mm/s", None), "speed": ("0.01 rpm", None)},
)
def permissible_unbalance(grade: Speed, mass: Mass, speed: RotationRate) -> Unbalance:
    """The unbalance that a rigid rotor may keep in all for a balance grade: U = G m / omega.

    With G in mm/s, the mass in pounds and the speed in rpm the same is U = 6.0153 G W / n in ounce-inches.

    Parameters
    ----------
    grade : Speed
        G of the grade (`balance_grade`).
    mass : Mass
        Of the rotor.
    speed : RotationRate
        The highest at which it runs.

    Returns
    -------
    Unbalance
        Of the whole rotor; half of it in each of two planes at like distance from the centre of mass.

    Notes
    -----
    Source: ISO 21940-11 (quoted). Range: as `permissible_eccentricity`.

    Examples
    --------
    G6.3, 1000 lb, 1000 rpm: 37.9 oz in, half of it in each plane.

    >>> from rotorkit.quantities import say
    >>> say(permissible_unbalance("6.3 mm/s", "1000 lb", "1000 rpm"), "oz*in", digits=4)
    '37.90 oz·in'
    """
    return grade * mass / speed


@formula(
    source=_ISO.at("residual unbalance as a grade"),
    letters={"unbalance": "U", "mass": "m", "speed": r"\omega"},
    result="G",
    title="Balance grade reached",
    valid={"mass": ("0.000001 kg", None)},
)
def grade_of(unbalance: Unbalance, mass: Mass, speed: RotationRate) -> Speed:
    """The balance grade that a residual unbalance amounts to: G = U omega / m, the inverse of `permissible_unbalance`.

    Parameters
    ----------
    unbalance : Unbalance
        That is left, in all planes together.
    mass : Mass
        Of the rotor, above nothing.
    speed : RotationRate
        The highest at which it runs.

    Returns
    -------
    Speed
        In mm/s the grade's number.

    Notes
    -----
    Source: ISO 21940-11 (quoted). Range: as `permissible_eccentricity`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(grade_of("100 g*mm", "5 kg", "3000 rpm"), "mm/s", digits=4)
    '6.283 mm/s'
    """
    return unbalance * speed / mass


@formula(
    source=_ISO.at("allocation to two planes, centre of mass between them"),
    letters={"total": "U", "own_distance": "a", "other_distance": "b"},
    result="U_1",
    title="Permissible unbalance of a plane",
    valid={"own_distance": ("0 m", None), "other_distance": ("0 m", None)},
)
def unbalance_of_plane(total: Unbalance, own_distance: Length, other_distance: Length) -> Unbalance:
    """The share of a permissible unbalance that falls to one of two planes: U b / (a + b).

    Parameters
    ----------
    total : Unbalance
        Of the whole rotor.
    own_distance, other_distance : Length
        From the centre of mass, which lies between them, to this plane and to the other one; not negative.

    Returns
    -------
    Unbalance
        Half of the total where the distances are alike.

    Notes
    -----
    Source: law of the lever, as ISO 21940-11 allots it for a centre of mass between the planes (memory). Range: the
    standard holds the share between 0.3 and 0.7 of the total (memory).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(unbalance_of_plane("10 g*mm", "20 mm", "20 mm"), "g*mm", digits=3)
    '5.00 g·mm'
    """
    return total * other_distance / (own_distance + other_distance)


@contract(
    valid={
        "at_first_bearing": ("0 kg*m", None),
        "at_second_bearing": ("0 kg*m", None),
        "bearings_apart": ("0.001 m", None),
    }
)
def unbalance_in_planes(
    at_first_bearing: Unbalance,
    at_second_bearing: Unbalance,
    bearings_apart: Length,
    first_plane: Length,
    second_plane: Length,
) -> Unbalance:
    """What may be left in each of two correction planes, alike in both, that keeps both bearings' shares whatever the
    angles: the least over the bearings of U_bearing / (|c1| + |c2|).

    Parameters
    ----------
    at_first_bearing, at_second_bearing : Unbalance
        What is allowed at each bearing, by `unbalance_of_plane` with the bearings as planes.
    bearings_apart : Length
        From the first bearing to the second.
    first_plane, second_plane : Length
        Where the correction planes lie, from the first bearing towards the second: below nothing, or more than the
        bearings are apart, for a plane that overhangs.

    Returns
    -------
    Unbalance
        For each plane. Planes between the bearings may have more than the bearings where they lie near together, and
        planes that overhang less.

    Notes
    -----
    Source: law of the lever (c1 = (L - x1) / L at the first bearing, x1 / L at the second), both residuals at their
    worst angle, which is our own reading of a tolerance at the bearings (no source). Range: rigid rotor, two planes.

    Examples
    --------
    Planes in the bearings' own have the lesser of both; both overhanging by half the span the first bearing bears
    1.5 U and 0.5 U.

    >>> from rotorkit.quantities import say
    >>> say(unbalance_in_planes("6 g*mm", "8 g*mm", "200 mm", "0 mm", "200 mm"), "g*mm", digits=3)
    '6.00 g·mm'
    >>> say(unbalance_in_planes("6 g*mm", "6 g*mm", "200 mm", "-100 mm", "300 mm"), "g*mm", digits=3)
    '3.00 g·mm'
    """
    span = bearings_apart
    first, second = (first_plane / span, second_plane / span)
    return min(
        at_first_bearing / max(abs(1 - first) + abs(1 - second), 1e-300),
        at_second_bearing / max(abs(first) + abs(second), 1e-300),
    )


@contract(valid={"weight": ("0 kg", None)})
def weight_at_hole(weight: Mass, place: Angle, hole: Angle, other_hole: Angle) -> Mass:
    """What goes into one of two holes so that both together do what a weight at another place would:
    W sin(b - theta) / sin(b - a).

    Parameters
    ----------
    weight : Mass
        That is to be split, at the holes' radius.
    place, hole, other_hole : Angle
        Where it should go, this hole and the other one, from one mark and counted one way round.

    Returns
    -------
    Mass
        Below nothing where the place does not lie between the holes: take as much out there, or put it in opposite.

    Raises
    ------
    QuantityError
        The two holes are in one place, or opposite: no two weights there make one beside them.

    Notes
    -----
    Source: law of sines; the other hole's share is the same with both holes swapped. Range: two holes that are neither
    in one place nor opposite. In whole washers, with a greatest mass for each hole: `split_between_holes`.

    Examples
    --------
    10 g at 90 degrees between holes at 60 and 120: 10 sin 30 / sin 60 = 5.77 g in each.

    >>> from rotorkit.quantities import say
    >>> say(weight_at_hole("10 g", "90 deg", "60 deg", "120 deg"), "g", digits=3)
    '5.77 g'
    """
    apart = math.sin(other_hole - hole)
    if abs(apart) < ONE_LINE:
        raise QuantityError(
            "hole and other_hole: need two holes that are neither in one place nor opposite, got holes "
            f"{math.degrees(other_hole - hole):.3f} degrees apart. Take another hole of the two"
        )
    return weight * math.sin(other_hole - place) / apart
