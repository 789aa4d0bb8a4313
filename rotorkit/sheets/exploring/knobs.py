"""What explorations are made of: knobs, what is seen, the air at the knobs, and the map over temperature and height.

An exploration has knobs, each a quantity with its range, and pictures of their values. It knows nothing of sliders. It
is for seeing how things hang together: figures without uncertainty and without verdict, which the sheets give.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.derived import slower_words
from rotorkit.aircraft.entries import Entry
from rotorkit.aircraft.performance_figures import WHICH_AIRSPEED
from rotorkit.atmosphere import (
    DayAir,
    humid_air_density,
    pressure_altitude,
    standard_pressure,
    station_pressure,
    true_airspeed,
    vapour_pressure_from_humidity,
)
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured, difference_si
from rotorkit.pictures.data import Contour, Picture, Point
from rotorkit.quantities import (
    Length,
    Mass,
    QuantityError,
    Ratio,
    Reading,
    RotationRate,
    Speed,
    Temperature,
    in_unit,
    read,
    required_kind,
    say,
    unit_factor,
    without_spread,
)
from rotorkit.quantities.taken_from import parted
from rotorkit.sheets.base import Outcome
from rotorkit.sheets.performance.pedal_stops import hardest_stop
from rotorkit.sheets.working import value_of

Readings = Mapping[str, Any]
"""A check's readings as typed, by field."""
COLUMNS, ROWS = 29, 25
COLDEST, HOTTEST, TOP = read("0 °F", Temperature), read("113 °F", Temperature), read("10,000 ft", Length)


@dataclass(frozen=True)
class Knob:
    """One condition that can be turned. entry: its kind and its (us, metric) unit; low, high: the range; step: in each
    of the two units; start: where nothing is known."""

    name: str
    title: str
    entry: Entry
    low: str
    high: str
    step: tuple[float, float]
    start: str

    def si(self, text: str) -> float:
        """A text in SI units."""
        return float(read(text, self.entry.wanted).si)


@dataclass(frozen=True)
class Seen:
    """What an exploration comes to at its knobs: pictures, and what is to be said."""

    pictures: Sequence[Picture]
    lines: Sequence[str]


@dataclass(frozen=True)
class Exploration:
    """An exploration. short: a word for it, in the labels of its fields; knobs: of an aircraft; see: the pictures at SI
    values by the knobs' names, and an estimate's name where it has `estimates`. closing: said below it, in place of the
    usual words for an estimate.

    Where it begins with more than the readings that are called as its knobs are, such as rows: begun, itself made for a
    form's readings and those that stand for checks of the sheets named in `also`, by sheet; conditions, of what is
    made so, the form's sheet at values turned to and those it began with."""

    name: str
    short: str
    title: str
    about: str
    knobs: Callable[[Aircraft], Sequence[Knob]]
    see: Callable[[Aircraft, Mapping[str, float], str], Seen]
    estimates: bool = False
    closing: str = ""
    begun: Callable[[Aircraft, Readings, Mapping[str, Readings]], Exploration] | None = None
    also: tuple[str, ...] = ()
    conditions: Callable[[Aircraft, Mapping[str, float], Mapping[str, float]], Outcome | None] | None = None


def knob(name: str, title: str, kind: Any, unit: tuple[str, str], low: str, high: str, step: tuple[float, float],
          start: str) -> Knob:  # fmt: skip
    return Knob(name, title, Entry(kind, unit, (low, high)), low, high, step, start)


def day_knobs(aircraft: Aircraft) -> list[Knob]:
    most, speed = aircraft.weights.maximum, aircraft.main_rotor.speed
    rpm = float(in_unit(speed.si, "rpm", speed.kind))
    return [
        knob("gross_weight", "Gross weight", Mass, ("lb", "kg"), share_of(most, 0.55, "lb"), share_of(most, 1.25, "lb"),
              (5, 2), most.typed),
        knob("temperature", "Air temperature", Temperature, ("°F", "°C"), "-4 °F", "113 °F", (1, 0.5), "59 °F"),
        knob("height", "Pressure altitude", Length, ("ft", "m"), "0 ft", "10000 ft", (100, 25), "0 ft"),
        knob("humidity", "Relative humidity", Ratio, ("%", "%"), "0 %", "100 %", (1, 1), "50 %"),
        knob("rotor_speed", "Rotor speed", RotationRate, ("rpm", "rpm"), f"{0.9 * rpm:.0f} rpm",
              f"{1.05 * rpm:.0f} rpm", (1, 1), f"{rpm:.0f} rpm"),
    ]  # fmt: skip


def slower(aircraft: Aircraft, at: Mapping[str, float]) -> list[str]:
    """A line where the engine turns slower than rated at the knobs' rotor speed, and gives less."""
    words = slower_words(aircraft, at["rotor_speed"])
    return [words] if words else []


def share_of(of: Reading, share: float, unit: str) -> str:
    return f"{share * float(in_unit(of.si, unit, of.kind)):.0f} {unit}"


def starting_values(readings: Mapping[str, Any]) -> dict[str, str]:
    """Knobs' texts from a sheet's readings: those of the same name, and the pressure altitude of setting and
    elevation."""
    found = {name: parted(text)[0] for name, text in readings.items() if isinstance(text, str) and text.strip()}
    found = {name: without_spread(text) for name, text in found.items()}
    if "altimeter_setting" in found and "elevation" in found:
        try:
            height = value_of(
                pressure_altitude, value_of(station_pressure, found["altimeter_setting"], found["elevation"])
            )
            found["height"] = f"{float(height.value.m_as('ft')):.0f} ft"
        except QuantityError:
            pass
    return {**found, **_pedal_stop(found), **_true_airspeed(found)}


