"""Explorations: what a picture becomes when one turns at its conditions. Data only; the notebook shows them.

An exploration has knobs, each a quantity with its range, and pictures of their values. It knows nothing of sliders. It
is for seeing how things hang together: figures without uncertainty and without verdict, which the sheets give.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.performance import blades_of, engine_model_of, power_model_of
from rotorkit.atmosphere import (
    DayAir,
    air_of_the_day,
    humid_air_density,
    isa_deviation,
    pressure_altitude,
    speed_of_sound,
    standard_pressure,
    station_pressure,
    vapour_pressure_from_humidity,
)
from rotorkit.atmosphere.standard import dynamic_viscosity
from rotorkit.constants import STANDARD_GRAVITY
from rotorkit.engine.day import power_in
from rotorkit.entries import Entry
from rotorkit.measured import Measured
from rotorkit.quantities import (
    Angle,
    Area,
    Length,
    Mass,
    Power,
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
)
from rotorkit.rotor import mass_at_hover_ceiling
from rotorkit.rotor.blade_element import Air, along_blade, at_thrust
from rotorkit.sheets.hover_margin_work import BY_BLADES, Figures, value_of
from rotorkit.sheets.level_flight import FlightFigures, curve_chart
from rotorkit.sheets.picture import Chart, Contour, Curve, Picture, Point

__all__ = ["EXPLORATIONS", "Exploration", "Knob", "Seen", "starting_values"]

COLUMNS, ROWS = 29, 25
CEILING_POINTS, CEILING_TOP = 33, 4200.0
TOP = read("10,000 ft", Length)


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
    values by the knobs' names, and an estimate's name where it has `estimates`."""

    name: str
    short: str
    title: str
    about: str
    knobs: Callable[[Aircraft], Sequence[Knob]]
    see: Callable[[Aircraft, Mapping[str, float], str], Seen]
    estimates: bool = False


def _knob(name: str, title: str, kind: Any, unit: tuple[str, str], low: str, high: str, step: tuple[float, float],
          start: str) -> Knob:  # fmt: skip
    return Knob(name, title, Entry(kind, unit, (low, high)), low, high, step, start)


def _day_knobs(aircraft: Aircraft) -> list[Knob]:
    most, speed = aircraft.weights.maximum, aircraft.main_rotor.speed
    rpm = float(in_unit(speed.si, "rpm", speed.kind))
    return [
        _knob("gross_weight", "Gross weight", Mass, ("lb", "kg"), _share(most, 0.55, "lb"), _share(most, 1.25, "lb"),
              (5, 2), most.typed),
        _knob("temperature", "Air temperature", Temperature, ("°F", "°C"), "-4 °F", "113 °F", (1, 0.5), "59 °F"),
        _knob("height", "Pressure altitude", Length, ("ft", "m"), "0 ft", "10000 ft", (100, 25), "0 ft"),
        _knob("humidity", "Relative humidity", Ratio, ("%", "%"), "0 %", "100 %", (1, 1), "50 %"),
        _knob("rotor_speed", "Rotor speed", RotationRate, ("rpm", "rpm"), f"{0.9 * rpm:.0f} rpm",
              f"{1.05 * rpm:.0f} rpm", (1, 1), f"{rpm:.0f} rpm"),
    ]  # fmt: skip


def _share(of: Reading, share: float, unit: str) -> str:
    return f"{share * float(in_unit(of.si, unit, of.kind)):.0f} {unit}"


def starting_values(readings: Mapping[str, Any]) -> dict[str, str]:
    """Knobs' texts from a sheet's readings: those of the same name, and the pressure altitude of setting and
    elevation."""
    found = {name: str(text) for name, text in readings.items() if isinstance(text, str) and text.strip()}
    if "altimeter_setting" in found and "elevation" in found:
        try:
            height = value_of(
                pressure_altitude, value_of(station_pressure, found["altimeter_setting"], found["elevation"])
            )
            found["height"] = f"{float(height.value.m_as('ft')):.0f} ft"
        except QuantityError:
            pass
    return {name: _without_spread(text) for name, text in found.items()}


