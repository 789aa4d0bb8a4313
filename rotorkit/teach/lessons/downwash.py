"""Lesson: disk loading and the air that is pushed down."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.atmosphere import standard_density
from rotorkit.mass import weight_force
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import Length, Mass, Power, Speed, in_unit, read
from rotorkit.rotor.geometry import disk_area
from rotorkit.rotor.hover import (
    figure_of_merit_from_coefficients,
    ideal_hover_power,
    induced_velocity_hovering,
)
from rotorkit.sheets.exercises import Exercise
from rotorkit.sheets.exploring.knobs import Exploration, Knob, Seen, knob
from rotorkit.teach.lesson import Example, Lesson, Step

SMALLEST, LARGEST = "8 ft", "20 ft"
REAL = "0.6 to 0.75"
"""The figure of merit of a full-size rotor. Common practice (no source)."""


def _knobs(_aircraft: Aircraft) -> list[Knob]:
    return [
        knob("mass", "Weight", Mass, ("lb", "kg"), "600 lb", "2000 lb", (10, 5), "1300 lb"),
        knob("radius", "Rotor radius", Length, ("ft", "m"), SMALLEST, LARGEST, (0.25, 0.1), "12 ft"),
        knob("height", "Height in standard air", Length, ("ft", "m"), "0 ft", "10000 ft", (100, 25), "0 ft"),
    ]


def _see(aircraft: Aircraft, at: Mapping[str, float], _estimate: str) -> Seen:
    metric = aircraft.aircraft.display == "metric"
    length, power, speed = ("m", "kW", "m/s") if metric else ("ft", "hp", "ft/s")
    radii = np.linspace(read(SMALLEST, Length).si, read(LARGEST, Length).si, 25)
    thrust, density = weight_force.si(at["mass"]), standard_density.si(at["height"])

    def ideal(radius: object) -> np.ndarray:
        return np.asarray(in_unit(ideal_hover_power.si(thrust, density, disk_area.si(radius)), power, Power))

    along = [float(one) for one in in_unit(radii, length, Length)]
    here = float(ideal(at["radius"]))
    chart = Chart(
        "The least power that holds it up",
        f"rotor radius, {length}",
        f"ideal power, {power}",
        (Curve("ideal power", along, [float(one) for one in ideal(radii)]),),
        (),
        (Point("here", float(in_unit(at["radius"], length, Length)), here),),
    )
    wind = induced_velocity_hovering.si(thrust, density, disk_area.si(at["radius"]))
    down = float(in_unit(wind, speed, Speed))
    return Seen(
        [chart],
        [
            f"The air goes through the disk at {down:.1f} {speed}. No rotor can hover here on less than {here:.3g} "
            f"{power}; "
            f"a real one needs a third to two thirds more (figure of merit {REAL}, common practice, no source)."
        ],
    )


LESSON = Lesson(
    name="downwash",
    order=6,
    title="Disk loading, and the air that goes down",
    goal="From weight and rotor size you can say how hard a rotor works, and the least power that will hold it up.",
    words=(
        "A rotor holds the helicopter up by pushing air down. Weight divided by the disk's area is the disk "
        "loading. It is a pressure: {2 to 3 lb per square foot (100 to 150 N/m²)|100 to 150 N/m²} for a light "
        "helicopter (common practice, no source).",
        "The air goes through the disk at the induced velocity: the square root of the disk loading divided by twice "
        "the density. Pushing air takes power: at the very least, weight times that speed.",
        "A larger disk moves more air more slowly, and that takes less power. Thin air has to move faster to hold "
        "the same weight, so heat and height cost power even before the engine loses any of its own.",
    ),
    picture=Exploration(
        "downwash",
        "disk",
        "A larger disk, a lighter load",
        "Change the weight, the radius and the height.",
        _knobs,
        _see,
        closing="A picture to learn from, without losses. Your aircraft's margin is worked out in its own check.",
    ),
    look_for=(
        "Take a tenth off the weight: how much does the power fall? More than a tenth.",
        "Go from sea level to {8,000 ft|2,400 m} with the same weight and rotor.",
    ),
    example=Example(
        "How good a measured rotor is",
        "A four-bladed rotor, 5 ft across, was run on a test stand. At 8° its thrust coefficient was 0.004905 and "
        "its power coefficient 0.00046. The figure of merit is the least power divided by the real power.",
        sources.NACA_TN_626.at("table of the four-bladed rotor, 8°"),
        (
            Step(
                Exercise(
                    "area",
                    "The disk",
                    "The radius is {rotor_radius}.",
                    "the disk's area",
                    "ft^2",
                    of=disk_area,
                    given={"rotor_radius": "2.5 ft"},
                    hints=("π times the radius squared.", "2.5 × 2.5 is 6.25."),
                ),
                "Radius, not diameter: using 5 ft makes it four times too large.",
            ),
            Step(
                Exercise(
                    "merit",
                    "The figure of merit",
                    "Thrust coefficient {thrust_coefficient}, power coefficient {power_coefficient}. The figure of "
                    "merit is the thrust coefficient to the power 1.5, divided by the square root of two, then by "
                    "the power coefficient.",
                    "the figure of merit",
                    "",
                    of=figure_of_merit_from_coefficients,
                    given={"thrust_coefficient": "0.004905", "power_coefficient": "0.00046"},
                    hints=("0.004905 times its own square root is 0.0003435.", "Divided by 1.4142, then by 0.00046."),
                ),
                "Just over half of the power held the rotor up; the rest went into stirring the air and into drag. A "
                f"full-size rotor does better, some {REAL} (common practice, no source).",
            ),
            Step(
                Exercise(
                    "velocity",
                    "The air goes down",
                    "A helicopter weighs {thrust} and its disk area is {disk_area}. The density is {density}.",
                    "the induced velocity",
                    "ft/s",
                    of=induced_velocity_hovering,
                    given={"thrust": "250 lbf", "density": "0.0023769 slug/ft³", "disk_area": "100 ft²"},
                    hints=(
                        "Disk loading first: 250 divided by 100. The slug is the unit of mass that goes with feet, "
                        "pounds and seconds.",
                        "2.5 divided by twice 0.0023769, and the square root of that.",
                    ),
                ),
                "That is a wind that throws gravel. Keep people and anything loose away from it.",
                "22.932 ft/s",
            ),
        ),
    ),
    asked=("hover_margin.disk_area", "hover_margin.downwash", "anti_torque_margin.torque"),
    learned=(
        "Disk loading is weight divided by disk area. Low disk loading, low power.",
        "The least power is weight times induced velocity. The figure of merit says how close a rotor comes to it.",
        "In thin air, holding up the same weight takes more power.",
    ),
    sources=(sources.MOMENTUM_THEORY.at("actuator disk"), sources.NACA_TN_626.at("tables I to IV")),
)
