"""A recorded run that lies in the working folder, brought to the readings of the checks of the engine on the ground."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from rotorkit.aircraft import Aircraft
from rotorkit.engine import RecordedRun, Stretch, hottest, ignition_drops, leaned, oil_pressure_rise
from rotorkit.folder.offers import text_of_figure
from rotorkit.folder.recordings import file_of, fingerprint_of
from rotorkit.judging.measured import Measured
from rotorkit.quantities import QuantityError, RotationRate, Time, from_si, in_unit, say
from rotorkit.sheets.base import Field, Sheet
from rotorkit.sheets.catalogue import sheet_type
from rotorkit.sheets.engine.cooling import HEAD, OIL
from rotorkit.sheets.engine.mixture import CYLINDERS, FIXED

ENDS = (".csv", ".tsv", ".txt")
UNSTEADY = 0.03
"""Of the engine speed: where it varies by more while the mixture is drawn back the throttle was touched (our own
choice)."""
OFF_RATED = 0.02
"""Of the rated speed: where the engine turns that much otherwise at full power it is told (our own choice)."""


@dataclass
class _Reading:
    """What a run gives a sheet's fields, as it is gathered. told: sentences on what was found and what was not."""

    run: RecordedRun
    sheet: type[Sheet]
    aircraft: Aircraft
    given: Mapping[str, Any]
    found: dict[str, Any] = field(default_factory=dict)
    told: list[str] = field(default_factory=list)

    @property
    def system(self) -> str:
        return self.aircraft.aircraft.display

    def stretch(self, name: str) -> Stretch | None:
        """The stretch that a field names; None where it is empty."""
        text = str(self.given.get(name, "") or "").strip()
        if not text:
            return None
        try:
            return Stretch(*self.run.stretch(text))
        except QuantityError as problem:
            raise QuantityError(f"{name}: {problem}") from None

    def text(self, figure: Measured, name: str, column: str = "") -> str:
        """A figure as a field, or a column of a table, takes it."""
        one = _field(self.sheet.fields(), name)
        if column:
            assert one.row is not None
            one = _field(one.row.fields(), column)
        assert one.entry is not None
        return text_of_figure(figure, one.entry, self.system)

    def has(self, channel: str, words: str) -> bool:
        """Whether a channel was recorded; told where it was not."""
        there = channel in self.run.channels
        if not there:
            self.told.append(f"No {words} was recorded.")
        return there

    def mean(self, channel: str, part: Stretch) -> Measured:
        return self.run.mean(channel, _s(part.start), _s(part.end))


def _field(fields: list[Field], name: str) -> Field:
    return next(one for one in fields if one.name == name)


def _s(seconds: float) -> Any:
    return from_si(seconds, Time)


def run_of(
    folder: Path, aircraft: Aircraft, readings: Mapping[str, Any], progress: Callable[[int, int], None] | None = None
) -> RecordedRun:
    """The run that a check's field "recording" names, read by the monitor of the aircraft file whose columns it has.

    Arguments: folder, the working folder; aircraft; readings, as typed; progress, called with the bytes read and of how
    many. Raises `QuantityError`, in words that name the field.
    """
    file = file_of(folder, readings, ENDS, "run.csv")
    recorders = aircraft.recorders
    if not recorders:
        raise QuantityError(
            "recording: the aircraft file names no engine monitor: add [recorders.NAME] to it, once, saying what "
            "each column of its file is and in which unit"
        )
    fitting = [one for one in recorders.values() if one.fits(file)]
    if not fitting:
        (only, *others) = recorders.values()
        if not others:
            only.read(file)  # says which column is missing
        names = ", ".join(one.title for one in recorders.values())
        raise QuantityError(
            f"recording: {file.name} does not have the columns of any engine monitor in the aircraft file: {names}"
        )
    most = max(len(one.columns) for one in fitting)
    (best, *same) = [one for one in fitting if len(one.columns) == most]
    if same:
        raise QuantityError(
            f"recording: {file.name} fits more than one engine monitor in the aircraft file: "
            f"{', '.join(one.title for one in (best, *same))}; remove the one that did not write it"
        )
    return best.read(file, progress)


