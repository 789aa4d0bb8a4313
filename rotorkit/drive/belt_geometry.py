"""Where a belt lies: wraps, lengths, spans, centre distance, for open and crossed belts on two pulleys."""

from __future__ import annotations

from rotorkit import sources
from rotorkit.formula import acos, asin, atan, formula, pi, sqrt
from rotorkit.formula.contract import contract
from rotorkit.quantities import Angle, Length, QuantityError

_SIZE = ("1 mm", "100 m")
_LETTERS = {"large_diameter": "D", "small_diameter": "d", "centre_distance": "C"}
_VALID = dict.fromkeys(_LETTERS, _SIZE)
_ORDERED = {**_VALID, "small_diameter": (_SIZE[0], "large_diameter")}
_SHOWN = dict.fromkeys(_LETTERS, ("in", "mm"))
_LENGTH_SHOWN = {**_SHOWN, "result": ("in", "mm")}
_GEOMETRY = sources.ARITHMETIC.at("belt tangent to two circles")


@formula(source=_GEOMETRY, letters=_LETTERS, result=r"\theta", valid=_ORDERED, shown=_SHOWN)
def open_belt_wrap_small(large_diameter: Length, small_diameter: Length, centre_distance: Length) -> Angle:
    """Wrap of an open belt on the small pulley, where it slips first. Formula: pi - 2 asin((D - d) / (2 C)).

    Parameters
    ----------
    large_diameter, small_diameter : Length
        of the pulleys, pitch diameters.
    centre_distance : Length
        between their axes.

    Returns
    -------
    Angle
        The wrap.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(open_belt_wrap_small("0.625 m", "0.25 m", "1 m"), "deg", digits=4)
    '158.4°'
    """
    return pi - 2 * asin((large_diameter - small_diameter) / (2 * centre_distance))


@formula(source=_GEOMETRY, letters=_LETTERS, result=r"\theta", valid=_ORDERED, shown=_SHOWN)
def open_belt_wrap_large(large_diameter: Length, small_diameter: Length, centre_distance: Length) -> Angle:
    """Wrap of an open belt on the large pulley. Formula: pi + 2 asin((D - d) / (2 C)).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(open_belt_wrap_large("0.625 m", "0.25 m", "1 m"), "deg", digits=4)
    '201.6°'
    """
    return pi + 2 * asin((large_diameter - small_diameter) / (2 * centre_distance))


@formula(source=_GEOMETRY, letters=_LETTERS, result=r"\theta", valid=_VALID, shown=_SHOWN)
def crossed_belt_wrap(large_diameter: Length, small_diameter: Length, centre_distance: Length) -> Angle:
    """Wrap of a crossed belt, the same on both pulleys. Formula: pi + 2 asin((D + d) / (2 C)).

    Examples
    --------
    0.45 and 0.2 m at 1.95 m: 199.2 degrees, 3.476 rad.

    >>> from rotorkit.quantities import say
    >>> say(crossed_belt_wrap("0.45 m", "0.2 m", "1.95 m"), "rad", digits=4)
    '3.476 rad'
    """
    return pi + 2 * asin((large_diameter + small_diameter) / (2 * centre_distance))


@formula(source=_GEOMETRY, letters=_LETTERS, result="S", valid=_VALID, shown=_LENGTH_SHOWN)
def belt_span(large_diameter: Length, small_diameter: Length, centre_distance: Length) -> Length:
    """Free length of one run of an open belt, between where it touches the pulleys. Formula: sqrt(C^2 - (D - d)^2/4).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(belt_span("13.5 in", "9 in", "24 in"), "in", digits=4)
    '23.89 in'
    """
    return sqrt(centre_distance**2 - (large_diameter - small_diameter) ** 2 / 4)


@formula(source=_GEOMETRY, letters=_LETTERS, result="S", valid=_VALID, shown=_LENGTH_SHOWN)
def crossed_belt_span(large_diameter: Length, small_diameter: Length, centre_distance: Length) -> Length:
    """Free length of one run of a crossed belt. Formula: sqrt(C^2 - (D + d)^2/4).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(crossed_belt_span("0.45 m", "0.2 m", "1.95 m"), "m", digits=4)
    '1.923 m'
    """
    return sqrt(centre_distance**2 - (large_diameter + small_diameter) ** 2 / 4)


@formula(source=_GEOMETRY, letters=_LETTERS, result="L", valid=_VALID, shown=_LENGTH_SHOWN)
def open_belt_length(large_diameter: Length, small_diameter: Length, centre_distance: Length) -> Length:
    """Length of an open belt round two pulleys, exact. Formula: 2 S + pi (D + d)/2 + (D - d) asin((D - d)/(2 C)).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(open_belt_length("13.5 in", "9 in", "24 in"), "in", digits=5)
    '83.554 in'
    """
    return (
        2 * sqrt(centre_distance**2 - (large_diameter - small_diameter) ** 2 / 4)
        + pi * (large_diameter + small_diameter) / 2
        + (large_diameter - small_diameter) * asin((large_diameter - small_diameter) / (2 * centre_distance))
    )


