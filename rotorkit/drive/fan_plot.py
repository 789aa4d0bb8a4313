"""The fan plot: natural frequencies over rotor speed, the orders that excite them, and where they meet.

An order n is what comes n times in a turn of the rotor: 1 from imbalance, the blades' number from their passage, 2 from
a two-bladed rotor's every turn. A crossing in the operating range is a resonance there; how near the nearest crossing
lies is the margin.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit.formula.contract import si_of
from rotorkit.quantities import QuantityError, Ratio, RotationRate, from_si

_ON_IT = 1e-6
"""A frequency this near an order, over its own size, lies on it: eigenvalues of a blade carry rounding of some 1e-9."""


@dataclass(frozen=True)
class Crossing:
    """Where an order meets a natural frequency.

    curve: name of the frequency. order: times in a turn. speed: rotor speed, a quantity; frequency: there, as rad/s.
    margin: how far the crossing lies outside the operating range, over the nearest end of that; negative within it (how
    far in). None without a range.
    """

    curve: str
    order: float
    speed: Any
    frequency: Any
    margin: float | None


def _speeds(speeds: Any) -> Any:
    found = np.asarray(si_of(speeds, RotationRate, "speeds")[0], dtype=float)
    if found.ndim != 1 or len(found) < 2 or (np.diff(found) <= 0).any():
        raise QuantityError("speeds: needs an array of two or more rotor speeds, rising")
    return found


def speed_margin(speed: Any, low: Any, high: Any) -> float:
    """How far a critical rotor speed lies outside an operating range, over the end of it that is nearest.

    Parameters
    ----------
    speed : RotationRate
        critical speed or crossing.
    low, high : RotationRate
        the operating range, low below high.

    Returns
    -------
    float
        positive outside; zero at an end; negative inside, where it is a resonance in the range.

    Examples
    --------
    >>> round(speed_margin("600 rpm", "400 rpm", "500 rpm"), 3), round(speed_margin("450 rpm", "400 rpm", "500 rpm"), 3)
    (0.2, -0.1)
    """
    at, first, last = (
        float(si_of(one, RotationRate, name)[0]) for one, name in ((speed, "speed"), (low, "low"), (high, "high"))
    )
    if not 0 <= first < last:
        raise QuantityError("speed_margin: low must be below high")
    if at > last:
        return at / last - 1
    if at < first:
        return 1 - at / first
    return -min((at - first) / first if first else np.inf, (last - at) / last)


def order_crossings(
    speeds: Any, curves: Mapping[str, Any], orders: Sequence[Any], low: Any = None, high: Any = None
) -> list[Crossing]:
    """Every crossing of natural frequencies with orders of the rotor speed, those nearest the range first.

    Where a frequency only touches an order, that is one too; where it lies on it from one speed to another, both ends.

    Parameters
    ----------
    speeds : RotationRate
        array of rotor speeds, rising; between two of them a frequency is taken as straight.
    curves : mapping of str to RotationRate
        each natural frequency at those speeds, as an array; a single one stands for all speeds.
    orders : sequence of Ratio
        times in a turn, above zero.
    low, high : RotationRate or None
        operating range; both or neither.

    Returns
    -------
    list of Crossing
        by margin, least first, else by speed.

    Raises
    ------
    QuantityError
        a figure is not of its kind, or an array does not fit.

    Examples
    --------
    A frequency of 20 rad/s that does not change is met by order 2 at 10 rad/s.

    >>> import numpy as np
    >>> from rotorkit.quantities import RotationRate, from_si, required_kind
    >>> speeds = from_si(np.linspace(1, 20, 50), required_kind(RotationRate))
    >>> [crossing] = order_crossings(speeds, {"boom": "20 rad/s"}, [2])
    >>> crossing.order, round(float(crossing.speed.magnitude), 3)
    (2.0, 10.0)
    """
    if (low is None) != (high is None):
        raise QuantityError("order_crossings: give both ends of the operating range, low and high, or neither")
    at = _speeds(speeds)
    found = []
    for name, given in curves.items():
        curve = np.asarray(si_of(given, RotationRate, name)[0], dtype=float)
        if curve.ndim and curve.shape != at.shape:
            raise QuantityError(f"order_crossings: {name} has {curve.size} frequencies for {at.size} speeds")
        curve = np.broadcast_to(curve, at.shape)
        for order in orders:
            n = float(si_of(order, Ratio, "order")[0])
            if n <= 0:
                raise QuantityError(f"order_crossings: an order must be above zero, got {order}")
            over = curve - n * at
            side = np.where(np.abs(over) <= _ON_IT * n * at, 0.0, np.sign(over))
            ks = np.flatnonzero(side[:-1] * side[1:] < 0)
            between = at[ks] + over[ks] / (over[ks] - over[ks + 1]) * (at[ks + 1] - at[ks])
            # on the order at one of the speeds, at either end too; where it stays on it, at the first and the last
            on = np.concatenate(([False], side == 0, [False]))
            for meets in (*between, *at[on[1:-1] & ~(on[:-2] & on[2:])]):
                speed = from_si(float(meets), RotationRate)
                margin = None if low is None else speed_margin(speed, low, high)
                found.append(Crossing(name, n, speed, from_si(n * float(meets), RotationRate), margin))
    return sorted(found, key=lambda one: (one.margin or 0.0, float(one.speed.magnitude)))


def least_separation(speeds: Any, curve: Any, order: Any, low: Any, high: Any) -> float:
    """Least distance of a natural frequency from an order in the operating range, over the order's frequency.

    Returns 0 or less where they cross in the range. Arguments as in `order_crossings`.

    >>> import numpy as np
    >>> from rotorkit.quantities import RotationRate, from_si, required_kind
    >>> speeds = from_si(np.linspace(30, 60, 31), required_kind(RotationRate))
    >>> round(least_separation(speeds, "60 rad/s", 1, "40 rad/s", "50 rad/s"), 3)
    0.2
    """
    at = _speeds(speeds)
    first, last = float(si_of(low, RotationRate, "low")[0]), float(si_of(high, RotationRate, "high")[0])
    values = np.broadcast_to(np.asarray(si_of(curve, RotationRate, "curve")[0], dtype=float), at.shape)
    inside = np.unique(np.concatenate([[first, last], at[(at > first) & (at < last)]]))
    if first < at[0] or last > at[-1]:
        raise QuantityError("least_separation: the operating range must lie within speeds")
    n = float(si_of(order, Ratio, "order")[0])
    apart = np.interp(inside, at, values) / (n * inside) - 1
    if (apart > 0).any() and (apart < 0).any():
        return -float(min(apart.max(), -apart.min()))
    return float(np.abs(apart).min())
