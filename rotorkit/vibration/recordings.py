"""A vibration recording: even samples, from an array, a CSV, a WAV or a NumPy file, in units that are said once."""

from __future__ import annotations

import io
import math
import mmap
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
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

KINDS: tuple[Any, ...] = (Acceleration, Speed, Length, Ratio)
"""What a recording may be of."""
SLOWEST = 10.0
"""Samples a second under which a file of times is of no vibration."""
NO_TIMES = (
    "the times do not rise: the column of times, the first one, holds no times, or numbers have decimal commas in a "
    "file that has commas between its columns too. Save it with semicolons or decimal points, or say the samples a "
    "second"
)
ROWS_AT_ONCE = 200_000
BYTES_AT_ONCE = 1 << 23
BYTES_LOOKED_AT = 1 << 16
MANY_ROWS = 50_000
MOST_IN_MEMORY = 1_000_000
"""Numbers of a column that are kept in memory while a file is read; more are laid on disk."""


@dataclass(frozen=True)
class Recording:
    """Samples at an even rate.

    values: bare, in coherent SI units of the kind where `scale` is 1, else times `scale` less `offset` (so that ten
    million samples on disk stay there). rate: samples a second. kind: what it is of. scale_share: the relative
    standard uncertainty of the calibration. bad: rows that could not be read, kept as the mean of their neighbours;
    where: the numbers of the first of them; bad_at: which samples they are, from 0.
    """

    values: Any
    rate: float
    kind: Kind
    scale: float = 1.0
    offset: float = 0.0
    scale_share: float = 0.0
    bad: int = 0
    where: tuple[int, ...] = ()
    bad_at: np.ndarray | None = field(default=None, compare=False, repr=False)

    def __len__(self) -> int:
        return len(self.values)

    def part(self, first: int, last: int) -> np.ndarray:
        """Samples first up to last, in SI units."""
        found = np.array(self.values[first:last], dtype=float)
        _let_go(self.values)
        found *= self.scale
        found -= self.offset
        return found

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
    Source: definition. Range: a sample that is not a number is filled in from its neighbours and counted.

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
        found = []
        for i in range(0, len(array), ROWS_AT_ONCE):
            found.append(i + np.flatnonzero(~np.isfinite(array[i : i + ROWS_AT_ONCE])))
            _let_go(array)
        bad = np.concatenate(found)
    if len(bad):
        array = np.array(array, dtype=float)
        good = np.isfinite(array)
        if good.sum() < 2:
            raise QuantityError("values: hardly any of them is a number")
        array[bad] = np.interp(bad, np.flatnonzero(good), array[good])
    scale = factor / per_unit
    places = tuple(int(one) + 1 for one in bad[:5])
    return Recording(array, per_second, kind, scale, offset * scale, share, len(bad), places, bad)


