"""A recording made from a stated model, so that the truth is known: for learning, for the demo, and for tests."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit.balance.phasors import of_kinds
from rotorkit.quantities import Acceleration, Frequency, RotationRate, Speed

PULSE_SHARE = 0.06
"""How much of a turn the tachometer's pulse lasts."""


@dataclass(frozen=True)
class Simulated:
    """times: s. acceleration: m/s^2. pulses: a tachometer's signal, 0 or 1, high from the mark on."""

    times: np.ndarray
    acceleration: np.ndarray
    pulses: np.ndarray


def simulated_recording(
    seconds: float,
    rate: Any,
    speed: Any,
    orders: Mapping[int, tuple[Any, float]],
    others: Mapping[float, Any] | None = None,
    noise: Any = "0 g",
    end_speed: Any = None,
    seed: int = 0,
) -> Simulated:
    """Acceleration and tachometer of a rotor whose speed changes evenly, with known orders.

    Parameters
    ----------
    seconds : float
        How long.
    rate : Frequency
        Samples a second.
    speed, end_speed : RotationRate
        At the beginning and at the end; one speed throughout where no other is given.
    orders : mapping
        By whole cycles a turn: (amplitude of velocity, phase in degrees), peak; phase as `orders_of` tells it.
    others : mapping, optional
        By cycles a turn of other parts, such as 6.4 for a tail rotor: amplitude of velocity.
    noise : Acceleration
        Standard deviation of each sample.
    seed : int
        The same seed gives the same noise.

    Returns
    -------
    Simulated

    Raises
    ------
    QuantityError
        Not these kinds.

    Notes
    -----
    Source: sines at the rotor's angle, a = i k omega v (computed). Range: speeds that change slowly.

    Examples
    --------
    >>> made = simulated_recording(2, "400 Hz", "450 rpm", {1: ("0.3 in/s", 40.0)})
    >>> len(made.times), round(float(made.acceleration.max()), 3), int(np.diff(made.pulses).clip(0).sum())
    (800, 0.359, 14)
    """
    per_second = float(of_kinds(rate, (Frequency,), "rate").si)
    first = float(of_kinds(speed, (RotationRate,), "speed").si)
    last = first if end_speed is None else float(of_kinds(end_speed, (RotationRate,), "end_speed").si)
    times = np.arange(round(seconds * per_second)) / per_second
    rising = (last - first) / seconds
    angle = first * times + rising * times**2 / 2
    omega = first + rising * times
    found = np.zeros(len(times))
    for order, (size, phase) in orders.items():
        velocity = float(of_kinds(size, (Speed,), f"order {order}").si)
        # v = V cos(k theta - phase), so a = -k omega V sin(k theta - phase)
        found -= order * omega * velocity * np.sin(order * angle - math.radians(phase))
    for k, (ratio, size) in enumerate((others or {}).items()):
        velocity = float(of_kinds(size, (Speed,), f"part at {ratio}").si)
        found -= ratio * omega * velocity * np.sin(ratio * angle - 0.7 * k)
    spread = float(of_kinds(noise, (Acceleration,), "noise").si)
    if spread:
        found += np.random.default_rng(seed).normal(0, spread, len(times))
    return Simulated(times, found, ((angle / math.tau) % 1 < PULSE_SHARE).astype(float))
