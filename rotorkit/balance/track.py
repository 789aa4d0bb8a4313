"""Rotor track: how far apart the blades' tips fly, from the marks that they leave on a flag."""

from __future__ import annotations

from collections.abc import Sequence

from rotorkit import sources
from rotorkit.formula import formula
from rotorkit.formula.functions import atan
from rotorkit.judging.measured import Measured, largest_less_smallest
from rotorkit.quantities import Angle, Length


def track_spread(heights: Sequence[Measured]) -> Measured:
    """The highest mark less the lowest: what the manual limits.

    Parameters
    ----------
    heights : sequence of Measured
        Height of each blade's mark above one and the same line of the flag, upwards positive; two or more.

    Returns
    -------
    Measured
        A length, not negative. What all readings share, such as the place of the flag, drops out.

    Raises
    ------
    QuantityError
        Fewer than two heights, or not all lengths.

    Notes
    -----
    Source: definition. Range: any.

    Examples
    --------
    2 1/4 and 1 7/8 in: 3/8 in.

    >>> from rotorkit.judging.measured import measured
    >>> from rotorkit.quantities import say
    >>> marks = [measured(text, Length, text) for text in ("2.25 in", "1.875 in")]
    >>> say(track_spread(marks), "in")
    '0.3750 in'
    """
    return largest_less_smallest(list(heights))


@formula(
    source=sources.DEFINITION.at("a height at the tip, seen from the axis of the shaft"),
    result=r"\Delta\beta",
    title="Difference of flapping",
    letters={"height_difference": r"\Delta h", "radius": "R"},
)
def flapping_difference(height_difference: Length, radius: Length) -> Angle:
    """How much higher one blade flaps than another whose tip flies lower: atan(height difference / radius).

    Parameters
    ----------
    height_difference : Length
        Of the two marks, upwards positive.
    radius : Length
        From the axis of the shaft to the flag, where the tips pass it.

    Returns
    -------
    Angle
        Positive where the first blade flies higher.

    Notes
    -----
    Source: geometry. Range: the blades straight from axis to tip; flap hinges near the axis.

    Examples
    --------
    3/8 in at 140 in: atan(0.0026786) = 0.15347 deg.

    >>> from rotorkit.quantities import say
    >>> say(flapping_difference("0.375 in", "140 in"), "deg")
    '0.1535°'
    """
    return atan(height_difference / radius)