def _let_go(values: Any) -> None:
    """Let go of the pages of a file on disk that were looked at: else all of a long one would stand in memory by the
    end. They are there again when they are looked at again, with what was written into them; where that stays out of
    the file (mode "c") it would be lost, and the pages are kept."""
    mapped = getattr(values, "_mmap", None)
    if getattr(values, "mode", "c") != "c" and mapped is not None and hasattr(mmap, "MADV_DONTNEED"):
        mapped.madvise(mmap.MADV_DONTNEED)


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
    read them; the mapping is our own. Range: even sampling.

    Examples
    --------
    ``read_recording("hover.csv", "g", column="vertical", scale_uncertainty="3 %")``
    """
    file = Path(path)
    end = file.suffix.lower()
    if end == ".npy":
        array = np.load(file, mmap_mode="r", allow_pickle=False)
        array = _channel(array, channel, file.name)
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
        data = _channel(data, channel, file.name)
        full = float(np.iinfo(data.dtype).max) + 1 if np.issubdtype(data.dtype, np.integer) else 1.0
        middle = 128.0 if data.dtype == np.uint8 else 0.0
        full = 128.0 if data.dtype == np.uint8 else full
        per_unit = full * (1.0 if sensitivity is None else float(sensitivity))
        return recording(data, rate or f"{own} Hz", unit, per_unit, middle + offset * full, scale_uncertainty)
    if end not in (".csv", ".txt", ".tsv"):
        raise QuantityError(f"path: needs a file that ends in .csv, .wav or .npy, got {file.name}")
    found = _read_table(file, [column], time_column, rate, None)
    made = recording(found.columns[0], found.rate, unit, sensitivity, offset, scale_uncertainty)
    return found.told_of(made)


def _channel(data: np.ndarray, channel: int, name: str) -> np.ndarray:
    """One channel of a file, counted from 0."""
    count = 1 if data.ndim == 1 else data.shape[1]
    if data.ndim > 2 or not 0 <= channel < count:
        raise QuantityError(
            f"column: {name} has {count} channel{'s' * (count != 1)}, counted from 0; there is no channel {channel}. "
            "Vibration and pulses are two: record both at once"
        )
    return data if data.ndim == 1 else data[:, channel]


def read_with_pulses(
    path: str | Path,
    unit: str,
    column: int | str = 1,
    pulses: int | str = 2,
    rate: Any = None,
    sensitivity: Any = None,
    offset: float = 0.0,
    scale_uncertainty: Any = None,
    progress: Callable[[float], None] | None = None,
) -> tuple[Recording, Recording]:
    """A recording and its tachometer's signal from one file, which is gone through once.

    Parameters
    ----------
    path : path
        CSV, WAV or NumPy, as for `read_recording`. Of a CSV without `rate` the first column holds the times.
    unit, rate, sensitivity, offset, scale_uncertainty
        Of the vibration, as for `read_recording`.
    column, pulses : int or str
        Of the vibration and of the tachometer's signal: of a CSV columns, of the others channels, from 0.
    progress : callable, optional
        Called with the share of a CSV that is read, 0 to 1.

    Returns
    -------
    tuple of two Recording
        The vibration, and the signal as bare numbers.

    Raises
    ------
    QuantityError
        As `read_recording`.

    Notes
    -----
    A long CSV is written to disk as numbers while it is read, so that ten million rows do not stand in memory. Source:
    NumPy, and pandas for long files, read the numbers; the mapping and what is said of bad rows are our own. Range: as
    `read_recording`.

    Examples
    --------
    ``vibration, signal = read_with_pulses("hover.csv", "g", "cabin", "mark")``
    """
    file = Path(path)
    if column == pulses:
        raise QuantityError(f"pulses: are another column than the vibration's, which is {column} too")
    if file.suffix.lower() in (".csv", ".txt", ".tsv"):
        if not rate and column == 0:
            raise QuantityError("column: 0 holds the times, as no samples a second are given; the vibration is another")
        found = _read_table(file, [column, pulses], None if rate else 0, rate, progress)
        made = recording(found.columns[0], found.rate, unit, sensitivity, offset, scale_uncertainty)
        return found.told_of(made), recording(found.columns[1], found.rate)
    if not isinstance(column, int) or not isinstance(pulses, int):
        raise QuantityError("column: of this sort of file channels are numbered, from 0")
    vibration = read_recording(
        file, unit, rate, sensitivity=sensitivity, offset=offset, scale_uncertainty=scale_uncertainty, channel=column
    )
    return vibration, read_recording(file, "", rate, channel=pulses)


@dataclass(frozen=True)
class _Table:
    """Columns of a CSV, bad rows put in from their neighbours. rate: samples a second, as text."""

    columns: list[np.ndarray]
    rate: Any
    bad: np.ndarray
    where: tuple[int, ...]

    def told_of(self, made: Recording) -> Recording:
        """The recording with the file's bad rows told."""
        if not len(self.bad):
            return made
        return replace(made, bad=len(self.bad), where=self.where, bad_at=self.bad)


