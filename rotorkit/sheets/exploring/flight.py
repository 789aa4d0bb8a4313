"""Explorations of flight: the power curve, climb over temperature and height, the pedals, the glide."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.derived import blades_of, engine_at, stops_measured_at
from rotorkit.atmosphere import speed_of_sound
from rotorkit.atmosphere.standard import dynamic_viscosity
from rotorkit.engine.power_of_the_day import power_in
from rotorkit.judging.measured import Measured
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import (
    Angle,
    Area,
    Force,
    MomentOfInertia,
    Power,
    Speed,
    Time,
    in_unit,
    say,
)
from rotorkit.rotor import (
    climb_rate,
    disk_area,
    energy_per_power,
    hover_power_from_figure_of_merit,
    hover_power_induced_and_profile,
    main_rotor_torque,
    pedal_margin,
    speed_for_least_power,
    tail_rotor_thrust_needed,
    thrust_with_download,
    time_until_rotor_speed_ratio,
)
from rotorkit.rotor.antitorque import thrust_past_fin
from rotorkit.rotor.blade_element import Air, at_thrust
from rotorkit.rotor.power_model import PowerModel
from rotorkit.sheets.exploring.knobs import (
    Exploration,
    Knob,
    Seen,
    air_at,
    day_knobs,
    day_map,
    knob,
    said,
    share_of,
    slower,
    without_spread,
)
from rotorkit.sheets.performance.airspeeds import limit_in
from rotorkit.sheets.performance.autorotation import decay_chart, glide_chart, glide_figures, inertia_of
from rotorkit.sheets.performance.level_flight import FEET_A_MINUTE, KNOTS, FlightFigures, curve_chart
from rotorkit.sheets.performance.power_reckoning import BY_BLADES, BY_MERIT, Figures
from rotorkit.sources.constants import STANDARD_GRAVITY

PEDAL_POINTS = 57


def _curve_knobs(aircraft: Aircraft) -> list[Knob]:
    start = without_spread(aircraft.airframe.flat_plate_area.typed) if aircraft.airframe is not None else "7 ft^2"
    area = knob("flat_plate_area", "Flat-plate area", Area, ("ft^2", "m^2"), "1 ft^2", "30 ft^2", (0.1, 0.01), start)
    return [*day_knobs(aircraft), area]


def _power_curve(aircraft: Aircraft, at: Mapping[str, float], _estimate: str) -> Seen:
    flight = FlightFigures.of(aircraft)
    day = air_at(at["height"], at["temperature"], at["humidity"])
    model = _model(flight, at)
    engine = engine_at(aircraft, at["rotor_speed"])
    available = float(power_in(engine, engine.sea_level_power, day))
    found = flight.speeds(model, at["gross_weight"], float(day.density), available)
    kinds = {"climb": Speed, "least_power_speed": Speed, "range_speed": Speed, "top_speed": Speed}
    known = {
        name: Measured(float(np.ravel(value)[0]), kinds.get(name, Power))
        for name, value in found.items()
        if np.isfinite(np.ravel(value)[0])
    }
    most = limit_in(aircraft, float(day.pressure), float(day.density))
    chart = curve_chart(model, at["gross_weight"], float(day.density), known, most, "", aircraft.aircraft.display)
    knots, climb = (unit[aircraft.aircraft.display == "metric"] for unit in (KNOTS, FEET_A_MINUTE))
    lines = [
        f"Best climb {say(known['climb'].value, climb, digits=3)} at "
        f"{say(known['least_power_speed'].value, knots, digits=3)}, best range at "
        f"{say(known['range_speed'].value, knots, digits=3)}."
    ]
    if "top_speed" in known:
        lines.append(f"Power for {say(known['top_speed'].value, knots, digits=3)}: the manual's speed comes first.")
        if most is not None:
            lines.append(f"The manual's never-exceed speed is {most.words}.")
    else:
        lines.append("Level flight takes more power than the engine gives at every speed.")
    return Seen([chart], [*lines, *slower(aircraft, at)])


def _climb_map(aircraft: Aircraft, at: Mapping[str, float], _estimate: str) -> Seen:
    system = aircraft.aircraft.display
    flight = FlightFigures.of(aircraft)
    model = _model(flight, at)
    engine = engine_at(aircraft, at["rotor_speed"])

    def climbs(height: Any, temperature: Any) -> Any:
        day = air_at(height, temperature, at["humidity"])
        mass = np.full(np.shape(height), at["gross_weight"])
        least = speed_for_least_power.si(model, mass, day.density)
        return climb_rate.si(model, mass, day.density, least, power_in(engine, engine.sea_level_power, day))

    unit = FEET_A_MINUTE[system == "metric"]
    contour, here = day_map(
        "Best rate of climb", climbs, at, system, (Speed, unit), aircraft.performance.climb,
        "nothing left: beyond this line it cannot hold height at any airspeed", "it descends, or no figure",
    )  # fmt: skip
    if not np.isfinite(here):
        return Seen([contour], ["No figure under these conditions."])
    return Seen([contour], [f"Best rate of climb here: {_in(here, Speed, unit)}.", *slower(aircraft, at)])


def _model(flight: FlightFigures, at: Mapping[str, float]) -> PowerModel:
    """The power model at the knobs' rotor speed and flat-plate area."""
    induced, drag, _, efficiency, accessories = (float(one.si) for one in flight.own[:-1])
    return flight.model(at["rotor_speed"], induced, drag, at["flat_plate_area"], efficiency, accessories)


