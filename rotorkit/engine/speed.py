"""Power of an engine that turns slower or faster than rated."""

from __future__ import annotations

import numpy as np

from rotorkit.formula.contract import contract
from rotorkit.quantities import Power, QuantityError, RotationRate


@contract
def power_at_engine_speed(rated_power: Power, speed: RotationRate, rated_speed: RotationRate) -> Power:
    """Power to count on where the engine does not turn at its rated speed: the torque is held at best.

    P = P_rated · min(1, n / n_rated). An engine that breathes through an open throttle gives about the same torque a
    little below its rated speed, so its power falls with the speed; above it no more than the rating is credited.

    Parameters
    ----------
    rated_power : Power
        at the rated speed (not negative).
    speed : RotationRate
        at which it turns (not negative); the main rotor's serves as well, where rated_speed is the main rotor's too.
    rated_speed : RotationRate
        at which the engine gives its rated power (above zero).

    Returns
    -------
    Power
        The power at the engine's output, never above the rated one.

    Raises
    ------
    QuantityError
        an argument is not of its kind, speed is negative, or rated_speed is not above zero.

    Notes
    -----
    Common practice (no source). An estimate: a tired or badly tuned engine loses more. Near the rated speed only.
    Worked by hand: 138 hp · 400 / 455 = 121.3 hp.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(power_at_engine_speed("138 hp", "400 rpm", "455 rpm"), "hp", digits=4)
    '121.3 hp'
    >>> say(power_at_engine_speed("138 hp", "470 rpm", "455 rpm"), "hp", digits=4)
    '138.0 hp'
    """
    if np.any(np.less(speed, 0.0)):
        raise QuantityError("power_at_engine_speed: speed must not be negative: give it the way the engine turns")
    if not np.all(np.greater(rated_speed, 0.0)):
        raise QuantityError("power_at_engine_speed: rated_speed must be above zero")
    return rated_power * np.minimum(1.0, speed / rated_speed)
