"""Which part it is: the spectrum of a recording, its lines named by the ratios, and lines too close together to tell
apart."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit.balance.phasors import of_kinds
from rotorkit.judging.measured import Measured, combine, measured
from rotorkit.quantities import Frequency, Kind, QuantityError, Ratio, RotationRate
from rotorkit.vibration.recordings import Recording
from rotorkit.vibration.turns import Turns

BINS_APART = 4.0
"""Bins between two lines that a Hann window, four bins wide, keeps apart whatever their phases."""


LONGEST = 1 << 20
"""Samples of a piece, at most, where nobody asks for a resolution: so memory does not grow with the recording (our own
choice)."""
SHORT = 100_000
"""Samples up to which any length is transformed at once."""


@dataclass(frozen=True)
class Spectrum:
    """Peak amplitude by frequency.

    frequencies: Hz. amplitudes: peak, SI of the kind. resolution: Hz between two figures. pieces: how many pieces of
    the recording are averaged (by power).
    """

    frequencies: np.ndarray
    amplitudes: np.ndarray
    resolution: float
    pieces: int
    kind: Kind


@dataclass(frozen=True)
class Line:
    """A peak of the spectrum.

    frequency: Hz. amplitude: peak, SI. names: of the parts whose own line lies there, the nearest first; none where no
    part of the list turns so.
    """

    frequency: float
    amplitude: float
    names: tuple[str, ...]


@dataclass(frozen=True)
class TooNear:
    """Two lines that this recording cannot tell apart.

    names: of both. apart: Hz. needed: seconds at steady speed, of each of the spectrum's pieces, that would tell them.
    """

    names: tuple[str, str]
    apart: float
    needed: float

    @property
    def in_words(self) -> str:
        """What to do."""
        if not math.isfinite(self.needed):
            return f"{self.names[0]} and {self.names[1]} turn alike: no recording tells them apart by frequency."
        return (
            f"{self.names[0]} and {self.names[1]} are {self.apart:.3g} Hz apart: too near for this recording. "
            f"{self.needed:.3g} s at steady speed in one piece would tell them; a spectrum of several needs as much "
            "for each."
        )


def spectrum(found: Recording, resolution: Any = None) -> Spectrum:
    """The amplitude spectrum of a recording, in peak amplitude of the sine at each frequency.

    Parameters
    ----------
    found : Recording
        Of `recording` or `read_recording`.
    resolution : Frequency, optional
        Hz between two figures, ``"0.1 Hz"``; the finest of which the recording has eight pieces where not given, so
        that noise is averaged; pieces of a million samples at most.

    Returns
    -------
    Spectrum

    Raises
    ------
    QuantityError
        A resolution finer than the recording is long.

    Notes
    -----
    Source: SciPy's Welch estimate with a Hann window, scaled to peak amplitude. A line between two figures is shown up
    to 15 % low. What is faster than half the sampling rate shows as a line below it, unless a filter before the
    recorder took it off. Range: steady speed; a speed that wanders smears its lines, see `orders_of`.

    Examples
    --------
    >>> from rotorkit.vibration import recording
    >>> t = np.arange(10_000) / 1000
    >>> found = spectrum(recording(0.3 * np.sin(2 * np.pi * 50 * t), "1000 Hz", "in/s"), "0.5 Hz")
    >>> top = int(np.argmax(found.amplitudes))
    >>> float(found.frequencies[top]), round(float(found.amplitudes[top]) / 0.0254, 4)
    (50.0, 0.3)
    """
    from scipy.signal import get_window

    if resolution is None:
        piece = _quick(min(LONGEST, max(16, int(len(found) / 4.5))))
    else:
        step = float(measured(resolution, Frequency, "resolution").si)
        if step <= 0:
            raise QuantityError(f"resolution: needs one above nothing, got {resolution}")
        piece = round(found.rate / step)
        if piece > len(found):
            raise QuantityError(
                f"resolution: {step:.4g} Hz needs {1 / step:.4g} s of recording, there are {found.seconds:.4g} s"
            )
    window = get_window("hann", piece)
    # piece by piece, so that ten million samples never stand in memory at once in several copies
    power, pieces = np.zeros(piece // 2 + 1), 0
    for start in range(0, len(found) - piece + 1, max(1, piece // 2)):
        values = found.part(start, start + piece)
        power += np.abs(np.fft.rfft((values - values.mean()) * window)) ** 2
        pieces += 1
    amplitudes = np.sqrt(power / pieces) * 2 / window.sum()
    amplitudes[0] /= 2
    return Spectrum(np.fft.rfftfreq(piece, 1 / found.rate), amplitudes, found.rate / piece, pieces, found.kind)


def _quick(piece: int) -> int:
    """A length at most four per cent shorter than this whose transform is quick: a length with
    a large prime in it takes ten times as long."""
    if piece < SHORT:
        return piece
    odd = [3**threes * 5**fives for threes in range(8) for fives in range(5)]
    least = [one * 2 ** int(math.log2(piece / one)) for one in odd if one <= piece]
    return max(least)


def drive_lines(
    speed: Any, ratios: Mapping[str, float], may_be_off: Mapping[str, float] | None = None
) -> dict[str, Measured]:
    """The frequencies of the parts of a drive train, from the main rotor's speed and each part's ratio to it.

    Parameters
    ----------
    speed : RotationRate
        Of the main rotor, ``"455 rpm"``, with its uncertainty if it has one.
    ratios : mapping
        By name, cycles for each turn of the main rotor: ``{"main rotor, once a turn": 1, "tail rotor": 5.1}``.
    may_be_off : mapping or None
        By the same names, by which share of it a line may lie off (k = 2): 0.01 of a belt that creeps, 0.02 of a
        bearing whose balls slip (common practice, no source). None and names left out: as exact as the ratio.

    Returns
    -------
    dict
        Frequencies by the same names.

    Raises
    ------
    QuantityError
        Not a rotation rate, or a ratio of nothing or less.

    Notes
    -----
    Source: definition. Range: belts slip, so that what is behind one is known to one per cent or so only.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(drive_lines("450 rpm", {"tail rotor": 5.2})["tail rotor"], "Hz", digits=4)
    '39.00 Hz'
    """
    turning = of_kinds(speed, (RotationRate,), "speed")
    if float(turning.si) <= 0:
        raise QuantityError("speed: needs one above nothing")
    found = {}
    for name, ratio in ratios.items():
        if not (isinstance(ratio, (int, float)) and not isinstance(ratio, bool) and 0 < ratio < math.inf):
            raise QuantityError(f"ratio of {name}: needs a number above nothing, got {ratio!r}")
        factor = ratio / math.tau
        off = (may_be_off or {}).get(name, 0.0)
        if off:
            known = measured(f"{ratio!r} ± {ratio * off!r}", Ratio, f"ratio of {name}")
            slopes = [factor, float(turning.si) / math.tau]
            found[name] = combine(float(turning.si) * factor, Frequency, [turning, known], slopes, "Hz")
            continue
        components = {origin: part * factor for origin, part in turning.components.items()}
        found[name] = Measured(float(turning.si) * factor, Frequency, components, "Hz")
    return found


def name_lines(found: Spectrum, lines: Mapping[str, Measured], most: int = 12, above: float = 4.0) -> list[Line]:
    """The peaks of a spectrum with the names of the parts that turn so.

    Parameters
    ----------
    found : Spectrum
        Of `spectrum`.
    lines : mapping
        Frequencies by name, of `drive_lines`.
    most : int
        How many peaks, the largest first.
    above : float
        How far a peak stands out of the median about it.

    Returns
    -------
    list of Line
        The largest first. A peak is a part's where it lies within the resolution and the line's own uncertainty.

    Notes
    -----
    Source: SciPy's peak finding; the naming is our own. A frequency tells which part turns at that rate, not what is
    wrong with it: a line that several parts share is named with all of them.

    Examples
    --------
    >>> from rotorkit.vibration import recording
    >>> t = np.arange(20_000) / 1000
    >>> made = recording(np.sin(2 * np.pi * 39 * t) + 0.01 * np.cos(2 * np.pi * 200.3 * t), "1000 Hz", "g")
    >>> name_lines(spectrum(made), drive_lines("450 rpm", {"tail rotor": 5.2}))[0].names
    ('tail rotor',)
    """
    from scipy.ndimage import median_filter
    from scipy.signal import find_peaks

    around = median_filter(found.amplitudes, size=min(101, len(found.amplitudes)), mode="nearest")
    peaks, _ = find_peaks(found.amplitudes)
    peaks = peaks[found.amplitudes[peaks] > above * around[peaks]]
    peaks = peaks[np.argsort(-found.amplitudes[peaks])][:most]
    named = []
    for peak in peaks:
        at = _between(found, int(peak))
        named.append(Line(at, float(found.amplitudes[peak]), names_at(at, found.resolution, lines)))
    return named


def names_at(frequency: float, resolution: float, lines: Mapping[str, Measured]) -> tuple[str, ...]:
    """The names of the lines, nearest first, within the resolution and their own uncertainty of a frequency (Hz)."""
    near = sorted(
        (abs(float(line.si) - frequency), name)
        for name, line in lines.items()
        if abs(float(line.si) - frequency) <= resolution + float(line.expanded_si)
    )
    return tuple(name for _, name in near)


@dataclass(frozen=True)
class Waterfall:
    """Spectra one after the other, as over a run-up. times: s, of the middle of each. speeds: rad/s, the rotor's mean
    in each. frequencies: Hz. amplitudes: peak, SI, a row for each spectrum."""

    times: np.ndarray
    speeds: np.ndarray
    frequencies: np.ndarray
    amplitudes: np.ndarray
    kind: Kind


def waterfall(found: Recording, turns: Turns, resolution: Any, offset: float = 0.0) -> Waterfall:
    """Spectra of pieces of a recording one after the other, each with the rotor's mean speed in it.

    Parameters
    ----------
    found : Recording
        Of `recording` or `read_recording`.
    turns : Turns
        Of `turns_from_pulses`, on the same clock.
    resolution : Frequency
        Hz between two figures; pieces are so long that they have it, and overlap by half.
    offset : float
        Seconds by which the recording began after the pulses' clock.

    Returns
    -------
    Waterfall
        Of the pieces that lie between the first and the last pulse, and in no gap of theirs.

    Raises
    ------
    QuantityError
        A resolution finer than the recording is long, or no piece between the pulses.

    Notes
    -----
    Source: as `spectrum`. What belongs to a rotor moves with its speed; what stays at one frequency while the speed
    changes is a resonance of the airframe, or not of this rotor. Range: speed that hardly changes within a piece.

    Examples
    --------
    >>> from rotorkit.vibration import recording, turns_from_pulses
    >>> t = np.arange(8000) / 1000
    >>> made = recording(np.cos(2 * np.pi * (5 * t + t**2 / 4)), "1000 Hz", "g")
    >>> pulses = [2 * (np.sqrt(25 + n) - 5) for n in range(56)]  # 5 t + t^2 / 4 = n
    >>> found = waterfall(made, turns_from_pulses(pulses), "1 Hz")
    >>> tops = found.frequencies[found.amplitudes.argmax(axis=1)]
    >>> bool(np.all(np.abs(tops - found.speeds / (2 * np.pi)) < 1))
    True
    """
    from scipy.signal import get_window

    step = float(measured(resolution, Frequency, "resolution").si)
    piece = round(found.rate / step) if step > 0 else 0
    if not 16 <= piece <= len(found):
        raise QuantityError(f"resolution: needs pieces within the recording of {found.seconds:.4g} s, got {resolution}")
    window = get_window("hann", piece)
    passed, clock = turns.counts / turns.per_turn, turns.times
    rows, times, speeds = [], [], []
    for start in range(0, len(found) - piece + 1, max(1, piece // 2)):
        first, last = offset + start / found.rate, offset + (start + piece) / found.rate
        if first < clock[0] - step / 1e6 or last > clock[-1]:
            continue
        if any(first < end and last > begin for begin, end in turns.gaps):
            continue  # nobody counted its turns
        values = found.part(start, start + piece)
        rows.append(np.abs(np.fft.rfft((values - values.mean()) * window)) * 2 / window.sum())
        times.append((first + last) / 2)
        turned = np.interp(last, clock, passed) - np.interp(first, clock, passed)
        speeds.append(math.tau * turned / (last - first))
    if not rows:
        raise QuantityError("pulses: no piece of this length lies between pulses without a gap")
    return Waterfall(
        np.array(times), np.array(speeds), np.fft.rfftfreq(piece, 1 / found.rate), np.array(rows), found.kind
    )


def _between(found: Spectrum, peak: int) -> float:
    """The frequency of a line from the figures beside its peak (a parabola through their logarithms)."""
    if not 0 < peak < len(found.amplitudes) - 1:
        return float(found.frequencies[peak])
    low, top, high = np.log(np.maximum(found.amplitudes[peak - 1 : peak + 2], 1e-300))
    bend = low - 2 * top + high
    shift = 0.0 if bend == 0 else float((low - high) / (2 * bend))
    return float(found.frequencies[peak]) + max(-0.5, min(0.5, shift)) * found.resolution


def too_near(lines: Mapping[str, Measured], resolution: float) -> list[TooNear]:
    """Pairs of lines that a spectrum of this resolution does not tell apart, and which one would.

    Parameters
    ----------
    lines : mapping
        Frequencies by name, of `drive_lines`.
    resolution : float
        Hz, of the `Spectrum`.

    Returns
    -------
    list of TooNear
        The nearest first. Lines four bins apart are told apart by a Hann window.

    Notes
    -----
    Source: width of the Hann window's main lobe, four bins (computed). Range: steady speed.

    Examples
    --------
    >>> pairs = too_near(drive_lines("450 rpm", {"fan": 6.0, "engine": 6.1}), 0.5)
    >>> pairs[0].in_words  # doctest: +NORMALIZE_WHITESPACE
    'fan and engine are 0.75 Hz apart: too near for this recording. 5.33 s at steady speed in one piece would tell
    them; a spectrum of several needs as much for each.'
    """
    if not resolution > 0:
        raise QuantityError(f"resolution: needs one above nothing, got {resolution}")
    names = list(lines)
    pairs = []
    for i, one in enumerate(names):
        for other in names[i + 1 :]:
            apart = abs(float(lines[one].si) - float(lines[other].si))
            if apart < BINS_APART * resolution * (1 - 1e-9):
                alike = apart <= 1e-9 * float(lines[one].si)
                pairs.append(TooNear((one, other), apart, math.inf if alike else BINS_APART / apart))
    return sorted(pairs, key=lambda pair: pair.apart)