def read_run_into(
    folder: Path,
    aircraft: Aircraft,
    sheet: str,
    readings: Mapping[str, Any],
    progress: Callable[[int, int], None] | None = None,
) -> dict[str, Any]:
    """The readings that a recorded run gives a check of mixture, run-up or cooling, in place of those that stand there.

    Parameters
    ----------
    folder : Path
        the working folder, in which the file lies.
    aircraft : Aircraft
        whose [recorders] say what the columns are.
    sheet : str
        "mixture", "run_up" or "cooling".
    readings : mapping
        of the check as typed: recording, and the stretches.
    progress : callable, optional
        called with the bytes read, and of how many.

    Returns
    -------
    dict
        The fields that it gives, with the file's fingerprint, and in was_wrong what was read and what could not be.

    Raises
    ------
    QuantityError
        In words that name the field: no such file, monitor or stretch, or nothing to be found there.

    Examples
    --------
    ``readings | read_run_into(folder.path, folder.aircraft, "mixture", readings)``
    """
    if sheet not in READS_RUNS:
        raise QuantityError(f"{sheet!r:.40} reads no recorded run: {', '.join(READS_RUNS)} do")
    run = run_of(folder, aircraft, readings, progress)
    reading = _Reading(run, sheet_type(sheet), aircraft, readings)
    READS_RUNS[sheet](reading)
    bare = [name for name in run.channels if name not in run.sensors]
    if bare:
        reading.told.append(
            "The aircraft file gives no sensor uncertainty for "
            f"{', '.join(bare)}: their ± is only the scatter of the samples."
        )
    return {
        **reading.found,
        "fingerprint": fingerprint_of(file_of(folder, readings, ENDS, "run.csv")),
        "was_wrong": " ".join([*run.sentences, *reading.told]),
    }


def _mixture(to: _Reading) -> None:
    """Fuel flow at full power, and the steps of drawing the mixture back."""
    full, lean = to.stretch("full_stretch"), to.stretch("lean_stretch")
    fixed = to.given.get("control") == FIXED
    if full is None and (lean is None or fixed):
        raise QuantityError("full_stretch: from when to when did it run at full power, or was the mixture leaned?")
    if "fuel_flow" not in to.run.channels:
        raise QuantityError("recording: no fuel flow was recorded: name its column in the aircraft file")
    if full is not None:
        flow = to.mean("fuel_flow", full)
        to.found["full_flow"] = to.text(flow, "full_flow")
        to.told.append(f"Full power: {_when(to, full)}.")
        if "engine_speed" in to.run.channels:
            speed, rated = to.mean("engine_speed", full), to.aircraft.engine.rated_speed
            if abs(float(speed.si) / float(rated.si) - 1) > OFF_RATED:
                to.told.append(
                    f"The engine turned at {say(speed, 'rpm')} there, its rated speed is {rated.understood}."
                )
    if lean is None or fixed:
        return
    try:
        found = leaned(to.run, _s(lean.start), _s(lean.end))
    except QuantityError as problem:
        raise QuantityError(f"lean_stretch: {problem}") from None
    to.found["steps"] = [
        {"fuel_flow": to.text(step.flow, "steps", "fuel_flow")}
        | {
            f"exhaust_{i}": to.text(hot, "steps", f"exhaust_{i}")
            for i, hot in step.exhausts.items()
            if f"exhaust_{i}" in CYLINDERS
        }
        for step in found.steps
    ]
    how = (
        "parts of one sweep, each with the lag of the probes"
        if found.swept
        else ("settled steps, from the second half of each")
    )
    to.told.append(f"Drawn back: {len(found.steps)} {how}, {_when(to, lean)}.")
    given = {i for step in found.steps for i in step.exhausts if f"exhaust_{i}" in CYLINDERS}
    lacking = [name for name in to.run.channels if name.startswith("exhaust_") and int(name[8:]) not in given]
    if lacking:
        to.told.append(f"Not filled in, and so not checked: {', '.join(lacking)}.")
    if found.left_out:
        to.told.append(f"{found.left_out} more steps, far from every peak, were left out.")
    if "engine_speed" in to.run.channels:
        speeds = [to.mean("engine_speed", step.stretch) for step in found.steps]
        low, high = (pick(speeds, key=lambda one: float(one.si)) for pick in (min, max))
        if float(high.si) - float(low.si) > UNSTEADY * float(high.si):
            to.told.append(
                f"The engine speed went from {_rpm(low)} to {_rpm(high)} while leaning: was the throttle touched?"
            )
    heads = _heads(to, lean)
    if heads:
        name, top = max(heads.items(), key=lambda one: float(one[1].reading.si))
        to.found["head_temperature"] = to.text(top.reading, "head_temperature")
        to.told.append(f"Hottest head while leaning: {name}, at {to.run.said_at(top.at)}.")


