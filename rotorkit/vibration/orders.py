"""Orders of a rotor: a recording resampled to its angle, amplitude and phase of once a turn, twice, and so on."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit.balance.phasors import Phasor
from rotorkit.judging.measured import COVERAGE, Measured, coverage_factor, measured
from rotorkit.quantities import (
    Acceleration,
    Angle,
    Frequency,
    Kind,
    Length,
    QuantityError,
    RotationRate,
    Speed,
    from_si,
    required_kind,
    say,
)
from rotorkit.vibration.recordings import Recording
from rotorkit.vibration.turns import Turns

SAMPLES_AT_ONCE = 500_000
READ = 0.95
"""The share of its samples of which a turn is worked: what was put in on straight lines has no vibration in it
(our own choice)."""
FINEST = 0.2
"""An order's frequency over the sampling rate up to which the cubic resampling loses less than one per cent."""


@dataclass(frozen=True)
class Order:
    """One order. order: cycles a turn. vibration: amplitude (peak) and phase, the angle that the rotor has gone past
    the pulse, times the order, when the peak comes. frequency: at the mean speed."""

    order: float
    vibration: Phasor
    frequency: Measured

    @property
    def in_words(self) -> str:
        """Amplitude, phase and frequency."""
        return f"{self.order:g} a turn ({say(self.frequency)}): {self.vibration}"


@dataclass(frozen=True)
class Orders:
    """The orders of a recording.

    orders: by cycles a turn. turns: whole turns used. speed: mean. slowest, fastest: of the turns used. in_words: what
    was worked, and what was wrong with pulses and samples.
    """

    orders: dict[float, Order]
    turns: int
    speed: Measured
    slowest: Measured
    fastest: Measured
    in_words: str

    def __getitem__(self, order: float) -> Order:
        return self.orders[order]


@dataclass(frozen=True)
class SynchronousAverage:
    """One turn, the mean of many. angles: rad from the pulse. mean, scatter (of one turn): SI. turns: count."""

    angles: np.ndarray
    mean: np.ndarray
    scatter: np.ndarray
    turns: int
    kind: Kind


def _points(found: Recording, turns: Turns, offset: float) -> tuple[int, np.ndarray]:
    """(points a turn, numbers of the turns that are usable and lie within the recording)."""
    edges = turns.time_at(np.arange(turns.whole + 1)) - offset
    inside = (edges[:-1] >= 0) & (edges[1:] <= (len(found) - 1) / found.rate) & turns.usable
    inside &= _read_share(found, edges) >= READ
    which = np.flatnonzero(inside)
    if len(which) < 2:
        raise QuantityError("pulses: fewer than two whole turns lie within the recording: do both begin at one time?")
    longest = float(np.diff(edges)[which].max())
    return 1 << max(5, math.ceil(math.log2(longest * found.rate))), which


def _read_share(found: Recording, edges: np.ndarray) -> np.ndarray:
    """Of each turn the share of its samples that could be read."""
    if found.bad_at is None or not len(found.bad_at):
        return np.ones(len(edges) - 1)
    bad = np.diff(np.searchsorted(found.bad_at, edges * found.rate))
    return np.asarray(1 - bad / (np.diff(edges) * found.rate))