@formula(source=_GEOMETRY, letters=_LETTERS, result="L", valid=_VALID, shown=_LENGTH_SHOWN)
def crossed_belt_length(large_diameter: Length, small_diameter: Length, centre_distance: Length) -> Length:
    """Length of a crossed belt round two pulleys, exact. Formula: 2 S + (D + d) (pi/2 + asin((D + d)/(2 C))).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(crossed_belt_length("0.45 m", "0.2 m", "1.95 m"), "m", digits=4)
    '4.975 m'
    """
    return 2 * sqrt(centre_distance**2 - (large_diameter + small_diameter) ** 2 / 4) + (
        large_diameter + small_diameter
    ) * (pi - acos((large_diameter + small_diameter) / (2 * centre_distance)))


@contract(valid={"belt_length": _SIZE, "large_diameter": _SIZE, "small_diameter": (_SIZE[0], "large_diameter")})
def centre_distance_for_belt_length(
    belt_length: Length, large_diameter: Length, small_diameter: Length, crossed: bool = False
) -> Length:
    """Distance of the pulleys' axes at which a belt of a length is just straight.

    Parameters
    ----------
    belt_length : Length
        pitch length of the belt.
    large_diameter, small_diameter : Length
        pitch diameters.
    crossed : bool
        whether the belt crosses itself.

    Returns
    -------
    Length
        The centre distance.

    Raises
    ------
    QuantityError
        the belt is too short to go round both pulleys.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(centre_distance_for_belt_length("83.554 in", "13.5 in", "9 in"), "in", digits=4)
    '24.00 in'
    """
    from scipy.optimize import brentq

    length = crossed_belt_length.si if crossed else open_belt_length.si
    least = (large_diameter + small_diameter) / 2
    if length(large_diameter, small_diameter, least * (1 + 1e-12)) > belt_length:
        raise QuantityError("centre_distance_for_belt_length: belt_length is too short to go round both pulleys")
    return float(
        brentq(
            lambda c: length(large_diameter, small_diameter, c) - belt_length,
            least * (1 + 1e-12),
            belt_length,
            xtol=1e-12,
        )
    )


@formula(source=sources.ARITHMETIC.at("straightedge along a pulley's face"), result=r"\beta",
         letters={"gap": "g_1", "opposite_gap": "g_2", "across": "a"}, valid={"across": _SIZE},
         shown=dict.fromkeys(["gap", "opposite_gap", "across"], ("in", "mm")))  # fmt: skip
def pulley_lean(gap: Length, opposite_gap: Length, across: Length) -> Angle:
    """How far a pulley's face leans from a straightedge laid on the other's. Formula: atan((g2 - g1) / a).

    Parameters
    ----------
    gap, opposite_gap : Length
        from the straightedge to the face at its two edges, opposite each other.
    across : Length
        between the two places.

    Returns
    -------
    Angle
        Positive where the second place lies further away.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(pulley_lean("0.05 in", "0.15 in", "12 in"), "deg", digits=3)
    '0.477°'
    """
    return atan((opposite_gap - gap) / across)


@formula(source=sources.ARITHMETIC.at("straightedge along a pulley's face"), result=r"\gamma",
         letters={"gap": "g_1", "opposite_gap": "g_2", "faces_differ": "w", "centre_distance": "C"},
         valid={"centre_distance": _SIZE},
         shown=dict.fromkeys(["gap", "opposite_gap", "faces_differ", "centre_distance"], ("in", "mm")))  # fmt: skip
def pulleys_out_of_line(gap: Length, opposite_gap: Length, faces_differ: Length, centre_distance: Length) -> Angle:
    """Angle at which a belt runs off its groove's plane. Formula: atan(((g1 + g2) / 2 - w) / C).

    Parameters
    ----------
    gap, opposite_gap : Length
        as in `pulley_lean`: their mean is the gap at the pulley's middle.
    faces_differ : Length
        by how much the driving pulley's face lies further from its groove than the driven one's; negative where less.
    centre_distance : Length
        between the axes.

    Returns
    -------
    Angle
        Positive where the driven pulley's groove lies further from the straightedge's side.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(pulleys_out_of_line("0.05 in", "0.15 in", "0 in", "24 in"), "deg", digits=3)
    '0.239°'
    """
    return atan(((gap + opposite_gap) / 2 - faces_differ) / centre_distance)
