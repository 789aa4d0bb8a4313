"""Recorded runs: the table that an engine monitor writes, its columns named and given units once, read whole.

The file is any text table with a row of names. What of it is wanted, and in which unit it stands, is said once (in the
aircraft file: ``[recorders.NAME]``). Every row is read. What is no number is not guessed and not dropped in silence: it
is left out of its own column, counted, and named with its line.
"""

from __future__ import annotations

import math
import re
import warnings
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import numpy as np

from rotorkit.judging.measured import Measured, measured
from rotorkit.quantities import (
    GaugePressure,
    Kind,
    Pressure,
    QuantityError,
    RotationRate,
    Temperature,
    Time,
    VolumeFlow,
    from_si,
    read,
    required_kind,
)
from rotorkit.quantities.errors import shortened

CHANNELS: dict[str, Any] = {
    "engine_speed": RotationRate,
    "rotor_speed": RotationRate,
    "fuel_flow": VolumeFlow,
    "manifold_pressure": Pressure,
    "oil_pressure": GaugePressure,
    "fuel_pressure": GaugePressure,
    "oil_temperature": Temperature,
    "air_temperature": Temperature,
    "intake_temperature": Temperature,
    **{f"exhaust_{i}": Temperature for i in range(1, 9)},
    **{f"head_{i}": Temperature for i in range(1, 9)},
}
"""What a recorder's column may be, with its kind. exhaust_1, head_1: exhaust gas and cylinder head of cylinder 1."""
CLOCK = "clock"
"""The unit of a time that is written as on a clock: 14:05:33.5."""
ROWS_AT_ONCE = 200_000
MOST_NAMED, MOST_ALIKE = 20, 3
"""Places named of what cannot be read: in all, and of one text in one column."""
MOST_LETTERS = 300
MOST_LINES_BEFORE = 200
"""The row of names stands among so many lines at the beginning."""
OVER = "\0over"
"""The column for a cell beyond the row of names: where one stands, nobody knows which column the others belong to."""
_TO = re.compile(r"\s+to\s+|\s*\N{EN DASH}\s*|\s+-\s+")
_CLOCK = re.compile(r"^(?:(\d{1,2}):)?(\d{1,3}):(\d{2}(?:\.\d*)?)$")
_SKIPPED = re.compile(r"Skipping line (\d+): expected (\d+) fields, saw (\d+)")


@dataclass(frozen=True)
class Column:
    """One column of the file. name: as its row of names has it; unit: in which its numbers stand, "clock" for a time of
    day, "" for the kind's own where it has none."""

    name: str
    unit: str = ""


@dataclass(frozen=True)
class BadCell:
    """What could not be read. line: of the file, from 1; column: its name, "" where it is the whole row; text: what
    stands there."""

    line: int
    column: str
    text: str

    @property
    def words(self) -> str:
        """In words: ``line 7, RPM: 'err'``."""
        return f"line {self.line}" + (f", {self.column}: {shortened(self.text)}" if self.column else f": {self.text}")


