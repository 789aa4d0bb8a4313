"""A vibration recording: even samples, from an array, a CSV, a WAV or a NumPy file, in units that are said once."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from rotorkit.judging.measured import Measured, combine, measured
from rotorkit.quantities import (
    Acceleration,
    Frequency,
    Kind,
    Length,
    QuantityError,
    Ratio,
    Speed,
    read,
    required_kind,
)

__all__ = ["GravityCalibration", "Recording", "calibrate_with_gravity", "read_recording", "recording"]

KINDS: tuple[Any, ...] = (Acceleration, Speed, Length, Ratio)
"""What a recording may be of."""
ROWS_AT_ONCE = 200_000


@dataclass(frozen=True)
class Recording:
    """Samples at an even rate.

    values: bare, in coherent SI units of the kind where `scale` is 1, else times `scale` less `offset` (so that ten
    million samples on disk stay there). rate: samples a second. kind: what it is of. scale_share: the relative
    standard uncertainty of the calibration. bad: rows that could not be read, kept as the mean of their neighbours;
    where: the numbers of the first of them.
    """

    values: Any
    rate: float
    kind: Kind
    scale: float = 1.0
    offset: float = 0.0
    scale_share: float = 0.0
    bad: int = 0
    where: tuple[int, ...] = ()

    def __len__(self) -> int:
        return len(self.values)

    def part(self, first: int, last: int) -> np.ndarray:
        """Samples first up to last, in SI units."""
        return np.asarray(self.values[first:last], dtype=float) * self.scale - self.offset

    @property
    def seconds(self) -> float:
        """How long it is."""
        return len(self) / self.rate

    @property
    def in_words(self) -> str:
        """How much there is, and what could not be read."""
        said = f"{len(self):,} samples at {self.rate:,.6g} a second, {self.seconds:.4g} s."
        if self.bad:
            rows = ", ".join(f"{one:,}" for one in self.where)
            what = "row" if self.bad == 1 else "rows"
            said += f" {self.bad:,} {what} not readable, put in from the neighbours (first: {rows})."
        return said


def recording(
    values: Any, rate: Any, unit: str = "", sensitivity: Any = None, offset: float = 0.0, scale_uncertainty: Any = None
) -> Recording:
    """A recording from numbers.

    Parameters
    ----------
    values : array of numbers
        One after the other, at an even rate; also one that stays on disk (``numpy.load(..., mmap_mode="r")``).
    rate : Frequency
        Samples a second, ``"2000 Hz"``.
    unit : str
        What 1 in `values` means: ``"g"``, ``"m/s^2"``, ``"in/s"``, ``"thou"``; empty for a bare number.
    sensitivity : float, optional
        How much `values` change for one `unit`, such as 0.1 where a sensor gives 0.1 V for 1 g.
    offset : float
        What `values` show at rest.
    scale_uncertainty : Ratio, optional
        Of the sensitivity, expanded (k = 2): ``"3 %"``.

    Returns
    -------
    Recording

    Raises
    ------
    QuantityError
        No numbers, fewer than two, no even rate, a unit of another kind.

    Notes
    -----
    Source: definition. Range: what is not a number is put in by its neighbours and counted.

    Examples
    --------
    >>> recording([0.0, 0.1, 0.0, -0.1], "100 Hz", "g").part(0, 2).round(4).tolist()
    [0.0, 0.9807]
    """
    array = values if isinstance(values, np.ndarray) else np.asarray(values)
    if array.ndim != 1 or len(array) < 2 or not np.issubdtype(array.dtype, np.number):
        raise QuantityError(f"values: needs a row of two numbers or more, got {type(values).__name__} of {array.shape}")
    if np.issubdtype(array.dtype, np.complexfloating):
        raise QuantityError("values: needs real numbers, got complex ones")
    per_second = float(measured(rate, Frequency, "rate").si)
    if per_second <= 0:
        raise QuantityError(f"rate: needs one above nothing, got {rate}")
    factor, kind = _unit(unit)
    per_unit = 1.0 if sensitivity is None else float(sensitivity)
    if not per_unit or not math.isfinite(per_unit):
        raise QuantityError(f"sensitivity: needs a number other than nothing, got {sensitivity}")
    share = 0.0
    if scale_uncertainty is not None:
        share = float(measured(scale_uncertainty, Ratio, "scale_uncertainty").si) / 2
    bad = np.zeros(0, dtype=int)
    if np.issubdtype(array.dtype, np.floating):
        found = [
            i + np.flatnonzero(~np.isfinite(array[i : i + ROWS_AT_ONCE])) for i in range(0, len(array), ROWS_AT_ONCE)
        ]
        bad = np.concatenate(found)
    if len(bad):
        array = np.array(array, dtype=float)
        good = np.isfinite(array)
        if good.sum() < 2:
            raise QuantityError("values: hardly any of them is a number")
        array[bad] = np.interp(bad, np.flatnonzero(good), array[good])
    scale = factor / per_unit
    places = tuple(int(one) + 1 for one in bad[:5])
    return Recording(array, per_second, kind, scale, offset * scale, share, len(bad), places)


def _unit(unit: str) -> tuple[float, Kind]:
    for kind in KINDS:
        try:
            return float(read(f"1 {unit}".strip(), kind, by_program=True).si), required_kind(kind)
        except QuantityError:
            continue
    raise QuantityError(f"unit: needs one of acceleration, speed or length such as 'g', 'in/s', 'thou', got {unit!r}")


def read_recording(
    path: str | Path,
    unit: str,
    rate: Any = None,
    column: int | str = 1,
    time_column: int | str | None = 0,
    sensitivity: Any = None,
    offset: float = 0.0,
    scale_uncertainty: Any = None,
    channel: int = 0,
) -> Recording:
    """A recording from a file: CSV, WAV or NumPy (npy), told apart by the end of its name.

    Parameters
    ----------
    path : path
        The file. Of a CSV every row is read, those that cannot be are counted and named.
    unit, sensitivity, offset, scale_uncertainty
        As for `recording`. The numbers of a WAV of whole numbers are shares of its full scale, -1 to 1.
    rate : Frequency, optional
        Samples a second. A WAV has its own; a CSV with a column of times (in seconds) needs none.
    column, time_column : int or str
        Of a CSV: by number from 0, or by name where its first row has names; None for no times.
    channel : int
        Of a WAV, or the column of a NumPy array of several.

    Returns
    -------
    Recording

    Raises
    ------
    QuantityError
        Another kind of file, no rate, times that are not even (within 1 % on the whole, and everywhere within two
        samples: common practice, no source), a column that is not there.

    Notes
    -----
    NumPy and WAV files stay on disk and are read as they are needed, but for a WAV of 24 bits. Source: SciPy and NumPy
    read them; ours is the mapping. Range: even sampling.

    Examples
    --------
    ``read_recording("hover.csv", "g", column="vertical", scale_uncertainty="3 %")``
    """
    file = Path(path)
    end = file.suffix.lower()
    if end == ".npy":
        array = np.load(file, mmap_mode="r", allow_pickle=False)
        array = array if array.ndim == 1 else array[:, channel]
        if rate is None:
            raise QuantityError("rate: is needed, a NumPy file does not say it")
        return recording(array, rate, unit, sensitivity, offset, scale_uncertainty)
    if end == ".wav":
        from scipy.io import wavfile

        try:
            own, data = wavfile.read(file, mmap=True)
        except ValueError:  # samples of 24 bits cannot stay on disk
            try:
                own, data = wavfile.read(file)
            except ValueError as wrong:
                raise QuantityError(f"path: {file.name} is no WAV file that can be read: {wrong}") from None
        data = data if data.ndim == 1 else data[:, channel]
        full = float(np.iinfo(data.dtype).max) + 1 if np.issubdtype(data.dtype, np.integer) else 1.0
        middle = 128.0 if data.dtype == np.uint8 else 0.0
        full = 128.0 if data.dtype == np.uint8 else full
        per_unit = full * (1.0 if sensitivity is None else float(sensitivity))
        return recording(data, rate or f"{own} Hz", unit, per_unit, middle + offset * full, scale_uncertainty)
    if end not in (".csv", ".txt", ".tsv"):
        raise QuantityError(f"path: needs a file that ends in .csv, .wav or .npy, got {file.name}")
    table, bad, where = _table(file, "\t" if end == ".tsv" else ",", column, time_column)
    if rate is None:
        if time_column is None:
            raise QuantityError("rate: is needed where the file has no times")
        times = table[:, 0]
        good = np.isfinite(times)
        steps = np.diff(times[good]) / np.diff(np.flatnonzero(good))
        step = float(np.median(steps)) if len(steps) else math.nan
        if not step > 0:
            raise QuantityError("rate: the times do not rise")
        total = float((times[good][-1] - times[good][0]) / (np.flatnonzero(good)[-1] - np.flatnonzero(good)[0]))
        even = times[good][0] + total * (np.flatnonzero(good) - np.flatnonzero(good)[0])
        off = float(np.abs(times[good] - even).max())
        if abs(total - step) > 0.01 * step or off > 2 * step:
            raise QuantityError(
                f"rate: the times are not even ({step:.6g} s as a rule, {total:.6g} s on the whole, up to {off:.3g} s "
                "off): rows are missing, or the logger paused. Cut the file to an even part."
            )
        rate = f"{1 / total:.12g} Hz"
    made = recording(table[:, -1], rate, unit, sensitivity, offset, scale_uncertainty)
    places = where or made.where
    return Recording(
        made.values, made.rate, made.kind, made.scale, made.offset, made.scale_share, max(bad, made.bad), places
    )


def _chunks(lines: Iterable[str]) -> Iterator[list[str]]:
    source = iter(lines)
    while chunk := list(itertools.islice(source, ROWS_AT_ONCE)):
        yield chunk


def _table(
    file: Path, between: str, column: int | str, time_column: int | str | None
) -> tuple[np.ndarray, int, tuple[int, ...]]:
    """(columns of times and values, rows that could not be read, the numbers of the first of them)."""
    with file.open(encoding="utf-8", errors="replace") as lines:
        skip = 0
        first = ""
        for first in lines:
            if first.strip() and not first.startswith("#"):
                break
            skip += 1
        names = [name.strip().strip('"') for name in first.strip().split(between)]
        headed = not all(_is_number(name) for name in names)
        wanted = [one for one in (time_column, column) if one is not None]
        columns = [_column(one, names, headed) for one in wanted]
        rows: Iterable[str] = lines if headed else itertools.chain([first], lines)
        parts, bad, where = [], 0, []
        at = skip + 1 + headed
        for chunk in _chunks(rows):
            try:
                part = np.loadtxt(chunk, delimiter=between, usecols=columns, ndmin=2, comments=None)
                if len(part) != len(chunk):
                    raise ValueError("empty rows")
            except ValueError:
                part = np.array([_row(line, between, columns) for line in chunk]).reshape(-1, len(columns))
                wrong = np.flatnonzero(~np.isfinite(part).all(axis=1))
                bad += len(wrong)
                where += [at + int(i) for i in wrong[:5]]
            at += len(chunk)
            parts.append(part)
    if not parts:
        raise QuantityError(f"{file.name}: holds no rows")
    return np.vstack(parts), bad, tuple(where[:5])


def _row(line: str, between: str, columns: Sequence[int]) -> list[float]:
    cells = line.strip().split(between)
    try:
        return [float(cells[i]) for i in columns]
    except (ValueError, IndexError):
        return [math.nan] * len(columns)


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def _column(wanted: int | str, names: Sequence[str], headed: bool) -> int:
    if isinstance(wanted, str):
        if not headed or wanted not in names:
            raise QuantityError(f"column: there is none called {wanted!r}; there are {', '.join(names)}")
        return names.index(wanted)
    if not 0 <= wanted < len(names):
        raise QuantityError(f"column: needs a number from 0 to {len(names) - 1}, got {wanted}")
    return wanted


@dataclass(frozen=True)
class GravityCalibration:
    """What an accelerometer gives: sensitivity, its output for 1 g; offset, at nothing; share, relative standard
    uncertainty of the sensitivity."""

    sensitivity: Measured
    offset: Measured

    @property
    def share(self) -> float:
        """The relative standard uncertainty of the sensitivity."""
        return float(self.sensitivity.standard_si) / abs(float(self.sensitivity.si))


def calibrate_with_gravity(upright: Any, turned_over: Any) -> GravityCalibration:
    """An accelerometer's sensitivity and offset, from its output at rest with its axis up and with its axis down.

    Half the difference is 1 g, half the sum is the offset.

    Parameters
    ----------
    upright, turned_over : Ratio
        The output as a bare number (volts, counts, shares of full scale), axis up and axis down, at rest and level;
        ``"0.512 ± 0.002"``.

    Returns
    -------
    GravityCalibration
        For `recording`: ``sensitivity=float(found.sensitivity.si)``, ``unit="g"``.

    Raises
    ------
    QuantityError
        Both alike: the sensor does not feel gravity (a piezo one does not).

    Notes
    -----
    Source: gravity at rest; at the place it differs from the standard 9.80665 m/s^2 by up to 0.3 %, and 5 degrees off
    level are 0.4 %: neither is carried. Range: sensors that read down to no frequency at all.

    Examples
    --------
    >>> found = calibrate_with_gravity(0.52, -0.48)
    >>> float(found.sensitivity.si), round(float(found.offset.si), 12)
    (0.5, 0.02)
    """
    up, down = measured(upright, Ratio, "output upright"), measured(turned_over, Ratio, "output turned over")
    if float(up.si) == float(down.si):
        raise QuantityError("turned_over: is the same as upright: this sensor does not feel gravity at rest")
    half = combine((float(up.si) - float(down.si)) / 2, Ratio, [up, down], [0.5, -0.5])
    middle = combine((float(up.si) + float(down.si)) / 2, Ratio, [up, down], [0.5, 0.5])
    return GravityCalibration(half, middle)
