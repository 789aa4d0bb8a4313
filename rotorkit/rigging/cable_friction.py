"""What a cable loses at a pulley, a fairlead or a drum.

Round a pulley that turns, the loss is that of its bearing: small. Over a thing that does not turn (a seized pulley, a
fairlead, a drum) it is that of the capstan equation, which grows with the angle of wrap and knows no radius. The same
run measured on both sides of a pulley, after the controls were moved one way, shows which of the two it is.
"""

from __future__ import annotations

from rotorkit import sources
from rotorkit.formula import exp, log, nomenclature, sin
from rotorkit.quantities import Angle, Force, Length, Ratio

_PULL = ("0 lbf", None)
_MORE = ("1e-6 N", None)
_WRAP = ("0 deg", "3600 deg")
_FRICTION = ("0", "2")

_formula = nomenclature(
    letters={
        "tension": "T_1", "friction_coefficient": r"\mu", "wrap": r"\beta", "pulling_side": "T_1", "slack_side": "T_2",
        "bearing_friction": r"\mu_b", "bearing_radius": "r_b", "pulley_radius": "r",
    },
    valid={
        "tension": _PULL, "friction_coefficient": _FRICTION, "wrap": _WRAP, "pulling_side": _MORE, "slack_side": _MORE,
        "bearing_friction": _FRICTION, "bearing_radius": ("0 m", None), "pulley_radius": ("1e-3 m", None),
    },
    shown={"bearing_radius": ("in", "mm"), "pulley_radius": ("in", "mm")},
)  # fmt: skip


@_formula(source=sources.CAPSTAN.at("T_2 = T_1 exp(-mu beta)"), result="T_2", title="Tension after a wrap")
def tension_after_wrap(tension: Force, friction_coefficient: Ratio, wrap: Angle) -> Force:
    """Tension on the slack side of a cable that slides, or is about to, over something that does not turn.

    Parameters
    ----------
    tension : Force
        [force] on the pulling side
    friction_coefficient : Ratio
        [-] of cable on fairlead or pulley
    wrap : Angle
        [angle] through which the cable's direction changes

    Returns
    -------
    Force
        The tension on the other side, less than `tension`.

    Notes
    -----
    Range of validity: a cable that bends freely; a round contact; friction fully used. The ratio of a cable that does
    not slide may lie anywhere between this and its inverse.

    Examples
    --------
    100 lbf over half a turn with 0.40: 100 exp(-0.4 pi) = 28.46 lbf.

    >>> from rotorkit.quantities import say
    >>> say(tension_after_wrap("100 lbf", "0.40", "180 deg"), "lbf", digits=4)
    '28.46 lbf'
    """
    return tension * exp(-friction_coefficient * wrap)


@_formula(
    source=sources.CAPSTAN.at("mu = ln(T_1/T_2) / beta"),
    result=r"\mu",
    valid={"wrap": ("0.01 deg", "3600 deg")},
    title="Friction coefficient from two tensions",
)
def friction_coefficient_from_tensions(pulling_side: Force, slack_side: Force, wrap: Angle) -> Ratio:
    """Apparent friction coefficient at a pulley or fairlead, from the tensions on its two sides.

    Near zero the pulley turns; 0.1 and more means that the cable slides over it.

    Parameters
    ----------
    pulling_side, slack_side : Force
        [force] after the cable was moved one way and left there
    wrap : Angle
        [angle] change of direction

    Examples
    --------
    40 and 37 lbf over 90 deg: ln(40/37) / (pi/2) = 0.050.

    >>> from rotorkit.quantities import say
    >>> say(friction_coefficient_from_tensions("40 lbf", "37 lbf", "90 deg"), digits=2)
    '0.050'
    """
    return log(pulling_side / slack_side) / wrap


@_formula(
    source=sources.ARITHMETIC.at("moment of bearing friction about a pulley's axis, first order"),
    letters={"tension": "T"},
    result=r"\Delta T",
    valid={"wrap": ("0 deg", "180 deg")},
    title="Tension loss at a turning pulley",
)
def tension_loss_at_turning_pulley(
    tension: Force, wrap: Angle, bearing_friction: Ratio, bearing_radius: Length, pulley_radius: Length
) -> Force:
    """Tension lost round a pulley that turns on its bearing.

    The bearing carries ``2 T sin(wrap / 2)``; its friction, at the bearing's radius, is overcome at the cable's.

    Parameters
    ----------
    tension : Force
        [force] in the cable
    wrap : Angle
        [angle] change of direction, to 180 deg
    bearing_friction : Ratio
        [-] of the bearing
    bearing_radius : Length
        [length] at which it acts
    pulley_radius : Length
        [length] of the pulley to the cable's middle

    Returns
    -------
    Force
        The loss (force).

    Notes
    -----
    Range of validity: a loss that is small beside the tension; the cable's own stiffness in bending comes on top.

    Examples
    --------
    40 lbf, 90 deg, 0.01 at 0.2 in, pulley 1.25 in: 2 x 40 x 0.7071 x 0.01 x 0.2 / 1.25 = 0.0905 lbf.

    >>> from rotorkit.quantities import say
    >>> say(tension_loss_at_turning_pulley("40 lbf", "90 deg", "0.01", "0.2 in", "1.25 in"), "lbf", digits=3)
    '0.0905 lbf'
    """
    return 2 * tension * sin(wrap / 2) * bearing_friction * bearing_radius / pulley_radius
