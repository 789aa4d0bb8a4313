"""Sine vibration: displacement, velocity and acceleration at one frequency, and the ways to state an amplitude."""

from __future__ import annotations

import math
from typing import Any

from rotorkit import sources
from rotorkit.formula import formula, pi
from rotorkit.formula.contract import contract
from rotorkit.judging.measured import Measured, measured
from rotorkit.quantities import Acceleration, Frequency, Length, QuantityError, Ratio, Speed, from_si

_SINE = sources.SINE_MOTION
_ABOVE = {"frequency": ("0.001 Hz", None)}


@formula(
    source=_SINE.at("v = 2 pi f x"),
    letters={"displacement": "D", "frequency": "f"},
    result="V",
    title="Velocity from displacement",
)
def velocity_from_displacement(displacement: Length, frequency: Frequency) -> Speed:
    """Amplitude of velocity of a sine with this amplitude of displacement: V = 2 pi f D.

    Parameters
    ----------
    displacement : Length
        Amplitude, stated as peak, rms or peak-to-peak: the result is stated likewise.
    frequency : Frequency
        Of the sine. 450 rpm are 7.5 Hz: type ``"450 cycles/min"``.

    Returns
    -------
    Speed
        The amplitude of velocity.

    Notes
    -----
    Source: derivative of a sine. Range: one frequency alone; a mixture is converted line by line.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(velocity_from_displacement("10 thou", "20 Hz"), "in/s", digits=4)
    '1.257 in/s'
    """
    return 2 * pi * frequency * displacement


@formula(source=_SINE.at("x = v / 2 pi f"), letters={"velocity": "V", "frequency": "f"}, result="D",
         title="Displacement from velocity", valid=_ABOVE)  # fmt: skip
def displacement_from_velocity(velocity: Speed, frequency: Frequency) -> Length:
    """Amplitude of displacement of a sine with this amplitude of velocity: D = V / (2 pi f).

    Parameters
    ----------
    velocity : Speed
        Amplitude, peak or rms: the result is stated likewise.
    frequency : Frequency
        Of the sine, above nothing.

    Returns
    -------
    Length
        The amplitude of displacement, peak where the velocity is peak.

    Notes
    -----
    Source: derivative of a sine; D = 0.159 V / f (an optical bench maker's reference, read). Range: one frequency
    alone.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(displacement_from_velocity("0.2 in/s", "7.5 Hz"), "thou", digits=4)
    '4.244 thou'
    """
    return velocity / (2 * pi * frequency)


@formula(
    source=_SINE.at("a = 2 pi f v"),
    letters={"velocity": "V", "frequency": "f"},
    result="A",
    title="Acceleration from velocity",
)
def acceleration_from_velocity(velocity: Speed, frequency: Frequency) -> Acceleration:
    """Amplitude of acceleration of a sine with this amplitude of velocity: A = 2 pi f V.

    With V in in/s and A in g the same is A = f V / 61.45.

    Parameters
    ----------
    velocity : Speed
        Amplitude, peak or rms: the result is stated likewise.
    frequency : Frequency
        Of the sine.

    Returns
    -------
    Acceleration
        The amplitude of acceleration.

    Notes
    -----
    Source: derivative of a sine; a vibration test laboratory's formula page (read). Range: one frequency alone.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(acceleration_from_velocity("1 in/s", "61.45 Hz"), "g", digits=4)
    '1.000 g'
    """
    return 2 * pi * frequency * velocity


@formula(source=_SINE.at("v = a / 2 pi f"), letters={"acceleration": "A", "frequency": "f"}, result="V",
         title="Velocity from acceleration", valid=_ABOVE)  # fmt: skip
def velocity_from_acceleration(acceleration: Acceleration, frequency: Frequency) -> Speed:
    """Amplitude of velocity of a sine with this amplitude of acceleration: V = A / (2 pi f), in/s = 61.4 g / Hz.

    Parameters
    ----------
    acceleration : Acceleration
        Amplitude, peak or rms: the result is stated likewise. ``"0.3 g"`` is in standard gravity.
    frequency : Frequency
        Of the sine, above nothing.

    Returns
    -------
    Speed
        The amplitude of velocity. The velocity's phase is 90 degrees behind the acceleration's.

    Notes
    -----
    Source: derivative of a sine (reference as above, read). Range: one frequency alone.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(velocity_from_acceleration("1 g", "61.45 Hz"), "in/s", digits=4)
    '1.000 in/s'
    """
    return acceleration / (2 * pi * frequency)


