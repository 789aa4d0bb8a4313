"""The force of gravity on a mass, at standard gravity."""

from __future__ import annotations

from rotorkit import sources
from rotorkit.formula import formula
from rotorkit.quantities import Force, Mass
from rotorkit.sources.constants import STANDARD_GRAVITY


@formula(
    source=sources.DEFINITION.at("weight at standard gravity"),
    letters={"mass": "m"},
    result="W",
    title="Weight as a force",
)
def weight_force(mass: Mass) -> Force:
    """The force with which gravity pulls on `mass`: the lift that a hovering rotor has to carry, less nothing.

    Weight at standard gravity, so that 1 lb of mass weighs 1 lbf and 1 kg weighs 9.80665 N. Real gravity differs from
    the standard by up to 0.3 % over the earth's surface at sea level, and a balance scale or a load cell calibrated on
    the spot reads mass; the difference is not carried.

    Formula: W = m g0.

    Parameters
    ----------
    mass : Mass
        what the scale reads (mass, not negative).

    Returns
    -------
    Force
        The weight (force), downward taken as positive.

    Raises
    ------
    QuantityError
        a force, a bare number or a negative mass was given.

    Notes
    -----
    Range of validity: any mass.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(weight_force("1400 lb"), "lbf", digits=6)
    '1,400.00 lbf'
    """
    return mass * STANDARD_GRAVITY


@formula(source=sources.DEFINITION.at("weight at standard gravity"), letters={"weight": "W"}, result="m",
         valid={"weight": ("0 lbf", None)},
         title="Mass from the weight")  # fmt: skip
def mass_from_weight(weight: Force) -> Mass:
    """The mass that weighs `weight` at standard gravity: the inverse of `weight_force`.

    Formula: m = W / g0.

    Parameters
    ----------
    weight : Force
        the force of gravity (force, downward positive).

    Returns
    -------
    Mass
        The mass.

    Raises
    ------
    QuantityError
        a mass, a bare number or a negative force was given.

    Notes
    -----
    Range of validity: any weight that is not negative.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(mass_from_weight("9806.65 N"), "kg", digits=6)
    '1,000.00 kg'
    """
    return weight / STANDARD_GRAVITY