def _read_table(
    file: Path,
    wanted: Sequence[int | str],
    time_column: int | str | None,
    rate: Any,
    progress: Callable[[float], None] | None,
) -> _Table:
    if rate is None and time_column is None:
        raise QuantityError("rate: is needed where the file has no times")
    with_times = rate is None
    columns, bad, where = _table(
        file, [time_column, *wanted] if with_times and time_column is not None else wanted, progress
    )
    if with_times:
        rate = _rate(columns.pop(0))
    for one in columns:
        _put_in(one, bad)
    return _Table(columns, rate, bad, where)


def _rate(times: np.ndarray) -> str:
    """Samples a second from a column of times, if they are even."""
    first = step = last = None
    steps: list[np.ndarray] = []
    for start in range(0, len(times), ROWS_AT_ONCE):
        part = times[start : start + ROWS_AT_ONCE]
        good = np.flatnonzero(np.isfinite(part))
        if not len(good):
            continue
        if first is None:
            first = (int(good[0]) + start, float(part[good[0]]))
        last = (int(good[-1]) + start, float(part[good[-1]]))
        steps.append((np.diff(part[good]) / np.diff(good))[:: max(1, len(times) // 1_000_000)])
        _let_go(times)
    if first is None or last is None or last[0] == first[0]:
        raise QuantityError(f"rate: {NO_TIMES}")
    step = float(np.median(np.concatenate(steps)))
    total = (last[1] - first[1]) / (last[0] - first[0])
    if not step > 0 or not total > 0:
        raise QuantityError(f"rate: {NO_TIMES}")
    off = 0.0
    for start in range(0, len(times), ROWS_AT_ONCE):
        part = times[start : start + ROWS_AT_ONCE]
        away = part - (first[1] + total * (start - first[0] + np.arange(len(part))))
        off = max(off, float(np.nanmax(np.abs(away), initial=0.0)))
        _let_go(times)
    if abs(total - step) > 0.01 * step or off > 2 * step:
        raise QuantityError(
            f"rate: the times are not even ({step:.6g} s as a rule, {total:.6g} s on the whole, up to {off:.3g} s "
            "off): rows are missing, or the logger paused. Cut the file to an even part."
        )
    if 1 / total < SLOWEST:
        raise QuantityError(
            f"rate: by its times the file has {1 / total:.3g} samples a second. If the times are milliseconds, say the "
            f"samples a second, {1000 / total:.5g} Hz"
        )
    return f"{1 / total:.12g} Hz"


def _put_in(values: np.ndarray, bad: np.ndarray) -> None:
    """Put bad rows in, each on the straight line between its neighbours that are good; at an end, as the next one."""
    if not len(bad):
        return
    if len(bad) > len(values) - 2:
        raise QuantityError("values: hardly any of them is a number")
    begins = np.concatenate([[True], np.diff(bad) > 1])
    run = np.cumsum(begins) - 1
    before = bad[begins][run] - 1
    after = bad[np.concatenate([begins[1:], [True]])][run] + 1
    low = np.where(before >= 0, values[np.maximum(before, 0)], np.nan)
    high = np.where(after < len(values), values[np.minimum(after, len(values) - 1)], np.nan)
    low, high = np.where(np.isnan(low), high, low), np.where(np.isnan(high), low, high)
    values[bad] = low + (high - low) * (bad - before) / (after - before)


def _between(file: Path) -> tuple[str, bool]:
    """What stands between the columns, by the first lines: semicolon, tab or comma; and whether decimals have commas,
    as they may where it is no comma."""
    with file.open("rb") as stream:
        start = stream.read(BYTES_LOOKED_AT)
    lines = [_decoded(line) for line in start.splitlines() if line.strip() and not line.startswith(b"#")]
    lines = lines[:-1] if len(lines) > 1 and not start.endswith(b"\n") else lines
    if not lines:
        raise QuantityError(f"recording: {file.name} is empty")
    for one in (";", "\t"):
        if all(one in line for line in lines[:3]):
            data = lines[1:] or lines
            return one, any("," in line for line in data) and not any("." in line for line in data)
    return ",", False


def _table(
    file: Path, wanted: Sequence[int | str], progress: Callable[[float], None] | None
) -> tuple[list[np.ndarray], np.ndarray, tuple[int, ...]]:
    """(the columns, rows that could not be read counted from 0, the numbers of the first of them in the file)."""
    size = max(1, file.stat().st_size)
    between, commas = _between(file)
    with file.open("rb") as lines:
        skip = 0
        first = b""
        for first in lines:
            if first.strip() and not first.startswith(b"#"):
                break
            skip += 1
        start = _decoded(first).removeprefix("\ufeff")
        names = [name.strip().strip('"') for name in start.strip().split(between)]
        headed = not all(_is_number(name.replace(",", ".") if commas else name) for name in names)
        columns = [_column(one, names, headed) for one in wanted]
        pending = [] if headed or not first.strip() else [first]
        spools, bad, rows = [_Spool() for _ in columns], [], 0
        while chunk := [*pending, *lines.readlines(BYTES_AT_ONCE)]:
            pending = []
            if commas:
                chunk = [line.replace(b",", b".") for line in chunk]
            part = _numbers(chunk, between, columns)
            bad.append(rows + np.flatnonzero(~np.isfinite(part).all(axis=1)))
            part[bad[-1] - rows] = np.nan
            rows += len(chunk)
            for spool, values in zip(spools, part.T, strict=True):
                spool.add(values)
            if progress is not None:
                progress(min(1.0, lines.tell() / size))
    if not rows:
        raise QuantityError(f"{file.name}: holds no rows")
    wrong = np.concatenate(bad)
    places = tuple(skip + 1 + headed + int(one) for one in wrong[:5])
    return [spool.values() for spool in spools], wrong, places


class _Spool:
    """Numbers of a column as they come: a few in memory, many on disk, in a file without a name."""

    def __init__(self) -> None:
        self._parts: list[np.ndarray] = []
        self._file: Any = None
        self._count = 0

    def add(self, values: np.ndarray) -> None:
        self._count += len(values)
        if self._file is None and self._count > MOST_IN_MEMORY:
            self._file = tempfile.TemporaryFile()  # noqa: SIM115 - it lives as long as the array that is mapped on it
            for part in self._parts:
                part.tofile(self._file)
            self._parts = []
        if self._file is None:
            self._parts.append(np.array(values))
        else:
            np.ascontiguousarray(values).tofile(self._file)

    def values(self) -> np.ndarray:
        if self._file is None:
            return np.concatenate(self._parts)
        self._file.flush()
        return np.memmap(self._file, dtype=float, mode="r+", shape=(self._count,))


def _numbers(chunk: list[bytes], between: str, columns: Sequence[int]) -> np.ndarray:
    """Rows x columns; what cannot be read is not a number."""
    if len(chunk) > MANY_ROWS:  # pandas reads many rows four times as fast, and takes a moment to be imported
        import csv

        import pandas

        try:
            table = pandas.read_csv(
                io.BytesIO(b"".join(chunk)), sep=between, header=None, usecols=sorted(set(columns)), dtype=float,
                keep_default_na=False, skip_blank_lines=False, quoting=csv.QUOTE_NONE, engine="c",
                encoding_errors="replace",
            )  # fmt: skip
            if len(table) == len(chunk):
                return np.column_stack([table[one].to_numpy() for one in columns])
        except ValueError:
            pass
    else:
        try:
            part = np.loadtxt(chunk, delimiter=between, usecols=columns, ndmin=2, comments=None, encoding="utf-8")
            if len(part) == len(chunk):
                return np.asarray(part)
        except ValueError:
            pass
    return np.array([_row(_decoded(line), between, columns) for line in chunk]).reshape(-1, len(columns))


def _decoded(line: bytes) -> str:
    return line.decode("utf-8", errors="replace")


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
    level are 0.4 %: neither is in the uncertainty. Range: sensors that read down to zero frequency.

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
