"""How far a speed lies outside a range of speeds, as sheets of the drive judge it."""

from __future__ import annotations

from rotorkit.drive import speed_margin
from rotorkit.quantities import RotationRate, from_si


def outside(speed: float, low: float, high: float) -> float:
    """`speed_margin` of bare rad/s: positive outside the range, over its nearest end; negative within."""
    return speed_margin(*(from_si(float(one), RotationRate) for one in (speed, low, high)))