def _without_spread(text: str) -> str:
    """A typed quantity without what is typed of its uncertainty; a unit that stands behind both stays."""
    value, _, spread = text.partition("±")
    unit = spread.strip().lstrip("0123456789.,")
    has_unit = any(letter.isalpha() or letter in "°%" for letter in value)
    return value.strip() if has_unit or not unit else f"{value.strip()} {unit.strip()}"


def _air(height: Any, temperature: Any, humidity: Any) -> DayAir:
    """Air at a pressure altitude and temperature (bare SI arrays)."""
    pressure = standard_pressure.si(height)
    vapour = vapour_pressure_from_humidity.si(humidity, temperature)
    return DayAir(pressure, temperature, vapour, humid_air_density.si(pressure, temperature, vapour))


def _margins(aircraft: Aircraft, estimate: str, at: Mapping[str, float], height: Any, temperature: Any) -> Any:
    """Power margin in the hover, W (bare arrays of one shape), by one of the estimates."""
    figures = Figures.of(aircraft)
    if estimate == BY_BLADES:
        blades_of(aircraft.main_rotor, "main rotor")
    found = figures.estimates[estimate]
    air = _air(height, temperature, at["humidity"])
    speed = Measured(at["rotor_speed"], RotationRate)
    shares = [float(one.si) for one in figures.shares(speed)]
    own = (temperature,) if estimate == BY_BLADES else tuple(float(one.si) for one in found.own)
    needed = found.needed()(at["gross_weight"], air.density, 1.0, *shares, *own)
    available = power_in(engine_model_of(aircraft.engine), float(figures.rated.si), air)
    return np.where(np.isfinite(needed), available - needed, np.nan)


def _margin_map(aircraft: Aircraft, at: Mapping[str, float], estimate: str) -> Seen:
    system = aircraft.aircraft.display
    power, feet, degrees = _units(system)
    temperatures = np.linspace(read("0 °F", Temperature).si, read("113 °F", Temperature).si, COLUMNS)
    heights = np.linspace(0.0, TOP.si, ROWS)
    grid = np.broadcast_arrays(heights[:, None], temperatures[None, :])
    values = in_unit(_margins(aircraft, estimate, at, *grid), power, required_kind(Power))
    here = float(_margins(aircraft, estimate, at, np.array([at["height"]]), np.array([at["temperature"]]))[0])
    limit = aircraft.performance.power_margin
    asked = None
    if limit is not None and limit.low_si is not None:
        least = float(in_unit(limit.low_si, power, required_kind(Power)))
        asked = (least, f"what is asked for, {least:,.4g} {power} ({limit.source})")
    point = Point("here", float(in_unit(at["temperature"], degrees, required_kind(Temperature))),
                  float(in_unit(at["height"], feet, required_kind(Length))))  # fmt: skip
    contour = Contour(
        f"Power margin in the hover, {power}",
        f"air temperature, {_label(degrees)}",
        f"pressure altitude, {feet}",
        [float(one) for one in in_unit(temperatures, degrees, required_kind(Temperature))],
        [float(one) for one in in_unit(heights, feet, required_kind(Length))],
        values.tolist(),
        power,
        "nothing is left: beyond this line it cannot hover out of ground effect",
        "not enough power, or no figure",
        asked,
        (point,),
    )
    said = "There is no figure at these conditions." if not np.isfinite(here) else (
        f"Power margin here, by {estimate}: {_said(here, Power)}."
    )  # fmt: skip
    return Seen([contour], [said])


def _ceiling_knobs(aircraft: Aircraft) -> list[Knob]:
    radius = aircraft.main_rotor.radius
    low, start = _share(radius, 0.55, "ft"), _share(radius, 0.8, "ft")
    height = _knob("rotor_height", "Rotor over the ground", Length, ("ft", "m"), low, _share(radius, 2.5, "ft"),
                   (0.5, 0.1), start)  # fmt: skip
    return [*_day_knobs(aircraft), height]


