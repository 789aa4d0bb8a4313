"""Rolling bearings: rating life by ISO 281, loads put together, duty cycles, reliability, and the frequencies of their
faults.

Loads are sizes. The life is the one that 90 % of like bearings reach (L10), clean and greased: dirt, rust and a missed
greasing end a bearing long before.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit import sources
from rotorkit.formula import formula, log, pi
from rotorkit.formula.contract import contract, si_of
from rotorkit.quantities import (
    Angle,
    Force,
    Frequency,
    Length,
    QuantityError,
    Ratio,
    RotationRate,
    Time,
    from_si,
    required_kind,
)

BALL, ROLLER = 3.0, 10.0 / 3.0
"""Life exponents of ISO 281: ball and roller bearings."""

_FORCE, _RATE, _RATIO, _FREQUENCY = map(required_kind, (Force, RotationRate, Ratio, Frequency))
_LETTERS = {"capacity": "C", "load": "P", "speed": "n", "exponent": "p", "life": "L"}
_VALID = {
    "capacity": ("1 N", None), "load": ("0.001 N", None), "speed": ("0.001 rpm", "500000 rpm"),
    "exponent": ("2", "4"), "life": ("1 s", None),
}  # fmt: skip


def _of(table: dict, *names: str) -> dict:
    return {name: table[name] for name in names if name in table}


@formula(source=sources.ISO_281.at("L10 = (C/P)^p, in millions"), letters=_of(_LETTERS, "capacity", "load", "exponent"),
         result="L_{10}", valid=_of(_VALID, "capacity", "load", "exponent"))  # fmt: skip
def bearing_life_revolutions(capacity: Force, load: Force, exponent: Ratio = "3") -> Ratio:
    """Rating life of a rolling bearing, in revolutions. Formula: L10 = 1,000,000 (C / P)^p.

    Parameters
    ----------
    capacity : Force
        basic dynamic load rating C, from the maker's table.
    load : Force
        equivalent load P (`equivalent_bearing_load`), with what shocks add.
    exponent : Ratio
        3 for balls, 10/3 for rollers.

    Returns
    -------
    Ratio
        The revolutions that 90 % of such bearings reach (millions of them: divide by a million).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(bearing_life_revolutions("5590 N", "1451 N"), digits=4)
    '57,178,556'
    """
    return 1000000 * (capacity / load) ** exponent


@formula(source=sources.ISO_281.at("life in hours"), letters=_of(_LETTERS, "capacity", "load", "speed", "exponent"),
         result="L_{10h}", valid=_of(_VALID, "capacity", "load", "speed", "exponent"),
         shown={"result": ("h", "h")})  # fmt: skip
def bearing_life_hours(capacity: Force, load: Force, speed: RotationRate, exponent: Ratio = "3") -> Time:
    """Rating life of a rolling bearing as a time at one speed. Formula: 2 pi 1,000,000 (C / P)^p / omega.

    Parameters
    ----------
    capacity, load : Force
        as in `bearing_life_revolutions`.
    speed : RotationRate
        of one ring against the other.
    exponent : Ratio
        3 for balls, 10/3 for rollers.

    Returns
    -------
    Time
        The time that 90 % of such bearings reach.

    Examples
    --------
    Wentzell, example 20.1 (quoted): 5,050 and 2,400 lbf at 1,750 rpm: 88.73 h.

    >>> from rotorkit.quantities import say
    >>> say(bearing_life_hours("5050 lbf", "2400 lbf", "1750 rpm"), "h", digits=4)
    '88.73 h'
    """
    return 2 * pi * 1000000 * (capacity / load) ** exponent / speed


@formula(source=sources.ISO_281.at("capacity for a life"), letters=_of(_LETTERS, "load", "life", "speed", "exponent"),
         result="C", valid=_of(_VALID, "load", "life", "speed", "exponent"), shown={"life": ("h", "h")})  # fmt: skip
def bearing_capacity_for_life(load: Force, life: Time, speed: RotationRate, exponent: Ratio = "3") -> Force:
    """Load rating that a bearing needs for a rating life. Formula: C = P (omega L / (2 pi 1,000,000))^(1/p).

    Parameters
    ----------
    load : Force
        equivalent load.
    life : Time
        that 90 % are to reach; for another reliability see `bearing_life_ten`.
    speed : RotationRate
        of one ring against the other.
    exponent : Ratio
        3 for balls, 10/3 for rollers.

    Returns
    -------
    Force
        The rating needed.

    Examples
    --------
    Wentzell, example 20.2 (quoted): 2,400 lbf, 200 h, 1,750 rpm: 6,621 lbf.

    >>> from rotorkit.quantities import say
    >>> say(bearing_capacity_for_life("2400 lbf", "200 h", "1750 rpm"), "lbf", digits=4)
    '6,621 lbf'
    """
    return load * (speed * life / (2 * pi * 1000000)) ** (1 / exponent)


@formula(source=sources.ISO_281.at("P = X V F_r + Y F_a"),
         letters={"radial_load": "F_r", "axial_load": "F_a", "radial_factor": "X", "axial_factor": "Y",
                  "rotation_factor": "V"}, result="P",
         valid={"radial_load": ("0 N", None), "axial_load": ("0 N", None), "radial_factor": ("0", "1"),
                "axial_factor": ("0", "5"), "rotation_factor": ("1", "1.5")})  # fmt: skip
def equivalent_bearing_load(
    radial_load: Force, axial_load: Force, radial_factor: Ratio, axial_factor: Ratio, rotation_factor: Ratio = "1"
) -> Force:
    """Load that would wear a bearing as much as a radial and an axial load together. Formula: P = X V Fr + Y Fa.

    Parameters
    ----------
    radial_load, axial_load : Force
        carried.
    radial_factor, axial_factor : Ratio
        X and Y of the maker's table, by the ratio of both loads; X = 1 and Y = 0 below the table's limit.
    rotation_factor : Ratio
        V of older texts: 1.2 where the outer ring turns; 1 by today's ISO 281.

    Returns
    -------
    Force
        The equivalent load. Never take less than the radial load alone.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(equivalent_bearing_load("1250 N", "625 N", 0.56, 1.2), "N", digits=4)
    '1,450 N'
    """
    return radial_factor * rotation_factor * radial_load + axial_factor * axial_load


@formula(source=sources.JINDAL.at("life at another reliability, Weibull's distribution"),
         letters={"life_ten": "L_{10}", "reliability": "R", "slope": "b"}, result="L_R",
         valid={"life_ten": ("1 s", None), "reliability": ("0.1", "0.9999"), "slope": ("0.5", "5")},
         shown={"life_ten": ("h", "h"), "result": ("h", "h")})  # fmt: skip
def bearing_life_at_reliability(life_ten: Time, reliability: Ratio, slope: Ratio = "1.17") -> Time:
    """Life that a part `reliability` of like bearings reaches. Formula: L10 (ln(1/R) / ln(1/0.9))^(1/b).

    Parameters
    ----------
    life_ten : Time
        rating life, which 90 % reach.
    reliability : Ratio
        wanted, 0.1 to 0.9999.
    slope : Ratio
        of Weibull's distribution: 1.17 for ball bearings in some texts, 1.5 behind the table of ISO 281. They differ:
        for 98 % by 1.17 the life is 0.24 of L10, by the 1990 table 0.33 (from memory).

    Returns
    -------
    Time
        The life.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(bearing_life_at_reliability("1000 h", "98 %"), "h", digits=3)
    '244 h'
    """
    return life_ten * (log(1 / reliability) / log(1 / 0.9)) ** (1 / slope)


@formula(source=sources.JINDAL.at("life at another reliability, Weibull's distribution"),
         letters={"life": "L_R", "reliability": "R", "slope": "b"}, result="L_{10}",
         valid={"life": ("1 s", None), "reliability": ("0.1", "0.9999"), "slope": ("0.5", "5")},
         shown={"life": ("h", "h"), "result": ("h", "h")})  # fmt: skip
def bearing_life_ten(life: Time, reliability: Ratio, slope: Ratio = "1.17") -> Time:
    """Rating life that a bearing needs, so that a part `reliability` of them reaches `life`: the inverse of
    `bearing_life_at_reliability`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(bearing_life_ten("6000 h", "98 %"), "h", digits=4)
    '24,615 h'
    """
    return life * (log(1 / 0.9) / log(1 / reliability)) ** (1 / slope)


def _bare(values: Sequence[Any], kind: Any, label: str, least: float) -> Any:
    found = np.array([float(si_of(value, kind, label)[0]) for value in values])
    if not len(found) or (found < least).any():
        raise QuantityError(f"{label}: needs a value for each condition, none below {least:g}; got {list(values)}")
    return found


def _shares(loads: Any, speeds: Any, shares: Any) -> None:
    if not len(loads) == len(speeds) == len(shares):
        raise QuantityError(
            f"duty cycle: needs as many loads as speeds and shares, got {len(loads)}, {len(speeds)} and {len(shares)}"
        )
    if abs(shares.sum() - 1) > 1e-6:
        raise QuantityError(f"duty cycle: the shares of the time must add up to 1, got {shares.sum():g}")


def duty_cycle_load(loads: Sequence[Any], speeds: Sequence[Any], shares: Sequence[Any], exponent: Any = BALL) -> Any:
    """Steady load that would wear a bearing as much as a duty cycle does, at the mean speed of the cycle.

    Formula: Pm = (sum P^p n q / sum n q)^(1/p), n the speed and q the share of the time of each condition.

    Parameters
    ----------
    loads : sequence of Force
        equivalent load of each condition.
    speeds : sequence of RotationRate
        of each condition.
    shares : sequence of Ratio
        of the time, adding up to 1, as "2/3" or "40 %".
    exponent : Ratio
        3 for balls, 10/3 for rollers.

    Returns
    -------
    Force
        The load; the life follows from it with `duty_cycle_speed`.

    Raises
    ------
    QuantityError
        a figure is not of its kind, the lists differ in length, the shares do not add up, or nothing turns.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(duty_cycle_load(["600 N", "303.6 N"], ["1440 rpm", "720 rpm"], ["2/3", "1/3"]), "N", digits=4)
    '562.9 N'
    """
    forces, rates = _bare(loads, _FORCE, "loads", 0), _bare(speeds, _RATE, "speeds", 0)
    parts = _bare(shares, _RATIO, "shares", 0)
    _shares(forces, rates, parts)
    p = float(si_of(exponent, _RATIO, "exponent")[0])
    turns = rates * parts
    if not turns.any():
        raise QuantityError(
            "duty_cycle_load: the bearing must turn in one condition at least; all speeds or shares are 0"
        )
    return from_si(float((np.sum(forces**p * turns) / np.sum(turns)) ** (1 / p)), _FORCE)


def duty_cycle_speed(speeds: Sequence[Any], shares: Sequence[Any]) -> Any:
    """Mean speed of a duty cycle, by the shares of the time.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(duty_cycle_speed(["1440 rpm", "720 rpm"], ["2/3", "1/3"]), "rpm", digits=4)
    '1,200 rpm'
    """
    rates, parts = _bare(speeds, _RATE, "speeds", 0), _bare(shares, _RATIO, "shares", 0)
    _shares(rates, rates, parts)
    return from_si(float(np.sum(rates * parts)), _RATE)


@dataclass(frozen=True)
class BearingFrequencies:
    """The frequencies that a worn bearing makes, as quantities: cage, a rolling element against both races, outer race,
    inner race."""

    cage: Any
    element: Any
    outer_race: Any
    inner_race: Any


@contract
def bearing_frequencies(
    speed: RotationRate,
    elements: Ratio,
    element_diameter: Length,
    pitch_diameter: Length,
    contact_angle: Angle = "0 deg",
) -> BearingFrequencies:
    """Frequencies of faults of a rolling bearing whose inner ring turns and whose elements roll without slipping.

    Parameters
    ----------
    speed : RotationRate
        of the inner ring against the outer one.
    elements : Ratio
        number of balls or rollers.
    element_diameter, pitch_diameter : Length
        of an element, and of the circle of their middles.
    contact_angle : Angle
        0 deg for a deep-groove bearing.

    Returns
    -------
    BearingFrequencies
        cage n/2 (1 - d/D cos a); outer race z times that; inner race z n/2 (1 + d/D cos a); element (spin, a fault
        touches twice as often) n D/(2 d) (1 - (d/D cos a)^2).

    Notes
    -----
    Kinematics of rolling (derived from first principles, not from a publication). Rolling elements slip a little: a
    real line may be a few per cent off.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> found = bearing_frequencies("1800 rpm", 9, "0.3125 in", "1.548 in")
    >>> say(found.outer_race, "Hz", digits=4), say(found.inner_race, "Hz", digits=4)
    ('107.7 Hz', '162.3 Hz')
    """
    turns = speed / (2 * np.pi)
    part = element_diameter / pitch_diameter * np.cos(contact_angle)
    if np.any(part >= 1):
        raise QuantityError("bearing_frequencies: element_diameter must be less than pitch_diameter")
    found = (
        turns / 2 * (1 - part),
        turns * pitch_diameter / (2 * element_diameter) * (1 - part**2),
        elements * turns / 2 * (1 - part),
        elements * turns / 2 * (1 + part),
    )
    return BearingFrequencies(*(from_si(one, _FREQUENCY) for one in found))