def readings_at(
    readings: Mapping[str, Any], began: Mapping[str, float], at: Mapping[str, float], knobs: Mapping[str, Knob]
) -> dict[str, Any] | None:
    """A sheet's readings with the conditions that were turned in place of its own, each with the ± that its reading
    has. None where one that was turned is none of its readings.

    readings: as typed; began, at: SI values by the knobs' names, as the exploration began with these readings (without
    those that lie beyond what can be turned to) and as it stands. A pressure altitude that is turned moves the
    elevation by as much, under the same altimeter setting; a sum that is turned stays one of as many readings.
    """
    if not any(name in readings for name in at):
        return None
    found = dict(readings)
    for name, si in at.items():
        if name in began and math.isclose(si, began[name], rel_tol=1e-9, abs_tol=1e-12):
            continue
        field, unit = name, knobs[name].entry.shown_unit("us")
        if name == "height" and "altimeter_setting" in found:
            field = "elevation"
        if not isinstance(found.get(field), str) or (field == "elevation" and name not in began):
            return None
        try:
            reading = read(parted(found[field])[0], knobs[name].entry.wanted)
        except QuantityError:
            return None
        value = reading.si + si - began[name] if field == "elevation" else si
        added = reading.addends if reading.uncertainty is None and reading.si else ()
        parts = [value * one.si / reading.si for one in added] or [value]
        found[field] = " + ".join(f"{float(in_unit(one, unit, reading.kind)):.6f} {unit}" for one in parts)
        if reading.uncertainty is not None:
            spread = difference_si(reading.uncertainty, reading.kind) / unit_factor(unit, reading.kind)
            found[field] += f" ± {spread:.6f} {unit}"
        if name == "airspeed" and "airspeed_is" in found:
            found["airspeed_is"] = WHICH_AIRSPEED[2]  # that is what was turned
    return found


def _true_airspeed(found: Mapping[str, str]) -> dict[str, str]:
    """The true airspeed of readings whose airspeed is an indicated or calibrated one; none where it cannot be told."""
    if found.get("airspeed_is") not in WHICH_AIRSPEED[:2] or "airspeed" not in found:
        return {}
    try:
        airspeed = read(found["airspeed"], Speed).si
        if found["airspeed_is"] == WHICH_AIRSPEED[0]:
            airspeed += read(found.get("position_error", "0 kt"), Speed).si
        temperature = read(found["temperature"], Temperature).si
        air = air_at(read(found["height"], Length).si, temperature, read(found["humidity"], Ratio).si)
        return {"airspeed": f"{true_airspeed.si(airspeed, air.pressure, air.density) * 3600 / 1852:.1f} kt"}
    except (KeyError, QuantityError):
        return {"airspeed": ""}


def _pedal_stop(found: Mapping[str, str]) -> dict[str, str]:
    """The stop of an anti-torque margin that pushes hardest, with its sign."""
    stop = hardest_stop(found)
    return {} if stop is None else {"pedal_stop": f"{np.degrees(stop):.2f} deg"}


def air_at(height: Any, temperature: Any, humidity: Any) -> DayAir:
    """Air at a pressure altitude and temperature (bare SI arrays)."""
    pressure = standard_pressure.si(height)
    vapour = vapour_pressure_from_humidity.si(humidity, temperature)
    return DayAir(pressure, temperature, vapour, humid_air_density.si(pressure, temperature, vapour))


def day_map(
    title: str, value: Callable[[Any, Any], Any], at: Mapping[str, float], system: str, shown: tuple[Any, str],
    limit: Limit | None, zero: str, below: str,
) -> tuple[Contour, float]:  # fmt: skip
    """The map of a margin over temperature and height with the day's point, and the margin there in SI units.

    value: the margin of (pressure altitude, temperature), bare arrays of one shape; shown: its kind, and the unit to
    show it in; limit: what is asked of it, where something is.
    """
    _, feet, degrees = units(system)
    kind, unit = required_kind(shown[0]), shown[1]
    temperatures = np.linspace(COLDEST.si, HOTTEST.si, COLUMNS)
    heights = np.linspace(0.0, TOP.si, ROWS)
    grid = np.broadcast_arrays(heights[:, None], temperatures[None, :])
    values = in_unit(value(*grid), unit, kind)
    here = float(value(np.array([at["height"]]), np.array([at["temperature"]]))[0])
    asked = None
    if limit is not None and limit.low_si is not None:
        least = float(in_unit(limit.low_si, unit, kind))
        asked = (least, f"required, {least:,.4g} {unit} ({limit.source})")
    point = Point("here", float(in_unit(at["temperature"], degrees, Temperature)),
                  float(in_unit(at["height"], feet, Length)))  # fmt: skip
    contour = Contour(
        f"{title}, {unit}",
        f"air temperature, {'°C' if degrees == 'degC' else '°F'}",
        f"pressure altitude, {feet}",
        [float(one) for one in in_unit(temperatures, degrees, Temperature)],
        [float(one) for one in in_unit(heights, feet, Length)],
        values.tolist(),
        unit,
        zero,
        below,
        asked,
        (point,),
    )
    return contour, here


def units(system: str) -> tuple[str, str, str]:
    return ("kW", "m", "degC") if system == "metric" else ("hp", "ft", "degF")


def said(si: float, annotation: Any) -> str:
    return say(Measured(si, annotation), digits=3)