def _run_up(to: _Reading) -> None:
    """Ignition drops, idle, oil pressure and its rise, oil and head temperature."""
    tried, idle = to.stretch("check_stretch"), to.stretch("idle_stretch")
    if tried is not None and to.has("engine_speed", "engine speed"):
        rows = [dict(row) for row in to.given.get("alone", []) if str(row.get("ignition", "") or "").strip()]
        try:
            drops = ignition_drops(to.run, _s(tried.start), _s(tried.end))
        except QuantityError as problem:
            raise QuantityError(f"check_stretch: {problem}") from None
        if len(drops) == len(rows):
            for row, drop in zip(rows, drops, strict=True):
                row |= {name: to.text(_scatter(getattr(drop, name)), "alone", name) for name in ("both", "alone")}
            to.found["alone"] = rows
            order = " then ".join(f"{row['ignition']} at {to.run.said_at(drop.stretch.start)}"
                                  for row, drop in zip(rows, drops, strict=True))  # fmt: skip
            to.told.append(
                f"Each tried alone, in the order of the rows (a recording does not say which is which): {order}. The "
                "± of these speeds is their scatter alone: the sensor's own error cancels in a drop."
            )
        else:
            at = ", ".join(to.run.said_at(drop.stretch.start) for drop in drops) or "none"
            to.told.append(
                f"Drops of the engine speed found: {len(drops)} ({at}), and the table has {len(rows)} ignitions: "
                "none is filled in. Set the stretch so that each is tried once in it, starting and ending on both."
            )
        if to.has("oil_pressure", "oil pressure"):
            to.found["oil_pressure"] = to.text(to.mean("oil_pressure", tried), "oil_pressure")
        if to.has("oil_temperature", "oil temperature"):
            first = Stretch(tried.start, min(tried.end, tried.start + 15))
            to.found["oil_temperature"] = to.text(to.mean("oil_temperature", first), "oil_temperature")
            to.told.append("Oil temperature: of the first 15 s of the ignitions' check.")
    if idle is not None and to.has("engine_speed", "engine speed"):
        to.found["idle"] = to.text(to.mean("engine_speed", idle), "idle")
        if "oil_pressure" in to.run.channels:
            to.found["oil_idle"] = to.text(to.mean("oil_pressure", idle), "oil_idle")
    if {"engine_speed", "oil_pressure"} <= to.run.channels.keys():
        try:
            rise = oil_pressure_rise(to.run)
        except QuantityError as problem:
            to.told.append(f"{str(problem)[:1].upper()}{str(problem)[1:]}.")
        else:
            if rise is None:
                to.told.append(
                    "It was already running in the first row: the file does not show how soon oil pressure came up."
                )
            else:
                to.found["oil_rise"] = to.text(rise, "oil_rise")
    heads = _heads(to, Stretch(0.0, to.run.length))
    if heads:
        name, top = max(heads.items(), key=lambda one: float(one[1].reading.si))
        to.found["head_temperature"] = to.text(top.reading, "head_temperature")
        to.told.append(f"Hottest head of the whole run: {name}, at {to.run.said_at(top.at)}.")
    if not to.found:
        raise QuantityError(
            "check_stretch: nothing of the run-up is in this file: give the stretches, or name more columns"
        )