def _main_power(aircraft: Aircraft, estimate: str, at: Mapping[str, float], day: Any, temperature: Any) -> Any:
    """The main rotor's power in the hover by one of the estimates (bare arrays)."""
    figures, speed = Figures.of(aircraft), at["rotor_speed"]
    weight = thrust_with_download.si(at["gross_weight"] * STANDARD_GRAVITY, float(figures.download.si))
    if estimate == BY_BLADES:
        meets = Air(day.density, speed_of_sound.si(temperature), dynamic_viscosity.si(temperature))
        return at_thrust(blades_of(aircraft.main_rotor, "main rotor"), speed, meets, weight + 0 * day.density).power
    radius = float(figures.radius.si)
    if estimate == BY_MERIT:
        return hover_power_from_figure_of_merit.si(weight, day.density, disk_area.si(radius), float(figures.merit.si))
    shape, induced, drag = (float(one.si) for one in (figures.shape, figures.induced, figures.drag))
    area, tips = disk_area.si(radius), speed * radius
    return hover_power_induced_and_profile.si(weight, day.density, area, tips, shape, induced, drag)


def _pedal_knobs(aircraft: Aircraft) -> list[Knob]:
    stop = knob("pedal_stop", "Blade angle at the stop that pushes hardest, with its sign", Angle, ("deg", "deg"),
                "-35 deg", "35 deg", (0.25, 0.25), "15 deg")  # fmt: skip
    return [*day_knobs(aircraft), stop]


def _pedals(aircraft: Aircraft, at: Mapping[str, float], estimate: str) -> Seen:
    """Thrust remaining at the stop that pushes hardest over temperature and height, and thrust over blade angle at the
    point. A stop with a negative angle says that negative angles push against the torque."""
    system = aircraft.aircraft.display
    sign = -1.0 if at["pedal_stop"] < 0 else 1.0
    stop = sign * at["pedal_stop"]
    blades = blades_of(aircraft.tail_rotor, "tail rotor", sign)
    figures, tail = Figures.of(aircraft), aircraft.tail_rotor
    speed = at["rotor_speed"] * aircraft.drive.tail_to_main_rotor.si
    passed, measured_at = 1 - tail.blockage.si, stops_measured_at(tail)

    def needed(day: Any, temperature: Any) -> Any:
        torque = main_rotor_torque.si(_main_power(aircraft, estimate, at, day, temperature), at["rotor_speed"])
        return tail_rotor_thrust_needed.si(torque, float(figures.arm.si))

    def thrust_at(stop: Any, day: Any, temperature: Any) -> Any:
        return thrust_past_fin(blades, speed, day.density, stop, tail.blockage.si, temperature, measured_at)

    def left(height: Any, temperature: Any) -> Any:
        day = air_at(height, temperature, at["humidity"])
        return thrust_at(stop, day, temperature) - needed(day, temperature)

    force = "N" if system == "metric" else "lbf"
    contour, here = day_map(
        "Tail-rotor thrust remaining at full pedal", left, at, system, (Force, force),
        aircraft.performance.thrust_margin,
        "nothing left: full pedal only just holds the nose", "the nose cannot be held, or there is no figure",
    )  # fmt: skip
    day = air_at(at["height"], at["temperature"], at["humidity"])
    wanted = float(needed(day, at["temperature"]))
    if not np.isfinite(here):
        return Seen([contour], ["No figure under these conditions."])
    low = min(0.0, stop - 0.1)
    found = pedal_margin.si(blades, speed, float(day.density), wanted, low, stop, 1 - passed,
                            at["temperature"], measured_at)  # fmt: skip
    angles = np.linspace(0.0, np.radians(35.0), PEDAL_POINTS)
    pushed = thrust_at(angles, day, at["temperature"])
    degrees = [float(one) for one in np.degrees(sign * angles)]
    shown = [float(one) for one in in_unit(pushed, force, Force)]
    bare = [float(in_unit(one, force, Force)) for one in (wanted, wanted + here)]
    points = [Point("full pedal", float(np.degrees(sign * stop)), bare[1])]
    lines = [f"Thrust remaining at full pedal here, by {estimate}: {said(here, Force)}."]
    angle = float(found.needed_si)
    if np.isfinite(angle):
        points.insert(0, Point("holding still", float(np.degrees(sign * angle)), bare[0]))
        lines.append(f"Blade angle remaining to full pedal: {np.degrees(stop - angle):.1f}°.")
    chart = Chart(
        "Tail-rotor thrust over blade angle, here",
        "blade angle, °",
        f"thrust past the fin, {force}",
        (Curve("thrust", degrees, shown), Curve("needed", [0.0, degrees[-1]], [bare[0], bare[0]], "bound")),
        (),
        points,
    )
    return Seen([contour, chart], [*lines, *found.remarks])