def _blocks(
    found: Recording,
    turns: Turns,
    points: int,
    which: np.ndarray,
    offset: float,
    progress: Callable[[float], None] | None,
) -> Iterator[tuple[np.ndarray, np.ndarray]]:
    """(numbers of turns, turns x points) of the recording resampled to even angles, some turns at a time."""
    from scipy.ndimage import map_coordinates, spline_filter1d

    at_once = max(1, SAMPLES_AT_ONCE // points)
    margin = 24
    for start in range(0, len(which), at_once):
        part = which[start : start + at_once]
        wanted = (part[:, None] + np.arange(points) / points).ravel()
        place = (turns.time_at(wanted) - offset) * found.rate
        first = max(0, int(place[0]) - margin)
        last = min(len(found), int(place[-1]) + margin + 2)
        coefficients = spline_filter1d(found.part(first, last), order=3, mode="mirror")
        values = map_coordinates(coefficients, (place - first)[None], order=3, prefilter=False, mode="mirror")
        yield part, values.reshape(len(part), points)
        if progress is not None:
            progress(min(1.0, (start + len(part)) / len(which)))


def synchronous_average(
    found: Recording, turns: Turns, offset: float = 0.0, progress: Callable[[float], None] | None = None
) -> SynchronousAverage:
    """One turn of the rotor, the mean of all turns: what belongs to this rotor stays, the rest averages out.

    Parameters
    ----------
    found : Recording
        Of `recording` or `read_recording`.
    turns : Turns
        Of `turns_from_pulses`, on the same clock.
    offset : float
        Seconds by which the recording began after the pulses' clock.
    progress : callable, optional
        Called with the share done, 0 to 1.

    Returns
    -------
    SynchronousAverage

    Raises
    ------
    QuantityError
        Fewer than two whole turns within the recording.

    Notes
    -----
    Source: definition (time synchronous averaging). Resampled to even angles by cubic splines of SciPy, a block of
    turns at a time, so that memory stays bounded. What is in step with no whole number of cycles a turn falls with the
    root of the number of turns, or faster.

    Examples
    --------
    >>> import numpy as np
    >>> from rotorkit.vibration import recording, turns_from_pulses
    >>> t = np.arange(2000) / 1000
    >>> made = recording(np.cos(2 * np.pi * 10 * t), "1000 Hz", "g")
    >>> mean = synchronous_average(made, turns_from_pulses(np.arange(0, 2, 0.1)))
    >>> round(float(mean.mean[0]), 3)
    9.807
    """
    points, which = _points(found, turns, offset)
    total, squares = np.zeros(points), np.zeros(points)
    for _, values in _blocks(found, turns, points, which, offset, progress):
        total += values.sum(axis=0)
        squares += (values**2).sum(axis=0)
    count = len(which)
    mean = total / count
    scatter = np.sqrt(np.maximum(squares / count - mean**2, 0) * count / (count - 1))
    return SynchronousAverage(np.arange(points) * math.tau / points, mean, scatter, count, found.kind)


def orders_of(
    found: Recording,
    turns: Turns,
    orders: Sequence[float] = (1, 2, 3, 4),
    velocity: bool = False,
    offset: float = 0.0,
    phase_lag: Any = "0 deg",
    progress: Callable[[float], None] | None = None,
) -> Orders:
    """Amplitude and phase of the orders of a rotor, with their uncertainty.

    The recording is resampled to even angles between the pulses; in each turn the part at k cycles a turn is taken, and
    the mean over all turns is the order. The scatter between turns is its uncertainty.

    Parameters
    ----------
    found : Recording
        Of `recording` or `read_recording`.
    turns : Turns
        Of `turns_from_pulses`, on the same clock.
    orders : sequence of whole numbers
        Cycles a turn, 1 or more.
    velocity : bool
        Of an acceleration, the velocity of each order: divided by i k omega with each turn's own speed.
    offset : float
        Seconds by which the recording began after the pulses' clock.
    phase_lag : Angle
        By which sensor and amplifier are late at once a turn (in proportion at the others), taken off.
    progress : callable, optional
        Called with the share done, 0 to 1.

    Returns
    -------
    Orders
        Amplitudes are peak. Phase: 0 where the peak comes at the pulse; x = A cos(k theta - phase), theta the angle
        that the rotor has turned since the pulse. So the phase rises as the peak comes later, and a weight that is
        moved on in the sense of turning makes it smaller: angles of weights counted against the turning go with the
        phase. With several pulses a turn the pulse is the first of the recording, whichever that was: no phase to
        balance with.

    Raises
    ------
    QuantityError
        An order that is no whole number, or too fast for the sampling rate; fewer than three turns.

    Notes
    -----
    Source: Fourier series over a turn (computed); what the spline takes off a sine (0.14 % at 60 Hz and 400 samples a
    second) is added back. The uncertainty is the standard deviation of the mean of the turns,
    equal in every direction, with Student's t for 2 (n - 1) degrees of freedom, and the calibration's. Range: an
    order's frequency up to a fifth of the sampling rate. Errors of the pulse's place, the mounting and the sensor's
    phase are not in it. A line near an order, such as another rotor's, makes turns scatter and is then covered only on
    average over its beat: record several beats (`rotorkit.vibration.spectrum`).

    Examples
    --------
    0.2 g at 10 Hz, 40 degrees after the pulse: 1.23 in/s.

    >>> import numpy as np
    >>> from rotorkit.vibration import recording, turns_from_pulses
    >>> t = np.arange(4000) / 1000
    >>> made = recording(0.2 * np.cos(2 * np.pi * 10 * t - np.radians(40)), "1000 Hz", "g")
    >>> once = orders_of(made, turns_from_pulses(np.arange(0, 4, 0.1)), [1])[1].vibration
    >>> say(once.amplitude.value, "g", digits=3), say(once.angle.value, "deg", digits=3)
    ('0.200 g', '40.0°')
    """
    for order in orders:
        if isinstance(order, bool) or order != int(order) or order < 1:
            raise QuantityError(f"orders: needs whole numbers of cycles a turn, 1 or more, got {order}")
    if not orders:
        raise QuantityError("orders: needs one or more")
    if velocity and not found.kind.alike(required_kind(Acceleration)):
        raise QuantityError(f"velocity: is worked from an acceleration, this recording is of {found.kind.name}")
    late = float(measured(phase_lag, Angle, "phase_lag").si)
    points, which = _points(found, turns, offset)
    rates = turns.rates[which]
    fastest = float(rates.max())
    highest = max(orders)
    if highest * fastest > FINEST * found.rate:
        raise QuantityError(
            f"orders: {highest:g} a turn at {fastest * 60:.1f} rpm is {highest * fastest:.4g} Hz: {found.rate:.6g} "
            f"samples a second tell no more than {FINEST * found.rate:.4g} Hz well. Where nothing turned so fast, "
            "noise was taken for pulses: look at their column"
        )
    if len(which) < 3:
        raise QuantityError(f"pulses: needs three whole turns for a scatter, got {len(which)}")
    numbers = [int(order) for order in orders]
    turned = np.exp(1j * np.outer(np.arange(points) * math.tau / points, numbers)) * (2 / points)
    parts = []
    for _, values in _blocks(found, turns, points, which, offset, progress):
        # x = A cos(k theta - phase): the mean of 2 x exp(+ i k theta) is A exp(i phase)
        parts.append((values - values.mean()) @ turned)
    each = np.concatenate(parts) / _kept_by_spline(rates[:, None] * np.array(numbers) / found.rate)
    each = each * np.exp(-1j * late * np.array(numbers))
    kind, unit = found.kind, _UNITS.get(found.kind.name)
    if velocity:
        # v = a / (i k omega), and with this sign of the phase dividing by i adds 90 degrees
        each = each * 1j / (math.tau * rates[:, None] * np.array(numbers))
        kind, unit = required_kind(Speed), ("in/s", "mm/s")
    made = {}
    speed = _scattered(rates * math.tau, required_kind(RotationRate), "speed of the turns", ("rpm", "rpm"))
    for column, order in enumerate(numbers):
        frequency = Measured(
            order * float(speed.si) / math.tau, Frequency,
            {origin: order * part / math.tau for origin, part in speed.components.items()}, "Hz",
        )  # fmt: skip
        made[order] = Order(order, _mean(each[:, column], kind, unit, order, found.scale_share), frequency)
    unread = int((_read_share(found, turns.time_at(np.arange(turns.whole + 1)) - offset) < READ).sum())
    left_out = f" {unread:,} left out, in which samples could not be read." if unread else ""
    words = f"{len(which):,} turns used.{left_out} {turns.in_words} {found.in_words}"
    ends = [Measured(float(end) * math.tau, RotationRate, unit="rpm") for end in (rates.min(), fastest)]
    return Orders({float(k): one for k, one in made.items()}, len(which), speed, ends[0], ends[1], words)


def _kept_by_spline(cycles: np.ndarray) -> np.ndarray:
    """The share of a sine's amplitude that a cubic spline through its samples keeps, by its cycles a sample, up to a
    half: the transform of the cubic B-spline, sinc^4, over that of its samples, (2 + cos) / 3."""
    return np.asarray(np.sinc(cycles) ** 4 / ((2 + np.cos(math.tau * cycles)) / 3))


_UNITS: dict[str, Any] = {
    required_kind(Acceleration).name: "g",
    required_kind(Speed).name: ("in/s", "mm/s"),
    required_kind(Length).name: ("thou", "mm"),
}


def _scattered(values: np.ndarray, kind: Kind, label: str, unit: Any) -> Measured:
    count = len(values)
    size = float(values.std(ddof=1)) / math.sqrt(count) * coverage_factor(count - 1) / COVERAGE
    found = measured(from_si(float(values.mean()), kind), kind, label, from_si(size, kind), stated_as="standard")
    return found.shown_in(unit)


def _mean(each: np.ndarray, kind: Kind, unit: Any, order: int, share: float) -> Phasor:
    count = len(each)
    mean = complex(each.mean())
    variance = float(np.sum(np.abs(each - mean) ** 2)) / (2 * (count - 1))
    size = math.sqrt(variance / count) * coverage_factor(2 * (count - 1)) / COVERAGE
    parts = []
    shared = Measured(0.0, kind)
    if share:
        shared = measured(
            from_si(0.0, kind), kind, "calibration of the sensor", from_si(share, kind), stated_as="standard"
        )
    for value, name in ((mean.real, "along"), (mean.imag, "across")):
        own = measured(
            from_si(value, kind), kind, f"scatter of the turns, {order} a turn, {name}", from_si(size, kind),
            stated_as="standard",
        )  # fmt: skip
        components = {**own.components, **{origin: part * value for origin, part in shared.components.items()}}
        parts.append(Measured(value, kind, components, unit))
    return Phasor(*parts)
