"""How hard a piston engine twists its drive to and fro: the orders of its torque, from gas pressure and from the
pistons.

An order n comes n times in a turn of the crank. Of an engine that fires evenly only whole multiples of its firings are
left; one cylinder that does not fire brings back the lower ones.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit.formula.contract import contract
from rotorkit.quantities import Length, Mass, QuantityError, Ratio, RotationRate, Torque, from_si

POINTS = 2880
"""Steps of a working cycle: a quarter of a degree of a four-stroke's two turns."""
EXPONENT = 1.3
"""Of compression and expansion (common practice for petrol engines, no source)."""
FULL_PRESSURE = 9.0
"""Indicated mean pressure over that of the intake, by which compression is weighed against expansion (common practice
for a petrol engine at full throttle: some 9 bar over 1 bar; no source)."""


@dataclass(frozen=True)
class EngineOrders:
    """Orders of an engine's torque. orders: times in a turn of the crank, ascending. amplitudes: the swing of each to
    either side of the mean torque, a torque that is an array."""

    orders: tuple[float, ...]
    amplitudes: Any

    def of(self, order: float) -> Any:
        """The amplitude of one order, as a torque; zero where the engine does not have it."""
        for one, amplitude in zip(self.orders, self.amplitudes.magnitude, strict=True):
            if abs(one - order) < 1e-9:
                return from_si(float(amplitude), Torque)
        return from_si(0.0, Torque)


@contract(valid={"cylinders": ("1", "24"), "strokes": frozenset({"2", "4"}), "compression_ratio": ("4", "16"),
                 "rod_ratio": ("0.1", "0.5"), "speed": ("0 rpm", "20000 rpm"), "mean_torque": ("0 N*m", None),
                 "piston_mass": ("0 kg", "20 kg"), "stroke": ("0 mm", "500 mm")})  # fmt: skip
def engine_torque_orders(
    mean_torque: Torque,
    speed: RotationRate,
    cylinders: Ratio,
    strokes: Ratio = "4",
    compression_ratio: Ratio = "8.5",
    rod_ratio: Ratio = "0.27",
    piston_mass: Mass = "0 kg",
    stroke: Length = "0 mm",
    one_out: bool = False,
    highest: Ratio = "8",
) -> EngineOrders:
    """The orders of a piston engine's torque at the crank, an estimate.

    Parameters
    ----------
    mean_torque : Torque
        that the whole engine gives, all cylinders firing.
    speed : RotationRate
        of the crank.
    cylinders, strokes : Ratio
        their number, fired evenly; 4 or 2 strokes a cycle.
    compression_ratio : Ratio
        of the cylinder.
    rod_ratio : Ratio
        crank radius over length of the connecting rod.
    piston_mass, stroke : Mass, Length
        piston, pin and the upper third of the rod of one cylinder; the whole stroke. Their inertia takes off order 2
        at low speed and adds to it at high speed; zero leaves it out.
    one_out : bool
        whether one cylinder does not fire: it still compresses, and the torque of the others stays as it was.
    highest : Ratio
        up to which order.

    Returns
    -------
    EngineOrders
        Every half order (whole ones of a two-stroke) up to the highest, with its amplitude.

    Notes
    -----
    Derived from first principles: an ideal cycle (compression and expansion with the exponent 1.3, burnt at dead
    centre, nothing in the other strokes) over crank and rod, scaled to the mean torque; the pistons as a mass that the
    crank drives to and fro; both as a Fourier series. An even crank is taken, so that the pistons of all cylinders act
    as those of their firing order. Real pressures rise later and less steeply: high orders are smaller. It was compared
    with no measured engine.

    Examples
    --------
    A four-stroke of four cylinders: twice a turn, its first order, swings more than the mean torque.

    >>> from rotorkit.quantities import say
    >>> found = engine_torque_orders("366 N*m", "2700 rpm", 4)
    >>> [order for order, size in zip(found.orders, found.amplitudes.magnitude) if size > 1]
    [2.0, 4.0, 6.0, 8.0]
    >>> 1 < float(found.of(2).magnitude) / 366 < 2
    True
    """
    count = round(float(cylinders))
    if abs(count - float(cylinders)) > 1e-9:
        raise QuantityError(f"engine_torque_orders: cylinders must be a whole number, got {float(cylinders):g}")
    turns = 2 if strokes == 4 else 1
    angle, gas, swept, pumping = _cylinder(turns, compression_ratio, rod_ratio)
    gas = gas * (mean_torque / count) / gas.mean()
    # the torque of the piston's inertia: what its mass, at the crank's even speed, takes from the crank
    radius = stroke / 2
    curving = (np.roll(swept, -1) - np.roll(swept, 1)) / (angle[2] - angle[0])
    pistons = -piston_mass * (radius * speed) ** 2 * swept * curving
    idle = pumping * (mean_torque / count)
    whole = np.zeros(POINTS)
    for k in range(count):
        shift = round(k * POINTS / count)
        fired = idle if one_out and k == 0 else gas
        each = fired + pistons
        whole = whole + np.concatenate((each[POINTS - shift :], each[: POINTS - shift]))
    series = np.abs(np.fft.rfft(whole)) * 2 / POINTS
    last = int(np.floor(float(highest) * turns + 1e-9))
    if last >= POINTS // 4:
        raise QuantityError(f"engine_torque_orders: highest must be below {POINTS // 4 // turns}")
    sizes = np.where(series < 1e-6 * max(float(series[1:].max()), 1e-30), 0.0, series)[1 : last + 1]
    return EngineOrders(tuple(k / turns for k in range(1, last + 1)), from_si(sizes, Torque))


