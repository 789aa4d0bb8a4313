"""A recording reduced to what a picture needs: one turn of the rotor, and spectra over its speed, as a few figures."""

from __future__ import annotations

import math
import re

import numpy as np

from rotorkit.quantities import Acceleration, QuantityError, Speed, required_kind
from rotorkit.vibration.orders import SynchronousAverage
from rotorkit.vibration.spectra import Waterfall

POINTS = 72
"""Figures of one turn: every five degrees."""
SPECTRA, BINS = 16, 80
"""How many spectra over the speed, and figures in each; each figure is the largest of those it stands for."""
CYCLES = 20.0
"""So many cycles for a turn of the rotor are shown."""
SLOWEST_SHOWN = 0.4
"""Cycles a turn below which a velocity worked from acceleration is noise for the most part: left at nothing (our
own choice)."""
_NUMBER = r"\d+(?:\.\d+)?(?:e[+-]?\d+)?"


class SpeedSpectra:
    """Spectra over a rotor's speed. rpm: of each, rising. hertz: of each figure. velocities: peak, mm/s, a row for each
    speed."""

    def __init__(self, rpm: np.ndarray, hertz: np.ndarray, velocities: np.ndarray) -> None:
        self.rpm, self.hertz, self.velocities = rpm, hertz, velocities


def velocity_turn(average: SynchronousAverage, speed: float) -> np.ndarray:
    """The velocity over one turn, m/s, at 72 even angles from the mark, its mean left out.

    Parameters
    ----------
    average : SynchronousAverage
        Of `synchronous_average`, of an acceleration or of a velocity.
    speed : float
        Of the rotor, rad/s.

    Returns
    -------
    array
        Of an acceleration each order is divided by i k omega.

    Raises
    ------
    QuantityError
        Neither an acceleration nor a velocity.

    Notes
    -----
    Source: Fourier's series of a periodic motion. Range: orders up to 36 a turn; steady speed.

    Examples
    --------
    Acceleration k omega V at once a turn, at 10 rad/s, is velocity V; an acceleration as the cosine, a velocity as the
    sine.

    >>> angles = np.arange(128) * math.tau / 128
    >>> made = SynchronousAverage(angles, 10 * 0.02 * np.cos(angles), np.zeros(128), 50, required_kind(Acceleration))
    >>> turn = velocity_turn(made, 10.0)
    >>> round(float(turn.max()), 6), int(turn.argmax())
    (0.02, 18)
    """
    parts = np.fft.rfft(average.mean)
    orders = np.arange(len(parts))
    parts[0] = 0
    if average.kind.alike(required_kind(Acceleration)):
        parts[1:] /= 1j * orders[1:] * speed
    elif not average.kind.alike(required_kind(Speed)):
        raise QuantityError("average: needs an acceleration or a velocity")
    kept = np.zeros(POINTS // 2 + 1, dtype=complex)
    count = min(len(parts), len(kept) - 1)
    kept[:count] = parts[:count]
    return np.asarray(np.fft.irfft(kept, POINTS) * POINTS / len(average.mean))


def one_turn_as_text(turn: np.ndarray) -> str:
    """A velocity over one turn (m/s) as text: figures in mm/s.

    >>> one_turn_as_text(np.array([0.001, -0.00234]))
    '1 -2.34'
    """
    return " ".join(f"{1000 * one:.3g}" for one in turn)


def one_turn_from_text(text: str) -> np.ndarray:
    """The velocities (mm/s) of a text of `one_turn_as_text`. Raises `QuantityError` where it is none.

    >>> one_turn_from_text("1 -2.34 3 4").tolist()
    [1.0, -2.34, 3.0, 4.0]
    """
    try:
        found = np.array([float(one) for one in text.split()])
    except ValueError:
        found = np.zeros(0)
    if len(found) < 4 or not np.isfinite(found).all():
        raise QuantityError("needs figures in mm/s at even angles over one turn, as the recording gives them")
    return found


def spectra_as_text(fall: Waterfall) -> str:
    """Spectra over the rotor's speed, reduced, as text: up to which frequency, then for each speed figures in mm/s.

    Parameters
    ----------
    fall : Waterfall
        Of `waterfall`, of an acceleration or of a velocity.

    Returns
    -------
    str
        Empty where there are not two speeds.

    Raises
    ------
    QuantityError
        Neither an acceleration nor a velocity.

    Notes
    -----
    Of spectra at neighbouring speeds, and of neighbouring frequencies, the largest figure is kept: no line is averaged
    away. Source: definition. Range: up to 20 cycles a turn at the highest speed.

    Examples
    --------
    >>> made = Waterfall(np.arange(2), np.array([20.0, 40.0]), np.arange(0, 100, 1.0), np.full((2, 100), 0.001),
    ...                  required_kind(Speed))
    >>> spectra_as_text(made)[:27]
    '99 Hz; 191 rpm: 0 1 1 1 1 1'
    """
    speeds = fall.speeds * 30 / math.pi
    if not len(speeds) or float(speeds.max()) <= float(speeds.min()):
        return ""
    sizes = np.array(fall.amplitudes, dtype=float)
    if fall.kind.alike(required_kind(Acceleration)):
        sizes[:, 1:] /= math.tau * fall.frequencies[1:]
    elif not fall.kind.alike(required_kind(Speed)):
        raise QuantityError("waterfall: needs an acceleration or a velocity")
    sizes[fall.frequencies[None, :] < SLOWEST_SHOWN * speeds[:, None] / 60] = 0.0
    top = min(float(fall.frequencies[-1]), CYCLES * float(speeds.max()) / 60)
    edges = np.linspace(float(speeds.min()), float(speeds.max()), SPECTRA + 1)
    which = np.clip(np.searchsorted(edges, speeds, side="right") - 1, 0, SPECTRA - 1)
    shown = np.flatnonzero(fall.frequencies <= top)
    bins = np.minimum((fall.frequencies[shown] / top * BINS).astype(int), BINS - 1)
    rows = [f"{top:.4g} Hz"]
    for one in range(SPECTRA):
        mine = np.flatnonzero(which == one)
        if len(mine):
            largest, held = sizes[mine][:, shown].max(axis=0), np.zeros(BINS)
            np.maximum.at(held, bins, largest)
            # below a thousandth of the largest nothing is to be seen: "0" is then enough
            figures = " ".join(f"{1000 * value:.2g}" if value > sizes.max() / 1000 else "0" for value in held)
            rows.append(f"{speeds[mine].mean():.4g} rpm: {figures}")
    return "; ".join(rows)


def spectra_from_text(text: str) -> SpeedSpectra:
    """What `spectra_as_text` wrote. Raises `QuantityError` where it is none.

    >>> spectra_from_text("10 Hz; 100 rpm: 0 1; 200 rpm: 0 2").velocities.tolist()
    [[0.0, 1.0], [0.0, 2.0]]
    """
    head, *rows = text.split(";")
    top = re.fullmatch(rf"\s*({_NUMBER}) Hz\s*", head)
    each = [re.fullmatch(rf"\s*({_NUMBER}) rpm:((?:\s+{_NUMBER})+)\s*", row) for row in rows]
    found = [[float(one) for one in row[2].split()] for row in each if row is not None]
    if top is None or len(found) < 2 or len(found) < len(rows) or len({len(row) for row in found}) != 1:
        raise QuantityError("needs spectra at two speeds or more, as the recording gives them")
    count = len(found[0])
    hertz = (np.arange(count) + 0.5) * float(top[1]) / count
    return SpeedSpectra(np.array([float(row[1]) for row in each if row is not None]), hertz, np.array(found))
