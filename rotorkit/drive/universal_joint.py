"""Universal joints: how unevenly a driven shaft turns, and how a pair of joints takes that out again or doubles it.

Angles of a joint are those between its two shafts. The turn of the driving shaft counts from where its yoke lies in the
plane of the two shafts: there the driven shaft is fastest. All shafts of a pair lie in one plane here.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit import sources
from rotorkit.formula import acos, cos, nomenclature, sin, sqrt
from rotorkit.formula.contract import contract
from rotorkit.quantities import Angle, AngularAcceleration, Ratio, RotationRate, from_si

_ANGLE = ("0 deg", "80 deg")


_formula = nomenclature(
    letters={
        "joint_angle": r"\alpha", "fluctuation": "q", "speed": r"\omega", "turn": r"\theta", "first_angle": r"\alpha_1",
        "second_angle": r"\alpha_2",
    },
    valid={"joint_angle": _ANGLE, "fluctuation": ("0", "5"), "first_angle": _ANGLE, "second_angle": _ANGLE},
)  # fmt: skip


@_formula(source=sources.UNIVERSAL_JOINT.at("(greatest - least) / mean"), result="q")
def universal_joint_fluctuation(joint_angle: Angle) -> Ratio:
    """Whole fluctuation of the driven speed over its mean. Formula: q = 1 / cos alpha - cos alpha.

    Parameters
    ----------
    joint_angle : Angle
        between the two shafts, 0 to 80 degrees.

    Returns
    -------
    Ratio
        greatest less least speed, over the mean.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(universal_joint_fluctuation("19.6442 deg"), digits=4)
    '0.1200'
    """
    return 1 / cos(joint_angle) - cos(joint_angle)


@_formula(source=sources.UNIVERSAL_JOINT.at("inverse of q = 1 / cos alpha - cos alpha"), result=r"\alpha")
def universal_joint_angle_for_fluctuation(fluctuation: Ratio) -> Angle:
    """Angle between the shafts at which the driven speed fluctuates so much, whole swing over mean.

    Examples
    --------
    Khurmi & Gupta, example 9.4 (quoted): 12 % gives 19.64 degrees.

    >>> from rotorkit.quantities import say
    >>> say(universal_joint_angle_for_fluctuation("12 %"), "deg", digits=4)
    '19.64°'
    """
    return acos((sqrt(fluctuation**2 + 4) - fluctuation) / 2)


@_formula(source=sources.UNIVERSAL_JOINT.at("driven speed at a turn"), result=r"\omega_2")
def universal_joint_speed(speed: RotationRate, joint_angle: Angle, turn: Angle) -> RotationRate:
    """Driven speed at a turn of the driving shaft. Formula: omega2 = omega cos alpha / (1 - cos^2 theta sin^2 alpha).

    Parameters
    ----------
    speed : RotationRate
        of the driving shaft, even.
    joint_angle : Angle
        between the shafts.
    turn : Angle
        of the driving shaft, from where its yoke lies in the plane of the two shafts.

    Returns
    -------
    RotationRate
        The driven speed at that moment.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(universal_joint_speed("500 rpm", "20 deg", "0 deg"), "rpm", digits=5)
    '532.09 rpm'
    """
    return speed * cos(joint_angle) / (1 - cos(turn) ** 2 * sin(joint_angle) ** 2)


@_formula(source=sources.UNIVERSAL_JOINT.at("omega / cos alpha"), result=r"\omega_{max}")
def universal_joint_greatest_speed(speed: RotationRate, joint_angle: Angle) -> RotationRate:
    """Greatest driven speed in a turn, driven by `speed`. Formula: omega / cos alpha.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(universal_joint_greatest_speed("500 rpm", "20 deg"), "rpm", digits=5)
    '532.09 rpm'
    """
    return speed / cos(joint_angle)


@_formula(source=sources.UNIVERSAL_JOINT.at("omega cos alpha"), result=r"\omega_{min}")
def universal_joint_least_speed(speed: RotationRate, joint_angle: Angle) -> RotationRate:
    """Least driven speed in a turn, driven by `speed`. Formula: omega cos alpha.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(universal_joint_least_speed("500 rpm", "20 deg"), "rpm", digits=5)
    '469.85 rpm'
    """
    return speed * cos(joint_angle)


@_formula(source=sources.UNIVERSAL_JOINT.at("tan theta = sqrt(cos alpha)"), result=r"\theta")
def universal_joint_unit_ratio_angle(joint_angle: Angle) -> Angle:
    """First turn of the driving shaft at which both shafts turn equally fast; the next is 180 degrees less it.

    Examples
    --------
    18 degrees: 44.28 and 135.72 degrees.

    >>> from rotorkit.quantities import say
    >>> say(universal_joint_unit_ratio_angle("18 deg"), "deg", digits=6)
    '44.2813°'
    """
    return acos(1 / sqrt(1 + cos(joint_angle)))


@_formula(source=sources.UNIVERSAL_JOINT.at("driven acceleration at a turn"), result=r"\epsilon")
def universal_joint_acceleration(speed: RotationRate, joint_angle: Angle, turn: Angle) -> AngularAcceleration:
    """Angular acceleration of the driven shaft at a turn of the driving one, which turns evenly.

    Formula: -omega^2 cos alpha sin^2 alpha sin 2 theta / (1 - cos^2 theta sin^2 alpha)^2. Positive: it gets faster.

    Examples
    --------
    1,500 rpm, 20 degrees, at 138.57 degrees of turn: 3,083 rad/s2.

    >>> from rotorkit.quantities import say
    >>> say(universal_joint_acceleration("1500 rpm", "20 deg", "138.57 deg"), "rad/s^2", digits=4)
    '3,083 rad/s²'
    """
    return (
        -(speed**2)
        * cos(joint_angle)
        * sin(joint_angle) ** 2
        * sin(2 * turn)
        / (1 - cos(turn) ** 2 * sin(joint_angle) ** 2) ** 2
    )


@contract
def universal_joint_greatest_acceleration(speed: RotationRate, joint_angle: Angle) -> AngularAcceleration:
    """Greatest angular acceleration of the driven shaft in a turn, its size.

    Parameters
    ----------
    speed : RotationRate
        of the driving shaft, even.
    joint_angle : Angle
        between the shafts.

    Returns
    -------
    AngularAcceleration
        The greatest, which comes four times a turn, twice each way. The torque that it asks for is the driven inertia
        times it.

    Notes
    -----
    Exact: with s = sin^2 alpha it lies where cos 2 theta = (s - 2 + sqrt(9 s^2 - 4 s + 4)) / (2 s) (set the slope of
    `universal_joint_acceleration` to zero). The texts' cos 2 theta = 2 s / (2 - s) is an approximation of it.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(universal_joint_greatest_acceleration("1500 rpm", "20 deg"), "rad/s^2", digits=5)
    '3,083.4 rad/s²'
    """
    s = np.sin(joint_angle) ** 2
    s = np.where(s < 1e-12, 1e-12, s)
    # with c = cos 2 theta the size is 4 cos(alpha) s sqrt(1 - c^2) / (2 - s - s c)^2
    c = (s - 2 + np.sqrt((2 - s) ** 2 + 8 * s**2)) / (2 * s)
    found = speed**2 * 4 * np.cos(joint_angle) * s * np.sqrt(1 - c**2) / (2 - s - s * c) ** 2
    return found if np.ndim(found) else float(found)


@_formula(source=sources.UNIVERSAL_JOINT.at("one joint after the other, yokes in line"), result="q")
def universal_joint_pair_fluctuation(first_angle: Angle, second_angle: Angle) -> Ratio:
    """Whole fluctuation behind two joints, over the mean speed, the yokes of the shaft between them in one plane.

    Formula: q = cos alpha2 / cos alpha1 - cos alpha1 / cos alpha2. Where the first joint makes the shaft between them
    fastest the second one makes the driven shaft slowest, so that these two are the ends of the swing.

    Parameters
    ----------
    first_angle, second_angle : Angle
        of the two joints, between their shafts, 0 to 80 degrees; all three shafts in one plane.

    Returns
    -------
    Ratio
        Positive where the first joint does more than the second takes out, negative where the second does more: its
        size is greatest less least speed, over the mean.

    Examples
    --------
    20 and 15 degrees: 0.96593 / 0.93969 - 0.93969 / 0.96593 = 1.02792 - 0.97284.

    >>> from rotorkit.quantities import say
    >>> say(universal_joint_pair_fluctuation("20 deg", "15 deg"), digits=4)
    '0.05508'
    """
    return cos(second_angle) / cos(first_angle) - cos(first_angle) / cos(second_angle)


@_formula(source=sources.UNIVERSAL_JOINT.at("one joint after the other, yokes a quarter turn apart"), result="q")
def universal_joint_pair_crossed_fluctuation(first_angle: Angle, second_angle: Angle) -> Ratio:
    """Whole fluctuation behind two joints, over the mean speed, their yokes a quarter turn apart: both joints add up.

    Formula: q = 1 / (cos alpha1 cos alpha2) - cos alpha1 cos alpha2.

    Parameters
    ----------
    first_angle, second_angle : Angle
        of the two joints, between their shafts, 0 to 80 degrees; all three shafts in one plane.

    Returns
    -------
    Ratio
        Greatest less least speed, over the mean.

    Examples
    --------
    20 degrees twice: 566.24 and 441.51 rpm of 500, as `universal_joint_pair` finds them turn by turn.

    >>> from rotorkit.quantities import say
    >>> say(universal_joint_pair_crossed_fluctuation("20 deg", "20 deg"), digits=4)
    '0.2495'
    """
    return 1 / (cos(first_angle) * cos(second_angle)) - cos(first_angle) * cos(second_angle)


@dataclass(frozen=True)
class JointPair:
    """Greatest and least speeds of the shaft between two joints and of the driven one, as quantities."""

    intermediate_greatest: Any
    intermediate_least: Any
    output_greatest: Any
    output_least: Any


@contract(valid={"first_angle": _ANGLE, "second_angle": _ANGLE})
def universal_joint_pair(
    speed: RotationRate, first_angle: Angle, second_angle: Angle, phase: Angle = "0 deg"
) -> JointPair:
    """Two universal joints, one after the other: what the shaft between them and the driven one do in a turn.

    Parameters
    ----------
    speed : RotationRate
        of the driving shaft, even.
    first_angle, second_angle : Angle
        of the two joints; all three shafts in one plane.
    phase : Angle
        how far the two yokes of the shaft between the joints are out of line: 0 deg where both lie in one plane (as
        they should), 90 deg where they are a quarter of a turn out.

    Returns
    -------
    JointPair
        The greatest and least speeds.

    Examples
    --------
    Yokes in line and equal angles: even. A quarter out: 566.2 and 441.5 rpm.

    >>> from rotorkit.quantities import say
    >>> right = universal_joint_pair("500 rpm", "20 deg", "20 deg")
    >>> wrong = universal_joint_pair("500 rpm", "20 deg", "20 deg", "90 deg")
    >>> [say(one, "rpm", digits=5) for one in (right.output_greatest, wrong.output_greatest, wrong.output_least)]
    ['500.00 rpm', '566.24 rpm', '441.51 rpm']
    """
    turns = np.linspace(0, np.pi, 3601)
    first = np.cos(first_angle) / (1 - np.cos(turns) ** 2 * np.sin(first_angle) ** 2)
    # the driven yoke of the first joint counts from the normal of the plane; tan driver = tan driven x cos(angle)
    driven = np.arctan2(np.sin(turns), np.cos(turns) * np.cos(first_angle))
    yoke = driven + np.pi / 2 + phase
    second = np.cos(second_angle) / (1 - np.cos(yoke) ** 2 * np.sin(second_angle) ** 2)
    both = first * second
    ends = (first.max(), first.min(), both.max(), both.min())
    return JointPair(*(from_si(float(end * speed), RotationRate) for end in ends))