@functools.lru_cache(maxsize=8)
def _cylinder(turns: int, compression_ratio: float, rod_ratio: float) -> tuple[Any, Any, Any, Any]:
    """One cylinder over its cycle, whatever it gives: crank angle from the dead centre at which it fires, torque of its
    gas in any scale, slope of its piston's way, and its torque where it does not fire, over the mean where it does."""
    angle = np.arange(POINTS) * (turns * 2 * np.pi / POINTS)
    found = (
        angle,
        *_gas(angle, turns, compression_ratio, rod_ratio),
        _pumping(angle, turns, compression_ratio, rod_ratio),
    )
    for one in found:
        one.flags.writeable = False
    return found


def _swept(angle: Any, rod_ratio: float) -> tuple[Any, Any]:
    """How far the piston has gone from its dead centre, over the crank radius, and its slope with the angle."""
    leaning = np.sqrt(1 - (rod_ratio * np.sin(angle)) ** 2)
    gone = 1 - np.cos(angle) + (1 - leaning) / rod_ratio
    return gone, np.sin(angle) + rod_ratio * np.sin(angle) * np.cos(angle) / leaning


def _closed(angle: Any, turns: int, compression_ratio: float, rod_ratio: float) -> tuple[Any, Any, Any, Any]:
    """Compression by itself over the intake's pressure, where it expands, where it is closed, and the slope."""
    gone, slope = _swept(angle, rod_ratio)
    volume = 1 / (compression_ratio - 1) + gone / 2  # over the swept volume
    squeezed = ((1 / (compression_ratio - 1) + 1) / volume) ** EXPONENT
    expands, squeezes = angle < np.pi, angle >= (2 * turns - 1) * np.pi
    return squeezed, expands, squeezes, slope


def _gas(angle: Any, turns: int, compression_ratio: float, rod_ratio: float) -> tuple[Any, Any]:
    """Torque of the gas in one cylinder, in any scale, and the slope of its piston's way."""
    squeezed, expands, squeezes, slope = _closed(angle, turns, compression_ratio, rod_ratio)
    # burnt at dead centre: the pressure is a multiple of the compression's, such that the mean pressure comes out
    gain = _work(squeezed * expands, slope, angle)
    factor = 1 + FULL_PRESSURE * 2 / gain  # the whole way is twice the crank radius
    pressure = np.where(expands, factor * squeezed - 1, np.where(squeezes, squeezed - 1, 0.0))
    return pressure * slope, slope


def _pumping(angle: Any, turns: int, compression_ratio: float, rod_ratio: float) -> Any:
    """Torque of a cylinder that does not fire, over the mean torque of one that does: it only springs back."""
    squeezed, expands, squeezes, slope = _closed(angle, turns, compression_ratio, rod_ratio)
    fired, _ = _gas(angle, turns, compression_ratio, rod_ratio)
    return np.where(expands | squeezes, squeezed - 1, 0.0) * slope / fired.mean()


def _work(pressure: Any, slope: Any, angle: Any) -> float:
    return float((pressure * slope).sum() * (angle[1] - angle[0]))