def _ceilings(aircraft: Aircraft, at: Mapping[str, float], _estimate: str) -> Seen:
    """Ceiling over weight, in and out of ground effect, on a day as warm against the standard as it is here."""
    system = aircraft.aircraft.display
    _, feet, _ = _units(system)
    pounds = "kg" if system == "metric" else "lb"
    model = _at_speed(power_model_of(aircraft), at["rotor_speed"])
    engine = engine_model_of(aircraft.engine)
    warmer = isa_deviation.si(at["temperature"], at["height"])
    heights = np.linspace(0.0, CEILING_TOP, CEILING_POINTS)
    if engine.table is not None:  # only where it reaches
        air = air_of_the_day(heights, warmer, at["humidity"])
        heights = heights[np.isfinite(power_in(engine, engine.sea_level_power, air))]
    curves, here = [], []
    both = (
        (None, "main", "out of ground effect"),
        (at["rotor_height"], "second", "with the rotor this near the ground"),
    )
    for rotor_height, style, where in both:
        able = mass_at_hover_ceiling.si(model, engine, heights, warmer, at["humidity"], rotor_height)
        known = np.isfinite(able)
        curves.append(
            Curve(
                f"hover ceiling {where}",
                [float(one) for one in in_unit(able[known], pounds, required_kind(Mass))],
                [float(one) for one in in_unit(heights[known], feet, required_kind(Length))],
                style,
            )
        )
        place = np.array([at["height"]])
        most = mass_at_hover_ceiling.si(model, engine, place, warmer, at["humidity"], rotor_height)[0]
        here.append(f"Weight that can just hover here {where}: {_said(float(most), Mass)}.")
    maximum = float(in_unit(aircraft.weights.maximum.si, pounds, required_kind(Mass)))
    top = float(in_unit(CEILING_TOP, feet, required_kind(Length)))
    curves.append(Curve("maximum weight of the aircraft file", [maximum, maximum], [0.0, top], "bound"))
    point = Point("here", float(in_unit(at["gross_weight"], pounds, required_kind(Mass))),
                  float(in_unit(at["height"], feet, required_kind(Length))))  # fmt: skip
    title = "Hover ceiling over weight"
    chart = Chart(title, f"gross weight, {pounds}", f"pressure altitude, {feet}", curves, (), (point,))
    return Seen([chart], [*here, "By induced factor and profile drag. The ground's help stops where the ground does."])


def _curve_knobs(aircraft: Aircraft) -> list[Knob]:
    start = _without_spread(aircraft.airframe.flat_plate_area.typed) if aircraft.airframe is not None else "7 ft^2"
    area = _knob("flat_plate_area", "Flat-plate area", Area, ("ft^2", "m^2"), "1 ft^2", "30 ft^2", (0.1, 0.01), start)
    return [*_day_knobs(aircraft), area]


def _power_curve(aircraft: Aircraft, at: Mapping[str, float], _estimate: str) -> Seen:
    flight = FlightFigures.of(aircraft)
    air = _air(at["height"], at["temperature"], at["humidity"])
    induced, drag, _, efficiency, accessories = (float(one.si) for one in flight.own[:-1])
    model = flight.model(at["rotor_speed"], induced, drag, at["flat_plate_area"], efficiency, accessories)
    engine = engine_model_of(aircraft.engine)
    available = float(power_in(engine, engine.sea_level_power, air))
    found = flight.speeds(model, at["gross_weight"], float(air.density), available)
    kinds = {"climb": Speed, "least_power_speed": Speed, "range_speed": Speed, "top_speed": Speed}
    known = {
        name: Measured(float(np.ravel(value)[0]), kinds.get(name, Power))
        for name, value in found.items()
        if np.isfinite(np.ravel(value)[0])
    }
    chart = curve_chart(model, at["gross_weight"], float(air.density), known, aircraft, "", aircraft.aircraft.display)
    knots, climb = ("kt", "ft/min") if aircraft.aircraft.display == "us" else ("km/h", "m/s")
    lines = [
        f"Best climb {say(known['climb'].value, climb, digits=3)} at "
        f"{say(known['least_power_speed'].value, knots, digits=3)}, best range at "
        f"{say(known['range_speed'].value, knots, digits=3)}."
    ]
    if "top_speed" in known:
        lines.append(f"Power for {say(known['top_speed'].value, knots, digits=3)}: the manual's speed comes first.")
    else:
        lines.append("Level flight takes more than the engine gives at every speed.")
    return Seen([chart], lines)