def _glide_knobs(aircraft: Aircraft) -> list[Knob]:
    blade = aircraft.main_rotor.blade
    inertia = blade.inertia if blade is not None else None
    low, high, start = ("5 slug*ft^2", "500 slug*ft^2", "50 slug*ft^2")
    if inertia is not None:
        low, high = (share_of(inertia, share, "slug*ft^2") for share in (0.4, 2.5))
        start = share_of(inertia, 1.0, "slug*ft^2")
    return [
        *_curve_knobs(aircraft),
        knob("airspeed", "True airspeed in the glide", Speed, KNOTS, "25 kt", "100 kt", (1, 1), "50 kt"),
        knob("inertia", "Inertia of one blade about the shaft", MomentOfInertia, ("slug*ft^2", "kg*m^2"), low, high,
             (0.5, 0.5), start),
    ]  # fmt: skip


def _glide(aircraft: Aircraft, at: Mapping[str, float], estimate: str) -> Seen:
    """Descent over airspeed with the power off, and rotor speed over the seconds after the power is lost."""
    system = aircraft.aircraft.display
    blades = blades_of(aircraft.main_rotor, "main rotor")
    inertia_of(aircraft)  # says what the file lacks
    flight = FlightFigures.of(aircraft)
    day = air_at(at["height"], at["temperature"], at["humidity"])
    own = [float(one.si) for one in flight.own[:-1]]
    own[2] = at["flat_plate_area"]
    one = np.array([at["gross_weight"]])
    found = {
        name: float(np.ravel(value)[0])
        for name, value in glide_figures(flight, one, at["rotor_speed"], day.density, at["airspeed"], *own).items()
    }
    power = float(_main_power(aircraft, estimate, at, day, at["temperature"]))
    lasts = float(energy_per_power.si(blades.count * at["inertia"], at["rotor_speed"], power))
    lowest, until = aircraft.main_rotor.lowest_speed, None
    fpm, knots = FEET_A_MINUTE[system == "metric"], KNOTS[system == "metric"]
    lines = [
        f"Rate of descent {_in(found['descent'], Speed, fpm)}; least {_in(found['least_sink'], Speed, fpm)} at "
        f"{_in(found['sink_speed'], Speed, knots)}; best glide {found['best_glide_ratio']:.2f} to 1 at "
        f"{_in(found['glide_speed'], Speed, knots)}.",
        f"Rotor energy divided by hover power, by {estimate}: {said(lasts, Time)}.",
    ]
    if lowest is not None and lowest.si <= at["rotor_speed"]:
        until = Measured(float(time_until_rotor_speed_ratio.si(lowest.si / at["rotor_speed"], lasts)), Time)
        lines.append(f"Lowest rotor speed is reached after {said(float(until.si), Time)} with the collective left up.")
    charts = [
        glide_chart(flight.model(at["rotor_speed"], *own), at["gross_weight"], float(day.density),
                    Measured(at["airspeed"], Speed), {"descent": Measured(found["descent"], Speed)}, "", system),
        decay_chart(aircraft, lasts, at["rotor_speed"], until, ""),
    ]  # fmt: skip
    return Seen(charts, lines)


def _in(si: float, annotation: Any, unit: str) -> str:
    return say(Measured(si, annotation).value, unit, digits=3)


POWER_CURVE = Exploration(
    "power_curve",
    "curve",
    "The power curve",
    "How weight, height and drag change the power for level flight.",
    _curve_knobs,
    _power_curve,
)
CLIMB_MAP = Exploration(
    "climb_map",
    "climb",
    "Best rate of climb over temperature and height",
    "Heat and altitude at which no climb is left.",
    _curve_knobs,
    _climb_map,
)
PEDALS = Exploration(
    "pedals",
    "pedals",
    "Pedal left over temperature and height",
    "Thin air weakens the tail rotor as much as the main rotor, and a heavy aircraft needs more of it.",
    _pedal_knobs,
    _pedals,
    estimates=True,
)
GLIDE = Exploration(
    "glide",
    "glide",
    "With the power off",
    "How the descent changes with airspeed, and how long the rotor's inertia keeps its speed up.",
    _glide_knobs,
    _glide,
    estimates=True,
)
