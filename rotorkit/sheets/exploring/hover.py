"""Explorations of the hover: margin over temperature and height, ceiling over weight, load along the blade."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.derived import blades_of, download_of, engine_at, power_model_of
from rotorkit.atmosphere import air_of_the_day, isa_deviation, speed_of_sound
from rotorkit.atmosphere.standard import dynamic_viscosity
from rotorkit.engine.power_of_the_day import power_in
from rotorkit.judging.measured import Measured
from rotorkit.pictures.data import Chart, Curve, Picture, Point
from rotorkit.quantities import Angle, Force, Length, Mass, Power, RotationRate, in_unit, number_text, unit_factor
from rotorkit.rotor import mass_at_hover_ceiling, thrust_with_download
from rotorkit.rotor.blade_element import Air, along_blade, at_thrust
from rotorkit.rotor.power_model import GROUND_EFFECTS
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
    units,
)
from rotorkit.sheets.performance.power_reckoning import BY_BLADES, Figures
from rotorkit.sources import cautions
from rotorkit.sources.constants import STANDARD_GRAVITY

CEILING_POINTS, CEILING_TOP = 25, 4200.0


def _margins(aircraft: Aircraft, estimate: str, at: Mapping[str, float], height: Any, temperature: Any) -> Any:
    """Power margin in the hover, W (bare arrays of one shape), by one of the estimates."""
    figures = Figures.of(aircraft)
    if estimate == BY_BLADES:
        blades_of(aircraft.main_rotor, "main rotor")
    found = figures.estimates[estimate]
    day = air_at(height, temperature, at["humidity"])
    speed = Measured(at["rotor_speed"], RotationRate)
    shares = [float(one.si) for one in figures.shares(speed)]
    own = (temperature,) if estimate == BY_BLADES else tuple(float(one.si) for one in found.own)
    download = (float(figures.download.si),) if figures.has_download else ()
    needed = found.needed()(at["gross_weight"], day.density, 1.0, *shares, *own, *download)
    engine = engine_at(aircraft, at["rotor_speed"])
    available = power_in(engine, engine.sea_level_power, day)
    return np.where(np.isfinite(needed), available - needed, np.nan)


def _margin_map(aircraft: Aircraft, at: Mapping[str, float], estimate: str) -> Seen:
    system = aircraft.aircraft.display
    contour, here = day_map(
        "Power margin in the hover", lambda *place: _margins(aircraft, estimate, at, *place), at, system,
        (Power, units(system)[0]), aircraft.performance.power_margin,
        "nothing left: beyond this line it cannot hover out of ground effect", "not enough power, or no figure",
    )  # fmt: skip
    if not np.isfinite(here):
        return Seen([contour], ["No figure under these conditions."])
    return Seen([contour], [f"Power margin here, by {estimate}: {said(here, Power)}.", *slower(aircraft, at)])


def _ceiling_knobs(aircraft: Aircraft) -> list[Knob]:
    radius = aircraft.main_rotor.radius
    low, start = share_of(radius, 0.55, "ft"), share_of(radius, 0.8, "ft")
    height = knob("rotor_height", "Rotor over the ground", Length, ("ft", "m"), low, share_of(radius, 2.5, "ft"),
                   (0.5, 0.1), start)  # fmt: skip
    return [*day_knobs(aircraft), height]


def _ceilings(aircraft: Aircraft, at: Mapping[str, float], _estimate: str) -> Seen:
    """Ceiling over weight, in and out of ground effect, on a day as warm against the standard as it is here."""
    system = aircraft.aircraft.display
    _, feet, _ = units(system)
    pounds = "kg" if system == "metric" else "lb"
    model = _at_speed(power_model_of(aircraft), at["rotor_speed"])
    engine = engine_at(aircraft, at["rotor_speed"])
    warmer = isa_deviation.si(at["temperature"], at["height"])
    heights = np.linspace(0.0, CEILING_TOP, CEILING_POINTS)
    if engine.table is not None:  # only where it reaches
        air = air_of_the_day(heights, warmer, at["humidity"])
        heights = heights[np.isfinite(power_in(engine, engine.sea_level_power, air))]
    curves, here = [], []
    near = "with the rotor this near the ground, by"
    every = (
        (None, "Cheeseman & Bennett", "main", "out of ground effect"),
        *((at["rotor_height"], method, style, f"{near} {method}")
          for method, style in zip(GROUND_EFFECTS, ("second", "third"), strict=True)),
    )  # fmt: skip
    for rotor_height, method, style, where in every:
        places = np.append(heights, at["height"])
        able = mass_at_hover_ceiling.si(model, engine, places, warmer, at["humidity"], rotor_height, method)
        able, most = able[:-1], float(able[-1])
        known = np.isfinite(able)
        curves.append(
            Curve(
                f"hover ceiling {where}",
                [float(one) for one in in_unit(able[known], pounds, Mass)],
                [float(one) for one in in_unit(heights[known], feet, Length)],
                style,
            )
        )
        shown = said(most, Mass) if np.isfinite(most) else "no figure"
        here.append(f"Maximum hover weight here {where}: {shown}.")
    maximum = float(in_unit(aircraft.weights.maximum.si, pounds, Mass))
    top = float(in_unit(CEILING_TOP, feet, Length))
    curves.append(Curve("maximum weight of the aircraft file", [maximum, maximum], [0.0, top], "bound"))
    point = Point("here", float(in_unit(at["gross_weight"], pounds, Mass)),
                  float(in_unit(at["height"], feet, Length)))  # fmt: skip
    title = "Hover ceiling over weight"
    chart = Chart(title, f"gross weight, {pounds}", f"pressure altitude, {feet}", curves, (), (point,))
    return Seen(
        [chart], [*here, *slower(aircraft, at), "Method: induced factor and profile drag.", cautions.GROUND_EFFECT]
    )


def _span_knobs(aircraft: Aircraft) -> list[Knob]:
    blade = aircraft.main_rotor.blade
    twist = knob("twist", "Twist, tip less axis", Angle, ("deg", "deg"), "-16 deg", "2 deg", (0.5, 0.5),
                  blade.twist.typed if blade is not None else "0 deg")  # fmt: skip
    return [*day_knobs(aircraft), twist]


def _along_span(aircraft: Aircraft, at: Mapping[str, float], _estimate: str) -> Seen:
    """Load and lift coefficient along the main rotor's blade in the hover."""
    system = aircraft.aircraft.display
    blades = blades_of(aircraft.main_rotor, "main rotor")
    inner = float(blades.at[0])
    blades = replace(blades, angles=(at["twist"] * inner, at["twist"]))
    day = air_at(at["height"], at["temperature"], at["humidity"])
    meets = Air(float(day.density), speed_of_sound.si(at["temperature"]), dynamic_viscosity.si(at["temperature"]))
    thrust = thrust_with_download.si(at["gross_weight"] * STANDARD_GRAVITY, float(download_of(aircraft).si))
    whole = at_thrust(blades, at["rotor_speed"], meets, thrust)
    if not np.all(whole.reached):
        return Seen([], ["The blades cannot lift this weight here at any angle: they stall first."])
    along = along_blade(blades, at["rotor_speed"], meets, whole.collective)
    of = ("N", "m") if system == "metric" else ("lbf", "ft")
    load = unit_factor(of[1], Length) / unit_factor(of[0], Force)
    station = [float(one) for one in along.station]
    loads = [float(one) * load / blades.count for one in along.thrust_per_length]
    lifts = [float(one) for one in along.lift_coefficient]
    greatest = getattr(blades.section, "greatest_lift", None)
    bound = [Curve("maximum lift of the section", [station[0], 1.0], [greatest, greatest], "bound")] if greatest else []
    charts: list[Picture] = [
        Chart("Load along one blade", "fraction of the radius", f"thrust per length, {of[0]}/{of[1]}",
              (Curve("load", station, loads),)),
        Chart("Lift coefficient along the blade", "fraction of the radius", "section lift coefficient",
              (Curve("lift coefficient", station, lifts), *bound)),
    ]  # fmt: skip
    merit, angle = float(whole.figure_of_merit), float(np.degrees(whole.collective))
    lines = [
        f"Collective at 0.75 of the radius {angle:.1f}°, figure of merit {merit:.3f}, blade loading "
        f"{float(whole.blade_loading):.3f}, power at the rotor {said(float(whole.power), Power)}."
    ]
    if float(whole.stalled) > 0:
        lines.append(f"{number_text(100 * float(whole.stalled), 2)} % of the blade's length is stalled.")
    return Seen(charts, lines)


def _at_speed(model: Any, speed: float) -> Any:
    share = speed / model.rotor_speed
    tips = {"tip_speed": model.tip_speed * share, "tail_tip_speed": model.tail_tip_speed * share}
    return replace(model, rotor_speed=speed, **tips)


MARGIN_MAP = Exploration(
    "margin_map",
    "map",
    "Power margin over temperature and height",
    "Change weight, humidity and rotor speed, and see how far the line moves where no margin is left.",
    day_knobs,
    _margin_map,
    estimates=True,
)
CEILINGS = Exploration(
    "ceilings",
    "ceiling",
    "Ceiling over weight, in and out of ground effect",
    "How high each weight can hover, and how much of that is ground effect.",
    _ceiling_knobs,
    _ceilings,
)
BLADE_SPAN = Exploration(
    "blade_span",
    "span",
    "Along the blade",
    "Where along the blade the load is, and how near the sections are to stalling.",
    _span_knobs,
    _along_span,
)