def _span_knobs(aircraft: Aircraft) -> list[Knob]:
    blade = aircraft.main_rotor.blade
    twist = _knob("twist", "Twist, tip less axis", Angle, ("deg", "deg"), "-16 deg", "2 deg", (0.5, 0.5),
                  blade.twist.typed if blade is not None else "0 deg")  # fmt: skip
    return [*_day_knobs(aircraft), twist]


def _along_span(aircraft: Aircraft, at: Mapping[str, float], _estimate: str) -> Seen:
    """Load and lift coefficient along the main rotor's blade in the hover."""
    system = aircraft.aircraft.display
    blades = blades_of(aircraft.main_rotor, "main rotor")
    inner = float(blades.at[0])
    blades = replace(blades, angles=(at["twist"] * inner, at["twist"]))
    air = _air(at["height"], at["temperature"], at["humidity"])
    meets = Air(float(air.density), speed_of_sound.si(at["temperature"]), dynamic_viscosity.si(at["temperature"]))
    whole = at_thrust(blades, at["rotor_speed"], meets, at["gross_weight"] * STANDARD_GRAVITY)
    if not np.all(whole.reached):
        return Seen([], ["The blades cannot carry this weight at any angle here: they stall first."])
    along = along_blade(blades, at["rotor_speed"], meets, whole.collective)
    metric = system == "metric"
    load, of = (1.0, "N/m") if metric else (0.3048 / 4.4482216152605, "lbf/ft")
    station = [float(one) for one in along.station]
    loads = [float(one) * load / blades.count for one in along.thrust_per_length]
    lifts = [float(one) for one in along.lift_coefficient]
    greatest = getattr(blades.section, "greatest_lift", None)
    bound = (
        [Curve("greatest lift of the section", [station[0], 1.0], [greatest, greatest], "bound")] if greatest else []
    )
    charts: list[Picture] = [
        Chart("Load along one blade", "part of the radius", f"thrust for each length, {of}",
              (Curve("load", station, loads),)),
        Chart("Lift coefficient along the blade", "part of the radius", "section lift coefficient",
              (Curve("lift coefficient", station, lifts), *bound)),
    ]  # fmt: skip
    merit, angle = float(whole.figure_of_merit), float(np.degrees(whole.collective))
    lines = [
        f"Collective at 0.75 of the radius {angle:.1f}°, figure of merit {merit:.3f}, blade loading "
        f"{float(whole.blade_loading):.3f}, power at the rotor {_said(float(whole.power), Power)}."
    ]
    if float(whole.stalled) > 0:
        lines.append(f"{100 * float(whole.stalled):.2g} % of the blade's length is stalled.")
    return Seen(charts, lines)


def _at_speed(model: Any, speed: float) -> Any:
    share = speed / model.rotor_speed
    tips = {"tip_speed": model.tip_speed * share, "tail_tip_speed": model.tail_tip_speed * share}
    return replace(model, rotor_speed=speed, **tips)


def _units(system: str) -> tuple[str, str, str]:
    return ("kW", "m", "degC") if system == "metric" else ("hp", "ft", "degF")


def _label(degrees: str) -> str:
    return "°C" if degrees == "degC" else "°F"


def _said(si: float, annotation: Any) -> str:
    return say(Measured(si, annotation), digits=3)


EXPLORATIONS: dict[str, Exploration] = {
    one.name: one
    for one in (
        Exploration(
            "margin_map",
            "map",
            "Power margin over temperature and height",
            "Turn weight, humidity and rotor speed, and see how far the line moves at which nothing is left.",
            _day_knobs,
            _margin_map,
            estimates=True,
        ),
        Exploration(
            "ceilings",
            "ceiling",
            "Ceiling over weight, in and out of ground effect",
            "How high each weight can hover, and how much of it is the ground's help.",
            _ceiling_knobs,
            _ceilings,
        ),
        Exploration(
            "power_curve",
            "curve",
            "The power curve",
            "What weight, height and drag do to the power of level flight.",
            _curve_knobs,
            _power_curve,
        ),
        Exploration(
            "blade_span",
            "span",
            "Along the blade",
            "Where along the blade the load is, and how near the sections come to their stall.",
            _span_knobs,
            _along_span,
        ),
    )
}