def _together(bad: Sequence[BadCell]) -> tuple[list[str], int]:
    """(what could not be read in words, how many lines are named): lines that follow one another with the same in the
    same column in one; of each such kind the first few, so that no kind hides another."""
    runs: list[tuple[BadCell, int]] = []
    for one in sorted(bad, key=lambda cell: (cell.column, cell.text, cell.line)):
        if runs and one == replace(runs[-1][0], line=runs[-1][0].line + runs[-1][1]):
            runs[-1] = runs[-1][0], runs[-1][1] + 1
        else:
            runs.append((one, 1))
    runs.sort(key=lambda run: run[0].line)
    told: Counter[tuple[str, str]] = Counter()
    kept = []
    for one, count in runs:
        kind = one.column, one.text
        told[kind] += 1
        if told[kind] <= MOST_ALIKE:
            kept.append((one, count))
    if len(kept) > MOST_NAMED:
        columns = Counter[str]()
        of_each = max(1, MOST_NAMED // len({one.column for one, _ in kept}))
        fewer = []
        for one, count in kept:
            columns[one.column] += 1
            if columns[one.column] <= of_each:
                fewer.append((one, count))
        kept = fewer
    words = [
        one.words.replace(f"line {one.line}", f"lines {one.line} to {one.line + count - 1}", 1)
        if count > 1
        else one.words
        for one, count in kept
    ]
    return words, len({one.line + i for one, count in kept for i in range(count)})


@dataclass
class RecordedRun:
    """A run as it was recorded. time: seconds, from the first one; channels: SI values by name, not a number where
    nothing could be read; rows: of the file below its row of names; bad: the first of what could not be read; bad_rows:
    how many rows have any of that; empty: cells in which nothing stands, by channel; sensors: what each channel's
    sensor may be off by (expanded, k = 2), as text, where it is known; clock_at: the time of day of the first row, s,
    where the file has one."""

    name: str
    time: np.ndarray
    channels: dict[str, np.ndarray]
    rows: int
    bad: list[BadCell] = field(default_factory=list)
    bad_rows: int = 0
    empty: dict[str, int] = field(default_factory=dict)
    sensors: dict[str, str] = field(default_factory=dict)
    clock_at: float | None = None

    @property
    def length(self) -> float:
        """Seconds from the first row to the last that has a time."""
        return float(np.nanmax(self.time))

    @property
    def sentences(self) -> list[str]:
        """What was read and what was not."""
        said = [f"{self.name}: {self.rows:,} rows."]
        if self.bad_rows:
            named, lines = _together(self.bad)
            others = self.bad_rows - lines
            more = f", and {others:,} more rows" if others > 0 else ""
            row = "1 row holds" if self.bad_rows == 1 else f"{self.bad_rows:,} rows hold"
            said.append(f"{row} what cannot be read: {'; '.join(named)}{more}.")
        for count in dict.fromkeys(self.empty.values()):
            names = ", ".join(name for name, empty in self.empty.items() if empty == count)
            said.append(f"{names}: nothing stands in {count:,} of {self.rows:,} rows.")
        back = self._backwards
        if back:
            said.append(
                f"The time goes back in {back:,} {'row' if back == 1 else 'rows'}: two runs in one file, or a clock "
                "that was set. A stretch is taken by its times, wherever its rows stand."
            )
        return said

    @property
    def _backwards(self) -> int:
        known = self.time[np.isfinite(self.time)]
        return int((np.diff(known) < 0).sum())

    def stretch(self, text: str) -> tuple[float, float]:
        """From and to, in seconds from the first row, of a stretch as a person writes it.

        Parameters
        ----------
        text : str
            "12 min to 13.5 min", "720 s to 810 s"; minutes and seconds, "12:00 to 13:30", or with hours,
            "0:12:00 to 0:13:30", counted from the first row; where the file has the time of day, with hours as its
            clock shows, "14:05:30 to 14:07:00".

        Returns
        -------
        tuple of float
            Seconds from the first row.

        Raises
        ------
        QuantityError
            No two times, one that is not understood or lies outside the run, or an end before its start.
        """
        ends = [one.strip() for one in _TO.split(text.strip()) if one.strip()]
        if len(ends) != 2:
            raise QuantityError(
                f'needs two times with "to" between them, such as {self._example}; got {shortened(text)}'
            )
        start, end = (self._at(one) for one in ends)
        if not end > start:
            raise QuantityError(f"{shortened(text)} ends before it begins: write first from when, then until when")
        return start, end

    @property
    def _example(self) -> str:
        return '"14:05:30 to 14:07:00"' if self.clock_at is not None else '"12:00 to 13:30"'

    def _at(self, text: str) -> float:
        parts = _CLOCK.match(text)
        if parts is None:
            at = float(measured(text, Time, "time").si)
        else:
            hours, minutes, seconds = parts.groups()
            if float(seconds) >= 60 or (hours and int(minutes) >= 60):
                raise QuantityError(f"{shortened(text)} is no time: minutes and seconds go to 59")
            at = int(hours or 0) * 3600 + int(minutes) * 60 + float(seconds)
            if self.clock_at is not None:
                if not hours:
                    raise QuantityError(
                        f"{shortened(text)}: write the time of day with its seconds, as {self._example}, or the time "
                        'since the first row with its unit, as "12 min"'
                    )
                at = (at - self.clock_at) % 86400.0
                at = 0.0 if at > 86399.0 else at  # the first row's own second, of which a part is gone
        if not 0 <= at <= self.length + 1:
            raise QuantityError(f"{shortened(text)} lies outside the run: {self.name} goes {self._goes}")
        return at

    @property
    def _goes(self) -> str:
        if self.clock_at is None:
            return f"from 0:00 to {_minutes(self.length)}"
        return f"from {_of_day(self.clock_at)} to {_of_day(self.clock_at + self.length)}"

    def said_at(self, seconds: float) -> str:
        """A time of the run as the file's own clock shows it, or in minutes and seconds from the first row."""
        return _minutes(seconds) if self.clock_at is None else _of_day(self.clock_at + seconds)

    def kind(self, name: str) -> Kind:
        """The kind of a channel."""
        return required_kind(CHANNELS[name])

    def between(self, start: Any, end: Any) -> np.ndarray:
        """Which samples lie between two times of the run (from its first sample), both counted in."""
        low, high = (float(measured(one, Time, "time").si) for one in (start, end))
        if low > high:
            raise QuantityError(f"between: start {start} comes after end {end}")
        return (self.time >= low) & (self.time <= high)

    def mean(self, name: str, start: Any, end: Any, instrument: Any = None) -> Measured:
        """The mean of a channel over a stretch, with the standard uncertainty of a mean as its samples scatter.

        Parameters
        ----------
        name : str
            the channel.
        start, end : Time
            from the run's first sample.
        instrument : quantity or text, optional
            what the sensor may be off by (expanded, k = 2), which no mean makes less and which all means of this run
            have in common (default: what `sensors` says of the channel).

        Returns
        -------
        Measured
            The mean.

        Raises
        ------
        QuantityError
            No such channel, or fewer than two samples that could be read.

        Notes
        -----
        Source: JCGM 100:2008, 4.2.3. Samples of a monitor depend on each other over some seconds, so the scatter of the
        mean is worked out from as many as are independent (the sum of autocorrelations up to the first that is
        not positive), and never from more.
        """
        if name not in self.channels:
            raise QuantityError(f"{name!r:.40} was not recorded: there are {', '.join(self.channels) or 'none'}")
        values = self.channels[name][self.between(start, end)]
        values = values[np.isfinite(values)]
        if len(values) < 2:
            raise QuantityError(f"{name}: fewer than two samples between {start} and {end} could be read")
        kind = self.kind(name)
        spread = float(values.std(ddof=1)) / math.sqrt(_independent(values))
        found = measured(
            from_si(float(values.mean()), kind), kind, f"scatter of {name}",
            from_si(spread, _difference(kind)), stated_as="standard",
        )  # fmt: skip
        off = self.sensors.get(name) if instrument is None else instrument
        if off is None:
            return found
        own = measured(found.value, kind, name, shared={f"sensor of {name}, {self.name}": off})
        return Measured(found.si, kind, {**found.components, **own.components})


def _minutes(seconds: float) -> str:
    return f"{int(seconds) // 60}:{int(seconds) % 60:02d}"


def _of_day(seconds: float) -> str:
    whole = int(seconds) % 86400
    return f"{whole // 3600:02d}:{whole % 3600 // 60:02d}:{whole % 60:02d}"


def _difference(kind: Kind) -> Kind:
    from rotorkit.quantities import difference_kind

    return difference_kind(kind)


def _independent(values: np.ndarray) -> float:
    """How many of the samples stand for themselves."""
    n = len(values)
    away = values - values.mean()
    square = float(away @ away)
    if not square:
        return float(n)
    total = 1.0
    for lag in range(1, min(n - 1, 2000)):
        alike = float(away[:-lag] @ away[lag:]) / square
        if alike <= 0:
            break
        total += 2 * alike * (1 - lag / n)
    return max(1.0, n / total)


def read_run(
    path: str | Path,
    columns: Mapping[str, Column],
    time: Column | None = None,
    separator: str = ",",
    decimal: str = ".",
    absent: Sequence[str] = (),
    progress: Callable[[int, int], None] | None = None,
) -> RecordedRun:
    """A recorded run from the text table that an engine monitor wrote.

    Parameters
    ----------
    path : path
        The file. Lines before its row of names are passed over.
    columns : mapping
        Which channel (a key of `CHANNELS`) stands in which column, and in which unit.
    time : Column, optional
        In a unit of time, or "clock" for a time of day; without it the rows count as seconds.
    separator, decimal : str
        What parts the cells (",", ";" or a tab), and the decimal mark ("." or ",").
    absent : sequence of str
        What the monitor writes where it has no reading, such as "-999" or "---".
    progress : callable, optional
        Called with the bytes read, and of how many.

    Returns
    -------
    RecordedRun
        In SI units, with what could not be read.

    Raises
    ------
    QuantityError
        No such file or column, an unknown channel, a unit that is not of its kind, no rows.

    Notes
    -----
    pandas reads the table; names, units and what is said of bad rows are our own. Range: as many rows as fit into
    memory, at eight bytes for each channel and row.

    Examples
    --------
    ``read_run("run.csv", {"engine_speed": Column("RPM", "rpm"), "exhaust_1": Column("EGT1", "degF")},
    Column("Time", "clock"))``
    """
    file = Path(path)
    wanted = _wanted(columns, time)
    try:
        size = file.stat().st_size
        at, names = _row_of_names(file, [one.name for one in wanted.values()], separator)
    except OSError as problem:
        raise QuantityError(f"{file.name} cannot be read: {problem.strerror or problem}") from None
    scales = {name: scale_of(name, one) for name, one in wanted.items() if not (name == "time" and one.unit == CLOCK)}
    if decimal == separator:
        raise QuantityError(f"decimal mark and separator are both {decimal!r}: they must differ")
    parts: dict[str, list[np.ndarray]] = {name: [] for name in wanted}
    run = RecordedRun(file.name, np.empty(0), {}, 0)
    good = 0
    for table, skipped, done in _tables(file, at, names, separator, decimal, absent):
        lines = _lines(at, good, len(table), skipped.lines)
        good += len(table)
        over = table[OVER].notna().to_numpy()
        wrong = over.copy()
        told = f"more cells than the {len(names)} columns that have a name"
        run.bad += [BadCell(int(lines[i]), "", told) for i in np.flatnonzero(over)[: _room(run, "")]]
        for name, column in wanted.items():
            cells = table[column.name]
            clock = name == "time" and column.unit == CLOCK
            numbers, empty = _clock(cells) if clock else _numbers(cells, decimal)
            numbers, empty = np.where(over, np.nan, numbers), empty & ~over
            bad = ~np.isfinite(numbers) & ~empty & ~over
            if bad.any():
                wrong |= bad
                for i in np.flatnonzero(bad)[: _room(run, column.name)]:
                    run.bad.append(BadCell(int(lines[i]), column.name, str(cells.iloc[i]).strip()))
                numbers = np.where(bad, np.nan, numbers)
            if empty.any():
                run.empty[name] = run.empty.get(name, 0) + int(empty.sum())
            if not clock:
                slope, offset = scales[name]
                numbers = numbers * slope + offset
            parts[name].append(numbers)
        run.bad += [BadCell(line, "", told) for line, told in skipped.fresh[: _room(run, "")]]
        run.bad_rows += int(wrong.sum()) + len(skipped.fresh)
        run.rows += len(table) + len(skipped.fresh)
        skipped.fresh.clear()
        if progress is not None:
            progress(min(done, size), size)
    if not run.rows:
        raise QuantityError(f"{file.name}: no row stands below its row of names (line {at + 1})")
    found = {name: np.concatenate(some) for name, some in parts.items()}
    seconds = found.pop("time", None)
    if seconds is None:
        run.time = _counted(found)
    else:
        clock = wanted["time"].unit == CLOCK
        run.time = _from_first(seconds, clock)
        run.clock_at = float(seconds[np.isfinite(seconds)][0]) if clock else None
    run.channels = found
    run.bad.sort(key=lambda one: one.line)
    return run


def _room(run: RecordedRun, column: str) -> int:
    """How many more of a column's are kept to be named."""
    return max(0, MOST_NAMED - sum(one.column == column for one in run.bad))


def _wanted(columns: Mapping[str, Column], time: Column | None) -> dict[str, Column]:
    if not columns:
        raise QuantityError("columns: name one channel at least")
    for name in columns:
        if name not in CHANNELS:
            raise QuantityError(f"columns: there is no channel {name!r:.40}: there are {', '.join(CHANNELS)}")
    wanted = {**({"time": time} if time is not None else {}), **columns}
    names = [one.name for one in wanted.values()]
    if len(set(names)) < len(names):
        raise QuantityError("columns: a column is named twice")
    return wanted


def scale_of(name: str, column: Column) -> tuple[float, float]:
    """(slope, offset) from the column's numbers to SI."""
    kind = required_kind(Time if name == "time" else CHANNELS[name])
    unit = column.unit or ("s" if name == "time" else "")
    try:
        one, two = (read(f"{number} {unit}", kind, by_program=True).si for number in (1, 2))
    except QuantityError as problem:
        raise QuantityError(f"{name}: the unit {unit!r:.30} of column {column.name!r:.40}: {problem}") from None
    return two - one, 2 * one - two


def _row_of_names(file: Path, wanted: list[str], separator: str) -> tuple[int, list[str]]:
    """(its number from 0, the names)."""
    best: list[str] = []
    with file.open(encoding="utf-8-sig", errors="replace", newline=None) as lines:
        for at, line in zip(range(MOST_LINES_BEFORE), lines, strict=False):
            names = [cell.strip().strip('"').strip() for cell in line.rstrip("\n").split(separator)]
            if set(wanted) <= set(names):
                twice = [one for one in wanted if names.count(one) > 1]
                if twice:
                    raise QuantityError(f"{file.name}: more than one column is called {twice[0]!r:.40}")
                return at, names
            best = max(best, names, key=len)
    lacking = [one for one in wanted if one not in best]
    there = ", ".join(best)[:MOST_LETTERS]
    raise QuantityError(
        f"{file.name}: no column is called {', '.join(map(repr, lacking))}; its row of names has {there}"
    )


def has_columns(path: str | Path, names: Sequence[str], separator: str = ",") -> bool:
    """Whether a text table has a row of names with each of these in it."""
    try:
        _row_of_names(Path(path), list(names), separator)
    except (QuantityError, OSError):
        return False
    return True


@dataclass
class _Skipped:
    """Rows with too many cells, which the reader passes over: every line so far, and those not told yet."""

    lines: list[int] = field(default_factory=list)
    fresh: list[tuple[int, str]] = field(default_factory=list)


def _tables(file: Path, at: int, names: list[str], separator: str, decimal: str, absent: Sequence[str]) -> Any:
    """(table, rows passed over, bytes read) piece by piece. A line is a row, whatever stands in it."""
    import csv

    import pandas

    unique = [name or f"\0{i}" for i, name in enumerate(names)]
    unique = [name if unique.index(name) == i else f"{name}\0{i}" for i, name in enumerate(unique)]
    unique.append(OVER)
    nothing = {name: ["", *absent] for name in unique} | {OVER: [""]}
    skipped = _Skipped()
    with file.open("rb") as raw, warnings.catch_warnings(record=True) as told:
        warnings.simplefilter("always")
        pieces = pandas.read_csv(
            raw, sep=separator, decimal=decimal, header=None, names=unique, skiprows=at + 1, chunksize=ROWS_AT_ONCE,
            quoting=csv.QUOTE_NONE, skip_blank_lines=False, on_bad_lines="warn", na_values=nothing,
            keep_default_na=False, encoding="utf-8", encoding_errors="replace", low_memory=False, index_col=False,
        )  # fmt: skip
        for table in pieces:
            for one in told:
                for line, wanted, saw in _SKIPPED.findall(str(one.message)):
                    skipped.lines.append(int(line))
                    skipped.fresh.append((int(line), f"{saw} cells where there are {int(wanted) - 1} columns"))
            told.clear()
            yield table, skipped, raw.tell()


def _lines(at: int, before: int, count: int, skipped: Sequence[int]) -> np.ndarray:
    """The line of the file, from 1, of each row of a piece; before: rows that came before it, skipped lines apart."""
    first = at + 2
    passed = np.array([line - first - i for i, line in enumerate(sorted(skipped))], dtype=int)
    rows = np.arange(before, before + count)
    return np.asarray(rows + first + np.searchsorted(passed, rows, side="right"))


def _numbers(cells: Any, decimal: str) -> tuple[np.ndarray, np.ndarray]:
    """(numbers, where nothing stands) of a column."""
    import pandas

    empty = cells.isna().to_numpy()
    if cells.dtype.kind in "fiu":
        return cells.to_numpy(dtype=float), empty
    text = cells.astype("string").str.strip().str.strip('"').str.strip()
    empty = empty | (text == "").fillna(True).to_numpy(dtype=bool)
    if decimal != ".":
        text = text.str.replace(decimal, ".", regex=False)
    return pandas.to_numeric(text, errors="coerce").to_numpy(dtype=float, na_value=np.nan), empty


def _clock(cells: Any) -> tuple[np.ndarray, np.ndarray]:
    """(seconds of the day, where nothing stands) of times such as 14:05:33.5 or 14:05.

    Those that stand there in full, as nearly all do, are taken digit by digit and all at once."""
    empty = cells.isna().to_numpy()
    letters = np.array(["" if no else str(one) for one, no in zip(cells.to_numpy(), empty, strict=True)])
    total, quick = _digits_of_clock(letters)
    if not quick.all():
        total[~quick] = _clock_by_pattern(cells[~quick])
    return total, empty


def _digits_of_clock(letters: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """(seconds of the day, which were read) of texts that are just 14:05:33, with or without digits behind a point."""
    wide = letters.dtype.itemsize // 4
    if not letters.size or wide < 8:
        return np.full(letters.size, np.nan), np.zeros(letters.size, dtype=bool)
    codes = np.ascontiguousarray(letters).view(np.uint32).reshape(letters.size, wide).astype(np.int64)
    digits = codes - ord("0")
    is_digit = (digits >= 0) & (digits <= 9)
    quick = is_digit[:, [0, 1, 3, 4, 6, 7]].all(axis=1) & (codes[:, [2, 5]] == ord(":")).all(axis=1)
    pairs = [10 * digits[:, i] + digits[:, i + 1] for i in (0, 3, 6)]
    seconds = pairs[2].astype(float)
    if wide > 8:
        behind = is_digit[:, 9:]
        quick &= ((codes[:, 8] == ord(".")) & (behind | (codes[:, 9:] == 0)).all(axis=1)) | (codes[:, 8:] == 0).all(
            axis=1
        )
        seconds = seconds + (np.where(behind, digits[:, 9:], 0) * 10.0 ** -np.arange(1, wide - 8)).sum(axis=1)
    hours, minutes = pairs[0], pairs[1]
    total = hours * 3600.0 + minutes * 60.0 + seconds
    return np.where(quick & (hours < 24) & (minutes < 60) & (seconds < 61), total, np.nan), quick


def _clock_by_pattern(cells: Any) -> np.ndarray:
    """Seconds of the day of such times however they stand there; not a number where it is no time of day."""
    found = cells.astype("string").str.strip().str.strip('"').str.extract(r"^(\d{1,2}):(\d{2})(?::(\d{2}(?:\.\d*)?))?$")
    hours, minutes, seconds = (found[i].astype("Float64").to_numpy(dtype=float, na_value=np.nan) for i in range(3))
    total = hours * 3600 + minutes * 60 + np.where(np.isnan(seconds), 0.0, seconds)
    return np.asarray(np.where((hours < 24) & (minutes < 60) & ~(seconds >= 61), total, np.nan))


def _from_first(seconds: np.ndarray, clock: bool) -> np.ndarray:
    """Seconds from the first that could be read; over midnight a clock goes on, and back for rows out of order."""
    known = np.flatnonzero(np.isfinite(seconds))
    if not len(known):
        raise QuantityError("time: no row of its column could be read")
    if clock:
        steps = np.diff(seconds[known])
        days = np.cumsum(np.where(steps < -43200.0, 1, np.where(steps > 82800.0, -1, 0)))
        seconds = seconds.copy()
        seconds[known[1:]] += 86400.0 * (days - np.minimum(np.minimum.accumulate(days), 0))
    return np.asarray(seconds - seconds[known[0]])


def _counted(found: Mapping[str, np.ndarray]) -> np.ndarray:
    return np.arange(len(next(iter(found.values()))), dtype=float)