def _cooling(to: _Reading) -> None:
    """Every head, the oil and the air, at their greatest; what had not settled is left out."""
    part = to.stretch("run_stretch")
    if part is None:
        raise QuantityError("run_stretch: from when to when were the temperatures settled?")
    found: dict[str, tuple[str, Any]] = {name: (HEAD, one) for name, one in _heads(to, part).items()}
    if "oil_temperature" in to.run.channels:
        found["oil"] = (OIL, hottest(to.run, "oil_temperature", _s(part.start), _s(part.end)))
    if not found:
        raise QuantityError("recording: neither head nor oil temperatures were recorded")
    rows, rising = [], []
    for name, (of, top) in found.items():
        rows.append({"where": name, "part": of})
        if top.settled:
            rows[-1]["reading"] = to.text(top.reading, "temperatures", "reading")
        else:
            rising.append(f"{name} (by {_hot(to, top.rising)})")
    if rising:
        to.told.append(
            f"Left empty, because it was not steady within 2 °F (1 °C) in the last minute: {', '.join(rising)}."
        )
    heads = (f"cylinder {name.removeprefix('head_')}" for name in to.run.channels if name.startswith("head_"))
    rows += [{"where": name, "part": HEAD} for name in heads if name not in found]  # recorded, but not to be read
    there = {row["where"] for row in rows}
    begun = [(row["where"], row["part"]) for row in to.sheet.start(to.aircraft)["temperatures"]]
    kept = [
        dict(row)
        for row in to.given.get("temperatures", [])
        if (where := str(row.get("where", "") or "").strip()) not in there
        and (str(row.get("reading", "") or "").strip() or (where and (where, row.get("part", HEAD)) not in begun))
    ]
    to.found["temperatures"] = [*rows, *kept]
    to.told.append(f"Temperatures: the highest of {_when(to, part)}.")
    if "air_temperature" in to.run.channels:
        to.found["ambient"] = to.text(to.mean("air_temperature", part), "ambient")


def _heads(to: _Reading, part: Stretch) -> dict[str, Any]:
    """Every cylinder head that can be read in a stretch, by its cylinder."""
    found = {}
    for name in sorted(one for one in to.run.channels if one.startswith("head_")):
        try:
            found[f"cylinder {name.removeprefix('head_')}"] = hottest(to.run, name, _s(part.start), _s(part.end))
        except QuantityError as problem:
            to.told.append(f"{problem}.")
    return found


def _scatter(figure: Measured) -> Measured:
    """A mean with what its samples scatter, without what the sensor is off by."""
    own = {of: part for of, part in figure.components.items() if not of.label.startswith("sensor of ")}
    return Measured(figure.si, figure.kind, own, figure.unit)


def _when(to: _Reading, part: Stretch) -> str:
    return f"{to.run.said_at(part.start)} to {to.run.said_at(part.end)}"


def _rpm(figure: Measured) -> str:
    return f"{float(in_unit(figure.si, 'rpm', RotationRate)):,.0f} rpm"


def _hot(to: _Reading, figure: Measured) -> str:
    return say(figure.shown_in(("degF", "degC")))


READS_RUNS: dict[str, Callable[[_Reading], None]] = {"mixture": _mixture, "run_up": _run_up, "cooling": _cooling}
"""The sheets that a recorded run is read into."""
