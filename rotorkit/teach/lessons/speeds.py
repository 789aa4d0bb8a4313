"""Lesson: ratios, speeds and the tip's Mach number."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.atmosphere import speed_of_sound
from rotorkit.drive.belts import belt_power, belt_speed, slack_side_tension
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import Length, RotationRate, Speed, Temperature, in_unit, read, required_kind
from rotorkit.rotor.geometry import tip_mach_hovering, tip_speed
from rotorkit.sheets.exercises import Exercise
from rotorkit.sheets.exploring.knobs import Exploration, Knob, Seen, knob
from rotorkit.teach.lesson import Example, Lesson, Step

SLOWEST, FASTEST = "300 rpm", "700 rpm"
COLD = {"us": "-20 °F", "metric": "-30 °C"}
"""A winter's day, in the units of each display system."""


def _knobs(_aircraft: Aircraft) -> list[Knob]:
    return [
        knob("speed", "Rotor speed", RotationRate, ("rpm", "rpm"), SLOWEST, FASTEST, (5, 5), "500 rpm"),
        knob("radius", "Rotor radius", Length, ("ft", "m"), "8 ft", "16 ft", (0.25, 0.1), "12 ft"),
        knob("temperature", "Air temperature", Temperature, ("°F", "°C"), "-20 °F", "110 °F", (1, 0.5), "59 °F"),
    ]


def _see(aircraft: Aircraft, at: Mapping[str, float], _estimate: str) -> Seen:
    unit = "m/s" if aircraft.aircraft.display == "metric" else "ft/s"
    rate = required_kind(RotationRate)
    speeds = np.linspace(read(SLOWEST, RotationRate).si, read(FASTEST, RotationRate).si, 21)

    def mach(speed: object, temperature: float) -> np.ndarray:
        return np.asarray(tip_mach_hovering.si(tip_speed.si(speed, at["radius"]), speed_of_sound.si(temperature)))

    turns = [float(one) for one in in_unit(speeds, "rpm", rate)]
    frost = COLD[aircraft.aircraft.display]
    cold = float(read(frost, Temperature).si)
    here = float(mach(at["speed"], at["temperature"]))
    chart = Chart(
        "How near the tips come to the speed of sound",
        "rotor speed, rpm",
        "tip Mach number in the hover",
        (
            Curve("today", turns, [float(one) for one in mach(speeds, at["temperature"])]),
            Curve(f"on a day of {frost}", turns, [float(one) for one in mach(speeds, cold)], "second"),
        ),
        (),
        (Point("here", float(in_unit(at["speed"], "rpm", rate)), here),),
    )
    tips = float(in_unit(tip_speed.si(at["speed"], at["radius"]), unit, Speed))
    return Seen([chart], [f"The tips move at {tips:,.0f} {unit}, Mach {here:.3f}."])


LESSON = Lesson(
    name="speeds",
    order=5,
    title="Ratios, speeds and the tip's Mach number",
    goal="You can follow the rotation from the engine to the blade tip and say how fast the tip moves.",
    words=(
        "Two pulleys on one belt share the belt's speed, not their rpm. The larger one turns slower, in the ratio of "
        "the diameters. Gears do the same with their teeth.",
        "Speeds are given in rpm, but a formula needs radians per second: one turn is 2π radians, one minute is "
        "60 seconds. So 500 rpm is 500 × 2π / 60, or 52.36 rad/s. The speed at a radius is the radius times that.",
        "The radius is half the diameter. Mixing them up doubles every speed, and somebody does it every day.",
        "Sound is slower in cold air. The same rotor speed is a higher Mach number in January, and as the tip nears "
        "Mach 1 drag and vibration rise. In forward flight the advancing tip meets the airspeed on top of its own "
        "speed.",
    ),
    picture=Exploration(
        "speeds",
        "tip",
        "Rotor speed, radius and the cold",
        "Move the three sliders.",
        _knobs,
        _see,
        closing="A picture to learn from. Your manual gives the rotor speeds.",
    ),
    look_for=(
        "Which does more: 10 % more radius or 10 % more rotor speed?",
        "Leave the rotor alone and go from {90 °F to −20 °F|32 °C to −29 °C}: how much higher is the Mach number?",
    ),
    example=Example(
        "What a flat belt can carry",
        "A pulley of 0.6 m diameter turns at 200 rpm. A flat belt wraps 160° of it, the friction coefficient is "
        "0.25, and the tight side may pull 2,500 N.",
        sources.KHURMI_GUPTA.at("example 11.4, p. 342"),
        (
            Step(
                Exercise(
                    "belt_speed",
                    "How fast the belt runs",
                    "The pulley: {diameter} across, {rotation_rate}.",
                    "the belt's speed",
                    "m/s",
                    of=belt_speed,
                    given={"rotation_rate": "200 rpm", "diameter": "0.6 m"},
                    hints=(
                        "Once round the pulley is π times its diameter.",
                        "Times 200 for a minute; divided by 60 for a second.",
                    ),
                ),
                "The radius is half of 0.6 m: 0.3 × 20.94 rad/s gives the same.",
            ),
            Step(
                Exercise(
                    "slack_side",
                    "The slack side",
                    "Tight side over slack side is e to the power of friction times wrap, the wrap in radians: 160° is "
                    "2.793. The tight side pulls {tight_side}, the friction is {friction_coefficient}. The belt's own "
                    "mass is not counted.",
                    "the pull in the slack side",
                    "N",
                    of=slack_side_tension,
                    given={
                        "tight_side": "2,500 N",
                        "friction_coefficient": "0.25",
                        "wrap": "160 deg",
                        "linear_density": "0 kg/m",
                        "speed": "6.283 m/s",
                        "groove_angle": "180 deg",
                    },
                    hints=("0.25 × 2.793 is 0.698; e to that is 2.01.", "2,500 divided by 2.01."),
                ),
                "The slack side always pulls a little: without that the belt would slip.",
            ),
            Step(
                Exercise(
                    "power",
                    "What it carries",
                    "Tight side less slack side, times the belt's speed of {speed}, is the power.",
                    "the power",
                    "kW",
                    of=belt_power,
                    given={
                        "tight_side": "2,500 N",
                        "speed": "6.283 m/s",
                        "friction_coefficient": "0.25",
                        "wrap": "160 deg",
                        "groove_angle": "180 deg",
                        "linear_density": "0 kg/m",
                    },
                    hints=(
                        "2,500 less 1,244 is 1,256 N.",
                        "Newtons times metres per second are watts; a thousand watts are a kilowatt.",
                    ),
                ),
                "Pull times speed is power, in a belt, in a shaft, in a rotor.",
                "7.89 kW",
            ),
        ),
    ),
    asked=("shaft_speeds.by_turns", "shaft_speeds.behind_a_pulley", "hover_margin.tip_speed"),
    learned=(
        "One belt, one speed: the larger pulley turns slower.",
        "rpm × 2π / 60 is rad/s. Radius is half the diameter. Speed is radius times rad/s.",
        "The cold raises the tip's Mach number at the same rotor speed.",
    ),
    sources=(sources.KHURMI_GUPTA.at("chapter 11"), sources.DEFINITION.at("tip Mach number")),
)
