"""What a recorded run says of the engine: where it was settled, where each cylinder peaks, what each ignition drops,
how soon oil pressure came, how hot it got. Picked out of the recording by rules that are stated, each with its ±."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit.engine.mixture import Peak, exhaust_peak
from rotorkit.engine.recorded import RecordedRun
from rotorkit.judging.measured import Measured, measured
from rotorkit.quantities import (
    GaugePressure,
    QuantityError,
    RotationRate,
    TemperatureDifference,
    Time,
    VolumeFlow,
    difference_kind,
    from_si,
    read,
    required_kind,
)

STEADY = 0.01
"""A fuel flow is settled where it keeps within so much of itself; steps of drawing back are larger (our own choice)."""
STEADY_SPEED = 0.004
"""The same of an engine speed: 8 rpm of 2,000 (our own choice)."""
HOLD, HOLD_SPEED = 10.0, 3.0
"""Seconds for which it has to, for a step of the mixture and for a try of an ignition (our own choice)."""
LAG = 5.0
"""Seconds that an exhaust probe may come behind while the flow is drawn back without a stop (common practice, no
source)."""
HELD = 3 * LAG
"""Seconds for which a step is held at least: its later half then begins when the probes have come up (our own
choice)."""
SPIKE = 100.0
"""An exhaust that comes by more °F away from its median within a step was not read right there, and is left out of that
step (our own choice)."""
MOST_STEPS, SWEEP_STEPS = 15, 11
BACK = 0.01
"""Of the engine speed: by no more than that, and by no more than half the drop, the speed on both differs before and
after a try (our own choice)."""
GREATEST_DROP = 0.2
"""Of the engine speed: what falls by more was no ignition switched off, but the throttle closed (our own choice)."""
RISES = "5 psi"
"""By so much oil pressure has to be up for the needle to have risen (our own choice)."""
STAYS_UP = 3
"""In so many samples one after another: fewer are a spike (our own choice)."""
FIRES = "400 rpm"
"""Above this engine speed it fires, below it is cranked (common practice, no source)."""
LAST_MINUTE = 60.0
SETTLED = 2.0
"""A temperature has settled where it changes by less than so many °F in a minute: 14 CFR 25.1045(a) (read)."""
WHOLE = 0.9
"""So much of the last minute has to be there for it (our own choice)."""


@dataclass(frozen=True)
class Stretch:
    """A stretch of a run, in seconds from its first row."""

    start: float
    end: float

    @property
    def length(self) -> float:
        """Seconds."""
        return self.end - self.start

    @property
    def later_half(self) -> Stretch:
        """Its second half, by which what lags behind has come up."""
        return Stretch(self.start + self.length / 2, self.end)


@dataclass(frozen=True)
class LeanStep:
    """One step of drawing the mixture back. stretch: when; flow: of fuel; exhausts: by cylinder."""

    stretch: Stretch
    flow: Measured
    exhausts: dict[int, Measured]


@dataclass(frozen=True)
class Leaned:
    """The steps of a mixture drawn back, richest first. swept: whether it was drawn back without stops, so that the
    steps are parts of one sweep and each flow bears what the probes lag. left_out: steps beyond those that are kept."""

    steps: list[LeanStep]
    swept: bool
    left_out: int = 0


@dataclass(frozen=True)
class Drop:
    """One ignition tried alone. both: the speed on both before; alone: on the one; stretch: when it ran on the one."""

    both: Measured
    alone: Measured
    stretch: Stretch

    @property
    def drop(self) -> Measured:
        """What it fell by; what the sensor is off by cancels."""
        return self.both - self.alone


@dataclass(frozen=True)
class Hottest:
    """A temperature at its greatest. reading: that; at: when, in seconds; rising: by how much it still rose in the last
    minute of the stretch; settled: whether it surely stood still then, within 2 °F."""

    reading: Measured
    at: float
    rising: Measured
    settled: bool


def settled_stretches(
    run: RecordedRun, channel: str, start: Any = "0 s", end: Any = None, hold: float = HOLD, within: float = STEADY
) -> list[Stretch]:
    """Where one channel of a run keeps still.

    Parameters
    ----------
    run : RecordedRun
        the run.
    channel : str
        of which; the others are not looked at.
    start, end : Time
        between which, from the first row (default: the whole run).
    hold : float
        seconds for which it has to keep still.
    within : float
        the band that it has to keep within, as a share of itself.

    Returns
    -------
    list of Stretch
        In order. What drifts by more than half the band from its beginning to its end is none, however slowly.

    Raises
    ------
    QuantityError
        The channel was not recorded, or fewer than ten samples of it can be read there.

    Notes
    -----
    The samples are smoothed over a fifth of `hold`; the band is never narrower than six standard deviations of what is
    left of their scatter, nor than one and a half steps of the monitor's last digit. That scatter is estimated from the
    steps between neighbouring samples or, where that gives more, from the bend of three smoothed ones that lie a
    smoothing time apart: a file that repeats each reading of its sensor many times hardly ever steps, and is no
    steadier for it. Our own rule.

    Examples
    --------
    ``settled_stretches(run, "engine_speed", "2 min", "5 min", hold=3, within=0.004)``
    """
    from scipy.ndimage import maximum_filter1d, minimum_filter1d, uniform_filter1d

    time, values = _samples(run, channel, start, end)
    step = float(np.median(np.diff(time)))
    wide = max(1, round(hold / 5 / step))
    smooth = uniform_filter1d(values, wide, mode="nearest")
    jumps = np.abs(np.diff(values))
    noise = 1.4826 * float(np.median(jumps)) / math.sqrt(2) / math.sqrt(wide)
    apart = min(wide, (len(time) - 1) // 2)
    bends = smooth[2 * apart :] - 2 * smooth[apart:-apart] + smooth[: -2 * apart]
    noise = max(1.4826 * float(np.median(np.abs(bends))) / math.sqrt(6), noise)
    digit = float(jumps[jumps > 1e-9 * np.abs(values).max()].min(initial=np.inf))
    band = np.maximum(within * np.abs(smooth), 6 * noise)
    band = np.maximum(band, np.minimum(1.5 * digit, 2 * within * np.abs(smooth)))
    reach = max(3, round(hold / step))
    still = maximum_filter1d(smooth, reach, mode="nearest") - minimum_filter1d(smooth, reach, mode="nearest") <= band
    found: list[Stretch] = []
    gaps = np.flatnonzero(np.diff(time) > 5 * step) + 1
    for part in np.split(np.arange(len(time)), gaps):
        edges = np.flatnonzero(np.diff(np.concatenate(([0], still[part].astype(int), [0]))))
        for first, last in zip(edges[::2], edges[1::2], strict=True):
            more = reach // 2 - wide // 2 - 1  # of the smoothed samples each holds a little of its neighbours
            i, j = max(0, first - more), min(len(part), last + more) - 1
            if j <= i:  # a sample by itself, beside a spike
                continue
            one = Stretch(float(time[part[i]]), float(time[part[j]]))
            slope, _ = _slope(time[part[i : j + 1]], smooth[part[i : j + 1]])
            drifts = abs(slope) * one.length > float(band[part[first]]) / 2
            if one.length + 2 * (wide // 2 + 1) * step >= 0.9 * hold and not drifts:
                found.append(one)
    return found


def _samples(run: RecordedRun, channel: str, start: Any, end: Any) -> tuple[np.ndarray, np.ndarray]:
    """(times, values) of what can be read of a channel in a stretch, in the order of time."""
    if channel not in run.channels:
        raise QuantityError(f"{channel!r:.40} was not recorded: there are {', '.join(run.channels) or 'none'}")
    inside = run.between(start, _si(run.length, Time) if end is None else end)
    inside &= np.isfinite(run.channels[channel])
    time, values = run.time[inside], run.channels[channel][inside]
    if len(time) < 10:
        raise QuantityError(
            f"{channel}: only {len(time)} samples can be read there, and ten are needed: is it the right stretch?"
        )
    order = np.argsort(time, kind="stable")
    time, values = time[order], values[order]
    fresh = np.concatenate(([True], np.diff(time) > 0))
    return time[fresh], values[fresh]


def _si(value: float, kind: Any) -> Any:
    return from_si(value, kind)


def _mean(run: RecordedRun, channel: str, one: Stretch) -> Measured:
    return run.mean(channel, _si(one.start, Time), _si(one.end, Time))


def leaned(run: RecordedRun, start: Any = "0 s", end: Any = None) -> Leaned:
    """The mixture leaned step by step, from a recorded run.

    Parameters
    ----------
    run : RecordedRun
        with fuel_flow and exhaust_1 and so on.
    start, end : Time
        from when it was full rich until it was at its leanest or back at full rich (default: the whole run).

    Returns
    -------
    Leaned
        Where it was drawn back in steps held still for fifteen seconds or more, the means of each step's later half;
        else parts of the sweep, alike in time, whose flows bear what an exhaust probe lags: the flow's change in five
        seconds, the same for all of them.

    Raises
    ------
    QuantityError
        No fuel flow or no exhaust was recorded, or the flow was not drawn back.

    Notes
    -----
    An exhaust with a reading 100 °F off its median in a step does not count there: one spike of a thousand would make a
    peak where there is none. What comes after the leanest step (full rich again at once) is left out. Means by
    `RecordedRun.mean`.
    Our own rule.
    """
    cylinders = sorted(int(name.removeprefix("exhaust_")) for name in run.channels if name.startswith("exhaust_"))
    if not cylinders:
        raise QuantityError("no exhaust temperature was recorded: name its columns, exhaust_1 and so on")
    time, flow = _samples(run, "fuel_flow", start, end)
    wide = max(1, round(2 / float(np.median(np.diff(time)))))
    smooth = np.convolve(np.pad(flow, wide // 2, mode="edge"), np.ones(wide) / wide, mode="valid")[: len(flow)]
    leanest = int(np.argmin(smooth))
    first, last = float(time[0]), float(time[-1])
    richer = np.flatnonzero(smooth[leanest:] > (1 + 3 * STEADY) * abs(smooth[leanest]))
    as_lean = float(time[leanest + int(richer[0]) - 1]) if len(richer) else last
    still = [
        one
        for one in settled_stretches(run, "fuel_flow", _si(first, Time), _si(last, Time))
        if one.start <= as_lean and one.length >= HELD
    ]
    until = max([float(time[leanest]), *(one.end for one in still)])
    if not (smooth[: leanest + 1].max() - smooth[leanest]) > 3 * STEADY * abs(smooth[leanest]) > 0:
        raise QuantityError("fuel_flow: the mixture was not leaned there: is it the right stretch, full rich first?")
    held = sum(one.length for one in still)
    swept = len(still) < 3 or held < 0.5 * (until - first)
    if swept:
        full = float(smooth[: leanest + 1].max())
        from_full = int(np.flatnonzero(smooth[: leanest + 1] >= full - STEADY * abs(full))[-1])
        ends = np.linspace(float(time[from_full]), float(time[leanest]), SWEEP_STEPS + 1)
        parts = [Stretch(float(a), float(b)) for a, b in itertools.pairwise(ends)]
        rate = (smooth[from_full] - smooth[leanest]) / (float(time[leanest]) - float(time[from_full]))
        lag = {"lag of the probes": from_si(LAG * float(rate), difference_kind(required_kind(VolumeFlow)))}
    else:
        parts, lag = [one.later_half for one in still], {}
    steps = []
    for part in parts:
        try:
            steps.append(_step(run, part, cylinders, lag))
        except QuantityError:  # nothing of it can be read
            continue
    steps.sort(key=lambda one: -float(one.flow.si))
    kept = _nearest_the_peaks(steps)
    return Leaned(kept, swept, len(steps) - len(kept))


def _step(run: RecordedRun, part: Stretch, cylinders: Sequence[int], lag: dict[str, Any]) -> LeanStep:
    flow = _mean(run, "fuel_flow", part)
    if lag:
        own = measured(flow.value, VolumeFlow, "fuel flow", shared=lag)
        flow = Measured(flow.si, flow.kind, {**flow.components, **own.components})
    hot = {}
    for one in cylinders:
        values = run.channels[f"exhaust_{one}"][run.between(_si(part.start, Time), _si(part.end, Time))]
        values = values[np.isfinite(values)]
        if len(values) and np.abs(values - np.median(values)).max() > SPIKE / 1.8:
            continue
        try:
            hot[one] = _mean(run, f"exhaust_{one}", part)
        except QuantityError:
            continue
    return LeanStep(part, flow, hot)


def _nearest_the_peaks(steps: list[LeanStep]) -> list[LeanStep]:
    """The richest, and those about the hottest of all exhausts, as many as are kept."""
    if len(steps) <= MOST_STEPS:
        return steps
    tops = []
    for cylinder in {one for step in steps for one in step.exhausts}:
        read_of = [i for i, step in enumerate(steps) if cylinder in step.exhausts]
        tops.append(max(read_of, key=lambda i: float(steps[i].exhausts[cylinder].si)))
    far = sorted(range(1, len(steps)), key=lambda i: min(abs(i - top) for top in tops))
    return [steps[i] for i in sorted({0, *far[: MOST_STEPS - 1]})]


def exhaust_peaks(run: RecordedRun, start: Any = "0 s", end: Any = None) -> dict[int, Peak | None]:
    """Where each cylinder's exhaust is hottest while leaning, from a recorded run.

    Parameters
    ----------
    run, start, end
        As `leaned` takes them.

    Returns
    -------
    dict
        By cylinder, as `exhaust_peak` gives it; None where the peak was not passed, or too little of it can be read.

    Raises
    ------
    QuantityError
        As `leaned`.

    Notes
    -----
    `exhaust_peak` over the steps that `leaned` finds.
    """
    steps = leaned(run, start, end).steps
    found: dict[int, Peak | None] = {}
    for cylinder in sorted({one for step in steps for one in step.exhausts}):
        there = [step for step in steps if cylinder in step.exhausts]
        given = [one.flow for one in there], [one.exhausts[cylinder] for one in there]
        found[cylinder] = exhaust_peak(*given, name=f"cylinder {cylinder}") if len(there) > 2 else None
    return found


def ignition_drops(run: RecordedRun, start: Any = "0 s", end: Any = None) -> list[Drop]:
    """Each ignition tried alone, from a recorded run: the engine speed on both before, and on the one.

    Parameters
    ----------
    run : RecordedRun
        with engine_speed.
    start, end : Time
        of the check: from settled on both to settled on both again (default: the whole run).

    Returns
    -------
    list of Drop
        In the order of time: nobody reads from a speed which ignition it was. A try that dropped by nothing that shows
        in the scatter is not found, and one that did not come back to both is none.

    Raises
    ------
    QuantityError
        No engine speed was recorded, or hardly any of it can be read there.

    Notes
    -----
    A try is a settled stretch of three seconds or more that is slower than the settled one before it, by more than the
    ± of both and by no more than a fifth, and after which the speed is what it was, within 1 % and half the drop: so
    what sagged in two steps, or had no settled speed on both in between, gives no drop that is too small. Our own rule.
    """
    still = settled_stretches(run, "engine_speed", start, end, HOLD_SPEED, STEADY_SPEED)
    means = [_mean(run, "engine_speed", one) for one in still]
    found = []
    for i in range(1, len(still) - 1):
        before, at, after = means[i - 1 : i + 2]
        falls, apart = before - at, abs(float(before.si) - float(after.si))
        comes_back = apart <= min(BACK * float(before.si), float(falls.si) / 2)
        if comes_back and float(falls.expanded_si) < float(falls.si) <= GREATEST_DROP * float(before.si):
            found.append(Drop(before, at, still[i]))
    return found


def oil_pressure_rise(run: RecordedRun) -> Measured | None:
    """How long after the first firing oil pressure rose, from a recorded run.

    Parameters
    ----------
    run : RecordedRun
        with engine_speed and oil_pressure, begun before the start.

    Returns
    -------
    Measured or None
        Time, with the interval between two samples at either end as its ±; None where the engine ran already in the
        first row.

    Raises
    ------
    QuantityError
        A channel was not recorded, the engine never fires, or pressure never comes.

    Notes
    -----
    The engine fires when three samples in a row are above 400 rpm; the pressure has risen when three in a row are up by
    5 psi. Our own rule.
    """
    time, speed = _samples(run, "engine_speed", "0 s", None)
    fires = np.flatnonzero(speed > float(read(FIRES, RotationRate).si))
    if not len(fires):
        raise QuantityError(f"engine_speed: it never fires in {run.name}: it stays below {FIRES}")
    if fires[0] == 0:
        return None
    began, step = float(time[fires[0]]), float(time[fires[0]] - time[fires[0] - 1])
    at, pressure = _samples(run, "oil_pressure", "0 s", None)
    still = pressure[at < began]
    rest = float(np.median(still)) if len(still) else float(pressure[0])
    high = (at >= began) & (pressure >= rest + float(read(RISES, GaugePressure).si))
    up = np.flatnonzero(np.convolve(high, np.ones(STAYS_UP), mode="valid") > STAYS_UP - 0.5)
    if not len(up):
        raise QuantityError(f"oil_pressure: it never rises by {RISES} after the first firing: stop, and find out why")
    late = float(at[up[0]] - at[up[0] - 1]) if up[0] else step
    return measured(
        _si(float(at[up[0]]) - began, Time), Time, "time to oil pressure", _si(math.hypot(step, late), Time)
    )


def hottest(run: RecordedRun, channel: str, start: Any = "0 s", end: Any = None) -> Hottest:
    """The highest value of a temperature in a run, and whether it had settled.

    Parameters
    ----------
    run : RecordedRun
        the run.
    channel : str
        a temperature.
    start, end : Time
        between which (default: the whole run).

    Returns
    -------
    Hottest
        The greatest mean of five seconds, with what these scatter and the sensor's own ±; and how fast it still rose
        in the last minute.

    Raises
    ------
    QuantityError
        It was not recorded, or hardly any of it can be read there.

    Notes
    -----
    The rise is a straight line by least squares through the last minute, or the last ten samples where that is more.
    Settled is what changed by less than 2 °F in it, up or down, with the line's own ± (so that neither a spike nor a
    few seconds settle anything), read up to the end of the stretch and over nine tenths of a minute at least. What
    falls has not settled either: it may have been hotter, or on its way to be, before the stretch.
    """
    time, values = _samples(run, channel, start, end)
    step = float(np.median(np.diff(time)))
    wide = max(1, min(len(values), round(5 / step)))
    means = np.convolve(values, np.ones(wide) / wide, mode="valid")
    top = int(np.argmax(means))
    scatter = float(values[top : top + wide].std(ddof=1)) / math.sqrt(wide) if wide > 1 else 0.0
    kind = run.kind(channel)
    off = {f"sensor of {channel}, {run.name}": run.sensors[channel]} if channel in run.sensors else {}
    reading = measured(
        from_si(float(means[top]), kind), kind, f"scatter of {channel}",
        from_si(2 * scatter, difference_kind(kind)) if scatter else None, off,
    )  # fmt: skip
    late = time >= time[-1] - LAST_MINUTE
    late[-10:] = True
    slope, error = _slope(time[late], values[late])
    rising = measured(
        _si(60 * slope, TemperatureDifference), TemperatureDifference, f"rise of {channel} in a minute",
        _si(120 * error, TemperatureDifference) if error else None,
    ).shown_in(("degF", "degC"))  # fmt: skip
    until = run.length if end is None else min(run.length, float(measured(end, Time, "time").si))
    whole = time[late][-1] - time[late][0] >= WHOLE * LAST_MINUTE and until - time[-1] <= max(LAG, 5 * step)
    return Hottest(reading, float(time[top]), rising, bool(whole and 60 * (abs(slope) + 2 * error) < SETTLED / 1.8))


def _slope(x: np.ndarray, y: np.ndarray) -> tuple[float, float]:
    """(slope, its standard deviation) of a straight line by least squares."""
    away = x - x.mean()
    square = float(away @ away)
    slope = float(away @ y) / square
    left = y - y.mean() - slope * away
    return slope, math.sqrt(float(left @ left) / max(1, len(x) - 2) / square)
