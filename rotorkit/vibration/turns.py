"""Turns of a rotor from tachometer pulses: lost and false ones found, and the angle between them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from rotorkit.quantities import QuantityError

SAMPLES_AT_ONCE = 1_000_000
NEAR_WHOLE = 0.25
"""How far a gap may be from a whole number of pulses and still be taken for lost ones: common practice (no source)."""
MOST_IN_A_ROW = 5
"""How many pulses may be lost one after another and still be counted: over six gaps a speed that wanders by 4 % is
already a quarter of a gap off (our own choice). Over a longer hole nobody knows how often the rotor turned."""


@dataclass(frozen=True)
class Turns:
    """The rotor's angle over time.

    times: of the good pulses, s, rising. counts: how many pulses have passed by each of them, lost ones counted in.
    per_turn: pulses a turn. lost, false: pulses that were missed, and pulses that were not real. gaps: gaps that are no
    whole
    number of pulses, or too many to be counted, over which nothing is worked.
    """

    times: np.ndarray
    counts: np.ndarray
    per_turn: int
    lost: int
    false: int
    gaps: tuple[tuple[float, float], ...] = ()

    @property
    def whole(self) -> int:
        """Whole turns between the first and the last pulse."""
        return int((self.counts[-1] - self.counts[0]) // self.per_turn)

    @cached_property
    def _time_of_count(self) -> Any:
        from scipy.interpolate import CubicSpline

        return CubicSpline(self.counts, self.times)

    def time_at(self, turns: np.ndarray) -> np.ndarray:
        """The time at which the rotor has made so many turns since the first pulse (a number between pulses too)."""
        return np.asarray(self._time_of_count(self.counts[0] + np.asarray(turns) * self.per_turn))

    @cached_property
    def rates(self) -> np.ndarray:
        """Turns a second in each whole turn."""
        return np.asarray(1 / np.diff(self.time_at(np.arange(self.whole + 1))))

    @cached_property
    def usable(self) -> np.ndarray:
        """For each whole turn whether no unexplained gap touches it. Of several pulses a turn nobody knows which comes
        first after a gap: then the turns of the longest stretch between two gaps alone."""
        edges = self.time_at(np.arange(self.whole + 1))
        starts = [-math.inf, *(last - 1e-12 for _, last in self.gaps)]
        ends = [*(first + 1e-12 for first, _ in self.gaps), math.inf]
        stretches = [(edges[:-1] >= start) & (edges[1:] <= end) for start, end in zip(starts, ends, strict=True)]
        if self.per_turn > 1:
            return max(stretches, key=np.count_nonzero)
        return np.asarray(np.any(stretches, axis=0))

    @property
    def seconds(self) -> float:
        """How long there were pulses to count."""
        return float(self.times[-1] - self.times[0] - sum(last - first for first, last in self.gaps))

    @property
    def in_words(self) -> str:
        """How many turns, how fast, and what was wrong with the pulses."""
        rates = 60 * (self.rates[self.usable] if self.usable.any() else self.rates)
        said = f"{self.whole:,} turns at {rates.min():.1f} to {rates.max():.1f} rpm."
        if self.per_turn > 1:
            said += (
                f" With {self.per_turn} pulses a turn nothing says which of them came first: phases cannot be compared "
                "with those of another recording, nor balanced with. For that, one mark."
            )
        if self.lost:
            said += f" {self.lost} lost pulse{'s' if self.lost > 1 else ''} put in between their neighbours."
        if self.false:
            said += f" {self.false} false pulse{'s' if self.false > 1 else ''} left out."
        if self.gaps:
            left = "those turns are" if self.per_turn == 1 else "all but the longest stretch of turns without one is"
            said += f" {len(self.gaps)} gap{'s' if len(self.gaps) > 1 else ''} in the pulses: {left} left out."
        return said


def pulse_times(signal: Any, rate: float, level: float | None = None, rising: bool = True) -> np.ndarray:
    """When a tachometer's signal passes a level, each time it goes up (or down).

    Parameters
    ----------
    signal : array of numbers or Recording
        The tachometer's signal, at the rate of the recording and started with it. One that stays on disk is looked at
        a million samples at a time.
    rate : float
        Samples a second.
    level : float, optional
        Which it passes; midway between its low and its high where not given. It counts again only after the signal has
        gone back past a fifth of the way to the other side, so that noise at the level is no second pulse.
    rising : bool
        Whether going up counts, else going down.

    Returns
    -------
    array
        Times in s from the first sample, between samples by a straight line.

    Raises
    ------
    QuantityError
        A signal that never passes the level.

    Notes
    -----
    Source: definition. Range: pulses longer than two samples; shorter ones may be missed, and are then counted as lost.

    Examples
    --------
    >>> pulse_times([0, 0, 1, 1, 0, 0, 1, 1, 0], 10.0).round(6).tolist()
    [0.15, 0.55]
    """
    count = len(signal)
    every = max(1, -(-count // SAMPLES_AT_ONCE))
    sampled = np.concatenate([part[::every] for _, part in _parts(signal, count)])
    low, high = (float(one) for one in np.percentile(sampled, [0.1, 99.9]))
    if high <= low:
        low = min(float(part.min()) for _, part in _parts(signal, count))
        high = max(float(part.max()) for _, part in _parts(signal, count))
    turned = 1.0 if rising else -1.0
    if not rising:
        low, high, level = -high, -low, None if level is None else -level
    middle = (low + high) / 2 if level is None else level
    back = middle - 0.2 * (high - low)
    found, last_low, last_up = [], -1, None
    for start, part in _parts(signal, count, overlap=1):
        values = turned * part
        up = np.flatnonzero((values[:-1] < middle) & (values[1:] >= middle))
        below = np.concatenate([[last_low], start + np.flatnonzero(values < back)])
        if len(up):
            # a crossing counts where the signal has been low again since the crossing before
            since = below[np.searchsorted(below, start + up, side="right") - 1]
            before = np.concatenate([[-2 if last_up is None else last_up], start + up[:-1]])
            kept = up[since > before]
            last_up = int(start + up[-1])
            found.append(start + kept + (middle - values[kept]) / (values[kept + 1] - values[kept]))
        last_low = int(below[-1])
    if not found:
        raise QuantityError("signal: the tachometer never passes the level: look at the sensor, its gap and the mark")
    return np.asarray(np.concatenate(found) / rate)


def _parts(signal: Any, count: int, overlap: int = 0) -> Iterator[tuple[int, np.ndarray]]:
    """A signal some samples at a time, each with the number of its first one; overlap: begun again with so many."""
    for start in range(0, count, SAMPLES_AT_ONCE):
        stop = min(count, start + SAMPLES_AT_ONCE + overlap)
        if stop - start > overlap or start == 0:
            yield start, signal.part(start, stop) if hasattr(signal, "part") else np.asarray(signal[start:stop], float)


def turns_from_pulses(times: Any, per_turn: int = 1) -> Turns:
    """The turns that pulses show; lost ones counted in, false ones left out.

    A gap of two to six times its neighbours is one of lost pulses. A pulse much too early is false.

    Parameters
    ----------
    times : array
        Of the pulses, s, rising.
    per_turn : int
        Pulses a turn, evenly spaced: 1 for a single mark. With more, the first in the recording is the phase's datum,
        another one each time: such phases do not serve to balance.

    Returns
    -------
    Turns

    Raises
    ------
    QuantityError
        Fewer pulses than two turns and a half need, times that do not rise, no whole number a turn.

    Notes
    -----
    Source: definition; a gap within a quarter of a whole number is one of lost pulses (common practice, no source).
    Between pulses the angle follows a cubic spline, so that a rotor that speeds up evenly is followed exactly. Range:
    speed that changes by less than a fifth from one pulse to the next.

    Examples
    --------
    >>> turns_from_pulses([0.0, 0.1, 0.2, 0.4, 0.5]).in_words
    '5 turns at 600.0 to 600.0 rpm. 1 lost pulse put in between their neighbours.'
    """
    found = np.asarray(times, dtype=float)
    if isinstance(per_turn, bool) or per_turn != int(per_turn) or per_turn < 1:
        raise QuantityError(f"per_turn: needs a whole number of pulses, 1 or more, got {per_turn}")
    if found.ndim != 1 or len(found) < 4 or not np.isfinite(found).all():
        raise QuantityError(f"times: needs four pulses or more, got {found.size}")
    if (np.diff(found) <= 0).any():
        raise QuantityError("times: the pulses' times must rise")
    from scipy.ndimage import median_filter

    false = 0
    for _ in range(10):  # a false pulse makes two short gaps: it goes, then the rest is looked at anew
        gaps = np.diff(found)
        usual = median_filter(gaps, size=min(11, len(gaps) // 2 * 2 + 1), mode="nearest")
        short = np.flatnonzero((gaps[:-1] < 0.75 * usual[:-1]) & (gaps[1:] < 0.75 * usual[1:])) + 1
        both = short[np.abs((gaps[short - 1] + gaps[short]) / usual[short] - 1) < NEAR_WHOLE]
        if not len(both):
            break
        apart = both[np.concatenate([[True], np.diff(both) > 1])]
        false += len(apart)
        found = np.delete(found, apart)
        if len(found) < 4:
            raise QuantityError("times: hardly a pulse is left that could be one")
    gaps = np.diff(found)
    usual = median_filter(gaps, size=min(11, len(gaps) // 2 * 2 + 1), mode="nearest")
    share = gaps / usual
    whole = np.maximum(np.round(share), 1)
    odd = (np.abs(share - whole) > NEAR_WHOLE) | (whole - 1 > MOST_IN_A_ROW)
    counts = np.concatenate([[0], np.cumsum(whole)])
    unexplained = tuple((float(found[i]), float(found[i + 1])) for i in np.flatnonzero(odd))
    lost = int(np.sum(whole[~odd] - 1))
    turns = Turns(found, counts, int(per_turn), lost, false, unexplained)
    if turns.whole < 2:
        raise QuantityError(f"times: needs two whole turns at least, got {turns.whole}")
    if math.isclose(float(turns.times[0]), float(turns.times[-1])):
        raise QuantityError("times: all at once")
    return turns
