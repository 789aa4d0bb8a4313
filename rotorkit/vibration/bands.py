"""What published practice says about vibration: bands of frequency, and severity zones of ground machines."""

from __future__ import annotations

from typing import Any

from rotorkit.judging.measured import measured
from rotorkit.quantities import Frequency, QuantityError, Speed

ZONES: dict[str, tuple[float, float, float]] = {
    "I": (0.71, 1.8, 4.5),
    "II": (1.12, 2.8, 7.1),
    "III": (1.8, 4.5, 11.2),
    "IV": (2.8, 7.1, 18.0),
}
"""Boundaries A/B, B/C and C/D in mm/s rms for each class of ground machine (ISO 10816-1:1995, annex B, quoted)."""
NOT_A_HELICOPTER = "These zones are of machines on the ground, 10 to 1000 Hz: never a limit for a helicopter."


def severity_zone(velocity: Any, machine: str) -> str:
    """The severity zone of a ground machine, from its broad-band velocity.

    Parameters
    ----------
    velocity : Speed
        Root mean square, 10 to 1000 Hz, not negative.
    machine : str
        Class "I" (small machines), "II" (medium), "III" (large on rigid foundations) or "IV" (large on soft ones).

    Returns
    -------
    str
        "A" (as new), "B" (may run on), "C" (not for long) or "D" (does damage). On a boundary the better zone.

    Raises
    ------
    QuantityError
        Not a speed, or no such class.

    Notes
    -----
    Source: ISO 10816-1:1995, annex B (quoted). Range: ground machines: an engine on a stand, a pump. Never a limit for
    a helicopter.

    Examples
    --------
    >>> severity_zone("2 mm/s", "II"), severity_zone("8 mm/s", "II")
    ('B', 'D')
    """
    if machine not in ZONES:
        raise QuantityError(f"machine: needs a class {', '.join(ZONES)}, got {machine!r}")
    figure = float(measured(velocity, Speed, "velocity").si) * 1000
    if figure < 0:
        raise QuantityError("velocity: an rms is not negative")
    return "ABCD"[sum(figure > bound * (1 + 1e-12) for bound in ZONES[machine])]


def vibration_band(frequency: Any) -> str:
    """The band of a helicopter's vibration by its frequency: "low", "medium" or "high".

    Parameters
    ----------
    frequency : Frequency
        ``"450 cycles/min"``, ``"7.5 Hz"``; above nothing.

    Returns
    -------
    str
        "medium" from 1000 up to 2000 cycles a minute, "high" from 2000, "low" below 1000.

    Raises
    ------
    QuantityError
        Not a frequency, or not above nothing.

    Notes
    -----
    Source: FAA Rotorcraft Flying Handbook, medium and high as given in copied text (read); calling all below it low is
    common practice (no source). Low is the main rotor's, medium the tail rotor's, high the engine's and fan's as a
    rule.

    Examples
    --------
    >>> vibration_band("450 cycles/min"), vibration_band("1500 cycles/min"), vibration_band("2000 cycles/min")
    ('low', 'medium', 'high')
    """
    cycles = float(measured(frequency, Frequency, "frequency").si) * 60
    if cycles <= 0:
        raise QuantityError("frequency: needs one above nothing")
    cycles = round(cycles, 9)
    return "high" if cycles >= 2000 else "medium" if cycles >= 1000 else "low"