@formula(source=_SINE.at("a = (2 pi f)^2 x"), letters={"displacement": "D", "frequency": "f"}, result="A",
         title="Acceleration from displacement")  # fmt: skip
def acceleration_from_displacement(displacement: Length, frequency: Frequency) -> Acceleration:
    """Amplitude of acceleration of a sine with this amplitude of displacement: A = (2 pi f)^2 D.

    With D peak in inches A = 0.102 f^2 D in g; with D peak-to-peak the peak of A is f^2 D / 19.56: halve D first.

    Parameters
    ----------
    displacement : Length
        Amplitude: the result is stated likewise.
    frequency : Frequency
        Of the sine.

    Returns
    -------
    Acceleration
        The amplitude of acceleration.

    Notes
    -----
    Source: derivative of a sine (references as above, read). Range: one frequency alone.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(acceleration_from_displacement("10 thou", "20 Hz"), "g", digits=4)
    '0.4090 g'
    """
    return (2 * pi * frequency) ** 2 * displacement


@formula(source=_SINE.at("x = a / (2 pi f)^2"), letters={"acceleration": "A", "frequency": "f"}, result="D",
         title="Displacement from acceleration", valid=_ABOVE)  # fmt: skip
def displacement_from_acceleration(acceleration: Acceleration, frequency: Frequency) -> Length:
    """Amplitude of displacement of a sine with this amplitude of acceleration: D = A / (2 pi f)^2.

    Parameters
    ----------
    acceleration : Acceleration
        Amplitude: the result is stated likewise.
    frequency : Frequency
        Of the sine, above nothing.

    Returns
    -------
    Length
        The amplitude of displacement, inches = 9.78 g / Hz^2.

    Notes
    -----
    Source: derivative of a sine (reference as above, read). Range: one frequency alone.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(displacement_from_acceleration("1 g", "10 Hz"), "in", digits=4)
    '0.09780 in'
    """
    return acceleration / (2 * pi * frequency) ** 2


STATED = {"peak": 1.0, "rms": 1 / math.sqrt(2), "average": 2 / math.pi, "peak-to-peak": 2.0}
"""The ways to state the amplitude of a sine, each as a multiple of the peak (average of the rectified sine)."""


def amplitude_as(amplitude: Any, given: str, wanted: str) -> Any:
    """The amplitude of a sine stated in another way: rms = 0.707 peak, average = 0.637 peak, peak-to-peak = 2 peak.

    Parameters
    ----------
    amplitude : text, quantity or Measured
        A speed, an acceleration, a length, or a bare number.
    given, wanted : str
        "peak", "rms", "average" or "peak-to-peak".

    Returns
    -------
    quantity, or Measured where it has an uncertainty
        Of the same kind.

    Raises
    ------
    QuantityError
        An amplitude of no kind, or a word that names no way.

    Notes
    -----
    Source: integrals of a sine (an optical bench maker's reference, read; its row of the average prints 1.570 under
    another heading). Range: a sine alone. For anything else the peak does not follow from the rms.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(amplitude_as("1 in/s", "peak", "rms"), "in/s", digits=4)
    '0.7071 in/s'
    """
    for word, name in ((given, "given"), (wanted, "wanted")):
        if word not in STATED:
            raise QuantityError(f"{name}: needs one of {', '.join(STATED)}, got {word!r}")
    for kind in (Speed, Acceleration, Length, Ratio):
        try:
            found = measured(amplitude, kind, "amplitude") * (STATED[wanted] / STATED[given])
        except (QuantityError, TypeError):
            continue
        return found if isinstance(amplitude, Measured) or found.components else from_si(found.si, found.kind)
    raise QuantityError(f"amplitude: needs a speed, an acceleration, a length or a number, got {amplitude!s:.60}")


@contract
def decibels(ratio: Ratio) -> Ratio:
    """A ratio of two amplitudes in decibels: 20 log10(ratio); 20 dB are ten times.

    Parameters
    ----------
    ratio : Ratio
        Of amplitudes (not of powers), above nothing.

    Returns
    -------
    Ratio
        The number of decibels.

    Raises
    ------
    QuantityError
        A ratio of nothing or less.

    Notes
    -----
    Source: definition. Range: above zero.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(decibels(10), digits=4)
    '20.00'
    """
    if not ratio > 0:
        raise QuantityError("ratio: needs one above nothing")
    return 20 * math.log10(ratio)
